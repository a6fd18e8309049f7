//! What is worth a second look, a line each; a click opens it and shows its stitches, or goes to where it
//! is mended. The list scrolls in a space of its own, so that findings come and go without moving the rest.

use egui::{
    Align2, FontId, Id, Label, Rect, Response, RichText, Role, ScrollArea, Sense, Ui, Vec2, WidgetInfo, pos2,
};

use crate::app::progress;
use crate::app::state::State;
use crate::app::view::{View, Workspace};
use crate::app::{Action, Command};
use crate::chart::Point;
use crate::project::figures::Figures;
use crate::project::findings::{Finding, FindingKind, Severity};
use crate::ui::theme::{BODY, CORNER, SMALL, STEP, Tokens, semibold};
use crate::ui::widgets::{Follow, Icon, caption, focus_ring, steady, truncated};

/// Lines there is room for: while there are few, while there are more, and for one that is open with the rest beside it.
const LINES: [u8; 3] = [3, 5, 9];
const ROW: f32 = 26.0;
/// Beside the words of a line: the mark before them, and what is left free after them.
const LEFT: f32 = 26.0;
const RIGHT: f32 = 6.0;
/// Between two lines.
const GAP: f32 = 2.0;

/// Which finding is open: what it is about and says.
type Opened = (FindingKind, String);

/// Shows the list.
pub fn show(ui: &mut Ui, state: &State, view: &mut View, actions: &mut Vec<Action>) {
    steady(ui, "back", |ui| back(ui, view));
    let height = f32::from(lines(ui, state)) * (ROW + GAP);
    let list = ScrollArea::vertical().id_salt("findings").auto_shrink([false, false]);
    // What is left of the window below it must not cut it.
    list.max_height(height).min_scrolled_height(height).follow(ui, |ui| {
        let Some(figures) = state.figures() else {
            caption(ui, "Looking…");
            return;
        };
        if figures.findings.is_empty() {
            caption(ui, praise(&figures));
        }
        ui.spacing_mut().item_spacing.y = GAP;
        let id = opened_id();
        let mut opened: Option<Opened> = ui.data(|data| data.get_temp(id)).unwrap_or_default();
        for finding in &figures.findings {
            let own = (finding.kind, finding.message.clone());
            let is_open = opened.as_ref() == Some(&own);
            if entry(ui, finding, is_open) {
                if is_open {
                    view.chart.highlight.clear();
                } else {
                    reveal(state, &figures, view, finding, actions);
                }
                opened = (!is_open).then_some(own);
            }
            if is_open {
                body(ui, finding, view, actions);
            }
        }
        // What is mended is open no longer, and its stitches need no marks.
        let is_there = |own: &Opened| figures.findings.iter().any(|it| own == &(it.kind, it.message.clone()));
        if opened.as_ref().is_some_and(|own| !is_there(own)) {
            opened = None;
            view.chart.highlight.clear();
        }
        ui.data_mut(|data| data.insert_temp(id, opened));
    });
}

/// Lines of the list: settled when the part comes into view or the window gets another size, for their number changes
/// at every stroke; more only for one that is opened.
fn lines(ui: &Ui, state: &State) -> u8 {
    let size = ui.ctx().content_rect().size();
    let count = state.figures().map(|figures| figures.findings.len());
    let of = egui::util::hash((state.document.id(), count.is_some(), size.x.to_bits(), size.y.to_bits()));
    let frame = ui.ctx().cumulative_frame_nr();
    let id = Id::unique("lines of findings");
    let kept: Option<(u64, u64, u8)> = ui.data(|data| data.get_temp(id));
    let kept = kept.filter(|(known, seen, _)| *known == of && frame <= seen + 1).map(|kept| kept.2);
    let is_any_open = ui.data(|data| data.get_temp::<Option<Opened>>(opened_id())).flatten().is_some();
    let [few, many, opened] = LINES;
    let fresh = || if count.is_some_and(|count| count > usize::from(few)) { many } else { few };
    let settled = kept.unwrap_or_else(fresh);
    ui.data_mut(|data| data.insert_temp(id, (of, frame, settled)));
    if is_any_open { opened } else { settled }
}

fn opened_id() -> Id {
    Id::unique("opened finding")
}

/// What is said when nothing was found.
fn praise(figures: &Figures) -> &'static str {
    if figures.contacts.is_empty() {
        return "An empty chart: paint with a second colour and floats, contrast and proportion are looked at.";
    }
    "Nothing to mend: floats, colours in a row, contrast, proportion and repeat all look well."
}

