//! Background work that is late and comes in any order: whatever a person does meanwhile, every file
//! holds exactly what was saved into it, and nothing of another document is shown. What another program
//! writes into a file is overwritten only by those who know of it or were asked.
//!
//! `PROPTEST_CASES=10000 cargo test --test files late_answers` tries more sequences.

use std::cell::RefCell;
use std::collections::{HashMap, HashSet, VecDeque};
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::Arc;
use std::time::{Duration, Instant};

use huegauge::app::crew::{Crew, Work};
use huegauge::app::dialog::Dialog;
use huegauge::app::document::{DocumentId, Version};
use huegauge::app::home::Home;
use huegauge::app::jobs::Jobs;
use huegauge::app::purpose::Purpose;
use huegauge::app::update::{collect, tick, update};
use huegauge::app::{Action, Command, Program};
use huegauge::chart::{Cell, Point};
use huegauge::file;
use huegauge::file::recent::Settings;
use huegauge::project::{CellPatch, Edit, Project};
use proptest::prelude::*;

/// What a person, or the machine behind, does next. Numbers choose among what there is.
#[derive(Clone, Debug)]
enum Step {
    /// Paint a stitch and note that this was done.
    Edit(u8),
    Undo,
    Redo,
    New,
    Open(u8),
    Save,
    SaveAs(u8),
    Quit,
    /// Answer the question in front of the window.
    Answer(u8),
    /// Look at the figures of the chart.
    Look,
    /// A piece of background work is done.
    Work(u8),
    /// The window takes in the answers.
    Collect,
    /// Time passes.
    Wait,
    /// Another program writes one of the files.
    Foreign(u8),
}

fn step() -> impl Strategy<Value = Step> {
    prop_oneof![
        5 => any::<u8>().prop_map(Step::Edit),
        2 => Just(Step::Undo),
        1 => Just(Step::Redo),
        2 => Just(Step::New),
        2 => any::<u8>().prop_map(Step::Open),
        4 => Just(Step::Save),
        2 => any::<u8>().prop_map(Step::SaveAs),
        1 => Just(Step::Quit),
        6 => any::<u8>().prop_map(Step::Answer),
        3 => Just(Step::Look),
        8 => any::<u8>().prop_map(Step::Work),
        5 => Just(Step::Collect),
        1 => Just(Step::Wait),
        1 => any::<u8>().prop_map(Step::Foreign),
    ]
}

/// Work that waits until the test has it done: queued work in its order, other work in any.
#[derive(Default)]
struct Waiting {
    free: Vec<Work>,
    queued: VecDeque<Work>,
}

#[derive(Clone, Default)]
struct Late(Rc<RefCell<Waiting>>);

impl Crew for Late {
    fn start(&self, _name: &str, work: Work) {
        self.0.borrow_mut().free.push(work);
    }

    fn queue(&self, work: Work) {
        self.0.borrow_mut().queued.push_back(work);
    }

    fn finish(&self) {
        while let Some(work) = { self.0.borrow_mut().queued.pop_front() } {
            work();
        }
    }
}

impl Late {
    /// Does one piece of work; whether there was one.
    fn work(&self, number: u8) -> bool {
        let mut waiting = self.0.borrow_mut();
        let choices = waiting.free.len() + usize::from(!waiting.queued.is_empty());
        if choices == 0 {
            return false;
        }
        let choice = usize::from(number) % choices;
        let work = if choice < waiting.free.len() {
            Some(waiting.free.swap_remove(choice))
        } else {
            waiting.queued.pop_front()
        };
        drop(waiting);
        if let Some(work) = work {
            work();
        }
        true
    }
}

