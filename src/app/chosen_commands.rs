//! The commands for chosen stitches: choosing by colour, replacing a colour, scaling, laying down without the
//! ground, and the repeat as a ring.

use super::action::Action;
use super::chart_commands::hold;
use super::command::{Command, Way};
use super::view::ChartView;
use crate::chart::{Cell, Grid, Point, Raster, Rect, Transform, painting};
use crate::project::{Project, chart_edits, chosen_edits};

/// Carries out a command for chosen stitches; `None` when it is not one of them.
pub(super) fn run(
    project: &Project,
    view: &mut ChartView,
    clipboard: Option<&Grid>,
    command: Command,
) -> Option<Vec<Action>> {
    Some(match command {
        Command::PasteOver => {
            if let Some(patch) = clipboard {
                paste_over(project, view, patch);
            }
            Vec::new()
        }
        Command::ChooseColour => {
            choose_colour(project, view, view.cursor);
            Vec::new()
        }
        Command::ChooseArea => {
            choose_area(project, view, view.cursor);
            Vec::new()
        }
        Command::Scale(across, up) => scale(project, view, across, up),
        Command::Reduce(across, up) => reduce(project, view, across, up),
        Command::Replace { everywhere } => replace(project, view, everywhere),
        Command::Shift(way) => shift(project, way),
        _ => return None,
    })
}

/// Chooses every stitch of the colour at `at`.
pub fn choose_colour(project: &Project, view: &mut ChartView, at: Point) {
    let grid = &project.chart.grid;
    if let Some(cell) = grid.get(at) {
        let same = |p: &Point| grid.get(*p).is_some_and(|other| other.same_colour(&cell));
        view.choose_points(&grid.bounds().points().filter(same).collect::<Vec<_>>());
    }
}

/// Chooses the stitches of one colour that hang together around `at`.
pub fn choose_area(project: &Project, view: &mut ChartView, at: Point) {
    view.choose_points(&painting::flood(&project.chart.grid, at, None));
}

/// Holds what was copied so that its ground lets through what is under it.
fn paste_over(project: &Project, view: &mut ChartView, patch: &Grid) {
    let ground = Cell::slot(project.background_slot() as u8);
    let mut patch = patch.clone();
    // What was not chosen lets through as well.
    for p in patch.bounds().points() {
        if patch.get(p).is_some_and(|cell| cell.index().is_none()) {
            patch.set(p, ground);
        }
    }
    hold(project, view, patch, "Paste without the ground", Some(ground));
}

/// Holds the chosen or held stitches enlarged by whole factors.
fn scale(project: &Project, view: &mut ChartView, across: u32, up: u32) -> Vec<Action> {
    let held = view.floating.as_ref().map(|held| (held.patch.clone(), held.label, held.see_through));
    let region = view.region;
    let lifted = || {
        let mask = view.mask();
        let see_through = mask.map(|_| Cell::NO_STITCH);
        Some((chosen_edits::lifted(project, region?, mask)?, "Scale", see_through))
    };
    let Some((patch, label, see_through)) = held.or_else(lifted) else { return Vec::new() };
    match patch.scaled(across, up) {
        Ok(larger) => {
            let at = view.floating.as_ref().map(|held| held.at);
            hold(project, view, larger, label, see_through);
            if let (Some(held), Some(at)) = (&mut view.floating, at) {
                held.at = at;
            }
            Vec::new()
        }
        Err(reason) => vec![Action::Complain(format!("Scale: {reason}"))],
    }
}

/// Makes the chosen stitches smaller where they are, or the held ones; says what was lost.
fn reduce(project: &Project, view: &mut ChartView, across: u32, up: u32) -> Vec<Action> {
    const LABEL: &str = "Scale down";
    let lifted = || chosen_edits::lifted(project, view.region?, view.mask());
    let Some(patch) = view.floating.as_ref().map(|held| held.patch.clone()).or_else(lifted) else {
        return Vec::new();
    };
    let reduced = match patch.reduced(across, up) {
        Ok(reduced) => reduced,
        Err(reason) => return vec![Action::Complain(format!("{LABEL}: {reason}."))],
    };
    let lost = (reduced.mixed > 0).then(|| {
        format!(
            "{LABEL}: {} of {} blocks had more than one colour; the one most of a block has stands, of equals the rarer.",
            reduced.mixed, reduced.blocks
        )
    });
    if let Some(held) = &mut view.floating {
        held.patch = reduced.grid;
        return lost.map(Action::Notify).into_iter().collect();
    }
    let Some(region) = view.region else { return Vec::new() };
    let all = || Raster::from_fn(region.width, region.height, |_| true);
    let mask = view.mask().cloned();
    let chosen = mask.clone().unwrap_or_else(all);
    let at = (i64::from(region.x), i64::from(region.y));
    let edit = chosen_edits::lay(project, (region, &chosen), &reduced.grid, at, true);
    let target = Rect::new(region.x, region.y, reduced.grid.width(), reduced.grid.height());
    if mask.is_some() {
        choose_patch(project, view, &reduced.grid, target);
    } else {
        view.region = Some(target);
    }
    let edit = edit.map(|edit| Action::edit(LABEL, edit));
    edit.into_iter().chain(lost.map(Action::Done)).collect()
}

