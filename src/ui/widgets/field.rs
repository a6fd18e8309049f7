//! Number fields that know their units, and captions with the same look everywhere.

use std::cell::RefCell;

use egui::text_edit::TextEditState;
use egui::{
    Align2, Area, Context, DragValue, Frame, Id, Key, Label, Margin, Order, Rect, Response, RichText, Sense,
    TextEdit, Ui, Vec2,
};

use super::form::Form;
use super::icon::Icon;
use crate::plain_text::quoted;
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

/// What a field understands and shows beyond plain numbers.
#[derive(Clone, Copy)]
pub struct FieldWords<'a> {
    /// Makes a value of what is no plain number, or says what is wrong.
    pub read: &'a dyn Fn(&str) -> Result<f64, String>,
    /// Stands in place of 0.
    pub nothing: Option<&'a str>,
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

    /// Shows the field of a form whose figure may not have been entered: `nothing` stands in its place until it is.
    pub fn entered(&self, form: &mut Form, value: Option<f64>, nothing: &str) -> Option<f64> {
        let own = self.suffix.trim();
        // The words stand without the unit, which may be typed all the same.
        let read = |text: &str| {
            let bare = text.trim().strip_suffix(own).unwrap_or(text);
            parse_number(bare).ok_or_else(|| format!("'{}' is not a number", quoted(text)))
        };
        let empty = Self { suffix: "", range: self.range.clone(), ..*self };
        let field = if value.is_some() { self } else { &empty };
        let words = FieldWords { read: &read, nothing: Some(nothing) };
        let (response, typed) = field.respond_to_words(form, value.unwrap_or(0.0), words);
        form.end_if(response.drag_stopped() || response.lost_focus());
        typed
    }

    /// Shows the field of a form that also takes words, which `read` makes a value of, or says what is wrong.
    pub fn edited_in_words(
        &self,
        form: &mut Form,
        value: f64,
        read: &dyn Fn(&str) -> Result<f64, String>,
    ) -> Option<f64> {
        // Words want more room than a figure, and the field is as wide while it is typed into.
        let before = form.spacing().interact_size.x;
        form.spacing_mut().interact_size.x = before.max(WORDS_WIDE);
        let (response, typed) = self.respond_to_words(form, value, FieldWords { read, nothing: None });
        form.spacing_mut().interact_size.x = before;
        form.end_if(response.drag_stopped() || response.lost_focus());
        typed
    }

    /// Shows the field and also gives its response. Going past it changes nothing: what is shown may be
    /// rounded, so only another text than that is taken over. A figure out of range, or none, is refused with
    /// a word.
    pub fn respond(&self, ui: &mut Ui, value: f64) -> (Response, Option<f64>) {
        let no_number = |text: &str| Err(format!("'{}' is not a number", quoted(text)));
        self.respond_to_words(ui, value, FieldWords { read: &no_number, nothing: None })
    }

    /// As [`Self::respond`], with words.
    pub fn respond_to_words(
        &self,
        ui: &mut Ui,
        value: f64,
        FieldWords { read, nothing }: FieldWords,
    ) -> (Response, Option<f64>) {
        let mut edited = value;
        let shown = RefCell::new(String::new());
        let refused = RefCell::new(None);
        let dropped = was_dropped(ui.ctx());
        let drag = DragValue::new(&mut edited)
            .range(self.range.clone())
            .clamp_existing_to_range(false)
            .speed(self.speed)
            .max_decimals(self.decimals)
            .suffix(self.suffix.to_owned())
            .update_while_editing(false)
            .custom_formatter(|value, _| {
                let text = match nothing {
                    Some(nothing) if value == 0.0 => nothing.to_owned(),
                    _ => egui::emath::format_with_decimals_in_range(
                        value,
                        self.least_decimals()..=self.decimals,
                    ),
                };
                shown.borrow_mut().clone_from(&text);
                text
            })
            .custom_parser(|text| {
                if dropped || text == shown.borrow().as_str() || text.trim().is_empty() {
                    return None;
                }
                match self.read(text, read) {
                    Ok(typed) => Some(typed),
                    Err(why) => {
                        *refused.borrow_mut() = Some(why);
                        None
                    }
                }
            });
        let response = ui.add(drag);
        name(&response, self.label);
        say_refusal(ui, &response, refused.into_inner());
        let changed = response.changed() && (edited - value).abs() > 1e-12;
        (response, changed.then_some(edited))
    }

    /// The value of what was typed, with or without the field's own unit after it.
    fn read(&self, text: &str, words: &dyn Fn(&str) -> Result<f64, String>) -> Result<f64, String> {
        let bare = text.trim().strip_suffix(self.suffix.trim()).unwrap_or(text);
        let typed = parse_number(bare).map_or_else(|| words(text), Ok)?;
        if self.accepts(typed) { Ok(typed) } else { Err(self.refusal(text)) }
    }

    /// Digits that are shown even when they are 0: as many as dragging by a point changes, at every text size.
    fn least_decimals(&self) -> usize {
        let digits = (1.0 / self.speed).log10().ceil().max(0.0) as usize;
        digits.min(self.decimals)
    }

    /// Whether a figure lies in the range, or so near its end that it is shown as the end.
    fn accepts(&self, typed: f64) -> bool {
        let hair = 0.5 * 0.1_f64.powi(self.decimals as i32) + 1e-9;
        (self.range.start() - hair..=self.range.end() + hair).contains(&typed)
    }

    fn refusal(&self, text: &str) -> String {
        let show = |value: f64| egui::emath::format_with_decimals_in_range(value, 0..=self.decimals);
        let (low, high) = (show(*self.range.start()), show(*self.range.end()));
        format!("{} is not from {low} to {high}{}", text.trim(), self.suffix)
    }
}

