//! The table of every template and demo: knitted through from its words, and what passes its openings.

use std::path::PathBuf;

use huegauge::file::demos;
use huegauge::knit::pieces::{Template, openings};
use huegauge::knit::{Gauge, Passing};
use huegauge::project::Project;
use huegauge::words::Pattern;

use crate::projects::of_template;

/// One line for each size and opening: stitches, gathering, the edge against what must pass, and whether the
/// virtual knitter agrees with the count. `cargo test --test words every_template -- --ignored --nocapture` prints
/// it; `WORDS_TO=FOLDER` before it writes the words of each project there.
#[test]
#[ignore = "a table to read: what it says is held by the tests of projects and yokes"]
fn every_template_and_demo_in_its_sizes() {
    let fine = Gauge::new(28.0, 33.0).unwrap();
    let mut projects: Vec<Project> = demos().iter().map(|demo| demo.project().unwrap()).collect();
    projects.extend(Template::ALL.map(|template| of_template(template, fine)));
    let folder = std::env::var_os("WORDS_TO").map(PathBuf::from);
    println!(
        "project                 size       stitches  gathers  opening     cm  opens to  must pass  passes  agrees"
    );
    let (mut sizes, mut wrong) = (0, Vec::new());
    for project in &projects {
        let text = project.instructions().unwrap().to_text();
        if let Some(folder) = &folder {
            std::fs::write(folder.join(format!("{}.txt", project.title)), &text).unwrap();
        }
        let read = Pattern::read(&text).unwrap();
        for (place, size) in project.pieces.all_sizes().iter().enumerate() {
            sizes += 1;
            let knitted = read.knit(place);
            let worked = project.work_pieces(size).unwrap();
            let counted: u64 = worked.iter().map(|piece| piece.stitches() * u64::from(piece.copies)).sum();
            let agrees = knitted.is_closed() && knitted.stitches() == counted;
            let gathers = worked.iter().filter_map(|piece| piece.gather(project.plan.gauge));
            let gathers = gathers.map(|gather| gather.percent()).fold(0.0, f64::max);
            let begin = format!("{:23} {:9} {counted:9} {gathers:6.1} %", project.title, size.name);
            let says = if agrees { "yes" } else { "NO" };
            let opening = openings(&project.pieces.pieces, &worked, size, project.plan.gauge);
            if opening.is_empty() {
                println!("{begin}  none{says:>49}");
            }
            for of in &opening {
                let passes = of.passage.verdict == Passing::Passes;
                let (girth, reach, must) = (of.girth_cm, of.passage.reach_cm, of.must_pass_cm);
                let word = if passes { "yes" } else { "NO" };
                let name = of.kind.name();
                println!("{begin}  {name:8} {girth:5.1} {reach:9.1} {must:10.1} {word:>7} {says:>7}");
                if !passes {
                    wrong.push(format!("{} {}: {name}", project.title, size.name));
                }
            }
            if !agrees {
                wrong.push(format!("{} {}: the knitter", project.title, size.name));
            }
        }
    }
    println!("{} projects in {sizes} sizes", projects.len());
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
