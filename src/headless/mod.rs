//! The command line: the window's file, or one command without a window and without a display.

mod args;
mod card;
mod colour_json;
mod error;
mod export;
mod gauge;
mod inspect;
mod knit;
mod matching;
mod mend;
mod outputs;
mod photo;
mod picture;
mod sets;
mod shades;
mod side;

use std::ffi::OsString;
use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

use lexopt::Arg;

use self::args::{OptionHelp, no_more, unknown};
use self::error::CommandError;
use crate::plain_text::one_line;

/// What is left to do after the command line was read.
#[derive(Debug)]
pub enum Outcome {
    /// Nothing: end the program with this code.
    Finished(ExitCode),
    /// Open the window, on this project if one was named.
    OpenWindow(Option<PathBuf>),
}

/// Exit code of bad input.
const BAD_INPUT: u8 = 2;

/// Reads the command line (without the program's own name) and carries out a headless command.
///
/// Bad input ends with code 2 and one line on standard error.
pub fn run(args: impl IntoIterator<Item = OsString>) -> Outcome {
    match command(lexopt::Parser::from_args(args)) {
        Ok(outcome) => outcome,
        Err(error) => Outcome::Finished(complain(&error.to_string(), error.exit_code())),
    }
}

/// The exit code after the window has closed; says why when it could not be opened.
pub fn window_closed(result: Result<(), String>) -> ExitCode {
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(reason) => complain(&reason, ExitCode::from(BAD_INPUT)),
    }
}

fn complain(message: &str, code: ExitCode) -> ExitCode {
    // Nobody is left to tell when even this fails.
    let _ = writeln!(std::io::stderr(), "huegauge: {}", one_line(message));
    code
}

fn command(mut args: lexopt::Parser) -> Result<Outcome, CommandError> {
    let done = || Outcome::Finished(ExitCode::SUCCESS);
    match args.next()? {
        None => Ok(Outcome::OpenWindow(None)),
        Some(Arg::Long("help") | Arg::Short('h')) => {
            print(&help())?;
            Ok(done())
        }
        Some(Arg::Long("version") | Arg::Short('V')) => {
            print(concat!("huegauge ", env!("CARGO_PKG_VERSION"), "\n"))?;
            Ok(done())
        }
        Some(Arg::Value(word)) if word == "card" => card::run(args).map(|()| done()),
        Some(Arg::Value(word)) if word == "gauge" => gauge::run(args).map(|()| done()),
        Some(Arg::Value(word)) if word == "export" => export::run(args).map(|()| done()),
        Some(Arg::Value(word)) if word == "inspect" => inspect::run(args).map(|()| done()),
        Some(Arg::Value(word)) if word == "knit" => knit::run(args).map(|()| done()),
        Some(Arg::Value(word)) if word == "mend" => mend::run(args).map(|()| done()),
        Some(Arg::Value(word)) if word == "photo" => photo::run(args).map(|()| done()),
        Some(Arg::Value(word)) if word == "picture" => picture::run(args).map(|()| done()),
        Some(Arg::Value(word)) if word == "match" => matching::run(args).map(|()| done()),
        Some(Arg::Value(word)) if word == "side" => side::run(args).map(|()| done()),
        Some(Arg::Value(word)) if word == "sets" => sets::run(args).map(|()| done()),
        Some(Arg::Value(path)) => {
            no_more(args, &[])?;
            Ok(Outcome::OpenWindow(Some(path.into())))
        }
        Some(other) => Err(CommandError::Entry(unknown(&other, &["help", "version"]))),
    }
}

fn help() -> String {
    let mut text = String::from(
        "Huegauge plans a colourwork knit: colours, chart, motif fit and yarn.\n\n\
         huegauge [PROJECT]                  open the window\n\
         huegauge export PROJECT OPTIONS     write files, without a window\n\
         huegauge inspect PROJECT            print the figures of a project as JSON\n\
         huegauge knit PROJECT               knit the pieces from their own words and print what comes of it as JSON\n\
         huegauge knit --words FILE          the same from words that were written or edited\n\
         huegauge mend PROJECT --out FILE    bring every float under the limit and print the changes as JSON\n\
         huegauge photo PICTURE OPTIONS      print the colours of yarn in a photograph as JSON\n\
         huegauge gauge PICTURE OPTIONS      print the gauge of a swatch in a photograph as JSON\n\
         huegauge picture PICTURE OPTIONS    make a chart of a picture and print how near it comes as JSON\n\
         huegauge card TABLE --out CARD      make a shade card of a shop's table and print what came in as JSON\n\
         huegauge match SHADES OPTIONS       print the nearest shades to a palette as JSON\n\
         huegauge sets SHADES OPTIONS        print the best sets of shades as JSON\n\
         huegauge side PROJECT OPTIONS       print the same piece in two yarns or weight classes as JSON\n\
         huegauge --help | --version\n\n\
         SHADES is a shade card, a table of shades whose name ends in .csv, or a project with shade cards.\n",
    );
    let sections = [
        ("export", export::OPTIONS),
        ("knit", knit::OPTIONS),
        ("mend", mend::OPTIONS),
        ("photo", photo::OPTIONS),
        ("gauge", gauge::OPTIONS),
        ("picture", picture::OPTIONS),
        ("card", card::OPTIONS),
        ("match", matching::OPTIONS),
        ("sets", sets::OPTIONS),
        ("side", side::OPTIONS),
        ("match and of sets, to narrow the shades down", shades::OPTIONS),
    ];
    for (command, options) in sections {
        text.extend(["\nOptions of ", command, ":\n"]);
        for OptionHelp { name, value, help } in options {
            let option = format!("--{name} {value}");
            text.extend(["  ", &option, &" ".repeat(34 - option.len().min(33)), help, "\n"]);
        }
    }
    text.push_str("\nWhat goes wrong is said in one line on standard error, and nothing is overwritten. The code is 2 for a \
         fault in what was asked or in a file, 74 for one of the machine (no room), 70 for one of the program. knit \
         prints what came of it and ends with 2, too, when a pattern stumbles or leaves stitches open.\n",
    );
    text
}

/// Prints to standard output. A reader that has gone away is no error: it has seen enough.
///
/// # Errors
/// [`CommandError::Output`] when the text cannot be written whole.
fn print(text: &str) -> Result<(), CommandError> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => Err(CommandError::Output(error)),
        _ => Ok(()),
    }
}
