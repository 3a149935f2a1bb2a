//! Strips first: cutting jobs of the trade, properties of every layout against the verifier, and
//! the least length against an exhaustive search.

use layout::{
    CutKind, Cutting, Item, Join, JoinAngle, JoinPlace, NoLayout, Problem, Proof, Rotations,
    Search, Shape, Stock, first, verify,
};
use measure::{Increments, Length, System};
use proptest::prelude::*;

fn strips_first(width: Length, longest_cut: Option<Length>, items: Vec<Item>) -> Problem {
    let mut problem = Problem::new(Stock::bolt(width, Increments::eighth_yards()), items);
    problem.cutting = Cutting::StripsFirst { longest_cut };
    problem
}

fn searched(problem: &Problem) -> layout::Layout {
    let mut search = Search::begin(problem, 1).expect("everything fits");
    search.step(16);
    search.best().clone()
}

/// The least length of strips that together give these rectangles (width, length, may be turned),
/// by trying everything: every set of pieces as one strip, and every way to choose strips.
mod every_strip {
    use std::collections::BTreeMap;

    type Piece = (i64, i64, bool);

    /// Whether pieces can be cut from a strip of this size: blocks side by side, in each of them
    /// pieces one above the other.
    fn is_one_strip(pieces: &[Piece], set: u32, width: i64, height: i64) -> bool {
        if set == 0 {
            return true;
        }
        let first = set.trailing_zeros();
        let rest = set & !(1 << first);
        // Every subset that holds the first piece may be the first block.
        let mut others = rest;
        loop {
            let block = others | 1 << first;
            if let Some(wide) = narrowest_stack(pieces, block, height)
                && wide <= width
                && is_one_strip(pieces, set & !block, width - wide, height)
            {
                return true;
            }
            if others == 0 {
                return false;
            }
            others = (others - 1) & rest;
        }
    }

    /// The least width of all these one above the other.
    fn narrowest_stack(pieces: &[Piece], set: u32, height: i64) -> Option<i64> {
        if set == 0 {
            return (height >= 0).then_some(0);
        }
        let first = set.trailing_zeros();
        let (w, l, free) = pieces[first as usize];
        let ways = if free { vec![(w, l), (l, w)] } else { vec![(w, l)] };
        let with = |(w, l): (i64, i64)| {
            narrowest_stack(pieces, set & !(1 << first), height - l).map(|rest| rest.max(w))
        };
        ways.into_iter().filter_map(with).min()
    }

    /// The least sum of heights of strips, none higher than the tallest piece may lie.
    pub(super) fn least(pieces: &[Piece], width: i64) -> i64 {
        let mut tallest = 0;
        for &(w, l, free) in pieces {
            tallest = if w <= width { tallest.max(l) } else { tallest };
            tallest = if free && l <= width { tallest.max(w) } else { tallest };
        }
        let all = (1_u32 << pieces.len()) - 1;
        let mut costs = BTreeMap::new();
        for set in 1..=all {
            let cost = (1..=tallest).find(|&high| is_one_strip(pieces, set, width, high));
            costs.insert(set, cost);
        }
        let mut least = vec![i64::MAX; all as usize + 1];
        least[0] = 0;
        for set in 1..=all {
            let first = 1 << set.trailing_zeros();
            let mut part = set;
            while part != 0 {
                if part & first != 0
                    && let Some(cost) = costs[&part]
                    && least[(set & !part) as usize] < i64::MAX
                {
                    least[set as usize] =
                        least[set as usize].min(cost + least[(set & !part) as usize]);
                }
                part = (part - 1) & set;
            }
        }
        least[all as usize]
    }
}

#[test]
fn nine_patches_from_strips() {
    // 30 squares of 5 1/2 in from 42 in: 7 in a strip, so 5 strips of 5 1/2 in (common practice, no
    // source; the arithmetic is floor(42 / 5.5) = 7 and ceil(30 / 7) = 5).
    let square = Length::inch_frac(11, 2);
    let items = vec![Item::rectangle("square", (square, square), 30, Rotations::free())];
    let layout = first(&strips_first(Length::inch(42), None, items)).unwrap();
    assert_eq!((layout.length, layout.proof), (square * 5, Proof::Shortest));
    let of = |kind| layout.cuts.iter().filter(|cut| cut.kind == kind).count();
    assert_eq!((of(CutKind::Divide), of(CutKind::Strip), of(CutKind::Trim)), (0, 5, 0));
    // Seven cross cuts in each full strip, as 38 1/2 in of 42 are used; two in the last.
    assert_eq!(of(CutKind::Cross), 30);
}

