//! The single rules behind [`super::material_findings`].

use super::Technique;
use super::cover::{Cover, CoverVerdict};
use super::gauge_words::gauges_apart;
use super::material::{MaterialFacts, MaterialFinding, MaterialKind, MaterialYarn, Weightiness};
use crate::units::{StitchesPer10Cm, both_lengths};
use crate::yarn::{
    Fibre, Mix, Need, Needs, PieceKind, Property, Spin, SpinEffect, SpinSystem, Stitches, Washing, Wear,
    Yarn, appraise,
};

/// Grade of fuzz from which fine motifs and texture blur (our judgement).
const FUZZY: f64 = 0.45;
/// A part this thin is fine.
const FINE_STITCHES: u32 = 2;
/// Grade of cling below which strands slide (our judgement).
const SLIPPERY: f64 = 0.08;
/// A need that counts and scores less is missed (our judgement).
const MISSED: f64 = 0.35;
/// Share of colour changes from which a chart is busy: every fourth stitch (our judgement).
pub const BUSY_CHART: f64 = 0.25;
/// Thickness of strands in one piece that differs by more shows (our judgement).
const UNEVEN: f64 = 1.25;
/// Least share of nylon that reinforces: the trade's 10 to 25 % for socks (from memory).
const REINFORCED: f64 = 0.1;

fn finding(kind: MaterialKind, weight: Weightiness, yarn: Option<&Yarn>, message: String) -> MaterialFinding {
    let message = match yarn {
        Some(yarn) if !yarn.name.is_empty() => format!("{}: {message}", yarn.name),
        _ => message,
    };
    MaterialFinding { kind, weight, yarn: yarn.map(|yarn| yarn.id), message }
}

fn grade(yarn: &Yarn, property: Property) -> Option<f64> {
    yarn.blend.mix(property).map(Mix::mid)
}

/// The needs against the fibre and the label.
pub(super) fn needs_findings(needs: Needs, yarn: &Yarn, found: &mut Vec<MaterialFinding>) {
    let ranked = appraise(needs, &yarn.blend);
    let label = yarn.care.machine_wash();
    for part in &ranked.needs {
        // The label knows better than the fibre.
        let settled = part.need == Need::Washing && label.is_some();
        if part.weight < 1.0 || part.known == 0.0 || part.score >= MISSED || settled {
            continue;
        }
        let reasons = ranked.against.iter().filter(|reason| reason.need == Some(part.need));
        let why = reasons.map(|reason| reason.text.as_str()).next().unwrap_or("the fibre does not answer it");
        let asked =
            if part.need == Need::Washing { format!(" {}", needs.washing_reason()) } else { String::new() };
        found.push(finding(
            MaterialKind::NeedMissed(part.need),
            Weightiness::Warning,
            Some(yarn),
            format!("misses what the piece needs in {}. {why}.{asked}", part.need.name().to_lowercase()),
        ));
    }
    if label == Some(false) && needs.washed() == Washing::Machine {
        let message = format!("the label does not allow a machine wash. {}", needs.washing_reason());
        found.push(finding(MaterialKind::LabelForbidsWash, Weightiness::Warning, Some(yarn), message));
    }
    let unreinforced = grade(yarn, Property::Abrasion).is_some_and(|abrasion| abrasion < 0.6);
    if needs.piece == PieceKind::Socks && unreinforced && yarn.blend.share(Fibre::Nylon) < REINFORCED {
        found.push(finding(
            MaterialKind::SocksWithoutReinforcement,
            Weightiness::Warning,
            Some(yarn),
            "no nylon for the heels and toes: they wear through first. Choose a blend with 10 to 25 % nylon, or \
             knit a reinforcing thread along."
                .to_owned(),
        ));
    }
}

/// The yarn against technique, stitches and chart.
pub(super) fn yarn_findings(facts: &MaterialFacts, part: &MaterialYarn, found: &mut Vec<MaterialFinding>) {
    surface_findings(facts, part, found);
    if let Some(spin) = part.yarn.spin {
        spin_findings(facts, part.yarn, spin, found);
    }
    let cover = Cover::new(part.yarn.strand(), facts.gauge, None);
    let lace = facts.needs.is_some_and(|needs| needs.stitches == Stitches::Lace);
    let weight = match cover.verdict {
        CoverVerdict::Balanced => return,
        CoverVerdict::Open if lace => return,
        CoverVerdict::Open => Weightiness::Note,
        CoverVerdict::TooDense | CoverVerdict::Impossible => Weightiness::Warning,
    };
    let message = format!("at this gauge: {}.", cover.verdict.words());
    found.push(finding(MaterialKind::Cover, weight, Some(part.yarn), message));
}

fn cables(facts: &MaterialFacts) -> bool {
    facts.needs.is_some_and(|needs| needs.stitches == Stitches::CablesAndTwisted)
}

