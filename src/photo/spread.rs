//! How much the colour of a yarn varies, and how: solid, heathered, speckled or in long changes.
//!
//! Shadows between plies change the light, not the colour: scaling XYZ by k scales Oklab by the
//! cube root of k. So colours are compared after scaling each to the same lightness, which takes
//! the shading out. Averaging over cells about a strand wide takes out camera noise.

use super::balance::Balance;
use super::cells::Cells;
use super::error::PhotoError;
use super::oklab::distance;
use super::picture::{Picture, Region};
use super::watch::Watch;
use crate::colour::Colour;
use crate::yarn::VariationKind;

/// One of the colours a varied yarn is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ColourPart {
    /// The colour.
    pub colour: Colour,
    /// Share of the region, `0..=1`.
    pub share: f64,
}

/// How the colour varies over a region.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    /// In a word.
    pub kind: VariationKind,
    /// Whether the figures are well on its side of every limit, so that it may be proposed.
    pub clear: bool,
    /// Distance in Oklab, shading taken out, that 9 of 10 cells stay within from the middle colour.
    pub within: f64,
    /// Largest distance in Oklab, shading taken out, of the middle colour of a place from the commonest.
    pub between: f64,
    /// Share of cells that clearly differ from the middle colour and stand apart, `0..=1`.
    pub odd: f64,
    /// Lightness (Oklab) that 9 of 10 cells stay under, over the one 9 of 10 stay above.
    pub lightness_ratio: f64,
    /// Its main colours, the commonest first; only one for a solid or heathered yarn.
    pub parts: Vec<ColourPart>,
}

/// Cells along the longer side of the region.
const CELLS_ALONG: usize = 96;
/// Places along each side whose middle colours are compared.
const PLACES: usize = 5;
/// Below this distance (Oklab) cells are one colour: one to two CIEDE2000 steps, above what camera
/// noise and coloured shadows leave on generated solid yarns.
const SOLID: f64 = 0.016;
/// From this distance a cell or place clearly differs: about five CIEDE2000 steps, beyond "similar".
const CLEAR: f64 = 0.05;
/// Share of the places that must differ for stretches to be seen; spots show in few, or alike in all.
const STRETCHES: f64 = 0.2;
/// Spots stand apart: they are this many times further from the middle colour than the usual cell. A
/// heather has every distance in between.
const APART: f64 = 6.0;
/// Share of clearly different cells from which spots are seen.
const SPOTS: f64 = 0.03;
/// Ratio of lightness between places that the roundness of a ball does not explain: light 1 to 4.
const PLACE_RATIO: f64 = 1.6;
/// Ratio of lightness between cells that shadows between strands do not explain: light 1 to 7.
const CELL_RATIO: f64 = 1.9;
/// Figures that are this many times off a limit are well on one side of it (our judgement).
const WELL: f64 = 1.3;
/// Most colours a varied yarn is described by.
const MOST_PARTS: usize = 5;

impl Spread {
    /// Measures how the colour varies over a region.
    pub(super) fn measure(
        picture: &Picture,
        region: Region,
        balance: &Balance,
        watch: &Watch,
    ) -> Result<Self, PhotoError> {
        Ok(Self::of(&Cells::read(picture, region, balance, CELLS_ALONG, watch)?))
    }

