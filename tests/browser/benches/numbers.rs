//! The numbers that the workroom promises, measured in a real browser over the release build:
//! `cargo xtask bench browser`. The largest example is the one with the most pieces and steps.
//!
//! Nothing is judged here: beside each figure stands what was promised, and how busy the machine was,
//! for other work beside it makes every figure worse.

#![allow(clippy::print_stdout, reason = "a bench says what it measured")]

use std::path::Path;
use std::time::{Duration, Instant};

use anyhow::{Context, Result, ensure};
use browser::{Driver, Page, Scheme, Workroom, block_on, root};
use serde_json::json;

const LARGEST: &str = "examples/workshop-bag.toml";

fn main() -> Result<()> {
    // `cargo bench` passes words of its own, such as `--bench`.
    let only: Vec<String> =
        std::env::args().skip(1).filter(|word| !word.starts_with('-')).collect();
    let wanted = |name: &str| only.is_empty() || only.iter().any(|word| word == name);
    let driver = Driver::start()?;
    let folder = tempfile::tempdir()?;
    if wanted("redrawn") {
        block_on(redrawn(&driver, &folder.path().join("redrawn")))?;
    }
    if wanted("start") {
        block_on(start(&driver, &folder.path().join("start")))?;
    }
    if wanted("memory") {
        memory(&folder.path().join("memory"))?;
    }
    if wanted("class") {
        class(&folder.path().join("class"))?;
    }
    Ok(())
}

/// The largest example on the table of a new workroom, and where its page is.
async fn laid_out(page: &Page) -> Result<String> {
    page.go("/bags").await?;
    page.write("#file", &root().join(LARGEST).canonicalize()?.to_string_lossy()).await?;
    page.click("form[action='/import'] button").await?;
    page.until("location.pathname.startsWith('/bag/')").await?;
    let path = page.run("return location.pathname", &[]).await?;
    Ok(path.as_str().context("a path")?.to_owned())
}

/// From the change of a field to the frame that shows the page drawn anew, and what the page weighs.
async fn redrawn(driver: &Driver, folder: &Path) -> Result<()> {
    let room = Workroom::start(folder, &[])?;
    let page = Page::open(driver, &room.base, Scheme::Light).await?;
    page.as_wide_as(1280).await?;
    let path = laid_out(&page).await?;
    let weight = "const all = [...performance.getEntriesByType('navigation'), ...performance.getEntriesByType('resource')];
        return all.reduce((sum, one) => sum + one.encodedBodySize, 0);";
    // Anew, so that nothing comes from the browser's own memory.
    page.own("Network.enable", json!({})).await?;
    page.own("Network.setCacheDisabled", json!({ "cacheDisabled": true })).await?;
    page.go(&path).await?;
    let weighs = page.run(weight, &[]).await?.as_f64().context("a number")? / 1024.0;
    println!("the largest example's page weighs {weighs:.0} KB (promised: 300)");
    let busy = load();
    let (mut all, mut whole) = (Vec::new(), Vec::new());
    let mut parts = [Vec::new(), Vec::new(), Vec::new(), Vec::new()];
    for round in 0..100 {
        let told = page.told(CHANGE, &[round.into()]).await?;
        ensure!(told["error"].is_null(), "{}", told["error"]);
        all.push(told["shown"].as_f64().context("a number")?);
        whole.push(told["whole"].as_f64().context("a number")?);
        for (part, name) in parts.iter_mut().zip(["served", "bytes", "placed", "frame"]) {
            part.push(told[name].as_f64().context("a number")?);
        }
    }
    println!(
        "a change is shown after {:.0} ms in the middle, 95 % within {:.0} ms (promised: 80); {} changes, load {busy} to {}",
        at(&mut all, 50),
        at(&mut all, 95),
        all.len(),
        load()
    );
    println!(
        "  and with what is out of sight after {:.0} ms in the middle, 95 % within {:.0} ms",
        at(&mut whole, 50),
        at(&mut whole, 95)
    );
    let [served, bytes, placed, frame] = &mut parts;
    println!(
        "  of these in the middle: to the answer's last byte {:.0} ms ({:.0} KB), putting it in place {:.0} ms, \
         style, layout and paint until the frame {:.0} ms",
        at(served, 50),
        at(bytes, 50) / 1024.0,
        at(placed, 50),
        at(frame, 50)
    );
    page.client.clone().close().await?;
    Ok(())
}

