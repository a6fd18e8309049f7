//! Title, sizes, gauge, colours and charts.

use super::{Read, Reader, Token};
use crate::chart::{Cell, MAX_SIDE};
use crate::knit::{Gauge, Technique};
use crate::words::print::{NO_STITCH, sign, technique_word};
use crate::words::{Chart, ChartCell, Code, Colour, MAX_SIZES, Pattern, SizeName, Stitch, Text, Yarn};

impl Reader<'_> {
    pub(super) fn pattern(&mut self) -> Read<Pattern> {
        let title = self.title()?;
        self.sizes = self.size_names()?;
        let gauge = self.gauge()?;
        self.colours = self.yarns()?;
        let mut charts = Vec::new();
        while self.cursor.one_of(&["chart"]) {
            charts.push(self.chart_table(charts.len() as u32 + 1)?);
        }
        self.charts = charts.len();
        let pieces = self.pieces()?;
        let (sizes, colours) = (std::mem::take(&mut self.sizes), std::mem::take(&mut self.colours));
        Ok(Pattern { title, sizes, gauge, colours, charts, pieces })
    }

    fn title(&mut self) -> Read<Text> {
        self.heading("# ", "the title: a first line like '# Hat with three leaves'")
    }

    /// `Sizes: S (M, L).`
    fn size_names(&mut self) -> Read<Vec<SizeName>> {
        self.must("sizes :", "the sizes: 'Sizes: S (M, L).'")?;
        let here = self.cursor;
        let line = self.cursor.rest_of_line();
        let list = line.strip_suffix('.').unwrap_or(line);
        let (first, others) = match list.split_once('(') {
            Some((first, others)) => {
                let others = others.trim_end().strip_suffix(')');
                (first, others.ok_or_else(|| here.expected("sizes like 'S (M, L).', the bracket closed"))?)
            }
            None => (list, ""),
        };
        let names = std::iter::once(first).chain(others.split(',').filter(|name| !name.trim().is_empty()));
        let mut sizes: Vec<SizeName> = Vec::new();
        for name in names {
            let name = SizeName::new(name);
            if sizes.contains(&name) || sizes.len() == MAX_SIZES {
                return Err(here.expected(format!("at most {MAX_SIZES} sizes, each once")));
            }
            sizes.push(name);
        }
        Ok(sizes)
    }

    /// `Gauge: 28 sts and 33 rows in 10 cm.`
    fn gauge(&mut self) -> Read<Gauge> {
        self.must("gauge :", "the gauge: 'Gauge: 28 sts and 33 rows in 10 cm.'")?;
        let here = self.cursor;
        let line = self.cursor.rest_of_line();
        let words: Vec<&str> = line.trim_end_matches('.').split_whitespace().collect();
        let figures = match words.as_slice() {
            [stitches, "sts", "and", rows, "rows" | "rnds", "in", "10", "cm"]
            | [stitches, "sts", "and", rows, "rows" | "rnds", "in", "10", "cm", "(4", "in)"] => {
                stitches.parse().ok().zip(rows.parse().ok())
            }
            _ => None,
        };
        let (stitches, rows) =
            figures.ok_or_else(|| here.expected("a gauge like '28 sts and 33 rows in 10 cm.'"))?;
        Gauge::new(stitches, rows).map_err(|error| here.expected(format!("a gauge that can be ({error})")))
    }

    /// `Colours: A peat, B fog.`
    fn yarns(&mut self) -> Read<Vec<Yarn>> {
        self.must("colours :", "the colours: 'Colours: A peat, B fog.'")?;
        let here = self.cursor;
        let line = self.cursor.rest_of_line();
        let mut yarns: Vec<Yarn> = Vec::new();
        for yarn in line.strip_suffix('.').unwrap_or(line).split(',') {
            let yarn = yarn.trim();
            let (code, name) = yarn.split_once(' ').unwrap_or((yarn, yarn));
            let code = Code::read(code).ok_or_else(|| {
                here.expected("colours like 'A peat, B fog.', each with one or two capital letters")
            })?;
            if yarns.iter().any(|known| known.code == code) || yarns.len() == Cell::MAX_SLOTS {
                return Err(here.expected(format!("at most {} colours, each letter once", Cell::MAX_SLOTS)));
            }
            yarns.push(Yarn { code, name: SizeName::new(name) });
        }
        Ok(yarns)
    }

    /// `Chart 1: 10 sts, 21 rows, stranded.` and its rows from the top.
    fn chart_table(&mut self, number: u32) -> Read<Chart> {
        self.number("the number of the chart, in their order", number..=number)?;
        self.must_sign(':')?;
        let width = self.number("the stitches of the chart", 1..=MAX_SIDE)?;
        self.must("sts ,", "'sts,'")?;
        let height = self.number("the rows of the chart", 1..=MAX_SIDE)?;
        self.course()?;
        self.must_sign(',')?;
        let technique = Technique::ALL.into_iter().find(|t| self.cursor.phrase(technique_word(*t)));
        let technique =
            technique.ok_or_else(|| self.cursor.expected("'stranded', 'intarsia' or 'stripes'"))?;
        self.full_stop()?;
        let mut rows = Vec::new();
        for row in (1..=height).rev() {
            self.number("a row of the chart, the last one first", row..=row)?;
            self.must_sign(':')?;
            let here = self.cursor;
            let cells: Vec<&str> = self.cursor.rest_of_line().split_whitespace().collect();
            if cells.len() != width as usize {
                return Err(here.expected(format!("{width} cells in this row, not {}", cells.len())));
            }
            let cells = cells.iter().map(|cell| self.cell(cell)).collect::<Option<Vec<ChartCell>>>();
            rows.push(cells.ok_or_else(|| {
                here.expected("cells of a colour of the list and perhaps a stitch, like A, B/ or B:kfb, or -")
            })?);
        }
        rows.reverse();
        if matches!(self.cursor.peek(), Token::Number(_)) {
            return Err(self.cursor.expected("no more rows in this chart"));
        }
        Ok(Chart { technique, rows })
    }

    fn cell(&self, text: &str) -> Option<ChartCell> {
        if text == NO_STITCH {
            return Some(None);
        }
        let letters = text.find(|c: char| !c.is_ascii_uppercase()).unwrap_or(text.len());
        let (code, mark) = text.split_at(letters);
        let code = Code::read(code)?;
        let colour = Colour(self.colours.iter().position(|yarn| yarn.code == code)? as u8);
        let stitch = Stitch::ALL.into_iter().find(|stitch| match sign(*stitch) {
            Some(sign) => mark == sign,
            None => mark.strip_prefix(':') == Some(stitch.abbreviation()),
        })?;
        Some(Some((colour, stitch)))
    }
}
