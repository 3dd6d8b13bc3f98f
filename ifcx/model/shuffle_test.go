package model_test

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"sort"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"voidcheck/ifcx/model"
)

var instanceNumber = regexp.MustCompile(`#\d+`)

// shuffled gives the instances of a STEP text new numbers and another order.
func shuffled(text string, seed uint64) string {
	r := rand.New(rand.NewPCG(seed, 1))
	head, data, _ := strings.Cut(text, "DATA;\n")
	var lines []string
	for _, l := range strings.Split(data, "\n") {
		if strings.HasPrefix(l, "#") {
			lines = append(lines, l)
		}
	}
	numbers := map[string]string{}
	perm := r.Perm(len(lines))
	for i, l := range lines {
		numbers[instanceNumber.FindString(l)] = fmt.Sprintf("#%d", perm[i]*3+7)
	}
	for i, l := range lines {
		lines[i] = instanceNumber.ReplaceAllStringFunc(l, func(s string) string { return numbers[s] })
	}
	r.Shuffle(len(lines), func(i, j int) { lines[i], lines[j] = lines[j], lines[i] })
	return head + "DATA;\n" + strings.Join(lines, "\n") + "\nENDSEC;\nEND-ISO-10303-21;\n"
}

// describe prints everything a reader of the building can see, but instance numbers.
func describe(b *model.Building) []string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	say("%s %v", b.Project, b.Origin)
	for _, s := range b.Storeys {
		say("storey %+v", *s)
	}
	for _, e := range b.Elements {
		say("%s", describeElement(e))
	}
	for _, s := range b.Spaces {
		say("space %s", describeElement(s.Element))
		for _, z := range s.Zones {
			say("  in %s", z.Name)
		}
		for _, e := range s.Bounds {
			say("  bound %s", e.GlobalID)
		}
	}
	for _, z := range b.Zones {
		say("zone %s %s %s %s %v %d %d", z.GlobalID, z.Name, z.LongName, z.Predefined, z.Classes, len(z.Spaces), len(z.Elements))
	}
	for _, o := range b.Openings {
		say("opening %s %s %s %v", o.GlobalID, o.Name, o.Predefined, o.Host.GlobalID)
	}
	for _, g := range b.Grids {
		say("grid %+v", *g)
	}
	for _, p := range b.Log.All() {
		say("problem %s %s %s", p.Code, p.GlobalID, instanceNumber.ReplaceAllString(p.Text, "#"))
	}
	return out
}

func describeElement(e *model.Element) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%d %s %s %v %q %q %q %q %q %q %s %q", e.Index, e.GlobalID, e.Entity, e.Parents, e.Predefined, e.Name, e.LongName, e.Description, e.ObjectType, e.Tag, e.TypeEntity, e.TypeName)
	if e.Storey != nil {
		fmt.Fprintf(&b, " on %s", e.Storey.Name)
	}
	if e.Whole != nil {
		fmt.Fprintf(&b, " of %s", e.Whole.GlobalID)
	}
	for _, p := range e.Parts {
		fmt.Fprintf(&b, " has %s", p.GlobalID)
	}
	for _, c := range e.Coverings {
		fmt.Fprintf(&b, " covered %s", c.GlobalID)
	}
	fmt.Fprintf(&b, " %v %v %v %v %v", e.Materials, e.Classes, e.Groups, e.Placement(), e.HasShape)
	if e.Layers != nil {
		fmt.Fprintf(&b, " %+v", *e.Layers)
	}
	ps := e.Props()
	var names []string
	for s, m := range ps {
		for n := range m {
			names = append(names, s+"/"+n)
		}
	}
	sort.Strings(names)
	for _, n := range names {
		s, k, _ := strings.Cut(n, "/")
		v := ps[s][k]
		fmt.Fprintf(&b, " %s=%s|%g|%v", n, v.Text, v.Num, v.List)
	}
	return b.String()
}

func TestShuffledFileGivesTheSameBuilding(t *testing.T) {
	text := small(t, 1, site{})
	want := describe(open(t, text))
	for seed := range uint64(5) {
		if d := cmp.Diff(want, describe(open(t, shuffled(text, seed)))); d != "" {
			t.Fatalf("seed %d:\n%s", seed, d)
		}
	}
}
