//! How long the workroom takes from a field's change to its answer, and to draw its pages, for the
//! largest example; without the network and the browser.

use std::collections::BTreeMap;
use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use workroom::ask::{Answer, Ask, Fields, Has, Verb};
use workroom::keep::Keep;
use workroom::pages;
use workroom::room::Room;

/// The example with the most pieces and steps.
const LARGEST: &str = include_str!("../../../examples/workshop-bag.toml");

fn ask(room: &Room, verb: Verb, to: &str, form: &[(&str, &str)]) -> Answer {
    let mut fields = Fields::default();
    form.iter().for_each(|(name, value)| fields.set(name, (*value).to_owned()));
    let (path, query) = to.split_once('?').unwrap_or((to, ""));
    let path = path.split('/').filter(|part| !part.is_empty()).map(str::to_owned).collect();
    let parts = (verb == Verb::Post).then(Has::default);
    let query = Fields::read(query.as_bytes());
    let answer = pages::answer(
        room,
        &Ask { verb, path, query, form: fields, files: BTreeMap::new(), parts },
    );
    assert_eq!(answer.status, 200, "{to}");
    answer
}

fn benches(criterion: &mut Criterion) {
    let folder = tempfile::tempdir().expect("there is room");
    let keep = Keep::open(folder.path()).expect("it can be opened");
    let room = Room::new(keep, None);
    let design = store::read_design("workshop-bag.toml", LARGEST).expect("it is understood");
    let text = store::write_design(&design);
    let id = room.keep.add(&design.title, &text, "new").expect("it is kept").id;
    let mut round = 0_u32;
    criterion.bench_function("a changed field to its answer, largest example", |bencher| {
        bencher.iter(|| {
            round += 1;
            let revision = room.keep.bag(id).expect("it is there").revision.to_string();
            let value = if round.is_multiple_of(2) { "20" } else { "20 1/2" };
            let form = [("revision", revision.as_str()), ("path", "body.width"), ("value", value)];
            black_box(ask(&room, Verb::Post, &format!("/bag/{id}/change"), &form))
        });
    });
    for (what, way) in [
        ("design", ""),
        ("turned picture", "/seen?turn=120&rise=30"),
        ("pieces", "/pieces"),
        ("cutting", "/cutting"),
        ("a step", "/sewing?step=9"),
    ] {
        criterion.bench_function(&format!("page: {what}, largest example"), |bencher| {
            bencher.iter(|| black_box(ask(&room, Verb::Get, &format!("/bag/{id}{way}"), &[])));
        });
    }
}

criterion_group!(all, benches);
criterion_main!(all);
