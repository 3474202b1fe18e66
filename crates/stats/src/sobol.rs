//! Sobol points: evenly spread settings at which a region is looked at. Unscrambled, in Gray-code order.
//!
//! Sources: Sobol (1967), USSR Comput. Math. Math. Phys. 7, 86–112; Antonov & Saleev (1979), the Gray-code order; Joe &
//! Kuo (2008), Constructing Sobol sequences with better two-dimensional projections, SIAM J. Sci. Comput. 30,
//! 2635–2654.

/// Most coordinates a point can have.
pub const MAX_DIMENSIONS: usize = 64;

const N_BITS: usize = 32;

/// Direction numbers for coordinates 2 to 64: the inner coefficients of the primitive polynomial as bits, and the
/// initial numbers m₁, m₂, … (as many as the degree). Set 6 of Joe & Kuo (2008), property D; decoded from the archive
/// of direction numbers in scipy 1.17.1, the first lines as in the published file (from memory).
const JOE_KUO: [(u32, &[u32]); MAX_DIMENSIONS - 1] = [
    (0, &[1]),
    (1, &[1, 3]),
    (1, &[1, 3, 1]),
    (2, &[1, 1, 1]),
    (1, &[1, 1, 3, 3]),
    (4, &[1, 3, 5, 13]),
    (2, &[1, 1, 5, 5, 17]),
    (4, &[1, 1, 5, 5, 5]),
    (7, &[1, 1, 7, 11, 19]),
    (11, &[1, 1, 5, 1, 1]),
    (13, &[1, 1, 1, 3, 11]),
    (14, &[1, 3, 5, 5, 31]),
    (1, &[1, 3, 3, 9, 7, 49]),
    (13, &[1, 1, 1, 15, 21, 21]),
    (16, &[1, 3, 1, 13, 27, 49]),
    (19, &[1, 1, 1, 15, 7, 5]),
    (22, &[1, 3, 1, 15, 13, 25]),
    (25, &[1, 1, 5, 5, 19, 61]),
    (1, &[1, 3, 7, 11, 23, 15, 103]),
    (4, &[1, 3, 7, 13, 13, 15, 69]),
    (7, &[1, 1, 3, 13, 7, 35, 63]),
    (8, &[1, 3, 5, 9, 1, 25, 53]),
    (14, &[1, 3, 1, 13, 9, 35, 107]),
    (19, &[1, 3, 1, 5, 27, 61, 31]),
    (21, &[1, 1, 5, 11, 19, 41, 61]),
    (28, &[1, 3, 5, 3, 3, 13, 69]),
    (31, &[1, 1, 7, 13, 1, 19, 1]),
    (32, &[1, 3, 7, 5, 13, 19, 59]),
    (37, &[1, 1, 3, 9, 25, 29, 41]),
    (41, &[1, 3, 5, 13, 23, 1, 55]),
    (42, &[1, 3, 7, 3, 13, 59, 17]),
    (50, &[1, 3, 1, 3, 5, 53, 69]),
    (55, &[1, 1, 5, 5, 23, 33, 13]),
    (56, &[1, 1, 7, 7, 1, 61, 123]),
    (59, &[1, 1, 7, 9, 13, 61, 49]),
    (62, &[1, 3, 3, 5, 3, 55, 33]),
    (14, &[1, 3, 1, 15, 31, 13, 49, 245]),
    (21, &[1, 3, 5, 15, 31, 59, 63, 97]),
    (22, &[1, 3, 1, 11, 11, 11, 77, 249]),
    (38, &[1, 3, 1, 11, 27, 43, 71, 9]),
    (47, &[1, 1, 7, 15, 21, 11, 81, 45]),
    (49, &[1, 3, 7, 3, 25, 31, 65, 79]),
    (50, &[1, 3, 1, 1, 19, 11, 3, 205]),
    (52, &[1, 1, 5, 9, 19, 21, 29, 157]),
    (56, &[1, 3, 7, 11, 1, 33, 89, 185]),
    (67, &[1, 3, 3, 3, 15, 9, 79, 71]),
    (70, &[1, 3, 7, 11, 15, 39, 119, 27]),
    (84, &[1, 1, 3, 1, 11, 31, 97, 225]),
    (97, &[1, 1, 1, 3, 23, 43, 57, 177]),
    (103, &[1, 3, 7, 7, 17, 17, 37, 71]),
    (115, &[1, 3, 1, 5, 27, 63, 123, 213]),
    (122, &[1, 1, 3, 5, 11, 43, 53, 133]),
    (8, &[1, 3, 5, 5, 29, 17, 47, 173, 479]),
    (13, &[1, 3, 3, 11, 3, 1, 109, 9, 69]),
    (16, &[1, 1, 1, 5, 17, 39, 23, 5, 343]),
    (22, &[1, 3, 1, 5, 25, 15, 31, 103, 499]),
    (25, &[1, 1, 1, 11, 11, 17, 63, 105, 183]),
    (44, &[1, 1, 5, 11, 9, 29, 97, 231, 363]),
    (47, &[1, 1, 5, 15, 19, 45, 41, 7, 383]),
    (52, &[1, 3, 7, 7, 31, 19, 83, 137, 221]),
    (55, &[1, 1, 1, 3, 23, 15, 111, 223, 83]),
    (59, &[1, 1, 5, 13, 31, 15, 55, 25, 161]),
    (62, &[1, 1, 3, 13, 25, 47, 39, 87, 257]),
];

