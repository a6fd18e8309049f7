//! The stitches under a stroke: line, rectangle, ellipse, fill, and a brush of any width.
//!
//! Every function takes the rectangle it may touch (`clip`, usually the bounds of the chart)
//! and never returns a stitch outside it, however far away the ends of the stroke lie.

use super::grid::{Grid, Point, Rect};

/// The stitches on the straight line from `a` to `b`, both ends included, one per step along
/// the longer direction. A line drawn backwards has the same stitches.
///
/// Integer line after Bresenham (1965), IBM Systems Journal 4(1), 25-30; exact halves round up.
pub fn line(a: Point, b: Point, clip: Rect) -> Vec<Point> {
    let flat = a.x.abs_diff(b.x) >= a.y.abs_diff(b.y);
    // (along, across) = (x, y) for a flat line, (y, x) for a steep one.
    let split = |p: Point| if flat { (p.x, p.y) } else { (p.y, p.x) };
    let (from, to) = if split(a) <= split(b) { (split(a), split(b)) } else { (split(b), split(a)) };
    let steps = i128::from(to.0 - from.0);
    let rise = i128::from(to.1) - i128::from(from.1);
    let (clip_start, clip_length) = if flat { (clip.x, clip.width) } else { (clip.y, clip.height) };
    let first = from.0.max(clip_start);
    let end = to.0.saturating_add(1).min(clip_start.saturating_add(clip_length));
    (first..end)
        .filter_map(|along| {
            let step = i128::from(along - from.0);
            let across = if steps == 0 { 0 } else { (2 * step * rise + steps).div_euclid(2 * steps) };
            let across = u32::try_from(i128::from(from.1) + across).ok()?;
            let point = if flat { Point::new(along, across) } else { Point::new(across, along) };
            clip.contains(point).then_some(point)
        })
        .collect()
}

/// Every stitch of a rectangle.
pub fn rectangle(rect: Rect, clip: Rect) -> Vec<Point> {
    rect.intersect(clip).points().collect()
}

/// The stitches along the inside edge of a rectangle.
pub fn rectangle_outline(rect: Rect, clip: Rect) -> Vec<Point> {
    if rect.is_empty() {
        return Vec::new();
    }
    let (right, top) = (rect.x.saturating_add(rect.width - 1), rect.y.saturating_add(rect.height - 1));
    let on_edge = |p: Point| p.x == rect.x || p.x == right || p.y == rect.y || p.y == top;
    let inside = rect.intersect(clip);
    (inside.y..inside.y + inside.height)
        .flat_map(|y| {
            let whole_row = y == rect.y || y == top;
            let last = inside.x + inside.width.max(1) - 1;
            // A row in the middle has at most its two ends on the edge.
            let step = if whole_row { 1 } else { (last - inside.x).max(1) };
            (inside.x..inside.x + inside.width).step_by(step as usize).map(move |x| Point::new(x, y))
        })
        .filter(|p| on_edge(*p))
        .collect()
}

/// Every stitch whose centre lies in the ellipse inscribed in `rect`, mirrored left-right and
/// up-down, and touching all four sides of `rect` however flat it is.
pub fn ellipse(rect: Rect, clip: Rect) -> Vec<Point> {
    let inside = rect.intersect(clip);
    (inside.y..inside.y + inside.height)
        .flat_map(|y| {
            let (first, last) = ellipse_row(rect, y - rect.y);
            row_part(first, last, y, inside)
        })
        .collect()
}

/// The stitches of [`ellipse`] that have a neighbour outside it.
pub fn ellipse_outline(rect: Rect, clip: Rect) -> Vec<Point> {
    let inside = rect.intersect(clip);
    (inside.y..inside.y + inside.height)
        .flat_map(|y| {
            let (first, last) = ellipse_row(rect, y - rect.y);
            let row = y - rect.y;
            let inner = if row == 0 || row == rect.height - 1 {
                None
            } else {
                let (below, above) = (ellipse_row(rect, row - 1), ellipse_row(rect, row + 1));
                let left = below.0.max(above.0).max(first.saturating_add(1));
                let right = below.1.min(above.1).min(last.saturating_sub(1));
                (left <= right).then_some((left, right))
            };
            let (left_end, right_start) = match inner {
                Some((left, right)) => (left - 1, right.saturating_add(1)),
                None => (last, last.saturating_add(1)),
            };
            row_part(first, left_end, y, inside).chain(row_part(right_start, last, y, inside))
        })
        .collect()
}

