//! The commands of the chart: each looks at the project and the view and answers with actions.

use super::action::Action;
use super::chosen_commands;
use super::command::Command;
use super::view::{ChartView, Floating, Look};
use crate::chart::{Cell, Grid, Ink, Mirrors, Point, Raster, Rect, Symmetry, Transform};
use crate::project::chart_edits::{self, ChartEditError};
use crate::project::{Edit, Project, chosen_edits};

/// One step of "Enlarge" and "Make smaller".
const ZOOM_STEP: f32 = 1.25;

/// Carries out a command of the chart: changes the view at once and answers with what is to be
/// done to the project. `clipboard` is what "Paste" holds over the chart. Commands that are not of
/// the chart answer with nothing.
pub fn run(
    project: &Project,
    view: &mut ChartView,
    clipboard: Option<&Grid>,
    command: Command,
) -> Vec<Action> {
    match command {
        Command::Cut | Command::Copy | Command::Clear => region_command(project, view, command),
        Command::Paste => {
            if let Some(patch) = clipboard {
                hold(project, view, patch.clone(), "Paste", None);
            }
            Vec::new()
        }
        Command::ChooseAll => {
            view.region = Some(project.chart.grid.bounds());
            Vec::new()
        }
        Command::PasteOver
        | Command::ChooseColour
        | Command::ChooseArea
        | Command::Scale(..)
        | Command::Reduce(..)
        | Command::Replace { .. }
        | Command::Shift(_) => chosen_commands::run(project, view, clipboard, command).unwrap_or_default(),
        Command::Escape => let_go(view),
        Command::SetDown => set_down(project, view),
        Command::MirrorSideways => {
            transform(project, view, Transform::MirrorLeftRight, "Mirror left to right")
        }
        Command::MirrorUpright => transform(project, view, Transform::MirrorUpDown, "Mirror top to bottom"),
        Command::TurnLeft => transform(project, view, Transform::TurnLeft, "Turn left"),
        Command::TurnRight => transform(project, view, Transform::TurnRight, "Turn right"),
        Command::InsertRow => {
            let edit = chart_edits::insert_rows(project, view.cursor.y + 1, 1);
            attempt(edit, "Insert row", || {})
        }
        Command::InsertStitch => {
            let edit = chart_edits::insert_stitches(project, view.cursor.x, 1);
            // The cursor stays on its stitch, which moves right.
            attempt(edit, "Insert stitch", || view.cursor.x += 1)
        }
        Command::DeleteRows => {
            let (from, count) = view.region.map_or((view.cursor.y, 1), |r| (r.y, r.height));
            let edit = chart_edits::delete_rows(project, from, count);
            attempt(edit, "Delete rows", || view.region = None)
        }
        Command::DeleteStitches => {
            let (from, count) = view.region.map_or((view.cursor.x, 1), |r| (r.x, r.width));
            let edit = chart_edits::delete_stitches(project, from, count);
            attempt(edit, "Delete stitches", || view.region = None)
        }
        Command::RepeatFromRegion => view.region.map_or_else(Vec::new, |region| {
            attempt(chart_edits::set_repeat(project, region), "Repeat box", || {})
        }),
        Command::SwapColours => {
            swap_colours(project, view);
            Vec::new()
        }
        Command::NextSymmetry => vec![next_symmetry(project)],
        Command::MarkShaping => {
            let part = view.region.unwrap_or(project.chart.repeat());
            chart_edits::balance(project, part)
                .map(|edit| Action::edit("Mark the shaping", edit))
                .into_iter()
                .collect()
        }
        Command::CropToRegion => view.region.map_or_else(Vec::new, |region| {
            let edit = chart_edits::crop(project, region);
            attempt(edit, "Crop to region", || {
                view.region = None;
                view.fit = true;
            })
        }),
        _ => {
            view_command(view, command);
            Vec::new()
        }
    }
}

/// What the tools paint and what the right button paints change places.
fn swap_colours(project: &Project, view: &mut ChartView) {
    let second = view.second.unwrap_or(Cell::slot(project.background_slot() as u8));
    view.second = Some(view.paint);
    view.take_up(second);
}