/// Gives stitches of the colour at the cursor the paint colour.
fn replace(project: &Project, view: &ChartView, everywhere: bool) -> Vec<Action> {
    let grid = &project.chart.grid;
    let Some(from) = grid.get(view.cursor) else { return Vec::new() };
    let bounds = grid.bounds();
    let (rect, mask) = if everywhere { (bounds, None) } else { (view.region.unwrap_or(bounds), view.mask()) };
    let edit = chosen_edits::replace_colour(project, rect, mask, (from, view.paint));
    edit.map(|edit| Action::edit("Replace colour", edit)).into_iter().collect()
}

fn shift(project: &Project, way: Way) -> Vec<Action> {
    let by = match way {
        Way::Left => (-1, 0),
        Way::Right => (1, 0),
        Way::Up => (0, 1),
        Way::Down => (0, -1),
    };
    let edit = chosen_edits::shift_around(project, by);
    edit.map(|edit| Action::edit("Shift the repeat", edit)).into_iter().collect()
}

/// Mirrors or turns the chosen stitches of a region that is no whole rectangle, around its middle.
pub(super) fn transform(
    project: &Project,
    view: &mut ChartView,
    transform: Transform,
    label: &'static str,
) -> Vec<Action> {
    let (Some(region), Some(mask)) = (view.region, view.mask().cloned()) else { return Vec::new() };
    let Some(patch) = chosen_edits::lifted(project, region, Some(&mask)) else { return Vec::new() };
    let patch = patch.transformed(transform);
    let target = chart_edits::transformed_region(region, transform, project.chart.grid.bounds());
    let at = (i64::from(target.x), i64::from(target.y));
    let edit = chosen_edits::lay(project, (region, &mask), &patch, at, true);
    choose_patch(project, view, &patch, target);
    edit.map(|edit| Action::edit(label, edit)).into_iter().collect()
}

