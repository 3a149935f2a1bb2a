//! The check values of the main job, and what every pattern must satisfy.

use measure::{Length, System, Units, show_length};

use crate::assembly::{Assembly, SideOut, Surface};
use crate::bodies;
use crate::checks;
use crate::design::{Chosen, Design, Role};
use crate::draft::draft;
use crate::finding::{Finding, Severity};
use crate::kinds::{Quantity, Value};
use crate::pattern::{CopyId, Pattern};
use crate::{handles, linings, pockets};

mod held_by_pockets;
mod legs_over_pockets;
mod over_a_seam;
mod promises;
mod rims;
mod settled;
mod zips;

/// A boxed bag with everything at its default: 16 × 14 × 4 in.
fn boxed() -> Design {
    Design::of(bodies::find("boxed").expect("in the list"), Units::Inch)
}

fn drafted(design: &Design) -> Pattern {
    let drafted = draft(design);
    drafted.pattern.unwrap_or_else(|| panic!("refused: {:#?}", drafted.findings))
}

fn errors(pattern: &Pattern) -> Vec<Finding> {
    checks::run(pattern).into_iter().filter(|f| f.severity == Severity::Error).collect()
}

/// Asserts that the outside of a bag and its lining are one closed body at last, right side out and
/// nowhere inside out; gives its surface.
pub(crate) fn one_closed_body(pattern: &Pattern) -> Surface {
    let work = Assembly::sew(pattern);
    let surface = work.surface(CopyId(0));
    assert!(surface.is_closed() && surface.orientable, "{surface:#?}");
    assert!(surface.inside_out.is_empty(), "{surface:#?}");
    assert_eq!(work.side_out(CopyId(0)), SideOut::Right);
    surface
}

fn inch(text: &str) -> Length {
    measure::parse_length(text, Units::Inch).expect("a length")
}

fn set(design: &mut Design, key: &str, value: Value) {
    assert!(design.body.values.set(key, value), "body has {key}");
}

fn with_everything() -> Design {
    let mut design = boxed();
    let mut band = Chosen::new(pockets::find("band").expect("in the list"), System::Inch);
    band.values.set("on", Value::Choice("both"));
    design.pockets =
        vec![band, Chosen::new(pockets::find("patch").expect("in the list"), System::Inch)];
    design
}

/// Common practice, no source: two outside panels cut 21 × 17 in with 1/2 in seams, corners boxed
/// to a depth of 4 in, give 16 in at the base, 20 in flat at the top, 40 in around, 14 in high.
#[test]
fn cut_panels_give_the_finished_size_back() {
    let mut design = boxed();
    set(&mut design, "size", Value::Choice("cut"));
    set(&mut design, "width", Value::Length(inch("21")));
    set(&mut design, "height", Value::Length(inch("17")));
    let pattern = drafted(&design);
    assert_eq!(errors(&pattern), []);
    let claims = &pattern.claims;
    assert_eq!(
        [claims.width, claims.height, claims.depth, claims.top_width],
        [inch("16"), inch("14"), inch("4"), inch("20")]
    );
    let work = Assembly::sew(&pattern);
    let index = pattern.steps.iter().position(|s| s.id == "join-rim").expect("rim is joined");
    assert_eq!(work.measured[&index], [inch("40")]);
}

/// The same bag asked for by its finished size is cut the same.
#[test]
fn finished_size_gives_the_cut_panels() {
    let pattern = drafted(&boxed());
    let sizes: Vec<_> = pattern.pieces.iter().map(|p| (p.name.as_str(), p.cut_size())).collect();
    assert_eq!(sizes[0], ("outside panel", (inch("21"), inch("17"))));
    assert_eq!(sizes[1], ("lining panel", (inch("21"), inch("17"))));
}

/// Common practice, no source (derived): a net panel 16 in high and 4 in wider at the top, boxed
/// 2 in from the tip, gives 4.53 in; a depth of 4 needs 1.766 in.
#[test]
fn a_tapered_panel_gives_more_depth_for_the_same_tip() {
    let mut design = boxed();
    set(&mut design, "taper", Value::Length(inch("4")));
    let pattern = drafted(&design);
    assert_eq!(errors(&pattern), []);
    let net = &pattern.pieces[0].net;
    assert_eq!(net.edge_length(2) - net.edge_length(0), inch("4"));
    let at_two = crate::pattern::half_depth(&pattern, CopyId(0), 1, 0, inch("2")) * 2;
    assert!((at_two.to_inch() - 4.53).abs() < 0.005, "{}", at_two.to_inch());
    let depth = pattern.claims.depth.to_inch();
    assert!((1.766 * at_two.to_inch() / 2.0 - 4.0).abs() < 0.005);
    assert!((depth - 4.0).abs() < 0.125, "{depth}");
}

