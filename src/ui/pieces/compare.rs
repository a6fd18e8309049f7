//! All sizes side by side: body, ease, and what each piece comes to in each of them.

use egui::{Align, Button, Layout, RichText, Ui, Vec2};

use super::{Draft, sizes, words};
use crate::app::pieces_desk::{PiecesWorked, SizeWorked};
use crate::knit::pieces::{Count, Opening, WorkedBand, WorkedPiece};
use crate::knit::{Construction, Passing};
use crate::plain_text::sentence;
use crate::project::Project;
use crate::ui::theme::{STEP, Tokens, semibold};
use crate::ui::widgets::{Icon, caption, heading, item, name, truncated};

/// Width of the column that says what a row holds.
const WHAT: f32 = 224.0;
/// Least and greatest width of a size.
const COLUMN: (f32, f32) = (136.0, 176.0);
/// Height of a row.
const ROW: f32 = 24.0;

/// A row of the table.
enum Line {
    /// The name of a group of rows.
    Group(String),
    /// What it holds, its figure in each size, and a sentence about it.
    Figures { what: String, cells: Vec<String>, tip: &'static str },
}

/// Shows the table; a click on a size makes it the worked one.
pub fn show(ui: &mut Ui, project: &Project, worked: Option<&PiecesWorked>, draft: &mut Draft) {
    let Some(worked) = worked else {
        caption(ui, "Counting…");
        return;
    };
    heading(ui, "Every size");
    caption(ui, "Figures per piece. A click on a size makes it the worked one.");
    ui.spacing_mut().item_spacing = Vec2::new(0.0, 0.0);
    ui.add_space(STEP / 2.0);
    let sizes = worked.sizes.len() as f32;
    let column = ((ui.clip_rect().width() - WHAT - 2.0 * STEP) / sizes).clamp(COLUMN.0, COLUMN.1);
    header(ui, worked, column, draft);
    let tokens = Tokens::of(ui);
    let width = WHAT + column * sizes;
    let mut striped = false;
    for line in lines(project, worked) {
        match line {
            Line::Group(title) => {
                ui.add_space(STEP);
                ui.label(RichText::new(title).family(semibold()));
                ui.add_space(STEP / 2.0);
                striped = false;
            }
            Line::Figures { what, cells, tip } => {
                striped = !striped;
                let (rect, response) = ui.allocate_exact_size(Vec2::new(width, ROW), egui::Sense::hover());
                if striped {
                    ui.painter().rect_filled(rect, 3, tokens.panel);
                }
                let label = format!("{what}: {}", cells.join(", "));
                response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, &label));
                figures(ui, rect, (&what, &cells), (column, worked.chosen));
                if !tip.is_empty() {
                    response.on_hover_text(tip);
                }
            }
        }
    }
    ui.spacing_mut().item_spacing = Vec2::new(STEP, STEP * 0.75);
    ui.add_space(STEP);
    for (size, error) in errors(worked) {
        item(ui, Icon::Warning, &format!("{size}: {error}"));
    }
    ui.add_space(STEP);
}

/// The names of the sizes, over their columns.
fn header(ui: &mut Ui, worked: &PiecesWorked, column: f32, draft: &mut Draft) {
    ui.horizontal(|ui| {
        ui.add_space(WHAT);
        for (place, size) in worked.sizes.iter().enumerate() {
            let layout = Layout::right_to_left(Align::Center);
            ui.allocate_ui_with_layout(Vec2::new(column, 28.0), layout, |ui| {
                ui.set_width(column);
                let chosen = place == worked.chosen;
                let text = RichText::new(&size.size.name).family(semibold());
                let button = ui.add(Button::selectable(chosen, text).truncate());
                name(&button, &format!("Work size {}", size.size.name));
                if button.clicked() && !chosen && place < draft.plan.sizes.len() {
                    draft.plan.chosen = place;
                    draft.step("Size");
                }
            });
        }
    });
}

fn figures(ui: &Ui, rect: egui::Rect, (what, cells): (&str, &[String]), (column, chosen): (f32, usize)) {
    let tokens = Tokens::of(ui);
    let body = egui::FontId::proportional(crate::ui::theme::BODY);
    let left = truncated(ui, what, body.clone(), tokens.text, WHAT - STEP);
    let y = |galley: &egui::Galley| rect.center().y - galley.size().y / 2.0;
    ui.painter().galley(egui::pos2(rect.left() + STEP / 2.0, y(&left)), left, tokens.text);
    for (place, cell) in cells.iter().enumerate() {
        let ink = if place == chosen { tokens.text } else { tokens.weak };
        let galley = truncated(ui, cell.as_str(), body.clone(), ink, column - STEP);
        let right = rect.left() + WHAT + column * (place + 1) as f32 - STEP;
        ui.painter().galley(egui::pos2(right - galley.size().x, y(&galley)), galley, ink);
    }
}

