//! Blends by percentage, as a label writes them.

use crate::plain_text::quoted;
use thiserror::Error;

use super::blend_words;
use super::fibre::{self, Fibre, Origin};
use super::figure::number;

/// Why a blend was refused.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum BlendError {
    /// No part at all.
    #[error("a blend needs at least one fibre; write it as on the label, for example: 75 % wool, 25 % nylon")]
    Empty,
    /// More parts than a label has.
    #[error("a blend has at most {max} fibres, not {0}; put the smallest together as other fibre", max = Blend::MAX_PARTS)]
    TooMany(usize),
    /// A share that is no share.
    #[error("the share of {fibre} must be more than 0 and at most 100 %, not {percent}")]
    Share {
        /// The fibre.
        fibre: &'static str,
        /// The share that was given.
        percent: f64,
    },
    /// The same fibre again.
    #[error("{0} is listed twice; add the two shares together")]
    Twice(&'static str),
    /// The shares do not make a whole.
    #[error("the shares add up to {found} %, {gap}; they must make 100 %")]
    Sum {
        /// What they add up to.
        found: String,
        /// What is missing or too much, in words.
        gap: String,
    },
    /// A part of the text that is not a share and a fibre.
    #[error("“{0}” is not a share and a fibre; write it as on the label, for example: 75 % wool, 25 % nylon")]
    Part(String),
    /// A fibre that is not in the table.
    #[error("no fibre is called “{0}”; the known ones are {known}, or write other", known = known_names())]
    Fibre(String),
}

fn known_names() -> String {
    Fibre::known().map(|fibre| fibre.name().to_lowercase()).collect::<Vec<_>>().join(", ")
}

/// What a yarn is made of: fibres and their shares by mass.
#[derive(Clone, Debug, PartialEq)]
pub struct Blend {
    parts: Vec<(Fibre, f64)>,
}

impl Blend {
    /// The most fibres in one blend.
    pub const MAX_PARTS: usize = 8;
    /// How far the shares may miss 100 %, for thirds written with one decimal.
    const TOLERANCE: f64 = 0.11;

    /// A blend from shares in per cent that add up to 100.
    ///
    /// # Errors
    /// [`BlendError`] when there is no part, a share is out of range, a fibre comes twice or the
    /// shares do not make 100 %.
    pub fn new(parts: Vec<(Fibre, f64)>) -> Result<Self, BlendError> {
        if parts.is_empty() {
            return Err(BlendError::Empty);
        }
        if parts.len() > Self::MAX_PARTS {
            return Err(BlendError::TooMany(parts.len()));
        }
        for (index, (fibre, percent)) in parts.iter().enumerate() {
            if !(*percent > 0.0 && *percent <= 100.0) {
                return Err(BlendError::Share { fibre: fibre.name(), percent: *percent });
            }
            if parts.iter().take(index).any(|(earlier, _)| earlier == fibre) {
                return Err(BlendError::Twice(fibre.name()));
            }
        }
        let sum: f64 = parts.iter().map(|part| part.1).sum();
        let off = sum - 100.0;
        if off.abs() > Self::TOLERANCE {
            let side = if off < 0.0 { "missing" } else { "too much" };
            let gap = format!("{} % {side}", number(off.abs()));
            return Err(BlendError::Sum { found: number(sum), gap });
        }
        Ok(Self { parts })
    }

    /// A single fibre.
    pub fn pure(fibre: Fibre) -> Self {
        Self { parts: vec![(fibre, 100.0)] }
    }

    /// Reads a blend as a label or a shop writes it: `75 % wool, 25 % nylon`, `Wool 75% / Nylon 25%`,
    /// `75%Schurwolle 25%Polyamid`, `33,3 % ...`; a lone fibre is 100 %. Shares of one fibre under two names are added.
    ///
    /// # Errors
    /// [`BlendError`] naming the part that cannot be read, or what [`Self::new`] refuses.
    pub fn parse(text: &str) -> Result<Self, BlendError> {
        if let Some(fibre) = Fibre::from_label(text) {
            return Ok(Self::pure(fibre));
        }
        let mut named: Vec<(String, Fibre, f64)> = Vec::new();
        for part in blend_words::parts(text)? {
            let Some(fibre) = Fibre::from_label(&part.words) else {
                return Err(BlendError::Fibre(quoted(&part.words)));
            };
            let again = |known: &&mut (String, Fibre, f64)| {
                known.1 == fibre && (fibre == Fibre::Other || known.0 != part.words)
            };
            match named.iter_mut().find(again) {
                Some(known) => known.2 += part.percent,
                None => named.push((part.words, fibre, part.percent)),
            }
        }
        Self::new(named.into_iter().map(|(_, fibre, percent)| (fibre, percent)).collect())
    }

    /// The parts: fibre and per cent, in label order.
    pub fn parts(&self) -> &[(Fibre, f64)] {
        &self.parts
    }

