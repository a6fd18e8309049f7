//! Discs moved apart as little as it takes, so that none covers another.

use egui::Vec2;

/// Room kept between two discs, px.
const GAP: f32 = 2.0;
/// Share of the room that discs may take: as many as fit this loosely are always moved apart.
const FULL: f32 = 0.45;
/// Steps until the overlaps have spread out and are gone.
const STEPS: u32 = 240;
/// An overlap that no eye sees, px.
const ENOUGH: f32 = 0.05;

/// Radii as large as wished, or all smaller by one factor where there is not the room for them in a disc of
/// radius `room`.
pub fn radii_that_fit(wished: &[f32], room: f32) -> Vec<f32> {
    let area: f32 = wished.iter().map(|radius| (radius + GAP / 2.0).powi(2)).sum();
    let factor = (FULL * room * room / area.max(f32::EPSILON)).sqrt().min(1.0);
    wished.iter().map(|radius| ((radius + GAP / 2.0) * factor - GAP / 2.0).max(1.0)).collect()
}

/// Middles of discs that lie apart, near the `wished` ones and within `room` of the origin. `pinned` stays where
/// it is.
pub fn moved_apart(wished: &[Vec2], radii: &[f32], pinned: Option<usize>, room: f32) -> Vec<Vec2> {
    let mut at = wished.to_vec();
    // What lies on one spot, as greys do, fans out to all sides and not into a line.
    for one in 0..at.len() {
        let crowded = (0..at.len())
            .any(|other| other != one && (wished[one] - wished[other]).length() < radii[one] + radii[other]);
        if crowded && pinned != Some(one) {
            at[one] += Vec2::angled(one as f32 * 2.4 + 0.7) * 0.5;
        }
    }
    for _ in 0..STEPS {
        let mut worst = 0.0_f32;
        for one in 0..at.len() {
            for other in 0..one {
                let apart = at[one] - at[other];
                let missing = radii[one] + radii[other] + GAP - apart.length();
                if missing <= 0.0 {
                    continue;
                }
                worst = worst.max(missing);
                let along = if apart.length() > 0.01 { apart.normalized() } else { Vec2::RIGHT };
                // The larger disc moves less.
                let share = radii[other] / (radii[one] + radii[other]);
                let share = if pinned == Some(one) {
                    0.0
                } else if pinned == Some(other) {
                    1.0
                } else {
                    share
                };
                at[one] += along * missing * share;
                at[other] -= along * missing * (1.0 - share);
            }
        }
        for (index, at) in at.iter_mut().enumerate() {
            if pinned != Some(index) && at.length() > room {
                *at = at.normalized() * room;
            }
        }
        if worst < ENOUGH {
            break;
        }
    }
    at
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn clearance(at: &[Vec2], radii: &[f32]) -> f32 {
        let pairs = (0..at.len()).flat_map(|one| (0..one).map(move |other| (one, other)));
        pairs
            .map(|(one, other)| (at[one] - at[other]).length() - radii[one] - radii[other])
            .fold(f32::INFINITY, f32::min)
    }

    #[test]
    fn what_lies_apart_stays() {
        let wished = [Vec2::new(-30.0, 0.0), Vec2::new(30.0, 0.0), Vec2::new(0.0, 50.0)];
        assert_eq!(moved_apart(&wished, &[18.0; 3], None, 69.0), wished);
    }

    #[test]
    fn greys_on_one_spot_lie_side_by_side() {
        let radii = radii_that_fit(&[18.0, 8.0, 8.0, 12.0], 69.0);
        assert_eq!(radii, [18.0, 8.0, 8.0, 12.0], "there is the room");
        let at = moved_apart(&[Vec2::ZERO; 4], &radii, None, 69.0);
        assert!(clearance(&at, &radii) > 1.0, "{at:?}");
        assert!(at.iter().all(|at| at.length() < 40.0), "{at:?}");
    }

    proptest! {
        #[test]
        fn discs_never_cover_each_other(
            discs in proptest::collection::vec((0.0..360.0_f32, 0.0..1.0_f32, 8.0..18.0_f32), 1..64),
            spot in 0.0..1.0_f32,
            pin in proptest::option::of(0..64_usize),
        ) {
            let room = 69.0;
            let wished: Vec<Vec2> = discs
                .iter()
                .map(|(angle, share, _)| Vec2::angled(angle.to_radians()) * (share * spot * room))
                .collect();
            let radii: Vec<f32> = discs.iter().map(|disc| disc.2).collect();
            let radii = radii_that_fit(&radii, room);
            let pinned = pin.filter(|pin| *pin < wished.len());
            let at = moved_apart(&wished, &radii, pinned, room);
            prop_assert!(clearance(&at, &radii) > -0.5, "{}", clearance(&at, &radii));
            prop_assert!(at.iter().all(|at| at.length() <= room + 0.5));
            if let Some(pinned) = pinned {
                prop_assert_eq!(at[pinned], wished[pinned]);
            }
        }
    }
}
