//! Random numbers that are the same everywhere.

/// A stream of numbers (`SplitMix64`, Steele, Lea and Flood 2014).
#[derive(Clone)]
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0x5851_f42d_4c95_7f2d)
    }

    /// One that begins at this state of the stream.
    pub const fn at(state: u64) -> Self {
        Self(state)
    }

    /// `0..1`.
    pub fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        hashed(self.0)
    }

    /// Evenly between two values.
    pub fn between(&mut self, from: f64, to: f64) -> f64 {
        from + (to - from) * self.share()
    }

    /// One of these.
    pub fn one_of<T: Copy>(&mut self, all: &[T]) -> T {
        all[(self.share() * all.len() as f64) as usize]
    }

    pub fn chance(&mut self, share: f64) -> bool {
        self.share() < share
    }

    /// Nearly so, from twelve even numbers less six: never beyond 6.
    pub fn nearly_normal(&mut self) -> f64 {
        (0..12).map(|_| self.share()).sum::<f64>() - 6.0
    }

    /// Normally distributed about 0 with deviation 1 (Box and Muller 1958).
    pub fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.share()).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.share()).cos()
    }
}

/// A number `0..1` that goes with `z`.
pub fn hashed(z: u64) -> f64 {
    let z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
}

/// A number `0..1` that belongs to a place: for grain, without keeping a field of it.
pub fn at_place(x: i64, y: i64, seed: u64) -> f64 {
    Dice::new(seed ^ (x as u64).wrapping_mul(0x1656_67b1_9e37_79f9) ^ (y as u64).rotate_left(32)).share()
}
