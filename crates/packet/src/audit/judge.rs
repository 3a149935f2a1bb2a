//! The one who judges: collects what cannot be and what is fine, and words numbers.

use bag::{Finding, Place, Severity};
use measure::{Length, Rounding, Ruler, System, show_bought, show_length};

use super::{Audit, Claims, Fine, LaidFabric, PieceClaim};

/// A judgement in the making.
pub(super) struct Judge<'a> {
    pub(super) claims: &'a Claims,
    pub(super) system: System,
    findings: Vec<Finding>,
    fine: Vec<Fine>,
}

/// A number of the pattern against the one that was worked out.
pub(super) struct Compared<'a> {
    pub(super) check: &'static str,
    /// Where the claim stands.
    pub(super) place: &'a str,
    /// What is claimed, without its article: "finished height".
    pub(super) what: &'a str,
    pub(super) claimed: Length,
    pub(super) found: Length,
    /// How far apart they may be.
    pub(super) within: Length,
    /// What the number comes from: "panels cut 21 × 17 in with seams of 1/2 in".
    pub(super) by: String,
    /// What would give the claimed number.
    pub(super) cure: String,
}

impl<'a> Judge<'a> {
    pub(super) fn new(claims: &'a Claims, system: System) -> Self {
        Self { claims, system, findings: Vec::new(), fine: Vec::new() }
    }

    pub(super) fn wrong(
        &mut self,
        check: &'static str,
        place: &str,
        message: String,
        cure: String,
    ) {
        self.findings.push(Finding::error(check, Place::parameter(place), message, cure));
    }

    pub(super) fn doubt(
        &mut self,
        check: &'static str,
        place: &str,
        message: String,
        cure: String,
    ) {
        self.findings.push(Finding::warning(check, Place::parameter(place), message, cure));
    }

    pub(super) fn note(&mut self, check: &'static str, place: &str, message: String, cure: String) {
        self.findings.push(Finding::note(check, Place::parameter(place), message, cure));
    }

    pub(super) fn fine(&mut self, check: &'static str, place: &str, message: String) {
        self.fine.push(Fine { check, place: Place::parameter(place), message });
    }

    /// Holds a claim against what was worked out; whether it stands.
    pub(super) fn compare(&mut self, compared: Compared<'_>) -> bool {
        let Compared { check, place, what, claimed, found, within, by, cure } = compared;
        let stands = (claimed - found).abs() <= within;
        let (said, is) = self.pair(claimed, found);
        if stands {
            let shown = if said == is { said } else { format!("{said} (exactly {is})") };
            self.fine(check, place, format!("{what} {shown}: {by}"));
        } else {
            let given = if found.is_positive() { is } else { "nothing at all".to_owned() };
            let message = format!("the pattern says a {what} of {said}; {by}: that gives {given}");
            self.wrong(check, place, message, cure);
        }
        stands
    }

    /// Says that a claim cannot be judged for want of a number.
    pub(super) fn unsaid(&mut self, check: &'static str, place: &str, claim: &str, wants: &str) {
        let message = format!("{claim} cannot be judged: the pattern does not say {wants}");
        self.doubt(check, place, message, format!("say {wants}"));
    }

    /// How many claims could not be, if it were judged so.
    pub(super) fn trial(&self, judge: impl FnOnce(&mut Judge<'a>)) -> usize {
        let mut trial = Judge::new(self.claims, self.system);
        judge(&mut trial);
        trial.findings.iter().filter(|finding| finding.severity == Severity::Error).count()
    }

    pub(super) fn piece(&self, index: usize) -> Option<&'a PieceClaim> {
        self.claims.pieces.get(index)
    }

    pub(super) fn show(&self, length: Length) -> String {
        show_length(length, self.system)
    }

    /// Cloth as the shop sells it, with the ruler's number where the two differ: "3/8 yd".
    pub(super) fn cloth(&self, length: Length) -> String {
        show_bought(length, self.system)
    }

    /// What is needed is never understated.
    pub(super) fn up(&self, length: Length) -> String {
        let ruler = match self.system {
            System::Inch => Ruler::SIXTEENTH_INCH,
            System::Metric => Ruler::MM,
        };
        self.show(ruler.round(length, Rounding::Up))
    }

    /// Two lengths in words that differ if the lengths do, however small the difference.
    pub(super) fn pair(&self, one: Length, other: Length) -> (String, String) {
        let shown = (self.show(one), self.show(other));
        if one == other || shown.0 != shown.1 {
            return shown;
        }
        let exact = |length: Length| match self.system {
            System::Inch => format!("{:.3} in", length.to_inch()),
            System::Metric => format!("{:.2} mm", length.to_mm()),
        };
        (exact(one), exact(other))
    }

    /// A small length that a person's scissors do not see: 1/16 in or 2 mm.
    pub(super) fn hair(&self) -> Length {
        match self.claims.units.system() {
            System::Inch => Length::inch_frac(1, 16),
            System::Metric => Length::mm(2),
        }
    }

    /// Everything, errors first.
    pub(super) fn done(mut self, laid: Vec<LaidFabric>) -> Audit {
        self.findings.sort_by_key(|finding| match finding.severity {
            Severity::Error => 0,
            Severity::Warning => 1,
            Severity::Note => 2,
        });
        Audit { findings: self.findings, fine: self.fine, laid }
    }
}

/// "1 piece", "4 pieces".
pub(super) fn counted(count: u64, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}
