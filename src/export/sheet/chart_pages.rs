//! The chart, split over pages where it is too large for one.
//!
//! Every colour carries its symbol, so that the chart can be read in black and white and by every eye.

use super::flow::{Flow, SMALL, Style};
use crate::chart::{Point, Rect};
use crate::export::ExportError;
use crate::export::chart_picture::{self, HEAVY_INK, INK, LINE_INK, PAPER};
use crate::export::drawing::{Align, CellLook, Cells, Item, Role};
use crate::export::stitch_signs::Signs;
use crate::export::symbols;
use crate::export::text::{self, Weight};
use crate::knit::Construction;
use crate::project::{Project, key_entry};

/// Widest stitch that is printed, in mm.
const WIDEST: f64 = 5.0;
/// Narrowest stitch of a chart on one page: symbols stay apart.
const NARROWEST: f64 = 1.9;
/// Narrowest stitch of charts that share a page.
const LARGE_ENOUGH: f64 = 2.4;
/// Room for the words and numbers of each of them, and between them.
const TOGETHER: f64 = 24.0;
/// Widths that a printed stitch can be given, in mm.
pub const STITCH_MM: std::ops::RangeInclusive<f64> = 2.0..=10.0;
/// Stitch width of a chart that needs several pages.
const SPLIT: f64 = 3.4;
/// Stitches and rows that neighbouring pages both show.
const OVERLAP: u32 = 2;
/// Most parts of a chart; beyond, nobody would put the pages together.
const MOST_PARTS: usize = 400;
/// Room for numbers on each side.
const NUMBERS: f64 = 8.0;
/// Side of a sample in the key.
const SAMPLE: f64 = 4.6;
/// The map of the parts: most width and height.
const MAP: [f64; 2] = [26.0, 15.0];

/// Looks of the palette's colours with their symbols, then that of "no stitch".
pub fn looks(project: &Project) -> Vec<CellLook> {
    let slots = project.palette.slots().iter().zip(symbols::distinct_marks(project));
    let look = |(slot, marks): (&crate::project::Slot, _)| chart_picture::look_of(slot.colour, marks);
    slots.map(look).chain([chart_picture::no_stitch_look()]).collect()
}

/// A chart set out on pages.
struct Setting {
    /// On pages that lie on their long side.
    wide: bool,
    cell: [f64; 2],
    parts: Vec<Rect>,
}

impl Setting {
    /// Sets out the chart on upright or wide pages; `above` is what stands above a chart on one page.
    fn of(flow: &Flow, project: &Project, wide: bool, above: f64, stitch_mm: Option<f64>) -> Self {
        let grid = &project.chart.grid;
        let aspect = project.plan.gauge.cell_aspect();
        let [width, height] = flow.room_on(wide);
        let width = width - 2.0 * NUMBERS;
        let whole = (width / f64::from(grid.width()))
            .min((height - above).max(0.0) * aspect / f64::from(grid.height()));
        let cell_width = match stitch_mm {
            Some(mm) => mm.clamp(*STITCH_MM.start(), *STITCH_MM.end()),
            None if whole >= NARROWEST => whole.min(WIDEST),
            None => SPLIT,
        };
        let cell = [cell_width, cell_width / aspect];
        let size = [grid.width(), grid.height()];
        let mut parts = split(size, cell, [width, height - above]);
        if parts.len() > 1 {
            parts = split(size, cell, [width, height - above - MAP[1] - 1.0]);
        }
        Self { wide, cell, parts }
    }

    /// Fewer pages are better, then larger stitches; a page is turned only for something.
    fn better(self, other: Self) -> Self {
        let fewer = other.parts.len() < self.parts.len();
        let larger = other.parts.len() == self.parts.len() && other.cell[0] > 1.15 * self.cell[0];
        if fewer || larger { other } else { self }
    }
}

