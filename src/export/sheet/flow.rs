//! Words, tables and drawings, one under the other, over as many pages as they need.
//!
//! All lengths in mm.

use crate::export::chart_picture::{self, INK, LINE_INK, PAPER, QUIET_INK};
use crate::export::drawing::{Align, CellLook, Drawing, Item, Layer, Rgb, Role, Text};
use crate::export::paper::Paper;
use crate::export::text::{self, CAP_HEIGHT, Weight};

/// Room around the page, for punching and for printers that cannot reach the edge.
pub const MARGIN: f64 = 15.0;
/// Room for the line at the foot of each page.
const FOOT: f64 = 8.0;
/// Font size of running words: 10 pt.
pub const BODY: f64 = 3.53;
/// Font size of small words: 8 pt.
pub const SMALL: f64 = 2.82;
/// Distance of lines over the font size.
pub const LEADING: f64 = 1.42;

/// A way of setting words.
#[derive(Clone, Copy, Debug)]
pub struct Style {
    pub size: f64,
    pub weight: Weight,
    pub ink: Rgb,
}

impl Style {
    pub const TITLE: Self = Self { size: 8.0, weight: Weight::Semibold, ink: INK };
    pub const HEADING: Self = Self { size: 5.0, weight: Weight::Semibold, ink: INK };
    pub const SUBHEADING: Self = Self { size: 4.1, weight: Weight::Semibold, ink: INK };
    pub const BODY: Self = Self { size: BODY, weight: Weight::Regular, ink: INK };
    pub const SMALL: Self = Self { size: SMALL, weight: Weight::Regular, ink: QUIET_INK };
    pub const TERM: Self = Self { size: SMALL, weight: Weight::Semibold, ink: INK };
    pub const LABEL: Self = Self { size: BODY, weight: Weight::Semibold, ink: INK };
    pub const SECTION: Self = Self { size: BODY, weight: Weight::Semibold, ink: QUIET_INK };

    /// Level of a heading set so, from 1.
    fn level(self) -> u16 {
        if self.size >= Self::TITLE.size {
            1
        } else if self.size >= Self::HEADING.size {
            2
        } else if self.ink == INK && self.size > BODY {
            3
        } else {
            4
        }
    }

    /// Room above a heading set so.
    fn space_before(self) -> f64 {
        if self.size > BODY { 0.9 * self.size } else { 0.6 * self.size }
    }

    /// Height of one line.
    pub const fn line(self) -> f64 {
        self.size * LEADING
    }

    /// A line of words whose box begins at `y`.
    pub fn at(self, words: &str, x: f64, y: f64, align: Align) -> Item {
        let baseline = y + f64::midpoint(self.line(), CAP_HEIGHT * self.size);
        let Self { size, weight, ink } = self;
        Item::Text(Text { x, y: baseline, text: words.to_owned(), size, weight, align, ink })
    }

    /// The words in lines of at most `width`; a word that is longer stands alone.
    pub fn wrapped(self, words: &str, width: f64) -> Vec<String> {
        text::wrapped(words, self.size, self.weight, width)
    }
}

/// Most lines of a paragraph that is never split.
const WHOLE: usize = 4;
/// Most lines of a written row that is never split from its continuation.
const WHOLE_ROW: usize = 16;
/// Room for the line that names a section at the top of a page it goes on over.
const CONTINUED: f64 = 1.6 * Style::SMALL.line();
/// The layers that name what goes on.
const RUNNING: &str = "running head";
/// Fewest lines of a split paragraph on either page.
const FEWEST: usize = 2;

/// Between the two columns of terms.
const GUTTER: f64 = 6.0;
/// Side of a sign that is explained.
const SIGN: f64 = Style::SMALL.line();

/// An abbreviation or a sign of the chart with what it means, or a row with its words.
pub struct Term {
    pub word: String,
    pub weight: Weight,
    /// Drawn in place of the word.
    pub sign: Option<CellLook>,
    pub meaning: String,
}

impl Term {
    /// Its word beside a meaning in `style`.
    fn word_style(&self, style: Style) -> Style {
        Style { weight: self.weight, ink: INK, ..style }
    }
}

/// The terms of both columns that stand beside each other.
struct TermRow<'t> {
    height: f64,
    both: Vec<SetTerm<'t>>,
}

/// A term in lines.
struct SetTerm<'t> {
    term: &'t Term,
    word: Vec<String>,
    meaning: Vec<String>,
}