/// First and last column of row `row` (from 0 at the bottom of `rect`) of the inscribed ellipse.
///
/// With t = 2 dx + 1 - w and u = 2 dy + 1 - h (twice the distance of a cell's centre from the
/// middle), the centre is inside when t^2 h^2 + u^2 w^2 <= w^2 h^2.
fn ellipse_row(rect: Rect, row: u32) -> (u32, u32) {
    let (w, h) = (u128::from(rect.width), u128::from(rect.height));
    let u = (2 * u128::from(row) + 1).abs_diff(h);
    let odd = (w + 1) % 2;
    let widest = if u <= 1 {
        // The middle row or the two beside the middle: always as wide as the box.
        w - 1
    } else {
        (w * w * (h * h - u * u) / (h * h)).isqrt().max(odd)
    };
    // t has the parity of w - 1.
    let t = widest - (widest % 2).abs_diff(odd);
    let column = |offset: u128| rect.x.saturating_add(u32::try_from(offset).unwrap_or(u32::MAX));
    (column((w - 1 - t) / 2), column(t.midpoint(w - 1)))
}

/// The stitches `first..=last` of row `y` that lie in `clip`.
fn row_part(first: u32, last: u32, y: u32, clip: Rect) -> impl Iterator<Item = Point> {
    let end = last.saturating_add(1).min(clip.x + clip.width);
    (first.max(clip.x)..end).map(move |x| Point::new(x, y))
}

/// All stitches of one colour that hang together with `start`, side by side or one above the
/// other, inside `within` (the whole chart when `None`). Empty when `start` lies outside.
///
/// Scan-line fill: time and memory grow with the area, never with its shape.
pub fn flood(grid: &Grid, start: Point, within: Option<Rect>) -> Vec<Point> {
    flood_each(grid, &[start], within).pop().unwrap_or_default()
}

/// What [`flood`] finds from each start; nothing from one that lies in what an earlier one has found.
pub fn flood_each(grid: &Grid, starts: &[Point], within: Option<Rect>) -> Vec<Vec<Point>> {
    let area = within.unwrap_or(grid.bounds()).intersect(grid.bounds());
    let mut seen = vec![false; area.area()];
    starts.iter().map(|start| flood_from(grid, *start, area, &mut seen)).collect()
}

fn flood_from(grid: &Grid, start: Point, area: Rect, seen: &mut [bool]) -> Vec<Point> {
    let Some(target) = grid.get(start).filter(|_| area.contains(start)) else {
        return Vec::new();
    };
    let (width, left, right) = (area.width as usize, area.x, area.x + area.width);
    let offset = |x: u32, y: u32| (y - area.y) as usize * width + (x - left) as usize;
    let mut found = Vec::new();
    let mut seeds = vec![start];
    while let Some(seed) = seeds.pop() {
        if seen[offset(seed.x, seed.y)] {
            continue;
        }
        let row = grid.row(seed.y);
        let (mut first, mut end) = (seed.x, seed.x + 1);
        while first > left && row[first as usize - 1].same_colour(&target) {
            first -= 1;
        }
        while end < right && row[end as usize].same_colour(&target) {
            end += 1;
        }
        seen[offset(first, seed.y)..=offset(end - 1, seed.y)].fill(true);
        found.extend((first..end).map(|x| Point::new(x, seed.y)));
        let below = seed.y.checked_sub(1).filter(|y| *y >= area.y);
        let above = Some(seed.y + 1).filter(|y| *y < area.y + area.height);
        for y in below.into_iter().chain(above) {
            let (row, start) = (grid.row(y), offset(first, y));
            let mut in_run = false;
            for x in first..end {
                let open = row[x as usize].same_colour(&target) && !seen[start + (x - first) as usize];
                if open && !in_run {
                    seeds.push(Point::new(x, y));
                }
                in_run = open;
            }
        }
    }
    found
}

