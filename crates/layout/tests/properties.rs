//! What holds for every layout: the verifier accepts it and rejects what is spoilt, no bound is
//! above a length that can be had, nothing gets worse.

use layout::{
    Fault, Item, Join, JoinAngle, JoinPlace, Layout, Problem, Proof, Rotation, Rotations,
    Shrinkage, Stock, first, narrowest, refine, verify,
};
use measure::{Increments, Length};
use proptest::prelude::*;
use proptest::sample::Index;

mod every_way;

use every_way::can_be_laid;

fn rotations() -> impl Strategy<Value = Rotations> {
    prop_oneof![
        Just(Rotations::one_way()),
        Just(Rotations::along_the_grain()),
        Just(Rotations::one_way_across()),
        Just(Rotations::across_the_grain()),
        Just(Rotations::free()),
    ]
}

fn join() -> impl Strategy<Value = Join> {
    let place = prop_oneof![
        Just(JoinPlace::Centre),
        Just(JoinPlace::Anywhere),
        (1_i64..400).prop_map(|mm| JoinPlace::WithinEnd(Length::mm(mm))),
    ];
    let angle = prop_oneof![Just(JoinAngle::Straight), Just(JoinAngle::Diagonal)];
    (1_u32..4, 0_i64..20, angle, place).prop_map(|(most, allowance, angle, place)| Join {
        most,
        allowance: Length::mm(allowance),
        angle,
        place,
    })
}

/// A piece, or a strip that may be longer than the fabric is wide.
fn item() -> impl Strategy<Value = Item> {
    let size = |most: i64| (5_i64..most).prop_map(Length::mm);
    let piece = ((size(600), size(600)), 1_u32..4, rotations(), any::<bool>()).prop_map(
        |(size, count, rotations, mirror)| {
            let item = Item::rectangle("piece", size, count, rotations);
            if mirror { item.in_pairs() } else { item }
        },
    );
    let strip = ((size(2500), size(150)), 1_u32..5, rotations(), join()).prop_map(
        |(size, count, rotations, join)| {
            Item::rectangle("strip", size, count, rotations).joined(join)
        },
    );
    prop_oneof![3 => piece, 1 => strip]
}

fn problem() -> impl Strategy<Value = Problem> {
    let increments =
        prop_oneof![Just(Increments::third_and_eighth_yards()), Just(Increments::ten_cm())];
    let fabric = (300_i64..1500, increments, 0_i64..15, 1_u32..4, 0_i64..40);
    let shrinkage = (0_u32..120_000, 0_u32..120_000);
    (fabric, shrinkage, prop::collection::vec(item(), 0..8)).prop_map(
        |(fabric, shrinkage, items)| {
            let (width, increments, gap, copies, squaring) = fabric;
            let stock = Stock::bolt(Length::mm(width), increments);
            let mut problem = Problem::new(stock, items);
            problem.gap = Length::mm(gap);
            problem.copies = copies;
            problem.squaring = Length::mm(squaring);
            problem.shrinkage = Shrinkage { lengthwise: shrinkage.0, crosswise: shrinkage.1 };
            problem
        },
    )
}

/// A problem with at least one placement, and its layout.
fn laid() -> impl Strategy<Value = (Problem, Layout)> {
    problem().prop_filter_map("nothing to lay", |problem| {
        let layout = first(&problem).ok().filter(|layout| !layout.placements.is_empty())?;
        Some((problem, layout))
    })
}

/// A rectangle cut into pieces by cuts from edge to edge, so that its length is the shortest.
fn cut_up((width, length): (i64, i64), cuts: &[(Index, Index)], gap: i64) -> Vec<(i64, i64)> {
    let mut pieces = vec![(width, length)];
    for (which, at) in cuts {
        let (width, length) = pieces.swap_remove(which.index(pieces.len()));
        let is_across = width >= length;
        let long = if is_across { width } else { length };
        if long <= 2 * gap + 4 {
            pieces.push((width, length));
            continue;
        }
        let one =
            1 + i64::try_from(at.index(usize::try_from(long - gap - 1).unwrap_or(1))).unwrap_or(0);
        let other = long - gap - one;
        for part in [one, other] {
            pieces.push(if is_across { (part, length) } else { (width, part) });
        }
    }
    pieces
}

