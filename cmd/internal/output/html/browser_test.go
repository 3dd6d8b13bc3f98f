package html_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/html"
	"voidcheck/cmd/internal/review"
)

// browser starts Chromium, or skips the test where there is none.
func browser(t *testing.T) context.Context {
	t.Helper()
	path, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("no chromium on this machine: the report is not tried in a browser")
	}
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.UserDataDir(t.TempDir()),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-background-networking", true))
	alloc, cancel := chromedp.NewExecAllocator(context.Background(), opts...)
	t.Cleanup(cancel)
	ctx, cancel := chromedp.NewContext(alloc)
	t.Cleanup(cancel)
	// The first step starts the browser, which lives as long as that step's context.
	if err := chromedp.Do(ctx, chromedp.Navigate("about:blank")); err != nil {
		t.Fatal(err)
	}
	return ctx
}

// open writes a report to a file and opens it; what the console says is kept.
func open(t *testing.T, ctx context.Context, r *finding.Report) (complaints func() []string) {
	t.Helper()
	var b bytes.Buffer
	if err := html.Write(&b, r); err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(t.TempDir(), "findings.html")
	if err := os.WriteFile(name, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	heard := make(chan string, 100)
	messages := chromedp.Console(ctx)
	go func() {
		for m, err := range messages {
			if err != nil {
				return
			}
			select {
			case heard <- m.String():
			default:
			}
		}
	}()
	do(t, ctx, chromedp.EmulateViewport(1300, 900), chromedp.Navigate("file://"+name))
	return func() []string {
		time.Sleep(50 * time.Millisecond)
		var out []string
		for len(heard) > 0 {
			out = append(out, <-heard)
		}
		return out
	}
}

func do(t *testing.T, ctx context.Context, steps ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	ctx, cancel := context.WithTimeout(ctx, 90*time.Second)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		t.Fatal(err)
	}
}

func eval[T any](t *testing.T, ctx context.Context, js string) T {
	t.Helper()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](js))
	if err != nil {
		t.Fatalf("%s: %v", js, err)
	}
	return v
}

// reviewed is the review of the demonstration row, made once.
var reviewed = sync.OnceValues(func() (*review.Result, error) {
	dir := "../../../../testdata/demo/"
	return review.Run(context.Background(), review.Options{
		Models: []string{dir + "row-architecture.ifc", dir + "row-services.ifc"}, Submittal: dir + "submittal.json", Units: "us", Now: time.Unix(0, 0),
	})
})

// demo is the findings of the demonstration row; nobody may change them.
func demo(t testing.TB) *finding.Report {
	t.Helper()
	res, err := reviewed()
	if err != nil {
		t.Fatal(err)
	}
	return res.Report
}

// One browser goes through the report of the demonstration row as its readers would.
func TestInBrowser(t *testing.T) {
	ctx := browser(t)
	r := demo(t)
	complaints := open(t, ctx, r)
	t.Run("draws", func(t *testing.T) {
		if n := eval[int](t, ctx, `document.querySelectorAll("#stage svg .comp").length`); n < 5 {
			t.Errorf("%d compartments drawn on the first plan, want one or more for each of 5 units", n)
		}
		// Every drawing draws, and no coordinate is not a number.
		bad := eval[[]string](t, ctx, `(() => { const sel = document.getElementById("drawing"), bad = [];
			for (const o of [...sel.options]) { sel.value = o.value; sel.dispatchEvent(new Event("change"));
				const s = document.querySelector("#stage svg");
				if (s.querySelectorAll("path").length < 10) bad.push(o.value + " is empty");
				if (/NaN|Infinity|undefined/.test(s.outerHTML)) bad.push(o.value + " has no numbers"); }
			return bad; })()`)
		for _, b := range bad {
			t.Error(b)
		}
	})
	t.Run("filters", func(t *testing.T) { testFilters(t, ctx, r) })
	t.Run("links", func(t *testing.T) { testLinks(t, ctx, r) })
	t.Run("keyboard", func(t *testing.T) { testKeyboard(t, ctx) })
	t.Run("void sheet", func(t *testing.T) {
		id := r.Spaces[0].ID
		do(t, ctx, chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`document.querySelector("[data-void-sheet=%s]").click()`, id)))
		if s := eval[string](t, ctx, `document.querySelector("#void-sheet .vsheet").textContent`); !strings.Contains(s, id) || !strings.Contains(s, "Area in plan") {
			t.Errorf("the sheet of %s says %q", id, s)
		}
	})
	t.Run("narrow", func(t *testing.T) {
		do(t, ctx, chromedp.EmulateViewport(390, 844))
		wide := eval[[]string](t, ctx, `(() => { for (const d of document.querySelectorAll("details")) d.open = true;
			const out = []; for (const n of document.querySelectorAll("main *, header *")) { const r = n.getBoundingClientRect();
				if (r.width && r.right > 391 && !n.closest("svg, nav, .hidden, .list thead")) out.push(n.tagName + "." + n.className + " ends at " + Math.round(r.right)); }
			if (document.documentElement.scrollWidth > 390) out.push("page " + document.documentElement.scrollWidth);
			return out.slice(0, 5); })()`)
		for _, w := range wide {
			t.Errorf("at 390 px: %s", w)
		}
		do(t, ctx, chromedp.EmulateViewport(1300, 900))
	})
	t.Run("marks", func(t *testing.T) { testMarksApart(t, ctx, "P2") })
	t.Run("contrast", func(t *testing.T) { testContrast(t, ctx) })
	t.Run("gap", func(t *testing.T) { testGap(t, ctx, r) })
	t.Run("resize", func(t *testing.T) { testResize(t, ctx) })
	t.Run("focus", func(t *testing.T) { testFocus(t, ctx, r) })
	t.Run("list of drawings", func(t *testing.T) { testDrawingList(t, ctx) })
	t.Run("print says", func(t *testing.T) { testPrintSays(t, ctx) })
	t.Run("print", func(t *testing.T) { testPrint(t, ctx, r) })
	for _, c := range complaints() {
		t.Errorf("the console says: %s", c)
	}
}

