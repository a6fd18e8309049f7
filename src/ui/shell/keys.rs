//! From keys to commands, by the one table.

use egui::{Event, Key, KeyboardShortcut, Modifiers, Ui};

use crate::app::command::Shortcut;
use crate::app::state::State;
use crate::app::update::enabled;
use crate::app::view::View;
use crate::app::{Action, Command};

/// Commands whose keys were pressed. Plain letters stay with a text field that is being typed in.
pub fn keys(ui: &Ui, state: &State, view: &View) -> Vec<Action> {
    let typing = ui.ctx().text_edit_focused();
    let mut actions = Vec::new();
    // Keys with Shift first: a key without it also answers when Shift is held.
    let shifted = |command: &Command| command.info().shortcut.is_some_and(|keys| keys.shift);
    let (first, then): (Vec<_>, Vec<_>) = Command::ALL.into_iter().partition(shifted);
    for command in first.into_iter().chain(then) {
        let Some(shortcut) = command.info().shortcut else { continue };
        // A key that can do nothing here is left for the control that has the keyboard.
        if !enabled(state, view, command) {
            continue;
        }
        let asked = match command {
            // The window system turns these three into events of their own.
            Command::Cut => !typing && taken(ui, &Event::Cut),
            Command::Copy => !typing && taken(ui, &Event::Copy),
            Command::Paste => !typing && ui.input(|i| i.events.iter().any(|e| matches!(e, Event::Paste(_)))),
            // Enter belongs to the focused control unless stitches are held.
            Command::SetDown => !typing && view.chart.floating.is_some() && pressed(ui, shortcut),
            _ if typing => needs_no_letter(shortcut) && pressed(ui, shortcut),
            _ => pressed(ui, shortcut),
        };
        if asked {
            actions.push(Action::Command(command));
        }
    }
    actions
}

/// Keys that never write into a text field.
fn needs_no_letter(shortcut: Shortcut) -> bool {
    let function_key = shortcut.key.len() > 1 && shortcut.key.starts_with('F');
    let editing = matches!(shortcut.key, "Z" | "A" | "ArrowUp" | "ArrowLeft" | "ArrowDown" | "ArrowRight");
    function_key || (shortcut.ctrl && !editing)
}

fn taken(ui: &Ui, wanted: &Event) -> bool {
    ui.input(|input| input.events.contains(wanted))
}

fn pressed(ui: &Ui, shortcut: Shortcut) -> bool {
    // On many keyboards plus stands above the equals sign, and nobody holds Shift to enlarge.
    let unshifted = (shortcut.key == "Plus").then_some(Shortcut { key: "Equals", ..shortcut });
    let mut keys = std::iter::once(shortcut).chain(unshifted).filter_map(keyboard_shortcut);
    keys.any(|keys| ui.input_mut(|input| input.consume_shortcut(&keys)))
}

fn keyboard_shortcut(shortcut: Shortcut) -> Option<KeyboardShortcut> {
    let mut modifiers = Modifiers::NONE;
    if shortcut.ctrl {
        modifiers |= Modifiers::COMMAND;
    }
    if shortcut.shift {
        modifiers |= Modifiers::SHIFT;
    }
    Some(KeyboardShortcut::new(modifiers, Key::from_name(shortcut.key)?))
}

/// The key as menus show it, e.g. `Ctrl+S`.
pub fn shortcut_text(ui: &Ui, shortcut: Shortcut) -> String {
    keyboard_shortcut(shortcut).map_or_else(String::new, |keys| ui.ctx().format_shortcut(&keys))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_shortcut_names_a_key_that_exists() {
        for command in Command::ALL {
            if let Some(shortcut) = command.info().shortcut {
                assert!(keyboard_shortcut(shortcut).is_some(), "{command:?}: {shortcut:?}");
            }
        }
    }
}
