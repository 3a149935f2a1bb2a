//! The bag in space: turned by pointer, touch and keys, closed, open or cut away to its inside, in
//! the colours of the shelf's fabrics.

use bag::pattern::CopyId;
use drawing::Scene;
use drawing::finished::{Beside, FinishedOptions, Showing, View, usual_view};
use maud::{Markup, html};
use measure::Length;
use packet::Packet;

use super::shell::{capital, way};
use super::{Page, dressed};
use crate::ask::{Answer, Ask};
use crate::keep::Trouble;
use crate::room::{Drawn, Room};

/// How far one press of a button turns it, in degrees.
const TURN: i64 = 15;
/// How high a person is that carries it: about 5 ft 6 in (common practice, no source).
const PERSON: Length = Length::mm(1_680);
/// What may stand beside it.
const BESIDE: [(&str, &str); 3] =
    [("nothing", "alone"), ("paper", "with a sheet of paper"), ("person", "carried")];

/// From where it is seen, and what of it.
#[derive(Clone, Copy)]
struct Looked {
    turn: i64,
    rise: i64,
    showing: Showing,
    beside: &'static str,
}

impl Looked {
    fn at(ask: &Ask, packet: &Packet) -> Self {
        let text = |name| ask.form.get(name).or_else(|| ask.query.get(name)).unwrap_or_default();
        let showing = Showing::ALL.into_iter().find(|showing| showing.name() == text("showing"));
        let showing = showing.unwrap_or(Showing::Closed);
        let beside = BESIDE.into_iter().find(|(word, _)| *word == text("beside"));
        let usual = usual_view(&packet.pattern, showing);
        let number = |name, usual: f64| text(name).parse().unwrap_or(whole(usual));
        Self {
            turn: number("turn", usual.turn).rem_euclid(360),
            rise: number("rise", usual.rise).clamp(-80, 80),
            showing,
            beside: beside.map_or("nothing", |(word, _)| word),
        }
    }
}

/// Degrees as a whole number.
fn whole(degrees: f64) -> i64 {
    (-180..=360).min_by(|a, b| off(*a, degrees).total_cmp(&off(*b, degrees))).unwrap_or(0)
}

fn off(whole: i64, degrees: f64) -> f64 {
    (f64::from(i32::try_from(whole).unwrap_or(0)) - degrees).abs()
}

/// The picture with what turns it.
pub(super) fn view(room: &Room, ask: &Ask, drawn: &Drawn) -> Result<Markup, Trouble> {
    let Some(packet) = &drawn.packet else {
        return Ok(html! {
            div.empty {
                p { "As it stands there can be no such bag. What is in the way is told below, and at the field." }
            }
        });
    };
    let looked = Looked::at(ask, packet);
    let Looked { turn, rise, showing, beside } = looked;
    let to = |turn: i64, rise: i64| {
        let id = way(drawn.opened.id, "");
        format!(
            "{id}?turn={}&rise={rise}&showing={}&beside={beside}",
            turn.rem_euclid(360),
            showing.name()
        )
    };
    let arrow = |by: (i64, i64), arrow: &str, says: &str| {
        let rise = (rise + by.1).clamp(-80, 80);
        html! { a.button href=(to(turn + by.0, rise)) aria-label=(says) title=(says) data-by=(format!("{} {}", by.0, by.1)) { (arrow) } }
    };
    let choice = |query: String, says: &str, is_so: bool| {
        html! { a.button href={ (way(drawn.opened.id, "")) "?" (query) } aria-current=[is_so.then_some("true")] data-look { (says) } }
    };
    Ok(html! {
        div.turntable data-turn=(turn) data-rise=(rise) data-showing=(showing.name()) data-beside=(beside) data-id=(drawn.opened.id)
            tabindex="0" role="group" aria-label="The finished bag. Turn it with the arrow keys, or drag it." {
            (picture(room, drawn, looked)?)
        }
        div.turns role="group" aria-label="Turn the bag" {
            (arrow((-TURN, 0), "↶", "Turn to the left"))
            (arrow((TURN, 0), "↷", "Turn to the right"))
            (arrow((0, TURN), "⤒", "Look from farther above"))
            (arrow((0, -TURN), "⤓", "Look from farther below"))
        }
        div.turns role="group" aria-label="What is seen of it" {
            @for one in Showing::ALL { (choice(format!("showing={}&beside={beside}", one.name()), &capital(one.name()), one == showing)) }
        }
        div.turns role="group" aria-label="What is beside it" {
            @for (word, says) in BESIDE { (choice(format!("showing={}&beside={word}", showing.name()), &capital(says), word == beside)) }
        }
    })
}

