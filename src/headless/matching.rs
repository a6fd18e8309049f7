//! `huegauge match`: a wished palette in shades that exist, as JSON.

use std::path::PathBuf;

use serde::Serialize;

use super::args::{OptionHelp, value};
use super::colour_json::{ColourOut, ShadeOut};
use super::error::CommandError;
use super::print;
use super::shades::{self, CostOut, Shades, SourceOut, Wanted, colours_value};
use crate::colour::Colour;
use crate::export::json::{self, key, rounded};
use crate::project::Project;
use crate::yarn::{Candidate, Matched, Wish, match_palette};

/// The options of the command, beside those that narrow the shades down.
pub(super) const OPTIONS: &[OptionHelp] = &[
    OptionHelp {
        name: "wish",
        value: "'#RRGGBB,...'",
        help: "the colours wished for (the palette, when the file is a project)",
    },
    OptionHelp { name: "alternatives", value: "N", help: "other shades shown for each colour, 0 to 100 (3)" },
];

/// Other shades shown for each colour at most.
const MOST_ALTERNATIVES: usize = 100;

/// What the command is asked for.
struct MatchJob {
    file: PathBuf,
    wish: Vec<Colour>,
    alternatives: usize,
    wanted: Wanted,
}

/// A colour that is wished for, with what is known about it.
struct Asked {
    name: Option<String>,
    role: Option<String>,
    wish: Wish,
}

/// Matches and prints.
pub(super) fn run(args: lexopt::Parser) -> Result<(), CommandError> {
    let job = job_asked(args)?;
    let shades = Shades::open(&job.file)?;
    let allowed = shades.wanted(&job.wanted)?;
    let asked = asked(&job, shades.project.as_ref())?;
    let wishes: Vec<Wish> = asked.iter().map(|asked| asked.wish).collect();
    let found = match_palette(&shades.card, &allowed, &wishes, job.alternatives)?;
    let balls = found.cost.needed.iter().copied().zip(found.cost.balls.iter().copied());
    let colours = asked.iter().zip(&found.matched).zip(balls);
    let out = MatchOut {
        source: shades.source_out(&job.wanted, allowed.len()),
        colours: colours
            .map(|((asked, found), balls)| MatchedOut::new(asked, found, balls, &shades))
            .collect(),
        total_difference_ciede2000: rounded(found.total_difference),
        cost: shades.cost_out(&found.cost),
    };
    print(&(json::text(&out).map_err(CommandError::Figures)? + "\n"))
}

fn job_asked(args: lexopt::Parser) -> Result<MatchJob, CommandError> {
    let (mut wish, mut alternatives, mut wanted) = (Vec::new(), 3, Wanted::default());
    let missing = "match needs shades: huegauge match CARD --wish '#1f2a4d,#d8cbb2'";
    let file = shades::read_args(args, &mut wanted, (OPTIONS, missing), |option, args| {
        match option {
            "wish" => wish.extend(colours_value(args, "--wish")?),
            "alternatives" => {
                alternatives = value(args, "--alternatives", "a whole number")?;
                if alternatives > MOST_ALTERNATIVES {
                    let what = format!("--alternatives may be 0 to {MOST_ALTERNATIVES}, not {alternatives}");
                    return Err(CommandError::Entry(what));
                }
            }
            _ => return Ok(false),
        }
        Ok(true)
    })?;
    Ok(MatchJob { file, wish, alternatives, wanted })
}

/// The colours wished for: those given, or the palette with the yarn it takes.
fn asked(job: &MatchJob, project: Option<&Project>) -> Result<Vec<Asked>, CommandError> {
    if !job.wish.is_empty() {
        let plain =
            |colour: &Colour| Asked { name: None, role: None, wish: Wish { colour: *colour, metres: None } };
        return Ok(job.wish.iter().map(plain).collect());
    }
    let project = project
        .ok_or_else(|| CommandError::entry("match needs colours: name some with --wish '#1f2a4d,#d8cbb2'"))?;
    let pieces = project
        .work_pieces(&project.pieces.size())
        .map_err(|e| CommandError::Content { file: job.file.clone(), what: e.to_string() })?;
    let yarn = project.pieces_yarn(&pieces, None);
    let slots = project.palette.slots().iter().zip(&yarn.colours);
    Ok(slots
        .map(|(slot, used)| Asked {
            name: Some(slot.name.clone()),
            role: Some(key(slot.role.name())),
            wish: Wish { colour: slot.colour, metres: Some(used.metres().high) },
        })
        .collect())
}

#[derive(Serialize)]
struct MatchOut<'a> {
    source: SourceOut<'a>,
    colours: Vec<MatchedOut<'a>>,
    total_difference_ciede2000: f64,
    cost: CostOut<'a>,
}

#[derive(Serialize)]
struct MatchedOut<'a> {
    /// Name and role in the project's palette.
    name: Option<&'a str>,
    role: Option<&'a str>,
    wish: ColourOut,
    /// The high figure, which the balls hold.
    metres_high: Option<f64>,
    #[serde(flatten)]
    chosen: CandidateOut<'a>,
    /// Balls those metres take of this shade, what is owned with them.
    balls_needed: u32,
    /// Balls to buy: those less what is owned.
    balls: u32,
    alternatives: Vec<CandidateOut<'a>>,
}

#[derive(Serialize)]
struct CandidateOut<'a> {
    shade: ShadeOut<'a>,
    difference_ciede2000: f64,
    likeness: String,
}

impl<'a> MatchedOut<'a> {
    fn new(asked: &'a Asked, found: &Matched, (balls_needed, balls): (u32, u32), shades: &'a Shades) -> Self {
        let candidate = |candidate: &Candidate| CandidateOut {
            shade: shades.shade_out(candidate.shade),
            difference_ciede2000: rounded(candidate.difference),
            likeness: key(candidate.likeness().name()),
        };
        Self {
            name: asked.name.as_deref(),
            role: asked.role.as_deref(),
            wish: ColourOut::new(asked.wish.colour),
            metres_high: asked.wish.metres.map(rounded),
            chosen: candidate(&found.chosen),
            balls_needed,
            balls,
            alternatives: found.alternatives.iter().map(candidate).collect(),
        }
    }
}
