//! Signs that the references are not what they are said to be, or that the light is uneven.

use super::balance::{Balance, Reference};
use super::cells::Cells;
use super::error::{PhotoError, PhotoWarning};
use super::oklab::{distance, xyz_to_oklab};
use super::picture::{Picture, Region};
use super::watch::Watch;

/// References that ask for light that differs by more than this, times, are doubted: a table by a
/// window differs up to about 2.5 times from edge to edge (our judgement), a grey card taken for
/// white paper 4.7 times.
const DISAGREE: f64 = 3.0;
/// References whose light differs by less than this are as good as evenly lit.
const EVEN: f64 = 1.1;
/// Whites further apart than this (Oklab) are of two colours: daylight D50 and D65 are 0.05 apart.
const DIFFERENT: f32 = 0.045;
/// Cells of the picture along its longer side that are looked at.
const CELLS_ALONG: usize = 96;
/// Oklab lightness of a place that sends more light than one and a third perfect whites: glints and lamps.
const GLARING: f32 = 1.10;
/// Share of the picture that may glare.
const GLARE_SHARE: f64 = 0.02;
/// A reference said to reflect less than this is no white one.
const GREY: f64 = 0.4;
/// Luminance in the picture, of white 1, from which a grey would leave no room for anything light.
const BRIGHT: f64 = 0.45;
/// Light that falls off over a reference by so much that it would by this many times over the picture.
const FALLS_OFF: f64 = 1.6;
/// Cells along the longer side of a reference.
const CARD_CELLS: usize = 12;
/// A falling off counts when it is this many times its standard error.
const SURE: f64 = 6.0;

/// Compares the references with each other; `whites` are their XYZ with Y = 1.
pub(super) fn references(balance: &mut Balance, whites: &[[f64; 3]]) {
    if whites.len() < 2 {
        return;
    }
    let times = balance.evenness().times();
    if times > DISAGREE {
        balance.warn(PhotoWarning::ReferencesDisagree { times });
    } else if times > EVEN {
        let in_plane = balance.evenness().known_directions() == 2;
        balance.warn(PhotoWarning::UnevenLight { times, in_plane });
    }
    let looks: Vec<[f32; 3]> = whites.iter().map(|white| xyz_to_oklab(*white)).collect();
    let differ = |i: usize| looks[i + 1..].iter().any(|other| distance(looks[i], *other) > DIFFERENT);
    if (0..looks.len()).any(differ) {
        balance.warn(PhotoWarning::ReferencesDiffer);
    }
}

/// Looks over the whole picture, corrected, for what cannot be.
pub(super) fn whole_picture(
    balance: &mut Balance,
    picture: &Picture,
    references: &[Reference],
    watch: &Watch,
) -> Result<(), PhotoError> {
    let (Some(first), Some(light)) = (references.first(), balance.light()) else { return Ok(()) };
    let quiet = Watch::new(watch.cancel_flag(), &|_| {});
    let cells = Cells::read(picture, picture.bounds(), balance, CELLS_ALONG, &quiet)?;
    let count = cells.all.len().max(1) as f64;
    let share = cells.all.iter().filter(|cell| cell.oklab[0] > GLARING).count() as f64 / count;
    if share > GLARE_SHARE {
        balance.warn(PhotoWarning::BeyondWhite { share, reflectance: first.reflectance });
    }
    let lightest = references.iter().map(|r| r.reflectance).fold(0.0, f64::max);
    let in_picture = lightest / light.exposure;
    let beyond = (1.15 * lightest).cbrt() as f32;
    let lighter = cells.all.iter().filter(|cell| cell.oklab[0] > beyond).count() as f64 / count;
    if lightest < GREY && in_picture > BRIGHT && lighter < 0.005 {
        balance.warn(PhotoWarning::LightestIsReference { reflectance: lightest });
    }
    Ok(())
}