impl SetTerm<'_> {
    fn height(&self, style: Style) -> f64 {
        let lines = self.word.len().max(self.meaning.len()).max(1);
        let sign = if self.term.sign.is_some() { SIGN } else { 0.0 };
        (style.line() * lines as f64).max(sign) + 0.4
    }

    fn items(&self, indent: f64, style: Style, x: f64, y: f64) -> Vec<Item> {
        let mut items = self.term.sign.as_ref().map_or_else(
            || stacked(&self.word, self.term.word_style(style), x, y),
            |sign| chart_picture::sample_cell(sign, [x, y + 0.2], [SIGN, SIGN], 0.15),
        );
        items.extend(stacked(&self.meaning, style, x + indent, y));
        items
    }
}

/// How many of these heights go into the first of two columns so that the higher one is as low as it can be, the
/// first rather than the second where both are; and that height.
fn balanced(heights: &[f64]) -> (usize, f64) {
    let all: f64 = heights.iter().sum();
    let (mut best, mut first) = ((0, all), 0.0);
    for (place, height) in heights.iter().enumerate() {
        first += height;
        let higher = first.max(all - first);
        if higher < best.1 + 1e-9 {
            best = (place + 1, higher);
        }
    }
    best
}

/// A page as it fills.
#[derive(Clone, Default)]
struct Page {
    layers: Vec<Layer>,
    /// Lies on its long side.
    wide: bool,
}

/// Pages as they fill.
#[derive(Clone)]
pub struct Flow {
    paper: Paper,
    running_title: String,
    pages: Vec<Page>,
    y: f64,
    tables: usize,
    /// What is being set, named again at the top of a page that it goes on over.
    section: Option<String>,
}

impl Flow {
    /// An empty first page; `running_title` stands at the foot of every page.
    pub fn new(paper: Paper, running_title: &str) -> Self {
        let pages = vec![Page::default()];
        Self { paper, running_title: running_title.to_owned(), pages, y: MARGIN, tables: 0, section: None }
    }

    /// The same place on a page without what stands before it: to try how many pages more something takes.
    pub fn going_on(&self) -> Self {
        let mut here = Self { pages: Vec::new(), ..self.shell() };
        let begun = self.pages.last().is_some_and(|page| !page.layers.is_empty());
        let mark = Layer { name: RUNNING, items: Vec::new(), role: Role::Decoration };
        let layers = if begun { vec![mark] } else { Vec::new() };
        here.pages.push(Page { layers, wide: self.is_wide() });
        here
    }

    /// The same with a new page after it.
    pub fn on_next_page(&self) -> Self {
        Self { pages: vec![Page::default()], y: MARGIN, ..self.shell() }
    }

    /// All but the pages.
    fn shell(&self) -> Self {
        let Self { paper, y, tables, .. } = *self;
        let (running_title, section) = (self.running_title.clone(), self.section.clone());
        Self { paper, running_title, pages: Vec::new(), y, tables, section }
    }

    fn is_wide(&self) -> bool {
        self.pages.last().is_some_and(|page| page.wide)
    }

    fn page_mm(&self, wide: bool) -> (f64, f64) {
        let (short, long) = self.paper.size_mm();
        if wide { (long, short) } else { (short, long) }
    }

    /// Pages so far.
    pub const fn page_count(&self) -> usize {
        self.pages.len()
    }

    /// Width and height between the margins of an upright page, or of one on its long side.
    pub fn room_on(&self, wide: bool) -> [f64; 2] {
        let (width, height) = self.page_mm(wide);
        [width - 2.0 * MARGIN, height - 2.0 * MARGIN - FOOT]
    }

    /// Width between the margins.
    pub fn width(&self) -> f64 {
        self.room_on(self.is_wide())[0]
    }

    /// Height between the margins.
    pub fn height(&self) -> f64 {
        self.room_on(self.is_wide())[1]
    }

    /// Room left on the page.
    pub fn room(&self) -> f64 {
        MARGIN + self.height() - self.y
    }

    /// Begins a new page like this one, unless this one is still empty.
    pub fn new_page(&mut self) {
        let wide = self.is_wide();
        self.turned_page(wide);
    }

    /// Begins a new page, upright or on its long side, unless this one is still empty; then it is turned.
    pub fn turned_page(&mut self, wide: bool) {
        match self.pages.last_mut() {
            Some(page) if page.layers.is_empty() => page.wide = wide,
            _ => self.pages.push(Page { wide, ..Page::default() }),
        }
        self.y = MARGIN;
    }

