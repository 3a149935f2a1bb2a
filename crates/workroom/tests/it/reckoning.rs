//! Time and price on a page: what she types is reckoned with, kept, taken back, and never half kept.

use workroom::ask::{Answer, Verb};

use crate::pages::{Bench, check_page, examples};

/// The market day bag on a bench.
pub(crate) fn bench() -> (Bench, i64) {
    let bench = Bench::new();
    let (_, text) = examples()
        .into_iter()
        .find(|(name, _)| name == "market-day-bag")
        .expect("it is among the examples");
    let id = bench.add(&text);
    (bench, id)
}

/// Types rates from the revision that stands.
fn rates(bench: &Bench, id: i64, typed: &[(&str, &str)]) -> Answer {
    let revision = bench.room.keep.workshop().expect("it is there").revision.to_string();
    let mut form = vec![("revision", revision.as_str())];
    form.extend(typed);
    bench.ask(Verb::Post, &format!("/bag/{id}/reckoning"), &form, false)
}

/// The cells of a row of a table.
fn row<'p>(page: &'p str, head: &str) -> Vec<&'p str> {
    let start = format!("<th scope=\"row\">{head}</th>");
    let rest = page.split_once(start.as_str()).unwrap_or_else(|| panic!("no {head}")).1;
    let row = rest.split_once("</tr>").expect("a row ends").0;
    let cells = row.split("<td class=\"number\">").skip(1);
    cells.filter_map(|cell| Some(cell.split_once("</td>")?.0)).collect()
}

#[test]
fn without_rates_the_page_tells_time_and_thread_and_what_to_say() {
    let (bench, id) = bench();
    let page = bench.text(&format!("/bag/{id}/reckoning"));
    check_page("reckoning", &page);
    assert!(page.contains("All together, about") && page.contains("Thread to match"));
    assert!(page.contains("what an hour of your work is paid"));
    assert!(!page.contains("Retail price</th>"));
}

/// The page says what the same reckoning says elsewhere: the packet's own, by the rates as typed.
#[test]
fn what_is_typed_is_reckoned_as_on_the_command_line() {
    let (bench, id) = bench();
    let typed = [
        ("hour", "18.00 USD"),
        ("overhead", "12"),
        ("margin", "30 %"),
        ("retail", "2"),
        ("pace", "150"),
        ("bags", "4"),
        ("scenario-0-name", "market"),
        ("scenario-0-fee", "10"),
        ("scenario-0-asks", "20 USD"),
    ];
    assert_eq!(rates(&bench, id, &typed).status, 303);
    let page = bench.text(&format!("/bag/{id}/reckoning"));
    check_page("reckoning with rates", &page);
    let kept = bench.room.keep.workshop().unwrap().text;
    let workshop = store::read_workshop("it", &kept).expect("what is kept is a workshop file");
    let (_, text) = examples().into_iter().find(|(name, _)| name == "market-day-bag").unwrap();
    let design = store::read_design("it", &text).unwrap();
    let packet = packet::build(&design).packet.unwrap();
    let pace = packet::takes::Pace::USUAL.times(150);
    let kit = packet::kit::Kit::of(vec![(packet, 4)], 0, 0);
    let own = packet::earns::earns(&kit, workshop.rates.as_ref().unwrap(), pace);
    let market = packet::earns::earns(&kit, &workshop.scenarios[0].1, pace);
    let both = |of: fn(&packet::earns::OneBag) -> measure::Money| {
        vec![of(&own.one).to_string(), of(&market.one).to_string()]
    };
    assert_eq!(row(&page, "What it costs to make"), both(|one| one.cost));
    assert_eq!(row(&page, "Retail price"), both(|one| one.retail));
    assert_eq!(row(&page, "Price as a kit"), both(|one| one.kit));
    assert!(market.one.is_below_cost());
    assert!(page.contains("Below cost, market"), "a loss is said");
    assert!(page.contains("150 % of the usual time"));
    // Nothing has a price yet, and that is said.
    assert!(page.contains("Without a price, and not counted"));
    let file = bench.get(&format!("/bag/{id}/reckoning/workshop.toml"));
    assert_eq!(String::from_utf8(file.body).unwrap(), kept);
}

