//! Pieces against published worked examples, body tables and the trade's rules of thumb.

use crate::common::{Row, assert_near, table};
use huegauge::chart::{Cell, Grid};
use huegauge::knit::pieces::{
    Band, Body, Count, Gather, Interval, Measure, Multiple, Pattern, PiecesYarn, PiecesYarnInput, Rounding,
    Schedule, Size, SizeTable, Template, WorkedPiece, work,
    yoke::{self, PieceBrief},
};
use huegauge::knit::{Gauge, LoopFibre, LoopLength, LoopSource};
use huegauge::units::CM_PER_INCH;
use huegauge::yarn::{PutUp, SlotYarn};

fn example(id: &str) -> Row {
    table("worked_examples.csv").into_iter().find(|row| row.text("id") == id).unwrap()
}

fn per_inch(stitches: f64, rows: f64) -> Gauge {
    Gauge::new(stitches * 10.0 / CM_PER_INCH, rows * 10.0 / CM_PER_INCH).unwrap()
}

fn woman_m(ease_cm: f64) -> Size {
    let woman = SizeTable::shipped().unwrap().group("Woman").unwrap();
    let medium = woman.sizes.iter().find(|size| size.name == "M").unwrap();
    Size { name: "M".to_owned(), body: medium.body, ease_cm }
}

/// Standard-fitting, the middle of the published fit chart's 2 to 4 in.
fn standard_ease_cm() -> f64 {
    let fits = &SizeTable::shipped().unwrap().fits;
    fits.iter().find(|fit| fit.name == "Standard-fitting").unwrap().usual_cm()
}

#[test]
fn stitches_and_rows_of_a_square_yard() {
    let row = example("W8");
    assert_eq!(row.text("inputs"), "6 sts/in, 7 rows/in, 36 x 36 in");
    let (stitches, rows) = row.text("exact").split_once("; ").unwrap();
    let gauge = per_inch(6.0, 7.0);
    let width = Count::for_width(36.0 * CM_PER_INCH, gauge, Multiple::default(), Rounding::Nearest);
    assert_eq!(width.stitches.to_string(), stitches);
    assert_eq!(gauge.rows_in(36.0 * CM_PER_INCH).to_string(), rows);
}

#[test]
fn a_motif_that_divides_the_width() {
    let row = example("W9");
    assert_eq!(row.text("inputs"), "5 sts/in, 36 in, 18-st motif");
    let count = Count::for_width(36.0 * CM_PER_INCH, per_inch(5.0, 7.0), Multiple::of(18), Rounding::Nearest);
    assert_eq!(format!("{}; {}", count.stitches, count.repeats()), row.text("exact"));
}

#[test]
fn a_width_that_must_be_a_multiple_goes_up() {
    let row = example("W12");
    assert_eq!(row.text("inputs"), "5 sts/in x 6 in, multiple of 4");
    let gauge = per_inch(5.0, 7.0);
    let free = Count::for_width(6.0 * CM_PER_INCH, gauge, Multiple::default(), Rounding::Nearest);
    let kept = Count::for_width(6.0 * CM_PER_INCH, gauge, Multiple::of(4), Rounding::Nearest);
    let found = format!("{}; {}; {}", free.stitches, kept.stitches, kept.repeats());
    assert_eq!(found, row.text("exact"));
    // Two stitches of a fifth of an inch.
    assert_near("cost", kept.off_cm(gauge).unwrap(), 0.4 * CM_PER_INCH, 1e-9);
}

#[test]
fn sleeve_increases_on_the_right_side() {
    let row = example("W17");
    assert_eq!(row.text("inputs"), "120 rows, 28 incs per side");
    assert!(row.text("tolerance_note").ends_with("2 every 6th + 26 every 4th = 116 rows"));
    let schedule = Schedule::spread(120, 28, 2);
    assert_eq!(schedule.intervals, [Interval { every: 4, times: 26 }, Interval { every: 6, times: 2 }]);
    assert_eq!(schedule.rows().last(), Some(116));
    assert_eq!(schedule.plain_after, 4);
}