/// Common practice, no source: a 56 in strap from the raw base edge up a panel cut 17 in high
/// leaves 22 in above the raw top and 23 in above the finished rim; legs 7 in apart drop 10.95 in.
#[test]
fn a_strap_from_the_base_leaves_a_loop_and_drops() {
    let mut design = boxed();
    design.handles.values.set("length", Value::Length(inch("56")));
    let pattern = drafted(&design);
    assert_eq!(errors(&pattern), []);
    let handle = &pattern.claims.handles[0];
    assert_eq!(handle.free, inch("23"));
    assert_eq!(handle.width, inch("1 1/8"));
    assert!((handle.drop.to_inch() - 10.954).abs() < 0.001, "{}", handle.drop.to_inch());
}

/// Common practice, no source: a pocket cut 12 × 9 in with 1/4 in seams finishes 11 1/2 × 8 1/2.
#[test]
fn a_patch_pocket_finishes_smaller_by_its_seams() {
    let pattern = drafted(&with_everything());
    assert_eq!(errors(&pattern), []);
    let piece = pattern.pieces.iter().find(|p| p.id == "inside-pocket").expect("it is cut");
    assert_eq!(piece.cut_size(), (inch("12"), inch("9")));
    let index =
        pattern.steps.iter().position(|s| s.id == "press-inside-pocket").expect("it is pressed");
    assert_eq!(Assembly::sew(&pattern).measured[&index], [inch("11 1/2"), inch("8 1/2")]);
}

/// lazygirldesigns.com tutorial: a flat bag 19 × 16 in (net), 2 in corners cut, gives
/// 15 wide × 14 high × 4 deep.
#[test]
fn published_boxed_corner() {
    let mut design = boxed();
    set(&mut design, "size", Value::Choice("cut"));
    set(&mut design, "width", Value::Length(inch("20")));
    set(&mut design, "height", Value::Length(inch("17")));
    let claims = drafted(&design).claims;
    assert_eq!([claims.width, claims.height, claims.depth], ["15", "14", "4"].map(inch));
}

/// The first bags of a class, in every way: none may be refused. `cargo xtask sweep` goes through
/// the combinations of all kinds.
#[test]
fn every_combination_of_the_plain_kinds_sews_without_an_error() {
    let mut built = 0;
    for units in [Units::Inch, Units::Mm] {
        for body in ["boxed", "flat"] {
            for handle in ["folded", "webbing", "none"] {
                for from in ["base", "rim"] {
                    for lining in ["turned", "unlined"] {
                        for finish in ["overcast", "bound", "french"] {
                            for pocket in [None, Some("band"), Some("patch")] {
                                let design =
                                    combination(body, units, handle, from, lining, finish, pocket);
                                let pattern = drafted(&design);
                                assert_eq!(errors(&pattern), [], "{design:#?}");
                                built += 1;
                            }
                        }
                    }
                }
            }
        }
    }
    assert_eq!(built, 2 * 2 * 3 * 2 * 2 * 3 * 3);
}

/// Unlined seams in every way, and each lining with handles from the base and from the rim, on a
/// flat bag and a boxed one: none is refused, and none shows an error.
#[test]
fn every_lining_sews_without_an_error() {
    for units in [Units::Inch, Units::Mm] {
        for body in ["boxed", "flat"] {
            for from in ["base", "rim"] {
                for lining in linings::ALL {
                    for finish in ["overcast", "felled"] {
                        let name = lining.name();
                        let mut design =
                            combination(body, units, "webbing", from, name, finish, None);
                        if body == "boxed" {
                            set(&mut design, "contrast-base", Value::Length(inch("3")));
                        }
                        assert_eq!(errors(&drafted(&design)), [], "{design:#?}");
                    }
                }
            }
        }
    }
}

/// Every pocket, on either side of the bag, outside and inside, with every lining, and without
/// handles that run over it: none is refused, and none shows an error.
#[test]
fn every_pocket_goes_with_every_lining() {
    for units in [Units::Inch, Units::Mm] {
        for lining in linings::ALL {
            for pocket in pockets::ALL {
                for (on, side) in [("front", "outside"), ("both", "inside"), ("both", "outside")] {
                    let mut design = combination(
                        "boxed",
                        units,
                        "none",
                        "rim",
                        lining.name(),
                        "overcast",
                        Some(pocket.name()),
                    );
                    let values = &mut design.pockets[0].values;
                    values.set("on", Value::Choice(on));
                    values.set("side", Value::Choice(side));
                    let drafted = draft(&design);
                    let Some(pattern) = drafted.pattern else {
                        assert!(!lining.is_lined() && side == "inside", "{:#?}", drafted.findings);
                        continue;
                    };
                    assert_eq!(errors(&pattern), [], "{design:#?}");
                }
            }
        }
    }
}

