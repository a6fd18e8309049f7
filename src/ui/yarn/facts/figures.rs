//! What follows from the band: thickness, class, cover, meaning, spin and care, each with its source.

use egui::{CollapsingHeader, Label, RichText, Sense, Ui, Vec2};

use crate::app::Action;
use crate::app::state::State;
use crate::knit::{ClassMeaning, Cover, LOOP_LENGTH_SOURCE, class_width_cm, gauge_told};
use crate::plain_text::signed;
use crate::project::Project;
use crate::ui::theme::{STEP, Tokens};
use crate::ui::widgets::{caption, care_line, gift_tag, heading};
use crate::units::{LengthUnit, METRES_PER_YARD};
use crate::yarn::{
    Airiness, CAUTION_DEFERS, CareLabel, CountSystem, KnownClass, SPIN_SOURCE, Span, SpinAppraisal,
    WeightClass, Yarn, cautions,
};

/// Source of the diameter (`yarn::strand`).
const DIAMETER_SOURCE: &str = "d = √(4 tex / (π · 1000 · density · packing)), geometry; packing from Ashenhurst's diameters per inch. \
     Checked against a published worked example.";
/// Source of the cover figures (`knit::cover`).
const COVER_SOURCE: &str = "Tightness: √tex over loop length in cm (Munden 1962). The densest plain loop: Peirce, Text. Res. J. 17 (1947) 123, \
     from memory. Hand knits commonly lie at 9 to 13 (from memory).";
/// Source of what a class means (`knit::class_meaning`).
const MEANING_SOURCE: &str = "Stitch sizes from the published gauge of the class; time goes with the stitches; grams by the wet relaxed loop \
     model at tightness 11. The example is a grown-up's pullover of 9570 cm². Drape and warmth: common practice, no \
     published source.";

/// Shows the figures of a yarn at the project's gauge.
pub fn show(ui: &mut Ui, state: &State, yarn: &Yarn, actions: &mut Vec<Action>) {
    let project = state.project();
    ui.set_max_width(ui.available_width().min(620.0));
    thickness(ui, yarn, project.units);
    ui.add_space(STEP);
    class(ui, yarn, project.units);
    ui.add_space(STEP);
    cover(ui, project, yarn);
    ui.add_space(STEP);
    meaning(ui, state, yarn.weight_class().class());
    ui.add_space(STEP);
    spin(ui, yarn);
    ui.add_space(STEP);
    care(ui, project, yarn, actions);
    ui.add_space(STEP);
}

/// A figure and where it comes from, on hover.
fn fact(ui: &mut Ui, what: &str, value: &str, source: &str) {
    ui.horizontal_top(|ui| {
        let width = 168.0;
        ui.allocate_ui_with_layout(
            Vec2::new(width, 18.0),
            egui::Layout::left_to_right(egui::Align::TOP),
            |ui| {
                ui.set_width(width);
                ui.add(Label::new(RichText::new(what).color(Tokens::of(ui).weak)).truncate());
            },
        );
        ui.add(Label::new(value).wrap().sense(Sense::hover())).on_hover_text(source);
    });
}

fn thickness(ui: &mut Ui, yarn: &Yarn, units: LengthUnit) {
    heading(ui, "Thickness");
    let strand = yarn.strand();
    let in_system = |system: CountSystem| strand.tex.in_system(system);
    let counts = format!(
        "{:.0} tex, Nm {:.2}, Ne {:.2}, {:.0} m or {:.0} yd per 100 g",
        in_system(CountSystem::Tex),
        in_system(CountSystem::Nm),
        in_system(CountSystem::Ne),
        in_system(CountSystem::MetresPer100G),
        in_system(CountSystem::YardsPer100G),
    );
    fact(ui, "Count", &counts, "Definitions: ISO 1144 (tex), ISO 2947 (indirect counts).");
    let mm = strand.pressed_mm();
    let diameter = match units {
        LengthUnit::Metric => format!("{mm:.2} mm in the stitch"),
        LengthUnit::Imperial => format!("{:.3} in ({mm:.2} mm) in the stitch", mm / 25.4),
    };
    fact(ui, "Diameter", &diameter, DIAMETER_SOURCE);
    let [low, likely, high] = strand.wraps_per_inch();
    let wraps = format!("{likely:.0} per inch to expect ({low:.0} to {high:.0})");
    fact(
        ui,
        "Wraps",
        &wraps,
        "From the published wraps per inch of classes 1 to 5 and their traded metres; a rough guide.",
    );
    if let Some(measured) = yarn.wraps() {
        let words = match strand.airiness(measured) {
            Airiness::Airy => "airy for its mass: covers well, warm and light",
            Airiness::Usual => "as usual for its mass",
            Airiness::Dense => "dense for its mass: heavier, and stitches stand out",
        };
        fact(
            ui,
            "Measured",
            &format!("{measured:.1} per inch: {words}"),
            "Your own count against the expected range.",
        );
    }
}

