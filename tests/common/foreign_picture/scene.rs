//! A table with cards and six yarns of one make, and its photograph.

use super::super::dice::Dice;
use super::camera::{Camera, Sensor};
use super::dye;
use super::relief::{Form, Lamp, Lit, Relief};
use crate::common::spectra::{BANDS, Spectrum, Tables};

/// Which half of the world a picture comes from: the stated error is fitted on one and held to on the
/// other. They share no light, dye, number of plies or seed; only two measured cameras could be had, so
/// both parts see through all three sensors.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    Tuning,
    HeldOut,
}

impl Part {
    /// Columns of `light_spectra.csv`.
    pub const fn lights(self) -> &'static [&'static str] {
        match self {
            Self::Tuning => &["D50", "D65", "A", "FL4", "FL7", "FL11", "LED_B1", "LED_B3", "LED_V1"],
            Self::HeldOut => {
                &["D55", "D75", "FL2", "FL3_12", "LED_B2", "LED_B5", "LED_BH1", "LED_V2", "LED_RGB1"]
            }
        }
    }

    const fn plies(self) -> &'static [usize] {
        match self {
            Self::Tuning => &[2, 4],
            Self::HeldOut => &[3, 5],
        }
    }

    fn dyed(self, dice: &mut Dice) -> Spectrum {
        match self {
            Self::Tuning => dye::dyed(dice, 0.0),
            Self::HeldOut if dice.chance(0.4) => dye::charted(dice),
            Self::HeldOut => dye::dyed(dice, 17.0),
        }
    }
}

/// A card in the picture, and what is written on it.
#[derive(Clone, Copy)]
pub struct Card {
    /// Left, top, width, height.
    pub place: [u32; 4],
    pub reflectance: f64,
}

/// A yarn in the picture.
pub struct Yarn {
    /// Left, top, width, height.
    pub place: [u32; 4],
    pub reflectance: Spectrum,
}

/// A photograph and what is true about it.
pub struct Shot {
    pub width: u32,
    pub height: u32,
    /// 8-bit sRGB.
    pub codes: Vec<u8>,
    pub sensor: Sensor,
    /// A grey card at the left, a white paper at the right, another grey card at the right below.
    pub cards: [Card; 3],
    pub yarns: Vec<Yarn>,
}

const WIDTH: usize = 400;
const HEIGHT: usize = 232;
const SIDE: usize = 92;
const RELIEF: usize = 150;

/// Light over the table: a plane, a bend and the lens's falling off, in logarithms of light.
struct Falloff {
    across: f64,
    down: f64,
    bend: f64,
    corner: f64,
}

impl Falloff {
    /// Half of all pictures lie within about 15 % from edge to edge, some reach 60 %.
    fn new(dice: &mut Dice) -> Self {
        let strength = 0.22 * dice.normal().abs();
        let toward = dice.between(0.0, std::f64::consts::TAU);
        Self {
            across: strength * toward.cos(),
            down: strength * toward.sin(),
            bend: -0.06 * dice.share(),
            corner: -0.15 * dice.share(),
        }
    }

    fn at(&self, x: usize, y: usize) -> f64 {
        let (u, v) = (2.0 * x as f64 / WIDTH as f64 - 1.0, 2.0 * y as f64 / HEIGHT as f64 - 1.0);
        let out = f64::midpoint(u * u, v * v);
        (self.across * u + self.down * v + self.bend * u * u + self.corner * out * out).exp()
    }
}

/// The lamp, the room round it and the yarn's make.
struct Room {
    lamp: Lamp,
    /// Light of the lamp and of the room; a flat surface gets `1 - ambient` and `ambient` of them.
    lamp_light: Spectrum,
    wall_light: Spectrum,
    ambient: f64,
    gloss: f64,
    translucent: f64,
    is_ball: bool,
    falloff: Falloff,
}

