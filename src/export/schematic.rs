//! The pieces drawn to scale with the knitted charts on them.

use super::chart_picture::{INK, LINE_INK, QUIET_INK};
use super::drawing::{Align, Item, Rgb, Text};
use super::text::{self, CAP_HEIGHT, Weight};
use crate::chart::{Cell, Grid};
use crate::knit::pieces::{PieceOutline, PieceRow, PieceRows, Room, WorkedPiece};
use crate::project::Project;
use crate::units::LengthUnit;

/// Scales that a schematic can have, largest first.
const SCALES: [f64; 16] =
    [1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0];
/// Font size of labels, in mm.
const LABEL: f64 = 2.5;
/// Room for the widths above and below a piece, and its name.
const ABOVE: f64 = 5.0;
const BELOW: f64 = 10.0;
/// Room for the names of the bands at the right of a piece.
const BESIDE: f64 = 34.0;

/// Room around a piece.
const ROOM: Room = Room { above: ABOVE, below: BELOW, beside: BESIDE, narrowest: 20.0 };

/// Pieces that stand side by side.
pub struct DrawnShelf {
    /// The drawing, in mm from its top-left corner.
    pub items: Vec<Item>,
    /// Its height in mm.
    pub height: f64,
}

/// The pieces of a project at one scale, on shelves.
pub struct Schematic {
    /// From the first piece to the last.
    pub shelves: Vec<DrawnShelf>,
    /// The drawing is 1 : this.
    pub scale: f64,
}

/// Draws counted pieces at the largest scale at which they all fit in `width` x `height` mm.
pub fn draw(project: &Project, pieces: &[WorkedPiece], width: f64, height: f64) -> Schematic {
    let gauge = project.plan.gauge;
    let pieces: Vec<Drawn> = pieces
        .iter()
        .map(|piece| Drawn {
            project,
            outline: PieceOutline::of(piece, gauge),
            fabric: piece.fabric(&project.pattern()),
        })
        .collect();
    let sizes: Vec<(f64, f64)> =
        pieces.iter().map(|piece| (piece.outline.width_cm(), piece.outline.height_cm())).collect();
    let smaller = (1..200).map(|n| 40.0 + 10.0 * f64::from(n));
    let scales = SCALES.into_iter().chain(smaller).map(|scale| 10.0 / scale);
    let Some(plan) = PieceRows::largest(scales, &sizes, &ROOM, (width, height)) else {
        return Schematic { shelves: Vec::new(), scale: SCALES[0] };
    };
    let shelf = |shelf: &PieceRow| {
        let foot = shelf.height - BELOW;
        let items = shelf.standing.iter().flat_map(|(i, x)| pieces[*i].items([*x, foot], plan.per_cm));
        DrawnShelf { items: items.collect(), height: shelf.height }
    };
    let scale = (100.0 / plan.per_cm).round() / 10.0;
    Schematic { shelves: plan.shelves.iter().map(shelf).collect(), scale }
}

/// A piece ready to be drawn.
struct Drawn<'a> {
    project: &'a Project,
    outline: PieceOutline,
    fabric: Option<Grid>,
}

