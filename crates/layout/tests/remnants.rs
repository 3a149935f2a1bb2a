//! Remnants: what fits on pieces of fabric that are there, against an exhaustive search.

use layout::{
    Fault, Item, Layout, NoLayout, Problem, Rotations, Search, Shape, Stock, first, verify,
};
use measure::Length;
use proptest::prelude::*;

mod every_way;

fn inch(size: (i64, i64)) -> (Length, Length) {
    (Length::inch(size.0), Length::inch(size.1))
}

fn remnants(sizes: &[(Length, Length)]) -> Stock {
    let rect = |&(width, length): &(Length, Length)| Shape::Rect { width, length };
    Stock::Remnants(sizes.iter().map(rect).collect())
}

fn searched(problem: &Problem) -> Layout {
    let mut search = Search::begin(problem, 1).expect("it can be laid");
    search.step(4);
    let layout = search.best().clone();
    assert_eq!(verify(problem, &layout), Ok(()));
    layout
}

#[test]
fn a_pouch_from_scraps() {
    // Two fat quarters (18 x 22 in, as sold; common practice) and a narrow strip.
    let stock = || remnants(&[inch((18, 22)), inch((18, 22)), inch((5, 40))]);
    let fixed = Rotations::along_the_grain();
    let items = vec![
        Item::rectangle("outside", inch((9, 11)), 4, fixed),
        Item::rectangle("strap", inch((4, 38)), 1, fixed),
    ];
    let layout = searched(&Problem::new(stock(), items.clone()));
    assert!(layout.fit.as_ref().is_some_and(|fit| fit.left_over.is_empty()));
    // All four on one fat quarter, so that the other is left whole.
    let of = |piece: usize| {
        let placed = layout.placements.iter().filter(move |one| one.piece == piece);
        placed.map(|one| one.stock).collect::<Vec<_>>()
    };
    assert_eq!(of(1), [2]);
    let outside = of(0);
    assert!(outside.iter().all(|&stock| stock == outside[0]) && outside.len() == 4);
    let rest = layout.remnant.unwrap();
    assert_eq!((rest.width, rest.length), inch((18, 22)));

    // A strap that is longer than every scrap is left over, and nothing could change that.
    let mut long = items;
    long[1] = Item::rectangle("strap", inch((4, 41)), 1, fixed);
    let layout = searched(&Problem::new(stock(), long));
    let fit = layout.fit.unwrap();
    assert_eq!((fit.left_over, fit.is_proven), (vec![(1, 0)], true));
}

#[test]
fn what_is_left_over_has_to_be_said() {
    let items = vec![Item::rectangle("square", inch((6, 6)), 5, Rotations::one_way())];
    let problem = Problem::new(remnants(&[inch((12, 12))]), items);
    let mut layout = searched(&problem);
    let fit = layout.fit.as_mut().unwrap();
    assert_eq!((fit.left_over.as_slice(), fit.is_proven), (&[(0, 4)][..], true));
    fit.left_over.clear();
    assert!(verify(&problem, &layout).unwrap_err().contains(&Fault::Missing { piece: 0, copy: 4 }));
    layout.fit = None;
    assert!(verify(&problem, &layout).unwrap_err().contains(&Fault::Fit));
}

#[test]
fn no_remnants_make_no_sense() {
    let items = vec![Item::rectangle("square", inch((6, 6)), 1, Rotations::one_way())];
    let none = first(&Problem::new(Stock::Remnants(Vec::new()), items));
    assert!(matches!(none, Err(NoLayout::Nonsense(_))));
}

proptest! {
    #[test]
    fn it_fits_or_it_is_proven_not_to(
        pieces in prop::collection::vec((1_i64..7, 1_i64..7, any::<bool>()), 1..6),
        width in 4_i64..9,
        lengths in prop::collection::vec(2_i64..9, 1..3),
    ) {
        let mm = |(w, l): (i64, i64)| (Length::mm(w), Length::mm(l));
        let item = |&(w, l, free): &(i64, i64, bool)| {
            let ways = if free { Rotations::free() } else { Rotations::one_way() };
            Item::rectangle("piece", mm((w, l)), 1, ways)
        };
        let sizes: Vec<_> = lengths.iter().map(|&length| mm((width, length))).collect();
        let problem = Problem::new(remnants(&sizes), pieces.iter().map(item).collect());
        let layout = searched(&problem);
        let fit = layout.fit.expect("remnants");
        if let [length] = lengths[..] {
            let can = every_way::can_be_laid(&pieces, width, length);
            prop_assert_eq!(fit.left_over.is_empty(), can);
        }
        // So few pieces are always settled.
        prop_assert!(fit.is_proven);
    }
}
