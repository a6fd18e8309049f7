//! One yarn in place of another as a text: point by point, with what to expect, to buy and to check.

use super::text_lines::wrapped;
use crate::knit::gauge_told;
use crate::project::{Project, SizeBalls, StandIn, colour_code, sold};
use crate::units::LengthUnit;
use crate::yarn::{CAUTION_DEFERS, Yarn};

/// Stand-ins that are told in full.
const IN_FULL: usize = 5;

/// What may stand in for the project's yarn among those of its cards and the `kept` ones, the nearest in full; a sentence
/// when there is nothing to compare.
pub fn text(project: &Project, kept: &[Yarn]) -> String {
    let Some(own) = project.yarn_to_replace() else {
        return "There is no yarn to replace: describe the yarn, or the one the pattern names, under Yarn.\n"
            .to_owned();
    };
    let found = project.stand_ins(kept);
    if found.is_empty() {
        return format!(
            "Nothing stands in for {}: put yarns on a shade card, or keep some among your yarns.\n",
            own.name
        );
    }
    let reports = found.iter().take(IN_FULL).map(|stand_in| report(project, own, stand_in));
    let mut out = reports.collect::<Vec<_>>().join("\n\n");
    if found.len() > IN_FULL {
        let rest: Vec<String> = found[IN_FULL..].iter().map(|found| format!("- {}", line(found))).collect();
        out = format!("{out}\n\nFarther\n{}\n", rest.join("\n"));
    }
    out
}

/// `Bare step, 79 of 100, 10 balls`.
fn line(stand_in: &StandIn) -> String {
    format!("{}, {}, {} balls", stand_in.yarn.name, near(stand_in), stand_in.balls)
}

fn near(stand_in: &StandIn) -> String {
    match &stand_in.compared.refused {
        Some(why) => format!("not for this piece: {why}"),
        None => format!("{:.0} of 100 near", stand_in.compared.nearness * 100.0),
    }
}

/// One stand-in in full.
pub fn report(project: &Project, own: &Yarn, stand_in: &StandIn) -> String {
    let mut out = Vec::new();
    let units = project.units;
    let title = format!("{} in place of {}", stand_in.yarn.name, own.name);
    out.push(title.clone());
    out.push("=".repeat(title.chars().count()));
    out.push(format!("{}. From {}.", near(stand_in), stand_in.card));
    out.push(format!("As now:  {}", sold(own.put_up, own.ball_price, units, &project.currency)));
    out.push(format!(
        "Instead: {}",
        sold(stand_in.yarn.put_up, stand_in.yarn.ball_price, units, &project.currency)
    ));
    if let Some(needs) = project.material.needs {
        out.extend(wrapped(&format!("The piece: {}. {}", needs.piece.name(), needs.washing_reason()), ""));
    }
    out.push(String::new());
    for point in &stand_in.compared.points {
        let title = format!("{}: {}", point.point.name(), point.likeness.name().to_lowercase());
        out.push(title);
        out.extend(wrapped(&point.detail, "  "));
        for consequence in &point.consequences {
            out.extend(wrapped(consequence, "  > "));
        }
    }
    out.push(String::new());
    out.extend(expected(project, stand_in));
    out.push(String::new());
    out.push("Balls (now, instead), colour by colour".to_owned());
    out.extend(project.on_hand_beside_stand_ins().into_iter().flat_map(|words| wrapped(words, "")));
    out.extend(stand_in.sizes.iter().flat_map(|size| balls_of(project, size)));
    out.push(String::new());
    out.push("Check in the swatch".to_owned());
    out.extend(stand_in.compared.swatch_checks.iter().flat_map(|check| wrapped(check, "- ")));
    out.push(String::new());
    out.extend(wrapped(
        "How much each point counts is our judgement of common practice; the swatch, washed as the piece will be, \
         decides.",
        "",
    ));
    out.extend(wrapped(CAUTION_DEFERS, ""));
    out.join("\n") + "\n"
}

/// Gauge and needles.
fn expected(project: &Project, stand_in: &StandIn) -> Vec<String> {
    let both = [project.units, other(project.units)].map(|units| gauge_told(stand_in.gauge, units));
    let mut said = wrapped(
        &format!(
            "Gauge to expect, knitted as tightly: {} ({}), by the thickness of the strands; planned are {:.1} and \
             {:.1} in {}.",
            both[0],
            both[1],
            project.plan.gauge.stitches.get() * project.units.gauge_factor(),
            project.plan.gauge.rows.get() * project.units.gauge_factor(),
            project.units.gauge_base()
        ),
        "",
    );
    let names: Vec<String> = stand_in.needles.iter().map(|needle| needle.name()).collect();
    said.push(match names.as_slice() {
        [] => "Needle to try: as the band says.".to_owned(),
        [first] => format!("Needle to try for the planned gauge: {first}."),
        [first, rest @ ..] => {
            format!("Needle to try for the planned gauge: {first}, then {}.", rest.join(", "))
        }
    });
    said
}

const fn other(units: LengthUnit) -> LengthUnit {
    match units {
        LengthUnit::Metric => LengthUnit::Imperial,
        LengthUnit::Imperial => LengthUnit::Metric,
    }
}

/// One size in a line.
fn balls_of(project: &Project, size: &SizeBalls) -> Vec<String> {
    let counts = size.own.iter().zip(&size.balls).enumerate();
    let counts: Vec<String> = counts
        .filter(|(_, (own, balls))| **own > 0 || **balls > 0)
        .map(|(slot, (own, balls))| format!("{} {own}, {balls}", colour_code(slot)))
        .collect();
    let cost =
        size.cost.map_or_else(String::new, |cost| format!("; costs at most {}", project.currency.told(cost)));
    let (own, balls): (u32, u32) = (size.own.iter().sum(), size.balls.iter().sum());
    wrapped(&format!("{}: {}; in all {own}, {balls}{cost}", size.name, counts.join("; ")), "  ")
}
