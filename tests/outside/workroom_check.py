"""Works in the workroom in a real browser, as a teacher would, and checks what a program can check.

Usage: workroom_check.py COMMAND..., the command that runs bagwright.

A workroom is started over an empty folder. The flows: the first visit, a change by keyboard alone,
undo, a bag from nothing, a finding that is mended by its button, two windows on one bag, a fabric put
on the shelf, photographed and cut from, the largest bag, a kit, a version, files that are taken away, a
backup that is brought back.
Chromium is driven as in handout_check.py; accessibility is judged by axe-core (rules of WCAG 2.2,
levels A and AA) on every screen in light and dark; pictures at three widths stay in
`target/outside/workroom` for people to look at. Times are reported, not judged.
"""

import os
import pathlib
import re
import signal
import subprocess
import sys
import tempfile
import time

from handout_check import ELEMENT, WIDTHS, Browser, axe_source, call, violations
import handout_check

SCREENS = ["", "/pieces", "/cutting", "/sewing?step=4", "/shopping", "/templates", "/take", "/versions"]


class Page(Browser):
    """A browser in the workroom."""

    def __init__(self, dark, base):
        super().__init__(dark)
        self.do("POST", "/timeouts", {"script": 55_000})
        self.base = base

    def go(self, path):
        self.do("POST", "/url", {"url": self.base + path})

    def text(self):
        return self.run("return document.querySelector('main').innerText")

    def one(self, selector):
        return self.do("POST", "/element", {"using": "css selector", "value": selector})[ELEMENT]

    def write(self, selector, text):
        self.do("POST", f"/element/{self.one(selector)}/value", {"text": text})

    def click(self, selector):
        self.run("document.querySelector(arguments[0]).scrollIntoView({block: 'center'})", selector)
        self.do("POST", f"/element/{self.one(selector)}/click")

    def changes(self):
        return self.run("return Number(document.documentElement.dataset.changes || 0)")

    def until(self, script, *arguments):
        """Waits until a script says yes."""
        for _ in range(400):
            if self.run(script, *arguments):
                return True
            time.sleep(0.05)
        return False

    def changed(self, before):
        return self.until("return Number(document.documentElement.dataset.changes || 0) > arguments[0]", before)

    def set(self, field, value):
        """Changes a field as a script can; the page hears it as a change."""
        before = self.changes()
        self.run(
            """const field = document.getElementById(arguments[0]);
            field.value = arguments[1];
            field.dispatchEvent(new Event('change', { bubbles: true }));""",
            field,
            value,
        )
        return self.changed(before)


def start(command, folder):
    """The program's process and the address it serves."""
    arguments = [*command, "workroom", "--port", "0", "--no-browser", "--data", folder]
    process = subprocess.Popen(arguments, stderr=subprocess.PIPE, text=True, start_new_session=True)
    for line in process.stderr:
        found = re.search(r"http://127\.0\.0\.1:\d+", line)
        if found:
            return process, found.group()
    raise RuntimeError("the workroom did not start")


def first_visit(page, faults):
    page.go("/")
    if "This is a bag to try things on" not in page.text():
        faults.append("first visit: no welcome")
    if not page.run("return !!document.querySelector('.turntable svg')"):
        faults.append("first visit: no picture of the bag")
    page.click(".welcome button")
    # The click sends a form; the page that answers it is the one to look at.
    gone = "const main = document.querySelector('main'); return !!main && !main.innerText.includes(arguments[0])"
    if not page.until(gone, "This is a bag to try things on"):
        faults.append("first visit: the welcome stays")


