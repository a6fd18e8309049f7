//! Strands that travel too far.

use rayon::prelude::*;

use super::super::model::Project;
use super::super::palette::Palette;
use super::places::{Rows, colour, stitches};
use super::{Finding, FindingKind, MOST_OF_A_KIND, Severity, capped};
use crate::chart::{
    Catch, Cell, Float, Rect, RepeatHow, RowFacts, RowMark, catches_in, catches_in_row, long_floats_in_row,
};
use crate::knit::{Construction, Technique};
use crate::units::{Gauge, LengthUnit, both_lengths};

/// A long float and the row of the repeat it is in.
type Found = (u32, Float);

/// The same float in one or more rows.
#[derive(Clone, Debug, PartialEq)]
struct Group {
    float: Float,
    /// The first row of the repeat it is in.
    row: u32,
    rows: Rows,
    count: usize,
}

/// Floats over the limit, the longest first: the same float in several rows is one finding.
pub(super) fn long_floats(project: &Project, rows: &[RowFacts], memo: &mut FloatRows) -> Vec<Finding> {
    let limit = project.plan.float_limit.in_stitches(project.plan.gauge);
    let groups = longest_groups(project, rows, memo);
    let all: usize = rows.iter().map(|row| row.floats.len()).sum();
    let listed: usize = groups.iter().map(|group| group.count).sum();
    let findings = memo.said.of(project, groups, limit);
    capped(findings, all - listed, FindingKind::LongFloat)
}

/// Every float over the limit, by rows from the bottom.
fn all_long(project: &Project) -> Vec<Found> {
    let limit = project.plan.float_limit.in_stitches(project.plan.gauge);
    let wraps = project.repeats_side_by_side();
    let of_row = |row| {
        let floats = long_floats_in_row(project.repeat_row(row), wraps, limit);
        floats.into_iter().map(move |float| (row, float))
    };
    (0..project.chart.repeat().height).into_par_iter().flat_map_iter(of_row).collect()
}

impl Project {
    /// How many floats of one repeat are over the limit, whatever the findings have room for; none when the
    /// colours are not stranded.
    pub fn long_float_count(&self) -> usize {
        if self.plan.technique == Technique::Stranded { all_long(self).len() } else { 0 }
    }

    /// Where the long floats of chart row `y` (from 0 at the bottom) are caught, in columns of the chart; none
    /// outside the repeat box or when the colours are not stranded.
    pub fn catches_in_row(&self, y: u32) -> Vec<Catch> {
        let repeat = self.chart.repeat();
        if self.plan.technique != Technique::Stranded || y < repeat.y {
            return Vec::new();
        }
        let limit = self.plan.float_limit.in_stitches(self.plan.gauge);
        let catches = catches_in_row(self.repeat_row(y - repeat.y), self.repeats_side_by_side(), limit);
        catches.into_iter().map(|catch| Catch { column: repeat.x + catch.column, ..catch }).collect()
    }
}

/// Which rows of the repeat have a part in each of the listed floats: kept from one state of the chart to the next, so
/// that only rows that changed are asked, and of a float that is newly listed, all.
#[derive(Debug, Default)]
pub(super) struct FloatRows {
    how: Option<RepeatHow>,
    marks: Vec<Option<RowMark>>,
    /// Each with a bit a row.
    listed: Vec<(Float, Vec<u64>)>,
    said: Said,
}

/// What was said of the listed floats: words take longer than the floats themselves, and a painted stitch leaves
/// most of them as they were.
#[derive(Debug, Default)]
struct Said {
    of: Option<SaidOf>,
    /// Each with the mark of its first row.
    findings: Vec<(Group, Option<RowMark>, Finding)>,
}

/// What the words of all floats rest on beside their rows: how the chart is repeated, the gauge, the units, rounds or
/// turned rows, and the stitches of a row of the chart; and the palette.
type SaidOf = ((RepeatHow, Gauge, LengthUnit, Construction, u32), Palette);

