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
    this.wanted = b; // kept for when the stage changes its shape
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
    this.view = this.wanted = [c[0] + (v[0] - c[0]) / f, c[1] + (v[1] - c[1]) / f, c[0] + (v[2] - c[0]) / f, c[1] + (v[3] - c[1]) / f];
    this.update();
  }

  pan(dx, dy) {
    const v = this.view, x = dx * (v[2] - v[0]), y = dy * (v[3] - v[1]);
    this.view = this.wanted = [v[0] + x, v[1] + y, v[2] + x, v[3] + y];
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
      this.view = this.wanted = [from.v[0] - dx, from.v[1] + dy, from.v[2] - dx, from.v[3] + dy];
      this.update();
    });
    const end = () => { from = null; };
    host.addEventListener("pointerup", end);
    host.addEventListener("pointercancel", end);
    let width = 0;
    new ResizeObserver(() => {
      if (!this.drawing || !this.view) return;
      if (host.clientWidth !== width) { width = host.clientWidth; this.fit(); }
      this.look(this.wanted);
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
