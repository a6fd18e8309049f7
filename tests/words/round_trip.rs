//! What is printed is read back as it was.

use crate::random::pattern;
use huegauge::words::Pattern;

#[test]
fn any_pattern_is_read_back_as_it_was_printed() {
    for seed in 0..3_000 {
        let one = pattern(seed);
        let text = one.to_text();
        match Pattern::read(&text) {
            Err(error) => panic!("seed {seed}: {error}\n{}", around(&text, error.line)),
            Ok(read) => {
                if read != one {
                    for (a, b) in one.pieces.iter().zip(&read.pieces) {
                        for (a, b) in a.sections.iter().zip(&b.sections) {
                            for (a, b) in a.lines.iter().zip(&b.lines) {
                                assert_eq!(a, b, "seed {seed}");
                            }
                        }
                    }
                    assert_eq!(read, one, "seed {seed}");
                }
            }
        }
    }
}

#[test]
fn white_space_and_capitals_do_not_matter() {
    for seed in 0..200 {
        let one = pattern(seed);
        let text = one.to_text().replace("–", " - ").replace(", ", " ,\t").replace("Rnd", "ROUND");
        let text = text.replace("Sizes: ", "sizes:   ").replace(" ,\tRS", ", RS");
        let read = Pattern::read(&text);
        assert!(read.is_ok(), "seed {seed}: {}", read.unwrap_err());
    }
}

fn around(text: &str, line: usize) -> String {
    text.lines().skip(line.saturating_sub(2)).take(3).collect::<Vec<_>>().join("\n")
}
