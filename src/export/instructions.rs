//! How the pieces are knitted, in words, for all sizes at once: `256 (284, 312) sts`.

use crate::knit::Construction;
use crate::knit::pieces::{
    EndEdge, Fabric, PieceError, Size, StartEdge, WorkedBand, WorkedPiece, change_across,
};
use crate::project::Project;
use crate::units::both_lengths;

/// The pieces of a project counted out in every size.
pub struct Sized {
    /// The sizes, never none.
    pub sizes: Vec<Size>,
    /// For each size its pieces, in the same order in every size.
    pub worked: Vec<Vec<WorkedPiece>>,
    /// The size that sums and schematics are for.
    pub chosen: usize,
}

impl Sized {
    /// Counts out the pieces of `project`; `chosen` names the size of sums and schematics, `None` is the
    /// project's own choice.
    ///
    /// # Errors
    /// [`PieceError`] when a piece cannot be worked in one of the sizes.
    pub fn of(project: &Project, chosen: Option<usize>) -> Result<Self, PieceError> {
        let sizes = project.pieces.all_sizes();
        let worked = sizes.iter().map(|size| project.work_pieces(size)).collect::<Result<_, _>>()?;
        let chosen = chosen.unwrap_or(project.pieces.chosen).min(sizes.len() - 1);
        Ok(Self { sizes, worked, chosen })
    }

    /// The pieces of the chosen size.
    pub fn chosen_pieces(&self) -> &[WorkedPiece] {
        self.worked.get(self.chosen).map_or(&[], Vec::as_slice)
    }

    /// `S (M, L)`.
    pub fn size_names(&self) -> String {
        in_sizes(self.sizes.iter().map(|size| size.name.clone()))
    }

    /// A figure of piece `i` in every size: `256 (284, 312)`, or one where all are the same.
    pub fn figure<T: std::fmt::Display>(&self, i: usize, of: impl Fn(&WorkedPiece) -> T) -> String {
        in_sizes(self.worked.iter().filter_map(|pieces| pieces.get(i)).map(|piece| of(piece).to_string()))
    }
}

/// The first, and the others in brackets; one when all are the same.
fn in_sizes(values: impl Iterator<Item = String>) -> String {
    let values: Vec<String> = values.collect();
    match values.split_first() {
        None => String::new(),
        Some((first, rest)) if rest.iter().all(|value| value == first) => first.clone(),
        Some((first, rest)) => format!("{first} ({})", rest.join(", ")),
    }
}

/// One piece in words.
pub struct PieceWords {
    /// Name, copies and construction.
    pub heading: String,
    /// What to do, step by step.
    pub steps: Vec<String>,
}

/// All pieces in words.
pub fn instructions(project: &Project, sized: &Sized) -> Vec<PieceWords> {
    let names = project.palette.codes();
    let writer = Writer { project, sized, names: &names };
    sized.chosen_pieces().iter().enumerate().map(|(i, piece)| writer.piece(i, piece)).collect()
}

struct Writer<'a> {
    project: &'a Project,
    sized: &'a Sized,
    names: &'a [String],
}

