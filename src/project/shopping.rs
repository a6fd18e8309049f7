//! What is bought: the yarn of one size, dye lots, the nearest shades, and changes tried out first.

use super::Edit;
use super::model::Project;
use super::palette::Slot;
use crate::knit::pieces::{
    Band, ColourYarn, Fabric, PieceError, PiecesYarn, Size, Ways, WorkedPiece, YarnChange,
};
use crate::knit::{Amount, Cause, LineKind, Reach, Technique, YarnLine};
use crate::yarn::{Shade, Stock, YarnWanted};

/// The yarn of one size, per piece and per colour.
#[derive(Clone, Debug, PartialEq)]
pub struct Shopping {
    /// The size it is for.
    pub size_name: String,
    /// How many sizes there are to choose from, 1 or more.
    pub sizes: usize,
    /// The yarn as the project stands.
    pub yarn: PiecesYarn,
    /// The yarn after a change that is being tried out.
    pub tried: Option<(YarnChange, PiecesYarn)>,
}

impl Shopping {
    /// Works out the yarn of `project`: in the size at `size`, or the project's own for `None`. A project
    /// without pieces is its chart as planned.
    ///
    /// Some ten milliseconds for a chart of millions of stitches: work it out beside the window's thread.
    ///
    /// # Errors
    /// [`PieceError`] naming the piece and band that cannot be worked.
    pub fn of(
        project: &Project,
        size: Option<usize>,
        change: Option<YarnChange>,
    ) -> Result<Self, PieceError> {
        let sizes = project.pieces.all_sizes();
        let at = size.unwrap_or(project.pieces.chosen).min(sizes.len() - 1);
        let pieces = project.work_pieces(&sizes[at])?;
        Ok(Self {
            size_name: sizes[at].name.clone(),
            sizes: sizes.len(),
            yarn: project.pieces_yarn(&pieces, None),
            tried: change.map(|change| (change, project.pieces_yarn(&pieces, Some(change)))),
        })
    }
}

/// What one size takes, costs and how long it is knitted.
#[derive(Clone, Debug, PartialEq)]
pub struct SizeSum {
    /// The size.
    pub name: String,
    /// Its figures; why there are none, when its pieces cannot be worked.
    pub figures: Result<SizeFigures, String>,
}

/// Figures of one size.
#[derive(Clone, Debug, PartialEq)]
pub struct SizeFigures {
    /// The yarn, per piece and per colour.
    pub yarn: PiecesYarn,
    /// Hours at the knitter's pace, before sewing up and weaving in.
    pub hours: f64,
}

impl SizeFigures {
    /// The figures of pieces that were worked.
    pub fn of(project: &Project, worked: &[WorkedPiece]) -> Self {
        let ways = worked.iter().map(|piece| Ways::of(piece, project.pattern())).sum();
        Self { yarn: project.pieces_yarn(worked, None), hours: project.pieces.pace.hours(ways) }
    }
}

impl SizeSum {
    /// All sizes side by side, in the order of the plan, never none.
    ///
    /// Some ten milliseconds a size for large charts: work it out beside the window's thread.
    pub fn all(project: &Project) -> Vec<Self> {
        let sum = |size: Size| Self {
            figures: match project.work_pieces(&size) {
                Ok(worked) => Ok(SizeFigures::of(project, &worked)),
                Err(error) => Err(error.to_string()),
            },
            name: size.name,
        };
        project.pieces.all_sizes().into_iter().map(sum).collect()
    }
}

/// Why some lines have a range: every cause once, the farthest-reaching first, with the lines it is about.
pub fn reasons<'a>(lines: impl IntoIterator<Item = &'a YarnLine>) -> Vec<(String, Cause)> {
    let lines: Vec<&YarnLine> = lines.into_iter().collect();
    let all: Amount = lines.iter().map(|line| line.amount).sum();
    let about = |cause: Cause| {
        let reached = |line: &&YarnLine| line.amount.reach(cause) != Reach::default();
        let kinds = LineKind::ALL
            .into_iter()
            .filter(|kind| lines.iter().copied().filter(reached).any(|line| line.kind == *kind));
        // Waste and the swatch are shares of the other lines, and go with them.
        let own = kinds.filter(|kind| cause == Cause::Waste || *kind != LineKind::Waste);
        let names: Vec<&str> = own.map(LineKind::name).collect();
        match names.split_first() {
            Some((first, rest)) => {
                rest.iter().fold((*first).to_owned(), |all, name| format!("{all}, {}", name.to_lowercase()))
            }
            None => String::new(),
        }
    };
    all.parts().into_iter().map(|(cause, _)| (about(cause), cause)).collect()
}

