//! Contradictions between the yarn, the swatch, what the piece must withstand, and the chart.

use super::super::model::Project;
use super::super::yarn_reach::CountedAs;
use super::{Finding, FindingKind, Severity};
use crate::chart::{Cell, Rect, RowFacts, region_fit, runs};
use crate::knit::{ChartFacts, MaterialFacts, MaterialKind, MaterialYarn, Weightiness, material_findings};
use crate::yarn::{Variation, Yarn, YarnId};

/// Longest side of a repeat, in stitches, whose motif is looked into; in a larger one no stitch matters.
const LARGEST_MOTIF: u32 = 200;

/// A yarn with the palette slots that are knitted in it.
struct Used {
    yarn: Yarn,
    slots: Vec<usize>,
}

impl Used {
    fn is_busy(&self) -> bool {
        Variation::is_busy(self.yarn.varies.as_ref())
    }
}

impl<'a> From<&'a Used> for MaterialYarn<'a> {
    fn from(used: &'a Used) -> Self {
        Self { yarn: &used.yarn, variegated: used.is_busy() }
    }
}

/// Every contradiction, in the order of [`material_findings`].
pub(super) fn contradictions(project: &Project, rows: &[RowFacts]) -> Vec<Finding> {
    let material = &project.material;
    let sizes = sizes_for_nobody_small(project);
    let used = yarns(project);
    if used.is_empty() && material.swatches.is_empty() {
        return sizes.into_iter().collect();
    }
    let yarns: Vec<MaterialYarn> = used.iter().map(MaterialYarn::from).collect();
    let followed = material.followed().map(|followed| (followed.name(), followed.measured));
    let facts = MaterialFacts {
        needs: material.needs,
        yarns: &yarns,
        gauge: project.plan.gauge,
        technique: project.plan.technique,
        swatch: followed.as_ref().map(|(name, measured)| (name.as_str(), measured)),
        chart: chart_facts(project, rows),
        units: project.units,
    };
    let severity = |weight| match weight {
        Weightiness::Note => Severity::Note,
        Weightiness::Warning => Severity::Warning,
    };
    let kind = |of| match of {
        MaterialKind::GaugeNotTheSwatchs
        | MaterialKind::GaugeUnwashed
        | MaterialKind::MotifLostAtSwatchGauge => FindingKind::Swatch,
        _ => FindingKind::Yarn,
    };
    let slots = |id: Option<YarnId>| {
        id.and_then(|id| used.get(id.0 as usize)).map(|used| used.slots.clone()).unwrap_or_default()
    };
    let found = material_findings(&facts).into_iter().map(|found| Finding {
        slots: slots(found.yarn),
        told: found.kind.name(),
        ..Finding::new(kind(found.kind), severity(found.weight), sentence(&found.message))
    });
    doubted_weighing(project)
        .into_iter()
        .chain(sizes)
        .chain(counted_as_another(project))
        .chain(found)
        .collect()
}

/// Colours that are counted as another yarn than the one described; shades of a card are another yarn on
/// purpose, and told apart by their thickness.
fn counted_as_another(project: &Project) -> Option<Finding> {
    let CountedAs::Others(mut others) = project.counted_as() else { return None };
    others.retain(|index| project.palette.slots()[*index].shade().is_none_or(|shade| shade.put_up.is_none()));
    if others.is_empty() {
        return None;
    }
    let message = format!(
        "{} Use the yarn for every colour under Yarn, if they are knitted in it.",
        project.counted_as_words()?
    );
    let told = "counted as another".to_owned();
    Some(Finding { slots: others, told, ..Finding::new(FindingKind::Yarn, Severity::Note, message) })
}

/// Sizes of grown people for a piece that is for a child.
fn sizes_for_nobody_small(project: &Project) -> Option<Finding> {
    let message = "The piece is for a child, but its sizes are those of grown people. Take a child's sizes under Fibre, or \
                   others under Pieces.";
    let severity = Severity::Warning;
    let told = "grown sizes".to_owned();
    let finding = || Finding { told, ..Finding::new(FindingKind::Opening, severity, message.to_owned()) };
    project.sizes_contradict_needs().then(finding)
}

