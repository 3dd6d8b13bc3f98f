package place

import (
	"fmt"
	"strings"

	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
)

// longestName is where a name is cut; authoring tools write whole type paths into names.
const longestName = 40

// ModelElement returns a model element by index, nil when there is none.
func (w *Words) ModelElement(i int) *model.Element {
	if i >= 0 && i < len(w.Building.Things) && w.Building.Things[i].Element != nil {
		return w.Building.Things[i].Element
	}
	if m := w.Building.Model; m != nil && i >= 0 && i < len(m.Elements) {
		return m.Elements[i]
	}
	return nil
}

// Element returns the name of an element as a person knows it, "" when it has none.
func (w *Words) Element(i int) string {
	e := w.ModelElement(i)
	if e == nil {
		return ""
	}
	return Name(e)
}

// Name returns an element's name or tag, cut to a readable length. Of names that authoring
// tools put together as "family:type:number" the family is left out and the number kept: it
// tells this element from the others of its type.
func Name(e *model.Element) string {
	n := strings.Join(strings.Fields(e.Name), " ")
	if n == "" || strings.Trim(n, "*-_.") == "" {
		n = strings.TrimSpace(e.Tag)
	}
	number := ""
	if parts := strings.Split(n, ":"); len(parts) >= 3 {
		// A part of an element has its own words after the number: "145936 Stringer 6".
		first, _, _ := strings.Cut(parts[2], " ")
		if first != "" && strings.Trim(first, "0123456789") == "" && len(parts[2]) < longestName/2 {
			n, number = strings.TrimSpace(parts[1]), " "+strings.TrimSpace(parts[2])
		}
	}
	if r := []rune(n); len(r)+len(number) > longestName {
		n = strings.TrimSpace(string(r[:longestName-len(number)-1])) + "…"
	}
	return n + number
}

// Member names one member of the framing: "truss FT-14", "joist J-3", "joist"; "" when the
// element is not known.
func (w *Words) Member(i int) string {
	if t := w.trussOf()[i]; t != nil {
		return Named("truss", t.Mark)
	}
	if i < 0 || i >= len(w.Building.Things) {
		return ""
	}
	word := strings.ReplaceAll(string(w.Building.Things[i].Concept), "-", " ")
	if w.Building.Things[i].Concept == recognise.Other {
		word = "member"
	}
	return Named(word, w.Element(i))
}

// Called returns the name of the first of some elements that has one: as a place has it, and as a
// sentence does. Without a name it is what the word says: "service", "a service".
func (w *Words) Called(word string, elements []int) (place, said string) {
	for _, e := range elements {
		if n := w.Element(e); n != "" {
			return n, n
		}
	}
	return word, "a " + word
}

// Named puts a word before a name that does not say it already.
func Named(word, name string) string {
	if strings.Contains(strings.ToLower(name), word) {
		return name
	}
	return strings.TrimSpace(word + " " + name)
}

// Bay says between which members an opening lies: "bay between trusses FT-14 and FT-15",
// "bay beside truss FT-1"; "" when no member is known. The names stand in natural order, so
// that a mirrored model reads the same.
func (w *Words) Bay(o *void.Opening) string {
	var names []string
	for _, m := range o.Members {
		if n := w.Member(m); n != "" && (len(names) == 0 || names[0] != n) {
			names = append(names, n)
		}
	}
	names = Sorted(names)
	switch {
	case len(names) == 0:
		return ""
	case len(names) == 1 && len(o.Members) > 1:
		return "bay between two of " + names[0]
	case len(names) == 1:
		return "bay beside " + names[0]
	}
	a, b := names[0], names[len(names)-1]
	wa, na, okA := strings.Cut(a, " ")
	wb, nb, okB := strings.Cut(b, " ")
	if okA && okB && wa == wb && !strings.Contains(na, " ") {
		return fmt.Sprintf("bay between %s %s and %s", plural(wa), na, nb)
	}
	return "bay between " + a + " and " + b
}

func plural(s string) string {
	if strings.HasSuffix(s, "s") {
		return s + "es"
	}
	return s + "s"
}

// wholeLine is the share of a line from which an opening takes all of it.
const wholeLine = 0.9

// Opening names an opening by the members beside it, "" when it lies between none.
func (w *Words) Opening(o *void.Opening) string {
	if o.Kind == void.OpenBay || o.Kind == void.OpenPlate {
		return w.Bay(o)
	}
	return ""
}

// OpeningAt says where along its line an opening lies: "11'-4\" from the north end"; "" for an
// opening along the whole line, and where in plan it lies when it has no line.
func (w *Words) OpeningAt(o *void.Opening) string {
	l := o.Line
	if l == nil {
		return w.Spot(o.Point)
	}
	if o.Kind != void.OpenBay && o.WidthM >= wholeLine*l.B.Sub(l.A).Len() {
		return ""
	}
	return w.Along(l.A, l.B, o.Point.Plan())
}

// gaps are the words for kinds of opening.
var gaps = map[void.OpeningKind]string{
	void.OpenBay: "bay without a block", void.OpenLine: "open stretch", void.OpenTop: "gap above the stop",
	void.OpenBottom: "gap below the stop", void.OpenEdge: "gap at the end of the stop", void.OpenHole: "hole through the stop",
	void.OpenPlate: "missing plate", void.OpenLevel: "cavity open through the level", void.OpenJunction: "open junction",
	void.OpenRing: "ring round a service",
}

// Gap returns the words for a kind of opening.
func Gap(k void.OpeningKind) string {
	if s, ok := gaps[k]; ok {
		return s
	}
	return "opening"
}

// Ends returns the compartments that openings join, each once, in order.
func Ends(os []*void.Opening) []*void.Compartment {
	var r []*void.Compartment
	seen := map[*void.Compartment]bool{nil: true}
	for _, o := range os {
		for _, c := range []*void.Compartment{o.A, o.B} {
			if !seen[c] {
				seen[c] = true
				r = append(r, c)
			}
		}
	}
	return r
}

// Middle returns the middle of the points of openings, for items about several: it does not
// depend on their order, as the first one's would.
func Middle(os []*void.Opening) geom.Vec3 {
	var m geom.Vec3
	for _, o := range os {
		m = m.Add(o.Point)
	}
	return m.Mul(1 / float64(max(len(os), 1)))
}
