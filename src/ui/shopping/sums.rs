//! Figures in the project's units, and the sum a figure opens into.

use egui::{Align, Layout, Response, RichText, Ui, Vec2};

use crate::knit::{Amount, Cause, Estimate, RANGE_WORDS, Reach, YarnLine};
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

/// The lines of a sum with their total and the causes of its range; with `pieces`, each line says to
/// which piece it belongs.
pub fn show(ui: &mut Ui, units: LengthUnit, lines: &[(Option<&str>, YarnLine)], pieces: bool) {
    let all: Amount = lines.iter().map(|(_, line)| line.amount).sum();
    let total = all.estimate();
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        let first = (ui.available_width() - COUNT - EACH - LIKELY - RANGE - 40.0).clamp(120.0, 300.0);
        let each = format!("{} each", units.length_suffix());
        let head = ["For", "How many", &each, "Likely", "Low to high"].map(str::to_owned);
        line(ui, first, head, RichText::weak);
        // Hundredths of a metre say nothing.
        for (piece, each_line) in lines.iter().filter(|(_, line)| line.metres().high >= 0.05) {
            let name = each_line.kind.name();
            let what = match piece {
                Some(piece) if pieces => format!("{piece}: {}", name.to_lowercase()),
                _ => name.to_owned(),
            };
            let each = each_line.each_cm().map(|cm| format!("{:.2}", units.from_cm(cm)));
            let metres = each_line.metres();
            let cells = [
                what,
                each_line.counted(),
                each.unwrap_or_default(),
                figure(units, metres),
                ends(units, metres),
            ];
            let parts = parts_words(units, &each_line.amount);
            line(ui, first, cells, |text| text).on_hover_text(parts);
        }
        let [none, also_none] = [String::new(), String::new()];
        let cells = ["Together".to_owned(), none, also_none, figure(units, total), ends(units, total)];
        line(ui, first, cells, |text| text.family(semibold()));
        ui.add_space(STEP / 2.0);
        let lines: Vec<&YarnLine> = lines.iter().map(|(_, line)| line).collect();
        for told in cause_lines(units, &all, &lines) {
            caption(ui, told);
        }
        if !all.parts().is_empty() {
            caption(ui, RANGE_WORDS);
        }
    });
}

/// What makes most of a range in one line, and every cause on hovering.
pub fn causes<'a>(ui: &mut Ui, units: LengthUnit, lines: impl Iterator<Item = &'a YarnLine>) {
    let lines: Vec<&YarnLine> = lines.collect();
    let all: Amount = lines.iter().map(|line| line.amount).sum();
    let farthest: Vec<String> =
        all.parts().iter().take(3).map(|(cause, _)| cause.name().to_lowercase()).collect();
    if farthest.is_empty() {
        return;
    }
    let response = caption(ui, format!("Most of the range: {}.", farthest.join(", ")));
    // Many words, which few frames need: those that show them, and those of a screen reader.
    if response.hovered() || ui.ctx().has_accesskit_node(response.id) {
        let told = cause_lines(units, &all, &lines).chain([RANGE_WORDS.to_owned()]);
        response.on_hover_text(told.collect::<Vec<_>>().join("\n"));
    }
}

/// A line for each cause: how far it reaches, why, and in what.
fn cause_lines(units: LengthUnit, all: &Amount, lines: &[&YarnLine]) -> impl Iterator<Item = String> {
    // Hundredths of a metre say nothing.
    let told = reasons(lines.iter().copied()).into_iter().filter(|(_, cause)| {
        let reach = all.reach(*cause);
        reach.low.max(reach.high) >= 0.05
    });
    told.map(move |(about, cause)| {
        let reach = part_words(units, (cause, all.reach(cause)));
        let basis = cause.basis().name();
        format!("{reach} in {} ({basis}): {}", about.to_lowercase(), cause.reason())
    })
}

/// `structure −12.0 to +13.0 m, tension ±4.0 m`: how far each cause reaches.
pub fn parts_words(units: LengthUnit, amount: &Amount) -> String {
    let parts = amount.parts().into_iter();
    parts.map(|part| part_words(units, part).to_lowercase()).collect::<Vec<_>>().join(", ")
}

fn part_words(units: LengthUnit, (cause, reach): (Cause, Reach)) -> String {
    let show = |m: f64| format!("{:.1}", units.from_metres(m));
    let (name, low, high) = (cause.name(), show(reach.low), show(reach.high));
    let unit = units.yarn_suffix();
    if low == high { format!("{name} ±{low} {unit}") } else { format!("{name} −{low} to +{high} {unit}") }
}

fn figure(units: LengthUnit, metres: Estimate) -> String {
    format!("{:.1} {}", units.from_metres(metres.likely), units.yarn_suffix())
}

fn ends(units: LengthUnit, metres: Estimate) -> String {
    format!("{:.1} to {:.1}", units.from_metres(metres.low), units.from_metres(metres.high))
}

fn line(ui: &mut Ui, first: f32, cells: [String; 5], style: impl Fn(RichText) -> RichText) -> Response {
    let widths = [first, COUNT, EACH, LIKELY, RANGE];
    ui.scope(|ui| cells_in_line(ui, 17.0, widths, cells, style)).response
}

/// Small words in columns, the first from the left and the figures from the right.
pub fn cells_in_line<const N: usize>(
    ui: &mut Ui,
    height: f32,
    widths: [f32; N],
    cells: [String; N],
    style: impl Fn(RichText) -> RichText,
) {
    row(ui, height, |ui| {
        for (place, (text, width)) in cells.into_iter().zip(widths).enumerate() {
            let align = if place == 0 { Align::Min } else { Align::Max };
            let text = style(RichText::new(text).size(SMALL));
            cell(ui, width, align, |ui| ui.add(egui::Label::new(text).truncate()));
        }
    });
}
