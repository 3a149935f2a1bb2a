//! Strips that are joined from parts of any length, for bounds: material of one breadth.
//!
//! Whatever the parts are, together they are as long as the finished strips and what the joins take
//! up; they may be cut side by side or one above the other. The bound lets them have any length.

use measure::Length;

use crate::cuts::{strips, ways};
use crate::{JoinPlace, Problem};

/// Material across the width that may be cut into parts of any length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Loose {
    /// How broad it is, with the gap added.
    pub(crate) breadth: i64,
    /// How much of it is needed at least, in nanometres.
    pub(crate) total: i64,
}

/// What a bound has to know of joined strips.
pub(crate) struct Joined {
    /// Which pieces may be joined in more than one way, or be joined or cut whole.
    pub(crate) pieces: Vec<usize>,
    /// Those of them that always lie across: material that is needed in any case.
    pub(crate) loose: Vec<Loose>,
}

/// The joined strips of a problem in lanes of this width.
pub(crate) fn joined(problem: &Problem, lane: Length) -> Joined {
    let gap = problem.gap;
    let mut joined = Joined { pieces: Vec::new(), loose: Vec::new() };
    for (piece, item) in problem.pieces.iter().enumerate() {
        let Some(strips) = strips(item, problem.copies, lane).filter(|one| one.join.most > 0)
        else {
            continue;
        };
        let lies_only_across = match ways(item) {
            (Some(_), Some(_)) => false,
            // One way only, and that is across, or there were no strips.
            _ => true,
        };
        if lies_only_across && strips.join.place == JoinPlace::Centre {
            // Two halves, always: as rigid as any piece.
            continue;
        }
        joined.pieces.push(piece);
        if lies_only_across {
            let joins = i64::from(strips.fewest_joins().unwrap_or(0));
            let one = strips.long.to_nm() + strips.taken().to_nm() * joins;
            joined.loose.push(Loose {
                breadth: (strips.breadth + gap).to_nm(),
                total: one * i64::from(strips.count),
            });
        }
    }
    joined
}
