//! The cloths of a bag as they lie on the shelf, for its pictures.

use std::collections::BTreeMap;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use drawing::dress::{Dress, Motif, Print};
use drawing::svg::Page;
use drawing::{Cloth, Scene, svg};
use maud::{Markup, PreEscaped, html};
use packet::Packet;

use crate::keep::{Fabric, FabricRow, Photo, Swatch, Trouble};
use crate::room::Room;

/// How far a print repeats of which it is not known, in mm.
const USUAL_REPEAT: f64 = 16.0;

/// A picture on a page, its cloths as they are on the shelf.
pub(super) fn picture(room: &Room, packet: &Packet, scene: &Scene) -> Result<Markup, Trouble> {
    let cloths = cloths(room, packet, |photo| Ok(address(photo)))?;
    Ok(PreEscaped(Page::dressed(&scene.id, cloths).picture(scene)))
}

/// The same as a file, which brings its photographs along: none are fetched for an image.
pub(super) fn file(room: &Room, packet: &Packet, scene: &Scene) -> Result<String, Trouble> {
    let inside = |photo: &Photo| {
        let jpeg = STANDARD.encode(room.keep.photo(photo.of)?);
        Ok(format!("data:image/jpeg;base64,{jpeg}"))
    };
    Ok(Page::dressed(&scene.id, cloths(room, packet, inside)?).file(scene))
}

/// Where a photograph is; the address changes with it.
pub(super) fn address(photo: &Photo) -> String {
    format!("/fabrics/{}/photo?{:x}", photo.of, photo.sum)
}

/// How each cloth of a bag looks that is on the shelf, found by its name.
fn cloths(
    room: &Room,
    packet: &Packet,
    photograph: impl Fn(&Photo) -> Result<String, Trouble>,
) -> Result<BTreeMap<Cloth, Dress>, Trouble> {
    let shelf = room.keep.fabrics()?;
    let mut dresses = BTreeMap::new();
    for material in packet.pattern.materials.iter().filter(|material| !material.is_interfacing()) {
        let cloth = drawing::pieces::cloth(material.look);
        let name = material.name.to_lowercase();
        let row = shelf.iter().find(|row| row.fabric.name.to_lowercase() == name);
        if let (Some(row), false) = (row, dresses.contains_key(&cloth)) {
            dresses.insert(cloth, dress(row, &photograph)?);
        }
    }
    Ok(dresses)
}

fn dress(
    row: &FabricRow,
    photograph: &impl Fn(&Photo) -> Result<String, Trouble>,
) -> Result<Dress, Trouble> {
    let Some(photo) = &row.photo else { return Ok(drawn(&row.fabric)) };
    let across = photo.across.to_mm();
    let share = f64::from(photo.high.max(1)) / f64::from(photo.wide.max(1));
    let motif = Motif::Picture(photograph(photo)?);
    Ok(Dress { print: Some(Print { motif, across, along: across * share }), ..drawn(&row.fabric) })
}

/// How a fabric looks by what was said of it.
fn drawn(fabric: &Fabric) -> Dress {
    let motif = match fabric.swatch {
        Swatch::Plain => None,
        Swatch::Stripes => Some(Motif::Stripes),
        Swatch::Bands => Some(Motif::Bands),
        Swatch::Checks => Some(Motif::Checks),
        Swatch::Dots => Some(Motif::Dots),
    };
    let step =
        |repeat: Option<measure::Length>| repeat.map_or(USUAL_REPEAT, |it| it.to_mm().max(4.0));
    let (across, along) = (step(fabric.repeat_across), step(fabric.repeat_along));
    let figure = match motif {
        // A plain cloth keeps its texture, a shade apart from its ground.
        None => shade(&fabric.ground),
        Some(_) => fabric.figure.clone(),
    };
    let print = motif.map(|motif| Print { motif, across, along });
    Dress { ground: fabric.ground.clone(), figure, print }
}

/// A fabric as it is drawn by itself: 120 × 90 mm of it.
pub(super) fn swatch(fabric: &Fabric, id: i64) -> Markup {
    let dress = drawn(fabric);
    html! {
        svg.swatch viewBox="0 0 120 90" preserveAspectRatio="xMidYMid slice" role="img" aria-labelledby={ "swatch-" (id) } {
            title id={ "swatch-" (id) } { (fabric.name) ": " (fabric.swatch.title()) }
            rect width="120" height="90" fill=(dress.ground) {}
            @if let Some(repeat) = dress.repeat() {
                defs {
                    pattern id={ "print-" (id) } patternUnits="userSpaceOnUse" width=(svg::number(repeat.width)) height=(svg::number(repeat.height)) {
                        (PreEscaped(repeat.content))
                    }
                }
                rect width="120" height="90" fill={ "url(#print-" (id) ")" } {}
            }
        }
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shades_stay_colours() {
        assert_eq!(shade("#ffffff"), "#bdbdbd");
        assert_eq!(shade("#000000"), "#3c3c3c");
        assert_eq!(shade("x").len(), 7);
    }

    #[test]
    fn a_photograph_is_as_high_as_its_pixels_say() {
        let photo = Photo { of: 3, across: measure::Length::mm(120), wide: 600, high: 300, sum: 7 };
        let row = FabricRow { photo: Some(photo), ..FabricRow::default() };
        let address = |photo: &Photo| Ok(address(photo));
        let print = dress(&row, &address).unwrap().print.unwrap();
        assert_eq!((print.across, print.along), (120.0, 60.0));
        assert_eq!(print.motif, Motif::Picture("/fabrics/3/photo?7".to_owned()));
    }
}
