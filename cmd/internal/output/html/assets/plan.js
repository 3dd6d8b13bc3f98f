// Plans: one layer of one level, from the real geometry.
function planDrawing(sheet, opt = {}) {
  const b = [...data.box]; // with the ends of grid lines
  for (const g of data.grid) for (let i = 0; i < 4; i += 2) {
    b[0] = Math.min(b[0], g.l[i]); b[1] = Math.min(b[1], g.l[i + 1]); b[2] = Math.max(b[2], g.l[i]); b[3] = Math.max(b[3], g.l[i + 1]);
  }
  const h = b[3] - b[1]; // room below for the scale bar
  const box = opt.box || [b[0] - 1200, b[1] - Math.max(1200, h * 0.2), b[2] + 1200, b[3] + Math.max(1500, h * 0.1)];
  const wallsLayer = sheet.ly === "walls";
  return {
    start: opt.box ? null : firstLook(sheet, box),
    title: `${sheet.id}  ${sheet.t}`, box, compass: true, sheet, key: sheet.id, legend: "plan",
    draw: (g, stage) => planGeometry(g, sheet, wallsLayer, stage, opt),
    label: (ctx) => planLabels(ctx, sheet, wallsLayer, opt),
  };
}

// firstLook is where the plan of a very long building begins on screen: at the first place
// that asks for an answer.
function firstLook(sheet, box) {
  if (box[2] - box[0] < 90000) return null;
  const it = data.items.find((x) => x.sh >= 0 && data.sheets[x.sh] === sheet && !x.q && (x.o === "deficient" || x.o === "not-shown"));
  const x = it ? it.p[0] : box[0] + 22000, y = it ? it.p[1] : (box[1] + box[3]) / 2;
  return [x - 22000, y - 9000, x + 22000, y + 9000];
}

const stateClass = (c) => (c.st === "over" ? "over" : c.st === "joined" ? "joined" : c.st === "within" ? "within" : "plain");

function planGeometry(g, sheet, wallsLayer, stage, opt) {
  const o = stage.opt;
  // A drawing of a part leaves out what lies outside of it.
  const sees = (rings) => !opt.box || meets(boxOf(rings), opt.box);
  for (const l of data.grid) g.append(svg("path", { class: "grid", d: `M${l.l[0]} ${-l.l[1]}L${l.l[2]} ${-l.l[3]}` }));
  if (wallsLayer) for (const r of data.rooms) if (r.lv === sheet.lv && sees(r.o)) g.append(svg("path", { class: "room", d: paths(r.o) }));
  for (const i of sheet.c || []) {
    const c = data.comps[i], v = data.voids[c.v];
    if (opt.only !== undefined && v !== data.voids[opt.only] && v.k !== "wall" || !sees(c.o)) continue;
    const cls = v.k === "wall" ? "cavity" : stateClass(c);
    const shape = svg("path", { class: "comp " + cls, d: paths(c.o), "fill-rule": "evenodd", "data-void": v.id }, svg("title", {}, `${v.kw} ${c.id}, ${c.a}`));
    g.append(shape);
    if (cls === "over" || cls === "joined") g.append(svg("path", { class: "comp-hatch", d: paths(c.o), "fill-rule": "evenodd", fill: `url(#${stage.id}${cls})` }));
  }
  if (o.framing) {
    let d = "";
    for (const i of sheet.fr || []) { const l = data.framing[i].l; if (sees([l])) d += `M${l[0]} ${-l[1]}L${l[2]} ${-l[3]}`; }
    if (d) g.append(svg("path", { class: "framing", d }));
  }
  for (const w of data.walls) {
    if (w.lv !== sheet.wl || !sees([w.p])) continue;
    g.append(svg("path", { class: "wall" + (wallsLayer ? "" : " under") + (w.s ? " separation" : ""), d: path(w.p) }));
    for (const r of w.rows || []) g.append(svg("path", { class: "row" + (wallsLayer ? "" : " under"), d: path(r) }));
  }
  if (wallsLayer) {
    const z = data.levels[sheet.lv].z;
    for (const d of data.doors) if (d.z[0] < z + 1900 && d.z[1] > z + 300 && sees([d.p])) g.append(svg("path", { class: "door " + d.k, d: path(d.p) }));
    for (const i of sheet.c || []) { // cavities lie in the walls, so they go over them
      const c = data.comps[i];
      if (data.voids[c.v].k === "wall" && sees(c.o)) g.append(svg("path", { class: "cavity-line", d: paths(c.o) }));
    }
  }
  if (o.services) for (const i of sheet.sv || []) {
    const s = data.services[i];
    if (sees([s.p])) g.append(svg("path", { class: "service " + s.k, d: path(s.p) }, svg("title", {}, `${s.k}: ${s.n || ""}`)));
  }
  for (const i of sheet.st || []) {
    const s = data.stops[i];
    if (sees([s.p])) g.append(svg("path", { class: "stop " + s.k, d: path(s.p) }, svg("title", {}, `${s.k}: ${s.n || ""}`)));
  }
  for (const i of sheet.op || []) if (sees([barOf(data.openings[i]) || data.openings[i].p.slice(0, 2)])) g.append(openingPlan(data.openings[i]));
  data.proposed.forEach((p) => {
    if (p.sh < 0 || data.sheets[p.sh] !== sheet || !sees([p.l])) return;
    g.append(svg("path", { class: "proposed", d: `M${p.l[0]} ${-p.l[1]}L${p.l[2]} ${-p.l[3]}` }, svg("title", {}, `Proposed stop, ${p.s} long`)));
  });
}

