//! All sizes of a piece solved together: what each compromise costs, what is held, and taking it over.

use egui::{Grid, Ui};

use super::{Draft, words};
use crate::app::pieces_desk::Solved;
use crate::app::state::State;
use crate::knit::Construction;
use crate::knit::pieces::yoke::{Held, Part};
use crate::knit::pieces::{Band, HeldFigures};
use crate::ui::theme::STEP;
use crate::ui::widgets::{NumberField, caption, heading, name, tick_box};

/// What undo calls a figure that is held or let go.
const HOLD: &str = "Held figure";

/// What the panel remembers between frames.
#[derive(Default)]
pub struct SolveView {
    /// The piece that is solved, by its place.
    piece: Option<usize>,
    /// What was held, band by band, when the costs of other choices were asked for.
    costs_with: Option<Vec<Vec<HeldFigures>>>,
}

/// Shows the panel for the piece at `place`.
pub fn show(ui: &mut Ui, state: &State, place: usize, view: &mut SolveView, draft: &mut Draft) {
    let Some(piece) = draft.plan.pieces.get(place) else { return };
    if piece.construction != Construction::InTheRound {
        return;
    }
    ui.add_space(STEP);
    heading(ui, "All sizes together");
    caption(ui, "Finds repeats, decrease rounds and plain rounds of every size, so that the bands divide.");
    if view.piece != Some(place) {
        *view = SolveView::default();
        if ui.button("Solve the bands").clicked() {
            view.piece = Some(place);
        }
        return;
    }
    let reading = state.desks.pieces.solved(&state.document, &state.jobs, place);
    let Some(solved) = reading.value() else {
        caption(ui, "Solving…");
        return;
    };
    match solved.as_ref() {
        Err(why) => {
            caption(ui, why.clone());
            let bands = draft.plan.pieces.get_mut(place).map(|piece| &mut piece.bands);
            let Some(bands) = bands.filter(|bands| bands.iter().any(|band| !band.held.is_empty())) else {
                return;
            };
            if ui.button("Let everything go").clicked() {
                for band in bands.iter_mut() {
                    band.held.clear();
                }
                draft.step(HOLD);
            }
        }
        Ok(solved) => table(ui, state, (place, solved), view, draft),
    }
}

fn table(
    ui: &mut Ui,
    state: &State,
    (place, solved): (usize, &Solved),
    view: &mut SolveView,
    draft: &mut Draft,
) {
    let units = state.project().units;
    let solution = &solved.solution;
    Grid::new("solved sizes").num_columns(6).spacing([10.0, 2.0]).striped(true).show(ui, |ui| {
        for title in ["Size", "Gathers", "Depth", "End", "Shoulders", "Costs"] {
            ui.label(title);
        }
        ui.end_row();
        for (wanted, choice) in solved.brief.brief.sizes.iter().zip(&solution.sizes) {
            ui.label(&wanted.name);
            ui.label(format!("{:.0} %", choice.gather.percent()));
            ui.label(words::off(choice.depth_off_cm, units));
            ui.label(words::off(choice.end_off_cm, units));
            ui.label(words::off(-choice.shoulder_short_cm, units));
            let costs = format!("{:.1}", choice.own_cost + choice.uneven_cost);
            ui.label(costs).on_hover_text(format!(
                "{:.1} by itself, {:.1} for differing from the size before; 1 is a cm of depth",
                choice.own_cost, choice.uneven_cost
            ));
            ui.end_row();
        }
    });
    let proven = if solution.proven {
        "No choice that is tried costs less."
    } else {
        "A better one is not ruled out."
    };
    caption(ui, format!("{proven} In all {:.1}.", solution.cost));
    held(ui, state, (place, solved), view, draft);
    if ui
        .button("Use these figures")
        .on_hover_text("They become the bands' own figures in every size")
        .clicked()
        && let Some(piece) = draft.plan.pieces.get_mut(place)
    {
        solved.brief.write(&mut piece.bands, solution);
        draft.step("Solved bands");
        *view = SolveView::default();
    }
}

