//! What can be done in one step. An operation is one file: its measures, the sentence that tells
//! it, and what it does to the work.

mod baste;
mod bind;
mod box_corner;
mod box_x;
mod clip;
mod clip_edge;
mod close_gap;
mod cover_cord;
mod cover_zip_ends;
mod cut;
mod cut_bias;
mod cut_zip;
mod drawstring;
mod drop_in;
mod elastic;
mod fasten;
mod fasten_end;
mod fell;
mod finish_edges;
mod fold_aside;
mod fold_panel;
mod fold_strip;
mod fold_tab;
mod french_seam;
mod grade;
mod hardware;
mod hem;
mod interface;
mod join;
mod join_folded;
mod join_over_zip;
mod join_strips;
mod mark;
mod phrase;
mod pipe;
mod place;
mod press;
mod pull_through;
mod quilt;
mod roll_strip;
mod set_eyelets;
mod sew_on;
mod shown;
mod slipstitch_to_zip;
mod slit;
mod stitch_casing;
mod stitch_down;
mod take_in;
mod takes;
mod thread_strap;
mod topstitch;
mod trim_corners;
mod turn;
mod turn_down;
mod understitch;
mod wrap_grip;
mod zip;
mod zip_strips;

pub use baste::Baste;
pub use bind::Bind;
pub use box_corner::{BoxCorner, Corner};
pub use box_x::BoxAndX;
pub use clip::Clip;
pub use clip_edge::{ClipEdge, Spot};
pub use close_gap::{CloseGap, Closing};
pub use cover_cord::CoverCord;
pub use cover_zip_ends::CoverZipEnds;
pub use cut::{BlockFuse, CutOut};
pub use cut_bias::CutBias;
pub(crate) use cut_bias::strip_seam;
pub use cut_zip::CutZip;
pub use drawstring::ThreadDrawstring;
pub use drop_in::DropIn;
pub use elastic::InsertElastic;
pub use fasten::Fasten;
pub use fasten_end::{EndFold, FastenEnd, Fastening};
pub use fell::Fell;
pub use finish_edges::{EdgeFinish, FinishEdges};
pub use fold_aside::FoldAside;
pub use fold_panel::FoldPanel;
pub use fold_strip::FoldStrip;
pub use fold_tab::FoldTab;
pub use french_seam::FrenchSeam;
pub use grade::Grade;
pub use hardware::AttachHardware;
pub use hem::Hem;
pub use interface::Interface;
pub use join::{Gap, Join, Meeting, Press};
pub use join_folded::JoinFolded;
pub use join_over_zip::JoinOverZip;
pub use join_strips::JoinStrips;
pub use mark::MarkPieces;
pub use phrase::Phrase;
pub use pipe::Pipe;
pub use place::{Attach, FaceSide, Foot, Place, Placed};
pub use press::PressSeam;
pub use pull_through::PullThrough;
pub use quilt::Quilt;
pub use roll_strip::RollStrip;
pub use set_eyelets::SetEyelets;
pub use sew_on::SewOn;
pub use shown::{Along, Layered, Lies, Row, RowKind, Shown, Stage, Tool};
pub use slipstitch_to_zip::SlipstitchToZip;
pub use slit::Slit;
pub use stitch_casing::StitchCasing;
pub use stitch_down::{Line, StitchDown, StitchedDown};
pub use take_in::{Fullness, TakeIn};
pub use takes::{Hand, Layer, Sewing, Stitching, Takes, USUAL_STITCH};
pub use thread_strap::ThreadStrap;
pub use topstitch::{Beside, Topstitch};
pub use trim_corners::TrimCorners;
pub use turn::{Through, Turn};
pub use turn_down::{Over, TurnDown};
pub use understitch::Understitch;
pub use wrap_grip::WrapGrip;
pub use zip::{SetZip, ZipInto};
pub use zip_strips::ZipStrips;

pub(crate) use shown::{across_corners, binding_stages};

use std::any::Any;
use std::fmt;
use std::sync::Arc;

use measure::{Length, System, show_length};

use crate::assembly::Assembly;
use crate::pattern::{CopyId, Look, Pattern, Step};
use crate::record::{Datum, FieldInfo, Fields, Reader, Table};

/// How an operation stands in a pattern file.
pub trait Recorded {
    /// The word for it, kebab case.
    fn word(&self) -> &'static str;

    /// Its fields.
    fn record(&self, pattern: &Pattern) -> Vec<(String, Datum)>;
}

impl<T: Fields + Worded> Recorded for T {
    fn word(&self) -> &'static str {
        T::WORD
    }

    fn record(&self, pattern: &Pattern) -> Vec<(String, Datum)> {
        let mut fields = Vec::new();
        self.put(pattern, &mut fields);
        fields
    }
}

