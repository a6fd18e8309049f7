//! Pieces to start from. Every width and length can be edited afterwards.
//!
//! Proportions without a note are common practice, no published source. Those of the pullovers follow
//! the percentage system of hand knitters (common practice): cuff 20 %, neck 40 % and underarm 8 % of the
//! garment's chest.

use super::body::Measure;
use super::books::cast_on_group;
use super::model::{Band, EndEdge, Fabric, Follow, Length, Piece, Shaping, StartEdge, Width};
use super::steps::{BindOff, CastOn, Finish, SetAside, Step, Take};
use crate::knit::Construction::{Flat, InTheRound};

/// A kind of piece to start from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Template {
    /// A flat scarf with the chart at both ends.
    Scarf,
    /// A tube for the neck.
    Cowl,
    /// A tube for the neck, worked sideways in rows and grafted into a ring.
    GraftedCowl,
    /// A hat from brim to crown.
    Hat,
    /// A pair of mittens with their thumbs.
    Mittens,
    /// A pair of mittens whose thumbs grow out of gussets at their sides.
    GussetMittens,
    /// A pair of socks from the cuff, with heels worked last.
    Socks,
    /// A pair of socks from the cuff, with heel flaps and gussets.
    FlapSocks,
    /// A pullover of rectangles with the chart above the hem.
    DropShoulder,
    /// A drop-shoulder pullover with the chart all over, knitted as a tube to the shoulders and cut open along steeks.
    SteekedDropShoulder,
    /// A pullover from hem and cuffs to a round yoke that holds the chart.
    CircularYoke,
    /// A pullover from hem and cuffs whose four raglan lines run to the neck.
    Raglan,
    /// A blanket with ends in moss stitch.
    Blanket,
    /// A blanket knitted as a tube, so that no row of the chart is purled, and cut open along a steek.
    SteekedBlanket,
    /// A cushion cover, worked as a tube.
    Cushion,
    /// One plain square.
    Blank,
}

impl Template {
    /// All templates, in the order they are offered.
    pub const ALL: [Self; 16] = [
        Self::Scarf,
        Self::Cowl,
        Self::GraftedCowl,
        Self::Hat,
        Self::Mittens,
        Self::GussetMittens,
        Self::Socks,
        Self::FlapSocks,
        Self::DropShoulder,
        Self::SteekedDropShoulder,
        Self::CircularYoke,
        Self::Raglan,
        Self::Blanket,
        Self::SteekedBlanket,
        Self::Cushion,
        Self::Blank,
    ];

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Scarf => "Scarf",
            Self::Cowl => "Cowl",
            Self::GraftedCowl => "Cowl, grafted",
            Self::Hat => "Hat",
            Self::Mittens => "Mittens",
            Self::GussetMittens => "Mittens with gussets",
            Self::Socks => "Socks",
            Self::FlapSocks => "Socks with heel flaps",
            Self::DropShoulder => "Drop-shoulder pullover",
            Self::SteekedDropShoulder => "Drop shoulder, cut open",
            Self::CircularYoke => "Circular-yoke pullover",
            Self::Raglan => "Raglan pullover",
            Self::Blanket => "Blanket",
            Self::SteekedBlanket => "Blanket, cut open",
            Self::Cushion => "Cushion",
            Self::Blank => "Blank",
        }
    }

    /// Its pieces, plain and ribbed bands in palette slot `ground`.
    pub fn pieces(self, ground: usize) -> Vec<Piece> {
        let make = Make { ground };
        match self {
            Self::Scarf => vec![make.scarf()],
            Self::Cowl => vec![make.cowl()],
            Self::GraftedCowl => vec![make.grafted_cowl()],
            Self::Hat => vec![make.hat()],
            Self::Mittens => make.mittens(),
            Self::GussetMittens => make.gusset_mittens(),
            Self::Socks => make.socks(),
            Self::FlapSocks => make.flap_socks(),
            Self::DropShoulder => make.drop_shoulder(),
            Self::SteekedDropShoulder => make.steeked_drop_shoulder(),
            Self::CircularYoke => make.circular_yoke(),
            Self::Raglan => make.raglan(),
            Self::Blanket => vec![make.blanket()],
            Self::SteekedBlanket => vec![make.steeked_blanket()],
            Self::Cushion => vec![make.cushion()],
            Self::Blank => {
                let square = make.plain("Plain", Length::Cm(20.0)).from(Width::Cm(20.0));
                vec![Piece::new("Piece", Flat, vec![square])]
            }
        }
    }
}

