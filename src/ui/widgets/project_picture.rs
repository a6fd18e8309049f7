//! A picture of a whole project that is being tried out, drawn on a thread.

use std::sync::mpsc::{Receiver, channel};
use std::sync::{Arc, Mutex, PoisonError};

use egui::{ColorImage, Id, Rect, TextureFilter, TextureHandle, TextureOptions, Ui};

use super::chart_picture::paint_chart;
use crate::app::view::Eyes;
use crate::project::Project;
use crate::ui::canvas;

/// Longest side in pixels.
const SIDE: u32 = 640;
const SHARP: TextureOptions =
    TextureOptions { magnification: TextureFilter::Nearest, ..TextureOptions::LINEAR };

type Drawn = (Arc<Project>, Eyes, ColorImage);

#[derive(Default)]
struct Kept {
    shown: Option<(Arc<Project>, Eyes, TextureHandle)>,
    coming: Option<Receiver<Drawn>>,
}

/// The pictures of one place in the window.
#[derive(Clone, Default)]
struct Place(Arc<Mutex<Kept>>);

/// Paints the chart of `project` into `rect` at its true aspect; an earlier picture of this place stands in
/// until it is drawn. Where the chart lies in the end, or `None` before anything is there.
pub fn project_picture(ui: &Ui, place: Id, project: &Arc<Project>, eyes: Eyes, rect: Rect) -> Option<Rect> {
    let place = ui.data_mut(|data| data.get_temp_mut_or_default::<Place>(place).clone());
    let mut held = place.0.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some((project, eyes, image)) = held.coming.as_ref().and_then(|coming| coming.try_recv().ok()) {
        let texture = ui.ctx().load_texture("tried out", image, SHARP);
        held.shown = Some((project, eyes, texture));
        held.coming = None;
    }
    let fresh = held.shown.as_ref().is_some_and(|shown| Arc::ptr_eq(&shown.0, project) && shown.1 == eyes);
    if !fresh && held.coming.is_none() {
        held.coming = draw_elsewhere(ui, project, eyes);
    }
    match &held.shown {
        Some((of, _, texture)) => {
            let inside = paint_chart(ui, of, rect, Some((texture.id(), texture.size_vec2())));
            inside.filter(|_| fresh)
        }
        None => paint_chart(ui, project, rect, None),
    }
}

fn draw_elsewhere(ui: &Ui, project: &Arc<Project>, eyes: Eyes) -> Option<Receiver<Drawn>> {
    let (sender, receiver) = channel();
    let (ctx, project) = (ui.ctx().clone(), Arc::clone(project));
    let work = move || {
        let image = canvas::thumbnail(&project, &[], eyes, SIDE);
        // The window may have closed meanwhile; then nobody waits for the picture.
        let _ = sender.send((project, eyes, image));
        ctx.request_repaint();
    };
    std::thread::Builder::new().name("chart tried out".to_owned()).spawn(work).ok().map(|_| receiver)
}
