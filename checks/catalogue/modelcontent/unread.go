package modelcontent

import (
	"fmt"
	"path"
	"sort"
	"strings"

	"voidcheck/checks"
	"voidcheck/checks/finding"
	"voidcheck/checks/place"
	"voidcheck/ifcx/source"
)

// named is how many elements or problems a message names before it counts.
const named = 3

// unread reports what in the files could not be read or computed, and returns how many
// items ask for something.
func unread(p *checks.Pass, w *place.Words) int {
	n := boxed(p, w)
	if p.Building.Model == nil || p.Building.Model.Log == nil {
		return n
	}
	byCode := map[string][]source.Problem{}
	var codes []string
	for _, x := range p.Building.Model.Log.All() {
		if x.Severity != source.Skipped && x.Entity != "" {
			continue // odd but read: the run's own list of problems tells it
		}
		if byCode[x.Code] == nil {
			codes = append(codes, x.Code)
		}
		byCode[x.Code] = append(byCode[x.Code], x)
	}
	sort.Strings(codes)
	for _, code := range codes {
		n += problem(p, code, byCode[code])
	}
	return n
}

// problem reports the problems of one code as one item: something was left out, or it was
// read and is odd.
func problem(p *checks.Pass, code string, xs []source.Problem) int {
	r := checks.Report{Outcome: finding.Note, Evidence: finding.Modelled, Storey: -1, Place: "files: " + strings.ReplaceAll(code, "-", " "), Cause: "files: " + code}
	asks, short := 0, names(p)
	var texts []string
	for _, x := range xs {
		if x.Severity == source.Skipped {
			r.Outcome, asks = finding.NotShown, 1
		}
		texts = append(texts, short.Replace(x.String()))
	}
	r.Message = texts[0] + "."
	if len(texts) > 1 {
		r.Message = fmt.Sprintf("%d problems of one kind in the files, the first of them: %s.", len(texts), texts[0])
	}
	if asks > 0 {
		r.Remedy = "What is named was left out of the review; export the model again, or replace these elements."
	}
	p.Report(r)
	return asks
}

func count(elements int) string {
	if elements == 1 {
		return "one element"
	}
	return fmt.Sprintf("%d elements", elements)
}

// names takes the folders off the names of the files, which a reader of comments has no use
// for, unless two files have one name.
func names(p *checks.Pass) *strings.Replacer {
	var pairs []string
	seen := map[string]bool{}
	for _, f := range p.Building.Model.Files {
		base := path.Base(strings.ReplaceAll(f.Name, `\`, "/"))
		if seen[base] {
			return strings.NewReplacer()
		}
		seen[base] = true
		pairs = append(pairs, f.Name, base)
	}
	return strings.NewReplacer(pairs...)
}

// boxed reports the elements whose geometry fell back to their bounding box.
func boxed(p *checks.Pass, w *place.Words) int {
	var elements []int
	var names []string
	seen := map[int]bool{-1: true}
	for i := range p.Building.Input.Parts {
		e := p.Building.Input.Parts[i].Element
		if seen[e] {
			continue
		}
		seen[e] = true
		m := w.ModelElement(e)
		if m == nil {
			continue
		}
		body := m.Body()
		if body == nil {
			continue
		}
		for _, s := range body.Solids {
			if s.Boxed {
				elements = append(elements, e)
				names = append(names, fmt.Sprintf("%s %q", m.Entity, place.Name(m)))
				break
			}
		}
	}
	if len(elements) == 0 {
		return 0
	}
	p.Report(checks.Report{
		Outcome: finding.NotShown, Evidence: finding.Modelled, Storey: -1, Place: "geometry", Cause: "geometry", Elements: elements,
		Message: fmt.Sprintf("The geometry of %s could not be computed; bounding boxes stand for it (%s).", count(len(elements)), place.Short(names, named)),
		Remedy:  "Export these elements with plain solids, and look at what is said about their surroundings with care.",
	})
	return 1
}
