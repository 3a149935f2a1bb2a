//! A zip in the rim itself: between outside and lining, or between the two hemless rims of a bag
//! without one. It is set while the panels lie flat, before any other seam.

use measure::{Length, Outline};

use super::zips::{BoughtZip, tape};
use super::{Drafter, NewPiece, Shell};
use crate::design::Role;
use crate::kinds::{Param, Values, choice, length};
use crate::operations::{
    Beside, CoverZipEnds, EdgeFinish, FinishEdges, JoinOverZip, SetZip, Topstitch, ZipInto,
};
use crate::pattern::{Chapter, ClosureClaim, Grain};

/// Width of the teeth.
pub(crate) const TEETH: Param = length(
    "teeth",
    "zip",
    "Width of its teeth; 3 mm (a number 3) suits pouches, 5 mm (a number 5) larger bags.",
    [Length::mm(3), Length::mm(10), Length::mm(3), Length::mm(3)],
);
/// Seam allowance at the zip.
pub(crate) const ZIP_SEAM: Param = length(
    "zip-seam",
    "seam at the zip",
    "Seam allowance along the zip, less than half of its tape.",
    [Length::mm(5), Length::mm(15), Length::inch_frac(1, 4), Length::mm(6)],
);
/// The ends of the zip.
pub(crate) const ENDS: Param = choice(
    "ends",
    "ends of the zip",
    "What becomes of the ends of the zip.",
    &[
        ("tabs", "covered by fabric tabs, which the seams there catch: no teeth in a seam"),
        ("through", "a longer zip runs through the seams there and is cut off"),
    ],
);
/// How much of a tab shows.
pub(crate) const TAB: Param = length(
    "tab",
    "tabs",
    "How much of a tab shows at either end of the zip, from the seam.",
    [Length::mm(10), Length::mm(60), Length::inch_frac(1, 2), Length::mm(12)],
);

/// A zip in the rim.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ZipTop {
    /// Width of its teeth.
    teeth: Length,
    /// Seam allowance along it.
    seam: Length,
    /// How much of a tab shows at either end; nothing if it runs through the side seams.
    tab: Option<Length>,
    /// How long it is with its tabs, from side seam to side seam.
    wide: Length,
    /// How far from the side seams its ends are seen: as far as corners are boxed across it.
    boxed: Length,
    /// How wide it must show between its two seams, if the size of the bag depends on that.
    shows: Option<Length>,
    /// Length of the zip from stop to stop when it is set.
    length: Length,
    /// As it is bought.
    bought: BoughtZip,
}

/// How far the fold of a tab lies over the end of the zip: 1/4 in (6 mm), common practice, no source.
fn over(d: &Drafter<'_>) -> Length {
    d.either(Length::inch_frac(1, 4), Length::mm(6))
}

impl ZipTop {
    /// Plans from the parameters [`TEETH`], [`ZIP_SEAM`], [`ENDS`] and [`TAB`], for a mouth so wide
    /// between its side seams, of which corners take so much at either end; nothing, with the reason
    /// told, if there can be no such zip. Sets the allowance of the rim, which is not hemmed.
    pub(crate) fn plan(
        d: &mut Drafter<'_>,
        values: &Values,
        (wide, boxed): (Length, Length),
    ) -> Option<Self> {
        let (teeth, seam) = (values.length("teeth"), values.length("zip-seam"));
        d.rim_hem = None;
        d.rim_allowance = seam;
        d.zipped = true;
        let clear = (tape(teeth) - teeth).half() - seam;
        let least = d.either(Length::inch_frac(1, 16), Length::mm(2));
        if clear < least {
            let message = format!(
                "a seam {} from the edge of a tape about {} wide runs {} from teeth {} wide: the \
                 slider would catch on it",
                d.show(seam),
                d.show(tape(teeth)),
                d.show(clear.max(Length::ZERO)),
                d.show(teeth)
            );
            let most = (tape(teeth) - teeth).half() - least;
            let cure = format!("make it {} or less, or take a wider zip", d.show(most));
            d.refuse("body.zip-seam", message, cure);
            return None;
        }
        let sides = d.seam_allowance("side");
        let tab = (values.choice("ends") == "tabs").then(|| values.length("tab"));
        let length = match tab {
            Some(tab) => wide - (boxed + tab - over(d)) * 2,
            None => wide + sides * 2,
        };
        let opens = wide - (boxed + tab.unwrap_or(Length::ZERO)) * 2;
        let room = d.either(Length::inch(3), Length::mm(75));
        if opens < room {
            let message = format!(
                "between its ends the zip would open by {}: hardly two fingers go in",
                d.show(opens.max(Length::ZERO))
            );
            let cure = format!("make the bag wider, so that {} are left", d.show(room));
            d.refuse("body.width", message, cure);
            return None;
        }
        // What runs through the seams needs a slider's length more, so that it can be moved aside.
        let spare = d.either(Length::inch(1), Length::mm(25));
        let needed = if tab.is_some() { length } else { length + spare };
        let bought = BoughtZip::of(d.system, needed);
        Some(Self { teeth, seam, tab, wide, boxed, shows: None, length, bought })
    }

