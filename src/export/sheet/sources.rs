//! Where the figures of the sheet come from.

use super::flow::{Flow, Style};
use crate::export::quiet::{EXPLAINED, quiet};
use crate::knit::pieces::{Body, SizeTable};
use crate::project::{Project, Slot, colour_code};
use crate::yarn::{Figure, Property, WeightClass};

/// A figure and its source.
struct Source {
    what: &'static str,
    from: String,
}

fn source(what: &'static str, from: impl Into<String>) -> Source {
    Source { what, from: from.into() }
}

/// Sets the block; small, at the end.
pub fn set(flow: &mut Flow, project: &Project) {
    flow.heading("Sources", Style::HEADING, 4.0 * Style::SMALL.line());
    let all =
        [colours(project), yarn(project), weight(project), bodies(project), fibres(project), label(project)];
    for Source { what, from } in all.into_iter().flatten() {
        flow.hanging(&format!("{what}:"), &quiet(&from, true), 32.0, Style::SMALL);
    }
    flow.gap(1.0);
    flow.words(EXPLAINED, Style::SMALL);
}

fn yarn(project: &Project) -> Vec<Source> {
    let model = "D. L. Munden, J. Text. Inst. 50 (1959) T448, dry and wet relaxed; J. J. F. Knapton et al., Text. \
                 Res. J. 38 (1968) 999, fully relaxed.";
    let stitch = match project.loop_basis().swatch {
        Some(_) => format!("A swatch weighed for this project, held against {model}"),
        None => model.to_owned(),
    };
    vec![
        source("Yarn in a stitch", stitch),
        source(
            "Floats, edges, waste",
            "Slack of floats, cast-on, bind-off, ribbing and waste: common practice and our judgement, no \
             published source.",
        ),
        source("Abbreviations", "Master list of the Craft Yarn Council."),
    ]
}

/// Where the colours come from, each source with the codes of its colours.
fn colours(project: &Project) -> Vec<Source> {
    let slots = project.palette.slots();
    let told = |slot: &Slot| slot.shade().map_or("Wishes so far", |shade| shade.source.told());
    let mut words: Vec<&str> = slots.iter().map(told).collect();
    words.sort_unstable();
    words.dedup();
    let of = |words: &str| {
        let codes = slots.iter().enumerate().filter(|(_, slot)| told(slot) == words);
        let codes: Vec<String> = codes.map(|(index, _)| colour_code(index)).collect();
        format!("{}: {words}.", codes.join(", "))
    };
    let all: Vec<String> = words.into_iter().map(of).collect();
    vec![source("Colours", all.join(" "))]
}

/// The weight class of each yarn that is used.
fn weight(project: &Project) -> Vec<Source> {
    let mut classes: Vec<WeightClass> = project
        .palette
        .slots()
        .iter()
        .map(|slot| WeightClass::for_grist(slot.yarn.put_up.grist).best)
        .collect();
    classes.sort_unstable();
    classes.dedup();
    classes
        .into_iter()
        .map(|class| {
            let facts = class.facts();
            let from =
                format!("{} ({}): {} {}", class.name(), facts.number, facts.source, facts.grist_source);
            source("Weight class", from)
        })
        .collect()
}

/// The published tables that the bodies of the sizes were taken from.
fn bodies(project: &Project) -> Vec<Source> {
    let Ok(table) = SizeTable::shipped() else { return Vec::new() };
    // Sizes are saved to a tenth of a centimetre.
    let same = |own: &Body, published: &Body| {
        own.known().count() > 0
            && own.known().all(|(measure, cm)| published.get(measure).is_some_and(|p| (p - cm).abs() < 0.06))
    };
    let taken = |body: &Body| project.pieces.sizes.iter().any(|own| same(&own.body, body));
    let used = table.groups.iter().filter(|group| group.sizes.iter().any(|size| taken(&size.body)));
    used.map(|group| source("Body sizes", format!("{} ({})", group.source, group.basis))).collect()
}

/// The figures that the care and the cautions of the sheet rest on.
const CARED_FOR_BY: [Property; 2] = [Property::Halo, Property::Felting];

/// The sources of what is said about the fibres, each once.
fn fibres(project: &Project) -> Vec<Source> {
    let Some(blend) = project.fibre() else { return Vec::new() };
    let figures = blend.parts().iter().flat_map(|(fibre, _)| &fibre.facts().figures);
    let said = figures.filter(|figure| CARED_FOR_BY.contains(&figure.property));
    let mut from: Vec<String> = said.map(Figure::provenance).collect();
    from.sort_unstable();
    from.dedup();
    from.into_iter().map(|from| source("Care and cautions", from)).collect()
}

/// Where the meaning of the label comes from.
fn label(project: &Project) -> Vec<Source> {
    let symbols = project.material.yarn.iter().flat_map(|yarn| yarn.care.symbols());
    let mut from: Vec<String> = symbols.map(|symbol| symbol.provenance()).collect();
    from.sort_unstable();
    // What says the same and more says it for both; what a source is called stands before a colon.
    let said =
        |from: &str| from.split_once(": ").map_or(from, |(_, said)| said).trim_end_matches('.').to_owned();
    let all: Vec<String> = from.iter().map(|from| said(from)).collect();
    from.retain(|one| {
        let one = said(one);
        !all.iter().any(|other| other.len() > one.len() && other.starts_with(&one))
    });
    from.into_iter().map(|from| source("Care label", from)).collect()
}
