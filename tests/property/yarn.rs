//! Yarn of pieces: against a naive twin that walks cell by cell, for partial repeats, tapers and every way
//! of working; and how the parts of a range add up.

use huegauge::chart::{Cell, Grid};
use huegauge::knit::pieces::{
    Band, EndEdge, Fabric, Length, Pattern, Piece, PiecesYarn, PiecesYarnInput, Shaping, Size, StartEdge,
    Width, WorkedBand, WorkedPiece, work,
};
use huegauge::knit::{
    Amount, Cause, Construction, Gauge, LineKind, LoopFibre, LoopLength, LoopSource, Technique,
};
use huegauge::units::Price;
use huegauge::yarn::{PutUp, SlotYarn};
use proptest::prelude::*;

const SLOTS: usize = 5;
/// Never drawn with.
const UNUSED: usize = SLOTS - 1;
const TAIL_CM: f64 = 15.0;
const WASTE: f64 = 5.0;
const SWATCH_CM: f64 = 15.0;

#[derive(Clone, Debug)]
pub struct Case {
    pub grid: Grid,
    pub pieces: Vec<Piece>,
    pub gauge: Gauge,
    pub float_limit: u32,
    pub put_up: PutUp,
    pub weighed: bool,
}

impl Case {
    fn pattern(&self) -> Pattern<'_> {
        Pattern { grid: &self.grid, repeat: self.grid.bounds() }
    }

    /// `None` where a chart that holds its shaping comes down to no stitch.
    fn worked(&self) -> Option<Vec<WorkedPiece>> {
        work(&self.pieces, &Size::one_size(), self.gauge, &self.pattern()).ok()
    }

    fn loop_length(&self) -> LoopLength {
        LoopLength::from_gauge(self.gauge)
    }

    fn yarn(&self, pieces: &[WorkedPiece]) -> PiecesYarn {
        let stock = SlotYarn { put_up: self.put_up, ball_price: Price::new(4.5).ok(), on_hand_m: 10.0 };
        PiecesYarn::of(&PiecesYarnInput {
            pieces,
            pattern: self.pattern(),
            gauge: self.gauge,
            loop_length: self.loop_length(),
            loop_source: if self.weighed {
                LoopSource::WeighedSwatch
            } else {
                LoopSource::Model(LoopFibre::Other)
            },
            float_limit: self.float_limit,
            waste_percent: WASTE,
            tail_cm: TAIL_CM,
            swatch_cm: SWATCH_CM,
            stocks: &[stock; SLOTS],
            change: None,
        })
    }
}

fn grid() -> impl Strategy<Value = Grid> {
    let cell = prop_oneof![30 => (0..UNUSED as u8).prop_map(Cell::slot), 1 => Just(Cell::NO_STITCH)];
    (1u32..12, 1u32..10).prop_flat_map(move |(width, height)| {
        prop::collection::vec(cell.clone(), (width * height) as usize)
            .prop_map(move |cells| Grid::from_cells(width, height, cells).unwrap())
    })
}

/// A chart, plain or ribbed band of any width: mostly no whole number of repeats.
fn band() -> impl Strategy<Value = Band> {
    let fabric = prop_oneof![
        3 => (0u32..6).prop_map(|edge| Fabric::Chart { region: None, edge }),
        1 => Just(Fabric::Plain),
        1 => (1u32..4, 1u32..3).prop_map(|(knit, purl)| Fabric::Ribbing { knit, purl }),
    ];
    let technique = prop::sample::select(Technique::ALL.to_vec());
    let colours = prop::collection::vec(0..UNUSED, 1..4);
    (fabric, technique, colours, 1u32..90, 0u32..80, 1u32..40, 1u32..4).prop_map(
        |(fabric, technique, colours, from, to, rows, stripe_rows)| {
            let band = Band::new("Band", fabric, Length::Rows(rows), 0).from(Width::Stitches(from));
            // One in two or so is tapered.
            let band = if to > 40 { band.to(Width::Stitches(to - 20), Shaping::PerRow(2)) } else { band };
            Band { technique, colours, stripe_rows, ..band }
        },
    )
}

