// The little that the page does by itself: it sends a change as soon as a field is left, puts the
// parts that came back in place without losing the focus, turns the bag, and asks how far a search
// is. Without it every button still works.
"use strict";
(() => {
  document.documentElement.classList.add("live");
  // On a phone the way between pages is wider than the screen: where she is shall be in sight.
  const ways = document.querySelector(".ways"), current = ways && ways.querySelector("[aria-current]");
  const sight = () => { if (current && ways.scrollWidth > ways.clientWidth) ways.scrollLeft = current.offsetLeft - (ways.clientWidth - current.offsetWidth) / 2; };
  requestAnimationFrame(sight);
  addEventListener("resize", sight);
  let queue = Promise.resolve();

  const bench = () => document.querySelector(".bench");
  const say = (text) => {
    const said = document.querySelector(".said");
    if (said) { said.textContent = text; said.classList.add("refused"); }
  };

  // Changes what is there into what came, as little as may be: an element that means the same is kept,
  // with its focus, its scrolling and whatever a hand holds just now; a picture is put in place whole.
  function mend(old, fresh) {
    if (old.isEqualNode(fresh)) return;
    if (old.nodeType !== Node.ELEMENT_NODE) { old.nodeValue = fresh.nodeValue; return; }
    for (const { name } of [...old.attributes]) if (!fresh.hasAttribute(name)) old.removeAttribute(name);
    for (const { name, value } of fresh.attributes) if (old.getAttribute(name) !== value) old.setAttribute(name, value);
    const means = (a, b) => a.nodeName === b.nodeName && a.nodeName !== "svg" && a.id === b.id
      && a.getAttribute?.("data-key") === b.getAttribute?.("data-key");
    const alike = (a, b) => means(a, b) || a.isEqualNode(b);
    const was = [...old.childNodes], now = [...fresh.childNodes];
    const most = Math.min(was.length, now.length);
    let head = 0, tail = 0;
    while (head < most && alike(was[head], now[head])) head += 1;
    while (tail < most - head && alike(was.at(-1 - tail), now.at(-1 - tail))) tail += 1;
    for (let n = 0; n < head; n += 1) mend(was[n], now[n]);
    for (let n = 1; n <= tail; n += 1) mend(was.at(-n), now.at(-n));
    // Between what both begin and end with, something came or went: what has a name is known by it.
    const left = new Set(was.slice(head, was.length - tail));
    const wanted = now.slice(head, now.length - tail).map((node) => {
      const known = node.id && [...left].find((it) => means(it, node));
      if (!known) return node;
      left.delete(known);
      mend(known, node);
      return known;
    });
    for (const node of left) node.remove();
    let at = head ? was[head - 1].nextSibling : old.firstChild;
    for (const node of wanted) {
      if (node === at) at = at.nextSibling; else old.insertBefore(document.adoptNode(node), at);
    }
  }

  // What she did on the page and has not told yet goes over into what came: what she opened or folded
  // away, and what she is typing.
  function carry(fresh) {
    for (const came of [fresh, ...fresh.querySelectorAll("details[id]")]) {
      const here = came.localName === "details" && document.getElementById(came.id);
      if (here) came.open = here.open || came.dataset.wrong === "yes";
    }
    for (const here of document.querySelectorAll("[data-typed]")) {
      const came = here.id && here.type !== "file" && fresh.querySelector("#" + CSS.escape(here.id));
      if (!came) continue;
      came.dataset.typed = "yes";
      came.value = here.value;
      if ("checked" in came) came.checked = here.checked;
    }
  }

  // What a control shows is what the answer says, whatever was chosen, or typed and refused, before.
  function settle(root) {
    for (const it of root.querySelectorAll("input, select, textarea")) {
      if (it.type === "file" || it.dataset.typed) continue;
      if (it.options) it.selectedIndex = Math.max(0, [...it.options].findIndex((option) => option.defaultSelected));
      else if (it.value !== it.defaultValue) it.value = it.defaultValue;
      if (it.checked !== it.defaultChecked) it.checked = it.defaultChecked;
    }
  }

  // The parts of the page. Each has the sum of what it was made from; none if it is not made yet, or
  // something else was put into it since. What is sent is what this page has not.
  const parts = () => [...document.querySelectorAll("[data-part]")];
  const has = () => ["parts", ...parts().map((it) => `${it.id}.${it.dataset.part}`)].join(" ");
  const inSight = new Set();
  const sighted = new IntersectionObserver((all) => {
    for (const it of all) inSight[it.isIntersecting ? "add" : "delete"](it.target);
  });
  for (const part of parts()) sighted.observe(part);

  // Puts a part in place; the focus stays where it is.
  function put([old, html]) {
    const fresh = document.createElement("template");
    fresh.innerHTML = html;
    const part = fresh.content.firstElementChild, sum = part.dataset.part;
    carry(part);
    part.dataset.part = old.dataset.part = "";
    mend(old, part);
    settle(old);
    old.dataset.part = sum;
  }

  // What is out of sight is put in place after what is in sight has been shown.
  const idle = (job) => window.requestIdleCallback ? requestIdleCallback(job, { timeout: 500 }) : setTimeout(job, 30);
  const count = (name) => { const said = document.documentElement.dataset; said[name] = Number(said[name] || 0) + 1; };
  let waiting = [], done = () => {};
  function rest() {
    if (waiting.length) { keepingFocus(() => put(waiting.shift())); idle(rest); } else { done(); done = () => {}; }
  }
  function flush() { while (waiting.length) rest(); rest(); }
  addEventListener("beforeprint", flush);

  function keepingFocus(job) {
    const at = document.activeElement;
    const caret = at && at.dataset.typed === "yes" && typeof at.selectionStart === "number" ? [at.selectionStart, at.selectionEnd] : null;
    job();
    if (!at || !at.id || document.activeElement === at) return;
    const again = document.getElementById(at.id);
    if (!again) return;
    again.focus({ preventScroll: true });
    if (caret && again.setSelectionRange) try { again.setSelectionRange(...caret); } catch { /* a field without a caret */ }
  }

  // Puts an answer in place: what is in sight at once. `wants` says which parts are taken.
  function place(text, wants = () => true, finished = () => {}) {
    const [head, ...came] = text.split("<!--part ");
    const all = came.map((one) => [document.getElementById(one.slice(0, one.indexOf("-->"))), one.slice(one.indexOf("-->") + 3)]);
    const [now, later] = [[], []];
    for (const one of all.filter(([old]) => old && wants(old))) {
      (one[0].id === "bar" || inSight.has(one[0]) || one[0].contains(document.activeElement) ? now : later).push(one);
    }
    keepingFocus(() => now.forEach(put));
    const revision = /^<!--parts (\d+)/.exec(head);
    if (revision && bench()) {
      bench().dataset.revision = revision[1];
      for (const it of bench().querySelectorAll("[name=revision]")) it.value = revision[1];
    }
    if (!looking && document.querySelector(".family .searching")) { looking = true; setTimeout(look, 20); }
    [waiting, done] = [later, finished];
    if (later.length) requestAnimationFrame(() => setTimeout(rest)); else rest();
  }

  // Asks for what this page has not, or tells a change; the text of the answer, and whether it is parts.
  async function tell(address, body) {
    flush();
    const answer = await fetch(address, { method: body ? "POST" : "GET", body, headers: { "X-Room": has() } });
    const text = await answer.text();
    return { answer, text, isParts: text.startsWith("<!--parts") };
  }
  // Looks how things stand. What was changed here in the meantime is newer, and what was refused here
  // the answer does not know.
  async function see(address, wants = () => true) {
    const before = bench() && bench().dataset.revision;
    const { text, isParts } = await tell(address);
    if (!isParts) throw new Error("no parts");
    if (bench() && bench().dataset.revision !== before) return;
    const moved = before && !text.startsWith(`<!--parts ${before}-->`);
    place(text, (old) => moved || (wants(old) && !(old.dataset.part && old.querySelector("[aria-invalid=true]"))));
  }

  async function send(form, submitter) {
    const fields = new URLSearchParams(new FormData(form));
    if (submitter && submitter.name) fields.set(submitter.name, submitter.value);
    const job = async () => {
      looked(fields);
      if (bench() && fields.has("revision")) fields.set("revision", bench().dataset.revision);
      const began = performance.now();
      try {
        const { answer, text, isParts } = await tell(form.action, fields);
        if (answer.redirected && !isParts) { location.assign(answer.url); return; }
        if (!isParts) { say("That did not work; load the page again. What was kept before is all there."); return; }
        place(text, undefined, () => count("changes"));
        settle(form);
        document.documentElement.dataset.took = Math.round((performance.now() - began) * 10) / 10;
        count("shown");
      } catch {
        say("The workroom does not answer: is bagwright still running? This change was not kept.");
      }
    };
    queue = queue.then(job);
    return queue;
  }

  // How the bag is looked at just now.
  function looked(fields) {
    const table = document.querySelector(".turntable");
    if (table) for (const name of ["turn", "rise", "showing", "beside"]) fields.set(name, table.dataset[name]);
    return fields;
  }

  // What is folded away or far below at first is asked for when the page has been shown, or as soon as
  // it is wanted.
  const UNMADE = "[data-part='']";
  function fill() {
    const job = async () => {
      if (!document.querySelector(UNMADE)) return;
      try {
        await see(`${location.pathname}?${looked(new URLSearchParams())}`, (old) => !old.dataset.part);
      } catch { /* each says where it is, and it is asked for again when it is opened */ }
    };
    queue = queue.then(job);
    return queue;
  }
  // Shows an element wherever it is folded away.
  async function show(id, focus) {
    if (!document.getElementById(id)) { await fill(); flush(); }
    const it = document.getElementById(id);
    if (!it) return;
    for (let up = it.closest("details"); up; up = up.parentElement.closest("details")) up.open = true;
    if (focus) it.focus();
    it.scrollIntoView({ block: "center" });
  }
  if (document.querySelector(UNMADE)) {
    if (location.hash) show(location.hash.slice(1));
    addEventListener("load", () => requestAnimationFrame(() => idle(fill)));
    document.addEventListener("toggle", async (event) => {
      if (!event.target.matches(UNMADE)) return;
      await fill();
      flush();
    }, true);
  }

  document.addEventListener("input", (event) => { event.target.dataset.typed = "yes"; });
  document.addEventListener("change", (event) => {
    const form = event.target.form;
    if (!form || !form.classList.contains("field") || form.classList.contains("waits")) return;
    delete event.target.dataset.typed;
    send(form);
  });
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!bench() || !bench().contains(form) || form.method !== "post") return;
    event.preventDefault();
    const field = form.querySelector("[name=value]");
    // Enter in a field that was changed is told as a change already, when the field is left.
    if (field && field.dataset.typed) delete field.dataset.typed;
    send(form, event.submitter);
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.target.matches(".field:not(.waits) input")) {
      event.preventDefault();
      delete event.target.dataset.typed;
      send(event.target.form);
    }
    if ((event.ctrlKey || event.metaKey) && !event.altKey && bench() && !event.target.matches("input, textarea")) {
      const key = event.key.toLowerCase();
      const word = key === "z" && !event.shiftKey ? "undo" : key === "y" || (key === "z" && event.shiftKey) ? "redo" : null;
      const button = word && document.getElementById(word);
      if (button && !button.disabled) { event.preventDefault(); send(button.form, button); }
    }
  });

  // Turning the bag: the newest position wins, and one picture is asked for at a time.
  let wanted = null, asking = false;
  async function turn(table, turned, rise) {
    table.dataset.turn = ((Math.round(turned) % 360) + 360) % 360;
    table.dataset.rise = Math.max(-80, Math.min(80, Math.round(rise)));
    wanted = table;
    if (asking) return;
    asking = true;
    while (wanted) {
      const now = wanted;
      wanted = null;
      try {
        const answer = await fetch(`/bag/${now.dataset.id}/seen?turn=${now.dataset.turn}&rise=${now.dataset.rise}&showing=${now.dataset.showing}&beside=${now.dataset.beside}`);
        if (answer.ok && now.isConnected) {
          const fresh = document.createElement("template");
          fresh.innerHTML = await answer.text();
          now.closest("[data-part]").dataset.part = "";
          now.replaceChildren(fresh.content);
        }
      } catch { say("The workroom does not answer: is bagwright still running?"); }
    }
    asking = false;
  }
  let drag = null;
  document.addEventListener("pointerdown", (event) => {
    const table = event.target.closest(".turntable");
    if (!table || event.button !== 0) return;
    drag = { table, x: event.clientX, y: event.clientY, turn: Number(table.dataset.turn), rise: Number(table.dataset.rise) };
    table.setPointerCapture(event.pointerId);
    table.focus({ preventScroll: true });
  });
  document.addEventListener("pointermove", (event) => {
    if (!drag) return;
    turn(drag.table, drag.turn - (event.clientX - drag.x) / 2, drag.rise + (event.clientY - drag.y) / 2);
  });
  for (const end of ["pointerup", "pointercancel"]) document.addEventListener(end, () => { drag = null; });
  document.addEventListener("keydown", (event) => {
    const table = event.target.closest(".turntable");
    if (!table || event.ctrlKey || event.metaKey || event.altKey) return;
    const steps = { ArrowLeft: [-15, 0], ArrowRight: [15, 0], ArrowUp: [0, 10], ArrowDown: [0, -10] };
    const step = steps[event.key];
    if (!step) return;
    event.preventDefault();
    turn(table, Number(table.dataset.turn) + step[0], Number(table.dataset.rise) + step[1]);
  });
  document.addEventListener("click", (event) => {
    const link = event.target.closest(".turns a");
    const table = document.querySelector(".turntable");
    if (link && table && link.dataset.by) {
      event.preventDefault();
      const by = link.dataset.by.split(" ").map(Number);
      turn(table, Number(table.dataset.turn) + by[0], Number(table.dataset.rise) + by[1]);
    } else if (link && table) {
      event.preventDefault();
      see(link.href).catch(() => location.assign(link.href));
    }
    // A finding leads to its field, wherever that is folded away.
    const opens = event.target.closest("[data-opens]");
    if (opens) { event.preventDefault(); show(opens.dataset.opens, true); }
  });

  // One step after the other with the arrow keys.
  document.addEventListener("keydown", (event) => {
    if (event.target.matches("input, select, textarea") || event.ctrlKey || event.metaKey || event.altKey) return;
    const link = event.key === "ArrowRight" ? document.getElementById("next") : event.key === "ArrowLeft" ? document.getElementById("before") : null;
    if (link && link.matches(".stepping a")) location.assign(link.href);
  });

  // How far a search for better layouts is, as long as it goes on.
  let looking = false;
  async function look() {
    looking = false;
    if (!document.querySelector(".searching[data-going]")) return;
    looking = true;
    try {
      await see(location.pathname);
    } catch { looking = false; return; }
    setTimeout(look, document.querySelector(".family .searching") ? 20 : 700);
  }
  if (document.querySelector(".searching")) setTimeout(look, 300);
})();
