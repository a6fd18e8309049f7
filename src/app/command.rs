//! One table of commands: label, tooltip, shortcut. It feeds menus, keys, buttons and help.

use super::exports::Export;
use super::view::{Tool, Workspace};

/// Something a person can ask for by menu, button or key.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Command {
    /// Begin an empty project.
    New,
    /// Open a project from disk.
    Open,
    /// Save to the project's file.
    Save,
    /// Save to another file.
    SaveAs,
    /// Title, designer and notes.
    Describe,
    /// Write a file for people or other programs.
    Export(Export),
    /// Leave the program.
    Quit,
    /// Take the last change back.
    Undo,
    /// Carry it out again.
    Redo,
    /// Copy the region and clear it.
    Cut,
    /// Copy the region.
    Copy,
    /// Hold the copied stitches over the chart.
    Paste,
    /// Hold them so that the ground lets through what is under it.
    PasteOver,
    /// Choose the whole chart.
    ChooseAll,
    /// Choose every stitch of the colour at the cursor.
    ChooseColour,
    /// Choose the stitches of one colour that hang together at the cursor.
    ChooseArea,
    /// Hold the chosen stitches enlarged so many times across and up.
    Scale(u32, u32),
    /// Make the chosen or held stitches smaller by whole factors across and up.
    Reduce(u32, u32),
    /// Give stitches of the colour at the cursor the paint colour.
    Replace {
        /// In the whole chart, not in the region only.
        everywhere: bool,
    },
    /// Move the stitches of the repeat around it.
    Shift(Way),
    /// Set down, drop or unchoose what is held.
    Escape,
    /// Set held stitches down.
    SetDown,
    /// Clear the region to the background.
    Clear,
    /// Mirror the region left to right.
    MirrorSideways,
    /// Mirror the region bottom to top.
    MirrorUpright,
    /// Turn the region a quarter to the left.
    TurnLeft,
    /// Turn the region a quarter to the right.
    TurnRight,
    /// Insert a row above the cursor.
    InsertRow,
    /// Insert a stitch to the left of the cursor.
    InsertStitch,
    /// Delete the rows of the region, or the cursor's.
    DeleteRows,
    /// Delete the stitches of the region, or the cursor's.
    DeleteStitches,
    /// Make the region the repeat box.
    RepeatFromRegion,
    /// Cut the chart down to the region.
    CropToRegion,
    /// Mark the decreases and increases where rows narrow or widen.
    MarkShaping,
    /// The first and the second colour change places.
    SwapColours,
    /// Give the keyboard to the chart.
    ToChart,
    /// The next kind of symmetry while painting.
    NextSymmetry,
    /// Bring the floats under the limit.
    MendFloats,
    /// Make a chart of a picture.
    ChartFromPicture,
    /// Make a motif of an outline.
    MotifFromOutline,
    /// Show or close the motif library.
    MotifLibrary,
    /// Keep the region in the motif library.
    KeepAsMotif,
    /// The chart in other colours, side by side.
    Colourways,
    /// The motif in every weight class.
    AcrossWeights,
    /// Another width and height.
    ResizeChart,
    /// Enlarge.
    ZoomIn,
    /// Make smaller.
    ZoomOut,
    /// The whole chart.
    ZoomFit,
    /// Symbols on or off.
    ToggleSymbols,
    /// Numbers on or off.
    ToggleNumbers,
    /// Ghost repeats on or off.
    ToggleGhosts,
    /// Knitted look on or off.
    ToggleKnitted,
    /// Greyscale on or off.
    ToggleValue,
    /// Light or dark window.
    ToggleTheme,
    /// Fold the harmony column.
    FoldHarmony,
    /// Fold the findings column.
    FoldFindings,
    /// Larger text in the whole window.
    LargerText,
    /// Smaller text in the whole window.
    SmallerText,
    /// Text of the usual size.
    UsualText,
    /// Give the keyboard to the next pane.
    NextPane,
    /// Go to a workspace.
    Go(Workspace),
    /// Take up a tool.
    Tool(Tool),
    /// List of keys.
    ShowKeys,
    /// About the program.
    About,
}

/// A direction on the chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Way {
    /// To the left.
    Left,
    /// To the right.
    Right,
    /// Up.
    Up,
    /// Down.
    Down,
}