fn piece() -> impl Strategy<Value = Piece> {
    let ends = prop::sample::select(EndEdge::ALL.to_vec());
    let starts = prop::sample::select(vec![StartEdge::CastOn, StartEdge::PickedUp]);
    let construction = prop::sample::select(Construction::ALL.to_vec());
    (prop::collection::vec(band(), 1..4), construction, starts, ends, 1u32..3).prop_map(
        |(bands, construction, start, end, copies)| Piece {
            start,
            end,
            copies,
            ..Piece::new("Piece", construction, bands)
        },
    )
}

pub fn cases() -> impl Strategy<Value = Case> {
    let gauge = (5.0..60.0, 0.9..1.5).prop_map(|(s, r): (f64, f64)| Gauge::new(s, s * r).unwrap());
    let put_up = (10.0..900.0, 10.0..250.0).prop_map(|(m, g)| PutUp::new(m, g).unwrap());
    let pieces = prop::collection::vec(piece(), 1..4);
    (grid(), pieces, gauge, 0u32..8, put_up, any::<bool>()).prop_map(
        |(grid, pieces, gauge, float_limit, put_up, weighed)| Case {
            grid,
            pieces,
            gauge,
            float_limit,
            put_up,
            weighed,
        },
    )
}

/// What the twin counts for one colour of one piece.
#[derive(Clone, Copy, Debug, Default)]
struct Counts {
    plain: f64,
    ribbing: f64,
    carried: f64,
    catches: f64,
    carried_up: f64,
    strands: f64,
    cast_on: f64,
    bind_off: f64,
    grafted: f64,
}

impl Counts {
    /// Likely metres without what is added to all pieces.
    fn metres(&self, case: &Case) -> f64 {
        let width = case.gauge.stitch_width_cm();
        let cm = (self.plain + self.ribbing + self.grafted) * case.loop_length().likely
            + self.carried * width * 1.075
            + self.catches * width * 0.5
            + self.carried_up * case.gauge.row_height_cm() * 1.075
            + self.cast_on * width * 3.3
            + self.bind_off * width * 4.0
            + self.strands * 2.0 * TAIL_CM;
        cm / 100.0
    }
}

/// A row the twin walks over: its slots, where it lies, and its band.
struct TwinRow<'a> {
    slots: Vec<usize>,
    left: usize,
    band: &'a WorkedBand,
    /// Whether it gains or loses stitches evenly.
    evened: bool,
}

impl TwinRow<'_> {
    fn has(&self, slot: usize) -> bool {
        self.slots.contains(&slot)
    }

    fn intarsia(&self) -> bool {
        self.band.technique == Technique::Intarsia
    }

    /// Lengths of the gaps that a colour travels behind.
    fn gaps(&self, slot: usize, construction: Construction) -> Vec<usize> {
        let places: Vec<usize> = (0..self.slots.len()).filter(|i| self.slots[*i] == slot).collect();
        let mut gaps: Vec<usize> = places.windows(2).map(|pair| pair[1] - pair[0] - 1).collect();
        if construction == Construction::InTheRound
            && let (Some(first), Some(last)) = (places.first(), places.last())
        {
            gaps.push(first + self.slots.len() - last - 1);
        }
        gaps
    }

    /// Runs of a colour as all the columns they cover and touch.
    fn areas(&self, slot: usize) -> Vec<(usize, usize)> {
        let mut areas: Vec<(usize, usize)> = Vec::new();
        for (i, own) in self.slots.iter().enumerate() {
            let at = i + self.left;
            match areas.last_mut() {
                Some(last) if *own == slot && last.1 == at => last.1 = at + 1,
                _ if *own == slot => areas.push((at, at + 1)),
                _ => {}
            }
        }
        areas
    }

    /// The colour of an edge: the band's first where the row has it, else the one it has most of.
    fn edge(&self) -> Option<usize> {
        let wished = self.band.colours[0];
        let count = |slot: usize| self.slots.iter().filter(|own| **own == slot).count();
        let most = (0..SLOTS).max_by_key(|slot| (count(*slot), SLOTS - slot)).filter(|slot| count(*slot) > 0);
        most.map(|most| if self.has(wished) { wished } else { most })
    }
}

