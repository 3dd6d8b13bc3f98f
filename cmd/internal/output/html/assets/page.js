// The page: which drawing is on the stage, the links between comments and drawings, printing.
let stage = null;

const drawingMakers = new Map();
for (const s of data.sheets) drawingMakers.set(s.id, { group: "Plans", title: `${s.id}  ${s.t}`, make: () => planDrawing(s), sheet: s });
for (const s of data.sections) drawingMakers.set(s.id, { group: "Sections", title: `${s.id}  ${s.t}`, make: () => sectionDrawing(s), section: s });
for (const v of data.views) drawingMakers.set("V" + v.s, { group: "Views of the voids", title: v.t, make: () => viewDrawing(v), view: v });

// asks counts the places on a drawing that ask for an answer; with filtered, only those that
// the filter shows.
function asks(m, filtered) {
  const open = (it) => !it.q && (it.o === "deficient" || it.o === "not-shown") && (!filtered || shown(it));
  if (m.sheet) return data.items.filter((it) => it.sh >= 0 && data.sheets[it.sh] === m.sheet && open(it)).length;
  if (m.section) return (m.section.m || []).filter(([i]) => open(data.items[i])).length;
  return (m.view.r || []).filter((r) => !filtered || shown(data.items[r.i])).length;
}

// concerns reports whether a drawing shows something of the unit and the level of the filter.
function concerns(m) {
  const units = m.sheet ? null : m.section ? m.section.u : m.view.u;
  if (filter.unit && units && units.length && !units.includes(filter.unit)) return false;
  return !(m.sheet && filter.level !== "" && m.sheet.lv !== Number(filter.level));
}

// fillDrawings lists the drawings that the filter leaves, and the one that is open.
function fillDrawings() {
  const sel = byId("drawing"), open = stage && stage.drawing ? stage.drawing.key : "", groups = new Map();
  sel.replaceChildren();
  for (const [id, m] of drawingMakers) {
    if (id !== open && !concerns(m)) continue;
    if (!groups.has(m.group)) { const g = html("optgroup", { label: m.group }); groups.set(m.group, g); sel.append(g); }
    const n = asks(m);
    groups.get(m.group).append(html("option", { value: id }, m.title + (n ? `  (${n} open)` : "")));
  }
  if (open) sel.value = open;
}

function openDrawing(id, keepView) {
  const m = drawingMakers.get(id);
  if (!m || !stage) return false;
  if (!(keepView && stage.drawing && stage.drawing.key === id)) stage.show(m.make());
  byId("drawing").value = id;
  if (byId("drawing").value !== id) fillDrawings(); // the filter had left it out
  legend(byId("legend"), stage.drawing);
  byId("drawing-note").replaceChildren(m.view ? viewNote(m.view) : "");
  return true;
}

// showItem brings the place of an item onto the stage and points it out.
function showItem(key) {
  const it = data.items[keyIndex.get(key)];
  if (!it || !stage) return;
  lift(it);
  lit = key;
  const here = stage.drawing && stage.drawing.section && (stage.drawing.section.m || []).some(([i]) => data.items[i] === it);
  if (here) stage.update();
  else if (it.sh >= 0 && openDrawing(data.sheets[it.sh].id, true)) {
    const r = it.q ? 9000 : 3200;
    stage.look([it.p[0] - r, it.p[1] - r * 0.6, it.p[0] + r, it.p[1] + r * 0.6]);
  } else stage.update();
  light(byId("i-" + key));
  alsoOn(it);
  const s = byId("stage").getBoundingClientRect();
  if (s.bottom < 200 || s.top > window.innerHeight * 0.45) byId("drawings").scrollIntoView({ block: "start" });
}

