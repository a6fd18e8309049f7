//! In which proportion plain rounds are shared out among the places that may have some.

use super::{Part, Wanted};

/// Proportions of the plain rounds among the plain parts: the same one for all sizes, so that they stay
/// one design.
pub(super) type Proportion = Vec<u32>;

/// Every way to share out so many equal parts among `places`: six for up to four places, fewer for more,
/// so that there are at most 126 ways.
pub(super) fn proportions(places: usize) -> Vec<Proportion> {
    let parts = match places {
        0 => return vec![Vec::new()],
        1..=4 => 6,
        5 => 5,
        6..=8 => 3,
        _ => 2,
    };
    let mut all = Vec::new();
    put(places, parts, &mut Vec::new(), &mut all);
    all
}

fn put(places: usize, parts: u32, done: &mut Proportion, all: &mut Vec<Proportion>) {
    if places == 1 {
        done.push(parts);
        all.push(done.clone());
        done.pop();
        return;
    }
    for here in 0..=parts {
        done.push(here);
        put(places - 1, parts - here, done, all);
        done.pop();
    }
}

/// Every number of rounds that the plain parts can have in one size and proportion: for each the rounds
/// part by part. What each must have comes first, the rest goes by the proportion, the largest remainder
/// first; no part has more than it may.
pub(super) fn rounds(parts: &[Part], wanted: &Wanted, proportion: &[u32], most: u32) -> Vec<Vec<u32>> {
    let limits: Vec<(u32, u32)> = parts
        .iter()
        .enumerate()
        .filter_map(|(i, part)| match part {
            Part::Plain { least, most, .. } => {
                let held = wanted.held.get(i).and_then(|held| held.rows);
                Some(held.map_or((*least, (*most).max(*least)), |rows| (rows, rows)))
            }
            _ => None,
        })
        .collect();
    // Held and fixed places take no part in the sharing.
    let weights: Vec<u32> = limits
        .iter()
        .zip(proportion)
        .map(|((least, most), weight)| if least == most { 0 } else { *weight })
        .collect();
    let sum: u32 = weights.iter().sum();
    let room: u32 = limits.iter().map(|(least, most)| most - least).sum();
    let open = limits.iter().any(|(least, most)| least != most);
    // All its weight lies on places that are fixed: it is no proportion of the others.
    if open && sum == 0 {
        return Vec::new();
    }
    let least: u32 = limits.iter().map(|(least, _)| least).sum();
    let mut all = Vec::new();
    for more in 0..=room.min(most.saturating_sub(least)) {
        let mut shares: Vec<u32> = weights.iter().map(|w| more * w / sum.max(1)).collect();
        let mut order: Vec<usize> = (0..weights.len()).collect();
        order.sort_by_key(|i| std::cmp::Reverse(more * weights[*i] % sum.max(1)));
        let missing = more.saturating_sub(shares.iter().sum()) as usize;
        order.iter().take(missing).for_each(|i| shares[*i] += 1);
        let within = shares.iter().zip(&limits).all(|(share, (least, most))| least + share <= *most);
        if within {
            all.push(shares.iter().zip(&limits).map(|(share, (least, _))| least + share).collect());
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn proportions_are_all_ways_to_share_and_few() {
        assert_eq!(proportions(0).len(), 1);
        assert_eq!(proportions(2).len(), 7);
        assert_eq!(proportions(3).len(), 28);
        assert!((1..=12).all(|places| proportions(places).len() <= 126));
        assert!(proportions(4).iter().all(|p| p.iter().sum::<u32>() == 6));
    }

    #[test]
    fn rounds_go_by_the_proportion_and_keep_to_what_is_held() {
        let parts = vec![Part::Plain { repeat: 1, least: 1, most: 9 }; 3];
        let mut wanted = super::super::tests::wanted("S", 100, 10.0, 40.0);
        let shared = rounds(&parts, &wanted, &[3, 2, 1], 9);
        assert_eq!(shared.last(), Some(&vec![4, 3, 2]));
        wanted.held = vec![super::super::Held::rows(5)];
        let shared = rounds(&parts, &wanted, &[3, 2, 1], 10);
        assert_eq!(shared.last(), Some(&vec![5, 3, 2]));
        assert_eq!(rounds(&parts, &wanted, &[6, 0, 0], 10), Vec::<Vec<u32>>::new());
    }
}
