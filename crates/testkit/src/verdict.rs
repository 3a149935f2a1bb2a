//! What becomes of a design: it is built, it is refused with a reason, or something of ours failed.

use std::collections::BTreeSet;
use std::panic::{AssertUnwindSafe, catch_unwind};

use bag::{Design, Finding, Severity};
use packet::Packet;

/// What became of a design.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It sews, with no error.
    Built,
    /// It is refused: the reasons, each with its place and its cure.
    Refused(Vec<Finding>),
    /// A mistake of ours, in words.
    Failed(String),
}

/// Checks whose errors would mean a mistake of ours: nobody can ask for them in a design.
const OURS: &[&str] = &[
    "joined-edges-match",
    "allowances-agree",
    "finished-size",
    "faces-meet",
    "turning-has-opening",
    "openings-closed",
    "machine-reaches",
    "left-and-right",
];

/// Builds the design and judges what comes out. A panic is a failure.
pub fn judge(design: &Design) -> Verdict {
    match catch_unwind(AssertUnwindSafe(|| judged(design))) {
        Ok(Ok(verdict)) => verdict,
        Ok(Err(why)) => Verdict::Failed(why),
        Err(panic) => {
            let text = panic
                .downcast_ref::<String>()
                .cloned()
                .or_else(|| panic.downcast_ref::<&str>().map(|text| (*text).to_owned()));
            Verdict::Failed(format!("panic: {}", text.unwrap_or_default()))
        }
    }
}

fn judged(design: &Design) -> Result<Verdict, String> {
    let built = packet::build(design);
    for finding in &built.findings {
        if finding.message.is_empty() || finding.cure.is_empty() {
            return Err(format!("it has no reason or no cure: {finding:?}"));
        }
        if let Some(text) = [&finding.message, &finding.cure].into_iter().find(|it| is_less(it)) {
            return Err(format!("it tells less than nothing: {text}"));
        }
        // A lining may be asked for so much smaller that no seam eases it in.
        let asked = finding.message.contains("eases in");
        if is_error(finding) && OURS.contains(&finding.check) && !asked {
            return Err(format!("{}: {} ({:?})", finding.check, finding.message, finding.place));
        }
    }
    let errors: Vec<Finding> = built.findings.into_iter().filter(is_error).collect();
    let Some(packet) = built.packet else {
        let refused = errors.iter().any(|finding| finding.check == bag::draft::REFUSED);
        return if refused {
            Ok(Verdict::Refused(errors))
        } else {
            Err("no packet, and no reason".to_owned())
        };
    };
    reads_well(&packet)?;
    is_the_same_again(design, &packet)?;
    Ok(if errors.is_empty() { Verdict::Built } else { Verdict::Refused(errors) })
}

/// Whether a text tells a length that is less than nothing: "-3 in".
fn is_less(text: &str) -> bool {
    text.split_whitespace().any(|word| {
        let mut letters = word.trim_start_matches('(').chars();
        letters.next() == Some('-') && letters.next().is_some_and(|next| next.is_ascii_digit())
    })
}

fn is_error(finding: &Finding) -> bool {
    finding.severity == Severity::Error
}

/// Steps have names of their own and whole sentences, and pieces have a size.
fn reads_well(packet: &Packet) -> Result<(), String> {
    let mut ids = BTreeSet::new();
    for step in &packet.steps {
        if !ids.insert(step.id.as_str()) {
            return Err(format!("two steps are called {}", step.id));
        }
        let text = step.text.as_str();
        if text.len() <= 10 || !text.ends_with('.') || text.contains("  ") || text.contains(" .") {
            return Err(format!("step {} reads: {text}", step.id));
        }
    }
    for piece in &packet.pattern.pieces {
        let (width, height) = piece.cut_size();
        if !width.is_positive() || !height.is_positive() {
            return Err(format!("the {} has no size", piece.name));
        }
    }
    Ok(())
}

/// Written to a file and read again it is the same pattern; built again it is the same packet.
fn is_the_same_again(design: &Design, packet: &Packet) -> Result<(), String> {
    // A file may not say that more of a cloth is usable than is bought; drawn values may.
    let mut clothes = packet.pattern.materials.iter().filter_map(bag::pattern::Material::cloth);
    if clothes.all(|cloth| cloth.usable_width <= cloth.bought_width) {
        let written = store::write_pattern(&packet.pattern);
        let read = store::read_pattern("explained.toml", &written).map_err(|problems| {
            let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
            told.join("\n")
        })?;
        if format!("{read:?}") != format!("{:?}", packet.pattern) {
            return Err("the pattern is another one after it was written and read".to_owned());
        }
    }
    let again = packet::build(design).packet;
    let same = again.is_some_and(|again| store::packet_json(&again) == store::packet_json(packet));
    if same { Ok(()) } else { Err("built again it is another packet".to_owned()) }
}
