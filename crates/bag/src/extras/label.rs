//! A label, sewn on or caught in a side seam.

use measure::{Length, Outline, Point};

use super::{Bag, Extra, margin, refuse, spoken, stem};
use crate::draft::fittings::{length_of, webbing};
use crate::draft::side_set::{SideSet, SideWords, seamed_side, set_in_sides};
use crate::draft::strap::from_edge;
use crate::draft::{Drafter, Face, NewPiece};
use crate::design::Role;
use crate::kinds::{Kind, Param, Values, choice, length};
use crate::operations::{Attach, FaceSide, Line, Phrase, Place, Placed, PressSeam, StitchDown, StitchedDown};
use crate::pattern::{Band, Chapter, Grain, MarkShape};

/// The kind.
pub(super) struct Label;
/// Its entry in the list.
pub(super) const KIND: Label = Label;

impl Kind for Label {
    fn name(&self) -> &'static str {
        "label"
    }
    fn title(&self) -> &'static str {
        "Label"
    }
    fn help(&self) -> &'static str {
        "Your name on the outside: a piece of fabric with its edges turned in, edgestitched to a \
         panel, or a length of woven label or ribbon, folded in half and caught in a side seam."
    }
    fn params(&self) -> &'static [Param] {
        const PARAMS: &[Param] = &[
            choice(
                "how",
                "how",
                "How it is held.",
                &[
                    ("sewn-on", "edgestitched to the panel all round"),
                    ("in-seam", "folded in half and caught in the right side seam, or in the one that there is"),
                ],
            ),
            choice(
                "on",
                "on",
                "Where it is.",
                &[("front", "on the front"), ("back", "on the back")],
            ),
            length(
                "width",
                "width",
                "Finished width; of a folded label, how far it stands out of the seam.",
                [Length::mm(10), Length::mm(200), Length::inch(2), Length::mm(50)],
            ),
            length(
                "height",
                "height",
                "Finished height; of a folded label, the width of the ribbon.",
                [Length::mm(8), Length::mm(120), Length::inch(1), Length::mm(25)],
            ),
            length(
                "below",
                "below the rim",
                "From the finished rim down to its top edge.",
                [Length::mm(6), Length::mm(1_200), Length::inch(2), Length::mm(50)],
            ),
            length(
                "aside",
                "right of the centre",
                "How far its middle lies to the right of the centre line, of a label that is sewn on.",
                [Length::ZERO, Length::mm(600), Length::ZERO, Length::ZERO],
            ),
        ];
        PARAMS
    }
}

impl Extra for Label {
    fn build(&self, d: &mut Drafter<'_>, values: &Values, index: usize, bag: Bag<'_>) {
        let Some(face) = bag.face(values.choice("on")) else { return };
        let (width, height) = (values.length("width"), values.length("height"));
        let low = face.height - values.length("below") - height;
        let in_seam = values.choice("how") == "in-seam";
        let x = if in_seam { face.top_width.half() - width.half() } else { values.length("aside") };
        if !fits(d, face, (x, low), (width, height), (index, in_seam)) {
            return;
        }
        let stem = stem(d, index, "label");
        if in_seam {
            catch(d, face, (width, height), low + height.half(), &stem);
        } else {
            sew_on(d, face, (width, height), (x - width.half(), low), &stem);
        }
    }
}

