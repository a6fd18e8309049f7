//! The structure of a PDF: what is a heading, a paragraph, a table, a picture, in the order of reading,
//! and the bookmarks that follow from the headings.

use std::num::NonZeroU16;

use krilla::destination::XyzDestination;
use krilla::geom::Point;
use krilla::outline::{Outline, OutlineNode};
use krilla::tagging::{Identifier, Node, TableHeaderScope, Tag, TagGroup, TagTree};

use super::drawing::{Item, Layer, Role};
use crate::plain_text::one_line;

/// Gathers what is read from the layers, one after the other.
#[derive(Default)]
pub(super) struct Structure {
    read: Vec<Read>,
    bookmarks: Vec<Bookmark>,
}

/// Something that is read.
enum Read {
    Heading { level: u16, words: String, parts: Vec<Identifier> },
    Words(Vec<Identifier>),
    Figure { told: String, parts: Vec<Identifier> },
    Table { number: usize, rows: Vec<(usize, Vec<(bool, Identifier)>)> },
}

struct Bookmark {
    level: u16,
    words: String,
    place: XyzDestination,
}

impl Structure {
    /// Notes a painted layer; `part` is what it was painted under, `page` its page from 0 and `points` the
    /// points of a unit.
    pub fn note(&mut self, layer: &Layer, part: Identifier, page: usize, points: f64) {
        match &layer.role {
            Role::Decoration => {}
            Role::Picture => self.read.push(Read::Words(vec![part])),
            Role::Heading(level) => {
                let words = words_of(layer);
                let top = layer.items.iter().map(|item| item.vertical_extent().0).fold(f64::MAX, f64::min);
                let at = Point::from_xy(0.0, (top.max(0.0) * points) as f32);
                let place = XyzDestination::new(page, at);
                self.bookmarks.push(Bookmark { level: *level, words: words.clone(), place });
                self.read.push(Read::Heading { level: *level, words, parts: vec![part] });
            }
            Role::Words { goes_on } => match self.read.last_mut() {
                Some(Read::Words(parts)) if *goes_on => parts.push(part),
                _ => self.read.push(Read::Words(vec![part])),
            },
            Role::Figure(told) => self.read.push(Read::Figure { told: told.clone(), parts: vec![part] }),
            Role::Cell { table, row, head } => self.cell((*table, *row, *head), part),
        }
    }

    fn cell(&mut self, (table, row, head): (usize, usize, bool), part: Identifier) {
        let same = matches!(self.read.last(), Some(Read::Table { number, .. }) if *number == table);
        if !same {
            self.read.push(Read::Table { number: table, rows: Vec::new() });
        }
        let Some(Read::Table { rows, .. }) = self.read.last_mut() else { return };
        match rows.last_mut().filter(|(last, _)| *last == row) {
            Some((_, cells)) => cells.push((head, part)),
            None => rows.push((row, vec![(head, part)])),
        }
    }

    /// The tags in the order of reading.
    pub fn tree(&self, language: &str) -> TagTree {
        let mut tree = TagTree::new().with_lang(Some(language.to_owned()));
        for read in &self.read {
            tree.push(read.group());
        }
        tree
    }

    /// The bookmarks; those of a lower level lie under the one before.
    pub fn outline(&self) -> Outline {
        let mut outline = Outline::new();
        for node in nodes(&self.bookmarks) {
            outline.push_child(node);
        }
        outline
    }
}

fn nodes(marks: &[Bookmark]) -> Vec<OutlineNode> {
    let mut made = Vec::new();
    let mut rest = marks;
    while let Some((first, after)) = rest.split_first() {
        let own = after.iter().take_while(|mark| mark.level > first.level).count();
        let mut node = OutlineNode::new(first.words.clone(), first.place.clone()).with_open(first.level == 1);
        for child in nodes(&after[..own]) {
            node.push_child(child);
        }
        made.push(node);
        rest = &after[own..];
    }
    made
}

impl Read {
    fn group(&self) -> TagGroup {
        let leaves = |parts: &[Identifier]| parts.iter().map(|part| Node::from(*part)).collect::<Vec<_>>();
        match self {
            Self::Heading { level, words, parts } => {
                let level = NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN);
                TagGroup::with_children(Tag::Hn(level, Some(words.clone())), leaves(parts))
            }
            Self::Words(parts) => TagGroup::with_children(Tag::P, leaves(parts)),
            Self::Figure { told, parts } => {
                TagGroup::with_children(Tag::Figure(Some(told.clone())), leaves(parts))
            }
            Self::Table { rows, .. } => {
                let cell = |(head, part): &(bool, Identifier)| {
                    let part = vec![Node::from(*part)];
                    Node::from(if *head {
                        TagGroup::with_children(Tag::TH(TableHeaderScope::Column), part)
                    } else {
                        TagGroup::with_children(Tag::TD, part)
                    })
                };
                let row = |(_, cells): &(usize, Vec<(bool, Identifier)>)| {
                    Node::from(TagGroup::with_children(Tag::TR, cells.iter().map(cell).collect()))
                };
                TagGroup::with_children(Tag::Table, rows.iter().map(row).collect())
            }
        }
    }
}

fn words_of(layer: &Layer) -> String {
    let words = layer.items.iter().filter_map(|item| match item {
        Item::Text(line) => Some(line.text.as_str()),
        _ => None,
    });
    one_line(&words.collect::<Vec<_>>().join(" "))
}
