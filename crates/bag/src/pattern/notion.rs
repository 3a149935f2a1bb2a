//! Small things that are used up: what each is, how big, and how many of it or how much. Words,
//! mass, price and the counter of the shop all come from here.
//!
//! Nobody publishes what such things weigh. Each kind says where its usual weight comes from; a
//! weight that somebody gives is taken instead.

use measure::{Length, Mass, MassPerArea, System, show_length, show_size};

/// A small thing, and how many of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notion {
    /// What it is.
    pub kind: &'static NotionKind,
    /// How many, or in how many pieces.
    pub count: u32,
    /// Its width, or that of the webbing or the hole that it is for.
    pub width: Option<Length>,
    /// How long one is.
    pub length: Option<Length>,
    /// How thick it is, or the cord that it is for.
    pub thickness: Option<Length>,
    /// What else there is to say: a shape; for a thing of no known kind, its name.
    pub note: String,
    /// What it is for: "the zip pocket"; may be empty.
    pub serves: String,
    /// What one weighs, if somebody weighed it.
    pub weight: Option<Mass>,
}

/// A kind of small thing.
#[derive(Debug, PartialEq, Eq)]
pub struct NotionKind {
    /// A stable word.
    pub key: &'static str,
    /// What one is called.
    pub one: &'static str,
    /// What several are called.
    pub many: &'static str,
    /// What the trade calls it besides, when it is asked for in a shop.
    pub also: &'static [&'static str],
    /// How its size is said: `{width}`, `{length}`, `{thickness}` and `{size}` stand for the measures.
    pub says: &'static str,
    /// How it is sold.
    pub sold: Sold,
    /// Where it lies in the shop.
    pub counter: Counter,
    /// What it usually weighs.
    pub heft: Heft,
    /// Where that comes from.
    pub source: &'static str,
}

/// How a small thing is sold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sold {
    /// Singly.
    Each,
    /// By length.
    ByLength,
    /// As a sheet, from which pieces are cut.
    Sheet,
    /// Not at all: a scrap of what is left over does.
    Scrap,
}

/// Where something lies in the shop.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Counter {
    /// Zips, snaps, buttons.
    Fastenings,
    /// Rings, sliders, buckles, eyelets, feet.
    Hardware,
    /// Elastic, hook and loop, filler cord.
    ByLength,
    /// Wadding, foam, board.
    Padding,
    /// From the box of scraps.
    Scraps,
    /// Whatever else a pattern names.
    Other,
}

/// What a kind weighs, by its measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Heft {
    /// So many milligrams for one that is so wide (or thick); others by the square of their size.
    Square {
        /// Millimetres.
        at: i64,
        /// Milligrams.
        mg: i64,
    },
    /// So many milligrams for a metre, and so many for what is on it.
    Run {
        /// Milligrams for a metre.
        metre: i64,
        /// Milligrams besides.
        each: i64,
    },
    /// Flat: grams for a square metre.
    Flat(i64),
    /// A sheet: milligrams for a cubic centimetre.
    Solid(i64),
    /// Round: milligrams for a cubic centimetre.
    Round(i64),
    /// Always the same, in milligrams.
    Fixed(i64),
    /// Nobody knows.
    Unknown,
}

const MEMORY: &str = "from memory, no source: weigh your own";

const PLAIN: NotionKind = NotionKind {
    key: "other",
    one: "",
    many: "",
    also: &[],
    says: "",
    sold: Sold::Each,
    counter: Counter::Other,
    heft: Heft::Unknown,
    source: "",
};

macro_rules! kinds {
    ($($name:ident = $key:literal, $one:literal, $many:literal, $also:expr, $says:literal, $sold:ident, $counter:ident, $heft:expr, $source:expr;)+) => {
        $(
            #[doc = concat!("A kind: ", $one, ".")]
            pub static $name: NotionKind = NotionKind {
                key: $key,
                one: $one,
                many: $many,
                also: &$also,
                says: $says,
                sold: Sold::$sold,
                counter: Counter::$counter,
                heft: $heft,
                source: $source,
            };
        )+
        /// All of them.
        pub static KINDS: &[&NotionKind] = &[$(&$name),+, &OTHER];
    };
}

