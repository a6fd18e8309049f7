//! Matching and sets from the command line, against the library and against trying everything.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use huegauge::file;
use huegauge::yarn::{Stock, best_sets};
use palette::color_difference::Ciede2000;
use palette::white_point::D65;
use palette::{IntoColor, Srgb};
use serde_json::Value;

use crate::common::assert_near;
use crate::headless::{demo, ok, refused, yoke};

pub type Lab = palette::Lab<D65, f64>;

/// What a command prints, as JSON.
pub fn parsed(args: &[&str]) -> Value {
    serde_json::from_str(&ok(args)).unwrap()
}

/// Numbers of an object by their keys.
pub fn numbers<const N: usize>(value: &Value, keys: [&str; N]) -> [f64; N] {
    keys.map(|key| value[key].as_f64().unwrap_or_else(|| panic!("no number '{key}' in {value}")))
}

/// A table of shades: name, code, hex, and what else there is.
const SHADES: &str = "name,code,hex,fibre,weight_class,m_per_100g,ball_g,ball_price,owned_balls,in_stock\n\
    Dull bucket,101,#d8cbb2,wool,4,200,50,6.5,,yes\n\
    Green gutter,102,#4d6b2a,wool,4,200,50,6.5,2,yes\n\
    Red kettle lid,103,#a3421f,wool,4,200,50,,,yes\n\
    Blue oil drum,104,#1f2a4d,wool,4,200,50,7,,yes\n\
    Pink blotter,105,#c2708f,silk,1,400,50,12,,yes\n\
    Yellow ruler,106,#d9a92b,silk,1,400,50,12,,yes\n\
    Old boot brush,107,#3a2d25,wool,4,200,50,6.5,,no\n\
    Dull brass tap,108,#b7b86a,wool,4,200,50,6.5,,yes\n\
    Orange cone,109,#8f3a2a,wool,4,200,50,6.5,,yes\n";

/// The table as a file of its own, kept as long as the folder.
fn shades() -> (tempfile::TempDir, String) {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("Crooked Ladder invented.csv");
    fs::write(&path, SHADES).unwrap();
    (dir, path.display().to_string())
}

fn hexes() -> Vec<(&'static str, &'static str)> {
    SHADES.lines().skip(1).map(|line| line.split(',').collect::<Vec<_>>()).map(|f| (f[0], f[2])).collect()
}

fn lab_of_hex(hex: &str) -> Lab {
    hex.parse::<Srgb<u8>>().unwrap().into_format::<f64>().into_color()
}

/// All ways to choose `size` of `0..count`, in rising order.
fn choices(count: usize, size: usize) -> Vec<Vec<usize>> {
    if size == 0 {
        return vec![Vec::new()];
    }
    let smaller = choices(count, size - 1).into_iter();
    smaller
        .flat_map(|set| {
            let next = set.last().map_or(0, |last| last + 1);
            (next..count).map(move |place| [&set[..], &[place]].concat())
        })
        .collect()
}

/// CIEDE2000 of one pair by way of Oklch and without: the matrices of the two ways differ in the fifth place.
const NEAR: f64 = 0.01;

