//! A third maker of photographs of knitting, written without knowledge of the other two or of how the reading works, and
//! never to be fitted to either: loops are bent tubes of plied yarn, lit from one side, lying under and over each
//! other, seen through a pinhole.

/// A generator of chance (a 64-bit linear congruence with output mixing), the same everywhere.
pub struct Chance(u64);

impl Chance {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15).wrapping_add(0xD1B5_4A32_D192_ED03))
    }

    /// `0..1`
    pub fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let mixed = (self.0 ^ (self.0 >> 29)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        ((mixed ^ (mixed >> 32)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn range(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    /// Normal, mean 0, standard deviation 1.
    pub fn bell(&mut self) -> f64 {
        let (u, v) = (self.share().max(1e-12), self.share());
        (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * v).cos()
    }
}

/// What is knitted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Motif {
    Plain,
    /// One stitch of each colour in turn, shifted every row.
    Salt,
    /// Crosses in a field of 10 by 9.
    Crosses,
    /// Slanting lines, two stitches wide.
    Slants,
    /// Upright bars, three stitches and two.
    Bars,
}

impl Motif {
    pub const STRANDED: [Self; 4] = [Self::Salt, Self::Crosses, Self::Slants, Self::Bars];

    fn is_second(self, column: i64, row: i64) -> bool {
        match self {
            Self::Plain => false,
            Self::Salt => (column + row).rem_euclid(2) == 0,
            Self::Crosses => {
                let (x, y) = (column.rem_euclid(10) - 4, row.rem_euclid(9) - 4);
                (x == 0 || y == 0) && x.abs() + y.abs() <= 3
            }
            Self::Slants => (column + row).rem_euclid(6) < 2,
            Self::Bars => column.rem_euclid(5) < 3,
        }
    }
}

/// A swatch, how it is lit and from where it is seen.
#[derive(Clone, Copy, Debug)]
pub struct Take {
    pub motif: Motif,
    /// In 10 cm.
    pub stitches: f64,
    /// In 10 cm.
    pub rows: f64,
    /// Of the camera off the upright, in degrees.
    pub tilt: f64,
    /// Towards where, in degrees.
    pub towards: f64,
    /// Share of the light that a soft-edged shadow takes.
    pub shadow: f64,
    /// Standard deviation of a pixel in steps of 255.
    pub noise: f64,
    pub seed: u64,
}

/// The picture and where things lie in it, in pixels.
pub struct Shot {
    pub width: u32,
    pub height: u32,
    pub rgb: Vec<u8>,
    /// Clockwise from the top left.
    pub card: [[f64; 2]; 4],
    /// Clockwise from the top left, along the rows.
    pub swatch: [[f64; 2]; 4],
}

const SIZE: (u32, u32) = (1500, 1100);
/// Of the card, ISO/IEC 7810 ID-1, in mm.
const CARD: (f64, f64) = (85.60, 53.98);

/// The pinhole: places on the table, in mm, to pixels.
struct Eye {
    at: [f64; 3],
    right: [f64; 3],
    down: [f64; 3],
    ahead: [f64; 3],
    focus: f64,
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn unit(a: [f64; 3]) -> [f64; 3] {
    let long = dot(a, a).sqrt();
    a.map(|x| x / long)
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

impl Eye {
    fn of(take: &Take) -> Self {
        let (tilt, towards) = (take.tilt.to_radians(), take.towards.to_radians());
        let far = 420.0;
        let at = [far * tilt.sin() * towards.cos(), far * tilt.sin() * towards.sin(), far * tilt.cos()];
        let ahead = unit(at.map(|x| -x));
        // y of the table runs down the picture.
        let right = unit(cross([0.0, 1.0, 0.0], [-ahead[0], -ahead[1], -ahead[2]]));
        let right = if right[0] < 0.0 { right.map(|x| -x) } else { right };
        let down = unit(cross(ahead, right));
        let down = if down[1] < 0.0 { down.map(|x| -x) } else { down };
        Self { at, right, down, ahead, focus: 2_150.0 }
    }

    fn see(&self, x: f64, y: f64) -> [f64; 2] {
        let to = [x - self.at[0], y - self.at[1], -self.at[2]];
        let deep = dot(to, self.ahead);
        let middle = [f64::from(SIZE.0) / 2.0, f64::from(SIZE.1) / 2.0];
        [
            middle[0] + self.focus * dot(to, self.right) / deep,
            middle[1] + self.focus * dot(to, self.down) / deep,
        ]
    }

    /// The place on the table that a pixel shows.
    fn table(&self, px: f64, py: f64) -> (f64, f64) {
        let (u, v) =
            ((px - f64::from(SIZE.0) / 2.0) / self.focus, (py - f64::from(SIZE.1) / 2.0) / self.focus);
        let ray = [0, 1, 2].map(|i| self.ahead[i] + u * self.right[i] + v * self.down[i]);
        let times = -self.at[2] / ray[2];
        (self.at[0] + times * ray[0], self.at[1] + times * ray[1])
    }
}

/// A value of its own for each pair of numbers, `0..1`.
fn hash(a: i64, b: i64, seed: u64) -> f64 {
    let mixed =
        (a as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ (b as u64).wrapping_mul(0xC2B2_AE3D_27D4_EB4F);
    Chance::new(mixed ^ seed.wrapping_mul(0x1656_67B1_9E37_79F9)).share()
}

struct Fabric {
    take: Take,
    wide: f64,
    high: f64,
    /// Of the yarn, in mm.
    radius: f64,
    colours: [[f64; 3]; 2],
    wave: [f64; 4],
}

impl Fabric {
    fn of(take: Take, chance: &mut Chance) -> Self {
        let (wide, high) = (100.0 / take.stitches, 100.0 / take.rows);
        let mut colour = |low: f64, high: f64| {
            let grey = chance.range(low, high);
            [0, 1, 2].map(|_| (grey * chance.range(0.6, 1.5)).clamp(0.015, 0.85))
        };
        let colours = [colour(0.08, 0.5), colour(0.03, 0.75)];
        let wave = [0, 1, 2, 3].map(|_| chance.range(0.0, std::f64::consts::TAU));
        Self { take, wide, high, radius: wide * 0.235, colours, wave }
    }

    /// Light from a place of the fabric, in mm from its top left, with the height of the yarn there.
    fn light(&self, x: f64, y: f64) -> [f64; 3] {
        // Hands are uneven over some centimetres; on the whole nothing is gained or lost.
        let x = x
            + 0.06 * self.wide * (y / 17.0 + self.wave[0]).sin()
            + 0.05 * self.wide * (y / 5.3 + self.wave[1]).sin();
        let y = y
            + 0.07 * self.high * (x / 23.0 + self.wave[2]).sin()
            + 0.05 * self.high * (x / 6.1 + self.wave[3]).sin();
        let (column, row) = ((x / self.wide).floor() as i64, (y / self.high).floor() as i64);
        let mut top: Option<(f64, [f64; 3])> = None;
        for r in row - 1..=row + 2 {
            for c in column - 1..=column + 1 {
                for side in [-1.0, 1.0] {
                    self.leg((c, r), side, (x, y), &mut top);
                }
            }
        }
        // Between the legs the back of the fabric is seen, in its own shade.
        top.map_or_else(|| self.colours[0].map(|light| light * 0.16), |(_, light)| light)
    }

    /// One leg of a stitch: it comes up from behind at the bottom of the V, leans out and goes behind the next row.
    fn leg(
        &self,
        (column, row): (i64, i64),
        side: f64,
        (x, y): (f64, f64),
        top: &mut Option<(f64, [f64; 3])>,
    ) {
        let own = |n: i64| hash(column * 7 + n, row * 13 - n, self.take.seed) - 0.5;
        let middle = (column as f64 + 0.5 + 0.07 * own(1)) * self.wide;
        let foot = (row as f64 + 1.0 + 0.06 * own(2)) * self.high;
        let long = 1.5 * self.high;
        let t = (foot - y) / long;
        if !(-0.08..=1.08).contains(&t) {
            return;
        }
        let s = t.clamp(0.0, 1.0);
        let bend = s * s * (3.0 - 2.0 * s);
        let out = self.wide * (0.14 + 0.21 * bend) * (1.0 + 0.08 * own(3));
        let centre = middle + side * out;
        let slope = side * self.wide * 0.21 * 6.0 * s * (1.0 - s) / long;
        let lean = 1.0 / (1.0 + slope * slope).sqrt();
        let off = (x - centre) * lean;
        let radius = self.radius * (1.0 + 0.1 * own(4));
        if off.abs() >= radius {
            return;
        }
        let round = (1.0 - (off / radius).powi(2)).sqrt();
        let high = self.wide * 0.55 * (std::f64::consts::PI * t.clamp(0.02, 0.98)).sin() + radius * round;
        if top.is_some_and(|(best, _)| best >= high) {
            return;
        }
        // Two plies wound about each other show as slanting ribs.
        let along = (foot - y) / lean;
        let ply = (std::f64::consts::TAU * (along / (3.1 * radius) + 0.3 * off / radius)).sin();
        let normal = unit([off / radius * lean, 0.35 * (t - 0.5), round + 0.25]);
        let lit = 0.25 + 0.75 * dot(normal, unit([-0.45, -0.55, 0.75])).max(0.0);
        let fleck = 1.0 + 0.12 * own(5) + 0.08 * ply;
        let deep = 0.55 + 0.45 * (high / (self.wide * 0.55 + radius)).clamp(0.0, 1.0);
        let colour = self.colours[usize::from(self.take.motif.is_second(column, -row))];
        *top = Some((high, colour.map(|light| light * lit * fleck * deep)));
    }
}

fn code(light: f64) -> f64 {
    let light = light.clamp(0.0, 1.0);
    255.0 * if light <= 0.003_130_8 { 12.92 * light } else { 1.055 * light.powf(1.0 / 2.4) - 0.055 }
}

/// Takes the picture: a card above on the table, the swatch below it.
pub fn shot(take: Take) -> Shot {
    let mut chance = Chance::new(take.seed * 977 + 5);
    let eye = Eye::of(&take);
    let fabric = Fabric::of(take, &mut chance);
    let (left, top) = (-105.0, -95.0);
    let cloth = (-110.0, -30.0, 110.0, 108.0);
    let turn = chance.range(-4.0, 4.0).to_radians();
    let card_place =
        |x: f64, y: f64| (left + x * turn.cos() - y * turn.sin(), top + x * turn.sin() + y * turn.cos());
    let table = [chance.range(0.1, 0.5), chance.range(0.1, 0.5), chance.range(0.1, 0.5)];
    let shadow_edge = chance.range(-40.0, 40.0);
    let mut rgb = Vec::with_capacity((SIZE.0 * SIZE.1 * 3) as usize);
    for py in 0..SIZE.1 {
        for px in 0..SIZE.0 {
            let mut sum = [0.0; 3];
            for part in 0..4 {
                let (dx, dy) = (0.25 + 0.5 * f64::from(part % 2), 0.25 + 0.5 * f64::from(part / 2));
                let (x, y) = eye.table(f64::from(px) + dx, f64::from(py) + dy);
                let (cx, cy) = (x - left, y - top);
                let (u, v) = (cx * turn.cos() + cy * turn.sin(), cy * turn.cos() - cx * turn.sin());
                let on_card = (0.0..=CARD.0).contains(&u) && (0.0..=CARD.1).contains(&v);
                let on_cloth = (cloth.0..=cloth.2).contains(&x) && (cloth.1..=cloth.3).contains(&y);
                let light = if on_card {
                    if (10.0..18.0).contains(&v) { [0.05; 3] } else { [0.62, 0.66, 0.72] }
                } else if on_cloth {
                    fabric.light(x - cloth.0, y - cloth.1)
                } else {
                    table
                };
                let dark = 1.0 - take.shadow / (1.0 + (-(x + 0.4 * y - shadow_edge) / 6.0).exp());
                for (sum, light) in sum.iter_mut().zip(light) {
                    *sum += light * dark / 4.0;
                }
            }
            rgb.extend(
                sum.map(|light| (code(light) + take.noise * chance.bell()).round().clamp(0.0, 255.0) as u8),
            );
        }
    }
    let near = |(x, y): (f64, f64)| eye.see(x, y).map(f64::round);
    let card = [(0.0, 0.0), (CARD.0, 0.0), CARD, (0.0, CARD.1)].map(|(x, y)| near(card_place(x, y)));
    let swatch = [(-60.0, -18.0), (60.0, -18.0), (60.0, 70.0), (-60.0, 70.0)].map(near);
    Shot { width: SIZE.0, height: SIZE.1, rgb, card, swatch }
}
