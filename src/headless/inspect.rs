//! `huegauge inspect`: the figures of a project as JSON.

use std::path::Path;

use lexopt::Arg;

use super::args::no_more;
use super::error::CommandError;
use super::print;
use crate::export::inspect;
use crate::file;
use crate::project::figures::Figures;

/// Prints the figures of the project named.
pub(super) fn run(mut args: lexopt::Parser) -> Result<(), CommandError> {
    let Some(Arg::Value(path)) = args.next()? else {
        return Err(CommandError::entry("inspect needs a project: huegauge inspect PROJECT"));
    };
    no_more(args, &[])?;
    let project = file::load(Path::new(&path))?;
    let text = inspect::json(&project, &Figures::of(&project)).map_err(CommandError::Figures)?;
    print(&(text + "\n"))
}
