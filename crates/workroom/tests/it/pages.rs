//! Every page of every example, without a network; and what nonsense is answered.

use std::collections::BTreeMap;

use measure::Length;
use workroom::ask::{Answer, Ask, Fields, Has, Verb};
use workroom::keep::Keep;
use workroom::pages;
use workroom::room::Room;

/// A workroom in a folder of its own.
pub(crate) struct Bench {
    pub(crate) room: Room,
    folder: tempfile::TempDir,
}

impl Bench {
    pub(crate) fn new() -> Self {
        let folder = tempfile::tempdir().expect("there is room");
        let keep = Keep::open(folder.path()).expect("it can be opened");
        Self { room: Room::new(keep, None), folder }
    }

    /// The same after the program was ended and started again.
    pub(crate) fn restarted(self) -> Self {
        let Self { room, folder } = self;
        drop(room);
        let keep = Keep::open(folder.path()).expect("it can be opened");
        Self { room: Room::new(keep, None), folder }
    }

    pub(crate) fn add(&self, text: &str) -> i64 {
        let design = store::read_design("it", text).expect("it is a design");
        let text = store::write_design(&design);
        self.room.keep.add(&design.title, &text, "new").expect("it is kept").id
    }

    pub(crate) fn ask(&self, verb: Verb, to: &str, form: &[(&str, &str)], parts: bool) -> Answer {
        self.ask_with(verb, to, form, parts.then(Has::default))
    }

    /// As the script asks that has something already.
    pub(crate) fn ask_with(
        &self,
        verb: Verb,
        to: &str,
        form: &[(&str, &str)],
        parts: Option<Has>,
    ) -> Answer {
        let (path, query) = to.split_once('?').unwrap_or((to, ""));
        let mut fields = Fields::default();
        for (name, value) in form {
            fields.set(name, (*value).to_owned());
        }
        let path = path.split('/').filter(|part| !part.is_empty()).map(str::to_owned).collect();
        let query = Fields::read(query.as_bytes());
        let ask = Ask { verb, path, query, form: fields, files: BTreeMap::new(), parts };
        pages::answer(&self.room, &ask)
    }

    pub(crate) fn get(&self, to: &str) -> Answer {
        self.ask(Verb::Get, to, &[], false)
    }

    pub(crate) fn text(&self, to: &str) -> String {
        let answer = self.get(to);
        assert_eq!(answer.status, 200, "{to}");
        String::from_utf8(answer.body).expect("a page is text")
    }

    /// Changes a field from the revision that stands.
    pub(crate) fn change(&self, id: i64, path: &str, value: &str) -> Answer {
        let revision = self.room.keep.bag(id).expect("it is there").revision.to_string();
        let form = [("revision", revision.as_str()), ("path", path), ("value", value)];
        self.ask(Verb::Post, &format!("/bag/{id}/change"), &form, true)
    }
}

pub(crate) fn examples() -> Vec<(String, String)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples");
    let mut all: Vec<_> = std::fs::read_dir(folder)
        .expect("there are examples")
        .map(|entry| entry.expect("it can be read").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .map(|path| {
            let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
            (name, std::fs::read_to_string(&path).expect("it can be read"))
        })
        .collect();
    all.sort();
    all
}

const WAYS: [&str; 10] = [
    "",
    "/pieces",
    "/cutting",
    "/sewing",
    "/shopping",
    "/reckoning",
    "/sizes",
    "/templates",
    "/take",
    "/versions",
];