#[test]
fn a_wish_gets_the_distinct_shades_of_the_least_sum() {
    let (_dir, path) = shades();
    // Two reds that are nearest to the same shade, a blue and a cream.
    let wish = ["#9a3c22", "#96382a", "#203060", "#e0d0b0"];
    let found = parsed(&["match", &path, "--wish", &wish.join(","), "--alternatives", "2"]);

    let to_be_had: Vec<(&str, &str)> =
        hexes().into_iter().filter(|(name, _)| *name != "Old boot brush").collect();
    let difference = |wish: &str, hex: &str| lab_of_hex(wish).difference(lab_of_hex(hex));
    let mut least = (f64::MAX, Vec::new());
    for set in choices(to_be_had.len(), wish.len()) {
        for order in permutations(&set) {
            let sum: f64 = wish.iter().zip(&order).map(|(wish, i)| difference(wish, to_be_had[*i].1)).sum();
            if sum < least.0 {
                least = (sum, order);
            }
        }
    }
    assert_near("sum", found["total_difference_ciede2000"].as_f64().unwrap(), least.0, 4.0 * NEAR);
    for ((colour, place), wish) in found["colours"].as_array().unwrap().iter().zip(&least.1).zip(wish) {
        let (name, hex) = to_be_had[*place];
        assert_eq!(
            (&colour["shade"]["name"], &colour["shade"]["colour"]["hex"]),
            (&name.into(), &hex.into())
        );
        assert_eq!(colour["wish"]["hex"], wish);
        let apart = difference(wish, hex);
        assert_near(name, colour["difference_ciede2000"].as_f64().unwrap(), apart, NEAR);
        let word = match apart {
            d if d <= 1.0 => "same",
            d if d <= 2.0 => "close",
            d if d <= 5.0 => "similar",
            _ => "different",
        };
        assert_eq!(colour["likeness"], word);
        let others = colour["alternatives"].as_array().unwrap();
        assert_eq!(others.len(), 2);
        let mut apart: Vec<f64> = to_be_had
            .iter()
            .filter(|(other, _)| *other != name)
            .map(|(_, hex)| difference(wish, hex))
            .collect();
        apart.sort_by(f64::total_cmp);
        for (other, apart) in others.iter().zip(apart) {
            assert_near("alternative", other["difference_ciede2000"].as_f64().unwrap(), apart, NEAR);
        }
    }
    assert_eq!(found["source"]["shades_considered"], 8);
    assert_eq!(found["source"]["cards"][0]["name"], "Crooked Ladder invented");
    // The red kettle lid has no price; one ball each of Orange cone at 6.5, Blue oil drum at 7 and Dull bucket at 6.5.
    assert_eq!(
        found["cost"],
        serde_json::json!({"known": 20.0, "balls_needed": 4, "balls": 4, "unpriced": ["Red kettle lid"]})
    );
}

fn permutations(set: &[usize]) -> Vec<Vec<usize>> {
    if set.is_empty() {
        return vec![Vec::new()];
    }
    let first = |i: usize| {
        let rest = [&set[..i], &set[i + 1..]].concat();
        permutations(&rest).into_iter().map(move |tail| [&[set[i]], &tail[..]].concat())
    };
    (0..set.len()).flat_map(first).collect()
}

#[test]
fn shades_are_narrowed_down_by_fibre_weight_and_stock() {
    let (_dir, path) = shades();
    let nearest = |wish: &str, options: &[&str]| {
        let found = parsed(&[&["match", path.as_str(), "--wish", wish], options].concat());
        let name = found["colours"][0]["shade"]["name"].as_str().unwrap().to_owned();
        (name, found["source"]["shades_considered"].as_u64().unwrap())
    };
    assert_eq!(nearest("#3a2d25", &["--sold-out"]), ("Old boot brush".to_owned(), 9));
    assert_ne!(nearest("#3a2d25", &[]).0, "Old boot brush");
    assert_eq!(nearest("#d9a92b", &["--fibre", "Silk"]), ("Yellow ruler".to_owned(), 2));
    assert_eq!(nearest("#d9a92b", &["--fibre", "wool"]).1, 6);
    assert_eq!(nearest("#ffffff", &["--weight-class", "1"]).1, 2);
}

/// A project with this card saved beside it.
fn project_with_cards(dir: &Path) -> PathBuf {
    let mut project = file::load(&demo("quovvle-yoke.ron")).unwrap();
    let shades = file::shades_from_csv(SHADES.as_bytes(), "shades").unwrap().shades;
    let card = |name: &str, places: std::ops::Range<usize>| {
        Arc::new(huegauge::yarn::ShadeCard::new(name, shades[places].to_vec()).unwrap())
    };
    project.shade_cards = vec![card("Front shelf", 0..4), card("Back shelf", 4..9)];
    // No fibre is chosen, so none is kept to.
    project.material = huegauge::project::Material::default();
    project.palette.slots_mut().iter_mut().for_each(|slot| slot.chosen_shade = None);
    let path = dir.join("with cards.ron");
    file::save_atomic(&path, &project).unwrap();
    path
}