/// What no kind is: its note says it, and nobody knows its weight.
pub static OTHER: NotionKind = PLAIN;

const WIRE: &str = "steel wire of a seventh of its width, 7.85 g/cm³; both from memory";

kinds! {
    ZIP = "closed-end-zip", "closed-end zip", "closed-end zips", ["zip", "zips"],
        ", {length} long, teeth {width} wide", Each, Fastenings,
        Heft::Run { metre: 15_000, each: 3_000 }, MEMORY;
    ZIP_ON_TAPE = "pocket-zip", "closed-end zip", "closed-end zips", ["zip", "zips"],
        ", {length} long, tape {width} wide", Each, Fastenings,
        Heft::Run { metre: 15_000, each: 3_000 }, MEMORY;
    ZIP_BY_LENGTH = "zip-by-length", "zip by length", "zips by length", ["zip", "zips"],
        " with a slider, {length} long, tape {width} wide", Each, Fastenings,
        Heft::Run { metre: 15_000, each: 3_000 }, MEMORY;
    MAGNETIC_SNAP = "magnetic-snap", "magnetic snap", "magnetic snaps", ["snap", "snaps"],
        ", {width} wide, with washers", Each, Fastenings,
        Heft::Square { at: 18, mg: 7_000 }, MEMORY;
    SEWN_SNAP = "sewn-magnetic-snap", "magnetic snap to sew on", "magnetic snaps to sew on",
        ["magnetic snap", "magnetic snaps"], ", {width} wide", Each, Fastenings,
        Heft::Square { at: 18, mg: 8_000 }, MEMORY;
    PRESS_STUD = "press-stud", "press stud", "press studs", ["stud", "studs"],
        ", {width} wide", Each, Fastenings, Heft::Square { at: 15, mg: 2_500 }, MEMORY;
    TURN_LOCK = "turn-lock", "turn lock", "turn locks", [], ", {width} wide", Each, Fastenings,
        Heft::Square { at: 35, mg: 18_000 }, MEMORY;
    BUTTON = "button", "button", "buttons", [], ", {width} wide", Each, Fastenings,
        Heft::Square { at: 25, mg: 2_500 }, MEMORY;
    RING = "ring", "ring", "rings", [], " for webbing {width} wide", Each, Hardware,
        Heft::Square { at: 25, mg: 6_500 }, WIRE;
    SLIDER = "slider", "slider", "sliders", [], " for webbing {width} wide", Each, Hardware,
        Heft::Square { at: 25, mg: 8_000 }, MEMORY;
    ADJUSTER = "strap-adjuster", "strap adjuster", "strap adjusters", ["adjuster", "adjusters"],
        " for webbing {width} wide", Each, Hardware, Heft::Square { at: 25, mg: 4_000 }, MEMORY;
    SWIVEL_HOOK = "swivel-hook", "swivel hook", "swivel hooks", [], " for webbing {width} wide",
        Each, Hardware, Heft::Square { at: 25, mg: 22_000 }, MEMORY;
    SWIVEL_CLIP = "swivel-clip", "swivel clip", "swivel clips", [],
        " with an eye for tape {width} wide", Each, Hardware,
        Heft::Square { at: 12, mg: 8_000 }, MEMORY;
    BUCKLE = "side-release-buckle", "side-release buckle", "side-release buckles",
        ["buckle", "buckles"], " for webbing {width} wide", Each, Hardware,
        Heft::Square { at: 25, mg: 9_000 }, MEMORY;
    CORD_STOP = "cord-stop", "cord stop", "cord stops", [], " for cord {thickness} thick", Each,
        Hardware, Heft::Square { at: 4, mg: 2_000 }, MEMORY;
    EYELET = "eyelet", "eyelet", "eyelets", [], " with a hole of {width}", Each, Hardware,
        Heft::Square { at: 10, mg: 1_200 }, MEMORY;
    CORD_EYELET = "cord-eyelet", "eyelet", "eyelets", [], " for cord {thickness} thick", Each,
        Hardware, Heft::Square { at: 5, mg: 1_000 }, MEMORY;
    BAG_FOOT = "bag-foot", "bag foot", "bag feet", ["foot", "feet"], ", {width} wide", Each,
        Hardware, Heft::Square { at: 15, mg: 2_000 }, MEMORY;
    ELASTIC = "elastic", "elastic", "elastic", [], ", {width} wide", ByLength, ByLength,
        Heft::Flat(550), MEMORY;
    HOOK_AND_LOOP = "hook-and-loop-tape", "hook and loop tape", "hook and loop tape", [],
        ", {width} wide", ByLength, ByLength, Heft::Flat(700), MEMORY;
    FILLER_CORD = "filler-cord", "filler cord", "filler cord", [], ", {thickness} thick",
        ByLength, ByLength, Heft::Round(450), MEMORY;
    WADDING = "wadding", "wadding or foam", "wadding or foam", ["wadding", "foam"],
        ", {thickness} thick", Sheet, Padding, Heft::Solid(35), MEMORY;
    BOARD = "board", "board", "boards", [], " {size}{note}, {thickness} thick", Each, Padding,
        Heft::Solid(950), "polyethylene of 0.95 g/cm³, from memory of handbooks";
    SCRAP = "interfacing-scrap", "scrap of firm interfacing", "scraps of firm interfacing", [], "",
        Scrap, Scraps, Heft::Fixed(250), "5 cm each way of 100 g/m²; common practice, no source";
}

