//! Care labels by the meaning of their symbols (ISO 3758:2023); the table is `assets/care.ron`. Labels of
//! earlier editions read as they did.
//!
//! Only the meaning in words is used: the label sewn in or printed on the band always decides.

use super::shipped::table_or_none;
use crate::plain_text::quoted;
use std::sync::LazyLock;

use serde::Deserialize;
use thiserror::Error;

use super::figure::Basis;
use super::named::named_enum;

named_enum!(
    /// What a care symbol speaks of, in the order of the standard.
    CareGroup {
        /// Washing (the tub).
        Washing => "Washing",
        /// Bleaching (the triangle).
        Bleaching => "Bleaching",
        /// Tumble drying (the circle in a square).
        TumbleDrying => "Tumble drying",
        /// Natural drying (lines in a square).
        NaturalDrying => "Natural drying",
        /// Ironing (the iron).
        Ironing => "Ironing",
        /// Professional care (the circle).
        ProfessionalCare => "Professional care",
    }
);

/// A care symbol.
#[derive(Clone, Copy, Debug)]
pub struct CareSymbol(&'static CareRow);

#[derive(Debug, Deserialize)]
struct CareRow(CareGroup, String, String, Basis, String);

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct CareTable {
    source: String,
    symbols: Vec<CareRow>,
}

fn table() -> &'static CareTable {
    static TABLE: LazyLock<CareTable> =
        LazyLock::new(|| table_or_none("care.ron", ron::from_str(include_str!("../../assets/care.ron"))));
    &TABLE
}

impl PartialEq for CareSymbol {
    fn eq(&self, other: &Self) -> bool {
        self.code() == other.code() && self.group() == other.group()
    }
}

impl Eq for CareSymbol {}

impl CareSymbol {
    /// All symbols, in the order of the standard.
    pub fn all() -> impl Iterator<Item = Self> {
        table().symbols.iter().map(Self)
    }

    /// The symbol with this drawing in words, e.g. `tub 40 one bar`; also its identifier in files.
    pub fn from_code(code: &str) -> Option<Self> {
        Self::all().find(|symbol| symbol.code() == code)
    }

    /// The drawing in words.
    pub fn code(self) -> &'static str {
        &self.0.1
    }

    /// What it speaks of.
    pub const fn group(self) -> CareGroup {
        self.0.0
    }

    /// What it means, a sentence without full stop.
    pub fn meaning(self) -> &'static str {
        &self.0.2
    }

    /// Where the meaning comes from, and how firmly it stands.
    pub fn provenance(self) -> String {
        let note = if self.0.4.is_empty() { String::new() } else { format!(" ({})", self.0.4) };
        format!("{}: {}{note}", self.0.3.name(), table().source)
    }

    /// Whether it only adds to another symbol of its group (shade, no steam, mild treatment).
    pub fn is_addition(self) -> bool {
        matches!(self.code(), "plus corner stroke" | "plus crossed steam" | "bar" | "two bars")
    }

    /// Whether both cannot stand on one label.
    fn contradicts(self, other: Self) -> bool {
        let additions = (self.is_addition(), other.is_addition());
        let rivals = match additions {
            (true, true) => true,
            (false, false) => !may_stand_together(self, other),
            // Nothing is ironed without steam that is not ironed.
            (true, false) | (false, true) => {
                let barred = |symbol: Self| matches!(symbol.code(), "crossed" | "circle crossed");
                barred(self) || barred(other)
            }
        };
        self.group() == other.group() && rivals
    }
}

/// What the label allows in the wash.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum WashLimit {
    /// Not at all.
    Never,
    /// By hand.
    ByHand,
    /// In the machine.
    Machine {
        /// The hottest, in °C.
        max_celsius: u16,
        /// 2 normal, 1 mild, 0 very mild.
        agitation: u8,
    },
}

/// Why a label was refused.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum CareError {
    /// Two symbols of one group contradict each other.
    #[error("a label has one symbol for {group}, not both “{first}” and “{second}”")]
    Contradiction {
        /// The group in words.
        group: String,
        /// Meaning of the first.
        first: &'static str,
        /// Meaning of the second.
        second: &'static str,
    },
    /// An unknown drawing.
    #[error(
        "no care symbol is called “{0}”; symbols are written by their drawing, for example: tub 40 one bar"
    )]
    Unknown(String),
}

