//! How fast the heavy work is, beside a plain way of doing the same in the same run: `cargo bench`.
//!
//! A claim of speed is the ratio of the two, since times alone tell about the machine. Where both do
//! not do the same amount, criterion's elements per second compare: each bench states its elements.
//!
//! Memory at 50 megapixels, the largest picture that is opened: the codes stay as the camera wrote them,
//! 150 MB at 8 bits a channel and 300 MB at 16, and the decoder holds as much again while it turns the
//! picture upright. Reading a yarn samples at most a million pixels (12 MB), finding yarns averages the
//! picture into some 30,000 cells (1 MB), so nothing else grows with the picture. Turning every pixel
//! into Oklab at once, which only the bench does, would take 12 bytes a pixel: 600 MB.
#![allow(missing_docs, reason = "the functions criterion makes")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a bench that cannot go on stops")]

mod charts;
mod colours;
mod frames;
mod photographs;
mod pictures;
mod shades;
mod yokes;

use std::time::Duration;

use criterion::{Criterion, criterion_group, criterion_main};

/// Long enough for a ratio to two digits, short enough to be run.
fn settings() -> Criterion {
    Criterion::default()
        .sample_size(10)
        .warm_up_time(Duration::from_secs(1))
        .measurement_time(Duration::from_secs(4))
}

criterion_group! {
    name = speed;
    config = settings();
    targets = photographs::to_lab, photographs::find, colours::differences, shades::assignment, shades::sets,
        charts::figures, charts::after_a_stitch, frames::painting, frames::panning, frames::chart_png, pictures::to_chart, yokes::ten_sizes
}
criterion_main!(speed);

/// A repeatable stream of numbers in `0..1`.
struct Stream(u64);

impl Stream {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// What `work` takes on one processor, for a fair ratio to a peer that uses one.
fn on_one<T: Send>(work: impl FnOnce() -> T + Send) -> T {
    rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap().install(work)
}
