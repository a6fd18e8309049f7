//! Fibres and blends in the order in which they answer the needs, with the reasons in words.

use super::blend::Blend;
use super::fibre::Fibre;
use super::figure::{Figure, Property, number};
use super::need_rules::{Line, Need, Rule};
use super::needs::Needs;
use super::suitability::{NeedScore, Term, total};

/// A fibre or blend with its place among the others and the reasons for it.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranked {
    /// What it is made of.
    pub blend: Blend,
    /// `0..=1`; the weighted geometric mean of the needs.
    pub score: f64,
    /// The five needs, each with its terms and figures.
    pub needs: Vec<NeedScore>,
    /// What speaks for it, weightiest first.
    pub in_favour: Vec<Reason>,
    /// What speaks against it, weightiest first.
    pub against: Vec<Reason>,
    /// Figures that would count but are not known, and were taken as middling.
    pub unknown: Vec<Property>,
}

/// Why something speaks for or against a fibre.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reason {
    /// The need it belongs to; `None` when it belongs to none of them.
    pub need: Option<Need>,
    /// A sentence without full stop, with the figure in it where there is one.
    pub text: String,
}

/// What would come first if one answer were different.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// The answer in words, to follow "if": `it were washed by hand`.
    pub condition: String,
    /// What would come first then.
    pub first: Blend,
}

/// A term from this score up speaks for a fibre.
const GOOD: f64 = 0.8;
/// A term up to this score speaks against it.
const BAD: f64 = 0.45;
/// A grade from here up, in the direction that is wanted, is more than middling: only then do its words
/// speak for a fibre, however little the piece asks.
const MORE_THAN_MIDDLING: f64 = 0.6;

/// All candidates, best first. One that is hardly sold by itself comes after those that are.
pub fn rank(needs: Needs, candidates: &[Blend]) -> Vec<Ranked> {
    let mut order: Vec<(f64, &Blend)> = candidates.iter().map(|blend| (total(needs, blend), blend)).collect();
    order.sort_by(|a, b| {
        (hardly_sold(a.1), b.0).partial_cmp(&(hardly_sold(b.1), a.0)).unwrap_or(std::cmp::Ordering::Equal)
    });
    order.into_iter().map(|(_, blend)| appraise(needs, blend)).collect()
}

/// The single answers that would put something else first, in the order of the questions.
pub fn what_would_change(needs: Needs, candidates: &[Blend]) -> Vec<Change> {
    let Some(now) = first(needs, candidates) else { return Vec::new() };
    let changes = needs.with_one_change().into_iter();
    changes
        .filter_map(|(condition, other)| Some(Change { condition, first: first(other, candidates)?.clone() }))
        .filter(|change| change.first != *now)
        .collect()
}

fn hardly_sold(blend: &Blend) -> bool {
    matches!(blend.parts(), [(fibre, _)] if fibre.facts().only_in_blends)
}

fn first(needs: Needs, candidates: &[Blend]) -> Option<&Blend> {
    let score = |blend: &Blend| total(needs, blend) - if hardly_sold(blend) { 1.0 } else { 0.0 };
    candidates.iter().rev().max_by(|a, b| score(a).total_cmp(&score(b)))
}

/// One fibre or blend judged by the needs, in full.
pub fn appraise(needs: Needs, blend: &Blend) -> Ranked {
    let scores: Vec<NeedScore> = Need::ALL.iter().map(|need| need.explain(needs, blend)).collect();
    let mut reasons: Vec<(f64, bool, Property, Reason)> = Vec::new();
    let mut unknown = Vec::new();
    for part in &scores {
        let all: f64 = part.terms.iter().map(|term| term.rule.weight).sum();
        for term in &part.terms {
            match (&term.figure, term.score) {
                (Some(figure), Some(score)) if score >= GOOD || score <= BAD => {
                    let force = part.weight * term.rule.weight / all * (score - 0.5).abs();
                    let good = score >= GOOD;
                    if let Some(text) = reason(blend, term.rule, figure, good) {
                        let reason = Reason { need: Some(part.need), text };
                        reasons.push((force, good, term.rule.property, reason));
                    }
                }
                (Some(_), Some(_)) => {}
                _ if applies(blend, term) && !unknown.contains(&term.rule.property) => {
                    unknown.push(term.rule.property);
                }
                _ => {}
            }
        }
    }
    reasons.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut in_favour = Vec::new();
    let mut against = Vec::new();
    if hardly_sold(blend) {
        let text = "Hardly sold by itself as knitting yarn: look for it in a blend".to_owned();
        against.push(Reason { need: None, text });
    }
    // A figure that one need wants and another does not speaks where it weighs more, never on both sides.
    let mut said: Vec<(Property, bool)> = Vec::new();
    for (_, good, property, sentence) in reasons {
        if said.contains(&(property, !good)) {
            continue;
        }
        said.push((property, good));
        let list = if good { &mut in_favour } else { &mut against };
        if !list.contains(&sentence) {
            list.push(sentence);
        }
    }
    Ranked { blend: blend.clone(), score: total(needs, blend), needs: scores, in_favour, against, unknown }
}