/// Ids are unique on each page, every label and description has its field, and nothing is asked of
/// another place.
pub(crate) fn check_page(name: &str, page: &str) {
    let values = |attribute: &str| -> Vec<String> {
        let start = format!(" {attribute}=\"");
        let rest = page.split(start.as_str()).skip(1);
        rest.filter_map(|rest| Some(rest.split_once('"')?.0.to_owned())).collect()
    };
    let mut ids = values("id");
    let count = ids.len();
    ids.sort();
    let doubled: Vec<&String> =
        ids.windows(2).filter(|pair| pair[0] == pair[1]).map(|pair| &pair[0]).collect();
    assert!(doubled.is_empty(), "{name}: ids that are there twice: {doubled:?}");
    assert!(count > 0, "{name}");
    for attribute in ["for", "aria-describedby", "aria-labelledby"] {
        for value in values(attribute).iter().flat_map(|value| value.split(' ')) {
            assert!(ids.iter().any(|id| id == value), "{name}: {attribute}={value} has no target");
        }
    }
    assert!(!page.contains(" style=\"") && !page.contains("<style"), "{name}: a style in the page");
    assert!(!page.contains("javascript:") && !page.contains(" onclick"), "{name}");
    for attribute in ["href", "src", "action"] {
        for value in values(attribute) {
            assert!(value.starts_with('/') || value.starts_with('#'), "{name}: {value}");
        }
    }
}

#[test]
fn every_page_of_examples_stands() {
    let bench = Bench::new();
    // Every third: each kind is in some example, and the page has no words for any kind.
    for (name, text) in examples().into_iter().step_by(3) {
        let id = bench.add(&text);
        for way in WAYS.into_iter().chain(["?whole=yes", "?whole=pocket"]) {
            let page = bench.text(&format!("/bag/{id}{way}"));
            check_page(&format!("{name}{way}"), &page);
        }
        let page = bench.text(&format!("/bag/{id}"));
        assert!(page.len() < 300_000, "{name} weighs {} bytes", page.len());
    }
    for to in
        ["/bags", "/new", "/fabrics", "/prices", "/log", "/safe", "/compare", "/bags?show=put-away"]
    {
        check_page(to, &bench.text(to));
    }
}

#[test]
fn the_first_visit_opens_the_example_with_a_welcome() {
    let bench = Bench::new();
    let first = bench.get("/");
    let place = first.location.expect("the browser is sent on");
    let page = bench.text(&place);
    assert!(page.contains("class=\"welcome\"") && page.contains("Market day bag"));
    let to = [("to", place.as_str())];
    assert_eq!(bench.ask(Verb::Post, "/welcome", &to, false).location, Some(place.clone()));
    assert!(!bench.text(&place).contains("class=\"welcome\""));
    assert_eq!(bench.get("/").location.as_deref(), Some("/bags"));
}

#[test]
fn a_change_is_kept_and_drawn_and_a_wrong_one_is_told_at_its_field() {
    let bench = Bench::new();
    let id = bench.add(&examples()[0].1);
    let answer = bench.change(id, "body.width", "11.4cm");
    assert_eq!(answer.status, 200);
    let parts = String::from_utf8(answer.body).unwrap();
    assert!(parts.contains("114 mm") && parts.starts_with("<!--parts 2-->"));
    assert!(!parts.contains("<html"), "only parts are sent");
    let answer = bench.change(id, "body.width", "broad");
    let parts = String::from_utf8(answer.body).unwrap();
    assert_eq!(answer.status, 422);
    assert!(parts.contains("value=\"broad\"") && parts.contains("aria-invalid=\"true\""));
    assert_eq!(bench.room.keep.bag(id).unwrap().revision, 2, "nothing was kept");
}

/// The words come from the drafting itself; here that the field has them, in her unit, and that they
/// follow the bag.
#[test]
fn an_empty_field_shows_what_it_comes_to() {
    let bench = Bench::new();
    let id = bench.add(&examples()[0].1);
    bench.change(id, "handles.kind", "folded");
    let shown = |page: &str, field: &str| {
        let start = page.find(&format!("<input id=\"{field}\"")).expect("it has a field");
        let input = page[start..].split_once('>').expect("it ends").0.to_owned();
        let after = |word: &str| {
            let (_, rest) = input.split_once(&format!(" {word}=\""))?;
            Some(rest.split_once('"')?.0.to_owned())
        };
        (after("value").unwrap_or_default(), after("placeholder"))
    };
    for (units, drop) in [("inch", "10"), ("cm", "26")] {
        assert_eq!(bench.change(id, "units", units).status, 200);
        bench.change(id, "handles.length", "");
        bench.change(id, "handles.drop", drop);
        let page = bench.text(&format!("/bag/{id}?whole=yes"));
        let drawn = bench.room.bag(id).map_err(|_| ()).expect("it is there");
        let cut = store::shown_value(
            &bag::kinds::Value::Length(drawn.settled()["handles.length"]),
            drawn.design.units,
        );
        assert_eq!(shown(&page, "handles-length"), (String::new(), Some(cut.clone())));
        assert!(page.contains(&format!("Left empty, it comes to {cut} ")), "{cut}");
        // What is typed stands there itself.
        bench.change(id, "handles.length", &cut);
        assert_eq!(
            shown(&bench.text(&format!("/bag/{id}?whole=yes")), "handles-length"),
            (cut, None)
        );
    }
}

