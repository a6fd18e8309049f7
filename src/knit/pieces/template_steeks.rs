//! Templates that are knitted as tubes and cut open.

use super::body::Measure;
use super::model::{Band, EndEdge, Fabric, Follow, Length, Piece, Shaping, Width};
use super::steps::{Finish, SetAside, Step};
use super::templates::{Make, with_ease};
use crate::knit::Construction::InTheRound;

impl Make {
    /// Stitches of a steek: 6 to 10 are common (common practice).
    const STEEK: u32 = 8;

    /// The edge stitches of the chart are the bridge: half of them at either end of the round.
    pub(super) fn steeked_blanket(&self) -> Piece {
        let moss = |name| Band::new(name, Fabric::Moss, Length::Cm(5.0), self.ground);
        let bands = vec![
            moss("First edge").from(Width::Cm(100.0)),
            self.chart("Chart", Self::STEEK, Length::Rest),
            moss("Last edge"),
        ];
        Piece {
            length: Some(Length::Cm(130.0)),
            finish: vec![Finish::Steek { stitches: Self::STEEK, place: "side".to_owned() }],
            ..Piece::new("Blanket", InTheRound, bands)
        }
    }

    /// The body is one tube from hem to shoulders, so that the chart runs on in every round: bridges are cast on at
    /// the armholes and over the front neck, and cut open when the shoulders are joined. Its proportions are those of
    /// the drop shoulder in pieces.
    pub(super) fn steeked_drop_shoulder(&self) -> Vec<Piece> {
        let steek = |name: &str, at: f64, aside: Width, less_cm: f64| Step::Steek {
            name: name.to_owned(),
            at,
            aside,
            less_cm,
            bridge: Self::STEEK,
        };
        let neck = with_ease(Measure::Chest, 0.17);
        let to_neck = Follow::bare(Measure::Armhole, 1.0).plus(2.5 - Self::NECK_DEPTH_CM);
        let bands = vec![
            self.rib("Hem", 5.0).from(with_ease(Measure::Chest, 1.0)),
            self.chart("Body", 0, Length::Rest)
                .then(steek("left armhole", 0.0, Width::Stitches(0), 0.0))
                .then(steek("right armhole", 0.5, Width::Stitches(0), 0.0)),
            self.chart("Armholes", 0, Length::Body(to_neck)).then(steek(
                "front neck",
                0.25,
                neck,
                Self::NECK_CURVE_CM,
            )),
            self.chart("Front neck", 0, Length::Cm(Self::NECK_DEPTH_CM))
                .to(Width::Narrower(2.0 * Self::NECK_CURVE_CM), Shaping::Steek)
                .then(steek("back neck", 0.75, neck, 0.0)),
        ];
        let shoulder =
            |side: &str| Finish::ThreeNeedle { one: format!("{side} front"), other: format!("{side} back") };
        let cut = |place: &str| Finish::Steek { stitches: Self::STEEK, place: place.to_owned() };
        let names = ["", "left front", "", "right front", "", "right back", "", "left back"];
        let body = Piece {
            length: Some(Length::Body(Follow::bare(Measure::BackHip, 1.0))),
            end: EndEdge::Live,
            set_aside: Some(SetAside::new(4, Width::Stitches(0)).called(&names)),
            finish: vec![
                shoulder("left"),
                shoulder("right"),
                cut("left armhole"),
                cut("right armhole"),
                cut("front neck"),
            ],
            ..Piece::new("Body", InTheRound, bands)
        };
        vec![body, self.round_neck(), self.dropped_sleeve()]
    }
}
