//! What was knitted and measured: the fields of one swatch.

use egui::{ComboBox, Ui};

use super::gesture;
use crate::app::Action;
use crate::knit::{Construction, DriedHow, Needle, SwatchFabric, SwatchOnScales, SwatchSize, WashedHow};
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
    let (old, new) = (entry.swatch.before, entry.swatch.after);
    entry.swatch.before = size(form, "Off the needles", old, new, project.units);
    entry.swatch.after = size(form, "Washed and dried", new, old, project.units);
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

fn counted(form: &mut Form, entry: &mut LoggedSwatch) {
    let count = |label, suffix| NumberField { label, suffix, range: 1.0..=2000.0, decimals: 0, speed: 0.2 };
    let (stitches, rows) = (entry.swatch.stitches(), entry.swatch.rows());
    let typed = (
        form.number("Stitches", &count("Counted stitches", " stitches"), f64::from(stitches)),
        form.number("Rows", &count("Counted rows", " rows"), f64::from(rows)),
    );
    let whole = |typed: Option<f64>, old: u32| typed.map_or(old, |value| value.round() as u32);
    let counts = (whole(typed.0, stitches), whole(typed.1, rows));
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

/// A size that may not have been measured; ticked, it starts from the other one, else from 10 cm.
fn size(
    form: &mut Form,
    label: &str,
    size: Option<SwatchSize>,
    other: Option<SwatchSize>,
    units: LengthUnit,
) -> Option<SwatchSize> {
    if !form.tick(label, size.is_some()) {
        return None;
    }
    let size = size.or(other).or_else(|| SwatchSize::new(10.0, 10.0).ok())?;
    let suffix = format!(" {}", units.length_suffix());
    let mut side = |text: &str, cm: f64| {
        let label = format!("{label}, {}", text.to_lowercase());
        let range = units.from_cm(1.0)..=units.from_cm(200.0);
        let field = NumberField { label: &label, suffix: &suffix, range, decimals: 2, speed: 0.05 };
        let typed = form.number(text, &field, units.from_cm(cm));
        typed.map_or(cm, |value| units.to_cm(value).clamp(1.0, 200.0))
    };
    let (width, height) = (side("Width", size.width_cm()), side("Height", size.height_cm()));
    if (width, height) == (size.width_cm(), size.height_cm()) {
        // Untouched, it keeps what it was read off.
        return Some(size);
    }
    Some(SwatchSize::new(width, height).unwrap_or(size))
}

fn weighed(form: &mut Form, entry: &mut LoggedSwatch, units: LengthUnit) {
    if !form.tick("Whole swatch weighed", entry.swatch.weighed.is_some()) {
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
    if let Some(typed) = form.number("All stitches", &stitches, f64::from(weighed.stitches)) {
        weighed.stitches = typed.round() as u32;
    }
    let rows = count("Rows of the whole swatch", " rows");
    if let Some(typed) = form.number("All rows", &rows, f64::from(weighed.rows)) {
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
