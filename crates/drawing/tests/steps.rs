//! Every step of every example has a picture of its own, legible and within its frame.
//!
//! With `DRAWINGS=DIR` in the environment the pictures are also written there, to be looked at.

mod examples;

use std::collections::BTreeMap;
use std::path::PathBuf;

use drawing::{Item, Scene, steps, svg};
use examples::patterns;

/// What is drawn, without the number of the step: two steps may not look alike.
fn drawn(scene: &Scene) -> String {
    let named = Scene {
        id: "step".to_owned(),
        title: String::new(),
        description: String::new(),
        ..scene.clone()
    };
    svg::file(&named)
}

#[test]
fn every_step_has_a_picture_of_its_own() {
    for (name, pattern, system) in patterns() {
        let scenes = steps::draw_all(&pattern, system);
        assert_eq!(scenes.len(), pattern.steps.len(), "{name}");
        let mut seen: BTreeMap<String, &str> = BTreeMap::new();
        for scene in &scenes {
            if let Some(directory) = std::env::var_os("DRAWINGS") {
                let file = PathBuf::from(&directory).join(format!("{name}-{}.svg", scene.id));
                std::fs::write(file, svg::file(scene)).expect("the directory can be written to");
            }
        }
        for (scene, step) in scenes.iter().zip(&pattern.steps) {
            let text = drawn(scene);
            let shapes = scene.layers.iter().flat_map(|it| &it.items);
            let count = shapes.filter(|it| matches!(it, Item::Shape { .. })).count();
            assert!(count > 0, "{name} {}: nothing is drawn", step.id);
            if let Some(other) = seen.insert(text, &step.id) {
                panic!("{name}: {other} and {} have one picture", step.id);
            }
        }
    }
}

#[test]
fn every_picture_is_legible() {
    for (name, pattern, system) in patterns() {
        for scene in steps::draw_all(&pattern, system) {
            let what = format!("{name} {}", scene.id);
            assert_eq!(scene.overlapping_texts(), [], "{what}");
            let bounds = scene.bounds();
            // Long straps and linings that are laid out open come wider.
            assert!(bounds.width() <= steps::WIDTH + 32.0, "{what}: {bounds:?}");
            assert!(bounds.height() <= 150.0, "{what}: {bounds:?}");
            assert!(bounds.width() > 20.0 && bounds.height() > 12.0, "{what}: {bounds:?}");
            assert!(scene.description.len() > 20, "{what}: {}", scene.description);
            assert!(scene.description.ends_with('.'), "{what}: {}", scene.description);
            let text = svg::file(&scene);
            assert!(!text.contains("NaN") && !text.contains("inf"), "{what}");
            for text in scene.texts() {
                assert!(text.size >= drawing::text::size::NOTE, "{what}: {}", text.content);
            }
        }
    }
}

#[test]
fn pictures_are_the_same_every_time() {
    for (name, pattern, system) in patterns() {
        let draw =
            || -> String { steps::draw_all(&pattern, system).iter().map(svg::file).collect() };
        assert_eq!(draw(), draw(), "{name}");
    }
}
