//! Packets from design files: goldens of the examples, figures of the trade, faulty designs, and
//! random designs.

mod bodies;
mod faulty;
mod golden;
mod handles;
mod kit;
mod largest;
mod linings;
mod mended;
mod pockets;
mod random;
mod refusals;
mod takes;
mod trade;

use std::fs;
use std::path::{Path, PathBuf};

use bag::{Design, Severity};
use packet::{Built, Packet};

/// The root of the workspace.
fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// The design files of a folder of the workspace: name without ending, and text; in order.
fn designs_in(folder: &str) -> Vec<(String, String)> {
    let folder = root().join(folder);
    let entries = fs::read_dir(&folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
    let mut designs: Vec<(String, String)> = entries
        .map(|entry| entry.expect("the folder can be listed").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .map(|path| {
            let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
            (name, fs::read_to_string(&path).expect("a design is text"))
        })
        .collect();
    designs.sort();
    designs
}

/// Reads a design that must be understood.
#[track_caller]
fn read(name: &str, text: &str) -> Design {
    store::read_design(name, text).unwrap_or_else(|problems| {
        let problems: Vec<String> = problems.iter().map(ToString::to_string).collect();
        panic!("{}", problems.join("\n"))
    })
}

/// The packet of a design that must have no error among its findings.
#[track_caller]
fn packet_of(text: &str) -> Packet {
    let Built { packet, findings, .. } = packet::build(&read("design.toml", text));
    let errors: Vec<_> = findings.iter().filter(|f| f.severity == Severity::Error).collect();
    assert!(errors.is_empty(), "{errors:#?}");
    packet.expect("without an error there is a packet")
}
