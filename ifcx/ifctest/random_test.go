package ifctest

import (
	"bytes"
	"testing"
)

// Random houses are sound but for their mistakes: nothing overlaps, and what is open to what
// is what the truth says, by the oracle.
func TestRandomHouses(t *testing.T) {
	made := 0
	kinds := map[string]bool{}
	for seed := int64(1); seed <= 40; seed++ {
		h := Random(seed, int(seed%3))
		m, err := h.Build()
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		made += len(h.Defects)
		for _, d := range m.Truth.Defects {
			kinds[d.Seed.Kind] = true
		}
		checkOverlaps(t, m)
		if seed <= 4 && !bytes.Equal(m.STEP(Disguise{Seed: seed}), Random(seed, int(seed%3)).MustBuild().STEP(Disguise{Seed: seed})) {
			t.Errorf("seed %d gives two different files", seed)
		}
		if t.Failed() {
			t.Fatalf("seed %d: %+v", seed, h)
		}
	}
	if made < 30 {
		t.Errorf("only %d mistakes in 40 houses", made)
	}
	if len(kinds) < 7 {
		t.Errorf("only these mistakes came up: %v", kinds)
	}
}

func TestRandomHousesAreOpenAsTold(t *testing.T) {
	for seed := int64(1); seed <= 5; seed++ {
		h := Random(seed, int(seed%3))
		h.Depth = min(h.Depth, 5)
		h.Roof.Sheathing = 0.12
		if len(h.Units) > 2 {
			h.Units = h.Units[:2]
		}
		if _, err := h.Build(); err != nil { // the mistake was at a place now cut off
			h.Defects = nil
		}
		if checkFlood(t, h); t.Failed() {
			t.Fatalf("seed %d: %+v", seed, h)
		}
	}
}