/// One operation, complete with all its measures.
pub trait Operation: Recorded + fmt::Debug + Any + Send + Sync {
    /// The sentences that tell it, with every measure in words.
    fn tell(&self, telling: &Telling<'_>) -> Told;

    /// What a picture of it shows beyond what the work records; nothing, if that is all there is.
    fn shown(&self, _: &Telling<'_>) -> Shown {
        Shown::default()
    }

    /// What it takes, on the work as the steps before have left it; nothing for what is told, but
    /// takes no more than the moment of reading it.
    fn takes(&self, _: &Assembly<'_>) -> Takes {
        Takes::default()
    }

    /// How large a part of that size, across and along, is when this is done to it: a tab that is
    /// folded over a ring is half as long.
    fn makes(&self, _: CopyId, size: (Length, Length), _: &Pattern) -> (Length, Length) {
        size
    }

    /// Does it to the work: changes the state and records what happened. An operation judges
    /// nothing; the checks do.
    fn carry_out(&self, work: &mut Assembly<'_>);

    /// The copies that it handles, for pictures and places.
    fn copies(&self) -> Vec<CopyId>;
}

/// How an operation is read from a pattern file, and what the guide says of it.
#[derive(Clone, Copy, Debug)]
pub struct Written {
    /// The word in the file.
    pub word: &'static str,
    /// What it is, one sentence.
    pub help: &'static str,
    /// Its fields.
    pub fields: fn() -> Vec<FieldInfo>,
    /// Reads its fields from the table of the step.
    pub read: fn(&mut Reader, &mut Table<'_>) -> Option<Arc<dyn Operation>>,
}

/// The word of an operation, known before there is one.
pub(crate) trait Worded {
    /// The word in a pattern file.
    const WORD: &'static str;
}

impl Written {
    const fn of<T: Operation + Fields + Worded>() -> Self {
        Self {
            word: T::WORD,
            help: T::HELP,
            fields: T::fields,
            read: |reader, table| {
                T::take(reader, table).map(|it| Arc::new(it) as Arc<dyn Operation>)
            },
        }
    }
}

/// Lists the operations, from one word each.
macro_rules! written {
    ($($type:ident),+ $(,)?) => {
        /// Every operation, in the order in which the guide tells them.
        pub const ALL: &[Written] = &[$(Written::of::<$type>()),+];
    };
}

written!(
    CutOut,
    BlockFuse,
    MarkPieces,
    Interface,
    Quilt,
    FoldPanel,
    Baste,
    JoinStrips,
    FoldStrip,
    RollStrip,
    WrapGrip,
    FoldTab,
    FastenEnd,
    ThreadStrap,
    Join,
    JoinFolded,
    FrenchSeam,
    FinishEdges,
    Fell,
    Bind,
    Hem,
    TakeIn,
    InsertElastic,
    StitchCasing,
    ThreadDrawstring,
    CutBias,
    CoverCord,
    Pipe,
    Place,
    StitchDown,
    BoxAndX,
    AttachHardware,
    SetEyelets,
    SewOn,
    Fasten,
    Slit,
    PullThrough,
    FoldAside,
    CutZip,
    SetZip,
    ZipStrips,
    CoverZipEnds,
    JoinOverZip,
    SlipstitchToZip,
    Topstitch,
    Understitch,
    PressSeam,
    TrimCorners,
    Clip,
    ClipEdge,
    Grade,
    BoxCorner,
    Turn,
    DropIn,
    CloseGap,
    TurnDown,
);

/// What a step says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Told {
    /// What to do, one to four sentences.
    pub text: String,
    /// Where people go wrong; shown as a warning.
    pub mind: Option<String>,
}

impl Told {
    /// Sentences without a warning.
    pub fn new(text: impl Into<String>) -> Self {
        Self { text: text.into(), mind: None }
    }

    /// The same with a warning.
    #[must_use]
    pub fn mind(mut self, mind: impl Into<String>) -> Self {
        self.mind = Some(mind.into());
        self
    }
}

/// What an operation needs to tell itself: the pattern, and the ruler of the reader.
#[derive(Clone, Copy, Debug)]
pub struct Telling<'a> {
    /// The pattern.
    pub pattern: &'a Pattern,
    /// The reader's ruler.
    pub system: System,
}

impl Telling<'_> {
    /// A length as the reader's ruler shows it.
    pub fn len(&self, length: Length) -> String {
        show_length(length, self.system)
    }

    /// A stitch length; machines are marked in millimetres everywhere.
    pub fn stitch(&self, length: Length) -> String {
        format!("{} mm", length.to_mm())
    }

    /// Name of a copy.
    pub fn name(&self, copy: CopyId) -> &str {
        &self.pattern.copy(copy).name
    }

    /// "the front panel and the back panel"; more than two of one piece, and all that there are of
    /// it, are named together: "every tie piece (4)", of which two may make one tie.
    pub fn names(&self, copies: &[CopyId]) -> String {
        let (mut names, mut together) = (Vec::new(), Vec::new());
        for copy in copies {
            let piece = self.pattern.copy(*copy).piece;
            let mut alike = self.pattern.copies_of(piece);
            let count = self.pattern.count(piece);
            if count < 3 || !alike.all(|other| copies.contains(&other)) {
                names.push(format!("the {}", self.name(*copy)));
            } else if !together.contains(&piece) {
                together.push(piece);
                names.push(format!("every {} piece ({count})", self.pattern.piece(piece).name));
            }
        }
        listed(&names)
    }

    /// The steps that come before an operation of this pattern; all of them if it is not in it.
    pub(crate) fn before<'s>(
        &'s self,
        operation: &'s dyn Operation,
    ) -> impl Iterator<Item = &'s Step> {
        let here = |step: &&Step| !std::ptr::addr_eq(Arc::as_ptr(&step.operation), operation);
        self.pattern.steps.iter().take_while(here)
    }

    /// Whether an iron would melt one of these copies.
    pub fn melts(&self, copies: &[CopyId]) -> bool {
        let look =
            |copy: &CopyId| self.pattern.material(self.pattern.piece_of(*copy).material).look;
        copies.iter().any(|copy| look(copy) == Look::Window)
    }

    /// Name of an edge of a copy.
    pub fn edge(&self, copy: CopyId, edge: usize) -> &str {
        &self.pattern.piece_of(copy).edges[edge].name
    }
}

/// "a", "a and b", "a, b and c".
pub fn listed(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [start @ .., last] => format!("{} and {last}", start.join(", ")),
    }
}

/// "a", "a or b", "a, b or c".
pub(crate) fn listed_or(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [start @ .., last] => format!("{} or {last}", start.join(", ")),
    }
}

/// The text with a capital at its start.
pub fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}
