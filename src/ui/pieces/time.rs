//! How long it takes: the knitter's pace and the hours that follow.

use egui::{CollapsingHeader, Ui};

use super::Draft;
use crate::app::Action;
use crate::app::pieces_desk::PiecesWorked;
use crate::knit::pieces::{Pace, Ways};
use crate::project::Project;
use crate::ui::widgets::{Form, NumberField, caption, heading};
use crate::units::hours_words;

/// A swatch that was timed, as typed.
pub struct TimeView {
    /// A swatch of the log, or counts of one's own.
    swatch: Option<usize>,
    stitches: u32,
    rows: u32,
    minutes: f64,
}

impl Default for TimeView {
    fn default() -> Self {
        Self { swatch: None, stitches: 30, rows: 40, minutes: 60.0 }
    }
}

/// Shows the pace and the hours of all pieces.
pub fn show(
    ui: &mut Ui,
    project: &Project,
    view: &mut TimeView,
    worked: Option<&PiecesWorked>,
    draft: &mut Draft,
    actions: &mut Vec<Action>,
) {
    ui.separator();
    heading(ui, "Time");
    let pace = draft.plan.pace;
    let field =
        NumberField { label: "Pace", suffix: " a minute", range: 0.5..=300.0, decimals: 1, speed: 0.1 };
    let mut form = Form::of_words(ui);
    if let Some(typed) = form.number("Stitches", &field, pace.per_minute())
        && let Ok(pace) =
            Pace::new(typed).and_then(|typed| typed.with_shares(pace.stranded_share(), pace.intarsia_share()))
    {
        draft.plan.pace = pace;
        draft.label = "Pace";
    }
    let shares = [("Stranded", pace.stranded_share()), ("Intarsia", pace.intarsia_share())];
    let typed = shares.map(|(title, share)| {
        let label = format!("Pace, {}", title.to_lowercase());
        let range = 100.0 * Pace::LEAST_SHARE..=100.0;
        let field = NumberField { label: &label, suffix: " % of that", range, decimals: 0, speed: 0.5 };
        form.number(title, &field, 100.0 * share).map_or(share, |typed| typed / 100.0)
    });
    if typed != shares.map(|(_, share)| share)
        && let Ok(pace) = draft.plan.pace.with_shares(typed[0], typed[1])
    {
        draft.plan.pace = pace;
        draft.label = "Pace";
    }
    draft.ended |= form.ended();
    if let Some(worked) = worked {
        let known: Vec<Ways> = worked.stitches.iter().copied().flatten().collect();
        let all: Ways = known.iter().copied().sum();
        let without =
            if known.len() < worked.stitches.len() { " without those that cannot be worked" } else { "" };
        ui.label(format!("All pieces: {}", hours_words(pace.hours(all))));
        let parts = [("plain", all.plain), ("stranded", all.stranded), ("in intarsia", all.intarsia)];
        let parts: Vec<String> = parts
            .iter()
            .filter(|(_, count)| *count > 0)
            .map(|(way, count)| format!("{count} {way}"))
            .collect();
        let parts = if parts.is_empty() { String::new() } else { format!(" ({})", parts.join(", ")) };
        caption(
            ui,
            format!(
                "{} stitches{without}{parts}, before sewing up and weaving in. How much slower colourwork goes is common \
                 practice, no published source: time a swatch of your own.",
                all.all()
            ),
        );
    }
    CollapsingHeader::new("A swatch took me…").show(ui, |ui| {
        swatch(ui, project, view, draft, actions);
    });
}

/// The pace of a swatch that was timed.
fn swatch(ui: &mut Ui, project: &Project, view: &mut TimeView, draft: &mut Draft, actions: &mut Vec<Action>) {
    let log = &project.material.swatches;
    view.swatch = view.swatch.filter(|place| *place < log.len());
    let names: Vec<String> =
        log.iter().enumerate().map(|(i, entry)| format!("{}. {}", i + 1, entry.yarn)).collect();
    if !log.is_empty() {
        let mut options: Vec<(Option<usize>, &str)> = vec![(None, "Counted here")];
        options.extend(names.iter().enumerate().map(|(i, name)| (Some(i), name.as_str())));
        Form::of_words(ui).choice("Swatch", "Timed swatch", options, &mut view.swatch);
    }
    let logged = view.swatch.and_then(|place| log.get(place)).and_then(|entry| {
        let whole = entry.swatch.weighed.filter(|whole| whole.stitches > 0 && whole.rows > 0);
        let whole = whole.map(|whole| (f64::from(whole.stitches), f64::from(whole.rows)));
        whole.or_else(|| entry.swatch.counted())
    });
    let counts = if let Some((stitches, rows)) = logged {
        caption(ui, format!("{stitches} stitches × {rows} rows, as logged."));
        (stitches, rows)
    } else {
        let mut form = Form::of_words(ui);
        form.count(("Stitches", "Timed stitches", " stitches"), (1, 2000), &mut view.stitches);
        form.count(("Rows", "Timed rows", " rows"), (1, 2000), &mut view.rows);
        (f64::from(view.stitches), f64::from(view.rows))
    };
    let field = NumberField {
        label: "Minutes for the swatch",
        suffix: " minutes",
        range: 1.0..=10_000.0,
        decimals: 0,
        speed: 0.5,
    };
    if let Some(typed) = Form::of_words(ui).number("Took", &field, view.minutes) {
        view.minutes = typed;
    }
    let pace = project.pieces.pace.from_swatch(counts, view.minutes);
    if let Ok(pace) = &pace {
        caption(ui, format!("{:.1} stitches a minute, taken as plain knitting.", pace.per_minute()));
    }
    if ui.button("Use this pace").clicked() {
        match pace {
            Ok(pace) => {
                draft.plan.pace = pace;
                draft.step("Pace");
            }
            Err(error) => actions.push(Action::Complain(error.to_string())),
        }
    }
}
