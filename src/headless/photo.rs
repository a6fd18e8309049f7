//! `huegauge photo`: the colours of yarn in a photograph, as JSON.

use std::path::PathBuf;

use lexopt::Arg;
use serde::Serialize;

use super::args::{OptionHelp, known_names, unknown, value, value_by};
use super::colour_json::ColourOut;
use super::error::CommandError;
use super::print;
use crate::export::json::{self, finely_rounded, key, rounded};
use crate::file::{Loaded, load_picture};
use crate::photo::{
    Balance, Depth, ErrorEstimate, KnownYarn, LightSource, PhotoError, PhotoWarning, Picture, Reference,
    Region, Spread, Watch, YarnSample, find_yarns, known_colour, sample_yarn,
};
use crate::plain_text::quoted;

/// The options of the command.
pub(super) const OPTIONS: &[OptionHelp] = &[
    OptionHelp {
        name: "reference",
        value: "X,Y,W,H",
        help: "a grey card or white paper, in pixels from the top left; give two or three apart and uneven light is evened out",
    },
    OptionHelp {
        name: "reflectance",
        value: "R",
        help: "the share of light it reflects, 0.02 to 1 (0.18, a grey card); one for all, or one for each --reference in turn",
    },
    OptionHelp {
        name: "known",
        value: "X,Y,W,H=COLOUR",
        help: "a place on a yarn whose colour is known, #rrggbb or L,a,b (D65): takes the shadows between plies out; may be given often",
    },
    OptionHelp {
        name: "light",
        value: "SOURCE",
        help: "what light it was taken in: daylight, white-lamp, warm-lamp or unknown (the usual); without a reference it tells how far readings may be off",
    },
    OptionHelp { name: "yarn", value: "X,Y,W,H", help: "a place on a yarn; may be given often" },
    OptionHelp { name: "find", value: "", help: "look for up to 12 yarns in the picture" },
];

/// What the command is asked for.
#[derive(Default)]
struct PhotoJob {
    picture: PathBuf,
    references: Vec<Region>,
    reflectances: Vec<f64>,
    known: Vec<KnownYarn>,
    source: LightSource,
    yarns: Vec<Region>,
    find: bool,
}

/// Reads the picture and prints what was asked for.
pub(super) fn run(args: lexopt::Parser) -> Result<(), CommandError> {
    let job = job_asked(args)?;
    let loaded = load_picture(&job.picture, &Watch::nobody())?;
    let reading =
        read(&job, &loaded).map_err(|error| CommandError::Photo { file: job.picture.clone(), error })?;
    print(&(json::text(&reading).map_err(CommandError::Figures)? + "\n"))
}

fn job_asked(mut args: lexopt::Parser) -> Result<PhotoJob, CommandError> {
    let mut job = PhotoJob::default();
    let mut picture = None;
    while let Some(arg) = args.next()? {
        match arg {
            Arg::Long("reference") => job.references.push(region_value(&mut args, "--reference")?),
            Arg::Long("reflectance") => {
                job.reflectances.push(value(&mut args, "--reflectance", "a number from 0.02 to 1")?);
            }
            Arg::Long("known") => job.known.push(known_value(&mut args)?),
            Arg::Long("light") => {
                job.source = value_by(
                    &mut args,
                    "--light",
                    "daylight, white-lamp, warm-lamp or unknown",
                    LightSource::by_key,
                )?;
            }
            Arg::Long("yarn") => job.yarns.push(region_value(&mut args, "--yarn")?),
            Arg::Long("find") => job.find = true,
            Arg::Value(path) if picture.is_none() => picture = Some(PathBuf::from(path)),
            other => return Err(CommandError::Entry(unknown(&other, &known_names(&[OPTIONS])))),
        }
    }
    job.picture = picture
        .ok_or_else(|| CommandError::entry("photo needs a picture: huegauge photo PICTURE --yarn X,Y,W,H"))?;
    if job.yarns.is_empty() && !job.find {
        let what = "photo needs a place to read: name one with --yarn X,Y,W,H, or use --find";
        return Err(CommandError::entry(what));
    }
    match (job.reflectances.len(), job.references.len()) {
        (0 | 1, 1..) | (0, 0) => {}
        (_, 0) => {
            let what = "--reflectance needs --reference X,Y,W,H beside it: where is the card?";
            return Err(CommandError::entry(what));
        }
        (shares, cards) if shares == cards => {}
        (shares, cards) => {
            return Err(CommandError::Entry(format!(
                "{cards} times --reference and {shares} times --reflectance: give one reflectance for all, or one for each"
            )));
        }
    }
    Ok(job)
}