#[test]
fn two_windows_do_not_overwrite_each_other() {
    let bench = Bench::new();
    let id = bench.add(&examples()[0].1);
    let change = |width: &str| {
        let form = [("revision", "1"), ("path", "body.width"), ("value", width)];
        bench.ask(Verb::Post, &format!("/bag/{id}/change"), &form, true)
    };
    assert_eq!(change("15").status, 200);
    let late = change("13");
    assert_eq!(late.status, 409);
    let parts = String::from_utf8(late.body).unwrap();
    assert!(
        parts.contains("another window") && parts.contains("value=\"15\""),
        "it shows what stands"
    );
    for word in ["undo", "redo", "mend", "shelf"] {
        let form = [("revision", "1"), ("finding", "0"), ("role", "outside"), ("fabric", "")];
        let answer = bench.ask(Verb::Post, &format!("/bag/{id}/{word}"), &form, true);
        assert!(answer.status == 409 || word == "shelf", "{word}");
    }
}

#[test]
fn an_error_is_found_at_its_field_and_mended_by_its_button() {
    let bench = Bench::new();
    let id = bench.add(&examples().into_iter().find(|(name, _)| name == "book-bag").unwrap().1);
    bench.change(id, "pocket.add", "patch");
    let number =
        store::read_design("it", &bench.room.keep.bag(id).unwrap().text).unwrap().pockets.len();
    let answer = bench.change(id, &format!("pocket[{number}].width"), "35");
    let parts = String::from_utf8(answer.body).unwrap();
    assert!(parts.contains("class=\"finding error\"") && parts.contains("Mend it"), "{parts}");
    let wrong = parts.split("name=\"finding\" value=\"").nth(1).and_then(|it| it.split('"').next());
    let wrong = wrong.expect("errors stand first, each with its button");
    let press = || {
        let drawn = bench.room.bag(id).ok().expect("it is built");
        let revision = drawn.opened.revision.to_string();
        let form = [("revision", revision.as_str()), ("finding", wrong)];
        let answer = bench.ask(Verb::Post, &format!("/bag/{id}/mend"), &form, true);
        (answer.status, String::from_utf8(answer.body).unwrap())
    };
    assert_eq!(press().0, 200);
    let drawn = bench.room.bag(id).ok().expect("it is built");
    assert!(!drawn.findings.iter().any(|f| f.severity == bag::Severity::Error));
    // Pressed twice, the second time for a finding that is gone: no other is mended in its place.
    let (status, parts) = press();
    assert!(status == 409 && parts.contains("gone already"), "{status}");
    let after = bench.room.bag(id).ok().expect("it is built");
    assert_eq!(after.opened.revision, drawn.opened.revision);
}

