//! A gauge off a photograph of a swatch: what tells the scale, the corners, and what is read between them.

mod sheet;

use std::sync::Arc;

use egui::{Align, Layout, RichText, ScrollArea, Ui, UiBuilder, Vec2};

use super::{SwatchView, log};
use crate::app::Action;
use crate::app::derived::Reading;
use crate::app::gauge_desk::{GaugeAction, GaugePhoto};
use crate::app::state::State;
use crate::knit::{Construction, SwatchFabric};
use crate::photo::{GaugeReading, ID1_CARD_MM, Place, Scale};
use crate::project::{Edit, LoggedSwatch, Project, swatch_name};
use crate::ui::theme::{STEP, semibold};
use crate::ui::widgets::{Follow, Form, Icon, NumberField, caption, heading, item, part, primary};
use crate::units::LengthUnit;

pub use sheet::PhotoView;

/// Width of the questions and the answer.
const SIDE: f32 = 284.0;

/// Height of the answer with one warning.
const ANSWER: f32 = 206.0;

/// What the button does where the question above it is not answered.
const UNTOLD: &str =
    "While it is not told whether it was washed, it counts as not washed; undo takes it back";

/// Height of what stands under the questions, always in view.
const FOOT: f32 = 50.0;

/// Opacity of figures that belong to other corners.
const PALE: f32 = 0.45;

/// The thing of known size.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Known {
    /// A card of ISO/IEC 7810 ID-1 size.
    #[default]
    Card,
    /// Any rectangle.
    Rectangle,
    /// A length on a ruler.
    Ruler,
    /// A coin, across.
    Coin,
}

impl Known {
    const ALL: [(Self, &'static str); 4] = [
        (Self::Card, "A bank card (ID-1)"),
        (Self::Rectangle, "A rectangle"),
        (Self::Ruler, "A ruler"),
        (Self::Coin, "A coin"),
    ];

    /// Whether all four of its corners are placed; of a length two ends.
    const fn has_corners(self) -> bool {
        matches!(self, Self::Card | Self::Rectangle)
    }
}

/// Sizes of the known things in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KnownSizes {
    rectangle: (f64, f64),
    ruler: f64,
    coin: f64,
}

impl Default for KnownSizes {
    /// A page of A6 (ISO 216), 10 cm, and a coin of 23.25 mm (Council Regulation (EU) 729/2014, 1 euro).
    fn default() -> Self {
        Self { rectangle: (148.0, 105.0), ruler: 100.0, coin: 23.25 }
    }
}

impl PhotoView {
    fn scale(&self) -> Scale {
        let [a, b, c, d] = self.corners_of_scale();
        let (width, height) = self.sizes.rectangle;
        match self.known {
            Known::Card => Scale::Card([a, b, c, d]),
            Known::Rectangle => Scale::Rectangle { corners: [a, b, c, d], width, height },
            Known::Ruler => Scale::Length { ends: [a, b], mm: self.sizes.ruler },
            Known::Coin => Scale::Length { ends: [a, b], mm: self.sizes.coin },
        }
    }
}

/// Shows the photograph, the questions and the answer.
pub fn show(
    ui: &mut Ui,
    state: &State,
    photo: &GaugePhoto,
    view: &mut SwatchView,
    actions: &mut Vec<Action>,
) {
    view.photo.settle(photo);
    let desk = &state.desks.gauge;
    let swatch: [Place; 4] = view.photo.corners_of_swatch();
    // While a corner is dragged nothing is read; the figures of the last answer stand, pale.
    let reading = if view.photo.is_dragging() {
        Reading::None
    } else {
        desk.reading(&state.jobs, view.photo.scale(), swatch)
    };
    let fresh = matches!(reading, Reading::Fresh(_) | Reading::Failed(_));
    match reading {
        Reading::Fresh(read) | Reading::Stale(read) => view.photo.last = Some(read),
        Reading::Failed(why) => view.photo.last = Some(Arc::new(Err(why))),
        Reading::None => {}
    }
    let last = view.photo.last.clone();
    let room = ui.available_rect_before_wrap();
    let side = room.with_min_x(room.max.x - SIDE);
    let sheet = room.with_max_x(side.min.x - 2.0 * STEP);
    let shown = last.as_deref().and_then(|read| read.as_ref().ok());
    sheet::show(ui, sheet, photo, &mut view.photo, shown);
    let builder =
        UiBuilder::new().id_salt("gauge photo side").max_rect(side).layout(Layout::top_down(Align::Min));
    ui.scope_builder(builder, |ui| {
        let height = ui.available_height() - FOOT;
        ScrollArea::vertical()
            .id_salt("gauge photo questions")
            .max_height(height)
            .auto_shrink([false, false])
            .follow(ui, |ui| {
                heading(ui, "Gauge from a photograph");
                caption(ui, photo.name.as_str());
                questions(ui, &mut view.photo, state.project().units);
                part(ui, title((last.is_some(), fresh)));
                // As high whatever is read, so that the button below stands still.
                let place = Vec2::new(ui.available_width(), ANSWER);
                ui.allocate_ui(place, |ui| {
                    ui.set_min_height(ANSWER);
                    answer(ui, last.as_deref(), fresh, state.project());
                });
                what_it_is(ui, state.project(), &mut view.photo);
            });
        accept(ui, state.project(), view, last.as_deref().filter(|_| fresh), actions);
    });
}

