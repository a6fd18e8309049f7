//! Figures worked out after an edit from what the last ones left, against a twin from scratch.

use huegauge::chart::{Cell, Grid};
use huegauge::export::inspect;
use huegauge::file;
use huegauge::knit::Gauge;
use huegauge::knit::pieces::Template;
use huegauge::project::figures::{Figures, FiguresMemory};
use huegauge::project::{Chart, Edit, History, Project};
use proptest::prelude::*;

use crate::edits::{Stream, next_edit};

/// What the edits of a person at the chart leave alone: repeats, edges, limits, gauge and pieces.
fn plan_edit(project: &Project, stream: &mut Stream) -> Edit {
    let mut plan = project.plan.clone();
    match stream.below(6) {
        0 => plan.repeats_up = 1 + stream.below(3),
        1 => plan.edge_stitches = stream.below(4),
        2 => plan.float_limit.stitches = 1 + stream.below(7),
        3 => plan.colours_per_row = 1 + stream.below(3),
        4 => plan.gauge = Gauge::new(f64::from(10 + stream.below(20)), 30.0).unwrap(),
        _ => {
            let mut pieces = project.pieces.clone();
            let template = Template::ALL[stream.below(Template::ALL.len() as u32) as usize];
            pieces.pieces = if stream.below(2) == 0 { Vec::new() } else { template.pieces(0) };
            pieces.sizes = template.sizes().unwrap_or_default();
            pieces.chosen = 0;
            return Edit::Pieces(Box::new(pieces));
        }
    }
    Edit::Plan(Box::new(plan))
}

/// The figures after each of some edits, undone and done again among them, with one memory all the way.
fn run(project: &mut Project, seed: u64, steps: usize) -> Result<(), TestCaseError> {
    let (mut stream, mut history) = (Stream(seed | 1), History::default());
    let mut memory = FiguresMemory::default();
    for step in 0..steps {
        match stream.below(12) {
            0 | 1 => drop(history.undo(project)),
            2 => drop(history.redo(project)),
            choice => {
                let edit = match choice {
                    3 => Some(plan_edit(project, &mut stream)),
                    _ => next_edit(project, &mut stream),
                };
                let Some(edit) = edit else { continue };
                // An edit that cannot be made leaves the project as it was.
                drop(history.perform(project, "random", edit, stream.below(3) == 0));
            }
        }
        let after = Figures::after(project, &mut memory);
        let twin = Figures::of(project);
        prop_assert_eq!(&after, &twin, "step {}", step);
        let json = |figures: &Figures| inspect::json(project, figures).unwrap();
        prop_assert_eq!(json(&after), json(&twin), "step {}", step);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4))]

    #[test]
    fn figures_after_any_edits_are_those_of_a_twin_from_scratch(seed in any::<u64>()) {
        let mut project = file::demos()[seed as usize % file::demos().len()].project().unwrap();
        run(&mut project, seed, 40)?;
    }

    #[test]
    fn so_are_those_of_a_chart_that_is_all_seeds_and_gaps(seed in any::<u64>()) {
        let mut stream = Stream(seed | 1);
        let (width, height) = (1 + stream.below(9), 1 + stream.below(9));
        let cell = |n: u32| if n == 0 { Cell::NO_STITCH } else { Cell::slot((n % 4) as u8) };
        let cells = (0..width * height).map(|_| cell(stream.below(9))).collect();
        let chart = Chart::new(Grid::from_cells(width, height, cells).unwrap());
        run(&mut Project { chart, ..Project::default() }, seed, 60)?;
    }
}

/// One memory serves projects that have nothing to do with each other.
#[test]
fn a_memory_of_another_project_changes_nothing() {
    let mut memory = FiguresMemory::default();
    for demo in file::demos().iter().chain(file::demos()) {
        let project = demo.project().unwrap();
        assert_eq!(Figures::after(&project, &mut memory), Figures::of(&project));
    }
}
