//! Reading the command line: values after options, and what to say to words that mean nothing.

use std::path::PathBuf;

use lexopt::Arg;

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
pub(super) fn path_value(args: &mut lexopt::Parser, option: &str) -> Result<PathBuf, String> {
    args.value().map(PathBuf::from).map_err(|_| format!("{option} needs a file name after it"))
}

/// The value after an option; `what` says what is needed.
pub(super) fn value<T: std::str::FromStr>(
    args: &mut lexopt::Parser,
    option: &str,
    what: &str,
) -> Result<T, String> {
    let word = args.value().map_err(|_| format!("{option} needs {what} after it"))?;
    let text = word.to_string_lossy();
    text.parse().map_err(|_| format!("{option} needs {what} after it, not '{text}'"))
}

/// Refuses anything that follows.
pub(super) fn no_more(mut args: lexopt::Parser, known: &[&str]) -> Result<(), String> {
    match args.next().map_err(|e| e.to_string())? {
        None => Ok(()),
        Some(arg) => Err(unknown(&arg, known)),
    }
}

/// What to say to an argument that means nothing, with the nearest one that does.
pub(super) fn unknown(arg: &Arg<'_>, known: &[&str]) -> String {
    let name = match arg {
        Arg::Value(value) => {
            return format!("'{}' is one word too many: see huegauge --help", value.to_string_lossy());
        }
        Arg::Short(c) => return format!("there is no option '-{c}': see huegauge --help"),
        Arg::Long(name) => name,
    };
    let nearest = known.iter().map(|option| (distance(name, option), *option)).min();
    match nearest {
        Some((distance, option)) if distance <= option.len().div_ceil(2) => {
            format!("there is no option '--{name}': did you mean --{option}?")
        }
        _ => format!("there is no option '--{name}' here: see huegauge --help"),
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
