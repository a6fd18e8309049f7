//! How wide and how long: one way of saying it out of several, and its figure.

use egui::Ui;

use super::fields::{choice, count, number};
use super::follow;
use crate::knit::pieces::{Follow, Length, MAX_ROWS, MAX_STITCHES, Measure, Size, Width};
use crate::ui::widgets::NumberField;
use crate::units::LengthUnit;

/// Longest width or length that can be typed, in cm.
const MAX_CM: f64 = 2_000.0;

/// What a field knows besides its value.
#[derive(Clone, Copy)]
pub struct Surroundings<'a> {
    /// How lengths are shown.
    pub units: LengthUnit,
    /// The worked size, to show what a share of the body comes to.
    pub size: &'a Size,
    /// What it comes to now, in stitches or rows and in cm: where another way of saying it begins.
    pub now: (u32, f64),
}

#[derive(Clone, Copy, PartialEq)]
enum WidthKind {
    AsBefore,
    Joined,
    Stitches,
    Cm,
    Body,
}

/// Shows how wide a band is at one end, or how much is set aside. `as_before` is what
/// [`Width::AsBefore`] means here; `None` where it means nothing. `joined` offers the live stitches.
pub fn width(
    ui: &mut Ui,
    (text, what): (&str, &str),
    (as_before, joined): (Option<&str>, bool),
    value: &mut Width,
    around: Surroundings,
    ended: &mut bool,
) {
    let kind = match value {
        Width::AsBefore => WidthKind::AsBefore,
        Width::Joined => WidthKind::Joined,
        Width::Stitches(_) => WidthKind::Stitches,
        Width::Cm(_) => WidthKind::Cm,
        Width::Body(_) => WidthKind::Body,
    };
    let mut options: Vec<(WidthKind, &str)> = Vec::new();
    options.extend(as_before.map(|words| (WidthKind::AsBefore, words)));
    if joined {
        options.push((WidthKind::Joined, "Live stitches joined"));
    }
    options.extend([
        (WidthKind::Stitches, "Stitches"),
        (WidthKind::Cm, "A fixed width"),
        (WidthKind::Body, "Follows the body"),
    ]);
    let mut chosen = kind;
    choice(ui, text, what, &options, &mut chosen, ended);
    if chosen != kind {
        *value = match chosen {
            WidthKind::AsBefore => Width::AsBefore,
            WidthKind::Joined => Width::Joined,
            WidthKind::Stitches => Width::Stitches(around.now.0.max(1)),
            WidthKind::Cm => Width::Cm(round_cm(around.now.1, around.units)),
            WidthKind::Body => Width::Body(Follow::with_ease(Measure::Chest, 1.0)),
        };
    }
    match value {
        Width::AsBefore | Width::Joined => {}
        Width::Stitches(stitches) => {
            let label = format!("{what}, stitches");
            count(ui, ("", &label, " stitches"), (1, MAX_STITCHES), stitches, ended);
        }
        Width::Cm(cm) => length_field(ui, &format!("{what}, width"), cm, around.units, ended),
        Width::Body(of_body) => follow::show(ui, what, of_body, around.size, around.units, ended),
    }
}

#[derive(Clone, Copy, PartialEq)]
enum LengthKind {
    None,
    Rows,
    Cm,
    Repeats,
    Body,
    Rest,
}

/// Shows how long a band is.
pub fn band_length(ui: &mut Ui, value: &mut Length, around: Surroundings, ended: &mut bool) {
    let options = [
        (LengthKind::Rows, "Rows"),
        (LengthKind::Cm, "A fixed length"),
        (LengthKind::Repeats, "Chart repeats"),
        (LengthKind::Body, "Follows the body"),
        (LengthKind::Rest, "What is left of the piece"),
    ];
    let mut length = Some(*value);
    length_choice(ui, ("Length", "Band length"), &options, &mut length, around, ended);
    *value = length.unwrap_or(*value);
}

/// Shows how long a whole piece is, when it has a length of its own.
pub fn piece_length(ui: &mut Ui, value: &mut Option<Length>, around: Surroundings, ended: &mut bool) {
    let options = [
        (LengthKind::None, "As its bands come to"),
        (LengthKind::Rows, "Rows"),
        (LengthKind::Cm, "A fixed length"),
        (LengthKind::Repeats, "Chart repeats"),
        (LengthKind::Body, "Follows the body"),
    ];
    length_choice(ui, ("Length", "Piece length"), &options, value, around, ended);
}

fn length_choice(
    ui: &mut Ui,
    (text, what): (&str, &str),
    options: &[(LengthKind, &str)],
    value: &mut Option<Length>,
    around: Surroundings,
    ended: &mut bool,
) {
    let kind = match value {
        None => LengthKind::None,
        Some(Length::Rows(_)) => LengthKind::Rows,
        Some(Length::Cm(_)) => LengthKind::Cm,
        Some(Length::Repeats(_)) => LengthKind::Repeats,
        Some(Length::Body(_)) => LengthKind::Body,
        Some(Length::Rest) => LengthKind::Rest,
    };
    let mut chosen = kind;
    choice(ui, text, what, options, &mut chosen, ended);
    if chosen != kind {
        *value = match chosen {
            LengthKind::None => None,
            LengthKind::Rows => Some(Length::Rows(around.now.0.max(1))),
            LengthKind::Cm => Some(Length::Cm(round_cm(around.now.1, around.units))),
            LengthKind::Repeats => Some(Length::Repeats(1)),
            LengthKind::Body => Some(Length::Body(Follow::bare(Measure::BackHip, 1.0))),
            LengthKind::Rest => Some(Length::Rest),
        };
    }
    match value {
        None | Some(Length::Rest) => {}
        Some(Length::Rows(rows)) => {
            count(ui, ("", &format!("{what}, rows"), " rows"), (1, MAX_ROWS), rows, ended);
        }
        Some(Length::Repeats(times)) => {
            count(ui, ("", &format!("{what}, repeats"), " times up"), (1, MAX_ROWS), times, ended);
        }
        Some(Length::Cm(cm)) => length_field(ui, &format!("{what}, figure"), cm, around.units, ended),
        Some(Length::Body(of_body)) => follow::show(ui, what, of_body, around.size, around.units, ended),
    }
}

fn length_field(ui: &mut Ui, label: &str, cm: &mut f64, units: LengthUnit, ended: &mut bool) {
    let suffix = format!(" {}", units.length_suffix());
    let range = units.from_cm(0.1)..=units.from_cm(MAX_CM);
    let field = NumberField { label, suffix: &suffix, range, decimals: 2, speed: 0.1 };
    if let Some(typed) = number(ui, "", &field, units.from_cm(*cm), ended) {
        *cm = units.to_cm(typed);
    }
}

/// A figure to begin with: tenths of the unit shown.
fn round_cm(cm: f64, units: LengthUnit) -> f64 {
    units.to_cm((units.from_cm(cm) * 10.0).round().max(1.0) / 10.0)
}