/// Whether a missing figure is a gap in what is known, and not a question that does not arise.
fn applies(blend: &Blend, term: &Term) -> bool {
    term.rule.property != Property::Diameter || blend.parts().iter().any(|(fibre, _)| *fibre == Fibre::Other)
}

/// Whether a grade is more than middling in the direction that the rule wants.
fn more_than_middling(rule: Rule, grade: f64) -> bool {
    match rule.line {
        Line::Ramp { zero, one } if one < zero => 1.0 - grade >= MORE_THAN_MIDDLING,
        Line::Ramp { .. } => grade >= MORE_THAN_MIDDLING,
        // Neither end is wanted: near the target is good.
        Line::Near { .. } => true,
    }
}

/// One reason in words; `None` where the words of a middling grade would contradict what they speak for.
fn reason(blend: &Blend, rule: Rule, figure: &Figure, good: bool) -> Option<String> {
    if figure.property.is_grade() {
        return grade_reason(blend, rule, figure, good);
    }
    let value = figure.text();
    Some(match (figure.property, good) {
        (Property::WorkOfRupture, true) => format!("Tough enough here: it takes {value} to break it"),
        (Property::WorkOfRupture, false) => format!("Breaks with little work: {value}"),
        (Property::MoistureRegain | Property::AgreedAllowance, true) => {
            format!("Breathes: takes up moisture, {value}")
        }
        (Property::MoistureRegain | Property::AgreedAllowance, false) => {
            format!("Breathes little: takes up only {value} in moisture")
        }
        (Property::Diameter, true) => format!("Fine hairs: {value}"),
        (Property::Diameter, false) => format!("Coarse hairs may prickle: {value}"),
        (Property::WetStrength, true) => format!("Keeps its strength when wet: {value}"),
        (Property::WetStrength, false) => format!("Weak when wet: {value}"),
        (property, true) => format!("{}: {value}", property.name()),
        (property, false) => format!("{}: only {value}", property.name()),
    })
}

/// The reason of the part that does most for or against the blend.
fn grade_reason(blend: &Blend, rule: Rule, whole: &Figure, good: bool) -> Option<String> {
    let pull = |(fibre, percent): &(Fibre, f64)| {
        let figure = fibre.figure(rule.property)?;
        let score = rule.line.at(figure.mid());
        let force = blend.say(rule.property, *fibre) * if good { score } else { 1.0 - score };
        Some((force, *fibre, *percent, figure))
    };
    let strongest = blend.parts().iter().filter_map(pull).max_by(|a, b| a.0.total_cmp(&b.0));
    let (_, fibre, percent, figure) = strongest?;
    if good && !(more_than_middling(rule, whole.mid()) && more_than_middling(rule, figure.mid())) {
        return None;
    }
    Some(match blend.parts() {
        [_] => capitalised(&figure.note),
        _ => format!("{} ({} %): {}", fibre.name(), number(percent), figure.note),
    })
}

