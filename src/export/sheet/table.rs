//! Tables that fit their page.

use super::flow::{Flow, Style};
use crate::export::chart_picture::{self, INK, LINE_INK};
use crate::export::drawing::{Align, CellLook, Item, Role};
use crate::export::text;

/// A column of a table.
#[derive(Clone, Debug)]
pub struct Column {
    pub heading: String,
    pub align: Align,
}

impl Column {
    /// Words, from the left.
    pub fn words(heading: &str) -> Self {
        Self { heading: heading.to_owned(), align: Align::Start }
    }

    /// Figures, to the right.
    pub fn figures(heading: &str) -> Self {
        Self { heading: heading.to_owned(), align: Align::End }
    }
}

/// A row of a table.
#[derive(Clone, Debug, Default)]
pub struct Row {
    /// A sample cell before the first column.
    pub look: Option<CellLook>,
    pub cells: Vec<String>,
    /// Set in semibold, with a line above: a sum.
    pub sum: bool,
}

impl Row {
    pub fn new(cells: Vec<String>) -> Self {
        Self { cells, ..Self::default() }
    }
}

/// A table with a head that comes again on every page.
#[derive(Clone, Debug)]
pub struct Table {
    pub columns: Vec<Column>,
    pub rows: Vec<Row>,
}

/// Between columns.
const GUTTER: f64 = 4.0;
/// Room for a sample cell.
const LOOK: f64 = 6.5;
/// Height of a rule.
const RULE: f64 = 0.4;

/// How the rows of a table are set.
#[derive(Clone, Copy)]
struct Setting {
    row: Style,
    sum: Style,
    padding: f64,
}

impl Setting {
    const BODY: Self = Self { row: Style::BODY, sum: Style::LABEL, padding: 0.5 };
    const SMALL: Self = Self { row: Style { ink: INK, ..Style::SMALL }, sum: Style::TERM, padding: 0.25 };

    const HEAD: (Style, f64) = (Style::SMALL, 0.5);

    /// How a row is set, and the room above and below it.
    const fn of(self, row: &Row) -> (Style, f64) {
        (if row.sum { self.sum } else { self.row }, self.padding)
    }
}

impl Table {
    /// Sets the table; a total stays on the page of the row before it.
    pub fn set(&self, flow: &mut Flow) {
        self.set_in(flow, Setting::BODY);
    }

    /// The same in small words, for what is looked up and not knitted from.
    pub fn set_small(&self, flow: &mut Flow) {
        self.set_in(flow, Setting::SMALL);
    }

    fn set_in(&self, flow: &mut Flow, setting: Setting) {
        let table = flow.next_table();
        let widths = self.widths(flow.width(), setting);
        let head = Row::new(self.columns.iter().map(|column| column.heading.clone()).collect());
        let head_height = Self::height(&head, &widths, Setting::HEAD) + RULE;
        let height =
            |row: &Row| Self::height(row, &widths, setting.of(row)) + if row.sum { RULE } else { 0.0 };
        let heights: Vec<f64> = self.rows.iter().map(height).collect();
        // A row with the totals that follow it, and with a first row the head.
        let kept = |place: usize| {
            let after = place + 1;
            let sums = self.rows[after..].iter().take_while(|row| row.sum).count();
            heights[place..after + sums].iter().sum::<f64>()
        };
        flow.need(head_height + if heights.is_empty() { 0.0 } else { kept(0) });
        self.head(flow, &head, &widths, table);
        for (place, row) in self.rows.iter().enumerate() {
            if flow.room() < kept(place) {
                flow.go_on();
                self.head(flow, &head, &widths, table);
            }
            if row.sum {
                self.rule(flow, &widths);
            }
            self.row(flow, row, &widths, setting.of(row), (table, place + 1));
        }
        flow.gap(1.5);
    }

    fn head(&self, flow: &mut Flow, head: &Row, widths: &[f64], table: usize) {
        self.row(flow, head, widths, Setting::HEAD, (table, 0));
        self.rule(flow, widths);
    }

    fn indent(&self) -> f64 {
        if self.rows.iter().any(|row| row.look.is_some()) { LOOK } else { 0.0 }
    }

