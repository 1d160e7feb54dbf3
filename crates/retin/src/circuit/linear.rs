//! The linear systems: a thin wrapper round faer's sparse LU.
//!
//! Why faer: a Newton step on a circuit is a sparse unsymmetric system whose
//! pattern stays while its numbers change. Of the two well-kept libraries
//! weighed, nalgebra (25 crates, 22 s to build) has dense LU and sparse
//! Cholesky but no sparse LU, and dense LU of a 1,000-node ladder is two
//! orders of magnitude too slow; faer (50 crates, 75 s to build
//! unoptimised, threads and random numbers left out) orders, factors and refactors it in well
//! under a millisecond. The price is that its kernels pick the processor's
//! widest arithmetic, so the last bits of an answer may differ between
//! machines; on one machine they never do.

use faer::linalg::solvers::Solve;
use faer::mat::MatMut;
use faer::sparse::linalg::solvers::{Lu, SymbolicLu};
use faer::sparse::{Argsort, Pair, SparseColMat, SymbolicSparseColMat};

/// The pattern of a system: which entries its assembly writes, in order.
#[derive(Debug, Clone)]
pub(super) struct Pattern {
    size: usize,
    rows: Vec<usize>,
    structure: SymbolicSparseColMat<usize>,
    order: Argsort<usize>,
    symbolic: SymbolicLu<usize>,
}

/// A factored system.
pub(super) struct Factors {
    lu: Lu<usize, f64>,
    row_scale: Vec<f64>,
}

impl Pattern {
    /// Analyses a pattern given as (row, column) of every entry; entries may
    /// repeat and are then summed. `None` where no entry order can make the
    /// system solvable.
    pub(super) fn analyse(size: usize, entries: &[(usize, usize)]) -> Option<Self> {
        let pairs: Vec<Pair<usize, usize>> = entries
            .iter()
            .map(|&(row, col)| Pair { row, col })
            .collect();
        let (structure, order) =
            SymbolicSparseColMat::try_new_from_indices(size, size, &pairs).ok()?;
        let symbolic = SymbolicLu::try_new(structure.as_ref()).ok()?;
        Some(Self {
            size,
            rows: entries.iter().map(|entry| entry.0).collect(),
            structure,
            order,
            symbolic,
        })
    }

    /// Factors the system with the given values, one for each entry of the
    /// pattern. Rows are scaled to like size first: a row may be in
    /// picosiemens, another a gain of a million. `None` where it is singular.
    pub(super) fn factor(&self, values: &[f64]) -> Option<Factors> {
        let mut greatest = vec![0.0_f64; self.size];
        for (&row, value) in self.rows.iter().zip(values) {
            greatest[row] = greatest[row].max(value.abs());
        }
        if greatest
            .iter()
            .any(|&most| most == 0.0 || !most.is_finite())
        {
            return None;
        }
        // Powers of two, so that scaling rounds nothing.
        let row_scale: Vec<f64> = greatest
            .iter()
            .map(|most| (-most.log2().round()).exp2())
            .collect();
        let scaled: Vec<f64> = self
            .rows
            .iter()
            .zip(values)
            .map(|(&row, value)| value * row_scale[row])
            .collect();
        let matrix =
            SparseColMat::new_from_argsort(self.structure.clone(), &self.order, &scaled).ok()?;
        let lu = Lu::try_new_with_symbolic(self.symbolic.clone(), matrix.as_ref()).ok()?;
        Some(Factors { lu, row_scale })
    }
}

impl Factors {
    /// Solves for one right-hand side in place. `None` where the result is
    /// not finite, the sign of a singular system.
    pub(super) fn solve(&self, mut right: Vec<f64>) -> Option<Vec<f64>> {
        for (value, scale) in right.iter_mut().zip(&self.row_scale) {
            *value *= scale;
        }
        let size = right.len();
        self.lu
            .solve_in_place(MatMut::from_column_major_slice_mut(&mut right, size, 1));
        right.iter().all(|value| value.is_finite()).then_some(right)
    }
}