/// The newest weighed swatch, when it would set the yarn in a stitch but for what speaks against it.
fn doubted_weighing(project: &Project) -> Option<Finding> {
    let place = *project.loop_basis().doubted.first()?;
    let entry = project.material.swatches.get(place)?;
    let weighing = project.weighing(entry)?;
    let doubts: Vec<String> = weighing.doubts.iter().map(|doubt| doubt.words(project.units)).collect();
    let mend = if weighing.can_be_overruled() {
        "Mend it, or say under Swatch that it is to be used all the same."
    } else {
        "Mend it under Swatch."
    };
    let message = format!(
        "The weighed swatch {} is not followed, and the yarn rests on the loop model. {} {mend}",
        place + 1,
        doubts.join(" ")
    );
    let told = format!("{} not followed", place + 1);
    Some(Finding { told, ..Finding::new(FindingKind::Swatch, Severity::Problem, message) })
}

/// The yarns of the project, each once: the chosen one (else the chosen fibre in the first colour's
/// put-up), then those of the shades the colours are knitted in. The id is the place in the list.
fn yarns(project: &Project) -> Vec<Used> {
    let material = &project.material;
    let slots = project.palette.slots();
    let of_fibre = || {
        let blend = material.blend.clone()?;
        Some(Yarn::new(YarnId(0), blend.name(), blend, slots.first()?.yarn.put_up))
    };
    let chosen = project.described_yarn().cloned().or_else(of_fibre);
    let mut used: Vec<Used> = chosen.map(|yarn| Used { yarn, slots: Vec::new() }).into_iter().collect();
    for (slot, shade) in slots.iter().enumerate().filter_map(|(i, slot)| Some((i, slot.shade()?))) {
        // A card that does not say the metres leaves them to the colour.
        let mut known = shade.as_ref().clone();
        known.put_up = known.put_up.or(Some(slots[slot].yarn.put_up));
        let Some(yarn) = Yarn::of_shade(YarnId(used.len() as u32), &known) else { continue };
        let same = |other: &Used| {
            other.yarn.blend == yarn.blend
                && other.yarn.put_up.grist == yarn.put_up.grist
                && other.is_busy() == Variation::is_busy(yarn.varies.as_ref())
        };
        match used.iter_mut().find(|other| same(other)) {
            Some(other) => other.slots.push(slot),
            None => used.push(Used { yarn, slots: vec![slot] }),
        }
    }
    used
}

fn chart_facts(project: &Project, rows: &[RowFacts]) -> ChartFacts {
    let repeat = project.chart.repeat();
    let busyness = busyness_of(repeat, rows.iter().map(|row| u64::from(row.runs)));
    if repeat.width.max(repeat.height) > LARGEST_MOTIF {
        return ChartFacts { busyness, ..ChartFacts::default() };
    }
    let background = Cell::slot(project.background_slot() as u8);
    let motif = region_fit(&project.chart.grid, repeat, background, project.plan.gauge);
    ChartFacts {
        thinnest_stitches: motif.as_ref().map(|motif| motif.thinnest.stitches.min(motif.thinnest.rows)),
        busyness,
        motif_needs: motif.and_then(|motif| motif.smallest?.gauge).map(|gauge| gauge.stitches),
    }
}

/// Share of neighbouring stitches in a row of the repeat that change colour.
pub(in crate::project) fn busyness(project: &Project) -> Option<f64> {
    let repeat = project.chart.repeat();
    let rows = (0..repeat.height).map(|row| runs(project.repeat_row(row)).count() as u64);
    busyness_of(repeat, rows)
}

/// The same, given the runs of one colour in each row.
pub(in crate::project) fn busyness_of(repeat: Rect, runs: impl Iterator<Item = u64>) -> Option<f64> {
    let changes: u64 = runs.map(|runs| runs.saturating_sub(1)).sum();
    let pairs = u64::from(repeat.width.saturating_sub(1)) * u64::from(repeat.height);
    (pairs > 0).then(|| changes as f64 / pairs as f64)
}

