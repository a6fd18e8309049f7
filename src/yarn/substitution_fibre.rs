//! The fibre side of a substitution: what another fibre leads to, and what to check in the swatch.

use super::Spin;
use super::blend::Blend;
use super::fibre::Fibre;
use super::figure::Property;
use super::spin::SpinEffect;
use super::substitution::{ComparedPoint, Likeness, SubstitutionPoint};
use super::yarn_spec::Yarn;

/// A grade that differs by less is not noticed (our judgement).
const NOTICED: f64 = 0.2;

/// A fibre property, and what less and more of it lead to (common practice, no published source).
const EFFECTS: [(Property, &str, &str); 8] = [
    (Property::Memory, "less memory: ribbing will relax", "springier: ribbing and cables pull in more"),
    (
        Property::Growth,
        "keeps its length better after washing",
        "grows more in the wash and in wear: measure the washed swatch hanging",
    ),
    (Property::Warmth, "less warm", "warmer"),
    (
        Property::Halo,
        "smoother: every stitch shows, and every uneven one",
        "fuzzier: small motifs and cables blur",
    ),
    (Property::Softness, "harsher on the skin", "softer on the skin"),
    (Property::Abrasion, "rubs through sooner", "stands more rubbing"),
    (
        Property::Felting,
        "strands slide: catch floats more often, and secure steeks by sewing",
        "clings, and felts if agitated",
    ),
    (Property::Absorbency, "takes up less water", "takes up more water and dries slowly"),
];

/// Regain in per cent of dry mass that is noticed as breathing (our judgement).
const REGAIN_NOTICED: f64 = 5.0;

/// Compares what two yarns are made of.
pub(super) fn compare(a: &Blend, b: &Blend) -> ComparedPoint {
    let mid = |blend: &Blend, property| blend.mix(property).map(super::Mix::mid);
    let mut consequences: Vec<(f64, String)> = Vec::new();
    let (mut apart, mut known) = (0.0, 0);
    for (property, less, more) in EFFECTS {
        if let (Some(was), Some(is)) = (mid(a, property), mid(b, property)) {
            let change = is - was;
            apart += change.abs();
            known += 1;
            if change.abs() >= NOTICED - 1e-9 {
                consequences.push((change.abs(), (if change < 0.0 { less } else { more }).to_owned()));
            }
        }
    }
    if let (Some(was), Some(is)) = (regain(a), regain(b))
        && (is - was).abs() >= REGAIN_NOTICED
    {
        let words = if is < was { "breathes less" } else { "breathes more" };
        consequences.push(((is - was).abs() / 16.0, words.to_owned()));
    }
    consequences.sort_by(|x, y| y.0.total_cmp(&x.0));
    let told = |blend: &Blend| blend.share(Fibre::Other) <= 0.0;
    let same = same_parts(a, b) && told(a) && told(b);
    let untold = !told(a) || !told(b);
    let likeness = match (same, known, consequences.is_empty()) {
        (true, ..) => Likeness::Same,
        (_, 0, _) => Likeness::Unknown,
        (_, _, true) if untold => Likeness::Unknown,
        (_, _, true) => Likeness::Near,
        _ => Likeness::Differs,
    };
    let nearness = match likeness {
        Likeness::Same => 1.0,
        Likeness::Unknown => 0.5,
        // A mean difference of 0.4 over all effects leaves nothing in common.
        _ => (1.0 - apart / f64::from(known) / 0.4).clamp(0.0, if untold { 0.5 } else { 1.0 }),
    };
    ComparedPoint {
        point: SubstitutionPoint::Fibre,
        likeness,
        nearness,
        detail: format!("{} against {}", a.name(), b.name()),
        consequences: consequences.into_iter().map(|(_, words)| words).collect(),
    }
}

fn regain(blend: &Blend) -> Option<f64> {
    blend.mix(Property::MoistureRegain).or_else(|| blend.mix(Property::AgreedAllowance)).map(super::Mix::mid)
}

/// The same fibres in shares that differ by at most 5 points.
fn same_parts(a: &Blend, b: &Blend) -> bool {
    let fibres = a.parts().iter().chain(b.parts()).map(|part| part.0);
    fibres.into_iter().all(|fibre| (a.share(fibre) - b.share(fibre)).abs() <= 0.05 + 1e-9)
}

