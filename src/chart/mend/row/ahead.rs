//! What the rest of a row costs at least.
//!
//! For one colour alone it is easily said how many stitches it must at least give up or take so that its floats
//! keep to the limit. A changed stitch is given up by one colour and taken by another, so the sum over all
//! colours counts it twice: half the sum is never more than the true cost.

use super::{Ends, Packing, Walk, ending, returning};

/// What cannot be.
const NEVER: u32 = u32::MAX;
/// Numbers kept for one row at most: 80 MB.
const MOST: usize = 20_000_000;

/// The least cost for each colour, stitch and gap, and in a round for each gap it must end with.
pub(super) struct Ahead {
    packing: Packing,
    /// Gaps there are.
    gaps: usize,
    /// By colour, and in a round by last gap.
    tables: Vec<Vec<Vec<u32>>>,
}

impl Ahead {
    /// `None` when the row is too long.
    pub(super) fn of(walk: &Walk, packing: Packing) -> Option<Self> {
        let gaps = packing.unused() as usize + 1;
        let ends = if walk.ends == Ends::Round { gaps } else { 1 };
        let numbers = packing.colours.checked_mul(ends)?.checked_mul(gaps)?;
        if numbers.checked_mul(walk.stitches.len() + 1)? > MOST {
            return None;
        }
        let of_colour = |colour| (0..ends).map(|end| table(walk, packing, colour, end as u64)).collect();
        Some(Self { packing, gaps, tables: (0..packing.colours).map(of_colour).collect() })
    }

    /// Changes that the stitches from `at` on take at least, in this state; a round ends in the state `end`.
    /// `None` when there is no way.
    pub(super) fn least(&self, at: usize, state: u64, end: u64) -> Option<u32> {
        let mut sum = 0;
        for (colour, tables) in self.tables.iter().enumerate() {
            let end = if tables.len() == 1 { 0 } else { self.packing.gap(end, colour) as usize };
            let least = tables[end][at * self.gaps + self.packing.gap(state, colour) as usize];
            if least == NEVER {
                return None;
            }
            sum += least;
        }
        Some(sum.div_ceil(2))
    }
}

/// The least cost of one colour, by stitch and gap.
fn table(walk: &Walk, packing: Packing, colour: usize, end: u64) -> Vec<u32> {
    let (stitches, gaps) = (walk.stitches.len(), packing.unused() as usize + 1);
    let mut least = vec![NEVER; (stitches + 1) * gaps];
    for gap in 0..gaps as u64 {
        let fits = match walk.ends {
            Ends::Round => gap == end,
            Ends::Flat | Ends::Folded(..) => ending(walk, packing, gap).is_some(),
        };
        if fits {
            least[stitches * gaps + gap as usize] = 0;
        }
    }
    for at in (0..stitches).rev() {
        let weight = walk.weights[at];
        let own = walk.colour(at) == colour;
        let (use_it, leave_it) = if own { (0, weight) } else { (weight, 0) };
        for gap in 0..gaps as u64 {
            let then = |gap: u64, cost: u32| least[(at + 1) * gaps + gap as usize].saturating_add(cost);
            let used = returning(walk, packing, gap, at).map_or(NEVER, |_| then(0, use_it));
            let left = packing.wider(gap, walk.may_end()).map_or(NEVER, |gap| then(gap, leave_it));
            least[at * gaps + gap as usize] = used.min(left);
        }
    }
    least
}
