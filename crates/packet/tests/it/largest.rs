//! The largest bag from a fabric, against trying every size by itself.

use bag::Design;
use bag::design::Role;
use bag::kinds::{Grows, Param, Quantity, Value, Values};
use measure::{Length, Units};
use packet::largest::{Given, Grow, NoLargest, Stop, largest, sizes};

use crate::read;

fn tote(more: &str) -> Design {
    read(
        "design.toml",
        &format!(
            "units = \"inch\"\n[body]\nkind = \"boxed\"\nwidth = 12\nheight = 12\ndepth = 4\n\
             [handles]\nkind = \"folded\"\n[shop]\nsquaring = 0\n{more}"
        ),
    )
}

fn yards(eighths: i64, width: i64) -> Given {
    Given {
        role: Role::Outside,
        width: Length::inch(width),
        usable: Some(Length::inch(width)),
        length: Length::inch_frac(9 * eighths, 2),
    }
}

/// Whether a design is cut from that, by the layouts of its packet.
fn is_cut_from(design: &Design, given: Given) -> bool {
    let mut design = design.clone();
    let cloth = design.fabrics.get_mut(&Role::Outside).expect("it has an outside");
    cloth.set("width", Value::Length(given.width));
    cloth.set("usable", given.usable.map_or(Value::Absent, Value::Length));
    let built = packet::build(&design);
    let Some(packet) = built.packet.filter(|packet| !packet.has_errors()) else { return false };
    let packet = packet::refine(&packet, 40);
    let id = bag::draft::fabric_of(&design, &packet.pattern, Role::Outside).expect("it is cut");
    let cut = packet.cuts.iter().find(|cut| cut.material == id && cut.is_bought());
    let layout = cut.and_then(|cut| cut.layout.as_ref());
    layout.is_some_and(|layout| layout.needed <= given.length)
}

/// Never smaller than what trying every step finds, whichever size grows, and it fits by its own
/// layout.
#[test]
fn no_step_by_step_search_finds_a_larger_bag() {
    for (eighths, width, only) in
        [(6, 30, "height"), (6, 44, "depth"), (6, 44, "width"), (8, 54, "height")]
    {
        let (design, given) = (tote(""), yards(eighths, width));
        let found = largest(&design, &[given], Grow::Alone(only)).unwrap();
        let size = found.design.body.values.length(only);
        assert!(found.laid[0].1.needed <= given.length);
        assert_eq!(layout::verify(&found.laid[0].0.problem, &found.laid[0].1), Ok(()));
        // A foot beyond is far enough to look: one size alone needs ever more.
        let step = Length::inch_frac(1, 8);
        let larger = (1..=96).rev().map(|more| size + step * more).find(|size| {
            let mut design = design.clone();
            design.body.values.set(only, Value::Length(*size));
            is_cut_from(&design, given)
        });
        assert_eq!(larger, None, "{only} of {size:?} from {given:?}");
    }
}

/// Proportions are kept to half a step, and the same question has the same answer.
#[test]
fn it_grows_in_proportion() {
    let design = tote("");
    let given = [yards(8, 54)];
    let found = largest(&design, &given, Grow::Alike).unwrap();
    let size = |key| found.design.body.values.length(key);
    assert_eq!(size("width"), size("height"));
    assert!((size("depth") * 3 - size("width")).abs() <= Length::inch_frac(3, 16));
    assert!(size("width") > Length::inch(12));
    assert_eq!(found.stop, Stop::Fabric(Role::Outside));
    let again = largest(&design, &given, Grow::Alike).unwrap();
    assert_eq!((again.design, again.open), (found.design, found.open));
}

/// More fabric never makes a smaller bag.
#[test]
fn more_fabric_is_never_worse() {
    let design = tote("");
    let sizes: Vec<Length> = (3..=9)
        .filter_map(|eighths| largest(&design, &[yards(eighths, 44)], Grow::Alike).ok())
        .map(|found| found.design.body.values.length("width"))
        .collect();
    assert!(sizes.len() > 3 && sizes.is_sorted(), "{sizes:?}");
}

/// A bag that is sized from a book grows from the size that the book needs.
#[test]
fn a_bag_that_is_sized_from_a_thing_can_grow() {
    let design = read(
        "design.toml",
        "units = \"inch\"\n[body]\nkind = \"flat\"\nsize = \"fits\"\nholds = \"a4-paper\"\n\
         [handles]\nkind = \"none\"\n",
    );
    let found = largest(&design, &[yards(8, 44)], Grow::Alike).unwrap();
    let own = packet::build(&design).packet.unwrap().pattern.claims;
    assert!(found.pattern.claims.width > own.width);
}

#[test]
fn what_makes_no_sense_is_told() {
    let design = tote("");
    let fails = |given: &[Given], grow| largest(&design, given, grow).unwrap_err();
    let yard = yards(8, 44);
    assert_eq!(fails(&[yard, yard], Grow::Alike), NoLargest::Twice(Role::Outside));
    assert_eq!(
        fails(&[yard], Grow::Alone("girth")),
        NoLargest::NoSize(vec!["width", "height", "depth"])
    );
    let base = Given { role: Role::Base, ..yard };
    assert_eq!(fails(&[base], Grow::Alike), NoLargest::NoFabric(Role::Base));
    let none = Given { length: Length::ZERO, ..yard };
    assert_eq!(fails(&[none], Grow::Alike), NoLargest::Absurd(Role::Outside));
    let scrap = Given { length: Length::inch(2), ..yard };
    assert_eq!(fails(&[scrap], Grow::Alike), NoLargest::Nothing);
}