/// The kind of that word.
pub fn find(key: &str) -> Option<&'static NotionKind> {
    KINDS.iter().copied().find(|kind| kind.key == key)
}

impl NotionKind {
    /// What one or several of it may be called.
    fn names(&self) -> impl Iterator<Item = &'static str> + use<> {
        [self.one, self.many].into_iter().chain(self.also.iter().copied())
    }
}

impl Counter {
    /// All of them, in the order of a shopping list.
    pub const ALL: [Self; 6] = [
        Self::Fastenings,
        Self::Hardware,
        Self::ByLength,
        Self::Padding,
        Self::Scraps,
        Self::Other,
    ];

    /// What stands over it on a list.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Fastenings => "Zips, snaps and buttons",
            Self::Hardware => "Rings, buckles and other hardware",
            Self::ByLength => "Elastic, hook and loop, filler cord",
            Self::Padding => "Wadding, foam and board",
            Self::Scraps => "From your box of scraps",
            Self::Other => "Other notions",
        }
    }
}

impl Notion {
    /// So many of a kind.
    pub fn of(kind: &'static NotionKind, count: usize) -> Self {
        Self {
            kind,
            count: u32::try_from(count).unwrap_or(u32::MAX),
            width: None,
            length: None,
            thickness: None,
            note: String::new(),
            serves: String::new(),
            weight: None,
        }
    }

    /// A thing of no known kind, in words.
    pub fn other(words: &str) -> Self {
        Self::of(&OTHER, 1).note(words)
    }

    /// So wide, or for webbing so wide.
    #[must_use]
    pub fn wide(mut self, width: Length) -> Self {
        self.width = Some(width);
        self
    }

    /// So long.
    #[must_use]
    pub fn long(mut self, length: Length) -> Self {
        self.length = Some(length);
        self
    }

    /// So thick, or for cord so thick.
    #[must_use]
    pub fn thick(mut self, thickness: Length) -> Self {
        self.thickness = Some(thickness);
        self
    }

    /// With a word besides.
    #[must_use]
    pub fn note(mut self, note: &str) -> Self {
        note.clone_into(&mut self.note);
        self
    }

    /// For a part of the bag: "the zip pocket".
    #[must_use]
    pub fn serving(mut self, part: &str) -> Self {
        part.clone_into(&mut self.serves);
        self
    }

