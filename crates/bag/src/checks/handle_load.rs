//! The handle under load: an estimate of what its fastening carries.

use measure::{Length, Mass};

use super::{Check, Context};
use crate::assembly::{Assembly, Event};
use crate::finding::{Finding, Place};
use crate::operations::{BoxAndX, FastenEnd, Fastening, Operation};
use crate::pattern::{CopyId, HandleClaim};

/// Entry in the list.
pub(super) const CHECK: Check = Check {
    name: "handle-load",
    looks_for: "handles whose stitches carry less than a full shopping bag, several times over",
    why: "handles tear off at the stitches long before the strap breaks",
    run,
};

/// 22 lb (10 kg): the load of a grocery bag in California Public Resources Code 42281 (in force
/// 2015 to 2025), here as a documented everyday load. In millinewtons.
const LOAD_MN: i64 = 97_861;
/// Three times over, for swinging and jerking (a tie-down's design factor in WSTDA-T-1; used here
/// as a rule of thumb).
const FACTOR: i64 = 3;
/// The weight of a kilogram (standard gravity, 9.80665 m/s²), in millinewtons.
const MN_OF_KG: i64 = 9_807;

/// What the handles of a bag carry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Load {
    made_for_mn: i64,
    stitches_mn: i64,
}

impl Load {
    /// What the bag is made for: as its design says, or a full shopping bag.
    pub fn made_for(self) -> Mass {
        mass(self.made_for_mn)
    }

    /// How many times what it is made for the stitches are to hold.
    pub const FACTOR: i64 = FACTOR;

    /// Whether the stitches of all handles together are reckoned to hold so much. Figures above it
    /// mean nothing: cloth gives before such stitches do.
    pub fn suffices(self) -> bool {
        self.stitches_mn >= self.made_for_mn * FACTOR
    }
}

/// What weighs so many thousandths of a newton.
fn mass(mn: i64) -> Mass {
    Mass::mg(mn * 100_000_000 / 980_665)
}

/// What the handles of a sewn bag carry; nothing if it has none, or none that stitches hold.
pub fn load(sewn: &Assembly<'_>) -> Option<Load> {
    let context = &Context { pattern: sewn.pattern, sewn };
    let claims = &context.pattern.claims.handles;
    // What a cord behind an eyelet carries is for the cloth, and no stitches hold it.
    let handles: Vec<&HandleClaim> =
        claims.iter().filter(|handle| !is_knotted(context, handle)).collect();
    let weakest = handles.iter().map(|handle| foot_mn(context, handle)).min()?;
    let feet = i64::try_from(handles.len() * 2).unwrap_or(1);
    let asked = handles.iter().map(|handle| i64::from(handle.carries) * MN_OF_KG).max();
    let made_for_mn = asked.filter(|load| *load > 0).unwrap_or(LOAD_MN);
    Some(Load { made_for_mn, stitches_mn: weakest * feet })
}

fn run(context: &Context<'_>) -> Vec<Finding> {
    let Some(load) = load(context.sewn).filter(|load| !load.suffices()) else {
        return Vec::new();
    };
    let message = format!(
        "the stitches of the handles carry about {} kg, and {} kg are wanted ({} times {} kg); \
         this is an estimate",
        load.stitches_mn / MN_OF_KG,
        load.made_for_mn * FACTOR / MN_OF_KG,
        FACTOR,
        (load.made_for_mn + MN_OF_KG / 2) / MN_OF_KG
    );
    let cure = "use stronger thread or shorter stitches, or run the handles down to the base with \
                a box and X; try the finished bag with a load before you trust it";
    vec![Finding::warning(CHECK.name, Place::parameter("handles"), message, cure.to_owned())]
}

/// What one foot carries: the rows of stitches that lie across the strap, each as strong as a
/// seam. Strength of a lockstitch seam per inch = stitches per inch × thread strength × 1.5
/// (American & Efird, "SPI: what you should know"; an estimate, wovens, superimposed seams).
fn foot_mn(context: &Context<'_>, handle: &HandleClaim) -> i64 {
    let rows = i64::try_from(rows_across(context, handle)).unwrap_or(0);
    seam_mn(handle.width * rows, stitch_length(context), context.pattern.thread.strength_mn)
}

/// What a lockstitch seam of such length and stitch carries across itself, in thousandths of a
/// newton, when its thread carries so many.
fn seam_mn(seam: Length, stitch: Length, thread_mn: u32) -> i64 {
    seam.to_nm() / stitch.to_nm().max(1) * i64::from(thread_mn) * 3 / 2
}

/// Rows across the strap at one foot: the seam that catches its end, sewn once and again at the
/// topstitching; and upper and lower side of a box, the upper one sewn twice, with its cross, which
/// counts as two more.
fn rows_across(context: &Context<'_>, handle: &HandleClaim) -> usize {
    let holders = handle.holders();
    holders.into_iter().map(|copy| rows_on(context, copy)).min().unwrap_or(0)
}

/// Whether both ends are knotted.
fn is_knotted(context: &Context<'_>, handle: &HandleClaim) -> bool {
    context.pattern.steps.iter().any(|step| {
        step.as_a::<FastenEnd>().is_some_and(|fasten| {
            matches!(fasten.by, Fastening::Knotted(_))
                && fasten.ends.iter().any(|(strap, _)| *strap == handle.strap)
        })
    })
}

fn rows_on(context: &Context<'_>, holder: CopyId) -> usize {
    let caught = context.sewn.events.iter().any(|(_, event)| {
        matches!(event, Event::Caught { rider, .. } if *rider == holder)
    });
    let boxed = context.pattern.steps.iter().any(|step| {
        step
            .as_a::<BoxAndX>()
            .is_some_and(|op: &BoxAndX| Operation::copies(op).contains(&holder))
    });
    usize::from(caught) * 2 + usize::from(boxed) * 5
}

fn stitch_length(context: &Context<'_>) -> Length {
    let join = context.pattern.steps.iter().find_map(|step| {
        step.as_a::<crate::operations::Join>().map(|join| join.stitch)
    });
    join.unwrap_or(Length::nm(2_500_000))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// American & Efird, "SPI: what you should know": pounds that an inch of lockstitch seam
    /// carries, by the strength of the thread and the stitches to the inch, as printed.
    #[test]
    fn published_strengths_of_a_seam() {
        let table: [(u32, [(i64, f64); 4]); 3] = [
            (26, [(6, 23.4), (8, 31.2), (10, 39.0), (12, 46.8)]),
            (22, [(6, 20.0), (8, 26.0), (10, 33.0), (12, 40.0)]),
            (28, [(6, 25.0), (8, 34.0), (10, 42.0), (12, 50.0)]),
        ];
        // Tenths of a pound of 4.448 N; a foot long, for stitches that do not divide an inch.
        let pounds = |tenths: u32, per_inch: i64| {
            let mn = seam_mn(Length::inch(12), Length::INCH / per_inch, tenths * 4448 / 10);
            mn as f64 / 4448.0 / 12.0
        };
        for (thread, row) in table {
            for (per_inch, printed) in row {
                let got = pounds(thread, per_inch);
                assert!((got - printed).abs() < 0.61, "{thread}/10 lb at {per_inch}: {got}");
            }
        }
        // Its example: 10 stitches of 4 lb thread, 60 lb.
        assert!((pounds(40, 10) - 60.0).abs() < 0.1);
    }

    /// California Public Resources Code 42281: 22 lb; GNU units: 9.979 kg, 97.86 N.
    #[test]
    fn a_full_shopping_bag() {
        assert_eq!(mass(LOAD_MN).to_mg() / 1_000, 9_979);
    }
}
