//! Cautions for what can hurt someone. They never promise safety: the label, local rules and
//! licensed practice decide.

use super::blend::Blend;
use super::care::CareLabel;
use super::fibre::{Fibre, Origin};
use super::figure::Property;
use super::named::named_enum;
use super::needs::{Needs, PieceKind, Skin, Washing};

named_enum!(
    /// What a caution is about.
    CautionTopic {
        /// Skin and breath.
        Allergy => "Allergy",
        /// Babies and small children.
        BabyWear => "Baby wear",
        /// Flame and heat.
        Flame => "Flame and heat",
        /// Felting and superwash.
        Felting => "Felting",
        /// The label.
        Label => "Care label",
    }
);

/// A caution in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Caution {
    /// What it is about.
    pub topic: CautionTopic,
    /// One or two sentences, to whoever makes it.
    pub text: String,
    /// The same to whoever gets it, where that is something else.
    pub given: Option<&'static str>,
}

/// Shown wherever cautions are listed.
pub const CAUTION_DEFERS: &str =
    "These are reminders, not advice: the label of the yarn and the rules where you live decide.";

/// Fuzz from which loose hairs matter near a small child (our judgement).
const FUZZY: f64 = 0.4;
/// Felting grade from which a fabric felts in use (our judgement).
const FELTS: f64 = 0.3;

/// What the maker of clothes for a child must mind, and what whoever dresses it (common practice, no published source).
const CHILD_WEAR: [&str; 2] = [
    "Wash it before the first wearing, catch every float and weave in every end so that no finger \
     is held, and use no cords or loose buttons. The rules for children's clothes where you live hold.",
    "For a child: wash it before the first wearing, and see before each wearing that no end or strand \
     inside is loose, so that no finger is held.",
];

/// The cautions for a piece in this yarn. An empty label is one that is not recorded.
pub fn cautions(needs: Needs, blend: &Blend, label: &CareLabel) -> Vec<Caution> {
    let mut found = Vec::new();
    let mut put = |topic, text: String, given| found.push(Caution { topic, text, given });
    if needs.skin != Skin::Away {
        put(CautionTopic::Allergy, allergy(blend), None);
    }
    if needs.piece == PieceKind::BabyAndChild {
        let [text, given] = CHILD_WEAR;
        put(CautionTopic::BabyWear, text.to_owned(), Some(given));
        if blend.mix(Property::Halo).is_some_and(|mix| mix.mid() >= FUZZY) {
            let text = "This yarn sheds hairs: keep it away from the mouth and nose of a baby.";
            put(CautionTopic::BabyWear, text.to_owned(), None);
        }
    }
    if let Some(text) = flame(needs, blend) {
        put(CautionTopic::Flame, text, None);
    }
    if let Some(text) = felting(needs, blend) {
        put(CautionTopic::Felting, text, None);
    }
    let machine = label.machine_wash();
    if machine.is_none() {
        put(
            CautionTopic::Label,
            "No washing symbol is recorded for this yarn: read the band, and wash a swatch as the piece \
             will be washed."
                .to_owned(),
            None,
        );
    } else if machine == Some(false) && needs.washed() == Washing::Machine {
        let gift = if needs.gift { " A gift goes with its label." } else { "" };
        let text =
            format!("The label does not allow a machine wash, but the piece is planned for one.{gift}");
        put(CautionTopic::Label, text, None);
    }
    found
}

fn allergy(blend: &Blend) -> String {
    let known: Vec<String> = blend
        .parts()
        .iter()
        .filter(|(fibre, _)| *fibre != Fibre::Other)
        .map(|(fibre, _)| format!("{}: {}", fibre.name(), fibre.facts().caution))
        .collect();
    let unknown = if blend.share(Fibre::Other) > 0.0 { " One part of the blend is unknown." } else { "" };
    format!(
        "{} Dyes and finishes can trouble a skin too. If the wearer is known to react, ask first.{unknown}",
        known.join(" ")
    )
}

