// The stage shows one drawing. The geometry is drawn once, in millimetres; labels, marks and
// the scale bar keep their size on screen and are laid out anew whenever the view changes.
let stages = 0;
class Stage {
  // fixed stages (print, sheets) have a size of their own and no controls.
  constructor(host, opt) {
    this.host = host;
    this.id = "h" + ++stages; // hatches of several drawings on one page have ids of their own
    this.fixed = opt && opt.fixed;
    this.onMark = (opt && opt.onMark) || null;
    this.svg = svg("svg", { class: "drawing", role: "img", preserveAspectRatio: "xMidYMid meet" });
    this.defs = svg("defs");
    this.title = svg("title");
    this.ground = svg("g", { class: "ground" });
    this.top = svg("g", { class: "top" });
    this.svg.append(this.title, this.defs, this.ground, this.top);
    host.append(this.svg);
    this.opt = { framing: true, services: true, marks: true };
    if (!this.fixed) this.controls();
  }

  size() {
    if (this.fixed) return this.fixed;
    const r = this.host.getBoundingClientRect();
    return [Math.max(200, r.width), Math.max(160, r.height)];
  }

  // drawing: {title, box, draw(g, stage), label(ctx)}
  show(drawing, keepView) {
    this.drawing = drawing;
    this.title.textContent = drawing.title;
    this.ground.replaceChildren();
    drawing.draw(this.ground, this);
    if (!this.fixed) this.fit();
    if (!keepView || !this.view) this.look((!this.fixed && drawing.start) || drawing.box);
    else this.update();
  }

  // fit gives the stage the shape of the drawing, within what the window holds.
  fit() {
    const b = this.drawing.start || this.drawing.box, w = this.host.clientWidth;
    const h = Math.max(260, Math.min(window.innerHeight * 0.6, 820, (w * (b[3] - b[1])) / (b[2] - b[0] || 1)));
    this.host.style.height = Math.round(h) + "px";
  }

  whole() { this.look(this.drawing.box); }

  // look shows a box (x0, y0, x1, y1; y upwards) with the shape of the stage.
  look(b) {
    const [w, h] = this.size();
    let bw = Math.max(b[2] - b[0], 200), bh = Math.max(b[3] - b[1], 200);
    const cx = (b[0] + b[2]) / 2, cy = (b[1] + b[3]) / 2;
    if (bw / bh < w / h) bw = (bh * w) / h; else bh = (bw * h) / w;
    this.view = [cx - bw / 2, cy - bh / 2, cx + bw / 2, cy + bh / 2];
    this.update();
  }

  update() {
    const [w, h] = this.size(), v = this.view;
    this.svg.setAttribute("viewBox", [v[0], -v[3], v[2] - v[0], v[3] - v[1]].map((x) => Math.round(x * 10) / 10).join(" "));
    if (this.fixed) { this.svg.setAttribute("width", w); this.svg.setAttribute("height", h); }
    this.px = (v[2] - v[0]) / w;
    this.defs.replaceChildren(...hatches(this.px, this.id));
    const ctx = new Labels(this);
    this.top.replaceChildren();
    this.drawing.label(ctx);
    ctx.finish();
  }

  zoom(f, at) {
    const v = this.view, c = at || [(v[0] + v[2]) / 2, (v[1] + v[3]) / 2];
    const w = v[2] - v[0], full = this.drawing.box[2] - this.drawing.box[0] + this.drawing.box[3] - this.drawing.box[1];
    if (w / f < 150 || w / f > 6 * full) return;
    this.view = [c[0] + (v[0] - c[0]) / f, c[1] + (v[1] - c[1]) / f, c[0] + (v[2] - c[0]) / f, c[1] + (v[3] - c[1]) / f];
    this.update();
  }

  pan(dx, dy) {
    const v = this.view, x = dx * (v[2] - v[0]), y = dy * (v[3] - v[1]);
    this.view = [v[0] + x, v[1] + y, v[2] + x, v[3] + y];
    this.update();
  }

  at(e) {
    const r = this.svg.getBoundingClientRect(), v = this.view;
    return [v[0] + ((e.clientX - r.left) / r.width) * (v[2] - v[0]), v[3] - ((e.clientY - r.top) / r.height) * (v[3] - v[1])];
  }

