//! The stitch grid: painting, regions, held stitches, zoom and keyboard, by its accessible label.

use egui::{Event, Key, Modifiers, PointerButton, Pos2, pos2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use huegauge::app::view::{ChartView, Choose, Eyes, Floating, Tool};
use huegauge::app::{Action, Command, chart_commands};
use huegauge::chart::{Cell, Grid, Point, Rect};
use huegauge::project::{Chart, History, Project};
use huegauge::ui::canvas::{self, CanvasTextures};
use huegauge::ui::theme;

use crate::software_renderer::SoftwareRenderer;

/// The smallest shell that carries out what the canvas asks for.
pub struct Shell {
    pub project: Project,
    pub history: History,
    pub view: ChartView,
    pub eyes: Eyes,
    pub textures: CanvasTextures,
    pub clipboard: Option<Grid>,
    /// Frames that were drawn.
    pub frames: u32,
}

impl Shell {
    pub fn new(project: Project) -> Self {
        Self {
            project,
            history: History::default(),
            view: ChartView { paint: Cell::slot(1), ..ChartView::default() },
            eyes: Eyes::default(),
            textures: CanvasTextures::default(),
            clipboard: None,
            frames: 0,
        }
    }

    pub fn frame(&mut self, ui: &mut egui::Ui) {
        self.frames += 1;
        for action in canvas::show(ui, &self.project, &mut self.view, self.eyes, &mut self.textures) {
            self.carry_out(action);
        }
    }

    pub fn command(&mut self, command: Command) {
        let clipboard = self.clipboard.take();
        for action in chart_commands::run(&self.project, &mut self.view, clipboard.as_ref(), command) {
            self.carry_out(action);
        }
        self.clipboard = self.clipboard.take().or(clipboard);
    }

    fn carry_out(&mut self, action: Action) {
        match action {
            Action::Edit { label, edit, in_gesture } => {
                let touched = self.history.perform(&mut self.project, label, edit, in_gesture).unwrap();
                self.touch(touched);
            }
            Action::EndGesture => self.history.end_gesture(),
            Action::CopyCells(patch) | Action::CopyChosen(patch) => self.clipboard = Some(patch),
            other => panic!("the chart asked for {other:?}"),
        }
    }

    fn touch(&mut self, touched: huegauge::project::Touched) {
        let stale = &mut self.view.stale;
        stale.cells = stale.cells.union(touched.cells);
        stale.all |= touched.chart || touched.palette;
    }

    pub fn undo(&mut self) {
        let touched = self.history.undo(&mut self.project).expect("something to undo");
        self.touch(touched);
    }
}

/// A chart of plain ground.
pub fn plain(width: u32, height: u32) -> Project {
    let mut project = Project::default();
    let ground = Cell::slot(project.background_slot() as u8);
    project.chart = Chart::new(Grid::new(width, height, ground).unwrap());
    project
}

/// The canvas in a window of its own.
pub fn window(project: Project, dark: bool, renderer: SoftwareRenderer) -> Harness<'static, Shell> {
    let mut harness = Harness::builder()
        .with_size(vec2(800.0, 600.0))
        .with_max_steps(24)
        .with_theme(if dark { egui::Theme::Dark } else { egui::Theme::Light })
        .with_context_setup(theme::install)
        .renderer(renderer)
        .build_ui_state(
            |ui, shell: &mut Shell| {
                egui::CentralPanel::no_frame().show(ui, |ui| shell.frame(ui));
            },
            Shell::new(project),
        );
    harness.run();
    harness
}

pub fn open(project: Project) -> Harness<'static, Shell> {
    window(project, false, SoftwareRenderer::default())
}

/// The middle of a stitch on the screen, worked out from the view alone.
pub fn middle_of(harness: &Harness<'_, Shell>, x: i64, y: i64) -> Pos2 {
    let canvas = harness.get_by_label(canvas::LABEL).rect();
    let shell = harness.state();
    let height = shell.view.zoom / shell.project.plan.gauge.cell_aspect() as f32;
    let from_top = i64::from(shell.project.chart.grid.height()) - 1 - y;
    canvas.min
        + vec2(shell.view.pan[0], shell.view.pan[1])
        + vec2((x as f32 + 0.5) * shell.view.zoom, (from_top as f32 + 0.5) * height)
}

