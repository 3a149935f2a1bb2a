//! The largest bag of a shape that can be cut from the fabric that there is.
//!
//! Sizes are tried to the ruler's step from the largest down, since what fits is not monotone: a
//! strap that is a little longer may need one join more, and a little more fabric for it. What the
//! area alone rules out is leapt over; every other step is laid out. A size is ruled out only by a
//! proof; sizes that were neither laid nor ruled out are told.

mod given;
mod grown;

use std::fmt;

use bag::design::{FABRIC, Role};
use bag::kinds::{Quantity, Value};
use bag::pattern::{MaterialId, Pattern};
use bag::{Design, Finding, Severity};
use layout::{Layout, Proof, Shape, Stock};
use measure::{Increments, Length, System, show_length};

use crate::build::first_error;
use crate::cut::{Effort, blocks, fabric_sheet};
use crate::{Sheet, build};

pub use given::Given;
use grown::Growing;
pub use grown::{Grow, sizes};

/// The largest bag, and how sure that is.
#[derive(Clone, Debug)]
pub struct Largest {
    /// The design, at its largest, with the widths of the given fabrics.
    pub design: Design,
    /// Its pattern.
    pub pattern: Pattern,
    /// What is cut from each of the given fabrics, and how it lies.
    pub laid: Vec<(Sheet, Layout)>,
    /// The size that was stepped.
    pub stepped: &'static str,
    /// The step.
    pub step: Length,
    /// Larger sizes of which it is not known whether they fit: the stepped length of each, the
    /// largest first. None: it is proven that no larger step can be cut and sewn.
    pub open: Vec<Length>,
    /// What stops it at the next step.
    pub stop: Stop,
}

/// What stops a bag from being a step larger.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Stop {
    /// A fabric of which there is too little.
    Fabric(Role),
    /// A size that its body cannot have.
    Range,
    /// It could not be made, however much fabric there is: what would be wrong.
    Unsound(String),
}

/// Why there is no largest bag.
#[derive(Clone, Debug, PartialEq)]
pub enum NoLargest {
    /// The design has no fabric of its own for this part.
    NoFabric(Role),
    /// The same part was given twice.
    Twice(Role),
    /// A length that is not positive, or a width that no design may have.
    Absurd(Role),
    /// The body has no such size; these it has.
    NoSize(Vec<&'static str>),
    /// The design cannot be sewn at its own size, whatever fabric there is.
    Errors(Vec<Finding>),
    /// Not even the smallest that can be sewn is cut from so little.
    Nothing,
}

impl Largest {
    /// What stops it, and how sure it is that no larger one can be made: whole sentences.
    pub fn certainty(&self, system: System) -> String {
        let (step, key) = (show_length(self.step, system), self.stepped);
        let why = match &self.stop {
            Stop::Fabric(role) => {
                format!("A step larger takes more than there is for the {}.", role.title())
            }
            Stop::Range => "That is as large as this kind of body can be.".to_owned(),
            Stop::Unsound(message) => format!("A step larger cannot be made: {message}."),
        };
        match &self.open[..] {
            [] => format!(
                "{why} It is proven that no larger one can be made, by steps of {step} of {key}."
            ),
            [largest, rest @ ..] => format!(
                "A larger one may be possible: for {} of {key} up to {}, by {step}, no layout was \
                 found, and no proof that there is none.",
                if rest.is_empty() {
                    "1 step".to_owned()
                } else {
                    format!("{} steps", rest.len() + 1)
                },
                show_length(*largest, system)
            ),
        }
    }
}

impl fmt::Display for NoLargest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoFabric(role) => write!(
                f,
                "the design has no fabric of its own for its {}; name it under [fabric.{}]",
                role.title(),
                role.key()
            ),
            Self::Twice(role) => write!(f, "the {} is given twice", role.title()),
            Self::Absurd(role) => write!(
                f,
                "fabric for the {} is 20 cm (8 in) to 3.5 m (137 in) wide and at least 1 mm long",
                role.title()
            ),
            Self::NoSize(sizes) => {
                write!(f, "this body has no such size; it has {}", sizes.join(", "))
            }
            Self::Errors(_) => f.write_str("the bag is not ready to cut at its own size"),
            Self::Nothing => f.write_str("no size of this bag can be cut from so little"),
        }
    }
}

