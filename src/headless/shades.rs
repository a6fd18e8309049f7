//! The shades a command chooses from: a shade card, a CSV table, or the cards of a project.

use std::path::{Path, PathBuf};

use lexopt::Arg;
use serde::Serialize;

use super::args::{OptionHelp, distance, known_names, unknown, value};
use super::colour_json::ShadeOut;
use super::error::CommandError;
use crate::colour::Colour;
use crate::export::json::rounded;
use crate::file::{self, FileError, Problem};
use crate::knit::pieces::PiecesYarn;
use crate::plain_text::quoted;
use crate::project::Project;
use crate::yarn::{Available, FibreWanted, SetCost, Shade, ShadeCard, ShadeQuery, YarnWanted};

/// The options that narrow the shades down.
pub(super) const OPTIONS: &[OptionHelp] = &[
    OptionHelp { name: "card", value: "NAME", help: "only this card of the project" },
    OptionHelp {
        name: "fibre",
        value: "WORD",
        help: "only shades whose fibre has this word (the fibre chosen in the project)",
    },
    OptionHelp { name: "any-fibre", value: "", help: "shades of any fibre, whatever the project has chosen" },
    OptionHelp {
        name: "weight-class",
        value: "N",
        help: "only shades of this weight class, 0 to 7 (that of the project's yarn)",
    },
    OptionHelp { name: "any-weight", value: "", help: "shades of any weight, whatever the project's yarn" },
    OptionHelp {
        name: "any-wash",
        value: "",
        help: "also shades that do not stand the wash the project needs",
    },
    OptionHelp {
        name: "any-change",
        value: "",
        help: "also shades whose colour changes along the strand, whatever the chart",
    },
    OptionHelp { name: "sold-out", value: "", help: "also shades that cannot be had" },
];

/// Which shades are wanted.
#[derive(Default)]
#[expect(clippy::struct_excessive_bools, reason = "independent options of a command")]
pub(super) struct Wanted {
    card: Option<String>,
    fibre: Option<String>,
    any_fibre: bool,
    weight_class: Option<u8>,
    any_weight: bool,
    any_wash: bool,
    any_change: bool,
    sold_out: bool,
}

impl Wanted {
    /// Takes one of [`OPTIONS`]; `false` when it is none of them.
    pub(super) fn take(&mut self, option: &str, args: &mut lexopt::Parser) -> Result<bool, CommandError> {
        match option {
            "card" => self.card = Some(value(args, "--card", "the name of a card")?),
            "fibre" => self.fibre = Some(value(args, "--fibre", "a fibre")?),
            "any-fibre" => self.any_fibre = true,
            "weight-class" => {
                let class = value(args, "--weight-class", "a whole number from 0 to 7")?;
                if class > 7 {
                    let what =
                        format!("--weight-class needs a whole number from 0 to 7 after it, not '{class}'");
                    return Err(CommandError::Entry(what));
                }
                self.weight_class = Some(class);
            }
            "any-weight" => self.any_weight = true,
            "any-wash" => self.any_wash = true,
            "any-change" => self.any_change = true,
            "sold-out" => self.sold_out = true,
            _ => return Ok(false),
        }
        Ok(true)
    }
}

/// Reads the file of shades, the options that narrow them down into `wanted`, and the command's `own`
/// options: `take` says whether an option was one of them.
///
/// # Errors
/// A line that says what is wrong; `missing` when no file is named.
pub(super) fn read_args(
    mut args: lexopt::Parser,
    wanted: &mut Wanted,
    (own, missing): (&[OptionHelp], &str),
    mut take: impl FnMut(&str, &mut lexopt::Parser) -> Result<bool, CommandError>,
) -> Result<PathBuf, CommandError> {
    let mut file = None;
    while let Some(arg) = args.next()? {
        let option = match arg {
            Arg::Long(name) => name.to_owned(),
            Arg::Value(path) if file.is_none() => {
                file = Some(PathBuf::from(path));
                continue;
            }
            other => return Err(CommandError::Entry(unknown(&other, &[]))),
        };
        if !take(&option, &mut args)? && !wanted.take(&option, &mut args)? {
            let what = unknown(&Arg::Long(&option), &known_names(&[own, OPTIONS]));
            return Err(CommandError::Entry(what));
        }
    }
    file.ok_or_else(|| CommandError::entry(missing))
}

/// The yarn a shade must be: what is named, else as the project has chosen, or not told.
struct Kept {
    /// A word its label must have, in small letters; it goes before the fibre of `yarn`.
    word: Option<String>,
    yarn: YarnWanted,
}

impl Kept {
    fn lets_through(&self, shade: &Shade) -> bool {
        let named = self.word.as_ref().is_none_or(|word| shade.fibre.to_lowercase().contains(word));
        named && self.yarn.lets_through(shade)
    }

