//! The symmetry in a project file: mirrors, where their axes lie, and the repeat that is painted along.

use serde::{Deserialize, Serialize};

use super::names::{LayWord, MirrorsWord};
use super::record::Invalid;
use crate::chart::{Axis, MAX_SIDE, Mirrors, Symmetry, Tiles};

/// Left out of a file when nothing is painted along; files of before have none.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SymmetryRecord {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    mirrors: Option<MirrorsWord>,
    /// Where the axes cross; left out for the middle of the repeat.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    axis: Option<AxisRecord>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    tiles: Option<TilesRecord>,
}

/// Halves lie in the middle of a stitch or row.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct AxisRecord {
    from_left_stitches: f64,
    from_bottom_rows: f64,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct TilesRecord {
    lay: LayWord,
    width_stitches: u32,
    height_rows: u32,
}

impl SymmetryRecord {
    pub(super) fn new(symmetry: &Symmetry) -> Self {
        Self {
            mirrors: Some(symmetry.mirrors).filter(|mirrors| *mirrors != Mirrors::None).map(Into::into),
            axis: symmetry.axis.map(|axis| AxisRecord {
                from_left_stitches: f64::from(axis.x2) / 2.0,
                from_bottom_rows: f64::from(axis.y2) / 2.0,
            }),
            tiles: symmetry.tiles.map(|tiles| TilesRecord {
                lay: tiles.lay().into(),
                width_stitches: tiles.width(),
                height_rows: tiles.height(),
            }),
        }
    }

    pub(super) fn is_none(&self) -> bool {
        *self == Self::default()
    }

    /// The symmetry.
    ///
    /// # Errors
    /// [`Invalid`] naming the field that cannot be.
    pub(super) fn symmetry(&self) -> Result<Symmetry, Invalid> {
        let axis = self.axis.as_ref().map(AxisRecord::axis).transpose()?;
        let tiles = self.tiles.as_ref().map(TilesRecord::tiles).transpose()?;
        Ok(Symmetry { mirrors: self.mirrors.map_or_else(Default::default, Into::into), axis, tiles })
    }
}

impl AxisRecord {
    fn axis(&self) -> Result<Axis, Invalid> {
        let halves = |value: f64, field: &str| {
            let twice = value * 2.0;
            if twice.fract() == 0.0 && (0.0..=2.0 * f64::from(MAX_SIDE)).contains(&twice) {
                Ok(twice as u32)
            } else {
                let message = format!("is {value}: write whole or half ones from 0 to {MAX_SIDE}");
                Err(Invalid::new(format!("symmetry > axis > {field}"), &message))
            }
        };
        Ok(Axis {
            x2: halves(self.from_left_stitches, "from_left_stitches")?,
            y2: halves(self.from_bottom_rows, "from_bottom_rows")?,
        })
    }
}

impl TilesRecord {
    fn tiles(&self) -> Result<Tiles, Invalid> {
        let tiles = Tiles::new(self.lay.into(), self.width_stitches, self.height_rows);
        let sides = [
            ("width_stitches", self.width_stitches, tiles.width()),
            ("height_rows", self.height_rows, tiles.height()),
        ];
        for (field, written, known) in sides {
            if written != known {
                let message =
                    format!("is {written}: write 1 to {MAX_SIDE}, an even number where a tile is halved");
                return Err(Invalid::new(format!("symmetry > tiles > {field}"), &message));
            }
        }
        Ok(tiles)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::Lay;

    #[test]
    fn every_symmetry_comes_back_and_none_leaves_no_trace() {
        assert!(SymmetryRecord::new(&Symmetry::default()).is_none());
        for mirrors in Mirrors::ALL {
            for lay in Lay::ALL {
                let axis = Some(Axis { x2: 7, y2: 4000 });
                let symmetry = Symmetry { mirrors, axis, tiles: Some(Tiles::new(lay, 6, 8)) };
                assert_eq!(SymmetryRecord::new(&symmetry).symmetry(), Ok(symmetry));
            }
        }
    }

    #[test]
    fn what_cannot_be_is_named() {
        let mut record = SymmetryRecord::new(&Symmetry::default());
        record.axis = Some(AxisRecord { from_left_stitches: 1.25, from_bottom_rows: 0.0 });
        assert_eq!(record.symmetry().unwrap_err().field, "symmetry > axis > from_left_stitches");
        record.axis = None;
        record.tiles = Some(TilesRecord { lay: Lay::Brick.into(), width_stitches: 7, height_rows: 4 });
        assert_eq!(record.symmetry().unwrap_err().field, "symmetry > tiles > width_stitches");
    }
}
