//! Margins of very many settings of one line: columns of numbers in, columns of margins out.
//!
//! A search or a map that asks for a million settings spends its time on the closed-form limits. Here knobs come as slices,
//! and the window of a slot die, its spans and the narrowest passage are computed for many settings side by side; what does
//! not follow any column is computed once; whatever is left is walked setting by setting. Margins agree with those of
//! [`Prepared::assess_without_drying`] to 1e-12. Nothing is allocated, and one thread does the work: a caller with more cores
//! cuts its columns.
//!
//! # Examples
//! ```
//! use wetlane_physics::batch::{Columns, MarginColumn};
//! use wetlane_physics::{
//!     Basis, Head, Ink, Input, Length, LimitId, Line, Prepared, Rheology, Setting, SlotDie, Speed, Viscosity, VolumeFlow,
//! };
//!
//! let line = Line {
//!     ink: Ink {
//!         rheology: Some(Rheology::Newtonian { viscosity: Viscosity::from_mpa_s(10.0) }),
//!         ..Ink::default()
//!     },
//!     head: Head::SlotDie(SlotDie { coated_width: Some(Length::from_mm(100.0)), ..SlotDie::default() }),
//!     ..Line::default()
//! };
//! // Three gaps at 1 m/min and 2 mL/min.
//! let base = Setting {
//!     speed: Some(Speed::from_m_per_min(1.0)),
//!     flow: Some(VolumeFlow::from_ml_per_min(2.0)),
//!     ..Setting::default()
//! };
//! let gaps = [50e-6, 100e-6, 800e-6];
//! let columns = Columns { base, varied: &[(Input::Gap, &gaps)] };
//! let prepared = Prepared::new(&line, &Basis::default())?;
//! let (mut limits, mut margins) = ([LimitId::LowFlow; 3], [0.0; 3]);
//! prepared.binding_of_many(&columns, None, &mut limits, &mut margins)?;
//! assert!(margins[1] > 0.0 && margins[2] < 0.0 && limits[2] == LimitId::BeadHold);
//! // The same limit alone.
//! let mut bead = [0.0; 3];
//! let wanted = &mut [MarginColumn { limit: LimitId::BeadHold, margins: &mut bead }];
//! prepared.margins_of_many(&columns, None, wanted)?;
//! assert_eq!(bead[2], margins[2]);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

use arrayvec::ArrayVec;
use thiserror::Error;

use crate::assess::Prepared;
use crate::assumed::Input;
use crate::dry_speed_table::DrySpeedTable;
use crate::input_error::InputError;
use crate::limit::{LimitId, MAX_LIMITS, Severity};
use crate::line::Setting;
use crate::slot_die::lanes::LANES;

mod block;
mod die_window;
mod extremes;
mod sources;

use block::Block;
use sources::Sources;

/// A number in every lane of a block.
type Lanes = [f64; LANES];

/// Settings that differ in a few knobs.
#[derive(Debug, Clone, Copy)]
pub struct Columns<'a> {
    /// What all settings share.
    pub base: Setting,
    /// Knobs that vary, each with one number a setting, in SI units.
    pub varied: &'a [(Input, &'a [f64])],
}

/// Where the margins of one limit go.
#[derive(Debug)]
pub struct MarginColumn<'a> {
    /// Which limit, hard or soft.
    pub limit: LimitId,
    /// One place a setting.
    pub margins: &'a mut [f64],
}

