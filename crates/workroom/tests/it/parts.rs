//! A page is sent piece by piece: after any series of changes in two windows, undone and done again, over
//! restarts, what it was sent makes up the page that a fresh load gives.

use std::collections::BTreeMap;

use workroom::ask::{Has, Verb};

use crate::pages::{Bench, check_page, examples};

/// A window with the page of a design: its parts, each with its sum.
struct Window {
    revision: String,
    parts: BTreeMap<String, (String, String)>,
}

/// The parts in an answer to the script, by id, with sum and element; and the revision.
fn read(answer: &str) -> Window {
    let (head, came) = answer.split_once("-->").expect("it has a head");
    let revision = head.strip_prefix("<!--parts ").expect("it is parts").to_owned();
    let each = came.split("<!--part ").skip(1).map(|one| {
        let (id, element) = one.split_once("-->").expect("it has a name");
        assert!(element.contains(&format!(" id=\"{id}\"")), "{id}: {element}");
        (id.to_owned(), (sum_of(element), element.to_owned()))
    });
    Window { revision, parts: each.collect() }
}

/// What the first tag says.
fn sum_of(element: &str) -> String {
    let (_, rest) = element.split_once(" data-part=\"").expect("it is a part");
    rest.split('"').next().expect("it ends").to_owned()
}

impl Window {
    /// Opens the page: what is in sight at first is there, the rest is still to be asked for.
    fn open(bench: &Bench, id: i64) -> Self {
        let page = bench.text(&format!("/bag/{id}"));
        let mut own = Self::fresh(bench, id);
        for (id, (sum, element)) in &mut own.parts {
            if page.contains(element.as_str()) {
                continue;
            }
            let tag = page.split('<').find(|tag| tag.contains(&format!(" id=\"{id}\"")));
            let tag = tag.expect("something stands in its place");
            assert!(tag.contains(" data-part=\"\""), "{tag}");
            (*sum, *element) = (String::new(), "not made".to_owned());
        }
        own
    }

    /// All parts of the page as a fresh load has them.
    fn fresh(bench: &Bench, id: i64) -> Self {
        let answer = bench.ask(Verb::Get, &format!("/bag/{id}"), &[], true);
        read(&String::from_utf8(answer.body).expect("it is text"))
    }

    /// What the script of this page asks or tells, and what it makes of the answer: the status, and the
    /// ids of what was sent.
    fn tell(&mut self, bench: &Bench, to: &str, form: &[(&str, &str)]) -> (u16, Vec<String>) {
        let has: String = self.parts.iter().map(|(id, (sum, _))| format!(" {id}.{sum}")).collect();
        let has = Has::read(&format!("parts{has}"));
        let revision = self.revision.clone();
        let verb = if form.is_empty() { Verb::Get } else { Verb::Post };
        let form: Vec<_> = form.iter().copied().chain([("revision", revision.as_str())]).collect();
        let answer = bench.ask_with(verb, to, &form, Some(has));
        let came = read(&String::from_utf8(answer.body).expect("it is text"));
        self.revision = came.revision;
        for (id, part) in &came.parts {
            assert!(self.parts.contains_key(id), "{id} is nowhere on the page");
            assert_ne!(self.parts[id].0, part.0, "{id} was there already");
        }
        let sent = came.parts.keys().cloned().collect();
        self.parts.extend(came.parts);
        (answer.status, sent)
    }

    /// The page that it shows. The script sets the revision everywhere; what was said last is said once.
    fn shows(&self) -> Vec<(String, String)> {
        let mark = "name=\"revision\" value=\"";
        let with_revision = |element: &str| {
            let mut pieces = element.split(mark);
            let mut all = pieces.next().unwrap_or_default().to_owned();
            for piece in pieces {
                let (_, rest) = piece.split_once('"').expect("it ends");
                all.push_str(&format!("{mark}{}\"{rest}", self.revision));
            }
            all
        };
        let each = self.parts.iter().map(|(id, (sum, element))| {
            let mut element = with_revision(element);
            if id == "bar" {
                // Its sum is of what was said, too.
                element = element.replace(sum.as_str(), "");
                let (before, said) =
                    element.split_once("<p class=\"said").expect("it says something");
                let (_, after) = said.split_once("</p>").expect("it ends");
                element = format!("{before}{after}");
            }
            (id.clone(), element)
        });
        each.collect()
    }
}

/// What she types; some of it is refused, some leads to errors in the bag.
const TYPED: [(&str, &str); 22] = [
    ("body.width", "15"),
    ("body.width", "20 1/2"),
    ("body.width", "broad"),
    ("body.height", "13 1/4"),
    ("body.height", "9"),
    ("pocket.add", "patch"),
    ("pocket[1].width", "30"),
    ("pocket[1].width", "6"),
    ("pocket[1].remove", ""),
    ("handles.kind", "webbing"),
    ("handles.kind", "folded"),
    ("handles.drop", "11"),
    ("fabric.outside.name", "blue linen <b>"),
    ("fabric.outside.width", "54"),
    ("units", "cm"),
    ("units", "inch"),
    ("lining.kind", "none"),
    ("allowances.seam", "1/2"),
    ("title", "Another name"),
    ("edition.number", "3"),
    ("closure.kind", "nothing of the kind"),
    ("body.kind", "flat"),
];

