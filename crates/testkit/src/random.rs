//! Designs drawn at random over the whole range of every parameter of every kind.

use bag::bodies::Body;
use bag::design::{ALLOWANCES, Chosen, FABRIC, INTERFACING, SHOP, STITCHING};
use bag::kinds::{Kind, Param, Quantity, Value, Values};
use bag::linings::Lining;
use bag::{Design, Role, bodies, closures, extras, handles, linings, pockets};
use measure::{Length, MassPerArea, System, Units, fits};
use proptest::prelude::*;
use proptest::sample::select;

/// A length in the range: at its ends, on a mark of either ruler, or anywhere.
fn length(least: Length, most: Length) -> BoxedStrategy<Length> {
    let (low, high) = (least.to_nm(), most.to_nm());
    let on = move |step: i64| {
        (low / step..=high / step).prop_map(move |n| Length::nm((n * step).clamp(low, high)))
    };
    prop_oneof![
        1 => Just(least),
        1 => Just(most),
        4 => on(Length::inch_frac(1, 8).to_nm()),
        4 => on(Length::MM.to_nm()),
        2 => (low..=high).prop_map(Length::nm),
    ]
    .boxed()
}

/// A value in the range of a parameter; often its default, as people change little at a time.
fn value(param: &Param, system: System) -> BoxedStrategy<Value> {
    let any = match param.quantity {
        Quantity::Length { least, most, .. } => length(least, most).prop_map(Value::Length).boxed(),
        Quantity::OptionalLength { least, most } => {
            prop_oneof![Just(Value::Absent), length(least, most).prop_map(Value::Length)].boxed()
        }
        Quantity::Count { least, most, .. } => (least..=most).prop_map(Value::Count).boxed(),
        Quantity::Choice { options, .. } => {
            let words: Vec<&'static str> = options.iter().map(|(word, _)| *word).collect();
            select(words).prop_map(Value::Choice).boxed()
        }
        Quantity::Thing { .. } => {
            let ids: Vec<&'static str> = fits().iter().map(|thing| thing.id).collect();
            select(ids).prop_map(Value::Choice).boxed()
        }
        Quantity::Flag { .. } => any::<bool>().prop_map(Value::Flag).boxed(),
        Quantity::Text { .. } => "[a-zé½&<#]{1,20}".prop_map(Value::Text).boxed(),
        Quantity::Percent { most, .. } => (0..=most).prop_map(Value::Percent).boxed(),
        Quantity::Weight => prop_oneof![
            Just(Value::Absent),
            (20_000_i64..1_000_000).prop_map(|mg| Value::Weight(MassPerArea::mg_per_m2(mg)))
        ]
        .boxed(),
    };
    let usual = param.default_value(system);
    prop_oneof![3 => Just(usual), 2 => any].boxed()
}

fn values(params: &'static [Param], system: System) -> BoxedStrategy<Values> {
    let each: Vec<_> = params.iter().map(|param| value(param, system)).collect();
    each.prop_map(move |drawn| {
        let mut values = Values::defaults(params, system);
        for (param, value) in params.iter().zip(drawn) {
            assert!(values.set(param.key, value), "the list has {}", param.key);
        }
        values
    })
    .boxed()
}

fn chosen<K: Kind + ?Sized>(all: &[&'static K], system: System) -> BoxedStrategy<Chosen> {
    let all = all.to_vec();
    (0..all.len())
        .prop_flat_map(move |index| {
            let kind = all[index];
            let values = values(kind.params(), system);
            values.prop_map(move |values| Chosen { kind: kind.name(), values })
        })
        .boxed()
}

/// Fabric or interfacing for some of the parts.
fn for_parts(
    params: &'static [Param],
    system: System,
) -> BoxedStrategy<std::collections::BTreeMap<Role, Values>> {
    prop::collection::btree_map(select(Role::ALL.to_vec()), values(params, system), 0..4).boxed()
}

/// A design that shows itself as a file when it fails, so that it can be tried.
pub struct Drawn(pub Design);

impl std::fmt::Debug for Drawn {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&store::write_design(&self.0))
    }
}

/// Any design: every kind, every value in its range, up to three pockets and two extras.
pub fn design() -> impl Strategy<Value = Drawn> {
    design_of(bodies::ALL.to_vec(), linings::ALL.to_vec())
}

/// A design of one of these bodies with one of these linings, all else as in [`design`].
pub fn design_of(
    bodies: Vec<&'static dyn Body>,
    linings: Vec<&'static dyn Lining>,
) -> impl Strategy<Value = Drawn> {
    let units = select(vec![Units::Inch, Units::Cm, Units::Mm]);
    units.prop_flat_map(move |units| {
        let system = units.system();
        let kinds = (
            chosen(&bodies, system),
            prop::collection::vec(chosen(pockets::ALL, system), 0..4),
            chosen(handles::ALL, system),
            chosen(closures::ALL, system),
            chosen(&linings, system),
            prop_oneof![2 => Just(Vec::new()).boxed(), 1 => prop::collection::vec(chosen(extras::ALL, system), 1..3).boxed()],
        );
        let rest = (
            values(ALLOWANCES, system),
            values(STITCHING, system),
            values(SHOP, system),
            for_parts(FABRIC, system),
            for_parts(INTERFACING, system),
        );
        (kinds, rest).prop_map(move |(kinds, rest)| {
            let body = bodies::find(kinds.0.kind).expect("it is in the list");
            let mut design = Design::of(body, units);
            (
                design.body,
                design.pockets,
                design.handles,
                design.closure,
                design.lining,
                design.extras,
            ) = kinds;
            let (allowances, stitching, shop, fabrics, interfacings) = rest;
            (design.allowances, design.stitching, design.shop) = (allowances, stitching, shop);
            design.fabrics.extend(fabrics);
            design.interfacings = interfacings;
            Drawn(design)
        })
    })
}
