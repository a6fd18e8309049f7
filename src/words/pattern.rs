//! A whole pattern: its head, its charts and its pieces.

use super::name::on_one_line;
use super::{Line, Name, Stitch, Text};
use crate::knit::{Gauge, Technique};

/// Most sizes a pattern is written in.
pub const MAX_SIZES: usize = 12;

/// Most times one piece is knitted.
pub const MAX_COPIES: u32 = 99;

/// The name of a size, fit for a list: no brackets, no comma, no full stop. Never empty.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct SizeName(String);

impl SizeName {
    /// The name without what would end it in a list; `size` when nothing is left.
    pub fn new(name: &str) -> Self {
        let kept = on_one_line(name, 60, |c| c.is_control() || "(),.;:".contains(c));
        let words: Vec<&str> = kept.split(' ').filter(|w| !["", "and", "only"].contains(w)).collect();
        if words.is_empty() { Self("size".to_owned()) } else { Self(words.join(" ")) }
    }

    /// The name.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// A colour of yarn.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Yarn {
    /// The letter (or letters) that stands for it, `A` to `Z`.
    pub code: Code,
    /// What it is called; no comma, no full stop.
    pub name: SizeName,
}

/// One or two capital letters that stand for a colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Code([u8; 2]);

impl Code {
    /// The code of the colour at this place: `A` to `Z`, then `AA`, `AB`, ...
    pub const fn nth(place: u8) -> Self {
        match place / 26 {
            0 => Self([b'A' + place, 0]),
            n => Self([b'A' + n - 1, b'A' + place % 26]),
        }
    }

    /// The code in this text, if it is one.
    pub fn read(text: &str) -> Option<Self> {
        match text.as_bytes() {
            [a] if a.is_ascii_uppercase() => Some(Self([*a, 0])),
            [a, b] if a.is_ascii_uppercase() && b.is_ascii_uppercase() => Some(Self([*a, *b])),
            _ => None,
        }
    }
}

impl std::fmt::Display for Code {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let letters = self.0.iter().take_while(|byte| **byte != 0);
        letters.map(|byte| char::from(*byte)).try_for_each(|letter| write!(f, "{letter}"))
    }
}

/// A cell of a chart: a colour and the stitch it is worked in as the right side shows it; `None` where
/// there is no stitch.
pub type ChartCell = Option<(super::Colour, Stitch)>;

/// A chart: rows from the bottom, each from left to right as the right side shows it.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Chart {
    /// How several colours are worked in it.
    pub technique: Technique,
    /// The rows, all of one length; at least one row of one cell.
    pub rows: Vec<Vec<ChartCell>>,
}

impl Chart {
    /// Cells of a row.
    pub fn width(&self) -> usize {
        self.rows.first().map_or(0, Vec::len)
    }
}

/// How often a piece is knitted.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Copies {
    /// Once.
    One,
    /// So often, all alike; 2 or more. They are called first, second, ...
    Alike(u32),
    /// One of each name, e.g. left and right; at least two.
    Named(Vec<Name>),
}

impl Copies {
    /// How many.
    pub fn count(&self) -> u32 {
        match self {
            Self::One => 1,
            Self::Alike(n) => *n,
            Self::Named(names) => names.len() as u32,
        }
    }

    /// What a copy (from 0) is called; a group named in it is known outside with this word before its own
    /// name.
    pub fn name(&self, copy: u32) -> Option<Name> {
        const FIRST: [&str; 8] =
            ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth"];
        match self {
            Self::One => None,
            Self::Alike(_) => Some(match FIRST.get(copy as usize) {
                Some(word) => Name::new(word),
                None => Name::new(&format!("copy {}", copy + 1)),
            }),
            Self::Named(names) => names.get(copy as usize).cloned(),
        }
    }
}

/// The instructions under one heading.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Section {
    /// `Brim`, `Crown`; `None` only for the first section of a piece.
    pub heading: Option<Text>,
    /// The sentences.
    pub lines: Vec<Line>,
}

/// A piece of the work.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Piece {
    /// What it is called.
    pub heading: Text,
    /// How often it is knitted.
    pub copies: Copies,
    /// Its sections; never empty.
    pub sections: Vec<Section>,
}

/// A pattern in words: all that is needed to knit it.
#[derive(Clone, Debug, PartialEq)]
pub struct Pattern {
    /// What it is called.
    pub title: Text,
    /// The sizes, smallest first; 1 to [`MAX_SIZES`], each once.
    pub sizes: Vec<SizeName>,
    /// Stitches and rows in 10 cm, washed.
    pub gauge: Gauge,
    /// The colours, each code once; 1 to 64.
    pub colours: Vec<Yarn>,
    /// The charts, printed as chart 1, chart 2, ...
    pub charts: Vec<Chart>,
    /// The pieces in the order they are knitted; at least one.
    pub pieces: Vec<Piece>,
}
