//! `huegauge inspect`: the figures of a project as JSON.

use std::path::Path;

use lexopt::Arg;

use super::args::no_more;
use super::print;
use crate::export::inspect;
use crate::file;
use crate::project::figures::Figures;

/// Prints the figures of the project named.
pub(super) fn run(mut args: lexopt::Parser) -> Result<(), String> {
    let Some(Arg::Value(path)) = args.next().map_err(|e| e.to_string())? else {
        return Err("inspect needs a project: huegauge inspect PROJECT".to_owned());
    };
    no_more(args, &[])?;
    let project = file::load(Path::new(&path)).map_err(|e| e.to_string())?;
    print(&(inspect::json(&project, &Figures::of(&project)) + "\n"));
    Ok(())
}
