//! `huegauge side`: the same piece in two yarns or weight classes.

use std::path::PathBuf;

use lexopt::Arg;
use serde::Serialize;

use super::args::{OptionHelp, known_names, unknown, value};
use super::error::CommandError;
use super::{export, print};
use crate::chart::Grid;
use crate::export::json::{self, rounded};
use crate::file;
use crate::plain_text::quoted;
use crate::project::{Side, SideFigures};
use crate::units::CM_PER_INCH;
use crate::yarn::{WeightClass, Yarn};

/// The options of the command.
pub(super) const OPTIONS: &[OptionHelp] = &[
    OptionHelp {
        name: "first",
        value: "SIDE",
        help: "project, a weight class (0 to 7, or its name) or a yarn you keep, by its name (project)",
    },
    OptionHelp { name: "second", value: "SIDE", help: "the same, for the other side (one class thicker)" },
    OptionHelp { name: "size", value: "NAME", help: "the size that is knitted (the project's)" },
];

struct SideJob {
    project: PathBuf,
    named: [Option<String>; 2],
    size: Option<String>,
}

/// Prints both sides.
pub(super) fn run(args: lexopt::Parser) -> Result<(), CommandError> {
    let job = job_asked(args)?;
    let mut project = file::load(&job.project)?;
    if let Some(name) = &job.size {
        project.pieces.chosen = export::size_named(&project, name)?;
    }
    let kept = match file::recent::config_dir() {
        Some(dir) => file::load_own_yarns(&dir)?,
        None => Vec::new(),
    };
    let mut sides = project.first_sides();
    for ((side, named), option) in sides.iter_mut().zip(&job.named).zip(["--first", "--second"]) {
        if let Some(name) = named {
            *side = side_named(name, &kept, option)?;
        }
    }
    let found = project
        .side_by_side(&sides, &kept)
        .map_err(|what| CommandError::Content { file: job.project.clone(), what })?;
    let out = BothOut {
        project: &project.title,
        size: project.pieces.size().name,
        currency: project.currency.written(),
        sides: found.iter().map(SideOut::new).collect(),
    };
    print(&(json::text(&out).map_err(CommandError::Figures)? + "\n"))
}

fn job_asked(mut args: lexopt::Parser) -> Result<SideJob, CommandError> {
    let (mut project, mut size, mut named) = (None, None, [None, None]);
    while let Some(arg) = args.next()? {
        match arg {
            Arg::Long("first") if named[0].is_none() => named[0] = Some(side_value(&mut args, "--first")?),
            Arg::Long("second") if named[1].is_none() => named[1] = Some(side_value(&mut args, "--second")?),
            Arg::Long("size") if size.is_none() => {
                size = Some(value(&mut args, "--size", "the name of a size")?);
            }
            Arg::Value(path) if project.is_none() => project = Some(PathBuf::from(path)),
            other => return Err(CommandError::Entry(unknown(&other, &known_names(&[OPTIONS])))),
        }
    }
    let usage = "side needs a project: huegauge side PROJECT --first SIDE --second SIDE";
    Ok(SideJob { project: project.ok_or_else(|| CommandError::entry(usage))?, named, size })
}

fn side_value(args: &mut lexopt::Parser, option: &str) -> Result<String, CommandError> {
    value(args, option, "project, a weight class or the name of a yarn you keep")
}

/// The side of this name; a yarn that is kept goes before a class of the same name.
fn side_named(name: &str, kept: &[Yarn], option: &str) -> Result<Side, CommandError> {
    let named = |other: &str| other.eq_ignore_ascii_case(name.trim());
    if named("project") {
        return Ok(Side::Project);
    }
    if let Some(yarn) = kept.iter().find(|yarn| named(&yarn.name)) {
        return Ok(Side::Yarn(Box::new(yarn.clone())));
    }
    let by_number = name.trim().parse().ok().and_then(WeightClass::from_number);
    let class = by_number.or_else(|| WeightClass::ALL.into_iter().find(|class| named(class.name())));
    class.map(Side::Class).ok_or_else(|| {
        let kept: Vec<String> = kept.iter().map(|yarn| quoted(&yarn.name)).collect();
        let kept = if kept.is_empty() { "none".to_owned() } else { kept.join(", ") };
        let name = quoted(name);
        CommandError::Entry(format!(
            "{option}: '{name}' is neither project, a weight class from 0 to 7, nor a yarn you keep (these are kept: {kept})"
        ))
    })
}

#[derive(Serialize)]
struct BothOut<'a> {
    project: &'a str,
    size: String,
    currency: &'a str,
    sides: Vec<SideOut<'a>>,
}

