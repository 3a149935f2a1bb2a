//! What a bag costs and takes: prices noted and struck out, sessions logged, rates reckoned with, sizes
//! and options side by side.

use anyhow::{Context, Result, ensure};
use browser::{Page, Scheme};

use crate::in_a_workroom;

/// What a script of the page says as text.
async fn says(page: &Page, script: &str) -> Result<String> {
    Ok(page.run(script, &[]).await?.as_str().context("a text")?.to_owned())
}

pub(crate) async fn note(page: &Page, thing: &str, amount: &str, day: &str) -> Result<()> {
    page.go("/prices").await?;
    page.write("#thing", thing).await?;
    page.write("#amount", amount).await?;
    page.run("document.getElementById('per').value = 'yd'", &[]).await?;
    page.run("document.getElementById('day').value = arguments[0]", &[day.into()]).await?;
    page.click("form[action='/prices'] button.main").await
}

/// Prices, a session, rates and sizes, so that there is something to look at.
pub(crate) async fn fill_in(page: &Page) -> Result<()> {
    for (thing, amount, day) in [
        ("blue duck canvas", "14.90 USD", "2025-03-01"),
        ("blue duck canvas", "16.50 USD", "2026-10-01"),
        ("striped ticking", "11.00 USD", "2025-06-01"),
        ("unbleached calico", "6.20 USD", "2026-10-01"),
    ] {
        note(page, thing, amount, day).await?;
        page.reads(amount).await?;
    }
    page.go("/log").await?;
    page.write("#took", "4 h 20 min").await?;
    page.click("form[action='/log'][method=post] button.main").await?;
    page.reads("learnt from 1 logged session").await?;
    page.go("/bag/1/reckoning").await?;
    for (field, value) in
        [("#hour", "18.00 USD"), ("#overhead", "12"), ("#margin", "20"), ("#evening", "120")]
    {
        page.write(field, value).await?;
    }
    page.click("#rates form.stack button.main").await?;
    page.reads("What it costs to make").await?;
    page.go("/bag/1/sizes").await?;
    for name in ["small", "large"] {
        page.write("#size-add", name).await?;
        let before = page.changes().await?;
        page.press("\u{e007}").await?;
        page.changed(before).await?;
    }
    page.set("size-1-body-width", "10").await?;
    page.set("size-2-body-width", "18").await
}

#[test]
fn a_price_is_noted_counts_and_is_struck_out() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        page.go("/bag/1").await?;
        let cloth = page.value("fabric-outside-name").await?;
        ensure!(
            !page.holds("document.querySelector('#glance tfoot')").await?,
            "a price from nowhere"
        );
        // A slip is told at its field, and what was typed stays.
        note(page, &cloth, "eight", "2026-03-01").await?;
        page.until("document.querySelector('[role=alert]') && document.getElementById('amount').getAttribute('aria-invalid') === 'true'").await?;
        ensure!(page.value("thing").await? == cloth, "what was typed is lost");
        note(page, &cloth, "8.00 USD", "2026-03-01").await?;
        page.reads("8.00 USD").await?;
        note(page, &cloth, "9.00 USD", "2026-09-01").await?;
        page.reads("9.00 USD").await?;
        ensure!(
            page.holds(
                "document.querySelector('tbody tr:not(.older)').innerText.includes('9.00 USD')"
            )
            .await?,
            "the newest price does not count"
        );
        page.go("/bag/1").await?;
        let dearer = says(page, "return document.querySelector('#glance tfoot').innerText").await?;
        // Struck out, the one before it counts; put back, it counts again.
        page.go("/prices").await?;
        page.click("form[action$='/strike'] button").await?;
        page.until(
            "document.querySelector('tbody tr:not(.older)')?.innerText.includes('8.00 USD')",
        )
        .await?;
        page.go("/bag/1").await?;
        let cheaper =
            says(page, "return document.querySelector('#glance tfoot').innerText").await?;
        ensure!(
            dearer.contains("USD") && cheaper.contains("USD") && dearer != cheaper,
            "{dearer} and {cheaper}"
        );
        page.go("/prices").await?;
        page.click("form[action$='/put-back'] button").await?;
        page.until("document.querySelector('tbody tr:not(.older)')?.innerText.includes('9.00 USD')")
            .await
    })
}

