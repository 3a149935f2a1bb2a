//! The fabric shelf.

use maud::{Markup, html};
use measure::{
    Length, Rounding, Ruler, Style, System, Units, parse_length, show_bought, show_length,
};

use super::prices::price_shown;
use super::shell::{Here, hidden, shell};
use super::{Page, dressed};
use crate::ask::{Answer, Ask};
use crate::keep::{Fabric, FabricRow, Per, Photo, Swatch, Trouble};
use crate::room::Room;

/// The ruler of the shelf: that of the bag that was changed last; inches before there is one.
fn units(room: &Room) -> Result<Units, Trouble> {
    let last = room.keep.bags(false)?.first().map(|bag| bag.id);
    let design = last.and_then(|id| room.bag(id).ok());
    Ok(design.map_or(Units::Inch, |drawn| drawn.design.units))
}

/// A length of cloth that is there, as cloth is spoken of: `3 yd`, `2 3/4 yd (100 1/4 in)`, `2.74 m`. Never
/// more than there is; what is shorter than a yard or a metre is told by the ruler.
pub(super) fn on_the_shelf(length: Length, system: System) -> String {
    let (ruler, whole) = match system {
        System::Inch => (Ruler::EIGHTH_YARD, Length::inch(36)),
        System::Metric => (Ruler::CM.with_style(Style::Metre), Length::mm(1_000)),
    };
    let bought = show_bought(length, system);
    if length < whole && !in_yards(&bought) {
        return show_length(length, system);
    }
    if system == System::Inch && in_yards(&bought) {
        return bought;
    }
    let about = ruler.show(ruler.round(length, Rounding::Down));
    match system {
        System::Inch => format!("{about} ({})", show_length(length, system)),
        System::Metric => about,
    }
}

fn in_yards(shown: &str) -> bool {
    shown.ends_with("yd")
}

/// The shelf.
pub(super) fn shelf(room: &Room, ask: &Ask) -> Page {
    page(
        room,
        None,
        (ask.query.text("cut") == "yes")
            .then_some("The fabric was taken off the shelf; what is left over is there."),
    )
}

fn page(room: &Room, fault: Option<(&Ask, &str)>, said: Option<&str>) -> Page {
    let units = units(room)?;
    let fabrics = room.keep.fabrics()?;
    let body = html! {
        h1 { "Fabric shelf" }
        @if let Some(said) = said { p.good role="status" { (said) } }
        @if fabrics.is_empty() {
            div.empty { p { "Nothing is on the shelf yet. Note here what you own: then a design can be cut from it, its colours are seen on the bag, and you know what is left." } }
        }
        ul.cards {
            @for row in &fabrics {
                li.card {
                    a.cover href={ "/fabrics/" (row.id) } {
                        (look_of(row))
                        span.title { (row.fabric.name) }
                    }
                    p { (on_the_shelf(row.fabric.length, units.system())) " left, " (show_length(row.fabric.width, units.system())) " wide" }
                    @if let Some(price) = &row.price { p.says { (price_shown(price)) } }
                    @if let Some(whole) = &row.remnant_of { p.says { "a remnant of " (whole) } }
                }
            }
        }
        section.aside {
            h2 { "Put a fabric on the shelf" }
            @if let Some((_, why)) = fault { p.wrong role="alert" { (super::shell::capital(why)) "." } }
            form.stack method="post" action="/fabrics" { (fields(units, fault.map(|(ask, _)| ask), None)) button.main { "Put it on the shelf" } }
        }
    };
    let status = if fault.is_some() { 422 } else { 200 };
    Ok(Answer::fault(status, shell("Fabric shelf", Here::Fabrics, &body)))
}

/// The photograph of a fabric, or its swatch.
fn look_of(row: &FabricRow) -> Markup {
    html! {
        @if let Some(photo) = &row.photo {
            img.photo src=(dressed::address(photo)) alt={ (row.fabric.name) ", photograph" } loading="lazy";
        } @else { (dressed::swatch(&row.fabric, row.id)) }
    }
}

/// Its photograph; the address says which, and changes with it.
pub(super) fn photo(room: &Room, id: i64) -> Page {
    Ok(Answer { lasting: true, ..Answer::of("image/jpeg", room.keep.photo(id)?) })
}

