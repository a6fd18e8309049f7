//! May yarn B be used instead of yarn A? Point by point, with what each difference leads to.

use super::figure::number;
use super::named::named_enum;
use super::substitution_fibre as fibre;
use super::yarn_spec::Yarn;
use super::{CareLabel, Fitness, Needs, Spin, SpinEffect, SpinSystem, WashLimit};
use crate::units::{LengthUnit, Price};

named_enum!(
    /// A point on which two yarns are compared.
    SubstitutionPoint {
        /// What they are made of.
        Fibre => "Fibre",
        /// Worsted or woollen, twist.
        Spin => "Spin",
        /// Number of plies.
        Plies => "Plies",
        /// Weight class.
        WeightClass => "Weight class",
        /// Metres per 100 g.
        Grist => "Length in 100 g",
        /// Metres per ball, and so the number of balls.
        Ball => "Length of a ball",
        /// Air in the yarn.
        Loft => "Loft",
        /// How the colour changes along the strand.
        ColourChanges => "Colour along the strand",
        /// The care label.
        Care => "Care",
        /// Cost of the piece.
        Price => "Price",
        /// What the piece must withstand.
        Needs => "Needs",
    }
);

impl SubstitutionPoint {
    /// How much the point counts for the order of candidates (our judgement). The ball only changes
    /// how many are bought, and is not counted.
    const fn weight(self) -> f64 {
        match self {
            Self::Fibre | Self::WeightClass | Self::Needs => 3.0,
            Self::Grist => 2.5,
            Self::ColourChanges => 2.0,
            Self::Spin | Self::Care => 1.5,
            Self::Plies | Self::Loft => 1.0,
            Self::Price => 0.5,
            Self::Ball => 0.0,
        }
    }
}

named_enum!(
    /// How two yarns compare on a point.
    Likeness {
        /// The same for the purpose.
        Same => "Same",
        /// Near enough to try.
        Near => "Near",
        /// Different: read what it leads to.
        Differs => "Differs",
        /// Not known of one of them.
        Unknown => "Not known",
    }
);

/// One point of a comparison.
#[derive(Clone, Debug, PartialEq)]
pub struct ComparedPoint {
    /// Which.
    pub point: SubstitutionPoint,
    /// How they compare.
    pub likeness: Likeness,
    /// Nearness as a number for the order of candidates, `0..=1`; 0.5 when not known.
    pub nearness: f64,
    /// The two sides: `400 m (437 yd) against 368 m (402 yd)`.
    pub detail: String,
    /// What it leads to, sentences without full stop; empty when it leads to nothing.
    pub consequences: Vec<String>,
}

/// Yarn B measured against yarn A for a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Substitution {
    /// Index of B among the candidates.
    pub candidate: usize,
    /// The points, in the order of [`SubstitutionPoint::ALL`].
    pub points: Vec<ComparedPoint>,
    /// Weighted mean of the points' nearness, `0..=1`; never 1 while the fibre of either is not known.
    pub nearness: f64,
    /// Why B may not be knitted in here however near it is, a sentence without full stop.
    pub refused: Option<String>,
    /// Whole balls of A for the metres asked for, colour by colour.
    pub balls_of_a: u32,
    /// Whole balls of B for the same metres (metres go with the gauge, not with the yarn).
    pub balls_of_b: u32,
    /// What B costs, when its price is known.
    pub cost_of_b: Option<Price>,
    /// What to check in the swatch.
    pub swatch_checks: Vec<&'static str>,
}

/// All candidates for yarn A, nearest first, those that the needs refuse last; `metres` is what the piece
/// takes of each colour, `needs` what it must withstand when that was answered.
pub fn rank_substitutes(
    a: &Yarn,
    candidates: &[Yarn],
    metres: &[f64],
    needs: Option<Needs>,
) -> Vec<Substitution> {
    let mut ranked: Vec<Substitution> = candidates
        .iter()
        .enumerate()
        .map(|(candidate, b)| Substitution { candidate, ..compare_yarns(a, b, metres, needs) })
        .collect();
    ranked.sort_by(|x, y| {
        x.refused.is_some().cmp(&y.refused.is_some()).then(y.nearness.total_cmp(&x.nearness))
    });
    ranked
}

