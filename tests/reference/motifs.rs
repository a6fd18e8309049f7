//! The motifs that come with the program: that they are what they claim to be.

use std::collections::{BTreeSet, HashSet};

use huegauge::chart::{Cell, Grid, Motif, MotifKind, Point, Raster};
use huegauge::file::shipped_motifs;
use huegauge::knit::Gauge;

/// Mirrored left to right and top to bottom, besides all of [`MotifKind::Snow`].
const BOTH_WAYS: [&str; 6] = ["Daisy", "Sun", "Chain", "Lattice", "Twining stems", "Crossed ribbons"];
/// Mirrored left to right.
const SIDEWAYS: [&str; 33] = [
    "Willow leaf",
    "Oak leaf",
    "Ivy leaf",
    "Sprig",
    "Fern frond",
    "Acorn",
    "Gull in flight",
    "Owl",
    "Lighthouse",
    "Anchor",
    "Shell",
    "Crab",
    "Tulip",
    "Pansy",
    "Thistle",
    "Posy",
    "Fox",
    "Butterfly",
    "Bee",
    "Fir",
    "Round tree",
    "Birch",
    "Toadstool",
    "Heart",
    "Five-pointed star",
    "Crown",
    "Umbrella",
    "Lantern",
    "Bell",
    "Small waves",
    "Zigzag",
    "Double zigzag",
    "Scales",
];
/// Borders that run on around the work: one piece, however often they repeat.
const RUNNING: [&str; 10] = [
    "Small waves",
    "Zigzag",
    "Double zigzag",
    "Chain",
    "Lattice",
    "Scales",
    "Peaks",
    "Battlement",
    "Picket fence",
    "Crossed ribbons",
];
/// Motifs in which single stitches are meant, and how many: snow, dots between, the holes of a bloom.
const SPECKLED: [(&str, u32); 2] = [("Speckle", 2), ("Row of diamonds", 2)];

fn shipped() -> Vec<Motif> {
    shipped_motifs().unwrap_or_else(|error| panic!("{error}"))
}

/// The border `times` side by side.
fn repeated(motif: &Motif, times: u32) -> Raster {
    let grid = motif.stitches();
    let at = |p: Point| grid.get(Point::new(p.x % grid.width(), p.y)).is_some_and(|c| c != Cell::NO_STITCH);
    Raster::from_fn(grid.width() * times, grid.height(), at)
}

#[test]
fn there_are_enough_of_each_kind_and_no_two_are_alike() {
    let motifs = shipped();
    let of = |kind| motifs.iter().filter(|motif| motif.kind() == kind).count();
    assert!(motifs.len() >= 100, "{}", motifs.len());
    assert!(motifs.len() - of(MotifKind::Letter) >= 60);
    assert_eq!((of(MotifKind::Letter), of(MotifKind::Own)), (36, 0));
    for kind in MotifKind::ALL.into_iter().filter(|kind| *kind != MotifKind::Own) {
        assert!(of(kind) >= 4, "{kind:?}: {}", of(kind));
    }
    let names: HashSet<&str> = motifs.iter().map(Motif::name).collect();
    assert_eq!(names.len(), motifs.len());
    let figures: HashSet<Raster> = motifs.iter().map(|motif| motif.figure().trimmed()).collect();
    assert_eq!(figures.len(), motifs.len(), "two motifs have the same stitches");
}

#[test]
fn none_has_an_empty_edge_that_makes_its_size_a_lie() {
    for motif in shipped().iter().filter(|motif| motif.kind() != MotifKind::Border) {
        let figure = motif.figure();
        assert_eq!(figure.trimmed(), figure, "{}", motif.name());
    }
}

