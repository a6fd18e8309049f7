//! A length that follows the body: which measurement, how much of it, and what it comes to.

use super::words;
use crate::knit::pieces::{Follow, Measure, Size};
use crate::ui::widgets::{Form, NumberField, caption};
use crate::units::LengthUnit;

/// Shows the fields of `follow`; `what` begins their accessible names, e.g. `Band start`.
pub fn show(form: &mut Form, what: &str, follow: &mut Follow, size: &Size, units: LengthUnit) {
    let measures: Vec<(Measure, &str)> = Measure::ALL.into_iter().map(|m| (m, m.name())).collect();
    form.row("  Takes", |form| {
        percent(form, &format!("{what}, share"), &mut follow.times);
        form.one_of(&format!("{what}, measurement"), measures.iter().copied(), &mut follow.measure, 0.0);
    });
    let mut second = follow.and.map(|(measure, _)| measure);
    let mut seconds: Vec<(Option<Measure>, &str)> = vec![(None, "No other")];
    seconds.extend(measures.iter().map(|(measure, name)| (Some(*measure), *name)));
    // A second measurement is mostly taken off: from hip to underarm.
    let mut times = follow.and.map_or(-1.0, |(_, times)| times);
    form.row("  And", |form| {
        if second.is_some() {
            percent(form, &format!("{what}, second share"), &mut times);
        }
        form.one_of(&format!("{what}, second measurement"), seconds, &mut second, 0.0);
    });
    follow.and = second.map(|measure| (measure, times));
    form.row("  Of the ease, plus", |form| {
        percent(form, &format!("{what}, share of the ease"), &mut follow.ease);
        let suffix = format!(" {}", units.length_suffix());
        let field = NumberField {
            label: &format!("{what}, added"),
            suffix: &suffix,
            range: units.from_cm(-200.0)..=units.from_cm(200.0),
            decimals: 2,
            speed: 0.05,
        };
        if let Some(typed) = field.edited(form, units.from_cm(follow.plus_cm)) {
            follow.plus_cm = units.to_cm(typed);
        }
    });
    caption(form, sum(*follow, size, units));
}

fn percent(form: &mut Form, label: &str, share: &mut f64) {
    let field = NumberField { label, suffix: " %", range: -1000.0..=1000.0, decimals: 1, speed: 0.5 };
    if let Some(typed) = field.edited(form, *share * 100.0) {
        *share = typed / 100.0;
    }
}

/// The sum behind a length: `Size M: chest 94.0 cm + ease 7.5 cm = 101.5 cm`.
fn sum(follow: Follow, size: &Size, units: LengthUnit) -> String {
    let measured = |measure: Measure| {
        let cm = size.body.get(measure);
        let cm = cm.map_or_else(|| "not known".to_owned(), |cm| words::length(cm, units));
        format!("{} {cm}", measure.name().to_lowercase())
    };
    let ease = format!("ease {}", words::length(size.ease_cm, units));
    let second = follow.and.map(|(measure, times)| (times, measured(measure)));
    let parts = [(follow.times, measured(follow.measure))]
        .into_iter()
        .chain(second)
        .chain((follow.ease != 0.0).then_some((follow.ease, ease)))
        .chain(
            (follow.plus_cm != 0.0)
                .then(|| (follow.plus_cm.signum(), words::length(follow.plus_cm.abs(), units))),
        );
    let mut sum = String::new();
    for (times, what) in parts {
        let sign = match (sum.is_empty(), times < 0.0) {
            (true, false) => "",
            (true, true) => "−",
            (false, false) => " + ",
            (false, true) => " − ",
        };
        let share = times.abs() * 100.0;
        let decimals = usize::from((share - share.round()).abs() > 0.05);
        let share =
            if (share - 100.0).abs() < 1e-9 { String::new() } else { format!("{share:.decimals$} % of ") };
        sum.extend([sign, &share, &what]);
    }
    let total = match size.follow(follow) {
        Ok(cm) => words::length(cm, units),
        Err(missing) => format!("add {} to the size first", missing.name().to_lowercase()),
    };
    format!("Size {}: {sum} = {total}", size.name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sum_shows_its_parts_and_what_is_missing() {
        let mut size = Size::one_size();
        size.body.set(Measure::Chest, Some(94.0));
        size.ease_cm = 7.5;
        let words = sum(Follow::with_ease(Measure::Chest, 1.0), &size, LengthUnit::Metric);
        assert_eq!(words, "Size One size: chest 94.0 cm + ease 7.5 cm = 101.5 cm");
        let hat = sum(Follow::bare(Measure::Chest, 0.925), &size, LengthUnit::Metric);
        assert!(hat.contains("92.5 % of chest"), "{hat}");
        let words = sum(Follow::bare(Measure::Head, 0.5), &size, LengthUnit::Metric);
        assert_eq!(
            sum(
                Follow::bare(Measure::Chest, 1.0).and(Measure::Chest, -0.25).plus(-2.0),
                &size,
                LengthUnit::Metric
            ),
            "Size One size: chest 94.0 cm − 25 % of chest 94.0 cm − 2.0 cm = 68.5 cm"
        );
        assert!(words.ends_with("50 % of head not known = add head to the size first"), "{words}");
    }
}
