//! What it takes to make it, told from the worked pieces: techniques, skill, needles, and what else to have.

use super::figures::number;
use crate::chart::Work;
use crate::export::instructions::Sized;
use crate::knit::pieces::{
    BindOff, CastOn, EndEdge, Fabric, Finish, StartEdge, Taken, WorkedBand, WorkedExtra, WorkedPiece,
};
use crate::knit::{Construction, Needle, Technique};
use crate::project::{GaugeStanding, Project};

/// What is done in the making, each with how hard it is, from 1 to 4.
const TECHNIQUES: [(Doing, &str, u32); 20] = [
    (Doing::Flat, "knit and purl in rows", 1),
    (Doing::Round, "knit in the round", 2),
    (Doing::Rib, "ribbing", 1),
    (Doing::Moss, "moss stitch", 1),
    (Doing::Stripes, "stripes", 1),
    (Doing::Stranded, "stranded colourwork", 3),
    (Doing::Intarsia, "intarsia", 3),
    (Doing::Shaping, "increases and decreases", 2),
    (Doing::Provisional, "provisional cast-on", 3),
    (Doing::PickUp, "picking up stitches", 2),
    (Doing::Hold, "stitches set aside", 2),
    (Doing::Opening, "opening on waste yarn", 3),
    (Doing::ShortRows, "short rows", 3),
    (Doing::Join, "joining live stitches", 3),
    (Doing::Graft, "grafting", 3),
    (Doing::ThreeNeedle, "three-needle bind-off", 2),
    (Doing::Seam, "seams", 2),
    (Doing::Steek, "steek", 4),
    (Doing::StretchyEdge, "stretchy edges", 2),
    (Doing::ShapedColour, "shaping in a colour pattern", 4),
];

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Doing {
    Flat,
    Round,
    Rib,
    Moss,
    Stripes,
    Stranded,
    Intarsia,
    Shaping,
    Provisional,
    PickUp,
    Hold,
    Opening,
    ShortRows,
    Join,
    Graft,
    ThreeNeedle,
    Seam,
    Steek,
    StretchyEdge,
    ShapedColour,
}

/// What it takes.
pub struct Making<'a> {
    project: &'a Project,
    sized: &'a Sized,
    done: Vec<Doing>,
}

impl<'a> Making<'a> {
    /// Looks through the pieces of every size.
    pub fn of(project: &'a Project, sized: &'a Sized) -> Self {
        let mut done = Vec::new();
        for piece in sized.worked.iter().flatten() {
            of_piece(piece, &mut done);
        }
        let shaped = project.chart.grid.cells().iter().any(|cell| cell.work() != Work::Plain);
        if shaped && (done.contains(&Doing::Stranded) || done.contains(&Doing::Intarsia)) {
            done.extend([Doing::ShapedColour, Doing::Shaping]);
        }
        Self { project, sized, done }
    }

    fn does(&self, doing: Doing) -> bool {
        self.done.contains(&doing)
    }

    /// The techniques, in one sentence.
    pub fn techniques(&self) -> String {
        let used = TECHNIQUES.iter().filter(|(doing, ..)| self.does(*doing));
        let words: Vec<&str> = used.map(|(_, words, _)| *words).collect();
        format!("{}.", words.join(", "))
    }

    /// The four levels of the published project scale (Craft Yarn Council, names from memory); which
    /// technique belongs to which is our judgement.
    pub fn skill(&self) -> String {
        let hardest = TECHNIQUES.iter().filter(|(doing, ..)| self.does(*doing)).map(|(_, _, level)| *level);
        let level = hardest.max().unwrap_or(1);
        let name = ["basic", "easy", "intermediate", "complex"][(level as usize - 1).min(3)];
        format!("{name} (level {level} of 4, our judgement by the hardest technique).")
    }

    /// Whether intarsia is worked.
    pub fn intarsia(&self) -> bool {
        self.does(Doing::Intarsia)
    }

