//! The words of headings: one spelling for many, and headings put together of a thing and what is told of it.
//!
//! All of it is common practice, no published source: words of the trade in English and German.

use super::headings::ShadeField;
use crate::units::LengthUnit;
use crate::yarn::band_weight;

/// What a ball is called where something is told of one.
const BALLS: [&str; 15] = [
    "ball", "balls", "skein", "hank", "unit", "piece", "pc", "knaeuel", "knaeul", "strang", "stueck", "stk",
    "docke", "each", "cone",
];
/// Words that lead on to it.
const PER: [&str; 6] = ["per", "pro", "in", "a", "for", "auf"];
/// What stands beside a heading and says no more of what is under it.
const BESIDE: [&str; 36] = [
    "eur",
    "euro",
    "euros",
    "gbp",
    "usd",
    "chf",
    "sek",
    "nok",
    "dkk",
    "pounds",
    "dollars",
    "pln",
    "czk",
    "cad",
    "aud",
    "nzd",
    "jpy",
    "m",
    "g",
    "gr",
    "gramm",
    "grams",
    "50g",
    "100g",
    "25g",
    "incl",
    "inkl",
    "vat",
    "mwst",
    "ust",
    "brutto",
    "tax",
    "approx",
    "ca",
    "circa",
    "ungefaehr",
];

/// Small letters and digits with one space between words, umlauts in two letters; a star stays, for `L*` is no `L`. A
/// capital after a small letter begins a word, and so does the last of several before one: `ColourCode`, `RGBValue`.
pub(super) fn plain(heading: &str) -> String {
    // One word in spite of its capital: the tax.
    let letters: Vec<char> = heading.replace("MwSt", "mwst").chars().collect();
    let small = |at: Option<usize>| at.and_then(|at| letters.get(at)).is_some_and(|c| c.is_lowercase());
    let mut apart = String::new();
    for (at, c) in letters.iter().enumerate() {
        let before = at.checked_sub(1);
        let capital = |at: Option<usize>| at.and_then(|at| letters.get(at)).is_some_and(|c| c.is_uppercase());
        if capital(Some(at)) && (small(before) || (capital(before) && small(Some(at + 1)))) {
            apart.push(' ');
        }
        apart.push(*c);
    }
    let lower = apart.to_lowercase();
    let lower = lower.replace('ä', "ae").replace('ö', "oe").replace('ü', "ue").replace('ß', "ss");
    let words: Vec<&str> =
        lower.split(|c: char| !c.is_alphanumeric() && c != '*').filter(|word| !word.is_empty()).collect();
    // `je` and `pro` say the same.
    words.into_iter().map(|word| if word == "je" { "pro" } else { word }).collect::<Vec<_>>().join(" ")
}

/// The same without the spaces: `Farb-Nr.`, `Farbnr` and `FarbNr` are one heading.
pub(super) fn squashed(heading: &str) -> String {
    plain(heading).replace(' ', "")
}

/// Plain, without brackets, names of currencies, units, taxes and `per ball` at its ends.
pub(super) fn without_units(heading: &str) -> String {
    let outside: String = heading
        .chars()
        .scan(0_i32, |depth, c| {
            match c {
                '(' | '[' => *depth += 1,
                ')' | ']' => *depth -= 1,
                _ => return Some((*depth == 0).then_some(c)),
            }
            Some(Some(' '))
        })
        .flatten()
        .collect();
    let plain = plain(&outside);
    let mut words: Vec<&str> = plain.split(' ').collect();
    let beside = |word: &str| BESIDE.contains(&word) || word.bytes().all(|byte| byte.is_ascii_digit());
    while words.len() > 1
        && words.last().is_some_and(|word| beside(word) || PER.contains(word) || BALLS.contains(word))
    {
        words.pop();
    }
    while words.len() > 1 && words.first().is_some_and(|word| beside(word)) {
        words.remove(0);
    }
    words.join(" ")
}