pub(super) const fn with_ease(measure: Measure, times: f64) -> Width {
    Width::Body(Follow::with_ease(measure, times))
}

pub(super) const fn bare(measure: Measure, times: f64) -> Length {
    Length::Body(Follow::bare(measure, times))
}

/// The bands a template is put together from.
pub(super) struct Make {
    pub(super) ground: usize,
}

impl Make {
    pub(super) fn plain(&self, name: &str, length: Length) -> Band {
        Band::new(name, Fabric::Plain, length, self.ground)
    }

    pub(super) fn rib(&self, name: &str, cm: f64) -> Band {
        Band::new(name, Fabric::Ribbing { knit: 2, purl: 2 }, Length::Cm(cm), self.ground)
    }

    pub(super) fn chart(&self, name: &str, edge: u32, length: Length) -> Band {
        Band::new(name, Fabric::Chart { region: None, edge }, length, self.ground)
    }

    fn scarf(&self) -> Piece {
        let bands = vec![
            self.rib("First edge", 4.0).from(Width::Cm(22.0)),
            self.chart("First chart", 4, Length::Repeats(1)),
            self.plain("Middle", Length::Rest),
            self.chart("Last chart", 4, Length::Repeats(1)),
            self.rib("Last edge", 4.0),
        ];
        Piece { length: Some(Length::Cm(160.0)), ..Piece::new("Scarf", Flat, bands) }
    }

    fn cowl(&self) -> Piece {
        let bands = vec![
            self.rib("Lower edge", 3.0).from(Width::Cm(62.0)),
            self.chart("Chart", 0, Length::Rest),
            self.rib("Upper edge", 3.0),
        ];
        Piece { length: Some(Length::Cm(28.0)), ..Piece::new("Cowl", InTheRound, bands) }
    }

    /// Cast on on waste yarn and grafted, so that nothing shows where it closes.
    fn grafted_cowl(&self) -> Piece {
        let chart = self.chart("Chart", 8, Length::Rest).from(Width::Cm(24.0));
        Piece {
            length: Some(Length::Cm(62.0)),
            cast_on: CastOn::Provisional,
            end: EndEdge::Live,
            finish: vec![Finish::Graft { one: "cowl".to_owned(), other: cast_on_group("Cowl") }],
            ..Piece::new("Cowl", Flat, vec![chart])
        }
    }

    /// A hat is 5 to 10 % smaller than the head (head-size chart of a maker's page). Ten wedges that lose
    /// a stitch each in every 2nd round lie nearly flat (`yoke_shaping.csv` H4, HF1-HF6); 10 sts are drawn in.
    fn hat(&self) -> Piece {
        let brim = Follow { ease: 1.0, ..Follow::bare(Measure::Head, 0.925) };
        let bands = vec![
            self.rib("Brim", 4.0).from(Width::Body(brim)),
            self.chart("Chart", 0, Length::Repeats(1)),
            self.plain("Above the chart", Length::Rest),
            self.plain("Crown", Length::Shaped { every: 2 }).to(Width::Stitches(10), Shaping::PerRow(10)),
        ];
        Piece {
            length: Some(bare(Measure::Head, 0.42)),
            cast_on: CastOn::Stretchy,
            end: EndEdge::DrawnTogether,
            ..Piece::new("Hat", InTheRound, bands)
        }
    }

    /// Hip length less the armhole depth and `deeper_cm`: from the hem to the underarm.
    fn to_underarm(deeper_cm: f64) -> Length {
        Length::Body(Follow::bare(Measure::BackHip, 1.0).and(Measure::Armhole, -1.0).plus(-deeper_cm))
    }

    /// Neck 40 % of the garment's chest, the same stitches for every way of working it.
    const NECK: Width = with_ease(Measure::Chest, 0.4);

    /// One underarm: 8 % of the garment's chest.
    const UNDERARM: Width = with_ease(Measure::Chest, 0.08);