pub fn button(
    harness: &Harness<'_, Shell>,
    pos: Pos2,
    button: PointerButton,
    pressed: bool,
    modifiers: Modifiers,
) {
    harness.event(Event::PointerMoved(pos));
    harness.event_modifiers(Event::PointerButton { pos, button, pressed, modifiers }, modifiers);
}

pub fn click(harness: &mut Harness<'_, Shell>, pos: Pos2, which: PointerButton) {
    button(harness, pos, which, true, Modifiers::NONE);
    button(harness, pos, which, false, Modifiers::NONE);
    harness.run();
}

fn drag_with(harness: &mut Harness<'_, Shell>, path: &[Pos2], modifiers: Modifiers) {
    button(harness, path[0], PointerButton::Primary, true, modifiers);
    for pos in path {
        harness.event(Event::PointerMoved(*pos));
    }
    button(harness, path[path.len() - 1], PointerButton::Primary, false, modifiers);
    harness.event(Event::ModifiersChanged(Modifiers::NONE));
    harness.run();
}

pub fn drag(harness: &mut Harness<'_, Shell>, path: &[Pos2]) {
    drag_with(harness, path, Modifiers::NONE);
}

/// Drags from the middle of one stitch to that of another.
fn drag_cells(harness: &mut Harness<'_, Shell>, from: (i64, i64), to: (i64, i64)) {
    let path = [middle_of(harness, from.0, from.1), middle_of(harness, to.0, to.1)];
    drag(harness, &path);
}

/// Where the chart has the accent.
pub fn painted(harness: &Harness<'_, Shell>) -> Vec<Point> {
    let grid = &harness.state().project.chart.grid;
    grid.bounds().points().filter(|p| grid.get(*p) == Some(Cell::slot(1))).collect()
}

pub fn use_tool(harness: &mut Harness<'_, Shell>, tool: Tool) {
    harness.state_mut().command(Command::Tool(tool));
    harness.run();
}

#[test]
fn a_stroke_paints_every_stitch_it_passes_and_is_one_undo_step() {
    let mut harness = open(plain(24, 16));
    let before = harness.state().project.clone();
    // Two samples far apart: what lies between is filled in.
    let path = [(3, 4), (11, 8), (11, 2)].map(|(x, y)| middle_of(&harness, x, y));
    drag(&mut harness, &path);
    let cells = painted(&harness);
    assert_eq!(cells.len(), 9 + 6);
    for p in [(3, 4), (7, 6), (11, 8), (11, 5), (11, 2)] {
        assert!(cells.contains(&Point::new(p.0, p.1)), "{p:?}");
    }
    assert_eq!(harness.state().history.depth(), 1);
    assert_eq!(harness.state().history.undo_label(), Some("Draw"));
    harness.state_mut().undo();
    assert_eq!(harness.state().project, before);
}

#[test]
fn a_stroke_that_leaves_the_chart_comes_back_where_it_comes_back() {
    let mut harness = open(plain(12, 12));
    let path = [(6, 10), (6, 14), (9, 14), (9, 10)].map(|(x, y)| middle_of(&harness, x, y));
    drag(&mut harness, &path);
    let mut expected = vec![(6, 10), (6, 11), (9, 10), (9, 11)];
    expected.sort_unstable_by_key(|(x, y)| (*y, *x));
    let expected: Vec<Point> = expected.into_iter().map(|(x, y)| Point::new(x, y)).collect();
    assert_eq!(painted(&harness), expected);
}