/// Finds the largest bag of this design from the fabric that is given. Fabrics that are not given
/// are taken to be there. The same question always has the same answer.
///
/// # Errors
/// When the question makes no sense, or nothing fits; see [`NoLargest`].
pub fn largest(design: &Design, given: &[Given], grow: Grow<'_>) -> Result<Largest, NoLargest> {
    if first_error(design).is_some() {
        let errors = |finding: &Finding| finding.severity == Severity::Error;
        let findings = build(design).findings.into_iter();
        return Err(NoLargest::Errors(findings.filter(errors).collect()));
    }
    let Some(pattern) = bag::draft(design).pattern else { return Err(NoLargest::Nothing) };
    let finished = grown::finished(design, &pattern);
    let cut = of_given(&finished, given)?;
    let growing = Growing::new(&cut, grow)?;
    let mut open = Vec::new();
    let mut found = None;
    let mut at = growing.most();
    while at >= growing.least() {
        let Some(trial) = Trial::new(&growing, at, given) else {
            at -= 1;
            continue;
        };
        let fill = trial.fill();
        if fill > 1.0 {
            at = growing.leap(at, fill);
            continue;
        }
        match trial.lay() {
            Fits::Yes(laid) if trial.is_sound() => {
                found = Some((at, trial, laid));
                break;
            }
            Fits::Perhaps(laid) => open.push((at, trial, laid)),
            Fits::Yes(_) | Fits::Never => {}
        }
        at -= 1;
    }
    // What was not decided at once is looked at longer, again from the largest down.
    let mut undecided = Vec::new();
    let rounds = ALL_ROUNDS / u32::try_from(open.len().max(1)).unwrap_or(ALL_ROUNDS);
    for (at, trial, laid) in open {
        let rounds = if trial.has_outlines() { rounds.max(ROUNDS) } else { ROUNDS };
        match trial.lay_longer(laid, rounds) {
            Fits::Yes(laid) if trial.is_sound() => {
                found = Some((at, trial, laid));
                break;
            }
            Fits::Perhaps(_) if trial.is_sound() => undecided.push(growing.stepped(at)),
            Fits::Yes(_) | Fits::Perhaps(_) | Fits::Never => {}
        }
    }
    let (at, trial, laid) = found.ok_or(NoLargest::Nothing)?;
    Ok(Largest {
        laid: trial.sheets.into_iter().map(|(sheet, _)| sheet).zip(laid).collect(),
        pattern: trial.pattern,
        design: trial.design,
        stepped: growing.key,
        step: growing.step,
        open: undecided,
        stop: stop(&growing, at + 1, given),
    })
}

/// What is in the way of a step.
fn stop(growing: &Growing<'_>, at: i64, given: &[Given]) -> Stop {
    let Some(design) = growing.at(at).filter(|_| at <= growing.most()) else { return Stop::Range };
    if let Some(finding) = first_error(&design) {
        return Stop::Unsound(finding.message);
    }
    let short = Trial::new(growing, at, given).and_then(|trial| {
        let few = |(sheet, length): &&(Sheet, Length)| {
            layout::first(&sheet.problem).map_or(true, |layout| layout.bought > *length)
        };
        let index = trial.sheets.iter().position(|sheet| few(&sheet))?;
        given.get(index).map(|fabric| fabric.role)
    });
    short.map_or(Stop::Range, Stop::Fabric)
}

/// Rounds of improvement for a size that was not decided at once.
const ROUNDS: u32 = 40;
/// Rounds for all of them together where pieces are outlines, which are moved one in a round.
const ALL_ROUNDS: u32 = 20_000;
/// Seed of the search: any will do, and it is always the same.
const SEED: u64 = 20;

/// The design with the widths of the given fabrics.
fn of_given(design: &Design, given: &[Given]) -> Result<Design, NoLargest> {
    let mut design = design.clone();
    for (index, fabric) in given.iter().enumerate() {
        if given[..index].iter().any(|other| other.role == fabric.role) {
            return Err(NoLargest::Twice(fabric.role));
        }
        let Some(values) = design.fabrics.get_mut(&fabric.role) else {
            return Err(NoLargest::NoFabric(fabric.role));
        };
        let usable = fabric.usable.unwrap_or(fabric.width);
        let there_is = allowed("width", fabric.width) && allowed("usable", usable);
        if fabric.length < Length::MM || !there_is || usable > fabric.width {
            return Err(NoLargest::Absurd(fabric.role));
        }
        // The usable width that the design gives is that of its own bolt.
        if values.length("width") != fabric.width || fabric.usable.is_some() {
            values.set("width", Value::Length(fabric.width));
            values.set("usable", fabric.usable.map_or(Value::Absent, Value::Length));
        }
    }
    Ok(design)
}

