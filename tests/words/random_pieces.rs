//! Random pieces in random sizes, knitted through from their printed words.
//!
//! `RANDOM_PIECES=1000 cargo test --test words random_pieces -- --nocapture` tries more.

use huegauge::chart::{Cell, Grid, Rect};
use huegauge::knit::pieces::{
    Band, BindOff, Books, CastOn, EndEdge, Fabric, Finish, Length, Piece, SetAside, Shaping, SizeTable,
    StartEdge, Step, Take, Width, WorkedPiece,
};
use huegauge::knit::{Construction, Gauge, Technique};
use huegauge::project::{Chart, Project};
use huegauge::words::{Knitted, Pattern};

use crate::random::Random;

/// Lets the tests say how many cases they try.
pub fn cases(variable: &str, usual: usize) -> usize {
    std::env::var(variable).ok().and_then(|n| n.parse().ok()).unwrap_or(usual)
}

struct Maker(Random);

impl Maker {
    fn between(&mut self, least: usize, most: usize) -> u32 {
        (least + self.0.below(most + 1 - least)) as u32
    }

    fn project(&mut self) -> Project {
        let mut project = Project::default();
        let (width, height) = (self.between(2, 14), self.between(2, 16));
        let cells = (0..width * height).map(|_| Cell::slot(self.0.below(3) as u8)).collect();
        project.chart = Chart::new(Grid::from_cells(width, height, cells).unwrap());
        let stitches = f64::from(self.between(14, 34));
        project.plan.gauge = Gauge::new(stitches, stitches * self.0.pick(&[1.2, 1.3, 1.4])).unwrap();
        "Random piece".clone_into(&mut project.title);
        let table = SizeTable::shipped().unwrap();
        let group = table.group(self.0.pick(&["Child", "Woman", "Youth"])).unwrap();
        let count = self.between(1, 4) as usize;
        let ease_cm = self.0.pick(&[0.0, 5.0, 10.0]);
        let from = self.0.below(group.sizes.len().saturating_sub(count).max(1));
        let sizes = group.sizes.iter().skip(from).take(count);
        project.pieces.sizes = sizes
            .map(|size| huegauge::knit::pieces::Size { name: size.name.clone(), body: size.body, ease_cm })
            .collect();
        project.pieces.pieces = self.pieces(Rect::new(0, 0, width, height));
        project
    }

    fn width(&mut self) -> Width {
        use huegauge::knit::pieces::{Follow, Measure};
        let measure = self.0.pick(&[Measure::Chest, Measure::UpperArm]);
        let times = self.0.pick(&[0.3, 0.5, 0.7, 1.0]);
        match self.0.below(4) {
            0 => Width::Stitches(self.between(24, 160)),
            1 => Width::Cm(f64::from(self.between(14, 70))),
            _ => Width::Body(Follow::with_ease(measure, times)),
        }
    }

    fn fabric(&mut self, chart: Rect) -> Fabric {
        match self.0.below(8) {
            0 | 1 => Fabric::Ribbing { knit: self.between(1, 3), purl: self.between(1, 3) },
            2 => Fabric::Garter,
            3 => Fabric::Moss,
            4 | 5 => Fabric::Chart { region: Some(chart), edge: self.0.pick(&[0, 0, 2, 4]) },
            _ => Fabric::Plain,
        }
    }

    fn band(&mut self, place: usize, chart: Rect) -> Band {
        let fabric = self.fabric(chart);
        let length = match (fabric, self.0.below(3)) {
            (Fabric::Chart { .. }, 0) => Length::Repeats(self.between(1, 3)),
            (_, 1) => Length::Cm(f64::from(self.between(2, 14))),
            _ => Length::Rows(self.between(2, 40)),
        };
        let mut band = Band::new(&format!("Band {}", place + 1), fabric, length, self.0.below(3));
        if place == 0 {
            band.start = self.width();
        } else if self.0.chance(35) {
            band.start = Width::Share(self.0.pick(&[0.7, 0.8, 0.9, 1.1, 1.25]));
        }
        if matches!(fabric, Fabric::Plain | Fabric::Garter) && self.0.chance(45) {
            band.end = Width::Share(self.0.pick(&[0.6, 0.75, 0.9, 1.2, 1.4]));
            band.shaping = match self.0.below(4) {
                0 => Shaping::InRows(self.between(1, 4)),
                1 => Shaping::PerRow(self.0.pick(&[4, 8])),
                _ => Shaping::PerRow(2),
            };
            if self.0.chance(30) {
                band.length = Length::Shaped { every: self.between(1, 4) };
            }
        } else if self.0.chance(25) && !matches!(fabric, Fabric::Chart { .. }) {
            band.colours = vec![0, 1, 2];
            band.stripe_rows = self.between(1, 5);
        }
        if matches!(fabric, Fabric::Chart { .. }) {
            band.technique = self.0.pick(&[Technique::Stranded, Technique::Stranded, Technique::Intarsia]);
        }
        band
    }