impl Room {
    fn new(light: &Spectrum, dice: &mut Dice) -> Self {
        // Walls take a little from one end of the spectrum: cream and pale blue walls.
        let wall = dice.between(-0.25, 0.35);
        let wall_light =
            std::array::from_fn(|band| light[band] * (1.0 + wall * (band as f64 / (BANDS - 1) as f64 - 0.5)));
        Self {
            lamp: Lamp {
                elevation: dice.between(0.6, 1.45),
                azimuth: dice.between(0.0, std::f64::consts::TAU),
                radius: dice.between(0.05, 0.35),
            },
            lamp_light: *light,
            wall_light,
            ambient: dice.between(0.15, 0.7),
            gloss: dice.between(0.0, 0.05),
            translucent: dice.between(0.05, 0.25),
            is_ball: dice.chance(0.5),
            falloff: Falloff::new(dice),
        }
    }

    /// The slope of the ball a point of a yarn's square lies on: 23 degrees at the middle of its edges.
    fn bulge(&self, x: usize, y: usize) -> [f64; 2] {
        if !self.is_ball {
            return [0.0; 2];
        }
        let off = |v: usize| (v as f64 / SIDE as f64 - 0.5) * 0.8;
        let (u, v) = (off(x), off(y));
        let up = (1.0 - u * u - v * v).sqrt();
        [-u / up, -v / up]
    }
}

/// What the camera sees of a yarn in every state of being lit.
struct Seen {
    /// By how closed the surroundings are, in steps of a tenth: lamp and room.
    lamp: Vec<[f64; 3]>,
    room: Vec<[f64; 3]>,
    through: [f64; 3],
    white: [f64; 3],
}

impl Seen {
    fn new(camera: &Camera, room: &Room, reflectance: &Spectrum) -> Self {
        // Light that goes to and fro in a hollow of which the share f is yarn: R / (1 - f R).
        let hollow = |step: usize| -> Spectrum {
            let closed = step as f64 / 10.0;
            reflectance.map(|r| r / (1.0 - closed * r))
        };
        let by = |light: &Spectrum| (0..=10).map(|step| camera.see(light, &hollow(step))).collect();
        Self {
            lamp: by(&room.lamp_light),
            room: by(&room.wall_light),
            through: camera.see(&room.lamp_light, &reflectance.map(|r| r * r)),
            white: camera.see(&room.lamp_light, &[1.0; BANDS]),
        }
    }

    fn pixel(&self, lit: Lit, room: &Room) -> [f64; 3] {
        let place = (lit.closed * 10.0).clamp(0.0, 9.999);
        let (step, part) = (place as usize, place.fract());
        let lamp = 1.0 - room.ambient;
        std::array::from_fn(|k| {
            let of = |table: &[[f64; 3]]| table[step][k] * (1.0 - part) + table[step + 1][k] * part;
            lamp * (lit.lamp * of(&self.lamp)
                + lit.through * room.translucent * self.through[k]
                + lit.sheen * room.gloss * self.white[k])
                + room.ambient * lit.sky * of(&self.room)
        })
    }
}

/// Takes a picture of six yarns of one form in a light of the part.
pub fn shoot(tables: &Tables, part: Part, light: &str, form: Form, seed: u64) -> Shot {
    let place = part.lights().iter().position(|name| *name == light).unwrap() as u64;
    let half = if part == Part::Tuning { 1 } else { 2 };
    let mut dice = Dice::new(half * 1_000_003 + place * 7919 + form as u64 * 104_729 + seed * 15_485_863);
    let dice = &mut dice;
    let spectrum = tables.light(light);
    let white = tables.xyz(&[1.0; BANDS], &spectrum);
    // Redder than it is blue: the camera takes its profile for lamps.
    let is_warm = white[2] < 0.6;
    let sensor = dice.one_of(&Sensor::ALL);
    let camera = Camera::new(sensor, tables, &spectrum, is_warm, dice);
    let room = Room::new(&spectrum, dice);
    let relief = Relief::new(form, RELIEF, part.plies(), dice);

    let table_top = dye::neutral(dice.between(0.15, 0.6), dice.between(-0.3, 0.6));
    let ground = camera.see(&spectrum, &table_top);
    let mut linear: Vec<[f64; 3]> =
        (0..WIDTH * HEIGHT).map(|i| ground.map(|v| v * room.falloff.at(i % WIDTH, i / WIDTH))).collect();
    let cards = cards(&camera, &room, &mut linear, dice);
    let yarns = (0..6)
        .map(|k| {
            let (left, top) = (62 + 96 * (k % 3), 16 + 108 * (k / 3));
            let reflectance = part.dyed(dice);
            lay(&camera, &room, &relief, &reflectance, [left, top], &mut linear, dice);
            Yarn { place: inner([left, top]), reflectance }
        })
        .collect();
    expose(&mut linear, dice);
    let codes = camera.develop(&linear, WIDTH, dice);
    Shot { width: WIDTH as u32, height: HEIGHT as u32, codes, sensor, cards, yarns }
}

