//! Sizes from the published tables, to start from.

use egui::{Button, CollapsingHeader, Ui, Vec2};

use super::Draft;
use crate::knit::pieces::{Fit, Size, SizeGroup, SizeTable, TableSize};
use crate::project::{PiecePlan, Project, size_group_for};
use crate::ui::theme::STEP;
use crate::ui::widgets::{Form, caption, heading, name};

/// What is chosen of the tables.
#[derive(Default)]
pub struct PublishedView {
    /// `None` until one is chosen: that of the kind of piece.
    group: Option<usize>,
    /// Sizes that are ticked, by their place in the group.
    ticked: Vec<usize>,
    /// The fit, by its place in the fit chart; `None` for no ease.
    fit: Option<usize>,
}

/// Shows the tables; the ticked sizes are added to the plan.
pub fn show(ui: &mut Ui, project: &Project, view: &mut PublishedView, draft: &mut Draft) {
    ui.separator();
    heading(ui, "Published sizes");
    let table = match SizeTable::shipped() {
        Ok(table) => table,
        Err(error) => {
            caption(ui, error.to_string());
            return;
        }
    };
    let groups = table.groups.iter().map(|group| group.name.as_str()).enumerate();
    let mut form = Form::of_words(ui);
    let usual = size_group_for(table, project.material.needs.map(|needs| needs.piece));
    let mut shown = view.group.unwrap_or(usual);
    form.choice("Wearer", "Published sizes for", groups, &mut shown);
    if shown != view.group.unwrap_or(usual) {
        view.group = Some(shown);
    }
    if form.ended() {
        view.ticked.clear();
    }
    let Some(group) = table.groups.get(shown) else { return };
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = Vec2::splat(STEP / 2.0);
        for (place, size) in group.sizes.iter().enumerate() {
            let ticked = view.ticked.contains(&place);
            let button = ui.add(Button::selectable(ticked, &size.name).frame_when_inactive(true));
            name(&button, &format!("Published size {}", size.name));
            if button.clicked() {
                if ticked {
                    view.ticked.retain(|other| *other != place);
                } else {
                    view.ticked.push(place);
                    view.ticked.sort_unstable();
                }
            }
        }
    });
    let mut fits: Vec<(Option<usize>, &str)> = vec![(None, "No ease")];
    fits.extend(table.fits.iter().enumerate().map(|(i, fit)| (Some(i), fit.name.as_str())));
    Form::of_words(ui).choice("Fit", "Fit of the published sizes", fits, &mut view.fit);
    let room = draft.plan.sizes.len() + view.ticked.len() <= PiecePlan::MOST;
    let text = match view.ticked.len() {
        0 => "Add sizes".to_owned(),
        1 => "Add 1 size".to_owned(),
        n => format!("Add {n} sizes"),
    };
    if ui.add_enabled(room && !view.ticked.is_empty(), Button::new(text)).clicked() {
        let ease_cm = view.fit.and_then(|fit| table.fits.get(fit)).map_or(0.0, Fit::usual_cm);
        let fresh = view.ticked.iter().filter_map(|place| group.sizes.get(*place));
        let fresh = fresh.map(|size| Size { name: size.name.clone(), body: size.body, ease_cm });
        draft.plan.sizes.extend(fresh);
        view.ticked.clear();
        draft.step("Add published sizes");
    }
    caption(
        ui,
        format!(
            "{} ({}). The middle of each range. Measure the wearer where you can.",
            group.source, group.basis
        ),
    );
    let ticked: Vec<&TableSize> = view.ticked.iter().filter_map(|place| group.sizes.get(*place)).collect();
    if ticked.iter().any(|size| !size.filled.is_empty()) {
        caption(
            ui,
            "The source gives the chest only; the rest is read off the full table at the same chest.",
        );
    }
    if ticked.iter().any(|size| size.carried_on) {
        caption(ui, "The source ends at XXL: larger sizes carry its steps on.");
    }
    if !group.measured.is_empty() {
        sources(ui, group);
    }
}

/// Where the measurements come from that the group's own source does not give.
fn sources(ui: &mut Ui, group: &SizeGroup) {
    CollapsingHeader::new("Measurements from elsewhere").id_salt("sources of sizes").show(ui, |ui| {
        for note in &group.measured {
            let names: Vec<&str> = note.measures.iter().map(|measure| measure.name()).collect();
            caption(ui, format!("{}. {}: {}.", names.join(", "), note.basis.name(), note.source));
        }
    });
}