impl Writer<'_> {
    fn piece(&self, i: usize, piece: &WorkedPiece) -> PieceWords {
        let construction = piece.construction.name().to_lowercase();
        let make = if piece.copies > 1 { format!(", make {}", piece.copies) } else { String::new() };
        let mut steps = vec![self.beginning(i, piece)];
        for (j, band) in piece.bands.iter().enumerate() {
            let rows: u32 = self.bands(i, j).map(WorkedBand::rows).sum();
            if rows > 0 {
                steps.push(self.band(i, j, band));
            }
        }
        steps.push(self.ending(i, piece));
        PieceWords { heading: format!("{} ({construction}{make})", piece.name), steps }
    }

    /// Band `j` of piece `i` in every size.
    fn bands(&self, i: usize, j: usize) -> impl Iterator<Item = &WorkedBand> {
        self.sized.worked.iter().filter_map(move |pieces| pieces.get(i)?.bands.get(j))
    }

    fn band_figure(&self, i: usize, j: usize, of: impl Fn(&WorkedBand) -> u32) -> String {
        in_sizes(self.bands(i, j).map(|band| of(band).to_string()))
    }

    fn beginning(&self, i: usize, piece: &WorkedPiece) -> String {
        let stitches = self.sized.figure(i, WorkedPiece::first_stitches);
        let colour = piece.bands.first().map_or_else(String::new, |band| self.colours(band));
        let round = match piece.construction {
            Construction::InTheRound => " Join to work in the round.",
            Construction::Flat => "",
        };
        match piece.start {
            StartEdge::CastOn => format!("With {colour}, CO {stitches} sts.{round}"),
            StartEdge::PickedUp => format!("With {colour}, pick up and k {stitches} sts.{round}"),
            StartEdge::Joined => {
                let live =
                    self.bands(i, 0).map(|band| band.carried.unwrap_or(band.start.stitches).to_string());
                format!("Take up the live sts of the pieces before: {} sts.{round}", in_sizes(live))
            }
        }
    }

    fn ending(&self, i: usize, piece: &WorkedPiece) -> String {
        let stitches = self.sized.figure(i, WorkedPiece::last_stitches);
        match piece.end {
            EndEdge::BoundOff => format!("BO all {stitches} sts."),
            EndEdge::DrawnTogether => {
                format!("Cut the yarn, draw it through the rem {stitches} sts and pull tight.")
            }
            EndEdge::Grafted => format!("Graft the rem {stitches} sts, half to half."),
            EndEdge::Live if piece.set_aside > 0 => {
                let aside = self.sized.figure(i, |piece| piece.set_aside);
                format!("Set {aside} of the {stitches} sts aside on a thread; leave the others live.")
            }
            EndEdge::Live => format!("Leave the {stitches} sts live."),
        }
    }

    fn band(&self, i: usize, j: usize, band: &WorkedBand) -> String {
        let gauge = self.project.plan.gauge;
        let row = match band.construction {
            Construction::InTheRound => "rnds",
            Construction::Flat => "rows",
        };
        let rows = self.band_figure(i, j, WorkedBand::rows);
        let tall = both_lengths(band.height_cm(gauge), self.project.units);
        let size = if self.sized.sizes.len() > 1 {
            format!("{tall} in size {}", self.sized.sizes[self.sized.chosen].name)
        } else {
            tall
        };
        let work = match band.fabric {
            Fabric::Plain => format!("St st in {}", self.colours(band)),
            Fabric::Ribbing { knit, purl } => format!("k{knit}, p{purl} rib in {}", self.colours(band)),
            Fabric::Chart { .. } => self.chart(i, j, band),
        };
        format!(
            "{}: {}work {rows} {row} ({size}) of {work}.{}",
            band.name,
            self.change(i, j, band),
            self.shaping(i, j, band)
        )
    }

    fn colours(&self, band: &WorkedBand) -> String {
        let name = |slot: &usize| self.names.get(*slot).map_or("?", String::as_str);
        let names: Vec<&str> = band.colours.iter().map(name).collect();
        match names[..] {
            [one] => one.to_owned(),
            _ => format!("stripes of {} rows each in {}", band.stripe_rows, names.join(", ")),
        }
    }

    /// What the first row gains or loses.
    fn change(&self, i: usize, j: usize, band: &WorkedBand) -> String {
        if self.bands(i, j).all(|band| band.change_at_start() == 0) {
            return String::new();
        }
        let to = self.band_figure(i, j, |band| band.start.stitches);
        let how = band.carried.map_or_else(String::new, |from| change_across(from, band.start.stitches));
        let how = if how.is_empty() {
            String::new()
        } else {
            format!(" (size {}: {how})", self.sized.sizes[self.sized.chosen].name)
        };
        format!("in the first row, inc or dec evenly to {to} sts{how}, then ")
    }

    fn chart(&self, i: usize, j: usize, band: &WorkedBand) -> String {
        let Some(fit) = band.chart else { return String::new() };
        let across = self.band_figure(i, j, |band| band.chart.map_or(0, |fit| fit.across));
        let mut words = vec![format!("the chart, {across} repeats of {} sts across", fit.repeat_stitches)];
        if fit.edge > 0 {
            words.push(format!(" and {} edge sts", fit.edge));
        }
        if fit.up > 1 || fit.rows_over > 0 {
            words.push(format!(", {} times up", fit.up));
        }
        if fit.rows_over > 0 {
            words.push(format!(" and {} rows of the next", fit.rows_over));
        }
        if let Some(row) = fit.breaks_at {
            words.push(format!(
                " (the repeat does not work out from row {row} on: {} sts are over)",
                fit.left_over
            ));
        }
        if fit.shaped {
            let end = self.band_figure(i, j, |band| band.end.stitches);
            words.push(format!(", shaping as charted to {end} sts"));
        }
        words.concat()
    }

    fn shaping(&self, i: usize, j: usize, band: &WorkedBand) -> String {
        if self.bands(i, j).all(|band| band.schedule.events() == 0) {
            return String::new();
        }
        let end = self.band_figure(i, j, |band| band.end.stitches);
        let word = if band.end.stitches > band.start.stitches { "inc" } else { "dec" };
        let change = band.start.stitches.abs_diff(band.end.stitches);
        let per_row = change.div_ceil(band.schedule.events().max(1));
        let schedules: Vec<String> = self.bands(i, j).map(|band| band.schedule.to_string()).collect();
        let when = if schedules.iter().all(|schedule| *schedule == schedules[0]) {
            schedules[0].clone()
        } else {
            let named = self.sized.sizes.iter().zip(&schedules);
            named.map(|(size, when)| format!("{}: {when}", size.name)).collect::<Vec<_>>().join("; ")
        };
        let per_row = if per_row > 8 { "evenly".to_owned() } else { format!("{per_row} sts") };
        format!(" Meanwhile {word} {per_row} {when}, to {end} sts.")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::file::demos;

    #[test]
    fn figures_of_all_sizes_stand_in_one_row_and_equal_ones_once() {
        let words = |values: &[&str]| in_sizes(values.iter().map(|v| (*v).to_owned()));
        assert_eq!(words(&["256", "284", "312"]), "256 (284, 312)");
        assert_eq!(words(&["8", "8"]), "8");
        assert_eq!(words(&[]), "");
    }

    #[test]
    fn the_yoke_is_told_from_hem_to_neck() {
        let project = demos()[0].project().unwrap();
        let sized = Sized::of(&project, None).unwrap();
        assert_eq!(sized.size_names(), "S (M, L)");
        let pieces = instructions(&project, &sized);
        assert_eq!(pieces[1].heading, "Sleeve (in the round, make 2)");
        assert_eq!(pieces[0].steps[0], "With A, CO 256 (284, 312) sts. Join to work in the round.");
        let yoke = pieces[2].steps.join(" ");
        assert!(yoke.contains("the chart, 14 (15, 17) repeats of 24 sts across"), "{yoke}");
        assert!(
            yoke.contains("Meanwhile dec evenly S: every 3rd row 4 times; M: every 4th row 4 times"),
            "{yoke}"
        );
        assert!(yoke.ends_with("BO all 104 (116, 124) sts."), "{yoke}");
    }
}
