//! One row, exactly: dynamic programming over its stitches.
//!
//! Walked stitch by stitch, all that matters of what lies behind is how many stitches ago each colour was
//! last used. Those numbers are the state; a stitch that takes a colour sets its number to nothing and
//! raises the others by one. Of all ways to a state the cheapest is kept.
//!
//! Of each way it is known what its rest costs at least ([`ahead`]); ways that cannot stay within a bound are not
//! followed. The bound begins at what the whole row costs at least and grows until a way is found, so that hardly
//! more is looked at than the answer asks for.
//!
//! - A flat row begins and ends free: a colour not used yet may begin, one out of reach has ended.
//! - A round must come back to the state it began in. Every state that can be is tried as the beginning,
//!   as long as it could stay within the bound.
//! - A symmetric row is walked from one axis to the other with each stitch counted as often as it lies
//!   there; a strand that crosses an axis is as long as twice its way to it.

mod ahead;

use self::ahead::Ahead;

/// What lies at an end of the walk.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Edge {
    /// The edge of a flat row: nothing beyond.
    Open,
    /// A mirror axis between two stitches.
    Between,
    /// A mirror axis through the stitch at the end.
    Through,
}

/// How the walk begins and ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ends {
    /// At the edges of a flat row.
    Flat,
    /// Where it began.
    Round,
    /// At these edges or axes.
    Folded(Edge, Edge),
}

/// What changes cost: stitches changed, stitches of a rarer colour painted over, squares of the floats.
type Cost = (u32, u32, u64);

/// A row as it is walked.
pub(super) struct Walk {
    /// The colour of each stitch, `0..colours`.
    stitches: Vec<u8>,
    /// How many stitches of the row it stands for.
    weights: Vec<u32>,
    ends: Ends,
    limit: u32,
    /// How often the row has each colour.
    counts: Vec<u32>,
}

/// States looked at for one row before it counts as too hard; some tenths of a second.
const MOST_STEPS: usize = 500_000;
/// Beginnings of a round from which it counts as too hard.
const MOST_BEGINNINGS: usize = 100_000;

impl Walk {
    /// The walk over the stitches of a row in this order.
    pub(super) fn new(row: &[u8], order: &[usize], ends: Ends, colours: usize, limit: u32) -> Self {
        let mut counts = vec![0; colours];
        for colour in row {
            counts[usize::from(*colour)] += 1;
        }
        let last = order.len().saturating_sub(1);
        let weight = |at: usize| match ends {
            Ends::Flat | Ends::Round => 1,
            Ends::Folded(Edge::Through, _) if at == 0 => 1,
            Ends::Folded(_, Edge::Through) if at == last => 1,
            Ends::Folded(..) => 2,
        };
        Self {
            stitches: order.iter().map(|at| row[*at]).collect(),
            weights: (0..order.len()).map(weight).collect(),
            ends,
            limit,
            counts,
        }
    }

    /// The colour the stitch has.
    fn colour(&self, at: usize) -> usize {
        usize::from(self.stitches[at])
    }

    /// Whether a colour may end before the row does.
    const fn may_end(&self) -> bool {
        matches!(self.ends, Ends::Flat | Ends::Folded(_, Edge::Open))
    }

    /// What it costs that the stitch takes this colour.
    fn price(&self, at: usize, colour: usize) -> (u32, u32) {
        let own = self.colour(at);
        let rarer = self.counts[own] < self.counts[colour];
        let weight = self.weights[at];
        if own == colour { (0, 0) } else { (weight, if rarer { weight } else { 0 }) }
    }

    /// The length of the strand of a colour first used at this place, as it comes in over the first end;
    /// `None` when it does not come from there.
    fn incoming(&self, at: usize) -> Option<u32> {
        match self.ends {
            Ends::Folded(first, _) => across(first, at as u32),
            Ends::Flat | Ends::Round => None,
        }
    }
}

/// The length of a strand across an axis that it reaches after `way` stitches (the one on the axis included).
const fn across(edge: Edge, way: u32) -> Option<u32> {
    match edge {
        Edge::Open => None,
        Edge::Between => Some(2 * way),
        Edge::Through => Some((2 * way).saturating_sub(1)),
    }
}

/// The states of all colours packed into one number.
#[derive(Clone, Copy)]
struct Packing {
    bits: u32,
    colours: usize,
    limit: u64,
}

impl Packing {
    /// `None` when the states do not fit.
    fn of(walk: &Walk) -> Option<Self> {
        let limit = u64::from(walk.limit);
        // The gaps 0 to the limit, "out of reach" and "not used yet".
        let bits = (limit + 2).ilog2() + 1;
        (walk.counts.len() as u32 * bits <= u64::BITS).then_some(Self {
            bits,
            colours: walk.counts.len(),
            limit,
        })
    }

