//! One small linear or quadratic program, solved by an interior-point library.

use clarabel::algebra::CscMatrix;
use clarabel::solver::{
    DefaultSettings, DefaultSolver, IPSolver as _, NonnegativeConeT, SolverStatus, ZeroConeT,
};

/// `low <= coefficients . x <= high`; an infinite end is open, equal ends are an equation.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// One coefficient per variable.
    pub coefficients: Vec<f64>,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// `min q.x + x.P.x / 2` within rows and bounds.
#[derive(Clone, Debug, PartialEq)]
pub struct Program {
    /// Linear cost.
    pub cost: Vec<f64>,
    /// Quadratic cost, row by row, positive semidefinite; empty for a linear program.
    pub quadratic: Vec<f64>,
    /// Rows.
    pub rows: Vec<Row>,
    /// Least value of each variable.
    pub lower: Vec<f64>,
    /// Greatest value of each variable.
    pub upper: Vec<f64>,
}

/// The answer to a program.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// The variables.
    pub x: Vec<f64>,
    /// Multiplier of the first row: what the objective gains for each unit by which the row is
    /// tightened from below.
    pub first_row: f64,
    /// The objective.
    pub objective: f64,
}

/// Ends closer than this are an equation.
const EQUAL: f64 = 1e-12;

impl Program {
    /// Solves it; `None` when nothing meets all rows and bounds, or when the library gives up.
    #[must_use]
    pub fn solve(&self) -> Option<Answer> {
        let n = self.cost.len();
        // The library wants `A x + s = b` with s = 0 for equations and s >= 0 for the rest.
        let (mut equations, mut limits) = (Vec::new(), Vec::new());
        let mut first: (Option<usize>, Option<usize>, Option<usize>) = (None, None, None);
        for (i, row) in self.rows.iter().enumerate() {
            if row.high - row.low <= EQUAL {
                if i == 0 {
                    first.0 = Some(equations.len());
                }
                equations.push((row.coefficients.clone(), row.high));
                continue;
            }
            if row.low.is_finite() {
                if i == 0 {
                    first.1 = Some(limits.len());
                }
                limits.push((row.coefficients.iter().map(|c| -c).collect(), -row.low));
            }
            if row.high.is_finite() {
                if i == 0 {
                    first.2 = Some(limits.len());
                }
                limits.push((row.coefficients.clone(), row.high));
            }
        }
        let unit = |k: usize, sign: f64| -> Vec<f64> {
            (0..n).map(|j| if j == k { sign } else { 0.0 }).collect()
        };
        for (k, (lo, hi)) in self.lower.iter().zip(&self.upper).enumerate() {
            if hi - lo <= EQUAL {
                equations.push((unit(k, 1.0), *hi));
            } else {
                limits.push((unit(k, -1.0), -lo));
                limits.push((unit(k, 1.0), *hi));
            }
        }
        let (ne, nl) = (equations.len(), limits.len());
        let all: Vec<(Vec<f64>, f64)> = equations.into_iter().chain(limits).collect();
        let b: Vec<f64> = all.iter().map(|(_, b)| *b).collect();
        let a = sparse(all.len(), n, |i, j| all.get(i).and_then(|r| r.0.get(j)).copied());
        let p = sparse(n, n, |i, j| {
            // The upper triangle is enough.
            if i <= j { self.quadratic.get(i * n + j).copied() } else { None }
        });
        let cones: Vec<_> =
            [(ne > 0).then_some(ZeroConeT(ne)), (nl > 0).then_some(NonnegativeConeT(nl))]
                .into_iter()
                .flatten()
                .collect();
        let settings = DefaultSettings::<f64> {
            verbose: false,
            tol_gap_abs: 1e-10,
            tol_gap_rel: 1e-10,
            tol_feas: 1e-10,
            // Far below what a bench can weigh; presolve would only look for infinite bounds.
            presolve_enable: false,
            ..DefaultSettings::default()
        };
        let mut solver = DefaultSolver::new(&p, &self.cost, &a, &b, &cones, settings).ok()?;
        solver.solve();
        let solved =
            matches!(solver.solution.status, SolverStatus::Solved | SolverStatus::AlmostSolved);
        if !solved || solver.solution.x.iter().any(|x| !x.is_finite()) {
            return None;
        }
        let z = |i: Option<usize>, shift: usize| {
            i.and_then(|i| solver.solution.z.get(i + shift)).copied().unwrap_or(0.0)
        };
        // An equation's multiplier is that of its upper end.
        let first_row = z(first.1, ne) - z(first.2, ne) - z(first.0, 0);
        Some(Answer { first_row, objective: solver.solution.obj_val, x: solver.solution.x.clone() })
    }
}

/// A sparse matrix from its cells; what is `None` or 0 is left out.
fn sparse(rows: usize, columns: usize, cell: impl Fn(usize, usize) -> Option<f64>) -> CscMatrix {
    let (mut starts, mut at, mut values) = (vec![0], Vec::new(), Vec::new());
    for j in 0..columns {
        for i in 0..rows {
            if let Some(v) = cell(i, j).filter(|v| *v != 0.0) {
                at.push(i);
                values.push(v);
            }
        }
        starts.push(values.len());
    }
    CscMatrix::new(rows, columns, starts, at, values)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[track_caller]
    fn near(value: f64, expected: f64) {
        assert!((value - expected).abs() < 1e-7, "{value}, expected {expected}");
    }

    // Worked by hand: the corner (2, 2), where both limits bind.
    #[test]
    fn a_linear_program() {
        let program = Program {
            cost: vec![-1.0, -1.0],
            quadratic: Vec::new(),
            rows: vec![
                Row { coefficients: vec![1.0, 2.0], low: f64::NEG_INFINITY, high: 6.0 },
                Row { coefficients: vec![2.0, 1.0], low: 0.0, high: 6.0 },
            ],
            lower: vec![0.0; 2],
            upper: vec![10.0; 2],
        };
        let answer = program.solve().unwrap();
        near(answer.objective, -4.0);
        near(answer.first_row, -1.0 / 3.0);
        for x in answer.x {
            near(x, 2.0);
        }
    }

    // Worked by hand: the point of x + y = 2 nearest to (2, 1) is (1.5, 0.5).
    #[test]
    fn a_quadratic_program() {
        let program = Program {
            cost: vec![-2.0, -1.0],
            quadratic: vec![1.0, 0.0, 0.0, 1.0],
            rows: vec![Row { coefficients: vec![1.0, 1.0], low: 2.0, high: 2.0 }],
            lower: vec![0.0; 2],
            upper: vec![5.0; 2],
        };
        let answer = program.solve().unwrap();
        near(*answer.x.first().unwrap(), 1.5);
        near(*answer.x.last().unwrap(), 0.5);
    }

    #[test]
    fn what_cannot_be_met() {
        let program = Program {
            cost: vec![1.0],
            quadratic: Vec::new(),
            rows: vec![Row { coefficients: vec![1.0], low: 2.0, high: 3.0 }],
            lower: vec![0.0],
            upper: vec![1.0],
        };
        assert_eq!(program.solve(), None);
    }
}