/// The shipped sizes are the published ranges: their middles, to the half cm the table is rounded to.
#[test]
fn body_sizes_are_those_of_the_table() {
    let shipped = SizeTable::shipped().unwrap();
    for row in &table("body_sizes.csv") {
        let group = row.text("group");
        let group = shipped.groups.iter().find(|g| g.name.to_lowercase() == group).unwrap();
        let size = group.sizes.iter().find(|size| size.name == row.text("size")).unwrap();
        let middle = |column: &str| {
            let text = row.text(column).split(' ').next().unwrap();
            let (low, high) = text.split_once('-').unwrap_or((text, text));
            f64::midpoint(low.parse().unwrap(), high.parse().unwrap())
        };
        let has = |measure| size.body.get(measure).unwrap();
        assert_near(row.place(), has(Measure::Chest), middle("chest_cm"), 0.6);
        let inches = [
            (Measure::CrossBack, "cross_back_in"),
            (Measure::Arm, "arm_to_underarm_in"),
            (Measure::UpperArm, "upper_arm_in"),
            (Measure::Armhole, "armhole_in"),
            (Measure::Waist, "waist_in"),
            (Measure::Hip, "hip_in"),
        ];
        for (measure, column) in inches {
            assert_near(row.place(), has(measure), middle(column) * CM_PER_INCH, 1e-9);
        }
        let back = if group.name == "Man" { Measure::BackHip } else { Measure::BackWaist };
        assert_near(row.place(), has(back), middle("back_waist_in") * CM_PER_INCH, 1e-9);
    }
    for row in &table("body_sizes_en13402_iso.csv") {
        let group = shipped
            .groups
            .iter()
            .find(|g| g.name.to_lowercase() == format!("{}, letter codes", row.text("group")));
        let size = group.unwrap().sizes.iter().find(|size| size.name == row.text("code")).unwrap();
        let middle = f64::midpoint(row.number("bust_or_chest_cm_min"), row.number("bust_or_chest_cm_max"));
        assert_near(row.place(), size.body.get(Measure::Chest).unwrap(), middle, 1e-9);
    }
}

/// Value of a measure in `head_hand_foot.csv` (read) for one group and age or size.
fn measured(group: &str, age: &str, measure: &str, source: &str) -> f64 {
    let rows = table("head_hand_foot.csv");
    let row = rows.iter().find(|row| {
        row.text("group") == group
            && row.text("age_or_size") == age
            && row.text("measure").starts_with(measure)
            && row.text("source").starts_with(source)
    });
    let row = row.unwrap_or_else(|| panic!("{group} {age} {measure}"));
    assert_eq!(row.text("basis"), "seen");
    row.number("value")
}

fn shipped(group: &str, size: &str, measure: Measure) -> f64 {
    let group = SizeTable::shipped().unwrap().group(group).unwrap();
    group.sizes.iter().find(|other| other.name == size).unwrap().body.get(measure).unwrap()
}

/// The head sizes that were read go before the one from memory (woman 20 in), and hold the means of ANSUR II.
#[test]
fn head_sizes_are_those_read() {
    for row in table("ease_and_heads.csv").iter().filter(|row| row.text("kind") == "head range") {
        let name = match row.text("key") {
            "newborn" => "Newborn",
            "toddler 2-5y" => "Toddler",
            "3-10 y" => "Child",
            "woman" => "Woman",
            "man" => "Man",
            other => panic!("{other}"),
        };
        let text = row.text("value");
        let (low, high) = text.split_once('-').unwrap_or((text, text));
        let (low, high): (f64, f64) = (low.parse().unwrap(), high.parse().unwrap());
        let found = shipped("Head", name, Measure::Head);
        assert_near(row.place(), found, f64::midpoint(low, high) * CM_PER_INCH, 1e-9);
    }
    for group in ["Woman", "Man"] {
        let mean = measured(&group.to_lowercase(), "adult 17-58", "head girth", "ANSUR");
        assert_near(group, shipped("Head", group, Measure::Head), mean, 2.0);
        for size in &SizeTable::shipped().unwrap().group(group).unwrap().sizes {
            assert_near(&size.name, size.body.get(Measure::Head).unwrap(), mean, 1e-9);
        }
    }
}

/// One head table throughout the ages of a group: Dutch for children, WHO for babies (means of girl and boy).
#[test]
fn heads_of_children_are_of_one_table() {
    let mean = |age: &str, source: &str| {
        let of = |group| measured(group, age, "head girth", source);
        f64::midpoint(of("girl"), of("boy"))
    };
    for (group, ages) in [("Child", &["2", "4", "6", "8", "10"][..]), ("Youth", &["12", "14", "16"])] {
        for age in ages {
            let published = mean(&format!("{age} y"), "Dutch");
            assert_near(age, shipped(group, age, Measure::Head), published, 0.06);
            let foot = |group| measured(group, &format!("{age} y"), "foot length", "AnthroKids");
            let published = f64::midpoint(foot("girl"), foot("boy"));
            assert_near(age, shipped(group, age, Measure::FootLength), published, 0.06);
        }
    }
    for age in ["3 mo", "6 mo", "12 mo", "18 mo", "24 mo"] {
        assert_near(age, shipped("Baby", age, Measure::Head), mean(age, "WHO"), 0.06);
    }
}