#[test]
fn a_short_ruler_wants_folded_fabric() {
    // 42 in folded selvedge on selvedge is 21 in, within a ruler of 24 in; within one of 12 in it
    // has to be folded once more (common practice, no source).
    let items = || {
        vec![
            Item::rectangle("body", (Length::inch(15), Length::inch(12)), 2, Rotations::one_way()),
            Item::rectangle("strap", (Length::inch(20), Length::inch(4)), 2, Rotations::one_way()),
        ]
    };
    let layers = |ruler: i64| {
        let problem = strips_first(Length::inch(42), Some(Length::inch(ruler)), items());
        let layout = searched(&problem);
        assert_eq!(verify(&problem, &layout), Ok(()));
        assert!(layout.cuts.iter().all(|cut| cut.length() <= Length::inch(ruler)));
        let strip = layout.cuts.iter().find(|cut| cut.kind == CutKind::Strip).unwrap();
        (strip.layers, strip.length())
    };
    assert_eq!(layers(60), (1, Length::inch(42)));
    assert_eq!(layers(24), (2, Length::inch(21)));
    assert_eq!(layers(12), (4, Length::inch_frac(21, 2)));
    // Nothing helps a piece that is longer either way.
    let none = first(&strips_first(Length::inch(42), Some(Length::inch(11)), items())).unwrap_err();
    let NoLayout::LongCut(cut) = none else { panic!("{none:?}") };
    assert_eq!((cut.name.as_str(), cut.needs), ("body", Length::inch(12)));
}

#[test]
fn straps_are_joined_from_strips_across() {
    // Two straps of 56 in from 42 in of width with one join each: three strips, as free cutting
    // needs as well.
    let join = Join {
        most: 1,
        allowance: Length::inch_frac(1, 2),
        angle: JoinAngle::Straight,
        place: JoinPlace::Anywhere,
    };
    let breadth = Length::inch_frac(9, 2);
    let strap = Item::rectangle("strap", (Length::inch(56), breadth), 2, Rotations::one_way());
    let problem = strips_first(Length::inch(42), None, vec![strap.joined(join)]);
    let layout = searched(&problem);
    assert_eq!(verify(&problem, &layout), Ok(()));
    assert_eq!((layout.length, layout.proof), (breadth * 3, Proof::Shortest));
}

/// Fabric of 3 m is divided in two, so that a ruler of 600 mm does through four layers; what is
/// longer than such a part is joined.
#[test]
fn straps_longer_than_a_part_of_divided_fabric_are_joined() {
    let mm = Length::mm;
    let join =
        Join { most: 1, allowance: mm(10), angle: JoinAngle::Straight, place: JoinPlace::Anywhere };
    let strap = Item::rectangle("strap", (mm(2_000), mm(100)), 2, Rotations::one_way());
    let problem = strips_first(mm(3_000), Some(mm(600)), vec![strap.joined(join)]);
    let layout = first(&problem).expect("it can be laid");
    assert!(!layout.joins.is_empty());
    assert_eq!(verify(&problem, &layout), Ok(()));
}

#[test]
fn a_kit_of_thirty_bags() {
    let inch = |w, l| (Length::inch_frac(w, 2), Length::inch_frac(l, 2));
    let fixed = Rotations::along_the_grain();
    let mut problem = strips_first(
        Length::inch(44),
        Some(Length::inch(24)),
        vec![
            Item::rectangle("body", inch(31, 35), 2, fixed),
            Item::rectangle("pocket", inch(17, 15), 1, fixed),
            Item::rectangle("strap", inch(8, 45), 2, fixed),
            Item::rectangle("tab", inch(5, 7), 2, Rotations::free()),
        ],
    );
    problem.copies = 30;
    let layout = searched(&problem);
    assert_eq!(verify(&problem, &layout), Ok(()));
    assert!(layout.length.to_mm() <= layout.bound.to_mm() * 1.02, "{}", layout.proof);
}

fn any_strips_problem() -> impl Strategy<Value = (Vec<(i64, i64, bool)>, i64)> {
    let piece = (1_i64..8, 1_i64..8, any::<bool>());
    (prop::collection::vec(piece, 1..8), 8_i64..14)
}

