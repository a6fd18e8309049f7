//! What the piece must withstand, its fibre and yarn, and the swatches that were knitted first.

use serde::Serialize;

use super::whole_yarn::{BlendOut, YarnOut};
use super::{Range, construction_key};
use crate::export::json::{finely_rounded, key, rounded};
use crate::knit::{LoopLength, MeasuredGauge, grams_per_m2};
use crate::project::{LoggedSwatch, Project};
use crate::yarn::{Needs, Tex};

/// The material of the project; what was not answered or chosen is absent.
#[derive(Serialize)]
pub(super) struct MaterialOut<'a> {
    needs: Option<NeedsOut>,
    blend: Option<BlendOut>,
    yarn: Option<YarnOut<'a>>,
    /// The yarn that the pattern names, when another stands in for it.
    pattern_yarn: Option<YarnOut<'a>>,
    /// From 1; the swatch whose gauge the project follows (`gauge` says how the plan stands to it), absent while none is
    /// measured.
    follows_swatch: Option<usize>,
    /// Whether the knitter chose it; else it is the newest washed one, or the newest, by hand before off a photograph.
    follows_chosen: Option<bool>,
    /// From 1; the swatch whose weight sets the yarn in a stitch, absent while the loop model does.
    loop_length_from_swatch: Option<usize>,
    /// From 1; weighed swatches that would set it if nothing spoke against them.
    loop_length_doubted_swatches: Vec<usize>,
    loop_length_basis: String,
    plain_fabric: PlainFabricOut,
    swatches: Vec<SwatchOut<'a>>,
}

/// Plain knit at the planned gauge; floats and ribbing come on top.
#[derive(Serialize)]
struct PlainFabricOut {
    /// In the chosen yarn, else that of the first colour.
    grams_per_m2: f64,
}

#[derive(Serialize)]
struct NeedsOut {
    piece: String,
    wear: String,
    climate: String,
    wearer: String,
    moisture: String,
    stitches: String,
    skin: String,
    stretch: String,
    washing: String,
    gift: bool,
}

#[derive(Serialize)]
struct SwatchOut<'a> {
    yarn: &'a str,
    metres_per_100g: f64,
    /// Absent while it was not told.
    needle_mm: Option<f64>,
    fabric: String,
    construction: &'static str,
    /// Whether its own counts and size were entered or read off a photograph.
    measured: bool,
    /// In tenths.
    counted_stitches: Option<f64>,
    counted_rows: Option<f64>,
    before_washing: Option<GaugeOut>,
    after_washing: Option<GaugeOut>,
    /// Of this swatch and all measured ones like it (yarn, needle, stitch, construction) together: to compare with.
    with_swatches_like_it: Option<PooledOut>,
    wash_change: Option<WashOut>,
    weighed: Option<WeighedOut>,
    notes: &'a str,
}

/// A gauge and its range: what counting half a stitch wrong moves, off a photograph two standard deviations.
#[derive(Serialize)]
struct GaugeOut {
    off_photograph: bool,
    stitches_per_10_cm: f64,
    stitches_per_10_cm_low: f64,
    stitches_per_10_cm_high: f64,
    rows_per_10_cm: f64,
    rows_per_10_cm_low: f64,
    rows_per_10_cm_high: f64,
}

#[derive(Serialize)]
struct PooledOut {
    swatches: usize,
    washed: bool,
    gauge: GaugeOut,
}

#[derive(Serialize)]
struct WashOut {
    #[serde(rename = "width_percent")]
    width: f64,
    #[serde(rename = "length_percent")]
    length: f64,
    #[serde(rename = "area_percent")]
    area: f64,
}

#[derive(Serialize)]
struct WeighedOut {
    grams: f64,
    scale_step_g: f64,
    metres_per_stitch: f64,
    /// Against the model at the swatch's gauge; absent while the swatch has no size.
    loop_length_cm: Option<Range>,
    over_model_percent: Option<f64>,
    within_model: Option<bool>,
    /// One standard deviation of the measured loop length: scales, counting, label, hands.
    error_percent: Option<f64>,
    /// What speaks against it, in sentences; absent while it cannot be held against the model.
    doubts: Option<Vec<String>>,
    /// Whether the knitter overruled the doubts.
    trusted: bool,
}

