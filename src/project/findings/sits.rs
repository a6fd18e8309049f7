//! How the chart sits on the pieces: repeats that make a band another width than was asked for, and motifs that are not
//! in the middle of a front that is cut open.

use super::super::model::Project;
use super::pieces::Said;
use super::{FindingKind, Severity};
use crate::knit::pieces::{Pattern, RepeatRows, Steeks, Step, WorkedBand, WorkedPiece};
use crate::units::both_lengths;

/// From this share of the width that was asked for, what whole repeats cost is said (our judgement).
const SEEN: f64 = 0.10;
/// Counts of repeats that are looked at beside the one that is worked.
const BESIDE: u32 = 6;

/// Bands that whole repeats make much wider or narrower than was asked for.
pub(super) fn off_the_width(project: &Project, worked: &[WorkedPiece]) -> Vec<Said> {
    let (gauge, units) = (project.plan.gauge, project.units);
    let of_band = |piece: &WorkedPiece, place: usize| -> Option<Said> {
        let band = &piece.bands[place];
        let chart = band.chart.filter(|_| band.rows() > 0 && band.steeks.is_none())?;
        let wanted_cm = band.start.wanted_cm?;
        let found_cm = band.start.finished_cm(gauge);
        if (found_cm / wanted_cm - 1.0).abs() <= SEEN {
            return None;
        }
        let below = place.checked_sub(1).map(|below| &piece.bands[below]).filter(|below| below.rows() > 0);
        let before = below.map_or(0, WorkedBand::last_stitches);
        if before == band.start.stitches {
            // As wide as the band below it, of which it was said.
            return None;
        }
        let jumps = f64::from(before.abs_diff(band.start.stitches)) > SEEN * f64::from(before);
        let jump = below.filter(|_| jumps).map_or_else(String::new, |below| {
            format!(
                " Above the {} it goes from {} to {} sts at once.",
                below.name.to_lowercase(),
                before,
                band.start.stitches
            )
        });
        let message = format!(
            "{}, {}: whole repeats of {} sts make it {}, where {} was asked for.{jump} Choose a narrower repeat, or \
             another number of them.",
            piece.name,
            band.name.to_lowercase(),
            chart.repeat_stitches,
            both_lengths(found_cm, units),
            both_lengths(wanted_cm, units),
        );
        Some((FindingKind::RepeatFit, Severity::Warning, message))
    };
    let of_piece = |piece: &WorkedPiece| -> Vec<Said> {
        (0..piece.bands.len()).filter_map(|place| of_band(piece, place)).collect()
    };
    worked.iter().flat_map(of_piece).collect()
}

/// Necks in a body that is cut open which lie beside the middle of the motif.
pub(super) fn off_centre(project: &Project, worked: &[WorkedPiece]) -> Vec<Said> {
    let pattern = project.pattern();
    let mut said = Vec::new();
    for (place, piece) in worked.iter().enumerate() {
        let mut told: Vec<&str> = Vec::new();
        for band in &piece.bands {
            for (name, gap) in band.steeks.iter().flat_map(Steeks::gaps) {
                // One that only parts the others, an armhole, has no motif to keep whole.
                if gap.gone == 0 || gap.from == 0 || told.contains(&name.as_str()) {
                    continue;
                }
                told.push(name);
                let centre = 2 * gap.from + gap.gone;
                let at = share_of(project, place, name).unwrap_or_default();
                said.extend(beside_the_motif(&pattern, (piece, band), (name, centre, at)));
            }
        }
    }
    said
}

/// Where a steek of this name lies in the round.
fn share_of(project: &Project, piece: usize, wanted: &str) -> Option<f64> {
    let bands = &project.pieces.pieces.get(piece)?.bands;
    bands.iter().flat_map(|band| &band.then).find_map(|step| match step {
        Step::Steek { name, at, .. } if name == wanted => Some(*at),
        _ => None,
    })
}

/// That a neck with its middle at `centre` half stitches from the marker is beside the middle of the motif.
fn beside_the_motif(
    pattern: &Pattern,
    (piece, band): (&WorkedPiece, &WorkedBand),
    (name, centre, at): (&str, u32, f64),
) -> Option<Said> {
    let chart = band.chart?;
    let rows = RepeatRows::of(pattern.grid, chart.region).filter(|rows| !rows.is_shaped())?;
    let wide = chart.repeat_stitches;
    // Half a stitch cannot be mended where the neck has an even number of them and the motif has not, or the other way round.
    let beside = |centre: u32, off: u32| {
        mirrors(&rows, wide, centre + off) || mirrors(&rows, wide, centre + wide.saturating_mul(2) - off)
    };
    let fits_at = |centre: u32| beside(centre, 0) || beside(centre, 1);
    if fits_at(centre) {
        return None;
    }
    // A chart that no line halves alike has no middle.
    let off = (2..=wide).find(|off| beside(centre, *off))?;
    let now = band.steeks.as_ref().map_or(0, Steeks::round) / wide.max(1);
    let fits = |repeats: u32| {
        let place = (f64::from(repeats * wide) * at).round() as u32;
        fits_at(2 * place)
    };
    let fewer = (1..=BESIDE).filter_map(|less| now.checked_sub(less).filter(|n| *n > 0)).find(|n| fits(*n));
    let more = (1..=BESIDE).map(|more| now + more).find(|n| fits(*n));
    let counts: Vec<String> =
        [fewer, more].into_iter().flatten().map(|n| format!("{n} ({} sts)", n * wide)).collect();
    let mend = if counts.is_empty() {
        "Choose a repeat that goes into the round an even number of times.".to_owned()
    } else {
        format!("It is on it with another number of repeats around: {}.", counts.join(" or "))
    };
    let halves = if off % 2 == 1 { " and a half" } else { "" };
    let message = format!(
        "{}: the middle of the {name} lies {}{halves} sts beside the middle of the motif, which is cut unevenly there. {mend}",
        piece.name,
        off / 2,
    );
    Some((FindingKind::OffCentre, Severity::Warning, message))
}

