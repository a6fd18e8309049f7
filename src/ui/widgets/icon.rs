//! Line icons, drawn in a 16 x 16 box so that they need no font and stay crisp at any scale.

use egui::{Color32, Painter, Pos2, Rect, Response, Role, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo};

use crate::ui::theme::{CORNER, Tokens};

/// One stroke of an icon in the 16 x 16 box.
enum IconPart {
    Open(&'static [(f32, f32)]),
    Closed(&'static [(f32, f32)]),
    Filled(&'static [(f32, f32)]),
    Ring(f32, f32, f32),
    Disc(f32, f32, f32),
    /// Centre, radius, start and end in degrees, clockwise from the right.
    Arc(f32, f32, f32, f32, f32),
    Dashed(&'static [(f32, f32)]),
}

use IconPart::{Arc, Closed, Dashed, Disc, Filled, Open, Ring};

/// Declares the icons: what each shows and the strokes that show it.
macro_rules! icons {
    ($($(#[$shows:meta])* $name:ident => $parts:expr;)+) => {
        /// What an icon shows.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum Icon {
            $($(#[$shows])* $name),+
        }

        impl Icon {
            const fn parts(self) -> &'static [IconPart] {
                match self {
                    $(Self::$name => &$parts),+
                }
            }
        }
    };
}

icons! {
    /// A pencil.
    Draw => [
        Closed(&[(2.5, 13.5), (3.4, 10.2), (10.6, 3.0), (13.0, 5.4), (5.8, 12.6)]),
        Open(&[(9.2, 4.4), (11.6, 6.8)]),
    ];
    /// A slanted line.
    Line => [Open(&[(3.0, 13.0), (13.0, 3.0)]), Disc(3.0, 13.0, 1.4), Disc(13.0, 3.0, 1.4)];
    /// A rectangle.
    Rectangle => [Closed(&[(2.5, 4.0), (13.5, 4.0), (13.5, 12.0), (2.5, 12.0)])];
    /// An ellipse.
    Ellipse => [Ring(8.0, 8.0, 5.5)];
    /// A tilted pot with a drop.
    Fill => [
        Closed(&[(7.0, 2.5), (12.5, 8.0), (7.5, 13.0), (2.0, 7.5)]),
        Open(&[(2.6, 8.0), (12.0, 8.0)]),
        Disc(13.6, 11.8, 1.5),
    ];
    /// A block rubber.
    Erase => [
        Closed(&[(2.2, 10.2), (9.0, 3.4), (13.0, 7.4), (7.4, 13.0), (5.0, 13.0)]),
        Open(&[(5.4, 7.0), (9.4, 11.0)]),
        Open(&[(7.4, 13.2), (13.5, 13.2)]),
    ];
    /// A pipette.
    Pick => [
        Closed(&[(2.6, 13.4), (3.2, 10.9), (8.6, 5.5), (10.5, 7.4), (5.1, 12.8)]),
        Filled(&[(8.0, 4.0), (9.5, 4.4), (11.0, 2.4), (13.6, 5.0), (11.6, 6.5), (12.0, 8.0)]),
    ];
    /// A dashed rectangle.
    Region => [Dashed(&[(2.5, 3.5), (13.5, 3.5), (13.5, 12.5), (2.5, 12.5), (2.5, 3.5)])];
    /// A dashed line around a shape drawn by hand.
    Freehand => [Dashed(&[
        (4.0, 4.5),
        (8.5, 2.2),
        (13.2, 4.6),
        (12.0, 8.6),
        (13.6, 12.0),
        (8.6, 13.8),
        (3.4, 12.6),
        (2.4, 8.4),
        (4.0, 4.5),
    ])];
    /// Squares that hang together.
    Area => [
        Filled(&[(2.5, 6.0), (6.0, 6.0), (6.0, 13.5), (2.5, 13.5)]),
        Filled(&[(6.0, 6.0), (9.7, 6.0), (9.7, 9.7), (6.0, 9.7)]),
        Closed(&[(11.0, 2.5), (13.5, 2.5), (13.5, 5.0), (11.0, 5.0)]),
    ];
    /// Squares alike, apart.
    OneColour => [
        Filled(&[(2.5, 9.5), (6.5, 9.5), (6.5, 13.5), (2.5, 13.5)]),
        Filled(&[(9.5, 9.5), (13.5, 9.5), (13.5, 13.5), (9.5, 13.5)]),
        Filled(&[(6.0, 2.5), (10.0, 2.5), (10.0, 6.5), (6.0, 6.5)]),
    ];
    /// An arrow turning back.
    Undo => [Arc(8.5, 9.0, 4.5, -160.0, 90.0), Filled(&[(1.6, 7.6), (7.2, 8.2), (3.4, 3.2)])];
    /// An arrow turning forward.
    Redo => [Arc(7.5, 9.0, 4.5, 90.0, 340.0), Filled(&[(14.4, 7.6), (8.8, 8.2), (12.6, 3.2)])];
    /// Two crossing dashed lines with a mark in each quarter.
    Symmetry => [
        Dashed(&[(8.0, 1.0), (8.0, 15.0)]),
        Dashed(&[(1.0, 8.0), (15.0, 8.0)]),
        Filled(&[(3.0, 6.0), (6.0, 6.0), (6.0, 3.0)]),
        Filled(&[(13.0, 6.0), (10.0, 6.0), (10.0, 3.0)]),
        Filled(&[(3.0, 10.0), (6.0, 10.0), (6.0, 13.0)]),
        Filled(&[(13.0, 10.0), (10.0, 10.0), (10.0, 13.0)]),
    ];
    /// A closed lock.
    Locked => [
        Filled(&[(3.5, 7.5), (12.5, 7.5), (12.5, 13.5), (3.5, 13.5)]),
        Arc(8.0, 6.5, 2.8, 180.0, 360.0),
        Open(&[(5.2, 6.5), (5.2, 8.0)]),
        Open(&[(10.8, 6.5), (10.8, 8.0)]),
    ];
    /// An open lock.
    Unlocked => [
        Closed(&[(3.5, 7.5), (12.5, 7.5), (12.5, 13.5), (3.5, 13.5)]),
        Arc(10.2, 5.5, 2.8, 180.0, 345.0),
        Open(&[(7.4, 5.5), (7.4, 7.5)]),
    ];
    /// A triangle with a stroke.
    Warning => [
        Closed(&[(8.0, 2.0), (14.5, 13.5), (1.5, 13.5)]),
        Open(&[(8.0, 6.2), (8.0, 9.8)]),
        Disc(8.0, 11.7, 0.8),
    ];
    /// A filled octagon with a stroke.
    Problem => [Filled(&[
        (5.3, 1.5),
        (10.7, 1.5),
        (14.5, 5.3),
        (14.5, 10.7),
        (10.7, 14.5),
        (5.3, 14.5),
        (1.5, 10.7),
        (1.5, 5.3),
    ])];
    /// A ring with a stroke.
    Note => [Ring(8.0, 8.0, 6.0), Open(&[(8.0, 7.2), (8.0, 11.0)]), Disc(8.0, 4.9, 0.9)];
    /// A tick.
    Tick => [Open(&[(2.5, 8.5), (6.2, 12.4), (13.5, 4.0)])];
    /// Half light, half dark.
    Theme => [
        Ring(8.0, 8.0, 5.5),
        Filled(&[(8.0, 2.5), (11.9, 4.1), (13.5, 8.0), (11.9, 11.9), (8.0, 13.5)]),
    ];
    /// A plus.
    Add => [Open(&[(8.0, 3.0), (8.0, 13.0)]), Open(&[(3.0, 8.0), (13.0, 8.0)])];
    /// A dash.
    Remove => [Open(&[(3.0, 8.0), (13.0, 8.0)])];
    /// A cross.
    Close => [Open(&[(4.0, 4.0), (12.0, 12.0)]), Open(&[(12.0, 4.0), (4.0, 12.0)])];
    /// A frame with arrows to its corners.
    Whole => [
        Open(&[(2.5, 6.0), (2.5, 2.5), (6.0, 2.5)]),
        Open(&[(10.0, 2.5), (13.5, 2.5), (13.5, 6.0)]),
        Open(&[(13.5, 10.0), (13.5, 13.5), (10.0, 13.5)]),
        Open(&[(6.0, 13.5), (2.5, 13.5), (2.5, 10.0)]),
    ];
    /// A grid with a motif.
    Design => [
        Closed(&[(2.0, 2.0), (14.0, 2.0), (14.0, 14.0), (2.0, 14.0)]),
        Filled(&[(6.0, 2.0), (10.0, 2.0), (10.0, 6.0), (6.0, 6.0)]),
        Filled(&[(2.0, 6.0), (6.0, 6.0), (6.0, 10.0), (2.0, 10.0)]),
        Filled(&[(10.0, 6.0), (14.0, 6.0), (14.0, 10.0), (10.0, 10.0)]),
        Filled(&[(6.0, 10.0), (10.0, 10.0), (10.0, 14.0), (6.0, 14.0)]),
    ];
    /// A lock of fibre.
    Fibre => [
        Open(&[(3.0, 14.0), (4.6, 10.0), (3.4, 6.0), (5.0, 2.0)]),
        Open(&[(7.0, 14.0), (8.6, 10.0), (7.4, 6.0), (9.0, 2.0)]),
        Open(&[(11.0, 14.0), (12.6, 10.0), (11.4, 6.0), (13.0, 2.0)]),
    ];
    /// A ball of yarn with its end.
    Yarn => [
        Ring(7.0, 7.5, 5.2),
        Arc(2.0, 12.5, 8.0, -82.0, -8.0),
        Arc(0.0, 14.5, 7.6, -62.0, -28.0),
        Open(&[(7.0, 12.7), (14.0, 13.6)]),
    ];
    /// A square of fabric with a rule.
    Swatch => [
        Closed(&[(2.0, 2.0), (11.0, 2.0), (11.0, 11.0), (2.0, 11.0)]),
        Open(&[(2.0, 14.0), (11.0, 14.0)]),
        Open(&[(2.0, 13.0), (2.0, 15.0)]),
        Open(&[(11.0, 13.0), (11.0, 15.0)]),
        Open(&[(14.0, 2.0), (14.0, 11.0)]),
        Open(&[(13.0, 2.0), (15.0, 2.0)]),
        Open(&[(13.0, 11.0), (15.0, 11.0)]),
    ];
    /// The outline of a pullover.
    Pieces => [Closed(&[
        (5.8, 2.5),
        (8.0, 3.8),
        (10.2, 2.5),
        (14.4, 8.8),
        (12.4, 10.2),
        (11.0, 8.2),
        (11.0, 13.8),
        (5.0, 13.8),
        (5.0, 8.2),
        (3.6, 10.2),
        (1.6, 8.8),
    ])];
    /// A list with ticks.
    Shopping => [
        Open(&[(2.0, 4.0), (3.2, 5.2), (5.2, 2.8)]),
        Open(&[(2.0, 8.6), (3.2, 9.8), (5.2, 7.4)]),
        Open(&[(2.0, 13.2), (3.2, 14.4), (5.2, 12.0)]),
        Open(&[(7.6, 4.0), (14.0, 4.0)]),
        Open(&[(7.6, 8.6), (14.0, 8.6)]),
        Open(&[(7.6, 13.2), (14.0, 13.2)]),
    ];
    /// A chevron to the left.
    FoldLeft => [Open(&[(10.0, 3.5), (5.5, 8.0), (10.0, 12.5)])];
    /// A chevron to the right.
    FoldRight => [Open(&[(6.0, 3.5), (10.5, 8.0), (6.0, 12.5)])];
    /// A chevron upwards.
    Up => [Open(&[(3.5, 10.0), (8.0, 5.5), (12.5, 10.0)])];
    /// A chevron downwards.
    Down => [Open(&[(3.5, 6.0), (8.0, 10.5), (12.5, 6.0)])];
}

impl Icon {
    /// Paints the icon into `rect`.
    pub fn paint(self, painter: &Painter, rect: Rect, colour: Color32) {
        let side = rect.width().min(rect.height());
        let scale = side / 16.0;
        let origin = rect.center() - Vec2::splat(side / 2.0);
        let at = |(x, y): (f32, f32)| Pos2::new(origin.x + x * scale, origin.y + y * scale);
        let points = |list: &[(f32, f32)]| list.iter().copied().map(at).collect::<Vec<_>>();
        let stroke = Stroke::new(1.4 * scale, colour);
        for part in self.parts() {
            match part {
                Open(list) => {
                    painter.add(Shape::line(points(list), stroke));
                }
                Closed(list) => {
                    painter.add(Shape::closed_line(points(list), stroke));
                }
                Filled(list) => {
                    painter.add(Shape::convex_polygon(points(list), colour, Stroke::NONE));
                }
                Ring(x, y, r) => {
                    painter.circle_stroke(at((*x, *y)), r * scale, stroke);
                }
                Disc(x, y, r) => {
                    painter.circle_filled(at((*x, *y)), r * scale, colour);
                }
                Arc(x, y, r, from, to) => {
                    let steps = 16;
                    let arc = (0..=steps).map(|i| {
                        let angle = (from + (to - from) * i as f32 / steps as f32).to_radians();
                        at((x + r * angle.cos(), y + r * angle.sin()))
                    });
                    painter.add(Shape::line(arc.collect(), stroke));
                }
                Dashed(list) => {
                    painter.extend(Shape::dashed_line(&points(list), stroke, 2.2 * scale, 1.8 * scale));
                }
            }
        }
    }
}

/// A square button with an icon; `label` is its accessible name and `tip` its tooltip.
pub fn icon_button(ui: &mut Ui, icon: Icon, label: &str, tip: &str, chosen: bool) -> Response {
    sized_icon_button(ui, icon, label, tip, chosen, Vec2::splat(28.0))
}

/// An icon button of another size.
pub fn sized_icon_button(
    ui: &mut Ui,
    icon: Icon,
    label: &str,
    tip: &str,
    chosen: bool,
    size: Vec2,
) -> Response {
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let enabled = ui.is_enabled();
    response.widget_info(|| WidgetInfo::selected(Role::Button, enabled, chosen, label));
    if ui.is_rect_visible(rect) {
        let tokens = Tokens::of(ui);
        let fill = if chosen {
            tokens.chosen
        } else if response.is_pointer_button_down_on() {
            tokens.pressed
        } else if response.hovered() {
            tokens.hover
        } else {
            Color32::TRANSPARENT
        };
        ui.painter().rect_filled(rect, CORNER, fill);
        if response.has_focus() {
            focus_ring(ui, rect);
        }
        let ink = if enabled { tokens.text } else { tokens.weak.gamma_multiply(0.6) };
        let inner = Rect::from_center_size(rect.center(), Vec2::splat(size.min_elem() - 11.0));
        icon.paint(ui.painter(), inner, ink);
    }
    if tip.is_empty() { response } else { response.on_hover_text(tip).on_disabled_hover_text(tip) }
}

/// The ring around what has the keyboard.
pub fn focus_ring(ui: &Ui, rect: Rect) {
    let stroke = Stroke::new(2.0, Tokens::of(ui).focus);
    ui.painter().rect_stroke(rect.shrink(1.0), CORNER, stroke, egui::StrokeKind::Inside);
}
