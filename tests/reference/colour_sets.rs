//! Hue templates and the contrast of extension. The sources stand in the first lines of each table in
//! `tests/data`. (Pair harmony after Ou and Luo has no printed values at hand; its reported tendencies
//! are checked beside the code.)

use crate::common::{assert_near, table};
use huegauge::colour::extension::{balanced_shares, light_value};
use huegauge::colour::template::{HuePoint, Template, fit};
use huegauge::colour::{Colour, Wheel};

/// Sector sizes: Cohen-Or et al. 2006, after Matsuda 1995.
#[test]
fn template_sectors_have_the_published_sizes() {
    let rows = table("matsuda_templates.csv");
    let published = |name: &str| -> Vec<(f64, f64)> {
        let of_name = rows.iter().filter(|row| row.text("template") == name);
        of_name.map(|row| (row.number("centre_deg"), row.number("width_deg"))).collect()
    };
    let mut checked = 0;
    for template in Template::ALL {
        let name = if template == Template::MirroredL { "L-mirror" } else { template.name() };
        let ours: Vec<_> = template.sectors().iter().map(|s| (s.centre, s.width)).collect();
        assert_eq!(ours, published(name), "{name}");
        checked += ours.len();
    }
    assert_eq!(checked, rows.len(), "a published sector has no template");
}

/// A pure red, green and blue stand 120 degrees apart in HSV: no narrow template holds all three, and
/// half a circle leaves one of them 30 degrees outside (two on its edges would leave 60).
#[test]
fn primaries_are_as_far_from_a_template_as_geometry_says() {
    let hues = [0.0, 120.0, 240.0];
    let points = hues.map(|hue| HuePoint::new(hue, 1.0));
    let half = fit(Template::T, &points).distance;
    assert_near("T", half, (120.0 - 90.0 + 30.0) / 3.0, 1e-9);
    let colours = ["#ff0000", "#00ff00", "#0000ff"].map(|hex| HuePoint::of(Colour::from_hex(hex).unwrap()));
    for (point, hue) in colours.iter().zip(hues) {
        assert_near("HSV hue", (point.hue() + 1.0) % 360.0, hue + 1.0, 1e-3);
    }
}

/// Itten 1961: yellow 9, orange 8, red 6, violet 3, blue 4, green 6, and areas inverse to them.
#[test]
fn light_values_and_balanced_areas() {
    let rows = table("itten_extension.csv");
    let angle = |name: &str| match name {
        "red" => 0.0,
        "orange" => 60.0,
        "yellow" => 120.0,
        "green" => 180.0,
        "blue" => 240.0,
        "violet" => 300.0,
        other => panic!("unknown hue {other}"),
    };
    let colour = |name: &str| Colour::cusp(Wheel::Painter.hue_at(angle(name)));
    let colours: Vec<Colour> = rows.iter().map(|row| colour(row.text("hue"))).collect();
    for ((row, colour), share) in rows.iter().zip(&colours).zip(balanced_shares(&colours)) {
        assert_near(row.text("hue"), light_value(*colour).unwrap(), row.number("light_value"), 1e-6);
        assert_near(row.text("hue"), 36.0 * share.unwrap(), row.number("plain_reciprocal_share_of_36"), 1e-4);
    }
    // Within a complementary pair Itten's own parts and the plain rule are the same.
    let parts =
        |name: &str| rows.iter().find(|row| row.text("hue") == name).unwrap().number("itten_parts_of_36");
    for (a, b) in [("yellow", "violet"), ("orange", "blue"), ("red", "green")] {
        let shares = balanced_shares(&[colour(a), colour(b)]);
        assert_near(a, shares[0].unwrap(), parts(a) / (parts(a) + parts(b)), 1e-6);
    }
}