#[test]
fn a_click_paints_one_stitch_and_the_other_button_the_second_colour() {
    let mut harness = open(plain(12, 12));
    let at = middle_of(&harness, 4, 5);
    click(&mut harness, at, PointerButton::Primary);
    assert_eq!(painted(&harness), [Point::new(4, 5)]);
    // While none is chosen the second colour is the ground.
    click(&mut harness, at, PointerButton::Secondary);
    assert!(painted(&harness).is_empty());
    harness.state_mut().view.second = Some(Cell::slot(2));
    let path = [middle_of(&harness, 1, 1), middle_of(&harness, 4, 1)];
    button(&harness, path[0], PointerButton::Secondary, true, Modifiers::NONE);
    harness.event(Event::PointerMoved(path[1]));
    button(&harness, path[1], PointerButton::Secondary, false, Modifiers::NONE);
    harness.run();
    assert_eq!(harness.state().project.chart.grid.counts()[2], 4);
    assert_eq!(harness.state().view.paint, Cell::slot(1));
    harness.state_mut().command(Command::SwapColours);
    assert_eq!(harness.state().view.paint, Cell::slot(2));
    assert_eq!(harness.state().view.second, Some(Cell::slot(1)));
    assert_eq!(harness.state().history.depth(), 3);
    use_tool(&mut harness, Tool::Pick);
    click(&mut harness, at, PointerButton::Secondary);
    let ground = Cell::slot(harness.state().project.background_slot() as u8);
    assert_eq!(harness.state().view.second, Some(ground));
}

#[test]
fn what_is_drawn_around_is_chosen_and_moves_alone() {
    let mut harness = open(plain(20, 20));
    drag_cells(&mut harness, (0, 5), (19, 5));
    use_tool(&mut harness, Tool::Region);
    harness.state_mut().view.choose = Choose::Freehand;
    // A triangle with its tip below.
    let path = [(4, 6), (8, 2), (12, 6), (4, 6)].map(|(x, y)| middle_of(&harness, x, y));
    drag(&mut harness, &path);
    assert_eq!(harness.state().view.region, Some(Rect::new(4, 2, 9, 5)));
    let chosen = harness.state().view.mask().map(huegauge::chart::Raster::count);
    assert_eq!(chosen, Some(1 + 3 + 5 + 7 + 9));
    drag_cells(&mut harness, (8, 4), (8, 14));
    let moved: Vec<Point> = painted(&harness).into_iter().filter(|p| p.y == 15).collect();
    assert_eq!(moved.len(), 7);
    assert_eq!(painted(&harness).len(), 20);
    assert!(harness.state().view.mask().is_some());
    // A click in place unchooses.
    let outside = middle_of(&harness, 1, 1);
    click(&mut harness, outside, PointerButton::Primary);
    assert_eq!(harness.state().view.region, None);
    // Every stitch of a colour, by a click.
    harness.state_mut().view.choose = Choose::Colour;
    let at = middle_of(&harness, 0, 5);
    click(&mut harness, at, PointerButton::Primary);
    assert_eq!(harness.state().view.mask().map(huegauge::chart::Raster::count), Some(20));
}

#[test]
fn shapes_fill_and_erase_are_one_step_each() {
    let mut harness = open(plain(24, 24));
    use_tool(&mut harness, Tool::Rectangle);
    harness.state_mut().view.filled = false;
    drag_cells(&mut harness, (4, 4), (9, 11));
    assert_eq!(painted(&harness).len(), 2 * 6 + 2 * 6);
    use_tool(&mut harness, Tool::Fill);
    let inside = middle_of(&harness, 6, 6);
    click(&mut harness, inside, PointerButton::Primary);
    assert_eq!(painted(&harness).len(), 6 * 8);
    use_tool(&mut harness, Tool::Erase);
    drag_cells(&mut harness, (4, 4), (9, 4));
    assert_eq!(painted(&harness).len(), 6 * 7);
    use_tool(&mut harness, Tool::Line);
    drag_cells(&mut harness, (0, 20), (10, 20));
    assert_eq!(painted(&harness).len(), 6 * 7 + 11);
    assert_eq!(harness.state().history.depth(), 4);
    assert_eq!(harness.state().history.undo_label(), Some("Line"));
}

