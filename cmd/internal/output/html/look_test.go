package html_test

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"voidcheck/checks/finding"
)

// eachDrawing runs a function over every drawing and gathers what it complains about.
const eachDrawing = `(() => { const sel = document.getElementById("drawing"), bad = [];
	for (const id of [...sel.options].map((o) => o.value)) { sel.value = id; sel.dispatchEvent(new Event("change"));
		for (const b of (%s)(document.querySelector("#stage"), id)) bad.push(id + ": " + b); }
	return bad.slice(0, 12); })()`

// No mark lies over another or over a text, and all are in the picture, on a wide screen and on
// a narrow one.
// Where a plan is named it must have some.
func testMarksApart(t *testing.T, ctx context.Context, plan string) {
	for _, wide := range []int64{1300, 390} {
		do(t, ctx, chromedp.EmulateViewport(wide, 900))
		bad := eval[[]string](t, ctx, fmt.Sprintf(eachDrawing, `(stage) => { const out = [], frame = stage.getBoundingClientRect();
			const box = (n) => { const r = n.getBoundingClientRect(); return { l: r.left + 1, t: r.top + 1, r: r.right - 1, b: r.bottom - 1, word: n.textContent }; };
			const marks = [...stage.querySelectorAll(".mark-face")].map(box), texts = [...stage.querySelectorAll("text.label:not(.route-word)")].map(box);
			const meet = (a, b) => a.l < b.r && b.l < a.r && a.t < b.b && b.t < a.b;
			marks.forEach((m, i) => {
				if (m.l < frame.left || m.r > frame.right || m.t < frame.top || m.b > frame.bottom) out.push("mark " + m.word + " leaves the picture");
				for (const o of marks.slice(i + 1)) if (meet(m, o)) out.push("marks " + m.word + " and " + o.word + " overlap");
				for (const o of texts) if (meet(m, o)) out.push("mark " + m.word + " lies over " + o.word);
			});
			return out; }`))
		for _, b := range bad {
			t.Errorf("at %d px: %s", wide, b)
		}
		if plan == "" {
			continue
		}
		if n := eval[int](t, ctx, `(() => { const sel = document.getElementById("drawing"); sel.value = "`+plan+`"; sel.dispatchEvent(new Event("change")); return document.querySelectorAll("#stage .mark").length; })()`); n < 8 {
			t.Errorf("at %d px: %d marks on the plan of the floor void, want the deficient places", wide, n)
		}
	}
	do(t, ctx, chromedp.EmulateViewport(1300, 900))
}

// Texts stand out from what is behind them by 4.5 to 1, large ones by 3 to 1 (Web Content
// Accessibility Guidelines 2.2, criterion 1.4.3, with its formula for luminance).
func testContrast(t *testing.T, ctx context.Context) {
	bad := eval[[]string](t, ctx, `(() => { const shut = [...document.querySelectorAll("details")].filter((d) => !d.open); for (const d of shut) d.open = true;
		const rgb = (s) => (s.match(/[\d.]+/g) || []).map(Number);
		const lum = (c) => { const f = c.slice(0, 3).map((v) => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; }); return 0.2126 * f[0] + 0.7152 * f[1] + 0.0722 * f[2]; };
		const behind = (n) => { for (; n; n = n.parentElement) { const c = rgb(getComputedStyle(n).backgroundColor); if (c.length && (c.length < 4 || c[3] === 1)) return c; } return [255, 255, 255]; };
		const bad = new Set(); let seen = 0;
		for (const n of document.querySelectorAll("body *")) {
			if (n.closest("svg") || !n.checkVisibility() || ![...n.childNodes].some((k) => k.nodeType === 3 && k.textContent.trim())) continue;
			const s = getComputedStyle(n), a = lum(rgb(s.color)), b = lum(behind(n)), ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
			const px = parseFloat(s.fontSize), large = px >= 24 || (px >= 18.6 && Number(s.fontWeight) >= 700);
			seen++;
			if (ratio < (large ? 3 : 4.5)) bad.add(n.tagName + "." + n.className + " " + ratio.toFixed(2));
		}
		// Texts in drawings stand on white with a white edge, numbers in marks on the marks.
		for (const n of document.querySelectorAll("#stage text, #stage tspan")) {
			const fill = lum(rgb(getComputedStyle(n).fill)), face = n.closest(".mark-face"), shape = face && face.querySelector("path, rect");
			const back = shape ? lum(rgb(getComputedStyle(shape).fill)) : 1, ratio = (Math.max(fill, back) + 0.05) / (Math.min(fill, back) + 0.05);
			seen++;
			if (ratio < 4.5) bad.add("in the drawing: " + n.textContent + " " + ratio.toFixed(2));
		}
		for (const d of shut) d.open = false;
		if (seen < 200) bad.add("only " + seen + " texts were looked at");
		return [...bad]; })()`)
	for _, b := range bad {
		t.Errorf("contrast: %s", b)
	}
}

