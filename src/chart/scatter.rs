//! Numbers of stitches that have nothing to do with those of their neighbours, the same in every run.

/// One round of a mixing function: neighbouring numbers have nothing in common after it.
#[must_use]
pub const fn stirred(mut state: u32) -> u32 {
    state ^= state >> 16;
    state = state.wrapping_mul(0x7feb_352d);
    state ^= state >> 15;
    state.wrapping_mul(0x846c_a68b)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn neighbours_differ_in_about_half_of_their_bits() {
        let apart: u32 = (1..1_000).map(|n| (stirred(n) ^ stirred(n + 1)).count_ones()).sum();
        assert!((f64::from(apart) / 999.0 - 16.0).abs() < 2.0, "{apart}");
    }
}
