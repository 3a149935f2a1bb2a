//! Templates of whole bags: true to size, joined where they should be, nothing lost.

use bag::kinds::Value;
use bag::{Design, Role};
use kurbo::{ParamCurve, ParamCurveNearest, Point, Shape};
use measure::Units;

use super::*;
use crate::line::LineKind;
use crate::scene::Item;

/// A bag whose panels lean, so that they are no rectangles.
fn pattern() -> Pattern {
    let body = bag::bodies::find("boxed").expect("it is in the list");
    let mut design = Design::of(body, Units::Mm);
    design.body.values.set("taper", Value::Length(Length::mm(60)));
    design.handles = bag::design::Chosen::new(
        bag::handles::find("folded").expect("it is in the list"),
        System::Metric,
    );
    design.fabrics.insert(Role::Handle, design.fabrics[&Role::Outside].clone());
    bag::draft(&design).pattern.expect("it can be made")
}

fn on(word: &str, rectangles: bool) -> Templates {
    let stock = Stock::find(word).expect("there is such paper");
    draw(&pattern(), TemplateOptions { system: System::Metric, stock, rectangles })
}

/// The lines of one kind on a sheet, as segments in mm from the corner of its frame.
fn lines(leaf: &Leaf, kind: LineKind) -> Vec<kurbo::PathSeg> {
    let items = leaf.scene.layers.iter().flat_map(|layer| &layer.items);
    items
        .filter_map(|item| match item {
            Item::Shape { path, line, .. } if *line == Some(kind) => Some(path),
            _ => None,
        })
        .flat_map(|path| path.segments().collect::<Vec<_>>())
        .collect()
}

/// Sizes of the sheets: ISO 216; letter 8 1/2 × 11 in, tabloid 11 × 17 in (ANSI/ASME Y14.1).
#[test]
fn sheets_have_the_size_of_the_paper() {
    for (word, size) in [
        ("a4", (210.0, 297.0)),
        ("letter", (215.9, 279.4)),
        ("a3", (297.0, 420.0)),
        ("tabloid", (279.4, 431.8)),
        ("a0", (841.0, 1189.0)),
    ] {
        for leaf in on(word, true).leaves {
            let bounds = leaf.scene.bounds();
            assert!((bounds.width() - size.0).abs() < 1e-9, "{word}: {bounds:?}");
            assert!((bounds.height() - size.1).abs() < 1e-9, "{word}: {bounds:?}");
        }
    }
    let roll = on("roll-36", true);
    assert_eq!(roll.leaves.len(), 1);
    assert!((roll.leaves[0].scene.bounds().width() - 914.4).abs() < 1e-9);
    assert!(roll.maps.is_empty());
}

/// Every point of the cutting line of a large piece is drawn on some sheet, at its place there;
/// and what is drawn on two sheets is drawn at the same place of the piece on both.
#[test]
fn sheets_of_a_large_piece_show_all_of_its_cutting_line() {
    let templates = on("a4", true);
    assert!(!templates.maps.is_empty());
    for map in &templates.maps {
        let sheets: Vec<_> = map
            .cells
            .iter()
            .map(|cell| (cell.window, lines(&templates.leaves[cell.number - 1], LineKind::Cut)))
            .collect();
        let mut shared = 0;
        for (index, a) in map.ring.iter().enumerate() {
            let b = map.ring[(index + 1) % map.ring.len()];
            for at in 0..100 {
                let point = a.lerp(b, f64::from(at) / 100.0);
                let shown = sheets.iter().filter(|(window, lines)| {
                    let local = (point - window.origin()).to_point();
                    lines.iter().any(|line| line.nearest(local, 1e-6).distance_sq < 0.05 * 0.05)
                });
                let count = shown.count();
                assert!(count > 0, "{}: {point:?} is on no sheet", map.title);
                shared += usize::from(count > 1);
            }
        }
        assert!(shared > 0, "sheets overlap");
        // Nothing is drawn beside the piece's own line.
        for (window, lines) in &sheets {
            for line in lines {
                let middle = line.eval(0.5) + window.origin().to_vec2();
                let near = map.ring.iter().enumerate().any(|(index, a)| {
                    let b = map.ring[(index + 1) % map.ring.len()];
                    kurbo::Line::new(*a, b).nearest(middle, 1e-6).distance_sq < 0.05 * 0.05
                });
                assert!(near, "{}: {middle:?}", map.title);
            }
        }
    }
}

