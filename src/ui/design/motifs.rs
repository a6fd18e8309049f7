//! The motif library beside the chart: looked through, stamped and dragged.

use std::sync::Arc;

use egui::{
    Align, Color32, ComboBox, Frame, Id, Label, Layout, Rect, Role, ScrollArea, Sense, Stroke, StrokeKind,
    TextEdit, Ui, Vec2, WidgetInfo, pos2, vec2,
};

use crate::app::action::Action;
use crate::app::chart_commands;
use crate::app::dialog::Dialog;
use crate::app::motifs::{MotifAction, Shelved, stamp_colours};
use crate::app::state::State;
use crate::app::view::{ChartView, Gesture, View};
use crate::app::weights::{WeightsForm, WeightsOf};
use crate::chart::{Cell, Motif, MotifFacts, MotifKind};
use crate::ui::colours::seen;
use crate::ui::theme::{CORNER, SMALL, STEP, Tokens};
use crate::ui::widgets::{
    Icon, caption, focus_ring, heading, name, paint_stitches, sized_icon_button, text_field,
};
use crate::units::{both_lengths, counted};

/// Least width, and height, of a motif in the list.
const TILE: Vec2 = vec2(92.0, 84.0);
/// Height of what is said below the list; most motifs need no more, and of others the figures scroll there.
const SAID: f32 = 224.0;
/// Width of the window: three motifs, and no more of the chart behind it than that takes.
const WIDE: f32 = 336.0;
/// Where the window opens, below the top.
const TOP: f32 = 76.0;
/// Below the window, with its own heading.
const FOOT: f32 = 92.0;
/// Around what is in the window.
const MARGIN: i8 = 10;
/// Most height of the window as it opens.
const TALL: f32 = 760.0;

/// What the library remembers between frames.
#[derive(Default)]
pub struct MotifsView {
    /// Whether it was open in the frame before.
    was_open: bool,
    wanted: String,
    kind: Option<MotifKind>,
    chosen: Option<Arc<Motif>>,
    /// The new name of the chosen one while it is typed.
    renaming: Option<String>,
}

/// Shows the library when it is open.
pub fn show(ui: &Ui, state: &State, view: &mut View, own: &mut MotifsView, actions: &mut Vec<Action>) {
    let was_open = std::mem::replace(&mut own.was_open, view.motifs_open);
    if !view.motifs_open {
        return;
    }
    let mut open = true;
    let screen = ui.ctx().content_rect();
    // Below the row of tools, whose colours a motif is stamped in.
    let place = pos2(screen.right() - WIDE - STEP, screen.top() + TOP);
    let room = screen.height() - TOP - FOOT;
    let size = vec2(WIDE, TALL.min(room));
    let window = egui::Window::new("Motif library")
        .id(Id::unique("motif library"))
        .title_bar(false)
        .frame(Frame::window(ui.style()).inner_margin(MARGIN))
        .default_size(size)
        .min_size(vec2(280.0, 380.0_f32.min(room)))
        .max_height(room)
        .resizable(true);
    // It opens in the same place and size each time, and is moved and pulled from there.
    let window = if was_open { window } else { window.current_pos(place).fixed_size(size) };
    window.show(ui.ctx(), |ui| {
        open = !title(ui);
        contents(ui, state, &mut view.chart, own, actions);
    });
    view.motifs_open &= open;
}

/// The heading, by which the window is moved; whether it was closed.
fn title(ui: &mut Ui) -> bool {
    ui.horizontal(|ui| {
        heading(ui, "Motif library");
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let tip = "Close the motif library";
            sized_icon_button(ui, Icon::Close, tip, tip, false, Vec2::splat(24.0)).clicked()
        })
        .inner
    })
    .inner
}

fn contents(
    ui: &mut Ui,
    state: &State,
    chart: &mut ChartView,
    own: &mut MotifsView,
    actions: &mut Vec<Action>,
) {
    wishes(ui, own);
    ui.add_space(STEP / 2.0);
    let library = &state.motifs;
    let found: Vec<usize> = (0..library.all().len())
        .filter(|index| {
            let motif = &library.all()[*index];
            own.kind.is_none_or(|kind| motif.kind() == kind) && motif.is_found_by(&own.wanted)
        })
        .collect();
    let is_chosen = |index: &usize| own.chosen.as_deref() == Some(&library.all()[*index]);
    if !found.iter().any(is_chosen) {
        // What is said below the list, and held over the chart, is in the list.
        own.chosen = found.first().map(|index| Arc::new(library.all()[*index].clone()));
        own.renaming = None;
    }
    // Less the separator and the room around it: a window whose contents are taller than it grows without end.
    let list = vec2(ui.available_width(), (ui.available_height() - SAID - 2.0 * STEP).max(TILE.y));
    ui.allocate_ui(list, |ui| {
        ui.set_min_size(list);
        if found.is_empty() {
            caption(ui, nothing(state, own));
        } else {
            tiles(ui, state, chart, own, &found);
        }
    });
    ui.separator();
    let words = vec2(ui.available_width(), SAID - 16.0);
    ui.allocate_ui(words, |ui| {
        ui.set_min_size(words);
        said(ui, state, chart, own, actions);
    });
}

