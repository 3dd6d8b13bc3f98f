package html_test

import (
	"context"
	"os"
	"testing"
	"time"

	"voidcheck/cmd/internal/review"
)

// Models as people send them: layers instead of framing, voids that lie over two units with
// nothing between them, a unit line in three stretches, walls in no storey. Every drawing draws,
// nothing breaks, and marks stay apart.
func TestModelsInBrowser(t *testing.T) {
	ctx := browser(t)
	for _, m := range []struct {
		name, file string
		drawings   int // at least
	}{
		{"layered row", "../../../../testdata/demo/row-layered.ifc", 20},
		{"two dwellings", "../../../../../shared/data/models/duplex-arch.ifc", 15},
		{"house with an attic", "../../../../../shared/data/models/us-house-2x-layers.ifc", 8},
		{"a wall without a storey", "../../../../../shared/data/models/wood-framed-wall-elemented.ifc", 2},
	} {
		t.Run(m.name, func(t *testing.T) {
			if _, err := os.Stat(m.file); err != nil {
				t.Skip("the open sample models are not beside the repository")
			}
			res, err := review.Run(context.Background(), review.Options{Models: []string{m.file}, Units: "us", Now: time.Unix(0, 0)})
			if err != nil {
				t.Fatal(err)
			}
			complaints := open(t, ctx, res.Report)
			bad := eval[[]string](t, ctx, `(() => { const sel = document.getElementById("drawing"), bad = [];
				window.addEventListener("error", (e) => bad.push(sel.value + ": " + e.message));
				for (const id of [...sel.options].map((o) => o.value)) { sel.value = id; sel.dispatchEvent(new Event("change"));
					const s = document.querySelector("#stage svg"), seen = [...s.querySelectorAll(".ground path")].filter((p) => { const r = p.getBoundingClientRect(); return r.width > 3 || r.height > 3; });
					if (seen.length < 2) bad.push(id + " shows nothing");
					if (/NaN|Infinity|undefined/.test(s.outerHTML)) bad.push(id + " has no numbers"); }
				window.dispatchEvent(new Event("beforeprint")); window.dispatchEvent(new Event("afterprint"));
				for (const b of document.querySelectorAll("[data-void-sheet]")) b.click();
				return bad; })()`)
			for _, b := range bad {
				t.Error(b)
			}
			if n := eval[int](t, ctx, `document.querySelectorAll("#drawing option").length`); n < m.drawings {
				t.Errorf("%d drawings, want %d or more", n, m.drawings)
			}
			testMarksApart(t, ctx, "")
			for _, c := range complaints() {
				t.Errorf("the console says: %s", c)
			}
		})
	}
}