// alsoOn names the other drawings on which an item is marked.
function alsoOn(it) {
  const others = [];
  for (const [id, m] of drawingMakers) {
    if (id === stage.drawing.key || others.length > 7) continue;
    if ((m.sheet && it.sh >= 0 && data.sheets[it.sh] === m.sheet) || (m.section && (m.section.m || []).some(([i]) => data.items[i] === it)) || (m.view && (m.view.r || []).some((r) => data.items[r.i] === it))) others.push([id, m]);
  }
  const p = html("p", {}, html("button", { type: "button", class: "show", on: { click: () => goToItem(it.key) } }, it.n ? `Back to ${it.n} in the comments` : "Back to its row"), others.length ? ". Also on: " : "");
  others.forEach(([id, m], i) => p.append(i ? ", " : "", html("button", { type: "button", class: "show", title: m.title, on: { click: () => openDrawing(id) } }, m.view ? "view of the voids" : id)));
  byId("drawing-note").replaceChildren(p);
}

function light(node) {
  for (const n of document.querySelectorAll(".lit")) n.classList.remove("lit");
  if (node) node.classList.add("lit");
}

// goToItem brings the place in the comments into view.
function goToItem(key) {
  const it = data.items[keyIndex.get(key)], node = byId("i-" + key);
  if (!node) return;
  if (it) lift(it);
  lit = key;
  for (let d = node.closest("details"); d; d = d.parentElement.closest("details")) d.open = true;
  light(node);
  node.scrollIntoView({ block: "center" });
  const b = node.querySelector("button, a");
  if (b) b.focus({ preventScroll: true });
  if (stage && stage.drawing) stage.update();
}

// The legend shows only what the drawing can hold.
const swatch = (cls, d, more) => svg("svg", { viewBox: "0 0 30 16", width: 30, height: 16, class: "swatch drawing", "aria-hidden": "true" }, svg("path", { class: cls, d }), more);
const BOX = "M2 2H28V14H2Z", LINE = "M2 8H28";
const legends = {
  plan: [["comp within", BOX, "compartment within its limit"], ["comp plain", BOX, "compartment without a limit"], ["comp over", BOX, "over the limit"], ["comp joined", BOX, "over it with what is joined"],
    ["wall separation", BOX, "unit separation"], ["wall", BOX, "wall"], ["stop draftstop", "M2 6H28V10H2Z", "draftstop"], ["stop block", "M11 4H19V12H11Z", "block"], ["opening-bar", LINE, "opening"],
    ["service", "M2 5H28V11H2Z", "service"], ["framing", LINE, "truss or joist"], ["proposed", LINE, "proposed stop"], ["cavity", BOX, "wall cavity"]],
  section: [["cut wood", BOX, "framing"], ["cut board", BOX, "gypsum board"], ["cut deck", BOX, "deck"], ["cut roof", BOX, "roof"], ["cut cut-stop", BOX, "stop or block, cut"], ["cut cut-stop beyond", BOX, "stop behind the section"], ["cut service", BOX, "service"], ["cut solid", BOX, "solid wall"], ["cut space", BOX, "void known from layers"], ["cut insulation", BOX, "insulation"], ["gap", BOX, "open"], ["opening-box", "M2 2H28V14H2ZM2 2L28 14M28 2L2 14", "opening"], ["proposed", LINE, "proposed stop"]],
  view: [["solid-swatch", BOX, "concealed space"], ["solid-swatch reached", BOX, "space on the way of the fire"], ["route", LINE, "way of the fire, openings numbered"]],
};
function legend(host, d) {
  host.replaceChildren();
  for (const [cls, shape, word] of legends[d.legend] || []) {
    if (d.view && /way of/.test(word) && !(d.view.r || []).length) continue;
    if (d.sheet && !planHas(d.sheet, word)) continue;
    if (d.section && !sectionHas(d.section, cls) && !(d.also && sectionHas(d.also.section, cls))) continue;
    const hatch = cls === "comp over" || cls === "gap" ? "over" : cls === "comp joined" ? "joined" : "";
    host.append(html("span", { class: "legend-item" }, swatch(cls, shape, cls === "opening-bar" ? svg("path", { class: "opening-core", d: LINE }) : hatch ? svg("path", { d: hatch === "over" ? "M2 14L14 2M10 14L22 2M18 14L28 4" : "M2 14L14 2M18 14L28 4", class: "h-" + hatch }) : null), word));
  }
  if (d.legend === "view") return;
  for (const o of ["deficient", "not-shown", "exempt", "note"]) if (data.items.some((it) => it.o === o && !it.q)) host.append(html("span", { class: "legend-item" }, html("span", { class: "tag small " + o }, "1"), outcomeWord(o).toLowerCase()));
}
function sectionHas(s, cls) {
  const has = (f) => s.c.some((c) => f(c.r, c.b));
  switch (cls) {
    case "cut wood": return has((r) => isWood(r));
    case "cut cut-stop": return has((r, b) => isStop(r) && !b);
    case "cut cut-stop beyond": return has((r, b) => isStop(r) && b);
    case "gap": return gapsOf(s).length > 0;
    case "opening-box": return (s.op || []).some(([i]) => !isLong(data.openings[i]));
    case "proposed": return (s.ps || []).length > 0;
  }
  return has((r) => r === cls.slice(4));
}
function planHas(s, word) {
  const c = (s.c || []).map((i) => data.comps[i]), own = c.filter((x) => data.voids[x.v].k !== "wall");
  switch (word) {
    case "compartment within its limit": return own.some((x) => x.st === "within");
    case "compartment without a limit": return own.some((x) => !x.st);
    case "over the limit": return own.some((x) => x.st === "over");
    case "over it with what is joined": return own.some((x) => x.st === "joined");
    case "wall cavity": return own.length < c.length;
    case "draftstop": return (s.st || []).some((i) => data.stops[i].k === "draftstop");
    case "block": return (s.st || []).some((i) => data.stops[i].k === "block");
    case "opening": return (s.op || []).length > 0;
    case "service": return (s.sv || []).length > 0;
    case "truss or joist": return (s.fr || []).length > 0;
    case "proposed stop": return data.proposed.some((p) => data.sheets[p.sh] === s);
    case "unit separation": return data.walls.some((w) => w.s && w.lv === s.wl);
  }
  return true;
}