/// Yarn B against yarn A; `metres` is what the piece takes of each colour, `needs` what it must withstand.
pub fn compare_yarns(a: &Yarn, b: &Yarn, metres: &[f64], needs: Option<Needs>) -> Substitution {
    let mut points = vec![
        fibre::compare(&a.blend, &b.blend),
        spin(a.spin, b.spin),
        plies(a.spin, b.spin),
        weight_class(a, b),
        grist(a, b),
        ball(a, b, metres),
        loft(a, b),
        care(&a.care, &b.care),
        price(a, b, metres),
    ];
    points.extend(colour_changes(a, b));
    let asked = needs.map(|needs| against_needs(needs, a, b));
    let refused = asked.as_ref().and_then(|(_, refused)| refused.clone());
    points.extend(asked.map(|(point, _)| point));
    let weights: f64 = points.iter().map(|point| point.point.weight()).sum();
    let nearness = points.iter().map(|point| point.point.weight() * point.nearness).sum::<f64>() / weights;
    Substitution {
        candidate: 0,
        nearness,
        refused,
        balls_of_a: a.put_up.balls_by_colour(metres),
        balls_of_b: b.put_up.balls_by_colour(metres),
        cost_of_b: b.cost(metres),
        swatch_checks: fibre::swatch_checks(a, b, &points),
        points,
    }
}

/// Told where it is known of one of them: nothing else is said than that it is one colour.
fn colour_changes(a: &Yarn, b: &Yarn) -> Option<ComparedPoint> {
    if a.varies.is_none() && b.varies.is_none() {
        return None;
    }
    let kind = |yarn: &Yarn| yarn.varies.as_ref().map(|varies| varies.kind).unwrap_or_default();
    let (was, is) = (kind(a), kind(b));
    let (likeness, nearness, consequence) = match (was.is_busy(), is.is_busy()) {
        _ if was == is => (Likeness::Same, 1.0, None),
        (false, true) => {
            let words = "its colours make a pattern of their own: a charted one is lost in it";
            (Likeness::Differs, 0.0, Some(words))
        }
        (true, false) => (Likeness::Differs, 0.3, Some("calmer: what its colours did is gone")),
        (true, true) => (Likeness::Near, 0.5, Some("its colours fall otherwise")),
        (false, false) => (Likeness::Near, 0.9, None),
    };
    let detail = format!("{} against {}", was.name(), is.name().to_lowercase());
    let consequences = consequence.map(str::to_owned).into_iter().collect();
    Some(point(SubstitutionPoint::ColourChanges, likeness, nearness, detail, consequences))
}

/// A point that is not known of one yarn.
fn unknown(point: SubstitutionPoint, what: &str) -> ComparedPoint {
    ComparedPoint {
        point,
        likeness: Likeness::Unknown,
        nearness: 0.5,
        detail: format!("not known of both: {what}"),
        consequences: Vec::new(),
    }
}

fn point(
    point: SubstitutionPoint,
    likeness: Likeness,
    nearness: f64,
    detail: String,
    consequences: Vec<String>,
) -> ComparedPoint {
    ComparedPoint { point, likeness, nearness: nearness.clamp(0.0, 1.0), detail, consequences }
}

fn spin(a: Option<Spin>, b: Option<Spin>) -> ComparedPoint {
    let (Some(a), Some(b)) = (a, b) else { return unknown(SubstitutionPoint::Spin, "how it is spun") };
    let mut consequences = Vec::new();
    if a.system != b.system {
        consequences.push(match b.system {
            SpinSystem::Woollen => {
                "woollen spun: blooms and clings, but cables and texture sink in".to_owned()
            }
            SpinSystem::Worsted => {
                "worsted spun: smoother and crisper, floats slide and colour changes show gaps".to_owned()
            }
        });
    }
    if a.amount != b.amount {
        let (was, is) = (a.amount.name().to_lowercase(), b.amount.name().to_lowercase());
        consequences.push(if b.amount > a.amount {
            format!("{is} twist instead of {was}: crisper, harder, leans sooner")
        } else {
            format!("{is} twist instead of {was}: softer, fuzzes and wears sooner")
        });
    }
    if a.direction != b.direction {
        consequences.push("twisted the other way: the stitches lean the other way, if they lean".to_owned());
    }
    let (likeness, nearness) = match (a.system == b.system, consequences.len()) {
        (true, 0) => (Likeness::Same, 1.0),
        (true, _) => (Likeness::Near, 0.7),
        (false, _) => (Likeness::Differs, 0.1),
    };
    point(
        SubstitutionPoint::Spin,
        likeness,
        nearness,
        format!("{} against {}", a.name(), b.name()),
        consequences,
    )
}