fn allowed(key: &str, length: Length) -> bool {
    FABRIC.iter().any(|param| match param.quantity {
        Quantity::Length { least, most, .. } | Quantity::OptionalLength { least, most } => {
            param.key == key && (least..=most).contains(&length)
        }
        _ => false,
    })
}

/// Whether everything is cut from what there is.
enum Fits {
    /// Yes, like this.
    Yes(Vec<Layout>),
    /// Proven that it is not.
    Never,
    /// Neither; these are too long.
    Perhaps(Vec<Layout>),
}

/// One size, drafted.
struct Trial {
    design: Design,
    pattern: Pattern,
    /// What is cut from each of the given fabrics, and how much of it there is.
    sheets: Vec<(Sheet, Length)>,
}

impl Trial {
    /// Drafted at a step; none where it cannot be.
    fn new(growing: &Growing<'_>, at: i64, given: &[Given]) -> Option<Self> {
        let design = growing.at(at)?;
        let pattern = bag::draft(&design).pattern?;
        let mut sold = pattern.clone();
        let mut sheets = Vec::new();
        for fabric in given {
            // Sold in one length only, the one that there is: a purchase of one is what fits, and
            // the proof of a purchase is the proof that it does not.
            sold.shop.increments = Increments::new([fabric.length]).ok()?;
            let id = bag::draft::fabric_of(&design, &pattern, fabric.role)?;
            sheets.push((sheet(&sold, id)?, fabric.length));
        }
        Some(Self { design, pattern, sheets })
    }

    /// The largest share of a fabric that the pieces cover, however they lie: above 1 they cannot
    /// be cut from it.
    fn fill(&self) -> f64 {
        let fills = self.sheets.iter().map(|(sheet, length)| {
            let Stock::Bolt { width, .. } = &sheet.problem.stock else { return 0.0 };
            let area = |item: &layout::Item| item.shape.area().to_mm2() * f64::from(item.count);
            let area: f64 = sheet.problem.pieces.iter().map(area).sum();
            area / (width.to_mm() * length.to_mm())
        });
        fills.fold(0.0, f64::max)
    }

    fn has_outlines(&self) -> bool {
        let is_outline = |item: &layout::Item| matches!(item.shape, Shape::Outline(_));
        self.sheets.iter().any(|(sheet, _)| sheet.problem.pieces.iter().any(is_outline))
    }

    /// By first layouts.
    fn lay(&self) -> Fits {
        let first = self.sheets.iter().map(|(sheet, _)| layout::first(&sheet.problem).ok());
        first.collect::<Option<Vec<_>>>().map_or(Fits::Never, |laid| self.judged(laid))
    }

    /// By layouts that are improved in so many rounds where they are too long.
    fn lay_longer(&self, mut laid: Vec<Layout>, rounds: u32) -> Fits {
        for ((sheet, length), layout) in self.sheets.iter().zip(&mut laid) {
            if layout.bought > *length {
                *layout = layout::refine(&sheet.problem, layout, rounds, SEED);
            }
        }
        self.judged(laid)
    }

    fn judged(&self, laid: Vec<Layout>) -> Fits {
        let lengths = self.sheets.iter().map(|(_, length)| *length);
        let short: Vec<&Layout> =
            lengths.zip(&laid).filter(|(length, it)| it.bought > *length).map(|it| it.1).collect();
        if short.iter().any(|layout| !matches!(layout.proof, Proof::Within(_))) {
            Fits::Never
        } else if short.is_empty() {
            Fits::Yes(laid)
        } else {
            Fits::Perhaps(laid)
        }
    }

    /// Whether it can be cut and sewn, from enough fabric.
    fn is_sound(&self) -> bool {
        first_error(&self.design).is_none()
    }
}

fn sheet(pattern: &Pattern, id: MaterialId) -> Option<Sheet> {
    let cloth = pattern.material(id).cloth()?;
    let blocks = blocks(pattern, Effort { rounds: 0 });
    Some(fabric_sheet(pattern, id, cloth, cloth.usable_width, &blocks))
}
