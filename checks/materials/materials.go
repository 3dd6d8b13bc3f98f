// Package materials says what the boards, blocks and batts of a model are made of and
// whether a list of accepted materials takes them: by class first, then by thickness, then
// by use. Classes, words and lists are data (materials.json, schema/materials.schema.json);
// an adoption file may replace a list. It looks at no building.
package materials

import (
	_ "embed"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"github.com/go-json-experiment/json"

	"voidcheck/checks/lexicon"
	"voidcheck/checks/measure"
	"voidcheck/schema"
)

//go:embed materials.json
var defaultJSON []byte

// Use is what a material is used for.
type Use string

// The uses.
const (
	Fireblock Use = "fireblock" // closes a cavity or a bay
	Draftstop Use = "draftstop" // sheet across a large void
	Membrane  Use = "membrane"  // underside of floor framing
	Chimney   Use = "chimney"   // noncombustible filling round a chimney
)

// Data is materials.json, read.
type Data struct {
	AllowanceM float64 // how far below its limit a thickness still passes
	NearM      float64 // how far below it a thickness is left to the reviewer, where its class says nothing else
	metric     []float64
	classes    []class
	vague      []vague
	lists      map[Use]List
	says       map[Use]map[string]string // entry -> the same in words
	lumber     map[string]float64        // nominal -> actual, metres
	joist      [2]float64                // least width and depth, metres
	joistName  string
	attic      [2]float64 // ceiling and cover of the two-family attic exception, metres
}

type class struct {
	Name  string              `json:"class"`
	Near  float64             `json:"near_mm"`
	Never bool                `json:"never"`
	Words map[string][]string `json:"words"`
	words []string            // folded, of all languages
}

type vague struct {
	About string   `json:"about"`
	Words []string `json:"words"`
	MayBe []string `json:"may_be"`
	Show  string   `json:"show"`
}

type document struct {
	Schema    string    `json:"$schema"`
	Format    string    `json:"format"`
	About     string    `json:"about"`
	Allowance float64   `json:"allowance_mm"`
	Near      float64   `json:"near_mm"`
	Metric    []float64 `json:"metric_mm"`
	Lists     map[Use][]struct {
		Entry    string `json:"entry"`
		Says     string `json:"says"`
		Evidence string `json:"evidence"`
	} `json:"lists"`
	Classes []class `json:"classes"`
	Vague   []vague `json:"vague"`
	Lumber  []struct {
		Nominal string `json:"nominal"`
		Actual  string `json:"actual"`
	} `json:"lumber"`
	Attic struct {
		Ceiling  string `json:"ceiling"`
		Cover    string `json:"cover"`
		Evidence string `json:"evidence"`
	} `json:"two_family_attic"`
	Joist struct {
		Nominal  string `json:"nominal"`
		Evidence string `json:"evidence"`
	} `json:"joist"`
}

// Default returns the embedded data.
var Default = sync.OnceValue(func() *Data {
	d, err := Read("materials.json", defaultJSON)
	if err != nil {
		panic(err) // the embedded file is tested
	}
	return d
})

// Read reads material data. The error names the file, the line and what is wrong.
func Read(name string, text []byte) (*Data, error) {
	if ps := schema.Validate("materials", text); len(ps) > 0 {
		return nil, fmt.Errorf("%s:%s", name, ps[0])
	}
	var doc document
	if err := json.Unmarshal(text, &doc); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	d := &Data{
		AllowanceM: doc.Allowance / 1000, NearM: doc.Near / 1000, classes: doc.Classes, vague: doc.Vague,
		lists: map[Use]List{}, says: map[Use]map[string]string{}, lumber: map[string]float64{},
	}
	for _, mm := range doc.Metric {
		d.metric = append(d.metric, mm/1000)
	}
	if err := d.fill(&doc); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return d, nil
}

// fill folds the words and parses what is written as people write it.
func (d *Data) fill(doc *document) error {
	var errs []error
	for i := range d.classes {
		c := &d.classes[i]
		for _, lang := range []string{"en", "de", "fr", "es", "nl", "no", "it", "sv", "da"} {
			for _, w := range c.Words[lang] {
				if f := lexicon.Fold(w); !slices.Contains(c.words, f) {
					c.words = append(c.words, f)
				}
			}
		}
	}
	for i := range d.vague {
		for k, w := range d.vague[i].Words {
			d.vague[i].Words[k] = lexicon.Fold(w)
		}
		for _, m := range d.vague[i].MayBe {
			if !d.known(m) {
				errs = append(errs, d.unknown(m))
			}
		}
	}
	for _, l := range doc.Lumber {
		v, err := measure.Parse(measure.Length, l.Actual)
		errs = append(errs, err)
		d.lumber[l.Nominal] = v
	}
	for use, entries := range doc.Lists {
		d.says[use] = map[string]string{}
		for _, e := range entries {
			x, err := d.ParseEntry(e.Entry)
			errs = append(errs, err)
			d.lists[use] = append(d.lists[use], x)
			d.says[use][x.Text] = e.Says
		}
	}
	for i, text := range []string{doc.Attic.Ceiling, doc.Attic.Cover} {
		v, err := measure.Parse(measure.Length, text)
		errs = append(errs, err)
		d.attic[i] = v
	}
	a, b, _ := strings.Cut(doc.Joist.Nominal, "x")
	d.joist, d.joistName = [2]float64{d.lumber[a], d.lumber[b]}, doc.Joist.Nominal
	if d.joist[0] == 0 || d.joist[1] == 0 {
		errs = append(errs, fmt.Errorf("joist: %s has no actual size under lumber", doc.Joist.Nominal))
	}
	return errors.Join(errs...)
}

func (d *Data) known(name string) bool {
	return slices.ContainsFunc(d.classes, func(c class) bool { return c.Name == name })
}

// near is how far below its limit the thickness of a class is left to the reviewer, metres.
func (d *Data) near(name string) float64 {
	for i := range d.classes {
		if d.classes[i].Name == name && d.classes[i].Near > 0 {
			return d.classes[i].Near / 1000
		}
	}
	return d.NearM
}

// List returns the default list of a use.
func (d *Data) List(u Use) List { return d.lists[u] }

// Says returns an entry of a use in words.
func (d *Data) Says(u Use, e Entry) string {
	if s := d.says[u][e.Text]; s != "" {
		return s
	}
	return e.Text
}

// Joist returns the least width and depth of a solid joist that needs no membrane below it,
// metres, and its nominal size.
func (d *Data) Joist() (width, depth float64, nominal string) {
	return d.joist[0], d.joist[1], d.joistName
}

// TwoFamilyAttic returns the least thickness of the Type X ceiling and of the gypsum board
// on the framing with which a separation may stop below the attic, metres.
func (d *Data) TwoFamilyAttic() (ceiling, cover float64) { return d.attic[0], d.attic[1] }

// Actual returns the actual dry size of lumber of a nominal size, metres, from "2x10";
// false when the text names none.
func (d *Data) Actual(nominal string) (width, depth float64, ok bool) {
	a, b, _ := strings.Cut(strings.ToLower(strings.TrimSpace(nominal)), "x")
	width, depth = d.lumber[strings.TrimSpace(a)], d.lumber[strings.TrimSpace(b)]
	return width, depth, width > 0 && depth > 0
}
