//! Figures of the trade, from design files through the whole packet. Common practice, no source,
//! unless a source is named.

use bag::Severity;
use bag::pattern::Piece;
use layout::Proof;
use measure::{Length, System, Units, parse_length, show_bought};
use packet::{Cut, Packet, Source};

use crate::{packet_of, read};

#[track_caller]
fn inch(text: &str) -> Length {
    parse_length(text, Units::Inch).expect("a length")
}

/// A boxed bag cut 21 × 17 in with 1/2 in seams, 4 in deep, and whatever else is said.
fn bag_with(more: &str) -> String {
    format!(
        "units = \"inch\"\n[body]\nkind = \"boxed\"\nsize = \"cut\"\nwidth = 21\nheight = 17\n\
         depth = 4\n[shop]\nsquaring = 0\n{more}"
    )
}

#[track_caller]
fn piece<'p>(packet: &'p Packet, id: &str) -> &'p Piece {
    packet.pattern.pieces.iter().find(|piece| piece.id == id).expect("there is such a piece")
}

/// What is cut from the material of that name.
#[track_caller]
fn cut<'p>(packet: &'p Packet, name: &str) -> &'p Cut {
    let named = |cut: &&Cut| packet.pattern.material(cut.material).name == name;
    packet.cuts.iter().find(named).expect("it is cut from")
}

/// Length used, and what is bought as the shop says it.
#[track_caller]
fn yardage(packet: &Packet, name: &str) -> (Length, String) {
    let layout = cut(packet, name).layout.as_ref().expect("everything fits");
    (layout.length, show_bought(layout.bought, packet.system))
}

#[track_caller]
fn checkpoint<'p>(packet: &'p Packet, id: &str) -> &'p str {
    let step = packet.steps.iter().find(|step| step.id == id).expect("there is such a step");
    step.checkpoint.as_deref().expect("it has a checkpoint")
}

/// Cut 21 × 17 in, boxed 2 in from the tip: 16 in wide at the base, 20 in flat at the top, 40 in
/// around, 4 deep, 14 high, 14.68 L.
#[test]
fn cut_panels_give_the_finished_bag() {
    let packet = packet_of(&bag_with(""));
    assert_eq!(piece(&packet, "outside-panel").cut_size(), (inch("21"), inch("17")));
    let finished = packet.finished;
    assert_eq!(
        [finished.width, finished.height, finished.depth, finished.top_width],
        ["16", "14", "4", "20"].map(inch)
    );
    assert!((finished.volume.to_litres() - 14.68).abs() < 0.005);
    assert_eq!(checkpoint(&packet, "join-rim"), "The rim now measures 40 in around.");
    let boxing = packet.steps.iter().find(|step| step.id == "box-outside-corners").unwrap();
    assert!(boxing.text.contains("it lies 2 in from the tip"), "{}", boxing.text);
    assert!(boxing.text.contains("is 4 in long"), "{}", boxing.text);
}

/// Two linings 21 × 17 and two inside-pocket pieces 12 × 9, grain kept: 26 in of 42 in usable,
/// 3/4 yd; a shade below 42 in it is 1 yd.
#[test]
fn linings_and_inside_pockets() {
    let design = |usable: &str| {
        bag_with(&format!(
            "[[pocket]]\nkind = \"patch\"\nwidth = \"11 1/2\"\nheight = \"8 1/2\"\n\
             [fabric.outside]\nname = \"outside\"\n\
             [fabric.lining]\nname = \"lining\"\nusable = \"{usable}\"\n"
        ))
    };
    let packet = packet_of(&design("42 in"));
    assert_eq!(piece(&packet, "lining-panel").cut_size(), (inch("21"), inch("17")));
    assert_eq!(piece(&packet, "inside-pocket").cut_size(), (inch("12"), inch("9")));
    assert_eq!(yardage(&packet, "lining"), (inch("26"), "3/4 yd".to_owned()));
    let lining = cut(&packet, "lining");
    assert_eq!(lining.layout.as_ref().map(|layout| layout.proof), Some(Proof::Shortest));
    assert_eq!(
        lining.narrow(System::Inch).as_deref(),
        Some(
            "serves down to 42 in of usable width; on cloth just narrower buy 1 yd; below 21 in some piece does not fit"
        )
    );
    let narrow = packet_of(&design("41 7/8 in"));
    assert_eq!(yardage(&narrow, "lining"), (inch("34"), "1 yd".to_owned()));
    // A pocket cut 12 × 9, two layers sewn right sides together with 1/4 in, finishes 11½ × 8½.
    assert_eq!(
        checkpoint(&packet, "press-inside-pocket"),
        "The inside pocket now measures 11 1/2 × 8 1/2 in (width × height)."
    );
}

