//! `huegauge sets`: the best sets among the shades there are, as JSON.

use std::io::Write;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use serde::Serialize;

use super::args::{OptionHelp, value, value_by};
use super::colour_json::{ColourOut, ShadeOut};
use super::error::CommandError;
use super::print;
use super::shades::{self, CostOut, Shades, SourceOut, Wanted, colours_value};
use crate::app::timed_search::{Come, SearchTime, TimedSets, search_for};
use crate::colour::{Colour, SetQuality, Vision};
use crate::export::json::{self, finely_rounded, rounded};
use crate::knit::pieces::PiecesYarn;
use crate::plain_text::quoted;
use crate::yarn::best_sets::{SetError, SetParts, SetRequest, SetWeights, ShadeSet};
use crate::yarn::{SetCost, ShadeCard};

/// The options of the command, beside those that narrow the shades down.
pub(super) const OPTIONS: &[OptionHelp] = &[
    OptionHelp { name: "count", value: "K", help: "shades in a set, 2 to 5 (3)" },
    OptionHelp { name: "best", value: "N", help: "how many sets, 1 to 100 (20)" },
    OptionHelp {
        name: "weigh",
        value: "PART=W",
        help: "how much a part counts, 0 or more; parts: template, value, vision, wish, price, on-hand",
    },
    OptionHelp {
        name: "wish",
        value: "'#RRGGBB,...'",
        help: "colours to come near to; weighs 1 unless told otherwise",
    },
    OptionHelp {
        name: "pin",
        value: "SHADE",
        help: "a shade every set must have, by name or code; may be given often",
    },
    OptionHelp { name: "forbid", value: "SHADE", help: "a shade no set may have; may be given often" },
    OptionHelp {
        name: "seconds",
        value: "N",
        help: "how long to search at most, 1 to 86400 (60); then the best so far is printed",
    },
];

/// Seconds between two lines that say how far the search has come.
const BETWEEN_LINES: u64 = 2;

/// What the command is asked for.
struct SetsJob {
    file: PathBuf,
    count: usize,
    best: usize,
    weights: SetWeights,
    wish_weight: Option<f64>,
    wish: Vec<Colour>,
    pinned: Vec<String>,
    forbidden: Vec<String>,
    time: SearchTime,
    wanted: Wanted,
}

/// Searches and prints.
pub(super) fn run(args: lexopt::Parser) -> Result<(), CommandError> {
    let job = job_asked(args)?;
    let shades = Shades::open(&job.file)?;
    let allowed = shades.wanted(&job.wanted)?;
    let named = |option: &str, names: &[String]| -> Result<Vec<usize>, CommandError> {
        names.iter().map(|name| shades.named(option, name, &job.wanted)).collect()
    };
    let considered = allowed.len();
    let request = SetRequest {
        weights: job.weights(),
        wish: job.wish.clone(),
        pinned: named("--pin", &job.pinned)?,
        forbidden: named("--forbid", &job.forbidden)?,
        ..SetRequest::new(job.count, job.best, allowed)
    };
    if let Some(both) = request.pinned.iter().find(|place| request.forbidden.contains(place)) {
        let name = &shades.card.shades()[*both].name;
        return Err(CommandError::Entry(format!(
            "'{}' is both pinned and forbidden: choose one",
            quoted(name)
        )));
    }
    let TimedSets { found, come, .. } = search(&shades.card, &request, job.time)?;
    let yarn = shades.yarn();
    let out = SetsOut {
        source: shades.source_out(&job.wanted, considered),
        shades_in_a_set: request.size,
        weights: PartsOut::weights(request.weights),
        wish: request.wish.iter().map(|colour| ColourOut::new(*colour)).collect(),
        search: SearchOut {
            complete: found.complete,
            decided_percent: rounded(100.0 * come.decided),
            others_score_at_most: found.open.map(|open| finely_rounded(open.min(1.0))),
            certain_sets: found.certain(),
        },
        balls_for: if yarn.is_some() { "pieces" } else { "one_ball_each" },
        sets: found
            .sets
            .iter()
            .enumerate()
            .map(|(i, set)| SetOut::new(i + 1, set, &shades, yarn.as_ref()))
            .collect(),
    };
    print(&(json::text(&out).map_err(CommandError::Figures)? + "\n"))
}