#[test]
fn every_file_can_be_taken_away_under_a_sensible_name() {
    let bench = Bench::new();
    let id = bench.add(&examples()[1].1);
    for (file, begins) in [
        ("booklet.pdf", &b"%PDF"[..]),
        ("templates.pdf", b"%PDF"),
        ("handout.html", b"<!DOCTYPE"),
        ("shopping.txt", b""),
        ("cut-list.txt", b""),
        ("pictures.zip", b"PK"),
        ("dxf.zip", b"PK"),
        ("packet.json", b"{"),
        ("all.zip", b"PK"),
    ] {
        let answer = bench.get(&format!("/bag/{id}/take/{file}"));
        assert_eq!(answer.status, 200, "{file}");
        assert!(answer.body.starts_with(begins) && answer.body.len() > 100, "{file}");
        let name = answer.save_as.expect("it is saved");
        assert!(name.starts_with("atlas-bag") && name.ends_with(file), "{name}");
    }
    let toml = bench.get(&format!("/bag/{id}/design.toml"));
    let text = String::from_utf8(toml.body).unwrap();
    assert!(store::read_design("it", &text).is_ok());
}

#[test]
fn nonsense_is_answered_in_words() {
    let bench = Bench::new();
    let id = bench.add(&examples()[0].1);
    let gets = [
        "/nowhere",
        "/bag/99",
        "/bag/x",
        "/bag/1/nowhere",
        "/bag/1/take/../../etc/passwd",
        "/bag/1/take/x.pdf",
        "/look/../keep.rs",
        "/body/sock",
        "/fabrics/7",
        "/bag/1/templates/0",
        "/bag/1/templates/99999999999999999999",
        "/compare?a=77&b=78",
        "/compare?a=1&b=1&version=5",
    ];
    for to in gets {
        let answer = bench.get(to);
        let text = String::from_utf8_lossy(&answer.body).into_owned();
        assert_eq!(answer.status, 404, "{to}");
        assert!(
            text.contains("there is no such") || text.contains("There is no such"),
            "{to}: {text}"
        );
    }
    for to in [
        "/bag/1/sewing?step=-5",
        "/bag/1/sewing?step=99999",
        "/bag/1?turn=1e9&rise=x",
        "/bag/1/pieces?edge=%00.%ff",
        "/bag/1/templates?paper=../a4",
        "/bag/1/seen?turn=-99999999999999999999",
    ] {
        assert_eq!(bench.get(to).status, 200, "{to}");
    }
    let long = "x".repeat(100_000);
    for (path, value) in [
        ("", ""),
        ("body.width", long.as_str()),
        (long.as_str(), "1"),
        ("title", "\u{1b}[2J"),
        ("body.width", "999999999999999999999999999999999 yd"),
        ("body.width", "-1"),
        ("body.width", "1e308"),
    ] {
        let answer = bench.change(id, path, value);
        assert_eq!(answer.status, 422, "{}", &path[..path.len().min(20)]);
    }
    assert_eq!(bench.room.keep.bag(id).unwrap().revision, 1);
}

#[test]
fn what_a_design_says_is_text_and_never_a_command() {
    let bench = Bench::new();
    let id = bench.add(&examples()[0].1);
    let title = "<script>alert(1)</script>\"'&";
    assert_eq!(bench.change(id, "title", title).status, 200);
    assert_eq!(bench.change(id, "fabric.outside.name", title).status, 200);
    for way in WAYS {
        let page = bench.text(&format!("/bag/{id}{way}"));
        assert!(!page.contains("<script>alert"), "{way}");
    }
    assert!(!bench.text("/bags").contains("<script>alert"));
}