fn flame(needs: Needs, blend: &Blend) -> Option<String> {
    let synthetic = blend.share_from(Origin::Synthetic);
    let plant = blend.share_from(Origin::Plant) + blend.share_from(Origin::Regenerated);
    let rules = "Rules for nightwear and children's clothes hold.";
    let near_heat = needs.piece == PieceKind::TowelOrCoaster;
    match (synthetic > 0.0, plant >= 0.5) {
        (true, _) if near_heat => {
            Some("It holds synthetic fibre, which melts: not under hot pans, not near open flame.".to_owned())
        }
        (true, _) => Some(format!(
            "It holds synthetic fibre, which burns or melts onto the skin: keep it away from open flame. {rules}"
        )),
        (false, true) => Some(format!(
            "Plant fibre catches fire easily, fluffy fabric most: keep it away from open flame. {rules}"
        )),
        (false, false) => None,
    }
}

fn felting(needs: Needs, blend: &Blend) -> Option<String> {
    let superwash = blend.share(Fibre::SuperwashWool) > 0.0;
    let felts = blend.mix(Property::Felting).is_some_and(|mix| mix.mid() >= FELTS);
    let by_hand = needs.washed() == Washing::Hand;
    match (felts, superwash) {
        (true, _) if by_hand => {
            Some("It felts when hot, cold and rubbed in turn: lukewarm water, no movement.".to_owned())
        }
        (true, _) => Some(
            "It felts, and felting cannot be undone: a machine wash will shrink it unless the label allows one."
                .to_owned(),
        ),
        (false, true) => Some(
            "Superwash means that the label allows a machine wash, no more: hot water and tumbling can \
             still felt or stretch it."
                .to_owned(),
        ),
        (false, false) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn topics(needs: Needs, blend: &str, codes: &[&str]) -> Vec<CautionTopic> {
        let label = CareLabel::from_codes(codes.iter().copied()).unwrap();
        cautions(needs, &Blend::parse(blend).unwrap(), &label).iter().map(|caution| caution.topic).collect()
    }

    #[test]
    fn baby_wear_in_mohair_is_warned_of_twice() {
        let baby = Needs::preset(PieceKind::BabyAndChild);
        let found = topics(baby, "mohair", &["tub hand"]);
        assert_eq!(found.iter().filter(|topic| **topic == CautionTopic::BabyWear).count(), 2);
        assert!(found.contains(&CautionTopic::Label), "planned for the machine, label says by hand");
        let cotton = topics(baby, "cotton", &["tub 40"]);
        assert_eq!(cotton.iter().filter(|topic| **topic == CautionTopic::BabyWear).count(), 1);
        assert!(!cotton.contains(&CautionTopic::Label) && !cotton.contains(&CautionTopic::Felting));
    }

    #[test]
    fn synthetics_and_plant_fibre_are_kept_from_flame_and_wool_is_not_promised_safe() {
        let sweater = Needs::preset(PieceKind::Sweater);
        assert!(topics(sweater, "90 % wool, 10 % nylon", &["tub hand"]).contains(&CautionTopic::Flame));
        assert!(topics(sweater, "cotton", &["tub 40"]).contains(&CautionTopic::Flame));
        assert!(!topics(sweater, "wool", &["tub hand"]).contains(&CautionTopic::Flame));
        let towel = Needs::preset(PieceKind::TowelOrCoaster);
        let text = cautions(towel, &Blend::pure(Fibre::Acrylic), &CareLabel::default());
        assert!(text.iter().any(|caution| caution.text.contains("hot pans")));
    }

    #[test]
    fn felting_wool_and_superwash_have_their_own_words() {
        let text = |blend: &str, gift| {
            let needs = Needs { gift, ..Needs::preset(PieceKind::Hat) };
            let found = cautions(needs, &Blend::parse(blend).unwrap(), &CareLabel::default());
            found.into_iter().find(|c| c.topic == CautionTopic::Felting).map(|c| c.text).unwrap_or_default()
        };
        assert!(text("wool", false).contains("lukewarm"));
        assert!(text("wool", true).contains("cannot be undone"));
        assert!(text("superwash", true).contains("no more"));
        assert_eq!(text("cotton", true), "");
    }

    #[test]
    fn a_missing_label_is_asked_for() {
        let found = topics(Needs::preset(PieceKind::CushionAndDecor), "linen", &[]);
        assert!(found.contains(&CautionTopic::Label));
        assert!(!found.contains(&CautionTopic::Allergy), "a cushion does not touch the skin");
    }
}
