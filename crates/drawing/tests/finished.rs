//! The finished bag of every example from every side: closed, open, its inside, with a person and
//! with a sheet of paper beside it.
//!
//! With `DRAWINGS=DIR` in the environment the pictures are also written there, to be looked at.

mod examples;

use bag::pattern::Pattern;
use drawing::finished::{self, Beside, FinishedOptions, Showing, View};
use drawing::{Fill, Item, Scene, svg};
use kurbo::Shape;
use measure::{Length, System};

const ROOM: (f64, f64) = (120.0, 120.0);

fn look(name: &str, pattern: &Pattern, options: FinishedOptions) -> Scene {
    let scene = finished::draw(pattern, options);
    if let Some(directory) = std::env::var_os("DRAWINGS") {
        let file = std::path::Path::new(&directory).join(format!("{name}.svg"));
        std::fs::write(file, svg::file(&scene)).expect("the directory can be written to");
    }
    if scene.layers.is_empty() {
        return scene;
    }
    assert_eq!(scene.overlapping_texts(), [], "{name}");
    assert!(scene.description.ends_with('.') && scene.description.len() > 40, "{name}");
    let bounds = scene.bounds();
    // Half a line and the margin on either side, and what closes the bag.
    assert!(bounds.width() < ROOM.0 + 16.0 && bounds.height() < ROOM.1 + 16.0, "{name} {bounds:?}");
    assert!(bounds.width() > 8.0 && bounds.height() > 8.0, "{name} {bounds:?}");
    let text = svg::file(&scene);
    assert!(!text.contains("NaN") && !text.contains("inf"), "{name}");
    scene
}

/// What is drawn, whatever it is called.
fn drawn(scene: &Scene) -> Vec<&Item> {
    scene.layers.iter().flat_map(|layer| &layer.items).collect()
}

#[test]
fn every_example_from_every_side() {
    for (name, pattern, system) in examples::patterns() {
        let plain = FinishedOptions::new(system, ROOM);
        for showing in Showing::ALL {
            let mut seen: Vec<Scene> = Vec::new();
            for turn in [28.0, 90.0, 208.0, 332.0] {
                for rise in [-20.0, 35.0] {
                    let view = Some(View { turn, rise });
                    let name = format!("{name}-{}-{turn}-{rise}", showing.name());
                    let options = FinishedOptions { view, showing, ..plain };
                    let scene = look(&name, &pattern, options);
                    let other = seen.iter().find(|other| drawn(other) == drawn(&scene));
                    assert!(scene.layers.is_empty() || other.is_none(), "{name}: seen before");
                    seen.push(scene);
                }
            }
        }
    }
}

#[test]
fn every_example_as_it_is_shown() {
    for (name, pattern, system) in examples::patterns() {
        let plain = FinishedOptions::new(system, ROOM);
        let measured = FinishedOptions { measures: true, ..plain };
        look(&format!("{name}-usual"), &pattern, measured);
        for showing in [Showing::Open, Showing::Inside] {
            let options = FinishedOptions { showing, ..plain };
            look(&format!("{name}-usual-{}", showing.name()), &pattern, options);
        }
        let view = Some(View { turn: 208.0, rise: 20.0 });
        look(&format!("{name}-usual-back"), &pattern, FinishedOptions { view, ..plain });
        let hanging = FinishedOptions { hanging: true, ..plain };
        look(&format!("{name}-usual-hanging"), &pattern, hanging);
        let height = match system {
            System::Inch => Length::inch(66),
            System::Metric => Length::mm(1680),
        };
        for (word, beside) in [("person", Beside::Person(height)), ("sheet", Beside::Sheet)] {
            let options = FinishedOptions { beside: Some(beside), ..plain };
            look(&format!("{name}-usual-{word}"), &pattern, options);
        }
    }
}

/// ISO 216: A4 is 297 / 210 = √2 as high as it is wide; seen from the front it is drawn so, and beside
/// a bag that is as much wider as it is.
#[test]
fn a_sheet_beside_the_bag_is_to_its_scale() {
    let (_, pattern, _) = examples::patterns().remove(0);
    let options = FinishedOptions {
        view: Some(View { turn: 0.0, rise: 0.0 }),
        beside: Some(Beside::Sheet),
        ..FinishedOptions::new(System::Metric, ROOM)
    };
    let scene = finished::draw(&pattern, options);
    let layer = |name: &str| {
        let layer = scene.layers.iter().find(|layer| layer.name == name).expect("it is drawn");
        let shapes = layer.items.iter().filter(|item| matches!(item, Item::Shape { .. }));
        shapes.map(Item::bounds).reduce(|a, b| a.union(b)).expect("it has a shape")
    };
    // The dimension line is 0.18 mm wide, the edge of the bag 0.35 mm.
    let (sheet, bag) =
        (layer("sheet").inflate(-0.09, -0.09), layer("outside").inflate(-0.175, -0.175));
    assert!((sheet.height() / sheet.width() - 297.0 / 210.0).abs() < 1e-6);
    let claimed = pattern.claims.width.to_mm();
    let ratio = bag.width() / sheet.width();
    assert!((ratio - claimed / 210.0).abs() < 0.03, "{ratio} {claimed}");
}

/// From whichever side the bag is seen, its measures stand beside it, and the depth is that of the end
/// that is seen.
#[test]
fn measures_stand_beside_the_bag_from_either_side() {
    for (name, pattern, system) in examples::patterns() {
        for turn in [28.0, 332.0] {
            let options = FinishedOptions {
                view: Some(View { turn, rise: 20.0 }),
                measures: true,
                ..FinishedOptions::new(system, ROOM)
            };
            let scene = look(&format!("{name}-measured-{turn}"), &pattern, options);
            let layer = |word: &str| scene.layers.iter().find(|layer| layer.name == word);
            let (Some(bag), Some(measures)) = (layer("outside"), layer("measures")) else {
                continue;
            };
            for item in &measures.items {
                let Item::Text(text) = item else { continue };
                let covers = |item: &Item| match item {
                    Item::Shape { path, fill, .. } => *fill != Fill::None && path.contains(text.at),
                    Item::Text(_) => false,
                };
                let on = bag.items.iter().any(covers);
                assert!(!on, "{name} from {turn}: {} stands on the bag", text.content);
            }
        }
    }
}

/// The strips beside a zip lie across the mouth; the two ends of a handle, however wide the strip that it
/// is folded from, do not.
#[test]
fn nothing_but_a_zip_lies_across_a_narrow_mouth() {
    use bag::design::{Chosen, Design};
    for body in ["boxed", "flat", "round-base", "gusset", "folded-base"] {
        for (closure, lies_there) in [("open", false), ("zip", true)] {
            let mut design =
                Design::of(bag::bodies::find(body).expect("in the list"), measure::Units::Inch);
            let narrow = bag::kinds::Value::Length(Length::inch(8));
            assert!(design.body.values.set("width", narrow));
            let system = design.system();
            design.closure =
                Chosen::new(bag::closures::find(closure).expect("in the list"), system);
            let pattern = bag::draft(&design).pattern.expect("it can be made");
            let options =
                FinishedOptions { showing: Showing::Open, ..FinishedOptions::new(system, ROOM) };
            let scene = look(&format!("{body}-{closure}-narrow"), &pattern, options);
            let found = scene.layers.iter().any(|layer| layer.name == "mouth");
            assert_eq!(found, lies_there, "{body}, {closure}");
        }
    }
}