/// Sets the chart of a project under `heading`, on pages of its own; `told` says what the picture shows.
///
/// Without a width for its stitches, in mm, the chart is made to fit one page, which lies on its long side
/// where that helps. The page after it is upright again.
///
/// # Errors
/// [`ExportError::TooManyPages`] when it would be split into more than 400 parts.
pub fn set(
    flow: &mut Flow,
    project: &Project,
    heading: &str,
    stitch_mm: Option<f64>,
) -> Result<(), ExportError> {
    let signs = Signs::of(project);
    let keys = [false, true].map(|wide| key(project, &signs, flow.room_on(wide)[0]));
    let setting = |wide: bool| {
        let above = Style::HEADING.line()
            + 2.0 * Style::SMALL.line()
            + keys[usize::from(wide)].height
            + 6.0
            + NUMBERS;
        Setting::of(flow, project, wide, above, stitch_mm)
    };
    let Setting { wide, cell, parts } = setting(false).better(setting(true));
    if parts.len() > MOST_PARTS {
        return Err(ExportError::TooManyPages { pages: parts.len(), most: MOST_PARTS });
    }
    let key = &keys[usize::from(wide)];
    for (i, part) in parts.iter().enumerate() {
        flow.turned_page(wide);
        if i == 0 {
            flow.heading(heading, Style::HEADING, 0.0);
        }
        part_head(flow, project, &parts, i);
        key.set(flow);
        PagePart { project, signs: &signs, cells: *part, cell }.set(flow, &parts, i);
    }
    flow.turned_page(false);
    Ok(())
}

/// Sets charts one under the other on one page where their stitches stay large enough, else each on pages of
/// its own.
///
/// # Errors
/// [`ExportError::TooManyPages`] when one would be split into more than 400 parts.
pub fn set_all(flow: &mut Flow, charts: &[(String, Project)]) -> Result<(), ExportError> {
    let Some(((first_name, first), others)) = charts.split_first() else { return Ok(()) };
    let [width, height] = flow.room_on(false);
    let signs: Vec<Signs> = charts.iter().map(|(_, project)| Signs::of(project)).collect();
    let keys: Vec<Key> =
        charts.iter().zip(&signs).map(|((_, project), signs)| key(project, signs, width)).collect();
    let aspect = first.plan.gauge.cell_aspect();
    let words: f64 = keys.iter().map(|key| key.height + Style::HEADING.line() + TOGETHER).sum();
    let rows: u32 = charts.iter().map(|(_, project)| project.chart.grid.height()).sum();
    let widest = charts.iter().map(|(_, project)| project.chart.grid.width()).max().unwrap_or(1);
    let cell_width = WIDEST
        .min((width - 2.0 * NUMBERS) / f64::from(widest))
        .min((height - words).max(0.0) * aspect / f64::from(rows));
    if others.is_empty() {
        return set(flow, first, first_name, None);
    }
    if cell_width < LARGE_ENOUGH {
        return charts.iter().try_for_each(|(name, project)| set(flow, project, name, None));
    }
    flow.turned_page(false);
    let cell = [cell_width, cell_width / aspect];
    for (((name, project), signs), key) in charts.iter().zip(&signs).zip(&keys) {
        flow.heading(name, Style::HEADING, 0.0);
        let all = [project.chart.grid.bounds()];
        part_head(flow, project, &all, 0);
        key.set(flow);
        PagePart { project, signs, cells: all[0], cell }.set(flow, &all, 0);
    }
    flow.turned_page(false);
    Ok(())
}

/// The colours with their codes, in a row.
fn colours_told(project: &Project) -> String {
    let slots = project.palette.slots().iter().enumerate();
    slots.map(|(index, slot)| key_entry(index, slot)).collect::<Vec<_>>().join("; ")
}

/// The numbers that stand at an edge: the first, the last and every `step`th between, where one keeps
/// `apart` from both.
fn numbered(all: std::ops::RangeInclusive<u32>, step: u32, apart: f64) -> Vec<u32> {
    let (first, last) = (*all.start(), *all.end());
    let clear = |number: u32, end: u32| number == end || f64::from(number.abs_diff(end)) >= apart;
    all.filter(|n| {
        *n == first || *n == last || (n.is_multiple_of(step) && clear(*n, first) && clear(*n, last))
    })
    .collect()
}

