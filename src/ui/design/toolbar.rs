//! One row above the chart: tools, their options, colours, and how the chart is looked at.

use egui::containers::menu::{MenuButton, MenuConfig};
use egui::scroll_area::ScrollBarVisibility;
use egui::{
    Align, Button, ComboBox, Layout, PopupCloseBehavior, Rect, Role, ScrollArea, Sense, Stroke, StrokeKind,
    Ui, UiBuilder, Vec2, WidgetInfo,
};

use super::{chart_menu, symmetry};
use crate::app::state::State;
use crate::app::view::{ChartView, Choose, Look, Surround, Tool, View};
use crate::app::{Action, Command, chart_commands};
use crate::chart::{Cell, Work};
use crate::project::key_entry;
use crate::ui::canvas;
use crate::ui::colours::{ink_on, seen};
use crate::ui::shell::{Pane, give_keys_to_chart, pane, shortcut_text};
use crate::ui::theme::{STEP, Tokens};
use crate::ui::widgets::{
    Follow, Icon, eyes_choice, focus_ring, name, one_of_in, paint_swatch, sized_icon_button, tick_box,
};

/// Width of the options of a tool, which are different ones at different times.
const OPTIONS: f32 = 134.0;
const HEIGHT: f32 = 28.0;
/// Height of the colours where they have a row of their own.
const COLOURS: f32 = 22.0;
const TOOL: f32 = 26.0;
/// A tool in a row that is narrower than [`NARROW_ROW`], below which the colours have a row of their own.
const SMALL_TOOL: f32 = 24.0;
const NARROW_ROW: f32 = 620.0;
/// Below this the options stand with the colours.
const TIGHT_ROW: f32 = 430.0;
/// Side of a tool at least, where enlarged text leaves no room for more.
const TINY_TOOL: f32 = 16.0;
/// Room for six colours in two rows and the gaps of the row, which the tools make place for.
const STRIP: f32 = 60.0;
/// Least width of a colour, in one row and in two.
const NARROW: f32 = 18.0;
const NARROWEST: f32 = 15.0;
/// Width of the pair of colours.
const PAIR: f32 = 32.0;
/// From this width of the row the looks most used stand in it, not only in the menu.
const WIDE: f32 = 760.0;
/// Width of the looks, then and else.
const LOOKS: [f32; 2] = [292.0, 84.0];

/// Shows the row: tools, the options of the one in hand, colours, looks. Nothing in it moves but by the
/// window's width.
pub fn show(ui: &mut Ui, state: &State, view: &mut View, actions: &mut Vec<Action>) {
    let width = ui.available_width();
    ui.set_width(width);
    let (is_narrow, is_tight) = (width < NARROW_ROW, width < TIGHT_ROW);
    let second = if is_tight { HEIGHT } else { COLOURS };
    // The row alone is the pane; the chart stands below it.
    ui.set_max_height(if is_narrow { HEIGHT + second } else { HEIGHT });
    pane(ui, Pane::Tools);
    ui.spacing_mut().item_spacing = Vec2::new(1.0, 0.0);
    ui.horizontal(|ui| {
        ui.set_height(HEIGHT);
        let beside = if is_tight { 0.0 } else { OPTIONS } + if is_narrow { 0.0 } else { PAIR + STRIP };
        tools(ui, state, view, width - beside - LOOKS[1] - 1.5 * STEP, actions);
        if !is_tight {
            gap(ui);
            reserved(ui, "options", Vec2::new(OPTIONS, HEIGHT), |ui| options(ui, state, view, actions));
        }
        gap(ui);
        let looks_width = LOOKS[usize::from(width <= WIDE)];
        let rest = (ui.available_width() - looks_width - STEP).max(0.0);
        if is_narrow {
            ui.add_space(rest);
        } else {
            colours(ui, state, &mut view.chart, Vec2::new(rest, HEIGHT));
        }
        gap(ui);
        let looks_room = Vec2::new(looks_width, HEIGHT);
        reserved(ui, "looks", looks_room, |ui| looks(ui, state, &mut view.chart, width > WIDE, actions));
    });
    if is_narrow {
        // A row is as high as a control at least.
        ui.spacing_mut().interact_size.y = second;
        ui.horizontal(|ui| {
            if is_tight {
                reserved(ui, "options", Vec2::new(OPTIONS, second), |ui| options(ui, state, view, actions));
                gap(ui);
            }
            // In the row they would be too small to hit.
            let room = Vec2::new(ui.available_width(), COLOURS);
            colours(ui, state, &mut view.chart, room);
        });
    }
    clicks_are_for_the_chart(ui);
}

