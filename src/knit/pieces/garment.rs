//! The worked pieces put together: where each row of each piece lies on the front and on the back.
//!
//! Lengths are those of the stitches and rows, so that what is drawn on it has its true proportions.
//! How a sleeve hangs and how far a neck dips is our judgement: a garment lying on a table.

use super::garment_neck::{self, NeckEdges};
use super::garment_steeks;
use super::schematic::{PieceOutline, PointCm};
use super::worked::{Taken, WorkedExtra, WorkedPiece};
use crate::knit::{Construction, Gauge};

/// How far a sleeve that runs into a yoke hangs from the upright, in degrees (our judgement).
const SLEEVE_HANGS: f64 = 38.0;
/// How far a thumb leans out, in degrees (our judgement).
const THUMB_LEANS: f64 = 28.0;
/// Dip of the neck over its half width, in front and at the back (our judgement).
const NECK_DIPS: [f64; 2] = [0.45, 0.12];
/// Room between pieces that are not joined, in cm.
const APART: f64 = 4.0;
/// Points along a row that is bent.
pub(super) const POINTS: usize = 41;

/// A row as it lies.
#[derive(Clone, Debug, PartialEq)]
pub struct LaidRow {
    /// Which row of the piece, from 0.
    pub row: u32,
    /// What of it is seen, as shares of its stitches from where a right-side row begins, at the right; over
    /// 1 it goes on at the beginning of the round.
    pub shown: (f64, f64),
    /// Its lower edge from right to left, in cm: points at even distances along the stitches.
    pub lower: Vec<PointCm>,
    /// Its upper edge, in as many points.
    pub upper: Vec<PointCm>,
}

/// A piece as far as it is seen from one side.
#[derive(Clone, Debug, PartialEq)]
pub struct LaidPiece {
    /// Which piece, by its place.
    pub piece: usize,
    /// Its rows, from the first.
    pub rows: Vec<LaidRow>,
}

impl LaidPiece {
    /// A piece lying by itself, the middle of its first row at the origin; of a tube the first half of each
    /// round. Several where it is cut open.
    pub fn alone(place: usize, pieces: &[WorkedPiece], gauge: Gauge) -> Vec<Self> {
        let outlines = pieces.iter().map(|piece| PieceOutline::of(piece, gauge)).collect();
        let all = All { pieces, outlines, gauge };
        let shown = if all.outlines[place].tube { (0.0, 0.5) } else { (0.0, 1.0) };
        all.lay(place, shown, Stand::upright((0.0, 0.0)))
    }

    /// Its outline: up the right side and down the left, ends included.
    pub fn outline(&self) -> Vec<PointCm> {
        let (Some(first), Some(last)) = (self.rows.first(), self.rows.last()) else { return Vec::new() };
        let right = self.rows.iter().flat_map(|row| [row.lower.first(), row.upper.first()]).flatten();
        let left = self.rows.iter().rev().flat_map(|row| [row.upper.last(), row.lower.last()]).flatten();
        let mut points: Vec<PointCm> = right.copied().collect();
        points.extend(last.upper.iter().copied());
        points.extend(left.copied());
        points.extend(first.lower.iter().rev().copied());
        points.dedup();
        points
    }
}

/// What is knitted, put together, from both sides. What lies under comes first.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Garment {
    /// Seen from the front.
    pub front: Vec<LaidPiece>,
    /// Seen from the back; nothing where all pieces are flat.
    pub back: Vec<LaidPiece>,
    /// Whether it is worn on the body: a body with sleeves.
    pub worn: bool,
    /// Pieces that have no place in it, such as a band picked up along an edge.
    pub left_out: Vec<usize>,
}

impl Garment {
    /// Lays the pieces of one size together.
    pub fn of(pieces: &[WorkedPiece], gauge: Gauge) -> Self {
        let outlines: Vec<PieceOutline> = pieces.iter().map(|piece| PieceOutline::of(piece, gauge)).collect();
        let all = All { pieces, outlines, gauge };
        all.yoked().unwrap_or_else(|| all.stacked())
    }

