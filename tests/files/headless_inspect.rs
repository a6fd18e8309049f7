//! What `inspect` tells of material, pieces, sizes, their yarn and the shade cards.

use std::path::Path;
use std::sync::Arc;

use huegauge::colour::Colour;
use huegauge::file;
use huegauge::knit::{Construction, ReadOff, SwatchFabric, SwatchOnScales, SwatchSize};
use huegauge::project::{LoggedSwatch, Material, Project};
use huegauge::units::MetresPer100G;
use huegauge::yarn::{
    Blend, Fibre, Needs, PieceKind, PutUp, Shade, ShadeCard, Spin, SpinSystem, Stock, TwistAmount,
    TwistDirection, WeightClass, Yarn, YarnId,
};
use serde_json::{Value, json};

use crate::common::assert_near;
use crate::headless::{demo, ok, yoke};

fn inspected(path: &str) -> Value {
    serde_json::from_str(&ok(&["inspect", path])).unwrap()
}

fn saved(dir: &Path, project: &Project) -> Value {
    let path = dir.join("project.ron");
    file::save_atomic(&path, project).unwrap();
    inspected(&path.display().to_string())
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("no number '{key}' in {value}"))
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().unwrap_or_else(|| panic!("no list '{key}' in {value}"))
}

/// 28 stitches and 33 rows on 10 cm: every length follows from its count by division.
#[test]
fn sizes_are_their_stitches_and_rows_over_the_gauge() {
    let figures = inspected(&yoke());
    let sizes = list(&figures, "sizes");
    let names: Vec<&Value> = sizes.iter().map(|size| &size["name"]).collect();
    assert_eq!(names, ["S", "M", "L"]);
    assert_eq!(sizes.iter().filter(|size| size["chosen"] == true).count(), 1);
    for size in sizes {
        assert_eq!(size["problem"], Value::Null);
        let mut minutes = 0.0;
        for piece in list(size, "pieces") {
            assert_near(
                "start",
                number(piece, "start_width_cm"),
                number(piece, "start_stitches") / 2.8,
                1e-3,
            );
            assert_near("end", number(piece, "end_width_cm"), number(piece, "end_stitches") / 2.8, 1e-3);
            assert_near("length", number(piece, "length_cm"), number(piece, "rows") / 3.3, 1e-3);
            assert_near("area", number(piece, "area_cm2"), number(piece, "stitches") / (2.8 * 3.3), 1e-3);
            let rows: f64 = list(piece, "bands").iter().map(|band| number(band, "rows")).sum();
            assert_eq!(rows, number(piece, "rows"));
            // 20 plain stitches a minute, stranded ones at 65 % of that pace.
            let (all, stranded) = (number(piece, "stitches"), number(piece, "stranded_stitches"));
            assert!(stranded < all && number(piece, "intarsia_stitches") == 0.0);
            minutes += number(piece, "copies") * (all - stranded + stranded / 0.65) / 20.0;
        }
        assert_near("hours", number(size, "hours"), minutes / 60.0, 1e-2);
    }
    // The yoke's flowers of 24 stitches go round 11, 12 and 13 times, as the printed pattern says.
    let across: Vec<f64> = sizes
        .iter()
        .map(|size| &size["pieces"][2]["bands"][2])
        .map(|band| {
            assert_eq!(band["chart"]["divides"], true);
            assert_eq!(number(&band["chart"], "repeat_stitches"), 24.0);
            assert_eq!(number(&band["start"], "above_stitches"), number(&band["start"], "stitches") + 24.0);
            number(&band["chart"], "repeats_across")
        })
        .collect();
    assert_eq!(across, [11.0, 12.0, 13.0]);
    for size in sizes {
        assert!(number(&size["pieces"][2], "gather_percent") < 12.0);
        let openings = list(size, "openings");
        assert_eq!(openings.len(), 2, "cuff and neck");
        assert!(openings.iter().all(|opening| opening["verdict"] == "passes"), "{openings:?}");
    }
    let pieces: Vec<(&Value, &Value)> =
        list(&figures, "pieces").iter().map(|piece| (&piece["name"], &piece["copies"])).collect();
    assert_eq!(
        pieces,
        [(&json!("Body"), &json!(1)), (&json!("Sleeve"), &json!(2)), (&json!("Yoke"), &json!(1))]
    );
}

