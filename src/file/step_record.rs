//! The records of what is done between bands, of stitches taken up, and of finishing.

use serde::{Deserialize, Serialize};

use super::piece_record::{Check, LengthRecord, WidthRecord};
use super::record::Invalid;
use crate::knit::pieces::{Finish, HeldFigures, OwnFigures, Step, Take};

/// Where stitches come from.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TakeRecord {
    Group(String),
    PickUp { along: String, edge: LengthRecord, stitches: u32, every_rows: u32 },
    CastOn { stitches: u32 },
    Opening { name: String, corner_stitches: u32 },
}

impl TakeRecord {
    pub(super) fn new(take: &Take) -> Self {
        match take {
            Take::Group(name) => Self::Group(name.clone()),
            Take::PickUp { along, rows, stitches, every } => Self::PickUp {
                along: along.clone(),
                edge: LengthRecord::new(*rows),
                stitches: *stitches,
                every_rows: *every,
            },
            Take::CastOn(stitches) => Self::CastOn { stitches: *stitches },
            Take::Opening { name, corners } => {
                Self::Opening { name: name.clone(), corner_stitches: *corners }
            }
        }
    }

    pub(super) fn take(&self, check: &Check) -> Result<Take, Invalid> {
        Ok(match self {
            Self::Group(name) => Take::Group(name.clone()),
            Self::PickUp { along, edge, stitches, every_rows } => Take::PickUp {
                along: along.clone(),
                rows: edge.length(check, "takes > edge")?,
                stitches: check.at_least_one("takes > stitches", *stitches)?,
                every: check.at_least_one("takes > every_rows", *every_rows)?,
            },
            Self::CastOn { stitches } => {
                let stitches = check.at_least_one("takes > stitches", *stitches)?;
                Take::CastOn(stitches.min(MOST_CORNER))
            }
            Self::Opening { name, corner_stitches } => {
                Take::Opening { name: name.clone(), corners: (*corner_stitches).min(MOST_CORNER) }
            }
        })
    }
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands over a reference")]
const fn is_none(stitches: &u32) -> bool {
    *stitches == 0
}

/// Most stitches picked up at a corner, and most that two turns lie apart.
const MOST_CORNER: u32 = 1_000;

/// What is done between two bands.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum StepRecord {
    Opening {
        name: String,
        stitches: WidthRecord,
        inset_stitches: u32,
        /// Absent where it is half of the round.
        #[serde(default, skip_serializing_if = "is_none")]
        face_stitches: u32,
    },
    ShortRows {
        rise_cm: f64,
        share: f64,
        further_stitches: u32,
    },
    Steek {
        name: String,
        at: f64,
        aside: WidthRecord,
        less_cm: f64,
        bridge_stitches: u32,
    },
    HeelTurn,
}

impl StepRecord {
    pub(super) fn new(step: &Step) -> Self {
        match step {
            Step::Opening { name, stitches, inset, face } => Self::Opening {
                name: name.clone(),
                stitches: WidthRecord::new(*stitches),
                inset_stitches: *inset,
                face_stitches: *face,
            },
            Step::ShortRows { rise_cm, share, further } => {
                Self::ShortRows { rise_cm: *rise_cm, share: *share, further_stitches: *further }
            }
            Step::Steek { name, at, aside, less_cm, bridge } => Self::Steek {
                name: name.clone(),
                at: *at,
                aside: WidthRecord::new(*aside),
                less_cm: *less_cm,
                bridge_stitches: *bridge,
            },
            Step::HeelTurn => Self::HeelTurn,
        }
    }

    pub(super) fn step(&self, check: &Check) -> Result<Step, Invalid> {
        Ok(match self {
            Self::Opening { name, stitches, inset_stitches, face_stitches } => Step::Opening {
                name: name.clone(),
                stitches: stitches.width(check, "then > stitches")?,
                inset: (*inset_stitches).min(MOST_CORNER),
                face: (*face_stitches).min(crate::knit::pieces::MAX_STITCHES),
            },
            Self::ShortRows { rise_cm, share, further_stitches } => Step::ShortRows {
                rise_cm: check.cm("then > rise_cm", *rise_cm)?,
                share: share_of_round(check, "then > share", *share)?,
                further: (*further_stitches).min(MOST_CORNER),
            },
            Self::Steek { name, at, aside, less_cm, bridge_stitches } => Step::Steek {
                name: name.clone(),
                at: share_of_round(check, "then > at", *at)?,
                aside: aside.width(check, "then > aside")?,
                less_cm: check.cm("then > less_cm", *less_cm)?,
                bridge: (*bridge_stitches).min(MOST_CORNER),
            },
            Self::HeelTurn => Step::HeelTurn,
        })
    }
}