/// A unit for every ball: `m per skein`, `g/Knäuel`, `yds / 50 g`.
pub(super) fn unit_of_a_ball(plain: &str) -> Option<ShadeField> {
    let mut words = plain.split(' ');
    let field = match words.next()? {
        "m" | "mtr" | "mtrs" | "meter" | "metre" | "metres" | "meters" | "yd" | "yds" | "yards" => {
            ShadeField::Length
        }
        "g" | "gr" | "gramm" | "grams" | "gram" | "oz" | "ounces" => ShadeField::BallGrams,
        _ => return None,
    };
    let rest: Vec<&str> = words.collect();
    let of_ball = rest.last().is_some_and(|word| BALLS.contains(word));
    (of_ball && rest.iter().all(|word| PER.contains(word) || BALLS.contains(word))).then_some(field)
}

/// Headings of a thing and what is told of it: `Farbton` and `Nr.`, `Retail` and `price`.
struct Rule {
    field: ShadeField,
    things: &'static [&'static [&'static str]],
    told: &'static [&'static str],
}

/// What a colour is called where its number or its name is told.
const COLOURS: &[&str] =
    &["farb", "farbe", "farben", "farbton", "colour", "color", "col", "colourway", "colorway", "shade"];

const RULES: &[Rule] = &[
    Rule {
        field: ShadeField::Code,
        things: &[
            COLOURS,
            &[
                "artikel",
                "art",
                "article",
                "item",
                "product",
                "produkt",
                "prod",
                "bestell",
                "best",
                "order",
                "catalogue",
                "catalog",
                "katalog",
                "style",
                "model",
                "modell",
                "ref",
                "maker",
                "manufacturer",
                "hersteller",
                "supplier",
                "variant",
                "kurz",
                "stock code",
                "sku",
            ],
        ],
        told: &[
            "nr",
            "nos",
            "no",
            "nummer",
            "number",
            "num",
            "code",
            "id",
            "ref",
            "reference",
            "referenz",
            "kennung",
        ],
    },
    Rule {
        field: ShadeField::Name,
        things: &[COLOURS, &["variant", "variante", "nuance"]],
        told: &[
            "name",
            "namen",
            "bezeichnung",
            "bez",
            "title",
            "titel",
            "description",
            "beschreibung",
            "desc",
            "benennung",
            "label",
        ],
    },
    Rule {
        field: ShadeField::BallPrice,
        things: &[&[
            "",
            "ball",
            "skein",
            "hank",
            "unit",
            "retail",
            "list",
            "listen",
            "shop",
            "selling",
            "consumer",
            "recommended",
            "verkaufs",
            "laden",
            "stueck",
            "einzel",
            "end",
            "brutto",
            "gross",
            "knaeuel",
            "strang",
            "vk",
            "endverbraucher",
            "endverkaufs",
            "regular",
            "normal",
            "current",
            "our",
            "unser",
            "suggested retail",
            "recommended retail",
        ]],
        told: &["price", "preis", "preise", "prices"],
    },
    Rule {
        field: ShadeField::Length,
        things: &[&[
            "", "ball", "skein", "hank", "knaeuel", "yarn", "garn", "strang", "unit", "total", "running",
            "run",
        ]],
        told: &[
            "length",
            "laenge",
            "yardage",
            "meterage",
            "metrage",
            "lauflaenge",
            "laufl",
            "ll",
            "laufmeter",
            "m",
            "metres",
            "meters",
            "meter",
            "yd",
            "yds",
            "yards",
        ],
    },
    Rule {
        field: ShadeField::BallGrams,
        things: &[&[
            "", "ball", "skein", "hank", "knaeuel", "strang", "unit", "net", "netto", "stueck", "fuell",
            "nett", "einzel",
        ]],
        told: &["weight", "gewicht", "grams", "gramm", "wt", "gramme", "g", "gr", "oz", "ounces"],
    },
    Rule {
        field: ShadeField::Fibre,
        things: &[&["", "fibre", "fiber", "faser", "material", "yarn", "garn", "textil", "rohstoff"]],
        told: &[
            "content",
            "contents",
            "composition",
            "zusammensetzung",
            "anteil",
            "anteile",
            "gehalt",
            "mix",
            "blend",
            "angabe",
            "angaben",
            "kennzeichnung",
            "art",
            "type",
            "mischung",
            "gemisch",
            "material",
        ],
    },
    Rule {
        field: ShadeField::InStock,
        things: &[&[
            "",
            "lager",
            "stock",
            "available",
            "verfuegbare",
            "verfuegbarer",
            "in",
            "current",
            "aktueller",
        ]],
        told: &[
            "bestand",
            "stand",
            "level",
            "qty",
            "quantity",
            "status",
            "stock",
            "count",
            "menge",
            "anzahl",
            "stueckzahl",
            "availability",
            "verfuegbarkeit",
            "inventory",
        ],
    },
    Rule {
        field: ShadeField::DyeLot,
        things: &[&[
            "",
            "dye",
            "lot",
            "partie",
            "partien",
            "farbpartie",
            "charge",
            "chargen",
            "farbbad",
            "batch",
            "bad",
        ]],
        told: &["nr", "no", "nummer", "number", "lot", "batch", "code", "charge", "partie"],
    },
    Rule {
        field: ShadeField::YarnLine,
        things: &[&["yarn", "garn", "product", "produkt"]],
        told: &["line", "linie", "quality", "qualitaet", "range", "serie", "sorte", "name"],
    },
];