/// Why there are no margins. Nothing that was written counts.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum BatchError {
    /// An input that is no knob of a run.
    #[error("\"{}\" is no knob that a run sets", .input.label())]
    NotAKnob {
        /// Which.
        input: Input,
    },
    /// A column shorter or longer than the places for margins.
    #[error("the column \"{}\" holds {found} numbers for {wanted} settings", .input.label())]
    ColumnLength {
        /// Of which knob.
        input: Input,
        /// Numbers in the column.
        found: usize,
        /// Settings.
        wanted: usize,
    },
    /// Places for margins that are not as many.
    #[error("there are {found} places for {wanted} settings")]
    Places {
        /// Places.
        found: usize,
        /// Settings.
        wanted: usize,
    },
    /// A number that a knob cannot be set to.
    #[error("setting {}: {error}", .index + 1)]
    Setting {
        /// Which setting, from zero.
        index: usize,
        /// What is wrong.
        error: InputError,
    },
    /// A core limit lacks an essential input.
    #[error("nothing can be said without \"{}\"", .input.label())]
    Missing {
        /// The input.
        input: Input,
    },
    /// More columns than there are knobs.
    #[error("{found} columns are more than there are knobs")]
    Columns {
        /// Columns.
        found: usize,
    },
    /// A limit that the line does not have, that lacks an input, or that is neither hard nor soft.
    #[error("\"{}\" is not judged on this line", .limit.label())]
    NotJudged {
        /// The limit.
        limit: LimitId,
    },
}

impl Prepared {
    /// The binding limit of every setting with its margin: the hard one with the least, the first of equals in the order of
    /// evaluation. With a table of dry speeds `dry_at_exit` is judged, too, by marching where the table does not reach.
    ///
    /// # Errors
    /// [`BatchError`] names what does not fit.
    pub fn binding_of_many(
        &self,
        columns: &Columns<'_>,
        table: Option<&DrySpeedTable>,
        limits: &mut [LimitId],
        margins: &mut [f64],
    ) -> Result<(), BatchError> {
        if limits.len() != margins.len() {
            return Err(BatchError::Places {
                found: limits.len(),
                wanted: margins.len(),
            });
        }
        let Some(sources) = Sources::new(self, columns, table, margins.len())? else {
            return Ok(());
        };
        let sources = sources.only(|id| id.severity() == Severity::Hard);
        let mut block = Block::new(self, columns, table, &sources);
        let places = limits.chunks_mut(LANES).zip(margins.chunks_mut(LANES));
        for (start, (limits, margins)) in (0..).step_by(LANES).zip(places) {
            block.load(start, margins.len());
            let (least, indices) = block.least();
            for (margin, least) in margins.iter_mut().zip(least) {
                *margin = least;
            }
            for (limit, index) in limits.iter_mut().zip(indices) {
                *limit = limit_at(index);
            }
        }
        block.check()
    }

    /// The margins of chosen limits, hard or soft, of every setting.
    ///
    /// # Errors
    /// As [`Self::binding_of_many`]; [`BatchError::NotJudged`] names a limit that the line does not have.
    pub fn margins_of_many(
        &self,
        columns: &Columns<'_>,
        table: Option<&DrySpeedTable>,
        wanted: &mut [MarginColumn<'_>],
    ) -> Result<(), BatchError> {
        let Some(n) = wanted.first().map(|column| column.margins.len()) else {
            return Ok(());
        };
        for column in wanted.iter() {
            if column.margins.len() != n {
                return Err(BatchError::Places {
                    found: column.margins.len(),
                    wanted: n,
                });
            }
        }
        let Some(sources) = Sources::new(self, columns, table, n)? else {
            return Ok(());
        };
        let ids: ArrayVec<LimitId, MAX_LIMITS> = wanted
            .iter()
            .map(|column| column.limit)
            .take(MAX_LIMITS)
            .collect();
        if let Some(&limit) = ids.iter().find(|id| !sources.has(**id)) {
            return Err(BatchError::NotJudged { limit });
        }
        let sources = sources.only(|id| ids.contains(&id));
        let mut block = Block::new(self, columns, table, &sources);
        for start in (0..n).step_by(LANES) {
            block.load(start, (n - start).min(LANES));
            block.judge();
            for column in wanted.iter_mut() {
                let end = (start + LANES).min(n);
                if let Some(margins) = column.margins.get_mut(start..end) {
                    block.write(column.limit, margins);
                }
            }
        }
        block.check()
    }
}

/// The limit at a place of the order of evaluation.
fn limit_at(index: u64) -> LimitId {
    usize::try_from(index)
        .ok()
        .and_then(|index| LimitId::ALL.get(index))
        .copied()
        .unwrap_or(LimitId::LowFlow)
}