function start() {
  startFilter();
  document.addEventListener("click", (e) => {
    const show = e.target.closest("[data-show]"), sheet = e.target.closest("[data-void-sheet]");
    if (show) showItem(show.dataset.show);
    else if (sheet) openVoid(sheet.dataset.voidSheet);
  });
  document.addEventListener("keydown", (e) => { if (e.key === "Escape") escape(); });
  window.addEventListener("hashchange", fromHash);
  byId("print-now").addEventListener("click", () => window.print());
  window.addEventListener("beforeprint", beforePrint);
  window.addEventListener("afterprint", afterPrint);
  if (byId("stage") && drawingMakers.size) {
    fillDrawings();
    stage = new Stage(byId("stage"), { onMark: (it) => goToItem(it.key) });
    const sel = byId("drawing"), ids = [...drawingMakers.keys()];
    sel.addEventListener("change", () => openDrawing(sel.value));
    const step = (d) => { const list = [...sel.options].map((o) => o.value); openDrawing(list[(list.indexOf(sel.value) + d + list.length) % list.length]); };
    byId("drawing-back").addEventListener("click", () => step(-1));
    byId("drawing-on").addEventListener("click", () => step(1));
    byId("zoom-in").addEventListener("click", () => stage.zoom(1.4));
    byId("zoom-out").addEventListener("click", () => stage.zoom(1 / 1.4));
    byId("zoom-all").addEventListener("click", () => stage.whole());
    for (const k of ["framing", "services", "marks"]) byId("show-" + k).addEventListener("change", (e) => { stage.opt[k] = e.target.checked; stage.show(drawingMakers.get(sel.value).make(), true); });
    // Begin with the plan on which most asks for an answer.
    openDrawing(ids.reduce((a, b) => (drawingMakers.get(b).sheet && asks(drawingMakers.get(b)) > asks(drawingMakers.get(a)) ? b : a), ids[0]));
  }
  fromHash();
}

// escape closes the sheet of a space, or takes away what is pointed out.
function escape() {
  const close = document.querySelector("#void-sheet .vsheet-close");
  if (close) { close.click(); return; }
  if (!lit) return;
  lit = null;
  light(null);
  if (stage && stage.drawing) stage.update();
}

function fromHash() {
  const h = decodeURIComponent(location.hash.slice(1));
  if (h.startsWith("i-")) goToItem(h.slice(2));
  else if (/^V[0-9]/.test(h)) openVoid(h);
}
start();
