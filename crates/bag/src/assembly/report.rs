//! The work in words: what `check --after STEP` shows.

use std::fmt::Write;

use measure::{System, show_length};

use super::{Assembly, Edging, SideOut};
use crate::pattern::CopyId;

/// The state of the work: bodies with their panels, mouths and sides, edges, and what lies on what.
pub fn report(work: &Assembly<'_>, system: System) -> String {
    let mut text = String::new();
    for first in work.bodies() {
        body(&mut text, work, first, system);
    }
    text
}

// Writing to a string cannot fail.
macro_rules! line {
    ($text:expr, $($part:tt)*) => {{
        let _ = writeln!($text, $($part)*);
    }};
}

fn body(text: &mut String, work: &Assembly<'_>, first: CopyId, system: System) {
    let surface = work.surface(first);
    let names: Vec<&str> =
        surface.copies.iter().map(|copy| work.pattern.copy(*copy).name.as_str()).collect();
    let side = match work.side_out(first) {
        SideOut::Flat => "flat",
        SideOut::Wrong => "wrong side out",
        SideOut::Right => "right side out",
    };
    line!(text, "body of {}: {side}", names.join(", "));
    for mouth in &surface.mouths {
        let kinds: Vec<String> = mouth.edgings.iter().map(|edging| told(work, *edging)).collect();
        line!(text, "  mouth {} around: {}", show_length(mouth.around, system), kinds.join(", "));
    }
    for copy in &surface.copies {
        panel(text, work, *copy, system);
    }
    line!(
        text,
        "  as a surface: {} panels, {} edges, {} points; Euler characteristic {}; {}; {}",
        surface.copies.len(),
        surface.edges,
        surface.vertices,
        surface.euler(),
        if surface.orientable { "two-sided" } else { "one-sided" },
        match surface.mouths.len() + surface.slits {
            1 => "1 mouth".to_owned(),
            count => format!("{count} mouths"),
        },
    );
}

fn panel(text: &mut String, work: &Assembly<'_>, copy: CopyId, system: System) {
    let piece = work.pattern.piece_of(copy);
    line!(text, "  {}", work.pattern.copy(copy).name);
    for (edge, named) in piece.edges.iter().enumerate() {
        let parts: Vec<String> = work
            .stretches(copy, edge)
            .iter()
            .map(|s| {
                let finished = if s.finished { ", allowance finished" } else { "" };
                let long = show_length(s.to - s.from, system);
                format!("{long} {}{finished}", told(work, s.edging))
            })
            .collect();
        line!(text, "    {}: {}", named.name, parts.join("; "));
    }
    for slit in work.slits.iter().filter(|slit| slit.copy == copy) {
        let long = show_length(slit.from.distance(slit.to), system);
        let held =
            slit.held.map_or_else(|| "raw".to_owned(), |step| told(work, Edging::Zipped(step)));
        line!(text, "    slit {long} long: {held}");
    }
    for rider in work.riders.iter().filter(|rider| rider.onto == copy) {
        let (x, y) = (show_length(rider.at.x, system), show_length(rider.at.y, system));
        let held = if rider.held.is_empty() { "lies" } else { "is stitched down" };
        line!(
            text,
            "    on it {held} the {}, {} up, at {x} across and {y} up",
            work.pattern.copy(rider.what).name,
            rider.face_up.words(),
        );
    }
}

fn told(work: &Assembly<'_>, edging: Edging) -> String {
    let by = |step: usize| work.pattern.steps.get(step).map_or("?", |step| step.id.as_str());
    match edging {
        Edging::Raw => "raw".to_owned(),
        Edging::Basted(host, _) => format!("basted to the {}", work.pattern.copy(host).name),
        Edging::Joined(step) => format!("sewn by {}", by(step)),
        Edging::Gap(step) => format!("left open by {}", by(step)),
        Edging::Closed(step) => format!("closed by {}", by(step)),
        Edging::Hemmed(step) => format!("hemmed by {}", by(step)),
        Edging::Zipped(step) => format!("sewn to the zip by {}", by(step)),
        Edging::Bound(step) => format!("bound by {}", by(step)),
        Edging::TurnedUnder(step) => format!("turned under by {}", by(step)),
    }
}
