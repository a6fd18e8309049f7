//! A picture on its way to the screen: its pixels are put in order on a thread.

use std::sync::Arc;
use std::sync::mpsc::{Receiver, channel};

use egui::{Color32, ColorImage, TextureFilter, TextureHandle, TextureId, TextureOptions, Ui};

use crate::photo::Preview;

/// A preview as a texture.
pub struct OnScreen {
    /// What it belongs to.
    number: u64,
    texture: Option<TextureHandle>,
    coming: Option<Receiver<ColorImage>>,
}

impl OnScreen {
    /// The preview of this number, begun in place of another one when that is what is `held`. Until it
    /// is there the former one is shown, else `meanwhile`.
    pub fn of(
        held: &mut Option<Self>,
        ui: &Ui,
        (number, preview): (u64, &Arc<Preview>),
        meanwhile: Option<&TextureHandle>,
    ) -> Option<TextureId> {
        if held.as_ref().is_none_or(|held| held.number != number) {
            let before = held.take().and_then(|held| held.texture).or_else(|| meanwhile.cloned());
            *held = Some(Self { number, texture: before, coming: begin(ui, preview) });
        }
        let held = held.as_mut()?;
        if let Some(image) = held.coming.as_ref().and_then(|coming| coming.try_recv().ok()) {
            // Smaller copies too: a photograph is mostly shown smaller than it is.
            let options =
                TextureOptions { mipmap_mode: Some(TextureFilter::Linear), ..TextureOptions::LINEAR };
            held.texture = Some(ui.ctx().load_texture("photograph", image, options));
            held.coming = None;
        }
        held.texture.as_ref().map(TextureHandle::id)
    }

    /// What is shown of it.
    pub const fn texture(&self) -> Option<&TextureHandle> {
        self.texture.as_ref()
    }
}

/// Starts on a preview; `None` when no thread could be had.
fn begin(ui: &Ui, preview: &Arc<Preview>) -> Option<Receiver<ColorImage>> {
    let (sender, receiver) = channel();
    let (ctx, preview) = (ui.ctx().clone(), Arc::clone(preview));
    let work = move || {
        let pixels = preview.pixels.iter().map(|[r, g, b]| Color32::from_rgb(*r, *g, *b)).collect();
        // Another photograph may have been opened meanwhile; then nobody waits for this one.
        let _ = sender.send(ColorImage::new([preview.width, preview.height], pixels));
        ctx.request_repaint();
    };
    std::thread::Builder::new().name("photograph to show".to_owned()).spawn(work).ok().map(|_| receiver)
}