#[test]
fn a_project_s_palette_is_matched_with_the_yarn_it_takes() {
    let dir = tempfile::tempdir().unwrap();
    let path = project_with_cards(dir.path());
    let name = path.display().to_string();
    let found = parsed(&["match", &name]);
    let project = file::load(&path).unwrap();
    let yarn = project.pieces_yarn(&project.work_pieces(&project.pieces.size()).unwrap(), None);
    let colours = found["colours"].as_array().unwrap();
    assert_eq!(colours.len(), project.palette.slots().len());
    for ((colour, slot), used) in colours.iter().zip(project.palette.slots()).zip(&yarn.colours) {
        assert_eq!(colour["name"], slot.name);
        assert_eq!(colour["role"], slot.role.name().to_lowercase());
        assert_near("metres", colour["metres_high"].as_f64().unwrap(), used.metres().high, 1e-3);
        // Balls of 100 m, or of 200 m in silk, less the two of Green gutter at home.
        let shade = &colour["shade"];
        let ball_m = if shade["fibre"] == "silk" { 200.0 } else { 100.0 };
        let owned = if shade["name"] == "Green gutter" { 2.0 } else { 0.0 };
        let balls = ((used.metres().high / ball_m).ceil() - owned).max(0.0);
        assert_eq!(colour["balls"].as_f64(), Some(balls), "{colour}");
        assert_eq!(colour["balls_needed"].as_f64(), Some((used.metres().high / ball_m).ceil()));
    }
    // The fibre chosen in the project is kept to unless another is asked for.
    let mut of_silk = project;
    of_silk.material.blend = Some(huegauge::yarn::Blend::parse("silk").unwrap());
    let silk = dir.path().join("silk.ron");
    file::save_atomic(&silk, &of_silk).unwrap();
    let silk = silk.display().to_string();
    let source = |options: &[&str]| {
        let source = &parsed(&[&["match", silk.as_str(), "--wish", "#fff"], options].concat())["source"];
        (source["fibre"].clone(), source["shades_considered"].clone())
    };
    assert_eq!(source(&[]), ("Silk".into(), 2.into()));
    assert_eq!(source(&["--fibre", "Wool"]), ("wool".into(), 6.into()));
    assert_eq!(source(&["--any-fibre"]), (Value::Null, 8.into()));

    let one_card = parsed(&["match", &name, "--card", "back shelf"]);
    let cards: Vec<&Value> =
        one_card["colours"].as_array().unwrap().iter().map(|c| &c["shade"]["card"]).collect();
    assert_eq!(cards, ["Back shelf"; 4]);
    assert_eq!(found["source"]["cards"][1], serde_json::json!({"name": "Back shelf", "shades": 5}));
    refused(&["match", &name, "--card", "cellar"], &["no card 'cellar'", "Front shelf, Back shelf"]);
}

/// The yoke is knitted in a class 1 yarn of wool: of its card, which also has sock yarn with nylon and a
/// class 4 yarn, only what can be knitted beside it is offered.
#[test]
fn a_project_is_offered_its_own_fibre_and_weight_unless_told_otherwise() {
    let yoke = yoke();
    let classes = |list: &[Value]| -> Vec<u64> {
        let mut found: Vec<u64> = list.iter().map(|s| s["weight_class"].as_u64().unwrap()).collect();
        found.sort_unstable();
        found.dedup();
        found
    };
    let matched = |options: &[&str]| {
        // The colour of a class 4 shade on the card.
        let found = parsed(&[&["match", yoke.as_str(), "--wish", "#b49a8c"], options].concat());
        let colour = &found["colours"][0];
        let mut shades = vec![colour["shade"].clone()];
        shades.extend(colour["alternatives"].as_array().unwrap().iter().map(|other| other["shade"].clone()));
        (found["source"].clone(), shades)
    };
    let (source, shades) = matched(&["--alternatives", "60"]);
    assert_eq!((&source["fibre"], &source["weight_classes"]), (&"Wool".into(), &serde_json::json!([1])));
    assert_eq!(classes(&shades), [1]);
    assert!(shades.iter().all(|shade| shade["fibre"] == "Wool"));
    let (source, all) = matched(&["--alternatives", "60", "--any-weight", "--any-fibre"]);
    assert_eq!((&source["fibre"], &source["weight_classes"]), (&Value::Null, &serde_json::json!([])));
    assert_eq!(classes(&all), [1, 4]);
    assert!(all.len() > shades.len());

    let sets = |options: &[&str]| {
        let found = parsed(&[&["sets", yoke.as_str(), "--count", "2", "--best", "100"], options].concat());
        let sets = found["sets"].as_array().unwrap().iter();
        classes(&sets.flat_map(|set| set["shades"].as_array().unwrap()).cloned().collect::<Vec<_>>())
    };
    assert_eq!(sets(&[]), [1]);
    assert_eq!(sets(&["--weight-class", "4"]), [4]);
    assert!(sets(&["--any-weight"]).contains(&4));
}