/// A design with its first size so long, and everything that its kinds say grows with it in
/// proportion as the ruler allows; none where a size leaves its range.
fn in_proportion(design: &Design, first: Length) -> Option<Design> {
    let ruler = measure::Ruler::EIGHTH_INCH;
    let own = design.body.values.length(sizes(design)[0].key);
    let grown = |values: &mut Values, param: &Param| {
        let (Quantity::Length { least, most, .. } | Quantity::OptionalLength { least, most }) =
            param.quantity
        else {
            return true;
        };
        let Some(Value::Length(length)) = values.get(param.key).cloned() else { return true };
        if length == Length::ZERO {
            return true;
        }
        let nm = i128::from(length.to_nm()) * i128::from(first.to_nm()) / i128::from(own.to_nm());
        let to = Length::nm(i64::try_from(nm).expect("it is short"));
        let to = ruler.round(to, measure::Rounding::Nearest);
        values.set(param.key, Value::Length(to.clamp(least, most)));
        param.grows == Some(Grows::Along) || (least..=most).contains(&to)
    };
    let mut design = design.clone();
    let body = Design::params_of("body", design.body.kind).expect("it is a body");
    let grows = |param: &&Param| param.grows.is_some();
    let fits = body.iter().filter(grows).all(|param| grown(&mut design.body.values, param));
    fits.then_some(design)
}

/// With proportions kept, too, no step of a foot beyond the answer can be cut, for bodies of several
/// shapes; the bodies here have no lengths besides their sizes that grow along.
#[test]
fn no_scan_in_proportion_finds_a_larger_bag() {
    for (body, sizes, eighths, width) in [
        ("flat", "width = 8\nheight = 9", 3, 30),
        ("boxed", "width = 8\nheight = 9\ndepth = 3", 5, 30),
        ("folded-base", "width = 8\nheight = 9\ndepth = 3", 6, 36),
    ] {
        let text = format!(
            "units = \"inch\"\n[body]\nkind = \"{body}\"\n{sizes}\n[handles]\nkind = \"none\"\n\
             [shop]\nsquaring = 0\n"
        );
        let (design, given) = (read("design.toml", &text), yards(eighths, width));
        let found = largest(&design, &[given], Grow::Alike).expect("it can be cut");
        let size = found.design.body.values.length("width");
        let own = in_proportion(&design, size).expect("it is within its range");
        for key in ["width", "height", "depth"] {
            let [mine, theirs] = [&own, &found.design].map(|it| it.body.values.get(key).cloned());
            assert_eq!(mine, theirs, "{body}: {key}");
        }
        let step = Length::inch_frac(1, 8);
        let larger = (1..=96)
            .rev()
            .map(|more| size + step * more)
            .find(|size| in_proportion(&design, *size).is_some_and(|it| is_cut_from(&it, given)));
        assert!(
            larger.is_none_or(|larger| found.open.contains(&larger)),
            "{body}: {larger:?} after {size:?}"
        );
        assert!(size > Length::inch(8), "{body}: it grew to {size:?}");
    }
}

/// Every body as a new design of it, from a yard: what is found fits by its own layout, and none
/// of the next few can be cut and sewn; `at` sets a design to a step of the size that is named.
fn is_as_large_as_a_scan_finds(
    body: &dyn bag::bodies::Body,
    steps: i64,
    grow: impl Fn(&'static str) -> Grow<'static>,
    at: impl Fn(&Design, &'static str, Length) -> Option<Design>,
) {
    let (mut design, given) = (Design::of(body, Units::Inch), yards(8, 54));
    if design.body.values.get("size").is_some() {
        design.body.values.set("size", Value::Choice("finished"));
    }
    for key in sizes(&design).iter().map(|size| size.key) {
        let grow = grow(key);
        let size = match largest(&design, &[given], grow) {
            Ok(found) => {
                assert!(found.laid[0].1.needed <= given.length);
                assert_eq!(layout::verify(&found.laid[0].0.problem, &found.laid[0].1), Ok(()));
                found.design.body.values.length(found.stepped)
            }
            // Then it is not cut from that at its own size, either.
            Err(NoLargest::Nothing) => design.body.values.length(key) - Length::inch(1),
            Err(other) => panic!("{}: {grow:?}: {other}", body.name()),
        };
        let larger = (1..=steps)
            .map(|more| size + Length::inch_frac(1, 8) * more)
            .find(|size| at(&design, key, *size).is_some_and(|it| is_cut_from(&it, given)));
        assert_eq!(larger, None, "{}: {grow:?} after {size:?}", body.name());
        if grow == Grow::Alike {
            break;
        }
    }
}

#[test]
fn every_body_grows_in_proportion_as_far_as_a_scan_does() {
    for body in bag::bodies::ALL {
        is_as_large_as_a_scan_finds(
            *body,
            8,
            |_| Grow::Alike,
            |design, _, size| in_proportion(design, size),
        );
    }
}

#[test]
fn every_size_of_every_body_grows_alone_as_far_as_a_scan_does() {
    for body in bag::bodies::ALL {
        is_as_large_as_a_scan_finds(*body, 3, Grow::Alone, |design, key, size| {
            let mut design = design.clone();
            let param = sizes(&design).into_iter().find(|param| param.key == key)?;
            let (Quantity::Length { least, most, .. } | Quantity::OptionalLength { least, most }) =
                param.quantity
            else {
                return None;
            };
            design.body.values.set(key, Value::Length(size));
            (least..=most).contains(&size).then_some(design)
        });
    }
}
