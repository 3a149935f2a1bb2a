//! Figures of pockets. Common practice, no source, unless a source is named.

use bag::Severity;
use measure::{Length, Units, parse_length};
use packet::{Built, Packet};

use crate::{packet_of, read};

#[track_caller]
fn inch(text: &str) -> Length {
    parse_length(text, Units::Inch).expect("a length")
}

/// A lined bag without handles, 16 × 14 × 4 in, with what else is said.
fn bag_with(pocket: &str) -> String {
    format!(
        "units = \"inch\"\n[body]\nkind = \"boxed\"\n[handles]\nkind = \"none\"\n\
         [[pocket]]\n{pocket}\n[lining]\nkind = \"turned\"\n"
    )
}

#[track_caller]
fn cut(packet: &Packet, id: &str) -> (Length, Length) {
    let piece = packet.pattern.pieces.iter().find(|piece| piece.id == id);
    piece.expect("there is such a piece").cut_size()
}

fn has_notion(packet: &Packet, words: &str) -> bool {
    let notions = packet.pattern.notions.iter().map(|notion| notion.describe(packet.system));
    notions.chain(packet.pattern.tools.iter().cloned()).any(|it| it.contains(words))
}

/// An elasticated pocket is cut half as wide again as it lies: 6 in lie, 9 in are drawn in, and
/// 3/8 in is turned under at either side. The elastic, 3/8 in wide, lies 6 in and is fastened for
/// 3/8 in at either end; its casing takes 1/4 in and 5/8 in.
#[test]
fn an_elasticated_pocket() {
    let packet = packet_of(&bag_with(
        "kind = \"elastic\"\nwidth = 6\nheight = 7\nfuller = 50\nelastic = \"3/8\"",
    ));
    assert_eq!(cut(&packet, "elastic-pocket"), (inch("9 3/4"), inch("8 1/4")));
    assert!(has_notion(
        &packet,
        "elastic, 3/8 in wide, for the elasticated pocket: 1 piece 6 3/4 in long"
    ));
    let step = packet.steps.iter().find(|step| step.id == "elastic-elastic-pocket").unwrap();
    assert!(step.text.contains("3/8 in wide, 6 3/4 in long"), "{}", step.text);
    assert!(step.text.ends_with("the edge now measures 6 in."), "{}", step.text);
}

/// Each side of a bellows pocket folds in by its depth and out again: 5 in that open by 1 in are
/// cut 5 + 4 · 1 in wide, and turned under by 3/8 in.
#[test]
fn a_bellows_pocket() {
    let packet = packet_of(&bag_with("kind = \"bellows\"\nwidth = 5\nheight = 7\ndepth = 1"));
    assert_eq!(cut(&packet, "bellows-pocket"), (inch("9 3/4"), inch("8 3/8")));
    let step = packet.steps.iter().find(|step| step.id == "take-in-bellows-pocket").unwrap();
    assert!(
        step.text.contains("into 2 pleats") && step.text.contains("2 in each"),
        "{}",
        step.text
    );
}

/// A flap is a little wider than its pocket, and a buttonhole longer than its button by what the
/// button is thick.
#[test]
fn a_pocket_under_a_flap() {
    let packet =
        packet_of(&bag_with("kind = \"flap\"\nwidth = 6\nheight = 6\nflap = 2\nheld = \"button\""));
    assert_eq!(cut(&packet, "flap-pocket"), (inch("6 1/2"), inch("6 1/2")));
    assert_eq!(cut(&packet, "pocket-flap"), (inch("6 3/4"), inch("2 1/2")));
    let step = packet.steps.iter().find(|step| step.id == "buttonhole-pocket-flap").unwrap();
    assert!(step.text.contains("buttonhole 7/8 in long"), "{}", step.text);
}

/// A slit 7 in long takes a 7 in zip; the bag behind is 1 in wider at either end and 1/2 in is sewn
/// round it. 6 in are left below the slit.
#[test]
fn a_zip_pocket_in_a_slit() {
    let packet = packet_of(&bag_with("kind = \"zip-slit\"\nzip = 7\ndepth = 6"));
    assert_eq!(cut(&packet, "zip-pocket-front"), (inch("10"), inch("8")));
    assert_eq!(packet.pattern.claims.pockets[0].true_depth, inch("6"));
    assert_eq!(packet.pattern.claims.pockets[0].opening, inch("7"));
    assert!(has_notion(&packet, "1 closed-end zip, 7 in long"));
}

