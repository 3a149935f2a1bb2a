//! A bag is designed: the first visit, a value that is no value, a bag from nothing with a finding that
//! is mended, two windows on one bag, turning by touch.

use anyhow::{Result, ensure};
use browser::{Page, Scheme};
use serde_json::json;

use crate::in_a_workroom;

const WELCOME: &str = "This is a bag to try things on";

#[test]
fn the_first_visit_shows_a_bag_and_says_what_to_do() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        page.reads(WELCOME).await?;
        ensure!(page.holds("document.querySelector('.turntable svg')").await?, "no picture");
        page.click(".welcome button").await?;
        page.until(&format!("!document.querySelector('main').innerText.includes('{WELCOME}')"))
            .await
    })
}

#[test]
fn a_value_that_is_none_is_told_at_its_field_and_stays_to_be_mended() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        let width = page.value("body-width").await?;
        page.set("body-width", "broad").await?;
        let told =
            "document.getElementById('about-body-width').innerText.includes('takes a length')";
        ensure!(page.holds(told).await?, "the field does not say what it takes");
        ensure!(page.value("body-width").await? == "broad", "what was typed is lost");
        // Another field is changed meanwhile; then the right value is typed.
        page.set("body-height", "12").await?;
        page.set("body-width", &width).await?;
        ensure!(
            !page.holds("document.querySelector('[aria-invalid=true]')").await?,
            "the fault stays"
        );
        ensure!(page.value("body-height").await? == "12", "the other field is lost");
        Ok(())
    })
}

/// A bag of a flat body with a pocket that is wider than its panel; its page.
pub(crate) async fn with_an_error(page: &Page) -> Result<String> {
    page.go("/new").await?;
    page.click("button.body[value=flat]").await?;
    page.until("location.pathname.startsWith('/bag/') && document.querySelector('.bench')").await?;
    let path = page.run("return location.pathname", &[]).await?;
    // What is folded away is asked for when the page has been shown.
    page.until("document.getElementById('pocket-add')").await?;
    let open = "document.getElementById('fold-pocket').open = true;
        document.getElementById('pocket-add').value = 'patch'";
    page.run(open, &[]).await?;
    page.click_and_see(".waits .add").await?;
    page.set("pocket-1-width", "30").await?;
    ensure!(page.holds("document.querySelector('.finding.error')").await?, "it is no error");
    Ok(path.as_str().unwrap_or_default().to_owned())
}

#[test]
fn a_bag_from_nothing_is_told_what_is_wrong_and_mended_by_a_button() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        with_an_error(page).await?;
        let told =
            "document.getElementById('pocket-1-width').getAttribute('aria-invalid') === 'true'";
        ensure!(page.holds(told).await?, "it does not stand at the field");
        ensure!(
            page.holds("document.getElementById('fold-pocket').open").await?,
            "it is folded away"
        );
        page.click_and_see(".finding.error button").await?;
        ensure!(!page.holds("document.querySelector('.finding.error')").await?, "it is not mended");
        Ok(())
    })
}

#[test]
fn what_is_open_and_typed_outlasts_a_change_elsewhere() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        page.run("document.getElementById('fold-fabric').open = true", &[]).await?;
        // Typed and not left; the caret stands in the middle.
        page.run(
            "window.held = document.getElementById('body-height'); window.held.focus(); window.held.select()",
            &[],
        )
        .await?;
        page.press("13 1/8 in").await?;
        page.run("window.held.setSelectionRange(3, 6)", &[]).await?;
        page.set("body-width", "17").await?;
        ensure!(
            page.holds("window.held.isConnected && document.activeElement === window.held").await?,
            "the field is another"
        );
        ensure!(page.value("body-height").await? == "13 1/8 in", "what was typed is lost");
        ensure!(
            page.holds("window.held.selectionStart === 3 && window.held.selectionEnd === 6")
                .await?,
            "the caret moved"
        );
        ensure!(
            page.holds("document.getElementById('fold-fabric').open").await?,
            "a fold has closed"
        );
        let before = page.changes().await?;
        page.press("\u{e004}").await?;
        page.changed(before).await?;
        ensure!(
            page.holds("document.querySelector('.said').innerText.startsWith('Kept')").await?,
            "it is not kept"
        );
        Ok(())
    })
}

