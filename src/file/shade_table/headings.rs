//! Which column of a table holds what.

use std::collections::BTreeMap;

use super::ShadeTable;
use super::heading_words::{colour_number, composed, plain, squashed, unit_of_a_ball, without_units};
use super::line::is_colour;
use crate::plain_text::quoted;

macro_rules! fields {
    ($($(#[$doc:meta])* $field:ident, $key:literal, $holds:literal, [$($heading:literal),*];)*) => {
        /// What a column of a table of shades may hold.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum ShadeField { $(#[doc = $holds] $field,)* }

        impl ShadeField {
            /// All, in the order they are shown.
            pub const ALL: &'static [Self] = &[$(Self::$field,)*];

            /// The heading it has in our own tables, and its name in commands.
            pub const fn key(self) -> &'static str {
                match self { $(Self::$field => $key,)* }
            }

            /// What it holds, in words.
            pub const fn holds(self) -> &'static str {
                match self { $(Self::$field => $holds,)* }
            }

            /// Headings that shops give it, in English and German, in small letters.
            const fn headings(self) -> &'static [&'static str] {
                match self { $(Self::$field => &[$($heading,)*],)* }
            }
        }
    };
}

// The headings are common practice, no published source.
fields! {
    Name, "name", "what the shade is called (needed)",
        ["shade", "shade name", "colour name", "color name", "colourway", "colorway", "farbname", "bezeichnung", "farbbezeichnung", "farbton", "benennung", "title", "titel", "artikelname", "product name", "produktname", "produkt", "description", "beschreibung", "artikelbezeichnung", "warenbezeichnung"];
    Code, "code", "the maker's number",
        ["shade code", "shade no", "shade number", "colour code", "color code", "colour no", "colour number", "color no", "color number", "col no", "number", "no", "nr", "nummer", "farbnummer", "farbnr", "farb nr", "farbcode", "farbe nr", "artikelnummer", "artikelnr", "artikel nr", "artikel", "bestellnummer", "best nr", "art nr", "item", "item no", "item number", "sku", "article", "num", "ref", "reference", "ean", "gtin"];
    Hex, "hex", "colour as #rrggbb or rgb(r, g, b) (a colour is needed, in one form or another)",
        ["hex code", "hex colour", "hex color", "hexcode", "html", "html colour", "html color", "web colour", "web color", "rgb", "rgb value", "rgb wert", "srgb", "hexwert", "farbwert", "hex value"];
    Oklch, "oklch", "colour as oklch(lightness chroma hue), as in CSS: lightness 0 to 1, chroma 0 to 0.5, hue in degrees", [];
    Red, "red", "red of sRGB, 0 to 255", ["r", "rot", "rgb r", "srgb r", "r value"];
    Green, "green", "green of sRGB, 0 to 255", ["g", "grün", "gruen", "rgb g", "srgb g", "g value"];
    Blue, "blue", "blue of sRGB, 0 to 255", ["b", "blau", "rgb b", "srgb b", "b value"];
    LabL, "lab_l", "L* of CIE 1976 under D65, 0 to 100", ["l", "l*", "cie l", "cie l*", "lab l*", "lstar", "cielab l"];
    LabA, "lab_a", "a* of CIE 1976 under D65", ["a*", "cie a", "cie a*", "lab a*", "astar", "cielab a"];
    LabB, "lab_b", "b* of CIE 1976 under D65", ["b*", "cie b", "cie b*", "lab b*", "bstar", "cielab b"];
    Source, "source", "where the colour comes from: photo, typed or maker", ["colour source", "farbquelle"];
    Uncertainty, "uncertainty", "how far the colour may be off, in CIEDE2000", ["delta e", "unsicherheit"];
    Fibre, "fibre", "what the yarn is spun of",
        ["fiber", "fibres", "fibers", "fibre content", "fiber content", "composition", "content", "material", "zusammensetzung", "faser", "fasern", "faserzusammensetzung", "made of", "made from", "blend", "mischung", "fibre mix", "bestandteile", "gemisch", "textilkennzeichnung", "garn material"];
    WeightClass, "weight_class", "0 to 7", ["yarn weight class", "yarn weight", "weight category", "yarn class", "class", "garnklasse", "stärke", "garnstärke"];
    MetresPer100G, "m_per_100g", "metres in 100 g, with the weight of a ball",
        ["metres per 100g", "meters per 100g", "m 100g", "meter pro 100g", "lauflänge pro 100g", "lauflänge 100g", "m pro 100g", "ll 100g", "laufl 100g"];
    Length, "length", "length in a ball (125 m, 137 yd), or with its weight (125 m per 50 g)",
        ["yardage", "metrage", "meterage", "ball length", "metres", "meters", "metres per ball", "meters per ball", "m per ball", "yards", "yards per ball", "yd per ball", "yds", "yd", "length m", "length yd", "put up", "lauflänge", "laufl", "ll", "länge", "meter", "meter pro knäuel", "m knäuel", "m pro knäuel", "m ball", "aufmachung", "length per ball", "lauflänge pro knäuel", "skein length", "metres ball", "m pro strang", "m", "mtr", "laufmeter"];
    BallGrams, "ball_g", "grams in a ball",
        ["ball weight", "ball size", "grams", "weight", "weight g", "g per ball", "grams per ball", "gewicht", "gewicht g", "knäuelgewicht", "knäuel", "inhalt", "gramm", "g knäuel", "g pro knäuel", "gramm pro knäuel", "skein weight", "net weight", "weight oz", "oz", "ounces", "weight per ball", "gewicht pro knäuel", "unit weight", "gr", "einwaage", "g ball", "knäuel g", "ball g"];
    BallPrice, "ball_price", "price of a ball",
        ["price", "price per ball", "unit price", "retail price", "rrp", "cost", "preis", "preis pro knäuel", "stückpreis", "einzelpreis", "vk", "vk preis", "uvp", "ladenpreis", "verkaufspreis", "preis knäuel", "each", "preis stück", "retail", "sale price", "evp", "vkp", "rp", "srp", "msrp", "upe", "endpreis", "kosten", "vk brutto", "eur", "euro"];
    InStock, "in_stock", "yes or no, or how many balls",
        ["stock", "available", "availability", "lager", "bestand", "lagerbestand", "verfügbar", "vorrätig", "lieferbar", "qty", "quantity", "stock level", "on hand", "auf lager", "vorrat", "balls in stock", "menge", "anzahl", "stückzahl", "lagernd", "in stock"];
    OwnedBalls, "owned_balls", "balls on hand", ["owned", "balls at home", "balls on hand", "zu hause", "knäuel zu hause", "eigene knäuel"];
    DyeLot, "dye_lot", "the dye lot", ["lot", "dyelot", "lot no", "batch", "partie", "farbpartie", "charge", "partienummer", "partie nr", "farbbad"];
    Photo, "photo", "the photograph it was measured on", ["foto", "picture", "bild"];
    YarnLine, "yarn_line", "the yarn line it belongs to", ["line", "yarn name", "quality", "range", "garnname", "qualität", "garn", "yarn", "serie", "sorte", "product line"];
    Spin, "spin", "how it is spun: worsted or woollen, plies, twist", ["spun", "spinning", "spinnart"];
    Wraps, "wraps_per_inch", "wraps per inch", ["wpi", "wraps"];
    Varies, "colour_changes", "how the colour changes along the strand: solid, heathered, speckled, or long colour changes; 1.5 m; #c16250",
        ["variegation", "colour effect", "color effect", "dyeing", "farbeffekt", "farbwechsel"];
    Care, "care", "its care label in words (machine wash 30, hand wash) or by its drawings, with semicolons between them",
        ["care label", "care symbols", "care instructions", "washing", "wash", "washing instructions", "pflegekennzeichen", "pflege", "pflegehinweis", "pflegehinweise", "waschen", "wäsche", "waschanleitung", "waschhinweis"];
}

