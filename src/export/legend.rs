//! The words beside or below a chart: what its colours are, how to read it, how large it is.

use super::chart_picture::{self, INK, PictureOptions, QUIET_INK};
use super::drawing::{Align, CellLook, Item, Text};
use super::stitch_signs::Signs;
use super::text::{self, CAP_HEIGHT, Weight};
use crate::knit::Construction;
use crate::project::figures::Extent;
use crate::project::{Finished, Project};
use crate::units::{LengthUnit, counted};

/// One entry of a block.
#[derive(Clone, Debug)]
pub(super) enum Entry {
    /// A sample cell with a name and a detail under it.
    Sample { look: CellLook, name: String, detail: String },
    /// The sign of the repeat box, with a name and a detail under it.
    Repeat { name: String, detail: String },
    /// A line of words.
    Line(String),
    /// A line of words of less weight.
    Quiet(String),
}

/// A heading and what stands under it. Lengths are in multiples of the body size.
#[derive(Clone, Debug)]
pub(super) struct Block {
    heading: &'static str,
    entries: Vec<Entry>,
}

const HEADING: f64 = 2.0;
const SAMPLE: f64 = 3.0;
const LINE: f64 = 1.55;
const SAMPLE_HEIGHT: f64 = 2.2;
const BLOCK_GAP: f64 = 1.4;
/// Names longer than this are shortened.
const WIDEST_TEXT: f64 = 18.0;

impl Entry {
    const fn height(&self) -> f64 {
        match self {
            Self::Sample { .. } | Self::Repeat { .. } => SAMPLE,
            Self::Line(_) | Self::Quiet(_) => LINE,
        }
    }
}

impl Block {
    fn height(&self, body: f64) -> f64 {
        body * (HEADING + self.entries.iter().map(Entry::height).sum::<f64>())
    }
}

/// The blocks of a project's legend; colours are split so that each block is at most about
/// `height_limit` tall (0: a few lines).
pub(super) fn blocks(
    project: &Project,
    options: &PictureOptions,
    signs: &Signs,
    body: f64,
    height_limit: f64,
) -> Vec<Block> {
    let mut entries = chart_picture::signs(project, options, signs);
    entries.push(repeat_entry(project));
    let in_height = ((height_limit / body - HEADING) / SAMPLE).floor().max(0.0) as usize;
    let in_columns = entries.len().div_ceil(4);
    let per_block = if height_limit > 0.0 { in_height } else { in_columns }.max(4);
    let mut blocks: Vec<Block> = entries
        .chunks(per_block)
        .enumerate()
        .map(|(i, part)| Block { heading: if i == 0 { "Colours" } else { "" }, entries: part.to_vec() })
        .collect();
    blocks.push(Block { heading: "Gauge, washed", entries: gauge_lines(project) });
    blocks.push(Block { heading: "Finished size", entries: size_lines(project) });
    blocks.push(Block { heading: "How to read", entries: reading_lines(project, signs) });
    blocks
}

const fn rows_word(project: &Project) -> &'static str {
    project.plan.construction.row_words()[1]
}

fn repeat_entry(project: &Project) -> Entry {
    let repeat = project.chart.repeat();
    Entry::Repeat {
        name: format!("Repeat: {} stitches × {} {}", repeat.width, repeat.height, rows_word(project)),
        detail: both_sizes(project, repeat.width, repeat.height),
    }
}

fn gauge_lines(project: &Project) -> Vec<Entry> {
    let gauge = project.plan.gauge;
    let count = |unit: LengthUnit| {
        let factor = unit.gauge_factor();
        format!(
            "{} stitches × {} {} in {}",
            short(gauge.stitches.get() * factor),
            short(gauge.rows.get() * factor),
            rows_word(project),
            unit.gauge_base()
        )
    };
    let (first, second) = match project.units {
        LengthUnit::Metric => (LengthUnit::Metric, LengthUnit::Imperial),
        LengthUnit::Imperial => (LengthUnit::Imperial, LengthUnit::Metric),
    };
    let how =
        format!("{}, {}", project.plan.technique.name(), project.plan.construction.name().to_lowercase());
    vec![Entry::Line(count(first)), Entry::Quiet(count(second)), Entry::Quiet(how)]
}

