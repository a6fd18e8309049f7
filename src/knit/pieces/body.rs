//! Body measurements and the published tables they come from.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;
use thiserror::Error;

use crate::units::CM_PER_INCH;
use crate::yarn::Basis;

/// A measurement of the body that a piece can follow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
pub enum Measure {
    /// Girth of the chest or bust.
    Chest,
    /// Girth of the waist.
    Waist,
    /// Girth of the hip.
    Hip,
    /// Back of the neck to the waist.
    BackWaist,
    /// Back of the neck to the hip.
    BackHip,
    /// Shoulder to shoulder across the back.
    CrossBack,
    /// Wrist to underarm.
    Arm,
    /// Girth of the upper arm.
    UpperArm,
    /// Depth of the armhole, straight.
    Armhole,
    /// Girth of the head.
    Head,
    /// Girth of the hand over the knuckles, without the thumb.
    Hand,
    /// Wrist to the tip of the middle finger.
    HandLength,
    /// Girth of the foot at the ball.
    Foot,
    /// Heel to the tip of the longest toe.
    FootLength,
    /// Girth of the wrist.
    Wrist,
    /// Girth of the hand with the thumb laid into the palm: what a cuff must let through.
    HandPassage,
    /// Girth of the neck where it meets the shoulders.
    NeckBase,
    /// Girth round both shoulders and upper arms: what a yoke must reach round.
    ShoulderGirth,
    /// Smallest girth above the ankle.
    Ankle,
    /// Girth round heel and instep on the diagonal: what a sock's leg must let through.
    Heel,
}

impl Measure {
    /// All measurements, in the order they are shown.
    pub const ALL: [Self; 20] = [
        Self::Chest,
        Self::Waist,
        Self::Hip,
        Self::BackWaist,
        Self::BackHip,
        Self::CrossBack,
        Self::Arm,
        Self::UpperArm,
        Self::Armhole,
        Self::Head,
        Self::Hand,
        Self::HandLength,
        Self::Foot,
        Self::FootLength,
        Self::Wrist,
        Self::HandPassage,
        Self::NeckBase,
        Self::ShoulderGirth,
        Self::Ankle,
        Self::Heel,
    ];

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Chest => "Chest",
            Self::Waist => "Waist",
            Self::Hip => "Hip",
            Self::BackWaist => "Back to waist",
            Self::BackHip => "Back to hip",
            Self::CrossBack => "Cross back",
            Self::Arm => "Arm to underarm",
            Self::UpperArm => "Upper arm",
            Self::Armhole => "Armhole depth",
            Self::Head => "Head",
            Self::Hand => "Hand",
            Self::HandLength => "Hand length",
            Self::Foot => "Foot",
            Self::FootLength => "Foot length",
            Self::Wrist => "Wrist",
            Self::HandPassage => "Hand with thumb",
            Self::NeckBase => "Neck base",
            Self::ShoulderGirth => "Round the shoulders",
            Self::Ankle => "Ankle",
            Self::Heel => "Round the heel",
        }
    }
}

/// Measurements of one wearer, in cm; those not known are absent.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Body {
    cm: [Option<f64>; Measure::ALL.len()],
}

impl Body {
    /// Longest accepted measurement, in cm.
    pub const MAX_CM: f64 = 400.0;

    /// A measurement in cm, when it is known.
    pub const fn get(&self, measure: Measure) -> Option<f64> {
        self.cm[measure as usize]
    }

    /// Sets or clears a measurement, pulled into `0..=400` cm; what is not a number clears it.
    pub fn set(&mut self, measure: Measure, cm: Option<f64>) {
        self.cm[measure as usize] = cm.filter(|v| v.is_finite()).map(|v| v.clamp(0.0, Self::MAX_CM));
    }

    /// The measurements that are known, in the order of [`Measure::ALL`].
    pub fn known(&self) -> impl Iterator<Item = (Measure, f64)> + '_ {
        Measure::ALL.into_iter().filter_map(|measure| Some((measure, self.get(measure)?)))
    }
}

/// Why the size table in the program could not be read: a mistake of ours, never of the knitter's.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
#[error("the table of body sizes cannot be read: {0}")]
pub struct TableError(String);

/// A size of a published table.
#[derive(Clone, Debug, PartialEq)]
pub struct TableSize {
    /// Letter or number, as published.
    pub name: String,
    /// The middle of each published range, in cm.
    pub body: Body,
    /// Measurements that the source does not give, read off another group at the same chest.
    pub filled: Vec<Measure>,
    /// Whether the source's table ends before this size and its steps were carried on.
    pub carried_on: bool,
}

/// Where some measurements of a group come from, when not from its source.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Measured {
    /// The measurements.
    pub measures: Vec<Measure>,
    /// How firmly they stand.
    pub basis: Basis,
    /// Where they come from, and how.
    pub source: String,
}

