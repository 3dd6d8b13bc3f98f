// Sections: what an upright plane cuts, with the levels, the openings seen in it and, along a
// unit line, the gap that stays open below the deck or the roof.
function sectionDrawing(s, opt = {}) {
  const rings = [];
  for (const c of s.c) {
    for (let i = 0; i + 3 < (c.x || []).length; i += 4) rings.push([c.x[i], c.x[i + 1], c.x[i + 2], c.x[i + 3]]);
    for (const r of c.g || []) rings.push(r);
  }
  const b = boxOf(rings);
  const side = Math.max(1500, Math.min(12000, (b[2] - b[0]) * (s.k === "across" ? 0.5 : 0.17)));
  return {
    start: opt.box ? null : closeUp(s),
    title: `${s.id}  ${s.t}`, box: opt.box || [b[0] - side, b[1] - Math.max(900, (b[3] - b[1]) * 0.2), b[2] + side / 3, b[3] + 900], section: s, key: s.id, legend: "section",
    draw: (g, stage) => sectionGeometry(g, s, b, stage, side, opt.box), label: (ctx) => sectionLabels(ctx, s, b, side),
  };
}

// closeUp is where a section across a unit line begins on screen: at what stays open over the
// line, or at its other openings.
function closeUp(s) {
  if (s.k !== "across") return null;
  const gaps = gapsOf(s), at = (s.op || []).filter(([i]) => !isLong(data.openings[i]));
  const places = gaps.length ? gaps.map((g) => [g.at[0], Math.min(...g.rings.flat().filter((v, i) => i % 2)), g.at[1]])
    : at.map(([i, x]) => [x, data.openings[i].p[2] - data.openings[i].h / 2, data.openings[i].p[2] + data.openings[i].h / 2]);
  if (!places.length) return null;
  const x = places.map((p) => p[0]);
  return [Math.min(...x) - 900, Math.min(...places.map((p) => p[1])) - 500, Math.max(...x) + 900, Math.max(...places.map((p) => p[2])) + 500];
}

const boxPath = (x) => { let d = ""; for (let i = 0; i + 3 < x.length; i += 4) d += `M${x[i]} ${-x[i + 1]}H${x[i + 2]}V${-x[i + 3]}H${x[i]}Z`; return d; };
const partOf = (x, part) => { const out = []; for (let i = 0; i + 3 < x.length; i += 4) if (x[i] < part[2] && x[i + 2] > part[0]) out.push(...x.slice(i, i + 4)); return out; };
const isStop = (r) => r === "block" || r === "draftstop" || r === "seal";
const isWood = (r) => ["web", "chord", "joist", "rafter", "stud", "plate", "rim", "beam"].includes(r);

function sectionGeometry(g, s, b, stage, side, part) {
  const sees = (r) => !part || meets(boxOf([r]), part);
  for (const l of data.levels) if (l.z > b[1] - 400 && l.z < b[3]) g.append(svg("path", { class: "level", d: `M${b[0] - side} ${-l.z}H${b[2] + side / 4}` }));
  const back = backdrop(s);
  if (back) g.append(svg("path", { class: "backdrop", d: back }, svg("title", {}, "walls behind the section")));
  for (const c of s.c) {
    if (isWood(c.r) && !stage.opt.framing) continue;
    if (c.r === "service" && !stage.opt.services) continue;
    const cls = "cut " + (isWood(c.r) ? "wood" : isStop(c.r) ? "cut-stop" : c.r) + (c.b ? " beyond" : "");
    g.append(svg("path", { class: cls, "fill-rule": "evenodd", d: boxPath(part ? partOf(c.x || [], part) : c.x || []) + paths((c.g || []).filter(sees)) }, svg("title", {}, c.r + (c.b ? ", behind the section" : ""))));
  }
  for (const gap of gapsOf(s)) for (const ring of gap.rings) {
    g.append(svg("path", { class: "gap", d: path(ring) }), svg("path", { class: "gap-hatch", d: path(ring), fill: `url(#${stage.id}gap)` }));
  }
  for (const [i, s0, s1] of s.ps || []) {
    const p = data.proposed[i], along = s1 > s0;
    g.append(svg("path", { class: "proposed" + (along ? " thin" : ""), d: along ? path(underRoof(s, s0, s1, p.z)) : `M${s0} ${-p.z[0]}V${-Math.min(p.z[1], roofOver(s, s0, p.z[0]))}` }, svg("title", {}, `Proposed ${p.k}, ${p.s}`)));
  }
  for (const [i, at] of s.op || []) {
    const o = data.openings[i];
    if (isLong(o)) continue;
    const [x, w] = seenWidth(s, b, o, at), h = o.k === "open through the level" ? 60 : o.h, y = -o.p[2] - h / 2;
    g.append(svg("path", { class: "opening-box", d: `M${x} ${y}h${w}v${h}h${-w}ZM${x} ${y}l${w} ${h}M${x + w} ${y}l${-w} ${h}` }, svg("title", {}, `${o.id}: ${o.k}, ${o.s}`)));
  }
}

