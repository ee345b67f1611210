"use strict";
// The pages work without this script. It asks how far long work is, takes files that are
// dropped, and shows what the zone under the pointer or in focus is.
const step = document.getElementById("step");
if (step) {
  const ask = async () => {
    try {
      const said = await (await fetch("step?id=" + step.dataset.id)).json();
      if (said.done) { location.reload(); return; }
      if (step.textContent !== said.text) step.textContent = said.text;
    } catch {
      step.textContent = "The program does not answer any more.";
      return;
    }
    setTimeout(ask, 500);
  };
  setTimeout(ask, 300);
}

const drop = document.getElementById("drop");
if (drop) {
  const input = drop.querySelector("input[type=file]");
  const over = (on) => drop.classList.toggle("over", on);
  addEventListener("dragover", (e) => { e.preventDefault(); over(true); });
  addEventListener("dragleave", (e) => { if (!e.relatedTarget) over(false); });
  addEventListener("drop", (e) => {
    e.preventDefault();
    over(false);
    if (!e.dataTransfer || !e.dataTransfer.files.length) return;
    input.files = e.dataTransfer.files;
    drop.requestSubmit();
  });
  drop.addEventListener("submit", () => { document.getElementById("dropped").textContent = "Copying into the folder..."; });
}

for (const figure of document.querySelectorAll("figure.map")) {
  const zones = [...figure.querySelectorAll("path.z, path.r")];
  const out = figure.querySelector(".readout");
  if (!zones.length || !out) continue;
  const hint = "Point at a zone, or go from zone to zone with the arrow keys.";
  out.hidden = false;
  out.textContent = hint;
  const show = (zone) => { const t = zone.querySelector("title"); out.textContent = t ? t.textContent : hint; };
  zones.forEach((zone, i) => {
    zone.setAttribute("tabindex", i ? "-1" : "0");
    zone.addEventListener("pointerenter", () => show(zone));
    zone.addEventListener("focus", () => show(zone));
    zone.addEventListener("keydown", (event) => {
      const by = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
      if (!by) return;
      event.preventDefault();
      const next = zones[(i + by + zones.length) % zones.length];
      zone.setAttribute("tabindex", "-1");
      next.setAttribute("tabindex", "0");
      next.focus();
    });
  });
}

// A button is pressed once: what it asks for goes on already.
for (const form of document.querySelectorAll("form[method=post]")) {
  form.addEventListener("submit", (e) => {
    if (form.dataset.sent) { e.preventDefault(); return; }
    form.dataset.sent = "yes";
    addEventListener("pageshow", () => { delete form.dataset.sent; }, { once: true });
  });
}

// What is wrong with a field is said beside it while it is filled in.
const text = document.querySelector("form[data-try]");
if (text) {
  let timer, asked = 0;
  const touched = new Set();
  const tell = (attribute, said) => {
    for (const e of text.querySelectorAll("[" + attribute + "]")) {
      const key = e.getAttribute(attribute);
      const near = [...touched].some((t) => t === key || t.startsWith(key + ".") || t.startsWith(key + "["));
      if (!near && !e.textContent) continue;
      e.textContent = said[key] || "";
      const input = document.getElementById("f-" + key);
      if (input && attribute === "data-key" && "value" in input) input.setAttribute("aria-invalid", said[key] ? "true" : "false");
    }
  };
  const ask = async () => {
    const mine = ++asked;
    try {
      const answer = await fetch("try", { method: "POST", body: new URLSearchParams(new FormData(text)) });
      const said = await answer.json();
      if (mine !== asked) return;
      tell("data-key", said.err);
      tell("data-remark", said.remark);
    } catch { /* the form is checked again when it is sent */ }
  };
  text.addEventListener("input", (e) => {
    touched.add(e.target.name.split(" ")[0]);
    clearTimeout(timer);
    timer = setTimeout(ask, 250);
  });
}

// The keyboard begins where something is to be put right, or else at what is said of it.
const wrong = document.querySelector(".option.bad :is(input, select, textarea):not([type=checkbox])") || document.querySelector("[role=alert]");
if (wrong) {
  wrong.closest("details")?.setAttribute("open", "");
  if (wrong.matches("div")) wrong.tabIndex = -1;
  wrong.focus();
}