/// Whether it lies on the face, clear of its seams, of the hem and of what is on it.
fn fits(
    d: &mut Drafter<'_>,
    face: &Face,
    (x, low): (Length, Length),
    (width, height): (Length, Length),
    (index, in_seam): (usize, bool),
) -> bool {
    let room = margin(d);
    let hem = d.rim_hem.unwrap_or(Length::ZERO);
    let top = low + height;
    let floor = d.base_rise.max(face.corner) + room;
    if low < floor || top > face.height - hem.max(room) {
        let message = format!(
            "a label {} high does not lie between the base and the rim, hem and all, when its top \
             edge is {} below the rim",
            d.show(height),
            d.show(face.height - top)
        );
        let most = face.height - height - floor;
        let cure = format!(
            "set it between {} and {} below the rim",
            d.show(hem.max(room)),
            d.show(most.max(Length::ZERO))
        );
        refuse(d, index, "below", message, cure);
        return false;
    }
    let narrowest = face.width_at(low).min(face.width_at(top)).half();
    if !in_seam && x + width.half() + room > narrowest {
        let message = format!(
            "a label {} wide and {} right of the centre hangs over the side of the {}",
            d.show(width),
            d.show(x),
            face.word
        );
        let most = d.show((narrowest - width.half() - room).max(Length::ZERO));
        refuse(d, index, "aside", message, format!("set it {most} or less from the centre"));
        return false;
    }
    let crosses = |start: &Length| low - room < *start && *start < top + room;
    if face.starts.iter().skip(1).any(crosses) {
        let message = format!("the label lies on a seam of the {}", face.word);
        refuse(d, index, "below", message, "set it higher or lower".to_owned());
        return false;
    }
    let steps = 4;
    let spots = (0..=steps).map(|n| (x - width.half() + width * n / steps, low + height.half()));
    let taken = spots.filter_map(|spot| d.taken_at(face, spot, height.half())).next();
    if let Some(taken) = taken {
        let message = format!("the label lies on the {taken}");
        refuse(d, index, "below", message, "set it higher, lower or farther aside".to_owned());
        return false;
    }
    true
}

/// A piece of fabric with its edges turned in.
fn sew_on(
    d: &mut Drafter<'_>,
    face: &Face,
    size: (Length, Length),
    (left, low): (Length, Length),
    stem: &str,
) {
    let (width, height) = size;
    let turn = d.either(Length::inch_frac(1, 4), Length::mm(6));
    let name = spoken(stem);
    let piece = d.piece(NewPiece {
        id: stem,
        name: &name,
        role: Role::Pocket,
        net: Outline::rectangle(width, height),
        edges: ["lower edge", "right side", "top edge", "left side"].map(|edge| (edge, turn)).into(),
        grain: Grain::Free,
        join: None,
    });
    let copy = d.copy(piece, &name);
    d.part(copy, (width + turn * 2, height + turn * 2));
    let index = face.starts.iter().rposition(|start| *start <= low).unwrap_or(0);
    let (onto, corner) = face.box_on(index, (left, low), size);
    let inset = from_edge(d).min(height.half() / 2).min(width.half() / 2);
    let at = |dx, dy| Point::new(corner.x + dx, corner.y + dy);
    let (right, top) = (width - inset, height - inset);
    let corners = [at(inset, inset), at(right, inset), at(right, top), at(inset, top)];
    let lines = (0..4).map(|n| Line { from: corners[n], to: corners[(n + 1) % 4] }).collect();
    let sides = [at(Length::ZERO, Length::ZERO), at(width, Length::ZERO), at(width, height)];
    for pair in sides.windows(2) {
        d.mark_copy(onto, &name, MarkShape::Placement(pair[0], pair[1]));
    }
    let press = PressSeam {
        what: Phrase::new(format!("the {name}: turn "))
            .len(turn)
            .say(" of all four edges to the wrong side"),
        copies: vec![copy],
        mind: Some("write or embroider on it first, while it is flat.".into()),
    };
    d.step(Chapter::Panels, &format!("press-{stem}"), press);
    let how = Phrase::new(format!("Lay the {name} on the right side of the {}, its top edge ", face.word))
        .len(face.height - low - height + d.rim_allowance)
        .say(" below the raw rim.");
    let turned = face.lies.get(index).is_some_and(|lie| lie.turned);
    let items = vec![Placed { upside_down: turned, ..Placed::new(copy, onto, corner) }];
    let place = Place { items, how, mind: None, attach: Attach::Pin };
    d.step(Chapter::Panels, &format!("place-{stem}"), place);
    let how = Phrase::new("Edgestitch it all round, ")
        .len(inset)
        .say(" from its edges, turning at each corner with the needle down.");
    let item = StitchedDown { what: copy, onto, lines, holds: vec![0, 1, 2, 3] };
    let stitch = d.stitch("topstitch");
    let stitched = StitchDown { how, mind: None, items: vec![item], closes: None, stitch };
    d.step(Chapter::Panels, &format!("stitch-{stem}"), stitched);
}

