// Filters hold for the comments, the table of what is met, and the marks on drawings.
const filter = { unit: "", level: "", check: "", outcomes: new Set(["deficient", "not-shown", "exempt", "note"]) };

function shown(it) {
  if (!filter.outcomes.has(it.o)) return false;
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
    const on = !r.it || shown(r.it);
    r.node.hidden = !on;
    if (on && r.it) seenCount++;
  }
  for (const c of document.querySelectorAll(".comment")) c.hidden = !c.querySelector("li[data-key]:not([hidden])");
  for (const d of document.querySelectorAll("[data-group]")) {
    const n = d.querySelectorAll("tr[data-key]:not([hidden])").length;
    d.hidden = n === 0;
    d.querySelector(".count").textContent = n;
  }
  const h = document.querySelector(".notes-h");
  if (h) h.hidden = !document.querySelector(".comment.note:not([hidden])");
  byId("shown").textContent = `${seenCount} of ${data.items.length} items shown`;
}

function readFilter() {
  const f = byId("filters");
  filter.unit = f.elements.unit.value;
  filter.level = f.elements.level.value;
  filter.check = f.elements.check.value;
  filter.outcomes = new Set([...f.querySelectorAll("input[name=outcome]:checked")].map((i) => i.value));
  filterRows();
  if (stage && stage.drawing) stage.update();
}

function startFilter() {
  const f = byId("filters");
  f.addEventListener("change", readFilter);
  f.addEventListener("submit", (e) => e.preventDefault());
  f.addEventListener("reset", () => setTimeout(() => {
    for (const i of f.querySelectorAll("input[name=outcome]")) i.checked = true;
    readFilter();
  }));
  // The table of what is met is its own place: marks of it are drawn only when asked for.
  filter.outcomes.add("meets");
  filterRows();
  filter.outcomes.delete("meets");
  byId("shown").textContent = `${data.items.filter(shown).length} of ${data.items.length} items shown`;
}

// lift takes away a filter that would hide an item that is asked for.
function lift(it) {
  if (shown(it)) return;
  const f = byId("filters");
  f.elements.unit.value = f.elements.level.value = f.elements.check.value = "";
  const box = f.querySelector(`input[name=outcome][value="${CSS.escape(it.o)}"]`);
  if (box) box.checked = true;
  readFilter();
}
