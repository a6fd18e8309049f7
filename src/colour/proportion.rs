//! How much of each colour, against how much there should be.

/// Places of the target shares: main, supporting, accent.
pub const PARTS: usize = 3;

/// Up to this many ways of dealing the roles out, all are tried; beyond, pairs are exchanged.
/// Enough for eight colours of any roles, and for a dozen in practice; a few milliseconds.
const MOST_WAYS: u64 = 50_000;

/// The share that main, supporting and accent each have of the stitches that are not ground, in per
/// cent; all 0 when there are none.
///
/// `parts` gives for each count the part it belongs to (0 main, 1 supporting, 2 accent), `None` for a
/// ground.
pub fn part_shares(counts: &[u32], parts: &[Option<usize>]) -> [f64; PARTS] {
    let mut sums = [0.0; PARTS];
    for (count, part) in counts.iter().zip(parts) {
        if let Some(sum) = part.and_then(|part| sums.get_mut(part)) {
            *sum += f64::from(*count);
        }
    }
    let total: f64 = sums.iter().sum();
    sums.map(|sum| if total > 0.0 { 100.0 * sum / total } else { 0.0 })
}

/// By how many percentage points each part is over (positive) or under its target share.
pub fn deviations(shares: [f64; PARTS], targets: [f64; PARTS]) -> [f64; PARTS] {
    std::array::from_fn(|part| shares[part] - targets[part])
}

/// The reassignment of colours to slots that brings the shares of main, supporting and accent nearest
/// to the target.
///
/// `counts` holds the stitches of each slot and `parts` the part its colour plays now, as in
/// [`part_shares`]. The answer names for each slot the slot whose colour it should take; it is a
/// permutation, grounds stay where they are, and no more colours move than need to. Nearest means the
/// least sum of squared deviations. Exact when the parts can be dealt out in at most 50,000 ways
/// (eight colours always can); beyond, the best that exchanging pairs leads to.
pub fn best_assignment(counts: &[u32], parts: &[Option<usize>], targets: [f64; PARTS]) -> Vec<usize> {
    let n = counts.len().min(parts.len());
    let moving: Vec<usize> = (0..n).filter(|i| parts[*i].is_some_and(|part| part < PARTS)).collect();
    let now: Vec<usize> = moving.iter().filter_map(|i| parts[*i]).collect();
    let weights: Vec<f64> = moving.iter().map(|i| f64::from(counts[*i])).collect();
    let total: f64 = weights.iter().sum();
    let mut identity: Vec<usize> = (0..counts.len()).collect();
    if total <= 0.0 {
        return identity;
    }
    let goal = targets.map(|target| target / 100.0 * total);
    let deal = Deal { weights: &weights, now: &now, goal };
    let dealt = if ways(&now) <= MOST_WAYS { deal.best_of_all() } else { deal.best_by_exchange() };

    // Colours that keep their part stay; the others of a part go, in order, to the slots that need it.
    let mut idle: Vec<usize> = (0..moving.len()).filter(|i| dealt[*i] != now[*i]).collect();
    for slot in (0..moving.len()).filter(|i| dealt[*i] != now[*i]) {
        if let Some(found) = idle.iter().position(|colour| now[*colour] == dealt[slot]) {
            identity[moving[slot]] = moving[idle.remove(found)];
        }
    }
    identity
}

/// In how many different ways the parts can be dealt out: a multinomial coefficient, saturating.
fn ways(parts: &[usize]) -> u64 {
    let mut ways = 1_u64;
    let mut dealt = [0_u64; PARTS];
    for (before, part) in parts.iter().enumerate() {
        dealt[*part] += 1;
        // Multiply before dividing: each partial product is a whole number of ways.
        ways = ways.saturating_mul(before as u64 + 1) / dealt[*part];
    }
    ways
}

/// Dealing the parts out to slots of given weights.
struct Deal<'a> {
    weights: &'a [f64],
    now: &'a [usize],
    goal: [f64; PARTS],
}

/// How good a deal is: squared distance from the goal, then slots whose part changes. Less is better.
type Cost = (f64, usize);

fn less(a: Cost, b: Cost) -> bool {
    // Stitch counts are whole and exact in f64, so equal deals compare equal but for the goal's round-off.
    let tolerance = 1e-9 * (1.0 + b.0);
    a.0 < b.0 - tolerance || (a.0 <= b.0 + tolerance && a.1 < b.1)
}

