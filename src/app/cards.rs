//! The shade cards of the project: which is looked at, what is searched for on it, and cards and
//! tables on disk. Searching, reading and writing run on threads.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::action::Action;
use super::picker::file_stem;
use super::state::{Answer, Purpose, State};
use super::update as writer;
use crate::colour::Colour;
use crate::file::{self, CsvTrouble, FileError};
use crate::project::{Edit, Project};
use crate::yarn::{ColourSource, PutUp, Shade, ShadeCard, ShadeQuery, Stock};

/// A file of shades.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CardFile {
    /// Open a card file.
    Open,
    /// Import a CSV table.
    Import,
    /// Save the shown card as a card file.
    Save,
    /// Save the shown card as a CSV table.
    SaveTable,
    /// Save a table to copy the columns from.
    SaveExample,
}

impl CardFile {
    /// Whether a file that is there is read.
    pub const fn opens(self) -> bool {
        matches!(self, Self::Open | Self::Import)
    }

    /// What kind of file it is, and its extension.
    pub const fn kind(self) -> (&'static str, &'static str) {
        match self {
            Self::Open | Self::Save => ("Huegauge shade card", "ron"),
            Self::Import | Self::SaveTable | Self::SaveExample => ("CSV table", "csv"),
        }
    }

    /// Heading of the question for the file.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Open => "Open a shade card",
            Self::Import => "Import a table of shades",
            Self::Save => "Save the shade card",
            Self::SaveTable => "Save the shades as a table",
            Self::SaveExample => "Save an example table",
        }
    }
}

/// What the window asks for about the cards.
#[derive(Clone, Debug, PartialEq)]
pub enum CardAction {
    /// Look at the card in this place.
    Show(usize),
    /// Find shades on a card.
    Find(Arc<ShadeCard>, ShadeQuery),
    /// Ask for a file.
    Pick(CardFile),
    /// Read the refused table again, now that it is mended.
    ImportAgain,
    /// Leave the refused table.
    ForgetRefused,
    /// Add the card of the demos' invented mill.
    AddDemo,
}

/// What the threads answer.
pub enum CardAnswer {
    /// Shades were searched for.
    Found(Box<Found>),
    /// A card file was read, for the project of this number.
    Opened(u64, Result<ShadeCard, String>),
    /// A table was read, for the project of this number.
    Imported(u64, PathBuf, Result<Imported, Refusal>),
    /// A card or a table was written.
    Written(Result<PathBuf, String>),
}

/// The shades of a table as a card, and the columns that were left out.
pub type Imported = (ShadeCard, Vec<String>);

/// Why a table was not imported.
#[derive(Clone, Debug, PartialEq)]
pub enum Refusal {
    /// The file cannot be read.
    File(String),
    /// Lines of it are wrong.
    Lines(CsvTrouble),
}

/// The shades that were searched for.
#[derive(Clone, Debug)]
pub struct Found {
    /// The card.
    pub card: Arc<ShadeCard>,
    /// What was asked.
    pub query: ShadeQuery,
    /// Places of the shades on the card, in the asked order.
    pub places: Vec<usize>,
    /// Every fibre on the card, once, in alphabetical order.
    pub fibres: Vec<String>,
    /// The highest price of a ball on the card, if there is any.
    pub dearest: Option<f64>,
}

impl Found {
    fn on(card: Arc<ShadeCard>, query: ShadeQuery) -> Self {
        let places = query.run(&card);
        let fibres = card.fibres().into_iter().map(str::to_owned).collect();
        let dearest = card.shades().iter().filter_map(|shade| shade.ball_price).reduce(f64::max);
        Self { card, query, places, fibres, dearest }
    }

    fn nothing(card: Arc<ShadeCard>, query: ShadeQuery) -> Self {
        Self { card, query, places: Vec::new(), fibres: Vec::new(), dearest: None }
    }

    /// Whether it answers this question about this very card.
    pub fn answers(&self, card: &Arc<ShadeCard>, query: &ShadeQuery) -> bool {
        Arc::ptr_eq(&self.card, card) && self.query == *query
    }
}

/// A table that was refused whole, with the lines to mend.
#[derive(Clone, Debug, PartialEq)]
pub struct Refused {
    /// The table.
    pub path: PathBuf,
    /// What is wrong.
    pub trouble: CsvTrouble,
}

