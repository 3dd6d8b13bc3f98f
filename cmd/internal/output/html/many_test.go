package html_test

import (
	"bytes"
	stdjson "encoding/json"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/html"
	"voidcheck/schema"
)

var (
	idWord  = regexp.MustCompile(`"([USVO])([0-9]+)((\.[0-9]+)?)"`)
	keyWord = regexp.MustCompile(`"[0-9a-f]{12}(-[0-9]+)?"`)
)

// row puts n copies of a report's building one beside another: a long row of dwelling units
// with all its findings.
func row(t testing.TB, r *finding.Report, n int) *finding.Report {
	t.Helper()
	text, err := stdjson.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	all := *r
	all.Drawing = &finding.Drawing{Axis: r.Drawing.Axis}
	all.Building.Units, all.Building.Separations = nil, nil
	all.Spaces, all.Openings, all.Items, all.Comments, all.Proposals = nil, nil, nil, nil, nil
	for k := range n {
		// Ids of units, separations, spaces and openings count on; keys differ.
		renamed := idWord.ReplaceAllFunc(text, func(m []byte) []byte {
			p := idWord.FindSubmatch(m)
			number, _ := strconv.Atoi(string(p[2]))
			return fmt.Appendf(nil, "%q", fmt.Sprintf("%s%d%s", p[1], number+1000*k, p[3]))
		})
		renamed = keyWord.ReplaceAllFunc(renamed, func(m []byte) []byte {
			return fmt.Appendf(nil, "%q", fmt.Sprintf("%03x%s", k, m[4:len(m)-1]))
		})
		var c finding.Report
		if err := stdjson.Unmarshal(renamed, &c); err != nil {
			t.Fatal(err)
		}
		shift(&c, float64(k)*40)
		all.Building.Units = append(all.Building.Units, c.Building.Units...)
		all.Building.Separations = append(all.Building.Separations, c.Building.Separations...)
		all.Spaces, all.Openings, all.Items = append(all.Spaces, c.Spaces...), append(all.Openings, c.Openings...), append(all.Items, c.Items...)
		all.Proposals = append(all.Proposals, c.Proposals...)
		for i := range c.Comments {
			if k == 0 {
				all.Comments = append(all.Comments, c.Comments[i])
			} else {
				all.Comments[i].Items = append(all.Comments[i].Items, c.Comments[i].Items...)
			}
		}
		join(all.Drawing, c.Drawing, k)
	}
	return &all
}

func join(d, c *finding.Drawing, k int) {
	for i := range c.Sections {
		c.Sections[i].ID = strconv.Itoa(100*k + i + 1)
	}
	d.Rooms, d.Walls, d.Doors = append(d.Rooms, c.Rooms...), append(d.Walls, c.Walls...), append(d.Doors, c.Doors...)
	d.Framing, d.Stops, d.Services = append(d.Framing, c.Framing...), append(d.Stops, c.Stops...), append(d.Services, c.Services...)
	d.Voids, d.Openings, d.Lines = append(d.Voids, c.Voids...), append(d.Openings, c.Openings...), append(d.Lines, c.Lines...)
	d.Sections = append(d.Sections, c.Sections...)
}

// shift moves a report along x.
func shift(r *finding.Report, dx float64) {
	line := func(l *[2][2]float64) { l[0][0] += dx; l[1][0] += dx }
	rings := func(list [][][2]float64) {
		for _, ring := range list {
			for i := range ring {
				ring[i][0] += dx
			}
		}
	}
	for i := range r.Spaces {
		for k := range r.Spaces[i].Compartments {
			rings(r.Spaces[i].Compartments[k].Outline)
		}
	}
	for i := range r.Openings {
		r.Openings[i].Point[0] += dx
	}
	for i := range r.Items {
		r.Items[i].Point[0] += dx
	}
	for i := range r.Proposals {
		for k := range r.Proposals[i].Stops {
			line(&r.Proposals[i].Stops[k].Line)
		}
	}
	d := r.Drawing
	for i := range d.Rooms {
		rings(d.Rooms[i].Outline)
	}
	for i := range d.Walls {
		d.Walls[i].Origin[0] += dx
	}
	for _, list := range [][]finding.DrawnPart{d.Doors, d.Stops, d.Services} {
		for i := range list {
			rings([][][2]float64{list[i].Outline})
		}
	}
	for i := range d.Framing {
		line(&d.Framing[i].Line)
	}
	for i := range d.Sections {
		line(&d.Sections[i].Line)
	}
	for i := range d.Voids {
		for k := range d.Voids[i].Compartments {
			d.Voids[i].Compartments[k].Point[0] += dx
		}
		for _, rib := range d.Voids[i].Ribs {
			for k := range rib {
				rib[k][0] += dx
			}
		}
	}
}

