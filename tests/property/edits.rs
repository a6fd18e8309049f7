//! Long runs of random edits: undone to the start and redone to the end, byte for byte.

use std::collections::{BTreeMap, BTreeSet};

use huegauge::chart::{
    Axis, Cell, Grid, Ink, Lay, Mirrors, Point, Raster, Rect, Symmetry, Tiles, Transform, Work,
};
use huegauge::colour::Colour;
use huegauge::file;
use huegauge::knit::{Construction, Technique};
use huegauge::project::chart_edits::Hold;
use huegauge::project::{CellPatch, Colourway, Edit, History, MendBy, Project};
use huegauge::project::{chart_edits as chart, chosen_edits as chosen};
use huegauge::units::{Currency, LengthUnit};
use huegauge::yarn::{Blend, Fibre, PutUp, Shade, ShadeCard, Stock, Yarn, YarnId};

/// Edits of a plain `cargo test`; `EDIT_STEPS=110000` makes over 10^5 steps.
const STEPS: usize = 20_000;

/// A repeatable stream of numbers: xorshift64* (Vigna 2016).
pub(crate) struct Stream(pub(crate) u64);

impl Stream {
    pub(crate) fn below(&mut self, limit: u32) -> u32 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        ((self.0.wrapping_mul(0x2545_f491_4f6c_dd1d) >> 32) as u32) % limit.max(1)
    }

    fn cell(&mut self, slots: usize) -> Cell {
        if self.below(12) == 0 { Cell::NO_STITCH } else { Cell::slot(self.below(slots as u32) as u8) }
    }

    /// A part of the chart, sometimes reaching out of it.
    fn rect(&mut self, grid: &Grid) -> Rect {
        let (x, y) = (self.below(grid.width()), self.below(grid.height()));
        Rect::new(x, y, 1 + self.below(grid.width() - x + 1), 1 + self.below(grid.height() - y + 1))
    }

    fn colour(&mut self) -> Colour {
        let share = |n: u32| f64::from(n) / 1000.0;
        Colour::clamped(share(self.below(1001)), 0.4 * share(self.below(1001)), f64::from(self.below(360)))
    }
}

fn mask(region: Rect, stream: &mut Stream) -> Raster {
    Raster::from_fn(region.width, region.height, |_| stream.below(3) > 0)
}

/// Symmetry, fill, and what is done with chosen stitches, by their numbers in [`any_edit`].
fn painting_edit(choice: u32, project: &Project, stream: &mut Stream) -> Option<Edit> {
    let (grid, slots) = (&project.chart.grid, project.palette.slots().len());
    let region = stream.rect(grid);
    let at = (stream.below(grid.width()), stream.below(grid.height()));
    match choice {
        24 => {
            let mirrors = Mirrors::ALL[stream.below(Mirrors::ALL.len() as u32) as usize];
            let lay = Lay::ALL[stream.below(Lay::ALL.len() as u32) as usize];
            let tiles = Tiles::new(lay, 1 + stream.below(30), 1 + stream.below(30));
            let axis = Axis { x2: stream.below(40), y2: stream.below(40) };
            Some(Edit::Symmetry(Symmetry {
                mirrors,
                axis: Some(axis).filter(|_| stream.below(2) == 0),
                tiles: Some(tiles).filter(|_| stream.below(2) == 0),
            }))
        }
        25 => project.filling(Point::new(at.0, at.1), None, Ink::from(stream.cell(slots))),
        26 => {
            let mask = mask(region, stream);
            let patch = chosen::lifted(project, region, Some(&mask))?.scaled(1 + stream.below(2), 1).ok()?;
            let to = (i64::from(stream.below(30)) - 5, i64::from(stream.below(30)) - 5);
            chosen::lay(project, (region, &mask), &patch, to, stream.below(2) == 0)
        }
        27 => chosen::clear(project, region, &mask(region, stream)),
        28 => {
            let mask = mask(region, stream);
            let mask = Some(&mask).filter(|_| stream.below(2) == 0);
            chosen::replace_colour(project, region, mask, (stream.cell(slots), stream.cell(slots)))
        }
        _ => {
            let by = |n: u32| i64::from(n) - 2;
            chosen::shift_around(project, (by(stream.below(5)), by(stream.below(5))))
        }
    }
}

