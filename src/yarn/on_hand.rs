//! Yarn on hand of shades that a project is knitted in.

use std::sync::Arc;

use super::shade_card::Shade;

/// How much is on hand of shades, as the project says it. It goes before what their cards say, which was
/// written down once for every project.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OnHand(Vec<(Arc<Shade>, f64)>);

impl OnHand {
    /// Metres of each shade; those of one shade are added up. What the card says just so is left out: to knit in such a
    /// shade tells nothing new of it. That there is none of a shade of which the card has some is told.
    pub fn new(found: impl IntoIterator<Item = (Arc<Shade>, f64)>) -> Self {
        let mut all: Vec<(Arc<Shade>, f64)> = Vec::new();
        for (shade, metres) in found.into_iter().filter(|(_, metres)| *metres >= 0.0) {
            match all.iter_mut().find(|(known, _)| known.is_same(&shade)) {
                Some((_, sum)) => *sum += metres,
                None => all.push((shade, metres)),
            }
        }
        all.retain(|(shade, metres)| (shade.owned_m() - metres).abs() > 1e-6);
        Self(all)
    }

    /// Metres on hand of a shade, 0 where there is none left; `None` where the project says nothing of it.
    pub fn metres(&self, shade: &Shade) -> Option<f64> {
        self.0.iter().find(|(known, _)| known.is_same(shade)).map(|(_, metres)| *metres)
    }

    /// Balls on hand of a shade: as the project says, else as its card does.
    pub fn balls(&self, shade: &Shade) -> f64 {
        match (self.metres(shade), shade.put_up) {
            (Some(metres), Some(put_up)) => metres / put_up.metres_per_ball(),
            _ => f64::from(shade.owned_balls()),
        }
    }
}

impl Shade {
    /// Whether two are one shade of one yarn, whatever was measured or priced anew since.
    pub fn is_same(&self, other: &Self) -> bool {
        let of = |shade: &Self| (shade.put_up, shade.weight_class);
        (&self.name, &self.code, &self.fibre, &self.make.line)
            == (&other.name, &other.code, &other.fibre, &other.make.line)
            && of(self) == of(other)
    }
}
