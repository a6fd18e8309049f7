//! Tools and colours above the chart, and how the chart is looked at.

use egui::{ComboBox, Role, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo};

use crate::app::state::State;
use crate::app::update::enabled;
use crate::app::view::{ChartView, Look, Surround, Tool, View};
use crate::app::{Action, Command};
use crate::chart::{Cell, Work};
use crate::project::key_entry;
use crate::ui::colours::{ink_on, seen};
use crate::ui::shell::shortcut_text;
use crate::ui::theme::{STEP, Tokens};
use crate::ui::widgets::{Icon, eyes_choice, focus_ring, icon_button, name, one_of_in};

/// Shows both bars.
pub fn show(ui: &mut Ui, state: &State, view: &mut View, actions: &mut Vec<Action>) {
    ui.set_width(ui.available_width());
    ui.spacing_mut().item_spacing = Vec2::new(2.0, 4.0);
    ui.horizontal_wrapped(|ui| {
        for tool in Tool::ALL {
            let tip = tip(ui, Command::Tool(tool));
            if icon_button(ui, tool_icon(tool), tool.name(), &tip, view.chart.tool == tool).clicked() {
                view.chart.take_tool(tool);
            }
        }
        let shapes = matches!(view.chart.tool, Tool::Rectangle | Tool::Ellipse);
        if shapes {
            let filled = view.chart.filled;
            let text = if filled { "Filled" } else { "Outline" };
            if ui.selectable_label(filled, text).on_hover_text("Fill rectangles and ellipses").clicked() {
                view.chart.filled = !filled;
            }
        }
        gap(ui);
        paints(ui, state, &mut view.chart);
        works(ui, &mut view.chart.work);
        if view.chart.region.is_some() || view.chart.floating.is_some() {
            gap(ui);
            region_buttons(ui, state, view, actions);
        }
    });
    ui.horizontal_wrapped(|ui| looks(ui, state, &mut view.chart, actions));
}

fn gap(ui: &mut Ui) {
    ui.add_space(STEP);
}

fn tip(ui: &Ui, command: Command) -> String {
    let info = command.info();
    info.shortcut.map_or_else(
        || info.tip.to_owned(),
        |shortcut| format!("{} ({})", info.tip, shortcut_text(ui, shortcut)),
    )
}

const fn tool_icon(tool: Tool) -> Icon {
    match tool {
        Tool::Draw => Icon::Draw,
        Tool::Line => Icon::Line,
        Tool::Rectangle => Icon::Rectangle,
        Tool::Ellipse => Icon::Ellipse,
        Tool::Fill => Icon::Fill,
        Tool::Erase => Icon::Erase,
        Tool::Pick => Icon::Pick,
        Tool::Region => Icon::Region,
    }
}

/// The colours to paint with, and "no stitch".
fn paints(ui: &mut Ui, state: &State, view: &mut ChartView) {
    let cells = (0..state.project().palette.slots().len()).map(|slot| Cell::slot(slot as u8));
    for cell in cells.chain([Cell::NO_STITCH]).collect::<Vec<_>>() {
        let index = cell.index().unwrap_or(usize::MAX);
        let slot = state.project().palette.slots().get(index);
        let label = slot
            .map_or_else(|| "Paint no stitch".to_owned(), |slot| format!("Paint {}", key_entry(index, slot)));
        let (rect, response) = ui.allocate_exact_size(Vec2::new(26.0, 28.0), Sense::click());
        let is_chosen = view.work.is_none() && view.paint == cell;
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_chosen, &label));
        let tokens = Tokens::of(ui);
        let inner = rect.shrink2(Vec2::new(2.0, 4.0));
        let painter = ui.painter();
        if let Some(slot) = slot {
            painter.rect_filled(inner, 3, seen(slot.colour, state.eyes));
            painter.rect_stroke(inner, 3, Stroke::new(1.0, tokens.line), StrokeKind::Inside);
            if is_chosen {
                painter.circle_filled(inner.center(), 3.5, ink_on(slot.colour));
            }
        } else {
            painter.rect_filled(inner, 3, tokens.surround);
            let cross = Stroke::new(1.2, tokens.weak);
            painter.line_segment([inner.left_top(), inner.right_bottom()], cross);
            painter.line_segment([inner.right_top(), inner.left_bottom()], cross);
        }
        if is_chosen {
            painter.rect_stroke(rect.shrink(1.0), 5, Stroke::new(2.0, tokens.focus), StrokeKind::Inside);
        }
        if response.has_focus() {
            focus_ring(ui, rect);
        }
        if response.on_hover_text(label).clicked() {
            view.take_up(cell);
        }
    }
}

