//! Findings about colours: how many meet in a row, how they differ in value, how much each covers.

use std::collections::HashMap;

use super::super::contrast::LITTLE_CONTACT;
use super::super::model::Project;
use super::super::palette::Role;
use super::places::{Rows, colour, colours};
use super::{Finding, FindingKind, MOST_OF_A_KIND, Severity, capped};
use crate::chart::{Contact, Rect, RowFacts};
use crate::colour::ValueContrast;
use crate::knit::Technique;

/// Percentage points off its target from which a role is worth a note, and a warning (our judgement).
const POINTS_OFF: (f64, f64) = (5.0, 15.0);

/// Rows with more colours than the plan allows; rows of the same colours are one finding.
pub(super) fn many_in_a_row(project: &Project, rows: &[RowFacts]) -> Vec<Finding> {
    let most = match project.plan.technique {
        Technique::Stranded => project.plan.colours_per_row.max(1) as usize,
        Technique::Stripes => 1,
        Technique::Intarsia => return Vec::new(),
    };
    let repeat = project.chart.repeat();
    let mut found: Vec<(&RowFacts, u32, Rows)> = Vec::new();
    let mut index: HashMap<u64, usize> = HashMap::new();
    // Mostly the colours of the row before.
    let mut before: Option<(u64, usize)> = None;
    for (row, facts) in (0..).zip(rows).filter(|(_, facts)| facts.colours.len() > most) {
        let bits = facts.colour_bits();
        let at = match before {
            Some((known, at)) if known == bits => at,
            _ => *index.entry(bits).or_insert_with(|| {
                found.push((facts, row, Rows::default()));
                found.len() - 1
            }),
        };
        before = Some((bits, at));
        found[at].2.push(repeat.y + row);
    }
    found.sort_by_key(|(facts, row, _)| (std::cmp::Reverse(facts.colours.len()), *row));
    let unlisted = found.len().saturating_sub(MOST_OF_A_KIND);
    let findings = found.into_iter().take(MOST_OF_A_KIND).map(|(facts, row, rows)| {
        let slots: Vec<usize> = facts.colours.iter().map(|(slot, _)| *slot).collect();
        let advice = match project.plan.technique {
            Technique::Stripes => "a striped row has one; work it stranded or recolour it".to_owned(),
            _ if most == 2 => "two by tradition; each further one thickens the fabric".to_owned(),
            _ => format!("more than the {most} you set"),
        };
        let message =
            format!("{}: {} colours ({}), {advice}.", rows.words(), slots.len(), colours(project, &slots));
        let place = Some(Rect::new(repeat.x, repeat.y + row, repeat.width, 1));
        Finding { place, slots, ..Finding::new(FindingKind::ManyColours, Severity::Warning, message) }
    });
    capped(findings.collect(), unlisted, FindingKind::ManyColours)
}

/// Touching colours that are hard to tell apart by value, the longest shared edge first.
pub(super) fn close_values(project: &Project, contacts: &[Contact]) -> Vec<Finding> {
    let slots = project.palette.slots();
    let lstar: Vec<f64> = slots.iter().map(|slot| slot.colour.lstar()).collect();
    let total: f64 = contacts.iter().map(|contact| contact.cm).sum();
    let findings = contacts.iter().filter_map(|contact| {
        let difference = (lstar.get(contact.a)? - lstar.get(contact.b)?).abs();
        let share = contact.cm / total;
        let (severity, verdict) = match ValueContrast::of(difference) {
            ValueContrast::Merges if share >= LITTLE_CONTACT => {
                (Severity::Warning, "they merge. Make one lighter or darker")
            }
            ValueContrast::Merges => (Severity::Note, "they merge, but they hardly touch"),
            ValueContrast::Subtle if share >= LITTLE_CONTACT => {
                (Severity::Note, "a subtle contrast, seen close by")
            }
            _ => return None,
        };
        let message = format!(
            "{} and {} are {difference:.0} L* apart where they touch ({:.0} % of all colour edges): {verdict}.",
            colour(project, contact.a),
            colour(project, contact.b),
            share * 100.0,
        );
        let place = Some(Rect::new(contact.first.x, contact.first.y, 1, 1));
        let slots = vec![contact.a, contact.b];
        Some(Finding { place, slots, ..Finding::new(FindingKind::CloseValues, severity, message) })
    });
    capped(findings.collect(), 0, FindingKind::CloseValues)
}

