use super::*;

#[path = "../../../../tests/common/yoke_of_ten_sizes.rs"]
mod yoke_of_ten_sizes;
pub(super) use yoke_of_ten_sizes::ten_sizes;

fn gauge() -> Gauge {
    Gauge::new(28.0, 33.0).unwrap()
}

pub(super) fn wanted(name: &str, stitches: u32, depth_cm: f64, end_cm: f64) -> Wanted {
    Wanted {
        name: name.to_owned(),
        stitches,
        depth_cm,
        end_cm,
        least_end_cm: 0.0,
        shoulder_cm: 0.0,
        held: Vec::new(),
    }
}

fn chart(width: u32, rows: usize) -> Part {
    Part::Chart { widths: vec![width; rows], optional: false }
}

const DECREASE: Part = Part::Change { least: 0.6, most: 1.0 };

/// Every choice there is, weighed by the definition and not by the search: the cheapest of all chains of
/// sizes that share out their plain rounds in one proportion.
fn twin(brief: &Brief) -> Option<f64> {
    let places = brief.parts.iter().filter(|part| matches!(part, Part::Plain { .. })).count();
    let of = |proportion: &Vec<u32>| {
        let lists: Vec<Vec<Choice>> =
            (0..brief.sizes.len()).map(|size| every_choice(brief, size, proportion)).collect();
        cheapest_chain(brief, &lists, None)
    };
    let cost = share::proportions(places).iter().map(of).fold(f64::INFINITY, f64::min);
    cost.is_finite().then_some(cost)
}

fn every_choice(brief: &Brief, size: usize, proportion: &[u32]) -> Vec<Choice> {
    let mut list = Vec::new();
    for way in share::rounds(&brief.parts, &brief.sizes[size], proportion, 99) {
        lay_out(brief, size, &way, &mut list, &mut Vec::new(), &mut Vec::new());
    }
    list
}

fn lay_out(
    brief: &Brief,
    size: usize,
    plain: &[u32],
    list: &mut Vec<Choice>,
    made: &mut Vec<Made>,
    all: &mut Vec<u32>,
) {
    let wanted = &brief.sizes[size];
    let part = made.len();
    let stitches = made.last().map_or(wanted.stitches, |made| made.stitches);
    let Some(kind) = brief.parts.get(part) else {
        let left_out = brief.parts.iter().zip(made.iter());
        let left_out = left_out.filter(|(part, made)| matches!(part, Part::Chart { .. }) && made.rows == 0);
        list.extend(weighed(brief, size, (made, all), left_out.count() as f64));
        return;
    };
    let same = |rows: u32| (Made { rows, stitches, repeats: 0 }, vec![stitches; rows as usize]);
    let options: Vec<(Made, Vec<u32>)> = match kind {
        Part::Plain { .. } => {
            let before = brief.parts[..part].iter().filter(|part| matches!(part, Part::Plain { .. })).count();
            vec![same(plain[before])]
        }
        Part::Change { least, most } => (1..=2 * stitches)
            .filter(|n| *n == stitches || (*least..=*most).contains(&(f64::from(*n) / f64::from(stitches))))
            .map(
                |n| {
                    if n == stitches { same(0) } else { (Made { rows: 1, stitches: n, repeats: 0 }, vec![n]) }
                },
            )
            .collect(),
        Part::Chart { widths, optional } => {
            let mut options = Vec::new();
            if stitches.is_multiple_of(widths[0]) {
                let repeats = stitches / widths[0];
                let all: Vec<u32> = widths.iter().map(|width| width * repeats).collect();
                let stitches = all[all.len() - 1];
                options.push((Made { rows: all.len() as u32, stitches, repeats }, all));
            }
            if *optional {
                options.push(same(0));
            }
            options
        }
        Part::Fabric { repeat, rows } if stitches.is_multiple_of(*repeat) => vec![same(*rows)],
        _ => Vec::new(),
    };
    let held = wanted.held.get(part).copied().unwrap_or_default();
    for (option, more) in options.into_iter().filter(|(made, _)| held.allows(*made)) {
        let before = all.len();
        all.extend(more);
        made.push(option);
        lay_out(brief, size, plain, list, made, all);
        made.pop();
        all.truncate(before);
    }
}

/// A choice with its costs, where it is within the limits.
fn weighed(brief: &Brief, size: usize, laid: (&[Made], &[u32]), left_out: f64) -> Option<Choice> {
    let (wanted, costs, (made, rows)) = (&brief.sizes[size], brief.costs, laid);
    let girth = |n: u32| f64::from(n) * brief.gauge.stitch_width_cm();
    let gather = Gather::of(rows, brief.gauge);
    let depth = rows.len() as f64 * brief.gauge.row_height_cm() - wanted.depth_cm;
    let end = girth(made.last()?.stitches) - wanted.end_cm;
    let short = (wanted.shoulder_cm - girth(*rows.get(rows.len() / 2)?)).max(0.0);
    let within = depth.abs() <= brief.depth_within_cm
        && end.abs() <= brief.end_within_cm
        && gather.share <= Gather::MOST;
    let own_cost = costs.depth * depth * depth
        + costs.end * end * end
        + costs.shoulder * short * short
        + costs.gather * gather.percent() * gather.percent()
        + costs.left_out * left_out;
    within.then(|| Choice {
        made: made.to_vec(),
        gather,
        depth_off_cm: depth,
        end_off_cm: end,
        shoulder_short_cm: short,
        own_cost,
        uneven_cost: 0.0,
    })
}