#[test]
fn a_bag_is_cut_from_the_shelf_once_there_is_enough() {
    let bench = Bench::new();
    let id = bench.add(&examples()[0].1);
    let put = |name: &str, length: &str| {
        let form = [
            ("name", name),
            ("width", "60"),
            ("length", length),
            ("one-way", "no"),
            ("swatch", "dots"),
            ("ground", "#112233"),
            ("figure", "#ffffff"),
            ("note", ""),
        ];
        bench.ask(Verb::Post, "/fabrics", &form, false)
    };
    assert_eq!(put("green canvas", "1/8 yd").status, 303);
    assert_eq!(put("striped cotton", "3 yd").status, 303);
    assert_eq!(put("Striped Cotton", "3 yd").status, 422);
    assert_eq!(put("wide", "over there").status, 422);
    let cut = |bench: &Bench| {
        bench.ask(Verb::Post, &format!("/bag/{id}/cutting/cut"), &[("revision", "1")], false)
    };
    assert_eq!(cut(&bench).status, 422, "too little of one: nothing is taken of either");
    let left =
        |bench: &Bench, name: &str| bench.room.on_shelf(name).unwrap().unwrap().fabric.length;
    assert_eq!(left(&bench, "striped cotton"), Length::inch(108));
    let canvas = bench.room.on_shelf("green canvas").unwrap().unwrap();
    let form = [
        ("revision", "1"),
        ("name", "green canvas"),
        ("width", "60"),
        ("length", "4 yd"),
        ("swatch", "plain"),
        ("ground", "#112233"),
        ("figure", "#ffffff"),
    ];
    assert_eq!(bench.ask(Verb::Post, &format!("/fabrics/{}", canvas.id), &form, false).status, 303);
    let price = [("amount", "12.50 EUR"), ("per", "m"), ("day", "2026-11-01")];
    assert_eq!(
        bench.ask(Verb::Post, &format!("/fabrics/{}/price", canvas.id), &price, false).status,
        303
    );
    assert!(bench.text(&format!("/bag/{id}/shopping")).contains("12.50 EUR"));
    assert_eq!(cut(&bench).status, 303);
    assert!(left(&bench, "striped cotton") < Length::inch(108));
    assert!(bench.text("/fabrics").contains("remnant"));
}

/// The example of that name.
fn example(name: &str) -> String {
    examples().into_iter().find(|(known, _)| known == name).expect("it is there").1
}

#[test]
fn bags_are_put_together_to_a_kit() {
    let bench = Bench::new();
    assert!(bench.text("/kit").contains("no bag yet"));
    let (pouch, basket) =
        (bench.add(&example("thread-pouch")), bench.add(&example("shelf-basket")));
    check_page("/kit", &bench.text("/kit"));
    let none = bench.get("/kit?look=yes");
    assert_eq!(none.status, 422);
    let query = format!("bag-{pouch}=12&spare=10");
    let page = bench.text(&format!("/kit?{query}&look=yes"));
    check_page("/kit", &page);
    // 12 and 10 % of it, rounded up to whole bags: 14 (arithmetic).
    assert!(page.contains("14 × "), "{page}");
    let list = bench.text(&format!("/kit/shopping.txt?{query}"));
    assert!(list.contains("12 × ") && list.contains("2 spare"), "{list}");
    assert!(bench.get(&format!("/kit/kit.pdf?{query}")).body.starts_with(b"%PDF-"));
    assert!(bench.get(&format!("/kit/labels.pdf?{query}")).body.starts_with(b"%PDF-"));
    assert_eq!(bench.get(&format!("/kit/other.txt?{query}")).status, 404);
    // Bags of both rulers go together when it is said on which.
    let both = format!("bag-{pouch}=2&bag-{basket}=2&look=yes");
    let refused = bench.get(&format!("/kit?{both}"));
    assert_eq!(refused.status, 422);
    assert!(String::from_utf8(refused.body).unwrap().contains("say on which all are drafted"));
    for (units, unit) in [("inch", " yd ("), ("cm", " m</p>")] {
        // Measures do not break over a line.
        let page = bench.text(&format!("/kit?{both}&units={units}")).replace('\u{a0}', " ");
        assert!(page.contains(unit) && page.contains(&format!("&amp;units={units}")), "{page}");
    }
    // What each student pays, once something has a price: as the command line says it.
    assert!(page.contains("Nothing has a price yet") && !page.contains("/kit/price.txt"));
    let price =
        [("thing", "thread"), ("amount", "3.00 USD"), ("per", "each"), ("day", "2026-11-01")];
    assert_eq!(bench.ask(Verb::Post, "/prices", &price, false).status, 303);
    let page = bench.text(&format!("/kit?{query}&look=yes"));
    check_page("/kit", &page);
    let costs = bench.text(&format!("/kit/price.txt?{query}"));
    let whole = costs.lines().nth(1).expect("it says what all pay");
    assert!(whole.contains("the 2 spare ones with it") && page.contains(whole), "{costs}");
    assert!(page.contains("Price of the kit") && page.contains("/kit/price.txt"));
    assert_eq!(bench.get("/kit/kit.pdf").status, 422);
    // One ruler only.
    let mixed = bench.get(&format!("/kit?bag-{pouch}=1&bag-{basket}=1&look=yes"));
    assert_eq!(mixed.status, 422);
    assert!(String::from_utf8_lossy(&mixed.body).contains("one ruler"));
}

