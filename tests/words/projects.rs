//! Projects knitted from their own words: the demos, and every template in all its sizes.

use huegauge::chart::{Cell, Grid};
use huegauge::file::demos;
use huegauge::knit::Gauge;
use huegauge::knit::pieces::{Size, SizeTable, Template};
use huegauge::project::{Chart, Project};
use huegauge::words::Pattern;

/// A project of a template in every size of its group, with a chart of two colours without symmetry.
pub fn of_template(template: Template, gauge: Gauge) -> Project {
    let mut project = Project::default();
    let cells = (0..12 * 20).map(|i: u32| Cell::slot(u8::from(i * i % 7 < 3))).collect();
    project.chart = Chart::new(Grid::from_cells(12, 20, cells).unwrap());
    project.plan.gauge = gauge;
    project.pieces.pieces = template.pieces(0);
    template.name().clone_into(&mut project.title);
    let table = SizeTable::shipped().unwrap();
    let ease_cm = template.sizes().unwrap().first().map_or(0.0, |size| size.ease_cm);
    let sizes = template.size_group().map(|group| &table.group(group).unwrap().sizes);
    let size =
        |size: &huegauge::knit::pieces::TableSize| Size { name: size.name.clone(), body: size.body, ease_cm };
    project.pieces.sizes = sizes.into_iter().flatten().map(size).collect();
    project
}

/// The demos, and the templates in a fine and in a thick yarn.
pub fn all() -> Vec<Project> {
    let mut projects: Vec<Project> = demos().iter().map(|demo| demo.project().unwrap()).collect();
    for gauge in [Gauge::new(28.0, 33.0).unwrap(), Gauge::new(18.0, 24.0).unwrap()] {
        projects.extend(Template::ALL.map(|template| of_template(template, gauge)));
    }
    projects
}

#[test]
fn the_knitter_counts_the_stitches_and_the_metres_of_the_yarn_table() {
    for project in all() {
        let pattern = project.instructions().unwrap();
        let read = Pattern::read(&pattern.to_text()).unwrap();
        for (place, size) in project.pieces.all_sizes().iter().enumerate() {
            let worked = project.work_pieces(size).unwrap();
            let table = project.pieces_yarn(&worked, None);
            let knitted = read.knit(place);
            assert!(knitted.is_closed(), "{} {}: {:?}", project.title, size.name, knitted.stumbles);
            let used = knitted.yarn(&project.yarn_basis());
            for (slot, colour) in table.colours.iter().enumerate() {
                let at = format!("{}, size {}, colour {slot}", project.title, size.name);
                let mine = used.iter().find(|used| usize::from(used.colour.0) == slot);
                let stitches = mine.map_or(0, |used| used.counts.stitches());
                assert_eq!(stitches, colour.stitches, "{at}");
                // The table's metres without what is added to the pieces: joining balls, swatch, waste.
                let pieces = table.pieces.iter().map(|piece| piece.colours[slot].metres().likely);
                let (theirs, metres): (f64, f64) =
                    (pieces.sum(), mine.map_or(0.0, |used| used.metres.likely));
                assert!((theirs - metres).abs() < 1e-6 * theirs.max(1.0), "{at}: {metres} m, not {theirs} m");
            }
        }
    }
}