impl Deal<'_> {
    fn cost(&self, dealt: &[usize]) -> Cost {
        let mut sums = [0.0; PARTS];
        for (weight, part) in self.weights.iter().zip(dealt) {
            sums[*part] += weight;
        }
        let off = sums.iter().zip(self.goal).map(|(sum, goal)| (sum - goal) * (sum - goal)).sum();
        (off, dealt.iter().zip(self.now).filter(|(a, b)| a != b).count())
    }

    fn best_of_all(&self) -> Vec<usize> {
        let mut left = [0; PARTS];
        for part in self.now {
            left[*part] += 1;
        }
        let mut best = (self.cost(self.now), self.now.to_vec());
        self.deal_on(&mut Vec::with_capacity(self.now.len()), &mut left, &mut best);
        best.1
    }

    fn deal_on(&self, dealt: &mut Vec<usize>, left: &mut [usize; PARTS], best: &mut (Cost, Vec<usize>)) {
        if dealt.len() == self.now.len() {
            let cost = self.cost(dealt);
            if less(cost, best.0) {
                *best = (cost, dealt.clone());
            }
            return;
        }
        for part in 0..PARTS {
            if left[part] > 0 {
                left[part] -= 1;
                dealt.push(part);
                self.deal_on(dealt, left, best);
                dealt.pop();
                left[part] += 1;
            }
        }
    }

    fn best_by_exchange(&self) -> Vec<usize> {
        let mut dealt = self.now.to_vec();
        let mut cost = self.cost(&dealt);
        // Every exchange lowers the cost; the bound only guards against endless round-off.
        for _ in 0..dealt.len() * dealt.len() {
            let mut best = None;
            for i in 0..dealt.len() {
                for j in i + 1..dealt.len() {
                    dealt.swap(i, j);
                    let tried = self.cost(&dealt);
                    if less(tried, best.map_or(cost, |(cost, _, _)| cost)) {
                        best = Some((tried, i, j));
                    }
                    dealt.swap(i, j);
                }
            }
            let Some((lower, i, j)) = best else { break };
            dealt.swap(i, j);
            cost = lower;
        }
        dealt
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TARGETS: [f64; PARTS] = [60.0, 30.0, 10.0];

    fn after(counts: &[u32], parts: &[Option<usize>], assignment: &[usize]) -> [f64; PARTS] {
        let dealt: Vec<_> = assignment.iter().map(|from| parts[*from]).collect();
        part_shares(counts, &dealt)
    }

    #[test]
    fn shares_of_nothing_are_nothing() {
        assert_eq!(part_shares(&[7], &[None]), [0.0; PARTS]);
    }

    #[test]
    fn the_ground_is_outside_the_sixty_thirty_ten() {
        let parts = [None, Some(0), Some(1), Some(2)];
        let shares = part_shares(&[1000, 60, 30, 10], &parts);
        assert_eq!(shares, [60.0, 30.0, 10.0]);
        assert_eq!(deviations(shares, [50.0, 30.0, 20.0]), [10.0, 0.0, -10.0]);
    }

    #[test]
    fn colours_in_the_wrong_places_are_put_right() {
        // The accent's colour covers most, the main colour least.
        let parts = [Some(0), None, Some(1), Some(2)];
        assert_eq!(best_assignment(&[10, 900, 30, 60], &parts, TARGETS), [3, 1, 2, 0]);
    }

    #[test]
    fn what_is_right_stays() {
        let parts = [Some(0), Some(1), Some(2), Some(2)];
        assert_eq!(best_assignment(&[60, 30, 5, 5], &parts, TARGETS), [0, 1, 2, 3]);
        assert_eq!(best_assignment(&[0, 0], &[Some(0), Some(1)], TARGETS), [0, 1]);
        assert_eq!(best_assignment(&[], &[], TARGETS), Vec::<usize>::new());
    }

    #[test]
    fn several_colours_of_one_part_are_counted_together() {
        let parts = [Some(0), Some(0), Some(1), Some(2)];
        let counts = [35, 10, 25, 30];
        let best = best_assignment(&counts, &parts, TARGETS);
        assert_eq!(after(&counts, &parts, &best), [60.0, 30.0, 10.0]);
    }

    #[test]
    fn many_colours_come_near_by_exchange() {
        let counts: Vec<u32> = (1..=24).collect();
        let parts: Vec<_> = (0..24).map(|i| Some(i % 3)).collect();
        let best = best_assignment(&counts, &parts, TARGETS);
        let mut sorted = best.clone();
        sorted.sort_unstable();
        assert_eq!(sorted, (0..24).collect::<Vec<_>>(), "not a permutation");
        let off = |shares| deviations(shares, TARGETS).iter().map(|d| d * d).sum::<f64>();
        assert!(off(after(&counts, &parts, &best)) < off(part_shares(&counts, &parts)) / 2.0);
    }

    #[test]
    fn ways_count_without_overflow() {
        assert_eq!(ways(&[0, 1, 2]), 6);
        assert_eq!(ways(&[0, 0, 1]), 3);
        assert_eq!(ways(&[0, 1, 2, 0, 1, 2, 0, 1]), 560);
        assert!(ways(&(0..64).map(|i| i % 3).collect::<Vec<_>>()) > MOST_WAYS);
    }
}
