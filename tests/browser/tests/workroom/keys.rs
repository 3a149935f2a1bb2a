//! The whole work by keyboard alone: no pointer, and nothing that a script does for her.

use anyhow::{Result, bail, ensure};
use browser::{Page, Scheme};

use crate::in_a_workroom;

const TAB: &str = "\u{e004}";
const ENTER: &str = "\u{e007}";
const DOWN: &str = "\u{e015}";
const RIGHT: &str = "\u{e014}";

/// Types in the place of what a field holds.
async fn retype(page: &Page, id: &str, text: &str) -> Result<()> {
    page.tab_to(&format!("#{id}")).await?;
    page.run("document.activeElement.select()", &[]).await?;
    let before = page.changes().await?;
    page.press(text).await?;
    page.press(TAB).await?;
    page.changed(before).await
}

/// Goes down a list that has the focus.
async fn choose(page: &Page, value: &str) -> Result<()> {
    for _ in 0..30 {
        if page.holds(&format!("document.activeElement.value === '{value}'")).await? {
            return Ok(());
        }
        page.press(DOWN).await?;
    }
    bail!("arrow keys do not lead to {value}")
}

/// Presses what has the focus, and waits for the page to change.
async fn press_and_see(page: &Page, selector: &str) -> Result<()> {
    page.tab_to(selector).await?;
    let before = page.changes().await?;
    page.press(ENTER).await?;
    page.changed(before).await
}

#[test]
fn a_measure_is_changed_and_undone_and_the_focus_stays() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        page.go("/bag/1").await?;
        let was = page.value("body-width").await?;
        retype(page, "body-width", "16 1/2").await?;
        let shown = "[...document.querySelectorAll('#seen text')].some((it) => it.textContent.includes('16 1/2 in'))";
        page.until(shown).await?;
        ensure!(
            page.holds("document.activeElement.id === 'body-height'").await?,
            "the focus is lost"
        );
        // From the beginning again, past the way to the page itself.
        page.go("/bag/1").await?;
        page.press(TAB).await?;
        ensure!(
            page.holds("document.activeElement.matches('.skip')").await?,
            "no way past the head"
        );
        page.press(ENTER).await?;
        press_and_see(page, "#undo").await?;
        ensure!(page.value("body-width").await? == was, "the width is not back");
        ensure!(page.holds("['undo', 'redo'].includes(document.activeElement.id) || document.activeElement === document.body").await?, "the focus went astray");
        Ok(())
    })
}

#[test]
fn the_bag_turns_and_the_steps_go_on_by_arrow_keys() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        page.go("/bag/1").await?;
        page.tab_to(".turntable").await?;
        page.run("window.drawn = document.querySelector('.turntable svg')", &[]).await?;
        page.press(RIGHT).await?;
        page.until("!window.drawn.isConnected && document.querySelector('.turntable svg')").await?;
        ensure!(
            page.holds("document.activeElement.matches('.turntable')").await?,
            "the focus is lost"
        );
        page.go("/bag/1/sewing?step=2").await?;
        page.press(RIGHT).await?;
        page.until("location.search === '?step=3'").await
    })
}

#[test]
fn a_bag_is_begun_mended_cut_and_kept_without_a_pointer() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        // A fabric is put on the shelf.
        page.go("/fabrics").await?;
        page.tab_to("#fabric-name").await?;
        page.press("blue linen").await?;
        page.tab_to("#fabric-width").await?;
        page.run("document.activeElement.select()", &[]).await?;
        page.press("60").await?;
        page.tab_to("#fabric-length").await?;
        page.press("3 yd").await?;
        page.press(ENTER).await?;
        page.until("document.querySelector('.card') && document.querySelector('main').innerText.includes('blue linen')").await?;
        // A bag is begun, and given a pocket that is too wide.
        page.go("/new").await?;
        page.tab_to("button.body[value=flat]").await?;
        page.press(ENTER).await?;
        page.until("location.pathname.startsWith('/bag/') && document.querySelector('.bench')")
            .await?;
        page.tab_to("#fold-pocket > summary").await?;
        page.press(ENTER).await?;
        page.until("document.getElementById('fold-pocket').open").await?;
        page.tab_to("#pocket-add").await?;
        choose(page, "patch").await?;
        press_and_see(page, ".waits .add").await?;
        retype(page, "pocket-1-width", "30").await?;
        page.until("document.querySelector('.finding.error')").await?;
        press_and_see(page, ".finding.error form button").await?;
        ensure!(!page.holds("document.querySelector('.finding.error')").await?, "it is not mended");
        // It is made of the fabric of the shelf.
        page.go(page.run("return location.pathname", &[]).await?.as_str().unwrap_or_default())
            .await?;
        page.tab_to("#fold-fabric > summary").await?;
        page.press(ENTER).await?;
        page.tab_to("#shelf-outside").await?;
        let before = page.changes().await?;
        page.press(DOWN).await?;
        page.changed(before).await?;
        page.until("document.getElementById('fabric-outside-name').value === 'blue linen'").await?;
        let path = page.run("return location.pathname", &[]).await?;
        let path = path.as_str().unwrap_or_default().to_owned();
        // It is cut, and the shelf has less.
        page.go(&format!("{path}/cutting")).await?;
        page.tab_to("form[action$='/cutting/cut'] button").await?;
        page.press(ENTER).await?;
        page.until("location.pathname === '/fabrics'").await?;
        ensure!(!page.text().await?.contains("\n3 yd left"), "nothing was taken off");
        // A version is kept.
        page.go(&format!("{path}/versions")).await?;
        page.tab_to("#name").await?;
        page.press("as cut").await?;
        page.press(ENTER).await?;
        page.reads("as cut").await
    })
}

