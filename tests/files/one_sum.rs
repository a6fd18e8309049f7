//! One sum a demo: every page, table and command shows the same metres, balls, codes and size.
//!
//! `cargo test --test files one_sum -- --nocapture` prints the tables.

use std::fmt::Write;
use std::fs;

use huegauge::export::chart_picture::{self, PictureOptions};
use huegauge::export::drawing::{Drawing, Item};
use huegauge::export::sheet::SheetOptions;
use huegauge::export::{card, sheet, yardage};
use huegauge::file;
use huegauge::project::figures::Figures;
use huegauge::project::shopping::Shopping;
use huegauge::project::{Project, code_and_role, colour_code, key_entry};
use serde_json::Value;

use crate::headless::{demo, ok};

const DEMOS: [&str; 3] = ["quovvle-yoke.ron", "quovvle-mittens.ron", "quovvle-cowl.ron"];

/// What one place says of one colour; what it does not say is absent.
#[derive(Default)]
struct Told {
    place: &'static str,
    metres_high: Option<f64>,
    /// What the place rounds metres to.
    step: f64,
    balls: Option<u64>,
    code: Option<String>,
}

fn texts(drawings: &[Drawing]) -> Vec<String> {
    let items = drawings.iter().flat_map(|drawing| &drawing.layers).flat_map(|layer| &layer.items);
    items
        .filter_map(|item| if let Item::Text(text) = item { Some(text.text.clone()) } else { None })
        .collect()
}

