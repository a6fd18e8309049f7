//! The table of fibres against published handbook values.

use std::collections::HashMap;

use huegauge::yarn::{Basis, Blend, Fibre, Origin, Property};

use crate::common::{assert_near, table};

/// `7`, `14 absorbing; 16-18 desorbing`, `1.30-1.32`, `17 (25-33 quoted)`: every number in the text.
fn numbers(text: &str) -> Vec<f64> {
    text.split(|c: char| !c.is_ascii_digit() && c != '.').filter_map(|word| word.parse().ok()).collect()
}

/// The table's names for our fibres; several rows may speak of one.
fn fibres(name: &str) -> Vec<Fibre> {
    match name {
        "wool" => vec![Fibre::Wool, Fibre::Merino],
        "wool Botany 64s" | "merino superfine" | "merino fine" | "merino medium" => vec![Fibre::Merino],
        "wool crossbred 56s" | "wool crossbred 36s" | "downs" | "fine crossbred" | "medium crossbred" => {
            vec![Fibre::Wool]
        }
        "alpaca" | "alpaca (less when medullated)" => vec![Fibre::Alpaca],
        "mohair" => vec![Fibre::Mohair],
        "cashmere" => vec![Fibre::Cashmere],
        "yak" | "yak down" => vec![Fibre::Yak],
        "silk" => vec![Fibre::Silk],
        "cotton" | "cotton (lumen filled)" | "cotton Upper" | "cotton St Vincent" | "cotton Bengals" => {
            vec![Fibre::Cotton]
        }
        "flax" | "flax/linen" | "flax ultimate" | "flax line" => vec![Fibre::Linen],
        "viscose"
        | "viscose rayon"
        | "viscose rayon (incl. bamboo viscose)"
        | "viscose filament"
        | "viscose staple"
        | "viscose 1.7 dtex" => vec![Fibre::Viscose],
        "nylon" | "nylon 6" | "nylon 6 / 6.6" | "nylon (1945 filament)" | "nylon 6.6 staple" => {
            vec![Fibre::Nylon]
        }
        "acrylic" | "acrylic staple" => vec![Fibre::Acrylic],
        "angora" | "angora (air cells)" => vec![Fibre::Angora],
        "camel down" => vec![Fibre::Camel],
        "llama" => vec![Fibre::Llama],
        "hemp" => vec![Fibre::Hemp],
        "polyester" | "polyester PET" | "polyester staple" => vec![Fibre::Polyester],
        "acetate" => vec![Fibre::Acetate],
        "acetate/triacetate" => vec![Fibre::Acetate, Fibre::Triacetate],
        _ => vec![],
    }
}

fn property(name: &str) -> Option<Property> {
    Some(match name {
        "density" | "density 65% rh" => Property::Density,
        "tenacity" => Property::Tenacity,
        "breaking extension" => Property::BreakingExtension,
        "work of rupture" => Property::WorkOfRupture,
        "elastic recovery from 2% strain" => Property::Recovery2,
        "elastic recovery from 5% strain" => Property::Recovery5,
        "regain 65% rh 20 C" => Property::MoistureRegain,
        "wet / dry tenacity" => Property::WetStrength,
        "mean diameter" => Property::Diameter,
        _ => return None,
    })
}