    /// The share of a fibre, `0..=1`.
    pub fn share(&self, fibre: Fibre) -> f64 {
        self.parts.iter().find(|part| part.0 == fibre).map_or(0.0, |part| part.1 / 100.0)
    }

    /// The fibre with the largest share.
    pub fn main_fibre(&self) -> Fibre {
        let largest = self.parts.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        largest.map_or(Fibre::Other, |part| part.0)
    }

    /// The share that stems from an origin, `0..=1`.
    pub fn share_from(&self, origin: Origin) -> f64 {
        self.parts.iter().filter(|part| part.0.facts().origin == origin).map(|part| part.1 / 100.0).sum()
    }

    /// The parts of one origin by themselves, made up to 100 %; `None` when there are none.
    pub(super) fn only_from(&self, origin: Origin) -> Option<Self> {
        let share = self.share_from(origin);
        let parts = self.parts.iter().filter(|part| part.0.facts().origin == origin);
        let parts = parts.map(|(fibre, percent)| (*fibre, percent / share));
        Self::new(parts.collect()).ok()
    }

    /// As a label writes it: `75 % wool, 25 % nylon`; a single fibre by its name alone.
    pub fn name(&self) -> String {
        match self.parts.as_slice() {
            [(fibre, _)] => fibre.name().to_owned(),
            parts => parts
                .iter()
                .map(|(fibre, percent)| format!("{} % {}", number(*percent), fibre.name().to_lowercase()))
                .collect::<Vec<_>>()
                .join(", "),
        }
    }

    /// The pure fibres and the blends that are commonly sold (common practice, no published source).
    pub fn common() -> Vec<Self> {
        let blends = fibre::common_blend_parts().iter().filter_map(|parts| Self::new(parts.clone()).ok());
        Fibre::known().map(Self::pure).chain(blends).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn blend(text: &str) -> Blend {
        Blend::parse(text).unwrap()
    }

    #[test]
    fn a_label_is_read_and_written() {
        let sock = blend("75% Wool / polyamide 25 %");
        assert_eq!(sock.parts(), [(Fibre::Wool, 75.0), (Fibre::Nylon, 25.0)]);
        assert_eq!(sock.name(), "75 % wool, 25 % nylon");
        assert_eq!(blend(&sock.name()), sock);
        assert_eq!(blend("Alpaca"), Blend::pure(Fibre::Alpaca));
        assert_eq!(blend("100 % Schurwolle superwash"), blend("superwash wool"));
        assert_eq!(blend("75 % Schurwolle, 25 % Polyamid"), sock);
        assert_eq!(blend("60% Baumwolle / 40% Polyacryl").name(), "60 % cotton, 40 % acrylic");
        assert_eq!(blend("100 % alpaca").name(), "Alpaca");
        for text in [
            "75%Schurwolle,25%Polyamid",
            "75% Schurwolle 25% Polyamid",
            "Schurwolle 75 %; Polyamid 25 %",
            "Schurwolle (75%), Polyamid (25%)",
            "ca. 75,0 % Schurwolle und 25,0 % Polyamid",
            "75 WO / 25 PA",
            "75% virgin wool\n25% polyamide or nylon",
            "Wolle 75% Polyamid 25%",
            "50 % Wolle, 25 % Lammwolle, 25 % Nylon",
        ] {
            assert_eq!(blend(text), sock, "{text}");
        }
        let merino = blend("70 % Schurwolle (Merino, 19,5 micron), superwash - 30% Maulbeerseide");
        assert_eq!(merino.name(), "70 % superwash wool, 30 % silk");
        // Thirds as labels print them.
        assert!(Blend::parse("33.3 % wool, 33.3 % silk, 33.3 % cotton").is_ok());
    }

    #[test]
    fn what_is_wrong_with_a_blend_is_said_in_words() {
        let error = |text: &str| Blend::parse(text).unwrap_err().to_string();
        assert!(error("").contains("at least one fibre"));
        assert_eq!(
            error("70 % wool, 20 % nylon"),
            "the shares add up to 90 %, 10 % missing; they must make 100 %"
        );
        assert!(error("70 % wool, 40 % nylon").contains("10 % too much"));
        assert!(error("50 % wool, 50 % wool").contains("Wool is listed twice"));
        assert!(error("50 % moonbeam, 50 % wool").contains("“moonbeam”"));
        assert!(error("half wool").contains("is not a share and a fibre"));
        assert!(error("1.2.3 % wool").contains("is not a share"));
        assert!(Blend::new(vec![(Fibre::Wool, f64::NAN)]).is_err());
        assert!(Blend::new(vec![(Fibre::Wool, -5.0), (Fibre::Silk, 105.0)]).is_err());
    }

    #[test]
    fn every_common_blend_is_a_blend() {
        assert_eq!(Blend::common().len(), Fibre::known().count() + fibre::common_blend_parts().len());
    }
}
