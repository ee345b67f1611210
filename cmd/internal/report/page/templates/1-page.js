"use strict";
// The page is whole without a script. With one its parts are linked: a zone that is chosen
// on the map, in the table or by a finding is chosen everywhere, and stands in the address.
document.documentElement.classList.add("js");
const data = JSON.parse(document.getElementById("data").textContent);
if (typeof data.zones === "number") data.zones = Array.from({ length: data.zones }, (_, i) => i + 1);
const page = {
  listeners: [],
  chosen: null, // number of a zone
  // choose makes a zone the chosen one, or none, and tells all parts.
  choose(zone, from) {
    page.chosen = zone;
    const address = zone === null ? location.pathname + location.search : "#zone=" + zone;
    try { history.replaceState(null, "", address); } catch { /* a viewer that keeps its address */ }
    for (const listener of page.listeners) listener(zone, from);
  },
  place: new Map(data.zones.map((zone, i) => [zone, i])), // of a zone in the data
};
function zoneByAddress() {
  const asked = /^#zone=(\d+)$/.exec(location.hash);
  if (asked && page.place.has(+asked[1])) page.choose(+asked[1], "address");
}
addEventListener("hashchange", zoneByAddress);
