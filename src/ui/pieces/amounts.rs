//! How wide and how long: one way of saying it out of several, and its figure.

use super::follow;
use crate::knit::pieces::{Follow, Length, MAX_ROWS, MAX_STITCHES, Measure, Size, Width};
use crate::ui::widgets::{Form, NumberField};
use crate::units::LengthUnit;

/// Longest width or length that can be typed, in cm.
const MAX_CM: f64 = 2_000.0;
/// Room for a figure beside the way it is given.
const FIGURE: f32 = 92.0;

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
    Narrower,
    Share,
}

/// Shows how wide a band is at one end, or how much is set aside. `as_before` is what
/// [`Width::AsBefore`] means here; `None` where it means nothing. `joined` offers the live stitches.
pub fn width(
    form: &mut Form,
    (text, what): (&str, &str),
    (as_before, joined): (Option<&str>, bool),
    value: &mut Width,
    around: Surroundings,
) {
    let kind = match value {
        Width::AsBefore => WidthKind::AsBefore,
        Width::Joined => WidthKind::Joined,
        Width::Stitches(_) => WidthKind::Stitches,
        Width::Cm(_) => WidthKind::Cm,
        Width::Body(_) => WidthKind::Body,
        Width::Narrower(_) => WidthKind::Narrower,
        Width::Share(_) => WidthKind::Share,
    };
    let mut options: Vec<(WidthKind, &str)> = Vec::new();
    options.extend(as_before.map(|words| (WidthKind::AsBefore, words)));
    if joined {
        options.push((WidthKind::Joined, "Live stitches joined"));
    }
    options.extend([
        (WidthKind::Stitches, "Stitches"),
        (WidthKind::Cm, "Fixed figure"),
        (WidthKind::Body, "Follows the body"),
    ]);
    // A share of what went before, and stitches taken off it, mean nothing where nothing did.
    if as_before.is_some() {
        options.extend([(WidthKind::Share, "A share of before"), (WidthKind::Narrower, "Narrower by")]);
    }
    let figure = matches!(value, Width::Stitches(_) | Width::Cm(_) | Width::Narrower(_) | Width::Share(_));
    let mut chosen = kind;
    form.row(text, |form| {
        form.one_of(what, options, &mut chosen, if figure { FIGURE } else { 0.0 });
        match value {
            Width::Stitches(n) => {
                whole(form, (&format!("{what}, stitches"), " sts"), MAX_STITCHES, n);
            }
            Width::Cm(cm) => length_field(form, &format!("{what}, width"), cm, around.units),
            Width::Narrower(cm) => length_field(form, &format!("{what}, narrower by"), cm, around.units),
            Width::Share(share) => {
                let label = format!("{what}, share");
                let field =
                    NumberField { label: &label, suffix: " %", range: 1.0..=500.0, decimals: 1, speed: 0.2 };
                if let Some(typed) = field.edited(form, *share * 100.0) {
                    *share = typed / 100.0;
                }
            }
            Width::AsBefore | Width::Joined | Width::Body(_) => {}
        }
    });
    if chosen != kind {
        *value = match chosen {
            WidthKind::AsBefore => Width::AsBefore,
            WidthKind::Joined => Width::Joined,
            WidthKind::Stitches => Width::Stitches(around.now.0.max(1)),
            WidthKind::Cm => Width::Cm(round_cm(around.now.1, around.units)),
            WidthKind::Body => Width::Body(of_the_body(&around, &GIRTHS, true)),
            WidthKind::Narrower => Width::Narrower(2.0),
            WidthKind::Share => Width::Share(0.75),
        };
    }
    if let Width::Body(of_body) = value {
        follow::show(form, what, of_body, around.size, around.units);
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
    Shaped,
}

/// Shows how long a band is.
pub fn band_length(form: &mut Form, value: &mut Length, around: Surroundings) {
    let options = [
        (LengthKind::Rows, "Rows"),
        (LengthKind::Cm, "Fixed figure"),
        (LengthKind::Repeats, "Repeats"),
        (LengthKind::Body, "Follows the body"),
        (LengthKind::Rest, "What is left of the piece"),
        (LengthKind::Shaped, "As its shaping takes"),
    ];
    let mut length = Some(*value);
    length_choice(form, ("Length", "Band length"), &options, &mut length, around);
    *value = length.unwrap_or(*value);
}

/// Shows how long a whole piece is, when it has a length of its own.
pub fn piece_length(form: &mut Form, value: &mut Option<Length>, around: Surroundings) {
    let options = [
        (LengthKind::None, "As its bands come to"),
        (LengthKind::Rows, "Rows"),
        (LengthKind::Cm, "Fixed figure"),
        (LengthKind::Repeats, "Repeats"),
        (LengthKind::Body, "Follows the body"),
    ];
    length_choice(form, ("Length", "Piece length"), &options, value, around);
}

fn length_choice(
    form: &mut Form,
    (text, what): (&str, &str),
    options: &[(LengthKind, &str)],
    value: &mut Option<Length>,
    around: Surroundings,
) {
    let kind = match value {
        None => LengthKind::None,
        Some(Length::Rows(_)) => LengthKind::Rows,
        Some(Length::Cm(_)) => LengthKind::Cm,
        Some(Length::Repeats(_)) => LengthKind::Repeats,
        Some(Length::Body(_)) => LengthKind::Body,
        Some(Length::Rest) => LengthKind::Rest,
        Some(Length::Shaped { .. }) => LengthKind::Shaped,
    };
    let figure = !matches!(value, None | Some(Length::Rest | Length::Body(_)));
    let mut chosen = kind;
    form.row(text, |form| {
        form.one_of(what, options.iter().copied(), &mut chosen, if figure { FIGURE } else { 0.0 });
        match value {
            Some(Length::Rows(n)) => whole(form, (&format!("{what}, rows"), " rows"), MAX_ROWS, n),
            Some(Length::Repeats(n)) => {
                whole(form, (&format!("{what}, repeats"), " up"), MAX_ROWS, n);
            }
            Some(Length::Cm(cm)) => length_field(form, &format!("{what}, figure"), cm, around.units),
            Some(Length::Shaped { every }) => {
                whole(form, (&format!("{what}, shaping every"), " rows"), MAX_ROWS, every);
            }
            None | Some(Length::Rest | Length::Body(_)) => {}
        }
    });
    if chosen != kind {
        *value = match chosen {
            LengthKind::None => None,
            LengthKind::Rows => Some(Length::Rows(around.now.0.max(1))),
            LengthKind::Cm => Some(Length::Cm(round_cm(around.now.1, around.units))),
            LengthKind::Repeats => Some(Length::Repeats(1)),
            LengthKind::Body => Some(Length::Body(of_the_body(&around, &LENGTHS, false))),
            LengthKind::Rest => Some(Length::Rest),
            LengthKind::Shaped => Some(Length::Shaped { every: 2 }),
        };
    }
    if let Some(Length::Body(of_body)) = value {
        follow::show(form, what, of_body, around.size, around.units);
    }
}

fn whole(form: &mut Form, (label, suffix): (&str, &str), most: u32, value: &mut u32) {
    let field = NumberField { label, suffix, range: 1.0..=f64::from(most), decimals: 0, speed: 0.2 };
    if let Some(typed) = field.edited(form, f64::from(*value)) {
        *value = typed.round() as u32;
    }
}

pub fn length_field(form: &mut Form, label: &str, cm: &mut f64, units: LengthUnit) {
    let suffix = format!(" {}", units.length_suffix());
    let range = units.from_cm(0.1)..=units.from_cm(MAX_CM);
    let field = NumberField { label, suffix: &suffix, range, decimals: 2, speed: 0.1 };
    if let Some(typed) = field.edited(form, units.from_cm(*cm)) {
        *cm = units.to_cm(typed);
    }
}

/// Measurements that widths and lengths mostly follow, the first that is known taken first.
const GIRTHS: [Measure; 4] = [Measure::Chest, Measure::Head, Measure::Hand, Measure::Foot];
const LENGTHS: [Measure; 4] = [Measure::BackHip, Measure::HandLength, Measure::FootLength, Measure::Head];

/// A share of the body that comes to about what there is now, in whole per cent.
fn of_the_body(around: &Surroundings, usual: &[Measure], with_ease: bool) -> Follow {
    let size = around.size;
    let known = |measure: &Measure| size.body.get(*measure).is_some();
    let measure = usual.iter().copied().find(known).unwrap_or(usual[0]);
    let ease_cm = if with_ease { size.ease_cm } else { 0.0 };
    let whole_cm = size.body.get(measure).map_or(0.0, |cm| cm + ease_cm);
    let times = if whole_cm > 0.0 { (around.now.1 / whole_cm * 100.0).round().max(1.0) / 100.0 } else { 1.0 };
    if with_ease { Follow::with_ease(measure, times) } else { Follow::bare(measure, times) }
}

/// A figure to begin with: tenths of the unit shown.
fn round_cm(cm: f64, units: LengthUnit) -> f64 {
    units.to_cm((units.from_cm(cm) * 10.0).round().max(1.0) / 10.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn following_the_body_begins_with_what_there_is() {
        let mut size = Size::one_size();
        size.body.set(Measure::Chest, Some(94.0));
        size.ease_cm = 6.0;
        let around = Surroundings { units: LengthUnit::Metric, size: &size, now: (56, 20.0) };
        assert_eq!(of_the_body(&around, &GIRTHS, true), Follow::with_ease(Measure::Chest, 0.2));
        // No length is known: the first is named, and the piece asks for it.
        assert_eq!(of_the_body(&around, &LENGTHS, false), Follow::bare(Measure::BackHip, 1.0));
    }
}
