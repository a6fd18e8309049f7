//! The first pages of a pattern sheet: what to have, what it measures, how the pieces look.

use super::chart_pages::looks;
use super::flow::{BODY, Flow, Style};
use super::table::{Column, Row, Table};
use crate::export::instructions::Sized;
use crate::export::schematic;
use crate::knit::Construction;
use crate::knit::pieces::{PiecesYarn, WorkedBand, WorkedPiece};
use crate::project::Project;
use crate::units::LengthUnit;

/// Title, size and notes.
pub fn title(flow: &mut Flow, project: &Project, sized: &Sized) {
    flow.words(&project.title, Style::TITLE);
    if sized.sizes.len() > 1 {
        let chosen = &sized.sizes[sized.chosen].name;
        let names = sized.size_names();
        flow.words(&format!("Sizes {names}. Yarn, schematic and times are for size {chosen}."), Style::SMALL);
    }
    if !project.notes.trim().is_empty() {
        flow.gap(2.0);
        flow.words(project.notes.trim(), Style::BODY);
    }
}

/// The yarns to have.
pub fn materials(flow: &mut Flow, project: &Project, yarn: &PiecesYarn, names: &[String]) {
    flow.heading("Materials", Style::HEADING, 30.0);
    let unit = project.units;
    let (length, mass) = (unit.yarn_suffix(), unit.mass_suffix());
    let priced = yarn.colours.iter().any(|colour| colour.balls > 0 && colour.cost.is_some());
    let mut columns = vec![
        Column::words("Colour"),
        Column::words(""),
        Column::figures(&format!("Likely {length}")),
        Column::figures(&format!("Low to high {length}")),
        Column::figures(mass),
        Column::figures("Balls to buy"),
    ];
    if priced {
        columns.push(Column::figures("Price"));
    }
    let looks = looks(project);
    let row = |((slot, colour), (name, look))| {
        let (slot, colour): (&crate::project::Slot, &crate::knit::pieces::ColourYarn) = (slot, colour);
        let metres = |m: f64| format!("{:.0}", unit.from_metres(m));
        let grams = |g: f64| match unit {
            LengthUnit::Metric => format!("{g:.0}"),
            LengthUnit::Imperial => format!("{:.1}", unit.from_grams(g)),
        };
        let ball = format!(
            "{} of {:.0} g, {:.0} m per 100 g",
            colour.balls,
            slot.yarn.put_up.ball_g(),
            slot.yarn.put_up.grist.get()
        );
        let mut cells = vec![
            format!("{name}  {}", slot.name),
            slot.colour.to_hex(),
            metres(colour.metres.likely),
            format!("{} to {}", metres(colour.metres.low), metres(colour.metres.high)),
            grams(colour.grams.likely),
            ball,
        ];
        if priced {
            cells.push(colour.cost.map_or_else(|| "-".to_owned(), |cost| format!("{cost:.2}")));
        }
        Row { look: Some(Clone::clone(look)), cells, sum: false }
    };
    let slots = project.palette.slots().iter().zip(&yarn.colours).zip(names.iter().zip(&looks));
    let mut rows: Vec<Row> = slots.filter(|((_, colour), _)| colour.stitches > 0).map(row).collect();
    if let Some(cost) = yarn.cost().filter(|_| priced) {
        let (all, grams) = (yarn.metres(), yarn.grams());
        let figure = |m: f64| format!("{:.0}", unit.from_metres(m));
        rows.push(Row {
            sum: true,
            cells: vec![
                "Together".to_owned(),
                String::new(),
                figure(all.likely),
                format!("{} to {}", figure(all.low), figure(all.high)),
                format!("{:.0}", unit.from_grams(grams.likely)),
                String::new(),
                format!("{cost:.2}"),
            ],
            ..Row::default()
        });
    }
    Table { columns, rows }.set(flow);
    flow.words(
        "Balls hold the high figure, less what is on hand. Buy all balls of a colour from one dye lot, and \
         wash and care for the piece as the labels say.",
        Style::SMALL,
    );
}

/// Gauge, and how it is worked.
pub fn gauge(flow: &mut Flow, project: &Project) {
    flow.heading("Gauge", Style::HEADING, 2.0 * Style::BODY.line());
    let gauge = project.plan.gauge;
    let count = |unit: LengthUnit| {
        let factor = unit.gauge_factor();
        let (stitches, rows) = (gauge.stitches.get() * factor, gauge.rows.get() * factor);
        format!("{stitches:.1} sts and {rows:.1} rows in {}", unit.gauge_base())
    };
    let words = format!(
        "{} ({}), washed, {}, {}.",
        count(LengthUnit::Metric),
        count(LengthUnit::Imperial),
        project.plan.technique.name().to_lowercase(),
        project.plan.construction.name().to_lowercase()
    );
    flow.words(&words, Style::BODY);
}

