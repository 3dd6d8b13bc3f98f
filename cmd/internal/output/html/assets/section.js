// Sections: what an upright plane cuts, with the levels, the openings seen in it and, along a
// unit line, the gap that stays open below the roof.
function sectionDrawing(s) {
  const rings = [];
  for (const c of s.c) {
    for (let i = 0; i + 3 < (c.x || []).length; i += 4) rings.push([c.x[i], c.x[i + 1], c.x[i + 2], c.x[i + 3]]);
    for (const r of c.g || []) rings.push(r);
  }
  const b = boxOf(rings);
  const side = Math.max(1500, (b[2] - b[0]) * (s.k === "across" ? 0.5 : 0.17));
  return {
    start: closeUp(s),
    title: `${s.id}  ${s.t}`, box: [b[0] - side, b[1] - Math.max(700, (b[3] - b[1]) * 0.13), b[2] + side / 3, b[3] + 900], section: s, key: s.id, legend: "section",
    draw: (g, stage) => sectionGeometry(g, s, b, stage, side), label: (ctx) => sectionLabels(ctx, s, b, side),
  };
}

// closeUp is where a section across a unit line begins on screen: at its openings.
function closeUp(s) {
  const at = (s.op || []).filter(([i]) => !isLong(data.openings[i]));
  if (s.k !== "across" || !at.length) return null;
  const z = at.flatMap(([i]) => [data.openings[i].p[2] - data.openings[i].h / 2, data.openings[i].p[2] + data.openings[i].h / 2]);
  const x = at.map((a) => a[1]);
  return [Math.min(...x) - 900, Math.min(...z) - 500, Math.max(...x) + 900, Math.max(...z) + 500];
}

const boxPath = (x) => { let d = ""; for (let i = 0; i + 3 < x.length; i += 4) d += `M${x[i]} ${-x[i + 1]}H${x[i + 2]}V${-x[i + 3]}H${x[i]}Z`; return d; };
const isStop = (r) => r === "block" || r === "draftstop" || r === "seal";
const isWood = (r) => ["web", "chord", "joist", "rafter", "stud", "plate", "rim", "beam"].includes(r);

function sectionGeometry(g, s, b, stage, side) {
  for (const l of data.levels) if (l.z > b[1] - 400 && l.z < b[3]) g.append(svg("path", { class: "level", d: `M${b[0] - side} ${-l.z}H${b[2] + side / 4}` }));
  for (const c of s.c) {
    if (isWood(c.r) && !stage.opt.framing) continue;
    if (c.r === "service" && !stage.opt.services) continue;
    const cls = "cut " + (isWood(c.r) ? "wood" : isStop(c.r) ? "cut-stop" : c.r) + (c.b ? " beyond" : "");
    g.append(svg("path", { class: cls, "fill-rule": "evenodd", d: boxPath(c.x || []) + paths(c.g) }, svg("title", {}, c.r + (c.b ? ", behind the section" : ""))));
  }
  const gap = shortOfRoof(s);
  if (gap) {
    g.append(svg("path", { class: "gap", d: path(gap.ring) }), svg("path", { class: "gap-hatch", d: path(gap.ring), fill: `url(#${stage.id}gap)` }));
  }
  for (const [i, s0, s1] of s.ps || []) {
    const p = data.proposed[i], top = s1 > s0 ? p.z[1] : Math.min(p.z[1], roofOver(s, s0, p.z[0])); // no higher than the roof
    g.append(svg("path", { class: "proposed" + (s1 > s0 ? " thin" : ""), d: s1 > s0 ? `M${s0} ${-p.z[0]}H${s1}V${-top}H${s0}Z` : `M${s0} ${-p.z[0]}V${-top}` }, svg("title", {}, `Proposed ${p.k}, ${p.s}`)));
  }
  for (const [i, at] of s.op || []) {
    const o = data.openings[i];
    if (isLong(o)) continue;
    const w = s.k === "across" || s.k === "long" ? 90 : o.w;
    const h = o.k === "open through the level" ? 60 : o.h;
    const x = at - w / 2, y = -o.p[2] - h / 2;
    g.append(svg("path", { class: "opening-box", d: `M${x} ${y}h${w}v${h}h${-w}ZM${x} ${y}l${w} ${h}M${x + w} ${y}l${-w} ${h}` }, svg("title", {}, `${o.id}: ${o.k}, ${o.s}`)));
  }
}

// roofOver is the lowest roof over a place of a section, Infinity for none.
function roofOver(s, x, z) {
  let best = Infinity;
  for (const c of s.c) {
    if (c.r !== "roof") continue;
    const rings = [...(c.g || [])];
    for (let i = 0; i + 3 < (c.x || []).length; i += 4) rings.push([c.x[i], c.x[i + 1], c.x[i + 2], c.x[i + 1], c.x[i + 2], c.x[i + 3], c.x[i], c.x[i + 3]]);
    for (const r of rings) { const under = spanAt(r, x + 0.31)[0]; if (under > z) best = Math.min(best, under); }
  }
  return best;
}

