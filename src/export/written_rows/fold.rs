//! Finding what repeats in a row, so that it is written once.

use crate::chart::{Cell, Work};

/// Stitches worked alike side by side, in knitting order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Run {
    /// Colour and work of each.
    pub cell: Cell,
    /// Stitches, 1 or more; decreases and increases stand alone.
    pub length: u32,
}

/// A stretch of a row: runs, worked once or several times over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Group {
    pub runs: Vec<Run>,
    /// 1 or more.
    pub times: u32,
}

/// A row taken apart: before, the part that repeats (if any), after.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Folded {
    pub before: Vec<Group>,
    pub repeat: Option<Vec<Group>>,
    pub after: Vec<Group>,
}

/// Longest stretch, in runs, that is looked for: longer ones save nothing that a reader could follow.
const LONGEST: usize = 40;

/// Gathers stitches into runs.
pub(super) fn runs_of(stitches: &[Cell]) -> Vec<Run> {
    let alike = |a: &Cell, b: &Cell| a == b && a.work() == Work::Plain;
    let run = |part: &[Cell]| Run { cell: part[0], length: part.len() as u32 };
    stitches.chunk_by(alike).map(run).collect()
}

/// A stretch of runs that comes several times in a row.
#[derive(Clone, Copy)]
struct Stretch {
    from: usize,
    length: usize,
    times: usize,
}

impl Stretch {
    /// Runs that need not be written.
    const fn saved(self) -> usize {
        self.length * (self.times - 1)
    }
}

/// The stretch whose folding saves most; the shortest and then the first of equals.
fn best_stretch(runs: &[Run]) -> Option<Stretch> {
    let mut best: Option<Stretch> = None;
    for length in 1..=LONGEST.min(runs.len() / 2) {
        let mut from = 0;
        while from + 2 * length <= runs.len() {
            let same = runs[from + length..].iter().zip(&runs[from..]).take_while(|(a, b)| a == b).count();
            let times = same / length + 1;
            let stretch = Stretch { from, length, times };
            if times > 1 && best.is_none_or(|best| stretch.saved() > best.saved()) {
                best = Some(stretch);
            }
            // Every start inside the run of equals gives the same or a shorter one.
            from += (same + 1).saturating_sub(length).max(1);
        }
    }
    best
}

/// Writes runs as groups, each group's runs worked `times` over, so that little is said twice.
pub(super) fn groups_of(runs: &[Run]) -> Vec<Group> {
    let plain = |runs: &[Run]| (!runs.is_empty()).then(|| Group { runs: runs.to_vec(), times: 1 });
    // Folding a pair of runs that comes twice reads no better than writing it out.
    match best_stretch(runs).filter(|stretch| stretch.saved() > 2) {
        None => plain(runs).into_iter().collect(),
        Some(Stretch { from, length, times }) => {
            let mut groups = groups_of(&runs[..from]);
            groups.push(Group { runs: runs[from..from + length].to_vec(), times: times as u32 });
            groups.extend(groups_of(&runs[from + length * times..]));
            groups
        }
    }
}

/// Folds a row that is worked once: the best stretch becomes its repeat.
pub(super) fn fold_once(runs: &[Run]) -> Folded {
    match best_stretch(runs).filter(|stretch| stretch.saved() > 1) {
        None => Folded { before: groups_of(runs), repeat: None, after: Vec::new() },
        Some(Stretch { from, length, times }) => Folded {
            before: groups_of(&runs[..from]),
            repeat: Some(groups_of(&runs[from..from + length])),
            after: groups_of(&runs[from + length * times..]),
        },
    }
}

/// The shortest part of `cells` that makes up all of them when worked over and over.
pub(super) fn period<T: PartialEq>(cells: &[T]) -> usize {
    let n = cells.len();
    (1..n).find(|p| n.is_multiple_of(*p) && cells[*p..] == cells[..n - p]).unwrap_or(n)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn runs(text: &str) -> Vec<Run> {
        runs_of(&text.bytes().map(|b| Cell::slot(b - b'0')).collect::<Vec<_>>())
    }

    #[test]
    fn the_best_stretch_becomes_the_repeat() {
        let folded = fold_once(&runs("0010010010"));
        // 2 of 0, then (1 of 1, 2 of 0) twice, 1 of 1, 1 of 0: the first pair comes three times.
        assert_eq!(folded.before, []);
        assert_eq!(folded.repeat, Some(groups_of(&runs("001"))));
        assert_eq!(folded.after, groups_of(&runs("0")));
    }

    #[test]
    fn a_row_without_repetition_stays_whole() {
        let folded = fold_once(&runs("001222"));
        assert_eq!((folded.repeat, folded.after.len()), (None, 0));
        assert_eq!(folded.before[0].runs.len(), 3);
    }

    #[test]
    fn stretches_inside_become_groups() {
        let groups = groups_of(&runs("2220101010144"));
        assert_eq!(
            groups.iter().map(|g| (g.runs.len(), g.times)).collect::<Vec<_>>(),
            [(1, 1), (2, 4), (1, 1)]
        );
    }

    #[test]
    fn the_period_divides_the_row() {
        assert_eq!(period(b"010101"), 2);
        assert_eq!(period(b"01010"), 5);
        assert_eq!(period(b"aaaa"), 1);
        assert_eq!(period::<u8>(&[]), 0);
    }
}