fn capitalised(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::yarn::{Climate, PieceKind, Stitches, Washing, Wearer};

    fn first_name(needs: Needs) -> String {
        let candidates = Blend::common();
        let ranked = rank(needs, &candidates);
        assert_eq!(Some(&ranked[0].blend), first(needs, &candidates));
        ranked[0].blend.name()
    }

    #[test]
    fn the_order_is_that_of_the_scores_and_reinforcement_fibre_comes_last() {
        let ranked = rank(Needs::preset(PieceKind::CushionAndDecor), &Blend::common());
        let first_blended = ranked.iter().position(|ranked| hardly_sold(&ranked.blend)).unwrap();
        let (others, reinforcing) = ranked.split_at(first_blended);
        assert!(reinforcing.iter().any(|ranked| ranked.blend == Blend::pure(Fibre::Nylon)));
        for ranked in reinforcing {
            assert!(hardly_sold(&ranked.blend), "{}", ranked.blend.name());
            assert!(ranked.against[0].text.contains("blend"));
        }
        assert!(others.windows(2).all(|pair| pair[0].score >= pair[1].score));
    }

    // Common practice, no published source.
    #[test]
    fn a_wool_nylon_blend_leads_for_socks_however_they_are_washed() {
        let socks = Needs::preset(PieceKind::Socks);
        assert_eq!(first_name(socks), "75 % superwash wool, 25 % nylon");
        assert_eq!(first_name(Needs { washing: Washing::Hand, ..socks }), "75 % wool, 25 % nylon");
    }

    // Common practice, no published source.
    #[test]
    fn mohair_is_not_first_for_cables_and_the_reason_is_its_halo() {
        let sweater = Needs::preset(PieceKind::Sweater);
        let cables = Needs { stitches: Stitches::CablesAndTwisted, ..sweater };
        assert!(!first_name(cables).contains("ohair"));
        let mohair = appraise(cables, &Blend::pure(Fibre::Mohair));
        assert!(mohair.against.iter().any(|reason| reason.text.contains("halo")), "{:?}", mohair.against);
    }

    // Common practice, no published source.
    #[test]
    fn plant_fibre_leads_in_the_heat_and_on_the_towel_rail() {
        let sweater = Needs::preset(PieceKind::Sweater);
        assert!(first_name(Needs { climate: Climate::Hot, ..sweater }).contains("otton"));
        assert!(first_name(Needs::preset(PieceKind::TowelOrCoaster)).contains("otton"));
    }

    #[test]
    fn acrylic_is_said_to_breathe_little_for_someone_who_runs_warm() {
        let needs = Needs { wearer: Wearer::RunsWarm, ..Needs::preset(PieceKind::Sweater) };
        let acrylic = appraise(needs, &Blend::pure(Fibre::Acrylic));
        assert!(
            acrylic
                .against
                .iter()
                .any(|r| r.text == "Breathes little: takes up only 1 to 2 % of dry mass in moisture")
        );
    }

    #[test]
    fn reasons_never_contradict_each_other_or_what_they_speak_for() {
        let gentle = Needs { wear: crate::yarn::Wear::Gentle, ..Needs::preset(PieceKind::Shawl) };
        let wool = appraise(gentle, &Blend::pure(Fibre::Wool));
        assert!(wool.in_favour.iter().all(|r| !r.text.starts_with("Middling wear")), "{:?}", wool.in_favour);
        for piece in PieceKind::ALL.iter().copied() {
            for (_, needs) in Needs::preset(piece).with_one_change() {
                for blend in Blend::common() {
                    let ranked = appraise(needs, &blend);
                    for reason in &ranked.in_favour {
                        assert!(
                            !reason.text.to_lowercase().contains("middling"),
                            "{}: {reason:?}",
                            blend.name()
                        );
                        assert!(!ranked.against.iter().any(|r| r.text == reason.text), "{reason:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn what_would_change_names_answers_that_really_change_the_first() {
        let needs = Needs::preset(PieceKind::Socks);
        let candidates = Blend::common();
        let changes = what_would_change(needs, &candidates);
        let by_hand = changes.iter().find(|change| change.condition == "it were washed by hand").unwrap();
        assert_eq!(by_hand.first.name(), "75 % wool, 25 % nylon");
        assert!(changes.iter().all(|change| change.first.name() != first_name(needs)));
    }

    #[test]
    fn gaps_in_the_figures_are_listed() {
        let qiviut = appraise(Needs::preset(PieceKind::Hat), &Blend::pure(Fibre::Qiviut));
        assert!(qiviut.unknown.contains(&Property::MoistureRegain));
        assert!(qiviut.unknown.contains(&Property::Recovery5));
        let cotton = appraise(Needs::preset(PieceKind::Hat), &Blend::pure(Fibre::Cotton));
        assert!(!cotton.unknown.contains(&Property::Diameter), "prickle is no question for cotton");
    }

    #[test]
    fn prickle_is_judged_by_the_hairs_of_a_blend() {
        let half =
            appraise(Needs::preset(PieceKind::Sweater), &Blend::parse("50 % cotton, 50 % merino").unwrap());
        let terms = half.needs.iter().flat_map(|need| &need.terms);
        let diameter = terms.clone().find(|term| term.rule.property == Property::Diameter).unwrap();
        let figure = diameter.figure.as_ref().unwrap();
        assert_eq!((figure.low, figure.high), (15.6, 23.0));
    }

    #[test]
    fn reasons_of_a_blend_name_the_part_they_come_from() {
        let blend = Blend::parse("75 % superwash, 25 % nylon").unwrap();
        let ranked = appraise(Needs::preset(PieceKind::Socks), &blend);
        assert!(
            ranked.in_favour.iter().any(|r| r.text.starts_with("Nylon (25 %): the hardest")),
            "{ranked:?}"
        );
        let blend = Blend::parse("75 % wool, 25 % nylon").unwrap();
        let ranked = appraise(Needs { washing: Washing::Machine, ..Needs::preset(PieceKind::Socks) }, &blend);
        assert!(
            ranked.against.iter().any(|r| r.text.starts_with("Wool (75 %): felts in a machine")),
            "{ranked:?}"
        );
    }

    #[test]
    fn no_candidates_are_no_trouble() {
        let needs = Needs::preset(PieceKind::Own);
        assert!(rank(needs, &[]).is_empty() && what_would_change(needs, &[]).is_empty());
    }
}