#[test]
fn what_is_needed_is_saved_and_brought_back_without_a_pointer() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, folder| {
        page.go("/safe").await?;
        page.tab_to("a[href='/safe/backup']").await?;
        let file = folder.join("from-a-stick.sqlite");
        std::fs::write(&file, page.taken("/safe/backup").await?)?;
        page.go("/bag/1").await?;
        let was = page.value("body-width").await?;
        retype(page, "body-width", "19").await?;
        page.go("/safe").await?;
        name_file(page, "#file", &file).await?;
        page.tab_to("form[action='/safe/restore'] button").await?;
        page.press(ENTER).await?;
        page.reads("Everything is back").await?;
        page.go("/bag/1").await?;
        ensure!(page.value("body-width").await? == was, "it is not as it was");
        Ok(())
    })
}

#[test]
fn a_fabric_is_photographed_without_a_pointer() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, folder| {
        page.go("/fabrics").await?;
        page.tab_to("#fabric-name").await?;
        page.press("blue linen").await?;
        page.tab_to("#fabric-length").await?;
        page.press("3 yd").await?;
        page.press(ENTER).await?;
        page.reads("3 yd left").await?;
        page.tab_to(".card a").await?;
        page.press(ENTER).await?;
        page.until("location.pathname === '/fabrics/1' && document.getElementById('photo')")
            .await?;
        let file = folder.join("cloth.png");
        std::fs::write(&file, crate::shelf::CLOTH)?;
        name_file(page, "#photo", &file).await?;
        page.tab_to("form[action$='/photo'] button").await?;
        page.press(ENTER).await?;
        page.until("document.querySelector('img.photo')?.naturalWidth === 1").await?;
        // And taken away again.
        page.tab_to("form[action$='/photo/remove'] button").await?;
        page.press(ENTER).await?;
        page.until("document.querySelector('h1') && !document.querySelector('img.photo')").await
    })
}

#[test]
fn the_largest_bag_is_found_and_taken_without_a_pointer() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        page.go("/bag/1").await?;
        let was = page.value("body-width").await?;
        page.go("/bag/1/cutting").await?;
        page.tab_to("a.button[href$='/largest']").await?;
        page.press(ENTER).await?;
        page.until(
            "location.pathname.endsWith('/largest') && document.getElementById('fabric-outside')",
        )
        .await?;
        page.tab_to("#fabric-outside").await?;
        page.run("document.activeElement.select()", &[]).await?;
        page.press("1 yd of 54 in").await?;
        page.press(ENTER).await?;
        page.reads("As large as it goes").await?;
        page.tab_to("form[method=post] button.main").await?;
        page.press(ENTER).await?;
        page.until("location.pathname === '/bag/1' && document.querySelector('.bench')").await?;
        ensure!(page.value("body-width").await? != was, "the bag is as it was");
        Ok(())
    })
}

#[test]
fn a_kit_is_put_together_without_a_pointer() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        page.go("/bags").await?;
        page.tab_to("a[href='/kit']").await?;
        page.press(ENTER).await?;
        page.until("location.pathname === '/kit' && document.getElementById('bag-1')").await?;
        page.tab_to("#bag-1").await?;
        page.run("document.activeElement.select()", &[]).await?;
        page.press("3").await?;
        page.press(ENTER).await?;
        page.reads("what to buy").await?;
        // Its papers can be reached, and are there.
        page.tab_to("a[download][href^='/kit/']").await?;
        let link = page.run("return document.activeElement.getAttribute('href')", &[]).await?;
        ensure!(
            page.taken(link.as_str().unwrap_or_default()).await?.len() > 100,
            "nothing is in it"
        );
        Ok(())
    })
}

#[test]
fn a_price_and_a_session_are_noted_and_rates_reckoned_with_without_a_pointer() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        page.go("/prices").await?;
        page.tab_to("#thing").await?;
        page.press("thread").await?;
        page.tab_to("#amount").await?;
        page.press("3.20 USD").await?;
        page.press(ENTER).await?;
        page.until("document.querySelector('tbody')?.innerText.includes('3.20 USD')").await?;
        page.go("/log").await?;
        page.tab_to("#took").await?;
        page.press("5 h 20 min").await?;
        page.press(ENTER).await?;
        page.reads("learnt from 1 logged session").await?;
        page.go("/bag/1/reckoning").await?;
        page.tab_to("#hour").await?;
        page.press("18.00 USD").await?;
        page.press(ENTER).await?;
        page.reads("What it costs to make").await?;
        // A size is named, its width typed, and it is shown.
        page.go("/bag/1/sizes").await?;
        page.tab_to("#size-add").await?;
        let before = page.changes().await?;
        page.press("small").await?;
        page.press(ENTER).await?;
        page.changed(before).await?;
        retype(page, "size-1-body-width", "10").await?;
        page.until("!document.querySelector('.searching')").await?;
        page.go("/bag/1/sizes").await?;
        page.tab_to("button[aria-label^='Show small']").await?;
        page.press(ENTER).await?;
        page.until("document.querySelector('tr.chosen')?.innerText.includes('small')").await
    })
}

/// A file is named in a field that has the focus: the system's own dialogue is not ours to try.
async fn name_file(page: &Page, field: &str, file: &std::path::Path) -> Result<()> {
    page.tab_to(field).await?;
    page.write(field, &file.to_string_lossy()).await
}