    /// Whether both are the same thing in the shop, however many and whatever for. A length that is
    /// cut from the reel is the same at any length.
    pub fn is_same(&self, other: &Self) -> bool {
        let length = |it: &Self| match it.kind.sold {
            Sold::ByLength => None,
            Sold::Each | Sold::Sheet | Sold::Scrap => it.length,
        };
        self.kind.key == other.kind.key
            && self.width == other.width
            && length(self) == length(other)
            && self.weight == other.weight
            && self.thickness == other.thickness
            && self.note == other.note
    }

    /// "ring for webbing 1 in wide": one of it, or the sort of it, without how many.
    pub fn spec(&self, system: System) -> String {
        self.spec_as(self.kind.one, system)
    }

    /// Whether a list of prices means it by these words: what it is called, or that with its size
    /// as far as it is said, "closed-end zip, 12 in long" or "ring for webbing 1 in wide". A thing
    /// of no known kind is meant by any words that it has.
    pub fn is_called(&self, words: &str) -> bool {
        if self.kind.key == OTHER.key {
            return !words.is_empty() && self.note.contains(words);
        }
        self.kind.names().any(|name| {
            name == words
                || [System::Inch, System::Metric].into_iter().any(|system| {
                    let rest = self.spec_as(name, system);
                    let rest = rest.strip_prefix(words);
                    words.len() > name.len()
                        && rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(','))
                })
        })
    }

    fn spec_as(&self, name: &str, system: System) -> String {
        if self.kind.key == OTHER.key {
            return self.note.clone();
        }
        let show = |length: Option<Length>| {
            length.map_or_else(|| "?".to_owned(), |length| show_length(length, system))
        };
        let mut says = self.kind.says.replace("{width}", &show(self.width));
        says = says.replace("{length}", &show(self.length));
        says = says.replace("{thickness}", &show(self.thickness));
        says = says.replace("{size}", &self.size(system));
        let note = match self.note.as_str() {
            "" => String::new(),
            note => format!(", {note}"),
        };
        says = if says.contains("{note}") {
            says.replace("{note}", &note)
        } else {
            format!("{says}{note}")
        };
        // What a file leaves out is not told.
        if says.contains('?') {
            says =
                says.split(", ").filter(|part| !part.contains('?')).collect::<Vec<_>>().join(", ");
        }
        format!("{name}{says}")
    }

    fn size(&self, system: System) -> String {
        match (self.width, self.length) {
            (Some(width), Some(length)) => show_size(width, length, system),
            _ => "?".to_owned(),
        }
    }

    /// "2 rings for webbing 1 in wide", "elastic, 1/2 in wide, for the pocket: 2 pieces 7 in long":
    /// as it stands on the list of a bag.
    pub fn describe(&self, system: System) -> String {
        self.describe_times(1, system)
    }

    /// The same for so many bags.
    pub fn describe_times(&self, bags: u32, system: System) -> String {
        let count = self.count.saturating_mul(bags);
        let serves = match self.serves.as_str() {
            "" => String::new(),
            serves => format!(", for {serves}"),
        };
        let pieces = if count == 1 { "1 piece".to_owned() } else { format!("{count} pieces") };
        let name = if count == 1 { self.kind.one } else { self.kind.many };
        match self.kind.sold {
            _ if self.kind.key == OTHER.key && count == 1 => self.note.clone(),
            _ if self.kind.key == OTHER.key => format!("{count} × {}", self.note),
            Sold::ByLength => {
                let long = self.length.map_or_else(String::new, |length| {
                    format!(": {pieces} {} long", show_length(length, system))
                });
                format!("{}{serves}{long}", self.spec(system))
            }
            Sold::Sheet => format!("{}{serves}: {pieces} {}", self.spec(system), self.size(system)),
            Sold::Scrap => format!("{count} {name}{}", serves.trim_start_matches(',')),
            Sold::Each => format!("{count} {}{serves}", self.spec_as(name, system)),
        }
    }

    /// All of it laid end to end, if it is sold by length.
    pub fn run(&self) -> Option<Length> {
        let by_length = self.kind.sold == Sold::ByLength;
        self.length.filter(|_| by_length).map(|length| length * i64::from(self.count))
    }

    /// What all of it weighs, and whether somebody weighed it; nothing if nobody knows.
    pub fn mass(&self) -> Option<(Mass, bool)> {
        let each = match self.weight {
            Some(weight) => Some(weight),
            None => self.usual(),
        };
        each.map(|each| (each.times(i64::from(self.count)), self.weight.is_some()))
    }

    /// What one usually weighs.
    fn usual(&self) -> Option<Mass> {
        let mm = |length: Option<Length>| length.map(Length::to_mm);
        let (width, length, thickness) = (mm(self.width), mm(self.length), mm(self.thickness));
        let mg = match self.kind.heft {
            Heft::Square { at, mg } => {
                let times = width.or(thickness)? / at as f64;
                mg as f64 * times * times
            }
            Heft::Run { metre, each } => metre as f64 * length? / 1e3 + each as f64,
            // A gram for a square metre is a milligram for 1,000 mm².
            Heft::Flat(gsm) => gsm as f64 * width? * length? / 1e3,
            Heft::Solid(mg) => mg as f64 * width? * length? * thickness? / 1e3,
            Heft::Round(mg) => mg as f64 * round(thickness?) * length? / 1e3,
            Heft::Fixed(mg) => mg as f64,
            Heft::Unknown => return None,
        };
        Some(Mass::mg(whole(mg)))
    }
}

