//! What may stand in for a yarn: the yarns of the shade cards in order, and one compared point by point.

use egui::{Align2, FontId, Label, Rect, RichText, Role, Sense, Ui, Vec2, WidgetInfo};

use super::FactsView;
use crate::app::Action;
use crate::app::state::State;
use crate::export::stand_in_report;
use crate::knit::gauge_told;
use crate::project::{Project, StandIn, colour_code};
use crate::ui::shopping::sums;
use crate::ui::theme::{BODY, CORNER, SMALL, STEP, Tokens, semibold};
use crate::ui::widgets::{Icon, caption, focus_ring, heading, item, reserved_caption, truncated};
use crate::units::LengthUnit;
use crate::yarn::{ComparedPoint, Likeness, Needs, SubstitutionPoint};

/// Shows the ranking; asks for it when it is out of date.
pub fn show(ui: &mut Ui, state: &State, view: &mut FactsView) {
    let project = state.project();
    let Some(own) = project.yarn_to_replace() else { return };
    heading(ui, "What may stand in");
    let asked = if project.material.needs.is_some() { ", held to what the piece must withstand" } else { "" };
    caption(
        ui,
        format!(
            "For {}, among the yarns of your shade cards and those you kept, nearest first{asked}.",
            own.name
        ),
    );
    let Some(found) = state.desks.stand_ins(&state.document, &state.own_yarns, &state.jobs).value() else {
        return;
    };
    if found.is_empty() {
        caption(
            ui,
            "There is nothing to compare yet. Put yarns with fibre, metres and ball on a shade card; the page Shade cards \
             reads a table, too.",
        );
        return;
    }
    view.opened = view.opened.min(found.len() - 1);
    for (place, candidate) in found.iter().enumerate() {
        if entry(ui, project.units, place, candidate, view.opened == place) {
            view.opened = place;
        }
    }
    ui.add_space(STEP);
    if let Some(candidate) = found.get(view.opened) {
        opened(ui, project, candidate);
    }
    ui.add_space(STEP);
}

/// What knitting in the open candidate replaces, and the button that does it; in view under the list.
pub fn take(ui: &mut Ui, state: &State, view: &FactsView, actions: &mut Vec<Action>) {
    let project = state.project();
    let found = state.desks.stand_ins(&state.document, &state.own_yarns, &state.jobs).value();
    let Some(candidate) = found.as_ref().and_then(|found| found.get(view.opened)) else { return };
    let replaced = project.replaced_by(&candidate.yarn);
    ui.add_space(STEP / 2.0);
    ui.label(RichText::new(&candidate.yarn.name).family(semibold()));
    let tip = "Makes it the yarn of the project and of every colour; undo takes it back";
    if ui.button("Knit it in this").on_hover_text(tip).clicked() {
        actions.push(Action::edit("Knit in another yarn", project.knit_in_yarn(&candidate.yarn)));
        actions.push(Action::Done(format!("Knitted in {} now. {replaced}", candidate.yarn.name)));
    }
    if let Some(own) = project.yarn_to_replace() {
        let tip = "This comparison as text; all of them leave by Project > Export > Stand-ins";
        if ui.button("Copy the report").on_hover_text(tip).clicked() {
            ui.ctx().copy_text(stand_in_report::report(project, own, candidate));
            actions.push(Action::Notify("The report is copied.".to_owned()));
        }
    }
    reserved_caption(ui, Some(&replaced), 4);
}

/// One candidate in a row; whether it was clicked.
fn entry(ui: &mut Ui, units: LengthUnit, place: usize, candidate: &StandIn, open: bool) -> bool {
    let (rect, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), 40.0), Sense::click());
    let yarn = &candidate.yarn;
    let nearness = match &candidate.compared.refused {
        Some(_) => "not for this piece".to_owned(),
        None => format!("{:.0} of 100", candidate.compared.nearness * 100.0),
    };
    response.widget_info(|| {
        let text = format!("{}. {}: {nearness}, {}", place + 1, yarn.name, balls(candidate));
        WidgetInfo::selected(Role::Button, true, open, text)
    });
    if ui.is_rect_visible(rect) {
        let tokens = Tokens::of(ui);
        let fill = tokens.list_fill(open, &response);
        let painter = ui.painter().with_clip_rect(rect);
        painter.rect_filled(rect, CORNER, fill);
        let bold = FontId::new(BODY, semibold());
        let at = |x: f32, y: f32| egui::pos2(x, y);
        let width = rect.width() - 96.0;
        let line = |text: String, size: f32, ink| truncated(ui, text, FontId::proportional(size), ink, width);
        let left = rect.left() + STEP;
        painter.galley(at(left, rect.top() + 3.0), line(yarn.name.clone(), BODY, tokens.text), tokens.text);
        let sold = format!(
            "{:.0} {} in 100 g; {}{}",
            units.from_metres(yarn.put_up.grist.get()),
            units.yarn_suffix(),
            candidate.card,
            if candidate.shades > 0 { format!(", {} shades", candidate.shades) } else { String::new() }
        );
        painter.galley(at(left, rect.bottom() - 18.0), line(sold, SMALL, tokens.weak), tokens.weak);
        let right = rect.right() - STEP;
        painter.text(at(right, rect.top() + 3.0), Align2::RIGHT_TOP, balls(candidate), bold, tokens.text);
        let small = FontId::proportional(SMALL);
        painter.text(at(right, rect.bottom() - 5.0), Align2::RIGHT_BOTTOM, nearness, small, tokens.weak);
        if response.has_focus() {
            focus_ring(ui, rect);
        }
    }
    ui.add_space(2.0);
    response.clicked()
}