/// With value alone weighed the score is 1 - exp(-d / 15), d the least difference of L*: every set is
/// tried, with L* by the palette library.
#[test]
fn the_best_set_by_value_is_the_one_that_trying_every_set_finds() {
    let (_dir, path) = shades();
    let by_value = ["--weigh", "template=0", "--weigh", "vision=0", "--weigh", "value=1", "--sold-out"];
    let all = hexes();
    let score = |set: &[usize]| {
        let lstar = |place: &usize| lab_of_hex(all[*place].1).l;
        let least = choices(set.len(), 2)
            .iter()
            .map(|pair| (lstar(&set[pair[0]]) - lstar(&set[pair[1]])).abs())
            .fold(f64::MAX, f64::min);
        1.0 - (-least / 15.0).exp()
    };
    for (size, pin, forbid) in [
        (2, "", ""),
        (3, "Red kettle lid", ""),
        (3, "106", "Dull bucket"),
        (4, "", "green gutter"),
        (5, "", ""),
    ] {
        let count = size.to_string();
        let mut args = vec!["sets", path.as_str(), "--count", &count, "--best", "1"];
        args.extend(by_value);
        if !pin.is_empty() {
            args.extend(["--pin", pin]);
        }
        if !forbid.is_empty() {
            args.extend(["--forbid", forbid]);
        }
        let found = parsed(&args);
        let place = |name: &str| {
            let is = |(other, _): &(&str, &str)| other.eq_ignore_ascii_case(name);
            // Yellow ruler has code 106.
            all.iter().position(|shade| is(shade) || (name == "106" && shade.0 == "Yellow ruler"))
        };
        let mut allowed = choices(all.len(), size);
        allowed.retain(|set| place(pin).is_none_or(|pin| set.contains(&pin)));
        allowed.retain(|set| place(forbid).is_none_or(|forbid| !set.contains(&forbid)));
        let best = allowed.iter().map(|set| score(set)).fold(0.0, f64::max);
        let set = &found["sets"][0];
        let places = set["shades"].as_array().unwrap().iter().map(|shade| {
            let name = shade["name"].as_str().unwrap();
            all.iter().position(|(other, _)| *other == name).unwrap()
        });
        let places: Vec<usize> = places.collect();
        // Several sets may share the least difference, so the set is judged by its score.
        assert!(allowed.contains(&places), "{size} with '{pin}' without '{forbid}': {set}");
        assert_near("the set by hand", score(&places), best, 2e-5);
        assert_near("score", set["score"].as_f64().unwrap(), best, 1e-4);
        assert_near("part", set["parts"]["value"].as_f64().unwrap(), best, 1e-4);
    }
}

#[test]
fn the_printed_sets_are_the_library_s_and_the_score_is_the_mean_of_its_parts() {
    let (_dir, path) = shades();
    let found =
        parsed(&["sets", &path, "--count", "3", "--best", "4", "--wish", "#a3421f", "--weigh", "price=0.5"]);
    let card = file::shades_from_csv(SHADES.as_bytes(), "shades").unwrap().shades;
    let card = huegauge::yarn::ShadeCard::new("", card).unwrap();
    let to_be_had = (0..9).filter(|i| card.shades()[*i].stock != Stock::Out).collect();
    let mut request = best_sets::SetRequest::new(3, 4, to_be_had);
    request.wish = vec![huegauge::colour::Colour::from_hex("#a3421f").unwrap()];
    (request.weights.wish, request.weights.price) = (1.0, 0.5);
    let never = std::sync::atomic::AtomicBool::new(false);
    let expected = best_sets::best_sets(&card, &request, &never, &|_| {}).unwrap().sets;
    let sets = found["sets"].as_array().unwrap();
    assert_eq!(sets.len(), expected.len());
    assert!(!sets.is_empty());
    let keys = ["template", "value", "vision", "wish", "price", "owned"];
    let weights = numbers(&found["weights"], keys);
    assert_eq!(weights, [1.0, 1.0, 0.5, 1.0, 0.5, 0.0]);
    for (rank, (set, expected)) in sets.iter().zip(&expected).enumerate() {
        assert_eq!(set["rank"], rank + 1);
        let shades: Vec<&str> = expected.shades.iter().map(|i| card.shades()[*i].name.as_str()).collect();
        let names: Vec<&Value> =
            set["shades"].as_array().unwrap().iter().map(|shade| &shade["name"]).collect();
        assert_eq!(names, shades);
        let parts = numbers(&set["parts"], keys);
        let mean = parts.iter().zip(weights).map(|(part, weight)| part * weight).sum::<f64>()
            / weights.iter().sum::<f64>();
        assert_near("score", set["score"].as_f64().unwrap(), mean, 5e-5);
        let quality = &set["quality"];
        assert_near("range", quality["lstar_range"].as_f64().unwrap(), expected.quality.lstar_range, 1e-3);
        let seen = numbers(&quality["seen_difference_min_ciede2000"], ["protan", "deutan", "tritan"]);
        for (printed, exact) in seen.into_iter().zip(expected.quality.seen_min) {
            assert_near("seen", printed, exact, 1e-3);
        }
        assert!(quality["hue_template"]["name"].is_string());
    }
}