def by_keyboard(page, faults):
    """Tab to the width, type another one, leave the field; then undo by keys."""
    page.go("/bag/1")
    reached = False
    for _ in range(60):
        page.type(["\ue004"])
        if page.run("return document.activeElement.id") == "body-width":
            reached = True
            break
    if not reached:
        faults.append("keyboard: the width is not reached by the tab key")
        return
    before = page.changes()
    page.run("document.activeElement.select()")
    page.type(list("16 1/2") + ["\ue004"])
    if not page.changed(before):
        faults.append("keyboard: the change is not sent")
    shown = page.run("return [...document.querySelectorAll('#seen text')].map(t => t.textContent).join('|')")
    if "16 1/2 in" not in shown:
        faults.append(f"keyboard: the picture does not show the new width: {shown}")
    if page.run("return document.activeElement.id") != "body-height":
        faults.append("keyboard: the focus is lost after a change")
    before = page.changes()
    page.run("document.getElementById('undo').focus()")
    page.type(["\ue007"])
    page.changed(before)
    if page.run("return document.getElementById('body-width').value") != "15":
        faults.append("keyboard: undo does not bring the width back")
    # The bag is turned by arrow keys.
    page.run("document.querySelector('.turntable').focus()")
    seen = "return document.querySelector('.turntable svg').outerHTML"
    before = page.run(seen)
    page.type(["\ue014"])
    if not page.until(seen + " !== arguments[0]", before):
        faults.append("keyboard: the bag does not turn")
    page.run("[...document.querySelectorAll('.turns a')].find(a => a.textContent === 'Inside').click()")
    if not page.until("return document.querySelector('.turntable').dataset.showing === 'inside'"):
        faults.append("the inside of the bag is not shown")
    # The steps go on by arrow keys.
    page.go("/bag/1/sewing?step=2")
    page.type(["\ue014"])
    if not page.until("return location.search === '?step=3'"):
        faults.append("keyboard: the arrow key does not go to the next step")


def wrong_value(page, faults):
    page.go("/bag/1")
    page.set("body-width", "broad")
    told = page.run("return document.getElementById('about-body-width').innerText")
    if "takes a length" not in told:
        faults.append(f"wrong value: the field does not say what it takes: {told}")
    if page.run("return document.getElementById('body-width').value") != "broad":
        faults.append("wrong value: what was typed is lost")
    page.set("body-width", "15")


def from_nothing(page, faults):
    page.go("/new")
    page.click("button.body[value=flat]")
    page.until("return location.pathname.startsWith('/bag/')")
    path = page.run("return location.pathname")
    before = page.changes()
    page.run("document.getElementById('fold-pocket').open = true; document.getElementById('pocket-add').value = 'patch'")
    page.click(".waits .add")
    page.changed(before)
    if not page.run("return !!document.getElementById('pocket-1-width')"):
        faults.append("from nothing: no pocket was added")
    page.set("pocket-1-width", "30")
    if not page.run("return !!document.querySelector('.finding.error')"):
        faults.append("finding: a pocket wider than its panel is no error")
    if not page.run("return document.getElementById('pocket-1-width').getAttribute('aria-invalid') === 'true'"):
        faults.append("finding: it does not stand at the field")
    before = page.changes()
    page.click(".finding.error button")
    page.changed(before)
    if page.run("return !!document.querySelector('.finding.error')"):
        faults.append("finding: “Mend it” does not mend it")
    return path


def two_windows(page, faults):
    page.go("/bag/1")
    first = page.do("GET", "/window")
    second = page.do("POST", "/window/new", {"type": "tab"})["handle"]
    page.do("POST", "/window", {"handle": second})
    page.go("/bag/1")
    page.set("body-height", "12")
    page.do("POST", "/window", {"handle": first})
    page.set("body-height", "11")
    if "another window" not in page.run("return document.querySelector('.said').textContent"):
        faults.append("two windows: the second is not told")
    if page.run("return document.getElementById('body-height').value") != "12":
        faults.append("two windows: the first one's change was overwritten")
    page.do("POST", "/window", {"handle": second})
    page.do("DELETE", "/window")
    page.do("POST", "/window", {"handle": first})


