//! How the colour of a yarn changes along the strand: fields of the shade's form and of the yarn's.

use egui::Id;

use super::caption;
use super::form::{Drafted, Form};
use crate::units::LengthUnit;
use crate::yarn::{MAX_TEXT, Variation, VariationKind};

/// Shows the fields; `of` tells the entry from the others, `colours` whether the other colours are asked for, too (a
/// yarn for every colour has none of its own).
pub fn variation_rows(
    form: &mut Form,
    (of, units): ((&str, usize, usize), LengthUnit),
    colours: bool,
    draft: &mut Option<(Id, String)>,
    varies: &mut Option<Variation>,
) {
    // Rows come and go with the kind: what follows keeps its place in the order of ids.
    let ended = form.push_id(("varies", of), |ui| {
        let mut form = Form::new(ui);
        let mut kind = varies.as_ref().map(|varies| varies.kind);
        let kinds = VariationKind::ALL.map(|kind| (Some(kind), kind.name()));
        let kinds = std::iter::once((None, "Not said")).chain(kinds);
        form.choice("Colour", "Colour along the strand", kinds, &mut kind);
        match kind {
            None => *varies = None,
            Some(kind) => varies.get_or_insert_default().kind = kind,
        }
        if let Some(varies) = varies {
            if varies.kind == VariationKind::LongChanges {
                change(&mut form, (of, units), draft, varies);
            }
            if colours && varies.kind.is_busy() {
                others(&mut form, of, draft, varies);
            }
        }
        form.ended()
    });
    form.end_if(ended.inner);
}

fn change(
    form: &mut Form,
    (of, units): ((&str, usize, usize), LengthUnit),
    draft: &mut Option<(Id, String)>,
    varies: &mut Variation,
) {
    let shown = varies.change_m.map_or_else(String::new, |metres| match units {
        LengthUnit::Metric if metres < 1.0 => format!("{} cm", (metres * 1_000.0).round() / 10.0),
        LengthUnit::Metric => format!("{} m", (metres * 1_000.0).round() / 1_000.0),
        LengthUnit::Imperial => format!("{} yd", (units.from_metres(metres) * 1_000.0).round() / 1_000.0),
    });
    let label = "Length of one colour";
    match form.row("One lasts", |form| form.drafted((label, of), MAX_TEXT, &shown, draft)) {
        Drafted::Left(text) if text.trim().is_empty() => varies.change_m = None,
        Drafted::Left(text) => {
            if let Ok(metres) = Variation::change_of_words(&text) {
                varies.change_m = Some(metres);
            }
        }
        Drafted::Typing(text) if !text.trim().is_empty() => {
            if let Err(reason) = Variation::change_of_words(&text) {
                caption(form, reason.to_string());
            }
        }
        Drafted::Typing(_) | Drafted::Still => {}
    }
    let words = match varies.change_m {
        Some(metres) => format!("{} of one colour, then the next.", Variation::change_words(metres)),
        None => "Of yarn, like 60 cm, 1.5 m or 2 yd; shown as 1 m until it is known.".to_owned(),
    };
    caption(form, words);
}

fn others(
    form: &mut Form,
    of: (&str, usize, usize),
    draft: &mut Option<(Id, String)>,
    varies: &mut Variation,
) {
    let shown = varies.others_words();
    match form.row("Also in it", |form| form.drafted(("Other colours", of), MAX_TEXT, &shown, draft)) {
        Drafted::Left(text) if text != shown => {
            if let Ok(others) = Variation::others_of_words(&text) {
                varies.others = others;
            }
        }
        Drafted::Typing(text) => {
            if let Err(reason) = Variation::others_of_words(&text) {
                caption(form, reason.to_string());
            }
        }
        Drafted::Left(_) | Drafted::Still => {}
    }
    if varies.others.is_empty() {
        caption(form, "Hex codes, like #c16250 #e8d8b0; shown lighter and darker until they are known.");
    }
}
