//! The sizes a template is first offered in.

use super::body::{Fit, SizeTable, TableError};
use super::model::Size;
use super::templates::Template;
use crate::yarn::PieceKind;

/// The group of the size table for a child's garments.
pub const CHILD_GROUP: &str = "Child";
/// The child's sizes that are offered first (our choice of the middle of the table).
const CHILD_SIZES: &[&str] = &["4", "6", "8"];

impl Template {
    /// The group of the size table its sizes come from; `None` when it fits nobody in particular.
    pub const fn size_group(self) -> Option<&'static str> {
        match self.usual_sizes() {
            Some((group, _)) => Some(group),
            None => None,
        }
    }

    /// The group and the sizes of it that are offered first for who is to wear it: a child's where the
    /// piece is for a child, else those of the template.
    const fn offered(self, worn_by: Option<PieceKind>) -> (Option<&'static str>, &'static [&'static str]) {
        match (worn_by, self) {
            (Some(PieceKind::BabyAndChild), Self::Hat) => (Some("Head"), &["Baby", "Toddler", "Child"]),
            (Some(PieceKind::BabyAndChild), Self::Socks) => (Some("Foot"), &["25", "28", "31"]),
            (Some(PieceKind::BabyAndChild), _) if self.size_group().is_some() => {
                (Some(CHILD_GROUP), CHILD_SIZES)
            }
            _ => match self.usual_sizes() {
                Some((group, sizes)) => (Some(group), sizes),
                None => (None, &[]),
            },
        }
    }

    /// The group of the size table, and the sizes of it that are offered first; `None` for what fits nobody in
    /// particular.
    const fn usual_sizes(self) -> Option<(&'static str, &'static [&'static str])> {
        match self {
            Self::Hat => Some(("Head", &["Child", "Woman", "Man"])),
            Self::Mittens | Self::GussetMittens => Some(("Hand", &["7", "8", "9"])),
            Self::Socks | Self::FlapSocks => Some(("Foot", &["36", "40", "44"])),
            Self::DropShoulder | Self::SteekedDropShoulder | Self::CircularYoke | Self::Raglan => {
                Some(("Woman", &["S", "M", "L"]))
            }
            Self::Scarf
            | Self::Cowl
            | Self::GraftedCowl
            | Self::Blanket
            | Self::SteekedBlanket
            | Self::Cushion
            | Self::Blank => None,
        }
    }

    /// The ease its sizes start with, by its name in the published fit chart; `None` for no ease.
    const fn usual_fit(self) -> Option<&'static str> {
        match self {
            Self::DropShoulder | Self::SteekedDropShoulder | Self::CircularYoke | Self::Raglan => {
                Some("Standard-fitting")
            }
            _ => None,
        }
    }

    /// Sizes to start with, from the published table; none for what fits nobody in particular.
    ///
    /// # Errors
    /// [`TableError`] when the shipped table is damaged.
    pub fn sizes(self) -> Result<Vec<Size>, TableError> {
        self.sizes_for(None)
    }

    /// Sizes to start with for a kind of piece, from the published table.
    ///
    /// # Errors
    /// [`TableError`] when the shipped table is damaged.
    pub fn sizes_for(self, worn_by: Option<PieceKind>) -> Result<Vec<Size>, TableError> {
        let (Some(group), names) = self.offered(worn_by) else { return Ok(Vec::new()) };
        sizes_of(group, names, self.usual_fit())
    }
}

/// Sizes for a kind of piece of which no template was chosen: a child's with the standard ease, else none.
///
/// # Errors
/// [`TableError`] when the shipped table is damaged.
pub fn sizes_without_template(worn_by: Option<PieceKind>) -> Result<Vec<Size>, TableError> {
    match worn_by {
        Some(PieceKind::BabyAndChild) => sizes_of(CHILD_GROUP, CHILD_SIZES, Template::Raglan.usual_fit()),
        _ => Ok(Vec::new()),
    }
}

/// These sizes of a group with the usual ease of a published fit.
fn sizes_of(group: &str, names: &[&str], fit: Option<&str>) -> Result<Vec<Size>, TableError> {
    let table = SizeTable::shipped()?;
    let fit = table.fits.iter().find(|known| Some(known.name.as_str()) == fit);
    let usual = if group == CHILD_GROUP { Fit::usual_child_cm } else { Fit::usual_cm };
    let ease_cm = fit.map_or(0.0, usual);
    let sizes = table.group(group).into_iter().flat_map(|group| &group.sizes);
    let usual = sizes.filter(|size| names.contains(&size.name.as_str()));
    Ok(usual.map(|size| Size { name: size.name.clone(), body: size.body, ease_cm }).collect())
}

#[cfg(test)]
mod tests {
    use super::super::Piece;
    use super::*;

    #[test]
    fn the_sizes_offered_first_know_every_measurement_the_pieces_follow() {
        let all = Template::ALL.into_iter();
        for (template, worn_by) in all.flat_map(|t| [(t, None), (t, Some(PieceKind::BabyAndChild))]) {
            let sizes = template.sizes_for(worn_by).unwrap();
            assert_eq!(sizes.len(), template.offered(worn_by).1.len(), "{}", template.name());
            for measure in template.pieces(0).iter().flat_map(Piece::measures) {
                assert!(
                    sizes.iter().all(|size| size.body.get(measure).is_some()),
                    "{} {}",
                    template.name(),
                    measure.name()
                );
            }
        }
        let ease = Template::CircularYoke.sizes().unwrap()[1].ease_cm;
        // 3 in is the middle of the 2 to 4 in of the published standard fit.
        assert!((ease - 7.62).abs() < 1e-9);
        // A child's is the least of it, 2 in.
        let sizes = Template::CircularYoke.sizes_for(Some(PieceKind::BabyAndChild)).unwrap();
        assert!(sizes.iter().all(|size| (size.ease_cm - 5.08).abs() < 1e-9));
    }
}