/// How much cloth a photograph can show.
const SHOWS: std::ops::RangeInclusive<Length> = Length::mm(5)..=Length::mm(3_000);

/// Keeps a photograph of it.
pub(super) fn keep_photo(room: &Room, ask: &Ask, id: i64) -> Page {
    let units = units(room)?;
    let across = parse_length(ask.form.text("across").trim(), units).map_err(|e| e.to_string());
    let across = across.and_then(|across| {
        let (least, most) = (
            show_length(*SHOWS.start(), units.system()),
            show_length(*SHOWS.end(), units.system()),
        );
        let asked = || format!("a photograph shows {least} to {most} of cloth");
        SHOWS.contains(&across).then_some(across).ok_or_else(asked)
    });
    let file = ask.files.get("photo").map_or(&[][..], Vec::as_slice);
    match across.and_then(|across| Ok((crate::photo::small(file)?, across))) {
        Ok((small, across)) => {
            room.keep.keep_photo(id, &small, across)?;
            Ok(Answer::see(format!("/fabrics/{id}")))
        }
        Err(why) => one(room, id, Some((ask, &why))),
    }
}

/// Throws its photograph away.
pub(super) fn drop_photo(room: &Room, id: i64) -> Page {
    room.keep.drop_photo(id)?;
    Ok(Answer::see(format!("/fabrics/{id}")))
}

/// The fields of a fabric.
fn fields(units: Units, typed: Option<&Ask>, known: Option<&Fabric>) -> Markup {
    let length = |length: Length| store::shown_value(&bag::kinds::Value::Length(length), units);
    // Yards are shown as she typed them where they say it exactly.
    let left = |left: Length| match show_bought(left, units.system()) {
        yards if in_yards(&yards) => yards,
        _ => length(left),
    };
    let value = |name: &str, of: &dyn Fn(&Fabric) -> String, first: &str| {
        typed
            .and_then(|ask| ask.form.get(name).map(str::to_owned))
            .or_else(|| known.map(of))
            .unwrap_or_else(|| first.to_owned())
    };
    let optional = |repeat: Option<Length>| repeat.map(length).unwrap_or_default();
    let width = if units.system() == System::Inch { "44" } else { "110 cm" };
    let texts: [(&str, &str, String, bool); 5] = [
        ("name", "Name", value("name", &|f| f.name.clone(), ""), true),
        ("width", "Width, selvedge to selvedge", value("width", &|f| length(f.width), width), true),
        ("length", "Length left", value("length", &|f| left(f.length), ""), true),
        (
            "repeat-along",
            "Print repeats along the length after",
            value("repeat-along", &|f| optional(f.repeat_along), ""),
            false,
        ),
        (
            "repeat-across",
            "Print repeats across the width after",
            value("repeat-across", &|f| optional(f.repeat_across), ""),
            false,
        ),
    ];
    let one_way = value("one-way", &|f| if f.one_way { "yes" } else { "no" }.to_owned(), "no");
    let drawn = value("swatch", &|f| f.swatch.word().to_owned(), "plain");
    let ground = value("ground", &|f| f.ground.clone(), "#d9cdb4");
    let figure = value("figure", &|f| f.figure.clone(), "#3f6b8c");
    let note = value("note", &|f| f.note.clone(), "");
    html! {
        @for (name, label, value, required) in &texts {
            div.pairs { label for={ "fabric-" (name) } { (label) } input id={ "fabric-" (name) } name=(name) value=(value) required[*required] maxlength="200" autocomplete="off"; }
        }
        p.help { "A number without a unit is in " (match units { Units::Inch => "inches", Units::Cm => "centimetres", Units::Mm => "millimetres" }) "; 2 1/4 yd or 150 cm is as good." }
        div.pairs {
            label for="fabric-one-way" { "One-way print or nap" }
            select id="fabric-one-way" name="one-way" { @for word in ["no", "yes"] { option value=(word) selected[word == one_way] { (word) } } }
        }
        div.pairs {
            label for="fabric-swatch" { "How it looks" }
            select id="fabric-swatch" name="swatch" { @for swatch in Swatch::ALL { option value=(swatch.word()) selected[swatch.word() == drawn] { (swatch.title()) } } }
        }
        div.pairs { label for="fabric-ground" { "Colour of the ground" } input type="color" id="fabric-ground" name="ground" value=(ground); }
        div.pairs { label for="fabric-figure" { "Colour of stripes or dots" } input type="color" id="fabric-figure" name="figure" value=(figure); }
        div.pairs { label for="fabric-note" { "Note" } textarea id="fabric-note" name="note" rows="2" maxlength="1000" { "\n" (note) } }
    }
}