    /// A tube with two to four steeks, one of them perhaps shaped at both sides; all that stays live is taken up by a
    /// second piece, and every bridge is cut.
    fn steeked(&mut self, chart: Rect) -> Vec<Piece> {
        let charted = |name: &str, rows: u32| {
            let fabric = Fabric::Chart { region: Some(chart), edge: 0 };
            Band::new(name, fabric, Length::Rows(rows), 0)
        };
        let mut steeks = Vec::new();
        let mut step = |maker: &mut Self, name: &str, at: f64, wide: bool| {
            let (aside, bridge) = (maker.between(0, if wide { 12 } else { 4 }), maker.between(2, 9));
            steeks.push((name.to_owned(), aside, bridge));
            let (name, aside) = (name.to_owned(), Width::Stitches(aside));
            Step::Steek { name, at, aside, less_cm: 0.0, bridge }
        };
        let mut bands = Vec::new();
        if self.0.chance(50) {
            bands.push(
                Band::new("Hem", Fabric::Plain, Length::Rows(self.between(1, 6)), 1).from(self.width()),
            );
        }
        let mut body = charted("Body", self.between(1, 30));
        if bands.is_empty() {
            body.start = self.width();
        }
        bands.push(body.then(step(self, "left", 0.0, false)).then(step(self, "right", 0.5, false)));
        bands.push(charted("Above", self.between(1, 30)));
        if self.0.chance(70) {
            let at = self.0.pick(&[0.2, 0.25, 0.3, 0.75]);
            bands[..].last_mut().unwrap().then.push(step(self, "neck", at, true));
            let mut neck = charted("Neck", self.between(1, 30));
            if self.0.chance(70) {
                neck = neck.to(Width::Narrower(f64::from(self.between(1, 6))), Shaping::Steek);
            }
            bands.push(neck);
        }
        let places = steeks.len() as u32;
        let parts = SetAside::new(places, Width::Stitches(0)).parts("First", Construction::InTheRound);
        let own = parts.into_iter().filter(|(_, rests)| !*rests).map(|(name, _)| name);
        let aside = steeks.iter().filter(|steek| steek.1 > 0).map(|steek| steek.0.clone());
        let takes = own.chain(aside).map(Take::Group).collect();
        let first = Piece {
            end: EndEdge::Live,
            finish: steeks
                .into_iter()
                .map(|(place, _, stitches)| Finish::Steek { stitches, place })
                .collect(),
            ..Piece::new("First", Construction::InTheRound, bands)
        };
        let band = Band::new("Edge", Fabric::Plain, Length::Rows(2), 2).from(Width::Joined);
        let second = Piece::new("Second", Construction::InTheRound, vec![band]);
        vec![first, Piece { start: StartEdge::Joined, takes, ..second }]
    }

    /// One piece, sometimes with a second that takes its stitches up again or closes an opening of it.
    fn pieces(&mut self, chart: Rect) -> Vec<Piece> {
        if self.0.chance(15) {
            return self.steeked(chart);
        }
        let construction = self.0.pick(&Construction::ALL);
        let bands = (0..self.between(1, 4) as usize).map(|place| self.band(place, chart)).collect();
        let mut first = Piece {
            copies: self.0.pick(&[1, 1, 2, 3]),
            cast_on: self.0.pick(&[CastOn::Any, CastOn::Stretchy]),
            bind_off: self.0.pick(&BindOff::ALL),
            ..Piece::new("First", construction, bands)
        };
        first.sided = first.copies == 2 && self.0.chance(50);
        let round = construction == Construction::InTheRound;
        let on = |name: &str, takes, bands| Piece {
            copies: 1,
            start: StartEdge::Joined,
            takes,
            ..Piece::new(name, construction, bands)
        };
        let last = first.bands.len() - 1;
        match self.0.below(5) {
            0 if round
                && first.bands[last].fabric == Fabric::Plain
                && first.bands[last].end == Width::AsBefore =>
            {
                let opening = Step::Opening {
                    name: "pocket".to_owned(),
                    stitches: Width::Share(0.2),
                    inset: self.between(0, 3),
                    face: 0,
                };
                first.bands[last].colours.truncate(1);
                first.bands[last].then.push(opening);
                let takes = vec![Take::Opening { name: "pocket".to_owned(), corners: self.between(0, 2) }];
                let plain = Band::new("Pocket", Fabric::Plain, Length::Rows(6), 1).from(Width::Joined);
                let second =
                    Piece { copies: first.copies, sided: first.sided, ..on("Pocket", takes, vec![plain]) };
                vec![first, second]
            }
            1 | 2 => {
                first.end = EndEdge::Live;
                first.copies = 1;
                first.sided = false;
                first.set_aside =
                    Some(SetAside::new(self.between(1, 2), Width::Stitches(self.between(2, 6))));
                let parts = first.set_aside.as_ref().unwrap().parts("First", construction);
                let takes =
                    parts.iter().filter(|(_, rests)| !*rests).map(|(name, _)| Take::Group(name.clone()));
                let mut band = self.band(1, chart);
                band.start = Width::Joined;
                let mut second = on("Second", takes.collect(), vec![band]);
                let resting: Vec<String> =
                    parts.into_iter().filter(|(_, rests)| *rests).map(|(name, _)| name).collect();
                if let [one, other] = resting.as_slice() {
                    let (one, other) = (one.clone(), other.clone());
                    second.finish.push(match self.0.below(2) {
                        0 => Finish::Graft { one, other },
                        _ => Finish::ThreeNeedle { one, other },
                    });
                }
                vec![first, second]
            }
            3 if round => {
                first.end = self.0.pick(&[EndEdge::DrawnTogether, EndEdge::BoundOff]);
                vec![first]
            }
            _ => vec![first],
        }
    }
}