impl Drawn<'_> {
    /// The piece with the middle of its first row at `foot`.
    fn items(&self, foot: [f64; 2], mm_per_cm: f64) -> Vec<Item> {
        let to_page = |(x, y): (f64, f64)| [foot[0] + x * mm_per_cm, foot[1] - y * mm_per_cm];
        let mut items = self.stitches(&to_page);
        for band in &self.outline.bands {
            if band.rows.0 > 0 && band.rows.0 < band.rows.1 {
                let half = band.width_cm.0 / 2.0;
                let ends = [(-half, band.y_cm.0), (half, band.y_cm.0)].map(&to_page);
                items.push(Item::Line { points: ends.to_vec(), width: 0.15, closed: false, ink: QUIET_INK });
            }
        }
        let corners = self.outline.corners().into_iter().map(&to_page).collect();
        items.push(Item::Line { points: corners, width: 0.35, closed: true, ink: INK });
        items.extend(self.labels(&to_page));
        items
    }

    /// The knitted stitches, neighbours of one colour taken together.
    fn stitches(&self, to_page: &dyn Fn((f64, f64)) -> [f64; 2]) -> Vec<Item> {
        let Some(fabric) = &self.fabric else { return Vec::new() };
        let mut items = Vec::new();
        for row in 0..fabric.height() {
            let Some((low, high)) = self.outline.row_box(row) else { continue };
            let worked: Vec<Cell> =
                fabric.row(row).iter().copied().filter(|cell| cell.index().is_some()).collect();
            // A tube lying double shows the first half of each round: its right half.
            let shown = if self.outline.tube { &worked[worked.len() / 2..] } else { &worked[..] };
            if shown.is_empty() {
                continue;
            }
            let ([left, bottom], [right, top]) = (to_page(low), to_page(high));
            let stitch = (right - left) / shown.len() as f64;
            let mut from = 0;
            for run in shown.chunk_by(|a, b| a == b) {
                let x = left + from as f64 * stitch;
                let width = run.len() as f64 * stitch;
                // A hair taller, so that rows leave no seam of paper between them.
                let height = (bottom - top) * 1.04;
                items.push(Item::Rect { x, y: top, width, height, ink: self.ink(run[0]) });
                from += run.len();
            }
        }
        items
    }

    fn ink(&self, cell: Cell) -> Rgb {
        let slot = cell.index().and_then(|slot| self.project.palette.slots().get(slot));
        slot.map_or(LINE_INK, |slot| slot.colour.to_srgb8())
    }

    fn labels(&self, to_page: &dyn Fn((f64, f64)) -> [f64; 2]) -> Vec<Item> {
        let mut items = Vec::new();
        let outline = &self.outline;
        let around = if outline.tube { 2.0 } else { 1.0 };
        let word = if outline.tube { "around" } else { "wide" };
        if let (Some(first), Some(last)) = (outline.bands.first(), outline.bands.last()) {
            let [x, y] = to_page((0.0, 0.0));
            let start = format!("{} {word}", self.length(first.width_cm.0 * around));
            items.push(label(&start, [x, y + 1.0 + LABEL], Align::Middle, Weight::Regular, INK));
            let make = if outline.copies > 1 { format!(" (make {})", outline.copies) } else { String::new() };
            let name = format!("{}{make}", outline.name);
            items.push(label(&name, [x, y + 2.6 + 2.0 * LABEL], Align::Middle, Weight::Semibold, INK));
            let [x, y] = to_page((0.0, outline.height_cm()));
            let end = self.length(last.width_cm.1 * around);
            items.push(label(&end, [x, y - 1.2], Align::Middle, Weight::Regular, INK));
        }
        let mut lowest = f64::INFINITY;
        for band in outline.bands.iter().filter(|band| band.rows.0 < band.rows.1) {
            let [x, middle] = to_page((outline.width_cm() / 2.0, f64::midpoint(band.y_cm.0, band.y_cm.1)));
            // Labels of low bands move up until they clear the one below.
            let y = middle.min(lowest - LABEL * 1.15);
            lowest = y;
            let words = format!("{}, {}", band.name, self.length(band.y_cm.1 - band.y_cm.0));
            let words = text::fitted(&words, LABEL, Weight::Regular, BESIDE - 4.0);
            let baseline = y + CAP_HEIGHT * LABEL / 2.0;
            items.push(label(&words, [x + 1.5, baseline], Align::Start, Weight::Regular, QUIET_INK));
        }
        items
    }

    fn length(&self, cm: f64) -> String {
        let unit: LengthUnit = self.project.units;
        format!("{:.1} {}", unit.from_cm(cm), unit.length_suffix())
    }
}

fn label(words: &str, [x, y]: [f64; 2], align: Align, weight: Weight, ink: Rgb) -> Item {
    Item::Text(Text { x, y, text: words.to_owned(), size: LABEL, weight, align, ink })
}
