//! The palette as a file that general graphics programs read.
//!
//! Format: the GIMP palette text format, version 2, documented at
//! <https://developer.gimp.org/core/standards/gpl/>; painting, vector and page-layout programs read it.

use std::fmt::Write as _;

use crate::project::Project;
use crate::plain_text::one_line;

/// The colours of a project in slot order, gamut mapped to sRGB, each with its name, its role and, where
/// it is known, the shade it is knitted in.
pub fn text(project: &Project) -> String {
    let slots = project.palette.slots();
    let mut out = format!("GIMP Palette\nName: {}\n", one_line(&project.title));
    // Writing to a string cannot fail.
    let _ = writeln!(out, "Columns: {}", slots.len().min(8));
    out.push_str("# sRGB, 8 bits a channel. Yarn colours are only as sure as their source.\n");
    for slot in slots {
        let [r, g, b] = slot.colour.to_srgb8();
        let code = slot.shade().map(|shade| shade.code.trim()).filter(|code| !code.is_empty());
        let code = code.map_or_else(String::new, |code| format!(", {code}"));
        let name = one_line(&format!("{}{code} ({})", slot.name, slot.role.name().to_lowercase()));
        let _ = writeln!(out, "{r:3} {g:3} {b:3}\t{name}");
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Colour;

    /// Reads the lines as the documented format says: three numbers 0 to 255, then the name.
    fn read(text: &str) -> Vec<([u8; 3], String)> {
        let mut lines = text.lines();
        assert_eq!(lines.next(), Some("GIMP Palette"));
        assert!(lines.next().unwrap().starts_with("Name: "));
        assert!(lines.next().unwrap().starts_with("Columns: "));
        lines
            .filter(|line| !line.starts_with('#'))
            .map(|line| {
                let (numbers, name) = line.split_once('\t').unwrap();
                let rgb: Vec<u8> = numbers.split_whitespace().map(|n| n.parse().unwrap()).collect();
                (rgb.try_into().unwrap(), name.to_owned())
            })
            .collect()
    }

    #[test]
    fn the_file_reads_back_as_the_palette() {
        let mut project = Project { title: "Line\nbreak".to_owned(), ..Project::default() };
        "Sea\npink\t2".clone_into(&mut project.palette.slots_mut()[1].name);
        project.palette.slots_mut()[2].colour = Colour::clamped(0.7, 0.4, 140.0);
        let found = read(&text(&project));
        assert_eq!(found.len(), project.palette.slots().len());
        for ((rgb, name), slot) in found.iter().zip(project.palette.slots()) {
            assert_eq!(*rgb, slot.colour.to_srgb8());
            assert!(name.contains(&slot.role.name().to_lowercase()), "{name}");
        }
        assert!(found[1].1.starts_with("Sea pink 2"), "{}", found[1].1);
    }
}