/// Chooses what a patch with its corner in that of `target` holds on the chart.
fn choose_patch(project: &Project, view: &mut ChartView, patch: &Grid, target: Rect) {
    let held = Raster::from_fn(patch.width(), patch.height(), |p| patch.get(p) != Some(Cell::NO_STITCH));
    view.choose_mask(&held, (target.x.into(), target.y.into()), project.chart.grid.bounds());
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::chart_commands;
    use crate::project::Chart;

    /// 6 stitches x 4 rows of ground with an angle of accents: (1, 1), (2, 1), (2, 2), and one at (5, 3).
    fn project() -> Project {
        let mut project = Project::default();
        let ground = Cell::slot(project.background_slot() as u8);
        let mut grid = Grid::new(6, 4, ground).unwrap();
        for (x, y) in [(1, 1), (2, 1), (2, 2), (5, 3)] {
            grid.set(Point::new(x, y), Cell::slot(2));
        }
        project.chart = Chart::new(grid);
        project
    }

    fn accents(project: &Project) -> Vec<(u32, u32)> {
        let grid = &project.chart.grid;
        let accents = grid.bounds().points().filter(|p| grid.get(*p) == Some(Cell::slot(2)));
        accents.map(|p| (p.x, p.y)).collect()
    }

    fn run_on(project: &mut Project, view: &mut ChartView, command: Command) -> Option<Grid> {
        let mut copied = None;
        for action in chart_commands::run(project, view, None, command) {
            match action {
                Action::Edit { edit, .. } => drop(project.apply(edit)),
                Action::CopyChosen(patch) | Action::CopyCells(patch) => copied = Some(patch),
                other => panic!("{other:?}"),
            }
        }
        copied
    }

    #[test]
    fn an_area_is_chosen_mirrored_and_cleared_alone() {
        let mut project = project();
        let mut view = ChartView { cursor: Point::new(2, 2), ..ChartView::default() };
        run_on(&mut project, &mut view, Command::ChooseArea);
        assert_eq!(view.region, Some(Rect::new(1, 1, 2, 2)));
        assert_eq!(view.mask().map(Raster::count), Some(3));
        run_on(&mut project, &mut view, Command::MirrorSideways);
        assert_eq!(accents(&project), [(1, 1), (2, 1), (1, 2), (5, 3)]);
        assert_eq!(view.mask().map(Raster::count), Some(3));
        let copied = run_on(&mut project, &mut view, Command::Copy).unwrap();
        assert_eq!(copied.get(Point::new(1, 1)), Some(Cell::NO_STITCH));
        run_on(&mut project, &mut view, Command::Clear);
        assert_eq!(accents(&project), [(5, 3)]);
    }

    #[test]
    fn a_colour_is_chosen_everywhere_and_replaced_here() {
        let mut project = project();
        let mut view = ChartView { cursor: Point::new(5, 3), paint: Cell::slot(1), ..ChartView::default() };
        run_on(&mut project, &mut view, Command::ChooseColour);
        assert_eq!(view.mask().map(Raster::count), Some(4));
        view.region = Some(Rect::new(0, 0, 3, 4));
        assert_eq!(view.mask(), None);
        run_on(&mut project, &mut view, Command::Replace { everywhere: false });
        assert_eq!(accents(&project), [(5, 3)]);
        run_on(&mut project, &mut view, Command::Replace { everywhere: true });
        assert!(accents(&project).is_empty());
    }

    #[test]
    fn scaled_stitches_are_held_and_set_down() {
        let mut project = project();
        let mut view = ChartView { region: Some(Rect::new(2, 1, 1, 2)), ..ChartView::default() };
        run_on(&mut project, &mut view, Command::Scale(2, 1));
        assert_eq!(view.floating.as_ref().map(|held| held.at), Some((2, 1)));
        run_on(&mut project, &mut view, Command::SetDown);
        assert_eq!(accents(&project), [(1, 1), (2, 1), (3, 1), (2, 2), (3, 2), (5, 3)]);
    }

    #[test]
    fn scaled_down_stitches_stand_in_the_corner_of_the_region() {
        let mut project = project();
        let before = project.clone();
        let mut view = ChartView { region: Some(Rect::new(1, 1, 2, 2)), ..ChartView::default() };
        let actions = chart_commands::run(&project, &mut view, None, Command::Reduce(2, 2));
        let [Action::Edit { edit, .. }, Action::Done(lost)] = &actions[..] else { panic!("{actions:?}") };
        assert!(lost.contains("1 of 1 blocks"), "{lost}");
        let back = project.apply(edit.clone());
        assert_eq!(accents(&project), [(1, 1), (5, 3)]);
        assert_eq!(view.region, Some(Rect::new(1, 1, 1, 1)));
        project.apply(back);
        assert_eq!(project, before);
        // What is held is made smaller in the hand, and three stitches are no two blocks of two.
        view.region = Some(Rect::new(1, 1, 3, 2));
        let refused = chart_commands::run(&project, &mut view, None, Command::Reduce(2, 1));
        assert!(matches!(&refused[..], [Action::Complain(_)]), "{refused:?}");
        run_on(&mut project, &mut view, Command::Scale(2, 2));
        assert!(chart_commands::run(&project, &mut view, None, Command::Reduce(2, 2)).is_empty());
        run_on(&mut project, &mut view, Command::SetDown);
        assert_eq!(project, before);
    }

    #[test]
    fn the_ground_of_what_is_pasted_lets_through() {
        let project = project();
        let mut view = ChartView::default();
        let patch = project.chart.grid.copy(Rect::new(0, 1, 3, 2)).unwrap();
        chart_commands::run(&project, &mut view, Some(&patch), Command::PasteOver);
        view.floating.as_mut().unwrap().at = (3, 2);
        let mut after = project;
        run_on(&mut after, &mut view, Command::SetDown);
        assert_eq!(accents(&after), [(1, 1), (2, 1), (2, 2), (4, 2), (5, 2), (5, 3)]);
    }
}
