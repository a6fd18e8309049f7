//! One gauge and one swatch that it rests on: every page and command says the same figure in the same words.

use huegauge::app::progress::{Progress, Standing};
use huegauge::app::view::Workspace;
use huegauge::export::inspect;
use huegauge::export::sheet::{self, SheetOptions};
use huegauge::knit::{Construction, Gauge, SwatchFabric, SwatchSize};
use huegauge::project::figures::Figures;
use huegauge::project::findings::FindingKind;
use huegauge::project::{GaugeStanding, LoggedSwatch, Project};
use huegauge::units::{LengthUnit, MetresPer100G};
use proptest::option;
use proptest::prelude::*;
use serde_json::Value;

/// A swatch that was merely added, counted, measured off the needles, or washed too.
fn swatch() -> impl Strategy<Value = LoggedSwatch> {
    let size = || option::of((6.0..14.0, 6.0..14.0).prop_map(|(w, h)| SwatchSize::new(w, h).unwrap()));
    let counts = (option::of((18..40_u32).prop_map(f64::from)), option::of((22..50_u32).prop_map(f64::from)));
    (counts, size(), size(), option::of(2.0..6.0)).prop_map(|(counts, before, after, needle)| {
        let how = (SwatchFabric::Stranded, Construction::InTheRound);
        let grist = MetresPer100G::new(400.0).unwrap();
        let mut entry = LoggedSwatch::uncounted("Bare step", grist, how);
        entry.swatch = entry.swatch.recounted(needle, counts).unwrap();
        (entry.swatch.before, entry.swatch.after) = (before, after);
        entry
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn every_page_says_the_same_gauge_and_what_it_rests_on(
        swatches in prop::collection::vec(swatch(), 0..4), chosen in option::of(0..4_usize),
        planned in (18.0..36.0, 20.0..48.0), takes_over in any::<bool>(), imperial in any::<bool>(),
    ) {
        let units = if imperial { LengthUnit::Imperial } else { LengthUnit::Metric };
        let mut project = Project { units, ..Project::default() };
        project.material.follows = chosen.filter(|place| *place < swatches.len());
        project.material.swatches = swatches;
        project.plan.gauge = Gauge::new(planned.0, planned.1).unwrap();
        let gauge = project.material.followed().map(|followed| followed.measured.gauge);
        if let Some(gauge) = gauge.filter(|_| takes_over) {
            project.plan.gauge = gauge;
        }
        let (words, standing) = (project.gauge_words(), project.gauge_standing());
        let followed = project.material.followed();
        prop_assert_eq!(followed.is_none(), standing == GaugeStanding::NoSwatch);
        let log = &project.material.swatches;
        prop_assert_eq!(followed.is_some(), log.iter().any(|entry| entry.swatch.is_measured()));
        if let Some(place) = project.material.follows.filter(|place| log[*place].swatch.is_measured()) {
            prop_assert_eq!(followed.map(|followed| followed.place), Some(place), "the person chooses");
        }

        let figures = Figures::of(&project);
        let json: Value = serde_json::from_str(&inspect::json(&project, &figures).unwrap()).unwrap();
        prop_assert_eq!(json["gauge"]["basis"].as_str(), Some(words.as_str()));
        prop_assert_eq!(json["gauge"]["against_swatch"].as_str(), Some(standing.key()));
        let number = followed.map(|followed| followed.place as u64 + 1);
        prop_assert_eq!(json["material"]["follows_swatch"].as_u64(), number);
        if let Some(followed) = &followed {
            let entry = &json["material"]["swatches"][followed.place];
            let own = if followed.measured.washed { "after_washing" } else { "before_washing" };
            let told = entry[own]["stitches_per_10_cm"].as_f64().unwrap();
            prop_assert!((told - followed.measured.gauge.stitches.get()).abs() < 1e-3);
            let factor = project.units.gauge_factor();
            if standing != GaugeStanding::Same {
                let gives = format!("gives {:.1} stitches", followed.measured.gauge.stitches.get() * factor);
                prop_assert!(words.contains(&gives), "{}", words);
            }
            prop_assert!(words.contains(&followed.name()));
        }

        let apart: Vec<&str> = figures.findings.iter().filter(|found| found.kind == FindingKind::Swatch)
            .map(|found| found.message.as_str()).filter(|message| message.starts_with("Planned at")).collect();
        prop_assert_eq!(apart.len(), usize::from(standing == GaugeStanding::Differs), "{:?}", apart);
        prop_assert!(apart.iter().all(|message| message.starts_with(words.trim_end_matches('.'))), "{:?}", apart);

        let progress = Progress::of(Workspace::Swatch, &project, Some(&figures));
        if let Some(followed) = &followed {
            prop_assert!(progress.words.starts_with(&words), "{} / {}", progress.words, words);
            let contradicts = standing == GaugeStanding::Differs && followed.measured.washed;
            prop_assert_eq!(progress.standing == Standing::Contradicts, contradicts);
        } else {
            prop_assert!(matches!(progress.standing, Standing::Untouched | Standing::Begun));
        }

        let pages = sheet::pages(&project, &SheetOptions::default()).unwrap();
        let text = sheet::words_of(&pages).split_whitespace().collect::<Vec<_>>().join(" ");
        prop_assert!(text.contains(&words), "the sheet does not say: {}", words);
    }
}