/// What to check in a swatch of B.
pub(super) fn swatch_checks(a: &Yarn, b: &Yarn, points: &[ComparedPoint]) -> Vec<&'static str> {
    let likeness = |point| points.iter().find(|p| p.point == point).map_or(Likeness::Unknown, |p| p.likeness);
    let change = |property| {
        let mid = |yarn: &Yarn| yarn.blend.mix(property).map(super::Mix::mid);
        mid(a).zip(mid(b)).map_or(0.0, |(was, is)| is - was)
    };
    let mut checks = vec![
        "Stitches and rows over 10 cm (4 in), washed and dried as the piece will be; also across the pattern stitch",
    ];
    if likeness(SubstitutionPoint::WeightClass) != Likeness::Same
        || !matches!(likeness(SubstitutionPoint::Grist), Likeness::Same)
    {
        checks.push(
            "The same swatch a needle size up and down: choose by the feel of the fabric, then by the gauge",
        );
    }
    if change(Property::Memory) <= -NOTICED {
        checks.push("Some rows of ribbing: stretch it, let go, look again after an hour");
    }
    if change(Property::Growth) >= NOTICED {
        checks.push(
            "Hang the washed swatch for a day with a few clothes pegs on its edge, then measure its length",
        );
    }
    if change(Property::Halo) >= NOTICED || likeness(SubstitutionPoint::Spin) == Likeness::Differs {
        checks.push("The smallest motif, looked at from arm's length");
    }
    if change(Property::Felting).abs() >= NOTICED {
        checks.push("How the floats lie behind the stitches, and whether a cut edge holds");
    }
    if change(Property::Softness) <= -NOTICED {
        checks.push("Wear the swatch against the neck for an hour");
    }
    if change(Property::Abrasion) <= -NOTICED {
        checks.push("Rub the swatch on itself a hundred times and look for pills");
    }
    if b.spin.is_some_and(leans) {
        checks.push("Whether plain stitches lean to one side");
    }
    if likeness(SubstitutionPoint::Care) != Likeness::Same {
        checks.push("Wash it as the label of the most delicate yarn in the piece allows");
    }
    checks.push("Strong colours: press the wet swatch in a white cloth and look for dye");
    checks
}

fn leans(spin: Spin) -> bool {
    spin.appraise(SpinEffect::Slant).word() != "low"
}

#[cfg(test)]
mod tests {
    use super::super::substitution::*;
    use crate::units::Price;
    use crate::yarn::{
        Blend, CareLabel, PutUp, Spin, SpinSystem, TwistAmount, TwistDirection, WeightClass, Yarn, YarnId,
    };

    fn yarn(blend: &str, metres: f64, ball_g: f64) -> Yarn {
        Yarn::new(
            YarnId(0),
            "Worn door key",
            Blend::parse(blend).unwrap(),
            PutUp::new(metres, ball_g).unwrap(),
        )
    }

    fn with_spin(mut yarn: Yarn, system: SpinSystem, plies: u8) -> Yarn {
        yarn.spin = Some(Spin::new(system, plies, TwistDirection::S, TwistAmount::Medium).unwrap());
        yarn
    }

    fn at(found: &Substitution, point: SubstitutionPoint) -> &ComparedPoint {
        found.points.iter().find(|compared| compared.point == point).unwrap()
    }

    fn consequences(a: &Yarn, b: &Yarn, point: SubstitutionPoint) -> Vec<String> {
        at(&compare_yarns(a, b, &[1_500.0], None), point).consequences.clone()
    }

    #[test]
    fn fewer_metres_per_ball_ask_for_more_balls() {
        // 8 balls of 200 m hold 1500 m; of 184 m it takes 9.
        let substitution =
            compare_yarns(&yarn("wool", 400.0, 50.0), &yarn("wool", 368.0, 50.0), &[1_500.0], None);
        let ball = at(&substitution, SubstitutionPoint::Ball);
        assert_eq!(ball.consequences, ["about 8 % fewer metres per ball: buy 9 instead of 8"]);
        assert_eq!((substitution.balls_of_a, substitution.balls_of_b), (8, 9));
        assert_eq!(ball.likeness, Likeness::Near);
    }

    #[test]
    fn a_yarn_is_its_own_best_substitute() {
        let mut a = with_spin(yarn("80 % merino, 20 % nylon", 400.0, 100.0), SpinSystem::Worsted, 4);
        a.ball_price = Price::new(9.0).ok();
        a.care = CareLabel::from_codes(["tub 30 one bar"]).unwrap();
        let others = [yarn("cotton", 400.0, 100.0), a.clone(), yarn("80 % merino, 20 % nylon", 225.0, 50.0)];
        let ranked = rank_substitutes(&a, &others, &[900.0], None);
        assert_eq!(ranked[0].candidate, 1);
        assert!((ranked[0].nearness - 1.0).abs() < 1e-12);
        assert!(ranked[0].points.iter().all(|p| p.likeness == Likeness::Same && p.consequences.is_empty()));
        assert!(ranked.windows(2).all(|pair| pair[0].nearness >= pair[1].nearness));
    }

    #[test]
    fn alpaca_and_cotton_for_wool_relax_the_ribbing() {
        let wool = yarn("wool", 225.0, 50.0);
        for other in ["alpaca", "cotton", "silk"] {
            let found = compare_yarns(&wool, &yarn(other, 225.0, 50.0), &[500.0], None);
            let fibre = at(&found, SubstitutionPoint::Fibre);
            assert_eq!(fibre.likeness, Likeness::Differs);
            assert!(fibre.consequences.contains(&"less memory: ribbing will relax".to_owned()), "{fibre:?}");
            assert!(found.swatch_checks.iter().any(|check| check.contains("ribbing")));
        }
        assert!(
            consequences(&wool, &yarn("mohair", 225.0, 50.0), SubstitutionPoint::Fibre)
                .contains(&"fuzzier: small motifs and cables blur".to_owned())
        );
    }