/// The likely figures add; of the parts of a range those of one cause add, or even out where they are single;
/// the causes add in quadrature.
fn assert_adds_up<'a>(total: &Value, lines: impl Iterator<Item = &'a Value>) {
    let mut likely = 0.0;
    let mut causes: std::collections::BTreeMap<&str, (f64, f64)> = std::collections::BTreeMap::new();
    for line in lines {
        likely += number(line, "metres_likely");
        assert!(line["basis"].as_str().is_some_and(|basis| !basis.is_empty()), "{line}");
        for part in list(line, "range_parts") {
            let cause = part["cause"].as_str().unwrap();
            let (below, above) = (number(part, "metres_below"), number(part, "metres_above"));
            let sum = causes.entry(cause).or_default();
            if ["ends", "label", "waste"].contains(&cause) {
                *sum = (sum.0.hypot(below), sum.1.hypot(above));
            } else {
                *sum = (sum.0 + below, sum.1 + above);
            }
        }
    }
    let below = causes.values().map(|(below, _)| below * below).sum::<f64>().sqrt();
    let above = causes.values().map(|(_, above)| above * above).sum::<f64>().sqrt();
    assert_near("likely", number(total, "metres_likely"), likely, 0.02);
    assert_near("low", number(total, "metres_low"), likely - below, 0.05);
    assert_near("high", number(total, "metres_high"), likely + above, 0.05);
}

#[test]
fn what_rests_on_a_model_memory_or_judgement_says_so() {
    let figures = inspected(&yoke());
    let basis = list(&figures, "basis");
    let keys: Vec<&str> =
        basis.iter().flat_map(|entry| list(entry, "keys")).map(|key| key.as_str().unwrap()).collect();
    // Every key that is named is there.
    for path in &keys {
        let mut at = vec![&figures];
        for key in path.split('.') {
            at = at
                .into_iter()
                .flat_map(|value| match value {
                    Value::Array(all) => all.iter().filter_map(|each| each.get(key)).collect::<Vec<_>>(),
                    other => other.get(key).into_iter().collect(),
                })
                .collect();
        }
        let optional = path.starts_with("material.");
        assert!(optional || !at.is_empty(), "there is no '{path}'");
    }
    for key in ["yarn", "loop_length_cm", "motif_fit", "findings", "sizes.hours"] {
        assert!(keys.contains(&key), "{key}");
    }
    let known = [
        "published_cited_from_memory",
        "from_memory",
        "common_practice",
        "our_judgement",
        "measured",
        "as_set",
    ];
    assert!(basis.iter().all(|entry| known.contains(&entry["basis"].as_str().unwrap())), "{basis:?}");
    // The yoke is stranded and not weighed: the constants are not those of its fabric.
    assert!(figures["yarn_caveat"].as_str().unwrap().contains("plain knit"));
}

#[test]
fn every_figure_of_yarn_is_the_sum_of_its_lines() {
    let figures = inspected(&yoke());
    let yarn = &figures["pieces_yarn"];
    let chosen = list(&figures, "sizes").iter().find(|size| size["chosen"] == true).unwrap();
    assert_eq!(yarn["size"], chosen["name"]);
    let mut all = Vec::new();
    for piece in list(yarn, "pieces") {
        for colour in list(piece, "colours") {
            assert_adds_up(colour, list(colour, "sum").iter());
        }
    }
    for colour in list(yarn, "colours") {
        let of_pieces = list(yarn, "pieces").iter().flat_map(|piece| list(piece, "colours"));
        let in_pieces = of_pieces.filter(|part| part["colour"] == colour["colour"]);
        let lines: Vec<&Value> =
            in_pieces.flat_map(|part| list(part, "sum")).chain(list(colour, "added")).collect();
        assert_adds_up(colour, lines.iter().copied());
        all.extend(lines);
    }
    assert_adds_up(yarn, all.iter().copied());
    // Design's list has one line of a kind; the same figures.
    for (of_chart, of_pieces) in list(&figures, "yarn").iter().zip(list(yarn, "colours")) {
        for key in ["metres_low", "metres_likely", "metres_high", "stitches", "balls", "cost"] {
            assert_eq!(of_chart[key], of_pieces[key], "{key}");
        }
        assert_adds_up(of_chart, list(of_chart, "sum").iter());
    }
    let cost: f64 = list(yarn, "colours").iter().map(|colour| number(colour, "cost")).sum();
    assert_near("cost", number(yarn, "cost"), cost, 0.01);
    // A stitch and its yarn: count times cm each, over 100, is metres.
    let line = &yarn["pieces"][0]["colours"][0]["sum"][0];
    assert_eq!((&line["what"], &line["of"]), (&json!("stitches"), &json!("stitches")));
    let metres = number(line, "count") * number(line, "each_cm_likely") / 100.0;
    assert_near("metres", metres / number(line, "metres_likely"), 1.0, 1e-3);
    let stitches: f64 = list(yarn, "colours").iter().map(|colour| number(colour, "stitches")).sum();
    assert_eq!(stitches, number(chosen, "stitches"));
}

