//! The fabric the reading was made on: straight legs with a round profile, drawn as a formula of the place in its cell.

use super::super::dice::hashed;
use super::{Photo, Scene, take};

pub fn photo(scene: &Scene) -> Photo {
    let (width, height) = (100.0 / scene.stitches, 100.0 / scene.rows);
    let (sin, cos) = scene.turned.to_radians().sin_cos();
    let (scene, rise) = (*scene, 1.25);
    take(&scene, move |x, y| {
        let (x, y) = (x * cos + y * sin, y * cos - x * sin);
        let column = (x / width).floor();
        let salt =
            |n: f64| hashed((n as i64 as u64).wrapping_mul(0x9e37_79b9).wrapping_add(scene.seed << 20));
        let u = (x / width - column) * 2.0 - 1.0;
        let wobble = scene.jitter * 2.0 * (salt(column * 7_919.0 + (y / height).floor()) - 0.5);
        let v = y / height + rise * u.abs() + wobble;
        let row = v.floor();
        let across = ((v - row) * std::f64::consts::PI).sin();
        let leg = (u.abs() * std::f64::consts::PI).sin().max(0.0);
        let relief = 0.15 + 0.85 * across.powf(0.8) * (0.35 + 0.65 * leg.powf(0.5));
        let yarn = scene.yarns[usize::from(scene.knit.second(column as i64, row as i64))];
        yarn.map(|light| light * relief)
    })
}