/// Two full-width pockets 21 × 10 on 42 in: 10 in; 1/3 yd where thirds are sold, else 3/8.
#[test]
fn full_width_pockets() {
    let design = |increments: &str| {
        format!(
            "units = \"inch\"\n[body]\nkind = \"boxed\"\n[[pocket]]\nkind = \"band\"\n\
             on = \"both\"\nheight = \"8 1/2\"\nhem = \"1/2\"\n[shop]\nsquaring = 0\n\
             increments = \"{increments}\"\n[fabric.pocket]\nname = \"pocket\"\nusable = 42\n"
        )
    };
    let packet = packet_of(&design("eighths"));
    assert_eq!(piece(&packet, "outside-pocket").cut_size(), (inch("21"), inch("10")));
    assert_eq!(yardage(&packet, "pocket"), (inch("10"), "3/8 yd".to_owned()));
    let packet = packet_of(&design("eighths-and-thirds"));
    assert_eq!(yardage(&packet, "pocket"), (inch("10"), "1/3 yd".to_owned()));
}

fn straps(join: &str) -> Packet {
    packet_of(&bag_with(&format!(
        "[handles]\nkind = \"folded\"\nlength = 56\nstrip = \"4 1/2\"\napart = 7\n{join}\n\
         [fabric.handle]\nname = \"handle\"\nusable = 42\n"
    )))
}

/// Two straps 56 in long from 4½ in strips across 42 in, joins with ½ in: joined at the centre,
/// four strips, 18 in = 1/2 yd exactly; joined anywhere, three strips, 13½ in = 3/8 yd. Where the
/// join lies is a parameter; the default hides it in the stitched-down part.
#[test]
fn straps_are_joined_where_the_design_says() {
    let strips =
        |packet: &Packet| cut(packet, "handle").layout.as_ref().expect("it fits").placements.len();
    let centre = straps("join = \"centre\"");
    assert_eq!(strips(&centre), 4);
    assert_eq!(yardage(&centre, "handle"), (inch("18"), "1/2 yd".to_owned()));
    let bought = cut(&centre, "handle").layout.as_ref().map(|layout| layout.bought);
    assert_eq!(bought, Some(inch("18")));
    let anywhere = straps("join = \"anywhere\"");
    assert_eq!(strips(&anywhere), 3);
    assert_eq!(yardage(&anywhere, "handle"), (inch("13 1/2"), "3/8 yd".to_owned()));
    // By default the short lengths, 56 − 42 + 1 = 15 in, both fit in the third strip, and lie
    // where 15 in of each strap are stitched down.
    let hidden = straps("");
    assert_eq!(yardage(&hidden, "handle"), (inch("13 1/2"), "3/8 yd".to_owned()));
    let joins = &cut(&hidden, "handle").layout.as_ref().expect("it fits").joins;
    for joined in joins {
        let lengths: Vec<Length> = joined.stretches.iter().map(|one| one.length).collect();
        assert_eq!(lengths, [inch("42"), inch("15")]);
    }
    assert_eq!(joins.len(), 2);
}

