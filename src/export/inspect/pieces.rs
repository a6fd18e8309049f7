//! The pieces in every size: stitches, rows, finished lengths, and how the charts sit.

use std::collections::BTreeMap;

use serde::Serialize;

use super::{construction_key, technique_key};
use crate::export::json::{key, rounded};
use crate::knit::pieces::{
    ChartFit, Count, Fabric, Finish, Opening, Pace, Piece, Size, Taken, Ways, WorkedBand, WorkedExtra,
    WorkedPiece, WorkedStep, openings,
};
use crate::knit::{Gauge, Passing};
use crate::project::Project;
use crate::project::shopping::SizeFigures;

/// A piece as it is planned, whatever the size.
#[derive(Serialize)]
pub(super) struct PieceOut<'a> {
    name: &'a str,
    copies: u32,
    construction: &'static str,
    begins: String,
    ends: String,
    bands: Vec<&'a str>,
}

/// The pieces in one size.
#[derive(Serialize)]
pub(super) struct SizeOut<'a> {
    name: String,
    /// Whether this is the size that yarn is counted for.
    chosen: bool,
    /// Planned, under the key it had before that as worked was told.
    ease_cm: f64,
    ease_planned_cm: f64,
    /// Of whole stitches and repeats; absent where no pieces go around what is measured.
    ease_as_worked_cm: Option<f64>,
    body_cm: BTreeMap<String, f64>,
    /// Why the pieces cannot be worked in this size; absent when they can.
    problem: Option<String>,
    stitches: u64,
    hours: f64,
    metres_likely: f64,
    metres_high: f64,
    grams_likely: f64,
    /// To buy, what is on hand taken off.
    balls: u64,
    /// Absent while a colour that is bought has no price.
    cost: Option<f64>,
    pieces: Vec<WorkedOut<'a>>,
    /// What must pass through each opening, and whether it does.
    openings: Vec<OpeningOut>,
}

#[derive(Serialize)]
struct OpeningOut {
    piece: String,
    opening: &'static str,
    girth_cm: f64,
    /// The measurement that must pass, and its girth.
    must_pass: String,
    must_pass_cm: f64,
    /// What the opening surely stretches to.
    surely_cm: f64,
    /// The farthest the opening stretches, and what limits it.
    reach_cm: f64,
    limited_by: String,
    verdict: &'static str,
}

#[derive(Serialize)]
struct WorkedOut<'a> {
    name: String,
    copies: u32,
    start_stitches: u32,
    start_width_cm: f64,
    end_stitches: u32,
    end_width_cm: f64,
    set_aside_stitches: u32,
    rows: u32,
    length_cm: f64,
    wanted_length_cm: Option<f64>,
    /// Of one copy.
    stitches: u64,
    /// Those of them in rows of several colours carried along, and in rows of several areas.
    stranded_stitches: u64,
    intarsia_stitches: u64,
    area_cm2: f64,
    /// For all copies.
    hours: f64,
    bands: Vec<BandOut<'a>>,
    /// What is done, from the first step to the last.
    steps: Vec<String>,
    /// What the fabric must gather at the least to be worn; absent for a piece of rows.
    gather_percent: Option<f64>,
}

#[derive(Serialize)]
struct BandOut<'a> {
    name: String,
    fabric: String,
    technique: &'static str,
    /// For a chart, the colour of its edge stitches.
    colours: Vec<&'a str>,
    start: CountOut,
    end: CountOut,
    rows: u32,
    height_cm: f64,
    wanted_height_cm: Option<f64>,
    /// Gained, or lost below 0, evenly across the first row.
    change_at_start_stitches: i64,
    shaping_rows: u32,
    chart: Option<ChartOut>,
}

/// A stitch count, and the next ones that keep the repeat.
#[derive(Serialize)]
struct CountOut {
    stitches: u32,
    width_cm: f64,
    wanted_width_cm: Option<f64>,
    off_cm: Option<f64>,
    below_stitches: Option<u32>,
    above_stitches: u32,
}

#[derive(Serialize)]
struct ChartOut {
    divides: bool,
    /// The first row, from 1, in which the repeat does not work out.
    breaks_at_row: Option<u32>,
    repeat_stitches: u32,
    repeats_across: u32,
    edge_stitches: u32,
    left_over_stitches: u32,
    repeat_rows: u32,
    /// The row of the repeat, from 1, that the band begins with: above a steek the chart goes on.
    from_row: u32,
    repeats_up: u32,
    rows_over: u32,
    holds_shaping: bool,
}

