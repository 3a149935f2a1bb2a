//! Set a zip.

use measure::Length;

use super::{Operation, PullThrough, Sewing, Shown, Stitching, Takes, Telling, Told, Worded};
use crate::assembly::Assembly;
use crate::pattern::{CopyId, Pattern, Run};
use crate::record::{Datum, Field, Plain, Reader, Table, record};

/// Set a zip between two edges, or into a slit.
#[derive(Clone, Debug)]
pub struct SetZip {
    /// What it is called: "the zip".
    pub what: String,
    /// Length of the zip, stop to stop.
    pub length: Length,
    /// Where it goes.
    pub into: ZipInto,
    /// How wide it must show between its two seams, if the size of the bag depends on that.
    pub shows: Option<Length>,
    /// How far from the teeth the fabric's edge lies.
    pub from_teeth: Length,
    /// Stitch length.
    pub stitch: Length,
}

/// What the tape of a zip must show between its two seams, so that the bag comes out to size.
pub(super) fn must_show(shows: Option<Length>, t: &Telling<'_>) -> String {
    shows.map_or_else(String::new, |shows| {
        format!(
            "Between its two seams it must show {}: if yours would show more, lay both edges of its \
             tape half of that beyond the raw edges, and if less, as far within. ",
            t.len(shows)
        )
    })
}

/// Where a zip goes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ZipInto {
    /// Between two edges, sewn with the allowance to each.
    Edges([Run; 2], Length),
    /// Into the slit of a panel.
    Slit(CopyId),
}

impl SetZip {
    /// Whether something was pulled through the slit, which gave it clean edges.
    fn is_faced(&self, t: &Telling<'_>, panel: CopyId) -> bool {
        t.before(self).any(|step| step.as_a::<PullThrough>().is_some_and(|it| it.panel == panel))
    }
}

impl Operation for SetZip {
    fn tell(&self, t: &Telling<'_>) -> Told {
        let stitch = t.stitch(self.stitch);
        let teeth = t.len(self.from_teeth);
        match &self.into {
            ZipInto::Edges(sides, allowance) => Told::new(format!(
                "Set {} ({} long) between {} and {}: lay it on each edge, right sides together, \
                 its tape level with the raw edge, and sew {} from the edge with the zip foot \
                 (stitch length {stitch}). {}Press the fabric away from the teeth and edgestitch it, \
                 {teeth} from them.",
                self.what,
                t.len(self.length),
                t.names(&sides[0].copies()),
                t.names(&sides[1].copies()),
                t.len(*allowance),
                must_show(self.shows, t),
            ))
            .mind("open the zip halfway before you sew past its slider."),
            ZipInto::Slit(copy) => {
                let slit = if self.is_faced(t, *copy) {
                    String::new()
                } else {
                    let name = t.name(*copy);
                    format!(
                        "Turn the edges of the slit in the {name} to the wrong side and press. "
                    )
                };
                Told::new(format!(
                    "{slit}Lay {} ({} long) behind the slit, centred, its slider closed, and \
                     edgestitch all round, {teeth} from the teeth (stitch length {stitch}).",
                    self.what,
                    t.len(self.length),
                ))
            }
        }
    }

    fn shown(&self, _: &Telling<'_>) -> Shown {
        Shown { measures: vec![self.length, self.from_teeth], ..Shown::default() }
    }

    fn takes(&self, work: &Assembly<'_>) -> Takes {
        let stitch = self.stitch;
        match &self.into {
            ZipInto::Edges(sides, _) => {
                let rows = sides.iter().flat_map(|run| {
                    let row = |kind, times| {
                        Sewing::new(kind, run.length(), stitch).over(work, &[run], times)
                    };
                    [row(Stitching::Seam, 1), row(Stitching::Shown, 2)]
                });
                Takes::rows(rows).press(sides.iter().map(Run::length).sum())
            }
            ZipInto::Slit(copy) => {
                let around = self.length * 2 + self.from_teeth * 4;
                let row = Sewing::new(Stitching::Shown, around, stitch).round(true);
                Takes::rows([row.through(*copy, 2)]).press(around)
            }
        }
    }

    fn carry_out(&self, work: &mut Assembly<'_>) {
        match &self.into {
            ZipInto::Edges(sides, allowance) => {
                work.zip(sides, *allowance, self.length);
                work.zip_shows(&[&sides[0], &sides[1]], self.shows);
            }
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

impl Worded for SetZip {
    const WORD: &'static str = "zip";
}

record!(SetZip: "Set a zip between two edges, or into a slit." {
    what; "What it is called: \"the zip\".",
    length; "Length of the zip, stop to stop.",
    into; "Where it goes.",
    shows; "How wide it must show between its two seams, if the size of the bag depends on that.",
    from_teeth; "How far from the teeth the fabric's edge lies.",
    stitch; "Stitch length.",
});

impl Field for ZipInto {
    fn takes() -> String {
        "`{ sew = RUN, to = RUN, allowance }` between two edges, or `{ slit = COPY }`".to_owned()
    }

    fn write(&self, pattern: &Pattern) -> Option<Datum> {
        Some(Datum::Record(match self {
            Self::Edges([one, other], allowance) => vec![
                ("sew".to_owned(), one.write(pattern)?),
                ("to".to_owned(), other.write(pattern)?),
                ("allowance".to_owned(), allowance.write(pattern)?),
            ],
            Self::Slit(copy) => vec![("slit".to_owned(), copy.write(pattern)?)],
        }))
    }

    fn read(reader: &mut Reader, datum: &Datum) -> Option<Self> {
        let mut table = Table::open(reader, datum)?;
        let into = if table.has("slit") {
            table.field::<CopyId, Plain>(reader, "slit", None).map(Self::Slit)
        } else {
            let one = table.field::<Run, Plain>(reader, "sew", None);
            let other = table.field::<Run, Plain>(reader, "to", None);
            let allowance = table.field::<Length, Plain>(reader, "allowance", None);
            one.zip(other)
                .zip(allowance)
                .map(|((one, other), allowance)| Self::Edges([one, other], allowance))
        };
        table.close(reader);
        into
    }
}