/// Headings that hold the name, the number or the value of a colour: what stands under them decides.
const COLOUR_WORDS: [&str; 9] =
    ["colour", "color", "farbe", "col", "shade colour", "farbton", "variant", "variante", "option"];

impl ShadeField {
    /// The field of a name in a command: its key, or a heading shops give it.
    pub fn named(name: &str) -> Option<Self> {
        let plain = plain(name);
        let own = Self::ALL.iter().find(|field| field.is_own(&plain));
        own.or_else(|| Self::ALL.iter().find(|field| field.is_headed(&plain))).copied()
    }

    /// What it is called where a person chooses it.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Name => "Name",
            Self::Code => "Code",
            Self::Hex => "Colour, hex or rgb()",
            Self::Oklch => "Colour, oklch()",
            Self::Red => "Red, 0 to 255",
            Self::Green => "Green, 0 to 255",
            Self::Blue => "Blue, 0 to 255",
            Self::LabL => "L*",
            Self::LabA => "a*",
            Self::LabB => "b*",
            Self::Source => "Where the colour is from",
            Self::Uncertainty => "How far it may be off",
            Self::Fibre => "Fibre",
            Self::WeightClass => "Weight class, 0 to 7",
            Self::MetresPer100G => "Metres in 100 g",
            Self::Length => "Length of a ball",
            Self::BallGrams => "Weight of a ball",
            Self::BallPrice => "Price of a ball",
            Self::InStock => "In stock",
            Self::OwnedBalls => "Balls on hand",
            Self::DyeLot => "Dye lot",
            Self::Photo => "Photograph",
            Self::YarnLine => "Yarn line",
            Self::Spin => "How it is spun",
            Self::Wraps => "Wraps per inch",
            Self::Varies => "Colour along the strand",
            Self::Care => "Care label, in words",
        }
    }

    fn is_own(self, plain_heading: &str) -> bool {
        self.key().replace('_', "") == plain_heading.replace(' ', "")
    }

    /// Whether shops head it so, however the words are joined.
    fn is_headed(self, plain_heading: &str) -> bool {
        let heading = plain_heading.replace(' ', "");
        self.headings().iter().any(|known| squashed(known) == heading)
    }
}

