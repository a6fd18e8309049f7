//! All sizes side by side: yarn, balls, cost and time.

use egui::{Align2, FontId, Rect, Role, ScrollArea, Sense, Ui, Vec2, WidgetInfo};

use super::sums;
use crate::app::Action;
use crate::app::state::State;
use crate::export::symbols::distinct_marks;
use crate::project::shopping::{SizeFigures, SizeSum};
use crate::project::{Edit, Project, code_and_name};
use crate::ui::theme::{BODY, CORNER, SMALL, STEP, Tokens, semibold};
use crate::ui::widgets::{Follow, caption, focus_ring, heading, paint_swatch, truncated};
use crate::units::hours_words;

const NAME: f32 = 128.0;
const ROW: f32 = 28.0;
/// Widths of the figures of all colours together, of one colour's balls, and of the gap.
const FIGURE: f32 = 84.0;
const COLOUR: f32 = 56.0;
const GAP: f32 = 3.0;
const TITLES: [&str; 5] = ["Likely", "Mass", "To buy", "Cost", "Time"];

/// Shows the table; a click on a size makes it the one that is bought for.
pub fn show(ui: &mut Ui, state: &State, actions: &mut Vec<Action>) {
    let project = state.project();
    heading(ui, "All sizes");
    let found = state.desks.sizes(&state.document, &state.jobs).value();
    // Figures of an earlier palette would stand under the wrong colours.
    let colours = project.palette.slots().len();
    let of_now = |sums: &&SizeSum| sums.figures.as_ref().map_or(true, |f| f.yarn.colours.len() == colours);
    let Some(sums) = found.as_deref().filter(|sums| sums.iter().all(|sum| of_now(&sum))) else {
        caption(ui, "Working it out…");
        return;
    };
    let used: Vec<usize> = (0..colours)
        .filter(|slot| {
            let figures = sums.iter().filter_map(|sum| sum.figures.as_ref().ok());
            figures.map(|figures| figures.yarn.colours[*slot].stitches).any(|stitches| stitches > 0)
        })
        .collect();
    let table = Table { state, used: &used };
    ScrollArea::horizontal().id_salt("all sizes").auto_shrink([false, true]).follow(ui, |ui| {
        ui.spacing_mut().item_spacing = Vec2::splat(GAP);
        table.header(ui);
        for (place, sum) in sums.iter().enumerate() {
            if table.row(ui, place, sum) {
                actions.push(choose(project, place));
            }
        }
    });
    caption(
        ui,
        "Balls to buy under each colour, what is on hand taken off in every size. Time at your pace, which stands under Pieces.",
    );
}

fn choose(project: &Project, place: usize) -> Action {
    let mut plan = project.pieces.clone();
    plan.chosen = place;
    Action::edit("Size", Edit::Pieces(Box::new(plan)))
}

struct Table<'a> {
    state: &'a State,
    /// Colours that are knitted with in some size.
    used: &'a [usize],
}

impl Table<'_> {
    fn width(&self) -> f32 {
        NAME + TITLES.len() as f32 * FIGURE + self.used.len() as f32 * (COLOUR + GAP)
    }

    fn header(&self, ui: &mut Ui) {
        let tokens = Tokens::of(ui);
        let (rect, _) = ui.allocate_exact_size(Vec2::new(self.width(), 22.0), Sense::hover());
        let small = FontId::proportional(SMALL);
        for (place, title) in TITLES.iter().enumerate() {
            let right = rect.left() + NAME + (place + 1) as f32 * FIGURE - STEP;
            let at = egui::pos2(right, rect.center().y);
            ui.painter().text(at, Align2::RIGHT_CENTER, title, small.clone(), tokens.weak);
        }
        let project = self.state.project();
        let signs = distinct_marks(project);
        for (place, slot) in self.used.iter().enumerate() {
            let right = right_of_colour(rect, place);
            let swatch = Rect::from_min_size(egui::pos2(right - 16.0, rect.top() + 3.0), Vec2::splat(16.0));
            let colour = &project.palette.slots()[*slot];
            let sign = signs.get(*slot).map_or(&[][..], Vec::as_slice);
            paint_swatch(ui, swatch, colour.colour, sign, self.state.eyes);
            let id = egui::Id::unique(("all sizes, colour", place));
            ui.interact(swatch, id, Sense::hover()).on_hover_text(code_and_name(*slot, colour));
        }
    }

    /// One size; whether it was clicked.
    fn row(&self, ui: &mut Ui, place: usize, sum: &SizeSum) -> bool {
        let project = self.state.project();
        let chosen = place == project.pieces.chosen;
        let (rect, response) = ui.allocate_exact_size(Vec2::new(self.width(), ROW), Sense::click());
        let words = match &sum.figures {
            Ok(figures) => figures_in_words(project, figures).join(", "),
            Err(reason) => reason.clone(),
        };
        response.widget_info(|| {
            let label = format!("Size {}: {words}", sum.name);
            WidgetInfo::selected(Role::Button, true, chosen, label)
        });
        let tokens = Tokens::of(ui);
        let painter = ui.painter();
        painter.rect_filled(rect, CORNER, tokens.list_fill(chosen, &response));
        let font = if chosen { FontId::new(BODY, semibold()) } else { FontId::proportional(BODY) };
        let name = truncated(ui, sum.name.as_str(), font.clone(), tokens.text, NAME - STEP);
        painter.galley(
            egui::pos2(rect.left() + STEP, rect.center().y - name.size().y / 2.0),
            name,
            tokens.text,
        );
        let text = |right: f32, words: &str| {
            let at = egui::pos2(right, rect.center().y);
            painter.text(at, Align2::RIGHT_CENTER, words, font.clone(), tokens.text);
        };
        match &sum.figures {
            Ok(figures) => {
                for (place, words) in figures_in_words(project, figures).iter().enumerate() {
                    text(rect.left() + NAME + (place + 1) as f32 * FIGURE - STEP, words);
                }
                for (place, slot) in self.used.iter().enumerate() {
                    let balls = figures.yarn.colours[*slot].balls;
                    text(right_of_colour(rect, place), &balls.to_string());
                }
            }
            Err(reason) => {
                let words = truncated(
                    ui,
                    reason.as_str(),
                    FontId::proportional(SMALL),
                    tokens.weak,
                    rect.width() - NAME,
                );
                let at = egui::pos2(rect.left() + NAME, rect.center().y - words.size().y / 2.0);
                painter.galley(at, words, tokens.weak);
            }
        }
        if response.has_focus() {
            focus_ring(ui, rect);
        }
        response.on_hover_text("Click to buy for this size").clicked() && !chosen
    }
}

fn right_of_colour(rect: Rect, place: usize) -> f32 {
    rect.left() + NAME + TITLES.len() as f32 * FIGURE + (place + 1) as f32 * (COLOUR + GAP) - STEP
}

/// In the order of [`TITLES`].
fn figures_in_words(project: &Project, figures: &SizeFigures) -> [String; 5] {
    let (units, yarn) = (project.units, &figures.yarn);
    [
        sums::length(units, yarn.metres().likely),
        sums::mass(units, yarn.grams().likely),
        sums::balls(yarn.balls()),
        yarn.cost().map_or_else(|| "–".to_owned(), |cost| project.currency.told(cost)),
        hours_words(figures.hours),
    ]
}