// backdrop is the walls that stand behind a section through the building, no higher than its
// roof, so that one knows the building in it.
const mostWalls = 500;
function backdrop(s) {
  if ((s.k !== "long" && s.k !== "cross") || data.walls.length > mostWalls) return "";
  const dx = s.l[2] - s.l[0], dy = s.l[3] - s.l[1], n = Math.hypot(dx, dy) || 1;
  let d = "";
  for (const w of data.walls) {
    const at = [], off = [];
    for (let i = 0; i + 1 < w.p.length; i += 2) {
      at.push(((w.p[i] - s.l[0]) * dx + (w.p[i + 1] - s.l[1]) * dy) / n);
      off.push((dx * (w.p[i + 1] - s.l[1]) - dy * (w.p[i] - s.l[0])) / n);
    }
    const a = Math.round(Math.max(0, Math.min(...at))), b = Math.round(Math.min(n, Math.max(...at)));
    if (Math.max(...off) > 200 && b > a && w.z[1] > w.z[0]) d += path(underRoof(s, a, b, w.z));
  }
  return d;
}

// seenWidth is where an opening begins in a section and how wide it is seen there: its width
// turned into the plane, no more than the building; a mark of some size where it is seen from
// its side or runs round a corner.
function seenWidth(s, b, o, at) {
  let w = o.al ? o.w * Math.abs(alongness(s, o)) : Math.min(o.w, 300);
  if (w < 90 || w > b[2] - b[0]) w = 90;
  const x = Math.max(b[0], Math.min(b[2] - w, at - w / 2));
  return [x, w];
}

