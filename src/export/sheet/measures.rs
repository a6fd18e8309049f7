//! What it measures: every finished measure of every size, the bodies it is for, and the pieces to scale.

use super::figures::{both, lengths};
use super::flow::{Flow, Style};
use super::table::{Column, Row, Table};
use crate::export::drawing::Role;
use crate::export::instructions::{Sized, in_sizes};
use crate::export::schematic;
use crate::knit::Construction;
use crate::knit::pieces::{Measure, WorkedPiece};
use crate::project::Project;

/// What a width is called.
pub const fn across(construction: Construction) -> &'static str {
    match construction {
        Construction::InTheRound => "around",
        Construction::Flat => "wide",
    }
}

/// The measures of the body that the pieces follow, with their cm in every size; the widths first.
pub fn measured(project: &Project, sized: &Sized) -> Vec<(Measure, Vec<f64>)> {
    let pieces = &project.pieces.pieces;
    let followed = |measure: &Measure| pieces.iter().any(|piece| piece.measures().contains(measure));
    let known = Measure::ALL.into_iter().filter(followed).filter_map(|measure| {
        let cms: Option<Vec<f64>> = sized.sizes.iter().map(|size| size.body.get(measure)).collect();
        Some((measure, cms?))
    });
    known.collect()
}

/// The finished measures of all sizes, those of the bodies under them.
pub fn table(flow: &mut Flow, project: &Project, sized: &Sized) {
    flow.heading("Measures", Style::HEADING, 40.0);
    let gauge = project.plan.gauge;
    let [first, second] = both(project.units);
    let mut rows = Vec::new();
    let in_both = |what: String, cms: &[f64]| Row::new(vec![what, lengths(cms, first), lengths(cms, second)]);
    for (i, piece) in sized.chosen_pieces().iter().enumerate() {
        let of = |figure: &dyn Fn(&WorkedPiece) -> f64| -> Vec<f64> {
            sized.worked.iter().filter_map(|pieces| pieces.get(i)).map(figure).collect()
        };
        let word = across(piece.construction);
        let begins = of(&|piece| gauge.width(piece.worn_ends().0).get());
        let ends = of(&|piece| gauge.width(piece.worn_ends().1).get());
        let widest = of(&|piece| gauge.width(piece.worn_rows().max().unwrap_or(0)).get());
        let alike = |a: &[f64], b: &[f64]| a.iter().zip(b).all(|(a, b)| (a - b).abs() < 0.05);
        if alike(&begins, &ends) && alike(&begins, &widest) {
            rows.push(in_both(format!("{}, {word}", piece.name), &begins));
        } else {
            rows.push(in_both(format!("{}, {word} at the start", piece.name), &begins));
            if !alike(&widest, &begins) && !alike(&widest, &ends) {
                rows.push(in_both(format!("{}, {word} at its widest", piece.name), &widest));
            }
            rows.push(in_both(format!("{}, {word} at the end", piece.name), &ends));
        }
        rows.push(in_both(format!("{}, length", piece.name), &of(&|piece| piece.height_cm(gauge))));
    }
    let bodies = measured(project, sized);
    if !bodies.is_empty() {
        let what = "The body it is for".to_owned();
        rows.push(Row { sum: true, ..Row::new(vec![what, String::new(), String::new()]) });
        rows.extend(bodies.iter().map(|(measure, cms)| in_both(measure.name().to_owned(), cms)));
    }
    let names = sized.size_names();
    let head = |suffix: &str| {
        if sized.sizes.len() > 1 { format!("{suffix}: {names}") } else { suffix.to_owned() }
    };
    let columns = vec![
        Column::words("Finished, washed and dried"),
        Column::figures(&head(first.length_suffix())),
        Column::figures(&head(second.length_suffix())),
    ];
    Table { columns, rows }.set(flow);
}

