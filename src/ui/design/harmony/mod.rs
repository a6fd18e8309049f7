//! The harmony column: hue ring, scheme, colours, the chosen colour, proportion.

mod apart;
mod chosen;
mod colourways;
mod field;
mod held;
mod proportion;
mod ring;
mod slots;

use egui::{ScrollArea, Ui};

use crate::app::Action;
use crate::app::document::DocumentId;
use crate::app::state::State;
use crate::chart::Cell;
use crate::colour::{Colour, Scheme, Wheel, harmonise, proposals, propose, turn_between};
use crate::project::{Edit, Palette, Project, Role, Slot, code_and_role};
use crate::ui::theme::STEP;
use crate::ui::widgets::{ChartPictures, Follow, heading, one_of_in, reserved_caption, steady, tick_box};
use held::Held;

/// What the column remembers between frames.
#[derive(Default)]
pub struct HarmonyView {
    /// What it remembers is of this document.
    document: Option<DocumentId>,
    /// The drag under way.
    held: Option<Held>,
    /// The handle of the ring that is dragged.
    grip: Option<ring::Grip>,
    /// The band of the ring.
    band: Option<ring::Band>,
    /// Where the tint and tone sliders of a colour stand.
    blend: Option<chosen::BlendOf>,
    /// What the scheme or gamut mapping did last.
    note: Option<String>,
    /// The ground follows the scheme too.
    ground_follows: bool,
    /// Counts the proposals.
    proposal: usize,
    hex: String,
    /// The slot and colour `hex` was last filled from.
    hex_of: Option<(usize, Colour)>,
    field: field::FieldTexture,
    pictures: ChartPictures,
}

/// The slot the column works on: the one the tools paint with.
fn chosen(state: &State, paint: Cell) -> usize {
    let last = state.project().palette.slots().len() - 1;
    paint.index().unwrap_or(0).min(last)
}

/// Shows the column; `paint` is what the tools paint, which the column chooses and works on.
pub fn show(ui: &mut Ui, state: &State, paint: &mut Cell, view: &mut HarmonyView) -> Vec<Action> {
    let mut actions = Vec::new();
    let document = Some(state.document.id());
    if view.document != document {
        *view = HarmonyView { document, ..HarmonyView::default() };
    }
    if view.held.as_ref().is_some_and(|held| !held.goes_on(ui)) {
        view.held = None;
        view.grip = None;
        actions.push(Action::EndGesture);
    }
    ScrollArea::vertical().auto_shrink([false, false]).follow(ui, |ui| {
        let actions = &mut actions;
        steady(ui, "wheel", |ui| wheel_row(ui, state.project(), view, actions));
        steady(ui, "ring", |ui| ring::show(ui, state, paint, view, actions));
        steady(ui, "scheme", |ui| scheme_row(ui, state, view, actions));
        reserved_caption(ui, view.note.as_deref(), 2);
        ui.separator();
        steady(ui, "colours", |ui| slots::show(ui, state, paint, view, actions));
        ui.separator();
        steady(ui, "chosen", |ui| chosen::show(ui, state, chosen(state, *paint), view, actions));
        ui.separator();
        steady(ui, "proportion", |ui| proportion::show(ui, state, actions));
        ui.separator();
        steady(ui, "colourways", |ui| colourways::show(ui, state, &mut view.pictures, actions));
        ui.add_space(STEP);
    });
    actions
}

/// Heading and the choice of wheel.
fn wheel_row(ui: &mut Ui, project: &Project, view: &mut HarmonyView, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        heading(ui, "Harmony");
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            for wheel in Wheel::ALL.into_iter().rev() {
                let tip = match wheel {
                    Wheel::Perceptual => "Equal angles look about equally different (Oklch hue).",
                    Wheel::Painter => "The red-yellow-blue circle of paint mixing.",
                };
                let chosen = project.palette.wheel == wheel;
                if ui.selectable_label(chosen, wheel.name()).on_hover_text(tip).clicked() && !chosen {
                    change_wheel(project, view, wheel, actions);
                }
            }
        });
    });
}

/// Another wheel moves the colours to where the scheme stands on it, or says why none moves.
fn change_wheel(project: &Project, view: &mut HarmonyView, wheel: Wheel, actions: &mut Vec<Action>) {
    let mut palette = project.palette.clone();
    palette.wheel = wheel;
    let anchor = palette.slot_of(Role::Main).unwrap_or(0);
    let note = follow(&mut palette, anchor, view.ground_follows);
    let stays = palette.slots() == project.palette.slots();
    view.note = note.or_else(|| {
        let why = match palette.scheme {
            None => "the hues are free, so only their places on the wheel change",
            Some(_) => "locks and the scheme hold them where they are",
        };
        stays.then(|| format!("No colour moves: {why}."))
    });
    actions.push(Action::edit("Wheel", Edit::Palette(Box::new(palette))));
}

/// Width of the box that lets the ground follow, and the gap before it.
const GROUND: f32 = 72.0;