/// How stitches are worked that the tools pass: as they are, or as a decrease or increase.
fn works(ui: &mut Ui, work: &mut Option<Work>) {
    let word = |work: Option<Work>| work.map_or("Colours", |work| work.right_side());
    let combo = ComboBox::from_id_salt("work").width(76.0).selected_text(word(*work)).show_ui(ui, |ui| {
        ui.selectable_value(work, None, "Colours");
        for choice in Work::ALL {
            let name = format!("{}: {}", choice.right_side(), choice.name().to_lowercase());
            ui.selectable_value(work, Some(choice), name);
        }
    });
    name(&combo.response, "What the tools leave");
    combo.response.on_hover_text("Paint colours, or decreases and increases that keep their colour");
}

fn region_buttons(ui: &mut Ui, state: &State, view: &View, actions: &mut Vec<Action>) {
    let buttons = [
        (Icon::MirrorSideways, Command::MirrorSideways),
        (Icon::MirrorUpright, Command::MirrorUpright),
        (Icon::TurnLeft, Command::TurnLeft),
        (Icon::TurnRight, Command::TurnRight),
    ];
    for (icon, command) in buttons {
        let tip = tip(ui, command);
        ui.add_enabled_ui(enabled(state, view, command), |ui| {
            if icon_button(ui, icon, command.info().label, &tip, false).clicked() {
                actions.push(Action::Command(command));
            }
        });
    }
    if view.chart.floating.is_some() {
        for command in [Command::SetDown, Command::Escape] {
            if ui.button(command.info().label).on_hover_text(tip(ui, command)).clicked() {
                actions.push(Action::Command(command));
            }
        }
    } else if ui.button("Make it the repeat").on_hover_text(tip(ui, Command::RepeatFromRegion)).clicked() {
        actions.push(Action::Command(Command::RepeatFromRegion));
    }
}

/// How the chart is looked at.
fn looks(ui: &mut Ui, state: &State, chart: &mut ChartView, actions: &mut Vec<Action>) {
    let zooms =
        [(Icon::Remove, Command::ZoomOut), (Icon::Add, Command::ZoomIn), (Icon::Whole, Command::ZoomFit)];
    for (icon, command) in zooms {
        let tip = tip(ui, command);
        if icon_button(ui, icon, command.info().label, &tip, false).clicked() {
            actions.push(Action::Command(command));
        }
    }
    gap(ui);
    let toggles = [
        (Command::ToggleKnitted, chart.look == Look::Knitted),
        (Command::ToggleSymbols, chart.symbols),
        (Command::ToggleNumbers, chart.numbers),
    ];
    for (command, on) in toggles {
        if ui.selectable_label(on, command.info().label).on_hover_text(tip(ui, command)).clicked() {
            actions.push(Action::Command(command));
        }
    }
    gap(ui);
    if let Some(eyes) = eyes_choice(ui, state.eyes) {
        actions.push(Action::SeeThrough(eyes));
    }
    surround(ui, chart);
}

fn surround(ui: &mut Ui, chart: &mut ChartView) {
    let word = |surround| match surround {
        Surround::Theme => "Plain around",
        Surround::Light => "Light around",
        Surround::Mid => "Mid around",
        Surround::Dark => "Dark around",
    };
    let all =
        [Surround::Theme, Surround::Light, Surround::Mid, Surround::Dark].map(|each| (each, word(each)));
    let tip = "What surrounds the chart: colours look different on light and dark";
    if one_of_in(ui, 98.0, "Around the chart", all, &mut chart.surround).on_hover_text(tip).changed() {
        chart.stale.all = true;
    }
}
