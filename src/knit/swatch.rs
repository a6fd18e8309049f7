//! The swatch log: what was knitted, what washing did to it, and the gauge it gives.

use super::allowance::STRAND_EASE;
use super::swatch_care::SwatchCare;
use super::swatch_size::{BegunSize, SwatchSize};
use super::{Calibration, Construction, Gauge, WeighedSwatch};
use crate::units::{MetresPer100G, UnitError};
use crate::yarn::YarnId;

/// The stitch a swatch is knitted in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum SwatchFabric {
    /// Plain stockinette; also what stripes and intarsia areas are made of.
    #[default]
    Plain,
    /// Stranded colourwork, which draws in.
    Stranded,
    /// Another pattern stitch.
    Patterned,
}

impl SwatchFabric {
    /// All fabrics, in the order they are offered.
    pub const ALL: [Self; 3] = [Self::Plain, Self::Stranded, Self::Patterned];

    /// Trade name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Plain => "Plain stockinette",
            Self::Stranded => "Stranded",
            Self::Patterned => "Pattern stitch",
        }
    }
}

/// The whole swatch on the scales, cast-on and bind-off with it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SwatchOnScales {
    /// All stitches of a row; 0 until they were counted.
    pub stitches: u32,
    /// All rows, without cast-on and bind-off; 0 until they were counted.
    pub rows: u32,
    /// Grams; `None` until the scales were read.
    pub grams: Option<f64>,
    /// What the scales read in, in grams: 1 for kitchen scales.
    pub scale_step_g: f64,
    /// Whether the knitter overruled what speaks against it (see `knit::weighing`).
    pub trusted: bool,
}

/// One swatch. Sizes are those of the counted stitches and rows, not of the whole piece. Nothing in it is assumed: it is
/// measured once its own counts and a whole size were entered or read off a photograph.
#[derive(Clone, Debug, PartialEq)]
pub struct Swatch {
    /// The yarn it is knitted in.
    pub yarn: YarnId,
    /// Needle diameter in mm; `None` until the knitter told it.
    pub needle_mm: Option<f64>,
    /// The stitch.
    pub fabric: SwatchFabric,
    /// In the round (or imitating it) or flat.
    pub construction: Construction,
    /// Counted in tenths: half a stitch at the edge of the ruler counts.
    stitches: Option<f64>,
    rows: Option<f64>,
    /// Size off the needles, before washing, when it was measured.
    pub before: Option<SwatchSize>,
    /// What was entered of it while that is not the whole size.
    pub before_begun: Option<BegunSize>,
    /// Size washed and dried as the piece will be, when it was measured.
    pub after: Option<SwatchSize>,
    /// What was entered of it while that is not the whole size.
    pub after_begun: Option<BegunSize>,
    /// How it was washed and dried.
    pub care: SwatchCare,
    /// The whole swatch weighed, when it was.
    pub weighed: Option<SwatchOnScales>,
    /// Free notes.
    pub notes: String,
}

/// How far washing changed a swatch, in per cent: +5 grew, -5 shrank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WashChange {
    /// Across.
    pub width_percent: f64,
    /// Lengthwise.
    pub length_percent: f64,
    /// Of the area.
    pub area_percent: f64,
}

/// A gauge with the range that counting leaves open, half a stitch and half a row either way; off a photograph
/// two standard deviations.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeasuredGauge {
    /// As counted.
    pub gauge: Gauge,
    /// Stitches per 10 cm, low and high.
    pub stitches: (f64, f64),
    /// Rows per 10 cm, low and high.
    pub rows: (f64, f64),
    /// Whether the swatch had been washed.
    pub washed: bool,
    /// Whether it was read off a photograph.
    pub read_off: bool,
}

impl MeasuredGauge {
    /// Whether the range of stitches holds this count per 10 cm.
    pub fn holds_stitches(&self, per_10_cm: f64) -> bool {
        self.stitches.0 <= per_10_cm && per_10_cm <= self.stitches.1
    }

    /// Whether the range of rows holds this count per 10 cm.
    pub fn holds_rows(&self, per_10_cm: f64) -> bool {
        self.rows.0 <= per_10_cm && per_10_cm <= self.rows.1
    }

    /// Half the range of stitches in per cent of the gauge: how unsure every width is.
    pub fn width_error_percent(&self) -> f64 {
        (self.stitches.1 - self.stitches.0) / 2.0 / self.gauge.stitches.get() * 100.0
    }
}

