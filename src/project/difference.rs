//! In what two versions of a project differ, in words.

use super::model::{Chart, Project};

/// What differs between two versions, each a few words; empty when nothing does.
pub fn differences(here: &Project, there: &Project) -> Vec<String> {
    let mut found = Vec::new();
    found.extend(chart(&here.chart, &there.chart));
    let others = [
        (here.title != there.title, "the title"),
        (here.designer != there.designer, "the designer"),
        (here.notes != there.notes, "the notes"),
        (here.palette != there.palette, "the colours"),
        (here.colourways != there.colourways, "the colourways"),
        (here.plan != there.plan, "gauge and technique"),
        (here.material != there.material, "needs, yarn and swatches"),
        (here.pieces != there.pieces, "the pieces"),
        (here.shade_cards != there.shade_cards, "the shade cards"),
        (here.units != there.units, "the units"),
        (here.symmetry != there.symmetry, "the symmetry"),
    ];
    found.extend(others.into_iter().filter(|(differs, _)| *differs).map(|(_, what)| what.to_owned()));
    found
}

fn chart(here: &Chart, there: &Chart) -> Option<String> {
    let (a, b) = (&here.grid, &there.grid);
    if (a.width(), a.height()) != (b.width(), b.height()) {
        return Some("the size of the chart".to_owned());
    }
    let stitches = a.cells().iter().zip(b.cells()).filter(|(a, b)| a != b).count();
    match stitches {
        0 if here == there => None,
        0 => Some("how the chart is worked or repeated".to_owned()),
        1 => Some("1 stitch of the chart".to_owned()),
        more => Some(format!("{more} stitches of the chart")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::{Cell, Point};
    use crate::project::{CellPatch, Edit};

    #[test]
    fn each_difference_is_named_once_and_sameness_not_at_all() {
        let here = Project::default();
        assert!(differences(&here, &here).is_empty());
        let mut there = Project { notes: "x".to_owned(), ..here.clone() };
        let points = [Point::new(0, 0), Point::new(1, 0)];
        let ground = here.chart.grid.cells()[0];
        let other = if ground == Cell::slot(0) { Cell::slot(1) } else { Cell::slot(0) };
        let painted = CellPatch::painting(&here.chart.grid, points, other).unwrap();
        there.apply(Edit::Cells(painted));
        let (found, back) = (differences(&here, &there), differences(&there, &here));
        assert_eq!(found, back);
        assert_eq!(found, ["2 stitches of the chart", "the notes"]);
        there.chart = Chart::new(crate::chart::Grid::square(7, Cell::slot(0)));
        assert_eq!(differences(&here, &there)[0], "the size of the chart");
    }
}