impl<'a> MaterialOut<'a> {
    pub(super) fn new(project: &'a Project) -> Self {
        let material = &project.material;
        let basis = project.loop_basis();
        let followed = material.followed();
        Self {
            needs: material.needs.map(NeedsOut::new),
            blend: material.blend.as_ref().map(BlendOut::new),
            yarn: material.yarn.as_ref().map(YarnOut::new),
            pattern_yarn: material.pattern_yarn.as_ref().map(YarnOut::new),
            follows_swatch: followed.map(|followed| followed.place + 1),
            follows_chosen: followed.map(|followed| followed.chosen),
            loop_length_from_swatch: basis.swatch.as_ref().map(|swatch| swatch.place + 1),
            loop_length_doubted_swatches: basis.doubted.iter().map(|place| place + 1).collect(),
            loop_length_basis: basis.words(project.units),
            plain_fabric: PlainFabricOut::new(project, basis.length),
            swatches: material.swatches.iter().map(|logged| SwatchOut::new(project, logged)).collect(),
        }
    }
}

impl PlainFabricOut {
    fn new(project: &Project, stitch: LoopLength) -> Self {
        let plan = &project.plan;
        let of_slot = || project.palette.slots().first().map(|slot| slot.yarn.put_up);
        let put_up =
            project.material.yarn.as_ref().map(|yarn| yarn.put_up).or_else(of_slot).unwrap_or_default();
        Self { grams_per_m2: rounded(grams_per_m2(stitch.likely, plan.gauge, Tex::from_grist(put_up.grist))) }
    }
}

impl NeedsOut {
    fn new(needs: Needs) -> Self {
        Self {
            piece: key(needs.piece.key()),
            wear: key(needs.wear.key()),
            climate: key(needs.climate.key()),
            wearer: key(needs.wearer.key()),
            moisture: key(needs.moisture.key()),
            stitches: key(needs.stitches.key()),
            skin: key(needs.skin.key()),
            stretch: key(needs.stretch.key()),
            washing: key(needs.washed().key()),
            gift: needs.gift,
        }
    }
}

impl<'a> SwatchOut<'a> {
    fn new(project: &Project, logged: &'a LoggedSwatch) -> Self {
        let swatch = &logged.swatch;
        let (swatches, pooled) = project.material.gauge_with_likes(logged);
        Self {
            yarn: &logged.yarn,
            metres_per_100g: rounded(logged.grist.get()),
            needle_mm: swatch.needle_mm.map(rounded),
            fabric: key(swatch.fabric.name()),
            construction: construction_key(swatch.construction),
            measured: swatch.is_measured(),
            counted_stitches: swatch.stitches(),
            counted_rows: swatch.rows(),
            before_washing: swatch.gauge_before().map(GaugeOut::new),
            after_washing: swatch.gauge_after().map(GaugeOut::new),
            with_swatches_like_it: pooled.map(|gauge| PooledOut {
                swatches,
                washed: gauge.washed,
                gauge: GaugeOut::new(gauge),
            }),
            wash_change: swatch.wash_change().map(|change| WashOut {
                width: rounded(change.width_percent),
                length: rounded(change.length_percent),
                area: rounded(change.area_percent),
            }),
            weighed: WeighedOut::new(project, logged),
            notes: &swatch.notes,
        }
    }
}

impl GaugeOut {
    fn new(measured: MeasuredGauge) -> Self {
        Self {
            off_photograph: measured.read_off,
            stitches_per_10_cm: rounded(measured.gauge.stitches.get()),
            stitches_per_10_cm_low: rounded(measured.stitches.0),
            stitches_per_10_cm_high: rounded(measured.stitches.1),
            rows_per_10_cm: rounded(measured.gauge.rows.get()),
            rows_per_10_cm_low: rounded(measured.rows.0),
            rows_per_10_cm_high: rounded(measured.rows.1),
        }
    }
}

impl WeighedOut {
    /// `None` when the swatch was not weighed; a mass that cannot be does not enter a project.
    fn new(project: &Project, logged: &LoggedSwatch) -> Option<Self> {
        let weighed = logged.swatch.weighed?;
        let grams = weighed.grams?;
        let metres_per_stitch = logged.swatch.metres_per_stitch(logged.grist).ok().flatten()?;
        let calibration = logged.swatch.calibration(logged.grist).ok().flatten();
        Some(Self {
            grams: rounded(grams),
            scale_step_g: rounded(weighed.scale_step_g),
            metres_per_stitch: finely_rounded(metres_per_stitch),
            loop_length_cm: calibration.map(|found| Range {
                low: rounded(found.loop_length.low),
                likely: rounded(found.loop_length.likely),
                high: rounded(found.loop_length.high),
            }),
            over_model_percent: calibration.map(|found| rounded(found.disagreement_percent)),
            within_model: calibration.map(|found| found.within_model),
            error_percent: calibration.map(|found| rounded(found.error * 100.0)),
            doubts: project
                .weighing(logged)
                .map(|found| found.doubts.iter().map(|doubt| doubt.words(project.units)).collect()),
            trusted: weighed.trusted,
        })
    }
}
