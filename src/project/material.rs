//! What the piece must withstand, what it is knitted of, and the swatches that were knitted first.

use crate::knit::{
    Construction, Gauge, MeasuredGauge, ReadOff, Swatch, SwatchFabric, SwatchSize, Technique, pooled_gauge,
};
use crate::photo::GaugeReading;
use crate::units::{MetresPer100G, UnitError};
use crate::yarn::{Blend, Needs, Yarn, YarnId};

/// The material of a piece. What was not answered or chosen is `None` and asks nothing of the rest.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Material {
    /// Kind of piece and the five answers.
    pub needs: Option<Needs>,
    /// The fibre or blend that was chosen.
    pub blend: Option<Blend>,
    /// The yarn it is knitted in, when more of it is known than its put-up.
    pub yarn: Option<Yarn>,
    /// The yarn that the pattern names, when another is to stand in for it.
    pub pattern_yarn: Option<Yarn>,
    /// The swatch log, oldest first.
    pub swatches: Vec<LoggedSwatch>,
}

/// A swatch with its yarn in the knitter's own words.
#[derive(Clone, Debug, PartialEq)]
pub struct LoggedSwatch {
    /// What the knitter calls the yarn.
    pub yarn: String,
    /// Grist of the yarn; with the scales it gives the yarn in a stitch.
    pub grist: MetresPer100G,
    /// What was knitted and measured.
    pub swatch: Swatch,
}

impl LoggedSwatch {
    /// A swatch in the log. Its yarn goes by name, so the number inside the swatch stays 0.
    ///
    /// # Errors
    /// [`UnitError`] as [`Swatch::new`].
    pub fn new(
        yarn: impl Into<String>,
        grist: MetresPer100G,
        needle_mm: f64,
        (fabric, construction): (SwatchFabric, Construction),
        counted: (u32, u32),
    ) -> Result<Self, UnitError> {
        let swatch = Swatch::new(YarnId(0), needle_mm, fabric, construction, counted)?;
        Ok(Self { yarn: yarn.into(), grist, swatch })
    }

    /// The swatch with its gauge as a photograph shows it, washed and dried or off the needles. Its counts stay; one that
    /// has no size yet takes those of the photograph.
    ///
    /// # Errors
    /// [`UnitError`] when the reading gives no size of a swatch.
    pub fn read_off(&self, reading: &GaugeReading, washed: bool) -> Result<Self, UnitError> {
        let gauge = Gauge::new(reading.stitches_per_10_cm, reading.rows_per_10_cm)?;
        let sure = ReadOff::new(
            reading.stitches_error / reading.stitches_per_10_cm,
            reading.rows_error / reading.rows_per_10_cm,
        )?;
        let mut entry = self.clone();
        if entry.swatch.best_gauge().is_none() {
            let (width, height) = (reading.read_mm.0 / 10.0, reading.read_mm.1 / 10.0);
            let seen = (gauge.stitches_in(width).max(1), gauge.rows_in(height).max(1));
            entry.swatch = entry.swatch.recounted(entry.swatch.needle_mm, seen)?;
        }
        let counted = (entry.swatch.stitches(), entry.swatch.rows());
        let size = Some(SwatchSize::of_gauge(counted, gauge, sure)?);
        if washed {
            entry.swatch.after = size;
        } else {
            entry.swatch.before = size;
        }
        Ok(entry)
    }

    /// Whether another swatch was knitted in the same yarn, needle, stitch and construction, so
    /// that the two can be taken together.
    pub fn is_like(&self, other: &Self) -> bool {
        self.yarn.trim().eq_ignore_ascii_case(other.yarn.trim())
            && self.swatch.needle_mm == other.swatch.needle_mm
            && self.swatch.fabric == other.swatch.fabric
            && self.swatch.construction == other.swatch.construction
    }
}

