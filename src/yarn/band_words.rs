//! Lengths, weights and prices as bands and shops write them: `125 m / 50 g`, `137 yd`, `5,45 €`.

use thiserror::Error;

use crate::plain_text::Quoted;
use crate::units::{GRAMS_PER_OUNCE, LengthUnit, METRES_PER_YARD};

/// What is wrong with such words, and the mend.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum WordsFault {
    /// No number.
    #[error("'{0}' is not a number")]
    NoNumber(Quoted),
    /// Thousands, or decimals?
    #[error("'{0}' may be read in two ways: write it without dividing thousands")]
    TwoNumbers(Quoted),
    /// No length of yarn.
    #[error("'{0}' is not a length of yarn: write it like 125 m, 137 yd or 125 m / 50 g")]
    NoLength(Quoted),
    /// No weight.
    #[error("'{0}' is not a weight: write it like 50 g or 1.75 oz")]
    NoWeight(Quoted),
    /// No price.
    #[error("'{0}' is not a price: write it like 5.45 or 5,45 €")]
    NoPrice(Quoted),
}

/// A length of yarn, and what it weighs when that is said too.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BandLength {
    /// Metres, 0 or more.
    pub metres: f64,
    /// The grams it is the length of, more than 0.
    pub grams: Option<f64>,
}

impl BandLength {
    /// Metres in 100 g, when the weight is known: said with it, or that of the ball.
    pub fn metres_per_100g(self, ball_g: Option<f64>) -> Option<f64> {
        Some(self.metres * 100.0 / self.grams.or(ball_g)?)
    }
}

/// A price with what stands for its currency, as it is written, when something does.
#[derive(Clone, Debug, PartialEq)]
pub struct BandPrice {
    /// The number, 0 or more.
    pub amount: f64,
    /// `£`, `EUR`, in capitals; empty when only the number is there.
    pub currency: String,
}

/// A number with a decimal point or comma.
///
/// # Errors
/// [`WordsFault`] when it is none, or may be read in two ways.
pub fn number(text: &str) -> Result<f64, WordsFault> {
    let plain = match text.split_once(',') {
        None => text.to_owned(),
        Some((_, after)) if after.len() == 3 || text.contains('.') || after.contains(',') => {
            return Err(WordsFault::TwoNumbers(text.into()));
        }
        Some((before, after)) => format!("{before}.{after}"),
    };
    let value = plain.parse().ok().filter(|value: &f64| value.is_finite());
    value.ok_or_else(|| WordsFault::NoNumber(text.into()))
}

/// A length of yarn: `125`, `125 m`, `137 yd`, `125 m per 50 g`, `110 m / 50 g`, `50 g = 125 m`; a bare number is in
/// `unit`. Words that only say that it is one (`approx.`, `LL`) do no harm.
///
/// # Errors
/// [`WordsFault`] when it is none, is negative, or may be read in two ways.
pub fn band_length(text: &str, unit: LengthUnit) -> Result<BandLength, WordsFault> {
    let wrong = || WordsFault::NoLength(text.into());
    let (mut metres, mut grams) = (Told::default(), Told::default());
    let mut bare = None;
    for (value, word) in amounts(text)? {
        let fits = match Measure::of(&word) {
            Some(Measure::Metres(times)) => metres.tell(value, times),
            Some(Measure::Grams(times)) => grams.tell(value, times),
            None if word.is_empty() => bare.replace(value).is_none(),
            None => false,
        };
        if !fits {
            return Err(wrong());
        }
    }
    let (metres, grams) = (metres.amount(), grams.amount());
    let metres = match (metres, bare) {
        (Some(metres), None) => metres,
        (None, Some(bare)) => unit.to_metres(bare),
        _ => return Err(wrong()),
    };
    let sound = metres >= 0.0 && grams.is_none_or(|grams| grams > 0.0);
    if sound { Ok(BandLength { metres, grams }) } else { Err(wrong()) }
}

/// A weight in grams: `50`, `50 g`, `1.75 oz`, `0,1 kg`.
///
/// # Errors
/// [`WordsFault`] when it is none, is negative, or may be read in two ways.
pub fn band_weight(text: &str) -> Result<f64, WordsFault> {
    let wrong = || WordsFault::NoWeight(text.into());
    let (mut grams, mut bare) = (Told::default(), None);
    for (value, word) in amounts(text)? {
        let fits = match Measure::of(&word) {
            Some(Measure::Grams(times)) => grams.tell(value, times),
            None if word.is_empty() => bare.replace(value).is_none(),
            _ => false,
        };
        if !fits || value < 0.0 {
            return Err(wrong());
        }
    }
    match (grams.amount(), bare) {
        (Some(grams), None) | (None, Some(grams)) => Ok(grams),
        _ => Err(wrong()),
    }
}

