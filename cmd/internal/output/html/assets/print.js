// Printing: every drawing that has something to answer, then the sheets of the voids that have;
// what the filter hides is left out, and the first page says so. Pages are made for the print
// and taken away after it.
const mostDrawings = 80, mostSheets = 60, mostStrips = 24;
// Sizes in CSS pixels that fit A4 and Letter inside the margins, and the coarsest scale at
// which marks can still be told apart, in mm of building for each pixel (about 1:250).
const upright = [655, 800], lying = [925, 545], coarsest = 66;

function beforePrint() {
  afterPrint();
  for (const d of document.querySelectorAll("details:not(.ids):not(.print-parts)")) if (!d.open) { d.open = true; d.dataset.shut = ""; }
  const left = leftOut(), host = html("div", { id: "print" });
  for (const name of left) document.body.classList.add("without-" + name);
  byId("summary").append(html("p", { class: "left-out", id: "print-note" }, printNote(left)));
  document.querySelector("main").insertBefore(host, byId("met"));
  if (!left.includes("drawings")) printDrawings(host);
  if (!left.includes("sheets")) printSheets(host);
}

// leftOut names the parts that are not to be printed.
const leftOut = () => [...document.querySelectorAll("#print-parts input")].filter((i) => !i.checked).map((i) => i.value);

// printNote says on paper what the filter and the choice of parts keep from it.
function printNote(left) {
  const words = filterWords(), parts = [...document.querySelectorAll("#print-parts input")].filter((i) => left.includes(i.value)).map((i) => i.parentNode.textContent.trim().toLowerCase());
  const n = data.items.filter((it) => (it.o === "meets" ? within(it) : shown(it))).length;
  return `Printed: ${n} of ${data.items.length} items${words.length ? ` (${words.join("; ")})` : ""}.` + (parts.length ? ` Left out of this print: ${parts.join(", ")}.` : "");
}

function printDrawings(host) {
  const wanted = [...drawingMakers.values()].filter((m) => {
    const whole = m.sheet || (m.section && (m.section.k === "long" || m.section.k === "cross"));
    return asks(m, true) || whole;
  });
  const list = wanted.slice(0, mostDrawings);
  for (let i = 0; i < list.length; i++) {
    const m = list[i], next = list[i + 1];
    // The two sides of one unit line stand on one page.
    if (next && paired(m, next)) { printPair(host, m, next); i++; } else printDrawing(host, m);
  }
  if (wanted.length > mostDrawings) host.append(html("p", { class: "left-out" }, `${wanted.length - mostDrawings} more drawings are left out of this print: filter by dwelling unit or level and print in parts.`));
}

const paired = (a, b) => a.section && b.section && a.section.k === "along" && b.section.k === "along" && a.section.s === b.section.s && [a, b].every((m) => {
  const x = m.make().box;
  return (x[3] - x[1]) / (x[2] - x[0]) < 0.8;
});

function printPair(host, a, b) {
  const page = html("section", { class: "print-page tall" });
  host.append(page);
  for (const m of [a, b]) {
    const d = m.make();
    page.append(html("h2", {}, d.title));
    drawn(page, d, [upright[0], 395]);
  }
  const leg = html("div", { class: "legend" });
  page.append(leg);
  legend(leg, Object.assign({}, a.make(), { also: b.make() }));
}

function printDrawing(host, m) {
  const d = m.make(), strips = stripsOf(m, d);
  if (strips.length > 1) { printStrips(host, m, d, strips); return; }
  const wide = d.box[2] - d.box[0] > (d.box[3] - d.box[1]) * 1.15;
  const page = html("section", { class: "print-page " + (wide ? "wide" : "tall") }, html("h2", {}, d.title));
  host.append(page);
  if (d.start && !wide) { // the whole and, under it, the place that matters
    drawn(page, d, [upright[0], 430]);
    page.append(html("p", { class: "strip-name" }, "At the unit line"));
    drawn(page, Object.assign({}, d, { box: d.start, start: null }), [upright[0], 345]);
  } else drawn(page, d, wide ? lying : upright);
  const leg = html("div", { class: "legend" });
  page.append(leg);
  legend(leg, d);
  if (m.view) page.append(viewNote(m.view));
}

