//! The knit fabric as a picture to show: stitch by stitch in light, as a flat swatch or on the garment, near or
//! from across the room.
//!
//! Every stitch is a small parallelogram with light on it (see `stitch_light`); all are painted in linear light, band by
//! band, and averaged there, so that what is far away keeps the light of what is near.

use std::collections::BTreeSet;
use std::io::Write;
use std::sync::atomic::{AtomicBool, Ordering};

use rayon::prelude::*;

use super::ExportError;
use super::fabric_paint::{Laid, Paint, SPREAD, weights};
use super::garment_picture::{between, stitch_rows};
use super::png::{self, Bands};
use super::stitch_light::{self, Hand, REACH, SHADOW};
use crate::chart::Cell;
use crate::colour::{Colour, transfer};
use crate::knit::pieces::{Garment, LaidPiece, PointCm};
use crate::project::{Project, StrandLook};

/// Pixels a stitch can have, near.
pub const PX: std::ops::RangeInclusive<u32> = 4..=48;
/// What the eye tells apart across a room: one minute of arc (the usual sharpness of sight, 20/20) at 4 m.
pub const ROOM_MM: f64 = 4_000.0 * std::f64::consts::PI / (180.0 * 60.0);
/// Least width and height of a swatch in cm: the chart's repeat is continued to the sides up to it.
const SWATCH_CM: f64 = 15.0;
/// Plain stitches and rows around a swatch.
const EDGE: u32 = 4;
/// What it lies on where that is apart from every yarn, as a code of all three channels, and the darkest it is else.
const PALE: u8 = 240;
const DEEP: u8 = 60;
/// How far apart that is at least (CIEDE2000, our judgement).
const APART: f64 = 5.0;
/// Around what is knitted, in cm.
const MARGIN_CM: f64 = 1.0;
/// Between both sides of a garment, in cm.
const GAP_CM: f64 = 5.0;
/// Least stitches a pixel is averaged of, across, from afar: fewer would show their own pattern.
const FINE: f64 = 7.0;
/// Rows of pixels painted at a time.
const BAND: u32 = 48;
/// Which hand knits it: any number; the same one knits the same picture.
const SEED: u32 = 20;

/// What is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Shown {
    /// The chart's repeat as a flat swatch.
    #[default]
    Swatch,
    /// The pieces put together, front and back.
    Garment,
}

impl Shown {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Swatch, Self::Garment];

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Swatch => "Flat swatch",
            Self::Garment => "Garment, both sides",
        }
    }
}

/// From where it is looked at.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Distance {
    /// In the hand: every stitch is seen.
    #[default]
    Arm,
    /// From 4 m: a pixel is what the eye tells apart, averaged in linear light.
    Room,
}

impl Distance {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Arm, Self::Room];

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Arm => "At arm's length",
            Self::Room => "Across the room",
        }
    }
}

/// How the picture is made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FabricOptions {
    /// What is shown.
    pub shown: Shown,
    /// From where.
    pub distance: Distance,
    /// In greys of equal lightness (L*) instead of colours.
    pub grey: bool,
    /// Pixels to a stitch, within [`PX`]; from across the room it is the distance that gives them.
    pub px_per_stitch: u32,
}

impl Default for FabricOptions {
    fn default() -> Self {
        Self { shown: Shown::default(), distance: Distance::default(), grey: false, px_per_stitch: 14 }
    }
}

/// The lights of the colours: one for each slot, then those of yarns whose colour changes along the strand.
struct Lights {
    looks: Vec<Option<(StrandLook, u16)>>,
}

impl Lights {
    fn of(project: &Project) -> (Self, Vec<Colour>) {
        let mut colours: Vec<Colour> = project.palette.slots().iter().map(|slot| slot.colour).collect();
        let mut with_place = |look: StrandLook| {
            let first = colours.len() as u16;
            colours.extend(look.shown());
            (look, first)
        };
        let looks = project.strand_looks().into_iter().map(|look| look.map(&mut with_place)).collect();
        (Self { looks }, colours)
    }

    /// The light of the `x`th stitch of a row of `width` in a slot's colour.
    fn at(&self, slot: usize, (x, y): (u32, u32), width: u32) -> u16 {
        match self.looks.get(slot) {
            Some(Some((look, first))) => first + look.at(x.into(), y.into(), width) as u16,
            _ => slot as u16,
        }
    }
}