/// Searches until all is decided or the time is up, and says on standard error how far it has come.
fn search(card: &ShadeCard, request: &SetRequest, limit: SearchTime) -> Result<TimedSets, SetError> {
    let lines = AtomicU64::new(0);
    let follow = |come: Come| {
        let due = come.taken.as_secs() / BETWEEN_LINES;
        if lines.swap(due, Ordering::Relaxed) < due {
            let (seconds, of, percent) = (come.taken.as_secs(), limit.seconds(), 100.0 * come.decided);
            let line = format!("huegauge: {seconds} s of {of}, {percent:.1} % of all sets decided");
            // Nobody is left to tell when even this fails.
            let _ = writeln!(std::io::stderr(), "{line}");
        }
    };
    search_for(card, request, (&|| limit, &AtomicBool::new(false)), &follow, &|_| {})
}

impl SetsJob {
    /// A wish that is named counts, unless its weight is named too.
    fn weights(&self) -> SetWeights {
        let usual = if self.wish.is_empty() { 0.0 } else { 1.0 };
        SetWeights { wish: self.wish_weight.unwrap_or(usual), ..self.weights }
    }

    fn weigh(&mut self, text: &str) -> Result<(), CommandError> {
        let wrong = || {
            CommandError::Entry(format!(
                "--weigh needs PART=WEIGHT after it, like value=2 (parts: template, value, vision, wish, price, \
                 on-hand), not '{}'",
                quoted(text)
            ))
        };
        let (part, weight) = text.split_once('=').ok_or_else(wrong)?;
        let weight: f64 = weight.trim().parse().map_err(|_| wrong())?;
        match part.trim() {
            "template" => self.weights.template = weight,
            "value" => self.weights.value = weight,
            "vision" => self.weights.vision = weight,
            "wish" => self.wish_weight = Some(weight),
            "price" => self.weights.price = weight,
            "on-hand" | "owned" => self.weights.owned = weight,
            _ => return Err(wrong()),
        }
        Ok(())
    }
}

fn job_asked(args: lexopt::Parser) -> Result<SetsJob, CommandError> {
    let mut job = SetsJob {
        file: PathBuf::new(),
        count: 3,
        best: 20,
        weights: SetWeights::default(),
        wish_weight: None,
        wish: Vec::new(),
        pinned: Vec::new(),
        forbidden: Vec::new(),
        time: SearchTime::default(),
        wanted: Wanted::default(),
    };
    let mut wanted = Wanted::default();
    let missing = "sets needs shades: huegauge sets CARD --count 3";
    job.file = shades::read_args(args, &mut wanted, (OPTIONS, missing), |option, args| {
        match option {
            "count" => job.count = value(args, "--count", "a whole number from 2 to 5")?,
            "best" => job.best = value(args, "--best", "a whole number from 1 to 100")?,
            "weigh" => {
                let text: String = value(args, "--weigh", "PART=WEIGHT")?;
                job.weigh(&text)?;
            }
            "wish" => job.wish.extend(colours_value(args, "--wish")?),
            "pin" => job.pinned.push(value(args, "--pin", "a shade's name or code")?),
            "forbid" => job.forbidden.push(value(args, "--forbid", "a shade's name or code")?),
            "seconds" => {
                let found = |text: &str| text.parse().ok().and_then(SearchTime::of_seconds);
                job.time = value_by(args, "--seconds", "a whole number from 1 to 86400", found)?;
            }
            _ => return Ok(false),
        }
        Ok(true)
    })?;
    job.wanted = wanted;
    Ok(job)
}

#[derive(Serialize)]
struct SetsOut<'a> {
    source: SourceOut<'a>,
    shades_in_a_set: usize,
    weights: PartsOut,
    wish: Vec<ColourOut>,
    search: SearchOut,
    /// What balls are counted for: the project's pieces in these shades, dealt by area, or one ball each.
    balls_for: &'static str,
    /// The best first. No score predicts taste.
    sets: Vec<SetOut<'a>>,
}