/// The tools and the symmetry, as large as `room` leaves them.
fn tools(ui: &mut Ui, state: &State, view: &mut View, room: f32, actions: &mut Vec<Action>) {
    let count = Tool::ALL.len() as f32 + 1.0;
    let most = if ui.available_width() < NARROW_ROW { SMALL_TOOL } else { TOOL };
    let size = Vec2::splat(((room / count).floor() - 1.0).clamp(TINY_TOOL, most));
    for tool in Tool::ALL {
        let tip = tip(ui, Command::Tool(tool));
        let chosen = view.chart.tool == tool;
        if sized_icon_button(ui, tool_icon(tool), tool.name(), &tip, chosen, size).clicked() {
            view.chart.take_tool(tool);
        }
    }
    let tip =
        format!("Mirrors, turns and repeats that are painted along. {}", tip(ui, Command::NextSymmetry));
    symmetry::button(ui, state, &tip, size, actions);
}

/// The pair in hand and the strip of the colours to paint with.
fn colours(ui: &mut Ui, state: &State, chart: &mut ChartView, room: Vec2) {
    pair(ui, state, chart, room.y);
    let room = Vec2::new((room.x - PAIR - 1.0).max(28.0), room.y);
    reserved(ui, "colours", room, |ui| {
        let strip = ScrollArea::horizontal().id_salt("colours").auto_shrink([false, false]);
        // The strip is as narrow as it must be.
        let strip = strip.min_scrolled_width(room.x);
        strip.scroll_bar_visibility(ScrollBarVisibility::AlwaysHidden).follow(ui, |ui| {
            ui.horizontal(|ui| paints(ui, state, chart, room));
        });
    });
}

/// A part of the row of a width of its own, whatever is in it.
fn reserved(ui: &mut Ui, name: &str, room: Vec2, contents: impl FnOnce(&mut Ui)) {
    let (_, rect) = ui.allocate_space(room);
    let id = ui.scope_id().with(name);
    let layout = Layout::left_to_right(Align::Center);
    let mut part = ui.new_child(UiBuilder::new().scope_id(id).max_rect(rect).layout(layout));
    part.shrink_clip_rect(rect.expand(2.0));
    contents(&mut part);
}

/// What is pressed and let go in the row is for the chart, and so are the next keys.
fn clicks_are_for_the_chart(ui: &Ui) {
    let id = ui.scope_id().with("pressed in the row");
    let (pressed_at, released) = ui.input(|input| {
        let pointer = &input.pointer;
        (pointer.interact_pos().filter(|_| pointer.any_pressed()), pointer.any_released())
    });
    if let Some(at) = pressed_at {
        let here = ui.min_rect().contains(at) && ui.ctx().layer_id_at(at) == Some(ui.layer_id());
        ui.data_mut(|data| data.insert_temp(id, here));
    }
    if released && ui.data_mut(|data| data.remove_temp::<bool>(id)) == Some(true) {
        give_keys_to_chart(ui.ctx());
    }
}

