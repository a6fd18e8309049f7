//! A look at the knit fabric before it is written to a file, painted off the window's thread.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use rayon::prelude::*;

use super::derived::{Derived, Reading};
use super::document::{Document, DocumentId, Version};
use super::exports::in_size;
use super::jobs::{Host, Jobs};
use crate::colour::transfer;
use crate::export::ExportError;
use crate::export::fabric_picture::{Distance, FabricOptions, FabricPicture, PX};
use crate::project::Project;

/// Most pixels across or up that the look of a picture in the hand has: finer is not seen in the window.
const SIDE: u32 = 1000;

/// What the picture will look like.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FabricLook {
    /// Width and height in pixels.
    pub size: [u32; 2],
    /// RGB bytes, row by row from the top.
    pub rgb: Vec<u8>,
    /// How many stitches are seen.
    pub stitches: usize,
}

impl FabricLook {
    /// `None` soon after `stop` turns true.
    ///
    /// # Errors
    /// [`ExportError`] when the pieces cannot be worked, there are none, or even the coarsest is too large.
    fn of(project: &Project, options: FabricOptions, stop: &AtomicBool) -> Result<Option<Self>, ExportError> {
        let with = |px_per_stitch| FabricPicture::of(project, &FabricOptions { px_per_stitch, ..options });
        let coarsest = with(*PX.start())?;
        let picture = if options.distance == Distance::Room {
            coarsest
        } else {
            let longest = coarsest.size().into_iter().max().unwrap_or(1);
            let px = (PX.start() * SIDE / longest).clamp(*PX.start(), options.px_per_stitch.max(*PX.start()));
            if px > *PX.start() { with(px)? } else { coarsest }
        };
        Ok(picture.rgb(stop).map(|rgb| {
            let (size, rgb) = shrunk(picture.size(), rgb);
            Self { size, rgb, stitches: picture.stitches() }
        }))
    }
}

/// A picture made smaller by a whole factor where it is longer than [`SIDE`], averaged in linear light; what is left
/// over at the right and at the foot is cut.
fn shrunk([width, height]: [u32; 2], rgb: Vec<u8>) -> ([u32; 2], Vec<u8>) {
    let by = width.max(height).div_ceil(SIDE).max(1);
    if by == 1 {
        return ([width, height], rgb);
    }
    let lights: Vec<f32> = (0..=255).map(|code| transfer::byte_to_light(code) as f32).collect();
    let size = [(width / by).max(1), (height / by).max(1)];
    let pixel = |x: u32, y: u32, channel: u32| {
        let place = |dx: u32, dy: u32| (y * by + dy).min(height - 1) * width + (x * by + dx).min(width - 1);
        let all = (0..by).flat_map(|dy| (0..by).map(move |dx| (dx, dy)));
        let sum: f32 =
            all.map(|(dx, dy)| lights[usize::from(rgb[(place(dx, dy) * 3 + channel) as usize])]).sum();
        let light = f64::from(sum) / f64::from(by * by);
        transfer::to_byte(light)
    };
    let rows: Vec<Vec<u8>> = (0..size[1])
        .into_par_iter()
        .map(|y| (0..size[0]).flat_map(|x| [0, 1, 2].map(|channel| pixel(x, y, channel))).collect())
        .collect();
    (size, rows.concat())
}

type Key = (Version, FabricOptions, Option<usize>);

/// What is painted of the fabric.
pub struct FabricDesk {
    look: Derived<Key, Result<FabricLook, String>>,
}

impl FabricDesk {
    /// A desk on which nothing lies yet.
    pub fn of(document: DocumentId) -> Self {
        Self { look: Derived::of(document, "knitted pictures") }
    }

    /// The fabric by these options and in this size; why there is none, when it cannot be.
    pub fn look(
        &self,
        document: &Document,
        jobs: &Jobs<impl Host>,
        (options, size): (FabricOptions, Option<usize>),
    ) -> Reading<Result<FabricLook, String>> {
        let project = Arc::clone(document.project());
        self.look.ask_newest(&(document.version(), options, size), jobs, move |stop| {
            let sized = in_size(&project, size);
            let look = FabricLook::of(sized.as_ref().unwrap_or(&project), options, stop);
            look.map_err(|error| error.to_string()).transpose()
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_too_long_is_averaged_in_light() {
        let (width, height) = (2 * SIDE, 4);
        // Columns of black and white by turns: the mean light of the two is brighter than the mean code.
        let rgb: Vec<u8> =
            (0..width * height).flat_map(|pixel| [if pixel % 2 == 0 { 0 } else { 255 }; 3]).collect();
        let (size, small) = shrunk([width, height], rgb.clone());
        assert_eq!(size, [SIDE, 2]);
        assert!(small.iter().all(|code| *code == 188), "half of the light is code 188 (IEC 61966-2-1)");
        assert_eq!(shrunk([SIDE, 2], small.clone()), ([SIDE, 2], small));
    }

    #[test]
    fn a_picture_that_is_no_longer_wanted_is_not_painted_to_its_end() {
        let look =
            |stop| FabricLook::of(&Project::default(), FabricOptions::default(), &AtomicBool::new(stop));
        assert!(look(false).unwrap().is_some());
        assert_eq!(look(true).unwrap(), None);
    }
}