/// A key with its modifiers; `ctrl` is the command key on a Mac.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Shortcut {
    /// Key name as egui spells it, e.g. `S`, `Delete`, `Plus`.
    pub key: &'static str,
    /// With Ctrl.
    pub ctrl: bool,
    /// With Shift.
    pub shift: bool,
    /// With Alt.
    pub alt: bool,
}

const fn key(key: &'static str) -> Shortcut {
    Shortcut { key, ctrl: false, shift: false, alt: false }
}

const fn ctrl(key: &'static str) -> Shortcut {
    Shortcut { key, ctrl: true, shift: false, alt: false }
}

const fn ctrl_shift(key: &'static str) -> Shortcut {
    Shortcut { key, ctrl: true, shift: true, alt: false }
}

const fn alt(key: &'static str) -> Shortcut {
    Shortcut { key, ctrl: false, shift: false, alt: true }
}

/// What menus, tooltips and help say about a command.
#[derive(Clone, Copy, Debug)]
pub struct Info {
    /// Menu label, sentence case.
    pub label: &'static str,
    /// One sentence.
    pub tip: &'static str,
    /// Its key.
    pub shortcut: Option<Shortcut>,
}

const fn info(label: &'static str, tip: &'static str, shortcut: Shortcut) -> Info {
    Info { label, tip, shortcut: Some(shortcut) }
}

const fn keyless(label: &'static str, tip: &'static str) -> Info {
    Info { label, tip, shortcut: None }
}

impl Command {
    /// Every command, in the order of the help page.
    pub const ALL: [Self; 100] = [
        Self::New,
        Self::Open,
        Self::Save,
        Self::SaveAs,
        Self::Describe,
        Self::Export(Export::Sheet),
        Self::Export(Export::ChartPages),
        Self::Export(Export::Chart),
        Self::Export(Export::ChartVector),
        Self::Export(Export::Fabric),
        Self::Export(Export::Words),
        Self::Export(Export::Rows),
        Self::Export(Export::Yardage),
        Self::Export(Export::YardageText),
        Self::Export(Export::StandIns),
        Self::Export(Export::Card),
        Self::Export(Export::GiftTag),
        Self::Export(Export::GiftTagPrint),
        Self::Export(Export::ColourStyles),
        Self::Export(Export::ColourTokens),
        Self::Quit,
        Self::Undo,
        Self::Redo,
        Self::Cut,
        Self::Copy,
        Self::Paste,
        Self::PasteOver,
        Self::ChooseAll,
        Self::ChooseColour,
        Self::ChooseArea,
        Self::Scale(2, 1),
        Self::Scale(1, 2),
        Self::Scale(2, 2),
        Self::Scale(3, 3),
        Self::Reduce(2, 1),
        Self::Reduce(1, 2),
        Self::Reduce(2, 2),
        Self::Reduce(3, 3),
        Self::Replace { everywhere: false },
        Self::Replace { everywhere: true },
        Self::Shift(Way::Left),
        Self::Shift(Way::Right),
        Self::Shift(Way::Up),
        Self::Shift(Way::Down),
        Self::Escape,
        Self::SetDown,
        Self::Clear,
        Self::MirrorSideways,
        Self::MirrorUpright,
        Self::TurnLeft,
        Self::TurnRight,
        Self::InsertRow,
        Self::InsertStitch,
        Self::DeleteRows,
        Self::DeleteStitches,
        Self::RepeatFromRegion,
        Self::CropToRegion,
        Self::MarkShaping,
        Self::NextSymmetry,
        Self::SwapColours,
        Self::MendFloats,
        Self::ChartFromPicture,
        Self::MotifFromOutline,
        Self::MotifLibrary,
        Self::KeepAsMotif,
        Self::AcrossWeights,
        Self::Colourways,
        Self::ResizeChart,
        Self::ZoomIn,
        Self::ZoomOut,
        Self::ZoomFit,
        Self::ToggleSymbols,
        Self::ToggleNumbers,
        Self::ToggleGhosts,
        Self::ToggleKnitted,
        Self::ToggleValue,
        Self::ToggleTheme,
        Self::FoldHarmony,
        Self::FoldFindings,
        Self::LargerText,
        Self::SmallerText,
        Self::UsualText,
        Self::NextPane,
        Self::ToChart,
        Self::Go(Workspace::Fibre),
        Self::Go(Workspace::Yarn),
        Self::Go(Workspace::Design),
        Self::Go(Workspace::Swatch),
        Self::Go(Workspace::Pieces),
        Self::Go(Workspace::Shopping),
        Self::Tool(Tool::Draw),
        Self::Tool(Tool::Line),
        Self::Tool(Tool::Rectangle),
        Self::Tool(Tool::Ellipse),
        Self::Tool(Tool::Fill),
        Self::Tool(Tool::Erase),
        Self::Tool(Tool::Pick),
        Self::Tool(Tool::Region),
        Self::ShowKeys,
        Self::About,
    ];

