//! What all requests share: what is kept, the bags that were built last, and the search for better
//! layouts.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};
use std::time::{Duration, Instant};

use bag::draft::Settled;
use bag::{Design, Finding, Severity};
use measure::Units;
use packet::{Built, Packet};
use store::{Member, Problem};

use crate::improve::Improver;
use crate::keep::{FabricRow, Keep, Opened, Trouble};

/// How many bags are kept built: a few windows and a comparison.
const KEPT: usize = 8;
/// How many are kept that were drafted on another ruler: those of a kit.
const KEPT_REDRAFTED: usize = 24;

/// A design on another ruler, with what came of it.
type Redrafted = (Design, Units, Option<Arc<Packet>>);

/// The workroom.
pub struct Room {
    /// What is kept.
    pub keep: Keep,
    /// Better layouts.
    pub improver: Improver,
    /// How the class gets in, when it may.
    pub class: Option<Class>,
    built: Mutex<Vec<Arc<Drawn>>>,
    /// What sessions of the log take at the usual pace, by session and stitches a minute.
    told: Mutex<BTreeMap<(i64, u32), Option<u64>>>,
    /// Handouts as they were read last, by bag and revision: fifty tablets ask for the same one.
    handouts: Mutex<BTreeMap<i64, (i64, Arc<String>)>>,
    /// The sizes and options that were looked at last.
    families: Mutex<Vec<Arc<Family>>>,
    /// What comes of a design that is just being kept.
    foreseen: Mutex<Option<(Design, Built)>>,
    /// The designs that were drafted on another ruler last, with what came of them.
    redrafted: Mutex<Vec<Redrafted>>,
}

/// Every size of a bag with every option, as far as they are built.
pub struct Family {
    /// The bag.
    id: i64,
    /// The text that they are read from.
    text: String,
    /// All of them; the bag as it stands first.
    pub members: Vec<Member>,
    /// Their packets, or why there is none; of the first ones, as many as were built.
    pub built: Vec<Result<Arc<Packet>, String>>,
}

impl Family {
    /// How many are not built yet.
    pub fn left(&self) -> usize {
        self.members.len() - self.built.len()
    }
}

/// The class's way in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Class {
    /// Where its tablets find the handouts, as she would write it on the board.
    pub address: String,
    /// The word of entry.
    pub word: String,
}

/// A bag as it stands, with all that follows from it.
pub struct Drawn {
    /// As it is kept.
    pub opened: Opened,
    /// Its design.
    pub design: Design,
    /// Its sizes and options as they are written.
    pub family: String,
    /// The size and option that are shown, if it is not the bag as it stands.
    pub shown: Option<Design>,
    /// The packet of what is shown, if there can be one.
    pub packet: Option<Packet>,
    /// What was found, errors first.
    pub findings: Vec<Finding>,
    settled: OnceLock<Settled>,
}

/// Why a bag cannot be shown.
pub enum NotShown {
    /// It cannot be read.
    Trouble(Trouble),
    /// Its text is not understood, perhaps because a newer program wrote it.
    Unread(Box<Opened>, Vec<Problem>),
}

impl From<Trouble> for NotShown {
    fn from(trouble: Trouble) -> Self {
        Self::Trouble(trouble)
    }
}

/// The design of the size and option that are shown; nothing for the bag as it stands, and for a size
/// that is no longer there.
fn shown(opened: &Opened) -> Option<Design> {
    if opened.size.is_none() && opened.option.is_none() {
        return None;
    }
    let members = store::read_family("this bag", &opened.text).ok()?;
    let mut members = members.into_iter();
    let found = members.find(|it| it.size == opened.size && it.option == opened.option)?;
    let mut design = found.design;
    for name in [found.size, found.option].into_iter().flatten() {
        design.title = format!("{}, {name}", design.title).chars().take(200).collect();
    }
    Some(design)
}

/// The packet of a design, or what keeps it from being sewn.
fn sewn(design: &Design) -> Result<Arc<Packet>, String> {
    let Built { packet, findings, .. } = packet::build(design);
    let error = findings.into_iter().find(|finding| finding.severity == Severity::Error);
    match (error, packet) {
        (Some(error), _) => Err(error.message),
        (None, Some(packet)) => Ok(Arc::new(packet)),
        (None, None) => Err("it cannot be made".to_owned()),
    }
}

