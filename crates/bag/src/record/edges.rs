//! Copies, edges, spans and runs, and how something is measured along them.

use measure::{Length, Point};

use super::basic::{items, whole};
use super::reader::LONGEST_LIST;
use super::{Datum, Field, Form, Part, Plain, Reader, Table};
use crate::operations::Gap;
use crate::pattern::{CopyId, Gauge, Pattern, Reach, Run, Span};

/// The most spans in a run.
const LONGEST_RUN: usize = 60;

impl Field for CopyId {
    fn takes() -> String {
        "the name of a copy".to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        Some(Datum::text(&pattern.copies.get(self.0)?.name))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let name = String::read(reader, datum)?;
        let found = reader.pattern.copies.iter().position(|copy| copy.name == name);
        if found.is_none() {
            let known = reader.pattern.copies.iter().map(|copy| copy.name.clone()).collect();
            reader.no_such_name("a copy", &name, known);
        }
        found.map(Self)
    }
}

/// The name of an edge, for writing.
pub(crate) fn name_of_edge(pattern: &Pattern, copy: CopyId, edge: usize) -> Datum {
    let name = pattern.piece_of(copy).edges.get(edge).map_or("", |edge| edge.name.as_str());
    Datum::text(name)
}

/// Reads the edge of a copy that a key names. Without the copy, which has been reported, nothing.
pub(crate) fn edge_named(
    reader: &mut Reader,
    table: &mut Table<'_>,
    key: &str,
    copy: Option<CopyId>,
) -> Option<usize> {
    let name = table.field::<String, Plain>(reader, key, None)?;
    let copy = copy?;
    reader.within(Part::Key(key.to_owned()), |reader| reader.edge_of(copy, &name))
}

/// An edge of a copy.
impl Field for (CopyId, usize) {
    fn takes() -> String {
        "`{ copy, edge }`".to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        Some(Datum::Record(vec![
            ("copy".to_owned(), self.0.write(pattern)?),
            ("edge".to_owned(), name_of_edge(pattern, self.0, self.1)),
        ]))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let mut table = Table::open(reader, datum)?;
        let copy = table.field::<CopyId, Plain>(reader, "copy", None);
        let edge = edge_named(reader, &mut table, "edge", copy);
        table.close(reader);
        Some((copy?, edge?))
    }
}

impl Field for Span {
    fn takes() -> String {
        "`{ copy, edge }`, with `from` and `to` for less than the whole edge, and `backward = \
         true` where it is sewn against the outline"
            .to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        let Datum::Record(mut fields) = (self.copy, self.edge).write(pattern)? else { return None };
        let whole = pattern.piece_of(self.copy).net.edge_length(self.edge);
        if (self.from, self.to) == (whole, Length::ZERO) {
            fields.push(("backward".to_owned(), Datum::Flag(true)));
        } else if (self.from, self.to) != (Length::ZERO, whole) {
            fields.push(("from".to_owned(), Datum::Length(self.from)));
            fields.push(("to".to_owned(), Datum::Length(self.to)));
        }
        Some(Datum::Record(fields))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let mut table = Table::open(reader, datum)?;
        let copy = table.field::<CopyId, Plain>(reader, "copy", None);
        let edge = edge_named(reader, &mut table, "edge", copy);
        let from = table.field::<Option<Length>, Plain>(reader, "from", None);
        let to = table.field::<Option<Length>, Plain>(reader, "to", None);
        let backward = table.field::<bool, Plain>(reader, "backward", None);
        table.close(reader);
        let (copy, edge, from, to) = (copy?, edge?, from?, to?);
        let whole = reader.edge_length(copy, edge);
        for (key, at) in [("from", from), ("to", to)] {
            if at.is_some_and(|at| at > whole) {
                let message = "this lies beyond the end of the edge";
                let hint = format!("the edge is {} long", reader.show(whole));
                reader.within(Part::Key(key.to_owned()), |reader| reader.report(message, hint));
                return None;
            }
        }
        let (first, last) = if backward? { (whole, Length::ZERO) } else { (Length::ZERO, whole) };
        let (from, to) = (from.unwrap_or(first), to.unwrap_or(last));
        if from == to {
            let hint = "let `from` and `to` differ; leave both out for the whole edge";
            reader.report("this stretch has no length", hint);
            return None;
        }
        if backward? && from < to {
            let hint = "leave `backward` out, or let `from` be the larger of the two";
            reader.report("this stretch runs forward from `from` to `to`", hint);
            return None;
        }
        Some(Self { copy, edge, from, to })
    }
}

