//! Yarn as a relief: strands laid side by side over others, and how light reaches each point of them.

use super::super::dice::{Dice, at_place};

/// What a yarn's surface is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Form {
    /// Tape laid flat, or a felted sheet: no shadows to speak of.
    Flat,
    /// Singles: round strands.
    Round,
    /// Several plies twisted into each strand.
    Plied,
}

impl Form {
    pub const ALL: [Self; 3] = [Self::Flat, Self::Round, Self::Plied];
}

/// Heights in pixels, `side` x `side`.
pub struct Relief {
    pub side: usize,
    height: Vec<f64>,
}

/// How a point is lit: shares of the light that a flat open surface would get.
#[derive(Clone, Copy, Default)]
pub struct Lit {
    /// From the lamp, straight.
    pub lamp: f64,
    /// From the lamp, through a strand that stands in its way.
    pub through: f64,
    /// From all round.
    pub sky: f64,
    /// Share of the point's surroundings that is yarn instead of sky.
    pub closed: f64,
    /// Sheen toward the camera, times the yarn's gloss.
    pub sheen: f64,
}

/// Where the lamp stands: height over the table and direction, in radians, and its angular radius.
#[derive(Clone, Copy)]
pub struct Lamp {
    pub elevation: f64,
    pub azimuth: f64,
    pub radius: f64,
}

/// One layer of parallel strands.
struct Layer {
    radius: f64,
    pitch: f64,
    angle: f64,
    /// Plies and the length of their twist; one ply is a single.
    plies: usize,
    twist: f64,
    /// How far strands sway sideways, and over what length.
    sway: (f64, f64),
    /// Height over half width.
    flatness: f64,
    seed: u64,
}

impl Layer {
    /// Height of the layer over its axis at a point; `None` between strands.
    fn height(&self, x: f64, y: f64) -> Option<f64> {
        let (sin, cos) = self.angle.sin_cos();
        let (across, along) = (x * cos + y * sin, y * cos - x * sin);
        let nearest = (across / self.pitch).round() as i64;
        (nearest - 1..=nearest + 1)
            .filter_map(|strand| self.strand(strand, across, along))
            .reduce(f64::max)
            .map(|height| height + self.grain(across, along))
    }

    fn strand(&self, number: i64, across: f64, along: f64) -> Option<f64> {
        let phase = std::f64::consts::TAU * at_place(number, 0, self.seed);
        let middle = number as f64 * self.pitch + self.sway.0 * (along / self.sway.1 + phase).sin();
        let off = across - middle;
        let half = |radius: f64, off: f64| (radius * radius - off * off).max(0.0).sqrt();
        if self.plies == 1 {
            return (off.abs() < self.radius).then(|| half(self.radius, off) * self.flatness);
        }
        // Plies as circles that touch inside the strand, a little pressed together.
        let around = (std::f64::consts::PI / self.plies as f64).sin();
        let ply = self.radius / (1.0 + 1.0 / around) * 1.12;
        let arm = self.radius - ply;
        (0..self.plies)
            .filter_map(|k| {
                let turn =
                    std::f64::consts::TAU * (along / self.twist + k as f64 / self.plies as f64) + phase;
                let beside = off - arm * turn.cos();
                (beside.abs() < ply).then(|| arm * turn.sin() + half(ply, beside))
            })
            .reduce(f64::max)
    }

    /// Fibres: long along the strand, about a pixel thick.
    fn grain(&self, across: f64, along: f64) -> f64 {
        let rough = 0.22 * self.radius.min(6.0) / 6.0;
        let smooth = |t: f64| t * t * (3.0 - 2.0 * t);
        let (u, v) = (across / 1.3, along / 7.0);
        let (i, j) = (u.floor(), v.floor());
        let (s, t) = (smooth(u - i), smooth(v - j));
        let value = |di: i64, dj: i64| at_place(i as i64 + di, j as i64 + dj, self.seed ^ 0x4d) - 0.5;
        let low = value(0, 0) * (1.0 - s) + value(1, 0) * s;
        let high = value(0, 1) * (1.0 - s) + value(1, 1) * s;
        2.0 * rough * (low * (1.0 - t) + high * t)
    }
}

