//! A whole window for the tests, driven by accessible labels.

use egui::{Key, Modifiers, Vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use egui_kittest::{Harness, Node};
use huegauge::app::home::Home;
use huegauge::app::jobs::Jobs;
use huegauge::app::update::update;
use huegauge::app::view::View;
use huegauge::app::{Action, Program, State};
use huegauge::file::demos;
use huegauge::project::{Edit, Project};
use huegauge::ui::Window;

use crate::software_renderer::SoftwareRenderer;

pub type Screen = Harness<'static, Option<Window>>;

/// A window on the first demo with no memory of earlier runs, whose workers answer at once.
pub fn open() -> Screen {
    open_on(None, Jobs::inline)
}

/// The same with workers that take their time beside the window.
pub fn open_with_threads() -> Screen {
    open_on(None, || Jobs::threaded(std::sync::Arc::new(|| {})))
}

/// The same on the demo as it was before anything was known of fibre, yarn and swatch.
pub fn open_before_material() -> Screen {
    let mut demo = demos()[0].project().unwrap();
    demo.material = huegauge::project::Material::default();
    open_on(Some(demo), Jobs::inline)
}

/// A window on the first demo of this size, in points.
pub fn open_sized(size: Vec2) -> Screen {
    open_at(size, None, Jobs::inline)
}

fn open_on(project: Option<Project>, jobs: fn() -> Jobs<Program>) -> Screen {
    open_at(Vec2::new(1280.0, 1400.0), project, jobs)
}

/// The same with what its frames are drawn by.
pub fn open_drawn(size: Vec2) -> (Screen, SoftwareRenderer) {
    let renderer = SoftwareRenderer::default();
    (open_with(size, None, Jobs::inline, renderer.clone()), renderer)
}

fn open_at(size: Vec2, project: Option<Project>, jobs: fn() -> Jobs<Program>) -> Screen {
    open_with(size, project, jobs, SoftwareRenderer::default())
}

fn open_with(
    size: Vec2,
    project: Option<Project>,
    jobs: fn() -> Jobs<Program>,
    renderer: SoftwareRenderer,
) -> Screen {
    let builder = Harness::builder().with_size(size).with_max_steps(60).renderer(renderer);
    let mut screen = builder.build_ui_state(
        move |ui, window: &mut Option<Window>| {
            let window = window.get_or_insert_with(|| {
                let project = project.clone().unwrap_or_else(|| demos()[0].project().unwrap());
                let mut program = Program::new(project, Home::default(), jobs());
                program.state.system_picker = false;
                Window::new(ui.ctx(), program)
            });
            window.collect();
            window.show(ui);
        },
        None,
    );
    screen.run_ok();
    screen
}

/// What the window's program knows.
pub fn state(screen: &Screen) -> &State {
    &screen.state().as_ref().unwrap().program.state
}

/// What its person looks at.
pub fn view(screen: &Screen) -> &View {
    &screen.state().as_ref().unwrap().program.view
}

pub fn project(screen: &Screen) -> &Project {
    state(screen).project()
}

/// Asks for something that has no control here.
pub fn ask(screen: &mut Screen, action: Action) {
    update(&mut screen.state_mut().as_mut().unwrap().program, action);
    settle(screen);
}

/// Changes the project in one step.
pub fn perform(screen: &mut Screen, edit: Edit) {
    ask(screen, Action::edit("Test", edit));
}

/// Lets the window settle; messages in the corner ask for one more frame later, which is no harm.
pub fn settle(screen: &mut Screen) {
    screen.run_steps(4);
}

/// Whether something shown has these words in its name.
pub fn has(screen: &Screen, part: &str) -> bool {
    screen.query_all_by_label_contains(part).next().is_some()
}

/// Lets the work on threads come in until these words are shown.
pub fn wait_for(screen: &mut Screen, part: &str) {
    for _ in 0..300 {
        settle(screen);
        if has(screen, part) {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    panic!("'{part}' never comes");
}

/// The control of this name; the text beside it may bear the same, and one behind a question, too.
pub fn control<'a>(screen: &'a Screen, label: &'a str) -> Node<'a> {
    let mut found = screen.get_all_by_label(label).rev();
    found.find(|node| node.accesskit_node().role() != egui::accesskit::Role::Label).expect(label)
}

pub fn click(screen: &mut Screen, label: &str) {
    control(screen, label).click();
    settle(screen);
}

/// Types a number over what stands in a field.
pub fn enter(screen: &mut Screen, label: &str, text: &str) {
    control(screen, label).click();
    type_over(screen, label, text);
}

/// Types over what stands in a text field and leaves it.
pub fn write(screen: &mut Screen, label: &str, text: &str) {
    control(screen, label).focus();
    type_over(screen, label, text);
}

fn type_over(screen: &mut Screen, label: &str, text: &str) {
    settle(screen);
    screen.key_press_modifiers(Modifiers::COMMAND, Key::A);
    control(screen, label).type_text(text);
    settle(screen);
    screen.key_press(Key::Enter);
    settle(screen);
}

pub fn undo(screen: &mut Screen) {
    screen.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(screen);
}

/// A click with a frame between press and release; many would be too slow for one.
pub fn press(screen: &mut Screen, at: egui::Pos2) {
    screen.hover_at(at);
    settle(screen);
    screen.drag_at(at);
    screen.run_steps(1);
    screen.drop_at(at);
    settle(screen);
}
