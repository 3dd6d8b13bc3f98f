// Views: the voids on either side of a unit line, seen from above at a corner, and the way of
// a fire through the openings between them.
const C30 = Math.cos(Math.PI / 6), S30 = 0.5;
// seen projects a point of the building onto paper (y upwards).
const seen = (x, y, z) => [Math.round((x - y) * C30), Math.round((x + y) * S30 + z)];

function viewDrawing(v) {
  const pts = [];
  const comps = v.c.map((i) => data.comps[i]);
  for (const c of comps) {
    for (const r of c.o) for (let i = 0; i + 1 < r.length; i += 2) pts.push(seen(r[i], r[i + 1], c.z[0]), seen(r[i], r[i + 1], c.z[1]));
  }
  const b = pts.length ? boxOf(pts.map((p) => p)) : [0, 0, 1000, 1000];
  return {
    title: `${v.t}, with the way of a fire`, box: grown(b, 900), view: v, key: "V" + v.s, legend: "view", noScale: true,
    draw: (g) => viewGeometry(g, v), label: (ctx) => viewLabels(ctx, v),
  };
}

function viewGeometry(g, v) {
  const order = v.c.map((i) => data.comps[i]).sort((a, b) => depth(b) - depth(a) || a.z[0] - b.z[0]);
  const onRoute = new Set(v.r ? v.r.flatMap((r) => r.c) : []);
  for (const c of order) {
    const d = data.voids[c.v], reached = onRoute.has(data.comps.indexOf(c));
    const group = svg("g", { class: "solid " + d.k + (reached ? " reached" : "") }, svg("title", {}, `${d.kw} ${c.id}, ${c.a}`));
    if (d.ribs && d.ribs.length) attic(group, c, d); else prism(group, d.k === "wall" ? slab(c, v) : c);
    g.append(group);
  }
  for (const r of v.r || []) routeLine(g, r, v);
}

// slab leaves out the studs that stand in a cavity, where it lies along the paper's axes.
function slab(c, v) {
  const l = v.l;
  if (!l || Math.min(Math.abs(l[2] - l[0]), Math.abs(l[3] - l[1])) > 30) return c;
  const b = boxOf(c.o);
  return { o: [[b[0], b[1], b[2], b[1], b[2], b[3], b[0], b[3]]], z: c.z };
}

const depth = (c) => { const b = boxOf(c.o); return b[0] + b[1] + b[2] + b[3]; };
const at3 = (p) => { const q = seen(p[0], p[1], p[2]); return q[0] + " " + -q[1]; };

function prism(g, c) {
  const base = (z) => c.o.map((r) => { let d = ""; for (let i = 0; i + 1 < r.length; i += 2) d += (i ? "L" : "M") + at3([r[i], r[i + 1], z]); return d + "Z"; }).join("");
  g.append(svg("path", { class: "bottom", d: base(c.z[0]), "fill-rule": "evenodd" }));
  let sides = "";
  for (const r of c.o) for (let i = 0, j = r.length - 2; i < r.length; j = i, i += 2) {
    if (Math.hypot(r[i] - r[j], r[i + 1] - r[j + 1]) < 40) continue;
    sides += `M${at3([r[j], r[j + 1], c.z[0]])}L${at3([r[i], r[i + 1], c.z[0]])}L${at3([r[i], r[i + 1], c.z[1]])}L${at3([r[j], r[j + 1], c.z[1]])}Z`;
  }
  g.append(svg("path", { class: "sides", d: sides }), svg("path", { class: "lid", d: base(c.z[1]), "fill-rule": "evenodd" }));
}

// attic draws the floor of the void, the lines of the roof over it, and the planes between them.
function attic(g, c, d) {
  const ribs = d.ribs.filter((r) => inside(c.o, (r[0] + r[r.length - 3]) / 2, (r[1] + r[r.length - 2]) / 2)).map((r) => { const p = []; for (let i = 0; i + 2 < r.length; i += 3) p.push([r[i], r[i + 1], r[i + 2]]); return p; });
  const floor = c.o.map((r) => { let s = ""; for (let i = 0; i + 1 < r.length; i += 2) s += (i ? "L" : "M") + at3([r[i], r[i + 1], c.z[0]]); return s + "Z"; }).join("");
  g.append(svg("path", { class: "bottom", d: floor, "fill-rule": "evenodd" }));
  if (!ribs.length) return;
  let planes = "", edges = "";
  const even = ribs.every((r) => r.length === ribs[0].length);
  for (let k = 0; k + 1 < ribs.length && even; k++) for (let i = 0; i + 1 < ribs[k].length; i++) {
    planes += `M${at3(ribs[k][i])}L${at3(ribs[k][i + 1])}L${at3(ribs[k + 1][i + 1])}L${at3(ribs[k + 1][i])}Z`;
  }
  if (even) for (let i = 0; i < ribs[0].length; i++) edges += "M" + ribs.map((r) => at3(r[i])).join("L");
  for (const r of ribs) {
    const a = r[0], z = r[r.length - 1];
    edges += `M${at3([a[0], a[1], c.z[0]])}L` + r.map(at3).join("L") + `L${at3([z[0], z[1], c.z[0]])}`;
  }
  g.append(svg("path", { class: "lid", d: planes }), svg("path", { class: "rib", d: edges }));
}

// The points of a route: into the first void, through each opening, into the last.
function routePoints(r, v) {
  if (r.c.length === 1 && r.c[0] >= 0 && v.l) return overLine(data.comps[r.c[0]], v.l);
  const pts = [];
  r.c.forEach((ci, k) => {
    const c = ci >= 0 ? data.comps[ci] : null;
    const ends = k === 0 || k === r.c.length - 1;
    if (ends && c) {
      const m = c.mid || (c.mid = middle(c.o));
      pts.push({ p: [m.x, m.y, c.pt ? c.pt[2] : (c.z[0] + c.z[1]) / 2], c });
    }
    if (k < r.o.length && r.o[k] >= 0) {
      const o = data.openings[r.o[k]];
      // An open line is passed anywhere along it: shown between the middles of its two sides.
      pts.push({ p: o.p, o, n: k + 1 });
    }
  });
  return pts;
}