impl PhotoJob {
    /// The references with what they reflect.
    fn references(&self) -> Vec<Reference> {
        let share = |number: usize| {
            let shares = &self.reflectances;
            shares.get(number).or(shares.first()).copied().unwrap_or(Reference::GREY_CARD)
        };
        let reference =
            |(number, region): (usize, &Region)| Reference { region: *region, reflectance: share(number) };
        self.references.iter().enumerate().map(reference).collect()
    }
}

/// A rectangle and the colour of the yarn in it.
fn known_value(args: &mut lexopt::Parser) -> Result<KnownYarn, CommandError> {
    let (region, colour, text) = value_by(args, "--known", "X,Y,W,H=COLOUR", |text| {
        let (place, colour) = text.split_once('=')?;
        Some((region_of(place)?, known_colour(colour), text.to_owned()))
    })?;
    let colour =
        colour.map_err(|error| CommandError::Entry(format!("--known {}: {error}", quoted(&text))))?;
    Ok(KnownYarn { region, colour })
}

/// A rectangle of four whole numbers.
fn region_of(text: &str) -> Option<Region> {
    let numbers: Result<Vec<u32>, _> = text.split(',').map(|part| part.trim().parse()).collect();
    match numbers.as_deref() {
        Ok(&[x, y, width, height]) => Some(Region::new(x, y, width, height)),
        _ => None,
    }
}

/// A rectangle as four whole numbers.
fn region_value(args: &mut lexopt::Parser, option: &str) -> Result<Region, CommandError> {
    value_by(args, option, "X,Y,W,H in whole pixels", region_of)
}

fn read(job: &PhotoJob, loaded: &Loaded) -> Result<ReadingOut, PhotoError> {
    let picture = &loaded.picture;
    let watch = Watch::nobody();
    let references = job.references();
    let balance = Balance::measure_all(picture, &references, &watch)?.under(job.source);
    let balance = balance.with_known(picture, &job.known, &watch)?;
    let mut regions = Vec::new();
    for region in &job.yarns {
        let sample = sample_yarn(picture, *region, &balance, &watch)?;
        regions.push(RegionOut::new("asked", *region, &sample));
    }
    if job.find {
        for found in find_yarns(picture, &balance, &job.references, &watch)? {
            let sample = sample_yarn(picture, found.sample, &balance, &watch)?;
            let region = RegionOut::new("found", found.sample, &sample);
            regions.push(RegionOut {
                bounds_px: Some(found.bounds.into()),
                picture_share_percent: Some(rounded(100.0 * found.share)),
                ..region
            });
        }
    }
    Ok(ReadingOut {
        picture: PictureOut::new(job, picture, loaded),
        light: LightOut::new(&references, &balance),
        light_source: job.source.key(),
        known_yarns: KnownOut::new(&job.known, &balance),
        colour_meant: "the fibre's own under D65, as a maker's measured shade is; surface_colour is what the lit surface looks like, darker between plies",
        error_means: "CIEDE2000; about 68 % of readings lie within it and 95 % within twice it, calibrated on generated pictures of other yarns, lights and cameras",
        warnings: warnings(balance.warnings()),
        regions,
    })
}

#[derive(Serialize)]
struct ReadingOut {
    picture: PictureOut,
    /// The light that was taken out; absent without a reference.
    light: Option<LightOut>,
    /// What it is said to have been; counts where it was not measured.
    light_source: &'static str,
    /// What yarns of known colour told; absent without any.
    known_yarns: Option<KnownOut>,
    colour_meant: &'static str,
    error_means: &'static str,
    /// What makes the correction less certain.
    warnings: Vec<WarningOut>,
    regions: Vec<RegionOut>,
}

