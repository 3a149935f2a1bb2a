//! The bag in space: turned by pointer, touch and keys, closed, open or cut away to its inside, in
//! the colours of the shelf's fabrics.

use std::collections::BTreeMap;

use bag::pattern::CopyId;
use drawing::finished::{Beside, FinishedOptions, Showing, View, usual_view};
use drawing::{Scene, svg};
use maud::{Markup, PreEscaped, html};
use measure::Length;
use packet::Packet;

use super::Page;
use super::shell::{capital, way};
use crate::ask::{Answer, Ask};
use crate::keep::{FabricRow, Swatch, Trouble};
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
    let Some(scene) = drawn
        .packet
        .as_ref()
        .and_then(|packet| scene(packet, looked, &super::found::marks(drawn, packet)))
    else {
        return Ok(
            html! { p.empty { "This bag cannot be drawn in space; its pieces and steps can be seen on the other pages." } },
        );
    };
    Ok(PreEscaped(coloured(room, drawn, &svg::element(&scene))?))
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
        scene(packet, Looked { turn, rise, showing: Showing::Closed, beside: "nothing" }, &[])
    });
    let picture = match picture {
        Some(scene) => coloured(room, drawn, &svg::file(&scene))?,
        None => blank(),
    };
    Ok(Answer::of("image/svg+xml", picture))
}

/// A picture of nothing.
pub(super) fn blank() -> String {
    "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 10 10\"/>".to_owned()
}

/// Ground and strokes of a cloth.
type Colours = (String, String);

/// The picture with the grounds and strokes of cloths that are on the shelf in their own colours.
fn coloured(room: &Room, drawn: &Drawn, picture: &str) -> Result<String, Trouble> {
    let Some(packet) = &drawn.packet else { return Ok(picture.to_owned()) };
    let shelf = room.keep.fabrics()?;
    let mut colours: BTreeMap<&str, Colours> = BTreeMap::new();
    for material in packet.pattern.materials.iter().filter(|material| !material.is_interfacing()) {
        let name = material.name.to_lowercase();
        let row = shelf.iter().find(|row| row.fabric.name.to_lowercase() == name);
        if let Some(row) = row {
            let cloth = drawing::pieces::cloth(material.look).name();
            colours.entry(cloth).or_insert_with(|| colours_of(row));
        }
    }
    let picture = shortened(picture);
    Ok(if colours.is_empty() { picture } else { recoloured(&picture, &colours) })
}

/// Outlines with two decimals instead of three, and the strokes of cloths with one: less than a screen
/// shows, and the picture is most of what a page weighs.
fn shortened(picture: &str) -> String {
    let mut out = String::with_capacity(picture.len());
    for line in picture.lines() {
        let most = if line.contains("stroke-linecap=\"round\"") { 1 } else { 2 };
        let data = line.starts_with("<path").then(|| line.split_once(" d=\"")).flatten();
        let data = data.and_then(|(head, rest)| Some((head, rest.split_once('"')?)));
        match data {
            Some((head, (data, tail))) => {
                out.push_str(head);
                out.push_str(" d=\"");
                push_shortened(&mut out, data, most);
                out.push('"');
                out.push_str(tail);
            }
            None => out.push_str(line),
        }
        out.push('\n');
    }
    out
}

/// Appends numbers cut off after so many decimals.
fn push_shortened(out: &mut String, data: &str, most: u32) {
    let mut decimals: Option<u32> = None;
    for c in data.chars() {
        decimals = match (c, decimals) {
            ('.', _) => Some(0),
            (c, Some(count)) if c.is_ascii_digit() => Some(count + 1),
            _ => None,
        };
        if decimals.is_none_or(|count| count <= most) {
            out.push(c);
        }
    }
}

fn colours_of(row: &FabricRow) -> Colours {
    let fabric = &row.fabric;
    let strokes = match fabric.swatch {
        // A plain cloth keeps its texture, a shade apart from its ground.
        Swatch::Plain => shade(&fabric.ground),
        _ => fabric.figure.clone(),
    };
    (fabric.ground.clone(), strokes)
}