/// A pocket that reaches up from the base seam of a bag 4 in deep loses half of that to the base.
#[test]
fn true_depths_come_after_the_base() {
    for kind in ["slip", "zip-seam"] {
        let packet = packet_of(&bag_with(&format!("kind = \"{kind}\"\nheight = 9")));
        assert_eq!(packet.pattern.claims.pockets[0].true_depth, inch("7"), "{kind}");
    }
}

/// What is stitched onto the panel is held by a row 1/8 in above its lower edge, and no thing goes
/// below that row. A slit's bag ends in a seam, and a zip across the front lies above its whole depth.
#[test]
fn every_pocket_states_its_depth_in_use() {
    let deep = |pocket: &str| {
        let packet = packet_of(&bag_with(pocket));
        assert_eq!(packet.pattern.claims.pockets.len(), 1, "{pocket}");
        packet.pattern.claims.pockets[0].true_depth
    };
    for kind in ["patch", "flap", "bellows", "elastic", "pleated", "window", "organiser"] {
        assert_eq!(deep(&format!("kind = \"{kind}\"\nheight = 6")), inch("5 7/8"), "{kind}");
    }
    for kind in ["band", "slip", "zip-seam"] {
        assert_eq!(deep(&format!("kind = \"{kind}\"\nheight = 9")), inch("7"), "{kind}");
    }
    assert_eq!(deep("kind = \"zip-slit\"\ndepth = 6"), inch("6"));
    let here = ["patch", "flap", "bellows", "elastic", "pleated", "window", "organiser", "band"];
    let known: Vec<&str> = here.into_iter().chain(["slip", "zip-seam", "zip-slit"]).collect();
    let all = bag::pockets::ALL.iter().map(|kind| kind.name());
    assert!(all.clone().all(|name| known.contains(&name)), "{:?}", all.collect::<Vec<_>>());
}

/// A pocket whose lower edge is stitched higher than its promise says is found.
#[test]
fn a_pocket_that_is_less_deep_than_promised_is_found() {
    let mut pattern = packet_of(&bag_with("kind = \"patch\"\nheight = 6")).pattern;
    pattern.claims.pockets[0].true_depth = inch("6");
    let found = bag::checks::run(&pattern);
    let [finding] = found.as_slice() else { panic!("{found:#?}") };
    assert_eq!(
        finding.message,
        "the inside pocket, back is promised 6 in deep in use, and is 5 7/8 in deep above its \
         lowest stitches"
    );
}

/// The second of two slits in one place would be cut where there is no cloth; farther down, where the
/// bag of the first one ends, it can be.
#[test]
fn a_slit_is_cut_once() {
    let two = |more: &str| {
        let text = "kind = \"zip-slit\"\non = \"back\"\ndepth = 3\n";
        let text = bag_with(&format!("{text}[[pocket]]\n{text}{more}"));
        let Built { findings, .. } = packet::build(&read("design.toml", &text));
        let errors = findings.into_iter().filter(|finding| finding.severity == Severity::Error);
        errors.collect::<Vec<_>>()
    };
    let found = two("");
    let [finding] = found.as_slice() else { panic!("{found:#?}") };
    assert_eq!(finding.place.parameter.as_deref(), Some("pocket[2].below"));
    assert_eq!(
        (finding.message.as_str(), finding.cure.as_str()),
        (
            "this slit would be cut where another zip pocket has its own, and cloth is cut there once",
            "cut it 7 1/4 in or more below the rim, or put it on another side of the bag, or leave \
             one of the two out"
        )
    );
    assert_eq!(two("below = \"7 1/4\"\n"), []);
}

