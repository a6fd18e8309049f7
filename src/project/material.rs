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
    /// Place in the log of the swatch that the knitter said the project follows.
    pub follows: Option<usize>,
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
        needle_mm: impl Into<Option<f64>>,
        (fabric, construction): (SwatchFabric, Construction),
        counted: (impl Into<f64>, impl Into<f64>),
    ) -> Result<Self, UnitError> {
        let swatch = Swatch::new(YarnId(0), needle_mm, fabric, construction, counted)?;
        Ok(Self { yarn: yarn.into(), grist, swatch })
    }

    /// A swatch of which nothing was counted or measured yet.
    pub fn uncounted(
        yarn: impl Into<String>,
        grist: MetresPer100G,
        (fabric, construction): (SwatchFabric, Construction),
    ) -> Self {
        Self { yarn: yarn.into(), grist, swatch: Swatch::uncounted(YarnId(0), fabric, construction) }
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
        if !entry.swatch.is_measured() {
            let (width, height) = (reading.read_mm.0 / 10.0, reading.read_mm.1 / 10.0);
            let seen = [width / gauge.stitch_width_cm(), height / gauge.row_height_cm()];
            let [stitches, rows] = seen.map(|count| Some(count.max(1.0)));
            entry.swatch = entry.swatch.recounted(entry.swatch.needle_mm, (stitches, rows))?;
        }
        if let Some(counted) = entry.swatch.counted() {
            let size = Some(SwatchSize::of_gauge(counted, gauge, sure)?);
            let swatch = &mut entry.swatch;
            if washed {
                (swatch.after, swatch.after_begun) = (size, None);
            } else {
                (swatch.before, swatch.before_begun) = (size, None);
            }
        }
        Ok(entry)
    }

    /// Whether another swatch was knitted in the same yarn, needle, stitch and construction, so
    /// that the two can be taken together.
    pub fn is_like(&self, other: &Self) -> bool {
        self.yarn.trim().eq_ignore_ascii_case(other.yarn.trim())
            && self.swatch.needle_mm.is_some()
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

    /// Takes a swatch out of the log; the one that is followed stays the same swatch.
    pub fn remove_swatch(&mut self, place: usize) {
        if place >= self.swatches.len() {
            return;
        }
        self.swatches.remove(place);
        self.follows = match self.follows {
            Some(followed) if followed == place => None,
            Some(followed) if followed > place => Some(followed - 1),
            other => other,
        };
    }

    /// The gauge of a swatch together with all measured ones that are like it, and how many those are: to compare with,
    /// the project follows one swatch (see [`Material::followed`]).
    pub fn gauge_with_likes(&self, entry: &LoggedSwatch) -> (usize, Option<MeasuredGauge>) {
        let like = self.swatches.iter().filter(|other| entry == *other || entry.is_like(other));
        let like: Vec<&Swatch> =
            like.map(|other| &other.swatch).filter(|other| other.is_measured()).collect();
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
            scale_places: Vec::new(),
            edges_found: 4,
            grid: [Vec::new(), Vec::new()],
        };
        let mut bare = logged("Crooked Ladder sock", 2.5, 10.0);
        bare.swatch.after = None;
        let read = bare.read_off(&reading, true).unwrap();
        assert_eq!(read.swatch.counted(), Some((21.0, 20.5)), "what the corners hold, in tenths");
        let gauge = read.swatch.gauge_after().unwrap();
        assert!((gauge.gauge.stitches.get() - 26.3).abs() < 1e-9);
        assert!((gauge.stitches.0 - 26.1).abs() < 1e-9 && (gauge.rows.1 - 34.5).abs() < 1e-9);
        // The same swatch photographed before it was washed: its counts stay, so that the two sizes compare.
        let both = read.read_off(&GaugeReading { stitches_per_10_cm: 28.0, ..reading }, false).unwrap();
        assert_eq!(both.swatch.stitches(), Some(21.0));
        assert!(
            (both.swatch.wash_change().unwrap().width_percent - (28.0 / 26.3 - 1.0) * 100.0).abs() < 1e-9
        );
    }

    #[test]
    fn a_swatch_that_is_taken_out_leaves_the_followed_one() {
        let swatches = [2.5, 3.0, 3.5].map(|mm| logged("Crooked Ladder sock", mm, 10.0 + mm)).to_vec();
        let mut material = Material { swatches, follows: Some(1), ..Material::default() };
        material.remove_swatch(0);
        assert_eq!(material.follows, Some(0));
        material.remove_swatch(1);
        assert_eq!(material.follows, Some(0));
        material.remove_swatch(0);
        assert_eq!(material.follows, None);
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