fn on_bolt(width: Length, items: Vec<Item>) -> Problem {
    Problem::new(Stock::bolt(width, Increments::ten_cm()), items)
}

proptest! {
    #[test]
    fn every_layout_is_accepted_and_no_refinement_is_worse(problem in problem(), seed in any::<u64>()) {
        let Ok(layout) = first(&problem) else { return Ok(()) };
        prop_assert_eq!(verify(&problem, &layout), Ok(()));
        let refined = refine(&problem, &layout, 60, seed);
        prop_assert_eq!(verify(&problem, &refined), Ok(()));
        prop_assert!(refined.length <= layout.length && refined.bought <= layout.bought);
        prop_assert!(layout.bound <= refined.length);
        prop_assert_eq!(&refined, &refine(&problem, &layout, 60, seed));
        prop_assert_eq!(&layout, &first(&problem).unwrap());
    }

    #[test]
    fn the_order_of_the_pieces_changes_neither_the_bound_nor_whether_they_fit(
        problem in problem().prop_flat_map(|problem| {
            let pieces = Just(problem.pieces.clone()).prop_shuffle();
            (Just(problem), pieces)
        })
    ) {
        let (problem, pieces) = problem;
        let mut shuffled = problem.clone();
        shuffled.pieces = pieces;
        match (first(&problem), first(&shuffled)) {
            (Ok(one), Ok(other)) => {
                prop_assert_eq!(one.bound, other.bound);
                prop_assert_eq!(verify(&shuffled, &other), Ok(()));
            }
            (one, other) => prop_assert!(one.is_err() && other.is_err()),
        }
    }

    #[test]
    fn no_bound_is_above_a_known_optimum(
        size in (20_i64..400, 20_i64..400),
        cuts in prop::collection::vec((any::<Index>(), any::<Index>()), 0..12),
        gap in 0_i64..6,
        is_free in any::<bool>(),
    ) {
        let rotations = if is_free { Rotations::free() } else { Rotations::one_way() };
        let items = cut_up(size, &cuts, gap).into_iter().map(|(width, length)| {
            Item::rectangle("part", (Length::mm(width), Length::mm(length)), 1, rotations)
        });
        let mut problem = on_bolt(Length::mm(size.0), items.collect());
        problem.gap = Length::mm(gap);
        let layout = first(&problem).unwrap();
        prop_assert!(layout.bound <= Length::mm(size.1), "{:?} > {}", layout.bound, size.1);
        if gap == 0 && !is_free {
            // Nothing is wasted, so that the area alone proves it.
            prop_assert_eq!(layout.bound, Length::mm(size.1));
        }
    }

    #[test]
    fn nothing_shorter_than_the_bound_can_be_laid(
        pieces in prop::collection::vec((1_i64..8, 1_i64..6, any::<bool>()), 1..5),
        width in 7_i64..9,
    ) {
        let items = pieces.iter().map(|&(width, length, is_free)| {
            let rotations = if is_free { Rotations::free() } else { Rotations::along_the_grain() };
            Item::rectangle("part", (Length::mm(width), Length::mm(length)), 1, rotations)
        });
        let layout = first(&on_bolt(Length::mm(width), items.collect())).unwrap();
        let bound = layout.bound.to_nm() / 1_000_000;
        prop_assert_eq!(Length::mm(bound), layout.bound);
        prop_assert!(!can_be_laid(&pieces, width, bound - 1));
    }

}

