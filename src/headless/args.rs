//! Reading the command line: values after options, and what to say to words that mean nothing.

use std::fmt::Display;
use std::ops::RangeInclusive;
use std::path::PathBuf;
use std::str::FromStr;

use lexopt::Arg;

use super::error::CommandError;
use crate::plain_text::quoted;

/// A choice on the command line.
pub(super) struct OptionHelp {
    pub(super) name: &'static str,
    pub(super) value: &'static str,
    pub(super) help: &'static str,
}

/// The names of some lists of options, to guess at slips of the hand.
pub(super) fn known_names(lists: &[&[OptionHelp]]) -> Vec<&'static str> {
    lists.iter().flat_map(|options| options.iter()).map(|option| option.name).collect()
}

/// The file name after an option.
pub(super) fn path_value(args: &mut lexopt::Parser, option: &str) -> Result<PathBuf, CommandError> {
    let path = args.value().map(PathBuf::from).ok().filter(|path| !path.as_os_str().is_empty());
    path.ok_or_else(|| CommandError::Entry(format!("{option} needs a file name after it")))
}

/// The value after an option; `what` says what is needed.
pub(super) fn value<T: FromStr>(
    args: &mut lexopt::Parser,
    option: &str,
    what: &str,
) -> Result<T, CommandError> {
    value_by(args, option, what, |text| text.parse().ok())
}

/// A number in a range; `kind` says of which kind.
pub(super) fn value_in<T: FromStr + PartialOrd + Display>(
    args: &mut lexopt::Parser,
    option: &str,
    kind: &str,
    range: &RangeInclusive<T>,
) -> Result<T, CommandError> {
    let what = format!("{kind} from {} to {}", range.start(), range.end());
    value_by(args, option, &what, |text| text.parse().ok().filter(|found| range.contains(found)))
}

/// What `parse` makes of the text after an option; `what` says what is needed.
pub(super) fn value_by<T>(
    args: &mut lexopt::Parser,
    option: &str,
    what: &str,
    parse: impl FnOnce(&str) -> Option<T>,
) -> Result<T, CommandError> {
    let word = args.value().map_err(|_| CommandError::Entry(format!("{option} needs {what} after it")))?;
    let text = word.to_string_lossy();
    let wrong = || format!("{option} needs {what} after it, not '{}'", quoted(&text));
    parse(&text).ok_or_else(|| CommandError::Entry(wrong()))
}

/// Refuses anything that follows.
pub(super) fn no_more(mut args: lexopt::Parser, known: &[&str]) -> Result<(), CommandError> {
    match args.next()? {
        None => Ok(()),
        Some(arg) => Err(CommandError::Entry(unknown(&arg, known))),
    }
}

/// What to say to an argument that means nothing, with the nearest one that does.
pub(super) fn unknown(arg: &Arg<'_>, known: &[&str]) -> String {
    let name = match arg {
        Arg::Value(value) => {
            return format!(
                "'{}' is one word too many: see huegauge --help",
                quoted(&value.to_string_lossy())
            );
        }
        Arg::Short(c) => return format!("there is no option '-{c}': see huegauge --help"),
        Arg::Long(name) => name,
    };
    let nearest = known.iter().map(|option| (distance(name, option), *option)).min();
    match nearest {
        Some((distance, option)) if distance <= option.len().div_ceil(2) => {
            format!("there is no option '--{}': did you mean --{option}?", quoted(name))
        }
        _ => format!("there is no option '--{}' here: see huegauge --help", quoted(name)),
    }
}

/// Levenshtein distance in characters.
pub(super) fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, from) in a.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, to) in b.iter().enumerate() {
            let change = diagonal + usize::from(from != *to);
            diagonal = row[j + 1];
            row[j + 1] = change.min(diagonal + 1).min(row[j] + 1);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_distance_counts_changes() {
        assert_eq!(distance("chart", "chart"), 0);
        assert_eq!(distance("chrat", "chart"), 2);
        assert_eq!(distance("", "px"), 2);
    }
}
