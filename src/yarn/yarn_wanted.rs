//! Which yarn a shade must be: its fibre, its weight class, and what the piece asks of it.

use super::blend::Blend;
use super::fibre::Fibre;
use super::needs::Needs;
use super::put_up::PutUp;
use super::shade_card::Shade;
use super::variation::Variation;
use super::weight_class::WeightClass;
use super::yarn_spec::Yarn;

/// Points of a share within which two blends count as the same fibre (our judgement).
const SAME_SHARE: f64 = 0.1;

/// Which fibre a shade may have. A label that cannot be read is let through.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum FibreWanted {
    /// Any.
    #[default]
    Any,
    /// The same main fibre, and every share within 10 points.
    Like(Blend),
    /// Exactly what this label says.
    Label(String),
}

/// Fibre, weight and needs that are kept to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct YarnWanted {
    /// Fibre.
    pub fibre: FibreWanted,
    /// Weight classes of the published standard, any when empty; a shade that gives none goes by its
    /// metres per 100 g, and is let through when it does not give those either.
    pub classes: Vec<u8>,
    /// What the piece must withstand; a shade that does not stand the planned wash, or of which nobody
    /// knows that it does, is something else.
    pub needs: Option<Needs>,
    /// Whether the chart is a pattern in which spots and stretches of other colours are lost; a yarn that has them
    /// is something else then.
    pub calm: bool,
}

/// How a shade stands to what is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fitness {
    /// It is what is wanted.
    Fits,
    /// It does not say.
    Unknown,
    /// It is something else.
    Differs,
}

/// What keeps a shade out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KeepsOut {
    /// Another fibre is wanted.
    Fibre,
    /// Another weight class is wanted.
    Weight,
    /// It does not stand what the piece must.
    Needs,
    /// Its colours along the strand would hide the chart.
    Busy,
}

/// How a shade stands to fibre, weight, needs and chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Judged([(KeepsOut, Fitness); 4]);

impl Judged {
    /// The worst of them.
    pub fn fitness(&self) -> Fitness {
        self.0.iter().map(|(_, fitness)| *fitness).max().unwrap_or(Fitness::Fits)
    }

    /// What keeps the shade out; several may.
    pub fn keeping_out(self) -> impl Iterator<Item = KeepsOut> {
        self.0.into_iter().filter(|(_, fitness)| *fitness == Fitness::Differs).map(|(by, _)| by)
    }
}

impl YarnWanted {
    /// What can stand in for this yarn.
    pub fn like(yarn: &Yarn) -> Self {
        let classes = match yarn.class_on_band {
            Some(class) => vec![class.number()],
            None => traded_as(yarn.put_up),
        };
        Self { fibre: FibreWanted::Like(yarn.blend.clone()), classes, needs: None, calm: false }
    }

    /// What can stand in for this shade; what its card does not say is as in `otherwise`.
    pub fn like_shade(shade: &Shade, otherwise: &Self) -> Self {
        let label = shade.fibre.trim();
        let fibre = match Blend::parse(label) {
            Ok(blend) => FibreWanted::Like(blend),
            Err(_) if label.is_empty() => otherwise.fibre.clone(),
            Err(_) => FibreWanted::Label(label.to_owned()),
        };
        let classes = classes_of(shade);
        let classes = if classes.is_empty() { otherwise.classes.clone() } else { classes };
        Self { fibre, classes, needs: otherwise.needs, calm: otherwise.calm }
    }

    /// How a shade stands to each of the wishes.
    pub fn judged(&self, shade: &Shade) -> Judged {
        let calm = if self.is_too_busy(shade) { Fitness::Differs } else { Fitness::Fits };
        Judged([
            (KeepsOut::Fibre, self.fibre.judges(shade.fibre.trim())),
            (KeepsOut::Weight, self.judges_weight(shade)),
            (KeepsOut::Needs, self.judges_needs(shade)),
            (KeepsOut::Busy, calm),
        ])
    }