/// Headings in one spelling, and what tells their fields.
type Way<'a> = (&'a [String], &'a dyn Fn(&str) -> Option<ShadeField>);

/// Which column holds which field.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Matching {
    columns: BTreeMap<ShadeField, usize>,
}

/// Why a matching makes no shades.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum HeadingFault {
    /// One of our own headings twice.
    #[error("the column {0} is there twice: take one out")]
    Twice(&'static str),
    /// Nothing to call shades by.
    #[error("there is no column 'name': head the columns with some of {known}", known = known_columns())]
    NoName,
    /// No colours.
    #[error(
        "there is no colour: add a column 'hex' (#rrggbb), 'oklch', 'red', 'green' and 'blue', or L*, a* and b*"
    )]
    NoColour,
}

fn known_columns() -> String {
    ShadeField::ALL.iter().map(|field| field.key()).collect::<Vec<_>>().join(", ")
}

impl Matching {
    /// Finds the columns by their headings; what stands under them decides between a colour's name and its value.
    ///
    /// # Errors
    /// [`HeadingFault::Twice`] when one of our own headings is there twice.
    pub fn of(table: &ShadeTable) -> Result<Self, HeadingFault> {
        let mut found = Self::default();
        let headings: Vec<String> = table.headings.iter().map(|heading| plain(heading)).collect();
        for (column, heading) in headings.iter().enumerate().filter(|(_, heading)| !heading.is_empty()) {
            if let Some(field) = ShadeField::ALL.iter().find(|field| field.is_own(heading))
                && found.columns.insert(*field, column).is_some()
            {
                return Err(HeadingFault::Twice(field.key()));
            }
        }
        // First the headings as they stand, then without the units and what is in brackets, then put together.
        let shorter: Vec<String> = table.headings.iter().map(|heading| without_units(heading)).collect();
        let known = |heading: &str| ShadeField::ALL.iter().find(|field| field.is_headed(heading)).copied();
        // A letter alone is a unit where something was taken off it.
        let known_short = |heading: &str| known(heading).filter(|_| heading.len() > 1);
        let ways: [Way; 6] = [
            (&headings, &colour_number),
            (&headings, &known),
            (&headings, &unit_of_a_ball),
            (&shorter, &known_short),
            (&headings, &composed),
            (&shorter, &composed),
        ];
        for (spelling, field_of) in ways {
            for (column, heading) in spelling.iter().enumerate().filter(|(_, heading)| !heading.is_empty()) {
                let field = field_of(heading).filter(|_| !COLOUR_WORDS.contains(&heading.as_str()));
                if let Some(field) = field.and_then(|field| by_content(field, table, column)) {
                    found.take(field, column);
                }
            }
        }
        for (column, heading) in shorter.iter().enumerate() {
            if COLOUR_WORDS.contains(&heading.as_str()) && !found.holds(column) {
                found.by_what_stands_there(table, column);
            }
        }
        found.price_under_a_sign(table);
        found.name_by_code();
        found.letters_alone(table);
        found.colour_by_cells(table);
        Ok(found)
    }