#[test]
fn escape_drops_a_shape_before_it_is_set_down() {
    let mut harness = open(plain(24, 24));
    use_tool(&mut harness, Tool::Ellipse);
    let (from, to) = (middle_of(&harness, 3, 3), middle_of(&harness, 12, 12));
    button(&harness, from, PointerButton::Primary, true, Modifiers::NONE);
    harness.event(Event::PointerMoved(to));
    harness.run();
    assert!(harness.state().view.gesture.is_some());
    harness.state_mut().command(Command::Escape);
    button(&harness, to, PointerButton::Primary, false, Modifiers::NONE);
    harness.run();
    assert!(painted(&harness).is_empty());
    assert_eq!(harness.state().history.depth(), 0);
}

#[test]
fn a_region_is_chosen_moved_and_copied() {
    let mut harness = open(plain(20, 20));
    let at = middle_of(&harness, 3, 3);
    click(&mut harness, at, PointerButton::Primary);
    use_tool(&mut harness, Tool::Region);
    drag_cells(&mut harness, (2, 2), (4, 4));
    assert_eq!(harness.state().view.region, Some(Rect::new(2, 2, 3, 3)));
    // Dragging inside it moves its stitches and leaves background.
    drag_cells(&mut harness, (3, 3), (10, 8));
    assert_eq!(painted(&harness), [Point::new(10, 8)]);
    assert_eq!(harness.state().view.region, Some(Rect::new(9, 7, 3, 3)));
    // With Alt a copy moves.
    let path = [middle_of(&harness, 10, 8), middle_of(&harness, 15, 15)];
    drag_with(&mut harness, &path, Modifiers::ALT);
    assert_eq!(painted(&harness), [Point::new(10, 8), Point::new(15, 15)]);
    assert_eq!(harness.state().history.depth(), 3);
    // A click outside unchooses.
    let outside = middle_of(&harness, 1, 18);
    click(&mut harness, outside, PointerButton::Primary);
    assert_eq!(harness.state().view.region, None);
}

#[test]
fn pasted_stitches_are_carried_and_set_down_as_one_edit() {
    let mut harness = open(plain(20, 20));
    let path = [middle_of(&harness, 2, 2), middle_of(&harness, 4, 2)];
    drag(&mut harness, &path);
    harness.state_mut().view.region = Some(Rect::new(2, 2, 3, 1));
    harness.state_mut().command(Command::Copy);
    harness.state_mut().command(Command::Paste);
    harness.run();
    assert_eq!(harness.state().view.floating.as_ref().map(|held| held.at), Some((2, 2)));
    drag_cells(&mut harness, (3, 2), (11, 12));
    assert_eq!(harness.state().view.floating.as_ref().map(|held| held.at), Some((10, 12)));
    assert_eq!(harness.state().history.depth(), 1, "nothing is set down yet");
    let outside = middle_of(&harness, 0, 0);
    click(&mut harness, outside, PointerButton::Primary);
    assert_eq!(harness.state().view.floating, None);
    assert_eq!(painted(&harness).len(), 6);
    assert!(painted(&harness).contains(&Point::new(12, 12)));
    assert_eq!(harness.state().history.undo_label(), Some("Paste"));
    assert_eq!(harness.state().history.depth(), 2);
}

#[test]
fn a_see_through_stamp_leaves_what_is_under_it() {
    let mut harness = open(plain(10, 10));
    let mut stamp = Grid::new(3, 3, Cell::slot(2)).unwrap();
    stamp.set(Point::new(1, 1), Cell::slot(1));
    let shell = harness.state_mut();
    let floating = Floating { patch: stamp, at: (8, 8), label: "Stamp", see_through: Some(Cell::slot(2)) };
    shell.view.floating = Some(floating);
    harness.run();
    harness.state_mut().command(Command::SetDown);
    harness.run();
    assert_eq!(painted(&harness), [Point::new(9, 9)]);
    assert_eq!(harness.state().project.chart.grid.counts()[2], 0);
}

