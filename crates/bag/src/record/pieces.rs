//! Pieces with their interfacing, joins and marks, and the copies cut of them.

use measure::{Length, Point};

use super::basic::items;
use super::materials::Word;
use super::reader::LONGEST_LIST;
use super::{Datum, Field, Part, Plain, Reader, Table, outline, record, words};
use crate::pattern::{
    Copy, Edge, Grain, Interfaced, InterfacingCut, InterfacingHold, Mark, MarkShape, MaterialId,
    Pattern, Piece, PieceId, StripJoin, StripPlace,
};

words!(Grain { "lengthwise" => Lengthwise, "crosswise" => Crosswise, "free" => Free });
words!(InterfacingHold { "fused" => Fused, "basted" => Basted, "block" => Block });
words!(InterfacingCut { "full" => Full, "net" => Net });
words!(StripPlace { "centre" => Centre, "anywhere" => Anywhere; "near-end": NearEnd(Length) });

record!(Interfaced: "The interfacing of a piece." {
    material; "Which interfacing.",
    hold; "How it is held: ironed on, basted, or fused to the cloth before cutting.",
    cut; "With seam allowance, or to the stitching line.",
});

record!(StripJoin: "Where a strip longer than the fabric is wide may be joined." {
    most; "The most joins in one strip.",
    allowance; "Seam allowance on each side of a join.",
    place; "Where the join may lie.",
});

/// What a table of a piece takes, for the guide.
pub(super) const TAKES: &[(&str, &str, bool, &str)] = &[
    ("id", "a word of small letters, digits and hyphens", false, "By which copies name it."),
    ("name", "a text", false, "What it is called: \"outside panel\"."),
    ("material", "the id of a material", false, "What it is cut from."),
    (
        "rectangle",
        "`{ width, height }`",
        true,
        "The stitching line: base, right side, rim, left side, from the lower left corner.",
    ),
    (
        "trapezoid",
        "`{ base, top, height }`",
        true,
        "The stitching line, as far out to the left as to the right.",
    ),
    (
        "start",
        "a point",
        true,
        "Where a free stitching line begins; each edge then says where it goes.",
    ),
    (
        "edges",
        "a list of `{ name, allowance }`, in order round the piece",
        false,
        "With a free stitching line each also has `to = [across, up]`, or `path = [{ to }, \
         { curve = [point, point], to }, …]` of straight parts and cubic curves.",
    ),
    (
        "grain",
        "`\"lengthwise\"`, `\"crosswise\"` or `\"free\"`",
        true,
        "How its height lies on the fabric. Left out: lengthwise.",
    ),
    ("interfacing", "`{ material, hold, cut }`", true, "Its interfacing."),
    ("marks", "a list of marks", true, "What is marked on it."),
    ("join", "`{ most, allowance, place }`", true, "A strip that may be made of several lengths."),
    (
        "trimmed",
        "a length",
        true,
        "How much larger it is cut at each edge at first, to be quilted and trimmed to size.",
    ),
];

