//! What is known of the yarn of a project: what somebody said of it, and what cards and swatches say of its care.

use super::model::Project;
use super::swatch_gauge::swatch_name;
use crate::knit::{DriedHow, WashedHow};
use crate::yarn::{Blend, CareLabel, CareSymbol, Fibre, SlotYarn, Yarn};

/// What a yarn is called before somebody names it.
pub const UNNAMED_YARN: &str = "My yarn";

impl Project {
    /// The yarn, once something was said of it: a description that was merely begun holds what the program begins with.
    pub fn described_yarn(&self) -> Option<&Yarn> {
        let sold = SlotYarn::default();
        let begun =
            Yarn { put_up: sold.put_up, ball_price: sold.ball_price, ..self.typical_yarn(UNNAMED_YARN) };
        let yarn = self.material.yarn.as_ref()?;
        // A fibre chosen since does not reach the description.
        let as_begun = yarn.blend == begun.blend || yarn.blend == Blend::pure(Fibre::Wool);
        let is_begun = as_begun && *yarn == Yarn { blend: yarn.blend.clone(), ..begun };
        (!is_begun).then_some(yarn)
    }

    /// What it is knitted of: the blend of the yarn, else the fibre that was chosen.
    pub fn fibre(&self) -> Option<&Blend> {
        self.described_yarn().map(|yarn| &yarn.blend).or(self.material.blend.as_ref())
    }

    /// The label that the piece is cared for by: of those of the yarn and of the shades it is knitted in the one that
    /// washes most gently, the yarn's where they are alike; empty where none is recorded.
    pub fn care_label(&self) -> CareLabel {
        let own = self.material.yarn.as_ref().map(|yarn| &yarn.care);
        let worn = self.palette.slots().iter().filter_map(|slot| Some(&slot.shade()?.make.care));
        let told = own.into_iter().chain(worn).filter(|label| label.wash_limit().is_some());
        told.min_by_key(|label| label.wash_limit()).or(own).cloned().unwrap_or_default()
    }

    /// The label that the shade cards give the yarn: that of the shades the colours are knitted in, else that of all
    /// shades, where those that tell one tell the same.
    pub fn label_of_cards(&self) -> Option<CareLabel> {
        let knitted =
            self.palette.slots().iter().filter_map(|slot| slot.shade()).map(|shade| &shade.make.care);
        let all = self.shade_cards.iter().flat_map(|card| card.shades()).map(|shade| &shade.make.care);
        let agreed = |labels: &mut dyn Iterator<Item = &CareLabel>| {
            let mut told = labels.filter(|label| **label != CareLabel::default());
            let first = told.next()?;
            told.all(|label| label == first).then(|| first.clone())
        };
        agreed(&mut knitted.into_iter()).or_else(|| agreed(&mut all.into_iter()))
    }

