//! How far each workspace has come: untouched, begun, done or contradicted, and the next step. It follows from the
//! project alone, so that a project that is opened again has come as far as when it was saved.

use super::command::Command;
use super::view::Workspace;
use crate::knit::pieces::Band;
use crate::project::figures::Figures;
use crate::project::findings::{Finding, FindingKind, Severity};
use crate::project::{CountedAs, Edit, GAUGE_STEP, GaugeStanding, Project, use_gauge_of};
use crate::units::{both_lengths, counted};
use crate::yarn::Fitness;

/// How far a workspace has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Nothing was said or done in it.
    Untouched,
    /// Something is there, something is missing.
    Begun,
    /// Nothing is missing.
    Done,
    /// What is there contradicts itself or another workspace.
    Contradicts,
}

impl Standing {
    /// Name, for within a sentence.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Untouched => "untouched",
            Self::Begun => "begun",
            Self::Done => "done",
            Self::Contradicts => "contradicts",
        }
    }
}

/// Where the next step is taken.
#[derive(Clone, Debug, PartialEq)]
pub enum Lead {
    /// In a workspace.
    To(Workspace),
    /// On the page of the yarn itself.
    ThisYarn,
    /// There, its description begun if there is none.
    DescribeYarn,
    /// On the page of the shade cards.
    ShadeCards,
    /// On the page of the nearest shades.
    Sets,
    /// By this command, which asks before it changes anything.
    Do(Command),
    /// At once, by this edit; undo calls it so.
    Edit(&'static str, Edit),
}

/// A step with the words on its button.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What it does, sentence case.
    pub label: String,
    /// Where it leads.
    pub lead: Lead,
}

/// How far one workspace has come.
#[derive(Clone, Debug, PartialEq)]
pub struct Progress {
    /// How far.
    pub standing: Standing,
    /// What is so, and what is to be done here, in one or two sentences.
    pub words: String,
    /// What the button does; `None` when the next step is taken on the page itself.
    pub step: Option<Step>,
}

/// How far all workspaces have come.
#[derive(Clone, Debug, PartialEq)]
pub struct Standings([Progress; Workspace::ALL.len()]);

impl Standings {
    /// Of all workspaces; `figures` hold the findings, once they are there.
    pub fn of(project: &Project, figures: Option<&Figures>) -> Self {
        Self(Workspace::ALL.map(|workspace| Progress::of(workspace, project, figures)))
    }

    /// Of one workspace.
    pub const fn at(&self, workspace: Workspace) -> &Progress {
        &self.0[workspace as usize]
    }
}

impl Progress {
    fn here(standing: Standing, words: impl Into<String>) -> Self {
        Self { standing, words: words.into(), step: None }
    }

    fn leading(standing: Standing, words: impl Into<String>, label: impl Into<String>, lead: Lead) -> Self {
        Self { standing, words: words.into(), step: Some(Step { label: label.into(), lead }) }
    }

    /// How far a workspace has come; `figures` hold the findings, once they are there.
    pub fn of(workspace: Workspace, project: &Project, figures: Option<&Figures>) -> Self {
        let findings = figures.map_or(&[][..], |figures| &figures.findings);
        match workspace {
            Workspace::Fibre => fibre(project),
            Workspace::Yarn => yarn(project, findings),
            Workspace::Design => design(figures, findings),
            Workspace::Swatch => swatch(project),
            Workspace::Pieces => pieces(project, figures, findings),
            Workspace::Shopping => shopping(project, figures, findings),
        }
    }
}

/// The weightiest finding that is mended in a workspace, from `least` up.
fn finding(findings: &[Finding], workspace: Workspace, least: Severity) -> Option<&Finding> {
    findings.iter().find(|finding| mended_in(finding) == workspace && finding.severity >= least)
}

