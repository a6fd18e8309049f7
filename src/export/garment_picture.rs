//! What is knitted, put together and laid flat, stitch by stitch: the picture of a pattern sheet.

use super::chart_picture::{INK, LINE_INK, QUIET_INK};
use super::drawing::{Align, Item, Rgb, Text};
use super::text::Weight;
use crate::chart::Cell;
use crate::knit::pieces::{
    Fabric, Garment, LaidPiece, LaidRow, Measure, PointCm, WorkedBand, WorkedExtra, WorkedPiece,
};
use crate::project::Project;

/// Least width and height of what is painted, in mm: finer than any printer shows.
const FINEST: f64 = 0.12;
/// Light of a purl column of a rib against a knit one (our judgement, as in the window's picture).
const PURL: f64 = 0.82;
/// Between both sides, in mm.
const GAP: f64 = 8.0;
/// Room for the words under a side.
const WORDS: f64 = 5.0;
/// Font size of those words.
const LABEL: f64 = 2.82;
/// Largest scale, in mm to the cm: as large as life.
const LARGEST: f64 = 10.0;
/// How far a row is painted under the next and a stitch under its neighbour, in rows and stitches, so that no
/// paper shines through.
const OVER: f64 = 0.4;

/// A picture of the whole.
pub struct Assembled {
    /// In mm from its top-left corner.
    pub items: Vec<Item>,
    /// Width and height in mm.
    pub size: [f64; 2],
    /// In words, for whoever cannot see it.
    pub told: String,
}

/// Draws the pieces of one size put together, front and back, in at most `width` x `height` mm; `None` when
/// nothing can be laid out.
pub fn draw(project: &Project, pieces: &[WorkedPiece], [width, height]: [f64; 2]) -> Option<Assembled> {
    let garment = Garment::of(pieces, project.plan.gauge);
    let sides: Vec<(&[LaidPiece], [f64; 4])> = [&garment.front, &garment.back]
        .into_iter()
        .filter_map(|side| Some((side.as_slice(), Garment::extent(side)?)))
        .collect();
    let wide: f64 = sides.iter().map(|(_, [left, right, ..])| right - left).sum();
    let high = sides.iter().map(|(_, [_, _, bottom, top])| top - bottom).fold(0.0, f64::max);
    let gaps = GAP * (sides.len().max(1) - 1) as f64;
    let scale = ((width - gaps) / wide).min((height - WORDS) / high).min(LARGEST);
    if sides.is_empty() || !scale.is_finite() || scale <= 0.0 {
        return None;
    }
    let stitches = Stitches::of(project, pieces)?;
    let names = side_names(project, pieces, &garment);
    let total = wide * scale + gaps;
    let mut items = Vec::new();
    let mut x = (width - total).max(0.0) / 2.0;
    for ((side, [left, right, _, top]), name) in sides.iter().zip(names) {
        let painter = Painter { stitches: &stitches, scale, corner: [x - left * scale, top * scale] };
        items.extend(side.iter().flat_map(|laid| painter.piece(laid)));
        if sides.len() > 1 {
            items.push(Item::Text(Text {
                x: x + (right - left) * scale / 2.0,
                y: high * scale + WORDS - 1.0,
                text: name.to_owned(),
                size: LABEL,
                weight: Weight::Regular,
                align: Align::Middle,
                ink: QUIET_INK,
            }));
        }
        x += (right - left) * scale + GAP;
    }
    let words = if sides.len() > 1 { WORDS } else { 0.0 };
    Some(Assembled { items, size: [total, high * scale + words], told: told(pieces, &garment) })
}

/// What the two sides are called: those of a hand or a foot where a thumb or a heel opens on one of them.
fn side_names(project: &Project, pieces: &[WorkedPiece], garment: &Garment) -> [&'static str; 2] {
    if garment.worn {
        return ["Front", "Back"];
    }
    let opens = |band: &WorkedBand| {
        band.then.iter().find_map(|extra| match extra {
            WorkedExtra::Opening { stitches, before, .. } => {
                Some(2 * before.0 + stitches <= band.end.stitches)
            }
            _ => None,
        })
    };
    let Some(first) = pieces.iter().flat_map(|piece| &piece.bands).find_map(opens) else {
        // With its thumb at the right edge this is the back of a left hand and the palm of a right one.
        let pair = pieces.iter().any(|piece| piece.sided && piece.rests_at_marker().is_some());
        let hands = project.pieces.pieces.iter().any(|piece| piece.measures().contains(&Measure::Hand));
        return if pair && hands {
            ["Left: back, right: palm", "Left: palm, right: back"]
        } else {
            ["One side", "Other side"]
        };
    };
    let fits = |measure| project.pieces.pieces.iter().any(|piece| piece.measures().contains(&measure));
    let [with, without] = match (fits(Measure::Hand), fits(Measure::Foot)) {
        (true, _) => ["Palm", "Back of the hand"],
        (_, true) => ["Sole", "Instep"],
        _ => ["Side with the opening", "Other side"],
    };
    if first { [with, without] } else { [without, with] }
}