/// Every window that the piece reaches into is a sheet, and no sheet is without it.
#[test]
fn empty_sheets_are_left_out() {
    let templates = on("a4", true);
    let map = templates.maps.iter().find(|map| map.title == "outside panel").expect("it is large");
    for cell in &map.cells {
        assert!(clip::shared_area(&map.ring, cell.window) > 0.0);
    }
    // Each sheet is there once.
    let distinct = map.cells.iter().enumerate().all(|(index, cell)| {
        map.cells[index + 1..].iter().all(|other| other.window != cell.window)
    });
    assert!(distinct);
    let all = map.cells.iter().map(|cell| cell.window).reduce(|a, b| a.union(b));
    let piece = map.ring.iter().map(|p| Rect::from_points(*p, *p)).reduce(|a, b| a.union(b));
    let (all, piece) = (all.unwrap_or_default(), piece.unwrap_or_default());
    assert!(all.union(piece) == all, "the sheets hold the whole piece");
}

#[test]
fn rings_lie_at_one_place_of_the_piece_on_both_sheets() {
    let templates = on("a4", true);
    for map in &templates.maps {
        let mut places: Vec<Point> = Vec::new();
        for cell in &map.cells {
            let leaf = &templates.leaves[cell.number - 1];
            for layer in leaf.scene.layers.iter().filter(|layer| layer.name == "joins") {
                for item in &layer.items {
                    let Item::Shape { path, line: Some(LineKind::Edge), .. } = item else {
                        continue;
                    };
                    let room = path.bounding_box();
                    // A half ring lies on the edge of the frame.
                    let x = if room.width() < 6.0 { 0.0 } else { room.center().x };
                    let y = if room.height() < 6.0 { 0.0 } else { room.center().y };
                    places.push(Point::new(x, y) + cell.window.origin().to_vec2());
                }
            }
        }
        assert!(places.len().is_multiple_of(2), "{}: every join is drawn twice", map.title);
        for place in &places {
            let same = places.iter().filter(|other| (**other - *place).hypot() < 0.1).count();
            assert_eq!(same, 2, "{}: {place:?}", map.title);
        }
    }
}

#[test]
fn rectangles_are_cut_by_measure_on_wish() {
    let pattern = pattern();
    let with = on("a0", true);
    assert!(with.by_measure.is_empty());
    let without = on("a0", false);
    let names: Vec<&str> =
        without.by_measure.iter().map(|id| pattern.piece(*id).name.as_str()).collect();
    assert_eq!(names, ["handle"]);
}

#[test]
fn nothing_is_lettered_across_other_lettering() {
    for word in ["a4", "letter", "a0", "roll-36"] {
        for leaf in on(word, true).leaves {
            assert_eq!(leaf.scene.overlapping_texts(), [], "{word}, sheet {}", leaf.number);
        }
    }
}

/// The square is what a ruler says: 3 in and 8 cm.
#[test]
fn test_squares_are_true_to_size() {
    let scene = test_squares();
    let squares: Vec<f64> = scene.layers[0]
        .items
        .iter()
        .map(|item| match item {
            Item::Shape { path, .. } => path.bounding_box().width(),
            Item::Text(_) => 0.0,
        })
        .collect();
    assert!((squares[0] - 76.2).abs() < 1e-9 && (squares[1] - 80.0).abs() < 1e-9);
}