/// The workspace a finding is mended in.
pub const fn mended_in(finding: &Finding) -> Workspace {
    match finding.kind {
        FindingKind::Yarn => Workspace::Yarn,
        FindingKind::Swatch => Workspace::Swatch,
        FindingKind::OpenStitches
        | FindingKind::Gathering
        | FindingKind::ChartSide
        | FindingKind::Opening
        | FindingKind::OffCentre
        | FindingKind::Unworkable => Workspace::Pieces,
        _ => Workspace::Design,
    }
}

fn fibre(project: &Project) -> Progress {
    let material = &project.material;
    let (blend, label) = (project.fibre(), project.care_label());
    if project.sizes_contradict_needs() {
        let words = "The piece is for a child, but its sizes are those of grown people.";
        return match project.take_child_sizes() {
            Ok(edit) => Progress::leading(
                Standing::Contradicts,
                words,
                "Take a child's sizes",
                Lead::Edit("Take a child's sizes", edit),
            ),
            Err(_) => Progress::here(Standing::Contradicts, words),
        };
    }
    match (material.needs, blend) {
        (None, None) => {
            Progress::here(Standing::Untouched, "Begin here: say what you knit and what it must withstand.")
        }
        (None, Some(blend)) => {
            let words = format!("{} is chosen; say what you knit to see whether it stands it.", blend.name());
            Progress::here(Standing::Begun, words)
        }
        (Some(_), None) => {
            Progress::here(Standing::Begun, "The needs are told; choose a fibre for this project.")
        }
        (Some(needs), Some(blend)) => {
            let fit = needs.judge(blend, &label);
            let name = blend.name();
            match fit.fitness {
                Fitness::Differs => Progress::here(
                    Standing::Contradicts,
                    format!(
                        "{name} is not for this piece: {}. Choose another, or answer otherwise.",
                        fit.why
                    ),
                ),
                Fitness::Fits | Fitness::Unknown => Progress::leading(
                    Standing::Done,
                    format!(
                        "{name} is chosen: {:.0} of 100 for what the piece must withstand.",
                        fit.score * 100.0
                    ),
                    "On to the yarn",
                    Lead::ThisYarn,
                ),
            }
        }
    }
}

fn yarn(project: &Project, findings: &[Finding]) -> Progress {
    let slots = project.palette.slots();
    let shades = slots.iter().filter(|slot| slot.shade().is_some()).count();
    let described = project.described_yarn();
    if let Some(found) = finding(findings, Workspace::Yarn, Severity::Warning) {
        return Progress::here(Standing::Contradicts, found.message.clone());
    }
    if let (CountedAs::Others(others), Some(yarn)) = (project.counted_as(), described)
        && others.iter().any(|index| slots[*index].shade().is_none())
    {
        return Progress::leading(
            Standing::Contradicts,
            project.counted_as_words().unwrap_or_default(),
            "Use the yarn for every colour",
            Lead::Edit("Yarn of every colour", project.yarn_for_every_colour(yarn)),
        );
    }
    let nothing = project.material.yarn.is_none() && project.shade_cards.is_empty() && shades == 0;
    match described {
        _ if shades == slots.len() => Progress::leading(
            Standing::Done,
            "Every colour is knitted in a real shade.",
            "On to the chart",
            Lead::To(Workspace::Design),
        ),
        None if project.material.yarn.is_some() => Progress::leading(
            Standing::Begun,
            "The yarn is not described yet: type what its band says; until then it is counted as the program begins.",
            "To its band",
            Lead::ThisYarn,
        ),
        None => {
            let standing = if nothing { Standing::Untouched } else { Standing::Begun };
            let words = "No yarn is described yet: what its band says sets needles, gauge and balls.";
            Progress::leading(standing, words, "Describe the yarn", Lead::DescribeYarn)
        }
        Some(yarn) if project.shade_cards.is_empty() => Progress::leading(
            Standing::Begun,
            format!("{} is described; the colours are wishes until there is a shade card.", yarn.name),
            "Put shades on a card",
            Lead::ShadeCards,
        ),
        Some(yarn) => Progress::leading(
            Standing::Begun,
            format!("{} is described; {shades} of {} colours are real shades.", yarn.name, slots.len()),
            "Find the nearest shades",
            Lead::Sets,
        ),
    }
}

