//! Designs that can be read and must not be sewn as they are: each is a slip that a teacher has
//! seen, and its first line says which check finds it.

use bag::Severity;
use expect_test::expect_file;

use crate::{designs_in, read, root};

/// "error fits-the-fabric" from `# Expected: error fits-the-fabric. …`.
fn expected(name: &str, text: &str) -> (Severity, String) {
    let first = text.lines().next().unwrap_or_default();
    let told = first.strip_prefix("# Expected: ").and_then(|rest| rest.split_once('.'));
    let (severity, check) = told
        .and_then(|(told, _)| told.split_once(' '))
        .unwrap_or_else(|| panic!("{name}: the first line does not say what is expected"));
    let severity = [Severity::Note, Severity::Warning, Severity::Error]
        .into_iter()
        .find(|known| known.word() == severity)
        .unwrap_or_else(|| panic!("{name}: `{severity}` is no severity"));
    (severity, check.to_owned())
}

#[test]
fn each_faulty_design_is_found_out_by_the_check_it_names() {
    let designs = designs_in("examples/faulty");
    assert!(designs.len() >= 8, "there are at least eight faulty designs");
    for (name, text) in designs {
        let (severity, check) = expected(&name, &text);
        let built = packet::build(&read(&name, &text));
        let worst = built.findings.first().unwrap_or_else(|| panic!("{name}: nothing was found"));
        assert_eq!((worst.severity, worst.check), (severity, check.as_str()), "{name}: {worst:#?}");
        assert!(!worst.message.is_empty() && !worst.cure.is_empty(), "{name}: {worst:#?}");
        let others = built.findings.iter().filter(|f| f.severity > Severity::Note);
        assert!(others.clone().all(|f| f.check == check), "{name}: {:#?}", built.findings);
    }
}

/// Every check that a design file can set off is set off by one of the faulty designs.
#[test]
fn the_faulty_designs_set_off_most_checks() {
    let mut named: Vec<String> =
        designs_in("examples/faulty").iter().map(|(name, text)| expected(name, text).1).collect();
    named.sort();
    named.dedup();
    assert_eq!(
        named,
        [
            "can-be-drafted",
            "fits-the-fabric",
            "handles-have-room",
            "joined-edges-match",
            "lies-flat",
            "print-stands-upright",
            "strip-joins",
            "turning-has-opening",
        ]
    );
}

#[test]
fn the_findings_read_as_they_were_reviewed() {
    let mut text = String::new();
    for (name, design) in designs_in("examples/faulty") {
        text.push_str(&format!("{name}\n"));
        for finding in packet::build(&read(&name, &design)).findings {
            let place = finding.place.parameter.as_deref().or(finding.place.piece.as_deref());
            text.push_str(&format!(
                "  {} at {}: {}\n    = {}\n",
                finding.severity.word(),
                place.or(finding.place.step.as_deref()).unwrap_or("nowhere"),
                finding.message,
                finding.cure
            ));
        }
    }
    expect_file![root().join("golden/faulty.txt")].assert_eq(&text);
}

#[test]
fn unreadable_designs_tell_every_mistake_at_once() {
    let designs = designs_in("examples/unreadable");
    assert!(designs.len() >= 2, "there are at least two unreadable designs");
    let mut text = String::new();
    for (name, design) in designs {
        let file = format!("{name}.toml");
        let problems = store::read_design(&file, &design).expect_err("it cannot be understood");
        assert!(problems.len() > 1, "{name} has one mistake only");
        for problem in problems {
            text.push_str(&format!("{problem}\n"));
        }
        text.push('\n');
    }
    expect_file![root().join("golden/unreadable.txt")].assert_eq(&text);
}
