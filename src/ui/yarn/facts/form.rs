//! What stands on the band, field by field.

use egui::{Button, CollapsingHeader, TextEdit, Ui};

use super::{FactsView, Which, in_every_colour, put};
use crate::app::Action;
use crate::project::{Edit, Project};
use crate::ui::theme::STEP;
use crate::ui::widgets::{
    NumberField, ball_field, caption, grist_field, name, number_row, one_of, part, row,
};
use crate::units::{Grams, LengthUnit, Metres, MetresPer100G};
use crate::yarn::{
    Blend, CareGroup, CareLabel, CareSymbol, CountSystem, Spin, SpinSystem, Tex, TwistAmount, TwistDirection,
    WeightClass, Yarn,
};

/// Shows the fields; a changed one is an edit of the project.
pub fn show(ui: &mut Ui, project: &Project, view: &mut FactsView, before: &Yarn, actions: &mut Vec<Action>) {
    let mut yarn = before.clone();
    let mut ended = false;
    text(ui, "Name", "Yarn name", &mut yarn.name, &mut ended);
    made_of(ui, view, &mut yarn, actions, &mut ended);
    sold(ui, project.units, &mut yarn, &mut ended);
    weighed_length(ui, project.units, view, &mut yarn, &mut ended);
    part(ui, "Thickness");
    class(ui, &mut yarn, &mut ended);
    wraps(ui, &mut yarn, &mut ended);
    part(ui, "Spin and ply");
    spin(ui, &mut yarn, &mut ended);
    part(ui, "Care label");
    care(ui, &mut yarn, actions, &mut ended);
    part(ui, "Notes");
    text(ui, "Dye lot", "Yarn dye lot", &mut yarn.lot, &mut ended);
    let notes = TextEdit::multiline(&mut yarn.notes).desired_rows(2).desired_width(f32::INFINITY);
    let response = ui.add(notes);
    name(&response, "Yarn notes");
    ended |= response.lost_focus();
    ui.add_space(STEP / 2.0);
    if yarn != *before {
        let mut material = project.material.clone();
        view.which.put(&mut material, Some(yarn));
        actions.push(Action::gesture("Yarn", Edit::Material(Box::new(material))));
    }
    if ended {
        actions.push(Action::EndGesture);
    }
    buttons(ui, project, view.which, before, actions);
    ui.add_space(STEP);
}

fn buttons(ui: &mut Ui, project: &Project, which: Which, yarn: &Yarn, actions: &mut Vec<Action>) {
    let differs =
        |slot: &crate::project::Slot| slot.yarn.put_up != yarn.put_up || slot.yarn.ball_price != yarn.price();
    if which == Which::Knitted && project.palette.slots().iter().any(differs) {
        let tip = "Metres, ball and price of every colour become those of this yarn";
        if ui.button("Use it for every colour").on_hover_text(tip).clicked() {
            actions.push(Action::edit("Yarn of every colour", in_every_colour(project, yarn)));
        }
    }
    if ui.button("Take this yarn out").clicked() {
        actions.push(put(project, "Take yarn out", which, None));
    }
}

fn text(ui: &mut Ui, title: &str, label: &str, value: &mut String, ended: &mut bool) {
    row(ui, title, |ui| {
        let response = ui.add(TextEdit::singleline(value).desired_width(f32::INFINITY));
        name(&response, label);
        *ended |= response.lost_focus();
    });
}

/// The blend is read when the field is left: half a word is no fibre.
fn made_of(ui: &mut Ui, view: &mut FactsView, yarn: &mut Yarn, actions: &mut Vec<Action>, ended: &mut bool) {
    row(ui, "Made of", |ui| {
        let mut typed = view.typed_blend.clone().unwrap_or_else(|| yarn.blend.name());
        let response = ui.add(TextEdit::singleline(&mut typed).desired_width(f32::INFINITY));
        name(&response, "Yarn fibre");
        if response.changed() {
            view.typed_blend = Some(typed);
        }
        if response.lost_focus()
            && let Some(typed) = view.typed_blend.take()
        {
            match Blend::parse(&typed) {
                Ok(blend) => yarn.blend = blend,
                Err(error) => actions.push(Action::Complain(error.to_string())),
            }
            *ended = true;
        }
    });
}