/// The picture alone.
fn picture(room: &Room, drawn: &Drawn, looked: Looked) -> Result<Markup, Trouble> {
    let picture = drawn.packet.as_ref().and_then(|packet| {
        Some((packet, scene(packet, looked, &super::found::marks(drawn, packet))?))
    });
    let Some((packet, scene)) = picture else {
        return Ok(
            html! { p.empty { "This bag cannot be drawn in space; its pieces and steps can be seen on the other pages." } },
        );
    };
    dressed::picture(room, packet, &scene)
}

/// The scene; none when the panels do not fold to a bag.
fn scene(packet: &Packet, looked: Looked, marks: &[(CopyId, String)]) -> Option<Scene> {
    let (turn, rise) = (i32::try_from(looked.turn).ok()?, i32::try_from(looked.rise).ok()?);
    let options = FinishedOptions {
        measures: looked.beside == "nothing",
        view: Some(View { turn: f64::from(turn), rise: f64::from(rise) }),
        showing: looked.showing,
        beside: match looked.beside {
            "paper" => Some(Beside::Sheet),
            "person" => Some(Beside::Person(PERSON)),
            _ => None,
        },
        ..FinishedOptions::new(packet.system, (120.0, 104.0))
    };
    let mut scene = drawing::finished::draw(&packet.pattern, options);
    drawing::finished::mark(&mut scene, &packet.pattern, options, marks);
    (!scene.layers.is_empty()).then_some(scene)
}

/// The picture from another side, for the script that turns it.
pub(super) fn turned(room: &Room, ask: &Ask, drawn: &Drawn) -> Page {
    let picture = match &drawn.packet {
        Some(packet) => picture(room, drawn, Looked::at(ask, packet))?,
        None => html! {},
    };
    Ok(Answer::page(picture))
}

/// The picture for the list of bags.
pub(super) fn cover(room: &Room, drawn: &Drawn) -> Page {
    let picture = drawn.packet.as_ref().and_then(|packet| {
        let usual = usual_view(&packet.pattern, Showing::Closed);
        let (turn, rise) = (whole(usual.turn), whole(usual.rise));
        let looked = Looked { turn, rise, showing: Showing::Closed, beside: "nothing" };
        Some((packet, scene(packet, looked, &[])?))
    });
    let picture = match picture {
        Some((packet, scene)) => dressed::file(room, packet, &scene)?,
        None => blank(),
    };
    Ok(Answer::of("image/svg+xml", picture))
}

/// In the place of a bag that cannot be made, or cannot be drawn in space.
pub(super) fn blank() -> String {
    let frame = "<rect x=\"40\" y=\"40\" width=\"160\" height=\"120\" rx=\"6\" fill=\"none\" \
         stroke=\"#8a8272\" stroke-width=\"2\" stroke-dasharray=\"7 5\"/>";
    let text = "<text x=\"120\" y=\"105\" text-anchor=\"middle\" font-family=\"Verdana, sans-serif\" \
         font-size=\"15\" fill=\"#5b564d\">no picture yet</text>";
    format!("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 240 200\">{frame}{text}</svg>")
}

#[cfg(test)]
mod tests {
    use super::whole;

    #[test]
    fn degrees_are_whole() {
        assert_eq!((whole(28.0), whole(208.4), whole(-3.0)), (28, 208, -3));
    }
}
