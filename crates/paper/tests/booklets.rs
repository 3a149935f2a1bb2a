//! Booklets and lists of every kind of bag.
//!
//! With `BOOKLETS=DIR` in the environment the files are also written there, to be looked at.

use bag::design::{Chosen, Design};
use bag::{bodies, handles, linings, pockets};
use measure::Units;
use packet::Packet;
use paper::{Options, PaperSize, booklet, cut_list_text, shopping_text};

/// The packet of a design that must be possible.
fn packet(design: &Design) -> Packet {
    let built = packet::build(design);
    let findings = built.findings;
    built.packet.unwrap_or_else(|| panic!("{findings:?}"))
}

/// A boxed bag with everything on it.
fn full(units: Units) -> Design {
    let system = units.system();
    let mut design = Design::of(bodies::ALL[0], units);
    design.title = "Market Boat".to_owned();
    design.about = "A roomy bag with a pocket all round it.".to_owned();
    design.edition.date = "2026-11-20".to_owned();
    design.edition.changes = vec!["The straps are longer.".to_owned()];
    design.pockets = pockets::ALL.iter().map(|kind| Chosen::new(*kind, system)).collect();
    design
}

fn write(name: &str, data: &[u8]) {
    if let Some(directory) = std::env::var_os("BOOKLETS") {
        std::fs::write(std::path::Path::new(&directory).join(name), data).unwrap();
    }
}

#[test]
fn a_booklet_is_the_same_every_time() {
    let packet = packet(&full(Units::Inch));
    let first = booklet(&packet, Options::default()).unwrap();
    let again = booklet(&packet, Options::default()).unwrap();
    assert!(first == again, "two booklets of one packet differ");
    assert!(first.starts_with(b"%PDF-1.7"));
    write("full-inch.pdf", &first);
    write("full-inch-cut.txt", cut_list_text(&packet).as_bytes());
    write("full-inch-shop.txt", shopping_text(&packet).as_bytes());
}

#[test]
fn every_kind_has_a_booklet() {
    for units in [Units::Inch, Units::Cm] {
        let system = units.system();
        for body in bodies::ALL {
            for (index, lining) in linings::ALL.iter().enumerate() {
                let mut design = Design::of(*body, units);
                design.lining = Chosen::new(*lining, system);
                design.handles = Chosen::new(handles::ALL[index % handles::ALL.len()], system);
                let packet = packet(&design);
                let options = Options { paper: PaperSize::Letter, draft: index == 1 };
                let pdf = booklet(&packet, options).unwrap();
                let name = format!("{}-{}-{system}.pdf", body.name(), lining.name());
                write(&name, &pdf);
            }
        }
    }
}

#[test]
fn a_title_of_any_letters_is_no_fault() {
    let mut design = full(Units::Mm);
    design.title = "鞄 → #set <b> \"Zoë\" \\ $x$ *".to_owned();
    design.about = "\u{202e}\u{0}odd".to_owned();
    booklet(&packet(&design), Options::default()).unwrap();
}