/// Shares of a page's height that a schematic may take: as much as there is, and less where that spares a page.
pub const SCHEMATICS: [Option<f64>; 3] = [None, Some(0.45), Some(0.33)];

/// The pieces to scale, the figures of every size on their lines; in `most` of a page's height.
pub fn schematic(flow: &mut Flow, project: &Project, sized: &Sized, most: Option<f64>) {
    let heading = Style::HEADING.line() + Style::SMALL.line() + 8.0;
    let [alone, most] = [most.unwrap_or(0.62), most.unwrap_or(1.0)].map(|share| share * flow.height());
    // Beside the table where that leaves it large enough, else on a page of its own.
    let room = (flow.room() - heading).min(most);
    let alone = schematic::draw(project, sized, [flow.width(), alone]);
    let here = schematic::draw(project, sized, [flow.width(), room]);
    let drawn = if here.scale <= 1.25 * alone.scale { here } else { alone };
    let first = drawn.shelves.first().map_or(0.0, |shelf| shelf.height);
    flow.heading("Schematic", Style::HEADING, first + Style::SMALL.line());
    let size = if sized.sizes.len() > 1 {
        format!("Size {}, drawn", sized.sizes[sized.chosen].name)
    } else {
        "Drawn".to_owned()
    };
    let round = |piece: &WorkedPiece| piece.construction == Construction::InTheRound;
    let tubes = if sized.chosen_pieces().iter().any(round) {
        " A tube lies double and shows half of each round."
    } else {
        ""
    };
    let order = if sized.sizes.len() > 1 {
        format!(" Figures are for sizes {}.", sized.size_names())
    } else {
        String::new()
    };
    flow.words(&format!("{size} at 1 : {}.{tubes}{order}", drawn.scale), Style::SMALL);
    for shelf in drawn.shelves {
        flow.gap(2.0);
        flow.place(shelf.height, Role::Figure(shelf.told), |x, y| {
            shelf.items.into_iter().map(|item| item.moved(x, y)).collect()
        });
    }
    flow.gap(1.0);
    for (letter, figures) in drawn.key {
        flow.labelled(&letter, Style::TERM, &figures, 7.0, Style::SMALL);
    }
}

/// How the charts sit in their bands, for whoever changes the pattern.
pub fn chart_fit(flow: &mut Flow, project: &Project, sized: &Sized) {
    let gauge = project.plan.gauge;
    let unit = project.units;
    let mut rows = Vec::new();
    for (i, piece) in sized.chosen_pieces().iter().enumerate() {
        for (j, band) in piece.bands.iter().enumerate().filter(|(_, band)| band.chart.is_some()) {
            let bands: Vec<_> =
                sized.worked.iter().filter_map(|pieces| pieces.get(i)?.bands.get(j)).collect();
            let repeats =
                in_sizes(bands.iter().filter_map(|band| band.chart).map(|fit| fit.across.to_string()));
            let stitches = band.chart.map_or(0, |fit| fit.repeat_stitches);
            let over =
                in_sizes(bands.iter().filter_map(|band| band.chart).map(|fit| fit.left_over.to_string()));
            let off = bands.iter().map(|band| {
                let off = band.start.off_cm(gauge).map(|cm| super::figures::signed(unit.from_cm(cm), 1));
                off.unwrap_or_else(|| "–".to_owned())
            });
            rows.push(Row::new(vec![
                format!("{}, {}", piece.name, band.name.to_lowercase()),
                format!("{repeats} of {stitches} sts"),
                over,
                in_sizes(off),
            ]));
        }
    }
    if rows.is_empty() {
        return;
    }
    flow.heading("How the chart fits", Style::HEADING, 20.0);
    let columns = vec![
        Column::words("Band"),
        Column::figures("Repeats"),
        Column::figures("Sts left over"),
        Column::figures(&format!("{} off the wanted width", unit.length_suffix())),
    ];
    Table { columns, rows }.set_small(flow);
}
