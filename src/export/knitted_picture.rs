//! Pieces as they lie flat, stitch by stitch in pixels: what a window shows under its own lines and words.

use crate::chart::Cell;
use crate::colour::transfer;
use crate::knit::pieces::{Fabric, Footprint, PieceOutline, PieceRows, Room, RowEdges, WorkedPiece};
use crate::project::Project;

/// Longest side of a picture in pixels; every graphics driver takes a texture of this size.
const MAX_PIXELS: f64 = 2048.0;
/// Samples of a pixel each way.
const SAMPLES: usize = 3;
/// Light of a purl column against a knit one (our judgement: seen, but the colour stays its own).
const PURL: f32 = 0.75;
/// The longest side of the largest piece in points, at least: smaller, and nothing can be told on it.
const LEAST: f64 = 96.0;
/// Points for a cm of knitting, at most: about life size on a desktop screen of 96 points an inch.
const LIFE_SIZE: f64 = 38.0;

/// Where a picture is shown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sheet {
    /// Width in points.
    pub width: f64,
    /// Height in points.
    pub height: f64,
    /// Pixels of the screen to a point.
    pub pixels_per_point: f64,
    /// Room around each piece for words, in points.
    pub room: Room,
    /// Height of the words of a band beside its piece, in points.
    pub band_words: f64,
}

/// A piece and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// Which piece, by its place in the plan.
    pub place: usize,
    /// Its outline in cm.
    pub outline: PieceOutline,
    /// The middle of its first row, in points from the top-left corner of the sheet.
    pub foot: [f64; 2],
}

/// The pieces of one size, to scale.
#[derive(Clone, Debug, PartialEq)]
pub struct KnittedPicture {
    /// Height in points: that of the sheet, or more where the pieces would be too small on it.
    pub height: f64,
    /// Points to one cm of knitting.
    pub per_cm: f64,
    /// The pieces.
    pub standing: Vec<Standing>,
    /// Width and height in pixels.
    pub size: [usize; 2],
    /// Pixels from the top-left corner, 4 bytes each, not premultiplied; clear where nothing is knitted.
    pub rgba: Vec<u8>,
}

/// Draws counted pieces, each with its place in the plan, as large as `sheet` allows.
pub fn draw(project: &Project, pieces: &[(usize, &WorkedPiece)], sheet: &Sheet) -> KnittedPicture {
    let gauge = project.plan.gauge;
    let outlines: Vec<PieceOutline> =
        pieces.iter().map(|(_, piece)| PieceOutline::of(piece, gauge)).collect();
    let footprint = |(outline, (_, piece)): (&PieceOutline, &(usize, &WorkedPiece))| Footprint {
        lowest: sheet.band_words * piece.bands.len() as f64,
        ..Footprint::bare(outline.width_cm(), outline.height_cm())
    };
    let sizes: Vec<Footprint> = outlines.iter().zip(pieces).map(footprint).collect();
    let widest = sizes.iter().map(|size| size.width_cm.max(size.height_cm)).fold(1.0, f64::max);
    // In steps of 2 %, down to where the largest piece can just be made out.
    let scales = (0..400).map(|step| LIFE_SIZE * 0.98_f64.powi(step));
    let scales = scales.take_while(|per_cm| per_cm * widest >= LEAST);
    let shelves = PieceRows::largest(scales, &sizes, &sheet.room, (sheet.width, sheet.height));
    let shelves = shelves.unwrap_or(PieceRows { per_cm: LIFE_SIZE, shelves: Vec::new() });
    let sheet = Sheet { height: sheet.height.max(shelves.height()), ..*sheet };
    let feet = feet(&shelves, &sheet);
    let pixels = sheet.pixels_per_point.min(MAX_PIXELS / sheet.width.max(sheet.height).max(1.0));
    let side = |points: f64| ((points * pixels).round() as usize).max(1);
    let mut canvas = Canvas::new(project, [side(sheet.width), side(sheet.height)]);
    let mut standing = Vec::with_capacity(pieces.len());
    for (((place, piece), outline), foot) in pieces.iter().zip(outlines).zip(feet) {
        if let Some(rows) = Rows::of(project, piece, &outline) {
            canvas.piece(&rows, foot.map(|at| at * pixels), shelves.per_cm * pixels);
        }
        standing.push(Standing { place: *place, outline, foot });
    }
    KnittedPicture {
        height: sheet.height,
        per_cm: shelves.per_cm,
        standing,
        size: canvas.size,
        rgba: canvas.rgba,
    }
}