// Openings along a whole line or edge have no place of their own in a section; the gap shows.
const isLong = (o) => o.k === "open line" || o.k.startsWith("gap at");

// shortOfRoof finds, in a section along a unit line, what stays open between the top of the
// wall or stop and the roof; only where the findings have an opening there.
function shortOfRoof(s) {
  if (s.k !== "along" || !(s.op || []).some(([i]) => isLong(data.openings[i]))) return null;
  const solids = [], roof = [];
  for (const c of s.c) {
    if (["web", "chord", "service", "space", "insulation"].includes(c.r)) continue;
    const into = c.r === "roof" ? roof : solids;
    for (let i = 0; i + 3 < (c.x || []).length; i += 4) into.push([c.x[i], c.x[i + 1], c.x[i + 2], c.x[i + 1], c.x[i + 2], c.x[i + 3], c.x[i], c.x[i + 3]]);
    for (const r of c.g || []) into.push(r);
  }
  if (!roof.length) return null;
  const len = Math.hypot(s.l[2] - s.l[0], s.l[3] - s.l[1]), n = 160, lower = [], upper = [];
  for (let k = 0; k <= n; k++) {
    const x = (len * k) / n + 0.31;
    const under = Math.min(...roof.map((r) => spanAt(r, x)[0]));
    if (!isFinite(under)) continue;
    const top = Math.max(...solids.map((r) => spanAt(r, x)).filter((z) => z[0] < under).map((z) => Math.min(z[1], under)), -Infinity);
    if (!isFinite(top) || under - top < 12) continue;
    lower.push([x, top]); upper.push([x, under]);
  }
  // The eaves beyond the wall are not part of it.
  const wall = lower.map((p) => p[1]);
  if (lower.length < 4) return null;
  const floor = Math.max(...wall) - 6000;
  const keep = lower.map((p, i) => p[1] > floor);
  const ring = [];
  lower.forEach((p, i) => { if (keep[i]) ring.push(p[0], p[1]); });
  for (let i = upper.length - 1; i >= 0; i--) if (keep[i]) ring.push(upper[i][0], upper[i][1]);
  const m = Math.floor(lower.length / 2);
  return { ring, at: [lower[m][0], upper[m][1]] };
}

// spanAt is the lowest and highest point of a ring on an upright line.
function spanAt(r, x) {
  let lo = Infinity, hi = -Infinity;
  for (let i = 0, j = r.length - 2; i < r.length; j = i, i += 2) {
    if ((r[i] > x) === (r[j] > x)) continue;
    const y = r[j + 1] + ((r[i + 1] - r[j + 1]) * (x - r[j])) / (r[i] - r[j]);
    lo = Math.min(lo, y); hi = Math.max(hi, y);
  }
  return [lo, hi];
}

function sectionLabels(ctx, s, b, side) {
  const px = ctx.px;
  for (const l of data.levels) {
    if (l.z <= b[1] - 400 || l.z >= b[3]) continue;
    const x = Math.max(b[0] - side + 100, ctx.view[0] + 8 * px);
    ctx.text(x, l.z, [l.n, l.at], { size: 11, anchor: "start", cls: "level-name" });
  }
  for (const [name, at] of s.ul || []) ctx.text(at, b[3] + 520, name.replace("unit line ", ""), { size: 11, cls: "line-name" });
  for (const [i, at] of s.op || []) {
    const o = data.openings[i];
    if (isLong(o)) continue;
    if (px < 30) ctx.text(at, o.p[2] - o.h / 2 - 10 * px, `${o.id}  ${o.s}`, { size: 10.5, cls: "opening-name" });
  }
  const gap = shortOfRoof(s);
  if (gap) {
    const o = data.openings[(s.op || []).find(([i]) => isLong(data.openings[i]))[0]];
    ctx.text(gap.at[0], gap.at[1] + 480, `${o.id} open below the roof: ${o.s}`, { size: 11.5, cls: "opening-name", always: true });
  }
  if (!ctx.stage.opt.marks) return;
  for (const [i, at] of s.m || []) {
    const it = data.items[i];
    if (!shown(it)) continue;
    const long = gap && (it.ck === "attic-draftstop-line" || it.ck === "separation-spread" || it.ck === "separation-continuity" || it.ck === "draftstop-complete") && Math.abs(it.p[2] - gap.at[1]) < 2500;
    ctx.mark(long ? gap.at[0] : at, long ? gap.at[1] - 20 : it.p[2], it);
  }
}
