//! What is said when words cannot be read.

use thiserror::Error;

/// Where a text could not be read, and what would help.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
#[error("line {line}, column {column}: expected {expected}, found {found}")]
pub struct ReadError {
    /// Line, from 1.
    pub line: usize,
    /// Letter in the line, from 1.
    pub column: usize,
    /// What should stand there, with an example where that helps.
    pub expected: String,
    /// What stands there.
    pub found: String,
}
