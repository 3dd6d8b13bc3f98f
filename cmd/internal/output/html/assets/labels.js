// Labels lays out what keeps its size on screen: texts, numbered marks, scale bar, directions.
// Marks are told first, so that texts keep off their places; then marks find room round texts.
const roomyMarks = 70; // with more in view, marks of one comment that are near each other are one

class Labels {
  constructor(stage) {
    this.stage = stage;
    this.px = stage.px;
    this.view = stage.view;
    this.top = stage.top;
    this.taken = []; // boxes of texts
    this.marks = [];
    this.lines = []; // what texts had better not lie on: x0, y0, x1, y1
    this.drawing = stage.drawing;
    const v = this.view, px = this.px;
    if (!this.drawing.noScale) this.taken.push([v[0], v[1], v[0] + 190 * px, v[1] + 42 * px]);
    if (this.drawing.compass) this.taken.push([v[2] - 105 * px, v[1], v[2], v[1] + 48 * px]);
  }

  visible(x, y, room = 0) {
    const v = this.view, d = room * this.px;
    return x > v[0] - d && x < v[2] + d && y > v[1] - d && y < v[3] + d;
  }

  line(l) { if (crosses(l, this.view)) this.lines.push(l); }

  // text writes lines at a place in the building, or at the best of opt.or; size in screen
  // pixels. When it would cover another text or the place of a mark and may be left out, it is.
  text(x, y, lines, opt = {}) {
    const size = opt.size || 12, px = this.px;
    if (!Array.isArray(lines)) lines = [lines];
    lines = lines.filter((l) => l);
    if (!lines.length) return false;
    let w = Math.max(...lines.map((l) => l.length)) * size * 0.56, h = lines.length * size * 1.22;
    const ax = opt.anchor === "start" ? 0 : opt.anchor === "end" ? -w : -w / 2;
    const boxAt = (p) => (opt.turn ? [p[0] - (h / 2) * px, p[1] - (w / 2) * px, p[0] + (h / 2) * px, p[1] + (w / 2) * px]
      : [p[0] + ax * px, p[1] - (h / 2) * px, p[0] + (ax + w) * px, p[1] + (h / 2) * px]);
    let best = null;
    for (const p of [[x, y], ...(opt.or || [])]) {
      if (!this.visible(p[0], p[1])) continue;
      const box = boxAt(p), cost = this.cost(box, opt.within);
      if (!best || cost < best.cost) best = { p, box, cost };
      if (cost === 0) break;
    }
    if (!best || (!opt.always && best.cost >= 10)) return false;
    if (this.stage.fixed && this.leaves(best.box)) return false; // the next part of the drawing has it
    [x, y] = best.p;
    this.taken.push(best.box);
    const t = svg("text", { class: "label " + (opt.cls || ""), "font-size": size * px, "text-anchor": opt.anchor || "middle", transform: opt.turn ? `rotate(${opt.turn} ${x} ${-y})` : null });
    lines.forEach((l, i) => t.append(svg("tspan", { x, y: -y + ((i + 0.78) * size * 1.22 - h / 2) * px, class: i ? null : opt.first }, l)));
    this.top.append(t);
    return true;
  }

  // cost says how bad a place for a text is: 10 and more where it covers something.
  cost(b, within) {
    let c = 0;
    for (const t of this.taken) if (meets(t, b)) c += 100;
    for (const m of this.marks) if (m.x > b[0] && m.x < b[2] && m.y > b[1] && m.y < b[3]) c += 10;
    for (const l of this.lines) if (crosses(l, b)) c += 3;
    if (this.leaves(b)) c += 4;
    if (within && ![[b[0], b[1]], [b[2], b[1]], [b[0], b[3]], [b[2], b[3]]].every(([x, y]) => inside(within, x, y))) c += 4;
    return c;
  }

  leaves(b) {
    const v = this.view;
    return b[0] < v[0] || b[2] > v[2] || b[1] < v[1] || b[3] > v[3];
  }

  mark(x, y, item) { if (this.visible(x, y)) this.marks.push({ x, y, item }); }

