//! A set of limits, without heap.

use crate::limit::LimitId;

/// Bits, one a limit at its place in [`LimitId::ALL`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct LimitSet(u128);

const _: () = assert!(LimitId::COUNT <= u128::BITS as usize);

impl LimitSet {
    #[must_use]
    pub(crate) const fn with(self, id: LimitId) -> Self {
        Self(self.0 | 1 << id as u32)
    }

    /// The set without the limits of another.
    #[must_use]
    pub(crate) const fn minus(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    pub(crate) fn of(limits: impl Iterator<Item = LimitId>) -> Self {
        limits.fold(Self::default(), Self::with)
    }

    #[must_use]
    pub(crate) const fn union(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    pub(crate) const fn contains(self, id: LimitId) -> bool {
        self.0 & 1 << id as u32 != 0
    }

    pub(crate) const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// The limits of the set, in the order of evaluation.
    pub(crate) fn iter(self) -> impl Iterator<Item = LimitId> {
        let mut bits = self.0;
        std::iter::from_fn(move || {
            let id = LimitId::ALL.get(bits.trailing_zeros() as usize).copied();
            bits &= bits.wrapping_sub(1);
            id
        })
    }
}