def the_shelf(page, path, faults):
    page.go("/fabrics")
    page.write("#fabric-name", "blue linen")
    page.run("document.getElementById('fabric-width').value = '60'")
    page.write("#fabric-length", "3 yd")
    page.click("form.stack button.main")
    page.until("return !!document.querySelector('.card')")
    page.go(path)
    page.run("document.getElementById('fold-fabric').open = true")
    number = page.run(
        "return [...document.getElementById('shelf-outside').options].find(o => o.text === 'blue linen').value"
    )
    page.set("shelf-outside", number)
    if page.run("return document.getElementById('fabric-outside-name').value") != "blue linen":
        faults.append("shelf: the design does not take the fabric")
    page.go(path + "/cutting")
    page.click("form[action$='/cutting/cut'] button")
    page.until("return location.pathname === '/fabrics'")
    if "108 in left" in page.text() or "blue linen" not in page.text():
        faults.append("shelf: cutting takes nothing off")


def largest_and_kit(page, faults):
    page.go("/bag/1/cutting")
    page.click("a.button[href$='/largest']")
    page.until("return location.pathname.endsWith('/largest')")
    page.run("document.getElementById('fabric-outside').value = ''")
    page.write("#fabric-outside", "1 yd of 54 in")
    page.click("form.stack button.main")
    if not page.until("return document.querySelector('main').innerText.includes('As large as it goes')"):
        faults.append("largest: no answer")
    page.click("form[method=post] button.main")
    page.until("return location.pathname === '/bag/1'")
    if page.run("return document.getElementById('body-width').value") == "15":
        faults.append("largest: the bag was not made larger")
    before = page.changes()
    page.click("#undo")
    page.changed(before)
    page.go("/kit")
    page.write("#bag-1", "2")
    page.click("form.stack button.main")
    if not page.until("return document.querySelector('main').innerText.includes('what to buy')"):
        faults.append("kit: it is not put together")


def a_photograph(page, folder, faults):
    # One red point, written anew by a general library of the system.
    import struct
    import zlib

    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    header = struct.pack(">IIBBBBB", 1, 1, 8, 2, 0, 0, 0)
    point = chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(b"\0\xc0\x20\x20")) + chunk(b"IEND", b"")
    file = pathlib.Path(folder) / "cloth.png"
    file.write_bytes(b"\x89PNG\r\n\x1a\n" + point)
    page.go("/fabrics/1")
    page.write("#photo", str(file))
    page.click("form[action$='/photo'] button")
    if not page.until("const photo = document.querySelector('img.photo'); return !!photo && photo.naturalWidth === 1"):
        faults.append("shelf: the photograph is not shown")


def better_layouts(page, faults):
    page.go("/bag/1/cutting")
    page.click("#improve")
    if not page.until("return !document.querySelector('.searching[data-going]')"):
        page.click("#stop")
        if not page.until("return !document.querySelector('.searching[data-going]')"):
            faults.append("layouts: the search does not stop")


def versions_and_files(page, faults):
    page.go("/bag/1/versions")
    page.write("#name", "as taught in spring")
    page.click("form[action$='/versions'] button")
    page.until("return document.querySelector('main').innerText.includes('as taught in spring')")
    page.go("/bag/1")
    page.set("body-width", "18")
    page.go("/bag/1/versions")
    page.click("table form button")
    page.until("return location.pathname === '/bag/1'")
    if page.run("return document.getElementById('body-width').value") != "15":
        faults.append("versions: going back does not bring the width back")
    page.go("/bag/1/take")
    links = page.run("return [...document.querySelectorAll('ul.take a')].map(link => link.href)")
    fetch = """const done = arguments[1];
        fetch(arguments[0]).then(async (answer) => {
            const bytes = await answer.arrayBuffer();
            done([arguments[0], answer.status, bytes.byteLength, answer.headers.get('content-disposition')]);
        });"""
    # One after the other: a booklet takes a while on a busy machine.
    taken = [page.wait(fetch, link) for link in links]
    for address, status, size, name in taken:
        if status != 200 or size < 100 or "attachment" not in (name or ""):
            faults.append(f"files: {address}: {status}, {size} bytes, {name}")
    if len(taken) < 9:
        faults.append(f"files: only {len(taken)} can be taken")


