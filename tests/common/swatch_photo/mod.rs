//! Photographs of knitted swatches beside a card, made by a program: two makers of fabric that have nothing in common
//! but the camera. `tuned` is the one the reading was made on; `foreign` is the one it is held to, and must never
//! learn from `tuned` or from `photo`.

pub mod camera;
pub mod foreign;
pub mod tuned;

use super::dice::Dice;
use camera::Camera;

/// What is knitted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Knit {
    /// One colour.
    Plain,
    /// Diamonds over 12 stitches and 12 rounds.
    Diamonds,
    /// Single stitches in every fourth column and round.
    Dots,
    /// Blocks of 2 by 2.
    Blocks,
    /// Two rows of a colour, then two of the other.
    Stripes,
    /// Lines that climb a row with each stitch, two stitches of five.
    Lines,
    /// Steep lines, a stitch aside with every second row, three stitches of eight.
    Steep,
    /// Lines that climb a row with each second stitch, three of seven.
    Low,
}

impl Knit {
    pub const ALL: [Self; 8] = [
        Self::Plain,
        Self::Diamonds,
        Self::Dots,
        Self::Blocks,
        Self::Stripes,
        Self::Lines,
        Self::Steep,
        Self::Low,
    ];

    /// Which of the two colours a stitch has.
    pub fn second(self, column: i64, row: i64) -> bool {
        let (x, y) = (column.rem_euclid(12), row.rem_euclid(12));
        match self {
            Self::Plain => false,
            Self::Diamonds => ((x - 6).abs() + (y - 6).abs()) % 6 < 2,
            Self::Dots => x % 4 == 1 && (y % 4 == if column.rem_euclid(8) < 4 { 1 } else { 3 }),
            Self::Blocks => (x / 2 + y / 2) % 2 == 0,
            Self::Stripes => y % 4 < 2,
            Self::Lines => (column + row).rem_euclid(5) < 2,
            Self::Steep => (2 * column - row).rem_euclid(8) < 3,
            Self::Low => (column - 2 * row).rem_euclid(7) < 3,
        }
    }
}

/// What disturbs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scene {
    pub knit: Knit,
    /// Per 10 cm.
    pub stitches: f64,
    pub rows: f64,
    /// Camera off the upright, in degrees, and to which side.
    pub tilt: f64,
    pub side: f64,
    /// How dark the shadow over a part of the swatch is, `0..=1`.
    pub shadow: f64,
    /// Standard deviation of a channel, in steps of 255.
    pub noise: f64,
    /// How much stitches differ in place, as a share of a stitch.
    pub jitter: f64,
    /// The fabric turned against its corners, in degrees.
    pub turned: f64,
    /// Linear light of both yarns.
    pub yarns: [[f64; 3]; 2],
    pub seed: u64,
    /// Side of the swatch in mm.
    pub side_mm: f64,
}

impl Scene {
    pub fn plain(stitches: f64, rows: f64, seed: u64) -> Self {
        Self {
            knit: Knit::Plain,
            stitches,
            rows,
            tilt: 0.0,
            side: 0.0,
            shadow: 0.0,
            noise: 2.0,
            jitter: 0.03,
            turned: 0.0,
            yarns: [[0.45, 0.36, 0.25], [0.04, 0.06, 0.16]],
            seed,
            side_mm: 100.0,
        }
    }
}

/// A photograph and where things lie in it.
pub struct Photo {
    pub width: u32,
    pub height: u32,
    /// sRGB, row by row.
    pub rgb: Vec<u8>,
    pub card: [[f64; 2]; 4],
    pub swatch: [[f64; 2]; 4],
}

/// Card and swatch on a table, in mm: the card to the left, its long side along x.
const CARD: [f64; 4] = [-110.0, -27.0, 85.60, 53.98];

/// Takes the photograph; `fabric` gives the linear light at a place of the swatch in mm from its middle.
pub fn take(scene: &Scene, fabric: impl Fn(f64, f64) -> [f64; 3]) -> Photo {
    let camera = Camera::new(scene.tilt, scene.side, (1500, 1000), 240.0 * scene.side_mm.max(100.0) / 100.0);
    let half = scene.side_mm / 2.0;
    let middle = [half - 15.0, 0.0];
    let mut dice = Dice::at(scene.seed.wrapping_mul(77).wrapping_add(5));
    let mut rgb = Vec::new();
    let place = |x: f64, y: f64| {
        let card = (x - CARD[0], y - CARD[1]);
        let swatch = (x - middle[0], y - middle[1]);
        let light = if (0.0..CARD[2]).contains(&card.0) && (0.0..CARD[3]).contains(&card.1) {
            [0.7, 0.72, 0.75]
        } else if swatch.0.abs() < half && swatch.1.abs() < half {
            fabric(swatch.0, swatch.1)
        } else {
            [0.12, 0.09, 0.07]
        };
        // A soft edge of shadow slants over the swatch, and light falls off over the table.
        let over = (x - middle[0] + 0.6 * y) / 9.0;
        let lit = 1.0 - scene.shadow / (1.0 + (-over).exp());
        let falls = 1.0 - scene.shadow * 0.3 * (x + 100.0) / 250.0;
        light.map(|channel| channel * lit * falls)
    };
    for v in 0..camera.height {
        for u in 0..camera.width {
            let mut sum = [0.0; 3];
            for part in 0..4 {
                let at = [
                    f64::from(u) + 0.25 + 0.5 * f64::from(part % 2),
                    f64::from(v) + 0.25 + 0.5 * f64::from(part / 2),
                ];
                let [x, y] = camera.mm(at);
                let light = place(x, y);
                (0..3).for_each(|k| sum[k] += light[k] / 4.0);
            }
            let noisy = sum.map(|light| {
                (camera::encoded(light) * 255.0 + scene.noise * dice.nearly_normal())
                    .round()
                    .clamp(0.0, 255.0)
            });
            rgb.extend(noisy.map(|code| code as u8));
        }
    }
    let corners =
        |[x, y, w, h]: [f64; 4]| [[x, y], [x + w, y], [x + w, y + h], [x, y + h]].map(|mm| camera.px(mm));
    // The marked part lies a little inside.
    let inner = half * 0.94;
    let swatch = corners([middle[0] - inner, middle[1] - inner, 2.0 * inner, 2.0 * inner]);
    // Corners are named in whole pixels, as a person reads them off.
    let whole = |corners: [[f64; 2]; 4]| corners.map(|corner| corner.map(f64::round));
    Photo {
        width: camera.width,
        height: camera.height,
        rgb,
        card: whole(corners(CARD)),
        swatch: whole(swatch),
    }
}