#[test]
fn two_windows_do_not_overwrite_each_other() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        page.go("/bag/1").await?;
        let first = page.client.window().await?;
        let second = page.client.new_window(true).await?.handle;
        page.client.switch_to_window(second).await?;
        page.go("/bag/1").await?;
        page.set("body-height", "12").await?;
        page.client.close_window().await?;
        page.client.switch_to_window(first).await?;
        page.set("body-height", "11").await?;
        ensure!(
            page.holds("document.querySelector('.said').textContent.includes('another window')")
                .await?,
            "it is not told"
        );
        ensure!(page.value("body-height").await? == "12", "the first change was overwritten");
        Ok(())
    })
}

#[test]
fn the_bag_is_turned_by_a_finger_and_by_the_pointer() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        page.as_wide_as(360).await?;
        page.go("/bag/1").await?;
        page.run("document.querySelector('.turntable').scrollIntoView({ block: 'center' })", &[])
            .await?;
        let middle = page
            .run("const r = document.querySelector('.turntable').getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]", &[])
            .await?;
        let (x, y) =
            (middle[0].as_f64().unwrap_or_default(), middle[1].as_f64().unwrap_or_default());
        page.run("window.seen = document.querySelector('.turntable').dataset.turn; window.drawn = document.querySelector('.turntable svg')", &[]).await?;
        for (kind, by) in
            [("touchStart", 0.0), ("touchMove", 30.0), ("touchMove", 60.0), ("touchEnd", 60.0)]
        {
            let points =
                if kind == "touchEnd" { json!([]) } else { json!([{ "x": x + by, "y": y }]) };
            page.own("Input.dispatchTouchEvent", json!({ "type": kind, "touchPoints": points }))
                .await?;
        }
        let turned = "document.querySelector('.turntable').dataset.turn !== window.seen && !window.drawn.isConnected
            && document.querySelector('.turntable svg')";
        page.until(turned).await?;
        page.run("window.seen = document.querySelector('.turntable').dataset.turn; window.drawn = document.querySelector('.turntable svg')", &[]).await?;
        for (kind, by) in [("mousePressed", 0.0), ("mouseMoved", -40.0), ("mouseReleased", -40.0)] {
            let at = json!({ "type": kind, "x": x + by, "y": y, "button": "left", "buttons": 1, "clickCount": 1 });
            page.own("Input.dispatchMouseEvent", at).await?;
        }
        page.until(turned).await?;
        page.click(".turns a[data-look][href*='showing=inside']").await?;
        page.until("document.querySelector('.turntable').dataset.showing === 'inside'").await
    })
}

/// The parts of the page beside those that a fresh one has: the ids of those that differ, or whose fields
/// hold something else than they say.
const DIFFERS: &str = r"
    const [done] = arguments;
    const table = document.querySelector('.turntable').dataset;
    const view = ['turn', 'rise', 'showing', 'beside'].map((name) => name + '=' + table[name]).join('&');
    fetch(location.pathname + '?' + view, { headers: { 'X-Room': 'parts' } }).then((it) => it.text()).then((text) => {
        const plain = (part) => {
            const copy = part.cloneNode(true);
            for (const it of [copy, ...copy.querySelectorAll('*')]) { it.removeAttribute('open'); it.removeAttribute('data-typed'); }
            for (const it of copy.querySelectorAll('.said')) { it.remove(); copy.removeAttribute('data-part'); }
            return copy;
        };
        const fresh = text.split('<!--part ').slice(1).map((one) => {
            const all = document.createElement('template');
            all.innerHTML = one.slice(one.indexOf('-->') + 3);
            return all.content.firstElementChild;
        });
        const holds = (it) => it.options ? it.selectedIndex === Math.max(0, [...it.options].findIndex((one) => one.defaultSelected)) : it.value === it.defaultValue;
        done(fresh.filter((part) => {
            const here = document.getElementById(part.id);
            return !here || !plain(here).isEqualNode(plain(part)) || ![...here.querySelectorAll('input, select, textarea')].every(holds);
        }).map((part) => part.id).join(' ') || (fresh.length > 15 ? 'nothing' : 'too few parts'));
    });
