//! A seeded stream of changed inputs.

/// Words that trip readers: of our formats and of numbers.
const AWKWARD: [&[u8]; 40] = [
    b"NaN",
    b"inf",
    b"-inf",
    b"1e400",
    b"-0.0",
    b"0",
    b"-1",
    b"1",
    b"65",
    b"2000",
    b"2001",
    b"4294967295",
    b"4294967296",
    b"18446744073709551615",
    b"1e-320",
    b"\"",
    b"'",
    b"\\",
    b"r#\"",
    b"/*",
    b"//",
    b"(",
    b")",
    b"[",
    b"]",
    b"{",
    b"}",
    b",",
    b":",
    b";",
    b"\t",
    b"\r\n",
    b"\xef\xbb\xbf",
    b"\xff",
    b"\xe2\x80\xae",
    b"\x1b[31m",
    b"Some(",
    b"None",
    b"=1+1",
    b"\x00",
];

/// Makes inputs out of others.
pub struct Mutator(u64);

impl Mutator {
    /// The same seed and target give the same inputs.
    pub fn new(seed: u64, target: &str) -> Self {
        // FNV-1a, so that targets do not walk in step.
        let hash = target.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
            (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
        });
        Self(seed ^ hash | 1)
    }

    /// xorshift64* (Vigna 2016, "An experimental exploration of Marsaglia's xorshift generators, scrambled").
    fn random(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_f491_4f6c_dd1d)
    }

    fn below(&mut self, limit: usize) -> usize {
        if limit == 0 { 0 } else { (self.random() >> 16) as usize % limit }
    }

    /// One of the seeds after one to eight changes.
    pub fn next(&mut self, seeds: &[Vec<u8>], most: usize) -> Vec<u8> {
        let mut input = seeds[self.below(seeds.len())].clone();
        for _ in 0..=self.below(8) {
            self.change(&mut input, seeds);
            input.truncate(most);
        }
        input
    }

    fn change(&mut self, input: &mut Vec<u8>, seeds: &[Vec<u8>]) {
        let at = self.below(input.len() + 1);
        let end = (at + self.below(64)).min(input.len());
        match self.below(10) {
            0 => input.truncate(at),
            1 => drop(input.drain(at..end)),
            2 => {
                let part = input[at..end].to_vec();
                for _ in 0..=self.below(6) {
                    input.splice(at..at, part.iter().copied());
                }
            }
            3 if at < input.len() => input[at] ^= 1 << self.below(8),
            4 if at < input.len() => input[at] = self.random() as u8,
            5 => {
                // A piece of another seed.
                let other = &seeds[self.below(seeds.len())];
                let from = self.below(other.len() + 1);
                let to = (from + self.below(200)).min(other.len());
                input.splice(at..end, other[from..to].iter().copied());
            }
            6 => self.swap_token(input, at),
            7 => {
                // The same word very often: towers of brackets, long names.
                let word = AWKWARD[self.below(AWKWARD.len())];
                let times = 1 << self.below(12);
                let tower: Vec<u8> = word.iter().copied().cycle().take(word.len() * times).collect();
                input.splice(at..at, tower);
            }
            _ => {
                let word = AWKWARD[self.below(AWKWARD.len())];
                input.splice(at..end.min(at + self.below(4)), word.iter().copied());
            }
        }
    }

    /// Puts an awkward word in the place of the word or number at `at`.
    fn swap_token(&mut self, input: &mut Vec<u8>, at: usize) {
        let is_word = |byte: &u8| byte.is_ascii_alphanumeric() || b"_.-+#".contains(byte);
        let end = at + input[at..].iter().take_while(|byte| is_word(byte)).count();
        let start = at - input[..at].iter().rev().take_while(|byte| is_word(byte)).count();
        let word = AWKWARD[self.below(AWKWARD.len())];
        input.splice(start..end, word.iter().copied());
    }
}
