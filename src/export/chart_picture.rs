//! The chart as a picture to knit from: true proportions, numbers, repeat box, legend and sizes.
//!
//! Conventions (common practice of printed charts): row 1 at the bottom, stitch 1 at the right;
//! in the round every number stands at the right, flat the right side (odd) rows are numbered at
//! the right edge and the wrong side (even) rows at the left, where each is begun.

use super::ExportError;
use super::drawing::{Align, CellLook, Cells, Drawing, Item, Layer, Rgb, Text, mark_box};
use super::legend::{self, Panel};
use super::stitch_signs::Signs;
use super::text::{self, CAP_HEIGHT, Weight};
use super::{png, symbols};
use crate::chart::{Point, Rect};
use crate::colour::Colour;
use crate::knit::Construction;
use crate::project::{Project, code_and_role};

/// Most pixels a stitch can have.
pub const MAX_PX: u32 = 400;

pub(super) const PAPER: Rgb = [255, 255, 255];
pub(super) const INK: Rgb = [28, 28, 28];
pub(super) const QUIET_INK: Rgb = [96, 96, 96];
pub(super) const LINE_INK: Rgb = [132, 132, 132];
pub(super) const HEAVY_INK: Rgb = [92, 92, 92];
const NO_STITCH_FILL: Rgb = [214, 214, 214];
const NO_STITCH_INK: Rgb = [168, 168, 168];
/// CIE L* above which a mark on a colour is dark: half way between the two inks.
const DARK_MARK_ABOVE: f64 = 54.0;
/// Cells smaller than this have no line around each.
const SMALLEST_LINED_CELL: f64 = 5.0;

/// How often a heavier line helps to count.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum HeavyEvery {
    /// Every 5 stitches and rows.
    Five,
    /// Every 10 stitches and rows.
    #[default]
    Ten,
}

impl HeavyEvery {
    const fn cells(self) -> u32 {
        match self {
            Self::Five => 5,
            Self::Ten => 10,
        }
    }
}

/// How the picture is made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PictureOptions {
    /// Width of a stitch in pixels, `1..=400`.
    pub px_per_stitch: u32,
    /// Whether each colour carries its symbol.
    pub symbols: bool,
    /// How often a heavier line helps to count.
    pub heavy_every: HeavyEvery,
    /// Printed resolution, `10..=2400`.
    pub dots_per_inch: f64,
}

impl Default for PictureOptions {
    /// 24 px a stitch at 150 dots per inch: a stitch prints 4 mm wide.
    fn default() -> Self {
        Self { px_per_stitch: 24, symbols: false, heavy_every: HeavyEvery::default(), dots_per_inch: 150.0 }
    }
}

/// Draws the chart of a project.
///
/// # Errors
/// [`ExportError`] when an option is out of range, or the picture would be over the limit; then it
/// names the most pixels a stitch that fit.
pub fn draw(project: &Project, options: &PictureOptions) -> Result<Drawing, ExportError> {
    check(options)?;
    let signs = Signs::of(project);
    let fits =
        |px: u32| Layout::new(&signs, project, &PictureOptions { px_per_stitch: px, ..*options }).fits();
    if !fits(options.px_per_stitch) {
        let (mut low, mut high) = (0, options.px_per_stitch);
        while high - low > 1 {
            let middle = low.midpoint(high);
            if fits(middle) { low = middle } else { high = middle }
        }
        return Err(ExportError::TooFine { asked: options.px_per_stitch, largest: low });
    }
    Ok(Layout::new(&signs, project, options).drawing())
}

/// [`draw`] for vector graphics, which have no pixels to limit: their size on disk is that of the stitches.
///
/// # Errors
/// [`ExportError`] when an option is out of range.
pub fn draw_vector(project: &Project, options: &PictureOptions) -> Result<Drawing, ExportError> {
    check(options)?;
    Ok(Layout::new(&Signs::of(project), project, options).drawing())
}

fn check(options: &PictureOptions) -> Result<(), ExportError> {
    if !(1..=MAX_PX).contains(&options.px_per_stitch) {
        return Err(ExportError::PxPerStitch(options.px_per_stitch));
    }
    if !(10.0..=2400.0).contains(&options.dots_per_inch) {
        return Err(ExportError::Resolution(options.dots_per_inch));
    }
    Ok(())
}

