//! The palette of a project: its colours, their roles and the yarn each is knitted in.

use std::sync::Arc;

use super::model::ProjectError;
use crate::chart::Cell;
use crate::colour::{Colour, Wheel};
use crate::yarn::{PutUp, Shade, SlotYarn};

/// What a colour does in the design (60-30-10 and a neutral ground).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Role {
    /// The main colour, about 60 %.
    Main,
    /// The supporting colour, about 30 %.
    Supporting,
    /// The accent, about 10 %.
    Accent,
    /// A neutral ground that the others stand on; it is outside the 60-30-10.
    Ground,
}

impl Role {
    /// All roles, in the order they are shown.
    pub const ALL: [Self; 4] = [Self::Main, Self::Supporting, Self::Accent, Self::Ground];

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Main => "Main",
            Self::Supporting => "Supporting",
            Self::Accent => "Accent",
            Self::Ground => "Ground",
        }
    }

    /// Name within a sentence; also its key in files for other programs.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Main => "main",
            Self::Supporting => "supporting",
            Self::Accent => "accent",
            Self::Ground => "ground",
        }
    }
}

macro_rules! symbols {
    ($($(#[$doc:meta])* $symbol:ident => $name:literal,)+) => {
        /// A plain mark that stands for a colour, so that a chart reads without colour.
        ///
        /// The marks are made of bars, chevrons, corners, quarters and halves, and keep clear of the signs that
        /// charts use for stitches (strokes across the cell, rings, discs, crosses, single bars). They are drawn
        /// as shapes (never font glyphs), told apart in grey at 2 mm.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        pub enum Symbol { $($(#[$doc])* $symbol),+ }

        impl Symbol {
            /// All symbols, in the order they are given to new colours: neighbours in the list are unlike.
            pub const ALL: [Self; [$($name),+].len()] = [$(Self::$symbol),+];

            /// Name, sentence case.
            pub const fn name(self) -> &'static str {
                match self { $(Self::$symbol => $name),+ }
            }
        }
    };
}

symbols! {
    /// Nothing: an empty square.
    Blank => "Blank",
    /// Filled below the falling diagonal.
    LowerLeftWedge => "Lower left wedge",
    /// A bar above the middle and one below it.
    TwoLevelBars => "Two level bars",
    /// An angle that points right.
    RightChevron => "Right chevron",
    /// Bars along the left and the top.
    UpperLeftCorner => "Upper left corner",
    /// That quarter filled.
    UpperRightQuarter => "Upper right quarter",
    /// The lower left and the upper right quarter filled.
    RisingQuarters => "Rising quarters",
    /// That half filled.
    LeftHalf => "Left half",
    /// Bars along all sides but the bottom.
    OpenBelow => "Open below",
    /// A bar on either side of the middle.
    TwoUprightBars => "Two upright bars",
    /// Filled above the falling diagonal.
    UpperRightWedge => "Upper right wedge",
    /// An angle that points left.
    LeftChevron => "Left chevron",
    /// That half filled.
    UpperHalf => "Upper half",
    /// Bars along the right and the bottom.
    LowerRightCorner => "Lower right corner",
    /// That quarter filled.
    LowerLeftQuarter => "Lower left quarter",
    /// The upper left and the lower right quarter filled.
    FallingQuarters => "Falling quarters",
    /// That half filled.
    RightHalf => "Right half",
    /// Bars along all sides but the top.
    OpenAbove => "Open above",
    /// Filled above the rising diagonal.
    UpperLeftWedge => "Upper left wedge",
    /// That half filled.
    LowerHalf => "Lower half",
    /// Bars along the right and the top.
    UpperRightCorner => "Upper right corner",
    /// That quarter filled.
    LowerRightQuarter => "Lower right quarter",
    /// Bars along all sides but the right.
    OpenRight => "Open right",
    /// Filled below the rising diagonal.
    LowerRightWedge => "Lower right wedge",
    /// Bars along the left and the bottom.
    LowerLeftCorner => "Lower left corner",
    /// That quarter filled.
    UpperLeftQuarter => "Upper left quarter",
    /// Bars along all sides but the left.
    OpenLeft => "Open left",
}

/// One colour of the palette.
#[derive(Clone, Debug, PartialEq)]
pub struct Slot {
    /// What the knitter calls it.
    pub name: String,
    /// The colour; may lie outside sRGB and is shown gamut mapped.
    pub colour: Colour,
    /// What it does in the design.
    pub role: Role,
    /// Its mark on charts.
    pub symbol: Symbol,
    /// A locked colour keeps itself when the scheme moves the others.
    pub locked: bool,
    /// The yarn it is knitted in; what of it is on hand says [`Slot::on_hand_m`].
    pub yarn: SlotYarn,
    /// The shade of a card it was last knitted in, as it stood there then (see [`Slot::shade`]).
    pub chosen_shade: Option<Arc<Shade>>,
}

impl Slot {
    /// The slot knitted in a shade: its colour, its name, and its metres, price and stock where the
    /// card gives them.
    pub fn knit_in(&mut self, shade: Arc<Shade>) {
        self.name.clone_from(&shade.name);
        self.colour = shade.colour;
        self.yarn.put_up = shade.put_up.unwrap_or(self.yarn.put_up);
        // The same shade chosen again takes nothing away that was typed since.
        if !self.tells_on_hand(&shade) {
            self.yarn.on_hand_m = shade.owned_m();
        }
        self.yarn.ball_price = shade.ball_price;
        self.chosen_shade = Some(shade);
    }

    /// Goes on with its shade when that is changed on its card, in all that it still has from it; whether it did.
    pub fn follow(&mut self, old: &Shade, new: &Arc<Shade>) -> bool {
        if self.shade().is_none_or(|used| **used != *old) {
            return false;
        }
        if self.name == old.name {
            self.name.clone_from(&new.name);
        }
        if self.yarn.ball_price == old.ball_price {
            self.yarn.ball_price = new.ball_price;
        }
        if let (true, Some(put_up)) = (old.put_up == Some(self.yarn.put_up), new.put_up) {
            self.yarn.put_up = put_up;
        }
        self.colour = new.colour;
        self.chosen_shade = Some(Arc::clone(new));
        true
    }

    /// The shade it is knitted in, as long as its colour is still that of the shade.
    pub fn shade(&self) -> Option<&Arc<Shade>> {
        self.chosen_shade.as_ref().filter(|shade| shade.colour == self.colour)
    }

    /// The shade it was knitted in until its colour became another.
    pub fn left_shade(&self) -> Option<&Arc<Shade>> {
        self.chosen_shade.as_ref().filter(|shade| shade.colour != self.colour)
    }

    /// Whether this is the shade it was last knitted in, the colour left or not.
    pub fn has_chosen(&self, shade: &Shade) -> bool {
        self.chosen_shade.as_ref().is_some_and(|chosen| chosen.is_same(shade))
    }

    /// Whether it says what is on hand of a shade: some of it, or that none is left of what the card has.
    pub fn tells_on_hand(&self, shade: &Shade) -> bool {
        let told = |chosen: &Shade| self.yarn.on_hand_m > 0.0 || chosen.owned_m() == shade.owned_m();
        self.chosen_shade.as_ref().is_some_and(|chosen| chosen.is_same(shade) && told(chosen))
    }

    /// Metres on hand of what it is knitted in. What [`SlotYarn::on_hand_m`] says is of the shade chosen last: none of
    /// it is of use while the colour is another, and all of it again once the colour is back.
    pub fn on_hand_m(&self) -> f64 {
        if self.left_shade().is_some() { 0.0 } else { self.yarn.on_hand_m }
    }

    /// How it is sold, and what of it is on hand as it is now.
    pub fn stock(&self) -> SlotYarn {
        SlotYarn { on_hand_m: self.on_hand_m(), ..self.yarn }
    }

    /// Says what is on hand of the colour as it is now; a shade that it has left is let go.
    pub fn set_on_hand(&mut self, metres: f64) {
        if self.left_shade().is_some() {
            self.chosen_shade = None;
        }
        self.yarn.on_hand_m = metres;
    }

    /// Number and dye lot of that shade, as one asks for it: `F01, lot 7`; `unnumbered` in place of a number where
    /// there is none.
    pub fn asked_for(&self, unnumbered: &str) -> String {
        let (code, lot) = self.shade().map_or(("", ""), |shade| (shade.code.trim(), shade.dye_lot.trim()));
        let lot = if lot.is_empty() { String::new() } else { format!("lot {lot}") };
        let number = if code.is_empty() { unnumbered } else { code };
        [number, &lot].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ")
    }
}

/// Target shares of main, supporting and accent in per cent of the stitches that are not ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Proportion {
    main: f64,
    supporting: f64,
    accent: f64,
}