impl Drawn {
    /// The text of a changed design with the sizes and options that this one has.
    pub fn text_of(&self, design: &Design) -> String {
        store::write_family(design, &self.family)
    }

    /// The packet of what is shown, as a list of one or none.
    pub fn packets(&self) -> Vec<&Packet> {
        self.packet.iter().collect()
    }

    /// What the sizes come to that the design may leave out, by parameter. The form is that of the design,
    /// whichever size is shown; then it is drafted for the form alone, once that is looked at.
    pub fn settled(&self) -> &Settled {
        self.settled.get_or_init(|| bag::draft(&self.design).settled)
    }

    /// The design that is shown.
    pub fn showing(&self) -> &Design {
        self.shown.as_ref().unwrap_or(&self.design)
    }
}

impl Room {
    /// A workroom over what is kept.
    pub fn new(keep: Keep, class: Option<Class>) -> Self {
        Self {
            keep,
            improver: Improver::default(),
            class,
            built: Mutex::default(),
            told: Mutex::default(),
            handouts: Mutex::default(),
            families: Mutex::default(),
            foreseen: Mutex::default(),
            redrafted: Mutex::default(),
        }
    }

    fn built(&self) -> MutexGuard<'_, Vec<Arc<Drawn>>> {
        self.built.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// A bag as it stands, built; from memory if it has not changed.
    ///
    /// # Errors
    /// When there is none of that number, or its text is not understood.
    pub fn bag(&self, id: i64) -> Result<Arc<Drawn>, NotShown> {
        let opened = self.keep.bag(id)?;
        let known = self.built().iter().find(|drawn| drawn.opened == opened).cloned();
        if let Some(drawn) = known {
            return Ok(drawn);
        }
        let design = store::read_design("this bag", &opened.text)
            .map_err(|problems| NotShown::Unread(Box::new(opened.clone()), problems))?;
        let family = store::family_of(&opened.text);
        let shown = shown(&opened);
        let built = self.build(shown.as_ref().unwrap_or(&design));
        let settled = if shown.is_some() { OnceLock::new() } else { built.settled.into() };
        let drawn = Arc::new(Drawn {
            opened,
            design,
            family,
            shown,
            packet: built.packet,
            findings: built.findings,
            settled,
        });
        self.remember(&drawn);
        Ok(drawn)
    }

    fn foreseen(&self) -> MutexGuard<'_, Option<(Design, Built)>> {
        self.foreseen.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Does something that waits for the disk, and builds a design in the meantime. Whether it is kept then
    /// or not, what was built is that of this design.
    pub(crate) fn while_built<T>(&self, design: &Design, job: impl FnOnce() -> T) -> T {
        std::thread::scope(|both| {
            both.spawn(|| {
                let built = packet::build(design);
                *self.foreseen() = Some((design.clone(), built));
            });
            job()
        })
    }

    fn build(&self, design: &Design) -> Built {
        let foreseen = self.foreseen().take_if(|(of, _)| of == design);
        foreseen.map_or_else(|| packet::build(design), |(_, built)| built)
    }

    /// Keeps a built bag at hand, in the place of an older state of it.
    fn remember(&self, drawn: &Arc<Drawn>) {
        let mut built = self.built();
        built.retain(|known| known.opened.id != drawn.opened.id);
        built.truncate(KEPT - 1);
        built.insert(0, Arc::clone(drawn));
    }

    /// The packet of what is shown of a bag as one would draft it on another ruler, with round sizes there;
    /// none if it cannot be made. From memory if nothing has changed.
    pub fn redrafted(&self, drawn: &Drawn, units: Units) -> Option<Arc<Packet>> {
        let lock = || self.redrafted.lock().unwrap_or_else(PoisonError::into_inner);
        let design = drawn.showing();
        let known = lock().iter().find(|(of, on, _)| of == design && *on == units).cloned();
        if let Some((_, _, packet)) = known {
            return packet;
        }
        let packet = packet::build(&design.redrafted(units)).packet.map(Arc::new);
        let mut all = lock();
        all.truncate(KEPT_REDRAFTED - 1);
        all.insert(0, (design.clone(), units, packet.clone()));
        packet
    }