#[derive(Serialize)]
struct PictureOut {
    file: String,
    width_px: u32,
    height_px: u32,
    bits_per_channel: u8,
    notes: Vec<String>,
}

#[derive(Serialize)]
struct LightOut {
    /// The first reference.
    reference_px: RectangleOut,
    reflectance: f64,
    references: Vec<ReferenceOut>,
    /// In how many directions the light's falling off is known and evened out: 0, 1 or 2.
    evened_directions: usize,
    /// Lightest over darkest light on the references.
    light_ratio: f64,
    /// Of a perfect white, Y = 1.
    white_xyz: [f64; 3],
    /// Chroma of that white: 0 for D65.
    cast_oklab: f64,
    exposure_factor: f64,
}

#[derive(Serialize)]
struct ReferenceOut {
    region_px: RectangleOut,
    reflectance: f64,
    /// What light is multiplied by there to be that of the references' middle.
    evening_factor: f64,
}

#[derive(Serialize)]
struct KnownOut {
    /// What light is multiplied by besides.
    light_factor: f64,
    /// How many times as large as usual the error of colour is, by what they look like.
    colour_error_factor: f64,
    yarns: Vec<KnownYarnOut>,
}

#[derive(Serialize)]
struct KnownYarnOut {
    region_px: RectangleOut,
    colour: ColourOut,
}

#[derive(Serialize)]
struct RegionOut {
    /// `asked` or `found`.
    origin: &'static str,
    region_px: RectangleOut,
    /// Round the whole yarn, when it was found.
    bounds_px: Option<RectangleOut>,
    picture_share_percent: Option<f64>,
    /// The fibre's own.
    colour: ColourOut,
    /// Of the lit surface, shadows included.
    surface_colour: ColourOut,
    /// How much darker the surface is, in L*.
    shadow_lstar: f64,
    /// Standard deviation of light on it over its mean.
    texture: f64,
    spread: SpreadOut,
    error_ciede2000: ErrorOut,
    pixels_read: usize,
    warnings: Vec<WarningOut>,
}

#[derive(Serialize)]
struct RectangleOut {
    x: u32,
    y: u32,
    width: u32,
    height: u32,
}

#[derive(Serialize)]
struct SpreadOut {
    kind: String,
    within_oklab: f64,
    between_oklab: f64,
    odd_percent: f64,
    lightness_ratio: f64,
    parts: Vec<PartOut>,
}

#[derive(Serialize)]
struct PartOut {
    colour: ColourOut,
    share_percent: f64,
}

/// One standard deviation (about 68 % of readings lie within it), by source and in all.
#[derive(Serialize)]
struct ErrorOut {
    total: f64,
    light: f64,
    reading: f64,
    camera: f64,
    flaws: f64,
}

#[derive(Serialize)]
struct WarningOut {
    kind: &'static str,
    message: String,
}

impl PictureOut {
    fn new(job: &PhotoJob, picture: &Picture, loaded: &Loaded) -> Self {
        Self {
            file: job.picture.display().to_string(),
            width_px: picture.width(),
            height_px: picture.height(),
            bits_per_channel: match picture.depth() {
                Depth::Eight => 8,
                Depth::Sixteen => 16,
            },
            notes: loaded.notes.iter().map(ToString::to_string).collect(),
        }
    }
}

impl LightOut {
    fn new(references: &[Reference], balance: &Balance) -> Option<Self> {
        let (first, light) = (references.first()?, balance.light()?);
        let evenness = balance.evenness();
        let reference = |reference: &Reference| {
            let Region { x, y, width, height } = reference.region;
            let middle = |start: u32, size: u32| f64::from(start) + f64::from(size) / 2.0;
            ReferenceOut {
                region_px: reference.region.into(),
                reflectance: reference.reflectance,
                evening_factor: finely_rounded(evenness.gain_at(middle(x, width), middle(y, height))),
            }
        };
        Some(Self {
            reference_px: first.region.into(),
            reflectance: first.reflectance,
            references: references.iter().map(reference).collect(),
            evened_directions: evenness.known_directions(),
            light_ratio: finely_rounded(evenness.times()),
            white_xyz: light.white.map(finely_rounded),
            cast_oklab: finely_rounded(light.cast),
            exposure_factor: finely_rounded(light.exposure),
        })
    }
}