    fn sleeve(&self, top: Follow, shorter_cm: f64) -> Piece {
        let bands = vec![
            self.rib("Cuff", 5.0).from(with_ease(Measure::Chest, 0.2)),
            self.plain("Sleeve", Length::Rest).to(Width::Body(top), Shaping::PerRow(2)),
        ];
        let length = Length::Body(Follow::bare(Measure::Arm, 1.0).plus(-shorter_cm));
        Piece {
            copies: 2,
            sided: true,
            length: Some(length),
            cast_on: CastOn::Stretchy,
            ..Piece::new("Sleeve", InTheRound, bands)
        }
    }

    /// Width that the front neck is shaped at either side, in cm (about 3: a crew neck 6.5 to 8 cm deep,
    /// `edge_stretch.csv` N16).
    pub(super) const NECK_CURVE_CM: f64 = 3.0;

    /// Depth of the front neck in cm.
    pub(super) const NECK_DEPTH_CM: f64 = 7.0;

    /// The armhole of a dropped shoulder is about 2.5 cm deeper than a fitted one, and its sleeve about
    /// 4 cm shorter than the arm, because the body reaches over the shoulder. The back neck is a third of
    /// the back (`yoke_shaping.csv` D12); shoulders are straight (D11) and bound off together.
    fn drop_shoulder(&self) -> Vec<Piece> {
        let body = vec![
            self.rib("Hem", 5.0).from(with_ease(Measure::Chest, 1.0)),
            self.chart("Chart", 0, Length::Repeats(1)),
            self.plain("To the underarm", Length::Rest).from(with_ease(Measure::Chest, 1.0)),
        ];
        let armhole = |less: f64| Length::Body(Follow::bare(Measure::Armhole, 1.0).plus(2.5 - less));
        let neck = SetAside::new(1, with_ease(Measure::Chest, 0.17));
        let upper = |name: &str, group: &str, less: f64, aside: SetAside| Piece {
            start: StartEdge::Joined,
            takes: vec![Take::Group(group.to_owned())],
            end: EndEdge::Live,
            set_aside: Some(aside),
            ..Piece::new(name, Flat, vec![self.plain("To the neck", armhole(less)).from(Width::Joined)])
        };
        let side = |name: &str, shaping: Shaping, shoulder: &str| Piece {
            start: StartEdge::Joined,
            takes: vec![Take::Group(name.to_lowercase())],
            end: EndEdge::Live,
            set_aside: None,
            finish: vec![Finish::ThreeNeedle { one: name.to_lowercase(), other: shoulder.to_owned() }],
            ..Piece::new(
                name,
                Flat,
                vec![
                    self.plain("Neck edge", Length::Cm(Self::NECK_DEPTH_CM))
                        .from(Width::Joined)
                        .to(Width::Narrower(Self::NECK_CURVE_CM), shaping),
                ],
            )
        };
        vec![
            Piece {
                length: Some(Self::to_underarm(2.5)),
                end: EndEdge::Live,
                set_aside: Some(SetAside::new(2, Width::Stitches(0))),
                ..Piece::new("Body", InTheRound, body)
            },
            upper("Back", "back", 0.0, neck.clone().called(&["right back", "back neck", "left back"])),
            upper(
                "Front",
                "front",
                Self::NECK_DEPTH_CM,
                SetAside { less_cm: Self::NECK_CURVE_CM, ..neck }.called(&[
                    "left front",
                    "front neck",
                    "right front",
                ]),
            ),
            side("Left front", Shaping::Last, "left back"),
            side("Right front", Shaping::First, "right back"),
            self.round_neck(),
            self.dropped_sleeve(),
        ]
    }

    /// A band on the held stitches of back and front, and along both edges of the front neck.
    pub(super) fn round_neck(&self) -> Piece {
        let along = |along: &str| Take::PickUp {
            along: along.to_owned(),
            rows: Length::Cm(Self::NECK_DEPTH_CM),
            stitches: 3,
            every: 4,
        };
        let band = vec![self.rib("Neckband", 2.5).from(Width::Joined)];
        Piece {
            start: StartEdge::Joined,
            takes: vec![
                Take::Group("back neck".to_owned()),
                along("left front neck"),
                Take::Group("front neck".to_owned()),
                along("right front neck"),
            ],
            bind_off: BindOff::Stretchy,
            ..Piece::new("Neck", InTheRound, band)
        }
    }