/// The sizes of one kind of wearer.
#[derive(Clone, Debug, PartialEq)]
pub struct SizeGroup {
    /// Who or what it measures.
    pub name: String,
    /// Where the figures come from.
    pub source: String,
    /// Whether they were read in the source or are from memory.
    pub basis: String,
    /// Measurements that come from elsewhere.
    pub measured: Vec<Measured>,
    /// Smallest first.
    pub sizes: Vec<TableSize>,
}

impl SizeGroup {}

/// How much wider than the body a garment is meant to be.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fit {
    /// Name in the published fit chart.
    pub name: String,
    /// Least ease in inches; `None` is open.
    pub from: Option<f64>,
    /// Most ease in inches; `None` is open.
    pub to: Option<f64>,
    /// The ease taken when only the fit is chosen, in inches.
    usual: f64,
}

impl Fit {
    /// The ease taken when only the fit is chosen, in cm.
    pub const fn usual_cm(&self) -> f64 {
        self.usual * CM_PER_INCH
    }

    /// The same for a child, in cm: the least of the fit, because the published fits are an adult's and a child's
    /// chest is about two thirds as wide (common practice, no published source).
    pub fn usual_child_cm(&self) -> f64 {
        self.from.map_or(self.usual, |from| from.min(self.usual)) * CM_PER_INCH
    }
}

/// The published sizes and fits the program offers.
#[derive(Clone, Debug, PartialEq)]
pub struct SizeTable {
    /// Groups of sizes.
    pub groups: Vec<SizeGroup>,
    /// Fits, closest first.
    pub fits: Vec<Fit>,
    /// Where the fits come from.
    pub fits_source: String,
}

