//! What is worth a second look in a project: floats, colours in a row, small figures, contrast,
//! proportion, repeat, material.
//!
//! Findings advise; none forbids. Each can name the stitches it is about.

mod colours;
mod floats;
mod marks;
mod material;
mod pieces;
mod places;
mod shaping;
mod sits;
mod small_figures;

use floats::FloatRows;
pub(super) use material::{busyness, busyness_of};
use small_figures::LeastBoxes;

use super::colour_code::colour_code;
use super::model::Project;
use crate::chart::{Contact, Rect, RepeatFit, RowFacts};
use crate::knit::{Construction, Technique};
use crate::units::both_lengths;

/// Findings of one kind that are listed one by one; the rest are counted.
pub const MOST_OF_A_KIND: usize = 20;

/// What a finding is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum FindingKind {
    /// A strand passes behind more stitches than the float limit.
    LongFloat,
    /// More colours in a row than the technique or the plan allows.
    ManyColours,
    /// A row of the chart does not follow from the row below it.
    Shaping,
    /// Figures under 3 x 3 stitches.
    SmallMotif,
    /// Touching colours that are close in value.
    CloseValues,
    /// A role covers more or less than its target.
    Proportion,
    /// The repeat does not go evenly into the stitches on the needle, or makes a band another width than was asked for.
    RepeatFit,
    /// The technique does not suit the construction.
    Technique,
    /// The yarn contradicts the chart, or what the piece must withstand.
    Yarn,
    /// The plan or the chart contradicts the swatch.
    Swatch,
    /// A piece that cannot be worked in a size.
    Unworkable,
    /// Live stitches of a piece that nothing closes, or a step that cannot be done with what is live.
    OpenStitches,
    /// A piece that must gather to be worn.
    Gathering,
    /// A chart that begins on a wrong-side row.
    ChartSide,
    /// An opening that does not let the wearer through, or a girth or depth below the wearer's.
    Opening,
    /// A motif that is not in the middle of a front that is cut open.
    OffCentre,
}

impl FindingKind {
    /// All kinds.
    pub const ALL: [Self; 16] = [
        Self::LongFloat,
        Self::ManyColours,
        Self::Shaping,
        Self::SmallMotif,
        Self::CloseValues,
        Self::Proportion,
        Self::RepeatFit,
        Self::Technique,
        Self::Yarn,
        Self::Swatch,
        Self::Unworkable,
        Self::OpenStitches,
        Self::Gathering,
        Self::ChartSide,
        Self::Opening,
        Self::OffCentre,
    ];

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::LongFloat => "Long float",
            Self::ManyColours => "Many colours",
            Self::Shaping => "Shaping",
            Self::SmallMotif => "Small figures",
            Self::CloseValues => "Close in value",
            Self::Proportion => "Proportion off",
            Self::RepeatFit => "Repeat does not fit",
            Self::Technique => "Technique",
            Self::Yarn => "Yarn",
            Self::Swatch => "Swatch",
            Self::Unworkable => "Cannot be worked",
            Self::OpenStitches => "Open stitches",
            Self::Gathering => "Gathering",
            Self::ChartSide => "Wrong-side chart",
            Self::Opening => "Opening and fit",
            Self::OffCentre => "Motif off centre",
        }
    }

    /// Stable name for files and programs.
    pub const fn key(self) -> &'static str {
        match self {
            Self::LongFloat => "long_float",
            Self::ManyColours => "many_colours",
            Self::Shaping => "shaping",
            Self::SmallMotif => "small_motif",
            Self::CloseValues => "close_values",
            Self::Proportion => "proportion",
            Self::RepeatFit => "repeat_fit",
            Self::Technique => "technique",
            Self::Yarn => "yarn",
            Self::Swatch => "swatch",
            Self::Unworkable => "unworkable",
            Self::OpenStitches => "open_stitches",
            Self::Gathering => "gathering",
            Self::ChartSide => "chart_side",
            Self::Opening => "opening",
            Self::OffCentre => "off_centre",
        }
    }
}

/// How much a finding matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Severity {
    /// Good to know; often meant so.
    Note,
    /// Will show or will cost effort.
    Warning,
    /// Will spoil the piece or cannot be worked as planned.
    Problem,
}

impl Severity {
    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Note => "Note",
            Self::Warning => "Warning",
            Self::Problem => "Problem",
        }
    }

    /// Stable name for files and programs.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Warning => "warning",
            Self::Problem => "problem",
        }
    }
}

/// One thing worth a second look.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// What it is about.
    pub kind: FindingKind,
    /// How much it matters.
    pub severity: Severity,
    /// The stitches to show, in cells of the chart.
    pub place: Option<Rect>,
    /// The palette slots it is about.
    pub slots: Vec<usize>,
    /// Its length in stitches, for a float.
    pub length: Option<u32>,
    /// What tells it from others of its kind where its place does not, in few words.
    pub told: String,
    /// What a knitter should know, in whole sentences; rows and stitches as knitters count them.
    pub message: String,
}

