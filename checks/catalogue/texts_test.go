package catalogue

import (
	"strings"
	"testing"
	"unicode"

	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/ifcx/ifctest"
)

// Every item reads as plain English: whole sentences that begin and end as such, with a place,
// and with the way out where something is asked for. A sentence may begin with the name of an
// element as the model has it.
func TestTexts(t *testing.T) {
	houses := seeds()
	services := houses["sound"]
	services.Services = []ifctest.Service{
		{Kind: "pipe", Through: "floor", Level: 1, At: 2, Diameter: 0.05, Ring: 0.02}, {Kind: "duct", Through: "separation", At: 2, Diameter: 0.1, Ring: 0.02},
		{Kind: "cable", Through: "separation", At: 4, Diameter: 0.02}, {Kind: "pipe", Through: "floor", Unit: 1, Level: 1, At: 4, Diameter: 0.05, Ring: 0.01, Sealed: true},
	}
	layered := services
	layered.Layered = true
	houses["services"], houses["services, layered"] = services, layered
	n := map[string]int{}
	for name, h := range houses {
		if testing.Short() && !brief[name] {
			continue
		}
		for _, naming := range []string{"", ifctest.NamesNone} {
			r := checktest.Review(t, h, ifctest.Disguise{Naming: naming}, Checks()...)
			for i := range r.Items {
				it := &r.Items[i]
				n[it.Check]++
				if faults := faultsOf(it, r); len(faults) > 0 {
					t.Errorf("%s, named %q, %s: %s\n  %s | %s | %s", name, naming, it.Check, strings.Join(faults, "; "), it.Place, it.Message, it.Remedy)
				}
			}
		}
	}
	if len(n) < 15 {
		t.Errorf("only %d checks were heard", len(n))
	}
}

// faultsOf says what is wrong with the texts of an item.
func faultsOf(it *finding.Item, r *checktest.Reviewed) (faults []string) {
	if it.Place == "" {
		faults = append(faults, "no place")
	}
	if asks := it.Outcome == finding.Deficient || it.Outcome == finding.NotShown; asks && it.Remedy == "" {
		faults = append(faults, "no way out")
	}
	for _, s := range []string{it.Message, it.Remedy} {
		if s == "" {
			continue
		}
		named := false
		for _, e := range r.Building.Model.Elements {
			named = named || e.Name != "" && strings.HasPrefix(s, e.Name)
		}
		if first := []rune(s)[0]; unicode.IsLower(first) && !named {
			faults = append(faults, "begins in lower case")
		}
		if !strings.HasSuffix(s, ".") || strings.HasSuffix(s, "..") {
			faults = append(faults, "ends without its point")
		}
		for _, odd := range []string{"  ", " ,", " .", ",.", "()", "%!", "NaN", "<nil>", "round service ", "for service ", "round chimney ", "1 units", "one units"} {
			if strings.Contains(s, odd) {
				faults = append(faults, "holds "+odd)
			}
		}
	}
	return faults
}