/// Whether the chart has two colours; it is taken to while the figures are not there.
fn is_drawn(figures: Option<&Figures>) -> bool {
    figures.is_none_or(|figures| figures.repeat_stitches.iter().filter(|stitches| **stitches > 0).count() > 1)
}

fn design(figures: Option<&Figures>, findings: &[Finding]) -> Progress {
    if !is_drawn(figures) {
        let words = "The chart is empty: paint with a second colour, take a motif, or begin from a picture (menu Chart).";
        let lead = Lead::Do(Command::MotifLibrary);
        return Progress::leading(Standing::Untouched, words, "Choose a motif", lead);
    }
    if let Some(found) = finding(findings, Workspace::Design, Severity::Problem) {
        let words = found.message.clone();
        return match found.kind {
            FindingKind::LongFloat => {
                let lead = Lead::Do(Command::MendFloats);
                Progress::leading(Standing::Contradicts, words, "Mend the floats", lead)
            }
            _ => Progress::here(Standing::Contradicts, words),
        };
    }
    let open =
        |finding: &&Finding| mended_in(finding) == Workspace::Design && finding.severity >= Severity::Warning;
    match findings.iter().filter(open).count() as u64 {
        0 => Progress::leading(
            Standing::Done,
            "The chart is drawn, and no finding warns.",
            "On to the swatch",
            Lead::To(Workspace::Swatch),
        ),
        count => Progress::here(
            Standing::Begun,
            format!(
                "The chart is drawn; {} to look at, on the right.",
                counted(count, "warning", "warnings")
            ),
        ),
    }
}

fn swatch(project: &Project) -> Progress {
    let Some(followed) = project.material.followed() else {
        return match project.material.swatches.len() {
            0 => Progress::here(
                Standing::Untouched,
                "No swatch yet: knit one, measure it, wash and dry it as the piece will be, and measure it again.",
            ),
            _ => Progress::here(
                Standing::Begun,
                "No swatch is measured yet: enter the stitches and rows you counted and their size.",
            ),
        };
    };
    let words = project.gauge_words();
    if !followed.measured.washed {
        return Progress::here(Standing::Begun, format!("{words} Washing will change its gauge."));
    }
    if project.swatched_in_another().is_some() {
        return Progress::here(Standing::Contradicts, words);
    }
    if project.gauge_standing() != GaugeStanding::Differs {
        return Progress::leading(Standing::Done, words, "On to the pieces", Lead::To(Workspace::Pieces));
    }
    let edit = Lead::Edit(GAUGE_STEP, project.plan_with_gauge_of(followed.place, followed.measured.gauge));
    Progress::leading(Standing::Contradicts, words, use_gauge_of(followed.place), edit)
}

fn pieces(project: &Project, figures: Option<&Figures>, findings: &[Finding]) -> Progress {
    let plan = &project.pieces;
    if plan.pieces.is_empty() {
        let words = "No pieces: the project is its chart as planned. Choose what you knit below.";
        return Progress::here(Standing::Untouched, words);
    }
    if let Some(found) = finding(findings, Workspace::Pieces, Severity::Warning) {
        let standing =
            if found.severity == Severity::Problem { Standing::Contradicts } else { Standing::Begun };
        return Progress::here(standing, found.message.clone());
    }
    let unmeasured = plan.pieces.iter().flat_map(crate::knit::pieces::Piece::measures).find(|measure| {
        plan.sizes.iter().any(|size| size.body.get(*measure).is_none()) || plan.sizes.is_empty()
    });
    if let Some(measure) = unmeasured {
        let words = format!(
            "A piece follows the {}, which a size does not give: see Sizes.",
            measure.name().to_lowercase()
        );
        return Progress::here(Standing::Begun, words);
    }
    if plan.pieces.iter().flat_map(|piece| &piece.bands).any(Band::is_charted) && !is_drawn(figures) {
        return Progress::leading(
            Standing::Begun,
            "The pieces are planned; the chart they are knitted with is still empty.",
            "On to the chart",
            Lead::To(Workspace::Design),
        );
    }
    let sizes = plan.all_sizes();
    let ease = both_lengths(plan.size().ease_cm, project.units);
    let what = counted(plan.pieces.len() as u64, "piece", "pieces");
    let sizes = counted(sizes.len() as u64, "size", "sizes");
    Progress::leading(
        Standing::Done,
        format!("{what} in {sizes}, ease planned {ease}; nothing is left open."),
        "On to what to buy",
        Lead::To(Workspace::Shopping),
    )
}

