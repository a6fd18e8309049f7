//! The one file of looks: scale -> meaning -> style.
//!
//! The chrome has no chroma at all, so that it does not tint the eye's judgement of yarn colours;
//! what must stand out does so by lightness, weight and shape.

use std::sync::Arc;

use egui::{
    Color32, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Margin, Response, Shadow, Stroke,
    Style, TextStyle, Theme, Vec2, Visuals,
};

/// The 8 px rhythm: every gap is a multiple of half of it.
pub const STEP: f32 = 8.0;
/// Corner radius of controls, px.
pub const CORNER: u8 = 5;
/// Width of the workspace rail, px.
pub const RAIL_WIDTH: f32 = 84.0;
/// Body text, px.
pub const BODY: f32 = 13.5;
/// Captions and chart numbers, px.
pub const SMALL: f32 = 11.5;
/// The one heading size, px.
pub const HEADING: f32 = 15.5;

/// What a grey is for. One set for the light window and one for the dark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tokens {
    /// Columns and bars.
    pub panel: Color32,
    /// The rail and the status bar, a little deeper than the panels.
    pub rail: Color32,
    /// Text fields, lists and cards.
    pub field: Color32,
    /// Around the chart.
    pub surround: Color32,
    /// Body text.
    pub text: Color32,
    /// Captions; at least 4.5:1 on every ground, a chosen row too (WCAG 2 AA).
    pub weak: Color32,
    /// Hairlines between areas.
    pub line: Color32,
    /// Edges of fields, tick boxes and buttons; at least 3:1 on what they stand on (WCAG 2.1, 1.4.11).
    pub edge: Color32,
    /// A resting control.
    pub control: Color32,
    /// A control under the pointer.
    pub hover: Color32,
    /// A control being pressed.
    pub pressed: Color32,
    /// A chosen control or row.
    pub chosen: Color32,
    /// The ring around what has the keyboard, and the chart's cursor.
    pub focus: Color32,
    /// Major grid lines over the chart.
    pub grid: Color32,
}

const fn grey(level: u8) -> Color32 {
    Color32::from_gray(level)
}

/// The light window.
pub const LIGHT: Tokens = Tokens {
    panel: grey(246),
    rail: grey(234),
    field: grey(255),
    surround: grey(224),
    text: grey(26),
    weak: grey(78),
    line: grey(214),
    edge: grey(126),
    control: grey(230),
    hover: grey(220),
    pressed: grey(204),
    chosen: grey(200),
    focus: grey(20),
    grid: grey(40),
};

/// The dark window.
pub const DARK: Tokens = Tokens {
    panel: grey(37),
    rail: grey(27),
    field: grey(24),
    surround: grey(48),
    text: grey(236),
    weak: grey(194),
    line: grey(60),
    edge: grey(118),
    control: grey(56),
    hover: grey(68),
    pressed: grey(78),
    chosen: grey(78),
    focus: grey(244),
    grid: grey(16),
};

impl Tokens {
    /// The ground of an entry in a list: chosen, under the pointer, or resting.
    pub fn list_fill(self, chosen: bool, entry: &Response) -> Color32 {
        match (chosen, entry.hovered()) {
            (true, _) => self.chosen,
            (false, true) => self.hover,
            (false, false) => self.field,
        }
    }

    /// The tokens of the theme in force.
    pub fn of(ui: &egui::Ui) -> Self {
        if ui.visuals().dark_mode { DARK } else { LIGHT }
    }
}

/// Fonts and both styles, once at start.
pub fn install(ctx: &egui::Context) {
    ctx.set_fonts(fonts());
    // The size of text is a choice that is remembered; the program sets it.
    ctx.options_mut(|options| options.zoom_with_keyboard = false);
    ctx.set_style_of(Theme::Light, style(LIGHT, false));
    ctx.set_style_of(Theme::Dark, style(DARK, true));
}

/// The semibold face, for headings and what is chosen.
pub fn semibold() -> FontFamily {
    FontFamily::Name("semibold".into())
}

fn fonts() -> FontDefinitions {
    // Open Sans (Apache-2.0, licence beside the files): its default figures are tabular.
    let mut fonts = FontDefinitions::default();
    let regular = FontData::from_static(include_bytes!("../../assets/fonts/OpenSans-Regular.ttf"));
    let strong = FontData::from_static(include_bytes!("../../assets/fonts/OpenSans-Semibold.ttf"));
    fonts.font_data.insert("regular".to_owned(), Arc::new(regular));
    fonts.font_data.insert("semibold".to_owned(), Arc::new(strong));
    let fallback = fonts.families.get(&FontFamily::Proportional).cloned().unwrap_or_default();
    let family = |first: &str| {
        let mut names = vec![first.to_owned()];
        names.extend(fallback.iter().cloned());
        names
    };
    fonts.families.insert(FontFamily::Proportional, family("regular"));
    fonts.families.insert(semibold(), family("semibold"));
    fonts
}

