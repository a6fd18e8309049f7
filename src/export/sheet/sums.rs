//! The yarn of every colour, opened into its sum.

use super::flow::{Flow, Style};
use super::table::{Column, Row, Table};
use crate::knit::LOOP_LENGTH_VALID_FOR;
use crate::knit::pieces::{Item, PiecesYarn};
use crate::project::shopping::{reasons as reasons_of, sum_of};
use crate::project::{Project, key_entry};

/// A table of sums for each colour.
pub fn set(flow: &mut Flow, project: &Project, yarn: &PiecesYarn) {
    flow.heading("Yardage", Style::HEADING, 50.0);
    flow.words(&project.loop_basis().words(project.units), Style::SMALL);
    flow.words(LOOP_LENGTH_VALID_FOR, Style::SMALL);
    for (slot, colour) in yarn.colours.iter().enumerate().filter(|(_, colour)| colour.stitches > 0) {
        let palette_slot = &project.palette.slots()[slot];
        let heading = key_entry(slot, palette_slot);
        flow.heading(&heading, Style::SUBHEADING, 30.0);
        let mut rows: Vec<Row> = sum_of(yarn, slot)
            .into_iter()
            // Hundredths of a metre say nothing.
            .filter(|(_, item)| item.metres.high >= 0.05)
            .map(|(piece, item)| row(project, piece.unwrap_or("All pieces"), item))
            .collect();
        let metres = |m: f64| format!("{:.1}", project.units.from_metres(m));
        rows.push(Row {
            cells: vec![
                "Together".to_owned(),
                String::new(),
                String::new(),
                String::new(),
                metres(colour.metres.likely),
                format!("{} to {}", metres(colour.metres.low), metres(colour.metres.high)),
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
        Table { columns, rows }.set(flow);
    }
    reasons(flow, yarn);
}

fn row(project: &Project, piece: &str, item: Item) -> Row {
    let metres = |m: f64| format!("{:.1}", project.units.from_metres(m));
    let counted = item.of != "per cent";
    let each = if counted && item.count > 0.0 {
        format!("{:.2}", project.units.from_cm(item.each_cm().likely))
    } else {
        String::new()
    };
    Row::new(vec![
        piece.to_owned(),
        item.what.to_owned(),
        item.counted(),
        each,
        metres(item.metres.likely),
        format!("{} to {}", metres(item.metres.low), metres(item.metres.high)),
    ])
}

/// Why the figures are ranges, each reason once.
fn reasons(flow: &mut Flow, yarn: &PiecesYarn) {
    let lines: Vec<Item> = (0..yarn.colours.len())
        .flat_map(|slot| sum_of(yarn, slot).into_iter().map(|(_, item)| item))
        .collect();
    let told = reasons_of(&lines);
    flow.heading("Why a range", Style::SUBHEADING, 3.0 * Style::SMALL.line());
    for (what, reason) in told {
        flow.hanging(&format!("{what}:"), reason, 58.0, Style::SMALL);
    }
}