/// Whether every stitch is closed, and every row has the stitches and colours of the worked piece.
fn knitted_as_worked(knitted: &Knitted, worked: &[WorkedPiece], project: &Project) -> Result<(), String> {
    if !knitted.is_closed() {
        return Err(format!("{:?} {:?}", knitted.stumbles.first(), knitted.open));
    }
    let mut made = knitted.pieces.iter();
    for piece in worked {
        let rows = piece.knitted_rows(&project.pattern()).unwrap();
        for _ in 0..piece.copies {
            let copy = made.next().unwrap();
            if copy.rows.len() != rows.len() {
                return Err(format!("{}: {} rows, not {}", piece.name, copy.rows.len(), rows.len()));
            }
            for (r, (row, knitted)) in rows.iter().zip(&copy.rows).enumerate() {
                let wanted = row.iter().rev().filter_map(|cell| cell.index());
                if !knitted.stitches.iter().map(|(colour, _)| usize::from(colour.0)).eq(wanted) {
                    return Err(format!("{}: row {} has other stitches", piece.name, r + 1));
                }
            }
        }
    }
    Ok(())
}

#[test]
fn random_pieces_are_knitted_through_in_every_size() {
    let wanted = cases("RANDOM_PIECES", 60);
    let (mut knitted_through, mut sizes, mut refused) =
        (0, 0, std::collections::BTreeMap::<String, usize>::new());
    let (mut seed, mut wrong, mut cut_open) = (0, Vec::new(), 0);
    while knitted_through < wanted {
        seed += 1;
        assert!(seed < 40 * wanted as u64 + 400, "nearly every piece is refused: {refused:?}");
        let project = Maker(Random::new(seed)).project();
        let all = project.pieces.all_sizes();
        // What a knitter is told of before anything is printed is no pattern: broken pieces, open stitches.
        let worked: Result<Vec<_>, _> = all.iter().map(|size| project.work_pieces(size)).collect();
        let Ok(worked) = worked else {
            *refused.entry("cannot be worked".to_owned()).or_default() += 1;
            continue;
        };
        if !worked.iter().all(|pieces| Books::of(pieces).close()) {
            *refused.entry("leaves stitches open".to_owned()).or_default() += 1;
            continue;
        }
        let chart_fits = |pieces: &Vec<WorkedPiece>| {
            let bands = pieces.iter().flat_map(|piece| &piece.bands);
            let fit = bands.clone().all(|band| band.chart.is_none_or(|chart| chart.divides()));
            fit && pieces.iter().all(|piece| piece.charts_begun_on_wrong_side().is_empty())
        };
        if !worked.iter().all(chart_fits) {
            *refused
                .entry("a chart does not divide or begins on a wrong-side row".to_owned())
                .or_default() += 1;
            continue;
        }
        let pattern = match project.instructions() {
            Ok(pattern) => pattern,
            Err(why) => {
                let why = why.to_string();
                let why = why.rsplit("': ").next().unwrap_or_default();
                *refused.entry(why.to_owned()).or_default() += 1;
                continue;
            }
        };
        let text = pattern.to_text();
        let read = Pattern::read(&text).unwrap_or_else(|error| panic!("seed {seed}: {error}\n{text}"));
        for (place, (size, worked)) in all.iter().zip(&worked).enumerate() {
            if let Err(why) = knitted_as_worked(&read.knit(place), worked, &project) {
                wrong.push(format!("seed {seed}, size {}: {why}", size.name));
                println!("{}\n{text}", wrong.last().unwrap());
            }
            sizes += 1;
        }
        assert!(wrong.len() < 10, "{}", wrong.join("\n"));
        cut_open += usize::from(worked[0].iter().any(|piece| piece.bands.iter().any(|b| b.steeks.is_some())));
        knitted_through += 1;
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(20 * cut_open > wanted, "{cut_open} of {wanted} are cut open");
    println!(
        "{knitted_through} random pieces in {sizes} sizes knitted through ({cut_open} cut open), of {seed} tried; refused:"
    );
    for (why, count) in refused {
        println!("  {count}: {why}");
    }
}