fn wishes(ui: &mut Ui, own: &mut MotifsView) {
    ui.horizontal(|ui| {
        let width = (ui.available_width() - 160.0).max(120.0);
        let field = text_field(ui, &mut own.wanted, |text| {
            TextEdit::singleline(text).hint_text("Search").desired_width(width)
        });
        name(&field, "Search the motifs");
        let word = |kind: Option<MotifKind>| kind.map_or("All", MotifKind::name);
        let combo = ComboBox::from_id_salt("kind of motif")
            .width(140.0)
            .selected_text(word(own.kind))
            .show_ui(ui, |ui| {
                for kind in [None].into_iter().chain(MotifKind::ALL.map(Some)) {
                    if ui.selectable_value(&mut own.kind, kind, word(kind)).clicked() {
                        ui.close();
                    }
                }
            });
        name(&combo.response, "Kind of motif");
    });
}

fn nothing(state: &State, own: &MotifsView) -> &'static str {
    match state.motifs.shelved() {
        Shelved::NotYet | Shelved::Reading => "Reading the library…",
        _ if own.kind == Some(MotifKind::Own) && own.wanted.trim().is_empty() => {
            "Nothing kept yet. Choose a region of the chart, then Chart > Keep as motif."
        }
        _ => "No motif by these words.",
    }
}

/// The motifs that were found, in rows; only those in sight are drawn.
fn tiles(ui: &mut Ui, state: &State, chart: &mut ChartView, own: &mut MotifsView, found: &[usize]) {
    let gap = STEP / 2.0;
    let room = ui.available_width() - 12.0 + gap;
    let across = (room / (TILE.x + gap)).floor().max(1.0) as usize;
    let size = vec2((room / across as f32).floor() - gap, TILE.y);
    ui.spacing_mut().item_spacing = Vec2::splat(gap);
    let rows = found.len().div_ceil(across);
    ScrollArea::vertical().id_salt("motifs").auto_shrink([false, false]).show_rows(
        ui,
        TILE.y,
        rows,
        |ui, range| {
            for row in range {
                ui.horizontal(|ui| {
                    for index in found.iter().skip(row * across).take(across) {
                        tile(ui, size, state, chart, own, &state.motifs.all()[*index]);
                    }
                });
            }
        },
    );
}

/// The colour of an ink of a motif, and the ground it stands on, as this project would have them.
fn inks(state: &State, chart: &ChartView) -> (Vec<Color32>, Color32) {
    let project = state.project();
    let slots = project.palette.slots();
    let shown = |slot: usize| slots.get(slot).map_or(Color32::GRAY, |slot| seen(slot.colour, state.eyes));
    let colours = stamp_colours(project, chart.paint);
    (colours.iter().filter_map(|cell| cell.index()).map(shown).collect(), shown(project.background_slot()))
}

fn tile(ui: &mut Ui, size: Vec2, state: &State, chart: &mut ChartView, own: &mut MotifsView, motif: &Motif) {
    let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    let is_chosen = own.chosen.as_deref() == Some(motif);
    response.widget_info(|| {
        WidgetInfo::selected(Role::Button, true, is_chosen, format!("Motif {}", motif.name()))
    });
    let tokens = Tokens::of(ui);
    ui.painter().rect_filled(rect, CORNER, tokens.list_fill(is_chosen, &response));
    let picture =
        Rect::from_min_max(rect.min + vec2(4.0, 4.0), pos2(rect.right() - 4.0, rect.bottom() - 20.0));
    let (colours, ground) = inks(state, chart);
    ui.painter().rect_filled(picture, CORNER - 2, ground);
    let shape = (state.project().plan.gauge.cell_aspect() as f32, 5.0);
    let last = colours.last().copied().unwrap_or(tokens.text);
    paint_stitches(ui.painter(), picture.shrink(4.0), motif.stitches(), shape, |ink| {
        colours.get(ink).copied().unwrap_or(last)
    });
    let words = Rect::from_min_max(pos2(rect.left() + 4.0, rect.bottom() - 19.0), rect.max - vec2(4.0, 1.0));
    let text = egui::RichText::new(motif.name()).size(SMALL);
    ui.put(words, Label::new(text).truncate().selectable(false));
    if is_chosen {
        ui.painter().rect_stroke(rect, CORNER, Stroke::new(2.0, tokens.focus), StrokeKind::Inside);
    }
    if response.has_focus() {
        focus_ring(ui, rect);
    }
    let response = response.on_hover_text("Drag it over the chart to use it");
    if response.clicked() || response.drag_started() {
        own.chosen = Some(Arc::new(motif.clone()));
        own.renaming = None;
    }
    if response.drag_started() {
        hold(state, chart, motif);
        // It hangs on the pointer from here on, held in its middle.
        let stitches = motif.stitches();
        let grip = (i64::from(stitches.width()) / 2, i64::from(stitches.height()) / 2);
        chart.gesture = Some(Gesture::Carry { grip });
    }
    if response.double_clicked() {
        hold(state, chart, motif);
        chart.hangs = true;
    }
}

