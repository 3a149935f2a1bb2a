//! Templates true to size as a PDF: how to print and join them, then every sheet.

use std::collections::BTreeMap;

use bag::operations::sentence as capital;
use drawing::templates::{self, Stock, TemplateOptions, Templates};
use measure::{show_length, show_size};
use packet::Packet;
use serde_json::{Value, json};

use crate::legible::make_legible;
use crate::pictures::Album;
use crate::typeset::{Day, PaperError, to_pdf};

/// How a sheet map may measure at most on the first page, width × height in mm.
const MAP_ROOM: (f64, f64) = (70.0, 62.0);

/// The templates of a packet as PDF (tagged, PDF/UA-1). The same packet gives the same bytes.
///
/// # Errors
/// Only for faults of the program itself: text from a design cannot cause one.
pub fn templates(
    packet: &Packet,
    options: TemplateOptions,
    draft: bool,
) -> Result<Vec<u8>, PaperError> {
    let date = Day::parse(&packet.pattern.edition.date);
    to_pdf(LOOK, files(packet, options, draft), date)
}

/// How templates look.
const LOOK: &str = include_str!("templates.typ");

fn files(packet: &Packet, options: TemplateOptions, draft: bool) -> BTreeMap<String, Vec<u8>> {
    let drawn = templates::draw(&packet.pattern, options);
    let mut album = Album::default();
    let mut data = contents(packet, options, &drawn, &mut album);
    data["draft"] = json!(draft || packet.has_errors());
    make_legible(&mut data);
    let mut files = album.files;
    files.insert("data.json".to_owned(), data.to_string().into_bytes());
    files
}

fn contents(
    packet: &Packet,
    options: TemplateOptions,
    drawn: &Templates,
    album: &mut Album,
) -> Value {
    let pattern = &packet.pattern;
    let (width, height) = match options.stock {
        Stock::Sheets(sheet) => (sheet.width.to_mm(), Some(sheet.height.to_mm())),
        Stock::Roll(width) => (width.to_mm(), None),
    };
    json!({
        "title": pattern.title,
        "dated": Day::parse(&pattern.edition.date).is_some(),
        "edition": crate::booklet::edition(packet),
        "words": words(),
        "page": { "width_mm": width, "height_mm": height },
        "how_to_print": [
            format!(
                "Print on {} at 100 %, or \"actual size\": never fitted to the page.",
                options.stock.title()
            ),
            "Print this page alone first, and measure both squares with your own ruler.".to_owned(),
        ],
        "how_to_check": [
            "If a side is off by more than a line's width, look for a setting that scales or fits, \
             and print again. Pieces that are a little too small or too large no longer meet each \
             other.",
        ],
        "how_to_join": [
            format!(
                "Cut the white margin off the left and the top of each sheet, along the thin frame, \
                 where a neighbour joins it there. Lay that edge on the thin line of the neighbour: \
                 two sheets overlap by {}. The two halves of each ring make it whole. Tape the \
                 sheets, and cut out the piece along the thick line with paper scissors, not with \
                 those for fabric.",
                show_length(measure::Length::from_mm_f64(templates::OVERLAP), packet.system)
            ),
            "Sheets that the piece does not touch are left out.".to_owned(),
        ],
        "squares": album.keep(templates::test_squares()),
        "maps": drawn.maps.iter().enumerate().map(|(index, map)| {
            let (first, last) = map.numbers();
            json!({
                "title": capital(&map.title),
                "numbers": format!("sheets {first} to {last}"),
                "picture": album.keep(map.draw(&format!("map-{}", index + 1), MAP_ROOM)),
            })
        }).collect::<Vec<_>>(),
        "by_measure": drawn.by_measure.iter().map(|id| {
            let piece = pattern.piece(*id);
            let (width, height) = piece.cut_size();
            [
                capital(&piece.name),
                pattern.count(*id).to_string(),
                show_size(width, height, packet.system),
                pattern.material(piece.material).name.clone(),
            ]
        }).collect::<Vec<_>>(),
        "leaves": drawn.leaves.iter().map(|leaf| {
            let bounds = leaf.scene.bounds();
            json!({
                "number": format!("Sheet {}.", leaf.number),
                "mapped": drawn.maps.iter().any(|map| {
                    let (first, last) = map.numbers();
                    (first..=last).contains(&leaf.number)
                }),
                "what": capital(&format!("{}.", leaf.scene.title)),
                "width_mm": bounds.width(),
                "height_mm": bounds.height(),
                "picture": album.keep(leaf.scene.clone()),
            })
        }).collect::<Vec<_>>(),
    })
}

/// Headings and standing sentences.
fn words() -> Value {
    json!({
        "templates": "templates",
        "not_ready": "NOT READY TO CUT",
        "print_first": "Print this page first",
        "join": "Join the sheets",
        "by_measure": "Cut by measure",
        "by_measure_intro": "These are rectangles, or come off a roll: a ruler is quicker and truer \
            than paper.",
        "by_measure_headings": ["Piece", "Cut", "Size", "From"],
        "sheets": "Sheets with whole pieces and guides",
    })
}

#[cfg(test)]
mod tests {
    use bag::Design;
    use bag::kinds::Value as Given;
    use measure::{Length, Units};

    use super::*;
    use crate::typeset::pages::look;

    fn packet() -> Packet {
        let body = bag::bodies::find("boxed").expect("it is in the list");
        let mut design = Design::of(body, Units::Inch);
        design.title = "Test bag".to_owned();
        design.body.values.set("taper", Given::Length(Length::inch(2)));
        packet::build(&design).packet.expect("it can be built")
    }

    fn options(word: &str, rectangles: bool) -> TemplateOptions {
        let stock = Stock::find(word).expect("there is such paper");
        TemplateOptions { system: measure::System::Inch, stock, rectangles }
    }

    /// Every sheet is a page of exactly the paper's size, with its picture over the whole of it:
    /// ISO 216 A4 is 595.276 × 841.890 pt, US Letter 612 × 792 pt.
    #[test]
    fn sheets_fill_their_pages_at_true_size() {
        let packet = packet();
        for (word, size) in [("a4", (595.276, 841.890)), ("letter", (612.0, 792.0))] {
            let pages = look(LOOK, files(&packet, options(word, true), false)).expect("it is set");
            let sheets = templates::draw(&packet.pattern, options(word, true)).leaves.len();
            assert!(pages.len() > sheets && sheets > 4);
            for page in &pages[pages.len() - sheets..] {
                let [picture] = page.pictures[..] else { panic!("{:?}", page.pictures) };
                let near = |a: f64, b: f64| (a - b).abs() < 0.01;
                assert!(near(picture.0, 0.0) && near(picture.1, 0.0), "{picture:?}");
                assert!(near(picture.2, size.0) && near(picture.3, size.1), "{picture:?}");
                assert!(near(page.size.0, size.0) && near(page.size.1, size.1));
            }
        }
    }

    #[test]
    fn rectangles_are_listed_when_they_are_left_out() {
        let packet = packet();
        let first = |rectangles| {
            let pages = look(LOOK, files(&packet, options("letter", rectangles), false));
            pages.expect("it is set").iter().map(|page| page.text.clone()).collect::<String>()
        };
        assert!(first(false).contains("Cutbymeasure") && first(false).contains("Handle2"));
        assert!(!first(true).contains("Handle2"));
    }

    #[test]
    fn the_same_packet_gives_the_same_bytes() {
        let packet = packet();
        let [one, other] = [(); 2]
            .map(|()| templates(&packet, options("roll-36", true), false).expect("it is set"));
        assert!(one.starts_with(b"%PDF-") && one == other);
    }
}
