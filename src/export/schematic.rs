//! The pieces drawn to scale with the knitted charts on them, and the figures of every size on their lines.

use super::chart_picture::{INK, QUIET_INK};
use super::drawing::{Align, Item, Rgb, Text};
use super::garment_picture::{Painter, Stitches};
use super::instructions::{Sized, in_sizes};
use super::text::{self, CAP_HEIGHT, Weight};
use crate::knit::pieces::{Footprint, LaidPiece, PieceOutline, PieceRow, PieceRows, Room};
use crate::project::Project;
use crate::units::LengthUnit;

/// Scales that a schematic can have, largest first.
const SCALES: [f64; 16] =
    [1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0];
/// Font size of labels, in mm.
const LABEL: f64 = 2.4;
/// Distance of their lines.
const LINE: f64 = 1.22 * LABEL;
/// Room between the words of two bands, in mm.
const BETWEEN: f64 = 0.8;
/// Between a piece and its words.
const OFF: f64 = 1.2;
/// More sizes than this stand in a list, and letters on the drawing.
const MOST_ON_DRAWING: usize = 4;
/// Widest words beside a piece.
const WIDEST_BESIDE: f64 = 62.0;

/// Pieces that stand side by side.
pub struct DrawnShelf {
    /// The drawing, in mm from its top-left corner.
    pub items: Vec<Item>,
    /// Its height in mm.
    pub height: f64,
    /// What it shows, in words.
    pub told: String,
}

/// The pieces of a project at one scale, on shelves.
pub struct Schematic {
    /// From the first piece to the last.
    pub shelves: Vec<DrawnShelf>,
    /// The drawing is 1 : this.
    pub scale: f64,
    /// Letters on the drawing with the figures they stand for; empty when these stand on it.
    pub key: Vec<(String, String)>,
}

/// Draws counted pieces at the largest scale at which they all fit in `width` x `height` mm.
pub fn draw(project: &Project, sized: &Sized, [width, height]: [f64; 2]) -> Schematic {
    let gauge = project.plan.gauge;
    let pieces = sized.chosen_pieces();
    let mut letters = Letters { used: sized.sizes.len() > MOST_ON_DRAWING, key: Vec::new() };
    let drawn: Vec<Drawn> =
        (0..pieces.len()).map(|place| Drawn::of(project, sized, place, &mut letters)).collect();
    let beside = drawn.iter().map(Drawn::beside).fold(14.0, f64::max) + 5.0;
    let lines = if letters.used { 1.0 } else { 2.0 };
    let room = Room {
        above: lines * LINE + 2.0 * OFF,
        below: (lines + 1.0) * LINE + 3.0 * OFF,
        beside,
        narrowest: drawn.iter().map(Drawn::widest_end).fold(20.0, f64::max),
    };
    // What stands beside is measured below, at the scale it is drawn at.
    let footprint = |piece: &Drawn| Footprint::bare(piece.outline.width_cm(), piece.outline.height_cm());
    let sizes: Vec<Footprint> = drawn.iter().map(footprint).collect();
    let smaller = (1..200).map(|n| 40.0 + 10.0 * f64::from(n));
    let scales = SCALES.into_iter().chain(smaller).map(|scale| 10.0 / scale);
    // Words beside a low piece can stand higher than it.
    let over = |shelf: &PieceRow, per_cm: f64| {
        let spare = shelf.height - room.below;
        shelf.standing.iter().map(|(i, _)| drawn[*i].words_above_foot(per_cm) - spare).fold(0.0, f64::max)
    };
    let mut plan = None;
    for scale in scales {
        let at = PieceRows::at(scale, &sizes, &room, width);
        let tall: f64 = at.shelves.iter().map(|shelf| shelf.height + over(shelf, scale)).sum();
        let fits = tall <= height && at.fit(width, f64::INFINITY);
        plan = Some(at);
        if fits {
            break;
        }
    }
    let Some((mut plan, stitches)) = plan.zip(Stitches::of(project, pieces)) else {
        return Schematic { shelves: Vec::new(), scale: SCALES[0], key: Vec::new() };
    };
    let per_cm = plan.per_cm;
    for shelf in &mut plan.shelves {
        shelf.height += over(shelf, per_cm);
    }
    let shelf = |shelf: &PieceRow| {
        let foot = shelf.height - room.below;
        let standing = |(place, x): &(usize, f64)| {
            let corner = [*x, foot];
            let painter = Painter { stitches: &stitches, scale: plan.per_cm, corner };
            let laid = LaidPiece::alone(*place, pieces, gauge);
            let mut items: Vec<Item> = laid.iter().flat_map(|laid| painter.piece(laid)).collect();
            items.extend(drawn[*place].lines(corner, plan.per_cm));
            items
        };
        let told: Vec<String> = shelf.standing.iter().map(|(place, _)| drawn[*place].told()).collect();
        DrawnShelf {
            items: shelf.standing.iter().flat_map(standing).collect(),
            height: shelf.height,
            told: told.join(" "),
        }
    };
    let scale = (100.0 / plan.per_cm).round() / 10.0;
    Schematic { shelves: plan.shelves.iter().map(shelf).collect(), scale, key: letters.key }
}