    /// Left, right, bottom and top of one side, in cm; `None` when nothing lies there.
    pub fn extent(side: &[LaidPiece]) -> Option<[f64; 4]> {
        let points =
            side.iter().flat_map(|piece| &piece.rows).flat_map(|row| row.lower.iter().chain(&row.upper));
        let around = points.fold([f64::MAX, f64::MIN, f64::MAX, f64::MIN], |[l, r, b, t], (x, y)| {
            [l.min(*x), r.max(*x), b.min(*y), t.max(*y)]
        });
        (around[0] < around[1] && around[2] < around[3]).then_some(around)
    }
}

/// Where a piece stands: the middle of its first row, and which way is right and up.
#[derive(Clone, Copy)]
pub(super) struct Stand {
    foot: PointCm,
    right: PointCm,
    up: PointCm,
}

impl Stand {
    const fn upright(foot: PointCm) -> Self {
        Self { foot, right: (1.0, 0.0), up: (0.0, 1.0) }
    }

    /// Turned clockwise by an angle in degrees.
    fn turned(foot: PointCm, degrees: f64) -> Self {
        let (sin, cos) = degrees.to_radians().sin_cos();
        Self { foot, right: (cos, -sin), up: (sin, cos) }
    }

    pub(super) fn at(&self, x: f64, y: f64) -> PointCm {
        (self.foot.0 + x * self.right.0 + y * self.up.0, self.foot.1 + x * self.right.1 + y * self.up.1)
    }
}

/// A piece that stands somewhere, with what each side shows of it.
#[derive(Clone, Copy)]
pub(super) struct Placed {
    pub(super) piece: usize,
    pub(super) stand: Stand,
    /// Shares of its rows seen from the front and from the back.
    shown: [Option<(f64, f64)>; 2],
}

/// The one group that is taken up; new stitches over a gap lie beside it.
fn only_group(taken: &[Taken]) -> Option<&str> {
    let mut groups = taken.iter().filter_map(|taken| match taken {
        Taken::Group { name, .. } => Some(name.as_str()),
        _ => None,
    });
    let only = groups.next().filter(|_| groups.next().is_none())?;
    let beside = |taken: &Taken| !matches!(taken, Taken::Opening { .. });
    taken.iter().all(beside).then_some(only)
}

pub(super) struct All<'a> {
    pub(super) pieces: &'a [WorkedPiece],
    outlines: Vec<PieceOutline>,
    pub(super) gauge: Gauge,
}

