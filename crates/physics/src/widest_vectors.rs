//! Loops compiled once for each width of vector that processors have, of which the widest at hand is taken at run time.
//!
//! A program for every 64-bit processor of its kind may use vectors of two numbers only; most processors have four or eight.
//! Sums and products are never fused, so that the bits do not depend on what is taken (tested).

use pulp::{Arch, Simd, WithSimd};

/// Work whose loops are to be compiled for each width: [`Self::run`] and all that it calls in its loops must be inlined.
pub(crate) trait Loops {
    /// What the work yields.
    type Output;

    /// The work; to be marked `#[inline(always)]`.
    fn run(self) -> Self::Output;
}

/// The work as the package for vectors wants it.
struct Work<L>(L);

impl<L: Loops> WithSimd for Work<L> {
    type Output = L::Output;

    #[expect(
        clippy::inline_always,
        reason = "what is not inlined here is compiled for narrow vectors"
    )]
    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) -> L::Output {
        self.0.run()
    }
}

/// Runs loops with the widest vectors of the processor.
pub(crate) fn with_widest_vectors<L: Loops>(loops: L) -> L::Output {
    Arch::new().dispatch(Work(loops))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::elementary::branchless;

    struct Logarithms<'a>(&'a mut [f64]);

    impl Loops for Logarithms<'_> {
        type Output = ();

        #[expect(clippy::inline_always, reason = "compiled for each width of vector")]
        #[inline(always)]
        fn run(self) {
            for x in self.0.iter_mut() {
                *x = branchless::exp(0.7 * branchless::ln(*x)) + *x * 0.1;
            }
        }
    }

    #[test]
    fn bits_do_not_depend_on_the_width_of_vectors() {
        let numbers = || (1..1000).map(|i| 1e-3 * f64::from(i)).collect::<Vec<f64>>();
        let (mut wide, mut narrow) = (numbers(), numbers());
        with_widest_vectors(Logarithms(&mut wide));
        pulp::Scalar.vectorize(Work(Logarithms(&mut narrow)));
        let bits = |numbers: &[f64]| numbers.iter().map(|x| x.to_bits()).collect::<Vec<u64>>();
        assert_eq!(bits(&wide), bits(&narrow));
    }
}
