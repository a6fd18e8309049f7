//! Pieces that do not close, cannot be worn, or begin their chart on the wrong side.

use super::super::model::Project;
use super::{Finding, FindingKind, Severity, capped, sits};
use crate::knit::pieces::{
    Books, Gather, GatherGrade, Measure, Size, WorkedBand, WorkedPiece, openings, tight,
};
use crate::knit::{Construction, Passing};
use crate::plain_text;
use crate::units::{both_lengths, counted};

/// Every finding about the pieces, size by size; one that all sizes share is said once.
pub(super) fn pieces(project: &Project) -> Vec<Finding> {
    if project.pieces.pieces.is_empty() {
        return Vec::new();
    }
    let sizes = project.pieces.all_sizes();
    let mut found: Vec<Found> = Vec::new();
    for size in &sizes {
        let of_size = match project.work_pieces(size) {
            Ok(worked) => {
                let mut of_size = gathering(project, &worked);
                of_size.extend(widening(project, &worked));
                of_size.extend(open_stitches(project, &worked));
                of_size.extend(chart_sides(&worked));
                of_size.extend(against_the_wearer(project, &worked, size));
                of_size.extend(sits::off_the_width(project, &worked));
                of_size.extend(sits::off_centre(project, &worked));
                of_size
            }
            Err(error) => vec![(FindingKind::Unworkable, Severity::Problem, plain_text::sentence(&error))],
        };
        for (kind, severity, message) in of_size {
            match found.iter_mut().find(|known| known.kind == kind && known.message == message) {
                Some(known) => known.sizes.push(size),
                None => found.push(Found { kind, severity, message, sizes: vec![size] }),
            }
        }
    }
    let mut findings = Vec::new();
    let kinds = [
        FindingKind::Unworkable,
        FindingKind::OpenStitches,
        FindingKind::Gathering,
        FindingKind::ChartSide,
        FindingKind::Opening,
        FindingKind::RepeatFit,
        FindingKind::OffCentre,
    ];
    for kind in kinds {
        let of_kind = found.iter().filter(|found| found.kind == kind).map(|found| found.finding(sizes.len()));
        findings.extend(capped(of_kind.collect(), 0, kind));
    }
    findings
}

pub(super) type Said = (FindingKind, Severity, String);

/// Most characters that stand beside the name of a kind.
const SHORT: usize = 10;

/// The same finding in some sizes.
struct Found<'a> {
    kind: FindingKind,
    severity: Severity,
    message: String,
    sizes: Vec<&'a Size>,
}

impl Found<'_> {
    fn finding(&self, all: usize) -> Finding {
        let names: Vec<&str> = self.sizes.iter().map(|size| size.name.as_str()).collect();
        let message = if self.sizes.len() == all {
            self.message.clone()
        } else {
            format!("Size {}: {}", names.join(", "), self.message)
        };
        let told = match &names[..] {
            names if names.len() == all => subject(&self.message),
            [size] if size.chars().count() <= SHORT - 3 => format!("size {size}"),
            names => counted(names.len() as u64, "size", "sizes"),
        };
        Finding { told, ..Finding::new(self.kind, self.severity, message) }
    }
}

/// What a message begins with, the name of a piece as a rule, when it is short.
fn subject(message: &str) -> String {
    let first = message.split([',', ':', ' ']).next().unwrap_or_default();
    if first.chars().count() <= SHORT { first.to_owned() } else { String::new() }
}

fn gathering(project: &Project, worked: &[WorkedPiece]) -> Vec<Said> {
    let (gauge, units) = (project.plan.gauge, project.units);
    let of_piece = |piece: &WorkedPiece| {
        let gather = piece.gather(gauge)?;
        let severity = match gather.grade() {
            GatherGrade::Comfortable => return None,
            GatherGrade::Strained => Severity::Warning,
            GatherGrade::Refused => Severity::Problem,
        };
        let (from, to) = gather.rows;
        let message = format!(
            "{} gathers by {:.0} % between rounds {} and {}: it goes from {} to {} around within {}. \
             Spread the decreases over {} more, or end {} wider.",
            piece.name,
            gather.percent(),
            from + 1,
            to + 1,
            both_lengths(gather.girths_cm.0, units),
            both_lengths(gather.girths_cm.1, units),
            both_lengths(gather.apart_cm, units),
            both_lengths(gather.longer_by_cm(Gather::COMFORTABLE), units),
            both_lengths(gather.wider_by_cm(Gather::COMFORTABLE), units),
        );
        Some((FindingKind::Gathering, severity, message))
    };
    worked.iter().filter_map(of_piece).collect()
}