fn combination(
    body: &str,
    units: Units,
    handle: &str,
    from: &'static str,
    lining: &str,
    finish: &'static str,
    pocket: Option<&str>,
) -> Design {
    let mut design = Design::of(bodies::find(body).expect("in the list"), units);
    let system = units.system();
    design.handles = Chosen::new(handles::find(handle).expect("in the list"), system);
    design.handles.values.set("from", Value::Choice(from));
    design.lining = Chosen::new(linings::find(lining).expect("in the list"), system);
    design.lining.values.set("finish", Value::Choice(finish));
    if let Some(pocket) = pocket {
        design.pockets = vec![Chosen::new(pockets::find(pocket).expect("in the list"), system)];
    }
    design.fabrics.insert(Role::Handle, design.fabrics[&Role::Outside].clone());
    design
}

#[test]
fn step_ids_are_unique_and_every_step_tells_something() {
    let pattern = drafted(&with_everything());
    let telling = crate::operations::Telling { pattern: &pattern, system: System::Inch };
    let mut ids: Vec<&str> = pattern.steps.iter().map(|s| s.id.as_str()).collect();
    for step in &pattern.steps {
        let told = step.operation.tell(&telling);
        assert!(told.text.ends_with('.'), "{}: {}", step.id, told.text);
    }
    ids.sort_unstable();
    let count = ids.len();
    ids.dedup();
    assert_eq!(ids.len(), count);
    assert_eq!(show_length(pattern.claims.width, System::Inch), "16 in");
}

#[test]
fn too_deep_a_bag_is_refused_with_a_cure() {
    let mut design = boxed();
    set(&mut design, "depth", Value::Length(inch("23")));
    set(&mut design, "height", Value::Length(inch("3")));
    let drafted = draft(&design);
    assert!(drafted.pattern.is_none());
    assert!(drafted.findings.iter().all(|f| !f.cure.is_empty()));
}

/// The facing takes its height off the lining, whatever the body, and both together reach as far as
/// the outside.
#[test]
fn every_body_sews_with_a_facing() {
    for units in [Units::Inch, Units::Mm] {
        for body in bodies::ALL {
            for rim in ["topstitched", "understitched"] {
                let mut design = Design::of(*body, units);
                design.lining =
                    Chosen::new(linings::find("faced").expect("in the list"), units.system());
                design.lining.values.set("rim", Value::Choice(rim));
                let drafted = draft(&design);
                let Some(pattern) = drafted.pattern else {
                    let reasons = &drafted.findings;
                    assert!(reasons[0].message.contains("needs"), "{}: {reasons:?}", body.name());
                    continue;
                };
                assert_eq!(errors(&pattern), [], "{}", body.name());
                let facing = pattern.pieces.iter().find(|piece| piece.id == "facing");
                assert_eq!(
                    facing.expect("it is cut").net_size().1,
                    design.lining.values.length("facing"),
                    "{}",
                    body.name()
                );
            }
        }
    }
}

/// A new design of any body, with everything at its default, is drafted and sews without a warning.
#[test]
fn every_body_at_its_default_sews_without_a_warning() {
    for units in [Units::Inch, Units::Mm] {
        for body in bodies::ALL {
            let pattern = drafted(&Design::of(*body, units));
            let found: Vec<Finding> =
                checks::run(&pattern).into_iter().filter(|f| f.severity > Severity::Note).collect();
            assert_eq!(found, [], "{}", body.name());
        }
    }
}

/// A pocket as wide as the panel is cut with the same corners out of it, and its edges lie on those
/// of the panel: depth 4 in, so squares of 2 in; 16 in at the base.
#[test]
fn a_full_width_pocket_on_cut_out_corners_has_them_too() {
    for kind in ["band", "slip", "zip-seam"] {
        let mut design = Design::of(bodies::find("cut-corners").expect("in the list"), Units::Inch);
        design.handles = Chosen::new(handles::find("none").expect("in the list"), System::Inch);
        design.pockets = vec![Chosen::new(pockets::find(kind).expect("in the list"), System::Inch)];
        let pattern = drafted(&design);
        assert_eq!(errors(&pattern), [], "{kind}");
        let pocket = pattern.piece_of(pattern.claims.pockets[0].copy);
        assert_eq!(pocket.net.edge_count(), 8, "{kind}");
        assert_eq!(pocket.net.edge_length(0), inch("16"), "{kind}");
        assert_eq!([1, 2, 6, 7].map(|edge| pocket.net.edge_length(edge)), [inch("2"); 4], "{kind}");
    }
}

