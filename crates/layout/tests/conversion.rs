//! The same pieces on cloth of other widths, against published conversions. They go by area, so the
//! pieces are small squares, which leave nothing between them; a row of them is what may differ.

use layout::{Item, Problem, Rotations, Stock, first, verify};
use measure::{Increments, Length};

/// Yards that so many squares of 1 in take on cloth of such width, as laid and verified.
fn yards(width_in: i64, count: i64) -> f64 {
    let side = Length::INCH;
    let count = u32::try_from(count).expect("a count");
    let squares = vec![Item::rectangle("square", (side, side), count, Rotations::free())];
    let stock = Stock::bolt(Length::inch(width_in), Increments::eighth_yards());
    let problem = Problem::new(stock, squares);
    let layout = first(&problem).expect("squares fit");
    assert_eq!(verify(&problem, &layout), Ok(()));
    layout.length.to_inch() / 36.0
}

/// "It's sew mathematical" (2014), by way of L2 = L1 · W1 / W2: yards of one width, and of another.
/// Squares of 1 in leave at most a strip at the edge and the last row: an inch is 0.03 yd.
#[test]
fn lengths_of_equal_area() {
    for (yards_of, from, to, published) in [
        (4, 45, 54, 3.33),
        (4, 54, 45, 4.80),
        (5, 54, 60, 4.50),
        (8, 44, 108, 3.26),
        (3, 60, 45, 4.00),
    ] {
        let got = yards(to, from * yards_of * 36);
        assert!((got - published).abs() < 0.03, "{yards_of} yd of {from} in on {to}: {got}");
    }
    // The same page: 2 1/2 yd of 36 in are 3240 sq in, or 1 1/2 yd of 60 in.
    assert!((yards(60, 3240) - 1.5).abs() < 1e-9);
}

/// "Fabric conversion chart" (sewwithsarah.com; two other copies agree, likely of one ancestor), in
/// eighths of a yard. Half a yard is the most that area alone differs from it between any two
/// columns, so what leaves that is wrong; what stays within it is not thereby right.
#[test]
fn the_classic_chart_within_half_a_yard() {
    let widths = [36, 39, 41, 45, 50, 54, 60, 66];
    let chart = [
        [14, 12, 12, 11, 10, 9, 8, 7],
        [16, 14, 14, 13, 12, 11, 10, 9],
        [18, 16, 16, 14, 13, 12, 11, 10],
        [20, 18, 18, 17, 14, 14, 13, 12],
        [23, 20, 20, 18, 16, 15, 14, 13],
        [25, 22, 22, 20, 18, 16, 15, 14],
        [27, 24, 23, 22, 19, 18, 16, 15],
        [30, 26, 25, 23, 21, 19, 18, 17],
        [34, 28, 27, 25, 22, 21, 19, 18],
        [36, 30, 29, 27, 24, 22, 21, 20],
        [38, 32, 31, 29, 26, 23, 22, 21],
        [40, 34, 33, 31, 27, 25, 23, 22],
    ];
    for row in chart {
        // As many squares of 1 in as the length of 36 in gives.
        let count = 36 * (i64::from(row[0]) * 9 / 2);
        for (width, eighths) in widths.into_iter().zip(row) {
            let got = yards(width, count);
            let printed = f64::from(eighths) / 8.0;
            assert!(
                (got - printed).abs() <= 0.5,
                "{count} squares on {width} in: {got}, {printed}"
            );
        }
    }
}