/// The way back to what was in view before a finding was shown.
fn back(ui: &mut Ui, view: &mut View) {
    let tip = "Show the chart as it was before the finding's stitches were brought into view";
    ui.add_enabled_ui(view.chart.back.is_some(), |ui| {
        if ui.small_button("Back").on_hover_text(tip).on_disabled_hover_text(tip).clicked()
            && let Some((zoom, pan)) = view.chart.back.take()
        {
            (view.chart.zoom, view.chart.pan) = (zoom, pan);
            view.chart.highlight.clear();
        }
    });
}

const fn icon(severity: Severity) -> Icon {
    match severity {
        Severity::Note => Icon::Note,
        Severity::Warning => Icon::Warning,
        Severity::Problem => Icon::Problem,
    }
}

/// The workspace a finding without stitches is mended in.
const fn mended_in(finding: &Finding) -> Option<Workspace> {
    match progress::mended_in(finding) {
        Workspace::Design => None,
        other => Some(other),
    }
}

/// What a click on it does, in words.
fn offer(finding: &Finding) -> Option<String> {
    match finding.place {
        Some(_) => Some("Show the stitches".to_owned()),
        None => mended_in(finding).map(|workspace| format!("Open it; it is mended in {}", workspace.name())),
    }
}

/// The line of a finding; whether it was clicked.
fn entry(ui: &mut Ui, finding: &Finding, is_open: bool) -> bool {
    let (_, rect) = ui.allocate_space(Vec2::new(ui.available_width(), ROW));
    let place = finding.place.map(|p| (p.x, p.y));
    let id = ui.scope_id().with((&finding.message, place));
    let response = ui.interact(rect, id, Sense::click());
    response.widget_info(|| {
        let name = format!("{}: {}. {}", finding.severity.name(), finding.kind.name(), finding.message);
        WidgetInfo::selected(Role::Button, true, is_open, name)
    });
    // Most of a long list is out of sight: what is only painted can wait.
    if ui.is_rect_visible(rect) {
        paint_entry(ui, finding, rect, is_open, &response);
    }
    let offer = offer(finding).unwrap_or_else(|| "Open it".to_owned());
    response.on_hover_text(offer).on_hover_cursor(egui::CursorIcon::PointingHand).clicked()
}

fn paint_entry(ui: &Ui, finding: &Finding, rect: Rect, is_open: bool, response: &Response) {
    let tokens = Tokens::of(ui);
    let painter = ui.painter().with_clip_rect(rect);
    painter.rect_filled(rect, CORNER, tokens.list_fill(is_open, response));
    let mark = Rect::from_center_size(rect.left_center() + Vec2::new(13.0, 0.0), Vec2::splat(15.0));
    icon(finding.severity).paint(&painter, mark, tokens.text);
    let font = FontId::new(BODY, semibold());
    let at = pos2(rect.left() + LEFT, rect.center().y);
    let title = painter.text(at, Align2::LEFT_CENTER, finding.kind.name(), font, tokens.text);
    let left = title.right() + STEP;
    let ink = if is_open { tokens.text } else { tokens.weak };
    let small = FontId::proportional(SMALL);
    let words = truncated(ui, finding.brief(), small, ink, rect.right() - RIGHT - left);
    painter.galley(pos2(left, rect.center().y - words.size().y / 2.0), words, ink);
    if response.has_focus() {
        focus_ring(ui, rect);
    }
}

/// The whole of an open finding, and where or how it is mended.
fn body(ui: &mut Ui, finding: &Finding, view: &mut View, actions: &mut Vec<Action>) {
    ui.indent(("body", &finding.message), |ui| {
        ui.add(Label::new(RichText::new(&finding.message).small()).wrap());
        if finding.kind == FindingKind::LongFloat {
            let info = Command::MendFloats.info();
            if ui.button(info.label).on_hover_text(info.tip).clicked() {
                actions.push(Action::Command(Command::MendFloats));
            }
        }
        if let Some(workspace) = mended_in(finding)
            && ui.button(format!("Go to {}", workspace.name())).clicked()
        {
            view.workspace = workspace;
        }
    });
}

/// Shows the finding's stitches on the chart, all of them.
fn reveal(state: &State, figures: &Figures, view: &mut View, finding: &Finding, actions: &mut Vec<Action>) {
    let marks = finding.marks(state.project(), figures);
    if let Some(first) = finding.place {
        view.chart.point_at(marks, Point::new(first.x + first.width.saturating_sub(1), first.y));
        actions.push(Action::EndGesture);
    }
}