/// The words above a part, and where it lies when there are several.
fn part_head(flow: &mut Flow, project: &Project, parts: &[Rect], index: usize) {
    let words = part_words(project, parts[index], index, parts.len());
    if parts.len() == 1 {
        flow.words(&words, Style::SMALL);
        return;
    }
    let width = flow.width();
    flow.place(MAP[1], Role::Words { goes_on: false }, |x, y| {
        let lines = Style::SMALL.wrapped(&words, width - MAP[0] - 6.0);
        let line = |(i, line): (usize, &String)| {
            Style::SMALL.at(line, x, y + i as f64 * Style::SMALL.line(), Align::Start)
        };
        let mut items: Vec<Item> = lines.iter().enumerate().map(line).collect();
        items.extend(map(project, parts, index, [x + width - MAP[0], y]));
        items
    });
}

/// All parts in small, the one at `index` filled.
fn map(project: &Project, parts: &[Rect], index: usize, [left, top]: [f64; 2]) -> Vec<Item> {
    let grid = &project.chart.grid;
    let aspect = project.plan.gauge.cell_aspect();
    let rows = f64::from(grid.height()) / aspect;
    let scale = (MAP[0] / f64::from(grid.width())).min(MAP[1] / rows);
    // Against the right margin.
    let left = left + MAP[0] - f64::from(grid.width()) * scale;
    let placed = |part: &Rect| {
        let up = f64::from(grid.height() - part.y - part.height) / aspect;
        [
            left + f64::from(part.x) * scale,
            top + up * scale,
            f64::from(part.width) * scale,
            f64::from(part.height) / aspect * scale,
        ]
    };
    let [x, y, width, height] = placed(&parts[index]);
    let mut items = vec![Item::Rect { x, y, width, height, ink: LINE_INK }];
    items.extend(parts.iter().map(|part| chart_picture::frame(placed(part), 0.12, INK)));
    // Numbers only where each part has room for one.
    if placed(&parts[0])[3] > 3.0 && placed(&parts[0])[2] > 3.5 {
        items.extend(parts.iter().enumerate().map(|(number, part)| {
            let [x, y, width, height] = placed(part);
            let style = Style { ink: INK, ..Style::SMALL };
            let middle = y + (height - style.line()) / 2.0;
            style.at(&(number + 1).to_string(), x + width / 2.0, middle, Align::Middle)
        }));
    }
    items
}

/// What stands above a part.
fn part_words(project: &Project, part: Rect, index: usize, count: usize) -> String {
    let grid = &project.chart.grid;
    let (rows, read) = match project.plan.construction {
        Construction::InTheRound => ("rounds", "every round from right to left"),
        Construction::Flat => {
            ("rows", "odd (right-side) rows from right to left, even rows from left to right")
        }
    };
    let whole =
        format!("{} stitches × {} {rows}; read {read}, from the bottom up.", grid.width(), grid.height());
    if count == 1 {
        return whole;
    }
    let last_stitch = grid.width() - part.x;
    format!(
        "Part {} of {count}: stitches {}–{last_stitch}, {rows} {}–{}. Bars outside the chart mark what the \
         neighbouring part shows again. The whole chart: {whole}",
        index + 1,
        last_stitch + 1 - part.width,
        part.y + 1,
        part.y + part.height,
    )
}

/// The parts a chart of `size` cells is split into, in knitting order: from the right, from the bottom.
fn split(size: [u32; 2], cell: [f64; 2], room: [f64; 2]) -> Vec<Rect> {
    // From the side knitting begins on: how far each part starts and how much it shows.
    let spans = |axis: usize| -> Vec<(u32, u32)> {
        let fits = ((room[axis] / cell[axis] + 1e-9).floor() as u32).clamp(OVERLAP + 1, u32::MAX / 2);
        if size[axis] <= fits {
            return vec![(0, size[axis])];
        }
        // Parts of even size rather than full ones and a strip.
        let new = size[axis] - OVERLAP;
        let step = new.div_ceil(new.div_ceil(fits - OVERLAP));
        let starts = (0..new).step_by(step as usize);
        starts.map(|start| (start, (step + OVERLAP).min(size[axis] - start))).collect()
    };
    let across = spans(0);
    let part = |(y, height): (u32, u32)| {
        across
            .iter()
            .map(move |(from_right, width)| Rect::new(size[0] - from_right - width, y, *width, height))
    };
    spans(1).into_iter().flat_map(part).collect()
}

