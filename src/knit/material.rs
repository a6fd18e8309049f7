//! Contradictions between what a piece needs, its yarns, its swatch and its chart, in words.
//!
//! Pure functions of plain facts: whoever knows the project fills in [`MaterialFacts`].

use super::material_rules::{gauge_findings, mixed_findings, needs_findings, yarn_findings};
use super::swatch::MeasuredGauge;
use super::{Gauge, Technique};
use crate::units::{LengthUnit, StitchesPer10Cm};
use crate::yarn::{Need, Needs, Yarn, YarnId};

/// What the chart and the piece ask of a yarn.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ChartFacts {
    /// Thinnest part of a motif in stitches, when there is a motif.
    pub thinnest_stitches: Option<u32>,
    /// Share of neighbouring stitches in a row that change colour, `0..=1`, when there is a chart.
    pub busyness: Option<f64>,
    /// Coarsest gauge at which the motif is still itself, when it was worked out.
    pub motif_needs: Option<StitchesPer10Cm>,
}

/// A yarn of the piece.
#[derive(Clone, Copy, Debug)]
pub struct MaterialYarn<'a> {
    /// The yarn.
    pub yarn: &'a Yarn,
    /// Whether its colour changes along the strand so that it makes a pattern of its own (speckled, long colour
    /// changes; a heather does not).
    pub variegated: bool,
}

/// All that is known of a piece. What is not known is left out and raises nothing.
#[derive(Clone, Copy, Debug)]
pub struct MaterialFacts<'a> {
    /// What the piece must withstand, when it was asked.
    pub needs: Option<Needs>,
    /// Its yarns.
    pub yarns: &'a [MaterialYarn<'a>],
    /// The gauge the project is planned with.
    pub gauge: Gauge,
    /// How colours are worked.
    pub technique: Technique,
    /// The name of the swatch that is followed and what it measured, when there is one.
    pub swatch: Option<(&'a str, &'a MeasuredGauge)>,
    /// The chart.
    pub chart: ChartFacts,
    /// How lengths and gauges are said.
    pub units: LengthUnit,
}

/// What contradicts what.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum MaterialKind {
    /// A need is badly missed.
    NeedMissed(Need),
    /// A single for something that is rubbed.
    SingleForHardWear,
    /// Socks without a hard-wearing part.
    SocksWithoutReinforcement,
    /// A fuzzy yarn under a fine motif or texture.
    FuzzyUnderFineMotif,
    /// Woollen spun for cables.
    WoollenForCables,
    /// A yarn whose stitches lean.
    Slanting,
    /// A slippery yarn for stranded work.
    SlipperyStrands,
    /// A yarn of changing colour in a busy chart.
    BusyOnBusy,
    /// The label forbids the planned wash.
    LabelForbidsWash,
    /// The yarn does not suit the gauge.
    Cover,
    /// The planned gauge is not the swatch's.
    GaugeNotTheSwatchs,
    /// The gauge was planned from an unwashed swatch.
    GaugeUnwashed,
    /// The motif is lost at the swatch's gauge.
    MotifLostAtSwatchGauge,
    /// Yarns of different thickness in one piece.
    UnevenYarns,
    /// Yarns of different washing in one piece.
    UnevenWashing,
}

impl MaterialKind {
    /// What is wrong, in few words that go on from "Yarn" or "Swatch".
    pub fn name(self) -> String {
        match self {
            Self::NeedMissed(need) => return format!("{} missed", need.name().to_lowercase()),
            Self::SingleForHardWear => "single, hard wear",
            Self::SocksWithoutReinforcement => "too weak for socks",
            Self::FuzzyUnderFineMotif => "fuzzy, fine motif",
            Self::WoollenForCables => "woollen for cables",
            Self::Slanting => "stitches lean",
            Self::SlipperyStrands => "slippery strands",
            Self::BusyOnBusy => "busy on busy",
            Self::LabelForbidsWash => "not to be washed so",
            Self::Cover => "not for this gauge",
            Self::GaugeNotTheSwatchs => "of another gauge",
            Self::GaugeUnwashed => "not washed",
            Self::MotifLostAtSwatchGauge => "motif is lost",
            Self::UnevenYarns => "uneven thickness",
            Self::UnevenWashing => "washed unlike",
        }
        .to_owned()
    }
}