func testFilters(t *testing.T, ctx context.Context, r *finding.Report) {
	set := func(name, value string) int {
		return eval[int](t, ctx, fmt.Sprintf(`(() => { const f = document.getElementById("filters"); f.elements[%q].value = %q; f.dispatchEvent(new Event("change", {bubbles: true}));
			return document.querySelectorAll("[data-key][data-outcome]:not([hidden])").length; })()`, name, value))
	}
	want := 0
	for i := range r.Items {
		for _, u := range r.Items[i].Units {
			if u == "U5" {
				want++
			}
		}
	}
	if got := set("unit", "U5"); got != want || want == 0 {
		t.Errorf("for unit U5 %d places are shown, want %d", got, want)
	}
	set("unit", "")
	want = 0
	for i := range r.Items {
		if r.Items[i].Check == "floor-draftstop-area" {
			want++
		}
	}
	if got := set("check", "floor-draftstop-area"); got != want {
		t.Errorf("for one check %d places are shown, want %d", got, want)
	}
	if n := eval[int](t, ctx, `[...document.querySelectorAll("#stage .mark")].filter((m) => !document.getElementById("i-" + m.dataset.key) || document.getElementById("i-" + m.dataset.key).hidden).length`); n != 0 {
		t.Errorf("%d marks stay on the drawing though their places are filtered out", n)
	}
	eval[chromedp.Void](t, ctx, `document.getElementById("filters").reset()`)
	do(t, ctx, chromedp.Sleep(50*time.Millisecond))
	if got := eval[int](t, ctx, `document.querySelectorAll("[data-key][data-outcome]:not([hidden])").length`); got != len(r.Items) {
		t.Errorf("after “Show all” %d items are shown, want %d", got, len(r.Items))
	}
}

func testLinks(t *testing.T, ctx context.Context, r *finding.Report) {
	key := r.Comments[0].Items[0]
	eval[chromedp.Void](t, ctx, fmt.Sprintf(`document.querySelector('[data-show="%s"]').click()`, key))
	if got := eval[string](t, ctx, `(document.querySelector("#stage .lit-mark") || {dataset: {}}).dataset.key || ""`); got != key {
		t.Errorf("from comment 1 the drawing points out %q, want %q", got, key)
	}
	if got := eval[string](t, ctx, `document.querySelector(".lit").id`); got != "i-"+key {
		t.Errorf("the place %q is lit, want %q", got, "i-"+key)
	}
	// And back, with the keyboard, from a mark to its place.
	back := eval[string](t, ctx, `(() => { const m = document.querySelector("#stage .mark"); m.focus(); m.dispatchEvent(new KeyboardEvent("keydown", {key: "Enter", bubbles: true}));
		const li = document.activeElement.closest("[data-key]"); return m.dataset.key + " " + (li ? li.dataset.key : ""); })()`)
	if a, b, _ := strings.Cut(back, " "); a != b || a == "" {
		t.Errorf("from the mark of %q the focus goes to %q", a, b)
	}
}

