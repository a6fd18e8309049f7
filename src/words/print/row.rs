//! Rows, rounds and what fills them.

use super::amounts::{amount, stitches, stitches_called};
use super::{Wording, course_word};
use crate::plain_text::and_list;
use crate::words::{
    Across, Amount, AsSet, CastOn, ChartWork, Colour, Course, Edge, Item, Label, PickUp, Rows, Side, Stitch,
    StitchPattern, Strip, Turn, Until, Work,
};

impl Wording<'_> {
    /// A sentence without its full stop.
    pub(super) fn rows(&self, rows: &Rows) -> String {
        if let Some(simple) = self.simple_rows(rows) {
            return simple;
        }
        let with = rows.colour.map_or_else(String::new, |colour| format!("with {}, ", self.code(colour)));
        let closing = if rows.closing_gaps { ", closing the gaps" } else { "" };
        format!("{}: {with}{}{closing}", self.label(rows), self.work(&rows.work, rows.course))
    }

    /// `with A, k 8 (10, 12) rnds`: rows without numbers, worked in one simple way.
    fn simple_rows(&self, rows: &Rows) -> Option<String> {
        let Label::Next(count) = &rows.label else { return None };
        let doing = match &rows.work {
            Work::Formula(items) => match items.as_slice() {
                [Item::WorkTo { stitch, until: Until::End, colour: None }] if count.one() != Some(1) => {
                    stitch.abbreviation()
                }
                _ => return None,
            },
            Work::Fabric(_) | Work::Striped { .. } => "work",
            Work::Chart(_) | Work::ChartAsSet(_) | Work::AsSet => return None,
        };
        if rows.closing_gaps {
            return None;
        }
        let with = rows.colour.map_or_else(String::new, |colour| format!("with {}, ", self.code(colour)));
        let plural = if count.one() == Some(1) { "" } else { "s" };
        let note = self.not_in(count);
        let how = match &rows.work {
            Work::Fabric(fabric) => format!(" in {}", fabric_words(*fabric)),
            Work::Striped { fabric, stripes } => self.striped(*fabric, stripes, rows.course),
            _ => String::new(),
        };
        let side = side_note(rows.side, count.one() == Some(1));
        let course = course_word(rows.course);
        Some(format!("{with}{doing} {} {course}{plural}{note}{how}{side}", amount(count)))
    }

    /// `Rnd 3`, `Rows 1–6 (RS first)`, `Next 4 rnds`.
    fn label(&self, rows: &Rows) -> String {
        let course = course_word(rows.course);
        match &rows.label {
            Label::Numbered { from, to } if from == to => {
                format!("{course} {}{}", amount(from), side_note(rows.side, true))
            }
            Label::Numbered { from, to } => {
                let range = range(from, to);
                format!("{course}s {range}{}", side_note(rows.side, false))
            }
            Label::Next(count) if count.one() == Some(1) => {
                format!("next {course}{}", side_note(rows.side, true))
            }
            Label::Next(count) => {
                let (count, note) = (amount(count), self.not_in(count));
                format!("next {count} {course}s{note}{}", side_note(rows.side, false))
            }
            Label::EverySecond(first) => {
                let parity = if first % 2 == 0 { "even" } else { "odd" };
                format!("{course} {first}{} and every {parity} {course}", side_note(rows.side, true))
            }
        }
    }

    /// What fills a row, e.g. `*k11 (12, 13), k2tog; repeat from * to end`.
    pub(super) fn work(&self, work: &Work, course: Course) -> String {
        match work {
            Work::Formula(items) => match items.as_slice() {
                [Item::WorkTo { stitch, until: Until::End, colour }] => {
                    format!("{}{}", stitch.abbreviation(), self.in_colour(*colour))
                }
                items => self.items(items),
            },
            Work::Fabric(fabric) => format!("work in {}", fabric_words(*fabric)),
            Work::Striped { fabric, stripes } => format!("work{}", self.striped(*fabric, stripes, course)),
            Work::Chart(chart) => self.chart(chart, course),
            Work::ChartAsSet(work) => self.as_set(work, course),
            Work::AsSet => "work each st as it shows".to_owned(),
        }
    }

    fn striped(&self, fabric: StitchPattern, stripes: &[(Colour, u32)], course: Course) -> String {
        let word = course_word(course);
        let stripe = |(colour, rows): &(Colour, u32)| {
            let plural = if *rows == 1 { "" } else { "s" };
            format!("{rows} {word}{plural} with {}", self.code(*colour))
        };
        let stripes: Vec<String> = stripes.iter().map(stripe).collect();
        format!(" in {}, {} in turn", fabric_words(fabric), and_list(&stripes))
    }

    fn chart(&self, chart: &ChartWork, course: Course) -> String {
        let (mut across, mut worked, mut charted) = (String::new(), false, false);
        for part in &chart.across {
            if !across.is_empty() {
                across.push_str(", then ");
            }
            // New stitches are not worked.
            if !worked && !matches!(part, Across::Bridge { .. }) {
                across.push_str("work ");
                worked = true;
            }
            let words = match part {
                Across::Strip(strip) if charted => format!("of {}", strip_words(strip)),
                Across::Strip(strip) => {
                    charted = true;
                    format!("{} of {}", rows_words(&chart.from, &chart.to, course), strip_words(strip))
                }
                Across::Edge(edge) => self.edge(edge),
                Across::Steek(count) => stitches_called("steek ", count),
                Across::EdgeStitches(count) => stitches_called("edge ", count),
                Across::Bridge { aside, stitches: new, steek } if aside.one() == Some(0) => {
                    format!("cast on {} for the {steek}", stitches_called("steek ", new))
                }
                Across::Bridge { aside, stitches: new, steek } => format!(
                    "place the next {} on waste yarn for the {steek} and cast on {}",
                    stitches(aside),
                    stitches_called("steek ", new)
                ),
            };
            across.push_str(&words);
        }
        format!("{across}{}", self.in_all(&chart.times, course))
    }

    fn as_set(&self, work: &AsSet, course: Course) -> String {
        let rows = rows_words(&work.from, &work.to, course);
        let shaped = work.shaped.as_ref().map_or_else(String::new, |steek| {
            format!(", with k2tog before and ssk after the steek of the {steek}")
        });
        format!("work {rows} of the chart as set{shaped}{}", self.in_all(&work.times, course))
    }

    /// `; these rnds twice in all`
    fn in_all(&self, times: &Amount, course: Course) -> String {
        if times.one() == Some(1) {
            return String::new();
        }
        format!("; these {}s {} in all", course_word(course), self.times(times))
    }

    fn edge(&self, edge: &Edge) -> String {
        let colour = edge.colour.map_or_else(String::new, |colour| format!(" with {}", self.code(colour)));
        let fabric = match edge.fabric {
            StitchPattern::Stockinette => String::new(),
            other => format!(" in {}", fabric_words(other)),
        };
        format!("{}{colour}{fabric}", stitches(&edge.stitches))
    }

    fn in_colour(&self, colour: Option<Colour>) -> String {
        colour.map_or_else(String::new, |colour| format!(" {}", self.code(colour)))
    }

    pub(super) fn items(&self, items: &[Item]) -> String {
        let items: Vec<String> = items.iter().map(|item| self.item(item)).collect();
        items.join(", ")
    }

    fn item(&self, item: &Item) -> String {
        match item {
            Item::Work { stitch, times, colour } => self.counted(*stitch, times, &self.in_colour(*colour)),
            Item::WorkTo { stitch, until, colour } => {
                let colour = self.in_colour(*colour);
                format!("{}{colour} to {}", stitch.abbreviation(), until_words(until))
            }
            Item::From { stitch, times, group } => {
                format!("{}{} of the {group}", stitch.abbreviation(), amount(times))
            }
            Item::Group { items, times } => format!("({}) {}", self.items(items), self.times(times)),
            Item::Star { items, until } => {
                format!("*{}; repeat from * to {}", self.items(items), until_words(until))
            }
            Item::PlaceMarker => "place marker".to_owned(),
            Item::SlipMarker => "slip marker".to_owned(),
            Item::RemoveMarker => "remove marker".to_owned(),
            Item::RoundMarker => "place the marker of the rnd".to_owned(),
            Item::BindOff(count) => format!("bind off {}", stitches(count)),
            Item::CastOn { times, method } => {
                format!("cast on {}{}", stitches(times), cast_on_words(*method))
            }
            Item::PickUp(pick_up) => pick_up_words(pick_up),
            Item::SetAside { times, group } => {
                format!("place the next {} on waste yarn for the {group}", stitches(times))
            }
            Item::WasteYarn { times, opening } => format!(
                "k{} with waste yarn for the {opening}, slip these sts back and k them again",
                amount(times)
            ),
            Item::Turn(Turn::Plain) => "turn".to_owned(),
            Item::Turn(Turn::Wrapped) => "wrap the next st and turn".to_owned(),
            Item::Turn(Turn::Double) => "turn with a double st".to_owned(),
        }
    }

    /// `k11 (12, 13)`, `k2tog`, `k2tog 10 times`.
    fn counted(&self, stitch: Stitch, times: &Amount, colour: &str) -> String {
        let word = stitch.abbreviation();
        match stitch {
            Stitch::K | Stitch::P | Stitch::Sl => format!("{word}{}{colour}", amount(times)),
            _ if times.one() == Some(1) => format!("{word}{colour}"),
            _ => format!("{word}{colour} {}", self.times(times)),
        }
    }
}

