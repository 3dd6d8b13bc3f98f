package lexicon

import (
	"sort"
	"strings"
)

// Subject is what is known of the thing to be matched. All text may be as written.
type Subject struct {
	Entity     string
	Parents    []string // supertypes of Entity
	Predefined string
	Names      []string // name, object type, type name, description, in order of weight
	Materials  []string
	Property   func(set, name string) (string, bool) // may be nil
	Classes    []ClassRef
}

// ClassRef is a classification reference of a subject.
type ClassRef struct{ System, Code string }

// Evidence is why a concept matched.
type Evidence struct {
	Concept string
	Signal  string // "entity", "predefined", "property", "classification", "name", "material"
	Value   string // what was seen, as written

	name int // 1 + the place among the names, whose text stands for Value in a shared list
}

// Of returns evidence of a shared list as it is for a subject with the given names.
func (e Evidence) Of(names []string) Evidence {
	if e.name > 0 {
		e.Value, e.name = names[e.name-1], 0
	}
	return e
}

// Strong reports whether the evidence is a type of the standard, a property or a
// classification, and not a word.
func (e Evidence) Strong() bool { return e.Signal != "name" && e.Signal != "material" }

// Concepts returns every concept that matches, types of the standard first, then words, each
// group in the order of the lexicon.
func (l *Lexicon) Concepts(s Subject) []Evidence {
	found := l.Shared(&s)
	for i := range found {
		if found[i].name > 0 { // the list is shared: it stays as it is
			own := make([]Evidence, len(found))
			for k, e := range found {
				own[k] = e.Of(s.Names)
			}
			return own
		}
	}
	return found
}

// read works out what Shared returns.
func (l *Lexicon) read(s *Subject, open [][]int) []Evidence {
	f := fold(s)
	var strong, weak []Evidence
	words := make([][]hit, len(f.names))
	for i, n := range f.names {
		words[i] = l.hits(n)
	}
	for i, open := range open {
		name := len(l.concepts[i].Match) // the first matcher that a name satisfies
		var w Evidence
		for k := range words {
			for _, h := range words[k] {
				if h.concept == i && h.matcher < name {
					name, w = h.matcher, Evidence{Concept: l.concepts[i].Concept, Signal: "name", name: 1 + k}
				}
			}
		}
		hasStrong, hasWeak := false, w.Signal != ""
		for _, j := range open {
			e, ok := l.concepts[i].Match[j].match(f)
			if !ok {
				continue
			}
			e.Concept = l.concepts[i].Concept
			switch {
			case !e.Strong() && (!hasWeak || j < name):
				w, hasWeak, name = e, true, j
			case e.Strong() && !hasStrong:
				strong, hasStrong = append(strong, e), true
			}
		}
		if hasWeak {
			weak = append(weak, w)
		}
	}
	return append(strong, weak...)
}

// hit is a matcher that a name alone satisfies: index of the concept and of the matcher.
type hit struct{ concept, matcher int }

func (m *Matcher) onlyName() bool {
	return m.name != nil && m.Entity == "" && m.Predefined == "" && m.Property == nil && m.Classification == nil && m.material == nil
}

// hits returns the matchers that a folded name satisfies. Running numbers are all one to it.
func (l *Lexicon) hits(name string) []hit {
	key := oneNumber(name)
	if key == "" {
		return nil
	}
	if h, ok := l.byName.Load(key); ok {
		return h.([]hit)
	}
	l.findTexts.Do(func() {
		for i := range l.concepts {
			for j := range l.concepts[i].Match {
				if m := &l.concepts[i].Match[j]; m.onlyName() {
					m.texts = textsOf(m.name.String())
				}
			}
		}
	})
	var out []hit
	for i := range l.concepts {
		for j := range l.concepts[i].Match {
			if m := &l.concepts[i].Match[j]; m.onlyName() && holdsAny(key, m.texts) && m.name.MatchString(key) {
				out = append(out, hit{i, j})
			}
		}
	}
	l.byName.Store(key, out)
	return out
}

// oneNumber writes 0 for every number that stands alone: "stud 17" and "stud 18" are one
// name, "2x10" and "ba13" keep theirs.
func oneNumber(s string) string {
	if !strings.ContainsAny(s, "0123456789") {
		return s
	}
	f := strings.Fields(s)
	for i, w := range f {
		if strings.Trim(w, "0123456789") == "" {
			f[i] = "0"
		}
	}
	return strings.Join(f, " ")
}

// Zone says whether a zone matches a kind ("unit", "not-unit").
func (l *Lexicon) Zone(kind string, s Subject) (Evidence, bool) { return first(l.zones[kind], s, kind) }

// Space says whether a space matches a kind ("outside", "common", "not-room").
func (l *Lexicon) Space(kind string, s Subject) (Evidence, bool) {
	return first(l.spaces[kind], s, kind)
}

// Storey says whether a storey matches a kind ("roof").
func (l *Lexicon) Storey(kind string, s Subject) (Evidence, bool) {
	return first(l.storeys[kind], s, kind)
}

