//! Number fields that know their units, and captions with the same look everywhere.

use egui::{DragValue, Label, Response, RichText, Sense, Ui, Vec2};

use super::form::Form;
use super::icon::Icon;
use crate::ui::theme::{HEADING, STEP, Tokens, semibold};

/// A section heading.
pub fn heading(ui: &mut Ui, text: &str) -> Response {
    ui.label(RichText::new(text).size(HEADING).family(semibold()))
}

/// A caption: small, weak, wrapping.
pub fn caption(ui: &mut Ui, text: impl Into<String>) -> Response {
    ui.add(Label::new(RichText::new(text).small().weak()).wrap())
}

/// A smaller heading inside a section.
pub fn part(ui: &mut Ui, text: &str) {
    ui.add_space(STEP / 2.0);
    ui.label(RichText::new(text).family(semibold()));
}

/// A mark and a sentence.
pub fn item(ui: &mut Ui, icon: Icon, text: &str) {
    ui.horizontal_top(|ui| {
        let (mark, _) = ui.allocate_exact_size(Vec2::splat(14.0), Sense::hover());
        icon.paint(ui.painter(), mark.translate(Vec2::new(0.0, 2.0)), Tokens::of(ui).text);
        ui.add(Label::new(text).wrap());
    });
}

/// A number with its label for the keyboard and screen readers.
pub struct NumberField<'a> {
    /// Accessible name, sentence case.
    pub label: &'a str,
    /// Unit after the number, with its leading space.
    pub suffix: &'a str,
    /// Smallest and largest accepted value, in the unit shown.
    pub range: std::ops::RangeInclusive<f64>,
    /// Digits after the point, at most.
    pub decimals: usize,
    /// Change per point dragged.
    pub speed: f64,
}

impl NumberField<'_> {
    /// Shows the field; `Some(new value)` when it was changed.
    pub fn show(&self, ui: &mut Ui, value: f64) -> Option<f64> {
        self.respond(ui, value).1
    }

    /// Shows the field of a form, which ends when the field is left.
    pub fn edited(&self, form: &mut Form, value: f64) -> Option<f64> {
        let (response, typed) = self.respond(form, value);
        form.end_if(response.drag_stopped() || response.lost_focus());
        typed
    }

    /// Shows the field and also gives its response.
    pub fn respond(&self, ui: &mut Ui, value: f64) -> (Response, Option<f64>) {
        let mut edited = value;
        let drag = DragValue::new(&mut edited)
            .range(self.range.clone())
            .speed(self.speed)
            .max_decimals(self.decimals)
            .suffix(self.suffix.to_owned())
            .update_while_editing(false);
        let response = ui.add(drag);
        name(&response, self.label);
        let changed = response.changed() && (edited - value).abs() > 1e-12;
        (response, changed.then_some(edited))
    }
}

/// A whole number with its label.
pub fn count_field(
    ui: &mut Ui,
    label: &str,
    suffix: &str,
    range: std::ops::RangeInclusive<u32>,
    value: u32,
) -> Option<u32> {
    let field = NumberField {
        label,
        suffix,
        range: f64::from(*range.start())..=f64::from(*range.end()),
        decimals: 0,
        speed: 0.2,
    };
    field.show(ui, f64::from(value)).map(|v| v.round() as u32)
}

/// Gives a widget its accessible name.
pub fn name(response: &Response, label: &str) {
    response.ctx.accesskit_node_builder(response.id, |node| node.set_label(label));
}

/// One line of text, cut with an ellipsis at `width`.
pub fn truncated(
    ui: &Ui,
    text: impl Into<String>,
    font: egui::FontId,
    ink: egui::Color32,
    width: f32,
) -> std::sync::Arc<egui::Galley> {
    let mut job = egui::text::LayoutJob::simple_singleline(text.into(), font, ink);
    job.wrap = egui::text::TextWrapping::truncate_at_width(width.max(1.0));
    ui.painter().layout_job(job)
}