/// What a choice costs beside that of the next smaller size: place and share of every change.
fn step_cost(brief: &Brief, at: (usize, &Choice), next: &Choice) -> f64 {
    let rows = |choice: &Choice| choice.made.iter().map(|made| f64::from(made.rows)).sum::<f64>();
    let read = |size: usize, choice: &Choice| {
        let (mut before, mut done, mut out) = (brief.sizes[size].stitches, 0, Vec::new());
        for (part, made) in brief.parts.iter().zip(&choice.made) {
            if matches!(part, Part::Change { .. }) {
                let place = f64::from(done) / rows(choice);
                out.push((place, 100.0 * f64::from(made.stitches) / f64::from(before)));
            }
            (done, before) = (done + made.rows, made.stitches);
        }
        out
    };
    let (a, b) = (read(at.0, at.1), read(at.0 + 1, next));
    let depth = f64::midpoint(rows(at.1), rows(next)) * brief.gauge.row_height_cm();
    let costs = brief.costs;
    let each = |(a, b): (&(f64, f64), &(f64, f64))| {
        costs.uneven_place * ((a.0 - b.0) * depth).powi(2) + costs.uneven_share * (a.1 - b.1).powi(2)
    };
    a.iter().zip(&b).map(each).sum()
}

fn cheapest_chain(brief: &Brief, lists: &[Vec<Choice>], at: Option<(usize, &Choice)>) -> f64 {
    let size = at.map_or(0, |(size, _)| size + 1);
    let Some(list) = lists.get(size) else { return 0.0 };
    let each = |choice: &Choice| {
        let step = at.map_or(0.0, |at| step_cost(brief, at, choice));
        choice.own_cost + step + cheapest_chain(brief, lists, Some((size, choice)))
    };
    list.iter().map(each).fold(f64::INFINITY, f64::min)
}

/// Whole numbers from `low` to `high`, the same in every run.
fn dice(mut seed: u64) -> impl FnMut(u32, u32) -> u32 {
    move |low, high| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + ((seed >> 33) % u64::from(high - low + 1)) as u32
    }
}

/// Random small cases, with random figures held where `holds`; how many were solved and how many could not be, and in
/// how many of the solved a hold cost something.
fn held_against_the_twin(seed: u64, cases: u32, holds: bool) -> (u32, u32, u32) {
    let mut random = dice(seed);
    let (mut solved, mut unsolved, mut dearer) = (0, 0, 0);
    for _ in 0..cases {
        let (a, b) = (random(5, 14), random(4, 12));
        let parts = vec![
            Part::Change { least: 0.9, most: 1.1 },
            chart(a, 8),
            Part::Plain { repeat: 1, least: 0, most: 3 },
            DECREASE,
            Part::Chart { widths: vec![b; 2], optional: true },
            Part::Plain { repeat: 1, least: 0, most: 4 },
            Part::Chart { widths: vec![b, b, b.saturating_sub(1).max(1)], optional: false },
        ];
        let depth = random(0, 3) as usize;
        let sizes = (0..random(1, 3))
            .map(|i| {
                let stitches = random(60, 110) + 12 * i;
                let depth = [5.0, 4.5, 4.5, 2.0][depth];
                let size = wanted("size", stitches, depth, f64::from(stitches) * 0.6 / 2.8);
                Wanted { shoulder_cm: f64::from(stitches) * 0.9 / 2.8, ..size }
            })
            .collect();
        let mut brief =
            Brief { depth_within_cm: 0.7, end_within_cm: 4.0, ..Brief::new(gauge(), parts, sizes) };
        let free = if holds { solve(&brief).ok() } else { None };
        if let Some(free) = &free {
            hold_some(&mut brief, free, &mut random);
        }
        match (solve(&brief), twin(&brief)) {
            (Ok(found), Some(cost)) => {
                assert!(found.proven);
                assert!((found.cost - cost).abs() < 1e-6, "{} {cost} {brief:?}", found.cost);
                for (choice, wanted) in found.sizes.iter().zip(&brief.sizes) {
                    assert!(wanted.held.iter().zip(&choice.made).all(|(held, made)| held.allows(*made)));
                }
                dearer += u32::from(free.is_some_and(|free| found.cost > free.cost + 1e-9));
                solved += 1;
            }
            (Err(_), None) => unsolved += 1,
            (found, twin) => panic!("{found:?} {twin:?} {brief:?}"),
        }
    }
    (solved, unsolved, dearer)
}

