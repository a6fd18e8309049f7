//! Answers about what a piece must withstand, and what they bring along: the sizes and their ease.

use super::edit::Edit;
use super::model::Project;
use super::piece_plan::PiecePlan;
use crate::knit::pieces::{Measure, Size, SizeTable, TableError, Template, sizes_without_template};
use crate::yarn::{Needs, PieceKind};

/// Largest chest of the published sizes of children and youths, in cm: 36 in (the table of sizes, read), and a
/// little for rounding.
const CHILD_CHEST_CM: f64 = 92.0;

impl Project {
    /// The edit that answers what the piece must withstand. Sizes that are still those the program offered
    /// become those of the new kind of piece; sizes of the knitter's own stay.
    pub fn answer_needs(&self, needs: Needs) -> Edit {
        let mut material = self.material.clone();
        let before = material.needs.map(|needs| needs.piece);
        material.needs = Some(needs);
        let answers = Edit::Material(Box::new(material));
        let plan = if before == Some(needs.piece) { None } else { self.plan_for(before, Some(needs.piece)) };
        match plan {
            Some(plan) => Edit::Several(vec![answers, Edit::Pieces(Box::new(plan))]),
            None => answers,
        }
    }

    /// Whether the piece is for a child and a size is not a child's.
    pub fn sizes_contradict_needs(&self) -> bool {
        let child = self.material.needs.is_some_and(|needs| needs.piece == PieceKind::BabyAndChild);
        let grown = |size: &Size| size.body.get(Measure::Chest).is_some_and(|chest| chest > CHILD_CHEST_CM);
        child && self.pieces.sizes.iter().any(grown)
    }

    /// The edit that takes a child's published sizes in place of those there are.
    ///
    /// # Errors
    /// [`TableError`] when the shipped table is damaged.
    pub fn take_child_sizes(&self) -> Result<Edit, TableError> {
        let sizes = sizes_without_template(Some(PieceKind::BabyAndChild))?;
        Ok(Edit::Pieces(Box::new(PiecePlan { chosen: sizes.len() / 2, sizes, ..self.pieces.clone() })))
    }

    /// The plan with the sizes offered for another kind of piece; `None` when they stay as they are.
    fn plan_for(&self, before: Option<PieceKind>, now: Option<PieceKind>) -> Option<PiecePlan> {
        let plan = &self.pieces;
        let found = if plan.pieces.is_empty() {
            let offered = |kind| sizes_without_template(kind).ok();
            offered(before).filter(|sizes| *sizes == plan.sizes).and_then(|_| offered(now))
        } else {
            let offered = |template: Template, kind| template.sizes_for(kind).ok();
            let mut of_old = Template::ALL.into_iter().filter(|template| template.size_group().is_some());
            let is_offered = |template: &Template| offered(*template, before).as_ref() == Some(&plan.sizes);
            of_old.find(is_offered).and_then(|template| offered(template, now))
        };
        let sizes = found.filter(|sizes| *sizes != plan.sizes)?;
        Some(PiecePlan { chosen: sizes.len() / 2, sizes, ..plan.clone() })
    }
}

/// The place of the published size group that suits a kind of piece.
pub fn size_group_for(table: &SizeTable, piece: Option<PieceKind>) -> usize {
    let name = match piece {
        Some(PieceKind::BabyAndChild) => crate::knit::pieces::CHILD_GROUP,
        Some(PieceKind::Hat) => "Head",
        Some(PieceKind::Mittens) => "Hand",
        Some(PieceKind::Socks) => "Foot",
        _ => return 0,
    };
    table.groups.iter().position(|group| group.name == name).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn child() -> Needs {
        Needs { gift: true, ..Needs::preset(PieceKind::BabyAndChild) }
    }

    fn names(project: &Project) -> Vec<&str> {
        project.pieces.sizes.iter().map(|size| size.name.as_str()).collect()
    }

    #[test]
    fn a_piece_for_a_child_brings_a_childs_sizes_and_ease_and_undo_takes_them_back() {
        let mut project = Project::default();
        let before = project.clone();
        let undo = project.apply(project.answer_needs(child()));
        assert_eq!(names(&project), ["4", "6", "8"]);
        assert!(project.pieces.sizes.iter().all(|size| size.ease_cm > 0.0));
        assert!(!project.sizes_contradict_needs());
        project.apply(project.answer_needs(Needs::preset(PieceKind::Shawl)));
        assert_eq!(names(&project), [""; 0]);
        project.apply(project.answer_needs(child()));
        project.apply(undo);
        assert_eq!(project.pieces, before.pieces);
    }

    #[test]
    fn offered_sizes_follow_and_the_knitters_own_stay_and_are_told() {
        let mut project = Project::default();
        project.pieces.pieces = Template::Raglan.pieces(0);
        project.pieces.sizes = Template::Raglan.sizes().unwrap();
        let own = project.pieces.sizes.clone();
        project.apply(project.answer_needs(child()));
        assert_eq!(names(&project), ["4", "6", "8"]);
        project.pieces.sizes = own;
        project.pieces.sizes[0].ease_cm = 1.0;
        project.material.needs = Some(Needs::preset(PieceKind::Own));
        project.apply(project.answer_needs(child()));
        assert_eq!(names(&project), ["S", "M", "L"]);
        assert!(project.sizes_contradict_needs());
        let edit = project.take_child_sizes().unwrap();
        project.apply(edit);
        assert!(!project.sizes_contradict_needs());
    }

    #[test]
    fn another_answer_leaves_the_sizes_alone() {
        let mut project = Project::default();
        project.apply(project.answer_needs(child()));
        let gentle = Needs { gift: false, ..child() };
        assert!(matches!(project.answer_needs(gentle), Edit::Material(_)));
    }
}