#[test]
fn the_wheel_zooms_to_the_stitch_under_the_pointer() {
    let mut harness = open(plain(100, 100));
    let pointer = middle_of(&harness, 31, 72);
    harness.event(Event::PointerMoved(pointer));
    harness.run();
    assert_eq!(harness.state().view.hover, Some(Point::new(31, 72)));
    let before = harness.state().view.zoom;
    for lines in [4.0, 4.0, -2.0, 5.0] {
        harness.event(Event::MouseWheel {
            unit: egui::MouseWheelUnit::Line,
            delta: vec2(0.0, lines),
            phase: egui::TouchPhase::Move,
            source: egui::MouseWheelSource::Unknown,
            modifiers: Modifiers::NONE,
        });
        harness.run();
        assert_eq!(harness.state().view.hover, Some(Point::new(31, 72)));
    }
    assert!(harness.state().view.zoom > before * 3.0);
}

#[test]
fn the_middle_button_pans_and_paints_nothing() {
    let mut harness = open(plain(100, 100));
    harness.state_mut().view.zoom_by = 4.0;
    harness.run();
    let pan = harness.state().view.pan;
    let from = pos2(400.0, 300.0);
    button(&harness, from, PointerButton::Middle, true, Modifiers::NONE);
    harness.event(Event::PointerMoved(from + vec2(40.0, 25.0)));
    button(&harness, from + vec2(40.0, 25.0), PointerButton::Middle, false, Modifiers::NONE);
    harness.run();
    let moved = harness.state().view.pan;
    assert!((moved[0] - pan[0] - 40.0).abs() < 0.5 && (moved[1] - pan[1] - 25.0).abs() < 0.5);
    assert!(painted(&harness).is_empty());
}

#[test]
fn the_keyboard_reaches_the_grid_paints_and_says_where_it_is() {
    let mut harness = open(plain(24, 16));
    harness.key_press(Key::Tab);
    harness.run();
    let name = harness.state().project.palette.slots()[1].name.clone();
    for key in [Key::ArrowRight, Key::ArrowRight, Key::ArrowUp] {
        harness.key_press(key);
        harness.run();
    }
    let value = harness.get_by_label(canvas::LABEL).value().unwrap();
    assert!(value.starts_with("Row 2, stitch 22, "), "{value}");
    assert!(harness.query_by_label(&value).is_some(), "the cell is a node of its own");
    harness.key_press(Key::Space);
    harness.run();
    assert_eq!(painted(&harness), [Point::new(2, 1)]);
    assert!(harness.get_by_label(canvas::LABEL).value().unwrap().contains(&name));
    harness.key_press(Key::End);
    harness.key_press(Key::Enter);
    harness.run();
    assert_eq!(painted(&harness), [Point::new(2, 1), Point::new(23, 1)]);
    assert_eq!(harness.state().history.depth(), 2);
}

#[test]
fn the_keyboard_chooses_a_region_and_stretches_a_shape() {
    let mut harness = open(plain(24, 16));
    harness.get_by_label(canvas::LABEL).focus();
    harness.run();
    for key in [Key::ArrowRight, Key::ArrowRight, Key::ArrowUp] {
        harness.key_press_modifiers(Modifiers::SHIFT, key);
        harness.run();
    }
    assert_eq!(harness.state().view.region, Some(Rect::new(0, 0, 3, 2)));
    use_tool(&mut harness, Tool::Rectangle);
    harness.key_press(Key::Space);
    harness.key_press(Key::ArrowRight);
    harness.key_press(Key::PageUp);
    harness.run();
    assert!(painted(&harness).is_empty(), "only stretched so far");
    harness.key_press(Key::Space);
    harness.run();
    assert_eq!(painted(&harness).len(), 2 * 11);
    assert_eq!(harness.state().history.undo_label(), Some("Rectangle"));
}

