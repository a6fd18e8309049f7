//! x
pub mod written_rows;
