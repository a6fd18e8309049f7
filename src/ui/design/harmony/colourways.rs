//! The chart in other colours, side by side.

use egui::{Sense, TextEdit, TextureId, Ui, Vec2};

use crate::app::state::State;
use crate::app::{Action, Command};
use crate::colour::Colour;
use crate::project::{Colourway, Edit, Project};
use crate::ui::theme::STEP;
use crate::ui::widgets::{ChartPictures, Icon, caption, colourway_button, heading, name, sized_icon_button};

const PICTURE: Vec2 = Vec2::new(118.0, 92.0);

/// Shows the colourways; a click takes one up.
pub fn show(ui: &mut Ui, state: &State, pictures: &mut ChartPictures, actions: &mut Vec<Action>) {
    let project = state.project();
    ui.horizontal(|ui| {
        heading(ui, "Colourways");
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let large = Command::Colourways;
            if ui.button("Large").on_hover_text(large.info().tip).clicked() {
                actions.push(Action::Command(large));
            }
            let tip = "Keeps the colours as they are now, to compare and to come back to";
            if ui.button("Keep these").on_hover_text(tip).clicked() {
                let colours = colours(project);
                let name = format!("Colourway {}", project.colourways.len() + 1);
                let way = Colourway::of_colours(name, colours);
                actions.push(edit(project, "Keep colourway", false, |ways| ways.push(way)));
            }
        });
    });
    if project.colourways.is_empty() {
        caption(ui, "Keep the colours you like so far, try others, and compare them here on your own chart.");
        return;
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = Vec2::splat(STEP);
        for (index, way) in project.colourways.iter().enumerate() {
            let picture = pictures.of(ui, state, &way.colours);
            entry(ui, state, index, way, picture, actions);
        }
    });
    pictures.keep_up(ui, state);
}

fn colours(project: &Project) -> Vec<Colour> {
    project.palette.slots().iter().map(|slot| slot.colour).collect()
}

fn entry(
    ui: &mut Ui,
    state: &State,
    index: usize,
    way: &Colourway,
    picture: Option<(TextureId, Vec2)>,
    actions: &mut Vec<Action>,
) {
    let project = state.project();
    ui.allocate_ui(PICTURE + Vec2::new(0.0, 34.0), |ui| {
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 4.0;
            let (_, response) = ui.allocate_exact_size(PICTURE, Sense::click());
            let worn = way.colours == colours(project);
            let label = format!("Take up {}", way.name);
            if colourway_button(ui, project, response, (&label, worn), picture) {
                actions.push(take_up(project, way));
            }
            ui.horizontal(|ui| name_row(ui, project, index, way, actions));
        });
    });
}

fn name_row(ui: &mut Ui, project: &Project, index: usize, way: &Colourway, actions: &mut Vec<Action>) {
    ui.spacing_mut().item_spacing.x = 1.0;
    let mut text = way.name.clone();
    // Wide enough for the name that is given.
    let field = ui.add(TextEdit::singleline(&mut text).desired_width(PICTURE.x - 24.0).char_limit(60));
    name(&field, &format!("Name of colourway {}", index + 1));
    if field.changed() {
        actions.push(edit(project, "Name colourway", true, |ways| ways[index].name = text));
    }
    if field.lost_focus() {
        actions.push(Action::EndGesture);
    }
    let label = format!("Drop {}", way.name);
    if sized_icon_button(ui, Icon::Close, &label, "Drop this colourway", false, Vec2::splat(22.0)).clicked() {
        actions.push(edit(project, "Drop colourway", false, |ways| {
            ways.remove(index);
        }));
    }
}

fn take_up(project: &Project, way: &Colourway) -> Action {
    Action::edit("Take up colourway", project.take_up(way))
}

fn edit(
    project: &Project,
    label: &'static str,
    in_gesture: bool,
    change: impl FnOnce(&mut Vec<Colourway>),
) -> Action {
    let mut ways = project.colourways.clone();
    change(&mut ways);
    Action::Edit { label: label.into(), edit: Edit::Colourways(ways), in_gesture }
}
