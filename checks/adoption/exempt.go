package adoption

import (
	"fmt"
	"slices"
	"strings"

	"voidcheck/schema"
)

// Exemption takes a requirement away where its condition holds.
type Exemption struct {
	When    When   `json:"when"`
	Because string `json:"because"`
	// Confirmed is false for an exception that the file only remembers: it takes nothing away,
	// and the item says that it may apply. Absent means true.
	Confirmed *bool `json:"confirmed"`
}

// Decide answers whether the exception applies: one that is not confirmed is left open where
// its condition holds, with the adopted text as what would decide.
func (e *Exemption) Decide(s Subject) (Answer, []string) {
	return confirmed(e.Confirmed, e.When, s)
}

// AdoptedText is what would decide an entry that the adoption file does not confirm.
const AdoptedText = "the adopted text, which the adoption file does not confirm"

func confirmed(mark *bool, w When, s Subject) (Answer, []string) {
	answer, unknown := w.Decide(s)
	if mark == nil || *mark || answer == No {
		return answer, unknown
	}
	return Unknown, append(unknown, AdoptedText)
}

// When is a condition on facts. Every part that is given must hold; an empty When holds
// always.
type When struct {
	Sprinklers        []string `json:"sprinklers"`
	SprinklersInVoids *bool    `json:"sprinklers_in_voids"`
	Occupancy         []string `json:"occupancy"`
	Construction      []string `json:"construction"`
	Storeys           *Bounds  `json:"storeys"`
	Units             *Bounds  `json:"units"`
	Framing           []string `json:"framing"`
	Spaces            []string `json:"spaces"`  // kinds of concealed spaces: each that the item is about is of one of them
	Edition           *Bounds  `json:"edition"` // year of the adopted edition
	// Shown are things that the model has to show at the item's place, by the names of the
	// schema; package shown looks for them.
	Shown []string `json:"shown"`
}

// Bounds is a range of whole numbers, both ends included.
type Bounds struct {
	Min *int `json:"min"`
	Max *int `json:"max"`
}

// Answer is the outcome of a condition: unknown facts decide nothing.
type Answer int

// The answers.
const (
	No Answer = iota
	Unknown
	Yes
)

// Subject is what a condition is asked about.
type Subject struct {
	Facts   Facts
	Units   int      // dwelling units in the building, 0 when unknown
	Framing []string // framings of the voids the item is about, empty when unknown
	Spaces  []string // kinds of the voids the item is about, empty when unknown
	Edition int      // year of the adopted edition, 0 when the adoption file does not say
	// Shows tells whether the model shows a thing at the item's place; nil knows nothing.
	Shows func(thing string) Answer

	occupancies []string // those that the conditions of the adoption name
}

// Decide answers the condition. When the answer is Unknown it names the facts that would
// decide, in the words of the submittal file.
func (w When) Decide(s Subject) (Answer, []string) {
	var unknown []string
	no := false
	ask := func(given, known, holds bool, fact string) {
		switch {
		case !given:
		case !known:
			unknown = append(unknown, fact)
		case !holds:
			no = true
		}
	}
	f := s.Facts
	ask(len(w.Sprinklers) > 0, f.Sprinklers != "", has(w.Sprinklers, f.Sprinklers), "sprinklers")
	ask(w.SprinklersInVoids != nil, f.SprinklersInVoids != nil || f.Sprinklers == "none",
		w.SprinklersInVoids != nil && *w.SprinklersInVoids == (f.SprinklersInVoids != nil && *f.SprinklersInVoids), "sprinklers_in_voids")
	occupancy := "occupancy"
	if f.Occupancy != "" && !s.knows(f.Occupancy) {
		occupancy += fmt.Sprintf(" (%q is no word of the adoption file)", f.Occupancy)
	}
	ask(len(w.Occupancy) > 0, s.knows(f.Occupancy), sameKind(w.Occupancy, f.Occupancy), occupancy)
	ask(len(w.Construction) > 0, f.Construction != "", has(w.Construction, f.Construction), "construction")
	ask(w.Storeys != nil, f.Storeys > 0, w.Storeys.holds(f.Storeys), "storeys")
	ask(w.Units != nil, s.Units > 0, w.Units.holds(s.Units), "units")
	known := len(s.Framing) > 0 && !slices.Contains(s.Framing, "unknown")
	all := true
	for _, k := range s.Framing {
		all = all && has(w.Framing, k)
	}
	ask(len(w.Framing) > 0, known, all, "framing of the void")
	only := true
	for _, k := range s.Spaces {
		only = only && has(w.Spaces, k)
	}
	ask(len(w.Spaces) > 0, len(s.Spaces) > 0, only, "kind of the concealed space")
	ask(w.Edition != nil, s.Edition > 0, w.Edition.holds(s.Edition), "edition_year of the adoption file")
	for _, thing := range w.Shown {
		answer := Unknown
		if s.Shows != nil {
			answer = s.Shows(thing)
		}
		ask(true, answer != Unknown, answer == Yes, wordsOf(thing)+" shown in the model")
	}
	switch {
	case no:
		return No, nil
	case len(unknown) > 0:
		return Unknown, unknown
	}
	return Yes, nil
}