/// Changes one of the measures as a person who leaves the field does; the next one in each round. Said
/// is how long it took until the frame after the change was shown: a frame is asked for when the answer
/// is in place, and a message that is posted while it is made arrives when it is done. The same for what is
/// out of sight, which the page puts in place after that.
const CHANGE: &str = r"
    const [round, done] = arguments;
    const fields = [...document.querySelectorAll('.field:not(.waits) .measure input')]
        .filter((it) => it.id.startsWith('body-') && /^\d+( 1\/4)?$/.test(it.value));
    const field = fields[round % fields.length];
    if (!field) { done({ error: 'no field to change' }); return; }
    const html = document.documentElement;
    const before = { ...html.dataset };
    const old = window.fetch;
    let served = 0, bytes = 0, placed = 0;
    window.fetch = async (...all) => {
        const answer = await old(...all);
        const text = await answer.text();
        served = performance.now();
        bytes = new Blob([text]).size;
        return { redirected: answer.redirected, url: answer.url, ok: answer.ok, text: async () => text };
    };
    let began = 0, shown = 0, whole = 0;
    const framed = (then) => requestAnimationFrame(() => {
        const post = new MessageChannel();
        post.port1.onmessage = () => {
            then(performance.now());
            if (!shown || !whole) return;
            const said = document.querySelector('.said');
            done({ shown: shown - began, whole: whole - began, served: served - began, bytes, placed: placed - served,
                frame: shown - placed, error: said.classList.contains('refused') ? said.textContent : null });
        };
        post.port2.postMessage(0);
    });
    const came = { shown: false, changes: false };
    new MutationObserver((_, watch) => {
        for (const name of ['shown', 'changes']) {
            const same = html.dataset[name] === before[name];
            if (came[name] || (same && html.dataset.changes === before.changes)) continue;
            came[name] = true;
            if (name === 'shown') { placed = performance.now(); framed((now) => { shown = now; }); }
            else framed((now) => { whole = now; });
        }
        if (came.shown && came.changes) { watch.disconnect(); window.fetch = old; }
    }).observe(html, { attributes: true });
    requestIdleCallback(() => setTimeout(() => {
        field.value = field.value.includes(' ') ? field.value.split(' ')[0] : field.value + ' 1/4';
        began = performance.now();
        field.dispatchEvent(new Event('change', { bubbles: true }));
    }, 60));
";

/// From the start of the process to a page that can be used: painted, with its script at work. The
/// browser runs already and has come to rest, as hers has.
async fn start(driver: &Driver, folder: &Path) -> Result<()> {
    for what in ["first, an empty folder", "with the largest example"] {
        let (mut took, mut said, busy) = (Vec::new(), Vec::new(), load());
        let mut parts = [Vec::new(), Vec::new(), Vec::new(), Vec::new()];
        let mut path = "/".to_owned();
        for round in 0..8 {
            let folder = if what.starts_with("first") {
                folder.join(round.to_string())
            } else {
                folder.join("kept")
            };
            let page = Page::open(driver, "", Scheme::Light).await?;
            page.client.goto("about:blank").await?;
            tokio::time::sleep(Duration::from_millis(1000)).await;
            let clock = "return performance.timeOrigin + performance.now()";
            let began = page.run(clock, &[]).await?.as_f64().context("a number")?;
            let begun = Instant::now();
            let room = Workroom::start(&folder, &[])?;
            let serves = begun.elapsed().as_secs_f64() * 1000.0;
            page.client.goto(&format!("{}{path}", room.base)).await?;
            page.until("document.documentElement.classList.contains('live') && document.querySelector('.bench, .cards')").await?;
            if path == "/" && !what.starts_with("first") {
                let page = Page { client: page.client.clone(), base: room.base.clone() };
                path = laid_out(&page).await?;
            } else {
                let told = page.told(USABLE, &[]).await?;
                let since = |name: &str| told[name].as_f64().context("a number");
                took.push(since("usable")? - began);
                said.push(serves);
                let (asked, read) = (since("asked")? - began, since("read")? - began);
                let (ready, painted) = (since("ready")? - began, since("painted")? - began);
                for (part, ms) in parts.iter_mut().zip([asked, read, ready, painted]) {
                    part.push(ms);
                }
            }
            page.client.close().await?;
        }
        println!(
            "start to usable page, {what}: {:.0} ms in the middle, {:.0} at most (promised: 300); load {busy} to {}",
            at(&mut took, 50),
            at(&mut took, 100),
            load()
        );
        let [asked, read, ready, painted] = &mut parts;
        println!(
            "  in the middle: it serves after {:.0} ms, the browser asks after {:.0}, has the page after {:.0}, \
             its script is at work after {:.0}, it is painted after {:.0}",
            at(&mut said, 50),
            at(asked, 50),
            at(read, 50),
            at(ready, 50),
            at(painted, 50)
        );
    }
    Ok(())
}

/// When the browser asked for the page, had it, had run its script and had painted it, by the clock.
const USABLE: &str = r"
    const [done] = arguments;
    const way = performance.getEntriesByType('navigation')[0];
    const painted = () => performance.getEntriesByName('first-contentful-paint')[0];
    const say = () => {
        if (!painted() || !way.domContentLoadedEventEnd) { setTimeout(say, 10); return; }
        const [asked, read, ready, shown] = [way.requestStart, way.responseEnd, way.domContentLoadedEventEnd, painted().startTime]
            .map((ms) => performance.timeOrigin + ms);
        done({ asked, read, ready, painted: shown, usable: Math.max(ready, shown) });
    };
    say();
";

