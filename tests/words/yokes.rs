//! Ten sizes of a yoke, knitted through from their words.

use huegauge::chart::{Cell, Grid};
use huegauge::knit::Gauge;
use huegauge::knit::Passing;
use huegauge::knit::pieces::yoke::{self, PieceBrief};
use huegauge::knit::pieces::{OpeningKind, Shaping, Size, SizeTable, Template, openings};
use huegauge::project::{Chart, Project};
use huegauge::words::Pattern;

use crate::projects::of_template;

/// From 4 years to 5X, every one with the same ease.
fn ten_sizes(ease_cm: f64) -> Vec<Size> {
    let table = SizeTable::shipped().unwrap();
    let of = |group: &str, names: &[&str]| -> Vec<Size> {
        let sizes = table.group(group).unwrap().sizes.iter();
        sizes
            .filter(|size| names.contains(&size.name.as_str()))
            .map(|size| Size { name: format!("{group} {}", size.name), body: size.body, ease_cm })
            .collect()
    };
    let mut sizes = of("Child", &["4", "8"]);
    sizes.extend(of("Youth", &["12", "16"]));
    sizes.extend(of("Woman", &["XS", "M", "XL/1X", "2X", "4X", "5X"]));
    sizes
}

/// `cargo test --test words ten_sizes -- --nocapture` prints the table.
#[test]
fn ten_sizes_of_a_yoke_are_knitted_through_and_can_be_put_on() {
    let gauge = Gauge::new(28.0, 33.0).unwrap();
    let mut project = of_template(Template::CircularYoke, gauge);
    let ease_cm = project.pieces.sizes[0].ease_cm;
    project.pieces.sizes = ten_sizes(ease_cm);
    let read = Pattern::read(&project.instructions().unwrap().to_text()).unwrap();
    assert_eq!(project.pieces.sizes.len(), 10);
    println!("size         stitches  joined  neck  gathers  neck cm  opens to  head cm  held by");
    for (place, size) in project.pieces.sizes.iter().enumerate() {
        let knitted = read.knit(place);
        assert!(knitted.is_closed(), "{}: {:?} {:?}", size.name, knitted.stumbles, knitted.open);
        let worked = project.work_pieces(size).unwrap();
        let all: u64 = worked.iter().map(|piece| piece.stitches() * u64::from(piece.copies)).sum();
        assert_eq!(knitted.stitches(), all, "{}", size.name);
        let gather = worked[2].gather(gauge).unwrap();
        assert!(gather.share <= 0.12, "{}: {gather:?}", size.name);
        let opening = openings(&project.pieces.pieces, &worked, size, gauge);
        let neck = opening.iter().find(|opening| opening.kind == OpeningKind::Neck).unwrap();
        assert_eq!(neck.passage.verdict, Passing::Passes, "{}: {neck:?}", size.name);
        println!(
            "{:12} {:8} {:7} {:5} {:6.1} % {:8.1} {:9.1} {:8.1}  {}",
            size.name,
            knitted.stitches(),
            worked[2].first_stitches(),
            worked[2].last_stitches(),
            gather.percent(),
            neck.girth_cm,
            neck.passage.reach_cm,
            neck.must_pass_cm,
            neck.edge.name(),
        );
    }
}

/// The piece at `place` solved in all sizes, and knitted through from its words.
fn solved(project: &mut Project, place: usize) {
    let (sizes, gauge) = (project.pieces.sizes.clone(), project.plan.gauge);
    let brief = PieceBrief::of(&project.pieces.pieces, place, &sizes, gauge, &project.pattern())
        .unwrap_or_else(|error| panic!("{}: {error}", project.title));
    let solution = yoke::solve(&brief.brief).unwrap_or_else(|error| panic!("{}: {error}", project.title));
    assert!(solution.proven, "{}", project.title);
    brief.write(&mut project.pieces.pieces[place].bands, &solution);
    let read = Pattern::read(&project.instructions().unwrap().to_text()).unwrap();
    for (size, choice) in sizes.iter().zip(&solution.sizes) {
        let at = format!("{} {}", project.title, size.name);
        let worked = project.work_pieces(size).unwrap();
        // What is worked is what was weighed.
        let rows: u32 = choice.made.iter().map(|made| made.rows).sum();
        assert_eq!(worked[place].rows(), rows, "{at}");
        assert_eq!(worked[place].last_stitches(), choice.made.last().unwrap().stitches, "{at}");
        let gather = worked[place].gather(gauge).unwrap();
        assert!((gather.share - choice.gather.share).abs() < 1e-9, "{at}: {gather:?} {:?}", choice.gather);
        for band in &worked[place].bands {
            assert!(band.chart.is_none_or(|chart| chart.breaks_at.is_none()), "{at}, {}", band.name);
        }
        let knitted = read.knit(sizes.iter().position(|other| other.name == size.name).unwrap());
        assert!(knitted.is_closed(), "{at}: {:?} {:?}", knitted.stumbles, knitted.open);
    }
}

#[test]
fn the_template_of_a_yoke_is_solved_in_ten_sizes_and_knitted_through() {
    let mut project = of_template(Template::CircularYoke, Gauge::new(28.0, 33.0).unwrap());
    project.pieces.sizes = ten_sizes(project.pieces.sizes[0].ease_cm);
    solved(&mut project, 2);
}

/// Hats and mittens: the girths stay as they are planned, the wedges divide, and the depth is met.
#[test]
fn crowns_and_tips_are_solved_and_knitted_through() {
    for width in [12, 7, 11, 18] {
        for template in [Template::Hat, Template::Mittens] {
            let mut project = of_template(template, Gauge::new(28.0, 33.0).unwrap());
            let cells = (0..width * 16).map(|i: u32| Cell::slot(u8::from(i * i % 7 < 3))).collect();
            project.chart = Chart::new(Grid::from_cells(width, 16, cells).unwrap());
            let planned: Vec<_> =
                project.pieces.sizes.iter().map(|size| project.work_pieces(size).unwrap()).collect();
            solved(&mut project, 0);
            for (size, planned) in project.pieces.sizes.iter().zip(planned) {
                let worked = &project.work_pieces(size).unwrap()[0];
                let off = worked.height_cm(project.plan.gauge) - worked.wanted_cm.unwrap();
                assert!(off.abs() < 1.0, "{} {}: {off} cm", project.title, size.name);
                let chart = |piece: &huegauge::knit::pieces::WorkedPiece| {
                    piece.bands.iter().find(|band| band.chart.is_some()).unwrap().start.stitches
                };
                assert_eq!(chart(worked), chart(&planned[0]), "{} {}", project.title, size.name);
                let tip = worked.bands.last().unwrap();
                let Shaping::PerRow(wedges) = tip.shaping else { panic!("{tip:?}") };
                assert_eq!(
                    (tip.start.stitches - tip.end.stitches) % wedges,
                    0,
                    "{} {}",
                    project.title,
                    size.name
                );
                if template == Template::Hat {
                    assert_eq!(tip.start.stitches % wedges, 0, "{}", size.name);
                }
                println!(
                    "{width} {} {}: {} sts, {wedges} wedges, {off:.1} cm",
                    project.title, size.name, tip.start.stitches
                );
            }
        }
    }
}
