//! An outline in SVG (W3C Scalable Vector Graphics): what is drawn becomes one figure, whatever its colours.
//!
//! Read by `usvg`, so that shapes, transforms, styles and references are understood. Letters are not (they
//! need fonts), pictures inside are never fetched, clips, masks and arrowheads are left out.

use std::path::Path;

use tiny_skia::{FillRule, Mask, PathBuilder, Rect, Stroke, Transform};
use usvg::{Node, Options, Tree};

use super::error::{FileError, Problem};
use super::plain_drawing::{Refused, plain_drawing};
use super::store;
use crate::chart::{Cover, GridError, Stitched, best_offset};

/// Widest outline in stitches.
pub const MOST_STITCHES: u32 = 400;
/// Longest text that is read, in bytes: a drawing with tens of thousands of corners.
const MOST_BYTES: usize = 4 << 20;
/// Paths that are drawn at most.
const MOST_PATHS: usize = 20_000;
/// Parts of a cell each way, and of the longer side in all.
const PARTS: u32 = 8;
const MOST_PARTS: u32 = 4_096;

/// A figure of closed outlines.
#[derive(Clone, Debug)]
pub struct Outline {
    paths: Vec<(tiny_skia::Path, FillRule)>,
    bounds: Rect,
}

/// Opens an SVG file.
///
/// # Errors
/// [`FileError`] naming the file, the place and the mend.
pub fn load_outline(path: &Path) -> Result<Outline, FileError> {
    outline_from_bytes(&store::read_bytes(path)?, &path.display().to_string())
}

/// The outline in the text of an SVG file; `name` stands for the file in errors.
///
/// # Errors
/// [`FileError`] naming the place and the mend.
pub fn outline_from_bytes(bytes: &[u8], name: &str) -> Result<Outline, FileError> {
    read(bytes).map_err(|(place, problem)| FileError { file: name.to_owned(), place, problem })
}

fn read(bytes: &[u8]) -> Result<Outline, Refused> {
    let wrong = |what: String| (None, Problem::Syntax(what));
    if bytes.is_empty() {
        return Err((None, Problem::Empty));
    }
    if bytes.len() > MOST_BYTES {
        return Err(wrong(format!(
            "the drawing has {} MB, more than the {} MB that are read: simplify it",
            bytes.len() >> 20,
            MOST_BYTES >> 20
        )));
    }
    // Packed drawings could be a thousand times as large when unpacked.
    let text = std::str::from_utf8(bytes)
        .map_err(|_| wrong("this is no plain SVG text: save it as plain SVG".to_owned()))?;
    // Pictures within the drawing are none of the shapes that are left.
    let tree = Tree::from_str(&plain_drawing(text)?, &Options::default()).map_err(|error| {
        let why = crate::plain_text::quoted(&error.to_string());
        wrong(format!("this drawing cannot be drawn ({why}): save it as plain SVG"))
    })?;
    let mut paths = Vec::new();
    collect(tree.root(), &mut paths).map_err(|problem| (None, problem))?;
    let mut all = PathBuilder::new();
    for (path, _) in &paths {
        all.push_path(path);
    }
    let bounds = all.finish().map(|path| path.bounds()).and_then(|bounds| {
        // A line without width covers nothing.
        Rect::from_ltrb(bounds.left(), bounds.top(), bounds.right(), bounds.bottom())
            .filter(|bounds| bounds.width() > 1e-6 && bounds.height() > 1e-6)
    });
    let bounds = bounds.ok_or_else(|| {
        wrong(
            "nothing with an area is drawn in it: turn letters into outlines and give lines a width"
                .to_owned(),
        )
    })?;
    Ok(Outline { paths, bounds })
}

/// Everything that is painted, strokes as the outlines they cover.
fn collect(group: &usvg::Group, paths: &mut Vec<(tiny_skia::Path, FillRule)>) -> Result<(), Problem> {
    for node in group.children() {
        match node {
            Node::Group(inner) => collect(inner, paths)?,
            Node::Path(path) if path.is_visible() => {
                let place = path.abs_transform();
                if let Some(fill) = path.fill() {
                    let rule = match fill.rule() {
                        usvg::FillRule::NonZero => FillRule::Winding,
                        usvg::FillRule::EvenOdd => FillRule::EvenOdd,
                    };
                    paths.extend(path.data().clone().transform(place).map(|path| (path, rule)));
                }
                if let Some(stroke) = path.stroke() {
                    // Caps and joins are those of a stitch: too fine to tell.
                    let width = stroke.width().get();
                    let stroke = Stroke { width, ..Stroke::default() };
                    let line = path.data().stroke(&stroke, 1.0).and_then(|line| line.transform(place));
                    paths.extend(line.map(|path| (path, FillRule::Winding)));
                }
                if paths.len() > MOST_PATHS {
                    let what = format!("more than {MOST_PATHS} shapes are drawn in it: simplify it");
                    return Err(Problem::Syntax(what));
                }
            }
            Node::Path(_) | Node::Image(_) | Node::Text(_) => {}
        }
    }
    Ok(())
}