impl Swatch {
    /// A swatch of which `stitches` and `rows` are counted; sizes and mass are added when known. The needle is in mm, or
    /// `None` when nobody told it.
    ///
    /// # Errors
    /// [`UnitError`] when there is nothing to count, or the needle is not between 0.5 and 60 mm.
    pub fn new(
        yarn: YarnId,
        needle_mm: impl Into<Option<f64>>,
        fabric: SwatchFabric,
        construction: Construction,
        (stitches, rows): (impl Into<f64>, impl Into<f64>),
    ) -> Result<Self, UnitError> {
        let bare = Self::uncounted(yarn, fabric, construction);
        bare.recounted(needle_mm.into(), (Some(stitches.into()), Some(rows.into())))
    }

    /// A swatch of which nothing was counted or measured yet.
    pub const fn uncounted(yarn: YarnId, fabric: SwatchFabric, construction: Construction) -> Self {
        Self {
            yarn,
            needle_mm: None,
            fabric,
            construction,
            stitches: None,
            rows: None,
            before: None,
            before_begun: None,
            after: None,
            after_begun: None,
            care: SwatchCare { washed: None, dried: None, as_piece: false },
            weighed: None,
            notes: String::new(),
        }
    }

    /// The same swatch on another needle or counted again, in tenths, each count as far as it was made.
    ///
    /// # Errors
    /// [`UnitError`] as [`Self::new`].
    pub fn recounted(
        &self,
        needle_mm: Option<f64>,
        (stitches, rows): (Option<f64>, Option<f64>),
    ) -> Result<Self, UnitError> {
        let wrong = |what, expected: &str, found| UnitError { what, expected: expected.to_owned(), found };
        for count in [stitches, rows].into_iter().flatten() {
            if !(1.0..=2_000.0).contains(&count) {
                return Err(wrong("the counted stitches and rows", "between 1 and 2000", count.to_string()));
            }
        }
        if let Some(mm) = needle_mm.filter(|mm| !(0.5..=60.0).contains(mm)) {
            return Err(wrong("a needle in mm", "between 0.5 and 60", mm.to_string()));
        }
        let [stitches, rows] = [stitches, rows].map(|count| count.map(|count| (count * 10.0).round() / 10.0));
        let resized = |size: SwatchSize| match (self.counted(), stitches.zip(rows)) {
            (Some(from), Some(to)) => size.recounted(from, to),
            _ => size.with_read_off(None),
        };
        Ok(Self {
            needle_mm,
            stitches,
            rows,
            before: self.before.map(resized),
            after: self.after.map(resized),
            notes: self.notes.clone(),
            ..*self
        })
    }

    /// The counted stitches, 1 or more, once they were counted.
    pub const fn stitches(&self) -> Option<f64> {
        self.stitches
    }

    /// The counted rows, 1 or more, once they were counted.
    pub const fn rows(&self) -> Option<f64> {
        self.rows
    }

    /// Both counts, once both were made.
    pub fn counted(&self) -> Option<(f64, f64)> {
        self.stitches.zip(self.rows)
    }

    /// Whether figures of its own give it a gauge.
    pub fn is_measured(&self) -> bool {
        self.best_gauge().is_some()
    }