    /// Whether it works on the chart or on how the Design workspace shows it.
    pub const fn is_of_the_chart(self) -> bool {
        !matches!(
            self,
            Self::New
                | Self::Open
                | Self::Save
                | Self::SaveAs
                | Self::Describe
                | Self::Export(_)
                | Self::Quit
                | Self::Undo
                | Self::Redo
                | Self::ToggleTheme
                | Self::LargerText
                | Self::SmallerText
                | Self::UsualText
                | Self::NextPane
                | Self::ToChart
                | Self::Go(_)
                | Self::ShowKeys
                | Self::About
        )
    }

    /// Label, tooltip and key.
    pub const fn info(self) -> Info {
        match self {
            Self::New => info("New", "Begin an empty project.", ctrl("N")),
            Self::Open => info("Open…", "Open a project from disk.", ctrl("O")),
            Self::Save => info("Save", "Save the project.", ctrl("S")),
            Self::SaveAs => info("Save as…", "Save the project to another file.", ctrl_shift("S")),
            Self::Export(export) => export_info(export),
            Self::Quit => info("Quit", "Leave Huegauge.", ctrl("Q")),
            Self::Undo => info("Undo", "Take the last change back.", ctrl("Z")),
            Self::Redo => info("Redo", "Carry the change out again.", ctrl_shift("Z")),
            Self::Cut => info("Cut", "Copy the region and clear it to the background.", ctrl("X")),
            Self::Copy => info("Copy", "Copy the region.", ctrl("C")),
            Self::Paste => info("Paste", "Hold the copied stitches over the chart.", ctrl("V")),
            Self::PasteOver
            | Self::ChooseColour
            | Self::ChooseArea
            | Self::Scale(..)
            | Self::Reduce(..)
            | Self::Replace { .. }
            | Self::SwapColours
            | Self::Shift(_) => chosen_info(self),
            Self::ChooseAll => info("Choose all", "Choose the whole chart as the region.", ctrl("A")),
            Self::Escape => info("Let go", "Drop held stitches, or unchoose the region.", key("Escape")),
            Self::SetDown => info("Set down", "Set held stitches down on the chart.", key("Enter")),
            Self::Clear => info("Clear region", "Paint the region in the background colour.", key("Delete")),
            Self::MirrorSideways
            | Self::MirrorUpright
            | Self::TurnLeft
            | Self::TurnRight
            | Self::InsertRow
            | Self::InsertStitch
            | Self::DeleteRows
            | Self::DeleteStitches
            | Self::RepeatFromRegion
            | Self::CropToRegion
            | Self::MarkShaping => region_info(self),
            Self::NextSymmetry => {
                info("Next symmetry", "Go on to the next kind of mirror while painting.", key("Y"))
            }
            Self::MendFloats => keyless(
                "Mend floats…",
                "Change the fewest stitches so that no float is over the limit, or count the catches.",
            ),
            Self::ChartFromPicture => {
                keyless("Chart from a picture…", "Make a chart of a photograph or drawing.")
            }
            Self::MotifFromOutline => {
                keyless("Motif from an outline…", "Stamp what is drawn in an SVG file, in stitches.")
            }
            Self::MotifLibrary | Self::KeepAsMotif | Self::AcrossWeights => motif_info(self),
            Self::Colourways => {
                info("Colourways…", "The chart in other colours, large and side by side.", key("F7"))
            }
            Self::ResizeChart => keyless("Chart size…", "Give the chart another width or height."),
            Self::ZoomIn => info("Enlarge", "Show the stitches larger.", key("Plus")),
            Self::ZoomOut => info("Make smaller", "Show the stitches smaller.", key("Minus")),
            Self::ZoomFit => info("Whole chart", "Show the whole chart.", key("0")),
            Self::ToggleSymbols => info(
                "Symbols",
                "Show a symbol for each colour; the signs show colours only, not kinds of stitches.",
                key("S"),
            ),
            Self::ToggleNumbers => info("Numbers", "Show row and stitch numbers.", key("N")),
            Self::ToggleGhosts => info("Ghost repeats", "Continue the repeat around the chart.", key("G")),
            Self::ToggleKnitted => info("Knitted", "Show knit stitches instead of squares.", key("K")),
            Self::ToggleValue => info("Value only", "Show lightness (L*) without colour.", key("V")),
            Self::ToggleTheme => keyless("Light or dark", "Switch between the light and the dark window."),
            Self::FoldHarmony => info("Harmony column", "Show or fold the harmony column.", key("F2")),
            Self::FoldFindings => info("Findings column", "Show or fold the findings column.", key("F3")),
            Self::LargerText | Self::SmallerText | Self::UsualText | Self::NextPane | Self::ToChart => {
                window_info(self)
            }
            Self::Go(workspace) => go_info(workspace),
            Self::Tool(tool) => tool_info(tool),
            Self::Describe => keyless("Title and designer…", "The name of the sheet, by whom, its notes."),
            Self::About => keyless("About Huegauge", "Version, licence and sources."),
            Self::ShowKeys => info("Keys", "List every key.", key("F1")),
        }
    }
}

