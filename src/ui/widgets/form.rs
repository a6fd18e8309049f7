//! The fields of one entry, under each other: a label and its control in each row.

use std::fmt::Debug;
use std::hash::Hash;
use std::ops::{Deref, DerefMut};

use egui::{ComboBox, Id, Label, Response, TextEdit, Ui, WidgetText};

use super::field::{NumberField, left_by_escape, name};
use super::steady::steady;
use super::tick::{tick_box, with_edges};
use crate::ui::theme::STEP;

/// Part of a row that is its label's, and the least width of the label in points.
type Share = (f32, f32);

/// Where the controls are figures and short words.
const HALF: Share = (0.5, 96.0);
/// Where the controls are mostly words.
const WORDS: Share = (0.38, 84.0);
/// Where they are whole lines of text.
const LINES: Share = (0.0, 84.0);

/// Fields that change a copy of an entry, and whether one of them was left or decided in this frame: then the
/// gesture that began with the first change ends. In place of the [`Ui`] wherever one is wanted.
pub struct Form<'u> {
    ui: &'u mut Ui,
    share: Share,
    ended: bool,
}

impl Deref for Form<'_> {
    type Target = Ui;

    fn deref(&self) -> &Ui {
        self.ui
    }
}

impl DerefMut for Form<'_> {
    fn deref_mut(&mut self) -> &mut Ui {
        self.ui
    }
}

/// What a field holds whose text is taken over only when it is left.
pub enum Drafted {
    /// What stood there.
    Still,
    /// What is being typed.
    Typing(String),
    /// Another text, with which it was left.
    Left(String),
}

impl<'u> Form<'u> {
    /// A form with labels and controls of equal width.
    pub const fn new(ui: &'u mut Ui) -> Self {
        Self { ui, share: HALF, ended: false }
    }

    /// A form with more room for the controls.
    pub const fn of_words(ui: &'u mut Ui) -> Self {
        Self { ui, share: WORDS, ended: false }
    }

    /// A form whose controls are whole lines of text.
    pub const fn of_lines(ui: &'u mut Ui) -> Self {
        Self { ui, share: LINES, ended: false }
    }

    /// Whether a field was left or something decided.
    pub const fn ended(&self) -> bool {
        self.ended
    }

    /// Ends the gesture.
    pub const fn end(&mut self) {
        self.ended = true;
    }

    /// Ends the gesture if so.
    pub const fn end_if(&mut self, left: bool) {
        self.ended |= left;
    }

    /// A label and its controls.
    pub fn row<R>(&mut self, title: impl Into<WidgetText>, controls: impl FnOnce(&mut Form) -> R) -> R {
        let share = self.share;
        let (made, ended) = labelled(self.ui, share, title.into(), |ui| {
            let mut form = Form { ui, share, ended: false };
            let made = controls(&mut form);
            (made, form.ended)
        });
        self.ended |= ended;
        made
    }

    /// A line of words.
    pub fn text(&mut self, title: &str, label: &str, value: &mut String) {
        self.row(title, |form| {
            let width = form.available_width() - STEP;
            let response = form.add(TextEdit::singleline(value).desired_width(width));
            name(&response, label);
            form.end_if(response.lost_focus());
        });
    }

    /// Some lines of words across the form.
    pub fn notes(&mut self, label: &str, value: &mut String) {
        let response = self.add(TextEdit::multiline(value).desired_rows(2).desired_width(f32::INFINITY));
        name(&response, label);
        self.end_if(response.lost_focus());
    }

    /// A line of at most `limit` characters that is kept in `draft` while it is typed; `of` tells the entry it
    /// belongs to from the others.
    pub fn drafted(
        &mut self,
        (label, of): (&str, impl Hash + Debug),
        limit: usize,
        value: &str,
        draft: &mut Option<(Id, String)>,
    ) -> Drafted {
        let id = self.make_persistent_id((label, of));
        let mine = draft.take_if(|(field, _)| *field == id);
        let mut text = mine.map_or_else(|| value.to_owned(), |(_, text)| text);
        let width = self.available_width() - STEP;
        let field = TextEdit::singleline(&mut text).id(id).desired_width(width).char_limit(limit);
        let response = self.add(field);
        name(&response, label);
        self.end_if(response.lost_focus());
        if response.lost_focus() {
            let stays = text == value || left_by_escape(&response);
            return if stays { Drafted::Still } else { Drafted::Left(text) };
        }
        if !response.has_focus() {
            return Drafted::Still;
        }
        *draft = Some((id, text.clone()));
        Drafted::Typing(text)
    }

    /// A number; what was typed.
    pub fn number(&mut self, title: &str, field: &NumberField, value: f64) -> Option<f64> {
        self.row(title, |form| field.edited(form, value))
    }

