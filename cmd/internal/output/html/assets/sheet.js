// Void sheets: everything about one concealed space on one sheet.
function voidSheet(id, printing) {
  const n = voidIndex.get(id.split(".")[0]);
  if (n === undefined) return null;
  const v = data.voids[n];
  const box = html("article", { class: "vsheet", "aria-label": "Sheet of " + v.id });
  box.append(html("h3", {}, html("span", { class: "vsheet-id" }, v.id), ` ${v.kw}`, printing ? null : html("button", { type: "button", class: "vsheet-close", on: { click: () => closeVoid(box) } }, "Close")));
  const facts = html("dl", { class: "vsheet-facts" });
  if (v.k === "wall" && v.c && v.c.length > 4) v.f = v.f.filter((f) => f[0] !== "Parts").concat([["Parts", `${v.c.length}, between its studs, plates and blocks`]]);
  const one = printing && v.c && v.c.length === 1 ? data.comps[v.c[0]] : null; // needs no table of its own
  const more = one ? [["Part", [one.id, one.lim ? `limit ${one.lim}` : "", stateWord(one)].filter((w) => w).join(", ")]] : [];
  for (const [k, w] of v.f.concat(more)) facts.append(html("div", {}, html("dt", {}, k), html("dd", {}, w)));
  const plan = html("div", { class: "vsheet-plan" });
  box.append(html("div", { class: "vsheet-head" }, facts, plan));
  if (!one && v.c && v.c.length && (v.k !== "wall" || v.c.length <= 4)) box.append(html("h4", {}, "Compartments"), compartmentTable(v));
  const opens = data.openings.filter((o) => o.c.some((c) => c >= 0 && data.comps[c].v === n));
  if (opens.length) box.append(html("h4", {}, "Openings"), openingTable(opens, n));
  box.append(html("h4", {}, "Items"), itemTable(v, printing));
  box.drawPlan = () => drawVoidPlan(v, n, plan, printing);
  return box;
}

function table(heads, rows) {
  const t = html("table", { class: "list" }, html("thead", {}, html("tr", {}, ...heads.map((h) => html("th", { scope: "col", class: h[1] || null }, h[0])))));
  const body = html("tbody");
  for (const r of rows) body.append(html("tr", {}, ...r.map((c, i) => html("td", { "data-th": heads[i][0], class: heads[i][1] || null }, ...(Array.isArray(c) ? c : [c])))));
  t.append(body);
  return t;
}

// stateWord says how a compartment stands to its limit; empty without one.
function stateWord(c) {
  const word = { over: "over the limit", joined: "over the limit with what openings join to it", within: "within the limit" };
  return (c.st ? word[c.st] || outcomeWord(c.st) : "") + (c.jn ? `: ${c.jn}` : "");
}

function compartmentTable(v) {
  const few = v.c.length > 24 ? v.c.slice(0, 24) : v.c;
  const t = table([["Part", "short"], ["Units", "short"], ["Area", "num"], ["Limit", "num"], ["Height", "num"], ["Volume", "num"], ["Result"]],
    few.map((i) => { const c = data.comps[i]; return [c.id, (c.u || []).join(" "), c.a, c.lim || "", c.h || "", c.vol || "", stateWord(c)]; }));
  return few === v.c ? t : html("div", {}, t, html("p", {}, `and ${v.c.length - few.length} more`));
}

function openingTable(opens, n) {
  return table([["Opening"], ["What it is"], ["Clear size"], ["Leads to"]], opens.map((o) => {
    const other = o.c.map((c) => (c >= 0 ? data.comps[c] : null)).filter((c) => c && c.v !== n);
    const own = [...new Set(o.c.filter((c) => c >= 0))].map((c) => data.comps[c]);
    if (!other.length && own.length === 1) return [o.id, o.k, o.s, `${own[0].id} on its other side`];
    const to = other.length ? other : own;
    return [o.id, o.k, o.s, to.map((c) => data.voids[c.v].kw + " " + c.id).join(", ")];
  }));
}

// itemTable lists the items of a space; on paper those that need no answer are counted only,
// since they stand in the tables of the report.
function itemTable(v, printing) {
  const all = (v.i || []).map((i) => data.items[i]).filter((it) => it.ck !== "void-summary");
  const items = printing ? all.filter((it) => it.n && shown(it)) : all;
  if (!all.length) return html("p", {}, "No item speaks of this space.");
  if (items.length < all.length) {
    const n = all.length - items.length;
    return html("div", {}, items.length ? itemRows(items) : null, html("p", {}, `and ${n} more ${n === 1 ? "item" : "items"} in the tables of this report`));
  }
  return itemRows(items);
}

function itemRows(items) {
  return table([["No.", "short"], ["Outcome", "short"], ["Requirement"], ["Place", "place"], ["Measured", "short"]], items.map((it) => [
    it.n ? html("button", { type: "button", class: "show", on: { click: () => goToItem(it.key) } }, it.n) : "", [html("span", { class: "sign " + it.o }), outcomeWord(it.o)], it.t, it.pl, it.m || "",
  ]));
}

function drawVoidPlan(v, n, host, printing) {
  const rings = (v.c || []).flatMap((i) => data.comps[i].o);
  if (v.sh < 0 || !data.sheets[v.sh] || !rings.length) { host.remove(); return; }
  const b = boxOf(rings), d = Math.max(b[2] - b[0], b[3] - b[1]) * 0.06 + 500;
  const w = printing ? 380 : Math.max(240, host.getBoundingClientRect().width), box = grown(b, d);
  const h = Math.min(printing ? 230 : 420, Math.max(150, (w * (box[3] - box[1])) / (box[2] - box[0])));
  const st = new Stage(host, { fixed: [w, h] });
  st.show(Object.assign(planDrawing(data.sheets[v.sh], { box, only: n })));
}

// opener is what the open sheet of a space was asked for with: the focus goes back to it.
let opener = null;
function closeVoid(sheet) {
  sheet.remove();
  if (opener && opener.isConnected) opener.focus();
  opener = null;
}

function openVoid(id) {
  const host = byId("void-sheet"), sheet = voidSheet(id, false);
  if (!sheet) return;
  if (!host.contains(document.activeElement)) opener = document.activeElement === document.body ? null : document.activeElement;
  host.replaceChildren(sheet);
  sheet.drawPlan();
  host.scrollIntoView({ block: "start" });
  host.focus({ preventScroll: true });
}