impl All<'_> {
    fn height(&self, piece: usize) -> f64 {
        self.outlines[piece].height_cm()
    }

    /// Half the drawn width of a piece at its end.
    fn top_half(&self, piece: usize) -> f64 {
        self.outlines[piece].bands.last().map_or(0.0, |band| band.width_cm.1 / 2.0)
    }

    /// The rows of a piece that lies even, in several parts where it is cut open.
    pub(super) fn lay(&self, piece: usize, shown: (f64, f64), stand: Stand) -> Vec<LaidPiece> {
        let worked = &self.pieces[piece];
        if !garment_steeks::has_sides(worked) {
            return vec![self.even(piece, shown, stand)];
        }
        garment_steeks::parts(worked, u32::from(shown.0 >= 0.5), self.gauge)
            .into_iter()
            .map(|rows| {
                let stood = |edge: Vec<PointCm>| edge.into_iter().map(|(x, y)| stand.at(x, y)).collect();
                let row = |row: LaidRow| LaidRow { lower: stood(row.lower), upper: stood(row.upper), ..row };
                LaidPiece { piece, rows: rows.into_iter().map(row).collect() }
            })
            .collect()
    }

    /// The rows of a piece that lies even.
    fn even(&self, piece: usize, shown: (f64, f64), stand: Stand) -> LaidPiece {
        let row_height = self.gauge.row_height_cm();
        let rows = (0..self.pieces[piece].rows()).filter_map(|row| {
            let [low, high] = self.outlines[piece].row_edges(row)?;
            let edge = |(left, right): (f64, f64), row: u32| {
                let y = f64::from(row) * row_height;
                vec![stand.at(right, y), stand.at(left, y)]
            };
            Some(LaidRow { row, shown, lower: edge(low, row), upper: edge(high, row + 1) })
        });
        LaidPiece { piece, rows: rows.collect() }
    }

    /// The piece that sets this group aside, with the shares of its last row where the group begins and
    /// ends. A copy's own word before the name is passed over.
    fn source(&self, group: &str) -> Option<(usize, (f64, f64))> {
        self.pieces.iter().enumerate().find_map(|(place, piece)| {
            let named =
                |copy| piece.copy_name(copy).and_then(|copy| group.strip_prefix(copy)).map(str::trim_start);
            let own: Vec<&str> = match piece.copies {
                0 | 1 => vec![group],
                copies => (0..copies).filter_map(named).collect(),
            };
            let at = piece.live.iter().position(|part| own.contains(&part.name.as_str()))?;
            let total = piece.live.iter().map(|part| part.stitches).sum::<u32>().max(1);
            // In the round a first part that rests lies over the marker.
            let halved = piece.construction == Construction::InTheRound && piece.live[0].rests;
            let over = if halved { piece.live[0].stitches / 2 } else { 0 };
            let before: u32 = piece.live[..at].iter().map(|part| part.stitches).sum();
            let share = |n: u32| (f64::from(n) - f64::from(over)) / f64::from(total);
            Some((place, (share(before), share(before + piece.live[at].stitches))))
        })
    }

    /// Body, sleeves and yoke, when there is a piece that joins a sleeve, a front, a sleeve and a back.
    fn yoked(&self) -> Option<Garment> {
        let groups = |piece: &WorkedPiece| -> Option<Vec<(usize, u32)>> {
            let group = |taken: &Taken| match taken {
                Taken::Group { name, stitches } => Some((self.source(name)?.0, *stitches)),
                Taken::PickedUp { .. } | Taken::CastOn { .. } | Taken::Opening { .. } => None,
            };
            piece.taken.iter().map(group).collect()
        };
        let round = |piece: &WorkedPiece| piece.construction == Construction::InTheRound;
        let joined = self.pieces.iter().position(|piece| round(piece) && piece.taken.len() == 4)?;
        let groups = groups(&self.pieces[joined])?;
        let (sleeve, body) = (groups[0].0, groups[1].0);
        let order: Vec<usize> = groups.iter().map(|(piece, _)| *piece).collect();
        let fits = order == [sleeve, body, sleeve, body] && sleeve != body;
        if !fits || ![sleeve, body].iter().all(|piece| round(&self.pieces[*piece])) {
            return None;
        }
        let [left, front, right, back] = [0, 1, 2, 3].map(|i| f64::from(groups[i].1));
        let all = left + front + right + back;
        let (begins, turns) = (left / 2.0 / all, (left + front + right / 2.0) / all);
        let sides = [(begins, turns, left, front, right), (turns, 1.0 + begins, right, back, left)];
        let mut garment = Garment { worn: true, ..Garment::default() };
        for (side, (from, to, first, middle, last)) in sides.into_iter().enumerate() {
            let yoke = Yoke::of(self, joined, [first / 2.0, middle, last / 2.0], NECK_DIPS[side]);
            let stand = |outwards: f64| {
                // The fold of the sleeve ends at the shoulder.
                let shoulder = if outwards > 0.0 { yoke.bottom[0] } else { yoke.bottom[3] };
                let turned = Stand::turned((0.0, 0.0), -outwards * SLEEVE_HANGS);
                let (half, long) = (outwards * self.top_half(sleeve), self.height(sleeve));
                let foot = turned.at(-half, -long);
                Stand { foot: (shoulder.0 + foot.0, shoulder.1 + foot.1), ..turned }
            };
            let halves = [(0.0, 0.5), (0.5, 1.0)];
            let laid = vec![
                self.even(sleeve, halves[1], stand(1.0)),
                self.even(sleeve, halves[0], stand(-1.0)),
                self.even(body, halves[side], Stand::upright((0.0, -self.height(body)))),
                yoke.laid(self, (from, to)),
            ];
            if side == 0 { garment.front = laid } else { garment.back = laid }
        }
        garment.left_out = (0..self.pieces.len()).filter(|i| ![joined, sleeve, body].contains(i)).collect();
        Some(garment)
    }

    /// Each piece on the one its stitches come from; what is cast on stands side by side.
    fn stacked(&self) -> Garment {
        let mut placed: Vec<Placed> = Vec::new();
        let mut garment = Garment::default();
        let mut right_end = 0.0;
        let seamed = self.seamed_sleeves();
        for (place, piece) in self.pieces.iter().enumerate() {
            if seamed == Some(place) {
                continue;
            }
            let own = match piece.taken.as_slice() {
                [] => {
                    let half = self.outlines[place].width_cm() / 2.0;
                    let x = if placed.is_empty() { 0.0 } else { right_end + APART + half };
                    right_end = x + half;
                    let tube = piece.construction == Construction::InTheRound;
                    let shown =
                        if tube { [Some((0.0, 0.5)), Some((0.5, 1.0))] } else { [Some((0.0, 1.0)), None] };
                    Some(Placed { piece: place, stand: Stand::upright((x, 0.0)), shown })
                }
                [Taken::Opening { name, .. }] => self.on_opening(place, name, &placed),
                taken => only_group(taken).and_then(|name| self.on_group(place, name, &placed)),
            };
            match own {
                Some(own) => placed.push(own),
                None => garment.left_out.push(place),
            }
        }
        if let Some(sleeve) = seamed {
            self.sew_on(sleeve, &placed, &mut garment);
        }
        for own in &placed {
            for (side, shown) in own.shown.iter().enumerate() {
                let Some(shown) = shown else { continue };
                let laid = self.lay(own.piece, *shown, own.stand);
                if side == 0 { garment.front.extend(laid) } else { garment.back.extend(laid) }
            }
        }
        garment.left_out.retain(|place| {
            let piece = &self.pieces[*place];
            let neck = garment_neck::round(*place, piece, self.gauge, |groups| {
                self.pieced_neck(groups, &placed).or_else(|| self.cut_neck(groups, &placed))
            });
            let Some([front, back]) = neck else { return true };
            garment.front.push(front);
            garment.back.push(back);
            false
        });
        garment
    }

    /// The edges of a neck between shoulders that are pieces of their own, on the one that holds the front's stitches.
    fn pieced_neck(&self, (back, front): (&str, &str), placed: &[Placed]) -> Option<NeckEdges> {
        let (back, _) = self.held(back, placed, 1)?;
        let (bottom, source) = self.held(front, placed, 0)?;
        let centre = f64::midpoint(bottom[0].0, bottom[1].0);
        let beside = |right: bool| {
            let shoulder = placed.iter().find(|one| {
                let on = matches!(self.pieces[one.piece].taken.as_slice(),
                    [Taken::Group { name, .. }] if self.source(name).is_some_and(|(place, _)| place == source));
                on && (one.stand.foot.0 > centre) == right
            })?;
            Some(self.even(shoulder.piece, (0.0, 1.0), shoulder.stand).rows)
        };
        let [down, up] = garment_neck::sides(&beside(true)?, &beside(false)?);
        Some(NeckEdges { down, bottom, up, back })
    }

    /// Where the held stitches of a flat piece lie that is seen from `side`, from right to left, and the piece.
    fn held(&self, group: &str, placed: &[Placed], side: usize) -> Option<(Vec<PointCm>, usize)> {
        let (source, (from, to)) = self.source(group)?;
        let under = placed.iter().find(|one| one.piece == source)?;
        under.shown[side].filter(|_| !self.outlines[source].tube)?;
        let (half, high) = (self.top_half(source), self.height(source));
        let ends = [from, to].map(|share| under.stand.at(half * (1.0 - 2.0 * share), high));
        Some((ends.to_vec(), source))
    }

    /// A piece on the live stitches of another.
    fn on_group(&self, piece: usize, group: &str, placed: &[Placed]) -> Option<Placed> {
        let (source, (from, to)) = self.source(group)?;
        let under = placed.iter().find(|placed| placed.piece == source)?;
        let middle = f64::midpoint(from, to);
        let half = self.top_half(source);
        let tube = self.outlines[source].tube;
        // From the right edge (share 0) to the left one, of half the round or of the row.
        let (side, x) = match (tube, middle < 0.5) {
            (true, true) => (0, half * (1.0 - 4.0 * middle)),
            (true, false) => (1, half * (3.0 - 4.0 * middle)),
            (false, _) => (usize::from(under.shown[0].is_none()), half * (1.0 - 2.0 * middle)),
        };
        let foot = under.stand.at(x, self.height(source));
        let mut shown = [None, None];
        if tube && to - from > 0.75 {
            // All of a tube goes on.
            let foot = under.stand.at(0.0, self.height(source));
            let shown = [Some((0.0, 0.5)), Some((0.5, 1.0))];
            return Some(Placed { piece, stand: Stand { foot, ..under.stand }, shown });
        }
        shown[side] = Some((0.0, if self.outlines[piece].tube { 0.5 } else { 1.0 }));
        Some(Placed { piece, stand: Stand { foot, ..under.stand }, shown })
    }

    /// A thumb (or a heel) on the opening that was left for it.
    fn on_opening(&self, piece: usize, opening: &str, placed: &[Placed]) -> Option<Placed> {
        let mut found = None;
        for under in placed {
            let mut rows = 0;
            for band in &self.pieces[under.piece].bands {
                rows += band.rows();
                let here = band.then.iter().find_map(|extra| match extra {
                    WorkedExtra::Opening { name, stitches, before, .. } if name == opening => {
                        Some((*stitches, before.0, band.end.stitches.max(1)))
                    }
                    _ => None,
                });
                found = found.or(here.map(|here| (*under, rows, here)));
            }
        }
        let (under, row, (stitches, before, of)) = found?;
        let middle = (f64::from(before) + f64::from(stitches) / 2.0) / f64::from(of);
        let (_, half) = self.outlines[under.piece].row_edges(row.saturating_sub(1))?[1];
        let (side, x) =
            if middle < 0.5 { (0, half * (1.0 - 4.0 * middle)) } else { (1, half * (3.0 - 4.0 * middle)) };
        let foot = under.stand.at(x, f64::from(row) * self.gauge.row_height_cm());
        let lean = if x < 0.0 { -THUMB_LEANS } else { THUMB_LEANS };
        let mut shown = [None, None];
        shown[side] = Some((0.0, 0.5));
        Some(Placed { piece, stand: Stand::turned(foot, lean), shown })
    }

    /// Sleeves that are knitted by themselves and sewn into the armholes of a body.
    fn seamed_sleeves(&self) -> Option<usize> {
        let root = |piece: &WorkedPiece, copies| {
            piece.construction == Construction::InTheRound && piece.taken.is_empty() && piece.copies == copies
        };
        let body = self.pieces.iter().position(|piece| root(piece, 1) && piece.live.len() > 1)?;
        let sleeve = self.pieces.iter().position(|piece| root(piece, 2))?;
        (body < sleeve).then_some(sleeve)
    }

    fn sew_on(&self, sleeve: usize, placed: &[Placed], garment: &mut Garment) {
        let Some(body) = placed.first() else { return };
        garment.worn = true;
        let half = self.top_half(body.piece);
        let top = |placed: &Placed| placed.stand.at(0.0, self.height(placed.piece)).1;
        let shoulder = placed.iter().map(top).fold(0.0, f64::max);
        let (wide, long) = (self.top_half(sleeve), self.height(sleeve));
        for (outwards, shown) in [(1.0, (0.5, 1.0)), (-1.0, (0.0, 0.5))] {
            let foot = (outwards * (half + long), shoulder - wide);
            let stand = Stand::turned(foot, -outwards * 90.0);
            garment.front.push(self.even(sleeve, shown, stand));
            garment.back.push(self.even(sleeve, shown, stand));
        }
    }
}