/// Letters that stand for figures.
struct Letters {
    used: bool,
    key: Vec<(String, String)>,
}

impl Letters {
    /// The lines to print for lengths in every size, and the words for them.
    fn lines(&mut self, project: &Project, what: &str, cms: &[f64], word: &str) -> Figure {
        let both = match project.units {
            LengthUnit::Metric => [LengthUnit::Metric, LengthUnit::Imperial],
            LengthUnit::Imperial => [LengthUnit::Imperial, LengthUnit::Metric],
        };
        let figures = both.map(|unit| {
            format!(
                "{} {}",
                in_sizes(cms.iter().map(|cm| format!("{:.1}", unit.from_cm(*cm)))),
                unit.length_suffix()
            )
        });
        let word = if word.is_empty() { String::new() } else { format!(" {word}") };
        let told = format!("{what} {}{word}", figures[0]);
        if !self.used {
            let [first, second] = figures;
            return Figure { lines: vec![format!("{first}{word}"), second], told };
        }
        let letter = letter(self.key.len());
        self.key.push((letter.clone(), format!("{what}: {}{word}", figures.join(" / "))));
        Figure { lines: vec![letter], told }
    }
}

/// `a` to `z`, then `aa`, `ab`, ...
fn letter(n: usize) -> String {
    let own = char::from(b'a' + (n % 26) as u8);
    if n < 26 { own.to_string() } else { format!("{}{own}", letter(n / 26 - 1)) }
}

/// A length in every size, as it is printed and as it is told.
struct Figure {
    lines: Vec<String>,
    told: String,
}

/// A band beside its piece.
struct Beside {
    name: String,
    height: Figure,
    /// Its width at the end, where that is neither the piece's first nor its last.
    ends: Option<Figure>,
    y_cm: (f64, f64),
}

/// A piece ready to be drawn.
struct Drawn {
    outline: PieceOutline,
    start: Figure,
    end: Figure,
    bands: Vec<Beside>,
}

impl Drawn {
    fn of(project: &Project, sized: &Sized, place: usize, letters: &mut Letters) -> Self {
        let gauge = project.plan.gauge;
        let outline = PieceOutline::of(&sized.chosen_pieces()[place], gauge);
        let outlines: Vec<PieceOutline> = sized
            .worked
            .iter()
            .filter_map(|pieces| pieces.get(place))
            .map(|piece| PieceOutline::of(piece, gauge))
            .collect();
        let (around, word) = if outline.tube { (2.0, "around") } else { (1.0, "wide") };
        let of = |figure: &dyn Fn(&PieceOutline) -> f64| outlines.iter().map(figure).collect::<Vec<f64>>();
        let starts = of(&|o| o.bands.first().map_or(0.0, |band| band.width_cm.0 * around));
        let ends = of(&|o| o.bands.last().map_or(0.0, |band| band.width_cm.1 * around));
        let name = outline.name.clone();
        let start = letters.lines(project, &format!("{name}, start"), &starts, word);
        let mut bands = Vec::new();
        for (i, band) in outline.bands.iter().enumerate().filter(|(_, band)| band.rows.0 < band.rows.1) {
            let at = |o: &PieceOutline, figure: &dyn Fn(&crate::knit::pieces::BandOutline) -> f64| {
                o.bands.get(i).map_or(0.0, figure)
            };
            let high = of(&|o| at(o, &|band| band.y_cm.1 - band.y_cm.0));
            let height = letters.lines(project, &format!("{name}, {}", band.name.to_lowercase()), &high, "");
            let here = of(&|o| at(o, &|band| band.width_cm.1 * around));
            let differs = |other: &[f64]| here.iter().zip(other).any(|(a, b)| (a - b).abs() > 0.05);
            let ends = (differs(&starts) && differs(&ends)).then(|| {
                letters.lines(project, &format!("{name}, end of {}", band.name.to_lowercase()), &here, word)
            });
            bands.push(Beside { name: band.name.clone(), height, ends, y_cm: band.y_cm });
        }
        let end = letters.lines(project, &format!("{name}, end"), &ends, word);
        Self { outline, start, end, bands }
    }

