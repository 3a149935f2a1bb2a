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
        ensure!(!page.text().await?.contains("108 in left"), "nothing was taken off");
        // A version is kept.
        page.go(&format!("{path}/versions")).await?;
        page.tab_to("#name").await?;
        page.press("as cut").await?;
        page.press(ENTER).await?;
        page.reads("as cut").await
    })
}
