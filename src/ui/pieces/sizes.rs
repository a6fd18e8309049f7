//! The sizes and the fields of one: ease and body measurements.

use egui::{CollapsingHeader, FontId, Role, Sense, Ui, Vec2, WidgetInfo};

use super::list_buttons::{Asked, list_buttons};
use super::{Draft, words};
use crate::knit::pieces::{Body, Measure, Piece, Size, SizeTable};
use crate::project::Project;
use crate::ui::theme::{BODY, CORNER, STEP, Tokens, semibold};
use crate::ui::widgets::{
    Form, Icon, NumberField, caption, focus_ring, heading, name, sized_icon_button, truncated,
};
use crate::units::LengthUnit;

/// Shows the list and the fields of the shown size.
pub fn show(ui: &mut Ui, project: &Project, shown: &mut usize, draft: &mut Draft) {
    let sizes = &project.pieces.sizes;
    let asked = ui
        .horizontal(|ui| {
            heading(ui, "Sizes");
            list_buttons(ui, "size", *shown, sizes.len())
        })
        .inner;
    if sizes.is_empty() {
        caption(
            ui,
            "One size that fits nobody in particular. Add a size to follow a body, or take published ones below.",
        );
    }
    for (place, size) in sizes.iter().enumerate() {
        if entry(ui, size, place == *shown, project.units) {
            *shown = place;
        }
    }
    if let Some(asked) = asked {
        carry_out(asked, shown, draft);
    } else {
        fields(ui, project, *shown, draft);
    }
}

fn carry_out(asked: Asked, shown: &mut usize, draft: &mut Draft) {
    let plan = &mut draft.plan;
    let place = *shown;
    match asked {
        Asked::Add => {
            let mut fresh = plan.sizes.get(place).cloned().unwrap_or_else(Size::one_size);
            fresh.name = format!("Size {}", plan.sizes.len() + 1);
            plan.sizes.push(fresh);
            *shown = plan.sizes.len() - 1;
            draft.step("Add a size");
        }
        Asked::Remove => {
            plan.sizes.remove(place);
            if plan.chosen > place || plan.chosen >= plan.sizes.len() {
                plan.chosen = plan.chosen.saturating_sub(1);
            }
            draft.step("Remove size");
        }
        Asked::Up | Asked::Down => {
            let other = if asked == Asked::Up { place - 1 } else { place + 1 };
            plan.sizes.swap(place, other);
            // The worked size stays the same one.
            plan.chosen = match plan.chosen {
                chosen if chosen == place => other,
                chosen if chosen == other => place,
                chosen => chosen,
            };
            *shown = other;
            draft.step("Move size");
        }
    }
}

/// One size; whether it was clicked.
fn entry(ui: &mut Ui, size: &Size, shown: bool, units: LengthUnit) -> bool {
    let (rect, response) =
        ui.allocate_exact_size(Vec2::new(ui.available_width() - STEP / 2.0, 30.0), Sense::click());
    let first = size.body.known().next();
    let girth = first.map_or_else(
        || "not measured".to_owned(),
        |(measure, cm)| format!("{} {}", measure.name().to_lowercase(), words::length(cm, units)),
    );
    let label = format!("Size {}: {girth}", size.name);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, shown, &label));
    let tokens = Tokens::of(ui);
    let fill = tokens.list_fill(shown, &response);
    ui.painter().rect_filled(rect, CORNER, fill);
    let font = if shown { FontId::new(BODY, semibold()) } else { FontId::proportional(BODY) };
    let ink = if shown { tokens.text } else { tokens.weak };
    let girth = truncated(ui, girth, FontId::proportional(BODY), ink, rect.width() * 0.6);
    let title =
        truncated(ui, size.name.as_str(), font, tokens.text, rect.width() - girth.size().x - 3.0 * STEP);
    let y = |galley: &egui::Galley| rect.center().y - galley.size().y / 2.0;
    let right = egui::pos2(rect.right() - STEP - girth.size().x, y(&girth));
    ui.painter().galley(egui::pos2(rect.left() + STEP, y(&title)), title, tokens.text);
    ui.painter().galley(right, girth, ink);
    if response.has_focus() {
        focus_ring(ui, rect);
    }
    response.clicked()
}

