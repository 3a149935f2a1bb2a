//! Place one thing on another, and baste it there.

use measure::{Length, Point};

use super::takes::edge_length;
use super::{
    Along, Operation, Phrase, Row, RowKind, Sewing, Shown, Stitching, Takes, Telling, Told, Tool,
    Worded,
};
use crate::assembly::Assembly;
use crate::draft::Drafter;
use crate::pattern::{CopyId, Pattern, Run};
use crate::record::{
    AtLeastOne, Datum, Field, Plain, Reader, Table, edge_named, name_of_edge, record, words,
};

/// Place things on copies, each at its position, and hold them there for the time being.
#[derive(Clone, Debug)]
pub struct Place {
    /// What is placed where.
    pub items: Vec<Placed>,
    /// The whole instruction, with its measures: how it lies, and against what.
    pub how: Phrase,
    /// Where people go wrong.
    pub mind: Option<Phrase>,
    /// What holds it.
    pub attach: Attach,
}

/// One thing, placed on a copy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Placed {
    /// What is placed.
    pub what: CopyId,
    /// What it lies on.
    pub onto: CopyId,
    /// Where the lower left corner of its stitching line comes, in that copy's coordinates.
    pub at: Point,
    /// Which of its faces is up.
    pub face_up: FaceSide,
    /// Which face of what lies below is up.
    pub ground: FaceSide,
    /// Whether it stands on its head.
    pub upside_down: bool,
    /// Edges of it that lie level with edges of what is below, and are caught with them later:
    /// (its edge, the copy below, that copy's edge).
    pub level: Vec<(usize, CopyId, usize)>,
    /// The feet of a strap, in order along it.
    pub feet: Vec<Foot>,
}

/// One end of a strap, where it is fastened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Foot {
    /// The strap's edge at that end.
    pub edge: usize,
    /// Where the middle of that edge comes, in the coordinates of what lies below.
    pub at: Point,
    /// Which face of the strap is up at that end.
    pub face_up: FaceSide,
}

/// A face of a piece of fabric.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FaceSide {
    /// The right side.
    Right,
    /// The wrong side.
    Wrong,
}

impl FaceSide {
    /// The one behind it.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Right => Self::Wrong,
            Self::Wrong => Self::Right,
        }
    }

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Right => "right side",
            Self::Wrong => "wrong side",
        }
    }
}

impl Placed {
    /// Placed right side up on a right side, standing upright, level with nothing.
    pub fn new(what: CopyId, onto: CopyId, at: Point) -> Self {
        Self {
            what,
            onto,
            at,
            face_up: FaceSide::Right,
            ground: FaceSide::Right,
            upside_down: false,
            level: Vec::new(),
            feet: Vec::new(),
        }
    }
}

/// What holds something in its place for the time being.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Attach {
    /// Basted within the seam allowance.
    Baste {
        /// How far from the edge.
        from_edge: Length,
        /// Stitch length.
        stitch: Length,
    },
    /// Pinned.
    Pin,
    /// Held with clips, or with tape, where pins would leave holes.
    Clips,
}

impl Attach {
    /// Basted 1/4 in (6 mm) from the edge, as is usual.
    pub fn baste(d: &Drafter<'_>) -> Self {
        let usual = d.either(Length::inch_frac(1, 4), Length::mm(6));
        Self::Baste { from_edge: usual, stitch: d.stitch("baste") }
    }
}

impl Operation for Place {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let held = match self.attach {
            Attach::Baste { from_edge, stitch } => format!(
                "Baste along the raw edges, {} from the edge, within the seam allowance (stitch \
                 length {}).",
                t.len(from_edge),
                t.stitch(stitch)
            ),
            Attach::Pin => "Pin.".to_owned(),
            Attach::Clips => "Hold it with clips or tape: pins leave holes that stay.".to_owned(),
        };
        Told {
            text: format!("{} {held}", self.how.tell(t)),
            mind: self.mind.as_ref().map(|mind| mind.tell(t)),
        }
    }

    fn shown(&self, t: &Telling<'_>) -> Shown {
        let (tools, rows, held) = match self.attach {
            Attach::Pin => (vec![Tool::Pins], Vec::new(), None),
            Attach::Clips => (Vec::new(), Vec::new(), None),
            Attach::Baste { from_edge, .. } => {
                // One row holds what lies on top and what lies under it with its wrong side up.
                let on_top = |item: &&Placed| item.face_up == FaceSide::Right;
                let any = self.items.iter().any(|item| on_top(&item));
                let seen = self.items.iter().filter(|item| !any || on_top(item));
                let level = seen.flat_map(|item| {
                    item.level.iter().map(|(edge, ..)| Run::edge(t.pattern, item.what, *edge))
                });
                let row =
                    |run| Row { beside: Along::Raw(run), from: from_edge, kind: RowKind::Baste };
                (Vec::new(), level.map(row).collect(), Some(from_edge))
            }
        };
        let measures = self.how.lengths().chain(held).collect();
        Shown { tools, rows, measures, ..Shown::default() }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let Attach::Baste { stitch, .. } = self.attach else { return Takes::default().in_hand() };
        let mut takes = Takes::default();
        for item in &self.items {
            let piece = work.pattern.piece_of(item.what);
            let edges = if item.feet.is_empty() {
                item.level.iter().map(|(own, ..)| *own).collect()
            } else {
                item.feet.iter().map(|foot| foot.edge).collect::<Vec<_>>()
            };
            for edge in edges {
                let row = Sewing::new(Stitching::Baste, edge_length(work, item.what, edge), stitch);
                takes
                    .rows
                    .push(row.through(item.what, piece.folded_layers()).through(item.onto, 1));
            }
        }
        takes
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        for item in &self.items {
            work.place(item);
        }
    }

    fn copies(&self) -> Vec<CopyId> {
        self.items.iter().flat_map(|item| [item.what, item.onto]).collect()
    }
}

