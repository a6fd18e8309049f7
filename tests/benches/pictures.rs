//! A picture of 12 megapixels to a chart, after it is decoded.

use std::hint::black_box;

use criterion::{Criterion, Throughput};
use huegauge::from_picture::{ColoursFrom, PictureWish, chart_of};
use huegauge::photo::{ColourSpace, Depth, Picture, Samples, Watch, cell_means};

use crate::Stream;

const WIDTH: u32 = 4000;
const HEIGHT: u32 = 3000;

/// Soft blots of colour with grain, as a photograph has them; `picture_chart.py` makes the same.
fn picture() -> Picture {
    let mut stream = Stream(9);
    let blots: Vec<[f64; 6]> = (0..24).map(|_| std::array::from_fn(|_| stream.next())).collect();
    let mut codes = Vec::with_capacity((WIDTH * HEIGHT * 3) as usize);
    for y in 0..HEIGHT {
        for x in 0..WIDTH {
            let place = [f64::from(x) / f64::from(WIDTH), f64::from(y) / f64::from(HEIGHT)];
            let nearest = blots.iter().min_by(|a, b| far(a, place).total_cmp(&far(b, place))).unwrap();
            let grain = f64::from((x * 7919 + y * 104_729) % 31) / 31.0 - 0.5;
            codes.extend((2..5).map(|at| (nearest[at] * 215.0 + 20.0 + grain * 30.0) as u8));
        }
    }
    Picture::new(WIDTH, HEIGHT, Samples::Eight(codes), ColourSpace::srgb(Depth::Eight)).unwrap()
}

fn far(blot: &[f64; 6], [x, y]: [f64; 2]) -> f64 {
    ((blot[0] - x).powi(2) + (blot[1] - y).powi(2)) * (0.5 + blot[5])
}

/// 12 megapixels to 200 x 240 stitches in 8 colours, tidied. The peer is the same in Python with `NumPy`,
/// scikit-image and scikit-learn: `python3 tests/benches/picture_chart.py` prints its times.
pub fn to_chart(bench: &mut Criterion) {
    let picture = picture();
    let wish = PictureWish { from: ColoursFrom::Picture(8), ..PictureWish::default() };
    let means = || cell_means(&picture, (200, 240), [1.0, 0.0, 0.0], &Watch::nobody()).unwrap();
    let cells = means();
    let mut group = bench.benchmark_group("12 megapixels to a chart of 200 x 240");
    group.throughput(Throughput::Elements(u64::from(WIDTH * HEIGHT)));
    group.bench_function("averages, all processors", |b| b.iter(|| black_box(means())));
    group.bench_function("colours and stitches, all processors", |b| {
        b.iter(|| black_box(chart_of(&cells, 0.9, &wish).unwrap()));
    });
    group.bench_function("the whole, all processors", |b| {
        b.iter(|| black_box(chart_of(&means(), 0.9, &wish).unwrap()));
    });
    let whole = || chart_of(&means(), 0.9, &wish).unwrap();
    group.bench_function("the whole, one processor", |b| b.iter(|| black_box(super::on_one(whole))));
    group.finish();
}