/// The mirrors after those that are set, round to none.
fn next_symmetry(project: &Project) -> Action {
    let old = Mirrors::ALL.iter().position(|mirrors| *mirrors == project.symmetry.mirrors);
    let next = old.map_or(0, |old| (old + 1) % Mirrors::ALL.len());
    let symmetry = Symmetry { mirrors: Mirrors::ALL[next], ..project.symmetry };
    Action::edit(symmetry.step_from(project.symmetry), Edit::Symmetry(symmetry))
}

/// Commands that only change how the chart is looked at.
fn view_command(view: &mut ChartView, command: Command) {
    match command {
        Command::ZoomIn => view.zoom_by *= ZOOM_STEP,
        Command::ZoomOut => view.zoom_by /= ZOOM_STEP,
        Command::ZoomFit => view.fit = true,
        Command::ToggleSymbols => view.symbols = !view.symbols,
        Command::ToggleNumbers => view.numbers = !view.numbers,
        Command::ToggleGhosts => view.ghosts = !view.ghosts,
        Command::ToggleKnitted => {
            view.look = if view.look == Look::Chart { Look::Knitted } else { Look::Chart };
        }
        Command::Tool(tool) => view.take_tool(tool),
        _ => {}
    }
}

fn region_command(project: &Project, view: &ChartView, command: Command) -> Vec<Action> {
    let Some(region) = view.region else { return Vec::new() };
    let mut actions = Vec::new();
    if matches!(command, Command::Cut | Command::Copy) {
        let copy = if view.mask().is_some() { Action::CopyChosen } else { Action::CopyCells };
        actions.extend(chosen_edits::lifted(project, region, view.mask()).map(copy));
    }
    if matches!(command, Command::Cut | Command::Clear) {
        let background = Cell::slot(project.background_slot() as u8);
        let label = if command == Command::Cut { "Cut" } else { "Clear region" };
        let edit = match view.mask() {
            Some(mask) => chosen_edits::clear(project, region, mask),
            None => chart_edits::fill(project, region, Ink::Cell(background)),
        };
        actions.extend(edit.map(|edit| Action::edit(label, edit)));
    }
    actions
}

/// Holds `patch` over the chart, ready to be set down: on the region when there is one, else in
/// the middle of the chart. Undo will call setting it down `label`; stitches like `see_through`
/// are left out.
pub fn hold(
    project: &Project,
    view: &mut ChartView,
    patch: Grid,
    label: &'static str,
    see_through: Option<Cell>,
) {
    let bounds = project.chart.grid.bounds();
    let at = view.region.map_or_else(
        || {
            let middle = |side: u32, patch: u32| (i64::from(side) - i64::from(patch)).div_euclid(2);
            (middle(bounds.width, patch.width()), middle(bounds.height, patch.height()))
        },
        |region| (i64::from(region.x), i64::from(region.y)),
    );
    view.gesture = None;
    view.hangs = false;
    view.floating = Some(Floating { patch, at, label, see_through });
}

/// Holds a figure over the chart in the paint colour; what is outside its outline stays as it is.
pub fn hold_figure(project: &Project, view: &mut ChartView, figure: &Raster) {
    let see_through = Cell::NO_STITCH;
    let paint = if view.paint == see_through { Cell::slot(0) } else { view.paint };
    let Ok(patch) = figure.to_grid(paint, see_through) else { return };
    hold(project, view, patch, "Stamp", Some(see_through));
}

/// Sets the held stitches down as one edit; they become the region, ready to be worked on.
pub fn set_down(project: &Project, view: &mut ChartView) -> Vec<Action> {
    let Some(held) = view.floating.take() else { return Vec::new() };
    view.gesture = None;
    view.region = on_chart(project, held.at, &held.patch);
    let edit = match held.see_through {
        _ if project.symmetry.is_on() => project.stroking(&strokes_of(&held)),
        None => chart_edits::paste(project, &held.patch, held.at),
        Some(see_through) => {
            let under = laid_over(project, &held.patch, held.at, see_through);
            under.and_then(|patch| chart_edits::paste(project, &patch, held.at))
        }
    };
    edit.map(|edit| Action::edit(held.label, edit)).into_iter().collect()
}