#[test]
fn evenings_are_planned_as_the_packet_plans_them() {
    let (bench, id) = bench();
    assert_eq!(rates(&bench, id, &[("evening", "120"), ("clearing", "30")]).status, 303);
    let page = bench.text(&format!("/bag/{id}/reckoning"));
    let (_, text) = examples().into_iter().find(|(name, _)| name == "market-day-bag").unwrap();
    let packet = packet::build(&store::read_design("it", &text).unwrap()).packet.unwrap();
    let plan = packet::takes::Takes::of(&packet, packet::takes::Pace::USUAL).evenings(90 * 60);
    let part = page.split_once("id=\"evenings\"").unwrap().1.split_once("</section>").unwrap().0;
    assert!(plan.len() > 1);
    assert_eq!(part.matches("<th scope=\"row\">").count(), plan.len());
    assert!(part.contains(&paper::show_time(plan[0].seconds)));
}

#[test]
fn slips_stand_at_their_fields_and_nothing_is_kept() {
    let (bench, id) = bench();
    let before = bench.room.keep.workshop().unwrap();
    for (typed, field) in [
        (vec![("hour", "18")], "hour"),
        (vec![("hour", "18 USD"), ("tax", "a lot")], "tax"),
        (vec![("tax", "7")], "hour"),
        (vec![("hour", "1 USD"), ("pace", "5")], "pace"),
        (vec![("evening", "15")], "evening"),
        (
            vec![("hour", "1 USD"), ("scenario-0-name", "x"), ("scenario-0-fee", "?")],
            "scenario-0-fee",
        ),
    ] {
        let answer = rates(&bench, id, &typed);
        assert_eq!(answer.status, 422, "{typed:?}");
        let page = String::from_utf8(answer.body).unwrap();
        check_page(field, &page);
        let (input, _) = page.split_once("aria-invalid=\"true\"").expect("a field is marked");
        let input = input.rsplit_once("<input ").unwrap().1;
        assert!(input.starts_with(&format!("id=\"{field}\"")), "{typed:?}: {input}");
        let value = typed.iter().find(|(key, _)| *key == field).map_or("", |(_, value)| value);
        assert!(input.contains(&format!("value=\"{value}\"")), "what was typed is still there");
    }
    assert_eq!(bench.room.keep.workshop().unwrap(), before);
}

#[test]
fn changes_are_taken_back_and_two_windows_do_not_overwrite_each_other() {
    let (bench, id) = bench();
    rates(&bench, id, &[("hour", "10 EUR")]);
    rates(&bench, id, &[("hour", "12 EUR")]);
    let to = format!("/bag/{id}/reckoning");
    let late = [("revision", "1"), ("hour", "99 EUR")];
    assert_eq!(bench.ask(Verb::Post, &to, &late, false).status, 409);
    let go = |word: &str| {
        let revision = bench.room.keep.workshop().unwrap().revision.to_string();
        let form = [("revision", revision.as_str())];
        bench.ask(Verb::Post, &format!("{to}/{word}"), &form, false).status
    };
    let text = || bench.room.keep.workshop().unwrap().text;
    assert!(text().contains("12 EUR"));
    assert_eq!((go("undo"), text().contains("10 EUR")), (303, true));
    assert_eq!((go("undo"), text().is_empty()), (303, true));
    assert_eq!(go("undo"), 409);
    assert_eq!((go("redo"), text().contains("10 EUR")), (303, true));
}

#[test]
fn a_bag_that_cannot_be_made_has_no_price_and_keeps_its_form() {
    let (bench, id) = bench();
    bench.change(id, "handles.drop", "0");
    bench.change(id, "body.width", "2");
    let page = bench.text(&format!("/bag/{id}/reckoning"));
    check_page("reckoning of none", &page);
    assert!(page.contains("id=\"hour\""));
}

fn price(bench: &Bench, thing: &str, amount: &str, per: &str, day: &str) {
    let form = [("thing", thing), ("amount", amount), ("per", per), ("shop", "here"), ("day", day)];
    assert_eq!(bench.ask(Verb::Post, "/prices", &form, false).status, 303, "{thing}");
}

