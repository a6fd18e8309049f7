//! What labels and shops call fibres, in English and German.
//!
//! The generic names are those of Regulation (EU) No 1007/2011, annex I; words of the trade and the German names are
//! from memory.

use super::fibre::Fibre;

impl Fibre {
    /// The fibre that a label calls by this word or these words; trade synonyms, capitals, and words that only say
    /// how fine or how grown it is are understood. Words that name two fibres, or of which one is not known, are none.
    pub fn from_label(words: &str) -> Option<Self> {
        let words = words.trim().to_lowercase();
        if let Some(fibre) = named(&words) {
            return Some(fibre);
        }
        let words: Vec<&str> = words
            .split(|c: char| !c.is_alphanumeric())
            .filter(|word| !word.is_empty() && !WHICH.contains(word))
            .collect();
        if let Some(fibre) = named(&words.join(" ")) {
            return Some(fibre);
        }
        // What is told in several words: `wool of the merino sheep, superwash`.
        let mut found = None;
        for word in words.into_iter().filter(|word| !MATTER.contains(word)) {
            let fibre = named(word).or_else(|| compound(word))?;
            found = Some(found.map_or(Some(fibre), |so_far| together(so_far, fibre))?);
        }
        found
    }
}

/// The fibre of these very words, in small letters.
fn named(words: &str) -> Option<Fibre> {
    let of = |table: &[(&str, Fibre)]| table.iter().find(|(known, _)| *known == words).map(|found| found.1);
    of(GERMAN).or_else(|| of(CODES)).or_else(|| english(words))
}

fn english(word: &str) -> Option<Fibre> {
    Some(match word {
        "wool" | "lambswool" | "virgin wool" | "shetland" | "shetland wool" => Fibre::Wool,
        "superwash" | "superwash wool" | "wool superwash" | "superwash merino" => Fibre::SuperwashWool,
        "merino" | "merino wool" => Fibre::Merino,
        "alpaca" | "baby alpaca" => Fibre::Alpaca,
        "mohair" | "kid mohair" => Fibre::Mohair,
        "cashmere" => Fibre::Cashmere,
        "yak" => Fibre::Yak,
        "qiviut" | "musk ox" => Fibre::Qiviut,
        "silk" | "mulberry silk" => Fibre::Silk,
        "cotton" => Fibre::Cotton,
        "linen" | "flax" => Fibre::Linen,
        "viscose" | "bamboo" | "bamboo viscose" | "rayon" | "bamboo or other viscose" => Fibre::Viscose,
        "nylon" | "polyamide" => Fibre::Nylon,
        "acrylic" | "polyacrylic" => Fibre::Acrylic,
        "angora" | "angora rabbit" => Fibre::Angora,
        "camel" | "camel hair" | "camel down" => Fibre::Camel,
        "llama" => Fibre::Llama,
        "vicuña" | "vicuna" => Fibre::Vicuna,
        "guanaco" => Fibre::Guanaco,
        "cashgora" => Fibre::Cashgora,
        "bison" | "buffalo" | "bison down" => Fibre::Bison,
        "possum" | "brushtail possum" => Fibre::Possum,
        "hemp" | "true hemp" => Fibre::Hemp,
        "ramie" => Fibre::Ramie,
        "jute" => Fibre::Jute,
        "kapok" => Fibre::Kapok,
        "lyocell" => Fibre::Lyocell,
        "modal" => Fibre::Modal,
        "cupro" => Fibre::Cupro,
        "acetate" => Fibre::Acetate,
        "triacetate" => Fibre::Triacetate,
        "protein" | "protein fibre" | "milk protein" | "soy" | "soya" | "soybean" => Fibre::Protein,
        "polyester" => Fibre::Polyester,
        "elastane" | "spandex" => Fibre::Elastane,
        "polypropylene" => Fibre::Polypropylene,
        "polylactide" | "pla" => Fibre::Polylactide,
        "modacrylic" => Fibre::Modacrylic,
        "other" | "other fibre" | "other fibres" => Fibre::Other,
        word if UNCOMMON.contains(&word) => Fibre::Other,
        _ => return None,
    })
}

