//! The best sets of shades on a card.
//!
//! A set is scored in six parts, each `0..=1`, and its score is their weighted mean. The parts are
//! shown with it: no score predicts taste. The search is exact: it leaves out only sets whose upper
//! bound shows that they cannot be among the best (branch and bound), and of equal ones it names which
//! come first, so its answer does not depend on the number of processors. Where it is stopped, it says
//! what the sets that it did not come to may score at most.

mod bounds;
mod families;
mod hue_bound;
mod pool;
mod scorer;
mod search;
#[cfg(test)]
mod tests;
mod within;

use super::shade_card::ShadeCard;
use crate::colour::template::Template;
use crate::colour::{Colour, SetQuality};
use pool::Pool;
use scorer::Scorer;
use std::sync::atomic::AtomicBool;
use thiserror::Error;

/// Most shades that are searched at once.
pub const MAX_SEARCHED: usize = 1_000;
/// Most colours of a wish.
pub const MAX_WISH: usize = 8;
/// Most sets that are asked for.
pub const MAX_BEST: usize = 100;

/// Why no sets can be looked for.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum SetError {
    /// A set of fewer than 2 or more than 5.
    #[error("a set has 2 to 5 shades, not {0}")]
    Size(usize),
    /// No sets, or too many, asked for.
    #[error("ask for 1 to {MAX_BEST} sets, not {0}")]
    Best(usize),
    /// A wish of too many colours.
    #[error("a wish has at most {MAX_WISH} colours, not {0}")]
    Wish(usize),
    /// Nothing is weighed.
    #[error(
        "nothing is weighed: give at least one part a weight above 0 (closeness needs a wish, price needs prices)"
    )]
    NoWeight,
    /// A weight that is none.
    #[error("a weight must be 0 or more")]
    Weight,
    /// More shades pinned than fit.
    #[error("{pinned} shades are pinned but a set has {size}: pin fewer")]
    Pinned {
        /// Shades pinned.
        pinned: usize,
        /// Shades in a set.
        size: usize,
    },
    /// A pinned or allowed shade that is not on the card.
    #[error("there is no shade {0} on the card")]
    NoShade(usize),
    /// Not enough shades left.
    #[error("only {shades} shades may be used for sets of {size}: allow more")]
    TooFew {
        /// Shades that may be used.
        shades: usize,
        /// Shades in a set.
        size: usize,
    },
    /// More shades than are searched.
    #[error("{0} shades are too many to search: filter the card to at most {MAX_SEARCHED}")]
    TooMany(usize),
}

/// How much each part counts; 0 leaves it out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SetWeights {
    /// Keeping to a hue template.
    pub template: f64,
    /// Separation of value.
    pub value: f64,
    /// Difference, also under each colour-vision type.
    pub vision: f64,
    /// Closeness to the wish.
    pub wish: f64,
    /// A low price.
    pub price: f64,
    /// Shades already owned.
    pub owned: f64,
}

impl Default for SetWeights {
    /// Hue and value alike, difference under colour-vision types half as much (our judgement).
    fn default() -> Self {
        Self { template: 1.0, value: 1.0, vision: 0.5, wish: 0.0, price: 0.0, owned: 0.0 }
    }
}

/// What sets are wanted. Shades are named by their place on the card.
#[derive(Clone, Debug, PartialEq)]
pub struct SetRequest {
    /// Shades in a set, `2..=5`.
    pub size: usize,
    /// How many sets, `1..=100`.
    pub best: usize,
    /// What counts.
    pub weights: SetWeights,
    /// The hue templates a set may keep to.
    pub templates: Vec<Template>,
    /// Colours wished for, at most [`MAX_WISH`]; each is met by the nearest shade of the set.
    pub wish: Vec<Colour>,
    /// Shades that may be used.
    pub allowed: Vec<usize>,
    /// Shades every set must have, whether allowed or not.
    pub pinned: Vec<usize>,
    /// Shades no set may have.
    pub forbidden: Vec<usize>,
}

impl SetRequest {
    /// The templates that say something: not the half circle and the opposite wide sectors, which
    /// hold almost anything.
    pub const TELLING_TEMPLATES: [Template; 6] =
        [Template::NarrowI, Template::I, Template::V, Template::L, Template::MirroredL, Template::Y];

    /// Sets of `size` from the shades at these places, weighed as usual.
    pub fn new(size: usize, best: usize, allowed: Vec<usize>) -> Self {
        Self {
            size,
            best,
            weights: SetWeights::default(),
            templates: Self::TELLING_TEMPLATES.to_vec(),
            wish: Vec::new(),
            allowed,
            pinned: Vec::new(),
            forbidden: Vec::new(),
        }
    }
}

/// The parts of a score, each `0..=1` and better when larger. A part that has no meaning here (no
/// wish, no prices) is 0 and does not count.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SetParts {
    /// exp(-d / 15) of the distance d in degrees from the nearest wanted hue template.
    pub template: f64,
    /// 1 - exp(-d / 15) of the least difference d of L\*.
    pub value: f64,
    /// 1 - exp(-d / 15) of the least CIEDE2000 d, as everyone and each colour-vision type sees it.
    pub vision: f64,
    /// Mean over the wish of exp(-d / 10), d the CIEDE2000 to the nearest shade of the set.
    pub wish: f64,
    /// 1 - mean price of 100 m over the dearest on the card; owned shades cost nothing, and one
    /// without a price counts as the dearest.
    pub price: f64,
    /// Share of the shades that are owned.
    pub owned: f64,
}

