//! The bag in space: turned by pointer, touch and keys, in the colours of the shelf's fabrics.

use drawing::finished::{FinishedOptions, View};
use drawing::{Scene, svg};
use maud::{Markup, PreEscaped, html};

use super::Page;
use super::shell::way;
use crate::ask::{Answer, Ask};
use crate::room::Drawn;

/// From where a bag is seen at first: so many degrees to the right, and from above.
pub(super) const FIRST: (i64, i64) = (28, 20);
/// How far one press of a key or a button turns it.
const TURN: i64 = 15;

/// From where it is seen.
pub(super) fn angles(ask: &Ask, flat: bool) -> (i64, i64) {
    let first = if flat { (0, 0) } else { FIRST };
    let number = |name| ask.form.number(name).or_else(|| ask.query.number(name));
    let turn = number("turn").unwrap_or(first.0).rem_euclid(360);
    let rise = number("rise").unwrap_or(first.1).clamp(-80, 80);
    (turn, rise)
}

/// The picture with what turns it.
pub(super) fn view(ask: &Ask, drawn: &Drawn) -> Markup {
    let Some(packet) = &drawn.packet else {
        return html! {
            div.empty {
                p { "As it stands there can be no such bag. What is in the way is told below, and at the field." }
            }
        };
    };
    let flat = !packet.pattern.claims.depth.is_positive();
    let (turn, rise) = angles(ask, flat);
    let link = |turn: i64, rise: i64, arrow: &str, says: &str| {
        let to = format!("{}?turn={}&rise={rise}", way(drawn.opened.id, ""), turn.rem_euclid(360));
        html! { a.button href=(to) aria-label=(says) title=(says) data-turn=(turn.rem_euclid(360)) data-rise=(rise) { (arrow) } }
    };
    let first = if flat { (0, 0) } else { FIRST };
    html! {
        div.turntable data-turn=(turn) data-rise=(rise) data-id=(drawn.opened.id)
            tabindex="0" role="group" aria-label="The finished bag. Turn it with the arrow keys, or drag it." {
            (picture(drawn, turn, rise))
        }
        div.turns {
            (link(turn - TURN, rise, "↶", "Turn to the left"))
            (link(turn + TURN, rise, "↷", "Turn to the right"))
            (link(turn, (rise + TURN).min(80), "⤒", "Look from farther above"))
            (link(turn, (rise - TURN).max(-80), "⤓", "Look from farther below"))
            (link(first.0, first.1, "⟲", "As it was at first"))
        }
    }
}

/// The picture alone.
fn picture(drawn: &Drawn, turn: i64, rise: i64) -> Markup {
    let Some(scene) = scene(drawn, turn, rise) else {
        return html! { p.empty { "This bag cannot be drawn in space; its pieces and steps can be seen on the other pages." } };
    };
    PreEscaped(svg::element(&scene))
}

/// The scene; none when the panels do not fold to a bag.
fn scene(drawn: &Drawn, turn: i64, rise: i64) -> Option<Scene> {
    let packet = drawn.packet.as_ref()?;
    let scene = drawing::finished::draw(
        &packet.pattern,
        FinishedOptions {
            measures: true,
            view: Some(View { turn: turn as f64, rise: rise as f64 }),
            ..FinishedOptions::new(packet.system, (150.0, 130.0))
        },
    );
    (!scene.layers.is_empty()).then_some(scene)
}

/// The picture from another side, for the script that turns it.
pub(super) fn turned(ask: &Ask, drawn: &Drawn) -> Page {
    let (turn, rise) = angles(ask, false);
    Ok(Answer::page(picture(drawn, turn, rise)))
}

/// The picture for the list of bags.
pub(super) fn cover(drawn: &Drawn) -> Page {
    let picture = scene(drawn, FIRST.0, FIRST.1).map(|scene| svg::file(&scene));
    Ok(Answer::of("image/svg+xml", picture.unwrap_or_else(blank)))
}

/// A picture of nothing.
pub(super) fn blank() -> String {
    "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 10 10\"/>".to_owned()
}
