//! Figures in the project's units, and the sum a figure opens into.

use egui::{Align, Layout, RichText, Ui, Vec2};

use crate::knit::Estimate;
use crate::knit::pieces::Item;
use crate::project::shopping::reasons;
use crate::ui::theme::{SMALL, STEP, semibold};
use crate::ui::widgets::caption;
use crate::units::LengthUnit;

/// `442 m`.
pub fn length(units: LengthUnit, metres: f64) -> String {
    format!("{:.0} {}", units.from_metres(metres), units.yarn_suffix())
}

/// `401–472 m`; one figure where both ends are the same.
pub fn range(units: LengthUnit, metres: Estimate) -> String {
    let show = |m: f64| format!("{:.0}", units.from_metres(m));
    let (low, high) = (show(metres.low), show(metres.high));
    if low == high {
        format!("{low} {}", units.yarn_suffix())
    } else {
        format!("{low}–{high} {}", units.yarn_suffix())
    }
}

/// `321 g`, `11.3 oz`.
pub fn mass(units: LengthUnit, grams: f64) -> String {
    let decimals = usize::from(units == LengthUnit::Imperial);
    format!("{:.decimals$} {}", units.from_grams(grams), units.mass_suffix())
}

/// `1 ball`, `7 balls`.
pub fn balls(count: u64) -> String {
    if count == 1 { "1 ball".to_owned() } else { format!("{count} balls") }
}

/// A row of this height whose parts stand in its middle.
pub fn row<R>(ui: &mut Ui, height: f32, contents: impl FnOnce(&mut Ui) -> R) -> R {
    let size = Vec2::new(ui.available_width(), height);
    ui.allocate_ui_with_layout(size, Layout::left_to_right(Align::Center), contents).inner
}

/// A part of a [`row`], `width` wide, its contents from the left or from the right.
pub fn cell<R>(ui: &mut Ui, width: f32, align: Align, contents: impl FnOnce(&mut Ui) -> R) -> R {
    let layout = match align {
        Align::Max => Layout::right_to_left(Align::Center),
        _ => Layout::left_to_right(Align::Center),
    };
    let size = Vec2::new(width, ui.available_height());
    ui.allocate_ui_with_layout(size, layout, |ui| {
        ui.set_min_width(width);
        contents(ui)
    })
    .inner
}

/// Widths of the columns of a sum, after the first, which takes what is left.
const COUNT: f32 = 132.0;
const EACH: f32 = 72.0;
const LIKELY: f32 = 64.0;
const RANGE: f32 = 108.0;

/// The lines of a sum with their total and the reasons for its range; with `pieces`, each line says to
/// which piece it belongs.
pub fn show(ui: &mut Ui, units: LengthUnit, lines: &[(Option<&str>, Item)], total: Estimate, pieces: bool) {
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        let first = (ui.available_width() - COUNT - EACH - LIKELY - RANGE - 40.0).clamp(120.0, 300.0);
        let each = format!("{} each", units.length_suffix());
        let head = ["For", "How many", &each, "Likely", "Low to high"].map(str::to_owned);
        line(ui, first, head, RichText::weak);
        // Hundredths of a metre say nothing.
        for (piece, item) in lines.iter().filter(|(_, item)| item.metres.high >= 0.05) {
            let what = match piece {
                Some(piece) if pieces => format!("{piece}: {}", item.what.to_lowercase()),
                _ => item.what.to_owned(),
            };
            let counted = item.of != "per cent" && item.count > 0.0;
            let each = counted.then(|| format!("{:.2}", units.from_cm(item.each_cm().likely)));
            let cells = [
                what,
                item.counted(),
                each.unwrap_or_default(),
                figure(units, item.metres),
                ends(units, item.metres),
            ];
            line(ui, first, cells, |text| text);
        }
        let [none, also_none] = [String::new(), String::new()];
        let cells = ["Together".to_owned(), none, also_none, figure(units, total), ends(units, total)];
        line(ui, first, cells, |text| text.family(semibold()));
        ui.add_space(STEP / 2.0);
        for (what, reason) in reasons(lines.iter().map(|(_, item)| item)) {
            caption(ui, format!("{what}: {reason}"));
        }
    });
}

fn figure(units: LengthUnit, metres: Estimate) -> String {
    format!("{:.1} {}", units.from_metres(metres.likely), units.yarn_suffix())
}

fn ends(units: LengthUnit, metres: Estimate) -> String {
    format!("{:.1} to {:.1}", units.from_metres(metres.low), units.from_metres(metres.high))
}

fn line(ui: &mut Ui, first: f32, cells: [String; 5], style: impl Fn(RichText) -> RichText) {
    row(ui, 17.0, |ui| {
        let widths = [first, COUNT, EACH, LIKELY, RANGE];
        for (place, (text, width)) in cells.into_iter().zip(widths).enumerate() {
            let align = if place == 0 { Align::Min } else { Align::Max };
            let text = style(RichText::new(text).size(SMALL));
            cell(ui, width, align, |ui| ui.add(egui::Label::new(text).truncate()));
        }
    });
}
