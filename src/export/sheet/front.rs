//! The front page: what it looks like, for whom it is, and what to have before casting on.

use std::fmt::Write as _;

use super::chart_pages::looks;
use super::figures::{both, lengths_both, number, signed};
use super::flow::{BODY, Flow, Style, stacked};
use super::making::Making;
use super::measures::measured;
use super::table::{Column, Row, Table};
use crate::export::drawing::{Item, Role};
use crate::export::garment_picture;
use crate::export::instructions::{Sized, in_sizes};
use crate::export::paper::Paper;
use crate::export::pictograms;
use crate::export::quiet::quiet;
use crate::export::yarn_words::yarn_words;
use crate::knit::Construction;
use crate::knit::pieces::{Bobbin, Measure, PiecesYarn, Ways, WorkedPiece, told_row};
use crate::project::{Project, key_entry};
use crate::units::{LengthUnit, hours_words};
use crate::yarn::{CAUTION_DEFERS, CareGroup, PutUp, cautions};

/// Heights that the picture can take, of the page's: the largest that leaves room for all the front page
/// holds.
const PICTURE: [f64; 5] = [0.42, 0.36, 0.3, 0.25, 0.2];
/// Width of the words that name a fact.
const INDENT: f64 = 26.0;

/// The front page: the picture gives way until yarn and facts stand on it too.
pub fn page(project: &Project, sized: &Sized, said: &Front, paper: Paper) -> Flow {
    let set = |share: f64| {
        let mut flow = Flow::new(paper, &project.title);
        head(&mut flow, project, sized, said.through, share);
        facts(&mut flow, project, sized, (said.making, said.appendix));
        yarn_table(&mut flow, project, sized, said.yarn);
        flow
    };
    let [largest, smaller @ ..] = PICTURE;
    let first = set(largest);
    if first.page_count() == 1 {
        return first;
    }
    smaller.into_iter().map(set).find(|flow| flow.page_count() == 1).unwrap_or(first)
}

/// What the front page says beside the project.
pub struct Front<'a> {
    /// What came of knitting the words through.
    pub through: &'a str,
    /// What it takes.
    pub making: &'a Making<'a>,
    /// The yarn of every size.
    pub yarn: &'a [PiecesYarn],
    /// Whether an appendix follows, which explains the marks.
    pub appendix: bool,
}

/// Title, sizes, picture and notes.
fn head(flow: &mut Flow, project: &Project, sized: &Sized, through: &str, share: f64) {
    flow.heading(&project.title, Style::TITLE, 20.0);
    if !project.designer.trim().is_empty() {
        flow.words(&format!("Designed by {}", project.designer.trim()), Style::BODY);
    }
    let names = sized.size_names();
    let chosen = &sized.sizes[sized.chosen].name;
    if sized.sizes.len() > 1 {
        flow.words(
            &format!("Sizes {names}. Figures stand in this order; one figure is for all sizes."),
            Style::SMALL,
        );
    }
    flow.words(through, Style::SMALL);
    let room = [flow.width(), share * flow.height()];
    if let Some(picture) = garment_picture::draw(project, sized.chosen_pieces(), room) {
        flow.gap(3.0);
        let size = if sized.sizes.len() > 1 { format!(" Size {chosen}.") } else { String::new() };
        let role = Role::Figure(format!("{}{size}", picture.told));
        flow.place(picture.size[1], role, |x, y| {
            picture.items.into_iter().map(|item| item.moved(x, y)).collect()
        });
    }
    if !project.notes.trim().is_empty() {
        flow.gap(2.0);
        flow.words(project.notes.trim(), Style::BODY);
    }
}

/// The measure of the body that the knitting is fitted to, and its cm in every size.
type Fitted = (Measure, Vec<f64>);

