//! Every kind of bag is drawn: nothing lettered overlaps, every picture has words and a size.
//!
//! With `DRAWINGS=DIR` in the environment the pictures are also written there, to be looked at.

use bag::design::{Chosen, Design};
use bag::kinds::{Quantity, Value};
use bag::pattern::Pattern;
use bag::{bodies, handles, linings, pockets};
use drawing::finished::{self, FinishedOptions};
use drawing::pieces::{self, PieceOptions};
use drawing::{Scene, svg};
use measure::Units;

/// Every body with every pocket, kind of handles and lining, one after the other, by name.
fn bags(units: Units) -> Vec<(String, Pattern)> {
    let mut bags = Vec::new();
    for body in bodies::ALL {
        let plain = Design::of(*body, units);
        let mut designs = vec![(body.name().to_owned(), plain.clone())];
        for pocket in pockets::ALL {
            let mut design = plain.clone();
            design.pockets.push(Chosen::new(*pocket, units.system()));
            designs.push((format!("{}-{}", body.name(), pocket.name()), design));
        }
        for handle in handles::ALL {
            let mut design = plain.clone();
            design.handles = Chosen::new(*handle, units.system());
            designs.push((format!("{}-{}", body.name(), handle.name()), design));
        }
        for lining in linings::ALL {
            let mut design = plain.clone();
            design.lining = Chosen::new(*lining, units.system());
            designs.push((format!("{}-{}", body.name(), lining.name()), design));
        }
        for (name, design) in designs {
            let drafted = bag::draft(&design);
            let findings = drafted.findings;
            let Some(pattern) = drafted.pattern else {
                assert_ne!(name, body.name(), "the usual bag can be drafted: {findings:?}");
                continue;
            };
            bags.push((format!("{name}-{}", units.system()), pattern));
        }
    }
    bags
}

/// Looks a picture over, and writes it where one may look at it.
fn check(name: &str, scene: &Scene) {
    assert_eq!(scene.overlapping_texts(), [], "{name}");
    assert!(!scene.title.is_empty() && scene.description.len() > 20, "{name}");
    let bounds = scene.bounds();
    assert!(bounds.width() > 10.0 && bounds.height() > 10.0, "{name}: {bounds:?}");
    let text = svg::file(scene);
    assert!(!text.contains("NaN") && !text.contains("inf"), "{name}");
    if let Some(directory) = std::env::var_os("DRAWINGS") {
        let path = std::path::Path::new(&directory).join(format!("{name}.svg"));
        std::fs::write(path, text).expect("the directory of DRAWINGS can be written to");
    }
}

#[test]
fn pieces_of_every_bag() {
    for units in [Units::Inch, Units::Mm] {
        for (name, pattern) in bags(units) {
            for id in pattern.piece_ids() {
                let piece = pattern.piece(id);
                let scale = pieces::scale_for(piece, (120.0, 100.0));
                let options = PieceOptions { system: units.system(), scale };
                let scene = pieces::draw(&pattern, id, options);
                check(&format!("{name}-piece-{}", piece.id), &scene);
                let bounds = scene.bounds();
                assert!(bounds.width() < 165.0, "{name} {}: {bounds:?}", piece.id);
            }
        }
    }
}

#[test]
fn every_finished_bag() {
    for units in [Units::Inch, Units::Mm] {
        for (name, pattern) in bags(units) {
            let options = FinishedOptions {
                measures: true,
                ..FinishedOptions::new(units.system(), (130.0, 130.0))
            };
            let scene = finished::draw(&pattern, options);
            assert!(!scene.layers.is_empty(), "{name} folds to no bag of its size");
            check(&format!("{name}-finished"), &scene);
            let bounds = scene.bounds();
            assert!(bounds.width() <= 136.0 && bounds.height() <= 136.0, "{name}: {bounds:?}");
        }
    }
}

/// The least and the greatest value of each length of each body: whatever can be drafted at all is
/// drawn, within its room.
#[test]
fn bags_of_extreme_sizes() {
    for units in [Units::Inch, Units::Mm] {
        let mut drawn = 0;
        for body in bodies::ALL {
            for param in body.params() {
                let (Quantity::Length { least, most, .. }
                | Quantity::OptionalLength { least, most, .. }) = param.quantity
                else {
                    continue;
                };
                for extreme in [least, most] {
                    let mut design = Design::of(*body, units);
                    assert!(design.body.values.set(param.key, Value::Length(extreme)));
                    let Some(pattern) = bag::draft(&design).pattern else { continue };
                    drawn += 1;
                    let name = format!("{} {} {extreme:?}", body.name(), param.key);
                    let options = FinishedOptions {
                        measures: true,
                        ..FinishedOptions::new(units.system(), (130.0, 130.0))
                    };
                    let bounds = finished::draw(&pattern, options).bounds();
                    assert!(bounds.width() < 190.0 && bounds.height() < 150.0, "{name} {bounds:?}");
                    for id in pattern.piece_ids() {
                        let scale = pieces::scale_for(pattern.piece(id), (120.0, 100.0));
                        let options = PieceOptions { system: units.system(), scale };
                        let scene = pieces::draw(&pattern, id, options);
                        assert!(scene.bounds().width() < 170.0, "{name} {}", scene.title);
                    }
                }
            }
        }
        assert!(drawn > 10, "{drawn} bags were drawn");
    }
}
