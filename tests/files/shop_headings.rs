//! Headings and fibres as shops write them, put together from the words of the trade in English and German: every heading
//! must be taken for what it holds, in every spelling, and every fibre read.

use std::fmt::Write;

use huegauge::file::{Matching, ShadeField, ShadeTable};
use huegauge::yarn::{Blend, Fibre};

/// The ways in which a spreadsheet spells a heading.
fn spellings(heading: &str) -> Vec<String> {
    let title = |word: &str| {
        let mut letters = word.chars();
        letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
    };
    let words: Vec<&str> = heading.split(' ').collect();
    let titled: Vec<String> = words.iter().map(|word| title(word)).collect();
    let umlauts =
        |text: &str| text.replace('ä', "ae").replace('ö', "oe").replace('ü', "ue").replace('ß', "ss");
    vec![
        heading.to_owned(),
        heading.to_uppercase(),
        titled.join(" "),
        titled.concat(),
        words.join("_"),
        titled.join("-"),
        format!("  {}: ", titled.join(" ")),
        umlauts(heading),
    ]
}

/// The field of a heading over cells like `cell`, in a table with a name and a colour.
fn field_of(heading: &str, cell: &str) -> Option<ShadeField> {
    let quoted = |text: &str| format!("\"{}\"", text.replace('"', "\"\""));
    let mut text = format!("Name\tHex\t{}\n", quoted(heading));
    for line in 0..3 {
        writeln!(text, "Fence {line}\t#a0{line}030\t{}", quoted(cell)).unwrap();
    }
    let table = ShadeTable::read(text.as_bytes()).unwrap();
    Matching::of(&table).unwrap().field_of(2)
}

fn all(list: &str) -> Vec<String> {
    list.split('|').map(|word| word.trim().to_owned()).collect()
}

