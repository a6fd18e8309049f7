//! The colours that touch: along how much of their edges, how they differ in value and to eyes that
//! lack a kind of cone, and the one change of lightness that mends the weakest pair.

use egui::{
    Align2, CollapsingHeader, FontId, Rect, Role, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo, pos2,
};

use crate::app::Action;
use crate::app::state::State;
use crate::app::view::ChartView;
use crate::chart::{self, touching_places};
use crate::colour::Vision;
use crate::project::figures::Figures;
use crate::project::{Edit, LightnessChange, Project, Touching, code_and_name, weakest};
use crate::ui::colours::seen;
use crate::ui::theme::{BODY, CORNER, SMALL, STEP, Tokens, semibold};
use crate::ui::widgets::{caption, focus_ring, truncated};

/// Pairs shown; a chart of many colours has hundreds, and those with short edges matter little.
const MOST: usize = 24;
/// Runs of stitches marked for a pair.
const MOST_PLACES: usize = 400;
const ROW: f32 = 56.0;

/// Shows the section, folded at first.
pub fn show(ui: &mut Ui, state: &State, chart: &mut ChartView, actions: &mut Vec<Action>) {
    let Some(figures) = state.figures() else { return };
    let title = format!("Colours that touch ({})", figures.touching.len());
    CollapsingHeader::new(title).id_salt("colours that touch").show_unindented(ui, |ui| {
        // The heading is there without any: it must not come in the way of the hand.
        if figures.touching.is_empty() {
            caption(ui, "No two colours touch yet.");
            return;
        }
        mend(ui, state.project(), &figures, actions);
        ui.spacing_mut().item_spacing.y = 3.0;
        let least = weakest(&figures.touching).map(|pair| (pair.contact.a, pair.contact.b));
        for pair in figures.touching.iter().take(MOST) {
            let is_weakest = least == Some((pair.contact.a, pair.contact.b));
            if entry(ui, state, pair, is_weakest) {
                reveal(state.project(), chart, pair, actions);
            }
        }
        if figures.touching.len() > MOST {
            caption(ui, format!("And {} more with shorter edges.", figures.touching.len() - MOST));
        }
        caption(
            ui,
            "Under 10 L* two colours merge, under 20 the contrast is subtle, from 30 it is strong: our \
             judgement, no study of knitted fabric backs the steps. The last figure is the least CIEDE2000 \
             to protan, deutan and tritan eyes (Machado 2009; Brettel 1997).",
        );
    });
}

fn name_of(project: &Project, slot: usize) -> String {
    project.palette.slots().get(slot).map_or_else(String::new, |colour| code_and_name(slot, colour))
}

const fn eyes_word(vision: Vision) -> &'static str {
    match vision {
        Vision::Protan => "protan",
        Vision::Deutan => "deutan",
        Vision::Tritan => "tritan",
        Vision::Usual | Vision::Greyscale => "usual",
    }
}

/// A length in whole cm or inches.
fn whole(project: &Project, cm: f64) -> String {
    format!("{:.0}", project.units.from_cm(cm))
}

fn percent(share: f64) -> String {
    if share < 0.005 { "under 1 %".to_owned() } else { format!("{:.0} %", share * 100.0) }
}