/// ` (RS)` for one row, ` (RS first)` for several.
fn side_note(side: Option<Side>, one: bool) -> String {
    let first = if one { "" } else { " first" };
    side.map_or_else(String::new, |side| format!(" ({}{first})", side.abbreviation()))
}

/// ` with a stretchy method` and the like.
pub(in crate::words) const fn cast_on_words(method: CastOn) -> &'static str {
    match method {
        CastOn::Any => "",
        CastOn::LongTail => " with the long-tail method",
        CastOn::Stretchy => " with a stretchy method",
        CastOn::BackwardLoop => " by backward loops",
        CastOn::Cable => " with the cable method",
        CastOn::Provisional => " provisionally on waste yarn",
    }
}

pub(super) fn fabric_words(fabric: StitchPattern) -> String {
    match fabric {
        StitchPattern::Stockinette => "St st".to_owned(),
        StitchPattern::ReverseStockinette => "rev St st".to_owned(),
        StitchPattern::Garter => "garter st".to_owned(),
        StitchPattern::Moss => "moss st".to_owned(),
        StitchPattern::Rib { knit, purl } => format!("k{knit}, p{purl} rib"),
    }
}

/// `rnd 3`, `rnds 17–37`
fn rows_words(from: &Amount, to: &Amount, course: Course) -> String {
    let word = course_word(course);
    if from == to { format!("{word} {}", amount(from)) } else { format!("{word}s {}", range(from, to)) }
}

