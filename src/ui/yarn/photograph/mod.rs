//! Colours read off a photograph, with the light corrected.

mod against;
mod ball_form;
mod empty;
mod known;
mod light;
mod picture;
mod places;
mod progress;
mod same_shade;
mod yarns;

use egui::{CentralPanel, Frame, Margin, Panel, ScrollArea, Ui};

use crate::app::Action;
use crate::app::photo_desk::{PhotoAction, Photograph};
use crate::app::state::State;
use crate::photo::Region;
use crate::ui::theme::{STEP, Tokens};
use crate::ui::widgets::{Follow, Icon, focus_ring, icon_button};

/// Width of the column beside the picture.
const COLUMN: f32 = 372.0;

/// What dragging on the picture marks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Marking {
    /// The grey card or the white paper.
    #[default]
    Reference,
    /// A yarn.
    Yarn,
}

/// A region on the desk.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Place {
    /// By its number among the references; one more than there are for a new one.
    Reference(usize),
    Yarn(u64),
}

/// Which picture is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Shown {
    AsTaken,
    #[default]
    Corrected,
    Both,
}

/// What the column beside the picture is about.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Side {
    /// Light and yarns.
    #[default]
    Read,
    /// The shade card they are put on.
    Card,
    /// The palette beside them.
    Palette,
}

/// What the page remembers between frames.
#[derive(Default)]
pub struct PhotographView {
    marking: Marking,
    shown: Shown,
    side: Side,
    picture: picture::PictureView,
    /// What the chosen reference is, and the next one that is drawn.
    surface: light::Surface,
    /// The reference whose surface and place are shown.
    reference: usize,
    /// The yarn whose details are shown.
    chosen: Option<u64>,
    /// A region that is being typed or dragged, not yet carried out.
    draft: Option<(Place, Region)>,
    balls: ball_form::BallForm,
    against: against::AgainstView,
    known: known::KnownView,
}

impl PhotographView {
    /// Where a place is, the draft first.
    fn region(&self, photograph: &Photograph, place: Place) -> Option<Region> {
        let draft = self.draft.filter(|(of, _)| *of == place).map(|(_, region)| region);
        draft.or_else(|| match place {
            Place::Reference(number) => {
                photograph.light.as_ref().and_then(|light| Some(light.references.get(number)?.region))
            }
            Place::Yarn(id) => photograph.yarns.iter().find(|yarn| yarn.id == id).map(|yarn| yarn.region),
        })
    }

    /// Shows the details of a yarn, whose mark can then be moved.
    const fn choose(&mut self, id: u64) {
        self.chosen = Some(id);
        self.marking = Marking::Yarn;
    }

    /// Shows the surface and place of a reference.
    fn choose_reference(&mut self, photograph: &Photograph, number: usize) {
        self.reference = number;
        if let Some(reference) = photograph.references().get(number) {
            self.surface = light::Surface::of(reference.reflectance);
        }
    }

    /// The request that puts a place where it was drawn or typed; a reference that is new is chosen.
    fn put(&mut self, photograph: &Photograph, place: Place, region: Region) -> Action {
        photo(match place {
            Place::Reference(number) => {
                let mut references = photograph.references();
                match references.get_mut(number) {
                    Some(reference) => reference.region = region,
                    None => references.push(self.surface.reference(region)),
                }
                self.choose_reference(photograph, number);
                PhotoAction::SetReferences(references)
            }
            Place::Yarn(id) => PhotoAction::MoveYarn(id, region),
        })
    }
}

const fn photo(action: PhotoAction) -> Action {
    Action::Photo(action)
}

