//! Colours as they are shown on this page, and shades in words.

use egui::{Painter, Rect, Stroke, StrokeKind, Vec2, pos2};

use crate::app::state::State;
use crate::colour::Colour;
use crate::ui::colours::seen;
use crate::ui::shopping::sums::balls;
use crate::ui::theme::Tokens;
use crate::units::{Currency, LengthUnit};
use crate::yarn::{Shade, WeightClass};

/// Paints colours side by side without a gap, so that they are judged against each other.
pub(super) fn side_by_side(
    painter: &Painter,
    rect: Rect,
    parts: &[(Colour, f32)],
    state: &State,
    tokens: Tokens,
) {
    let total: f32 = parts.iter().map(|part| part.1).sum();
    let mut left = rect.left();
    for (colour, share) in parts {
        let width = rect.width() * share / total.max(f32::EPSILON);
        let part = Rect::from_min_size(pos2(left, rect.top()), Vec2::new(width, rect.height()));
        painter.rect_filled(part, 0, seen(*colour, state.eyes));
        left += width;
    }
    painter.rect_stroke(rect, 2, Stroke::new(1.0, tokens.edge), StrokeKind::Outside);
}

/// Width of a colour that stands beside the bar, and the gap before it.
const BESIDE: f32 = 16.0;
const GAP: f32 = 4.0;

/// Paints the colours of a set in the project's target shares (60-30-10, or what it aims at), in the
/// order of the roles; several colours of a role share its part. What has no target (the ground, spare
/// shades) stands beside the bar.
pub(super) fn proportion_bar(
    painter: &Painter,
    rect: Rect,
    slots: &[usize],
    colours: &[Colour],
    state: &State,
    tokens: Tokens,
) {
    let palette = &state.project().palette;
    let role = |slot: &usize| palette.slots().get(*slot).map(|slot| slot.role);
    let share = |slot: &usize| {
        let own = role(slot)?;
        let sharing = slots.iter().filter(|other| role(other) == Some(own)).count();
        Some(palette.proportion.share(own)? as f32 / sharing.max(1) as f32)
    };
    let shares = slots.iter().map(share).chain(std::iter::repeat(None));
    let (mut bar, mut beside) = (Vec::new(), Vec::new());
    for (colour, share) in colours.iter().copied().zip(shares) {
        match share {
            Some(share) => bar.push((colour, share)),
            None => beside.push(colour),
        }
    }
    let mut right = rect.right();
    for colour in beside.iter().rev() {
        let one = Rect::from_min_max(pos2(right - BESIDE, rect.top()), pos2(right, rect.bottom()));
        side_by_side(painter, one, &[(*colour, 1.0)], state, tokens);
        right = one.left() - GAP;
    }
    let bar_rect = Rect::from_min_max(rect.min, pos2(right, rect.bottom()));
    side_by_side(painter, bar_rect, &bar, state, tokens);
}

/// Fibre and weight in words, as far as they are known.
pub(super) fn facts(shade: &Shade) -> String {
    let class = shade.weight_class.and_then(WeightClass::from_number).map(WeightClass::name);
    let known = [Some(shade.fibre.trim()).filter(|fibre| !fibre.is_empty()), class];
    let known: Vec<&str> = known.into_iter().flatten().collect();
    if known.is_empty() { "Fibre and weight not known".to_owned() } else { known.join(", ") }
}

/// How much yarn is in a ball, or nothing when the card does not say.
pub(super) fn ball_length(shade: &Shade, units: LengthUnit) -> String {
    shade.put_up.map_or_else(String::new, |put_up| {
        let length = units.from_metres(put_up.metres_per_ball());
        format!("of {length:.0} {}", units.yarn_suffix())
    })
}

/// What is to be bought in words: balls, price as far as it is known, and what is not.
pub(super) fn cost_words(cost: &crate::yarn::SetCost, currency: &Currency) -> String {
    let sum = |balls: &[u32]| balls.iter().copied().map(u64::from).sum::<u64>();
    let (needed, count) = (sum(&cost.needed), sum(&cost.balls));
    let owned = needed.saturating_sub(count);
    let mut parts = vec![match (owned, count) {
        (0, 0) => "nothing to buy".to_owned(),
        (0, _) => format!("{} to buy", balls(count)),
        (_, 0) => format!("{}, all on hand: nothing to buy", balls(needed)),
        _ => format!("{}, {owned} of them on hand: {count} to buy", balls(needed)),
    }];
    if cost.known.get() > 0.0 {
        parts.push(currency.told(cost.known));
    }
    match cost.unpriced.len() {
        0 => {}
        1 => parts.push("one shade without a price".to_owned()),
        more => parts.push(format!("{more} shades without a price")),
    }
    parts.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::yarn::SetCost;

    #[test]
    fn what_is_needed_is_told_apart_from_what_is_to_be_bought() {
        let words = |needed: &[u32], balls: &[u32]| {
            let cost = SetCost { needed: needed.to_vec(), balls: balls.to_vec(), ..SetCost::default() };
            cost_words(&cost, &Currency::default())
        };
        assert_eq!(words(&[0, 0], &[0, 0]), "nothing to buy");
        assert_eq!(words(&[1, 1], &[1, 1]), "2 balls to buy");
        assert_eq!(words(&[1], &[0]), "1 ball, all on hand: nothing to buy");
        assert_eq!(words(&[2, 3], &[1, 3]), "5 balls, 1 of them on hand: 4 to buy");
    }
}