fn read(ask: &Ask, units: Units) -> Result<Fabric, Trouble> {
    let length = |name: &str, label: &str| {
        let typed = ask.form.text(name).trim();
        parse_length(typed, units).map_err(|error| Trouble::NotTaken(format!("{label}: {error}")))
    };
    let optional = |name: &str, label: &str| match ask.form.text(name).trim() {
        "" => Ok(None),
        _ => length(name, label).map(Some),
    };
    Ok(Fabric {
        name: ask.form.text("name").trim().to_owned(),
        width: length("width", "width")?,
        length: length("length", "length left")?,
        one_way: ask.form.text("one-way") == "yes",
        repeat_along: optional("repeat-along", "repeat along the length")?,
        repeat_across: optional("repeat-across", "repeat across the width")?,
        swatch: Swatch::find(ask.form.text("swatch")).unwrap_or_default(),
        ground: ask.form.text("ground").to_owned(),
        figure: ask.form.text("figure").to_owned(),
        note: ask.form.text("note").trim().to_owned(),
    })
}

/// Puts a fabric on the shelf.
pub(super) fn add(room: &Room, ask: &Ask) -> Page {
    let added = read(ask, units(room)?).and_then(|fabric| room.keep.shelve(None, &fabric));
    match added {
        Ok(_) => Ok(Answer::see("/fabrics")),
        Err(Trouble::NotTaken(why)) => page(room, Some((ask, &why)), None),
        Err(other) => Err(other.into()),
    }
}

/// One fabric.
pub(super) fn one(room: &Room, id: i64, fault: Option<(&Ask, &str)>) -> Page {
    let row: FabricRow = room.keep.fabric(id)?;
    let units = units(room)?;
    let system = units.system();
    let cuts = room.keep.cuts(id)?;
    let same = row.fabric.name.trim().to_lowercase();
    let mut prices = room.keep.prices()?;
    prices.retain(|it| !it.is_struck && it.thing.trim().to_lowercase() == same);
    let today = room.keep.today()?;
    let shown = |photo: &Photo| store::shown_value(&bag::kinds::Value::Length(photo.across), units);
    let usual = if system == System::Inch { "8" } else { "20 cm" };
    let across = row.photo.as_ref().map_or(usual.to_owned(), shown);
    let per = if system == System::Inch { "yd" } else { "m" };
    let body = html! {
        h1 { (row.fabric.name) }
        @if let Some((_, why)) = fault { p.wrong role="alert" { (super::shell::capital(why)) "." } }
        div.swatch-large { (look_of(&row)) }
        form.row method="post" action={ "/fabrics/" (id) "/photo" } enctype="multipart/form-data" {
            label for="photo" { "Photograph" }
            input type="file" id="photo" name="photo" accept="image/jpeg,image/png,image/webp" required;
            label for="across" { "shows from side to side" }
            input id="across" name="across" value=(across) required maxlength="30" size="7" autocomplete="off";
            button { @if row.has_own_photo() { "Take this one instead" } @else { "Keep it" } }
        }
        p.help { "Take it straight from above, so that it shows cloth and nothing else; of a print whole repeats, so that one joins the next. The bag is drawn with it, true to scale. It is made small and kept here, without what your camera noted beside it." }
        @if row.has_own_photo() { form method="post" action={ "/fabrics/" (id) "/photo/remove" } { button { "Show the drawn swatch again" } } }
        p { (on_the_shelf(row.fabric.length, system)) " left, " (show_length(row.fabric.width, system)) " wide" @if let Some(whole) = &row.remnant_of { "; a remnant of " (whole) } "." }
        form.stack method="post" action={ "/fabrics/" (id) } {
            (hidden("revision", row.revision))
            (fields(units, fault.map(|(ask, _)| ask), Some(&row.fabric)))
            button.main { "Keep" }
        }
        h2 { "Prices" }
        @if prices.is_empty() { p.help { "No price is noted. With one, every design that uses this fabric tells what it costs." } }
        @else { ul { @for price in &prices { li { (price_shown(&price.price)) } } } }
        form.row method="post" action={ "/fabrics/" (id) "/price" } {
            label for="amount" { "Price" }
            input id="amount" name="amount" required maxlength="30" placeholder="12.50 EUR" autocomplete="off";
            label for="per" { "for a" }
            select id="per" name="per" { @for (word, says) in [("yd", "yard"), ("m", "metre")] { option value=(word) selected[word == per] { (says) } } }
            label for="shop" { "at" }
            input id="shop" name="shop" maxlength="200" autocomplete="off" placeholder="shop";
            label for="day" { "on" }
            input type="date" id="day" name="day" value=(today) required;
            button { "Note it" }
        }
        h2 { "Cut from it" }
        @if cuts.is_empty() { p.help { "Nothing was cut from it yet. “Cutting”, on the page of a bag, takes its length off here." } }
        @else { table {
            thead { tr { th scope="col" { "For" } th scope="col" { "Length" } th scope="col" { "Day" } } }
            tbody { @for cut in &cuts { tr { th scope="row" { (cut.title) } td { (show_length(cut.length, system)) } td { (cut.day) } } } }
        } }
        h2 { "Take it off the shelf" }
        form method="post" action={ "/fabrics/" (id) "/remove" } { button.grave { "It is gone: take it off" } }
    };
    let status = if fault.is_some() { 422 } else { 200 };
    Ok(Answer::fault(status, shell(&row.fabric.name, Here::Fabrics, &body)))
}

