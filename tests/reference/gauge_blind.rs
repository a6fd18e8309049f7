//! Gauge off photographs of swatches by a maker that neither the reading nor the other makers were fitted to
//! (`tests/common/blind_swatch.rs`). The card's corners are named in whole pixels.

use huegauge::photo::{ColourSpace, Depth, GaugeFault, GaugeReading, Picture, Samples, Scale, read_gauge};

use crate::common::blind_swatch::{Chance, Motif, Take, shot};
use crate::gauge_score::Score;

const DISTURBANCES: [&str; 6] = ["none", "tilt", "shadow", "noise", "hand", "all"];

fn take(motif: Motif, disturbance: &str, seed: u64) -> Take {
    let mut chance = Chance::new(seed * 131 + 17 * motif as u64 + disturbance.len() as u64);
    let stitches = chance.range(15.0, 34.0);
    let rows = stitches * chance.range(1.15, 1.5);
    let has = |what: &str| disturbance == what || disturbance == "all";
    Take {
        motif,
        stitches,
        rows,
        tilt: if has("tilt") { chance.range(8.0, 25.0) } else { 0.0 },
        towards: chance.range(0.0, 360.0),
        shadow: if has("shadow") { chance.range(0.3, 0.7) } else { 0.0 },
        noise: if has("noise") { chance.range(4.0, 12.0) } else { 1.0 },
        seed,
    }
}

/// Reads it; by `hand` the corners of the card are placed up to 5 pixels off each way.
fn read(take: Take, hand: bool) -> Result<GaugeReading, GaugeFault> {
    let mut shot = shot(take);
    if hand {
        let mut chance = Chance::new(take.seed * 71 + 9);
        shot.card.iter_mut().flatten().for_each(|at| *at += chance.range(-5.0, 5.0).round());
    }
    let space = ColourSpace::srgb(Depth::Eight);
    let picture = Picture::new(shot.width, shot.height, Samples::Eight(shot.rgb), space).unwrap();
    read_gauge(&picture, &Scale::Card(shot.card), shot.swatch)
}

fn by_hand(disturbance: &str) -> bool {
    matches!(disturbance, "hand" | "all")
}

#[test]
fn swatches_of_a_third_maker_are_read_or_refused() {
    // Slanting lines in strong contrast once gave five sixths of the rows.
    for (motif, disturbance, seed) in
        [(Motif::Plain, "all", 3), (Motif::Bars, "tilt", 4), (Motif::Slants, "none", 2)]
    {
        let take = take(motif, disturbance, seed);
        let Ok(reading) = read(take, by_hand(disturbance)) else { continue };
        for (error, over) in Score::errors(&reading, (take.stitches, take.rows)) {
            assert!(error < 0.02 && over < 4.0, "{take:?}: {error} {over}");
        }
    }
}

/// The whole table: `cargo test --release --test reference -- --ignored --nocapture blind_gauge_table`; fewer photographs of
/// each kind with `GAUGE_SEEDS=1`.
#[test]
#[ignore = "renders 180 photographs"]
fn blind_gauge_table() {
    let motifs = [Motif::Plain].into_iter().chain(Motif::STRANDED);
    let seeds = std::env::var("GAUGE_SEEDS").ok().and_then(|text| text.parse().ok()).unwrap_or(6);
    let mut all = Score::default();
    println!("{}", Score::HEADING);
    for motif in motifs {
        for disturbance in DISTURBANCES {
            let mut here = Score::default();
            for seed in 0..seeds {
                let take = take(motif, disturbance, seed);
                here.take(&read(take, by_hand(disturbance)), (take.stitches, take.rows));
            }
            println!("{}", here.line(&format!("{motif:?}"), disturbance));
            all.join(here);
        }
    }
    println!("{}", all.summary());
    assert_eq!(all.share(|error, _| error > 0.02), 0.0);
    assert!(all.share(|error, _| error <= 0.01) >= 95.0 && all.share(|_, over| over <= 2.0) >= 95.0);
    assert!(all.refused * 20 <= all.taken, "at most one of twenty is refused");
}
