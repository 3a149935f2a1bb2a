//! Set a zip.

use measure::Length;

use super::{Operation, Telling, Told};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Run};

/// Set a zip between two edges, or into a slit.
#[derive(Clone, Debug)]
pub struct SetZip {
    /// What it is called: "the zip".
    pub what: String,
    /// Length of the zip, stop to stop.
    pub length: Length,
    /// Where it goes.
    pub into: ZipInto,
    /// How far from the teeth the fabric's edge lies.
    pub from_teeth: Length,
    /// Stitch length.
    pub stitch: Length,
}

/// Where a zip goes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ZipInto {
    /// Between two edges, sewn with the allowance to each.
    Edges([Run; 2], Length),
    /// Into the slit of a panel.
    Slit(CopyId),
}

impl Operation for SetZip {
    fn word(&self) -> &'static str {
        "zip"
    }

    fn tell(&self, t: &Telling<'_>) -> Told {
        let stitch = t.stitch(self.stitch);
        let teeth = t.len(self.from_teeth);
        match &self.into {
            ZipInto::Edges(sides, allowance) => Told::new(format!(
                "Set {} ({} long) between {} and {}: lay it on each edge, right sides together, \
                 its tape level with the raw edge, and sew {} from the edge with the zip foot \
                 (stitch length {stitch}). Press the fabric away from the teeth and edgestitch it, \
                 {teeth} from them.",
                self.what,
                t.len(self.length),
                t.names(&sides[0].copies()),
                t.names(&sides[1].copies()),
                t.len(*allowance),
            ))
            .mind("open the zip halfway before you sew past its slider."),
            ZipInto::Slit(copy) => Told::new(format!(
                "Turn the edges of the slit in the {} to the wrong side and press. Lay {} ({} \
                 long) behind it, centred, and edgestitch all round, {teeth} from the teeth \
                 (stitch length {stitch}).",
                t.name(*copy),
                self.what,
                t.len(self.length),
            )),
        }
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        match &self.into {
            ZipInto::Edges(sides, allowance) => work.zip(sides, *allowance, self.length),
            ZipInto::Slit(copy) => work.hold_slit(*copy, self.length),
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        match &self.into {
            ZipInto::Edges(sides, _) => [sides[0].copies(), sides[1].copies()].concat(),
            ZipInto::Slit(copy) => vec![*copy],
        }
    }
}
