//! The bar at the top: menus, title, undo and redo.

use egui::{Atom, Button, IdSalt, MenuBar, Panel, RichText, Role, Ui, Vec2, WidgetInfo};

use super::{LINE, give_keys_to_chart, shortcut_text};
use crate::app::exports::Export;
use crate::app::purpose::Next;
use crate::app::state::State;
use crate::app::update::enabled;
use crate::app::view::{Eyes, Look, View};
use crate::app::{Action, Command};
use crate::file;
use crate::ui::theme::{STEP, Tokens, semibold};
use crate::ui::widgets::{Follow, Icon, icon_button, tip_beside};

/// Side of the tick beside what is on, in points.
const TICK: f32 = 13.0;
/// Width of a menu that is scrolled, in points.
const SCROLLED: f32 = 250.0;

/// Shows the bar.
pub fn bar(ui: &mut Ui, state: &State, view: &View) -> Vec<Action> {
    let mut actions = Vec::new();
    let fill = Tokens::of(ui).rail;
    let frame = egui::Frame::new().fill(fill).inner_margin(egui::Margin::symmetric(8, 4));
    Panel::top("bar").frame(frame).show(ui, |ui| {
        MenuBar::new().ui(ui, |ui| {
            ui.menu_button("Project", |ui| project_menu(ui, state, view, &mut actions));
            ui.menu_button("Edit", |ui| edit_menu(ui, state, view, &mut actions));
            ui.menu_button("Chart", |ui| chart_menu(ui, state, view, &mut actions));
            ui.menu_button("View", |ui| view_menu(ui, state, view, &mut actions));
            ui.menu_button("Help", |ui| {
                command(ui, state, view, Command::ShowKeys, &mut actions);
                command(ui, state, view, Command::About, &mut actions);
            });
            ui.add_space(STEP);
            for (icon, step) in [(Icon::Undo, Command::Undo), (Icon::Redo, Command::Redo)] {
                step_button(ui, state, view, icon, step, &mut actions);
            }
            ui.menu_button("Steps", |ui| steps_menu(ui, state, &mut actions));
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                let tip = Command::ToggleTheme.info();
                if icon_button(ui, Icon::Theme, tip.label, tip.tip, false).clicked() {
                    actions.push(Action::Command(Command::ToggleTheme));
                }
                title(ui, state);
            });
        });
    });
    if !actions.is_empty() && ui.input(|input| input.pointer.any_click()) {
        give_keys_to_chart(ui.ctx());
    }
    actions
}

fn title(ui: &mut Ui, state: &State) {
    ui.with_layout(egui::Layout::centered_and_justified(egui::Direction::LeftToRight), |ui| {
        let mark = if state.document.is_unsaved() { "  (unsaved changes)" } else { "" };
        let outside = state.document.is_changed_outside();
        let file = if outside { "  (file changed by another program)" } else { "" };
        let text = RichText::new(format!("{}{mark}{file}", state.project().title)).family(semibold());
        let title = ui.add(egui::Label::new(text).truncate());
        if outside {
            let tip = format!(
                "{} was written by another program or window since it was opened or saved here. Saving asks before anything is \
                 overwritten.",
                state.name()
            );
            title.on_hover_text(tip);
        }
    });
}

fn step_button(
    ui: &mut Ui,
    state: &State,
    view: &View,
    icon: Icon,
    step: Command,
    actions: &mut Vec<Action>,
) {
    let history = state.document.history();
    let what = if step == Command::Undo { history.undo_label() } else { history.redo_label() };
    let what = if view.holds_stitches() { Some(Command::Escape.info().label) } else { what };
    let info = step.info();
    let tip = what.map_or_else(|| info.tip.to_owned(), |what| format!("{}: {what}", info.label));
    ui.add_enabled_ui(enabled(state, view, step), |ui| {
        if icon_button(ui, icon, info.label, &tip, false).clicked() {
            actions.push(Action::Command(step));
        }
    });
}

/// The steps by their names, the newest on top; a click goes to where things stood after one.
fn steps_menu(ui: &mut Ui, state: &State, actions: &mut Vec<Action>) {
    const HEIGHT: f32 = 360.0;
    let history = state.document.history();
    let ahead: Vec<String> = history.redo_labels().collect();
    let mut go = None;
    egui::ScrollArea::vertical().max_height(HEIGHT).follow(ui, |ui| {
        ui.set_min_width(180.0);
        for (index, label) in ahead.iter().enumerate().rev() {
            let words = RichText::new(format!("{}  {label}", history.depth() + index + 1)).weak();
            if ui.selectable_label(false, words).clicked() {
                go = Some(index as i64 + 1);
            }
        }
        for (index, label) in history.undo_labels().enumerate() {
            let words = format!("{}  {label}", history.depth() - index);
            if ui.selectable_label(index == 0, words).clicked() {
                go = Some(-(index as i64));
            }
        }
        let depth = history.depth();
        if ui.selectable_label(depth == 0, "0  Before the first step").clicked() {
            go = Some(-(depth as i64));
        }
    });
    if let Some(by) = go {
        ui.close();
        actions.push(Action::Steps(by));
    }
}

