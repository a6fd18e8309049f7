//! `huegauge mend`: a project whose floats keep to its limit.

use std::path::PathBuf;

use lexopt::Arg;
use serde::Serialize;

use super::args::{OptionHelp, known_names, path_value, unknown};
use super::error::CommandError;
use super::{outputs, print};
use crate::export::json;
use crate::file;
use crate::project::{MendBy, Mending, Project};

/// The options of the command.
pub(super) const OPTIONS: &[OptionHelp] = &[
    OptionHelp { name: "out", value: "PROJECT", help: "the project with its floats mended" },
    OptionHelp { name: "catches", value: "", help: "leave the chart as it is and count the catches" },
];

/// What came of it.
#[derive(Serialize)]
struct Report {
    /// The limit of the project, in stitches at its gauge.
    float_limit: u32,
    floats_before: usize,
    floats_after: usize,
    stitches_changed: u32,
    /// In one repeat.
    catches: usize,
    /// Row numbers, from 1 at the bottom, with too many colours for an exact answer.
    rows_left: Vec<u32>,
}

/// Mends, writes the project and prints what was done.
pub(super) fn run(mut args: lexopt::Parser) -> Result<(), CommandError> {
    let (mut path, mut out, mut by) = (None, None, MendBy::Stitches);
    while let Some(arg) = args.next()? {
        match arg {
            Arg::Long("out") if out.is_none() => out = Some(path_value(&mut args, "--out")?),
            Arg::Long("catches") => by = MendBy::Catches,
            Arg::Value(value) if path.is_none() => path = Some(PathBuf::from(value)),
            other => return Err(CommandError::Entry(unknown(&other, &known_names(&[OPTIONS])))),
        }
    }
    let usage = "huegauge mend PROJECT --out PROJECT";
    let path = path.ok_or_else(|| CommandError::Entry(format!("mend needs a project: {usage}")))?;
    let out =
        out.ok_or_else(|| CommandError::Entry(format!("mend needs a file for the mended project: {usage}")))?;
    outputs::check(&path, std::iter::once(out.as_path()))?;
    let mut project = file::load(&path)?;
    let mending = project.mending(by);
    if let Some(edit) = mending.edit() {
        project.apply(edit);
    }
    file::save_atomic(&out, &project)?;
    print(&(json::text(&report(&project, mending)).map_err(CommandError::Figures)? + "\n"))
}

fn report(project: &Project, mending: Mending) -> Report {
    let Mending { floats_before, floats_after, stitches_changed, catches, rows_left, .. } = mending;
    Report {
        float_limit: project.plan.float_limit.in_stitches(project.plan.gauge),
        floats_before,
        floats_after,
        stitches_changed,
        catches,
        rows_left: rows_left.iter().map(|row| row + 1).collect(),
    }
}