def backup(page, folder, faults):
    page.go("/safe")
    bytes_ = page.wait(
        """const done = arguments[0];
        fetch('/safe/backup').then(a => a.arrayBuffer()).then(b => done([...new Uint8Array(b)]));"""
    )
    file = pathlib.Path(folder) / "from-a-stick.sqlite"
    file.write_bytes(bytes(bytes_))
    page.go("/bag/1")
    page.set("title", "Another name")
    page.go("/safe")
    page.write("#file", str(file))
    page.click("form[action='/safe/restore'] button")
    page.until("return document.querySelector('main').innerText.includes('Everything is back')")
    page.go("/bags")
    if "Another name" in page.text() or "Market day bag" not in page.text():
        faults.append("backup: it does not bring everything back")


def looks(page, path, scheme, axe, pictures, faults):
    """axe-core and the width of every screen, and a picture of each."""
    screens = ["/bags", "/new", "/fabrics", "/fabrics/1", "/safe", "/compare?a=1&b=1", "/nowhere"]
    screens += ["/kit?bag-1=12&spare=10&look=yes", "/bag/1/largest?look=yes&fabric-outside=1+yd+of+54+in"]
    screens += ["/bag/1" + screen for screen in SCREENS] + [path]
    for screen in screens:
        page.go(screen)
        name = (screen.strip("/").replace("/", "-").split("?")[0] or "first") + f"-{scheme}"
        page.run("document.querySelectorAll('details').forEach(d => d.open = true)")
        faults += [f"{name}: {found}" for found in violations(page, axe)]
        page.run("document.querySelectorAll('details').forEach(d => d.open = d.id === 'fold-body')")
        for device, width in WIDTHS.items() if scheme == "light" else [("phone", 360)]:
            page.picture(pictures / f"{name}-{device}.png", width)
            wide = page.run(
                "return document.documentElement.scrollWidth - document.documentElement.clientWidth"
            )
            if wide > 0:
                faults.append(f"{name}: {wide} px too wide on a {device}")
        foreign = page.run(
            "return performance.getEntriesByType('resource').map(e => e.name).filter(n => !n.startsWith(location.origin))"
        )
        if foreign:
            faults.append(f"{name}: asks elsewhere for {foreign}")
    page.cdp("Emulation.clearDeviceMetricsOverride", {})
    return len(screens)


def times(page):
    """From a field's change to the redrawn page, as the page itself measures it."""
    page.go("/bag/1")
    took = []
    for number in range(20):
        page.set("body-width", str(12 + number % 5))
        took.append(float(page.run("return document.documentElement.dataset.took")))
    took.sort()
    return took[len(took) // 2], took[int(len(took) * 0.95)]


def main():
    driver = subprocess.Popen(
        ["chromedriver", f"--port={handout_check.PORT}"],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    faults, looked, process = [], 0, None
    try:
        for _ in range(100):
            try:
                call("GET", "/status")
                break
            except OSError:
                time.sleep(0.1)
        axe = axe_source()
        pictures = pathlib.Path("target/outside/workroom")
        pictures.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory() as folder:
            process, base = start(sys.argv[1:], folder + "/data")
            page = Page(False, base)
            first_visit(page, faults)
            by_keyboard(page, faults)
            wrong_value(page, faults)
            path = from_nothing(page, faults)
            two_windows(page, faults)
            the_shelf(page, path, faults)
            a_photograph(page, folder, faults)
            largest_and_kit(page, faults)
            better_layouts(page, faults)
            versions_and_files(page, faults)
            backup(page, folder, faults)
            middle, high = times(page)
            looked += looks(page, path, "light", axe, pictures, faults)
            page.close()
            page = Page(True, base)
            looked += looks(page, path, "dark", axe, pictures, faults)
            page.close()
    finally:
        if process:
            os.killpg(process.pid, signal.SIGKILL)
        driver.terminate()
    print(f"workroom: {looked} looks, {len(faults)} faults; a change is redrawn in {middle:.0f} ms, 95 % within {high:.0f} ms")
    for fault in faults[:20]:
        print(f"  {fault}")
    return 1 if faults or not looked else 0


if __name__ == "__main__":
    sys.exit(main())
