//! The yarn of every colour, opened into its sum.

use super::figures::{number, range};
use super::flow::{Flow, Style};
use super::table::{Column, Row, Table};
use crate::export::instructions::Sized;
use crate::export::quiet::{MARK, quiet};
use crate::knit::pieces::PiecesYarn;
use crate::knit::{Amount, LOOP_LENGTH_VALID_FOR, RANGE_WORDS, RangeBasis, YarnLine};
use crate::project::shopping::reasons as reasons_of;
use crate::project::{Project, key_entry};

/// A table of sums for each colour.
pub fn set(flow: &mut Flow, project: &Project, sized: &Sized, yarn: &PiecesYarn) {
    let size = if sized.sizes.len() > 1 {
        format!(", size {}", sized.sizes[sized.chosen].name)
    } else {
        String::new()
    };
    flow.heading(&format!("Yardage{size}"), Style::HEADING, 50.0);
    flow.words(&project.loop_basis().words(project.units), Style::SMALL);
    flow.words(LOOP_LENGTH_VALID_FOR, Style::SMALL);
    if let Some(caveat) = yarn.caveat() {
        flow.words(caveat, Style::SMALL);
    }
    for (slot, colour) in yarn.colours.iter().enumerate().filter(|(_, colour)| colour.stitches > 0) {
        let palette_slot = &project.palette.slots()[slot];
        let heading = key_entry(slot, palette_slot);
        flow.heading(&heading, Style::SUBHEADING, 30.0);
        let mut rows: Vec<Row> = yarn
            .lines(slot)
            .iter()
            // Hundredths of a metre say nothing.
            .filter(|(_, line)| line.metres().high >= 0.05)
            .map(|(piece, line)| row(project, piece.unwrap_or("All pieces"), line))
            .collect();
        let unit = project.units;
        let metres = |m: f64| number(unit.from_metres(m), 1);
        let together = colour.metres();
        rows.push(Row {
            cells: vec![
                "Together".to_owned(),
                String::new(),
                String::new(),
                String::new(),
                metres(together.likely),
                range(unit.from_metres(together.low), unit.from_metres(together.high), 1),
            ],
            sum: true,
            ..Row::default()
        });
        let unit = project.units.yarn_suffix();
        let columns = vec![
            Column::words("Piece"),
            Column::words("For"),
            Column::figures("How many"),
            Column::figures(&format!("{} each", project.units.length_suffix())),
            Column::figures(&format!("Likely {unit}")),
            Column::figures(&format!("Low to high {unit}")),
        ];
        Table { columns, rows }.set_small(flow);
    }
    reasons(flow, project, yarn);
}

fn row(project: &Project, piece: &str, line: &YarnLine) -> Row {
    let unit = project.units;
    let metres = |m: f64| number(unit.from_metres(m), 1);
    let each = line.each_cm().map(|cm| number(project.units.from_cm(cm), 2));
    let reach = line.metres();
    Row::new(vec![
        piece.to_owned(),
        line.kind.name().to_owned(),
        line.counted(),
        each.unwrap_or_default(),
        metres(reach.likely),
        range(unit.from_metres(reach.low), unit.from_metres(reach.high), 1),
    ])
}

/// The mark of what is no measurement.
const fn mark(basis: RangeBasis) -> &'static str {
    match basis {
        RangeBasis::PublishedFromMemory
        | RangeBasis::Memory
        | RangeBasis::Practice
        | RangeBasis::Judgement => MARK,
        RangeBasis::Measured | RangeBasis::Setting => "",
    }
}

/// Why the figures are ranges, each cause once, and how far it takes the whole.
fn reasons(flow: &mut Flow, project: &Project, yarn: &PiecesYarn) {
    let lines: Vec<YarnLine> =
        (0..yarn.colours.len()).flat_map(|slot| yarn.lines(slot).into_iter().map(|(_, line)| line)).collect();
    flow.heading("Why a range", Style::HEADING, 3.0 * Style::SMALL.line());
    flow.words(&quiet(RANGE_WORDS, true), Style::SMALL);
    let all: Amount = lines.iter().map(|line| line.amount).sum();
    for (what, cause) in reasons_of(&lines) {
        let reach = all.reach(cause);
        if reach.low.max(reach.high) < 0.5 {
            continue;
        }
        let metres = |m: f64| number(project.units.from_metres(m), 0);
        let words = format!(
            "{} −{} to +{} {} in all{}. In {}.",
            cause.reason(),
            metres(reach.low),
            metres(reach.high),
            project.units.yarn_suffix(),
            mark(cause.basis()),
            what.to_lowercase()
        );
        flow.hanging(&format!("{}:", cause.name()), &words, 32.0, Style::SMALL);
    }
}