impl Said {
    /// What is to be said of each group.
    fn of(&mut self, project: &Project, groups: Vec<Group>, limit: u32) -> Vec<Finding> {
        let (plan, grid) = (&project.plan, &project.chart.grid);
        let how = project.repeat_how();
        let of = (how, plan.gauge, project.units, plan.construction, grid.width());
        if self.of.as_ref().is_none_or(|(known, palette)| *known != of || *palette != project.palette) {
            *self = Self { of: Some((of, project.palette.clone())), findings: Vec::new() };
        }
        let known = std::mem::take(&mut self.findings);
        let said = |group: Group| {
            let mark = grid.row_mark(how.repeat.y + group.row);
            let same = known.iter().find(|(old, of, _)| *of == mark && *old == group);
            let finding =
                same.map_or_else(|| finding(project, &group, limit), |(_, _, finding)| finding.clone());
            (group, mark, finding)
        };
        self.findings = groups.into_iter().map(said).collect();
        self.findings.iter().map(|(_, _, finding)| finding.clone()).collect()
    }
}

/// Whether row `row` has a part in a float.
fn has(rows: &[RowFacts], row: usize, float: &Float) -> bool {
    let order = |own: &Float| (own.start, own.slot);
    rows.get(row).filter(|facts| facts.longest_float >= float.length).is_some_and(|facts| {
        let place = facts.floats.binary_search_by_key(&order(float), order);
        place.is_ok_and(|place| facts.floats[place] == *float)
    })
}

impl FloatRows {
    /// Asks the rows that changed for the floats that were listed.
    fn refresh(&mut self, how: RepeatHow, marks: Vec<Option<RowMark>>, rows: &[RowFacts]) {
        if self.how != Some(how) || self.marks.len() != marks.len() {
            *self = Self { how: Some(how), marks, ..Self::default() };
            return;
        }
        let pairs = self.marks.iter().zip(&marks).enumerate();
        for (row, _) in pairs.filter(|(_, (old, new))| old != new) {
            let (word, bit) = (row / 64, 1 << (row % 64));
            for (float, bits) in &mut self.listed {
                bits[word] = if has(rows, row, float) { bits[word] | bit } else { bits[word] & !bit };
            }
        }
        self.marks = marks;
    }

    /// What a float must be longer than to be listed: when all that were listed before are still there, shorter ones
    /// have no place.
    fn floor(&self) -> u32 {
        let are_there = self.listed.iter().all(|(_, bits)| bits.iter().any(|bits| *bits != 0));
        let shortest = self.listed.iter().map(|(float, _)| float.length).min();
        let full = self.listed.len() == MOST_OF_A_KIND && are_there;
        shortest.filter(|_| full).map_or(0, |shortest| shortest - 1)
    }

    /// The rows of each of `listed`, a bit a row, the lowest first.
    fn of(&mut self, listed: &[Float], rows: &[RowFacts]) -> &[(Float, Vec<u64>)] {
        let mut known = std::mem::take(&mut self.listed);
        let bits = |float: &Float| {
            if let Some(place) = known.iter().position(|(own, _)| own == float) {
                return known.swap_remove(place).1;
            }
            let word = |first: usize| {
                let own = (first..rows.len().min(first + 64)).filter(|row| has(rows, *row, float));
                own.fold(0, |bits, row| bits | 1 << (row - first))
            };
            (0..rows.len()).step_by(64).map(word).collect()
        };
        self.listed = listed.iter().copied().zip(listed.iter().map(bits).collect::<Vec<_>>()).collect();
        &self.listed
    }
}