/// Half of a yoke, between the middles of the sleeves.
struct Yoke {
    piece: usize,
    /// Its lower edge from right to left: shoulder, underarm, underarm, shoulder.
    bottom: [PointCm; 4],
    /// Shares of its stitches at the two underarms.
    underarms: [f64; 2],
    /// Half the width of the neck, the height of its ends, how far it dips.
    neck: (f64, f64, f64),
}

impl Yoke {
    /// From the stitches of its lower edge: half a sleeve, the body, half a sleeve.
    fn of(all: &All, piece: usize, stitches: [f64; 3], dips: f64) -> Self {
        let [first, middle, last] = stitches.map(|n| n * all.gauge.stitch_width_cm());
        let (sin, cos) = SLEEVE_HANGS.to_radians().sin_cos();
        let arm = middle / 2.0;
        let bottom =
            [(arm + first * cos, first * sin), (arm, 0.0), (-arm, 0.0), (-arm - last * cos, last * sin)];
        let half = all.top_half(piece);
        let slant = all.height(piece);
        let across = bottom[0].0 - half;
        // Where it gathers it lies flatter than its length: it rises a little all the same.
        let rise = (slant * slant - across * across).max(0.04 * slant * slant).sqrt();
        let count: f64 = stitches.iter().sum();
        let underarms = [stitches[0] / count, (stitches[0] + stitches[1]) / count];
        Self { piece, bottom, underarms, neck: (half, bottom[0].1 + rise, dips * half) }
    }

