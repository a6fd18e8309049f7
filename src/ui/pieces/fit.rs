//! How a band's stitches and its repeat go together, and the counts that would.

use egui::{Ui, Vec2};

use super::fields::{item, part};
use super::{Draft, words};
use crate::knit::pieces::{Band, ChartFit, Count, Rounding, Width, WorkedBand};
use crate::knit::{Construction, Gauge};
use crate::project::Project;
use crate::ui::widgets::{Icon, caption};
use crate::units::LengthUnit;

/// Whether the repeat works out, in a line.
pub fn verdict(chart: &ChartFit) -> String {
    let up = match (chart.up, chart.rows_over) {
        (0, over) => format!("the first {}", words::counted(over, "row", "rows")),
        (up, 0) => format!("{up} up"),
        (up, over) => format!("{up} up and {}", words::counted(over, "row", "rows")),
    };
    let edge = if chart.edge > 0 { format!(" and {} edge sts", chart.edge) } else { String::new() };
    let across = format!("{} across of {} sts{edge}, {up}", chart.across, chart.repeat_stitches);
    match (chart.breaks_at, chart.left_over) {
        (None, _) => across,
        (Some(1), over) if over > 0 => format!("{across}; {over} sts are over"),
        (Some(row), _) => format!("{across}; does not divide from row {row} on"),
    }
}

/// Shows the counts of the worked band and what else would keep its repeat.
pub fn show(
    ui: &mut Ui,
    project: &Project,
    (band, worked, rows_below): (&mut Band, &WorkedBand, u32),
    draft_label: &mut Option<&'static str>,
) {
    let (gauge, units) = (project.plan.gauge, project.units);
    part(ui, "Stitches and repeat");
    if let Some(chart) = &worked.chart {
        let icon = if chart.divides() { Icon::Tick } else { Icon::Warning };
        item(ui, icon, &sentence(chart));
        caption(ui, place(chart, worked, rows_below, gauge, units));
        if !chart.divides() && worked.start.stitches != worked.end.stitches && !chart.shaped {
            caption(
                ui,
                "The repeat cannot run through plain shaping. Mark the decreases in the chart as “no \
                 stitch”, or shape in a plain band of its own.",
            );
            if ui.button("Keep the stitches even").clicked() {
                band.end = Width::AsBefore;
                *draft_label = Some("Keep the stitches even");
            }
        }
    }
    end(ui, ("Begins with", worked.start), &mut band.start, &mut band.rounding, (gauge, units), draft_label);
    if worked.end != worked.start && band.end != Width::AsBefore {
        end(ui, ("Ends with", worked.end), &mut band.end, &mut band.rounding, (gauge, units), draft_label);
    }
    if let Some(off) = worked.length_off_cm(gauge) {
        let asked = words::length(worked.wanted_cm.unwrap_or(0.0), units);
        caption(
            ui,
            format!(
                "{} long; asked for {asked} ({}).",
                words::length(worked.height_cm(gauge), units),
                words::off(off, units)
            ),
        );
    }
}

/// Why the repeat works out or not.
fn sentence(chart: &ChartFit) -> String {
    let repeat = format!("The repeat of {} stitches", chart.repeat_stitches);
    let times = words::counted(chart.across, "time", "times");
    match chart.breaks_at {
        None if chart.shaped => format!("{repeat} goes {times} across in every row, shaping included."),
        None => format!("{repeat} goes {times} across in every row."),
        Some(1) if chart.across == 0 => format!("{repeat} does not go in once."),
        Some(1) => {
            format!(
                "{repeat} goes {times} across with {} over.",
                words::counted(chart.left_over, "stitch", "stitches")
            )
        }
        Some(row) => format!("{repeat} goes {times} across, but no longer divides from row {row} on."),
    }
}