/// Single pieces in units of so much, and whether they may be turned.
fn problem_of(pieces: &[(i64, i64, bool)], width: i64, unit: Length) -> Problem {
    let item = |&(w, l, free): &(i64, i64, bool)| {
        let ways = if free { Rotations::free() } else { Rotations::one_way() };
        Item::rectangle("piece", (unit * w, unit * l), 1, ways)
    };
    let increments = Increments::new(vec![unit]).expect("it is a length");
    let mut problem =
        Problem::new(Stock::bolt(Length::mm(width), increments), pieces.iter().map(item).collect());
    problem.cutting = Cutting::StripsFirst { longest_cut: None };
    problem
}

proptest! {
    #[test]
    fn the_least_length_of_all((pieces, width) in any_strips_problem()) {
        let problem = problem_of(&pieces, width, Length::mm(1));
        let layout = searched(&problem);
        prop_assert_eq!(verify(&problem, &layout), Ok(()));
        let least = Length::mm(every_strip::least(&pieces, width));
        prop_assert!(layout.bound <= least, "the bound is above what can be had");
        prop_assert_eq!((layout.length, layout.proof), (least, Proof::Shortest));
    }
}

/// Pieces of a bag, some joined, some in pairs; gap, ruler and fold as may be.
fn any_bag() -> impl Strategy<Value = Problem> {
    let size = |most: i64| (20_i64..most).prop_map(Length::mm);
    let ways = prop_oneof![
        Just(Rotations::one_way()),
        Just(Rotations::along_the_grain()),
        Just(Rotations::across_the_grain()),
        Just(Rotations::free()),
    ];
    let place = prop_oneof![
        Just(JoinPlace::Centre),
        Just(JoinPlace::Anywhere),
        (1_i64..400).prop_map(|mm| JoinPlace::WithinEnd(Length::mm(mm))),
    ];
    let join = (1_u32..3, 0_i64..15, place).prop_map(|(most, allowance, place)| {
        let allowance = Length::mm(allowance);
        Join { most, allowance, angle: JoinAngle::Straight, place }
    });
    let piece = (size(500), size(500), 1_u32..4, ways.clone(), any::<bool>()).prop_map(
        |(width, length, count, ways, mirror)| {
            let item = Item::rectangle("piece", (width, length), count, ways);
            if mirror { item.in_pairs() } else { item }
        },
    );
    let strap = (size(1800), size(120), 1_u32..3, ways, join).prop_map(
        |(width, length, count, ways, join)| {
            Item::rectangle("strap", (width, length), count, ways).joined(join)
        },
    );
    let items = prop::collection::vec(prop_oneof![4 => piece, 1 => strap], 1..6);
    let ruler = prop_oneof![Just(None), (300_i64..700).prop_map(|mm| Some(Length::mm(mm)))];
    (items, 600_i64..1500, ruler, 0_i64..10, 1_u32..3, any::<bool>()).prop_map(
        |(items, width, ruler, gap, copies, fold)| {
            let mut problem = strips_first(Length::mm(width), ruler, items);
            if let Stock::Bolt { fold: lies_folded, .. } = &mut problem.stock {
                *lies_folded = fold;
            }
            problem.gap = Length::mm(gap.saturating_sub(6));
            problem.copies = copies;
            problem
        },
    )
}

/// Two fat quarters (18 x 22 in, as sold; common practice), cut with a ruler of 24 in.
fn fat_quarters(outsides: u32) -> Problem {
    let inch = |w: i64, l: i64| (Length::inch(w), Length::inch(l));
    let fixed = Rotations::along_the_grain();
    let items = vec![
        Item::rectangle("outside", inch(9, 10), outsides, fixed),
        Item::rectangle("tab", inch(3, 2), 6, fixed),
    ];
    let quarter = Shape::Rect { width: Length::inch(18), length: Length::inch(22) };
    let mut problem = Problem::new(Stock::Remnants(vec![quarter.clone(), quarter]), items);
    problem.cutting = Cutting::StripsFirst { longest_cut: Some(Length::inch(24)) };
    problem
}