/// Holds the motif over the chart, in colours of the project.
fn hold(state: &State, chart: &mut ChartView, motif: &Motif) {
    let project = state.project();
    let patch = motif.in_colours(&stamp_colours(project, chart.paint));
    chart_commands::hold(project, chart, patch, "Stamp motif", Some(Cell::NO_STITCH));
}

/// What is to be known of the chosen motif, and what can be done with it.
fn said(ui: &mut Ui, state: &State, chart: &mut ChartView, own: &mut MotifsView, actions: &mut Vec<Action>) {
    let library = &state.motifs;
    let Some(motif) = own.chosen.clone() else {
        caption(
            ui,
            trouble(state).unwrap_or("Choose a motif to see its size, floats and fit at your gauge."),
        );
        bring_back(ui, state, actions);
        return;
    };
    let is_own = library.own().contains(&motif);
    let reading = state.desks.motif_facts(&state.document, &state.jobs, library).value();
    let index = library.all().iter().position(|one| *one == *motif);
    let facts = reading.as_deref().zip(index).and_then(|(facts, index)| facts.get(index));
    heading(ui, motif.name());
    let figures = ScrollArea::vertical().id_salt("figures").auto_shrink([false, false]);
    let buttons = if is_own || library.removed().is_some() { 2.0 } else { 1.0 };
    let high = ui.available_height() - buttons * (ui.spacing().interact_size.y + STEP);
    figures.max_height(high).min_scrolled_height(high).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        for line in words(state, &motif, facts) {
            caption(ui, line);
        }
    });
    ui.horizontal(|ui| {
        if ui.button("Hold over the chart").clicked() {
            hold(state, chart, &motif);
            chart.hangs = true;
        }
        if ui.button("Across weights…").clicked() {
            let form = WeightsForm::of(state.project(), WeightsOf::Motif(Arc::clone(&motif)));
            actions.push(Action::Ask(Dialog::Weights(form)));
        }
    });
    if is_own {
        own_buttons(ui, &motif, own, actions);
    } else {
        bring_back(ui, state, actions);
    }
}

fn own_buttons(ui: &mut Ui, motif: &Arc<Motif>, own: &mut MotifsView, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        if let Some(typed) = &mut own.renaming {
            let field = text_field(ui, typed, |text| TextEdit::singleline(text).desired_width(150.0));
            name(&field, "New name of the motif");
            if ui.button("Set name").clicked() {
                actions.push(Action::Motifs(MotifAction::Rename(Arc::clone(motif), typed.clone())));
                own.chosen = motif.renamed(typed).ok().map(Arc::new).or_else(|| Some(Arc::clone(motif)));
                own.renaming = None;
            }
        } else if ui.button("Rename").clicked() {
            own.renaming = Some(motif.name().to_owned());
        }
        if ui.button("Remove").clicked() {
            actions.push(Action::Motifs(MotifAction::Remove(Arc::clone(motif))));
            own.chosen = None;
            own.renaming = None;
        }
    });
}

fn bring_back(ui: &mut Ui, state: &State, actions: &mut Vec<Action>) {
    let Some(removed) = state.motifs.removed() else { return };
    ui.with_layout(Layout::left_to_right(Align::Min), |ui| {
        if ui.button(format!("Bring {} back", removed.name())).clicked() {
            actions.push(Action::Motifs(MotifAction::BringBack));
        }
    });
}

fn trouble(state: &State) -> Option<&str> {
    match state.motifs.shelved() {
        Shelved::Trouble(why) => Some(why),
        _ => None,
    }
}

/// Size, floats and fit.
fn words(state: &State, motif: &Motif, facts: Option<&MotifFacts>) -> Vec<String> {
    let project = state.project();
    let (gauge, units) = (project.plan.gauge, project.units);
    let (width, height) = (motif.stitches().width(), motif.stitches().height());
    let mut lines = vec![format!(
        "{width} \u{d7} {height} stitches: {} wide, {} tall at your gauge.",
        both_lengths(gauge.width(width).get(), units),
        both_lengths(gauge.height(height).get(), units)
    )];
    let Some(facts) = facts else {
        lines.push("Working out its floats and fit…".to_owned());
        return lines;
    };
    let limit = project.plan.float_limit.in_stitches(gauge);
    let float = facts.longest_float_around;
    let over = if float > limit { format!(", over your limit of {limit}") } else { String::new() };
    lines.push(format!(
        "Longest float {} ({}) side by side around{over}; {} inside one.",
        counted(float.into(), "stitch", "stitches"),
        both_lengths(gauge.width(float).get(), units),
        facts.longest_float
    ));
    if facts.lone_stitches > 0 {
        lines.push(format!(
            "{} alone.",
            counted(facts.lone_stitches.into(), "stitch stands", "stitches stand")
        ));
    }
    if let Some(fit) = &facts.fit {
        lines.extend(fit.problems.iter().map(ToString::to_string));
        lines.extend(fit.words(units).pop());
    }
    lines
}
