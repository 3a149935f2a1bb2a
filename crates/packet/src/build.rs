//! Design to packet.

use std::collections::BTreeMap;

use bag::assembly::Assembly;
use bag::checks::{self, Context};
use bag::draft::{Drafted, Settled};
use bag::finding::Place;
use bag::{Design, Finding, Pattern, Severity};
use layout::NoLayout;
use measure::System;

use crate::cut::{self, Effort};
use crate::{Finished, Packet, Reading, telling, widths};

/// A packet, unless the design is impossible; and what was found.
#[derive(Clone, Debug)]
pub struct Built {
    /// The packet, if there can be one.
    pub packet: Option<Packet>,
    /// What was found, errors first; the packet has the same.
    pub findings: Vec<Finding>,
    /// What the sizes and places come to that the design may leave out, by parameter; nothing for a
    /// pattern that was not drafted.
    pub settled: Settled,
}

/// Builds the packet of a design, with first layouts, in the design's own units.
pub fn build(design: &Design) -> Built {
    build_for(design, design.system(), Reading::Own)
}

/// Builds the packet for a reader's ruler. `Redrafted` expects a design that has been drafted anew
/// for that ruler; `Converted` reads the same pieces off it.
pub fn build_for(design: &Design, system: System, reading: Reading) -> Built {
    let Drafted { pattern, findings, settled, asked_at } = bag::draft(design);
    match pattern {
        Some(pattern) => {
            let mut built = Built { settled, ..from_pattern(pattern, system, reading, findings) };
            built.findings.iter_mut().for_each(|finding| at_parameter(finding, &asked_at));
            if let Some(packet) = &mut built.packet {
                packet.findings.clone_from(&built.findings);
            }
            built
        }
        None => Built { packet: None, findings: sorted(findings), settled },
    }
}

/// What is wrong with a piece is looked for where the design asks for it.
fn at_parameter(finding: &mut Finding, asked_at: &BTreeMap<String, String>) {
    let place = &mut finding.place;
    if finding.severity != Severity::Note && place.parameter.is_none() {
        let asked = place.piece.as_ref().and_then(|name| asked_at.get(name));
        place.parameter = asked.map(|at| match (at.rsplit_once('.'), place.field) {
            (Some((section, _)), Some(field)) => format!("{section}.{field}"),
            _ => at.clone(),
        });
    }
}

/// Builds the packet of a pattern, however it was made.
pub fn from_pattern(
    pattern: Pattern,
    system: System,
    reading: Reading,
    found: Vec<Finding>,
) -> Built {
    let mut findings = found;
    let work = Assembly::sew(&pattern);
    let context = Context { pattern: &pattern, sewn: &work };
    findings.extend(checks::ALL.iter().flat_map(|check| (check.run)(&context)));
    let finished = Finished::of(&work);
    let steps = telling::tell(&work, system);
    let cuts = cut::cut_all(&pattern, Effort { rounds: 0 });
    let trouble = cuts.iter().filter_map(|cut| Some((cut.title(&pattern), cut.trouble.clone()?)));
    findings.extend(troubles(&pattern, trouble, &findings));
    let findings = sorted(findings);
    let webbing = cut::webbing(&pattern);
    let widths = widths::widths(&pattern, &cuts, system);
    drop(work);
    let packet = Packet {
        pattern,
        system,
        reading,
        finished,
        cuts,
        webbing,
        widths,
        steps,
        findings: findings.clone(),
    };
    Built { packet: Some(packet), findings, settled: Settled::new() }
}

/// The same packet with layouts improved in so many rounds; the same packet and rounds always give
/// the same.
#[must_use]
pub fn refine(packet: &Packet, rounds: u32) -> Packet {
    let mut better = packet.clone();
    better.cuts = cut::cut_all(&packet.pattern, Effort { rounds });
    better
}

/// The first error that a packet of this design would have, without its layouts: a fraction of the
/// time of [`build`].
pub(crate) fn first_error(design: &Design) -> Option<Finding> {
    let drafted = bag::draft(design);
    let mut findings = drafted.findings;
    if let Some(pattern) = &drafted.pattern {
        findings.extend(checks::run(pattern));
        let found = troubles(pattern, cut::troubles(pattern), &findings);
        findings.extend(found);
    }
    sorted(findings).into_iter().next().filter(|first| first.severity == Severity::Error)
}

/// Cloths on which something does not fit, each with its name, unless a check has said so.
fn troubles(
    pattern: &Pattern,
    cloths: impl IntoIterator<Item = (String, NoLayout)>,
    found: &[Finding],
) -> Vec<Finding> {
    const NAME: &str = "fits-the-fabric";
    let told = |finding: &Finding| {
        finding.check == NAME
            || (finding.check == "strip-joins" && finding.severity == Severity::Error)
    };
    if found.iter().any(told) {
        return Vec::new();
    }
    let system = pattern.units.system();
    let error = |(name, trouble): (String, NoLayout)| {
        let cure = match trouble {
            NoLayout::LongCut(_) => {
                "let it be turned, raise `longest-cut`, or set `cutting` to `free` under `[shop]`"
            }
            _ => "use wider fabric, or let pieces be turned or joined",
        };
        let message = format!("{name}: {}", trouble.describe(system));
        Finding::error(NAME, Place::nowhere(), message, cure.to_owned())
    };
    cloths.into_iter().map(error).collect()
}

fn sorted(mut findings: Vec<Finding>) -> Vec<Finding> {
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.severity));
    findings
}