/// The shade cards as they are looked at.
#[derive(Default)]
pub struct Cards {
    /// The card that is looked at, by its place in the project.
    pub shown: usize,
    /// The newest answer to what was searched for.
    pub found: Option<Found>,
    /// The table that was refused last.
    pub refused: Option<Refused>,
    /// A search is under way.
    running: bool,
    /// What is to be written: the card as it stood when a file was asked for.
    outgoing: Option<Arc<ShadeCard>>,
    /// Counts projects, so that a card read for one does not come into the next.
    project: u64,
}

impl Cards {
    /// Whether a search may be asked for now.
    pub const fn is_idle(&self) -> bool {
        !self.running
    }

    pub(super) fn of_another_project(&self) -> Self {
        Self { running: self.running, project: self.project + 1, ..Self::default() }
    }
}

/// The edit that changes the list of cards.
pub fn changed(project: &Project, change: impl FnOnce(&mut Vec<Arc<ShadeCard>>)) -> Edit {
    let mut cards = project.shade_cards.clone();
    change(&mut cards);
    Edit::ShadeCards(cards)
}

/// Carries out a request.
pub(super) fn update(state: &mut State, action: CardAction) {
    match action {
        CardAction::Show(place) => {
            look_at(state, place);
        }
        CardAction::Find(card, query) => find(state, card, query),
        CardAction::Pick(what) => {
            state.cards.outgoing = state.project().shade_cards.get(state.cards.shown).cloned();
            writer::pick(state, Purpose::Card(what));
        }
        CardAction::ImportAgain => {
            if let Some(refused) = state.cards.refused.take() {
                import(state, refused.path);
            }
        }
        CardAction::ForgetRefused => state.cards.refused = None,
        CardAction::AddDemo => match file::demo_card() {
            Ok(card) => add(state, "Add demo card", card),
            Err(reason) => state.complain(reason.to_string()),
        },
    }
}

/// Takes in an answer; one for an earlier project is dropped.
pub(super) fn take(state: &mut State, answer: CardAnswer) {
    match answer {
        CardAnswer::Found(found) => {
            state.cards.running = false;
            state.cards.found = Some(*found);
        }
        CardAnswer::Opened(project, _) | CardAnswer::Imported(project, ..)
            if project != state.cards.project => {}
        CardAnswer::Opened(_, Ok(card)) => {
            let count = shades(card.shades().len());
            add(state, "Open shade card", card);
            state.notify(format!("Shade card opened: {count}"));
        }
        CardAnswer::Imported(_, _, Ok((card, left_out))) => {
            let count = shades(card.shades().len());
            add(state, "Import shades", card);
            state.notify(if left_out.is_empty() {
                format!("Imported: {count}")
            } else {
                format!("Imported: {count}. Columns left out: {}", left_out.join(", "))
            });
        }
        CardAnswer::Written(Ok(path)) => {
            state.busy = None;
            state.notify(format!("Written: {}", path.display()));
        }
        CardAnswer::Written(Err(reason))
        | CardAnswer::Opened(_, Err(reason))
        | CardAnswer::Imported(_, _, Err(Refusal::File(reason))) => {
            state.busy = None;
            state.complain(reason);
        }
        CardAnswer::Imported(_, path, Err(Refusal::Lines(trouble))) => {
            state.busy = None;
            state.cards.refused = Some(Refused { path, trouble });
        }
    }
}

/// A count in words: `1 shade`, `48 shades`.
pub fn shades(count: usize) -> String {
    if count == 1 { "1 shade".to_owned() } else { format!("{count} shades") }
}

/// Looks at another card: what was found and refused before is of no more use.
fn look_at(state: &mut State, place: usize) {
    state.cards.shown = place;
    state.cards.found = None;
    state.cards.refused = None;
}

/// Adds a card at the end and looks at it.
fn add(state: &mut State, label: &'static str, card: ShadeCard) {
    state.busy = None;
    look_at(state, state.project().shade_cards.len());
    let edit = changed(state.project(), |cards| cards.push(Arc::new(card)));
    writer::update(state, Action::edit(label, edit));
}

/// Searches on a thread: sorting thousands of shades takes milliseconds. One search runs at a time;
/// the window asks again when what it has is not what it wants.
fn find(state: &mut State, card: Arc<ShadeCard>, query: ShadeQuery) {
    if std::mem::replace(&mut state.cards.running, true) {
        return;
    }
    let (same_card, same_query) = (Arc::clone(&card), query.clone());
    state.jobs.start(
        "find shades",
        move || Answer::Cards(CardAnswer::Found(Box::new(Found::on(card, query)))),
        move |reason| {
            log::error!("shades cannot be searched: {reason}");
            Answer::Cards(CardAnswer::Found(Box::new(Found::nothing(same_card, same_query))))
        },
    );
}