/// Headings of a field with a cell that stands under them.
type Headings = (ShadeField, &'static str, Vec<String>);

/// Those that are put together of a thing and what is told of it.
fn put_together() -> [Headings; 4] {
    let things: Vec<String> = all("farb|farbe|farbton|colour|color|shade|artikel|art.|item|product|bestell");
    let of = |list: &[String], told: &str| -> Vec<String> {
        let told = all(told);
        list.iter().flat_map(|thing| told.iter().map(move |told| format!("{thing} {told}"))).collect()
    };
    let codes = of(&things, "nr|nr.|no|no.|nummer|number|code");
    let prices = of(
        &all("preis|price|evp|uvp|vk|rrp|vk-preis|unit price"),
        "|/ knäuel|pro knäuel|je Knäuel|per ball|per skein|(€)|€|EUR|[£]|inkl. MwSt.|incl. VAT|/ Stück",
    );
    let more = "Ladenpreis|Verkaufspreis|Stückpreis|Einzelpreis|Retail price|Endpreis|€|VKP";
    let lengths = of(
        &all("lauflänge|ll|länge|length|yardage|lauflänge ca."),
        "|(m)|in m|pro Knäuel|per ball|/ Strang|(m / 50 g)",
    );
    let more_lengths = "Laufl.|m/Knäuel|metres per ball|m per skein|Meter|Yards|yds|Ball length|m|\
                        Ball metres|Skein yards";
    let weights = of(&all("gewicht|weight|knäuelgewicht|ball weight|net weight"), "|(g)|in g|[g]");
    let more_weights = "g|g/Knäuel|Gramm|grams|g per ball|Nettogewicht|Gewicht pro Knäuel|\
                        Ball oz|Skein ounces|Ball gr";
    [
        (ShadeField::Code, "4071", codes),
        (ShadeField::BallPrice, "5,45", [prices, all(more)].concat()),
        (ShadeField::Length, "125 m / 50 g", [lengths, all(more_lengths)].concat()),
        (ShadeField::BallGrams, "50 g", [weights, all(more_weights)].concat()),
    ]
}

fn vocabulary() -> Vec<Headings> {
    let fibres = "Zusammensetzung|Material|Materialzusammensetzung|Faser|Fasern|Faserart|Fasergehalt|Fibre|Fiber content|\
                  Fibre composition|Composition|Content|Blend|Garnzusammensetzung|Faseranteile|Yarn content|\
                  Fibre contents|Mischung";
    let stock = "Lagerbestand|Bestand|Stock|In stock|Stock level|Qty|Verfügbarkeit|Lagerstand|Verfügbare Menge|\
                 Available quantity|Anzahl|Lager Menge";
    let lots = "Partie|Partie-Nr.|Dye lot|Lot|Lot no.|Farbpartie|Charge|Chargen-Nr.|Dye batch";
    let lines = "Garn|Qualität|Yarn|Yarn line|Product line|Garnname|Serie";
    let alone = [
        (ShadeField::Fibre, "75 % wool, 25 % nylon", all(fibres)),
        (ShadeField::InStock, "12", all(stock)),
        (ShadeField::DyeLot, "F7", all(lots)),
        (ShadeField::YarnLine, "Skerry", all(lines)),
    ];
    put_together().into_iter().chain(alone).collect()
}

#[test]
fn headings_of_the_trade_are_known_in_every_spelling() {
    let mut missed = Vec::new();
    let mut count = 0;
    for (field, cell, headings) in vocabulary() {
        for heading in headings {
            for spelling in spellings(heading.trim()) {
                count += 1;
                let found = field_of(&spelling, cell);
                if found != Some(field) {
                    missed.push(format!("'{spelling}': {found:?}, not {field:?}"));
                }
            }
        }
    }
    println!("{count} headings");
    assert!(count > 1_500, "{count}");
    assert!(missed.is_empty(), "{} of {count}:\n{}", missed.len(), missed.join("\n"));
}

#[test]
fn names_of_colours_are_told_from_their_numbers_and_values() {
    let field = |heading: &str, cells: [&str; 2]| {
        let text = format!("{heading};x\n{};1\n{};2\n", cells[0], cells[1]);
        Matching::of(&ShadeTable::read(text.as_bytes()).unwrap()).unwrap().field_of(0)
    };
    for heading in
        ["Farbe", "Colour", "Farbton", "Shade", "Farbname", "Colour name", "Farbbezeichnung", "ColourName"]
    {
        assert_eq!(field(heading, ["Tin lid", "Wet slate"]), Some(ShadeField::Name), "{heading}");
    }
    for heading in ["Farbe", "Colour", "Farbcode", "Colour code", "RGB", "Hex-Wert", "no heading at all"] {
        assert_eq!(field(heading, ["#a3421f", "#4d6b2a"]), Some(ShadeField::Hex), "{heading}");
    }
}

#[test]
fn a_variant_names_the_shade_before_a_number_of_stock_does() {
    let text = "sku,product,variant,swatch\n71000,Skerry,Moss,#a3421f\n71001,Skerry,Peat,#4d6b2a\n";
    let table = ShadeTable::read(text.as_bytes()).unwrap();
    let found = Matching::of(&table).unwrap();
    assert_eq!((found.column(ShadeField::Name), found.column(ShadeField::Code)), (Some(2), Some(0)));
}

#[test]
fn the_number_of_the_colour_goes_before_that_of_the_article() {
    for (article, colour) in [("Art.-Nr.", "Farbnr."), ("SKU", "Shade no"), ("Item number", "Colour code")] {
        let text = format!("{article};Farbname;{colour};Hex\n71000;Tin lid;07;#a3421f\n");
        let table = ShadeTable::read(text.as_bytes()).unwrap();
        assert_eq!(Matching::of(&table).unwrap().column(ShadeField::Code), Some(2), "{colour}");
    }
}

#[test]
fn a_heading_that_means_something_else_is_left_out() {
    for (heading, cell) in [
        ("Supplier", "somebody"),
        ("Weight", "chunky"),
        ("EK", "2,10"),
        ("Needle", "4 mm"),
        ("Nadelstärke", "4"),
        ("Comment", "x"),
    ] {
        assert_eq!(field_of(heading, cell), None, "{heading}");
    }
    assert_eq!(field_of("Waschen", "Maschine 30"), Some(ShadeField::Care));
}

#[test]
fn a_price_of_a_weight_becomes_that_of_a_ball() {
    let text =
        "Name;Hex;Gewicht;LL;Preis pro 100 g\nTin lid;#a3421f;50;125;10,90\nWet slate;#4d6b2a;;;10,90\n";
    let table = ShadeTable::read(text.as_bytes()).unwrap();
    let taken = table.shades(&Matching::of(&table).unwrap());
    assert_eq!(taken.shades[0].1.ball_price.unwrap().get(), 5.45);
    assert_eq!(
        (taken.shades[1].1.ball_price, taken.unpriced.len()),
        (None, 1),
        "no ball, so no price of one"
    );
    for heading in ["Preis/100g", "Preis pro 100 g (EUR)", "Price (£ per 100 g)", "EVP € / 100g"] {
        let text = format!("Name;Hex;Gewicht;LL;{heading}\nTin lid;#a3421f;50;125;10,90\n");
        let table = ShadeTable::read(text.as_bytes()).unwrap();
        let taken = table.shades(&Matching::of(&table).unwrap());
        assert_eq!(taken.shades[0].1.ball_price.map(huegauge::units::Price::get), Some(5.45), "{heading}");
    }
}

/// Names of fibres on labels, English and German.
const FIBRES: [(&str, Fibre); 44] = [
    ("wool", Fibre::Wool),
    ("virgin wool", Fibre::Wool),
    ("pure new wool", Fibre::Wool),
    ("Wolle", Fibre::Wool),
    ("Schurwolle", Fibre::Wool),
    ("reine Schurwolle", Fibre::Wool),
    ("superwash wool", Fibre::SuperwashWool),
    ("Schurwolle superwash", Fibre::SuperwashWool),
    ("Merino superwash", Fibre::SuperwashWool),
    ("Schurwolle (Merino, superwash)", Fibre::SuperwashWool),
    ("merino wool", Fibre::Merino),
    ("Merinowolle extrafein", Fibre::Merino),
    ("extrafine merino", Fibre::Merino),
    ("baby alpaca", Fibre::Alpaca),
    ("Alpaka", Fibre::Alpaca),
    ("Alpakawolle", Fibre::Alpaca),
    ("kid mohair", Fibre::Mohair),
    ("Super-Kid-Mohair", Fibre::Mohair),
    ("Kaschmir", Fibre::Cashmere),
    ("cashmere", Fibre::Cashmere),
    ("Yak", Fibre::Yak),
    ("mulberry silk", Fibre::Silk),
    ("Maulbeerseide", Fibre::Silk),
    ("organic cotton", Fibre::Cotton),
    ("Baumwolle (kbA)", Fibre::Cotton),
    ("Bio-Baumwolle", Fibre::Cotton),
    ("Leinen", Fibre::Linen),
    ("flax", Fibre::Linen),
    ("Bambus-Viskose", Fibre::Viscose),
    ("viscose", Fibre::Viscose),
    ("Polyamid", Fibre::Nylon),
    ("polyamide", Fibre::Nylon),
    ("Nylon", Fibre::Nylon),
    ("Polyacryl", Fibre::Acrylic),
    ("acrylic", Fibre::Acrylic),
    ("Polyester (recycelt)", Fibre::Polyester),
    ("elastane", Fibre::Elastane),
    ("Elasthan", Fibre::Elastane),
    ("Lyocell", Fibre::Lyocell),
    ("Modal", Fibre::Modal),
    ("true hemp", Fibre::Hemp),
    ("Hanf", Fibre::Hemp),
    ("Angora", Fibre::Angora),
    ("Kamelhaar", Fibre::Camel),
];

#[test]
fn blends_are_read_in_every_way_they_are_written() {
    let shares = [("75", "25"), ("70,5", "29,5"), ("52.5", "47.5"), ("90", "10")];
    let mut missed = Vec::new();
    let mut count = 0;
    for (i, (one, first)) in FIBRES.iter().enumerate() {
        let (other, second) = FIBRES[(i + 17) % FIBRES.len()];
        if *first == second {
            continue;
        }
        let (a, b) = shares[i % shares.len()];
        for text in [
            format!("{a}% {one}, {b}% {other}"),
            format!("{a}%{one},{b}%{other}"),
            format!("{a} % {one} / {b} % {other}"),
            format!("{a}% {one} {b}% {other}"),
            format!("{one} {a}%, {other} {b}%"),
            format!("{one}: {a} %; {other}: {b} %"),
            format!("{a}% {one} + {b}% {other}").to_uppercase(),
            format!("{a}% {one} und {b}% {other}"),
            format!("ca. {a} % {one} & {b} % {other}."),
            format!("{a} {one} / {b} {other}"),
            format!("{a}% {one}\n{b}% {other}"),
            format!("{a} Prozent {one}, {b} Prozent {other}"),
        ] {
            count += 1;
            let share = |text: &str| text.replace(',', ".").parse::<f64>().unwrap();
            let wanted = Blend::new(vec![(*first, share(a)), (second, share(b))]).unwrap();
            match Blend::parse(&text) {
                Ok(found) if found == wanted => {}
                Ok(found) => missed.push(format!("'{text}': {}", found.name())),
                Err(error) => missed.push(format!("'{text}': {error}")),
            }
        }
        for text in [(*one).to_owned(), format!("100% {one}"), format!("100%{one}"), format!("{one} 100 %")] {
            count += 1;
            if Blend::parse(&text) != Ok(Blend::pure(*first)) {
                missed.push(text);
            }
        }
    }
    println!("{count} blends");
    assert!(missed.is_empty(), "{} of {count}:\n{}", missed.len(), missed.join("\n"));
}

#[test]
fn what_is_no_blend_stays_one_and_is_said() {
    for text in [
        "75 % wool",
        "75 % moonbeam, 25 % nylon",
        "wool, nylon",
        "half wool",
        "60 % alpaca silk, 40 % wool",
        "100 %",
    ] {
        assert!(Blend::parse(text).is_err(), "{text}");
    }
    let text = "Name\tHex\tMaterial\nTin lid\t#a3421f\t100% moonbeam\nWet slate\t#4d6b2a\t100% wool\n";
    let table = ShadeTable::read(text.as_bytes()).unwrap();
    let taken = table.shades(&Matching::of(&table).unwrap());
    assert_eq!(
        (taken.shades.len(), taken.unknown_fibres.as_slice()),
        (2, &[(2, "100% moonbeam".to_owned())][..])
    );
}
