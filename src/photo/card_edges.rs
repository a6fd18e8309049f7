//! The straight edges of a card or another rectangle, found in the picture near where its corners were placed by hand.
//!
//! A corner of a card is round (ISO/IEC 7810: radius 3.18 mm), and a hand misses by some pixels. Its edges are long and
//! straight: each is looked for as the line near the placed one across which the light changes most and in one sense, then
//! fitted to a fraction of a pixel; the corners are where the lines meet.

use super::lattice::{Place, between_pixels};

/// How far from the placed line an edge is looked for, as a share of its length, and in pixels at least and at most.
const REACH: (f64, f64, f64) = (0.035, 9.0, 60.0);
/// Part of an edge at either end that is left out: there the corner is round.
const ROUND: f64 = 0.12;
/// Profiles across an edge at most.
const MOST_PROFILES: usize = 72;
/// Samples of a profile in a pixel.
const PER_PX: f64 = 2.0;
/// Another line so nearly as strong may as well be the edge: then neither is taken. Our judgement.
const RIVAL: f64 = 0.75;
/// How far apart two lines are, in pixels, that are no longer one.
const APART: f64 = 3.5;
/// The edge stands out over the noise of the profiles, their sum in standard errors: our judgement.
const LEAST_CLEAR: f64 = 6.0;
/// Share of the profiles that must show the edge where the line lies.
const LEAST_AGREEING: f64 = 0.5;
/// What lens, the height of the fabric over the card and the light across its edge leave open of a found edge, in pixels: one standard
/// deviation, our judgement. Generated pictures have none of these; on them a fifth of it would do.
const FOUND_ERROR_PX: f64 = 0.3;

/// The corners of a rectangle, clockwise, as they were found or placed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FoundCorners {
    /// Where they are taken to be.
    pub corners: [Place; 4],
    /// One standard deviation of each, in pixels each way.
    pub errors: [f64; 4],
    /// Which edges were found in the picture; edge `i` goes from corner `i` to the next.
    pub edges: [bool; 4],
}

/// A line by its distances from the placed one, in pixels along the normal: at its first and at its second end.
#[derive(Clone, Copy, Debug)]
struct Offsets {
    ends: [f64; 2],
    error: f64,
}

/// Colour channels of a pixel, linear light.
pub type LightOf<'a> = &'a dyn Fn(u32, u32) -> [f32; 3];

/// Looks for the edges near `placed`, clockwise; a corner neither of whose edges, or only one, is found keeps what the other gives,
/// and the error of a hand, `hand` pixels.
pub fn find_corners(light: LightOf, size: (u32, u32), placed: [Place; 4], hand: f64) -> FoundCorners {
    let edges: [Option<Offsets>; 4] =
        [0, 1, 2, 3].map(|i| Edge::between(placed[i], placed[(i + 1) % 4])?.find(light, size));
    let lines = [0, 1, 2, 3].map(|i| {
        let (from, to) = (placed[i], placed[(i + 1) % 4]);
        let ends = edges[i].map_or([0.0; 2], |offsets| offsets.ends);
        let normal = normal(from, to);
        let moved = |at: Place, by: f64| [at[0] + by * normal[0], at[1] + by * normal[1]];
        [moved(from, ends[0]), moved(to, ends[1])]
    });
    let mut found =
        FoundCorners { corners: placed, errors: [hand; 4], edges: edges.map(|edge| edge.is_some()) };
    for i in 0..4 {
        let before = (i + 3) % 4;
        if edges[before].or(edges[i]).is_some()
            && let Some(corner) = meeting(lines[before], lines[i])
        {
            found.corners[i] = corner;
        }
        if let (Some(a), Some(b)) = (edges[before], edges[i]) {
            found.errors[i] = a.error.hypot(b.error) / std::f64::consts::SQRT_2;
        }
    }
    found
}

/// Of length 1, a quarter turn from the way between two places.
fn normal(from: Place, to: Place) -> Place {
    let (x, y) = (to[0] - from[0], to[1] - from[1]);
    let length = x.hypot(y).max(f64::MIN_POSITIVE);
    [-y / length, x / length]
}

