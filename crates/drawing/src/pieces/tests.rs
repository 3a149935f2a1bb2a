//! Pieces as they are drawn and told.

use expect_test::{Expect, expect};

use bag::Design;
use bag::pattern::{Copy, Edge, MaterialId};
use measure::Units;

use super::*;

/// A piece with equal allowances all round, twice, of one outside fabric.
fn pattern(net: Outline, allowance: Length, marks: Vec<Mark>) -> Pattern {
    let edges = ["base", "right side", "rim", "left side"]
        .map(|name| Edge { name: name.to_owned(), allowance });
    let piece = Piece {
        id: "panel".to_owned(),
        name: "outside panel".to_owned(),
        material: MaterialId(0),
        net,
        edges: edges.into(),
        grain: Grain::Lengthwise,
        interfacing: None,
        marks,
        join: None,
        trimmed: Length::ZERO,
    };
    let copy = |name: &str| Copy { piece: PieceId(0), name: name.to_owned(), mirrored: false };
    let drafted = bag::draft(&Design::of(bag::bodies::ALL[0], Units::Inch)).pattern.unwrap();
    let canvas = bag::pattern::Material {
        name: "Canvas".to_owned(),
        look: Look::Outside,
        ..drafted.materials[0].clone()
    };
    Pattern {
        materials: vec![canvas],
        pieces: vec![piece],
        copies: vec![copy("front"), copy("back")],
        ..drafted
    }
}

fn mark(label: &str, shape: MarkShape) -> Mark {
    Mark { label: label.to_owned(), shape }
}

fn at(x: Length, y: Length) -> measure::Point {
    measure::Point::new(x, y)
}

/// The panel of a tote: cut 21 × 17 in, corners to be boxed 4 in deep, two straps 7 in apart.
fn tote_panel() -> Pattern {
    let inch = Length::inch;
    let mut marks = vec![
        mark("centre of the base", MarkShape::Notch { edge: 0, along: inch(10) }),
        mark("centre of the rim", MarkShape::Notch { edge: 2, along: inch(10) }),
    ];
    for x in [2, 18] {
        let (foot, side) = (at(inch(x), inch(0)), if x == 2 { 0 } else { 20 });
        let fold = at(inch(x), inch(2));
        marks.push(mark("boxing line", MarkShape::Stitching(foot, fold)));
        marks.push(mark("boxing line", MarkShape::Stitching(fold, at(inch(side), inch(2)))));
    }
    for middle in [Length::inch_frac(13, 2), Length::inch_frac(27, 2)] {
        for edge in [-1, 1] {
            let x = middle + Length::inch_frac(9, 16) * edge;
            let shape = MarkShape::Placement(at(x, inch(0)), at(x, inch(15)));
            marks.push(mark("handle", shape));
        }
        let low = at(middle - Length::inch_frac(9, 16), Length::inch_frac(111, 8));
        let high = at(middle + Length::inch_frac(9, 16), inch(15));
        marks.push(mark("box and X", MarkShape::BoxAndX(low, high)));
    }
    let opening = MarkShape::Opening { edge: 0, from: inch(7), to: inch(13) };
    marks.push(mark("opening", opening));
    pattern(Outline::rectangle(inch(20), inch(16)), Length::inch_frac(1, 2), marks)
}

fn options(pattern: &Pattern) -> PieceOptions {
    let scale = scale_for(&pattern.pieces[0], (110.0, 100.0));
    PieceOptions { system: System::Inch, scale }
}

fn check_notes(pattern: &Pattern, system: System, expected: Expect) {
    expected.assert_eq(&MarkNotes::new(&pattern.pieces[0], system).sentences().join("\n"));
}

#[test]
fn marks_in_words_are_measured_on_the_cut_piece() {
    check_notes(
        &tote_panel(),
        System::Inch,
        expect![[r#"
            a – centre of the base: notch the middle of the base.
            b – centre of the rim: notch the middle of the rim.
            c – boxing line: a corner 2 × 2 in inside the stitching lines; do not cut it; 8 in left and right of the centre line, from 1/2 in to 2 1/2 in above the lower edge; 2 1/2 in up from the lower edge, 2 in long.
            d – handle: 2 15/16 in and 4 1/16 in left and right of the centre line, from 1/2 in to 15 1/2 in above the lower edge.
            e – box and X: 1 1/8 × 1 1/8 in, its middle 3 1/2 in from the centre line, its top 15 1/2 in above the lower edge.
            f – opening: 6 in of the base, in the middle."#]],
    );
    check_notes(
        &tote_panel(),
        System::Metric,
        expect![[r#"
            a – centre of the base: notch the middle of the base.
            b – centre of the rim: notch the middle of the rim.
            c – boxing line: a corner 51 × 51 mm inside the stitching lines; do not cut it; 203 mm left and right of the centre line, from 13 mm to 63.5 mm above the lower edge; 63.5 mm up from the lower edge, 51 mm long.
            d – handle: 75 mm and 103 mm left and right of the centre line, from 13 mm to 394 mm above the lower edge.
            e – box and X: 29 × 29 mm, its middle 89 mm from the centre line, its top 394 mm above the lower edge.
            f – opening: 152 mm of the base, in the middle."#]],
    );
}

#[test]
fn sizes_are_those_of_the_cut_piece() {
    let pattern = tote_panel();
    let scene = draw(&pattern, PieceId(0), options(&pattern));
    let texts: Vec<&str> = scene.texts().map(|text| text.content.as_str()).collect();
    assert!(texts.contains(&"21 in") && texts.contains(&"17 in"), "{texts:?}");
    assert!(texts.contains(&"cut 2, Canvas"), "{texts:?}");
}

#[test]
fn the_drawing_is_to_scale() {
    let pattern = tote_panel();
    let scene = draw(&pattern, PieceId(0), options(&pattern));
    let crate::Item::Shape { path, .. } = &scene.layers[0].items[0] else { panic!("no cloth") };
    let frame = kurbo::Shape::bounding_box(path);
    // 21 in and 17 in are 533.4 mm and 431.8 mm, at 1 : 5.
    assert!((frame.width() - 106.68).abs() < 1e-9, "{frame:?}");
    assert!((frame.height() - 86.36).abs() < 1e-9, "{frame:?}");
}

#[test]
fn nothing_lettered_overlaps() {
    let strap = pattern(
        Outline::rectangle(Length::inch_frac(9, 2), Length::inch(56)),
        Length::ZERO,
        [1, 2, 3]
            .map(|quarter| {
                let x = Length::inch_frac(9 * quarter, 8);
                mark("fold", MarkShape::Fold(at(x, Length::ZERO), at(x, Length::inch(56))))
            })
            .into(),
    );
    let tapered = pattern(
        Outline::trapezoid(Length::inch(9), Length::inch(14), Length::inch(12)),
        Length::inch_frac(3, 8),
        Vec::new(),
    );
    let small =
        pattern(Outline::rectangle(Length::mm(30), Length::mm(20)), Length::mm(6), Vec::new());
    for pattern in [tote_panel(), strap, tapered, small] {
        let scene = draw(&pattern, PieceId(0), options(&pattern));
        assert_eq!(scene.overlapping_texts(), []);
    }
}
