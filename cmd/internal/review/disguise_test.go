package review

import (
	"math/rand"
	"strconv"
	"testing"

	"voidcheck/checks/catalogue"
	"voidcheck/checks/checktest"
	"voidcheck/ifcx/ifctest"
)

// A building says the same however it is written: moved, turned, mirrored, in other units, in
// another order with other ids, in another schema, syntax or kind of geometry.
// VOIDCHECK_DISGUISES sets how many random buildings are tried, VOIDCHECK_FIRST the first.
func TestRandomBuildingsInDisguise(t *testing.T) {
	count := 6
	if testing.Short() {
		count = 2
	}
	for _, seed := range ifctest.Seeds("VOIDCHECK_DISGUISES", 1, count) {
		b := randomBuilding(seed)
		review := func(d ifctest.Disguise, syntax string) *checktest.Reviewed {
			m, err := b.model()
			if err != nil {
				t.Fatal(err)
			}
			return checktest.ReviewModel(t, m, d, checktest.With{Facts: checktest.Facts, Syntax: syntax}, catalogue.Checks()...)
		}
		want := review(ifctest.Disguise{}, "")
		d := b.disguise
		d.Overlap, d.Clearance = 0, 0 // they change what is measured
		d.Naming = ""                 // what a word calls a block counts in one language as in the other; see the lexicon's tests
		r := rand.New(rand.NewSource(seed))
		syntax := []string{"", "", "ifcXML", "IFC5"}[r.Intn(4)]
		if b.house.Layered && syntax == "IFC5" {
			syntax = "" // IFC5 has no material layers
		}
		if syntax == "ifcXML" && d.Schema == "IFC4X3" {
			d.Schema = "IFC4"
		}
		t.Run(strconv.FormatInt(seed, 10), func(t *testing.T) {
			if checktest.Compare(t, review(d, syntax), want, false); t.Failed() {
				t.Logf("%s, written as %q", b, syntax)
			}
		})
	}
}