    /// Begins a new page when less than `height` is left on this one.
    pub fn need(&mut self, height: f64) {
        if self.room() < height {
            self.go_on();
        }
    }

    /// Begins a new page in the middle of a section, and says at its top which that is.
    pub fn go_on(&mut self) {
        self.new_page();
        let Some(section) = &self.section else { return };
        let words = format!("{section}, continued");
        let words = text::fitted(&words, Style::SMALL.size, Style::SMALL.weight, self.width());
        let items = vec![Style::SMALL.at(&words, MARGIN, self.y, Align::Start)];
        if let Some(page) = self.pages.last_mut() {
            page.layers.push(Layer { name: RUNNING, items, role: Role::Decoration });
        }
        self.y += CONTINUED;
    }

    /// Leaves a gap, except at the top of a page.
    pub fn gap(&mut self, height: f64) {
        if self.y > MARGIN {
            self.y += height;
        }
    }

    /// A number for a new table.
    pub const fn next_table(&mut self) -> usize {
        self.tables += 1;
        self.tables
    }

    /// Sets items that take `height`; `items` gets the left margin and the top.
    pub fn place(&mut self, height: f64, role: Role, items: impl FnOnce(f64, f64) -> Vec<Item>) {
        self.place_parts(height, |x, y| vec![(role, items(x, y))]);
    }

    /// Sets parts side by side that take `height`.
    pub fn place_parts(&mut self, height: f64, parts: impl FnOnce(f64, f64) -> Vec<(Role, Vec<Item>)>) {
        self.need(height);
        let placed = parts(MARGIN, self.y);
        if let Some(page) = self.pages.last_mut() {
            let layer = |(role, items): (Role, Vec<Item>)| Layer { name: "words", items, role };
            page.layers.extend(placed.into_iter().filter(|(_, items)| !items.is_empty()).map(layer));
        }
        self.y += height;
    }

    /// A heading that keeps `with_it` of what follows on its page, as far as a page holds it.
    pub fn heading(&mut self, words: &str, style: Style, with_it: f64) {
        if style.level() <= 2 {
            self.section = None;
        }
        self.gap(style.space_before());
        let lines = style.wrapped(words, self.width());
        let height = style.line() * lines.len() as f64;
        self.need((height + with_it).min(self.height()));
        self.place(height, Role::Heading(style.level()), |x, y| stacked(&lines, style, x, y));
        self.y += 0.2 * style.size;
        if style.level() <= 2 {
            self.section = Some(words.to_owned());
        }
    }

    /// Running words.
    pub fn words(&mut self, words: &str, style: Style) {
        let lines = style.wrapped(words, self.width());
        self.lines(&lines, style, WHOLE, |lines, _, x, y| stacked(lines, style, x, y));
    }

    /// Running words with a hanging first part, e.g. a row number; not split unless they are very long.
    pub fn hanging(&mut self, first: &str, words: &str, indent: f64, style: Style) {
        self.labelled(first, style, words, indent, style);
    }

    /// Running words with a hanging first part in a style of its own.
    pub fn labelled(&mut self, first: &str, of_first: Style, words: &str, indent: f64, style: Style) {
        let lines = style.wrapped(words, self.width() - indent);
        self.lines(&lines, style, WHOLE_ROW, |lines, begins, x, y| {
            let mut items = stacked(lines, style, x + indent, y);
            if begins {
                items.insert(0, of_first.at(first, x, y, Align::Start));
            }
            items
        });
    }

    /// Terms with their meanings in two columns about as high, read down the first and then the second; they keep
    /// together as far as a page holds them, else they go on row by row of both.
    pub fn terms(&mut self, terms: &[&Term], indent: f64, style: Style) {
        let column = self.term_column();
        let set = self.set_terms(terms, indent, style);
        let (first, height) = balanced(&set.iter().map(|set| set.height(style)).collect::<Vec<_>>());
        if height <= self.height() {
            self.place_parts(height, |x, y| {
                let mut parts = Vec::with_capacity(set.len());
                for (place, terms) in [&set[..first], &set[first..]].into_iter().enumerate() {
                    let (x, mut y) = (x + place as f64 * (column + GUTTER), y);
                    for term in terms {
                        parts.push((Role::Words { goes_on: false }, term.items(indent, style, x, y)));
                        y += term.height(style);
                    }
                }
                parts
            });
            return;
        }
        let rows = self.term_rows(terms, indent, style);
        for row in &rows {
            self.place_parts(row.height, |x, y| {
                let part = |(place, set): (usize, &SetTerm)| {
                    let x = x + place as f64 * (column + GUTTER);
                    (Role::Words { goes_on: false }, set.items(indent, style, x, y))
                };
                row.both.iter().enumerate().map(part).collect()
            });
        }
    }