impl Default for Proportion {
    /// 60-30-10 (common practice in interior and textile design, no published source).
    fn default() -> Self {
        Self { main: 60.0, supporting: 30.0, accent: 10.0 }
    }
}

impl Proportion {
    /// Shares from three weights of 0 or more, scaled to add up to 100.
    ///
    /// # Errors
    /// [`ProjectError::Proportion`] when a weight is negative or not a number, or all are 0.
    pub fn new(main: f64, supporting: f64, accent: f64) -> Result<Self, ProjectError> {
        let total = main + supporting + accent;
        let valid = [main, supporting, accent].iter().all(|w| *w >= 0.0) && total.is_finite() && total > 0.0;
        if !valid {
            return Err(ProjectError::Proportion { main, supporting, accent });
        }
        // Shares that already add up stay as they are to the last bit, so that saving and opening
        // changes nothing.
        let scale = if (total - 100.0).abs() < 1e-9 { 1.0 } else { 100.0 / total };
        Ok(Self { main: main * scale, supporting: supporting * scale, accent: accent * scale })
    }

    /// The target share of a role in per cent; `None` for the ground, which has no target.
    pub const fn share(self, role: Role) -> Option<f64> {
        match role {
            Role::Main => Some(self.main),
            Role::Supporting => Some(self.supporting),
            Role::Accent => Some(self.accent),
            Role::Ground => None,
        }
    }
}