    /// Width of the words at its right.
    fn beside(&self) -> f64 {
        let lines = self.bands.iter().flat_map(Beside::lines);
        lines.map(|line| text::width(&line, LABEL, Weight::Regular)).fold(0.0, f64::max).min(WIDEST_BESIDE)
    }

    fn widest_end(&self) -> f64 {
        let lines = self.start.lines.iter().chain(&self.end.lines);
        lines.map(|line| text::width(line, LABEL, Weight::Regular)).fold(0.0, f64::max)
    }

    fn told(&self) -> String {
        let bands = self.bands.iter().map(|band| band.height.told.as_str());
        let all: Vec<&str> =
            [self.start.told.as_str()].into_iter().chain(bands).chain([self.end.told.as_str()]).collect();
        format!("{}.", all.join("; "))
    }

    /// The lines between the bands and all words, the middle of its first row at `foot`.
    fn lines(&self, foot: [f64; 2], mm_per_cm: f64) -> Vec<Item> {
        let to_page = |(x, y): (f64, f64)| [foot[0] + x * mm_per_cm, foot[1] - y * mm_per_cm];
        let mut items = Vec::new();
        for band in self.outline.bands.iter().filter(|band| band.rows.0 > 0 && band.rows.0 < band.rows.1) {
            let ends = band.ends()[0].map(to_page);
            items.push(Item::Line { points: ends.to_vec(), width: 0.15, closed: false, ink: QUIET_INK });
        }
        let [x, y] = to_page((0.0, 0.0));
        let below = self.start.lines.iter().enumerate();
        items.extend(below.map(|(i, line)| {
            label(line, [x, y + OFF + (i + 1) as f64 * LINE], Align::Middle, Weight::Regular, INK)
        }));
        let make =
            if self.outline.copies > 1 { format!(" (make {})", self.outline.copies) } else { String::new() };
        let name = format!("{}{make}", self.outline.name);
        let at = [x, y + 2.0 * OFF + (self.start.lines.len() + 1) as f64 * LINE];
        items.push(label(&name, at, Align::Middle, Weight::Semibold, INK));
        let [x, y] = to_page((0.0, self.outline.height_cm()));
        let above = self.end.lines.iter().rev().enumerate();
        items.extend(above.map(|(i, line)| {
            label(line, [x, y - OFF - i as f64 * LINE], Align::Middle, Weight::Regular, INK)
        }));
        items.extend(self.at_the_side(&to_page));
        items
    }

    fn at_the_side(&self, to_page: &dyn Fn((f64, f64)) -> [f64; 2]) -> Vec<Item> {
        let mut items = Vec::new();
        let per_cm = to_page((0.0, 0.0))[1] - to_page((0.0, 1.0))[1];
        for (band, above) in self.bands.iter().zip(self.tops(per_cm)) {
            let middle_cm = f64::midpoint(band.y_cm.0, band.y_cm.1);
            let [right, middle] = to_page((self.outline.width_cm() / 2.0, middle_cm));
            // The words at the ends of a narrow piece are wider than it.
            let right = right.max(to_page((0.0, 0.0))[0] + self.widest_end() / 2.0 - 2.5);
            let lines = band.lines();
            let tall = lines.len() as f64 * LINE;
            let top = to_page((0.0, 0.0))[1] - above;
            let x = right + 5.0;
            let edge = to_page((self.right_edge_at(middle_cm), middle_cm))[0];
            let points = vec![[edge + 0.6, middle], [x - 2.4, middle], [x - 1.0, top + tall / 2.0]];
            items.push(Item::Line { points, width: 0.12, closed: false, ink: QUIET_INK });
            for (i, line) in lines.iter().enumerate() {
                let line = text::fitted(line, LABEL, Weight::Regular, WIDEST_BESIDE);
                let y = top + i as f64 * LINE + f64::midpoint(LINE, CAP_HEIGHT * LABEL);
                let ink = if i == 0 { QUIET_INK } else { INK };
                items.push(label(&line, [x, y], Align::Start, Weight::Regular, ink));
            }
        }
        items
    }