/// Stitches, rows and finished measurements of every size, side by side.
pub fn sizes(flow: &mut Flow, project: &Project, sized: &Sized) {
    flow.heading("Sizes", Style::HEADING, 40.0);
    let unit = project.units;
    let gauge = project.plan.gauge;
    let mut columns = vec![Column::words("Piece")];
    columns.extend(sized.sizes.iter().map(|size| Column::figures(&size.name)));
    let mut rows = Vec::new();
    let mut row = |what: String, figure: &dyn Fn(&[WorkedPiece]) -> Option<String>| {
        let cells: Vec<String> =
            sized.worked.iter().map(|pieces| figure(pieces).unwrap_or_default()).collect();
        if cells.iter().any(|cell| !cell.is_empty()) {
            rows.push(Row::new([vec![what], cells].concat()));
        }
    };
    let length = |cm: f64| format!("{:.1} {}", unit.from_cm(cm), unit.length_suffix());
    let width = |stitches: u32| format!("{} ({stitches} sts)", length(gauge.width(stitches).get()));
    let off = |cm: f64| format!("{:+.1} {}", unit.from_cm(cm), unit.length_suffix());
    for (i, piece) in sized.chosen_pieces().iter().enumerate() {
        let across = if piece.construction == Construction::InTheRound { "around" } else { "wide" };
        row(format!("{}, {across} at the start", piece.name), &|pieces| {
            Some(width(pieces.get(i)?.first_stitches()))
        });
        if piece.first_stitches() != piece.last_stitches() {
            row(format!("{}, {across} at the end", piece.name), &|pieces| {
                Some(width(pieces.get(i)?.last_stitches()))
            });
        }
        row(format!("{}, length", piece.name), &|pieces| {
            let piece = pieces.get(i)?;
            Some(format!("{} ({} rows)", length(piece.height_cm(gauge)), piece.rows()))
        });
        for (j, band) in piece.bands.iter().enumerate().filter(|(_, band)| band.chart.is_some()) {
            let of = |pieces: &[WorkedPiece]| pieces.get(i)?.bands.get(j).cloned();
            row(format!("{}, {}: repeats", piece.name, band.name.to_lowercase()), &|pieces| {
                of(pieces).and_then(|band: WorkedBand| band.chart).map(|fit| match fit.left_over {
                    0 => format!("{} of {} sts", fit.across, fit.repeat_stitches),
                    over => format!("{} of {} sts, {over} over", fit.across, fit.repeat_stitches),
                })
            });
            row(format!("{}, {}: off the wanted width", piece.name, band.name.to_lowercase()), &|pieces| {
                of(pieces).and_then(|band| band.start.off_cm(gauge)).map(off)
            });
        }
    }
    Table { columns, rows }.set(flow);
    let eases: Vec<String> =
        sized.sizes.iter().map(|size| format!("{}: {}", size.name, off(size.ease_cm))).collect();
    let body: Vec<String> = sized
        .sizes
        .iter()
        .filter_map(|size| {
            let known = size
                .body
                .known()
                .map(|(measure, cm)| format!("{} {}", measure.name().to_lowercase(), length(cm)));
            let known: Vec<String> = known.collect();
            (!known.is_empty()).then(|| format!("{}: {}", size.name, known.join(", ")))
        })
        .collect();
    if !body.is_empty() {
        flow.words(&format!("Ease (garment less body): {}.", eases.join(", ")), Style::SMALL);
        flow.words(&format!("Body measurements: {}.", body.join("; ")), Style::SMALL);
    }
}

/// The pieces to scale.
pub fn schematic(flow: &mut Flow, project: &Project, sized: &Sized) {
    let drawn = schematic::draw(project, sized.chosen_pieces(), flow.width(), 0.62 * flow.height());
    let first = drawn.shelves.first().map_or(0.0, |shelf| shelf.height);
    flow.heading("Schematic", Style::HEADING, first + Style::SMALL.line());
    let size = if sized.sizes.len() > 1 {
        format!("Size {}, drawn", sized.sizes[sized.chosen].name)
    } else {
        "Drawn".to_owned()
    };
    let round = |piece: &WorkedPiece| piece.construction == Construction::InTheRound;
    let tubes = if sized.chosen_pieces().iter().any(round) {
        " A tube lies double and shows half of each round."
    } else {
        ""
    };
    flow.words(&format!("{size} at 1 : {}.{tubes}", drawn.scale), Style::SMALL);
    for shelf in drawn.shelves {
        flow.gap(2.0);
        flow.place(shelf.height, |x, y| shelf.items.into_iter().map(|item| item.moved(x, y)).collect());
    }
}

/// Hours for each piece.
pub fn times(flow: &mut Flow, project: &Project, sized: &Sized) {
    flow.heading("Time", Style::HEADING, 4.0 * BODY);
    let pace = project.pieces.pace;
    let pieces = sized.chosen_pieces();
    let each =
        pieces.iter().map(|piece| format!("{} {:.0} h", piece.name.to_lowercase(), pace.hours_for(piece)));
    let all: f64 = pieces.iter().map(|piece| pace.hours_for(piece)).sum();
    let each: Vec<String> = each.collect();
    flow.words(
        &format!("About {all:.0} hours at {:.0} stitches a minute: {}.", pace.per_minute(), each.join(", ")),
        Style::BODY,
    );
}
