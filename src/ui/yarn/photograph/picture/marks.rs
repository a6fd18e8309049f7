//! The marks on the photograph: the reference and the yarns.

use egui::{Align2, Color32, CursorIcon, FontId, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2, vec2};

use super::super::{Marking, PhotographView, Place, light};
use crate::app::photo_desk::Photograph;
use crate::photo::Region;
use crate::ui::theme::{SMALL, STEP};
use crate::ui::widgets::Sheet;

/// How near to a corner it is taken hold of, in points.
const REACH: f32 = 9.0;
/// Marks are white on black, so that they show on every yarn.
const LIGHT: Color32 = Color32::WHITE;
const DARK: Color32 = Color32::from_black_alpha(200);

/// Where a mark is taken hold of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grip {
    /// Inside: it moves.
    Inside,
    /// At a corner, right or not, bottom or not: it is resized.
    Corner {
        /// A right corner.
        right: bool,
        /// A bottom corner.
        bottom: bool,
    },
}

impl Grip {
    /// What the pointer looks like.
    pub const fn cursor(self) -> CursorIcon {
        match self {
            Self::Inside => CursorIcon::Move,
            Self::Corner { right, bottom } if right == bottom => CursorIcon::ResizeNwSe,
            Self::Corner { .. } => CursorIcon::ResizeNeSw,
        }
    }
}

fn on_screen(sheet: &Sheet, region: Region) -> Rect {
    let at = |x: u32, y: u32| sheet.to_screen(Pos2::new(x as f32, y as f32));
    Rect::from_min_max(at(region.x, region.y), at(region.x + region.width, region.y + region.height))
}

/// How a point of the screen takes hold of a region, if it does.
pub fn grip(sheet: &Sheet, region: Region, at: Pos2) -> Option<Grip> {
    let rect = on_screen(sheet, region);
    for (right, bottom) in [(false, false), (true, false), (false, true), (true, true)] {
        let x = if right { rect.right() } else { rect.left() };
        let y = if bottom { rect.bottom() } else { rect.top() };
        if (at - Pos2::new(x, y)).length() <= REACH {
            return Some(Grip::Corner { right, bottom });
        }
    }
    rect.contains(at).then_some(Grip::Inside)
}

/// The region moved or resized by `by` picture pixels, inside the picture.
pub fn moved(photograph: &Photograph, region: Region, grip: Grip, by: Vec2) -> Region {
    let Region { x, y, width, height } = region;
    let [left, top, right, bottom] = [x, y, x + width, y + height].map(i64::from);
    let (dx, dy) = (by.x.round() as i64, by.y.round() as i64);
    let bounded = |v: i64, end: u32| v.clamp(0, i64::from(end)) as u32;
    let (wide, high) = (photograph.picture.width(), photograph.picture.height());
    match grip {
        Grip::Inside => Region {
            x: bounded(left + dx, wide - width.min(wide)),
            y: bounded(top + dy, high - height.min(high)),
            width,
            height,
        },
        Grip::Corner { right: at_right, bottom: at_bottom } => {
            let (x1, x2) = if at_right { (left, right + dx) } else { (left + dx, right) };
            let (y1, y2) = if at_bottom { (top, bottom + dy) } else { (top + dy, bottom) };
            let (x1, x2) = (bounded(x1.min(x2), wide), bounded(x1.max(x2), wide));
            let (y1, y2) = (bounded(y1.min(y2), high), bounded(y1.max(y2), high));
            Region::new(x1, y1, x2 - x1, y2 - y1)
        }
    }
}

/// Paints every mark.
pub fn paint(painter: &Painter, sheet: &Sheet, photograph: &Photograph, view: &PhotographView) {
    let cards = photograph.references().len();
    // One more for a reference that is being drawn.
    for number in 0..=cards {
        let place = Place::Reference(number);
        let Some(region) = view.region(photograph, place) else { continue };
        let dashed = matches!(view.draft, Some((drawn, _)) if drawn == place);
        let label = light::card_name(number, cards);
        let chosen = view.marking == Marking::Reference && cards > 1 && view.reference == number;
        mark(painter, on_screen(sheet, region), &Look { label: &label, dashed, chosen });
    }
    for (number, yarn) in photograph.yarns.iter().enumerate() {
        let Some(region) = view.region(photograph, Place::Yarn(yarn.id)) else { continue };
        let known = if yarn.known.is_some() { " known" } else { "" };
        let label = format!("{}{known}", number + 1);
        let look = Look { label: &label, dashed: !yarn.accepted, chosen: view.chosen == Some(yarn.id) };
        mark(painter, on_screen(sheet, region), &look);
    }
    if let Some((Place::Yarn(0), region)) = view.draft {
        mark(painter, on_screen(sheet, region), &Look { label: "", dashed: true, chosen: false });
    }
}

struct Look<'a> {
    label: &'a str,
    /// Not yet measured or accepted.
    dashed: bool,
    chosen: bool,
}

fn mark(painter: &Painter, rect: Rect, look: &Look) {
    let width = if look.chosen { 2.5 } else { 1.5 };
    painter.rect_stroke(rect, 0, Stroke::new(width + 2.0, DARK), StrokeKind::Middle);
    if look.dashed {
        let corners =
            [rect.left_top(), rect.right_top(), rect.right_bottom(), rect.left_bottom(), rect.left_top()];
        painter.extend(Shape::dashed_line(&corners, Stroke::new(width, LIGHT), 6.0, 4.0));
    } else {
        painter.rect_stroke(rect, 0, Stroke::new(width, LIGHT), StrokeKind::Middle);
    }
    if look.chosen {
        for corner in [rect.left_top(), rect.right_top(), rect.right_bottom(), rect.left_bottom()] {
            let square = Rect::from_center_size(corner, Vec2::splat(8.0));
            painter.rect_filled(square.expand(1.5), 0, DARK);
            painter.rect_filled(square, 0, LIGHT);
        }
    }
    if !look.label.is_empty() {
        tag(painter, rect.left_top() + vec2(4.0, 4.0), Align2::LEFT_TOP, look.label);
    }
}

/// White words on a dark ground.
fn tag(painter: &Painter, at: Pos2, align: Align2, text: &str) {
    let galley = painter.layout_no_wrap(text.to_owned(), FontId::proportional(SMALL), LIGHT);
    let ground = align.anchor_size(at, galley.size() + vec2(10.0, 4.0));
    painter.rect_filled(ground, 3, DARK);
    painter.galley(ground.min + vec2(5.0, 2.0), galley, LIGHT);
}

/// What a pane shows, in its corner.
pub fn caption(painter: &Painter, pane: Rect, text: &str) {
    tag(painter, pane.left_bottom() + vec2(STEP, -STEP), Align2::LEFT_BOTTOM, text);
}
