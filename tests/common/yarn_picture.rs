//! Invented photographs of yarn, rendered from invented spectra: the colour is known exactly, and
//! ply shadows, highlights, the roundness of a ball, the light and the camera are put on top.
//!
//! Everything here is synthetic. Lengths are in pixels unless they say otherwise.

use rayon::prelude::*;

use super::spectra::{BANDS, Spectrum, Tables, srgb_code, xyz_to_linear_srgb};

type Vector = [f64; 3];

fn dot(p: Vector, q: Vector) -> f64 {
    p[0] * q[0] + p[1] * q[1] + p[2] * q[2]
}

fn unit(v: Vector) -> Vector {
    let length = dot(v, v).sqrt();
    v.map(|x| x / length)
}

fn cross(p: Vector, q: Vector) -> Vector {
    [p[1] * q[2] - p[2] * q[1], p[2] * q[0] - p[0] * q[2], p[0] * q[1] - p[1] * q[0]]
}

fn smooth(t: f64) -> f64 {
    let t = t.clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

/// A value in `0..1` that depends on its arguments only (splitmix64).
fn hash(a: i64, b: i64, seed: u64) -> f64 {
    let mut z = (a as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15)
        ^ (b as u64).wrapping_mul(0xbf58_476d_1ce4_e5b9).rotate_left(31)
        ^ seed.wrapping_mul(0x94d0_49bb_1331_11eb);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
}

/// A standard normal value (sum of four uniforms, scaled; good to two sigma, which noise needs).
fn normal(a: i64, b: i64, seed: u64) -> f64 {
    let sum: f64 = (0..4).map(|k| hash(a, b, seed.wrapping_add(k * 7919))).sum();
    (sum - 2.0) * 3.0_f64.sqrt()
}

/// Value noise, `0..1`, one knot per unit.
fn noise(x: f64, y: f64, seed: u64) -> f64 {
    let (x0, y0) = (x.floor(), y.floor());
    let (fx, fy) = (smooth(x - x0), smooth(y - y0));
    let knot = |dx: i64, dy: i64| hash(x0 as i64 + dx, y0 as i64 + dy, seed);
    let top = knot(0, 0) + (knot(1, 0) - knot(0, 0)) * fx;
    let bottom = knot(0, 1) + (knot(1, 1) - knot(0, 1)) * fx;
    top + (bottom - top) * fy
}

/// How a yarn's colour runs.
#[derive(Clone, Copy, PartialEq)]
pub enum Dyeing {
    Solid,
    /// Fibres of the second colour blended in, by about a third.
    Heathered(Spectrum),
    /// Short flecks of the second colour on a tenth of the length.
    Speckled(Spectrum),
    /// Half of the length in the second colour, in long stretches.
    LongChanges(Spectrum),
    /// One ply of three in the second colour.
    Marled(Spectrum),
}

/// A yarn: what it reflects and how it is dyed.
#[derive(Clone, Copy)]
pub struct Yarn {
    pub reflectance: Spectrum,
    pub dyeing: Dyeing,
}

impl Yarn {
    pub fn solid(reflectance: &Spectrum) -> Self {
        Self { reflectance: *reflectance, dyeing: Dyeing::Solid }
    }

    fn second(&self) -> Option<Spectrum> {
        match self.dyeing {
            Dyeing::Solid => None,
            Dyeing::Heathered(s) | Dyeing::Speckled(s) | Dyeing::LongChanges(s) | Dyeing::Marled(s) => {
                Some(s)
            }
        }
    }
}

/// A rise from 0 to 1 about `at` nm over about 4 `width`.
pub fn rise(at: f64, width: f64) -> impl Fn(f64) -> f64 {
    move |nm| 1.0 / (1.0 + (-(nm - at) / width).exp())
}

/// A hump of height 1 about `at` nm.
pub fn hump(at: f64, width: f64) -> impl Fn(f64) -> f64 {
    move |nm| (-((nm - at) / width).powi(2) / 2.0).exp()
}

/// A spectrum from a function of the wavelength in nm.
pub fn spectrum(f: impl Fn(f64) -> f64) -> Spectrum {
    std::array::from_fn(|band| f(380.0 + 10.0 * band as f64))
}

/// Six invented shades of the invented Crooked Ladder Mill.
pub fn six_shades() -> [(&'static str, Spectrum); 6] {
    [
        ("Dull bucket", spectrum(|nm| 0.50 + 0.26 * rise(455.0, 32.0)(nm))),
        ("Dull brass tap", spectrum(|nm| 0.06 + 0.48 * rise(512.0, 17.0)(nm))),
        ("Red kettle lid", spectrum(|nm| 0.035 + 0.42 * rise(602.0, 13.0)(nm))),
        ("Pink blotter", spectrum(|nm| 0.17 + 0.10 * hump(430.0, 40.0)(nm) + 0.36 * rise(598.0, 20.0)(nm))),
        ("Green gutter", spectrum(|nm| 0.045 + 0.13 * hump(548.0, 40.0)(nm) + 0.12 * rise(690.0, 14.0)(nm))),
        ("Blue oil drum", spectrum(|nm| 0.035 + 0.19 * hump(468.0, 42.0)(nm) + 0.15 * rise(700.0, 12.0)(nm))),
    ]
}

/// What the light makes of a yarn: XYZ of its two colours by how open the place is.
///
/// In a groove that sees a share `open` of the light, the rest comes from yarn of the same colour,
/// which has reflected it before: R open / (1 - R (1 - open)) at each wavelength. Grooves of a pale
/// yarn stay light, and all grooves are more saturated.
struct Lit([[Vector; Lit::STEPS + 1]; 2]);

impl Lit {
    const STEPS: usize = 16;

    fn new(yarn: &Yarn, tables: &Tables, light: &Spectrum) -> Self {
        let colours = [yarn.reflectance, yarn.second().unwrap_or(yarn.reflectance)];
        Self(colours.map(|colour| {
            std::array::from_fn(|step| {
                let open = step as f64 / Self::STEPS as f64;
                tables.xyz(&colour.map(|r| r * open / (1.0 - r * (1.0 - open))), light)
            })
        }))
    }

    fn colour(&self, second: f64, open: f64) -> Vector {
        let place = open.clamp(0.0, 1.0) * Self::STEPS as f64;
        let step = (place as usize).min(Self::STEPS - 1);
        let at = |colour: usize, axis: usize| {
            let [low, high] = [self.0[colour][step][axis], self.0[colour][step + 1][axis]];
            low + (high - low) * (place - step as f64)
        };
        std::array::from_fn(|axis| at(0, axis) + (at(1, axis) - at(0, axis)) * second)
    }
}

/// A point on a strand.
struct Strand {
    /// Share of the second colour.
    second: f64,
    /// Light left by the neighbours, `0..=1`.
    open: f64,
    /// Lean of the surface across and along the strand, `-1..=1`.
    lean: (f64, f64),
    /// Brightness of the fibres, about 1.
    fibre: f64,
}

/// The strand at `across` (in strands) and `along` (in strand widths).
fn strand(yarn: &Yarn, across: f64, along: f64, seed: u64) -> Strand {
    let index = across.floor();
    let x = (across - index) * 2.0 - 1.0;
    let round = (1.0 - x * x).max(0.0).sqrt();
    // Three plies, each crossing the strand in about 1.6 widths.
    let turn = along * 1.6 + 0.42 * x + hash(index as i64, 3, seed);
    let ply = turn.floor();
    let s = (turn - ply) * 2.0 - 1.0;
    let ply_round = (1.0 - s * s).max(0.0).sqrt();
    let open = (0.22 + 0.78 * round.powf(0.55)) * (0.55 + 0.45 * ply_round.powf(0.6));
    let fine = noise(turn * 14.0, along * 2.0 + x * 6.0, seed ^ 0x51);
    let place = (index as i64, seed ^ 0xa3);
    let second = match yarn.dyeing {
        Dyeing::Solid => 0.0,
        Dyeing::Heathered(_) => {
            let streak = noise(turn * 4.0, along * 1.1 + x * 2.0, seed ^ 0x77);
            (0.33 + 1.3 * (streak - 0.5) + 0.3 * (fine - 0.5)).clamp(0.0, 1.0)
        }
        Dyeing::Speckled(_) => {
            let spot = hash((along / 2.5).floor() as i64, place.0, place.1) < 0.1;
            f64::from(u8::from(spot))
        }
        Dyeing::LongChanges(_) => smooth(0.5 + 3.0 * (index * 0.11 + hash(1, 2, seed) * 6.0).sin()),
        Dyeing::Marled(_) => f64::from(u8::from((ply as i64).rem_euclid(3) == 0)),
    };
    Strand { second, open, lean: (x * 0.62, s * 0.35 * round), fibre: 1.0 + 0.16 * (fine - 0.5) }
}

/// Lamp from the upper left and soft light from the room; a surface that looks up gets 1.
fn illumination(normal: Vector) -> f64 {
    let lamp = unit([-0.42, -0.50, 0.76]);
    0.5 * dot(normal, lamp).max(0.0) / lamp[2] + 0.5 * (0.5 + 0.5 * normal[2])
}

/// Glint toward a viewer straight above.
fn glint(normal: Vector) -> f64 {
    let half = unit([-0.42, -0.50, 1.76]);
    dot(normal, half).max(0.0).powi(28)
}

/// XYZ of a strand point whose strand lies with these axes on a surface.
fn shade(lit: &Lit, white: Vector, point: &Strand, axes: [Vector; 3], sheen: f64) -> Vector {
    let [across, along, up] = axes;
    let normal = unit(std::array::from_fn(|k| up[k] + across[k] * point.lean.0 + along[k] * point.lean.1));
    let light = illumination(normal) * point.fibre;
    let colour = lit.colour(point.second, point.open);
    let gloss = sheen * glint(normal) * point.open;
    std::array::from_fn(|k| colour[k] * light + white[k] * gloss)
}

/// How the camera writes what it sees.
#[derive(Clone, Copy)]
pub struct Camera {
    /// Light of a perfect white that fills a channel is `1 / exposure`.
    pub exposure: f64,
    /// Standard deviation of the noise at full light, as a share of it.
    pub noise: f64,
}

impl Camera {
    /// 8-bit sRGB with fixed daylight balance.
    fn code(&self, xyz: Vector, x: usize, y: usize) -> [u8; 3] {
        let linear = xyz_to_linear_srgb(xyz).map(|v| v * self.exposure);
        std::array::from_fn(|channel| {
            let light = linear[channel];
            let grain = self.noise * light.abs().sqrt() + 0.001;
            let seed = 0xca3e + channel as u64;
            let noisy = light + grain * normal(x as i64, y as i64, seed);
            (srgb_code(noisy) * 255.0).round() as u8
        })
    }
}

/// A picture as 8-bit sRGB.
pub struct Rendered {
    pub width: usize,
    pub height: usize,
    pub pixels: Vec<[u8; 3]>,
}

/// Renders `xyz(x, y)` with 2 x 2 samples a pixel.
fn render(width: usize, height: usize, camera: Camera, xyz: impl Fn(f64, f64) -> Vector + Sync) -> Rendered {
    let pixel = |x: usize, y: usize| {
        let mut sum = [0.0; 3];
        for (dx, dy) in [(0.25, 0.25), (0.75, 0.25), (0.25, 0.75), (0.75, 0.75)] {
            let sample = xyz(x as f64 + dx, y as f64 + dy);
            for (total, value) in sum.iter_mut().zip(sample) {
                *total += value / 4.0;
            }
        }
        camera.code(sum, x, y)
    };
    let pixels = (0..width * height).into_par_iter().map(|i| pixel(i % width, i / width)).collect();
    Rendered { width, height, pixels }
}

/// A close, flat look at strands laid side by side, `strand_px` wide each, with a grey card of 18 %
/// along the top eighth.
pub fn strands(yarn: &Yarn, size: usize, strand_px: f64, tables: &Tables, light: &Spectrum) -> Rendered {
    let lit = Lit::new(yarn, tables, light);
    let white = tables.xyz(&[1.0; BANDS], light);
    let exposure = 0.9 / xyz_to_linear_srgb(white).into_iter().fold(0.0, f64::max);
    let camera = Camera { exposure, noise: 0.012 };
    let axes = [[0.94, 0.34, 0.0], [-0.34, 0.94, 0.0], [0.0, 0.0, 1.0]];
    render(size, size, camera, |x, y| {
        if y < size as f64 / 8.0 {
            return white.map(|v| v * 0.18);
        }
        let place = [x / strand_px, y / strand_px, 0.0];
        let point = strand(yarn, dot(place, axes[0]), dot(place, axes[1]), 11);
        shade(&lit, white, &point, axes, 0.03)
    })
}

/// A ball of yarn on the table.
struct Ball {
    centre: (f64, f64),
    radius: f64,
    seed: u64,
}

/// Ball pictures: where things lie, for the tests.
pub struct Table {
    pub picture: Rendered,
    /// Left, top, width, height of the grey card.
    pub card: [u32; 4],
    /// A square on each ball.
    pub balls: Vec<[u32; 4]>,
}

/// Six balls and a grey card on a wooden table, 960 x 640; the camera keeps its daylight balance.
pub fn six_balls(yarns: &[Yarn; 6], tables: &Tables, light: &Spectrum) -> Table {
    let (width, height) = (960_usize, 640_usize);
    let places =
        [(150.0, 178.0), (385.0, 160.0), (628.0, 172.0), (232.0, 428.0), (476.0, 424.0), (722.0, 430.0)];
    let radii = [98.0, 106.0, 100.0, 112.0, 104.0, 108.0];
    let balls: Vec<Ball> =
        (0..6).map(|k| Ball { centre: places[k], radius: radii[k], seed: 100 + 17 * k as u64 }).collect();
    let lit: Vec<Lit> = yarns.iter().map(|yarn| Lit::new(yarn, tables, light)).collect();
    let white = tables.xyz(&[1.0; BANDS], light);
    let wood = Wood::new(tables, light);
    let card = [770_u32, 70, 140, 190];
    let exposure = 1.12 / xyz_to_linear_srgb(white).into_iter().fold(0.0, f64::max);
    let hairs: Vec<Vec<Hair>> = balls.iter().map(hairs).collect();
    let tails: Vec<Tail> = balls.iter().map(Tail::new).collect();
    let picture = render(width, height, Camera { exposure, noise: 0.010 }, |x, y| {
        let falloff = 1.04 - 0.10 * (x / width as f64 * 0.6 + y / height as f64 * 0.4);
        let mut xyz = ground(&wood, &balls, white, card, x, y);
        for (k, tail) in tails.iter().enumerate() {
            let shadow = tail.shadow(x, y);
            xyz = tail.shade(&yarns[k], &lit[k], white, x, y).unwrap_or(xyz.map(|v| v * shadow));
        }
        for (k, ball) in balls.iter().enumerate() {
            let out = (x - ball.centre.0).hypot(y - ball.centre.1) - ball.radius;
            if out > 14.0 {
                continue;
            }
            xyz = on_ball(&yarns[k], &lit[k], white, ball, x, y).unwrap_or(xyz);
            if out > -6.0 {
                let fuzz = hairs[k].iter().map(|hair| hair.cover(x, y)).fold(0.0, f64::max);
                let colour = lit[k].colour(0.0, 1.0);
                xyz = std::array::from_fn(|axis| xyz[axis] + (colour[axis] * 0.95 - xyz[axis]) * fuzz);
            }
        }
        xyz.map(|v| v * falloff)
    });
    let square = |ball: &Ball| {
        let half = (ball.radius * 0.5) as u32;
        [ball.centre.0 as u32 - half, ball.centre.1 as u32 - half, 2 * half, 2 * half]
    };
    let [x, y, w, h] = card;
    Table { picture, card: [x + 12, y + 12, w - 24, h - 24], balls: balls.iter().map(square).collect() }
}

/// Boards: two spectra and their grain.
struct Wood {
    pale: Vector,
    dark: Vector,
}

impl Wood {
    fn new(tables: &Tables, light: &Spectrum) -> Self {
        let pale = spectrum(|nm| 0.30 + 0.28 * rise(560.0, 55.0)(nm));
        let dark = spectrum(|nm| 0.20 + 0.22 * rise(580.0, 50.0)(nm));
        Self { pale: tables.xyz(&pale, light), dark: tables.xyz(&dark, light) }
    }

    fn at(&self, x: f64, y: f64) -> Vector {
        let board = (y / 131.0).floor();
        let shift = hash(board as i64, 0, 5) * 900.0;
        let wave = 6.0 * noise((x + shift) / 170.0, board, 6);
        let grain = 0.6 * noise((x + shift) / 90.0, (y + wave) / 3.2, 7)
            + 0.4 * noise((x + shift) / 24.0, (y + wave) / 1.3, 8);
        let tone = 0.55 * grain + 0.3 * hash(board as i64, 1, 9);
        let edge = (y - board * 131.0).min(board * 131.0 + 131.0 - y);
        let joint = 0.45 + 0.55 * smooth(edge / 2.4);
        std::array::from_fn(|k| (self.pale[k] + (self.dark[k] - self.pale[k]) * tone) * joint)
    }
}

/// Table, card and the balls' soft shadows.
fn ground(wood: &Wood, balls: &[Ball], white: Vector, card: [u32; 4], x: f64, y: f64) -> Vector {
    let [left, top, wide, high] = card.map(f64::from);
    let outside = |grow: f64, dx: f64, dy: f64| {
        let across = (left + dx - x).max(x - left - dx - wide).max(0.0);
        let down = (top + dy - y).max(y - top - dy - high).max(0.0);
        1.0 - smooth(across.hypot(down) / grow)
    };
    let on_card = x >= left && x < left + wide && y >= top && y < top + high;
    let mut colour = if on_card { white.map(|v| v * 0.18) } else { wood.at(x, y) };
    let mut light = if on_card { 1.0 } else { 1.0 - 0.35 * outside(9.0, 4.0, 5.0) };
    for ball in balls {
        let r = ball.radius;
        let (cast_x, cast_y) = (x - ball.centre.0 - 0.34 * r, y - ball.centre.1 - 0.40 * r);
        let cast = 1.0 - smooth((cast_x.hypot(cast_y) / r - 0.62) / 0.55);
        let near = 1.0 - smooth(((x - ball.centre.0).hypot(y - ball.centre.1) / r - 0.9) / 0.35);
        light *= (1.0 - 0.48 * cast) * (1.0 - 0.30 * near);
    }
    for value in &mut colour {
        *value *= light;
    }
    colour
}

/// Winds of a ball from the outermost in: axis and half width of each band of strands.
fn winds(ball: &Ball) -> impl Iterator<Item = (usize, Vector, f64)> {
    let seed = ball.seed;
    (0..26).map(move |k| {
        let angle = |salt: i64| hash(k, salt, seed) * std::f64::consts::TAU;
        let tilt = hash(k, 2, seed) * 2.0 - 1.0;
        let flat = (1.0 - tilt * tilt).sqrt();
        let width = if k < 25 { 0.16 + 0.22 * hash(k, 3, seed) } else { 2.0 };
        (k as usize, [flat * angle(1).cos(), flat * angle(1).sin(), tilt], width)
    })
}

/// The ball's surface at a place, or `None` beside it.
fn on_ball(yarn: &Yarn, lit: &Lit, white: Vector, ball: &Ball, x: f64, y: f64) -> Option<Vector> {
    let (dx, dy) = ((x - ball.centre.0) / ball.radius, (y - ball.centre.1) / ball.radius);
    // Strands make the outline bumpy.
    let bump = 0.018 * (noise(dy.atan2(dx) * 9.0, 0.0, ball.seed) - 0.5);
    let flat = dx.hypot(dy) / (1.0 + bump);
    if flat >= 1.0 {
        return None;
    }
    let up = unit([dx, dy, (1.0 - flat * flat).sqrt()]);
    let pitch = 8.5 / ball.radius;
    let mut shadow = 1.0;
    for (k, axis, half_width) in winds(ball) {
        let latitude = dot(up, axis).clamp(-1.0, 1.0).asin();
        // Every band ends at a whole strand.
        let half = (half_width / pitch).round() * pitch;
        let beyond = latitude.abs() - half;
        if beyond > 0.0 {
            // A band above shades the one below beside its edge.
            shadow *= 0.62 + 0.38 * smooth(beyond / (0.9 * pitch));
            continue;
        }
        let across_axis = unit(std::array::from_fn(|i| axis[i] - up[i] * dot(up, axis)));
        let along_axis = cross(up, across_axis);
        let reference =
            unit(cross(axis, if axis[2].abs() < 0.9 { [0.0, 0.0, 1.0] } else { [1.0, 0.0, 0.0] }));
        let longitude = dot(up, cross(axis, reference)).atan2(dot(up, reference));
        let wobble = 0.16 * (noise(longitude * 5.0, k as f64, ball.seed ^ 9) - 0.5);
        let across = latitude / pitch + wobble;
        let along = longitude * latitude.cos() / pitch;
        let mut point = strand(yarn, across + 40.0 * k as f64, along, ball.seed + k as u64);
        // Deep inside the outline the strands of the far side add a little shade.
        point.open *= shadow * (0.80 + 0.20 * smooth((1.0 - flat) / 0.12));
        return Some(shade(lit, white, &point, [across_axis, along_axis, up], 0.02));
    }
    None
}

/// A fibre that stands off the outline.
struct Hair {
    points: [(f64, f64); 5],
    strength: f64,
}

impl Hair {
    fn cover(&self, x: f64, y: f64) -> f64 {
        let near = self.points.windows(2).map(|pair| to_segment(pair[0], pair[1], x, y)).fold(9.0, f64::min);
        self.strength * (1.0 - smooth(near / 0.9))
    }
}

fn to_segment((x0, y0): (f64, f64), (x1, y1): (f64, f64), x: f64, y: f64) -> f64 {
    let (dx, dy) = (x1 - x0, y1 - y0);
    let t = (((x - x0) * dx + (y - y0) * dy) / (dx * dx + dy * dy).max(1e-9)).clamp(0.0, 1.0);
    (x - x0 - t * dx).hypot(y - y0 - t * dy)
}

fn hairs(ball: &Ball) -> Vec<Hair> {
    (0..90)
        .map(|k| {
            let angle = std::f64::consts::TAU * (k as f64 + hash(k, 4, ball.seed)) / 90.0;
            let lean = (hash(k, 5, ball.seed) - 0.5) * 2.2;
            let length = 4.0 + 9.0 * hash(k, 6, ball.seed);
            let mut place = (
                ball.centre.0 + angle.cos() * (ball.radius - 3.0),
                ball.centre.1 + angle.sin() * (ball.radius - 3.0),
            );
            let points = std::array::from_fn(|step| {
                let here = place;
                let heading = angle + lean * (0.4 + 0.3 * step as f64);
                place = (here.0 + heading.cos() * length / 4.0, here.1 + heading.sin() * length / 4.0);
                here
            });
            Hair { points, strength: 0.18 + 0.30 * hash(k, 7, ball.seed) }
        })
        .collect()
}

/// The loose end that lies on the table: a curve from under the ball.
struct Tail {
    points: Vec<(f64, f64)>,
    step: f64,
    bounds: [f64; 4],
    seed: u64,
}

const TAIL_HALF_WIDTH: f64 = 4.2;

impl Tail {
    fn new(ball: &Ball) -> Self {
        let step = 4.0;
        let mut heading = 0.9 + 0.8 * hash(0, 8, ball.seed);
        let mut place = (
            ball.centre.0 + heading.cos() * (ball.radius - 12.0),
            ball.centre.1 + heading.sin() * (ball.radius - 12.0),
        );
        let curl = 0.05 + 0.03 * hash(0, 9, ball.seed);
        let points: Vec<(f64, f64)> = (0..30)
            .map(|k| {
                let here = place;
                heading += curl * (0.22 * f64::from(k) + 1.0).cos() * 2.4 - 0.035;
                place = (here.0 + heading.cos() * step, here.1 + heading.sin() * step);
                here
            })
            .collect();
        let reach = |f: fn(f64, f64) -> f64, start: f64, axis: fn(&(f64, f64)) -> f64| {
            points.iter().map(axis).fold(start, f)
        };
        let bounds = [
            reach(f64::min, f64::INFINITY, |p| p.0) - 14.0,
            reach(f64::min, f64::INFINITY, |p| p.1) - 14.0,
            reach(f64::max, 0.0, |p| p.0) + 14.0,
            reach(f64::max, 0.0, |p| p.1) + 14.0,
        ];
        Self { points, step, bounds, seed: ball.seed ^ 0x7a }
    }

    /// Distance from the curve, signed by side, the length up to there and the heading.
    fn nearest(&self, x: f64, y: f64) -> Option<(f64, f64, Vector)> {
        let [left, top, right, bottom] = self.bounds;
        if x < left || x > right || y < top || y > bottom {
            return None;
        }
        let pieces = self.points.windows(2).enumerate();
        let (apart, index) = pieces
            .map(|(index, pair)| (to_segment(pair[0], pair[1], x, y), index))
            .min_by(|p, q| p.0.total_cmp(&q.0))?;
        let (from, to) = (self.points[index], self.points[index + 1]);
        let along = unit([to.0 - from.0, to.1 - from.1, 0.0]);
        let (dx, dy) = (x - from.0, y - from.1);
        let side = (along[0] * dy - along[1] * dx).signum();
        let length = index as f64 * self.step + along[0] * dx + along[1] * dy;
        Some((side * apart, length, along))
    }

    fn shade(&self, yarn: &Yarn, lit: &Lit, white: Vector, x: f64, y: f64) -> Option<Vector> {
        let (off, length, along) = self.nearest(x, y)?;
        if off.abs() >= TAIL_HALF_WIDTH {
            return None;
        }
        let axes = [[-along[1], along[0], 0.0], along, [0.0, 0.0, 1.0]];
        let across = 0.5 + 0.49 * off / TAIL_HALF_WIDTH;
        let point = strand(yarn, across, length / (2.0 * TAIL_HALF_WIDTH), self.seed);
        Some(shade(lit, white, &point, axes, 0.02))
    }

    /// Light left beside it on the table.
    fn shadow(&self, x: f64, y: f64) -> f64 {
        let near = self.nearest(x - 2.5, y - 3.0).map_or(f64::INFINITY, |(off, ..)| off.abs());
        0.6 + 0.4 * smooth((near - 2.5) / 6.0)
    }
}