/// One span, a list of them, or a list that closes on itself: `{ round = [ … ] }`.
impl Field for Run {
    fn takes() -> String {
        "a stretch of an edge, a list of them one after the other, or `{ round = [ … ] }` for one \
         that closes on itself"
            .to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        let list = self.spans.write(pattern)?;
        Some(match (self.closed, list) {
            (true, list) => Datum::Record(vec![("round".to_owned(), list)]),
            (false, Datum::List(mut list)) if list.len() == 1 => list.remove(0),
            (false, list) => list,
        })
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let (spans, closed) = match datum {
            Datum::Record(fields) if fields.iter().any(|(key, _)| key == "round") => {
                let mut table = Table::open(reader, datum)?;
                let round = table.get("round")?;
                let spans = reader.within(Part::Key("round".to_owned()), |reader| {
                    items(reader, round, LONGEST_RUN, Span::read)
                });
                table.close(reader);
                (spans?, true)
            }
            Datum::List(_) => (items(reader, datum, LONGEST_RUN, Span::read)?, false),
            one => (vec![Span::read(reader, one)?], false),
        };
        if spans.is_empty() {
            reader.report("nothing is sewn here", "name at least one edge, as in `{ copy, edge }`");
            return None;
        }
        Some(Self { spans, closed })
    }
}

/// Seams, each with its two sides in the same sewing direction.
#[derive(Debug)]
pub struct Seams;

impl Form<Vec<[Run; 2]>> for Seams {
    fn takes() -> String {
        "a list of seams, each `{ sew = RUN, to = RUN }`".to_owned()
    }

    fn write(seams: &Vec<[Run; 2]>, pattern: &Pattern) -> Option<Datum> {
        let seam = |[one, other]: &[Run; 2]| {
            Some(Datum::Record(vec![
                ("sew".to_owned(), one.write(pattern)?),
                ("to".to_owned(), other.write(pattern)?),
            ]))
        };
        Some(Datum::List(seams.iter().filter_map(seam).collect()))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Vec<[Run; 2]>> {
        let seams = items(reader, datum, LONGEST_LIST, |reader, seam| {
            let mut table = Table::open(reader, seam)?;
            let one = table.field::<Run, Plain>(reader, "sew", None);
            let other = table.field::<Run, Plain>(reader, "to", None);
            table.close(reader);
            Some([one?, other?])
        })?;
        if seams.is_empty() {
            reader.report("no seam is named", "write at least one, `{ sew = …, to = … }`");
            return None;
        }
        Some(seams)
    }
}

impl Field for Gap {
    fn takes() -> String {
        "`{ from, to }` along the first side of the first seam".to_owned()
    }

