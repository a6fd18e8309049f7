//! A photograph of 12 megapixels: into Oklab, and its yarns found.

use std::hint::black_box;
use std::path::PathBuf;

use criterion::{Criterion, Throughput};
use huegauge::photo::{
    Balance, ColourSpace, Depth, Picture, Reference, Region, Samples, Watch, find_yarns, to_oklab,
};
use palette::{FromColor, LinSrgb, Oklab, Srgb};

/// As a phone takes it.
const WIDTH: u32 = 4000;
const HEIGHT: u32 = 3000;

/// The demo photograph enlarged to 12 megapixels: its codes.
fn codes() -> image::RgbImage {
    let path: PathBuf =
        [env!("CARGO_MANIFEST_DIR"), "demo-projects", "crooked-ladder-six-balls.jpg"].iter().collect();
    let demo = image::open(path).unwrap();
    demo.resize_exact(WIDTH, HEIGHT, image::imageops::FilterType::Triangle).to_rgb8()
}

fn picture(codes: &image::RgbImage) -> Picture {
    let samples = Samples::Eight(codes.as_raw().clone());
    Picture::new(WIDTH, HEIGHT, samples, ColourSpace::srgb(Depth::Eight)).unwrap()
}

/// The grey card, which lies at 770,70 and is 140 x 190 in the 960 x 640 of the demo.
fn balance(picture: &Picture) -> Balance {
    let (across, down) = (f64::from(WIDTH) / 960.0, f64::from(HEIGHT) / 640.0);
    let region = Region::new(
        (800.0 * across) as u32,
        (110.0 * down) as u32,
        (80.0 * across) as u32,
        (110.0 * down) as u32,
    );
    let reference = Reference { region, reflectance: Reference::GREY_CARD };
    Balance::measure(picture, reference, &Watch::nobody()).unwrap()
}

/// 12 megapixels into Oklab, light corrected. The peer is the palette library pixel by pixel on one
/// processor, without any correction: less work, done the plain way.
pub fn to_lab(bench: &mut Criterion) {
    let codes = codes();
    let picture = picture(&codes);
    let balance = balance(&picture);
    let read = || to_oklab(&picture, picture.bounds(), &balance, 1, &Watch::nobody()).unwrap();
    let mut group = bench.benchmark_group("12 megapixels to Oklab");
    group.throughput(Throughput::Elements(u64::from(WIDTH * HEIGHT)));
    group.bench_function("ours, all processors", |b| b.iter(|| black_box(read())));
    group.bench_function("ours, one processor", |b| b.iter(|| black_box(super::on_one(read))));
    group.bench_function("peer: palette, one processor", |b| {
        b.iter(|| {
            let pixels = codes.pixels().map(|pixel| {
                let linear: LinSrgb<f32> = Srgb::<u8>::from(pixel.0).into_linear();
                let Oklab { l, a, b } = Oklab::from_color(linear);
                [l, a, b]
            });
            black_box(pixels.collect::<Vec<[f32; 3]>>())
        });
    });
    group.finish();
}

/// Six balls found in 12 megapixels. No peer: no general library does this. Reading every pixel once
/// (above) is the floor.
pub fn find(bench: &mut Criterion) {
    let picture = picture(&codes());
    let balance = balance(&picture);
    let find = || find_yarns(&picture, &balance, None, &Watch::nobody()).unwrap();
    assert_eq!(find().len(), 6);
    let mut group = bench.benchmark_group("yarns in 12 megapixels");
    group.throughput(Throughput::Elements(u64::from(WIDTH * HEIGHT)));
    group.bench_function("ours, all processors", |b| b.iter(|| black_box(find())));
    group.finish();
}