/// How far the search came, and how sure its answer is.
#[derive(Serialize)]
struct SearchOut {
    /// Whether every set was looked at or ruled out.
    complete: bool,
    decided_percent: f64,
    /// What a set that was not looked at may score at most; absent when there is none.
    others_score_at_most: Option<f64>,
    /// So many of the sets below, from the first, are the best for certain.
    certain_sets: usize,
}

#[derive(Serialize)]
struct SetOut<'a> {
    rank: usize,
    /// Weighted mean of the parts, `0..=1`.
    score: f64,
    /// Each `0..=1`, better when larger.
    parts: PartsOut,
    shades: Vec<ShadeOut<'a>>,
    /// What each shade takes of the project's yarn, the high figure, which the balls hold; absent without pieces.
    metres_high: Option<Vec<f64>>,
    quality: QualityOut,
    cost: CostOut<'a>,
}

/// A figure for each part of a score.
#[derive(Serialize)]
struct PartsOut {
    template: f64,
    value: f64,
    vision: f64,
    wish: f64,
    price: f64,
    owned: f64,
}

#[derive(Serialize)]
struct QualityOut {
    /// Absent when all are greys.
    hue_template: Option<TemplateOut>,
    pair_harmony_mean: f64,
    pair_harmony_min: f64,
    difference_min_ciede2000: f64,
    lstar_range: f64,
    lstar_difference_min: f64,
    seen_difference_min_ciede2000: SeenOut,
}

#[derive(Serialize)]
struct TemplateOut {
    name: &'static str,
    rotation_degrees: f64,
    distance_degrees: f64,
}

#[derive(Serialize)]
struct SeenOut {
    protan: f64,
    deutan: f64,
    tritan: f64,
}

impl<'a> SetOut<'a> {
    fn new(rank: usize, set: &ShadeSet, shades: &'a Shades, yarn: Option<&PiecesYarn>) -> Self {
        let colours: Vec<Colour> =
            set.shades.iter().map(|place| shades.card.shades()[*place].colour).collect();
        let metres = shades.project.as_ref().zip(yarn);
        let metres = metres.map(|(project, yarn)| project.metres_by_area(yarn, &colours));
        let taken = set.shades.iter().enumerate();
        let cost = SetCost::of(
            &shades.card,
            taken.map(|(i, place)| (*place, metres.as_ref().and_then(|metres| metres.get(i).copied()))),
        );
        Self {
            rank,
            score: finely_rounded(set.score),
            parts: PartsOut::new(set.parts),
            shades: set.shades.iter().map(|place| shades.shade_out(*place)).collect(),
            metres_high: metres.map(|metres| metres.into_iter().map(rounded).collect()),
            quality: QualityOut::new(&set.quality),
            cost: shades.cost_out(&cost),
        }
    }
}

impl PartsOut {
    const fn weights(weights: SetWeights) -> Self {
        let SetWeights { template, value, vision, wish, price, owned } = weights;
        Self { template, value, vision, wish, price, owned }
    }

    fn new(parts: SetParts) -> Self {
        Self {
            template: finely_rounded(parts.template),
            value: finely_rounded(parts.value),
            vision: finely_rounded(parts.vision),
            wish: finely_rounded(parts.wish),
            price: finely_rounded(parts.price),
            owned: finely_rounded(parts.owned),
        }
    }
}

impl QualityOut {
    fn new(quality: &SetQuality) -> Self {
        let seen = |vision: Vision| {
            let eye = Vision::DEFICIENT.iter().position(|other| *other == vision);
            eye.map_or(0.0, |eye| rounded(quality.seen_min[eye]))
        };
        Self {
            hue_template: quality.template.map(|fit| TemplateOut {
                name: fit.template.name(),
                rotation_degrees: rounded(fit.rotation),
                distance_degrees: rounded(fit.distance),
            }),
            pair_harmony_mean: rounded(quality.harmony_mean),
            pair_harmony_min: rounded(quality.harmony_min),
            difference_min_ciede2000: rounded(quality.difference_min),
            lstar_range: rounded(quality.lstar_range),
            lstar_difference_min: rounded(quality.lstar_min),
            seen_difference_min_ciede2000: SeenOut {
                protan: seen(Vision::Protan),
                deutan: seen(Vision::Deutan),
                tritan: seen(Vision::Tritan),
            },
        }
    }
}