/// A message that begins as a sentence does.
fn sentence(message: &str) -> String {
    let mut letters = message.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::super::tests::{drawn, rows};
    use super::*;
    use crate::knit::{Construction, SwatchFabric, SwatchSize};
    use crate::project::LoggedSwatch;
    use crate::units::MetresPer100G;
    use crate::yarn::{Blend, Fibre, Needs, PieceKind, PutUp, Spin, SpinSystem, TwistAmount, TwistDirection};

    /// A project in this fibre at 440 m per 100 g, which suits its 28 stitches.
    fn knitted_in(fibre: Fibre, piece: PieceKind, rows: &[&str]) -> Project {
        let mut project = drawn(rows);
        let put_up = PutUp::new(440.0, 50.0).unwrap();
        project.material.needs = Some(Needs::preset(piece));
        project.material.yarn = Some(Yarn::new(YarnId(0), "Bare step", Blend::pure(fibre), put_up));
        project
    }

    fn messages(project: &Project) -> Vec<String> {
        contradictions(project, &rows(project)).into_iter().map(|finding| finding.message).collect()
    }

    fn says(project: &Project, what: &str) -> bool {
        messages(project).iter().any(|message| message.contains(what))
    }

    // Common practice, no published source: socks want nylon and plies.
    #[test]
    fn pure_singles_for_socks_are_told() {
        let mut project = knitted_in(Fibre::Wool, PieceKind::Socks, &["3030", "0303"]);
        assert!(says(&project, "no nylon for the heels"), "{:?}", messages(&project));
        let spin = |plies| Spin::new(SpinSystem::Woollen, plies, TwistDirection::S, TwistAmount::Medium).ok();
        project.material.yarn.as_mut().unwrap().spin = spin(1);
        assert!(says(&project, "a single ply for socks"));
        project.material.yarn.as_mut().unwrap().spin = spin(4);
        assert!(!says(&project, "a single ply"));
        project.material.yarn.as_mut().unwrap().blend =
            Blend::new(vec![(Fibre::SuperwashWool, 75.0), (Fibre::Nylon, 25.0)]).unwrap();
        assert!(!says(&project, "no nylon"));
    }

    #[test]
    fn a_shade_of_changing_colour_in_a_busy_chart_is_told_with_its_colour() {
        use crate::colour::Colour;
        use crate::yarn::{Shade, VariationKind};
        let mut project = knitted_in(Fibre::Wool, PieceKind::Hat, &["3030", "0303"]);
        let mut shade = Shade::new("Yellow ruler", Colour::from_hex("#c8a000").unwrap());
        shade.fibre = "wool".to_owned();
        shade.put_up = PutUp::new(440.0, 50.0).ok();
        for (kind, told) in VariationKind::ALL.map(|kind| (kind, kind.is_busy())) {
            shade.varies = Some(Variation::of(kind));
            project.palette.slots_mut()[3].knit_in(std::sync::Arc::new(shade.clone()));
            let busy = contradictions(&project, &rows(&project))
                .into_iter()
                .find(|f| f.message.contains("hard to see"));
            assert_eq!(busy.map(|finding| finding.slots), told.then(|| vec![3]), "{kind:?}");
        }
        // The yarn itself, and a calm chart.
        let mut project = knitted_in(Fibre::Wool, PieceKind::Hat, &["3030", "0303"]);
        project.material.yarn.as_mut().unwrap().varies = Some(Variation::of(VariationKind::Speckled));
        assert!(says(&project, "hard to see"));
        let mut calm = knitted_in(Fibre::Wool, PieceKind::Hat, &["3333", "0000"]);
        calm.material.yarn = project.material.yarn.clone();
        assert!(!says(&calm, "hard to see"));
    }

    #[test]
    fn a_fuzzy_yarn_under_a_fine_motif_is_told_and_a_smooth_one_is_not() {
        let rows = ["333333", "330333", "300033", "330333", "333333"];
        assert!(says(&knitted_in(Fibre::Mohair, PieceKind::Hat, &rows), "its outline will blur"));
        assert!(!says(&knitted_in(Fibre::Merino, PieceKind::Hat, &rows), "blur"));
    }

    #[test]
    fn a_motif_that_the_washed_swatch_loses_is_told() {
        // The smallest circle on square cells.
        let rows = ["3333333", "3300033", "3000003", "3000003", "3000003", "3300033", "3333333"];
        let mut project = knitted_in(Fibre::Wool, PieceKind::Hat, &rows);
        project.plan.gauge = crate::knit::Gauge::new(28.0, 28.0).unwrap();
        assert!(!says(&project, "its shape is lost"), "no swatch, no doubt");
        let grist = MetresPer100G::new(440.0).unwrap();
        let how = (SwatchFabric::Stranded, Construction::InTheRound);
        let mut swatch = LoggedSwatch::new("Bare step", grist, 3.5, how, (40, 40)).unwrap();
        swatch.swatch.after = SwatchSize::new(20.0, 20.0).ok();
        project.material.swatches.push(swatch);
        assert!(says(&project, "its shape is lost"), "{:?}", messages(&project));
        assert!(says(&project, "Planned at 28.0 stitches"));
    }

    #[test]
    fn a_swatch_that_was_merely_added_hides_no_contradiction() {
        let mut project = knitted_in(Fibre::Wool, PieceKind::Hat, &["3030", "0303"]);
        let grist = MetresPer100G::new(440.0).unwrap();
        let how = (SwatchFabric::Stranded, Construction::InTheRound);
        let mut swatch = LoggedSwatch::new("Bare step", grist, 3.5, how, (40, 40)).unwrap();
        swatch.swatch.after = SwatchSize::new(20.0, 20.0).ok();
        project.material.swatches.push(swatch);
        let before = messages(&project);
        assert!(before.iter().any(|message| message.contains("but swatch 1, washed, gives")), "{before:?}");
        project.material.swatches.push(LoggedSwatch::uncounted("Bare step", grist, how));
        assert_eq!(messages(&project), before);
    }

    #[test]
    fn a_weighing_that_cannot_be_is_a_problem_and_the_model_stays() {
        use crate::knit::SwatchOnScales;
        let mut project = knitted_in(Fibre::Wool, PieceKind::Hat, &["3030", "0303"]);
        project.plan.technique = crate::knit::Technique::Stripes;
        let model = project.loop_basis().length;
        let grist = MetresPer100G::new(440.0).unwrap();
        let how = (SwatchFabric::Plain, Construction::InTheRound);
        let mut entry = LoggedSwatch::new("Bare step", grist, 3.5, how, (28, 32)).unwrap();
        entry.swatch.after = SwatchSize::new(10.0, 10.0).ok();
        let scales =
            SwatchOnScales { stitches: 40, rows: 50, grams: Some(1.5), scale_step_g: 0.1, trusted: false };
        entry.swatch.weighed = Some(scales);
        project.material.swatches.push(entry);
        assert_eq!(project.loop_basis().length, model);
        let finding = &contradictions(&project, &rows(&project))[0];
        assert_eq!((finding.kind, finding.severity), (FindingKind::Swatch, Severity::Problem));
        assert!(finding.message.contains("The weighed swatch 1 is not followed"), "{}", finding.message);
        // 28 x 32 stitches of the model's loop, as a whole with the edges.
        let grams = 40.0 * 52.0 * model.likely / 440.0;
        project.material.swatches[0].swatch.weighed.as_mut().unwrap().grams = Some(grams);
        assert!(!says(&project, "is not followed"), "{:?}", messages(&project));
    }

    #[test]
    fn shades_of_another_thickness_are_told_with_their_colours() {
        use crate::colour::Colour;
        use crate::yarn::Shade;
        let mut project = knitted_in(Fibre::Wool, PieceKind::Hat, &["3030", "0303"]);
        let mut shade = Shade::new("Yellow ruler", Colour::from_hex("#c8a000").unwrap());
        shade.fibre = "wool".to_owned();
        shade.put_up = PutUp::new(440.0, 50.0).ok();
        project.palette.slots_mut()[0].knit_in(std::sync::Arc::new(shade.clone()));
        assert!(!says(&project, "thicker"), "the same yarn: {:?}", messages(&project));
        shade.put_up = PutUp::new(150.0, 50.0).ok();
        project.palette.slots_mut()[1].knit_in(std::sync::Arc::new(shade));
        assert!(says(&project, "thicker than"), "{:?}", messages(&project));
    }
}