impl Relief {
    /// A relief of this form; `plies` are the numbers of plies to choose from.
    pub fn new(form: Form, side: usize, plies: &[usize], dice: &mut Dice) -> Self {
        let angle = dice.between(0.0, std::f64::consts::PI);
        let radius = match form {
            Form::Flat => dice.between(9.0, 22.0),
            Form::Round => dice.between(3.5, 12.0),
            Form::Plied => dice.between(5.0, 14.0),
        };
        let top = Layer {
            radius,
            pitch: 2.0 * radius * dice.between(0.88, 1.08),
            angle,
            plies: if form == Form::Plied { dice.one_of(plies) } else { 1 },
            twist: radius * dice.between(4.0, 8.0),
            sway: (radius * dice.between(0.05, 0.2), radius * dice.between(1.5, 4.0)),
            flatness: if form == Form::Flat { dice.between(0.02, 0.10) } else { dice.between(0.8, 1.0) },
            seed: (dice.share() * 1e9) as u64,
        };
        let below = Layer {
            angle: angle + dice.between(0.5, 1.6),
            seed: top.seed ^ 5,
            pitch: 2.0 * radius * dice.between(0.95, 1.05),
            ..top
        };
        let sheet = form == Form::Flat && dice.chance(0.4);
        let sunk = if form == Form::Flat { 0.1 * radius } else { 1.3 * radius };
        let height = (0..side * side)
            .map(|place| {
                let (x, y) = ((place % side) as f64, (place / side) as f64);
                if sheet {
                    return top.grain(x, y) + 0.3 * (x / 17.0).sin() * (y / 23.0).sin();
                }
                let over = top.height(x, y);
                let under = below.height(x, y).map(|height| height - sunk);
                over.unwrap_or(f64::MIN).max(under.unwrap_or(-2.0 * sunk))
            })
            .collect();
        Self { side, height }
    }

    fn at(&self, x: f64, y: f64) -> f64 {
        let last = self.side as f64 - 1.0;
        let (x, y) = (x.clamp(0.0, last) as usize, y.clamp(0.0, last) as usize);
        self.height[y * self.side + x]
    }

    /// How the point is lit; `bulge` is the slope of the ball it lies on.
    pub fn lit(&self, x: usize, y: usize, bulge: [f64; 2], lamp: Lamp) -> Lit {
        let here = self.height[y * self.side + x] + 0.05;
        let (fx, fy) = (x as f64, y as f64);
        let slope_x = (self.at(fx + 1.0, fy) - self.at(fx - 1.0, fy)) / 2.0 + bulge[0];
        let slope_y = (self.at(fx, fy + 1.0) - self.at(fx, fy - 1.0)) / 2.0 + bulge[1];
        let length = (slope_x * slope_x + slope_y * slope_y + 1.0).sqrt();
        let normal = [-slope_x / length, -slope_y / length, 1.0 / length];
        let mut lit = Lit::default();
        // Five points of the lamp: its middle and four round it.
        for point in 0..5 {
            let around = f64::from(point) * std::f64::consts::FRAC_PI_2;
            let off = if point == 0 { 0.0 } else { 0.7 * lamp.radius };
            let elevation = (lamp.elevation + off * around.sin()).clamp(0.12, 1.55);
            let azimuth = lamp.azimuth + off * around.cos() / elevation.cos().max(0.3);
            let to = [elevation.cos() * azimuth.cos(), elevation.cos() * azimuth.sin(), elevation.sin()];
            let facing = normal.iter().zip(to).map(|(n, l)| n * l).sum::<f64>().max(0.0);
            // Over what a flat surface gets.
            let share = facing / lamp.elevation.sin() / 5.0;
            if self.blocked(fx, fy, here, azimuth, elevation.tan()) {
                lit.through += 1.0 / 5.0;
            } else {
                lit.lamp += share;
                // Half way between lamp and camera overhead.
                let half = [to[0], to[1], to[2] + 1.0];
                let long = half.iter().map(|v| v * v).sum::<f64>().sqrt();
                let along = normal.iter().zip(half).map(|(n, h)| n * h).sum::<f64>() / long;
                lit.sheen += along.max(0.0).powi(14) / 5.0;
            }
        }
        let open = self.open_sky(fx, fy, here);
        lit.sky = open * f64::midpoint(1.0, normal[2]);
        lit.closed = 1.0 - open;
        lit
    }

    fn blocked(&self, x: f64, y: f64, here: f64, azimuth: f64, rise: f64) -> bool {
        let (sin, cos) = azimuth.sin_cos();
        (1..36).any(|step| {
            let far = f64::from(step) * 1.2;
            self.at(x + far * cos, y + far * sin) > here + far * rise
        })
    }

    /// Cosine-weighted share of the sky over a point that no yarn hides: the mean over directions of
    /// `cos^2` of the horizon's height.
    fn open_sky(&self, x: f64, y: f64, here: f64) -> f64 {
        let directions = 8;
        let open = |direction: i32| {
            let (sin, cos) = (f64::from(direction) * std::f64::consts::TAU / f64::from(directions)).sin_cos();
            let steepest = [1.0, 2.0, 3.5, 5.5, 8.0, 12.0, 18.0, 26.0]
                .iter()
                .map(|far| (self.at(x + far * cos, y + far * sin) - here) / far)
                .fold(0.0, f64::max);
            1.0 / (1.0 + steepest * steepest)
        };
        (0..directions).map(open).sum::<f64>() / f64::from(directions)
    }
}
