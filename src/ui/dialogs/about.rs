//! The keys, and what Huegauge is.

use egui::{Grid, Label, ScrollArea, Ui};

use super::answers;
use crate::app::{Action, Command};
use crate::ui::shell::shortcut_text;
use crate::ui::widgets::{Follow, caption};

/// Every command that has a key, and what the canvas does besides.
pub fn keys(ui: &mut Ui, actions: &mut Vec<Action>) {
    const CANVAS: [(&str, &str); 6] = [
        ("Arrow keys", "Move the cursor on the chart"),
        ("Shift and arrow keys", "Choose a region from the cursor"),
        ("Space", "Paint the stitch under the cursor"),
        ("Scroll", "Enlarge or make smaller at the pointer"),
        ("Middle button, or Space and drag", "Move the chart about"),
        ("Secondary button", "Take up the colour under the pointer"),
    ];
    ScrollArea::vertical().max_height(420.0).follow(ui, |ui| {
        Grid::new("keys").num_columns(2).striped(true).spacing([24.0, 6.0]).show(ui, |ui| {
            for command in Command::ALL {
                let info = command.info();
                if let Some(shortcut) = info.shortcut {
                    ui.label(shortcut_text(ui, shortcut));
                    ui.label(info.tip);
                    ui.end_row();
                }
            }
            for (keys, what) in CANVAS {
                ui.label(keys);
                ui.label(what);
                ui.end_row();
            }
        });
    });
    if answers(ui, &["Close"]).is_some() {
        actions.push(Action::CloseDialog);
    }
}

/// Version, licence and what the figures rest on.
pub fn about(ui: &mut Ui, actions: &mut Vec<Action>) {
    ui.label(concat!("Huegauge ", env!("CARGO_PKG_VERSION"), ", MIT licence"));
    ui.add(
        Label::new(
            "Plans a colourwork knit: colours that go together and differ enough, a motif that survives at \
             the gauge, and how much of each colour to buy.",
        )
        .wrap(),
    );
    caption(
        ui,
        "Colour: Oklab (Ottosson 2020), CSS Color 4 gamut mapping, CIEDE2000, Machado 2009 for colour vision. \
         Yarn: loop length after Munden 1959 and Knapton 1968. Yarn weights: the published Standard Yarn \
         Weight System. No score predicts taste, and every yardage is an estimate with its range: swatch, \
         wash and measure. The type is Open Sans (Apache 2.0).",
    );
    if answers(ui, &["Close"]).is_some() {
        actions.push(Action::CloseDialog);
    }
}