/// Two slits close to each other can be sewn when the bag of the first, which hangs free behind the
/// panel, is folded aside meanwhile: 2 in of cloth between them are enough. Without that step the
/// second one is sewn through it; and what is stitched to the panel all round cannot be folded aside.
#[test]
fn the_bag_of_one_slit_is_folded_aside_for_the_next() {
    let text = |depth: i64, first: &str, second: &str| {
        let text = format!("kind = \"zip-slit\"\non = \"back\"\ndepth = {depth}\n");
        bag_with(&format!("{text}below = \"{first}\"\n[[pocket]]\n{text}below = \"{second}\"\n"))
    };
    // The upper one first, and the lower one first.
    for (one, other) in [("3", "5"), ("5", "3"), ("2 1/2", "7")] {
        let Built { findings, packet, .. } =
            packet::build(&read("design.toml", &text(5, one, other)));
        let worse: Vec<_> =
            findings.iter().filter(|finding| finding.severity > Severity::Note).collect();
        assert!(worse.is_empty(), "{one}, {other}: {worse:#?}");
        let mut pattern = packet.expect("it is sewn").pattern;
        let at = |pattern: &bag::pattern::Pattern, id: &str| {
            pattern.steps.iter().position(|step| step.id == id).expect("the step is there")
        };
        let aside = at(&pattern, "aside-zip-pocket-2");
        assert!(at(&pattern, "close-zip-pocket") < aside, "{one}, {other}");
        assert!(aside < at(&pattern, "place-zip-pocket-2"), "{one}, {other}");
        pattern.steps.remove(aside);
        let found = bag::checks::run(&pattern);
        assert!(found.iter().any(|f| f.check == "pockets-clear"), "{one}, {other}: {found:#?}");
    }
    // Far apart, nothing is in the way.
    let packet = packet_of(&text(3, "3", "7 1/2"));
    assert!(packet.steps.iter().all(|step| step.id != "aside-zip-pocket-2"));
}

/// Vinyl is held with clips and sewn with a longer stitch, and its binding is cut four times as wide
/// as it finishes.
#[test]
fn a_window_of_vinyl() {
    let packet = packet_of(&bag_with("kind = \"window\"\nwidth = 7\nheight = 6"));
    assert_eq!(cut(&packet, "window-pocket"), (inch("7"), inch("6")));
    // 26 in round, a tenth more, to the next inch.
    assert_eq!(cut(&packet, "window-pocket-binding"), (inch("1 1/2"), inch("29")));
    let place = packet.steps.iter().find(|step| step.id == "place-window-pocket").unwrap();
    assert!(place.text.contains("clips") && !place.text.contains("Pin"), "{}", place.text);
    let sewn = packet.steps.iter().find(|step| step.id == "stitch-window-pocket").unwrap();
    assert!(sewn.text.contains("stitch length 3.5 mm"), "{}", sewn.text);
}

fn errors(text: &str) -> Vec<String> {
    let Built { findings, .. } = packet::build(&read("design.toml", text));
    let errors = findings.into_iter().filter(|finding| finding.severity == Severity::Error);
    errors.map(|finding| format!("{}: {}", finding.check, finding.message)).collect()
}

/// Two inside pockets on one face lie over each other unless one is set lower; in a bag without a
/// lining, a pocket inside is sewn on after the handles that run up from the base, unless a pocket on
/// the outside of that side has to come later: then they are stitched through it.
#[test]
fn pockets_lie_clear_of_each_other_and_of_handles() {
    let two = |below: u32| {
        bag_with(&format!(
            "kind = \"patch\"\nheight = 4\n[[pocket]]\nkind = \"patch\"\nheight = 4\nbelow = {below}"
        ))
    };
    assert_eq!(
        errors(&two(4)),
        ["pockets-clear: the inside pocket 2, back lies over the inside pocket, back, by \
          11 1/2 × 2 1/2 in"]
    );
    assert_eq!(errors(&two(7)), Vec::<String>::new());
    let unlined = |width: &str, more: &str| {
        format!(
            "units = \"inch\"\n[body]\nkind = \"boxed\"\n[[pocket]]\nkind = \"patch\"\n\
             width = \"{width}\"\n{more}[handles]\nkind = \"webbing\"\nfrom = \"base\"\napart = 7\n\
             [lining]\nkind = \"unlined\"\n"
        )
    };
    assert_eq!(errors(&unlined("11 1/2", "")), Vec::<String>::new());
    let band = "[[pocket]]\nkind = \"band\"\non = \"back\"\n";
    let found = errors(&unlined("11 1/2", band));
    assert_eq!(
        found,
        [
            "can-be-drafted: the legs would be stitched through the inside pocket, back, and close it"
        ]
    );
    assert_eq!(errors(&unlined("5", "")), Vec::<String>::new());
}
