//! Every kind with its parameters, for other programs: what `bagwright kinds --json` prints.

use bag::checks::{self, Check};
use bag::kinds::{Kind, Param, Quantity};
use bag::{bodies, closures, extras, handles, linings, pockets};
use measure::Length;
use serde::Serialize;

use crate::values;

#[derive(Serialize)]
struct Kinds {
    bodies: Vec<KindJson>,
    pockets: Vec<KindJson>,
    handles: Vec<KindJson>,
    closures: Vec<KindJson>,
    linings: Vec<KindJson>,
    extras: Vec<KindJson>,
    checks: Vec<CheckJson>,
}

#[derive(Serialize)]
struct KindJson {
    name: &'static str,
    title: &'static str,
    help: &'static str,
    parameters: Vec<ParamJson>,
}

#[derive(Serialize)]
struct CheckJson {
    name: &'static str,
    looks_for: &'static str,
    why: &'static str,
}

#[derive(Serialize)]
struct ParamJson {
    key: &'static str,
    label: &'static str,
    help: &'static str,
    #[serde(flatten)]
    quantity: QuantityJson,
}

#[derive(Serialize)]
#[serde(tag = "type", rename_all = "lowercase")]
enum QuantityJson {
    Length {
        least_mm: f64,
        most_mm: f64,
        default_inch_mm: f64,
        default_metric_mm: f64,
    },
    #[serde(rename = "optional-length")]
    OptionalLength {
        least_mm: f64,
        most_mm: f64,
    },
    Count {
        least: u32,
        most: u32,
        default: u32,
    },
    Choice {
        options: Vec<OptionJson>,
        default: &'static str,
    },
    Flag {
        default: bool,
    },
    Text {
        default: &'static str,
    },
    Percent {
        most: f64,
        default: f64,
    },
    Weight,
}

#[derive(Serialize)]
struct OptionJson {
    word: &'static str,
    meaning: String,
}

/// Every body, pocket, handle, closure, lining, extra and check there is, as JSON.
pub fn kinds_json() -> String {
    let kinds = Kinds {
        bodies: bodies::ALL.iter().map(|kind| json(*kind)).collect(),
        pockets: pockets::ALL.iter().map(|kind| json(*kind)).collect(),
        handles: handles::ALL.iter().map(|kind| json(*kind)).collect(),
        closures: closures::ALL.iter().map(|kind| json(*kind)).collect(),
        linings: linings::ALL.iter().map(|kind| json(*kind)).collect(),
        extras: extras::ALL.iter().map(|kind| json(*kind)).collect(),
        checks: checks::ALL.iter().map(check).collect(),
    };
    crate::json::pretty(&kinds)
}

fn check(check: &Check) -> CheckJson {
    CheckJson { name: check.name, looks_for: check.looks_for, why: check.why }
}

fn json(kind: &dyn Kind) -> KindJson {
    KindJson {
        name: kind.name(),
        title: kind.title(),
        help: kind.help(),
        parameters: kind.params().iter().map(param).collect(),
    }
}

fn param(param: &Param) -> ParamJson {
    let mm = Length::to_mm;
    let quantity = match param.quantity {
        Quantity::Length { least, most, inch, metric } => QuantityJson::Length {
            least_mm: mm(least),
            most_mm: mm(most),
            default_inch_mm: mm(inch),
            default_metric_mm: mm(metric),
        },
        Quantity::OptionalLength { least, most } => {
            QuantityJson::OptionalLength { least_mm: mm(least), most_mm: mm(most) }
        }
        Quantity::Count { least, most, default } => QuantityJson::Count { least, most, default },
        Quantity::Choice { default, .. } | Quantity::Thing { default } => {
            let words = values::words(param).into_iter();
            let options = words.map(|(word, meaning)| OptionJson { word, meaning }).collect();
            QuantityJson::Choice { options, default }
        }
        Quantity::Flag { default } => QuantityJson::Flag { default },
        Quantity::Text { default } => QuantityJson::Text { default },
        Quantity::Percent { most, default } => {
            let percent = |share: u32| f64::from(share) / 100.0;
            QuantityJson::Percent { most: percent(most), default: percent(default) }
        }
        Quantity::Weight => QuantityJson::Weight,
    };
    ParamJson { key: param.key, label: param.label, help: param.help, quantity }
}
