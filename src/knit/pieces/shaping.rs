//! Increases and decreases, spread evenly over the rows of a band or across one row.

use crate::units::ordinal;

/// Shaping rows at equal distances: "every 4th row, 26 times".
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Interval {
    /// Rows from one shaping row to the next, 1 or more.
    pub every: u32,
    /// How many shaping rows.
    pub times: u32,
}

/// Where the shaping rows of a band lie.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Schedule {
    /// The closer intervals first; at most two.
    pub intervals: Vec<Interval>,
    /// Rows worked even after the last shaping row.
    pub plain_after: u32,
}

impl Schedule {
    /// Spreads `events` shaping rows over `rows` rows so that no two distances differ by more than
    /// `step` (2 keeps them on one side of a flat fabric, 1 in the round), and, when there is room,
    /// leaves one distance even at the end so that the edge lies flat.
    ///
    /// More events than the rows can hold are cut down to what they hold; the caller then changes more
    /// stitches at a time.
    pub fn spread(rows: u32, events: u32, step: u32) -> Self {
        let step = step.max(1);
        let events = events.min(rows / step);
        if events == 0 {
            return Self { plain_after: rows, ..Self::default() };
        }
        let short = rows / events / step * step;
        let left = rows - events * short;
        let long_times = (left.saturating_sub(short) / step).min(events);
        let short_times = events - long_times;
        let intervals = [
            Interval { every: short, times: short_times },
            Interval { every: short + step, times: long_times },
        ];
        Self {
            intervals: intervals.into_iter().filter(|interval| interval.times > 0).collect(),
            plain_after: left - long_times * step,
        }
    }

    /// Shaping rows in all.
    pub fn events(&self) -> u32 {
        self.intervals.iter().map(|interval| interval.times).sum()
    }

    /// `every 4th row 26 times, then every 6th row 2 times`, of what `row` calls a row; nothing when there is no shaping.
    pub fn words(&self, row: &str) -> String {
        let interval = |Interval { every, times }: &Interval| {
            let rows = match every {
                1 => format!("every {row}"),
                n => format!("every {} {row}", ordinal(*n)),
            };
            let times = if *times == 1 { "once".to_owned() } else { format!("{times} times") };
            format!("{rows} {times}")
        };
        self.intervals.iter().map(interval).collect::<Vec<_>>().join(", then ")
    }

    /// The shaping rows, counted from 1.
    pub fn rows(&self) -> impl Iterator<Item = u32> + '_ {
        let events = u64::from(self.events());
        let long = self.intervals.last().copied().filter(|_| self.intervals.len() == 2);
        let longs_before = move |event: u64| match long {
            None => 0,
            Some(long) => (event + u64::from(long.times)).saturating_sub(events),
        };
        let short = self.intervals.first().map_or(0, |interval| u64::from(interval.every));
        let longer = long.map_or(0, |long| u64::from(long.every) - short);
        (1..=events).map(move |event| (event * short + longs_before(event) * longer) as u32)
    }
}

/// A group of stitches that ends in one increase or decrease, worked several times over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Group {
    /// Stitches of the row that the group uses up, those of the decrease included.
    pub stitches: u32,
    /// How often it is worked.
    pub times: u32,
}

/// Splits a row of `stitches` into `changes` groups as equal as can be, the larger ones first, one
/// increase or decrease in each. `None` when there is nothing to do or a group would be empty.
pub fn evenly_across(stitches: u32, changes: u32) -> Option<Vec<Group>> {
    if changes == 0 || changes > stitches {
        return None;
    }
    let (small, larger) = (stitches / changes, stitches % changes);
    let groups =
        [Group { stitches: small + 1, times: larger }, Group { stitches: small, times: changes - larger }];
    Some(groups.into_iter().filter(|group| group.times > 0).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_shaping_is_all_even_rows() {
        let none = Schedule::spread(40, 0, 1);
        assert_eq!((none.rows().count(), none.plain_after, none.words("row")), (0, 40, String::new()));
    }

    #[test]
    fn as_many_events_as_rows_fill_them_all() {
        let schedule = Schedule::spread(9, 9, 1);
        assert_eq!(schedule.rows().collect::<Vec<_>>(), (1..=9).collect::<Vec<_>>());
        // Flat, only every second row can shape.
        assert_eq!(Schedule::spread(9, 9, 2).events(), 4);
    }

    #[test]
    fn one_interval_follows_the_other() {
        let schedule = Schedule::spread(67, 44, 1);
        assert_eq!(schedule.words("round"), "every round 22 times, then every 2nd round 22 times");
        assert_eq!(schedule.rows().skip(20).take(4).collect::<Vec<_>>(), [21, 22, 24, 26]);
        assert_eq!(schedule.rows().last(), Some(66));
        let grouped = Schedule::spread(120, 28, 2);
        assert_eq!(grouped.words("row"), "every 4th row 26 times, then every 6th row 2 times");
        assert_eq!(Schedule::spread(26, 1, 1).words("row"), "every 26th row once");
    }

    #[test]
    fn decreases_across_a_row_use_every_stitch() {
        assert_eq!(
            evenly_across(50, 12).unwrap(),
            [Group { stitches: 5, times: 2 }, Group { stitches: 4, times: 10 }]
        );
    }
}
