//! Random patterns: any that the language can say, whether or not they can be knitted.

use huegauge::knit::{Gauge, Technique};
use huegauge::words::*;

/// A small generator of our own (splitmix64), so that a case is one number.
pub struct Random(u64);

impl Random {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5DEE_CE66)
    }

    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// `0..n`
    pub fn below(&mut self, n: usize) -> usize {
        (self.next() % n as u64) as usize
    }

    pub fn chance(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }

    pub fn pick<T: Clone>(&mut self, of: &[T]) -> T {
        of[self.below(of.len())].clone()
    }
}

/// What the lines of one pattern may name.
pub struct Maker {
    pub random: Random,
    sizes: usize,
    colours: usize,
    charts: usize,
    copies: u32,
}

const WORDS: [&str; 16] = [
    "left", "right", "sleeve", "to", "on", "and", "k2", "12", "body", "Ärmel", "with", "for", "of", "a",
    "thumb's", "st",
];

pub fn pattern(seed: u64) -> Pattern {
    let mut random = Random::new(seed);
    let sizes = random.pick(&[1, 1, 2, 3, 3, 4, 10]);
    let colours = 1 + random.below(30);
    let charts = random.below(3);
    let mut make = Maker { random, sizes, colours, charts, copies: 1 };
    let names = ["S", "M", "L", "XL", "4 years", "2X/3X", "One size", "XXL", "5-6", "größte"];
    Pattern {
        title: Text::new("A #1 (odd) title, with signs: & more.").unwrap(),
        sizes: names[..sizes].iter().map(|name| SizeName::new(name)).collect(),
        gauge: Gauge::new(28.0, 33.5).unwrap(),
        colours: (0..colours)
            .map(|place| Yarn { code: Code::nth(place as u8), name: SizeName::new("dark peat") })
            .collect(),
        charts: (0..charts).map(|_| make.chart()).collect(),
        pieces: (0..=make.random.below(3)).map(|_| make.piece()).collect(),
    }
}

impl Maker {
    fn chart(&mut self) -> Chart {
        let width = 1 + self.random.below(12);
        let rows = (0..=self.random.below(12))
            .map(|_| {
                (0..width)
                    .map(|_| {
                        let stitch =
                            if self.random.chance(80) { Stitch::K } else { self.random.pick(&Stitch::ALL) };
                        let cell = (self.colour(), stitch);
                        (!self.random.chance(10)).then_some(cell)
                    })
                    .collect()
            })
            .collect();
        Chart { technique: self.random.pick(&Technique::ALL), rows }
    }

    fn piece(&mut self) -> Piece {
        let copies = match self.random.below(3) {
            0 => Copies::One,
            1 => Copies::Alike(2 + self.random.below(9) as u32),
            _ => Copies::Named(vec![Name::new("left"), Name::new("right hand"), Name::new("k2 way")]),
        };
        self.copies = copies.count();
        let mut sections = Vec::new();
        if self.random.chance(50) {
            sections.push(Section { heading: None, lines: self.lines(1) });
        }
        for _ in 0..=self.random.below(3) {
            sections.push(Section { heading: Text::new("Crown, and 2 more"), lines: self.lines(0) });
        }
        Piece { heading: Text::new("Sleeve, make 2.").unwrap(), copies, sections }
    }

    fn lines(&mut self, least: usize) -> Vec<Line> {
        (0..least + self.random.below(8)).map(|_| self.line()).collect()
    }

    fn line(&mut self) -> Line {
        let step = self.step();
        let count = (self.random.chance(40) && !matches!(step, Step::Note(_))).then(|| self.amount());
        let mut only = Only::ALL;
        if self.random.chance(15) {
            only.sizes = self.some_of(self.sizes as u32);
        }
        if self.random.chance(10) && self.copies > 1 {
            only.copies = self.some_of(self.copies);
        }
        Line { only, step, count }
    }

    fn some_of(&mut self, n: u32) -> Vec<u32> {
        (0..n).filter(|_| self.random.chance(50)).collect()
    }

    pub fn amount(&mut self) -> Amount {
        if self.random.chance(60) {
            return (self.random.pick(&[0, 1, 1, 2, 3, 12, 120, 9_999])).into();
        }
        let sizes = self.sizes;
        PerSize::each((0..sizes).map(|_| self.random.below(40) as u32)).unwrap()
    }

    fn some(&mut self) -> Amount {
        self.amount().map(|n| n.max(1))
    }

    fn colour(&mut self) -> Colour {
        Colour(self.random.below(self.colours) as u8)
    }

