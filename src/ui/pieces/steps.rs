//! The steps of a piece beside its bands: where its stitches come from, what is done between bands, and
//! what is done at the end. Each can be added, changed, moved and taken out.

use egui::Ui;

use super::amounts::{Surroundings, length_field, width};
use crate::knit::pieces::{
    Band, BindOff, CastOn, EndEdge, Finish, Length, Piece, Size, StartEdge, Step, Take, Width,
};
use crate::ui::widgets::{Form, Icon, caption, sized_icon_button};
use crate::units::LengthUnit;

/// What is asked for in a list of steps.
enum Asked {
    Remove(usize),
    /// Swaps it with the one after it.
    Swap(usize),
}

/// The heading of one entry with its buttons.
fn entry(ui: &mut Ui, title: &str, (place, count): (usize, usize), what: &str) -> Option<Asked> {
    let number = place + 1;
    let mut asked = None;
    ui.horizontal(|ui| {
        ui.label(format!("{number}. {title}"));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            ui.spacing_mut().item_spacing.x = 2.0;
            let mut button = |icon, words: &str, enabled: bool, ask: Asked| {
                let label = format!("{words} {what} {number}");
                ui.add_enabled_ui(enabled, |ui| {
                    let size = egui::Vec2::splat(24.0);
                    if sized_icon_button(ui, icon, &label, &label, false, size).clicked() {
                        asked = Some(ask);
                    }
                });
            };
            button(Icon::Remove, "Remove", true, Asked::Remove(place));
            button(Icon::Down, "Move down", place + 1 < count, Asked::Swap(place));
            button(Icon::Up, "Move up", place > 0, Asked::Swap(place.saturating_sub(1)));
        });
    });
    asked
}

fn carry_out<T>(form: &mut Form, list: &mut Vec<T>, asked: Option<&Asked>) {
    match asked {
        Some(Asked::Remove(place)) => drop(list.remove(*place)),
        Some(Asked::Swap(place)) => list.swap(*place, place + 1),
        None => return,
    }
    form.end();
}

/// Buttons that add one of several kinds.
fn add<T>(form: &mut Form, list: &mut Vec<T>, kinds: Vec<(&str, T)>) {
    let room = list.len() < crate::project::PiecePlan::MOST;
    let wanted = form.horizontal_wrapped(|ui| {
        let clicked = |(words, fresh)| ui.button(words).clicked().then_some(fresh);
        if room { kinds.into_iter().find_map(clicked) } else { None }
    });
    if let Some(fresh) = wanted.inner {
        list.push(fresh);
        form.end();
    }
}

/// How the piece begins: the method of its cast-on, or where its stitches come from.
pub fn beginning(form: &mut Form, piece: &mut Piece) {
    if piece.start == StartEdge::CastOn {
        let methods = CastOn::ALL.map(|method| (method, method.name()));
        form.choice("  Cast on", "Method of casting on", methods, &mut piece.cast_on);
        return;
    }
    let takes = piece.takes.len();
    let mut asked = None;
    for (place, take) in piece.takes.iter_mut().enumerate() {
        let title = match take {
            Take::Group(_) => "Live stitches",
            Take::PickUp { .. } => "Picked up along an edge",
            Take::CastOn(_) => "Cast on over a gap",
            Take::Opening { .. } => "Opening on waste yarn",
        };
        asked = entry(form, title, (place, takes), "taken stitches").or(asked);
        let n = place + 1;
        match take {
            Take::Group(name) => form.text("  Called", &format!("Taken stitches {n}, name"), name),
            Take::PickUp { along, rows, stitches, every } => {
                form.text("  Along the", &format!("Taken stitches {n}, edge"), along);
                form.count(("  Stitches", &format!("Taken stitches {n}, stitches"), ""), (1, 50), stitches);
                form.count(("  For every", &format!("Taken stitches {n}, rows"), " rows"), (1, 50), every);
                if let Length::Rows(rows) = rows {
                    form.count(("  Of", &format!("Taken stitches {n}, all rows"), " rows"), (1, 2000), rows);
                }
            }
            Take::CastOn(stitches) => {
                let label = format!("Taken stitches {n}, cast on");
                form.count(("  Stitches", &label, " stitches"), (1, 200), stitches);
            }
            Take::Opening { name, corners } => {
                form.text("  Called", &format!("Taken stitches {n}, opening"), name);
                let label = format!("Taken stitches {n}, at each corner");
                form.count(("  At each corner", &label, " stitches"), (0, 20), corners);
            }
        }
    }
    carry_out(form, &mut piece.takes, asked.as_ref());
    if piece.takes.is_empty() && piece.start == StartEdge::Joined {
        caption(form, "Takes up all stitches that are live, in the order they were set aside.");
    }
    let edge = Take::PickUp { along: "edge".to_owned(), rows: Length::Rows(20), stitches: 3, every: 4 };
    let kinds = vec![
        ("Add live stitches", Take::Group("front".to_owned())),
        ("Add an edge", edge),
        ("Cast on over a gap", Take::CastOn(4)),
        ("Add an opening", Take::Opening { name: "thumb".to_owned(), corners: 1 }),
    ];
    add(form, &mut piece.takes, kinds);
}

