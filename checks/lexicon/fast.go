package lexicon

import "slices"

// entityMatchers are the matchers of each concept that something of an entity may satisfy, without
// those that ask for names only.
type entityMatchers struct {
	parents []string
	of      [][]int
}

// matchersOf returns the matchers that may match a subject by its entity, by concept.
func (l *Lexicon) matchersOf(s *Subject) [][]int {
	if m, ok := l.byEntity.Load(s.Entity); ok && slices.Equal(m.(*entityMatchers).parents, s.Parents) {
		return m.(*entityMatchers).of
	}
	m := &entityMatchers{parents: slices.Clone(s.Parents), of: make([][]int, len(l.concepts))}
	f := &folded{Subject: *s}
	for i := range l.concepts {
		for j := range l.concepts[i].Match {
			if x := &l.concepts[i].Match[j]; !x.onlyName() && (x.Entity == "" || isEntity(f, x.Entity)) {
				m.of[i] = append(m.of[i], j)
			}
		}
	}
	l.byEntity.Store(s.Entity, m)
	return m.of
}

// foldPlain folds ASCII.
func foldPlain(s string) string {
	lower := func(c byte) bool { return 'a' <= c && c <= 'z' }
	upper := func(c byte) bool { return 'A' <= c && c <= 'Z' }
	var few [64]byte
	b := few[:0]
	blank := true // swallow leading blanks
	for i := 0; i < len(s); i++ {
		c := s[i]
		switch {
		case c == ' ' || '\t' <= c && c <= '\r' || isJoint[c]:
			if !blank {
				b = append(b, ' ')
			}
			blank = true
			continue
		case upper(c):
			if i > 0 && !blank && (lower(s[i-1]) || upper(s[i-1]) && i+1 < len(s) && lower(s[i+1])) {
				b = append(b, ' ')
			}
			c += 'a' - 'A'
		}
		b = append(b, c)
		blank = false
	}
	for len(b) > 0 && b[len(b)-1] == ' ' {
		b = b[:len(b)-1]
	}
	if string(b) == s {
		return s
	}
	return string(b)
}

// isJoint holds the ASCII characters that part words.
var isJoint = func() (joint [256]bool) {
	for _, c := range []byte("_-./:,;*()[]'\"+#&|\\") {
		joint[c] = true
	}
	return joint
}()