/// Where two lines meet, each given by two of its places.
fn meeting([a, b]: [Place; 2], [c, d]: [Place; 2]) -> Option<Place> {
    let (r, s) = ([b[0] - a[0], b[1] - a[1]], [d[0] - c[0], d[1] - c[1]]);
    let cross = r[0] * s[1] - r[1] * s[0];
    // Lines nearly parallel meet nowhere that could be a corner.
    if cross.abs() < 0.1 * r[0].hypot(r[1]) * s[0].hypot(s[1]) {
        return None;
    }
    let t = ((c[0] - a[0]) * s[1] - (c[1] - a[1]) * s[0]) / cross;
    Some([a[0] + t * r[0], a[1] + t * r[1]])
}

/// A placed edge.
struct Edge {
    from: Place,
    to: Place,
    normal: Place,
    reach: f64,
    profiles: usize,
}

/// Slopes across an edge, at places along it: `slopes[profile][sample][channel]`.
struct Profiles {
    along: Vec<f64>,
    slopes: Vec<Vec<[f32; 3]>>,
    reach: f64,
}

impl Edge {
    fn between(from: Place, to: Place) -> Option<Self> {
        let length = (to[0] - from[0]).hypot(to[1] - from[1]);
        let (share, least, most) = REACH;
        let profiles = ((length * (1.0 - 2.0 * ROUND) / 2.0) as usize).min(MOST_PROFILES);
        (profiles >= 12).then(|| Self {
            from,
            to,
            normal: normal(from, to),
            // A small card has little between its edges.
            reach: (share * length).clamp(least, most).min(0.2 * length),
            profiles,
        })
    }

    fn find(&self, light: LightOf, size: (u32, u32)) -> Option<Offsets> {
        let profiles = self.profiles(light, size);
        if profiles.along.len() * 3 < self.profiles * 2 {
            return None;
        }
        let (coarse, signs) = profiles.strongest()?;
        profiles.fitted(coarse, signs)
    }

    fn profiles(&self, light: LightOf, (width, height): (u32, u32)) -> Profiles {
        let read = |[x, y]: Place| -> Option<[f32; 3]> {
            // The middle of the first pixel is half a pixel inside the picture.
            let (x, y) = (x - 0.5, y - 0.5);
            if x < 0.0 || y < 0.0 || x > f64::from(width) - 1.0 || y > f64::from(height) - 1.0 {
                return None;
            }
            Some(between_pixels(light, (width, height), [x, y]))
        };
        let mut found = Profiles { along: Vec::new(), slopes: Vec::new(), reach: self.reach };
        // A pixel more at either end, for the slopes.
        let half = (self.reach * PER_PX) as i32 + 2;
        for i in 0..self.profiles {
            let u = ROUND + (1.0 - 2.0 * ROUND) * (i as f64 + 0.5) / self.profiles as f64;
            let at = [0, 1].map(|k| self.from[k] + u * (self.to[k] - self.from[k]));
            let samples: Option<Vec<[f32; 3]>> = (-half..=half)
                .map(|step| {
                    let off = f64::from(step) / PER_PX;
                    read([at[0] + off * self.normal[0], at[1] + off * self.normal[1]])
                })
                .collect();
            let Some(samples) = samples else { continue };
            let slopes = samples.windows(5).map(|w| [0, 1, 2].map(|k| w[4][k] + w[3][k] - w[1][k] - w[0][k]));
            found.along.push(u);
            found.slopes.push(slopes.collect());
        }
        found
    }
}

impl Profiles {
    /// The channels' slopes of a profile at an offset in pixels; 0 beyond the reach.
    fn at(&self, profile: usize, offset: f64) -> [f32; 3] {
        let place = (offset * PER_PX).round() as i32 + (self.reach * PER_PX) as i32;
        usize::try_from(place)
            .ok()
            .and_then(|place| self.slopes[profile].get(place))
            .copied()
            .unwrap_or_default()
    }

    /// Sums of the slopes along a line.
    fn sums(&self, ends: [f64; 2]) -> [f64; 3] {
        let mut sums = [0.0; 3];
        for (i, u) in self.along.iter().enumerate() {
            let slopes = self.at(i, ends[0] + u * (ends[1] - ends[0]));
            (0..3).for_each(|k| sums[k] += f64::from(slopes[k]));
        }
        sums
    }

