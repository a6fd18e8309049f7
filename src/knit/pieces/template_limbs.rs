//! Templates for hands and feet.

use super::body::Measure;
use super::count::Rounding;
use super::model::{Band, EndEdge, Follow, Length, Piece, Shaping, StartEdge, Width};
use super::steps::{CastOn, SetAside, Step, Take};
use super::templates::{Make, bare, with_ease};
use crate::knit::Construction::{Flat, InTheRound};

impl Make {
    /// A left and a right mitten whose thumbs are knitted last, round an opening on the palm a third of
    /// the hand up (`yoke_shaping.csv` M1-M6, M13); the thumb has 0.36 of the hand's stitches (M9, M10).
    pub(super) fn mittens(&self) -> Vec<Piece> {
        let thumb =
            Step::Opening { name: "thumb".to_owned(), stitches: Width::Share(0.17), inset: 2, face: 0 };
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
                // The marker stays in the middle of the gap, at the side of the hand.
                ..on("Hand", above, vec![Take::CastOn(2), Take::Group("hand".to_owned()), Take::CastOn(2)])
            },
            on("Thumb", around, vec![Take::Group("thumb".to_owned()), gap]),
        ]
    }

    /// Girth of a stranded leg over that of the foot, so that the heel passes: 1.35 of the foot and a little
    /// (`edge_stretch.csv` S4) over the stretch that floats allow (E20). A calf may be as wide (S9).
    const STRANDED_LEG: f64 = 1.31;

    /// Socks with a heel flap: half the stitches are worked to and fro, the heel is turned over them, and the gussets
    /// picked up along the flap lose two stitches in every 2nd round until the sole is as wide as the instep
    /// (`yoke_shaping.csv` S2, S6). The leg is as wide as in the other socks, the ankle in ribbing, so that the heel
    /// passes; the flap is a fifth of the foot long, with 3 sts for every 4 rows (common practice).
    pub(super) fn flap_socks(&self) -> Vec<Piece> {
        let of_foot = |share: f64| Width::Body(Follow { ease: 1.0, ..Follow::bare(Measure::Foot, share) });
        let leg = self.chart("Leg", 0, bare(Measure::FootLength, 0.5)).from(of_foot(Self::STRANDED_LEG));
        let leg_bands = vec![
            self.rib("Cuff", 4.0).from(of_foot(0.9)),
            Band { rounding: Rounding::Up, ..leg },
            self.rib("Ankle", 3.0).from(of_foot(1.05)),
        ];
        let flap_length = bare(Measure::FootLength, 0.2);
        let flap = self.plain("Heel flap", flap_length).from(Width::Joined).then(Step::HeelTurn);
        let along =
            |edge: &str| Take::PickUp { along: edge.to_owned(), rows: flap_length, stitches: 3, every: 4 };
        let foot = vec![
            self.plain("Picking up", Length::Rows(1)).from(Width::Joined),
            self.plain("Gussets", Length::Shaped { every: 2 }).to(Width::Share(0.8), Shaping::Gusset),
            self.plain("Foot", Length::Rest).from(of_foot(0.9)),
            self.plain("Toe", Length::Shaped { every: 2 }).to(Width::Share(0.6), Shaping::PerRow(4)),
            self.plain("End of the toe", Length::Shaped { every: 1 })
                .to(Width::Share(0.55), Shaping::PerRow(4)),
        ];
        let part = |name: &str, how, bands| Piece { copies: 2, ..Piece::new(name, how, bands) };
        vec![
            Piece {
                cast_on: CastOn::Stretchy,
                end: EndEdge::Live,
                set_aside: Some(SetAside::new(1, Width::Share(0.5)).called(&["heel", "instep"])),
                ..part("Leg", InTheRound, leg_bands)
            },
            Piece {
                start: StartEdge::Joined,
                takes: vec![Take::Group("heel".to_owned())],
                end: EndEdge::Live,
                ..part("Heel flap", Flat, vec![flap])
            },
            Piece {
                start: StartEdge::Joined,
                takes: vec![
                    Take::Group("instep".to_owned()),
                    along("first edge of the flap"),
                    Take::Group("heel flap".to_owned()),
                    along("second edge of the flap"),
                ],
                end: EndEdge::Grafted,
                length: Some(bare(Measure::FootLength, 0.86)),
                ..part("Foot", InTheRound, foot)
            },
        ]
    }

    /// Socks sit 10 % smaller than the foot (common practice). The leg is so wide that the heel passes;
    /// the ankle has the girth of a gusset (S6), which plain fabric opens far enough. The heel is worked last, round an
    /// opening over half the stitches between leg and foot, and shaped like the toe: 4 sts every other
    /// round to half, then every round (`yoke_shaping.csv` S9).
    pub(super) fn socks(&self) -> Vec<Piece> {
        let around = Width::Body(Follow { ease: 1.0, ..Follow::bare(Measure::Foot, 0.9) });
        let opening =
            Step::Opening { name: "heel".to_owned(), stitches: Width::Share(0.5), inset: 0, face: 0 };
        let of_foot = |share: f64| Width::Body(Follow { ease: 1.0, ..Follow::bare(Measure::Foot, share) });
        let wide = |band: Band, share: f64| Band { rounding: Rounding::Up, ..band.from(of_foot(share)) };
        let leg = self.chart("Leg", 0, bare(Measure::FootLength, 0.55));
        let ankle = self.plain("Ankle", Length::Rows(3));
        let cup = |first: &str, last: &str| {
            [
                self.plain(first, Length::Shaped { every: 2 }).to(Width::Share(0.6), Shaping::PerRow(4)),
                self.plain(last, Length::Shaped { every: 1 }).to(Width::Share(0.55), Shaping::PerRow(4)),
            ]
        };
        let mut sock = vec![
            self.rib("Cuff", 4.0).from(around),
            wide(leg, Self::STRANDED_LEG),
            wide(ankle, 1.15).then(opening),
            self.plain("Foot", bare(Measure::FootLength, 0.64)).from(around),
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