/// Samples of all colours, set beside each other.
struct Key {
    items: Vec<Item>,
    height: f64,
}

impl Key {
    fn set(&self, flow: &mut Flow) {
        flow.gap(1.0);
        flow.place(self.height, Role::default(), |x, y| {
            self.items.iter().map(|item| item.clone().moved(x, y)).collect()
        });
        flow.gap(2.0);
    }
}

fn key(project: &Project, signs: &Signs, width: f64) -> Key {
    let slots = project.palette.slots();
    let mut labels: Vec<String> =
        slots.iter().enumerate().map(|(index, slot)| key_entry(index, slot)).collect();
    labels.push("No stitch".to_owned());
    let gaps = project.chart.grid.cells().iter().any(|cell| cell.index().is_none());
    let shown = if gaps { labels.len() } else { slots.len() };
    let (mut items, mut x, mut y) = (Vec::new(), 0.0, 0.0);
    let colours = looks(project).into_iter().zip(labels).take(shown);
    for (look, label) in colours.chain(signs.key()) {
        let label = text::fitted(&label, SMALL, Weight::Regular, 60.0);
        let entry = SAMPLE + 1.6 + text::width(&label, SMALL, Weight::Regular) + 5.0;
        if x > 0.0 && x + entry > width {
            x = 0.0;
            y += SAMPLE + 1.4;
        }
        items.extend(chart_picture::sample_cell(&look, [x, y], [SAMPLE, SAMPLE], 0.15));
        let words = Style { ink: INK, ..Style::SMALL };
        items.push(words.at(&label, x + SAMPLE + 1.6, y + (SAMPLE - words.line()) / 2.0, Align::Start));
        x += entry;
    }
    y += SAMPLE + 0.8;
    items.push(Style::SMALL.at(&signs.note().concat(), 0.0, y, Align::Start));
    Key { items, height: y + Style::SMALL.line() }
}

/// A part of the chart on its page.
struct PagePart<'a> {
    project: &'a Project,
    signs: &'a Signs<'a>,
    cells: Rect,
    cell: [f64; 2],
}

