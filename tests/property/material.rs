//! Blends, substitutions and swatches, for every input.

use huegauge::knit::{Construction, Swatch, SwatchFabric, SwatchSize, advise_on_gauge, pooled_gauge};
use huegauge::units::LengthUnit;
use huegauge::yarn::{Blend, CareLabel, Fibre, Property, PutUp, Yarn, YarnId, compare_yarns};
use proptest::prelude::*;
use proptest::sample::{select, subsequence};

/// One to four fibres with random shares that make 100 %.
fn any_blend() -> impl Strategy<Value = Blend> {
    (subsequence(Fibre::ALL, 1..=4), prop::collection::vec(1.0..100.0_f64, 4)).prop_map(
        |(fibres, weights)| {
            let total: f64 = weights.iter().take(fibres.len()).sum();
            let parts =
                fibres.into_iter().zip(weights).map(|(fibre, weight)| (fibre, weight / total * 100.0));
            Blend::new(parts.collect()).unwrap()
        },
    )
}

prop_compose! {
    fn any_yarn()(blend in any_blend(), metres in 20.0..1500.0_f64, ball in 10.0..250.0_f64) -> Yarn {
        Yarn::new(YarnId(1), "Any", blend, PutUp::new(metres, ball).unwrap())
    }
}

prop_compose! {
    fn any_swatch()(
        counts in (1..80_u32, 1..80_u32),
        before in prop::option::of((2.0..40.0_f64, 2.0..40.0_f64)),
        after in prop::option::of((2.0..40.0_f64, 2.0..40.0_f64)),
    ) -> Swatch {
        let mut swatch = Swatch::new(YarnId(1), 4.0, SwatchFabric::Plain, Construction::Flat, counts).unwrap();
        let size = |(width, height)| SwatchSize::new(width, height).unwrap();
        swatch.before = before.map(size);
        swatch.after = after.map(size);
        swatch
    }
}

proptest! {
    #[test]
    fn a_mixed_figure_lies_between_those_of_the_parts(blend in any_blend(), property in select(Property::ALL)) {
        let parts: Vec<_> = blend.parts().iter().filter_map(|(fibre, _)| fibre.figure(property)).collect();
        if let Some(mix) = blend.mix(property) {
            let low = parts.iter().map(|figure| figure.low).fold(f64::INFINITY, f64::min);
            let high = parts.iter().map(|figure| figure.high).fold(0.0, f64::max);
            prop_assert!(low - 1e-9 <= mix.low && mix.low <= mix.high + 1e-9 && mix.high <= high + 1e-9);
            prop_assert!(parts.iter().all(|figure| mix.basis >= figure.basis));
            prop_assert_eq!(blend.figure(property).map(|f| (f.low, f.high)), Some((mix.low, mix.high)));
        } else {
            prop_assert!(blend.figure(property).is_none());
        }
    }

    #[test]
    fn any_text_is_a_blend_or_an_error_in_words(text in "\\PC{0,40}") {
        if let Err(error) = Blend::parse(&text) {
            prop_assert!(!error.to_string().is_empty());
        }
        let _ = CareLabel::from_codes([text.as_str()]);
    }

    #[test]
    fn a_yarn_stands_in_for_itself_best(a in any_yarn(), b in any_yarn(), metres in 0.0..5000.0_f64) {
        let own = compare_yarns(&a, &a, &[metres], None);
        let other = compare_yarns(&a, &b, &[metres], None);
        prop_assert!(own.nearness + 1e-9 >= other.nearness);
        prop_assert!((0.0..=1.0).contains(&other.nearness));
        prop_assert_eq!(own.balls_of_a, own.balls_of_b);
        prop_assert!(f64::from(other.balls_of_b) * b.put_up.metres_per_ball() + 1e-6 >= metres);
    }

    #[test]
    fn a_gauge_lies_in_its_own_range_and_pooling_spans_all(swatches in prop::collection::vec(any_swatch(), 0..5)) {
        for measured in swatches.iter().filter_map(Swatch::best_gauge) {
            prop_assert!(measured.holds_stitches(measured.gauge.stitches.get()));
            prop_assert!(measured.holds_rows(measured.gauge.rows.get()));
            let advice = advise_on_gauge(&measured, measured.gauge, 4.0);
            prop_assert!(advice[0].words(50.0, LengthUnit::Metric).starts_with("On gauge"));
        }
        if let Some(pooled) = pooled_gauge(&swatches) {
            prop_assert!(pooled.holds_stitches(pooled.gauge.stitches.get()));
            prop_assert!(pooled.holds_rows(pooled.gauge.rows.get()));
        }
    }
}
