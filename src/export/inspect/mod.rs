//! All figures of a project as one JSON object, for other programs.
//!
//! The keys are part of the program's interface: they carry their units, and may be added to but
//! never renamed. Rows count from 1 at the bottom, stitches from 1 at the right, as knitters count.

mod basis;
mod fit;
mod material;
mod pieces;
mod shopping;
mod whole_yarn;

use serde::Serialize;

use super::ExportError;
use super::json::{self, rounded};
use super::metres::{Grams, Lengths, Metres};
use crate::knit::pieces::PiecesYarn;
use crate::knit::{Construction, Technique, YarnLine};
use crate::project::figures::{Extent, Figures};
use crate::project::{Project, colour_code};
use crate::units::{Cm, LengthUnit, PER_4_IN_OVER_PER_10_CM, Price};

/// The figures as indented JSON, keys in a fixed order.
///
/// # Errors
/// [`ExportError`] when the figures cannot be put into words, a fault of ours.
pub fn json(project: &Project, figures: &Figures) -> Result<String, ExportError> {
    json::text(&Inspection::new(project, figures))
}

#[derive(Serialize)]
struct Inspection<'a> {
    title: &'a str,
    /// Who designed it; empty where nobody is named.
    designer: &'a str,
    units: &'static str,
    gauge: Gauge,
    technique: &'static str,
    construction: &'static str,
    chart: Chart,
    size: Sizes,
    shares: Vec<RolePart>,
    findings: Vec<FindingOut<'a>>,
    loop_length_cm: Range,
    yarn: Vec<Yarn<'a>>,
    yarn_total: Total,
    /// `pieces`, `chart`, `chart_alone` (the pieces cannot be worked) or `nothing`.
    yarn_of: &'static str,
    /// Why the yarn is not that of the pieces.
    yarn_problem: Option<&'a str>,
    /// What to mind about figures that rest on constants of another fabric.
    yarn_caveat: Option<&'static str>,
    /// One plain row as wide as the largest piece; absent when nothing can be worked.
    row_of_yarn: Option<RowOut>,
    motif_fit: fit::Motifs,
    repeat_fit: fit::Around,
    material: material::MaterialOut<'a>,
    pieces: Vec<pieces::PieceOut<'a>>,
    pace_stitches_per_minute: f64,
    sizes: Vec<pieces::SizeOut<'a>>,
    /// Absent when the pieces cannot be worked in the chosen size; see its `problem`.
    pieces_yarn: Option<shopping::PiecesYarnOut<'a>>,
    shade_cards: Vec<shopping::CardOut<'a>>,
    basis: Vec<basis::BasisOut>,
}

#[derive(Serialize)]
struct Gauge {
    stitches_per_10_cm: f64,
    rows_per_10_cm: f64,
    stitches_per_4_in: f64,
    rows_per_4_in: f64,
    cell_width_over_height: f64,
    /// How it stands to the swatch that is followed: `no_swatch`, `same`, `within`, `differs`.
    against_swatch: &'static str,
    /// What it rests on, a sentence.
    basis: String,
}

#[derive(Serialize)]
struct Chart {
    width_stitches: u32,
    height_rows: u32,
    repeat_first_stitch: u32,
    repeat_first_row: u32,
    repeat_width_stitches: u32,
    repeat_height_rows: u32,
    /// Stitches of the repeat none of whose eight neighbours has their colour.
    lone_stitches: usize,
}

#[derive(Serialize)]
struct Sizes {
    chart: SizeOut,
    repeat: SizeOut,
    finished: SizeOut,
    finished_stitches: u32,
    finished_rows: u32,
    /// The piece that `finished` is the size of, the largest; absent when none can be worked and it is
    /// the plan's.
    finished_piece: Option<String>,
}

/// Yarn of one plain row.
#[derive(Serialize)]
struct RowOut {
    stitches: u64,
    #[serde(flatten)]
    metres: Metres,
    basis: String,
    range_parts: Vec<basis::PartOut>,
}

#[derive(Serialize)]
struct SizeOut {
    width_cm: f64,
    height_cm: f64,
    width_in: f64,
    height_in: f64,
}

#[derive(Serialize)]
struct RolePart {
    role: &'static str,
    share_percent: f64,
    worked_share_percent: f64,
    target_percent: Option<f64>,
    deviation_percent: Option<f64>,
}

#[derive(Serialize)]
struct FindingOut<'a> {
    kind: &'static str,
    severity: &'static str,
    row: Option<u32>,
    stitch: Option<u32>,
    rows: Option<u32>,
    stitches: Option<u32>,
    length_stitches: Option<u32>,
    length_cm: Option<f64>,
    colour: Option<&'a str>,
    colours: Vec<&'a str>,
    codes: Vec<String>,
    message: &'a str,
}