fn class(ui: &mut Ui, yarn: &Yarn, units: LengthUnit) {
    heading(ui, "Weight class");
    let known = yarn.weight_class();
    let class = known.class();
    let facts = class.facts();
    let how = match known {
        KnownClass::Given(_) => "as on the band",
        KnownClass::FromGrist(_) => "from the metres, whose traded ranges overlap",
    };
    fact(ui, "Class", &format!("{}, {} ({how})", class.number(), class.name()), &facts.grist_source);
    let neighbours = WeightClass::for_grist(yarn.put_up.grist).classes;
    if neighbours.len() > 1 {
        let names: Vec<String> = neighbours.iter().map(|c| format!("{} {}", c.number(), c.name())).collect();
        fact(ui, "By the metres also", &names.join(", "), &facts.grist_source);
    }
    let gauge = match units {
        LengthUnit::Metric => format!("{} stitches in 10 cm", rounded(class.stitches_per_10_cm())),
        LengthUnit::Imperial => format!("{} stitches in 4 in", facts.stitches_per_4_in),
    };
    fact(ui, "Gauge", &gauge, &facts.source);
    fact(ui, "Needles", &format!("{} mm (US {})", facts.needle_mm, facts.needle_us), &facts.source);
    fact(ui, "Wraps of the class", &format!("{} per inch", facts.wraps_per_inch), &facts.source);
    fact(ui, "Also called", &format!("{}; by the older count {}", facts.types, facts.ply), &facts.source);
}

/// A span in whole numbers.
fn rounded(span: Span) -> Span {
    Span { from: span.from.map(f64::round), to: span.to.map(f64::round) }
}

fn cover(ui: &mut Ui, project: &Project, yarn: &Yarn) {
    let gauge = project.plan.gauge;
    heading(ui, &format!("At your gauge, {}", gauge_told(gauge, project.units)));
    let cover = Cover::new(yarn.strand(), gauge, Some(project.loop_basis().length.likely));
    fact(ui, "Cover", cover.verdict.words(), COVER_SOURCE);
    let tightness =
        format!("{:.1}, {:.0} % of the tightest loop", cover.tightness, cover.share_of_jammed * 100.0);
    fact(ui, "Tightness", &tightness, COVER_SOURCE);
    let loop_text = match project.units {
        LengthUnit::Metric => format!("{:.2} cm of yarn", cover.loop_cm),
        LengthUnit::Imperial => format!("{:.2} in of yarn", project.units.from_cm(cover.loop_cm)),
    };
    let basis = project.loop_basis();
    let source = match basis.swatch {
        Some(_) => basis.words(project.units),
        None => LOOP_LENGTH_SOURCE.to_owned(),
    };
    fact(ui, "A stitch takes", &loop_text, &source);
    let mass = match project.units {
        LengthUnit::Metric => format!("{:.0} g/m² plain", cover.grams_per_m2),
        LengthUnit::Imperial => format!(
            "{:.1} oz/yd² ({:.0} g/m²) plain",
            project.units.from_grams(cover.grams_per_m2) * METRES_PER_YARD * METRES_PER_YARD,
            cover.grams_per_m2
        ),
    };
    let tip = "Stitches in a square metre, times the yarn in a stitch, times its mass (a textile handbook). Floats and \
               ribbing add to it.";
    fact(ui, "Fabric weighs", &mass, tip);
}