impl PagePart<'_> {
    /// Sets it in the middle of the page.
    fn set(&self, flow: &mut Flow, parts: &[Rect], index: usize) {
        let told = Role::Figure(format!(
            "Chart: {} Colours: {}. Every row is written out in words where the rows stand.",
            part_words(self.project, parts[index], index, parts.len()),
            colours_told(self.project)
        ));
        let width = flow.width();
        let (own_width, height) = self.size();
        flow.place(height + NUMBERS, told, |x, y| self.items(x + (width - own_width) / 2.0, y));
    }

    fn items(&self, left: f64, top: f64) -> Vec<Item> {
        let mut items = vec![Item::Cells(self.cells(left, top))];
        let corner = |p: Point| {
            let number = self.project.chart.grid.width() - p.x;
            [self.stitch_x(left, number), self.row_y(top, p.y + 1)]
        };
        items.extend(self.signs.over_stitches(self.cells, self.cell, corner));
        items.extend(self.lines(left, top));
        items.extend(self.repeat_edges(left, top));
        items.extend(self.numbers(left, top));
        items.extend(self.overlaps(left, top));
        items
    }

    fn size(&self) -> (f64, f64) {
        (f64::from(self.cells.width) * self.cell[0], f64::from(self.cells.height) * self.cell[1])
    }

    fn cells(&self, x: f64, y: f64) -> Cells {
        let grid = &self.project.chart.grid;
        let looks = looks(self.project);
        let columns = self.cells.x as usize..(self.cells.x + self.cells.width) as usize;
        let mut cells = Vec::with_capacity(self.cells.area());
        for row in (self.cells.y..self.cells.y + self.cells.height).rev() {
            let row = grid.row(row).get(columns.clone()).unwrap_or_default();
            cells.extend(row.iter().map(|cell| cell.index().unwrap_or(looks.len() - 1) as u8));
        }
        let [cell_width, cell_height] = self.cell;
        Cells { x, y, cell_width, cell_height, columns: self.cells.width as usize, cells, looks }
    }

    /// Left edge of the stitch numbered `stitch` and top edge of the row numbered `row`.
    fn stitch_x(&self, left: f64, stitch: u32) -> f64 {
        let column = f64::from(self.project.chart.grid.width() - stitch) - f64::from(self.cells.x);
        left + column * self.cell[0]
    }

    fn row_y(&self, top: f64, row: u32) -> f64 {
        top + (f64::from(self.cells.y + self.cells.height) - f64::from(row)) * self.cell[1]
    }

    fn stitches(&self) -> std::ops::RangeInclusive<u32> {
        let last = self.project.chart.grid.width() - self.cells.x;
        last + 1 - self.cells.width..=last
    }

    fn rows(&self) -> std::ops::RangeInclusive<u32> {
        self.cells.y + 1..=self.cells.y + self.cells.height
    }

    /// Lines between the cells; every tenth, counted from the corner where knitting begins, is heavier.
    fn lines(&self, left: f64, top: f64) -> Vec<Item> {
        let (width, height) = self.size();
        let pen = |number: u32| if number.is_multiple_of(10) { (0.35, HEAVY_INK) } else { (0.1, LINE_INK) };
        let upright = self.stitches().map(|stitch| {
            let (thickness, ink) = pen(stitch);
            let x = self.stitch_x(left, stitch) - thickness / 2.0;
            (thickness, Item::Rect { x, y: top, width: thickness, height, ink })
        });
        let level = self.rows().map(|row| {
            let (thickness, ink) = pen(row);
            let y = self.row_y(top, row) - thickness / 2.0;
            (thickness, Item::Rect { x: left, y, width, height: thickness, ink })
        });
        let mut lines: Vec<(f64, Item)> = upright.chain(level).collect();
        lines.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut items: Vec<Item> = lines.into_iter().map(|(_, item)| item).collect();
        items.push(chart_picture::frame([left, top, width, height], 0.35, HEAVY_INK));
        items
    }

    /// The edges of the repeat box that lie on this part, dark with a white casing.
    fn repeat_edges(&self, left: f64, top: f64) -> Vec<Item> {
        let repeat = self.project.chart.repeat();
        let part = self.cells;
        let shown = repeat.intersect(part);
        if shown.is_empty() {
            return Vec::new();
        }
        let x = |column: u32| left + f64::from(column - part.x) * self.cell[0];
        let y = |row: u32| top + f64::from(part.y + part.height - row) * self.cell[1];
        let (x0, x1) = (x(shown.x), x(shown.x + shown.width));
        let (y0, y1) = (y(shown.y + shown.height), y(shown.y));
        let edges = [
            (shown.x == repeat.x, [[x0, y0], [x0, y1]]),
            (shown.x + shown.width == repeat.x + repeat.width, [[x1, y0], [x1, y1]]),
            (shown.y == repeat.y, [[x0, y1], [x1, y1]]),
            (shown.y + shown.height == repeat.y + repeat.height, [[x0, y0], [x1, y0]]),
        ];
        let edges: Vec<_> = edges.into_iter().filter(|(real, _)| *real).map(|(_, line)| line).collect();
        let core = (self.cell[0] * 0.16).clamp(0.4, 0.8);
        let pens = [(core + 0.4, PAPER), (core, INK)];
        let drawn = pens.into_iter().flat_map(|(width, ink)| {
            edges.clone().into_iter().map(move |[a, b]| {
                // Half a pen longer at both ends, so that edges meet in a corner.
                let reach = |from: [f64; 2], to: [f64; 2]| {
                    let step = |i: usize| from[i] + (from[i] - to[i]).signum() * width / 2.0;
                    [
                        if from[0] == to[0] { from[0] } else { step(0) },
                        if from[1] == to[1] { from[1] } else { step(1) },
                    ]
                };
                Item::Line { points: vec![reach(a, b), reach(b, a)], width, closed: false, ink }
            })
        });
        drawn.collect()
    }

    fn numbers(&self, left: f64, top: f64) -> Vec<Item> {
        let (width, height) = self.size();
        let style = Style::SMALL;
        let construction = self.project.plan.construction;
        let all_rows = self.cell[1] * if construction == Construction::Flat { 2.0 } else { 1.0 } >= 2.3;
        let row_size = style.size.min(if all_rows { self.cell[1] * 0.95 } else { style.size }).max(1.8);
        let row_style = Style { size: row_size, ..style };
        let shown_rows = numbered(self.rows(), if all_rows { 1 } else { 5 }, row_size / self.cell[1]);
        let rows = shown_rows.into_iter().map(|row| {
            let y = self.row_y(top, row) + (self.cell[1] - row_style.line()) / 2.0;
            if construction.reads_from_right(row - 1) {
                row_style.at(&row.to_string(), left + width + 1.2, y, Align::Start)
            } else {
                row_style.at(&row.to_string(), left - 1.2, y, Align::End)
            }
        });
        let widest = text::width(&self.stitches().end().to_string(), style.size, style.weight);
        let shown_stitches = numbered(self.stitches(), 5, (widest + 0.8) / self.cell[0]);
        let stitches = shown_stitches.into_iter().map(|stitch| {
            let x = self.stitch_x(left, stitch) + self.cell[0] / 2.0;
            style.at(&stitch.to_string(), x, top + height + 1.6, Align::Middle)
        });
        rows.chain(stitches).collect()
    }

    /// Bars along what a neighbouring part shows again.
    fn overlaps(&self, left: f64, top: f64) -> Vec<Item> {
        let grid = self.project.chart.grid.bounds();
        let (width, height) = self.size();
        let [cell_width, cell_height] = self.cell;
        let (across, up) = (f64::from(OVERLAP) * cell_width, f64::from(OVERLAP) * cell_height);
        let bar = |x: f64, y: f64, width: f64, height: f64| Item::Rect { x, y, width, height, ink: INK };
        let part = self.cells;
        let mut items = Vec::new();
        let columns = [(part.x > 0, left), (part.x + part.width < grid.width, left + width - across)];
        for (_, x) in columns.into_iter().filter(|(shared, _)| *shared) {
            items.push(bar(x, top - 1.1, across, 0.7));
            items.push(bar(x, top + height + 0.5, across, 0.7));
        }
        let rows = [(part.y > 0, top + height - up), (part.y + part.height < grid.height, top)];
        for (_, y) in rows.into_iter().filter(|(shared, _)| *shared) {
            items.push(bar(left - 1.1, y, 0.7, up));
            items.push(bar(left + width + 0.4, y, 0.7, up));
        }
        items
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_cover_the_chart_and_overlap_by_two() {
        let parts = split([100, 70], [4.0, 3.0], [160.0, 90.0]);
        // 40 stitches and 30 rows a page.
        let mut seen = vec![0; 100 * 70];
        for part in &parts {
            assert!(part.width <= 40 && part.height <= 30 && part.width > OVERLAP && part.height > OVERLAP);
            part.points().for_each(|p| seen[(p.y * 100 + p.x) as usize] += 1);
        }
        assert!(seen.iter().all(|n| (1..=4).contains(n)));
        // Knitting order: the first part holds stitch 1 of row 1, at the lower right.
        assert_eq!(parts[0], Rect::new(65, 0, 35, 25));
        assert_eq!(parts[1], Rect::new(32, 0, 35, 25));
        assert_eq!(parts.len(), 9);
    }

    #[test]
    fn the_first_and_the_last_are_numbered_and_nothing_stands_on_them() {
        assert_eq!(numbered(1..=24, 5, 1.5), [1, 5, 10, 15, 20, 24]);
        assert_eq!(numbered(1..=21, 5, 1.5), [1, 5, 10, 15, 21]);
        assert_eq!(numbered(7..=9, 1, 1.0), [7, 8, 9]);
        assert_eq!(numbered(4..=4, 5, 1.0), [4]);
    }

    #[test]
    fn a_small_chart_is_one_part_and_a_tiny_page_does_not_stop_the_split() {
        assert_eq!(super::split([24, 49], [4.0, 3.5], [164.0, 230.0]), [Rect::new(0, 0, 24, 49)]);
        assert!(!super::split([24, 49], [4.0, 3.5], [0.0, 0.0]).is_empty());
    }
}
