//! The cheapest assignment of rows to columns.
//!
//! Owns the shortest-augmenting-path method (Kuhn–Munkres with potentials, from memory) over costs in dictionary order,
//! packed in one number. Promises: potentials never exceed a cost, so that their sum is a lower bound.

use super::vector::Score;

/// Too dear to be taken.
pub(super) const NEVER: i128 = i128::MAX / 8;
/// No row.
pub(super) const NOBODY: usize = usize::MAX;

/// Three classes packed in one number: 10 bits left behind, 10 late, 20 minutes each.
pub(super) fn packed(score: Score) -> i128 {
    score.0[..3].iter().fold(0, |sum, word| {
        let (left, late, minutes) = (word >> 48, (word >> 32) & 0xffff, word & 0xffff_ffff);
        (sum << 40) | i128::from((left << 30) | (late << 20) | minutes)
    })
}

#[expect(
    clippy::cast_sign_loss,
    reason = "a sum of parts that are never negative"
)]
#[expect(clippy::cast_possible_truncation, reason = "masked")]
pub(super) fn unpacked(sum: i128) -> Score {
    let mut score = Score::default();
    for (class, shift) in [(0, 80), (1, 40), (2, 0)] {
        let part = (sum >> shift) as u64 & 0xff_ffff_ffff;
        score.0[class] = ((part >> 30) << 48) | (((part >> 20) & 0x3ff) << 32) | (part & 0xf_ffff);
    }
    score
}

/// An assignment and its potentials.
#[derive(Clone, Default)]
pub(super) struct Solved {
    /// By row and turn.
    pub(super) costs: Vec<i128>,
    pub(super) rows: Vec<i128>,
    pub(super) columns: Vec<i128>,
    pub(super) row_of: Vec<usize>,
    pub(super) column_of: Vec<usize>,
    /// Beds that were used up.
    pub(super) full: Vec<bool>,
}

impl Solved {
    /// Finds a place for one more row at least cost (rows and columns have potentials; reduced costs stay ≥ 0).
    #[expect(
        clippy::too_many_lines,
        reason = "one algorithm, read best in one piece"
    )]
    pub(super) fn augment(&mut self, row: usize, width: usize, turn_of: &[usize]) {
        let columns = turn_of.len();
        // A new row starts where its cheapest column is tight.
        let start = (0..columns)
            .filter(|column| self.costs[row * width + turn_of[*column]] < NEVER)
            .map(|column| self.costs[row * width + turn_of[column]] - self.columns[column])
            .min();
        let Some(start) = start else { return };
        self.rows[row] = start;
        let mut least = vec![NEVER; columns];
        let mut came_from = vec![NOBODY; columns];
        let mut done = vec![false; columns];
        let mut visited: Vec<usize> = Vec::new();
        let mut current = row;
        let mut reached = 0;
        let mut by = NOBODY;
        let end = loop {
            let mut next = NOBODY;
            let offset = reached - self.rows[current];
            for column in 0..columns {
                if done[column] {
                    continue;
                }
                let cost = self.costs[current * width + turn_of[column]];
                if cost < NEVER {
                    let reduced = offset + cost - self.columns[column];
                    if reduced < least[column] {
                        least[column] = reduced;
                        came_from[column] = by;
                    }
                }
                if least[column] < NEVER && (next == NOBODY || least[column] < least[next]) {
                    next = column;
                }
            }
            if next == NOBODY {
                return;
            }
            reached = least[next];
            done[next] = true;
            visited.push(next);
            if self.row_of[next] == NOBODY {
                break next;
            }
            current = self.row_of[next];
            by = next;
        };
        self.rows[row] += reached;
        for column in visited {
            if column != end {
                self.rows[self.row_of[column]] += reached - least[column];
                self.columns[column] -= reached - least[column];
            }
        }
        let mut column = end;
        loop {
            let from = came_from[column];
            let owner = if from == NOBODY {
                row
            } else {
                self.row_of[from]
            };
            self.row_of[column] = owner;
            self.column_of[owner] = column;
            if from == NOBODY {
                return;
            }
            column = from;
        }
    }
}
