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