    /// The line across which the light changes most, and the sense in each channel; `None` when none is clear.
    fn strongest(&self) -> Option<([f64; 2], [f64; 3])> {
        let reach = self.reach.floor() as i32;
        let lines =
            (-reach..=reach).flat_map(|a| (-reach..=reach).map(move |b| [f64::from(a), f64::from(b)]));
        let strength = |sums: [f64; 3]| sums.iter().map(|sum| sum * sum).sum::<f64>().sqrt();
        let all: Vec<([f64; 2], f64)> = lines.map(|ends| (ends, strength(self.sums(ends)))).collect();
        let (best, most) = *all.iter().max_by(|(_, a), (_, b)| a.total_cmp(b))?;
        let apart = |ends: [f64; 2]| ((ends[0] + ends[1]) - (best[0] + best[1])).abs() / 2.0 > APART;
        if all.iter().any(|(ends, score)| apart(*ends) && *score > RIVAL * most) {
            return None;
        }
        // Half of all slopes are weaker than the middle one: they are the noise.
        let mut strengths: Vec<f64> =
            self.slopes.iter().flatten().map(|slopes| strength(slopes.map(f64::from))).collect();
        let middle = strengths.len() / 2;
        let (_, noise, _) = strengths.select_nth_unstable_by(middle, f64::total_cmp);
        let clear = most / ((*noise).max(1e-5) * (self.along.len() as f64).sqrt());
        let sums = self.sums(best);
        (clear > LEAST_CLEAR).then(|| (best, sums.map(|sum| sum / most)))
    }

    /// The line fitted to a fraction of a pixel, profile by profile.
    fn fitted(&self, coarse: [f64; 2], signs: [f64; 3]) -> Option<Offsets> {
        let slope = |profile: usize, offset: f64| -> f64 {
            let slopes = self.at(profile, offset);
            (0..3).map(|k| f64::from(slopes[k]) * signs[k]).sum()
        };
        let step = 1.0 / PER_PX;
        let top = |profile: usize, around: f64| -> Option<(f64, f64)> {
            // Samples lie on the grid of the profile.
            let around = (around * PER_PX).round() / PER_PX;
            let tried = (-5..=5).map(|n| around + f64::from(n) * step);
            let best = tried.max_by(|a, b| slope(profile, *a).total_cmp(&slope(profile, *b)))?;
            let [below, here, above] = [best - step, best, best + step].map(|offset| slope(profile, offset));
            let bend = below - 2.0 * here + above;
            (bend < 0.0).then(|| (best + step * (0.5 * (below - above) / bend).clamp(-1.0, 1.0), here))
        };
        let mut places: Vec<(f64, f64, f64)> = (0..self.along.len())
            .filter_map(|i| {
                let u = self.along[i];
                let (offset, height) = top(i, coarse[0] + u * (coarse[1] - coarse[0]))?;
                Some((u, offset, height))
            })
            .collect();
        let mut heights: Vec<f64> = places.iter().map(|(.., height)| *height).collect();
        if heights.is_empty() {
            return None;
        }
        let middle = heights.len() / 2;
        let (_, usual, _) = heights.select_nth_unstable_by(middle, f64::total_cmp);
        let least = 0.3 * *usual;
        places.retain(|(.., height)| *height > least);
        let enough = (LEAST_AGREEING * self.along.len() as f64) as usize;
        let mut line = fit(&places)?;
        for _ in 0..4 {
            let limit = (2.5 * line.spread).max(0.4);
            places.retain(|(u, offset, _)| (line.at(*u) - offset).abs() <= limit);
            if places.len() < enough.max(8) {
                return None;
            }
            line = fit(&places)?;
        }
        // A line that wanders is no edge of a card.
        if line.spread > 1.2 {
            return None;
        }
        Some(Offsets { ends: [line.at(0.0), line.at(1.0)], error: line.end_error.hypot(FOUND_ERROR_PX) })
    }
}