impl Outline {
    /// Height over width.
    pub fn proportion(&self) -> f64 {
        f64::from(self.bounds.height()) / f64::from(self.bounds.width())
    }

    /// The figure about `stitches` wide in cells of this aspect (the width of a stitch over its height), the
    /// grid laid where most of its symmetry and detail stay.
    ///
    /// # Errors
    /// [`GridError::Size`] when it would be wider or taller than [`MOST_STITCHES`].
    pub fn stitched(&self, stitches: u32, aspect: f64) -> Result<Stitched, GridError> {
        let rows = f64::from(stitches) * self.proportion() * aspect;
        let fits = (1..=MOST_STITCHES).contains(&stitches) && rows <= f64::from(MOST_STITCHES);
        if !fits {
            return Err(GridError::Size { width: stitches.into(), height: rows.min(1e9) as u64 });
        }
        let longer = f64::from(stitches).max(rows).max(1.0);
        let parts = PARTS.min((f64::from(MOST_PARTS) / longer) as u32).max(2);
        let side = |cells: f64| ((cells * f64::from(parts)).round() as u32).max(1);
        Ok(best_offset(&self.cover(side(f64::from(stitches)), side(rows), parts)))
    }

    fn cover(&self, width: u32, height: u32, parts: u32) -> Cover {
        let Some(mut mask) = Mask::new(width, height) else { return Cover::new(0, 0, parts, Vec::new()) };
        let (across, up) = (width as f32 / self.bounds.width(), height as f32 / self.bounds.height());
        // Drawings count downwards, charts upwards.
        let place =
            Transform::from_translate(-self.bounds.left(), -self.bounds.bottom()).post_scale(across, -up);
        for (path, rule) in &self.paths {
            mask.fill_path(path, *rule, true, place);
        }
        Cover::new(width, height, parts, mask.data().to_vec())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn outline(inside: &str) -> Outline {
        let text = format!("<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 100 100'>{inside}</svg>");
        outline_from_bytes(text.as_bytes(), "drawing.svg").unwrap()
    }

    fn rows(outline: &Outline, stitches: u32, aspect: f64) -> Vec<String> {
        let raster = outline.stitched(stitches, aspect).unwrap().raster;
        let letter = |x, y| if raster.contains(i64::from(x), i64::from(y)) { '#' } else { '.' };
        (0..raster.height()).rev().map(|y| (0..raster.width()).map(|x| letter(x, y)).collect()).collect()
    }

    #[test]
    fn a_triangle_stands_on_its_base() {
        let triangle = outline("<path d='M 10 90 L 90 90 L 50 10 Z'/>");
        let rows = rows(&triangle, 9, 1.0);
        assert!(rows[0].matches('#').count() < rows[rows.len() - 1].matches('#').count(), "{rows:?}");
        assert!(rows.iter().all(|row| *row == row.chars().rev().collect::<String>()), "{rows:?}");
    }

    #[test]
    fn the_true_proportion_of_a_stitch_decides_the_rows() {
        let square = outline("<rect x='20' y='20' width='40' height='40'/>");
        assert_eq!(rows(&square, 10, 1.0).len(), 10);
        assert_eq!(rows(&square, 10, 1.4).len(), 14);
    }

    #[test]
    fn strokes_transforms_and_styles_are_understood() {
        let ring = outline(
            "<g transform='translate(50 50) scale(2)'><circle r='12' style='fill:none;stroke:#123;stroke-width:6'/></g>",
        );
        let found = ring.stitched(15, 1.0).unwrap();
        assert_eq!((found.raster.holes(), found.raster.pieces().len(), found.broken), (1, 1, 0));
    }

    #[test]
    fn what_is_no_drawing_is_refused_with_the_mend() {
        let refused = |text: &[u8]| outline_from_bytes(text, "x.svg").unwrap_err().to_string();
        assert!(refused(b"").contains("x.svg: the file is empty"));
        assert!(refused(b"\x1f\x8b").contains("plain SVG"));
        assert!(refused(b"<svg").contains("plain SVG"));
        let empty =
            refused(b"<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 9 9'><path d='M1 1L5 1'/></svg>");
        assert!(empty.contains("turn letters into outlines"), "{empty}");
        let square = outline("<rect x='20' y='20' width='40' height='40'/>");
        assert!(square.stitched(401, 1.0).is_err() && square.stitched(0, 1.0).is_err());
    }

    #[test]
    fn pictures_inside_are_never_fetched() {
        let file = "<image href='/etc/hostname' width='9' height='9'/><rect width='5' height='5'/>";
        assert_eq!(outline(file).paths.len(), 1);
    }
}