fn plies(a: Option<Spin>, b: Option<Spin>) -> ComparedPoint {
    let (Some(a), Some(b)) = (a, b) else { return unknown(SubstitutionPoint::Plies, "the number of plies") };
    let (was, is) = (a.plies(), b.plies());
    let mut consequences = Vec::new();
    if is == 1 && was > 1 {
        consequences.push("a single: pills and wears sooner, and plain stitches may lean".to_owned());
    } else if is < was {
        consequences.push("fewer plies: wears a little sooner".to_owned());
    } else if is > was {
        consequences.push("more plies: rounder, wears longer".to_owned());
    }
    if is == 2 && was > 2 {
        consequences.push("two plies lie flatter: cables and texture stand out less".to_owned());
    }
    // From three plies up strands are round; below, each number has its own look.
    let (likeness, nearness) = match (was, is) {
        _ if was == is => (Likeness::Same, 1.0),
        _ if was.min(is) >= 3 => (Likeness::Near, 0.8),
        _ if was.min(is) == 2 && was.max(is) == 3 => (Likeness::Near, 0.6),
        _ => (Likeness::Differs, 0.2),
    };
    point(SubstitutionPoint::Plies, likeness, nearness, format!("{was} against {is}"), consequences)
}

fn weight_class(a: &Yarn, b: &Yarn) -> ComparedPoint {
    let (was, is) = (a.weight_class().class(), b.weight_class().class());
    let apart = was.number().abs_diff(is.number());
    let side = if is > was { "thicker" } else { "thinner" };
    let (likeness, nearness, consequences) = match apart {
        0 => (Likeness::Same, 1.0, Vec::new()),
        1 => (
            Likeness::Near,
            0.5,
            vec![format!(
                "a class {side}: the gauge may be reached with another needle, on a {} fabric",
                if is > was { "denser" } else { "looser" }
            )],
        ),
        _ => (
            Likeness::Differs,
            0.0,
            vec![format!(
                "{apart} classes {side}: the gauge of the pattern is out of reach, recalculate the pattern"
            )],
        ),
    };
    let detail = format!("{} ({}) against {} ({})", was.number(), was.name(), is.number(), is.name());
    point(SubstitutionPoint::WeightClass, likeness, nearness, detail, consequences)
}

/// Same within 3 %, near within 10 % (our judgement: a band's metres are true to about 3 %, and 10 %
/// of grist is 5 % of diameter).
fn grist(a: &Yarn, b: &Yarn) -> ComparedPoint {
    let (was, is) = (a.put_up.grist.get(), b.put_up.grist.get());
    let ratio = is / was;
    let off = (ratio - 1.0).abs();
    let (likeness, consequences) = match off {
        off if off <= 0.03 => (Likeness::Same, Vec::new()),
        off => {
            let words = if ratio > 1.0 {
                "a thinner or airier strand: the fabric is lighter and more open at the same gauge"
            } else {
                "a thicker or denser strand: the fabric is heavier and firmer at the same gauge"
            };
            (if off <= 0.10 { Likeness::Near } else { Likeness::Differs }, vec![words.to_owned()])
        }
    };
    // Nothing is left of the nearness at half as much again.
    let nearness = 1.0 - ratio.ln().abs() / 1.5_f64.ln();
    point(
        SubstitutionPoint::Grist,
        likeness,
        nearness,
        format!("{} against {}", both(was), both(is)),
        consequences,
    )
}

/// Metres with yards beside them.
fn both(metres: f64) -> String {
    format!("{metres:.0} m ({:.0} yd)", LengthUnit::Imperial.from_metres(metres))
}

fn ball(a: &Yarn, b: &Yarn, metres: &[f64]) -> ComparedPoint {
    let (was, is) = (a.put_up.metres_per_ball(), b.put_up.metres_per_ball());
    let percent = ((is / was - 1.0) * 100.0).round();
    let (balls_a, balls_b) = (a.put_up.balls_by_colour(metres), b.put_up.balls_by_colour(metres));
    let amount = if percent < 0.0 { "fewer" } else { "more" };
    let buy = if balls_a == balls_b {
        format!("buy {balls_b} all the same")
    } else {
        format!("buy {balls_b} instead of {balls_a}")
    };
    let (likeness, consequences) = match percent.abs() {
        0.0 => (Likeness::Same, Vec::new()),
        p => {
            let likeness = if p <= 10.0 { Likeness::Near } else { Likeness::Differs };
            (likeness, vec![format!("about {p} % {amount} metres per ball: {buy}")])
        }
    };
    let detail = format!("{} against {}", both(was), both(is));
    let nearness = 1.0 - percent.abs() / 100.0;
    point(SubstitutionPoint::Ball, likeness, nearness, detail, consequences)
}