/// Changes a fabric.
pub(super) fn change(room: &Room, ask: &Ask, id: i64) -> Page {
    let seen = ask.form.number("revision").ok_or(Trouble::Changed)?;
    let changed =
        read(ask, units(room)?).and_then(|fabric| room.keep.shelve(Some((id, seen)), &fabric));
    match changed {
        Ok(_) => Ok(Answer::see("/fabrics")),
        Err(Trouble::NotTaken(why)) => one(room, id, Some((ask, &why))),
        Err(other) => Err(other.into()),
    }
}

/// Notes a price.
pub(super) fn price(room: &Room, ask: &Ask, id: i64) -> Page {
    let name = room.keep.fabric(id)?.fabric.name;
    match super::prices::read(ask) {
        Ok(price) if price.per != Per::One => {
            room.keep.note_price(&name, &price)?;
            Ok(Answer::see(format!("/fabrics/{id}")))
        }
        Ok(_) => one(room, id, Some((ask, "a fabric is sold by the yard or by the metre"))),
        Err(slips) => {
            let why: Vec<String> = slips.into_values().collect();
            one(room, id, Some((ask, &format!("price: {}", why.join("; ")))))
        }
    }
}

/// Takes a fabric off the shelf.
pub(super) fn remove(room: &Room, id: i64) -> Page {
    room.keep.unshelve(id)?;
    Ok(Answer::see("/fabrics"))
}

#[cfg(test)]
mod tests {
    use measure::{Length, System};

    use super::on_the_shelf;

    #[test]
    fn cloth_is_told_in_yards_and_metres_and_never_more_than_there_is() {
        let inches = |quarters| on_the_shelf(Length::inch_frac(quarters, 4), System::Inch);
        assert_eq!(inches(432), "3 yd");
        assert_eq!(inches(401), "2 3/4 yd (100 1/4 in)");
        assert_eq!(inches(72), "1/2 yd");
        assert_eq!(inches(54), "3/8 yd");
        assert_eq!(inches(55), "13 3/4 in");
        let metric = |mm| on_the_shelf(Length::mm(mm), System::Metric);
        assert_eq!(metric(2_748), "2.74 m");
        assert_eq!(metric(3_000), "3 m");
        assert_eq!(metric(995), "995 mm");
    }
}
