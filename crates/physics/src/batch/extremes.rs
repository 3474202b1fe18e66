//! Least and greatest number of a column, gathered while its blocks are worked on.

use super::Lanes;
use crate::slot_die::lanes::LANES;
use crate::widest_vectors::Loops;

/// Least and greatest number of every lane so far.
#[derive(Debug, Clone)]
pub(super) struct Extremes {
    least: Lanes,
    greatest: Lanes,
    /// Not zero where a lane has met what is not a number.
    unordered: [u64; LANES],
}

impl Extremes {
    pub(super) const NONE: Self = Self {
        least: [f64::INFINITY; LANES],
        greatest: [f64::NEG_INFINITY; LANES],
        unordered: [0; LANES],
    };

    /// Least and greatest number of the column; `None` if something in it is not a number.
    pub(super) fn of_column(&self) -> Option<(f64, f64)> {
        self.unordered
            .iter()
            .all(|unordered| *unordered == 0)
            .then(|| {
                (
                    self.least.iter().copied().fold(f64::INFINITY, f64::min),
                    self.greatest
                        .iter()
                        .copied()
                        .fold(f64::NEG_INFINITY, f64::max),
                )
            })
    }
}

/// Takes in a block of numbers.
pub(super) struct Gathering<'a> {
    pub(super) extremes: &'a mut Extremes,
    pub(super) numbers: &'a [f64],
}

impl Loops for Gathering<'_> {
    type Output = ();

    #[expect(clippy::inline_always, reason = "compiled for each width of vector")]
    #[inline(always)]
    fn run(self) {
        let Extremes {
            least,
            greatest,
            unordered,
        } = self.extremes;
        let lanes = least.iter_mut().zip(greatest).zip(unordered);
        for (((least, greatest), unordered), number) in lanes.zip(self.numbers) {
            *least = if *number < *least { *number } else { *least };
            *greatest = if *number > *greatest {
                *number
            } else {
                *greatest
            };
            *unordered |= u64::from(number.is_nan());
        }
    }
}