/// The sequence of points in [0, 1)ᵈ, the origin first.
#[derive(Debug, Clone)]
pub struct Sobol {
    directions: Vec<[u32; N_BITS]>,
    state: Vec<u32>,
    n_made: u32,
}

impl Sobol {
    /// Points with this many coordinates; `None` above [`MAX_DIMENSIONS`].
    pub fn new(n_dimensions: usize) -> Option<Self> {
        if n_dimensions > MAX_DIMENSIONS {
            return None;
        }
        let mut directions = Vec::with_capacity(n_dimensions);
        if n_dimensions > 0 {
            // The first coordinate is the van der Corput sequence.
            directions.push(std::array::from_fn(|bit| 1 << (N_BITS - 1 - bit)));
        }
        let others = JOE_KUO.iter().take(n_dimensions.saturating_sub(1));
        directions.extend(others.map(|(coefficients, initial)| numbers_of(*coefficients, initial)));
        Some(Self {
            state: vec![0; directions.len()],
            directions,
            n_made: 0,
        })
    }

    /// The next point.
    pub fn next_point(&mut self) -> Vec<f64> {
        let point = self
            .state
            .iter()
            .map(|word| f64::from(*word) / 4_294_967_296.0)
            .collect();
        // The Gray code of the next index differs in the lowest bit that is 0 in this one.
        let bit = self.n_made.trailing_ones() as usize;
        for (word, directions) in self.state.iter_mut().zip(&self.directions) {
            *word ^= directions.get(bit).copied().unwrap_or(0);
        }
        self.n_made = self.n_made.wrapping_add(1);
        point
    }
}

/// Direction numbers by the recurrence of the polynomial (Joe & Kuo 2008, eqs 2 and 3).
fn numbers_of(coefficients: u32, initial: &[u32]) -> [u32; N_BITS] {
    let degree = initial.len();
    let mut numbers = [0_u32; N_BITS];
    for bit in 0..N_BITS {
        numbers[bit] = if let Some(first) = initial.get(bit) {
            first << (N_BITS - 1 - bit)
        } else {
            let mut number = numbers[bit - degree] ^ (numbers[bit - degree] >> degree);
            for step in 1..degree {
                if coefficients >> (degree - 1 - step) & 1 == 1 {
                    number ^= numbers[bit - step];
                }
            }
            number
        };
    }
    numbers
}