    /// A point of the lower edge, `share` of its stitches from the right.
    fn low(&self, share: f64) -> PointCm {
        let [a, b] = self.underarms;
        let stops = [0.0, a, b, 1.0];
        let part = if share < a { 0 } else { usize::from(share >= b) + 1 };
        let along = (share - stops[part]) / (stops[part + 1] - stops[part]).max(1e-9);
        let (from, to) = (self.bottom[part], self.bottom[part + 1]);
        (from.0 + (to.0 - from.0) * along, from.1 + (to.1 - from.1) * along)
    }

    /// A point of the yoke: `share` of the stitches from the right, `up` of its rows and `in_` of its
    /// decreases done.
    fn at(&self, share: f64, up: f64, in_: f64) -> PointCm {
        let (half, ends, dip) = self.neck;
        let across = 1.0 - 2.0 * share;
        let low = self.low(share);
        let neck = (half * across, ends - dip * (1.0 - across * across));
        // The corners at the underarms are gone in a few rows.
        let round = f64::midpoint(self.bottom[0].1, self.bottom[3].1) * across * across;
        let corner = (low.1 - round) * (1.0 - up).powi(2);
        (low.0 + (neck.0 - low.0) * in_, round + (neck.1 - round) * up + corner)
    }

    fn laid(&self, all: &All, shown: (f64, f64)) -> LaidPiece {
        let rows = all.pieces[self.piece].rows();
        let edge = |row: u32| -> Vec<PointCm> {
            // Cloth evens out what decrease rounds do in steps: a row ends where the next one begins.
            let up = f64::from(row) / f64::from(rows.max(1));
            (0..POINTS).map(|i| self.at(i as f64 / (POINTS - 1) as f64, up, up)).collect()
        };
        let laid = (0..rows).map(|row| LaidRow { row, shown, lower: edge(row), upper: edge(row + 1) });
        LaidPiece { piece: self.piece, rows: laid.collect() }
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Pattern, Size, SizeTable, Template, work};
    use super::*;
    use crate::chart::{Cell, Grid};