/// What the process holds after edits of the largest example.
fn memory(folder: &Path) -> Result<()> {
    let room = Workroom::start(folder, &[])?;
    let (id, busy) = (taken_in(&room)?, load());
    let mut held = Vec::new();
    for edit in 1..=1000 {
        let value = if edit % 2 == 0 { "20" } else { "20+1%2F2" };
        let form = format!("revision={edit}&path=body.width&value={value}");
        let (status, _, _) = room.ask(
            &room.base,
            &posted(&format!("/bag/{id}/change"), "X-Room: parts\n"),
            form.as_bytes(),
        )?;
        ensure!(status == 200, "edit {edit}: {status}");
        if edit % 200 == 0 {
            held.push(format!("{} after {edit}", resident(room.id())?));
        }
    }
    println!(
        "memory in MB (promised: 250 at most): {}; load {busy} to {}",
        held.join(", "),
        load()
    );
    Ok(())
}

/// Fifty tablets ask for the same handout at once, time and again.
fn class(folder: &Path) -> Result<()> {
    const TABLETS: usize = 50;
    let room = Workroom::start(folder, &["--listen", "127.0.0.1:0", "--word", "bobbin-seam"])?;
    let (id, busy) = (taken_in(&room)?, load());
    let (status, _, _) =
        room.ask(&room.base, &posted(&format!("/bag/{id}/share"), ""), b"share=yes")?;
    ensure!(status == 303, "it is shared: {status}");
    let class = room.class.as_deref().context("it serves the class")?;
    let (_, _, head) = room.ask(class, &posted("/enter", ""), b"word=bobbin-seam")?;
    let cookie = head
        .lines()
        .find_map(|line| line.to_lowercase().strip_prefix("set-cookie: ").map(str::to_owned));
    let cookie = cookie.context("a cookie")?.split(';').next().unwrap_or_default().to_owned();
    let get = format!("GET /handout/{id}\nCookie: {cookie}\n");
    let (mut took, mut weight) = (Vec::new(), 0);
    for _ in 0..20 {
        let together = std::sync::Barrier::new(TABLETS);
        let round: Vec<Result<(f64, usize)>> = std::thread::scope(|scope| {
            let one = || {
                together.wait();
                let begun = Instant::now();
                let (status, page, _) = room.ask(class, &get, b"")?;
                ensure!(status == 200 && page.starts_with(b"<!DOCTYPE"), "a handout: {status}");
                Ok((begun.elapsed().as_secs_f64() * 1000.0, page.len()))
            };
            let all: Vec<_> = (0..TABLETS).map(|_| scope.spawn(one)).collect();
            all.into_iter()
                .map(|it| it.join().unwrap_or_else(|_| Err(anyhow::anyhow!("a tablet"))))
                .collect()
        });
        for one in round {
            let (ms, bytes) = one?;
            took.push(ms);
            weight = bytes;
        }
        std::thread::sleep(Duration::from_millis(200));
    }
    println!(
        "{TABLETS} viewers of a handout of {} KB at once: {:.0} ms in the middle, 99 % within {:.0} ms (promised: 200); load {busy} to {}",
        weight / 1024,
        at(&mut took, 50),
        at(&mut took, 99),
        load()
    );
    Ok(())
}

/// Takes the largest example in, without a browser; its number.
fn taken_in(room: &Workroom) -> Result<u32> {
    let text = std::fs::read_to_string(root().join(LARGEST))?;
    let body = format!(
        "--x\r\nContent-Disposition: form-data; name=\"file\"; filename=\"it.toml\"\r\n\r\n{text}\r\n--x--\r\n"
    );
    let head = "POST /import\nContent-Type: multipart/form-data; boundary=x\n";
    let (_, _, head) = room.ask(&room.base, head, body.as_bytes())?;
    let place = head
        .lines()
        .find_map(|line| line.to_lowercase().strip_prefix("location: /bag/").map(str::to_owned));
    Ok(place.context("it is taken in")?.trim().parse()?)
}

fn posted(path: &str, more: &str) -> String {
    format!("POST {path}\nContent-Type: application/x-www-form-urlencoded\n{more}")
}

/// Megabytes that a process holds in memory.
fn resident(process: u32) -> Result<u64> {
    let status = std::fs::read_to_string(format!("/proc/{process}/status"))?;
    let held = status.lines().find_map(|line| line.strip_prefix("VmRSS:"));
    let held = held.and_then(|held| held.trim().split(' ').next()).context("what it holds")?;
    Ok(held.parse::<u64>()? / 1024)
}

/// How many processes wanted to run, in the mean of the last minute.
fn load() -> String {
    let load = std::fs::read_to_string("/proc/loadavg").unwrap_or_default();
    load.split(' ').next().unwrap_or("unknown").to_owned()
}

/// The value below which so many of a hundred lie.
fn at(values: &mut [f64], percent: usize) -> f64 {
    values.sort_by(f64::total_cmp);
    let last = values.len().saturating_sub(1);
    values.get((values.len() * percent / 100).min(last)).copied().unwrap_or(f64::NAN)
}
