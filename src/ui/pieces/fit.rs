//! How a band's stitches and its repeat go together, and the counts that would.

use egui::{Ui, Vec2};

use super::words;
use crate::app::pieces_desk::PiecesWorked;
use crate::knit::pieces::{Band, ChartFit, Count, Rounding, Steeks, Width, WorkedBand, WorkedPiece};
use crate::knit::{Construction, Gauge};
use crate::project::Project;
use crate::ui::widgets::{Icon, caption, item, part};
use crate::units::{LengthUnit, counted};

/// Whether the repeat works out, in a line; a chart that goes on from the band below says from where.
pub fn verdict(chart: &ChartFit, band: &WorkedBand) -> String {
    let [one, many] = band.construction.row_words();
    let rounds = |n: u32| counted(u64::from(n), one, many);
    if let Some(steeks) = &band.steeks {
        let from = chart.first_row + 1;
        let own = steeks.gaps().len();
        let stretches = counted(own as u64, "stretch", "stretches");
        return format!(
            "the chart goes on from its row {from} for {}, in {stretches} between the bridges",
            rounds(band.rows())
        );
    }
    let times = |n: u32| if n == 1 { "once".to_owned() } else { format!("{n} times") };
    let up = match (chart.up, chart.rows_over) {
        (0, over) => format!("its first {}", rounds(over)),
        (up, 0) => format!("{} up", times(up)),
        (up, over) => format!("{} up and {}", times(up), rounds(over)),
    };
    let edge = if chart.edge > 0 { format!(" and {} edge sts", chart.edge) } else { String::new() };
    let repeats = counted(u64::from(chart.across), "repeat", "repeats");
    let across = format!("{repeats} of {} sts{edge} across, {up}", chart.repeat_stitches);
    match (chart.breaks_at, chart.left_over) {
        (None, _) => across,
        (Some(1), over) if over > 0 => format!("{across}; {over} sts are over"),
        (Some(row), _) => format!("{across}; does not divide from {one} {row} on"),
    }
}

/// What passes through the openings of the piece at `place` in the worked size; what does not is a finding.
pub fn passing(ui: &mut Ui, project: &Project, place: usize, worked: &PiecesWorked) {
    let Some(size) = worked.sizes.get(worked.chosen) else { return };
    let own = size.openings.iter().filter(|opening| opening.piece == place);
    for words in own.filter_map(|opening| opening.passing_words(project.units)) {
        let words = if worked.sizes.len() > 1 { format!("Size {}: {words}", size.size.name) } else { words };
        item(ui, Icon::Tick, &words);
    }
}

/// How long a band comes out, where a length was asked for.
fn length(ui: &mut Ui, counted: &WorkedBand, (gauge, units): (Gauge, LengthUnit)) {
    if let Some((wanted, off)) = counted.wanted_cm.zip(counted.length_off_cm(gauge)) {
        let height = words::length(counted.height_cm(gauge), units);
        let wanted = words::length(wanted, units);
        caption(ui, format!("{height} long; asked for {wanted} ({}).", words::off(off, units)));
    }
}

/// The counts of a band whose chart goes on between bridges; they follow from the band below.
fn between_bridges(ui: &mut Ui, counted: &WorkedBand, steeks: &Steeks) {
    item(ui, Icon::Tick, "The chart goes on in its columns between the bridges.");
    let bridges: u32 = steeks.gaps().iter().map(|(_, gap)| gap.bridge).sum();
    let ends = |word: &str, stitches: u32| {
        format!("{word} {stitches} stitches, {bridges} of them in bridges, which fold away.")
    };
    caption(ui, ends("Begins with", counted.start.stitches));
    if counted.end.stitches != counted.start.stitches {
        caption(ui, ends("Ends with", counted.end.stitches));
    }
}