/// What to mind about dye lots when a colour is bought (common practice, no published source).
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LotAdvice {
    /// All balls are new.
    OneLot {
        /// Balls to buy, 2 or more.
        balls: u32,
    },
    /// Some yarn of a known lot is on hand and more is bought: the lot of a shade that its card says is owned.
    MatchLot {
        /// The lot on hand.
        lot: String,
    },
    /// Some yarn is on hand, nobody knows of which lot, and more is bought.
    UnknownLot,
}

impl LotAdvice {
    /// The advice for a colour; `None` where all of it comes from one ball or from what is on hand.
    pub fn of(slot: &Slot, yarn: &ColourYarn) -> Option<Self> {
        // The lot of a shade that is not owned is the one its card was written by, not that of the yarn at home.
        let owned = slot.shade().filter(|shade| shade.owned_balls() > 0);
        let lot = owned.map_or("", |shade| shade.dye_lot.trim());
        match (yarn.balls, slot.on_hand_m() > 0.0) {
            (0, _) | (1, false) => None,
            (balls, false) => Some(Self::OneLot { balls }),
            (_, true) if lot.is_empty() => Some(Self::UnknownLot),
            (_, true) => Some(Self::MatchLot { lot: lot.to_owned() }),
        }
    }

    /// The advice in words.
    pub fn words(&self) -> String {
        match self {
            Self::OneLot { balls } => format!("Buy all {balls} balls from one dye lot."),
            Self::MatchLot { lot } => format!(
                "Ask for dye lot {lot}, as what is on hand. From another lot, change every two rows where old and \
                 new yarn meet."
            ),
            Self::UnknownLot => {
                "The dye lot of what is on hand is not noted: lay the new balls beside it in \
                                 daylight, or use the old yarn where no seam shows, such as inside a hem."
                    .to_owned()
            }
        }
    }
}

/// A shade of the project's cards held against a colour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NearShade<'a> {
    /// Name of its card.
    pub card: &'a str,
    /// The shade.
    pub shade: &'a Shade,
    /// CIEDE2000 from the colour.
    pub difference: f64,
}

/// Whether the technique matters to a band.
const fn is_of_several_colours(band: &Band) -> bool {
    matches!(band.fabric, Fabric::Chart { .. }) || band.colours.len() > 1
}

