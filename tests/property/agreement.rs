//! One project, one sum: every page, table and command shows the same yarn.

use huegauge::chart::{Cell, Grid};
use huegauge::export::drawing::{Drawing, Item};
use huegauge::export::sheet::SheetOptions;
use huegauge::export::{card, inspect, sheet, yardage};
use huegauge::knit::pieces::Piece;
use huegauge::knit::{Construction, Technique};
use huegauge::project::figures::Figures;
use huegauge::project::shopping::Shopping;
use huegauge::project::{Chart, Project};
use huegauge::units::Price;
use proptest::prelude::*;
use serde_json::Value;

use crate::yarn::{Case, cases};

/// A project of these pieces, or of the chart alone with a needle that is seldom a multiple of the repeat.
fn project(case: &Case, pieces: bool, plan: (u32, u32, u32), how: (Technique, Construction)) -> Project {
    let mut project = Project::default();
    // The chart may use every slot the palette has.
    let slots = project.palette.slots().len() as u8;
    let cells = case.grid.cells().iter().map(|cell| match cell.index() {
        Some(slot) => Cell::slot(slot as u8 % slots),
        None => *cell,
    });
    let cells = cells.collect();
    project.chart = Chart::new(Grid::from_cells(case.grid.width(), case.grid.height(), cells).unwrap());
    project.plan.gauge = case.gauge;
    project.plan.float_limit.stitches = case.float_limit.max(1);
    (project.plan.needle_stitches, project.plan.edge_stitches, project.plan.repeats_up) = plan;
    (project.plan.technique, project.plan.construction) = how;
    for slot in project.palette.slots_mut() {
        slot.yarn.put_up = case.put_up;
        slot.yarn.ball_price = Price::new(4.5).ok();
    }
    if pieces {
        let named = case.pieces.iter().enumerate().map(|(i, piece)| {
            let mut piece = Piece { name: format!("Piece {}", i + 1), ..piece.clone() };
            for slot in piece.bands.iter_mut().flat_map(|band| &mut band.colours) {
                *slot %= usize::from(slots);
            }
            piece
        });
        project.pieces.pieces = named.collect();
    }
    project
}

fn texts(drawings: &[Drawing]) -> Vec<String> {
    let items = drawings.iter().flat_map(|drawing| &drawing.layers).flat_map(|layer| &layer.items);
    items
        .filter_map(|item| if let Item::Text(text) = item { Some(text.text.clone()) } else { None })
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    #[test]
    fn every_page_shows_the_same_metres_and_balls(
        case in cases(), pieces in any::<bool>(),
        plan in (1u32..200, 0u32..8, 1u32..6),
        how in (prop::sample::select(Technique::ALL.to_vec()), prop::sample::select(Construction::ALL.to_vec())),
    ) {
        let project = project(&case, pieces, plan, how);
        prop_assert_eq!(project.check(), Ok(()));
        let figures = Figures::of(&project);
        let Ok(shopping) = Shopping::of(&project, None, None) else {
            // Design then shows the chart alone, and says so.
            prop_assert!(figures.knitted.of.problem().is_some());
            return Ok(());
        };
        let yarn = &shopping.yarn;
        // Design; and Sets, match and stand-ins, which count balls for these metres.
        prop_assert_eq!(&figures.knitted.yarn, yarn);
        prop_assert!(figures.knitted.of.problem().is_none());
        let high: Vec<f64> = yarn.colours.iter().map(|colour| colour.metres().high).collect();
        prop_assert_eq!(project.metres_to_buy(), high);

        let table = yardage::csv(&project, &shopping).unwrap();
        let mut table = csv::Reader::from_reader(table.as_bytes());
        let heads = table.headers().unwrap().clone();
        let at = |name: &str| heads.iter().position(|head| head == name).unwrap();
        let rows: Vec<csv::StringRecord> = table.records().map(Result::unwrap).collect();
        let json: Value = serde_json::from_str(&inspect::json(&project, &figures).unwrap()).unwrap();
        let sheet = texts(&sheet::pages(&project, &SheetOptions::default()).unwrap());
        let card = texts(&[card::draw(&project, &shopping)]);
        for (slot, colour) in yarn.colours.iter().enumerate() {
            let metres = colour.metres();
            let tenths = format!("{:.1}", metres.likely);
            prop_assert_eq!(&rows[slot][at("metres_likely")], tenths.as_str());
            prop_assert_eq!(&rows[slot][at("metres_high")], format!("{:.1}", metres.high));
            prop_assert_eq!(&rows[slot][at("balls")], colour.balls.to_string());
            for told in [&json["yarn"][slot], &json["pieces_yarn"]["colours"][slot]] {
                let near = |key: &str, value: f64| (told[key].as_f64().unwrap() - value).abs() < 1e-3;
                prop_assert!(near("metres_likely", metres.likely) && near("metres_high", metres.high));
                prop_assert!(near("metres_low", metres.low));
                prop_assert_eq!(told["balls"].as_u64(), Some(u64::from(colour.balls)));
                prop_assert_eq!(told["stitches"].as_u64(), Some(colour.stitches));
            }
            if colour.stitches > 0 {
                let whole = format!("{:.0}", metres.likely);
                prop_assert!(sheet.contains(&whole), "{whole} is not on the sheet");
                let range = format!("{:.1}–{:.1}", metres.low, metres.high);
                prop_assert!(sheet.contains(&range), "{range} is not among the sheet's sums");
                let most = format!(" {:.0} m", metres.high);
                prop_assert!(card.iter().any(|line| line.ends_with(&most)), "{most} is not on the card");
            }
        }
        prop_assert_eq!(json["yarn_total"]["balls"].as_u64(), Some(yarn.balls()));
        // One finished size.
        let finished = figures.finished().unwrap();
        prop_assert_eq!(json["size"]["finished_stitches"].as_u64(), Some(u64::from(finished.stitches)));
        let worked = &json["sizes"][0]["pieces"];
        let named = |piece: &&Value| piece["name"] == json["size"]["finished_piece"];
        let found = worked.as_array().unwrap().iter().find(named).unwrap();
        prop_assert_eq!(&found["rows"], &json["size"]["finished_rows"]);
    }
}
