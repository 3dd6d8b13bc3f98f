// What every other part uses: the data, makers of nodes, small geometry. Texts from the data
// only ever become text nodes or attribute values.
const data = JSON.parse(document.getElementById("data").textContent);
for (const k of ["levels", "units", "grid", "walls", "doors", "framing", "stops", "services", "rooms", "voids", "comps", "openings", "items", "proposed", "sheets", "sections", "views"]) data[k] = data[k] || [];

const byId = (id) => document.getElementById(id);

function put(node, attrs, kids) {
  for (const k in attrs || {}) {
    if (attrs[k] === null || attrs[k] === undefined || attrs[k] === false) continue;
    if (k === "on") for (const e in attrs.on) node.addEventListener(e, attrs.on[e]);
    else node.setAttribute(k, attrs[k]);
  }
  for (const kid of kids) if (kid !== null && kid !== undefined && kid !== "") node.append(kid);
  return node;
}
const html = (tag, attrs, ...kids) => put(document.createElement(tag), attrs, kids);
const svg = (tag, attrs, ...kids) => put(document.createElementNS("http://www.w3.org/2000/svg", tag), attrs, kids);

// Paper has its y downwards, the building upwards.
function path(ring, close = true) {
  let d = "";
  for (let i = 0; i + 1 < ring.length; i += 2) d += (i ? "L" : "M") + ring[i] + " " + -ring[i + 1];
  return close ? d + "Z" : d;
}
const paths = (rings) => (rings || []).map((r) => path(r)).join("");

function boxOf(rings) {
  const b = [Infinity, Infinity, -Infinity, -Infinity];
  for (const r of rings) for (let i = 0; i + 1 < r.length; i += 2) {
    b[0] = Math.min(b[0], r[i]); b[1] = Math.min(b[1], r[i + 1]); b[2] = Math.max(b[2], r[i]); b[3] = Math.max(b[3], r[i + 1]);
  }
  return b;
}
const grown = (b, d) => [b[0] - d, b[1] - d, b[2] + d, b[3] + d];
const meets = (a, b) => a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];

function inside(rings, x, y) {
  let in_ = false;
  for (const r of rings) {
    for (let i = 0, j = r.length - 2; i < r.length; j = i, i += 2) {
      if ((r[i + 1] > y) !== (r[j + 1] > y) && x < ((r[j] - r[i]) * (y - r[i + 1])) / (r[j + 1] - r[i + 1]) + r[i]) in_ = !in_;
    }
  }
  return in_;
}

function toEdge(rings, x, y) {
  let best = Infinity;
  for (const r of rings) {
    for (let i = 0, j = r.length - 2; i < r.length; j = i, i += 2) {
      const dx = r[i] - r[j], dy = r[i + 1] - r[j + 1];
      const t = Math.max(0, Math.min(1, ((x - r[j]) * dx + (y - r[j + 1]) * dy) / (dx * dx + dy * dy || 1)));
      best = Math.min(best, Math.hypot(x - r[j] - t * dx, y - r[j + 1] - t * dy));
    }
  }
  return best;
}

// A point well inside rings, for their label, its distance to their edges, and other points
// where the label would do.
function middle(rings) {
  const b = boxOf(rings);
  let best = { x: (b[0] + b[2]) / 2, y: (b[1] + b[3]) / 2, room: -1 };
  const n = 14, all = [];
  for (let i = 0; i <= n; i++) for (let j = 0; j <= n; j++) {
    const x = b[0] + ((b[2] - b[0]) * (i + 0.5)) / (n + 1), y = b[1] + ((b[3] - b[1]) * (j + 0.5)) / (n + 1);
    if (!inside(rings, x, y)) continue;
    const d = toEdge(rings, x, y);
    all.push([x, y, d]);
    if (d > best.room + 1) best = { x, y, room: d };
  }
  const other = all.filter((p) => p[2] > best.room * 0.25).sort((p, q) => q[2] - p[2] || p[0] - q[0] || p[1] - q[1]);
  best.or = other.filter((p, i) => i % Math.ceil(other.length / 40) === 0);
  return best;
}

// Round lengths for scale bars, in mm: feet or metres.
function scaleSteps() {
  return data.us ? [1, 2, 5, 10, 20, 50, 100, 200].map((f) => [f * 304.8, f + " ft"]) : [0.5, 1, 2, 5, 10, 20, 50].map((m) => [m * 1000, m + " m"]);
}

const outcomeWord = (o) => (data.outcome[o] ? data.outcome[o].word : o);
const unitName = (id) => { const u = data.units.find((x) => x.id === id); return u ? u.n : id; };
const keyIndex = new Map(data.items.map((it, i) => [it.key, i]));
const voidIndex = new Map(data.voids.map((v, i) => [v.id, i]));
