//! Words, tables and drawings, one under the other, over as many pages as they need.
//!
//! All lengths in mm.

use crate::export::chart_picture::{INK, LINE_INK, PAPER, QUIET_INK};
use crate::export::drawing::{Align, Drawing, Item, Layer, Rgb, Text};
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
    pub const SUBHEADING: Self = Self { size: BODY, weight: Weight::Semibold, ink: INK };
    pub const BODY: Self = Self { size: BODY, weight: Weight::Regular, ink: INK };
    pub const SMALL: Self = Self { size: SMALL, weight: Weight::Regular, ink: QUIET_INK };

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

/// Pages as they fill.
pub struct Flow {
    paper: Paper,
    running_title: String,
    pages: Vec<Vec<Item>>,
    /// Whole pages that come after the one being filled.
    deferred: Vec<Vec<Item>>,
    y: f64,
}

impl Flow {
    /// An empty first page; `running_title` stands at the foot of every page.
    pub fn new(paper: Paper, running_title: &str) -> Self {
        let pages = vec![Vec::new()];
        Self { paper, running_title: running_title.to_owned(), pages, deferred: Vec::new(), y: MARGIN }
    }

    /// Pages on the same paper, to be filled on their own.
    pub fn apart(&self) -> Self {
        Self::new(self.paper, &self.running_title)
    }

    /// Puts whole pages after the one being filled, which goes on filling; their first and last number.
    pub fn defer(&mut self, pages: Self) -> (usize, usize) {
        let first = self.pages.len() + self.deferred.len() + 1;
        self.deferred.extend(pages.pages);
        (first, self.pages.len() + self.deferred.len())
    }

    /// Width between the margins.
    pub fn width(&self) -> f64 {
        self.paper.size_mm().0 - 2.0 * MARGIN
    }

    /// Height between the margins.
    pub fn height(&self) -> f64 {
        self.bottom() - MARGIN
    }

    /// Room left on the page.
    pub fn room(&self) -> f64 {
        self.bottom() - self.y
    }

    fn bottom(&self) -> f64 {
        self.paper.size_mm().1 - MARGIN - FOOT
    }

    /// Whether nothing stands on the page yet.
    pub fn is_at_top(&self) -> bool {
        self.y <= MARGIN
    }

    /// Begins a new page, unless this one is still empty.
    pub fn new_page(&mut self) {
        if self.pages.last().is_some_and(|page| !page.is_empty()) {
            self.pages.append(&mut self.deferred);
            self.pages.push(Vec::new());
        }
        self.y = MARGIN;
    }

    /// Begins a new page when less than `height` is left on this one.
    pub fn need(&mut self, height: f64) {
        if self.room() < height {
            self.new_page();
        }
    }

    /// Leaves a gap, except at the top of a page.
    pub fn gap(&mut self, height: f64) {
        if self.y > MARGIN {
            self.y += height;
        }
    }

    /// Sets items that take `height`; `items` gets the left margin and the top.
    pub fn place(&mut self, height: f64, items: impl FnOnce(f64, f64) -> Vec<Item>) {
        self.need(height);
        let placed = items(MARGIN, self.y);
        if let Some(page) = self.pages.last_mut() {
            page.extend(placed);
        }
        self.y += height;
    }

    /// A heading that keeps `with_it` of what follows on its page.
    pub fn heading(&mut self, words: &str, style: Style, with_it: f64) {
        self.gap(0.9 * style.size);
        self.need(style.line() + with_it);
        self.words(words, style);
        self.y += 0.2 * style.size;
    }

    /// Running words.
    pub fn words(&mut self, words: &str, style: Style) {
        for line in style.wrapped(words, self.width()) {
            self.place(style.line(), |x, y| vec![style.at(&line, x, y, Align::Start)]);
        }
    }

    /// Running words with a hanging first part, e.g. a row number.
    pub fn hanging(&mut self, first: &str, words: &str, indent: f64, style: Style) {
        for (i, line) in style.wrapped(words, self.width() - indent).into_iter().enumerate() {
            self.place(style.line(), |x, y| {
                let mut items = vec![style.at(&line, x + indent, y, Align::Start)];
                if i == 0 {
                    items.push(style.at(first, x, y, Align::Start));
                }
                items
            });
        }
    }

    /// The pages, each with its number.
    pub fn finish(mut self) -> Vec<Drawing> {
        if self.pages.len() > 1 && self.pages.last().is_some_and(Vec::is_empty) {
            self.pages.pop();
        }
        self.pages.append(&mut self.deferred);
        let (width, height) = self.paper.size_mm();
        let count = self.pages.len();
        let page = |(i, items): (usize, Vec<Item>)| {
            let y = height - MARGIN - FOOT / 2.0;
            let number = format!("Page {} of {count}", i + 1);
            let title = text::fitted(&self.running_title, SMALL, Weight::Regular, width * 0.6);
            let foot = vec![
                Item::Rect { x: MARGIN, y: y - 0.5, width: width - 2.0 * MARGIN, height: 0.1, ink: LINE_INK },
                Style::SMALL.at(&title, MARGIN, y, Align::Start),
                Style::SMALL.at(&number, width - MARGIN, y, Align::End),
            ];
            Drawing {
                width,
                height,
                unit_mm: 1.0,
                title: self.running_title.clone(),
                paper: PAPER,
                layers: vec![Layer { name: "page", items }, Layer { name: "foot", items: foot }],
            }
        };
        self.pages.into_iter().enumerate().map(page).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_words_fill_several_pages_and_stay_between_the_margins() {
        let mut flow = Flow::new(Paper::A4, "Test");
        flow.words(&"Knit two together. ".repeat(2_000), Style::BODY);
        let pages = flow.finish();
        assert!(pages.len() > 5, "{}", pages.len());
        for item in pages.iter().flat_map(|page| &page.layers[0].items) {
            let Item::Text(line) = item else { continue };
            let right = line.x + text::width(&line.text, line.size, line.weight);
            assert!(right <= 210.0 - MARGIN + 1e-6 && line.y < 297.0 - MARGIN - FOOT);
        }
    }

    #[test]
    fn deferred_pages_follow_the_one_that_goes_on_filling() {
        let mut flow = Flow::new(Paper::A4, "Test");
        flow.words("Before", Style::BODY);
        let mut apart = flow.apart();
        apart.words("Apart", Style::BODY);
        assert_eq!(flow.defer(apart), (2, 2));
        flow.words("Beside", Style::BODY);
        flow.new_page();
        flow.words("After", Style::BODY);
        let pages = flow.finish();
        let first = |page: &Drawing| match &page.layers[0].items[0] {
            Item::Text(line) => line.text.clone(),
            _ => String::new(),
        };
        assert_eq!(pages.iter().map(first).collect::<Vec<_>>(), ["Before", "Apart", "After"]);
        assert_eq!(pages[0].layers[0].items.len(), 2);
    }

    #[test]
    fn a_word_without_end_is_shortened() {
        let lines = Style::BODY.wrapped(&"x".repeat(3_000), 50.0);
        assert_eq!(lines.len(), 1);
        assert!(text::width(&lines[0], BODY, Weight::Regular) <= 50.0);
    }
}
