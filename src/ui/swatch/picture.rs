//! The swatch before and after washing, drawn to one scale.

use egui::{Align2, FontId, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo};

use crate::knit::{Swatch, SwatchSize};
use crate::ui::theme::{SMALL, STEP, Tokens};
use crate::units::{LengthUnit, both_lengths};

/// The longest side of the picture in points.
const SIDE: f32 = 176.0;

/// Draws the washed swatch as an area and the one off the needles as a dashed outline over it.
pub fn show(ui: &mut Ui, swatch: &Swatch, units: LengthUnit) {
    let sizes = [swatch.before, swatch.after];
    let longest =
        |side: fn(SwatchSize) -> f64| sizes.iter().flatten().map(|size| side(*size)).fold(0.0, f64::max);
    let (width, height) = (longest(SwatchSize::width_cm), longest(SwatchSize::height_cm));
    let scale = f64::from(SIDE) / width.max(height).max(1.0);
    let points =
        |size: SwatchSize| Vec2::new((size.width_cm() * scale) as f32, (size.height_cm() * scale) as f32);
    let space = Vec2::new(ui.available_width(), (height * scale) as f32 + 4.0);
    let (rect, response) = ui.allocate_exact_size(space, Sense::hover());
    let tokens = Tokens::of(ui);
    let corner = rect.left_bottom() + Vec2::new(1.0, -2.0);
    let frame = |size| {
        Rect::from_min_max(corner - Vec2::new(0.0, points(size).y), corner + Vec2::new(points(size).x, 0.0))
    };
    if let Some(after) = swatch.after {
        ui.painter().rect_filled(frame(after), 2, tokens.chosen);
    }
    if let Some(before) = swatch.before {
        let frame = frame(before);
        let outline = [
            frame.left_top(),
            frame.right_top(),
            frame.right_bottom(),
            frame.left_bottom(),
            frame.left_top(),
        ];
        ui.painter().extend(Shape::dashed_line(&outline, Stroke::new(1.0, tokens.text), 4.0, 3.0));
    }
    let words = |what: &str, size: SwatchSize| {
        let sides = (both_lengths(size.width_cm(), units), both_lengths(size.height_cm(), units));
        format!("{what}: {} × {}", sides.0, sides.1)
    };
    let after = swatch.after.map(|size| words("Filled, washed", size));
    let before = swatch.before.map(|size| words("Dashed, off the needles", size));
    let lines: Vec<String> = after.into_iter().chain(before).collect();
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, lines.join("; ")));
    let left = corner.x + (width * scale) as f32 + 2.0 * STEP;
    for (number, line) in lines.iter().enumerate() {
        let galley = ui.painter().layout(
            line.replace(": ", "\n"),
            FontId::proportional(SMALL),
            tokens.weak,
            (rect.right() - left).max(60.0),
        );
        ui.painter().galley(Pos2::new(left, rect.top() + 44.0 * number as f32), galley, tokens.weak);
    }
    if lines.is_empty() {
        ui.painter().text(
            rect.center(),
            Align2::CENTER_CENTER,
            "Not measured",
            FontId::proportional(SMALL),
            tokens.weak,
        );
    }
}
