package shape

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

var bodyPart = regexp.MustCompile(`(volume|within|box\b|problem|solids|boxed|axis|empty|none)\s*`)

// TestBodies reads the products of testdata/bodies. What is wanted of a product stands behind
// it as a comment: volume and box as for items, the number of solids (1 unless given), that
// one is boxed, the points of its axis, that it has no solid, or no body at all, and a
// problem that must be logged for it.
func TestBodies(t *testing.T) {
	files, _ := filepath.Glob("testdata/bodies/*.ifc")
	if len(files) < 3 {
		t.Fatalf("%d files", len(files))
	}
	for _, f := range files {
		t.Run(filepath.Base(f), func(t *testing.T) {
			data, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			for _, line := range strings.Split(string(data), "\n") {
				if m := wantLine.FindStringSubmatch(line); m != nil {
					id, _ := strconv.Atoi(m[1])
					g, log := read(t, filepath.Base(f), data) // anew, so that problems belong to this product
					b := New(g, log)
					p := graph.ID(id)
					place, _ := Placement(g, g.Ref(p, "ObjectPlacement"), b.Unit())
					body := b.Body(p, place)
					var problems []string
					for _, x := range log.All() {
						problems = append(problems, x.String())
					}
					checkBody(t, label(g, p)+" "+g.Str(p, "Name"), body, strings.Join(problems, "\n"), m[2])
				}
			}
		})
	}
}

func wants(re *regexp.Regexp, want string) map[string]string {
	w := map[string]string{}
	at := re.FindAllStringSubmatchIndex(want, -1)
	for i, a := range at {
		key, end := want[a[2]:a[3]], len(want)
		if i+1 < len(at) && key != "problem" {
			end = at[i+1][0]
		}
		w[key] = strings.TrimSpace(want[a[1]:end])
		if key == "problem" {
			break
		}
	}
	return w
}

func checkBody(t *testing.T, name string, body *Body, problems, want string) {
	t.Helper()
	w := wants(bodyPart, want)
	p, bad := w["problem"]
	if bad != (problems != "") || !strings.Contains(problems, p) {
		t.Errorf("%s: problems %q, want %q", name, problems, p)
	}
	_, none := w["none"]
	_, empty := w["empty"]
	if none || empty && w["axis"] == "" {
		if body != nil {
			t.Errorf("%s: a body where none is wanted", name)
		}
		return
	}
	if body == nil {
		t.Errorf("%s: no body", name)
		return
	}
	solids := 1
	if n, ok := w["solids"]; ok {
		solids, _ = strconv.Atoi(n)
	}
	if empty {
		solids = 0
	}
	v, boxed := 0.0, false
	for _, s := range body.Solids {
		v += s.Mesh.Volume()
		boxed = boxed || s.Boxed
		if !s.Mesh.IsClosed() {
			t.Errorf("%s: %s does not close", name, s.Kind)
		}
	}
	if _, ok := w["boxed"]; ok != boxed || len(body.Solids) != solids {
		t.Errorf("%s: %d solids, boxed %v; want %s", name, len(body.Solids), boxed, want)
	}
	if n, _ := strconv.Atoi(w["axis"]); n != len(body.AxisLine) {
		t.Errorf("%s: axis %v, want %d points", name, body.AxisLine, n)
	}
	within := 1e-7 // an opening flush within rounding leaves nothing, and far coordinates lose digits
	if x, ok := w["within"]; ok {
		within = value(t, x)
	}
	if x, ok := w["volume"]; ok {
		if f := value(t, x); math.Abs(v-f) > within*f {
			t.Errorf("%s: volume %.9g, want %s = %.9g", name, v, x, f)
		}
	}
	if x, ok := w["box"]; ok {
		got := [6]float64{body.Box.Min.X, body.Box.Min.Y, body.Box.Min.Z, body.Box.Max.X, body.Box.Max.Y, body.Box.Max.Z}
		for i, c := range strings.Split(x, ",") {
			if math.Abs(got[i]-value(t, c)) > 1e-8 {
				t.Errorf("%s: box %.4f, want %s", name, got, x)
				break
			}
		}
	}
}

