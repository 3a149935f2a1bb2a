//! Pattern files: what is written reads back to the same packet, what is wrong is told, and
//! nothing that reads makes anything panic.

use std::fs;
use std::path::{Path, PathBuf};

use bag::Pattern;
use bag::design::{Chosen, Design};
use bag::{bodies, handles, linings, pockets};
use measure::Units;
use packet::Reading;
use store::{packet_json, read_pattern, write_pattern};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn files_in(folder: &str) -> Vec<(String, String)> {
    let entries = fs::read_dir(root().join(folder)).expect("the folder is there");
    let mut files: Vec<(String, String)> = entries
        .map(|entry| entry.expect("it can be listed").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .map(|path| (path.display().to_string(), fs::read_to_string(&path).expect("it is text")))
        .collect();
    files.sort();
    files
}

#[track_caller]
fn read(name: &str, text: &str) -> Pattern {
    read_pattern(name, text).unwrap_or_else(|problems| {
        let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
        panic!("{name}\n{}", told.join("\n"))
    })
}

/// Writes and reads a pattern: the packet's JSON is the same, byte for byte, and so is the file.
#[track_caller]
fn comes_back(name: &str, pattern: &Pattern) {
    let text = write_pattern(pattern);
    let again = read(name, &text);
    assert_eq!(write_pattern(&again), text, "{name}");
    assert_eq!(format!("{again:?}").replace("Words(\"\"), ", ""), format!("{pattern:?}"), "{name}");
    let json = |pattern: &Pattern| {
        let system = pattern.units.system();
        let built = packet::from_pattern(pattern.clone(), system, Reading::Own, Vec::new());
        packet_json(&built.packet.expect("a pattern gives a packet"))
    };
    assert_eq!(json(&again), json(pattern), "{name}");
}

fn drafted(name: &str, design: &Design) -> Option<Pattern> {
    let drafted = bag::draft(design);
    assert!(drafted.pattern.is_some() || !drafted.findings.is_empty(), "{name}");
    drafted.pattern
}

#[test]
fn every_example_comes_back() {
    let mut count = 0;
    for folder in ["examples", "examples/faulty"] {
        for (name, text) in files_in(folder) {
            let design = store::read_design(&name, &text).expect("an example is understood");
            let Some(pattern) = drafted(&name, &design) else { continue };
            comes_back(&name, &pattern);
            count += 1;
        }
    }
    assert!(count >= 10, "{count} patterns came back");
}

#[test]
fn every_kind_comes_back_with_every_other() {
    let mut count = 0;
    for units in [Units::Inch, Units::Mm] {
        let system = units.system();
        for body in bodies::ALL {
            for lining in linings::ALL {
                for handle in handles::ALL {
                    let mut design = Design::of(*body, units);
                    design.lining = Chosen::new(*lining, system);
                    design.handles = Chosen::new(*handle, system);
                    let pocket = pockets::ALL[count % pockets::ALL.len()];
                    design.pockets = vec![Chosen::new(pocket, system)];
                    let name = format!(
                        "{} {} {} {} {system}",
                        body.name(),
                        lining.name(),
                        handle.name(),
                        pocket.name()
                    );
                    if let Some(pattern) = drafted(&name, &design) {
                        comes_back(&name, &pattern);
                        count += 1;
                    }
                }
            }
        }
    }
    assert!(count >= 10, "{count} patterns came back");
}
