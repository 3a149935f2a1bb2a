"use strict";
// Ticks and the ruler are kept in this browser alone, under the name of this edition. Where a
// browser keeps nothing, all else still works.
(() => {
  const key = "bagwright " + document.body.dataset.name;
  const keep = (state) => { try { localStorage.setItem(key, JSON.stringify(state)); } catch (_) { /* not kept */ } };
  let state = { ruler: document.body.dataset.ruler, done: [] };
  try { state = Object.assign(state, JSON.parse(localStorage.getItem(key) || "{}")); } catch (_) { /* as new */ }
  if (!Array.isArray(state.done)) state.done = [];
  const boxes = [...document.querySelectorAll(".step input")];
  const told = document.getElementById("progress");
  const show = () => {
    document.body.dataset.ruler = state.ruler;
    for (const box of document.querySelectorAll("[name=ruler]")) box.checked = box.value === state.ruler;
    for (const box of boxes) {
      box.checked = state.done.includes(box.value);
      box.closest("li").classList.toggle("done", box.checked);
    }
    told.textContent = boxes.filter((box) => box.checked).length + " of " + boxes.length + " steps done";
  };
  document.addEventListener("change", (event) => {
    const box = event.target;
    if (box.name === "ruler") state.ruler = box.value;
    else if (box.checked) state.done.push(box.value);
    else state.done = state.done.filter((id) => id !== box.value);
    keep(state);
    show();
  });
  document.getElementById("next").addEventListener("click", () => {
    const box = boxes.find((box) => !box.checked) || boxes[boxes.length - 1];
    if (box) { box.scrollIntoView({ block: "center" }); box.focus({ preventScroll: true }); }
  });
  document.getElementById("again").addEventListener("click", () => {
    if (confirm("Take every tick away?")) { state.done = []; keep(state); show(); }
  });
  show();
})();