fn questions(ui: &mut Ui, view: &mut PhotoView, units: LengthUnit) {
    let before = view.known;
    let mut form = Form::of_words(ui);
    form.choice("Known size", "What lies beside the swatch", Known::ALL, &mut view.known);
    let suffix = format!(" {}", units.length_suffix());
    let mut length = |title: &str, label: &str, mm: &mut f64| {
        let range = units.from_cm(0.1)..=units.from_cm(200.0);
        let field = NumberField { label, suffix: &suffix, range, decimals: 3, speed: 0.01 };
        if let Some(typed) = form.number(title, &field, units.from_cm(*mm / 10.0)) {
            *mm = units.to_cm(typed) * 10.0;
        }
    };
    match view.known {
        Known::Card => {
            let (width, height) = ID1_CARD_MM;
            caption(
                ui,
                format!(
                    "{width:.2} × {height:.2} mm, ISO/IEC 7810. Drag its four corners to where its straight edges would meet; edges seen near them are found by themselves (dashed)."
                ),
            );
        }
        Known::Rectangle => {
            length("Width", "Width of the rectangle", &mut view.sizes.rectangle.0);
            length("Height", "Height of the rectangle", &mut view.sizes.rectangle.1);
            caption(ui, "Drag its corners, the first at its top left.");
        }
        Known::Ruler => {
            length("Length", "Length on the ruler", &mut view.sizes.ruler);
            caption(ui, "Drag the two ends to its marks; hold the camera straight above.");
        }
        Known::Coin => {
            length("Diameter", "Diameter of the coin", &mut view.sizes.coin);
            caption(ui, "Drag the two ends across its middle; hold the camera straight above.");
        }
    }
    if before.has_corners() != view.known.has_corners() {
        view.let_go();
    }
    caption(
        ui,
        "Then drag the corners of a flat part of the swatch, the top edge along a row as it is knitted. The wheel \
         enlarges; with the picture in focus 1 to 8 choose a corner and the arrows move it.",
    );
}

/// Over the answer, where it moves nothing: whether what stands below belongs to the corners as they lie.
const fn title((is_read, fresh): (bool, bool)) -> &'static str {
    match (is_read, fresh) {
        (false, _) => "What is read: reading…",
        (true, false) => "What is read: reading again…",
        (true, true) => "What is read",
    }
}

/// The answer, always as many lines. Figures of other corners are pale, and what was refused of them is not said of these.
fn answer(ui: &mut Ui, read: Option<&Result<GaugeReading, String>>, fresh: bool, project: &Project) {
    let (units, factor) = (project.units, project.units.gauge_factor());
    let reading = match read {
        None => return,
        Some(Err(_)) if !fresh => return,
        Some(Err(why)) => {
            item(ui, Icon::Warning, &format!("Not read: {why}."));
            return;
        }
        Some(Ok(reading)) => reading,
    };
    if !fresh {
        ui.multiply_opacity(PALE);
    }
    let line = |what: &str, figure: f64, error: f64| {
        let (figure, error) = (figure * factor, error * factor);
        RichText::new(format!("{figure:.1} ± {error:.1} {what} in {}", units.gauge_base())).family(semibold())
    };
    ui.label(line("stitches", reading.stitches_per_10_cm, reading.stitches_error));
    ui.label(line("rows", reading.rows_per_10_cm, reading.rows_error));
    let (width, height) = (reading.read_mm.0 / 10.0, reading.read_mm.1 / 10.0);
    caption(
        ui,
        format!(
            "One standard deviation. {}Read over {:.1} × {:.1} {}.",
            match reading.edges_found {
                0 => String::new(),
                found => format!("{found} of 4 edges found. "),
            },
            units.from_cm(width),
            units.from_cm(height),
            units.length_suffix(),
        ),
    );
    let planned = project.plan.gauge;
    caption(
        ui,
        format!(
            "Planned: {:.1} stitches, {:.1} rows in {}.",
            planned.stitches.get() * factor,
            planned.rows.get() * factor,
            units.gauge_base()
        ),
    );
    for warning in &reading.warnings {
        item(ui, Icon::Warning, &format!("{warning}."));
    }
    caption(ui, "Compare the grid on the picture with the stitches: each should lie between two lines.");
}

