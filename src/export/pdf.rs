//! Drawings as the pages of a PDF: vector, with the fonts embedded, so that words can be searched.

use std::io::Write;

use krilla::Document;
use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Point, Rect, Transform};
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, Stroke};
use krilla::surface::Surface;
use krilla::tagging::{Artifact, ArtifactType, ContentTag};
use krilla::text::{Font, GlyphId, KrillaGlyph};

use super::ExportError;
use super::drawing::{CellLook, Cells, Drawing, Item, Rgb, Role, Text};
use super::faces::Face;
use super::pdf_structure::Structure;
use super::symbols::Mark;
use super::text;
use crate::plain_text::{acts_on_others, one_line};

/// Points in a millimetre (a point is 1/72 in).
const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// The language all words of the program are in.
const LANGUAGE: &str = "en-GB";

/// What a document is called.
#[derive(Clone, Copy, Debug, Default)]
pub struct About<'a> {
    /// Its title.
    pub title: &'a str,
    /// What it is, one sentence; may be empty.
    pub subject: &'a str,
    /// Who made it; may be empty.
    pub author: &'a str,
}

/// Writes the drawings as pages, each at its printed size, with tags and bookmarks after the roles of their
/// layers. `stopped` is asked on the way, many times.
///
/// # Errors
/// [`ExportError::Encoding`] when there is no page, a page has no size, or the writer fails;
/// [`ExportError::Stopped`] once `stopped` says so.
pub fn write(
    pages: &[Drawing],
    about: About,
    stopped: &dyn Fn() -> bool,
    out: &mut dyn Write,
) -> Result<(), ExportError> {
    let go_on = || if stopped() { Err(ExportError::Stopped) } else { Ok(()) };
    let broken = |what: &str| ExportError::Encoding(what.to_owned());
    if pages.is_empty() {
        return Err(broken("a PDF needs at least one page"));
    }
    let mut document = Document::new();
    let (mut fonts, mut structure) = (Fonts::default(), Structure::default());
    for (number, page) in pages.iter().enumerate() {
        let points = page.unit_mm * POINTS_PER_MM;
        let size = PageSettings::from_wh((page.width * points) as f32, (page.height * points) as f32);
        let mut sheet = document.start_page_with(size.ok_or_else(|| broken("a page has no size"))?);
        let mut surface = sheet.surface();
        surface.push_transform(&Transform::from_scale(points as f32, points as f32));
        let mut painter = Painter { surface: &mut surface, fonts: &mut fonts };
        // A page that was begun must be ended, even when nobody wants it any more.
        for layer in page.layers.iter().filter(|layer| !layer.items.is_empty()) {
            let part = painter.surface.start_tagged(tag(&layer.role));
            layer.items.iter().take_while(|_| !stopped()).for_each(|item| painter.item(item));
            painter.surface.end_tagged();
            structure.note(layer, part, number, points);
        }
        surface.pop();
        surface.finish();
        sheet.finish();
        go_on()?;
    }
    document.set_tag_tree(structure.tree(LANGUAGE));
    document.set_outline(structure.outline());
    document.set_metadata(
        Metadata::new()
            .title(one_line(about.title))
            .description(one_line(about.subject))
            .creator("Huegauge".to_owned())
            .authors(Vec::from_iter((!about.author.trim().is_empty()).then(|| one_line(about.author))))
            .language(LANGUAGE.to_owned()),
    );
    let bytes = document.finish().map_err(|error| ExportError::Encoding(format!("{error:?}")))?;
    out.write_all(&bytes)?;
    Ok(())
}

/// What the content of a layer is marked as.
const fn tag(role: &Role) -> ContentTag<'static> {
    match role {
        Role::Decoration => ContentTag::Artifact(Artifact { kind: ArtifactType::Layout, bbox: None }),
        _ => ContentTag::Other,
    }
}