/// The grey that yarns of these colours lie on: a garment must not melt into it.
fn ground_for(yarns: &[Colour]) -> u8 {
    let apart = |code: u8| {
        let grey = Colour::from_srgb8([code; 3]);
        yarns.iter().map(|yarn| yarn.difference(grey)).fold(f64::INFINITY, f64::min)
    };
    if apart(PALE) >= APART {
        return PALE;
    }
    let greys = (DEEP..=PALE).step_by(6);
    greys.max_by(|one, other| apart(*one).total_cmp(&apart(*other))).unwrap_or(PALE)
}

/// A picture that is laid out and can be written.
pub struct FabricPicture {
    title: String,
    /// Width and height in pixels.
    size: [u32; 2],
    /// Painted pixels to a pixel, each way.
    finer: u32,
    /// Whether it is blurred as the eye blurs it.
    afar: bool,
    pixels_per_metre: u32,
    /// Stitches by layer: what lies under comes first.
    layers: Vec<Vec<Laid>>,
    lights: Vec<[f32; 3]>,
    /// Of what it lies on.
    ground: f32,
    height_over_width: f32,
    gain: f32,
}

impl FabricPicture {
    /// Lays the picture out.
    ///
    /// # Errors
    /// [`ExportError`] when the pieces cannot be worked, there are none, or the picture would be too large; then it names
    /// the most pixels a stitch that fit.
    pub fn of(project: &Project, options: &FabricOptions) -> Result<Self, ExportError> {
        if !PX.contains(&options.px_per_stitch) {
            return Err(ExportError::FabricPx(options.px_per_stitch));
        }
        let gauge = project.plan.gauge;
        let stitch_mm = gauge.stitch_width_cm() * 10.0;
        let (px, finer) = match options.distance {
            Distance::Arm => (f64::from(options.px_per_stitch), 1),
            Distance::Room => {
                let px = stitch_mm / ROOM_MM;
                (px, (FINE / px).ceil().max(1.0) as u32)
            }
        };
        let per_cm = px * f64::from(finer) / gauge.stitch_width_cm();
        let (lights, colours) = Lights::of(project);
        let mut layout = Layout { per_cm, layers: Vec::new(), size_cm: [0.0; 2], lights };
        match options.shown {
            Shown::Swatch => layout.swatch(project),
            Shown::Garment => layout.garment(project)?,
        }
        let side = |cm: f64| ((cm * per_cm / f64::from(finer)).ceil() as u32).max(1);
        let size = layout.size_cm.map(side);
        png::check_size(size[0] * finer, size[1] * finer).map_err(|error| {
            let whole = f64::from(size[0]) * f64::from(size[1]) / 1e6;
            let fits = (px * (png::MAX_MEGAPIXELS as f64 / whole).sqrt()).floor() as u32;
            if fits < *PX.start() { error } else { ExportError::TooFine { asked: px as u32, largest: fits } }
        })?;
        let seen = |colour: &Colour| if options.grey { colour.greyscale() } else { *colour };
        let colours: Vec<Colour> = colours.iter().map(seen).collect();
        let knitted: BTreeSet<u16> = layout.layers.iter().flatten().map(|laid| laid.light).collect();
        let knitted: Vec<Colour> = knitted.iter().map(|light| colours[usize::from(*light)]).collect();
        let light = |code: u8| transfer::byte_to_light(code) as f32;
        let height_over_width = (1.0 / gauge.cell_aspect()) as f32;
        Ok(Self {
            title: project.title.clone(),
            size,
            finer,
            afar: options.distance == Distance::Room,
            pixels_per_metre: (per_cm / f64::from(finer) * 100.0).round() as u32,
            layers: layout.layers,
            lights: colours.iter().map(|colour| colour.to_srgb8().map(light)).collect(),
            ground: light(ground_for(&knitted)),
            height_over_width,
            gain: stitch_light::mean_light(height_over_width).recip(),
        })
    }

    /// Width and height in pixels.
    pub const fn size(&self) -> [u32; 2] {
        self.size
    }