/// A straight line through places along an edge.
struct Line {
    start: f64,
    slope: f64,
    /// Of the places about it, one standard deviation.
    spread: f64,
    /// Of its ends, one standard deviation.
    end_error: f64,
}

impl Line {
    fn at(&self, u: f64) -> f64 {
        self.start + u * self.slope
    }
}

/// Least squares.
fn fit(places: &[(f64, f64, f64)]) -> Option<Line> {
    let count = places.len() as f64;
    if count < 3.0 {
        return None;
    }
    let mean = |of: fn(&(f64, f64, f64)) -> f64| places.iter().map(of).sum::<f64>() / count;
    let (u, offset) = (mean(|place| place.0), mean(|place| place.1));
    let square = places.iter().map(|place| (place.0 - u).powi(2)).sum::<f64>();
    if square <= 0.0 {
        return None;
    }
    let slope = places.iter().map(|place| (place.0 - u) * (place.1 - offset)).sum::<f64>() / square;
    let start = offset - slope * u;
    let rest = places.iter().map(|place| (start + slope * place.0 - place.1).powi(2)).sum::<f64>();
    let spread = (rest / (count - 2.0).max(1.0)).sqrt();
    let end_error = spread * (1.0 / count + 0.25 / square).sqrt();
    Some(Line { start, slope, spread, end_error })
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIZE: (u32, u32) = (420, 300);
    const CARD: [Place; 4] = [[60.3, 50.8], [352.6, 63.1], [340.2, 238.4], [71.9, 251.7]];

    /// Inside of a convex quadrilateral given clockwise.
    fn inside(corners: &[Place; 4], [x, y]: Place) -> bool {
        (0..4).all(|i| {
            let (a, b) = (corners[i], corners[(i + 1) % 4]);
            (b[0] - a[0]) * (y - a[1]) - (b[1] - a[1]) * (x - a[0]) >= 0.0
        })
    }

    /// A card on a table with noise; `edge` is the light of a printed frame that touches its upper edge, if any.
    fn picture(card: f32, table: f32, noise: f32) -> Vec<[f32; 3]> {
        let mut state = 7_u32;
        let mut die = move || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (state >> 8) as f32 / (1 << 24) as f32 - 0.5
        };
        (0..SIZE.0 * SIZE.1)
            .map(|i| {
                let (x, y) = (f64::from(i % SIZE.0), f64::from(i / SIZE.0));
                let covered = (0..16)
                    .filter(|part| {
                        let (u, v) = (f64::from(part % 4), f64::from(part / 4));
                        inside(&CARD, [x + (u + 0.5) / 4.0, y + (v + 0.5) / 4.0])
                    })
                    .count() as f32;
                let light = table + (card - table) * covered / 16.0;
                [0, 1, 2].map(|_| light + noise * die())
            })
            .collect()
    }

    fn found(picture: &[[f32; 3]], placed: [Place; 4]) -> FoundCorners {
        let light = |x: u32, y: u32| picture[(y * SIZE.0 + x) as usize];
        find_corners(&light, SIZE, placed, 2.0)
    }

    #[test]
    fn corners_five_pixels_off_come_back_within_half_a_pixel() {
        let picture = picture(0.6, 0.2, 0.1);
        for turn in 0..6 {
            let placed = std::array::from_fn(|i| {
                let angle = f64::from(turn) * 1.1 + i as f64 * 2.3;
                [CARD[i][0] + 5.0 * angle.cos(), CARD[i][1] + 5.0 * angle.sin()]
            });
            let found = found(&picture, placed);
            assert_eq!(found.edges, [true; 4], "{turn}");
            for (corner, truth) in found.corners.iter().zip(CARD) {
                let off = (corner[0] - truth[0]).hypot(corner[1] - truth[1]);
                assert!(off < 0.5, "{turn}: {corner:?} is {off} off");
            }
            assert!(found.errors.iter().all(|error| *error < 0.6));
        }
    }

    #[test]
    fn without_an_edge_the_placed_corners_stay_and_with_them_the_error_of_a_hand() {
        let picture = picture(0.3, 0.3, 0.1);
        let found = found(&picture, CARD);
        assert_eq!((found.edges, found.corners, found.errors), ([false; 4], CARD, [2.0; 4]));
    }
}
