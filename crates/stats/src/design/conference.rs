//! Conference matrices: zeros down the diagonal, plus and minus ones elsewhere, columns orthogonal (Belevitch 1950), made from
//! the quadratic character of a finite field (Paley 1933, On orthogonal matrices, J. Math. Phys. 12, 311–320).

/// A finite field of odd order, its elements numbered by their digits: number = Σ digit·pᵏ.
struct Field {
    /// The prime p.
    prime: usize,
    degree: u32,
    /// x to the power of the degree, as digits of lower powers; as many as the degree.
    reduction: &'static [usize],
}

/// Fields beyond the primes, each with a polynomial that has no factors: x² = −1 over 3, x³ = x − 1 over 3 (27 elements),
/// x² = 2 over 5, x² = 3 over 7.
const EXTENSIONS: [(usize, Field); 4] = [
    (
        9,
        Field {
            prime: 3,
            degree: 2,
            reduction: &[2, 0],
        },
    ),
    (
        25,
        Field {
            prime: 5,
            degree: 2,
            reduction: &[2, 0],
        },
    ),
    (
        27,
        Field {
            prime: 3,
            degree: 3,
            reduction: &[2, 1, 0],
        },
    ),
    (
        49,
        Field {
            prime: 7,
            degree: 2,
            reduction: &[3, 0],
        },
    ),
];

impl Field {
    /// The field of an order; `None` if that is no odd prime and none of the powers that are held.
    fn of_order(order: usize) -> Option<Self> {
        let is_odd_prime = order > 2 && (2..order).all(|divisor| !order.is_multiple_of(divisor));
        if is_odd_prime {
            return Some(Self {
                prime: order,
                degree: 1,
                reduction: &[0],
            });
        }
        EXTENSIONS
            .into_iter()
            .find(|(known, _)| *known == order)
            .map(|(_, field)| field)
    }

    const fn order(&self) -> usize {
        self.prime.pow(self.degree)
    }

    fn digits(&self, element: usize) -> Vec<usize> {
        (0..self.degree)
            .map(|k| element / self.prime.pow(k) % self.prime)
            .collect()
    }

    fn number(&self, digits: &[usize]) -> usize {
        digits
            .iter()
            .rev()
            .fold(0, |number, digit| number * self.prime + digit % self.prime)
    }

    fn difference(&self, a: usize, b: usize) -> usize {
        let pairs = self.digits(a).into_iter().zip(self.digits(b));
        let digits: Vec<usize> = pairs.map(|(a, b)| a + self.prime - b).collect();
        self.number(&digits)
    }

    fn square(&self, a: usize) -> usize {
        let digits = self.digits(a);
        let degree = self.reduction.len();
        let mut product = vec![0; 2 * degree];
        for (i, x) in digits.iter().enumerate() {
            for (j, y) in digits.iter().enumerate() {
                product[i + j] += x * y;
            }
        }
        for power in (degree..product.len()).rev() {
            let high = std::mem::take(&mut product[power]);
            for (k, digit) in self.reduction.iter().enumerate() {
                product[power - degree + k] += high * digit;
            }
        }
        self.number(&product[..degree])
    }

    /// The quadratic character of every element: 0 of zero, 1 of squares, −1 of the others.
    fn characters(&self) -> Vec<i8> {
        let mut characters = vec![-1; self.order()];
        for element in 0..self.order() {
            characters[self.square(element)] = 1;
        }
        characters[0] = 0;
        characters
    }

    /// The matrix of characters of differences of elements.
    fn core(&self) -> Vec<Vec<i8>> {
        let characters = self.characters();
        let all = 0..self.order();
        all.clone()
            .map(|a| {
                all.clone()
                    .map(|b| characters[self.difference(a, b)])
                    .collect()
            })
            .collect()
    }
}

/// The matrix of characters over the field of `order` elements, one less than a multiple of four, for which it is skew; `None`
/// if there is none.
pub(crate) fn skew_core(order: usize) -> Option<Vec<Vec<i8>>> {
    let field = Field::of_order(order).filter(|_| order % 4 == 3)?;
    Some(field.core())
}

/// A conference matrix of an order, symmetric or skew; `None` if Paley's construction makes none.
pub(crate) fn conference_matrix(order: usize) -> Option<Vec<Vec<i8>>> {
    let field = Field::of_order(order.checked_sub(1)?)?;
    let down: i8 = if order % 4 == 2 { 1 } else { -1 };
    let mut rows = vec![vec![1; order]];
    rows[0][0] = 0;
    rows.extend(field.core().into_iter().map(|core| {
        let mut row = vec![down];
        row.extend(core);
        row
    }));
    Some(rows)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_orthogonal_in_every_order_that_is_made() {
        // Definition (Belevitch 1950): C′C = (m − 1)·I.
        let orders: Vec<usize> = (4..=54)
            .filter(|m| conference_matrix(*m).is_some())
            .collect();
        assert_eq!(
            orders,
            [
                4, 6, 8, 10, 12, 14, 18, 20, 24, 26, 28, 30, 32, 38, 42, 44, 48, 50, 54
            ]
        );
        for order in orders {
            let matrix = conference_matrix(order).unwrap();
            for a in 0..order {
                assert_eq!(matrix[a][a], 0);
                for b in 0..order {
                    let product: i32 = matrix.iter().map(|row| i32::from(row[a] * row[b])).sum();
                    let expected = if a == b {
                        i32::try_from(order).unwrap() - 1
                    } else {
                        0
                    };
                    assert_eq!(product, expected, "order {order}, columns {a} and {b}");
                }
            }
        }
    }
}