    fn colour_or_not(&mut self) -> Option<Colour> {
        self.random.chance(40).then(|| self.colour())
    }

    fn name(&mut self) -> Name {
        let words: Vec<&str> = (0..=self.random.below(4)).map(|_| self.random.pick(&WORDS)).collect();
        Name::new(&words.join(" "))
    }

    fn course(&mut self) -> Course {
        self.random.pick(&[Course::Round, Course::Row])
    }

    fn side(&mut self) -> Option<Side> {
        self.random.pick(&[None, Some(Side::Right), Some(Side::Wrong)])
    }

    fn counted_stitch(&mut self) -> Stitch {
        self.random.pick(&[Stitch::K, Stitch::P, Stitch::Sl])
    }

    fn until(&mut self) -> Until {
        match self.random.below(5) {
            0 => Until::End,
            1 => Until::Last(self.some()),
            2 => Until::Marker { before: self.amount() },
            3 => Until::Turn { before: self.amount() },
            _ => Until::PastTurn(self.some()),
        }
    }

    fn items(&mut self, depth: usize) -> Vec<Item> {
        (0..=self.random.below(5)).map(|_| self.item(depth)).collect()
    }

    fn item(&mut self, depth: usize) -> Item {
        match self.random.below(16) {
            0 | 1 => Item::Work {
                stitch: self.random.pick(&Stitch::ALL),
                times: self.amount(),
                colour: self.colour_or_not(),
            },
            2 => Item::Work {
                stitch: self.counted_stitch(),
                times: self.amount(),
                colour: self.colour_or_not(),
            },
            3 | 4 => Item::WorkTo {
                stitch: self.counted_stitch(),
                until: self.until(),
                colour: self.colour_or_not(),
            },
            5 => Item::From { stitch: self.counted_stitch(), times: self.amount(), group: self.name() },
            6 | 7 if depth < 3 => Item::Group { items: self.items(depth + 1), times: self.amount() },
            8 | 9 if depth == 0 => Item::Star { items: self.items(1), until: self.until() },
            10 => self.random.pick(&[
                Item::PlaceMarker,
                Item::SlipMarker,
                Item::RemoveMarker,
                Item::RoundMarker,
            ]),
            11 => Item::BindOff(self.amount()),
            12 => Item::CastOn { times: self.amount(), method: self.random.pick(&CastOn::ALL) },
            13 => Item::PickUp(self.pick_up()),
            14 => Item::SetAside { times: self.amount(), group: self.name() },
            15 => Item::WasteYarn { times: self.amount(), opening: self.name() },
            _ => Item::Turn(self.random.pick(&Turn::ALL)),
        }
    }

    fn pick_up(&mut self) -> PickUp {
        let ratio = self.random.chance(50).then(|| Ratio {
            stitches: 1 + self.random.below(9) as u32,
            every: 1 + self.random.below(9) as u32,
            of: self.amount(),
        });
        PickUp { times: self.amount(), edge: self.name(), ratio }
    }

    fn fabric(&mut self) -> StitchPattern {
        let (knit, purl) = (1 + self.random.below(4) as u32, 1 + self.random.below(4) as u32);
        self.random.pick(&[
            StitchPattern::Stockinette,
            StitchPattern::ReverseStockinette,
            StitchPattern::Garter,
            StitchPattern::Moss,
            StitchPattern::Rib { knit, purl },
        ])
    }

    fn edge(&mut self) -> Edge {
        Edge { stitches: self.amount(), colour: self.colour_or_not(), fabric: self.fabric() }
    }

    fn strip(&mut self) -> Strip {
        Strip {
            chart: self.random.below(self.charts) as u32,
            repeats: self.amount(),
            of: self.random.below(30) as u32,
            begin: self.some(),
            extra: self.amount(),
        }
    }

    /// At least one chart, and what may lie before, between and after.
    fn across(&mut self) -> Vec<Across> {
        let mut across = Vec::new();
        for _ in 0..=self.random.below(3) {
            across.extend(self.random.chance(30).then(|| self.beside()));
            across.push(Across::Strip(self.strip()));
        }
        across.extend(self.random.chance(30).then(|| self.beside()));
        across
    }

    fn beside(&mut self) -> Across {
        match self.random.below(5) {
            0 => Across::Steek(self.amount()),
            1 => Across::EdgeStitches(self.amount()),
            2 => Across::Bridge { aside: self.amount(), stitches: self.amount(), steek: self.name() },
            3 => Across::Bridge { aside: 0.into(), stitches: self.amount(), steek: self.name() },
            _ => Across::Edge(self.edge()),
        }
    }