fn told(pieces: &[WorkedPiece], garment: &Garment) -> String {
    let names: Vec<String> = pieces
        .iter()
        .enumerate()
        .filter(|(place, _)| !garment.left_out.contains(place))
        .map(|(_, piece)| piece.name.to_lowercase())
        .collect();
    let sides = if garment.back.is_empty() { "" } else { ", from both sides" };
    format!("Picture of the finished knitting, stitch by stitch in its colours{sides}: {}.", names.join(", "))
}

/// The colours of all rows, each from where a right-side row begins.
pub(super) struct Stitches {
    rows: Vec<Vec<Vec<Rgb>>>,
}

impl Stitches {
    /// `None` when a band's part of the chart holds no stitch.
    pub fn of(project: &Project, pieces: &[WorkedPiece]) -> Option<Self> {
        let ink = |cell: Cell| {
            let slot = cell.index().and_then(|slot| project.palette.slots().get(slot));
            slot.map_or(LINE_INK, |slot| slot.colour.to_srgb8())
        };
        Some(Self { rows: stitch_rows(project, pieces, |cell, purl| shaded(ink(cell), purl))? })
    }
}

/// What `look` makes of every stitch, by its cell and whether its purl side is seen: by piece and row, each row from
/// where a right-side row begins. `None` when a band's part of the chart holds no stitch.
pub(super) fn stitch_rows<T>(
    project: &Project,
    pieces: &[WorkedPiece],
    look: impl Fn(Cell, bool) -> T,
) -> Option<Vec<Vec<Vec<T>>>> {
    let pattern = project.pattern();
    let piece = |piece: &WorkedPiece| -> Option<Vec<Vec<T>>> {
        let mut rows = Vec::new();
        let mut made = Vec::new();
        for band in &piece.bands {
            let cells = band.cells(&pattern)?;
            for row in 0..band.rows() {
                cells.row(row, &mut made);
                let worked = made.iter().rev().filter(|cell| cell.index().is_some()).enumerate();
                let seen = |(place, cell): (usize, &Cell)| look(*cell, purl(band.fabric, place, row));
                rows.push(worked.map(seen).collect());
            }
        }
        Some(rows)
    };
    pieces.iter().map(piece).collect()
}

/// Whether a stitch shows its purl side.
const fn purl(fabric: Fabric, from_right: usize, row: u32) -> bool {
    match fabric {
        Fabric::Ribbing { knit, purl } => {
            let of = knit as usize + purl as usize;
            of > 0 && from_right % of >= knit as usize
        }
        Fabric::Garter => row % 2 == 1,
        Fabric::Moss => (from_right + row as usize) % 2 == 1,
        Fabric::Plain | Fabric::Chart { .. } => false,
    }
}

fn shaded(ink: Rgb, purl: bool) -> Rgb {
    if purl { ink.map(|channel| (f64::from(channel) * PURL) as u8) } else { ink }
}

/// Paints pieces as they lie.
pub(super) struct Painter<'a> {
    /// What they are knitted in.
    pub stitches: &'a Stitches,
    /// mm to the cm.
    pub scale: f64,
    /// The origin of the silhouette on the paper.
    pub corner: [f64; 2],
}

