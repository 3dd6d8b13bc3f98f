package materials

import (
	"math"
	"strings"

	"voidcheck/checks/finding"
)

// Ply is one layer of a stop: what it is called and how thick it is.
type Ply struct {
	Material   string
	ThicknessM float64 // 0 when not known
}

// Sample is one stop as the model shows it.
type Sample struct {
	Plies   []Ply    // one for a stop of one material
	Words   []string // names and types, looked at when no material is given or known
	Mixed   bool     // the plies are materials of one solid, each told with the thickness of all
	HeightM float64  // vertical extent
	Test    string   // test or listing that the model names, "" for none
}

// Reasons of a verdict, in the words of a comment's cause.
const (
	ReasonThin     = "too thin"
	ReasonLow      = "not high enough"
	ReasonOff      = "not on the list"
	ReasonNear     = "nominal equivalent, reviewer decides"
	ReasonTest     = "test reference wanted"
	ReasonApproval = "approval wanted"
	ReasonNone     = "material not shown"
	ReasonUnknown  = "material not recognised"
	ReasonNoSize   = "thickness not shown"
	ReasonLayers   = "thick enough in several layers together, reviewer decides"
	ReasonWay      = "the direction in which it stops fire is not shown"
)

// Verdict is what a list says of a sample.
type Verdict struct {
	Outcome  finding.Outcome // Meets, Deficient or NotShown
	Reason   string          // "" with Meets
	Class    string          // of the ply that decided, "" when none is known
	Material string          // its name in the model, or the words that told the class
	ByWords  bool            // the class was told by the element's words, not by a material
	Entry    Entry           // the entry that decided, zero when there is none
	GotM     float64         // thickness or height
	Show     string          // what the submittal should show instead, for vague words
}

// Judge holds a sample against a list. The best of its plies decides: a board of the right
// kind closes a void whatever is fixed to it.
func (d *Data) Judge(s Sample, l List) Verdict {
	best := Verdict{}
	take := func(v Verdict) {
		if best.Outcome == "" || better(v, best) {
			best = v
		}
	}
	named, told := false, false
	for _, p := range s.Plies {
		if strings.TrimSpace(p.Material) == "" {
			continue
		}
		named = true
		if r, ok := d.Class(p.Material); ok {
			told = told || r.Class != ""
			take(d.reading(r, p, s, l))
		}
	}
	if !told {
		for _, w := range s.Words {
			if r, ok := d.Class(w); ok && r.Class != "" {
				for _, p := range s.Plies {
					v := d.reading(r, Ply{w, p.ThicknessM}, s, l)
					v.ByWords = true
					take(v)
				}
				break
			}
		}
	}
	switch {
	case best.Outcome != "":
		return best
	case named:
		return Verdict{Outcome: finding.NotShown, Reason: ReasonUnknown, Material: names(s.Plies), Show: "the class of material (lumber, structural panel, gypsum board, mineral wool ...)"}
	}
	return Verdict{Outcome: finding.NotShown, Reason: ReasonNone, Show: "its material and thickness"}
}

// names lists the materials of plies, each once.
func names(ps []Ply) string {
	var out []string
	for _, p := range ps {
		if p.Material != "" && (len(out) == 0 || out[len(out)-1] != p.Material) {
			out = append(out, p.Material)
		}
	}
	return strings.Join(out, ", ")
}

// better orders verdicts: what meets, what the reviewer has to decide, what fails; among
// those that fail, what is too thin before what is on no list.
func better(a, b Verdict) bool {
	rank := func(v Verdict) int {
		switch {
		case v.Outcome == finding.Meets:
			return 0
		case v.Reason == ReasonNear:
			return 1
		case v.Reason == ReasonApproval:
			return 2
		case v.Reason == ReasonTest:
			return 3
		case v.Outcome == finding.NotShown:
			return 4
		case v.Reason == ReasonThin || v.Reason == ReasonLow:
			return 5
		}
		return 6
	}
	if x, y := rank(a), rank(b); x != y {
		return x < y
	}
	return a.Entry.ThicknessM-a.GotM < b.Entry.ThicknessM-b.GotM-1e-9 // the smaller shortfall
}

