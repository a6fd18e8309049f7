//! What the new project is to be.

use egui::{Key, TextEdit, Ui};

use super::answers;
use crate::app::Action;
use crate::app::blank::NewProject;
use crate::chart::MAX_SIDE;
use crate::knit::{Construction, Gauge, Technique};
use crate::ui::widgets::{NumberField, caption, count_field, name, row};
use crate::units::{LengthUnit, RowsPer10Cm, StitchesPer10Cm, both_lengths};

/// Asks for title, units, gauge, chart size and technique.
pub fn show(ui: &mut Ui, asked: &mut NewProject, actions: &mut Vec<Action>) {
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
