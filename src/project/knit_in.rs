//! Knitting the palette in shades of a card: which colour takes which shade, and the edit that does it.

use std::sync::Arc;

use super::edit::Edit;
use super::model::Project;
use super::palette::{Palette, Role};
use crate::colour::Colour;
use crate::knit::pieces::PiecesYarn;
use crate::yarn::Shade;

impl Palette {
    /// The slots by role: main, supporting, accent, ground; in each role as they stand.
    pub fn by_role(&self) -> Vec<usize> {
        let of = |role: Role| {
            let slots = self.slots().iter().enumerate();
            slots.filter(move |(_, slot)| slot.role == role).map(|(index, _)| index)
        };
        Role::ALL.into_iter().flat_map(of).collect()
    }
}

impl Project {
    /// The edit that knits slots in shades. Hues are let go from the scheme, which would pull the
    /// shades about again; slots that do not exist are passed over.
    pub fn knit_in(&self, shades: impl IntoIterator<Item = (usize, Arc<Shade>)>) -> Edit {
        let mut palette = self.palette.clone();
        palette.scheme = None;
        for (index, shade) in shades {
            if let Some(slot) = palette.slots_mut().get_mut(index) {
                slot.knit_in(shade);
            }
        }
        Edit::Palette(Box::new(palette))
    }
}

impl Project {
    /// The metres each shade of a set takes when the palette's colours are knitted in them by area: the
    /// colours by role take them, the largest area the quietest; a shade that no colour takes needs none.
    pub fn metres_by_area(&self, yarn: &PiecesYarn, shades: &[Colour]) -> Vec<f64> {
        let slots = self.palette.by_role();
        let slots = &slots[..shades.len().min(slots.len())];
        let of = |slot: &usize| yarn.colours.get(*slot);
        let areas: Vec<f64> =
            slots.iter().map(|slot| of(slot).map_or(0.0, |colour| colour.share_percent)).collect();
        let mut metres = vec![0.0; shades.len()];
        for (slot, shade) in slots.iter().zip(deal_by_area(&areas, shades)) {
            metres[shade] = of(slot).map_or(0.0, |colour| colour.metres().high);
        }
        metres
    }
}

/// Gives colours to areas so that the largest area takes the quietest colour (the lowest chroma) and
/// the smallest the loudest: common practice, no published source. For each area the place of its
/// colour; there must be at least as many colours as areas, and the loudest are left over.
pub fn deal_by_area(areas: &[f64], colours: &[Colour]) -> Vec<usize> {
    let mut quiet: Vec<usize> = (0..colours.len()).collect();
    quiet.sort_by(|a, b| colours[*a].chroma().total_cmp(&colours[*b].chroma()));
    let mut large: Vec<usize> = (0..areas.len()).collect();
    large.sort_by(|a, b| areas[*b].total_cmp(&areas[*a]));
    let mut dealt = vec![0; areas.len()];
    for (area, colour) in large.into_iter().zip(quiet) {
        dealt[area] = colour;
    }
    dealt
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Scheme;

    #[test]
    fn the_largest_area_takes_the_quietest_colour() {
        let colours =
            [Colour::clamped(0.6, 0.15, 30.0), Colour::grey(80.0), Colour::clamped(0.4, 0.06, 250.0)];
        assert_eq!(deal_by_area(&[0.3, 0.1, 0.6], &colours), [2, 0, 1]);
        assert_eq!(deal_by_area(&[0.1, 0.9], &colours), [2, 1]);
        assert!(deal_by_area(&[], &colours).is_empty());
    }

    #[test]
    fn roles_come_in_their_order() {
        let mut palette = Palette::default();
        palette.slots_mut()[0].role = Role::Ground;
        palette.slots_mut()[3].role = Role::Main;
        assert_eq!(palette.by_role(), [3, 1, 2, 0]);
    }

    #[test]
    fn knitting_in_shades_is_one_edit_and_lets_the_scheme_go() {
        let mut project = Project::default();
        project.palette.scheme = Some(Scheme::Triadic);
        let before = project.palette.clone();
        let shade = Arc::new(Shade::new("Dull bucket", Colour::grey(80.0)));
        let edit = project.knit_in([(1, Arc::clone(&shade)), (99, Arc::clone(&shade))]);
        let undo = project.apply(edit);
        assert_eq!(project.palette.slots()[1].shade(), Some(&shade));
        assert_eq!(project.palette.slots()[0], before.slots()[0]);
        assert_eq!(project.palette.scheme, None);
        project.apply(undo);
        assert_eq!(project.palette, before);
    }
}