    /// The needles: the size of the swatch that is followed, finer ones for ribbing, and lengths.
    pub fn needles(&self) -> String {
        let followed = self.project.material.followed();
        let mut words = match followed.map(|followed| (followed.name(), followed.entry.swatch.needle_mm)) {
            Some((swatch, Some(mm))) => {
                let name = Needle::nearest(mm).filter(|needle| (needle.mm() - mm).abs() < 0.05);
                let name = name.map_or_else(|| format!("{} mm", number(mm, 2)), Needle::name);
                let gives = self.project.gauge_standing() != GaugeStanding::Differs;
                let but = if gives { "" } else { ", which did not give the gauge" };
                format!("{name} in {swatch}{but}, or the size that gives the gauge")
            }
            Some((swatch, None)) => format!("the size that gives the gauge (that of {swatch} was not told)"),
            None => "the size that gives the gauge (no swatch is measured)".to_owned(),
        };
        if self.does(Doing::Rib) {
            words.push_str("; 0.5 mm finer for the ribbing");
        }
        if let Some(lengths) = self.needle_lengths() {
            words.push_str("; ");
            words.push_str(&lengths);
        }
        words.push('.');
        words
    }

    /// Circular needles no longer than the rounds they hold (common practice, no published source).
    fn needle_lengths(&self) -> Option<String> {
        const LENGTHS: [u32; 4] = [40, 60, 80, 100];
        let gauge = self.project.plan.gauge;
        let round = |piece: &&WorkedPiece| piece.construction == Construction::InTheRound;
        let pieces = || self.sized.worked.iter().flatten().filter(round);
        let widest = |piece: &WorkedPiece| {
            let most = piece.bands.iter().flat_map(|band| &band.row_stitches).copied().max();
            gauge.width(most.unwrap_or(0)).get()
        };
        let narrowest = |piece: &WorkedPiece| {
            let least = piece.bands.iter().flat_map(|band| &band.row_stitches).copied().min();
            gauge.width(least.unwrap_or(0)).get()
        };
        pieces().next()?;
        let mut fit: Vec<u32> = pieces()
            .filter_map(|piece| LENGTHS.into_iter().rfind(|length| f64::from(*length) < widest(piece)))
            .collect();
        fit.sort_unstable();
        fit.dedup();
        let circular = fit.iter().map(ToString::to_string).collect::<Vec<_>>().join(" and ");
        let small = pieces().any(|piece| narrowest(piece) < 42.0);
        let circulars = if fit.len() > 1 { "circulars of" } else { "a circular of" };
        Some(match (fit.is_empty(), small) {
            (true, _) => "double-points, or one long circular".to_owned(),
            (false, true) => format!("{circulars} {circular} cm, and double-points or one long circular"),
            (false, false) => format!("{circulars} {circular} cm"),
        })
    }

    /// What else to have at hand.
    pub fn notions(&self) -> String {
        let mut words = Vec::new();
        let mut when = |needed: bool, what: &str| {
            if needed {
                words.push(what.to_owned());
            }
        };
        let raglan = self.does(Doing::Join);
        when(self.does(Doing::Round) && !raglan, "a stitch marker");
        when(raglan, "stitch markers");
        when(
            [Doing::Hold, Doing::Opening, Doing::Provisional].iter().any(|doing| self.does(*doing)),
            "waste yarn",
        );
        when(self.does(Doing::ThreeNeedle), "a spare needle");
        when(self.does(Doing::Steek), "sewing thread and needle (or a machine) for the steeks");
        when(self.intarsia(), "bobbins");
        when(true, "a tapestry needle");
        when(true, "scissors");
        let words = words.join(", ");
        format!("{words}.")
    }