// framingOrder is the order in which framing words are tried: the more telling first.
var framingOrder = []string{"open-web-truss", "i-joist", "rafter", "stud", "solid-joist"}

// Framing returns the kind of framing that words name, or "".
func (l *Lexicon) Framing(words ...string) (string, bool) {
	for _, w := range words {
		if k := l.framingOf(oneNumber(Fold(w))); k != "" {
			return k, true
		}
	}
	return "", false
}

func (l *Lexicon) framingOf(word string) string {
	if word == "" {
		return ""
	}
	if k, ok := l.byFraming.Load(word); ok {
		return k.(string)
	}
	kind := ""
	for _, k := range framingOrder {
		if _, ok := first(l.framing[k], Subject{Names: []string{word}}, k); ok {
			kind = k
			break
		}
	}
	l.byFraming.Store(word, kind)
	return kind
}

// materialHit is a material name already looked up; class is -1 when none matches.
type materialHit struct{ class int }

// Material returns the class of a material name.
func (l *Lexicon) Material(name string) (Class, bool) {
	h, ok := l.byMaterial.Load(name)
	if !ok {
		h = materialHit{l.findMaterial(Fold(name))}
		l.byMaterial.Store(name, h)
	}
	if i := h.(materialHit).class; i >= 0 {
		return l.classes[i], true
	}
	return Class{}, false
}

func (l *Lexicon) findMaterial(n string) int {
	if n == "" {
		return -1
	}
	for i := range l.classes {
		if l.classes[i].words.MatchString(n) {
			return i
		}
	}
	return -1
}

func first(ms []Matcher, s Subject, concept string) (Evidence, bool) {
	f := fold(&s)
	for i := range ms {
		if e, ok := ms[i].match(f); ok {
			e.Concept = concept
			return e, true
		}
	}
	return Evidence{}, false
}

// folded is a subject with its words folded once.
type folded struct {
	Subject
	names, materials []string
}

func fold(s *Subject) *folded {
	f := &folded{Subject: *s, names: make([]string, 0, len(s.Names)), materials: make([]string, 0, len(s.Materials))}
	for _, n := range s.Names {
		f.names = append(f.names, Fold(n))
	}
	for _, n := range s.Materials {
		f.materials = append(f.materials, Fold(n))
	}
	return f
}

// match reports whether every given member holds. The evidence is the strongest member.
func (m *Matcher) match(f *folded) (Evidence, bool) {
	var e Evidence
	see := func(signal, value string) {
		if e.Signal == "" {
			e = Evidence{Signal: signal, Value: value}
		}
	}
	if m.Predefined != "" {
		if !strings.EqualFold(m.Predefined, f.Predefined) {
			return e, false
		}
		see("predefined", f.Entity+"."+strings.ToUpper(m.Predefined))
	}
	if m.Entity != "" {
		if !isEntity(f, m.Entity) {
			return e, false
		}
		see("entity", f.Entity)
	}
	if p := m.Property; p != nil {
		if f.Property == nil {
			return e, false
		}
		v, ok := f.Property(p.Set, p.Name)
		if !ok || p.value != nil && !p.value.MatchString(Fold(v)) {
			return e, false
		}
		e = Evidence{} // tells more than the entity it is on
		see("property", strings.TrimPrefix(p.Set+"."+p.Name+"="+v, "."))
	}
	if c := m.Classification; c != nil {
		r, ok := findClass(f.Classes, c)
		if !ok {
			return e, false
		}
		e = Evidence{}
		see("classification", strings.TrimSpace(r.System+" "+r.Code))
	}
	if m.name != nil {
		i := indexMatch(f.names, m)
		if i < 0 {
			return e, false
		}
		see("name", f.Names[i])
	}
	if m.material != nil {
		i := -1
		for k, n := range f.materials {
			if n != "" && m.material.MatchString(n) {
				i = k
				break
			}
		}
		if i < 0 {
			return e, false
		}
		see("material", f.Materials[i])
	}
	return e, e.Signal != ""
}

func isEntity(f *folded, entity string) bool {
	if strings.EqualFold(f.Entity, entity) {
		return true
	}
	for _, p := range f.Parents {
		if strings.EqualFold(p, entity) {
			return true
		}
	}
	return false
}

func findClass(refs []ClassRef, c *ClassificationMatch) (ClassRef, bool) {
	for _, r := range refs {
		if c.system != nil && !c.system.MatchString(Fold(r.System)) {
			continue
		}
		if strings.HasPrefix(strings.ToLower(r.Code), strings.ToLower(c.Code)) {
			return r, true
		}
	}
	return ClassRef{}, false
}

func indexMatch(names []string, m *Matcher) int {
	for i, n := range names {
		if n != "" && m.name.MatchString(n) {
			return i
		}
	}
	return -1
}

func sortedKeys[V any](m map[string]V) []string {
	ks := make([]string, 0, len(m))
	for k := range m {
		ks = append(ks, k)
	}
	sort.Strings(ks)
	return ks
}