/// What is marked of a yarn's square: a little inside it.
fn inner([left, top]: [usize; 2]) -> [u32; 4] {
    [left as u32 + 3, top as u32 + 3, SIDE as u32 - 6, SIDE as u32 - 6]
}

fn lay(
    camera: &Camera,
    room: &Room,
    relief: &Relief,
    reflectance: &Spectrum,
    [left, top]: [usize; 2],
    linear: &mut [[f64; 3]],
    dice: &mut Dice,
) {
    let seen = Seen::new(camera, room, reflectance);
    let room_left = (RELIEF - SIDE) as f64;
    let (from_x, from_y) = (dice.between(0.0, room_left) as usize, dice.between(0.0, room_left) as usize);
    for y in 0..SIDE {
        for x in 0..SIDE {
            let lit = relief.lit(from_x + x, from_y + y, room.bulge(x, y), room.lamp);
            let light = room.falloff.at(left + x, top + y);
            linear[(top + y) * WIDTH + left + x] = seen.pixel(lit, room).map(|v| v * light);
        }
    }
}

/// Two grey cards and a paper: off by some per cent, not quite even in colour, not quite level.
fn cards(camera: &Camera, room: &Room, linear: &mut [[f64; 3]], dice: &mut Dice) -> [Card; 3] {
    let places = [[8, 90, 44, 52], [352, 14, 40, 60], [352, 158, 40, 60]];
    let mut written = [0.18, 0.85, 0.18].into_iter();
    places.map(|[left, top, width, height]: [usize; 4]| {
        let reflectance = written.next().unwrap();
        let off = if reflectance > 0.5 { 0.03 } else { 0.04 };
        let surface = dye::neutral(reflectance * (1.0 + off * dice.normal()), 0.03 * dice.normal());
        let tilt = 0.03 * dice.normal();
        // Tilted toward the lamp or away from it.
        let lamp = (room.lamp.elevation + tilt).sin() / room.lamp.elevation.sin() * (1.0 - room.ambient);
        let (by_lamp, by_room) =
            (camera.see(&room.lamp_light, &surface), camera.see(&room.wall_light, &surface));
        for y in top..top + height {
            for x in left..left + width {
                let light = room.falloff.at(x, y);
                linear[y * WIDTH + x] =
                    std::array::from_fn(|k| light * (lamp * by_lamp[k] + room.ambient * by_room[k]));
            }
        }
        let [x, y, w, h] = [left + 4, top + 4, width - 8, height - 8].map(|v| v as u32);
        Card { place: [x, y, w, h], reflectance }
    })
}

/// Exposes so that the lightest parts come to 70 to 105 % of full: a few pictures glare.
fn expose(linear: &mut [[f64; 3]], dice: &mut Dice) {
    let mut tops: Vec<f64> = linear.iter().map(|p| p.iter().copied().fold(0.0, f64::max)).collect();
    let place = (tops.len() as f64 * 0.98) as usize;
    let (_, light, _) = tops.select_nth_unstable_by(place, f64::total_cmp);
    let factor = dice.between(0.7, 1.05) / *light;
    for pixel in linear {
        *pixel = pixel.map(|v| v * factor);
    }
}
