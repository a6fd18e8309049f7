//! How far the search has come, how sure its answer is, and how to call it off.

use egui::{Align, Button, Label, Layout, Rect, Sense, Ui, Vec2};

use super::search;
use crate::app::Action;
use crate::app::shelf::{News, Progress, Search, ShelfAction, Sure};
use crate::app::state::State;
use crate::ui::theme::Tokens;
use crate::ui::widgets::{caption, heading, name};

/// Height of the bar that fills as sets are decided.
const BAR: f32 = 3.0;
/// Room for two lines on how sure the answer is, so that the sets below never move.
const SURE: f32 = 34.0;

/// Shows it; all in places that stay where they are.
pub(super) fn show(ui: &mut Ui, state: &State, found: &Search, news: &News, actions: &mut Vec<Action>) {
    let (running, over) = match news.progress {
        Progress::Running => (true, false),
        Progress::Stopped | Progress::TimeUp => (false, true),
        Progress::Complete | Progress::Failed(_) => (false, false),
    };
    ui.horizontal(|ui| {
        heading(ui, "Best sets");
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            // Two places, so that a click that comes too late to stop begins nothing.
            let stop = ui.add_enabled(running, Button::new("Stop"));
            if stop.on_hover_text("Keeps the best sets so far").clicked() {
                actions.push(Action::Shelf(ShelfAction::Stop));
            }
            let again = ui.add_enabled(over, Button::new("Search again"));
            if again.on_hover_text("Begins anew, with the time chosen on the left").clicked() {
                actions.push(search((*found.ask).clone(), state.search_time));
            }
        });
    });
    ui.add(Label::new(what(found, news)).truncate());
    bar(ui, running.then_some(news.come.decided));
    let size = Vec2::new(ui.available_width(), SURE);
    ui.allocate_ui_with_layout(size, Layout::top_down(Align::Min), |ui| {
        ui.set_min_height(SURE);
        let sure = caption(ui, how_sure(state, news));
        name(&sure, "How sure the answer is");
    });
}

/// Fills from the left with the share of all sets that are decided; takes its room when nothing runs, too.
fn bar(ui: &mut Ui, decided: Option<f64>) {
    let (rect, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), BAR), Sense::hover());
    let (Some(decided), tokens) = (decided, Tokens::of(ui)) else { return };
    let done = Rect::from_min_size(rect.min, Vec2::new(rect.width() * decided as f32, BAR));
    ui.painter().rect_filled(rect, 1, tokens.line);
    ui.painter().rect_filled(done, 1, tokens.focus);
}

fn what(found: &Search, news: &News) -> String {
    let count = news.sets.len();
    let of = format!("sets of {} from {} shades", found.ask.size, found.ask.shelved.card.shades().len());
    match &news.progress {
        Progress::Running if news.of_before => format!("Searching {of}: those before are shown."),
        Progress::Running => format!("Searching {of}: {count} so far."),
        Progress::Complete => format!("The {count} best different {of}."),
        Progress::Stopped => format!("Called off: the best {count} so far, {of}."),
        Progress::TimeUp => format!("The time was up: the best {count} so far, {of}."),
        Progress::Failed(_) => "No sets.".to_owned(),
    }
}

fn how_sure(state: &State, news: &News) -> String {
    let percent = percent(news.come.decided);
    match (&news.progress, news.sure) {
        (Progress::Running, _) => {
            let (taken, most) = (news.come.taken.as_secs(), state.search_time.seconds());
            format!("{taken} s of {most} s, {percent} of all sets decided.")
        }
        (Progress::Complete, _) => "Sure: every set was looked at or ruled out.".to_owned(),
        (Progress::Stopped, None) => "Looking how sure these are…".to_owned(),
        (Progress::Stopped | Progress::TimeUp, sure) => {
            let best = news.sets.first().map_or(0.0, |set| set.score);
            format!("{percent} of all sets were decided. {}", certainty(sure, news.sets.len(), best))
        }
        (Progress::Failed(reason), _) => format!("No sets can be looked for: {reason}."),
    }
}

/// A share below the whole is never called the whole.
fn percent(decided: f64) -> String {
    format!("{:.1} %", (decided * 1000.0).floor() / 10.0)
}

fn certainty(sure: Option<Sure>, count: usize, best: f64) -> String {
    let Some(Sure { certain, open: Some(open) }) = sure else { return String::new() };
    let most = (open.min(1.0) * 1000.0).ceil() / 10.0;
    match certain {
        0 if count == 0 => "Allow more time on the left.".to_owned(),
        0 => format!(
            "None of these is sure: one that was not looked at may score up to {most:.1}, the best here has \
             {:.1}.",
            best * 100.0
        ),
        _ if certain >= count => "Sure: none that was not looked at scores more than these.".to_owned(),
        1 => format!("The first is sure; one that was not looked at may score up to {most:.1}."),
        _ => format!("The first {certain} are sure; one that was not looked at may score up to {most:.1}."),
    }
}
