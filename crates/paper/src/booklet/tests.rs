//! What stands on the pages of a booklet.

use bag::design::{Chosen, Design};
use bag::{bodies, pockets};
use measure::Units;

use super::*;
use crate::legible::legible;
use crate::typeset::pages::{Page, look};

/// A packet of a boxed bag with a pocket outside and one inside.
fn packet(units: Units) -> Packet {
    let mut design = Design::of(bodies::ALL[0], units);
    design.title = "Test bag".to_owned();
    design.edition.date = "2026-11-20".to_owned();
    let pocket = |kind| Chosen::new(pockets::find(kind).expect("in the list"), units.system());
    design.pockets = vec![pocket("band"), pocket("patch")];
    packet::build(&design).packet.unwrap()
}

fn pages(packet: &Packet, options: Options) -> Vec<Page> {
    look(LOOK, files(packet, None, options)).unwrap()
}

fn tight(text: &str) -> String {
    text.chars().filter(|letter| !letter.is_whitespace()).collect()
}

/// ISO 216: A4 is 210 × 297 mm. Letter is 8 1/2 × 11 in, 612 × 792 pt exactly (72 pt to the inch).
#[test]
fn pages_have_the_size_of_the_paper() {
    let packet = packet(Units::Inch);
    let cases = [(PaperSize::A4, (595.276, 841.890)), (PaperSize::Letter, (612.0, 792.0))];
    for (paper, (width, height)) in cases {
        for page in pages(&packet, Options { paper, ..Options::default() }) {
            let (w, h) = page.size;
            assert!((w - width).abs() < 0.001 && (h - height).abs() < 0.001, "{w} × {h}");
        }
    }
}

#[test]
fn every_page_but_the_cover_says_which_it_is() {
    let pages = pages(&packet(Units::Mm), Options::default());
    for (index, page) in pages.iter().enumerate().skip(1) {
        let number = format!("page{}of{}", index + 1, pages.len());
        assert!(page.text.contains(&number), "{number}: {}", page.text);
        assert!(page.text.contains("Edition1·20November2026"), "{}", page.text);
    }
}

#[test]
fn a_draft_says_so_on_every_page() {
    let packet = packet(Units::Inch);
    let marked = |draft| {
        let pages = pages(&packet, Options { draft, ..Options::default() });
        (pages.iter().filter(|page| page.text.contains("NOTREADYTOCUT")).count(), pages.len())
    };
    let (with, all) = marked(true);
    assert_eq!(with, all);
    assert_eq!(marked(false).0, 0);
}

#[test]
fn nothing_leaves_the_page() {
    for paper in [PaperSize::A4, PaperSize::Letter] {
        for units in [Units::Inch, Units::Mm] {
            for page in pages(&packet(units), Options { paper, ..Options::default() }) {
                let (width, height) = page.size;
                // 20 mm and 12 mm: the margins at the sides, and what header and footer keep.
                let (side, edge) = (20.0 * 72.0 / 25.4, 12.0 * 72.0 / 25.4);
                for (x, y, w, h) in &page.pictures {
                    assert!(*x >= side - 0.01 && x + w <= width - side + 0.01, "{x} {w}");
                    assert!(*y >= edge && y + h <= height - edge, "{y} {h}");
                }
                for (x, y, w, size) in &page.lines {
                    assert!(*x >= side - 0.01 && x + w <= width - side + 1.0, "{x} {w}");
                    assert!(y - size >= edge - 12.0 && y + size <= height - edge + 12.0, "{y}");
                }
            }
        }
    }
}

#[test]
fn pictures_do_not_cover_one_another() {
    for page in pages(&packet(Units::Inch), Options::default()) {
        for (index, a) in page.pictures.iter().enumerate() {
            for b in &page.pictures[index + 1..] {
                let apart = a.0 + a.2 <= b.0 + 0.01
                    || b.0 + b.2 <= a.0 + 0.01
                    || a.1 + a.3 <= b.1 + 0.01
                    || b.1 + b.3 <= a.1 + 0.01;
                assert!(apart, "{a:?} {b:?}");
            }
        }
    }
}

#[test]
fn drawings_are_printed_to_scale() {
    let packet = packet(Units::Inch);
    let pages = pages(&packet, Options::default());
    let printed: Vec<f64> = pages.iter().flat_map(|page| &page.pictures).map(|p| p.2).collect();
    for (_, _, scene) in piece_scenes(&packet) {
        let wanted = scene.bounds().width() * 72.0 / 25.4;
        assert!(printed.iter().any(|width| (width - wanted).abs() < 0.001), "{}", scene.title);
    }
}

#[test]
fn every_step_with_its_warning_and_check_is_printed() {
    for units in [Units::Inch, Units::Mm] {
        let packet = packet(units);
        let all: String =
            pages(&packet, Options::default()).into_iter().map(|page| page.text).collect();
        for step in &packet.steps {
            let texts = [Some(&step.text), step.mind.as_ref(), step.checkpoint.as_ref()];
            for text in texts.into_iter().flatten() {
                assert!(all.contains(&tight(&legible(text))), "{}: {text}", step.id);
            }
        }
        for group in cut_groups(&packet) {
            for row in group.rows {
                assert!(all.contains(&tight(&row.size)), "{}: {}", row.name, row.size);
            }
        }
    }
}