  controls() {
    const host = this.host;
    host.addEventListener("keydown", (e) => {
      if (e.ctrlKey || e.metaKey || e.altKey) return;
      const act = {
        ArrowLeft: () => this.pan(-0.15, 0), ArrowRight: () => this.pan(0.15, 0), ArrowUp: () => this.pan(0, 0.15), ArrowDown: () => this.pan(0, -0.15),
        "+": () => this.zoom(1.4), "=": () => this.zoom(1.4), "-": () => this.zoom(1 / 1.4), 0: () => this.whole(),
      }[e.key];
      if (act) { act(); e.preventDefault(); }
    });
    host.addEventListener("wheel", (e) => {
      if (!e.ctrlKey && !e.metaKey) return; // the page keeps scrolling
      this.zoom(e.deltaY < 0 ? 1.2 : 1 / 1.2, this.at(e));
      e.preventDefault();
    }, { passive: false });
    host.addEventListener("dblclick", (e) => { this.zoom(1.8, this.at(e)); });
    let from = null;
    host.addEventListener("pointerdown", (e) => {
      if (e.button !== 0 || e.target.closest(".mark, .goto")) return;
      from = { x: e.clientX, y: e.clientY, v: this.view, id: e.pointerId };
    });
    host.addEventListener("pointermove", (e) => {
      if (!from || e.pointerId !== from.id) return;
      if (Math.hypot(e.clientX - from.x, e.clientY - from.y) < 4) return;
      if (!host.hasPointerCapture(e.pointerId)) host.setPointerCapture(e.pointerId);
      const dx = (e.clientX - from.x) * this.px, dy = (e.clientY - from.y) * this.px;
      this.view = [from.v[0] - dx, from.v[1] + dy, from.v[2] - dx, from.v[3] + dy];
      this.update();
    });
    const end = () => { from = null; };
    host.addEventListener("pointerup", end);
    host.addEventListener("pointercancel", end);
    let width = 0;
    new ResizeObserver(() => {
      if (!this.drawing || !this.view) return;
      if (host.clientWidth !== width) { width = host.clientWidth; this.fit(); }
      this.look(this.view);
    }).observe(host);
  }
}

// Hatches tell states apart without colour. Their steps keep their size on screen.
function hatches(px, id) {
  const line = (name, cls, step) => {
    const n = step * px, q = n / 4;
    return svg("pattern", { id: id + name, width: n, height: n, patternUnits: "userSpaceOnUse" },
      svg("path", { class: cls, "stroke-width": px, d: `M0 ${n}L${n} 0M${-q} ${q}L${q} ${-q}M${n - q} ${n + q}L${n + q} ${n - q}` }));
  };
  return [line("over", "h-over", 7), line("joined", "h-joined", 13), line("gap", "h-over", 5)];
}

// Labels lays out what keeps its size on screen.
class Labels {
  constructor(stage) {
    this.stage = stage;
    this.px = stage.px;
    this.view = stage.view;
    this.top = stage.top;
    this.taken = [];
    this.marks = [];
  }

  visible(x, y, room = 0) {
    const v = this.view, d = room * this.px;
    return x > v[0] - d && x < v[2] + d && y > v[1] - d && y < v[3] + d;
  }

  // text writes lines at a place in the building; size in screen pixels. When it would cover
  // another text and may be left out, it is.
  text(x, y, lines, opt = {}) {
    const size = opt.size || 12, px = this.px;
    if (!Array.isArray(lines)) lines = [lines];
    lines = lines.filter((l) => l);
    if (!lines.length || !this.visible(x, y)) return false;
    const w = Math.max(...lines.map((l) => l.length)) * size * 0.56, h = lines.length * size * 1.22;
    const ax = opt.anchor === "start" ? 0 : opt.anchor === "end" ? -w : -w / 2;
    const box = [x + ax * px, y - (h / 2) * px, x + (ax + w) * px, y + (h / 2) * px];
    if (!opt.always && this.taken.some((t) => meets(t, box))) return false;
    if (!opt.free) this.taken.push(box);
    const t = svg("text", { class: "label " + (opt.cls || ""), "font-size": size * px, "text-anchor": opt.anchor || "middle", transform: opt.turn ? `rotate(${opt.turn} ${x} ${-y})` : null });
    lines.forEach((l, i) => t.append(svg("tspan", { x, y: -y + ((i + 0.78) * size * 1.22 - h / 2) * px, class: i ? null : opt.first }, l)));
    this.top.append(t);
    return true;
  }