/// The largest part of its stitches that a tube gains or loses in one round of common practice: the last decrease round of
/// a yoke, two fifths.
const MOST_AT_ONCE: f64 = 0.4;

/// Bands of a tube that are at once much wider than what they go on from; a full sleeve may be meant, so that it is
/// never refused.
fn widening(project: &Project, worked: &[WorkedPiece]) -> Vec<Said> {
    let (gauge, units) = (project.plan.gauge, project.units);
    let tubes = worked.iter().filter(|piece| piece.construction == Construction::InTheRound);
    let bands = tubes.flat_map(|piece| piece.bands.iter().map(move |band| (piece, band)));
    let of_band = |(piece, band): (&WorkedPiece, &WorkedBand)| {
        let (from, to) = (band.carried?, band.start.stitches);
        let least = (f64::from(to) * (1.0 - MOST_AT_ONCE)).ceil() as u32;
        let most = (f64::from(from) / (1.0 - MOST_AT_ONCE)).floor() as u32;
        let or_narrower = if band.chart.is_some() { ", or choose a narrower repeat" } else { "" };
        let message = || {
            format!(
                "{}, {}: it goes at once from {from} to {to} stitches, {} to {} around, and will gather. Begin it with {most} \
                 at most and increase on its way, or have {least} before it{or_narrower}.",
                piece.name,
                band.name.to_lowercase(),
                both_lengths(gauge.width(from).get(), units),
                both_lengths(gauge.width(to).get(), units),
            )
        };
        (from < least).then(|| (FindingKind::Gathering, Severity::Warning, message()))
    };
    bands.filter_map(of_band).collect()
}

fn open_stitches(project: &Project, worked: &[WorkedPiece]) -> Vec<Said> {
    let books = Books::of(worked);
    let step = |at: crate::knit::pieces::StepAt| {
        let piece = project.pieces.pieces.get(at.piece).map_or("", |piece| piece.name.as_str());
        let steps = worked.get(at.piece).map(WorkedPiece::steps).unwrap_or_default();
        let name = steps.get(at.step).map_or("", |step| step.name());
        format!("{piece}, step {} ({})", at.step + 1, name.to_lowercase())
    };
    let mut said: Vec<Said> = Vec::new();
    for unbooked in &books.unbooked {
        let message = format!("{}: {}.", step(unbooked.at), unbooked.error);
        said.push((FindingKind::OpenStitches, Severity::Problem, message));
    }
    for group in books.ledger.live() {
        let message = format!(
            "{} live: {}, set aside in {}. Take them up, graft or bind them off in a later step.",
            counted(group.stitches.into(), "stitch stays", "stitches stay"),
            group.name,
            step(group.opened),
        );
        said.push((FindingKind::OpenStitches, Severity::Problem, message));
    }
    said
}

fn chart_sides(worked: &[WorkedPiece]) -> Vec<Said> {
    let of_piece = |piece: &WorkedPiece| -> Vec<Said> {
        let name = |place: usize| piece.bands[place].name.to_lowercase();
        let said = piece.charts_begun_on_wrong_side().into_iter().map(|place| {
            let message = format!(
                "{}, {}: row 1 of the chart falls on a wrong-side row. Work one row more or fewer before it.",
                piece.name,
                name(place)
            );
            (FindingKind::ChartSide, Severity::Warning, message)
        });
        said.collect()
    };
    worked.iter().flat_map(of_piece).collect()
}