    /// Height that [`terms`](Self::terms) needs.
    pub fn height_of_terms(&self, terms: &[&Term], indent: f64, style: Style) -> f64 {
        let set = self.set_terms(terms, indent, style);
        balanced(&set.iter().map(|set| set.height(style)).collect::<Vec<_>>()).1
    }

    /// Whether two columns are fit for the terms: a page holds all of them, and few, a quarter at the most, take two
    /// lines of their column.
    pub fn columns_hold(&self, terms: &[&Term], indent: f64, style: Style) -> bool {
        let set = self.set_terms(terms, indent, style);
        let lines = || set.iter().map(|set| set.word.len().max(set.meaning.len()));
        set.iter().all(|set| set.word.len() <= 1)
            && lines().all(|lines| lines <= 2)
            && 4 * lines().filter(|lines| *lines > 1).count() <= set.len()
            && self.height_of_terms(terms, indent, style) + 2.0 * Style::HEADING.line() < self.height()
    }

    fn term_column(&self) -> f64 {
        (self.width() - GUTTER) / 2.0
    }

    fn set_terms<'t>(&self, terms: &[&'t Term], indent: f64, style: Style) -> Vec<SetTerm<'t>> {
        let width = self.term_column() - indent;
        let set = |term: &&'t Term| SetTerm {
            term,
            word: term.word_style(style).wrapped(&term.word, indent - 2.0),
            meaning: style.wrapped(&term.meaning, width),
        };
        terms.iter().map(set).collect()
    }

    fn term_rows<'t>(&self, terms: &[&'t Term], indent: f64, style: Style) -> Vec<TermRow<'t>> {
        let (left, right) = terms.split_at(terms.len().div_ceil(2));
        let row = |(i, first): (usize, &&'t Term)| {
            let second = right.get(i).map(std::slice::from_ref).unwrap_or_default();
            let mut both = self.set_terms(std::slice::from_ref(first), indent, style);
            both.extend(self.set_terms(second, indent, style));
            TermRow { height: both.iter().map(|set| set.height(style)).fold(0.0, f64::max), both }
        };
        left.iter().enumerate().map(row).collect()
    }

    /// Lines of a paragraph: together when there are at most `whole`, else with two at least on each page.
    fn lines(
        &mut self,
        lines: &[String],
        style: Style,
        whole: usize,
        draw: impl Fn(&[String], bool, f64, f64) -> Vec<Item>,
    ) {
        let mut rest = lines;
        let mut begins = true;
        while !rest.is_empty() {
            let fit = (self.room() / style.line() + 1e-9).floor() as usize;
            let most = ((self.height() - CONTINUED) / style.line()).floor().max(1.0) as usize;
            let take = if rest.len() <= fit {
                rest.len()
            } else if rest.len() <= whole.min(most) || fit < FEWEST {
                self.go_on();
                rest.len().min(most)
            } else {
                fit.min(rest.len() - FEWEST).max(1)
            };
            let (now, later) = rest.split_at(take);
            let role = Role::Words { goes_on: !begins };
            self.place(style.line() * take as f64, role, |x, y| draw(now, begins, x, y));
            (rest, begins) = (later, false);
        }
    }

    /// The pages, each with its number.
    pub fn finish(mut self) -> Vec<Drawing> {
        if self.pages.len() > 1 && self.pages.last().is_some_and(|page| page.layers.is_empty()) {
            self.pages.pop();
        }
        let count = self.pages.len();
        let pages = std::mem::take(&mut self.pages);
        pages.into_iter().enumerate().map(|(i, page)| self.finished(page, i, count)).collect()
    }

    fn finished(&self, page: Page, index: usize, count: usize) -> Drawing {
        let (width, height) = self.page_mm(page.wide);
        let y = height - MARGIN - FOOT / 2.0;
        let number = format!("Page {} of {count}", index + 1);
        let title = text::fitted(&self.running_title, SMALL, Weight::Regular, width * 0.6);
        let foot = vec![
            Item::Rect { x: MARGIN, y: y - 0.5, width: width - 2.0 * MARGIN, height: 0.1, ink: LINE_INK },
            Style::SMALL.at(&title, MARGIN, y, Align::Start),
            Style::SMALL.at(&number, width - MARGIN, y, Align::End),
        ];
        let mut layers = page.layers;
        layers.push(Layer { name: "foot", items: foot, role: Role::Decoration });
        Drawing { width, height, unit_mm: 1.0, title: self.running_title.clone(), paper: PAPER, layers }
    }
}

