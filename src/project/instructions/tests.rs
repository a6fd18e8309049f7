use super::*;
use crate::chart::{Cell, Grid};
use crate::knit::Gauge;
use crate::knit::pieces::{Books, Size, SizeTable, Template};
use crate::project::Chart;

/// A project of a template in its sizes, with a chart of several colours that has no symmetry.
fn project(template: Template, gauge: Gauge) -> Project {
    let mut project = Project::default();
    let cells = (0..12 * 20).map(|i: u32| Cell::slot(u8::from(i * i % 7 < 3))).collect();
    project.chart = Chart::new(Grid::from_cells(12, 20, cells).unwrap());
    project.plan.gauge = gauge;
    project.pieces.pieces = template.pieces(0);
    project.pieces.sizes = template.sizes().unwrap();
    project
}

/// Prints, reads back and knits; every size must give the ledger, the rows and the colours of the steps.
fn round_trip(project: &Project) {
    let pattern = project.instructions().unwrap_or_else(|error| panic!("{}: {error}", project.title));
    let text = pattern.to_text();
    let read = Pattern::read(&text).unwrap_or_else(|error| panic!("{error}\n{text}"));
    let sizes = project.pieces.all_sizes();
    for (place, size) in sizes.iter().enumerate() {
        let knitted = read.knit(place);
        let at = &size.name;
        assert_eq!(knitted.stumbles, [], "{at}\n{text}");
        assert_eq!(knitted.open, [], "{at}\n{text}");
        let worked = project.work_pieces(size).unwrap();
        let books = Books::of(&worked);
        assert!(books.close(), "{at}: {books:?}");
        let mut made = knitted.pieces.iter();
        for piece in &worked {
            let rows = piece.knitted_rows(&project.pattern()).unwrap();
            for _ in 0..piece.copies {
                let copy = made.next().unwrap();
                assert_eq!(copy.rows.len(), rows.len(), "{at} {}\n{text}", piece.name);
                for (r, (row, knitted)) in rows.iter().zip(&copy.rows).enumerate() {
                    let from_right: Vec<u8> =
                        row.iter().rev().filter_map(|cell| cell.index()).map(|slot| slot as u8).collect();
                    let seen: Vec<u8> = knitted.stitches.iter().map(|(colour, _)| colour.0).collect();
                    assert_eq!(seen, from_right, "{at} {} row {}\n{text}", piece.name, r + 1);
                }
            }
        }
    }
}

/// All sizes that a template has; a pullover ten, from 4 years to 5X.
fn every_size(template: Template) -> Vec<Size> {
    let table = SizeTable::shipped().unwrap();
    let of_group = |group: &str, names: &[&str]| -> Vec<Size> {
        let sizes = table.group(group).unwrap().sizes.iter();
        sizes
            .filter(|size| names.is_empty() || names.contains(&size.name.as_str()))
            .map(|size| Size { name: size.name.clone(), body: size.body, ease_cm: 0.0 })
            .collect()
    };
    match template.size_group() {
        None => Vec::new(),
        Some("Woman") => {
            let ease_cm = template.sizes().unwrap()[0].ease_cm;
            let mut sizes = of_group("Child", &["4", "8"]);
            sizes.extend(of_group("Youth", &["12", "16"]));
            sizes.extend(of_group("Woman", &["XS", "M", "XL/1X", "2X", "4X", "5X"]));
            sizes.into_iter().map(|size| Size { ease_cm, ..size }).collect()
        }
        Some(group) => of_group(group, &[]),
    }
}

#[test]
fn every_template_is_knitted_from_its_words_in_every_size() {
    for template in Template::ALL {
        for gauge in [Gauge::new(28.0, 33.0).unwrap(), Gauge::new(18.0, 24.0).unwrap()] {
            let mut project = project(template, gauge);
            project.pieces.sizes = every_size(template);
            template.name().clone_into(&mut project.title);
            round_trip(&project);
        }
    }
}

#[test]
fn a_gauge_that_was_counted_is_told_to_a_tenth() {
    // 30 stitches and 40 rows on 13.4 by 12.9 cm.
    let project = project(Template::Hat, Gauge::new(22.388_059_701_492_537, 31.007_751_937_984_494).unwrap());
    let text = project.instructions().unwrap().to_text();
    assert!(text.contains("Gauge: 22.4 sts and 31 rows in 10 cm"), "{text}");
    round_trip(&project);
}

#[test]
fn what_goes_in_the_machine_is_finished_in_it() {
    let mut project = project(Template::Hat, Gauge::new(28.0, 33.0).unwrap());
    assert!(project.instructions().unwrap().to_text().contains("Soak the work"));
    project.material.needs = Some(Needs { gift: true, ..Needs::preset(crate::yarn::PieceKind::Hat) });
    let text = project.instructions().unwrap().to_text();
    assert!(text.contains("Wash the work in the machine") && !text.contains("Soak"), "{text}");
    round_trip(&project);
}