/// The colours of a project and how they were found.
#[derive(Clone, Debug, PartialEq)]
pub struct Palette {
    /// Which hue circle the scheme is measured on.
    pub wheel: Wheel,
    /// The scheme that holds the hues together; `None` leaves every colour free.
    pub scheme: Option<crate::colour::Scheme>,
    /// Target shares.
    pub proportion: Proportion,
    slots: Vec<Slot>,
}

/// What the colours of a new project are called before anyone names them.
pub(super) const GIVEN_NAMES: [&str; 4] = ["Blue crate", "Pink chalk", "Yellow pencil", "Plain paper"];

impl Default for Palette {
    /// One colour a role, well apart in value (L* 35, 58, 74 and 91).
    fn default() -> Self {
        let slot = |name: usize, (l, c, h), role, symbol| Slot {
            name: GIVEN_NAMES[name].to_owned(),
            colour: Colour::clamped(l, c, h),
            role,
            symbol,
            locked: false,
            yarn: SlotYarn::default(),
            chosen_shade: None,
        };
        Self {
            wheel: Wheel::default(),
            scheme: None,
            proportion: Proportion::default(),
            slots: vec![
                slot(0, (0.42, 0.085, 245.0), Role::Main, Symbol::LowerLeftWedge),
                slot(1, (0.64, 0.12, 5.0), Role::Supporting, Symbol::TwoLevelBars),
                slot(2, (0.78, 0.14, 88.0), Role::Accent, Symbol::RightChevron),
                slot(3, (0.93, 0.02, 85.0), Role::Ground, Symbol::Blank),
            ],
        }
    }
}

