//! What stands on the band, field by field.

use egui::{Button, CollapsingHeader, Ui};

use super::{FactsView, Which, put};
use crate::app::Action;
use crate::app::state::State;
use crate::project::{Edit, Project};
use crate::ui::theme::STEP;
use crate::ui::widgets::{
    Drafted, Form, NumberField, caption, part, price_row, put_up_rows, reserved_caption, tick_box,
    variation_rows,
};
use crate::units::{Grams, LengthUnit, Metres, MetresPer100G};
use crate::yarn::{
    Blend, CareGroup, CareSymbol, CountSystem, MAX_TEXT, Spin, SpinSystem, Tex, TwistAmount, TwistDirection,
    WeightClass, Yarn,
};

/// Shows the fields; a changed one is an edit of the project.
pub fn show(ui: &mut Ui, state: &State, view: &mut FactsView, before: &Yarn, actions: &mut Vec<Action>) {
    let project = state.project();
    let mut yarn = before.clone();
    let form = &mut Form::new(ui);
    form.text("Name", "Yarn name", &mut yarn.name);
    made_of(form, view, &mut yarn, actions);
    sold(form, project, &mut yarn);
    if view.which == Which::Knitted {
        every_colour(form, project, before, actions);
    }
    weighed_length(form, project.units, view, &mut yarn);
    part(form, "Thickness");
    class(form, &mut yarn);
    wraps(form, &mut yarn);
    part(form, "Spin and ply");
    spin(form, &mut yarn);
    let of = ("yarn", usize::from(view.which == Which::Pattern), 0);
    variation_rows(form, (of, project.units), false, &mut view.typed_change, &mut yarn.varies);
    part(form, "Care label");
    if view.which == Which::Knitted {
        offered_label(form, project, &mut yarn);
    }
    care(form, &mut yarn, actions);
    part(form, "Notes");
    form.text("Dye lot", "Yarn dye lot", &mut yarn.lot);
    form.notes("Yarn notes", &mut yarn.notes);
    form.add_space(STEP / 2.0);
    if yarn != *before {
        let edit = match view.which {
            Which::Knitted => project.describe_yarn(yarn),
            Which::Pattern => {
                let mut material = project.material.clone();
                view.which.put(&mut material, Some(yarn));
                Edit::Material(Box::new(material))
            }
        };
        actions.push(Action::gesture("Yarn", edit));
    }
    if form.ended() {
        actions.push(Action::EndGesture);
    }
    let tip = "Your yarns are there in every project: to begin with, and as stand-ins";
    let is_new = !state.own_yarns.keeps(before);
    let keep = form.add_enabled(is_new, Button::new("Keep among my yarns")).on_hover_text(tip);
    if keep.on_disabled_hover_text("It is among your yarns").clicked() {
        actions.push(Action::KeepYarn(Box::new(before.clone())));
    }
    super::take_back(form, state, actions);
    if form.button("Take this yarn out").clicked() {
        actions.push(put(project, "Take yarn out", view.which, None));
    }
    form.add_space(STEP);
}

/// Whether the colours are counted as this yarn, and the button that makes them be; both always there.
fn every_colour(ui: &mut Ui, project: &Project, yarn: &Yarn, actions: &mut Vec<Action>) {
    let others = !project.is_wholly(yarn);
    let tip = "Length, ball and price of every colour become those of this yarn; undo takes it back";
    let button = ui.add_enabled(others, Button::new("Use it for every colour")).on_hover_text(tip);
    if button.on_disabled_hover_text("Every colour has the length, ball and price of this yarn").clicked() {
        actions.push(Action::edit("Yarn of every colour", project.yarn_for_every_colour(yarn)));
        actions.push(Action::Done(format!("Every colour is counted as {}.", yarn.name)));
    }
    reserved_caption(ui, project.counted_as_words().as_deref(), 3);
}

/// The blend is read when the field is left: half a word is no fibre.
fn made_of(form: &mut Form, view: &mut FactsView, yarn: &mut Yarn, actions: &mut Vec<Action>) {
    let (shown, which) = (yarn.blend.name(), view.which);
    let typed = form
        .row("Made of", |form| form.drafted(("Yarn fibre", which), MAX_TEXT, &shown, &mut view.typed_blend));
    if let Drafted::Left(typed) = typed {
        match Blend::parse(&typed) {
            Ok(blend) => yarn.blend = blend,
            Err(error) => actions.push(Action::Complain(error.to_string())),
        }
    }
}

fn sold(form: &mut Form, project: &Project, yarn: &mut Yarn) {
    put_up_rows(form, ["Yarn length in 100 g", "Yarn ball"], project.units, &mut yarn.put_up);
    price_row(form, &project.currency, &mut yarn.ball_price);
}

/// The thickness of a yarn without a label: a measured length on the scales.
fn weighed_length(form: &mut Form, units: LengthUnit, view: &mut FactsView, yarn: &mut Yarn) {
    let header = CollapsingHeader::new("No label? Weigh a length").id_salt("weigh a length");
    let taken = header.show(form, |ui| {
        let mut taken = false;
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
        if let Some(typed) = Form::new(ui).number("Length", &length, units.from_metres(*metres)) {
            *metres = units.to_metres(typed);
        }
        let suffix = format!(" {}", units.mass_suffix());
        let mass = field("Mass of the length", &suffix, (0.0, units.from_grams(1000.0)));
        if let Some(typed) = Form::new(ui).number("Weighs", &mass, units.from_grams(*grams)) {
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
                    taken = true;
                }
            }
            Err(error) if *metres > 0.0 && *grams > 0.0 => {
                caption(ui, format!("This is no yarn: {error}. Check the length and the mass."));
            }
            Err(_) => {}
        }
        caption(ui, "Measure ten metres or more, on scales that read 0.1 g: less says little.");
        taken
    });
    form.end_if(taken.body_returned == Some(true));
}

