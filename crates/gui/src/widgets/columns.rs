//! How many columns stand side by side.

/// The greatest number of columns, at most `wanted` and at least one, that fit `width` points at `narrowest` points
/// each.
pub fn columns_that_fit(width: f32, narrowest: f32, wanted: usize) -> usize {
    (1..=wanted)
        .rev()
        .find(|count| *count as f32 * narrowest <= width)
        .unwrap_or(1)
}

#[cfg(test)]
mod tests {
    use super::columns_that_fit;

    #[test]
    fn a_column_stands_even_where_none_fits() {
        assert_eq!(columns_that_fit(300.0, 100.0, 9), 3);
        assert_eq!(columns_that_fit(299.0, 100.0, 9), 2);
        assert_eq!(columns_that_fit(300.0, 100.0, 2), 2);
        assert_eq!(columns_that_fit(10.0, 100.0, 4), 1);
    }
}