  finish() {
    this.drawMarks();
    this.furniture();
  }

  // drawMarks sets numbered marks beside their places, none over another.
  drawMarks() {
    const px = this.px, v = this.view, placed = [], groups = this.grouped();
    for (const m of groups) {
      const met = m.item.o === "meets", label = met ? "" : markWord(m.items);
      const w = met ? 14 : 14 + 7.2 * Math.max(1, label.length), h = met ? 14 : 19;
      const at = this.free(m, w * px, h * px, placed, v);
      placed.push([at[0] - (w / 2) * px, at[1] - (h / 2) * px, at[0] + (w / 2) * px, at[1] + (h / 2) * px]);
      this.top.append(this.markNode(m, at, w, h, label));
    }
  }

  // grouped puts marks of one comment that would fall together into one.
  grouped() {
    const out = [], seen = this.marks;
    const d = seen.length > roomyMarks ? 70 * this.px : Math.max(150, 5 * this.px);
    for (const m of seen) {
      const g = out.find((o) => o.item.c === m.item.c && o.item.o === m.item.o && Math.abs(o.x - m.x) < d && Math.abs(o.y - m.y) < d);
      if (g) g.items.push(m.item); else out.push({ x: m.x, y: m.y, item: m.item, items: [m.item] });
    }
    return out;
  }

  // free finds room for a mark round its place: off texts and other marks, and never over the
  // place of another mark.
  free(m, w, h, placed, v) {
    const px = this.px;
    let second = null, third = null;
    for (let r = 0; r < 24; r++) {
      const d = (34 + 13 * r) * px;
      for (let k = 0; k < 12; k++) {
        const a = Math.PI / 4 + (k * Math.PI) / 6;
        const x = m.x + d * Math.cos(a), y = m.y + d * Math.sin(a);
        const b = [x - w / 2 - 2 * px, y - h / 2 - 2 * px, x + w / 2 + 2 * px, y + h / 2 + 2 * px];
        if (b[0] < v[0] || b[2] > v[2] || b[1] < v[1] || b[3] > v[3] || placed.some((p) => meets(p, b))) continue;
        const covers = this.marks.some((o) => o.x > b[0] && o.x < b[2] && o.y > b[1] && o.y < b[3]);
        const text = this.taken.some((t) => meets(t, b));
        if (!covers && !text) return [x, y];
        if (!covers && !second) second = [x, y];
        if (!third) third = [x, y];
      }
    }
    return second || third || [m.x, m.y];
  }

  markNode(m, at, w, h, label) {
    const px = this.px, [x, y] = at, o = m.item.o;
    const W = (w / 2) * px, H = (h / 2) * px, c = 6 * px;
    const shape = {
      deficient: () => svg("path", { d: `M${x - W} ${-y}L${x - W + c} ${-y - H}H${x + W - c}L${x + W} ${-y}L${x + W - c} ${-y + H}H${x - W + c}Z` }),
      "not-shown": () => svg("rect", { x: x - W, y: -y - H, width: 2 * W, height: 2 * H, "stroke-dasharray": `${4 * px} ${2.5 * px}` }),
      exempt: () => svg("rect", { x: x - W, y: -y - H, width: 2 * W, height: 2 * H, rx: H }),
      note: () => svg("rect", { x: x - W, y: -y - H, width: 2 * W, height: 2 * H }),
      meets: () => svg("path", { d: `M${x - 5 * px} ${-y}L${x - 1.5 * px} ${-y + 4 * px}L${x + 5 * px} ${-y - 5 * px}`, class: "tick" }),
    }[o] || (() => svg("rect", { x: x - W, y: -y - H, width: 2 * W, height: 2 * H }));
    const more = m.items.slice(1).map((it) => (it.n ? it.n + ": " : "") + it.pl);
    const words = `${o === "meets" ? "" : "Comment " + (m.item.n || "") + ", "}${outcomeWord(o)}: ${m.item.t}. ${m.item.pl}${more.length ? "; also " + more.slice(0, 6).join("; ") + (more.length > 6 ? " and more" : "") : ""}`;
    const inner = svg("g", { class: "mark-face" }, shape(), label && svg("text", { x, y: -y + 4.6 * px, "font-size": 13 * px, "text-anchor": "middle" }, label));
    const g = svg("g", { class: "mark " + o + (m.items.some((it) => it.key === lit) ? " lit-mark" : ""), "data-key": (m.items.find((it) => it.key === lit) || m.item).key }, svg("title", {}, words),
      svg("path", { d: `M${m.x} ${-m.y}L${x} ${-y}`, class: "leader" }), svg("circle", { cx: m.x, cy: -m.y, r: 3 * px, class: "spot" }), inner);
    if (this.stage.onMark) {
      put(g, { tabindex: 0, role: "link", "aria-label": words, on: {
        click: () => this.stage.onMark(m.item), keydown: (e) => { if (e.key === "Enter" || e.key === " ") { this.stage.onMark(m.item); e.preventDefault(); e.stopPropagation(); } },
      } }, []);
    }
    return g;
  }