    /// A sleeve as wide as a dropped armhole is long, sewn into it.
    pub(super) fn dropped_sleeve(&self) -> Piece {
        let sleeve = self.sleeve(Follow::bare(Measure::Armhole, 2.0).plus(5.0), 4.0);
        Piece { finish: vec![Finish::Seam("tops of the sleeves into the armholes".to_owned())], ..sleeve }
    }

    /// Body and sleeves of a pullover joined at the underarms.
    fn to_join(&self) -> [Piece; 2] {
        let body = vec![
            self.rib("Hem", 5.0).from(with_ease(Measure::Chest, 1.0)),
            self.plain("To the underarm", Length::Rest),
        ];
        let top = Follow { ease: 0.5, ..Follow::bare(Measure::UpperArm, 1.0) };
        [
            Piece {
                length: Some(Self::to_underarm(0.0)),
                end: EndEdge::Live,
                set_aside: Some(SetAside::new(2, Self::UNDERARM)),
                ..Piece::new("Body", InTheRound, body)
            },
            Piece {
                end: EndEdge::Live,
                set_aside: Some(SetAside::new(1, Self::UNDERARM)),
                ..self.sleeve(top, 0.0)
            },
        ]
    }

    /// A piece that joins body and sleeves in the stated order, and closes the underarms last of all.
    fn joined(name: &str, bands: Vec<Band>) -> Piece {
        let order = ["left sleeve", "front", "right sleeve", "back"];
        let graft = |side: &str| Finish::Graft {
            one: format!("{side} underarm"),
            other: format!("{side} sleeve underarm"),
        };
        Piece {
            start: StartEdge::Joined,
            takes: order.iter().map(|group| Take::Group((*group).to_owned())).collect(),
            bind_off: BindOff::Stretchy,
            finish: vec![graft("left"), graft("right")],
            ..Piece::new(name, InTheRound, bands)
        }
    }

    /// The yoke is about 2.5 cm deeper than the armhole. The three decrease rounds of common practice, which take
    /// out a quarter, a third and two fifths (`yoke_shaping.csv` Y6-Y8, Y10), gather by 12 to 19 % in the larger
    /// sizes; four smaller ones, the first below the chart and the last at the neckband, gather by less than 12 % in
    /// every size. The back of the neck is raised by short rows (Y11-Y13). The solver finds better figures for a chart.
    fn circular_yoke(&self) -> Vec<Piece> {
        let raised = Step::ShortRows { rise_cm: 2.0, share: 0.5, further: 4 };
        let yoke = vec![
            self.plain("Joining rounds", Length::Rest).from(Width::Joined),
            self.chart("Chart", 0, Length::Repeats(1)).from(Width::Share(0.82)),
            self.plain("Second decrease", Length::Rest).from(Width::Share(0.75)),
            self.plain("Third decrease", Length::Rest).from(Width::Share(0.71)).then(raised),
            self.rib("Neckband", 2.5).from(Self::NECK),
        ];
        let [body, sleeve] = self.to_join();
        let length = Length::Body(Follow::bare(Measure::Armhole, 1.0).plus(5.0));
        vec![body, sleeve, Piece { length: Some(length), ..Self::joined("Yoke", yoke) }]
    }

    /// Eight stitches go in every 2nd round, one at each side of four lines.
    fn raglan(&self) -> Vec<Piece> {
        let raised = Step::ShortRows { rise_cm: 2.0, share: 0.5, further: 4 };
        let yoke = vec![
            self.plain("Joining rounds", Length::Rows(2)).from(Width::Joined),
            self.plain("Raglan", Length::Shaped { every: 2 }).to(Self::NECK, Shaping::PerRow(8)).then(raised),
            self.rib("Neckband", 2.5).from(Self::NECK),
        ];
        let [mut body, sleeve] = self.to_join();
        body.bands.insert(1, self.chart("Chart", 0, Length::Repeats(1)));
        body.bands[2].start = with_ease(Measure::Chest, 1.0);
        vec![body, sleeve, Self::joined("Raglan yoke", yoke)]
    }