/// The demo; one without shade cards is given the mill's, so that shades can be asked for.
fn shaded(name: &str) -> (Project, tempfile::TempDir, String) {
    let mut project = file::load(&demo(name)).unwrap();
    if project.shade_cards.is_empty() {
        project.shade_cards = vec![file::load_card(&demo("crooked-ladder-mill.ron")).unwrap().into()];
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(name);
    file::save_atomic(&path, &project).unwrap();
    let path = path.display().to_string();
    (project, folder, path)
}

fn json(args: &[&str]) -> Value {
    serde_json::from_str(&ok(args)).unwrap()
}

/// The table of a demo: what every place says of the colour in `slot`.
struct Places {
    project: Project,
    figures: Figures,
    shopping: Shopping,
    inspect: Value,
    matched: Value,
    sets: Value,
    csv: Vec<csv::StringRecord>,
    sheet: Vec<String>,
    card: Vec<String>,
    text: String,
    legend: Vec<String>,
}

impl Places {
    fn of(name: &str) -> Self {
        let (project, folder, path) = shaded(name);
        let table = folder.path().join("yarn.csv").display().to_string();
        ok(&["export", &path, "--yardage", &table]);
        let table = fs::read(table).unwrap();
        let any = ["--any-fibre", "--any-weight"];
        let count = project.palette.slots().len().min(5).to_string();
        let sets = [&["sets", &path, "--count", &count, "--best", "1", "--seconds", "5"][..], &any].concat();
        let shopping = Shopping::of(&project, None, None).unwrap();
        Self {
            figures: Figures::of(&project),
            inspect: json(&["inspect", &path]),
            matched: json(&[&["match", &path][..], &any].concat()),
            sets: json(&sets),
            csv: csv::Reader::from_reader(table.as_slice()).records().map(Result::unwrap).collect(),
            sheet: texts(&sheet::pages(&project, &SheetOptions::default()).unwrap()),
            card: texts(&[card::draw(&project, &shopping)]),
            text: yardage::text(&project, &shopping),
            legend: texts(&[chart_picture::draw(&project, &PictureOptions::default()).unwrap()]),
            shopping,
            project,
        }
    }

    fn told(&self, slot: usize) -> Vec<Told> {
        let column = |name: &str| {
            let at = yardage::COLUMNS.iter().position(|column| *column == name).unwrap();
            self.csv[slot][at].to_owned()
        };
        let of_design = &self.figures.knitted.yarn.colours[slot];
        let of_shopping = &self.shopping.yarn.colours[slot];
        let of_inspect = &self.inspect["yarn"][slot];
        let of_match = &self.matched["colours"][slot];
        vec![
            Told {
                place: "Design",
                metres_high: Some(of_design.metres().high),
                step: 1e-9,
                balls: Some(of_design.balls.into()),
                code: Some(colour_code(slot)),
            },
            Told {
                place: "Shopping",
                metres_high: Some(of_shopping.metres().high),
                step: 1e-9,
                balls: Some(of_shopping.balls.into()),
                ..Told::default()
            },
            Told { place: "sets", metres_high: self.of_sets(slot), step: 1e-2, ..Told::default() },
            Told {
                place: "match",
                metres_high: of_match["metres_high"].as_f64(),
                step: 1e-2,
                ..Told::default()
            },
            Told {
                place: "inspect",
                metres_high: of_inspect["metres_high"].as_f64(),
                step: 1e-2,
                balls: of_inspect["balls"].as_u64(),
                code: of_inspect["code"].as_str().map(str::to_owned),
            },
            Told {
                place: "CSV",
                metres_high: column("metres_high").parse().ok(),
                step: 0.1,
                balls: column("balls").parse().ok(),
                code: Some(column("code")),
            },
            self.of_sheet(slot),
            self.of_card(slot),
            Told { place: "text", code: self.code_in(&self.text, slot), ..Told::default() },
            Told {
                place: "chart legend",
                code: self.code_in(&self.legend.join("\n"), slot),
                ..Told::default()
            },
        ]
    }

    /// The sets command gives shades to colours by area; the colour's share is the one that is as long.
    fn of_sets(&self, slot: usize) -> Option<f64> {
        let own = self.shopping.yarn.colours[slot].metres().high;
        let metres = self.sets["sets"][0]["metres_high"].as_array()?.iter().filter_map(Value::as_f64);
        metres.min_by(|a, b| (a - own).abs().total_cmp(&(b - own).abs()))
    }

    /// The colour's code where it stands with its role.
    fn code_in(&self, text: &str, slot: usize) -> Option<String> {
        let entry = code_and_role(slot, self.project.palette.slots()[slot].role);
        text.contains(&entry).then(|| colour_code(slot))
    }

    /// The sheet: balls of this size in its table of yarn, the highest length in the sum of its appendix.
    fn of_sheet(&self, slot: usize) -> Told {
        let entry = key_entry(slot, &self.project.palette.slots()[slot]);
        let after = |head: &str| self.sheet.iter().position(|text| text.starts_with(head)).unwrap();
        let table = &self.sheet[after("Yarn for each size")..after("Measures")];
        let Some(row) = table.iter().position(|text| *text == entry) else {
            return Told { place: "sheet", ..Told::default() };
        };
        // Colour, shade, metres, yards, balls; figures of all sizes, or one for all.
        let figures = table[row + 4].split(|c: char| !c.is_ascii_digit()).filter(|text| !text.is_empty());
        let figures: Vec<u64> = figures.map(|text| text.parse().unwrap()).collect();
        let balls = figures.get(self.project.pieces.chosen).or(figures.first()).copied();
        let sums = &self.sheet[after("Yardage")..];
        let own = sums.iter().position(|text| *text == entry).unwrap();
        let mut sum = sums[own..].iter().skip_while(|text| *text != "Together");
        let high = sum.nth(2).and_then(|text| text.split('–').nth(1)).and_then(|high| high.parse().ok());
        let code = entry.contains(&colour_code(slot)).then(|| colour_code(slot));
        Told { place: "sheet", metres_high: high, step: 0.1, balls, code }
    }

    /// The card's entry: name, `code, role; colour`, balls, then a line that ends with the high figure.
    fn of_card(&self, slot: usize) -> Told {
        let code = format!("{}, ", colour_code(slot));
        let Some(at) = self.card.iter().position(|text| text.starts_with(&code)) else {
            return Told { place: "card", ..Told::default() };
        };
        let mut lines = self.card[at..].iter().skip(1);
        let balls = lines.find_map(|text| match text.as_str() {
            "None to buy" => Some(0),
            text => text.trim_end_matches('s').strip_suffix(" ball")?.parse().ok(),
        });
        let amount = lines.find(|text| text.starts_with("Likely ") || text.starts_with("About "));
        let high = amount.and_then(|text| text.trim_end_matches(" m").rsplit(' ').next()?.parse().ok());
        Told { place: "card", metres_high: high, step: 1.0, balls, code: Some(colour_code(slot)) }
    }
}

#[test]
fn every_demo_has_one_sum_in_every_place() {
    for name in DEMOS {
        let places = Places::of(name);
        let mut page = format!("\n{name}: metres (high) and balls of each colour\n");
        for (slot, own) in places.shopping.yarn.colours.iter().enumerate() {
            let all = places.told(slot);
            write!(page, "{:<4}", colour_code(slot)).unwrap();
            for told in &all {
                let metres = told.metres_high.map(|high| format!(" {high:.1} m")).unwrap_or_default();
                let balls = told.balls.map(|balls| format!(" {balls}")).unwrap_or_default();
                write!(page, " | {}{metres}{balls}", told.place).unwrap();
            }
            page.push('\n');
            let metres = own.metres().high;
            for told in all {
                let place = told.place;
                if own.stitches > 0 || !["sheet", "card"].contains(&place) {
                    let silent = ["text", "chart legend"].contains(&place);
                    assert!(silent || told.metres_high.is_some(), "{name}, {place}: no metres of {slot}");
                    assert!(
                        told.code.is_some() || ["Shopping", "sets", "match"].contains(&place),
                        "{name}, {place}: no code of {slot}"
                    );
                }
                if let Some(high) = told.metres_high {
                    assert!(
                        (high - metres).abs() <= 0.51 * told.step,
                        "{name}, {place}: {high} m, not {metres}"
                    );
                }
                let counts_none =
                    ["sets", "match", "text", "chart legend"].contains(&place) || own.stitches == 0;
                assert!(counts_none || told.balls.is_some(), "{name}, {place}: no balls of {slot}");
                assert!(
                    told.balls.is_none_or(|balls| balls == u64::from(own.balls)),
                    "{name}, {place}, {slot}"
                );
                assert!(told.code.is_none_or(|code| code == colour_code(slot)), "{name}, {place}, {slot}");
            }
        }
        let all = places.shopping.yarn.balls();
        assert_eq!(places.inspect["yarn_total"]["balls"].as_u64(), Some(all), "{name}");
        let balls = format!("{all} ball");
        assert!(places.card.iter().any(|text| text.starts_with(&balls)), "{name}: {balls}");
        one_size(name, &places, &mut page);
        println!("{page}");
    }
}

/// The finished size in the legend and on the sheet is that of `inspect`.
fn one_size(name: &str, places: &Places, page: &mut String) {
    let size = &places.inspect["size"];
    let (stitches, rows) = (&size["finished_stitches"], &size["finished_rows"]);
    let width = size["finished"]["width_cm"].as_f64().unwrap();
    let length = format!("{:.1}", places.project.units.from_cm(width));
    writeln!(page, "finished: {stitches} stitches, {rows} rows, {length} wide in inspect, legend and sheet")
        .unwrap();
    for (place, texts) in [("legend", &places.legend), ("sheet", &places.sheet)] {
        assert!(texts.iter().any(|text| text.contains(&length)), "{name}, {place}: no {length}");
        let stitches = format!("{stitches} stitches");
        assert!(texts.iter().any(|text| text.contains(&stitches)), "{name}, {place}: no {stitches}");
    }
}

/// What is on hand of a shade is no yarn of a colour that has left it, wherever one looks.
#[test]
fn a_colour_that_leaves_its_shade_has_none_on_hand_in_any_place() {
    let (mut project, folder, _) = shaded(DEMOS[1]);
    let shade = project.shade_cards[0].shades()[0].clone();
    project.apply(project.knit_in([(0, shade.into())]));
    project.palette.slots_mut()[0].set_on_hand(375.0);
    let path = folder.path().join("left.ron");
    let told = |project: &Project| {
        file::save_atomic(&path, project).unwrap();
        let path = path.display().to_string();
        let shopping = Shopping::of(project, None, None).unwrap();
        let table = yardage::csv(project, &shopping).unwrap();
        let row = csv::Reader::from_reader(table.as_bytes()).records().next().unwrap().unwrap();
        let column = yardage::COLUMNS.iter().position(|column| *column == "on_hand_metres").unwrap();
        let pages = texts(&sheet::pages(project, &SheetOptions::default()).unwrap()).join(" ");
        let own = &shopping.yarn.colours[0];
        let bought_for = own.metres().high - own.to_buy_m;
        let inspected =
            json(&["inspect", &path])["pieces_yarn"]["colours"][0]["on_hand_metres"].as_f64().unwrap();
        let card = texts(&[card::draw(project, &shopping)]).join(" ");
        let words = [pages.contains("less what is on hand"), card.contains("on hand")];
        (bought_for > 0.0, row[column].to_owned(), inspected, words)
    };
    assert_eq!(told(&project), (true, "375.0".to_owned(), 375.0, [true; 2]));
    project.palette.slots_mut()[0].recolour(huegauge::colour::Colour::WHITE);
    assert_eq!(told(&project), (false, "0.0".to_owned(), 0.0, [false; 2]));
}

/// A yoke is half pattern; the pullover it belongs to is nearly all ground.
#[test]
fn a_yoke_of_many_colours_is_a_pullover_of_ground() {
    let project = huegauge::file::demos()[0].project().unwrap();
    let figures = Figures::of(&project);
    let ground = &figures.knitted.yarn.colours[project.background_slot()];
    assert!(figures.ground_share < 60.0, "{}", figures.ground_share);
    assert!(figures.worked_ground_share > 80.0, "{}", figures.worked_ground_share);
    assert!((figures.worked_ground_share - ground.share_percent).abs() < 1e-9);
    assert!((figures.worked_part_shares.iter().sum::<f64>() - 100.0).abs() < 1e-9);
}
