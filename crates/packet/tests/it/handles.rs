//! Figures of handles. Common practice, no source, unless a source is named.

use bag::{Finding, Severity};
use packet::Built;

use crate::read;

fn built(handles: &str) -> Built {
    let text = format!("units = \"inch\"\n[body]\nkind = \"boxed\"\n[handles]\n{handles}\n");
    packet::build(&read("design.toml", &text))
}

/// What is said of rings, with its severity; nothing when they are as wide as the webbing.
fn of_rings(hardware: &str) -> Option<(Severity, String)> {
    let handles = format!("kind = \"rings\"\nwidth = 1\nhardware = \"{hardware}\"");
    let findings = built(&handles).findings.into_iter();
    let at = |finding: &Finding| finding.place.parameter.as_deref() == Some("handles.hardware");
    findings.filter(at).map(|finding| (finding.severity, finding.message)).next()
}

/// Hardware for 25 mm is sold for webbing of 1 in, which is 25.4 mm: it goes, and is told. What is a
/// millimetre off goes too; what is narrower does not let the webbing through.
#[test]
fn rings_go_with_webbing_within_a_millimetre() {
    let said = |severity, message: &str| Some((severity, message.to_owned()));
    let goes = "hardware for 25 mm goes with webbing 1 in wide, which is not quite the same";
    assert_eq!(of_rings("25 mm"), said(Severity::Warning, goes));
    let goes = "hardware for 26 mm goes with webbing 1 in wide, which is not quite the same";
    assert_eq!(of_rings("26 mm"), said(Severity::Warning, goes));
    let refused = "webbing 1 in wide does not go through hardware for 24 mm";
    assert_eq!(of_rings("24 mm"), said(Severity::Error, refused));
    let slips =
        "webbing 1 in wide slips together in hardware for 30 mm, and a slider does not hold it";
    assert_eq!(of_rings("30 mm"), said(Severity::Warning, slips));
    assert_eq!(of_rings("1 in"), None);
    assert!(built("kind = \"rings\"\nwidth = 1\nhardware = \"25 mm\"").packet.is_some());
}

/// What carries shopping or tools gets a patch of fabric behind each place that is pulled; a phone
/// and a purse need none.
#[test]
fn the_load_decides_what_is_laid_behind() {
    for kind in ["rings", "grab-loop", "cross-body"] {
        for (load, patched) in [("light", false), ("everyday", true), ("heavy", true)] {
            let packet = built(&format!("kind = \"{kind}\"\ncarries = \"{load}\"")).packet.unwrap();
            let patch = packet.pattern.pieces.iter().any(|piece| piece.name.contains("patch"));
            assert_eq!(patch, patched, "{kind}, {load}");
            let told = packet
                .steps
                .iter()
                .any(|step| step.text.contains("behind the place that will carry"));
            assert_eq!(told, patched, "{kind}, {load}");
        }
    }
}

/// The seam along a zip holds a loop that is set into it, as the seam at a rim does, with and without
/// a lining: nothing has to be sewn across it besides.
#[test]
fn the_seam_along_a_zip_holds_a_loop() {
    let mut refused = Vec::new();
    for body in ["zip-pouch", "boxed-pouch", "duffel"] {
        for handle in bag::handles::ALL {
            for lining in bag::linings::ALL {
                let (handle, lining) = (handle.name(), lining.name());
                let text = format!(
                    "units = \"inch\"\n[body]\nkind = \"{body}\"\n[handles]\nkind = \"{handle}\"\n\
                     [lining]\nkind = \"{lining}\"\n"
                );
                let built = packet::build(&read("design.toml", &text));
                let across =
                    |it: &Finding| it.message.contains("are sewn across where the pull comes");
                if built.findings.iter().any(across) {
                    refused.push(format!("{body}, {handle}, {lining}"));
                }
            }
        }
    }
    assert_eq!(refused, Vec::<String>::new());
}