func TestRawBodyKeepsWhatOpeningsTake(t *testing.T) {
	data, err := os.ReadFile("testdata/bodies/openings.ifc")
	if err != nil {
		t.Fatal(err)
	}
	g, log := read(t, "openings.ifc", data)
	b := New(g, log)
	wall := g.ByType("IfcWall", false)[0]
	if v := b.RawBody(wall, geom.Identity()).Solids[0].Mesh.Volume(); math.Abs(v-2.4) > 1e-9 {
		t.Errorf("raw volume %g, want 2.4", v)
	}
	opening := g.ByType("IfcOpeningElement", false)[0]
	if v := b.RawBody(opening, geom.Identity()).Solids[0].Mesh.Volume(); math.Abs(v-0.24) > 1e-9 {
		t.Errorf("volume of the opening %g, want 0.24", v)
	}
}

// crossings counts how often the line along direction k (0, 1, 2 for X, Y, Z) through p meets
// the mesh, and sums the lengths inside.
func crossings(m *geom.Mesh, p geom.Vec3, k int) (n int, inside float64) {
	axis := func(v geom.Vec3) (u, w, t float64) {
		c := [3]float64{v.X, v.Y, v.Z}
		return c[(k+1)%3], c[(k+2)%3], c[k]
	}
	pu, pw, _ := axis(p)
	for _, t := range m.Tris {
		var d [3]float64
		var at [3]float64
		for i := range t {
			au, aw, ah := axis(m.Verts[t[i]])
			bu, bw, _ := axis(m.Verts[t[(i+1)%3]])
			d[(i+2)%3] = (bu-au)*(pw-aw) - (bw-aw)*(pu-au)
			at[i] = ah
		}
		if d[0] > 0 && d[1] > 0 && d[2] > 0 || d[0] < 0 && d[1] < 0 && d[2] < 0 {
			h := (d[0]*at[0] + d[1]*at[1] + d[2]*at[2]) / (d[0] + d[1] + d[2])
			n++
			if d[0] > 0 { // outward along the line: leaving
				inside += h
			} else {
				inside -= h
			}
		}
	}
	return n, inside
}

// A line through a solid goes in as often as it comes out, and the mean length inside over
// the box is the volume: what the solver of concealed spaces rests on.
func TestLinesHaveEvenParity(t *testing.T) {
	data, err := os.ReadFile("testdata/bodies/openings.ifc")
	if err != nil {
		t.Fatal(err)
	}
	g, log := read(t, "openings.ifc", data)
	b := New(g, log)
	r := rand.New(rand.NewPCG(1, 9))
	for _, p := range g.ByType("IfcWall", true) {
		body := b.Body(p, geom.Identity())
		if body == nil {
			continue
		}
		for _, s := range body.Solids {
			box := s.Mesh.Box()
			size := box.Size()
			for k := range 3 {
				sum := 0.0
				const lines = 4000
				for range lines {
					q := box.Min.Add(geom.Vec3{X: r.Float64() * size.X, Y: r.Float64() * size.Y, Z: r.Float64() * size.Z})
					n, l := crossings(s.Mesh, q, k)
					if n%2 != 0 || l < -1e-9 {
						t.Fatalf("%s: a line meets it %d times, %g m inside", label(g, p), n, l)
					}
					sum += l
				}
				across := [3]float64{size.Y * size.Z, size.Z * size.X, size.X * size.Y}[k]
				if v := sum / lines * across; math.Abs(v-s.Mesh.Volume()) > 0.06*s.Mesh.Volume() {
					t.Errorf("%s: volume by lines %g, by faces %g", label(g, p), v, s.Mesh.Volume())
				}
			}
		}
	}
}

// Goroutines share a builder, and each body is the same as when made alone.
func TestParallel(t *testing.T) {
	for _, name := range []string{"openings.ifc", "representations.ifc"} {
		data, err := os.ReadFile("testdata/bodies/" + name)
		if err != nil {
			t.Fatal(err)
		}
		g, log := read(t, name, data)
		products := g.ByType("IfcProduct", true)
		alone := make([]*Body, len(products))
		for i, p := range products {
			alone[i] = New(g, log).Body(p, geom.Identity())
		}
		shared := New(g, log)
		var wg sync.WaitGroup
		for w := range 4 {
			wg.Go(func() {
				for i := range products {
					i = (i + w*5) % len(products)
					if got := shared.Body(products[i], geom.Identity()); !reflect.DeepEqual(got, alone[i]) {
						t.Errorf("%s differs", label(g, products[i]))
					}
				}
			})
		}
		wg.Wait()
	}
}