proptest! {
    // Each case lays often.
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_bound_stays_below_layouts_that_obey_stricter_rules((problem, layout) in laid()) {
        // A layout obeys looser rules as well, so that no bound under them may be above it.
        let bound = |loosen: &dyn Fn(&mut Problem)| {
            let mut loose = problem.clone();
            loosen(&mut loose);
            first(&loose).unwrap().bound
        };
        let free = bound(&|loose| {
            loose.pieces.iter_mut().for_each(|item| item.rotations = Rotations::free());
        });
        prop_assert!(free <= layout.length);
        let anywhere = bound(&|loose| {
            for join in loose.pieces.iter_mut().filter_map(|item| item.join.as_mut()) {
                (join.place, join.most) = (JoinPlace::Anywhere, join.most + 1);
            }
        });
        prop_assert!(anywhere <= layout.length);
        prop_assert!(bound(&|loose| loose.gap = Length::ZERO) <= layout.length);
        prop_assert!(bound(&|loose| loose.copies -= loose.copies.min(2) - 1) <= layout.length);
        let fewer = bound(&|loose| {
            loose.pieces.pop();
        });
        prop_assert!(fewer <= layout.length);
    }

    #[test]
    fn the_narrowest_width_is_narrower_and_less_would_cost_more((problem, layout) in laid()) {
        // That the pieces can be laid there is asserted where the answer is made.
        let step = Length::mm(5);
        let answer = layout.narrowest(&problem, step);
        let Stock::Bolt { width, .. } = &problem.stock else { return Ok(()) };
        prop_assert!(answer.width <= *width);
        if let Some(below) = answer.below {
            prop_assert!(below > layout.bought);
        }
        if let Some(asked) = narrowest(&problem, layout.bought, step) {
            prop_assert!(asked.width <= *width);
        }
    }
}