/// Lines under each other.
pub(super) fn stacked(lines: &[String], style: Style, x: f64, y: f64) -> Vec<Item> {
    let line = |(i, line): (usize, &String)| style.at(line, x, y + i as f64 * style.line(), Align::Start);
    lines.iter().enumerate().map(line).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words_on(page: &Drawing) -> Vec<String> {
        let items = page
            .layers
            .iter()
            .filter(|layer| !["foot", RUNNING].contains(&layer.name))
            .flat_map(|layer| &layer.items);
        items
            .filter_map(|item| if let Item::Text(line) = item { Some(line.text.clone()) } else { None })
            .collect()
    }

    #[test]
    fn long_words_fill_several_pages_and_stay_between_the_margins() {
        let mut flow = Flow::new(Paper::A4, "Test");
        flow.words(&"Knit two together. ".repeat(2_000), Style::BODY);
        let pages = flow.finish();
        assert!(pages.len() > 5, "{}", pages.len());
        let layers = pages.iter().flat_map(|page| &page.layers).filter(|layer| layer.name != "foot");
        for item in layers.flat_map(|layer| &layer.items) {
            let Item::Text(line) = item else { continue };
            let right = line.x + text::width(&line.text, line.size, line.weight);
            assert!(right <= 210.0 - MARGIN + 1e-6 && line.y < 297.0 - MARGIN - FOOT);
        }
    }

    #[test]
    fn a_row_is_not_split_from_its_continuation_and_a_long_one_leaves_no_single_line() {
        for before in 40..56 {
            let mut flow = Flow::new(Paper::A4, "Test");
            (0..before).for_each(|_| flow.words("x", Style::BODY));
            flow.hanging("Rnd 1", &"k2 A, k1 B, ".repeat(30), 24.0, Style::BODY);
            let pages = flow.finish();
            let with = pages.iter().filter(|page| words_on(page).iter().any(|words| words.contains("k2")));
            assert_eq!(with.count(), 1, "{before}");
            let mut flow = Flow::new(Paper::A4, "Test");
            (0..before).for_each(|_| flow.words("x", Style::BODY));
            flow.words(&"yarn over ".repeat(100), Style::BODY);
            for page in flow.finish() {
                let lines = words_on(&page).iter().filter(|words| words.contains("yarn")).count();
                assert_ne!(lines, 1, "{before}");
            }
        }
    }

    #[test]
    fn a_page_can_lie_on_its_long_side() {
        let mut flow = Flow::new(Paper::A4, "Test");
        flow.words("Upright", Style::BODY);
        flow.turned_page(true);
        assert_eq!(flow.width(), 297.0 - 2.0 * MARGIN);
        flow.words("Wide", Style::BODY);
        flow.turned_page(false);
        flow.words("Upright again", Style::BODY);
        let widths: Vec<f64> = flow.finish().iter().map(|page| page.width).collect();
        assert_eq!(widths, [210.0, 297.0, 210.0]);
    }

    #[test]
    fn a_page_that_a_section_goes_on_over_names_it_and_one_that_a_section_begins_does_not() {
        let mut flow = Flow::new(Paper::A4, "Test");
        flow.heading("Rows of the chart", Style::HEADING, 0.0);
        (0..100).for_each(|_| flow.words("x", Style::BODY));
        flow.heading("Next", Style::HEADING, flow.height());
        flow.words("y", Style::BODY);
        let pages = flow.finish();
        let named: Vec<Option<String>> = pages
            .iter()
            .map(|page| match page.layers.iter().find(|layer| layer.name == RUNNING)?.items.as_slice() {
                [Item::Text(line)] => Some(line.text.clone()),
                _ => None,
            })
            .collect();
        assert_eq!(named, [None, Some("Rows of the chart, continued".to_owned()), None]);
    }

    #[test]
    fn a_word_without_end_is_shortened() {
        let lines = Style::BODY.wrapped(&"x".repeat(3_000), 50.0);
        assert_eq!(lines.len(), 1);
        assert!(text::width(&lines[0], BODY, Weight::Regular) <= 50.0);
    }
}