/// A set of shades and how it scores.
#[derive(Clone, Debug, PartialEq)]
pub struct ShadeSet {
    /// Places on the card, rising.
    pub shades: Vec<usize>,
    /// Weighted mean of the parts, `0..=1`, in steps of 0.00001.
    pub score: f64,
    /// Its parts.
    pub parts: SetParts,
    /// The figures behind them.
    pub quality: SetQuality,
}

/// What a search found.
#[derive(Clone, Debug, PartialEq)]
pub struct BestSets {
    /// The best different sets, best first (see [`best_sets`]).
    pub sets: Vec<ShadeSet>,
    /// Whether the search went to its end; otherwise these are the best so far.
    pub complete: bool,
    /// What a set that was not looked at may score at most; `None` when the search went to its end. The
    /// sets found that score as much or more are among the best for certain.
    pub open: Option<f64>,
}

impl BestSets {
    /// How many of the sets, from the first, are certain: no set that was not looked at scores more.
    pub fn certain(&self) -> usize {
        let open = self.open.unwrap_or(f64::NEG_INFINITY);
        self.sets.iter().take_while(|set| set.score >= open).count()
    }
}

/// Looks for the best different sets.
///
/// Different means: shades nearer than 5 CIEDE2000 ("similar") are one family, and of sets with the
/// same families only the best counts. From the best of those (25 for each set asked for) the first
/// is taken, then the next one that shares at most all but two families with every set taken before
/// (pinned shades not counted; all but one when only two shades are free). When that leaves too
/// few, the best of those left out follow.
///
/// `improved` is given better and better answers, the last of which is the result.
///
/// # Errors
/// [`SetError`] when the request cannot be met.
pub fn best_sets(
    card: &ShadeCard,
    request: &SetRequest,
    cancel: &AtomicBool,
    improved: &dyn Fn(&[ShadeSet]),
) -> Result<BestSets, SetError> {
    best_sets_followed(card, request, (cancel, &|_| {}), improved)
}

/// [`best_sets`] for an asker who wants to know how far it has come: `decided` is told the share of all
/// sets (`0..=1`, rising, from any thread) that were looked at or ruled out, first 0 when the shades are
/// prepared and the search begins.
///
/// # Errors
/// As [`best_sets`].
pub fn best_sets_followed(
    card: &ShadeCard,
    request: &SetRequest,
    (cancel, decided): (&AtomicBool, &(dyn Fn(f64) + Sync)),
    improved: &dyn Fn(&[ShadeSet]),
) -> Result<BestSets, SetError> {
    let (pinned, free) = candidates(card, request)?;
    let scorer = Scorer::new(card, request, &pinned, &free)?;
    let pool = Pool::new(request, pinned.len());
    let mut last = Vec::new();
    let ended = search::run(&scorer, pool, pinned.len(), (cancel, decided), &mut |pool| {
        let sets = pool.different();
        if sets != last {
            improved(&dressed(&scorer, &sets));
            last = sets;
        }
    });
    let search::Ended { pool, open } = ended;
    Ok(BestSets { sets: dressed(&scorer, &pool.different()), complete: open.is_none(), open })
}

fn dressed(scorer: &Scorer, sets: &[pool::Scored]) -> Vec<ShadeSet> {
    sets.iter().filter_map(|set| scorer.dressed(&set.members)).collect()
}

/// The pinned shades, and the others that may be used, each once and rising.
fn candidates(card: &ShadeCard, request: &SetRequest) -> Result<(Vec<usize>, Vec<usize>), SetError> {
    let SetRequest { size, best, .. } = *request;
    if !(2..=5).contains(&size) {
        return Err(SetError::Size(size));
    }
    if !(1..=MAX_BEST).contains(&best) {
        return Err(SetError::Best(best));
    }
    if request.wish.len() > MAX_WISH {
        return Err(SetError::Wish(request.wish.len()));
    }
    let listed = request.allowed.iter().chain(&request.pinned).chain(&request.forbidden);
    if let Some(missing) = listed.copied().find(|index| *index >= card.shades().len()) {
        return Err(SetError::NoShade(missing + 1));
    }
    let once = |list: &[usize]| {
        let mut list = list.to_vec();
        list.sort_unstable();
        list.dedup();
        list
    };
    let pinned = once(&request.pinned);
    if pinned.len() > size {
        return Err(SetError::Pinned { pinned: pinned.len(), size });
    }
    let mut free = once(&request.allowed);
    free.retain(|index| !pinned.contains(index) && !request.forbidden.contains(index));
    let shades = pinned.len() + free.len();
    if shades < size {
        return Err(SetError::TooFew { shades, size });
    }
    if shades > MAX_SEARCHED {
        return Err(SetError::TooMany(shades));
    }
    Ok((pinned, free))
}
