//! Colour: gamut, wheels, schemes, vision and proportion for every input.

use huegauge::colour::proportion::{best_assignment, deviations, part_shares};
use huegauge::colour::template::{HuePoint, Template, fit};
use huegauge::colour::{
    Blend, Colour, Member, PairTable, Scheme, Vision, Wheel, harmonise, propose, turn_between,
};
use proptest::prelude::*;

fn any_colour() -> impl Strategy<Value = Colour> {
    (0.0..=1.0, 0.0..=0.5, 0.0..360.0).prop_map(|(l, c, h)| Colour::new(l, c, h).unwrap())
}

fn wheel() -> impl Strategy<Value = Wheel> {
    prop::sample::select(Wheel::ALL.to_vec())
}

fn scheme() -> impl Strategy<Value = Scheme> {
    prop::sample::select(Scheme::ALL.to_vec())
}

fn member() -> impl Strategy<Value = Member> {
    (any_colour(), any::<bool>(), prop::bool::weighted(0.2)).prop_map(|(colour, locked, is_ground)| Member {
        colour,
        locked,
        is_ground,
    })
}

proptest! {
    #[test]
    fn mapped_colours_are_in_gamut_and_keep_their_hue(colour in any_colour()) {
        let mapped = colour.mapped();
        prop_assert!(mapped.is_in_gamut());
        prop_assert!(colour.to_srgb().iter().all(|v| (0.0..=1.0).contains(v)));
        // CSS Color 4 clips within one just noticeable difference (0.02 in Oklab), so the hue moves at
        // most by the angle this subtends at the chroma that is left; lightness by 0.02.
        prop_assert!((mapped.lightness() - colour.lightness()).abs() <= 0.0201);
        let sideways = mapped.chroma() * turn_between(colour.hue_angle(), mapped.hue_angle()).to_radians().sin();
        prop_assert!(sideways.abs() <= 0.0201, "{colour:?} {mapped:?}");
    }

    #[test]
    fn colours_within_gamut_keep_lightness_and_hue_exactly(colour in any_colour()) {
        let within = colour.within_gamut();
        prop_assert!(within.is_in_gamut());
        prop_assert_eq!((within.lightness(), within.hue_angle()), (colour.lightness(), colour.hue_angle()));
        prop_assert!(within.chroma() <= colour.chroma());
    }

    #[test]
    fn wheels_undo_themselves(wheel in wheel(), angle in -1e4..1e4_f64) {
        let hue = wheel.hue_at(angle);
        prop_assert!((0.0..360.0).contains(&hue));
        prop_assert!(turn_between(wheel.angle_of_hue(hue), angle).abs() < 1e-8);
        prop_assert!(turn_between(wheel.hue_at(wheel.angle_of_hue(angle)), angle).abs() < 1e-8);
    }

    #[test]
    fn wheels_turn_one_way(angle in 0.0..360.0, step in 0.001..10.0) {
        let turned = turn_between(Wheel::Painter.hue_at(angle), Wheel::Painter.hue_at(angle + step));
        prop_assert!(turned > 0.0);
    }

    #[test]
    fn what_is_seen_can_be_shown(colour in any_colour(), rgb: [u8; 3]) {
        for vision in Vision::ALL.into_iter().filter(|vision| *vision != Vision::Usual) {
            prop_assert!(vision.simulate(colour).is_in_gamut());
            let (exact, fast) = (vision.simulate(Colour::from_srgb8(rgb)).to_srgb8(), vision.simulate_srgb8(rgb));
            prop_assert!(exact.iter().zip(fast).all(|(a, b)| a.abs_diff(b) <= 1), "{:?} {:?}", exact, fast);
        }
    }

    #[test]
    fn a_wished_value_is_met(colour in any_colour(), lstar in 1.0..99.0) {
        let moved = colour.with_lstar(lstar);
        prop_assert!((moved.lstar() - lstar).abs() < 1e-3);
        prop_assert!(moved.is_in_gamut());
    }

    #[test]
    fn sliders_give_every_colour_back(colour in any_colour()) {
        let (pure, blend) = Blend::split(colour);
        let back = blend.apply(pure).to_srgb8();
        prop_assert!(back.iter().zip(colour.to_srgb8()).all(|(a, b)| a.abs_diff(b) <= 1), "{back:?}");
    }

    #[test]
    fn schemes_keep_what_they_must(
        scheme in scheme(), wheel in wheel(), members in prop::collection::vec(member(), 1..8), pick: prop::sample::Index,
    ) {
        let anchor = pick.index(members.len());
        let Ok(placed) = harmonise(scheme, wheel, &members, anchor) else {
            prop_assert!(members[anchor].colour.hue().is_none());
            return Ok(());
        };
        prop_assert_eq!(placed.len(), members.len());
        for (index, (member, placed)) in members.iter().zip(&placed).enumerate() {
            if index == anchor || member.locked {
                prop_assert_eq!(placed.colour, member.colour);
            } else {
                prop_assert!(placed.colour.is_in_gamut());
            }
        }
    }

    #[test]
    fn proposals_read_in_greyscale(scheme in scheme(), wheel in wheel(), main in any_colour()) {
        prop_assume!(main.chroma() > 0.001);
        let placed = propose(scheme, wheel, main, None, 0).unwrap().placed();
        let mut values = placed.map(|p| p.colour.lstar());
        values.sort_by(f64::total_cmp);
        prop_assert!(values.windows(2).all(|v| v[1] - v[0] > 19.9), "{values:?}");
    }

    #[test]
    fn reassigning_never_makes_it_worse(
        slots in prop::collection::vec((0_u32..1000, prop::option::of(0_usize..3)), 1..8), targets: [u8; 3],
    ) {
        let (counts, parts): (Vec<_>, Vec<_>) = slots.into_iter().unzip();
        let targets = targets.map(f64::from);
        let best = best_assignment(&counts, &parts, targets);
        let mut sorted = best.clone();
        sorted.sort_unstable();
        prop_assert_eq!(sorted, (0..counts.len()).collect::<Vec<_>>());
        prop_assert!(parts.iter().enumerate().all(|(slot, part)| part.is_some() || best[slot] == slot));
        let off = |parts: &[_]| deviations(part_shares(&counts, parts), targets).iter().map(|d| d * d).sum::<f64>();
        let dealt: Vec<_> = best.iter().map(|from| parts[*from]).collect();
        prop_assert!(off(&dealt) <= off(&parts) + 1e-6);
        // Brute force over exchanges finds nothing better.
        for i in 0..dealt.len() {
            for j in 0..i {
                let mut other = dealt.clone();
                other.swap(i, j);
                let ground_stays = other.iter().zip(&parts).all(|(a, b)| a.is_some() == b.is_some());
                prop_assert!(!ground_stays || off(&other) >= off(&dealt) - 1e-6);
            }
        }
    }

    #[test]
    fn templates_turn_with_the_hues(
        hues in prop::collection::vec((0.0..360.0, 0.0..0.3), 1..6), turn in 0.0..360.0,
    ) {
        for template in Template::ALL {
            let points = |by: f64| -> Vec<_> {
                hues.iter().map(|(hue, weight)| HuePoint::new(hue + by, *weight)).collect()
            };
            let (still, turned) = (fit(template, &points(0.0)), fit(template, &points(turn)));
            prop_assert!((still.distance - turned.distance).abs() < 1e-6);
            prop_assert!((0.0..=171.0).contains(&still.distance));
        }
    }

    #[test]
    fn a_set_is_as_good_as_its_worst_pair(colours in prop::collection::vec(any_colour(), 2..6)) {
        let whole = PairTable::new(&colours).quality(&(0..colours.len()).collect::<Vec<_>>()).unwrap();
        let mut least = f64::MAX;
        for (k, a) in colours.iter().enumerate() {
            for b in &colours[..k] {
                least = least.min(a.difference(*b));
            }
        }
        prop_assert!((whole.difference_min - least).abs() < 1e-3);
        prop_assert!(whole.harmony_min <= whole.harmony_mean + 1e-9);
        prop_assert!(whole.lstar_min <= whole.lstar_range + 1e-4);
    }
}
