//! A worked piece as one grid of stitches, each in its colour: how the tests look at what bands give.

use super::repeat_rows::Pattern;
use super::worked::WorkedPiece;
use crate::chart::{Cell, Grid};

impl WorkedPiece {
    /// Every stitch of the piece, first row at the bottom, as the right side shows it. Rows narrower
    /// than the widest stand on the centre line; the room beside them is "no stitch".
    ///
    /// `None` when a band's part of the chart holds no stitch, or the piece has no row.
    pub fn fabric(&self, pattern: &Pattern) -> Option<Grid> {
        let widest = self.bands.iter().flat_map(|band| &band.row_stitches).copied().max()?;
        let width = widest as usize;
        let mut cells = Vec::with_capacity(width * self.rows() as usize);
        let mut row_cells = Vec::with_capacity(width);
        for band in &self.bands {
            let band_cells = band.cells(pattern)?;
            for row in 0..band.rows() {
                band_cells.row(row, &mut row_cells);
                let left = (width - row_cells.len().min(width)) / 2;
                let filled = cells.len();
                cells.resize(filled + left, Cell::NO_STITCH);
                cells.extend_from_slice(&row_cells);
                cells.resize(filled + width, Cell::NO_STITCH);
            }
        }
        Grid::from_cells(widest, self.rows(), cells).ok()
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Band, Fabric, Length, Piece, Shaping, Size, Width, work};
    use super::*;
    use crate::chart::Rect;
    use crate::knit::{Construction, Gauge, Technique};

    fn gauge() -> Gauge {
        Gauge::new(20.0, 20.0).unwrap()
    }

    fn one(piece: Piece, grid: &Grid) -> (WorkedPiece, Grid) {
        let pattern = Pattern { grid, repeat: grid.bounds() };
        let worked = work(&[piece], &Size::one_size(), gauge(), &pattern).unwrap().remove(0);
        let fabric = worked.fabric(&pattern).unwrap();
        (worked, fabric)
    }

    fn text(fabric: &Grid) -> Vec<String> {
        let row = |y| fabric.row(y).iter().map(|c| c.index().map_or('.', |s| (b'0' + s as u8) as char));
        (0..fabric.height()).rev().map(|y| row(y).collect()).collect()
    }

    fn motif() -> Grid {
        // 1 at the left of each repeat, 2 at the right.
        Grid::from_cells(4, 1, [1, 0, 0, 2].map(Cell::slot).to_vec()).unwrap()
    }

    #[test]
    fn repeats_begin_at_the_right_edge_and_edge_stitches_frame_them() {
        let band = Band::new("Chart", Fabric::Chart { region: None, edge: 2 }, Length::Rows(1), 3)
            .from(Width::Stitches(12));
        let (worked, fabric) = one(Piece::new("Strip", Construction::Flat, vec![band]), &motif());
        // 12 stitches are 2 edge stitches, two repeats and 2 stitches over, at the left.
        assert_eq!(text(&fabric), ["302100210023"]);
        let chart = worked.bands[0].chart.unwrap();
        assert_eq!((chart.across, chart.left_over, chart.breaks_at), (2, 2, Some(1)));
    }

    #[test]
    fn a_tapered_chart_keeps_its_columns() {
        let band = Band::new("Chart", Fabric::Chart { region: None, edge: 0 }, Length::Rows(4), 0)
            .from(Width::Stitches(8))
            .to(Width::Stitches(4), Shaping::PerRow(2));
        let (worked, fabric) = one(Piece::new("Gore", Construction::InTheRound, vec![band]), &motif());
        assert_eq!(text(&fabric), ["..0210..", ".002100.", ".002100.", "10021002"]);
        let chart = worked.bands[0].chart.unwrap();
        assert_eq!((chart.across, chart.left_over, chart.breaks_at), (2, 0, Some(2)));
    }

    #[test]
    fn a_chart_that_holds_the_shaping_divides_in_every_row() {
        let cells = [1, 0, 0, 2, 1, 9, 0, 2, 9, 1, 2, 9].map(|s| match s {
            9 => Cell::NO_STITCH,
            slot => Cell::slot(slot),
        });
        let grid = Grid::from_cells(4, 3, cells.to_vec()).unwrap();
        let band = Band::new("Yoke", Fabric::Chart { region: None, edge: 0 }, Length::Repeats(5), 0)
            .from(Width::Stitches(8));
        let (worked, fabric) = one(Piece::new("Yoke", Construction::InTheRound, vec![band]), &grid);
        let band = &worked.bands[0];
        assert_eq!(band.row_stitches, [8, 6, 4]);
        assert_eq!((band.end.stitches, band.chart.unwrap().divides()), (4, true));
        assert_eq!(text(&fabric), ["..1212..", ".102102.", "10021002"]);
    }

    #[test]
    fn ribbing_in_two_stranded_colours_stands_in_columns() {
        let rib = Fabric::Ribbing { knit: 2, purl: 1 };
        let band = Band {
            technique: Technique::Stranded,
            colours: vec![0, 1],
            ..Band::new("Rib", rib, Length::Rows(2), 0).from(Width::Stitches(6))
        };
        let (_, fabric) = one(Piece::new("Cuff", Construction::InTheRound, vec![band.clone()]), &motif());
        assert_eq!(text(&fabric), ["100100", "100100"]);
        let stripes = Band { technique: Technique::Stripes, stripe_rows: 1, ..band };
        let (_, fabric) = one(Piece::new("Cuff", Construction::InTheRound, vec![stripes]), &motif());
        assert_eq!(text(&fabric), ["111111", "000000"]);
    }

    #[test]
    fn a_band_can_take_another_part_of_the_chart() {
        let region = Some(Rect::new(3, 0, 1, 1));
        let band = Band::new("Chart", Fabric::Chart { region, edge: 0 }, Length::Rows(1), 0)
            .from(Width::Stitches(3));
        let (_, fabric) = one(Piece::new("Strip", Construction::Flat, vec![band]), &motif());
        assert_eq!(text(&fabric), ["222"]);
    }
}
