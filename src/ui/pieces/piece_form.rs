//! The fields of a piece as a whole.

use egui::Ui;

use super::Draft;
use super::amounts::{Surroundings, piece_length, width};
use super::steps;
use crate::knit::Construction;
use crate::knit::pieces::{EndEdge, Piece, SetAside, StartEdge, Width};
use crate::project::Project;
use crate::ui::widgets::{Form, caption, tick_box};

/// Shows name, copies, construction, length and both edges of the piece at `place`.
pub fn show(ui: &mut Ui, project: &Project, place: usize, draft: &mut Draft) {
    let size = draft.plan.size();
    let Some(piece) = draft.plan.pieces.get_mut(place) else { return };
    let before = piece.clone();
    let form = &mut Form::of_words(ui);
    form.text("Name", "Piece name", &mut piece.name);
    let pieces = if piece.copies == 1 { " piece" } else { " pieces" };
    form.count(("Knitted", "Copies of the piece", pieces), (1, 99), &mut piece.copies);
    if piece.copies == 2 {
        let tick = tick_box(form, &mut piece.sided, "A left and a right one");
        form.end_if(tick.changed());
        tick.on_hover_text("Openings of the left one are the mirror of those of the right one");
    }
    let constructions = Construction::ALL.map(|construction| (construction, construction.name()));
    form.choice("Worked", "Piece worked", constructions, &mut piece.construction);
    let starts = StartEdge::ALL.map(|edge| (edge, edge.name()));
    form.choice("Begins", "Piece begins", starts, &mut piece.start);
    steps::beginning(form, piece);
    let joins = piece.bands.first().is_some_and(|band| band.start == Width::Joined);
    if (piece.start == StartEdge::Joined) && !joins {
        caption(form, "The first band has a width of its own: the joined stitches are brought to it.");
    }
    let ends = EndEdge::ALL.map(|edge| (edge, edge.name()));
    form.choice("Ends", "Piece ends", ends, &mut piece.end);
    steps::ending(form, piece);
    if piece.end == EndEdge::Live || piece.set_aside.is_some() {
        set_aside(form, project, piece, &size);
    }
    let around = Surroundings { units: project.units, size: &size, now: (100, 30.0) };
    piece_length(form, &mut piece.length, around);
    if *piece != before {
        draft.label = "Piece";
    }
    draft.ended |= form.ended();
}

fn set_aside(form: &mut Form, project: &Project, piece: &mut Piece, size: &crate::knit::pieces::Size) {
    let mut wanted = piece.set_aside.is_some();
    let tick = tick_box(form, &mut wanted, "Set stitches aside");
    form.end_if(tick.changed());
    tick.on_hover_text("On a thread, at the underarm: they are not joined with the others");
    if !wanted {
        piece.set_aside = None;
        return;
    }
    let mut aside = piece.set_aside.take().unwrap_or_else(|| SetAside::new(2, Width::Stitches(10)));
    let places = if aside.places == 1 { " place" } else { " places" };
    form.count(("  In", "Set aside, places", places), (1, 20), &mut aside.places);
    let around = Surroundings { units: project.units, size, now: (10, 4.0) };
    width(form, ("  Each", "Set aside, each"), (None, false), &mut aside.each, around);
    piece.set_aside = Some(aside);
}