/// Openings that let nothing through, and girths and depths that fall short of the wearer.
fn against_the_wearer(project: &Project, worked: &[WorkedPiece], size: &Size) -> Vec<Said> {
    let (gauge, units, pieces) = (project.plan.gauge, project.units, &project.pieces.pieces);
    let name = |place: usize| pieces.get(place).map_or("", |piece| piece.name.as_str());
    let cm = |cm: f64| both_lengths(cm, units);
    let mut said = Vec::new();
    for opening in openings(pieces, worked, size, gauge) {
        let severity = match opening.passage.verdict {
            Passing::Passes => continue,
            Passing::Barely => Severity::Warning,
            Passing::DoesNot => Severity::Problem,
        };
        let wider = format!("make it {} around", cm(opening.enough_cm()));
        let mend = match opening.better {
            Some(edge) => format!("Use another edge ({}), or {wider}", edge.name().to_lowercase()),
            None => format!("Knit it wider: {wider}"),
        };
        let message = format!(
            "{}, {}: {} around stretches {} ({}), and {} must pass ({}). {mend}.",
            name(opening.piece),
            opening.kind.name().to_lowercase(),
            cm(opening.girth_cm),
            opening.stretch_words(units),
            opening.edge.name().to_lowercase(),
            cm(opening.must_pass_cm),
            opening.kind.must_pass().name().to_lowercase(),
        );
        said.push((FindingKind::Opening, severity, message));
    }
    for tight in tight(pieces, worked, size, gauge) {
        let measure = tight.measure.name().to_lowercase();
        let (found, least) = (cm(tight.found_cm), cm(tight.least_cm));
        let message = match tight.measure {
            // What is stretched over a head or a hand may be smaller than it.
            Measure::Head | Measure::Hand => format!(
                "{}: its chart is {found} around, and must be {least} to stretch over the {measure} at all. Let it \
                 repeat once more, or choose a narrower repeat.",
                name(tight.piece),
            ),
            _ => format!(
                "{}: {found}, where the wearer needs {least} ({measure}). Knit it {} larger.",
                name(tight.piece),
                cm(tight.least_cm - tight.found_cm),
            ),
        };
        said.push((FindingKind::Opening, Severity::Warning, message));
    }
    said
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knit::Gauge;
    use crate::knit::pieces::{Band, Fabric, Length, Piece, Template, Width};

    fn project(template: Template) -> Project {
        let mut project = Project::default();
        project.plan.gauge = Gauge::new(28.0, 33.0).unwrap();
        project.pieces.pieces = template.pieces(0);
        project.pieces.sizes = template.sizes().unwrap();
        project
    }

    #[test]
    fn a_yoke_whose_underarms_are_not_grafted_says_so_at_the_step() {
        let mut project = project(Template::Raglan);
        assert_eq!(pieces(&project), []);
        project.pieces.pieces[2].finish.pop();
        let found = pieces(&project);
        assert_eq!(found.len(), 6, "two groups in three sizes, each with its own count");
        let words = &found[0].message;
        assert!(words.contains("stitches stay live: right underarm, set aside in Body, step"), "{words}");
        assert_eq!(found[0].kind, FindingKind::OpenStitches);
    }

    #[test]
    fn a_tube_that_narrows_too_fast_is_refused_with_a_way_out() {
        let mut project = Project::default();
        let wide = Band::new("Wide", Fabric::Plain, Length::Cm(15.0), 0).from(Width::Cm(128.0));
        let narrow = Band::new("Neck", Fabric::Plain, Length::Cm(2.0), 0).from(Width::Share(0.6));
        project.pieces.pieces = vec![Piece::new("Yoke", Construction::InTheRound, vec![wide, narrow])];
        let found = pieces(&project);
        assert_eq!(found.len(), 1, "{found:?}");
        assert_eq!((found[0].kind, found[0].severity), (FindingKind::Gathering, Severity::Warning));
        assert!(found[0].message.contains("Spread the decreases over"), "{}", found[0].message);
        project.pieces.pieces[0].bands[1].start = Width::Share(0.51);
        assert_eq!(pieces(&project)[0].severity, Severity::Problem);
    }

    #[test]
    fn a_leg_that_is_at_once_much_wider_than_its_cuff_is_told() {
        let widens = |project: &Project| -> Vec<String> {
            let words = pieces(project).into_iter().map(|found| found.message);
            words.filter(|words| words.contains("at once from")).collect()
        };
        let repeat = |width: u32| {
            let cell = crate::chart::Cell::slot(0);
            crate::project::Chart::new(crate::chart::Grid::new(width, 20, cell).unwrap())
        };
        for template in Template::ALL {
            let chart = repeat(4);
            assert_eq!(widens(&Project { chart, ..project(template) }), [""; 0], "{}", template.name());
        }
        // A repeat of 24 makes 96 stitches of the leg.
        let found = widens(&Project { chart: repeat(24), ..project(Template::Socks) });
        assert!(found[0].contains("Sock, leg: it goes at once from 52 to 96 stitches"), "{found:?}");
    }

    #[test]
    fn a_flat_chart_on_the_wrong_side_is_told() {
        let mut project = project(Template::Blanket);
        assert_eq!(pieces(&project), []);
        project.pieces.pieces[0].bands[0].length = Length::Rows(7);
        project.pieces.pieces[0].bands[0].start = Width::Stitches(200);
        let found = pieces(&project);
        assert!(found.iter().all(|found| found.kind == FindingKind::ChartSide), "{found:?}");
    }

    #[test]
    fn a_neck_that_does_not_pass_the_head_says_so_with_a_way_out() {
        let mut project = project(Template::CircularYoke);
        project.pieces.sizes.truncate(1);
        let openings = |project: &Project| -> Vec<Finding> {
            pieces(project).into_iter().filter(|found| found.kind == FindingKind::Opening).collect()
        };
        assert_eq!(openings(&project), []);
        project.pieces.pieces[2].bind_off = crate::knit::pieces::BindOff::Any;
        let found = openings(&project);
        assert_eq!(found.len(), 1, "{found:?}");
        assert_eq!(found[0].severity, Severity::Problem);
        let words = &found[0].message;
        assert!(
            words.contains("Yoke, neck:") && words.contains("with a yarn over before every stitch"),
            "{words}"
        );
        // A size that does not know the head claims nothing.
        project.pieces.sizes[0].body.set(crate::knit::pieces::Measure::Head, None);
        assert_eq!(openings(&project), []);
    }

    #[test]
    fn a_repeat_too_wide_for_a_hand_says_so() {
        use crate::chart::{Cell, Grid};
        let mut project = project(Template::GussetMittens);
        let found =
            |project: &Project| -> Vec<String> { pieces(project).into_iter().map(|f| f.message).collect() };
        let chart = |width: u32| crate::project::Chart::new(Grid::new(width, 20, Cell::slot(0)).unwrap());
        project.chart = chart(6);
        assert_eq!(found(&project), [""; 0], "6 sts fit every hand");
        project.chart = chart(24);
        let found = found(&project);
        assert!(found[0].starts_with("Size 8: Hand: its chart is 17.1 cm"), "{found:?}");
    }

    #[test]
    fn a_piece_that_cannot_be_worked_is_a_finding() {
        let mut project = project(Template::Mittens);
        project.pieces.pieces[0].bands[1].length = Length::Rows(0);
        let found = pieces(&project);
        assert_eq!(
            (found[0].kind, found[0].severity),
            (FindingKind::Unworkable, Severity::Problem),
            "{found:?}"
        );
    }

    #[test]
    fn a_stranded_cuff_is_held_by_its_floats() {
        let mut project = project(Template::Mittens);
        project.pieces.sizes.truncate(1);
        assert_eq!(pieces(&project), []);
        let cuff = &mut project.pieces.pieces[0].bands[0];
        (cuff.technique, cuff.colours) = (crate::knit::Technique::Stranded, vec![0, 1]);
        let found = pieces(&project);
        assert!(found.iter().any(|found| found.message.contains("(stranded colourwork)")), "{found:?}");
    }

    #[test]
    fn a_sleeve_narrower_than_the_arm_is_told() {
        let mut project = project(Template::Raglan);
        project.pieces.sizes.truncate(1);
        project.pieces.pieces[1].bands[1].end = Width::Cm(22.0);
        let found = pieces(&project);
        let words: Vec<&str> = found.iter().map(|found| found.message.as_str()).collect();
        assert!(
            words.iter().any(|words| words.starts_with("Sleeve: ") && words.contains("(upper arm)")),
            "{words:?}"
        );
    }
}