/// A 56 in strap from the raw base edge up a panel cut 17 in high: 22 in free above the raw top
/// edge, 23 in above the finished rim, 1 1/8 in wide. Legs 7 in apart, it drops 10.95 in.
#[test]
fn a_strap_from_the_base() {
    let packet = straps("");
    let handle = &packet.pattern.claims.handles[0];
    let panel = piece(&packet, "outside-panel").cut_size().1;
    assert_eq!(piece(&packet, "handle").cut_size().1 - panel * 2, inch("22"));
    assert_eq!((handle.free, handle.width), (inch("23"), inch("1 1/8")));
    // √(11.5² − 3.5²) = √120 (Pythagoras).
    assert!((handle.drop.to_inch() - 120.0_f64.sqrt()).abs() < 1e-6, "{}", handle.drop.to_inch());
    assert_eq!(checkpoint(&packet, "fold-handles"), "Each handle now measures 1 1/8 in wide.");
}

/// The other way round: a drop of 10.95 in, asked for, needs the 56 in strap (to the 1/4 in to
/// which handles are cut).
#[test]
fn a_wanted_drop_gives_the_strap_length() {
    let packet = packet_of(&bag_with("[handles]\nkind = \"folded\"\ndrop = 10.95\napart = 7\n"));
    assert_eq!(piece(&packet, "handle").cut_size().1, inch("56"));
}

/// Interfacing for two panels 21 × 17 and two pockets 21 × 10: 54 in of 21 in width; of 20 in
/// width 63 in if turning is allowed, impossible if not.
#[test]
fn interfacing_by_its_own_width() {
    let design = |width: u32, turnable: bool| {
        let roll = format!("name = \"stiff\"\nwidth = {width}\nturnable = {turnable}\n");
        bag_with(&format!(
            "[[pocket]]\nkind = \"band\"\non = \"both\"\nheight = \"8 1/2\"\nhem = \"1/2\"\n\
             [interfacing.outside]\n{roll}[interfacing.pocket]\n{roll}"
        ))
    };
    for turnable in [true, false] {
        let packet = packet_of(&design(21, turnable));
        let stiff = cut(&packet, "stiff");
        assert_eq!(stiff.source, Source::Interfacing);
        assert_eq!(stiff.items().len(), 2);
        // 54 in is one yard and a half.
        assert_eq!(yardage(&packet, "stiff"), (inch("54"), "1 1/2 yd".to_owned()));
    }
    let turned = packet_of(&design(20, true));
    assert_eq!(yardage(&turned, "stiff"), (inch("63"), "1 3/4 yd".to_owned()));
    let built = packet::build(&read("design.toml", &design(20, false)));
    let errors: Vec<_> =
        built.findings.iter().filter(|finding| finding.severity == Severity::Error).collect();
    assert!(errors.iter().all(|finding| finding.check == "fits-the-fabric"), "{errors:#?}");
    let refused: Vec<_> =
        errors.iter().filter_map(|finding| finding.place.piece.as_deref()).collect();
    assert_eq!(refused, ["outside panel", "outside pocket"]);
    let packet = built.packet.expect("the rest can be laid out");
    assert!(cut(&packet, "stiff").layout.is_none());
}

/// Panels that taper: depth = 2·t·tan(θ/2), θ the base corner's angle (derived). Net 16 in high
/// and 4 in wider at the top, 2 in from the tip give 4.53 in, and 1.766 in give 4 in; the line is
/// drawn at 1 3/4 in, which gives 4.53 × 1.75 / 2 = 3.96 in and is told in a note.
#[test]
fn a_tapered_bag_is_boxed_at_a_mark_of_the_ruler() {
    let design = |depth: &str| {
        format!("units = \"inch\"\n[body]\nkind = \"boxed\"\ndepth = \"{depth}\"\ntaper = 4\n")
    };
    let packet = packet_of(&design("4 in"));
    assert_eq!(piece(&packet, "outside-panel").net_size().1, inch("16"));
    assert!((packet.finished.depth.to_inch() - 4.53 * 1.75 / 2.0).abs() < 0.005);
    let note = packet.findings.iter().find(|f| f.place.parameter.as_deref() == Some("body.depth"));
    assert_eq!(note.map(|note| note.severity), Some(Severity::Note));
    // Asked for 4.53 in, with the front made lower so that the panel is again 16 in high.
    let text = design("4.53 in").replace("taper", "height = 13.735\ntaper");
    let packet = packet_of(&text);
    assert!((packet.finished.depth.to_inch() - 4.53).abs() < 0.005);
    let boxing = packet.steps.iter().find(|step| step.id == "box-outside-corners").unwrap();
    assert!(boxing.text.contains("it lies 2 in from the tip"), "{}", boxing.text);
}

