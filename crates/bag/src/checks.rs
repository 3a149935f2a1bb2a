//! What can be wrong with a pattern. A check is its file and its word in this list: it finds,
//! says why it matters at the machine, and gives the cure.

use crate::assembly::{Assembly, Event};
use crate::finding::{Finding, Place};
use crate::pattern::{CopyId, Look, Pattern, Run};

/// One check.
#[derive(Clone, Copy, Debug)]
pub struct Check {
    /// Kebab-case name, which its findings carry.
    pub name: &'static str,
    /// What it looks for, one sentence.
    pub looks_for: &'static str,
    /// Why it matters at the machine, one sentence.
    pub why: &'static str,
    /// Looks.
    pub run: fn(&Context<'_>) -> Vec<Finding>,
}

/// What a check may look at.
#[derive(Debug)]
pub struct Context<'a> {
    /// The pattern.
    pub pattern: &'a Pattern,
    /// The work, with everything sewn.
    pub sewn: &'a Assembly<'a>,
}

/// Declares the checks' modules and the list, from one word each.
macro_rules! checks {
    ($($module:ident),+ $(,)?) => {
        $(mod $module;)+
        /// Every check, in the order in which they run.
        pub const ALL: &[Check] = &[$($module::CHECK),+];
    };
}

pub use goes_in::goes;
pub use handle_load::{Load, load};

checks!(
    prepared,
    joined_edges_match,
    edges_can_spread,
    allowances_agree,
    finished_size,
    faces_meet,
    raw_edges,
    caught_or_free,
    turning_has_opening,
    openings_closed,
    machine_reaches,
    left_and_right,
    print_stands_upright,
    lies_in_place,
    lies_flat,
    stitched_where_held,
    pockets_clear,
    hand_goes_in,
    handles_as_promised,
    closures_meet,
    dividers_hold,
    parts_as_promised,
    ends_as_promised,
    told_once,
    casings_threaded,
    layers_fit,
    binding_suffices,
    bias_suffices,
    thick_places,
    handle_load,
    goes_in,
    fits_the_fabric,
    strip_joins,
);

/// Sews the pattern in the abstract and runs every check on it.
pub fn run(pattern: &Pattern) -> Vec<Finding> {
    let sewn = Assembly::sew(pattern);
    let context = Context { pattern, sewn: &sewn };
    ALL.iter().flat_map(|check| (check.run)(&context)).collect()
}

impl Context<'_> {
    /// Straps: what was placed with its feet.
    fn straps(&self) -> impl Iterator<Item = CopyId> + '_ {
        self.sewn.events.iter().filter_map(|(_, event)| match event {
            Event::Placed { what, feet, .. } if !feet.is_empty() => Some(*what),
            _ => None,
        })
    }

    /// Id of a step by its index.
    fn step_id(&self, index: usize) -> &str {
        self.pattern.steps.get(index).map_or("", |step| step.id.as_str())
    }

    /// Name of an edge of a copy.
    fn edge_name(&self, copy: CopyId, edge: usize) -> &str {
        self.pattern.piece_of(copy).edges.get(edge).map_or("edge", |edge| edge.name.as_str())
    }

    /// The place, at the first edge of a run.
    fn at_run(&self, place: Place, run: &Run) -> Place {
        match run.spans.first() {
            Some(span) => place
                .of_piece(&self.pattern.copy(span.copy).name)
                .at_edge(self.edge_name(span.copy, span.edge)),
            None => place,
        }
    }

    /// The same place; by the ease of the lining, if that makes the difference between both sides: one
    /// is of the lining, and one is not.
    fn by_ease(&self, place: Place, sides: [&Run; 2]) -> Place {
        let is_lining = |copy: &CopyId| {
            let material = self.pattern.piece_of(*copy).material;
            self.pattern.material(material).look == Look::Lining
        };
        let [one, other] = sides.map(|run| run.copies().iter().all(is_lining));
        if one == other { place } else { place.by_parameter("lining.ease") }
    }

    /// A length in words, on the pattern's own ruler.
    fn show(&self, length: measure::Length) -> String {
        measure::show_length(length, self.pattern.units.system())
    }
}