fn style(t: Tokens, dark: bool) -> Style {
    let mut style = Style { visuals: visuals(t, dark), ..Style::default() };
    style.text_styles = [
        (TextStyle::Heading, FontId::new(HEADING, semibold())),
        (TextStyle::Body, FontId::new(BODY, FontFamily::Proportional)),
        (TextStyle::Button, FontId::new(BODY, FontFamily::Proportional)),
        (TextStyle::Small, FontId::new(SMALL, FontFamily::Proportional)),
        (TextStyle::Monospace, FontId::new(BODY - 0.5, FontFamily::Monospace)),
    ]
    .into();
    style.animation_time = 0.08;
    style.interaction.selectable_labels = false;
    style.interaction.tooltip_delay = 0.4;
    let spacing = &mut style.spacing;
    spacing.item_spacing = Vec2::new(STEP, STEP * 0.75);
    spacing.button_padding = Vec2::new(STEP, STEP * 0.5);
    spacing.interact_size = Vec2::new(28.0, 26.0);
    spacing.menu_margin = Margin::same(6);
    spacing.window_margin = Margin::same(16);
    spacing.slider_width = 140.0;
    spacing.combo_width = 96.0;
    spacing.tooltip_width = 340.0;
    // The handle in the colour of words: in that of buttons it vanished on a light page.
    spacing.scroll = egui::style::ScrollStyle {
        foreground_color: true,
        dormant_background_opacity: 0.0,
        dormant_handle_opacity: 0.5,
        active_background_opacity: 0.5,
        active_handle_opacity: 0.6,
        interact_handle_opacity: 0.8,
        ..egui::style::ScrollStyle::thin()
    };
    style
}

fn visuals(t: Tokens, dark: bool) -> Visuals {
    let mut v = if dark { Visuals::dark() } else { Visuals::light() };
    v.override_text_color = None;
    v.weak_text_color = Some(t.weak);
    v.panel_fill = t.panel;
    v.window_fill = t.panel;
    v.window_stroke = Stroke::new(1.0, t.line);
    v.extreme_bg_color = t.field;
    v.text_edit_bg_color = Some(t.field);
    v.faint_bg_color = t.rail;
    v.code_bg_color = t.rail;
    v.hyperlink_color = t.text;
    v.warn_fg_color = t.text;
    v.error_fg_color = t.text;
    v.selection.bg_fill = t.chosen;
    v.selection.stroke = Stroke::new(1.0, t.text);
    v.window_corner_radius = CornerRadius::same(CORNER + 3);
    v.menu_corner_radius = CornerRadius::same(CORNER + 1);
    let shadow = Shadow { offset: [0, 6], blur: 20, spread: 0, color: Color32::from_black_alpha(60) };
    v.window_shadow = shadow;
    v.popup_shadow = shadow;
    v.slider_trailing_fill = true;
    let rest = [
        (&mut v.widgets.noninteractive, t.panel, t.text),
        (&mut v.widgets.inactive, t.control, t.text),
        (&mut v.widgets.hovered, t.hover, t.text),
        (&mut v.widgets.active, t.pressed, t.text),
        (&mut v.widgets.open, t.hover, t.text),
    ];
    for (widget, fill, text) in rest {
        widget.bg_fill = fill;
        widget.weak_bg_fill = fill;
        widget.bg_stroke = Stroke::NONE;
        widget.fg_stroke = Stroke::new(1.0, text);
        widget.corner_radius = CornerRadius::same(CORNER);
        widget.expansion = 0.0;
    }
    v.widgets.noninteractive.bg_stroke = Stroke::new(1.0, t.line);
    for widget in [&mut v.widgets.inactive, &mut v.widgets.hovered, &mut v.widgets.open] {
        widget.bg_stroke = Stroke::new(1.0, t.edge);
    }
    v.widgets.active.bg_stroke = Stroke::new(1.5, t.focus);
    v
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Colour;

    fn luminance(c: Color32) -> f64 {
        crate::colour::transfer::byte_to_light(c.r())
    }

    /// Contrast ratio of WCAG 2.
    fn ratio(a: Color32, b: Color32) -> f64 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn captions_reach_wcag_aa_on_every_ground_they_stand_on() {
        for t in [LIGHT, DARK] {
            for ground in [t.panel, t.rail, t.field, t.control, t.hover, t.pressed, t.chosen] {
                assert!(ratio(t.weak, ground) >= 4.5, "{ground:?}: {}", ratio(t.weak, ground));
                assert!(ratio(t.text, ground) >= 7.0, "{ground:?}: {}", ratio(t.text, ground));
            }
        }
    }

    #[test]
    fn edges_reach_three_to_one_on_every_ground_they_stand_on() {
        for t in [LIGHT, DARK] {
            for ground in [t.panel, t.rail, t.field] {
                assert!(ratio(t.edge, ground) >= 3.0, "{ground:?}: {}", ratio(t.edge, ground));
                assert!(ratio(t.focus, ground) >= 3.0, "{ground:?}: {}", ratio(t.focus, ground));
            }
        }
    }

    #[test]
    fn the_chrome_has_no_chroma() {
        for t in [LIGHT, DARK] {
            for c in [t.panel, t.rail, t.field, t.surround, t.text, t.weak, t.control, t.chosen, t.focus] {
                assert_eq!(Colour::from_srgb8([c.r(), c.g(), c.b()]).hue(), None);
            }
        }
    }
}