// barOf is the bar of an opening in plan, null for one that is drawn as a ring.
function barOf(o) {
  if (!o.al || o.k.startsWith("ring") || o.k === "hole") return null;
  const l = o.w / 2, ux = o.al[0] / 1000, uy = o.al[1] / 1000;
  return [o.p[0] - ux * l, o.p[1] - uy * l, o.p[0] + ux * l, o.p[1] + uy * l];
}

// An opening in plan: a hollow bar as wide as it is clear, with a short stroke at either end.
function openingPlan(o) {
  const g = svg("g", { class: "opening" }, svg("title", {}, `${o.id}: ${o.k}, ${o.s}`));
  const [x, y] = o.p, bar = barOf(o);
  if (!bar) {
    const r = Math.max(60, Math.min(o.w, o.h) / 2);
    g.append(svg("circle", { cx: x, cy: -y, r, class: "opening-ring" }));
    return g;
  }
  const l = o.w / 2, ux = o.al[0] / 1000, uy = o.al[1] / 1000, e = 110;
  const end = (s) => `M${x + s * ux * l - uy * e} ${-(y + s * uy * l + ux * e)}L${x + s * ux * l + uy * e} ${-(y + s * uy * l - ux * e)}`;
  const d = `M${bar[0]} ${-bar[1]}L${bar[2]} ${-bar[3]}`;
  g.append(svg("path", { class: "opening-bar", d }), svg("path", { class: "opening-core", d }), svg("path", { class: "opening-end", d: end(-1) + end(1) }));
  return g;
}

function planLabels(ctx, sheet, wallsLayer, opt) {
  const px = ctx.px;
  if (ctx.stage.opt.marks) data.items.forEach((it) => {
    if (it.sh >= 0 && data.sheets[it.sh] === sheet && !it.q && shown(it) && (opt.only === undefined || (it.v || []).includes(opt.only))) ctx.mark(it.p[0], it.p[1], it);
  });
  const proposed = data.proposed.filter((p) => p.sh >= 0 && data.sheets[p.sh] === sheet);
  for (const p of proposed) ctx.line(p.l);
  for (const i of sheet.op || []) { const b = barOf(data.openings[i]); if (b) ctx.line(b); }
  for (const i of sheet.st || []) if (data.stops[i].k === "draftstop") ctx.line(boxOf([data.stops[i].p]));
  gridNames(ctx);
  for (const i of sheet.c || []) {
    const c = data.comps[i], v = data.voids[c.v];
    if (opt.only !== undefined && c.v !== opt.only) continue;
    const b = boxOf(c.o);
    if (!meets(b, ctx.view)) continue;
    if (!c.mid) c.mid = middle(c.o);
    const w = (b[2] - b[0]) / px, h = (b[3] - b[1]) / px;
    if (v.k === "wall") {
      if (Math.max(w, h) > 90 && px < 12) ctx.text(c.mid.x, c.mid.y, c.id, { size: 10, cls: "quiet", turn: h > w ? -90 : 0 });
      continue;
    }
    if (w < 26 || h < 16) continue;
    const lines = [c.id];
    if (w > 66 && h > 34) lines.push(c.a);
    if (w > 92 && h > 66) {
      if (c.st === "over") lines.push("over the limit", "of " + c.lim);
      else if (c.st === "joined") lines.push("joined: " + c.jn, "over " + c.lim);
      else if (c.lim) lines.push("limit " + c.lim);
    }
    const wide = Math.max(w, 60); // what does not fit between the sides is told by hatch and legend
    ctx.text(c.mid.x, c.mid.y, lines.filter((l, k) => k === 0 || l.length * 6.6 < wide), { size: 12, cls: stateClass(c), first: "strong", always: true, or: c.mid.or, within: c.o });
  }
  if (wallsLayer) unitNames(ctx, sheet);
  for (const i of sheet.sv || []) {
    const s = data.services[i], b = boxOf([s.p]);
    if (ctx.stage.opt.services && px < 22) ctx.text(b[2] + 4 * px, b[1] - 6 * px, s.n || s.k, { size: 10, cls: "service-name", anchor: "start" });
  }
  if (ctx.stage.opt.framing && px < 9) for (const i of sheet.fr || []) {
    const f = data.framing[i];
    if (f.m) { const at = onView(ctx, f.l); if (at) ctx.text(at[0], at[1], f.m, { size: 9.5, cls: "quiet", turn: Math.abs(f.l[3] - f.l[1]) > Math.abs(f.l[2] - f.l[0]) ? -90 : 0 }); }
  }
  if (px < 14) for (const i of sheet.op || []) {
    const o = data.openings[i];
    ctx.text(o.p[0], o.p[1] - 14 * px, `${o.id}  ${o.s}`, { size: 10.5, cls: "opening-name", or: [[o.p[0], o.p[1] + 14 * px], [o.p[0], o.p[1] - 28 * px], [o.p[0], o.p[1] + 28 * px]] });
  }
  for (const p of proposed) {
    const up = Math.abs(p.l[3] - p.l[1]) > Math.abs(p.l[2] - p.l[0]), long = Math.hypot(p.l[2] - p.l[0], p.l[3] - p.l[1]) / px;
    if (long <= 150) continue;
    const at = (t, side) => [p.l[0] + t * (p.l[2] - p.l[0]) - (up ? side * 9 * px : 0), p.l[1] + t * (p.l[3] - p.l[1]) + (up ? 0 : side * 9 * px)];
    const or = [0.3, 0.7, 0.2, 0.8].flatMap((t) => [at(t, 1), at(t, -1)]);
    ctx.text(...at(0.5, 1), `proposed ${p.k} ${p.s}`, { size: 11, cls: "proposed-name", turn: up ? -90 : 0, or: [at(0.5, -1), ...or] });
  }
  lineNames(ctx, sheet);
}