/// The chart as a whole, the colours with their yarn, and what lies beside both, by their numbers in [`any_edit`].
fn whole_edit(choice: u32, project: &Project, stream: &mut Stream) -> Option<Edit> {
    let (grid, slots) = (&project.chart.grid, project.palette.slots().len() as u32);
    let hold = |n: u32| if n == 0 { Hold::Start } else { Hold::End };
    match choice {
        30 => {
            let patch = grid.copy(stream.rect(grid))?;
            let at = |n: u32| i64::from(n) - 8;
            chart::paste(project, &patch, (at(stream.below(60)), at(stream.below(60))))
        }
        31 => {
            let held = (hold(stream.below(2)), hold(stream.below(2)));
            chart::resize(project, 1 + stream.below(60), 1 + stream.below(60), held).ok()
        }
        32 => chart::balance(project, stream.rect(grid)),
        33 => project.swapped(stream.below(slots) as usize, stream.below(slots) as usize),
        34 => {
            let shade = Shade {
                put_up: PutUp::new(200.0 + f64::from(stream.below(3)), 50.0).ok(),
                stock: if stream.below(2) == 0 { Stock::Owned(1 + stream.below(3)) } else { Stock::InStock },
                ..Shade::new("Old rope", stream.colour())
            };
            let taken = (0..=stream.below(2)).map(|_| stream.below(slots) as usize).collect::<Vec<_>>();
            Some(project.knit_in(taken.into_iter().map(|slot| (slot, shade.clone().into()))))
        }
        35 => project.colourways.first().map(|way| project.take_up(way)),
        36 => {
            let mut palette = project.palette.clone();
            let slot = &mut palette.slots_mut()[stream.below(slots) as usize];
            match stream.below(3) {
                0 => slot.recolour(stream.colour()),
                1 => slot.colour = slot.chosen_shade.as_ref().map_or(slot.colour, |shade| shade.colour),
                _ => slot.set_on_hand(f64::from(stream.below(500))),
            }
            Some(Edit::Palette(Box::new(palette)))
        }
        37 => project.nearest_proportion(),
        38 => project.mending(MendBy::Stitches).edit(),
        39 => ["EUR", "kr", "£"]
            .get(stream.below(3) as usize)
            .and_then(|c| Currency::new(c).ok())
            .map(Edit::Currency),
        40 => {
            let shade = Shade::new(format!("Shade {}", stream.below(50)), stream.colour());
            let card = ShadeCard::new("Drawer", vec![shade]).ok()?;
            let mut cards = project.shade_cards.clone();
            cards.truncate(stream.below(3) as usize);
            cards.push(card.into());
            Some(Edit::ShadeCards(cards))
        }
        41 => {
            let put_up = PutUp::new(100.0 + f64::from(stream.below(500)), 50.0).ok()?;
            let yarn = Yarn::new(YarnId(0), "Bare step", Blend::pure(Fibre::Wool), put_up);
            Some(match stream.below(3) {
                0 => project.describe_yarn(yarn),
                1 => project.knit_in_yarn(&yarn),
                _ => Edit::Material(Box::default()),
            })
        }
        _ => {
            let mut plan = project.pieces.clone();
            plan.chosen = stream.below(plan.sizes.len() as u32) as usize;
            match (stream.below(4), plan.pieces.len()) {
                (0, 2..) => drop(plan.pieces.pop()),
                (1, 1..4) => plan.pieces.push(plan.pieces[0].clone()),
                _ => {}
            }
            Some(Edit::Pieces(Box::new(plan)))
        }
    }
}

