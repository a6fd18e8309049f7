//! What the chosen region is to be called in the motif library.

use egui::text::{CCursor, CCursorRange};
use egui::{Key, Role, Sense, TextEdit, Ui, Vec2, WidgetInfo};

use super::answers_if;
use crate::app::Action;
use crate::app::motifs::{MotifAction, colours_of};
use crate::app::state::State;
use crate::chart::{Cell, Motif, Rect};
use crate::ui::colours::seen;
use crate::ui::theme::{CORNER, STEP, Tokens};
use crate::ui::widgets::{caption, name, paint_stitches, row};
use crate::units::both_lengths;

/// Shows the motif and asks for its name.
pub fn show(ui: &mut Ui, state: &State, region: Option<Rect>, typed: &mut String, actions: &mut Vec<Action>) {
    let project = state.project();
    let Some(region) = region else {
        actions.push(Action::CloseDialog);
        return;
    };
    let ground = Cell::slot(project.background_slot() as u8);
    let motif = Motif::of_region(typed, &project.chart.grid, region, ground);
    let mut entered = false;
    row(ui, "Name", |ui| {
        let mut field = TextEdit::singleline(typed).desired_width(206.0).show(ui);
        name(&field.response, "Name of the motif");
        // What is typed first takes the place of the name that is proposed.
        let now = ui.ctx().cumulative_frame_nr();
        let shown = ui.data_mut(|data| std::mem::replace(data.get_temp_mut_or(field.response.id, 0), now));
        if shown + 1 < now {
            field.response.request_focus();
            let all = CCursorRange::two(CCursor::new(0), CCursor::new(typed.chars().count()));
            field.state.cursor.set_char_range(Some(all));
            field.state.store(ui.ctx(), field.response.id);
        }
        entered = field.response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    });
    ui.add_space(STEP / 2.0);
    ui.vertical_centered(|ui| picture(ui, state, region, ground));
    let gauge = project.plan.gauge;
    caption(
        ui,
        match &motif {
            Ok(motif) => format!(
                "{} \u{d7} {} stitches: {} wide, {} tall at this gauge. It takes colours of each project it is used in.",
                motif.stitches().width(),
                motif.stitches().height(),
                both_lengths(gauge.width(motif.stitches().width()).get(), project.units),
                both_lengths(gauge.height(motif.stitches().height()).get(), project.units)
            ),
            Err(reason) => format!("Not possible: {reason}"),
        },
    );
    let answer = answers_if(ui, motif.is_ok(), &["Keep", "Cancel"]).or(entered.then_some(0));
    match (answer, motif) {
        (Some(0), Ok(motif)) => {
            actions.push(Action::Motifs(MotifAction::Keep(motif.into())));
            actions.push(Action::CloseDialog);
        }
        (Some(1), _) => actions.push(Action::CloseDialog),
        (Some(_) | None, _) => {}
    }
}

/// The region's stitches in the colours they have on the chart.
fn picture(ui: &mut Ui, state: &State, region: Rect, ground: Cell) {
    const SIDE: f32 = 220.0;
    let project = state.project();
    let (rect, response) = ui.allocate_exact_size(Vec2::splat(SIDE), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, "The motif in stitches"));
    let tokens = Tokens::of(ui);
    let slots = project.palette.slots();
    let shown =
        |cell: &Cell| cell.index().and_then(|slot| slots.get(slot)).map(|slot| seen(slot.colour, state.eyes));
    ui.painter().rect_filled(rect, CORNER, shown(&ground).unwrap_or(tokens.field));
    let colours: Vec<_> = colours_of(project, region).iter().filter_map(shown).collect();
    if let Ok(motif) = Motif::of_region("Motif", &project.chart.grid, region, ground) {
        let shape = (project.plan.gauge.cell_aspect() as f32, f32::INFINITY);
        paint_stitches(ui.painter(), rect.shrink(STEP), motif.stitches(), shape, |ink| {
            colours.get(ink).copied().unwrap_or(tokens.text)
        });
    }
}