fn loft(a: &Yarn, b: &Yarn) -> ComparedPoint {
    // Thickness for the mass: wraps were measured on both, else the spin lets expect it.
    let (difference, detail) = match (a.wraps(), b.wraps(), a.spin, b.spin) {
        (Some(was), Some(is), _, _) => {
            let bulk = |wraps: f64, yarn: &Yarn| {
                let [_, expected, _] = yarn.strand().wraps_per_inch();
                expected / wraps
            };
            let detail = format!("{} against {} wraps per inch", number(was), number(is));
            (bulk(is, b) / bulk(was, a) - 1.0, detail)
        }
        (_, _, Some(was), Some(is)) => {
            let loft = |spin: Spin| spin.appraise(SpinEffect::Loft);
            let (was, is) = (loft(was), loft(is));
            (is.value - was.value, format!("{} against {}, from the spin", was.word(), is.word()))
        }
        _ => return unknown(SubstitutionPoint::Loft, "wraps per inch or spin"),
    };
    let (likeness, consequences) = match difference.abs() {
        d if d <= 0.1 => (Likeness::Same, Vec::new()),
        d => {
            let words = if difference > 0.0 {
                "loftier: fills the fabric with less weight, blooms in the wash"
            } else {
                "denser: thinner stitches, more drape, heavier for its size"
            };
            (if d <= 0.25 { Likeness::Near } else { Likeness::Differs }, vec![words.to_owned()])
        }
    };
    point(SubstitutionPoint::Loft, likeness, 1.0 - difference.abs() * 2.0, detail, consequences)
}

fn care(a: &CareLabel, b: &CareLabel) -> ComparedPoint {
    let (Some(was), Some(is)) = (a.wash_limit(), b.wash_limit()) else {
        return unknown(SubstitutionPoint::Care, "the washing symbol");
    };
    let machine = |limit| matches!(limit, WashLimit::Machine { .. });
    let (likeness, nearness, consequences) = match (machine(was), machine(is)) {
        _ if was == is => (Likeness::Same, 1.0, Vec::new()),
        (true, false) => {
            (Likeness::Differs, 0.0, vec!["no machine wash any more: tell whoever will wash it".to_owned()])
        }
        _ if is < was => {
            (Likeness::Near, 0.6, vec!["wash it cooler or gentler than the pattern's yarn".to_owned()])
        }
        _ => (
            Likeness::Near,
            0.9,
            vec![
                "stands more than the pattern's yarn; the most delicate yarn in the piece decides".to_owned(),
            ],
        ),
    };
    let words = |label: &CareLabel| label.words().first().map_or_else(String::new, |word| (*word).to_owned());
    let detail = format!("{} against {}", words(a), words(b));
    point(SubstitutionPoint::Care, likeness, nearness, detail, consequences)
}

/// What B does for the piece, and why it may not be knitted in when it may not.
fn against_needs(needs: Needs, a: &Yarn, b: &Yarn) -> (ComparedPoint, Option<String>) {
    let (was, is) = (needs.judge(&a.blend, &a.care), needs.judge(&b.blend, &b.care));
    let likeness = match is.fitness {
        Fitness::Fits if is.score + 0.05 >= was.score || was.fitness == Fitness::Differs => Likeness::Same,
        Fitness::Fits => Likeness::Near,
        Fitness::Unknown => Likeness::Unknown,
        Fitness::Differs => Likeness::Differs,
    };
    let mut consequences = Vec::new();
    if is.fitness == Fitness::Differs {
        consequences.push(format!("{}. {}", is.why, needs.washing_reason().trim_end_matches('.')));
    } else if is.fitness == Fitness::Unknown {
        consequences.push(is.why.clone());
    } else if was.fitness == Fitness::Differs {
        consequences.push(format!("answers the piece where the other does not ({})", was.why));
    }
    let nearness = match is.fitness {
        Fitness::Fits => is.score,
        Fitness::Unknown => 0.5_f64.min(is.score),
        Fitness::Differs => 0.0,
    };
    let detail = format!(
        "{:.0} against {:.0} of 100 for what the piece must withstand",
        was.score * 100.0,
        is.score * 100.0
    );
    let refused = (is.fitness == Fitness::Differs).then_some(is.why);
    (point(SubstitutionPoint::Needs, likeness, nearness, detail, consequences), refused)
}

fn price(a: &Yarn, b: &Yarn, metres: &[f64]) -> ComparedPoint {
    let (Some(was), Some(is)) = (a.cost(metres), b.cost(metres)) else {
        return unknown(SubstitutionPoint::Price, "the price");
    };
    let detail = format!("{was} against {is}");
    let (was, is) = (was.get(), is.get());
    let change = if was > 0.0 { is / was - 1.0 } else { 0.0 };
    let likeness = match change.abs() {
        c if c <= 0.05 => Likeness::Same,
        c if c <= 0.20 => Likeness::Near,
        _ => Likeness::Differs,
    };
    let consequences = if likeness == Likeness::Same {
        Vec::new()
    } else {
        let side = if is > was { "more" } else { "less" };
        vec![format!("the piece costs {:.2} {side}", (is - was).abs())]
    };
    // Cheaper is no fault.
    point(SubstitutionPoint::Price, likeness, 1.0 - change.max(0.0), detail, consequences)
}