/// A German word made of two: `Yakwolle`, `Biobaumwolle`.
fn compound(word: &str) -> Option<Fibre> {
    if word.ends_with("baumwolle") {
        return Some(Fibre::Cotton);
    }
    let ends = ["schurwolle", "wolle", "flaum", "haar", "fasern", "faser"];
    let first = ends.iter().find_map(|end| word.strip_suffix(end))?;
    named(first).filter(|fibre| *fibre != Fibre::Other)
}

/// One fibre of two words that name it together.
fn together(one: Fibre, other: Fibre) -> Option<Fibre> {
    use Fibre::{Merino, SuperwashWool, Wool};
    let both = |a: Fibre, b: Fibre| (one, other) == (a, b) || (one, other) == (b, a);
    if one == other {
        Some(one)
    } else if both(SuperwashWool, Wool) || both(SuperwashWool, Merino) {
        Some(SuperwashWool)
    } else if one == Wool && is_hair(other) {
        Some(other)
    } else {
        (other == Wool && is_hair(one)).then_some(one)
    }
}

/// Whether the word wool may follow the name (annex I, no. 2: the hair of these animals) or, of merino, is left out.
const fn is_hair(fibre: Fibre) -> bool {
    matches!(
        fibre,
        Fibre::Merino
            | Fibre::Alpaca
            | Fibre::Llama
            | Fibre::Camel
            | Fibre::Cashmere
            | Fibre::Mohair
            | Fibre::Angora
            | Fibre::Vicuna
            | Fibre::Yak
            | Fibre::Guanaco
            | Fibre::Cashgora
    )
}

/// Words that say which of a fibre it is, and leave the fibre what it is (common practice, no published source).
const WHICH: &[&str] = &[
    "100",
    "aus",
    "baby",
    "bio",
    "biologisch",
    "brushed",
    "bzw",
    "carded",
    "chlorfrei",
    "combed",
    "de",
    "echt",
    "echte",
    "egyptian",
    "erneuerbar",
    "extra",
    "extrafein",
    "extrafeine",
    "extrafine",
    "fair",
    "fein",
    "feine",
    "feinste",
    "fine",
    "finest",
    "from",
    "gasiert",
    "gassed",
    "gebürstet",
    "gekämmt",
    "gekämmte",
    "gots",
    "grade",
    "grown",
    "kämmgarn",
    "kba",
    "kbt",
    "kid",
    "langstapelig",
    "longstaple",
    "mercerised",
    "mercerisiert",
    "mercerisierte",
    "mercerized",
    "mulesingfrei",
    "natural",
    "natur",
    "naturbelassen",
    "neue",
    "neu",
    "new",
    "oder",
    "of",
    "or",
    "organic",
    "pima",
    "pure",
    "recycelt",
    "recycelte",
    "recycelter",
    "recyceltes",
    "recycled",
    "rein",
    "reine",
    "reines",
    "reiner",
    "royal",
    "soft",
    "super",
    "superfein",
    "superfine",
    "superkid",
    "suri",
    "treated",
    "ultrafine",
    "undyed",
    "ungefärbt",
    "unbleached",
    "virgin",
    "weich",
    "wild",
    "ägyptische",
    "vom",
    "von",
    "the",
    "sheep",
    "schaf",
    "nontreated",
    "mulesing",
    "free",
    "frei",
];

/// Words that only say that it is a hair or a fibre, beside its name.
const MATTER: &[&str] = &[
    "hair", "haar", "haare", "down", "flaum", "fibre", "fiber", "fibres", "fibers", "faser", "fasern",
    "fleece", "fur", "rabbit",
];

