//! A yoke in ten sizes, for the check that it can be worn and for its speed. Stands inside modules that name
//! the types.

use super::{Brief, Gauge, Part, Wanted};

/// Ten sizes from 4 years to 5X (name, chest with ease, depth and neck in cm), three bands.
pub fn ten_sizes() -> Brief {
    let sizes = [
        ("4", 64.0, 14.5, 40.0),
        ("8", 74.0, 16.5, 42.0),
        ("12", 84.0, 19.0, 44.0),
        ("XS", 87.0, 21.0, 46.0),
        ("S", 97.0, 22.0, 48.0),
        ("M", 107.0, 23.0, 50.0),
        ("L", 117.0, 24.0, 54.0),
        ("2X", 134.0, 26.0, 58.0),
        ("4X", 150.0, 28.0, 62.0),
        ("5X", 158.0, 29.0, 64.0),
    ];
    let chart = |width: u32, rows: usize, optional| Part::Chart { widths: vec![width; rows], optional };
    let plain = || Part::Plain { repeat: 1, least: 1, most: 20 };
    let decrease = || Part::Change { least: 0.6, most: 1.0 };
    let parts = vec![
        plain(),
        Part::Change { least: 0.75, most: 1.05 },
        chart(6, 7, false),
        decrease(),
        plain(),
        chart(24, 21, true),
        decrease(),
        plain(),
        chart(6, 7, true),
        Part::Change { least: 0.5, most: 1.0 },
        Part::Fabric { repeat: 4, rows: 8 },
    ];
    let size = |(name, girth, depth_cm, end_cm): (&str, f64, f64, f64)| Wanted {
        name: name.to_owned(),
        stitches: (girth * 1.34 * 2.8) as u32,
        depth_cm,
        end_cm,
        least_end_cm: 0.0,
        shoulder_cm: girth,
        held: Vec::new(),
    };
    Brief::new(Gauge::new(28.0, 33.0).unwrap(), parts, sizes.map(size).to_vec())
}
