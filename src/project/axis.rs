//! The axis of the symmetry stays with its stitches when others are put in or taken out.

use super::edit::Edit;
use super::model::Project;
use crate::chart::{Axis, Symmetry};

/// The edit of the chart that also moves an axis placed by hand along with its stitches.
pub(super) fn with_axis(
    project: &Project,
    edit: Edit,
    across: impl FnOnce(u32) -> u32,
    up: impl FnOnce(u32) -> u32,
) -> Edit {
    let moved = |axis: Axis| Axis { x2: across(axis.x2), y2: up(axis.y2) };
    let symmetry = Symmetry { axis: project.symmetry.axis.map(moved), ..project.symmetry };
    if symmetry == project.symmetry { edit } else { Edit::Several(vec![edit, Edit::Symmetry(symmetry)]) }
}

/// Where a line at so many halves goes when `count` wholes are put in at `at`.
pub(super) const fn after_inserting(halves: u32, at: u32, count: u32) -> u32 {
    if halves > 2 * at { halves + 2 * count } else { halves }
}

/// Where it goes when the wholes `from..end` are taken out.
pub(super) fn after_deleting(halves: u32, from: u32, end: u32) -> u32 {
    halves - halves.min(2 * end).saturating_sub(2 * from)
}

/// Where it goes when nothing changes that way.
pub(super) const fn same(halves: u32) -> u32 {
    halves
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::Rect;
    use crate::project::chart_edits::{
        ChartEditError, crop, delete_rows, delete_stitches, insert_rows, insert_stitches,
    };

    #[test]
    fn an_axis_placed_by_hand_stays_with_its_stitches() {
        let mut project = Project::default();
        project.symmetry.axis = Some(Axis { x2: 7, y2: 4 });
        let axis = |edit: Result<Edit, ChartEditError>| {
            let mut after = project.clone();
            let undo = after.apply(edit.unwrap());
            let axis = after.symmetry.axis.unwrap();
            after.apply(undo);
            assert_eq!(after, project);
            (axis.x2, axis.y2)
        };
        assert_eq!(axis(insert_rows(&project, 1, 2)), (7, 8));
        assert_eq!(axis(insert_rows(&project, 2, 2)), (7, 4));
        assert_eq!(axis(insert_stitches(&project, 0, 1)), (9, 4));
        assert_eq!(axis(delete_stitches(&project, 0, 2)), (3, 4));
        assert_eq!(axis(delete_rows(&project, 1, 3)), (7, 2));
        assert_eq!(axis(crop(&project, Rect::new(2, 1, 3, 2))), (3, 2));
    }
}