/// Whether it is the number of a colour, which goes before that of an article where a table has both.
pub(super) fn colour_number(plain: &str) -> Option<ShadeField> {
    let field = composed(plain).filter(|field| *field == ShadeField::Code)?;
    let is_of_colour = |word: &str| COLOURS.iter().chain(&["nuance"]).any(|colour| word.starts_with(colour));
    plain.split(' ').any(is_of_colour).then_some(field)
}

/// The field of a heading put together; a thing may stand after what is told of it (`number of the shade`).
pub(super) fn composed(plain: &str) -> Option<ShadeField> {
    // `number of the shade` is a shade number, the other way round.
    let words: Vec<&str> =
        plain.split(' ').filter(|word| !matches!(*word, "of" | "the" | "der" | "des" | "in")).collect();
    let joined = words.concat();
    let turned = words.iter().rev().copied().collect::<String>();
    [joined, turned]
        .iter()
        .find_map(|words| RULES.iter().find(|rule| rule.fits(words)).map(|rule| rule.field))
}

impl Rule {
    fn fits(&self, words: &str) -> bool {
        let told = |rest: &str| self.told.contains(&rest) && !(rest.len() < 3 && rest == words);
        self.things
            .iter()
            .copied()
            .flatten()
            .any(|thing| words.strip_prefix(&thing.replace(' ', "")).is_some_and(told))
    }
}

/// The unit of bare numbers under a heading, and the grams they are told for: `Yards`, `m / 50 g`, `Preis pro 100 g`.
pub(super) fn unit_and_grams(heading: &str) -> (LengthUnit, Option<f64>) {
    let plain = plain(heading);
    let in_yards = plain.split(' ').any(|word| matches!(word, "yd" | "yds" | "yard" | "yards" | "yardage"));
    let unit = if in_yards { LengthUnit::Imperial } else { LengthUnit::Metric };
    (unit, grams_of(heading))
}

/// The first weight that a heading names: `100 g`, `1.75 oz`.
fn grams_of(heading: &str) -> Option<f64> {
    let lower = heading.to_lowercase();
    let mut rest = lower.as_str();
    while let Some(start) = rest.find(|c: char| c.is_ascii_digit()) {
        let end = rest[start..].find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',');
        let end = end.map_or(rest.len(), |end| start + end);
        let after = rest[end..].trim_start();
        let word = after.find(|c: char| !c.is_alphabetic()).map_or(after, |end| &after[..end]);
        if !word.is_empty()
            && let Ok(grams) = band_weight(&format!("{} {word}", &rest[start..end]))
            && grams > 0.0
        {
            return Some(grams);
        }
        rest = &rest[end..];
    }
    None
}

/// What stands for a currency in a heading: `Preis (€)`, `Price GBP`.
pub(super) fn currency_of(heading: &str) -> Option<String> {
    if let Some(sign) = heading.chars().find(|c| "£€$¥₹₺₽₩".contains(*c)) {
        return Some(sign.to_string());
    }
    let codes = ["eur", "gbp", "usd", "chf", "sek", "nok", "dkk", "pln", "czk", "cad", "aud", "nzd", "jpy"];
    plain(heading).split(' ').find(|word| codes.contains(word)).map(str::to_uppercase)
}