/// The pieces of the project; none until some are chosen.
pub(super) fn pieces(project: &Project) -> Vec<PieceOut<'_>> {
    project.pieces.pieces.iter().map(PieceOut::new).collect()
}

/// Every size; a project without sizes has one that fits nobody in particular, and one without pieces
/// is its chart as planned.
pub(super) fn sizes(project: &Project) -> Vec<SizeOut<'_>> {
    let sizes = project.pieces.all_sizes();
    let chosen = if project.pieces.chosen < sizes.len() { project.pieces.chosen } else { 0 };
    sizes.iter().enumerate().map(|(i, size)| SizeOut::new(project, size, i == chosen)).collect()
}

impl<'a> PieceOut<'a> {
    fn new(piece: &'a Piece) -> Self {
        Self {
            name: &piece.name,
            copies: piece.copies,
            construction: construction_key(piece.construction),
            begins: key(piece.start.name()),
            ends: key(piece.end.name()),
            bands: piece.bands.iter().map(|band| band.name.as_str()).collect(),
        }
    }
}

impl<'a> SizeOut<'a> {
    fn new(project: &'a Project, size: &Size, chosen: bool) -> Self {
        let (worked, problem) = match project.work_pieces(size) {
            Ok(worked) => (worked, None),
            Err(problem) => (Vec::new(), Some(problem.to_string())),
        };
        let all = |piece: &WorkedPiece| piece.stitches() * u64::from(piece.copies);
        let pace = project.pieces.pace;
        let figures = SizeFigures::of(project, &worked);
        Self {
            metres_likely: rounded(figures.yarn.metres().likely),
            metres_high: rounded(figures.yarn.metres().high),
            grams_likely: rounded(figures.yarn.grams().likely),
            balls: figures.yarn.balls(),
            cost: figures.yarn.cost().map(|cost| rounded(cost.get())),
            name: size.name.clone(),
            chosen,
            ease_cm: rounded(size.ease_cm),
            ease_planned_cm: rounded(size.ease_cm),
            ease_as_worked_cm: project.ease_as_worked(size, &worked).map(rounded),
            body_cm: size.body.known().map(|(measure, cm)| (key(measure.name()), rounded(cm))).collect(),
            problem,
            stitches: worked.iter().map(all).sum(),
            hours: rounded(figures.hours),
            openings: openings(&project.pieces.pieces, &worked, size, project.plan.gauge)
                .iter()
                .map(|opening| OpeningOut::new(project, opening))
                .collect(),
            pieces: worked.iter().map(|piece| WorkedOut::new(project, piece, pace)).collect(),
        }
    }
}

impl OpeningOut {
    fn new(project: &Project, opening: &Opening) -> Self {
        let piece = project.pieces.pieces.get(opening.piece);
        Self {
            piece: piece.map_or_else(String::new, |piece| piece.name.clone()),
            opening: opening.kind.key(),
            girth_cm: rounded(opening.girth_cm),
            must_pass: key(opening.kind.must_pass().name()),
            must_pass_cm: rounded(opening.must_pass_cm),
            surely_cm: rounded(opening.surely_cm()),
            reach_cm: rounded(opening.passage.reach_cm),
            limited_by: opening.edge.name().to_owned(),
            verdict: match opening.passage.verdict {
                Passing::Passes => "passes",
                Passing::Barely => "barely",
                Passing::DoesNot => "does_not",
            },
        }
    }
}

impl<'a> WorkedOut<'a> {
    fn new(project: &'a Project, piece: &WorkedPiece, pace: Pace) -> Self {
        let gauge = project.plan.gauge;
        let width = |stitches: u32| rounded(gauge.width(stitches).get());
        let ways = Ways::of(piece, project.pattern());
        Self {
            name: piece.name.clone(),
            copies: piece.copies,
            start_stitches: piece.first_stitches(),
            start_width_cm: width(piece.worn_ends().0),
            end_stitches: piece.last_stitches(),
            end_width_cm: width(piece.worn_ends().1),
            set_aside_stitches: piece.set_aside,
            rows: piece.rows(),
            length_cm: rounded(piece.height_cm(gauge)),
            wanted_length_cm: piece.wanted_cm.map(rounded),
            stitches: piece.stitches(),
            stranded_stitches: ways.stranded / u64::from(piece.copies.max(1)),
            intarsia_stitches: ways.intarsia / u64::from(piece.copies.max(1)),
            area_cm2: rounded(piece.area_cm2(gauge)),
            hours: rounded(pace.hours(ways)),
            bands: piece.bands.iter().map(|band| BandOut::new(project, band)).collect(),
            steps: piece.steps().iter().map(|step| step_words(piece, step)).collect(),
            gather_percent: piece.gather(gauge).map(|gather| rounded(gather.percent())),
        }
    }
}