#[derive(Serialize)]
struct Range {
    low: f64,
    likely: f64,
    high: f64,
}

#[derive(Serialize)]
struct Yarn<'a> {
    colour: &'a str,
    number: usize,
    code: String,
    role: &'static str,
    hex: String,
    lstar: f64,
    stitches: u64,
    share_percent: f64,
    #[serde(flatten)]
    metres: Lengths,
    #[serde(flatten)]
    grams: Grams,
    balls: u32,
    ball_g: f64,
    metres_per_100g: f64,
    ball_price: Option<f64>,
    cost: Option<f64>,
    strands: u64,
    sum: Vec<SumLine>,
    range_parts: Vec<basis::PartOut>,
}

#[derive(Serialize)]
struct SumLine {
    what: &'static str,
    #[serde(flatten)]
    metres: Metres,
    basis: String,
    range_parts: Vec<basis::PartOut>,
}

#[derive(Serialize)]
struct Total {
    stitches: u64,
    #[serde(flatten)]
    metres: Lengths,
    #[serde(flatten)]
    grams: Grams,
    balls: u64,
}

const fn technique_key(technique: Technique) -> &'static str {
    match technique {
        Technique::Stranded => "stranded",
        Technique::Intarsia => "intarsia",
        Technique::Stripes => "stripes",
    }
}

const fn construction_key(construction: Construction) -> &'static str {
    match construction {
        Construction::InTheRound => "in_the_round",
        Construction::Flat => "flat",
    }
}

impl<'a> Inspection<'a> {
    fn new(project: &'a Project, figures: &'a Figures) -> Self {
        let plan = &project.plan;
        let (knitted, on_hand) = (&figures.knitted, project.on_hand());
        Self {
            title: &project.title,
            designer: &project.designer,
            units: match project.units {
                LengthUnit::Metric => "metric",
                LengthUnit::Imperial => "imperial",
            },
            gauge: Gauge::new(project),
            technique: technique_key(plan.technique),
            construction: construction_key(plan.construction),
            chart: Chart::new(project),
            size: Sizes::new(project, figures),
            shares: shares(project, figures),
            findings: findings(project, figures),
            loop_length_cm: Range {
                low: rounded(figures.stitch_cm.low),
                likely: rounded(figures.stitch_cm.likely),
                high: rounded(figures.stitch_cm.high),
            },
            yarn: yarn(project, figures),
            yarn_total: total(&knitted.yarn),
            yarn_of: knitted.of.key(),
            yarn_problem: knitted.of.problem(),
            yarn_caveat: knitted.yarn.caveat(),
            row_of_yarn: knitted.row.as_ref().map(RowOut::new),
            motif_fit: fit::Motifs::new(project),
            repeat_fit: fit::Around::new(&figures.repeat_fit),
            material: material::MaterialOut::new(project),
            pieces: pieces::pieces(project),
            pace_stitches_per_minute: rounded(project.pieces.pace.per_minute()),
            sizes: pieces::sizes(project),
            pieces_yarn: shopping::PiecesYarnOut::new(project),
            shade_cards: project
                .shade_cards
                .iter()
                .map(|card| shopping::CardOut::new(card, &on_hand))
                .collect(),
            basis: basis::all(project),
        }
    }
}

impl Sizes {
    fn new(project: &Project, figures: &Figures) -> Self {
        let plan = &project.plan;
        let finished = figures.finished();
        let rows = project.chart.repeat().height.saturating_mul(plan.repeats_up.max(1));
        let planned =
            || Extent { width: plan.gauge.width(plan.needle_stitches), height: plan.gauge.height(rows) };
        Self {
            chart: figures.chart_size.into(),
            repeat: figures.repeat_size.into(),
            finished: finished.map_or_else(planned, |piece| piece.size).into(),
            finished_stitches: finished.map_or(plan.needle_stitches, |piece| piece.stitches),
            finished_rows: finished.map_or(rows, |piece| piece.rows),
            finished_piece: finished.map(|piece| piece.name.clone()),
        }
    }
}

impl RowOut {
    fn new(line: &YarnLine) -> Self {
        Self {
            stitches: line.count as u64,
            metres: line.metres().into(),
            basis: basis::basis_key(line.basis()),
            range_parts: basis::parts(&line.amount),
        }
    }
}

