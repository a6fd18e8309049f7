//! Signs over the stitches of a chart: decreases and increases, and where long floats are caught.

use super::chart_picture::{INK, PAPER, look_of, sample_cell};
use super::drawing::{CellLook, Item, mark_box};
use super::symbols::{self, COLOURS_ONLY};
use crate::chart::{Catch, Cell, Point, Rect, Work};
use crate::project::Project;

/// The signs of a chart: what its stitches are worked with, and where floats are caught.
pub(super) struct Signs<'a> {
    project: &'a Project,
    /// Stitches behind which a float is caught, from the first row up.
    catches: Vec<Point>,
}

impl<'a> Signs<'a> {
    /// Goes through the chart once.
    pub fn of(project: &'a Project) -> Self {
        let in_row = |y: u32| {
            project.catches_in_row(y).into_iter().map(move |Catch { column, .. }| Point::new(column, y))
        };
        Self { project, catches: (0..project.chart.grid.height()).flat_map(in_row).collect() }
    }

    /// The signs over the stitches of `part`, whose cells are `cell` wide and high and stand at `corner`.
    ///
    /// A decrease or increase takes the place of the colour's own sign; the colour shows all the same.
    pub fn over_stitches(&self, part: Rect, cell: [f64; 2], corner: impl Fn(Point) -> [f64; 2]) -> Vec<Item> {
        let grid = &self.project.chart.grid;
        let mut items = Vec::new();
        for y in part.y..part.y + part.height {
            let worked = grid.row(y).iter().enumerate().filter(|(_, cell)| cell.work() != Work::Plain);
            for (x, stitch) in worked {
                let at = Point::new(x as u32, y);
                if let Some(look) = work_look(self.project, *stitch).filter(|_| part.contains(at)) {
                    items.extend(sample_cell(&look, corner(at), cell, 0.0));
                }
            }
        }
        for at in self.catches.iter().copied().filter(|at| part.contains(*at)) {
            let Some(under) = grid.get(at).and_then(|cell| colour_look(self.project, cell)) else { continue };
            let ([x, y], [dx, dy, width, height]) = (corner(at), mark_box(cell[0], cell[1], true));
            let mark = |mark| Item::of_mark(&mark, [x + dx, y + dy, width, height], under.ink);
            items.extend(symbols::catch().into_iter().map(mark));
        }
        items
    }

    /// The signs that the chart uses, each with what it means.
    pub fn key(&self) -> Vec<(CellLook, String)> {
        let grid = &self.project.chart.grid;
        let paper = |marks, whole_cell| CellLook { fill: PAPER, marks, ink: INK, whole_cell };
        let used = |work: Work| grid.cells().iter().any(|cell| cell.work() == work);
        let works = Work::ALL.into_iter().filter(|work| *work != Work::Plain && used(*work));
        let mut entries: Vec<(CellLook, String)> = works
            .map(|work| {
                let name = format!("{}: {}", work.right_side(), work.name().to_lowercase());
                (paper(symbols::work_marks(work), false), name)
            })
            .collect();
        if !self.catches.is_empty() {
            entries.push((paper(symbols::catch(), true), "catch the float behind this stitch".to_owned()));
        }
        entries
    }

    /// What the signs in the cells stand for, in two short lines.
    pub fn note(&self) -> [&'static str; 2] {
        let shaped = self.project.chart.grid.cells().iter().any(|cell| cell.work() != Work::Plain);
        match (shaped, self.catches.is_empty()) {
            (false, true) => COLOURS_ONLY,
            (true, _) => ["Solid signs show colours; signs drawn ", "in lines show how a stitch is worked."],
            (false, false) => {
                ["Signs show colours; a bar at the foot ", "of a stitch says to catch the float."]
            }
        }
    }
}

fn colour_look(project: &Project, cell: Cell) -> Option<CellLook> {
    let slot = project.palette.slots().get(cell.index()?)?;
    Some(look_of(slot.colour, Vec::new()))
}

fn work_look(project: &Project, cell: Cell) -> Option<CellLook> {
    let look = colour_look(project, cell)?;
    Some(CellLook { marks: symbols::work_marks(cell.work()), ..look })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::Grid;
    use crate::project::{Chart, Edit};

    fn project() -> Project {
        let mut grid = Grid::new(8, 2, Cell::slot(0)).unwrap();
        grid.set(Point::new(0, 1), Cell::slot(1).worked(Work::Ssk));
        grid.set(Point::new(0, 0), Cell::slot(1));
        let mut project = Project::default();
        project.apply(Edit::Chart(Box::new(Chart::new(grid))));
        project
    }

    #[test]
    fn a_decrease_is_drawn_on_its_colour_and_a_long_float_caught() {
        let project = project();
        let all = project.chart.grid.bounds();
        let signs = Signs::of(&project);
        let items = signs.over_stitches(all, [10.0, 8.0], |p| [f64::from(p.x), f64::from(p.y)]);
        let fills = items.iter().filter(|item| matches!(item, Item::Rect { .. })).count();
        assert_eq!(fills, 1, "the decrease covers the colour's sign");
        assert!(items.iter().any(|item| matches!(item, Item::Line { .. })), "its stroke");
        assert!(items.iter().any(|item| matches!(item, Item::Polygon { .. })), "the catch");
        let below = signs.over_stitches(Rect::new(0, 0, 8, 1), [10.0, 8.0], |_| [0.0, 0.0]);
        assert!(below.iter().all(|item| !matches!(item, Item::Rect { .. })));
    }

    #[test]
    fn the_key_holds_what_is_used_and_no_more() {
        let words: Vec<String> = Signs::of(&project()).key().into_iter().map(|(_, words)| words).collect();
        assert_eq!(words, ["ssk: slip, slip, knit (leans left)", "catch the float behind this stitch"]);
        let plain = Project::default();
        assert!(Signs::of(&plain).key().is_empty());
        assert_eq!(Signs::of(&plain).note(), COLOURS_ONLY);
        assert_ne!(Signs::of(&project()).note(), COLOURS_ONLY, "decreases are kinds of stitches");
    }
}