    /// A label to offer for a yarn that has none, and where it comes from: the cards' own, else what the swatch that is
    /// followed was put through. A machine without its heat is no symbol, and stays in words.
    pub fn offered_label(&self) -> Option<(CareLabel, String)> {
        if let Some(label) = self.label_of_cards() {
            return Some((label, "As the shade cards say".to_owned()));
        }
        let followed = self.material.followed()?;
        let care = self.material.swatches.get(followed.place)?.swatch.care;
        let by_hand = (care.washed == Some(WashedHow::ByHand)).then_some("tub hand");
        let dried = match care.dried {
            Some(DriedHow::Flat) => Some("square horizontal line"),
            Some(DriedHow::Hung) => Some("square vertical line"),
            Some(DriedHow::Pinned | DriedHow::Tumbled) | None => None,
        };
        let symbols = by_hand.into_iter().chain(dried).filter_map(CareSymbol::from_code);
        let in_words = care.washed.filter(|how| *how != WashedHow::ByHand).map(WashedHow::name);
        let label = CareLabel::new(symbols).ok()?.with_unread(in_words.unwrap_or_default());
        let from = format!("As {} was washed; the label of the yarn decides", swatch_name(followed.place));
        (label != CareLabel::default()).then_some((label, from))
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::colour::Colour;
    use crate::knit::{Construction, SwatchFabric, SwatchSize};
    use crate::project::LoggedSwatch;
    use crate::units::MetresPer100G;
    use crate::yarn::{PutUp, Shade, ShadeCard, YarnMake};

    #[test]
    fn a_description_that_was_only_begun_describes_nothing() {
        let mut project = Project::default();
        project.material.yarn = Some(project.typical_yarn(UNNAMED_YARN));
        assert_eq!((project.described_yarn(), project.fibre()), (None, None));
        project.material.blend = Some(Blend::pure(Fibre::Alpaca));
        assert_eq!(project.fibre(), Some(&Blend::pure(Fibre::Alpaca)));
        let mut typed = project.typical_yarn(UNNAMED_YARN);
        typed.put_up = PutUp::new(220.0, 100.0).unwrap();
        project.apply(project.describe_yarn(typed));
        assert!(project.described_yarn().is_some(), "its length was typed");
    }

    #[test]
    fn the_label_of_the_shop_is_offered_and_else_what_the_swatch_went_through() {
        let mut project = Project::default();
        assert_eq!(project.offered_label(), None);
        let how = (SwatchFabric::Plain, Construction::Flat);
        let grist = MetresPer100G::new(400.0).unwrap();
        let mut entry = LoggedSwatch::new("Bare step", grist, None, how, (20, 28)).unwrap();
        entry.swatch.after = SwatchSize::new(10.0, 10.0).ok();
        entry.swatch.care.washed = Some(WashedHow::ByHand);
        entry.swatch.care.dried = Some(DriedHow::Flat);
        project.material.swatches.push(entry);
        let (label, from) = project.offered_label().unwrap();
        assert_eq!(label.words(), ["Wash by hand, at most 40 °C", "Dry flat"]);
        assert!(from.contains("swatch 1"), "{from}");
        project.material.swatches[0].swatch.care.washed = Some(WashedHow::Machine);
        let (label, _) = project.offered_label().unwrap();
        assert_eq!((label.machine_wash(), label.unread()), (None, "Washed in the machine"));
        // The cards go before it, where they agree.
        let shade = |care: &str| Shade {
            make: YarnMake { care: CareLabel::read(care), ..YarnMake::default() },
            ..Shade::new("Rahm", Colour::WHITE)
        };
        let card =
            |cares: [&str; 2]| vec![Arc::new(ShadeCard::new("Shop", cares.map(shade).to_vec()).unwrap())];
        project.shade_cards = card(["machine wash 30", ""]);
        assert_eq!(project.offered_label().unwrap().0, CareLabel::read("tub 30"));
        project.shade_cards = card(["machine wash 30", "hand wash"]);
        assert_eq!(project.label_of_cards(), None);
    }

    #[test]
    fn the_piece_is_cared_for_by_the_gentlest_of_its_labels() {
        let mut project = Project::default();
        assert_eq!(project.care_label(), CareLabel::default());
        let [forty, thirty] = ["tub 40", "tub 30"].map(CareLabel::read);
        project.material.yarn =
            Some(crate::yarn::Yarn { care: forty.clone(), ..project.typical_yarn("Bare step") });
        let shade = |care: &CareLabel, grey| Shade {
            make: YarnMake { care: care.clone(), ..YarnMake::default() },
            ..Shade::new("Rahm", Colour::grey(grey))
        };
        project.apply(project.knit_in([
            (0, Arc::new(shade(&forty, 80.0))),
            (1, Arc::new(Shade::new("Bare", Colour::grey(50.0)))),
        ]));
        assert_eq!(project.care_label(), forty, "alike, or not told");
        project.apply(project.knit_in([(2, Arc::new(shade(&thirty, 30.0)))]));
        assert_eq!(project.care_label(), thirty);
    }
}