proptest! {
    #[test]
    fn what_is_spoilt_is_rejected((problem, layout) in laid(), which in any::<Index>()) {
        let index = which.index(layout.placements.len());
        let spoil = |change: &dyn Fn(&mut Layout)| {
            let mut spoilt = layout.clone();
            change(&mut spoilt);
            verify(&problem, &spoilt).err().unwrap_or_default()
        };
        let dropped = spoil(&|spoilt| {
            spoilt.placements.remove(index);
        });
        prop_assert!(!dropped.is_empty());
        let over = spoil(&|spoilt| spoilt.placements[index].x = spoilt.width);
        let fault = Fault::OffFabric { placement: index };
prop_assert!(over.contains(&fault));
        let before = spoil(&|spoilt| spoilt.placements[index].y = -Length::nm(1));
        let fault = Fault::OffFabric { placement: index };
prop_assert!(before.contains(&fault));
        let twice = spoil(&|spoilt| {
            let mut again = spoilt.placements[index];
            again.y = spoilt.length + problem.gap;
            spoilt.placements.push(again);
        });
        prop_assert!(!twice.is_empty());
        let larger = spoil(&|spoilt| spoilt.placements[index].width += Length::nm(1));
        prop_assert!(!larger.is_empty());
        let smaller = spoil(&|spoilt| spoilt.placements[index].length = Length::nm(1));
        prop_assert!(!smaller.is_empty());
        let over = spoil(&|spoilt| spoilt.placements[index].mirrored ^= true);
        let fault = Fault::Mirrored { placement: index };
prop_assert!(over.contains(&fault));
        for rotation in Rotation::ALL {
            if !problem.pieces[layout.placements[index].piece].rotations.allows(rotation) {
                let turned = spoil(&|spoilt| spoilt.placements[index].rotation = rotation);
                let fault = Fault::Rotation { placement: index };
prop_assert!(turned.contains(&fault));
            }
        }
        let nobody = spoil(&|spoilt| spoilt.placements[index].piece = usize::MAX);
        let fault = Fault::Unknown { placement: index };
prop_assert!(nobody.contains(&fault));
    }

    #[test]
    fn what_lies_on_another_is_rejected((problem, layout) in laid(), two in any::<(Index, Index)>()) {
        let count = layout.placements.len();
        let (one, other) = (two.0.index(count), two.1.index(count));
        prop_assume!(one != other);
        let mut spoilt = layout.clone();
        let (x, y) = (spoilt.placements[other].x, spoilt.placements[other].y);
        (spoilt.placements[one].x, spoilt.placements[one].y) = (x, y);
        let faults = verify(&problem, &spoilt).err().unwrap_or_default();
        let overlap = Fault::Overlap { one: one.min(other), other: one.max(other) };
        prop_assert!(faults.contains(&overlap));
    }

    #[test]
    fn false_claims_are_rejected((problem, layout) in laid()) {
        let is_rejected = |change: &dyn Fn(&mut Layout)| {
            let mut spoilt = layout.clone();
            change(&mut spoilt);
            verify(&problem, &spoilt).is_err()
        };
        prop_assert!(is_rejected(&|spoilt| spoilt.length -= Length::nm(1)));
        prop_assert!(is_rejected(&|spoilt| spoilt.needed -= Length::nm(1)));
        prop_assert!(is_rejected(&|spoilt| spoilt.bought += Length::nm(1)));
        prop_assert!(is_rejected(&|spoilt| spoilt.bought = Length::ZERO));
        prop_assert!(is_rejected(&|spoilt| spoilt.bound = spoilt.length + Length::nm(1)));
        prop_assert!(is_rejected(&|spoilt| spoilt.width += Length::nm(1)));
        if layout.bound < layout.length {
            prop_assert!(is_rejected(&|spoilt| spoilt.proof = Proof::Shortest));
            prop_assert!(is_rejected(&|spoilt| spoilt.proof = Proof::Within(0)));
        }
        if let Some(rest) = layout.remnant {
            let wider = layout::Remnant { width: rest.width + layout.width, ..rest };
            prop_assert!(is_rejected(&|spoilt| spoilt.remnant = Some(wider)));
        }
    }

    #[test]
    fn one_long_strip_is_as_long_as_what_is_cut_from_it((problem, layout) in laid()) {
        for (piece, item) in problem.pieces.iter().enumerate() {
            let (Some(join), true) = (item.join, layout.is_one_long_strip(piece)) else { continue };
            let (width, length) = item.shape.size();
            let (long, breadth) = (width.max(length), width.min(length));
            let parts: Vec<_> = layout
                .placements
                .iter()
                .filter(|one| one.piece == piece)
                .map(|one| if one.width == breadth { one.length } else { one.width })
                .collect();
            let seams = i64::try_from(parts.len()).unwrap() - 1;
            let sewn = parts.into_iter().sum::<Length>() - join.taken_up(breadth) * seams;
            prop_assert_eq!(sewn, long * i64::from(item.count * problem.copies));
        }
    }

    #[test]
    fn joins_that_do_not_add_up_are_rejected((problem, layout) in laid()) {
        for index in 0..layout.joins.len() {
            let is_rejected = |change: &dyn Fn(&mut layout::Joined)| {
                let mut spoilt = layout.clone();
                change(&mut spoilt.joins[index]);
                verify(&problem, &spoilt).is_err()
            };
            prop_assert!(is_rejected(&|joined| joined.stretches[0].length += Length::nm(2)));
            prop_assert!(is_rejected(&|joined| joined.stretches[0].from = -Length::nm(1)));
            prop_assert!(is_rejected(&|joined| joined.stretches[0].part = u32::MAX));
            prop_assert!(is_rejected(&|joined| joined.stretches.truncate(1)));
            prop_assert!(is_rejected(&|joined| joined.copy += 100));
            prop_assert!(is_rejected(&|joined| joined.piece = usize::MAX));
        }
    }
}

#[test]
fn nothing_to_lay_takes_nothing() {
    let problem = on_bolt(Length::mm(1000), Vec::new());
    let layout = first(&problem).unwrap();
    assert_eq!((layout.length, layout.bought), (Length::ZERO, Length::ZERO));
    assert_eq!((layout.proof, layout.remnant), (Proof::Shortest, None));
    assert_eq!(verify(&problem, &layout), Ok(()));
}
