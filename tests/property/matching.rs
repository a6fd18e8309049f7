//! Assignment of shades to wishes against trying every way; what a palette becomes by it, and by the
//! mend of its weakest contrast.

use std::sync::Arc;

use huegauge::chart::{Cell, Grid};
use huegauge::colour::{Colour, ValueContrast};
use huegauge::project::figures::Figures;
use huegauge::project::{Chart, Edit, Project, weakest};
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

/// Four colours in stripes of one stitch, so that each touches the next and the last the first.
fn painted(colours: &[Colour]) -> Project {
    let mut project = Project::default();
    let cells = (0..16).map(|index| Cell::slot(index % 4)).collect();
    project.chart = Chart::new(Grid::from_cells(4, 4, cells).unwrap());
    for (slot, colour) in project.palette.slots_mut().iter_mut().zip(colours) {
        slot.colour = *colour;
    }
    project
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

    #[test]
    fn knitted_in_the_nearest_shades_every_colour_is_one_of_the_card(
        wished in proptest::collection::vec(colour(), 4),
        offered in proptest::collection::vec(colour(), 4..=8),
    ) {
        let mut project = painted(&wished);
        let before = project.clone();
        let shades = offered.iter().map(|colour| Shade::new("x", *colour)).collect();
        let card = ShadeCard::new("Card", shades).unwrap();
        let wishes: Vec<Wish> = wished.iter().map(|colour| Wish { colour: *colour, metres: None }).collect();
        let allowed: Vec<usize> = (0..offered.len()).collect();
        let found = match_palette(&card, &allowed, &wishes, 0).unwrap();
        let shade = |place: usize| Arc::new(card.shades()[place].clone());
        let chosen = found.matched.iter().map(|matched| shade(matched.chosen.shade));
        let undo = project.apply(before.knit_in(chosen.enumerate()));
        for slot in project.palette.slots() {
            prop_assert!(slot.shade().is_some() && offered.contains(&slot.colour));
        }
        project.apply(undo);
        prop_assert_eq!(project, before);
    }

    #[test]
    fn a_mend_makes_the_weakest_pair_readable(wished in proptest::collection::vec(colour(), 4)) {
        let mut project = painted(&wished);
        let figures = Figures::of(&project);
        let pair = *weakest(&figures.touching).unwrap();
        prop_assert_eq!(figures.mend.is_none(), pair.contrast() >= ValueContrast::Readable);
        if let Some(mend) = figures.mend {
            let mut palette = project.palette.clone();
            palette.slots_mut()[mend.slot].colour = mend.colour;
            project.apply(Edit::Palette(Box::new(palette)));
            let after = Figures::of(&project).touching;
            let mended = after.iter().find(|t| (t.contact.a, t.contact.b) == (pair.contact.a, pair.contact.b));
            prop_assert!(mended.unwrap().contrast() >= ValueContrast::Readable, "{:?}", mended);
        }
    }
}
