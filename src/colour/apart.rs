//! A new colour that cannot be taken for one of those there are.

use super::Colour;

/// Lightness (Oklab) and chroma of the candidates: what dyed wool reaches, from near black to near white.
const LIGHTNESS: [f64; 7] = [0.28, 0.38, 0.48, 0.58, 0.68, 0.78, 0.88];
const CHROMA: [f64; 3] = [0.04, 0.08, 0.12];
/// Least difference of CIE L* that counts in full: from here two colours are read apart in a chart (our
/// judgement, as the steps of [`super::ValueContrast`]).
const VALUE: f64 = 20.0;

/// The colour of one of these hues (Oklch, degrees) that is least like all `others`: the nearest of them is
/// as far away as it can be by CIEDE2000, and one that is close in value counts as nearer than it looks.
/// Without hues, or with no other colour, a middling blue.
pub fn well_apart(others: &[Colour], hues: &[f64]) -> Colour {
    let nearness = |colour: Colour| {
        let gap = |other: &Colour| {
            let value = (colour.lstar() - other.lstar()).abs() / VALUE;
            colour.difference(*other) * (0.5 + 0.5 * value.min(1.0))
        };
        others.iter().map(gap).fold(f64::INFINITY, f64::min)
    };
    let candidates = hues.iter().flat_map(|hue| {
        LIGHTNESS.iter().flat_map(move |l| CHROMA.iter().map(move |c| Colour::clamped(*l, *c, *hue)))
    });
    let shown = candidates.filter(|colour| colour.is_in_gamut());
    let best = shown.map(|colour| (nearness(colour), colour)).max_by(|a, b| a.0.total_cmp(&b.0));
    best.filter(|_| !others.is_empty())
        .map_or_else(|| Colour::clamped(0.48, 0.08, 250.0), |(_, colour)| colour)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_new_colour_is_told_from_all_before_it() {
        let hues: Vec<f64> = (0..24).map(|step| f64::from(step) * 15.0).collect();
        let mut colours = vec![Colour::from_hex("#a3421f").unwrap()];
        for number in 1..8 {
            let new = well_apart(&colours, &hues);
            let nearest = colours.iter().map(|old| new.difference(*old)).fold(f64::INFINITY, f64::min);
            // 10 CIEDE2000 is far above what an eye needs to tell two yarns side by side.
            assert!(nearest > 10.0 && new.is_in_gamut(), "{number}: {nearest}");
            colours.push(new);
        }
    }

    #[test]
    fn nothing_to_be_apart_from_is_no_error() {
        assert!(well_apart(&[], &[0.0]).is_in_gamut());
        assert!(well_apart(&[Colour::WHITE], &[]).is_in_gamut());
    }
}
