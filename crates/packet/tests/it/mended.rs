//! Designs that random ones once showed to come out wrong, each with what was mended.

use std::collections::BTreeSet;

use measure::Length;

use crate::{packet_of, read};

/// Two interfacings without a name, and one fused in two ways: every group is a step of its own,
/// with an id of its own.
#[test]
fn interfacings_without_a_name_are_steps_of_their_own() {
    let packet = packet_of(
        "units = \"mm\"\n[body]\nkind = \"boxed\"\n[handles]\nkind = \"folded\"\n\
         [lining]\nkind = \"turned\"\n[interfacing.outside]\nheld = \"block\"\n\
         [interfacing.handle]\nheld = \"fused\"\ncut = \"full\"\n\
         [interfacing.lining]\nheld = \"fused\"\ncut = \"full\"\nwidth = 500\n",
    );
    let ids: BTreeSet<&str> = packet.steps.iter().map(|step| step.id.as_str()).collect();
    assert_eq!(ids.len(), packet.steps.len());
    assert_eq!(ids.iter().filter(|id| id.starts_with("interface-")).count(), 2);
}

/// The sides of a lining that is cut smaller run parallel to those of the outside, however far they
/// lean: both are boxed at the same mark to the same depth.
#[test]
fn a_leaning_lining_is_boxed_as_deep_as_its_outside() {
    let packet = packet_of(
        "units = \"mm\"\n[body]\nkind = \"boxed\"\nwidth = 300\nheight = 300\ndepth = 200\n\
         taper = 300\n[lining]\nkind = \"turned\"\nease = 10\n",
    );
    let net = |id: &str| {
        let piece = packet.pattern.pieces.iter().find(|piece| piece.id == id);
        piece.expect("there is such a piece").net.clone()
    };
    let lean = |id: &str| {
        let net = net(id);
        let (base, top) = (net.edge_length(0).to_mm(), net.edge_length(2).to_mm());
        let (low, high) = net.bounds();
        (top - base) / (high.y - low.y).to_mm()
    };
    assert!((lean("outside-panel") - lean("lining-panel")).abs() < 1e-6);
    let rims = ["outside-panel", "lining-panel"].map(|id| net(id).edge_length(2));
    assert_eq!(rims[0] - rims[1], Length::mm(10));
}

/// A hem that would reach past the seam of a contrast base is refused at that parameter.
#[test]
fn a_contrast_base_stays_clear_of_the_hem() {
    let design = |base: &str| {
        read(
            "design.toml",
            &format!(
                "units = \"inch\"\n[body]\nkind = \"boxed\"\nwidth = 16\nheight = 10\ndepth = 4\n\
             contrast-base = \"{base}\"\n[lining]\nkind = \"unlined\"\nhem = 2\n"
            ),
        )
    };
    let refused = |base: &str| {
        let built = packet::build(&design(base));
        let at_base = |finding: &&bag::Finding| {
            finding.check == bag::draft::REFUSED
                && finding.place.parameter.as_deref() == Some("body.contrast-base")
        };
        built.findings.iter().find(at_base).map(|finding| finding.cure.clone())
    };
    assert_eq!(refused("7"), None);
    assert_eq!(refused("7 1/2").as_deref(), Some("make it 7 in or less"));
}

/// A panel that is backed by lining fabric and has interfacing, too, is stiffened while it is a
/// single layer.
#[test]
fn a_panel_is_stiffened_before_it_is_backed() {
    let packet = packet_of(
        "units = \"mm\"\n[body]\nkind = \"boxed\"\n[lining]\nkind = \"backed\"\n\
         [interfacing.outside]\nheld = \"fused\"\n",
    );
    let at = |begins: &str| {
        let step = packet.steps.iter().position(|step| step.id.starts_with(begins));
        step.unwrap_or_else(|| panic!("no step begins with {begins}"))
    };
    assert!(at("interface-") < at("back-"));
}
