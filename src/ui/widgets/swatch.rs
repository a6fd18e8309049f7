//! A colour with its sign, as on the chart.

use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Ui, Vec2};

use crate::app::view::Eyes;
use crate::colour::Colour;
use crate::export::symbols::Mark;
use crate::ui::colours::{ink_on, seen};
use crate::ui::theme::Tokens;

/// Part of the swatch's shorter side that the sign takes.
const SIGN: f32 = 0.62;

/// Paints a colour with an edge that shows on any ground, and its sign if it has one (see [`distinct_marks`](crate::export::symbols::distinct_marks)).
pub fn paint_swatch(ui: &Ui, rect: Rect, colour: Colour, sign: &[Mark], eyes: Eyes) {
    let edge = Stroke::new(1.0, Tokens::of(ui).edge);
    let ground = seen(colour, eyes);
    ui.painter().rect(rect, 3, ground, edge, StrokeKind::Inside);
    let side = rect.width().min(rect.height()) * SIGN;
    let square = Rect::from_center_size(rect.center(), Vec2::splat(side));
    paint_sign(ui.painter(), square, sign, ink_on(ground));
}

/// Paints a sign into a square.
pub fn paint_sign(painter: &Painter, square: Rect, sign: &[Mark], ink: Color32) {
    let side = square.width();
    let place = |points: &[[f32; 2]]| -> Vec<Pos2> {
        points.iter().map(|p| square.min + Vec2::new(p[0], p[1]) * side).collect()
    };
    for mark in sign {
        painter.add(match mark {
            Mark::Fill(points) => Shape::convex_polygon(place(points), ink, Stroke::NONE),
            Mark::Stroke { points, width, closed: true } => {
                Shape::closed_line(place(points), Stroke::new(*width * side, ink))
            }
            Mark::Stroke { points, width, closed: false } => {
                Shape::line(place(points), Stroke::new(*width * side, ink))
            }
        });
    }
}
