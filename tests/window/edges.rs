//! What can be filled in is seen: the painted edge of every box to tick and of every field, in every place that can
//! hold one, against what it stands on.

use std::collections::BTreeSet;
use std::path::Path;

use egui::accesskit::Role;
use egui::{Rect, Vec2, pos2, vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use huegauge::app::exports::Export;
use huegauge::app::purpose::Purpose;
use huegauge::app::view::{Fold, ThemeChoice};
use huegauge::app::{Action, Command};
use image::RgbaImage;

use crate::screen::{Screen, ask, click, control, enter, open_drawn, settle, wait_for};
use crate::software_renderer::SoftwareRenderer;

/// The boxes that must be among those looked at.
const BOXES: [&str; 18] = [
    "A gift",
    "Accept yarn 1",
    "Appendix: sums and sources of the figures",
    "Ghost repeats",
    "Ground",
    "How it is spun is known",
    "In greys, by lightness alone",
    "It is a gift",
    "Knitted",
    "Metres and ball known",
    "Numbers",
    "Only what can be had",
    "So the piece will be washed and dried",
    "Symbols",
    "Symbols, so that it reads without colour",
    "Whole swatch weighed",
    "at most",
    "mix colours stitch by stitch",
];

/// What can be filled in: its name, where its edge is, and whether it can be used now.
struct Edged {
    label: String,
    role: Role,
    edge: Rect,
    disabled: bool,
}

/// Everything in sight that has an edge.
fn edged(screen: &Screen) -> Vec<Edged> {
    let side = screen.ctx.global_style().spacing.icon_width;
    let window = screen.ctx.content_rect();
    let nodes = screen.query_all_by(|node| {
        use Role::{CheckBox, ComboBox, MultilineTextInput, RadioButton, SpinButton, TextInput};
        matches!(node.role(), CheckBox | ComboBox | MultilineTextInput | RadioButton | SpinButton | TextInput)
    });
    let found = nodes.filter_map(|node| {
        let (role, rect) = (node.accesskit_node().role(), node.rect());
        let is_box = matches!(role, Role::CheckBox | Role::RadioButton);
        let at = pos2(rect.left() + side / 2.0, rect.center().y);
        let edge = if is_box { Rect::from_center_size(at, vec2(side, side)) } else { rect };
        let label = node.accesskit_node().label().unwrap_or_default();
        let disabled = node.accesskit_node().is_disabled();
        Some(Edged { label, role, edge, disabled })
            .filter(|it| window.contains_rect(edge.expand(4.0)) && is_painted(screen, it))
    });
    found.collect()
}

/// Whether its shape is among what is painted, whole, and nothing lies over it: most of a long form is scrolled out of
/// sight, and what lies behind a question is dim.
fn is_painted(screen: &Screen, it: &Edged) -> bool {
    let shapes = &screen.output().shapes;
    let own = shapes.iter().rposition(|clipped| {
        let bounds = match &clipped.shape {
            egui::Shape::Rect(shape) => shape.rect,
            egui::Shape::Circle(shape) => {
                Rect::from_center_size(shape.center, Vec2::splat(2.0 * shape.radius))
            }
            _ => return false,
        };
        let off = (bounds.min - it.edge.min).length().max((bounds.max - it.edge.max).length());
        off < 3.0 && clipped.clip_rect.expand(0.5).contains_rect(bounds)
    });
    // The control's own parts, its box and its mark, are no larger than it.
    let own_part = it.edge.expand(4.0);
    let covers = |clipped: &egui::epaint::ClippedShape| {
        filled(&clipped.shape)
            .into_iter()
            .map(|rect| rect.shrink(4.0).intersect(clipped.clip_rect))
            .any(|rect| rect.intersects(it.edge) && !own_part.contains_rect(rect))
    };
    own.is_some_and(|own| !shapes[own + 1..].iter().any(covers))
}

/// The rectangles of a shape that hide something.
fn filled(shape: &egui::Shape) -> Vec<Rect> {
    match shape {
        egui::Shape::Rect(shape) if shape.fill.a() > 0 => vec![shape.rect],
        egui::Shape::Vec(shapes) => shapes.iter().flat_map(filled).collect(),
        _ => Vec::new(),
    }
}

/// Relative luminance of WCAG 2.
fn luminance(picture: &RgbaImage, x: f32, y: f32) -> f64 {
    let pixel = picture.get_pixel(x as u32, y as u32);
    let light = |byte: u8| {
        let v = f64::from(byte) / 255.0;
        if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * light(pixel[0]) + 0.7152 * light(pixel[1]) + 0.0722 * light(pixel[2])
}

/// The contrast of the faintest side of an edge with the ground around it.
fn contrast(picture: &RgbaImage, edge: Rect) -> f64 {
    // The middle of a side and two places beside it, and the way from there inwards.
    let sides = [
        (edge.left_center(), vec2(1.0, 0.0)),
        (edge.right_center(), vec2(-1.0, 0.0)),
        (edge.center_top(), vec2(0.0, 1.0)),
        (edge.center_bottom(), vec2(0.0, -1.0)),
    ];
    let places = sides.map(|(middle, inwards)| {
        let along = vec2(inwards.y, inwards.x);
        [-2.0, 0.0, 2.0].map(|step| (middle + along * step, inwards))
    });
    let at = |(place, inwards): (egui::Pos2, egui::Vec2), deep: f32| {
        let p = place + inwards * deep;
        luminance(picture, p.x, p.y)
    };
    let mut around: Vec<f64> = places.iter().flatten().map(|place| at(*place, -2.5)).collect();
    around.sort_by(f64::total_cmp);
    let ground = around[around.len() / 2];
    let ratio = |light: f64| (light.max(ground) + 0.05) / (light.min(ground) + 0.05);
    let strongest =
        |place| [-0.5, 0.5, 1.5].map(|deep| ratio(at(place, deep))).into_iter().fold(1.0, f64::max);
    places
        .iter()
        .map(|side| side.iter().map(|place| strongest(*place)).fold(1.0, f64::max))
        .fold(f64::MAX, f64::min)
}

/// Looks at all that is in sight in both themes; the boxes that were seen.
fn look(
    screen: &mut Screen,
    renderer: &SoftwareRenderer,
    place: &str,
    seen: &mut BTreeSet<String>,
    faint: &mut Vec<String>,
) {
    for theme in [ThemeChoice::Light, ThemeChoice::Dark] {
        screen.state_mut().as_mut().unwrap().program.state.theme = theme;
        // Away from everything: what is under the pointer is another look.
        screen.hover_at(pos2(1.0, 1.0));
        settle(screen);
        let all = edged(screen);
        assert!(!all.is_empty(), "{place} in {theme:?}: nothing to fill in");
        let areas: Vec<Rect> = all.iter().map(|it| it.edge.expand(4.0)).collect();
        let picture = renderer.parts(screen, &areas);
        for it in all {
            let found = contrast(&picture, it.edge);
            let least = if it.disabled { 1.4 } else { 3.0 };
            if found < least {
                faint
                    .push(format!("{place}, {theme:?}: {:?} '{}' {found:.2} {}", it.role, it.label, it.edge));
            }
            if it.role == Role::CheckBox {
                seen.insert(it.label);
            }
        }
    }
}

/// A place to go to in the window; the folder is for what must be opened there.
pub type Way = (&'static str, fn(&mut Screen, &Path));

fn pick(screen: &mut Screen, purpose: Purpose, path: &Path, then: &str) {
    ask(screen, Action::PathEntered(purpose, path.to_owned()));
    wait_for(screen, then);
}

const ROOMS: [Way; 12] = [
    ("Design", |screen, _| ask(screen, Action::Fold(Fold::Fit))),
    ("Fibre", |screen, _| click(screen, "Fibre")),
    ("Yarn", |screen, _| click(screen, "Yarn")),
    ("How it is spun", |screen, _| {
        click(screen, "Yarn");
        click(screen, "How it is spun is known");
    }),
    ("Side by side", |screen, _| {
        click(screen, "Yarn");
        click(screen, "Side by side");
    }),
    ("Sets of shades", |screen, _| {
        click(screen, "Yarn");
        click(screen, "Sets of shades");
    }),
    ("Shade cards", |screen, _| {
        click(screen, "Yarn");
        click(screen, "Shade cards");
        let row = screen.query_all_by_role(Role::ListBoxOption).next().unwrap().rect().center();
        crate::screen::press(screen, row);
    }),
    ("From a photograph", |screen, _| {
        click(screen, "Yarn");
        click(screen, "From a photograph");
        click(screen, "Open the demo photograph");
        click(screen, "Place it by figures");
        for (label, figure) in crate::photograph::CARD {
            enter(screen, label, figure);
        }
        click(screen, "Find the yarns");
    }),
    ("Swatch", |screen, _| click(screen, "Swatch")),
    ("Bands", |screen, _| click(screen, "Pieces")),
    ("A whole piece", |screen, _| {
        click(screen, "Pieces");
        click(screen, "Whole piece");
    }),
    ("Shopping", |screen, _| click(screen, "Shopping")),
];

/// Menus and questions that hold something to fill in.
pub const OPENED: [Way; 12] = [
    ("Look", |screen, _| click(screen, "Look")),
    ("Symmetry", |screen, _| click(screen, "Symmetry")),
    ("Motif library", |screen, _| ask(screen, Action::Command(Command::MotifLibrary))),
    ("New project", |screen, _| ask(screen, Action::Command(Command::New))),
    ("Title and designer", |screen, _| ask(screen, Action::Command(Command::Describe))),
    ("Chart size", |screen, _| ask(screen, Action::Command(Command::ResizeChart))),
    ("Colourways", |screen, _| ask(screen, Action::Command(Command::Colourways))),
    ("Mend floats", |screen, _| ask(screen, Action::Command(Command::MendFloats))),
    ("Across weights", |screen, _| ask(screen, Action::Command(Command::AcrossWeights))),
    ("Keep as motif", |screen, _| {
        let chart = &mut screen.state_mut().as_mut().unwrap().program.view.chart;
        chart.region = Some(huegauge::chart::Rect::new(2, 6, 15, 12));
        ask(screen, Action::Command(Command::KeepAsMotif));
    }),
    ("Picture", |screen, dir| {
        let path = dir.join("stripes.png");
        image::RgbImage::from_fn(60, 60, |_, y| {
            image::Rgb(if y < 30 { [200, 30, 40] } else { [20, 40, 120] })
        })
        .save(&path)
        .unwrap();
        pick(screen, Purpose::ChartPicture, &path, "on average");
    }),
    ("Outline", |screen, dir| {
        let path = dir.join("gate.svg");
        let gate =
            "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 40 40'><path d='M0 40L20 0L40 40Z'/></svg>";
        std::fs::write(&path, gate).unwrap();
        pick(screen, Purpose::Outline, &path, "are kept");
    }),
];

#[test]
fn the_edge_of_all_that_can_be_filled_in_reaches_three_to_one() {
    let dir = tempfile::tempdir().unwrap();
    let (mut seen, mut faint) = (BTreeSet::new(), Vec::new());
    let (mut screen, renderer) = open_drawn(vec2(1280.0, 1400.0));
    for (place, go) in OPENED {
        go(&mut screen, dir.path());
        look(&mut screen, &renderer, place, &mut seen, &mut faint);
        ask(&mut screen, Action::CloseDialog);
        egui::Popup::close_all(&screen.ctx);
        screen.state_mut().as_mut().unwrap().program.view.motifs_open = false;
        settle(&mut screen);
    }
    for export in Export::ALL {
        ask(&mut screen, Action::Command(Command::Export(export)));
        if !edged(&screen).is_empty() {
            look(&mut screen, &renderer, export.info().name, &mut seen, &mut faint);
        }
        ask(&mut screen, Action::CloseDialog);
    }
    for (place, go) in ROOMS {
        go(&mut screen, dir.path());
        look(&mut screen, &renderer, place, &mut seen, &mut faint);
    }
    assert!(faint.is_empty(), "{} too faint:\n{}", faint.len(), faint.join("\n"));
    let missed: Vec<&str> = BOXES.into_iter().filter(|label| !seen.contains(*label)).collect();
    assert!(missed.is_empty(), "not looked at: {missed:?} among {seen:?}");
}

#[test]
fn a_box_in_a_menu_keeps_its_edge_under_the_pointer_and_with_the_keyboard() {
    let (mut screen, renderer) = open_drawn(vec2(1280.0, 800.0));
    for theme in [ThemeChoice::Light, ThemeChoice::Dark] {
        screen.state_mut().as_mut().unwrap().program.state.theme = theme;
        click(&mut screen, "Look");
        for by_keys in [false, true] {
            let at = control(&screen, "Symbols").rect().center();
            if by_keys {
                screen.hover_at(pos2(1.0, 1.0));
                control(&screen, "Symbols").focus();
            } else {
                screen.hover_at(at);
            }
            settle(&mut screen);
            let it = edged(&screen).into_iter().find(|it| it.label == "Symbols").expect("it is in sight");
            let picture = renderer.parts(&screen, &[it.edge.expand(4.0)]);
            let found = contrast(&picture, it.edge);
            assert!(found >= 3.0, "{theme:?}, by keys {by_keys}: {found:.2}");
        }
        egui::Popup::close_all(&screen.ctx);
        settle(&mut screen);
    }
}

#[test]
fn a_pale_swatch_keeps_an_edge_of_three_to_one() {
    let mut screen = crate::screen::open_sized(vec2(1280.0, 1400.0));
    let [r, g, b] = crate::screen::project(&screen).palette.slots()[0].colour.to_srgb8();
    let ivory = egui::Color32::from_rgb(r, g, b);
    for (theme, ground) in [(ThemeChoice::Light, 246.0), (ThemeChoice::Dark, 37.0)] {
        screen.state_mut().as_mut().unwrap().program.state.theme = theme;
        screen.hover_at(pos2(1.0, 1.0));
        settle(&mut screen);
        let light = |byte: f64| ((byte / 255.0 + 0.055) / 1.055).powf(2.4) + 0.05;
        let mut swatches = 0;
        for clipped in &screen.output().shapes {
            let egui::Shape::Rect(shape) = &clipped.shape else { continue };
            if shape.fill == ivory {
                let (edge, ground) = (light(f64::from(shape.stroke.color.r())), light(ground));
                let ratio = edge.max(ground) / edge.min(ground);
                assert!(ratio >= 3.0, "{theme:?}: {} {ratio:.2}", shape.rect);
                swatches += 1;
            }
        }
        // The row of colours, the list, the symbol, the yarn.
        assert!(swatches >= 4, "{theme:?}: {swatches}");
    }
}
