//! Yarn use per colour: metres with their range, grams, balls, and the sum behind each figure.

use egui::{Grid, Rect, Role, Sense, Ui, Vec2, WidgetInfo};

use crate::app::Action;
use crate::app::state::State;
use crate::knit::pieces::{ColourYarn, PiecesYarn};
use crate::knit::{Estimate, LOOP_LENGTH_SOURCE};
use crate::project::{Edit, KnittedYarn, Palette, Project, colour_code, key_entry};
use crate::ui::shopping::sums;
use crate::ui::theme::{BODY, CORNER, SMALL, Tokens, semibold};
use crate::ui::widgets::{Form, Icon, caption, focus_ring, paint_swatch, put_up_rows, truncated};
use crate::units::LengthUnit;

/// Shows the table.
pub fn show(ui: &mut Ui, state: &State, actions: &mut Vec<Action>) {
    let Some(figures) = state.figures() else {
        caption(ui, "Working it out…");
        return;
    };
    let project = state.project();
    let knitted = &figures.knitted;
    caption(ui, knitted.of.words());
    for index in 0..knitted.yarn.colours.len().min(project.palette.slots().len()) {
        colour(ui, state, index, &knitted.yarn, actions);
    }
    totals(ui, project, knitted.yarn.metres(), knitted.yarn.grams());
    notes(ui, project, knitted);
}

/// What the figures rest on: a line each, the rest on hovering.
fn notes(ui: &mut Ui, project: &Project, knitted: &KnittedYarn) {
    let yarn = &knitted.yarn;
    let lines: Vec<_> = (0..yarn.colours.len()).flat_map(|slot| yarn.lines_by_kind(slot)).collect();
    sums::causes(ui, project.units, lines.iter());
    if let Some(row) = knitted.row {
        let metres = |m: f64| format!("{:.1}", project.units.from_metres(m));
        let range = row.metres();
        let words = format!(
            "A plain row of {} stitches takes {} {} ({}–{}).",
            row.count,
            metres(range.likely),
            project.units.yarn_suffix(),
            metres(range.low),
            metres(range.high)
        );
        let rests_on = format!("{}\n{LOOP_LENGTH_SOURCE}", project.loop_basis().words(project.units));
        caption(ui, words).on_hover_text(rests_on);
    }
    if let Some(caveat) = yarn.caveat() {
        caption(ui, "The loop model is that of plain knit, not stranded.").on_hover_text(caveat);
    }
}

fn totals(ui: &mut Ui, project: &Project, metres: Estimate, grams: Estimate) {
    let units = project.units;
    ui.label(
        egui::RichText::new(format!("In all {}, {}", length(metres, units), mass(grams, units)))
            .family(semibold()),
    );
}

/// A likely length with its range; a correction that adds nothing is its range alone.
fn length(metres: Estimate, units: LengthUnit) -> String {
    let show = |m: f64| format!("{:.0}", units.from_metres(m));
    if metres.low < 0.0 {
        return format!("±{} {}", show(metres.high), units.yarn_suffix());
    }
    format!("{} {} ({}–{})", show(metres.likely), units.yarn_suffix(), show(metres.low), show(metres.high))
}

/// A likely mass.
fn mass(grams: Estimate, units: LengthUnit) -> String {
    let decimals = usize::from(units == LengthUnit::Imperial);
    format!("{:.decimals$} {}", units.from_grams(grams.likely), units.mass_suffix())
}