/// The marks of a slot's symbol and a colour that stands out on it.
pub(super) fn look_of(colour: Colour, marks: Vec<symbols::Mark>) -> CellLook {
    let ink = if colour.lstar() > DARK_MARK_ABOVE { INK } else { PAPER };
    CellLook { fill: colour.to_srgb8(), marks, ink, whole_cell: false }
}

/// The looks of the palette's colours, with or without marks.
fn looks(project: &Project, options: &PictureOptions) -> Vec<CellLook> {
    let marks = if options.symbols {
        symbols::distinct_marks(project)
    } else {
        vec![Vec::new(); project.palette.slots().len()]
    };
    project.palette.slots().iter().zip(marks).map(|(slot, marks)| look_of(slot.colour, marks)).collect()
}

pub(super) fn no_stitch_look() -> CellLook {
    CellLook { fill: NO_STITCH_FILL, marks: symbols::no_stitch(), ink: NO_STITCH_INK, whole_cell: true }
}

/// Where everything stands, in pixels.
struct Layout<'a> {
    signs: &'a Signs<'a>,
    project: &'a Project,
    options: &'a PictureOptions,
    cell_width: f64,
    cell_height: f64,
    /// Font size of row and stitch numbers.
    number_size: f64,
    title_size: f64,
    margin: f64,
    /// The stitches: left, top, width, height.
    chart: [f64; 4],
    title: String,
    panel: Panel,
    width: f64,
    height: f64,
}

impl<'a> Layout<'a> {
    fn new(signs: &'a Signs, project: &'a Project, options: &'a PictureOptions) -> Self {
        let px = f64::from(options.px_per_stitch);
        let (cell_width, cell_height) = (px, px / project.plan.gauge.cell_aspect());
        let grid = &project.chart.grid;
        let (chart_width, chart_height) =
            (f64::from(grid.width()) * cell_width, f64::from(grid.height()) * cell_height);
        // Words grow with the stitches but stay legible on small charts and modest on large ones.
        let number_size = (0.62 * px).clamp(13.0, 30.0);
        let body_size = (0.8 * px).clamp(16.0, 36.0);
        let title_size = 1.6 * body_size;
        let margin = 2.0 * body_size;

        let side_numbers = number_size.mul_add(0.6, text::width("0000", number_size, Weight::Regular));
        let left = match project.plan.construction {
            Construction::InTheRound => margin,
            Construction::Flat => margin + side_numbers,
        };
        let top = margin + if project.title.is_empty() { 0.0 } else { title_size * 1.6 };
        let bottom_numbers = number_size * 1.8;
        let right = left + chart_width + side_numbers;
        let below = top + chart_height + bottom_numbers;

        let beside = chart_width <= 1.35 * chart_height;
        let blocks =
            legend::blocks(project, options, signs, body_size, if beside { chart_height } else { 0.0 });
        let panel = if beside {
            Panel::in_columns(blocks, body_size, [right + body_size, top], chart_height)
        } else {
            Panel::in_lines(blocks, body_size, [margin, below + 1.2 * body_size], right.max(40.0 * body_size))
        };
        let title_limit = (panel.right.max(right) - margin).max(24.0 * body_size);
        let title = text::fitted(&project.title, title_size, Weight::Semibold, title_limit);
        let title_right = margin + text::width(&title, title_size, Weight::Semibold);
        Self {
            signs,
            project,
            options,
            cell_width,
            cell_height,
            number_size,
            title_size,
            margin,
            chart: [left, top, chart_width, chart_height],
            title,
            width: (panel.right.max(right).max(title_right) + margin).ceil(),
            height: (panel.bottom.max(below) + margin).ceil(),
            panel,
        }
    }

    fn fits(&self) -> bool {
        png::check_size(self.width as u32, self.height as u32).is_ok()
    }

    fn drawing(self) -> Drawing {
        let layers = vec![
            Layer::new("stitches", vec![Item::Cells(self.cells())]),
            Layer::new("signs", self.signs_over_stitches()),
            Layer::new("lines", self.lines()),
            Layer::new("repeat", self.repeat_box()),
            Layer::new("numbers", [self.row_numbers(), self.stitch_numbers()].concat()),
            Layer::new("title", self.title_items()),
            Layer::new("legend", self.panel.items),
        ];
        Drawing {
            width: self.width,
            height: self.height,
            unit_mm: 25.4 / self.options.dots_per_inch,
            title: self.project.title.clone(),
            paper: PAPER,
            layers,
        }
    }