/// The scheme, and whether the ground follows it.
fn scheme_row(ui: &mut Ui, state: &State, view: &mut HarmonyView, actions: &mut Vec<Action>) {
    let project = state.project();
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = STEP / 2.0;
        let mut scheme = project.palette.scheme;
        let schemes = Scheme::ALL.map(|scheme| (Some(scheme), scheme.name()));
        let schemes = std::iter::once((None, "Free hues")).chain(schemes);
        if one_of_in(ui, ui.available_width() - GROUND, "Scheme", schemes, &mut scheme).changed() {
            choose_scheme(state, view, scheme, actions);
        }
        let tip = "Let the scheme and the proposals move the ground too: a tinge of the main hue";
        tick_box(ui, &mut view.ground_follows, "Ground").on_hover_text(tip);
    });
}

fn choose_scheme(state: &State, view: &mut HarmonyView, scheme: Option<Scheme>, actions: &mut Vec<Action>) {
    let project = state.project();
    let anchor = project.palette.slot_of(Role::Main).unwrap_or(0);
    let mut palette = project.palette.clone();
    palette.scheme = scheme;
    view.note = follow(&mut palette, anchor, view.ground_follows);
    actions.push(Action::edit("Scheme", Edit::Palette(Box::new(palette))));
}

/// Moves the colours that are free to move into the palette's scheme around `anchor`; says in words
/// when that was not possible or cost chroma.
fn follow(palette: &mut Palette, anchor: usize, ground_follows: bool) -> Option<String> {
    let scheme = palette.scheme?;
    match harmonise(scheme, palette.wheel, &palette.members(ground_follows), anchor) {
        Ok(placed) => {
            let mut mapped = Vec::new();
            for (slot, placed) in palette.slots_mut().iter_mut().zip(placed) {
                slot.recolour(placed.colour);
                // By its name from now on.
                mapped.extend(placed.mapped.then(|| slot.name.clone()));
            }
            (!mapped.is_empty()).then(|| {
                format!(
                    "Chroma lowered so that sRGB can show it (CSS Color 4 method): {}.",
                    mapped.join(", ")
                )
            })
        }
        Err(reason) => Some(format!("The scheme rests: {reason}.")),
    }
}

/// The button of the fresh proposal.
fn propose_button(ui: &mut Ui, project: &Project, view: &mut HarmonyView, actions: &mut Vec<Action>) {
    let tip = "Another supporting and accent colour around the main one, well apart in value; each \
               press a new set. Locked colours stay, and the ground unless it is ticked.";
    if ui.button("Propose").on_hover_text(tip).clicked() {
        propose_palette(project, view, actions);
    }
}

/// The next proposal that is another palette than there is.
fn propose_palette(project: &Project, view: &mut HarmonyView, actions: &mut Vec<Action>) {
    let scheme = project.palette.scheme.unwrap_or(Scheme::Triadic);
    let mut refused = None;
    for _ in 0..proposals(scheme) {
        match proposed(&project.palette, scheme, view.ground_follows, view.proposal) {
            Ok(palette) => {
                view.proposal = (view.proposal + 1) % proposals(scheme);
                if palette.slots() != project.palette.slots() {
                    view.note = None;
                    actions.push(Action::edit("Propose colours", Edit::Palette(Box::new(palette))));
                    return;
                }
            }
            Err(reason) => refused = Some(reason.to_string()),
        }
    }
    let why = refused.unwrap_or_else(|| "every colour that could move is locked".to_owned());
    view.note = Some(format!("Nothing to propose: {why}."));
}

fn proposed(
    palette: &Palette,
    scheme: Scheme,
    ground_follows: bool,
    number: usize,
) -> Result<Palette, crate::colour::HarmonyError> {
    let mut palette = palette.clone();
    let main = palette.slot_of(Role::Main).unwrap_or(0);
    let colour = palette.slots()[main].colour;
    let kept = palette.slot_of(Role::Ground).map(|index| &palette.slots()[index]);
    let kept = kept.filter(|slot| slot.locked || !ground_follows).map(|slot| slot.colour);
    let proposal = propose(scheme, palette.wheel, colour, kept, number)?;
    palette.scheme = Some(scheme);
    for (role, placed) in Role::ALL.into_iter().zip(proposal.placed()) {
        // The main colour is what all else is proposed for.
        let index = palette.slot_of(role).filter(|_| role != Role::Main);
        let slot = index.and_then(|index| palette.slots_mut().get_mut(index));
        if let Some(slot) = slot.filter(|slot| !slot.locked) {
            slot.recolour(placed.colour);
        }
    }
    Ok(palette)
}

/// The colour as sRGB can show it in its own hue and lightness: the method for pictures, which the scheme
/// uses, may turn a strong colour by some degrees, and a slider must not.
fn shown(colour: Colour) -> Colour {
    let most = Colour::max_chroma(colour.lightness(), colour.hue_angle());
    if colour.is_in_gamut() { colour } else { colour.with_chroma(colour.chroma().min(most)) }
}