/// Fabric by its length and thread by the spool: the sum is that of the packet's own reckoning.
#[test]
fn the_newest_price_of_each_thing_makes_the_sum() {
    let (bench, id) = bench();
    let page = bench.text(&format!("/bag/{id}/shopping"));
    assert!(page.contains("Nothing has a price yet"));
    price(&bench, "Blue Duck Canvas", "10.00 EUR", "yd", "2020-01-05");
    price(&bench, "thread", "3.20 EUR", "one", "2026-10-01");
    price(&bench, "thread", "2.90 EUR", "one", "2024-10-01");
    let drawn = bench.room.bag(id).map_err(|_| ()).unwrap();
    let packet = drawn.packet.clone().unwrap();
    let mut rates = packet::earns::Rates::new(measure::Money::parse("0 EUR").unwrap());
    let priced = |thing: &str, text: &str, per| packet::earns::Priced {
        thing: thing.to_owned(),
        money: measure::Money::parse(text).unwrap(),
        per,
    };
    rates.prices = vec![
        priced("blue duck canvas", "10.00 EUR", Some(measure::Length::YARD)),
        priced("thread", "3.20 EUR", None),
    ];
    let kit = packet::kit::Kit::of(vec![(packet, 1)], 0, 0);
    let earns = packet::earns::earns(&kit, &rates, packet::takes::Pace::USUAL);
    assert_eq!(earns.lines.len(), 2);
    let page = bench.text(&format!("/bag/{id}/shopping"));
    check_page("shopping with prices", &page);
    assert!(page.contains(&format!("<strong>{}</strong>", earns.one.materials)));
    // The duck's price is old, and that is marked; what has none leads to the form for it.
    assert!(page.contains("old: ask again") && page.contains("/prices?thing="));
    let list = bench.text("/prices");
    check_page("/prices", &list);
    assert!(list.contains("2.90 EUR"), "an earlier price stays to be seen");
    assert_eq!(list.matches("old: ask again").count(), 1);
    bench.ask(Verb::Post, "/prices/old", &[("months", "120")], false);
    assert_eq!(bench.text("/prices").matches("old: ask again").count(), 0);
    // Another currency is not mixed in.
    price(&bench, "unbleached calico", "5.00 USD", "yd", "2026-10-02");
    rates_kept(&bench, id, "18.00 EUR");
    assert!(bench.text(&format!("/bag/{id}/reckoning")).contains("Priced in another currency"));
}

fn rates_kept(bench: &Bench, id: i64, hour: &str) {
    assert_eq!(rates(bench, id, &[("hour", hour)]).status, 303);
}

#[test]
fn a_price_with_slips_is_not_noted_and_says_where() {
    let bench = Bench::new();
    for (form, field) in [
        ([("thing", "zip"), ("amount", "1"), ("day", "2026-01-01")], "amount"),
        ([("thing", " "), ("amount", "1 EUR"), ("day", "2026-01-01")], "thing"),
        ([("thing", "zip"), ("amount", "1 EUR"), ("day", "soon")], "day"),
    ] {
        let answer = bench.ask(Verb::Post, "/prices", &form, false);
        assert_eq!(answer.status, 422);
        let page = String::from_utf8(answer.body).unwrap();
        check_page(field, &page);
        let (input, _) = page.split_once("aria-invalid=\"true\"").expect("a field is marked");
        assert!(input.rsplit_once("<input ").unwrap().1.contains(&format!("id=\"{field}\"")));
    }
    assert!(bench.room.keep.prices().unwrap().is_empty());
    assert_eq!(bench.ask(Verb::Post, "/prices/7/strike", &[], false).status, 404);
}

