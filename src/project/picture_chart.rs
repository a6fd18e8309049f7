//! A chart made from a picture, as a project or as an edit of one.

use std::sync::Arc;

use super::edit::Edit;
use super::model::{Chart, KnitPlan, Project, ProjectError};
use super::palette::{Palette, Role, Slot, Symbol};
use crate::chart::{Cell, Grid, colours_in_row};
use crate::colour::Colour;
use crate::from_picture::PictureChart;
use crate::knit::{Construction, Gauge};
use crate::yarn::{Shade, SlotYarn};

/// What the colours of the chart stand for.
#[derive(Clone, Debug, PartialEq)]
pub enum PictureColours {
    /// Colours of the picture's own.
    Picture,
    /// These shades.
    Shades(Vec<Arc<Shade>>),
    /// The palette as it is: the chart was made of its colours and no others.
    Palette,
}

/// What a chart from a picture is like, beside what every chart's figures tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PictureFigures {
    /// Stitches that stand alone (see [`Project::lone_stitches`]).
    pub lone_stitches: usize,
    /// Colours of the row that has most.
    pub colours_per_row_max: usize,
    /// Floats over the limit of the plan.
    pub long_floats: usize,
}

impl PictureFigures {
    /// Of a project whose chart was made from a picture.
    pub fn of(project: &Project) -> Self {
        let grid = &project.chart.grid;
        let colours = (0..grid.height()).map(|y| colours_in_row(grid.row(y)).len());
        Self {
            lone_stitches: project.lone_stitches(),
            colours_per_row_max: colours.max().unwrap_or(0),
            long_floats: project.long_float_count(),
        }
    }
}

impl Project {
    /// A new project of a chart made from a picture, worked flat at this gauge over its whole width.
    ///
    /// # Errors
    /// [`ProjectError`] when the chart has more colours than a palette.
    pub fn from_picture(
        title: &str,
        gauge: Gauge,
        chart: &PictureChart,
        colours: &PictureColours,
    ) -> Result<Self, ProjectError> {
        let plan = KnitPlan { construction: Construction::Flat, ..KnitPlan::new(gauge, chart.grid.width()) };
        let empty = Self { plan, ..Self::default() };
        let palette = signed(Palette::new(slots(&[], chart, colours, SlotYarn::default()))?);
        let title = if title.trim().is_empty() { empty.title.clone() } else { title.trim().to_owned() };
        let project = Self { title, palette, chart: Chart::new(chart.grid.clone()), ..empty };
        project.check()?;
        Ok(project)
    }

    /// The edit that puts a chart made from a picture, with its colours, in place of the project's. The
    /// locked colours of the palette stay as they are when the chart was made with them protected, in their
    /// order. Colourways belong to the old colours and go; bands keep their colour where it is still there.
    ///
    /// # Errors
    /// [`ProjectError`] when the project could not hold it.
    pub fn with_picture(&self, chart: &PictureChart, colours: &PictureColours) -> Result<Edit, ProjectError> {
        let grid = match colours {
            PictureColours::Palette => in_old_slots(chart)?,
            PictureColours::Picture | PictureColours::Shades(_) => chart.grid.clone(),
        };
        let needle_stitches = match self.plan.construction {
            // A picture is worked once across; in the round it goes around as often as it fits.
            Construction::Flat => grid.width() + self.plan.edge_stitches,
            Construction::InTheRound => self.plan.needle_stitches.max(grid.width()),
        };
        let plan = KnitPlan { needle_stitches, ..self.plan.clone() };
        let mut edits = vec![Edit::Chart(Box::new(Chart::new(grid))), Edit::Plan(Box::new(plan))];
        if *colours != PictureColours::Palette {
            let locked: Vec<Slot> = self.protected().cloned().collect();
            // Sold as the yarn of the project is; of the new colours nothing is at home.
            let yarn = self.palette.slots()[0].yarn.none_on_hand();
            let mut new = Palette::new(slots(&locked, chart, colours, yarn))?;
            new.wheel = self.palette.wheel;
            new.proportion = self.palette.proportion;
            let mut pieces = self.pieces.clone();
            for slot in (new.slots().len()..self.palette.slots().len()).rev() {
                pieces = pieces.without_slot(slot, 0);
            }
            edits.push(Edit::Palette(Box::new(signed(new))));
            edits.push(Edit::Colourways(Vec::new()));
            edits.push(Edit::Pieces(Box::new(pieces)));
        }
        let edit = Edit::Several(edits);
        let mut tried = self.clone();
        tried.apply(edit.clone());
        tried.check()?;
        Ok(edit)
    }

    /// The colours that a chart from a picture keeps: the locked ones.
    pub fn protected(&self) -> impl Iterator<Item = &Slot> {
        self.palette.slots().iter().filter(|slot| slot.locked)
    }
}

/// The chart in the numbers of the slots its colours came from.
fn in_old_slots(chart: &PictureChart) -> Result<Grid, ProjectError> {
    let slot = |cell: &Cell| {
        let old = cell.index().and_then(|index| chart.shades.get(index).copied().flatten());
        old.map_or(*cell, |old| Cell::slot(old as u8))
    };
    let cells = chart.grid.cells().iter().map(slot).collect();
    Ok(Grid::from_cells(chart.grid.width(), chart.grid.height(), cells)?)
}

/// The palette with a symbol of its own for each new colour.
fn signed(mut done: Palette) -> Palette {
    for index in 0..done.slots().len() {
        let own = done.slots()[index].symbol;
        let first = done.slots().iter().position(|slot| slot.symbol == own);
        if first.is_some_and(|first| first < index) {
            let free = done.free_symbol();
            done.slots_mut()[index].symbol = free;
        }
    }
    done
}

