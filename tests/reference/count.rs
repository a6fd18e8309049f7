//! Yarn counts and diameters against published conversions and worked examples.

use huegauge::units::MetresPer100G;
use huegauge::yarn::{
    Blend, CountSystem, Fibre, PACKING_WOOLLEN, PACKING_WORSTED, Strand, Tex, WeightClass, diameter_mm,
};

use crate::common::{assert_near, table};

/// `yarn_count_conversions.csv`: definitions of ISO 1144 and ISO 2947; the tex column was computed
/// by an independent units program.
#[test]
fn counts_convert_as_the_standards_define() {
    for row in table("yarn_count_conversions.csv") {
        let system = match row.text("system") {
            "Nm" => CountSystem::Nm,
            "Ne" => CountSystem::Ne,
            "worsted" => CountSystem::Worsted,
            "linen_lea" => CountSystem::LinenLea,
            "denier" => CountSystem::Denier,
            "m_per_100g" => CountSystem::MetresPer100G,
            "m_per_50g" => CountSystem::MetresPer50G,
            "yd_per_100g" => CountSystem::YardsPer100G,
            "yd_per_lb" => CountSystem::YardsPerPound,
            "tex" => CountSystem::Tex,
            other => panic!("{}: unknown system {other}", row.place()),
        };
        let tex = Tex::new(system, row.number("value")).unwrap();
        // Nine and more digits are published.
        assert_near(row.place(), tex.get(), row.number("tex_by_GNU_units_2.22"), 1e-6 * tex.get());
        for (system, column) in [
            (CountSystem::Ne, "Ne"),
            (CountSystem::Nm, "Nm"),
            (CountSystem::Denier, "denier"),
            (CountSystem::MetresPer100G, "m_per_100g"),
            (CountSystem::YardsPer100G, "yd_per_100g"),
        ] {
            let published = row.number(column);
            assert_near(row.place(), tex.in_system(system), published, 5e-7 + 1e-6 * published);
        }
    }
}

/// `yarn_diameter.csv` Y1, Y1b: the textbook's 4.44e-3 sqrt(tex / density) cm (examination papers of
/// 2008, read on a teaching page); packing about 0.65. The published Y1b is an arithmetic slip of
/// its source (0.01394 for 0.01386), so 1 % is allowed.
#[test]
fn the_textbook_diameter_is_the_geometry_at_its_packing() {
    let packing = 4.0 / (std::f64::consts::PI * 1e5 * 4.44e-3_f64.powi(2));
    assert_near("packing about 0.65", packing, 0.65, 0.005);
    for (tex, published_cm, tolerance) in [(30.0, 0.01958, 2e-5), (15.0, 0.01394, 1.4e-4)] {
        let tex = Tex::new(CountSystem::Tex, tex).unwrap();
        assert_near("Y1", diameter_mm(tex, 1.54, packing) / 10.0, published_cm, tolerance);
    }
}

/// Y2: Peirce's cotton strand, 1 / (28 sqrt(Ne)) in, specific volume 1.1 (examination paper of 2007):
/// Ne 36 is 1/168 in or 0.015 cm.
#[test]
fn peirces_cotton_strand_agrees() {
    let ne36 = Tex::new(CountSystem::Ne, 36.0).unwrap();
    let cm = diameter_mm(ne36, 1.52, 1.0 / (1.1 * 1.52)) / 10.0;
    assert_near("Y2", cm, 0.015_119, 1.5e-4);
}

/// Y3: Ashenhurst's diameters per inch, 0.9 sqrt(yd/lb) worsted and 0.84 woollen (teaching page):
/// 3360 yd/lb worsted is 52 (52.169).
#[test]
fn ashenhursts_diameters_per_inch_agree_with_the_packings() {
    let tex = Tex::new(CountSystem::YardsPerPound, 3360.0).unwrap();
    let per_inch = |packing| 25.4 / diameter_mm(tex, 1.31, packing);
    assert_near("Y3 worsted", per_inch(PACKING_WORSTED), 52.169, 0.05);
    assert_near("Y3 woollen", per_inch(PACKING_WOOLLEN), 0.84 * 3360.0_f64.sqrt(), 0.05);
}

/// Y4: 500 tex of wool at packing 0.5 is 0.98587 mm (our algebra, checked against the table).
#[test]
fn the_geometry_of_a_round_strand() {
    let row = table("yarn_diameter.csv").into_iter().find(|row| row.text("id") == "Y4").unwrap();
    let tex = Tex::new(CountSystem::Tex, 500.0).unwrap();
    assert_near(row.place(), diameter_mm(tex, 1.31, 0.5), row.number("exact"), 1e-5);
}

/// The published wraps per inch of each class against those expected from its traded grist: the
/// bands must meet. (The published bands overlap each other and are rough.)
#[test]
fn expected_wraps_meet_the_published_bands() {
    for class in &WeightClass::ALL[1..=5] {
        let facts = class.facts();
        let (from, to) = (facts.metres_per_100_g.from.unwrap(), facts.metres_per_100_g.to.unwrap());
        let grist = MetresPer100G::new(f64::midpoint(from, to)).unwrap();
        let [low, likely, high] = Strand::new(grist, &Blend::pure(Fibre::Wool), None).wraps_per_inch();
        let band = facts.wraps_per_inch;
        assert!(low <= band.to.unwrap() && high >= band.from.unwrap(), "{}: {low} to {high}", class.name());
        assert!(likely > 0.75 * band.from.unwrap() && likely < 1.25 * band.to.unwrap(), "{}", class.name());
    }
}