    /// How many stitches are seen.
    pub fn stitches(&self) -> usize {
        self.layers.iter().map(Vec::len).sum()
    }

    /// Writes it as a PNG that prints as large as life; `progress` hears the share that is done, `0..=1`.
    ///
    /// # Errors
    /// [`ExportError`] when the writer fails, for instance because it was stopped.
    pub fn write(&self, out: &mut dyn Write, progress: &(dyn Fn(f64) + Sync)) -> Result<(), ExportError> {
        let [width, height] = self.size;
        let bands = Bands {
            size: (width, height),
            pixels_per_metre: self.pixels_per_metre,
            title: &self.title,
            rows: self.band_rows(),
        };
        bands.write(out, &|top, rows| {
            let band = self.band(top, rows);
            progress(f64::from(top + rows) / f64::from(height));
            Some(band)
        })
    }

    /// All of it as RGB bytes, row by row from the top; `None` soon after `stop` turns true.
    pub fn rgb(&self, stop: &AtomicBool) -> Option<Vec<u8>> {
        let (rows, height) = (self.band_rows(), self.size[1]);
        let tops: Vec<u32> = (0..height).step_by(rows as usize).collect();
        let band = |top| (!stop.load(Ordering::Relaxed)).then(|| self.band(top, rows.min(height - top)));
        let bands: Option<Vec<Vec<u8>>> = tops.into_par_iter().map(band).collect();
        Some(bands?.concat())
    }

    /// Rows of pixels that are painted at a time.
    fn band_rows(&self) -> u32 {
        (BAND / self.finer).max(1)
    }

    /// Some rows of pixels, as RGB bytes.
    fn band(&self, top: u32, rows: u32) -> Vec<u8> {
        let (width, finer) = (self.size[0] * self.finer, self.finer);
        let beyond = if self.afar { SPREAD * finer } else { 0 };
        let from = (top * finer) as f32 - beyond as f32;
        let mut paint = Paint::new(width, from, rows * finer + 2 * beyond, self.ground);
        for layer in &self.layers {
            let seen: Vec<&Laid> = layer.iter().filter(|laid| paint.meets(laid)).collect();
            for laid in &seen {
                paint.quad(laid, self.lights[usize::from(laid.light)], 0.0, |_, _| Some(SHADOW * self.gain));
            }
            for laid in &seen {
                let (hand, height) = (Hand::of(laid.number, SEED), self.height_over_width);
                let light = self.lights[usize::from(laid.light)];
                let shade = |u: f32, v: f32| {
                    let share = if laid.purl {
                        stitch_light::purl(u, v, height, hand)
                    } else {
                        stitch_light::knit(u, v, height, hand)
                    };
                    share.map(|share| share * self.gain)
                };
                paint.quad(laid, light, REACH, shade);
            }
        }
        paint.averaged(finer, &weights(finer, self.afar))
    }
}

struct Layout {
    per_cm: f64,
    layers: Vec<Vec<Laid>>,
    size_cm: [f64; 2],
    lights: Lights,
}

impl Layout {
    fn px(&self, (x, y): PointCm) -> [f32; 2] {
        [(x * self.per_cm) as f32, (y * self.per_cm) as f32]
    }

    /// The repeat, continued to the sides, with plain edges.
    fn swatch(&mut self, project: &Project) {
        let (gauge, repeat) = (project.plan.gauge, project.chart.repeat());
        let ground = project.background_slot();
        let once_cm = gauge.width(repeat.width).get();
        let times = (SWATCH_CM / once_cm).ceil().max(1.0) as u32;
        let (columns, rows) = (repeat.width * times + 2 * EDGE, repeat.height + 2 * EDGE);
        self.size_cm = [gauge.width(columns).get(), gauge.height(rows).get()].map(|cm| cm + 2.0 * MARGIN_CM);
        let (wide, high) = (gauge.stitch_width_cm(), gauge.row_height_cm());
        let mut layer = Vec::with_capacity(columns as usize * rows as usize);
        for y in 0..rows {
            for x in 0..columns {
                let inside = (EDGE..columns - EDGE).contains(&x) && (EDGE..rows - EDGE).contains(&y);
                let cell = inside.then(|| {
                    let at = (repeat.x + (x - EDGE) % repeat.width) as usize;
                    project.chart.grid.row(repeat.y + y - EDGE).get(at).copied().unwrap_or(Cell::NO_STITCH)
                });
                let Some(slot) = cell.map_or(Some(ground), Cell::index) else { continue };
                let at = (MARGIN_CM + f64::from(x) * wide, self.size_cm[1] - MARGIN_CM - f64::from(y) * high);
                let [right, up] = [self.px((wide, 0.0)), self.px((0.0, -high))];
                layer.push(Laid {
                    at: self.px(at),
                    right,
                    up,
                    light: self.lights.at(slot, (x, y), columns),
                    purl: false,
                    number: y * columns + x,
                });
            }
        }
        self.layers.push(layer);
    }

