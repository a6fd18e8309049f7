//! How a yarn answers what a piece must withstand: one score, what is known, and the one thing that
//! cannot be made up for, the wash.

use super::blend::Blend;
use super::care::CareLabel;
use super::fibre::Fibre;
use super::figure::Property;
use super::need_rules::Need;
use super::needs::{Needs, Washing};
use super::shade_card::Shade;
use super::suitability::total;
use super::yarn_wanted::Fitness;

/// Grade of [`Property::MachineWash`] under which a fibre does not come whole out of the machine (our
/// judgement: the grades of untreated hair and silk lie below it, that of viscose, on a gentle cycle, above).
const WASHABLE: f64 = 0.4;

/// Share of the weight of the rules of which something must be known before a score says anything.
const TOLD: f64 = 0.25;

/// How a yarn answers the needs of a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct NeedsFit {
    /// The score of the fibre for all needs, `0..=1`; never 1 while something is not known.
    pub score: f64,
    /// Whether it fits, is not known or is refused.
    pub fitness: Fitness,
    /// Why it is refused or not known, a sentence without full stop; empty when it fits.
    pub why: String,
}

fn blend_of(shade: &Shade) -> Blend {
    Blend::parse(&shade.fibre).unwrap_or_else(|_| Blend::pure(Fibre::Other))
}

impl Needs {
    /// How a yarn of this fibre with this label answers the needs. The label knows better than the fibre;
    /// an empty one says nothing.
    pub fn judge(self, blend: &Blend, label: &CareLabel) -> NeedsFit {
        let (fitness, why) = self.fitness(blend, label);
        NeedsFit { score: total(self, blend), fitness, why }
    }

    /// Fitness and why, without the score.
    fn fitness(self, blend: &Blend, label: &CareLabel) -> (Fitness, String) {
        match self.wash(blend, label) {
            (Fitness::Fits, _) if self.known_share(blend) < TOLD => {
                (Fitness::Unknown, "the fibre is not known: look at the label".to_owned())
            }
            found => found,
        }
    }

    /// Whether a shade may be knitted in, by the fibre and the care on its card, and why not: [`NeedsFit::fitness`] and
    /// [`NeedsFit::why`].
    pub fn judge_shade(self, shade: &Shade) -> (Fitness, String) {
        self.fitness(&blend_of(shade), &shade.make.care)
    }

    /// Whether nothing tells that a shade stands the planned wash: no label, and a fibre that is not known.
    pub fn doubts_wash(self, shade: &Shade) -> bool {
        self.wash(&blend_of(shade), &shade.make.care).0 == Fitness::Unknown
    }

    /// Why the piece is washed as it is, a sentence with full stop.
    pub const fn washing_reason(self) -> &'static str {
        match (self.gift, self.washing) {
            (true, _) => "A gift goes in the machine: whoever gets it may not know that it could felt.",
            (false, Washing::Machine) => "It is to be washed in the machine.",
            (false, Washing::Hand) => "It is to be washed by hand.",
        }
    }

    /// The share of the weight of all rules for which a figure of this blend is known, `0..=1`.
    fn known_share(self, blend: &Blend) -> f64 {
        let (mut known, mut all) = (0.0, 0.0);
        for need in Need::ALL.iter().copied() {
            let weight = need.weight(self);
            known += weight * need.score(self, blend).1;
            all += weight;
        }
        if all > 0.0 { known / all } else { 0.0 }
    }

    /// Whether it stands the planned wash.
    fn wash(self, blend: &Blend, label: &CareLabel) -> (Fitness, String) {
        if self.washed() == Washing::Hand {
            return (Fitness::Fits, String::new());
        }
        match label.machine_wash() {
            Some(true) => return (Fitness::Fits, String::new()),
            Some(false) => return (Fitness::Differs, "its label allows no machine wash".to_owned()),
            None => {}
        }
        // The most delicate part decides.
        let grade = |fibre: Fibre| fibre.figure(Property::MachineWash);
        let worst = blend
            .parts()
            .iter()
            .filter_map(|(fibre, _)| Some((*fibre, grade(*fibre)?)))
            .min_by(|a, b| a.1.mid().total_cmp(&b.1.mid()));
        match worst {
            Some((fibre, figure)) if figure.mid() < WASHABLE => {
                (Fitness::Differs, format!("{}: {}", fibre.name().to_lowercase(), figure.note))
            }
            _ if blend.share(Fibre::Other) > 0.0 => {
                (Fitness::Unknown, "not known whether it stands the machine: look at the label".to_owned())
            }
            _ => (Fitness::Fits, String::new()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::yarn::PieceKind;

    fn gift() -> Needs {
        Needs { gift: true, ..Needs::preset(PieceKind::BabyAndChild) }
    }

    fn fit(needs: Needs, blend: &str, codes: &[&str]) -> NeedsFit {
        let label = CareLabel::from_codes(codes.iter().copied()).unwrap();
        needs.judge(&Blend::parse(blend).unwrap(), &label)
    }

    // Common practice, no published source: untreated wool felts in the machine.
    #[test]
    fn a_felting_wool_is_refused_for_a_gift_and_superwash_is_not() {
        let wool = fit(gift(), "wool", &[]);
        assert_eq!(
            (wool.fitness, wool.why.as_str()),
            (Fitness::Differs, "wool: felts in a machine: wash by hand")
        );
        assert_eq!(fit(gift(), "superwash wool", &[]).fitness, Fitness::Fits);
        assert_eq!(fit(gift(), "80 % superwash wool, 20 % silk", &[]).fitness, Fitness::Differs);
        assert_eq!(fit(Needs::preset(PieceKind::Sweater), "wool", &[]).fitness, Fitness::Fits);
    }

    #[test]
    fn the_label_knows_better_than_the_fibre() {
        assert_eq!(fit(gift(), "wool", &["tub 30 two bars"]).fitness, Fitness::Fits);
        let by_hand = fit(gift(), "superwash wool", &["tub hand"]);
        assert_eq!(by_hand.fitness, Fitness::Differs);
        assert!(by_hand.why.contains("label"));
    }

    #[test]
    fn what_is_not_known_neither_fits_nor_is_refused() {
        for needs in [gift(), Needs::preset(PieceKind::Sweater)] {
            let unknown = fit(needs, "other", &[]);
            assert_eq!(unknown.fitness, Fitness::Unknown);
            assert!(unknown.score <= 0.5, "{}", unknown.score);
        }
        assert_eq!(fit(gift(), "50 % cotton, 50 % other", &[]).fitness, Fitness::Unknown);
    }

    #[test]
    fn a_gift_says_why_it_goes_in_the_machine() {
        assert!(gift().washing_reason().contains("gift"));
    }
}