/// Whether the stitches on both sides of a line, `centre` half stitches from the marker, mirror each other in every row.
fn mirrors(rows: &RepeatRows, wide: u32, centre: u32) -> bool {
    let wide = u64::from(wide);
    (0..rows.count()).all(|r| {
        let row = rows.row(r);
        // Rows are kept left to right and worked from the right.
        let worked = |stitch: u64| row.get((wide - 1 - stitch % wide) as usize);
        // Stitch `s` lies from `2 s` to `2 s + 2` half stitches, so that its image is `centre - s - 1`.
        (0..wide).all(|stitch| worked(stitch) == worked(u64::from(centre) + 2 * wide - stitch - 1))
    })
}

#[cfg(test)]
mod tests {
    use super::super::{Finding, pieces::pieces};
    use super::*;
    use crate::chart::{Cell, Grid};
    use crate::knit::Gauge;
    use crate::knit::pieces::{Size, Template};
    use crate::project::Chart;

    /// A woman's sizes with one motif to the repeat: a column of a second colour in the middle of 24 stitches.
    fn project(template: Template) -> Project {
        let mut project = Project::default();
        project.plan.gauge = Gauge::new(28.0, 33.0).unwrap();
        let cell = |place: u32| Cell::slot(u8::from(place % 24 == 11 || place % 24 == 12));
        project.chart = Chart::new(Grid::from_cells(24, 20, (0..24 * 20).map(cell).collect()).unwrap());
        project.pieces.pieces = template.pieces(0);
        project.pieces.sizes = template.sizes().unwrap();
        project
    }

    fn of_kind(project: &Project, kind: FindingKind) -> Vec<Finding> {
        pieces(project).into_iter().filter(|found| found.kind == kind).collect()
    }

    #[test]
    fn a_motif_beside_the_middle_of_a_cut_neck_is_said_with_the_counts_that_bring_it_there() {
        let mut project = project(Template::SteekedDropShoulder);
        let round =
            |project: &Project, size: &Size| project.work_pieces(size).unwrap()[0].bands[1].start.stitches;
        let sizes = project.pieces.sizes.clone();
        for size in sizes {
            let repeats = round(&project, &size) / 24;
            project.pieces.sizes = vec![size];
            let found = of_kind(&project, FindingKind::OffCentre);
            // A quarter of the round is whole or half repeats with an even number of them.
            assert_eq!(found.is_empty(), repeats % 2 == 0, "{repeats}: {found:?}");
            if let Some(found) = found.first() {
                let near = [repeats - 1, repeats + 1].map(|n| format!("{n} ({} sts)", n * 24));
                assert!(near.iter().all(|words| found.message.contains(words)), "{}", found.message);
                assert!(found.message.contains("lies 6 sts beside"), "{}", found.message);
            }
        }
    }

    #[test]
    fn a_chart_without_a_middle_has_none_to_miss() {
        let mut project = project(Template::SteekedDropShoulder);
        // A diagonal of two stitches up a repeat of 7: no line halves it alike.
        let cell = |place: u32| Cell::slot(u8::from((place % 7 + 3 * (place / 7)) % 7 < 2 && place % 7 != 4));
        project.chart = Chart::new(Grid::from_cells(7, 7, (0..49).map(cell).collect()).unwrap());
        assert!(of_kind(&project, FindingKind::OffCentre).is_empty());
    }

    #[test]
    fn a_leg_that_whole_repeats_make_much_wider_than_asked_for_is_said_with_the_jump_at_the_cuff() {
        let found = of_kind(&project(Template::Socks), FindingKind::RepeatFit);
        assert!(!found.is_empty());
        let words = &found[0].message;
        assert!(
            words.contains("Sock, leg: whole repeats of 24 sts") && words.contains("Above the cuff"),
            "{words}"
        );
        let body = of_kind(&project(Template::SteekedDropShoulder), FindingKind::RepeatFit);
        assert!(body.is_empty(), "a repeat is small beside a body: {body:?}");
    }
}