#[test]
fn what_was_sent_makes_up_the_page_after_any_series_of_changes() {
    let examples = examples().into_iter().skip(2);
    for (mut state, (name, text)) in [0x9e37_79b9_u64, 0x2545_f491].into_iter().zip(examples) {
        let mut draw = |below: u64| {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            usize::try_from(state % below).expect("it is small")
        };
        let mut bench = Bench::new();
        let id = bench.add(&text);
        let page = format!("/bag/{id}");
        let mut windows = [Window::open(&bench, id), Window::open(&bench, id)];
        let mut seen = BTreeMap::new();
        for round in 0..90 {
            let window = &mut windows[draw(2)];
            let form = [("is", "pressed")];
            let (what, (status, _)) = match draw(10) {
                0 => ("undo", window.tell(&bench, &format!("{page}/undo"), &form)),
                1 => ("redo", window.tell(&bench, &format!("{page}/redo"), &form)),
                2 => ("look", window.tell(&bench, &page, &[])),
                _ => {
                    let (path, value) = TYPED[draw(22)];
                    let form = [("path", path), ("value", value)];
                    (path, window.tell(&bench, &format!("{page}/change"), &form))
                }
            };
            *seen.entry(status).or_insert(0) += 1;
            // What was refused stands at its field, which a fresh load does not know.
            if status != 422 {
                let fresh = Window::fresh(&bench, id);
                assert_eq!(window.revision, fresh.revision, "{name}, {round}: {what}");
                assert_eq!(window.shows(), fresh.shows(), "{name}, {round}: {what}");
            }
            if draw(12) == 0 {
                bench = bench.restarted();
            }
        }
        let all = [200, 409, 422].iter().all(|status| seen.contains_key(status));
        assert!(all, "{name}: {seen:?}");
    }
}

fn largest(bench: &Bench) -> i64 {
    let found = examples().into_iter().find(|(name, _)| name == "workshop-bag");
    bench.add(&found.expect("it is there").1)
}

#[test]
fn only_what_has_changed_is_sent() {
    let bench = Bench::new();
    let id = largest(&bench);
    let page = format!("/bag/{id}");
    let mut window = Window::open(&bench, id);
    let among = |sent: &[String], id: &str| sent.iter().any(|it| it == id);
    let (_, filled) = window.tell(&bench, &page, &[]);
    assert!(among(&filled, "fold-fabric") && among(&filled, "small-pieces"), "{filled:?}");
    assert!(!among(&filled, "seen") && !among(&filled, "fold-body"), "{filled:?}");
    assert_eq!(window.tell(&bench, &page, &[]).1, Vec::<String>::new());
    for (to, form) in [
        ("change", &[("path", "edition.number"), ("value", "3")][..]),
        ("undo", &[("is", "pressed")]),
    ] {
        let (status, sent) = window.tell(&bench, &format!("{page}/{to}"), form);
        assert_eq!((status, sent), (200, vec!["bar".to_owned(), "fold-edition".to_owned()]));
    }
}

#[test]
fn a_bag_is_drafted_once_on_another_ruler_until_it_is_changed() {
    let bench = Bench::new();
    let id = largest(&bench);
    let packet = || {
        let drawn = bench.room.bag(id).map_err(|_| ()).expect("it is there");
        bench.room.redrafted(&drawn, measure::Units::Cm).expect("it can be made")
    };
    let first = packet();
    assert!(std::sync::Arc::ptr_eq(&first, &packet()));
    assert_eq!(bench.change(id, "body.width", "18").status, 200);
    assert!(packet().finished.width < first.finished.width);
}

/// Without the script all is there: the browser is led to the whole page, each change leads back to its
/// field, and what is refused is told on a whole page.
#[test]
fn a_browser_without_the_script_has_all_of_the_page() {
    let bench = Bench::new();
    let id = largest(&bench);
    let unmade = " data-part=\"\"";
    let first = bench.text(&format!("/bag/{id}?showing=inside&turn=x\"y"));
    let to = format!("/bag/{id}?whole=yes&amp;showing=inside");
    let refresh =
        format!("<noscript><meta http-equiv=\"refresh\" content=\"0; url={to}\"></noscript>");
    assert!(first.contains(&refresh), "{}", &first[..900]);
    assert!(first.contains(&format!("href=\"/bag/{id}?whole=fabric#fold-fabric\"")));
    assert!(!first.contains("id=\"fabric-outside-name\""), "it is not made yet");
    let whole = bench.text(&format!("/bag/{id}?whole=fabric"));
    check_page("whole", &whole);
    assert!(whole.contains("id=\"fabric-outside-name\"") && !whole.contains("http-equiv"));
    assert!(!whole.contains(unmade), "all of it is made");
    let open = "id=\"fold-fabric\" open";
    assert!(whole.contains(open));
    assert!(!bench.text(&format!("/bag/{id}?whole=yes")).contains(open));
    let form = |revision, value| {
        [("revision", revision), ("path", "fabric.outside.width"), ("value", value)]
    };
    let to = format!("/bag/{id}/change?whole=yes");
    assert!(whole.contains(&format!("action=\"{to}\"")));
    let answer = bench.ask(Verb::Post, &to, &form("1", "54"), false);
    let back = format!("/bag/{id}?whole=fabric#fabric-outside-width");
    assert_eq!((answer.status, answer.location), (303, Some(back)));
    for to in [to, format!("/bag/{id}/change")] {
        let answer = bench.ask(Verb::Post, &to, &form("2", "broad"), false);
        let page = String::from_utf8(answer.body).expect("it is text");
        assert_eq!(answer.status, 422);
        assert!(page.contains("value=\"broad\"") && !page.contains(unmade));
        assert!(!page.contains("http-equiv"), "what was refused would be lost");
    }
}