#[test]
fn the_largest_bag_is_found_and_made() {
    let bench = Bench::new();
    let id = bench.add(&example("market-day-bag"));
    let page = format!("/bag/{id}/largest");
    check_page(&page, &bench.text(&page));
    assert_eq!(bench.get(&format!("{page}?look=yes")).status, 422);
    assert_eq!(bench.get(&format!("{page}?look=yes&fabric-outside=much")).status, 422);
    let found = bench.text(&format!("{page}?look=yes&fabric-outside=2+yd+of+54+in&only=width"));
    check_page(&page, &found);
    assert!(found.contains("Make the bag this large"), "{found}");
    let before = bench.room.keep.bag(id).expect("it is there");
    let revision = before.revision.to_string();
    let form =
        [("revision", revision.as_str()), ("fabric-outside", "2 yd of 54 in"), ("only", "width")];
    assert_eq!(bench.ask(Verb::Post, &page, &form, false).status, 303);
    let after = bench.room.keep.bag(id).expect("it is there");
    let width = |text: &str| {
        let design = store::read_design("it", text).expect("it is a design");
        design.body.values.length("width")
    };
    assert!(width(&after.text) > width(&before.text));
    // A second window that still has the old bag does not do it again.
    assert_eq!(bench.ask(Verb::Post, &page, &form, false).status, 409);
}

const IN_BLUE_LINEN: &str =
    "units = \"inch\"\n[body]\nkind = \"flat\"\n[fabric.outside]\nname = \"Blue linen\"\n";

#[test]
fn the_bag_is_drawn_with_the_print_of_the_shelf() {
    let bench = Bench::new();
    let bag = bench.add(IN_BLUE_LINEN);
    let plain = bench.text(&format!("/bag/{bag}"));
    assert!(!plain.contains("tile-print") && plain.contains("class=\"cloth-outside\""));
    let form = [("name", "blue linen"), ("width", "60"), ("length", "3 yd"), ("swatch", "stripes")];
    let colours = [("ground", "#dddddd"), ("figure", "#333344"), ("repeat-across", "1")];
    let form = form.into_iter().chain(colours).collect::<Vec<_>>();
    assert_eq!(bench.ask(Verb::Post, "/fabrics", &form, false).status, 303);
    let page = bench.text(&format!("/bag/{bag}"));
    check_page("a bag in stripes", &page);
    assert!(
        page.contains("width=\"25.4\"")
            && page.contains("fill=\"#dddddd\"")
            && page.contains("fill=\"#333344\"")
    );
    assert!(!page.contains("class=\"cloth-outside\""));
    check_page("/fabrics", &bench.text("/fabrics"));
}

