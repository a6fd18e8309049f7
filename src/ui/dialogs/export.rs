//! The options of an export, each kind with its own.

use egui::{Ui, Vec2};

use super::{FIELD, answers, fabric};
use crate::app::Action;
use crate::app::exports::{Export, ExportOptions};
use crate::app::state::State;
use crate::export::chart_picture::{HeavyEvery, MAX_PX, PictureOptions};
use crate::export::paper::Paper;
use crate::export::sheet;
use crate::project::Project;
use crate::ui::widgets::{NumberField, caption, count_field, one_of_in, row, tick_box};
use crate::units::{CM_PER_INCH, LengthUnit};

/// Asks for the options.
pub fn show(
    ui: &mut Ui,
    state: &State,
    export: Export,
    options: &mut ExportOptions,
    room: Vec2,
    actions: &mut Vec<Action>,
) {
    let project = state.project();
    caption(ui, export.info().purpose);
    match export {
        Export::Chart | Export::ChartVector => picture(ui, project, &mut options.picture),
        Export::Fabric => fabric::show(ui, state, options, room),
        Export::ChartPages => pages(ui, project, options),
        Export::Sheet => {
            paper(ui, &mut options.paper);
            size(ui, project, &mut options.size);
            caption(ui, "Written for every size; picture, schematic and sums are of this one.");
            tick_box(ui, &mut options.appendix, "Appendix: sums and sources of the figures");
        }
        Export::Yardage | Export::YardageText | Export::Card | Export::GiftTag | Export::GiftTagPrint => {
            size(ui, project, &mut options.size);
        }
        Export::Words | Export::Rows | Export::StandIns | Export::ColourStyles | Export::ColourTokens => {}
    }
    match answers(ui, &["Choose file…", "Cancel"]) {
        Some(0) => actions.push(Action::Export(export, *options)),
        Some(_) => actions.push(Action::CloseDialog),
        None => {}
    }
}

fn picture(ui: &mut Ui, project: &Project, options: &mut PictureOptions) {
    row(ui, "Size of a stitch", |ui| {
        if let Some(px) = count_field(ui, "Size of a stitch", " px wide", 1..=MAX_PX, options.px_per_stitch) {
            options.px_per_stitch = px;
        }
    });
    row(ui, "Resolution", |ui| {
        let field = NumberField {
            label: "Resolution",
            suffix: " dots per inch",
            range: 10.0..=2400.0,
            decimals: 0,
            speed: 1.0,
        };
        if let Some(dots) = field.show(ui, options.dots_per_inch) {
            options.dots_per_inch = dots;
        }
    });
    row(ui, "A heavier line", |ui| {
        let words = |every| match every {
            HeavyEvery::Five => "every 5 stitches",
            HeavyEvery::Ten => "every 10 stitches",
        };
        let choices = [HeavyEvery::Five, HeavyEvery::Ten].map(|every| (every, words(every)));
        one_of_in(ui, FIELD, "A heavier line", choices, &mut options.heavy_every);
    });
    tick_box(ui, &mut options.symbols, "Symbols, so that it reads without colour");
    let grid = &project.chart.grid;
    let width = u64::from(grid.width()) * u64::from(options.px_per_stitch);
    let height =
        f64::from(grid.height()) * f64::from(options.px_per_stitch) / project.plan.gauge.cell_aspect();
    caption(
        ui,
        format!(
            "The stitches alone will be {width} × {height:.0} px, at the true shape of the gauge; numbers, \
             repeat box and legend come around them. The file notes its printed size."
        ),
    );
}

fn pages(ui: &mut Ui, project: &Project, options: &mut ExportOptions) {
    // As printed: mm, or inches.
    let (per_mm, suffix, decimals) = match project.units {
        LengthUnit::Metric => (1.0, " mm wide", 1),
        LengthUnit::Imperial => (0.1 / CM_PER_INCH, " in wide", 2),
    };
    paper(ui, &mut options.paper);
    row(ui, "Size of a stitch", |ui| {
        let field = NumberField {
            label: "Printed size of a stitch",
            suffix,
            range: sheet::STITCH_MM.start() * per_mm..=sheet::STITCH_MM.end() * per_mm,
            decimals,
            speed: 0.05 * per_mm,
        };
        if let Some(typed) = field.show(ui, options.stitch_mm * per_mm) {
            options.stitch_mm = typed / per_mm;
        }
    });
    caption(
        ui,
        "A chart that does not fit one page is split. Neighbouring pages share two stitches or rows, marked \
         by bars, and a small map shows where each page belongs.",
    );
}

fn paper(ui: &mut Ui, paper: &mut Paper) {
    row(ui, "Paper", |ui| {
        one_of_in(ui, FIELD, "Paper", Paper::ALL.map(|each| (each, each.name())), paper);
    });
}

/// The size, where there are several.
pub(super) fn size(ui: &mut Ui, project: &Project, size: &mut Option<usize>) {
    let sizes = &project.pieces.sizes;
    if sizes.len() < 2 {
        return;
    }
    let mut chosen = size.unwrap_or(project.pieces.chosen).min(sizes.len() - 1);
    row(ui, "Size", |ui| {
        let names = sizes.iter().map(|each| each.name.as_str()).enumerate();
        one_of_in(ui, FIELD, "Size for the export", names, &mut chosen);
    });
    *size = Some(chosen);
}
