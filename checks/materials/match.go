package materials

import (
	"regexp"
	"strconv"
	"strings"
	"sync"

	"voidcheck/checks/lexicon"
)

// Lengths of words in letters.
const (
	opensCompound = 5 // a word may be the first part of a longer one: gipskarton in Gipskartonplatte
	endsCompound  = 7 // a word may stand inside a longer one: vollholz in Konstruktionsvollholz
)

var nominalSize = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`(?:^| )([1-9][0-9]?)x([1-9][0-9]?)(?: |$)`) })

// Reading is what a material name says.
type Reading struct {
	Class string   // "" when it is not known
	Never bool     // on no list
	MayBe []string // for names that say too little: each class that it may be
	Show  string   // for those: what to show instead
}

// Class reads a material name, or the words of an element; false when it says nothing.
func (d *Data) Class(name string) (Reading, bool) {
	n := lexicon.Fold(name)
	if n == "" {
		return Reading{}, false
	}
	for i := range d.classes {
		for _, w := range d.classes[i].words {
			if holds(n, w) && !d.denied(n, w) {
				return Reading{Class: d.classes[i].Name, Never: d.classes[i].Never}, true
			}
		}
	}
	if m := nominalSize().FindStringSubmatch(n); m != nil && d.lumber[m[1]] > 0 && d.lumber[m[2]] > 0 {
		return Reading{Class: "sawn lumber"}, true
	}
	for i := range d.vague {
		for _, w := range d.vague[i].Words {
			if holds(n, w) {
				return Reading{MayBe: d.vague[i].MayBe, Show: d.vague[i].Show}, true
			}
		}
	}
	return Reading{}, false
}

// denied reports whether a longer vague word of the name swallows a word of a class: "fibre
// de bois" is no bois, "laine de bois" no laine.
func (d *Data) denied(n, word string) bool {
	for i := range d.vague {
		for _, v := range d.vague[i].Words {
			if len(v) > len(word) && strings.Contains(v, word) && holds(n, v) {
				return true
			}
		}
	}
	return false
}

// holds reports whether a folded name holds a folded word.
func holds(name, word string) bool {
	for at := 0; ; {
		i := strings.Index(name[at:], word)
		if i < 0 {
			return false
		}
		i += at
		end := i + len(word)
		begins := i == 0 || name[i-1] == ' '
		ends := end == len(name) || name[end] == ' '
		if (begins || len(word) >= endsCompound) && (ends || len(word) >= opensCompound) {
			return true
		}
		at = i + 1
	}
}

var drawnSize = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`(?:^|[^\d.,])(\d{1,4}(?:[.,]\d{1,2})?) ?[xX×] ?(\d{1,4}(?:[.,]\d{1,2})?)(?:$|[^\d.,])`)
})

// Declared returns the thickness that a name tells, metres: "38x89" in millimetres, "2x4" by
// its actual size; false when none of the texts tells one.
func (d *Data) Declared(texts ...string) (float64, bool) {
	for _, t := range texts {
		m := drawnSize().FindStringSubmatch(t)
		if m == nil {
			continue
		}
		if w, _, ok := d.Actual(m[1] + "x" + m[2]); ok {
			return w, true
		}
		a, errA := strconv.ParseFloat(strings.Replace(m[1], ",", ".", 1), 64)
		b, errB := strconv.ParseFloat(strings.Replace(m[2], ",", ".", 1), 64)
		if t := min(a, b) / 1000; errA == nil && errB == nil && t >= 0.005 {
			return t, true
		}
	}
	return 0, false
}