    fn garter(&self, name: &str, length: Length) -> Band {
        Band::new(name, Fabric::Garter, length, self.ground)
    }

    fn blanket(&self) -> Piece {
        let moss = |name| Band::new(name, Fabric::Moss, Length::Cm(5.0), self.ground);
        let bands = vec![
            moss("First edge").from(Width::Cm(100.0)),
            self.chart("Chart", 8, Length::Rest),
            moss("Last edge"),
        ];
        Piece { length: Some(Length::Cm(130.0)), ..Piece::new("Blanket", Flat, bands) }
    }

    fn cushion(&self) -> Piece {
        let bands = vec![
            self.garter("First edge", Length::Rows(4)).from(Width::Cm(80.0)),
            self.chart("Front and back", 0, Length::Rest),
            self.garter("Last edge", Length::Rows(4)),
        ];
        Piece {
            length: Some(Length::Cm(40.0)),
            finish: vec![
                Finish::Seam("cast-on edge, front to back".to_owned()),
                Finish::Seam("bound-off edge round the pad".to_owned()),
            ],
            ..Piece::new("Cushion cover", InTheRound, bands)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Body, Books, Pattern, Size, SizeTable, WorkedBand, WorkedExtra, work, work_each};
    use super::*;
    use crate::chart::{Cell, Grid, Point};
    use crate::knit::Gauge;

    fn sizes(template: Template) -> Vec<Size> {
        template.size_group().map_or_else(
            || vec![Size::one_size()],
            |group| {
                let group = SizeTable::shipped().unwrap().group(group).unwrap();
                let size =
                    |s: &super::super::TableSize| Size { name: s.name.clone(), body: s.body, ease_cm: 0.0 };
                group.sizes.iter().map(size).collect()
            },
        )
    }

    #[test]
    fn every_template_works_in_every_size_and_its_charts_divide() {
        let mut grid = Grid::new(12, 20, Cell::slot(0)).unwrap();
        grid.set(Point::new(3, 3), Cell::slot(1));
        let pattern = Pattern { grid: &grid, repeat: grid.bounds() };
        for template in Template::ALL {
            for size in sizes(template) {
                for gauge in [Gauge::new(28.0, 32.0).unwrap(), Gauge::new(18.0, 24.0).unwrap()] {
                    let pieces = work(&template.pieces(0), &size, gauge, &pattern).unwrap();
                    for piece in &pieces {
                        for band in &piece.bands {
                            let at = format!("{} {} {}", template.name(), piece.name, band.name);
                            assert!(band.chart.is_none_or(|chart| chart.divides()), "{at}");
                        }
                        let carried: Vec<_> = piece.bands.iter().skip(1).map(|b| b.carried).collect();
                        let new = |band: &WorkedBand| {
                            band.then.iter().fold(band.end.stitches, |sum, extra| match extra {
                                WorkedExtra::Steek { aside, bridge, .. } => sum + bridge - aside,
                                _ => sum,
                            })
                        };
                        let ends: Vec<_> = piece.bands.iter().map(|band| Some(new(band))).collect();
                        assert_eq!(carried, ends[..ends.len() - 1]);
                    }
                }
            }
        }
    }

    #[test]
    fn every_template_closes_every_stitch_in_every_size_and_can_be_worn() {
        let grid = Grid::new(12, 20, Cell::slot(0)).unwrap();
        let pattern = Pattern { grid: &grid, repeat: grid.bounds() };
        for template in Template::ALL {
            for size in sizes(template) {
                for gauge in [Gauge::new(28.0, 33.0).unwrap(), Gauge::new(18.0, 24.0).unwrap()] {
                    let pieces = work(&template.pieces(0), &size, gauge, &pattern).unwrap();
                    let books = Books::of(&pieces);
                    let at = format!("{} {} {gauge:?}", template.name(), size.name);
                    assert_eq!(books.unbooked, [], "{at}");
                    assert_eq!(books.ledger.live(), [], "{at}");
                    assert_eq!(books.ledger.balance(), 0, "{at}");
                    for piece in &pieces {
                        let gather = piece.gather(gauge).unwrap_or_default();
                        assert!(gather.share <= 0.2, "{at} {}: {gather:?}", piece.name);
                        assert_eq!(piece.charts_begun_on_wrong_side(), [0_usize; 0], "{at} {}", piece.name);
                    }
                }
            }
        }
    }

    #[test]
    fn a_broken_piece_stops_only_those_that_join_it() {
        let grid = Grid::new(12, 20, Cell::slot(0)).unwrap();
        let pattern = Pattern { grid: &grid, repeat: grid.bounds() };
        let size = &Template::CircularYoke.sizes().unwrap()[1];
        let gauge = Gauge::new(28.0, 32.0).unwrap();
        let mut pieces = Template::CircularYoke.pieces(0);
        pieces[0].bands[1].length = Length::Rows(0);
        let worked = work_each(&pieces, size, gauge, &pattern);
        let body = worked[0].as_ref().unwrap_err();
        assert_eq!(body.band, Some(1));
        assert!(body.to_string().contains("comes to 0 rows"), "{body}");
        assert!(worked[1].is_ok(), "the sleeve needs nothing of the body");
        let yoke = worked[2].as_ref().unwrap_err();
        assert_eq!(yoke.band, Some(0));
        assert!(yoke.to_string().contains("piece 'Body', which cannot be worked yet"), "{yoke}");
        assert_eq!(work(&pieces, size, gauge, &pattern).unwrap_err(), body.error);
    }

    #[test]
    fn a_yoke_joins_body_and_sleeves_less_the_underarms() {
        let grid = Grid::new(12, 20, Cell::slot(0)).unwrap();
        let pattern = Pattern { grid: &grid, repeat: grid.bounds() };
        let woman = SizeTable::shipped().unwrap().group("Woman").unwrap();
        let size = Size { name: "M".to_owned(), body: woman.sizes[2].body, ease_cm: 7.5 };
        let gauge = Gauge::new(28.0, 32.0).unwrap();
        let pieces = work(&Template::CircularYoke.pieces(0), &size, gauge, &pattern).unwrap();
        let (body, sleeve, yoke) = (&pieces[0], &pieces[1], &pieces[2]);
        let joined = body.last_stitches() - body.set_aside + 2 * (sleeve.last_stitches() - sleeve.set_aside);
        assert_eq!(yoke.bands[0].carried, Some(joined));
        assert!(yoke.last_stitches() < joined / 2);
    }

    #[test]
    fn the_raised_back_of_a_raglan_lies_over_the_middle_of_the_back() {
        let grid = Grid::new(12, 20, Cell::slot(0)).unwrap();
        let pattern = Pattern { grid: &grid, repeat: grid.bounds() };
        for size in sizes(Template::Raglan) {
            let pieces =
                work(&Template::Raglan.pieces(0), &size, Gauge::new(28.0, 33.0).unwrap(), &pattern).unwrap();
            let yoke = &pieces[2];
            let (band, turns) = yoke
                .bands
                .iter()
                .find_map(|band| {
                    band.then.iter().find_map(|extra| match extra {
                        WorkedExtra::ShortRows { past_marker, before_marker, .. } => {
                            Some((band, (f64::from(*past_marker), f64::from(*before_marker))))
                        }
                        _ => None,
                    })
                })
                .unwrap();
            // The back comes last before the marker; every section has lost two stitches in each shaping round.
            let back = f64::from(yoke.taken[3].stitches() - 2 * band.schedule.events());
            let middle_of_turns = (turns.0 - turns.1) / 2.0;
            assert!((middle_of_turns + back / 2.0).abs() <= 1.0, "{}: {turns:?} {back}", size.name);
        }
    }

    #[test]
    fn a_size_without_the_measurement_says_which() {
        let grid = Grid::new(12, 20, Cell::slot(0)).unwrap();
        let pattern = Pattern { grid: &grid, repeat: grid.bounds() };
        let size = Size { name: "Mine".to_owned(), body: Body::default(), ease_cm: 0.0 };
        let error = work(&Template::Hat.pieces(0), &size, Gauge::new(28.0, 32.0).unwrap(), &pattern);
        let words = error.unwrap_err().to_string();
        assert!(words.contains("follows the head measurement, which size 'Mine' does not have"), "{words}");
    }
}