/// Every row of `fibre_properties_long.csv` on a fibre and a property we carry (mostly Morton and
/// Hearle, Physical Properties of Textile Fibres, 2008, tables 5.1, 7, 13.1 and 13.2; the basis column
/// says which were read and which are from memory) lies in our range, and our range reaches no
/// further than the rows do.
#[test]
fn every_figure_is_the_published_one() {
    let mut published: HashMap<(Fibre, Property), (f64, f64, bool)> = HashMap::new();
    for row in table("fibre_properties_long.csv") {
        let Some(property) = property(row.text("property")) else { continue };
        // The text of these ranges holds a second, wider or finer range in words.
        let values = match (row.text("fibre"), property) {
            ("alpaca", Property::Diameter) => vec![18.0, 36.0],
            ("mohair", Property::Diameter) => vec![20.0, 44.0],
            _ => numbers(row.text("value")),
        };
        let seen = row.text("basis").starts_with("seen");
        for fibre in fibres(row.text("fibre")) {
            // The table has wool's own rows for merino; crossbred tenacity is wool's, not merino's.
            let entry = published.entry((fibre, property)).or_insert((f64::INFINITY, 0.0, true));
            entry.0 = values.iter().fold(entry.0, |low, v| low.min(*v));
            entry.1 = values.iter().fold(entry.1, |high, v| high.max(*v));
            entry.2 &= seen;
        }
    }
    assert!(published.len() >= 60, "only {} figures compared", published.len());
    for ((fibre, property), (low, high, seen)) in published {
        let place = format!("{} {}", fibre.name(), property.name());
        let Some(figure) = fibre.figure(property) else { panic!("{place}: published but missing here") };
        assert_near(&place, figure.low, low, 1e-9);
        assert_near(&place, figure.high, high, 1e-9);
        assert_eq!(figure.basis == Basis::Seen, seen, "{place}: basis");
    }
}

/// `eu_agreed_allowances.csv`: Regulation (EU) No 1007/2011, annex IX, from memory.
#[test]
fn agreed_allowances_are_those_of_the_regulation() {
    let rows: HashMap<String, f64> = table("eu_agreed_allowances.csv")
        .iter()
        .map(|row| (row.text("fibre").to_owned(), row.number("agreed_allowance_pct_of_dry")))
        .collect();
    let hair = [
        Fibre::Alpaca,
        Fibre::Mohair,
        Fibre::Cashmere,
        Fibre::Yak,
        Fibre::Angora,
        Fibre::Camel,
        Fibre::Llama,
        Fibre::Vicuna,
        Fibre::Guanaco,
        Fibre::Cashgora,
    ];
    let mut checks = vec![
        (Fibre::Wool, "wool carded", "wool combed"),
        (Fibre::Merino, "wool carded", "wool combed"),
        (Fibre::SuperwashWool, "wool carded", "wool combed"),
        (Fibre::Silk, "silk", "silk"),
        (Fibre::Cotton, "cotton normal", "cotton mercerised"),
        (Fibre::Linen, "flax", "flax"),
        (Fibre::Viscose, "viscose", "viscose"),
        (Fibre::Acrylic, "acrylic", "acrylic"),
        (Fibre::Nylon, "nylon filament", "nylon staple"),
        (Fibre::Hemp, "hemp", "hemp"),
        (Fibre::Ramie, "ramie bleached", "ramie bleached"),
        (Fibre::Lyocell, "lyocell", "lyocell"),
        (Fibre::Modal, "modal", "modal"),
        (Fibre::Cupro, "cupro", "cupro"),
        (Fibre::Acetate, "acetate", "acetate"),
        (Fibre::Triacetate, "triacetate", "triacetate"),
        (Fibre::Polyester, "polyester", "polyester"),
        (Fibre::Elastane, "elastane", "elastane"),
        (Fibre::Polypropylene, "polypropylene", "polypropylene"),
        (Fibre::Polylactide, "PLA", "PLA"),
        (Fibre::Modacrylic, "modacrylic", "modacrylic"),
    ];
    let combed = "animal hair combed (alpaca, mohair, cashmere, angora, camel)";
    checks.extend(hair.map(|fibre| (fibre, "animal hair carded", combed)));
    for (fibre, low, high) in checks {
        let figure = fibre.figure(Property::AgreedAllowance).unwrap();
        assert_near(fibre.name(), figure.low, rows[low], 1e-9);
        assert_near(fibre.name(), figure.high, rows[high], 1e-9);
        assert_eq!(figure.basis, Basis::FromMemory);
    }
}

/// Pilling: University of Otago, ISO 12945-2 on one jersey, grade 5 best (read).
#[test]
fn the_measured_pilling_grades() {
    let grade = |fibre: Fibre| fibre.figure(Property::PillingGrade).unwrap().mid();
    // After 2000 rubs: merino "2-3 / 2 / 1-2", cashmere "1-2 / 1 / 1".
    assert_eq!((grade(Fibre::Merino), grade(Fibre::Cashmere)), (2.0, 1.0));
}