    fn woman(template: Template) -> (Vec<WorkedPiece>, Garment, Gauge) {
        let grid = Grid::new(12, 20, Cell::slot(0)).unwrap();
        let pattern = Pattern { grid: &grid, repeat: grid.bounds() };
        let sizes = SizeTable::shipped().unwrap();
        let size = &sizes.group("Woman").unwrap().sizes[2];
        let size = Size { name: "M".to_owned(), body: size.body, ease_cm: 7.5 };
        let gauge = Gauge::new(28.0, 36.0).unwrap();
        let pieces = work(&template.pieces(0), &size, gauge, &pattern).unwrap();
        let garment = Garment::of(&pieces, gauge);
        (pieces, garment, gauge)
    }

    fn area(points: &[PointCm]) -> f64 {
        let next = points.iter().cycle().skip(1);
        points.iter().zip(next).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum::<f64>().abs() / 2.0
    }

    #[test]
    fn a_yoke_pullover_has_two_sleeves_a_body_and_a_yoke_on_both_sides() {
        let (pieces, garment, gauge) = woman(Template::CircularYoke);
        assert!(garment.worn && garment.left_out.is_empty());
        for side in [&garment.front, &garment.back] {
            assert_eq!(side.iter().map(|laid| laid.piece).collect::<Vec<_>>(), [1, 1, 0, 2]);
            let [left, right, bottom, top] = Garment::extent(side).unwrap();
            assert!((left + right).abs() < 1.0, "it hangs even: {left} {right}");
            assert!(top > 10.0 && bottom < -30.0);
            let body = area(&side[2].outline()) * 2.0;
            assert!((body / pieces[0].area_cm2(gauge) - 1.0).abs() < 0.02);
            let sleeve = area(&side[0].outline()) * 2.0;
            assert!((sleeve / pieces[1].area_cm2(gauge) - 1.0).abs() < 0.02);
        }
        // Both sides together show every stitch of the yoke once.
        let (front, back) = (garment.front[3].rows[0].shown, garment.back[3].rows[0].shown);
        assert_eq!(front.1, back.0);
        assert!((back.1 - front.0 - 1.0).abs() < 1e-9);
    }

