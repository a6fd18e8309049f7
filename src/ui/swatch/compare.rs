//! The swatches of the log side by side: the needles that were tried, and the one that is planned with.

use egui::{Align2, FontId, Role, ScrollArea, Sense, Ui, Vec2, WidgetInfo};

use super::log;
use crate::plain_text::signed;
use crate::project::{GaugeStanding, LoggedSwatch, Project, swatch_name};
use crate::ui::theme::{CORNER, SMALL, STEP, Tokens, semibold};
use crate::ui::widgets::{caption, focus_ring, heading, truncated};

const ROW: f32 = 26.0;
/// Titles and widths of the columns.
const COLUMNS: [(&str, f32); 6] = [
    ("Swatch", 132.0),
    ("Needle", 62.0),
    ("Gauge", 140.0),
    ("Against the plan", 112.0),
    ("In the wash", 120.0),
    ("Care", 168.0),
];

/// Shows the table when there are several; a click shows the swatch.
pub fn show(ui: &mut Ui, project: &Project, shown: &mut usize) {
    let swatches = &project.material.swatches;
    if swatches.len() < 2 {
        return;
    }
    heading(ui, "Side by side");
    ScrollArea::horizontal().id_salt("swatches side by side").auto_shrink([false, true]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        let width: f32 = COLUMNS.iter().map(|(_, width)| width).sum();
        let (rect, _) = ui.allocate_exact_size(Vec2::new(width, 20.0), Sense::hover());
        let weak = Tokens::of(ui).weak;
        let mut left = rect.left() + STEP;
        for (title, width) in COLUMNS {
            let at = egui::pos2(left, rect.center().y);
            ui.painter().text(at, Align2::LEFT_CENTER, title, FontId::proportional(SMALL), weak);
            left += width;
        }
        for (place, entry) in swatches.iter().enumerate() {
            if row(ui, project, (place, entry), place == *shown, width) {
                *shown = place;
            }
        }
    });
    caption(ui, needles(project));
    ui.add_space(STEP);
}

fn row(
    ui: &mut Ui,
    project: &Project,
    (place, entry): (usize, &LoggedSwatch),
    shown: bool,
    width: f32,
) -> bool {
    let (rect, response) = ui.allocate_exact_size(Vec2::new(width, ROW), Sense::click());
    let cells = cells(project, place, entry);
    response.widget_info(|| {
        WidgetInfo::selected(Role::Button, true, shown, format!("Side by side: {}", cells.join(", ")))
    });
    let tokens = Tokens::of(ui);
    ui.painter().rect_filled(rect, CORNER, tokens.list_fill(shown, &response));
    let followed = project.material.followed().is_some_and(|followed| followed.place == place);
    let font = if followed { FontId::new(SMALL, semibold()) } else { FontId::proportional(SMALL) };
    let mut left = rect.left() + STEP;
    for (text, (_, width)) in cells.iter().zip(COLUMNS) {
        let galley = truncated(ui, text.as_str(), font.clone(), tokens.text, width - STEP);
        let at = egui::pos2(left, rect.center().y - galley.size().y / 2.0);
        ui.painter().galley(at, galley, tokens.text);
        left += width;
    }
    if response.has_focus() {
        focus_ring(ui, rect);
    }
    let tip = if followed { "The project follows this one" } else { "Click to show it" };
    response.on_hover_text(format!("{}\n{tip}", cells.join(", "))).clicked()
}

fn cells(project: &Project, place: usize, entry: &LoggedSwatch) -> [String; 6] {
    let swatch = &entry.swatch;
    let measured = swatch.best_gauge();
    let gauge = match &measured {
        Some(measured) if measured.washed => log::gauge(measured, project.units),
        Some(measured) => format!("{}, {}", log::gauge(measured, project.units), measured.state()),
        None => "not measured".to_owned(),
    };
    let against = measured.map_or_else(String::new, |measured| {
        let planned = project.plan.gauge;
        let off = |found: f64, planned: f64| (found / planned - 1.0) * 100.0;
        let stitches = off(measured.gauge.stitches.get(), planned.stitches.get());
        let rows = off(measured.gauge.rows.get(), planned.rows.get());
        let followed = project.material.followed().filter(|followed| followed.place == place);
        match followed.map(|followed| followed.standing(planned)) {
            Some(GaugeStanding::Same) => "planned with it".to_owned(),
            _ => format!("{} %, {} %", signed(stitches, 1), signed(rows, 1)),
        }
    });
    let wash = swatch.wash_change().map_or_else(String::new, |change| {
        format!("{} % × {} %", signed(change.width_percent, 1), signed(change.length_percent, 1))
    });
    [
        format!("{}. {}", place + 1, entry.yarn),
        swatch.needle_mm.map_or_else(|| "not told".to_owned(), |mm| format!("{mm} mm")),
        gauge,
        against,
        wash,
        swatch.care.words(),
    ]
}

/// The needles that were tried, and the swatch that comes nearest to the plan.
fn needles(project: &Project) -> String {
    let swatches = &project.material.swatches;
    let mut tried: Vec<f64> = swatches.iter().filter_map(|entry| entry.swatch.needle_mm).collect();
    tried.sort_by(f64::total_cmp);
    tried.dedup();
    let tried: Vec<String> = tried.iter().map(f64::to_string).collect();
    let words = if tried.is_empty() {
        "No needle was told.".to_owned()
    } else {
        format!("Needles tried: {} mm.", tried.join(", "))
    };
    let planned = project.plan.gauge.stitches.get();
    let off = |entry: &LoggedSwatch| {
        let measured = entry.swatch.gauge_after()?;
        Some((measured.gauge.stitches.get() / planned - 1.0).abs())
    };
    let near = swatches.iter().enumerate().filter_map(|(place, entry)| Some((place, off(entry)?)));
    match near.min_by(|a, b| a.1.total_cmp(&b.1)) {
        Some((place, _)) => {
            let needle = log::needle(&swatches[place].swatch);
            format!("{words} Nearest to the planned stitches, washed: {}, {needle}.", swatch_name(place))
        }
        None => format!("{words} None was washed and measured yet."),
    }
}
