//! The stitches of each row of a band that grows or shrinks.

use super::count::Count;
use super::model::Shaping;
use super::repeat_rows::RepeatRows;
use super::shaping::Schedule;
use crate::knit::Construction;

/// Stitches of each row where the chart holds the shaping.
pub(super) fn shaped_rows(chart: &RepeatRows, start: Count, rows: u32) -> Vec<u32> {
    let edge = start.multiple.edge();
    let across = start.stitches.saturating_sub(edge) / chart.width(0).max(1);
    (0..rows as usize).map(|r| across.saturating_mul(chart.width(r)).saturating_add(edge)).collect()
}

/// Shaping rows and the stitches of each row from `from` to `to`.
pub(super) fn taper(
    from: u32,
    to: u32,
    rows: u32,
    shaping: Shaping,
    construction: Construction,
) -> (Schedule, Vec<u32>) {
    let change = from.abs_diff(to);
    let step = match construction {
        Construction::InTheRound => 1,
        Construction::Flat => 2,
    };
    let wanted = match shaping {
        Shaping::PerRow(_) | Shaping::First | Shaping::Last | Shaping::Gusset | Shaping::Steek => {
            change.div_ceil(shaping.per_row().unwrap_or(1))
        }
        Shaping::InRows(n) => n.clamp(1, change.max(1)),
    };
    let events = if change == 0 { 0 } else { wanted };
    // A flat band of few rows shapes on the wrong side too rather than not at all.
    let step = if events > rows / step { 1 } else { step };
    let schedule = Schedule::spread(rows, events, step);
    let events = schedule.events();
    let mut stitches = Vec::with_capacity(rows as usize);
    let after = |done: u64| {
        let moved = match shaping {
            // The rows each change `n`; only when there are too few rows does each change more.
            Shaping::PerRow(_) | Shaping::First | Shaping::Last | Shaping::Gusset | Shaping::Steek
                if events == wanted =>
            {
                (done * u64::from(shaping.per_row().unwrap_or(1))).min(u64::from(change)) as u32
            }
            _ if events == 0 => 0,
            _ => (u64::from(change) * done / u64::from(events)) as u32,
        };
        if to > from { from + moved } else { from - moved }
    };
    let mut done = 0_u64;
    for shaping_row in schedule.rows() {
        stitches.resize(shaping_row.saturating_sub(1) as usize, after(done));
        done += 1;
    }
    stitches.resize(rows as usize, after(done));
    (schedule, stitches)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_taper_ends_where_it_should_and_never_overshoots() {
        for (from, to, rows) in [(60, 116, 120), (96, 8, 30), (100, 40, 3), (50, 51, 10), (7, 7, 4)] {
            for shaping in [Shaping::PerRow(2), Shaping::PerRow(8), Shaping::InRows(3)] {
                for construction in Construction::ALL {
                    let (_, stitches) = taper(from, to, rows, shaping, construction);
                    assert_eq!(stitches.len(), rows as usize);
                    assert_eq!(stitches.last(), Some(&to), "{from}->{to} in {rows} {shaping:?}");
                    assert!(stitches.iter().all(|n| (from.min(to)..=from.max(to)).contains(n)));
                }
            }
        }
    }

    #[test]
    fn a_yoke_loses_its_stitches_in_few_rounds() {
        let (schedule, stitches) = taper(240, 120, 30, Shaping::InRows(3), Construction::InTheRound);
        assert_eq!(schedule.events(), 3);
        let mut counts = stitches.clone();
        counts.dedup();
        assert_eq!(counts, [240, 200, 160, 120]);
    }
}