impl Finding {
    /// A finding about the whole piece.
    fn new(kind: FindingKind, severity: Severity, message: String) -> Self {
        Self { kind, severity, place: None, slots: Vec::new(), length: None, told: String::new(), message }
    }

    /// Where it is or what it is about, in few enough words that they stand whole beside the name of the kind in a
    /// narrow column.
    pub fn brief(&self) -> String {
        let (Some(place), true) = (self.place, self.told.is_empty()) else { return self.told.clone() };
        let row = place.y + 1;
        match (self.kind, self.length, &self.slots[..]) {
            (FindingKind::LongFloat, Some(length), _) => format!("row {row}, {length} stitches"),
            (FindingKind::ManyColours, _, slots) => format!("row {row}, {} colours", slots.len()),
            (FindingKind::SmallMotif, ..) => format!("first in row {row}"),
            (FindingKind::CloseValues, _, [a, b]) => format!("{} and {}", colour_code(*a), colour_code(*b)),
            (FindingKind::RepeatFit, ..) => format!("{} stitches", place.width),
            _ => format!("row {row}"),
        }
    }

    /// Row of its first stitch, from 1 at the bottom.
    pub fn row(&self) -> Option<u32> {
        self.place.map(|place| place.y + 1)
    }

    /// Number of its first stitch in a chart of `width` stitches, from 1 at the right.
    pub fn stitch(&self, width: u32) -> Option<u32> {
        self.place.map(|place| (width + 1).saturating_sub(place.x + place.width))
    }
}

/// What the findings rest on, worked out once for all of them.
pub(super) struct Facts<'a> {
    pub project: &'a Project,
    /// Of the repeat, the bottom one first.
    pub rows: &'a [RowFacts],
    pub repeat_fit: &'a RepeatFit,
    pub contacts: &'a [Contact],
    /// Per cent of the stitches that are not ground, per part of the 60-30-10.
    pub part_shares: [f64; 3],
}

/// What the findings of one state of a project leave to those of the next.
#[derive(Debug, Default)]
pub(super) struct FindingsMemory {
    floats: FloatRows,
    boxes: LeastBoxes,
}

/// Every finding, the most serious first, each kind in its own order.
pub(super) fn all(facts: &Facts, memory: &mut FindingsMemory) -> Vec<Finding> {
    let Facts { project, rows, .. } = *facts;
    let stranded = project.plan.technique == Technique::Stranded;
    let mut findings =
        if stranded { floats::long_floats(project, rows, &mut memory.floats) } else { Vec::new() };
    findings.extend(colours::many_in_a_row(project, rows));
    findings.extend(small_figures::small_figures(project, rows, &mut memory.boxes));
    findings.extend(colours::close_values(project, facts.contacts));
    findings.extend(colours::proportion(project, facts.part_shares));
    findings.extend(shaping::unbalanced_rows(project, rows));
    findings.extend(repeat(project, facts.repeat_fit));
    findings.extend(technique(project));
    findings.extend(material::contradictions(project, rows));
    findings.extend(pieces::pieces(project));
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.severity));
    findings
}

fn repeat(project: &Project, fit: &RepeatFit) -> Option<Finding> {
    if fit.divides() {
        return None;
    }
    let units = project.units;
    let choice = |even: crate::chart::EvenCount| {
        let way = if even.change < 0 { "narrower" } else { "wider" };
        format!("{} stitches ({} {way})", even.stitches, both_lengths(even.change_cm.abs(), units))
    };
    let choices: Vec<_> = [fit.below, fit.above].into_iter().flatten().map(choice).collect();
    let left_over = match (fit.repeats, fit.left_over) {
        (0, _) => "not even one fits".to_owned(),
        (_, 1) => "1 stitch is left over".to_owned(),
        (_, more) => format!("{more} stitches are left over"),
    };
    let mend = if choices.is_empty() { String::new() } else { format!(" Use {}", choices.join(" or ")) };
    let centred = if fit.centred.is_some() { ", or begin and end with a part of the repeat" } else { "" };
    let message = format!(
        "{} stitches on the needle are not whole repeats of {}: {left_over}.{mend}{centred}.",
        fit.stitches, fit.repeat
    );
    // In the round the pattern breaks where the round closes; flat, a part repeat at each edge is common.
    let severity = match project.plan.construction {
        Construction::InTheRound => Severity::Warning,
        Construction::Flat => Severity::Note,
    };
    let place = Some(project.chart.repeat());
    Some(Finding { place, ..Finding::new(FindingKind::RepeatFit, severity, message) })
}

fn technique(project: &Project) -> Option<Finding> {
    let plan = &project.plan;
    let clash = plan.technique == Technique::Intarsia && plan.construction == Construction::InTheRound;
    clash.then(|| {
        let message = "Intarsia is worked flat: in the round every bobbin ends on the far side of its area. \
                       Plan it flat, or strand the colours."
            .to_owned();
        let told = "intarsia in rounds".to_owned();
        Finding { told, ..Finding::new(FindingKind::Technique, Severity::Warning, message) }
    })
}