/// A step in a line: what is done, and with how many stitches.
fn step_words(piece: &WorkedPiece, step: &WorkedStep) -> String {
    let name = step.name();
    match step {
        WorkedStep::CastOn(n)
        | WorkedStep::BindOff(n)
        | WorkedStep::DrawThrough(n)
        | WorkedStep::GraftHalves(n) => {
            format!("{name}: {n}")
        }
        WorkedStep::TakeUp(taken) => {
            let parts = taken.iter().map(|taken| match taken {
                Taken::Group { name, stitches } => format!("{stitches} of {name}"),
                Taken::PickedUp { along, stitches, .. } => format!("{stitches} along {along}"),
                Taken::CastOn { stitches } => format!("{stitches} cast on"),
                Taken::Opening { name, below, corners } => {
                    format!("{} of opening {name}", 2 * (below + corners))
                }
            });
            format!("{name}: {}", parts.collect::<Vec<_>>().join(", "))
        }
        WorkedStep::Join => name.to_owned(),
        WorkedStep::Band(place) => format!("{name}: {}", piece.bands[*place].name),
        WorkedStep::Extra(WorkedExtra::Opening { name: opening, stitches, .. }) => {
            format!("{name}: {stitches} for {opening}")
        }
        WorkedStep::Extra(WorkedExtra::Steek { name: steek, aside, bridge }) => {
            format!("{name}: {steek}, {aside} set aside, {bridge} cast on")
        }
        WorkedStep::Extra(WorkedExtra::ShortRows { rows, .. } | WorkedExtra::HeelTurn { rows, .. }) => {
            format!("{name}: {} rows", rows.len())
        }
        WorkedStep::Hold => {
            let parts = piece.live.iter().map(|part| format!("{} {}", part.stitches, part.name));
            format!("{name}: {}", parts.collect::<Vec<_>>().join(", "))
        }
        WorkedStep::Finish(Finish::Graft { one, other } | Finish::ThreeNeedle { one, other }) => {
            format!("{name}: {one}, {other}")
        }
        WorkedStep::Finish(Finish::Seam(what)) => format!("{name}: {what}"),
        WorkedStep::Finish(Finish::Steek { stitches, place }) => format!("{name}: {stitches}, {place}"),
    }
}

impl<'a> BandOut<'a> {
    fn new(project: &'a Project, band: &WorkedBand) -> Self {
        let gauge = project.plan.gauge;
        let slots = project.palette.slots();
        let name = |slot: &usize| slots.get(*slot).map(|slot| slot.name.as_str());
        Self {
            name: band.name.clone(),
            fabric: match band.fabric {
                Fabric::Ribbing { knit, purl } => format!("ribbing_k{knit}_p{purl}"),
                other => key(other.name()),
            },
            technique: technique_key(band.technique),
            colours: band.colours.iter().filter_map(name).collect(),
            start: CountOut::new(band.start, gauge),
            end: CountOut::new(band.end, gauge),
            rows: band.rows(),
            height_cm: rounded(band.height_cm(gauge)),
            wanted_height_cm: band.wanted_cm.map(rounded),
            change_at_start_stitches: band.change_at_start(),
            shaping_rows: band.schedule.events(),
            chart: band.chart.map(ChartOut::new),
        }
    }
}

impl CountOut {
    fn new(count: Count, gauge: Gauge) -> Self {
        let (below, above) = count.neighbours();
        Self {
            stitches: count.stitches,
            width_cm: rounded(count.finished_cm(gauge)),
            wanted_width_cm: count.wanted_cm.map(rounded),
            off_cm: count.off_cm(gauge).map(rounded),
            below_stitches: below.map(|count| count.stitches),
            above_stitches: above.stitches,
        }
    }
}

impl ChartOut {
    const fn new(fit: ChartFit) -> Self {
        Self {
            divides: fit.divides(),
            breaks_at_row: fit.breaks_at,
            repeat_stitches: fit.repeat_stitches,
            repeats_across: fit.across,
            edge_stitches: fit.edge,
            left_over_stitches: fit.left_over,
            repeat_rows: fit.repeat_rows,
            from_row: fit.first_row + 1,
            repeats_up: fit.up,
            rows_over: fit.rows_over,
            holds_shaping: fit.shaped,
        }
    }
}
