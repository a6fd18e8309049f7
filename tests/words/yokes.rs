//! Ten sizes of a yoke, knitted through from their words.

use huegauge::knit::Gauge;
use huegauge::knit::Passing;
use huegauge::knit::pieces::{OpeningKind, Size, SizeTable, Template, openings};
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