/// Where the chart sits on the piece.
fn place(chart: &ChartFit, worked: &WorkedBand, rows_below: u32, gauge: Gauge, units: LengthUnit) -> String {
    let what = if worked.construction == Construction::InTheRound { "Rounds" } else { "Rows" };
    let (first, last) = (rows_below + 1, rows_below + worked.rows());
    let from = gauge.height(rows_below).get();
    format!(
        "{what} {first} to {last} of the piece, {} to {} above its first; the first repeat begins at \
         stitch {} from the right.",
        words::length(from, units),
        words::length(from + worked.height_cm(gauge), units),
        chart.first_repeat_from_right() + 1
    )
}

/// One end of a band: what it comes to, and the counts on either side of what was asked for.
fn end(
    ui: &mut Ui,
    (what, count): (&str, Count),
    width: &mut Width,
    rounding: &mut Rounding,
    (gauge, units): (Gauge, LengthUnit),
    draft_label: &mut Option<&'static str>,
) {
    let multiple = match (count.multiple.repeat(), count.multiple.edge()) {
        (1, _) => String::new(),
        (of, 0) => format!(", a multiple of {of}"),
        (of, plus) => format!(", a multiple of {of} plus {plus}"),
    };
    let fits = count.multiple.fits(count.stitches);
    let multiple = if fits { multiple } else { multiple.replacen(", a", ", no", 1) };
    let asked = count.off_cm(gauge).zip(count.wanted_cm).map_or_else(String::new, |(off, wanted)| {
        format!("; asked for {} ({})", words::length(wanted, units), words::off(off, units))
    });
    caption(
        ui,
        format!(
            "{what} {}{multiple}: {}{asked}.",
            words::counted(count.stitches, "stitch", "stitches"),
            words::length(count.finished_cm(gauge), units)
        ),
    );
    if *width == Width::AsBefore {
        return;
    }
    let (closer, roomier) = count.either_side(gauge);
    for (other, way) in [(closer, Rounding::Down), (roomier, Rounding::Up)] {
        if other.stitches == count.stitches || !other.multiple.fits(other.stitches) {
            continue;
        }
        ui.horizontal(|ui| {
            ui.spacing_mut().button_padding = Vec2::new(6.0, 2.0);
            let take = ui.button(format!("Take {} stitches", other.stitches));
            let given = matches!(width, Width::Stitches(_));
            let take = if given {
                take
            } else {
                take.on_hover_text(format!("Rounds this band {} in every size", way.name().to_lowercase()))
            };
            if take.clicked() {
                match width {
                    Width::Stitches(stitches) => *stitches = other.stitches,
                    _ => *rounding = way,
                }
                *draft_label = Some("Take the nearest count");
            }
            let cost =
                other.off_cm(gauge).unwrap_or_else(|| other.finished_cm(gauge) - count.finished_cm(gauge));
            caption(
                ui,
                format!(
                    "{}, {}",
                    words::counted(other.repeats(), "repeat", "repeats"),
                    words::off(cost, units)
                ),
            );
        });
    }
}

/// Hands a finished change on to the draft.
pub fn finish(draft: &mut Draft, label: Option<&'static str>) {
    if let Some(label) = label {
        draft.step(label);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::Rect;

    fn chart() -> ChartFit {
        ChartFit {
            region: Rect::new(0, 0, 24, 49),
            repeat_stitches: 24,
            across: 14,
            edge: 0,
            left_over: 0,
            breaks_at: None,
            repeat_rows: 49,
            up: 1,
            rows_over: 0,
            shaped: false,
        }
    }

    #[test]
    fn a_verdict_says_what_is_over_and_from_where() {
        assert_eq!(verdict(&chart()), "14 across of 24 sts, 1 up");
        let over = ChartFit { left_over: 4, breaks_at: Some(1), edge: 2, ..chart() };
        assert_eq!(verdict(&over), "14 across of 24 sts and 2 edge sts, 1 up; 4 sts are over");
        assert!(sentence(&over).ends_with("14 times across with 4 stitches over."));
        let shaped = ChartFit { breaks_at: Some(12), up: 0, rows_over: 20, ..chart() };
        assert_eq!(
            verdict(&shaped),
            "14 across of 24 sts, the first 20 rows; does not divide from row 12 on"
        );
    }
}
