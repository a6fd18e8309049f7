//! Lines of plain text that are no longer than a letter page.

/// Characters in a line.
const WIDTH: usize = 88;

/// Words in lines; `mark` stands before the first, and as much space before the others.
pub(super) fn wrapped(words: &str, mark: &str) -> Vec<String> {
    let indent = " ".repeat(mark.chars().count());
    let (mut lines, mut line) = (Vec::new(), mark.to_owned());
    let mut is_fresh = true;
    for word in words.split_whitespace() {
        if !is_fresh && line.chars().count() + 1 + word.chars().count() > WIDTH {
            lines.push(std::mem::replace(&mut line, indent.clone()));
            is_fresh = true;
        }
        if !is_fresh {
            line.push(' ');
        }
        line.push_str(word);
        is_fresh = false;
    }
    if !is_fresh {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_short_and_lose_no_word() {
        let words = "a needle size up and down ".repeat(20);
        let lines = wrapped(&words, "- ");
        assert!(lines.len() > 4 && lines.iter().all(|line| line.chars().count() <= WIDTH));
        assert!(lines[0].starts_with("- a") && lines[1].starts_with("  "));
        let joined: Vec<&str> =
            lines.iter().flat_map(|line| line.trim_start_matches("- ").split_whitespace()).collect();
        assert_eq!(joined, words.split_whitespace().collect::<Vec<_>>());
        assert!(wrapped("", "- ").is_empty());
    }
}