    fn title_items(&self) -> Vec<Item> {
        vec![Item::Text(Text {
            x: self.margin,
            y: self.margin + CAP_HEIGHT * self.title_size,
            text: self.title.clone(),
            size: self.title_size,
            weight: Weight::Semibold,
            align: Align::Start,
            ink: INK,
        })]
    }

    fn cells(&self) -> Cells {
        let grid = &self.project.chart.grid;
        let slots = self.project.palette.slots();
        let mut looks = looks(self.project, self.options);
        looks.push(no_stitch_look());
        let mut cells = Vec::with_capacity(grid.cells().len());
        for y in (0..grid.height()).rev() {
            cells.extend(grid.row(y).iter().map(|cell| cell.index().unwrap_or(slots.len()) as u8));
        }
        let [x, y, ..] = self.chart;
        Cells {
            x,
            y,
            cell_width: self.cell_width,
            cell_height: self.cell_height,
            columns: grid.width() as usize,
            cells,
            looks,
        }
    }

    fn signs_over_stitches(&self) -> Vec<Item> {
        let [left, top, _, height] = self.chart;
        let corner = |p: Point| {
            [left + f64::from(p.x) * self.cell_width, top + height - f64::from(p.y + 1) * self.cell_height]
        };
        let bounds = self.project.chart.grid.bounds();
        self.signs.over_stitches(bounds, [self.cell_width, self.cell_height], corner)
    }

    /// Lines between the cells, the heavier ones counted from the corner where knitting begins.
    fn lines(&self) -> Vec<Item> {
        let grid = &self.project.chart.grid;
        let [left, top, width, height] = self.chart;
        let every = self.options.heavy_every.cells();
        let smaller = self.cell_width.min(self.cell_height);
        let heavy = (smaller * 0.05).clamp(1.0, 3.0).round() + 1.0;
        let minor_shown = smaller >= SMALLEST_LINED_CELL;
        let heavy_shown = smaller * f64::from(every) >= 3.0 * SMALLEST_LINED_CELL;
        let line = |at: f64, upright: bool, thickness: f64, ink: Rgb| {
            let start = at - thickness / 2.0;
            if upright {
                Item::Rect { x: start, y: top, width: thickness, height, ink }
            } else {
                Item::Rect { x: left, y: start, width, height: thickness, ink }
            }
        };
        let upright = (1..grid.width()).map(|i| (i, true, left + width - f64::from(i) * self.cell_width));
        let level = (1..grid.height()).map(|i| (i, false, top + height - f64::from(i) * self.cell_height));
        let (thick, thin): (Vec<_>, Vec<_>) =
            upright.chain(level).partition(|(i, ..)| i.is_multiple_of(every));
        let mut items = Vec::new();
        if minor_shown {
            items.extend(thin.into_iter().map(|(_, upright, at)| line(at, upright, 1.0, LINE_INK)));
        }
        if heavy_shown {
            items.extend(thick.into_iter().map(|(_, upright, at)| line(at, upright, heavy, HEAVY_INK)));
        }
        items.push(frame(self.chart, heavy, HEAVY_INK));
        items
    }

    /// The repeat: a dark box cased in white, so that it shows on every colour.
    fn repeat_box(&self) -> Vec<Item> {
        let Rect { x, y, width, height } = self.project.chart.repeat();
        let [left, top, _, chart_height] = self.chart;
        let rect = [
            left + f64::from(x) * self.cell_width,
            top + chart_height - f64::from(y + height) * self.cell_height,
            f64::from(width) * self.cell_width,
            f64::from(height) * self.cell_height,
        ];
        let core = repeat_thickness(self.cell_width);
        vec![frame(rect, core + 4.0, PAPER), frame(rect, core, INK)]
    }

