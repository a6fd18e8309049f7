//! The search against trying every set.

use super::*;
use crate::units::{Price, UnitError};
use crate::yarn::{PutUp, Shade, Stock};
use std::sync::Mutex;
use std::sync::atomic::Ordering;

/// A repeatable stream of numbers in `0..1`.
struct Stream(u64);

impl Stream {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
}

fn card(count: usize, seed: u64) -> ShadeCard {
    let mut stream = Stream(seed);
    let shade = |_| {
        let colour =
            Colour::clamped(0.2 + 0.75 * stream.next(), 0.16 * stream.next().sqrt(), 360.0 * stream.next());
        let put_up: Result<PutUp, UnitError> = PutUp::new(100.0 + 300.0 * stream.next(), 50.0);
        Shade {
            put_up: put_up.ok(),
            ball_price: (stream.next() > 0.2).then(|| Price::clamped(3.0 + 9.0 * stream.next())),
            stock: if stream.next() > 0.8 { Stock::Owned(1) } else { Stock::InStock },
            ..Shade::new("x", colour)
        }
    };
    ShadeCard::new("Card", (0..count).map(shade).collect()).unwrap()
}

fn search(card: &ShadeCard, request: &SetRequest) -> Vec<ShadeSet> {
    let found = best_sets(card, request, &AtomicBool::new(false), &|_| {}).unwrap();
    assert!(found.complete);
    found.sets
}

/// Every set, scored and sorted out as the search does, but without any bound.
fn every_set(card: &ShadeCard, request: &SetRequest) -> Vec<ShadeSet> {
    let (pinned, free) = candidates(card, request).unwrap();
    let scorer = Scorer::new(card, request, &pinned, &free).unwrap();
    let mut pool = Pool::new(request, pinned.len());
    let total = (pinned.len() + free.len()) as u16;
    let mut all = Vec::new();
    let mut stack = vec![(0..pinned.len() as u16).collect::<Vec<u16>>()];
    while let Some(members) = stack.pop() {
        if members.len() == request.size {
            let key = scorer.families().key_of_shades(&members);
            all.push(scorer.scored(members, key));
            continue;
        }
        let next = members.last().map_or(0, |last| last + 1).max(pinned.len() as u16);
        stack.extend((next..total).map(|shade| [&members[..], &[shade]].concat()));
    }
    all.sort_by(|a, b| b.score.cmp(&a.score).then_with(|| a.members.cmp(&b.members)));
    let mut seen = std::collections::HashSet::new();
    all.retain(|set| seen.insert(set.key.clone()));
    for set in all {
        pool.add(set);
    }
    dressed(&scorer, &pool.different())
}

fn requests(size: usize, count: usize) -> Vec<SetRequest> {
    let wish = ["#a3421f", "#1f2a4d", "#d8cbb2"].map(|hex| Colour::from_hex(hex).unwrap()).to_vec();
    let usual = SetRequest { best: 6, ..SetRequest::new(size, 6, (0..count).collect()) };
    let all = SetWeights { template: 1.0, value: 1.0, vision: 1.0, wish: 2.0, price: 0.5, owned: 0.3 };
    vec![
        usual.clone(),
        SetRequest { weights: all, wish: wish.clone(), ..usual.clone() },
        SetRequest { weights: all, wish, pinned: vec![3, 7], forbidden: vec![1, 2, 3], ..usual.clone() },
        SetRequest { weights: SetWeights { template: 0.0, ..SetWeights::default() }, ..usual.clone() },
        SetRequest { templates: vec![Template::V], ..usual.clone() },
        SetRequest { weights: SetWeights { price: 3.0, value: 0.2, ..all }, ..usual },
    ]
}

#[test]
fn the_search_finds_what_trying_every_set_finds() {
    for (size, count) in [(2, 40), (3, 30), (4, 20), (5, 16)] {
        for seed in 0..4 {
            let card = card(count, seed);
            for request in requests(size, count) {
                let (found, every) = (search(&card, &request), every_set(&card, &request));
                assert_eq!(found, every, "{size} of {count}, seed {seed}, {request:?}");
                assert!(!found.is_empty());
            }
        }
    }
}

