//! The fields of a piece as a whole.

use egui::Ui;

use super::Draft;
use super::amounts::{Surroundings, piece_length, width};
use super::fields::{choice, count, text};
use super::steps;
use crate::knit::Construction;
use crate::knit::pieces::{EndEdge, Piece, SetAside, StartEdge, Width};
use crate::project::Project;
use crate::ui::widgets::caption;

/// Shows name, copies, construction, length and both edges of the piece at `place`.
pub fn show(ui: &mut Ui, project: &Project, place: usize, draft: &mut Draft) {
    let size = draft.plan.size();
    let Some(piece) = draft.plan.pieces.get_mut(place) else { return };
    let before = piece.clone();
    let mut ended = false;
    text(ui, "Name", "Piece name", &mut piece.name, &mut ended);
    let pieces = if piece.copies == 1 { " piece" } else { " pieces" };
    count(ui, ("Knitted", "Copies of the piece", pieces), (1, 99), &mut piece.copies, &mut ended);
    if piece.copies == 2 {
        let tick = ui.checkbox(&mut piece.sided, "A left and a right one");
        ended |= tick.changed();
        tick.on_hover_text("Openings of the left one are the mirror of those of the right one");
    }
    let constructions = Construction::ALL.map(|construction| (construction, construction.name()));
    choice(ui, "Worked", "Piece worked", &constructions, &mut piece.construction, &mut ended);
    let starts = StartEdge::ALL.map(|edge| (edge, edge.name()));
    choice(ui, "Begins", "Piece begins", &starts, &mut piece.start, &mut ended);
    steps::beginning(ui, piece, &mut ended);
    let joins = piece.bands.first().is_some_and(|band| band.start == Width::Joined);
    if (piece.start == StartEdge::Joined) && !joins {
        caption(ui, "The first band has a width of its own: the joined stitches are brought to it.");
    }
    let ends = EndEdge::ALL.map(|edge| (edge, edge.name()));
    choice(ui, "Ends", "Piece ends", &ends, &mut piece.end, &mut ended);
    steps::ending(ui, piece, &mut ended);
    if piece.end == EndEdge::Live || piece.set_aside.is_some() {
        set_aside(ui, project, piece, &size, &mut ended);
    }
    let around = Surroundings { units: project.units, size: &size, now: (100, 30.0) };
    piece_length(ui, &mut piece.length, around, &mut ended);
    if *piece != before {
        draft.label = "Piece";
    }
    draft.ended |= ended;
}

fn set_aside(
    ui: &mut Ui,
    project: &Project,
    piece: &mut Piece,
    size: &crate::knit::pieces::Size,
    ended: &mut bool,
) {
    let mut wanted = piece.set_aside.is_some();
    let tick = ui.checkbox(&mut wanted, "Set stitches aside");
    *ended |= tick.changed();
    tick.on_hover_text("On a thread, at the underarm: they are not joined with the others");
    if !wanted {
        piece.set_aside = None;
        return;
    }
    let mut aside = piece.set_aside.take().unwrap_or_else(|| SetAside::new(2, Width::Stitches(10)));
    let places = if aside.places == 1 { " place" } else { " places" };
    count(ui, ("  In", "Set aside, places", places), (1, 20), &mut aside.places, ended);
    let around = Surroundings { units: project.units, size, now: (10, 4.0) };
    width(ui, ("  Each", "Set aside, each"), (None, false), &mut aside.each, around, ended);
    piece.set_aside = Some(aside);
}
