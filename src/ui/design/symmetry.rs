//! What a painted stitch takes along: a button of the tool row and what opens below it.

use egui::style::StyleModifier;
use egui::{Align, Button, Layout, Popup, PopupCloseBehavior, Ui, Vec2};

use crate::app::{Action, state::State};
use crate::chart::{Axis, Lay, MAX_SIDE, Mirrors, Symmetry, Tiles};
use crate::project::{Edit, Project};
use crate::ui::theme::STEP;
use crate::ui::widgets::{Icon, NumberField, caption, count_field, part, row, row_if, sized_icon_button};

/// Width of what opens.
const WIDTH: f32 = 268.0;
/// Height kept for the words below, so that nothing moves when they come and go.
const WORDS: f32 = 46.0;

/// The button, lit while the symmetry is on, and its choices.
pub fn button(ui: &mut Ui, state: &State, tip: &str, size: Vec2, actions: &mut Vec<Action>) {
    let project = state.project();
    let on = project.symmetry.is_on();
    let response = sized_icon_button(ui, Icon::Symmetry, "Symmetry", tip, on, size);
    // A press beside them closes the choices, also when it becomes a drag; on the chart it does nothing more.
    let pressed = ui.input(|input| input.pointer.press_origin().filter(|_| input.pointer.any_pressed()));
    let beside = |pos| ui.ctx().layer_id_at(pos) == Some(ui.layer_id()) && !response.rect.contains(pos);
    if pressed.is_some_and(beside) {
        Popup::close_id(ui.ctx(), Popup::default_response_id(&response));
    }
    let popup = Popup::menu(&response).close_behavior(PopupCloseBehavior::CloseOnClickOutside);
    let popup = popup.style(StyleModifier::default()).layout(Layout::top_down(Align::Min));
    popup.show(|ui| {
        ui.set_width(WIDTH);
        // The fields end in one line.
        ui.spacing_mut().interact_size.x = 110.0;
        let mut symmetry = project.symmetry;
        let told = choices(ui, project, &mut symmetry);
        if symmetry != project.symmetry {
            let step = symmetry.step_from(project.symmetry);
            actions.push(Action::edit(step, Edit::Symmetry(symmetry)));
        }
        // Not at every turn of a drag.
        let told = told.filter(|_| !ui.input(|input| input.pointer.any_down()));
        actions.extend(told.map(Action::Notify));
    });
}

/// The choices; what is to be said of what was chosen.
fn choices(ui: &mut Ui, project: &Project, symmetry: &mut Symmetry) -> Option<String> {
    part(ui, "Painted along");
    for pair in Mirrors::ALL.chunks(2) {
        ui.horizontal(|ui| {
            for mirrors in pair {
                let chosen = symmetry.mirrors == *mirrors;
                let button = Button::selectable(chosen, mirrors.name());
                if ui.add(button.min_size(Vec2::new(WIDTH / 2.0 - STEP, 24.0))).clicked() {
                    symmetry.mirrors = *mirrors;
                }
            }
        });
    }
    axis(ui, project, symmetry);
    let told = tiles(ui, project, symmetry);
    ui.allocate_ui(Vec2::new(WIDTH, WORDS), |ui| {
        ui.set_min_size(Vec2::new(WIDTH, WORDS));
        caption(ui, words(project, symmetry));
    });
    told
}