/// Roles that cover more or less than their target. Nothing is said of a chart that is all ground, nor
/// when the palette lacks a role, since then the target cannot be met.
pub(super) fn proportion(project: &Project, shares: [f64; 3]) -> Vec<Finding> {
    let slots = project.palette.slots();
    let targets = project.palette.targets();
    let met = |part: usize| targets[part] == 0.0 || project.palette.slot_of(Role::PARTS[part]).is_some();
    if shares.iter().all(|share| *share == 0.0) || !(0..3).all(met) {
        return Vec::new();
    }
    let parts = Role::PARTS.into_iter().zip(shares.into_iter().zip(targets));
    let findings = parts.filter_map(|(role, (share, target))| {
        let off = share - target;
        let severity = match off.abs() {
            off if off > POINTS_OFF.1 => Severity::Warning,
            off if off > POINTS_OFF.0 => Severity::Note,
            _ => return None,
        };
        let way = if off > 0.0 { "more" } else { "less" };
        let message = format!(
            "The {} colour covers {share:.0} % of the pattern, {:.0} points {way} than its {target:.0} %.",
            role.word(),
            off.abs(),
        );
        let slots = (0..slots.len()).filter(|slot| slots[*slot].role == role).collect();
        let told = format!("{} {share:.0} %", role.word());
        Some(Finding { slots, told, ..Finding::new(FindingKind::Proportion, severity, message) })
    });
    findings.collect()
}

#[cfg(test)]
mod tests {
    use super::super::tests::{drawn, rows};
    use super::*;
    use crate::chart::{Wrap, contacts};
    use crate::colour::Colour;

    fn close(project: &Project) -> Vec<Finding> {
        let chart = &project.chart;
        let touching = contacts(&chart.grid, chart.repeat(), project.plan.gauge, Wrap::default());
        close_values(project, &touching)
    }

    #[test]
    fn three_colours_in_a_row_are_a_finding_and_rows_are_grouped() {
        let project = drawn(&["0130", "3333", "0130", "0033"]);
        let found = many_in_a_row(&project, &rows(&project));
        assert_eq!(found.len(), 1);
        assert_eq!(
            found[0].message,
            "Rows 2 and 4: 3 colours (A Blue crate, B Pink chalk and D Plain paper), two by tradition; each \
             further one thickens the fabric."
        );
        assert_eq!(found[0].place, Some(Rect::new(0, 1, 4, 1)));
        assert_eq!(found[0].slots, [0, 1, 3]);
    }

    #[test]
    fn stripes_have_one_colour_and_intarsia_any_number() {
        let mut project = drawn(&["0133", "0033"]);
        project.plan.technique = Technique::Stripes;
        assert_eq!(many_in_a_row(&project, &rows(&project)).len(), 2);
        project.plan.technique = Technique::Intarsia;
        assert_eq!(many_in_a_row(&project, &rows(&project)), []);
        project.plan.technique = Technique::Stranded;
        project.plan.colours_per_row = 3;
        assert_eq!(many_in_a_row(&project, &rows(&project)), []);
    }

    #[test]
    fn only_colours_that_touch_are_held_against_each_other() {
        let mut project = drawn(&["1111", "3333", "0000"]);
        let grey = |lstar: f64| Colour::grey(lstar);
        for (slot, lstar) in [(0, 40.0), (1, 41.0), (3, 90.0)] {
            project.palette.slots_mut()[slot].colour = grey(lstar);
        }
        // Blue crate and Pink chalk merge, but never meet.
        assert_eq!(close(&project), []);
        project.palette.slots_mut()[3].colour = grey(47.0);
        let found = close(&project);
        assert_eq!(found.len(), 2);
        assert!(found.iter().all(|f| f.severity == Severity::Warning));
        assert_eq!(
            found[0].message,
            "A Blue crate and D Plain paper are 7 L* apart where they touch (50 % of all colour edges): they \
             merge. Make one lighter or darker."
        );
        project.palette.slots_mut()[3].colour = grey(55.0);
        assert!(close(&project).iter().all(|f| f.severity == Severity::Note));
    }

    #[test]
    fn a_pair_that_hardly_meets_is_no_warning() {
        let wide = "03".repeat(100);
        let mut project = drawn(&[&wide, &format!("1{}", &wide[1..])]);
        project.palette.slots_mut()[1].colour = project.palette.slots()[0].colour;
        let found = close(&project);
        assert_eq!((found.len(), found[0].severity), (1, Severity::Note));
    }

    #[test]
    fn proportion_is_measured_without_the_ground() {
        let project = drawn(&["3333333333"]);
        assert_eq!(proportion(&project, [0.0; 3]), []);
        assert_eq!(proportion(&project, [63.0, 28.0, 9.0]), []);
        let found = proportion(&project, [80.0, 18.0, 2.0]);
        let severities: Vec<_> = found.iter().map(|f| f.severity).collect();
        assert_eq!(severities, [Severity::Warning, Severity::Note, Severity::Note]);
        assert_eq!(
            found[0].message,
            "The main colour covers 80 % of the pattern, 20 points more than its 60 %."
        );
        assert_eq!(found[0].slots, [0]);
    }

    #[test]
    fn a_palette_without_a_role_is_not_blamed_for_it() {
        let mut project = drawn(&["33"]);
        project.palette.slots_mut()[2].role = Role::Main;
        assert_eq!(proportion(&project, [90.0, 10.0, 0.0]), []);
    }
}