    /// A column headed `€` alone is one of prices.
    fn price_under_a_sign(&mut self, table: &ShadeTable) {
        let signs = |heading: &String| {
            !heading.trim().is_empty() && heading.chars().all(|c| "£€$¥₹₺₽₩ ():.[]".contains(c))
        };
        if let Some(column) = table.headings.iter().position(signs) {
            self.take(ShadeField::BallPrice, column);
        }
    }

    /// Letters that stand for a colour only in threes: without the others `g` is grams.
    fn letters_alone(&mut self, table: &ShadeTable) {
        for three in [
            [ShadeField::Red, ShadeField::Green, ShadeField::Blue],
            [ShadeField::LabL, ShadeField::LabA, ShadeField::LabB],
        ] {
            if three.iter().all(|field| self.columns.contains_key(field)) {
                continue;
            }
            for field in three {
                let Some(column) = self.columns.get(&field).copied() else { continue };
                let heading = table.headings.get(column).map(|heading| plain(heading)).unwrap_or_default();
                if heading.len() == 1 {
                    self.columns.remove(&field);
                    if heading == "g" {
                        self.take(ShadeField::BallGrams, column);
                    }
                }
            }
        }
    }

    /// Where no heading says colour, the first column that holds nothing but values of colours.
    fn colour_by_cells(&mut self, table: &ShadeTable) {
        let colours = [ShadeField::Hex, ShadeField::Oklch, ShadeField::Red, ShadeField::LabL];
        if !colours.iter().any(|field| self.columns.contains_key(field)) {
            let column = (0..table.headings.len())
                .find(|column| !self.holds(*column) && mostly(table, *column, is_value));
            if let Some(column) = column {
                self.columns.insert(ShadeField::Hex, column);
            }
        }
    }

    /// A column of colours by its cells: values, numbers or names.
    fn by_what_stands_there(&mut self, table: &ShadeTable, column: usize) {
        let field = if mostly(table, column, is_value) {
            ShadeField::Hex
        } else if mostly(table, column, |cell| cell.bytes().any(|b| b.is_ascii_digit()))
            && self.columns.contains_key(&ShadeField::Name)
        {
            ShadeField::Code
        } else {
            ShadeField::Name
        };
        self.take(field, column);
    }

    /// Shades of which only a number is known are called by it.
    fn name_by_code(&mut self) {
        if !self.columns.contains_key(&ShadeField::Name)
            && let Some(column) = self.columns.remove(&ShadeField::Code)
        {
            self.columns.insert(ShadeField::Name, column);
        }
    }

    fn holds(&self, column: usize) -> bool {
        self.columns.values().any(|taken| *taken == column)
    }

    /// Takes a column for a field when both are free.
    fn take(&mut self, field: ShadeField, column: usize) {
        if !self.holds(column) {
            self.columns.entry(field).or_insert(column);
        }
    }

    /// The column of a field.
    pub fn column(&self, field: ShadeField) -> Option<usize> {
        self.columns.get(&field).copied()
    }

    /// What a column holds, if anything.
    pub fn field_of(&self, column: usize) -> Option<ShadeField> {
        self.fields().find(|(_, taken)| *taken == column).map(|(field, _)| field)
    }

    /// Says what a column holds, or that it is left out; a field has one column.
    pub fn set_column(&mut self, column: usize, field: Option<ShadeField>) {
        self.columns.retain(|_, taken| *taken != column);
        if let Some(field) = field {
            self.set(field, Some(column));
        }
    }