// The gap drawn in the section along a unit line is as high as the findings measure it, and
// the stop proposed there stays under the roof.
func testGap(t *testing.T, ctx context.Context, r *finding.Report) {
	var line *finding.Opening
	for i := range r.Openings {
		if r.Openings[i].Kind == "line" {
			line = &r.Openings[i]
		}
	}
	if line == nil {
		t.Fatal("the demo has no open line")
	}
	got := eval[[]float64](t, ctx, `(() => { const sel = document.getElementById("drawing"); let best = [0, 0, 0], across = 0;
		for (const id of [...sel.options].map((o) => o.value).filter((v) => v[0] === "S")) { sel.value = id; sel.dispatchEvent(new Event("change"));
			const gaps = [...document.querySelectorAll("#stage .gap")]; if (!gaps.length) continue;
			// The points run along the foot and back along the top.
			const p = gaps[0].getAttribute("d").match(/-?[\d.]+/g).map(Number), n = p.length / 4, mid = Math.floor(n / 4);
			const at = (i) => [p[2 * i], -p[2 * i + 1]], foot = at(mid), top = at(2 * n - 1 - mid);
			if (/across/.test(sel.selectedOptions[0].textContent)) { across = top[1] - foot[1]; continue; }
			const roof = Math.max(...[...document.querySelectorAll("#stage .cut.roof")].flatMap((c) => c.getAttribute("d").match(/-?[\d.]+/g).map(Number)).filter((v, i) => i % 2).map((v) => -v));
			const stop = [...document.querySelectorAll("#stage .proposed.thin")].map((c) => Math.max(...c.getAttribute("d").match(/-?[\d.]+/g).map(Number).filter((v, i) => i % 2).map((v) => -v)));
			best = [top[1] - foot[1], Math.max(...p.filter((v, i) => i % 2 === 0)) - Math.min(...p.filter((v, i) => i % 2 === 0)), Math.max(...stop) - roof]; }
		return [...best, across]; })()`)
	if math.Abs(got[3]-1000*line.HeightM) > 6 {
		t.Errorf("across the unit line the gap is drawn %.0f mm high, measured is %.0f", got[3], 1000*line.HeightM)
	}
	if high, wide := got[0], got[1]; math.Abs(high-1000*line.HeightM) > 6 || math.Abs(wide-1000*line.WidthM) > 120 {
		t.Errorf("the gap is drawn %.0f mm high and %.0f mm wide, measured are %.0f and %.0f", high, wide, 1000*line.HeightM, 1000*line.WidthM)
	}
	if got[2] > 1 {
		t.Errorf("the proposed stop is drawn %.0f mm above the roof", got[2])
	}
}

// A stage that changes its shape and back shows again what it showed.
func testResize(t *testing.T, ctx context.Context) {
	view := func() string {
		do(t, ctx, chromedp.Sleep(100*time.Millisecond)) // the change of size is told after the layout
		return eval[string](t, ctx, `document.querySelector("#stage svg").getAttribute("viewBox")`)
	}
	do(t, ctx, chromedp.EmulateViewport(1300, 900))
	before := view()
	for _, w := range []int64{700, 500, 390, 900} {
		do(t, ctx, chromedp.EmulateViewport(w, 900))
		view()
	}
	do(t, ctx, chromedp.EmulateViewport(1300, 900))
	if after := view(); after != before {
		t.Errorf("after other widths the drawing shows %s, before %s", after, before)
	}
}

