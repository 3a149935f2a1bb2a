//! Every outside format: design files and pattern files are read and written here, audit files
//! read, and packets become JSON.

mod audit;
mod design;
mod document;
mod earns_json;
mod family;
mod guide;
mod json;
mod kinds_json;
mod kit_json;
mod largest_json;
mod lay;
mod locate;
mod nearest;
mod packet_json;
mod pattern_file;
mod problem;
mod remnants_json;
mod sections;
mod takes_json;
mod typed;
mod usual;
mod values;
mod variants;
mod workshop;
mod workshop_form;
mod write;

pub use audit::{audit_json, audit_page, read_audit};
pub use design::read_design;
pub use earns_json::earns_json;
pub use family::{Member, family_of, read_family, write_family};
pub use guide::guide;
pub use kinds_json::kinds_json;
pub use kit_json::kit_json;
pub use largest_json::largest_json;
pub use lay::{layout_json, read_job, read_layout, verdict_json};
pub use locate::locate;
pub use nearest::nearest;
pub use packet_json::{VERSION, findings_json, packet_json, packet_page, problems_json};
pub use pattern_file::{
    is_audit, is_design, is_pattern, locate_in_pattern, pattern_page, read_pattern, write_pattern,
};
pub use problem::Problem;
pub use remnants_json::remnants_json;
pub use takes_json::takes_json;
pub use typed::{Refused, shown_value, typed_value, value_range, value_words};
pub use variants::{Variant, Variants};
pub use workshop::{Session, Workshop, read_time, read_workshop, workshop_page};
pub use workshop_form::{
    FormSlip, Typed, WorkshopForm, WorkshopKey, workshop_numbers, workshop_prices, workshop_rates,
};
pub use write::{Starter, literal, starter, write_design};