/// The swatch that the gauge is put to: one of the log, or a fresh one.
fn base(project: &Project, view: &PhotoView) -> Option<LoggedSwatch> {
    let logged = view.into.and_then(|place| project.material.swatches.get(place).cloned());
    let mut entry = logged.or_else(|| log::fresh(project))?;
    if let Some((fabric, construction)) = view.knitted {
        (entry.swatch.fabric, entry.swatch.construction) = (fabric, construction);
    }
    Some(entry)
}

/// Where the gauge goes, and what no photograph tells: how the swatch was knitted and whether it was washed.
fn what_it_is(ui: &mut Ui, project: &Project, view: &mut PhotoView) {
    let swatches = &project.material.swatches;
    part(ui, "Into the swatch log");
    let mut form = Form::of_words(ui);
    let names = swatches
        .iter()
        .enumerate()
        .map(|(place, entry)| (Some(place), format!("{}. {}", place + 1, entry.yarn)));
    let into = std::iter::once((None, "A new swatch".to_owned())).chain(names);
    view.into = view.into.filter(|place| *place < swatches.len());
    let before = view.into;
    form.choice("Swatch", "Swatch on the photograph", into, &mut view.into);
    if view.into != before {
        view.knitted = None;
    }
    if let Some(entry) = base(project, view) {
        let shown = (entry.swatch.fabric, entry.swatch.construction);
        let mut told = shown;
        let stitches = SwatchFabric::ALL.map(|fabric| (fabric, fabric.name()));
        form.choice("Stitch", "Stitch of the swatch on the photograph", stitches, &mut told.0);
        let ways = Construction::ALL.map(|way| (way, way.name()));
        form.choice("Worked", "How the swatch on the photograph was worked", ways, &mut told.1);
        if told != shown {
            view.knitted = Some(told);
        }
    }
    let states = [(None, "Not told"), (Some(true), "Washed and dried"), (Some(false), "Off the needles")];
    form.choice("It is", "State of the swatch on the photograph", states, &mut view.washed);
    if view.knitted.is_none() && view.into.is_none() {
        caption(ui, "Stitch and how it was worked are taken from the plan: check them.");
    }
}

/// The button that puts the gauge into the log.
fn accept(
    ui: &mut Ui,
    project: &Project,
    view: &mut SwatchView,
    read: Option<&Result<GaugeReading, String>>,
    actions: &mut Vec<Action>,
) {
    let swatches = &project.material.swatches;
    let reading = read.and_then(|read| read.as_ref().ok());
    ui.separator();
    let (clicked, closed) = ui
        .horizontal(|ui| {
            let put = primary(ui, reading.is_some(), "Put in the swatch log")
                .on_hover_text(UNTOLD)
                .on_disabled_hover_text("Nothing is read off the photograph yet");
            (put.clicked(), ui.button("Close").clicked())
        })
        .inner;
    if closed {
        actions.push(Action::Gauge(GaugeAction::Close));
    }
    if let Some(reading) = reading.filter(|_| clicked) {
        let place = view.photo.into.unwrap_or(swatches.len());
        let washed = view.photo.washed == Some(true);
        match base(project, &view.photo).map(|before| before.read_off(reading, washed)) {
            Some(Ok(entry)) => {
                let mut material = project.material.clone();
                if place < material.swatches.len() {
                    material.swatches[place] = entry;
                } else {
                    material.swatches.push(entry);
                }
                let state = if washed { "washed" } else { "not washed" };
                let follows = material.follows_since(&project.material);
                let name = swatch_name(place);
                actions.push(Action::edit("Gauge off a photograph", Edit::Material(Box::new(material))));
                actions.push(Action::Done(format!("In the swatch log: {name}, {state}; {follows}")));
                actions.push(Action::Gauge(GaugeAction::Close));
                view.shown = place;
            }
            Some(Err(why)) => actions.push(Action::Complain(why.to_string())),
            None => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use egui_kittest::Harness;
    use egui_kittest::kittest::Queryable;

    use super::*;

    #[test]
    fn what_was_refused_of_other_corners_is_not_said_of_these() {
        let refuses = |fresh| {
            let project = Project::default();
            let refused = Err("no clear frequency is seen".to_owned());
            let mut screen = Harness::new_ui(move |ui| answer(ui, Some(&refused), fresh, &project));
            screen.run();
            screen.query_by_label_contains("Not read: no clear frequency").is_some()
        };
        assert!(refuses(true) && !refuses(false));
        assert!(title((true, false)).contains("reading again") && !title((true, true)).contains("reading"));
    }
}