/// A slot for each colour of the chart, those of `locked` first.
fn slots(locked: &[Slot], chart: &PictureChart, colours: &PictureColours, yarn: SlotYarn) -> Vec<Slot> {
    let mut slots: Vec<Slot> = Vec::with_capacity(chart.colours.len());
    for (index, colour) in chart.colours.iter().enumerate() {
        if let Some(kept) = locked.get(index).filter(|slot| slot.colour.difference(*colour) < 0.5) {
            slots.push(kept.clone());
            continue;
        }
        let role = [Role::Ground, Role::Main, Role::Supporting]
            .into_iter()
            .find(|role| slots.iter().all(|slot| slot.role != *role));
        let mut slot = Slot {
            name: name(*colour, &slots),
            colour: *colour,
            role: role.unwrap_or(Role::Accent),
            symbol: Symbol::Blank,
            locked: false,
            yarn,
            chosen_shade: None,
        };
        if let PictureColours::Shades(shades) = colours
            && let Some(shade) = chart.shades[index].and_then(|shade| shades.get(shade))
        {
            slot.knit_in(Arc::clone(shade));
        }
        slots.push(slot);
    }
    slots
}

/// The colour in words, numbered when there are several such.
fn name(colour: Colour, before: &[Slot]) -> String {
    let words = colour.words();
    let mut letters = words.chars();
    let first = letters.next().map_or_else(String::new, |first| first.to_uppercase().collect());
    let words = first + letters.as_str();
    let is_free = |name: &String| before.iter().all(|slot| slot.name != *name);
    let numbered = (2..).map(|number| format!("{words} {number}"));
    std::iter::once(words.clone()).chain(numbered).find(is_free).unwrap_or(words)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::from_picture::{ColoursFrom, PictureWish, chart_of};
    use crate::photo::CellMeans;

    fn means() -> CellMeans {
        let colours = [[0.3, 0.02, -0.08], [0.9, 0.0, 0.03], [0.9, 0.0, 0.03], [0.55, 0.15, 0.08]];
        CellMeans { columns: 8, rows: 6, oklab: (0..48).map(|n| colours[n * 3 % 7 % 4]).collect() }
    }

    fn chart(wish: &PictureWish) -> PictureChart {
        chart_of(&means(), 0.8, wish).unwrap()
    }

    #[test]
    fn a_picture_is_a_sound_project_with_a_colour_a_name_and_a_sign_each() {
        let gauge = Gauge::new(22.0, 30.0).unwrap();
        let chart = chart(&PictureWish { tidy: 0.0, ..PictureWish::default() });
        let project =
            Project::from_picture("  Crooked gate ", gauge, &chart, &PictureColours::Picture).unwrap();
        assert_eq!((project.title.as_str(), project.repeats_around()), ("Crooked gate", (1, 0)));
        let slots = project.palette.slots();
        assert_eq!(slots.len(), 3);
        assert_eq!(
            [slots[0].role, slots[1].role, slots[2].role],
            [Role::Ground, Role::Main, Role::Supporting]
        );
        for (a, one) in slots.iter().enumerate() {
            assert!(slots[..a].iter().all(|other| other.name != one.name && other.symbol != one.symbol));
        }
        let figures = PictureFigures::of(&project);
        assert!(figures.colours_per_row_max <= 3);
    }

    #[test]
    fn put_into_a_project_it_is_one_edit_that_undoes_itself() {
        let mut project = Project::default();
        project.palette.slots_mut()[2].locked = true;
        project.palette.slots_mut()[0].yarn.on_hand_m = 400.0;
        project
            .colourways
            .push(crate::project::Colourway::of_colours("Other".to_owned(), vec![Colour::BLACK; 4]));
        let protected: Vec<Colour> = project.protected().map(|slot| slot.colour).collect();
        let wish = PictureWish { from: ColoursFrom::Picture(3), protected, ..PictureWish::default() };
        let before = project.clone();
        let undo = project.apply(project.with_picture(&chart(&wish), &PictureColours::Picture).unwrap());
        assert_eq!(project.check(), Ok(()));
        assert_eq!(project.palette.slots()[0], before.palette.slots()[2]);
        assert!(
            project.palette.slots().iter().all(|slot| slot.yarn.on_hand_m == 0.0),
            "a new colour is not at home"
        );
        assert_eq!(project.chart.grid.width(), 8);
        project.apply(undo);
        assert_eq!(project, before);
    }

    #[test]
    fn in_its_own_colours_the_palette_stays() {
        let mut project = Project::default();
        let colours = project.palette.slots().iter().map(|slot| slot.colour).collect();
        let wish = PictureWish { from: ColoursFrom::These(colours), ..PictureWish::default() };
        let before = project.palette.clone();
        project.apply(project.with_picture(&chart(&wish), &PictureColours::Palette).unwrap());
        assert_eq!((project.check(), &project.palette), (Ok(()), &before));
    }

    #[test]
    fn shades_bring_their_names() {
        let shades: Vec<Arc<Shade>> = ["#22305c", "#f0ead8", "#a8402f", "#208040"]
            .iter()
            .enumerate()
            .map(|(n, hex)| Arc::new(Shade::new(format!("Shed {n}"), Colour::from_hex(hex).unwrap())))
            .collect();
        let from = ColoursFrom::Shades(shades.iter().map(|shade| shade.colour).collect(), 3);
        let chart = chart(&PictureWish { from, ..PictureWish::default() });
        let gauge = Gauge::new(22.0, 30.0).unwrap();
        let project = Project::from_picture("", gauge, &chart, &PictureColours::Shades(shades)).unwrap();
        assert!(
            project
                .palette
                .slots()
                .iter()
                .all(|slot| slot.name.starts_with("Shed") && slot.shade().is_some())
        );
    }
}