/// The nearest milligram, whatever a file says of sizes: a tonne at most.
#[allow(clippy::cast_possible_truncation, reason = "bounded")]
fn whole(mg: f64) -> i64 {
    mg.clamp(0.0, 1e9).round() as i64
}

/// Area of a round cord in mm².
fn round(thickness: f64) -> f64 {
    std::f64::consts::FRAC_PI_4 * thickness * thickness
}

/// What is sold by length in one width.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Band {
    /// Woven for straps.
    #[default]
    Webbing,
    /// Thin: twill tape, ribbon.
    Tape,
    /// One side of a hook and loop tape.
    HookOrLoop,
    /// Round.
    Cord,
}

impl Band {
    /// What it usually weighs for the area that it covers, from memory, no source: webbing of 25 mm
    /// 28 g a metre, twill tape 250 g/m², either side of hook and loop 350 g/m², braided cord
    /// 0.5 g/cm³.
    pub fn usual_weight(self, width: Length) -> MassPerArea {
        match self {
            Self::Webbing => MassPerArea::gsm(1_100),
            Self::Tape => MassPerArea::gsm(250),
            Self::HookOrLoop => MassPerArea::gsm(350),
            // Spread over its width: 0.5 mg/mm³ through the area of its section.
            Self::Cord => {
                let across = width.to_mm().clamp(0.0, 1e3);
                MassPerArea::mg_per_m2(whole(500_000.0 * std::f64::consts::FRAC_PI_4 * across))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_and_no_name_is_used_for_two_kinds_that_differ() {
        for (at, kind) in KINDS.iter().enumerate() {
            assert!(find(kind.key) == Some(kind));
            assert!(KINDS[..at].iter().all(|other| other.key != kind.key), "{}", kind.key);
            assert!(kind.heft == Heft::Unknown || !kind.source.is_empty(), "{}", kind.key);
        }
    }

    #[test]
    fn it_says_how_many_and_how_big() {
        let ring = Notion::of(&RING, 2).wide(Length::INCH);
        assert_eq!(ring.describe(System::Inch), "2 rings for webbing 1 in wide");
        assert_eq!(ring.describe_times(6, System::Inch), "12 rings for webbing 1 in wide");
        let one = Notion::of(&BUCKLE, 1).wide(Length::mm(25));
        assert_eq!(one.describe(System::Metric), "1 side-release buckle for webbing 25 mm wide");
        let elastic = Notion::of(&ELASTIC, 2).wide(Length::mm(10)).long(Length::mm(180));
        assert_eq!(
            elastic.serving("the pocket").describe(System::Metric),
            "elastic, 10 mm wide, for the pocket: 2 pieces 180 mm long"
        );
        let board = Notion::of(&BOARD, 1).wide(Length::inch(12)).long(Length::inch(4));
        assert_eq!(
            board.thick(Length::inch_frac(1, 16)).note("oval").describe(System::Inch),
            "1 board 12 × 4 in, oval, 1/16 in thick"
        );
        assert_eq!(
            Notion::of(&SCRAP, 2).serving("the snap").describe(System::Inch),
            "2 scraps of firm interfacing for the snap"
        );
        assert_eq!(Notion::other("a brass plate").describe(System::Inch), "a brass plate");
        // What a file leaves out is not told.
        assert_eq!(Notion::of(&BUTTON, 1).describe(System::Inch), "1 button");
    }

    /// By the definitions: 25 mm of steel wire round a ring, and a board of 0.95 g/cm³.
    #[test]
    fn masses_follow_from_measures() {
        let grams = |notion: &Notion| notion.mass().expect("its kind has a weight").0.to_grams();
        // A polyethylene board 300 × 100 × 2 mm is 60 cm³, 57 g.
        let board = Notion::of(&BOARD, 1).wide(Length::mm(300)).long(Length::mm(100));
        assert!((grams(&board.thick(Length::mm(2))) - 57.0).abs() < 1e-9);
        // Twice the width, four times the mass.
        let [small, large] = [25, 50].map(|mm| Notion::of(&RING, 1).wide(Length::mm(mm)));
        assert!((grams(&large) - 4.0 * grams(&small)).abs() < 1e-9);
        // A ring 25 mm wide bent from wire of 3.57 mm, some 82 mm long, of steel of 7.85 g/cm³: 6.4 g.
        assert!((grams(&small) - 82.0 * 10.0 * 7.85 / 1e3).abs() < 0.2);
        // Elastic of 20 mm: 1 m of it at 550 g/m² is 11 g.
        let elastic = Notion::of(&ELASTIC, 4).wide(Length::mm(20)).long(Length::mm(250));
        assert!((grams(&elastic) - 11.0).abs() < 1e-9);
        assert_eq!(elastic.run(), Some(Length::mm(1_000)));
        // What somebody weighed goes before.
        let mut weighed = small.clone();
        weighed.weight = Some(Mass::mg(5_000));
        assert_eq!(weighed.mass(), Some((Mass::mg(5_000), true)));
        assert_eq!(Notion::other("a brass plate").mass(), None);
    }

    #[test]
    fn prices_find_it_by_name_and_size() {
        let zip = Notion::of(&ZIP, 1).long(Length::inch(12)).wide(Length::inch_frac(1, 4));
        for words in ["zip", "closed-end zip", "closed-end zips", "zip, 12 in long"] {
            assert!(zip.is_called(words), "{words}");
        }
        for words in ["", "zip, 1", "zip, 14 in long", "ring", "closed-end zip, 12 in"] {
            assert!(!zip.is_called(words), "{words}");
        }
        assert!(Notion::of(&RING, 2).wide(Length::INCH).is_called("ring for webbing 1 in wide"));
        assert!(Notion::other("1 brass plate").is_called("brass plate"));
    }

    #[test]
    fn what_is_bought_as_one_is_the_same_thing() {
        let elastic = |mm| Notion::of(&ELASTIC, 1).wide(Length::mm(10)).long(Length::mm(mm));
        assert!(elastic(100).is_same(&elastic(200).serving("the pocket")));
        let zip = |mm| Notion::of(&ZIP, 1).long(Length::mm(mm)).wide(Length::mm(6));
        assert!(zip(200).is_same(&zip(200)) && !zip(200).is_same(&zip(250)));
        let ring = |mm| Notion::of(&RING, 2).wide(Length::mm(mm));
        assert!(!ring(25).is_same(&ring(30)));
        assert!(!Notion::other("a").is_same(&Notion::other("b")));
    }
}
