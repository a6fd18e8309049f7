use super::*;
use crate::yarn::{Blend, FibreWanted, Needs, PieceKind};

/// Nobody complains here.
struct Quiet;

impl Host for Quiet {
    fn complain(&mut self, text: String) {
        panic!("{text}");
    }
}

fn shade(name: &str, hex: &str, fibre: &str, class: Option<u8>, stock: Stock) -> Shade {
    let colour = Colour::from_hex(hex).unwrap();
    Shade { fibre: fibre.to_owned(), weight_class: class, stock, ..Shade::new(name, colour) }
}

fn card() -> Arc<ShadeCard> {
    let shades = vec![
        shade("Dull bucket", "#d8cbb2", "75 % wool, 25 % nylon", Some(1), Stock::InStock),
        shade("Blue oil drum", "#1f2a4d", "80 % wool, 20 % nylon", Some(1), Stock::Owned(2)),
        shade("Rusty hinge", "#a3421f", "Wool", Some(3), Stock::InStock),
        shade("Patched tent", "#4d6b2a", "", None, Stock::InStock),
        shade("Yellow ruler", "#c9971c", "75 % wool, 25 % nylon", Some(1), Stock::Out),
    ];
    Arc::new(ShadeCard::new("Crooked Ladder", shades).unwrap())
}

fn ask() -> ShelfAsk {
    ShelfAsk {
        cards: vec![card()],
        wanted: YarnWanted::default(),
        to_be_had: false,
        on_hand: OnHand::default(),
    }
}

fn of_fibre(fibre: FibreWanted) -> YarnWanted {
    YarnWanted { fibre, ..YarnWanted::default() }
}

fn names(shelved: &Shelved) -> Vec<&str> {
    shelved.card.shades().iter().map(|shade| shade.name.as_str()).collect()
}

#[test]
fn filters_keep_what_fits_and_what_does_not_say() {
    let all = Shelved::of(ask());
    assert_eq!((all.card.shades().len(), all.of, all.unknown), (5, 5, 0));
    assert_eq!(all.labels, ["75 % wool, 25 % nylon", "80 % wool, 20 % nylon", "Wool"]);
    assert_eq!(all.classes, [1, 3]);
    let blend = Blend::parse("75 % wool, 25 % nylon").unwrap();
    let like = Shelved::of(ShelfAsk { wanted: of_fibre(FibreWanted::Like(blend)), to_be_had: true, ..ask() });
    assert_eq!(names(&like), ["Dull bucket", "Blue oil drum", "Patched tent"]);
    assert_eq!(like.unknown, 1);
    let label = FibreWanted::Label("Wool".to_owned());
    assert_eq!(
        names(&Shelved::of(ShelfAsk { wanted: of_fibre(label), ..ask() })),
        ["Rusty hinge", "Patched tent"]
    );
    let thick =
        Shelved::of(ShelfAsk { wanted: YarnWanted { classes: vec![3], ..YarnWanted::default() }, ..ask() });
    assert_eq!(names(&thick), ["Rusty hinge", "Patched tent"]);
}

#[test]
fn a_fibre_that_is_named_and_not_known_is_told_apart_from_one_that_is_not_named() {
    let of = |fibre: &str| {
        let colour = Colour::from_hex("#445566").unwrap();
        Shade { fibre: fibre.to_owned(), ..Shade::new("Dull bucket", colour) }
    };
    let shades = ["", "moonhair", "80 % superwash wool, 20 % moonhair", "superwash wool"].map(of).to_vec();
    let cards = vec![Arc::new(ShadeCard::new("Crooked Ladder", shades).unwrap())];
    let like = of_fibre(FibreWanted::Like(Blend::parse("superwash wool").unwrap()));
    let found = Shelved::of(ShelfAsk { cards: cards.clone(), wanted: like.clone(), ..ask() });
    assert_eq!((found.unknown, found.unknown_fibre), (1, 2));
    let needs = Needs { gift: true, ..Needs::preset(PieceKind::Sweater) };
    let wanted = YarnWanted { needs: Some(needs), ..like };
    let found = Shelved::of(ShelfAsk { cards, wanted, ..ask() });
    assert_eq!((found.card.shades().len(), found.left_out.needs), (1, 3));
    assert_eq!((found.unknown, found.unknown_fibre), (0, 0));
}

