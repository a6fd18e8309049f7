//! Fibres and what is known of them; the table is `assets/fibres.ron`.

use super::shipped::table_or_none;
use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

use super::figure::{Basis, Figure, Property};
use super::named::named_enum;

named_enum!(
    /// A fibre that yarn is spun from. Bamboo yarn is listed as viscose, which it nearly always is.
    Fibre {
        /// Untreated wool of down and crossbred sheep.
        Wool => "Wool",
        /// Wool treated so that it does not felt.
        SuperwashWool => "Superwash wool",
        /// Untreated fine wool of merino sheep.
        Merino => "Merino",
        /// Alpaca.
        Alpaca => "Alpaca",
        /// Hair of the angora goat.
        Mohair => "Mohair",
        /// Down of the cashmere goat.
        Cashmere => "Cashmere",
        /// Down of the yak.
        Yak => "Yak",
        /// Down of the musk ox.
        Qiviut => "Qiviut",
        /// Silk.
        Silk => "Silk",
        /// Cotton.
        Cotton => "Cotton",
        /// Linen (flax).
        Linen => "Linen",
        /// Viscose, from bamboo or other wood.
        Viscose => "Bamboo or other viscose",
        /// Nylon (polyamide).
        Nylon => "Nylon",
        /// Acrylic.
        Acrylic => "Acrylic",
        /// Hair of the angora rabbit.
        Angora => "Angora",
        /// Down of the camel.
        Camel => "Camel",
        /// Llama.
        Llama => "Llama",
        /// Vicuña.
        Vicuna => "Vicuña",
        /// Guanaco.
        Guanaco => "Guanaco",
        /// Hair of the cross of cashmere and angora goat.
        Cashgora => "Cashgora",
        /// Down of the American bison.
        Bison => "Bison",
        /// Down of the brushtail possum.
        Possum => "Possum",
        /// True hemp.
        Hemp => "Hemp",
        /// Ramie.
        Ramie => "Ramie",
        /// Jute.
        Jute => "Jute",
        /// Kapok.
        Kapok => "Kapok",
        /// Lyocell: cellulose spun from a solvent.
        Lyocell => "Lyocell",
        /// Modal: stronger viscose.
        Modal => "Modal",
        /// Cupro.
        Cupro => "Cupro",
        /// Cellulose acetate.
        Acetate => "Acetate",
        /// Cellulose triacetate.
        Triacetate => "Triacetate",
        /// Regenerated protein: of milk, soya, maize.
        Protein => "Protein fibre",
        /// Polyester.
        Polyester => "Polyester",
        /// Elastane.
        Elastane => "Elastane",
        /// Polypropylene.
        Polypropylene => "Polypropylene",
        /// Polylactide, of plant sugar.
        Polylactide => "Polylactide",
        /// Modacrylic.
        Modacrylic => "Modacrylic",
        /// Anything else on the label: nothing is known of it here.
        Other => "Other fibre",
    }
);

named_enum!(
    /// Where a fibre comes from.
    Origin {
        /// Hair or silk.
        Animal => "Animal",
        /// Grown.
        Plant => "Plant",
        /// Made from wood pulp.
        Regenerated => "Regenerated from plants",
        /// Made from oil.
        Synthetic => "Synthetic",
        /// Not known.
        Unknown => "Unknown",
    }
);

/// What is known of one fibre.
#[derive(Clone, Debug, PartialEq)]
pub struct FibreFacts {
    /// Where it comes from.
    pub origin: Origin,
    /// A sentence on warmth.
    pub warmth: String,
    /// The usual care in words; the label of the yarn decides.
    pub care: String,
    /// Whether that sends to the label, and so says nothing where there is none.
    pub care_by_label: bool,
    /// Allergy and safety, in words.
    pub caution: String,
    /// Whether it is hardly sold by itself as knitting yarn.
    pub only_in_blends: bool,
    /// Measured figures, then grades; a property that is not listed is unknown.
    pub figures: Vec<Figure>,
}