/// The first [`MOST_OF_A_KIND`] different floats, the longest first, then from the bottom row up, each
/// with all its rows.
fn longest_groups(project: &Project, rows: &[RowFacts], memo: &mut FloatRows) -> Vec<Group> {
    let bottom = project.chart.repeat().y;
    let marks = (bottom..).take(rows.len()).map(|y| project.chart.grid.row_mark(y)).collect();
    memo.refresh(project.repeat_how(), marks, rows);
    let mut groups: Vec<Group> = Vec::new();
    // Rows come from the bottom up, so that of equally long floats the first has its place already.
    let mut shortest = memo.floor();
    for (row, facts) in (0..).zip(rows) {
        if facts.longest_float <= shortest {
            continue;
        }
        for float in &facts.floats {
            if float.length > shortest && !groups.iter().any(|group| group.float == *float) {
                let place = groups.partition_point(|group| group.float.length >= float.length);
                groups.insert(place, Group { float: *float, row, rows: Rows::default(), count: 0 });
                groups.truncate(MOST_OF_A_KIND);
                if groups.len() == MOST_OF_A_KIND {
                    shortest = groups.last().map_or(0, |last| last.float.length);
                }
            }
        }
    }
    let listed: Vec<Float> = groups.iter().map(|group| group.float).collect();
    for (group, (_, bits)) in groups.iter_mut().zip(memo.of(&listed, rows)) {
        for (word, bits) in (0..).zip(bits) {
            let mut left = *bits;
            group.count += left.count_ones() as usize;
            while left > 0 {
                group.rows.push(bottom + 64 * word + left.trailing_zeros());
                left &= left - 1;
            }
        }
    }
    groups
}

fn finding(project: &Project, group: &Group, limit: u32) -> Finding {
    let float = group.float;
    let plan = &project.plan;
    let width = project.chart.grid.width();
    let [to_end, from_start] = parts(project, group.row, float);
    let number = |part: Rect| stitches(part.x, part.x + part.width, width);
    let (place, where_) = if from_start.is_empty() {
        (to_end, number(to_end))
    } else {
        // The piece is worked from the right, so the left end of the chart comes first.
        let end = match plan.construction {
            Construction::InTheRound => "round",
            Construction::Flat => "repeat",
        };
        let longer = if from_start.width > to_end.width { from_start } else { to_end };
        let words = format!("{} and {}, across the end of the {end}", number(from_start), number(to_end));
        (longer, words)
    };
    let catches = match catches_in(float.length, limit) {
        0 | 1 => "Catch it once on the way".to_owned(),
        times => format!("Catch it {times} times on the way"),
    };
    let cm = f64::from(float.length) * plan.gauge.stitch_width_cm();
    let message = format!(
        "{}, stitches {where_}: {} floats behind {} stitches, {}; the limit is {limit}. {catches}, or break \
         the run.",
        group.rows.words(),
        colour(project, float.slot),
        float.length,
        both_lengths(cm, project.units),
    );
    Finding {
        kind: FindingKind::LongFloat,
        // A float that needs more than one catch shows on the right side and stiffens the fabric.
        severity: if float.length > 2 * limit { Severity::Problem } else { Severity::Warning },
        place: Some(place),
        slots: vec![float.slot],
        length: Some(float.length),
        told: String::new(),
        message,
    }
}

/// The columns of a float in a row of the repeat, on the chart: up to the end of the repeat, and from its
/// start where it goes on there, else empty.
fn parts(project: &Project, row: u32, float: Float) -> [Rect; 2] {
    let repeat = project.chart.repeat();
    let span = columns(project.repeat_row(row), float);
    let part = |from: u32, to: u32| Rect::new(repeat.x + from, repeat.y + row, to - from, 1);
    let to_end = part(float.start, (float.start + span).min(repeat.width));
    [to_end, part(0, (float.start + span).saturating_sub(repeat.width).min(float.start))]
}

/// Where the float of a finding lies, in all its rows.
pub(super) fn places(project: &Project, finding: &Finding) -> Vec<Rect> {
    let Some(place) = finding.place else { return Vec::new() };
    let all = all_long(project);
    let here = |(row, float): &&Found| {
        Some(float.length) == finding.length
            && finding.slots == [float.slot]
            && parts(project, *row, *float).contains(&place)
    };
    let Some((_, float)) = all.iter().find(here) else { return Vec::new() };
    let same = all.iter().filter(|(_, other)| other == float);
    same.flat_map(|(row, float)| parts(project, *row, *float)).filter(|part| !part.is_empty()).collect()
}

