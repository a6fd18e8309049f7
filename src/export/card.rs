//! The shopping card: a tall picture for the phone, to hold beside the shelf.
//!
//! Every colour stands as a large swatch with its symbol, its name and its value in words, so that it
//! serves a reader who cannot tell the colours apart.

use super::chart_picture::{self, INK, LINE_INK, PAPER, QUIET_INK};
use super::drawing::{Align, Drawing, Item, Layer, Rgb, Text};
use super::symbols;
use super::text::{self, CAP_HEIGHT, Weight};
use super::yarn_words::yarn_words;
use crate::colour::Likeness;
use crate::knit::pieces::ColourYarn;
use crate::project::shopping::{LotAdvice, NearShade, Shopping};
use crate::project::{Project, Slot, code_and_role};
use crate::units::{Currency, LengthUnit, counted};
use crate::yarn::Washing;

/// Width in pixels: that of common phone screens.
pub const WIDTH: f64 = 1080.0;
/// Width of such a screen in mm (our judgement of common phones).
pub const SCREEN_MM: f64 = 65.0;
/// Smallest font size. Its capitals are 2.3 mm tall on the screen: 16 minutes of arc from half a metre,
/// the least that ISO 9241-303 gives for reading (from memory).
pub const SMALLEST: f64 = 54.0;

const MARGIN: f64 = 48.0;
const TITLE: f64 = 72.0;
const NAME: f64 = 66.0;
const BALLS: f64 = 96.0;
const LEADING: f64 = 1.3;
/// Side of a colour's swatch and of an alternative's.
const SWATCH: f64 = 336.0;
const SMALL_SWATCH: f64 = 112.0;
const GAP: f64 = 32.0;
/// Alternatives shown for a colour.
const ALTERNATIVES: usize = 3;
/// CIEDE2000 beyond which a shade is another colour rather than a stand-in (our judgement).
const FURTHEST: f64 = 10.0;

/// Draws the card of a project's yarn in one size.
pub fn draw(project: &Project, shopping: &Shopping) -> Drawing {
    let mut card = Card { items: Vec::new(), y: MARGIN };
    header(&mut card, project, shopping);
    let marks = symbols::distinct_marks(project);
    let colours = project.palette.slots().iter().zip(&shopping.yarn.colours).enumerate();
    for (index, (slot, yarn)) in colours.filter(|(_, (_, yarn))| yarn.stitches > 0) {
        let look = chart_picture::look_of(slot.colour, marks[index].clone());
        let entry = Entry {
            units: project.units,
            currency: &project.currency,
            name: code_and_role(index, slot.role),
            slot,
            yarn,
        };
        card.rule();
        entry.set(&mut card, &look);
        alternatives(&mut card, project, index);
    }
    card.rule();
    card.words("Screens show colours differently, and so does shop light: decide in daylight.", QUIET);
    card.words(&symbols::COLOURS_ONLY.concat(), QUIET);
    Drawing {
        width: WIDTH,
        height: (card.y + MARGIN).ceil(),
        unit_mm: SCREEN_MM / WIDTH,
        title: format!("{}: shopping card", project.title),
        paper: PAPER,
        layers: vec![Layer::new("card", card.items)],
    }
}

fn header(card: &mut Card, project: &Project, shopping: &Shopping) {
    card.words(&project.title, Style { size: TITLE, weight: Weight::Semibold, ink: INK });
    card.y += GAP / 4.0;
    card.words(&yarn_words(project), BODY);
    if shopping.sizes > 1 {
        card.words(&format!("Size {}", shopping.size_name), BODY);
    }
    let balls = counted(shopping.yarn.balls(), "ball", "balls");
    let cost = shopping.yarn.cost().filter(|cost| cost.get() > 0.0);
    let price = cost.map_or_else(String::new, |cost| format!(", {} together", project.currency.told(cost)));
    card.words(&format!("{balls}{price}"), BODY);
    if let Some(needs) = project.material.needs.filter(|needs| needs.washed() == Washing::Machine) {
        let words = format!("{} Take only yarn whose label allows it.", needs.washing_reason());
        card.words(&words, BODY);
    }
}

