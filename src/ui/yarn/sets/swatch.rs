//! Colours as they are shown on this page, and shades in words.

use egui::{Color32, Painter, Rect, Stroke, StrokeKind, Vec2, pos2};

use crate::app::state::State;
use crate::colour::Colour;
use crate::project::{Project, Role};
use crate::ui::colours::seen;
use crate::ui::theme::Tokens;
use crate::units::LengthUnit;
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
        painter.rect_filled(part, 0, seen(*colour, state.view.eyes));
        left += width;
    }
    frame(painter, rect, tokens.line);
}

/// A hairline around a swatch.
pub(super) fn frame(painter: &Painter, rect: Rect, line: Color32) {
    painter.rect_stroke(rect, 2, Stroke::new(1.0, line), StrokeKind::Outside);
}

/// Part of a bar that a colour without a slot gets, where all slots together get 100.
const SLIVER: f32 = 5.0;

/// Colours of a set with their target shares, in the order of the roles: 60-30-10 or what the project
/// aims at, several colours of a role sharing its part. A ground has no target and gets the supporting
/// one's; colours without a slot get a sliver.
pub(super) fn proportions(project: &Project, slots: &[usize], colours: &[Colour]) -> Vec<(Colour, f32)> {
    let palette = &project.palette;
    let role = |slot: &usize| palette.slots().get(*slot).map(|slot| slot.role);
    let share = |slot: &usize| {
        let Some(own) = role(slot) else { return 0.0 };
        let sharing = slots.iter().filter(|other| role(other) == Some(own)).count();
        let target = palette.proportion.share(own).or_else(|| palette.proportion.share(Role::Supporting));
        target.unwrap_or(0.0) as f32 / sharing.max(1) as f32
    };
    let shares = slots.iter().map(share).chain(std::iter::repeat(SLIVER));
    colours.iter().copied().zip(shares).collect()
}

/// Code, fibre, weight and put-up in words, as far as they are known.
pub(super) fn facts(shade: &Shade, units: LengthUnit) -> String {
    let mut parts = Vec::new();
    for text in [&shade.code, &shade.fibre] {
        if !text.trim().is_empty() {
            parts.push(text.trim().to_owned());
        }
    }
    if let Some(class) = shade.weight_class.and_then(WeightClass::from_number) {
        parts.push(class.name().to_owned());
    }
    if let Some(put_up) = shade.put_up {
        parts.push(format!(
            "{:.0} {} a ball",
            units.from_metres(put_up.metres_per_ball()),
            units.yarn_suffix()
        ));
    }
    parts.join(", ")
}

/// Balls in words.
pub(super) fn balls(count: u32) -> String {
    match count {
        0 => "none to buy".to_owned(),
        1 => "1 ball".to_owned(),
        count => format!("{count} balls"),
    }
}

/// What is to be bought in words: balls, price as far as it is known, and what is not.
pub(super) fn cost_words(cost: &crate::yarn::SetCost) -> String {
    let count: u32 = cost.balls.iter().sum();
    let mut parts =
        vec![if count == 0 { "Nothing to buy".to_owned() } else { format!("{} to buy", balls(count)) }];
    if cost.known > 0.0 {
        parts.push(format!("{:.2}", cost.known));
    }
    match cost.unpriced.len() {
        0 => {}
        1 => parts.push("one shade without a price".to_owned()),
        more => parts.push(format!("{more} shades without a price")),
    }
    parts.join(", ")
}