/// Short forms on labels of the trade, in small letters: those of fibres made by man are the codes of ISO 2076, the
/// others those of the German trade (all from memory).
const CODES: &[(&str, Fibre)] = &[
    ("wo", Fibre::Wool),
    ("wv", Fibre::Wool),
    ("wp", Fibre::Alpaca),
    ("wm", Fibre::Mohair),
    ("ws", Fibre::Cashmere),
    ("wa", Fibre::Angora),
    ("wk", Fibre::Camel),
    ("wl", Fibre::Llama),
    ("wy", Fibre::Yak),
    ("wg", Fibre::Vicuna),
    ("wu", Fibre::Guanaco),
    ("se", Fibre::Silk),
    ("co", Fibre::Cotton),
    ("li", Fibre::Linen),
    ("ha", Fibre::Hemp),
    ("ju", Fibre::Jute),
    ("ra", Fibre::Ramie),
    ("kp", Fibre::Kapok),
    ("cv", Fibre::Viscose),
    ("vi", Fibre::Viscose),
    ("cly", Fibre::Lyocell),
    ("cmd", Fibre::Modal),
    ("md", Fibre::Modal),
    ("cup", Fibre::Cupro),
    ("ca", Fibre::Acetate),
    ("cta", Fibre::Triacetate),
    ("pa", Fibre::Nylon),
    ("ny", Fibre::Nylon),
    ("pes", Fibre::Polyester),
    ("pl", Fibre::Polyester),
    ("pan", Fibre::Acrylic),
    ("pc", Fibre::Acrylic),
    ("mac", Fibre::Modacrylic),
    ("pp", Fibre::Polypropylene),
    ("pla", Fibre::Polylactide),
    ("el", Fibre::Elastane),
    ("ea", Fibre::Elastane),
];

/// What German labels and shops' tables call fibres: the generic names of Regulation (EU) No 1007/2011 in its German
/// edition, and words of the trade; from memory.
const GERMAN: &[(&str, Fibre)] = &[
    ("wolle", Fibre::Wool),
    ("schurwolle", Fibre::Wool),
    ("reine schurwolle", Fibre::Wool),
    ("lammwolle", Fibre::Wool),
    ("schafwolle", Fibre::Wool),
    ("wolle superwash", Fibre::SuperwashWool),
    ("schurwolle superwash", Fibre::SuperwashWool),
    ("superwash schurwolle", Fibre::SuperwashWool),
    ("merino superwash", Fibre::SuperwashWool),
    ("merinowolle superwash", Fibre::SuperwashWool),
    ("schurwolle merino superwash", Fibre::SuperwashWool),
    ("merinowolle", Fibre::Merino),
    ("schurwolle merino", Fibre::Merino),
    ("alpaka", Fibre::Alpaca),
    ("baby alpaka", Fibre::Alpaca),
    ("babyalpaka", Fibre::Alpaca),
    ("kaschmir", Fibre::Cashmere),
    ("seide", Fibre::Silk),
    ("maulbeerseide", Fibre::Silk),
    ("baumwolle", Fibre::Cotton),
    ("leinen", Fibre::Linen),
    ("flachs", Fibre::Linen),
    ("viskose", Fibre::Viscose),
    ("bambus", Fibre::Viscose),
    ("bambusviskose", Fibre::Viscose),
    ("polyamid", Fibre::Nylon),
    ("polyacryl", Fibre::Acrylic),
    ("acryl", Fibre::Acrylic),
    ("kamel", Fibre::Camel),
    ("kamelhaar", Fibre::Camel),
    ("lama", Fibre::Llama),
    ("vikunja", Fibre::Vicuna),
    ("guanako", Fibre::Guanaco),
    ("hanf", Fibre::Hemp),
    ("acetat", Fibre::Acetate),
    ("triacetat", Fibre::Triacetate),
    ("protein", Fibre::Protein),
    ("milcheiweiß", Fibre::Protein),
    ("elasthan", Fibre::Elastane),
    ("elastan", Fibre::Elastane),
    ("polypropylen", Fibre::Polypropylene),
    ("polylactid", Fibre::Polylactide),
    ("modacryl", Fibre::Modacrylic),
    ("sonstige fasern", Fibre::Other),
    ("andere fasern", Fibre::Other),
    ("schafschurwolle", Fibre::Wool),
    ("merinoschurwolle", Fibre::Merino),
    ("mohär", Fibre::Mohair),
    ("kaschgora", Fibre::Cashgora),
    ("kunstseide", Fibre::Viscose),
    ("viskose aus bambus", Fibre::Viscose),
    ("tussahseide", Fibre::Silk),
    ("wildseide", Fibre::Silk),
    ("bouretteseide", Fibre::Silk),
    ("tussah", Fibre::Silk),
    ("bourette", Fibre::Silk),
    ("echter hanf", Fibre::Hemp),
    ("büffel", Fibre::Bison),
    ("kamelflaum", Fibre::Camel),
    ("proteinfaser", Fibre::Protein),
    ("regenerierte proteinfaser", Fibre::Protein),
    ("milchprotein", Fibre::Protein),
    ("soja", Fibre::Protein),
    ("sojaprotein", Fibre::Protein),
    ("maisprotein", Fibre::Protein),
    ("kupferseide", Fibre::Cupro),
    ("polypropen", Fibre::Polypropylene),
];

