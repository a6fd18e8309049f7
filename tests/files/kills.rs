//! A window that is killed while a person edits and saves: the file always opens and holds a state it had, and
//! at most two seconds of work are lost.
//!
//! `KILLS=500 cargo test --test files kills -- --nocapture` kills more often and tells the worst loss.

use std::fs;
use std::io::Write as _;
use std::path::Path;
use std::process::{Child, Command as Process, Stdio};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};

use huegauge::app::home::Home;
use huegauge::app::jobs::Jobs;
use huegauge::app::purpose::Purpose;
use huegauge::app::update::{collect, tick, update};
use huegauge::app::{Action, Command, Program};
use huegauge::file;
use huegauge::project::{Edit, Project};

/// Where the child works; set by the test that kills it.
const FOLDER: &str = "HUEGAUGE_KILLED_IN";
/// Kills in a plain `cargo test`.
const KILLS: u64 = 50;
/// Children at work side by side.
const SIDE_BY_SIDE: u64 = 4;
/// Work that may be lost, in milliseconds.
const MOST_LOST: u64 = 2_000;
/// A child lives so long at most, in milliseconds: some edits are then copied several times.
const LONGEST: u64 = 4_000;

/// A repeatable stream of numbers.
struct Stream(u64);

impl Stream {
    fn below(&mut self, end: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % end
    }
}

fn start() -> Project {
    file::demos()[1].project().unwrap()
}

fn state(number: u64) -> Project {
    Project { notes: number.to_string(), ..start() }
}

/// The child: edits and saves until it is killed, and writes down each edit before it does it.
#[test]
#[ignore = "the child of the test below"]
fn a_window_that_edits_and_saves() {
    let Some(folder) = std::env::var_os(FOLDER).map(std::path::PathBuf::from) else { return };
    let mut stream = Stream(folder.to_string_lossy().bytes().map(u64::from).sum());
    let jobs = Jobs::threaded(Arc::new(|| {}));
    let mut program = Program::new(start(), Home::at(folder.join("config")), jobs);
    update(&mut program, Action::PathEntered(Purpose::Save(None), folder.join("a.ron")));
    let mut log = fs::File::create(folder.join("log")).unwrap();
    let began = Instant::now();
    for number in 1_u64.. {
        writeln!(log, "{number} {}", began.elapsed().as_millis()).unwrap();
        let about = Edit::About { title: start().title, designer: String::new(), notes: number.to_string() };
        update(&mut program, Action::edit("Test", about));
        if stream.below(60) == 0 {
            update(&mut program, Action::Command(Command::Save));
        }
        collect(&mut program);
        tick(&mut program, Instant::now());
        std::thread::sleep(Duration::from_millis(5 + stream.below(25)));
    }
}

/// What a killed child left behind is whole; the milliseconds of work that are lost.
fn lost(folder: &Path) -> u64 {
    let log = fs::read_to_string(folder.join("log")).unwrap();
    // The last line may be cut short.
    let whole = &log[..log.rfind('\n').map_or(0, |end| end + 1)];
    let edits: Vec<u64> =
        whole.lines().map(|line| line.split_once(' ').unwrap().1.parse().unwrap()).collect();
    let number_of = |project: &Project| {
        let number = project.notes.parse().unwrap_or(0);
        assert!(*project == state(number) || *project == start(), "a state it never had");
        assert!(number <= edits.len() as u64 + 1);
        number
    };
    let path = folder.join("a.ron");
    let mut kept = if path.exists() { number_of(&file::load(&path).unwrap()) } else { 0 };
    for copy in Home::at(folder.join("config")).left_behind() {
        let (project, mut history) = copy.load().unwrap();
        let number = number_of(&project);
        let mut before = project.clone();
        assert!(number == 0 || history.undo(&mut before).is_some(), "no step can be undone");
        assert_eq!(before.notes, if number == 1 { start().notes } else { (number - 1).to_string() });
        kept = kept.max(number);
    }
    // What the killed one was writing is swept up by the next to write there, once it is not quite fresh.
    let parts = || {
        let names = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
        names.filter(|path| path.extension().is_some_and(|kind| kind == "part")).collect::<Vec<_>>()
    };
    for part in parts() {
        let before = std::time::SystemTime::now() - Duration::from_mins(1);
        fs::File::options().append(true).open(part).unwrap().set_modified(before).unwrap();
    }
    file::save_atomic(&path, &start()).unwrap();
    assert!(parts().is_empty(), "{:?}", parts());
    let first_lost = edits.get(kept as usize).copied();
    first_lost.map_or(0, |at| edits.last().unwrap() - at)
}

/// Ends the child however the test ends.
struct Killed(Child);

impl Drop for Killed {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn kill_one(seed: u64) -> u64 {
    let folder = tempfile::tempdir().unwrap();
    let child = Process::new(std::env::current_exe().unwrap())
        .args(["--exact", "--ignored", "kills::a_window_that_edits_and_saves"])
        .env(FOLDER, folder.path())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn();
    let child = Killed(child.unwrap());
    while fs::metadata(folder.path().join("log")).map_or(0, |log| log.len()) == 0 {
        std::thread::sleep(Duration::from_millis(5));
    }
    std::thread::sleep(Duration::from_millis(Stream(seed).below(LONGEST)));
    drop(child);
    lost(folder.path())
}

#[test]
fn a_killed_window_loses_at_most_two_seconds_of_work_and_no_file() {
    let kills = std::env::var("KILLS").ok().map_or(KILLS, |kills| kills.parse().unwrap());
    let (next, worst) = (AtomicU64::new(0), AtomicU64::new(0));
    std::thread::scope(|scope| {
        for _ in 0..SIDE_BY_SIDE {
            scope.spawn(|| {
                loop {
                    let seed = next.fetch_add(1, Ordering::Relaxed);
                    if seed >= kills {
                        return;
                    }
                    let lost = kill_one(seed);
                    worst.fetch_max(lost, Ordering::Relaxed);
                    assert!(lost <= MOST_LOST, "kill {seed} lost {lost} ms of work");
                }
            });
        }
    });
    let worst = worst.into_inner();
    println!("{kills} kills survived, {worst} ms of work lost at worst");
    assert!(worst > 0, "nothing was ever lost: nobody was killed between two copies");
}