impl Palette {
    /// A palette of 1 to 64 slots.
    ///
    /// # Errors
    /// [`ProjectError::SlotCount`] when there are none or too many.
    pub fn new(slots: Vec<Slot>) -> Result<Self, ProjectError> {
        if slots.is_empty() || slots.len() > Cell::MAX_SLOTS {
            return Err(ProjectError::SlotCount(slots.len()));
        }
        Ok(Self { wheel: Wheel::default(), scheme: None, proportion: Proportion::default(), slots })
    }

    /// The colours in slot order; never empty.
    pub fn slots(&self) -> &[Slot] {
        &self.slots
    }

    /// The colours, to change in place (their number stays).
    pub fn slots_mut(&mut self) -> &mut [Slot] {
        &mut self.slots
    }

    /// Puts every colour up as this yarn is; prices and what is on hand stay.
    pub fn put_up_all(&mut self, put_up: PutUp) {
        for slot in &mut self.slots {
            slot.yarn.put_up = put_up;
        }
    }

    /// Adds a colour at the end; `false` when the palette is full.
    pub fn push(&mut self, slot: Slot) -> bool {
        let room = self.slots.len() < Cell::MAX_SLOTS;
        if room {
            self.slots.push(slot);
        }
        room
    }

    /// Takes out a colour; `None` when it does not exist or is the last one.
    /// The chart must be renumbered in the same edit (see `project::Project::without_slot`).
    pub(super) fn remove(&mut self, index: usize) -> Option<Slot> {
        (self.slots.len() > 1 && index < self.slots.len()).then(|| self.slots.remove(index))
    }

    /// The first slot with this role.
    pub fn slot_of(&self, role: Role) -> Option<usize> {
        self.slots.iter().position(|slot| slot.role == role)
    }

    /// The first symbol no slot uses yet, else the plainest.
    pub fn free_symbol(&self) -> Symbol {
        let used = |symbol: &Symbol| self.slots.iter().any(|slot| slot.symbol == *symbol);
        Symbol::ALL.into_iter().find(|symbol| !used(symbol)).unwrap_or(Symbol::Blank)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_colour_goes_along_with_its_shade_and_keeps_what_is_on_hand() {
        let put_up = crate::yarn::PutUp::new(250.0, 50.0).unwrap();
        let old =
            Arc::new(Shade { put_up: Some(put_up), ..Shade::new("Gull", Colour::clamped(0.7, 0.0, 0.0)) });
        let mut slot = Palette::default().slots()[0].clone();
        slot.knit_in(Arc::clone(&old));
        slot.yarn.on_hand_m = 375.0;
        let price = crate::units::Price::new(6.15).ok();
        let new = Arc::new(Shade { ball_price: price, name: "Grey gull".to_owned(), ..(*old).clone() });
        assert!(slot.follow(&old, &new));
        assert_eq!(
            (slot.name.as_str(), slot.yarn.ball_price, slot.yarn.on_hand_m),
            ("Grey gull", price, 375.0)
        );
        assert!(slot.shade().is_some_and(|used| **used == *new));
        slot.knit_in(Arc::clone(&new));
        assert!((slot.yarn.on_hand_m - 375.0).abs() < 1e-9, "the same shade again takes nothing away");
        assert!(!slot.follow(&old, &new), "it is another shade's colour now");
    }

    #[test]
    fn a_shade_is_asked_for_by_number_and_lot() {
        let mut slot = Palette::default().slots()[0].clone();
        assert_eq!(slot.asked_for("#fff"), "#fff");
        for (code, lot, found) in
            [("F01", "7", "F01, lot 7"), ("F01", "", "F01"), ("", "7", "#fff, lot 7"), ("", "", "#fff")]
        {
            let shade = crate::yarn::Shade::new("Tin lid", slot.colour);
            slot.knit_in(Arc::new(crate::yarn::Shade {
                code: code.to_owned(),
                dye_lot: lot.to_owned(),
                ..shade
            }));
            assert_eq!(slot.asked_for("#fff"), found);
        }
        assert_eq!(slot.asked_for(""), "");
    }
}