/// The facts, one under the other.
fn facts(flow: &mut Flow, project: &Project, sized: &Sized, (making, appendix): (&Making, bool)) {
    flow.gap(3.0);
    let mut fact = |what: &str, words: &str| {
        flow.labelled(what, Style::LABEL, &capital(words), INDENT, Style::BODY);
        flow.gap(0.5);
    };
    let fitted = measured(project, sized).into_iter().next();
    if sized.sizes.len() > 1 {
        fact("Sizes", &for_whom(project, sized, fitted.as_ref()));
    }
    fact("Finished", &finished(project, sized, fitted.as_ref()));
    fact("Yarn", &yarn_and_ball(project));
    fact("Needles", &making.needles());
    fact("Also", &making.notions());
    fact("Gauge", &gauge(project));
    flow.labelled("", Style::SMALL, &making.gauge_note(), INDENT, Style::SMALL);
    flow.gap(0.5);
    let mut fact = |what: &str, words: &str| {
        flow.labelled(what, Style::LABEL, &capital(words), INDENT, Style::BODY);
        flow.gap(0.5);
    };
    fact("Techniques", &making.techniques());
    fact("Skill", &quiet(&making.skill(), appendix));
    fact("Time", &time(project, sized));
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// `S (M, L), to fit chest 83.8 (94.0, 104.1) cm / ...; ease planned +7.5 cm / +3.0 in, as worked +7.6 cm / ...`
fn for_whom(project: &Project, sized: &Sized, fitted: Option<&Fitted>) -> String {
    let names = sized.size_names();
    let Some((measure, cms)) = fitted else { return format!("{names}.") };
    let body = lengths_both(cms, project.units);
    let planned: Vec<f64> = sized.sizes.iter().map(|size| size.ease_cm).collect();
    let mut ease = format!("ease planned {}", ease_words(&planned, project.units));
    if let Some(worked) = sized.ease_as_worked(project) {
        let _ = write!(ease, "; ease as worked {}", ease_words(&worked, project.units));
    }
    format!("{names}, to fit {} {body}; {ease}.", measure.name().to_lowercase())
}

/// The ease of every size in both systems, or that there is none.
fn ease_words(cms: &[f64], unit: LengthUnit) -> String {
    if cms.iter().all(|ease| ease.abs() < 0.05) {
        return "none".to_owned();
    }
    let words = both(unit).map(|unit| {
        let eases = cms.iter().map(|ease| signed(unit.from_cm(*ease), 1));
        format!("{} {}", in_sizes(eases), unit.length_suffix())
    });
    words.join(" / ")
}

/// Width and length of the first piece that is cast on.
fn finished(project: &Project, sized: &Sized, fitted: Option<&Fitted>) -> String {
    let gauge = project.plan.gauge;
    let Some(first) = sized.chosen_pieces().first() else { return String::new() };
    let wide = |piece: &WorkedPiece| gauge.width(told_row(fitted.map(|(measure, _)| *measure), piece)).get();
    let of = |figure: &dyn Fn(&WorkedPiece) -> f64| {
        let all: Vec<f64> = sized.worked.iter().filter_map(|pieces| pieces.first()).map(figure).collect();
        lengths_both(&all, project.units)
    };
    let across = super::measures::across(first.construction);
    format!(
        "{} {} {across}, {} long; all others under Measures.",
        first.name.to_lowercase(),
        of(&wide),
        of(&|piece| piece.height_cm(gauge))
    )
}

/// The yarn and its ball.
fn yarn_and_ball(project: &Project) -> String {
    let mut put_ups = project.palette.slots().iter().map(|slot| slot.yarn.put_up);
    let first = put_ups.next().filter(|first| put_ups.all(|other| other == *first));
    let ball =
        first.map_or_else(String::new, |ball| format!("; balls of {}", ball_words(project.units, ball)));
    format!("{}{ball}.", yarn_words(project))
}

/// `50 g = 200 m / 219 yd`.
fn ball_words(unit: LengthUnit, put_up: PutUp) -> String {
    let lengths = both(unit).map(|unit| {
        format!("{} {}", number(unit.from_metres(put_up.metres_per_ball()), 0), unit.yarn_suffix())
    });
    let decimals = if unit == LengthUnit::Metric { 0 } else { 2 };
    let mass = number(unit.from_grams(put_up.ball_g()), decimals);
    format!("{mass} {} = {}", unit.mass_suffix(), lengths.join(" / "))
}

fn gauge(project: &Project) -> String {
    let gauge = project.plan.gauge;
    let count = |unit: LengthUnit| {
        let factor = unit.gauge_factor();
        let (stitches, rows) = (gauge.stitches.get() * factor, gauge.rows.get() * factor);
        let rows_word = match project.plan.construction {
            Construction::InTheRound => "rnds",
            Construction::Flat => "rows",
        };
        format!("{} sts and {} {rows_word} in {}", number(stitches, 1), number(rows, 1), unit.gauge_base())
    };
    let [first, second] = both(project.units);
    format!(
        "{} ({}), {}, {}, washed.",
        count(first),
        count(second),
        project.plan.technique.name().to_lowercase(),
        project.plan.construction.name().to_lowercase()
    )
}

fn time(project: &Project, sized: &Sized) -> String {
    let pace = project.pieces.pace;
    let ways: Vec<Ways> = sized
        .worked
        .iter()
        .map(|pieces| pieces.iter().map(|piece| Ways::of(piece, project.pattern())).sum())
        .collect();
    let all = in_sizes(ways.iter().map(|ways| hours_words(pace.hours(*ways))));
    let mut words = format!("about {all} at {} stitches a minute", number(pace.per_minute(), 0));
    let colourwork = [
        ("stranded", pace.stranded_share(), ways.iter().any(|ways| ways.stranded > 0)),
        ("intarsia", pace.intarsia_share(), ways.iter().any(|ways| ways.intarsia > 0)),
    ];
    for (name, share, _) in colourwork.into_iter().filter(|(_, _, used)| *used) {
        words = format!("{words}, {name} at {} % of that pace", number(100.0 * share, 0));
    }
    words + "."
}

/// Metres and balls of every colour in every size.
fn yarn_table(flow: &mut Flow, project: &Project, sized: &Sized, yarn: &[PiecesYarn]) {
    flow.heading("Yarn for each size", Style::HEADING, 30.0);
    let [first, second] = both(project.units);
    let names = sized.size_names();
    let put_ups = project.palette.slots().windows(2);
    let alike = put_ups.into_iter().all(|two| two[0].yarn.put_up == two[1].yarn.put_up);
    let head = |what: &str| {
        if sized.sizes.len() > 1 { format!("{what}: {names}") } else { what.to_owned() }
    };
    let mut columns = vec![
        Column::words("Colour"),
        Column::words("Shade"),
        Column::figures(&head(first.yarn_suffix())),
        Column::figures(&head(second.yarn_suffix())),
        Column::figures(&head("balls")),
    ];
    if !alike {
        columns.push(Column::words("A ball"));
    }
    let looks = looks(project);
    let lengths = |unit: LengthUnit, of: &dyn Fn(&PiecesYarn) -> f64| {
        in_sizes(yarn.iter().map(|size| number(unit.from_metres(of(size)), 0)))
    };
    let slots = project.palette.slots().iter().zip(&looks).enumerate();
    let used = slots.filter(|(slot, _)| yarn.iter().any(|size| size.colours[*slot].stitches > 0));
    let mut rows: Vec<Row> = used
        .map(|(index, (slot, look))| {
            let metres = |size: &PiecesYarn| size.colours[index].metres().likely;
            let mut cells = vec![
                key_entry(index, slot),
                slot.asked_for(&slot.colour.to_hex()),
                lengths(first, &metres),
                lengths(second, &metres),
                in_sizes(yarn.iter().map(|size| size.colours[index].balls.to_string())),
            ];
            if !alike {
                cells.push(ball_words(project.units, slot.yarn.put_up));
            }
            Row { look: Some(look.clone()), cells, sum: false }
        })
        .collect();
    if rows.len() > 1 {
        let metres = |size: &PiecesYarn| size.metres().likely;
        let balls = in_sizes(yarn.iter().map(|size| size.balls().to_string()));
        let cells = vec![
            "Together".to_owned(),
            String::new(),
            lengths(first, &metres),
            lengths(second, &metres),
            balls,
        ];
        rows.push(Row { sum: true, ..Row::new(cells) });
    }
    Table { columns, rows }.set(flow);
    flow.words(&balls_note(project), Style::SMALL);
}

fn balls_note(project: &Project) -> String {
    let unit = project.units;
    let on_hand = project.palette.slots().iter().filter(|slot| slot.on_hand_m() > 0.0).map(|slot| {
        format!("{} {} of {}", number(unit.from_metres(slot.on_hand_m()), 0), unit.yarn_suffix(), slot.name)
    });
    let on_hand: Vec<String> = on_hand.collect();
    let taken_off = if on_hand.is_empty() {
        String::new()
    } else {
        format!(", less what is on hand ({})", on_hand.join(", "))
    };
    format!(
        "Lengths are the likely ones, swatch and ends included; balls are enough for the highest that is \
         likely{taken_off}. Buy all balls of a colour from one dye lot."
    )
}

/// The bobbins of intarsia: how many of each colour, and what each holds.
pub fn bobbins(flow: &mut Flow, project: &Project, sized: &Sized) {
    let pieces = sized.chosen_pieces();
    let pattern = project.pattern();
    let found: Vec<(u32, Bobbin)> = pieces
        .iter()
        .flat_map(|piece| piece.bobbins(&pattern).into_iter().map(|bobbin| (piece.copies, bobbin)))
        .collect();
    if found.is_empty() {
        return;
    }
    let size = if sized.sizes.len() > 1 {
        format!(" in size {}", sized.sizes[sized.chosen].name)
    } else {
        String::new()
    };
    flow.heading("Bobbins", Style::SUBHEADING, 4.0 * BODY);
    let (loop_length, _) = project.stitch_yarn();
    let tails = 2.0 * project.plan.tail_cm / 100.0;
    let metres = |bobbin: &Bobbin| loop_length.metres(bobbin.stitches as f64).likely + tails;
    let [first, second] = both(project.units);
    let slots = project.palette.slots().iter().enumerate();
    let rows = slots.filter_map(|(slot, named)| {
        let own: Vec<&(u32, Bobbin)> = found.iter().filter(|(_, bobbin)| bobbin.slot == slot).collect();
        let count: u32 = own.iter().map(|(copies, _)| *copies).sum();
        let lengths = |unit: LengthUnit| {
            let each = own.iter().map(|(_, bobbin)| number(unit.from_metres(metres(bobbin)), 1));
            each.collect::<Vec<_>>().join(", ")
        };
        (count > 0).then(|| {
            Row::new(vec![key_entry(slot, named), count.to_string(), lengths(first), lengths(second)])
        })
    });
    let rows: Vec<Row> = rows.collect();
    let columns = vec![
        Column::words("Colour"),
        Column::figures("Bobbins"),
        Column::figures(&format!("{} each", first.yarn_suffix())),
        Column::figures(&format!("{} each", second.yarn_suffix())),
    ];
    Table { columns, rows }.set(flow);
    let note = format!(
        "One bobbin for each area of the chart{size}, in the order they are taken up; likely lengths with both tails. \
         Edges and plain bands are knitted from the ball."
    );
    flow.words(&note, Style::SMALL);
}

/// What the label says of a group, with a pictogram of our own before it.
fn care_line(flow: &mut Flow, group: CareGroup, words: &str) {
    const SIDE: f64 = 4.6;
    const INDENT: f64 = 7.0;
    let lines = Style::BODY.wrapped(words, flow.width() - INDENT);
    let height = (Style::BODY.line() * lines.len() as f64).max(SIDE + 0.4);
    flow.place_parts(height, |x, y| {
        let marks = pictograms::care(group);
        let marks =
            marks.iter().map(|mark| Item::of_mark(mark, [x, y, SIDE, SIDE], Style::BODY.ink)).collect();
        let words = stacked(&lines, Style::BODY, x + INDENT, y);
        vec![(Role::Decoration, marks), (Role::Words { goes_on: false }, words)]
    });
}

/// The label, how the fibre is cared for, and what to mind; nothing while neither yarn nor fibre is chosen.
pub fn care(flow: &mut Flow, project: &Project) {
    let material = &project.material;
    let Some(blend) = project.fibre() else { return };
    flow.heading("Care and caution", Style::HEADING, 3.0 * Style::BODY.line());
    let label = project.care_label();
    for (group, meanings) in label.by_group() {
        care_line(flow, group, &format!("{}.", meanings.join("; ")));
    }
    if let Some(unread) = label.unread_words() {
        flow.words(&unread, Style::BODY);
    }
    for (fibre, _) in blend.parts().iter().filter(|(fibre, _)| !fibre.facts().care.is_empty()) {
        flow.words(&format!("{}: {}", fibre.name(), fibre.facts().care), Style::BODY);
    }
    if let Some(needs) = material.needs {
        flow.words(needs.washing_reason(), Style::BODY);
        for caution in cautions(needs, blend, &label) {
            flow.words(&format!("{}. {}", caution.topic.name(), caution.text), Style::BODY);
        }
    }
    flow.words(CAUTION_DEFERS, Style::SMALL);
}