impl Gauge {
    fn new(project: &Project) -> Self {
        let gauge = project.plan.gauge;
        Self {
            stitches_per_10_cm: rounded(gauge.stitches.get()),
            rows_per_10_cm: rounded(gauge.rows.get()),
            stitches_per_4_in: rounded(gauge.stitches.get() * PER_4_IN_OVER_PER_10_CM),
            rows_per_4_in: rounded(gauge.rows.get() * PER_4_IN_OVER_PER_10_CM),
            cell_width_over_height: rounded(gauge.cell_aspect()),
            against_swatch: project.gauge_standing().key(),
            basis: project.gauge_words(),
        }
    }
}

impl Chart {
    fn new(project: &Project) -> Self {
        let grid = &project.chart.grid;
        let repeat = project.chart.repeat();
        Self {
            width_stitches: grid.width(),
            height_rows: grid.height(),
            repeat_first_stitch: grid.width() + 1 - (repeat.x + repeat.width),
            repeat_first_row: repeat.y + 1,
            repeat_width_stitches: repeat.width,
            repeat_height_rows: repeat.height,
            lone_stitches: project.lone_stitches(),
        }
    }
}

impl From<Extent> for SizeOut {
    fn from(size: Extent) -> Self {
        let inches = |length: Cm| rounded(LengthUnit::Imperial.from_cm(length.get()));
        Self {
            width_cm: rounded(size.width.get()),
            height_cm: rounded(size.height.get()),
            width_in: inches(size.width),
            height_in: inches(size.height),
        }
    }
}

fn shares(project: &Project, figures: &Figures) -> Vec<RolePart> {
    crate::project::Role::ALL
        .into_iter()
        .map(|role| {
            let part = role.part();
            RolePart {
                role: role.word(),
                share_percent: rounded(part.map_or(figures.ground_share, |part| figures.part_shares[part])),
                worked_share_percent: rounded(
                    part.map_or(figures.worked_ground_share, |part| figures.worked_part_shares[part]),
                ),
                target_percent: project.palette.proportion.share(role).map(rounded),
                deviation_percent: part.map(|part| rounded(figures.part_deviations[part])),
            }
        })
        .collect()
}

fn findings<'a>(project: &'a Project, figures: &'a Figures) -> Vec<FindingOut<'a>> {
    let width = project.chart.grid.width();
    let slots = project.palette.slots();
    let name = |slot: &usize| slots.get(*slot).map(|slot| slot.name.as_str());
    let stitch_cm = project.plan.gauge.stitch_width_cm();
    figures
        .findings
        .iter()
        .map(|finding| FindingOut {
            kind: finding.kind.key(),
            severity: finding.severity.key(),
            row: finding.row(),
            stitch: finding.stitch(width),
            rows: finding.place.map(|place| place.height),
            stitches: finding.place.map(|place| place.width),
            length_stitches: finding.length,
            length_cm: finding.length.map(|length| rounded(f64::from(length) * stitch_cm)),
            colour: finding.slots.first().and_then(name),
            colours: finding.slots.iter().filter_map(name).collect(),
            codes: finding.slots.iter().map(|slot| colour_code(*slot)).collect(),
            message: &finding.message,
        })
        .collect()
}

fn yarn<'a>(project: &'a Project, figures: &Figures) -> Vec<Yarn<'a>> {
    let knitted = &figures.knitted.yarn;
    let slots = project.palette.slots().iter().zip(&knitted.colours).enumerate();
    slots
        .map(|(i, (slot, used))| Yarn {
            colour: &slot.name,
            number: i + 1,
            code: colour_code(i),
            role: slot.role.word(),
            hex: slot.colour.to_hex(),
            lstar: rounded(slot.colour.lstar()),
            stitches: used.stitches,
            share_percent: rounded(used.share_percent),
            metres: Lengths::new(knitted.knitted(i), used.metres()),
            grams: used.grams().into(),
            balls: used.balls,
            ball_g: rounded(slot.yarn.put_up.ball_g()),
            metres_per_100g: rounded(slot.yarn.put_up.grist.get()),
            ball_price: slot.yarn.ball_price.map(Price::get),
            cost: used.cost.map(|cost| rounded(cost.get())),
            strands: used.strands,
            sum: knitted.lines_by_kind(i).iter().map(SumLine::new).collect(),
            range_parts: basis::parts(&used.amount),
        })
        .collect()
}

impl SumLine {
    fn new(line: &YarnLine) -> Self {
        Self {
            what: line.kind.name(),
            metres: line.metres().into(),
            basis: basis::basis_key(line.basis()),
            range_parts: basis::parts(&line.amount),
        }
    }
}

fn total(yarn: &PiecesYarn) -> Total {
    Total {
        stitches: yarn.colours.iter().map(|used| used.stitches).sum(),
        metres: Lengths::new(yarn.all_knitted(), yarn.metres()),
        grams: yarn.grams().into(),
        balls: yarn.balls(),
    }
}