impl KnownOut {
    fn new(known: &[KnownYarn], balance: &Balance) -> Option<Self> {
        let yarn = |known: &KnownYarn| KnownYarnOut {
            region_px: known.region.into(),
            colour: ColourOut::new(known.colour),
        };
        let light_factor = finely_rounded(balance.known_gain()?);
        let colour_error_factor = finely_rounded(balance.colour_error_factor());
        Some(Self { light_factor, colour_error_factor, yarns: known.iter().map(yarn).collect() })
    }
}

impl RegionOut {
    fn new(origin: &'static str, region: Region, sample: &YarnSample) -> Self {
        Self {
            origin,
            region_px: region.into(),
            bounds_px: None,
            picture_share_percent: None,
            colour: ColourOut::new(sample.colour),
            surface_colour: ColourOut::new(sample.surface),
            shadow_lstar: rounded(sample.shadow_lstar()),
            texture: finely_rounded(sample.relief.texture),
            spread: SpreadOut::new(&sample.spread),
            error_ciede2000: ErrorOut::new(sample.error),
            pixels_read: sample.pixels,
            warnings: warnings(&sample.warnings),
        }
    }
}

impl From<Region> for RectangleOut {
    fn from(region: Region) -> Self {
        Self { x: region.x, y: region.y, width: region.width, height: region.height }
    }
}

impl SpreadOut {
    fn new(spread: &Spread) -> Self {
        let parts = spread.parts.iter();
        Self {
            kind: key(spread.kind.name()),
            within_oklab: finely_rounded(spread.within),
            between_oklab: finely_rounded(spread.between),
            odd_percent: rounded(100.0 * spread.odd),
            lightness_ratio: rounded(spread.lightness_ratio),
            parts: parts
                .map(|part| PartOut {
                    colour: ColourOut::new(part.colour),
                    share_percent: rounded(100.0 * part.share),
                })
                .collect(),
        }
    }
}

impl ErrorOut {
    fn new(error: ErrorEstimate) -> Self {
        Self {
            total: rounded(error.total()),
            light: rounded(error.light),
            reading: rounded(error.reading),
            camera: rounded(error.camera),
            flaws: rounded(error.flaws),
        }
    }
}

fn warnings(all: &[PhotoWarning]) -> Vec<WarningOut> {
    all.iter()
        .map(|warning| WarningOut { kind: warning_key(warning), message: warning.to_string() })
        .collect()
}

const fn warning_key(warning: &PhotoWarning) -> &'static str {
    match warning {
        PhotoWarning::NoReference => "no_reference",
        PhotoWarning::ReferenceClipped { .. } => "reference_overexposed",
        PhotoWarning::ReferenceUneven { .. } => "reference_uneven",
        PhotoWarning::ReferenceLeftOut { .. } => "reference_left_out",
        PhotoWarning::ReferenceDark => "reference_dark",
        PhotoWarning::BeyondWhite { .. } => "picture_beyond_white",
        PhotoWarning::LightestIsReference { .. } => "reference_is_lightest",
        PhotoWarning::ReferencesDisagree { .. } => "references_disagree",
        PhotoWarning::ReferencesDiffer => "references_differ_in_colour",
        PhotoWarning::UnevenLight { .. } => "light_uneven",
        PhotoWarning::LightFallsOff { .. } => "light_falls_off",
        PhotoWarning::KnownUnlikely { .. } => "known_yarn_unlikely",
        PhotoWarning::KnownDisagree { .. } => "known_yarns_disagree",
        PhotoWarning::TooLight { .. } => "lighter_than_white",
        PhotoWarning::StrongCast => "reference_strongly_coloured",
        PhotoWarning::Clipped { .. } => "overexposed",
        PhotoWarning::DeepShade { .. } => "deep_shade",
        PhotoWarning::FewPixels { .. } => "few_pixels",
        PhotoWarning::SeveralColours => "several_colours",
    }
}
