//! The menu of the chart: opened by the right button where it paints nothing, by the menu key or Shift+F10.

use egui::containers::menu::menu_style;
use egui::{
    Align, Button, Id, Layout, Popup, PopupAnchor, PopupCloseBehavior, PopupKind, Pos2, SetOpenCommand, Ui,
};

use crate::app::command::Way;
use crate::app::state::State;
use crate::app::update::enabled;
use crate::app::view::View;
use crate::app::{Action, Command};
use crate::chart::Cell;
use crate::project::colour_code;
use crate::ui::canvas;
use crate::ui::shell::shortcut_text;
use crate::ui::widgets::tip_beside;

/// Opens the menu when it was asked for, and shows it while it is open.
pub fn show(ui: &Ui, state: &State, view: &mut View, actions: &mut Vec<Action>) {
    let id = Id::unique("chart menu");
    let asked = view.chart.menu.take();
    if let Some(menu) = asked {
        ui.data_mut(|data| data.insert_temp(id, Pos2::from(menu.pos)));
    }
    let pos: Pos2 = ui.data(|data| data.get_temp(id)).unwrap_or_default();
    let popup = Popup::new(id, ui.ctx().clone(), PopupAnchor::Position(pos), ui.layer_id())
        .kind(PopupKind::Menu)
        .layout(Layout::top_down_justified(Align::Min))
        .style(menu_style)
        .gap(0.0)
        .close_behavior(PopupCloseBehavior::CloseOnClick)
        .open_memory(asked.map(|_| SetOpenCommand::Bool(true)));
    let by_keys = asked.is_some_and(|menu| menu.by_keys);
    popup.show(|ui| lines(ui, state, view, by_keys, actions));
}

/// The lines of the menu.
fn lines(ui: &mut Ui, state: &State, view: &View, by_keys: bool, actions: &mut Vec<Action>) {
    let groups: [&[Command]; 3] = [
        &[Command::Cut, Command::Copy, Command::Paste, Command::PasteOver, Command::Clear],
        &[Command::ChooseArea, Command::ChooseColour, Command::ChooseAll],
        &[Command::Replace { everywhere: false }, Command::Replace { everywhere: true }],
    ];
    let mut all = groups.iter().copied().flatten().copied();
    let first = all.find(|command| by_keys && can(state, view, *command));
    for (number, group) in groups.iter().enumerate() {
        if number > 0 {
            ui.separator();
        }
        for command in *group {
            let is_first = first == Some(*command);
            line(ui, state, view, *command, is_first, actions);
        }
    }
    ui.separator();
    more(ui, state, view, actions);
}

/// What is asked for now and then, in menus of its own.
pub fn more(ui: &mut Ui, state: &State, view: &View, actions: &mut Vec<Action>) {
    let factors = [(2, 1), (1, 2), (2, 2), (3, 3)];
    let larger = factors.map(|(across, up)| Command::Scale(across, up));
    let smaller = factors.map(|(across, up)| Command::Reduce(across, up));
    let scales = [larger, smaller].concat();
    let shifts = [Way::Left, Way::Right, Way::Up, Way::Down].map(Command::Shift);
    let rows = [Command::InsertRow, Command::InsertStitch, Command::DeleteRows, Command::DeleteStitches];
    let turns = [Command::MirrorSideways, Command::MirrorUpright, Command::TurnLeft, Command::TurnRight];
    let groups: [(&str, &[Command]); 4] = [
        ("Mirror and turn", &turns),
        ("Scale", &scales),
        ("Shift around the repeat", &shifts),
        ("Rows and stitches", &rows),
    ];
    for (name, commands) in groups {
        ui.menu_button(name, |ui| {
            for command in commands {
                line(ui, state, view, *command, false, actions);
            }
        });
    }
    for command in [Command::RepeatFromRegion, Command::CropToRegion] {
        line(ui, state, view, command, false, actions);
    }
}

/// A line of a menu: the words of a command and its key.
pub fn line(
    ui: &mut Ui,
    state: &State,
    view: &View,
    command: Command,
    focused: bool,
    actions: &mut Vec<Action>,
) {
    let info = command.info();
    let mut button = Button::new(words(state, view, command));
    if let Some(shortcut) = info.shortcut {
        button = button.shortcut_text(shortcut_text(ui, shortcut));
    }
    let response = tip_beside(ui.add_enabled(can(state, view, command), button), info.tip);
    if focused {
        response.request_focus();
    }
    if response.clicked() {
        actions.push(Action::Command(command));
    }
}

/// Whether a line can do anything now.
fn can(state: &State, view: &View, command: Command) -> bool {
    let (from, to) = colours_replaced(state, view);
    let replaces = matches!(command, Command::Replace { .. });
    enabled(state, view, command) && !(replaces && from == to)
}

/// The colour at the cursor, which is replaced, and that which takes its place.
fn colours_replaced(state: &State, view: &View) -> (Option<Cell>, Option<Cell>) {
    let project = state.project();
    let colour = |cell: Cell| cell.index().map_or(Cell::NO_STITCH, |slot| Cell::slot(slot as u8));
    let from = project.chart.grid.get(view.chart.cursor).map(colour);
    (from, Some(canvas::paint_cell(project, &view.chart)))
}

/// The words of a line; those that replace a colour name both.
fn words(state: &State, view: &View, command: Command) -> String {
    let letter = |cell: Option<Cell>| match cell.map(Cell::index) {
        Some(Some(slot)) => colour_code(slot),
        _ => "no stitch".to_owned(),
    };
    let (from, to) = colours_replaced(state, view);
    let (from, to) = (letter(from), letter(to));
    match command {
        Command::Replace { everywhere: true } => format!("Replace {from} by {to} everywhere"),
        Command::Replace { .. } if view.chart.region.is_some() => {
            format!("Replace {from} by {to} in the region")
        }
        _ => command.info().label.to_owned(),
    }
}