/// A shelf whose searches are done at once and answer when told to.
struct Desk {
    shelf: Shelf,
    jobs: Jobs<Quiet>,
    document: DocumentId,
}

impl Desk {
    fn new() -> Self {
        let document = DocumentId::fresh();
        Self { shelf: Shelf::of(document), jobs: Jobs::inline(), document }
    }

    fn search(&mut self, ask: &SetsAsk) {
        self.shelf.update(ShelfAction::Search(Box::new(ask.clone()), SearchTime::default()), &self.jobs);
    }

    fn collect(&self) {
        while let Some(answer) = self.jobs.next(self.document) {
            answer(&mut Quiet);
        }
    }

    fn news(&self) -> News {
        self.shelf.search.as_ref().unwrap().news()
    }
}

fn sets_ask(size: usize) -> SetsAsk {
    SetsAsk {
        shelved: Arc::new(Shelved::of(ask())),
        size,
        weights: SetWeights::default(),
        pinned: Vec::new(),
        forbidden: Vec::new(),
        wish: Vec::new(),
    }
}

#[test]
fn a_search_goes_to_its_end_with_what_is_pinned_and_forbidden() {
    let mut desk = Desk::new();
    let mut ask = sets_ask(3);
    let shades = ask.shelved.card.shades().to_vec();
    ask.pinned = vec![Arc::new(shades[2].clone())];
    ask.forbidden = vec![Arc::new(shades[0].clone())];
    desk.search(&ask);
    desk.collect();
    let found = desk.news();
    assert_eq!(found.progress, Progress::Complete);
    assert!(!found.sets.is_empty());
    assert!(found.sets.iter().all(|set| set.shades.contains(&2) && !set.shades.contains(&0)));
}

#[test]
fn answers_of_an_older_search_reach_nobody() {
    let mut desk = Desk::new();
    // Both answers wait when the second search begins.
    desk.search(&sets_ask(2));
    desk.search(&sets_ask(3));
    desk.collect();
    let found = desk.news();
    assert!(!found.sets.is_empty() && found.sets.iter().all(|set| set.shades.len() == 3));
}

#[test]
fn sets_of_the_search_before_stay_up_until_better_ones_come() {
    let mut desk = Desk::new();
    let ask = sets_ask(2);
    desk.search(&ask);
    desk.collect();
    desk.search(&SetsAsk { size: 3, ..ask });
    let shown = desk.news();
    assert!(shown.of_before && shown.sets.iter().all(|set| set.shades.len() == 2));
    desk.collect();
    let shown = desk.news();
    assert!(!shown.of_before && shown.sets.iter().all(|set| set.shades.len() == 3));
    // Of another shelf the places would mean other shades.
    desk.search(&sets_ask(2));
    assert!(desk.news().sets.is_empty());
}

#[test]
fn a_search_that_cannot_be_says_why_and_a_stopped_one_keeps_what_it_found() {
    let mut desk = Desk::new();
    let mut ask = sets_ask(5);
    ask.forbidden = vec![Arc::new(ask.shelved.card.shades()[0].clone())];
    desk.search(&ask);
    desk.shelf.update(ShelfAction::Stop, &desk.jobs);
    assert_eq!(desk.news().progress, Progress::Stopped);
    desk.collect();
    let progress = desk.news().progress;
    assert!(
        matches!(&progress, Progress::Failed(reason) if reason.contains("only 4 shades")),
        "{progress:?}"
    );
}