fn project_menu(ui: &mut Ui, state: &State, view: &View, actions: &mut Vec<Action>) {
    command(ui, state, view, Command::New, actions);
    command(ui, state, view, Command::Open, actions);
    ui.menu_button("Recent", |ui| {
        if state.settings.recent().is_empty() {
            ui.weak("Nothing opened yet");
        }
        for path in state.settings.recent() {
            let name =
                path.file_name().map_or_else(|| path.display().to_string(), |n| n.to_string_lossy().into());
            if ui.button(name).on_hover_text(path.display().to_string()).clicked() {
                actions.push(Action::Go(Next::Open(Some(path.clone()))));
            }
        }
    });
    ui.menu_button("Demos", |ui| {
        for (number, demo) in file::demos().iter().enumerate() {
            if ui.button(demo.title).clicked() {
                actions.push(Action::Go(Next::Demo(number)));
            }
        }
    });
    ui.separator();
    for item in [Command::Save, Command::SaveAs, Command::Describe] {
        command(ui, state, view, item, actions);
    }
    ui.separator();
    ui.menu_button("Export", |ui| {
        for export in Export::ALL {
            command(ui, state, view, Command::Export(export), actions);
        }
    });
    ui.separator();
    command(ui, state, view, Command::Quit, actions);
}

fn edit_menu(ui: &mut Ui, state: &State, view: &View, actions: &mut Vec<Action>) {
    let groups: [&[Command]; 4] = [
        &[Command::Undo, Command::Redo],
        &[Command::Cut, Command::Copy, Command::Paste, Command::PasteOver, Command::Clear],
        &[Command::ChooseAll, Command::ChooseArea, Command::ChooseColour],
        &[Command::MirrorSideways, Command::MirrorUpright, Command::TurnLeft, Command::TurnRight],
    ];
    grouped(ui, state, view, &groups, actions);
}

fn chart_menu(ui: &mut Ui, state: &State, view: &View, actions: &mut Vec<Action>) {
    let groups: [&[Command]; 6] = [
        &[Command::InsertRow, Command::InsertStitch, Command::DeleteRows, Command::DeleteStitches],
        &[Command::ResizeChart, Command::CropToRegion],
        &[Command::RepeatFromRegion, Command::MarkShaping, Command::NextSymmetry, Command::SwapColours],
        &[Command::MendFloats, Command::ChartFromPicture],
        &[Command::MotifLibrary, Command::KeepAsMotif, Command::MotifFromOutline, Command::AcrossWeights],
        &[Command::Colourways],
    ];
    grouped(ui, state, view, &groups, actions);
}

fn view_menu(ui: &mut Ui, state: &State, view: &View, actions: &mut Vec<Action>) {
    let groups: [&[Command]; 5] = [
        &[Command::ZoomIn, Command::ZoomOut, Command::ZoomFit],
        &[Command::ToggleSymbols, Command::ToggleNumbers, Command::ToggleGhosts],
        &[Command::ToggleKnitted, Command::ToggleValue],
        &[Command::FoldHarmony, Command::FoldFindings, Command::NextPane, Command::ToChart],
        &[Command::LargerText, Command::SmallerText, Command::UsualText, Command::ToggleTheme],
    ];
    grouped(ui, state, view, &groups, actions);
}

/// Whether what a command switches is on; `None` for one that switches nothing.
fn is_on(state: &State, view: &View, command: Command) -> Option<bool> {
    match command {
        Command::ToggleSymbols => Some(view.chart.symbols),
        Command::ToggleNumbers => Some(view.chart.numbers),
        Command::ToggleGhosts => Some(view.chart.ghosts),
        Command::ToggleKnitted => Some(view.chart.look == Look::Knitted),
        Command::ToggleValue => Some(state.eyes == Eyes::Value),
        Command::FoldHarmony => Some(view.columns.harmony),
        Command::FoldFindings => Some(view.columns.findings),
        Command::MotifLibrary => Some(view.motifs_open),
        _ => None,
    }
}

fn grouped(ui: &mut Ui, state: &State, view: &View, groups: &[&[Command]], actions: &mut Vec<Action>) {
    let ticks = groups.iter().copied().flatten().any(|item| is_on(state, view, *item).is_some());
    let mut lines = |ui: &mut Ui| {
        for (number, group) in groups.iter().enumerate() {
            if number > 0 {
                ui.separator();
            }
            for item in *group {
                line(ui, state, view, *item, ticks, actions);
            }
        }
    };
    // With enlarged text a menu may be higher than the window.
    let room = ui.ctx().content_rect().height() - 2.0 * LINE;
    let high = groups.iter().map(|group| group.len() as f32 * LINE + STEP).sum::<f32>();
    if high <= room {
        lines(ui);
    } else {
        ui.set_width(SCROLLED);
        let scroll = egui::ScrollArea::vertical().max_height(room).min_scrolled_height(room);
        scroll.auto_shrink([false, true]).follow(ui, lines);
    }
}

fn command(ui: &mut Ui, state: &State, view: &View, command: Command, actions: &mut Vec<Action>) {
    line(ui, state, view, command, false, actions);
}

/// A line of a menu; `ticks` where what is on has a tick before it, for which every line leaves room.
fn line(ui: &mut Ui, state: &State, view: &View, command: Command, ticks: bool, actions: &mut Vec<Action>) {
    let info = command.info();
    let on = is_on(state, view, command).filter(|_| ticks);
    let tick = IdSalt::new("tick");
    let mut button = if ticks {
        Button::new((Atom::custom(tick, Vec2::splat(TICK)), info.label))
    } else {
        Button::new(info.label)
    };
    if let Some(shortcut) = info.shortcut {
        button = button.shortcut_text(shortcut_text(ui, shortcut));
    }
    let shown = ui.add_enabled_ui(enabled(state, view, command), |ui| button.atom_ui(ui)).inner;
    if let Some(on) = on {
        let ink = Tokens::of(ui).text;
        if let Some(place) = shown.rect(tick).filter(|_| on) {
            Icon::Tick.paint(ui.painter(), place, ink);
        }
        let role = Role::MenuItemCheckBox;
        shown.response.widget_info(|| WidgetInfo::selected(role, ui.is_enabled(), on, info.label));
    }
    if tip_beside(shown.response, info.tip).clicked() {
        actions.push(Action::Command(command));
    }
}