    const fn out_of_reach(self) -> u64 {
        self.limit + 1
    }

    const fn unused(self) -> u64 {
        self.limit + 2
    }

    const fn gap(self, state: u64, colour: usize) -> u64 {
        (state >> (colour as u32 * self.bits)) & ((1 << self.bits) - 1)
    }

    fn pack(self, gaps: impl IntoIterator<Item = u64>) -> u64 {
        let place = |(colour, gap): (usize, u64)| gap << (colour as u32 * self.bits);
        gaps.into_iter().enumerate().map(place).fold(0, |all, one| all | one)
    }

    /// The gap of a colour after a stitch of another; `None` when a strand that must return is too long by
    /// then.
    const fn wider(self, gap: u64, may_end: bool) -> Option<u64> {
        if gap == self.unused() {
            Some(gap)
        } else if gap < self.limit {
            Some(gap + 1)
        } else if may_end {
            Some(self.out_of_reach())
        } else {
            None
        }
    }

    /// The state after a stitch of `colour`.
    fn after(self, state: u64, colour: usize, may_end: bool) -> Option<u64> {
        let mut next = 0;
        for other in 0..self.colours {
            let gap = if other == colour { 0 } else { self.wider(self.gap(state, other), may_end)? };
            next |= gap << (other as u32 * self.bits);
        }
        Some(next)
    }
}

/// A way to a state: what it cost, and the way before.
#[derive(Clone, Copy)]
struct Way {
    state: u64,
    cost: Cost,
    parent: u32,
    colour: u8,
}

/// The colours of the walk's stitches with the fewest changes; `None` when it is too hard.
pub(super) fn solve(walk: &Walk) -> Option<Vec<u8>> {
    let packing = Packing::of(walk)?;
    let begins = match walk.ends {
        Ends::Round => beginnings(walk, packing)?,
        Ends::Flat | Ends::Folded(..) => vec![packing.pack(vec![packing.unused(); packing.colours])],
    };
    let ahead = Ahead::of(walk, packing)?;
    // Each with the fewest changes it can do with, fewest first.
    let least = |begin: u64| Some((ahead.least(0, begin, begin)?, begin));
    let mut begins: Vec<(u32, u64)> = begins.into_iter().filter_map(least).collect();
    begins.sort_unstable();
    let (mut bound, _) = *begins.first()?;
    let mut steps = 0;
    loop {
        let mut best: Option<(Cost, Vec<u8>)> = None;
        for (least, begin) in &begins {
            if *least > bound {
                break;
            }
            let search = Search { walk, packing, ahead: &ahead, begin: *begin, bound };
            if let Some(found) = search.best(&mut steps)
                && best.as_ref().is_none_or(|(cost, _)| found.0 < *cost)
            {
                bound = found.0.0;
                best = Some(found);
            }
            if steps > MOST_STEPS {
                return None;
            }
        }
        if let Some((_, colours)) = best {
            return Some(colours);
        }
        // All is tried up to the bound. One colour for all stitches is always an answer.
        bound += 1 + bound / 16;
    }
}

/// Every state a round can begin and end in; `None` when there are too many.
fn beginnings(walk: &Walk, packing: Packing) -> Option<Vec<u64>> {
    let n = walk.stitches.len() as u64;
    let longest = packing.limit.min(n.saturating_sub(1));
    let mut all = Vec::new();
    place(packing, 0, longest, &mut vec![packing.unused(); packing.colours], &mut all);
    (all.len() < MOST_BEGINNINGS).then_some(all)
}

/// Gives the colours from `colour` on every gap that is still free.
fn place(packing: Packing, colour: usize, longest: u64, gaps: &mut [u64], all: &mut Vec<u64>) {
    if all.len() == MOST_BEGINNINGS {
        return;
    }
    if colour == gaps.len() {
        // The last stitch has a colour.
        if gaps.contains(&0) {
            all.push(packing.pack(gaps.iter().copied()));
        }
        return;
    }
    place(packing, colour + 1, longest, gaps, all);
    for gap in 0..=longest {
        if !gaps.contains(&gap) {
            gaps[colour] = gap;
            place(packing, colour + 1, longest, gaps, all);
            gaps[colour] = packing.unused();
        }
    }
}

/// The search from one beginning, within a bound.
struct Search<'a> {
    walk: &'a Walk,
    packing: Packing,
    ahead: &'a Ahead,
    begin: u64,
    /// Changes at most.
    bound: u32,
}