/// A price: `5.45`, `£5.45`, `5,45 €`, `EUR 5.45`.
///
/// # Errors
/// [`WordsFault`] when it is none, is negative, or may be read in two ways.
pub fn band_price(text: &str) -> Result<BandPrice, WordsFault> {
    let wrong = || WordsFault::NoPrice(text.into());
    let digits = |c: char| c.is_ascii_digit();
    let (Some(start), Some(end)) = (text.find(digits), text.rfind(digits)) else {
        // `dear` is no number in the first place.
        return Err(WordsFault::NoNumber(text.into()));
    };
    let amount = number(&text[start..=end])?;
    let (before, after) = (text[..start].trim(), text[end + 1..].trim());
    // "5,-" and "5.–" say that there are no cents.
    let after = after.trim_start_matches([',', '.', '-', '–']).trim();
    let currency = match (before, after) {
        ("", after) => after,
        (before, "") => before,
        _ => return Err(wrong()),
    };
    let is_sign = |c: char| c.is_alphabetic() || "£€$¥¢₤₹₺₽₩".contains(c);
    if currency.chars().count() > 4 || !currency.chars().all(|c| is_sign(c) || c == '.') {
        return Err(wrong());
    }
    Ok(BandPrice { amount, currency: currency.trim_end_matches('.').to_uppercase() })
}

/// An amount that is told once, or in two units that agree: `137 yd / 125 m`.
#[derive(Default)]
struct Told {
    /// The amount in metres or grams, and how many of them its unit is.
    first: Option<(f64, f64)>,
    again: bool,
}

impl Told {
    /// Whether it is told for the first time, or in another unit and within 3 % of what was told (shops round both).
    fn tell(&mut self, value: f64, times: f64) -> bool {
        let amount = value * times;
        let Some((known, unit)) = self.first else {
            self.first = Some((amount, times));
            return true;
        };
        let agrees =
            !self.again && unit.to_bits() != times.to_bits() && (amount - known).abs() <= 0.03 * known;
        self.again = true;
        // Metres and grams are what the program counts in.
        if agrees && times.to_bits() == 1.0_f64.to_bits() {
            self.first = Some((amount, times));
        }
        agrees
    }

    fn amount(&self) -> Option<f64> {
        self.first.map(|(amount, _)| amount)
    }
}

/// What a unit measures, and how many metres or grams it is.
enum Measure {
    Metres(f64),
    Grams(f64),
}

impl Measure {
    fn of(word: &str) -> Option<Self> {
        Some(match word {
            "m" | "mt" | "mtr" | "mtrs" | "meter" | "meters" | "metre" | "metres" | "metern" => {
                Self::Metres(1.0)
            }
            "yd" | "yds" | "yard" | "yards" | "y" => Self::Metres(METRES_PER_YARD),
            "km" => Self::Metres(1_000.0),
            "g" | "gr" | "gm" | "gms" | "gram" | "grams" | "gramme" | "grammes" | "gramm" => Self::Grams(1.0),
            "kg" => Self::Grams(1_000.0),
            "oz" | "ozs" | "ounce" | "ounces" => Self::Grams(GRAMS_PER_OUNCE),
            _ => return None,
        })
    }
}

/// Words that only lead on to an amount.
const FILLERS: [&str; 26] = [
    "per",
    "pro",
    "in",
    "je",
    "a",
    "approx",
    "ca",
    "circa",
    "about",
    "ll",
    "lauflänge",
    "length",
    "ball",
    "auf",
    "each",
    "skein",
    "hank",
    "cone",
    "unit",
    "knäuel",
    "strang",
    "docke",
    "stück",
    "stk",
    "länge",
    "yardage",
];

