//! Small pictures of the chart in other colours, drawn on a thread and kept until the chart changes.

use std::collections::HashMap;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, TryRecvError, channel};

use egui::{
    Color32, ColorImage, Rect, Response, Role, Stroke, StrokeKind, TextureFilter, TextureHandle, TextureId,
    TextureOptions, Ui, Vec2, WidgetInfo, pos2,
};

use crate::app::document::Version;
use crate::app::state::State;
use crate::app::view::Eyes;
use crate::colour::Colour;
use crate::project::Project;
use crate::ui::canvas;
use crate::ui::theme::Tokens;
use crate::ui::widgets::focus_ring;

/// Stitches stay squares when enlarged and are averaged when there are too many.
const SHARP: TextureOptions =
    TextureOptions { magnification: TextureFilter::Nearest, ..TextureOptions::LINEAR_REPEAT };
/// Longest side of a picture in pixels; pictures are shown about as large at most.
const SIDE: u32 = 384;
/// Pictures that were not asked for in this many frames are let go once there are many.
const KEPT_FRAMES: u64 = 60;
const MANY: usize = 64;

/// The chart and the eyes a picture belongs to: the state of the document, and how colours are seen.
type Of = (Version, Eyes);
/// Colours as the screen shows them.
type Key = Vec<[u8; 3]>;

struct KeptTexture {
    of: Of,
    texture: TextureHandle,
    /// The frame it was last asked for in.
    used: u64,
}

/// Pictures of the project's chart, by their colours.
#[derive(Default)]
pub struct ChartPictures {
    held: HashMap<Key, KeptTexture>,
    wanted: Vec<Vec<Colour>>,
    coming: Option<Receiver<(Key, Of, ColorImage)>>,
    frame: u64,
}

fn key(colours: &[Colour]) -> Key {
    colours.iter().map(|colour| colour.to_srgb8()).collect()
}

impl ChartPictures {
    /// The picture in these colours, one a slot, with its size in pixels. `None` until it is drawn; an
    /// earlier one of this document in the same colours stands in while the chart changes.
    pub fn of(&mut self, ui: &Ui, state: &State, colours: &[Colour]) -> Option<(TextureId, Vec2)> {
        let now = (state.document.version(), state.eyes);
        let held = self.held.get_mut(&key(colours)).filter(|held| held.of.0.document == now.0.document);
        let fresh = held.as_ref().is_some_and(|held| held.of == now);
        // Not while something is dragged: the pictures follow when it is let go.
        let later = held.is_some() && ui.input(|input| input.pointer.any_down());
        if !fresh && !later {
            self.wanted.push(colours.to_vec());
        }
        held.map(|held| {
            held.used = self.frame;
            (held.texture.id(), held.texture.size_vec2())
        })
    }

    /// Takes in what was drawn and has the rest drawn; once a frame, after the last picture.
    pub fn keep_up(&mut self, ui: &Ui, state: &State) {
        self.frame += 1;
        self.take_in(ui);
        let wanted = std::mem::take(&mut self.wanted);
        if self.coming.is_none() && !wanted.is_empty() {
            self.coming = draw_elsewhere(ui, state, wanted);
        }
        if self.held.len() > MANY {
            let frame = self.frame;
            self.held.retain(|_, held| held.used + KEPT_FRAMES > frame);
        }
    }

    fn take_in(&mut self, ui: &Ui) {
        while let Some(coming) = &self.coming {
            match coming.try_recv() {
                Ok((key, of, image)) => {
                    let texture = ui.ctx().load_texture("chart in other colours", image, SHARP);
                    self.held.insert(key, KeptTexture { of, texture, used: self.frame });
                    ui.ctx().request_repaint();
                }
                Err(TryRecvError::Empty) => return,
                Err(TryRecvError::Disconnected) => self.coming = None,
            }
        }
    }
}

/// Draws pictures on a thread, each sent as soon as it is there. `None` when no thread could be had.
fn draw_elsewhere(
    ui: &Ui,
    state: &State,
    wanted: Vec<Vec<Colour>>,
) -> Option<Receiver<(Key, Of, ColorImage)>> {
    let (sender, receiver) = channel();
    let (ctx, project) = (ui.ctx().clone(), Arc::clone(state.document.project()));
    let of = (state.document.version(), state.eyes);
    let work = move || {
        for colours in wanted {
            let image = canvas::thumbnail(&project, &colours, of.1, SIDE);
            // The window may have closed meanwhile; then nobody waits for the pictures.
            if sender.send((key(&colours), of, image)).is_err() {
                return;
            }
            ctx.request_repaint();
        }
        drop(sender);
        // Once more, for what was wanted meanwhile.
        ctx.request_repaint();
    };
    std::thread::Builder::new().name("small charts".to_owned()).spawn(work).ok().map(|_| receiver)
}

/// The chart in the colours of a colourway, as a button that takes them up; one whose colours are `worn`
/// already does nothing. Whether it was clicked.
pub fn colourway_button(
    ui: &Ui,
    project: &Project,
    response: Response,
    (label, worn): (&str, bool),
    picture: Option<(TextureId, Vec2)>,
) -> bool {
    let rect = response.rect;
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, worn, label));
    let inside = paint_chart(ui, project, rect, picture);
    if let (true, Some(inside), Some((texture, _))) = (repeats_whole(project), inside, picture) {
        around(ui, rect.shrink(4.0), inside, texture);
    }
    if worn || response.hovered() {
        let ring = Stroke::new(2.0, Tokens::of(ui).focus);
        ui.painter().rect_stroke(rect, 4, ring, StrokeKind::Inside);
    }
    if response.has_focus() {
        focus_ring(ui, rect);
    }
    response.on_hover_text("Take up these colours; undo brings back the present ones").clicked() && !worn
}

/// Whether the whole chart is the repeat, so that it goes on beside itself.
fn repeats_whole(project: &Project) -> bool {
    project.chart.repeat() == project.chart.grid.bounds()
}

/// Fainter repeats of the picture at `inside` in the rest of `rect`, as they lie around the chart.
fn around(ui: &Ui, rect: Rect, inside: Rect, texture: TextureId) {
    let faint = Color32::from_white_alpha(110);
    let in_pictures = |at: egui::Pos2| ((at - inside.min) / inside.size()).to_pos2();
    let parts = [
        rect.with_max_x(inside.left()),
        rect.with_min_x(inside.right()),
        Rect::from_x_y_ranges(inside.x_range(), rect.top()..=inside.top()),
        Rect::from_x_y_ranges(inside.x_range(), inside.bottom()..=rect.bottom()),
    ];
    for part in parts.into_iter().filter(Rect::is_positive) {
        let uv = Rect::from_min_max(in_pictures(part.min), in_pictures(part.max));
        ui.painter().image(texture, part, uv, faint);
    }
}

/// The picture at the chart's true aspect in the middle of `rect`, on the surround; where it lies.
pub fn paint_chart(
    ui: &Ui,
    project: &Project,
    rect: Rect,
    picture: Option<(TextureId, Vec2)>,
) -> Option<Rect> {
    ui.painter().rect_filled(rect, 4, Tokens::of(ui).surround);
    let (texture, size) = picture?;
    let tall = size.y / project.plan.gauge.cell_aspect() as f32;
    let scale = ((rect.width() - 8.0) / size.x).min((rect.height() - 8.0) / tall);
    let inside = Rect::from_center_size(rect.center(), Vec2::new(size.x, tall) * scale);
    let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
    ui.painter().image(texture, inside, whole, Color32::WHITE);
    Some(inside)
}