fn rows<'a>(piece: &'a WorkedPiece, pattern: &Pattern<'a>) -> Vec<TwinRow<'a>> {
    let widest = piece.bands.iter().flat_map(|band| &band.row_stitches).max().copied().unwrap() as usize;
    let mut rows: Vec<TwinRow> = Vec::new();
    for band in &piece.bands {
        let band_cells = band.cells(pattern).unwrap();
        for r in 0..band.rows() {
            let mut cells = Vec::new();
            band_cells.row(r, &mut cells);
            let slots: Vec<usize> = cells.iter().map(|cell| cell.index().unwrap()).collect();
            // A row that gains or loses stitches evenly is knitted plain.
            let evened = r == 0 && band.change_at_start() != 0;
            rows.push(TwinRow { left: (widest - slots.len()) / 2, slots, band, evened });
        }
    }
    rows
}

/// New lengths of yarn a colour needs in row `y`, and rows it is carried up for them.
fn joins(rows: &[TwinRow], y: usize, slot: usize, construction: Construction) -> (f64, f64) {
    let row = &rows[y];
    let areas = row.areas(slot);
    let needed = if row.intarsia() { areas.len() } else { 1 };
    let Some(before) = (0..y).rev().find(|below| rows[*below].has(slot)) else { return (needed as f64, 0.0) };
    if row.intarsia() && rows[before].intarsia() {
        let mut below = if before + 1 == y { rows[before].areas(slot) } else { Vec::new() };
        let mut begun = 0.0;
        for area in areas {
            match below.iter().position(|under| under.0 <= area.1 && area.0 <= under.1) {
                Some(found) => {
                    below.drain(..=found);
                }
                None => begun += 1.0,
            }
        }
        return (begun, 0.0);
    }
    let rest = y - before - 1;
    if rest <= 4 && (construction == Construction::InTheRound || rest.is_multiple_of(2)) {
        (needed as f64 - 1.0, rest as f64)
    } else {
        (needed as f64, 0.0)
    }
}

fn twin_piece(piece: &WorkedPiece, case: &Case) -> [Counts; SLOTS] {
    let rows = rows(piece, &case.pattern());
    let mut counts = [Counts::default(); SLOTS];
    for (y, row) in rows.iter().enumerate() {
        for (slot, sums) in counts.iter_mut().enumerate() {
            let own = row.slots.iter().filter(|other| **other == slot).count() as f64;
            if own == 0.0 {
                continue;
            }
            match row.band.fabric {
                Fabric::Ribbing { .. } if !row.evened => sums.ribbing += own,
                _ => sums.plain += own,
            }
            if !row.intarsia() {
                for gap in row.gaps(slot, piece.construction).into_iter().filter(|gap| *gap > 0) {
                    sums.carried += gap as f64;
                    sums.catches += ((gap - 1) / case.float_limit.max(1) as usize) as f64;
                }
            }
            let (strands, carried_up) = joins(&rows, y, slot, piece.construction);
            sums.strands += strands;
            sums.carried_up += carried_up;
        }
    }
    let edges = || rows.iter().filter_map(TwinRow::edge);
    match (piece.start, edges().next()) {
        (StartEdge::CastOn, Some(slot)) => counts[slot].cast_on += f64::from(piece.first_stitches()),
        // Stitches picked up along an edge are one row more.
        (StartEdge::PickedUp, Some(slot)) => counts[slot].grafted += f64::from(piece.first_stitches()),
        _ => {}
    }
    match (piece.end, edges().next_back()) {
        (EndEdge::BoundOff, Some(slot)) => counts[slot].bind_off += f64::from(piece.last_stitches()),
        (EndEdge::Grafted, Some(slot)) => counts[slot].grafted += f64::from(piece.last_stitches() / 2),
        _ => {}
    }
    counts
}

