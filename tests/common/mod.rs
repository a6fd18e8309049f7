//! Shared by the test binaries; each uses its own part.
#![allow(dead_code)]

pub mod blind_swatch;
pub mod dice;
pub mod foreign_picture;
pub mod spectra;
pub mod swatch_photo;
pub mod tiff;
pub mod yarn_picture;

use std::collections::HashMap;
use std::path::PathBuf;

/// The path of a file in `tests/data`.
pub fn data(name: &str) -> PathBuf {
    [env!("CARGO_MANIFEST_DIR"), "tests", "data", name].iter().collect()
}

/// One row of a table of published values.
pub struct Row {
    /// File and row number, for messages.
    place: String,
    fields: HashMap<String, String>,
}

/// Reads a table of `tests/data`: leading lines that begin with `#` are its sources, then comes the
/// header. (Only leading ones: a field may begin with `#`, as hex colours do.)
pub fn table(name: &str) -> Vec<Row> {
    let text = std::fs::read_to_string(data(name)).unwrap_or_else(|error| panic!("{name}: {error}"));
    let mut body = text.as_str();
    while body.starts_with('#') {
        body = body.split_once('\n').map_or("", |(_, rest)| rest);
    }
    let mut reader = csv::Reader::from_reader(body.as_bytes());
    let header = reader.headers().unwrap().clone();
    let rows: Vec<Row> = reader
        .records()
        .enumerate()
        .map(|(index, record)| {
            let place = format!("{name}, row {}", index + 1);
            let record = record.unwrap_or_else(|error| panic!("{place}: {error}"));
            let fields = header.iter().zip(&record).map(|(key, value)| (key.to_owned(), value.to_owned()));
            Row { fields: fields.collect(), place }
        })
        .collect();
    assert!(!rows.is_empty(), "{name} has no rows");
    rows
}

impl Row {
    /// File, row and the first telling field, for messages.
    pub fn place(&self) -> &str {
        &self.place
    }

    /// A field as it is written.
    pub fn text(&self, column: &str) -> &str {
        self.fields.get(column).unwrap_or_else(|| panic!("{}: no column '{column}'", self.place))
    }

    /// A field as a number, `None` when it is empty.
    pub fn maybe(&self, column: &str) -> Option<f64> {
        let text = self.text(column).trim();
        (!text.is_empty()).then(|| {
            text.parse().unwrap_or_else(|_| panic!("{}: {column} '{text}' is not a number", self.place))
        })
    }

    /// A field as a number.
    pub fn number(&self, column: &str) -> f64 {
        self.maybe(column).unwrap_or_else(|| panic!("{}: {column} is empty", self.place))
    }

    /// Three fields as numbers.
    pub fn three(&self, columns: [&str; 3]) -> [f64; 3] {
        columns.map(|column| self.number(column))
    }
}

/// Fails with the place when a value is further than `tolerance` from the published one.
#[track_caller]
pub fn assert_near(place: &str, found: f64, published: f64, tolerance: f64) {
    assert!(
        (found - published).abs() <= tolerance,
        "{place}: {found} is not within {tolerance} of the published {published}"
    );
}