/// What can be done with held stitches, with the region, or how the tool paints.
fn options(ui: &mut Ui, state: &State, view: &mut View, actions: &mut Vec<Action>) {
    if view.chart.floating.is_some() {
        for command in [Command::SetDown, Command::Escape] {
            if ui.button(command.info().label).on_hover_text(tip(ui, command)).clicked() {
                actions.push(Action::Command(command));
            }
        }
        return;
    }
    match view.chart.tool {
        Tool::Region => {
            let ways = [
                (Icon::Region, Choose::Rectangle, "Rectangle", "Choose a rectangle"),
                (Icon::Freehand, Choose::Freehand, "Freehand", "Choose what you draw around"),
                (Icon::Area, Choose::Area, "Area", "Choose stitches of one colour that hang together"),
                (Icon::OneColour, Choose::Colour, "Colour", "Choose every stitch of one colour"),
            ];
            for (icon, choose, label, tip) in ways {
                let chosen = view.chart.choose == choose;
                let label = format!("Choose by {}", label.to_lowercase());
                if sized_icon_button(ui, icon, &label, tip, chosen, Vec2::splat(TOOL)).clicked() {
                    view.chart.choose = choose;
                }
            }
            ui.menu_button("…", |ui| region_menu(ui, state, view, actions))
                .response
                .on_hover_text("More to do with the region");
        }
        Tool::Rectangle | Tool::Ellipse => {
            // Both are whole in the width of the options.
            ui.spacing_mut().button_padding.x = STEP * 0.5;
            let filled = view.chart.filled;
            let text = if filled { "Filled" } else { "Outline" };
            let button = Button::selectable(filled, text).min_size(Vec2::new(56.0, 24.0));
            if ui.add(button).on_hover_text("Fill rectangles and ellipses").clicked() {
                view.chart.filled = !filled;
            }
            works(ui, &mut view.chart.work);
        }
        Tool::Draw | Tool::Line | Tool::Fill => works(ui, &mut view.chart.work),
        Tool::Erase | Tool::Pick => {}
    }
}

fn region_menu(ui: &mut Ui, state: &State, view: &View, actions: &mut Vec<Action>) {
    for command in [Command::Cut, Command::Copy, Command::Clear] {
        chart_menu::line(ui, state, view, command, false, actions);
    }
    chart_menu::more(ui, state, view, actions);
}

fn gap(ui: &mut Ui) {
    ui.add_space(STEP / 2.0);
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

/// The colour of the tools over that of the right button, in a row of this height; a click swaps them.
fn pair(ui: &mut Ui, state: &State, view: &mut ChartView, height: f32) {
    let (rect, response) = ui.allocate_exact_size(Vec2::new(PAIR, height), Sense::click());
    let project = state.project();
    let (first, second) = (canvas::paint_cell(project, view), canvas::second_cell(project, view));
    let word = |cell: Cell| {
        let slot = cell.index().and_then(|index| Some((index, project.palette.slots().get(index)?)));
        slot.map_or_else(|| "no stitch".to_owned(), |(index, slot)| key_entry(index, slot))
    };
    let label = format!("Left button {}, right button {}", word(first), word(second));
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &label));
    let tokens = Tokens::of(ui);
    let scale = height / HEIGHT;
    for (cell, shift) in [(second, 5.0), (first, -3.0)] {
        let middle = rect.center() + Vec2::splat(shift * scale);
        let square = Rect::from_center_size(middle, Vec2::splat(15.0 * scale));
        let slot = cell.index().and_then(|index| project.palette.slots().get(index));
        let fill = slot.map_or(tokens.surround, |slot| seen(slot.colour, state.eyes));
        ui.painter().rect(square, 2, fill, Stroke::new(1.0, tokens.text), StrokeKind::Outside);
        if slot.is_none() {
            let cross = Stroke::new(1.2, tokens.weak);
            ui.painter().line_segment([square.left_top(), square.right_bottom()], cross);
        }
    }
    if response.has_focus() {
        focus_ring(ui, rect);
    }
    let tip = tip(ui, Command::SwapColours);
    let response = response.on_hover_text(format!("{label}. {tip}"));
    if response.clicked() {
        chart_commands::run(project, view, None, Command::SwapColours);
    }
}

/// The colours to paint with, and "no stitch", to be seen all at once in `room`: as narrow as they can be, and where
/// that is not enough in two rows.
fn paints(ui: &mut Ui, state: &State, view: &mut ChartView, room: Vec2) {
    let slots = state.project().palette.slots().len();
    let cells: Vec<Cell> = (0..slots).map(|slot| Cell::slot(slot as u8)).chain([Cell::NO_STITCH]).collect();
    let gap = ui.spacing().item_spacing.x;
    let fits = cells.len() as f32 * (NARROW + gap) <= room.x + gap;
    let (in_row, least, height) =
        if fits { (cells.len(), NARROW, room.y) } else { (cells.len().div_ceil(2), NARROWEST, room.y / 2.0) };
    let width = ((room.x + gap) / in_row as f32 - gap).floor().clamp(least, TOOL);
    // As high as its colours, and no higher.
    ui.spacing_mut().interact_size.y = height;
    ui.vertical(|ui| {
        for row in cells.chunks(in_row) {
            ui.horizontal(|ui| {
                for cell in row {
                    paint(ui, state, view, *cell, Vec2::new(width, height));
                }
            });
        }
    });
}