// Escape closes the sheet of a space and gives the focus back; Tab begins at the link that skips
// to the comments; what has the focus is seen to have it.
func testFocus(t *testing.T, ctx context.Context, r *finding.Report) {
	id := r.Spaces[0].ID
	do(t, ctx, chromedp.Focus(fmt.Sprintf(`#v-%s button`, id)), chromedp.KeyEvent("\r"))
	if !eval[bool](t, ctx, `!!document.querySelector("#void-sheet .vsheet")`) {
		t.Error("Enter on a space does not open its sheet")
	}
	do(t, ctx, chromedp.KeyEvent("\u001b"))
	if got := eval[string](t, ctx, `(document.querySelector("#void-sheet .vsheet") ? "open " : "") + document.activeElement.dataset.voidSheet`); got != id {
		t.Errorf("after Escape: %q, want the sheet of %s closed and the focus where it was opened", got, id)
	}
	first := eval[string](t, ctx, `(() => { const all = [...document.querySelectorAll("a[href], button, select, input, [tabindex='0']")]; all[0].focus(); const r = all[0].getBoundingClientRect();
		return all[0].className + " " + (r.left >= 0 && r.width > 20) + " " + getComputedStyle(all[0]).outlineStyle; })()`)
	if !strings.HasPrefix(first, "skip true") {
		t.Errorf("the first thing that takes the focus is %q, want the link past the drawings, in view", first)
	}
	if style := eval[string](t, ctx, `(() => { const s = document.getElementById("stage"); s.focus({ focusVisible: true }); return getComputedStyle(s).outlineStyle + " " + getComputedStyle(s).outlineWidth; })()`); style != "solid 3px" {
		t.Errorf("the drawing with the focus has the outline %q", style)
	}
	if n := eval[int](t, ctx, `[...document.querySelectorAll("#stage .mark")].filter((m) => m.getAttribute("tabindex") !== "0" || m.getAttribute("role") !== "link" || !m.getAttribute("aria-label")).length`); n != 0 {
		t.Errorf("%d marks cannot be reached or say nothing", n)
	}
}

// What filters and the choice of parts keep from the print is told on its first page.
func testPrintSays(t *testing.T, ctx context.Context) {
	got := eval[[]string](t, ctx, `(() => { const f = document.getElementById("filters"), out = [];
		const print = () => { window.dispatchEvent(new Event("beforeprint")); out.push(document.getElementById("print-note").textContent, String(document.querySelectorAll("#print > *").length)); window.dispatchEvent(new Event("afterprint")); };
		print();
		f.elements.unit.value = "U5"; f.dispatchEvent(new Event("change", { bubbles: true }));
		for (const v of ["drawings", "sheets"]) document.querySelector('#print-parts input[value="' + v + '"]').checked = false;
		print();
		for (const i of document.querySelectorAll("#print-parts input")) i.checked = true;
		f.elements.unit.value = ""; f.dispatchEvent(new Event("change", { bubbles: true }));
		out.push(String(document.body.className)); return out; })()`)
	if strings.Contains(got[0], "Left out") || strings.Contains(got[0], "unit") || got[1] == "0" {
		t.Errorf("the whole print says %q and has %s pages of drawings", got[0], got[1])
	}
	if !strings.Contains(got[2], "dwelling unit U5") || !strings.Contains(got[2], "Left out of this print: drawings, sheets of spaces.") || got[3] != "0" {
		t.Errorf("the print for U5 without drawings says %q and has %s pages of drawings", got[2], got[3])
	}
	if got[4] != "" {
		t.Errorf("after the print the page keeps the classes %q", got[4])
	}
}

// With a filter the list of drawings holds those of its unit.
func testDrawingList(t *testing.T, ctx context.Context) {
	got := eval[[]string](t, ctx, `(() => { const f = document.getElementById("filters"), sel = document.getElementById("drawing"), list = () => [...sel.options].map((o) => o.value).join(" ");
		sel.value = "P2"; sel.dispatchEvent(new Event("change"));
		const all = list(); f.elements.unit.value = "U5"; f.dispatchEvent(new Event("change", { bubbles: true })); const one = list();
		f.elements.unit.value = ""; f.dispatchEvent(new Event("change", { bubbles: true })); return [all, one, list(), sel.value]; })()`)
	if all, one := got[0], got[1]; !strings.Contains(one, "VS4") || strings.Contains(one, "VS1") || !strings.Contains(one, "P2") || len(one) >= len(all) || got[2] != all || got[3] != "P2" {
		t.Errorf("drawings: all %q, of U5 %q, again %q, open %q", all, one, got[2], got[3])
	}
}