#[derive(Clone, Copy)]
struct Style {
    size: f64,
    weight: Weight,
    ink: Rgb,
}

const BODY: Style = Style { size: SMALLEST, weight: Weight::Regular, ink: INK };
const QUIET: Style = Style { ink: QUIET_INK, ..BODY };
const STRONG: Style = Style { weight: Weight::Semibold, ..BODY };

impl Style {
    const fn line(self) -> f64 {
        self.size * LEADING
    }

    /// A line whose box begins at `y`.
    fn at(self, words: &str, x: f64, y: f64) -> Item {
        let y = y + f64::midpoint(self.line(), CAP_HEIGHT * self.size);
        let Self { size, weight, ink } = self;
        Item::Text(Text { x, y, text: words.to_owned(), size, weight, align: Align::Start, ink })
    }
}

/// The card as it grows.
struct Card {
    items: Vec<Item>,
    y: f64,
}

impl Card {
    /// Words over the whole width.
    fn words(&mut self, words: &str, style: Style) {
        self.y = self.words_at(words, style, [MARGIN, self.y]);
    }

    /// Words from `[x, y]` to the right margin, in as many lines as they need; their lower end.
    fn words_at(&mut self, words: &str, style: Style, [x, mut y]: [f64; 2]) -> f64 {
        for line in text::wrapped(words, style.size, style.weight, WIDTH - MARGIN - x) {
            self.items.push(style.at(&line, x, y));
            y += style.line();
        }
        y
    }

    fn rule(&mut self) {
        self.y += GAP;
        let width = WIDTH - 2.0 * MARGIN;
        self.items.push(Item::Rect { x: MARGIN, y: self.y, width, height: 3.0, ink: LINE_INK });
        self.y += GAP;
    }
}

/// One colour.
struct Entry<'a> {
    units: LengthUnit,
    currency: &'a Currency,
    /// Code and role.
    name: String,
    slot: &'a Slot,
    yarn: &'a ColourYarn,
}

impl Entry<'_> {
    fn set(&self, card: &mut Card, look: &super::drawing::CellLook) {
        let top = card.y;
        card.items.extend(chart_picture::sample_cell(look, [MARGIN, top], [SWATCH, SWATCH], 3.0));
        let x = MARGIN + SWATCH + GAP;
        let name = Style { size: NAME, weight: Weight::Semibold, ink: INK };
        let mut y = card.words_at(&self.slot.name, name, [x, top]);
        let shade = self.shade();
        if !shade.is_empty() {
            y = card.words_at(&shade, STRONG, [x, y]);
        }
        y = card.words_at(&format!("{}; {}", self.name, self.slot.colour.words()), QUIET, [x, y]);
        let balls = Style { size: BALLS, weight: Weight::Semibold, ink: INK };
        let to_buy = match self.yarn.balls {
            0 => "None to buy".to_owned(),
            balls => counted(u64::from(balls), "ball", "balls"),
        };
        y = card.words_at(&to_buy, balls, [x, y]);
        card.y = y.max(top + SWATCH) + GAP / 2.0;
        for line in self.amounts() {
            card.words(&line, BODY);
        }
        card.words(&tolerance(self.slot), QUIET);
    }

    /// The shade to ask for: its yarn line, number and lot; empty where none is known.
    fn shade(&self) -> String {
        let line = self.slot.shade().map_or("", |shade| shade.make.line.trim());
        format!("{line} {}", self.slot.asked_for("")).trim().to_owned()
    }

    fn amounts(&self) -> Vec<String> {
        let (units, put_up) = (self.units, self.slot.yarn.put_up);
        let length = |metres: f64| format!("{:.0} {}", units.from_metres(metres), units.yarn_suffix());
        let mass = match units {
            LengthUnit::Metric => format!("{:.0} g", put_up.ball_g()),
            LengthUnit::Imperial => format!("{:.2} oz", units.from_grams(put_up.ball_g())),
        };
        let metres = self.yarn.metres();
        let mut lines = vec![
            if length(metres.likely) == length(metres.high) {
                format!("About {}", length(metres.high))
            } else {
                format!("Likely {}, at most {}", length(metres.likely), length(metres.high))
            },
            format!("A ball: {mass}, {}", length(put_up.metres_per_ball())),
        ];
        if let (Some(price), Some(cost)) = (self.slot.yarn.ball_price, self.yarn.cost) {
            lines.push(match self.yarn.balls {
                0 | 1 => format!("{} each", self.currency.told(price)),
                _ => format!("{} each, {} together", self.currency.told(price), self.currency.told(cost)),
            });
        }
        if self.slot.on_hand_m() > 0.0 {
            let enough = if self.yarn.balls == 0 { ": enough" } else { ", taken off" };
            lines.push(format!("{} on hand{enough}", length(self.slot.on_hand_m())));
        }
        match LotAdvice::of(self.slot, self.yarn) {
            Some(LotAdvice::OneLot { .. }) => lines.push("All from one dye lot".to_owned()),
            Some(LotAdvice::MatchLot { lot }) => lines.push(format!("Ask for dye lot {lot}")),
            Some(LotAdvice::UnknownLot) => {
                lines.push("Lot on hand not noted: take a strand along".to_owned());
            }
            None => {}
        }
        lines
    }
}