/// One edit of any kind, or `None` where this one cannot be made now. The chart grows and shrinks at random: it is
/// kept at a size that a run of many edits can bear.
pub(crate) fn next_edit(project: &Project, stream: &mut Stream) -> Option<Edit> {
    let grid = &project.chart.grid;
    if grid.width() > 64 || grid.height() > 64 {
        chart::crop(project, Rect::new(0, 0, grid.width().min(40), grid.height().min(40))).ok()
    } else if grid.width() < 4 {
        chart::insert_stitches(project, 0, 5).ok()
    } else if grid.height() < 4 {
        chart::insert_rows(project, 0, 5).ok()
    } else {
        any_edit(project, stream)
    }
}

/// One edit of any kind, or `None` where this one cannot be made now.
fn any_edit(project: &Project, stream: &mut Stream) -> Option<Edit> {
    let (grid, slots) = (&project.chart.grid, project.palette.slots().len());
    let region = stream.rect(grid);
    let at = (stream.below(grid.width()), stream.below(grid.height()));
    match stream.below(43) {
        choice @ 24..=29 => painting_edit(choice, project, stream),
        choice @ 30.. => whole_edit(choice, project, stream),
        0..=2 => {
            let strokes = (0..=stream.below(9)).map(|_| {
                let p = Point::new(stream.below(grid.width()), stream.below(grid.height()));
                let ink =
                    if stream.below(4) == 0 { Ink::Work(Work::K2tog) } else { stream.cell(slots).into() };
                (p, ink)
            });
            project.stroking(&strokes.collect::<Vec<_>>())
        }
        3..=5 => {
            let points = (0..=stream.below(9))
                .map(|_| Point::new(stream.below(grid.width()), stream.below(grid.height())));
            let points: Vec<Point> = points.collect();
            CellPatch::painting(grid, points, stream.cell(slots)).map(Edit::Cells)
        }
        6 => chart::fill(project, region, stream.cell(slots)),
        8 => chart::insert_rows(project, at.1, 1 + stream.below(3)).ok(),
        9 => chart::insert_stitches(project, at.0, 1 + stream.below(3)).ok(),
        10 => chart::delete_rows(project, at.1, 1 + stream.below(3)).ok(),
        11 => chart::delete_stitches(project, at.0, 1 + stream.below(3)).ok(),
        12 => chart::crop(project, region).ok(),
        13 => chart::set_repeat(project, region).ok(),
        14 => {
            let by = |n: u32| i64::from(n) - 4;
            chart::move_region(project, region, (by(stream.below(9)), by(stream.below(9))))
        }
        15 => {
            let transform = Transform::ALL[stream.below(Transform::ALL.len() as u32) as usize];
            chart::transform_region(project, region, transform)
        }
        17 => project.without_slot(stream.below(slots as u32) as usize, stream.below(slots as u32) as usize),
        18 => {
            let slot = project.palette.slots()[stream.below(slots as u32) as usize].clone();
            project.with_slot(huegauge::project::Slot { colour: stream.colour(), ..slot })
        }
        19 => {
            let mut palette = project.palette.clone();
            let slot = &mut palette.slots_mut()[stream.below(slots as u32) as usize];
            slot.colour = stream.colour();
            slot.name = format!("shade {}", stream.below(1000));
            slot.locked = !slot.locked;
            Some(Edit::Palette(Box::new(palette)))
        }
        20 => {
            let mut plan = project.plan.clone();
            plan.technique = Technique::ALL[stream.below(Technique::ALL.len() as u32) as usize];
            plan.construction = Construction::ALL[stream.below(Construction::ALL.len() as u32) as usize];
            plan.needle_stitches = 1 + stream.below(500);
            plan.waste_percent = f64::from(stream.below(101));
            Some(Edit::Plan(Box::new(plan)))
        }
        21 => {
            let mut ways = project.colourways.clone();
            if ways.len() > 3 {
                ways.remove(stream.below(4) as usize);
            } else {
                let name = format!("way {}", stream.below(100));
                let colours = (0..slots).map(|_| stream.colour()).collect();
                ways.push(match stream.below(2) {
                    0 => Colourway::of_colours(name, colours),
                    _ => Colourway::of_palette(name, &project.palette),
                });
            }
            Some(Edit::Colourways(ways))
        }
        22 => Some(Edit::About {
            title: format!("Title {}", stream.below(100)),
            designer: "by ".repeat(stream.below(3) as usize),
            notes: "notes ".repeat(stream.below(5) as usize),
        }),
        _ => Some(Edit::Units(LengthUnit::ALL[stream.below(2) as usize])),
    }
}

