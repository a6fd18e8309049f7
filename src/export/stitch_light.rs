//! How light falls on one knit stitch: two legs of plied yarn, lit from the upper left.
//!
//! The shape and the light are our judgement, drawn from knitting; nothing here is measured.

use std::f32::consts::{PI, TAU};

use crate::chart::stirred;

/// How far the legs reach above and below the stitch, in rows.
pub(super) const REACH: f32 = 0.38;
/// What is seen between the legs, as a share of the yarn's light: the fabric in its own shadow.
pub(super) const SHADOW: f32 = 0.30;
/// Thickest half width of a leg, in stitch widths.
const LEG: f32 = 0.235;
/// Twists of the plies over the length of a leg.
const PLIES: f32 = 3.1;
/// How far a stitch may lie beside its place, in stitch widths, and differ in thickness and light, each way.
const ASTRAY: f32 = 0.030;
const UNEVEN: f32 = 0.055;
const UNLIKE: f32 = 0.035;

/// How one stitch differs from the next, by its number and a seed: every run draws the same.
#[derive(Clone, Copy)]
pub(super) struct Hand {
    astray: [f32; 2],
    thick: f32,
    pub light: f32,
}

impl Hand {
    pub const EVEN: Self = Self { astray: [0.0; 2], thick: 1.0, light: 1.0 };

    pub fn of(number: u32, seed: u32) -> Self {
        let mut state = number.wrapping_mul(0x9e37_79b9) ^ seed.wrapping_mul(0x85eb_ca6b);
        let mut next = || {
            state = stirred(state);
            state ^= state >> 16;
            state as f32 / u32::MAX as f32 * 2.0 - 1.0
        };
        Self {
            astray: [next() * ASTRAY, next() * ASTRAY],
            thick: 1.0 + next() * UNEVEN,
            light: 1.0 + next() * UNLIKE,
        }
    }
}

/// Light at a point of a knit stitch, as a share of the yarn's own: `u` from its left edge, `v` from its lower edge,
/// each `0..=1` inside it; `height` is its height over its width. `None` beside the legs.
pub(super) fn knit(u: f32, v: f32, height: f32, hand: Hand) -> Option<f32> {
    let x = u - 0.5 - hand.astray[0];
    let up = v - hand.astray[1];
    let is_right = x > 0.0;
    // Along a leg, from its foot between the legs below to its head.
    let t = (up + REACH) / (1.0 + 2.0 * REACH);
    if !(0.0..=1.0).contains(&t) {
        return None;
    }
    let (foot, head) = (0.035, 0.375);
    let middle = foot + (head - foot) * bend(t);
    let length = (1.0 + 2.0 * REACH) * height;
    let lean = (head - foot) * slope(t) / length;
    let across = (x.abs() - middle) / (1.0 + lean * lean).sqrt();
    let width = LEG * hand.thick * (PI * (0.09 + 0.86 * t)).sin().max(0.0).powf(0.55);
    let n = across / width;
    if n.abs() >= 1.0 {
        return None;
    }
    let round = (1.0 - n * n).sqrt();
    // The outward normal: across the leg, up along it where it bends away, and towards the eye.
    let across_x = if is_right { n } else { -n };
    let light = (-0.42 * across_x + 0.34 * (t - 0.42) + 0.80 * round).max(0.0);
    let ply = (TAU * (t * PLIES - 0.42 * n)).cos();
    let groove = 1.0 - 0.13 * (0.5 - 0.5 * ply) * (0.35 + 0.65 * round);
    let edge = 0.20 * smooth(0.35, 0.85, -across_x) * round.sqrt();
    // The foot goes in under the stitch below, the head under the one above.
    let depth = (0.45 + 0.55 * smooth(0.0, 0.34, t)) * (1.0 - 0.45 * smooth(0.78, 1.0, t));
    Some(((0.30 + 0.70 * light + edge) * groove * depth * hand.light).max(0.0))
}

/// Light at a point of a purl stitch: the heads of two loops, lying across.
pub(super) fn purl(u: f32, v: f32, height: f32, hand: Hand) -> Option<f32> {
    let arch = 0.16 * (TAU * (u - hand.astray[0])).cos();
    let n = (v - hand.astray[1] - 0.5 - arch) / (0.36 * hand.thick);
    if n.abs() >= 1.0 {
        return None;
    }
    let round = (1.0 - n * n).sqrt();
    let ply = (TAU * (u * 2.0 * PLIES / height.max(0.2) * 0.5 + 0.42 * n)).cos();
    let groove = 1.0 - 0.12 * (0.5 - 0.5 * ply) * (0.35 + 0.65 * round);
    Some(((0.26 + 0.34 * n + 0.62 * round) * groove * hand.light).max(0.0))
}

/// From 0 to 1, leaving slowly at both ends.
fn bend(t: f32) -> f32 {
    smooth(0.0, 1.0, t) * 0.55 + t * 0.45
}

fn slope(t: f32) -> f32 {
    6.0 * t * (1.0 - t) * 0.55 + 0.45
}

fn smooth(from: f32, to: f32, at: f32) -> f32 {
    let t = ((at - from) / (to - from)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

/// Mean light over a plain fabric of these stitches: what a picture is divided by, so that from afar it has the
/// yarn's own light.
pub(super) fn mean_light(height: f32) -> f32 {
    const SIDE: u32 = 48;
    let mut sum = 0.0;
    for step in 0..SIDE * SIDE {
        let (u, v) = (step % SIDE, step / SIDE);
        let (u, v) = ((u as f32 + 0.5) / SIDE as f32, (v as f32 + 0.5) / SIDE as f32);
        // The row above lies over this one, this one over the row below.
        let seen = [v - 1.0, v, v + 1.0].into_iter().find_map(|v| knit(u, v, height, Hand::EVEN));
        sum += seen.unwrap_or(SHADOW);
    }
    sum / (SIDE * SIDE) as f32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stitch_is_a_v_open_at_the_top_and_lit_from_the_left() {
        let at = |u, v| knit(u, v, 0.8, Hand::EVEN);
        assert!(at(0.5, 1.0).is_none() && at(0.5, -0.1).is_some() && at(0.15, 0.9).is_some());
        // The outer flank of the left leg against that of the right.
        let flank = |side: f32| at(0.5 + side * 0.36, 0.5).unwrap();
        assert!(flank(-1.0) > flank(1.0) + 0.05, "{} {}", flank(-1.0), flank(1.0));
    }

    #[test]
    fn hands_are_seeded_and_differ_a_little() {
        let hands: Vec<Hand> = (0..4000).map(|number| Hand::of(number, 7)).collect();
        let mean = hands.iter().map(|hand| hand.light).sum::<f32>() / 4000.0;
        assert!((mean - 1.0).abs() < 0.002, "{mean}");
        assert!(
            hands.iter().all(|hand| (hand.thick - 1.0).abs() <= UNEVEN && hand.astray[0].abs() <= ASTRAY)
        );
        assert!(hands.windows(2).filter(|pair| pair[0].light == pair[1].light).count() == 0);
        assert_eq!(Hand::of(3, 7).light.to_bits(), Hand::of(3, 7).light.to_bits());
        assert_ne!(Hand::of(3, 7).light.to_bits(), Hand::of(3, 8).light.to_bits());
    }

    #[test]
    fn the_mean_is_between_shadow_and_full_light() {
        for height in [0.6, 0.8, 1.0] {
            let mean = mean_light(height);
            assert!((0.5..0.95).contains(&mean), "{height}: {mean}");
        }
    }
}
