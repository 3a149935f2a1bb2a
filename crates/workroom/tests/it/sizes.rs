//! Sizes and options as fields: added, filled in, told where they are wrong, taken back.

use measure::Length;
use workroom::ask::{Answer, Verb};

use crate::pages::{Bench, check_page};
use crate::reckoning::bench;

fn sent(bench: &Bench, id: i64, word: &str, more: &[(&str, &str)], parts: bool) -> Answer {
    let revision = bench.room.keep.bag(id).expect("it is there").revision.to_string();
    let mut form = vec![("revision", revision.as_str())];
    form.extend(more);
    bench.ask(Verb::Post, &format!("/bag/{id}/{word}"), &form, parts)
}

/// Changes a field of the sizes; the parts that come back.
fn field(bench: &Bench, id: i64, path: &str, value: &str, status: u16) -> String {
    let answer = sent(bench, id, "sizes", &[("path", path), ("value", value)], true);
    let parts = String::from_utf8(answer.body).expect("a page is text");
    assert_eq!(answer.status, status, "{path} {value}: {parts}");
    assert!(!parts.contains("<html"), "only parts are sent");
    parts
}

fn family(bench: &Bench, id: i64) -> String {
    store::family_of(&bench.room.keep.bag(id).expect("it is there").text)
}

#[test]
fn sizes_are_typed_into_fields() {
    let (bench, id) = bench();
    field(&bench, id, "size.add", "small", 200);
    let parts = field(&bench, id, "size[1].body.width", "11 1/2", 200);
    assert!(parts.contains("Kept: size small, width: 11 1/2."), "{parts}");
    // What is as in the bag stands there in grey.
    assert!(
        parts.contains("id=\"size-1-body-height\" name=\"value\" value=\"\" placeholder=\"13\"")
    );
    field(&bench, id, "option.add", "webbing", 200);
    field(&bench, id, "option[1].differs", "handles.kind", 200);
    field(&bench, id, "option[1].handles.kind", "webbing", 200);
    let said =
        "[size.small]\nbody.width = \"11 1/2\"\n\n[option.webbing]\nhandles.kind = \"webbing\"";
    assert_eq!(family(&bench, id), said);
    // A slow machine builds them in several looks.
    let opened = bench.room.keep.bag(id).unwrap();
    assert_eq!(bench.room.family(&opened, std::time::Duration::MAX).expect("they go").left(), 0);
    let page = bench.text(&format!("/bag/{id}/sizes"));
    check_page("sizes", &page);
    for row in ["small, as it stands", "small, webbing", "as it stands, webbing"] {
        assert!(page.contains(&format!("aria-label=\"Show {row}\"")), "{row}");
    }
    // A slip is told at its field, and what was typed stays there.
    let parts = field(&bench, id, "size[1].body.width", "broad", 422);
    assert!(
        parts.contains("value=\"broad\" placeholder=\"15\"") || parts.contains("value=\"broad\"")
    );
    assert!(parts.contains("Not changed:") && parts.contains("aria-invalid=\"true\""), "{parts}");
    let parts = field(&bench, id, "size.add", "Small", 422);
    assert!(parts.contains("There is one called “Small” already"), "{parts}");
    assert_eq!(family(&bench, id), said);
    // Undo and redo stay on this page.
    let undone = sent(&bench, id, "undo", &[("page", "sizes")], true);
    let undone = String::from_utf8(undone.body).unwrap();
    assert!(undone.contains("id=\"what-differs\"") && undone.contains("Undone."), "{undone}");
    let there = sent(&bench, id, "redo", &[("page", "sizes")], false).location;
    assert_eq!(there, Some(format!("/bag/{id}/sizes")));
    assert_eq!(family(&bench, id), said);
    // Empty is as in the bag again.
    field(&bench, id, "size[1].body.width", "", 200);
    field(&bench, id, "option[1].remove", "", 200);
    assert_eq!(family(&bench, id), "[size.small]");
}

#[test]
fn two_windows_do_not_overwrite_each_others_sizes() {
    let (bench, id) = bench();
    let add = |name: &str| {
        let form = [("revision", "1"), ("path", "size.add"), ("value", name)];
        bench.ask(Verb::Post, &format!("/bag/{id}/sizes"), &form, true)
    };
    assert_eq!(add("small").status, 200);
    let late = add("large");
    assert_eq!(late.status, 409);
    let parts = String::from_utf8(late.body).unwrap();
    assert!(parts.contains("another window") && parts.contains("<legend>small</legend>"));
    assert_eq!(family(&bench, id), "[size.small]");
}

/// A body that does not know what a size says leaves the page with a way on.
#[test]
fn what_does_not_go_with_the_bag_any_more_is_taken_out_line_by_line() {
    let (bench, id) = bench();
    field(&bench, id, "size.add", "small", 200);
    field(&bench, id, "size[1].body.depth", "3", 200);
    field(&bench, id, "size[1].body.width", "12", 200);
    assert_eq!(bench.change(id, "body.kind", "flat").status, 200);
    let page = bench.text(&format!("/bag/{id}/sizes"));
    check_page("sizes that do not go", &page);
    assert!(page.contains("do not go with the bag") && page.contains("body.depth = 3"), "{page}");
    field(&bench, id, "size[1].body.depth", "", 200);
    let page = bench.text(&format!("/bag/{id}/sizes"));
    assert!(!page.contains("do not go with the bag"));
    let family = bench.room.family(&bench.room.keep.bag(id).unwrap(), std::time::Duration::MAX);
    let family = family.expect("it goes");
    let width = family.built[1].as_ref().expect("it can be sewn").finished.width;
    assert_eq!(width, Length::inch(12));
}

/// Many sizes are built as long as there is time, and the page asks for the rest; what was built is
/// not built again.
#[test]
fn many_sizes_are_reckoned_little_by_little() {
    let (bench, id) = bench();
    let sizes: String = (0..6).map(|n| format!("[size.s{n}]\nbody.width = {}\n", 12 + n)).collect();
    assert_eq!(sent(&bench, id, "sizes", &[("family", &sizes)], false).status, 303);
    let opened = bench.room.keep.bag(id).unwrap();
    let look = || bench.room.family(&opened, std::time::Duration::ZERO).expect("they go");
    let first = look();
    assert_eq!((first.members.len(), first.built.len()), (7, 1));
    let whole = bench.room.family(&opened, std::time::Duration::MAX).expect("they go");
    assert_eq!(whole.left(), 0);
    assert_eq!(look().left(), 0, "they are kept");
    // One size is changed: the others are the same packets.
    field(&bench, id, "size[6].body.width", "9", 200);
    let opened = bench.room.keep.bag(id).unwrap();
    let again = bench.room.family(&opened, std::time::Duration::MAX).expect("they go");
    for (at, (new, old)) in again.built.iter().zip(&whole.built).enumerate() {
        let (new, old) = (new.as_ref().unwrap(), old.as_ref().unwrap());
        assert_eq!(std::sync::Arc::ptr_eq(new, old), at != 6, "{at}");
    }
}
