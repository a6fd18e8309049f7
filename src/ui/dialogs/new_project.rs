//! What the new project is to be.

use egui::{Key, TextEdit, Ui};

use super::{FIELD, answers};
use crate::app::Action;
use crate::app::blank::NewProject;
use crate::app::derived::Reading;
use crate::app::state::State;
use crate::chart::MAX_SIDE;
use crate::knit::pieces::Template;
use crate::knit::{Construction, Gauge, Technique};
use crate::ui::widgets::{NumberField, caption, count_field, name, one_of_in, row, tick_box};
use crate::units::{LengthUnit, RowsPer10Cm, StitchesPer10Cm, both_lengths};
use crate::yarn::{Needs, PieceKind};

/// Asks what it is for, of which fibre and from which template; then title, units, gauge, chart size and
/// technique, with the usual of what was answered first.
pub fn show(ui: &mut Ui, state: &State, asked: &mut NewProject, actions: &mut Vec<Action>) {
    purpose(ui, state, asked);
    let entered = row(ui, "Title", |ui| {
        let edit = TextEdit::singleline(&mut asked.title).hint_text("Untitled").desired_width(200.0);
        let edit = ui.add(edit);
        name(&edit, "Title");
        // Asked before the field takes the cursor again, which would hide that it was given up.
        let entered = edit.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
        if ui.memory(|memory| memory.focused().is_none()) {
            edit.request_focus();
        }
        entered
    });
    row(ui, "Units", |ui| {
        for unit in LengthUnit::ALL {
            let text = if unit == LengthUnit::Metric { "cm, m, g" } else { "in, yd, oz" };
            ui.selectable_value(&mut asked.units, unit, text);
        }
    });
    gauge_rows(ui, asked);
    row(ui, "Chart width", |ui| {
        if let Some(stitches) = count_field(ui, "Chart width", " stitches", 1..=MAX_SIDE, asked.stitches) {
            asked.stitches = stitches;
        }
    });
    row(ui, "Chart height", |ui| {
        if let Some(rows) = count_field(ui, "Chart height", " rows", 1..=MAX_SIDE, asked.rows) {
            asked.rows = rows;
        }
    });
    row(ui, "Technique", |ui| {
        // They end with the fields.
        ui.spacing_mut().item_spacing.x = 2.0;
        for technique in Technique::ALL {
            ui.selectable_value(&mut asked.technique, technique, technique.name());
        }
    });
    row(ui, "Worked", |ui| {
        for construction in Construction::ALL {
            ui.selectable_value(&mut asked.construction, construction, construction.name());
        }
    });
    if let Ok(gauge) = Gauge::new(asked.gauge_stitches, asked.gauge_rows) {
        let (width, height) = (gauge.width(asked.stitches).get(), gauge.height(asked.rows).get());
        caption(
            ui,
            format!(
                "The chart will be {} wide and {} tall once washed. Everything here can be changed later.",
                both_lengths(width, asked.units),
                both_lengths(height, asked.units)
            ),
        );
    }
    match answers(ui, &["Create", "Cancel"]) {
        Some(1) => actions.push(Action::CloseDialog),
        Some(_) => actions.push(Action::CreateProject(asked.clone())),
        None if entered => actions.push(Action::CreateProject(asked.clone())),
        None => {}
    }
}

/// What it is for, of what, and from which template.
fn purpose(ui: &mut Ui, state: &State, asked: &mut NewProject) {
    let (mut piece, mut gift) = (asked.piece, asked.gift);
    row(ui, "What for", |ui| {
        let kinds = PieceKind::ALL.iter().map(|kind| (Some(*kind), kind.name()));
        one_of_in(ui, FIELD, "What for", std::iter::once((None, "Not told yet")).chain(kinds), &mut piece);
    });
    row(ui, "Gift", |ui| {
        let told = Needs { gift: true, ..Needs::preset(PieceKind::Own) };
        ui.add_enabled_ui(piece.is_some(), |ui| {
            tick_box(ui, &mut gift, "It is a gift").on_hover_text(told.washing_reason());
        });
    });
    if (piece, gift) != (asked.piece, asked.gift) {
        asked.is_for(piece, gift);
    }
    row(ui, "Fibre", |ui| {
        let offered = match asked.needs().map(|needs| state.desks.offered(needs, &state.jobs)) {
            Some(Reading::Fresh(offered)) => offered.to_vec(),
            _ => asked.blend.iter().cloned().collect(),
        };
        let offered = offered.into_iter().map(|blend| (Some(blend.clone()), blend.name()));
        let options: Vec<_> = std::iter::once((None, "Decide later".to_owned())).chain(offered).collect();
        ui.add_enabled_ui(piece.is_some(), |ui| {
            one_of_in(ui, FIELD, "Fibre of the project", options, &mut asked.blend);
        })
        .response
        .on_disabled_hover_text("Say what it is for: the fibres that answer it best are offered then");
    });
    row(ui, "Begin from", |ui| {
        let templates = Template::ALL.map(|template| (Some(template), template.name()));
        let options = std::iter::once((None, "The chart alone")).chain(templates);
        one_of_in(ui, FIELD, "Begin from", options, &mut asked.template);
    });
}

fn gauge_rows(ui: &mut Ui, asked: &mut NewProject) {
    let factor = asked.units.gauge_factor();
    let base = asked.units.gauge_base();
    let fields = [
        ("Gauge, stitches", StitchesPer10Cm::MIN, StitchesPer10Cm::MAX, &mut asked.gauge_stitches),
        ("Gauge, rows", RowsPer10Cm::MIN, RowsPer10Cm::MAX, &mut asked.gauge_rows),
    ];
    for (label, min, max, value) in fields {
        row(ui, label, |ui| {
            let suffix = format!(" in {base}");
            let field = NumberField {
                label,
                suffix: &suffix,
                range: min * factor..=max * factor,
                decimals: 2,
                speed: 0.1,
            };
            if let Some(typed) = field.show(ui, *value * factor) {
                *value = typed / factor;
            }
        });
    }
}
