//! Pieces to start from. Every width and length can be edited afterwards.
//!
//! Proportions without a note are common practice, no published source. Those of the pullovers follow
//! the percentage system of hand knitters (common practice): cuff 20 %, neck 40 % and underarm 8 % of the
//! garment's chest.

use super::body::Measure;
use super::model::{Band, EndEdge, Fabric, Follow, Length, Piece, SetAside, Shaping, StartEdge, Width};
use crate::knit::Construction::{Flat, InTheRound};

/// A kind of piece to start from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Template {
    /// A flat scarf with the chart at both ends.
    Scarf,
    /// A tube for the neck.
    Cowl,
    /// A hat from brim to crown.
    Hat,
    /// A pair of mittens with their thumbs.
    Mittens,
    /// A pair of socks from the cuff, with heels worked last.
    Socks,
    /// A pullover of rectangles with the chart above the hem.
    DropShoulder,
    /// A pullover from hem and cuffs to a round yoke that holds the chart.
    CircularYoke,
    /// A blanket with ribbed ends.
    Blanket,
    /// A cushion cover, worked as a tube.
    Cushion,
    /// One plain square.
    Blank,
}

impl Template {
    /// All templates, in the order they are offered.
    pub const ALL: [Self; 10] = [
        Self::Scarf,
        Self::Cowl,
        Self::Hat,
        Self::Mittens,
        Self::Socks,
        Self::DropShoulder,
        Self::CircularYoke,
        Self::Blanket,
        Self::Cushion,
        Self::Blank,
    ];

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Scarf => "Scarf",
            Self::Cowl => "Cowl",
            Self::Hat => "Hat",
            Self::Mittens => "Mittens",
            Self::Socks => "Socks",
            Self::DropShoulder => "Drop-shoulder pullover",
            Self::CircularYoke => "Circular-yoke pullover",
            Self::Blanket => "Blanket",
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
            Self::Hat => vec![make.hat()],
            Self::Mittens => make.mittens(),
            Self::Socks => make.socks(),
            Self::DropShoulder => make.drop_shoulder(),
            Self::CircularYoke => make.circular_yoke(),
            Self::Blanket => vec![make.blanket()],
            Self::Cushion => vec![make.cushion()],
            Self::Blank => {
                let square = make.plain("Plain", Length::Cm(20.0)).from(Width::Cm(20.0));
                vec![Piece::new("Piece", Flat, vec![square])]
            }
        }
    }
}

const fn with_ease(measure: Measure, times: f64) -> Width {
    Width::Body(Follow::with_ease(measure, times))
}

const fn bare(measure: Measure, times: f64) -> Length {
    Length::Body(Follow::bare(measure, times))
}

/// The bands a template is put together from.
struct Make {
    ground: usize,
}

impl Make {
    fn plain(&self, name: &str, length: Length) -> Band {
        Band::new(name, Fabric::Plain, length, self.ground)
    }

    fn rib(&self, name: &str, cm: f64) -> Band {
        Band::new(name, Fabric::Ribbing { knit: 2, purl: 2 }, Length::Cm(cm), self.ground)
    }

