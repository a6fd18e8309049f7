//! The shopping card: its size, its letters, its colours, and what stands on it.

use std::sync::Arc;

use huegauge::colour::Colour;
use huegauge::export::drawing::{Drawing, Item, Text};
use huegauge::export::{card, png, raster, text};
use huegauge::file;
use huegauge::project::Project;
use huegauge::project::shopping::Shopping;
use huegauge::units::{LengthUnit, Price};
use huegauge::yarn::{ColourSource, PutUp, Shade, ShadeCard, Stock};

/// The yoke in colours that are wishes so far: no cards, no shades.
fn yoke() -> Project {
    let mut project = file::demos()[0].project().unwrap();
    project.shade_cards.clear();
    for slot in project.palette.slots_mut() {
        slot.chosen_shade = None;
    }
    project
}

fn card_of(project: &Project) -> Drawing {
    card::draw(project, &Shopping::of(project, None, None).unwrap())
}

fn texts(drawing: &Drawing) -> Vec<&Text> {
    let items = drawing.layers.iter().flat_map(|layer| &layer.items);
    items.filter_map(|item| if let Item::Text(text) = item { Some(text) } else { None }).collect()
}

/// All words in order; a line that was broken reads as one.
fn words(drawing: &Drawing) -> String {
    texts(drawing).iter().map(|text| text.text.as_str()).collect::<Vec<_>>().join(" ")
}

/// A project knitted in a shade of an invented card with a near stand-in.
fn shaded() -> Project {
    let mut project = yoke();
    let shade = |name: &str, hex: &str| Shade {
        code: format!("no. {}", name.len()),
        source: ColourSource::Photo,
        uncertainty: 4.0,
        put_up: PutUp::new(400.0, 50.0).ok(),
        ball_price: Price::new(6.5).ok(),
        ..Shade::new(name, Colour::from_hex(hex).unwrap())
    };
    let own = Shade { stock: Stock::Owned(2), dye_lot: "417".to_owned(), ..shade("Dull bucket", "#e9e4d8") };
    let shades = vec![own.clone(), shade("Clean plate", "#eae6dd"), shade("Spare tyre", "#2b2b2b")];
    project.shade_cards.push(Arc::new(ShadeCard::new("Crooked Ladder", shades).unwrap()));
    project.palette.slots_mut()[0].knit_in(Arc::new(own));
    project
}

#[test]
fn it_is_as_wide_as_a_phone_and_every_word_is_inside() {
    for project in [yoke(), shaded()] {
        let drawing = card_of(&project);
        assert_eq!(drawing.width, 1080.0);
        assert!(drawing.height > drawing.width, "portrait");
        for line in texts(&drawing) {
            let right = line.x + text::width(&line.text, line.size, line.weight);
            assert!(right <= drawing.width - 40.0, "'{}' ends at {right}", line.text);
            assert!(line.y < drawing.height - 20.0);
        }
    }
}

/// ISO 9241-303 (from memory): letters of at least 16 minutes of arc, here from half a metre, on a
/// screen 65 mm wide.
#[test]
fn the_smallest_letters_are_legible_at_arms_length() {
    let drawing = card_of(&shaded());
    for line in texts(&drawing) {
        let capital_mm = line.size * text::CAP_HEIGHT * drawing.unit_mm;
        let minutes = (capital_mm / 500.0).atan().to_degrees() * 60.0;
        assert!(minutes >= 15.9, "'{}' has {minutes:.1} minutes of arc", line.text);
    }
}

#[test]
fn lines_do_not_run_into_each_other() {
    let drawing = card_of(&shaded());
    let lines = texts(&drawing);
    for (i, a) in lines.iter().enumerate() {
        for b in &lines[..i] {
            let wide = |line: &Text| line.x + text::width(&line.text, line.size, line.weight);
            let beside = a.x >= wide(b) || b.x >= wide(a);
            // The capitals of the lower line begin below the baseline of the upper one.
            let (upper, lower) = if a.y < b.y { (a, b) } else { (b, a) };
            let clear = lower.y - lower.size * text::CAP_HEIGHT >= upper.y;
            assert!(beside || clear, "'{}' and '{}'", upper.text, lower.text);
        }
    }
}