const fn kind(edit: &Edit) -> &'static str {
    match edit {
        Edit::Cells(_) => "Cells",
        Edit::Chart(_) => "Chart",
        Edit::Palette(_) => "Palette",
        Edit::Plan(_) => "Plan",
        Edit::Colourways(_) => "Colourways",
        Edit::About { .. } => "About",
        Edit::Units(_) => "Units",
        Edit::Several(_) => "Several",
        Edit::Symmetry(_) => "Symmetry",
        Edit::Pieces(_) => "Pieces",
        Edit::Material(_) => "Material",
        Edit::ShadeCards(_) => "ShadeCards",
        Edit::Currency(_) => "Currency",
    }
}

fn text(project: &Project) -> String {
    file::to_string(project).unwrap()
}

#[test]
fn random_edits_undo_to_the_start_and_redo_to_the_end_byte_for_byte() {
    let steps = std::env::var("EDIT_STEPS").map_or(STEPS, |steps| steps.parse().unwrap());
    let start = file::demos()[0].project().unwrap();
    let (mut project, mut stream) = (start.clone(), Stream(20_261_125));
    // Nothing may be forgotten here.
    let mut history = History::with_limit(usize::MAX);
    let mut marks = BTreeMap::from([(0, text(&start))]);
    let (mut done, mut kinds) = (0, BTreeSet::new());
    while done < steps {
        let Some(edit) = next_edit(&project, &mut stream) else { continue };
        kinds.insert(kind(&edit));
        let gesture = stream.below(5) == 0;
        history.perform(&mut project, "random", edit, gesture).unwrap();
        if !gesture {
            history.end_gesture();
        }
        done += 1;
        assert_eq!(project.check(), Ok(()), "after {done} edits");
        if done % (steps / 50).max(1) == 0 {
            // The next edit begins a step of its own, so that a depth stands for one state.
            history.end_gesture();
            let saved = text(&project);
            assert_eq!(file::from_str(&saved, "between.ron").unwrap(), project);
            marks.insert(history.depth(), saved);
        }
    }
    assert_eq!(
        kinds,
        [
            "About",
            "Cells",
            "Chart",
            "Colourways",
            "Currency",
            "Material",
            "Palette",
            "Pieces",
            "Plan",
            "Several",
            "ShadeCards",
            "Symmetry",
            "Units"
        ]
        .into(),
        "every kind there is"
    );
    history.end_gesture();
    let (end, depth) = (text(&project), history.depth());
    println!("{done} edits of {} kinds in {depth} steps", kinds.len());
    while history.undo(&mut project).is_some() {
        if let Some(expected) = marks.get(&history.depth()) {
            assert_eq!(&text(&project), expected, "undone to step {}", history.depth());
        }
    }
    assert_eq!(text(&project), marks[&0], "undone to the start");
    assert_eq!(project, start);
    while history.redo(&mut project).is_some() {}
    assert_eq!(history.depth(), depth);
    assert_eq!(text(&project), end, "redone to the end");
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("edited.ron");
    file::save_atomic(&path, &project).unwrap();
    assert_eq!(std::fs::read_to_string(&path).unwrap(), end);
    assert_eq!(file::load(&path).unwrap(), project);
}
