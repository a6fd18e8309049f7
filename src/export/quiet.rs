//! Words on where a figure comes from as a quiet mark in print, told once in the appendix.

/// The mark.
pub const MARK: &str = "†";

/// What it stands for.
pub const EXPLAINED: &str = "† A guide, not a measurement: common practice of the trade, our own judgement, or a published \
                             figure cited from memory. The swatch, the label and the band decide.";

/// What is said in brackets or after a comma, the longest first.
const SAID: [&str; 13] = [
    ": common practice and our judgement, no published source",
    " (published, cited from memory)",
    " (common practice, no published source)",
    ": Common practice, no published source",
    "Common practice, no published source",
    ", our judgement by the hardest technique",
    " (our judgement)",
    " (common practice)",
    " (from memory)",
    ", from memory",
    " from memory",
    " (read)",
    " are our judgement",
];

/// What is said before the source.
const BEFORE: [(&str, bool); 4] = [
    ("from memory: ", true),
    ("our judgement: ", true),
    ("read in the source: ", false),
    ("published: ", false),
];

/// The text without words on where its figures come from; each place that said that they are no measurement has the
/// mark, or nothing when `told` is `false`, because the appendix that explains it is left out.
pub fn quiet(text: &str, told: bool) -> String {
    let mark = if told { MARK } else { "" };
    let (mut rest, mut marked) = (text, false);
    for (before, is_guess) in BEFORE {
        if let Some(source) = rest.strip_prefix(before) {
            (rest, marked) = (source, is_guess);
        }
    }
    let mut out = rest.to_owned();
    for said in SAID {
        out = out.replace(said, if said == " (read)" { "" } else { mark });
    }
    if marked && told && !out.contains(MARK) {
        out.push_str(MARK);
    }
    let out = out.replace("††", "†");
    // A mark before all says nothing of what.
    match out.strip_prefix(mark) {
        Some(rest) if rest.is_empty() || rest.starts_with(" (") => {
            format!("Practice of the trade{mark}{rest}")
        }
        _ => out,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_for_us_become_a_mark() {
        let cases = [
            ("Body sizing (from memory)", "Body sizing†"),
            (
                "intermediate (level 3 of 4, our judgement by the hardest technique).",
                "intermediate (level 3 of 4†).",
            ),
            (
                "Limits that are seldom passed (our judgement), to be bought for.",
                "Limits that are seldom passed†, to be bought for.",
            ),
            ("from memory: ISO 3758:2023", "ISO 3758:2023†"),
            ("read in the source: ISO 3758:2023", "ISO 3758:2023"),
            (
                "our judgement: Common practice, no published source (a slight bloom)",
                "Practice of the trade† (a slight bloom)",
            ),
            ("A published table (read)", "A published table"),
            ("Nothing of the kind.", "Nothing of the kind."),
        ];
        for (text, wanted) in cases {
            assert_eq!(quiet(text, true), wanted);
            assert!(!quiet(text, false).contains(MARK));
        }
        assert_eq!(
            quiet("our judgement: Common practice, no published source", true),
            "Practice of the trade†"
        );
    }
}
