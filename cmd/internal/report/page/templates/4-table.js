// Tables: every zone's row chooses it; findings and patches mark theirs; the table of zones
// sorts and filters.
{
  const table = document.getElementById("zones-table"), body = table?.tBodies[0];
  const byZone = new Map();
  if (body) for (const row of body.rows) byZone.set(+row.cells[0].textContent, row);
  page.row = (zone) => byZone.get(zone);
  const listed = [...document.querySelectorAll("[data-zones]")].map((cell) => ({ row: cell.closest("tr"), cell, zones: cell.dataset.zones.split(" ").map(Number) }));
  for (const one of listed) {
    if (!page.mark) break;
    const button = document.createElement("button");
    button.type = "button"; button.className = "onmap"; button.textContent = "on the map";
    button.addEventListener("click", () => {
      if (one.zones.length === 1) page.choose(one.zones[0], "list");
      else { page.choose(null, "list"); page.mark(one.zones); }
      document.getElementById("map").scrollIntoView({ block: "nearest" });
    });
    one.cell.append(" ", button);
  }
  page.listeners.push((zone, from) => {
    for (const row of document.querySelectorAll("tr.chosen")) row.classList.remove("chosen");
    for (const one of listed) if (one.zones.includes(zone)) one.row.classList.add("chosen");
    const row = byZone.get(zone);
    if (!row) return;
    row.classList.add("chosen");
    for (const other of body.querySelectorAll("[tabindex]")) other.removeAttribute("tabindex");
    row.tabIndex = 0;
    const box = table.parentElement; // scroll the table alone, not the page
    if (from !== "row") box.scrollTop = row.offsetTop - box.clientHeight / 2;
  });
  if (table) {
    body.addEventListener("click", (event) => {
      const row = event.target.closest("tr");
      if (row) page.choose(+row.cells[0].textContent, "row");
    });
    if (body.rows.length) body.rows[0].tabIndex = 0;
    body.addEventListener("keydown", (event) => {
      const row = event.target.closest("tr"), step = { ArrowDown: "nextElementSibling", ArrowUp: "previousElementSibling" }[event.key];
      if (event.key === "Enter") page.choose(+row.cells[0].textContent, "row");
      if (!step) return;
      event.preventDefault();
      let next = row[step];
      while (next?.hidden) next = next[step];
      if (next) { page.choose(+next.cells[0].textContent, "row"); next.focus(); }
    });
    const value = (row, i) => { const text = row.cells[i].textContent.trim(), number = parseFloat(text.replaceAll(",", "")); return Number.isNaN(number) ? text : number; };
    [...table.tHead.rows[0].cells].forEach((th, i) => {
      const button = document.createElement("button");
      button.type = "button"; button.className = "sort"; button.append(...th.childNodes); th.append(button);
      button.addEventListener("click", () => {
        const down = th.getAttribute("aria-sort") === "ascending";
        for (const other of table.tHead.rows[0].cells) other.removeAttribute("aria-sort");
        th.setAttribute("aria-sort", down ? "descending" : "ascending");
        const rows = [...body.rows].map((row) => [value(row, i), row]);
        rows.sort(([a], [b]) => (typeof a === typeof b ? (a < b ? -1 : a > b ? 1 : 0) : typeof a === "number" ? -1 : 1) * (down ? -1 : 1));
        body.append(...rows.map(([, row]) => row));
      });
    });
    const box = document.getElementById("zones-filter"), count = document.getElementById("zones-count");
    const filter = () => {
      const words = box.value.toLowerCase().split(/\s+/).filter(Boolean);
      let shown = 0;
      for (const row of body.rows) {
        const text = [...row.cells].map((cell) => cell.textContent.trim()).join(" ").toLowerCase();
        row.hidden = !words.every((word) => text.includes(word));
        shown += !row.hidden;
      }
      count.textContent = `${shown} of ${body.rows.length} zones`;
    };
    box.addEventListener("input", filter);
    box.closest("p").hidden = false;
    filter();
  }
  zoneByAddress();
}
