//! The first pages of a pattern sheet: what to have, what it measures, how the pieces look.

use super::chart_pages::looks;
use super::flow::{BODY, Flow, Style};
use super::table::{Column, Row, Table};
use crate::export::instructions::Sized;
use crate::export::schematic;
use crate::knit::pieces::{Follow, Length, Measure, Piece, PiecesYarn, Width, WorkedBand, WorkedPiece};
use crate::knit::{Construction, Estimate};
use crate::project::{Project, Slot, key_entry};
use crate::units::LengthUnit;
use crate::yarn::{CAUTION_DEFERS, PutUp, cautions};

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
pub fn materials(flow: &mut Flow, project: &Project, yarn: &PiecesYarn) {
    flow.heading("Materials", Style::HEADING, 30.0);
    let unit = project.units;
    let priced = yarn.colours.iter().any(|colour| colour.balls > 0 && colour.cost.is_some());
    let mut columns = vec![
        Column::words("Colour"),
        Column::words("Shade"),
        Column::figures(&format!("Likely {}", unit.yarn_suffix())),
        Column::figures(&format!("Low to high {}", unit.yarn_suffix())),
        Column::figures(unit.mass_suffix()),
        Column::figures("To buy"),
        Column::words("A ball"),
    ];
    if priced {
        columns.push(Column::figures("Price"));
    }
    let looks = looks(project);
    let slots = project.palette.slots().iter().zip(&yarn.colours).zip(&looks).enumerate();
    let used = slots.filter(|(_, ((_, colour), _))| colour.stitches > 0);
    let mut rows: Vec<Row> = used
        .map(|(index, ((slot, colour), look))| {
            let mut cells = vec![key_entry(index, slot), shade_words(slot)];
            cells.extend(amounts(unit, colour.metres(), colour.grams()));
            cells.extend([colour.balls.to_string(), ball_words(unit, slot.yarn.put_up)]);
            if priced {
                cells.push(colour.cost.map_or_else(|| "-".to_owned(), |cost| format!("{cost:.2}")));
            }
            Row { look: Some(look.clone()), cells, sum: false }
        })
        .collect();
    if rows.len() > 1 {
        let mut cells = vec!["Together".to_owned(), String::new()];
        cells.extend(amounts(unit, yarn.metres(), yarn.grams()));
        cells.push(yarn.balls().to_string());
        cells.push(String::new());
        if priced {
            cells.push(yarn.cost().map_or_else(|| "-".to_owned(), |cost| format!("{cost:.2}")));
        }
        rows.push(Row { sum: true, cells, ..Row::default() });
    }
    Table { columns, rows }.set(flow);
    let on_hand = project.palette.slots().iter().filter(|slot| slot.yarn.on_hand_m > 0.0).map(|slot| {
        let length = unit.from_metres(slot.yarn.on_hand_m);
        format!("{length:.0} {} of {}", unit.yarn_suffix(), slot.name)
    });
    let on_hand: Vec<String> = on_hand.collect();
    let taken_off = if on_hand.is_empty() {
        String::new()
    } else {
        format!(", less what is on hand ({})", on_hand.join(", "))
    };
    flow.words(
        &format!(
            "Balls hold the high figure{taken_off}. Buy all balls of a colour from one dye lot, and wash and care \
             for the piece as the labels say."
        ),
        Style::SMALL,
    );
}

/// Likely length, its range, and mass.
fn amounts(unit: LengthUnit, metres: Estimate, grams: Estimate) -> [String; 3] {
    let length = |m: f64| format!("{:.0}", unit.from_metres(m));
    let mass = match unit {
        LengthUnit::Metric => format!("{:.0}", grams.likely),
        LengthUnit::Imperial => format!("{:.1}", unit.from_grams(grams.likely)),
    };
    [length(metres.likely), format!("{} to {}", length(metres.low), length(metres.high)), mass]
}

/// `50 g, 200 m`.
fn ball_words(unit: LengthUnit, put_up: PutUp) -> String {
    let decimals = if unit == LengthUnit::Metric { 0 } else { 2 };
    format!(
        "{:.decimals$} {}, {:.0} {}",
        unit.from_grams(put_up.ball_g()),
        unit.mass_suffix(),
        unit.from_metres(put_up.metres_per_ball()),
        unit.yarn_suffix()
    )
}