#[test]
fn what_is_to_be_mirrored_is() {
    let motifs = shipped();
    let both = |motif: &&Motif| motif.kind() == MotifKind::Snow || BOTH_WAYS.contains(&motif.name());
    for motif in motifs.iter().filter(both) {
        let figure = motif.figure();
        assert!(figure.is_mirrored_left_right() && figure.is_mirrored_up_down(), "{}", motif.name());
    }
    for name in SIDEWAYS {
        let motif = motifs.iter().find(|motif| motif.name() == name).unwrap_or_else(|| panic!("no {name}"));
        let (left, up) = (motif.figure().broken_left_right(), motif.figure().is_mirrored_up_down());
        assert_eq!((left, up), (0, false), "{name}");
    }
}

#[test]
fn borders_run_on_or_stand_in_a_row_without_a_seam() {
    for motif in shipped().iter().filter(|motif| motif.kind() == MotifKind::Border) {
        let (name, once) = (motif.name(), motif.stitches().width());
        let pieces = |times| repeated(motif, times).pieces();
        if RUNNING.contains(&name) {
            let largest = pieces(4).iter().map(|piece| piece.bounds.width).max();
            assert_eq!(largest, Some(4 * once), "{name} is cut somewhere");
        }
        // What stands across the seam is what stands inside: every size that occurs in a long row
        // occurs as often as the border repeats, ends aside.
        let sizes = |times| -> BTreeSet<(u32, u32)> {
            let inner = pieces(times)
                .into_iter()
                .filter(|piece| piece.bounds.x > 0 && piece.bounds.x + piece.bounds.width < times * once);
            inner.map(|piece| (piece.bounds.width, piece.stitches)).collect()
        };
        assert_eq!(sizes(4), sizes(6), "{name}");
    }
}

#[test]
fn no_stitch_stands_alone_by_accident() {
    for motif in shipped() {
        let meant = SPECKLED.iter().find(|(name, _)| *name == motif.name()).map_or(0, |(_, count)| *count);
        let figure = if motif.kind() == MotifKind::Border { repeated(&motif, 3) } else { motif.figure() };
        let lone = figure.pieces().iter().filter(|piece| piece.stitches == 1).count() as u32;
        let times = if motif.kind() == MotifKind::Border { 3 } else { 1 };
        assert_eq!(lone, meant * times, "{}", motif.name());
    }
}

/// The longest gap between two stitches of one kind in a row, counted stitch by stitch.
fn longest_gap(grid: &Grid, around: bool) -> u32 {
    let mut longest = 0;
    for y in 0..grid.height() {
        let row: Vec<bool> = grid.row(y).iter().map(|cell| *cell != Cell::NO_STITCH).collect();
        for kind in [true, false] {
            let at: Vec<usize> = (0..row.len()).filter(|x| row[*x] == kind).collect();
            let inner = at.windows(2).map(|pair| pair[1] - pair[0] - 1);
            let outer = at.first().zip(at.last()).filter(|_| around);
            let outer = outer.map(|(first, last)| first + row.len() - last - 1);
            let outer = outer.filter(|_| at.len() < row.len());
            longest = inner.chain(outer).max().unwrap_or(0).max(longest);
        }
    }
    longest as u32
}

#[test]
fn the_floats_that_are_stated_are_those_of_the_stitches() {
    let gauge = Gauge::new(28.0, 36.0).unwrap();
    for motif in shipped() {
        let facts = motif.facts(gauge);
        assert_eq!(facts.longest_float, longest_gap(motif.stitches(), false), "{}", motif.name());
        assert_eq!(facts.longest_float_around, longest_gap(motif.stitches(), true), "{}", motif.name());
        let fit = facts.fit.unwrap_or_else(|| panic!("{}", motif.name()));
        assert!(fit.smallest.is_some(), "{}", motif.name());
        if motif.kind() == MotifKind::Border {
            assert!(facts.longest_float_around <= 10, "{}: {}", motif.name(), facts.longest_float_around);
        }
    }
}

#[test]
fn all_are_found_by_their_own_name() {
    let motifs = shipped();
    for motif in &motifs {
        assert!(motif.is_found_by(&motif.name().to_uppercase()), "{}", motif.name());
    }
    assert_eq!(motifs.iter().filter(|motif| motif.is_found_by("snow star")).count(), 1);
}
