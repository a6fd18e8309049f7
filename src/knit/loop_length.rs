//! How much yarn one stitch takes: the loop length of plain knit from its gauge.
//!
//! Munden (1959) found that in plain knit the loop length `l` alone sets the fabric: with `c` rows and
//! `w` stitches per cm and `l` in cm, `c = kc / l`, `w = kw / l` and `S = c w = ks / l^2`, where the
//! constants depend on how far the fabric has relaxed and not on yarn count, machine or gauge.

use super::Gauge;
use super::amount::RangeBasis;
use super::estimate::Estimate;
use crate::units::{MetresPer100G, UnitError};

/// What the constants were measured on; shown wherever a figure rests on them.
pub const LOOP_LENGTH_VALID_FOR: &str = "The loop model was measured on plain knit in wool. For cotton, silk and other fibres, \
     and for patterned stitches, trust a weighed swatch instead.";

/// What to say beside the figures of colourwork: the constants were not measured on it.
pub const LOOP_LENGTH_STRANDED: &str = "The loop constants are those of plain knit. Stranded fabric lies closer; its loops are a guess within the \
     range for structure until a stranded swatch was weighed.";

/// Where the loop model comes from; shown wherever a figure rests on it.
pub const LOOP_LENGTH_SOURCE: &str = "Loop length from gauge: Munden, J. Text. Inst. 50 (1959) T448 (dry and wet relaxed); \
     Knapton et al., Text. Res. J. 38 (1968) 999 (fully relaxed).";

/// How far a knitted fabric has come to rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Relaxation {
    /// Off the needles and rested dry.
    Dry,
    /// Soaked without movement and dried flat, as hand knits are washed.
    Wet,
    /// Washed with movement and tumbled until nothing changes any more.
    Full,
}

/// The constants of a state of relaxation, lengths in cm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoopConstants {
    /// Loop length over row height.
    pub kc: f64,
    /// Loop length over stitch width: how many times its own width a plain row takes.
    pub kw: f64,
    /// Stitch density times loop length squared; Munden printed 21.6 for wet relaxed, `kc * kw` is 21.7.
    pub ks: f64,
}

impl Relaxation {
    /// All states, in the order the fabric passes through them.
    pub const ALL: [Self; 3] = [Self::Dry, Self::Wet, Self::Full];

    /// Constants of plain knit in wool: dry and wet relaxed after Munden, J. Text. Inst. 50 (1959)
    /// T448; fully relaxed after Knapton et al., Text. Res. J. 38 (1968) 999.
    pub const fn constants(self) -> LoopConstants {
        match self {
            Self::Dry => LoopConstants { kc: 5.0, kw: 3.8, ks: 19.0 },
            Self::Wet => LoopConstants { kc: 5.3, kw: 4.1, ks: 21.6 },
            Self::Full => LoopConstants { kc: 5.5, kw: 4.2, ks: 23.1 },
        }
    }

    /// Loop length in cm of fabric with this gauge in this state: `l = sqrt(ks / (c w))`.
    pub fn loop_cm(self, gauge: Gauge) -> f64 {
        (self.constants().ks * gauge.stitch_width_cm() * gauge.row_height_cm()).sqrt()
    }
}

/// Whether the fibre is the one the loop constants were measured on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum LoopFibre {
    /// Wool, or nearly so.
    Wool,
    /// Something else.
    Other,
    /// Nobody has told.
    #[default]
    Unknown,
}

/// What the yarn in a stitch rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum LoopSource {
    /// The loop model at the gauge, for yarn of this fibre.
    Model(LoopFibre),
    /// The knitter's own swatch on the scales.
    WeighedSwatch,
}

impl LoopSource {
    /// What the yarn in a stitch rests on.
    pub const fn basis(self) -> RangeBasis {
        match self {
            Self::Model(_) => RangeBasis::PublishedFromMemory,
            Self::WeighedSwatch => RangeBasis::Measured,
        }
    }

    /// What the yarn of a piece rests on, in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Model(_) => {
                "stitches: loop model of plain knit in wool (published, cited from memory); floats and edges: common \
                 practice; ribbing, tension, ends and band: our judgement"
            }
            Self::WeighedSwatch => {
                "stitches: weighed swatch (measured); floats and edges: common practice; ribbing, ends and band: our \
                 judgement"
            }
        }
    }
}

