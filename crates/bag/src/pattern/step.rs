//! A step: one operation with a stable id, in a chapter, and what can be checked after it.

use std::any::Any;
use std::sync::Arc;

use super::Gauge;
use crate::operations::Operation;

/// One thing that is done.
#[derive(Clone, Debug)]
pub struct Step {
    /// A stable word, kebab case.
    pub id: String,
    /// The chapter of the booklet.
    pub chapter: Chapter,
    /// What is done.
    pub operation: Arc<dyn Operation>,
    /// What can be measured or looked at when it is done.
    pub checkpoint: Option<Checkpoint>,
}

impl Step {
    /// What is done, if it is this operation.
    pub fn as_a<T: Operation>(&self) -> Option<&T> {
        let operation: &dyn Any = &*self.operation;
        operation.downcast_ref()
    }
}

/// A part of the work, in order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Chapter {
    /// Squaring up, block fusing, cutting and marking.
    Cut,
    /// Interfacing.
    Interface,
    /// Handles.
    Handles,
    /// Pockets.
    Pockets,
    /// Panels: what goes on them while they are flat.
    Panels,
    /// The outside becomes a bag.
    Outside,
    /// The lining becomes a bag.
    Lining,
    /// Both become one.
    Together,
    /// Turning, pressing, topstitching.
    Finish,
}

impl Chapter {
    /// Heading.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Cut => "Cut and mark",
            Self::Interface => "Apply the interfacing",
            Self::Handles => "Make the handles",
            Self::Pockets => "Make the pockets",
            Self::Panels => "Prepare the panels",
            Self::Outside => "Sew the outside",
            Self::Lining => "Sew the lining",
            Self::Together => "Join outside and lining",
            Self::Finish => "Finish",
        }
    }
}

/// What can be measured when a step is done; the number is computed from the cut pieces and what
/// has been sewn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Checkpoint {
    /// "the top edge now measures 40 in around".
    Measures {
        /// "the bag's top edge".
        what: String,
        /// How it is measured.
        gauge: Gauge,
        /// "around", "across", "wide", "high".
        how: &'static str,
    },
    /// Width × height of something, and × depth of a box.
    Size {
        /// "the pocket".
        what: String,
        /// Its width.
        width: Gauge,
        /// Its height.
        height: Gauge,
        /// Its depth, when it has one.
        depth: Option<Gauge>,
    },
    /// Something to look at.
    Look(String),
}