    /// Widths of the columns: what their words need; when that is too much, the widest give way and
    /// wrap.
    fn widths(&self, room: f64, setting: Setting) -> Vec<f64> {
        let need = |column: usize| {
            let head = text::width(&self.columns[column].heading, Style::SMALL.size, Style::SMALL.weight);
            let cells = self.rows.iter().filter_map(|row| Some((row, row.cells.get(column)?)));
            let widths = cells.map(|(row, cell)| {
                let (style, _) = setting.of(row);
                text::width(cell, style.size, style.weight)
            });
            widths.fold(head, f64::max) + 0.1
        };
        let mut widths: Vec<f64> = (0..self.columns.len()).map(need).collect();
        let room = room - self.indent() - GUTTER * (self.columns.len().max(1) - 1) as f64;
        loop {
            let excess = widths.iter().sum::<f64>() - room;
            if excess <= 1e-9 {
                return widths;
            }
            let widest = widths.iter().copied().fold(0.0, f64::max);
            let wide = widths.iter().filter(|w| **w > widest - 1e-9).count().max(1) as f64;
            let second = widths.iter().copied().filter(|w| *w <= widest - 1e-9).fold(0.0, f64::max);
            let cut = (excess / wide).min((widest - second).max(0.01));
            for width in widths.iter_mut().filter(|w| **w > widest - 1e-9) {
                *width -= cut;
            }
        }
    }

    fn lines(row: &Row, widths: &[f64], style: Style) -> Vec<Vec<String>> {
        let wrapped = |(cell, width): (&String, &f64)| style.wrapped(cell, *width);
        row.cells.iter().zip(widths).map(wrapped).collect()
    }

    fn height(row: &Row, widths: &[f64], (style, padding): (Style, f64)) -> f64 {
        let lines = Self::lines(row, widths, style).iter().map(Vec::len).max().unwrap_or(1).max(1);
        lines as f64 * style.line() + 2.0 * padding
    }

    fn row(
        &self,
        flow: &mut Flow,
        row: &Row,
        widths: &[f64],
        (style, padding): (Style, f64),
        (table, number): (usize, usize),
    ) {
        let cells = Self::lines(row, widths, style);
        let indent = self.indent();
        flow.place_parts(Self::height(row, widths, (style, padding)), |left, top| {
            let mut parts = Vec::new();
            let mut x = left + indent;
            for (place, ((lines, width), column)) in cells.iter().zip(widths).zip(&self.columns).enumerate() {
                let mut items = Vec::new();
                if let Some(look) = row.look.as_ref().filter(|_| place == 0) {
                    let side = style.line() - 0.6;
                    let at = [left, top + padding + 0.3];
                    items.extend(chart_picture::sample_cell(look, at, [side, side], 0.15));
                }
                let at = if column.align == Align::End { x + width } else { x };
                for (i, line) in lines.iter().enumerate().filter(|(_, line)| !line.is_empty()) {
                    items.push(style.at(line, at, top + padding + i as f64 * style.line(), column.align));
                }
                parts.push((Role::Cell { table, row: number, head: number == 0 }, items));
                x += width + GUTTER;
            }
            parts
        });
    }

    fn rule(&self, flow: &mut Flow, widths: &[f64]) {
        let gutters = GUTTER * (widths.len().max(1) - 1) as f64;
        let width = self.indent() + widths.iter().sum::<f64>() + gutters;
        flow.place(RULE, Role::Decoration, |x, y| {
            vec![Item::Rect { x, y: y + 0.15, width, height: 0.12, ink: LINE_INK }]
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::export::paper::Paper;

    #[test]
    fn a_table_too_wide_for_its_page_wraps_its_widest_column() {
        let table = Table {
            columns: vec![Column::words("What"), Column::figures("m")],
            rows: vec![Row::new(vec!["every other word ".repeat(30), "12".to_owned()]); 80],
        };
        let widths = table.widths(180.0, Setting::BODY);
        assert!(widths.iter().sum::<f64>() + GUTTER <= 180.0 + 1e-6);
        assert!(widths[1] > 3.0);
        let mut flow = Flow::new(Paper::Letter, "Test");
        table.set(&mut flow);
        let pages = flow.finish();
        assert!(pages.len() > 2);
        // The head comes again.
        for page in &pages {
            let items = page.layers.iter().flat_map(|layer| &layer.items);
            let heads = items.filter(|item| matches!(item, Item::Text(t) if t.text == "What"));
            assert_eq!(heads.count(), 1);
        }
    }

    #[test]
    fn a_total_is_never_alone_on_its_page() {
        for rows in 30..60 {
            let mut rows: Vec<Row> =
                (0..rows).map(|n| Row::new(vec![format!("row {n}"), "1".to_owned()])).collect();
            rows.push(Row { sum: true, ..Row::new(vec!["Together".to_owned(), "9".to_owned()]) });
            let count = rows.len();
            let mut flow = Flow::new(Paper::A4, "Test");
            Table { columns: vec![Column::words("What"), Column::figures("m")], rows }.set(&mut flow);
            for page in flow.finish() {
                let words = |what: &str| {
                    let items = page.layers.iter().flat_map(|layer| &layer.items);
                    items.filter(|item| matches!(item, Item::Text(t) if t.text.starts_with(what))).count()
                };
                assert!(words("Together") == 0 || words("row") > 0, "{count} rows");
            }
        }
    }
}