/// Warns when the light falls off over the only reference so clearly that it may over the picture.
pub(super) fn falls_off(
    balance: &mut Balance,
    picture: &Picture,
    region: Region,
    watch: &Watch,
) -> Result<(), PhotoError> {
    let quiet = Watch::new(watch.cancel_flag(), &|_| {});
    let cells = Cells::read(picture, region, &Balance::as_taken(), CARD_CELLS, &quiet)?;
    if cells.columns.min(cells.rows) < 4 {
        return Ok(());
    }
    // Columns and rows of a full grid are independent, so that each slope stands by itself.
    let logs: Vec<f64> = cells.all.iter().map(|cell| 3.0 * f64::from(cell.oklab[0].max(1e-3)).ln()).collect();
    let level = logs.iter().sum::<f64>() / logs.len() as f64;
    let off = |at: usize, count: usize| at as f64 - (count - 1) as f64 / 2.0;
    let across = |i: usize| off(i % cells.columns, cells.columns);
    let down = |i: usize| off(i / cells.columns, cells.rows);
    let sum = |f: &dyn Fn(usize, f64) -> f64| -> f64 {
        logs.iter().enumerate().map(|(i, log)| f(i, log - level)).sum()
    };
    let spread = [sum(&|i, _| across(i).powi(2)), sum(&|i, _| down(i).powi(2))];
    let slope = [sum(&|i, log| across(i) * log) / spread[0], sum(&|i, log| down(i) * log) / spread[1]];
    let left = sum(&|i, log| (log - slope[0] * across(i) - slope[1] * down(i)).powi(2));
    let deviation = (left / (logs.len() as f64 - 3.0)).sqrt();
    let over = |k: usize, length: u32| {
        let is_sure = slope[k].abs() > SURE * deviation / spread[k].sqrt();
        if is_sure { (slope[k] / f64::from(cells.side)).abs() * f64::from(length) } else { 0.0 }
    };
    let times = (over(0, picture.width()) + over(1, picture.height())).exp();
    if times > FALLS_OFF {
        balance.warn(PhotoWarning::LightFallsOff { times });
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::photo::{ColourSpace, Depth, Samples};

    /// A table of 60 % with a card of 18 % at the left and one of 85 % at the right, lit by `light(x, y)`.
    fn table(light: impl Fn(f64, f64) -> f64) -> Picture {
        let (width, height) = (240_usize, 160_usize);
        let code = |x: usize, y: usize| {
            let surface = match (x, y) {
                (10..50, 60..100) => 0.18,
                (190..230, 60..100) => 0.85,
                (100..140, 10..40) => 0.18,
                _ => 0.60,
            };
            // Two-fifths of the sensor's range for a perfect white.
            (surface * 0.4 * light(x as f64 / width as f64, y as f64 / height as f64) * 65_535.0) as u16
        };
        let codes = (0..width * height).flat_map(|i| [code(i % width, i / width); 3]).collect();
        let space =
            ColourSpace::new(Depth::Sixteen, |_, code| code, *ColourSpace::srgb(Depth::Eight).to_xyz());
        Picture::new(width as u32, height as u32, Samples::Sixteen(codes), space).unwrap()
    }

    const GREY: Region = Region::new(14, 64, 32, 32);
    const WHITE: Region = Region::new(194, 64, 32, 32);
    const TOP: Region = Region::new(104, 12, 32, 24);

    fn warned(picture: &Picture, references: &[(Region, f64)]) -> Vec<PhotoWarning> {
        let references: Vec<Reference> = references
            .iter()
            .map(|(region, reflectance)| Reference { region: *region, reflectance: *reflectance })
            .collect();
        Balance::measure_all(picture, &references, &Watch::nobody()).unwrap().warnings().to_vec()
    }

    #[test]
    fn cards_that_are_what_they_say_in_even_light_are_not_doubted() {
        let even = table(|_, _| 1.0);
        for references in [&[(GREY, 0.18)][..], &[(WHITE, 0.85)], &[(GREY, 0.18), (WHITE, 0.85), (TOP, 0.18)]]
        {
            assert_eq!(warned(&even, references), [], "{references:?}");
        }
    }

    #[test]
    fn a_card_that_cannot_be_what_it_is_said_to_be_is_doubted() {
        let even = table(|_, _| 1.0);
        // Grey said to be paper: the table would reflect 283 %.
        assert!(
            matches!(warned(&even, &[(GREY, 0.85)])[..], [PhotoWarning::BeyondWhite { share, .. }] if share > 0.8)
        );
        // Paper said to be grey, in a picture exposed for it.
        let light = table(|_, _| 2.2);
        assert!(matches!(warned(&light, &[(WHITE, 0.18)])[..], [PhotoWarning::LightestIsReference { .. }]));
        // Two that contradict each other.
        let both = warned(&even, &[(GREY, 0.18), (WHITE, 0.18)]);
        assert!(
            matches!(both[..], [PhotoWarning::ReferencesDisagree { times }] if (times - 4.72).abs() < 0.05),
            "{both:?}"
        );
    }

    #[test]
    fn uneven_light_is_seen_by_one_card_and_taken_out_by_three() {
        let falling = table(|x, y| (-0.7 * x - 0.2 * y).exp());
        assert!(
            matches!(warned(&falling, &[(GREY, 0.18)])[..], [PhotoWarning::LightFallsOff { times }] if times > 1.8)
        );
        let three = [(GREY, 0.18), (WHITE, 0.85), (TOP, 0.18)];
        assert!(matches!(warned(&falling, &three)[..], [PhotoWarning::UnevenLight { in_plane: true, .. }]));
        assert!(matches!(
            warned(&falling, &three[..2])[..],
            [PhotoWarning::UnevenLight { in_plane: false, .. }]
        ));
        let references = three.map(|(region, reflectance)| Reference { region, reflectance });
        let balance = Balance::measure_all(&falling, &references, &Watch::nobody()).unwrap();
        // The table is as light everywhere, in cells as well as pixel by pixel.
        let cells =
            Cells::read(&falling, Region::new(60, 110, 180, 50), &balance, 40, &Watch::nobody()).unwrap();
        let pixels =
            crate::photo::to_oklab(&falling, Region::new(60, 110, 180, 50), &balance, 3, &Watch::nobody())
                .unwrap();
        for lightness in cells.all.iter().map(|cell| cell.oklab[0]).chain(pixels.iter().map(|p| p[0])) {
            assert!((lightness - 0.6_f32.cbrt()).abs() < 0.004, "{lightness}");
        }
    }
}