/// What is knitted in the end: the pieces, or the chart as planned with its repeats.
fn size_lines(project: &Project) -> Vec<Entry> {
    match project.finished() {
        Ok(pieces) if !project.pieces.pieces.is_empty() => piece_lines(project, &pieces),
        Ok(pieces) => {
            let size = pieces.first().map(|piece| piece.size);
            size.map_or_else(Vec::new, |size| planned_lines(project, size))
        }
        Err(_) => vec![
            Entry::Line("Not known:".to_owned()),
            Entry::Quiet("it cannot be worked as planned".to_owned()),
        ],
    }
}

/// A line of size and one of stitches for each piece.
fn piece_lines(project: &Project, pieces: &[Finished]) -> Vec<Entry> {
    let size = project.pieces.size();
    let several = project.pieces.sizes.len() > 1;
    let heading = several.then(|| Entry::Quiet(format!("Size {}", size.name)));
    let lines = pieces.iter().flat_map(|piece| {
        let copies = if piece.copies > 1 { format!(" × {}", piece.copies) } else { String::new() };
        let length = |cm: f64| format!("{:.1}", project.units.from_cm(cm));
        let (width, height) = (piece.size.width.get(), piece.size.height.get());
        let [_, rows] = piece.construction.row_words();
        [
            Entry::Line(format!(
                "{}{copies}: {} {} {}, {} long",
                piece.name,
                length(width),
                project.units.length_suffix(),
                across(piece.construction),
                length(height)
            )),
            Entry::Quiet(format!("{} stitches, {} {rows}", piece.stitches, piece.rows)),
        ]
    });
    heading.into_iter().chain(lines).collect()
}

const fn across(construction: Construction) -> &'static str {
    match construction {
        Construction::InTheRound => "around",
        Construction::Flat => "wide",
    }
}

fn planned_lines(project: &Project, size: Extent) -> Vec<Entry> {
    let plan = &project.plan;
    let (repeats, over) = project.repeats_around();
    let rows = project.chart.repeat().height.saturating_mul(plan.repeats_up);
    let both = |cm| crate::units::both_lengths(cm, project.units);
    let edge = (plan.edge_stitches > 0).then(|| format!("{} edge", plan.edge_stitches));
    let over = (over > 0).then(|| format!("{over} left over"));
    let parts: Vec<String> =
        [Some(counted(u64::from(repeats), "repeat", "repeats")), edge, over].into_iter().flatten().collect();
    let parts = format!("{} stitches: {}", plan.needle_stitches, parts.join(", "));
    vec![
        Entry::Line(format!("{} {}", both(size.width.get()), across(plan.construction))),
        Entry::Quiet(parts),
        Entry::Line(format!("{} high", both(size.height.get()))),
        Entry::Quiet(format!(
            "{rows} {}: {}",
            rows_word(project),
            counted(u64::from(plan.repeats_up), "repeat", "repeats")
        )),
    ]
}

fn reading_lines(project: &Project, signs: &Signs) -> Vec<Entry> {
    let lines: &[&str] = match project.plan.construction {
        Construction::InTheRound => &["Every round from right to left,", "from the bottom up"],
        Construction::Flat => &[
            "From the bottom up:",
            "odd rows (right side)",
            "from right to left,",
            "even rows (wrong side)",
            "from left to right",
        ],
    };
    lines.iter().chain(&signs.note()).map(|line| Entry::Quiet(line.trim().to_owned())).collect()
}

/// Width and height of some stitches and rows in both systems, the preferred one first.
fn both_sizes(project: &Project, stitches: u32, rows: u32) -> String {
    let gauge = project.plan.gauge;
    let (width, height) = (gauge.width(stitches).get(), gauge.height(rows).get());
    let size = |unit: LengthUnit| {
        format!("{:.1} × {:.1} {}", unit.from_cm(width), unit.from_cm(height), unit.length_suffix())
    };
    match project.units {
        LengthUnit::Metric => format!("{} ({})", size(LengthUnit::Metric), size(LengthUnit::Imperial)),
        LengthUnit::Imperial => format!("{} ({})", size(LengthUnit::Imperial), size(LengthUnit::Metric)),
    }
}

