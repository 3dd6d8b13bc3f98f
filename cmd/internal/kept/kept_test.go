package kept

import (
	"bytes"
	"context"
	"errors"
	"math/rand"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/catalogue"
	"voidcheck/checks/measure"
	"voidcheck/cmd/internal/review"
	"voidcheck/ifcx/ifctest"
	"voidcheck/ifcx/model"
	"voidcheck/schema"
)

// house writes a house with its services to files.
func house(t testing.TB, h ifctest.House, d ifctest.Disguise) []string {
	t.Helper()
	m, err := h.Build()
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for i, one := range []*ifctest.Model{m, m.Services} {
		if one == nil {
			continue
		}
		var b bytes.Buffer
		if err := one.WriteSTEP(&b, d); err != nil {
			t.Fatal(err)
		}
		name := filepath.Join(t.TempDir(), []string{"house.ifc", "services.ifc"}[i])
		if err := os.WriteFile(name, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		out = append(out, name)
	}
	return out
}

// adoptions are the defaults, the starters and one with narrower gaps.
func adoptions(t testing.TB) []*adoption.Adoption {
	t.Helper()
	declared := checks.Declared(catalogue.Checks())
	out := []*adoption.Adoption{adoption.Defaults(declared)}
	texts := [][]byte{[]byte(`{"format": "voidcheck-adoption-1", "name": "narrow", "checks": {"floor-draftstop-line": {"max-gap": "6 mm"}, "wall-fireblock-run": {"max-rise": "8 ft"}}}`)}
	for _, n := range schema.Starters() {
		text, err := schema.Starter(n)
		if err != nil {
			t.Fatal(err)
		}
		texts = append(texts, text)
	}
	for _, text := range texts {
		a, err := adoption.Read("a.json", text, declared)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, a)
	}
	return out
}

func load(t testing.TB, models []string) (*review.Model, review.Options) {
	t.Helper()
	opt := review.Options{Models: models}
	m, err := review.Load(context.Background(), opt)
	if err != nil {
		t.Fatal(err)
	}
	return m, opt
}

func judge(t testing.TB, m *review.Model, a *adoption.Adoption) *checks.Output {
	t.Helper()
	out, err := m.Judge(context.Background(), a, measure.US)
	if err != nil {
		t.Fatal(err)
	}
	out.Reports = nil
	return out
}

// A building that was kept is judged as the model itself is, item for item, under any limits,
// those too whose gaps want the voids worked out anew.
func TestKeptIsJudgedAlike(t *testing.T) {
	count := int64(8)
	if testing.Short() {
		count = 2
	}
	all := adoptions(t)
	for seed := int64(1); seed <= count; seed++ {
		r := rand.New(rand.NewSource(seed))
		h := ifctest.Random(seed, 3)
		if seed == 1 {
			h = ifctest.Larkspur()
		}
		if len(h.Units) > 2 && seed > 1 {
			h.Units, h.Defects = h.Units[:2], nil
		}
		if seed == 2 {
			h = ifctest.LarkspurLayered()
		}
		d := ifctest.Disguise{Schema: []string{"IFC4", "IFC2X3"}[r.Intn(2)], Unit: "ft", RotateDeg: 30, Shift: [3]float64{1e3, 0, 5}}
		live, opt := load(t, house(t, h, d))
		var want []*checks.Output
		for _, a := range all[:1] { // what is kept has the voids of one gap
			want = append(want, judge(t, live, a))
		}
		f, err := Open(t.TempDir())
		if err != nil {
			t.Fatal(err)
		}
		key, err := Key(opt)
		if err != nil {
			t.Fatal(err)
		}
		if m, err := f.Load(key); m != nil || err != nil {
			t.Fatalf("kept before it was: %v %v", m, err)
		}
		if err := f.Save(key, live); err != nil {
			t.Fatal(err)
		}
		for _, a := range all[1:] {
			want = append(want, judge(t, live, a))
		}
		m, err := f.Load(key)
		if err != nil || m == nil {
			t.Fatal(m, err)
		}
		for i, a := range all {
			if d := cmp.Diff(want[i], judge(t, m, a)); d != "" {
				t.Errorf("seed %d, %q (-model +kept):\n%s", seed, a.Name, d)
			}
		}
	}
}

// Every exported field of a model's elements is kept or known to be left out.
func TestFieldsOfElements(t *testing.T) {
	out := []string{"Index", "File", "ID"} // the place in the list; where the file has it
	mine := reflect.TypeFor[element]()
	if _, ok := mine.FieldByName("Placement"); !ok {
		t.Error("the placement is not kept")
	}
	for _, f := range reflect.VisibleFields(reflect.TypeFor[model.Element]()) {
		if _, ok := mine.FieldByName(f.Name); f.IsExported() && !f.Anonymous && !ok && !slices.Contains(out, f.Name) {
			t.Errorf("model.Element.%s is not kept", f.Name)
		}
	}
}

// A file that is cut short, changed or of another make is told and not used; other files in
// the folder are left alone, and the folder stays within its size.
func TestDamagedAndBound(t *testing.T) {
	dir := t.TempDir()
	f, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	h := ifctest.Row(2)
	h.Storeys, h.Depth = 1, 6
	live, opt := load(t, house(t, h, ifctest.Disguise{}))
	judge(t, live, adoptions(t)[0])
	key, _ := Key(opt)
	if err := f.Save(key, live); err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(dir, key+ending)
	good, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	for what, data := range map[string][]byte{
		"cut short": good[:len(good)/2], "empty": {}, "text": []byte("hello"), "one bit": flip(good, len(good)-100), "the sum": flip(good, len(magic)+3),
		"another make": flip(good, len(magic)-2),
	} {
		if err := os.WriteFile(name, data, 0o644); err != nil {
			t.Fatal(err)
		}
		if m, err := f.Load(key); m != nil || !errors.Is(err, ErrDamaged) {
			t.Errorf("%s: %v, %v", what, m, err)
		}
	}
	if err := os.WriteFile(filepath.Join(dir, "notes.txt"), []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	f.most = int64(2*len(good) + 10)
	for _, k := range []string{"a", "b", "c"} {
		if err := f.Save(k, live); err != nil {
			t.Fatal(err)
		}
	}
	left, _ := filepath.Glob(filepath.Join(dir, "*"))
	for i := range left {
		left[i] = filepath.Base(left[i])
	}
	if d := cmp.Diff([]string{"b" + ending, "c" + ending, "notes.txt"}, left); d != "" {
		t.Errorf("left (-want +got):\n%s", d)
	}
}

func flip(data []byte, at int) []byte {
	out := slices.Clone(data)
	out[at] ^= 1
	return out
}

func BenchmarkKept(b *testing.B) {
	live, opt := load(b, house(b, ifctest.Larkspur(), ifctest.Disguise{}))
	all := adoptions(b)
	judge(b, live, all[0])
	f, err := Open(b.TempDir())
	if err != nil {
		b.Fatal(err)
	}
	key, _ := Key(opt)
	if err := f.Save(key, live); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		m, err := f.Load(key)
		if err != nil {
			b.Fatal(err)
		}
		judge(b, m, all[0])
	}
}