/// Holds one or two parts of every size near what was found for them.
fn hold_some(brief: &mut Brief, found: &Solution, random: &mut impl FnMut(u32, u32) -> u32) {
    let parts = brief.parts.len();
    for (wanted, choice) in brief.sizes.iter_mut().zip(&found.sizes) {
        wanted.held = vec![Held::default(); parts];
        for _ in 0..random(1, 2) {
            let part = random(0, parts as u32 - 1) as usize;
            let made = choice.made[part];
            let near = |n: u32, by: u32| (n + by).saturating_sub(1);
            wanted.held[part] = match brief.parts[part] {
                Part::Plain { .. } => Held::rows(near(made.rows, random(0, 2))),
                Part::Chart { .. } => Held::repeats(near(made.repeats, random(0, 2))),
                _ => Held::stitches(made.stitches),
            };
        }
    }
}

#[test]
fn a_brute_force_twin_agrees_on_small_cases() {
    let (solved, unsolved, _) = held_against_the_twin(11, 60, false);
    assert!(solved > 20 && unsolved > 0, "{solved} {unsolved}");
}

#[test]
fn a_brute_force_twin_agrees_where_rows_repeats_and_counts_are_held() {
    let (solved, unsolved, dearer) = held_against_the_twin(12, 60, true);
    assert!(solved > 15 && unsolved > 0 && dearer > 5, "{solved} {unsolved} {dearer}");
}

#[test]
fn ten_sizes_are_solved_together_and_each_can_be_worn() {
    let brief = ten_sizes();
    let solution = solve(&brief).unwrap();
    assert!(solution.proven);
    for (choice, wanted) in solution.sizes.iter().zip(&brief.sizes) {
        // Common practice needs 17 % at a girth of 200 cm (house plan): the widest two are above 190 cm.
        let most = if wanted.stitches > 532 { 0.16 } else { Gather::COMFORTABLE };
        assert!(choice.gather.share <= most, "{}: {:?}", wanted.name, choice.gather);
        assert!(
            choice.depth_off_cm.abs() < 1.5 && choice.end_off_cm.abs() < 4.0,
            "{} {choice:?}",
            wanted.name
        );
        for (part, made) in brief.parts.iter().zip(&choice.made) {
            if let Part::Chart { widths, .. } = part {
                assert_eq!(
                    made.stitches,
                    made.repeats * widths[0] + u32::from(made.repeats == 0) * made.stitches
                );
            }
        }
    }
}

#[test]
fn a_choice_can_be_held_and_its_cost_is_told() {
    let mut brief = ten_sizes();
    brief.sizes.truncate(3);
    let solution = solve(&brief).unwrap();
    let chosen = solution.sizes[1].made[2].stitches;
    // Nothing that is held can cost less than the optimum.
    let mut told = 0;
    for chosen in [chosen - 12, chosen - 6, chosen + 6] {
        let other = Held::stitches(chosen);
        let cost = cost_of_holding(&brief, &solution, 1, 2, other);
        assert!(cost.is_none_or(|cost| cost > 0.0), "{cost:?}");
        told += usize::from(cost.is_some());
    }
    assert!(told > 0);
    let same = Held::stitches(chosen);
    assert!(cost_of_holding(&brief, &solution, 1, 2, same).unwrap().abs() < 1e-9);
}

#[test]
fn bands_deeper_than_the_yoke_are_refused_with_a_way_out() {
    let brief = Brief::new(gauge(), vec![chart(6, 80)], vec![wanted("4", 240, 14.0, 40.0)]);
    let words = solve(&brief).unwrap_err().to_string();
    assert!(words.starts_with("size 4: the bands alone take 24.2 cm of a depth of 14.0 cm"), "{words}");
    let brief = Brief::new(gauge(), vec![chart(6, 46)], vec![wanted("4", 240, 14.0, 40.0)]);
    let words = solve(&brief).unwrap_err().to_string();
    assert!(words.contains("add a decrease round between the bands"), "{words}");
}

/// `pattern_example`: 130 (140, 150) sts in ten wedges; crowns are solved by the same search.
#[test]
fn a_crown_and_a_tip_are_solved_too() {
    let crown = Part::Wedges { wedges: vec![8, 10], leave: vec![1, 2], every: (1, 2) };
    let size = |name, stitches| Wanted { ..wanted(name, stitches, 7.5, 3.0) };
    let brief = Brief::new(gauge(), vec![crown], vec![size("S", 130), size("M", 140), size("L", 150)]);
    let solution = solve(&brief).unwrap();
    for choice in &solution.sizes {
        assert_eq!(choice.made[0].repeats, 10);
        assert!(choice.gather.share < 0.1, "{:?}", choice.gather);
        assert!(choice.depth_off_cm.abs() < 1.0);
    }
    let tip = Part::Wedges { wedges: vec![4], leave: vec![2], every: (1, 2) };
    let brief = Brief::new(gauge(), vec![tip], vec![wanted("7", 56, 4.5, 3.0)]);
    assert_eq!(solve(&brief).unwrap().sizes[0].made[0].stitches, 8);
}