/// Of the commands that turn a region over, and those that change the size or the shaping of the chart.
const fn region_info(command: Command) -> Info {
    match command {
        Command::MirrorSideways => {
            info("Mirror left to right", "Mirror the region, or the held stitches, sideways.", key("H"))
        }
        Command::MirrorUpright => {
            info("Mirror top to bottom", "Mirror the region, or the held stitches, upright.", key("J"))
        }
        Command::TurnLeft => info("Turn left", "Turn the region a quarter to the left.", ctrl_shift("L")),
        Command::TurnRight => info("Turn right", "Turn the region a quarter to the right.", ctrl("L")),
        Command::InsertRow => info("Insert row above", "Insert a row above the cursor.", ctrl("ArrowUp")),
        Command::InsertStitch => {
            info("Insert stitch to the left", "Insert a stitch left of the cursor.", ctrl("ArrowLeft"))
        }
        Command::DeleteRows => {
            info("Delete rows", "Delete the region's rows, or the cursor's.", ctrl_shift("ArrowDown"))
        }
        Command::DeleteStitches => info(
            "Delete stitches",
            "Delete the region's stitches, or the cursor's.",
            ctrl_shift("ArrowRight"),
        ),
        Command::RepeatFromRegion => info("Repeat from region", "Make the region the repeat box.", ctrl("R")),
        Command::CropToRegion => keyless("Crop to region", "Cut the chart down to the region."),
        _ => keyless(
            "Mark the shaping",
            "Put a decrease or increase where rows of the region, or of the repeat, narrow or widen.",
        ),
    }
}

/// Of the commands for motifs.
const fn motif_info(command: Command) -> Info {
    match command {
        Command::MotifLibrary => {
            info("Motif library", "Motifs to stamp or drag into the chart, yours and ours.", key("F8"))
        }
        Command::KeepAsMotif => {
            keyless("Keep as motif…", "Keep the region in your motif library, for every project.")
        }
        _ => keyless(
            "Motif across weights…",
            "The region or the repeat at one size in every weight class, side by side.",
        ),
    }
}

const fn export_info(export: Export) -> Info {
    let said = export.info();
    let shortcut = match export {
        Export::Sheet => Some(ctrl("P")),
        Export::Chart => Some(ctrl("E")),
        Export::Yardage => Some(ctrl_shift("E")),
        _ => None,
    };
    Info { label: said.name, tip: said.purpose, shortcut }
}