    fn chart(&self, name: &str, edge: u32, length: Length) -> Band {
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

    /// A hat is 5 to 10 % smaller than the head (head-size chart of a maker's page).
    fn hat(&self) -> Piece {
        let brim = Follow { ease: 1.0, ..Follow::bare(Measure::Head, 0.925) };
        let bands = vec![
            self.rib("Brim", 4.0).from(Width::Body(brim)),
            self.chart("Chart", 0, Length::Repeats(1)),
            self.plain("Above the chart", Length::Rest),
            self.plain("Crown", bare(Measure::Head, 0.12)).to(Width::Stitches(8), Shaping::PerRow(8)),
        ];
        Piece {
            length: Some(bare(Measure::Head, 0.42)),
            end: EndEdge::DrawnTogether,
            ..Piece::new("Hat", InTheRound, bands)
        }
    }

    fn mittens(&self) -> Vec<Piece> {
        let hand = vec![
            self.rib("Cuff", 6.0).from(with_ease(Measure::Hand, 1.0)),
            self.chart("Hand", 0, Length::Rest),
            self.plain("Tip", bare(Measure::HandLength, 0.18)).to(Width::Stitches(8), Shaping::PerRow(4)),
        ];
        let thumb = vec![
            self.plain("Thumb", bare(Measure::HandLength, 0.25)).from(with_ease(Measure::Hand, 0.38)),
            self.plain("Thumb tip", Length::Cm(1.2)).to(Width::Stitches(6), Shaping::PerRow(4)),
        ];
        let length = Length::Body(Follow::bare(Measure::HandLength, 1.0).plus(6.5));
        vec![
            Piece {
                copies: 2,
                length: Some(length),
                end: EndEdge::DrawnTogether,
                ..Piece::new("Mitten", InTheRound, hand)
            },
            Piece {
                copies: 2,
                start: StartEdge::PickedUp,
                end: EndEdge::DrawnTogether,
                ..Piece::new("Thumb", InTheRound, thumb)
            },
        ]
    }

    /// Socks sit 10 % smaller than the foot (common practice). The heel is worked last, round an
    /// opening between leg and foot, and shaped like the toe.
    fn socks(&self) -> Vec<Piece> {
        let around = Width::Body(Follow { ease: 1.0, ..Follow::bare(Measure::Foot, 0.9) });
        let narrow = Width::Body(Follow::bare(Measure::Foot, 0.3));
        let cup = bare(Measure::FootLength, 0.18);
        let sock = vec![
            self.rib("Cuff", 4.0).from(around),
            self.chart("Leg", 0, bare(Measure::FootLength, 0.55)),
            self.plain("Foot", bare(Measure::FootLength, 0.64)),
            self.plain("Toe", cup).to(narrow, Shaping::PerRow(4)),
        ];
        let heel = vec![self.plain("Heel", cup).from(around).to(narrow, Shaping::PerRow(4))];
        vec![
            Piece { copies: 2, end: EndEdge::Grafted, ..Piece::new("Sock", InTheRound, sock) },
            Piece {
                copies: 2,
                start: StartEdge::PickedUp,
                end: EndEdge::Grafted,
                ..Piece::new("Heel", InTheRound, heel)
            },
        ]
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
        Piece { copies: 2, length: Some(length), ..Piece::new("Sleeve", InTheRound, bands) }
    }

    /// The armhole of a dropped shoulder is about 2.5 cm deeper than a fitted one, and its sleeve about
    /// 4 cm shorter than the arm, because the body reaches over the shoulder.
    fn drop_shoulder(&self) -> Vec<Piece> {
        let body = vec![
            self.rib("Hem", 5.0).from(with_ease(Measure::Chest, 1.0)),
            self.chart("Chart", 0, Length::Repeats(1)),
            self.plain("To the underarm", Length::Rest),
        ];
        let armhole = Follow::bare(Measure::Armhole, 1.0).plus(2.5);
        let upper =
            vec![self.plain("To the shoulder", Length::Body(armhole)).from(with_ease(Measure::Chest, 0.5))];
        let neck = vec![self.rib("Neckband", 2.5).from(Self::NECK)];
        vec![
            Piece {
                length: Some(Self::to_underarm(2.5)),
                end: EndEdge::Live,
                ..Piece::new("Body", InTheRound, body)
            },
            Piece { copies: 2, start: StartEdge::Joined, ..Piece::new("Upper front and back", Flat, upper) },
            self.sleeve(Follow::bare(Measure::Armhole, 2.0).plus(5.0), 4.0),
            Piece { start: StartEdge::PickedUp, ..Piece::new("Neck", InTheRound, neck) },
        ]
    }

    /// The yoke is about 2.5 cm deeper than the armhole; it loses its stitches in four rounds above the
    /// chart. Upper arms take half of the ease.
    fn circular_yoke(&self) -> Vec<Piece> {
        let body = vec![
            self.rib("Hem", 5.0).from(with_ease(Measure::Chest, 1.0)),
            self.plain("To the underarm", Length::Rest),
        ];
        let yoke = vec![
            self.plain("Joining rounds", Length::Rows(2)).from(Width::Joined),
            self.chart("Chart", 0, Length::Repeats(1)),
            self.plain("Decrease rounds", Length::Rest).to(Self::NECK, Shaping::InRows(4)),
            self.rib("Neckband", 2.5),
        ];
        let top = Follow { ease: 0.5, ..Follow::bare(Measure::UpperArm, 1.0) };
        vec![
            Piece {
                length: Some(Self::to_underarm(0.0)),
                end: EndEdge::Live,
                set_aside: Some(SetAside { places: 2, each: Self::UNDERARM }),
                ..Piece::new("Body", InTheRound, body)
            },
            Piece {
                end: EndEdge::Live,
                set_aside: Some(SetAside { places: 1, each: Self::UNDERARM }),
                ..self.sleeve(top, 0.0)
            },
            Piece {
                start: StartEdge::Joined,
                length: Some(Length::Body(Follow::bare(Measure::Armhole, 1.0).plus(5.0))),
                ..Piece::new("Yoke", InTheRound, yoke)
            },
        ]
    }

    fn blanket(&self) -> Piece {
        let bands = vec![
            self.rib("First edge", 5.0).from(Width::Cm(100.0)),
            self.chart("Chart", 8, Length::Rest),
            self.rib("Last edge", 5.0),
        ];
        Piece { length: Some(Length::Cm(130.0)), ..Piece::new("Blanket", Flat, bands) }
    }

    fn cushion(&self) -> Piece {
        let bands = vec![self.chart("Front and back", 0, Length::Rest).from(Width::Cm(80.0))];
        Piece { length: Some(Length::Cm(40.0)), ..Piece::new("Cushion cover", InTheRound, bands) }
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Body, Pattern, Size, SizeTable, work, work_each};
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
                        let ends: Vec<_> = piece.bands.iter().map(|b| Some(b.end.stitches)).collect();
                        assert_eq!(carried, ends[..ends.len() - 1]);
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
        assert_eq!(yoke.live_stitches(), 0);
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