/// The figures of the worked size: each can be held while the rest is solved again, and what one step more or fewer
/// costs stands beside it. What is held is saved with the bands.
fn held(
    ui: &mut Ui,
    state: &State,
    (place, solved): (usize, &Solved),
    view: &mut SolveView,
    draft: &mut Draft,
) {
    let size = draft.plan.chosen.min(solved.solution.sizes.len().saturating_sub(1));
    let Some((wanted, choice)) = solved.brief.brief.sizes.get(size).zip(solved.solution.sizes.get(size))
    else {
        return;
    };
    let Some(piece) = draft.plan.pieces.get_mut(solved.brief.piece) else { return };
    caption(ui, "Hold a figure of the chosen size and solve the rest again:");
    let all = |bands: &[Band]| bands.iter().map(|band| band.held.clone()).collect::<Vec<_>>();
    let before = all(&piece.bands);
    let asked = view.costs_with.as_ref() == Some(&before);
    let costs = if asked {
        state.desks.pieces.compromises(&state.document, &state.jobs, (place, size)).value()
    } else {
        None
    };
    let mut ended = false;
    Grid::new("held figures").num_columns(4).spacing([10.0, 2.0]).show(ui, |ui| {
        for title in ["Hold", "Worked", "Fewer", "More"] {
            ui.label(title);
        }
        ui.end_row();
        for (part, made) in choice.made.iter().enumerate() {
            let band = solved.brief.bands.get(part).and_then(|place| piece.bands.get_mut(*place));
            let Some((band, worked)) = band.zip(solved.brief.figures_of(part, *made)) else { continue };
            let row = Row { part: &solved.brief.brief.parts[part], size: &wanted.name, worked };
            ui.push_id(("held", part), |ui| ended |= row.tick(ui, band));
            ui.push_id(("held figure", part), |ui| ended |= row.figure(ui, band));
            let cost = costs.as_ref().and_then(|costs| costs.iter().find(|cost| cost.part == part));
            for (held, cost) in [
                cost.map(|cost| (cost.fewer, cost.fewer_costs)),
                cost.map(|cost| (cost.more, cost.more_costs)),
            ]
            .map(Option::unzip)
            {
                // A chart follows the round before it, which tells its cost.
                let told = asked && matches!(row.part, Part::Change { .. } | Part::Plain { .. });
                ui.label(if told { costs_words(held, cost.flatten()) } else { String::new() });
            }
            ui.end_row();
        }
    });
    let now = all(&piece.bands);
    ui.add_enabled_ui(!asked, |ui| {
        let why = "Solves all sizes again with each figure one repeat or round off; 1 is a cm of depth";
        if ui.button("What would others cost?").on_hover_text(why).clicked() {
            view.costs_with = Some(now.clone());
        }
    });
    if now != before {
        draft.label = HOLD;
    }
    draft.ended |= ended;
}

/// A part of the worked size that can be held.
struct Row<'a> {
    part: &'a Part,
    size: &'a str,
    /// As it is worked.
    worked: Held,
}