/// What the fibre may add to and take from the loop length of wool, as shares of it (a low and a high
/// one, 0 or more).
///
/// From `loop_geometry_constants.csv`: K5 gives cotton a `ks` of 22.5 to 24.5 fully relaxed against the
/// 23.1 of wool (K3), from memory and with low confidence; the loop goes with the root. For want of any
/// other figure the same is taken for every fibre that is not wool, which is our judgement.
pub(super) fn fibre_shares(fibre: LoopFibre) -> Estimate {
    const COTTON: (f64, f64) = (22.5, 24.5);
    let wool = Relaxation::Full.constants().ks;
    match fibre {
        LoopFibre::Wool => Estimate::ZERO,
        LoopFibre::Other | LoopFibre::Unknown => {
            Estimate::new(1.0 - (COTTON.0 / wool).sqrt(), 0.0, (COTTON.1 / wool).sqrt() - 1.0)
        }
    }
}

/// What the structure may add to and take from the loop length of plain knit, as shares of it (a low and
/// a high one, 0 or more).
///
/// Plain knit has `kc / kw` = 1.3 rows to a stitch (to 0.05, K3 of `loop_geometry_constants.csv`). A
/// fabric that has not is not the fabric the constants are for: its width gives one loop length, `kw / w`,
/// and its rows another, `kc / c`, and the truth may lie at either. `sqrt(ks / (c w))` is the middle of the
/// two, so each is the root of the rows to a stitch over 1.3 away. Stranded fabric, which squares up to
/// about one row to a stitch (`stranded_float_facts.csv`), is up to 14 % unsure by this. That the two bracket
/// the truth is our judgement.
pub(super) fn structure_shares(gauge: Gauge) -> Estimate {
    const PLAIN: f64 = 1.3;
    const PLAIN_TO: f64 = 0.05;
    let rows_to_a_stitch = gauge.rows.get() / gauge.stitches.get();
    let off = (rows_to_a_stitch / PLAIN).max(PLAIN / rows_to_a_stitch).max(1.0 + PLAIN_TO / PLAIN).sqrt();
    Estimate::new(1.0 - 1.0 / off, 0.0, off - 1.0)
}

/// Yarn in one stitch, in cm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoopLength {
    /// If the gauge was taken dry relaxed, or the low side of a weighed swatch.
    pub low: f64,
    /// What to expect.
    pub likely: f64,
    /// If the gauge was taken fully relaxed, or the high side of a weighed swatch.
    pub high: f64,
}

impl LoopLength {
    /// The loop length of plain knit at this gauge.
    ///
    /// The gauge does not tell how far the swatch had relaxed, so the three states make the range.
    /// Wet relaxed is the likely one: a gauge in this program is a washed gauge, and a hand-washed
    /// swatch dried flat is what Munden called wet relaxed; fully relaxed needs washing with movement
    /// and tumbling, which few hand knits see.
    pub fn from_gauge(gauge: Gauge) -> Self {
        Self {
            low: Relaxation::Dry.loop_cm(gauge),
            likely: Relaxation::Wet.loop_cm(gauge),
            high: Relaxation::Full.loop_cm(gauge),
        }
    }

    /// The loop length at this gauge by a weighed swatch, which may have been knitted at another: what
    /// the swatch took against the model there, it takes against the model here.
    pub fn calibrated(gauge: Gauge, calibration: &Calibration) -> Self {
        let measured = calibration.loop_length;
        let likely = Relaxation::Wet.loop_cm(gauge) * (1.0 + calibration.disagreement_percent / 100.0);
        let scale = likely / measured.likely;
        Self { low: measured.low * scale, likely, high: measured.high * scale }
    }

    /// Metres of yarn in this many stitches.
    pub fn metres(self, stitches: f64) -> Estimate {
        Estimate::new(self.low, self.likely, self.high) * (stitches / 100.0)
    }
}

/// A swatch on the scales: what this knitter's stitch really takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WeighedSwatch {
    stitches: u32,
    rows: u32,
    grams: f64,
    grist: MetresPer100G,
    scale_step_g: f64,
}

/// A loop length from a weighed swatch, and how far the model was off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Calibration {
    /// The measured loop length; it replaces the model's.
    pub loop_length: LoopLength,
    /// Measured over the model's likely figure, in per cent: +6 means the swatch takes 6 % more.
    pub disagreement_percent: f64,
    /// Whether the measured likely figure lies inside the model's range.
    pub within_model: bool,
    /// One standard deviation of the measured figure, as a share of it: scales, counting, label, hands.
    pub error: f64,
}

