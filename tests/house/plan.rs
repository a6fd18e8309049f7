//! What a source text names, read from its tokens: comments, text in quotes and the way lines are broken make no
//! difference, and what stands inside a macro is seen too.

use proc_macro2::{Delimiter, TokenStream, TokenTree};

/// Rooms from the ground up; a room may use those before it and those in its own row.
const FLOORS: [&[&str]; 10] = [
    &["units", "plain_text"],
    &["colour"],
    &["chart", "yarn", "photo"],
    &["knit"],
    &["words", "from_picture"],
    &["project"],
    &["file", "export"],
    &["app"],
    &["ui", "headless"],
    &["main"],
];

/// Only these rooms may name the window library.
const WITH_WINDOW: [&str; 2] = ["ui", "main"];

/// Rooms that neither read nor write anything outside memory.
const PURE: [&str; 10] =
    ["units", "plain_text", "colour", "photo", "yarn", "knit", "chart", "words", "from_picture", "project"];

fn floor(room: &str) -> Option<usize> {
    FLOORS.iter().position(|rooms| rooms.contains(&room))
}

/// What is wrong with the source text of the module at `path`, the room first (`["chart", "grid"]`).
pub fn faults(path: &[&str], source: &str) -> Vec<String> {
    let own = floor(path[0]).unwrap_or_else(|| panic!("the plan does not know the room '{}'", path[0]));
    let tokens: TokenStream = source.parse().unwrap_or_else(|error| panic!("{path:?}: {error}"));
    let mut reader = Reader { room: path[0], own, faults: Vec::new() };
    reader.read(tokens, path.len());
    reader.faults
}

/// Every function with a body: its name, and its lines from `fn` to the closing bracket, less those of the
/// functions within it.
pub fn functions(source: &str) -> Vec<(String, usize)> {
    let mut found = Vec::new();
    functions_in(source.parse().unwrap(), &mut found);
    found
}

/// Finds the functions in `tokens`; gives back how many lines they take, nested ones included.
fn functions_in(tokens: TokenStream, found: &mut Vec<(String, usize)>) -> usize {
    let tokens: Vec<TokenTree> = tokens.into_iter().collect();
    let (mut all, mut head) = (0, None);
    for (i, token) in tokens.iter().enumerate() {
        match token {
            TokenTree::Ident(word) if word == "fn" => {
                let name = tokens.get(i + 1).filter(|token| matches!(token, TokenTree::Ident(_)));
                head = name.map(|name| (name.to_string(), word.span().start().line));
            }
            TokenTree::Punct(mark) if mark.as_char() == ';' => head = None,
            TokenTree::Group(group) => {
                let within = functions_in(group.stream(), found);
                let is_body = group.delimiter() == Delimiter::Brace;
                if let Some((name, line)) = head.take_if(|_| is_body) {
                    let lines = group.span_close().end().line - line + 1;
                    found.push((name, lines - within.min(lines)));
                    all += lines;
                } else {
                    all += within;
                }
            }
            TokenTree::Ident(_) | TokenTree::Punct(_) | TokenTree::Literal(_) => {}
        }
    }
    all
}

fn is_word(token: Option<&TokenTree>, word: &str) -> bool {
    matches!(token, Some(TokenTree::Ident(ident)) if ident == word)
}

fn is_mark(token: Option<&TokenTree>, mark: char) -> bool {
    matches!(token, Some(TokenTree::Punct(punct)) if punct.as_char() == mark)
}

/// What follows `::` at the start of `tokens`.
fn after_colons(tokens: &[TokenTree]) -> Option<&[TokenTree]> {
    (is_mark(tokens.first(), ':') && is_mark(tokens.get(1), ':')).then(|| &tokens[2..])
}

/// The first words of a path or of every branch of a tree of paths; `*` for everything.
fn first_words(tokens: &[TokenTree]) -> Vec<String> {
    match tokens.first() {
        Some(TokenTree::Ident(word)) => vec![word.to_string()],
        Some(TokenTree::Group(group)) => {
            let inside: Vec<TokenTree> = group.stream().into_iter().collect();
            inside.split(|token| is_mark(Some(token), ',')).flat_map(first_words).collect()
        }
        Some(TokenTree::Punct(mark)) if mark.as_char() == '*' => vec!["*".to_owned()],
        _ => Vec::new(),
    }
}

struct Reader<'a> {
    room: &'a str,
    own: usize,
    faults: Vec<String>,
}

impl Reader<'_> {
    /// Reads the tokens of a module `depth` steps below the crate.
    fn read(&mut self, tokens: TokenStream, depth: usize) {
        let tokens: Vec<TokenTree> = tokens.into_iter().collect();
        for (i, token) in tokens.iter().enumerate() {
            match token {
                TokenTree::Group(group) => {
                    let is_module = i >= 2 && is_word(tokens.get(i - 2), "mod");
                    self.read(group.stream(), depth + usize::from(is_module));
                }
                TokenTree::Ident(word) => {
                    let follows_colons = i >= 2 && after_colons(&tokens[i - 2..]).is_some();
                    let line = word.span().start().line;
                    self.word(&word.to_string(), &tokens[i + 1..], (line, depth, follows_colons));
                }
                _ => {}
            }
        }
    }

    /// One word and what follows it.
    fn word(&mut self, word: &str, rest: &[TokenTree], (line, depth, follows): (usize, usize, bool)) {
        if (word.starts_with("egui") || word == "eframe") && !WITH_WINDOW.contains(&self.room) {
            self.fault(line, &format!("may not name {word}"));
        }
        let named = after_colons(rest);
        match (word, named) {
            ("crate", None) if is_word(rest.first(), "as") => {
                self.fault(line, "gives the crate another name");
            }
            ("crate" | "huegauge", Some(named)) => self.rooms(line, named),
            ("super", Some(_)) if !follows => self.upwards(line, rest, depth),
            ("std", Some(named)) if PURE.contains(&self.room) => {
                for name in first_words(named) {
                    if ["fs", "net", "process", "env", "*"].contains(&name.as_str()) {
                        self.fault(line, &format!("is pure and may not use std::{name}"));
                    }
                }
            }
            _ => {}
        }
    }

    /// A chain of `super::` that may lead out of the room.
    fn upwards(&mut self, line: usize, mut rest: &[TokenTree], depth: usize) {
        let mut up = 1;
        while let Some(named) = after_colons(rest) {
            if !is_word(named.first(), "super") {
                if up >= depth {
                    self.rooms(line, named);
                }
                return;
            }
            (up, rest) = (up + 1, &named[1..]);
        }
    }

    fn rooms(&mut self, line: usize, named: &[TokenTree]) {
        for name in first_words(named) {
            if name == "*" || name == "self" {
                self.fault(line, "names every room at once");
            } else if floor(&name).is_some_and(|other| other > self.own) {
                self.fault(line, &format!("may not use {name}"));
            }
        }
    }

    fn fault(&mut self, line: usize, what: &str) {
        self.faults.push(format!("line {line}: {} {what}", self.room));
    }
}