    #[test]
    fn a_woollen_single_for_a_worsted_four_ply_is_said_in_full() {
        let a = with_spin(yarn("wool", 225.0, 50.0), SpinSystem::Worsted, 4);
        let b = with_spin(yarn("wool", 225.0, 50.0), SpinSystem::Woollen, 1);
        assert!(consequences(&a, &b, SubstitutionPoint::Spin)[0].contains("cables and texture sink in"));
        assert!(consequences(&a, &b, SubstitutionPoint::Plies)[0].contains("may lean"));
        assert!(consequences(&a, &b, SubstitutionPoint::Loft)[0].starts_with("loftier"));
        assert!(compare_yarns(&a, &b, &[1.0], None).swatch_checks.iter().any(|check| check.contains("lean")));
    }

    #[test]
    fn classes_and_grist_are_judged_apart() {
        let a = yarn("wool", 225.0, 50.0);
        let two_off = yarn("wool", 115.0, 50.0);
        let found = compare_yarns(&a, &two_off, &[500.0], None);
        assert_eq!(at(&found, SubstitutionPoint::WeightClass).likeness, Likeness::Differs);
        let mut labelled = yarn("wool", 225.0, 50.0);
        labelled.class_on_band = Some(WeightClass::Medium);
        let found = compare_yarns(&a, &labelled, &[500.0], None);
        assert_eq!(at(&found, SubstitutionPoint::WeightClass).likeness, Likeness::Near);
        assert_eq!(at(&found, SubstitutionPoint::Grist).likeness, Likeness::Same);
    }

    #[test]
    fn losing_the_machine_wash_is_a_difference_and_what_is_unknown_is_said() {
        let mut a = yarn("superwash", 400.0, 100.0);
        let mut b = yarn("merino", 400.0, 100.0);
        let found = compare_yarns(&a, &b, &[900.0], None);
        assert_eq!(at(&found, SubstitutionPoint::Care).likeness, Likeness::Unknown);
        assert_eq!(at(&found, SubstitutionPoint::Price).likeness, Likeness::Unknown);
        a.care = CareLabel::from_codes(["tub 40"]).unwrap();
        b.care = CareLabel::from_codes(["tub hand"]).unwrap();
        assert!(consequences(&a, &b, SubstitutionPoint::Care)[0].contains("no machine wash"));
        a.ball_price = Price::new(10.0).ok();
        b.ball_price = Price::new(14.0).ok();
        // 1500 m are 4 balls of 400 m.
        assert_eq!(consequences(&a, &b, SubstitutionPoint::Price), ["the piece costs 16.00 more"]);
    }

    // Common practice, no published source: a gift goes in the machine, where untreated wool felts.
    #[test]
    fn a_felting_wool_never_leads_for_a_gift_and_an_unknown_fibre_is_never_the_same() {
        use crate::yarn::{Fitness, Needs, PieceKind};
        let gift = Needs { gift: true, ..Needs::preset(PieceKind::BabyAndChild) };
        let wool = yarn("wool", 225.0, 50.0);
        let others =
            [yarn("wool", 225.0, 50.0), yarn("superwash wool", 200.0, 50.0), yarn("other", 225.0, 50.0)];
        let ranked = rank_substitutes(&wool, &others, &[900.0], Some(gift));
        let order: Vec<usize> = ranked.iter().map(|found| found.candidate).collect();
        assert_eq!(order.last(), Some(&0));
        assert_eq!(order[0], 1);
        assert_eq!(ranked[2].refused.as_deref(), Some("wool: felts in a machine: wash by hand"));
        assert!(at(&ranked[2], SubstitutionPoint::Needs).consequences[0].contains("A gift"));
        assert_eq!(gift.judge(&others[1].blend, &others[1].care).fitness, Fitness::Fits);
        let unknown = yarn("other", 225.0, 50.0);
        let same = compare_yarns(&unknown, &unknown, &[900.0], None);
        assert_eq!(at(&same, SubstitutionPoint::Fibre).likeness, Likeness::Unknown);
        assert!(same.nearness < 0.95, "{}", same.nearness);
    }

    #[test]
    fn measured_wraps_tell_the_loft() {
        let (mut a, mut b) = (yarn("wool", 225.0, 50.0), yarn("wool", 225.0, 50.0));
        a.wraps_per_inch = Some(14.0);
        b.wraps_per_inch = Some(10.0);
        assert!(consequences(&a, &b, SubstitutionPoint::Loft)[0].starts_with("loftier"));
        assert!(consequences(&b, &a, SubstitutionPoint::Loft)[0].starts_with("denser"));
        b.wraps_per_inch = Some(14.4);
        assert!(consequences(&a, &b, SubstitutionPoint::Loft).is_empty());
    }

    #[test]
    fn metres_that_make_no_sense_buy_nothing() {
        let a = yarn("wool", 225.0, 50.0);
        for metres in [f64::NAN, -5.0, f64::INFINITY] {
            assert_eq!(compare_yarns(&a, &a, &[metres], None).balls_of_b, 0);
        }
    }
}
