//! One motif in every weight class, as it is asked for.

use std::sync::Arc;

use super::motifs::{colours_of, stamp_colours};
use crate::chart::{Cell, Motif, MotifError, Rect};
use crate::knit::{AtWeight, motif_at_weights};
use crate::project::Project;
use crate::units::Cm;

/// Which motif is tried.
#[derive(Clone, Debug, PartialEq)]
pub enum WeightsOf {
    /// What is chosen on the chart.
    Region(Rect),
    /// The repeat.
    Repeat,
    /// One of the library.
    Motif(Arc<Motif>),
}

/// What is asked.
#[derive(Clone, Debug, PartialEq)]
pub struct WeightsForm {
    /// Which motif.
    pub of: WeightsOf,
    /// Its width in cm.
    pub width_cm: f64,
}

impl WeightsForm {
    /// The question about a motif, at the width it has at the project's gauge.
    pub fn of(project: &Project, of: WeightsOf) -> Self {
        let stitches = match &of {
            WeightsOf::Region(region) => region.width,
            WeightsOf::Repeat => project.chart.repeat().width,
            WeightsOf::Motif(motif) => motif.stitches().width(),
        };
        Self { of, width_cm: project.plan.gauge.width(stitches).get() }
    }

    /// What it is called.
    pub fn name(&self) -> &str {
        match &self.of {
            WeightsOf::Region(_) => "The chosen region",
            WeightsOf::Repeat => "The repeat",
            WeightsOf::Motif(motif) => motif.name(),
        }
    }

    /// The colours of its inks: those it has on the chart, or those it would be stamped in.
    pub fn colours(&self, project: &Project, paint: Cell) -> Vec<Cell> {
        match &self.of {
            WeightsOf::Region(region) => colours_of(project, *region),
            WeightsOf::Repeat => colours_of(project, project.chart.repeat()),
            WeightsOf::Motif(_) => stamp_colours(project, paint),
        }
    }

    /// The motif.
    ///
    /// # Errors
    /// [`MotifError`] when the part of the chart holds none.
    pub fn motif(&self, project: &Project) -> Result<Arc<Motif>, MotifError> {
        let ground = Cell::slot(project.background_slot() as u8);
        let part = |region| Motif::of_region(self.name(), &project.chart.grid, region, ground).map(Arc::new);
        match &self.of {
            WeightsOf::Region(region) => part(*region),
            WeightsOf::Repeat => part(project.chart.repeat()),
            WeightsOf::Motif(motif) => Ok(Arc::clone(motif)),
        }
    }

    /// It in every class, the thinnest first.
    ///
    /// # Errors
    /// Words, when the part of the chart holds no motif.
    pub fn at_weights(&self, project: &Project) -> Result<Vec<AtWeight>, String> {
        let motif = self.motif(project).map_err(|error| error.to_string())?;
        Ok(motif_at_weights(&motif, project.plan.gauge, Cm::clamped(self.width_cm)))
    }
}
