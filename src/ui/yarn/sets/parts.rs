//! The score of a set in parts: plain words, figures, where each comes from and what it cannot see.

use super::Target;
use super::deal::Dealt;
use crate::app::shelf::Search;
use crate::colour::extension::balanced_shares;
use crate::colour::template::{Fit, HOLDS, Template};
use crate::colour::{Colour, Likeness, SetQuality, ValueContrast};
use crate::plain_text::signed;
use crate::project::Project;
use crate::yarn::best_sets::ShadeSet;

/// One part of a score.
pub(super) struct ScorePart {
    /// What it looks at.
    pub title: &'static str,
    /// Its verdict in a word or two.
    pub word: String,
    /// `0..=1`; `None` for a hint that is not counted.
    pub score: Option<f64>,
    /// The figures behind it, in whole sentences.
    pub figures: String,
    /// Where it comes from and what it cannot see.
    pub source: &'static str,
}

/// The parts that count in this search, and the hints that never do.
pub(super) fn of(
    project: &Project,
    targets: &[Target],
    found: &Search,
    set: &ShadeSet,
    dealt: &Dealt,
) -> (Vec<ScorePart>, Vec<ScorePart>) {
    let weights = &found.ask.weights;
    let mut weighed = Vec::new();
    let mut counts = |weight: f64, part: ScorePart| {
        if weight > 0.0 {
            weighed.push(part);
        }
    };
    counts(weights.template, hue_template(set));
    counts(weights.value, value(&set.quality, set.parts.value));
    counts(weights.vision, all_eyes(&set.quality, set.parts.vision));
    counts(if found.ask.wish.is_empty() { 0.0 } else { weights.wish }, wish(set.parts.wish));
    counts(weights.price, price(set.parts.price));
    counts(weights.owned, owned(set));
    (weighed, vec![pair_harmony(&set.quality), extension(project, targets, found, dealt)])
}

const fn sectors(template: Template) -> &'static str {
    match template {
        Template::NarrowI => "one narrow sector",
        Template::I => "two opposite narrow sectors",
        Template::V => "one wide sector",
        Template::L | Template::MirroredL => "a narrow and a wide sector a quarter turn apart",
        Template::Y => "a wide sector and a narrow one opposite",
        Template::T => "half the circle",
        Template::X => "two opposite wide sectors",
    }
}

fn hue_template(set: &ShadeSet) -> ScorePart {
    // The scale of the score, turned round: 15 degrees lower it to 1/e.
    let off = 15.0 * (1.0 / set.parts.template.max(1e-9)).ln();
    let word = match off {
        off if off <= HOLDS => "kept",
        off if off <= 15.0 => "nearly kept",
        _ => "not kept",
    };
    let narrowest = set.quality.template.map_or_else(
        || "All shades are grey: any template holds them.".to_owned(),
        |Fit { template, rotation, distance }| {
            let held = if distance <= HOLDS { "The narrowest that holds" } else { "The nearest of all" };
            format!(
                "{held} is {} ({}), turned to {rotation:.0}°, {distance:.0}° off.",
                template.name(),
                sectors(template)
            )
        },
    );
    ScorePart {
        title: "Hue template",
        word: word.to_owned(),
        score: Some(set.parts.template),
        figures: format!("{off:.0}° off the nearest of the six narrower templates. {narrowest}"),
        source: "Templates of Matsuda 1995, sectors and distance after Cohen-Or et al. 2006 (ACM Trans. Graph. \
                 25:624), weighted by chroma. It looks at hue alone and fits good and bad values alike; the \
                 wide templates hold almost anything.",
    }
}

fn value(quality: &SetQuality, score: f64) -> ScorePart {
    ScorePart {
        title: "Value",
        word: ValueContrast::of(quality.lstar_min).name().to_lowercase(),
        score: Some(score),
        figures: format!(
            "The least difference is {:.0} L*; from the darkest to the lightest it is {:.0} L*.",
            quality.lstar_min, quality.lstar_range
        ),
        source: "CIE L* (D65). The words are our judgement, no study of knitted fabric backs them. Every pair \
                 counts, also one that never touches in the chart.",
    }
}

fn all_eyes(quality: &SetQuality, score: f64) -> ScorePart {
    let least = quality.seen_min.iter().fold(quality.difference_min, |least, seen| least.min(*seen));
    let word = match least {
        least if least <= 5.0 => "hard to tell apart",
        least if least <= 12.0 => "told apart close by",
        _ => "told apart",
    };
    let [protan, deutan, tritan] = quality.seen_min;
    ScorePart {
        title: "All eyes",
        word: word.to_owned(),
        score: Some(score),
        figures: format!(
            "Least CIEDE2000: {:.0} to usual eyes, protan {protan:.0}, deutan {deutan:.0}, tritan {tritan:.0}.",
            quality.difference_min
        ),
        source: "CIEDE2000 (CIE 142-2001) after Machado et al. 2009 for protan and deutan and Brettel et al. \
                 1997 for tritan eyes. They show a full lack of one kind of cone; most people see more than \
                 that. The words are our judgement.",
    }
}