    fn fibre(&self) -> Option<String> {
        match (&self.word, &self.yarn.fibre) {
            (Some(word), _) => Some(word.clone()),
            (None, FibreWanted::Like(blend)) => Some(blend.name()),
            (None, FibreWanted::Any | FibreWanted::Label(_)) => None,
        }
    }
}

/// Shades from one or several cards, as one list.
pub(super) struct Shades {
    file: PathBuf,
    /// All shades in turn.
    pub(super) card: ShadeCard,
    /// Name of each card and how many shades it gave.
    cards: Vec<(String, usize)>,
    /// The project, when the file is one.
    pub(super) project: Option<Project>,
    /// Columns of a table that were left out.
    ignored_columns: Vec<String>,
}

/// Where the shades come from.
#[derive(Serialize)]
pub(super) struct SourceOut<'a> {
    file: String,
    cards: Vec<CardOut<'a>>,
    ignored_columns: &'a [String],
    /// The fibre that was kept to.
    fibre: Option<String>,
    /// The weight classes that were kept to; empty when any will do.
    weight_classes: Vec<u8>,
    /// Shades left when the options have narrowed them down.
    shades_considered: usize,
}

#[derive(Serialize)]
struct CardOut<'a> {
    name: &'a str,
    shades: usize,
}

/// What shades cost.
#[derive(Serialize)]
pub(super) struct CostOut<'a> {
    known: f64,
    /// Balls the shades take, what is owned with them.
    balls_needed: u32,
    /// Balls to buy: those less what is owned.
    balls: u32,
    /// Shades with balls to buy and no price.
    unpriced: Vec<&'a str>,
}

impl Shades {
    /// Reads the shades of a file; a project without shade cards has none yet.
    pub(super) fn open(path: &Path) -> Result<Self, CommandError> {
        let whole = |card: ShadeCard| Self {
            file: path.to_owned(),
            cards: vec![(card.name.clone(), card.shades().len())],
            card,
            project: None,
            ignored_columns: Vec::new(),
        };
        if has_ending(path, "csv") || has_ending(path, "tsv") {
            let bytes = file::read_bytes(path)?;
            let read = file::shades_from_csv(&bytes, &path.display().to_string())?;
            let name = path.file_stem().unwrap_or_default().to_string_lossy();
            let card = ShadeCard::new(name, read.shades).map_err(|(_, e)| at(path, &e.to_string()))?;
            return Ok(Self { ignored_columns: read.ignored, ..whole(card) });
        }
        match file::load_card(path) {
            Ok(card) => Ok(whole(card)),
            Err(FileError { problem: Problem::NotACard, .. }) => Self::of_project(path),
            Err(error) => Err(error.into()),
        }
    }

    fn of_project(path: &Path) -> Result<Self, CommandError> {
        let project = file::load(path).map_err(|error| match error.problem {
            Problem::OtherFormat(_) | Problem::Syntax(_) => at(
                path,
                "this is neither a shade card, a project nor a table whose name ends in .csv: choose one of these",
            ),
            _ => error.into(),
        })?;
        let shades = project.shade_cards.iter().flat_map(|card| card.shades().iter().cloned()).collect();
        let card = ShadeCard::new("", shades).map_err(|(_, e)| at(path, &e.to_string()))?;
        let card = card.with_on_hand(project.on_hand());
        let cards = project.shade_cards.iter().map(|card| (card.name.clone(), card.shades().len())).collect();
        Ok(Self { file: path.to_owned(), card, cards, project: Some(project), ignored_columns: Vec::new() })
    }

    /// The yarn of the project's pieces in the worked size; `None` without a project, and when they cannot
    /// be worked.
    pub(super) fn yarn(&self) -> Option<PiecesYarn> {
        let project = self.project.as_ref()?;
        let pieces = project.work_pieces(&project.pieces.size()).ok()?;
        Some(project.pieces_yarn(&pieces, None))
    }

    /// Places of the wanted shades.
    pub(super) fn wanted(&self, wanted: &Wanted) -> Result<Vec<usize>, CommandError> {
        if self.card.shades().is_empty() {
            let mend = if self.project.is_some() {
                "add a shade card to it, or name a card file instead"
            } else {
                "add some"
            };
            return Err(at(&self.file, &format!("there are no shades in it: {mend}")));
        }
        if let Some(name) = &wanted.card
            && !self.cards.iter().any(|(card, _)| card.eq_ignore_ascii_case(name))
        {
            let names: Vec<String> = self.cards.iter().map(|(name, _)| quoted(name)).collect();
            let what = format!("there is no card '{}': it has {}", quoted(name), names.join(", "));
            return Err(at(&self.file, &what));
        }
        let available = if wanted.sold_out { Available::Any } else { Available::ToBeHad };
        // A class that is named must be on the card; the project's lets through what does not say.
        let query = ShadeQuery { weight_class: wanted.weight_class, available, ..ShadeQuery::default() };
        let mut places = query.run(&self.card);
        let kept = self.kept(wanted);
        places.retain(|place| self.on_card(*place, wanted) && kept.lets_through(&self.card.shades()[*place]));
        Ok(places)
    }