    /// What is still to be entered before it is measured, words after "not measured: "; empty when it is.
    pub fn to_be_measured(&self) -> &'static str {
        let sized = self.before.or(self.after).is_some();
        match (self.is_measured(), self.counted().is_some(), sized) {
            (true, ..) => "",
            (false, false, false) => "count and measure it",
            (false, false, true) => "count stitches and rows",
            (false, true, false) => "its size is missing",
            (false, true, true) => "counts and size give no gauge",
        }
    }

    /// Gauge off the needles.
    pub fn gauge_before(&self) -> Option<MeasuredGauge> {
        self.before.and_then(|size| self.gauge_at(size, false))
    }

    /// Gauge washed and dried: the one to plan with.
    pub fn gauge_after(&self) -> Option<MeasuredGauge> {
        self.after.and_then(|size| self.gauge_at(size, true))
    }

    /// The washed gauge, else the one off the needles.
    pub fn best_gauge(&self) -> Option<MeasuredGauge> {
        self.gauge_after().or_else(|| self.gauge_before())
    }

    fn gauge_at(&self, size: SwatchSize, washed: bool) -> Option<MeasuredGauge> {
        let range = |count: f64, cm: f64| ((count - 0.5) * 10.0 / cm, (count + 0.5) * 10.0 / cm);
        let per_10_cm = |count: f64, cm: f64| count * 10.0 / cm;
        let (stitches, rows) = self.counted()?;
        let gauge =
            Gauge::new(per_10_cm(stitches, size.width_cm()), per_10_cm(rows, size.height_cm())).ok()?;
        let (stitches, rows) = match size.read_off() {
            None => (range(stitches, size.width_cm()), range(rows, size.height_cm())),
            Some(read_off) => {
                let twice =
                    |figure: f64, share: f64| (figure * (1.0 - 2.0 * share), figure * (1.0 + 2.0 * share));
                (twice(gauge.stitches.get(), read_off.stitches), twice(gauge.rows.get(), read_off.rows))
            }
        };
        Some(MeasuredGauge { gauge, stitches, rows, washed, read_off: size.read_off().is_some() })
    }

    /// What washing did; `None` unless both sizes were measured.
    pub fn wash_change(&self) -> Option<WashChange> {
        let (before, after) = (self.before?, self.after?);
        let width = after.width_cm() / before.width_cm();
        let length = after.height_cm() / before.height_cm();
        let percent = |ratio: f64| (ratio - 1.0) * 100.0;
        Some(WashChange {
            width_percent: percent(width),
            length_percent: percent(length),
            area_percent: percent(width * length),
        })
    }

    /// The swatch on the scales, for yarn of this grist, when their reading is known. Cast-on and bind-off count as a row each.
    ///
    /// # Errors
    /// [`UnitError`] when the counts or the mass make no sense; `Ok(None)` when it was not weighed.
    pub fn weighed_swatch(&self, grist: MetresPer100G) -> Result<Option<WeighedSwatch>, UnitError> {
        let Some((weighed, grams)) = self.weighed.and_then(|weighed| Some((weighed, weighed.grams?))) else {
            return Ok(None);
        };
        if grams.is_finite() && (weighed.stitches == 0 || weighed.rows == 0) {
            // Not counted yet.
            return Ok(None);
        }
        let rows = weighed.rows.saturating_add(2);
        let swatch = WeighedSwatch::new(weighed.stitches, rows, grams, grist)?;
        Ok(Some(swatch.with_scale_step(weighed.scale_step_g)))
    }

    /// Metres of yarn in one stitch, from the scales.
    ///
    /// # Errors
    /// As [`Self::weighed_swatch`].
    pub fn metres_per_stitch(&self, grist: MetresPer100G) -> Result<Option<f64>, UnitError> {
        Ok(self.weighed_swatch(grist)?.map(|swatch| swatch.loop_cm() / 100.0))
    }

    /// The measured loop length against the model at the swatch's best gauge. A stranded swatch is
    /// taken to be worked in two colours throughout, one strand behind every stitch; another pattern
    /// stitch says nothing about plain loops and gives `None`.
    ///
    /// # Errors
    /// As [`Self::weighed_swatch`].
    pub fn calibration(&self, grist: MetresPer100G) -> Result<Option<Calibration>, UnitError> {
        let swatch = self.weighed_swatch(grist)?;
        let carried_widths = match self.fabric {
            SwatchFabric::Plain => 0.0,
            SwatchFabric::Stranded => STRAND_EASE.likely,
            SwatchFabric::Patterned => return Ok(None),
        };
        Ok(swatch.zip(self.best_gauge()).and_then(|(swatch, measured)| {
            swatch.calibrate(measured.gauge, carried_widths * measured.gauge.stitch_width_cm())
        }))
    }
}