impl Project {
    /// The shades of all cards nearest to the colour of `slot`, the nearest first, at most `most`: those
    /// that are to be had in the fibre and weight of the slot's shade, else of the project. Shades that
    /// some colour of the palette is knitted in already are left out.
    pub fn nearest_shades(&self, slot: usize, most: usize) -> Vec<NearShade<'_>> {
        let Some(own) = self.palette.slots().get(slot) else { return Vec::new() };
        let chosen: Vec<&Shade> =
            self.palette.slots().iter().filter_map(|slot| slot.shade().map(AsRef::as_ref)).collect();
        let taken = |shade: &Shade| chosen.iter().any(|c| (&c.name, &c.code) == (&shade.name, &shade.code));
        let wished = own.colour.to_lab();
        let of_project = YarnWanted { calm: self.has_busy_chart(), ..self.wanted_yarn() };
        let wanted = match own.shade() {
            Some(shade) => YarnWanted::like_shade(shade, &of_project),
            None => of_project,
        };
        let shades = self
            .shade_cards
            .iter()
            .flat_map(|card| card.shades().iter().map(move |shade| (card.name.as_str(), shade)));
        let mut near: Vec<NearShade> = shades
            .filter(|(_, shade)| shade.stock != Stock::Out && wanted.lets_through(shade) && !taken(shade))
            .map(|(card, shade)| {
                let difference = crate::colour::ciede2000(wished, shade.colour.to_lab());
                NearShade { card, shade, difference }
            })
            .collect();
        near.sort_by(|a, b| a.difference.total_cmp(&b.difference));
        near.truncate(most);
        near
    }

    /// Whether a change would change anything; cheap, where making its edit copies the chart.
    pub fn is_changed_by(&self, change: YarnChange) -> bool {
        match change {
            YarnChange::Drop { slot, heir } => slot != heir && slot.max(heir) < self.palette.slots().len(),
            YarnChange::Technique(technique) => {
                let bands = self.pieces.pieces.iter().flat_map(|piece| &piece.bands);
                let mut several = bands.filter(|band| is_of_several_colours(band));
                self.plan.technique != technique || several.any(|band| band.technique != technique)
            }
        }
    }

    /// The edit that makes a change which was tried out; `None` when it would change nothing.
    pub fn carry_out(&self, change: YarnChange) -> Option<Edit> {
        match change {
            YarnChange::Drop { slot, heir } => self.without_slot(slot, heir),
            YarnChange::Technique(technique) => self.with_technique(technique),
        }
    }

    /// The edit that works the plan and every band of several colours in `technique`.
    fn with_technique(&self, technique: Technique) -> Option<Edit> {
        let mut plan = self.plan.clone();
        plan.technique = technique;
        let mut pieces = self.pieces.clone();
        let bands = pieces.pieces.iter_mut().flat_map(|piece| &mut piece.bands);
        for band in bands.filter(|band| is_of_several_colours(band)) {
            band.technique = technique;
        }
        let edits: Vec<Edit> = [
            (plan != self.plan).then(|| Edit::Plan(Box::new(plan))),
            (pieces != self.pieces).then(|| Edit::Pieces(Box::new(pieces))),
        ]
        .into_iter()
        .flatten()
        .collect();
        (!edits.is_empty()).then_some(Edit::Several(edits))
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::colour::Colour;
    use crate::yarn::{Blend, Fibre, PutUp, ShadeCard, WeightClass, Yarn, YarnId};

    fn shade(name: &str, hex: &str) -> Shade {
        Shade::new(name, Colour::from_hex(hex).unwrap())
    }

    #[test]
    fn a_change_carried_out_gives_the_figures_it_promised() {
        let project = crate::project::findings::tests::drawn(&["0133301333", "3333333333", "0003330003"]);
        for change in [
            YarnChange::Technique(Technique::Intarsia),
            YarnChange::Technique(Technique::Stripes),
            YarnChange::Drop { slot: 1, heir: 0 },
        ] {
            let shopping = Shopping::of(&project, None, Some(change)).unwrap();
            let promised = shopping.tried.unwrap().1;
            assert!(project.is_changed_by(change));
            let mut changed = project.clone();
            let undo = changed.apply(project.carry_out(change).unwrap());
            let found = Shopping::of(&changed, None, None).unwrap().yarn;
            let all =
                |yarn: &PiecesYarn| (yarn.metres().high, yarn.colours.iter().map(|c| c.balls).sum::<u32>());
            assert!((all(&found).0 - all(&promised).0).abs() < 1e-6, "{change:?}");
            assert_eq!(all(&found).1, all(&promised).1, "{change:?}");
            changed.apply(undo);
            assert_eq!(changed, project);
        }
        let nothing = [
            YarnChange::Technique(project.plan.technique),
            YarnChange::Drop { slot: 1, heir: 1 },
            YarnChange::Drop { slot: 9, heir: 0 },
        ];
        for change in nothing {
            assert_eq!((project.carry_out(change), project.is_changed_by(change)), (None, false));
        }
    }

    #[test]
    fn sizes_side_by_side_say_what_each_says_alone() {
        let mut project = crate::project::findings::tests::drawn(&["0133301333", "3333333333", "0003330003"]);
        project.plan.technique = Technique::Stranded;
        project.pieces.sizes = vec![Size::one_size(), Size { name: "Large".to_owned(), ..Size::one_size() }];
        let all = SizeSum::all(&project);
        assert_eq!(all.len(), project.pieces.sizes.len());
        for (place, sum) in all.iter().enumerate() {
            let alone = Shopping::of(&project, Some(place), None).unwrap();
            let figures = sum.figures.as_ref().unwrap();
            assert_eq!((&sum.name, &figures.yarn), (&alone.size_name, &alone.yarn));
        }
        let hours = |all: &[SizeSum]| all[0].figures.as_ref().unwrap().hours;
        let pace = project.pieces.pace;
        project.pieces.pace = pace.with_shares(pace.stranded_share() / 2.0, pace.intarsia_share()).unwrap();
        assert!(hours(&SizeSum::all(&project)) > 1.2 * hours(&all), "stranded rows take their time");
    }

    #[test]
    fn the_sum_adds_up_to_its_figure() {
        let project = Project::default();
        let yarn = Shopping::of(&project, None, None).unwrap().yarn;
        for (slot, colour) in yarn.colours.iter().enumerate() {
            let lines = yarn.lines(slot);
            let together: Amount = lines.iter().map(|(_, line)| line.amount).sum();
            assert!((together.likely - colour.metres().likely).abs() < 1e-9);
            assert!((together.estimate().high - colour.metres().high).abs() < 1e-9);
            let told = reasons(lines.iter().map(|(_, line)| line));
            assert_eq!(told.is_empty(), colour.stitches == 0);
            assert!(told.iter().all(|(lines, _)| !lines.is_empty()), "{told:?}");
        }
    }

    #[test]
    fn dye_lots_are_minded_where_more_than_one_ball_meets() {
        let mut project = Project::default();
        let yarn = |balls| ColourYarn {
            ball_price: None,
            balls,
            ..Shopping::of(&Project::default(), None, None).unwrap().yarn.colours[0].clone()
        };
        let slot = &mut project.palette.slots_mut()[0];
        assert_eq!(LotAdvice::of(slot, &yarn(1)), None);
        assert_eq!(LotAdvice::of(slot, &yarn(3)), Some(LotAdvice::OneLot { balls: 3 }));
        slot.yarn.on_hand_m = 50.0;
        assert_eq!(LotAdvice::of(slot, &yarn(1)), Some(LotAdvice::UnknownLot));
        let owned = Shade {
            stock: Stock::Owned(1),
            put_up: PutUp::new(400.0, 50.0).ok(),
            dye_lot: "417".to_owned(),
            ..shade("Dull bucket", "#1f2a4d")
        };
        slot.knit_in(Arc::new(owned));
        let advice = LotAdvice::of(slot, &yarn(1)).unwrap();
        assert!(advice.words().contains("dye lot 417"), "{}", advice.words());
        assert_eq!(LotAdvice::of(slot, &yarn(0)), None, "what is on hand is enough");
        let of_card = Shade { dye_lot: "P30".to_owned(), ..shade("Rusty hinge", "#a03020") };
        slot.knit_in(Arc::new(of_card));
        slot.yarn.on_hand_m = 50.0;
        assert_eq!(LotAdvice::of(slot, &yarn(1)), Some(LotAdvice::UnknownLot), "the lot of its card");
    }

    #[test]
    fn the_nearest_shades_can_be_had_and_stand_in() {
        let mut project = Project::default();
        let own =
            Shade { weight_class: Some(1), fibre: "Wool".to_owned(), ..shade("Dull bucket", "#1f2a4d") };
        let like = |name: &str, hex: &str| Shade {
            name: name.to_owned(),
            colour: Colour::from_hex(hex).unwrap(),
            ..own.clone()
        };
        let card = ShadeCard::new(
            "Crooked Ladder",
            vec![
                own.clone(),
                like("Near", "#20304f"),
                like("Far", "#c9971c"),
                Shade { stock: Stock::Out, ..like("Gone", "#1f2a4e") },
                Shade { weight_class: Some(5), ..like("Thick", "#1f2a4e") },
                Shade { fibre: "Linen".to_owned(), ..like("Flax", "#1f2a4e") },
            ],
        );
        project.shade_cards.push(Arc::new(card.unwrap()));
        project.palette.slots_mut()[0].knit_in(Arc::new(own));
        let names: Vec<&str> =
            project.nearest_shades(0, 9).iter().map(|near| near.shade.name.as_str()).collect();
        assert_eq!(names, ["Near", "Far"]);
        assert_eq!(project.nearest_shades(0, 1).len(), 1);
        // A colour that is no shade yet keeps to the project's yarn; with none chosen, to the weight its
        // other colours are knitted in.
        let offered = |project: &Project| {
            let near = project.nearest_shades(1, 9);
            near.iter().map(|near| near.shade.name.clone()).collect::<Vec<_>>()
        };
        assert!(!offered(&project).contains(&"Thick".to_owned()), "{:?}", offered(&project));
        let mut yarn =
            Yarn::new(YarnId(0), "Bulk", Blend::pure(Fibre::Wool), PutUp::new(120.0, 100.0).unwrap());
        yarn.class_on_band = WeightClass::from_number(5);
        project.material.yarn = Some(yarn);
        assert_eq!(offered(&project), ["Thick"]);
        assert!(project.nearest_shades(99, 3).is_empty());
    }
}
