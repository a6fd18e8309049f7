//! What was knitted and measured: the fields of one swatch.

use egui::{ComboBox, Ui};

use super::{gesture, log};
use crate::app::Action;
use crate::knit::{
    BegunSize, Construction, DriedHow, Needle, SwatchFabric, SwatchOnScales, SwatchSize, WashedHow,
};
use crate::project::{LoggedSwatch, Project};
use crate::ui::theme::STEP;
use crate::ui::widgets::{Form, NumberField, caption, grist_field, heading, name, part};
use crate::units::LengthUnit;

/// Shows the fields; a changed one is an edit of the project.
pub fn show(ui: &mut Ui, project: &Project, place: usize, actions: &mut Vec<Action>) {
    let Some(before) = project.material.swatches.get(place) else { return };
    let mut entry = before.clone();
    let form = &mut Form::new(ui);
    heading(form, "What you knitted");
    knitted(form, &mut entry, project.units);
    part(form, "Counted");
    counted(form, &mut entry);
    caption(form, "Count the same stitches and rows before and after washing, away from the edges.");
    part(form, "Their size");
    let swatch = &mut entry.swatch;
    size(form, "Off the needles", (&mut swatch.before, &mut swatch.before_begun), project.units);
    size(form, "Washed and dried", (&mut swatch.after, &mut swatch.after_begun), project.units);
    part(form, "How it was washed and dried");
    care(form, &mut entry);
    part(form, "On the scales");
    weighed(form, &mut entry, project.units);
    part(form, "Notes");
    form.notes("Notes", &mut entry.swatch.notes);
    form.add_space(STEP);
    if entry != *before {
        actions.push(gesture(project, "Swatch", |material| material.swatches[place] = entry));
    }
    if form.ended() {
        actions.push(Action::EndGesture);
    }
}

fn knitted(form: &mut Form, entry: &mut LoggedSwatch, units: LengthUnit) {
    form.text("Yarn", "Swatch yarn", &mut entry.yarn);
    form.row("Thickness", |form| {
        let label = "Swatch yarn, length in 100 g";
        grist_field(form, label, units, &mut entry.grist);
    });
    form.row("Needle", |form| needle(form, entry));
    let stitches = SwatchFabric::ALL.map(|fabric| (fabric, fabric.name()));
    form.choice("Stitch", "Swatch stitch", stitches, &mut entry.swatch.fabric);
    let ways = Construction::ALL.map(|way| (way, way.name()));
    form.choice("Worked", "Swatch worked", ways, &mut entry.swatch.construction);
}

/// The sizes that are made; one typed into a file by hand stays until another is chosen.
fn needle(ui: &mut Ui, entry: &mut LoggedSwatch) {
    let mm = entry.swatch.needle_mm;
    let combo = ComboBox::from_id_salt("swatch needle")
        .width(ui.available_width() - STEP)
        .selected_text(log::needle(&entry.swatch))
        .height(360.0)
        .show_ui(ui, |ui| {
            if ui.selectable_label(mm.is_none(), "Not told").clicked() {
                entry.swatch.needle_mm = None;
                ui.close();
            }
            for needle in Needle::all() {
                let label = ui.selectable_label(Some(needle.mm()) == mm, needle.name());
                if label.on_hover_text(needle.provenance()).clicked() {
                    entry.swatch.needle_mm = Some(needle.mm());
                    ui.close();
                }
            }
        });
    name(&combo.response, "Swatch needle");
}

fn counted(form: &mut Form, entry: &mut LoggedSwatch) {
    let count = |label, suffix| NumberField { label, suffix, range: 1.0..=2000.0, decimals: 1, speed: 1.0 };
    let (stitches, rows) = (entry.swatch.stitches(), entry.swatch.rows());
    let mut entered = |title: &str, field: &NumberField, old: Option<f64>| {
        form.row(title, |form| field.entered(form, old, "not counted")).or(old)
    };
    let counts = (
        entered("Stitches", &count("Counted stitches", " stitches"), stitches),
        entered("Rows", &count("Counted rows", " rows"), rows),
    );
    if counts != (stitches, rows)
        && let Ok(swatch) = entry.swatch.recounted(entry.swatch.needle_mm, counts)
    {
        entry.swatch = swatch;
    }
}