/// Width of a field that takes words, in points.
const WORDS_WIDE: f32 = 118.0;

/// Seconds a refusal is shown.
const REFUSAL: f64 = 5.0;

/// A refusal: its words, since when it is shown, and where it was.
type Refused = (String, f64, Rect);

/// Says in the row of the field why what was typed is refused, towards the side where the window has more room, until
/// it passes, is mended, or the hand goes on: pressing anything or coming to the words takes them away.
pub fn say_refusal(ui: &Ui, response: &Response, refused: Option<String>) {
    let id = response.id.with("refused");
    let now = ui.input(|input| input.time);
    if let Some(why) = refused {
        let words = format!("{why}; it stays as it was.");
        ui.data_mut(|data| data.insert_temp::<Refused>(id, (words, now, Rect::NOTHING)));
    }
    let Some((words, since, place)) = ui.data(|data| data.get_temp::<Refused>(id)) else { return };
    let left = REFUSAL - (now - since);
    let goes_on = ui.input(|input| {
        let comes = input.pointer.velocity() != Vec2::ZERO;
        let over = input.pointer.latest_pos().is_some_and(|at| comes && place.contains(at));
        now > since && (over || input.pointer.any_pressed())
    });
    if left <= 0.0 || goes_on || response.changed() {
        ui.data_mut(|data| data.remove::<Refused>(id));
        return;
    }
    ui.ctx().request_repaint_after(std::time::Duration::from_secs_f64(left));
    let (field, window) = (response.rect, ui.ctx().content_rect());
    let to_right = window.right() - field.right() > field.left() - window.left();
    let (pivot, at) = if to_right {
        (Align2::LEFT_CENTER, field.right_center() + Vec2::new(STEP / 2.0, 0.0))
    } else {
        (Align2::RIGHT_CENTER, field.left_center() - Vec2::new(STEP / 2.0, 0.0))
    };
    // No higher than its row, and clicks go through it.
    let beside = Area::new(id).order(Order::Tooltip).interactable(false).pivot(pivot).fixed_pos(at);
    let shown = beside.show(ui.ctx(), |ui| {
        Frame::popup(ui.style()).inner_margin(Margin::symmetric(STEP as i8, 3)).show(ui, |ui| {
            ui.add(Label::new(&words).extend().selectable(false));
        });
    });
    ui.data_mut(|data| data.insert_temp::<Refused>(id, (words, since, shown.response.rect)));
}

/// A figure as people write it: a point or a comma before the decimals, blanks or the other of the two
/// between thousands. `None` when it is no number.
pub fn parse_number(text: &str) -> Option<f64> {
    let mut plain: String = text.chars().filter(|c| !c.is_whitespace()).collect();
    plain = plain.replace('\u{2212}', "-");
    let (commas, points) = (plain.matches(',').count(), plain.matches('.').count());
    plain = match (commas, points) {
        (1, 0) => plain.replace(',', "."),
        // Both: the last one stands before the decimals.
        (1.., 1..) if plain.rfind(',') > plain.rfind('.') => plain.replace('.', "").replace(',', "."),
        (1.., _) => plain.replace(',', ""),
        (0, 2..) => plain.replace('.', ""),
        _ => plain,
    };
    plain.parse().ok().filter(|number: &f64| number.is_finite())
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

/// A field whose text is no part of the project: left by Escape it holds again what it held when it was entered. What
/// is typed into the project the window gives up itself.
pub fn text_field(
    ui: &mut Ui,
    text: &mut String,
    field: impl FnOnce(&mut String) -> TextEdit<'_>,
) -> Response {
    let before = text.clone();
    let mut response = ui.add(field(text));
    let entered = response.id.with("entered with");
    if response.gained_focus() {
        ui.data_mut(|data| data.insert_temp(entered, before));
    } else if left_by_escape(&response)
        && let Some(held) = ui.data_mut(|data| data.remove_temp::<String>(entered))
        && held != *text
    {
        *text = held;
        response.mark_changed();
    }
    response
}

/// Whether Escape drops what is being typed; ask once, as a frame begins. By then the library has taken the keyboard
/// from the field: `focused` is what had it at the end of the frame before.
pub fn drops_typing(ctx: &Context, focused: Option<Id>) -> bool {
    let is_text = |id| TextEditState::load(ctx, id).is_some();
    let drops = focused.is_some_and(is_text) && ctx.input(|input| input.key_pressed(Key::Escape));
    if drops {
        let now = ctx.cumulative_pass_nr();
        ctx.data_mut(|data| data.insert_temp(Id::unique(DROPPED), now));
    }
    drops
}

const DROPPED: &str = "what was typed is dropped";

/// Whether it was in this frame or in the one before, in which the library tells once more that the field was left.
fn was_dropped(ctx: &Context) -> bool {
    let last: Option<u64> = ctx.data(|data| data.get_temp(Id::unique(DROPPED)));
    last.is_some_and(|last| ctx.cumulative_pass_nr() <= last + 1)
}

/// Whether the field was left by Escape, which drops what was typed.
pub fn left_by_escape(response: &Response) -> bool {
    response.lost_focus() && was_dropped(&response.ctx)
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comma_and_point_are_both_understood() {
        for (text, number) in [
            ("2.5", Some(2.5)),
            ("2,5", Some(2.5)),
            (" 1 234,5 ", Some(1234.5)),
            ("1.234,5", Some(1234.5)),
            ("1,234.5", Some(1234.5)),
            ("1.234.567", Some(1_234_567.0)),
            ("\u{2212}3", Some(-3.0)),
            ("", None),
            ("nan", None),
            ("2,5 cm", None),
        ] {
            assert_eq!(parse_number(text), number, "{text}");
        }
    }
}