    fn of(cells: &Cells) -> Self {
        let all: Vec<[f32; 3]> = cells.all.iter().map(|cell| cell.oklab).collect();
        let middle = middle(&all);
        let flat: Vec<[f32; 3]> = all.iter().map(|colour| level(*colour, middle[0])).collect();
        let mut distances: Vec<f32> = flat.iter().map(|colour| distance(*colour, middle)).collect();
        let usual = f64::from(quantile(&mut distances, 0.5));
        let clear = CLEAR.max(APART * usual);
        let count = all.len().max(1) as f64;
        let odd = distances.iter().filter(|d| f64::from(**d) > clear).count() as f64 / count;
        let within = f64::from(quantile(&mut distances, 0.9));
        let mut lightness: Vec<f32> = all.iter().map(|colour| colour[0]).collect();
        let (dark, light) = (quantile(&mut lightness, 0.1), quantile(&mut lightness, 0.9));
        let lightness_ratio = f64::from(light / dark.max(LEAST_LIGHTNESS));
        let (between, differing) = between(&places(cells), middle[0]);
        let kind = if differing > STRETCHES {
            VariationKind::LongChanges
        } else if odd > SPOTS {
            VariationKind::Speckled
        } else if within > SOLID || lightness_ratio > CELL_RATIO {
            VariationKind::Heathered
        } else {
            VariationKind::Solid
        };
        let lightness_told = lightness_ratio < CELL_RATIO / WELL;
        let clear = match kind {
            VariationKind::LongChanges => differing > STRETCHES * WELL,
            VariationKind::Speckled => odd > SPOTS * WELL && differing < STRETCHES / WELL,
            VariationKind::Heathered => within > SOLID * WELL && odd < SPOTS / WELL && lightness_told,
            VariationKind::Solid => within < SOLID / WELL && odd < SPOTS / WELL && lightness_told,
        };
        let parts = if kind.is_busy() { parts(&all, &flat) } else { parts(&all, &vec![middle; all.len()]) };
        Self { kind, clear, within, between, odd, lightness_ratio, parts }
    }
}

/// Darker than this (Oklab) the hue of a pixel is noise.
const LEAST_LIGHTNESS: f32 = 0.08;

/// The colour as it would look in the light that makes its lightness `lightness`: shading taken out.
fn level([l, a, b]: [f32; 3], lightness: f32) -> [f32; 3] {
    let factor = lightness / l.max(LEAST_LIGHTNESS);
    [lightness, a * factor, b * factor]
}

/// The middle of each coordinate.
fn middle(colours: &[[f32; 3]]) -> [f32; 3] {
    [0, 1, 2].map(|axis| {
        let mut values: Vec<f32> = colours.iter().map(|colour| colour[axis]).collect();
        quantile(&mut values, 0.5)
    })
}

/// The value that `share` of the values lie below; 0 for none. Reorders them.
fn quantile(values: &mut [f32], share: f64) -> f32 {
    if values.is_empty() {
        return 0.0;
    }
    let index = ((values.len() as f64 * share) as usize).min(values.len() - 1);
    *values.select_nth_unstable_by(index, f32::total_cmp).1
}

/// Middle colours of the places the region is divided into.
fn places(cells: &Cells) -> Vec<[f32; 3]> {
    let (columns, rows) = (PLACES.min(cells.columns), PLACES.min(cells.rows));
    let mut places = vec![Vec::new(); columns * rows];
    for row in 0..cells.rows {
        for column in 0..cells.columns {
            let place = (row * rows / cells.rows) * columns + column * columns / cells.columns;
            places[place].push(cells.at(column, row).oklab);
        }
    }
    places.iter().map(|place| middle(place)).collect()
}

/// How the places compare with the commonest one: the largest distance, shading taken out, and the
/// share of places that clearly differ (or are so much lighter or darker that no shading explains it).
fn between(places: &[[f32; 3]], lightness: f32) -> (f64, f64) {
    let flat: Vec<[f32; 3]> = places.iter().map(|place| level(*place, lightness)).collect();
    let differs = |p: usize, q: usize| {
        let (dark, light) = (places[p][0].min(places[q][0]), places[p][0].max(places[q][0]));
        f64::from(distance(flat[p], flat[q])) > CLEAR
            || f64::from(light / dark.max(LEAST_LIGHTNESS)) > PLACE_RATIO
    };
    let others = |p: usize| (0..places.len()).filter(|q| differs(p, *q)).count();
    let Some(commonest) = (0..places.len()).min_by_key(|p| others(*p)) else {
        return (0.0, 0.0);
    };
    let furthest = flat.iter().map(|place| distance(*place, flat[commonest])).fold(0.0, f32::max);
    (f64::from(furthest), others(commonest) as f64 / places.len() as f64)
}