/// A body with every parameter drawn over its whole range: half at their defaults, lengths on whole
/// millimetres.
fn body_at_random(
    body: &dyn bodies::Body,
    units: Units,
    mut draw: impl FnMut(u64) -> u64,
) -> Design {
    let mut design = Design::of(body, units);
    for param in body.params() {
        let kept = draw(2) == 0;
        let mut mm = |least: Length, most: Length| {
            let span = u64::try_from((most - least).to_nm() / 1_000_000).unwrap_or(0);
            least + Length::mm(i64::try_from(draw(span + 1)).unwrap_or(0))
        };
        let value = match param.quantity {
            _ if kept => continue,
            Quantity::Length { least, most, .. } | Quantity::OptionalLength { least, most } => {
                Value::Length(mm(least, most))
            }
            Quantity::Count { least, most, .. } => {
                let span = draw(u64::from(most - least) + 1);
                Value::Count(least + u32::try_from(span).unwrap_or(0))
            }
            Quantity::Choice { options, .. } => {
                let index = usize::try_from(draw(options.len() as u64)).unwrap_or(0);
                Value::Choice(options[index].0)
            }
            _ => continue,
        };
        set(&mut design, param.key, value);
    }
    design.handles = Chosen::new(handles::find("none").expect("in the list"), design.system());
    design
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig {
        cases: 20,
        failure_persistence: None,
        ..proptest::prelude::ProptestConfig::default()
    })]

    /// Every body, over the whole range of its parameters: it is refused with a reason and a cure, or
    /// it sews without an error, and its size computed back from the cut pieces is what was asked.
    #[test]
    fn every_body_of_any_size_sews_or_is_refused(seed in 1_u64..u64::MAX) {
        let mut state = seed;
        let mut draw = |below: u64| {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            (state >> 11) % below.max(1)
        };
        for body in bodies::ALL {
            for units in [Units::Inch, Units::Mm] {
                let design = body_at_random(*body, units, &mut draw);
                let drafted = draft(&design);
                let Some(pattern) = drafted.pattern else {
                    let told = |f: &Finding| !f.message.is_empty() && !f.cure.is_empty();
                    assert!(drafted.findings.iter().any(told), "{design:#?}");
                    continue;
                };
                // What is asked for may be too large for the fabric, or too small for a thing.
                let asked = ["goes-in", "fits-the-fabric", "strip-joins"];
                let wrong = |f: &Finding| !asked.contains(&f.check);
                let found: Vec<Finding> = errors(&pattern).into_iter().filter(wrong).collect();
                assert_eq!(found, [], "{design:#?}");
                for (key, wanted) in &pattern.claims.asked {
                    let given = match *key {
                        "width" => pattern.claims.width,
                        "height" => pattern.claims.height,
                        _ => pattern.claims.depth,
                    };
                    // A boxing line lies on a mark of the ruler; sides that lean make more of it.
                    assert!((given - *wanted).abs() <= Length::mm(7), "{key} {design:#?}");
                }
            }
        }
    }
}

/// A lining that is cut smaller than a seam eases in is found where it is asked for.
#[test]
fn too_much_ease_is_found_at_its_field() {
    let mut design = boxed();
    set(&mut design, "width", Value::Length(inch("10")));
    assert!(design.lining.values.set("ease", Value::Length(inch("3/8"))));
    let found = errors(&drafted(&design));
    let at: Vec<_> = found.iter().map(|it| (it.check, it.place.parameter.as_deref())).collect();
    assert_eq!(at, [("joined-edges-match", Some("lining.ease"))]);
}

/// A lining that is cut less high than its outside, by more than ease leaves it, takes the load.
#[test]
fn too_short_a_lining_is_found_at_its_ease() {
    let mut pattern = drafted(&boxed());
    let lining = pattern.pieces.iter_mut().find(|piece| piece.id == "lining-panel").unwrap();
    let (width, height) = lining.net_size();
    lining.net = measure::Outline::rectangle(width, height - inch("1"));
    let found = errors(&pattern);
    let found = found.iter().find(|it| it.check == "layers-fit").expect("it is found");
    assert_eq!(found.place.parameter.as_deref(), Some("lining.ease"));
}

/// Two seams of 1 1/2 in and two corners of 4 in take 11 in of panels cut 10 in wide (arithmetic).
#[test]
fn what_leaves_nothing_says_how_much_it_takes() {
    let mut design = boxed();
    set(&mut design, "size", Value::Choice("cut"));
    set(&mut design, "width", Value::Length(inch("10")));
    set(&mut design, "depth", Value::Length(inch("8")));
    assert!(design.allowances.set("side", Value::Length(inch("1 1/2"))));
    let found = draft(&design).findings;
    let at = |it: &&Finding| it.place.parameter.as_deref() == Some("body.width");
    let found = found.iter().find(at).expect("it is refused");
    assert_eq!(
        found.message,
        "nothing would be left of its width: seams and corners take 11 in of 10 in"
    );
}