impl Field for Piece {
    fn takes() -> String {
        "a piece".to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        let mut fields = vec![
            ("id".to_owned(), Datum::text(&self.id)),
            ("name".to_owned(), Datum::text(&self.name)),
            ("material".to_owned(), self.material.write(pattern)?),
        ];
        outline::write(self, pattern, &mut fields);
        let mut put = |key: &str, datum: Option<Datum>| {
            fields.extend(datum.map(|datum| (key.to_owned(), datum)));
        };
        let is_usual = self.grain == Grain::Lengthwise;
        put("grain", (!is_usual).then(|| self.grain.write(pattern)).flatten());
        put("interfacing", self.interfacing.write(pattern));
        put("join", self.join.write(pattern));
        if self.trimmed.is_positive() {
            put("trimmed", self.trimmed.write(pattern));
        }
        let marks = self.marks.iter().map(|mark| write_mark(mark, &self.edges, pattern)).collect();
        put("marks", (!self.marks.is_empty()).then_some(Datum::List(marks)));
        Some(Datum::Record(fields))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let mut table = Table::open(reader, datum)?;
        let id = table.field::<String, Word>(reader, "id", None);
        let name = table.field::<String, Plain>(reader, "name", None);
        let material = table.field::<MaterialId, Plain>(reader, "material", None);
        let cut_from_interfacing =
            material.is_some_and(|id| reader.pattern.material(id).is_interfacing());
        if cut_from_interfacing {
            reader.within(Part::Key("material".to_owned()), |reader| {
                let hint = "name a fabric or a webbing here, and the interfacing as `interfacing`";
                reader.report("a piece is not cut from interfacing alone", hint);
            });
        }
        let drawn = outline::read(reader, &mut table);
        let grain = table.field::<Option<Grain>, Plain>(reader, "grain", None);
        let interfacing = table.field::<Option<Interfaced>, Plain>(reader, "interfacing", None);
        let is_fabric = interfacing
            .flatten()
            .is_some_and(|on| !reader.pattern.material(on.material).is_interfacing());
        if is_fabric {
            reader.within(Part::Key("interfacing".to_owned()), |reader| {
                reader.report("this material is no interfacing", "name one of form `interfacing`");
            });
        }
        let join = table.field::<Option<StripJoin>, Plain>(reader, "join", None);
        let trimmed = table.field::<Length, Plain>(reader, "trimmed", Some(Length::ZERO));
        let marks = table.get("marks");
        table.close(reader);
        let (net, edges) = drawn?;
        if join.flatten().is_some() && !net.is_upright_rectangle() {
            let hint = "leave `join` out, or draw the piece as a rectangle";
            reader.report("only a rectangle can be joined from strips", hint);
            return None;
        }
        let mut piece = Self {
            id: id?,
            name: name?,
            material: material.filter(|_| !cut_from_interfacing && !is_fabric)?,
            net,
            edges,
            grain: grain?.unwrap_or(Grain::Lengthwise),
            interfacing: interfacing?,
            marks: Vec::new(),
            join: join?,
            trimmed: trimmed?,
        };
        if let Some(marks) = marks {
            piece.marks = reader.within(Part::Key("marks".to_owned()), |reader| {
                items(reader, marks, LONGEST_LIST, |reader, mark| read_mark(reader, mark, &piece))
            })?;
        }
        Some(piece)
    }
}

/// The keys of marks that are two points.
const LINES: [&str; 4] = ["placement", "fold", "stitching", "box-and-x"];

fn write_mark(mark: &Mark, edges: &[Edge], pattern: &Pattern) -> Datum {
    let name = |edge: usize| Datum::text(edges.get(edge).map_or("", |edge| edge.name.as_str()));
    let field = |key: &str, datum: Datum| (key.to_owned(), datum);
    let line = |key: &str, a: Point, b: Point| {
        [a, b].write(pattern).map(|line| (key.to_owned(), line)).into_iter().collect::<Vec<_>>()
    };
    let mut fields = vec![field("label", Datum::text(&mark.label))];
    fields.extend(match mark.shape {
        MarkShape::Notch { edge, along } => {
            vec![field("notch", name(edge)), field("at", Datum::Length(along))]
        }
        MarkShape::Opening { edge, from, to } => vec![
            field("opening", name(edge)),
            field("from", Datum::Length(from)),
            field("to", Datum::Length(to)),
        ],
        MarkShape::Placement(a, b) => line(LINES[0], a, b),
        MarkShape::Fold(a, b) => line(LINES[1], a, b),
        MarkShape::Stitching(a, b) => line(LINES[2], a, b),
        MarkShape::BoxAndX(a, b) => line(LINES[3], a, b),
        MarkShape::Dot(point) => {
            point.write(pattern).map(|point| field("dot", point)).into_iter().collect()
        }
    });
    Datum::Record(fields)
}

fn read_mark(reader: &mut Reader, datum: &Datum, piece: &Piece) -> Option<Mark> {
    let mut table = Table::open(reader, datum)?;
    let label = table.field::<String, Plain>(reader, "label", None);
    let shape = read_shape(reader, &mut table, piece);
    table.close(reader);
    Some(Mark { label: label?, shape: shape? })
}