impl Painter<'_> {
    fn at(&self, (x, y): PointCm) -> [f64; 2] {
        [self.corner[0] + x * self.scale, self.corner[1] - y * self.scale]
    }

    /// The stitches of a piece, its outline over them.
    pub fn piece(&self, laid: &LaidPiece) -> Vec<Item> {
        let mut items = Vec::new();
        let Some(first) = laid.rows.first() else { return items };
        let tall = distance(first.lower[0], first.upper[0]) * self.scale;
        let step = (FINEST / tall.max(1e-6)).ceil().clamp(1.0, 1e6) as usize;
        let top = laid.rows.len().div_ceil(step);
        for (place, rows) in laid.rows.chunks(step).enumerate() {
            let last = &rows[rows.len() - 1];
            let upper =
                if place + 1 < top { raised(&rows[0].lower, &last.upper) } else { last.upper.clone() };
            self.row(laid.piece, &rows[0], &upper, &mut items);
        }
        let points = laid.outline().into_iter().map(|point| self.at(point)).collect();
        items.push(Item::Line { points, width: 0.25, closed: true, ink: INK });
        items
    }

    /// The stitches of a row, neighbours of one colour together.
    fn row(&self, piece: usize, row: &LaidRow, upper: &[PointCm], items: &mut Vec<Item>) {
        let Some(stitches) = self.stitches.rows[piece].get(row.row as usize).filter(|row| !row.is_empty())
        else {
            return;
        };
        let count = stitches.len() as f64;
        let (from, to) = (row.shown.0 * count, row.shown.1 * count);
        let long = distance(row.lower[0], row.lower[row.lower.len() - 1]) * self.scale;
        let samples = ((to - from).round().max(1.0)).min((long / FINEST).ceil().max(1.0)) as usize;
        let ink = |sample: usize| {
            let stitch = (from + (sample as f64 + 0.5) * (to - from) / samples as f64) as usize;
            stitches[stitch % stitches.len()]
        };
        let inks: Vec<Rgb> = (0..samples).map(ink).collect();
        let mut begin = 0;
        for run in inks.chunk_by(|a, b| a == b) {
            let end = begin + run.len();
            let over = if end < samples { OVER } else { 0.0 };
            let shares = (begin as f64 / samples as f64, (end as f64 + over) / samples as f64);
            let mut points = between(&row.lower, shares);
            points.extend(between(upper, shares).into_iter().rev());
            let points = points.into_iter().map(|point| self.at(point)).collect();
            items.push(Item::Polygon { points, ink: run[0] });
            begin = end;
        }
    }
}

fn distance(a: PointCm, b: PointCm) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// The upper edge of a row, a hair further from the lower one.
fn raised(lower: &[PointCm], upper: &[PointCm]) -> Vec<PointCm> {
    let up = |(low, high): (&PointCm, &PointCm)| {
        (high.0 + OVER * (high.0 - low.0), high.1 + OVER * (high.1 - low.1))
    };
    lower.iter().zip(upper).map(up).collect()
}

/// The part of an edge between two shares of its length, ends included.
pub(super) fn between(edge: &[PointCm], (from, to): (f64, f64)) -> Vec<PointCm> {
    let last = edge.len().saturating_sub(1) as f64;
    let at = |share: f64| {
        let place = (share * last).clamp(0.0, last);
        let (low, part) = (place.floor() as usize, place.fract());
        let (a, b) = (edge[low], edge[(low + 1).min(edge.len() - 1)]);
        (a.0 + (b.0 - a.0) * part, a.1 + (b.1 - a.1) * part)
    };
    let first = (from * last).floor() as usize + 1;
    let inner = (first..edge.len()).take_while(|i| (*i as f64) < to * last - 1e-9).map(|i| edge[i]);
    std::iter::once(at(from)).chain(inner).chain(std::iter::once(at(to))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::file::demos;

    #[test]
    fn the_demos_fit_their_room_and_show_their_colours() {
        for demo in demos() {
            let project = demo.project().unwrap();
            let pieces = project.work_pieces(&project.pieces.size()).unwrap();
            let picture = draw(&project, &pieces, [180.0, 80.0]).unwrap();
            let [width, height] = picture.size;
            assert!(width <= 180.0 + 1e-6 && height <= 80.0 + 1e-6, "{}", demo.title);
            for slot in project.palette.slots() {
                let ink = slot.colour.to_srgb8();
                let seen = |item: &Item| matches!(item, Item::Polygon { ink: own, .. } if *own == ink);
                assert!(picture.items.iter().any(seen), "{}: {} is not seen", demo.title, slot.name);
            }
        }
    }

    #[test]
    fn a_part_of_an_edge_keeps_the_corners_between() {
        let edge = [(2.0, 0.0), (1.0, 1.0), (0.0, 0.0)];
        assert_eq!(between(&edge, (0.0, 1.0)), edge);
        assert_eq!(between(&edge, (0.25, 0.75)), [(1.5, 0.5), (1.0, 1.0), (0.5, 0.5)]);
        assert_eq!(between(&edge, (0.0, 0.25)), [(2.0, 0.0), (1.5, 0.5)]);
    }
}
