"use strict";
// What the title of a zone, or of several drawn as one, says is shown beside the map as well, and arrow keys go from
// zone to zone, so that a map is one stop of the tab key. Without this script every
// zone is a stop, and its title is what the browser shows of it.
for (const figure of document.querySelectorAll("figure.map")) {
  const zones = [...figure.querySelectorAll("path.z, path.r")];
  const out = figure.querySelector(".readout");
  if (!zones.length) continue;
  const noun = figure.querySelector("path.j, path.r") ? "shape" : "zone"; // of zones joined for drawing
  const hint = matchMedia("(hover: hover)").matches ? `Point at a ${noun}, or go from ${noun} to ${noun} with the arrow keys.` : `Touch a ${noun} to see what it gets.`;
  out.hidden = false;
  out.textContent = hint;
  const show = (zone) => { out.textContent = zone ? zone.querySelector("title").textContent : hint; };
  zones.forEach((zone, i) => {
    zone.setAttribute("tabindex", i ? "-1" : "0");
    zone.addEventListener("pointerenter", () => show(zone));
    zone.addEventListener("focus", () => show(zone));
    zone.addEventListener("keydown", (event) => {
      const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
      if (!step) return;
      event.preventDefault();
      const next = zones[(i + step + zones.length) % zones.length];
      zone.setAttribute("tabindex", "-1");
      next.setAttribute("tabindex", "0");
      next.focus();
    });
  });
}
// One card or sheet, or all cards, are printed alone by their buttons or by the address:
// #print=card-2, #print=cards.
function printed(what) {
  const wanted = what === "cards" ? document.querySelectorAll(".card") : what ? [document.getElementById(what)] : [];
  document.body.classList.toggle("alone", wanted.length > 0 && wanted[0] !== null);
  for (const section of document.querySelectorAll(".wanted")) section.classList.remove("wanted");
  for (const section of wanted) section?.classList.add("wanted");
}
for (const button of document.querySelectorAll("button.print")) {
  button.hidden = false;
  button.addEventListener("click", () => { printed(button.dataset.print); print(); printed(""); });
}
for (const p of document.querySelectorAll(".printing")) p.hidden = false;
function printedByAddress() {
  const asked = /^#print=([a-z0-9-]+)$/.exec(location.hash);
  if (asked) printed(asked[1]);
}
addEventListener("hashchange", printedByAddress);
printedByAddress();