/// The mittens with needs, a blend, a swatch, a yarn and a shade card of their own.
fn with_material() -> Project {
    let mut project = file::load(&demo("quovvle-mittens.ron")).unwrap();
    project.material.needs = Some(Needs { gift: true, ..Needs::preset(PieceKind::Mittens) });
    project.material.blend = Some(Blend::parse("75 % wool, 25 % nylon").unwrap());
    let how = (SwatchFabric::Stranded, Construction::InTheRound);
    let grist = MetresPer100G::new(400.0).unwrap();
    let mut logged = LoggedSwatch::new("Crooked Ladder fine", grist, 2.75, how, (30, 36)).unwrap();
    logged.swatch.before = SwatchSize::new(10.0, 10.0).ok();
    logged.swatch.after =
        SwatchSize::new(12.0, 9.0).ok().map(|size| size.with_read_off(ReadOff::new(0.01, 0.01).ok()));
    logged.swatch.weighed =
        Some(SwatchOnScales { stitches: 30, rows: 38, grams: Some(6.0), scale_step_g: 0.1, trusted: false });
    project.material.swatches = vec![logged];
    let spin = Spin::new(SpinSystem::Woollen, 2, TwistDirection::S, TwistAmount::Soft).unwrap();
    project.material.yarn = Some(Yarn {
        spin: Some(spin),
        class_on_band: WeightClass::from_number(2),
        ..Yarn::new(
            YarnId(0),
            "Crooked Ladder fine",
            Blend::pure(Fibre::Wool),
            PutUp::new(400.0, 50.0).unwrap(),
        )
    });
    let shade = |name: &str, stock| Shade {
        stock,
        fibre: "wool".to_owned(),
        weight_class: Some(1),
        ..Shade::new(name, Colour::BLACK)
    };
    let shades = vec![
        shade("Dull bucket", Stock::Owned(2)),
        shade("Green gutter", Stock::Out),
        shade("Old boot brush", Stock::InStock),
    ];
    project.shade_cards = vec![Arc::new(ShadeCard::new("Crooked Ladder (invented)", shades).unwrap())];
    project
}