static UNKNOWN: FibreFacts = FibreFacts {
    origin: Origin::Unknown,
    warmth: String::new(),
    care: String::new(),
    care_by_label: false,
    caution: String::new(),
    only_in_blends: false,
    figures: Vec::new(),
};

impl Fibre {
    /// The fibres something is known of, in table order.
    pub fn known() -> impl Iterator<Item = Self> {
        Self::ALL.iter().copied().filter(|fibre| *fibre != Self::Other)
    }

    /// What is known of this fibre; for [`Fibre::Other`], nothing.
    pub fn facts(self) -> &'static FibreFacts {
        table().facts.get(&self).unwrap_or(&UNKNOWN)
    }

    /// One figure of this fibre; `None` when it is unknown.
    pub fn figure(self, property: Property) -> Option<&'static Figure> {
        self.facts().figures.iter().find(|figure| figure.property == property)
    }
}

/// Blends that are commonly sold, as (fibre, per cent) parts.
pub(super) fn common_blend_parts() -> &'static [Vec<(Fibre, f64)>] {
    &table().blends
}

/// The checked table.
#[derive(Debug, Default)]
struct Table {
    facts: BTreeMap<Fibre, FibreFacts>,
    blends: Vec<Vec<(Fibre, f64)>>,
}

fn table() -> &'static Table {
    static TABLE: LazyLock<Table> =
        LazyLock::new(|| table_or_none("fibres.ron", load(include_str!("../../assets/fibres.ron"))));
    &TABLE
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Record {
    sources: BTreeMap<String, String>,
    grade_sources: BTreeMap<Property, (Basis, String)>,
    fibres: BTreeMap<Fibre, FibreRecord>,
    blends: Vec<Vec<(Fibre, f64)>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FibreRecord {
    origin: Origin,
    warmth: String,
    care: String,
    #[serde(default)]
    care_by_label: bool,
    caution: String,
    #[serde(default)]
    only_in_blends: bool,
    figures: Vec<(Property, f64, f64, Basis, String, String)>,
    grades: Vec<(Property, f64, String)>,
}

/// What is wrong with the table of fibres.
#[derive(Debug, thiserror::Error)]
enum TableFault {
    #[error(transparent)]
    Syntax(#[from] ron::error::SpannedError),
    #[error("{0} is missing")]
    Missing(&'static str),
    #[error("{0}: {1}")]
    Row(&'static str, RowFault),
}

/// What is wrong with one fibre of the table.
#[derive(Debug, thiserror::Error)]
enum RowFault {
    #[error("{0} is a grade")]
    Grade(&'static str),
    #[error("no source called {0}")]
    NoSource(String),
    #[error("needs one grade for {0}")]
    OneGrade(&'static str),
    #[error("no source for the grade {0}")]
    NoGradeSource(&'static str),
    #[error("no reason for {0}")]
    NoReason(&'static str),
    #[error("a measured property stands among the grades")]
    NoGrade,
    #[error("{0} is out of range: {1} to {2}")]
    Range(&'static str, f64, f64),
    #[error("{0} is given twice")]
    Twice(&'static str),
}

/// Reads and checks a table of fibres; the error names the fibre and the figure.
fn load(text: &str) -> Result<Table, TableFault> {
    let record: Record = ron::from_str(text)?;
    let mut facts = BTreeMap::new();
    for fibre in Fibre::known() {
        let row = record.fibres.get(&fibre).ok_or(TableFault::Missing(fibre.name()))?;
        let checked = fibre_facts(row, &record).map_err(|fault| TableFault::Row(fibre.name(), fault))?;
        facts.insert(fibre, checked);
    }
    Ok(Table { facts, blends: record.blends })
}

fn fibre_facts(row: &FibreRecord, record: &Record) -> Result<FibreFacts, RowFault> {
    let mut figures = Vec::with_capacity(row.figures.len() + row.grades.len());
    for (property, low, high, basis, source, note) in &row.figures {
        if property.is_grade() {
            return Err(RowFault::Grade(property.name()));
        }
        let source = record.sources.get(source).ok_or_else(|| RowFault::NoSource(source.clone()))?;
        push_checked(&mut figures, (*property, *low, *high), *basis, source, note)?;
    }
    for property in Property::ALL.iter().filter(|property| property.is_grade()) {
        let mut graded = row.grades.iter().filter(|grade| grade.0 == *property);
        let (Some((_, value, why)), None) = (graded.next(), graded.next()) else {
            return Err(RowFault::OneGrade(property.name()));
        };
        let (basis, source) =
            record.grade_sources.get(property).ok_or(RowFault::NoGradeSource(property.name()))?;
        if why.is_empty() {
            return Err(RowFault::NoReason(property.name()));
        }
        push_checked(&mut figures, (*property, *value, *value), *basis, source, why)?;
    }
    if row.grades.iter().any(|grade| !grade.0.is_grade()) {
        return Err(RowFault::NoGrade);
    }
    Ok(FibreFacts {
        origin: row.origin,
        warmth: row.warmth.clone(),
        care: row.care.clone(),
        care_by_label: row.care_by_label,
        caution: row.caution.clone(),
        only_in_blends: row.only_in_blends,
        figures,
    })
}

fn push_checked(
    figures: &mut Vec<Figure>,
    (property, low, high): (Property, f64, f64),
    basis: Basis,
    source: &str,
    note: &str,
) -> Result<(), RowFault> {
    if !(0.0 <= low && low <= high && high <= property.max()) {
        return Err(RowFault::Range(property.name(), low, high));
    }
    if figures.iter().any(|figure| figure.property == property) {
        return Err(RowFault::Twice(property.name()));
    }
    figures.push(Figure { property, low, high, basis, source: source.to_owned(), note: note.to_owned() });
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = include_str!("../../assets/fibres.ron");

    #[test]
    fn the_table_is_whole_and_every_figure_has_a_source() {
        let table = load(TEXT).unwrap();
        assert_eq!(table.facts.len(), Fibre::known().count());
        for (fibre, facts) in &table.facts {
            assert!(!facts.care.is_empty() && !facts.caution.is_empty(), "{}", fibre.name());
            for figure in &facts.figures {
                assert!(figure.source.len() > 10, "{} {}", fibre.name(), figure.property.name());
            }
        }
    }

    #[test]
    fn planted_mistakes_are_found_and_named() {
        let planted = [
            ("(Density, 1.31, 1.31, Seen", "(Density, 1.31, 1.30, Seen", "Wool: Density is out of range"),
            (
                "(Density, 1.31, 1.31, Seen, \"mh-5.1\"",
                "(Density, 1.31, 1.31, Seen, \"mine\"",
                "no source called mine",
            ),
            ("(Abrasion, 0.5,", "(Abrasion, 1.5,", "out of range"),
            ("(Abrasion, 0.5,", "(Halo, 0.5,", "needs one grade for Resistance to rubbing"),
            ("(Tenacity, 0.12,", "(Density, 0.12,", "Density is given twice"),
            ("        Wool: (", "        Wol: (", "Wol"),
        ];
        for (from, to, expected) in planted {
            assert!(TEXT.contains(from), "{from}");
            let error = load(&TEXT.replacen(from, to, 1)).unwrap_err().to_string();
            assert!(error.contains(expected), "{error} does not say {expected}");
        }
    }

    #[test]
    fn what_is_unknown_stays_unknown() {
        assert_eq!(Fibre::Qiviut.figure(Property::MoistureRegain), None);
        assert_eq!(Fibre::Alpaca.figure(Property::Recovery5), None);
        assert!(Fibre::Other.facts().figures.is_empty());
        assert_eq!(Fibre::Other.facts().origin, Origin::Unknown);
    }
}
