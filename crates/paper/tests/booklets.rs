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
    let pocket = |kind| Chosen::new(pockets::find(kind).expect("it is in the list"), system);
    design.pockets = vec![pocket("band"), pocket("patch")];
    design
}

/// The packets of all examples, by name, in the order of their names.
fn examples() -> Vec<(String, Packet)> {
    let folder = std::path::Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples"));
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .expect("there are examples")
        .map(|entry| entry.expect("examples can be listed").path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "toml"))
        .collect();
    files.sort();
    assert!(!files.is_empty(), "no examples in {}", folder.display());
    files
        .into_iter()
        .map(|path| {
            let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
            let text = std::fs::read_to_string(&path).expect("examples can be read");
            let design = store::read_design(&name, &text).unwrap_or_else(|why| panic!("{why:?}"));
            (name, packet(&design))
        })
        .collect()
}

fn write(name: &str, data: &[u8]) {
    if let Some(directory) = std::env::var_os("BOOKLETS") {
        std::fs::write(std::path::Path::new(&directory).join(name), data)
            .expect("the directory of BOOKLETS can be written to");
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

/// Every body, with linings and handles in turn: the next that can be sewn on it.
#[test]
fn every_body_has_a_booklet() {
    for (turn, body) in bodies::ALL.iter().enumerate() {
        let units = if turn % 2 == 0 { Units::Inch } else { Units::Cm };
        let system = units.system();
        let turns = (0..linings::ALL.len())
            .flat_map(|lining| (0..handles::ALL.len()).map(move |handle| (lining, handle)));
        let made = turns.into_iter().find_map(|(lining, handle)| {
            let mut design = Design::of(*body, units);
            let lining = linings::ALL[(turn + lining) % linings::ALL.len()];
            let handle = handles::ALL[(turn + handle) % handles::ALL.len()];
            design.lining = Chosen::new(lining, system);
            design.handles = Chosen::new(handle, system);
            let packet = packet::build(&design).packet.filter(|packet| !packet.has_errors())?;
            Some((lining.name(), packet))
        });
        let (lining, packet) = made.unwrap_or_else(|| panic!("no {} can be sewn", body.name()));
        let options =
            Options { paper: PaperSize::Letter, draft: turn % 5 == 1, large: turn % 5 == 2 };
        let pdf = booklet(&packet, options).unwrap();
        write(&format!("{}-{lining}-{system}.pdf", body.name()), &pdf);
    }
}

/// Pictures at the sizes of the booklet: nothing lettered overlaps, nothing is wider than the text.
#[test]
fn pictures_of_every_example_are_legible() {
    for (name, packet) in examples() {
        let pieces = paper::piece_scenes(&packet).into_iter().map(|(_, _, scene)| scene);
        let layouts = paper::layout_scenes(&packet).into_iter().flatten().map(|(_, scene)| scene);
        for scene in pieces.chain(layouts).chain([paper::finished_scene(&packet)]) {
            write(&format!("{name}-{}.svg", scene.id), drawing::svg::file(&scene).as_bytes());
            assert_eq!(scene.overlapping_texts(), [], "{name}: {}", scene.title);
            let bounds = scene.bounds();
            // A4 (210 mm, ISO 216) with margins of 20 mm leaves 170 mm, and 250 mm of height.
            assert!(bounds.width() <= 170.0, "{name}: {} {bounds:?}", scene.title);
            assert!(bounds.height() <= 200.0, "{name}: {} {bounds:?}", scene.title);
        }
    }
}

#[test]
fn every_example_has_a_booklet_and_lists() {
    for (name, packet) in examples() {
        let pdf = booklet(&packet, Options::default()).unwrap();
        write(&format!("{name}.pdf"), &pdf);
        let cut = cut_list_text(&packet);
        write(&format!("{name}-cut.txt"), cut.as_bytes());
        let shopping = shopping_text(&packet);
        write(&format!("{name}-shop.txt"), shopping.as_bytes());
        for piece in &packet.pattern.pieces {
            assert!(cut.contains(&piece.name), "{name}: {}\n{cut}", piece.name);
        }
        for material in &packet.pattern.materials {
            assert!(shopping.contains(&material.name), "{name}: {}\n{shopping}", material.name);
        }
    }
}

/// A packet with errors is marked and says first what must be put right.
#[test]
fn a_faulty_bag_has_a_booklet_that_says_so() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/faulty");
    let mut faulty = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let Ok(design) = store::read_design("faulty", &std::fs::read_to_string(&path).unwrap())
        else {
            continue;
        };
        let Some(packet) = packet::build(&design).packet.filter(Packet::has_errors) else {
            continue;
        };
        faulty += 1;
        let options = Options { paper: PaperSize::Letter, draft: false, large: false };
        let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        write(&format!("faulty-{name}.pdf"), &booklet(&packet, options).unwrap());
        assert!(cut_list_text(&packet).contains("NOT READY TO CUT"), "{name}");
        assert!(shopping_text(&packet).contains("NOT READY TO CUT"), "{name}");
    }
    assert!(faulty > 0, "no faulty example has a packet");
}

#[test]
fn a_title_of_any_letters_is_no_fault() {
    let mut design = full(Units::Mm);
    design.title = "鞄 → #set <b> \"Zoë\" \\ $x$ *".to_owned();
    design.about = "\u{202e}\u{0}odd".to_owned();
    booklet(&packet(&design), Options::default()).unwrap();
}