/// What cannot be worked, each once per size.
fn errors(worked: &PiecesWorked) -> Vec<(&str, String)> {
    let of_size = |size: &'_ crate::app::pieces_desk::SizeWorked| {
        let errors = size.pieces.iter().filter_map(|piece| piece.as_ref().err().map(sentence));
        errors.collect::<Vec<_>>()
    };
    worked
        .sizes
        .iter()
        .flat_map(|size| of_size(size).into_iter().map(move |error| (size.size.name.as_str(), error)))
        .collect()
}

/// The rows of the table.
fn lines(project: &Project, worked: &PiecesWorked) -> Vec<Line> {
    let units = project.units;
    let mut lines = Vec::new();
    let used = sizes::used_measures(&project.pieces.pieces);
    if !used.is_empty() {
        lines.push(Line::Group("The wearer".to_owned()));
        for measure in used {
            let cells = worked.sizes.iter().map(|size| {
                size.size
                    .body
                    .get(measure)
                    .map_or_else(|| "not known".to_owned(), |cm| words::length(cm, units))
            });
            lines.push(Line::Figures { what: measure.name().to_owned(), cells: cells.collect(), tip: "" });
        }
        let cells = worked.sizes.iter().map(|size| words::ease(size.size.ease_cm, units)).collect();
        let tip = "Garment girth less body girth, as you want it: change it on the left";
        lines.push(Line::Figures { what: "Ease planned".to_owned(), cells, tip });
        if worked.sizes.iter().any(|size| size.ease_cm.is_some()) {
            let cell = |ease: Option<f64>| ease.map_or_else(|| "–".to_owned(), |cm| words::ease(cm, units));
            let cells = worked.sizes.iter().map(|size| cell(size.ease_cm)).collect();
            let tip = "What whole stitches and whole repeats of the chart come to";
            lines.push(Line::Figures { what: "Ease as worked".to_owned(), cells, tip });
        }
    }
    for (place, piece) in project.pieces.pieces.iter().enumerate() {
        let copies = if piece.copies > 1 { format!(" × {}", piece.copies) } else { String::new() };
        lines.push(Line::Group(format!("{}{copies}", piece.name)));
        Table { project, worked, place }.piece(&mut lines);
    }
    lines
}

/// The rows of one piece.
struct Table<'a> {
    project: &'a Project,
    worked: &'a PiecesWorked,
    place: usize,
}