/// The gauge of several swatches of one yarn on one needle taken together: all stitches over all
/// widths. Washed swatches count alone when there are any. The range spans every swatch's own, so
/// that swatches which disagree show it. `None` when none was measured.
pub fn pooled_gauge<'a>(swatches: impl IntoIterator<Item = &'a Swatch>) -> Option<MeasuredGauge> {
    let all: Vec<&Swatch> = swatches.into_iter().collect();
    let washed = all.iter().any(|swatch| swatch.gauge_after().is_some());
    let (mut stitches, mut rows, mut width, mut height) = (0.0, 0.0, 0.0, 0.0);
    let mut pooled: Option<MeasuredGauge> = None;
    for swatch in all {
        let (size, measured) = if washed {
            (swatch.after, swatch.gauge_after())
        } else {
            (swatch.before, swatch.gauge_before())
        };
        let (Some(size), Some(measured), Some(counted)) = (size, measured, swatch.counted()) else {
            continue;
        };
        stitches += counted.0;
        rows += counted.1;
        width += size.width_cm();
        height += size.height_cm();
        let gauge = Gauge::new(stitches * 10.0 / width, rows * 10.0 / height).ok()?;
        let join = |a: (f64, f64), b: (f64, f64)| (a.0.min(b.0), a.1.max(b.1));
        pooled = Some(match pooled {
            None => measured,
            Some(so_far) => MeasuredGauge {
                gauge,
                stitches: join(so_far.stitches, measured.stitches),
                rows: join(so_far.rows, measured.rows),
                washed,
                read_off: so_far.read_off && measured.read_off,
            },
        });
    }
    pooled
}

#[cfg(test)]
mod tests {
    use super::super::swatch_size::ReadOff;
    use super::*;

    fn swatch(stitches: u32, rows: u32) -> Swatch {
        Swatch::new(YarnId(1), 4.0, SwatchFabric::Plain, Construction::Flat, (stitches, rows)).unwrap()
    }

    #[test]
    fn a_washed_swatch_gives_both_gauges_and_the_change() {
        let mut swatch = swatch(24, 32);
        swatch.before = Some(SwatchSize::new(12.0, 10.0).unwrap());
        swatch.after = Some(SwatchSize::new(10.8, 11.0).unwrap());
        assert_eq!(swatch.gauge_before().unwrap().gauge, Gauge::new(20.0, 32.0).unwrap());
        let after = swatch.gauge_after().unwrap();
        assert!((after.gauge.stitches.get() - 22.222).abs() < 1e-3);
        let change = swatch.wash_change().unwrap();
        assert!((change.width_percent + 10.0).abs() < 1e-9 && (change.length_percent - 10.0).abs() < 1e-9);
        assert!((change.area_percent + 1.0).abs() < 1e-9);
        assert!(swatch.best_gauge().unwrap().washed);
        let again = swatch.recounted(Some(3.5), (Some(25.0), Some(32.0))).unwrap();
        assert_eq!((again.stitches(), again.needle_mm, again.after), (Some(25.0), Some(3.5), swatch.after));
        assert!(swatch.recounted(Some(3.5), (Some(0.0), Some(32.0))).is_err());
        let half = swatch.recounted(Some(3.5), (Some(24.5), Some(32.04))).unwrap();
        assert_eq!(half.counted(), Some((24.5, 32.0)), "half a stitch counts, in tenths");
        assert!((half.gauge_after().unwrap().gauge.stitches.get() - 245.0 / 10.8).abs() < 1e-9);
    }

    #[test]
    fn a_gauge_off_a_photograph_keeps_its_own_error_and_follows_the_count() {
        let gauge = Gauge::new(22.4, 30.5).unwrap();
        let sure = ReadOff::new(0.004, 0.006).unwrap();
        let mut swatch = swatch(24, 32);
        swatch.after = Some(SwatchSize::of_gauge((24.0, 32.0), gauge, sure).unwrap());
        let measured = swatch.gauge_after().unwrap();
        assert!((measured.gauge.stitches.get() - 22.4).abs() < 1e-9 && measured.read_off);
        assert!((measured.stitches.0 - 22.4 * 0.992).abs() < 1e-9, "two standard deviations");
        assert!((measured.rows.1 - 30.5 * 1.012).abs() < 1e-9);
        let again = swatch.recounted(None, (Some(48.0), Some(32.0))).unwrap().gauge_after().unwrap();
        assert!((again.gauge.stitches.get() - 22.4).abs() < 1e-9, "no stitch more in 10 cm");
        assert!(ReadOff::new(0.2, 0.0).is_err() && ReadOff::new(0.0, f64::NAN).is_err());
        assert!(SwatchSize::of_gauge((2000.0, 32.0), Gauge::new(2.0, 30.0).unwrap(), sure).is_err());
    }