/// Stitches of the chart as it is drawn, per slot; of a colour, with its floats in the round, the likely
/// metres of one swatch.
fn twin_swatch(case: &Case, pieces: &[WorkedPiece], all: &[Vec<Counts>]) -> [f64; SLOTS] {
    let stitches = SWATCH_CM * SWATCH_CM / (case.gauge.stitch_width_cm() * case.gauge.row_height_cm());
    let bands = || pieces.iter().flat_map(|piece| &piece.bands);
    let worked = |slot: usize| all[slot].iter().map(|c| c.plain + c.ribbing).sum::<f64>();
    let Some(chart) = bands().find(|band| band.chart.is_some()) else {
        let of: f64 = (0..SLOTS).map(worked).sum();
        return std::array::from_fn(|slot| {
            let fabric = |c: &Counts| Counts {
                carried_up: 0.0,
                strands: 0.0,
                cast_on: 0.0,
                bind_off: 0.0,
                grafted: 0.0,
                ..*c
            };
            all[slot].iter().map(|c| fabric(c).metres(case)).sum::<f64>() * stitches / of
        });
    };
    let mut counts = [Counts::default(); SLOTS];
    for y in 0..case.grid.height() {
        let slots: Vec<usize> = case.grid.row(y).iter().filter_map(|cell| cell.index()).collect();
        let row = TwinRow { slots, left: 0, band: chart, evened: false };
        for slot in (0..SLOTS).filter(|slot| worked(*slot) > 0.0) {
            counts[slot].plain += row.slots.iter().filter(|own| **own == slot).count() as f64;
            if !row.intarsia() {
                for gap in row.gaps(slot, Construction::InTheRound).into_iter().filter(|gap| *gap > 0) {
                    counts[slot].carried += gap as f64;
                    counts[slot].catches += ((gap - 1) / case.float_limit.max(1) as usize) as f64;
                }
            }
        }
    }
    let of: f64 = counts.iter().map(|counts| counts.plain).sum();
    counts.map(|counts| if of > 0.0 { counts.metres(case) * stitches / of } else { 0.0 })
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * a.abs().max(b.abs()).max(1.0)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 512, ..ProptestConfig::default() })]

    #[test]
    fn the_yarn_is_what_walking_cell_by_cell_gives(case in cases()) {
        let Some(pieces) = case.worked() else { return Ok(()) };
        let yarn = case.yarn(&pieces);
        let counted: Vec<[Counts; SLOTS]> = pieces.iter().map(|piece| twin_piece(piece, &case)).collect();
        let copies: Vec<f64> = pieces.iter().map(|piece| f64::from(piece.copies)).collect();
        let all: Vec<Vec<Counts>> = (0..SLOTS)
            .map(|slot| counted.iter().zip(&copies).flat_map(|(c, n)| vec![c[slot]; *n as usize]).collect())
            .collect();
        let swatch = twin_swatch(&case, &pieces, &all);
        for slot in 0..SLOTS {
            for (i, piece) in yarn.pieces.iter().enumerate() {
                let (counts, lines) = (counted[i][slot], &piece.colours[slot].lines);
                let count = |kind| lines.iter().find(|line| line.kind == kind).map_or(0.0, |line| line.count);
                for (kind, expected) in [
                    (LineKind::Stitches, counts.plain),
                    (LineKind::Ribbing, counts.ribbing),
                    (LineKind::Floats, counts.carried),
                    (LineKind::Catches, counts.catches),
                    (LineKind::CarriedUp, counts.carried_up),
                    (LineKind::CastOn, counts.cast_on),
                    (LineKind::BindOff, counts.bind_off),
                    (LineKind::Grafting, counts.grafted),
                    (LineKind::Tails, counts.strands),
                ] {
                    prop_assert_eq!(count(kind), expected * copies[i], "piece {}, slot {}, {:?}", i, slot, kind);
                }
            }
            let worked: f64 = all[slot].iter().map(|counts| counts.metres(&case)).sum();
            // A hair off a whole ball may fall on either side of it.
            let balls = worked / case.put_up.metres_per_ball();
            if (balls - balls.round()).abs() < 1e-9 && worked > 0.0 {
                continue;
            }
            let joins = balls.floor() * 2.0 * TAIL_CM / 100.0;
            let likely = (worked + joins + swatch[slot]) * (1.0 + WASTE / 100.0);
            let found = yarn.colours[slot].metres().likely;
            prop_assert!(near(found, likely), "slot {slot}: {found} m, the twin has {likely} m");
        }
        prop_assert_eq!(yarn.colours[UNUSED].amount, Amount::default());
        prop_assert_eq!(yarn.colours[UNUSED].balls, 0);
    }

    #[test]
    fn the_lines_are_the_total_part_by_part(case in cases()) {
        let Some(pieces) = case.worked() else { return Ok(()) };
        let yarn = case.yarn(&pieces);
        let single = [Cause::Ends, Cause::Label, Cause::Waste];
        for (slot, colour) in yarn.colours.iter().enumerate() {
            let (lines, by_kind) = (yarn.lines(slot), yarn.lines_by_kind(slot));
            let likely: f64 = lines.iter().map(|(_, line)| line.amount.likely).sum();
            prop_assert!(near(likely, colour.metres().likely));
            let of_kinds: f64 = by_kind.iter().map(|line| line.amount.likely).sum();
            prop_assert!(near(of_kinds, likely));
            let (mut low, mut high) = (0.0, 0.0);
            for cause in Cause::ALL {
                let reaches = || lines.iter().map(|(_, line)| line.amount.reach(cause));
                let (down, up) = if single.contains(&cause) {
                    let root = |sum: f64| sum.sqrt();
                    (root(reaches().map(|r| r.low.powi(2)).sum()), root(reaches().map(|r| r.high.powi(2)).sum()))
                } else {
                    (reaches().map(|r| r.low).sum(), reaches().map(|r| r.high).sum())
                };
                prop_assert!(near(colour.amount.reach(cause).low, down), "{cause:?}");
                prop_assert!(near(colour.amount.reach(cause).high, up), "{cause:?}");
                low += down * down;
                high += up * up;
            }
            let metres = colour.metres();
            prop_assert!(near(metres.low, likely - low.sqrt()) && near(metres.high, likely + high.sqrt()));
            prop_assert!(metres.low >= 0.0 && metres.high.is_finite());
            // Less than if all went wrong at once, more than if nothing did.
            let worst: f64 = lines.iter().map(|(_, line)| line.metres().high).sum();
            prop_assert!(metres.high <= worst + 1e-9 && metres.high >= likely);
            prop_assert!(near(colour.to_buy_m, (metres.high - 10.0).max(0.0)));
            prop_assert!(f64::from(colour.balls) * case.put_up.metres_per_ball() >= colour.to_buy_m - 1e-6);
            prop_assert!(near(colour.cost.unwrap().get(), f64::from(colour.balls) * 4.5));
            for (_, line) in &lines {
                prop_assert!(line.metres().low <= line.amount.likely && line.amount.likely <= line.metres().high);
                if let Some(each) = line.each_cm() {
                    prop_assert!(near(each * line.count / 100.0, line.amount.likely));
                }
            }
        }
        let shares: f64 = yarn.colours.iter().map(|colour| colour.share_percent).sum();
        prop_assert!(near(shares, 100.0));
        let sum: f64 = yarn.colours.iter().map(|colour| colour.amount.likely).sum();
        prop_assert!(near(yarn.metres().likely, sum));
    }

    #[test]
    fn one_more_of_a_piece_never_needs_less_yarn(case in cases()) {
        let Some(pieces) = case.worked() else { return Ok(()) };
        let mut more = pieces.clone();
        more[0].copies += 1;
        let (fewer, more) = (case.yarn(&pieces), case.yarn(&more));
        for (fewer, more) in fewer.colours.iter().zip(&more.colours) {
            // The swatch is shared by other shares when there is no chart.
            let swatch = |c: &huegauge::knit::pieces::ColourYarn| -> Amount {
                c.added.iter().filter(|line| line.kind == LineKind::Swatch).map(|line| line.amount).sum()
            };
            let (a, b) = (fewer.metres(), more.metres());
            let slack = 1.2 * (swatch(fewer).estimate().high - swatch(more).estimate().high).max(0.0) + 1e-9;
            prop_assert!(b.likely >= a.likely - slack && b.high >= a.high - slack, "{a:?} {b:?}");
        }
    }
}