/// The pace is the one that the same sessions tell on the command line: the packet's own.
#[test]
fn sessions_are_logged_and_the_pace_is_learnt_from_them() {
    let (bench, id) = bench();
    check_page("/log", &bench.text("/log"));
    let packet = bench.room.bag(id).map_err(|_| ()).unwrap().packet.clone().unwrap();
    let steps = &packet.steps;
    let (first, fifth) = (steps[0].id.as_str(), steps[4].id.as_str());
    let last = steps[steps.len() - 1].id.as_str();
    let bag = id.to_string();
    let log = |from: &str, to: &str, took: &str| {
        let form = [
            ("bag", bag.as_str()),
            ("from", from),
            ("to", to),
            ("took", took),
            ("bags", "1"),
            ("day", "2026-11-20"),
        ];
        bench.ask(Verb::Post, "/log", &form, false)
    };
    for (from, to, took, field) in [
        (first, last, "long", "took"),
        (fifth, first, "1 h", "to"),
        ("no-step", last, "1 h", "from"),
    ] {
        let answer = log(from, to, took);
        assert_eq!(answer.status, 422, "{field}");
        let page = String::from_utf8(answer.body).unwrap();
        check_page(field, &page);
        assert!(page.contains(&format!("id=\"about-{field}\"")) && page.contains("Not logged"));
    }
    assert!(bench.room.keep.sessions().unwrap().is_empty());
    assert_eq!(log(first, last, "9 h 30 min").status, 303);
    assert_eq!(log(first, fifth, "4 h").status, 303);
    let usual = packet::takes::Pace::USUAL;
    let told = |to| packet::takes::told(&packet, (None, to), usual).unwrap();
    let learnt = usual.learnt_from(&[(told(None), 34_200), (told(Some(fifth)), 14_400)]);
    let says =
        format!("At {} % of the usual time, learnt from 2 logged sessions", learnt.factor_percent);
    assert!(bench.text("/log").contains(&says), "{says}");
    let page = bench.text(&format!("/bag/{id}/reckoning"));
    assert!(page.contains(&says));
    let spent = packet::takes::Takes::of(&packet, learnt).spent().seconds();
    assert!(page.contains(&paper::show_time(spent)));
    // Struck out, a session does not count; the bag may change, and it still says the same.
    bench.change(id, "body.width", "20");
    assert!(bench.text("/log").contains(&says));
    bench.ask(Verb::Post, "/log/2/strike", &[], false);
    assert!(bench.text("/log").contains("learnt from 1 logged session:"));
    bench.ask(Verb::Post, "/log/2/put-back", &[], false);
    assert!(bench.text("/log").contains(&says));
}

const SIZES: &str = "[size.small]\n# for children\nbody.width = \"10 in\"\n\n[option.webbing]\nhandles.kind = \"webbing\"";

/// Sets what differs, from the revision that stands.
fn sizes(bench: &Bench, id: i64, text: &str) -> Answer {
    let revision = bench.room.keep.bag(id).expect("it is there").revision.to_string();
    let form = [("revision", revision.as_str()), ("family", text)];
    bench.ask(Verb::Post, &format!("/bag/{id}/sizes"), &form, false)
}

#[test]
fn sizes_and_options_stand_side_by_side_as_on_the_command_line() {
    let (bench, id) = bench();
    check_page("no sizes", &bench.text(&format!("/bag/{id}/sizes")));
    assert_eq!(sizes(&bench, id, SIZES).status, 303);
    rates_kept(&bench, id, "18.00 USD");
    let text = bench.room.keep.bag(id).unwrap().text;
    let members = store::read_family("it", &text).expect("it is one file");
    assert_eq!(members.len(), 4);
    let packets: Vec<_> =
        members.iter().map(|it| packet::build(&it.design).packet.unwrap()).collect();
    let name = |name: &Option<String>| name.clone().unwrap_or_else(|| "as it stands".to_owned());
    let bags: Vec<_> = members
        .iter()
        .zip(&packets)
        .map(|(it, packet)| (vec![name(&it.size), name(&it.option)], Ok(packet)))
        .collect();
    let rates = packet::earns::Rates::new(measure::Money::parse("18.00 USD").unwrap());
    let pace = packet::takes::Pace::USUAL;
    let table = paper::sizes_table(&bags, packets[0].system, pace, Some(&rates));
    // A slow machine builds them in several looks.
    let opened = bench.room.keep.bag(id).unwrap();
    assert_eq!(bench.room.family(&opened, std::time::Duration::MAX).expect("they go").left(), 0);
    let page = bench.text(&format!("/bag/{id}/sizes"));
    check_page("sizes", &page);
    for cell in table.rows.iter().flatten().chain(&table.headings) {
        assert!(page.contains(&cell.replace('"', "&quot;")), "{cell}");
    }
    let csv = bench.get(&format!("/bag/{id}/sizes/table.csv"));
    assert_eq!(String::from_utf8(csv.body).unwrap(), table.csv());
}

