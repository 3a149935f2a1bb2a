//! The stitching line of a piece with its edges: a rectangle, a trapezoid, or edge by edge, each
//! straight or along a path of straight and curved parts.

use measure::{Length, Outline, Point, Segment};

use super::basic::items;
use super::{Datum, Field, Part, Plain, Reader, Table};
use crate::pattern::{Edge, Pattern, Piece};

/// The most edges of a piece, and the most parts of all its edges together.
const MOST_EDGES: usize = 48;
const MOST_PARTS: usize = 96;

/// The largest piece with curves; straight ones may be as long as any strap.
const LARGEST_CURVED: Length = Length::mm(3_000);

/// The shortest edge that can be sewn.
const SHORTEST: Length = Length::nm(500_000);

/// A part of an edge, and where it ends.
type Piecewise = (Segment, Point);

/// Writes the stitching line and the edges of a piece.
pub(super) fn write(piece: &Piece, pattern: &Pattern, into: &mut Vec<(String, Datum)>) {
    let lengths = |fields: &[(&str, Length)]| {
        let fields = fields.iter().map(|(key, length)| ((*key).to_owned(), Datum::Length(*length)));
        Datum::Record(fields.collect())
    };
    let net = &piece.net;
    let (width, height) = net.size();
    let (base, top) = (net.edge_length(0), net.edge_length(2));
    let mut is_free = false;
    if *net == Outline::rectangle(width, height) {
        into.push(("rectangle".to_owned(), lengths(&[("width", width), ("height", height)])));
    } else if *net == Outline::trapezoid(base, top, height) {
        let datum = lengths(&[("base", base), ("top", top), ("height", height)]);
        into.push(("trapezoid".to_owned(), datum));
    } else {
        is_free = true;
        into.extend(net.vertex(0).write(pattern).map(|start| ("start".to_owned(), start)));
    }
    let edges = piece.edges.iter().zip(net.edges()).map(|(edge, drawn)| {
        let mut fields = vec![
            ("name".to_owned(), Datum::text(&edge.name)),
            ("allowance".to_owned(), Datum::Length(edge.allowance)),
        ];
        if is_free && drawn.is_straight() {
            fields.extend(drawn.end().write(pattern).map(|end| ("to".to_owned(), end)));
        } else if is_free {
            let parts = drawn.segments().map(|(_, segment, end)| part(segment, end, pattern));
            fields.push(("path".to_owned(), Datum::List(parts.collect())));
        }
        Datum::Record(fields)
    });
    into.push(("edges".to_owned(), Datum::List(edges.collect())));
}

fn part(segment: Segment, end: Point, pattern: &Pattern) -> Datum {
    let mut fields = Vec::new();
    if let Segment::Curve(a, b) = segment {
        fields.extend([a, b].write(pattern).map(|curve| ("curve".to_owned(), curve)));
    }
    fields.extend(end.write(pattern).map(|end| ("to".to_owned(), end)));
    Datum::Record(fields)
}

/// Reads the stitching line and the edges of a piece, and looks them over.
pub(super) fn read(reader: &mut Reader, table: &mut Table<'_>) -> Option<(Outline, Vec<Edge>)> {
    let rectangle = table
        .get("rectangle")
        .map(|datum| sized(reader, "rectangle", datum, ["width", "width", "height"]));
    let trapezoid = table
        .get("trapezoid")
        .map(|datum| sized(reader, "trapezoid", datum, ["base", "top", "height"]));
    let start = table.get("start").map(|datum| {
        reader.within(Part::Key("start".to_owned()), |reader| Point::read(reader, datum))
    });
    let is_free = rectangle.is_none() && trapezoid.is_none();
    let named = table.get("edges");
    let Some(named) = named else {
        reader.report(
            "`edges` is missing here",
            "write `edges = [{ name, allowance }, …]`, in order",
        );
        return None;
    };
    let edges = reader.within(Part::Key("edges".to_owned()), |reader| {
        items(reader, named, MOST_EDGES, |reader, datum| edge(reader, datum, is_free))
    });
    let net = match (rectangle, trapezoid, start) {
        (Some(net), None, None) | (None, Some(net), None) => net?,
        (None, None, Some(start)) => free(reader, start?, edges.as_ref()?)?,
        _ => {
            let hint = "write one of `rectangle = { width, height }`, `trapezoid = { base, top, \
                        height }` and `start = [across, up]`, which begins a free outline";
            reader.report("the stitching line of this piece is not clear", hint);
            return None;
        }
    };
    let edges: Vec<Edge> = edges?.into_iter().map(|(edge, _)| edge).collect();
    look_over(reader, &net, &edges)?;
    Some((net, edges))
}

/// A rectangle or a trapezoid from base, top and height, by their keys.
fn sized(reader: &mut Reader, key: &str, datum: &Datum, keys: [&str; 3]) -> Option<Outline> {
    reader.within(Part::Key(key.to_owned()), |reader| {
        let mut table = Table::open(reader, datum)?;
        let [base, top, height] = keys.map(|key| table.field::<Length, Plain>(reader, key, None));
        table.close(reader);
        let (base, top, height) = (base?, top?, height?);
        if [base, top, height].iter().any(|length| *length < Length::MM) {
            reader.report("a piece of less than 1 mm cannot be cut", "write its size in full");
            return None;
        }
        Some(Outline::trapezoid(base, top, height))
    })
}