/// Where the pieces stand when the shelves are centred on the sheet, in the order of the pieces.
fn feet(shelves: &PieceRows, sheet: &Sheet) -> Vec<[f64; 2]> {
    let mut top = ((sheet.height - shelves.height()) / 2.0).max(0.0);
    let mut feet = Vec::new();
    for shelf in &shelves.shelves {
        let left = ((sheet.width - shelf.width) / 2.0).max(0.0);
        let foot = top + shelf.height - sheet.room.below;
        feet.extend(shelf.standing.iter().map(|(_, x)| [left + x, foot]));
        top += shelf.height;
    }
    feet
}

/// The stitches of a piece that are seen, row by row.
struct Rows {
    row_height_cm: f64,
    height_cm: f64,
    width_cm: f64,
    /// Of each row the stretches that are seen: where they lie, and their ranges in `stitches`.
    spans: Vec<Vec<(RowEdges, std::ops::Range<usize>)>>,
    stitches: Vec<Stitch>,
}

/// What a stitch looks like from afar.
#[derive(Clone, Copy)]
struct Stitch {
    cell: Cell,
    /// Purl columns of a rib lie deeper and look darker.
    purl: bool,
}

impl Rows {
    fn of(project: &Project, piece: &WorkedPiece, outline: &PieceOutline) -> Option<Self> {
        let pattern = project.pattern();
        let (mut spans, mut stitches, mut row_cells) = (Vec::new(), Vec::new(), Vec::new());
        for band in &piece.bands {
            let band_cells = band.cells(&pattern)?;
            for row in 0..band.rows() {
                band_cells.row(row, &mut row_cells);
                let from = stitches.len();
                let rib = match band.fabric {
                    Fabric::Ribbing { knit, purl } => Some((knit as usize, (knit + purl).max(1) as usize)),
                    Fabric::Plain | Fabric::Garter | Fabric::Moss | Fabric::Chart { .. } => None,
                };
                let purl = |from_right: usize| match band.fabric {
                    Fabric::Garter => row % 2 == 1,
                    Fabric::Moss => (from_right + row as usize) % 2 == 1,
                    _ => rib.is_some_and(|(knit, of)| from_right % of >= knit),
                };
                let stitch =
                    |(from_right, cell): (usize, &Cell)| Stitch { cell: *cell, purl: purl(from_right) };
                stitches.extend(row_cells.iter().rev().enumerate().map(stitch));
                stitches[from..].reverse();
                // Shares of a row are counted from its right end, stitches from its left one.
                let at = |share: f64| stitches.len() - (share * row_cells.len() as f64).round() as usize;
                let parts = outline.row_parts(spans.len() as u32);
                spans.push(
                    parts.iter().map(|part| (part.edges, at(part.shown.1)..at(part.shown.0))).collect(),
                );
            }
        }
        let row_height_cm = project.plan.gauge.row_height_cm();
        let height_cm = outline.height_cm();
        Some(Self { row_height_cm, height_cm, width_cm: outline.width_cm(), spans, stitches })
    }

    /// The stitch at a point, in cm from the middle of the first row.
    fn at(&self, x: f64, y: f64) -> Option<Stitch> {
        if y < 0.0 {
            return None;
        }
        let rows = y / self.row_height_cm;
        let between = |low: f64, high: f64| low + (high - low) * rows.fract();
        self.spans.get(rows as usize)?.iter().find_map(|([low, high], range)| {
            let (left, right) = (between(low.0, high.0), between(low.1, high.1));
            if x <= left || x >= right {
                return None;
            }
            let stitches = self.stitches.get(range.clone())?;
            stitches.get(((x - left) / (right - left) * stitches.len() as f64) as usize).copied()
        })
    }
}

struct Canvas {
    size: [usize; 2],
    rgba: Vec<u8>,
    /// Linear light of every slot.
    light: Vec<[f32; 3]>,
}

impl Canvas {
    fn new(project: &Project, size: [usize; 2]) -> Self {
        let light = |colour: crate::colour::Colour| {
            colour.to_srgb8().map(|code| transfer::byte_to_light(code) as f32)
        };
        let light = project.palette.slots().iter().map(|slot| light(slot.colour)).collect();
        Self { size, rgba: vec![0; size[0] * size[1] * 4], light }
    }

