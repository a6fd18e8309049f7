//! How near gauges off photographs come, and whether their stated errors hold.

use huegauge::photo::{GaugeFault, GaugeReading};

/// Figures read of some photographs: each figure's share of error, and that error over what was stated.
#[derive(Default)]
pub struct Score {
    figures: Vec<(f64, f64)>,
    pub refused: usize,
    pub taken: usize,
}

impl Score {
    pub const HEADING: &str = "fabric     disturbance  rms %  worst %  stated %  within  twice  refused";

    pub fn errors(reading: &GaugeReading, (stitches, rows): (f64, f64)) -> [(f64, f64); 2] {
        [
            (reading.stitches_per_10_cm, reading.stitches_error, stitches),
            (reading.rows_per_10_cm, reading.rows_error, rows),
        ]
        .map(|(found, error, truth)| ((found / truth - 1.0).abs(), (found - truth).abs() / error))
    }

    pub fn take(&mut self, read: &Result<GaugeReading, GaugeFault>, truth: (f64, f64)) {
        self.taken += 1;
        match read {
            Ok(reading) => self.figures.extend(Self::errors(reading, truth)),
            Err(_) => self.refused += 1,
        }
    }

    pub fn join(&mut self, other: Self) {
        self.figures.extend(other.figures);
        self.refused += other.refused;
        self.taken += other.taken;
    }

    /// Of the figures, in per cent.
    pub fn share(&self, fits: impl Fn(f64, f64) -> bool) -> f64 {
        let count = self.figures.iter().filter(|(error, over)| fits(*error, *over)).count();
        100.0 * count as f64 / self.figures.len().max(1) as f64
    }

    pub fn line(&self, fabric: &str, disturbance: &str) -> String {
        let count = self.figures.len().max(1) as f64;
        let rms = (self.figures.iter().map(|(error, _)| error * error).sum::<f64>() / count).sqrt();
        let worst = self.figures.iter().map(|(error, _)| *error).fold(0.0, f64::max);
        let stated = self.figures.iter().map(|(error, over)| error / over.max(1e-9)).sum::<f64>() / count;
        format!(
            "{fabric:10} {disturbance:11} {:6.2} {:8.2} {:9.2} {:6.0}% {:5.0}% {:5} of {}",
            100.0 * rms,
            100.0 * worst,
            100.0 * stated,
            self.share(|_, over| over <= 1.0),
            self.share(|_, over| over <= 2.0),
            self.refused,
            self.taken
        )
    }

    pub fn summary(&self) -> String {
        format!(
            "within 1 %: {:.1} %, within 2 %: {:.1} %, wrong by more: {} of {} figures, refused {} of {}; within the stated error \
             {:.0} %, within twice {:.0} %",
            self.share(|error, _| error <= 0.01),
            self.share(|error, _| error <= 0.02),
            self.figures.iter().filter(|(error, _)| *error > 0.02).count(),
            self.figures.len(),
            self.refused,
            self.taken,
            self.share(|_, over| over <= 1.0),
            self.share(|_, over| over <= 2.0)
        )
    }
}
