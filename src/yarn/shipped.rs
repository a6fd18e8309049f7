//! Tables that are part of the program.

use std::fmt::Display;

/// A table as it was read, or an empty one where it could not be.
///
/// A damaged table is a fault of ours that no user can mend: wherever the program is checked (tests, and
/// every build with debug assertions) it stops with the name of the table and what is wrong; the program
/// that was shipped all the same says so in its log and does without.
pub(crate) fn table_or_none<T: Default, E: Display>(name: &str, read: Result<T, E>) -> T {
    read.unwrap_or_else(|error| {
        log::error!("the table {name} that comes with the program is damaged: {error}");
        debug_assert!(false, "assets/{name}: {error}");
        T::default()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sound_table_is_taken() {
        assert_eq!(table_or_none("sound.ron", ron::from_str::<Vec<u8>>("[1, 2]")), [1, 2]);
    }

    #[test]
    #[should_panic(expected = "assets/broken.ron: 1:")]
    fn a_damaged_table_stops_a_test_with_its_name() {
        table_or_none("broken.ron", ron::from_str::<Vec<u8>>("[1,"));
    }
}