impl Table<'_> {
    /// A row with `figure` of the piece in each size; left out where no size has one.
    fn row(
        &self,
        lines: &mut Vec<Line>,
        what: String,
        tip: &'static str,
        figure: impl Fn(&WorkedPiece) -> Option<String>,
    ) {
        let cell = |size: &crate::app::pieces_desk::SizeWorked| match size.pieces.get(self.place) {
            Some(Ok(piece)) => figure(piece),
            _ => None,
        };
        let cells: Vec<Option<String>> = self.worked.sizes.iter().map(cell).collect();
        if cells.iter().any(Option::is_some) {
            let cells = cells.into_iter().map(|cell| cell.unwrap_or_else(|| "–".to_owned())).collect();
            lines.push(Line::Figures { what, cells, tip });
        }
    }

    fn width(&self, stitches: u32) -> String {
        let cm = self.project.plan.gauge.width(stitches).get();
        format!("{stitches} sts, {}", words::length(cm, self.project.units))
    }

    fn off(&self, count: Count) -> Option<String> {
        count.off_cm(self.project.plan.gauge).map(|off| words::off(off, self.project.units))
    }

    fn piece(&self, lines: &mut Vec<Line>) {
        let gauge = self.project.plan.gauge;
        let units = self.project.units;
        let Some(piece) = self.project.pieces.pieces.get(self.place) else { return };
        let way = if piece.construction == Construction::InTheRound { "around" } else { "wide" };
        self.row(lines, format!("At the start, {way}"), "", |piece| Some(self.width(piece.worn_ends().0)));
        let cost = "What the whole repeat costs against the width asked for";
        self.row(lines, "  off what was asked".to_owned(), cost, |piece| {
            piece.bands.first().and_then(|band| self.off(band.start))
        });
        self.row(lines, format!("At the end, {way}"), "", |piece| {
            let (start, end) = piece.worn_ends();
            (start != end).then(|| self.width(end))
        });
        self.row(lines, "Length".to_owned(), "", |piece| {
            let [_, rows] = piece.construction.row_words();
            Some(format!("{} {rows}, {}", piece.rows(), words::length(piece.height_cm(gauge), units)))
        });
        self.row(lines, "  off what was asked".to_owned(), "Rows are whole", |piece| {
            piece.wanted_cm.map(|wanted| words::off(piece.height_cm(gauge) - wanted, units))
        });
        self.openings(lines);
        for (index, band) in piece.bands.iter().enumerate() {
            let of = |piece: &WorkedPiece, figure: &dyn Fn(&WorkedBand) -> Option<String>| {
                piece.bands.get(index).filter(|band| band.chart.is_some()).and_then(figure)
            };
            let name = &band.name;
            // Between bridges the chart goes on; its counts follow from the band below.
            let repeated = |band: &WorkedBand| band.steeks.is_none();
            self.row(lines, format!("{name}: stitches"), "", |piece| {
                of(piece, &|band| Some(words::stitches(band)))
            });
            self.row(lines, format!("{name}: repeats"), "Across and up", |piece| {
                of(piece, &|band| band.chart.as_ref().map(repeats))
            });
            self.row(lines, "  off what was asked".to_owned(), cost, |piece| {
                of(piece, &|band| self.off(band.start))
            });
            let beside = "The next count that keeps the repeat, and what it would cost";
            self.row(lines, "  a repeat fewer".to_owned(), beside, |piece| {
                of(piece, &|band| {
                    repeated(band).then(|| self.beside(band.start, band.start.neighbours().0))?
                })
            });
            self.row(lines, "  a repeat more".to_owned(), beside, |piece| {
                of(piece, &|band| {
                    repeated(band).then(|| self.beside(band.start, Some(band.start.neighbours().1)))?
                })
            });
        }
    }

    /// How far its opening surely stretches, and what must pass.
    fn openings(&self, lines: &mut Vec<Line>) {
        let units = self.project.units;
        let own =
            |size: &'_ SizeWorked| size.openings.iter().find(|opening| opening.piece == self.place).cloned();
        let openings: Vec<Option<Opening>> = self.worked.sizes.iter().map(own).collect();
        let Some(kind) = openings.iter().flatten().map(|opening| opening.kind).next() else { return };
        let mut row = |what: String, tip: &'static str, figure: &dyn Fn(&Opening) -> String| {
            let cell = |opening: &Option<Opening>| opening.as_ref().map_or_else(|| "–".to_owned(), figure);
            lines.push(Line::Figures { what, cells: openings.iter().map(cell).collect(), tip });
        };
        row(format!("{} surely stretches to", kind.name()), "What its edge surely gives", &|opening| {
            words::length(opening.surely_cm(), units)
        });
        row("  at most to".to_owned(), "What the best that is known of such an edge gives", &|opening| {
            words::length(opening.passage.reach_cm, units)
        });
        let passer = kind.must_pass().name().to_lowercase();
        row(format!("  {passer} must pass"), "What does not pass is a finding", &|opening| {
            let verdict = match opening.passage.verdict {
                Passing::Passes => "passes",
                Passing::Barely => "barely",
                Passing::DoesNot => "does not",
            };
            format!("{}, {verdict}", words::length(opening.must_pass_cm, units))
        });
    }

    /// Another count and its cost: against what was asked for, else against the count itself.
    fn beside(&self, count: Count, other: Option<Count>) -> Option<String> {
        let other = other?;
        let gauge = self.project.plan.gauge;
        let cost = other.off_cm(gauge).unwrap_or_else(|| other.finished_cm(gauge) - count.finished_cm(gauge));
        Some(format!("{} sts, {}", other.stitches, words::off(cost, self.project.units)))
    }
}

/// `15 × 1`, with what does not work out.
fn repeats(chart: &crate::knit::pieces::ChartFit) -> String {
    let over = if chart.left_over > 0 { format!(", {} over", chart.left_over) } else { String::new() };
    let up = if chart.rows_over > 0 { format!("{}+", chart.up) } else { chart.up.to_string() };
    let broken = if chart.divides() || chart.left_over > 0 { "" } else { ", not throughout" };
    format!("{} × {up}{over}{broken}", chart.across)
}