fn fields(ui: &mut Ui, project: &Project, place: usize, draft: &mut Draft) {
    let used = used_measures(&draft.plan.pieces);
    let Some(size) = draft.plan.sizes.get_mut(place) else { return };
    let before = size.clone();
    let units = project.units;
    let form = &mut Form::of_words(ui);
    form.separator();
    heading(form, "Size");
    form.text("Name", "Size name", &mut size.name);
    let suffix = format!(" {}", units.length_suffix());
    let ease = NumberField {
        label: "Ease planned",
        suffix: &suffix,
        range: units.from_cm(-60.0)..=units.from_cm(100.0),
        decimals: 2,
        speed: 0.05,
    };
    if let Some(typed) = form.number("Ease planned", &ease, units.from_cm(size.ease_cm)) {
        size.ease_cm = units.to_cm(typed);
    }
    if let Some(words) = fit_words(size.ease_cm) {
        caption(form, words);
    }
    for measure in used.iter().copied() {
        measurement(form, measure, &mut size.body, units);
    }
    let title = if used.is_empty() { "Body measurements" } else { "Other measurements" };
    let others = CollapsingHeader::new(title).default_open(used.is_empty()).show(form, |ui| {
        let mut form = Form::of_words(ui);
        for measure in Measure::ALL.into_iter().filter(|measure| !used.contains(measure)) {
            measurement(&mut form, measure, &mut size.body, units);
        }
        form.ended()
    });
    form.end_if(others.body_returned == Some(true));
    if *size != before {
        draft.label = "Size";
    }
    draft.ended |= form.ended();
}

/// The measurements that the pieces follow, in the order they are shown.
pub fn used_measures(pieces: &[Piece]) -> Vec<Measure> {
    let all: Vec<Measure> = pieces.iter().flat_map(Piece::measures).collect();
    Measure::ALL.into_iter().filter(|measure| all.contains(measure)).collect()
}

/// The fit that this much ease is, by the published chart.
fn fit_words(ease_cm: f64) -> Option<String> {
    let table = SizeTable::shipped().ok()?;
    let inches = LengthUnit::Imperial.from_cm(ease_cm);
    let fit = table.fits.iter().find(|fit| {
        fit.from.is_none_or(|from| inches >= from - 1e-9) && fit.to.is_none_or(|to| inches <= to + 1e-9)
    })?;
    Some(format!("Garment less body: {} by the published fit chart.", fit.name.to_lowercase()))
}

/// One measurement, known or not.
fn measurement(form: &mut Form, measure: Measure, body: &mut Body, units: LengthUnit) {
    let Some(cm) = body.get(measure) else {
        form.row(measure.name(), |form| {
            let add = form.button("Not known: add it");
            name(&add, &format!("Add {}", measure.name().to_lowercase()));
            if add.clicked() {
                body.set(measure, Some(likely(measure, body)));
                form.end();
            }
        });
        return;
    };
    let suffix = format!(" {}", units.length_suffix());
    let field = NumberField {
        label: measure.name(),
        suffix: &suffix,
        range: units.from_cm(1.0)..=units.from_cm(Body::MAX_CM),
        decimals: 2,
        speed: 0.05,
    };
    form.row(measure.name(), |form| {
        let (response, typed) = field.respond(form, units.from_cm(cm));
        form.end_if(response.drag_stopped() || response.lost_focus());
        if let Some(typed) = typed {
            body.set(measure, Some(units.to_cm(typed)));
        }
        let label = format!("Clear {}", measure.name().to_lowercase());
        let tip = "Not known";
        if sized_icon_button(form, Icon::Close, &label, tip, false, Vec2::splat(22.0)).clicked() {
            body.set(measure, None);
            form.end();
        }
    });
}

/// A figure to begin with: the published size nearest in chest, else the middle of its table.
fn likely(measure: Measure, body: &Body) -> f64 {
    const UNPUBLISHED_CM: f64 = 50.0;
    let Ok(table) = SizeTable::shipped() else { return UNPUBLISHED_CM };
    let chest = body.get(Measure::Chest);
    let group =
        table.groups.iter().find(|group| group.sizes.iter().any(|size| size.body.get(measure).is_some()));
    let Some(group) = group else { return UNPUBLISHED_CM };
    let off = |size: &crate::knit::pieces::TableSize| match (chest, size.body.get(Measure::Chest)) {
        (Some(a), Some(b)) => (a - b).abs(),
        _ => 0.0,
    };
    let nearest = group.sizes.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
    let middle = group.sizes.get(group.sizes.len() / 2);
    let size = if chest.is_some() { nearest } else { middle };
    size.and_then(|size| size.body.get(measure)).unwrap_or(UNPUBLISHED_CM)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_unknown_measurement_begins_near_the_wearers_chest() {
        let mut body = Body::default();
        body.set(Measure::Chest, Some(94.0));
        // The published M, 36 to 38 in, has an upper arm of 11 in.
        assert!((likely(Measure::UpperArm, &body) - 27.94).abs() < 1e-9);
        assert!(likely(Measure::Head, &Body::default()) > 35.0);
    }

    #[test]
    fn ease_is_named_by_the_published_fit_chart() {
        assert!(fit_words(7.62).unwrap().contains("standard-fitting"));
        assert!(fit_words(-2.0).unwrap().contains("very close-fitting"));
        assert!(fit_words(30.0).unwrap().contains("oversized"));
    }
}
