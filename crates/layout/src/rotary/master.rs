//! A covering programme over patterns, solved by the simplex method in floating point: which
//! strips, in what parts, cover what is needed at the least cost. Its prices are hints; whoever
//! proves something with them rounds them and proves anew.

/// Below this a number counts as nothing.
const TINY: f64 = 1e-9;
/// Pivots at most in one solution.
const MOST_PIVOTS: usize = 5_000;

/// A pattern: how many of each kind, and what it costs.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Pattern {
    pub(crate) gives: Vec<u32>,
    pub(crate) cost: i64,
}

/// The programme, with the inverse of its basis.
pub(crate) struct Master {
    needs: Vec<f64>,
    inverse: Vec<Vec<f64>>,
    /// Which pattern is basic in each row; none for a row that is covered too well.
    basis: Vec<Option<usize>>,
    costs: Vec<f64>,
    amounts: Vec<f64>,
}

#[expect(clippy::cast_precision_loss, reason = "hints only")]
fn float(cost: i64) -> f64 {
    cost as f64
}

impl Master {
    /// Begins with the first patterns, one for each kind, which holds at least one of it and nothing
    /// else.
    pub(crate) fn new(needs: &[u32], first: &[Pattern]) -> Self {
        let rows = needs.len();
        let mut master = Self {
            needs: needs.iter().map(|&need| f64::from(need)).collect(),
            inverse: vec![vec![0.0; rows]; rows],
            basis: (0..rows).map(Some).collect(),
            costs: first.iter().take(rows).map(|pattern| float(pattern.cost)).collect(),
            amounts: vec![0.0; rows],
        };
        for (row, pattern) in first.iter().take(rows).enumerate() {
            master.inverse[row][row] = 1.0 / f64::from(pattern.gives[row].max(1));
        }
        master.amounts = master.solution();
        master
    }

    fn solution(&self) -> Vec<f64> {
        self.inverse
            .iter()
            .map(|row| row.iter().zip(&self.needs).map(|(a, b)| a * b).sum())
            .collect()
    }

    /// What one of each kind is worth.
    pub(crate) fn prices(&self) -> Vec<f64> {
        let rows = self.needs.len();
        (0..rows)
            .map(|column| (0..rows).map(|row| self.costs[row] * self.inverse[row][column]).sum())
            .collect()
    }

    /// How much of which pattern is used.
    pub(crate) fn used(&self) -> Vec<(usize, f64)> {
        let used = self.basis.iter().zip(&self.amounts);
        used.filter_map(|(pattern, &amount)| Some(((*pattern)?, amount)))
            .filter(|(_, amount)| *amount > TINY)
            .collect()
    }

    /// Solves over these patterns, of which the first are those it began with.
    pub(crate) fn solve(&mut self, patterns: &[Pattern]) -> Vec<f64> {
        let rows = self.needs.len();
        for _ in 0..MOST_PIVOTS {
            let prices = self.prices();
            // A kind that is worth less than nothing is covered too well: let it be.
            if let Some(row) = (0..rows).find(|&row| prices[row] < -1e-6) {
                let mut column = vec![0.0; rows];
                column[row] = -1.0;
                if self.enter(&column, 0.0, None) {
                    continue;
                }
                break;
            }
            let gain = |pattern: &Pattern| {
                let worth: f64 =
                    pattern.gives.iter().zip(&prices).map(|(&n, price)| f64::from(n) * price).sum();
                worth - float(pattern.cost)
            };
            let best = patterns.iter().map(gain).enumerate().max_by(|a, b| a.1.total_cmp(&b.1));
            let Some((index, gain)) = best else { break };
            if gain <= 1e-9 * float(patterns[index].cost) {
                break;
            }
            let column: Vec<_> = patterns[index].gives.iter().map(|&n| f64::from(n)).collect();
            if !self.enter(&column, float(patterns[index].cost), Some(index)) {
                break;
            }
        }
        self.prices()
    }

    /// Brings a column into the basis; whether that could be done.
    fn enter(&mut self, column: &[f64], cost: f64, pattern: Option<usize>) -> bool {
        let rows = self.needs.len();
        let turned: Vec<f64> = (0..rows)
            .map(|row| self.inverse[row].iter().zip(column).map(|(a, b)| a * b).sum())
            .collect();
        let large = turned.iter().fold(0.0_f64, |most, one| most.max(one.abs()));
        let leaves = (0..rows)
            .filter(|&row| turned[row] > TINY * large.max(1.0))
            .map(|row| (self.amounts[row].max(0.0) / turned[row], row))
            .min_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
        let Some((_, leaves)) = leaves else { return false };
        let pivot = turned[leaves];
        for value in &mut self.inverse[leaves] {
            *value /= pivot;
        }
        let pivot_row = self.inverse[leaves].clone();
        for row in (0..rows).filter(|&row| row != leaves) {
            let factor = turned[row];
            if factor != 0.0 {
                for (value, by) in self.inverse[row].iter_mut().zip(&pivot_row) {
                    *value -= factor * by;
                }
            }
        }
        self.basis[leaves] = pattern;
        self.costs[leaves] = cost;
        self.amounts = self.solution();
        true
    }
}
