//! The readings of one film quality along the roll: three lanes across the foil, one place a run.

use crate::figure::color_map::MapScale;

use super::analysis_table::reading_number;
use super::answer_figures::wanted_end;
use super::project::{Project, Quality, QualityKind, QualityScale, Run};

/// The readings of a run on its lanes: left, centre, right, in the unit of the quality.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lanes {
    /// Run number.
    pub run: u32,
    /// Means of the readings on each lane that are not set aside; `None` where there is none.
    pub values: [Option<f64>; 3],
}

/// A quality along the roll.
#[derive(Debug, Clone, PartialEq)]
pub struct DataMap {
    /// Runs that have readings, in run order.
    pub runs: Vec<Lanes>,
    /// From a value to its place in the color sequence.
    pub scale: MapScale,
}

impl DataMap {
    /// Places in the color sequence of a run's lanes; `None` if the run has no readings.
    pub fn positions(&self, run: u32) -> Option<[Option<f64>; 3]> {
        let lanes = self.runs.iter().find(|lanes| lanes.run == run)?;
        Some(
            lanes
                .values
                .map(|value| value.and_then(|value| self.scale.position(value))),
        )
    }
}

/// Qualities that have a reading somewhere, in their order.
pub fn mapped_qualities(project: &Project) -> Vec<&Quality> {
    project
        .qualities
        .iter()
        .filter(|quality| quality.kind != QualityKind::Sound)
        .filter(|quality| {
            let mut runs = project.runs.iter();
            runs.any(|run| lanes_of(run, quality).is_some())
        })
        .collect()
}

/// The readings of a quality along the roll; `None` if there are none that are numbers.
///
/// A place named like a side takes that lane; else the first three places of the quality are taken from left to
/// right. A reading without a place stands on all lanes that have none of their own.
pub fn data_map(project: &Project, quality: &Quality) -> Option<DataMap> {
    let runs: Vec<Lanes> = project
        .runs
        .iter()
        .filter_map(|run| lanes_of(run, quality))
        .collect();
    let values = || runs.iter().flat_map(|lanes| lanes.values).flatten();
    let low = values().min_by(f64::total_cmp)?;
    let high = values().max_by(f64::total_cmp)?;
    // One value alone still needs a scale that is no point.
    let beside = if high > low {
        0.0
    } else {
        0.05 * low.abs().max(1e-3)
    };
    Some(DataMap {
        scale: MapScale {
            low: low - beside,
            high: high + beside,
            is_log: quality.scale == QualityScale::Log && low - beside > 0.0,
            wanted: wanted_end(quality.goal),
        },
        runs,
    })
}

fn lanes_of(run: &Run, quality: &Quality) -> Option<Lanes> {
    let mut sums = [(0.0, 0_u32); 3];
    let mut anywhere = (0.0, 0_u32);
    let readings = run
        .readings
        .iter()
        .filter(|reading| reading.quality == quality.id && reading.set_aside.is_none());
    for reading in readings {
        let Some(number) = reading_number(&reading.value, quality) else {
            continue;
        };
        let sum = match lane_of(&reading.place, quality) {
            Some(lane) => sums.get_mut(lane),
            None => Some(&mut anywhere),
        };
        if let Some(sum) = sum {
            sum.0 += number;
            sum.1 += 1;
        }
    }
    let mean = |(sum, n): (f64, u32)| (n > 0).then(|| sum / f64::from(n));
    let values = sums.map(|sum| mean(sum).or_else(|| mean(anywhere)));
    values.iter().any(Option::is_some).then_some(Lanes {
        run: run.number,
        values,
    })
}

/// The lane of a place: 0 left, 1 centre, 2 right.
fn lane_of(place: &str, quality: &Quality) -> Option<usize> {
    const SIDES: [&[&str]; 3] = [&["left"], &["centre", "center", "middle"], &["right"]];
    let lower = place.trim().to_lowercase();
    if lower.is_empty() {
        return None;
    }
    SIDES
        .iter()
        .position(|words| words.iter().any(|word| lower.contains(word)))
        .or_else(|| {
            let named = quality.places.iter().position(|known| known == place)?;
            (named < 3).then_some(named)
        })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::campaign::presets::quality;

    #[test]
    fn sides_take_their_lane_and_other_places_come_in_their_order() {
        let mut haze = quality("haze", "Haze", "%");
        haze.places = vec!["drive side".to_owned(), "operator side".to_owned()];
        assert_eq!(lane_of("Left edge", &haze), Some(0));
        assert_eq!(lane_of("right", &haze), Some(2));
        assert_eq!(lane_of("operator side", &haze), Some(1));
        assert_eq!(lane_of("somewhere", &haze), None);
        assert_eq!(lane_of("", &haze), None);
    }
}