#[test]
fn ties_are_settled_as_trying_every_set_settles_them() {
    // Only one thing is weighed, so that very many sets score the same.
    let one = |template: f64, value: f64, owned: f64| SetWeights {
        template,
        value,
        vision: 0.0,
        owned,
        ..SetWeights::default()
    };
    for (weights, size) in [(one(1.0, 0.0, 0.0), 3), (one(0.0, 0.0, 1.0), 4), (one(1.0, 0.0, 1.0), 5)] {
        for best in [1, 5] {
            let card = card(18, 5);
            let request = SetRequest { weights, ..SetRequest::new(size, best, (0..18).collect()) };
            assert_eq!(search(&card, &request), every_set(&card, &request), "{weights:?}");
        }
    }
}

/// Cards on which shades repeat, stand close or lie on a ramp.
fn cards_with_ties(count: usize, seed: u64) -> Vec<ShadeCard> {
    let of = |colour: &dyn Fn(usize) -> Colour| {
        let shades: Vec<Shade> = (0..count).map(|i| Shade::new("x", colour(i))).collect();
        ShadeCard::new("Card", shades).unwrap()
    };
    let base = card(count, seed);
    let random = |i: usize| base.shades()[i].colour;
    let share = |i: usize| i as f64 / count as f64;
    let mut priced = card(count, seed);
    for i in 0..count {
        let same = Shade { colour: random(i % 4), ..priced.shades()[i].clone() };
        priced.replace(i, same).unwrap();
    }
    vec![
        of(&|_| random(0)),
        of(&|i| random(i % 3)),
        of(&|i| random(i % 6)),
        of(&|i| Colour::clamped(share(i), 0.0, 0.0)),
        of(&|i| Colour::clamped(0.5 + 0.03 * share(i), 0.1, 40.0)),
        of(&|i| Colour::clamped(0.3 + 0.5 * share(i / 3 * 3), 0.1, 40.0 + 20.0 * share(i % 3))),
        priced,
    ]
}

#[test]
fn on_cards_full_of_ties_the_search_finds_what_trying_every_set_finds() {
    let prices = SetWeights { price: 1.0, owned: 0.5, ..SetWeights::default() };
    for (size, count) in [(2, 30), (3, 20), (4, 14), (5, 13)] {
        for (index, card) in cards_with_ties(count, 3).into_iter().enumerate() {
            let usual = SetRequest::new(size, 3, (0..count).collect());
            for request in [
                usual.clone(),
                SetRequest { best: 1, weights: prices, ..usual.clone() },
                SetRequest { pinned: vec![2, 5], ..usual.clone() },
                SetRequest {
                    wish: vec![Colour::BLACK],
                    weights: SetWeights { wish: 1.0, ..prices },
                    ..usual
                },
            ] {
                let (found, every) = (search(&card, &request), every_set(&card, &request));
                assert_eq!(found, every, "{size} of {count}, card {index}, {request:?}");
            }
        }
    }
}

#[test]
fn on_any_small_card_with_many_ties_the_search_finds_what_trying_every_set_finds() {
    // Few colours, few prices: most sets are equal to others in some part, and many in all.
    for seed in 0..60 {
        let mut stream = Stream(1_000 + seed);
        let mut below = |count: usize| (stream.next() * count as f64) as usize;
        let size = 2 + below(4);
        let count = [0, 0, 30, 18, 13, 11][size] - below(3);
        let (values, hues, prices) = (1 + below(6), 1 + below(3), 1 + below(3));
        let shades = (0..count).map(|_| {
            let lightness = 0.25 + 0.6 * below(values) as f64 / values as f64;
            let hue = 25.0 * below(hues) as f64;
            Shade {
                put_up: PutUp::new(200.0, 50.0).ok(),
                ball_price: Price::new(4.0 + below(prices) as f64).ok(),
                stock: if below(5) == 0 { Stock::Owned(1) } else { Stock::InStock },
                ..Shade::new("x", Colour::clamped(lightness, 0.03 * below(3) as f64, hue))
            }
        });
        let card = ShadeCard::new("Card", shades.collect()).unwrap();
        let mut weigh = || below(3) as f64 / 2.0;
        let weights = SetWeights {
            template: weigh(),
            value: weigh(),
            vision: weigh(),
            wish: weigh(),
            price: weigh(),
            owned: 0.1 + weigh(),
        };
        let wish = vec![card.shades()[0].colour, Colour::BLACK];
        let pinned = if seed % 3 == 0 { vec![1] } else { Vec::new() };
        let best = [1, 3, 20][below(3)];
        let request =
            SetRequest { weights, wish, pinned, ..SetRequest::new(size, best, (0..count).collect()) };
        assert_eq!(search(&card, &request), every_set(&card, &request), "seed {seed}, {request:?}");
    }
}