    /// A whole number.
    pub fn count(
        &mut self,
        (title, label, suffix): (&str, &str, &str),
        (least, most): (u32, u32),
        value: &mut u32,
    ) {
        let range = f64::from(least)..=f64::from(most);
        let field = NumberField { label, suffix, range, decimals: 0, speed: 0.2 };
        if let Some(typed) = self.number(title, &field, f64::from(*value)) {
            *value = typed.round() as u32;
        }
    }

    /// A number that may not be known: ticked, it begins at `start`.
    pub fn maybe(
        &mut self,
        (title, known_label): (&str, &str),
        field: &NumberField,
        value: &mut Option<f64>,
        start: f64,
    ) {
        self.row(title, |form| {
            let mut known = value.is_some();
            let tick = tick_box(form, &mut known, "");
            name(&tick, known_label);
            if tick.changed() {
                *value = known.then_some(start);
                form.end();
            }
            match value {
                Some(number) => *number = field.edited(form, *number).unwrap_or(*number),
                None => drop(form.weak("not known")),
            }
        });
    }

    /// One out of several, in a row.
    pub fn choice<T: Clone + PartialEq, W: AsRef<str>>(
        &mut self,
        title: &str,
        label: &str,
        options: impl IntoIterator<Item = (T, W)>,
        value: &mut T,
    ) {
        self.row(title, |form| form.one_of(label, options, value, 0.0));
    }

    /// One out of several, with `room` left at its right for another control.
    pub fn one_of<T: Clone + PartialEq, W: AsRef<str>>(
        &mut self,
        label: &str,
        options: impl IntoIterator<Item = (T, W)>,
        value: &mut T,
        room: f32,
    ) {
        let chosen = one_of(self.ui, label, options, value, room);
        self.end_if(chosen);
    }

    /// A box to tick; whether it is ticked.
    pub fn tick(&mut self, words: &str, mut ticked: bool) -> bool {
        let changed = tick_box(self, &mut ticked, words).changed();
        self.end_if(changed);
        ticked
    }
}

/// One out of several, as wide as there is room but for `room` at its right; whether one was chosen.
pub fn one_of<T: Clone + PartialEq, W: AsRef<str>>(
    ui: &mut Ui,
    label: &str,
    options: impl IntoIterator<Item = (T, W)>,
    value: &mut T,
    room: f32,
) -> bool {
    let width = (ui.available_width() - STEP - room).max(40.0);
    one_of_in(ui, width, label, options, value).changed()
}

/// One out of several, so many points wide where there is room; changed when one was chosen.
pub fn one_of_in<T: Clone + PartialEq, W: AsRef<str>>(
    ui: &mut Ui,
    width: f32,
    label: &str,
    options: impl IntoIterator<Item = (T, W)>,
    value: &mut T,
) -> Response {
    let options: Vec<(T, W)> = options.into_iter().collect();
    let shown = options.iter().find(|(option, _)| option == value).map_or("", |(_, words)| words.as_ref());
    let mut chosen = false;
    // Past the end of its row it would widen what is around it, and with that every row below.
    let width = width.min(ui.available_width().max(40.0));
    let list = ComboBox::from_id_salt(label).width(width).height(360.0).truncate().selected_text(shown);
    let mut combo = steady(ui, ("one of", label), |ui| {
        // A long word would take what is left of the row as well.
        ui.set_max_width(width);
        with_edges(ui, |ui| {
            list.show_ui(ui, |ui| {
                for (place, (option, words)) in options.iter().enumerate() {
                    let entry =
                        ui.push_id(place, |ui| ui.selectable_label(option == value, words.as_ref())).inner;
                    if entry.clicked() {
                        *value = option.clone();
                        chosen = true;
                        // Chosen by a key it would stay open.
                        ui.close();
                    }
                }
            })
        })
    });
    name(&combo.response, label);
    if chosen {
        combo.response.mark_changed();
    }
    combo.response
}

/// A label on the left and its control on the right of a row, the controls aligned in a column.
pub fn row<R>(ui: &mut Ui, title: impl Into<WidgetText>, control: impl FnOnce(&mut Ui) -> R) -> R {
    labelled(ui, HALF, title.into(), control)
}

/// The same, dim as a whole while it cannot be used: a bright label beside a dead field would still ask for it.
pub fn row_if<R>(
    ui: &mut Ui,
    usable: bool,
    title: impl Into<WidgetText>,
    control: impl FnOnce(&mut Ui) -> R,
) -> R {
    ui.add_enabled_ui(usable, |ui| row(ui, title, control)).inner
}

fn labelled<R>(
    ui: &mut Ui,
    (share, least): Share,
    title: WidgetText,
    control: impl FnOnce(&mut Ui) -> R,
) -> R {
    ui.horizontal(|ui| {
        let size = egui::vec2((ui.available_width() * share).max(least), ui.spacing().interact_size.y);
        ui.allocate_ui_with_layout(size, egui::Layout::left_to_right(egui::Align::Center), |ui| {
            ui.set_width(size.x);
            ui.add(Label::new(title).truncate());
        });
        control(ui)
    })
    .inner
}
