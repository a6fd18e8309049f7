//! A whole pattern as a text of its own: the head, the charts, the pieces.

use std::fmt::Write;

use super::Wording;
use crate::knit::Technique;
use crate::words::{Chart, ChartCell, Copies, Pattern, Piece, SizeName, Stitch};

impl Pattern {
    /// The pattern as a text that can be knitted from alone, and read back.
    pub fn to_text(&self) -> String {
        let mut text = String::new();
        // Writing to a string cannot fail.
        let _ = self.write_head(&mut text);
        for (number, chart) in self.charts.iter().enumerate() {
            let _ = self.write_chart(&mut text, number + 1, chart);
        }
        for piece in &self.pieces {
            let _ = self.write_piece(&mut text, piece);
        }
        text
    }

    /// `S (M, L)`.
    pub fn size_names(&self) -> String {
        let names: Vec<&str> = self.sizes.iter().map(SizeName::as_str).collect();
        match names.as_slice() {
            [] => String::new(),
            [one] => (*one).to_owned(),
            [first, others @ ..] => format!("{first} ({})", others.join(", ")),
        }
    }

    fn write_head(&self, text: &mut String) -> std::fmt::Result {
        writeln!(text, "# {}\n", self.title)?;
        writeln!(text, "Sizes: {}.", self.size_names())?;
        let (stitches, rows) = (self.gauge.stitches.get(), self.gauge.rows.get());
        writeln!(text, "Gauge: {stitches} sts and {rows} rows in 10 cm.")?;
        let colours: Vec<String> =
            self.colours.iter().map(|yarn| format!("{} {}", yarn.code, yarn.name.as_str())).collect();
        writeln!(text, "Colours: {}.", colours.join(", "))
    }

    fn write_chart(&self, text: &mut String, number: usize, chart: &Chart) -> std::fmt::Result {
        let (width, height) = (chart.width(), chart.rows.len());
        let plural = |n: usize| if n == 1 { "" } else { "s" };
        let (sts, rows, how) = (plural(width), plural(height), technique_word(chart.technique));
        writeln!(text, "\nChart {number}: {width} st{sts}, {height} row{rows}, {how}.")?;
        let last = height.to_string().len();
        for (index, row) in chart.rows.iter().enumerate().rev() {
            let cells: Vec<String> = row.iter().map(|cell| self.cell_sign(*cell)).collect();
            writeln!(text, "{:>last$}: {}", index + 1, cells.join(" "))?;
        }
        Ok(())
    }

    fn cell_sign(&self, cell: ChartCell) -> String {
        let Some((colour, stitch)) = cell else { return NO_STITCH.to_owned() };
        let code = self.colours.get(usize::from(colour.0)).map_or_else(String::new, |y| y.code.to_string());
        match sign(stitch) {
            Some(sign) => format!("{code}{sign}"),
            None => format!("{code}:{}", stitch.abbreviation()),
        }
    }

    fn write_piece(&self, text: &mut String, piece: &Piece) -> std::fmt::Result {
        writeln!(text, "\n## {}", piece.heading)?;
        match &piece.copies {
            Copies::One => {}
            Copies::Alike(count) => writeln!(text, "\nMake {count}.")?,
            Copies::Named(names) => {
                let names: Vec<&str> = names.iter().map(super::Name::as_str).collect();
                writeln!(text, "\nMake {}: {}.", names.len(), names.join(", "))?;
            }
        }
        let wording = Wording::new(self, &piece.copies);
        for section in &piece.sections {
            if let Some(heading) = &section.heading {
                write!(text, "\n### {heading}")?;
                writeln!(text)?;
            }
            if !section.lines.is_empty() {
                writeln!(text)?;
            }
            for line in &section.lines {
                writeln!(text, "{}", wording.line(line))?;
            }
        }
        Ok(())
    }
}

/// A cell of the chart without a stitch.
pub(in crate::words) const NO_STITCH: &str = "-";

/// The sign behind the colour of a cell; none needs nothing, `None` is said by its abbreviation.
pub(in crate::words) const fn sign(stitch: Stitch) -> Option<&'static str> {
    match stitch {
        Stitch::K => Some(""),
        Stitch::P => Some("."),
        Stitch::K2tog => Some("/"),
        Stitch::Ssk => Some("\\"),
        Stitch::S2kp => Some("^"),
        Stitch::M1l => Some("<"),
        Stitch::M1r => Some(">"),
        _ => None,
    }
}

pub(in crate::words) const fn technique_word(technique: Technique) -> &'static str {
    match technique {
        Technique::Stranded => "stranded",
        Technique::Intarsia => "intarsia",
        Technique::Stripes => "stripes",
    }
}
