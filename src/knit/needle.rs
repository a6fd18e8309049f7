//! Knitting needle sizes; the table is `assets/needles.ron`.

use crate::yarn::table_or_none;
use std::sync::LazyLock;

use serde::Deserialize;

use crate::yarn::Basis;

#[derive(Debug, Deserialize)]
struct NeedleRow(f64, String, String, Basis, String);

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct NeedleTable {
    source: String,
    needles: Vec<NeedleRow>,
}

fn table() -> &'static NeedleTable {
    static TABLE: LazyLock<NeedleTable> = LazyLock::new(|| {
        table_or_none("needles.ron", ron::from_str(include_str!("../../assets/needles.ron")))
    });
    &TABLE
}

/// A needle size that is made.
#[derive(Clone, Copy, Debug)]
pub struct Needle(&'static NeedleRow);

impl PartialEq for Needle {
    fn eq(&self, other: &Self) -> bool {
        self.mm() == other.mm()
    }
}

impl Needle {
    /// All sizes, thinnest first.
    pub fn all() -> impl DoubleEndedIterator<Item = Self> {
        table().needles.iter().map(Self)
    }

    /// The size nearest to a diameter in mm.
    pub fn nearest(mm: f64) -> Option<Self> {
        let distance = |needle: &Self| (needle.mm() - mm).abs();
        Self::all().min_by(|a, b| distance(a).total_cmp(&distance(b)))
    }

    /// The next thicker size than a diameter in mm.
    pub fn next_up(mm: f64) -> Option<Self> {
        Self::all().find(|needle| needle.mm() > mm + 1e-9)
    }

    /// The next thinner size than a diameter in mm.
    pub fn next_down(mm: f64) -> Option<Self> {
        Self::all().rev().find(|needle| needle.mm() < mm - 1e-9)
    }

    /// Diameter in mm.
    pub const fn mm(self) -> f64 {
        self.0.0
    }

    /// Number in the United States, when there is one on most charts.
    pub fn us(self) -> Option<&'static str> {
        Some(self.0.1.as_str()).filter(|us| !us.is_empty())
    }

    /// Old number in the United Kingdom, when there is one.
    pub fn old_uk(self) -> Option<&'static str> {
        Some(self.0.2.as_str()).filter(|uk| !uk.is_empty())
    }

    /// All that is printed on it: `4 mm (US 6, old UK 8)`.
    pub fn name(self) -> String {
        let numbers =
            [self.us().map(|us| format!("US {us}")), self.old_uk().map(|uk| format!("old UK {uk}"))];
        match numbers.into_iter().flatten().collect::<Vec<_>>().join(", ") {
            none if none.is_empty() => format!("{} mm", self.mm()),
            numbers => format!("{} mm ({numbers})", self.mm()),
        }
    }

    /// Where the numbers come from, and where charts differ.
    pub fn provenance(self) -> String {
        let note = if self.0.4.is_empty() { String::new() } else { format!(" ({})", self.0.4) };
        format!("{}: {}{note}", self.0.3.name(), table().source)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_parses_and_rises() {
        let table: NeedleTable = ron::from_str(include_str!("../../assets/needles.ron")).unwrap();
        assert!(table.needles.windows(2).all(|pair| pair[0].0 < pair[1].0));
        assert_eq!(Needle::all().count(), table.needles.len());
    }

    #[test]
    fn neighbours_are_found_also_between_sizes_and_at_the_ends() {
        let mm = |needle: Option<Needle>| needle.map(Needle::mm);
        assert_eq!((mm(Needle::next_down(4.0)), mm(Needle::next_up(4.0))), (Some(3.75), Some(4.5)));
        assert_eq!((mm(Needle::next_down(3.9)), mm(Needle::next_up(3.9))), (Some(3.75), Some(4.0)));
        assert_eq!((mm(Needle::next_down(1.5)), mm(Needle::next_up(25.0))), (None, None));
        assert_eq!(mm(Needle::nearest(3.9)), Some(4.0));
        assert_eq!(Needle::nearest(4.0).unwrap().name(), "4 mm (US 6, old UK 8)");
        assert_eq!(Needle::nearest(7.5).unwrap().name(), "7.5 mm (old UK 1)");
    }
}
