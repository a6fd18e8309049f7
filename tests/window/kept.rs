//! What is kept from the frame before is what would have been drawn.

use egui::epaint::{ClippedPrimitive, Primitive};
use egui::{Context, Event, Key, Modifiers, PointerButton, Pos2, RawInput, Rect, pos2, vec2};
use huegauge::app::Program;
use huegauge::app::home::Home;
use huegauge::app::jobs::Jobs;
use huegauge::file;
use huegauge::ui::Window;

/// A window without a screen.
struct Stage {
    ctx: Context,
    window: Window,
    frames: u32,
}

impl Stage {
    fn new() -> Self {
        let ctx = Context::default();
        let project = file::demos()[0].project().unwrap();
        let mut program = Program::new(project, Home::default(), Jobs::inline());
        program.state.system_picker = false;
        let window = Window::new(&ctx, program);
        Self { ctx, window, frames: 0 }
    }

    /// The triangles of the next frame, kept ones or not.
    fn triangles(&mut self, events: Vec<Event>, kept: bool) -> Vec<ClippedPrimitive> {
        self.frames += 1;
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, vec2(1280.0, 800.0))),
            time: Some(f64::from(self.frames) / 60.0),
            events,
            ..RawInput::default()
        };
        let window = &mut self.window;
        let mut output = self.ctx.run_ui(input, |ui| {
            window.collect();
            if kept { window.frame(ui) } else { window.show(ui) }
        });
        output.textures_delta.clear();
        self.ctx.tessellate(output.shapes, output.pixels_per_point)
    }
}

/// Goes over the window and paints, scrolls, opens a finding, goes to another workspace and back, and makes everything
/// larger.
fn events(frame: u32) -> Vec<Event> {
    let turn = frame as f32 * 0.3;
    let over_chart = pos2(620.0 + 90.0 * turn.cos(), 330.0 + 70.0 * turn.sin());
    let button = |pos, pressed| Event::PointerButton {
        pos,
        button: PointerButton::Primary,
        pressed,
        modifiers: Modifiers::NONE,
    };
    let click = |pos| vec![Event::PointerMoved(pos), button(pos, true), button(pos, false)];
    let key = |key| Event::Key {
        key,
        physical_key: None,
        pressed: true,
        repeat: false,
        modifiers: Modifiers::COMMAND,
    };
    match frame {
        12 => vec![Event::PointerMoved(over_chart), button(over_chart, true)],
        24 => vec![button(over_chart, false)],
        30..40 => vec![Event::PointerMoved(pos2(180.0, 40.0 + 60.0 * (frame - 30) as f32))],
        44 => click(pos2(1150.0, 150.0)),
        50 => vec![key(Key::Num1)],
        56 => vec![key(Key::Num3)],
        62 => vec![key(Key::Plus)],
        70 => click(pos2(700.0, 18.0)),
        _ => vec![Event::PointerMoved(over_chart)],
    }
}

#[test]
fn what_is_kept_is_what_would_be_drawn() {
    let (mut plain, mut kept) = (Stage::new(), Stage::new());
    for frame in 0..90 {
        let drawn = plain.triangles(events(frame), false);
        let shown = kept.triangles(events(frame), true);
        assert_eq!(shown.len(), drawn.len(), "frame {frame}");
        for (place, (shown, drawn)) in shown.iter().zip(&drawn).enumerate() {
            assert_eq!(shown.clip_rect, drawn.clip_rect, "frame {frame}, {place}");
            let (Primitive::Mesh(shown), Primitive::Mesh(drawn)) = (&shown.primitive, &drawn.primitive)
            else {
                panic!("nothing but meshes is drawn");
            };
            assert!(
                shown == drawn,
                "frame {frame}, mesh {place} of {} in {:?}",
                drawn.vertices.len(),
                drawn.texture_id
            );
        }
    }
    assert!(kept.window.program.state.document.version().revision > 0, "something was painted");
}