// The drawing of a real review fulfils the findings schema.
func TestDrawingFulfilsTheSchema(t *testing.T) {
	text, err := stdjson.Marshal(demo(t).Drawing)
	if err != nil {
		t.Fatal(err)
	}
	sample, err := os.ReadFile("../../../../testdata/findings/sample.json")
	if err != nil {
		t.Fatal(err)
	}
	end := bytes.LastIndexByte(sample, '}')
	whole := slices.Concat(sample[:end], []byte(`, "drawing": `), text, sample[end:])
	for _, p := range schema.Validate("findings", whole) {
		t.Error(p)
	}
}

// Five units stay below 1.5 MB.
func TestSizeOfFiveUnits(t *testing.T) {
	var b bytes.Buffer
	if err := html.Write(&b, demo(t)); err != nil {
		t.Fatal(err)
	}
	if b.Len() > 1_500_000 {
		t.Errorf("the report of 5 units has %d bytes, want fewer than 1,500,000", b.Len())
	}
	t.Logf("%d bytes", b.Len())
}

// Two hundred units open and draw what is asked for, and nothing before.
func TestTwoHundredUnits(t *testing.T) {
	if testing.Short() {
		t.Skip("short")
	}
	ctx := browser(t)
	r := row(t, demo(t), 40)
	if name := os.Getenv("KEEP_PAGE"); name != "" { // to look at
		var b bytes.Buffer
		if err := html.Write(&b, r); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	complaints := open(t, ctx, r)
	if n := eval[int](t, ctx, `document.querySelectorAll("svg.drawing:not(.swatch)").length`); n != 1 {
		t.Errorf("%d drawings are drawn when the page opens, want the one on the stage", n)
	}
	last := r.Items[slices.IndexFunc(r.Items, func(it finding.Item) bool { return it.Comment > 0 && slices.Contains(it.Units, "U39005") })]
	got := eval[string](t, ctx, fmt.Sprintf(`(() => { document.querySelector('[data-show="%s"]').click(); return (document.querySelector("#stage .lit-mark") || {dataset: {}}).dataset.key || ""; })()`, last.Key))
	if got != last.Key {
		t.Errorf("the mark of unit 200 is %q, want %q", got, last.Key)
	}
	// On paper the long row comes in parts at a scale of about 1:250 that hold only what lies in
	// them: 66 mm of building for a pixel of 1/96 inch.
	strips := eval[[]float64](t, ctx, `(() => { window.dispatchEvent(new Event("beforeprint"));
		const parts = [...document.querySelectorAll("#print .strip-name + .print-drawing svg")], scale = parts.map((s) => s.viewBox.baseVal.width / s.getAttribute("width"));
		const most = Math.max(...parts.map((s) => s.querySelectorAll(".comp").length)), all = document.querySelectorAll("#print .print-page").length;
		window.dispatchEvent(new Event("afterprint")); return [parts.length, Math.max(...scale), most, all]; })()`)
	if strips[0] < 30 || strips[1] > 67 || strips[2] > 250 || strips[3] > 200 {
		t.Errorf("%v parts, coarsest %v mm a pixel, most compartments in one %v, %v pages of drawings", strips[0], strips[1], strips[2], strips[3])
	}
	for _, c := range complaints() {
		t.Errorf("the console says: %s", c)
	}
}

func BenchmarkWrite(b *testing.B) {
	one := demo(b)
	for _, n := range []int{1, 40} {
		r := row(b, one, n)
		b.Run(fmt.Sprintf("units=%d", 5*n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				var out bytes.Buffer
				if err := html.Write(&out, r); err != nil {
					b.Fatal(err)
				}
				b.SetBytes(int64(out.Len()))
			}
		})
	}
}