/// `17–37`, `38–45 (47, 49)`.
fn range(from: &Amount, to: &Amount) -> String {
    format!("{}–{}", amount(from), amount(to))
}

fn strip_words(strip: &Strip) -> String {
    let of = stitches(&strip.of.into());
    // A chart as wide as the row is no repeat.
    let mut text = if strip.repeats.one() == Some(1) {
        format!("chart {} over {of}", strip.chart + 1)
    } else {
        format!("chart {}, {} repeats of {of}", strip.chart + 1, amount(&strip.repeats))
    };
    if strip.begin.one() != Some(1) {
        text.push_str(" from st ");
        text.push_str(&amount(&strip.begin));
    }
    if strip.extra.one() != Some(0) {
        text.push_str(" and ");
        text.push_str(&stitches(&strip.extra));
        text.push_str(" more");
    }
    text
}

fn until_words(until: &Until) -> String {
    match until {
        Until::End => "end".to_owned(),
        Until::Last(count) if count.one() == Some(1) => "last st".to_owned(),
        Until::Last(count) => format!("last {}", stitches(count)),
        Until::Marker { before } if before.one() == Some(0) => "marker".to_owned(),
        Until::Marker { before } => format!("{} before marker", stitches(before)),
        Until::Turn { before } if before.one() == Some(0) => "the turn".to_owned(),
        Until::Turn { before } => format!("{} before the turn", stitches(before)),
        Until::PastTurn(count) => format!("{} past the turn", stitches(count)),
    }
}

/// `pick up and k96 (100, 104) along the neck (3 sts for every 4 of 128 rows)`.
pub(super) fn pick_up_words(pick_up: &PickUp) -> String {
    let ratio = pick_up.ratio.as_ref().map_or_else(String::new, |ratio| {
        let (stitches, of) = (stitches(&ratio.stitches.into()), amount(&ratio.of));
        format!(" ({stitches} for every {} of {of} rows)", ratio.every)
    });
    format!("pick up and k{} along the {}{ratio}", amount(&pick_up.times), pick_up.edge)
}