/// How many shades a search tries in sets of given families: what it costs, on any machine.
fn tried(card: &ShadeCard, request: &SetRequest) -> u64 {
    let (pinned, free) = candidates(card, request).unwrap();
    let scorer = Scorer::new(card, request, &pinned, &free).unwrap();
    let pool = Pool::new(request, pinned.len());
    let ended = search::run(&scorer, pool, pinned.len(), (&AtomicBool::new(false), &|_| {}), &mut |_| {});
    assert!(ended.open.is_none());
    scorer.tried.into_inner()
}

#[test]
fn what_equal_and_ramped_shades_cost_is_little_beside_the_sets_there_are() {
    let fives = |colours: Vec<Colour>| {
        let shades: Vec<Shade> = colours.into_iter().map(|colour| Shade::new("x", colour)).collect();
        let (card, count) = (ShadeCard::new("Card", shades.clone()).unwrap(), shades.len());
        tried(&card, &SetRequest::new(5, 20, (0..count).collect()))
    };
    let (grey, base) = (|i: usize| Colour::clamped(i as f64 / 120.0, 0.0, 0.0), card(48, 4));
    // 5.5 million sets that are all the same; 190 million of greys; 6.4 milliards of one range in five yarns.
    let equal = fives(vec![grey(60); 60]);
    let greys = fives((0..120).map(grey).collect());
    let range = fives((0..240).map(|i| base.shades()[i % 48].colour).collect());
    println!("shades tried: {equal} of equal ones, {greys} of greys, {range} of a range in five yarns");
    assert!(equal < 1_000 && greys < 4_000_000 && range < 1_000_000, "{equal} {greys} {range}");
}

#[test]
fn what_a_search_that_is_stopped_says_is_true() {
    for (index, card) in [card(40, 8)].into_iter().chain(cards_with_ties(40, 8)).enumerate() {
        let request = SetRequest::new(4, 3, (0..40).collect());
        let whole = search(&card, &request);
        for after in [1, 2, 4] {
            let (cancel, waves) = (AtomicBool::new(false), std::sync::atomic::AtomicUsize::new(0));
            let stop = |_: &[ShadeSet]| {
                if waves.fetch_add(1, Ordering::Relaxed) + 1 >= after {
                    cancel.store(true, Ordering::Relaxed);
                }
            };
            let part = best_sets(&card, &request, &cancel, &stop).unwrap();
            let certain = part.certain().min(1);
            assert_eq!(part.sets[..certain], whole[..certain], "card {index}");
            if let Some(open) = part.open {
                let best = whole[0].score.max(part.sets[0].score);
                assert!(best <= open.max(part.sets[0].score) + 1e-9, "card {index}: {best} {open}");
            }
            assert_eq!(part.complete, part.open.is_none());
        }
    }
}

#[test]
fn the_answer_is_the_same_on_one_processor_and_on_many() {
    let card = card(60, 9);
    let request = SetRequest::new(4, 20, (0..60).collect());
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| search(&card, &request))
    };
    assert_eq!(on(1), on(4));
}

#[test]
fn sets_hold_what_is_pinned_and_nothing_forbidden() {
    let card = card(30, 2);
    let request =
        SetRequest { pinned: vec![4, 9], forbidden: vec![4, 11], ..SetRequest::new(4, 8, (0..20).collect()) };
    let sets = search(&card, &request);
    assert_eq!(sets.len(), 8);
    for set in &sets {
        assert!(set.shades.contains(&4) && set.shades.contains(&9), "{set:?}");
        assert!(!set.shades.contains(&11) && set.shades.iter().all(|shade| *shade < 20), "{set:?}");
        assert!(set.shades.windows(2).all(|pair| pair[0] < pair[1]));
    }
    // All places pinned: one set.
    let only = SetRequest { pinned: vec![1, 2, 3], ..SetRequest::new(3, 8, vec![]) };
    assert_eq!(search(&card, &only).len(), 1);
}