/// Hand, wrist, neck base and shoulders of grown-ups against the means by chest of ANSUR II (read): the
/// largest distance of our straight lines is 1.5 cm round the shoulders, under half a standard deviation.
#[test]
fn grown_ups_follow_the_chest_as_measured() {
    let measures = [
        ("shoulder girth", Measure::ShoulderGirth, 1.6),
        ("neck base girth", Measure::NeckBase, 0.6),
        ("hand girth", Measure::Hand, 0.25),
        ("wrist girth", Measure::Wrist, 0.25),
    ];
    let mut compared = 0;
    for row in table("head_hand_foot.csv").iter().filter(|row| row.text("age_or_size").starts_with("chest "))
    {
        let Some((_, measure, tolerance)) =
            measures.iter().find(|(name, ..)| row.text("measure").starts_with(name))
        else {
            continue;
        };
        let range = row.text("age_or_size").trim_start_matches("chest ").trim_end_matches(" cm");
        let (low, high) = range.split_once('-').unwrap();
        let chest: f64 = f64::midpoint(low.parse().unwrap(), high.parse().unwrap());
        let group = if row.text("group") == "woman" { "Woman" } else { "Man" };
        let sizes = &SizeTable::shipped().unwrap().group(group).unwrap().sizes;
        let at = |size: &huegauge::knit::pieces::TableSize| {
            (size.body.get(Measure::Chest).unwrap(), size.body.get(*measure).unwrap())
        };
        let Some(pair) = sizes.windows(2).find(|pair| (at(&pair[0]).0..=at(&pair[1]).0).contains(&chest))
        else {
            continue;
        };
        let (a, b) = (at(&pair[0]), at(&pair[1]));
        let found = a.1 + (b.1 - a.1) * (chest - a.0) / (b.0 - a.0);
        assert_near(row.place(), found, row.number("value"), *tolerance);
        compared += 1;
    }
    assert!(compared >= 56, "{compared}");
    // What a sock must pass is read, not worked out.
    for group in ["Woman", "Man"] {
        let mean = |measure| measured(&group.to_lowercase(), "adult 17-58", measure, "ANSUR");
        assert_near(group, shipped(group, "M", Measure::Heel), mean("heel-ankle girth (diagonal)"), 1e-9);
        assert_near(group, shipped(group, "M", Measure::Ankle), mean("ankle girth"), 1e-9);
        assert_near(group, shipped(group, "M", Measure::Foot), mean("foot girth (ball)"), 1e-9);
    }
}

/// EN 420:2003, table 1 (from memory): the girth of hand size n is n inches, rounded to mm.
#[test]
fn hand_sizes_are_inches_of_girth() {
    for size in &SizeTable::shipped().unwrap().group("Hand").unwrap().sizes {
        let inches: f64 = size.name.parse().unwrap();
        assert_near(&size.name, size.body.get(Measure::Hand).unwrap(), inches * CM_PER_INCH, 0.06);
    }
}

/// A 40 in chest in a standard fit makes a garment of 42 to 44 in (fit chart's own example).
#[test]
fn standard_ease_makes_42_to_44_of_a_40_in_chest() {
    let row =
        table("ease_and_heads.csv").into_iter().find(|row| row.text("key") == "standard-fitting").unwrap();
    assert!(row.text("source").contains("40 in chest -> 42-44 in garment"));
    let mut body = Body::default();
    body.set(Measure::Chest, Some(40.0 * CM_PER_INCH));
    body.set(Measure::BackHip, Some(60.0));
    body.set(Measure::Armhole, Some(20.0));
    body.set(Measure::UpperArm, Some(30.0));
    body.set(Measure::Arm, Some(44.0));
    let size = Size { name: "40".to_owned(), body, ease_cm: standard_ease_cm() };
    let pieces = sweater(Template::CircularYoke, &size, per_inch(7.0, 9.0));
    let inches = pieces[0].bands[1].end.finished_cm(per_inch(7.0, 9.0)) / CM_PER_INCH;
    assert!((42.0..=44.0).contains(&inches), "{inches}");
}

/// One colour, and low enough for a yoke in the thickest yarn.
fn plain_chart() -> Grid {
    Grid::new(4, 4, Cell::slot(0)).unwrap()
}

fn sweater(template: Template, size: &Size, gauge: Gauge) -> Vec<WorkedPiece> {
    let grid = plain_chart();
    work(&template.pieces(0), size, gauge, &Pattern { grid: &grid, repeat: grid.bounds() }).unwrap()
}

fn yarn_of(template: Template, size: &Size, gauge: Gauge, put_up: PutUp) -> PiecesYarn {
    let grid = plain_chart();
    PiecesYarn::of(&PiecesYarnInput {
        pieces: &sweater(template, size, gauge),
        pattern: Pattern { grid: &grid, repeat: grid.bounds() },
        gauge,
        loop_length: LoopLength::from_gauge(gauge),
        loop_source: LoopSource::Model(LoopFibre::Wool),
        float_limit: 5,
        waste_percent: 5.0,
        tail_cm: 15.0,
        swatch_cm: 15.0,
        stocks: &[SlotYarn { put_up, ball_price: None, on_hand_m: 0.0 }],
        change: None,
    })
}