fn meaning(ui: &mut Ui, state: &State, class: WeightClass) {
    let units = state.project().units;
    heading(ui, &format!("What class {} means", class.number()));
    let meaning = ClassMeaning::of(class);
    let tenths = |span: Span, factor: f64| {
        let round = |v: f64| (v * factor * 10.0).round() / 10.0;
        Span { from: span.from.map(round), to: span.to.map(round) }
    };
    let stitch = match units {
        LengthUnit::Metric => format!("{} mm wide", tenths(meaning.stitch_mm, 1.0)),
        LengthUnit::Imperial => format!("{} to the inch", tenths(class.stitches_per_10_cm(), 0.254)),
    };
    let circle = match state.desks.smallest_circle(state.project().plan.gauge, &state.jobs).value() {
        None => String::new(),
        Some(across) => across.map_or_else(
            || "None at this proportion".to_owned(),
            |across| {
                let cm = class_width_cm(class, across);
                format!("{} {} across", tenths(cm, units.from_cm(1.0)), units.length_suffix())
            },
        ),
    };
    fact(ui, "One stitch", &stitch, MEANING_SOURCE);
    fact(
        ui,
        "Smallest circle",
        &circle,
        "The smallest that can be told for a circle (motif fit), over the gauge of the class, in the proportion of your \
         stitches.",
    );
    let thousands = rounded(meaning.sweater_thousand_stitches);
    fact(ui, "A pullover", &format!("{thousands} thousand stitches"), MEANING_SOURCE);
    let time = tenths(meaning.time_against_light, 1.0);
    fact(ui, "Time against class 3", &format!("{time} times"), MEANING_SOURCE);
    let mass = match units {
        LengthUnit::Metric => {
            let tens = |v: f64| (v / 10.0).round() * 10.0;
            let span =
                Span { from: meaning.sweater_grams.from.map(tens), to: meaning.sweater_grams.to.map(tens) };
            format!("{span} g")
        }
        LengthUnit::Imperial => {
            format!("{} oz", rounded(meaning.sweater_grams.scaled(units.from_grams(1.0))))
        }
    };
    fact(ui, "It weighs", &mass, MEANING_SOURCE);
    fact(ui, "Drape", meaning.drape, MEANING_SOURCE);
    fact(ui, "Warmth", meaning.warmth, MEANING_SOURCE);
}

fn spin(ui: &mut Ui, yarn: &Yarn) {
    heading(ui, "Spin and ply");
    let Some(spin) = yarn.spin else {
        caption(
            ui,
            "Not described. Say how it is spun and plied to see what that does to wear, stitches, drape and slant.",
        );
        return;
    };
    ui.label(spin.name()).on_hover_text(SPIN_SOURCE);
    for appraisal in spin.appraise_all() {
        effect(ui, &appraisal);
    }
    caption(ui, SPIN_SOURCE);
}

/// One effect: its word, and opened up the steps that make it.
fn effect(ui: &mut Ui, appraisal: &SpinAppraisal) {
    let title = format!("{}: {}", appraisal.effect.name(), appraisal.word());
    CollapsingHeader::new(title).id_salt(appraisal.effect.key()).show(ui, |ui| {
        for step in &appraisal.steps {
            ui.add(Label::new(RichText::new(format!("{}  {}", signed(step.by, 2), step.why)).small()).wrap());
        }
    });
}

fn care(ui: &mut Ui, project: &Project, yarn: &Yarn, actions: &mut Vec<Action>) {
    heading(ui, "Care and cautions");
    gift_tag(ui, actions);
    if yarn.care == CareLabel::default() {
        caption(ui, "No label is recorded. Keep the band; it decides.");
    }
    for symbol in yarn.care.symbols() {
        care_line(ui, symbol.group(), symbol.meaning(), &symbol.provenance());
    }
    if let Some(unread) = yarn.care.unread_words() {
        ui.add(Label::new(unread).wrap());
    }
    let needs = project.material.needs.unwrap_or(crate::yarn::Needs::preset(crate::yarn::PieceKind::Own));
    for caution in cautions(needs, &yarn.blend, &yarn.care) {
        ui.add(
            Label::new(RichText::new(format!("{}. {}", caution.topic.name(), caution.text)).small()).wrap(),
        );
    }
    caption(ui, CAUTION_DEFERS);
}
