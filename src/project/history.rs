//! Undo and redo, bounded by memory.

use std::borrow::Cow;
use std::collections::VecDeque;

use super::edit::{Edit, Touched};
use super::model::{Project, ProjectError};

/// What a step is called: words of the program, or of a file that a step was read from.
pub type StepLabel = Cow<'static, str>;

/// One undo step.
#[derive(Clone, Debug)]
struct Step {
    label: StepLabel,
    /// Carrying this out takes the step back (or forward again).
    edit: Edit,
    bytes: usize,
}

impl Step {
    /// Its name, and for stitches the rows they are in: several steps in a list may have one name.
    fn told(&self) -> String {
        match rows(&self.edit) {
            None => self.label.to_string(),
            Some((first, last)) if first == last => format!("{}, row {first}", self.label),
            Some((first, last)) => format!("{}, rows {first} to {last}", self.label),
        }
    }
}

/// The lowest and the highest row of an edit of stitches, from 1; `None` for any other.
fn rows(edit: &Edit) -> Option<(u32, u32)> {
    match edit {
        Edit::Cells(patch) => Some((patch.y + 1, patch.y + patch.cells.height())),
        Edit::Several(edits) => {
            let all: Option<Vec<_>> = edits.iter().map(rows).collect();
            all?.into_iter().reduce(|one, other| (one.0.min(other.0), one.1.max(other.1)))
        }
        _ => None,
    }
}

/// What can be undone and redone. One pointer gesture is one step.
#[derive(Clone, Debug)]
pub struct History {
    undo: VecDeque<Step>,
    redo: Vec<Step>,
    bytes: usize,
    limit: usize,
    gesture_open: bool,
    /// Steps taken forward less those taken back.
    taken: i64,
}

impl Default for History {
    /// A history of up to 256 MiB: about sixty repaints of the largest chart.
    fn default() -> Self {
        Self::with_limit(256 << 20)
    }
}

impl History {
    /// A history that forgets its oldest steps beyond `limit` bytes; the newest is always kept.
    pub const fn with_limit(limit: usize) -> Self {
        Self { undo: VecDeque::new(), redo: Vec::new(), bytes: 0, limit, gesture_open: false, taken: 0 }
    }

    /// Applies `edit` to `project` and remembers how to undo it.
    ///
    /// With `in_gesture`, the edit joins the step that the gesture began; [`History::end_gesture`]
    /// closes it.
    ///
    /// # Errors
    /// [`ProjectError`] when the project would not pass [`Project::check`]; nothing is changed then.
    pub fn perform(
        &mut self,
        project: &mut Project,
        label: impl Into<StepLabel>,
        edit: Edit,
        in_gesture: bool,
    ) -> Result<Touched, ProjectError> {
        let touched = edit.touched();
        let can_break = edit.can_break(project);
        let inverse = project.apply(edit);
        if can_break && let Err(reason) = project.check() {
            project.apply(inverse);
            return Err(reason);
        }
        self.redo.clear();
        let joins = in_gesture && self.gesture_open;
        self.gesture_open = in_gesture;
        match self.undo.back_mut() {
            Some(step) if joins && step.edit.replaces_same_part(&inverse) => {}
            Some(step) if joins => {
                // The newest inverse must run first; `joined` keeps that order.
                let added = inverse.bytes();
                let first = std::mem::replace(&mut step.edit, Edit::Several(Vec::new()));
                step.edit = joined(first, inverse);
                step.bytes += added;
                self.bytes += added;
            }
            _ => {
                let bytes = inverse.bytes();
                self.bytes += bytes;
                self.undo.push_back(Step { label: label.into(), edit: inverse, bytes });
                self.taken += 1;
            }
        }
        self.forget_oldest();
        Ok(touched)
    }

    /// Ends a gesture: the next edit begins a step of its own.
    pub const fn end_gesture(&mut self) {
        self.gesture_open = false;
    }

    /// Undoes the gesture under way and forgets it; `None` when there is none.
    pub fn drop_gesture(&mut self, project: &mut Project) -> Option<Touched> {
        let touched = self.gesture_open.then(|| self.undo(project)).flatten()?;
        // Its first edit left nothing else to carry out again.
        self.redo.clear();
        Some(touched)
    }

    /// Takes the newest step back; `None` when there is none.
    pub fn undo(&mut self, project: &mut Project) -> Option<Touched> {
        self.gesture_open = false;
        let step = self.undo.pop_back()?;
        self.taken -= 1;
        self.bytes -= step.bytes;
        let touched = step.edit.touched();
        let edit = project.apply(step.edit);
        self.redo.push(Step { label: step.label, bytes: edit.bytes(), edit });
        Some(touched)
    }

    /// Carries the newest undone step out again; `None` when there is none.
    pub fn redo(&mut self, project: &mut Project) -> Option<Touched> {
        self.gesture_open = false;
        let step = self.redo.pop()?;
        self.taken += 1;
        let touched = step.edit.touched();
        let edit = project.apply(step.edit);
        let bytes = edit.bytes();
        self.bytes += bytes;
        self.undo.push_back(Step { label: step.label, edit, bytes });
        Some(touched)
    }

    /// What undo would take back.
    pub fn undo_label(&self) -> Option<&str> {
        self.undo.back().map(|step| &*step.label)
    }