/// Textbook order of abrasion: nylon first, viscose last (`fibre_properties_long.csv`, from memory);
/// which fibres felt (spinners' table, read and from memory).
#[test]
fn grades_keep_the_textbook_orders() {
    let grade = |fibre: Fibre, property| fibre.figure(property).unwrap().mid();
    for fibre in [Fibre::Acrylic, Fibre::Wool, Fibre::Cotton, Fibre::Silk] {
        let abrasion = grade(fibre, Property::Abrasion);
        assert!(abrasion < grade(Fibre::Nylon, Property::Abrasion));
        assert!(abrasion > grade(Fibre::Viscose, Property::Abrasion));
    }
    for fibre in [Fibre::Cotton, Fibre::Linen, Fibre::Viscose, Fibre::Acrylic, Fibre::Nylon] {
        assert_eq!(grade(fibre, Property::Felting), 0.0, "{}", fibre.name());
    }
    for fibre in [Fibre::Wool, Fibre::Merino, Fibre::Alpaca, Fibre::Cashmere, Fibre::Yak] {
        assert!(grade(fibre, Property::Felting) > grade(Fibre::Mohair, Property::Felting));
    }
    assert!(grade(Fibre::SuperwashWool, Property::Felting) < 0.2);
    assert!(grade(Fibre::Wool, Property::Abrasion) > grade(Fibre::Merino, Property::Abrasion));
}

/// A worked example of regain: 100 g of dry wool at 13.6 % weigh 113.6 g (ASTM D1909); regain to
/// moisture content, R / (1 + R / 100): cotton 8.5 gives 7.834, wool 16 gives 13.793
/// (`worked_examples.csv` W26). Used here on a blend: masses add, so shares of dry mass do.
#[test]
fn regain_of_a_blend_is_that_of_its_parts_weighed_together() {
    let blend = Blend::parse("60 % cotton, 40 % linen").unwrap();
    let mix = blend.mix(Property::MoistureRegain).unwrap();
    let (cotton, linen) = (7.5, 7.0);
    let wet = 60.0 * (1.0 + cotton / 100.0) + 40.0 * (1.0 + linen / 100.0);
    assert_near("60/40", mix.mid(), wet - 100.0, 1e-9);
}

#[test]
fn origins_are_those_of_the_fibres() {
    for fibre in Fibre::known() {
        let expected = match fibre {
            Fibre::Cotton | Fibre::Linen | Fibre::Hemp | Fibre::Ramie | Fibre::Jute | Fibre::Kapok => {
                Origin::Plant
            }
            Fibre::Viscose
            | Fibre::Lyocell
            | Fibre::Modal
            | Fibre::Cupro
            | Fibre::Acetate
            | Fibre::Triacetate
            | Fibre::Protein => Origin::Regenerated,
            Fibre::Nylon
            | Fibre::Acrylic
            | Fibre::Polyester
            | Fibre::Elastane
            | Fibre::Polypropylene
            | Fibre::Polylactide
            | Fibre::Modacrylic => Origin::Synthetic,
            _ => Origin::Animal,
        };
        assert_eq!(fibre.facts().origin, expected, "{}", fibre.name());
    }
}

/// Every generic name of Regulation (EU) No 1007/2011, annex I (`textile_names_eu_1007_2011.csv`, in the folder of the
/// published values) is understood on a label: with figures, or as a fibre of which nothing is known.
#[test]
fn every_generic_name_is_understood_on_a_label() {
    for row in table("textile_names_eu_1007_2011.csv") {
        let name = row.text("name");
        if row.text("no") == "rule" {
            continue;
        }
        // `true hemp`, `flax (linen in some languages)`, `polyamide or nylon`: each name by itself.
        let plain = name.split('(').next().unwrap().trim();
        for one in plain.split(" or ") {
            let one = if one == "animal" { "animal hair" } else { one };
            let one = if one == "name of the material" { "metal" } else { one };
            assert!(Fibre::from_label(one).is_some(), "{name}: '{one}'");
        }
    }
}
