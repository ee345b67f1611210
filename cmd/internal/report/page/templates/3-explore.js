// Another loading: which zones cross the label, and the acres off it. It takes the rates
// and the areas of the page and one relation, stabilizer = loading x dry rate / dry of a ton.
// What is printed elsewhere stays as it is.
if (document.getElementById("explore") && data.liquids?.length) {
  const root = document.getElementById("explore");
  const part = (name) => document.getElementById("explore-" + name);
  const [acres, , rateUnit, loadingUnit] = data.units;
  let liquid = data.liquids[0], loading = liquid.loading;
  const classOf = (i, at) => {
    const rate = data.rate[i];
    if (rate < 0) return "no-rate";
    if (rate === 0) return "no-dry";
    const s = at * rate / data.per;
    if (s < liquid.min * (1 - 1e-9)) return "below";
    if (s > liquid.max * (1 + 1e-9)) return "above";
    const left = liquid.seasons?.[i] ?? liquid.season;
    return left && s > left * (1 + 1e-9) ? "season" : "within";
  };
  const sums = (at) => {
    const sum = { below: 0, within: 0, above: 0, season: 0, "no-dry": 0, "no-rate": 0 };
    data.rate.forEach((_, i) => { sum[classOf(i, at)] += data.area[i]; });
    return sum;
  };
  const off = (at) => { const sum = sums(at); return sum.below + sum.above + sum.season; };
  const digits = (v, n) => v.toLocaleString("en-US", { minimumFractionDigits: n, maximumFractionDigits: n });
  const rates = data.rate.filter((rate) => rate > 0), low = rates.reduce((a, b) => Math.min(a, b)), high = rates.reduce((a, b) => Math.max(a, b));
  const least = () => Math.min(data.per * liquid.min / high * 0.8, liquid.loading * 0.9), most = () => Math.max(data.per * liquid.max / low * 1.1, liquid.loading * 1.1);
  const draw = (name, attributes, text) => {
    const e = document.createElementNS(part("curve").namespaceURI, name);
    for (const key in attributes) e.setAttribute(key, attributes[key]);
    if (text !== undefined) e.textContent = text;
    return e;
  };
  part("unit").textContent = loadingUnit;
  root.querySelectorAll(".acres").forEach((e) => { e.textContent = acres; });
  const W = 7600, H = 2000, left = 700, right = 7500, top = 380, bottom = 1600;
  const x = (v, from, to) => left + (v - from) / (to - from) * (right - left);

  let curve = null; // what of the curve changes only with the liquid
  function plotCurve() {
    const from = least(), to = most(), steps = 240, points = [];
    for (let i = 0; i <= steps; i++) { const at = from + (to - from) * i / steps; points.push([at, off(at)]); }
    const peak = Math.max(...points.map(([, v]) => v), 1e-9), y = (v) => bottom - v / peak * (bottom - top);
    curve = { from, to, y };
    part("curve-body").replaceChildren(
      draw("path", { class: "axis", d: `M${left} ${bottom}H${right}` }),
      draw("path", { class: "line", d: "M" + points.map(([at, v]) => Math.round(x(at, from, to)) + " " + Math.round(y(v))).join("L") }),
      draw("path", { class: "limit", d: `M${Math.round(x(liquid.loading, from, to))} ${top}V${bottom}` }),
      draw("text", { x: Math.round(x(liquid.loading, from, to)), y: top - 70, class: "mid" }, "as printed"),
      draw("path", { class: "now", d: "" }), draw("text", { x: left - 60, y: top + 60, class: "end" }, digits(peak, 0)),
      draw("text", { x: left - 60, y: bottom, class: "end" }, "0"),
      draw("text", { x: left, y: bottom + 280 }, digits(from, 0)), draw("text", { x: right, y: bottom + 280, class: "end" }, digits(to, 0) + " " + loadingUnit));
  }
  const bins = 36;
  function plotBars() {
    const from = low, size = (high - low) / bins || 1, to = from + size * bins, stacks = Array.from({ length: bins }, () => ({}));
    data.rate.forEach((rate, i) => {
      if (rate <= 0) return;
      const stack = stacks[Math.min(Math.floor((rate - from) / size), bins - 1)], c = classOf(i, loading);
      stack[c] = (stack[c] ?? 0) + data.area[i];
    });
    const peak = Math.max(...stacks.map((s) => Object.values(s).reduce((a, b) => a + b, 0)));
    const parts = [], clip = (v) => Math.min(Math.max(x(v, from, to), left), right);
    const a = clip(data.per * liquid.min / loading), b = clip(data.per * liquid.max / loading);
    parts.push(draw("rect", { class: "band", x: a, y: top, width: Math.max(b - a, 0), height: bottom - top }));
    stacks.forEach((stack, i) => {
      let y = bottom;
      for (const c of ["below", "within", "above", "season"]) {
        const h = (stack[c] ?? 0) / peak * (bottom - top);
        if (h > 0) parts.push(draw("rect", { class: "bar", fill: data.inks[c], x: x(from + i * size, from, to) + 10, y: y -= h, width: (right - left) / bins - 20, height: h }));
      }
    });
    parts.push(draw("path", { class: "axis", d: `M${left} ${bottom}H${right}` }),
      draw("text", { x: left, y: bottom + 280 }, digits(from, 0)), draw("text", { x: right, y: bottom + 280, class: "end" }, digits(to, 0) + " " + data.units[1]),
      draw("text", { x: left - 60, y: top + 60, class: "end" }, digits(peak, 0)));
    part("bars-body").replaceChildren(...parts);
  }
  function paint() { // the map
    if (!page.show) return;
    page.show("map-verdict");
    if (data.views) { page.fill(data.rate.map((_, i) => data.inks[classOf(i, loading)])); return; }
    if (!data.at?.length) return;
    const xs = data.at.filter((_, i) => i % 2 === 0), ys = data.at.filter((_, i) => i % 2);
    const extent = (list) => list.reduce((a, b) => Math.max(a, b)) - list.reduce((a, b) => Math.min(a, b));
    const scale = Math.sqrt(extent(xs) * extent(ys) / data.area.reduce((a, b) => a + b, 0)), paths = {};
    data.rate.forEach((_, i) => {
      const side = Math.round(Math.sqrt(data.area[i]) * scale), c = classOf(i, loading);
      paths[c] = (paths[c] ?? "") + `M${Math.round(xs[i] - side / 2)} ${Math.round(ys[i] - side / 2)}h${side}v${side}h${-side}z`;
    });
    document.getElementById("tried").replaceChildren(...Object.keys(paths).map((c) => draw("path", { fill: data.inks[c], d: paths[c] })));
  }
  const names = { below: "below the label", within: "within the label", above: "above the label", season: "over the season maximum" };
  function update(touched) {
    const sum = sums(loading), at = digits(loading, 1);
    part("number").value = Math.round(loading * 10) / 10;
    part("range").value = loading;
    part("range").setAttribute("aria-valuetext", at + " " + loadingUnit);
    part("shares").replaceChildren(...Object.keys(names).filter((c) => c !== "season" || sum.season > 0).map((c) => {
      const box = document.createElement("div"), dt = document.createElement("dt"), dd = document.createElement("dd"), b = document.createElement("b");
      dt.textContent = names[c]; b.textContent = digits(sum[c], 2) + " " + acres; b.dataset.tried = c; dd.append(b); box.append(dt, dd);
      return box;
    }));
    const s = (rate) => { // a rate that is off the label doesn't read as the limit
      const v = loading * rate / data.per, ends = [liquid.min, liquid.max];
      let n = 1;
      while (n < 5 && ends.some((end) => Math.abs(v - end) > 1e-5 && digits(v, n) === digits(end, n))) n++;
      return digits(v, n);
    };
    part("said").textContent = `At ${at} ${loadingUnit} the lowest dry rate gets ${s(low)} ${rateUnit}, the highest ${s(high)}; the label has ${digits(liquid.min, 1)} to ${digits(liquid.max, 1)}. ` +
      (Math.abs(loading - liquid.loading) < 1e-9 * loading ? "This is the loading that the page was printed for." : "Tried here alone: sheets, layers and tables are for the loading that was printed.");
    part("curve-body").querySelector(".now").setAttribute("d", `M${Math.round(x(Math.min(Math.max(loading, curve.from), curve.to), curve.from, curve.to))} ${top}V${bottom}`);
    plotBars();
    if (touched) paint();
  }
  const set = (value) => { if (value > 0) { loading = value; update(true); } };
  function choose(k) {
    liquid = data.liquids[k]; loading = liquid.loading;
    Object.assign(part("range"), { min: least(), max: most(), step: "any" });
    plotCurve();
  }
  part("range").addEventListener("input", (event) => set(+event.target.value));
  part("range").addEventListener("keydown", (event) => {
    const by = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10 }[event.key];
    if (by) { event.preventDefault(); set(Math.round(loading * 10 + by * 10) / 10); }
  });
  part("number").addEventListener("change", (event) => set(+event.target.value));
  part("printed").addEventListener("click", () => set(liquid.loading));
  const drag = (event) => {
    if (event.type === "pointermove" && !event.buttons) return;
    const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(part("curve").getScreenCTM().inverse());
    set(curve.from + (Math.min(Math.max(point.x, left), right) - left) / (right - left) * (curve.to - curve.from));
  };
  part("curve").addEventListener("pointerdown", drag);
  part("curve").addEventListener("pointermove", drag);
  const menu = part("liquid");
  data.liquids.forEach((one, k) => menu.append(new Option(one.name, k)));
  menu.addEventListener("change", () => { choose(+menu.value); update(true); });
  menu.closest("p").hidden = data.liquids.length < 2;
  choose(0);
  root.hidden = false;
  update(false);
}
