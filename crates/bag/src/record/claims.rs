//! What a pattern promises, and where the finished bag bends.

use measure::{Length, Point, fits};

use super::basic::items;
use super::materials::StepId;
use super::{Datum, Field, Form, Plain, Reader, Signed, Table, edge_named, name_of_edge, record};
use crate::operations::FaceSide;
use crate::pattern::{
    Claims, ClosureClaim, CopyId, DividerClaim, EndClaim, Gauge, Half, HandleClaim, Hinge,
    HingeLine, PartClaim, Pattern, PocketClaim, Shown,
};

record!(HandleClaim: "What is promised of one handle." {
    name; "\"front handle\".",
    strap; "The strap.",
    on; "The copy on which both feet stand.",
    feet; "Where the middle of each foot meets the finished rim, in that copy's coordinates.",
    width; "Finished width of the strap.",
    free; "Length of strap above the finished rim, from foot to foot.",
    drop; "From the rim to the strap pulled taut.",
    from_base; "Whether the strap runs down over the outside to the base.",
    lies; "Below the rim, from where it comes free down to its end, of a strap that is stitched on to its panel.",
    fastened; "What is sewn to the bag and holds the strap: tabs with rings. Left out: the strap itself.",
    added via Signed = Length::ZERO; "What tabs and rings add to the strap's length above the rim; negative for a cord that comes out below it.",
    doubled = Length::ZERO; "How much of the strap lies doubled at its slider when it is let out.",
    shortest; "The drop when it is drawn in, if it can be adjusted.",
    stands_out; "Whether the loop stands out from its panel, not up from the rim.",
    apart; "How far apart its feet stand in the finished bag, where they cannot be measured on one flat panel.",
    carries = 0; "The load that it is made for, in kilograms. Left out: that of an everyday bag.",
});

record!(ClosureClaim: "What is promised of one closure." {
    name; "\"magnetic snap\".",
    meets; "Pairs of halves that meet when the bag is closed.",
    shows; "What is seen of it on the closed bag, the lowest first.",
});

record!(DividerClaim: "What is promised of one divider, which stands across the bag." {
    copy; "The divider.",
    front; "The copy that one of its sides is stitched to: of the front, or of another divider.",
    back; "The copy that the other is stitched to; the same, if both ends are caught in its seams.",
    height; "How high it is, and is held.",
});

record!(PartClaim: "What is promised of a small part that no other promise measures: a tab, a tie, a label." {
    copy; "The part, or one of several that are cut alike.",
    size; "Its size across and along, made up and with its raw ends: a tab for a ring is folded already.",
});

impl Field for EndClaim {
    fn takes() -> String {
        "`{ copy, edge, on, at, face-up }`: what is fastened, by which of its edges, to which copy, \
         where on it, and which face is up (`\"right\"` if left out)"
            .to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        let mut fields = vec![
            ("copy".to_owned(), self.copy.write(pattern)?),
            ("edge".to_owned(), name_of_edge(pattern, self.copy, self.edge)),
            ("on".to_owned(), self.on.write(pattern)?),
            ("at".to_owned(), self.at.write(pattern)?),
        ];
        if self.face_up != FaceSide::Right {
            fields.push(("face-up".to_owned(), self.face_up.write(pattern)?));
        }
        Some(Datum::Record(fields))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let mut table = Table::open(reader, datum)?;
        let copy = table.field::<CopyId, Plain>(reader, "copy", None);
        let edge = edge_named(reader, &mut table, "edge", copy);
        let on = table.field::<CopyId, Plain>(reader, "on", None);
        let at = table.field::<Point, Plain>(reader, "at", None);
        let face_up = table.field::<FaceSide, Plain>(reader, "face-up", Some(FaceSide::Right));
        table.close(reader);
        Some(Self { copy: copy?, edge: edge?, on: on?, at: at?, face_up: face_up? })
    }
}

record!(Shown: "A part of a closure that is seen on the outside of the closed bag." {
    on; "The copy before which it lies.",
    of; "What it is, as a copy. Left out: hardware.",
    outline; "Its outline in the coordinates of the copy before which it lies.",
});

impl Field for Half {
    fn takes() -> String {
        "`{ on, at, edge, spent }`: the copy, the point on it, its edge at the rim, and how much of \
         the way from that edge goes under the rim and across the mouth (nothing if left out)"
            .to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        let mut fields = vec![
            ("on".to_owned(), self.on.write(pattern)?),
            ("at".to_owned(), self.at.write(pattern)?),
            ("edge".to_owned(), name_of_edge(pattern, self.on, self.edge)),
        ];
        if self.spent != Length::ZERO {
            fields.push(("spent".to_owned(), Datum::Length(self.spent)));
        }
        Some(Datum::Record(fields))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let mut table = Table::open(reader, datum)?;
        let on = table.field::<CopyId, Plain>(reader, "on", None);
        let at = table.field::<Point, Plain>(reader, "at", None);
        let edge = edge_named(reader, &mut table, "edge", on);
        let spent = table.field::<Length, Signed>(reader, "spent", Some(Length::ZERO));
        table.close(reader);
        Some(Self { on: on?, at: at?, edge: edge?, spent: spent? })
    }
}

record!(PocketClaim: "What is promised of one pocket." {
    name; "\"front pocket\".",
    copy; "Its front.",
    on; "The copy that it lies on.",
    at; "Where its lower left corner lies on that copy.",
    size; "Finished size as it lies.",
    true_depth; "Depth in use, after hem, seam and base.",
    opening = Length::ZERO; "Width of the mouth through which a hand goes in.",
    compartments; "Widths of its compartments, from left to right.",
    inside; "Whether it is inside the bag.",
});