/// Held stitches as strokes, one for each that is not see-through and not left of or below the chart.
fn strokes_of(held: &Floating) -> Vec<(Point, Ink)> {
    let shows = |cell: Cell| held.see_through.is_none_or(|through| !cell.same_colour(&through));
    let stroke = |p: Point| {
        let cell = held.patch.get(p).filter(|cell| shows(*cell))?;
        let place = |at: i64, by: u32| u32::try_from(at + i64::from(by)).ok();
        Some((Point::new(place(held.at.0, p.x)?, place(held.at.1, p.y)?), Ink::Cell(cell)))
    };
    held.patch.bounds().points().filter_map(stroke).collect()
}

/// The patch with its see-through stitches taken from the chart under it.
fn laid_over(project: &Project, patch: &Grid, at: (i64, i64), see_through: Cell) -> Option<Grid> {
    let mut whole = Grid::new(patch.width(), patch.height(), see_through).ok()?;
    whole.paste(&project.chart.grid, (-at.0, -at.1));
    let cells = patch.cells().iter().zip(whole.cells());
    let cells = cells.map(|(own, under)| if own.same_colour(&see_through) { *under } else { *own }).collect();
    Grid::from_cells(patch.width(), patch.height(), cells).ok()
}

/// The part of a patch at `at` that lies on the chart.
fn on_chart(project: &Project, at: (i64, i64), patch: &Grid) -> Option<Rect> {
    let bounds = project.chart.grid.bounds();
    let edge = |v: i64, side: u32| v.clamp(0, i64::from(side)) as u32;
    let (x0, y0) = (edge(at.0, bounds.width), edge(at.1, bounds.height));
    let x1 = edge(at.0 + i64::from(patch.width()), bounds.width);
    let y1 = edge(at.1 + i64::from(patch.height()), bounds.height);
    let rect = Rect::new(x0, y0, x1 - x0, y1 - y0);
    (!rect.is_empty()).then_some(rect)
}

/// Drops, in this order: what the pointer is in the middle of, held stitches, the region and the
/// finding shown.
fn let_go(view: &mut ChartView) -> Vec<Action> {
    view.path.clear();
    if view.gesture.take().is_some() {
        return vec![Action::EndGesture];
    }
    if view.floating.take().is_none() {
        view.region = None;
        view.anchor = None;
        view.highlight.clear();
    }
    Vec::new()
}

/// Mirrors or turns the held stitches, else the region.
fn transform(
    project: &Project,
    view: &mut ChartView,
    transform: Transform,
    label: &'static str,
) -> Vec<Action> {
    if let Some(held) = &mut view.floating {
        let turned = held.patch.transformed(transform);
        let gain = |old: u32, new: u32| (i64::from(old) - i64::from(new)) / 2;
        held.at.0 += gain(held.patch.width(), turned.width());
        held.at.1 += gain(held.patch.height(), turned.height());
        held.patch = turned;
        return Vec::new();
    }
    if view.mask().is_some() {
        return chosen_commands::transform(project, view, transform, label);
    }
    let Some(region) = view.region else { return Vec::new() };
    let edit = chart_edits::transform_region(project, region, transform);
    view.region = Some(chart_edits::transformed_region(region, transform, project.chart.grid.bounds()));
    edit.map(|edit| Action::edit(label, edit)).into_iter().collect()
}