/// The stitches on a closed path through these and those it goes around, inside `clip`.
pub fn enclosed(path: &[Point], clip: Rect) -> Vec<Point> {
    let Some(last) = path.last() else { return Vec::new() };
    let ends = std::iter::once(last).chain(path).zip(path);
    let edge: Vec<Point> = ends.flat_map(|(a, b)| line(*a, *b, clip)).collect();
    let bounds = edge.iter().fold(Rect::default(), |r, p| r.union(Rect::new(p.x, p.y, 1, 1)));
    // A rim of one cell around it, from which all that lies outside can be reached.
    let (width, height) = (bounds.width as usize + 2, bounds.height as usize + 2);
    let mut taken = vec![false; width * height];
    for p in &edge {
        taken[(p.y - bounds.y + 1) as usize * width + (p.x - bounds.x + 1) as usize] = true;
    }
    let mut open = vec![0];
    while let Some(at) = open.pop() {
        if std::mem::replace(&mut taken[at], true) {
            continue;
        }
        let x = at % width;
        open.extend((x > 0).then(|| at - 1));
        open.extend((x + 1 < width).then_some(at + 1));
        open.extend(at.checked_sub(width));
        open.extend(Some(at + width).filter(|next| *next < width * height));
    }
    for p in &edge {
        taken[(p.y - bounds.y + 1) as usize * width + (p.x - bounds.x + 1) as usize] = false;
    }
    let inside = |p: &Point| !taken[(p.y - bounds.y + 1) as usize * width + (p.x - bounds.x + 1) as usize];
    bounds.points().filter(inside).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::Cell;

    const CHART: Rect = Rect::new(0, 0, 40, 40);

    /// Rows from the top, `#` for a stitch of the stroke.
    fn picture(points: &[Point], rect: Rect) -> Vec<String> {
        let mut rows: Vec<String> = (rect.y..rect.y + rect.height)
            .map(|y| {
                let column = |x| if points.contains(&Point::new(x, y)) { '#' } else { '.' };
                (rect.x..rect.x + rect.width).map(column).collect()
            })
            .collect();
        rows.reverse();
        rows
    }

    #[test]
    fn a_line_has_one_stitch_a_step_and_is_the_same_backwards() {
        let (a, b) = (Point::new(2, 3), Point::new(9, 6));
        let there = line(a, b, CHART);
        assert_eq!(there.len(), 8);
        assert_eq!((there[0], there[7]), (a, b));
        assert_eq!(there, line(b, a, CHART));
        let falling = line(Point::new(2, 9), Point::new(4, 1), CHART);
        assert_eq!(falling.len(), 9);
        assert_eq!(line(a, a, CHART), [a]);
    }

    #[test]
    fn a_line_to_the_end_of_the_world_is_cut_off_at_once() {
        let cells = line(Point::new(0, 0), Point::new(u32::MAX, u32::MAX), CHART);
        assert_eq!(cells.len(), 40);
        assert!(cells.iter().all(|p| p.x == p.y));
        assert!(line(Point::new(50, 50), Point::new(90, 60), CHART).is_empty());
    }

    #[test]
    fn a_rectangle_and_its_edge() {
        let rect = Rect::new(3, 2, 4, 3);
        assert_eq!(rectangle(rect, CHART).len(), 12);
        assert_eq!(picture(&rectangle_outline(rect, CHART), rect), ["####", "#..#", "####"]);
        assert_eq!(rectangle_outline(Rect::new(3, 2, 1, 5), CHART).len(), 5);
        assert_eq!(rectangle_outline(Rect::new(3, 2, 5, 1), CHART).len(), 5);
        assert!(rectangle_outline(Rect::new(3, 2, 0, 5), CHART).is_empty());
    }

    #[test]
    fn an_edge_outside_the_chart_is_not_drawn_on_its_border() {
        // Right and top side lie outside: only the left and the bottom one are seen.
        let cells = rectangle_outline(Rect::new(38, 38, 10, 10), CHART);
        assert_eq!(cells, [Point::new(38, 38), Point::new(39, 38), Point::new(38, 39)]);
    }

    #[test]
    fn a_small_disc_is_round() {
        let rect = Rect::new(0, 0, 5, 5);
        let expected = [".###.", "#####", "#####", "#####", ".###."];
        assert_eq!(picture(&ellipse(rect, CHART), rect), expected);
        let ring = [".###.", "#...#", "#...#", "#...#", ".###."];
        assert_eq!(picture(&ellipse_outline(rect, CHART), rect), ring);
    }

    #[test]
    fn every_ellipse_is_mirrored_and_touches_its_box() {
        for (width, height) in (1..=24).flat_map(|w| (1..=24).map(move |h| (w, h))) {
            let rect = Rect::new(5, 7, width, height);
            for cells in [ellipse(rect, CHART), ellipse_outline(rect, CHART)] {
                let mut rows = picture(&cells, rect);
                assert!(rows[0].contains('#') && rows.iter().any(|r| r.starts_with('#')));
                for row in &rows {
                    assert_eq!(*row, row.chars().rev().collect::<String>(), "{width} x {height}");
                }
                let upright = rows.clone();
                rows.reverse();
                assert_eq!(rows, upright);
            }
        }
    }

    #[test]
    fn an_ellipse_outline_keeps_paint_from_leaking() {
        for (width, height) in [(7, 5), (12, 12), (23, 9), (6, 30)] {
            let mut grid = Grid::new(40, 40, Cell::slot(0)).unwrap();
            let rect = Rect::new(2, 2, width, height);
            for p in ellipse_outline(rect, CHART) {
                grid.set(p, Cell::slot(1));
            }
            let middle = Point::new(2 + width / 2, 2 + height / 2);
            let inner = flood(&grid, middle, None).len();
            assert_eq!(inner + ellipse_outline(rect, CHART).len(), ellipse(rect, CHART).len());
        }
    }

    #[test]
    fn a_huge_ellipse_is_clipped_without_walking_it() {
        let cells = ellipse(Rect::new(0, 0, u32::MAX, u32::MAX), CHART);
        assert!(cells.is_empty());
        assert!(ellipse_outline(Rect::new(0, 0, u32::MAX, u32::MAX), CHART).is_empty());
    }

    #[test]
    fn a_fill_stops_at_the_colour_and_at_the_selection() {
        let mut grid = Grid::new(9, 9, Cell::slot(0)).unwrap();
        for p in rectangle_outline(Rect::new(2, 2, 5, 5), grid.bounds()) {
            grid.set(p, Cell::slot(1));
        }
        assert_eq!(flood(&grid, Point::new(4, 4), None).len(), 9);
        assert_eq!(flood(&grid, Point::new(0, 0), None).len(), 81 - 25);
        assert_eq!(flood(&grid, Point::new(0, 0), Some(Rect::new(0, 0, 2, 9))).len(), 18);
        assert!(flood(&grid, Point::new(4, 4), Some(Rect::new(0, 0, 2, 2))).is_empty());
        assert!(flood(&grid, Point::new(40, 4), None).is_empty());
    }

    #[test]
    fn a_path_takes_what_it_goes_around() {
        let corners = [(3, 1), (7, 1), (7, 5), (3, 5)].map(|(x, y)| Point::new(x, y));
        assert_eq!(enclosed(&corners, CHART).len(), 25);
        // A diamond: its slanted sides do not leak.
        let tips = [(5, 1), (9, 5), (5, 9), (1, 5)].map(|(x, y)| Point::new(x, y));
        assert_eq!(enclosed(&tips, CHART).len(), 41);
        assert_eq!(enclosed(&tips[..1], CHART), tips[..1]);
        assert!(enclosed(&[], CHART).is_empty());
    }

    #[test]
    fn the_largest_chart_fills_whole() {
        let grid = Grid::new(2000, 2000, Cell::slot(3)).unwrap();
        assert_eq!(flood(&grid, Point::new(1999, 0), None).len(), 4_000_000);
    }
}