/// What is to be known of the symmetry as it is set.
fn words(project: &Project, symmetry: &Symmetry) -> String {
    let bounds = project.chart.grid.bounds();
    let reach = symmetry.about(project.chart.repeat()).reach(bounds);
    let words = if symmetry.tiles_are_left_out() {
        "Quarter turns need a tile that turns onto itself: as high as wide, or 2 : 1 where it is halved. \
         The tiles rest."
    } else if let Some(tiles) = symmetry.tiles.filter(|tiles| !tiles.close(project.chart.repeat())) {
        match tiles.lay() {
            Lay::Straight => {
                "The repeat does not hold whole tiles: what is painted breaks where it is repeated."
            }
            Lay::HalfDrop => {
                "What is painted breaks where the repeat is repeated: a half-drop wants an even number of whole tiles \
                 across it."
            }
            Lay::Brick => {
                "What is painted breaks where the repeat is repeated: bricks want an even number of whole tiles up it."
            }
        }
    } else if reach.is_empty() {
        "The axis stands at the edge of the chart: every copy falls off it and is left out."
    } else if reach != bounds {
        return format!(
            "Copies that fall off the chart are left out. All of them lie on it within the dashes, {} × {} stitches.",
            reach.width, reach.height
        );
    } else if symmetry.mirrors == Mirrors::None && symmetry.tiles.is_some() {
        "Dashes on the chart show the tiles, laid from the corner of the repeat."
    } else if symmetry.mirrors == Mirrors::None {
        "With a mirror, a turn or a repeat every stitch is painted at its images too."
    } else {
        "Drag a knob at the end of an axis to place it: between stitches or through one."
    };
    words.to_owned()
}

/// Where the axes cross, in stitches and rows; halves run through the middle of one.
fn axis(ui: &mut Ui, project: &Project, symmetry: &mut Symmetry) {
    let grid = &project.chart.grid;
    let placed = project.placed_symmetry().axis();
    let field = |label, suffix, most: u32| NumberField {
        label,
        suffix,
        range: 0.0..=f64::from(most),
        decimals: 1,
        speed: 0.1,
    };
    let halves = |value: f64| (value * 2.0).round() as u32;
    row_if(ui, symmetry.mirrors.has_upright(), "Axis from left", |ui| {
        let field = field("Axis from left", " stitches", grid.width());
        if let Some(value) = field.show(ui, f64::from(placed.x2) / 2.0) {
            symmetry.axis = Some(Axis { x2: halves(value), ..placed });
        }
    });
    row_if(ui, symmetry.mirrors.has_level(), "Axis from foot", |ui| {
        let field = field("Axis from foot", " rows", grid.height());
        if let Some(value) = field.show(ui, f64::from(placed.y2) / 2.0) {
            symmetry.axis = Some(Axis { y2: halves(value), ..placed });
        }
    });
    let middle = ui.add_enabled(symmetry.axis.is_some(), Button::new("To the middle of the repeat"));
    if middle.clicked() {
        symmetry.axis = None;
    }
}

/// The tiles; what is to be said when they come out otherwise than they were asked for.
fn tiles(ui: &mut Ui, project: &Project, symmetry: &mut Symmetry) -> Option<String> {
    let (before, repeat) = (symmetry.tiles, project.chart.repeat());
    part(ui, "Repeat painted along");
    let lay = symmetry.tiles.map(Tiles::lay);
    let all = std::iter::once((None, "None")).chain(Lay::ALL.map(|lay| (Some(lay), lay.name())));
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 2.0;
        for (choice, name) in all {
            if ui.add(Button::selectable(lay == choice, name)).clicked() {
                symmetry.tiles = choice.map(|lay| match symmetry.tiles {
                    Some(tiles) => tiles.laid(lay, repeat),
                    None => Tiles::filling(lay, repeat),
                });
            }
        }
    });
    let shown = symmetry.tiles.unwrap_or(Tiles::filling(Lay::Straight, repeat));
    let (mut width, mut height) = (shown.width(), shown.height());
    ui.add_enabled_ui(symmetry.tiles.is_some(), |ui| {
        row(ui, "Tile width", |ui| {
            width = count_field(ui, "Tile width", " stitches", 1..=MAX_SIDE, width).unwrap_or(width);
        });
        row(ui, "Tile height", |ui| {
            height = count_field(ui, "Tile height", " rows", 1..=MAX_SIDE, height).unwrap_or(height);
        });
    });
    let tiles = symmetry.tiles.as_mut()?;
    let typed = (width, height) != (tiles.width(), tiles.height());
    *tiles = Tiles::new(tiles.lay(), width, height);
    let asked = if typed { (width, height) } else { before.map(|old| (old.width(), old.height()))? };
    tiles.told(asked, repeat)
}