/// The numbers of a text with the word after each, in small letters.
fn amounts(text: &str) -> Result<Vec<(f64, String)>, WordsFault> {
    let lower = text.to_lowercase();
    let mut found: Vec<(f64, String)> = Vec::new();
    let mut rest = lower.as_str();
    while let Some(first) = rest.chars().next() {
        let is_number = |c: char| c.is_ascii_digit();
        if is_number(first) || (first == '-' && rest[1..].starts_with(is_number)) {
            let inner = |c: char| is_number(c) || c == '.' || c == ',';
            let sign = usize::from(first == '-');
            let end = rest[sign..].find(|c| !inner(c)).map_or(rest.len(), |end| end + sign);
            let digits = rest[..end].trim_end_matches(['.', ',']);
            found.push((number(digits)?, String::new()));
            rest = &rest[end..];
        } else if first.is_alphabetic() {
            let end = rest.find(|c: char| !c.is_alphabetic()).unwrap_or(rest.len());
            let word = &rest[..end];
            match found.last_mut() {
                Some((_, unit)) if unit.is_empty() && !FILLERS.contains(&word) => word.clone_into(unit),
                _ if FILLERS.contains(&word) => {}
                _ => return Err(WordsFault::NoLength(text.into())),
            }
            rest = &rest[end..];
        } else if first.is_whitespace() || "/=:.()~≈,;+".contains(first) {
            rest = &rest[first.len_utf8()..];
        } else {
            return Err(WordsFault::NoNumber(text.into()));
        }
    }
    if found.is_empty() { Err(WordsFault::NoNumber(text.into())) } else { Ok(found) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_length_is_read_as_bands_write_it() {
        let read = |text| {
            let found = band_length(text, LengthUnit::Metric).unwrap();
            ((found.metres * 1e3).round() / 1e3, found.grams)
        };
        for text in [
            "125 m per 50 g",
            "125m/50g",
            "50 g = 125 m",
            "LL 125 m / 50 g",
            "ca. 125 m auf 50 g",
            "125,0 m / 50,0 g",
        ] {
            assert_eq!(read(text), (125.0, Some(50.0)), "{text}");
        }
        for text in ["125", "125 m", "125.0m", "125,0", "approx. 125 metres", "125 Meter", "125 m per ball"] {
            assert_eq!(read(text), (125.0, None), "{text}");
        }
        assert_eq!(read("137 yd"), (125.273, None));
        // In two units, as bands print it.
        assert_eq!(read("137 yds / 125 m"), (125.0, None));
        assert_eq!(read("125 m (137 yd) per 50 g / 1.75 oz"), (125.0, Some(50.0)));
        assert_eq!(read("LL 125m je Knäuel"), (125.0, None));
        assert_eq!(read("230 yards / 3.5 oz").1.map(f64::round), Some(99.0));
        assert_eq!(band_length("100", LengthUnit::Imperial).unwrap().metres, 91.44);
        assert_eq!(
            band_length("110 m / 50 g", LengthUnit::Metric).unwrap().metres_per_100g(None),
            Some(220.0)
        );
    }

    #[test]
    fn what_is_no_length_is_refused_and_never_guessed() {
        for text in [
            "",
            "m",
            "long",
            "50 g",
            "-125 m",
            "125 m 130 m",
            "125 m / 190 yd",
            "125 / 50",
            "1,250 m",
            "125 m / 0 g",
            "125 €",
            "12 5",
        ] {
            assert!(band_length(text, LengthUnit::Metric).is_err(), "{text}");
        }
    }

    #[test]
    fn prices_and_weights() {
        let price = |text| band_price(text).map(|price| (price.amount, price.currency)).unwrap();
        for (text, amount, currency) in [
            ("£5.45", 5.45, "£"),
            ("5,45 €", 5.45, "€"),
            ("EUR 5.45", 5.45, "EUR"),
            ("5.45", 5.45, ""),
            ("7,- €", 7.0, "€"),
            ("Fr. 6.90", 6.9, "FR"),
        ] {
            assert_eq!(price(text), (amount, currency.to_owned()), "{text}");
        }
        for text in ["dear", "-5.45", "£5.45 €", "1.234,50 €", "5.45 per ball", ""] {
            assert!(band_price(text).is_err(), "{text}");
        }
        assert_eq!(band_weight("50 g"), Ok(50.0));
        assert_eq!(band_weight("0,1 kg"), Ok(100.0));
        assert_eq!(band_weight("1.75 oz / 50 g"), Ok(50.0));
        assert!(band_weight("50 g / 3.5 oz").is_err());
        assert_eq!(band_weight("1.75 oz").unwrap().round(), 50.0);
        assert!(band_weight("50 m").is_err() && band_weight("heavy").is_err());
    }
}