    fn work(&mut self) -> Work {
        match self.random.below(8) {
            7 => Work::ChartAsSet(AsSet {
                from: self.some(),
                to: self.some(),
                times: self.some(),
                shaped: self.random.chance(50).then(|| self.name()),
            }),
            0 => Work::Fabric(self.fabric()),
            1 => Work::AsSet,
            2 => Work::Striped {
                fabric: self.fabric(),
                stripes: (0..=self.random.below(4))
                    .map(|_| (self.colour(), 1 + self.random.below(5) as u32))
                    .collect(),
            },
            3 | 4 if self.charts > 0 => Work::Chart(ChartWork {
                from: self.some(),
                to: self.some(),
                times: self.some(),
                across: self.across(),
            }),
            5 => Work::Formula(vec![Item::WorkTo {
                stitch: self.counted_stitch(),
                until: Until::End,
                colour: self.colour_or_not(),
            }]),
            _ => Work::Formula(self.items(0)),
        }
    }

    fn rows(&mut self) -> Rows {
        let label = match self.random.below(4) {
            0 => Label::EverySecond(1 + self.random.below(9) as u32),
            1 => Label::Next(self.amount()),
            _ => {
                let from = self.some();
                let to = if self.random.chance(50) { from.clone() } else { self.some() };
                Label::Numbered { from, to }
            }
        };
        Rows {
            course: self.course(),
            label,
            side: self.side(),
            colour: self.colour_or_not(),
            work: self.work(),
            closing_gaps: self.random.chance(10),
        }
    }

    fn needle_or_not(&mut self) -> Option<Needle> {
        self.random.pick(&[None, Some(Needle::Finer), Some(Needle::Larger)])
    }

    fn step(&mut self) -> Step {
        match self.random.below(27) {
            26 => Step::SoFar { rows: self.amount(), course: self.course() },
            0 => Step::CastOn {
                stitches: self.amount(),
                method: self.random.pick(&CastOn::ALL),
                colour: self.colour_or_not(),
                needle: self.needle_or_not(),
            },
            1 => Step::PickUp {
                pick_up: self.pick_up(),
                colour: self.colour_or_not(),
                needle: self.needle_or_not(),
            },
            2 => Step::Needle(self.random.pick(&Needle::ALL)),
            3 => Step::Repeat { rows: self.some(), times: self.amount(), course: self.course() },
            4 | 5 => self.go_on(),
            6 => Step::SetAside {
                parts: (0..=self.random.below(4))
                    .map(|_| PartAside {
                        stitches: self.amount(),
                        rest: self.random.pick(&Rest::ALL),
                        group: self.name(),
                    })
                    .collect(),
                others_stay: self.random.chance(50),
            },
            7 => Step::TakeUp {
                groups: (0..=self.random.below(3))
                    .map(|_| GroupAside { stitches: self.amount(), group: self.name() })
                    .collect(),
                facing: self.random.pick(&[Side::Right, Side::Wrong]),
            },
            8 => Step::Open { opening: self.name(), below: self.amount(), above: self.amount() },
            9 => Step::Release { stitches: self.amount(), group: self.name() },
            10 => Step::BindOff {
                stitches: self.amount(),
                method: self.random.pick(&BindOff::ALL),
                colour: self.colour_or_not(),
            },
            11 => Step::ThreeNeedle { stitches: self.amount(), front: self.name(), back: self.name() },
            12 => Step::Graft { stitches: self.amount(), one: self.name(), other: self.name() },
            13 => Step::GraftHalves { stitches: self.amount() },
            14 => {
                Step::DrawThrough { colour: self.colour_or_not(), stitches: self.amount(), what: self.name() }
            }
            15 => Step::Seam(self.name()),
            16 => Step::Steek { stitches: self.amount(), place: self.name() },
            17 => Step::Note(Text::new("soak; (roll) in a towel: dry flat. Then # wear it").unwrap()),
            18 => {
                self.random.pick(&[Step::Join, Step::WorkFlat, Step::RemoveMarkers, Step::Cut, Step::WeaveIn])
            }
            _ => Step::Rows(self.rows()),
        }
    }

    fn go_on(&mut self) -> Step {
        let by = [-12, -2, -1, 1, 2, 30];
        Step::GoOn {
            changes: (0..self.random.below(3))
                .map(|_| Change { by: self.random.pick(&by), before: self.random.pick(&Stitch::ALL) })
                .collect(),
            paces: (0..=self.random.below(3))
                .map(|_| Pace { every: self.some(), times: self.amount() })
                .collect(),
            between: self.random.chance(50).then(|| self.work()),
            course: self.course(),
        }
    }
}