fn sold(ui: &mut Ui, units: LengthUnit, yarn: &mut Yarn, ended: &mut bool) {
    row(ui, "Length", |ui| {
        if let Some(grist) = grist_field(ui, "Yarn length in 100 g", units, yarn.put_up.grist, ended) {
            yarn.put_up.grist = grist;
        }
    });
    row(ui, "Put up in", |ui| {
        yarn.put_up = ball_field(ui, "Yarn ball", units, yarn.put_up, ended).unwrap_or(yarn.put_up);
    });
    let field = NumberField {
        label: "Price of a ball",
        suffix: " a ball",
        range: 0.0..=1e6,
        decimals: 2,
        speed: 0.1,
    };
    maybe(ui, "Price", "Price is known", &field, &mut yarn.ball_price, 5.0, ended);
}

/// The thickness of a yarn without a label: a measured length on the scales.
fn weighed_length(ui: &mut Ui, units: LengthUnit, view: &mut FactsView, yarn: &mut Yarn, ended: &mut bool) {
    CollapsingHeader::new("No label? Weigh a length").id_salt("weigh a length").show(ui, |ui| {
        let (metres, grams) = &mut view.weighed_length;
        let field = |label, suffix, range: (f64, f64)| NumberField {
            label,
            suffix,
            range: range.0..=range.1,
            decimals: 3,
            speed: 0.05,
        };
        let suffix = format!(" {}", units.yarn_suffix());
        let length = field("Weighed length", &suffix, (0.0, units.from_metres(1000.0)));
        if let Some(typed) = number_row(ui, "Length", &length, units.from_metres(*metres), &mut false) {
            *metres = units.to_metres(typed);
        }
        let suffix = format!(" {}", units.mass_suffix());
        let mass = field("Mass of the length", &suffix, (0.0, units.from_grams(1000.0)));
        if let Some(typed) = number_row(ui, "Weighs", &mass, units.from_grams(*grams), &mut false) {
            *grams = units.to_grams(typed);
        }
        match MetresPer100G::from_weighed(Metres::clamped(*metres), Grams::clamped(*grams)) {
            Ok(grist) => {
                let tex = Tex::from_grist(grist);
                let per_100_g = units.from_metres(grist.get());
                caption(
                    ui,
                    format!(
                        "{per_100_g:.0} {} in 100 g, {:.0} tex, Nm {:.2}.",
                        units.yarn_suffix(),
                        tex.get(),
                        tex.in_system(CountSystem::Nm)
                    ),
                );
                let enabled = yarn.put_up.grist != grist;
                if ui.add_enabled(enabled, Button::new("Take this thickness")).clicked() {
                    yarn.put_up.grist = grist;
                    *ended = true;
                }
            }
            Err(error) if *metres > 0.0 && *grams > 0.0 => {
                caption(ui, format!("This is no yarn: {error}. Check the length and the mass."));
            }
            Err(_) => {}
        }
        caption(ui, "Measure ten metres or more, on scales that read 0.1 g: less says little.");
    });
}

/// A figure that may not be known: ticked, it begins at `start`.
fn maybe(
    ui: &mut Ui,
    title: &str,
    known_label: &str,
    field: &NumberField,
    value: &mut Option<f64>,
    start: f64,
    ended: &mut bool,
) {
    row(ui, title, |ui| {
        let mut known = value.is_some();
        let tick = ui.checkbox(&mut known, "");
        name(&tick, known_label);
        if tick.changed() {
            *value = known.then_some(start);
            *ended = true;
        }
        match value {
            Some(number) => {
                *number = field.edited(ui, *number, ended).unwrap_or(*number);
            }
            None => {
                ui.weak("not known");
            }
        }
    });
}

fn class(ui: &mut Ui, yarn: &mut Yarn, ended: &mut bool) {
    let text = |class: Option<WeightClass>| {
        class.map_or_else(|| "not given".to_owned(), |class| format!("{}  {}", class.number(), class.name()))
    };
    row(ui, "Weight on the band", |ui| {
        let options =
            std::iter::once(None).chain(WeightClass::ALL.map(Some)).map(|class| (class, text(class)));
        one_of(
            ui,
            "Weight class on the band",
            &text(yarn.class_on_band),
            options,
            &mut yarn.class_on_band,
            ended,
        );
    });
}