#[test]
fn a_screen_reader_can_click_the_cursor_cell() {
    let mut harness = open(plain(24, 16));
    harness.get_by_label(canvas::LABEL).click_accesskit();
    harness.run();
    assert_eq!(painted(&harness), [Point::new(0, 0)]);
}

#[test]
fn arrows_move_held_stitches_instead_of_the_cursor() {
    let mut harness = open(plain(10, 10));
    harness.get_by_label(canvas::LABEL).focus();
    harness.state_mut().clipboard = Grid::new(2, 2, Cell::slot(1)).ok();
    harness.state_mut().command(Command::Paste);
    harness.run();
    harness.key_press(Key::ArrowLeft);
    harness.key_press(Key::ArrowUp);
    harness.run();
    assert_eq!(harness.state().view.floating.as_ref().map(|held| held.at), Some((3, 5)));
    assert_eq!(harness.state().view.cursor, Point::default());
}

#[test]
fn an_idle_canvas_asks_for_no_frame() {
    let mut harness = open(plain(60, 60));
    harness.get_by_label(canvas::LABEL).focus();
    harness.run();
    harness.hover_at(pos2(300.0, 300.0));
    harness.run();
    // A run without events is one frame, and that frame asks for no other.
    let before = harness.state().frames;
    assert_eq!(harness.run(), 1);
    assert_eq!(harness.state().frames, before + 1);
    let output = harness.output().viewport_output.values().next().unwrap();
    assert!(output.repaint_delay > std::time::Duration::from_mins(1));
}

#[test]
fn numbers_are_no_place_to_paint() {
    let mut harness = open(plain(24, 16));
    // Just below the bottom row stand the stitch numbers.
    let below = middle_of(&harness, 5, -1);
    click(&mut harness, below, PointerButton::Primary);
    assert!(painted(&harness).is_empty());
    assert_eq!(harness.state().view.hover, None);
}

#[test]
fn a_finding_is_brought_into_view() {
    let mut harness = open(plain(400, 300));
    let rect = Rect::new(377, 12, 6, 1);
    harness.state_mut().view.highlight = vec![rect];
    harness.state_mut().view.reveal = Some(rect);
    harness.run();
    let canvas = harness.get_by_label(canvas::LABEL).rect();
    for (x, y) in [(377, 12), (382, 12)] {
        assert!(canvas.contains(middle_of(&harness, x, y)));
    }
    assert!(harness.state().view.zoom >= 8.0);
}

#[test]
fn a_smaller_chart_takes_the_view_with_it() {
    let mut harness = open(plain(30, 30));
    harness.state_mut().view.cursor = Point::new(29, 29);
    harness.state_mut().view.region = Some(Rect::new(20, 20, 8, 8));
    harness.state_mut().view.hover = Some(Point::new(29, 29));
    harness.state_mut().project.chart = plain(5, 5).chart;
    harness.state_mut().view.stale.all = true;
    harness.run();
    assert_eq!(harness.state().view.cursor, Point::new(4, 4));
    assert_eq!(harness.state().view.region, None);
}

#[test]
fn a_smaller_chart_cuts_what_is_chosen_and_chooses_nothing_more() {
    use huegauge::project::chart_edits::{Hold, resize};
    let mut screen = crate::screen::open();
    let grid = crate::screen::project(&screen).chart.grid.clone();
    let top = grid.height() - 1;
    let chosen = [(0, 0), (1, 1), (2, top)].map(|(x, y)| Point::new(x, y));
    screen.state_mut().as_mut().unwrap().program.view.chart.choose_points(&chosen);
    let size = (grid.width(), grid.height() - 1);
    let edit = resize(crate::screen::project(&screen), size.0, size.1, (Hold::Start, Hold::Start)).unwrap();
    crate::screen::perform(&mut screen, edit);
    let view = &crate::screen::view(&screen).chart;
    assert_eq!(view.region, Some(Rect::new(0, 0, 2, 2)));
    assert_eq!(view.mask().map(huegauge::chart::Raster::count), Some(2));
}