record!(Claims: "What the pattern promises; checks compute each size back from the pieces." {
    width; "Finished width at the base.",
    width_gauge; "How it is measured.",
    height; "Finished height, up the middle of the front.",
    height_gauge; "How it is measured, the copy at the base first.",
    depth = Length::ZERO; "Finished depth of the base. Left out: a flat bag.",
    depth_gauge = Gauge::default(); "How it is measured. Left out: by the boxed corners.",
    top_width; "Finished width laid flat at the top.",
    top_gauge; "How it is measured.",
    asked via Asked; "What size was asked for, where it may differ: `{ width = … }`, also `height`, `depth`.",
    handles; "The handles.",
    pockets; "The pockets.",
    closures; "What closes the bag.",
    dividers; "What stands across the bag and divides it.",
    parts; "Small parts that are made up before they go on the bag.",
    ends; "Where ends of ties, tabs, flaps and straps are fastened, beside those of the handles.",
    holds via Things; "What must fit, by the words that `bagwright kinds` knows.",
});

/// The sizes that a design may ask for.
const SIZES: [&str; 3] = ["width", "height", "depth"];

struct Asked;

impl Form<Vec<(&'static str, Length)>> for Asked {
    fn takes() -> String {
        "a table of lengths".to_owned()
    }

    fn write(asked: &Vec<(&'static str, Length)>, _: &Pattern) -> Option<Datum> {
        let fields = asked.iter().map(|(key, length)| ((*key).to_owned(), Datum::Length(*length)));
        Some(Datum::Record(fields.collect()))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Vec<(&'static str, Length)>> {
        let mut table = Table::open(reader, datum)?;
        let mut asked = Some(Vec::new());
        for key in SIZES {
            match table.field::<Option<Length>, Plain>(reader, key, None) {
                Some(Some(length)) => asked.iter_mut().for_each(|all| all.push((key, length))),
                Some(None) => {}
                None => asked = None,
            }
        }
        table.close(reader);
        asked
    }

    fn absent() -> Option<Vec<(&'static str, Length)>> {
        Some(Vec::new())
    }
}

struct Things;

impl Form<Vec<String>> for Things {
    fn takes() -> String {
        "a list of things, by their words".to_owned()
    }

    fn write(things: &Vec<String>, pattern: &Pattern) -> Option<Datum> {
        things.write(pattern)
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Vec<String>> {
        items(reader, datum, 20, |reader, item| {
            let word = String::read(reader, item)?;
            let known: Vec<&str> = fits().iter().map(|thing| thing.id).collect();
            if !known.contains(&word.as_str()) {
                reader.no_such_word(&word, &known, "the word of a thing");
                return None;
            }
            Some(word)
        })
    }

    fn absent() -> Option<Vec<String>> {
        Some(Vec::new())
    }
}

/// What a table of a hinge takes, for the guide.
pub(super) const HINGE_TAKES: &[(&str, &str, bool, &str)] = &[
    ("seam", "the id of a step", true, "Along the seam that this step sews; or else:"),
    ("fold", "the name of a copy", true, "Within a copy,"),
    ("from", "a point", true, "from here,"),
    ("to", "a point", true, "to here."),
    ("degrees", "an angle", false, "Between both sides, seen from inside; 180 lies flat."),
];

impl Field for Hinge {
    fn takes() -> String {
        "`{ seam = STEP, degrees }`, or `{ fold = COPY, from = point, to = point, degrees }`"
            .to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        let mut fields = Vec::new();
        match &self.line {
            HingeLine::Seam(step) => fields.push(("seam".to_owned(), Datum::text(step))),
            HingeLine::Fold(copy, from, to) => {
                fields.push(("fold".to_owned(), copy.write(pattern)?));
                fields.push(("from".to_owned(), from.write(pattern)?));
                fields.push(("to".to_owned(), to.write(pattern)?));
            }
        }
        fields.push(("degrees".to_owned(), Datum::Number(self.degrees.to_string())));
        Some(Datum::Record(fields))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let mut table = Table::open(reader, datum)?;
        let line = if table.has("fold") {
            let copy = table.field::<CopyId, Plain>(reader, "fold", None);
            let from = table.field::<Point, Plain>(reader, "from", None);
            let to = table.field::<Point, Plain>(reader, "to", None);
            copy.zip(from).zip(to).map(|((copy, from), to)| HingeLine::Fold(copy, from, to))
        } else {
            table.field::<String, StepId>(reader, "seam", None).map(HingeLine::Seam)
        };
        let degrees = table.field::<f64, Degrees>(reader, "degrees", None);
        table.close(reader);
        Some(Self { line: line?, degrees: degrees? })
    }
}

struct Degrees;

impl Form<f64> for Degrees {
    fn takes() -> String {
        "an angle in degrees".to_owned()
    }

    fn write(degrees: &f64, _: &Pattern) -> Option<Datum> {
        Some(Datum::Number(degrees.to_string()))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<f64> {
        let Datum::Number(text) = datum else {
            reader.mistyped(datum, "a number from 0 to 360, without quotes");
            return None;
        };
        let degrees = text.parse().ok().filter(|degrees| (0.0..=360.0).contains(degrees));
        if degrees.is_none() {
            reader.report("this is no angle", "write degrees from 0 to 360; 180 lies flat");
        }
        degrees
    }
}