    /// What redo would carry out.
    pub fn redo_label(&self) -> Option<&str> {
        self.redo.last().map(|step| &*step.label)
    }

    /// What the steps that can be taken back are called, newest first.
    pub fn undo_labels(&self) -> impl ExactSizeIterator<Item = String> {
        self.undo.iter().rev().map(Step::told)
    }

    /// What the steps that can be carried out again are called, the next first.
    pub fn redo_labels(&self) -> impl ExactSizeIterator<Item = String> {
        self.redo.iter().rev().map(Step::told)
    }

    /// Where the history stands: grows by one with each step and falls by one with each taken back.
    pub const fn position(&self) -> i64 {
        self.taken
    }

    /// The newest steps, newest first: at most `steps` of them, holding at most `bytes` together.
    pub fn newest(&self, steps: usize, mut bytes: usize) -> Vec<(StepLabel, Edit)> {
        let within = |step: &&Step| {
            let fits = step.bytes <= bytes;
            bytes = bytes.saturating_sub(step.bytes);
            fits
        };
        let newest = self.undo.iter().rev().take(steps).take_while(within);
        newest.map(|step| (step.label.clone(), step.edit.clone())).collect()
    }

    /// A history of steps that lead back from `project`, newest first, up to the first that cannot be
    /// taken back.
    pub fn leading_to(project: &Project, steps: Vec<(StepLabel, Edit)>) -> Self {
        let mut history = Self::default();
        let mut earlier = project.clone();
        for (label, edit) in steps {
            earlier.apply(edit.clone());
            if earlier.check().is_err() {
                break;
            }
            let bytes = edit.bytes();
            history.bytes += bytes;
            history.taken += 1;
            history.undo.push_front(Step { label, edit, bytes });
        }
        history
    }

    /// Steps that can be undone.
    pub fn depth(&self) -> usize {
        self.undo.len()
    }

    fn forget_oldest(&mut self) {
        while self.bytes > self.limit && self.undo.len() > 1 {
            if let Some(step) = self.undo.pop_front() {
                self.bytes -= step.bytes;
            }
        }
    }
}

/// One step that undoes `later` and then `earlier`.
fn joined(earlier: Edit, later: Edit) -> Edit {
    match earlier {
        Edit::Several(mut edits) => {
            edits.insert(0, later);
            Edit::Several(edits)
        }
        single => Edit::Several(vec![later, single]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::{Cell, Point};
    use crate::project::CellPatch;

    fn paint(project: &Project, x: u32, y: u32) -> Edit {
        Edit::Cells(CellPatch::painting(&project.chart.grid, [Point::new(x, y)], Cell::slot(1)).unwrap())
    }

    #[test]
    fn a_gesture_is_one_step_and_undoes_without_loss() {
        let mut project = Project::default();
        let before = project.clone();
        let mut history = History::default();
        for x in 0..4 {
            let edit = paint(&project, x, 1 + x / 3);
            history.perform(&mut project, "Draw", edit, true).unwrap();
        }
        history.end_gesture();
        let after = project.clone();
        assert_eq!(history.depth(), 1);
        assert_eq!(history.undo_labels().collect::<Vec<_>>(), ["Draw, rows 2 to 3"]);
        history.undo(&mut project).unwrap();
        assert_eq!(project, before);
        history.redo(&mut project).unwrap();
        assert_eq!(project, after);
    }

    #[test]
    fn an_edit_that_would_leave_stitches_without_a_colour_changes_nothing() {
        let mut project = Project::default();
        let before = project.clone();
        let mut history = History::default();
        let mut palette = project.palette.clone();
        palette.remove(palette.slots().len() - 1).unwrap();
        palette.remove(0).unwrap();
        let unknown = Cell::slot(project.palette.slots().len() as u8);
        let painted = CellPatch::painting(&project.chart.grid, [Point::new(0, 0)], unknown).unwrap();
        let several = Edit::Several(vec![
            Edit::About { title: "Changed".to_owned(), designer: String::new(), notes: String::new() },
            Edit::Cells(painted.clone()),
        ]);
        for edit in [Edit::Palette(Box::new(palette)), Edit::Cells(painted), several] {
            history.perform(&mut project, "Test", edit, false).unwrap_err();
            assert_eq!(project, before);
            assert_eq!(history.depth(), 0);
        }
    }

    #[test]
    fn memory_is_bounded_but_the_newest_step_stays() {
        let mut project = Project::default();
        let mut history = History::with_limit(1);
        for x in 0..4 {
            let edit = paint(&project, x, 0);
            history.perform(&mut project, "Draw", edit, false).unwrap();
        }
        assert_eq!(history.depth(), 1);
        assert!(history.undo(&mut project).is_some());
        assert!(history.undo(&mut project).is_none());
    }

    #[test]
    fn taking_out_a_colour_renumbers_the_chart_and_comes_back() {
        let mut project = Project::default();
        let edit = paint(&project, 2, 2);
        project.apply(edit);
        let before = project.clone();
        let edit = project.without_slot(1, 0).unwrap();
        let undo = project.apply(edit);
        assert_eq!(project.check(), Ok(()));
        assert_eq!(project.palette.slots().len(), 3);
        project.apply(undo);
        assert_eq!(project, before);
    }
}