    #[test]
    fn nothing_is_measured_until_its_own_counts_and_size_were_entered() {
        let mut bare = Swatch::uncounted(YarnId(1), SwatchFabric::Plain, Construction::Flat);
        bare.after_begun = Some(BegunSize { width_cm: Some(12.0), height_cm: None });
        assert_eq!(bare.after_begun.unwrap().whole().unwrap(), None);
        assert!(!bare.is_measured() && !bare.to_be_measured().is_empty());
        bare.after = SwatchSize::new(12.0, 10.0).ok();
        assert_eq!((bare.best_gauge(), bare.to_be_measured()), (None, "count stitches and rows"));
        let half = bare.recounted(None, (Some(24.0), None)).unwrap();
        assert!(!half.is_measured(), "rows were never counted");
        let whole = half.recounted(None, (Some(24.0), Some(30.0))).unwrap();
        assert!((whole.best_gauge().unwrap().gauge.stitches.get() - 20.0).abs() < 1e-9);
        assert_eq!((whole.needle_mm, whole.to_be_measured()), (None, ""));
    }

    #[test]
    fn half_a_stitch_of_counting_is_the_range_and_a_larger_swatch_is_surer() {
        let mut small = swatch(20, 28);
        small.after = Some(SwatchSize::new(10.0, 10.0).unwrap());
        let measured = small.gauge_after().unwrap();
        assert_eq!((measured.stitches, measured.rows), ((19.5, 20.5), (27.5, 28.5)));
        assert!(measured.holds_stitches(20.4) && !measured.holds_stitches(20.6));
        assert!((measured.width_error_percent() - 2.5).abs() < 1e-9);
        let mut large = swatch(40, 56);
        large.after = Some(SwatchSize::new(20.0, 20.0).unwrap());
        assert!((large.gauge_after().unwrap().width_error_percent() - 1.25).abs() < 1e-9);
    }

    #[test]
    fn scales_give_metres_per_stitch_with_the_edges_counted() {
        let grist = MetresPer100G::new(200.0).unwrap();
        let mut swatch = swatch(20, 28);
        assert_eq!(swatch.metres_per_stitch(grist).unwrap(), None);
        swatch.weighed = Some(SwatchOnScales {
            stitches: 30,
            rows: 38,
            grams: Some(12.0),
            scale_step_g: 1.0,
            trusted: false,
        });
        // 12 g are 24 m over 30 x 40 stitches.
        assert!((swatch.metres_per_stitch(grist).unwrap().unwrap() - 0.02).abs() < 1e-12);
        assert_eq!(swatch.calibration(grist).unwrap(), None, "no size, no model to compare with");
        swatch.after = Some(SwatchSize::new(10.0, 10.0).unwrap());
        assert!(swatch.calibration(grist).unwrap().is_some());
        swatch.weighed = Some(SwatchOnScales {
            stitches: 0,
            rows: 0,
            grams: Some(f64::NAN),
            scale_step_g: 1.0,
            trusted: false,
        });
        assert!(swatch.metres_per_stitch(grist).is_err());
    }

    #[test]
    fn several_swatches_are_pooled_and_washed_ones_count_alone() {
        let sized = |stitches, before: Option<f64>, after: Option<f64>| {
            let mut swatch = swatch(stitches, 28);
            swatch.before = before.map(|width| SwatchSize::new(width, 10.0).unwrap());
            swatch.after = after.map(|width| SwatchSize::new(width, 10.0).unwrap());
            swatch
        };
        let swatches =
            [sized(20, Some(8.0), None), sized(20, Some(9.0), Some(10.0)), sized(44, None, Some(20.0))];
        let pooled = pooled_gauge(&swatches).unwrap();
        assert!(pooled.washed);
        assert!((pooled.gauge.stitches.get() - 64.0 / 3.0).abs() < 1e-9);
        assert_eq!(pooled.stitches, (19.5, 22.25));
        assert_eq!(pooled_gauge(&swatches[..1]).unwrap().gauge.stitches.get(), 25.0);
        assert_eq!(pooled_gauge(&[]), None);
    }

    #[test]
    fn nothing_counted_and_impossible_sizes_are_refused() {
        let new =
            |needle, counts| Swatch::new(YarnId(1), needle, SwatchFabric::Plain, Construction::Flat, counts);
        assert!(new(4.0, (0, 10)).is_err() && new(4.0, (10, 0)).is_err() && new(f64::NAN, (10, 10)).is_err());
        assert!(SwatchSize::new(0.0, 10.0).is_err() && SwatchSize::new(10.0, f64::NAN).is_err());
        // One stitch in 2 m is no gauge.
        let mut odd = swatch(1, 1);
        odd.after = Some(SwatchSize::new(200.0, 200.0).unwrap());
        assert_eq!(odd.gauge_after(), None);
    }
}