    /// What to mind about the gauge.
    pub fn gauge_note(&self) -> String {
        let plan = &self.project.plan;
        let bands = || self.sized.worked.iter().flatten().flat_map(|piece| piece.bands.iter());
        let stranded = |band: &WorkedBand| band.chart.is_some() && band.technique == Technique::Stranded;
        let plain = |band: &WorkedBand| matches!(band.fabric, Fabric::Plain) && band.rows() >= 10;
        let mut words = vec![match plan.construction {
            Construction::InTheRound => {
                "Swatch in the round: many knitters purl more loosely than they knit."
            }
            Construction::Flat => "Swatch in rows.",
        }];
        if bands().any(stranded) && bands().any(plain) {
            words.push(
                "Stranded and plain knitting seldom come out alike: swatch both, and change the needle between \
                 them until both have this gauge.",
            );
        }
        let basis = self.project.gauge_words();
        words.insert(0, &basis);
        words.push("Wash and dry the swatch as the piece will be, then count (common practice).");
        words.join(" ")
    }
}

fn of_piece(piece: &WorkedPiece, done: &mut Vec<Doing>) {
    done.push(if piece.construction == Construction::InTheRound { Doing::Round } else { Doing::Flat });
    let stretchy = piece.cast_on == CastOn::Stretchy && piece.start == StartEdge::CastOn;
    let ends = [
        (piece.cast_on == CastOn::Provisional && piece.start == StartEdge::CastOn, Doing::Provisional),
        (stretchy || piece.bind_off == BindOff::Stretchy, Doing::StretchyEdge),
        (piece.start == StartEdge::PickedUp, Doing::PickUp),
        (!piece.live.is_empty(), Doing::Hold),
        (piece.taken.len() > 1 && piece.taken.iter().all(|t| matches!(t, Taken::Group { .. })), Doing::Join),
        (piece.taken.iter().any(|taken| !matches!(taken, Taken::Group { .. })), Doing::PickUp),
        (piece.end == EndEdge::Grafted, Doing::Graft),
    ];
    done.extend(ends.into_iter().filter(|(is, _)| *is).map(|(_, doing)| doing));
    done.extend(piece.finish.iter().map(|finish| match finish {
        Finish::Graft { .. } => Doing::Graft,
        Finish::ThreeNeedle { .. } => Doing::ThreeNeedle,
        Finish::Seam(_) => Doing::Seam,
        Finish::Steek { .. } => Doing::Steek,
    }));
    for band in piece.bands.iter().filter(|band| band.rows() > 0) {
        done.extend(match band.fabric {
            Fabric::Ribbing { .. } => Some(Doing::Rib),
            Fabric::Moss => Some(Doing::Moss),
            Fabric::Plain | Fabric::Garter | Fabric::Chart { .. } => None,
        });
        let shaped = band.chart.is_some_and(|chart| chart.shaped);
        if band.start.stitches != band.end.stitches || band.change_at_start() != 0 || shaped {
            done.push(Doing::Shaping);
        }
        if band.chart.is_some() || band.colours.len() > 1 {
            done.push(match band.technique {
                Technique::Stranded => Doing::Stranded,
                Technique::Intarsia => Doing::Intarsia,
                Technique::Stripes => Doing::Stripes,
            });
        }
        if shaped && band.technique != Technique::Stripes {
            done.push(Doing::ShapedColour);
        }
        done.extend(band.then.iter().map(|extra| match extra {
            WorkedExtra::Opening { .. } => Doing::Opening,
            WorkedExtra::Steek { .. } => Doing::Steek,
            WorkedExtra::ShortRows { .. } | WorkedExtra::HeelTurn { .. } => Doing::ShortRows,
        }));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::file::demos;

    #[test]
    fn the_demos_say_what_they_take() {
        let all: Vec<String> = demos()
            .iter()
            .map(|demo| {
                let project = demo.project().unwrap();
                let sized = Sized::of(&project, None).unwrap();
                let making = Making::of(&project, &sized);
                [making.techniques(), making.skill(), making.needles(), making.notions()].concat()
            })
            .collect();
        for words in &all {
            assert!(words.contains("tapestry needle") && words.contains("0.5 mm finer"), "{words}");
        }
        assert!(all.iter().any(|words| words.contains("stranded colourwork")));
        assert!(all.iter().any(|words| words.contains("bobbins") && words.contains("intarsia")));
        assert!(all.iter().any(|words| words.contains("grafting") && words.contains("circular")));
    }
}