#[test]
fn every_colour_stands_there_with_its_amount_and_in_words() {
    let project = yoke();
    let shopping = Shopping::of(&project, None, None).unwrap();
    let drawing = card_of(&project);
    let said = words(&drawing);
    for (slot, yarn) in project.palette.slots().iter().zip(&shopping.yarn.colours) {
        assert!(said.contains(&slot.name), "{}", slot.name);
        assert!(said.contains(&slot.colour.words()), "{}", slot.colour.words());
        assert!(said.contains(&format!("{:.0} m", yarn.metres().high)));
    }
    assert!(said.contains("5 balls") && said.contains("6.80 each, 34.00 together"), "{said}");
    assert!(said.contains("400 m on hand, taken off") && said.contains("Lot on hand not noted"), "{said}");
    assert!(said.contains("Size M") && said.contains("A wish so far"), "{said}");
}

#[test]
fn the_pixels_hold_every_colour_and_the_marks_differ_without_colour() {
    let project = yoke();
    let drawing = card_of(&project);
    let mut bytes = Vec::new();
    png::write(&drawing, &mut bytes).unwrap();
    let picture = image::load_from_memory(&bytes).unwrap().to_rgb8();
    assert_eq!(picture.dimensions(), raster::pixel_size(&drawing, 1.0));
    let mut looks = Vec::new();
    for slot in project.palette.slots() {
        let wanted = slot.colour.to_srgb8();
        let count = picture.pixels().filter(|pixel| pixel.0 == wanted).count();
        // A swatch is 336 px wide; its mark takes some of it.
        assert!(count > 50_000, "{}: {count} pixels", slot.name);
        looks.push(slot.symbol);
    }
    looks.dedup();
    assert_eq!(looks.len(), project.palette.slots().len());
}

#[test]
fn a_shade_says_how_sure_it_is_and_what_could_stand_in() {
    let said = words(&card_of(&shaded()));
    assert!(said.contains("Dull bucket"), "{said}");
    assert!(said.contains("Read off a photograph, within 4 (CIEDE2000): similar, not the same"), "{said}");
    assert!(said.contains("400 m on hand, taken off") && said.contains("Ask for dye lot 417"), "{said}");
    assert!(said.contains("Clean plate no. 11") && said.contains("on Crooked Ladder"), "{said}");
    assert!(said.contains("show colours only"), "{said}");
    assert!(!said.contains("Spare tyre"), "black is no stand-in for a pale bucket");

    let mut several = shaded();
    several.shade_cards.push(Arc::new(ShadeCard::new("Second card", Vec::new()).unwrap()));
    let said = words(&card_of(&several));
    assert!(said.contains("off, 6.50 Crooked Ladder"), "with several cards each shade names its own: {said}");
}

#[test]
fn yards_and_ounces_for_an_imperial_project() {
    let project = Project { units: LengthUnit::Imperial, ..yoke() };
    let said = words(&card_of(&project));
    assert!(said.contains("yd") && said.contains("1.76 oz") && !said.contains(" m,"), "{said}");
}

#[test]
fn a_palette_of_sixty_four_long_names_fits() {
    let mut project = yoke();
    while project.palette.slots().len() < 64 {
        let mut slot = project.palette.slots()[1].clone();
        slot.name = "A very long name for a colour that nobody could dye twice".repeat(2);
        let edit = project.with_slot(slot).unwrap();
        project.apply(edit);
    }
    let height = project.chart.grid.height();
    for slot in 0..64_u32 {
        let at = huegauge::chart::Point::new(slot % 24, slot / 24 % height);
        project.chart.grid.set(at, huegauge::chart::Cell::slot(slot as u8));
    }
    let drawing = card_of(&project);
    let (width, height) = raster::pixel_size(&drawing, 1.0);
    png::check_size(width, height).unwrap();
}