#[test]
fn material_and_shade_cards_are_told() {
    let project = with_material();
    let dir = tempfile::tempdir().unwrap();
    let figures = saved(dir.path(), &project);

    let material = &figures["material"];
    // Grams of a square metre from the loop length that is told, at 400 m in 100 g.
    let fabric = &material["plain_fabric"];
    let gauge = project.plan.gauge;
    let stitch_m = project.loop_basis().length.likely / 100.0;
    let metres = gauge.stitches.get() * gauge.rows.get() * 100.0 * stitch_m;
    assert_near("g/m2", number(fabric, "grams_per_m2"), metres / 4.0, 1e-2);
    // 6 g are 24 m in 30 x 40 stitches, of which the strands behind took a part: it is what the model
    // makes of 25 x 40 stitches to within its errors, so nothing speaks against it.
    let swatch = &material["swatches"][0];
    assert_eq!(
        (&swatch["before_washing"]["off_photograph"], &swatch["after_washing"]["off_photograph"]),
        (&json!(false), &json!(true))
    );
    let on_scales = &material["swatches"][0]["weighed"];
    assert_eq!((&on_scales["doubts"], &on_scales["trusted"]), (&json!([]), &json!(false)));
    assert_eq!(
        (&material["loop_length_from_swatch"], &material["loop_length_doubted_swatches"]),
        (&json!(1), &json!([]))
    );
    assert!(number(on_scales, "error_percent") > 2.0);
    assert_eq!((&material["needs"]["piece"], &material["needs"]["gift"]), (&json!("mittens"), &json!(true)));
    // A gift is planned for the machine.
    assert_eq!(material["needs"]["washing"], "machine");
    let parts = json!([{"fibre": "wool", "percent": 75.0}, {"fibre": "nylon", "percent": 25.0}]);
    assert_eq!(material["blend"]["parts"], parts);
    let swatch = &material["swatches"][0];
    assert_eq!((&swatch["fabric"], &swatch["construction"]), (&json!("stranded"), &json!("in_the_round")));
    assert_eq!(number(&swatch["before_washing"], "stitches_per_10_cm"), 30.0);
    assert_eq!(number(&swatch["after_washing"], "stitches_per_10_cm"), 25.0);
    assert_eq!(number(&swatch["after_washing"], "rows_per_10_cm"), 40.0);
    assert_eq!(number(&swatch["with_swatches_like_it"], "swatches"), 1.0);
    let change = json!({"width_percent": 20.0, "length_percent": -10.0, "area_percent": 8.0});
    assert_eq!(swatch["wash_change"], change);
    // 6 g at 400 m per 100 g are 24 m, over 30 stitches by 38 rows and the two edges.
    assert_near(
        "metres a stitch",
        number(&swatch["weighed"], "metres_per_stitch"),
        24.0 / (30.0 * 40.0),
        1e-5,
    );
    // Less the float behind each stitch: a stitch is 0.4 cm wide, floats are 7.5 % slack.
    let loop_cm = 2.0 - 1.075 * 0.4;
    assert_near("loop", number(&swatch["weighed"]["loop_length_cm"], "likely"), loop_cm, 1e-3);
    assert_eq!(material["loop_length_from_swatch"], 1);
    assert!(material["loop_length_basis"].as_str().unwrap().contains("Crooked Ladder fine"));
    let yarn = &material["yarn"];
    assert_eq!((&yarn["name"], &yarn["weight_class"]), (&json!("Crooked Ladder fine"), &json!(2)));
    assert_eq!(yarn["weight_class_from"], "band");
    // 400 m weigh 100 g, so 1000 m weigh 250.
    assert_eq!(number(yarn, "tex"), 250.0);
    let spin = json!({"system": "woollen", "plies": 2, "twist_direction": "s", "twist": "soft"});
    assert_eq!(yarn["spin"], spin);
    assert_eq!(material["pattern_yarn"], Value::Null);

    let card = json!({
        "name": "Crooked Ladder (invented)", "shades": 3, "owned_shades": 1, "sold_out_shades": 1,
        "fibres": ["wool"], "weight_classes": [1],
    });
    assert_eq!(figures["shade_cards"], json!([card]));
}

#[test]
fn what_is_not_chosen_is_absent_and_what_cannot_be_worked_says_why() {
    let mut project = file::load(&demo("quovvle-yoke.ron")).unwrap();
    (project.material, project.shade_cards) = (Material::default(), Vec::new());
    project.pieces.sizes[1].body = huegauge::knit::pieces::Body::default();
    project.pieces.chosen = 1;
    let dir = tempfile::tempdir().unwrap();
    let figures = saved(dir.path(), &project);
    for absent in ["needs", "blend", "yarn", "pattern_yarn", "loop_length_from_swatch"] {
        assert_eq!(figures["material"][absent], Value::Null, "{absent}");
    }
    assert_eq!(figures["material"]["swatches"], json!([]));
    assert_eq!(figures["shade_cards"], json!([]));
    let problem = figures["sizes"][1]["problem"].as_str().unwrap();
    assert!(problem.contains("Body") && problem.contains('M'), "{problem}");
    assert_eq!(list(&figures["sizes"][1], "pieces").len(), 0);
    assert_eq!(figures["sizes"][0]["problem"], Value::Null);
    assert_eq!(figures["pieces_yarn"], Value::Null);
}