    fn row_numbers(&self) -> Vec<Item> {
        let [left, top, width, height] = self.chart;
        let construction = self.project.plan.construction;
        // Flat, neighbours stand on opposite sides, so each side has twice the room.
        let room_for_all = match construction {
            Construction::InTheRound => self.cell_height,
            Construction::Flat => 2.0 * self.cell_height,
        };
        let need = 1.15 * self.number_size * CAP_HEIGHT + 2.0;
        let step = if room_for_all >= need { 1 } else { counting_step(self.cell_height, need) };
        let shown = |row: u32| row.is_multiple_of(step) || row == 1;
        // Row 1 gives way when the next number would touch it.
        let first = if step > 1 && f64::from(step - 1) * self.cell_height < need { 2 } else { 1 };
        let gap = 0.5 * self.number_size;
        (first..=self.project.chart.grid.height())
            .filter(|row| shown(*row))
            .map(|row| {
                let middle = top + height - (f64::from(row) - 0.5) * self.cell_height;
                let (x, align) = if construction.reads_from_right(row - 1) {
                    (left + width + gap, Align::Start)
                } else {
                    (left - gap, Align::End)
                };
                self.number(row, x, middle + CAP_HEIGHT * self.number_size / 2.0, align)
            })
            .collect()
    }

    fn stitch_numbers(&self) -> Vec<Item> {
        let [left, top, width, height] = self.chart;
        let stitches = self.project.chart.grid.width();
        let widest = text::width(&stitches.to_string(), self.number_size, Weight::Regular);
        let need = widest + 0.6 * self.number_size;
        let step = counting_step(self.cell_width, need);
        let first = if f64::from(step - 1) * self.cell_width < need { 2 } else { 1 };
        let baseline = top + height + self.number_size * 0.6 + CAP_HEIGHT * self.number_size;
        (first..=stitches)
            .filter(|stitch| stitch.is_multiple_of(step) || *stitch == 1)
            .map(|stitch| {
                let x = left + width - (f64::from(stitch) - 0.5) * self.cell_width;
                self.number(stitch, x, baseline, Align::Middle)
            })
            .collect()
    }

    fn number(&self, number: u32, x: f64, y: f64, align: Align) -> Item {
        Item::Text(Text {
            x,
            y,
            text: number.to_string(),
            size: self.number_size,
            weight: Weight::Regular,
            align,
            ink: QUIET_INK,
        })
    }
}

/// Thickness of the repeat box for a stitch of this width.
pub(super) fn repeat_thickness(cell_width: f64) -> f64 {
    (cell_width * 0.14).clamp(2.0, 8.0).round()
}

/// The outline of the rectangle `[left, top, width, height]`.
pub(super) const fn frame([x, y, width, height]: [f64; 4], thickness: f64, ink: Rgb) -> Item {
    Item::Frame { x, y, width, height, thickness, ink }
}

/// The smallest round number of cells that takes up `need` pixels: 5, 10, 20, 50, 100, ...
fn counting_step(cell: f64, need: f64) -> u32 {
    let mut steps = [5, 10, 20, 50, 100, 200, 500, 1000].into_iter();
    steps.find(|step| f64::from(*step) * cell >= need).unwrap_or(2000)
}

/// A cell of a legend at `[x, y]`, of this size, with its mark and an edge of this thickness.
pub(super) fn sample_cell(
    look: &CellLook,
    [x, y]: [f64; 2],
    [width, height]: [f64; 2],
    edge: f64,
) -> Vec<Item> {
    let mut items = vec![Item::Rect { x, y, width, height, ink: look.fill }];
    let [dx, dy, w, h] = mark_box(width, height, look.whole_cell);
    items.extend(look.marks.iter().map(|mark| Item::of_mark(mark, [x + dx, y + dy, w, h], look.ink)));
    items.push(frame([x, y, width, height], edge, LINE_INK));
    items
}

/// The legend block of colours and signs.
pub(super) fn signs(project: &Project, options: &PictureOptions, signs: &Signs) -> Vec<legend::Entry> {
    let mut entries: Vec<legend::Entry> = project
        .palette
        .slots()
        .iter()
        .zip(looks(project, options))
        .enumerate()
        .map(|(index, (slot, look))| legend::Entry::Sample {
            look,
            name: slot.name.clone(),
            detail: format!("{} · {}", code_and_role(index, slot.role), slot.colour.to_hex()),
        })
        .collect();
    if project.chart.grid.cells().iter().any(|cell| cell.index().is_none()) {
        entries.push(legend::Entry::Sample {
            look: no_stitch_look(),
            name: "No stitch".to_owned(),
            detail: "Nothing to knit here".to_owned(),
        });
    }
    entries.extend(signs.key().into_iter().map(|(look, words)| {
        let (name, detail) = words.split_once(": ").unwrap_or((&words, ""));
        legend::Entry::Sample { look, name: name.to_owned(), detail: detail.to_owned() }
    }));
    entries
}