fn balls(candidate: &StandIn) -> String {
    sums::balls(u64::from(candidate.balls))
}

/// The comparison, and what to check.
fn opened(ui: &mut Ui, project: &Project, candidate: &StandIn) {
    heading(ui, &candidate.yarn.name);
    if let Some(why) = &candidate.compared.refused {
        let reason = project.material.needs.map_or("", Needs::washing_reason);
        item(ui, Icon::Warning, &format!("Not for this piece: {why}. {reason}"));
    }
    let cost = candidate
        .cost
        .map(|cost| format!(", at most {} in all", project.currency.told(cost)))
        .unwrap_or_default();
    ui.add(
        Label::new(
            RichText::new(format!(
                "Buy {} instead of {} for this piece, each colour in whole balls{cost}.",
                balls(candidate),
                candidate.balls_of_own
            ))
            .family(semibold()),
        )
        .wrap(),
    );
    if let Some(words) = project.on_hand_beside_stand_ins() {
        caption(ui, words);
    }
    for point in &candidate.compared.points {
        compared(ui, point);
    }
    expected(ui, project, candidate);
    if !candidate.compared.swatch_checks.is_empty() {
        ui.add_space(STEP / 2.0);
        ui.label(RichText::new("Check in the swatch").family(semibold()));
        for check in &candidate.compared.swatch_checks {
            item(ui, Icon::Tick, check);
        }
    }
    caption(
        ui,
        "How much each point counts is our judgement of common practice. Wash the swatch as the piece will be washed.",
    );
}

/// The gauge to expect, the needles to try, and the balls of every size.
fn expected(ui: &mut Ui, project: &Project, candidate: &StandIn) {
    ui.add_space(STEP / 2.0);
    ui.label(RichText::new("To expect").family(semibold()));
    let gauge = format!("{}, knitted as tightly as now", gauge_told(candidate.gauge, project.units));
    let tip = "By the thickness of the two strands (their length in 100 g, density and spin): a first guess, the swatch decides.";
    ui.add(Label::new(RichText::new(gauge).small()).wrap()).on_hover_text(tip);
    let needles: Vec<String> = candidate.needles.iter().map(|needle| needle.name()).collect();
    if !needles.is_empty() {
        let words = format!("For the planned gauge try {}", needles.join(", then "));
        let tip = "The needle of the newest swatch, else the middle of the published ones; then the next size towards the gauge \
                   (common practice, no published source).";
        ui.add(Label::new(RichText::new(words).small()).wrap()).on_hover_text(tip);
    }
    for size in &candidate.sizes {
        let (own, balls): (u32, u32) = (size.own.iter().sum(), size.balls.iter().sum());
        let cost =
            size.cost.map_or_else(String::new, |cost| format!(", at most {}", project.currency.told(cost)));
        let words = format!("{}: {balls} balls instead of {own}{cost}", size.name);
        let by_colour =
            size.balls.iter().enumerate().map(|(slot, balls)| format!("{} {balls}", colour_code(slot)));
        let tip = format!("Colour by colour: {}", by_colour.collect::<Vec<_>>().join(", "));
        ui.add(Label::new(RichText::new(words).small()).wrap().sense(Sense::hover())).on_hover_text(tip);
    }
}

fn compared(ui: &mut Ui, point: &ComparedPoint) {
    ui.add_space(2.0);
    let icon = match point.likeness {
        Likeness::Same => Icon::Tick,
        Likeness::Near => Icon::Note,
        Likeness::Differs => Icon::Warning,
        Likeness::Unknown => Icon::Remove,
    };
    let title = format!("{}: {}", point.point.name(), point.likeness.name().to_lowercase());
    ui.horizontal_top(|ui| {
        let (mark, _) = ui.allocate_exact_size(Vec2::splat(14.0), Sense::hover());
        icon.paint(
            ui.painter(),
            Rect::from_min_size(mark.min + Vec2::new(0.0, 2.0), mark.size()),
            Tokens::of(ui).text,
        );
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            ui.label(RichText::new(title).family(semibold()));
            ui.add(Label::new(RichText::new(&point.detail).small().weak()).wrap());
            // Balls are counted colour by colour above; the comparison takes all in one.
            let said = if point.point == SubstitutionPoint::Ball { &[][..] } else { &point.consequences };
            for consequence in said {
                ui.add(Label::new(RichText::new(consequence).small()).wrap());
            }
        });
    });
}