/// The edit, or a message with the mend when it cannot be done; `then` follows a success.
fn attempt(edit: Result<Edit, ChartEditError>, label: &'static str, then: impl FnOnce()) -> Vec<Action> {
    match edit {
        Ok(edit) => {
            then();
            vec![Action::edit(label, edit)]
        }
        Err(reason) => vec![Action::Complain(format!("{label}: {reason}"))],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::project::Chart;

    /// 6 stitches x 4 rows of ground with one accent at (4, 1).
    fn project() -> Project {
        let mut project = Project::default();
        let ground = Cell::slot(project.background_slot() as u8);
        let mut grid = Grid::new(6, 4, ground).unwrap();
        grid.set(Point::new(4, 1), Cell::slot(2));
        project.chart = Chart::new(grid);
        project
    }

    fn accents(project: &Project) -> Vec<Point> {
        let grid = &project.chart.grid;
        grid.bounds().points().filter(|p| grid.get(*p) == Some(Cell::slot(2))).collect()
    }

    /// Runs a command and applies its edits; returns how many there were.
    fn run_on(project: &mut Project, view: &mut ChartView, command: Command) -> usize {
        let mut edits = 0;
        for action in run(project, view, None, command) {
            if let Action::Edit { edit, .. } = action {
                project.apply(edit);
                edits += 1;
            }
        }
        edits
    }

    #[test]
    fn cut_copies_and_clears_as_one_edit() {
        let project = project();
        let mut view = ChartView { region: Some(Rect::new(3, 0, 3, 3)), ..ChartView::default() };
        let actions = run(&project, &mut view, None, Command::Cut);
        let [Action::CopyCells(patch), Action::Edit { edit, .. }] = &actions[..] else {
            panic!("{actions:?}");
        };
        assert_eq!(patch.get(Point::new(1, 1)), Some(Cell::slot(2)));
        let mut after = project.clone();
        after.apply(edit.clone());
        assert!(accents(&after).is_empty());
    }

    #[test]
    fn nothing_chosen_is_nothing_done() {
        let project = project();
        let mut view = ChartView::default();
        for command in [Command::Cut, Command::Copy, Command::Clear, Command::TurnLeft, Command::CropToRegion]
        {
            assert_eq!(run(&project, &mut view, None, command), []);
        }
    }

    #[test]
    fn mirroring_takes_held_stitches_before_the_region() {
        let mut project = project();
        let mut view = ChartView { region: Some(Rect::new(3, 1, 3, 3)), ..ChartView::default() };
        let patch = project.chart.grid.copy(Rect::new(4, 1, 2, 1)).unwrap();
        hold(&project, &mut view, patch, "Paste", None);
        assert_eq!(run_on(&mut project, &mut view, Command::MirrorSideways), 0);
        let held = view.floating.as_ref().unwrap();
        assert_eq!(held.patch.get(Point::new(1, 0)), Some(Cell::slot(2)));
        assert_eq!(held.at, (3, 1));
        view.floating = None;
        assert_eq!(run_on(&mut project, &mut view, Command::MirrorUpright), 1);
        assert_eq!(accents(&project), [Point::new(4, 3)]);
        assert_eq!(run_on(&mut project, &mut view, Command::TurnLeft), 1);
        assert_eq!(accents(&project), [Point::new(3, 2)]);
    }

    #[test]
    fn inserting_keeps_the_cursor_on_its_stitch() {
        let mut project = project();
        let mut view = ChartView { cursor: Point::new(4, 1), ..ChartView::default() };
        assert_eq!(run_on(&mut project, &mut view, Command::InsertStitch), 1);
        assert_eq!(run_on(&mut project, &mut view, Command::InsertRow), 1);
        assert_eq!((project.chart.grid.width(), project.chart.grid.height()), (7, 5));
        assert_eq!(accents(&project), [view.cursor]);
    }

    #[test]
    fn the_last_row_cannot_be_deleted_and_the_message_says_so() {
        let mut project = project();
        let mut view = ChartView { region: Some(Rect::new(0, 0, 1, 4)), ..ChartView::default() };
        let actions = run(&project, &mut view, None, Command::DeleteRows);
        assert!(
            matches!(&actions[..], [Action::Complain(text)] if text.contains("at least one")),
            "{actions:?}"
        );
        assert!(view.region.is_some());
        assert_eq!(run_on(&mut project, &mut view, Command::DeleteStitches), 1);
        assert_eq!(project.chart.grid.width(), 5);
        assert_eq!(view.region, None);
    }

    #[test]
    fn letting_go_takes_one_thing_at_a_time() {
        let project = project();
        let mut view = ChartView { region: Some(Rect::new(0, 0, 2, 2)), ..ChartView::default() };
        let patch = Grid::new(2, 2, Cell::slot(1)).unwrap();
        hold(&project, &mut view, patch, "Paste", None);
        assert!(run(&project, &mut view, None, Command::Escape).is_empty());
        assert!(view.floating.is_none() && view.region.is_some());
        assert!(run(&project, &mut view, None, Command::Escape).is_empty());
        assert_eq!(view.region, None);
    }

    #[test]
    fn setting_down_off_the_chart_changes_nothing() {
        let project = project();
        let mut view = ChartView::default();
        hold(&project, &mut view, Grid::new(2, 2, Cell::slot(1)).unwrap(), "Paste", None);
        view.floating.as_mut().unwrap().at = (-50, 90);
        assert!(run(&project, &mut view, None, Command::SetDown).is_empty());
        assert_eq!((view.floating, view.region), (None, None));
    }
}
