//! Before a photograph is open: how to take one.

use egui::{Rect, RichText, Shape, Stroke, Ui, UiBuilder, Vec2};

use super::{hovers, photo, progress};
use crate::app::Action;
use crate::app::photo_desk::PhotoAction;
use crate::app::state::State;
use crate::photo::expected_errors;
use crate::ui::theme::{STEP, Tokens, semibold};
use crate::ui::widgets::{Icon, caption, heading};

/// What makes a photograph good to read (common practice, no published source).
const ADVICE: [&str; 5] = [
    "Lay the balls side by side on a plain table, a grey card or white paper at each end.",
    "One light for all of them: by a window, away from the sun, lamps off. No flash.",
    "Nothing white may glare: the picture rather a little too dark than too light.",
    "Stand above them, near enough that they fill the picture, and hold still.",
    "Save it as JPEG, PNG, WebP or TIFF, up to 50 megapixels, without filters.",
];

/// Width of the text.
const WIDTH: f32 = 620.0;
/// Height it takes, to stand in the middle of the page.
const HEIGHT: f32 = 300.0;

/// Shows how to begin, in a frame that takes dropped pictures.
pub fn show(ui: &mut Ui, state: &State, actions: &mut Vec<Action>) {
    let space = ui.available_rect_before_wrap().shrink(STEP);
    let tokens = Tokens::of(ui);
    let hovering = hovers(ui);
    let edge =
        Stroke::new(if hovering { 3.0 } else { 1.5 }, if hovering { tokens.text } else { tokens.line });
    let corners =
        [space.left_top(), space.right_top(), space.right_bottom(), space.left_bottom(), space.left_top()];
    ui.painter().extend(Shape::dashed_line(&corners, edge, 8.0, 6.0));
    let size = Vec2::new(WIDTH.min(space.width() - 4.0 * STEP), HEIGHT.min(space.height()));
    let place = Rect::from_center_size(space.center(), size);
    ui.scope_builder(UiBuilder::new().max_rect(place), |ui| words(ui, actions));
    progress::over(ui, space, state, actions);
}

fn words(ui: &mut Ui, actions: &mut Vec<Action>) {
    heading(ui, "Read colours off a photograph of your yarn");
    caption(
        ui,
        "The light is measured on a grey card or white paper and taken out; each ball's colour then becomes a \
         shade you can plan with.",
    );
    ui.add_space(STEP);
    ui.horizontal(|ui| {
        let open = egui::Button::new(RichText::new("Open a photograph…").family(semibold()));
        if ui.add(open.min_size(Vec2::new(0.0, 30.0))).clicked() {
            actions.push(photo(PhotoAction::Pick));
        }
        let demo = ui.add(egui::Button::new("Open the demo photograph").min_size(Vec2::new(0.0, 30.0)));
        let tip = "Six balls of an invented yarn with a grey card, under a warm lamp";
        if demo.on_hover_text(tip).clicked() {
            actions.push(photo(PhotoAction::OpenDemo));
        }
    });
    caption(ui, "Or drop a picture on this window.");
    ui.add_space(STEP);
    ui.label(RichText::new("A picture that reads well").family(semibold()));
    for line in ADVICE {
        ui.horizontal_top(|ui| {
            let (mark, _) = ui.allocate_exact_size(Vec2::splat(14.0), egui::Sense::hover());
            Icon::Tick.paint(ui.painter(), mark.translate(Vec2::new(0.0, 2.0)), ui.visuals().text_color());
            ui.add(egui::Label::new(line).wrap());
        });
    }
    ui.add_space(STEP);
    let range = |with_card| {
        let (least, most) = expected_errors(with_card);
        format!("±{least:.0} to {most:.0}")
    };
    caption(
        ui,
        format!(
            "With a card expect {} CIEDE2000, least for smooth greys in daylight, most for vivid or plied yarn in warm light; \
             without one {}. Each reading has its own figure: near enough to plan with, not to match a dye lot. Two more \
             cards, or a yarn of known colour, make it smaller.",
            range(true),
            range(false)
        ),
    );
}
