//! Small problems, laid in every way there is: what proofs and bounds are held against.

/// Whether rectangles can be laid on fabric of this width and length, by trying every place on the
/// unit grid, which is enough for whole sizes.
pub(crate) fn can_be_laid(pieces: &[(i64, i64, bool)], width: i64, length: i64) -> bool {
    fn lay(pieces: &[(i64, i64, bool)], at: &mut Vec<[i64; 4]>, width: i64, length: i64) -> bool {
        let Some((&(w, l, is_free), rest)) = pieces.split_first() else { return true };
        let ways = if is_free { vec![(w, l), (l, w)] } else { vec![(w, l)] };
        for (w, l) in ways {
            for (x, y) in (0..=width - w).flat_map(|x| (0..=length - l).map(move |y| (x, y))) {
                let is_apart = |one: &[i64; 4]| {
                    x + w <= one[0] || one[2] <= x || y + l <= one[1] || one[3] <= y
                };
                if at.iter().all(is_apart) {
                    at.push([x, y, x + w, y + l]);
                    if lay(rest, at, width, length) {
                        return true;
                    }
                    at.pop();
                }
            }
        }
        false
    }
    lay(pieces, &mut Vec::new(), width, length)
}