    /// The pieces put together, front and back.
    fn garment(&mut self, project: &Project) -> Result<(), ExportError> {
        let pieces = project.work_pieces(&project.pieces.size())?;
        let garment = Garment::of(&pieces, project.plan.gauge);
        let sides: Vec<(&[LaidPiece], [f64; 4])> = [&garment.front, &garment.back]
            .into_iter()
            .filter_map(|side| Some((side.as_slice(), Garment::extent(side)?)))
            .collect();
        let slots = stitch_rows(project, &pieces, |cell, purl| (cell.index().unwrap_or(0) as u16, purl));
        let Some(slots) = slots.filter(|_| !sides.is_empty()) else { return Err(ExportError::NoPieces) };
        let high = sides.iter().map(|(_, [_, _, bottom, top])| top - bottom).fold(0.0, f64::max);
        let mut left_edge = MARGIN_CM;
        for (side, [left, right, _, top]) in &sides {
            for laid in *side {
                let corner = (left_edge - left, MARGIN_CM + top);
                self.piece(laid, &slots[laid.piece], corner);
            }
            left_edge += right - left + GAP_CM;
        }
        self.size_cm = [left_edge - GAP_CM + MARGIN_CM, high + 2.0 * MARGIN_CM];
        Ok(())
    }

    /// A piece whose origin lies at `corner`, in cm down from the top left.
    fn piece(&mut self, laid: &LaidPiece, rows: &[Vec<(u16, bool)>], corner: PointCm) {
        let place = |point: PointCm| self.px((corner.0 + point.0, corner.1 - point.1));
        let mut layer = Vec::new();
        for row in &laid.rows {
            let Some(stitches) = rows.get(row.row as usize).filter(|row| !row.is_empty()) else { continue };
            let count = stitches.len() as f64;
            let (from, to) = (row.shown.0 * count, row.shown.1 * count);
            let seen = (to - from).round().max(1.0) as u32;
            for i in 0..seen {
                let number =
                    (from + (f64::from(i) + 0.5) * (to - from) / f64::from(seen)) as usize % stitches.len();
                let (slot, purl) = stitches[number];
                let shares = (f64::from(i) / f64::from(seen), f64::from(i + 1) / f64::from(seen));
                // Rows run from right to left.
                let ends = |edge: &[PointCm]| {
                    let part = between(edge, shares);
                    let first = part.first().copied().unwrap_or_default();
                    (place(part.last().copied().unwrap_or(first)), place(first))
                };
                let ((low_left, low_right), (high_left, high_right)) = (ends(&row.lower), ends(&row.upper));
                let half = |a: [f32; 2], b: [f32; 2]| [f32::midpoint(a[0], b[0]), f32::midpoint(a[1], b[1])];
                let less = |a: [f32; 2], b: [f32; 2]| [a[0] - b[0], a[1] - b[1]];
                let up = less(half(high_left, high_right), half(low_left, low_right));
                // The middle width of the stitch, about the middle of its lower edge.
                let right = half(less(low_right, low_left), less(high_right, high_left));
                let foot = half(low_left, low_right);
                let at = [foot[0] - right[0] / 2.0, foot[1] - right[1] / 2.0];
                let light =
                    self.lights.at(usize::from(slot), (number as u32, row.row), stitches.len() as u32);
                layer.push(Laid { at, right, up, light, purl, number: row.row * 4099 + number as u32 });
            }
        }
        self.layers.push(layer);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::Grid;
    use crate::file::demos;
    use crate::project::Chart;

    fn plain(rgb: [u8; 3]) -> Project {
        let mut project = Project::default();
        let ground = project.background_slot();
        project.chart = Chart::new(Grid::square(40, Cell::slot(ground as u8)));
        project.palette.slots_mut()[ground].colour = Colour::from_srgb8(rgb);
        project
    }

    /// The mean light of the middle of the picture.
    fn middle(picture: &FabricPicture) -> Colour {
        let [width, height] = picture.size();
        let (top, rows) = (height / 4, height / 2);
        let band = picture.band(top, rows);
        let mut sum = [0.0; 3];
        let mut count = 0.0;
        for y in 0..rows {
            for x in width / 4..width * 3 / 4 {
                let at = ((y * width + x) * 3) as usize;
                for channel in 0..3 {
                    sum[channel] += transfer::byte_to_light(band[at + channel]);
                }
                count += 1.0;
            }
        }
        Colour::from_srgb8(sum.map(|sum| transfer::to_byte(sum / count)))
    }

    #[test]
    fn no_garment_melts_into_what_it_lies_on() {
        let corner = |rgb: [u8; 3], grey: bool| {
            let options = FabricOptions { grey, ..FabricOptions::default() };
            let band = FabricPicture::of(&plain(rgb), &options).unwrap().band(0, 1);
            Colour::from_srgb8([band[0], band[1], band[2]])
        };
        assert_eq!(corner([60, 90, 120], false).to_srgb8(), [PALE; 3], "it is apart from that");
        for rgb in [[237, 231, 220], [244, 244, 244], [220, 226, 200], [255, 250, 235]] {
            for grey in [false, true] {
                let yarn = Colour::from_srgb8(rgb);
                let yarn = if grey { yarn.greyscale() } else { yarn };
                let apart = yarn.difference(corner(rgb, grey));
                assert!(apart >= APART, "{rgb:?}, in greys {grey}: {apart}");
            }
        }
        // Yarns from white to black leave the widest gap between them.
        let yarns: Vec<Colour> = [250, 232, 120, 70, 20].map(|code| Colour::from_srgb8([code; 3])).into();
        assert!((160..200).contains(&ground_for(&yarns)), "{}", ground_for(&yarns));
    }

    #[test]
    fn from_afar_a_plain_fabric_has_the_colour_of_its_yarn() {
        for rgb in [[120, 60, 50], [60, 90, 120], [40, 40, 44], [150, 140, 90]] {
            for distance in Distance::ALL {
                let options = FabricOptions { distance, px_per_stitch: 12, ..FabricOptions::default() };
                let picture = FabricPicture::of(&plain(rgb), &options).unwrap();
                let off = middle(&picture).difference(Colour::from_srgb8(rgb));
                assert!(off < 2.0, "{rgb:?} {distance:?}: {off}");
            }
        }
    }

    #[test]
    fn in_grey_it_keeps_its_lightness_and_loses_its_hue() {
        let options = FabricOptions { grey: true, ..FabricOptions::default() };
        let picture = FabricPicture::of(&plain([150, 60, 50]), &options).unwrap();
        let (width, band) = (picture.size()[0], picture.band(100, 40));
        assert!(
            band.chunks_exact(3).all(|p| p[0].abs_diff(p[1]) <= 1 && p[1].abs_diff(p[2]) <= 1),
            "{width}"
        );
        let off = middle(&picture).lstar() - Colour::from_srgb8([150, 60, 50]).lstar();
        assert!(off.abs() < 2.0, "{off}");
    }

    #[test]
    fn near_every_stitch_is_seen_and_across_the_room_none_is() {
        let spread = |distance| {
            let options = FabricOptions { distance, ..FabricOptions::default() };
            let picture = FabricPicture::of(&plain([120, 60, 50]), &options).unwrap();
            let [width, height] = picture.size();
            let band = picture.band(height / 3, height / 3);
            let inner: Vec<u8> = band
                .chunks_exact(3)
                .enumerate()
                .filter(|(i, _)| (width / 4..width * 3 / 4).contains(&(*i as u32 % width)))
                .map(|(_, p)| p[0])
                .collect();
            inner.iter().max().unwrap() - inner.iter().min().unwrap()
        };
        assert!(spread(Distance::Arm) > 60, "{}", spread(Distance::Arm));
        let (near, far) = (spread(Distance::Arm), spread(Distance::Room));
        assert!(u32::from(far) * 2 < u32::from(near), "{far} {near}");
    }

    #[test]
    fn bands_make_one_picture_whatever_their_height() {
        let project = demos()[0].project().unwrap();
        let options = FabricOptions { px_per_stitch: 6, ..FabricOptions::default() };
        let picture = FabricPicture::of(&project, &options).unwrap();
        let whole = picture.band(20, 60);
        let parts = [picture.band(20, 17), picture.band(37, 43)].concat();
        assert_eq!(whole, parts);
        let afar =
            FabricPicture::of(&project, &FabricOptions { distance: Distance::Room, ..options }).unwrap();
        assert_eq!(afar.band(10, 60), [afar.band(10, 9), afar.band(19, 51)].concat());
    }

    #[test]
    fn across_the_room_plain_fabric_has_no_stripes() {
        // At some gauges stitches beat with pixels: the means of columns, and of rows, are all about alike.
        for stitches in [22.0, 26.0, 28.0, 31.0] {
            let mut project = plain([150, 140, 120]);
            project.plan.gauge = crate::knit::Gauge::new(stitches, stitches * 1.18).unwrap();
            let options = FabricOptions { distance: Distance::Room, ..FabricOptions::default() };
            let picture = FabricPicture::of(&project, &options).unwrap();
            let [width, height] = picture.size();
            let (from, rows) = (height / 4, height / 2);
            let band = picture.band(from, rows);
            let value = |x: u32, y: u32| f64::from(band[((y * width + x) * 3) as usize]);
            // Over three pixels, a stitch.
            let stripes: Vec<f64> = (width / 4..width * 3 / 4)
                .map(|x| {
                    let three = (0..rows).flat_map(|y| (x..x + 3).map(move |x| (x, y)));
                    three.map(|(x, y)| value(x, y)).sum::<f64>() / f64::from(rows * 3)
                })
                .collect();
            let (low, high) = stripes
                .iter()
                .fold((f64::INFINITY, 0.0_f64), |(low, high), mean| (low.min(*mean), high.max(*mean)));
            assert!(high - low < 6.0, "{stitches}: {low} to {high}");
        }
    }

    /// A file that takes nothing.
    struct Stops;
    impl Write for Stops {
        fn write(&mut self, _: &[u8]) -> std::io::Result<usize> {
            Err(std::io::Error::other("stopped"))
        }
        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }

    #[test]
    fn the_garment_is_written_with_its_progress_and_can_be_stopped() {
        let project = demos()[0].project().unwrap();
        let options = FabricOptions { shown: Shown::Garment, px_per_stitch: 4, ..FabricOptions::default() };
        let picture = FabricPicture::of(&project, &options).unwrap();
        assert!(picture.stitches() > 20_000, "{}", picture.stitches());
        let (mut bytes, done) = (Vec::new(), std::sync::Mutex::new(0.0_f64));
        picture
            .write(&mut bytes, &|share| {
                let mut done = done.lock().unwrap();
                *done = done.max(share);
            })
            .unwrap();
        assert!((*done.lock().unwrap() - 1.0).abs() < 1e-9);
        let image = image::load_from_memory(&bytes).unwrap();
        assert_eq!([image.width(), image.height()], picture.size());
        picture.write(&mut Stops, &|_| {}).unwrap_err();
    }

    #[test]
    fn too_fine_a_picture_is_refused_with_what_fits() {
        let mut project = plain([120, 60, 50]);
        project.chart = Chart::new(Grid::square(1500, Cell::slot(0)));
        let options = FabricOptions { px_per_stitch: 40, ..FabricOptions::default() };
        let refused = FabricPicture::of(&project, &options).err().unwrap();
        let ExportError::TooFine { asked: 40, largest } = refused else { panic!("{refused}") };
        let fits = FabricOptions { px_per_stitch: largest, ..options };
        assert!(FabricPicture::of(&project, &fits).is_ok());
        let off = FabricOptions { px_per_stitch: 3, ..options };
        assert!(matches!(FabricPicture::of(&project, &off), Err(ExportError::FabricPx(3))));
    }
}
