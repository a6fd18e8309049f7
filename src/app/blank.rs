//! The empty project that "New" begins with.

use crate::chart::{Cell, Grid};
use crate::knit::{Construction, Gauge, Technique};
use crate::project::{Chart, KnitPlan, Project, ProjectError};
use crate::units::LengthUnit;

/// What the "New project" question asks for.
#[derive(Clone, Debug, PartialEq)]
pub struct NewProject {
    /// Title; may be empty.
    pub title: String,
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

impl Default for NewProject {
    /// The default project's gauge and one 24-stitch repeat.
    fn default() -> Self {
        let gauge = KnitPlan::default().gauge;
        Self {
            title: String::new(),
            stitches: 24,
            rows: 24,
            gauge_stitches: gauge.stitches.get(),
            gauge_rows: gauge.rows.get(),
            technique: Technique::default(),
            construction: Construction::default(),
            units: LengthUnit::default(),
        }
    }
}

impl NewProject {
    /// Builds the project: a chart of plain ground, with enough repeats to go around about 50 cm.
    ///
    /// # Errors
    /// [`ProjectError`] in words when a size or a gauge is out of range.
    pub fn build(&self) -> Result<Project, ProjectError> {
        let mut project = Project::default();
        let ground = Cell::slot(project.background_slot() as u8);
        let gauge = Gauge::new(self.gauge_stitches, self.gauge_rows)?;
        project.chart = Chart::new(Grid::new(self.stitches, self.rows, ground)?);
        let repeats = (gauge.stitches_in(50.0) / self.stitches).max(1);
        project.plan = KnitPlan {
            technique: self.technique,
            construction: self.construction,
            ..KnitPlan::new(gauge, repeats * self.stitches)
        };
        project.units = self.units;
        let title = self.title.trim();
        if !title.is_empty() {
            title.clone_into(&mut project.title);
        }
        Ok(project)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
}