    /// Says which column holds a field, or that none does; a column holds one field.
    pub fn set(&mut self, field: ShadeField, column: Option<usize>) {
        self.columns.retain(|other, taken| *other != field && Some(*taken) != column);
        if let Some(column) = column {
            self.columns.insert(field, column);
        }
    }

    /// The fields that have a column, with it.
    pub fn fields(&self) -> impl Iterator<Item = (ShadeField, usize)> {
        self.columns.iter().map(|(field, column)| (*field, *column))
    }

    /// The headings no field takes, shortened to be shown.
    pub fn left_out(&self, table: &ShadeTable) -> Vec<String> {
        let free = table
            .headings
            .iter()
            .enumerate()
            .filter(|(column, heading)| !heading.is_empty() && !self.holds(*column));
        free.map(|(_, heading)| quoted(heading)).collect()
    }

    /// Without a weight that stands alone, or a length of 100 g without the weight of a ball: a shop that tells one only says nothing
    /// about a ball, and its shades still count.
    pub fn without_half_a_ball(mut self) -> Self {
        let has = |found: &Self, field| found.columns.contains_key(&field);
        if !has(&self, ShadeField::Length) {
            let (per_100g, grams) =
                (has(&self, ShadeField::MetresPer100G), has(&self, ShadeField::BallGrams));
            if per_100g != grams {
                self.columns
                    .retain(|field, _| !matches!(field, ShadeField::MetresPer100G | ShadeField::BallGrams));
            }
        }
        self
    }

    /// Refuses what makes no shades.
    ///
    /// # Errors
    /// [`HeadingFault`] when name or colour have no column.
    pub fn check(&self) -> Result<(), HeadingFault> {
        let has = |fields: &[ShadeField]| fields.iter().all(|field| self.columns.contains_key(field));
        if !has(&[ShadeField::Name]) {
            return Err(HeadingFault::NoName);
        }
        let colour = has(&[ShadeField::Hex])
            || has(&[ShadeField::Oklch])
            || has(&[ShadeField::Red, ShadeField::Green, ShadeField::Blue])
            || has(&[ShadeField::LabL, ShadeField::LabA, ShadeField::LabB]);
        if colour { Ok(()) } else { Err(HeadingFault::NoColour) }
    }
}

/// What a column holds by its cells too: a colour's number may be its value, and words that stand where figures are looked
/// for are left out.
fn by_content(field: ShadeField, table: &ShadeTable, column: usize) -> Option<ShadeField> {
    let digits = |cell: &str| cell.bytes().any(|b| b.is_ascii_digit());
    match field {
        ShadeField::Code | ShadeField::Name if mostly(table, column, is_value) => Some(ShadeField::Hex),
        ShadeField::BallGrams | ShadeField::WeightClass | ShadeField::Length
            if has_cells(table, column) && !mostly(table, column, digits) =>
        {
            None
        }
        // `Weight: 4 ply` tells no class of the standard.
        ShadeField::WeightClass if mostly(table, column, |cell| cell.parse::<u8>().is_err()) => None,
        field => Some(field),
    }
}

/// Whether it is the value of a colour, and cannot be a number or a word.
fn is_value(cell: &str) -> bool {
    // A number of six digits may be both; with a number sign or letters it is a value.
    is_colour(cell) && (cell.starts_with('#') || !cell.bytes().all(|b| b.is_ascii_digit()))
}

/// Cells that are looked at to tell what a column holds.
fn cells(table: &ShadeTable, column: usize) -> impl Iterator<Item = &str> {
    let cells = table.rows.iter().filter_map(move |row| row.cells.get(column));
    cells.filter(|cell| !cell.is_empty()).take(50).map(String::as_str)
}

fn has_cells(table: &ShadeTable, column: usize) -> bool {
    cells(table, column).next().is_some()
}

/// Whether more than half of a column is so.
fn mostly(table: &ShadeTable, column: usize, fits: impl Fn(&str) -> bool) -> bool {
    2 * cells(table, column).filter(|cell| fits(cell)).count() > cells(table, column).count()
}
