//! Evenly spread random numbers for many uncertain inputs: Sobol' points of four coordinates, scrambled, in groups that
//! are shuffled against each other.
//!
//! Plain random numbers leave holes. A Sobol' sequence does not, but its high coordinates need long tables and many points
//! before they are even. Here inputs are taken in groups of four; each group runs through the first four coordinates of
//! the sequence in an order of its own (a nested shuffle, so that every aligned stretch of 2^m draws is an aligned stretch
//! of the sequence) and each coordinate is scrambled by Owen's nested permutations. Every single input is thereby
//! stratified to the last draw, every group is as even as Sobol' points are, and groups are independent. The seed alone
//! decides the numbers.
//!
//! # Source
//! Sobol' (1967), USSR Comput. Math. Math. Phys. 7, 86–112; direction numbers of Joe & Kuo (2008), SIAM J. Sci. Comput. 30,
//! 2635–2654; nested scrambling of Owen (1995), in Monte Carlo and Quasi-Monte Carlo Methods in Scientific Computing,
//! 299–317; shuffled groups after Burley (2020), J. Comput. Graph. Tech. 9, 1–20, here with a full hash of each prefix in
//! place of his fast one.

/// Coordinates of a group.
pub(crate) const GROUP: usize = 4;
const BITS: u32 = u32::BITS;
/// Points of the whole sequence.
const POINTS: f64 = 4_294_967_296.0;

/// Degree, inner coefficients of the primitive polynomial, and initial numbers of coordinates 2 to 4 (Joe & Kuo 2008).
const JOE_KUO: [(u32, &[u32]); GROUP - 1] = [(0, &[1]), (1, &[1, 3]), (1, &[1, 3, 1])];

/// Direction numbers of the four coordinates, most significant bit of the point first.
const DIRECTIONS: [[u32; BITS as usize]; GROUP] = {
    let mut all = [[0; BITS as usize]; GROUP];
    let mut bit = 0;
    while bit < BITS as usize {
        all[0][bit] = 1 << (BITS as usize - 1 - bit);
        bit += 1;
    }
    let mut coordinate = 1;
    while coordinate < GROUP {
        all[coordinate] = directions(JOE_KUO[coordinate - 1]);
        coordinate += 1;
    }
    all
};

/// Recurrence of Bratley & Fox (1988) over the coefficients of a primitive polynomial.
const fn directions((inner, initial): (u32, &[u32])) -> [u32; BITS as usize] {
    let degree = initial.len();
    let mut numbers = [0; BITS as usize];
    let mut i = 0;
    while i < BITS as usize {
        if i < degree {
            numbers[i] = initial[i] << (BITS as usize - 1 - i);
        } else {
            let mut number = numbers[i - degree] ^ (numbers[i - degree] >> degree);
            let mut k = 1;
            while k < degree {
                if (inner >> (degree - 1 - k)) & 1 == 1 {
                    number ^= numbers[i - k];
                }
                k += 1;
            }
            numbers[i] = number;
        }
        i += 1;
    }
    numbers
}

/// Step of splitmix64: 2⁶⁴ over the golden section, made odd.
const WEYL: u64 = 0x9E37_79B9_7F4A_7C15;