/// A person at the window, and what they must be able to rely on.
struct Desk {
    program: Program,
    crew: Late,
    folder: tempfile::TempDir,
    clock: Instant,
    /// What each file must hold once all work is done.
    files: HashMap<PathBuf, Arc<Project>>,
    /// Every state of every document that was ever saved, opened or begun.
    safe: HashSet<*const Project>,
    kept: Vec<Arc<Project>>,
    /// Every state of every document that was open.
    seen: HashMap<Version, Arc<Project>>,
    /// The state whose changes the person gave up.
    given_up: Option<Version>,
    last: (DocumentId, Version, bool),
    edits: u32,
    /// What stands in the files.
    disk: HashMap<PathBuf, Vec<u8>>,
    /// Files that another program has ever written.
    contested: HashSet<PathBuf>,
    /// What the person has agreed to lose: files asked to be written by name, as they stood then, and
    /// what was shown of others; until all that was queued is done.
    consented: HashMap<PathBuf, HashSet<Vec<u8>>>,
}

/// The notes of a project as another program has written it.
const FOREIGN: &str = "by another program";

impl Desk {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let crew = Late::default();
        let jobs = Jobs::with_crew(Box::new(crew.clone()), Arc::new(|| {}));
        let mut program = Program::new(small("First"), Home::at(folder.path().join("config")), jobs);
        program.state.system_picker = false;
        let document = &program.state.document;
        let last = (document.id(), document.version(), false);
        let mut desk = Self {
            program,
            crew,
            clock: Instant::now(),
            files: HashMap::new(),
            safe: HashSet::new(),
            kept: Vec::new(),
            seen: HashMap::new(),
            given_up: None,
            last,
            edits: 0,
            disk: HashMap::new(),
            contested: HashSet::new(),
            consented: HashMap::new(),
            folder,
        };
        desk.notice();
        desk
    }

    /// One of few files, so that they are written and read again; the last cannot be written.
    fn path(&self, number: u8) -> PathBuf {
        let name = ["a.ron", "b.ron", "c.ron", "missing/d.ron"][usize::from(number % 4)];
        self.folder.path().join(name)
    }

    fn project(&self) -> &Arc<Project> {
        self.program.state.document.project()
    }

    fn keep_safe(&mut self, project: Arc<Project>) {
        self.safe.insert(Arc::as_ptr(&project));
        // Held, so that no other project comes to lie in its place.
        self.kept.push(project);
    }

    /// A project is about to be given to be written to `path`.
    fn expect_saved(&mut self, path: &Path) {
        let project = Arc::clone(self.project());
        if path.parent().is_some_and(Path::is_dir) {
            self.files.insert(path.to_owned(), Arc::clone(&project));
            // Whether it may be written there is seen when it is.
            if !self.contested.contains(path) {
                self.keep_safe(project);
            }
        }
    }

    /// The person agrees to lose what stands in a file now.
    fn consent(&mut self, path: &Path) {
        let now = std::fs::read(path).unwrap_or_default();
        self.consented.entry(path.to_owned()).or_default().insert(now);
    }

    /// Another program writes a file, at any time.
    fn foreign(&mut self, number: u8) {
        let path = self.path(number % 3);
        self.edits += 1;
        let title = format!("Theirs {}", self.edits);
        let theirs = Project { notes: FOREIGN.to_owned(), ..small(&title) };
        std::fs::write(&path, file::to_string(&theirs).unwrap()).unwrap();
        self.disk.insert(path.clone(), std::fs::read(&path).unwrap());
        self.files.insert(path.clone(), Arc::new(theirs));
        self.contested.insert(path);
    }

    /// Has one piece of work done; whether there was one.
    fn work(&mut self, number: u8) -> bool {
        let worked = self.crew.work(number);
        self.look_at_the_disk();
        worked
    }

    /// What was written since the last look must have been allowed to be.
    fn look_at_the_disk(&mut self) {
        for number in 0..3 {
            let path = self.path(number);
            let Ok(bytes) = std::fs::read(&path) else { continue };
            let Some(was) = self.disk.insert(path.clone(), bytes.clone()) else { continue };
            if was == bytes {
                continue;
            }
            let read = |bytes: &[u8]| file::from_str(std::str::from_utf8(bytes).unwrap(), "a").unwrap();
            let (before, now) = (read(&was), read(&bytes));
            // Edits leave the title alone, so it tells who has read what the other program wrote.
            let known = before.notes != FOREIGN || before.title == now.title;
            let agreed = self.consented.get(&path).is_some_and(|seen| seen.contains(&was));
            assert!(known || agreed, "{:?} was overwritten in silence", before.title);
            self.keep_safe(Arc::new(now));
        }
        if self.crew.0.borrow().queued.is_empty() {
            self.consented.clear();
        }
    }

    /// The person saves into the file that another program has written last: they are asked.
    fn is_asked_before_overwriting(&mut self) {
        let document = &self.program.state.document;
        let Some(path) = document.path().map(Path::to_owned) else { return };
        let theirs = |_: &Self| file::load(&path).ok();
        let Some(before) = theirs(self).filter(|theirs| theirs.notes == FOREIGN) else { return };
        if before.title == document.project().title {
            return;
        }
        self.program.view.dialog = None;
        self.edit(1);
        self.ask(Action::Command(Command::Save));
        self.settle();
        let dialog = self.program.view.dialog.clone();
        assert!(
            matches!(&dialog, Some(Dialog::Changed { path: at, theirs: Some(shown), .. }) if *at == path && **shown == before),
            "the person was not asked: {dialog:?}"
        );
        assert!(theirs(self) == Some(before) && self.program.state.document.is_unsaved());
        self.consent(&path);
        self.expect_saved(&path);
        self.ask(Action::SaveOver(path.clone(), None));
        self.settle();
        assert!(theirs(self).as_ref() == Some(&**self.project()), "what was chosen was not done");
    }

    fn ask(&mut self, action: Action) {
        update(&mut self.program, action);
        self.notice();
    }

    fn save(&mut self) {
        if let Some(path) = self.program.state.document.path().map(Path::to_owned) {
            self.expect_saved(&path);
        }
    }

    fn path_typed(&mut self, purpose: Purpose, number: u8) {
        let path = self.path(number);
        if matches!(purpose, Purpose::Save(_)) {
            // Its own file is not asked for by another name.
            if !self.program.state.document.is_its_file(&path) {
                self.consent(&path);
            }
            self.expect_saved(&path);
        }
        self.ask(Action::PathEntered(purpose, path));
    }

    fn take(&mut self, step: &Step) {
        match step {
            Step::Edit(number) => self.edit(*number),
            Step::Undo => self.ask(Action::Command(Command::Undo)),
            Step::Redo => self.ask(Action::Command(Command::Redo)),
            Step::Look => {
                self.program.state.figures();
            }
            Step::Work(number) => {
                self.work(*number);
            }
            Step::Foreign(number) => self.foreign(*number),
            Step::Collect => {
                collect(&mut self.program);
                self.notice();
            }
            Step::Wait => {
                self.clock += Duration::from_millis(700);
                tick(&mut self.program, self.clock);
            }
            Step::Answer(number) => self.answer(*number),
            // A question in front of the window takes the keys away from what is behind it.
            _ if self.program.view.dialog.is_some() => {}
            Step::New => self.ask(Action::Command(Command::New)),
            Step::Open(number) => {
                let path = self.path(*number);
                self.ask(Action::Go(huegauge::app::purpose::Next::Open(Some(path))));
            }
            Step::Save => {
                self.save();
                self.ask(Action::Command(Command::Save));
            }
            Step::SaveAs(number) => {
                self.ask(Action::Command(Command::SaveAs));
                if let Some(Dialog::Path { purpose, .. }) = self.program.view.dialog.clone() {
                    self.path_typed(purpose, *number);
                }
            }
            Step::Quit => self.ask(Action::Command(Command::Quit)),
        }
    }

    fn edit(&mut self, number: u8) {
        let project = Arc::clone(self.project());
        let grid = &project.chart.grid;
        let at = Point::new(u32::from(number) % grid.width(), u32::from(number / 16) % grid.height());
        let slot = (grid.get(at).and_then(Cell::index).unwrap_or(0) + 1) % project.palette.slots().len();
        let painted = CellPatch::painting(grid, [at], Cell::slot(slot as u8)).map(Edit::Cells);
        self.edits += 1;
        let about = Edit::About {
            title: project.title.clone(),
            designer: String::new(),
            notes: self.edits.to_string(),
        };
        self.ask(Action::edit("Test", Edit::Several(painted.into_iter().chain([about]).collect())));
    }

    fn answer(&mut self, number: u8) {
        let Some(dialog) = self.program.view.dialog.clone() else { return };
        match (dialog, number % 3) {
            (Dialog::Unsaved(next), 0) => {
                self.save();
                self.ask(Action::SaveThen(next));
            }
            (Dialog::Unsaved(next), 1) => {
                self.given_up = Some(self.program.state.document.version());
                self.ask(Action::Discard(next));
            }
            (Dialog::Changed { path, then, theirs, .. }, 0) => {
                // What was shown, not what may stand there by now.
                let shown = theirs.map(|theirs| file::to_string(&theirs).unwrap().into_bytes());
                self.consented.entry(path.clone()).or_default().extend(shown);
                self.expect_saved(&path);
                self.ask(Action::SaveOver(path, then));
            }
            (Dialog::Changed { path, .. }, 1) => {
                self.given_up = Some(self.program.state.document.version());
                self.ask(Action::Discard(huegauge::app::purpose::Next::Open(Some(path))));
            }
            (Dialog::New(asked), 0 | 1) => {
                self.edits += 1;
                let title = format!("Number {}", self.edits);
                self.ask(Action::CreateProject(huegauge::app::blank::NewProject { title, ..asked }));
            }
            (Dialog::Path { purpose, .. }, 0 | 1) => self.path_typed(purpose, number / 3),
            _ => self.ask(Action::CloseDialog),
        }
    }

    /// Looks at the window after every change of it.
    fn notice(&mut self) {
        let document = &self.program.state.document;
        let (id, version, project) = (document.id(), document.version(), Arc::clone(document.project()));
        let (last_id, last_version, was_unsaved) = self.last;
        if id != last_id {
            let left = &self.seen[&last_version];
            let lost = was_unsaved && !self.is_safe(left) && self.given_up != Some(last_version);
            assert!(!lost, "the changes {:?} of {:?} were left unsaved and unasked", left.notes, left.title);
            self.keep_safe(Arc::clone(&project));
        }
        self.last = (id, version, self.program.state.document.is_unsaved());
        self.seen.insert(version, project);
        self.figures_are_of_the_document();
    }

    fn is_safe(&self, project: &Arc<Project>) -> bool {
        self.safe.contains(&Arc::as_ptr(project)) || self.kept.iter().any(|kept| kept == project)
    }

    fn figures_are_of_the_document(&self) {
        let state = &self.program.state;
        let Some((version, figures)) = state.desks.figures.newest() else { return };
        assert_eq!(version.document, state.document.id(), "figures of another document");
        let project = &self.seen[&version];
        let (counts, all) = (project.chart.grid.counts(), project.chart.grid.cells().len() as f64);
        for (slot, count) in counts.iter().enumerate().take(project.palette.slots().len()) {
            let share = f64::from(*count) / all;
            assert!((figures.share_of(slot) - share).abs() < 1e-9, "figures of another state");
        }
    }

    /// All work is done and all is taken in.
    fn settle(&mut self) {
        loop {
            while self.work(0) {}
            collect(&mut self.program);
            self.notice();
            tick(&mut self.program, self.clock);
            if !self.work(0) {
                break;
            }
        }
    }

    fn check(&mut self) {
        for name in ["a.ron", "b.ron", "c.ron"] {
            let path = self.folder.path().join(name);
            match self.files.get(&path) {
                // Whose it is was seen at every writing.
                Some(_) if self.contested.contains(&path) => {}
                Some(saved) => assert!(file::load(&path).unwrap() == **saved, "{name} holds something else"),
                None => assert!(!path.exists(), "{name} was never saved"),
            }
        }
        let state = &self.program.state;
        let own = state.document.path().filter(|path| !self.contested.contains(*path));
        if let (false, Some(path)) = (state.document.is_unsaved(), own) {
            assert!(file::load(path).unwrap() == **self.project(), "what is called saved is not in its file");
        }
        let config = self.folder.path().join("config");
        let copies = std::fs::read_dir(config.join("recovery")).unwrap();
        let copies =
            copies.filter(|copy| copy.as_ref().unwrap().path().extension().unwrap() == "ron").count();
        assert!(copies == 0 || state.document.is_unsaved(), "a copy of work that is saved");
        for recent in Settings::load(&config).recent() {
            assert!(self.files.contains_key(recent), "{} was never saved", recent.display());
        }
    }
}