/// The fonts in use, each embedded once.
#[derive(Default)]
struct Fonts(Vec<(&'static Face, Font)>);

impl Fonts {
    /// The font of a face; `None` when it cannot be embedded.
    fn of(&mut self, face: &'static Face) -> Option<Font> {
        if let Some((_, font)) = self.0.iter().find(|(known, _)| known.is(face)) {
            return Some(font.clone());
        }
        let font = Font::new(face.data.into(), face.index)?;
        self.0.push((face, font.clone()));
        Some(font)
    }
}

struct Painter<'a, 's> {
    surface: &'a mut Surface<'s>,
    fonts: &'a mut Fonts,
}

impl Painter<'_, '_> {
    fn item(&mut self, item: &Item) {
        match item {
            Item::Rect { x, y, width, height, ink } => {
                self.fill(path(|p| push_rect(p, [*x, *y, *width, *height])), *ink);
            }
            Item::Frame { x, y, width, height, thickness, ink } => {
                self.stroke(path(|p| push_rect(p, [*x, *y, *width, *height])), *thickness, *ink);
            }
            Item::Polygon { points, ink } => self.fill(path(|p| push_line(p, points, true)), *ink),
            Item::Line { points, width, closed, ink } => {
                self.stroke(path(|p| push_line(p, points, *closed)), *width, *ink);
            }
            Item::Text(line) => self.words(line),
            Item::Cells(cells) => self.cells(cells),
        }
    }

    fn fill(&mut self, path: Option<Path>, ink: Rgb) {
        let Some(path) = path else { return };
        self.surface.set_stroke(None);
        self.surface.set_fill(Some(fill(ink)));
        self.surface.draw_path(&path);
    }

    fn stroke(&mut self, path: Option<Path>, width: f64, ink: Rgb) {
        let Some(path) = path else { return };
        self.surface.set_fill(None);
        self.surface.set_stroke(Some(Stroke {
            paint: fill(ink).paint,
            width: width as f32,
            miter_limit: 4.0,
            ..Stroke::default()
        }));
        self.surface.draw_path(&path);
        self.surface.set_stroke(None);
    }

    /// Words as text: each letter keeps the place that every other format gives it.
    fn words(&mut self, line: &Text) {
        let shown: String = line.text.chars().filter(|c| !acts_on_others(*c)).collect();
        let (letters, width) = text::set(&shown, line.size, line.weight);
        if letters.is_empty() {
            return;
        }
        let ends = letters.iter().skip(1).map(|letter| letter.x).chain([width]);
        let glyphs = shown.char_indices().zip(letters.iter().zip(ends)).map(|((at, c), (letter, end))| {
            let advance = ((end - letter.x) / line.size) as f32;
            let glyph = GlyphId::new(u32::from(letter.glyph.0));
            KrillaGlyph::new(glyph, advance, 0.0, 0.0, 0.0, at..at + c.len_utf8(), None)
        });
        let glyphs: Vec<KrillaGlyph> = glyphs.collect();
        self.surface.set_stroke(None);
        self.surface.set_fill(Some(fill(line.ink)));
        let mut from = 0;
        // Letters of one face after the other.
        for run in letters.chunk_by(|a, b| a.face.is(b.face)) {
            let start = Point::from_xy((line.left() + run[0].x) as f32, line.y as f32);
            let part = &glyphs[from..from + run.len()];
            if let Some(font) = self.fonts.of(run[0].face) {
                self.surface.draw_glyphs(start, part, font, &shown, line.size as f32, false);
            }
            from += run.len();
        }
    }

    /// One path for all cells of a look, neighbours in a row taken together, and one for their marks.
    fn cells(&mut self, cells: &Cells) {
        for (index, look) in cells.looks.iter().enumerate() {
            let corner = |column: usize, row: usize| {
                (cells.x + column as f64 * cells.cell_width, cells.y + row as f64 * cells.cell_height)
            };
            let mut at = Vec::new();
            let area = path(|p| {
                for (row, looks) in cells.cells.chunks(cells.columns.max(1)).enumerate() {
                    let mut column = 0;
                    for run in looks.chunk_by(|a, b| a == b) {
                        if usize::from(run[0]) == index {
                            let (x, y) = corner(column, row);
                            push_rect(p, [x, y, run.len() as f64 * cells.cell_width, cells.cell_height]);
                            at.extend((column..column + run.len()).map(|column| corner(column, row)));
                        }
                        column += run.len();
                    }
                }
            });
            self.fill(area, look.fill);
            for mark in &look.marks {
                self.marks(cells, look, mark, &at);
            }
        }
    }

    fn marks(&mut self, cells: &Cells, look: &CellLook, mark: &Mark, at: &[(f64, f64)]) {
        let [left, top, width, height] = cells.mark_box(look);
        let placed = |(x, y): (f64, f64)| Item::of_mark(mark, [x + left, y + top, width, height], look.ink);
        let all = path(|p| {
            for corner in at {
                match placed(*corner) {
                    Item::Polygon { points, .. } => push_line(p, &points, true),
                    Item::Line { points, closed, .. } => push_line(p, &points, closed),
                    Item::Rect { .. } | Item::Frame { .. } | Item::Text(_) | Item::Cells(_) => {}
                }
            }
        });
        match at.first().map(|corner| placed(*corner)) {
            Some(Item::Line { width, .. }) => self.stroke(all, width, look.ink),
            Some(_) => self.fill(all, look.ink),
            None => {}
        }
    }
}

fn path(build: impl FnOnce(&mut PathBuilder)) -> Option<Path> {
    let mut builder = PathBuilder::new();
    build(&mut builder);
    builder.finish()
}

fn push_rect(path: &mut PathBuilder, [x, y, width, height]: [f64; 4]) {
    if let Some(rect) = Rect::from_xywh(x as f32, y as f32, width as f32, height as f32) {
        path.push_rect(rect);
    }
}

fn push_line(path: &mut PathBuilder, points: &[[f64; 2]], closed: bool) {
    for (i, [x, y]) in points.iter().enumerate() {
        let (x, y) = (*x as f32, *y as f32);
        if i == 0 { path.move_to(x, y) } else { path.line_to(x, y) }
    }
    if closed {
        path.close();
    }
}

fn fill([r, g, b]: Rgb) -> Fill {
    Fill { paint: rgb::Color::new(r, g, b).into(), rule: FillRule::NonZero, ..Fill::default() }
}