impl Search<'_> {
    /// The cheapest way over all stitches to an end that fits.
    fn best(&self, steps: &mut usize) -> Option<(Cost, Vec<u8>)> {
        let stitches = self.walk.stitches.len();
        let mut layers: Vec<Vec<Way>> = Vec::with_capacity(stitches + 1);
        let mut front = vec![Way { state: self.begin, cost: (0, 0, 0), parent: 0, colour: 0 }];
        for at in 0..stitches {
            let mut next: Vec<Way> = Vec::with_capacity(front.len() * 2);
            for (parent, way) in front.iter().enumerate() {
                let further = (0..self.packing.colours).filter_map(|colour| self.further(at, way, colour));
                next.extend(further.map(|way| Way { parent: parent as u32, ..way }));
            }
            *steps += next.len();
            if *steps > MOST_STEPS {
                return None;
            }
            next.sort_unstable_by_key(|way| (way.state, way.cost, way.parent, way.colour));
            next.dedup_by_key(|way| way.state);
            layers.push(std::mem::replace(&mut front, next));
        }
        let ended = |(number, way): (usize, &Way)| Some((self.closed(way)?, number));
        let (cost, mut number) = front.iter().enumerate().filter_map(ended).min()?;
        layers.push(front);
        let mut colours = vec![0; stitches];
        for at in (0..stitches).rev() {
            let way = layers[at + 1][number];
            colours[at] = way.colour;
            number = way.parent as usize;
        }
        Some((cost, colours))
    }

    /// A way with one more stitch, of this colour; `None` when that cannot be or costs too much.
    fn further(&self, at: usize, way: &Way, colour: usize) -> Option<Way> {
        let (walk, packing) = (self.walk, self.packing);
        let float = u64::from(returning(walk, packing, packing.gap(way.state, colour), at)?);
        let (changes, over) = walk.price(at, colour);
        let changes = way.cost.0 + changes;
        if changes > self.bound {
            return None;
        }
        let state = packing.after(way.state, colour, walk.may_end())?;
        if changes + self.ahead.least(at + 1, state, self.begin)? > self.bound {
            return None;
        }
        let squares = way.cost.2 + u64::from(walk.weights[at]) * float * float;
        let cost = (changes, way.cost.1 + over, squares);
        Some(Way { state, cost, parent: 0, colour: colour as u8 })
    }

    /// What a way costs with its strands across the last end; `None` when they do not fit there.
    fn closed(&self, way: &Way) -> Option<Cost> {
        if self.walk.ends == Ends::Round {
            return (way.state == self.begin).then_some(way.cost);
        }
        let mut cost = way.cost;
        for colour in 0..self.packing.colours {
            let float = u64::from(ending(self.walk, self.packing, self.packing.gap(way.state, colour))?);
            cost.2 += float * float;
        }
        Some(cost)
    }
}

/// The float that ends where a colour with this gap is used, 0 for none; `None` when it may not be used.
fn returning(walk: &Walk, packing: Packing, gap: u64, at: usize) -> Option<u32> {
    if gap == packing.unused() {
        return match walk.ends {
            // A round that began without the colour ends without it.
            Ends::Round => None,
            Ends::Flat | Ends::Folded(..) => {
                let float = walk.incoming(at).unwrap_or(0);
                (float <= walk.limit).then_some(float)
            }
        };
    }
    (gap <= packing.limit).then_some(gap as u32)
}

/// The float of a colour with this gap across the end of a row that is no round, 0 for none; `None` when it
/// is too long.
fn ending(walk: &Walk, packing: Packing, gap: u64) -> Option<u32> {
    match walk.ends {
        Ends::Folded(_, last) if gap != packing.unused() => {
            let float = across(last, gap as u32).unwrap_or(0);
            (float <= walk.limit).then_some(float)
        }
        Ends::Folded(..) | Ends::Flat | Ends::Round => Some(0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn walked(row: &[u8], ends: Ends, colours: usize, limit: u32) -> Vec<u8> {
        let order: Vec<usize> = (0..row.len()).collect();
        solve(&Walk::new(row, &order, ends, colours, limit)).unwrap()
    }

    #[test]
    fn a_round_is_judged_across_its_end() {
        let row = [1, 0, 0, 1, 1, 1, 1, 1];
        // Behind six stitches in the round, behind none in a flat row.
        assert_eq!(walked(&row, Ends::Flat, 2, 5), row);
        let changed = walked(&row, Ends::Round, 2, 5).iter().zip(row).filter(|(a, b)| **a != *b).count();
        assert_eq!(changed, 1);
    }

    #[test]
    fn the_motif_is_not_what_is_painted_over_when_there_is_a_choice() {
        // One stitch of colour 1 in eight of colour 0: to go would be one change, and so is a second one.
        let answer = walked(&[0, 0, 0, 1, 0, 0, 0, 0, 0], Ends::Round, 2, 4);
        assert_eq!(answer.iter().map(|colour| u32::from(*colour)).sum::<u32>(), 2, "{answer:?}");
    }
}