fn wish(score: f64) -> ScorePart {
    // The scale of the score, turned round: 10 CIEDE2000 lower it to 1/e.
    let like = 10.0 * (1.0 / score.max(1e-9)).ln();
    ScorePart {
        title: "Near the wish",
        word: Likeness::of(like).name().to_lowercase(),
        score: Some(score),
        figures: format!(
            "As near as if every wished colour were {like:.1} CIEDE2000 from its nearest shade."
        ),
        source: "CIEDE2000 (CIE 142-2001) on a scale of our own. One shade may be the nearest to two colours.",
    }
}

fn price(score: f64) -> ScorePart {
    let word = match score {
        score if score >= 0.6 => "low",
        score if score >= 0.3 => "middling",
        _ => "high",
    };
    ScorePart {
        title: "Price",
        word: word.to_owned(),
        score: Some(score),
        figures: format!(
            "On average {:.0} % of the dearest shade here, by the price of 100 m.",
            (1.0 - score) * 100.0
        ),
        source: "Prices of the card. A shade on hand costs nothing, and one without a price counts as the \
                 dearest. The areas of the chart are not looked at; the sum above is what it costs.",
    }
}

fn owned(set: &ShadeSet) -> ScorePart {
    let all = set.shades.len();
    let count = (set.parts.owned * all as f64).round();
    ScorePart {
        title: "On hand",
        word: format!("{count:.0} of {all}"),
        score: Some(set.parts.owned),
        figures: format!("Of {count:.0} of its {all} shades there is a ball on hand."),
        source: "Stock of the card. Whether there are balls enough is not looked at here; the sum above is.",
    }
}

fn pair_harmony(quality: &SetQuality) -> ScorePart {
    let word = match quality.harmony_mean {
        mean if mean >= 0.3 => "harmonious",
        mean if mean >= 0.0 => "middling",
        _ => "restless",
    };
    ScorePart {
        title: "Pair harmony",
        word: word.to_owned(),
        score: None,
        figures: format!(
            "Mean over the pairs {}, least {}, on a scale of about −1 to 1.5.",
            signed(quality.harmony_mean, 2),
            signed(quality.harmony_min, 2)
        ),
        source: "Ou and Luo 2006 (Color Res. Appl. 31:191), formulas from memory. It comes from two even patches \
                 on a grey screen and rewards sameness: the best pair for it is nearly one colour twice.",
    }
}

/// Points by which a share may be off and still count as balanced (our judgement).
const BALANCED: f64 = 10.0;

fn extension(project: &Project, targets: &[Target], found: &Search, dealt: &Dealt) -> ScorePart {
    let card = &found.ask.shelved.card;
    let colours: Vec<Colour> = dealt.shades.iter().map(|place| card.shades()[*place].colour).collect();
    let balanced = balanced_shares(&colours);
    let area = |slot: usize| targets.iter().find(|target| target.slot == slot).map_or(0.0, |t| t.area);
    let with_hue = || dealt.slots.iter().zip(&balanced).filter_map(|(slot, share)| Some((*slot, (*share)?)));
    let total: f64 = with_hue().map(|(slot, _)| area(slot)).sum();
    let mut most_off: f64 = 0.0;
    let lines: Vec<String> = with_hue()
        .map(|(slot, share)| {
            let real = if total > 0.0 { area(slot) / total * 100.0 } else { 0.0 };
            most_off = most_off.max((real - share * 100.0).abs());
            let role = project.palette.slots().get(slot).map_or("", |slot| slot.role.name());
            format!("{role} {:.0} % (it has {real:.0} %)", share * 100.0)
        })
        .collect();
    let word = match lines.len() {
        0 | 1 => "says nothing here",
        _ if most_off <= BALANCED => "balanced",
        _ => "out of balance",
    };
    ScorePart {
        title: "Areas",
        word: word.to_owned(),
        score: None,
        figures: format!(
            "Areas that would balance the hues, in shares of the colours that have one: {}.",
            lines.join(", ")
        ),
        source: "The contrast of extension: Itten 1961 with Goethe's light values. They belong to pure hues; \
                 tints, tones and shades weigh otherwise, and no measurement backs them. Imbalance is often \
                 meant: a small loud accent.",
    }
}