// onView is where a line crosses the middle of the view, for its name.
function onView(ctx, l) {
  const v = ctx.view, up = Math.abs(l[3] - l[1]) > Math.abs(l[2] - l[0]);
  const k = up ? 1 : 0, lo = Math.max(v[k], Math.min(l[k], l[k + 2])), hi = Math.min(v[k + 2], Math.max(l[k], l[k + 2]));
  if (hi <= lo) return null;
  const t = ((lo + hi) / 2 - l[k]) / (l[k + 2] - l[k] || 1);
  return [l[0] + t * (l[2] - l[0]), l[1] + t * (l[3] - l[1])];
}

function gridNames(ctx) {
  const px = ctx.px;
  for (const l of data.grid) {
    for (const e of [[l.l[0], l.l[1]], [l.l[2], l.l[3]]]) {
      if (!ctx.visible(e[0], e[1])) continue;
      ctx.top.append(svg("circle", { class: "grid-bubble", cx: e[0], cy: -e[1], r: 9 * px }));
      ctx.text(e[0], e[1], l.n, { size: 10.5, always: true });
    }
  }
}

// unitNames writes each unit over the middle of its rooms.
function unitNames(ctx, sheet) {
  for (const u of data.units) {
    const rings = data.rooms.filter((r) => r.u === u.id && r.lv === sheet.lv).map((r) => r.o);
    if (!rings.length) continue;
    let best = rings[0], area = 0;
    for (const r of rings) { const b = boxOf(r), a = (b[2] - b[0]) * (b[3] - b[1]); if (a > area) { area = a; best = r; } }
    const b = boxOf(best);
    if ((b[2] - b[0]) / ctx.px > 40) ctx.text((b[0] + b[2]) / 2, (b[1] + b[3]) / 2, u.n, { size: 13, cls: "unit-name" });
  }
}

// lineNames names the unit lines at their upper ends; they lead to the section along the line.
function lineNames(ctx, sheet) {
  const px = ctx.px;
  for (const view of data.views) {
    if (!view.l) continue;
    const section = data.sections.find((s) => s.s === view.s && s.k === "along");
    const l = view.l, top = l[1] > l[3] ? [l[0], l[1]] : [l[2], l[3]];
    const level = Math.abs(l[1] - l[3]) < Math.abs(l[0] - l[2]);
    const x = level ? Math.max(l[0], l[2]) + 8 * px : top[0], y = level ? l[1] : top[1] + 12 * px;
    const before = ctx.top.lastChild;
    const low = l[1] > l[3] ? [l[2], l[3]] : [l[0], l[1]];
    const or = level ? [[x, y + 14 * px], [x, y - 14 * px]] : [[low[0], low[1] - 12 * px], [x, y + 13 * px], [x, y - 30 * px]];
    if (!ctx.text(x, y, view.u.join(" / "), { size: 11, cls: "line-name", anchor: level ? "start" : "middle", or })) continue;
    const node = ctx.top.lastChild;
    if (node !== before && section && ctx.stage.onMark) put(node, { class: "label line-name goto", tabindex: 0, role: "link", "aria-label": section.t, on: {
      click: () => openDrawing(section.id), keydown: (e) => { if (e.key === "Enter") { openDrawing(section.id); e.stopPropagation(); } } } }, []);
  }
}
