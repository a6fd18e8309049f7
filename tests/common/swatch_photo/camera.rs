//! A camera without faults over a table, and dice.

pub struct Camera {
    pub width: u32,
    pub height: u32,
    /// Pixels.
    focal: f64,
    /// Rows of the rotation from the table to the camera.
    turn: [[f64; 3]; 3],
    /// Distance of the table's middle, mm.
    distance: f64,
}

impl Camera {
    /// Tilted by `tilt` degrees towards `side` (degrees round the table); `view` mm of the table fill the width.
    pub fn new(tilt: f64, side: f64, (width, height): (u32, u32), view: f64) -> Self {
        let (t, s) = (tilt.to_radians(), side.to_radians());
        let axis = [s.cos(), s.sin(), 0.0];
        // Rodrigues' formula.
        let (sin, cos) = (t.sin(), t.cos());
        let cross = [[0.0, -axis[2], axis[1]], [axis[2], 0.0, -axis[0]], [-axis[1], axis[0], 0.0]];
        let turn = std::array::from_fn(|i| {
            std::array::from_fn(|k| {
                f64::from(u8::from(i == k)) * cos + sin * cross[i][k] + (1.0 - cos) * axis[i] * axis[k]
            })
        });
        let distance = 420.0;
        let focal = f64::from(width) / (view * (1.0 + 0.8 * sin)) * distance;
        Self { width, height, focal, turn, distance }
    }

    /// The pixel of a place on the table.
    pub fn px(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let seen = self.turn.map(|row| row[0] * x + row[1] * y);
        let depth = seen[2] + self.distance;
        [
            self.focal * seen[0] / depth + f64::from(self.width) / 2.0,
            self.focal * seen[1] / depth + f64::from(self.height) / 2.0,
        ]
    }

    /// The place on the table that a pixel sees.
    pub fn mm(&self, [u, v]: [f64; 2]) -> [f64; 2] {
        let ray = [
            (u - f64::from(self.width) / 2.0) / self.focal,
            (v - f64::from(self.height) / 2.0) / self.focal,
            1.0,
        ];
        // Back onto the table: its normal is the third column of the turn.
        let back = |v: [f64; 3]| -> [f64; 3] {
            std::array::from_fn(|k| (0..3).map(|i| self.turn[i][k] * v[i]).sum())
        };
        let direction = back(ray);
        let eye = back([0.0, 0.0, -self.distance]);
        let along = -eye[2] / direction[2];
        [eye[0] + along * direction[0], eye[1] + along * direction[1]]
    }
}

/// sRGB of linear light (IEC 61966-2-1).
pub fn encoded(light: f64) -> f64 {
    if light <= 0.003_130_8 { 12.92 * light } else { 1.055 * light.powf(1.0 / 2.4) - 0.055 }
}
