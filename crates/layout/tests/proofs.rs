//! Proofs against every layout there is: small problems on a grid are laid in all ways.

use layout::{Item, Problem, Proof, Rotations, Search, Stock, refine, verify};
use measure::{Increments, Length};
use proptest::prelude::*;

mod every_way;
mod jobs;

use every_way::can_be_laid;

/// The pieces in millimetres on a bolt that is sold by so many of them.
fn problem(pieces: &[(i64, i64, bool)], width: i64, sold_by: i64) -> Problem {
    let items = pieces.iter().map(|&(width, length, is_free)| {
        let rotations = if is_free { Rotations::free() } else { Rotations::along_the_grain() };
        Item::rectangle("part", (Length::mm(width), Length::mm(length)), 1, rotations)
    });
    let increments = Increments::new([Length::mm(sold_by)]).expect("a millimetre can be sold");
    Problem::new(Stock::bolt(Length::mm(width), increments), items.collect())
}

/// Searched until it is done, or for very many rounds.
fn searched(problem: &Problem, seed: u64) -> Search {
    let mut search = Search::begin(problem, seed).expect("everything fits");
    search.step(6_000);
    assert_eq!(verify(problem, search.best()), Ok(()));
    search
}

/// The shortest length, by trying.
fn shortest(pieces: &[(i64, i64, bool)], width: i64, most: i64) -> i64 {
    (0..=most).find(|&length| can_be_laid(pieces, width, length)).unwrap_or(i64::MAX)
}

fn pieces(most: usize) -> impl Strategy<Value = Vec<(i64, i64, bool)>> {
    // Few sizes, so that there are equal pieces among them.
    let sizes = prop::collection::vec((1_i64..8, 1_i64..6, any::<bool>()), 1..4);
    sizes.prop_flat_map(move |sizes| prop::collection::vec(prop::sample::select(sizes), 1..=most))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(10))]

    #[test]
    fn what_is_proven_to_be_the_shortest_is(pieces in pieces(5), width in 7_i64..11, sold_by in 1_i64..6) {
        let problem = problem(&pieces, width, sold_by);
        let search = searched(&problem, 1);
        let length = shortest(&pieces, width, 60);
        prop_assert!(search.is_done(), "{:?}", search.best());
        prop_assert_eq!(search.best().length, Length::mm(length));
        prop_assert_eq!(search.best().bound, Length::mm(length));
    }

    #[test]
    fn a_gap_is_as_good_as_larger_pieces_on_wider_fabric(pieces in pieces(5), width in 7_i64..10) {
        let mut problem = problem(&pieces, width, 1);
        problem.gap = Length::mm(1);
        let search = searched(&problem, 1);
        let grown: Vec<_> = pieces.iter().map(|&(w, l, free)| (w + 1, l + 1, free)).collect();
        let length = shortest(&grown, width + 1, 70) - 1;
        prop_assert!(search.best().bound <= Length::mm(length));
        prop_assert!(search.is_done());
        prop_assert_eq!(search.best().length, Length::mm(length));
    }

    #[test]
    fn sizes_that_share_no_unit_are_proven_as_well(pieces in pieces(5), width in 7_i64..10) {
        // A nanometre more or less on each, so that the units of the proof are too coarse.
        let mut odd = problem(&pieces, width, 1);
        for (index, item) in (1..).zip(&mut odd.pieces) {
            let (w, l) = item.shape.size();
            let less = Length::nm(index);
            item.shape = layout::Shape::Rect { width: w - less, length: l - less };
        }
        let search = searched(&odd, 1);
        // Smaller pieces fit wherever the larger ones fit.
        let length = shortest(&pieces, width, 60);
        prop_assert!(search.best().bound <= Length::mm(length));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(6))]

    #[test]
    fn no_bound_is_above_the_length_of_fabric_that_was_cut_up(seed in any::<u32>(), count in 4_usize..16, style in 0_usize..5, is_free in any::<bool>()) {
        let rotations = if is_free { Rotations::free() } else { Rotations::one_way() };
        let (problem, length) = jobs::cut_up(u64::from(seed), count, jobs::Style::ALL[style], rotations);
        let mut search = Search::begin(&problem, 1).unwrap();
        search.step(70);
        prop_assert!(search.best().bound <= length);
        prop_assert_eq!(verify(&problem, search.best()), Ok(()));
    }

    #[test]
    fn however_the_rounds_are_divided_the_layout_is_the_same(seed in 0_u64..1000, cut in 1_u32..140) {
        let problem = jobs::bag(seed);
        let mut one = Search::begin(&problem, seed).unwrap();
        let mut other = Search::begin(&problem, seed).unwrap();
        one.step(140);
        other.step(cut);
        other.step(140 - cut);
        prop_assert_eq!(one.best(), other.best());
        let first = layout::first(&problem).unwrap();
        prop_assert_eq!(one.best(), &refine(&problem, &first, 140, seed));
        prop_assert_eq!(verify(&problem, one.best()), Ok(()));
        prop_assert!(one.best().bought <= first.bought && one.best().bound >= first.bound);
    }
}

#[test]
fn a_purchase_that_only_a_proof_can_rule_out() {
    // Area and widths leave room for 2 + 2 + 2 on 10 × 8 mm, but three pieces of 6 × 4 cannot lie
    // on it: two are too wide side by side and three too long one behind the other.
    let pieces = [(6, 4, false), (6, 4, false), (6, 4, false), (4, 2, false)];
    assert!(!can_be_laid(&pieces, 10, 11));
    let search = searched(&problem(&pieces, 10, 4), 1);
    assert_eq!(search.best().length, Length::mm(12));
    assert_eq!(search.best().proof, Proof::Shortest);
}

#[test]
fn outlines_of_bags_are_laid_and_their_bounds_hold() {
    for (seed, rotations) in [(1, Rotations::along_the_grain()), (2, Rotations::free())] {
        let problem = jobs::outlines(seed, 9, rotations);
        let mut search = Search::begin(&problem, 1).unwrap();
        let first = search.best().clone();
        search.step(400);
        let best = search.best();
        assert_eq!(verify(&problem, best), Ok(()));
        assert!(best.length <= first.length && best.bound >= first.bound);
        assert!(best.bound <= best.length);
    }
}