/// How many columns a float of a row spans, "no stitch" cells inside it included.
fn columns(row: &[Cell], float: Float) -> u32 {
    let mut stitches = 0;
    let (before, from) = row.split_at_checked(float.start as usize).unwrap_or((row, &[]));
    let passed = from.iter().chain(before);
    let span = passed.take_while(|cell| {
        if **cell != Cell::NO_STITCH {
            stitches += 1;
        }
        stitches <= float.length
    });
    // "No stitch" cells after the last stitch are not part of it.
    let cells: Vec<_> = span.collect();
    cells.iter().rposition(|cell| **cell != Cell::NO_STITCH).map_or(1, |last| last as u32 + 1)
}

#[cfg(test)]
mod tests {
    use super::super::tests::{drawn, rows};
    use super::*;

    fn of(project: &Project) -> Vec<Finding> {
        long_floats(project, &rows(project), &mut FloatRows::default())
    }

    #[test]
    fn a_float_over_the_limit_is_named_as_a_knitter_reads() {
        let mut project = drawn(&["333333333333", "030000003003", "333333333333"]);
        project.plan.float_limit = crate::project::FloatLimit { stitches: 5, cm: 9.0 };
        let found = of(&project);
        assert_eq!(found.len(), 1, "{found:?}");
        assert_eq!(
            found[0].message,
            "Row 2, stitches 5 to 10: D Plain paper floats behind 6 stitches, 2.1 cm (0.8 in); the limit is 5. \
             Catch it once on the way, or break the run."
        );
        assert_eq!(found[0].place, Some(Rect::new(2, 1, 6, 1)));
        assert_eq!((found[0].length, &found[0].slots[..]), (Some(6), &[3][..]));
        assert_eq!(found[0].severity, Severity::Warning);
    }

    #[test]
    fn a_float_crosses_the_end_of_the_round() {
        let mut project = drawn(&["333300000033", "333333333333"]);
        let found = of(&project);
        // The ground behind Blue crate, and Blue crate around the end behind the ground.
        let ends: Vec<_> = found.iter().map(|f| (f.slots[0], f.length, f.place)).collect();
        assert_eq!(
            ends,
            [(3, Some(6), Some(Rect::new(4, 1, 6, 1))), (0, Some(6), Some(Rect::new(0, 1, 4, 1)))]
        );
        assert!(
            found[1].message.contains("stitches 9 to 12 and 1 to 2, across the end of the round"),
            "{found:?}"
        );
        // Worked flat once, nothing lies beyond the edge.
        project.plan.construction = Construction::Flat;
        project.plan.needle_stitches = 12;
        assert_eq!(of(&project).len(), 1);
        project.plan.needle_stitches = 24;
        assert!(of(&project)[1].message.contains("across the end of the repeat"));
    }

    #[test]
    fn the_same_float_in_many_rows_is_one_finding() {
        let rows = ["0033333330"; 40];
        let found = of(&drawn(&rows));
        assert_eq!(found.len(), 1);
        assert!(found[0].message.starts_with("Rows 1 to 40, stitches 2 to 8"), "{}", found[0].message);
    }

    #[test]
    fn no_stitch_does_not_lengthen_a_float() {
        let project = drawn(&["01..111..1100"]);
        let found = of(&project);
        assert_eq!((found.len(), found[0].length), (1, Some(6)));
        assert_eq!(found[0].place, Some(Rect::new(1, 0, 10, 1)));
        assert!(of(&drawn(&["01..111..000"])).is_empty());
    }

    #[test]
    fn a_float_that_needs_several_catches_is_a_problem() {
        let found = of(&drawn(&["0333333333333"]));
        assert_eq!(found[0].severity, Severity::Problem);
        assert!(found[0].message.contains("Catch it 2 times"));
    }

    #[test]
    fn a_noisy_chart_does_not_flood_the_list() {
        let row =
            |y: u32| (0..60).map(|x| if (x * 7 + y * y).is_multiple_of(11) { '0' } else { '3' }).collect();
        let rows: Vec<String> = (0..60).map(row).collect();
        let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
        let found = of(&drawn(&rows));
        assert_eq!(found.len(), MOST_OF_A_KIND + 1);
        assert!(found[MOST_OF_A_KIND].message.contains("more of this kind"));
        assert!(found[..MOST_OF_A_KIND].windows(2).all(|pair| pair[0].length >= pair[1].length));
    }
}