fn shopping(project: &Project, figures: Option<&Figures>, findings: &[Finding]) -> Progress {
    if findings.iter().any(|found| found.kind == FindingKind::Unworkable) {
        let words = "The pieces cannot be worked, so that nothing can be counted.";
        let lead = Lead::To(Workspace::Pieces);
        return Progress::leading(Standing::Contradicts, words, "Mend the pieces", lead);
    }
    let slots = project.palette.slots();
    let counted_words = project.counted_as_words().unwrap_or_default();
    match (project.counted_as(), project.described_yarn()) {
        (CountedAs::Unset, _) => {
            return Progress::leading(
                Standing::Untouched,
                counted_words,
                "Describe the yarn",
                Lead::DescribeYarn,
            );
        }
        (CountedAs::Others(others), Some(yarn))
            if others.iter().any(|index| slots[*index].shade().is_none()) =>
        {
            return Progress::leading(
                Standing::Contradicts,
                counted_words,
                "Use the yarn for every colour",
                Lead::Edit("Yarn of every colour", project.yarn_for_every_colour(yarn)),
            );
        }
        _ => {}
    }
    let unpriced = slots.iter().filter(|slot| slot.yarn.ball_price.is_none()).count() as u64;
    if unpriced > 0 {
        let words = format!(
            "{} without a price: the cost is not known.",
            counted(unpriced, "colour is", "colours are")
        );
        return Progress::here(Standing::Begun, words);
    }
    if !is_drawn(figures) {
        return Progress::leading(
            Standing::Begun,
            "Every colour has its price; the chart that says how much of each is still empty.",
            "On to the chart",
            Lead::To(Workspace::Design),
        );
    }
    Progress::here(
        Standing::Done,
        "Every colour has its metres, balls and price: export what you knit and shop from.",
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::{Cell, Grid};
    use crate::knit::pieces::Template;
    use crate::project::Chart;
    use crate::yarn::{Blend, Fibre, Needs, PieceKind, PutUp, Yarn, YarnId};

    fn all(project: &Project) -> Vec<Standing> {
        let figures = Figures::of(project);
        Workspace::ALL.map(|workspace| Progress::of(workspace, project, Some(&figures)).standing).to_vec()
    }

    #[test]
    fn each_workspace_has_its_own_standing() {
        let project = Project::default();
        let all = Standings::of(&project, None);
        for workspace in Workspace::ALL {
            assert_eq!(*all.at(workspace), Progress::of(workspace, &project, None));
        }
    }

    fn gift() -> Needs {
        Needs { gift: true, ..Needs::preset(PieceKind::BabyAndChild) }
    }

    #[test]
    fn a_new_project_is_untouched_everywhere() {
        assert!(all(&Project::default()).iter().all(|standing| *standing == Standing::Untouched));
    }

    #[test]
    fn fibre_is_done_when_it_answers_and_contradicts_when_it_does_not() {
        let mut project = Project::default();
        project.apply(project.answer_needs(gift()));
        assert_eq!(all(&project)[0], Standing::Begun);
        project.material.blend = Some(Blend::pure(Fibre::SuperwashWool));
        assert_eq!(all(&project)[0], Standing::Done);
        project.material.blend = Some(Blend::pure(Fibre::Wool));
        assert_eq!(all(&project)[0], Standing::Contradicts);
    }

    #[test]
    fn a_yarn_that_reaches_no_colour_contradicts_and_the_step_mends_it() {
        let mut project = Project::default();
        let put_up = PutUp::new(440.0, 100.0).unwrap();
        project.material.yarn = Some(Yarn::new(YarnId(0), "Bare step", Blend::pure(Fibre::Wool), put_up));
        let figures = Figures::of(&project);
        for workspace in [Workspace::Yarn, Workspace::Shopping] {
            let progress = Progress::of(workspace, &project, Some(&figures));
            assert_eq!(progress.standing, Standing::Contradicts);
            let Some(Step { lead: Lead::Edit(_, edit), .. }) = progress.step else { panic!("no edit") };
            let mut mended = project.clone();
            mended.apply(edit);
            assert_ne!(Progress::of(workspace, &mended, None).standing, Standing::Contradicts);
        }
    }

    #[test]
    fn pieces_with_a_chart_are_not_done_before_it_is_drawn() {
        let mut project = Project::default();
        project.pieces.pieces = Template::Hat.pieces(0);
        project.pieces.sizes = Template::Hat.sizes().unwrap();
        assert!(project.pieces.pieces.iter().flat_map(|piece| &piece.bands).any(Band::is_charted));
        assert_eq!(all(&project)[Workspace::Pieces as usize], Standing::Begun);
        let cell = |stitch| Cell::slot(u8::from(stitch % 2 == 1));
        project.chart = Chart::new(Grid::from_cells(4, 4, (0..16).map(cell).collect()).unwrap());
        assert_eq!(all(&project)[Workspace::Pieces as usize], Standing::Done);
    }

    #[test]
    fn a_swatch_that_was_merely_added_neither_measures_nor_hides() {
        use crate::knit::{Construction, SwatchFabric, SwatchSize};
        use crate::project::LoggedSwatch;
        let at = |project: &Project| Progress::of(Workspace::Swatch, project, None).standing;
        let mut project = Project::default();
        let how = (SwatchFabric::Stranded, Construction::InTheRound);
        let bare =
            LoggedSwatch::uncounted("Bare step", crate::units::MetresPer100G::new(400.0).unwrap(), how);
        project.material.swatches.push(bare.clone());
        assert_eq!(at(&project), Standing::Begun);
        let mut measured = bare.clone();
        measured.swatch = measured.swatch.recounted(None, (Some(20.0), Some(20.0))).unwrap();
        measured.swatch.after = SwatchSize::new(10.0, 10.0).ok();
        project.material.swatches = vec![measured, bare];
        assert_eq!(at(&project), Standing::Contradicts);
        let step = Progress::of(Workspace::Swatch, &project, None).step.unwrap();
        assert_eq!(step.label, "Use the gauge of swatch 1", "it says whose gauge it takes");
    }

    #[test]
    fn an_empty_chart_leads_to_motifs_and_long_floats_to_what_mends_them() {
        let lead = |project: &Project| {
            let figures = Figures::of(project);
            Progress::of(Workspace::Design, project, Some(&figures)).step.map(|step| step.lead)
        };
        assert_eq!(lead(&Project::default()), Some(Lead::Do(Command::MotifLibrary)));
        let mut floating = Project::default();
        let ground = floating.background_slot() as u8;
        let other = u8::from(ground == 0);
        let cell = |stitch| Cell::slot(if stitch == 9 { other } else { ground });
        let row = Grid::from_cells(30, 1, (0..30).map(cell).collect()).unwrap();
        floating.chart = Chart::new(row);
        assert_eq!(lead(&floating), Some(Lead::Do(Command::MendFloats)));
    }

    #[test]
    fn pieces_with_sizes_are_done_and_without_are_begun() {
        let mut project = Project::default();
        project.pieces.pieces = Template::Hat.pieces(0);
        let at = |project: &Project| Progress::of(Workspace::Pieces, project, None).standing;
        assert_eq!(at(&project), Standing::Begun);
        project.pieces.sizes = Template::Hat.sizes().unwrap();
        assert_eq!(at(&project), Standing::Done);
    }
}