impl WeighedSwatch {
    /// How much the same hands vary between a swatch and a piece, one standard deviation as a share (our
    /// judgement, no published source).
    const HANDS: f64 = 0.02;
    /// How far the metres per 100 g of a ball are from those on its label, likewise (our judgement).
    const LABEL: f64 = 0.02;
    /// Standard deviations on either side that the range of a measured loop covers: 19 times of 20.
    const RANGE: f64 = 2.0;

    /// A swatch of `stitches` by `rows` that weighs `grams` in yarn of this grist, on kitchen scales
    /// that read whole grams. Cast-on and bind-off weigh with it: count each as one more row.
    ///
    /// # Errors
    /// [`UnitError`] when there are no stitches or rows, or the mass is not in `0.1..=5000` g.
    pub fn new(stitches: u32, rows: u32, grams: f64, grist: MetresPer100G) -> Result<Self, UnitError> {
        let wrong =
            |what, expected: &str, found: String| UnitError { what, expected: expected.to_owned(), found };
        if stitches == 0 || rows == 0 {
            let found = format!("{stitches} x {rows}");
            return Err(wrong("the swatch's stitches and rows", "1 or more", found));
        }
        if !(0.1..=5_000.0).contains(&grams) {
            return Err(wrong("the swatch's mass in g", "between 0.1 and 5000", grams.to_string()));
        }
        Ok(Self { stitches, rows, grams, grist, scale_step_g: 1.0 })
    }

    /// The same swatch on scales that read in steps of `step_g` grams (`0.001..=10`).
    pub fn with_scale_step(self, step_g: f64) -> Self {
        Self { scale_step_g: if step_g.is_nan() { 1.0 } else { step_g.clamp(0.001, 10.0) }, ..self }
    }

    /// Yarn in one stitch, in cm.
    pub fn loop_cm(self) -> f64 {
        // g x m/100 g is centimetres already: the 100 cm of a metre and the 100 g cancel.
        let yarn_cm = self.grams * self.grist.get();
        yarn_cm / (f64::from(self.stitches) * f64::from(self.rows))
    }

    /// One standard deviation of the loop length, as a share of it. The parts do not depend on each other,
    /// so their squares add.
    ///
    /// A scale that reads in steps, and a count of whole stitches or rows, is off by anything up to half a
    /// step: step / sqrt 12 (JCGM 100:2008, 4.3.7). Cast-on and bind-off are taken for a row each; that is
    /// unsure by half a row each.
    fn error(self) -> f64 {
        let half_step = 1.0 / 12f64.sqrt();
        let scale = self.scale_step_g * half_step / self.grams;
        let stitches = half_step / f64::from(self.stitches);
        let rows = half_step * 3f64.sqrt() / f64::from(self.rows);
        [scale, stitches, rows, Self::LABEL, Self::HANDS].iter().map(|part| part * part).sum::<f64>().sqrt()
    }

