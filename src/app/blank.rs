//! The project that "New" begins with: what it is for, of which fibre, from which template, and the gauge
//! and chart size that are usual for that.

use crate::chart::{Cell, Grid};
use crate::knit::pieces::Template;
use crate::knit::{Construction, Gauge, Technique};
use crate::project::{Chart, KnitPlan, PiecePlan, Project, ProjectError};
use crate::units::LengthUnit;
use crate::yarn::{Blend, CareLabel, Fitness, Needs, PieceKind, total};

/// Fibres that are offered for a kind of piece.
const OFFERED: usize = 6;

/// What the "New project" question asks for.
#[derive(Clone, Debug, PartialEq)]
pub struct NewProject {
    /// Title; may be empty.
    pub title: String,
    /// What is knitted, when it is told.
    pub piece: Option<PieceKind>,
    /// Whether it is a gift.
    pub gift: bool,
    /// The fibre or blend, when one is chosen.
    pub blend: Option<Blend>,
    /// The template of its pieces; `None` for the chart alone.
    pub template: Option<Template>,
    /// Stitches of the chart.
    pub stitches: u32,
    /// Rows of the chart.
    pub rows: u32,
    /// Washed stitches per 10 cm.
    pub gauge_stitches: f64,
    /// Washed rows per 10 cm.
    pub gauge_rows: f64,
    /// How colours are worked.
    pub technique: Technique,
    /// Rounds or turned rows.
    pub construction: Construction,
    /// Units shown.
    pub units: LengthUnit,
}

/// What a new project of some kind usually begins with (common practice, no published source): gauges from
/// the middle of the published weight class it is mostly knitted in, rows a third more than stitches.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Usual {
    gauge: (f64, f64),
    chart: (u32, u32),
    technique: Technique,
    construction: Construction,
    template: Option<Template>,
}

impl Usual {
    fn of(piece: Option<PieceKind>) -> Self {
        let round = Construction::InTheRound;
        let stranded = Technique::Stranded;
        let usual = |gauge, chart, technique, construction, template| Self {
            gauge,
            chart,
            technique,
            construction,
            template,
        };
        match piece {
            None | Some(PieceKind::Own) => {
                let gauge = KnitPlan::default().gauge;
                let gauge = (gauge.stitches.get(), gauge.rows.get());
                usual(gauge, (24, 24), Technique::default(), Construction::default(), None)
            }
            Some(PieceKind::Socks) => usual((30.0, 40.0), (12, 12), stranded, round, Some(Template::Socks)),
            Some(PieceKind::Mittens) => {
                usual((28.0, 32.0), (12, 24), stranded, round, Some(Template::Mittens))
            }
            Some(PieceKind::Hat) => usual((22.0, 28.0), (16, 20), stranded, round, Some(Template::Hat)),
            Some(PieceKind::Sweater) => {
                usual((24.0, 30.0), (24, 24), stranded, round, Some(Template::CircularYoke))
            }
            Some(PieceKind::BabyAndChild) => {
                usual((24.0, 32.0), (12, 16), stranded, round, Some(Template::DropShoulder))
            }
            Some(PieceKind::Shawl) => {
                usual((20.0, 28.0), (24, 32), Technique::Stripes, Construction::Flat, Some(Template::Scarf))
            }
            Some(PieceKind::Blanket) => usual(
                (18.0, 24.0),
                (30, 40),
                Technique::Intarsia,
                Construction::Flat,
                Some(Template::Blanket),
            ),
            Some(PieceKind::CushionAndDecor) => {
                usual((18.0, 22.0), (40, 48), stranded, round, Some(Template::Cushion))
            }
            Some(PieceKind::TowelOrCoaster) => {
                usual((20.0, 28.0), (30, 42), Technique::Stripes, Construction::Flat, None)
            }
        }
    }
}

impl Default for NewProject {
    /// The default project's gauge and one 24-stitch repeat.
    fn default() -> Self {
        let usual = Usual::of(None);
        Self {
            title: String::new(),
            piece: None,
            gift: false,
            blend: None,
            template: usual.template,
            stitches: usual.chart.0,
            rows: usual.chart.1,
            gauge_stitches: usual.gauge.0,
            gauge_rows: usual.gauge.1,
            technique: usual.technique,
            construction: usual.construction,
            units: LengthUnit::default(),
        }
    }
}

impl NewProject {
    /// What it must withstand, when it is told what it is.
    pub fn needs(&self) -> Option<Needs> {
        let stranded = self.technique == Technique::Stranded;
        self.piece.map(|piece| Needs { gift: self.gift, ..Needs::preset(piece).where_worked(stranded) })
    }