impl SizeTable {
    /// The table that comes with the program.
    ///
    /// # Errors
    /// [`TableError`] when the shipped asset is damaged; a test makes sure that it is not.
    pub fn shipped() -> Result<&'static Self, TableError> {
        static TABLE: LazyLock<Result<SizeTable, TableError>> =
            LazyLock::new(|| SizeTable::parse(include_str!("../../../assets/body_sizes.ron")));
        TABLE.as_ref().map_err(Clone::clone)
    }

    /// A group by its name.
    pub fn group(&self, name: &str) -> Option<&SizeGroup> {
        self.groups.iter().find(|group| group.name == name)
    }

    fn parse(text: &str) -> Result<Self, TableError> {
        let record: TableRecord = ron::from_str(text).map_err(|e| TableError(e.to_string()))?;
        let mut groups: Vec<SizeGroup> = Vec::with_capacity(record.groups.len());
        for group in record.groups {
            let lender = group.filled_from.as_deref();
            let lender = lender.and_then(|name| groups.iter().find(|g| g.name == name)).cloned();
            groups.push(group.into_group(lender.as_ref()));
        }
        Ok(Self { groups, fits: record.fits, fits_source: record.fits_source })
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TableRecord {
    groups: Vec<GroupRecord>,
    fits: Vec<Fit>,
    fits_source: String,
}

#[derive(Clone, Copy, Deserialize)]
enum TableUnit {
    Inches,
    Centimetres,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct GroupRecord {
    name: String,
    unit: TableUnit,
    source: String,
    basis: String,
    hip_below_waist: Option<f64>,
    filled_from: Option<String>,
    #[serde(default)]
    measured: Vec<Measured>,
    sizes: Vec<SizeRecord>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SizeRecord {
    name: String,
    /// Published ranges; both ends are the same where one figure is given.
    ranges: BTreeMap<Measure, (f64, f64)>,
    /// Single figures in cm.
    #[serde(default)]
    cm: BTreeMap<Measure, f64>,
    #[serde(default)]
    carried_on: bool,
}

impl GroupRecord {
    fn into_group(self, lender: Option<&SizeGroup>) -> SizeGroup {
        let factor = match self.unit {
            TableUnit::Inches => CM_PER_INCH,
            TableUnit::Centimetres => 1.0,
        };
        let size = |record: SizeRecord| {
            let mut body = Body::default();
            for (measure, (from, to)) in record.ranges {
                body.set(measure, Some(f64::midpoint(from, to) * factor));
            }
            for (measure, cm) in record.cm {
                body.set(measure, Some(cm));
            }
            if let (Some(waist), Some(drop)) = (body.get(Measure::BackWaist), self.hip_below_waist) {
                body.set(Measure::BackHip, Some(waist + drop * factor));
            }
            let filled = lender.map_or_else(Vec::new, |group| fill(&mut body, group));
            TableSize { name: record.name, body, filled, carried_on: record.carried_on }
        };
        let sizes: Vec<TableSize> = self.sizes.into_iter().map(size).collect();
        let lent = |note: &Measured| note.measures.iter().any(|m| sizes.iter().any(|s| s.filled.contains(m)));
        let lent = lender.into_iter().flat_map(|group| &group.measured).filter(|note| lent(note)).cloned();
        let measured = self.measured.into_iter().chain(lent).collect();
        SizeGroup { name: self.name, source: self.source, basis: self.basis, measured, sizes }
    }
}

/// Reads what `body` lacks off `group` at the same chest, straight between two sizes and level beyond
/// the ends; returns what was read.
fn fill(body: &mut Body, group: &SizeGroup) -> Vec<Measure> {
    let Some(chest) = body.get(Measure::Chest) else { return Vec::new() };
    let missing: Vec<Measure> = Measure::ALL.into_iter().filter(|m| body.get(*m).is_none()).collect();
    let mut filled = Vec::new();
    for measure in missing {
        let points: Vec<(f64, f64)> = group
            .sizes
            .iter()
            .filter_map(|size| Some((size.body.get(Measure::Chest)?, size.body.get(measure)?)))
            .collect();
        if let Some(cm) = read_off(&points, chest) {
            body.set(measure, Some(cm));
            filled.push(measure);
        }
    }
    filled
}

/// Linear reading of `points` (x rising) at `x`, level beyond the ends.
fn read_off(points: &[(f64, f64)], x: f64) -> Option<f64> {
    let (first, last) = (points.first()?, points.last()?);
    if x <= first.0 {
        return Some(first.1);
    }
    let between = points.windows(2).find(|pair| x <= pair[1].0);
    Some(between.map_or(last.1, |pair| {
        let (a, b) = (pair[0], pair[1]);
        a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0)
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shipped_table_reads_and_every_group_has_sizes_in_order() {
        let table = SizeTable::shipped().unwrap();
        assert!(table.groups.len() >= 8);
        for group in &table.groups {
            assert!(group.sizes.len() >= 3 && !group.source.is_empty() && !group.basis.is_empty());
            for measure in [Measure::Chest, Measure::Head, Measure::Hand, Measure::Foot] {
                let girths: Vec<f64> = group.sizes.iter().filter_map(|s| s.body.get(measure)).collect();
                assert!(girths.is_sorted(), "{} {}", group.name, measure.name());
            }
        }
    }

    #[test]
    fn every_wearer_from_four_years_on_has_what_openings_must_let_through() {
        let table = SizeTable::shipped().unwrap();
        let needed = [
            Measure::Head,
            Measure::NeckBase,
            Measure::ShoulderGirth,
            Measure::Hand,
            Measure::HandPassage,
            Measure::Wrist,
            Measure::Foot,
            Measure::Ankle,
            Measure::Heel,
        ];
        for (group, from) in [("Woman", 0), ("Man", 0), ("Child", 1), ("Youth", 0)] {
            let group = table.group(group).unwrap();
            for size in &group.sizes[from..] {
                let cm = |measure: Measure| size.body.get(measure).unwrap();
                for measure in needed {
                    assert!(cm(measure) > 5.0);
                }
                assert!(cm(Measure::Head) > cm(Measure::NeckBase), "{} {}", group.name, size.name);
                assert!(
                    cm(Measure::HandPassage) > cm(Measure::Hand) && cm(Measure::Hand) > cm(Measure::Wrist)
                );
                assert!(cm(Measure::Heel) > cm(Measure::Foot) && cm(Measure::Foot) > cm(Measure::Ankle));
                assert!(cm(Measure::ShoulderGirth) > cm(Measure::NeckBase));
            }
        }
        for name in ["Woman", "Man"] {
            assert_eq!(table.group(name).unwrap().sizes.last().unwrap().name, "5X");
        }
        assert!(table.group("Man").unwrap().sizes.last().unwrap().carried_on);
    }

    #[test]
    fn letter_codes_take_the_rest_from_the_full_table_and_say_so() {
        let table = SizeTable::shipped().unwrap();
        let medium =
            table.group("Woman, letter codes").unwrap().sizes.iter().find(|s| s.name == "M").unwrap();
        assert_eq!(medium.body.get(Measure::Chest), Some(94.0));
        assert!(medium.filled.contains(&Measure::UpperArm));
        // 94 cm lies at the middle of the full table's M (93.98 cm), whose upper arm is 11 in.
        assert!((medium.body.get(Measure::UpperArm).unwrap() - 27.94).abs() < 0.1);
    }

    #[test]
    fn reading_off_stays_level_beyond_the_ends() {
        let points = [(10.0, 1.0), (20.0, 3.0)];
        assert_eq!(read_off(&points, 5.0), Some(1.0));
        assert_eq!(read_off(&points, 15.0), Some(2.0));
        assert_eq!(read_off(&points, 25.0), Some(3.0));
        assert_eq!(read_off(&[], 1.0), None);
    }

    #[test]
    fn a_measurement_that_is_no_number_is_not_known() {
        let mut body = Body::default();
        body.set(Measure::Head, Some(f64::NAN));
        assert_eq!(body.get(Measure::Head), None);
        body.set(Measure::Head, Some(1e9));
        assert_eq!(body.get(Measure::Head), Some(Body::MAX_CM));
    }
}