  mark(x, y, item) { this.marks.push({ x, y, item }); }

  finish() {
    this.drawMarks();
    this.furniture();
  }

  // drawMarks sets numbered marks beside their places, none over another.
  drawMarks() {
    const px = this.px, v = this.view, placed = [];
    // Marks of one comment at one place are one mark.
    const merged = new Map();
    for (const m of this.marks) {
      if (!this.visible(m.x, m.y)) continue;
      const key = m.item.c + "/" + m.item.o + "/" + Math.round(m.x / 150) + "/" + Math.round(m.y / 150);
      if (!merged.has(key)) merged.set(key, { x: m.x, y: m.y, item: m.item, more: 0 });
      else merged.get(key).more++;
    }
    for (const m of merged.values()) {
      const label = m.item.o === "meets" ? "" : (m.item.n || "") + (m.more ? "+" : "");
      const w = m.item.o === "meets" ? 14 : 14 + 7.2 * Math.max(1, label.length), h = m.item.o === "meets" ? 14 : 19;
      const at = this.free(m, w * px, h * px, placed, v);
      placed.push([at[0] - (w / 2) * px, at[1] - (h / 2) * px, at[0] + (w / 2) * px, at[1] + (h / 2) * px]);
      this.top.append(this.markNode(m, at, w, h, label));
    }
  }

  free(m, w, h, placed, v) {
    const px = this.px;
    let fallback = null;
    for (let r = 0; r < 11; r++) {
      const d = (34 + 13 * r) * px;
      for (let k = 0; k < 12; k++) {
        const a = Math.PI / 4 + (k * Math.PI) / 6;
        const x = m.x + d * Math.cos(a), y = m.y + d * Math.sin(a);
        const b = [x - w / 2 - 2 * px, y - h / 2 - 2 * px, x + w / 2 + 2 * px, y + h / 2 + 2 * px];
        if (b[0] < v[0] || b[2] > v[2] || b[1] < v[1] || b[3] > v[3] || placed.some((p) => meets(p, b))) continue;
        if (this.marks.some((o) => o !== m && o.x > b[0] && o.x < b[2] && o.y > b[1] && o.y < b[3])) continue;
        if (!this.taken.some((t) => meets(t, b))) return [x, y];
        if (!fallback && r > 3) fallback = [x, y];
      }
    }
    return fallback || [m.x + 30 * px, m.y + 30 * px];
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
    const words = `${o === "meets" ? "" : "Comment " + (m.item.n || "") + ", "}${outcomeWord(o)}: ${m.item.t}. ${m.item.pl}`;
    const inner = svg("g", { class: "mark-face" }, shape(), label && svg("text", { x, y: -y + 4.6 * px, "font-size": 13 * px, "text-anchor": "middle" }, label));
    const g = svg("g", { class: "mark " + o + (lit === m.item.key ? " lit-mark" : ""), "data-key": m.item.key }, svg("title", {}, words),
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
      const dir = data.north || data.modelX, l = Math.hypot(dir[0], dir[1]) || 1, ux = dir[0] / l, uy = dir[1] / l;
      const cx = v[2] - 26 * px, cy = v[1] + 25 * px, r = 15 * px;
      const tip = [cx + ux * r, -(cy + uy * r)];
      this.top.append(svg("g", { class: "compass" }, svg("circle", { cx, cy: -cy, r: 21 * px, class: "backing" }),
        svg("path", { d: `M${tip[0]} ${tip[1]}L${cx - ux * r * 0.7 - uy * r * 0.55} ${-(cy - uy * r * 0.7 + ux * r * 0.55)}L${cx - ux * r * 0.3} ${-(cy - uy * r * 0.3)}L${cx - ux * r * 0.7 + uy * r * 0.55} ${-(cy - uy * r * 0.7 - ux * r * 0.55)}Z` }),
        svg("text", { x: cx - 24 * px, y: -cy + 4 * px, "font-size": 11 * px, "text-anchor": "end" }, data.north ? "North" : "model x")));
    }
  }
}
let lit = null; // key of the item that is pointed out