/// How sure the colour is, in words.
pub fn tolerance(slot: &Slot) -> String {
    let Some(shade) = slot.shade() else {
        return "A wish so far: match by eye".to_owned();
    };
    let source = shade.source.told();
    let words = match Likeness::of(shade.uncertainty) {
        Likeness::Same => "looks the same",
        Likeness::Close => "close, hardly told apart",
        Likeness::Similar => "similar, not the same",
        Likeness::Different => "a rough guide only",
    };
    format!("{source}, within {:.0} (CIEDE2000): {words}", shade.uncertainty)
}

/// The nearest other shades, where some are near enough.
fn alternatives(card: &mut Card, project: &Project, slot: usize) {
    let mut shades = project.nearest_shades(slot, ALTERNATIVES);
    shades.retain(|near| near.difference <= FURTHEST);
    if shades.is_empty() {
        return;
    }
    let several = project.shade_cards.len() > 1;
    let chosen = project.palette.slots()[slot].shade().is_some();
    let words = if chosen { "If it is not to be had" } else { "The nearest shades" };
    let from = if several { String::new() } else { format!(", on {}", shades[0].card) };
    card.y += GAP / 2.0;
    card.words(&format!("{words}{from}"), STRONG);
    for near in shades {
        alternative(card, &project.currency, near, several);
    }
}

fn alternative(
    card: &mut Card,
    currency: &Currency,
    NearShade { card: from, shade, difference }: NearShade,
    several: bool,
) {
    let top = card.y + GAP / 4.0;
    let look = chart_picture::look_of(shade.colour, Vec::new());
    card.items.extend(chart_picture::sample_cell(&look, [MARGIN, top], [SMALL_SWATCH, SMALL_SWATCH], 3.0));
    let x = MARGIN + SMALL_SWATCH + GAP;
    let room = WIDTH - MARGIN - x;
    let mut named = shade.name.clone();
    if !shade.code.is_empty() && shade.code != shade.name {
        named = format!("{named} {}", shade.code);
    }
    card.items.push(BODY.at(&text::fitted(&named, BODY.size, BODY.weight, room), x, top - 14.0));
    let word = Likeness::of(difference).name().to_lowercase();
    let price = shade.ball_price.map_or_else(String::new, |price| format!(", {}", currency.told(price)));
    let detail = text::fitted(&format!("{word}, {difference:.1} off{price}"), QUIET.size, QUIET.weight, room);
    card.items.push(QUIET.at(&detail, x, top + SMALL_SWATCH / 2.0 - 6.0));
    card.y = top + SMALL_SWATCH + GAP / 4.0;
    if several {
        let from = text::fitted(from, QUIET.size, QUIET.weight, room);
        card.items.push(QUIET.at(&from, x, card.y - 14.0));
        card.y += QUIET.line();
    }
}