#[test]
fn the_chosen_size_is_on_every_page_and_the_form_changes_what_all_share() {
    let (bench, id) = bench();
    sizes(&bench, id, SIZES);
    let show = |size: &str| {
        let revision = bench.room.keep.bag(id).unwrap().revision.to_string();
        let form = [("revision", revision.as_str()), ("size", size), ("option", "")];
        bench.ask(Verb::Post, &format!("/bag/{id}/show"), &form, false).status
    };
    let width =
        || bench.room.bag(id).map_err(|_| ()).unwrap().packet.as_ref().unwrap().finished.width;
    assert_eq!((show("small"), width()), (303, measure::Length::inch(10)));
    assert!(bench.text(&format!("/bag/{id}")).contains("Market day bag, small"));
    for way in ["", "/cutting", "/shopping", "/reckoning", "/sizes", "/take"] {
        check_page(way, &bench.text(&format!("/bag/{id}{way}")));
    }
    // The base is changed; the small one keeps its own width, and what differs is all there.
    assert_eq!(bench.change(id, "body.width", "16").status, 200);
    assert_eq!(width(), measure::Length::inch(10));
    assert_eq!((show(""), width()), (303, measure::Length::inch(16)));
    let text = bench.room.keep.bag(id).unwrap().text;
    assert_eq!(store::family_of(&text), SIZES);
    assert_eq!(String::from_utf8(bench.get(&format!("/bag/{id}/design.toml")).body).unwrap(), text);
    // Measures without a unit would mean something else in another one.
    let answer = bench.change(id, "units", "cm");
    assert_eq!(answer.status, 422);
    // A size that is gone is not shown; undo brings it back.
    show("small");
    sizes(&bench, id, "[size.large]\nbody.width = \"18 in\"");
    assert_eq!(width(), measure::Length::inch(16));
}

#[test]
fn sizes_with_slips_are_not_kept() {
    let (bench, id) = bench();
    let before = bench.room.keep.bag(id).unwrap();
    for wrong in [
        "[size.small]\nbody.widht = 9",
        "[size.small]\nunits = \"mm\"",
        "[size.small",
        "title = \"other\"\n[size.small]\nbody.width = 10",
        "[[pocket]]\nkind = \"patch\"",
    ] {
        let answer = sizes(&bench, id, wrong);
        assert_eq!(answer.status, 422, "{wrong}");
        let page = String::from_utf8(answer.body).unwrap();
        check_page(wrong, &page);
        assert!(page.contains("Not kept") && page.contains("aria-invalid=\"true\""));
    }
    assert_eq!(bench.room.keep.bag(id).unwrap(), before);
}

#[test]
fn a_file_with_sizes_comes_in_as_one_bag_and_goes_out_as_it_came() {
    let (bench, _) = bench();
    let (_, text) = examples().into_iter().find(|(name, _)| name == "market-day-bag").unwrap();
    let file = text;
    let ask = workroom::ask::Ask {
        verb: Verb::Post,
        path: vec!["import".to_owned()],
        query: workroom::ask::Fields::default(),
        form: workroom::ask::Fields::default(),
        files: std::iter::once(("file".to_owned(), file.clone().into_bytes())).collect(),
        parts: None,
    };
    let answer = workroom::pages::answer(&bench.room, &ask);
    let place = answer.location.expect("the browser is sent on");
    let out = bench.get(&place.replace("/sizes", "/design.toml"));
    let out = String::from_utf8(out.body).unwrap();
    let both = [&file, &out].map(|text| store::read_family("it", text).expect("it can be read"));
    assert_eq!(both[0], both[1]);
    assert_eq!(both[0].len(), 6, "three sizes, each plain and with webbing");
    assert_eq!(bench.room.keep.bags(false).unwrap().len(), 2);
}