// overLine is the way within one void that lies over both units: from one side of the unit line
// to the other.
function overLine(c, l) {
  const m = c.mid || (c.mid = middle(c.o)), z = c.pt ? c.pt[2] : (c.z[0] + c.z[1]) / 2;
  const n = Math.hypot(l[2] - l[0], l[3] - l[1]) || 1, mid = [(l[0] + l[2]) / 2, (l[1] + l[3]) / 2];
  const off = (p) => ((l[2] - l[0]) * (p[1] - l[1]) - (l[3] - l[1]) * (p[0] - l[0])) / n;
  const best = (sign) => (m.or || []).filter((p) => sign * off(p) > 1000).sort((a, b) => Math.hypot(a[0] - mid[0], a[1] - mid[1]) - Math.hypot(b[0] - mid[0], b[1] - mid[1]))[0];
  const a = best(1), b = best(-1);
  if (!a || !b) return [{ p: [m.x, m.y, z], c }];
  return [{ p: [a[0], a[1], z], c }, { p: [b[0], b[1], z], c, same: true }];
}

function routeLine(g, r, v) {
  const pts = routePoints(r, v);
  if (pts.length < 2) return;
  g.append(svg("path", { class: "route-under", d: "M" + pts.map((q) => at3(q.p)).join("L") }), svg("path", { class: "route", d: "M" + pts.map((q) => at3(q.p)).join("L") }));
}

function viewLabels(ctx, v) {
  const px = ctx.px, told = new Set();
  for (const r of v.r || []) routeLabels(ctx, r, told, v);
  for (const i of v.c) {
    const c = data.comps[i], d = data.voids[c.v];
    if (d.k === "wall" || told.has(c)) continue;
    const m = c.mid || (c.mid = middle(c.o)), q = seen(m.x, m.y, d.k === "attic" ? (c.z[0] + c.z[1]) / 2 : c.z[1]);
    const b = boxOf(c.o);
    if ((b[2] - b[0]) / px < 40) continue;
    ctx.text(q[0], q[1], [`${d.kw} ${c.id}`, (c.u || []).map(unitName).join(", ")], { size: 11, cls: "quiet" });
  }
}

const voidWords = (c) => [`${data.voids[c.v].kw} ${c.id}`, (c.u || []).map(unitName).join(", ")];

// routeLabels numbers the openings that a fire passes; those that fall together share a sign.
function routeLabels(ctx, r, told, v) {
  const px = ctx.px, pts = routePoints(r, v), stops = [];
  pts.forEach((s, k) => {
    const q = seen(s.p[0], s.p[1], s.p[2]);
    if (s.o) {
      const near = stops.find((t) => Math.hypot(t.q[0] - q[0], t.q[1] - q[1]) < 20 * px);
      if (near) near.n.push(s.n); else stops.push({ q, n: [s.n] });
      return;
    }
    if (s.c) told.add(s.c);
    if (k === 0) {
      ctx.top.append(svg("path", { class: "route-end", d: `M${q[0] - 6 * px} ${-q[1]}a${6 * px} ${6 * px} 0 1 0 ${12 * px} 0a${6 * px} ${6 * px} 0 1 0 ${-12 * px} 0Z` }));
      ctx.text(q[0], q[1] - 30 * px, ["fire starts in", ...voidWords(s.c)], { size: 11.5, cls: "route-word", always: true });
      return;
    }
    const w = pts[k - 1], f = seen(w.p[0], w.p[1], w.p[2]), a = Math.atan2(q[1] - f[1], q[0] - f[0]);
    const tip = (d, e) => `${q[0] + d * px * Math.cos(a) - e * px * Math.sin(a)} ${-(q[1] + d * px * Math.sin(a) + e * px * Math.cos(a))}`;
    ctx.top.append(svg("path", { class: "route-end", d: `M${tip(9, 0)}L${tip(-8, 7)}L${tip(-8, -7)}Z` }));
    ctx.text(q[0], q[1] + 32 * px, s.same ? ["and is over the other unit:", "nothing stands between"] : ["and gets into", ...voidWords(s.c)], { size: 11.5, cls: "route-word", always: true });
  });
  for (const t of stops) {
    const word = t.n.join(", "), w = (9 + 4.5 * (word.length - 1)) * px, [x, y] = t.q;
    ctx.top.append(svg("rect", { class: "route-stop", x: x - w, y: -y - 9 * px, width: 2 * w, height: 18 * px, rx: 9 * px }),
      svg("text", { class: "route-n", x, y: -y + 4.2 * px, "font-size": 12 * px, "text-anchor": "middle" }, word));
  }
}

// viewNote tells the routes of a view in words.
function viewNote(v) {
  const box = html("div");
  if (!v.r || !v.r.length) {
    box.append(html("p", {}, "No way between the two units was found through these spaces."));
    return box;
  }
  for (const r of v.r) {
    const it = data.items[r.i];
    const steps = html("ol", { class: "route-steps" });
    r.w.forEach((w, k) => steps.append(html("li", { class: k % 2 ? "through" : null }, k % 2 ? `${(k + 1) / 2}: ${w}` : w)));
    box.append(html("p", {}, html("button", { type: "button", class: "show", on: { click: () => goToItem(it.key) } }, "Comment " + (it.n || "")), " " + it.t + ":"), steps);
  }
  return box;
}