func (b *Bounds) holds(n int) bool {
	return b != nil && (b.Min == nil || n >= *b.Min) && (b.Max == nil || n <= *b.Max)
}

// has compares words without regard to case, blanks and hyphens: "NFPA 13R" is "nfpa13r".
func has(list []string, word string) bool {
	return slices.ContainsFunc(list, func(s string) bool { return fold(s) == fold(word) })
}

func fold(s string) string {
	return strings.NewReplacer(" ", "", "-", "", "_", "").Replace(strings.ToLower(s))
}

// shownWords are the things that a model may show, as a person reads them; the names are those
// of the schema and of package shown.
var shownWords = map[string]string{
	"attic-draftstop-in-line":     "an attic draftstop in line with the wall",
	"ceiling-type-x":              "ceilings of Type X board below the attic",
	"ceiling-framing-covered":     "gypsum board on the framing that carries them",
	"corridor-other-side-stopped": "a stop at the other wall of the corridor",
}

func wordsOf(thing string) string {
	if s := shownWords[thing]; s != "" {
		return s
	}
	return thing
}

// String prints the condition as a person reads it.
func (w When) String() string {
	var parts []string
	list := func(name string, words []string) {
		if len(words) > 0 {
			parts = append(parts, name+" "+strings.Join(words, " or "))
		}
	}
	list("sprinklers", w.Sprinklers)
	if w.SprinklersInVoids != nil {
		parts = append(parts, map[bool]string{true: "concealed spaces sprinklered", false: "concealed spaces not sprinklered"}[*w.SprinklersInVoids])
	}
	list("occupancy", w.Occupancy)
	list("construction", w.Construction)
	if w.Storeys != nil {
		parts = append(parts, w.Storeys.String()+" storeys")
	}
	if w.Units != nil {
		parts = append(parts, w.Units.String()+" units")
	}
	list("framing", w.Framing)
	if len(w.Spaces) > 0 {
		parts = append(parts, "concealed space: "+strings.Join(w.Spaces, " or "))
	}
	if w.Edition != nil {
		parts = append(parts, "edition "+w.Edition.years())
	}
	if len(w.Shown) > 0 {
		var things []string
		for _, t := range w.Shown {
			things = append(things, wordsOf(t))
		}
		parts = append(parts, "the model shows "+strings.Join(things, " and "))
	}
	if len(parts) == 0 {
		return "always"
	}
	return strings.Join(parts, ", ")
}

// years prints "2018 and later", "up to 2015", "2009 to 2015".
func (b Bounds) years() string {
	if b.Min != nil && b.Max == nil {
		return fmt.Sprintf("%d and later", *b.Min)
	}
	return b.String()
}

// String prints "up to 4", "3 or more", "2 to 4".
func (b Bounds) String() string {
	switch {
	case b.Min != nil && b.Max != nil && *b.Min == *b.Max:
		return fmt.Sprint(*b.Min)
	case b.Min != nil && b.Max != nil:
		return fmt.Sprintf("%d to %d", *b.Min, *b.Max)
	case b.Max != nil:
		return fmt.Sprintf("up to %d", *b.Max)
	case b.Min != nil:
		return fmt.Sprintf("%d or more", *b.Min)
	}
	return "any number of"
}

// empty names the ranges of a condition that hold no number.
func (w When) empty(places *schema.Places, path ...string) []schema.Problem {
	var out []schema.Problem
	for _, x := range []struct {
		name string
		b    *Bounds
	}{{"storeys", w.Storeys}, {"units", w.Units}, {"edition", w.Edition}} {
		if x.b != nil && x.b.Min != nil && x.b.Max != nil && *x.b.Min > *x.b.Max {
			out = append(out, places.Problem(fmt.Sprintf("no number is at least %d and at most %d; turn them round, or write two entries", *x.b.Min, *x.b.Max), append(slices.Clone(path), x.name)...))
		}
	}
	return out
}