";

#[test]
fn what_was_put_in_place_piece_by_piece_is_the_page_that_a_fresh_one_is() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        page.go("/bag/1").await?;
        let same = async |after: &str| -> Result<()> {
            let differs = page.told(DIFFERS, &[]).await?;
            ensure!(differs == "nothing", "after {after}: {differs} differs");
            Ok(())
        };
        same("the start").await?;
        for (field, value) in [
            ("body-width", "17"),
            ("fabric-outside-name", "blue linen"),
            ("body-height", " 12.0 in"),
        ] {
            page.set(field, value).await?;
            same(field).await?;
        }
        page.set("title", "Bag for the wool").await?;
        ensure!(page.text().await?.starts_with("Bag for the wool"), "the heading is the old one");
        // Typed otherwise and meaning the same: the field says it as it is kept.
        page.set("body-height", "12.00").await?;
        same("nothing new").await?;
        page.set("body-width", "broad").await?;
        page.set("body-width", "16 1/2").await?;
        same("a value that is none").await?;
        page.run("document.getElementById('pocket-add').value = 'patch'; document.getElementById('fold-pocket').open = true", &[])
            .await?;
        page.click_and_see("#fold-pocket .waits .add").await?;
        same("one more pocket").await?;
        page.run("window.drawn = document.querySelector('.turntable svg')", &[]).await?;
        page.click(".turns [data-by]").await?;
        page.until("!window.drawn.isConnected && document.querySelector('.turntable svg')").await?;
        page.click_and_see("#undo").await?;
        same("undone, and seen from another side").await?;
        // Elsewhere it is changed, too.
        let first = page.client.window().await?;
        let second = page.client.new_window(true).await?.handle;
        page.client.switch_to_window(second).await?;
        page.go("/bag/1").await?;
        page.set("handles-kind", "folded").await?;
        same("a change in another window").await?;
        page.client.close_window().await?;
        page.client.switch_to_window(first).await?;
        page.set("body-height", "11").await?;
        ensure!(page.value("handles-kind").await? == "folded", "the other change is not seen");
        same("a change that came too late").await
    })
}

#[test]
fn folded_fields_are_there_without_the_script() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        // The file does not come, though scripts may run.
        page.own("Network.enable", json!({})).await?;
        page.own("Network.setBlockedURLs", json!({ "urls": ["*room.js*"] })).await?;
        let to = format!("{}/bag/1", page.base);
        page.client.goto(&to).await?;
        ensure!(
            !page.holds("document.documentElement.classList.contains('live')").await?,
            "it runs"
        );
        page.click("#fold-fabric > summary").await?;
        page.click("#fold-fabric .inner a").await?;
        let there = "document.getElementById('fold-fabric')?.open && document.getElementById('fabric-outside-width')?.checkVisibility()";
        page.until(&format!("location.search === '?whole=fabric' && {there}")).await?;
        page.run("document.getElementById('fabric-outside-width').value = '54'", &[]).await?;
        page.click("form:has(#fabric-outside-width) .set").await?;
        page.until(&format!("location.hash === '#fabric-outside-width' && {there}")).await?;
        ensure!(page.value("fabric-outside-width").await? == "54", "it is not kept");
        // No script may run at all.
        page.own("Network.setBlockedURLs", json!({ "urls": [] })).await?;
        page.own("Emulation.setScriptExecutionDisabled", json!({ "value": true })).await?;
        page.client.goto(&format!("{to}?showing=inside")).await?;
        page.until("location.search === '?whole=yes&showing=inside' && document.getElementById('fabric-outside-width')").await?;
        page.own("Emulation.setScriptExecutionDisabled", json!({ "value": false })).await?;
        Ok(())
    })
}
