//! The parts of the chart that bands work, as charts of the pattern.

use crate::chart::{Cell, Rect};
use crate::knit::Technique;
use crate::project::Project;
use crate::words::{Chart, ChartCell, Colour, Stitch};

/// A part of the project's chart, printed as one chart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct ChartPart {
    pub region: Rect,
    pub technique: Technique,
}

impl ChartPart {
    /// The place of this part among the charts; a new one is added.
    pub fn place(self, charts: &mut Vec<Self>) -> u32 {
        let known = charts.iter().position(|part| *part == self);
        let place = known.unwrap_or_else(|| {
            charts.push(self);
            charts.len() - 1
        });
        place as u32
    }

    /// Its cells; rows without a stitch are left out, as they are in the knitting. Where a row has fewer
    /// stitches than the one below it, the stitch beside each that is gone is the decrease.
    pub fn chart(self, project: &Project) -> Chart {
        let region = self.region;
        let columns = region.x as usize..(region.x + region.width) as usize;
        let row = |y: u32| project.chart.grid.row(y).get(columns.clone()).unwrap_or_default();
        let rows: Vec<&[Cell]> = (region.y..region.y + region.height)
            .map(row)
            .filter(|row| row.iter().any(|cell| cell.index().is_some()))
            .collect();
        let mut charted: Vec<Vec<ChartCell>> = Vec::with_capacity(rows.len());
        for (r, row) in rows.iter().enumerate() {
            let mut cells: Vec<ChartCell> =
                row.iter().map(|cell| Some((colour(*cell)?, Stitch::K))).collect();
            if let Some(below) = r.checked_sub(1).map(|below| rows[below]) {
                decrease(below, &mut cells);
            }
            charted.push(cells);
        }
        Chart { technique: self.technique, rows: charted }
    }
}

fn colour(cell: Cell) -> Option<Colour> {
    cell.index().map(|slot| Colour(slot as u8))
}

/// Puts a decrease beside every stitch of the row below that has none above it.
fn decrease(below: &[Cell], cells: &mut [ChartCell]) {
    let takes = |cells: &[ChartCell]| cells.iter().flatten().map(|(_, stitch)| stitch.takes()).sum::<u32>();
    let wanted = below.iter().filter(|cell| cell.index().is_some()).count() as u32;
    let gone = |at: usize, cells: &[ChartCell]| below[at].index().is_some() && cells[at].is_none();
    let places: Vec<usize> = (0..cells.len()).filter(|at| gone(*at, cells)).collect();
    for at in places {
        if takes(cells) >= wanted {
            return;
        }
        // The nearest stitch that can take one more: to the right first, so that a gap on the left of
        // two stitches leans right.
        let near = (1..cells.len()).flat_map(|off| [at.checked_add(off), at.checked_sub(off)]).flatten();
        for place in near.filter(|place| *place < below.len()) {
            let Some((colour, stitch)) = cells[place] else { continue };
            let more = match stitch {
                Stitch::K if place > at => Stitch::K2tog,
                Stitch::K => Stitch::Ssk,
                Stitch::K2tog | Stitch::Ssk => Stitch::S2kp,
                _ => continue,
            };
            cells[place] = Some((colour, more));
            break;
        }
    }
}
