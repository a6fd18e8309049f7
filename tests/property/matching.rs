//! Assignment of shades to wishes against trying every way.

use huegauge::colour::Colour;
use huegauge::yarn::{Shade, ShadeCard, Wish, match_palette};
use proptest::prelude::*;

fn colour() -> impl Strategy<Value = Colour> {
    any::<[u8; 3]>().prop_map(Colour::from_srgb8)
}

/// The least sum over all ways to give the first wish one of the free shades, and so on.
fn least(wishes: &[Colour], shades: &[Colour], taken: &mut Vec<usize>) -> f64 {
    let Some((first, rest)) = wishes.split_first() else { return 0.0 };
    let mut best = f64::INFINITY;
    for (index, shade) in shades.iter().enumerate() {
        if !taken.contains(&index) {
            taken.push(index);
            best = best.min(first.difference(*shade) + least(rest, shades, taken));
            taken.pop();
        }
    }
    best
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_assignment_is_the_best_of_all(
        wished in proptest::collection::vec(colour(), 1..=4),
        offered in proptest::collection::vec(colour(), 4..=8),
    ) {
        let shades = offered.iter().map(|colour| Shade::new("x", *colour)).collect();
        let card = ShadeCard::new("Card", shades).unwrap();
        let wishes: Vec<Wish> = wished.iter().map(|colour| Wish { colour: *colour, metres: None }).collect();
        let allowed: Vec<usize> = (0..offered.len()).collect();
        let found = match_palette(&card, &allowed, &wishes, 3).unwrap();
        // Rounding to ten-thousandths in the search may cost as much for each wish.
        prop_assert!(found.total_difference <= least(&wished, &offered, &mut Vec::new()) + 1e-3);
        let mut used: Vec<usize> = found.matched.iter().map(|matched| matched.chosen.shade).collect();
        used.sort_unstable();
        used.dedup();
        prop_assert_eq!(used.len(), wished.len());
        for (matched, wish) in found.matched.iter().zip(&wished) {
            let chosen = offered[matched.chosen.shade];
            prop_assert!((matched.chosen.difference - wish.difference(chosen)).abs() < 1e-9);
            prop_assert!(matched.alternatives.windows(2).all(|pair| pair[0].difference <= pair[1].difference));
            prop_assert!(matched.alternatives.iter().all(|other| other.shade != matched.chosen.shade));
        }
    }
}