/// One colour: its figures, and opened up its sum and its yarn.
fn colour(ui: &mut Ui, state: &State, index: usize, yarn: &PiecesYarn, actions: &mut Vec<Action>) {
    let used = &yarn.colours[index];
    let project = state.project();
    let slot = &project.palette.slots()[index];
    let id = ui.make_persistent_id(("yarn of", index));
    let mut open: bool = ui.data(|data| data.get_temp(id)).unwrap_or(false);
    let (rect, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), 40.0), Sense::click());
    // Beside the metres of all, balls less what is on hand want a word.
    let balls = if slot.on_hand_m() > 0.0 {
        format!("{} to buy", used.balls)
    } else {
        sums::balls(u64::from(used.balls))
    };
    let figures = format!("{}, {}", length(used.metres(), project.units), mass(used.grams(), project.units));
    response.widget_info(|| {
        WidgetInfo::labeled(
            Role::Button,
            true,
            format!("Yarn {}: {figures}, {balls}", key_entry(index, slot)),
        )
    });
    let tokens = Tokens::of(ui);
    let painter = ui.painter().with_clip_rect(rect);
    painter.rect_filled(rect, CORNER, if response.hovered() { tokens.hover } else { tokens.field });
    let swatch = Rect::from_min_size(rect.min + Vec2::new(6.0, 6.0), Vec2::new(14.0, 28.0));
    paint_swatch(ui, swatch, slot.colour, &[], state.eyes);
    let left = swatch.right() + 8.0;
    let body = egui::FontId::new(BODY, semibold());
    let small = egui::FontId::proportional(SMALL);
    let right = egui::pos2(rect.right() - 8.0, rect.top() + 3.0);
    let balls = painter.text(right, egui::Align2::RIGHT_TOP, balls, body, tokens.text);
    let name = format!("{}  {}", colour_code(index), slot.name);
    let plain = egui::FontId::proportional(BODY);
    let name = truncated(ui, name, plain, tokens.text, balls.left() - 8.0 - left);
    painter.galley(egui::pos2(left, rect.top() + 3.0), name, tokens.text);
    painter.text(
        egui::pos2(left, rect.bottom() - 5.0),
        egui::Align2::LEFT_BOTTOM,
        figures,
        small,
        tokens.weak,
    );
    let mark = Rect::from_center_size(rect.right_bottom() - Vec2::new(14.0, 12.0), Vec2::splat(10.0));
    (if open { Icon::Remove } else { Icon::Add }).paint(&painter, mark, tokens.weak);
    if response.has_focus() {
        focus_ring(ui, rect);
    }
    if response.on_hover_text("Open the sum and the yarn").clicked() {
        open = !open;
        ui.data_mut(|data| data.insert_temp(id, open));
    }
    if open {
        ui.indent(id, |ui| {
            ui.scope(|ui| sum(ui, project.units, index, yarn));
            put_up(ui, project, index, actions);
        });
    }
}

/// The sum, line by line.
fn sum(ui: &mut Ui, units: LengthUnit, index: usize, yarn: &PiecesYarn) {
    let used: &ColourYarn = &yarn.colours[index];
    ui.spacing_mut().interact_size.y = 16.0;
    Grid::new(("sum", index)).num_columns(2).spacing([12.0, 2.0]).show(ui, |ui| {
        for line in yarn.lines_by_kind(index) {
            let parts = sums::parts_words(units, &line.amount);
            ui.label(egui::RichText::new(line.kind.name()).small()).on_hover_text(&parts);
            ui.label(egui::RichText::new(length(line.metres(), units)).small()).on_hover_text(parts);
            ui.end_row();
        }
    });
    caption(ui, format!("{} stitches, {:.0} % of all.", used.stitches, used.share_percent));
}

/// How the yarn is sold.
fn put_up(ui: &mut Ui, project: &Project, index: usize, actions: &mut Vec<Action>) {
    let yarn = project.palette.slots()[index].yarn;
    let (mut wanted, mut form) = (yarn, Form::of_words(ui));
    put_up_rows(&mut form, ["Length in 100 g", "Ball"], project.units, &mut wanted.put_up);
    if wanted != yarn {
        actions.push(edit(project, true, |palette| palette.slots_mut()[index].yarn = wanted));
    }
    if form.ended() {
        actions.push(Action::EndGesture);
    }
    let same = project.palette.slots().iter().all(|slot| slot.yarn.put_up == yarn.put_up);
    if !same && ui.button("Same for every colour").clicked() {
        actions.push(edit(project, false, |palette| palette.put_up_all(yarn.put_up)));
    }
}

fn edit(project: &Project, in_gesture: bool, change: impl FnOnce(&mut Palette)) -> Action {
    let mut palette = project.palette.clone();
    change(&mut palette);
    Action::Edit { label: "Yarn".into(), edit: Edit::Palette(Box::new(palette)), in_gesture }
}