  // furniture is the scale bar and, on plans, the directions, in the corners of the view.
  furniture() {
    const v = this.view, px = this.px, d = this.stage.drawing;
    if (!d.noScale) {
      const steps = scaleSteps().filter((s) => s[0] / px <= 150);
      const [len, word] = steps.length ? steps[steps.length - 1] : scaleSteps()[0];
      const x = v[0] + 12 * px, y = -v[1] - 14 * px, h = 5 * px;
      this.top.append(svg("g", { class: "scale" },
        svg("rect", { class: "backing", x: x - 6 * px, y: y - 20 * px, width: Math.max(len, 60 * px) + 12 * px, height: 28 * px }),
        svg("rect", { class: "bar", x, y, width: len / 2, height: h }), svg("rect", { class: "bar hollow", x: x + len / 2, y, width: len / 2, height: h }),
        svg("text", { x, y: y - 5 * px, "font-size": 11 * px }, word)));
    }
    if (d.compass) {
      const dir = data.north || [-data.modelX[1], data.modelX[0]], l = Math.hypot(dir[0], dir[1]) || 1, ux = dir[0] / l, uy = dir[1] / l;
      const cx = v[2] - 26 * px, cy = v[1] + 25 * px, r = 15 * px;
      const tip = [cx + ux * r, -(cy + uy * r)];
      this.top.append(svg("g", { class: "compass" }, svg("circle", { cx, cy: -cy, r: 21 * px, class: "backing" }),
        svg("path", { d: `M${tip[0]} ${tip[1]}L${cx - ux * r * 0.7 - uy * r * 0.55} ${-(cy - uy * r * 0.7 + ux * r * 0.55)}L${cx - ux * r * 0.3} ${-(cy - uy * r * 0.3)}L${cx - ux * r * 0.7 + uy * r * 0.55} ${-(cy - uy * r * 0.7 - ux * r * 0.55)}Z` }),
        svg("text", { x: cx - 24 * px, y: -cy + 4 * px, "font-size": 11 * px, "text-anchor": "end" }, data.north ? "North" : "Plan north")));
    }
  }
}
let lit = null; // key of the item that is pointed out

// markWord is what a mark of several places says: the numbers, or the first and how many more.
function markWord(items) {
  const n = items.map((it) => it.n || "");
  return n.length === 1 ? n[0] : n.length === 2 ? n.join(", ") : `${n[0]} +${n.length - 1}`;
}

// crosses reports whether a line passes through a box.
function crosses(l, b) {
  let t0 = 0, t1 = 1;
  const dx = l[2] - l[0], dy = l[3] - l[1];
  for (const [p, q] of [[-dx, l[0] - b[0]], [dx, b[2] - l[0]], [-dy, l[1] - b[1]], [dy, b[3] - l[1]]]) {
    if (p === 0) { if (q < 0) return false; continue; }
    const t = q / p;
    if (p < 0) t0 = Math.max(t0, t); else t1 = Math.min(t1, t);
  }
  return t0 <= t1;
}
