//! Fabric the reading was not made on: each leg is a bent, plied strand of its own with its own slips, lit from the side, one lying
//! over the other.

use super::super::dice::hashed;
use super::{Photo, Scene, take};

/// A strand's height over the ground and its light, at a place.
struct Strand {
    height: f64,
    shade: f64,
    column: i64,
    row: i64,
}

pub fn photo(scene: &Scene) -> Photo {
    let fabric = Fabric { width: 100.0 / scene.stitches, height: 100.0 / scene.rows, scene: *scene };
    take(scene, move |x, y| fabric.light(x, y))
}

struct Fabric {
    width: f64,
    height: f64,
    scene: Scene,
}

impl Fabric {
    fn chance(&self, column: i64, row: i64, what: u64) -> f64 {
        let key = (column as u64).wrapping_mul(0x1f3d_5b79) ^ (row as u64).wrapping_mul(0x9a7e_c1b3_5d2f);
        2.0 * hashed(key.wrapping_add(what.wrapping_mul(0x5851_f42d)).wrapping_add(self.scene.seed << 32))
            - 1.0
    }

    fn light(&self, x: f64, y: f64) -> [f64; 3] {
        let (sin, cos) = self.scene.turned.to_radians().sin_cos();
        let (x, y) = (x * cos + y * sin, y * cos - x * sin);
        let (column, row) = ((x / self.width).floor() as i64, (y / self.height).floor() as i64);
        let mut top: Option<Strand> = None;
        for c in column - 1..=column + 1 {
            for r in row - 1..=row + 2 {
                for side in [-1.0, 1.0] {
                    if let Some(strand) = self.strand(x, y, (c, r), side)
                        && top.as_ref().is_none_or(|top| top.height < strand.height)
                    {
                        top = Some(strand);
                    }
                }
            }
        }
        // Between strands one looks into the dark.
        let Some(strand) = top else { return self.scene.yarns[0].map(|light| light * 0.06) };
        let yarn = self.scene.yarns[usize::from(self.scene.knit.second(strand.column, strand.row))];
        let own = 1.0 + 0.08 * self.chance(strand.column, strand.row, 9);
        yarn.map(|light| light * strand.shade * own)
    }

    /// One leg of a stitch: a bent line from its foot, near the middle, to its shoulder a row and a third higher.
    fn strand(&self, x: f64, y: f64, (column, row): (i64, i64), side: f64) -> Option<Strand> {
        let slip = self.scene.jitter;
        let middle = (column as f64 + 0.5 + slip * self.chance(column, row, 1)) * self.width;
        let foot = (row as f64 + 1.0 + slip * self.chance(column, row, 2)) * self.height;
        let length = 1.35 * self.height;
        let t = (foot - y) / length;
        if !(-0.1..=1.1).contains(&t) {
            return None;
        }
        // From 0.08 to 0.4 of a stitch off the middle, bent as an S.
        let bend = t - 0.11 * (std::f64::consts::TAU * t).sin();
        let lean = side * (0.09 + 0.30 * bend) * self.width;
        let radius = 0.21 * self.width * (1.0 + 0.06 * self.chance(column, row, 3));
        let slope = side * 0.30 * self.width / length;
        let off = (x - middle - lean) / (1.0 + slope * slope).sqrt() / radius;
        if off.abs() >= 1.0 {
            return None;
        }
        let round = (1.0 - off * off).sqrt();
        // The shoulder dives under the stitch above it.
        let height = round * 0.5 + 0.9 * (1.0 - t) - 0.3 * (t - 0.5).abs();
        // Light from the upper left; the round strand turns away from it; plies lie aslant.
        let light = (0.75 * round - 0.35 * off + 0.25).max(0.05);
        let ply = 1.0
            - 0.16 * (std::f64::consts::TAU * (2.4 * t * side.mul_add(0.1, 1.0) + 0.45 * off)).sin().max(0.0);
        let deep = 1.0 - 0.5 * ((t - 0.62).max(0.0) / 0.48).powi(2);
        Some(Strand { height, shade: light * ply * deep, column, row })
    }
}