fn share_of_round(check: &Check, at: &str, share: f64) -> Result<f64, Invalid> {
    if (0.0..=1.0).contains(&share) {
        return Ok(share);
    }
    Err(check.invalid(at, &format!("the share of the round must be 0 to 1, not {share}")))
}

/// What is done at the end.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum FinishRecord {
    Graft { one: String, other: String },
    ThreeNeedleBindOff { one: String, other: String },
    Seam(String),
    Steek { stitches: u32, place: String },
}

impl FinishRecord {
    pub(super) fn new(finish: &Finish) -> Self {
        match finish {
            Finish::Graft { one, other } => Self::Graft { one: one.clone(), other: other.clone() },
            Finish::ThreeNeedle { one, other } => {
                Self::ThreeNeedleBindOff { one: one.clone(), other: other.clone() }
            }
            Finish::Seam(what) => Self::Seam(what.clone()),
            Finish::Steek { stitches, place } => Self::Steek { stitches: *stitches, place: place.clone() },
        }
    }

    pub(super) fn finish(&self) -> Finish {
        match self {
            Self::Graft { one, other } => Finish::Graft { one: one.clone(), other: other.clone() },
            Self::ThreeNeedleBindOff { one, other } => {
                Finish::ThreeNeedle { one: one.clone(), other: other.clone() }
            }
            Self::Seam(what) => Finish::Seam(what.clone()),
            Self::Steek { stitches, place } => {
                Finish::Steek { stitches: (*stitches).min(MOST_CORNER), place: place.clone() }
            }
        }
    }
}

/// Figures of a band in one size: its own, or what is held of it while all sizes are solved. Both have their size,
/// stitches and rows; the others are of one kind only, and refused in the other.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FiguresRecord {
    size: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    stitches: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    rows: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    end_stitches: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    stitches_per_row: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    repeats: Option<u32>,
}

impl FiguresRecord {
    pub(super) fn of_own(own: &OwnFigures) -> Self {
        let OwnFigures { size, stitches, rows, end, per_row } = own.clone();
        Self { size, stitches, rows, end_stitches: end, stitches_per_row: per_row, repeats: None }
    }

    pub(super) fn of_held(held: &HeldFigures) -> Self {
        let HeldFigures { size, stitches, rows, repeats } = held.clone();
        Self { size, stitches, rows, repeats, ..Self::default() }
    }

    /// The figures of its own in a size.
    ///
    /// # Errors
    /// [`Invalid`] for a field that only what is held has.
    pub(super) fn own(&self, check: &Check) -> Result<OwnFigures, Invalid> {
        not_here(check, "own > repeats", self.repeats)?;
        Ok(OwnFigures {
            size: self.size.clone(),
            stitches: self.stitches,
            rows: self.rows,
            end: self.end_stitches,
            // No stitch at all in a row is no shaping.
            per_row: self.stitches_per_row.filter(|n| *n > 0),
        })
    }

    /// What is held of it in a size.
    ///
    /// # Errors
    /// [`Invalid`] for a field that only figures of its own have.
    pub(super) fn held(&self, check: &Check) -> Result<HeldFigures, Invalid> {
        not_here(check, "held > end_stitches", self.end_stitches)?;
        not_here(check, "held > stitches_per_row", self.stitches_per_row)?;
        let Self { size, stitches, rows, repeats, .. } = self.clone();
        Ok(HeldFigures { size, stitches, rows, repeats })
    }
}

fn not_here(check: &Check, field: &str, found: Option<u32>) -> Result<(), Invalid> {
    if found.is_some() {
        Err(check.invalid(field, &"there is no such figure here: take it out"))
    } else {
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_of_the_other_kind_is_refused_by_its_name() {
        let check = Check("bands[2]");
        let record: FiguresRecord = ron::from_str("(size: \"M\", rows: Some(3), repeats: Some(4))").unwrap();
        assert_eq!(record.held(&check).unwrap().repeats, Some(4));
        assert!(record.own(&check).is_err());
        let record = FiguresRecord { end_stitches: Some(8), ..FiguresRecord::default() };
        assert!(record.held(&check).is_err() && record.own(&check).is_ok());
        assert!(ron::from_str::<FiguresRecord>("(size: \"M\", columns: Some(3))").is_err());
    }
}
