//! What a paper pattern says, held against arithmetic and cloth: every claim that cannot be, with
//! both numbers and the cure, and every claim that was checked and is fine.
//!
//! Only what is claimed is judged, and a claim "cannot be" only where that is proven; what merely
//! could not be confirmed is a warning. Where one slip would show in several numbers it is told
//! once: what follows from a wrong number is judged by the number that the pattern claims.

mod claims;
mod counts;
mod judge;
mod pockets;
mod size;
mod straps;
#[cfg(test)]
mod tests;
mod yardage;

pub use claims::{
    Body, Claims, Corners, FabricClaim, Feet, Layers, PieceClaim, PocketClaim, PocketMake, Seam,
    Seams, SizeClaim, StrapClaim,
};
pub use yardage::LaidFabric;

use bag::{Finding, Place, Severity};
use measure::System;

/// What came of an audit.
#[derive(Clone, Debug)]
pub struct Audit {
    /// What cannot be, what is doubtful, and what is worth knowing; errors first, otherwise in the
    /// order of the pattern.
    pub findings: Vec<Finding>,
    /// Claims that were checked and are fine, in the order of the pattern.
    pub fine: Vec<Fine>,
    /// The layouts behind what is said of yardage, one for each fabric that anything is cut from.
    pub laid: Vec<LaidFabric>,
}

/// A claim that was checked and is fine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fine {
    /// Name of the check, in kebab case.
    pub check: &'static str,
    /// Where the claim stands, as a parameter such as `fabric[1].yardage`.
    pub place: Place,
    /// One sentence with the numbers.
    pub message: String,
}

impl Audit {
    /// How many findings there are of a severity.
    pub fn count(&self, severity: Severity) -> usize {
        self.findings.iter().filter(|finding| finding.severity == severity).count()
    }

    /// Whether no claim was found that cannot be.
    pub fn is_clean(&self) -> bool {
        self.count(Severity::Error) == 0
    }
}

/// Judges every claim, and speaks in the units of the pattern.
pub fn audit(claims: &Claims) -> Audit {
    audit_for(claims, claims.units.system())
}

/// Judges every claim, and speaks in the units of the reader.
pub fn audit_for(claims: &Claims, system: System) -> Audit {
    let mut judge = judge::Judge::new(claims, system);
    counts::judge(&mut judge);
    let laid = yardage::judge(&mut judge);
    size::judge(&mut judge);
    straps::judge(&mut judge);
    pockets::judge(&mut judge);
    judge.done(laid)
}
