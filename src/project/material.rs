//! What the piece must withstand, what it is knitted of, and the swatches that were knitted first.

use crate::knit::{Calibration, Construction, MeasuredGauge, Swatch, SwatchFabric, Technique, pooled_gauge};
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

    /// The newest swatch that was weighed, washed and measured, by its place in the log, and what it says
    /// of the yarn in a stitch.
    pub fn newest_weighed(&self) -> Option<(usize, Calibration)> {
        let mut washed =
            self.swatches.iter().enumerate().rev().filter(|(_, entry)| entry.swatch.after.is_some());
        washed.find_map(|(place, entry)| {
            let calibration = entry.swatch.calibration(entry.grist).ok().flatten()?;
            Some((place, calibration))
        })
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