/// How the piece ends, and what is done then.
pub fn ending(form: &mut Form, piece: &mut Piece) {
    if piece.end == EndEdge::BoundOff {
        let methods = BindOff::ALL.map(|method| (method, method.name()));
        form.choice("  Bind off", "Method of binding off", methods, &mut piece.bind_off);
    }
    let all = piece.finish.len();
    let mut asked = None;
    for (place, finish) in piece.finish.iter_mut().enumerate() {
        let title = finish.name();
        asked = entry(form, title, (place, all), "finishing step").or(asked);
        let label = |what: &str| format!("Finishing step {}, {what}", place + 1);
        match finish {
            Finish::Graft { one, other } | Finish::ThreeNeedle { one, other } => {
                form.text("  One", &label("one group"), one);
                form.text("  The other", &label("other group"), other);
            }
            Finish::Seam(what) => form.text("  Of", &label("seam"), what),
            Finish::Steek { stitches, place } => {
                form.text("  Of the", &label("steek"), place);
                form.count(("  Bridge", &label("bridge"), " stitches"), (4, 20), stitches);
            }
        }
    }
    carry_out(form, &mut piece.finish, asked.as_ref());
    let groups = || ("left underarm".to_owned(), "left sleeve underarm".to_owned());
    let (one, other) = groups();
    let (front, back) = groups();
    let kinds = vec![
        ("Add grafting", Finish::Graft { one, other }),
        ("Add a three-needle bind-off", Finish::ThreeNeedle { one: front, other: back }),
        ("Add a seam", Finish::Seam("sides".to_owned())),
        ("Add a steek", Finish::Steek { stitches: 8, place: "front".to_owned() }),
    ];
    add(form, &mut piece.finish, kinds);
}

/// What is done after a band.
pub fn after_band(form: &mut Form, units: LengthUnit, size: &Size, band: &mut Band) {
    let all = band.then.len();
    let mut asked = None;
    for (place, step) in band.then.iter_mut().enumerate() {
        let title = step.name();
        asked = entry(form, title, (place, all), "step after the band").or(asked);
        let label = |what: &str| format!("Step {} after the band, {what}", place + 1);
        match step {
            Step::Opening { name, stitches, inset, face } => {
                form.text("  Called", &label("name"), name);
                let around = Surroundings { units, size, now: (12, 4.0) };
                width(form, ("  Width", &label("width")), (None, false), stitches, around);
                form.count(("  From the side", &label("from the side"), " stitches"), (0, 200), inset);
                form.count(
                    ("  In the first", &label("in the first"), " stitches; 0 is half"),
                    (0, 999),
                    face,
                );
            }
            Step::ShortRows { rise_cm, share, further } => {
                form.row("  Height", |form| length_field(form, &label("height"), rise_cm, units));
                let mut percent = (*share * 100.0).round() as u32;
                form.count(("  Over", &label("share"), " % of the round"), (5, 95), &mut percent);
                if percent != (*share * 100.0).round() as u32 {
                    *share = f64::from(percent) / 100.0;
                }
                form.count(("  Each further by", &label("further"), " stitches"), (1, 40), further);
            }
            Step::Steek { name, at, aside, less_cm, bridge } => {
                form.text("  Called", &label("name"), name);
                let mut percent = (*at * 100.0).round() as u32;
                form.count(("  Its middle at", &label("middle"), " % of the round"), (0, 99), &mut percent);
                if percent != (*at * 100.0).round() as u32 {
                    *at = f64::from(percent) / 100.0;
                }
                let around = Surroundings { units, size, now: (0, 0.0) };
                width(form, ("  Set aside", &label("set aside")), (None, false), aside, around);
                form.row("  Less, twice", |form| length_field(form, &label("less"), less_cm, units));
                form.count(("  Bridge", &label("bridge"), " stitches"), (4, 20), bridge);
            }
            Step::HeelTurn => {}
        }
    }
    carry_out(form, &mut band.then, asked.as_ref());
    let opening = Step::Opening { name: "thumb".to_owned(), stitches: Width::Share(0.17), inset: 2, face: 0 };
    let first = !band.then.iter().any(|step| matches!(step, Step::Steek { .. }));
    let steek = Step::Steek {
        name: if first { "left armhole".to_owned() } else { "right armhole".to_owned() },
        at: if first { 0.0 } else { 0.5 },
        aside: Width::Stitches(0),
        less_cm: 0.0,
        bridge: 8,
    };
    let kinds = vec![
        ("Add an opening", opening),
        ("Add short rows", Step::ShortRows { rise_cm: 2.0, share: 0.5, further: 4 }),
        ("Turn a heel", Step::HeelTurn),
        ("Begin a steek", steek),
    ];
    add(form, &mut band.then, kinds);
}