fn class(form: &mut Form, yarn: &mut Yarn) {
    let text = |class: Option<WeightClass>| {
        class.map_or_else(|| "not given".to_owned(), |class| format!("{}  {}", class.number(), class.name()))
    };
    let classes = std::iter::once(None).chain(WeightClass::ALL.map(Some)).map(|class| (class, text(class)));
    form.choice("Weight on the band", "Weight class on the band", classes, &mut yarn.class_on_band);
}

fn wraps(form: &mut Form, yarn: &mut Yarn) {
    let field = NumberField {
        label: "Measured wraps per inch",
        suffix: " per inch",
        range: 1.0..=200.0,
        decimals: 1,
        speed: 0.1,
    };
    let start = yarn.strand().wraps_per_inch()[1].round();
    form.maybe(("Wraps", "Wraps are measured"), &field, &mut yarn.wraps_per_inch, start);
    caption(form, "Wound on a ruler side by side, neither stretched nor pushed together.");
}

fn spin(form: &mut Form, yarn: &mut Yarn) {
    let mut known = yarn.spin.is_some();
    if tick_box(form, &mut known, "How it is spun is known").changed() {
        yarn.spin = known
            .then(|| Spin::new(SpinSystem::Worsted, 4, TwistDirection::Z, TwistAmount::Medium).ok())
            .flatten();
        form.end();
    }
    let Some(spin) = yarn.spin else { return };
    let (mut system, mut direction, mut amount) = (spin.system, spin.direction, spin.amount);
    let mut plies = f64::from(spin.plies());
    let named = SpinSystem::ALL.iter().map(|one| (*one, one.name()));
    form.choice("Spun", "Spun", named, &mut system);
    let field = NumberField {
        label: "Plies",
        suffix: if plies == 1.0 { " (a single)" } else { " ply" },
        range: 1.0..=f64::from(Spin::MAX_PLIES),
        decimals: 0,
        speed: 0.05,
    };
    plies = form.number("Plies", &field, plies).unwrap_or(plies);
    let named = TwistAmount::ALL.iter().map(|one| (*one, one.name()));
    form.choice("Twist", "Twist", named, &mut amount);
    let named = TwistDirection::ALL.iter().map(|one| (*one, one.name()));
    form.choice("Direction", "Direction of the twist", named, &mut direction);
    yarn.spin = Spin::new(system, plies.round() as u8, direction, amount).ok();
}

/// The label of the cards, or what the swatch went through, while the yarn has none.
fn offered_label(form: &mut Form, project: &Project, yarn: &mut Yarn) {
    let bare = yarn.care.symbols().is_empty();
    if let Some((label, from)) = project.offered_label().filter(|(label, _)| bare && *label != yarn.care) {
        caption(form, format!("{from}: {}", label.told()));
        if form.button("Take this label").clicked() {
            yarn.care = label;
            form.end();
        }
    }
}

/// One choice for every group of the standard, and a tick for what may stand beside it.
fn care(form: &mut Form, yarn: &mut Yarn, actions: &mut Vec<Action>) {
    if let Some(unread) = yarn.care.unread_words() {
        caption(form, unread);
    }
    for group in CareGroup::ALL.iter().copied() {
        let of_group = || CareSymbol::all().filter(move |symbol| symbol.group() == group);
        let is_main = |symbol: &CareSymbol| symbol.group() == group && !symbol.is_addition();
        let present = yarn.care.symbols().iter().copied().find(is_main);
        let mut changed: Option<Vec<CareSymbol>> = None;
        form.row(group.name(), |form| {
            let meaning = |symbol: Option<CareSymbol>| symbol.map_or("not on the label", CareSymbol::meaning);
            let label = format!("Care: {}", group.name().to_lowercase());
            let mut chosen = present;
            let options = std::iter::once(None)
                .chain(of_group().filter(|symbol| !symbol.is_addition()).map(Some))
                .map(|symbol| (symbol, meaning(symbol)));
            form.one_of(&label, options, &mut chosen, 0.0);
            if chosen != present {
                let others = yarn.care.symbols().iter().copied().filter(|symbol| !is_main(symbol));
                changed = Some(others.chain(chosen).collect());
            }
        });
        for addition in of_group().filter(|symbol| symbol.is_addition()) {
            let mut ticked = yarn.care.symbols().contains(&addition);
            if tick_box(form, &mut ticked, addition.meaning()).changed() {
                let others = yarn.care.symbols().iter().copied().filter(|symbol| *symbol != addition);
                changed = Some(others.chain(ticked.then_some(addition)).collect());
                form.end();
            }
        }
        match changed.map(|symbols| yarn.care.with_symbols(symbols)) {
            Some(Ok(label)) => yarn.care = label,
            Some(Err(error)) => actions.push(Action::Complain(error.to_string())),
            None => {}
        }
    }
}
