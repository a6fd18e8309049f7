//! An amount in every size.

/// A value per size, or one value for all of them.
///
/// Values that are equal in every size are kept once, so that two amounts that print alike are equal.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct PerSize<T>(Vec<T>);

impl<T: Copy + PartialEq> PerSize<T> {
    /// The same in every size.
    pub fn all(value: T) -> Self {
        Self(vec![value])
    }

    /// One value per size, in the order of the pattern's sizes; `None` when there is none.
    pub fn each(values: impl IntoIterator<Item = T>) -> Option<Self> {
        let mut values: Vec<T> = values.into_iter().collect();
        let first = *values.first()?;
        if values.iter().all(|value| *value == first) {
            values.truncate(1);
        }
        Some(Self(values))
    }

    /// The value of a size (counted from 0); a size beyond the last has the last one's.
    pub fn get(&self, size: usize) -> T {
        self.0[size.min(self.0.len() - 1)]
    }

    /// The one value, when every size has the same.
    pub fn one(&self) -> Option<T> {
        (self.0.len() == 1).then(|| self.0[0])
    }

    /// The values: one for all sizes, or one per size.
    pub fn values(&self) -> &[T] {
        &self.0
    }

    /// Applies `f` in every size.
    pub fn map<U: Copy + PartialEq>(&self, f: impl Fn(T) -> U) -> PerSize<U> {
        let mut values: Vec<U> = self.0.iter().map(|value| f(*value)).collect();
        if values.iter().all(|value| *value == values[0]) {
            values.truncate(1);
        }
        PerSize(values)
    }
}

impl<T: Copy + PartialEq> From<T> for PerSize<T> {
    fn from(value: T) -> Self {
        Self::all(value)
    }
}

/// Stitches, rows or times in every size, 0 or more.
pub type Amount = PerSize<u32>;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_values_are_kept_once() {
        assert_eq!(PerSize::each([4, 4, 4]), Some(PerSize::all(4)));
        assert_eq!(PerSize::<u32>::each([]), None);
        let amount = PerSize::each([88, 92, 96]).unwrap();
        assert_eq!((amount.get(1), amount.get(9), amount.one()), (92, 96, None));
        assert_eq!(amount.map(|n| n / 100).one(), Some(0));
    }
}