/// Code and dye lot of the shade a colour is knitted in, else its colour.
fn shade_words(slot: &Slot) -> String {
    let Some(shade) = slot.shade() else { return slot.colour.to_hex() };
    let code = if shade.code.is_empty() { slot.colour.to_hex() } else { shade.code.clone() };
    if shade.dye_lot.is_empty() { code } else { format!("{code}, lot {}", shade.dye_lot) }
}

/// The yarn or its fibre, the label, how the fibre is cared for, and what to mind; nothing while
/// neither is chosen.
pub fn care(flow: &mut Flow, project: &Project) {
    let material = &project.material;
    let yarn = material.yarn.as_ref();
    let Some(blend) = yarn.map(|yarn| &yarn.blend).or(material.blend.as_ref()) else { return };
    flow.heading("Material and care", Style::HEADING, 3.0 * Style::BODY.line());
    match yarn {
        Some(yarn) => flow.words(&format!("{}: {}", yarn.name, blend.name().to_lowercase()), Style::BODY),
        None => flow.words(&blend.name(), Style::BODY),
    }
    let label = yarn.map(|yarn| yarn.care.clone()).unwrap_or_default();
    if !label.symbols().is_empty() {
        flow.words(&format!("Label: {}.", label.words().join("; ")), Style::SMALL);
    }
    for (fibre, _) in blend.parts().iter().filter(|(fibre, _)| !fibre.facts().care.is_empty()) {
        flow.words(&format!("{}: {}", fibre.name(), fibre.facts().care), Style::SMALL);
    }
    if let Some(needs) = material.needs {
        for caution in cautions(needs, blend, &label) {
            flow.words(&format!("{}. {}", caution.topic.name(), caution.text), Style::SMALL);
        }
    }
    flow.words(CAUTION_DEFERS, Style::SMALL);
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
    let (first, second) = match project.units {
        LengthUnit::Metric => (LengthUnit::Metric, LengthUnit::Imperial),
        LengthUnit::Imperial => (LengthUnit::Imperial, LengthUnit::Metric),
    };
    let words = format!(
        "{} ({}), washed, {}, {}.",
        count(first),
        count(second),
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
    rows.extend(bodies(project, sized));
    Table { columns, rows }.set(flow);
}

/// The measures that the pieces follow.
fn measures_followed(pieces: &[Piece]) -> Vec<Measure> {
    let width = |width: Width| match width {
        Width::Body(follow) => Some(follow),
        Width::AsBefore | Width::Joined | Width::Stitches(_) | Width::Cm(_) => None,
    };
    let length = |length: Length| match length {
        Length::Body(follow) => Some(follow),
        Length::Rows(_) | Length::Cm(_) | Length::Repeats(_) | Length::Rest => None,
    };
    let of_piece = |piece: &Piece| -> Vec<Follow> {
        let bands = piece
            .bands
            .iter()
            .flat_map(|band| [width(band.start), width(band.end), length(band.length)].into_iter().flatten());
        let whole = [piece.length.and_then(length), piece.set_aside.and_then(|aside| width(aside.each))];
        bands.chain(whole.into_iter().flatten()).collect()
    };
    let follows = pieces.iter().flat_map(of_piece);
    follows
        .flat_map(|follow| [Some(follow.measure), follow.and.map(|(measure, _)| measure)])
        .flatten()
        .collect()
}

/// Rows on the bodies that the sizes are for: what the pieces follow.
fn bodies(project: &Project, sized: &Sized) -> Vec<Row> {
    let unit = project.units;
    let length = |cm: f64| format!("{:.1} {}", unit.from_cm(cm), unit.length_suffix());
    let row = |what: &str, cells: Vec<String>| Row::new([vec![what.to_owned()], cells].concat());
    let followed = measures_followed(&project.pieces.pieces);
    let measured =
        Measure::ALL.into_iter().filter(|measure| followed.contains(measure)).filter_map(|measure| {
            let cms: Vec<Option<f64>> = sized.sizes.iter().map(|size| size.body.get(measure)).collect();
            let cells = cms.iter().map(|cm| cm.map_or_else(String::new, length)).collect();
            cms.iter().any(Option::is_some).then(|| row(measure.name(), cells))
        });
    let measured: Vec<Row> = measured.collect();
    if measured.is_empty() {
        return Vec::new();
    }
    let eases = sized
        .sizes
        .iter()
        .map(|size| format!("{:+.1} {}", unit.from_cm(size.ease_cm), unit.length_suffix()))
        .collect();
    let head = Row { sum: true, ..row("The body it is for", vec![String::new(); sized.sizes.len()]) };
    [vec![head], measured, vec![row("Ease: garment less body", eases)]].concat()
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