    /// The worst of them.
    pub fn judges(&self, shade: &Shade) -> Fitness {
        self.judged(shade).fitness()
    }

    /// Whether a shade makes a pattern of its own where the chart makes one; what its card does not say is let
    /// through.
    fn is_too_busy(&self, shade: &Shade) -> bool {
        self.calm && Variation::is_busy(shade.varies.as_ref())
    }

    /// Whether a shade names a fibre that the program does not know.
    pub fn is_of_unknown_fibre(shade: &Shade) -> bool {
        let label = shade.fibre.trim();
        !label.is_empty() && Blend::parse(label).map_or(true, |blend| blend.share(Fibre::Other) > 0.0)
    }

    /// Whether a shade may be knitted in: it is what is wanted, or does not say.
    pub fn lets_through(&self, shade: &Shade) -> bool {
        self.judges(shade) != Fitness::Differs
    }

    fn judges_needs(&self, shade: &Shade) -> Fitness {
        match self.needs {
            // What is promised to stand the machine is known to.
            Some(needs) if needs.doubts_wash(shade) => Fitness::Differs,
            Some(needs) => needs.judge_shade(shade).0,
            None => Fitness::Fits,
        }
    }

    fn judges_weight(&self, shade: &Shade) -> Fitness {
        if self.classes.is_empty() {
            return Fitness::Fits;
        }
        match classes_of(shade) {
            none if none.is_empty() => Fitness::Unknown,
            may_be if may_be.iter().any(|class| self.classes.contains(class)) => Fitness::Fits,
            _ => Fitness::Differs,
        }
    }
}

/// The class on the card, else every class that its metres are traded as; empty when it says neither.
fn classes_of(shade: &Shade) -> Vec<u8> {
    match (shade.weight_class, shade.put_up) {
        (Some(class), _) => vec![class],
        (None, Some(put_up)) => traded_as(put_up),
        (None, None) => Vec::new(),
    }
}

/// Every class that this is traded as: the published ranges overlap on purpose, and leave gaps, where the
/// nearest counts.
fn traded_as(put_up: PutUp) -> Vec<u8> {
    let found = WeightClass::for_grist(put_up.grist);
    let all = if found.classes.is_empty() { vec![found.best] } else { found.classes };
    all.into_iter().map(WeightClass::number).collect()
}

impl FibreWanted {
    fn judges(&self, label: &str) -> Fitness {
        match self {
            Self::Any => Fitness::Fits,
            Self::Label(wanted) if label.eq_ignore_ascii_case(wanted) => Fitness::Fits,
            Self::Label(_) | Self::Like(_) if label.is_empty() => Fitness::Unknown,
            Self::Label(_) => Fitness::Differs,
            Self::Like(wanted) => match Blend::parse(label) {
                Err(_) => Fitness::Unknown,
                Ok(blend) if alike(wanted, &blend) => Fitness::Fits,
                Ok(_) => Fitness::Differs,
            },
        }
    }
}