/// Common practice, no published source: a fingering-weight sweater takes about 350 g. From both
/// pullover templates, woman's M in a standard fit, at 28 x 36 per 10 cm and 400 m per 100 g.
#[test]
fn a_fingering_sweater_takes_about_350_g() {
    let gauge = Gauge::new(28.0, 36.0).unwrap();
    for template in [Template::DropShoulder, Template::CircularYoke] {
        let yarn = yarn_of(template, &woman_m(standard_ease_cm()), gauge, PutUp::new(400.0, 50.0).unwrap());
        let grams = yarn.grams();
        println!("{}: {grams:?} g, {:?} m", template.name(), yarn.metres());
        assert!((315.0..=385.0).contains(&grams.likely), "{}: {grams:?}", template.name());
    }
}

/// Common practice, no published source: a sweater in the thickest roving (class 7, about 12 to 18 m
/// per 100 g) takes 1.4 to 1.8 kg. Six stitches and fewer in 4 in: 5 x 6.5 per 10 cm, 16 m per 100 g.
#[test]
fn a_sweater_in_the_thickest_roving_takes_1_4_to_1_8_kg() {
    let gauge = Gauge::new(5.0, 6.5).unwrap();
    for template in [Template::DropShoulder, Template::CircularYoke] {
        let yarn = yarn_of(template, &woman_m(standard_ease_cm()), gauge, PutUp::new(16.0, 200.0).unwrap());
        let kg = yarn.grams() * 0.001;
        println!("{}: {kg:?} kg, {:?} m", template.name(), yarn.metres());
        assert!((1.4..=1.8).contains(&kg.likely), "{}: {kg:?}", template.name());
    }
}

/// Rule R16: both sleeves take about a third of a sweater's yarn (wide band: it is a rule of thumb).
#[test]
fn sleeves_take_about_a_third() {
    let row = table("rules_of_thumb.csv").into_iter().find(|row| row.text("id") == "R16").unwrap();
    assert_eq!(row.text("rule"), "sleeves share");
    let gauge = Gauge::new(28.0, 36.0).unwrap();
    let pieces = sweater(Template::DropShoulder, &woman_m(standard_ease_cm()), gauge);
    let area = |piece: &WorkedPiece| piece.area_cm2(gauge) * f64::from(piece.copies);
    let all: f64 = pieces.iter().map(area).sum();
    let sleeves: f64 = pieces.iter().filter(|piece| piece.name == "Sleeve").map(area).sum();
    assert!((0.25..=0.40).contains(&(sleeves / all)), "{}", sleeves / all);
}

/// Rule R14: area of a sweater = chest girth x length x 3/2.
#[test]
fn the_area_of_a_sweater_follows_the_rule() {
    let row = table("rules_of_thumb.csv").into_iter().find(|row| row.text("id") == "R14").unwrap();
    assert_eq!(row.text("formula"), "total area = chest circumference x length x 3/2");
    let gauge = Gauge::new(28.0, 36.0).unwrap();
    let pieces = sweater(Template::DropShoulder, &woman_m(standard_ease_cm()), gauge);
    let all: f64 = pieces.iter().map(|piece| piece.area_cm2(gauge) * f64::from(piece.copies)).sum();
    let chest = gauge.width(pieces[0].last_stitches()).get();
    let length = pieces[0].height_cm(gauge) + pieces[1].height_cm(gauge);
    let rule = chest * length * 1.5;
    assert!((all / rule - 1.0).abs() < 0.1, "{all} {rule}");
}

/// The demo's yoke is the solver's: its own figures are those of the optimum, and every size can be worn.
#[test]
fn the_demo_yoke_is_solved_and_can_be_worn() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-projects/quovvle-yoke.ron");
    let project = huegauge::file::load(&path).unwrap();
    let (pieces, gauge) = (&project.pieces.pieces, project.plan.gauge);
    let brief = PieceBrief::of(pieces, 2, &project.pieces.sizes, gauge, &project.pattern()).unwrap();
    let solution = yoke::solve(&brief.brief).unwrap();
    assert!(solution.proven);
    let mut bands = pieces[2].bands.clone();
    brief.write(&mut bands, &solution);
    let figures = |bands: &[Band]| -> Vec<String> {
        bands.iter().map(|band| format!("{}: {:?}", band.name, band.own)).collect()
    };
    for size in &project.pieces.sizes {
        let worked = project.work_pieces(size).unwrap();
        let gather = worked[2].gather(gauge).unwrap();
        assert!(gather.share <= Gather::COMFORTABLE, "{}: {gather:?}", size.name);
    }
    assert_eq!(figures(&pieces[2].bands), figures(&bands));
}
