//! The ranking of fibres, over every set of answers.

use huegauge::yarn::{
    Blend, Climate, Fibre, Moisture, Needs, PieceKind, Ranked, Skin, Stitches, Stretch, Washing, Wear,
    Wearer, rank,
};
use proptest::prelude::*;
use proptest::sample::select;

prop_compose! {
    fn any_needs()(
        piece in select(PieceKind::ALL), wear in select(Wear::ALL), climate in select(Climate::ALL),
        wearer in select(Wearer::ALL), moisture in select(Moisture::ALL), stitches in select(Stitches::ALL),
        skin in select(Skin::ALL), stretch in select(Stretch::ALL), washing in select(Washing::ALL),
        gift in any::<bool>(),
    ) -> Needs {
        Needs { piece, wear, climate, wearer, moisture, stitches, skin, stretch, washing, gift }
    }
}

fn place(order: &[Ranked], fibre: Fibre) -> Option<usize> {
    order.iter().position(|ranked| ranked.blend == Blend::pure(fibre))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn scores_are_shares_and_every_reason_is_said_once(needs in any_needs()) {
        for ranked in rank(needs, &Blend::common()) {
            prop_assert!((0.0..=1.0).contains(&ranked.score));
            for need in &ranked.needs {
                prop_assert!((0.0..=1.0).contains(&need.score) && (0.0..=1.0).contains(&need.known));
            }
            for list in [&ranked.in_favour, &ranked.against] {
                prop_assert!(list.iter().enumerate().all(|(i, reason)| !list[..i].contains(reason)));
            }
        }
    }

    // The following orders are common practice, no published source.

    #[test]
    fn cotton_or_linen_before_qiviut_in_a_hot_climate(needs in any_needs()) {
        let worn = needs.piece.warms_a_body();
        let needs = Needs { climate: Climate::Hot, ..needs };
        let order = rank(needs, &Blend::common());
        let place = |fibre| place(&order, fibre).unwrap();
        let plant = place(Fibre::Cotton).min(place(Fibre::Linen));
        prop_assert!(!worn || plant < place(Fibre::Qiviut));
    }

    #[test]
    fn mohair_is_never_first_for_cables(needs in any_needs()) {
        let order = rank(Needs { stitches: Stitches::CablesAndTwisted, ..needs }, &Blend::common());
        prop_assert!(order[0].blend.share(Fibre::Mohair) < 0.5);
    }

    #[test]
    fn acrylic_is_never_first_for_someone_who_runs_warm(needs in any_needs()) {
        let worn = needs.piece.warms_a_body();
        let order = rank(Needs { wearer: Wearer::RunsWarm, ..needs }, &Blend::common());
        prop_assert!(!worn || order[0].blend.share(Fibre::Acrylic) < 0.5);
    }

    #[test]
    fn acrylic_is_never_first_for_what_must_take_up_water(needs in any_needs()) {
        let needs = Needs { piece: PieceKind::TowelOrCoaster, moisture: Moisture::TakesUpWater, ..needs };
        let order = rank(needs, &Blend::common());
        prop_assert!(order[0].blend.share(Fibre::Acrylic) < 0.5);
    }

    #[test]
    fn cotton_or_superwash_leads_for_baby_wear_and_gifts(needs in any_needs()) {
        prop_assume!(needs.piece.warms_a_body());
        let needs = Needs { gift: true, ..Needs { skin: needs.skin, ..Needs::preset(needs.piece) } };
        for needs in [needs, Needs { gift: false, ..Needs::preset(PieceKind::BabyAndChild) }] {
            let first = &rank(needs, &Blend::common())[0].blend;
            prop_assert!(first.share(Fibre::SuperwashWool) + first.share(Fibre::Cotton) >= 0.5, "{}", first.name());
        }
    }

    #[test]
    fn untreated_pure_wool_is_never_first_for_hard_worn_socks(needs in any_needs()) {
        let socks = Needs::preset(PieceKind::Socks);
        let needs = Needs { climate: needs.climate, skin: needs.skin, washing: needs.washing, gift: needs.gift, ..socks };
        let first = &rank(needs, &Blend::common())[0].blend;
        prop_assert!(first.share(Fibre::Wool) < 1.0 && first.share(Fibre::Merino) < 1.0);
        let wool = first.share(Fibre::Wool) + first.share(Fibre::SuperwashWool) + first.share(Fibre::Merino);
        prop_assert!(wool + first.share(Fibre::Nylon) > 0.99 && first.share(Fibre::Nylon) >= 0.1
            || needs.climate == Climate::Hot, "{}", first.name());
    }
}
