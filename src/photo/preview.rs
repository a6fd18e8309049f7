//! A small corrected picture to look at.

use super::balance::Balance;
use super::cells::Cells;
use super::error::PhotoError;
use super::oklab::oklab_to_cones;
use super::picture::Picture;
use super::watch::Watch;
use crate::colour::transfer;

/// A picture for the screen: 8-bit sRGB, row by row.
#[derive(Clone, Debug, PartialEq)]
pub struct Preview {
    /// Width in pixels.
    pub width: usize,
    /// Height in pixels.
    pub height: usize,
    /// `width * height` pixels.
    pub pixels: Vec<[u8; 3]>,
    /// Picture pixels along one preview pixel: a preview place times this is a picture place.
    pub scale: u32,
}

/// The picture under `balance`, its longer side at most `longest` pixels. Light beyond the screen's
/// range is cut off channel by channel, as a camera does (a preview is looked at, never measured).
///
/// # Errors
/// [`PhotoError`] when the picture is smaller than can be read or the work was cancelled.
pub fn preview(
    picture: &Picture,
    balance: &Balance,
    longest: usize,
    watch: &Watch,
) -> Result<Preview, PhotoError> {
    let cells = Cells::read(picture, picture.bounds(), balance, longest, watch)?;
    let pixels = cells.all.iter().map(|cell| to_srgb8(cell.oklab)).collect();
    Ok(Preview { width: cells.columns, height: cells.rows, pixels, scale: cells.side })
}

/// 8-bit sRGB of an Oklab colour, each channel cut at its ends.
fn to_srgb8(oklab: [f32; 3]) -> [u8; 3] {
    let [long, medium, short] = oklab_to_cones(oklab);
    // Cones to linear sRGB (Ottosson 2020).
    [
        4.076_741_7 * long - 3.307_711_6 * medium + 0.230_969_94 * short,
        -1.268_438 * long + 2.609_757_4 * medium - 0.341_319_38 * short,
        -0.004_196_086_3 * long - 0.703_418_6 * medium + 1.707_614_7 * short,
    ]
    .map(|light| transfer::to_byte(f64::from(light)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::photo::{ColourSpace, Depth, Samples};

    #[test]
    fn without_correction_colours_stay_and_the_size_is_held() {
        let colours = [[200, 30, 60], [12, 200, 90], [255, 255, 255], [20, 20, 60]];
        let pixels = (0..100).flat_map(|y| (0..200).map(move |x| colours[(x / 100 + 2 * (y / 50)) as usize]));
        let samples = Samples::Eight(pixels.flatten().collect());
        let picture = Picture::new(200, 100, samples, ColourSpace::srgb(Depth::Eight)).unwrap();
        let small = preview(&picture, &Balance::none(), 20, &Watch::nobody()).unwrap();
        assert_eq!((small.width, small.height, small.scale), (20, 10, 10));
        for (corner, colour) in [(0, 0), (19, 1), (180, 2), (199, 3)] {
            let near = small.pixels[corner].iter().zip(colours[colour]).all(|(p, q)| p.abs_diff(q) <= 1);
            assert!(near, "{:?} {:?}", small.pixels[corner], colours[colour]);
        }
    }
}