fn read_shape(reader: &mut Reader, table: &mut Table<'_>, piece: &Piece) -> Option<MarkShape> {
    if let Some(datum) = table.get("notch") {
        let edge = own_edge(reader, "notch", datum, piece);
        let along = table.field::<Length, Plain>(reader, "at", None)?;
        return on_edge(reader, piece, edge?, along).map(|edge| MarkShape::Notch { edge, along });
    }
    if let Some(datum) = table.get("opening") {
        let edge = own_edge(reader, "opening", datum, piece);
        let from = table.field::<Length, Plain>(reader, "from", None);
        let to = table.field::<Length, Plain>(reader, "to", None);
        let (from, to) = (from?, to?);
        if from >= to {
            reader.report("this opening ends before it begins", "let `to` be more than `from`");
            return None;
        }
        return on_edge(reader, piece, edge?, to).map(|edge| MarkShape::Opening { edge, from, to });
    }
    if let Some(datum) = table.get("dot") {
        return reader.within(Part::Key("dot".to_owned()), |reader| {
            Point::read(reader, datum).map(MarkShape::Dot)
        });
    }
    for key in LINES {
        let Some(datum) = table.get(key) else { continue };
        let line =
            reader.within(Part::Key(key.to_owned()), |reader| <[Point; 2]>::read(reader, datum));
        let [a, b] = line?;
        return Some(match key {
            "placement" => MarkShape::Placement(a, b),
            "fold" => MarkShape::Fold(a, b),
            "stitching" => MarkShape::Stitching(a, b),
            _ => MarkShape::BoxAndX(a, b),
        });
    }
    let hint = "write one of notch, opening, dot, placement, fold, stitching and box-and-x";
    reader.report("this mark has no shape", hint);
    None
}

/// An edge of the piece itself, by name.
fn own_edge(reader: &mut Reader, key: &str, datum: &Datum, piece: &Piece) -> Option<usize> {
    reader.within(Part::Key(key.to_owned()), |reader| {
        let name = String::read(reader, datum)?;
        let found = piece.edge(&name);
        if found.is_none() {
            let known = piece.edges.iter().map(|edge| edge.name.clone()).collect();
            reader.no_such_name("an edge of this piece", &name, known);
        }
        found
    })
}

fn on_edge(reader: &mut Reader, piece: &Piece, edge: usize, along: Length) -> Option<usize> {
    let whole = piece.net.edge_length(edge);
    if along > whole {
        let hint = format!("the edge is {} long", reader.show(whole));
        reader.report("this mark lies beyond the end of its edge", hint);
        return None;
    }
    Some(edge)
}

/// Reads the copies: a name for each, and the piece that it is cut by.
pub(super) fn read_copies(reader: &mut Reader, datum: &Datum) {
    let Datum::Record(entries) = datum else {
        reader.mistyped(datum, "a table, each line `\"name of the copy\" = \"id of its piece\"`");
        return;
    };
    if entries.len() > LONGEST_LIST {
        let message = format!("there are {} copies", entries.len());
        reader.report(message, format!("at most {LONGEST_LIST} are taken"));
        return;
    }
    for (name, datum) in entries {
        let named = String::read(reader, &Datum::text(name));
        let copy = reader.within(Part::Key(name.clone()), |reader| read_copy(reader, datum));
        match (named, copy) {
            (Some(name), Some((piece, mirrored))) => {
                reader.pattern.copies.push(Copy { piece, name, mirrored });
            }
            _ => {
                reader.broken.insert(name.clone());
            }
        }
    }
}

fn read_copy(reader: &mut Reader, datum: &Datum) -> Option<(PieceId, bool)> {
    if matches!(datum, Datum::Text(_)) {
        return PieceId::read(reader, datum).map(|piece| (piece, false));
    }
    let mut table = Table::open(reader, datum)?;
    let piece = table.field::<PieceId, Plain>(reader, "piece", None);
    let mirrored = table.field::<bool, Plain>(reader, "mirrored", None);
    table.close(reader);
    Some((piece?, mirrored?))
}

/// Writes the copies.
pub(super) fn write_copies(pattern: &Pattern) -> Datum {
    let copies = pattern.copies.iter().filter_map(|copy| {
        let piece = copy.piece.write(pattern)?;
        let datum = match copy.mirrored {
            false => piece,
            true => Datum::Record(vec![
                ("piece".to_owned(), piece),
                ("mirrored".to_owned(), Datum::Flag(true)),
            ]),
        };
        Some((copy.name.clone(), datum))
    });
    Datum::Record(copies.collect())
}

impl Field for PieceId {
    fn takes() -> String {
        "the id of a piece".to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        Some(Datum::text(&pattern.pieces.get(self.0)?.id))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let id = String::read(reader, datum)?;
        let found = reader.pattern.pieces.iter().position(|piece| piece.id == id);
        if found.is_none() {
            let known = reader.pattern.pieces.iter().map(|piece| piece.id.clone()).collect();
            reader.no_such_name("a piece", &id, known);
        }
        found.map(Self)
    }
}