/// Finisher of splitmix64 (Steele, Lea & Flood 2014, OOPSLA, 453–472): every input bit moves every output bit.
const fn mix(x: u64) -> u64 {
    let x = (x ^ (x >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    let x = (x ^ (x >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    x ^ (x >> 31)
}

/// A stream of its own for a name and a seed.
pub(crate) fn named_seed(seed: u64, name: &str) -> u64 {
    let start = mix(seed.wrapping_add(WEYL));
    name.bytes()
        .fold(start, |hash, byte| mix(hash ^ u64::from(byte)))
}

/// Owen's nested scrambling: each bit is flipped or not by a hash of the bits above it.
fn scramble(x: u32, seed: u64) -> u32 {
    let mut scrambled = x;
    for bit in 0..BITS {
        // A leading one keeps prefixes of different lengths apart.
        let above = (u64::from(x) | 1 << BITS) >> (bit + 1);
        let flip = mix(seed.wrapping_add(above.wrapping_mul(WEYL))) >> 63;
        scrambled ^= u32::from(flip == 1) << bit;
    }
    scrambled
}

/// The number of one draw for an input, strictly between 0 and 1, from the seed of its group and its coordinate there.
pub(crate) fn number_of_draw(draw: u32, group_seed: u64, coordinate: usize) -> f64 {
    let coordinate = coordinate % GROUP;
    let place = scramble(draw, group_seed);
    let mut point = 0;
    for (bit, direction) in DIRECTIONS[coordinate].iter().enumerate() {
        if (place >> bit) & 1 == 1 {
            point ^= direction;
        }
    }
    let own_seed = mix(group_seed.wrapping_add(1 + coordinate as u64));
    (f64::from(scramble(point, own_seed)) + 0.5) / POINTS
}

#[cfg(test)]
mod tests {
    use super::*;

    fn group_of_draw(draw: u32, seed: u64) -> [f64; GROUP] {
        std::array::from_fn(|coordinate| number_of_draw(draw, seed, coordinate))
    }

    /// Sobol' points as they are, in natural order.
    fn plain(index: u32) -> [f64; GROUP] {
        DIRECTIONS.map(|directions| {
            let point = directions
                .iter()
                .enumerate()
                .filter(|(bit, _)| (index >> bit) & 1 == 1)
                .fold(0, |point, (_, direction)| point ^ direction);
            f64::from(point) / POINTS
        })
    }

    #[test]
    fn points_are_those_of_the_published_direction_numbers() {
        // The first points of the sequence of Joe & Kuo (2008) in four coordinates, in natural order; again from scipy 1.17
        // (unscrambled, sorted out of Gray-code order).
        let published = [
            [0.0, 0.0, 0.0, 0.0],
            [0.5, 0.5, 0.5, 0.5],
            [0.25, 0.75, 0.75, 0.75],
            [0.75, 0.25, 0.25, 0.25],
            [0.125, 0.625, 0.375, 0.125],
            [0.625, 0.125, 0.875, 0.625],
            [0.375, 0.375, 0.625, 0.875],
            [0.875, 0.875, 0.125, 0.375],
        ];
        for (index, point) in (0..).zip(published) {
            assert_eq!(plain(index).map(f64::to_bits), point.map(f64::to_bits));
        }
    }

    #[test]
    fn every_power_of_two_of_draws_fills_every_stratum_of_every_input() {
        // Definition of a scrambled net (Owen 1995): each input is a Latin hypercube.
        for n in [2_u32, 16, 256] {
            for coordinate in 0..GROUP {
                let mut numbers: Vec<f64> = (0..n)
                    .map(|draw| group_of_draw(draw, 11)[coordinate] * f64::from(n))
                    .collect();
                numbers.sort_by(f64::total_cmp);
                for (stratum, number) in (0..n).zip(numbers) {
                    let (below, above) = (f64::from(stratum), f64::from(stratum + 1));
                    assert!(below < number && number < above, "{n}, {coordinate}");
                }
            }
        }
    }

    #[test]
    fn the_first_two_inputs_are_a_net_of_strength_two() {
        // (0, m, 2)-net: every elementary box of area 1/64 holds one of 64 draws.
        for shape in 0..=6 {
            let mut boxes = [0; 64];
            for draw in 0..64 {
                let [x, y, ..] = group_of_draw(draw, 5);
                let (columns, rows): (usize, usize) = (1 << shape, 64 >> shape);
                let place = |number: f64, n: usize| {
                    (1..n).filter(|i| number >= *i as f64 / n as f64).count()
                };
                boxes[place(x, columns) * rows + place(y, rows)] += 1;
            }
            assert_eq!(boxes, [1; 64], "{shape}");
        }
    }

    #[test]
    fn seeds_and_names_give_streams_of_their_own() {
        assert_ne!(named_seed(1, "flow"), named_seed(2, "flow"));
        assert_ne!(named_seed(1, "flow"), named_seed(1, "gap"));
        let bits = |seed| group_of_draw(3, seed).map(f64::to_bits);
        assert_ne!(bits(7), bits(8));
        assert_eq!(bits(7), bits(7));
    }

    #[test]
    fn mean_over_draws_of_a_smooth_function_is_close() {
        // Integral of the product of 4 · (3/2)√x over the unit cube is 1 (by hand); 1024 plain draws miss it by about 2 %.
        let n = 1024;
        let mean = (0..n)
            .map(|draw| {
                group_of_draw(draw, 3)
                    .iter()
                    .map(|x| 1.5 * x.sqrt())
                    .product::<f64>()
            })
            .sum::<f64>()
            / f64::from(n);
        assert!((mean - 1.0).abs() < 1e-3, "{mean}");
    }
}