#[test]
fn a_session_is_logged_and_the_pace_is_learnt_from_it() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        let time =
            "return document.querySelector('section[aria-labelledby=time] tfoot td').innerText";
        page.go("/bag/1/reckoning").await?;
        let usual = says(page, time).await?;
        page.go("/log").await?;
        page.write("#took", "a while").await?;
        page.click("form[action='/log'][method=post] button.main").await?;
        page.until("document.getElementById('took').getAttribute('aria-invalid') === 'true'")
            .await?;
        page.run("document.getElementById('took').value = ''", &[]).await?;
        page.write("#took", "60 h").await?;
        page.click("form[action='/log'][method=post] button.main").await?;
        page.reads("learnt from 1 logged session").await?;
        page.go("/bag/1/reckoning").await?;
        let own = says(page, time).await?;
        ensure!(own != usual, "the pace does not count: {own}");
        page.go("/log").await?;
        page.click("form[action$='/strike'] button").await?;
        page.reads("At the usual pace").await?;
        page.go("/bag/1/reckoning").await?;
        ensure!(says(page, time).await? == usual, "a session that is struck out counts");
        Ok(())
    })
}

#[test]
fn rates_are_reckoned_with_and_taken_back() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        page.go("/bag/1/reckoning").await?;
        page.reads("what an hour of your work is paid").await?;
        page.write("#hour", "18.00 USD").await?;
        page.write("#overhead", "12").await?;
        page.click("#rates form.stack button.main").await?;
        page.reads("What it costs to make").await?;
        ensure!(page.value("hour").await? == "18.00 USD", "what was typed is lost");
        page.click("#rates form[action$='/undo'] button").await?;
        page.until("document.getElementById('hour').value === ''").await?;
        page.click("#rates form[action$='/redo'] button").await?;
        page.until("document.getElementById('hour').value === '18.00 USD'").await
    })
}

#[test]
fn sizes_and_options_stand_side_by_side_and_one_is_shown() -> Result<()> {
    in_a_workroom(Scheme::Light, async |page, _| {
        page.go("/bag/1/sizes").await?;
        let add = async |list: &str, name: &str| {
            page.write(&format!("#{list}-add"), name).await?;
            let before = page.changes().await?;
            page.press("\u{e007}").await?;
            page.changed(before).await
        };
        add("size", "small").await?;
        // A slip is told at its field, and what was typed stays to be mended.
        page.set("size-1-body-width", "broad").await?;
        ensure!(
            page.holds("document.getElementById('size-1-body-width').getAttribute('aria-invalid') === 'true'").await?
                && page.value("size-1-body-width").await? == "broad",
            "the slip is not told at its field"
        );
        page.set("size-1-body-width", "10").await?;
        add("option", "no lining").await?;
        page.run("document.getElementById('option-1-differs').value = 'lining.kind'", &[]).await?;
        page.click_and_see("form:has(#option-1-differs) .add").await?;
        page.set("option-1-lining-kind", "unlined").await?;
        page.until("document.querySelectorAll('#members tbody tr').length === 4 && !document.querySelector('.searching')").await?;
        // One of them is shown, on all pages of the bag.
        page.click("button[aria-label='Show small, as it stands']").await?;
        page.until("document.querySelector('tr.chosen')?.innerText.includes('small')").await?;
        page.go("/bag/1").await?;
        page.reads("Shown is").await?;
        ensure!(
            page.holds("document.getElementById('glance').innerText.includes('10 × 13 in')")
                .await?,
            "the small one is not shown"
        );
        Ok(())
    })
}
