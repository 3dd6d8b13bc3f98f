package catalogue

import (
	"fmt"
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/ifcx/ifctest"
)

// seeds are single mistakes in a row of two or three units; every one must be told by one of
// the checks that its truth names, at its place, and nothing else may be deficient.
func seeds() map[string]ifctest.House {
	m := map[string]ifctest.House{}
	add := func(name string, units int, change func(h *ifctest.House), defects ...ifctest.Seed) {
		h := ifctest.Row(units)
		h.Name = name
		h.Depth = 24 * ifctest.Foot
		if change != nil {
			change(&h)
		}
		h.Defects = defects
		m[name] = h
	}
	wide := func(h *ifctest.House) {
		h.Depth = 40 * ifctest.Foot
		for i := range h.Units {
			h.Units[i].Width = 28 * ifctest.Foot
			h.Units[i].Draftstops = []float64{20 * ifctest.Foot}
		}
	}
	sheet := func(h *ifctest.House) { h.Separation.Attic = "sheet" }
	layered := func(h *ifctest.House) { h.Layered = true }
	add("sound", 2, nil)
	add("sound, wide", 2, wide)
	add("sound, sheet in attic", 2, sheet)
	add("sound, layered", 2, layered)
	add("block-missing", 2, nil, ifctest.Seed{Kind: "block-missing", Side: "low", Level: 1, Bay: 6})
	add("line-open", 2, nil, ifctest.Seed{Kind: "line-open", Level: 1})
	add("draftstop-missing", 2, wide, ifctest.Seed{Kind: "draftstop-missing", Unit: 1, Level: 1})
	add("draftstop-short", 2, wide, ifctest.Seed{Kind: "draftstop-short", Unit: 1, Level: 1, Size: 0.08})
	add("draftstop-hole", 2, wide, ifctest.Seed{Kind: "draftstop-hole", Unit: 1, Level: 1, Size: 0.15})
	add("draftstop-gap", 2, wide, ifctest.Seed{Kind: "draftstop-gap", Unit: 1, Level: 1, At: 3, Size: 0.4})
	add("attic-open", 2, nil, ifctest.Seed{Kind: "attic-open"})
	add("attic-open, sheet", 2, sheet, ifctest.Seed{Kind: "attic-open"})
	add("attic-short", 2, nil, ifctest.Seed{Kind: "attic-short", Size: 0.127})
	add("attic-short, sheet", 2, sheet, ifctest.Seed{Kind: "attic-short", Size: 0.2})
	for _, part := range []string{"floor", "ceiling"} {
		for level := range 2 {
			if part == "floor" && level == 0 {
				continue
			}
			add(fmt.Sprint("level-block-missing ", part, level), 2, nil, ifctest.Seed{Kind: "level-block-missing", Level: level, Part: part, At: 3, Size: 1.8})
		}
	}
	add("plate-missing 0", 2, nil, ifctest.Seed{Kind: "plate-missing", Side: "low", Level: 0, Bay: 3})
	add("plate-missing 1", 2, nil, ifctest.Seed{Kind: "plate-missing", Side: "high", Level: 1, Bay: 3})
	add("run-block-missing", 2, nil, ifctest.Seed{Kind: "run-block-missing", Level: 0, Index: 1})
	add("soffit", 2, func(h *ifctest.House) {
		h.Soffits = []ifctest.Soffit{{Unit: 1, Width: 0.35, Height: 0.3, Start: 1.2, Length: 2.4}}
	})
	add("soffit-open", 2, func(h *ifctest.House) {
		h.Soffits = []ifctest.Soffit{{Unit: 1, Width: 0.35, Height: 0.3, Start: 1.2, Length: 2.4}}
	}, ifctest.Seed{Kind: "soffit-open"})
	return m
}

// brief are the mistakes that run in short mode.
var brief = map[string]bool{"sound": true, "block-missing": true, "draftstop-short": true}

func TestSeeds(t *testing.T) {
	for name, h := range seeds() {
		if testing.Short() && !brief[name] {
			continue
		}
		t.Run(name, func(t *testing.T) {
			checktest.Review(t, h, ifctest.Disguise{}, Checks()...).CheckTruth(t)
		})
	}
}