// drawn puts a drawing on a page, as large as fits.
function drawn(page, d, most) {
  const w = d.box[2] - d.box[0], h = d.box[3] - d.box[1], k = Math.min(most[0] / w, most[1] / h);
  const holder = html("div", { class: "print-drawing" });
  page.append(holder);
  const st = new Stage(holder, { fixed: [Math.max(300, Math.round(w * k)), Math.max(120, Math.round(h * k))] });
  st.show(d);
  return st;
}

// stripsOf cuts a drawing that would be too small on one page into parts from left to right,
// each a little over the next.
function stripsOf(m, d) {
  const w = d.box[2] - d.box[0];
  if (m.view || w / lying[0] <= coarsest) return [d.box];
  const over = 3000, part = upright[0] * coarsest - over, n = Math.ceil((w - over) / part), step = (w - over) / n;
  return Array.from({ length: n }, (_, i) => [d.box[0] + i * step, d.box[1], d.box[0] + (i + 1) * step + over, d.box[3]]);
}

function printStrips(host, m, d, strips) {
  let list = strips.map((box, i) => ({ box, i }));
  if (list.length > mostStrips) list = list.filter((s) => asksIn(m, s.box)); // only where something asks for an answer
  const tall = (upright[0] * (d.box[3] - d.box[1])) / (strips[0][2] - strips[0][0]), each = Math.max(1, Math.floor(870 / (tall + 22)));
  for (let k = 0; k < list.length; k += each) {
    const page = html("section", { class: "print-page tall" }, html("h2", {}, d.title + (k ? ", continued" : "")));
    host.append(page);
    for (const s of list.slice(k, k + each)) {
      page.append(html("p", { class: "strip-name" }, `Part ${s.i + 1} of ${strips.length}, from left to right`));
      drawn(page, m.sheet ? planDrawing(m.sheet, { box: s.box }) : sectionDrawing(m.section, { box: s.box }), [upright[0], upright[1]]);
    }
    const leg = html("div", { class: "legend" });
    page.append(leg);
    legend(leg, d);
  }
  if (list.length < strips.length) host.append(html("p", { class: "left-out" }, `${d.title}: ${strips.length - list.length} of ${strips.length} parts in which nothing asks for an answer are left out of this print.`));
}

// asksIn reports whether something in a part of a drawing asks for an answer.
function asksIn(m, box) {
  const open = (it) => !it.q && (it.o === "deficient" || it.o === "not-shown") && shown(it);
  if (m.sheet) return data.items.some((it) => it.sh >= 0 && data.sheets[it.sh] === m.sheet && open(it) && it.p[0] >= box[0] && it.p[0] <= box[2]);
  return (m.section.m || []).some(([i, s]) => open(data.items[i]) && s >= box[0] && s <= box[2]);
}

function printSheets(host) {
  const asked = data.voids.filter((v) => (v.i || []).some((i) => { const it = data.items[i]; return (it.o === "deficient" || it.o === "not-shown") && shown(it); }));
  if (!asked.length) return;
  host.append(html("h2", { class: "sheets-h" }, "Sheets of the spaces that ask for an answer"));
  for (const v of asked.slice(0, mostSheets)) {
    const s = voidSheet(v.id, true);
    host.append(s);
    s.drawPlan();
  }
  if (asked.length > mostSheets) host.append(html("p", { class: "left-out" }, `Sheets of ${asked.length - mostSheets} more spaces are left out of this print: filter by dwelling unit or level and print in parts.`));
}

function afterPrint() {
  for (const id of ["print", "print-note"]) { const n = byId(id); if (n) n.remove(); }
  for (const c of [...document.body.classList]) if (c.startsWith("without-")) document.body.classList.remove(c);
  for (const d of document.querySelectorAll("details[data-shut]")) { d.open = false; delete d.dataset.shut; }
}
