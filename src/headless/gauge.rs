//! `huegauge gauge`: stitches and rows off a photograph of a swatch.

use std::path::PathBuf;

use lexopt::Arg;
use serde::Serialize;

use super::args::{OptionHelp, known_names, unknown, value_by};
use super::error::CommandError;
use super::print;
use crate::export::json::{self, finely_rounded};
use crate::file::load_picture;
use crate::photo::{GaugeReading, GaugeWarning, Place, Scale, Watch, read_gauge};

/// The options of the command.
pub(super) const OPTIONS: &[OptionHelp] = &[
    OptionHelp {
        name: "card",
        value: "X,Y,X,Y,X,Y,X,Y",
        help: "the corners of a card of ISO/IEC 7810 ID-1 size (85.60 x 53.98 mm) beside the swatch, in pixels from the top left, clockwise as it lies",
    },
    OptionHelp {
        name: "scale",
        value: "X,Y,X,Y=MM",
        help: "in place of a card: two places MM apart (on a ruler, or across a coin of that diameter), the camera straight above; or X,Y,X,Y,X,Y,X,Y=WxH, the corners of a rectangle of W by H mm",
    },
    OptionHelp {
        name: "swatch",
        value: "X,Y,X,Y,X,Y,X,Y",
        help: "the corners of the part to be read, clockwise from the top left as it is knitted: its top edge goes along a row",
    },
];

struct GaugeJob {
    picture: PathBuf,
    scale: Scale,
    swatch: [Place; 4],
}

/// Reads the picture and prints the gauge.
pub(super) fn run(args: lexopt::Parser) -> Result<(), CommandError> {
    let job = job_asked(args)?;
    let loaded = load_picture(&job.picture, &Watch::nobody())?;
    let reading = read_gauge(&loaded.picture, &job.scale, job.swatch)
        .map_err(|error| CommandError::Gauge { file: job.picture.clone(), error })?;
    let out = GaugeOut::new(&job, &reading);
    print(&(json::text(&out).map_err(CommandError::Figures)? + "\n"))
}

fn job_asked(mut args: lexopt::Parser) -> Result<GaugeJob, CommandError> {
    let (mut picture, mut scale, mut swatch) = (None, None, None);
    while let Some(arg) = args.next()? {
        match arg {
            Arg::Long("card") => set_scale(&mut scale, Scale::Card(corners_value(&mut args, "--card")?))?,
            Arg::Long("scale") => set_scale(&mut scale, scale_value(&mut args)?)?,
            Arg::Long("swatch") => swatch = Some(corners_value(&mut args, "--swatch")?),
            Arg::Value(path) if picture.is_none() => picture = Some(PathBuf::from(path)),
            other => return Err(CommandError::Entry(unknown(&other, &known_names(&[OPTIONS])))),
        }
    }
    let needs = |what: &str| CommandError::Entry(format!("gauge needs {what}: see huegauge --help"));
    Ok(GaugeJob {
        picture: picture.ok_or_else(|| needs("a picture"))?,
        scale: scale.ok_or_else(|| needs("something of known size: --card with its corners, or --scale"))?,
        swatch: swatch.ok_or_else(|| needs("the corners of the swatch after --swatch"))?,
    })
}

fn set_scale(scale: &mut Option<Scale>, found: Scale) -> Result<(), CommandError> {
    match scale.replace(found) {
        None => Ok(()),
        Some(_) => Err(CommandError::entry("the size is told twice: give one --card or one --scale")),
    }
}

fn corners_value(args: &mut lexopt::Parser, option: &str) -> Result<[Place; 4], CommandError> {
    value_by(args, option, "X,Y,X,Y,X,Y,X,Y in pixels", |text| places(text)?.try_into().ok())
}

fn scale_value(args: &mut lexopt::Parser) -> Result<Scale, CommandError> {
    value_by(args, "--scale", "X,Y,X,Y=MM or X,Y,X,Y,X,Y,X,Y=WxH", scale_of)
}

fn scale_of(text: &str) -> Option<Scale> {
    let (places_text, size) = text.split_once('=')?;
    let size = size.trim().trim_end_matches("mm").trim();
    let number = |text: &str| text.trim().parse::<f64>().ok().filter(|value| value.is_finite());
    let places = places(places_text)?;
    match (<[Place; 4]>::try_from(places.clone()), size.split_once(['x', '×'])) {
        (Ok(corners), Some((width, height))) => {
            Some(Scale::Rectangle { corners, width: number(width)?, height: number(height)? })
        }
        (Err(_), None) => Some(Scale::Length { ends: places.try_into().ok()?, mm: number(size)? }),
        _ => None,
    }
}

/// Pairs of numbers with commas between.
fn places(text: &str) -> Option<Vec<Place>> {
    let numbers: Vec<f64> = text.split(',').map(|part| part.trim().parse().ok()).collect::<Option<_>>()?;
    let (pairs, rest) = numbers.as_chunks::<2>();
    (rest.is_empty() && numbers.iter().all(|value| value.is_finite())).then(|| pairs.to_vec())
}

#[derive(Serialize)]
struct GaugeOut {
    picture: String,
    stitches_per_10_cm: f64,
    rows_per_10_cm: f64,
    stitches_error: f64,
    rows_error: f64,
    error_means: &'static str,
    /// What was read, in mm along the rows and down the columns.
    read_mm: [f64; 2],
    /// Stitches and rows in it.
    stitches_read: f64,
    rows_read: f64,
    /// Pixels of the scale's corners or ends as they were taken: on the edges of the card where those are seen.
    scale_px: Vec<[f64; 2]>,
    edges_found: usize,
    warnings: Vec<WarningOut>,
}

#[derive(Serialize)]
struct WarningOut {
    kind: &'static str,
    message: String,
}

impl GaugeOut {
    fn new(job: &GaugeJob, reading: &GaugeReading) -> Self {
        let (width, height) = reading.read_mm;
        Self {
            picture: job.picture.display().to_string(),
            stitches_per_10_cm: finely_rounded(reading.stitches_per_10_cm),
            rows_per_10_cm: finely_rounded(reading.rows_per_10_cm),
            stitches_error: finely_rounded(reading.stitches_error),
            rows_error: finely_rounded(reading.rows_error),
            error_means: "one standard deviation: about 68 % of readings lie within it and 95 % within twice it, found on generated pictures; of the washed piece the gauge must still be told by washing the swatch",
            read_mm: [finely_rounded(width), finely_rounded(height)],
            stitches_read: finely_rounded(width * reading.stitches_per_10_cm / 100.0),
            rows_read: finely_rounded(height * reading.rows_per_10_cm / 100.0),
            scale_px: reading.scale_places.iter().map(|place| place.map(finely_rounded)).collect(),
            edges_found: reading.edges_found,
            warnings: reading
                .warnings
                .iter()
                .map(|warning| WarningOut { kind: key(warning), message: warning.to_string() })
                .collect(),
        }
    }
}

const fn key(warning: &GaugeWarning) -> &'static str {
    match warning {
        GaugeWarning::NoTilt => "tilt_unknown",
        GaugeWarning::StrongTilt { .. } => "strong_tilt",
        GaugeWarning::Few { .. } => "few",
        GaugeWarning::CardUnsure { .. } => "card_unsure",
        GaugeWarning::EdgesNotSeen { .. } => "edges_not_seen",
        GaugeWarning::OutOfShape { .. } => "out_of_shape",
        GaugeWarning::Drift { .. } => "drift",
    }
}