#[derive(Serialize)]
struct SideOut<'a> {
    name: &'a str,
    weight_class: u8,
    stitches_per_10_cm: f64,
    rows_per_10_cm: f64,
    gauge_from: &'a str,
    /// Of the whole piece.
    stitches: u64,
    hours: f64,
    metres_low: f64,
    metres_likely: f64,
    metres_high: f64,
    grams_low: f64,
    grams_likely: f64,
    grams_high: f64,
    /// Of the whole piece: nothing on hand is taken off `balls` and `cost`, on either side.
    balls: u64,
    ball_g: f64,
    cost: Option<f64>,
    /// As Shopping and `inspect` count it: what is on hand of this yarn is taken off.
    balls_to_buy: u64,
    cost_to_buy: Option<f64>,
    /// Whether any of it is on hand, so that `balls_to_buy` and `cost_to_buy` have it taken off.
    on_hand_taken_off: bool,
    price_from: &'a str,
    smallest_square: Option<SmallestOut>,
    smallest_circle: Option<SmallestOut>,
    /// Of the weight class; common practice, no published source.
    warmth: &'a str,
    drape: &'a str,
    judged: &'static str,
    fabric: &'static str,
    grams_per_m2: f64,
    /// The chart's repeat at its size in cm.
    repeat: RepeatOut,
}

#[derive(Serialize)]
struct SmallestOut {
    width_cm: f64,
    width_in: f64,
    stitches: u32,
}

#[derive(Serialize)]
struct RepeatOut {
    width_stitches: Option<u32>,
    height_rows: Option<u32>,
    words: String,
}

impl SmallestOut {
    fn new((cm, stitches): (f64, u32)) -> Self {
        Self { width_cm: rounded(cm), width_in: rounded(cm / CM_PER_INCH), stitches }
    }
}

impl<'a> SideOut<'a> {
    fn new(side: &'a SideFigures) -> Self {
        let (metres, grams) = (side.sum.metres(), side.sum.grams());
        Self {
            name: &side.name,
            weight_class: side.class.class().number(),
            stitches_per_10_cm: rounded(side.gauge.stitches.get()),
            rows_per_10_cm: rounded(side.gauge.rows.get()),
            gauge_from: &side.gauge_from,
            stitches: side.stitches,
            hours: rounded(side.hours),
            metres_low: rounded(metres.low),
            metres_likely: rounded(metres.likely),
            metres_high: rounded(metres.high),
            grams_low: rounded(grams.low),
            grams_likely: rounded(grams.likely),
            grams_high: rounded(grams.high),
            balls: side.sum.balls(),
            ball_g: rounded(side.yarn.put_up.ball_g()),
            cost: side.sum.cost().map(|cost| rounded(cost.get())),
            balls_to_buy: side.to_buy.balls(),
            cost_to_buy: side.to_buy.cost().map(|cost| rounded(cost.get())),
            on_hand_taken_off: side.on_hand,
            price_from: &side.price_from,
            smallest_square: side.smallest_square.map(SmallestOut::new),
            smallest_circle: side.smallest_circle.map(SmallestOut::new),
            warmth: side.meaning.warmth,
            drape: side.meaning.drape,
            judged: "warmth and drape are common practice, no published source",
            fabric: side.cover.words(),
            grams_per_m2: rounded(side.grams_per_m2),
            repeat: RepeatOut::new(side),
        }
    }
}

impl RepeatOut {
    fn new(side: &SideFigures) -> Self {
        match &side.repeat {
            Err(reason) => Self { width_stitches: None, height_rows: None, words: reason.clone() },
            Ok(at) => {
                let grid = at.stitches.as_ref();
                Self {
                    width_stitches: grid.map(Grid::width),
                    height_rows: grid.map(Grid::height),
                    words: at.verdict(),
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::yarn::{Blend, Fibre, PutUp, YarnId};

    #[test]
    fn a_side_is_the_project_a_class_or_a_kept_yarn() {
        let put_up = PutUp::new(400.0, 100.0).unwrap();
        let kept = vec![Yarn::new(YarnId(0), "Tide rope", Blend::pure(Fibre::Wool), put_up)];
        let named = |name: &str| side_named(name, &kept, "--first");
        assert_eq!(named("Project").unwrap(), Side::Project);
        assert_eq!(named("4").unwrap(), named(WeightClass::Medium.name()).unwrap());
        assert_eq!(named("tide ROPE").unwrap(), Side::Yarn(Box::new(kept[0].clone())));
        let fault = named("9").unwrap_err().to_string();
        assert!(fault.contains("'9'") && fault.contains("Tide rope"), "{fault}");
    }
}