/// How much a contradiction matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Weightiness {
    /// Worth knowing.
    Note,
    /// Likely to be regretted.
    Warning,
}

/// A contradiction in words.
#[derive(Clone, Debug, PartialEq)]
pub struct MaterialFinding {
    /// What contradicts what.
    pub kind: MaterialKind,
    /// How much it matters.
    pub weight: Weightiness,
    /// The yarn it is about, when it is about one.
    pub yarn: Option<YarnId>,
    /// Sentences with full stops; the yarn is named.
    pub message: String,
}

/// Every contradiction, warnings first.
pub fn material_findings(facts: &MaterialFacts) -> Vec<MaterialFinding> {
    let mut found = Vec::new();
    for part in facts.yarns {
        if let Some(needs) = facts.needs {
            needs_findings(needs, part.yarn, &mut found);
        }
        yarn_findings(facts, part, &mut found);
    }
    mixed_findings(facts.yarns, &mut found);
    gauge_findings(facts, &mut found);
    found.sort_by_key(|finding| std::cmp::Reverse(finding.weight));
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knit::{Construction, Swatch, SwatchFabric, SwatchSize};
    use crate::yarn::{
        Blend, CareLabel, PieceKind, PutUp, Spin, SpinSystem, Stitches, TwistAmount, TwistDirection,
    };

    fn yarn(blend: &str, metres: f64) -> Yarn {
        Yarn::new(YarnId(7), "Worn door key", Blend::parse(blend).unwrap(), PutUp::new(metres, 50.0).unwrap())
    }

    fn spun(mut yarn: Yarn, system: SpinSystem, plies: u8) -> Yarn {
        yarn.spin = Some(Spin::new(system, plies, TwistDirection::Z, TwistAmount::Medium).unwrap());
        yarn
    }

    fn found(yarns: &[&Yarn], needs: Option<Needs>, chart: ChartFacts) -> Vec<MaterialKind> {
        let parts: Vec<MaterialYarn> =
            yarns.iter().map(|yarn| MaterialYarn { yarn, variegated: false }).collect();
        let facts = MaterialFacts {
            needs,
            yarns: &parts,
            gauge: Gauge::new(28.0, 36.0).unwrap(),
            technique: Technique::Stranded,
            swatch: None,
            chart,
            units: LengthUnit::Metric,
        };
        let findings = material_findings(&facts);
        assert!(findings.windows(2).all(|pair| pair[0].weight >= pair[1].weight));
        assert!(findings.iter().all(|finding| finding.message.ends_with('.')));
        findings.into_iter().map(|finding| finding.kind).collect()
    }

    #[test]
    fn a_pure_single_for_socks_is_warned_of_and_a_reinforced_ply_is_not() {
        let socks = Some(Needs::preset(PieceKind::Socks));
        let single = spun(yarn("superwash", 400.0), SpinSystem::Worsted, 1);
        let kinds = found(&[&single], socks, ChartFacts::default());
        assert!(kinds.contains(&MaterialKind::SingleForHardWear));
        assert!(kinds.contains(&MaterialKind::SocksWithoutReinforcement));
        assert!(kinds.contains(&MaterialKind::Slanting));
        let sock = spun(yarn("75 % superwash, 25 % nylon", 400.0), SpinSystem::Worsted, 4);
        assert_eq!(found(&[&sock], socks, ChartFacts::default()), []);
    }

    #[test]
    fn fuzz_blurs_fine_motifs_and_cables_only() {
        let mohair = yarn("mohair", 400.0);
        let chart = |thinnest| ChartFacts { thinnest_stitches: Some(thinnest), ..ChartFacts::default() };
        assert_eq!(found(&[&mohair], None, chart(1)), [MaterialKind::FuzzyUnderFineMotif]);
        assert_eq!(found(&[&mohair], None, chart(4)), []);
        let cables = Needs { stitches: Stitches::CablesAndTwisted, ..Needs::preset(PieceKind::Hat) };
        assert!(found(&[&mohair], Some(cables), chart(4)).contains(&MaterialKind::FuzzyUnderFineMotif));
        assert_eq!(found(&[&yarn("merino", 400.0)], None, chart(1)), []);
    }

    #[test]
    fn a_gift_in_hand_wash_wool_is_warned_of_until_the_label_allows_the_machine() {
        let needs = Some(Needs { gift: true, ..Needs::preset(PieceKind::Hat) });
        let mut wool = yarn("wool", 400.0);
        assert!(
            found(&[&wool], needs, ChartFacts::default()).contains(&MaterialKind::NeedMissed(Need::Washing))
        );
        wool.care = CareLabel::from_codes(["tub hand"]).unwrap();
        assert_eq!(found(&[&wool], needs, ChartFacts::default()), [MaterialKind::LabelForbidsWash]);
        wool.care = CareLabel::from_codes(["tub 30 two bars"]).unwrap();
        assert_eq!(found(&[&wool], needs, ChartFacts::default()), []);
    }

    #[test]
    fn yarns_of_two_thicknesses_or_two_labels_do_not_go_together() {
        let (mut fine, mut thick) = (yarn("wool", 400.0), yarn("wool", 225.0));
        fine.care = CareLabel::from_codes(["tub hand"]).unwrap();
        thick.care = CareLabel::from_codes(["tub 40"]).unwrap();
        let kinds = found(&[&fine, &thick], None, ChartFacts::default());
        assert!(kinds.contains(&MaterialKind::UnevenYarns) && kinds.contains(&MaterialKind::UnevenWashing));
        assert!(kinds.contains(&MaterialKind::Cover), "225 m per 100 g at 28 stitches is too dense");
    }

    #[test]
    fn slippery_strands_and_busy_colours_are_named() {
        let cotton = yarn("cotton", 350.0);
        let parts = [MaterialYarn { yarn: &cotton, variegated: true }];
        let facts = MaterialFacts {
            needs: None,
            yarns: &parts,
            gauge: Gauge::new(28.0, 36.0).unwrap(),
            technique: Technique::Stranded,
            swatch: None,
            chart: ChartFacts { busyness: Some(0.4), ..ChartFacts::default() },
            units: LengthUnit::Metric,
        };
        let kinds: Vec<_> = material_findings(&facts).into_iter().map(|finding| finding.kind).collect();
        assert_eq!(kinds, [MaterialKind::BusyOnBusy, MaterialKind::SlipperyStrands]);
    }

    #[test]
    fn a_motif_lost_at_the_washed_gauge_is_found() {
        let mut swatch =
            Swatch::new(YarnId(7), 3.0, SwatchFabric::Stranded, Construction::InTheRound, (28, 32)).unwrap();
        swatch.after = Some(SwatchSize::new(11.2, 10.0).unwrap());
        let measured = swatch.gauge_after().unwrap();
        let facts = |gauge: f64, washed| MaterialFacts {
            needs: None,
            yarns: &[],
            gauge: Gauge::new(gauge, 32.0).unwrap(),
            technique: Technique::Stranded,
            swatch: washed,
            chart: ChartFacts {
                motif_needs: Some(StitchesPer10Cm::new(26.0).unwrap()),
                ..ChartFacts::default()
            },
            units: LengthUnit::Imperial,
        };
        let findings = material_findings(&facts(28.0, Some(("swatch 2", &measured))));
        let kinds: Vec<_> = findings.iter().map(|finding| finding.kind).collect();
        assert_eq!(kinds, [MaterialKind::GaugeNotTheSwatchs, MaterialKind::MotifLostAtSwatchGauge]);
        assert!(findings[0].message.contains("swatch 2, washed, gives"), "{}", findings[0].message);
        assert!(findings[0].message.contains("come out at 44.1 in (112.0 cm)"), "{}", findings[0].message);
        assert!(findings[1].message.contains("still be itself"));
        let unwashed = MeasuredGauge { washed: false, ..measured };
        let kinds: Vec<_> =
            material_findings(&facts(25.0, Some(("swatch 2", &unwashed)))).iter().map(|f| f.kind).collect();
        assert_eq!(kinds, [MaterialKind::GaugeUnwashed, MaterialKind::MotifLostAtSwatchGauge]);
        assert_eq!(material_findings(&facts(28.0, None)), []);
    }
}