impl Worded for Place {
    const WORD: &'static str = "place";
}

record!(Place: "Place things on copies, and pin or baste them there." {
    items via AtLeastOne; "What is placed where.",
    how; "The whole instruction, with its measures: how it lies, and against what.",
    mind; "Where people go wrong.",
    attach; "What holds it: pins, clips, or basting `from-edge` with a `stitch` length.",
});

words!(FaceSide { "right" => Right, "wrong" => Wrong });

impl Field for Attach {
    fn takes() -> String {
        "`\"pin\"`, `\"clips\"` or `{ from-edge, stitch }`".to_owned()
    }

    fn write(&self, _: &Pattern) -> Option<Datum> {
        Some(match *self {
            Self::Pin => Datum::text("pin"),
            Self::Clips => Datum::text("clips"),
            Self::Baste { from_edge, stitch } => Datum::Record(vec![
                ("from-edge".to_owned(), Datum::Length(from_edge)),
                ("stitch".to_owned(), Datum::Length(stitch)),
            ]),
        })
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        if let Datum::Text(word) = datum {
            return match word.as_str() {
                "pin" => Some(Self::Pin),
                "clips" => Some(Self::Clips),
                _ => {
                    reader.no_such_word(word, &["pin", "clips"], &Self::takes());
                    None
                }
            };
        }
        let mut table = Table::open(reader, datum)?;
        let from_edge = table.field::<Length, Plain>(reader, "from-edge", None);
        let stitch = table.field::<Length, Plain>(reader, "stitch", None);
        table.close(reader);
        Some(Self::Baste { from_edge: from_edge?, stitch: stitch? })
    }
}

impl Field for Placed {
    fn takes() -> String {
        "`{ what, onto, at }`, with `face-up` and `ground` (`\"right\"` if left out), `upside-down`, \
         `level` (a list of `{ edge, copy, to }`: its edge, and the copy and edge that it lies level \
         with) and `feet` (a list of `{ edge, at, face-up }`) where they apply"
            .to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        let mut fields = vec![
            ("what".to_owned(), self.what.write(pattern)?),
            ("onto".to_owned(), self.onto.write(pattern)?),
            ("at".to_owned(), self.at.write(pattern)?),
        ];
        for (key, side) in [("face-up", self.face_up), ("ground", self.ground)] {
            if side != FaceSide::Right {
                fields.push((key.to_owned(), side.write(pattern)?));
            }
        }
        if self.upside_down {
            fields.push(("upside-down".to_owned(), Datum::Flag(true)));
        }
        let level = self.level.iter().filter_map(|(edge, copy, to)| {
            Some(Datum::Record(vec![
                ("edge".to_owned(), name_of_edge(pattern, self.what, *edge)),
                ("copy".to_owned(), copy.write(pattern)?),
                ("to".to_owned(), name_of_edge(pattern, *copy, *to)),
            ]))
        });
        if !self.level.is_empty() {
            fields.push(("level".to_owned(), Datum::List(level.collect())));
        }
        let feet = self.feet.iter().filter_map(|foot| {
            Some(Datum::Record(vec![
                ("edge".to_owned(), name_of_edge(pattern, self.what, foot.edge)),
                ("at".to_owned(), foot.at.write(pattern)?),
                ("face-up".to_owned(), foot.face_up.write(pattern)?),
            ]))
        });
        if !self.feet.is_empty() {
            fields.push(("feet".to_owned(), Datum::List(feet.collect())));
        }
        Some(Datum::Record(fields))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let mut table = Table::open(reader, datum)?;
        let what = table.field::<CopyId, Plain>(reader, "what", None);
        let onto = table.field::<CopyId, Plain>(reader, "onto", None);
        let at = table.field::<Point, Plain>(reader, "at", None);
        let [face_up, ground] = ["face-up", "ground"]
            .map(|key| table.field::<FaceSide, Plain>(reader, key, Some(FaceSide::Right)));
        let upside_down = table.field::<bool, Plain>(reader, "upside-down", None);
        let level = reader.list_at(&mut table, "level", |reader, datum| {
            let mut table = Table::open(reader, datum)?;
            let edge = edge_named(reader, &mut table, "edge", what);
            let copy = table.field::<CopyId, Plain>(reader, "copy", None);
            let to = edge_named(reader, &mut table, "to", copy);
            table.close(reader);
            Some((edge?, copy?, to?))
        });
        let feet = reader.list_at(&mut table, "feet", |reader, datum| {
            let mut table = Table::open(reader, datum)?;
            let edge = edge_named(reader, &mut table, "edge", what);
            let at = table.field::<Point, Plain>(reader, "at", None);
            let face_up = table.field::<FaceSide, Plain>(reader, "face-up", None);
            table.close(reader);
            Some(Foot { edge: edge?, at: at?, face_up: face_up? })
        });
        table.close(reader);
        Some(Self {
            what: what?,
            onto: onto?,
            at: at?,
            face_up: face_up?,
            ground: ground?,
            upside_down: upside_down?,
            level: level?,
            feet: feet?,
        })
    }
}
