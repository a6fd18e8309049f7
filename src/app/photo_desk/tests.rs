use super::*;
use crate::app::document::DocumentId;
use crate::file::DEMO_PHOTOGRAPH;
use std::time::Duration;

/// Hears complaints.
#[derive(Default)]
struct Ear(Vec<String>);

impl Host for Ear {
    fn complain(&mut self, text: String) {
        self.0.push(text);
    }
}

struct Desk {
    photo: PhotoDesk,
    jobs: Jobs<Ear>,
    told: Vec<Request>,
}

impl Desk {
    fn new(jobs: Jobs<Ear>) -> Self {
        Self { photo: PhotoDesk::default(), jobs, told: Vec::new() }
    }

    fn update(&mut self, action: PhotoAction) {
        self.told.extend(self.photo.update(action, &Project::default(), &self.jobs));
    }

    fn collect(&mut self) {
        let open = DocumentId::fresh();
        while let Some(answer) = self.jobs.next(open) {
            answer(&mut Ear::default());
            self.told.extend(self.photo.settle(&self.jobs));
        }
    }

    /// Does everything and takes in every answer.
    fn carry_out(&mut self, action: PhotoAction) {
        self.update(action);
        let start = Instant::now();
        while self.photo.work.is_some() {
            assert!(start.elapsed() < Duration::from_mins(1), "no answer");
            self.collect();
            std::thread::sleep(Duration::from_millis(2));
        }
    }
}

const CARD: Reference = Reference { region: Region::new(782, 82, 116, 166), reflectance: 0.18 };

#[test]
fn a_cancelled_task_leaves_the_desk_as_it_was() {
    let mut desk = Desk::new(Jobs::threaded(Arc::new(|| {})));
    desk.update(PhotoAction::OpenDemo);
    assert!(desk.photo.is_busy());
    desk.update(PhotoAction::Cancel);
    assert!(desk.photo.work.is_none());
    desk.carry_out(PhotoAction::OpenDemo);
    let number = desk.photo.photograph.as_ref().unwrap().number;

    for task in [PhotoAction::SetReferences(vec![CARD]), PhotoAction::FindYarns, PhotoAction::OpenDemo] {
        desk.update(task);
        desk.update(PhotoAction::Cancel);
        std::thread::sleep(Duration::from_millis(50));
        desk.collect();
        let photograph = desk.photo.photograph.as_ref().unwrap();
        assert_eq!(photograph.number, number, "a late answer changes nothing");
        assert!(photograph.light.is_none() && photograph.yarns.is_empty());
    }
    assert!(desk.told.is_empty(), "{:?}", desk.told);

    // A yarn whose reading was stopped says so and can be read again.
    desk.update(PhotoAction::AddYarn(Region::new(100, 130, 90, 90)));
    desk.update(PhotoAction::Cancel);
    let yarn = desk.photo.photograph.as_ref().unwrap().yarns[0].clone();
    assert!(matches!(yarn.reading, Reading::Failed(_)), "{:?}", yarn.reading);
    desk.carry_out(PhotoAction::ReadAgain(yarn.id));
    assert!(desk.photo.photograph.as_ref().unwrap().yarns[0].done().is_some());
}

#[test]
fn yarns_drawn_while_the_light_is_measured_are_read_in_the_new_light() {
    let mut desk = Desk::new(Jobs::threaded(Arc::new(|| {})));
    desk.carry_out(PhotoAction::OpenDemo);
    let place = Region::new(100, 130, 90, 90);
    desk.carry_out(PhotoAction::AddYarn(place));
    desk.update(PhotoAction::SetReferences(vec![CARD]));
    desk.update(PhotoAction::AddYarn(place));
    desk.carry_out(PhotoAction::AcceptAll);
    let yarns = &desk.photo.photograph.as_ref().unwrap().yarns;
    assert_eq!(yarns[0].done().unwrap(), yarns[1].done().unwrap());
    assert!(yarns[0].done().unwrap().sample.warnings.is_empty());
}