/// Degrees within which a hue stays: what mapping into sRGB may turn it by (our judgement).
const SAME_HUE: f64 = 0.5;

/// Gives slot `index` another colour, brought back into sRGB, the rest following the scheme: the palette
/// there will be and what is to be said about it.
fn recoloured(
    palette: &Palette,
    index: usize,
    colour: Colour,
    ground_follows: bool,
) -> (Palette, Option<String>) {
    let mut palette = palette.clone();
    let shown = shown(colour);
    let before = palette.slots().get(index).map(|slot| slot.colour.hue_angle());
    let turned = before.is_some_and(|before| turn_between(before, shown.hue_angle()).abs() > SAME_HUE);
    if let Some(slot) = palette.slots_mut().get_mut(index) {
        slot.recolour(shown);
    }
    let own_note = (!colour.is_in_gamut()).then(|| {
        format!(
            "Chroma lowered from {:.3} to {:.3} so that sRGB can show it in this hue.",
            colour.chroma(),
            shown.chroma()
        )
    });
    // A ground never leads the others, and nobody follows a colour that only gets lighter or duller.
    let leads = turned && palette.slots().get(index).is_some_and(|slot| slot.role != Role::Ground);
    let scheme_note = if leads { follow(&mut palette, index, ground_follows) } else { None };
    let left_note = palette.slots().get(index).and_then(left_behind);
    (palette, left_note.or(own_note).or(scheme_note))
}

/// What is to be said of yarn on hand of the shade that a colour left.
fn left_behind(slot: &Slot) -> Option<String> {
    let shade = slot.left_shade().filter(|_| slot.yarn.on_hand_m > 0.0)?;
    Some(format!("What is on hand is {}: it counts when the colour is that shade's again.", shade.name))
}

/// What undo calls a change of one colour, e.g. `Hex of Blue oil drum`.
fn step_of(what: &str, palette: &Palette, index: usize) -> String {
    let named = palette.slots().get(index).map(|slot| (slot.name.trim(), slot.role));
    match named {
        Some(("", role)) => format!("{what} of {}", code_and_role(index, role)),
        Some((name, _)) => format!("{what} of {name}"),
        None => what.to_owned(),
    }
}

/// An edit of the palette.
fn edit_palette(
    project: &Project,
    label: &'static str,
    in_gesture: bool,
    change: impl FnOnce(&mut Palette),
) -> Action {
    let mut palette = project.palette.clone();
    change(&mut palette);
    Action::Edit { label: label.into(), edit: Edit::Palette(Box::new(palette)), in_gesture }
}

/// The cell a slot paints.
const fn cell(slot: usize) -> Cell {
    Cell::slot(slot as u8)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_lost_chroma_is_called_by_its_new_name() {
        let mut renamed = 0;
        for scheme in Scheme::ALL {
            for hue in (0..360).step_by(15).map(f64::from) {
                let mut palette = Project::default().palette;
                palette.scheme = Some(scheme);
                let main = palette.slot_of(Role::Main).unwrap();
                for (number, slot) in palette.slots_mut().iter_mut().enumerate() {
                    slot.recolour(Colour::clamped(0.6, 0.12, hue + 30.0 * number as f64));
                }
                let names = |palette: &Palette| {
                    palette.slots().iter().map(|slot| slot.name.clone()).collect::<Vec<_>>()
                };
                let before = names(&palette);
                let Some(note) = follow(&mut palette, main, true) else { continue };
                let now = names(&palette);
                let told = note.strip_suffix('.').and_then(|note| note.split_once("method): "));
                for name in told.into_iter().flat_map(|(_, told)| told.split(", ")) {
                    assert!(now.iter().any(|one| one == name), "{name} is none of {now:?}");
                    renamed += usize::from(!before.iter().any(|one| one == name));
                }
            }
        }
        assert!(renamed > 0, "no colour changed its name");
    }

    #[test]
    fn nobody_follows_a_colour_that_only_gets_lighter() {
        let mut palette = Project::default().palette;
        palette.scheme = Some(Scheme::Triadic);
        let main = palette.slot_of(Role::Main).unwrap();
        let before = palette.slots()[main].colour;
        let others = |palette: &Palette| {
            let others = palette.slots().iter().enumerate().filter(|(i, _)| *i != main);
            others.map(|(_, slot)| slot.colour.to_hex()).collect::<Vec<_>>()
        };
        let (l, c, h) = (before.lightness(), before.chroma(), before.hue_angle());
        let (lighter, _) = recoloured(&palette, main, Colour::clamped(l + 0.1, c * 0.5, h), true);
        assert_ne!(lighter.slots()[main].colour, before);
        assert_eq!(others(&lighter), others(&palette));
        let (turned, _) = recoloured(&palette, main, before.with_hue(h + 40.0), true);
        assert_ne!(others(&turned), others(&palette));
    }
}
