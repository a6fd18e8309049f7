//! Templates for hands and feet.

use super::body::Measure;
use super::count::Rounding;
use super::model::{Band, EndEdge, Follow, Length, Piece, Shaping, StartEdge, Width};
use super::steps::{CastOn, SetAside, Step, Take};
use super::templates::{Make, bare, with_ease};
use crate::knit::Construction::InTheRound;

impl Make {
    /// A left and a right mitten whose thumbs are knitted last, round an opening on the palm a third of
    /// the hand up (`yoke_shaping.csv` M1-M6, M13); the thumb has 0.36 of the hand's stitches (M9, M10).
    pub(super) fn mittens(&self) -> Vec<Piece> {
        let thumb = Step::Opening { name: "thumb".to_owned(), stitches: Width::Share(0.17), inset: 2 };
        let hand = vec![
            self.rib("Cuff", 6.0).from(with_ease(Measure::Hand, 1.0)),
            self.plain("To the thumb", bare(Measure::HandLength, 0.3)).then(thumb),
            self.chart("Hand", 0, Length::Rest),
            self.plain("Tip", Length::Shaped { every: 2 }).to(Width::Share(0.6), Shaping::PerRow(4)),
            self.plain("End of the tip", Length::Shaped { every: 1 })
                .to(Width::Stitches(8), Shaping::PerRow(4)),
        ];
        let around = vec![
            self.plain("Thumb", bare(Measure::HandLength, 0.25)).from(Width::Joined),
            self.plain("Thumb tip", Length::Shaped { every: 1 }).to(Width::Stitches(6), Shaping::PerRow(4)),
        ];
        let length = Length::Body(Follow::bare(Measure::HandLength, 1.0).plus(6.5));
        let pair = |name: &str, bands| Piece {
            copies: 2,
            sided: true,
            end: EndEdge::DrawnTogether,
            ..Piece::new(name, InTheRound, bands)
        };
        vec![
            Piece { length: Some(length), cast_on: CastOn::Stretchy, ..pair("Mitten", hand) },
            Piece {
                start: StartEdge::Joined,
                takes: vec![Take::Opening { name: "thumb".to_owned(), corners: 1 }],
                ..pair("Thumb", around)
            },
        ]
    }

    /// A gusset at the side of the hand, two stitches more in every 3rd round up to the thumb, and 4 sts cast
    /// on over its gap (`yoke_shaping.csv` M8); the thumb has about 0.36 of the hand's stitches (M9, M10).
    pub(super) fn gusset_mittens(&self) -> Vec<Piece> {
        let hand = |times| Width::Body(Follow::with_ease(Measure::Hand, times));
        let cuff = vec![
            self.rib("Cuff", 6.0).from(hand(1.0)),
            self.plain("To the gusset", Length::Rows(2)),
            self.plain("Gusset", Length::Shaped { every: 3 }).to(Width::Share(1.26), Shaping::PerRow(2)),
        ];
        let above = vec![
            self.plain("Above the thumb", Length::Rows(2)).from(Width::Joined),
            self.chart("Hand", 0, Length::Rest).from(Width::Share(1.0)),
            self.plain("Tip", Length::Shaped { every: 2 }).to(Width::Share(0.6), Shaping::PerRow(4)),
            self.plain("End of the tip", Length::Shaped { every: 1 })
                .to(Width::Stitches(8), Shaping::PerRow(4)),
        ];
        let around = vec![
            self.plain("Thumb", bare(Measure::HandLength, 0.3)).from(Width::Joined),
            self.plain("Thumb tip", Length::Shaped { every: 1 }).to(Width::Stitches(6), Shaping::PerRow(4)),
        ];
        let pair =
            |name: &str, bands| Piece { copies: 2, sided: true, ..Piece::new(name, InTheRound, bands) };
        let on = |name: &str, bands, takes| Piece {
            start: StartEdge::Joined,
            takes,
            end: EndEdge::DrawnTogether,
            ..pair(name, bands)
        };
        let gap = Take::PickUp { along: "gap".to_owned(), rows: Length::Rows(4), stitches: 1, every: 1 };
        vec![
            Piece {
                cast_on: CastOn::Stretchy,
                end: EndEdge::Live,
                set_aside: Some(SetAside::new(1, hand(0.28)).called(&["thumb", "hand"])),
                ..pair("Cuff and gusset", cuff)
            },
            Piece {
                length: Some(bare(Measure::HandLength, 0.7)),
                ..on("Hand", above, vec![Take::Group("hand".to_owned()), Take::CastOn(4)])
            },
            on("Thumb", around, vec![Take::Group("thumb".to_owned()), gap]),
        ]
    }

    /// Socks sit 10 % smaller than the foot (common practice). The heel is worked last, round an
    /// opening over half the stitches between leg and foot, and shaped like the toe: 4 sts every other
    /// round to half, then every round (`yoke_shaping.csv` S9).
    pub(super) fn socks(&self) -> Vec<Piece> {
        let around = Width::Body(Follow { ease: 1.0, ..Follow::bare(Measure::Foot, 0.9) });
        let opening = Step::Opening { name: "heel".to_owned(), stitches: Width::Share(0.5), inset: 0 };
        let leg = Band { rounding: Rounding::Nearest, ..self.plain("Ankle", Length::Rows(2)) };
        let cup = |first: &str, last: &str| {
            [
                self.plain(first, Length::Shaped { every: 2 }).to(Width::Share(0.6), Shaping::PerRow(4)),
                self.plain(last, Length::Shaped { every: 1 }).to(Width::Share(0.55), Shaping::PerRow(4)),
            ]
        };
        let mut sock = vec![
            self.rib("Cuff", 4.0).from(around),
            self.chart("Leg", 0, bare(Measure::FootLength, 0.55)),
            leg.from(around).then(opening),
            self.plain("Foot", bare(Measure::FootLength, 0.64)),
        ];
        sock.extend(cup("Toe", "End of the toe"));
        let mut heel = vec![self.plain("Heel", Length::Rows(2)).from(Width::Joined)];
        heel.extend(cup("Heel cup", "End of the heel"));
        vec![
            Piece {
                copies: 2,
                cast_on: CastOn::Stretchy,
                end: EndEdge::Grafted,
                ..Piece::new("Sock", InTheRound, sock)
            },
            Piece {
                copies: 2,
                start: StartEdge::Joined,
                takes: vec![Take::Opening { name: "heel".to_owned(), corners: 2 }],
                end: EndEdge::Grafted,
                ..Piece::new("Heel", InTheRound, heel)
            },
        ]
    }
}
