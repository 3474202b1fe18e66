//! How many decimals a column of numbers needs, so that all of it is written alike.

/// Decimals beyond which nobody sets a machine or reads a gauge.
const MOST: usize = 4;

/// Decimals that the shortest way of writing a number has, at most four.
pub fn decimals_of(value: f64) -> usize {
    (0..MOST)
        .find(|n_decimals| {
            let text = format!("{value:.n_decimals$}");
            text.parse::<f64>()
                .is_ok_and(|rounded| (rounded - value).abs() <= 1e-9 * value.abs())
        })
        .unwrap_or(MOST)
}

/// Decimals that every number of a column can be written with.
pub fn shared_decimals(values: impl IntoIterator<Item = f64>) -> usize {
    values.into_iter().map(decimals_of).max().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_column_gets_the_decimals_of_its_finest_number() {
        assert_eq!(shared_decimals([0.6, 1.25, 2.0]), 2);
        assert_eq!(shared_decimals([100.0, 250.0]), 0);
        assert_eq!(shared_decimals([1.0 / 3.0]), 4);
        assert_eq!(shared_decimals([]), 0);
        // 0.1 + 0.2 is typed 0.3.
        assert_eq!(shared_decimals([0.1 + 0.2]), 1);
    }
}