fn wraps(ui: &mut Ui, yarn: &mut Yarn, ended: &mut bool) {
    let field = NumberField {
        label: "Measured wraps per inch",
        suffix: " per inch",
        range: 1.0..=200.0,
        decimals: 1,
        speed: 0.1,
    };
    let start = yarn.strand().wraps_per_inch()[1].round();
    maybe(ui, "Wraps", "Wraps are measured", &field, &mut yarn.wraps_per_inch, start, ended);
    caption(ui, "Wound on a ruler side by side, neither stretched nor pushed together.");
}

fn spin(ui: &mut Ui, yarn: &mut Yarn, ended: &mut bool) {
    let mut known = yarn.spin.is_some();
    if ui.checkbox(&mut known, "How it is spun is known").changed() {
        yarn.spin = known
            .then(|| Spin::new(SpinSystem::Worsted, 4, TwistDirection::Z, TwistAmount::Medium).ok())
            .flatten();
        *ended = true;
    }
    let Some(spin) = yarn.spin else { return };
    let (mut system, mut direction, mut amount) = (spin.system, spin.direction, spin.amount);
    let mut plies = f64::from(spin.plies());
    row(ui, "Spun", |ui| {
        let options = SpinSystem::ALL.iter().map(|s| (*s, s.name().to_owned()));
        one_of(ui, "Spun", system.name(), options, &mut system, ended);
    });
    let field = NumberField {
        label: "Plies",
        suffix: if plies == 1.0 { " (a single)" } else { " ply" },
        range: 1.0..=f64::from(Spin::MAX_PLIES),
        decimals: 0,
        speed: 0.05,
    };
    plies = number_row(ui, "Plies", &field, plies, ended).unwrap_or(plies);
    row(ui, "Twist", |ui| {
        let options = TwistAmount::ALL.iter().map(|a| (*a, a.name().to_owned()));
        one_of(ui, "Twist", amount.name(), options, &mut amount, ended);
    });
    row(ui, "Direction", |ui| {
        let options = TwistDirection::ALL.iter().map(|d| (*d, d.name().to_owned()));
        one_of(ui, "Direction of the twist", direction.name(), options, &mut direction, ended);
    });
    yarn.spin = Spin::new(system, plies.round() as u8, direction, amount).ok();
}

/// One choice for every group of the standard, and a tick for what may stand beside it.
fn care(ui: &mut Ui, yarn: &mut Yarn, actions: &mut Vec<Action>, ended: &mut bool) {
    for group in CareGroup::ALL.iter().copied() {
        let of_group = || CareSymbol::all().filter(move |symbol| symbol.group() == group);
        let is_main = |symbol: &CareSymbol| symbol.group() == group && !symbol.is_addition();
        let present = yarn.care.symbols().iter().copied().find(is_main);
        let mut changed: Option<Vec<CareSymbol>> = None;
        row(ui, group.name(), |ui| {
            let meaning = |symbol: Option<CareSymbol>| symbol.map_or("not on the label", CareSymbol::meaning);
            let label = format!("Care: {}", group.name().to_lowercase());
            let mut chosen = present;
            let options = std::iter::once(None)
                .chain(of_group().filter(|symbol| !symbol.is_addition()).map(Some))
                .map(|symbol| (symbol, meaning(symbol).to_owned()));
            ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Truncate);
            one_of(ui, &label, meaning(present), options, &mut chosen, ended);
            if chosen != present {
                let others = yarn.care.symbols().iter().copied().filter(|symbol| !is_main(symbol));
                changed = Some(others.chain(chosen).collect());
            }
        });
        for addition in of_group().filter(|symbol| symbol.is_addition()) {
            let mut ticked = yarn.care.symbols().contains(&addition);
            if ui.checkbox(&mut ticked, addition.meaning()).changed() {
                let others = yarn.care.symbols().iter().copied().filter(|symbol| *symbol != addition);
                changed = Some(others.chain(ticked.then_some(addition)).collect());
                *ended = true;
            }
        }
        match changed.map(CareLabel::new) {
            Some(Ok(label)) => yarn.care = label,
            Some(Err(error)) => actions.push(Action::Complain(error.to_string())),
            None => {}
        }
    }
}
