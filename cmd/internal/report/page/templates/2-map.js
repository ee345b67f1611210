// The map: what it shows, how close, and which zones are marked.
if (document.getElementById("map")) {
  const figure = document.getElementById("map"), svg = document.getElementById("field");
  const readout = figure.querySelector(".readout"), over = document.getElementById("picked");
  const zones = new Map([...svg.querySelectorAll("path[data-zone]")].map((path) => [+path.dataset.zone, path]));
  const groups = [...svg.querySelectorAll("#zones > g")];
  const rows = document.querySelector("#zones-table tbody")?.rows;
  const heads = [...document.querySelectorAll("#zones-table thead th")].map((th) => th.textContent);

  // What is shown.
  const buttons = [...figure.querySelectorAll(".views button")];
  page.fill = (fills) => fills.forEach((fill, i) => groups[i]?.setAttribute("fill", fill));
  page.show = (id) => {
    document.getElementById("tried").replaceChildren();
    for (const button of buttons) button.setAttribute("aria-pressed", button.dataset.view === id);
    for (const part of figure.querySelectorAll("[data-view]:not(button)")) {
      if (part instanceof SVGElement) part.setAttribute("display", part.dataset.view === id ? "inline" : "none");
      else part.hidden = part.dataset.view !== id;
    }
    const view = data.views?.find((one) => one.id === id);
    if (view) page.fill([...view.class].map((c) => view.fills[parseInt(c, 36)]));
  };
  for (const button of buttons) button.addEventListener("click", () => page.show(button.dataset.view));
  figure.querySelector(".views").hidden = false;

  // How close: the part of the drawing that the frame holds.
  const whole = svg.viewBox.baseVal, full = [whole.x, whole.y, whole.width, whole.height];
  let box = [...full];
  const look = (x, y, wide) => {
    const share = Math.min(Math.max(wide / full[2], 1 / 64), 1);
    const w = full[2] * share, h = full[3] * share;
    box = [Math.min(Math.max(x, 0), full[2] - w), Math.min(Math.max(y, 0), full[3] - h), w, h];
    svg.setAttribute("viewBox", box.join(" "));
    svg.classList.toggle("close", share < 1);
    svg.style.setProperty("--close", share);
  };
  const at = (event) => new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
  const zoom = (point, factor) => look(point.x - (point.x - box[0]) / factor, point.y - (point.y - box[1]) / factor, box[2] / factor);
  const middle = () => ({ x: box[0] + box[2] / 2, y: box[1] + box[3] / 2 });
  const fit = () => look(0, 0, full[2]);
  svg.addEventListener("wheel", (event) => { event.preventDefault(); zoom(at(event), Math.exp(-event.deltaY * 0.002)); }, { passive: false });
  svg.addEventListener("dblclick", fit);
  for (const [name, act] of [["in", () => zoom(middle(), 1.6)], ["out", () => zoom(middle(), 1 / 1.6)], ["fit", fit]]) {
    figure.querySelector(".zoom-" + name).addEventListener("click", act);
  }
  figure.querySelector(".zoom").hidden = false;
  const held = new Map(); // pointers that are down, where they were last
  let moved = 0;
  svg.addEventListener("pointerdown", (event) => { held.set(event.pointerId, event); if (held.size === 1) moved = 0; });
  svg.addEventListener("pointermove", (event) => {
    const before = held.get(event.pointerId);
    if (!before) return;
    const a = at(before), b = at(event);
    moved += Math.hypot(event.clientX - before.clientX, event.clientY - before.clientY);
    if (held.size === 2) {
      const other = [...held.values()].find((one) => one.pointerId !== event.pointerId), c = at(other);
      zoom(c, Math.hypot(b.x - c.x, b.y - c.y) / Math.max(Math.hypot(a.x - c.x, a.y - c.y), 1));
    } else if (moved > 4 && box[2] < full[2]) {
      look(box[0] - (b.x - a.x), box[1] - (b.y - a.y), box[2]);
    }
    held.set(event.pointerId, event);
  });
  for (const name of ["pointerup", "pointercancel", "pointerleave"]) svg.addEventListener(name, (event) => held.delete(event.pointerId));

  // Which zones are marked.
  const mark = (list) => over.replaceChildren(...list.flatMap((zone) => {
    const path = zones.get(zone), i = page.place.get(zone);
    if (path) {
      const outline = document.createElementNS(svg.namespaceURI, "use");
      outline.setAttribute("href", "#" + path.id);
      return [outline];
    }
    if (i === undefined || !data.at) return [];
    const ring = document.createElementNS(svg.namespaceURI, "circle");
    for (const [name, value] of [["cx", data.at[2 * i]], ["cy", data.at[2 * i + 1]], ["r", list.length > 1 ? 40 : 90]]) ring.setAttribute(name, value);
    return [ring];
  }));
  page.mark = mark;
  const hint = matchMedia("(hover: hover)").matches ? "Choose a zone to see what it gets; arrow keys go to its neighbors." : "Touch a zone to see what it gets.";
  readout.textContent = hint;
  readout.hidden = false;
  const told = (zone) => {
    const cells = rows?.[page.place.get(zone)] && [...page.row(zone).cells];
    if (!cells) return zones.get(zone)?.querySelector("title").textContent ?? hint;
    const text = cells.map((cell) => cell.textContent.trim());
    return `Zone ${text[0]}: ${text[1]} ${heads[1]}` + text.slice(2).map((value, i) => ` · ${heads[i + 2]} ${value}`).join("");
  };
  const near = (point) => { // the zone of a place where shapes are joined
    let best = null, least = Infinity;
    data.zones.forEach((zone, i) => {
      const d = (data.at[2 * i] - point.x) ** 2 + (data.at[2 * i + 1] - point.y) ** 2;
      if (d < least) [best, least] = [zone, d];
    });
    return best;
  };
  svg.addEventListener("click", (event) => {
    const shape = event.target.closest("path.z, path.r");
    if (!shape || moved > 4) return;
    if (shape.classList.contains("cut")) readout.textContent = shape.querySelector("title").textContent;
    else if (shape.dataset.zone) page.choose(+shape.dataset.zone, "map");
    else if (data.at?.length) page.choose(near(at(event)), "map");
    else readout.textContent = shape.querySelector("title").textContent;
  });
  svg.addEventListener("pointerover", (event) => {
    const shape = event.target.closest("path.z, path.r");
    if (shape && page.chosen === null) readout.textContent = shape.querySelector("title")?.textContent ?? hint;
  });
  // One stop of the tab key; arrow keys go to the neighbor in their direction.
  const ways = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowDown: [0, 1], ArrowUp: [0, -1] };
  const neighbor = (zone, [dx, dy]) => {
    const i = page.place.get(zone);
    let best = null, least = Infinity;
    data.zones.forEach((other, k) => {
      const x = data.at[2 * k] - data.at[2 * i], y = data.at[2 * k + 1] - data.at[2 * i + 1], along = x * dx + y * dy, aside = Math.abs(x * dy) + Math.abs(y * dx);
      if (k !== i && along > 0 && aside <= 1.8 * along && along + 2 * aside < least) [best, least] = [other, along + 2 * aside];
    });
    return best;
  };
  const stops = [...zones.values()];
  for (const path of stops) path.setAttribute("tabindex", "-1");
  if (stops.length) stops[0].setAttribute("tabindex", "0");
  else if (data.at?.length) svg.setAttribute("tabindex", "0");
  svg.addEventListener("keydown", (event) => {
    if (event.key === "Escape") { page.choose(null, "map"); return; }
    const way = ways[event.key];
    const from = event.target.dataset.zone ? +event.target.dataset.zone : page.chosen ?? data.zones[0];
    if (!way || !data.at?.length) {
      if ((event.key === "Enter" || event.key === " ") && event.target.dataset.zone) { event.preventDefault(); page.choose(from, "map"); }
      return;
    }
    event.preventDefault();
    const next = neighbor(from, way);
    if (next !== null) page.choose(next, "keys");
  });
  page.listeners.push((zone, from) => {
    readout.textContent = zone === null ? hint : told(zone);
    mark(zone === null ? [] : [zone]);
    const path = zones.get(zone);
    if (!path) return;
    for (const other of stops) other.setAttribute("tabindex", "-1");
    path.setAttribute("tabindex", "0");
    if (from === "keys") path.focus({ preventScroll: true });
  });
}