/// Shows the counts of band `index` and what else would keep its repeat; a finished change gives its
/// label. `worked` is the piece as it is counted now.
pub fn show(
    ui: &mut Ui,
    project: &Project,
    bands: &mut [Band],
    index: usize,
    worked: &WorkedPiece,
) -> Option<&'static str> {
    let (gauge, units) = (project.plan.gauge, project.units);
    let counted = worked.bands.get(index)?;
    let mut taken = None;
    part(ui, "Stitches and repeat");
    if let Some(steeks) = &counted.steeks {
        between_bridges(ui, counted, steeks);
        length(ui, counted, (gauge, units));
        return None;
    }
    if let Some(chart) = &counted.chart {
        let icon = if chart.divides() { Icon::Tick } else { Icon::Warning };
        item(ui, icon, &sentence(chart));
        let below = worked.bands[..index].iter().map(WorkedBand::rows).sum();
        caption(ui, place(chart, counted, below, gauge, units));
        if !chart.divides() && counted.start.stitches != counted.end.stitches && !chart.shaped {
            caption(
                ui,
                "The repeat cannot run through plain shaping. Mark the decreases in the chart as “no \
                 stitch”, or shape in a plain band of its own.",
            );
            if ui.button("Keep the stitches even").clicked() {
                bands[index].end = Width::AsBefore;
                taken = Some("Keep the stitches even");
            }
        }
    }
    let show = Ends { gauge, units };
    show.told(ui, "Begins with", counted.start);
    let carried = counted.carried.filter(|carried| !counted.start.multiple.fits(*carried));
    let source = source(bands, index);
    let size = project.pieces.size().name;
    let begun = match (source, carried) {
        // The size's own figure stands before every width.
        _ if bands[index].own_figures(&size).is_some_and(|own| own.stitches.is_some()) => {
            own_count(ui, &show, &mut bands[index], &size, counted.start)
        }
        // The band before brings a count that does not fit: this band's own rounding mends it.
        (Source::Start(origin) | Source::End(origin), Some(carried)) if origin != index => {
            let brought = Count { stitches: carried, wanted_cm: None, ..counted.start };
            show.offered(
                ui,
                brought,
                counted.start,
                Target { width: None, rounding: &mut bands[index].rounding },
            )
        }
        (Source::Start(origin), _) => {
            let Band { start, rounding, .. } = &mut bands[origin];
            show.offered(ui, counted.start, counted.start, Target { width: Some(start), rounding })
        }
        (Source::End(origin), _) => {
            let Band { end, rounding, .. } = &mut bands[origin];
            show.offered(ui, counted.start, counted.start, Target { width: Some(end), rounding })
        }
    };
    taken = taken.or(begun);
    if counted.end != counted.start && bands[index].end != Width::AsBefore {
        show.told(ui, "Ends with", counted.end);
        let Band { end, rounding, .. } = &mut bands[index];
        let ended = show.offered(ui, counted.end, counted.end, Target { width: Some(end), rounding });
        taken = taken.or(ended);
    }
    length(ui, counted, (gauge, units));
    taken
}

/// Offers the counts beside the one that a size has of its own; what was taken.
fn own_count(ui: &mut Ui, show: &Ends, band: &mut Band, size: &str, start: Count) -> Option<&'static str> {
    let Band { own, rounding, .. } = band;
    let mut width = Width::Stitches(start.stitches);
    let (below, above) = start.neighbours();
    let either = (below.unwrap_or(start), above);
    let taken = show.choice(ui, either, start, Target { width: Some(&mut width), rounding });
    if let (Some(own), Some(_), Width::Stitches(stitches)) =
        (own.iter_mut().find(|own| own.size == size), taken, width)
    {
        own.stitches = Some(stitches);
    }
    taken
}

/// Which end of which band the stitches at the start of a band come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Source {
    Start(usize),
    End(usize),
}

fn source(bands: &[Band], index: usize) -> Source {
    let mut at = index;
    while at > 0 && bands[at].start == Width::AsBefore {
        at -= 1;
        if bands[at].end != Width::AsBefore {
            return Source::End(at);
        }
    }
    Source::Start(at)
}