// reading judges one ply by what its name says.
func (d *Data) reading(r Reading, p Ply, s Sample, l List) Verdict {
	switch {
	case r.Never:
		v := Verdict{Outcome: finding.Deficient, Reason: ReasonOff, Class: r.Class, Material: p.Material, GotM: p.ThicknessM}
		if s.Test != "" {
			v.Outcome, v.Reason = finding.NotShown, ReasonTest
		}
		return v
	case r.Class != "":
		return d.class(r.Class, p, s, l)
	case len(r.MayBe) == 0:
		return Verdict{Outcome: finding.NotShown, Reason: ReasonUnknown, Material: p.Material, Show: r.Show}
	}
	worst := Verdict{}
	for _, c := range r.MayBe {
		if v := d.class(c, p, s, l); worst.Outcome == "" || better(worst, v) {
			worst = v
		}
	}
	if worst.Outcome == finding.Deficient {
		worst.Outcome, worst.Reason, worst.Show = finding.NotShown, ReasonUnknown, r.Show
	}
	return worst
}

// class judges one ply of a known class.
func (d *Data) class(name string, p Ply, s Sample, l List) Verdict {
	best := Verdict{Outcome: finding.Deficient, Reason: ReasonOff, Class: name, Material: p.Material, GotM: p.ThicknessM}
	for _, e := range l {
		if e.Class != name {
			continue
		}
		v := d.entry(e, p, s)
		v.Class, v.Material, v.Entry = name, p.Material, e
		if better(v, best) {
			best = v
		}
	}
	if sum, n := d.together(name, s); best.Reason == ReasonThin && n > 1 && best.Entry.Layers < 2 && sum >= best.Entry.ThicknessM-d.AllowanceM {
		best.Outcome, best.Reason, best.GotM = finding.NotShown, ReasonLayers, sum
		best.Show = "one layer of that thickness, or the approval of the layers"
	}
	return best
}

// together is how thick the layers of a class are in all, and how many there are.
func (d *Data) together(class string, s Sample) (sum float64, n int) {
	for _, p := range s.Plies {
		if r, _ := d.Class(p.Material); r.Class == class && !s.Mixed {
			sum, n = sum+p.ThicknessM, n+1
		}
	}
	return sum, n
}

// entry judges a ply by one entry of its class.
func (d *Data) entry(e Entry, p Ply, s Sample) Verdict {
	v := Verdict{Outcome: finding.Meets, GotM: p.ThicknessM}
	if e.ThicknessM > 0 {
		switch {
		case p.ThicknessM <= 0:
			v.Outcome, v.Reason, v.Show = finding.NotShown, ReasonNoSize, "its thickness"
		case e.Layers > 1 && d.plies(e, s) < e.Layers:
			v.Outcome, v.Reason = finding.Deficient, ReasonThin
		default:
			v.Outcome, v.Reason = d.compare(p.ThicknessM, e.ThicknessM, e.Class, ReasonThin)
		}
	}
	if e.HeightM > 0 && v.Outcome == finding.Meets {
		v.GotM = s.HeightM
		if v.Outcome, v.Reason = d.compare(s.HeightM, e.HeightM, e.Class, ReasonLow); s.HeightM <= 0 {
			v.Outcome, v.Reason, v.Show = finding.NotShown, ReasonNoSize, "its height"
		}
	}
	if v.Outcome == finding.Meets {
		switch {
		case e.If == "approved":
			v.Outcome, v.Reason = finding.NotShown, ReasonApproval
		case e.If == "tested":
			v.Outcome, v.Reason = finding.NotShown, ReasonTest
		}
	}
	return v
}

// plies counts the layers of an entry's class that are thick enough.
func (d *Data) plies(e Entry, s Sample) int {
	n := 0
	for _, p := range s.Plies {
		r, _ := d.Class(p.Material)
		if o, _ := d.compare(p.ThicknessM, e.ThicknessM, e.Class, ReasonThin); r.Class == e.Class && o == finding.Meets {
			n++
		}
	}
	return n
}

// compare holds a size against its least value. The inexactness of models passes; a metric
// trade size that stands for a size in inches, and what misses by a hair more than the
// allowance, is left to the reviewer.
func (d *Data) compare(got, least float64, class, short string) (finding.Outcome, string) {
	const same = 5e-5 // two sizes no further apart are one, metres
	miss, near := least-got, d.near(class)+1e-9
	if miss > same && miss <= near {
		for _, m := range d.metric {
			if math.Abs(got-m) <= same {
				return finding.NotShown, ReasonNear
			}
		}
	}
	switch {
	case miss <= d.AllowanceM+1e-9:
		return finding.Meets, ""
	case miss <= near:
		return finding.NotShown, ReasonNear
	}
	return finding.Deficient, short
}