/// The main colours: cells gather round the first cell no earlier group is near to, shading taken
/// out; each group's colour is the middle of its own cells above their darkest quarter.
fn parts(all: &[[f32; 3]], flat: &[[f32; 3]]) -> Vec<ColourPart> {
    let mut groups: Vec<([f32; 3], Vec<[f32; 3]>)> = Vec::new();
    for (colour, flat) in all.iter().zip(flat) {
        let nearest = groups
            .iter_mut()
            .map(|group| (distance(group.0, *flat), group))
            .min_by(|p, q| p.0.total_cmp(&q.0))
            .filter(|(apart, _)| f64::from(*apart) <= 1.5 * CLEAR);
        match nearest {
            Some((_, group)) => group.1.push(*colour),
            None => groups.push((*flat, vec![*colour])),
        }
    }
    groups.sort_by_key(|group| std::cmp::Reverse(group.1.len()));
    groups.truncate(MOST_PARTS);
    groups
        .into_iter()
        .map(|(_, mut cells)| {
            let share = cells.len() as f64 / all.len() as f64;
            cells.sort_unstable_by(|p, q| p[0].total_cmp(&q[0]));
            let [l, a, b] = middle(&cells[cells.len() / 4..]).map(f64::from);
            ColourPart { colour: Colour::from_oklab(l, a, b), share }
        })
        .filter(|part| part.share >= SPOTS / 2.0)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::photo::{ColourSpace, Depth, Samples};

    fn spread(pixel: impl Fn(usize, usize) -> [u8; 3]) -> Spread {
        let pixels: Vec<[u8; 3]> = (0..96 * 96).map(|i| pixel(i % 96, i / 96)).collect();
        let space = ColourSpace::srgb(Depth::Eight);
        let picture = Picture::new(96, 96, Samples::Eight(pixels.into_flattened()), space).unwrap();
        Spread::measure(&picture, picture.bounds(), &Balance::none(), &Watch::nobody()).unwrap()
    }

    #[test]
    fn one_colour_is_solid_however_it_is_shaded() {
        let flat = spread(|_, _| [120, 60, 40]);
        assert_eq!((flat.kind, flat.clear), (VariationKind::Solid, true));
        // The same linear colour in light that falls off to 40 %.
        let shaded = spread(|x, _| {
            let light = 1.0 - 0.6 * x as f64 / 95.0;
            [0.5, 0.2, 0.1].map(|v: f64| (((v * light).powf(1.0 / 2.4) * 1.055 - 0.055) * 255.0) as u8)
        });
        assert_eq!(shaded.kind, VariationKind::Solid, "{shaded:?}");
    }

    #[test]
    fn spots_and_stretches_are_told_apart_by_where_they_are() {
        let spot = |x: usize, y: usize| (x * 7 + y * 13).is_multiple_of(16);
        let spots = spread(|x, y| if spot(x, y) { [200, 40, 120] } else { [180, 170, 150] });
        assert_eq!((spots.kind, spots.clear), (VariationKind::Speckled, true), "{spots:?}");
        assert_eq!(spots.parts.len(), 2);
        let stretches = spread(|x, _| if x < 40 { [200, 40, 120] } else { [180, 170, 150] });
        assert_eq!((stretches.kind, stretches.clear), (VariationKind::LongChanges, true), "{stretches:?}");
        // A few spots, just beyond the limit: told, and not proposed.
        let few = spread(|x, y| if (x * 7 + y * 13) % 29 == 0 { [200, 40, 120] } else { [180, 170, 150] });
        assert_eq!((few.kind, few.clear), (VariationKind::Speckled, false), "{few:?}");
        assert!((stretches.parts[1].share - 40.0 / 96.0).abs() < 0.01, "{stretches:?}");
    }
}
