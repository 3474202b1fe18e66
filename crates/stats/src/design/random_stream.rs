//! Random numbers that are the same on every machine, for every thread count and after every package update.
//!
//! A plan stores one 64-bit seed. Every use of chance draws from a stream of its own, named by its purpose and an
//! index, so that no use disturbs another and parallel searches do not depend on scheduling. The generator is `ChaCha`
//! with 8 rounds (Bernstein 2008, "`ChaCha`, a variant of Salsa20"); everything on top of its 64-bit output is written
//! out here, because the samplers of general packages may change their algorithm between versions.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// The number from which every random choice of a plan follows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Seed(pub u64);

/// What a stream of random numbers is for. The numbers behind the variants are part of the algorithm: never reuse one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purpose {
    /// Order in which the runs are made.
    RunOrder,
    /// Search for a Latin hypercube.
    LatinHypercube,
    /// Search for an optimal plan.
    OptimalPlan,
    /// Scatter of invented readings in demo projects.
    InventedReadings,
}

impl Purpose {
    const fn tag(self) -> u64 {
        match self {
            Self::RunOrder => 1,
            Self::LatinHypercube => 2,
            Self::OptimalPlan => 3,
            Self::InventedReadings => 1000,
        }
    }
}

/// A stream of random numbers.
#[derive(Debug, Clone)]
pub struct RandomStream {
    generator: ChaCha8Rng,
}

impl RandomStream {
    /// The stream of this seed for this purpose and index.
    ///
    /// The 256-bit key is four outputs of the splitmix64 sequence that starts at the seed (Steele, Lea & Flood 2014,
    /// Fast splittable pseudorandom number generators, OOPSLA); the stream number is `purpose·2³² + index`.
    pub fn new(seed: Seed, purpose: Purpose, index: u32) -> Self {
        let mut key = [0_u8; 32];
        let mut state = seed.0;
        for chunk in key.chunks_exact_mut(8) {
            state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
            chunk.copy_from_slice(&splitmix64_output(state).to_le_bytes());
        }
        let mut generator = ChaCha8Rng::from_seed(key);
        generator.set_stream((purpose.tag() << 32) | u64::from(index));
        Self { generator }
    }

    /// The next 64 random bits.
    pub fn bits(&mut self) -> u64 {
        self.generator.next_u64()
    }

    /// A number from 0 to `bound − 1`, each equally likely; 0 if the bound is 0 or 1.
    ///
    /// # Source
    /// Lemire (2019), Fast random integer generation in an interval, ACM Trans. Model. Comput. Simul. 29(1), article 3,
    /// algorithm 5 (multiplication with rejection), on 64-bit words.
    pub fn below(&mut self, bound: usize) -> usize {
        let bound = bound as u64;
        if bound < 2 {
            return 0;
        }
        let (mut high, mut low) = wide_product(self.bits(), bound);
        if low < bound {
            let threshold = bound.wrapping_neg() % bound;
            while low < threshold {
                (high, low) = wide_product(self.bits(), bound);
            }
        }
        // high < bound, and bound came from a usize.
        usize::try_from(high).unwrap_or(0)
    }

    /// A number of [0, 1): the upper 53 bits times 2⁻⁵³.
    pub fn unit(&mut self) -> f64 {
        (self.bits() >> 11) as f64 * (1.0 / 9_007_199_254_740_992.0)
    }

    /// Puts the items into random order, each order equally likely (Fisher–Yates, from the last place down; Knuth,
    /// The Art of Computer Programming vol. 2, algorithm 3.4.2P).
    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for place in (1..items.len()).rev() {
            items.swap(place, self.below(place + 1));
        }
    }

    /// A random order of 0..n.
    pub fn permutation(&mut self, n: usize) -> Vec<usize> {
        let mut order: Vec<usize> = (0..n).collect();
        self.shuffle(&mut order);
        order
    }
}

fn wide_product(one: u64, other: u64) -> (u64, u64) {
    let product = u128::from(one) * u128::from(other);
    #[expect(
        clippy::cast_possible_truncation,
        reason = "the two halves of the product are wanted"
    )]
    let halves = ((product >> 64) as u64, product as u64);
    halves
}

const fn splitmix64_output(state: u64) -> u64 {
    let mut z = state;
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_generator_is_chacha_with_eight_rounds() {
        // Strombergson (2013), Test vectors for the stream cipher ChaCha, draft-strombergson-chacha-test-vectors-01,
        // TC1, 256-bit key of zeros, 8 rounds, first 16 bytes of the key stream (from memory; the same bytes come
        // from a second implementation written from the algorithm's description).
        let mut generator = ChaCha8Rng::from_seed([0; 32]);
        let expected = [
            0x3e, 0x00, 0xef, 0x2f, 0x89, 0x5f, 0x40, 0xd6, 0x7f, 0x5b, 0xb8, 0xe8, 0x1f, 0x09,
            0xa5, 0xa1,
        ];
        let (first, second) = (generator.next_u64(), generator.next_u64());
        assert_eq!(first.to_le_bytes(), expected[..8]);
        assert_eq!(second.to_le_bytes(), expected[8..]);
    }

    #[test]
    fn splitmix64_gives_the_published_sequence() {
        // Output of the reference program splitmix64.c (Vigna 2015, public domain) for the state 1234567, as quoted
        // in Rosetta Code, "Pseudo-random numbers/Splitmix64" (from memory).
        let mut state = 1_234_567_u64;
        let mut next = || {
            state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
            splitmix64_output(state)
        };
        assert_eq!(next(), 6_457_827_717_110_365_317);
        assert_eq!(next(), 3_203_168_211_198_807_973);
        assert_eq!(next(), 9_817_491_932_198_370_423);
    }

    #[test]
    fn streams_of_different_purpose_or_index_differ() {
        let first = RandomStream::new(Seed(7), Purpose::RunOrder, 0).bits();
        assert_ne!(
            first,
            RandomStream::new(Seed(7), Purpose::RunOrder, 1).bits()
        );
        assert_ne!(
            first,
            RandomStream::new(Seed(7), Purpose::LatinHypercube, 0).bits()
        );
        assert_ne!(
            first,
            RandomStream::new(Seed(8), Purpose::RunOrder, 0).bits()
        );
        assert_eq!(
            first,
            RandomStream::new(Seed(7), Purpose::RunOrder, 0).bits()
        );
    }

    #[test]
    fn bounded_numbers_stay_below_their_bound() {
        let mut stream = RandomStream::new(Seed(1), Purpose::RunOrder, 0);
        assert_eq!(stream.below(0), 0);
        assert_eq!(stream.below(1), 0);
        for bound in 2..200 {
            assert!(stream.below(bound) < bound);
        }
        let unit = stream.unit();
        assert!((0.0..1.0).contains(&unit));
    }
}