/// The first [`MOST_OF_A_KIND`] of `findings` and, if there were `unlisted` more or some are cut off
/// here, one note that counts them.
fn capped(mut findings: Vec<Finding>, unlisted: usize, kind: FindingKind) -> Vec<Finding> {
    let more = unlisted + findings.len().saturating_sub(MOST_OF_A_KIND);
    findings.truncate(MOST_OF_A_KIND);
    if more > 0 {
        let message =
            format!("And {more} more of this kind ({}); the list is cut here.", kind.name().to_lowercase());
        findings
            .push(Finding { told: format!("{more} more"), ..Finding::new(kind, Severity::Note, message) });
    }
    findings
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::chart::{Cell, Grid, RowFactsMemo, repeat_fit, row_facts};
    use crate::project::{Chart, Edit};

    /// A project whose chart is drawn top row first (`.` no stitch, digits slots; 0 main, 1 supporting,
    /// 2 accent, 3 ground), worked four times around at 28 x 32 stitches per 10 cm.
    pub fn drawn(rows: &[&str]) -> Project {
        let cells = rows.iter().rev().flat_map(|row| row.bytes()).map(|byte| match byte {
            b'.' => Cell::NO_STITCH,
            digit => Cell::slot(digit - b'0'),
        });
        let (width, height) = (rows[0].len() as u32, rows.len() as u32);
        let mut project = Project::default();
        let grid = Grid::from_cells(width, height, cells.collect()).unwrap();
        project.apply(Edit::Chart(Box::new(Chart::new(grid))));
        project.plan.needle_stitches = 4 * width;
        project
    }

    /// The facts of all rows of the repeat.
    pub fn rows(project: &Project) -> Vec<RowFacts> {
        row_facts(&mut RowFactsMemo::default(), &project.chart.grid, project.repeat_how()).to_vec()
    }

    fn of(project: &Project) -> Vec<Finding> {
        crate::project::figures::Figures::of(project).findings
    }

    #[test]
    fn a_plain_chart_is_beyond_reproach() {
        let mut project = Project::default();
        project.plan.needle_stitches = 144;
        assert_eq!(of(&project), []);
    }

    #[test]
    fn a_peerie_of_two_colours_raises_no_warning() {
        // Small crosses and seeds between them: no float over 3 stitches, dark on light.
        let project = drawn(&["03033333", "30333033", "03033333"]);
        let found = of(&project);
        let about_stitches = |f: &&Finding| f.kind != FindingKind::Proportion;
        let found: Vec<_> = found.iter().filter(about_stitches).map(|f| (f.kind, f.severity)).collect();
        assert_eq!(found, [(FindingKind::SmallMotif, Severity::Note)]);
    }

    #[test]
    fn the_most_serious_comes_first() {
        let project = drawn(&["000000000000000001", "012333333333333333"]);
        let severities: Vec<_> = of(&project).iter().map(|f| f.severity).collect();
        assert!(severities.windows(2).all(|pair| pair[0] >= pair[1]));
        assert_eq!(severities[0], Severity::Problem);
        assert_eq!(of(&project), of(&project));
    }

    #[test]
    fn a_repeat_that_does_not_go_around_says_what_would() {
        let mut project = drawn(&["330330333330", "330330333330"]);
        project.plan.needle_stitches = 145;
        let fit = repeat_fit(145, 12, 0, project.plan.gauge);
        let finding = repeat(&project, &fit).unwrap();
        assert_eq!(
            finding.message,
            "145 stitches on the needle are not whole repeats of 12: 1 stitch is left over. Use 144 stitches \
             (0.4 cm (0.1 in) narrower) or 156 stitches (3.9 cm (1.5 in) wider), or begin and end with a \
             part of the repeat."
        );
        assert_eq!(finding.severity, Severity::Warning);
        project.plan.construction = Construction::Flat;
        assert_eq!(repeat(&project, &fit).unwrap().severity, Severity::Note);
    }

    #[test]
    fn a_place_reads_from_the_right() {
        let place = Some(Rect::new(2, 4, 3, 1));
        let finding =
            Finding { place, ..Finding::new(FindingKind::LongFloat, Severity::Note, String::new()) };
        assert_eq!((finding.row(), finding.stitch(24)), (Some(5), Some(20)));
    }

    #[test]
    fn a_long_list_is_cut_and_counted() {
        let one = Finding::new(FindingKind::LongFloat, Severity::Warning, String::new());
        let cut = capped(vec![one.clone(); MOST_OF_A_KIND + 3], 4, FindingKind::LongFloat);
        assert_eq!(cut.len(), MOST_OF_A_KIND + 1);
        assert_eq!(
            cut[MOST_OF_A_KIND].message,
            "And 7 more of this kind (long float); the list is cut here."
        );
        assert_eq!(capped(vec![one], 0, FindingKind::LongFloat).len(), 1);
    }
}
