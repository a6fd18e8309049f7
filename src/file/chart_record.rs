//! The chart in a project file: its stitches as rows of letters, and how those that are not plain are worked.

use serde::{Deserialize, Serialize};

use super::names::WorkWord;
use super::record::Invalid;
use super::rows;
use crate::chart::{Grid, Point, Rect, Work};
use crate::project::Chart;

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ChartRecord {
    width_stitches: u64,
    height_rows: u64,
    repeat: RepeatRecord,
    rows: Vec<String>,
    /// Decreases and increases; a stitch that is not named is plain.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    worked: Vec<WorkedRecord>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct RepeatRecord {
    from_left_stitches: u32,
    from_bottom_rows: u32,
    width_stitches: u32,
    height_rows: u32,
}

/// Stitches of one row that are worked alike, counted as knitters count: rows from 1 at the bottom,
/// stitches from 1 at the right.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct WorkedRecord {
    work: WorkWord,
    row: u32,
    stitches: Vec<u32>,
}

impl ChartRecord {
    pub(super) fn new(chart: &Chart) -> Self {
        let repeat = chart.repeat();
        Self {
            width_stitches: chart.grid.width().into(),
            height_rows: chart.grid.height().into(),
            repeat: RepeatRecord {
                from_left_stitches: repeat.x,
                from_bottom_rows: repeat.y,
                width_stitches: repeat.width,
                height_rows: repeat.height,
            },
            rows: rows::write(&chart.grid),
            worked: worked(&chart.grid),
        }
    }

    /// The chart, whose stitches may use `slots` colours.
    ///
    /// # Errors
    /// [`Invalid`] naming the field that cannot be.
    pub(super) fn chart(&self, slots: usize) -> Result<Chart, Invalid> {
        let mut grid =
            rows::read(self.width_stitches, self.height_rows, &self.rows, slots).map_err(|error| {
                let field = match error.item {
                    Some(item) => format!("chart > rows {item}"),
                    None => "chart > width_stitches".to_owned(),
                };
                Invalid::new(field, &error.message)
            })?;
        for (index, record) in self.worked.iter().enumerate() {
            record
                .set(&mut grid)
                .map_err(|message| Invalid::new(format!("chart > worked {}", index + 1), &message))?;
        }
        let RepeatRecord { from_left_stitches, from_bottom_rows, width_stitches, height_rows } = self.repeat;
        let repeat = Rect::new(from_left_stitches, from_bottom_rows, width_stitches, height_rows);
        Chart::with_repeat(grid, repeat).map_err(|error| Invalid::new("chart > repeat", &error))
    }
}

/// The stitches that are not plain, by row and work.
fn worked(grid: &Grid) -> Vec<WorkedRecord> {
    let row = |y: u32| {
        Work::ALL.into_iter().filter(|work| *work != Work::Plain).filter_map(move |work| {
            let cells = grid.row(y).iter().enumerate().rev();
            let stitches: Vec<u32> =
                cells.filter(|(_, cell)| cell.work() == work).map(|(x, _)| grid.width() - x as u32).collect();
            (!stitches.is_empty()).then(|| WorkedRecord { work: work.into(), row: y + 1, stitches })
        })
    };
    (0..grid.height()).flat_map(row).collect()
}

impl WorkedRecord {
    fn set(&self, grid: &mut Grid) -> Result<(), String> {
        let (width, height) = (grid.width(), grid.height());
        if !(1..=height).contains(&self.row) {
            return Err(format!("row {} is not one of the chart's {height}", self.row));
        }
        for stitch in &self.stitches {
            if !(1..=width).contains(stitch) {
                return Err(format!("stitch {stitch} is not one of the chart's {width}"));
            }
            let at = Point::new(width - stitch, self.row - 1);
            match grid.get(at) {
                Some(cell) if cell.index().is_none() => {
                    return Err(format!(
                        "row {}, stitch {stitch} is no stitch and cannot be worked",
                        self.row
                    ));
                }
                Some(cell) if cell.work() != Work::Plain => {
                    return Err(format!("row {}, stitch {stitch} is named twice", self.row));
                }
                Some(cell) => grid.set(at, cell.worked(self.work.into())),
                None => {}
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::Cell;

    fn record(worked: Vec<WorkedRecord>) -> ChartRecord {
        let repeat =
            RepeatRecord { from_left_stitches: 0, from_bottom_rows: 0, width_stitches: 3, height_rows: 2 };
        let rows = vec![".A.".to_owned(), "AAA".to_owned()];
        ChartRecord { width_stitches: 3, height_rows: 2, repeat, rows, worked }
    }

    #[test]
    fn work_comes_back_where_it_was() {
        let named = record(vec![WorkedRecord { work: WorkWord::CentredDouble, row: 2, stitches: vec![2] }]);
        let chart = named.chart(1).unwrap();
        let cell = chart.grid.get(Point::new(1, 1)).unwrap();
        assert_eq!(cell, Cell::slot(0).worked(Work::CentredDouble));
        let again = ChartRecord::new(&chart);
        assert_eq!((again.worked.len(), again.worked[0].row), (1, 2));
        assert_eq!(again.chart(1).unwrap(), chart);
    }

    #[test]
    fn work_that_has_no_stitch_is_refused_by_its_place() {
        let why = |row, stitches| {
            let error = record(vec![WorkedRecord { work: WorkWord::K2tog, row, stitches }]).chart(1);
            error.unwrap_err().message
        };
        assert!(why(3, vec![1]).contains("row 3 is not one of the chart's 2"));
        assert!(why(1, vec![0]).contains("stitch 0 is not one of the chart's 3"));
        assert!(why(2, vec![1]).contains("row 2, stitch 1 is no stitch"));
        assert!(why(1, vec![1, 1]).contains("row 1, stitch 1 is named twice"));
    }
}
