//! From keys to commands, by the one table.

use egui::{Context, Event, Id, Key, KeyboardShortcut, Modifiers, Ui};

use crate::app::command::Shortcut;
use crate::app::state::State;
use crate::app::update::enabled;
use crate::app::view::View;
use crate::app::{Action, Command};
use crate::ui::canvas;

/// Commands whose keys were pressed. Letters and the like act on the chart, and only while it has the
/// keyboard.
pub fn keys(ui: &Ui, state: &State, view: &View, drops_typing: bool) -> Vec<Action> {
    let typing = ui.ctx().text_edit_focused();
    let on_chart = ui.memory(|memory| memory.has_focus(canvas::id()));
    let mut actions = Vec::new();
    // Keys with Shift first: a key without it also answers when Shift is held.
    let shifted = |command: &Command| command.info().shortcut.is_some_and(|keys| keys.shift || keys.alt);
    let (first, then): (Vec<_>, Vec<_>) = Command::ALL.into_iter().partition(shifted);
    for command in first.into_iter().chain(then) {
        let Some(shortcut) = command.info().shortcut else { continue };
        // A key that can do nothing here is left for the control that has the keyboard.
        if !enabled(state, view, command) {
            continue;
        }
        let lets_go = matches!(command, Command::Escape | Command::SetDown);
        if !shortcut.ctrl && !is_function_key(shortcut) && !lets_go && !on_chart {
            continue;
        }
        // Escape closes the menu or list that is open or drops what is typed, and nothing else.
        if lets_go && (drops_typing || egui::Popup::is_any_open(ui.ctx())) {
            continue;
        }
        let asked = match command {
            // The window system turns these three into events of their own.
            Command::Cut => !typing && taken(ui, &Event::Cut),
            Command::Copy => !typing && taken(ui, &Event::Copy),
            // With Shift it is a key as any other.
            Command::PasteOver => !typing && pressed(ui, shortcut),
            Command::Paste => {
                let pasted = pasted(ui).filter(|_| !typing);
                let own = pasted.as_ref().is_some_and(|words| is_own(state, words));
                if pasted.is_some() && !own && on_chart {
                    let other = "What was copied last are no stitches of this window.";
                    actions.push(Action::Notify(other.to_owned()));
                }
                own
            }
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

/// Notes that what was done last was for the chart, and that the next keys are: it gets the keyboard at the end
/// of the frame in which no menu is open any more, unless something else has taken it by then. Asked for at once it
/// would be lost again, for the press that asks is one beside the chart.
pub fn give_keys_to_chart(ctx: &Context) {
    let frame = ctx.cumulative_frame_nr();
    ctx.data_mut(|data| data.insert_temp(Id::unique(GIVEN), frame));
}

const GIVEN: &str = "keys are given to the chart";
/// Frames until a control that is gone, such as a field of an answered question, has lost the keyboard.
const LETTING_GO: u64 = 3;

/// Hands the keyboard over to the chart where it was given and the chart is shown; call it when all is. What is open
/// over the chart gives it when it closes.
pub fn hand_over_keys(ctx: &Context, shows_chart: bool) {
    if egui::Popup::is_any_open(ctx) {
        give_keys_to_chart(ctx);
        return;
    }
    let given = Id::unique(GIVEN);
    let Some(since) = ctx.data(|data| data.get_temp::<u64>(given)) else { return };
    let is_free = ctx.memory(|memory| memory.focused().is_none());
    if shows_chart && !is_free && ctx.cumulative_frame_nr() < since + LETTING_GO {
        ctx.request_repaint();
        return;
    }
    ctx.data_mut(|data| data.remove::<u64>(given));
    if shows_chart && is_free {
        ctx.memory_mut(|memory| memory.request_focus(canvas::id()));
    }
}

/// What the system's clipboard held when Paste was asked for.
fn pasted(ui: &Ui) -> Option<String> {
    ui.input(|input| {
        input.events.iter().find_map(|event| match event {
            Event::Paste(words) => Some(words.clone()),
            _ => None,
        })
    })
}

/// Whether these words stand for the stitches that were copied here.
fn is_own(state: &State, words: &str) -> bool {
    state.clipboard.as_ref().is_some_and(|copied| copied.words == words.trim_end())
}

const fn is_function_key(shortcut: Shortcut) -> bool {
    shortcut.key.len() > 1 && shortcut.key.as_bytes()[0] == b'F'
}

/// Keys that never write into a text field.
fn needs_no_letter(shortcut: Shortcut) -> bool {
    let editing = matches!(shortcut.key, "Z" | "A" | "ArrowUp" | "ArrowLeft" | "ArrowDown" | "ArrowRight");
    is_function_key(shortcut) || (shortcut.ctrl && !editing)
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
    if shortcut.alt {
        modifiers |= Modifiers::ALT;
    }
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