impl Material {
    /// Roughly the memory it holds beyond its own size, in bytes.
    pub fn bytes(&self) -> usize {
        let logged = self
            .swatches
            .iter()
            .map(|entry| size_of_val(entry) + entry.yarn.len() + entry.swatch.notes.len());
        let yarns = [&self.yarn, &self.pattern_yarn].into_iter().flatten();
        let yarns = yarns.map(|yarn| size_of_val(yarn) + yarn.name.len() + yarn.lot.len() + yarn.notes.len());
        logged.sum::<usize>()
            + yarns.sum::<usize>()
            + self.blend.as_ref().map_or(0, |blend| size_of_val(blend.parts()))
    }

    /// The gauge of a swatch together with all that are like it, and how many those are.
    pub fn gauge_with_likes(&self, entry: &LoggedSwatch) -> (usize, Option<MeasuredGauge>) {
        let like: Vec<&Swatch> =
            self.swatches.iter().filter(|other| entry.is_like(other)).map(|other| &other.swatch).collect();
        (like.len(), pooled_gauge(like.iter().copied()))
    }
}

/// The stitch a swatch for a piece in this technique is knitted in.
pub const fn swatch_fabric(technique: Technique) -> SwatchFabric {
    match technique {
        Technique::Stranded => SwatchFabric::Stranded,
        Technique::Intarsia | Technique::Stripes => SwatchFabric::Plain,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knit::SwatchSize;

    fn logged(yarn: &str, needle_mm: f64, width_cm: f64) -> LoggedSwatch {
        let grist = MetresPer100G::new(400.0).unwrap();
        let how = (SwatchFabric::Stranded, Construction::InTheRound);
        let mut entry = LoggedSwatch::new(yarn, grist, needle_mm, how, (30, 36)).unwrap();
        entry.swatch.after = Some(SwatchSize::new(width_cm, 10.0).unwrap());
        entry
    }

    #[test]
    fn a_photograph_gives_a_swatch_its_gauge_and_a_new_one_its_counts() {
        let reading = GaugeReading {
            stitches_per_10_cm: 26.3,
            rows_per_10_cm: 34.1,
            stitches_error: 0.1,
            rows_error: 0.2,
            warnings: Vec::new(),
            read_mm: (80.0, 60.0),
            grid: [Vec::new(), Vec::new()],
        };
        let mut bare = logged("Crooked Ladder sock", 2.5, 10.0);
        bare.swatch.after = None;
        let read = bare.read_off(&reading, true).unwrap();
        assert_eq!((read.swatch.stitches(), read.swatch.rows()), (21, 20));
        let gauge = read.swatch.gauge_after().unwrap();
        assert!((gauge.gauge.stitches.get() - 26.3).abs() < 1e-9);
        assert!((gauge.stitches.0 - 26.1).abs() < 1e-9 && (gauge.rows.1 - 34.5).abs() < 1e-9);
        // The same swatch photographed before it was washed: its counts stay, so that the two sizes compare.
        let both = read.read_off(&GaugeReading { stitches_per_10_cm: 28.0, ..reading }, false).unwrap();
        assert_eq!(both.swatch.stitches(), 21);
        assert!(
            (both.swatch.wash_change().unwrap().width_percent - (28.0 / 26.3 - 1.0) * 100.0).abs() < 1e-9
        );
    }

    #[test]
    fn only_swatches_of_the_same_yarn_and_needle_are_taken_together() {
        let swatches = vec![
            logged("Crooked Ladder sock", 2.5, 10.0),
            logged(" crooked ladder SOCK ", 2.5, 12.0),
            logged("Crooked Ladder sock", 3.0, 15.0),
        ];
        let material = Material { swatches, ..Material::default() };
        let (count, pooled) = material.gauge_with_likes(&material.swatches[0]);
        assert_eq!(count, 2);
        assert!((pooled.unwrap().gauge.stitches.get() - 600.0 / 22.0).abs() < 1e-9);
        assert_eq!(material.gauge_with_likes(&material.swatches[2]).0, 1);
    }
}
