//! Does the repeat go evenly into the stitches on the needle?
//!
//! Stitches on the needle = n x repeat + edge.

use crate::units::{Gauge, counted};

/// A stitch count that holds whole repeats.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EvenCount {
    /// Stitches on the needle, edge included.
    pub stitches: u32,
    /// Whole repeats, 1 or more.
    pub repeats: u32,
    /// Stitches more (or, below 0, fewer) than asked for.
    pub change: i64,
    /// What that changes in width or girth, in cm.
    pub change_cm: f64,
}

/// The stitches that whole repeats leave over, shared between both ends so that the pattern
/// stays centred.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PartialRepeat {
    /// Whole repeats between the two parts.
    pub repeats: u32,
    /// Last stitches of the repeat, worked before the first whole one.
    pub before: u32,
    /// First stitches of the repeat, worked after the last whole one; one more than `before` when
    /// the number left over is odd.
    pub after: u32,
}

/// A stitch count against a repeat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RepeatFit {
    /// Stitches on the needle.
    pub stitches: u32,
    /// Stitches of one repeat, 1 or more.
    pub repeat: u32,
    /// Stitches outside the repeats.
    pub edge: u32,
    /// Whole repeats that fit.
    pub repeats: u32,
    /// Stitches left over, fewer than a repeat.
    pub left_over: u32,
    /// Stitches the edge alone has too many; 0 unless the edge is wider than the piece.
    pub short_of_edge: u32,
    /// The nearest even count below (or at) the stitches; `None` when not even one repeat fits.
    pub below: Option<EvenCount>,
    /// The nearest even count above (or at) the stitches; `None` beyond what can be counted.
    pub above: Option<EvenCount>,
    /// How to keep the count and centre the pattern; `None` when nothing is left over or no whole
    /// repeat fits.
    pub centred: Option<PartialRepeat>,
}

impl RepeatFit {
    /// Whether the stitches are whole repeats and edge, at least one repeat.
    pub const fn divides(&self) -> bool {
        self.left_over == 0 && self.repeats > 0
    }

    /// How to keep the count and centre the pattern, in words.
    pub fn partial_words(&self) -> Option<String> {
        let PartialRepeat { repeats, before, after } = self.centred?;
        let stitches = |count: u32| counted(count.into(), "stitch", "stitches");
        let first = if before == 0 {
            String::new()
        } else {
            format!("the last {} of the repeat, then ", stitches(before))
        };
        let times = if repeats == 1 { "once".to_owned() } else { format!("{repeats} times") };
        Some(format!(
            "Or keep the count and centre the pattern: work {first}the whole repeat {times}, \
             then its first {}.",
            stitches(after)
        ))
    }
}

/// Holds `stitches` against a repeat of `repeat` stitches (0 counts as 1) and `edge` stitches
/// outside the repeats.
pub fn repeat_fit(stitches: u32, repeat: u32, edge: u32, gauge: Gauge) -> RepeatFit {
    let repeat = repeat.max(1);
    let inner = stitches.saturating_sub(edge);
    let (repeats, left_over) = (inner / repeat, inner % repeat);
    let even = |repeats: u32| {
        let count = repeats.checked_mul(repeat)?.checked_add(edge).filter(|_| repeats > 0)?;
        let change = i64::from(count) - i64::from(stitches);
        Some(EvenCount {
            stitches: count,
            repeats,
            change,
            change_cm: change as f64 * gauge.stitch_width_cm(),
        })
    };
    let whole = left_over == 0 && stitches >= edge && repeats > 0;
    let above = if whole { Some(repeats) } else { repeats.checked_add(1) };
    let centred = PartialRepeat { repeats, before: left_over / 2, after: left_over - left_over / 2 };
    RepeatFit {
        stitches,
        repeat,
        edge,
        repeats,
        left_over,
        short_of_edge: edge.saturating_sub(stitches),
        below: even(repeats),
        above: above.and_then(even),
        centred: (left_over > 0 && repeats > 0).then_some(centred),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Stitches 0.5 cm wide, rows 0.4 cm high.
    fn gauge() -> Gauge {
        Gauge::new(20.0, 25.0).unwrap()
    }

    #[test]
    fn whole_repeats_need_no_change() {
        let fit = repeat_fit(100, 24, 4, gauge());
        assert!(fit.divides());
        assert_eq!((fit.repeats, fit.left_over, fit.centred), (4, 0, None));
        assert_eq!(fit.below, fit.above);
        assert_eq!(fit.below.map(|even| (even.stitches, even.change)), Some((100, 0)));
        assert_eq!(fit.partial_words(), None);
    }

    #[test]
    fn the_nearest_counts_and_what_they_change() {
        let fit = repeat_fit(101, 24, 0, gauge());
        assert!(!fit.divides());
        let (below, above) = (fit.below.unwrap(), fit.above.unwrap());
        assert_eq!((below.stitches, below.repeats, below.change), (96, 4, -5));
        assert!((below.change_cm + 2.5).abs() < 1e-12);
        assert_eq!((above.stitches, above.repeats, above.change), (120, 5, 19));
        assert_eq!(fit.centred, Some(PartialRepeat { repeats: 4, before: 2, after: 3 }));
        let words = fit.partial_words().unwrap();
        assert!(
            words.contains("the last 2 stitches of the repeat, then the whole repeat 4 times"),
            "{words}"
        );
    }

    #[test]
    fn less_than_one_repeat_can_only_grow() {
        let fit = repeat_fit(10, 24, 2, gauge());
        assert_eq!((fit.repeats, fit.below, fit.centred), (0, None, None));
        assert_eq!(fit.above.unwrap().stitches, 26);
        let fit = repeat_fit(2, 24, 6, gauge());
        assert_eq!((fit.short_of_edge, fit.above.unwrap().stitches), (4, 30));
        assert!(!repeat_fit(6, 24, 6, gauge()).divides());
    }
}