/// Fuzz, slip and changing colours against motif, texture and chart.
fn surface_findings(facts: &MaterialFacts, part: &MaterialYarn, found: &mut Vec<MaterialFinding>) {
    let mut push =
        |kind, weight, message: String| found.push(finding(kind, weight, Some(part.yarn), message));
    if grade(part.yarn, Property::Halo).is_some_and(|halo| halo >= FUZZY) {
        let fine = facts.chart.thinnest_stitches.filter(|thin| *thin <= FINE_STITCHES);
        let blurred = match fine {
            Some(1) => Some("the thinnest part of the motif is 1 stitch: its outline will blur"),
            Some(_) => Some("the thinnest part of the motif is 2 stitches: its outline will blur"),
            None if cables(facts) => Some("cables and twisted stitches will blur"),
            None => None,
        };
        if let Some(blurred) = blurred {
            push(
                MaterialKind::FuzzyUnderFineMotif,
                Weightiness::Warning,
                format!("a fuzzy yarn: {blurred}."),
            );
        }
    }
    let stranded = facts.technique == Technique::Stranded && facts.chart.busyness.is_some_and(|b| b > 0.0);
    if stranded && grade(part.yarn, Property::Felting).is_some_and(|cling| cling < SLIPPERY) {
        push(
            MaterialKind::SlipperyStrands,
            Weightiness::Note,
            "smooth strands slide: catch floats more often, and sew before cutting a steek.".to_owned(),
        );
    }
    if part.variegated && facts.chart.busyness.is_some_and(|busy| busy >= BUSY_CHART) {
        push(
            MaterialKind::BusyOnBusy,
            Weightiness::Warning,
            "its colour changes along the strand and the chart is busy too: the pattern will be hard to see."
                .to_owned(),
        );
    }
}

/// Spin and ply against wear, cables and plain fabric.
fn spin_findings(facts: &MaterialFacts, yarn: &Yarn, spin: Spin, found: &mut Vec<MaterialFinding>) {
    let mut push = |kind, weight, message: String| found.push(finding(kind, weight, Some(yarn), message));
    let rubbed = facts.needs.and_then(|needs| match (needs.piece, needs.wear) {
        (PieceKind::Socks, _) => Some("socks"),
        (_, Wear::Hard) => Some("hard wear"),
        _ => None,
    });
    if let Some(rubbed) = rubbed.filter(|_| spin.plies() == 1) {
        push(
            MaterialKind::SingleForHardWear,
            Weightiness::Warning,
            format!("a single ply for {rubbed}: it pills and wears through. Three and more plies stand it."),
        );
    }
    if cables(facts) && spin.system == SpinSystem::Woollen {
        push(
            MaterialKind::WoollenForCables,
            Weightiness::Note,
            "woollen spun: its fuzz fills the hollows of cables.".to_owned(),
        );
    }
    if spin.appraise(SpinEffect::Slant).word() != "low" {
        let lean = spin.lean();
        push(
            MaterialKind::Slanting,
            Weightiness::Note,
            format!("the twist is not balanced: plain stitches may lean {lean}. Look at the washed swatch."),
        );
    }
}

/// Yarns that do not go together in one piece.
pub(super) fn mixed_findings(yarns: &[MaterialYarn], found: &mut Vec<MaterialFinding>) {
    let by_tex = |a: &&MaterialYarn, b: &&MaterialYarn| {
        a.yarn.strand().pressed_mm().total_cmp(&b.yarn.strand().pressed_mm())
    };
    if let (Some(thin), Some(thick)) = (yarns.iter().min_by(by_tex), yarns.iter().max_by(by_tex)) {
        let ratio = thick.yarn.strand().pressed_mm() / thin.yarn.strand().pressed_mm();
        if ratio > UNEVEN {
            found.push(finding(
                MaterialKind::UnevenYarns,
                Weightiness::Warning,
                None,
                format!(
                    "“{}” is {:.0} % thicker than “{}”: the fabric will pucker where they meet.",
                    thick.yarn.name,
                    (ratio - 1.0) * 100.0,
                    thin.yarn.name
                ),
            ));
        }
    }
    let limit = |part: &&MaterialYarn| part.yarn.care.wash_limit();
    let labelled: Vec<&MaterialYarn> = yarns.iter().filter(|part| limit(part).is_some()).collect();
    if let (Some(least), Some(most)) =
        (labelled.iter().copied().min_by_key(limit), labelled.iter().copied().max_by_key(limit))
        && limit(&least) != limit(&most)
    {
        let words = least.yarn.care.words().first().map_or("", |word| *word);
        found.push(finding(
            MaterialKind::UnevenWashing,
            Weightiness::Note,
            None,
            format!("The labels differ: wash the piece as “{}” asks. {words}.", least.yarn.name),
        ));
    }
}

/// The planned gauge and the motif against the swatch.
pub(super) fn gauge_findings(facts: &MaterialFacts, found: &mut Vec<MaterialFinding>) {
    let Some((name, swatch)) = facts.swatch else { return };
    let mut push = |kind, weight, message| found.push(finding(kind, weight, None, message));
    let (stitches, rows) = (facts.gauge.stitches.get(), facts.gauge.rows.get());
    let got_stitches = swatch.gauge.stitches.get();
    // Counts are shown over the base the knitter counts on.
    let (base, factor) = (facts.units.gauge_base(), facts.units.gauge_factor());
    if !swatch.holds_stitches(stitches) || !swatch.holds_rows(rows) {
        let message = format!(
            "{}: {} of the plan come out at {}.",
            gauges_apart(facts.gauge, (name, swatch), facts.units),
            both_lengths(100.0, facts.units),
            both_lengths(100.0 * stitches / got_stitches, facts.units)
        );
        push(MaterialKind::GaugeNotTheSwatchs, Weightiness::Warning, message);
    }
    if !swatch.washed {
        push(
            MaterialKind::GaugeUnwashed,
            Weightiness::Warning,
            format!("{name} has not been washed: its gauge will change."),
        );
    }
    if let Some(needed) = facts.chart.motif_needs.map(StitchesPer10Cm::get)
        && got_stitches + 1e-9 < needed
    {
        let before =
            if stitches + 1e-9 >= needed { " At the planned gauge it would still be itself." } else { "" };
        push(
            MaterialKind::MotifLostAtSwatchGauge,
            Weightiness::Warning,
            format!(
                "The motif needs {:.1} stitches per {base}, and {name} gives {:.1}: its shape is lost.{before}",
                needed * factor,
                got_stitches * factor
            ),
        );
    }
}