/// A length of ribbon, folded in half.
fn catch(
    d: &mut Drafter<'_>,
    face: &Face,
    (stands, ribbon): (Length, Length),
    height: Length,
    stem: &str,
) {
    let name = spoken(stem);
    let material =
        webbing(d, &format!("{stem}-ribbon"), "woven label or ribbon", (Band::Tape, ribbon), "the label");
    let seam = d.seam_allowance("side");
    let piece = length_of(d, material, (stem, &name), (ribbon, stands * 2), [seam; 2]);
    let what = d.copy(piece, &name);
    d.part(what, (ribbon, (stands + seam) * 2));
    let Some(sign) = seamed_side(face, 1) else { return };
    let item = SideSet { what, face, sign, height, width: ribbon, ground: FaceSide::Right };
    let words = SideWords {
        id: &format!("place-{stem}"),
        what: &format!("the {name}"),
        mark: &name,
        mind: "the side that is to be read from the front lies underneath now.",
    };
    set_in_sides(d, Chapter::Panels, &[item], words);
}

#[cfg(test)]
mod tests {
    use measure::Units;

    use super::*;
    use crate::design::Chosen;
    use crate::kinds::Value;
    use crate::{Design, bodies, closures};

    /// A tie that is stitched on below a gathered rim takes the place of a label.
    #[test]
    fn a_label_does_not_lie_on_a_tie() {
        let body = bodies::find("drawstring-bag").unwrap();
        let mut design = Design::of(body, Units::Mm);
        let system = design.system();
        design.closure = Chosen::new(closures::find("ties").unwrap(), system);
        let mut label = Chosen::new(&KIND, system);
        for (key, mm) in [("width", 54), ("height", 100), ("below", 6)] {
            assert!(label.values.set(key, Value::Length(Length::mm(mm))));
        }
        for (key, word) in [("how", "sewn-on"), ("on", "front")] {
            assert!(label.values.set(key, Value::Choice(word)));
        }
        assert!(label.values.set("aside", Value::Length(Length::ZERO)));
        design.extras = vec![label];
        let drafted = crate::draft(&design);
        assert!(drafted.pattern.is_none());
        let told = drafted.findings.iter().find(|found| found.message.contains("label"));
        assert!(told.is_some_and(|it| it.message.contains("tie")), "{:#?}", drafted.findings);
    }

    /// A tab that is stitched on below the broad top of a pouch, 5 cm of its depth on either side of the
    /// zip, comes up from there: a label is refused under it, and goes below it.
    #[test]
    fn a_label_does_not_lie_under_a_tab() {
        let of = |below: i64| {
            let mut design = Design::of(bodies::find("boxed-pouch").unwrap(), Units::Mm);
            let system = design.system();
            for (key, mm) in [("width", 230), ("height", 200), ("depth", 100)] {
                assert!(design.body.values.set(key, Value::Length(Length::mm(mm))));
            }
            design.closure = Chosen::new(closures::find("tab").unwrap(), system);
            let mut label = Chosen::new(&KIND, system);
            for (key, mm) in [("width", 50), ("height", 54), ("below", below), ("aside", 0)] {
                assert!(label.values.set(key, Value::Length(Length::mm(mm))));
            }
            for (key, word) in [("how", "sewn-on"), ("on", "back")] {
                assert!(label.values.set(key, Value::Choice(word)));
            }
            design.extras = vec![label];
            crate::draft(&design)
        };
        let drafted = of(50);
        let told = |f: &crate::finding::Finding| f.message == "the label lies on the tab";
        assert!(drafted.findings.iter().any(told), "{:#?}", drafted.findings);
        let below = of(100);
        let pattern = below.pattern.unwrap_or_else(|| panic!("{:#?}", below.findings));
        let found = crate::checks::run(&pattern);
        assert!(found.iter().all(|f| f.severity != crate::finding::Severity::Error), "{found:#?}");
    }
}