/// Published boxed corners.
#[test]
fn published_boxed_bags() {
    // lazygirldesigns.com tutorial: flat 19 × 16 in, 2 in corners: 15 wide × 14 high × 4 deep.
    // sewshare.com: 2 in corners make 4 in of depth. sewitalltv.com, episode 406: a line 1 1/2 in
    // from the corner makes 3 in.
    let design = |width: &str, height: &str, depth: &str| {
        format!(
            "units = \"inch\"\n[body]\nkind = \"boxed\"\nsize = \"cut\"\nwidth = {width}\n\
             height = {height}\ndepth = {depth}\n[handles]\nkind = \"none\"\n"
        )
    };
    let finished = packet_of(&design("20", "17", "4")).finished;
    assert_eq!([finished.width, finished.height, finished.depth], ["15", "14", "4"].map(inch));
    let packet = packet_of(&design("20", "17", "3"));
    let boxing = packet.steps.iter().find(|step| step.id == "box-outside-corners").unwrap();
    assert!(boxing.text.contains("it lies 1 1/2 in from the tip"), "{}", boxing.text);
    assert_eq!(packet.finished.depth, inch("3"));
}

/// ktgreendesign.com, "Let's calculate": a tote 13 wide, 4 deep and 12 1/2 high with 1/2 in
/// allowances wraps in one piece cut 35 × 15 1/2 in; 34 in are its perimeter. In two panels each
/// has half the perimeter and its own two allowances. 13 × 12.5 × 4 in³ are 650 in³, 10.65 L
/// (1 in³ = 16.387064 mL, GNU units 2.22).
#[test]
fn published_wrap_round_tote_in_two_panels() {
    let packet = packet_of(
        "units = \"inch\"\n[body]\nkind = \"boxed\"\nwidth = 13\nheight = \"12 1/2\"\ndepth = 4\n",
    );
    let (width, height) = piece(&packet, "outside-panel").cut_size();
    assert_eq!((width * 2 - inch("1"), height), (inch("35"), inch("15 1/2")));
    assert_eq!(checkpoint(&packet, "join-rim"), "The rim now measures 34 in around.");
    assert!((packet.finished.volume.to_litres() - 10.65).abs() < 0.005);
    assert!((packet.finished.volume.to_in3() - 650.0).abs() < 0.001);
}

/// Double-fold binding is cut four times as wide as it finishes: 1/2 in from 2 in (Singer, page
/// on bias binding; thesewingloft.com).
#[test]
fn binding_is_cut_four_times_as_wide() {
    let packet = packet_of(
        "units = \"inch\"\n[body]\nkind = \"boxed\"\n[lining]\nkind = \"unlined\"\n\
         finish = \"bound\"\nbinding = \"1/2\"\n",
    );
    assert_eq!(piece(&packet, "binding").cut_size().0, inch("2"));
    // Every raw seam from edge to edge, boxed corners included: 21 + 2 × (16 + 1/2 + 1 1/2) + 8 in,
    // a tenth to spare, up to whole inches.
    assert_eq!(piece(&packet, "binding").cut_size().1, inch("72"));
}