/// Of the commands for chosen stitches and the repeat.
const fn chosen_info(command: Command) -> Info {
    match command {
        Command::PasteOver => info(
            "Paste without the ground",
            "Hold the copied stitches so that their ground lets through what is under it.",
            ctrl_shift("V"),
        ),
        Command::ChooseColour => {
            keyless("Choose this colour", "Choose every stitch of the colour at the cursor.")
        }
        Command::ChooseArea => {
            keyless("Choose this area", "Choose the stitches of one colour that hang together at the cursor.")
        }
        Command::Scale(2, 1) => keyless("Twice as wide", "Hold the chosen stitches, each twice as wide."),
        Command::Scale(1, 2) => keyless("Twice as high", "Hold the chosen stitches, each twice as high."),
        Command::Scale(2, _) => keyless("Twice as large", "Hold the chosen stitches, each two by two."),
        Command::Scale(..) => {
            keyless("Three times as large", "Hold the chosen stitches, each three by three.")
        }
        Command::SwapColours => info(
            "Swap the two colours",
            "What the tools paint and what the right button paints change places.",
            key("X"),
        ),
        Command::Reduce(across, up) => keyless(
            match (across, up) {
                (2, 1) => "Half as wide",
                (1, 2) => "Half as high",
                (2, _) => "Half as large",
                _ => "A third as large",
            },
            "Make blocks of the chosen stitches one stitch each, of the colour that most of a block has.",
        ),
        Command::Replace { everywhere: false } => keyless(
            "Replace the colour here",
            "Give the region's stitches of the colour at the cursor the paint colour.",
        ),
        Command::Replace { .. } => keyless(
            "Replace the colour everywhere",
            "Give every stitch of the colour at the cursor the paint colour.",
        ),
        Command::Shift(way) => shift_info(way),
        _ => keyless("", ""),
    }
}

const fn shift_info(way: Way) -> Info {
    const TIP: &str = "Move the stitches of the repeat around it by one; what leaves it comes in opposite.";
    match way {
        Way::Left => info("Shift left", TIP, alt("ArrowLeft")),
        Way::Right => info("Shift right", TIP, alt("ArrowRight")),
        Way::Up => info("Shift up", TIP, alt("ArrowUp")),
        Way::Down => info("Shift down", TIP, alt("ArrowDown")),
    }
}

/// Of the commands for the window itself.
const fn window_info(command: Command) -> Info {
    match command {
        Command::LargerText => {
            info("Larger text", "Show text and controls larger in the whole window.", ctrl("Plus"))
        }
        Command::SmallerText => {
            info("Smaller text", "Show text and controls smaller in the whole window.", ctrl("Minus"))
        }
        Command::UsualText => {
            info("Usual text size", "Show text and controls as large as they are made.", ctrl("0"))
        }
        Command::ToChart => info("Go to the chart", "Give the keyboard to the chart.", key("F4")),
        _ => info("Next pane", "Give the keyboard to the next pane.", key("F6")),
    }
}

const fn go_info(workspace: Workspace) -> Info {
    match workspace {
        Workspace::Fibre => info("Go to Fibre", "What the piece must withstand.", ctrl("1")),
        Workspace::Yarn => info("Go to Yarn", "The yarn and its shades.", ctrl("2")),
        Workspace::Design => info("Go to Design", "Colours and chart.", ctrl("3")),
        Workspace::Swatch => info("Go to Swatch", "The swatch log.", ctrl("4")),
        Workspace::Pieces => info("Go to Pieces", "Pieces and sizes.", ctrl("5")),
        Workspace::Shopping => info("Go to Shopping", "What to buy.", ctrl("6")),
    }
}

const fn tool_info(tool: Tool) -> Info {
    match tool {
        Tool::Draw => info(Tool::Draw.name(), "Paint the stitches the pointer passes.", key("D")),
        Tool::Line => info(Tool::Line.name(), "A straight line of stitches.", key("L")),
        Tool::Rectangle => info(Tool::Rectangle.name(), "A rectangle, outlined or filled.", key("R")),
        Tool::Ellipse => info(Tool::Ellipse.name(), "An ellipse, outlined or filled.", key("O")),
        Tool::Fill => info(Tool::Fill.name(), "Fill the connected area of one colour.", key("F")),
        Tool::Erase => info(Tool::Erase.name(), "Paint the background colour.", key("E")),
        Tool::Pick => info(Tool::Pick.name(), "Take up the colour under the pointer.", key("P")),
        Tool::Region => info(Tool::Region.name(), "Choose a region; drag inside to move it.", key("C")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn no_two_commands_share_a_key_or_a_label() {
        let mut keys = HashSet::new();
        let mut labels = HashSet::new();
        for command in Command::ALL {
            let info = command.info();
            assert!(labels.insert(info.label), "{} twice", info.label);
            if let Some(shortcut) = info.shortcut {
                assert!(keys.insert(shortcut), "{shortcut:?} twice");
            }
        }
    }
}