#[test]
fn a_pouch_from_fat_quarters_in_strips() {
    let problem = fat_quarters(4);
    let layout = first(&problem).expect("it can be cut");
    assert_eq!(verify(&problem, &layout), Ok(()));
    let fit = layout.fit.as_ref().expect("it says whether it fits");
    assert_eq!((fit.left_over.len(), fit.is_proven), (0, true));
    // Two strips of 10 in and one of 2 in make the 22 in of one quarter; the other is left whole.
    let stock = layout.placements[0].stock;
    assert!(layout.placements.iter().all(|one| one.stock == stock));
    let rest = layout.remnant.expect("a quarter is left");
    assert_eq!((rest.width, rest.length), (Length::inch(18), Length::inch(22)));
    let mut longer = problem;
    longer.pieces[0].count = 9;
    let layout = first(&longer).expect("most of it can be cut");
    assert_eq!(verify(&longer, &layout), Ok(()));
    // Four on each quarter: by area alone nine outsides and the tabs would not fit either.
    let fit = layout.fit.expect("it says what is left over");
    assert_eq!((fit.left_over, fit.is_proven), (vec![(0, 8)], true));
}

#[test]
fn the_cutting_order_tells_the_remnants_apart() {
    let mut problem = fat_quarters(8);
    problem.pieces[1].count = 0;
    let layout = first(&problem).expect("it can be cut");
    let words = layout.cuts_in_words(&problem, System::Inch).join("\n");
    expect_test::expect![[r#"
        1–2. Remnant 1 flat: cut 2 strips, each 10 in high, across the whole width
        3–4. Remnant 2 flat: cut 2 strips, each 10 in high, across the whole width
        5. Strip of cut 1, 10 in high: cut 9 in off, outside
        6. Strip of cut 2, 10 in high: cut 9 in off, outside
        7. Strip of cut 3, 10 in high: cut 9 in off, outside
        8. Strip of cut 4, 10 in high: cut 9 in off, outside"#]]
    .assert_eq(&words);
}

proptest! {
    #[test]
    fn what_is_cut_from_remnants_in_strips_lies_there_in_any_order_too(
        problem in any_bag(),
        sizes in prop::collection::vec((8_i64..50, 8_i64..50), 1..5),
    ) {
        let mut problem = problem;
        let rect = |&(w, l): &(i64, i64)| Shape::Rect { width: Length::inch(w), length: Length::inch(l) };
        problem.stock = Stock::Remnants(sizes.iter().map(rect).collect());
        problem.cutting = Cutting::StripsFirst { longest_cut: None };
        let layout = match first(&problem) {
            Ok(layout) => layout,
            Err(NoLayout::Nonsense(_)) => return Ok(()),
            Err(none) => return Err(TestCaseError::fail(format!("not left over: {none:?}"))),
        };
        prop_assert_eq!(verify(&problem, &layout), Ok(()));
        // Without its cuts it is a layout in any order.
        let mut free = problem.clone();
        free.cutting = Cutting::Free;
        let mut in_any_order = layout.clone();
        in_any_order.cuts.clear();
        prop_assert_eq!(verify(&free, &in_any_order), Ok(()));
        // A search never makes it worse.
        let mut search = Search::begin(&problem, 3).expect("it can be cut");
        search.step(2);
        prop_assert_eq!(verify(&problem, search.best()), Ok(()));
        let left = |layout: &layout::Layout| {
            let fit = layout.fit.as_ref().expect("on remnants");
            fit.left_over.iter().map(|&(piece, _)| {
                let (width, length) = problem.pieces[piece].shape.size();
                i128::from(width.to_nm()) * i128::from(length.to_nm())
            }).sum::<i128>()
        };
        prop_assert!(left(search.best()) <= left(&layout));
    }
}

proptest! {
    #[test]
    fn every_layout_is_right_and_no_cut_can_be_left_out_or_moved(
        problem in any_bag(),
        at in any::<prop::sample::Index>(),
    ) {
        let Ok(layout) = first(&problem) else { return Ok(()) };
        prop_assert_eq!(verify(&problem, &layout), Ok(()));
        if let Cutting::StripsFirst { longest_cut: Some(longest) } = problem.cutting {
            prop_assert!(layout.cuts.iter().all(|cut| cut.length() <= longest));
        }
        if layout.cuts.is_empty() {
            return Ok(());
        }
        let at = at.index(layout.cuts.len());
        let spoilt = |change: &dyn Fn(&mut Vec<layout::CutLine>)| {
            let mut spoilt = layout.clone();
            change(&mut spoilt.cuts);
            verify(&problem, &spoilt).is_err()
        };
        let nm = Length::nm(1);
        let is_aside = spoilt(&|cuts| {
            cuts[at].from.0 += nm;
            cuts[at].to.0 += nm;
        });
        let is_beyond = spoilt(&|cuts| {
            cuts[at].from.1 += nm;
            cuts[at].to.1 += nm;
        });
        let is_twice = spoilt(&|cuts| cuts.push(cuts[at]));
        prop_assert!(is_aside && is_beyond && is_twice);
        prop_assert!(spoilt(&|cuts| cuts[at].part.width += nm));
        if layout.cuts[at].kind != CutKind::Divide {
            prop_assert!(spoilt(&|cuts| cuts[at].layers = 3));
        }
        // Only a cut that takes nothing but waste off can be left out.
        let gives = |side| matches!(side, layout::Off::Piece(_) | layout::Off::Part(_));
        let is_left_out = spoilt(&|cuts| {
            cuts.remove(at);
        });
        prop_assert!(is_left_out || !gives(layout.cuts[at].off));
        // Cutting in any order never needs more.
        let mut free = problem.clone();
        free.cutting = Cutting::Free;
        if let Stock::Bolt { fold, .. } = &mut free.stock {
            *fold = false;
        }
        let free = first(&free).expect("what fits in strips fits");
        prop_assert!(free.bound <= layout.length);
    }

    /// A bound for strips that may be joined in several ways holds for each of these ways.
    #[test]
    fn joined_straps_never_beat_the_bound(
        long in 13_i64..30,
        breadth in 1_i64..4,
        count in 1_u32..4,
        pieces in prop::collection::vec((1_i64..8, 1_i64..8, Just(false)), 0..4),
        cut in prop::collection::vec(1_i64..12, 3),
    ) {
        let join = Join {
            most: 2,
            allowance: Length::ZERO,
            angle: JoinAngle::Straight,
            place: JoinPlace::Anywhere,
        };
        // No strip is cut shorter than an inch.
        let unit = Length::mm(30);
        let size = (unit * long, unit * breadth);
        let strap = Item::rectangle("strap", size, count, Rotations::one_way()).joined(join);
        let mut problem = problem_of(&pieces, 12, unit);
        problem.pieces.push(strap);
        let Ok(mut search) = Search::begin(&problem, 1) else { return Ok(()) };
        search.step(8);
        let layout = search.best();
        prop_assert_eq!(verify(&problem, layout), Ok(()));
        // Every strap in up to three parts, cut anywhere.
        let mut parts = pieces;
        for &one in cut.iter().take(count as usize) {
            let one = one.max(long - 24);
            let two = (long - one).min(12);
            for part in [one, two, long - one - two].into_iter().filter(|&part| part > 0) {
                parts.push((part, breadth, false));
            }
        }
        prop_assert!(layout.bound <= unit * every_strip::least(&parts, 12));
    }
}

#[test]
fn a_ruler_too_short_for_any_lane_says_how_long_it_must_be() {
    let item =
        || Item::rectangle("side", (Length::mm(300), Length::mm(80)), 1, Rotations::one_way());
    let problem = |longest| strips_first(Length::mm(1000), Some(longest), vec![item()]);
    // Three lanes of 333 1/3 mm, folded into four layers: 83 1/3 mm on the table.
    let Err(NoLayout::LongCut(cut)) = first(&problem(Length::mm(10))) else {
        panic!("it cannot be cut");
    };
    assert_eq!((cut.needs, cut.longest), (Length::nm(83_333_334), Length::mm(10)));
    assert!(first(&problem(cut.needs)).is_ok());
    assert!(first(&problem(cut.needs - Length::nm(2))).is_err());
}

/// A ruler of 12 in reaches across 48 in that are folded in four, so 54 in are divided, and a strap of
/// 40 in is joined, which it need not be on 54 in whole. The narrowest fabric is found all the same.
#[test]
fn the_narrowest_fabric_when_a_short_ruler_divides_it() {
    let join = Join {
        most: 4,
        allowance: Length::inch_frac(1, 2),
        angle: JoinAngle::Straight,
        place: JoinPlace::Anywhere,
    };
    for count in 1..=12 {
        let size = (Length::inch(40), Length::inch(4));
        let strap = Item::rectangle("strap", size, count, Rotations::one_way()).joined(join);
        let problem = strips_first(Length::inch(54), Some(Length::inch(12)), vec![strap]);
        let layout = first(&problem).expect("joined, it fits");
        assert!(layout.placements.iter().any(|it| it.part > 0), "{layout:?}");
        let answer = layout.narrowest(&problem, Length::inch_frac(1, 8));
        assert!(answer.width <= Length::inch(54), "{answer:?}");
    }
}