/// The care label of a yarn; empty when none is recorded.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CareLabel {
    symbols: Vec<CareSymbol>,
    /// What the card says in words for which there is no symbol.
    unread: String,
}

impl CareLabel {
    /// A label from its symbols, kept in the order of the standard.
    ///
    /// # Errors
    /// [`CareError::Contradiction`] when two symbols of one group contradict each other.
    pub fn new(symbols: impl IntoIterator<Item = CareSymbol>) -> Result<Self, CareError> {
        let mut kept: Vec<CareSymbol> = Vec::new();
        for symbol in symbols {
            if kept.contains(&symbol) {
                continue;
            }
            if let Some(rival) = kept.iter().find(|other| other.contradicts(symbol)) {
                return Err(CareError::Contradiction {
                    group: symbol.group().name().to_lowercase(),
                    first: rival.meaning(),
                    second: symbol.meaning(),
                });
            }
            kept.push(symbol);
        }
        kept.sort_by_key(|symbol| symbol.group());
        Ok(Self { symbols: kept, unread: String::new() })
    }

    /// The same label beside words that could not be read as symbols.
    #[must_use]
    pub fn with_unread(self, unread: impl Into<String>) -> Self {
        Self { unread: unread.into(), ..self }
    }

    /// The same words and additions with other symbols.
    ///
    /// # Errors
    /// As [`Self::new`].
    pub fn with_symbols(&self, symbols: impl IntoIterator<Item = CareSymbol>) -> Result<Self, CareError> {
        Ok(Self::new(symbols)?.with_unread(self.unread.clone()))
    }

    /// The words that could not be read as symbols, as they were written; empty when there are none.
    pub fn unread(&self) -> &str {
        &self.unread
    }

    /// These words with the caution that belongs to them.
    pub fn unread_words(&self) -> Option<String> {
        (!self.unread.is_empty()).then(|| format!("“{}”: see the label.", quoted(&self.unread)))
    }

    /// All it says, in a line.
    pub fn told(&self) -> String {
        let symbols = self.words().join(". ");
        let symbols = Some(symbols + ".").filter(|_| !self.symbols.is_empty());
        symbols.into_iter().chain(self.unread_words()).collect::<Vec<_>>().join(" ")
    }

    /// Roughly the memory it holds beyond its own size, in bytes.
    pub fn bytes(&self) -> usize {
        size_of_val(self.symbols()) + self.unread.len()
    }

    /// A label from the drawings in words.
    ///
    /// # Errors
    /// [`CareError`] for an unknown drawing, or what [`Self::new`] refuses.
    pub fn from_codes<'a>(codes: impl IntoIterator<Item = &'a str>) -> Result<Self, CareError> {
        let symbol = |code: &str| CareSymbol::from_code(code).ok_or_else(|| CareError::Unknown(quoted(code)));
        codes.into_iter().map(symbol).collect::<Result<Vec<_>, _>>().and_then(Self::new)
    }

    /// The symbols, in the order of the standard.
    pub fn symbols(&self) -> &[CareSymbol] {
        &self.symbols
    }

    /// What the label allows in the wash; `None` when it does not say.
    pub fn wash_limit(&self) -> Option<WashLimit> {
        let code = self.symbols.iter().find(|symbol| symbol.group() == CareGroup::Washing)?.code();
        let words: Vec<&str> = code.split(' ').collect();
        match words.as_slice() {
            [_, "crossed"] => Some(WashLimit::Never),
            [_, "hand", ..] => Some(WashLimit::ByHand),
            [_, celsius, bars @ ..] => {
                let agitation = match bars {
                    [] => 2,
                    ["one", ..] => 1,
                    _ => 0,
                };
                Some(WashLimit::Machine { max_celsius: celsius.parse().ok()?, agitation })
            }
            _ => None,
        }
    }

    /// Whether a machine wash is allowed; `None` when the label does not say.
    pub fn machine_wash(&self) -> Option<bool> {
        self.wash_limit().map(|limit| matches!(limit, WashLimit::Machine { .. }))
    }

    /// What the label says of each group, in the order of the standard; groups it does not speak of are left out.
    pub fn by_group(&self) -> Vec<(CareGroup, Vec<&'static str>)> {
        let groups = self.symbols.chunk_by(|a, b| a.group() == b.group());
        groups.map(|of| (of[0].group(), of.iter().map(|symbol| symbol.meaning()).collect())).collect()
    }

    /// The label in words, one sentence without full stop per symbol.
    pub fn words(&self) -> Vec<&'static str> {
        self.symbols.iter().map(|symbol| symbol.meaning()).collect()
    }
}