    /// How high above the first row the words of each band begin: beside it, or higher until they clear
    /// those of the band below and what stands under the piece.
    fn tops(&self, per_cm: f64) -> Vec<f64> {
        let mut reached = -BETWEEN;
        let top = |band: &Beside| {
            let tall = band.lines().len() as f64 * LINE;
            let middle = f64::midpoint(band.y_cm.0, band.y_cm.1) * per_cm;
            reached = (middle + tall / 2.0).max(reached + tall + BETWEEN);
            reached
        };
        self.bands.iter().map(top).collect()
    }

    /// How high the words beside it reach above its first row, in mm.
    fn words_above_foot(&self, per_cm: f64) -> f64 {
        self.tops(per_cm).last().map_or(0.0, |top| top + OFF)
    }

    fn right_edge_at(&self, y: f64) -> f64 {
        let bands = &self.outline.bands;
        let band = bands.iter().find(|band| band.y_cm.0 <= y && y <= band.y_cm.1);
        let row = band.map(|band| band.rows.0 + (band.rows.1 - band.rows.0) / 2);
        row.and_then(|row| self.outline.row_edges(row)).map_or(0.0, |[low, _]| low.1)
    }
}

impl Beside {
    fn lines(&self) -> Vec<String> {
        let mut lines = vec![self.name.clone()];
        lines.extend(self.height.lines.iter().cloned());
        if let Some(ends) = &self.ends {
            let mut ends = ends.lines.iter();
            lines.extend(ends.next().map(|first| format!("to {first}")));
            lines.extend(ends.cloned());
        }
        lines
    }
}

fn label(words: &str, [x, y]: [f64; 2], align: Align, weight: Weight, ink: Rgb) -> Item {
    Item::Text(Text { x, y, text: words.to_owned(), size: LABEL, weight, align, ink })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::file::demos;

    #[test]
    fn every_size_stands_on_the_drawing_or_in_its_key() {
        for demo in demos() {
            let mut project = demo.project().unwrap();
            for more in [0, 6] {
                if let Some(last) = project.pieces.sizes.last().cloned() {
                    project.pieces.sizes.extend((0..more).map(|n| {
                        let mut size = last.clone();
                        size.name = format!("X{n}");
                        size.ease_cm += f64::from(n + 1);
                        size
                    }));
                }
                let Ok(sized) = Sized::of(&project, None) else { continue };
                let drawn = draw(&project, &sized, [180.0, 200.0]);
                let letters = sized.sizes.len() > MOST_ON_DRAWING;
                assert_eq!(drawn.key.is_empty(), !letters, "{}", demo.title);
                let words: Vec<&String> = drawn
                    .shelves
                    .iter()
                    .flat_map(|shelf| &shelf.items)
                    .filter_map(|item| if let Item::Text(line) = item { Some(&line.text) } else { None })
                    .collect();
                let pieces = sized.chosen_pieces();
                let first = project.plan.gauge.width(pieces[0].first_stitches()).get();
                let figure = format!("{first:.1}");
                let stands = |text: &str| text.contains(&figure) && text.contains(" cm");
                assert!(
                    words.iter().any(|text| stands(text)) || drawn.key.iter().any(|(_, text)| stands(text)),
                    "{}: {figure}",
                    demo.title
                );
            }
        }
    }

    #[test]
    fn letters_do_not_run_out() {
        assert_eq!([0, 25, 26, 27, 52].map(letter), ["a", "z", "aa", "ab", "ba"]);
    }
}
