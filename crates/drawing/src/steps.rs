//! A picture for every step: the work as it lies on the table or stands as a bag, what is new in the
//! step drawn boldly, and the measures that its sentence names.
//!
//! Nothing here asks which operation a step is. The assembly says what happens; the operation adds
//! what leaves no trace there ([`bag::operations::Shown`]).

mod board;
mod corner;
mod flat;
pub(crate) mod icons;
mod overview;
mod riders;
mod stages;
mod standing;
mod story;
mod table;

use bag::operations::{Lies, Telling};
use bag::pattern::Pattern;
use kurbo::Point;
use measure::System;

use crate::scene::Scene;
use crate::text::{Anchor, Text, size};
use board::Board;
use story::Story;

/// Room for the drawing itself, width × height in mm; labels stand beside it.
const ROOM: (f64, f64) = (40.0, 46.0);
/// How wide a picture with its labels becomes at most, in mm.
pub const WIDTH: f64 = 74.0;

/// The picture of every step, in order. Each has an id `step-ID`, a title and a description.
pub fn draw_all(pattern: &Pattern, system: System) -> Vec<Scene> {
    let story = Story::new(pattern, system);
    let mut scenes: Vec<Scene> = Vec::new();
    for step in 0..pattern.steps.len() {
        let mut scene = draw(&story, step);
        if scenes.iter().any(|known| known.layers == scene.layers) {
            tell_apart(&story, step, &mut scene);
        }
        scenes.push(scene);
    }
    scenes
}

/// Two steps whose work looks alike are told apart by their words below the picture.
fn tell_apart(story: &Story<'_>, step: usize, scene: &mut Scene) {
    let telling = Telling { pattern: story.pattern, system: story.system };
    let told = story.pattern.steps[step].operation.tell(&telling).text;
    // A point within a number ends no sentence; the stitch length is told beside the picture.
    let ends = [". ", ": ", "; ", " (stitch length"];
    let words =
        ends.iter().fold(told.as_str(), |words, end| words.split(end).next().unwrap_or(words));
    let words = words.trim_end_matches(['.', ',']);
    let bounds = scene.bounds();
    let start = Point::new(bounds.x0 + scene.margin, bounds.y1 + 2.0);
    for (index, line) in board::wrapped(words, WIDTH - 6.0).into_iter().enumerate() {
        let at = start + kurbo::Vec2::new(0.0, 3.9 * index as f64);
        let text = Text::new(line, at).sized(size::NOTE).anchored(Anchor::Start);
        scene.layer("words").text(text);
    }
}

fn draw(story: &Story<'_>, step: usize) -> Scene {
    let id = &story.pattern.steps[step].id;
    let title = format!("Step {}", step + 1);
    let mut board = Board::new(Scene::new(format!("step-{id}"), title, String::new()), WIDTH);
    let shown = &story.shown[step];
    let strips = story.only_strips(step) && !shown.stages.is_empty();
    let mut said = match shown.lies {
        Lies::CutOut | Lies::Marked | Lies::Block(..) | Lies::WrongSideUp | Lies::Quilted(_) => {
            overview::draw(story, step, &mut board)
        }
        Lies::AsItIs if strips => Vec::new(),
        Lies::AsItIs if standing::is_spatial(story, step) => {
            standing::draw(story, step, &mut board)
        }
        Lies::AsItIs => flat::draw(story, step, &mut board),
    };
    if board.is_empty() && shown.stages.is_empty() {
        said = overview::draw(story, step, &mut board);
    }
    if story.shows_stages(step) || board.is_empty() && !shown.stages.is_empty() {
        let top = if board.is_empty() { 0.0 } else { board.frame().y1 + 5.0 };
        let left = if board.is_empty() { 0.0 } else { board.frame().x0 };
        stages::draw(&mut board, &shown.stages, Point::new(left, top), story.system);
        let stages: Vec<&str> = shown.stages.iter().map(|stage| stage.says.as_str()).collect();
        said.push(format!(
            "The layers seen from their cut end, the right side drawn thick: {}.",
            stages.join(", then ")
        ));
    }
    let mut scene = board.finish();
    scene.description = said.join(" ");
    scene
}