    /// The sizes and options of a bag. What was built before and is the same is not built again; the
    /// others are, as long as there is time: it is asked again for the rest.
    ///
    /// # Errors
    /// When the sizes do not go with the bag.
    pub fn family(&self, opened: &Opened, time: Duration) -> Result<Arc<Family>, Vec<Problem>> {
        let lock = || self.families.lock().unwrap_or_else(PoisonError::into_inner);
        let before = lock().iter().find(|family| family.id == opened.id).cloned();
        let before = before.as_deref();
        let same = before.filter(|family| family.text == opened.text);
        let (members, mut built) = match same {
            Some(same) => (same.members.clone(), same.built.clone()),
            None => (store::read_family("this bag", &opened.text)?, Vec::new()),
        };
        let begun = Instant::now();
        for member in &members[built.len()..] {
            let known = before.and_then(|family| {
                let at = family.members.iter().position(|it| it.design == member.design)?;
                family.built.get(at).cloned()
            });
            match known {
                Some(known) => built.push(known),
                // One at least, so that it comes to an end.
                None if begun.elapsed() < time || built.is_empty() => {
                    built.push(sewn(&member.design));
                }
                None => break,
            }
        }
        let text = opened.text.clone();
        let family = Arc::new(Family { id: opened.id, text, members, built });
        let mut families = lock();
        families.retain(|known| known.id != opened.id);
        families.truncate(KEPT - 1);
        families.insert(0, Arc::clone(&family));
        Ok(family)
    }

    /// What a session takes at the usual pace, counted once.
    pub(crate) fn told_once(
        &self,
        key: (i64, u32),
        count: impl FnOnce() -> Option<u64>,
    ) -> Option<u64> {
        let known = |told: &Mutex<BTreeMap<_, _>>| {
            told.lock().unwrap_or_else(PoisonError::into_inner).get(&key).copied()
        };
        if let Some(told) = known(&self.told) {
            return told;
        }
        let told = count();
        self.told.lock().unwrap_or_else(PoisonError::into_inner).insert(key, told);
        told
    }

    /// Forgets what was counted: the numbers of sessions mean others after a restore.
    pub(crate) fn forget(&self) {
        self.told.lock().unwrap_or_else(PoisonError::into_inner).clear();
    }

    /// The handout of a bag, made if it was not made since its last change.
    ///
    /// # Errors
    /// Those of making it.
    pub fn handout(
        &self,
        drawn: &Drawn,
        make: impl FnOnce() -> Result<String, Trouble>,
    ) -> Result<Arc<String>, Trouble> {
        let (id, revision) = (drawn.opened.id, drawn.opened.revision);
        // Held while it is made, so that it is made once, however many ask.
        let mut handouts = self.handouts.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((known, page)) = handouts.get(&id)
            && *known == revision
        {
            return Ok(Arc::clone(page));
        }
        let page = Arc::new(make()?);
        handouts.insert(id, (revision, Arc::clone(&page)));
        Ok(page)
    }

    /// The packet of a bag with the best layouts that were found so far.
    pub fn best(&self, drawn: &Drawn) -> Option<Packet> {
        let mut packet = drawn.packet.clone()?;
        let progress = self.improver.progress((drawn.opened.id, drawn.opened.revision));
        if let Some(progress) = progress {
            for (index, better) in progress.better.into_iter().enumerate() {
                if let (Some(layout), Some(cut)) = (better, packet.cuts.get(index)) {
                    packet.cuts[index] = cut.with_layout(layout, &packet.pattern);
                }
            }
        }
        Some(packet)
    }

    /// The fabric on the shelf that a design means by a name.
    ///
    /// # Errors
    /// When the shelf cannot be read.
    pub fn on_shelf(&self, name: &str) -> Result<Option<FabricRow>, Trouble> {
        let name = name.trim().to_lowercase();
        let mut fabrics = self.keep.fabrics()?.into_iter();
        Ok(fabrics.find(|row| row.fabric.name.to_lowercase() == name))
    }
}