/// One pair; whether it was clicked.
fn entry(ui: &mut Ui, state: &State, pair: &Touching, is_weakest: bool) -> bool {
    let project = state.project();
    let slots = project.palette.slots();
    let (Some(a), Some(b)) = (slots.get(pair.contact.a), slots.get(pair.contact.b)) else { return false };
    let (rect, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), ROW), Sense::click());
    let (vision, hardest) = pair.hardest();
    let edge = format!(
        "{} {}, {} of edges",
        whole(project, pair.contact.cm),
        project.units.length_suffix(),
        percent(pair.share)
    );
    let value = format!("{:.0} L*", pair.value);
    let word = pair.contrast().name();
    let eyes = format!("{} {hardest:.0}", eyes_word(vision));
    let [name_a, name_b] = [pair.contact.a, pair.contact.b].map(|slot| name_of(project, slot));
    response.widget_info(|| {
        let text = format!("{name_a} and {name_b}: {value}, {word}; {edge}; least {eyes}");
        WidgetInfo::labeled(Role::Button, true, text)
    });
    let tokens = Tokens::of(ui);
    let painter = ui.painter().with_clip_rect(rect);
    painter.rect_filled(rect, CORNER, if response.hovered() { tokens.hover } else { tokens.field });
    for (index, slot) in [a, b].into_iter().enumerate() {
        let at = rect.min + Vec2::new(6.0 + 15.0 * index as f32, 7.0);
        let half = Rect::from_min_size(at, Vec2::new(15.0, ROW - 14.0));
        painter.rect_filled(half, 0, seen(slot.colour, state.eyes));
    }
    let both = Rect::from_min_size(rect.min + Vec2::new(6.0, 7.0), Vec2::new(30.0, ROW - 14.0));
    painter.rect_stroke(both, 2, Stroke::new(1.0, tokens.edge), StrokeKind::Outside);
    let (left, right) = (both.right() + STEP, rect.right() - STEP);
    let small = FontId::proportional(SMALL);
    let family = if is_weakest { semibold() } else { egui::FontFamily::Proportional };
    let font = FontId::new(BODY, family);
    let text_at = |text: &str, font: &FontId, y: f32, ink, width: f32| {
        let galley = truncated(ui, text, font.clone(), ink, width);
        painter.galley(pos2(left, rect.top() + y), galley, ink);
    };
    let figures = 96.0;
    text_at(&name_a, &font, 3.0, tokens.text, right - left - figures);
    text_at(&name_b, &font, 19.0, tokens.text, right - left - figures);
    text_at(&edge, &small, 37.0, tokens.weak, right - left - 66.0);
    let write = |text: String, font: FontId, y: f32, ink| {
        painter.text(pos2(right, rect.top() + y), Align2::RIGHT_TOP, text, font, ink);
    };
    write(value, font.clone(), 3.0, tokens.text);
    write(word.to_owned(), small.clone(), 20.0, tokens.text);
    write(eyes, small, 37.0, tokens.weak);
    if response.has_focus() {
        focus_ring(ui, rect);
    }
    response.on_hover_text("Show the stitches where the two touch").clicked()
}

/// Shows the stitches where the two touch.
fn reveal(project: &Project, view: &mut ChartView, pair: &Touching, actions: &mut Vec<Action>) {
    let first = chart::Rect::new(pair.contact.first.x, pair.contact.first.y, 1, 1);
    let mut places = touching_places(&project.chart.grid, project.chart.repeat(), &pair.contact, MOST_PLACES);
    // A pair may touch only where the repeat meets itself.
    if places.is_empty() {
        places.push(first);
    }
    view.point_at(places, pair.contact.first);
    actions.push(Action::EndGesture);
}

/// The one change that mends the weakest pair, what it costs, and the button that makes it.
fn mend(ui: &mut Ui, project: &Project, figures: &Figures, actions: &mut Vec<Action>) {
    let Some(weak) = weakest(&figures.touching) else { return };
    let Some(change) = &figures.mend else {
        let text = if weak.value >= 20.0 {
            "Every pair that matters is 20 L* apart or more."
        } else {
            "The weakest pair is under 20 L*, but both of its colours are locked."
        };
        caption(ui, text);
        return;
    };
    caption(ui, costs(project, weak, change));
    let way = if change.lstar.1 > change.lstar.0 { "Lighten" } else { "Darken" };
    let text = format!("{way} {} to L* {:.0}", name_of(project, change.slot), change.lstar.1);
    if ui.add(egui::Button::new(text).truncate()).on_hover_text("Keeps the hue; undo takes it back").clicked()
    {
        let mut palette = project.palette.clone();
        if let Some(slot) = palette.slots_mut().get_mut(change.slot) {
            slot.recolour(change.colour);
        }
        actions.push(Action::edit("Mend contrast", Edit::Palette(Box::new(palette))));
    }
    ui.add_space(STEP / 2.0);
}

/// The weakest pair and what mending it costs, in whole sentences.
fn costs(project: &Project, weak: &Touching, change: &LightnessChange) -> String {
    let name = |slot| name_of(project, slot);
    let slot = project.palette.slots().get(change.slot);
    let left = slot
        .and_then(|slot| slot.shade())
        .map_or_else(String::new, |shade| format!(" and is then no longer the shade {}", shade.name));
    let mut sentences = vec![format!(
        "Weakest: {} and {}, {:.0} L*. {} moves by {:.0} CIEDE2000{left}.",
        name(weak.contact.a),
        name(weak.contact.b),
        weak.value,
        name(change.slot),
        change.moved
    )];
    sentences.extend(change.nearer.iter().map(|pair| {
        format!("It comes nearer to {}: {:.0} to {:.0} L*.", name(pair.other), pair.before, pair.after)
    }));
    sentences.join(" ")
}