    #[test]
    fn a_drop_shoulder_shows_every_stitch_its_neckband_too() {
        let (pieces, garment, _) = woman(Template::DropShoulder);
        assert!(garment.worn && garment.left_out.is_empty(), "{:?}", garment.left_out);
        let neck = pieces.iter().position(|piece| piece.name == "Neck").unwrap();
        let [front, back] =
            [&garment.front, &garment.back].map(|side| side.iter().find(|laid| laid.piece == neck).unwrap());
        assert_eq!(front.rows[0].shown.0, back.rows[0].shown.1, "each stitch is seen once");
        let [left, right, bottom, top] = Garment::extent(std::slice::from_ref(front)).unwrap();
        assert!((left + right).abs() < 0.5 && top > bottom + 5.0, "{left} {right} {bottom} {top}");
    }

    #[test]
    fn a_yoke_begins_where_body_and_sleeves_end() {
        let (_, garment, gauge) = woman(Template::CircularYoke);
        let stitch = gauge.stitch_width_cm();
        let yoke = &garment.front[3].rows[0];
        let shoulder = yoke.lower[0];
        let sleeve = garment.front[0].rows.last().unwrap().upper[0];
        let off = (shoulder.0 - sleeve.0).hypot(shoulder.1 - sleeve.1);
        assert!(off < stitch, "the sleeve's fold ends at the shoulder: {off}");
        let middle = yoke.lower[POINTS / 2];
        let body = garment.front[2].rows.last().unwrap().upper[0];
        assert!(middle.1.abs() < 0.5 && body.1.abs() < 1e-6);
    }

    #[test]
    fn every_template_is_laid_out_and_nothing_is_lost_unsaid() {
        for template in Template::ALL {
            let grid = Grid::new(12, 20, Cell::slot(0)).unwrap();
            let pattern = Pattern { grid: &grid, repeat: grid.bounds() };
            let gauge = Gauge::new(22.0, 30.0).unwrap();
            let size = template.sizes().unwrap().into_iter().next().unwrap_or_else(Size::one_size);
            let pieces = work(&template.pieces(0), &size, gauge, &pattern).unwrap();
            let garment = Garment::of(&pieces, gauge);
            let seen =
                |place: usize| garment.front.iter().chain(&garment.back).any(|laid| laid.piece == place);
            for place in 0..pieces.len() {
                assert_ne!(seen(place), garment.left_out.contains(&place), "{}", template.name());
            }
            for laid in garment.front.iter().chain(&garment.back) {
                let cut = pieces[laid.piece].bands.iter().any(|band| band.steeks.is_some());
                assert!(cut || laid.rows.len() as u32 == pieces[laid.piece].rows());
                assert!(laid.rows.iter().all(|row| row.lower.len() == row.upper.len()));
            }
            let tube = pieces.iter().any(|piece| piece.construction == Construction::InTheRound);
            assert_eq!(garment.back.is_empty(), !tube, "{}", template.name());
        }
    }
}
