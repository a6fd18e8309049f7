//! The yardage table, read back.

use huegauge::export::yardage;
use huegauge::file;
use huegauge::project::Project;
use huegauge::project::shopping::Shopping;

fn yoke() -> Project {
    file::demos()[0].project().unwrap()
}

fn shopping(project: &Project) -> Shopping {
    Shopping::of(project, None, None).unwrap()
}

fn read(table: &str) -> (Vec<String>, Vec<Vec<String>>) {
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let header = reader.headers().unwrap().iter().map(str::to_owned).collect();
    let rows = reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect();
    (header, rows)
}

#[test]
fn the_csv_reads_back_as_the_figures() {
    let project = yoke();
    let shopping = shopping(&project);
    let (header, rows) = read(&yardage::csv(&project, &shopping).unwrap());
    assert_eq!(header, yardage::COLUMNS);
    let column = |name: &str| header.iter().position(|known| known == name).unwrap();
    assert_eq!(rows.len(), project.palette.slots().len());
    for ((row, slot), used) in rows.iter().zip(project.palette.slots()).zip(&shopping.yarn.colours) {
        let number = |name: &str| row[column(name)].parse::<f64>().unwrap();
        assert_eq!(row[column("colour")], slot.name);
        assert_eq!(row[column("hex")], slot.colour.to_hex());
        assert_eq!(row[column("stitches")].parse::<u64>().unwrap(), used.stitches);
        assert!((number("metres_high") - used.metres().high).abs() <= 0.05);
        // An international yard is 0.9144 m exactly.
        assert!((number("yards_likely") * 0.9144 - used.metres().likely).abs() <= 0.05);
        assert!((number("grams_likely") - used.metres().likely * 100.0 / 400.0).abs() <= 0.06);
        assert_eq!(number("ball_m"), 200.0);
        let on_hand = slot.yarn.on_hand_m;
        assert!(number("balls") * 200.0 + on_hand >= used.metres().high);
        assert_eq!((number("on_hand_metres"), row[column("size")].as_str()), (on_hand, "M"));
        assert!((number("cost") - number("balls") * number("ball_price")).abs() < 0.005);
    }
}

#[test]
fn odd_names_stay_in_their_cell_and_never_become_formulas() {
    let mut project = yoke();
    let names = ["=cmd|' /C calc'!A0", "sea, \"pink\"\nand more", "+49", "@x"];
    for (slot, name) in project.palette.slots_mut().iter_mut().zip(names) {
        name.clone_into(&mut slot.name);
    }
    let (_, rows) = read(&yardage::csv(&project, &shopping(&project)).unwrap());
    assert_eq!(rows[0][0], "'=cmd|' /C calc'!A0");
    assert_eq!(rows[1][0], "sea, \"pink\" and more", "a name is one line of the table");
    assert_eq!((rows[2][0].as_str(), rows[3][0].as_str()), ("'+49", "'@x"));
    let text = yardage::text(&project, &shopping(&project));
    assert!(text.contains("sea, \"pink\" and more"), "a name is one line of the text");
}

#[test]
fn the_text_is_aligned_and_gives_both_systems() {
    let project = yoke();
    let text = yardage::text(&project, &shopping(&project));
    let lines: Vec<&str> = text.lines().collect();
    let head = lines.iter().position(|line| line.starts_with("Colour ")).unwrap();
    for unit in ["Metres", "Yards", "Grams", "Ounces", "Balls"] {
        assert!(lines[head].contains(unit), "{unit}");
    }
    let table = &lines[head..head + 6];
    assert!(table[5].starts_with("All "));
    // Numbers stand under their headings' right ends, so all lines are equally long.
    let lengths: Vec<usize> = table.iter().map(|line| line.chars().count()).collect();
    assert!(lengths.iter().all(|length| *length == lengths[0]), "{lengths:?}");
    assert!(text.contains("one dye lot"));
}

#[test]
fn a_price_that_is_not_known_is_left_out() {
    let mut project = yoke();
    for slot in project.palette.slots_mut() {
        slot.yarn.ball_price = None;
    }
    let figures = shopping(&project);
    let (_, rows) = read(&yardage::csv(&project, &figures).unwrap());
    assert!(rows.iter().all(|row| row[18].is_empty() && row[19].is_empty()));
    assert!(!yardage::text(&project, &figures).contains("Cost"));
}
