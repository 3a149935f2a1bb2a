// The little that the page does by itself: it sends a change as soon as a field is left, puts the
// parts that came back in place without losing the focus, turns the bag, and asks how far a search
// is. Without it every button still works.
"use strict";
(() => {
  document.documentElement.classList.add("live");
  let queue = Promise.resolve();

  const bench = () => document.querySelector(".bench");
  const say = (text) => {
    const said = document.querySelector(".said");
    if (said) { said.textContent = text; said.classList.add("refused"); }
  };

  // Puts parts in place; what is open stays open, and the focus stays where it is with what was
  // typed meanwhile.
  function place(html) {
    const fresh = new DOMParser().parseFromString(html, "text/html");
    const at = document.activeElement;
    const id = at && at.id;
    const typed = at && "value" in at && at.dataset.typed === "yes" ? at.value : null;
    const caret = typed !== null && typeof at.selectionStart === "number" ? [at.selectionStart, at.selectionEnd] : null;
    const turned = document.querySelector(".turntable");
    for (const part of fresh.querySelectorAll("[data-part]")) {
      const old = document.getElementById(part.id);
      if (!old || old.isEqualNode(part)) continue;
      const open = new Map([...old.querySelectorAll("details[id]")].map((d) => [d.id, d.open]));
      for (const details of part.querySelectorAll("details[id]")) {
        if (open.has(details.id)) details.open = open.get(details.id) || details.dataset.wrong === "yes";
      }
      old.replaceWith(document.adoptNode(part));
    }
    const revision = fresh.querySelector(".bench");
    if (revision && bench()) bench().dataset.revision = revision.dataset.revision;
    if (id && document.activeElement !== at) {
      const again = document.getElementById(id) || (turned && at === turned && document.querySelector(".turntable"));
      if (again) {
        if (typed !== null && again.value !== typed) { again.value = typed; again.dataset.typed = "yes"; }
        again.focus({ preventScroll: true });
        if (caret && again.setSelectionRange) try { again.setSelectionRange(...caret); } catch { /* a field without a caret */ }
      }
    }
  }

  async function send(form, submitter) {
    const fields = new URLSearchParams(new FormData(form));
    if (submitter && submitter.name) fields.set(submitter.name, submitter.value);
    const table = document.querySelector(".turntable");
    if (table) for (const name of ["turn", "rise", "showing", "beside"]) fields.set(name, table.dataset[name]);
    const job = async () => {
      if (bench() && fields.has("revision")) fields.set("revision", bench().dataset.revision);
      const began = performance.now();
      try {
        const answer = await fetch(form.action, { method: "POST", body: fields, headers: { "X-Room": "parts" } });
        const html = await answer.text();
        if (answer.redirected && !html.includes("data-part")) { location.assign(answer.url); return; }
        if (!html.includes("data-part")) { say("That did not work; load the page again. What was kept before is all there."); return; }
        place(html);
        document.documentElement.dataset.took = Math.round((performance.now() - began) * 10) / 10;
        document.documentElement.dataset.changes = Number(document.documentElement.dataset.changes || 0) + 1;
      } catch {
        say("The workroom does not answer: is bagwright still running? This change was not kept.");
      }
    };
    queue = queue.then(job);
    return queue;
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
      event.target.dataset.typed = "";
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
          const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
          now.replaceChildren(...[...fresh.body.childNodes].map((node) => document.adoptNode(node)));
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
      fetch(link.href, { headers: { "X-Room": "parts" } }).then((answer) => answer.text()).then(place).catch(() => location.assign(link.href));
    }
    // A finding leads to its field, wherever that is folded away.
    const opens = event.target.closest("[data-opens]");
    const field = opens && document.getElementById(opens.dataset.opens);
    if (field) {
      event.preventDefault();
      for (let up = field.closest("details"); up; up = up.parentElement.closest("details")) up.open = true;
      field.focus();
      field.scrollIntoView({ block: "center" });
    }
  });

  // One step after the other with the arrow keys.
  document.addEventListener("keydown", (event) => {
    if (event.target.matches("input, select, textarea") || event.ctrlKey || event.metaKey || event.altKey) return;
    const link = event.key === "ArrowRight" ? document.getElementById("next") : event.key === "ArrowLeft" ? document.getElementById("before") : null;
    if (link && link.matches(".stepping a")) location.assign(link.href);
  });

  // How far a search for better layouts is, as long as it goes on.
  async function look() {
    const going = document.querySelector(".searching[data-going]");
    if (!going) return;
    try {
      const answer = await fetch(location.pathname, { headers: { "X-Room": "parts" } });
      if (answer.ok) place(await answer.text());
    } catch { return; }
    setTimeout(look, 700);
  }
  if (document.querySelector(".searching")) setTimeout(look, 300);
})();
