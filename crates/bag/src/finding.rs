//! What is found about a bag: data with a place and a cure, many at once, never an `Err`.

use measure::Length;

/// How much a finding matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Worth knowing; nothing has to be changed.
    Note,
    /// It can be sewn, but something will disappoint or needs care.
    Warning,
    /// It cannot be made as it stands.
    Error,
}

impl Severity {
    /// The word for it in files and on screen.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Warning => "warning",
            Self::Error => "error",
        }
    }
}

/// Where a finding sits: any of the parts may be absent.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Place {
    /// Id of the step.
    pub step: Option<String>,
    /// Name of the piece or copy.
    pub piece: Option<String>,
    /// Name of the edge of that piece.
    pub edge: Option<String>,
    /// Distance along the edge's stitching line from its start.
    pub at: Option<Length>,
    /// The design parameter to change, as a path such as `body.depth`.
    pub parameter: Option<String>,
    /// The field to change of whatever in the design asks for the piece: `below` of a pocket.
    pub field: Option<&'static str>,
}

impl Place {
    /// Nowhere in particular.
    pub fn nowhere() -> Self {
        Self::default()
    }

    /// At a step.
    pub fn step(id: &str) -> Self {
        Self { step: Some(id.to_owned()), ..Self::default() }
    }

    /// At a piece.
    pub fn piece(name: &str) -> Self {
        Self { piece: Some(name.to_owned()), ..Self::default() }
    }

    /// At a parameter of the design, `section.key`.
    pub fn parameter(path: &str) -> Self {
        Self { parameter: Some(path.to_owned()), ..Self::default() }
    }

    /// The same place, at an edge.
    #[must_use]
    pub fn at_edge(mut self, edge: &str) -> Self {
        self.edge = Some(edge.to_owned());
        self
    }

    /// The same place, within a piece.
    #[must_use]
    pub fn of_piece(mut self, piece: &str) -> Self {
        self.piece = Some(piece.to_owned());
        self
    }

    /// The same place, with the parameter that would cure it.
    #[must_use]
    pub fn by_parameter(mut self, path: &str) -> Self {
        self.parameter = Some(path.to_owned());
        self
    }

    /// The same place, with the field of what asks for the piece that would cure it.
    #[must_use]
    pub fn in_field(mut self, field: &'static str) -> Self {
        self.field = Some(field);
        self
    }
}

/// One finding: what is wrong, where, and what cures it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// Name of the check that found it, in kebab case.
    pub check: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// Where it sits.
    pub place: Place,
    /// One sentence that names the thing and both numbers.
    pub message: String,
    /// What to change, with a value where one is known.
    pub cure: String,
}

impl Finding {
    /// An error: the bag cannot be made as it stands.
    pub fn error(check: &'static str, place: Place, message: String, cure: String) -> Self {
        Self { check, severity: Severity::Error, place, message, cure }
    }

    /// A warning: it can be made, but needs care.
    pub fn warning(check: &'static str, place: Place, message: String, cure: String) -> Self {
        Self { check, severity: Severity::Warning, place, message, cure }
    }

    /// A note: worth knowing.
    pub fn note(check: &'static str, place: Place, message: String, cure: String) -> Self {
        Self { check, severity: Severity::Note, place, message, cure }
    }
}
