//! A drawing as a PNG file with its printed size.

use std::io::Write;
use std::sync::mpsc::sync_channel;

use rayon::prelude::*;

use super::ExportError;
use super::drawing::Drawing;
use super::raster;
use crate::plain_text::one_line;

/// Largest picture that is written, in megapixels: about an A0 sheet at 300 dots per inch and
/// half as much again. Larger files open in hardly any program.
pub const MAX_MEGAPIXELS: u64 = 200;

/// Rows of a band: enough to paint well, small enough to forget.
const BAND_ROWS: u32 = 256;

/// Writes the drawing at one pixel a unit as an RGB PNG that knows its printed size (pHYs chunk)
/// and its title.
///
/// # Errors
/// [`ExportError::TooLarge`] above [`MAX_MEGAPIXELS`]; [`ExportError::Encoding`] when the writer fails.
pub fn write(drawing: &Drawing, out: &mut dyn Write) -> Result<(), ExportError> {
    let bands = Bands {
        size: raster::pixel_size(drawing, 1.0),
        pixels_per_metre: pixels_per_metre(drawing),
        title: &drawing.title,
        rows: BAND_ROWS,
    };
    bands.write(out, &|top, rows| rgb_band(drawing, top, rows))
}

/// A picture that is painted and written in bands of pixels.
pub(super) struct Bands<'a> {
    /// Width and height in pixels.
    pub size: (u32, u32),
    /// The printed resolution.
    pub pixels_per_metre: u32,
    /// Its title.
    pub title: &'a str,
    /// Rows of a band, 1 or more.
    pub rows: u32,
}

impl Bands<'_> {
    /// Writes the picture; `paint` makes the RGB bytes of so many rows from the top one on.
    pub fn write(
        &self,
        out: &mut dyn Write,
        paint: &(dyn Fn(u32, u32) -> Option<Vec<u8>> + Sync),
    ) -> Result<(), ExportError> {
        let (width, height) = self.size;
        check_size(width, height)?;
        let mut encoder = png::Encoder::new(out, width, height);
        encoder.set_color(png::ColorType::Rgb);
        encoder.set_depth(png::BitDepth::Eight);
        // The compression chooses a filter of its own, so ours comes after it: even rows of even cells
        // have nearly everything in common with the row above.
        encoder.set_compression(png::Compression::Balanced);
        encoder.set_filter(png::Filter::Up);
        encoder.set_pixel_dims(Some(png::PixelDimensions {
            xppu: self.pixels_per_metre,
            yppu: self.pixels_per_metre,
            unit: png::Unit::Meter,
        }));
        encoder.add_itxt_chunk("Title".to_owned(), one_line(self.title))?;
        encoder.add_text_chunk("Software".to_owned(), "Huegauge".to_owned())?;
        let mut writer = encoder.write_header()?;
        let mut stream = writer.stream_writer()?;
        let bands: Vec<u32> = (0..height).step_by(self.rows as usize).collect();
        // As many bands at a time as there are threads, and one such group painted while the one before is
        // written, so that memory stays bounded.
        std::thread::scope(|scope| {
            let (sender, receiver) = sync_channel(0);
            let paint_all = move || {
                for group in bands.chunks(rayon::current_num_threads().max(1)) {
                    let painted: Vec<Option<Vec<u8>>> =
                        group.par_iter().map(|top| paint(*top, self.rows.min(height - top))).collect();
                    if sender.send(painted).is_err() {
                        // The writer has failed.
                        return;
                    }
                }
            };
            std::thread::Builder::new().name("painting".to_owned()).spawn_scoped(scope, paint_all)?;
            for band in receiver.into_iter().flatten() {
                stream.write_all(&band.ok_or(ExportError::Memory)?)?;
            }
            Ok::<(), ExportError>(())
        })?;
        stream.finish()?;
        writer.finish()?;
        Ok(())
    }
}

/// Refuses a picture over [`MAX_MEGAPIXELS`].
///
/// # Errors
/// [`ExportError::TooLarge`].
pub fn check_size(width: u32, height: u32) -> Result<(), ExportError> {
    if u64::from(width) * u64::from(height) > MAX_MEGAPIXELS * 1_000_000 {
        return Err(ExportError::TooLarge { width, height });
    }
    Ok(())
}

/// The resolution in the pHYs chunk.
pub fn pixels_per_metre(drawing: &Drawing) -> u32 {
    (1000.0 / drawing.unit_mm).round() as u32
}

fn rgb_band(drawing: &Drawing, top: u32, rows: u32) -> Option<Vec<u8>> {
    raster::rows(drawing, 1.0, top, rows, |rgba| {
        let mut rgb = vec![0; rgba.len() / 4 * 3];
        for (to, from) in rgb.chunks_exact_mut(3).zip(rgba.chunks_exact(4)) {
            to.copy_from_slice(&from[..3]);
        }
        rgb
    })
}
