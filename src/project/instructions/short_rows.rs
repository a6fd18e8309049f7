//! Short rows in words: the raised back of a neck, the turn of a heel.

use super::{Page, amount, formula};
use crate::knit::pieces::{WorkedBand, WorkedExtra};
use crate::words::{Amount, Course, Item, Label, Line, Only, Rows, Side, Step, Stitch, Turn, Until, Work};

/// A heel in one size: stitches before the first decreases, pairs of rows after the first, stitches left.
#[derive(Clone, Copy, Default)]
struct Heel {
    knit: u32,
    purl: u32,
    pairs: u32,
    left: u32,
}

impl Page<'_> {
    /// Short rows that take in a stitch beyond the turn before, until none is left.
    pub(super) fn heel_turn(&mut self, bands: &[&WorkedBand], extra: usize) {
        self.heading("Heel turn");
        let heels: Vec<Heel> = bands
            .iter()
            .map(|band| match band.then.get(extra) {
                Some(WorkedExtra::HeelTurn { knit, purl, rows, left }) => Heel {
                    knit: *knit,
                    purl: *purl,
                    pairs: (rows.len() as u32 / 2).saturating_sub(1),
                    left: *left,
                },
                _ => Heel::default(),
            })
            .collect();
        let of = |figure: fn(&Heel) -> u32| -> Vec<u32> { heels.iter().map(figure).collect() };
        let one = |stitch| Item::Work { stitch, times: 1.into(), colour: None };
        let decrease = |mut items: Vec<Item>, two: Stitch, last: Stitch| {
            items.extend([one(two), one(last), Item::Turn(Turn::Plain)]);
            items
        };
        let back = |stitches: Vec<Item>| std::iter::once(one(Stitch::Sl)).chain(stitches).collect::<Vec<_>>();
        let knits = formula::work(Stitch::K, &of(|heel| heel.knit));
        let purls = back(formula::work(Stitch::P, &of(|heel| heel.purl)));
        self.heel_row(1, Side::Right, decrease(knits, Stitch::Ssk, Stitch::K), None);
        let after =
            |pairs: u32| amount(heels.iter().map(|heel| heel.left + 2 * heel.pairs.saturating_sub(pairs)));
        self.heel_row(2, Side::Wrong, decrease(purls, Stitch::P2tog, Stitch::P), Some(after(0)));
        let up_to = |stitch| {
            back(vec![Item::WorkTo { stitch, until: Until::Turn { before: 1.into() }, colour: None }])
        };
        self.heel_row(3, Side::Right, decrease(up_to(Stitch::K), Stitch::Ssk, Stitch::K), None);
        let purls = decrease(up_to(Stitch::P), Stitch::P2tog, Stitch::P);
        self.heel_row(4, Side::Wrong, purls, Some(after(1)));
        if let Some(only) = self.only(|size| heels[size].pairs > 1) {
            let times = amount(heels.iter().map(|heel| heel.pairs.saturating_sub(1)));
            let step = Step::Repeat { rows: 2.into(), times, course: Course::Row };
            self.line(Line { only, step, count: Some(amount(of(|heel| heel.left))) });
        }
        for (rows, heel) in self.rows.iter_mut().zip(&heels) {
            *rows += 2 * (heel.pairs + 1);
        }
    }

    /// Short rows to and fro about the marker of the round.
    pub(super) fn short_rows(&mut self, bands: &[&WorkedBand], extra: usize) {
        self.heading("Short rows");
        let figures: Vec<(u32, u32, u32, u32)> = bands
            .iter()
            .map(|band| match band.then.get(extra) {
                Some(WorkedExtra::ShortRows { past_marker, before_marker, further, rows }) => {
                    (*past_marker, *before_marker, *further, rows.len() as u32 / 2)
                }
                _ => (0, 0, 0, 0),
            })
            .collect();
        let past: Vec<u32> = figures.iter().map(|figure| figure.0).collect();
        let back: Vec<u32> = figures.iter().map(|figure| figure.0 + figure.1).collect();
        let further = amount(figures.iter().map(|figure| figure.2));
        let pairs = figures.iter().map(|figure| figure.3).max().unwrap_or(0);
        let turn = || Item::Turn(Turn::Double);
        // Rows that pass a turn close its gap.
        let row = |page: &mut Self, number: u32, side: Side, items: Vec<Item>| {
            let rows = Rows {
                course: Course::Row,
                label: Label::Numbered { from: number.into(), to: number.into() },
                side: Some(side),
                colour: None,
                closing_gaps: number > 2 && matches!(items.last(), Some(Item::Turn(_))),
                work: Work::Formula(items),
            };
            page.line(Line { only: Only::ALL, step: Step::Rows(rows), count: None });
        };
        let first = |stitch, counts: &[u32]| {
            let mut items = formula::work(stitch, counts);
            items.push(turn());
            items
        };
        row(self, 1, Side::Right, first(Stitch::K, &past));
        row(self, 2, Side::Wrong, first(Stitch::P, &back));
        for pair in 1..pairs {
            for (at, stitch, side) in [(1, Stitch::K, Side::Right), (2, Stitch::P, Side::Wrong)] {
                let until = Until::PastTurn(further.clone());
                let items = vec![Item::WorkTo { stitch, until, colour: None }, turn()];
                row(self, 2 * pair + at, side, items);
            }
        }
        let until = Until::Marker { before: 0.into() };
        let to_marker = vec![Item::WorkTo { stitch: Stitch::K, until, colour: None }];
        row(self, 2 * pairs + 1, Side::Right, to_marker);
        self.gaps = true;
    }

    fn heel_row(&mut self, number: u32, side: Side, items: Vec<Item>, count: Option<Amount>) {
        let rows = Rows {
            course: Course::Row,
            label: Label::Numbered { from: number.into(), to: number.into() },
            side: Some(side),
            colour: None,
            closing_gaps: false,
            work: Work::Formula(items),
        };
        self.line(Line { count, ..Step::Rows(rows).into() });
    }
}