/// A colour a shade darker, or lighter if it is dark.
fn shade(colour: &str) -> String {
    let channel = |at: usize| {
        colour.get(at..at + 2).and_then(|hex| u8::from_str_radix(hex, 16).ok()).unwrap_or(128)
    };
    let channels = [channel(1), channel(3), channel(5)];
    let is_dark = channels.iter().map(|c| u32::from(*c)).sum::<u32>() < 300;
    let shaded = channels.map(|c| if is_dark { c.saturating_add(60) } else { c / 4 * 3 });
    format!("#{:02x}{:02x}{:02x}", shaded[0], shaded[1], shaded[2])
}

/// The writer of pictures puts each element on a line of its own: a ground names its cloth, and the
/// strokes on it follow.
fn recoloured(picture: &str, colours: &BTreeMap<&str, Colours>) -> String {
    let mut strokes: Option<&str> = None;
    let mut out = String::with_capacity(picture.len());
    for line in picture.lines() {
        if let Some(rest) = line.strip_prefix("<path class=\"cloth-") {
            let known = rest.split('"').next().and_then(|cloth| colours.get(cloth));
            strokes = known.map(|(_, strokes)| strokes.as_str());
            match known {
                Some((ground, _)) => out.push_str(&with_colour(line, "fill", ground)),
                None => out.push_str(line),
            }
        } else if let (Some(stroke), true) =
            (strokes, line.starts_with("<path d=") && line.contains("stroke-linecap=\"round\""))
        {
            out.push_str(&with_colour(line, "stroke", stroke));
        } else {
            strokes = None;
            out.push_str(line);
        }
        out.push('\n');
    }
    out
}

/// A line with another colour in the place of an attribute's.
fn with_colour(line: &str, attribute: &str, colour: &str) -> String {
    let start = format!(" {attribute}=\"#");
    match line
        .split_once(start.as_str())
        .and_then(|(head, rest)| Some((head, rest.split_once('"')?.1)))
    {
        Some((head, tail)) => format!("{head} {attribute}=\"{colour}\"{tail}"),
        None => line.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cloth_gets_its_own_colours_and_others_keep_theirs() {
        let picture = "<path class=\"cloth-lining\" d=\"M0 0Z\" fill=\"#f8efda\" fill-rule=\"evenodd\"/>\n\
             <path d=\"M1 1L2 2\" stroke=\"#7d6325\" stroke-width=\"0.5\" stroke-linecap=\"round\"/>\n\
             <path class=\"line-cut\" d=\"M0 0Z\" stroke=\"#000000\"/>\n\
             <path class=\"cloth-outside\" d=\"M0 0Z\" fill=\"#dde6ee\"/>";
        let colours = BTreeMap::from([("lining", ("#102030".to_owned(), "#ffffff".to_owned()))]);
        let out = recoloured(picture, &colours);
        assert!(
            out.contains("fill=\"#102030\" fill-rule")
                && out.contains("stroke=\"#ffffff\" stroke-width")
        );
        assert!(out.contains("stroke=\"#000000\"") && out.contains("fill=\"#dde6ee\""));
    }

    #[test]
    fn paths_are_shortened_and_words_are_not() {
        let picture = "<path class=\"x\" d=\"M0.123 12.5L-3.999 0\" stroke-width=\"0.125\"/>\n\
             <path d=\"M0.123 9L2 3.46\" stroke-width=\"0.18\" stroke-linecap=\"round\"/>\n\
             <text>1.234</text>\n";
        let short = "<path class=\"x\" d=\"M0.12 12.5L-3.99 0\" stroke-width=\"0.125\"/>\n\
             <path d=\"M0.1 9L2 3.4\" stroke-width=\"0.18\" stroke-linecap=\"round\"/>\n\
             <text>1.234</text>\n";
        assert_eq!(shortened(picture), short);
    }

    #[test]
    fn shades_stay_colours() {
        assert_eq!(shade("#ffffff"), "#bdbdbd");
        assert_eq!(shade("#000000"), "#3c3c3c");
        assert_eq!(shade("x").len(), 7);
        assert_eq!((whole(28.0), whole(208.4), whole(-3.0)), (28, 208, -3));
    }
}