    /// Says what it is for. Every answer that was still the usual one becomes the usual one for this; what
    /// was changed by hand stays.
    pub fn is_for(&mut self, piece: Option<PieceKind>, gift: bool) {
        let (was, is) = (Usual::of(self.piece), Usual::of(piece));
        let take = |value: &mut f64, was: f64, is: f64| {
            if *value == was {
                *value = is;
            }
        };
        take(&mut self.gauge_stitches, was.gauge.0, is.gauge.0);
        take(&mut self.gauge_rows, was.gauge.1, is.gauge.1);
        if (self.stitches, self.rows) == was.chart {
            (self.stitches, self.rows) = is.chart;
        }
        if self.technique == was.technique {
            self.technique = is.technique;
        }
        if self.construction == was.construction {
            self.construction = is.construction;
        }
        if self.template == was.template {
            self.template = is.template;
        }
        (self.piece, self.gift) = (piece, gift);
        let needs = self.needs();
        self.blend.take_if(|blend| !needs.is_some_and(|needs| stands(needs, blend)));
    }

    /// Builds the project: a chart of plain ground, with enough repeats to go around about 50 cm.
    ///
    /// # Errors
    /// [`ProjectError`] in words when a size or a gauge is out of range.
    pub fn build(&self) -> Result<Project, ProjectError> {
        let mut project = Project::default();
        let ground = project.background_slot();
        let gauge = Gauge::new(self.gauge_stitches, self.gauge_rows)?;
        project.chart = Chart::new(Grid::new(self.stitches, self.rows, Cell::slot(ground as u8))?);
        let repeats = (gauge.stitches_in(50.0) / self.stitches).max(1);
        project.plan = KnitPlan {
            technique: self.technique,
            construction: self.construction,
            ..KnitPlan::new(gauge, repeats * self.stitches)
        };
        project.units = self.units;
        project.material.needs = self.needs();
        project.material.blend.clone_from(&self.blend);
        if let Some(template) = self.template {
            // A damaged table leaves the pieces without sizes, as they can be made by hand.
            let sizes = template.sizes_for(self.piece).unwrap_or_default();
            project.pieces = PiecePlan {
                pieces: template.pieces(ground),
                chosen: sizes.len() / 2,
                sizes,
                ..PiecePlan::default()
            };
        }
        let title = self.title.trim();
        if !title.is_empty() {
            title.clone_into(&mut project.title);
        }
        Ok(project)
    }
}

/// Whether a fibre answers the needs, as far as it goes without a label.
fn stands(needs: Needs, blend: &Blend) -> bool {
    needs.judge(blend, &CareLabel::default()).fitness == Fitness::Fits
}

/// The fibres and blends that answer the needs best, those left out that do not stand the wash; not for the window's thread.
pub(super) fn offered(needs: Needs) -> Vec<Blend> {
    let sold = |blend: &Blend| !matches!(blend.parts(), [(fibre, _)] if fibre.facts().only_in_blends);
    let mut scored: Vec<(f64, Blend)> = Blend::common()
        .into_iter()
        .filter(|blend| sold(blend) && stands(needs, blend))
        .map(|blend| (total(needs, &blend), blend))
        .collect();
    scored.sort_by(|a, b| b.0.total_cmp(&a.0));
    scored.into_iter().take(OFFERED).map(|(_, blend)| blend).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::yarn::Stitches;

    #[test]
    fn the_default_answers_build_a_whole_number_of_repeats() {
        let project = NewProject::default().build().unwrap();
        assert_eq!(project.check(), Ok(()));
        assert_eq!(project.repeats_around().1, 0);
    }

    #[test]
    fn a_gauge_of_zero_is_refused_in_words() {
        let asked = NewProject { gauge_rows: 0.0, ..NewProject::default() };
        assert!(asked.build().unwrap_err().to_string().contains("rows per 10 cm"));
    }

    #[test]
    fn every_kind_of_piece_builds_a_project_that_can_be_worked() {
        for piece in PieceKind::ALL.iter().copied() {
            let mut asked = NewProject::default();
            asked.is_for(Some(piece), true);
            let project = asked.build().unwrap();
            assert_eq!(project.check(), Ok(()));
            for size in project.pieces.all_sizes() {
                let worked = project.work_pieces(&size);
                assert!(worked.is_ok(), "{} {}: {:?}", piece.name(), size.name, worked.err());
            }
            assert!(!offered(asked.needs().unwrap()).is_empty(), "{}", piece.name());
        }
    }

    #[test]
    fn what_it_is_for_brings_the_usual_and_keeps_what_was_typed() {
        let mut asked = NewProject { gauge_stitches: 19.0, ..NewProject::default() };
        asked.is_for(Some(PieceKind::BabyAndChild), true);
        assert_eq!((asked.gauge_stitches, asked.gauge_rows), (19.0, 32.0));
        assert_eq!(asked.template, Some(Template::DropShoulder));
        let best = offered(asked.needs().unwrap()).remove(0);
        assert!(best.name().to_lowercase().contains("superwash"), "{}", best.name());
        let project = asked.build().unwrap();
        let needs = project.material.needs.unwrap();
        assert!(needs.gift);
        assert_eq!((project.plan.technique, needs.stitches), (Technique::Stranded, Stitches::Stranded));
        assert_eq!(project.pieces.sizes[0].name, "4");
        asked.blend = Some(best);
        asked.is_for(Some(PieceKind::Hat), true);
        assert!(asked.blend.is_some(), "what stands the wash stays");
        asked.is_for(None, false);
        assert_eq!((asked.gauge_stitches, asked.template, &asked.blend), (19.0, None, &None));
    }
}
