//! Projects knitted from their own words: the demos, and every template in all its sizes.

use huegauge::chart::{Cell, Grid};
use huegauge::file::demos;
use huegauge::knit::Gauge;
use huegauge::knit::pieces::{Size, SizeTable, Template};
use huegauge::project::figures::Figures;
use huegauge::project::findings::{Finding, FindingKind};
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

#[test]
fn no_template_has_an_open_finding_in_any_size() {
    let kinds = [
        FindingKind::Unworkable,
        FindingKind::OpenStitches,
        FindingKind::Gathering,
        FindingKind::ChartSide,
        FindingKind::Opening,
    ];
    let mut open = Vec::new();
    for (stitches, rows) in [(32.0, 44.0), (28.0, 33.0), (22.0, 30.0), (18.0, 24.0)] {
        for template in Template::ALL {
            let project = of_template(template, Gauge::new(stitches, rows).unwrap());
            // A repeat of 12 sts that is too wide a step for a small head or hand is the chart's, and rightly told.
            let of_template = |finding: &Finding| {
                kinds.contains(&finding.kind) && !finding.message.contains("choose a narrower repeat")
            };
            let found = Figures::of(&project).findings.into_iter().filter(of_template);
            open.extend(
                found.map(|finding| format!("{} at {stitches}: {}", template.name(), finding.message)),
            );
        }
    }
    assert!(open.is_empty(), "{}", open.join("\n"));
}

#[test]
fn the_tip_of_a_mitten_goes_around_no_hand() {
    for demo in demos() {
        let project = demo.project().unwrap();
        let tight = |finding: &Finding| finding.message.contains("its chart is");
        let found: Vec<Finding> = Figures::of(&project).findings.into_iter().filter(tight).collect();
        assert!(found.is_empty(), "{}: {found:?}", project.title);
    }
}

/// The rounds of both mittens are each other's mirror image about the middle of the palm, thumbs and all.
#[test]
fn the_left_mitten_of_the_demo_is_the_mirror_of_the_right() {
    let project =
        demos().iter().map(|demo| demo.project().unwrap()).find(|p| p.title.contains("mittens")).unwrap();
    let pattern = project.instructions().unwrap();
    let text = pattern.to_text();
    let [left, right]: [&str; 2] = ["left", "right"].map(|hand| {
        let line = text.lines().find(|line| line.starts_with(&format!("For the {hand} only"))).unwrap();
        line.split(": ").nth(2).unwrap()
    });
    // k17, k12 with waste yarn on the left; k2, k12 on the right; the palm has 31 sts.
    let figures = |line: &str| -> Vec<u32> {
        line.split(|c: char| !c.is_ascii_digit()).filter_map(|n| n.parse().ok()).take(2).collect()
    };
    let (left, right) = (figures(left), figures(right));
    assert_eq!((right[0], right[1]), (2, 12));
    assert_eq!(left[0] + left[1] + right[0], 31, "{text}");
    // The fabric itself is symmetric about the middle of those 31 sts, so that one chart serves both hands.
    let palm = 31_usize;
    for (place, _) in project.pieces.all_sizes().iter().enumerate() {
        let knitted = pattern.knit(place);
        for row in knitted.pieces[0].rows.iter().filter(|row| row.stitches.len() == 64) {
            for n in 0..64 {
                let mirrored = (2 * 64 + palm - 1 - n) % 64;
                assert_eq!(row.stitches[n].0, row.stitches[mirrored].0, "stitch {n} of a round");
            }
        }
    }
}
