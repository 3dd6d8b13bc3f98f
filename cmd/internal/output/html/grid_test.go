package html

import (
	"bytes"
	"context"
	stdjson "encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"voidcheck/checks/measure"
	"voidcheck/cmd/internal/review"
)

// withGrid writes the demo with an IfcGrid: lettered polylines across the row that run on far
// beyond it, and numbered lines, endless as the standard has them, along it. In feet, as the file.
func withGrid(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("../../../../testdata/demo/row-architecture.ifc")
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	n := 900000
	add := func(format string, v ...any) string {
		n++
		fmt.Fprintf(&b, "#%d=%s;\n", n, fmt.Sprintf(format, v...))
		return fmt.Sprintf("#%d", n)
	}
	var u, v []string
	for i, x := range []float64{0, 24, 48} {
		p, q := add("IFCCARTESIANPOINT((%.1f,-60.))", x), add("IFCCARTESIANPOINT((%.1f,90.))", x)
		u = append(u, add("IFCGRIDAXIS('%c',%s,.T.)", 'A'+i, add("IFCPOLYLINE((%s,%s))", p, q)))
	}
	for i, y := range []float64{0, 40} {
		vector := add("IFCVECTOR(%s,1.)", add("IFCDIRECTION((1.,0.))"))
		v = append(v, add("IFCGRIDAXIS('%d</script>',%s,.T.)", i+1, add("IFCLINE(%s,%s)", add("IFCCARTESIANPOINT((0.,%.1f))", y), vector)))
	}
	add("IFCGRID('0abcdefghijklmnopqrstu',$,'Grid',$,$,#25,$,(%s),(%s),$)", strings.Join(u, ","), strings.Join(v, ","))
	at := bytes.LastIndex(text, []byte("ENDSEC;"))
	name := filepath.Join(t.TempDir(), "grid.ifc")
	if err := os.WriteFile(name, slices.Concat(text[:at], []byte(b.String()), text[at:]), 0o644); err != nil {
		t.Fatal(err)
	}
	return name
}

// A grid of the model comes onto the plans with its names, cut to the building.
func TestGridOfAModel(t *testing.T) {
	res, err := review.Run(context.Background(), review.Options{Models: []string{withGrid(t)}, Units: measure.US, Now: time.Unix(0, 0)})
	if err != nil {
		t.Fatal(err)
	}
	page := write(t, res.Report)
	m := regexp.MustCompile(`(?s)id="data">(.*?)</script>`).FindStringSubmatch(page)
	var d drawings
	if err := stdjson.Unmarshal([]byte(m[1]), &d); err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, g := range d.Grid {
		names = append(names, g.Name)
	}
	if want := []string{"A", "B", "C", "1</script>", "2</script>"}; !slices.Equal(names, want) {
		t.Fatalf("grid lines %q, want %q", names, want)
	}
	// 24 ft is 7315.2 mm exactly (the international foot, 0.3048 m).
	if got := d.Grid[1].Line[0] - d.Grid[0].Line[0]; got < 7315 || got > 7316 {
		t.Errorf("lines A and B are %d mm apart on paper, want 7315", got)
	}
	for _, g := range d.Grid {
		if g.Line[0] < d.Box[0]-gridReach-1 || g.Line[2] > d.Box[2]+gridReach+1 || g.Line[1] < d.Box[1]-gridReach-1 || g.Line[3] > d.Box[3]+gridReach+1 {
			t.Errorf("line %s from %v runs on beyond the building %v", g.Name, g.Line, d.Box)
		}
	}
	if l := d.Grid[3].Line; l[2]-l[0] < d.Box[2]-d.Box[0] {
		t.Errorf("the endless line 1 is drawn from %d to %d, want across the building %v", l[0], l[2], d.Box)
	}
}

func TestLinesFitThePaper(t *testing.T) {
	f := frame{ux: 1, box: [4]int{0, 0, 20000, 10000}}
	for _, c := range []struct {
		name     string
		in, want [4]int
		ok       bool
	}{
		{"inside", [4]int{1000, 1000, 5000, 1000}, [4]int{1000, 1000, 5000, 1000}, true},
		{"cut at both ends", [4]int{-90000, 5000, 90000, 5000}, [4]int{-2200, 5000, 22200, 5000}, true},
		{"slanting", [4]int{-10000, -10000, 10000, 10000}, [4]int{-2200, -2200, 10000, 10000}, true},
		{"endless", [4]int{4000, 0, 4000, 1000}, [4]int{4000, -2200, 4000, 12200}, true},
		{"beside the building", [4]int{-9000, 0, -9000, 9000}, [4]int{}, false},
		{"no line", [4]int{1, 1, 1, 1}, [4]int{}, false},
	} {
		got, ok := f.onPaper(c.in)
		if ok != c.ok || ok && got != c.want {
			t.Errorf("%s: %v, %v, want %v, %v", c.name, got, ok, c.want, c.ok)
		}
	}
}

// The name at the foot of printed pages cannot leave its string, whatever it is.
func TestFootStaysAString(t *testing.T) {
	for _, name := range []string{hostile, "a\"; } body { display: none } /*", "\\22 x", "Zeile\nzwei", "Haus «Öl»"} {
		m := regexp.MustCompile(`^@page \{ @bottom-left \{ content: "((?:[0-9A-Za-z ]|\\[0-9a-f]{6} )*)"; font: [^{}]* \} \}\n$`).FindStringSubmatch(foot(name))
		if m == nil {
			t.Errorf("%q leaves its string: %s", name, foot(name))
		}
	}
	if got, want := foot("Row 5: A"), `content: "Row 5\00003a  A"`; !strings.Contains(got, want) {
		t.Errorf("%s does not have %s", got, want)
	}
}