#[test]
fn a_name_that_would_break_the_place_is_escaped_and_a_long_one_keeps_its_end() {
    let mut desk = Desk::new(Jobs::inline());
    desk.update(PhotoAction::OpenDemo);
    desk.collect();
    desk.update(PhotoAction::AddYarn(Region::new(100, 130, 90, 90)));
    desk.collect();
    let photograph = desk.photo.photograph.as_mut().unwrap();
    let place = |photograph: &Photograph| shades_of(photograph, &BallFacts::default())[0].photo.clone();
    assert_eq!(place(photograph), format!("{}#xywh=100,130,90,90", DEMO_PHOTOGRAPH.0));
    photograph.name = "balls #2 100%.jpg".to_owned();
    assert_eq!(place(photograph), "balls %232 100%25.jpg#xywh=100,130,90,90");
    photograph.name = format!("{}.jpg", "å".repeat(300));
    let long = place(photograph);
    assert!(long.ends_with("å.jpg#xywh=100,130,90,90") && long.chars().count() == crate::yarn::MAX_TEXT);
    assert_eq!(shades_of(photograph, &BallFacts::default())[0].check(), Ok(()));
}

#[test]
fn a_mark_is_brought_inside_the_picture() {
    let mut desk = Desk::new(Jobs::inline());
    desk.update(PhotoAction::OpenDemo);
    desk.collect();
    let photograph = desk.photo.photograph.as_ref().unwrap();
    assert_eq!(photograph.fitted(Region::new(950, 630, 100, 1)), Region::new(860, 630, 100, 4));
    assert_eq!(photograph.fitted(Region::new(u32::MAX, 0, 5000, u32::MAX)), photograph.picture.bounds());
}

#[test]
fn a_ball_that_is_a_shade_of_a_card_takes_its_name_and_stays_as_a_second_reading() {
    use crate::yarn::{Shade, ShadeCard};
    let mut desk = Desk::new(Jobs::inline());
    desk.update(PhotoAction::OpenDemo);
    desk.collect();
    desk.update(PhotoAction::AddYarn(Region::new(100, 130, 90, 90)));
    desk.collect();
    let mut known = Shade::new("Chipped bowl", Colour::from_hex("#c16250").unwrap());
    known.code = "F11".to_owned();
    known.ball_price = crate::units::Price::new(7.4).ok();
    let card = ShadeCard::new("Front shelf", vec![known.clone()]).unwrap();
    let mut project = Project { shade_cards: vec![Arc::new(card)], ..Project::default() };
    let (id, read) = {
        let photograph = desk.photo.photograph.as_ref().unwrap();
        let (yarn, reading) = photograph.accepted().next().unwrap();
        (yarn.id, reading.sample.colour)
    };
    desk.update(PhotoAction::IsShade(id, Some(Arc::new(known.clone()))));
    assert_eq!(desk.photo.photograph.as_ref().unwrap().yarns[0].name, "Chipped bowl");
    for _ in 0..2 {
        let photograph = desk.photo.photograph.as_ref().unwrap();
        let choice = CardChoice::New(String::new());
        let requests = super::shades::put_on_card(photograph, &project, &choice, &BallFacts::default());
        let Some(Request::Edit(_, edit)) = requests.into_iter().next() else { panic!("no edit") };
        project.apply(edit);
        let noted = &project.shade_cards[0].shades()[0];
        assert_eq!(noted.second.as_ref().unwrap().colour, read);
        let same = Shade { second: None, varies: None, ..noted.clone() };
        assert_eq!((project.shade_cards[0].shades().len(), &same), (1, &known), "its own figures stay");
    }
    let shades = shades_of(desk.photo.photograph.as_ref().unwrap(), &BallFacts::default());
    assert_eq!((shades[0].code.as_str(), shades[0].check()), ("F11", Ok(())));
    let three = BallFacts { balls_at_home: 3, ..BallFacts::default() };
    let shades = shades_of(desk.photo.photograph.as_ref().unwrap(), &three);
    assert_eq!(shades[0].stock, crate::yarn::Stock::Owned(3), "what lies there is told of a known shade too");
}
