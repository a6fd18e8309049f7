//! What was knitted and measured: the fields of one swatch.

use egui::{Checkbox, ComboBox, TextEdit, Ui};

use super::gesture;
use crate::app::Action;
use crate::knit::{Construction, Needle, SwatchFabric, SwatchOnScales, SwatchSize};
use crate::project::{LoggedSwatch, Project};
use crate::ui::theme::STEP;
use crate::ui::widgets::{NumberField, caption, grist_field, heading, name, number_row, one_of, part, row};
use crate::units::LengthUnit;

/// Shows the fields; a changed one is an edit of the project.
pub fn show(ui: &mut Ui, project: &Project, place: usize, actions: &mut Vec<Action>) {
    let Some(before) = project.material.swatches.get(place) else { return };
    let mut entry = before.clone();
    let mut ended = false;
    heading(ui, "What you knitted");
    knitted(ui, &mut entry, project.units, &mut ended);
    part(ui, "Counted");
    counted(ui, &mut entry, &mut ended);
    caption(ui, "Count the same stitches and rows before and after washing, away from the edges.");
    part(ui, "Their size");
    let (old, new) = (entry.swatch.before, entry.swatch.after);
    entry.swatch.before = size(ui, "Off the needles", old, new, project.units, &mut ended);
    entry.swatch.after = size(ui, "Washed and dried", new, old, project.units, &mut ended);
    part(ui, "On the scales");
    weighed(ui, &mut entry, project.units, &mut ended);
    part(ui, "Notes");
    let notes = TextEdit::multiline(&mut entry.swatch.notes).desired_rows(2).desired_width(f32::INFINITY);
    let response = ui.add(notes);
    name(&response, "Notes");
    ended |= response.lost_focus();
    ui.add_space(STEP);
    if entry != *before {
        actions.push(gesture(project, "Swatch", |material| material.swatches[place] = entry));
    }
    if ended {
        actions.push(Action::EndGesture);
    }
}

fn knitted(ui: &mut Ui, entry: &mut LoggedSwatch, units: LengthUnit, ended: &mut bool) {
    row(ui, "Yarn", |ui| {
        let response = ui.add(TextEdit::singleline(&mut entry.yarn).desired_width(f32::INFINITY));
        name(&response, "Swatch yarn");
        *ended |= response.lost_focus();
    });
    row(ui, "Thickness", |ui| {
        let label = "Swatch yarn, length in 100 g";
        entry.grist = grist_field(ui, label, units, entry.grist, ended).unwrap_or(entry.grist);
    });
    row(ui, "Needle", |ui| needle(ui, entry));
    row(ui, "Stitch", |ui| {
        let fabric = &mut entry.swatch.fabric;
        combo(ui, "Swatch stitch", &SwatchFabric::ALL, SwatchFabric::name, fabric, ended);
    });
    row(ui, "Worked", |ui| {
        let worked = &mut entry.swatch.construction;
        combo(ui, "Swatch worked", &Construction::ALL, Construction::name, worked, ended);
    });
}

/// The sizes that are made; one typed into a file by hand stays until another is chosen.
fn needle(ui: &mut Ui, entry: &mut LoggedSwatch) {
    let mm = entry.swatch.needle_mm;
    let combo = ComboBox::from_id_salt("swatch needle")
        .width(ui.available_width() - STEP)
        .selected_text(format!("{mm} mm"))
        .height(360.0)
        .show_ui(ui, |ui| {
            for needle in Needle::all() {
                let label = ui.selectable_label(needle.mm() == mm, needle.name());
                let counts = (entry.swatch.stitches(), entry.swatch.rows());
                if label.on_hover_text(needle.provenance()).clicked()
                    && let Ok(swatch) = entry.swatch.recounted(needle.mm(), counts)
                {
                    entry.swatch = swatch;
                }
            }
        });
    name(&combo.response, "Swatch needle");
}

fn combo<T: Copy + PartialEq>(
    ui: &mut Ui,
    label: &str,
    all: &[T],
    text: impl Fn(T) -> &'static str,
    value: &mut T,
    ended: &mut bool,
) {
    one_of(ui, label, text(*value), all.iter().map(|option| (*option, text(*option))), value, ended);
}