#[test]
fn the_twenty_are_different() {
    let card = card(80, 3);
    let sets = search(&card, &SetRequest::new(3, 20, (0..80).collect()));
    assert_eq!(sets.len(), 20);
    assert!(sets.windows(2).all(|pair| pair[0].score >= pair[1].score));
    let shared = |a: &ShadeSet, b: &ShadeSet| a.shades.iter().filter(|s| b.shades.contains(s)).count();
    for (k, set) in sets.iter().enumerate() {
        assert!(sets[..k].iter().all(|other| shared(set, other) <= 1), "{sets:#?}");
    }
}

#[test]
fn answers_improve_and_a_cancelled_search_gives_the_best_so_far() {
    let card = card(120, 6);
    let request = SetRequest::new(4, 10, (0..120).collect());
    let answers: Mutex<Vec<Vec<ShadeSet>>> = Mutex::new(Vec::new());
    let note = |sets: &[ShadeSet]| answers.lock().unwrap().push(sets.to_vec());
    let found = best_sets(&card, &request, &AtomicBool::new(false), &note).unwrap();
    let answers = answers.into_inner().unwrap();
    assert_eq!(answers.last(), Some(&found.sets));
    assert!(answers.windows(2).all(|pair| pair[0][0].score <= pair[1][0].score));

    let cancel = AtomicBool::new(false);
    let stop = |_: &[ShadeSet]| cancel.store(true, Ordering::Relaxed);
    let partial = best_sets(&card, &request, &cancel, &stop).unwrap();
    assert!(!partial.complete && !partial.sets.is_empty());
    let none = best_sets(&card, &request, &AtomicBool::new(true), &|_| {}).unwrap();
    assert!(!none.complete && none.sets.is_empty());
}

#[test]
fn the_parts_are_what_they_say() {
    let hexes = ["#1f2a4d", "#d8cbb2", "#a3421f"];
    let shades = hexes.map(|hex| Shade::new(hex, Colour::from_hex(hex).unwrap()));
    let card = ShadeCard::new("Card", shades.to_vec()).unwrap();
    let wish = vec![Colour::from_hex("#d8cbb2").unwrap(), Colour::from_hex("#a34220").unwrap()];
    let weights = SetWeights { wish: 1.0, price: 5.0, ..SetWeights::default() };
    let set = &search(&card, &SetRequest { weights, wish, ..SetRequest::new(3, 1, vec![0, 1, 2]) })[0];
    let parts = set.parts;
    let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-5, "{a} {b}");
    near(parts.value, 1.0 - (-set.quality.lstar_min / 15.0).exp());
    let seen = set.quality.seen_min.into_iter().fold(set.quality.difference_min, f64::min);
    near(parts.vision, 1.0 - (-seen / 15.0).exp());
    assert!(parts.wish > 0.95);
    // No price is known: the part is 0 and does not count.
    assert_eq!((parts.price, parts.owned), (0.0, 0.0));
    near(set.score, (parts.template + parts.value + 0.5 * parts.vision + parts.wish) / 3.5);
}

#[test]
fn requests_that_cannot_be_met_say_why() {
    let card = card(10, 1);
    let usual = SetRequest::new(3, 5, (0..10).collect());
    let none = SetWeights { template: 0.0, value: 0.0, vision: 0.0, ..SetWeights::default() };
    for (request, error) in [
        (SetRequest { size: 6, ..usual.clone() }, SetError::Size(6)),
        (SetRequest { best: 0, ..usual.clone() }, SetError::Best(0)),
        (SetRequest { allowed: vec![1, 2], ..usual.clone() }, SetError::TooFew { shades: 2, size: 3 }),
        (SetRequest { pinned: vec![1, 2, 3, 4], ..usual.clone() }, SetError::Pinned { pinned: 4, size: 3 }),
        (SetRequest { pinned: vec![10], ..usual.clone() }, SetError::NoShade(11)),
        (SetRequest { weights: none, ..usual.clone() }, SetError::NoWeight),
        // Closeness to a wish without a wish.
        (SetRequest { weights: SetWeights { wish: 1.0, ..none }, ..usual.clone() }, SetError::NoWeight),
        (SetRequest { weights: SetWeights { value: f64::NAN, ..none }, ..usual.clone() }, SetError::Weight),
        (SetRequest { wish: vec![Colour::BLACK; 9], ..usual }, SetError::Wish(9)),
    ] {
        assert_eq!(best_sets(&card, &request, &AtomicBool::new(false), &|_| {}), Err(error));
    }
}
