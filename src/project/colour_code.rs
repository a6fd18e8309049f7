//! What a colour is called wherever the pattern speaks of it: chart, rows, sheet, card and tables.

use super::palette::{Palette, Role, Slot};

/// Letters of the alphabet that codes are made of.
const LETTERS: usize = 26;

/// The code of the colour in a slot: A to Z in palette order, then AA, AB and so on.
pub fn colour_code(slot: usize) -> String {
    let mut code = match slot / LETTERS {
        0 => String::new(),
        round => colour_code(round - 1),
    };
    code.push(char::from(b'A' + (slot % LETTERS) as u8));
    code
}

/// Code and role, e.g. `A, ground`.
pub fn code_and_role(slot: usize, role: Role) -> String {
    format!("{}, {}", colour_code(slot), role.word())
}

/// Code and name within a sentence, e.g. `A Plain paper`; the code alone where it has no name.
pub fn code_and_name(slot: usize, colour: &Slot) -> String {
    let (code, name) = (colour_code(slot), colour.name.trim());
    if name.is_empty() { code } else { format!("{code} {name}") }
}

/// Code, role and name, e.g. `A, ground: Plain paper`; without the colon where it has no name.
pub fn key_entry(slot: usize, colour: &Slot) -> String {
    let code = code_and_role(slot, colour.role);
    let name = colour.name.trim();
    if name.is_empty() { code } else { format!("{code}: {name}") }
}

impl Palette {
    /// The codes of all colours, in slot order.
    pub fn codes(&self) -> Vec<String> {
        (0..self.slots().len()).map(colour_code).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::Cell;

    #[test]
    fn codes_go_on_after_z_and_are_all_different() {
        assert_eq!(
            [0, 1, 25, 26, 27, 51, 52, 63].map(colour_code),
            ["A", "B", "Z", "AA", "AB", "AZ", "BA", "BL"]
        );
        let mut all: Vec<String> = (0..Cell::MAX_SLOTS).map(colour_code).collect();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), Cell::MAX_SLOTS);
    }

    #[test]
    fn the_role_and_the_name_stand_beside_the_code() {
        let palette = Palette::default();
        assert_eq!(palette.codes(), ["A", "B", "C", "D"]);
        let ground = &palette.slots()[3];
        assert_eq!(key_entry(3, ground), "D, ground: Plain paper");
        assert_eq!(key_entry(3, &Slot { name: " ".to_owned(), ..ground.clone() }), "D, ground");
    }
}