#[test]
fn shades_that_cannot_be_chosen_from_say_why() {
    let (dir, path) = shades();
    let at = |name: &str, text: &str| {
        let path = dir.path().join(name);
        fs::write(&path, text).unwrap();
        path.display().to_string()
    };
    refused(&["match"], &["match needs shades"]);
    refused(&["match", &path], &["match needs colours", "--wish"]);
    refused(&["match", &path, "--wish", "#12345g"], &["--wish", "'#12345g' is not a colour"]);
    refused(&["match", &path, "--wish", "#fff,,#000"], &["is not a colour"]);
    refused(&["match", &path, "--wish", "#fff", "--alternatives", "101"], &["0 to 100, not 101"]);
    refused(&["match", &path, "--wish", "#fff", "--wsih", "1"], &["did you mean --wish?"]);
    refused(&["match", &path, "--wish", "#fff", "--weight-class", "8"], &["0 to 7", "'8'"]);
    refused(&["match", &path, "--wish", "#fff", "--fibre", "qiviut"], &["only 0 shades"]);
    refused(&["match", &yoke(), "--card", "any"], &["quovvle-yoke.ron"]);
    let cards = project_with_cards(dir.path()).display().to_string();
    refused(
        &["sets", &cards, "--card", "Front shelf", "--pin", "Yellow ruler"],
        &["--pin: there is no shade 'Yellow ruler'"],
    );
    let plain = at("plain.ron", "name,hex\nDull bucket,#fff\n");
    refused(
        &["match", &plain, "--wish", "#fff"],
        &["plain.ron", "neither a shade card, a project nor a table"],
    );
    refused(
        &["match", &at("bad.csv", "name,hex\nDull bucket,green\n"), "--wish", "#fff"],
        &["bad.csv, line 2, column hex"],
    );
    refused(
        &["match", &at("none.csv", "name,hex\n"), "--wish", "#fff"],
        &["none.csv, line 1", "no shades under the header"],
    );
    refused(&["match", &at("empty.ron", ""), "--wish", "#fff"], &["empty.ron", "empty"]);
    refused(&["match", &dir.path().display().to_string(), "--wish", "#fff"], &["a folder, not a file"]);

    let sets = |args: &[&str], parts: &[&str]| refused(&[&["sets", path.as_str()], args].concat(), parts);
    sets(&["--count", "6"], &["a set has 2 to 5 shades, not 6"]);
    sets(&["--best", "0"], &["ask for 1 to 100 sets, not 0"]);
    sets(&["--count", "many"], &["--count needs a whole number", "'many'"]);
    sets(
        &["--pin", "Green guttter"],
        &["--pin: there is no shade 'Green guttter': did you mean Green gutter?"],
    );
    sets(&["--pin", "Green gutter", "--forbid", "102"], &["'Green gutter' is both pinned and forbidden"]);
    sets(&["--weigh", "taste=1"], &["--weigh needs PART=WEIGHT", "template, value", "'taste=1'"]);
    sets(&["--weigh", "value=-1"], &["a weight must be 0 or more"]);
    sets(&["--weigh", "value=NaN"], &["a weight must be 0 or more"]);
    sets(&["--weigh", "value=0", "--weigh", "template=0", "--weigh", "vision=0"], &["nothing is weighed"]);
    let twice =
        at("twice.csv", "name,code,hex\nDull bucket,1,#fff\nDull bucket,2,#eee\nGreen gutter,3,#343\n");
    refused(&["sets", &twice, "--pin", "dull bucket"], &["2 shades are called 'dull bucket'", "code"]);
    ok(&["sets", &twice, "--pin", "2"]);
}

#[test]
fn a_shade_card_file_is_a_source_of_shades_too() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("card.ron");
    let shades = file::shades_from_csv(SHADES.as_bytes(), "shades").unwrap().shades;
    file::save_card(&path, &huegauge::yarn::ShadeCard::new("Crooked Ladder (invented)", shades).unwrap())
        .unwrap();
    let found = parsed(&["sets", &path.display().to_string(), "--count", "2"]);
    assert_eq!(found["source"]["cards"][0]["name"], "Crooked Ladder (invented)");
    assert_eq!(found["sets"][0]["shades"].as_array().unwrap().len(), 2);
}