fn counted(ui: &mut Ui, entry: &mut LoggedSwatch, ended: &mut bool) {
    let count = |label, suffix| NumberField { label, suffix, range: 1.0..=2000.0, decimals: 0, speed: 0.2 };
    let (stitches, rows) = (entry.swatch.stitches(), entry.swatch.rows());
    let typed = (
        number_row(ui, "Stitches", &count("Counted stitches", " stitches"), f64::from(stitches), ended),
        number_row(ui, "Rows", &count("Counted rows", " rows"), f64::from(rows), ended),
    );
    let whole = |typed: Option<f64>, old: u32| typed.map_or(old, |value| value.round() as u32);
    let counts = (whole(typed.0, stitches), whole(typed.1, rows));
    if counts != (stitches, rows)
        && let Ok(swatch) = entry.swatch.recounted(entry.swatch.needle_mm, counts)
    {
        entry.swatch = swatch;
    }
}

/// A size that may not have been measured; ticked, it starts from the other one, else from 10 cm.
fn size(
    ui: &mut Ui,
    label: &str,
    size: Option<SwatchSize>,
    other: Option<SwatchSize>,
    units: LengthUnit,
    ended: &mut bool,
) -> Option<SwatchSize> {
    let mut measured = size.is_some();
    *ended |= ui.add(Checkbox::new(&mut measured, label)).changed();
    if !measured {
        return None;
    }
    let size = size.or(other).or_else(|| SwatchSize::new(10.0, 10.0).ok())?;
    let suffix = format!(" {}", units.length_suffix());
    let mut side = |text: &str, cm: f64| {
        let label = format!("{label}, {}", text.to_lowercase());
        let range = units.from_cm(1.0)..=units.from_cm(200.0);
        let field = NumberField { label: &label, suffix: &suffix, range, decimals: 2, speed: 0.05 };
        let typed = number_row(ui, text, &field, units.from_cm(cm), ended);
        typed.map_or(cm, |value| units.to_cm(value).clamp(1.0, 200.0))
    };
    let (width, height) = (side("Width", size.width_cm()), side("Height", size.height_cm()));
    Some(SwatchSize::new(width, height).unwrap_or(size))
}

fn weighed(ui: &mut Ui, entry: &mut LoggedSwatch, units: LengthUnit, ended: &mut bool) {
    let mut on_scales = entry.swatch.weighed.is_some();
    *ended |= ui.add(Checkbox::new(&mut on_scales, "Whole swatch weighed")).changed();
    if !on_scales {
        entry.swatch.weighed = None;
        return;
    }
    let start = SwatchOnScales {
        stitches: entry.swatch.stitches(),
        rows: entry.swatch.rows(),
        grams: None,
        scale_step_g: 1.0,
        trusted: false,
    };
    let before = entry.swatch.weighed.unwrap_or(start);
    let mut weighed = before;
    let count = |label, suffix| NumberField { label, suffix, range: 1.0..=5000.0, decimals: 0, speed: 0.2 };
    let stitches = count("Stitches of the whole swatch", " stitches");
    if let Some(typed) = number_row(ui, "All stitches", &stitches, f64::from(weighed.stitches), ended) {
        weighed.stitches = typed.round() as u32;
    }
    let rows = count("Rows of the whole swatch", " rows");
    if let Some(typed) = number_row(ui, "All rows", &rows, f64::from(weighed.rows), ended) {
        weighed.rows = typed.round() as u32;
    }
    let suffix = format!(" {}", units.mass_suffix());
    let mut mass = |text: &str, label: &str, grams: f64, range: (f64, f64)| {
        let field = NumberField {
            label,
            suffix: &suffix,
            range: units.from_grams(range.0)..=units.from_grams(range.1),
            decimals: 3,
            speed: 0.05,
        };
        let typed = number_row(ui, text, &field, units.from_grams(grams), ended);
        typed.map_or(grams, |value| units.to_grams(value).clamp(range.0, range.1))
    };
    let typed = mass("Mass", "Mass of the whole swatch", weighed.grams.unwrap_or(0.0), (0.0, 5000.0));
    weighed.grams = (typed > 0.0).then(|| typed.max(0.1));
    weighed.scale_step_g = mass("Scales read in", "Step of the scales", weighed.scale_step_g, (0.0, 100.0));
    if weighed != before {
        // What was overruled was said of the old figures.
        weighed.trusted = false;
    }
    entry.swatch.weighed = Some(weighed);
    if weighed.grams.is_none() {
        caption(ui, "Type what the scales read; until then the loop model counts.");
    }
    caption(ui, "Weigh it without the needles and before ends are cut off, cast-on and bind-off with it.");
}