/// A barrel's round ends are bound with bias. Length times width is area: 220 in of 3 in strip take
/// 15.71 in of a fabric 42 in wide (a published worked example); our square, with what is lost along
/// its sides, never less. (s − 1)² / w gives the strip (published charts of bias yields).
#[test]
fn curved_seams_take_a_square_of_bias() {
    assert!((220.0_f64 * 3.0 / 42.0 - 15.71).abs() < 0.01);
    for (long, across) in [("18", "10"), ("24", "12 1/2"), ("37", "12 1/2")] {
        let packet = packet_of(&format!(
            "units = \"inch\"\n[body]\nkind = \"duffel\"\nlength = {long}\ndiameter = \"{across}\"\n\
             [handles]\nkind = \"none\"\n[lining]\nkind = \"unlined\"\nfinish = \"bound\"\n\
             binding = \"1/2\"\n"
        ));
        let (side, other) = piece(&packet, "binding").cut_size();
        assert_eq!(side, other);
        let step = packet.steps.iter().find(|step| step.id == "cut-binding").unwrap();
        assert!(step.text.contains("bias strips 2 in wide"), "{}", step.text);
        // Round both ends and along the base, as sewn.
        let ends = 2.0 * std::f64::consts::PI * inch(across).to_inch();
        let seams = ends + inch(long).to_inch();
        let given = (side.to_inch() - 1.0).powi(2) / 2.0;
        assert!(given >= seams, "{given} of {seams}");
        let least = seams * 2.0 / side.to_inch();
        assert!(side.to_inch() >= least && given <= seams * 1.3, "{side:?}: {given} of {seams}");
    }
}

/// ISO 216: A4 is 210 × 297 mm. With room around it the flat bag's girth goes round a book of it.
#[test]
fn a_flat_bag_holds_a_book() {
    let packet = packet_of(
        "units = \"mm\"\n[body]\nkind = \"flat\"\nsize = \"fits\"\nholds = \"a4-book\"\nease = 20\n",
    );
    let finished = packet.finished;
    assert!(finished.width * 2 >= Length::mm((210 + 15) * 2), "{finished:?}");
    assert!(finished.height >= Length::mm(297), "{finished:?}");
    assert!(finished.width <= Length::mm(210 + 15 + 20 + 10), "no wider than asked, {finished:?}");
}

/// The sum that is bought: what is used, 1 in for squaring up, and what is lost in the wash:
/// (26 + 1) / (1 − 0.1) = 30 in, which is 7/8 yd (31 1/2 in).
#[test]
fn squaring_and_shrinkage_are_added_before_rounding_up() {
    let packet = packet_of(
        "units = \"inch\"\n[body]\nkind = \"boxed\"\n[[pocket]]\nkind = \"patch\"\n\
         [fabric.lining]\nname = \"lining\"\nusable = 42\nshrinks-in-length = 10\n",
    );
    let layout = cut(&packet, "lining").layout.as_ref().expect("it fits");
    assert_eq!((layout.length, layout.needed), (inch("26"), inch("30")));
    assert_eq!(yardage(&packet, "lining").1, "7/8 yd");
}

/// Strips first, with a 24 in ruler: two panels of 21 × 17 in from 42 in are one strip of 17 in, cut
/// from fabric folded selvedge on selvedge, 21 in on the table.
#[test]
fn panels_are_cut_from_a_strip() {
    let shop = "cutting = \"strips-first\"\n[fabric.outside]\nname = \"canvas\"\nwidth = 42\n\
                usable = 42\n[handles]\nkind = \"none\"\n";
    let packet = packet_of(&bag_with(shop));
    let layout = cut(&packet, "canvas").layout.as_ref().expect("everything fits");
    assert_eq!((layout.length, layout.proof), (inch("17"), Proof::Shortest));
    let strip = layout.cuts.first().expect("it is cut in strips");
    assert_eq!((strip.extent(), strip.layers, strip.length()), (inch("42"), 2, inch("21")));

    // With a ruler of 12 in the panels cannot be cut from their strip: the finding names the piece.
    let short = bag_with(&shop.replacen("strips-first\"", "strips-first\"\nlongest-cut = 12", 1));
    let built = packet::build(&read("design.toml", &short));
    let finding = built.findings.iter().find(|finding| finding.check == "fits-the-fabric");
    let finding = finding.expect("it does not fit");
    assert!(finding.message.contains("needs a cut of 17 in"), "{}", finding.message);
}