    /// Paints a piece with the middle of its first row at `foot`, all in pixels.
    fn piece(&mut self, rows: &Rows, foot: [f64; 2], per_cm: f64) {
        let bounds = |from: f64, to: f64, most: usize| {
            (from.floor().max(0.0) as usize).min(most)..(to.ceil().max(0.0) as usize).min(most)
        };
        let half = rows.width_cm / 2.0 * per_cm;
        let columns = bounds(foot[0] - half, foot[0] + half, self.size[0]);
        let step = 1.0 / SAMPLES as f64;
        for y in bounds(foot[1] - rows.height_cm * per_cm, foot[1], self.size[1]) {
            for x in columns.clone() {
                let samples = (0..SAMPLES * SAMPLES).filter_map(|i| {
                    let at = |pixel: usize, i: usize| pixel as f64 + (i as f64 + 0.5) * step;
                    let x = (at(x, i % SAMPLES) - foot[0]) / per_cm;
                    let y = (foot[1] - at(y, i / SAMPLES)) / per_cm;
                    let stitch = rows.at(x, y)?;
                    Some((self.light.get(stitch.cell.index()?)?, if stitch.purl { PURL } else { 1.0 }))
                });
                let mut sum = [0.0_f32; 3];
                let mut count = 0_u32;
                for (light, share) in samples {
                    sum.iter_mut().zip(light).for_each(|(sum, light)| *sum += light * share);
                    count += 1;
                }
                if count > 0 {
                    let at = (y * self.size[0] + x) * 4;
                    let [r, g, b] = sum.map(|sum| transfer::to_byte(f64::from(sum / count as f32)));
                    let alpha = (count * 255 / (SAMPLES * SAMPLES) as u32) as u8;
                    self.rgba[at..at + 4].copy_from_slice(&[r, g, b, alpha]);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::file::demos;

    fn sheet(pixels_per_point: f64) -> Sheet {
        let room = Room { above: 20.0, below: 40.0, beside: 120.0, narrowest: 60.0 };
        Sheet { width: 580.0, height: 700.0, pixels_per_point, room, band_words: 28.0 }
    }

    fn yoke(sheet: &Sheet) -> (Project, KnittedPicture) {
        let project = demos()[0].project().unwrap();
        let worked = project.work_pieces(&project.pieces.size()).unwrap();
        let pieces: Vec<(usize, &WorkedPiece)> = worked.iter().enumerate().collect();
        let picture = draw(&project, &pieces, sheet);
        (project, picture)
    }

    #[test]
    fn the_pieces_fill_the_sheet_and_stay_on_it() {
        let (_, picture) = yoke(&sheet(1.0));
        assert_eq!(picture.size, [580, 700]);
        for piece in &picture.standing {
            let half = piece.outline.width_cm() / 2.0 * picture.per_cm;
            let top = piece.foot[1] - piece.outline.height_cm() * picture.per_cm;
            assert!(piece.foot[0] - half >= -1e-9 && piece.foot[0] + half <= 580.0);
            assert!(top >= 0.0 && piece.foot[1] <= 700.0);
        }
        assert!(picture.per_cm > 3.0, "{}", picture.per_cm);
    }

    #[test]
    fn plain_knitting_has_the_colour_of_its_yarn_and_the_ground_is_clear() {
        let (project, picture) = yoke(&sheet(2.0));
        let body = &picture.standing[0];
        let pixel = |x: f64, y: f64| {
            let at = ((y * 2.0) as usize * picture.size[0] + (x * 2.0) as usize) * 4;
            picture.rgba[at..at + 4].to_vec()
        };
        let ground = project.palette.slots()[0].colour.to_srgb8();
        // 20 cm up: above the ribbed hem.
        let middle = pixel(body.foot[0], body.foot[1] - 20.0 * picture.per_cm);
        assert_eq!(middle, [ground[0], ground[1], ground[2], 255]);
        assert_eq!(pixel(body.foot[0], body.foot[1] + 10.0)[3], 0);
    }

    #[test]
    fn a_large_screen_gets_no_larger_a_picture_than_a_texture_can_be() {
        let (_, picture) = yoke(&sheet(9.0));
        assert_eq!(picture.size[1], 2048);
    }
}