    /// The same zip, set so that half of what it shows between its two seams is on the ruler: what it
    /// shows counts in the size of the bag. A half of a mark goes down: a tape of a number 3 is
    /// rather narrower than reckoned.
    pub(crate) fn to_size(self, d: &Drafter<'_>) -> Self {
        let half = d.snap(self.across().half() - Length::nm(1));
        Self { shows: Some(half * 2), ..self }
    }

    /// How wide it shows between its two seams: as it must, or as its tape is.
    pub(crate) fn shows(self) -> Length {
        self.shows.unwrap_or_else(|| self.across())
    }

    /// How wide it is between its two seams.
    pub(crate) fn across(self) -> Length {
        tape(self.teeth) - self.seam * 2
    }

    /// Covers its ends and sets it between front and back.
    pub(crate) fn set(self, d: &mut Drafter<'_>, outside: &Shell, inside: Option<&Shell>) {
        let inside = inside.filter(|_| d.is_lined_at_zip());
        let chapter = if inside.is_some() { Chapter::Together } else { Chapter::Panels };
        self.bought.prepare(d, (chapter, "cut-zip"), "the zip", 1);
        let whole = self.cover_ends(d, chapter);
        let [Some(front), Some(back)] = [outside.faces.first(), outside.faces.last()] else {
            return;
        };
        let from_fold = d.either(Length::inch_frac(1, 8), Length::mm(3));
        match inside {
            Some(inside) => {
                let seams = outside.faces.iter().zip(&inside.faces);
                let seams = seams.map(|(out, lining)| [out.rim(), lining.rim().reversed()]);
                let join = JoinOverZip {
                    what: "the zip".to_owned(),
                    seams: seams.collect(),
                    length: whole,
                    shows: self.shows,
                    allowance: d.rim_allowance,
                    topstitch: from_fold,
                    stitch: d.stitch("seam"),
                };
                d.step(chapter, "set-zip", join);
            }
            None => {
                // A lining that is put in later covers them.
                if !d.is_lined() {
                    let finish = FinishEdges {
                        what: "both rims".to_owned(),
                        runs: outside.faces.iter().map(super::Face::rim).collect(),
                        how: EdgeFinish::Overcast,
                        bound_with: None,
                        together: false,
                    };
                    d.step(chapter, "finish-rims", finish);
                }
                let zip = SetZip {
                    what: "the zip".to_owned(),
                    length: self.length,
                    shows: self.shows,
                    into: ZipInto::Edges([front.rim(), back.rim().reversed()], d.rim_allowance),
                    from_teeth: from_fold,
                    stitch: d.stitch("seam"),
                };
                d.step(chapter, "set-zip", zip);
                let topstitch = Topstitch {
                    what: "front and back along the zip".to_owned(),
                    copies: vec![front.top(), back.top()],
                    rows: vec![from_fold],
                    beside: Beside::Seam,
                    along: Vec::new(),
                    stitch: d.stitch("topstitch"),
                    round: false,
                };
                d.step(chapter, "topstitch-zip", topstitch);
            }
        }
        d.notion(self.bought.notion(self.teeth));
        d.tool("zip foot");
        d.claims.closures.push(ClosureClaim {
            name: "zip".to_owned(),
            meets: Vec::new(),
            shows: Vec::new(),
        });
    }

    /// Cuts and sews the tabs; gives the length of zip and tabs together.
    fn cover_ends(self, d: &mut Drafter<'_>, chapter: Chapter) -> Length {
        let Some(tab) = self.tab else { return self.length };
        let sides = d.seam_allowance("side");
        let whole = self.wide + sides * 2;
        // Folded, it reaches from its raw ends in the side seam to its fold.
        let folded = self.boxed + tab + sides;
        let (none, wide) = (Length::ZERO, d.snap_up(tape(self.teeth)));
        let piece = d.piece(NewPiece {
            id: "zip-tab",
            name: "zip tab",
            role: Role::Outside,
            net: Outline::rectangle(wide, folded * 2),
            edges: vec![("end", none), ("side", none), ("other end", none), ("other side", none)],
            grain: Grain::Free,
            join: None,
        });
        let tabs = vec![d.copy(piece, "first zip tab"), d.copy(piece, "second zip tab")];
        d.part(tabs[0], (wide, folded));
        let cover = CoverZipEnds {
            tabs,
            bought: self.bought.length(),
            length: self.length,
            over: over(d),
            whole,
            stitch: d.stitch("topstitch"),
        };
        d.step(chapter, "cover-zip-ends", cover);
        whole
    }
}