/// An edge, and the way it takes if the outline is free.
fn edge(reader: &mut Reader, datum: &Datum, is_free: bool) -> Option<(Edge, Vec<Piecewise>)> {
    let mut table = Table::open(reader, datum)?;
    let name = table.field::<String, Plain>(reader, "name", None);
    let allowance = table.field::<Length, Plain>(reader, "allowance", None);
    let way = if is_free { way(reader, &mut table) } else { Some(Vec::new()) };
    table.close(reader);
    let (name, allowance) = (name?, allowance?);
    if allowance > Length::mm(300) {
        let hint = format!("at most {} are taken", reader.show(Length::mm(300)));
        reader.within(Part::Key("allowance".to_owned()), |reader| {
            reader.report("no seam or hem takes so much", hint);
        });
        return None;
    }
    Some((Edge { name, allowance }, way?))
}

fn way(reader: &mut Reader, table: &mut Table<'_>) -> Option<Vec<Piecewise>> {
    let Some(path) = table.get("path") else {
        let end = table.field::<Point, Plain>(reader, "to", None)?;
        return Some(vec![(Segment::Line, end)]);
    };
    reader.within(Part::Key("path".to_owned()), |reader| {
        items(reader, path, MOST_PARTS, |reader, datum| {
            let mut table = Table::open(reader, datum)?;
            let curve = table.get("curve").map(|datum| {
                reader.within(Part::Key("curve".to_owned()), |reader| {
                    <[Point; 2]>::read(reader, datum)
                })
            });
            let end = table.field::<Point, Plain>(reader, "to", None);
            table.close(reader);
            let segment = match curve {
                None => Segment::Line,
                Some(curve) => curve.map(|[a, b]| Segment::Curve(a, b))?,
            };
            Some((segment, end?))
        })
    })
}

/// An outline edge by edge. The last edge must come back to the start.
fn free(reader: &mut Reader, start: Point, edges: &[(Edge, Vec<Piecewise>)]) -> Option<Outline> {
    let chains: Vec<Vec<Piecewise>> = edges.iter().map(|(_, way)| way.clone()).collect();
    let parts: Vec<&Piecewise> = chains.iter().flatten().collect();
    if parts.len() > MOST_PARTS {
        let message = format!("the stitching line has {} parts", parts.len());
        reader.report(message, format!("at most {MOST_PARTS} are taken"));
        return None;
    }
    let curved = parts.iter().any(|(segment, _)| matches!(segment, Segment::Curve(..)));
    let reach = |point: &Point| point.x.abs().max(point.y.abs());
    let farthest = parts
        .iter()
        .flat_map(|(segment, end)| match segment {
            Segment::Line => vec![end],
            Segment::Curve(a, b) => vec![a, b, end],
        })
        .map(reach)
        .max();
    if curved && farthest > Some(LARGEST_CURVED) {
        let hint = format!("at most {} from the origin are taken", reader.show(LARGEST_CURVED));
        reader.report("a piece with curves is not so large", hint);
        return None;
    }
    match Outline::from_edges(start, chains) {
        Ok(net) => Some(net),
        Err(error) => {
            let hint = "go round the piece with its inside on the left, seen from the right side, \
                        and let the last edge end at `start`";
            reader.report(error.to_string(), hint);
            None
        }
    }
}

/// What must hold of every piece, so that it can be cut and sewn.
fn look_over(reader: &mut Reader, net: &Outline, edges: &[Edge]) -> Option<()> {
    if edges.len() != net.edge_count() {
        let message =
            format!("{} edges are named, and the piece has {}", edges.len(), net.edge_count());
        let hint = "name each edge once, in order: of a rectangle the base, the right side, the \
                    rim and the left side";
        reader.within(Part::Key("edges".to_owned()), |reader| reader.report(message, hint));
        return None;
    }
    for (index, edge) in edges.iter().enumerate() {
        let here = [Part::Key("edges".to_owned()), Part::Index(index)];
        let fault = if edges.iter().take(index).any(|other| other.name == edge.name) {
            Some((
                format!("two edges of this piece are called `{}`", edge.name),
                "give each its own name",
            ))
        } else if net.edge_length(index) < SHORTEST {
            Some((format!("the edge `{}` has no length", edge.name), "leave it out"))
        } else {
            None
        };
        if let Some((message, hint)) = fault {
            let [list, item] = here;
            reader.within(list, |reader| {
                reader.within(item, |reader| reader.report(message, hint));
            });
            return None;
        }
    }
    if !net.is_simple() {
        let hint = "go round the piece once, without crossing or touching the line";
        reader.report("the stitching line crosses or touches itself", hint);
        return None;
    }
    let allowances: Vec<Length> = edges.iter().map(|edge| edge.allowance).collect();
    if let Err(error) = net.offset(&allowances) {
        let message = format!("the allowances do not fit around this stitching line: {error}");
        reader.report(message, "make them smaller, or the corner less sharp");
        return None;
    }
    Some(())
}
