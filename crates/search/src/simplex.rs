//! A small linear program, for bounds.

/// Pivots after which it stops with what it has.
const MOST_PIVOTS: usize = 400;
const EPSILON: f64 = 1e-9;

/// The weights λ ≥ 0 of demands that make Σ λ·demand greatest while no column,
/// Σ λ·column, passes its price. None where there is no end to it.
///
/// By weak duality that sum is a lower bound on the price of any set of
/// columns that meets all demands. [textbook: the simplex method, largest
/// coefficient first, the lowest index once it stalls] Prices are at or above zero.
pub fn weights(demands: &[f64], columns: &[Vec<f64>], prices: &[f64]) -> Option<Vec<f64>> {
    let (n, m) = (demands.len(), columns.len());
    // One row a column's price, with a slack each; the last row is what is to gain.
    let width = n + m + 1;
    let mut table: Vec<Vec<f64>> = Vec::with_capacity(m + 1);
    for (row, (column, price)) in columns.iter().zip(prices).enumerate() {
        let mut line = vec![0.0; width];
        line[..n].copy_from_slice(column);
        line[n + row] = 1.0;
        line[width - 1] = *price;
        table.push(line);
    }
    let mut gain = vec![0.0; width];
    gain[..n].copy_from_slice(demands);
    let mut basis: Vec<usize> = (n..n + m).collect();
    for pivot in 0..MOST_PIVOTS {
        let entering = if pivot < MOST_PIVOTS / 2 {
            (0..n + m).filter(|at| gain[*at] > EPSILON).max_by(|a, b| gain[*a].total_cmp(&gain[*b]))
        } else {
            (0..n + m).find(|at| gain[*at] > EPSILON)
        };
        let Some(entering) = entering else { break };
        let ratio = |row: usize| table[row][width - 1] / table[row][entering];
        let leaving = (0..m).filter(|row| table[*row][entering] > EPSILON);
        let leaving = leaving.min_by(|a, b| ratio(*a).total_cmp(&ratio(*b)).then(basis[*a].cmp(&basis[*b])))?;
        let scale = table[leaving][entering];
        for value in &mut table[leaving] {
            *value /= scale;
        }
        let line = table[leaving].clone();
        for (row, other) in table.iter_mut().enumerate().filter(|(row, _)| *row != leaving) {
            clear(other, &line, entering);
            debug_assert!(row < m);
        }
        clear(&mut gain, &line, entering);
        basis[leaving] = entering;
    }
    let mut weights = vec![0.0; n];
    for (row, variable) in basis.iter().enumerate().filter(|(_, variable)| **variable < n) {
        weights[*variable] = table[row][width - 1].max(0.0);
    }
    shrink(&mut weights, columns, prices);
    Some(weights)
}

fn clear(line: &mut [f64], by: &[f64], at: usize) {
    let factor = line[at];
    if factor != 0.0 {
        for (value, other) in line.iter_mut().zip(by) {
            *value -= factor * other;
        }
    }
}

/// Makes up for rounding: no column passes its price. Where a price is zero, that may leave nothing of the bound.
fn shrink(weights: &mut [f64], columns: &[Vec<f64>], prices: &[f64]) {
    let mut factor = 1.0_f64;
    for (column, price) in columns.iter().zip(prices) {
        let sum: f64 = column.iter().zip(weights.iter()).map(|(a, b)| a * b).sum();
        if sum > *price {
            factor = factor.min(price / sum);
        }
    }
    for weight in weights {
        *weight *= factor;
    }
}

#[cfg(test)]
mod tests {
    use rigwright_tests::Dice;

    use super::weights;

    #[test]
    fn a_bound_is_reached_where_parts_of_a_column_would_do() {
        // Needs 3 of the first and 4 of the second; columns (1, 0) at 2, (0, 1) at 3, (1, 1) at 4.
        // By hand: three of the third and one of the second, 15; λ = (1, 3) gives 3·1 + 4·3 = 15.
        let columns = [vec![1.0, 0.0], vec![0.0, 1.0], vec![1.0, 1.0]];
        let found = weights(&[3.0, 4.0], &columns, &[2.0, 3.0, 4.0]).unwrap();
        assert!((3.0 * found[0] + 4.0 * found[1] - 15.0).abs() < 1e-9, "{found:?}");
    }

    #[test]
    fn what_no_column_gives_has_no_price() {
        assert_eq!(weights(&[1.0, 1.0], &[vec![1.0, 0.0]], &[2.0]), None);
        assert_eq!(weights(&[0.0, -1.0], &[vec![1.0, 0.0]], &[2.0]), Some(vec![0.0, 0.0]));
    }

    /// Two demands: the greatest sum is at a corner where two prices or axes meet, every corner tried. Prices are
    /// above zero, where rounding takes nothing of it.
    #[test]
    fn the_greatest_sum_is_that_of_every_corner_tried() {
        let mut dice = Dice::new(1);
        let mut open = 0;
        for _ in 0..3000 {
            let mut number = |from: f64, count: usize| from + dice.below(count) as f64;
            let demands = [number(-2.0, 8), number(-2.0, 8)];
            let columns: Vec<Vec<f64>> = (0..4).map(|_| vec![number(-1.0, 5), number(-1.0, 5)]).collect();
            let prices: Vec<f64> = (0..4).map(|_| number(1.0, 6)).collect();
            let axes = [([-1.0, 0.0], 0.0), ([0.0, -1.0], 0.0)];
            let lines: Vec<([f64; 2], f64)> = columns
                .iter()
                .zip(&prices)
                .map(|(column, price)| ([column[0], column[1]], *price))
                .chain(axes)
                .collect();
            let corner = |a: &([f64; 2], f64), b: &([f64; 2], f64)| {
                let determinant = a.0[0] * b.0[1] - a.0[1] * b.0[0];
                let x = (a.1 * b.0[1] - b.1 * a.0[1]) / determinant;
                (determinant != 0.0).then(|| [x, (a.0[0] * b.1 - b.0[0] * a.1) / determinant])
            };
            let within =
                |at: &[f64; 2]| lines.iter().all(|(line, most)| line[0] * at[0] + line[1] * at[1] <= most + 1e-9);
            let corners = lines.iter().flat_map(|a| lines.iter().filter_map(move |b| corner(a, b))).filter(within);
            let best = corners.map(|at| demands[0] * at[0] + demands[1] * at[1]).fold(f64::MIN, f64::max);
            match weights(&demands, &columns, &prices) {
                Some(found) => {
                    let sum: f64 = found.iter().zip(demands).map(|(weight, demand)| weight * demand).sum();
                    assert!((sum - best).abs() < 1e-9, "{sum} beside {best}: {demands:?} {columns:?} {prices:?}");
                    assert!(found.iter().all(|weight| *weight >= 0.0));
                    assert!(within(&[found[0], found[1]]));
                }
                // Some direction goes on for ever, and gains.
                None => {
                    let endless = |at: [f64; 2]| {
                        let costs = columns.iter().all(|column| column[0] * at[0] + column[1] * at[1] <= 1e-9);
                        costs && demands[0] * at[0] + demands[1] * at[1] > 0.0
                    };
                    let sides = columns.iter().map(|column| [-column[1], column[0]]);
                    let turned = sides.clone().map(|side| [-side[0], -side[1]]);
                    let all = sides.chain(turned).chain([[1.0, 0.0], [0.0, 1.0]]);
                    assert!(all.filter(|side| side[0] >= 0.0 && side[1] >= 0.0).any(endless));
                    open += 1;
                }
            }
        }
        assert!((100..2900).contains(&open), "{open}");
    }
}