/// A label may show a professional dry clean and a wet clean side by side.
fn may_stand_together(a: CareSymbol, b: CareSymbol) -> bool {
    a.group() == CareGroup::ProfessionalCare && (a.code() == "circle W") != (b.code() == "circle W")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn label(codes: &[&str]) -> CareLabel {
        CareLabel::from_codes(codes.iter().copied()).unwrap()
    }

    #[test]
    fn the_table_is_whole_and_codes_are_unique() {
        let table: CareTable = ron::from_str(include_str!("../../assets/care.ron")).unwrap();
        assert_eq!(table.symbols.len(), 37);
        for (index, row) in table.symbols.iter().enumerate() {
            assert!(!row.2.is_empty());
            // "three dots", "crossed": the same drawing words in two groups would be ambiguous.
            assert!(table.symbols[..index].iter().all(|other| other.1 != row.1), "{} twice", row.1);
        }
        for group in CareGroup::ALL {
            assert!(table.symbols.iter().any(|row| row.0 == *group));
        }
    }

    #[test]
    fn a_label_reads_in_the_order_of_the_standard() {
        let label = label(&["square horizontal line", "tub 30 one bar", "triangle crossed"]);
        assert_eq!(label.words(), ["Machine wash at most 30 °C, mild cycle", "Do not bleach", "Dry flat"]);
        assert_eq!(label.machine_wash(), Some(true));
        assert_eq!(label.wash_limit(), Some(WashLimit::Machine { max_celsius: 30, agitation: 1 }));
    }

    #[test]
    fn limits_are_ordered_from_never_to_hot() {
        let limit = |code| label(&[code]).wash_limit().unwrap();
        let order = ["tub crossed", "tub hand", "tub 30 two bars", "tub 30", "tub 40 one bar", "tub 95"];
        assert!(order.windows(2).all(|pair| limit(pair[0]) < limit(pair[1])));
        assert_eq!(CareLabel::default().wash_limit(), None);
        assert_eq!(label(&["tub hand"]).machine_wash(), Some(false));
    }

    #[test]
    fn contradictions_and_unknown_drawings_are_refused_in_words() {
        let error = |codes: &[&str]| CareLabel::from_codes(codes.iter().copied()).unwrap_err().to_string();
        assert_eq!(
            error(&["tub 30", "tub hand"]),
            "a label has one symbol for washing, not both “Machine wash at most 30 °C, normal cycle” and “Wash by hand, at most 40 °C”"
        );
        assert!(error(&["tub 37"]).contains("“tub 37”"));
        // Repeats, additions and wet beside dry cleaning are no contradiction.
        assert_eq!(label(&["tub 30", "tub 30"]).symbols().len(), 1);
        assert_eq!(label(&["square horizontal line", "plus corner stroke"]).symbols().len(), 2);
        assert_eq!(label(&["circle P", "bar", "circle W"]).symbols().len(), 3);
        assert_eq!(label(&["one dot", "plus crossed steam"]).words()[1], "Iron without steam");
        assert!(error(&["crossed", "plus crossed steam"]).contains("one symbol for ironing"));
        assert!(error(&["circle P", "bar", "two bars"]).contains("very mild"));
        // New in 2023: by hand at ambient temperature.
        assert_eq!(label(&["tub hand one bar"]).wash_limit(), Some(WashLimit::ByHand));
    }

    #[test]
    fn what_is_from_memory_says_so() {
        let hand = CareSymbol::from_code("tub hand").unwrap();
        assert!(hand.provenance().starts_with("from memory: ISO 3758"), "{}", hand.provenance());
    }
}