    /// The loop length measured on this swatch, against the model at the swatch's gauge. `carried_cm`
    /// is the yarn that runs behind a stitch in colourwork; `None` when that is all there is.
    pub fn calibrate(self, gauge: Gauge, carried_cm: f64) -> Option<Calibration> {
        let likely = self.loop_cm() - carried_cm;
        if likely <= 0.0 {
            return None;
        }
        // The error is that of all the yarn, of which the loop is a part. Beyond half it would say nothing.
        let error = self.error() * self.loop_cm() / likely;
        let spread = (Self::RANGE * error).min(0.5);
        let model = LoopLength::from_gauge(gauge);
        Some(Calibration {
            loop_length: LoopLength { low: likely * (1.0 - spread), likely, high: likely * (1.0 + spread) },
            disagreement_percent: (likely / model.likely - 1.0) * 100.0,
            within_model: (model.low..=model.high).contains(&likely),
            error,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// At 28 x 28 the width alone gives 4.1 / 2.8 cm of wet relaxed loop and the rows alone 5.3 / 2.8; the
    /// model gives the root of their product.
    #[test]
    fn width_and_rows_bracket_a_fabric_that_is_not_plain() {
        let gauge = Gauge::new(28.0, 28.0).unwrap();
        let shares = structure_shares(gauge);
        let wet = Relaxation::Wet.constants();
        let middle = (wet.kw * wet.kc).sqrt() / 2.8;
        assert!((middle * (1.0 - shares.low) - wet.kw / 2.8).abs() < 0.01, "{shares:?}");
        assert!((middle * (1.0 + shares.high) - wet.kc / 2.8).abs() < 0.01, "{shares:?}");
        let plain = structure_shares(Gauge::new(20.0, 26.0).unwrap());
        assert!(plain.high > 0.0 && plain.high < 0.02);
        // Rows that are too many count as rows that are too few.
        let (tall, flat) = (Gauge::new(20.0, 52.0).unwrap(), Gauge::new(20.0, 13.0).unwrap());
        assert!((structure_shares(tall).high - structure_shares(flat).high).abs() < 1e-12);
    }

    #[test]
    fn a_weighed_swatch_gives_its_own_loop_length() {
        let grist = MetresPer100G::new(400.0).unwrap();
        // 28 x 36 stitches of 1.5 cm are 15.12 m, which weigh 3.78 g at 400 m per 100 g.
        let swatch = WeighedSwatch::new(28, 36, 3.78, grist).unwrap();
        assert!((swatch.loop_cm() - 1.5).abs() < 1e-12);
        let gauge = Gauge::new(28.0, 36.0).unwrap();
        let calibration = swatch.calibrate(gauge, 0.0).unwrap();
        assert_eq!(calibration.loop_length.likely, swatch.loop_cm());
        // The model expects 1.464 cm here.
        assert!((calibration.disagreement_percent - 2.47).abs() < 0.01, "{calibration:?}");
        assert!(calibration.within_model);
        // At its own gauge the calibrated length is the measured one; at another it goes with the model.
        let here = LoopLength::calibrated(gauge, &calibration);
        assert!((here.likely - 1.5).abs() < 1e-12 && (here.low - calibration.loop_length.low).abs() < 1e-12);
        let looser = LoopLength::calibrated(Gauge::new(14.0, 18.0).unwrap(), &calibration);
        assert!((looser.likely - 3.0).abs() < 1e-12, "half the gauge, twice the loop");
        assert_eq!(swatch.calibrate(gauge, 1.5), None);
        assert!(swatch.calibrate(gauge, 0.4).unwrap().loop_length.likely < 1.11);
    }

    #[test]
    fn a_small_swatch_on_coarse_scales_says_little() {
        let grist = MetresPer100G::new(400.0).unwrap();
        let gauge = Gauge::new(28.0, 36.0).unwrap();
        let width = |swatch: WeighedSwatch| {
            let length = swatch.calibrate(gauge, 0.0).unwrap().loop_length;
            (length.high - length.low) / length.likely
        };
        let small = WeighedSwatch::new(28, 36, 4.0, grist).unwrap();
        // Two standard deviations either way: 1 g / sqrt 12 of 4 g; half a stitch of 28, and cast-on, rows
        // and bind-off of 36, each / sqrt 3; 2 % for the label, 2 % for the hands.
        let parts = [0.25 / 12f64.sqrt(), 0.5 / 28.0 / 3f64.sqrt(), 0.5 / 36.0, 0.02, 0.02];
        let expected = 4.0 * parts.iter().map(|part| part * part).sum::<f64>().sqrt();
        assert!((width(small) - expected).abs() < 1e-12, "{}", width(small));
        assert!((0.317..0.319).contains(&expected));
        assert!((width(small.with_scale_step(0.1)) - 0.136).abs() < 1e-3);
        assert!(width(small.with_scale_step(f64::NAN)) > 0.2);
        // What runs behind the stitches is weighed with them, so the rest is less sure.
        let floats = small.calibrate(gauge, 0.5).unwrap();
        assert!(floats.error > small.calibrate(gauge, 0.0).unwrap().error * 1.4);
    }

    #[test]
    fn a_swatch_of_nothing_is_refused_in_words() {
        let grist = MetresPer100G::new(400.0).unwrap();
        let error = WeighedSwatch::new(0, 36, 4.0, grist).unwrap_err();
        assert_eq!(error.to_string(), "the swatch's stitches and rows must be 1 or more, not 0 x 36");
        assert!(WeighedSwatch::new(28, 36, f64::NAN, grist).is_err());
        assert!(WeighedSwatch::new(28, 36, 0.0, grist).is_err());
    }
}
