//! Tables as they come.

use super::*;
use crate::colour::Colour;
use crate::units::Price;
use crate::yarn::{ColourSource, Stock, number};

fn read(text: &str) -> Result<ShadeImport, CsvTrouble> {
    shades_from_csv(text.as_bytes(), "card.csv")
}

fn trouble(text: &str) -> String {
    read(text).unwrap_err().to_string()
}

#[test]
fn a_short_table_is_enough() {
    let found = read("name,hex\nDull bucket,#d8cbb2\n\nGreen gutter,4d6b2a\n").unwrap();
    assert_eq!(found.shades.len(), 2);
    let shade = Shade::new("Green gutter", Colour::from_hex("#4d6b2a").unwrap());
    assert_eq!(found.shades[1], Shade { source: ColourSource::Table, ..shade });
}

#[test]
fn a_table_from_a_spreadsheet_with_decimal_commas() {
    let text = "\u{feff}Name;Shop;HEX;m per 100g;Ball-g;ball price;owned balls;in stock\r\n\
                Dull bucket;corner;#d8cbb2;212,5;50;7,9;3;yes\r\nGreen gutter;;#4d6b2a;;;;;no\r\n";
    let found = read(text).unwrap();
    assert_eq!(found.ignored, ["Shop"]);
    let bucket = &found.shades[0];
    assert!((bucket.put_up.unwrap().grist.get() - 212.5).abs() < 1e-9);
    assert_eq!((bucket.ball_price, bucket.stock), (Price::new(7.9).ok(), Stock::Owned(3)));
    assert_eq!(found.shades[1].stock, Stock::Out);
}

#[test]
fn every_wrong_line_is_named() {
    let text = "name,hex,ball_price,ball_g,weight_class,source\n\
                Dull bucket,#d8cbb2,7,,3,maker\n\
                Green gutter,green,-7,,3,photo\n\
                ,#ffffff,,,,\n\
                Red kettle lid,#a3421f,,50,,guess\n\
                Old boot brush,#332211,,,9,\n";
    let error = read(text).unwrap_err();
    let lines: Vec<String> = error.problems.iter().map(ToString::to_string).collect();
    assert_eq!(lines.len(), 6, "{lines:#?}");
    for (line, parts) in lines.iter().zip([
        ["line 3, column hex", "'green' is not a colour"],
        ["line 3, column ball_price", "'-7' is not a price"],
        ["line 4", "needs a name"],
        ["line 5, column source", "photo, table, typed, maker"],
        ["line 5, column m_per_100g", "need metres per 100 g"],
        ["line 6", "from 0 to 7, not 9"],
    ]) {
        assert!(parts.iter().all(|part| line.contains(part)), "{line}");
    }
    assert!(error.to_string().starts_with("card.csv, line 3, column hex"), "{error}");
    assert!(error.to_string().ends_with("(and 5 more to mend)"), "{error}");
}

#[test]
fn a_table_that_is_none_says_what_to_write() {
    assert!(trouble("").contains("no column 'name'"));
    assert!(trouble("name,code\nDull bucket,1\n").contains("add a column 'hex'"));
    assert!(trouble("name,hex,Name\nDull bucket,#fff,x\n").contains("there twice"));
    assert!(trouble("name,hex\n").contains("no shades"));
    let open = trouble("name,hex\nDull bucket,#fff\n\"Green gutter,#4d6b2a\nRed kettle lid,#a3421f\n");
    assert!(open.contains("line 3") && open.contains("never closed"), "{open}");
    assert!(read("name,hex\n\"a \"\"b\"\", 5\" c\",#fff\nfive\",#fff\n").is_ok());
    let latin = shades_from_csv(b"name,hex\nFj\xf6ll,#fff\n", "card.csv").unwrap_err().to_string();
    assert!(latin.contains("line 2") && latin.contains("CSV UTF-8"), "{latin}");
}

#[test]
fn numbers_that_may_be_read_in_two_ways_are_refused() {
    assert_eq!(number("7,5"), Ok(7.5));
    assert_eq!(number("7.5"), Ok(7.5));
    for text in ["1,200", "1,2,3", "1.200,5", "nan", "inf", "x"] {
        assert!(number(text).is_err(), "{text}");
    }
}

#[test]
fn words_in_place_of_a_price_leave_it_open() {
    let text = "name,hex,price\nDull bucket,#fff,auf Anfrage\nGreen gutter,#4d6b2a,-\nRed lid,#a3421f,5.45\n";
    let table = ShadeTable::read(text.as_bytes()).unwrap();
    let taken = table.shades(&Matching::of(&table).unwrap());
    assert_eq!(taken.unpriced, [(2, "auf Anfrage".to_owned()), (3, "-".to_owned())]);
    let prices: Vec<bool> = taken.shades.iter().map(|(_, shade)| shade.ball_price.is_some()).collect();
    assert_eq!((prices, taken.set_aside), (vec![false, false, true], Vec::new()));
}

#[test]
fn hex_and_oklch_must_agree() {
    let line = |hex: &str, oklch: &str| read(&format!("name,hex,oklch\nA,{hex},{oklch}\n"));
    assert!(line("#a3421f", "oklch(0.5047 0.1372 39.14)").is_ok());
    assert!(line("#a3421f", "50.47% 0.1372 39.14deg").is_ok());
    let error = line("#a34fff", "oklch(0.5047 0.1372 39.14)").unwrap_err().to_string();
    assert!(error.contains("#a34fff is not") && error.contains("#a3421f"), "{error}");
    assert!(line("", "oklch(1.5 0 0)").is_err());
    assert!(line("", "rgb(1 2 3)").is_err());
}