/// A file name to start from.
pub(super) fn suggested_name(state: &State, what: CardFile) -> String {
    let stem =
        state.cards.outgoing.as_ref().map_or_else(|| "Shades".to_owned(), |card| file_stem(&card.name));
    match what {
        CardFile::Open | CardFile::Import => String::new(),
        CardFile::Save => format!("{stem} card.ron"),
        CardFile::SaveTable => format!("{stem}.csv"),
        CardFile::SaveExample => "Example shades.csv".to_owned(),
    }
}

/// Goes on with the file that was picked.
pub(super) fn picked(state: &mut State, what: CardFile, path: PathBuf) {
    match what {
        CardFile::Open => open(state, path),
        CardFile::Import => import(state, path),
        CardFile::SaveExample => write(state, path, |path| file::write_text(path, &example_table())),
        CardFile::Save | CardFile::SaveTable => {
            let Some(card) = state.cards.outgoing.take() else { return };
            write(state, path, move |path| match what {
                CardFile::SaveTable => file::save_table(path, card.shades()),
                _ => file::save_card(path, &card),
            });
        }
    }
}

fn open(state: &mut State, path: PathBuf) {
    state.busy = Some("Opening shades");
    let project = state.cards.project;
    state.jobs.start(
        "open card",
        move || {
            let card = file::load_card(&path).map_err(|error| error.to_string());
            Answer::Cards(CardAnswer::Opened(project, card))
        },
        move |reason| Answer::Cards(CardAnswer::Opened(project, Err(reason))),
    );
}

fn import(state: &mut State, path: PathBuf) {
    state.busy = Some("Importing shades");
    let project = state.cards.project;
    let failed = path.clone();
    state.jobs.start(
        "import shades",
        move || {
            let card = read_table(&path);
            Answer::Cards(CardAnswer::Imported(project, path, card))
        },
        move |reason| Answer::Cards(CardAnswer::Imported(project, failed, Err(Refusal::File(reason)))),
    );
}

/// The shades of a table as a card named after the file.
fn read_table(path: &Path) -> Result<Imported, Refusal> {
    let bytes = file::read_bytes(path).map_err(|error| Refusal::File(error.to_string()))?;
    let table = file::shades_from_csv(&bytes, &path.display().to_string()).map_err(Refusal::Lines)?;
    let name = path.file_stem().map_or_else(|| "Shades".into(), |stem| stem.to_string_lossy());
    let card = ShadeCard::new(name, table.shades).map_err(|(_, error)| Refusal::File(error.to_string()))?;
    Ok((card, table.ignored))
}

fn write(
    state: &mut State,
    path: PathBuf,
    write: impl FnOnce(&Path) -> Result<(), FileError> + Send + 'static,
) {
    state.busy = Some("Saving shades");
    state.jobs.start(
        "save shades",
        move || {
            let written = write(&path).map(|()| path).map_err(|error| error.to_string());
            Answer::Cards(CardAnswer::Written(written))
        },
        |reason| Answer::Cards(CardAnswer::Written(Err(reason))),
    );
}

/// A table with every column filled, to write one's own after. Invented shades.
fn example_table() -> String {
    let bucket = Shade {
        code: "01".to_owned(),
        source: ColourSource::Maker,
        uncertainty: ColourSource::Maker.usual_uncertainty(),
        fibre: "75 % wool, 25 % nylon".to_owned(),
        weight_class: Some(1),
        put_up: PutUp::new(420.0, 50.0).ok(),
        ball_price: Some(6.5),
        stock: Stock::Owned(2),
        dye_lot: "1207".to_owned(),
        photo: "bucket.jpg".to_owned(),
        ..Shade::new("Dull bucket", Colour::clamped(0.78, 0.012, 250.0))
    };
    let gutter = Shade {
        name: "Green gutter".to_owned(),
        code: "02".to_owned(),
        colour: Colour::clamped(0.56, 0.075, 190.0),
        ball_price: Some(7.0),
        stock: Stock::Out,
        dye_lot: String::new(),
        photo: String::new(),
        ..bucket.clone()
    };
    let least = Shade::new("Only name and colour are needed", Colour::clamped(0.6, 0.12, 32.0));
    file::shades_to_csv(&[bucket, gutter, least]).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_example_is_a_table_the_program_reads() {
        let read = file::shades_from_csv(example_table().as_bytes(), "example.csv").unwrap();
        assert_eq!(read.shades.len(), 3);
        assert!(read.ignored.is_empty());
        assert_eq!(read.shades[0].owned_balls(), 2);
    }
}