/// Whether two blends have the same main fibre and every share within [`SAME_SHARE`].
fn alike(a: &Blend, b: &Blend) -> bool {
    let near = |(fibre, _): &(_, f64)| (a.share(*fibre) - b.share(*fibre)).abs() <= SAME_SHARE + 1e-9;
    a.main_fibre() == b.main_fibre() && a.parts().iter().chain(b.parts()).all(near)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Colour;
    use crate::yarn::YarnId;

    fn shade(fibre: &str, class: Option<u8>, metres: Option<f64>) -> Shade {
        let put_up = metres.map(|metres| PutUp::new(metres, 50.0).unwrap());
        let fibre = fibre.to_owned();
        Shade {
            fibre,
            weight_class: class,
            put_up,
            ..Shade::new("Dull bucket", Colour::from_hex("#123456").unwrap())
        }
    }

    #[test]
    fn a_fingering_yarn_wants_its_own_class_and_fibre() {
        let put_up = PutUp::new(400.0, 50.0).unwrap();
        let mut yarn = Yarn::new(YarnId(0), "Skerry", Blend::parse("Wool").unwrap(), put_up);
        yarn.class_on_band = Some(WeightClass::SuperFine);
        let wanted = YarnWanted::like(&yarn);
        assert_eq!(wanted.classes, [1]);
        assert_eq!(wanted.judges(&shade("Wool", Some(1), None)), Fitness::Fits);
        assert_eq!(wanted.judges(&shade("Wool", Some(4), None)), Fitness::Differs);
        assert_eq!(wanted.judges(&shade("Silk", Some(1), None)), Fitness::Differs);
        assert_eq!(wanted.judges(&shade("", Some(1), None)), Fitness::Unknown);
        // Without a class the metres tell: 200 m in 100 g is a class 4 yarn.
        assert_eq!(wanted.judges(&shade("Wool", None, Some(200.0))), Fitness::Differs);
        assert_eq!(wanted.judges(&shade("Wool", None, Some(420.0))), Fitness::Fits);
        assert_eq!(wanted.judges(&shade("Wool", None, None)), Fitness::Unknown);
        assert!(wanted.lets_through(&shade("", None, None)));
    }

    // Common practice, no published source: untreated wool felts in the machine.
    #[test]
    fn a_gift_keeps_out_what_felts() {
        use crate::yarn::PieceKind;
        let needs = Some(Needs { gift: true, ..Needs::preset(PieceKind::Sweater) });
        let wanted = YarnWanted { needs, ..YarnWanted::default() };
        assert_eq!(wanted.judges(&shade("Wool", None, None)), Fitness::Differs);
        assert!(wanted.judged(&shade("Wool", None, None)).keeping_out().eq([KeepsOut::Needs]));
        assert_eq!(wanted.judges(&shade("Superwash wool", None, None)), Fitness::Fits);
        for unknown in ["", "80 % superwash wool, 20 % other", "80 % superwash wool, 20 % moonhair"] {
            let unknown = shade(unknown, None, None);
            assert!(!wanted.lets_through(&unknown), "{}", unknown.fibre);
            assert!(wanted.judged(&unknown).keeping_out().eq([KeepsOut::Needs]));
            assert!(YarnWanted::default().lets_through(&unknown));
        }
        let mut labelled = shade("moonhair", None, None);
        labelled.make.care = crate::yarn::CareLabel::from_codes(["tub 30"]).unwrap();
        assert!(wanted.lets_through(&labelled), "its label knows better");
    }

    #[test]
    fn a_charted_pattern_keeps_out_what_makes_one_of_its_own() {
        use crate::yarn::{Variation, VariationKind};
        let wanted = YarnWanted { calm: true, ..YarnWanted::default() };
        for kind in VariationKind::ALL {
            let varied = Shade { varies: Some(Variation::of(kind)), ..shade("Wool", None, None) };
            assert_eq!(wanted.lets_through(&varied), !kind.is_busy(), "{kind:?}");
            assert!(YarnWanted::default().lets_through(&varied));
        }
        assert!(wanted.lets_through(&shade("Wool", None, None)));
    }

    #[test]
    fn what_a_shade_does_not_say_is_as_the_project_wants_it() {
        let project = YarnWanted {
            fibre: FibreWanted::Like(Blend::parse("Wool").unwrap()),
            classes: vec![1],
            needs: None,
            calm: true,
        };
        assert_eq!(YarnWanted::like_shade(&shade("", None, None), &project), project);
        let silk = YarnWanted::like_shade(&shade("Silk", Some(2), None), &project);
        assert_eq!((silk.classes.as_slice(), silk.fibre.judges("Wool")), (&[2][..], Fitness::Differs));
        let odd = YarnWanted::like_shade(&shade("something soft", None, Some(100.0)), &project);
        assert_eq!(odd.fibre, FibreWanted::Label("something soft".to_owned()));
        assert!(odd.classes.contains(&5) && !odd.classes.contains(&1), "{:?}", odd.classes);
        assert_eq!(YarnWanted::default().judges(&shade("", Some(7), None)), Fitness::Fits);
    }
}