fn care(form: &mut Form, entry: &mut LoggedSwatch) {
    let care = &mut entry.swatch.care;
    let washed = WashedHow::ALL.map(|how| (Some(how), how.name()));
    let dried = DriedHow::ALL.map(|how| (Some(how), how.name()));
    let not_noted = [(None, "not noted")];
    form.choice("Washed", "How the swatch was washed", not_noted.into_iter().chain(washed), &mut care.washed);
    form.choice(
        "Dried",
        "How the swatch was dried",
        [(None, "not noted")].into_iter().chain(dried),
        &mut care.dried,
    );
    care.as_piece = form.tick("So the piece will be washed and dried", care.as_piece);
}

/// A size that may not have been measured. Ticked, its sides are still to be entered: only both of them are a size.
fn size(
    form: &mut Form,
    label: &str,
    (size, begun): (&mut Option<SwatchSize>, &mut Option<BegunSize>),
    units: LengthUnit,
) {
    if !form.tick(label, size.is_some() || begun.is_some()) {
        (*size, *begun) = (None, None);
        return;
    }
    let of_size =
        |size: SwatchSize| BegunSize { width_cm: Some(size.width_cm()), height_cm: Some(size.height_cm()) };
    let old = size.map_or_else(|| begun.unwrap_or_default(), of_size);
    let suffix = format!(" {}", units.length_suffix());
    let mut side = |text: &str, cm: Option<f64>| {
        let label = format!("{label}, {}", text.to_lowercase());
        let range = units.from_cm(1.0)..=units.from_cm(200.0);
        let field = NumberField { label: &label, suffix: &suffix, range, decimals: 2, speed: 0.05 };
        let shown = cm.map(|cm| units.from_cm(cm));
        let typed = form.row(text, |form| field.entered(form, shown, "not measured"));
        typed.map_or(cm, |value| Some(units.to_cm(value).clamp(1.0, 200.0)))
    };
    let new = BegunSize { width_cm: side("Width", old.width_cm), height_cm: side("Height", old.height_cm) };
    if size.is_some() && new == old {
        // Untouched, it keeps what it was read off.
        return;
    }
    match new.whole() {
        Ok(Some(whole)) => (*size, *begun) = (Some(whole), None),
        Ok(None) => (*size, *begun) = (None, Some(new)),
        Err(_) => {}
    }
}

fn weighed(form: &mut Form, entry: &mut LoggedSwatch, units: LengthUnit) {
    if !form.tick("Whole swatch weighed", entry.swatch.weighed.is_some()) {
        entry.swatch.weighed = None;
        return;
    }
    let start = SwatchOnScales {
        stitches: entry.swatch.stitches().map_or(0, |count| count.round() as u32),
        rows: entry.swatch.rows().map_or(0, |count| count.round() as u32),
        grams: None,
        scale_step_g: 1.0,
        trusted: false,
    };
    let before = entry.swatch.weighed.unwrap_or(start);
    let mut weighed = before;
    let count = |label, suffix| NumberField { label, suffix, range: 1.0..=5000.0, decimals: 0, speed: 0.2 };
    let mut entered = |title: &str, field: &NumberField, old: u32| {
        let known = (old > 0).then_some(f64::from(old));
        let typed = form.row(title, |form| field.entered(form, known, "not counted"));
        typed.map_or(old, |value| value.round() as u32)
    };
    let stitches = count("Stitches of the whole swatch", " stitches");
    weighed.stitches = entered("All stitches", &stitches, weighed.stitches);
    let rows = count("Rows of the whole swatch", " rows");
    weighed.rows = entered("All rows", &rows, weighed.rows);
    let suffix = format!(" {}", units.mass_suffix());
    let mut mass = |text: &str, label: &str, grams: f64, range: (f64, f64)| {
        let field = NumberField {
            label,
            suffix: &suffix,
            range: units.from_grams(range.0)..=units.from_grams(range.1),
            decimals: 3,
            speed: 0.05,
        };
        let typed = form.number(text, &field, units.from_grams(grams));
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
        caption(form, "Type what the scales read; until then the loop model counts.");
    }
    caption(form, "Weigh it without the needles and before ends are cut off, cast-on and bind-off with it.");
}