    fn write(&self, _: &Pattern) -> Option<Datum> {
        Some(Datum::Record(vec![
            ("from".to_owned(), Datum::Length(self.from)),
            ("to".to_owned(), Datum::Length(self.to)),
        ]))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let mut table = Table::open(reader, datum)?;
        let from = table.field::<Length, Plain>(reader, "from", None);
        let to = table.field::<Length, Plain>(reader, "to", None);
        table.close(reader);
        let (from, to) = (from?, to?);
        if from >= to {
            reader.report("this opening ends before it begins", "let `to` be more than `from`");
            return None;
        }
        Some(Self { from, to })
    }
}

/// A measure that is taken at one edge of a copy.
type AtEdge = fn(CopyId, usize) -> Reach;

/// The measures that are taken at one edge, by their keys.
const AT_EDGE: [(&str, AtEdge); 4] = [
    ("along", Reach::Along),
    ("half", Reach::Half),
    ("boxed-off", Reach::BoxedOff),
    ("zip", Reach::Zip),
];

impl Field for Reach {
    fn takes() -> String {
        "`{ along = COPY, edge }`, or `{ across = COPY, from = EDGE, to = EDGE }`, with `layers` \
         if it is folded into that many, or `on-fold = true` if it is measured along its fold, or \
         `{ wide = COPY }` or `{ high = COPY }` for the box around its sewn lines, or \
         `{ half = COPY, edge }` of an edge that is sewn into a ring, or \
         `{ turned-down = COPY, from = point, to = EDGE }` from a point of the fold at the top, or \
         `{ boxed-off = COPY, edge }` for what is boxed off there, or `{ zip = COPY, edge }` for what \
         the zip along it shows"
            .to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        let field = |key: &str, datum| (key.to_owned(), datum);
        Some(Datum::Record(match *self {
            Self::Along(copy, edge) => vec![
                field("along", copy.write(pattern)?),
                field("edge", name_of_edge(pattern, copy, edge)),
            ],
            Self::Half(copy, edge) => vec![
                field("half", copy.write(pattern)?),
                field("edge", name_of_edge(pattern, copy, edge)),
            ],
            Self::BoxedOff(copy, edge) => vec![
                field("boxed-off", copy.write(pattern)?),
                field("edge", name_of_edge(pattern, copy, edge)),
            ],
            Self::Zip(copy, edge) => vec![
                field("zip", copy.write(pattern)?),
                field("edge", name_of_edge(pattern, copy, edge)),
            ],
            Self::FromFold(copy, point, to) => vec![
                field("turned-down", copy.write(pattern)?),
                field("from", point.write(pattern)?),
                field("to", name_of_edge(pattern, copy, to)),
            ],
            Self::Across(copy, from, to) => vec![
                field("across", copy.write(pattern)?),
                field("from", name_of_edge(pattern, copy, from)),
                field("to", name_of_edge(pattern, copy, to)),
            ],
            Self::Wide(copy) => vec![field("wide", copy.write(pattern)?)],
            Self::High(copy) => vec![field("high", copy.write(pattern)?)],
            Self::OnFold(copy, from, to) => vec![
                field("across", copy.write(pattern)?),
                field("from", name_of_edge(pattern, copy, from)),
                field("to", name_of_edge(pattern, copy, to)),
                field("on-fold", Datum::Flag(true)),
            ],
            Self::Folded(copy, from, to, layers) => vec![
                field("across", copy.write(pattern)?),
                field("from", name_of_edge(pattern, copy, from)),
                field("to", name_of_edge(pattern, copy, to)),
                field("layers", Datum::Number(layers.to_string())),
            ],
        }))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let mut table = Table::open(reader, datum)?;
        let reach = if table.has("wide") {
            table.field::<CopyId, Plain>(reader, "wide", None).map(Self::Wide)
        } else if table.has("high") {
            table.field::<CopyId, Plain>(reader, "high", None).map(Self::High)
        } else if let Some((key, reach)) = AT_EDGE.iter().find(|(key, _)| table.has(key)) {
            let copy = table.field::<CopyId, Plain>(reader, key, None);
            let edge = edge_named(reader, &mut table, "edge", copy);
            copy.zip(edge).map(|(copy, edge)| reach(copy, edge))
        } else if table.has("turned-down") {
            let copy = table.field::<CopyId, Plain>(reader, "turned-down", None);
            let from = table.field::<Point, Plain>(reader, "from", None);
            let to = edge_named(reader, &mut table, "to", copy);
            copy.zip(from).zip(to).map(|((copy, from), to)| Self::FromFold(copy, from, to))
        } else {
            let copy = table.field::<CopyId, Plain>(reader, "across", None);
            let from = edge_named(reader, &mut table, "from", copy);
            let to = edge_named(reader, &mut table, "to", copy);
            let layers = table.get("layers").map(|datum| {
                reader.within(Part::Key("layers".to_owned()), |reader| whole(reader, datum, 1, 16))
            });
            let on_fold = table.field::<bool, Plain>(reader, "on-fold", None);
            copy.zip(from).zip(to).and_then(|((copy, from), to)| match (on_fold?, layers) {
                (false, None) => Some(Self::Across(copy, from, to)),
                (true, None) => Some(Self::OnFold(copy, from, to)),
                (_, Some(layers)) => Some(Self::Folded(copy, from, to, layers?)),
            })
        };
        table.close(reader);
        reach
    }
}

impl Field for Gauge {
    fn takes() -> String {
        "a gauge, see above".to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        self.0.write(pattern)
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        items(reader, datum, LONGEST_RUN, Reach::read).map(Self)
    }
}