/// One of them.
fn paint(ui: &mut Ui, state: &State, view: &mut ChartView, cell: Cell, size: Vec2) {
    let index = cell.index().unwrap_or(usize::MAX);
    let slot = state.project().palette.slots().get(index);
    let label =
        slot.map_or_else(|| "Paint no stitch".to_owned(), |slot| format!("Paint {}", key_entry(index, slot)));
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let is_chosen = view.work.is_none() && view.paint == cell;
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_chosen, &label));
    let tokens = Tokens::of(ui);
    let inner = rect.shrink2(Vec2::new(2.0, size.y / 7.0));
    let painter = ui.painter();
    if let Some(slot) = slot {
        paint_swatch(ui, inner, slot.colour, &[], state.eyes);
        if is_chosen {
            painter.circle_filled(inner.center(), size.y / 8.0, ink_on(seen(slot.colour, state.eyes)));
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
    if view.second == Some(cell) {
        // What the right button paints has a corner of its own.
        let side = size.y / 5.6;
        let corner = inner.right_bottom() - Vec2::splat(side);
        let ink = slot.map_or(tokens.text, |slot| ink_on(seen(slot.colour, state.eyes)));
        ui.painter().rect_filled(Rect::from_center_size(corner, Vec2::splat(side)), 0, ink);
    }
    let response = response.on_hover_text(format!("{label}; right click: for the right button"));
    if response.secondary_clicked() {
        view.second = Some(cell);
    }
    if response.clicked() {
        view.take_up(cell);
    }
}

/// How stitches are worked that the tools pass: as they are, or as a decrease or increase.
fn works(ui: &mut Ui, work: &mut Option<Work>) {
    let word = |work: Option<Work>| work.map_or("Colours", |work| work.right_side());
    let combo = ComboBox::from_id_salt("work").width(70.0).selected_text(word(*work)).show_ui(ui, |ui| {
        let mut chosen = ui.selectable_value(work, None, "Colours").clicked();
        for choice in Work::ALL {
            let name = format!("{}: {}", choice.right_side(), choice.name().to_lowercase());
            chosen |= ui.selectable_value(work, Some(choice), name).clicked();
        }
        if chosen {
            ui.close();
        }
    });
    name(&combo.response, "What the tools leave");
    combo.response.on_hover_text("Paint colours, or decreases and increases that keep their colour");
}

/// How the chart is looked at: all of it in a menu, the most used in the row where there is room.
fn looks(ui: &mut Ui, state: &State, chart: &mut ChartView, wide: bool, actions: &mut Vec<Action>) {
    let toggles = [
        (Command::ToggleKnitted, chart.look == Look::Knitted),
        (Command::ToggleSymbols, chart.symbols),
        (Command::ToggleNumbers, chart.numbers),
        (Command::ToggleGhosts, chart.ghosts),
    ];
    if wide {
        for (command, on) in &toggles[..3] {
            if ui.selectable_label(*on, command.info().label).on_hover_text(tip(ui, *command)).clicked() {
                actions.push(Action::Command(*command));
            }
        }
    }
    let whole = Command::ZoomFit;
    let size = Vec2::splat(TOOL);
    if sized_icon_button(ui, Icon::Whole, whole.info().label, &tip(ui, whole), false, size).clicked() {
        actions.push(Action::Command(whole));
    }
    let stays = MenuConfig::new().close_behavior(PopupCloseBehavior::CloseOnClickOutside);
    MenuButton::new("Look").config(stays).ui(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        for (command, on) in toggles {
            let mut ticked = on;
            let tick = tick_box(ui, &mut ticked, command.info().label).on_hover_text(tip(ui, command));
            if tick.clicked() {
                actions.push(Action::Command(command));
            }
        }
        ui.separator();
        for command in [Command::ZoomIn, Command::ZoomOut] {
            if ui.button(command.info().label).on_hover_text(tip(ui, command)).clicked() {
                actions.push(Action::Command(command));
            }
        }
        ui.separator();
        if let Some(eyes) = eyes_choice(ui, state.eyes) {
            actions.push(Action::SeeThrough(eyes));
        }
        surround(ui, chart);
    });
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
