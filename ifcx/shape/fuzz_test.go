package shape

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"voidcheck/ifcx/source"
	"voidcheck/ifcx/step"
)

// fragments returns the STEP fragments of testdata.
func fragments(t testing.TB) [][]byte {
	files, _ := filepath.Glob("testdata/*/*.ifc")
	var out [][]byte
	for _, f := range files {
		d, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, d)
	}
	return out
}

var (
	numberToken = regexp.MustCompile(`[-0-9.]+(E-?\d+)?`)
	oddNumbers  = []string{"0.", "-1.", "1.", "1.E-9", "1.E9", "1.E300", "-1.E300", "3.14159", "$", "'x'", "()", "(1.,2.,3.)"}
)

// mutate swaps references, numbers and whole arguments of a few instances, which keeps the
// text well formed: what the reader of STEP catches is not what is tested here.
func mutate(data []byte, r *rand.Rand) []byte {
	lines := strings.Split(string(data), "\n")
	first := 0
	for i, l := range lines {
		if l == "DATA;" {
			first = i + 1
		}
	}
	for range 1 + r.IntN(4) {
		i := first + r.IntN(len(lines)-first)
		eq := strings.IndexByte(lines[i], '=')
		if eq < 0 {
			continue
		}
		head, body := lines[i][:eq], lines[i][eq:]
		switch r.IntN(3) {
		case 0: // another reference
			refs := regexp.MustCompile(`#\d+`).FindAllStringIndex(body, -1)
			if len(refs) > 0 {
				at := refs[r.IntN(len(refs))]
				to := strings.SplitN(lines[first+r.IntN(len(lines)-first)], "=", 2)[0]
				if strings.HasPrefix(to, "#") {
					body = body[:at[0]] + to + body[at[1]:]
				}
			}
		case 1: // another number
			open := strings.IndexByte(body, '(')
			nums := numberToken.FindAllStringIndex(body[open+1:], -1)
			if len(nums) > 0 {
				at := nums[r.IntN(len(nums))]
				body = body[:open+1+at[0]] + oddNumbers[r.IntN(len(oddNumbers))] + body[open+1+at[1]:]
			}
		case 2: // another type with the same arguments
			other := lines[first+r.IntN(len(lines)-first)]
			if e, p := strings.IndexByte(other, '='), strings.IndexByte(other, '('); e > 0 && p > e {
				body = other[e:p] + body[strings.IndexByte(body, '('):]
			}
		}
		lines[i] = head + body
	}
	return []byte(strings.Join(lines, "\n"))
}

// evaluate reads every item and product of a file. It fails on a panic, on coordinates that
// are not finite, and when it takes longer than any small file may.
func evaluate(t *testing.T, data []byte) {
	log := &source.Log{}
	g, err := step.Read(&source.File{Name: "mutated.ifc", Data: data}, log)
	if err != nil {
		return
	}
	start := time.Now()
	b := New(g, log)
	for _, id := range g.ByType("IfcRepresentationItem", true) {
		e := b.eval()
		parts, err := e.item(id)
		if err != nil {
			continue
		}
		for _, p := range parts {
			p.solid()
		}
	}
	for _, p := range g.ByType("IfcProduct", true) {
		place, _ := Placement(g, g.Ref(p, "ObjectPlacement"), b.Unit())
		body := b.Body(p, place)
		if body == nil {
			continue
		}
		for _, s := range body.Solids {
			for _, v := range s.Mesh.Verts {
				if math.IsNaN(v.X + v.Y + v.Z) {
					t.Fatalf("%s: a coordinate is no number", s.Kind)
				}
			}
		}
	}
	if d := time.Since(start); d > 20*time.Second {
		t.Errorf("took %v", d)
	}
}

func FuzzItems(f *testing.F) {
	n := len(fragments(f))
	for i := range n {
		f.Add(uint16(i), uint64(1))
	}
	f.Fuzz(func(t *testing.T, file uint16, seed uint64) {
		all := fragments(t)
		evaluate(t, mutate(all[int(file)%len(all)], rand.New(rand.NewPCG(seed, uint64(file)))))
	})
}

func TestMutatedItems(t *testing.T) {
	all := fragments(t)
	rounds := 4
	if testing.Short() {
		rounds = 2
	}
	for i, d := range all {
		for seed := range rounds {
			evaluate(t, mutate(d, rand.New(rand.NewPCG(uint64(seed), uint64(i)))))
		}
	}
}