fn small(title: &str) -> Project {
    let mut project = Project { title: title.to_owned(), ..Project::default() };
    let ground = Cell::slot(project.background_slot() as u8);
    project.chart = huegauge::project::Chart::new(huegauge::chart::Grid::square(8, ground));
    project
}

/// Sequences tried unless the environment asks for more.
fn cases() -> u32 {
    std::env::var("PROPTEST_CASES").ok().and_then(|cases| cases.parse().ok()).unwrap_or(120)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: cases(), ..ProptestConfig::default() })]

    #[test]
    fn late_answers_lose_nothing_and_reach_no_other_document(steps in prop::collection::vec(step(), 1..90)) {
        let mut desk = Desk::new();
        for step in &steps {
            desk.take(step);
            if desk.program.state.may_close {
                // The window closes: what was given to be written is waited for, the rest is not.
                desk.program.state.jobs.finish();
                desk.look_at_the_disk();
                break;
            }
        }
        if !desk.program.state.may_close {
            desk.settle();
        }
        desk.check();
        if !desk.program.state.may_close {
            desk.is_asked_before_overwriting();
        }
    }
}

/// A file chosen in "Save as" is replaced as it was when it was chosen, whoever writes it meanwhile.
#[test]
fn save_as_asks_when_the_chosen_file_changes_before_it_is_written() {
    for was_there in [false, true] {
        let mut desk = Desk::new();
        let path = desk.path(1);
        if was_there {
            desk.foreign(1);
        }
        desk.edit(3);
        desk.take(&Step::SaveAs(1));
        desk.foreign(1);
        let theirs = file::load(&path).unwrap();
        desk.settle();
        assert!(file::load(&path).unwrap() == theirs, "it was overwritten");
        let Some(Dialog::Changed { path: at, theirs: Some(shown), then: None, .. }) =
            desk.program.view.dialog.clone()
        else {
            panic!("nothing was asked");
        };
        assert!(at == path && *shown == theirs && desk.program.state.document.is_unsaved());

        // The answer is about what was shown: changed again, it is asked again.
        desk.foreign(1);
        let newer = file::load(&path).unwrap();
        desk.ask(Action::SaveOver(path.clone(), None));
        desk.settle();
        assert!(file::load(&path).unwrap() == newer, "another than what was shown was overwritten");
        let asked = desk.program.view.dialog.clone();
        assert!(matches!(&asked, Some(Dialog::Changed { theirs: Some(shown), .. }) if **shown == newer));

        desk.answer(0);
        desk.settle();
        assert!(file::load(&path).unwrap() == **desk.project());
        assert!(!desk.program.state.document.is_unsaved() && desk.program.view.dialog.is_none());
        assert_eq!(desk.program.state.document.path(), Some(path.as_path()));
    }
}
