//! One fibre or blend: its score need by need with figures and sources, reasons, cautions, choice.

use egui::{Align2, CollapsingHeader, FontId, Label, Rect, RichText, Sense, Ui, Vec2};

use super::{edit, paint_bar};
use crate::app::Action;
use crate::project::Project;
use crate::ui::theme::{BODY, STEP, Tokens, semibold};
use crate::ui::widgets::{Icon, caption, gift_tag, heading, primary};
use crate::yarn::{CAUTION_DEFERS, NeedScore, Needs, Ranked, Reason, Term, cautions};

/// Reasons shown on each side; the figures hold the rest.
const REASONS: usize = 5;

/// The name and what the page is for, which stay in view over the rest.
pub fn head(ui: &mut Ui, project: &Project, ranked: &Ranked, actions: &mut Vec<Action>) {
    ui.add(
        Label::new(RichText::new(ranked.blend.name()).size(crate::ui::theme::HEADING).family(semibold()))
            .wrap(),
    );
    choose(ui, project, ranked, actions);
    ui.add_space(STEP / 2.0);
}

/// Shows everything on one candidate.
pub fn show(ui: &mut Ui, project: &Project, needs: Needs, ranked: &Ranked, actions: &mut Vec<Action>) {
    for part in &ranked.needs {
        need(ui, part);
    }
    caption(
        ui,
        "Open a need for its figures; each names its source. What counts as good, and how much, is our \
         judgement of common practice.",
    );
    reasons(ui, "Speaks for it", Icon::Tick, &ranked.in_favour);
    reasons(ui, "Speaks against it", Icon::Remove, &ranked.against);
    if !ranked.unknown.is_empty() {
        let unknown: Vec<String> =
            ranked.unknown.iter().map(|property| property.name().to_lowercase()).collect();
        caption(ui, format!("Not known, and counted as middling: {}.", unknown.join(", ")));
    }
    ui.add_space(STEP / 2.0);
    heading(ui, "Care and cautions");
    if project.fibre() == Some(&ranked.blend) {
        gift_tag(ui, actions);
    }
    for (fibre, _) in ranked.blend.parts() {
        let facts = fibre.facts();
        if !facts.care.is_empty() {
            paragraph(ui, &format!("{}: {}", fibre.name(), facts.care));
        }
    }
    // The label of the project's own yarn, when this is what it is made of.
    let own = project.material.yarn.as_ref().filter(|yarn| yarn.blend == ranked.blend);
    let label = own.map(|yarn| yarn.care.clone()).unwrap_or_default();
    for caution in cautions(needs, &ranked.blend, &label) {
        paragraph(ui, &format!("{}. {}", caution.topic.name(), caution.text));
    }
    caption(ui, CAUTION_DEFERS);
    ui.add_space(STEP);
}

fn paragraph(ui: &mut Ui, text: &str) {
    ui.add(Label::new(RichText::new(text).small()).wrap());
}

/// The button that makes it the project's, or takes it back.
fn choose(ui: &mut Ui, project: &Project, ranked: &Ranked, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        ui.label(format!("{:.0} of 100", ranked.score * 100.0));
        if project.material.blend.as_ref() == Some(&ranked.blend) {
            ui.label(RichText::new("Chosen").family(semibold()));
            if ui.button("Take back").on_hover_text("Choose no fibre for now").clicked() {
                actions.push(edit(project, "Take fibre back", |material| material.blend = None));
                actions.push(Action::Done(format!("{} is no longer chosen.", ranked.blend.name())));
            }
            return;
        }
        // It stands out until one is chosen.
        let choose = match &project.material.blend {
            None => primary(ui, true, "Choose for this project"),
            Some(_) => ui.button("Choose for this project"),
        };
        let tip = match &project.material.blend {
            None => "The project remembers it with the answers it was judged by".to_owned(),
            Some(other) => format!("In place of {}; the project remembers it with the answers", other.name()),
        };
        if choose.on_hover_text(tip).clicked() {
            let (blend, needs) = (ranked.blend.clone(), super::needs_of(project));
            actions.push(edit(project, "Choose fibre", |material| {
                material.blend = Some(blend);
                // What it was judged by belongs to the choice.
                material.needs = Some(needs);
            }));
            actions.push(Action::Done(format!("{} is chosen for this project.", ranked.blend.name())));
        }
    });
}

/// One need: a bar, and opened up its figures.
fn need(ui: &mut Ui, part: &NeedScore) {
    let counts = match (part.weight > 0.0, part.known > 0.0) {
        (false, _) => " (does not count here)",
        (true, false) => " (nothing is known of it)",
        (true, true) => "",
    };
    let header = CollapsingHeader::new(format!("{}{counts}", part.need.name()))
        .id_salt(part.need.key())
        .show(ui, |ui| {
            for term in &part.terms {
                figure(ui, term);
            }
            caption(
                ui,
                format!("Counts {:.1}; firmness of the figures: {}.", part.weight, part.basis().name()),
            );
        });
    let row = header.header_response.rect;
    let tokens = Tokens::of(ui);
    let right = ui.max_rect().right() - STEP;
    let bar = Rect::from_min_size(egui::pos2(right - 104.0, row.center().y - 3.0), Vec2::new(76.0, 6.0));
    if part.weight > 0.0 && part.known > 0.0 {
        paint_bar(ui.painter(), bar, part.score, tokens);
        let at = egui::pos2(right, row.center().y);
        let text = format!("{:.0}", part.score * 100.0);
        ui.painter().text(at, Align2::RIGHT_CENTER, text, FontId::proportional(BODY), tokens.text);
    }
}

/// A term with its figure; the source on hover.
fn figure(ui: &mut Ui, term: &Term) {
    let (value, source) = match &term.figure {
        Some(figure) => (figure.text(), figure.provenance()),
        None => ("not known".to_owned(), "No figure was found; it counts as middling.".to_owned()),
    };
    let text = format!("{}: {value}", term.rule.property.name());
    let label = ui.add(Label::new(RichText::new(text).small()).wrap().sense(Sense::hover()));
    label.on_hover_text(source);
}

fn reasons(ui: &mut Ui, title: &str, icon: Icon, list: &[Reason]) {
    if list.is_empty() {
        return;
    }
    ui.add_space(STEP / 2.0);
    heading(ui, title);
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 3.0;
        for reason in list.iter().take(REASONS) {
            ui.horizontal_top(|ui| {
                let (mark, _) = ui.allocate_exact_size(Vec2::splat(12.0), Sense::hover());
                icon.paint(ui.painter(), mark.translate(Vec2::new(0.0, 2.0)), Tokens::of(ui).weak);
                let label = ui.add(Label::new(RichText::new(&reason.text).small()).wrap());
                if let Some(need) = reason.need {
                    label.on_hover_text(need.name());
                }
            });
        }
    });
}
