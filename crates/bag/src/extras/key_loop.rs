//! A tab with a swivel clip, caught in a side seam inside the bag.

use measure::Length;

use super::{Bag, Extra, margin, refuse, spoken, stem};
use crate::design::Chosen;
use crate::draft::fittings::{length_of, webbing};
use crate::draft::side_set::{SideSet, SideWords, on_side, seamed_side, set_in_sides};
use crate::draft::{Drafter, Face};
use crate::kinds::{Kind, Param, Values, choice, length};
use crate::finding::{Finding, Place};
use crate::operations::{FaceSide, FoldTab};
use crate::pattern::{Band, Chapter, MaterialId, Notion, notion};

/// The kind.
pub(super) struct KeyLoop;
/// Its entry in the list.
pub(super) const KIND: KeyLoop = KeyLoop;

impl Kind for KeyLoop {
    fn name(&self) -> &'static str {
        "key-loop"
    }
    fn title(&self) -> &'static str {
        "Key loop"
    }
    fn help(&self) -> &'static str {
        "A tab of tape with a swivel clip, folded over it and caught in a side seam of the lining, or \
         of the bag itself if it has none, so that keys hang within reach and do not fall to the bottom."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            choice(
                "at",
                "at",
                "Which side seam holds it, seen from the front; of a bag with one side seam, that one.",
                &[("right", "the right one"), ("left", "the left one")],
            ),
            length(
                "below",
                "below the rim",
                "From the finished rim down to the middle of the tab.",
                [Length::mm(20), Length::mm(600), Length::inch(3), Length::mm(75)],
            ),
            length(
                "width",
                "width",
                "Width of the tape, and of the clip's eye.",
                [Length::mm(8), Length::mm(40), Length::inch_frac(1, 2), Length::mm(12)],
            ),
            length(
                "stands",
                "length of the tab",
                "How far the tab reaches from the seam to the clip.",
                [Length::mm(15), Length::mm(300), Length::inch(2), Length::mm(50)],
            ),
        ];
        PARAMS
    }
}

impl Extra for KeyLoop {
    fn build(&self, d: &mut Drafter<'_>, values: &Values, index: usize, bag: Bag<'_>) {
        let (shell, chapter, ground) = match bag.inside {
            Some(inside) => (inside, Chapter::Lining, FaceSide::Right),
            None => (bag.outside, Chapter::Panels, FaceSide::Wrong),
        };
        let layer = if bag.inside.is_some() { "lining" } else { "panel" };
        let (width, stands) = (values.length("width"), values.length("stands"));
        let Some(face) = shell.faces.first() else { return };
        // The inside of the front is seen from behind: the right of a lining is the bag's left.
        let mirrored = if bag.inside.is_some() { -1 } else { 1 };
        let wanted = if values.choice("at") == "left" { -1 } else { 1 };
        let Some(side) = seamed_side(face, wanted * mirrored) else { return };
        if side != wanted * mirrored {
            let word = if side * mirrored < 0 { "left" } else { "right" };
            let place = Place::parameter(&format!("extra[{}].at", index + 1));
            let message = format!(
                "the bag has one side seam, at its {word} seen from the front: the key loop hangs there"
            );
            let cure = "nothing has to be done".to_owned();
            d.find(Finding::note("key-loop-side", place, message, cure));
        }
        let height = face.height - values.length("below");
        let room = width.half() + margin(d);
        let low = d.base_rise.max(face.corner) + room;
        let top = face.height - d.rim_hem.filter(|_| bag.inside.is_none()).unwrap_or(Length::ZERO);
        let on_seam = face.starts.iter().skip(1).any(|start| (*start - height).abs() < room);
        if height < low || height + room > top || on_seam {
            let message = format!(
                "a key loop {} wide and {} below the rim lies on a seam of the {layer}, or beyond its \
                 side",
                d.show(width),
                d.show(face.height - height),
            );
            let most = (face.height - low).max(Length::ZERO);
            let cure = format!(
                "set it between {} and {} below the rim, clear of every seam",
                d.show(room + face.height - top),
                d.show(most)
            );
            refuse(d, index, "below", message, cure);
            return;
        }
        let stem = stem(d, index, "key-loop");
        let name = spoken(&stem);
        let material = tape(d, index, width);
        let seam = face_allowance(d, face, (side, height));
        let piece = length_of(d, material, (&stem, &name), (width, stands * 2), [seam; 2]);
        let what = d.copy(piece, &name);
        d.part(what, (width, stands + seam));
        let fold = FoldTab {
            tabs: vec![what],
            over: "the eye of a swivel clip".to_owned(),
            stitch: d.stitch("seam"),
        };
        d.step(chapter, &format!("fold-{stem}"), fold);
        let item = SideSet { what, face, sign: side, height, width, ground };
        let words = SideWords {
            id: &format!("place-{stem}"),
            what: &format!("the {name}"),
            mark: &name,
            mind: &format!(
                "pin the clip to the middle of the {layer}, out of the way of the needle; sew to and \
                 fro over the tab when the seam is sewn."
            ),
        };
        set_in_sides(d, chapter, &[item], words);
        d.notion(Notion::of(&notion::SWIVEL_CLIP, 1).wide(width));
    }
}

/// The tape of a loop; loops of one width are cut from one tape.
fn tape(d: &mut Drafter<'_>, index: usize, width: Length) -> MaterialId {
    let alike = |extra: &Chosen| {
        extra.kind == KIND.name() && extra.values.length("width") == width
    };
    let first = d.design.extras.iter().position(alike).unwrap_or(index);
    let stem = stem(d, first, "key-loop");
    let name = spoken(&stem);
    let (id, name, serves) =
        (format!("{stem}-tape"), format!("tape for the {name}"), format!("the {name}"));
    webbing(d, &id, &name, (Band::Tape, width), &serves)
}

/// The allowance of the side at a height.
fn face_allowance(d: &Drafter<'_>, face: &Face, (side, height): (i64, Length)) -> Length {
    let at = on_side(d, face, side, height);
    at.map_or(d.allowance("side"), |(copy, edge, _)| d.piece_of(copy).edges[edge].allowance)
}

#[cfg(test)]
mod tests {
    use measure::{System, Units};

    use super::*;
    use crate::bodies;
    use crate::design::Design;
    use crate::kinds::Value;
    use crate::pattern::Form;

    /// Each loop is cut from tape of its own width, and the shopping list has each tape once.
    #[test]
    fn loops_of_different_widths_are_cut_from_different_tapes() {
        let mut design = Design::of(bodies::find("boxed").unwrap(), Units::Mm);
        let widths = [12, 20, 12].map(Length::mm);
        for (width, below) in widths.into_iter().zip([75, 120, 165]) {
            let mut extra = Chosen::new(crate::extras::find("key-loop").unwrap(), System::Metric);
            assert!(extra.values.set("width", Value::Length(width)));
            assert!(extra.values.set("below", Value::Length(Length::mm(below))));
            design.extras.push(extra);
        }
        let pattern = crate::draft(&design).pattern.unwrap();
        let tape = |id: &str| {
            let piece = pattern.pieces.iter().find(|piece| piece.id == id).unwrap();
            (piece.net_size().0, &pattern.material(piece.material).form, piece.material)
        };
        let tapes = ["key-loop", "key-loop-2", "key-loop-3"].map(tape);
        for (of, wide) in tapes.iter().zip(widths) {
            assert_eq!(of.0, wide);
            assert!(matches!(of.1, Form::Webbing { width, .. } if *width == wide), "{of:?}");
        }
        assert!(tapes[0].2 == tapes[2].2 && tapes[0].2 != tapes[1].2);
    }
}