#[test]
fn a_cell_of_any_length_is_quoted_short() {
    let long = "x".repeat(5_000_000);
    for line in [format!("A,{long},\n"), format!("A,#fff,{long}\n")] {
        let error = trouble(&format!("name,hex,weight_class\n{line}"));
        assert!(error.len() < 300, "{}", error.len());
    }
}

#[test]
fn a_name_cannot_become_a_formula_and_comes_back() {
    let names = ["=1+2", "+1", "-1", "@x", "'=1", "it's"];
    let shades: Vec<Shade> = names.iter().map(|name| Shade::new(*name, Colour::BLACK)).collect();
    let table = shades_to_csv(&shades).unwrap();
    let mut raw = csv::Reader::from_reader(table.as_bytes());
    let cells: Vec<String> = raw.records().map(|row| row.unwrap()[0].to_owned()).collect();
    assert_eq!(cells, ["'=1+2", "'+1", "'-1", "'@x", "''=1", "it's"]);
    assert_eq!(read(&table).unwrap().shades, shades);
    let odd = [Shade::new("a\u{1b}[31m\u{9b}b\u{202e}c", Colour::BLACK)];
    assert!(!shades_to_csv(&odd).unwrap().contains(['\u{1b}', '\u{9b}', '\u{202e}']));
}

#[test]
fn a_line_that_is_too_short_says_so() {
    let found = shades_from_csv(b"name,fibre,hex\nRust,wool,#a3421f\nSand,wool\n", "shop.csv").unwrap_err();
    let said = found.to_string();
    assert!(said.contains("line 3") && said.contains("2 of 3 columns"), "{said}");
}

#[test]
fn the_care_of_a_shop_is_the_label_in_both_languages() {
    let text = "Name;HEX;Pflege\nRost;#a3421f;Maschinenw\u{e4}sche 30\u{b0}, nicht schleudern\n\
                Sand;#d8cbb2;hand wash\nRahm;#f0e8d8;tub 40\n";
    let found = shades_from_csv(text.as_bytes(), "shop.csv").unwrap();
    assert!(found.ignored.is_empty(), "{:?}", found.ignored);
    let care = |place: usize| &found.shades[place].make.care;
    assert_eq!(care(0).words(), ["Machine wash at most 30 \u{b0}C, normal cycle"]);
    assert_eq!(care(0).unread(), "nicht schleudern");
    assert_eq!((care(1).machine_wash(), care(2).machine_wash()), (Some(false), Some(true)));
}

#[test]
fn problems_beyond_the_list_are_counted() {
    let lines = "x,\n".repeat(30);
    let error = read(&format!("name,hex\n{lines}")).unwrap_err();
    assert_eq!((error.problems.len(), error.more), (20, 10));
}

fn taken(text: &str) -> (Matching, TakenIn) {
    let table = ShadeTable::read(text.as_bytes()).unwrap();
    let matching = Matching::of(&table).unwrap();
    let taken = table.shades(&matching);
    (matching, taken)
}

#[test]
fn lines_are_counted_as_an_editor_does() {
    for end in ["\n", "\r\n", "\r"] {
        let text = ["name,hex", "A,#fff", "", "", "B,nothing", "\"C", "D\",#000", "E,nothing", ""].join(end);
        let (_, found) = taken(&text);
        let lines: Vec<u64> = found.set_aside.iter().map(|problem| problem.line).collect();
        assert_eq!(lines, [5, 8], "{end:?}");
        assert_eq!(found.shades.iter().map(|(line, _)| *line).collect::<Vec<_>>(), [2, 6], "{end:?}");
    }
}

#[test]
fn utf_16_is_read_in_either_order() {
    let text = "name;hex\r\nGrün;#4d6b2a\r\n";
    let little: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let big: Vec<u8> = text.encode_utf16().flat_map(u16::to_be_bytes).collect();
    for bytes in [[&[0xff, 0xfe][..], &little].concat(), [&[0xfe, 0xff][..], &big].concat(), little, big] {
        assert_eq!(shades_from_csv(&bytes, "card.csv").unwrap().shades[0].name, "Grün");
    }
    assert!(shades_from_csv(&[0xff, 0xfe, 0x00, 0xd8, 0x41, 0x00], "card.csv").is_err(), "half a pair");
}

#[test]
fn two_currencies_and_codes_that_stand_twice_are_told() {
    let (_, found) = taken("name,code,hex,price\nA,1,#fff,£5\nB,2,#eee,5 €\nC,1,#ddd,£6\n");
    assert_eq!((found.shades.len(), found.currency.as_deref()), (2, Some("£")));
    assert!(found.set_aside[0].line == 3 && found.set_aside[0].message.contains("in €"));
    assert_eq!(found.twice, [("1".to_owned(), vec![2, 4])]);
}

#[test]
fn a_figure_out_of_range_sets_its_line_aside() {
    let (_, found) = taken(
        "name,rgb,length,price\nA,1 2 3,125 m / 50 g,5\nB,1 2 300,125 m / 50 g,5\nC,1 2 3,1 m / 500 g,5\nD,1 2 3,125 m,-5\n",
    );
    assert_eq!(found.shades.len(), 1);
    let lines: Vec<u64> = found.set_aside.iter().map(|problem| problem.line).collect();
    assert_eq!(lines, [3, 4, 5, 5]);
}