    /// Whether a shade stands on the card that is wanted, if one is.
    fn on_card(&self, place: usize, wanted: &Wanted) -> bool {
        wanted.card.as_ref().is_none_or(|name| self.card_of(place).eq_ignore_ascii_case(name))
    }

    /// The yarn a shade must be: what is named, else what the project is knitted in.
    fn kept(&self, wanted: &Wanted) -> Kept {
        let mut yarn = self.project.as_ref().map(Project::wanted_yarn).unwrap_or_default();
        if wanted.any_fibre || wanted.fibre.is_some() {
            yarn.fibre = FibreWanted::Any;
        }
        match wanted.weight_class {
            Some(class) => yarn.classes = vec![class],
            None if wanted.any_weight => yarn.classes.clear(),
            None => {}
        }
        if wanted.any_wash {
            yarn.needs = None;
        }
        yarn.calm = !wanted.any_change && self.project.as_ref().is_some_and(Project::has_busy_chart);
        Kept { word: wanted.fibre.as_ref().map(|word| word.to_lowercase()), yarn }
    }

    /// The card a shade stands on.
    fn card_of(&self, place: usize) -> &str {
        let mut end = 0;
        let card = self.cards.iter().find(|(_, shades)| {
            end += shades;
            place < end
        });
        card.map_or("", |(name, _)| name)
    }

    /// The place of a shade on the wanted card by its name or code, whatever its capitals.
    pub(super) fn named(&self, option: &str, name: &str, wanted: &Wanted) -> Result<usize, CommandError> {
        let shades = self.card.shades();
        let is = |text: &str| text.trim().to_lowercase() == name.trim().to_lowercase();
        let on_card: Vec<usize> = (0..shades.len()).filter(|place| self.on_card(*place, wanted)).collect();
        let called = |place: &&usize| is(&shades[**place].name) || is(&shades[**place].code);
        let places: Vec<usize> = on_card.iter().filter(called).copied().collect();
        match places[..] {
            [place] => Ok(place),
            [] => {
                let near =
                    |place: &usize| distance(&shades[*place].name.to_lowercase(), &name.to_lowercase());
                let nearest = on_card.into_iter().min_by_key(near);
                let hint = nearest.map_or_else(String::new, |place| {
                    format!(": did you mean {}?", quoted(&shades[place].name))
                });
                Err(CommandError::Entry(format!("{option}: there is no shade '{}'{hint}", quoted(name))))
            }
            _ => Err(CommandError::Entry(format!(
                "{option}: {} shades are called '{}': name one by its code, or choose a card with --card",
                places.len(),
                quoted(name)
            ))),
        }
    }

    pub(super) fn shade_out(&self, place: usize) -> ShadeOut<'_> {
        let shade = &self.card.shades()[place];
        ShadeOut::new(self.card_of(place), shade, self.card.balls_at_home(shade))
    }

    /// `considered` shades were left of those `wanted`.
    pub(super) fn source_out(&self, wanted: &Wanted, considered: usize) -> SourceOut<'_> {
        let kept = self.kept(wanted);
        SourceOut {
            file: self.file.display().to_string(),
            cards: self.cards.iter().map(|(name, shades)| CardOut { name, shades: *shades }).collect(),
            ignored_columns: &self.ignored_columns,
            fibre: kept.fibre(),
            weight_classes: kept.yarn.classes,
            shades_considered: considered,
        }
    }

    pub(super) fn cost_out(&self, cost: &SetCost) -> CostOut<'_> {
        let shades = self.card.shades();
        CostOut {
            known: rounded(cost.known.get()),
            balls_needed: cost.needed.iter().sum(),
            balls: cost.balls.iter().sum(),
            unpriced: cost.unpriced.iter().map(|place| shades[*place].name.as_str()).collect(),
        }
    }
}

/// Colours after an option, divided by commas.
pub(super) fn colours_value(args: &mut lexopt::Parser, option: &str) -> Result<Vec<Colour>, CommandError> {
    let text: String = value(args, option, "colours like '#1f2a4d,#d8cbb2'")?;
    let wrong = |e| CommandError::Entry(format!("{option}: {e}"));
    text.split(',').map(|part| Colour::from_hex(part).map_err(wrong)).collect()
}

fn has_ending(path: &Path, ending: &str) -> bool {
    path.extension().is_some_and(|found| found.eq_ignore_ascii_case(ending))
}

fn at(path: &Path, what: &str) -> CommandError {
    CommandError::Content { file: path.to_owned(), what: what.to_owned() }
}