/// A number with at most one decimal.
fn short(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or_else(|| text.clone(), ToOwned::to_owned)
}

/// Blocks set out on the page.
pub(super) struct Panel {
    pub items: Vec<Item>,
    pub right: f64,
    pub bottom: f64,
}

impl Panel {
    /// Blocks under each other from `at`, in a new column when one would pass `height`.
    pub fn in_columns(blocks: Vec<Block>, body: f64, at: [f64; 2], height: f64) -> Self {
        let mut panel = Self { items: Vec::new(), right: at[0], bottom: at[1] };
        let [mut x, mut y] = at;
        for block in blocks {
            let block_height = block.height(body);
            if y > at[1] && y + block_height > at[1] + height {
                x = panel.right + 2.0 * body;
                y = at[1];
            }
            panel.place(&block, body, [x, y]);
            y += block_height + BLOCK_GAP * body;
        }
        panel
    }

    /// Blocks beside each other from `at`, in a new line when one would pass `right`.
    pub fn in_lines(blocks: Vec<Block>, body: f64, at: [f64; 2], right: f64) -> Self {
        let mut panel = Self { items: Vec::new(), right: at[0], bottom: at[1] };
        let [mut x, mut y] = at;
        for block in blocks {
            let width = Self { items: Vec::new(), right: 0.0, bottom: 0.0 }.place(&block, body, [0.0, 0.0]);
            if x > at[0] && x + width > right {
                x = at[0];
                y = panel.bottom + BLOCK_GAP * body;
            }
            panel.place(&block, body, [x, y]);
            x += width + 2.5 * body;
        }
        panel
    }

    /// Sets a block at `[x, y]` and returns its width.
    fn place(&mut self, block: &Block, body: f64, [x, mut y]: [f64; 2]) -> f64 {
        let before = std::mem::replace(&mut self.right, x);
        self.words(block.heading, [x, y], 1.05 * body, Weight::Semibold, INK);
        y += HEADING * body;
        for entry in &block.entries {
            self.entry(entry, body, [x, y]);
            y += entry.height() * body;
        }
        let width = self.right - x;
        self.right = self.right.max(before);
        self.bottom = self.bottom.max(y);
        width
    }

    fn entry(&mut self, entry: &Entry, body: f64, [x, y]: [f64; 2]) {
        let sample = [SAMPLE_HEIGHT * body, SAMPLE_HEIGHT * body];
        let (name, detail) = match entry {
            Entry::Line(line) => return self.words(line, [x, y], body, Weight::Regular, INK),
            Entry::Quiet(line) => return self.words(line, [x, y], body, Weight::Regular, QUIET_INK),
            Entry::Sample { look, name, detail } => {
                self.items.extend(chart_picture::sample_cell(look, [x, y], sample, 1.0));
                (name, detail)
            }
            Entry::Repeat { name, detail } => {
                let thickness = chart_picture::repeat_thickness(body);
                let inset = thickness / 2.0;
                let edge = [x + inset, y + inset, sample[0] - thickness, sample[1] - thickness];
                self.items.push(chart_picture::frame(edge, thickness, INK));
                (name, detail)
            }
        };
        let words_x = x + sample[0] + 0.7 * body;
        self.words(name, [words_x, y + 0.02 * body], body, Weight::Semibold, INK);
        self.words(detail, [words_x, y + 1.32 * body], 0.9 * body, Weight::Regular, QUIET_INK);
    }

    /// A line of words whose capitals begin at `y`.
    fn words(&mut self, words: &str, [x, y]: [f64; 2], size: f64, weight: Weight, ink: [u8; 3]) {
        let words = text::fitted(words, size, weight, WIDEST_TEXT * size);
        self.right = self.right.max(x + text::width(&words, size, weight));
        let y = y + (CAP_HEIGHT + 0.1) * size;
        self.items.push(Item::Text(Text { x, y, text: words, size, weight, align: Align::Start, ink }));
    }
}
