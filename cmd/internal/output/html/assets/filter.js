// Filters hold for the comments, the tables of items, the marks on drawings, and the print.
const filter = { unit: "", level: "", check: "", outcomes: new Set(["deficient", "not-shown", "exempt", "note"]) };

function shown(it) { return filter.outcomes.has(it.o) && within(it); }

// within is the filter without the outcome. Rows of what is met have a part of the page of their
// own: there the outcome decides over marks on drawings only.
function within(it) {
  if (filter.check && it.ck !== filter.check) return false;
  if (filter.level !== "" && it.lv !== Number(filter.level)) return false;
  return !filter.unit || (it.u || []).includes(filter.unit);
}

// Rows of the page by key; made once.
let rows = null;
function filterRows() {
  if (!rows) rows = [...document.querySelectorAll("[data-key][data-outcome]")].map((node) => ({ node, it: data.items[keyIndex.get(node.dataset.key)] }));
  let seenCount = 0;
  for (const r of rows) {
    const on = !r.it || (r.it.o === "meets" ? within(r.it) : shown(r.it));
    r.node.hidden = !on;
    if (on && r.it) seenCount++;
  }
  for (const c of document.querySelectorAll(".comment")) c.hidden = !c.querySelector("li[data-key]:not([hidden])");
  for (const d of document.querySelectorAll("[data-group]")) {
    const n = d.querySelectorAll("tr[data-key]:not([hidden])").length;
    d.hidden = n === 0;
    d.querySelector(".count").textContent = n;
  }
  const h = document.querySelector(".notes-part");
  if (h) h.hidden = !document.querySelector(".comment.note:not([hidden])");
  byId("none-fits").hidden = !document.querySelector(".comment") || !!document.querySelector(".comment:not([hidden])");
  byId("shown").textContent = `${seenCount} of ${data.items.length} items shown`;
}

function readFilter() {
  const f = byId("filters");
  filter.unit = f.elements.unit.value;
  filter.level = f.elements.level.value;
  filter.check = f.elements.check.value;
  filter.outcomes = new Set([...f.querySelectorAll("input[name=outcome]:checked")].map((i) => i.value));
  filterRows();
  if (stage && stage.drawing) { fillDrawings(); stage.update(); }
}

function startFilter() {
  const f = byId("filters");
  f.addEventListener("change", readFilter);
  f.addEventListener("submit", (e) => e.preventDefault());
  f.addEventListener("reset", () => setTimeout(readFilter));
  filterRows();
}

// lift takes away a filter that would hide an item that is asked for.
function lift(it) {
  if (shown(it)) return;
  const f = byId("filters");
  if (!within(it)) f.elements.unit.value = f.elements.level.value = f.elements.check.value = "";
  const box = f.querySelector(`input[name=outcome][value="${CSS.escape(it.o)}"]`);
  if (box) box.checked = true;
  readFilter();
}

// filterWords says what the filter keeps back, in words; empty when nothing.
function filterWords() {
  const f = byId("filters"), out = [];
  for (const name of ["unit", "level", "check"]) {
    const sel = f.elements[name];
    if (sel.value) out.push(`${sel.labels[0].firstChild.textContent.trim().toLowerCase()} ${sel.selectedOptions[0].textContent.trim()}`);
  }
  const kept = Object.keys(data.outcome).filter((o) => o !== "meets" && !filter.outcomes.has(o) && data.items.some((it) => it.o === o));
  if (kept.length) out.push("without " + kept.map((o) => outcomeWord(o).toLowerCase()).join(", "));
  return out;
}
