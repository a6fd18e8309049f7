//! How well a fibre or blend answers the five needs, in parts that can be shown and argued with.
//!
//! Each need is a 0 to 1 score: a weighted mean of terms. A term takes one figure of the fibre
//! and a straight line that says what counts as 0 and what as 1. The needs are joined by a
//! weighted geometric mean, so that one need badly missed is not made up for by the others.
//! The lines and weights are our judgement of common practice; the figures carry their sources.

use super::blend::Blend;
use super::figure::{Basis, Figure};
use super::need_rules::{Need, Rule};
use super::needs::Needs;

/// A term of a score: a rule applied to a blend.
#[derive(Clone, Debug, PartialEq)]
pub struct Term {
    /// The rule.
    pub rule: Rule,
    /// The figure with its source; `None` when it is unknown and the term counts as middling.
    pub figure: Option<Figure>,
    /// The score, `0..=1`; `None` with the figure.
    pub score: Option<f64>,
}

/// The score of one need.
#[derive(Clone, Debug, PartialEq)]
pub struct NeedScore {
    /// Which need.
    pub need: Need,
    /// How much it counts; 0 when this piece does not ask for it.
    pub weight: f64,
    /// `0..=1`. Rules without a figure count as a middling 0.5, so that what is not known is never the
    /// best; left out of the total when nothing is known.
    pub score: f64,
    /// The share of the terms' weight for which a figure is known, `0..=1`.
    pub known: f64,
    /// Where the score comes from.
    pub terms: Vec<Term>,
}

impl NeedScore {
    /// How firmly the score stands: as its weakest figure. The lines themselves are judgement.
    pub fn basis(&self) -> Basis {
        let figures = self.terms.iter().filter_map(|term| term.figure.as_ref());
        figures.map(|figure| figure.basis).max().unwrap_or(Basis::Judgement)
    }
}

impl Need {
    /// The score of a blend, with or without the words: (score, known share).
    pub(super) fn score(self, needs: Needs, blend: &Blend) -> (f64, f64) {
        let (mut sum, mut known, mut all) = (0.0, 0.0, 0.0);
        for rule in self.rules(needs) {
            all += rule.weight;
            if let Some((_, _, value)) = rule.subject(blend) {
                known += rule.weight;
                sum += rule.weight * rule.line.at(value);
            }
        }
        if known > 0.0 { ((sum + 0.5 * (all - known)) / all, known / all) } else { (0.5, 0.0) }
    }

    /// The score of a blend in full.
    pub fn explain(self, needs: Needs, blend: &Blend) -> NeedScore {
        let (score, known) = self.score(needs, blend);
        let term = |rule: Rule| {
            let subject = rule.subject(blend);
            Term {
                rule,
                score: subject.as_ref().map(|(_, _, value)| rule.line.at(*value)),
                figure: subject.and_then(|(property, part, _)| part.figure(property)),
            }
        };
        let terms = self.rules(needs).into_iter().map(term).collect();
        NeedScore { need: self, weight: self.weight(needs), score, known, terms }
    }
}

/// The lowest score of a need inside the geometric mean; keeps "unfit" apart from "impossible".
const FLOOR: f64 = 0.02;

/// The score of a blend for all needs, `0..=1`: the weighted geometric mean of the need scores.
/// A need of which nothing is known is left out; 0.5 when nothing is known at all.
pub fn total(needs: Needs, blend: &Blend) -> f64 {
    let (mut sum, mut weights) = (0.0, 0.0);
    for need in Need::ALL.iter().copied() {
        let (score, known) = need.score(needs, blend);
        if known > 0.0 {
            let weight = need.weight(needs);
            sum += weight * score.max(FLOOR).ln();
            weights += weight;
        }
    }
    if weights > 0.0 { f64::exp(sum / weights) } else { 0.5 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::yarn::{Fibre, PieceKind, Property};

    #[test]
    fn the_total_is_the_geometric_mean_of_the_parts_shown() {
        let needs = Needs::preset(PieceKind::Socks);
        let blend = Blend::parse("75 % wool, 25 % nylon").unwrap();
        let parts: Vec<NeedScore> = Need::ALL.iter().map(|need| need.explain(needs, &blend)).collect();
        let weights: f64 = parts.iter().map(|part| part.weight).sum();
        let product: f64 = parts.iter().map(|part| part.score.powf(part.weight / weights)).product();
        assert!((product - total(needs, &blend)).abs() < 1e-12);
        for part in &parts {
            let all: f64 = part.terms.iter().map(|t| t.rule.weight).sum();
            let sum: f64 = part.terms.iter().map(|t| t.score.unwrap_or(0.5) * t.rule.weight).sum();
            assert!((part.score - sum / all).abs() < 1e-12);
        }
    }

    #[test]
    fn an_unknown_fibre_is_middling_and_says_so() {
        let needs = Needs::preset(PieceKind::Sweater);
        let score = Need::Durability.explain(needs, &Blend::pure(Fibre::Other));
        assert_eq!((score.score, score.known), (0.5, 0.0));
        assert!(score.terms.iter().all(|term| term.figure.is_none()));
    }

    #[test]
    fn the_allowance_stands_in_where_no_regain_was_measured() {
        let needs = Needs::preset(PieceKind::Sweater);
        let score = Need::Warmth.explain(needs, &Blend::pure(Fibre::Alpaca));
        let figure = score.terms[1].figure.as_ref().unwrap();
        assert_eq!(figure.property, Property::AgreedAllowance);
    }
}