#[test]
fn a_fabric_has_a_photograph() {
    let bench = Bench::new();
    let form = [("name", "blue linen"), ("width", "60"), ("length", "3 yd"), ("ground", "#dddddd")];
    let form = form.into_iter().chain([("figure", "#333333")]).collect::<Vec<_>>();
    assert_eq!(bench.ask(Verb::Post, "/fabrics", &form, false).status, 303);
    let id = bench.room.keep.fabrics().expect("they can be read")[0].id;
    let send_showing = |bytes: &[u8], across: &[u8]| {
        let path = ["fabrics".to_owned(), id.to_string(), "photo".to_owned()].to_vec();
        let files = BTreeMap::from([("photo".to_owned(), bytes.to_vec())]);
        let (query, form) = (Fields::default(), Fields::read(across));
        pages::answer(&bench.room, &Ask { verb: Verb::Post, path, query, form, files, parts: None })
    };
    let send = |bytes: &[u8]| send_showing(bytes, b"across=4+1%2F2");
    assert_eq!(send(b"no photograph").status, 422);
    assert_eq!(bench.get(&format!("/fabrics/{id}/photo")).status, 404);
    // The smallest picture there is: one point, written by hand as a PNG (third edition, W3C).
    const POINT: &[u8] = &[
        137, 80, 78, 71, 13, 10, 26, 10, 0, 0, 0, 13, 73, 72, 68, 82, 0, 0, 0, 1, 0, 0, 0, 1, 8, 6,
        0, 0, 0, 31, 21, 196, 137, 0, 0, 0, 13, 73, 68, 65, 84, 120, 156, 99, 144, 15, 200, 251,
        15, 0, 3, 76, 1, 221, 168, 209, 93, 153, 0, 0, 0, 0, 73, 69, 78, 68, 174, 66, 96, 130,
    ];
    for across in [&b""[..], b"across=nothing", b"across=0", b"across=40+yd"] {
        assert_eq!(send_showing(POINT, across).status, 422);
    }
    assert_eq!(send(POINT).status, 303);
    let kept = bench.room.keep.fabric(id).expect("it is there").photo.expect("it was kept");
    assert_eq!((kept.of, kept.across), (id, Length::inch_frac(9, 2)));
    assert_eq!((kept.wide, kept.high), (1, 1));
    let photo = bench.get(&format!("/fabrics/{id}/photo"));
    assert_eq!((photo.media, &photo.body[..3]), ("image/jpeg", &b"\xff\xd8\xff"[..]));
    check_page("/fabrics", &bench.text("/fabrics"));
    assert!(bench.text("/fabrics").contains("/photo"));
    // The bag is drawn with it, in its own page and in the list, where no image may fetch another.
    let bag = bench.add(IN_BLUE_LINEN);
    let page = bench.text(&format!("/bag/{bag}"));
    check_page("a bag with a photograph", &page);
    let tile = "<pattern id=\"finished-tile-print-outside\" patternUnits=\"userSpaceOnUse\" width=\"114.3\"";
    assert!(page.contains(tile) && page.contains(&format!("href=\"/fabrics/{id}/photo?")));
    let cover = bench.text(&format!("/bag/{bag}/cover.svg"));
    assert!(cover.contains("href=\"data:image/jpeg;base64,/9j/") && !cover.contains("/fabrics/"));
    assert_eq!(
        bench.ask(Verb::Post, &format!("/fabrics/{id}/photo/remove"), &[], false).status,
        303
    );
    assert_eq!(bench.get(&format!("/fabrics/{id}/photo")).status, 404);
}

/// What two bags have in common is compared in the words of the form; of two kinds, only that they are.
#[test]
fn two_bags_are_compared_in_words() {
    let bench = Bench::new();
    let one = bench.add(&example("market-day-bag"));
    let same = bench.add(&example("market-day-bag"));
    let nothing = bench.text(&format!("/compare?a={one}&b={same}"));
    assert!(nothing.contains("they are the same"), "{nothing}");
    bench.change(same, "body.width", "12");
    bench.change(same, "handles.kind", "webbing");
    bench.change(same, "pocket[2].height", "");
    let page = bench.text(&format!("/compare?a={one}&b={same}"));
    check_page("compare", &page);
    let row = |cells: [&str; 4]| {
        let [part, field, a, b] = cells;
        format!("<tr><th scope=\"row\">{part}</th><td>{field}</td><td>{a}</td><td>{b}</td></tr>")
    };
    for cells in [
        ["Body", "width", "15", "12"],
        ["Handles", "kind", "Folded fabric handles", "Webbing handles"],
        ["Pocket 2", "height", "7", "8 1/2, as it comes"],
    ] {
        assert!(page.contains(&row(cells)), "{cells:?} {page}");
    }
    // Strips of fabric have nothing to be compared with in webbing.
    assert!(!page.contains("<td>strip width</td>"));
}
