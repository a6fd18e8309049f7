//! A length that follows the body: which measurement, how much of it, and what it comes to.

use egui::Ui;

use super::fields::{choice, number};
use super::words;
use crate::knit::pieces::{Follow, Measure, Size};
use crate::ui::widgets::{NumberField, caption};
use crate::units::LengthUnit;

/// Shows the fields of `follow`; `what` begins their accessible names, e.g. `Band start`.
pub fn show(ui: &mut Ui, what: &str, follow: &mut Follow, size: &Size, units: LengthUnit, ended: &mut bool) {
    let measures: Vec<(Measure, &str)> = Measure::ALL.into_iter().map(|m| (m, m.name())).collect();
    choice(ui, "  Measurement", &format!("{what}, measurement"), &measures, &mut follow.measure, ended);
    percent(ui, "  Of it", &format!("{what}, share"), &mut follow.times, ended);
    let mut second = follow.and.map(|(measure, _)| measure);
    let mut seconds: Vec<(Option<Measure>, &str)> = vec![(None, "No other")];
    seconds.extend(measures.iter().map(|(measure, name)| (Some(*measure), *name)));
    choice(ui, "  And", &format!("{what}, second measurement"), &seconds, &mut second, ended);
    // A second measurement is mostly taken off: from hip to underarm.
    let mut times = follow.and.map_or(-1.0, |(_, times)| times);
    if second.is_some() {
        percent(ui, "  Of that", &format!("{what}, second share"), &mut times, ended);
    }
    follow.and = second.map(|measure| (measure, times));
    percent(ui, "  Of the ease", &format!("{what}, share of the ease"), &mut follow.ease, ended);
    let suffix = format!(" {}", units.length_suffix());
    let field = NumberField {
        label: &format!("{what}, added"),
        suffix: &suffix,
        range: units.from_cm(-200.0)..=units.from_cm(200.0),
        decimals: 2,
        speed: 0.05,
    };
    if let Some(typed) = number(ui, "  Plus", &field, units.from_cm(follow.plus_cm), ended) {
        follow.plus_cm = units.to_cm(typed);
    }
    caption(ui, sum(*follow, size, units));
}

fn percent(ui: &mut Ui, text: &str, label: &str, share: &mut f64, ended: &mut bool) {
    let field = NumberField { label, suffix: " %", range: -1000.0..=1000.0, decimals: 2, speed: 0.5 };
    if let Some(typed) = number(ui, text, &field, *share * 100.0, ended) {
        *share = typed / 100.0;
    }
}

/// The sum behind a length: `Size M: chest 94.0 cm + ease 7.5 cm = 101.5 cm`.
fn sum(follow: Follow, size: &Size, units: LengthUnit) -> String {
    let shown = |measure: Measure, times: f64| {
        let cm = size.body.get(measure).map_or_else(|| "not known".to_owned(), |cm| words::length(cm, units));
        let share =
            if (times - 1.0).abs() < 1e-9 { String::new() } else { format!("{:.0} % of ", times * 100.0) };
        format!("{share}{} {cm}", measure.name().to_lowercase())
    };
    let mut parts = vec![shown(follow.measure, follow.times)];
    if let Some((measure, times)) = follow.and {
        parts.push(shown(measure, times));
    }
    if follow.ease != 0.0 {
        parts.push(format!("{:.0} % of ease {}", follow.ease * 100.0, words::length(size.ease_cm, units)));
    }
    if follow.plus_cm != 0.0 {
        parts.push(words::length(follow.plus_cm, units));
    }
    let total = match size.follow(follow) {
        Ok(cm) => words::length(cm, units),
        Err(missing) => format!("add {} to the size first", missing.name().to_lowercase()),
    };
    format!("Size {}: {} = {total}", size.name, parts.join(" + "))
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
        assert_eq!(words, "Size One size: chest 94.0 cm + 100 % of ease 7.5 cm = 101.5 cm");
        let words = sum(Follow::bare(Measure::Head, 0.5), &size, LengthUnit::Metric);
        assert!(words.ends_with("50 % of head not known = add head to the size first"), "{words}");
    }
}
