//! What was worked out row by row, kept for the next state of a chart.

use rayon::prelude::*;

/// Items that are worked out on all processors; for fewer, waking them takes longer.
const MANY: usize = 16;

/// What `work` makes of each item, in their order, on all processors where there are many; `work` has something of
/// its own to keep from one to the next.
pub fn each_worked<S: Default, I: Send, T: Send>(
    items: Vec<I>,
    work: impl Fn(&mut S, I) -> T + Sync,
) -> Vec<T> {
    if items.len() < MANY {
        let mut own = S::default();
        items.into_iter().map(|item| work(&mut own, item)).collect()
    } else {
        items.into_par_iter().map_init(S::default, &work).collect()
    }
}

/// Something of every row of a chart, kept from one state of the chart to the next: only what rests on rows
/// that changed is worked out again.
///
/// `K` is what all rows rest on (the repeat, a limit), `M` what one of them rests on (marks of rows). The answer
/// is the same as with an empty memo, so long as it follows from these two alone.
#[derive(Debug)]
pub struct RowMemo<K, M, T> {
    key: Option<K>,
    rest_on: Vec<M>,
    rows: Vec<T>,
}

impl<K, M, T> Default for RowMemo<K, M, T> {
    fn default() -> Self {
        Self { key: None, rest_on: Vec::new(), rows: Vec::new() }
    }
}

impl<K: PartialEq, M: PartialEq + Copy + Send, T: Default + Send> RowMemo<K, M, T> {
    /// One `T` for each of `rest_on`; `work` is given the places of those that are not known, mostly one after the
    /// other, with something of its own to keep from one to the next. It is also given what stood in that place before
    /// and rested on something else, for parts of it may rest on what is still the same.
    pub fn rows<S: Default>(
        &mut self,
        key: K,
        rest_on: Vec<M>,
        work: impl Fn(&mut S, usize, Option<(M, T)>) -> T + Sync,
    ) -> &[T] {
        if self.key.as_ref() != Some(&key) {
            *self = Self { key: Some(key), ..Self::default() };
        }
        self.rows.truncate(rest_on.len());
        let known = self.rows.len();
        let changed: Vec<usize> = (0..known).filter(|row| self.rest_on[*row] != rest_on[*row]).collect();
        let before =
            changed.iter().map(|row| Some((self.rest_on[*row], std::mem::take(&mut self.rows[*row]))));
        let before = before.chain((known..rest_on.len()).map(|_| None));
        let places = changed.iter().copied().chain(known..rest_on.len());
        let places: Vec<(usize, Option<(M, T)>)> = places.zip(before).collect();
        let mut found = each_worked(places, |own: &mut S, (row, before)| work(own, row, before));
        let new = found.split_off(changed.len());
        for (row, found) in changed.into_iter().zip(found) {
            self.rows[row] = found;
        }
        self.rows.extend(new);
        self.rest_on = rest_on;
        &self.rows
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Mutex;

    use super::*;

    #[test]
    fn only_what_changed_is_worked_out_again() {
        let mut memo = RowMemo::default();
        let asked = Mutex::new(Vec::new());
        let mut ask = |key: &'static str, rest_on: &[u32]| -> Vec<usize> {
            let work = |(): &mut (), row: usize, before: Option<(u32, u32)>| {
                assert!(before.is_none_or(|(of, found)| found == 10 * of && of != rest_on[row]));
                asked.lock().unwrap().push(row);
                10 * rest_on[row]
            };
            let rows = memo.rows(key, rest_on.to_vec(), work).to_vec();
            assert_eq!(rows, rest_on.iter().map(|n| 10 * n).collect::<Vec<_>>());
            std::mem::take(&mut *asked.lock().unwrap())
        };
        assert_eq!(ask("a", &[1, 2, 3]), [0, 1, 2]);
        assert_eq!(ask("a", &[1, 5, 3]), [1]);
        assert!(ask("a", &[1, 5]).is_empty());
        assert_eq!(ask("a", &[1, 5, 3, 4]), [2, 3], "what was cut off is forgotten");
        assert_eq!(ask("b", &[1, 5, 3, 4]), [0, 1, 2, 3]);
        assert!(ask("b", &[]).is_empty());
    }
}