impl Row<'_> {
    /// What is held of it, a field for each figure that it has.
    fn fields<'b>(&self, held: &'b mut HeldFigures) -> Vec<(&'b mut Option<u32>, Option<u32>, Unit)> {
        let worked = self.worked;
        match self.part {
            Part::Change { .. } => vec![(&mut held.stitches, worked.stitches, Unit::Stitches)],
            Part::Plain { .. } => vec![(&mut held.rows, worked.rows, Unit::Rounds)],
            Part::Chart { optional, .. } => {
                vec![(&mut held.repeats, worked.repeats, Unit::Repeats { least: u32::from(!optional) })]
            }
            Part::Wedges { .. } => vec![
                (&mut held.repeats, worked.repeats, Unit::Wedges),
                (&mut held.rows, worked.rows, Unit::Rounds),
            ],
            Part::Fabric { .. } => Vec::new(),
        }
    }

    fn is_held(&self, band: &Band) -> bool {
        let mut held = band.held.iter().find(|held| held.size == self.size).cloned().unwrap_or_default();
        self.fields(&mut held).iter().any(|(held, ..)| held.is_some())
    }

    /// The tick; `true` when it was changed.
    fn tick(&self, ui: &mut Ui, band: &mut Band) -> bool {
        let mut on = self.is_held(band);
        let tick = tick_box(ui, &mut on, &band.name);
        let what = match self.part {
            Part::Plain { .. } => "rounds of ",
            Part::Chart { .. } => "repeats of ",
            Part::Wedges { .. } => "wedges of ",
            Part::Change { .. } | Part::Fabric { .. } => "",
        };
        name(&tick, &format!("Hold {what}{}", band.name));
        if tick.changed() {
            for (held, worked, _) in self.fields(band.held_in(self.size)) {
                *held = worked.filter(|_| on);
            }
            band.let_go();
        }
        tick.changed()
    }

    /// The figure: a field while it is held. `true` when a change of it is finished.
    fn figure(&self, ui: &mut Ui, band: &mut Band) -> bool {
        if !self.is_held(band) {
            ui.label(self.words());
            return false;
        }
        let of = band.name.clone();
        let mut ended = false;
        ui.horizontal(|ui| {
            for (held, _, unit) in self.fields(band.held_in(self.size)) {
                let Some(held) = held else { continue };
                let (what, suffix, range) = unit.words();
                let label = format!("{what} of {of}");
                let range = f64::from(*range.start())..=f64::from(*range.end());
                let field = NumberField { label: &label, suffix, range, decimals: 0, speed: 1.0 };
                let (field, typed) = field.respond(ui, f64::from(*held));
                *held = typed.map_or(*held, |typed| typed.round() as u32);
                ended |= field.drag_stopped() || field.lost_focus();
            }
        });
        ended
    }

    /// `306 sts`, `8 rnds`, `12 repeats`, `10 wedges, 24 rnds`, `left out`.
    fn words(&self) -> String {
        let mut worked = HeldFigures::default();
        let fields = self.fields(&mut worked);
        let said = fields.iter().filter_map(|(_, worked, unit)| match (unit, worked) {
            (_, None) => None,
            (Unit::Repeats { .. }, Some(0)) => Some("left out".to_owned()),
            (unit, Some(n)) => Some(format!("{n}{}", unit.words().1)),
        });
        said.collect::<Vec<_>>().join(", ")
    }
}

/// What a held figure counts.
enum Unit {
    Stitches,
    Rounds,
    /// 0 leaves the band out, where it may be.
    Repeats {
        least: u32,
    },
    Wedges,
}

impl Unit {
    /// What its field is called, what stands after the figure, and its range.
    fn words(&self) -> (&'static str, &'static str, std::ops::RangeInclusive<u32>) {
        match self {
            Self::Stitches => ("Stitches", " sts", 1..=9999),
            Self::Rounds => ("Rounds", " rnds", 0..=999),
            Self::Repeats { least } => ("Repeats", " repeats", *least..=999),
            Self::Wedges => ("Wedges", " wedges", 1..=99),
        }
    }
}

/// `306 sts`, `8 rnds`.
fn held_words(held: Held) -> String {
    match (held.stitches, held.rows) {
        (Some(stitches), _) => format!("{stitches} sts"),
        (None, Some(rows)) => format!("{rows} rnds"),
        (None, None) => String::new(),
    }
}

/// `300 sts: +0.8`, `300 sts: −0.2`, `300 sts: no way`; dots while it is worked out.
fn costs_words(held: Option<Held>, cost: Option<f64>) -> String {
    match (held, cost) {
        (None, _) => "…".to_owned(),
        (Some(held), None) => format!("{}: no way", held_words(held)),
        // A count that is not tried by itself (no regular round) may cost less: that is said.
        (Some(held), Some(cost)) => {
            let tenths = (cost * 10.0).round() / 10.0;
            let sign = if tenths < 0.0 { '−' } else { '+' };
            format!("{}: {sign}{:.1}", held_words(held), tenths.abs())
        }
    }
}