/// Why the repeat works out or not.
fn sentence(chart: &ChartFit) -> String {
    let repeat = format!("The repeat of {} stitches", chart.repeat_stitches);
    let times = counted(u64::from(chart.across), "time", "times");
    match chart.breaks_at {
        None if chart.shaped => format!("{repeat} goes {times} across in every row, shaping included."),
        None => format!("{repeat} goes {times} across in every row."),
        Some(1) if chart.across == 0 => format!("{repeat} does not go in once."),
        Some(1) => {
            format!(
                "{repeat} goes {times} across with {} over.",
                counted(u64::from(chart.left_over), "stitch", "stitches")
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

/// What a taken count changes: the width where it is given in stitches, else the way it is rounded.
struct Target<'a> {
    width: Option<&'a mut Width>,
    rounding: &'a mut Rounding,
}

impl Target<'_> {
    fn take(&mut self, stitches: u32, way: Rounding) {
        match &mut self.width {
            Some(Width::Stitches(given)) => *given = stitches,
            _ => *self.rounding = way,
        }
    }

    const fn is_given(&self) -> bool {
        matches!(&self.width, Some(Width::Stitches(_)))
    }
}

/// The ends of a band in words and buttons.
struct Ends {
    gauge: Gauge,
    units: LengthUnit,
}

impl Ends {
    /// What an end comes to.
    fn told(&self, ui: &mut Ui, what: &str, count: Count) {
        let (gauge, units) = (self.gauge, self.units);
        let no = if count.multiple.fits(count.stitches) { "a" } else { "no" };
        let multiple = match (count.multiple.repeat(), count.multiple.edge()) {
            (1, _) => String::new(),
            (of, 0) => format!(", {no} multiple of {of}"),
            (of, plus) => format!(", {no} multiple of {of} plus {plus}"),
        };
        let asked = count.off_cm(gauge).zip(count.wanted_cm).map_or_else(String::new, |(off, wanted)| {
            format!("; asked for {} ({})", words::length(wanted, units), words::off(off, units))
        });
        let stitches = counted(u64::from(count.stitches), "stitch", "stitches");
        let width = words::length(count.finished_cm(gauge), units);
        caption(ui, format!("{what} {stitches}{multiple}: {width}{asked}."));
    }

    /// The counts on either side of `asked` that are not `now`, each with its cost and a button.
    fn offered(&self, ui: &mut Ui, asked: Count, now: Count, target: Target) -> Option<&'static str> {
        self.choice(ui, asked.either_side(self.gauge), now, target)
    }

    /// Two counts that are not `now`, the smaller first.
    fn choice(
        &self,
        ui: &mut Ui,
        (closer, roomier): (Count, Count),
        now: Count,
        mut target: Target,
    ) -> Option<&'static str> {
        let (gauge, units) = (self.gauge, self.units);
        let mut taken = None;
        for (other, way) in [(closer, Rounding::Down), (roomier, Rounding::Up)] {
            if other.stitches == now.stitches || !other.multiple.fits(other.stitches) {
                continue;
            }
            ui.horizontal(|ui| {
                ui.spacing_mut().button_padding = Vec2::new(6.0, 2.0);
                let mut take = ui.button(format!("Take {} stitches", other.stitches));
                if !target.is_given() {
                    take = take.on_hover_text(format!("{}, in every size", way.name()));
                }
                if take.clicked() {
                    target.take(other.stitches, way);
                    taken = Some("Take the nearest count");
                }
                let off = other.finished_cm(gauge) - now.finished_cm(gauge);
                let cost = now.off_cm(gauge).map_or(off, |now_off| now_off + off);
                let repeats = counted(u64::from(other.repeats()), "repeat", "repeats");
                caption(ui, format!("{repeats}, {}", words::off(cost, units)));
            });
        }
        taken
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::{Cell, Grid, Rect};
    use crate::knit::pieces::{Fabric, Length, Template};
    use crate::project::Chart;

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
            first_row: 0,
        }
    }

    #[test]
    fn stitches_are_followed_back_to_where_they_come_from() {
        let band = |start, end| {
            let band = Band::new("Band", Fabric::Plain, Length::Rows(4), 0);
            Band { start, end, ..band }
        };
        let as_before = Width::AsBefore;
        let bands = [
            band(Width::Stitches(40), as_before),
            band(as_before, as_before),
            band(as_before, Width::Stitches(20)),
            band(as_before, as_before),
        ];
        assert_eq!(source(&bands, 0), Source::Start(0));
        assert_eq!(source(&bands, 2), Source::Start(0));
        assert_eq!(source(&bands, 3), Source::End(2));
    }

    /// The chart bands of the body of the first size of a template, over a chart of 24 x 20 stitches.
    fn bands_of(template: Template) -> Vec<WorkedBand> {
        let mut project = Project::default();
        let grid = Grid::new(24, 20, Cell::slot(1)).unwrap();
        project.chart = Chart::new(grid);
        project.plan.gauge = Gauge::new(28.0, 33.0).unwrap();
        project.pieces.pieces = template.pieces(0);
        let body = project.work_pieces(&template.sizes().unwrap()[0]).unwrap().remove(0);
        body.bands.into_iter().filter(|band| band.chart.is_some()).collect()
    }

    #[test]
    fn a_verdict_says_what_is_over_and_from_where() {
        let mut round = bands_of(Template::SteekedDropShoulder).remove(0);
        assert_eq!(verdict(&chart(), &round), "14 repeats of 24 sts across, once up");
        let over = ChartFit { left_over: 4, breaks_at: Some(1), edge: 2, ..chart() };
        assert_eq!(
            verdict(&over, &round),
            "14 repeats of 24 sts and 2 edge sts across, once up; 4 sts are over"
        );
        assert!(sentence(&over).ends_with("14 times across with 4 stitches over."));
        let shaped = ChartFit { breaks_at: Some(12), up: 0, rows_over: 20, ..chart() };
        assert_eq!(
            verdict(&shaped, &round),
            "14 repeats of 24 sts across, its first 20 rounds; does not divide from round 12 on"
        );
        round.construction = Construction::Flat;
        assert!(verdict(&shaped, &round).ends_with("its first 20 rows; does not divide from row 12 on"));
    }

    #[test]
    fn between_bridges_the_chart_goes_on_from_where_it_was() {
        let bands = bands_of(Template::SteekedDropShoulder);
        let [below, band, ..] = &bands[..] else { panic!("two bands with a chart") };
        let goes_on = (below.rows() - below.setup_rows) % 20 + 1;
        assert_ne!(goes_on, 1);
        let words = verdict(&band.chart.unwrap(), band);
        assert_eq!(
            words,
            format!(
                "the chart goes on from its row {goes_on} for {} rounds, in 2 stretches between the bridges",
                band.rows()
            )
        );
    }
}