func testKeyboard(t *testing.T, ctx context.Context) {
	view := func() string {
		return eval[string](t, ctx, `document.querySelector("#stage svg").getAttribute("viewBox")`)
	}
	do(t, ctx, chromedp.Focus("#stage"), chromedp.KeyEvent("0"))
	whole := view()
	do(t, ctx, chromedp.KeyEvent("+"))
	closer := view()
	do(t, ctx, chromedp.KeyEvent("\u0302"), chromedp.KeyEvent("0")) // a key without a meaning changes nothing
	if closer == whole || view() != whole {
		t.Errorf("whole %s, closer %s, whole again %s", whole, closer, view())
	}
	// Tab leads from the stage to its buttons.
	do(t, ctx, chromedp.KeyEvent("\t"))
	if got := eval[bool](t, ctx, `document.activeElement !== document.body && document.activeElement.id !== "stage"`); !got {
		t.Error("the Tab key stays on the drawing")
	}
}

func testPrint(t *testing.T, ctx context.Context, r *finding.Report) {
	for _, paper := range []struct {
		name string
		size chromedp.PaperSize
		w, h string // points
	}{{"A4", chromedp.PaperA4, "59[45]", "84[12]"}, {"Letter", chromedp.PaperLetter, "612", "792"}} {
		pdf, err := chromedp.Run(ctx, chromedp.PrintToPDF(chromedp.PDFPaper(paper.size), chromedp.PDFPrintBackground(), chromedp.PDFPreferCSSPageSize()))
		if err != nil {
			t.Fatal(err)
		}
		pages := regexp.MustCompile(`/Type\s*/Page\b`).FindAll(pdf, -1)
		if len(pages) < 10 || len(pages) > 90 {
			t.Errorf("%s: %d pages, want the text, %d plans and sections and some sheets", paper.name, len(pages), len(r.Drawing.Sections))
		}
		upright := regexp.MustCompile(`/MediaBox\s*\[0 0 ` + paper.w + `[.0-9]* ` + paper.h)
		lying := regexp.MustCompile(`/MediaBox\s*\[0 0 ` + paper.h + `[.0-9]* ` + paper.w)
		if !upright.Match(pdf) || !lying.Match(pdf) {
			t.Errorf("%s: want upright pages for text and lying ones for wide drawings; there are %q", paper.name, regexp.MustCompile(`/MediaBox\s*\[[^\]]*\]`).FindAll(pdf, 3))
		}
		if paper.name == "A4" {
			// What was made for the print is gone again.
			if n := eval[int](t, ctx, `document.querySelectorAll("#print").length`); n != 0 {
				t.Error("the pages made for the print stay")
			}
		}
	}
	// What the filter hides is not printed.
	few := eval[[]int](t, ctx, `(() => { const pages = () => { window.dispatchEvent(new Event("beforeprint")); const n = document.querySelectorAll(".print-page, .vsheet").length; window.dispatchEvent(new Event("afterprint")); return n; };
		const f = document.getElementById("filters"), all = pages(); f.elements.unit.value = "U5"; f.dispatchEvent(new Event("change", {bubbles: true}));
		const one = pages(); f.elements.unit.value = ""; f.dispatchEvent(new Event("change", {bubbles: true})); return [all, one]; })()`)
	if few[1] >= few[0] || few[1] == 0 {
		t.Errorf("for unit U5 %d of %d drawings and sheets are printed, want some and fewer", few[1], few[0])
	}
	// At the width of a page no table and no drawing is cut.
	do(t, ctx, chromedp.EmulateViewport(690, 900))
	cut := eval[[]string](t, ctx, `(() => { window.dispatchEvent(new Event("beforeprint"));
		const out = []; for (const n of document.querySelectorAll("table, .vsheet-plan svg")) if (n.scrollWidth > n.clientWidth + 1 || n.getBoundingClientRect().right > 691) out.push(n.tagName + " " + n.className + " " + n.textContent.slice(0, 40));
		window.dispatchEvent(new Event("afterprint")); return out; })()`)
	for _, c := range cut {
		t.Errorf("cut at the edge of the page: %s", c)
	}
}

// Names that try to become markup or script do nothing in a real browser.
func TestHostileNamesInBrowser(t *testing.T) {
	ctx := browser(t)
	complaints := open(t, ctx, html.Hostile(t))
	got := eval[string](t, ctx, `(() => { const sel = document.getElementById("drawing");
		for (const o of [...sel.options]) { sel.value = o.value; sel.dispatchEvent(new Event("change")); }
		document.querySelector("[data-show]").click(); document.querySelector("[data-void-sheet]").click();
		window.dispatchEvent(new Event("beforeprint"));
		return [window.hit, document.querySelectorAll("img").length, document.scripts.length, document.querySelectorAll("#drawing option").length > 2].join(" "); })()`)
	if got != " 0 2 true" {
		t.Errorf("hit, images, scripts, drawings: %q, want none, none, two, some", got)
	}
	if s := eval[string](t, ctx, `document.querySelector("h1").textContent`); !strings.Contains(s, "<script>window.hit=1</script>") {
		t.Errorf("the title reads %q, want the name as it stands", s)
	}
	for _, c := range complaints() {
		t.Errorf("the console says: %s", c)
	}
}