/// The generic names of Regulation (EU) No 1007/2011, annex I (and ISO 2076) that are hardly met in hand-knitting
/// yarn: they are understood on a label, and nothing is known of them here.
const UNCOMMON: &[&str] = &[
    "beaver",
    "otter",
    "hair",
    "animal hair",
    "horsehair",
    "abaca",
    "alfa",
    "coir",
    "broom",
    "sisal",
    "sunn",
    "henequen",
    "maguey",
    "alginate",
    "chlorofibre",
    "fluorofibre",
    "aramid",
    "polyimide",
    "polyethylene",
    "polycarbamide",
    "polyurethane",
    "vinylal",
    "trivinyl",
    "elastodiene",
    "glass",
    "glass fibre",
    "elastomultiester",
    "elastolefin",
    "melamine",
    "metal",
    "metallic",
    "metallised fibre",
    "metallic fibre",
    "paper",
    "polyacrylate",
    "polypropylene/polyamide bicomponent",
    "kenaf",
    "raffia",
    "miscellaneous fibres",
    "textile residues",
    "biber",
    "fischotter",
    "tierhaar",
    "rinderhaar",
    "ziegenhaar",
    "hausziegenhaar",
    "rosshaar",
    "manila",
    "kokos",
    "ginster",
    "alginat",
    "polychlorid",
    "chlorofaser",
    "fluorfaser",
    "polyimid",
    "polyethylen",
    "polyharnstoff",
    "polyurethan",
    "elastodien",
    "glasfaser",
    "melamin",
    "metall",
    "metallisch",
    "metallisierte faser",
    "metallfaser",
    "metallisiertes polyester",
    "papier",
    "polyacrylat",
    "metallised polyester",
    "metallized polyester",
    "diverse faserarten",
    "sonstige",
    "fur",
    "haar",
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_are_read_with_their_synonyms() {
        assert_eq!(Fibre::from_label(" Polyamide"), Some(Fibre::Nylon));
        assert_eq!(Fibre::from_label("FLAX"), Some(Fibre::Linen));
        assert_eq!(Fibre::from_label("unobtainium"), None);
        assert_eq!(
            Fibre::from_label("Sisal"),
            Some(Fibre::Other),
            "a generic name of which nothing is known"
        );
        for fibre in Fibre::ALL {
            assert_eq!(Fibre::from_label(fibre.name()), Some(*fibre));
        }
    }

    #[test]
    fn words_that_say_how_fine_it_is_leave_the_fibre() {
        for (words, fibre) in [
            ("Merino extrafein", Fibre::Merino),
            ("extra-fine merino wool", Fibre::Merino),
            ("Virgin wool (superwash treated)", Fibre::SuperwashWool),
            ("Super-Kid-Mohair", Fibre::Mohair),
            ("Bio-Baumwolle (kbA)", Fibre::Cotton),
            ("Biobaumwolle", Fibre::Cotton),
            ("mercerised cotton", Fibre::Cotton),
            ("Yakwolle", Fibre::Yak),
            ("cashmere hair", Fibre::Cashmere),
            ("alpaca wool", Fibre::Alpaca),
            ("recyceltes Polyester", Fibre::Polyester),
            ("viscose from bamboo", Fibre::Viscose),
            ("polyamide or nylon", Fibre::Nylon),
            ("CO", Fibre::Cotton),
            ("Regenerierte Proteinfaser", Fibre::Protein),
        ] {
            assert_eq!(Fibre::from_label(words), Some(fibre), "{words}");
        }
    }

    #[test]
    fn two_fibres_or_an_unknown_word_are_no_fibre() {
        for words in ["alpaca silk", "wool moonbeam", "extra fine", "hairy", "superwash cotton", ""] {
            assert_eq!(Fibre::from_label(words), None, "{words}");
        }
    }
}