// underRoof is the outline of a stop that runs along a section: no higher than the roof.
function underRoof(s, s0, s1, z) {
  const n = 80, top = [];
  for (let k = 0; k <= n; k++) {
    const x = s0 + ((s1 - s0) * k) / n, y = Math.round(Math.max(z[0], Math.min(z[1], roofOver(s, k === n ? x - 1 : x, z[0]))));
    const m = top.length; // straight pieces need their ends only
    if (m > 1 && Math.abs((top[m - 1][1] - top[m - 2][1]) * (x - top[m - 2][0]) - (y - top[m - 2][1]) * (top[m - 1][0] - top[m - 2][0])) < 4 * (x - top[m - 2][0])) top[m - 1] = [x, y];
    else top.push([x, y]);
  }
  return [s0, z[0], s1, z[0], ...top.reverse().flat()];
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

// gapsOf finds, in a section along or across a unit line, what stays open over the wall or stop
// for each opening that runs along the line: between what the section cuts below and the roof or
// deck above, within the height of the void and the width of the opening. Made once.
function gapsOf(s) {
  if (s.gaps) return s.gaps;
  s.gaps = [];
  if (s.k !== "along" && s.k !== "across") return s.gaps;
  const lids = [], solids = [];
  for (const c of s.c) {
    if (c.b || ["web", "chord", "service", "space", "insulation"].includes(c.r)) continue;
    const into = c.r === "roof" || c.r === "deck" ? lids : solids;
    for (let i = 0; i + 3 < (c.x || []).length; i += 4) into.push([c.x[i], c.x[i + 1], c.x[i + 2], c.x[i + 1], c.x[i + 2], c.x[i + 3], c.x[i], c.x[i + 3]]);
    for (const r of c.g || []) into.push(r);
  }
  const len = Math.hypot(s.l[2] - s.l[0], s.l[3] - s.l[1]);
  for (const [i, at] of s.op || []) {
    const o = data.openings[i];
    if (!isLong(o) || !o.zr) continue;
    const reach = s.k === "across" ? 60 : (o.w / 2) * Math.abs(alongness(s, o)), from = Math.max(0, at - reach), to = Math.min(len, at + reach);
    if (to - from < 100) continue;
    const gap = { o, rings: [], at: null };
    let lower = [], upper = [];
    const close = () => {
      if (lower.length > 1) {
        const ring = [];
        for (const p of lower) ring.push(...p);
        for (const p of upper.reverse()) ring.push(...p);
        gap.rings.push(ring);
        const m = Math.floor(lower.length / 2);
        if (!gap.at || lower.length > gap.n) { gap.at = [lower[m][0], upper[upper.length - 1 - m][1]]; gap.n = lower.length; }
      }
      lower = []; upper = [];
    };
    const n = s.k === "across" ? 6 : 160;
    let foot = o.zr[0]; // across the line the highest part of the wall closes it
    if (s.k === "across") for (let k = 0; k <= n; k++) {
      const x = from + ((to - from) * k) / n + 0.31;
      for (const r of solids) { const z = spanAt(r, x); if (z[0] < o.zr[1]) foot = Math.max(foot, Math.min(z[1], o.zr[1])); }
    }
    for (let k = 0; k <= n; k++) {
      const x = from + ((to - from) * k) / n + (k === n ? -0.31 : 0.31);
      let under = o.zr[1], top = foot;
      for (const r of lids) { const z = spanAt(r, x); if (z[0] > o.zr[0] + 20) under = Math.min(under, z[0]); }
      for (const r of solids) { const z = spanAt(r, x); if (z[0] < under) top = Math.max(top, Math.min(z[1], under)); }
      if (under - top < 12) { close(); continue; }
      lower.push([x, top]); upper.push([x, under]);
    }
    close();
    if (gap.rings.length) s.gaps.push(gap);
  }
  return s.gaps;
}

// alongness is the cosine between an opening and a section; 1 where the direction is not known.
function alongness(s, o) {
  const dx = s.l[2] - s.l[0], dy = s.l[3] - s.l[1], n = Math.hypot(dx, dy) || 1;
  return o.al ? (o.al[0] * dx + o.al[1] * dy) / (1000 * n) : 1;
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
    ctx.text(x, l.z, [l.n, l.at], { size: 11, anchor: "start", cls: "level-name", or: [[x, l.z + 13 * px], [x, l.z - 13 * px]] });
  }
  for (const [name, at] of s.ul || []) ctx.text(at, b[3] + 520, name.replace("unit line ", ""), { size: 11, cls: "line-name" });
  const gaps = gapsOf(s);
  if (s.k === "across") for (const g of gaps) ctx.taken.push(...g.rings.map((r) => boxOf([r])));
  if (ctx.stage.opt.marks) for (const [i, at] of s.m || []) {
    const it = data.items[i];
    if (!shown(it)) continue;
    const gap = gaps.find((g) => ["attic-draftstop-line", "floor-draftstop-line", "separation-spread", "separation-continuity", "draftstop-complete"].includes(it.ck) && Math.abs(it.p[2] - g.at[1]) < 2500 && it.p[2] > g.o.zr[0] - 300 && it.p[2] < g.o.zr[1] + 300);
    ctx.mark(gap ? gap.at[0] : at, gap ? gap.at[1] - 20 : it.p[2], it);
  }
  for (const [i, at] of s.op || []) {
    const o = data.openings[i];
    if (isLong(o) || px >= 30) continue;
    const low = o.p[2] - o.h / 2 - 10 * px, high = o.p[2] + o.h / 2 + 10 * px;
    ctx.text(at, low, `${o.id}  ${o.s}`, { size: 10.5, cls: "opening-name", or: [[at, high], [at, low - 13 * px], [at, high + 13 * px]] });
  }
  for (const g of gaps) {
    const x = g.at[0], y = g.at[1] + (s.k === "across" ? 26 * px : 480);
    ctx.text(x, y, `${g.o.id}  ${g.o.k === "open line" ? "open over the line" : g.o.k}: ${g.o.s}`, { size: 11.5, cls: "opening-name", always: true, or: [[x, y + 14 * px], [x, g.at[1] - 500 - 14 * px], [x, y + 28 * px]] });
  }
}
