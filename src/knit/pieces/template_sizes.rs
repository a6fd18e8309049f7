//! The sizes a template is first offered in.

use super::body::{Fit, SizeTable, TableError};
use super::model::Size;
use super::templates::Template;

impl Template {
    /// The group of the size table its sizes come from; `None` when it fits nobody in particular.
    pub const fn size_group(self) -> Option<&'static str> {
        match self {
            Self::Hat => Some("Head"),
            Self::Mittens | Self::GussetMittens => Some("Hand"),
            Self::Socks | Self::FlapSocks => Some("Foot"),
            Self::DropShoulder | Self::CircularYoke | Self::Raglan => Some("Woman"),
            Self::Scarf | Self::Cowl | Self::GraftedCowl | Self::Blanket | Self::Cushion | Self::Blank => {
                None
            }
        }
    }

    /// The sizes of its group that are offered first.
    const fn usual_sizes(self) -> &'static [&'static str] {
        match self {
            Self::Hat => &["Child", "Woman", "Man"],
            Self::Mittens | Self::GussetMittens => &["7", "8", "9"],
            Self::Socks | Self::FlapSocks => &["36", "40", "44"],
            Self::DropShoulder | Self::CircularYoke | Self::Raglan => &["S", "M", "L"],
            Self::Scarf | Self::Cowl | Self::GraftedCowl | Self::Blanket | Self::Cushion | Self::Blank => &[],
        }
    }

    /// The ease its sizes start with, by its name in the published fit chart; `None` for no ease.
    const fn usual_fit(self) -> Option<&'static str> {
        match self {
            Self::DropShoulder | Self::CircularYoke | Self::Raglan => Some("Standard-fitting"),
            _ => None,
        }
    }

    /// Sizes to start with, from the published table; none for what fits nobody in particular.
    ///
    /// # Errors
    /// [`TableError`] when the shipped table is damaged.
    pub fn sizes(self) -> Result<Vec<Size>, TableError> {
        let Some(group) = self.size_group() else { return Ok(Vec::new()) };
        let table = SizeTable::shipped()?;
        let fit = table.fits.iter().find(|fit| Some(fit.name.as_str()) == self.usual_fit());
        let ease_cm = fit.map_or(0.0, Fit::usual_cm);
        let sizes = table.group(group).into_iter().flat_map(|group| &group.sizes);
        let usual = sizes.filter(|size| self.usual_sizes().contains(&size.name.as_str()));
        Ok(usual.map(|size| Size { name: size.name.clone(), body: size.body, ease_cm }).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::super::Piece;
    use super::*;

    #[test]
    fn the_sizes_offered_first_know_every_measurement_the_pieces_follow() {
        for template in Template::ALL {
            let sizes = template.sizes().unwrap();
            assert_eq!(sizes.len(), template.usual_sizes().len(), "{}", template.name());
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
    }
}