/// Shows the page.
pub fn show(ui: &mut Ui, state: &State, takes_drops: bool, view: &mut PhotographView) -> Vec<Action> {
    let mut actions = Vec::new();
    if takes_drops {
        dropped(ui, &mut actions);
    }
    let tokens = Tokens::of(ui);
    let Some(photograph) = &state.photo.photograph else {
        let frame = Frame::new().fill(tokens.panel).inner_margin(Margin::symmetric(12, 8));
        CentralPanel::no_frame().frame(frame).show(ui, |ui| empty::show(ui, state, &mut actions));
        return actions;
    };
    let margin = Margin { left: 12, right: 10, top: 8, bottom: 0 };
    let frame = Frame::new().fill(tokens.panel).inner_margin(margin);
    Panel::right("photograph readings").frame(frame).exact_size(COLUMN).resizable(false).show(ui, |ui| {
        ui.horizontal(|ui| {
            ui.selectable_value(&mut view.side, Side::Read, "Light and yarns");
            ui.selectable_value(&mut view.side, Side::Card, "Shade card");
            ui.selectable_value(&mut view.side, Side::Palette, "Palette");
        });
        ui.add_space(STEP / 2.0);
        ScrollArea::vertical().id_salt(view.side as u8).auto_shrink([false, false]).follow(ui, |ui| {
            match view.side {
                Side::Read => {
                    light::show(ui, state, photograph, view, &mut actions);
                    yarns::show(ui, state, photograph, view, &mut actions);
                }
                Side::Card => ball_form::show(ui, state, photograph, view, &mut actions),
                Side::Palette => against::show(ui, state, photograph, view, &mut actions),
            }
            ui.add_space(STEP);
        });
    });
    let ground =
        Frame::new().fill(tokens.panel).inner_margin(Margin { left: 12, right: 12, top: 8, bottom: 8 });
    CentralPanel::no_frame().frame(ground).show(ui, |ui| {
        toolbar(ui, state, view, &mut actions);
        let foot = ui.spacing().interact_size.y + STEP;
        let area = egui::vec2(ui.available_width(), (ui.available_height() - foot).max(48.0));
        let picture = picture::show(ui, area, state, photograph, view, &mut actions);
        if hovers(ui) {
            focus_ring(ui, picture);
        }
        progress::over(ui, picture, state, &mut actions);
        footer(ui, photograph, view);
    });
    actions
}

/// Whether a file is held over the window.
fn hovers(ui: &Ui) -> bool {
    ui.input(|input| !input.raw.hovered_files.is_empty())
}

/// A picture dropped on the window is opened.
fn dropped(ui: &Ui, actions: &mut Vec<Action>) {
    let dropped = ui.input(|input| input.raw.dropped_files.first().map(|file| file.path().to_owned()));
    if let Some(path) = dropped {
        actions.push(photo(PhotoAction::Open(path)));
    }
}

/// Opening, and what dragging marks.
fn toolbar(ui: &mut Ui, state: &State, view: &mut PhotographView, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        if ui.button("Open a photograph…").clicked() {
            actions.push(photo(PhotoAction::Pick));
        }
        if ui.button("Open the demo photograph").clicked() {
            actions.push(photo(PhotoAction::OpenDemo));
        }
        ui.add_space(STEP);
        ui.add_enabled_ui(!state.photo.is_locked(), |ui| {
            ui.label("Drag to mark");
            for (marking, text, tip) in [
                (
                    Marking::Reference,
                    "Card or paper",
                    "A grey card or white paper the light is measured on; two or three apart even it out",
                ),
                (
                    Marking::Yarn,
                    "Ball of yarn",
                    "A ball of yarn; drag inside a mark to move it, at its corners to resize it",
                ),
            ] {
                if ui.selectable_label(view.marking == marking, text).on_hover_text(tip).clicked() {
                    view.marking = marking;
                }
            }
        });
    });
}

/// The file, which picture is shown, and its size.
fn footer(ui: &mut Ui, photograph: &Photograph, view: &mut PhotographView) {
    ui.horizontal(|ui| {
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if icon_button(ui, Icon::Add, "Enlarge the photograph", "Enlarge; the wheel does too", false)
                .clicked()
            {
                view.picture.zoom_by(1.5);
            }
            if icon_button(ui, Icon::Remove, "Make the photograph smaller", "Make smaller", false).clicked() {
                view.picture.zoom_by(1.0 / 1.5);
            }
            if icon_button(ui, Icon::Whole, "The whole photograph", "The whole photograph", false).clicked() {
                view.picture.whole();
            }
            ui.add_space(STEP);
            ui.add_enabled_ui(photograph.light.is_some(), |ui| {
                let tip = "Mark the grey card or white paper first";
                for (shown, text) in
                    [(Shown::Both, "Both"), (Shown::Corrected, "Corrected"), (Shown::AsTaken, "As taken")]
                {
                    let now = if photograph.light.is_some() { view.shown } else { Shown::AsTaken };
                    let label = ui.selectable_label(now == shown, text);
                    if label.on_disabled_hover_text(tip).clicked() {
                        view.shown = shown;
                    }
                }
            });
            let (width, height) = (photograph.picture.width(), photograph.picture.height());
            let text = format!("{}   {width} × {height} pixels", photograph.name);
            let notes: Vec<String> = photograph.notes.iter().map(ToString::to_string).collect();
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                let icon = if notes.is_empty() { None } else { Some(Icon::Warning) };
                if let Some(icon) = icon {
                    let (mark, response) =
                        ui.allocate_exact_size(egui::Vec2::splat(14.0), egui::Sense::hover());
                    icon.paint(ui.painter(), mark, Tokens::of(ui).text);
                    response.on_hover_text(notes.join("\n"));
                }
                let label = egui::Label::new(egui::RichText::new(text).small().weak()).truncate();
                ui.add(label);
            });
        });
    });
}
