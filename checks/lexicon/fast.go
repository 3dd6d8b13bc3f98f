package lexicon

import (
	"encoding/binary"
	"slices"
	"sync"
)

// entityMatchers are the matchers of each concept that something of an entity may satisfy, without
// those that ask for names only.
type entityMatchers struct {
	parents []string
	of      [][]int
	// alike is true when nothing but the predefined type, the names without their running
	// numbers and the materials decides; known is then what was found for them.
	alike bool
	mu    sync.RWMutex
	known map[string][]Evidence
	next  *entityMatchers // the same entity under other supertypes
}

// matchersOf returns the matchers that may match a subject by its entity, by concept.
func (l *Lexicon) matchersOf(s *Subject) *entityMatchers {
	l.mu.RLock()
	all := l.byEntity[s.Entity]
	l.mu.RUnlock()
	for m := all; m != nil; m = m.next {
		if slices.Equal(m.parents, s.Parents) {
			return m
		}
	}
	m := &entityMatchers{parents: slices.Clone(s.Parents), of: make([][]int, len(l.concepts)), alike: true, known: map[string][]Evidence{}}
	f := &folded{Subject: Subject{Entity: s.Entity, Parents: m.parents}}
	for i := range l.concepts {
		for j := range l.concepts[i].Match {
			if x := &l.concepts[i].Match[j]; !x.onlyName() && (x.Entity == "" || isEntity(f, x.Entity)) {
				m.of[i] = append(m.of[i], j)
				m.alike = m.alike && x.name == nil && x.Property == nil && x.Classification == nil
			}
		}
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	m.next = l.byEntity[s.Entity]
	if l.byEntity == nil {
		l.byEntity = map[string]*entityMatchers{}
	}
	l.byEntity[s.Entity] = m
	return m
}

// Shared is Concepts for buildings, which hold the same thing thousands of times: alike
// subjects get one list, which must not be changed. Evidence from a name has no Value in it;
// Of gives it back.
func (l *Lexicon) Shared(s *Subject) []Evidence {
	m := l.matchersOf(s)
	if !m.alike {
		return l.read(s, m.of)
	}
	var room [192]byte
	key := kindOf(room[:0], s)
	m.mu.RLock()
	found, ok := m.known[string(key)]
	m.mu.RUnlock()
	if ok {
		return found
	}
	found = slices.Clip(l.read(s, m.of))
	m.mu.Lock()
	m.known[string(key)] = found
	m.mu.Unlock()
	return found
}

// kindOf appends what tells subjects of one entity apart: each text with its length behind it,
// so that no two lists of texts run into each other.
func kindOf(key []byte, s *Subject) []byte {
	part := func(from int) {
		key = binary.LittleEndian.AppendUint32(key, uint32(len(key)-from))
	}
	from := len(key)
	key = append(key, s.Predefined...)
	part(from)
	for _, n := range s.Names {
		from = len(key)
		key = appendKind(key, n)
		part(from)
	}
	for _, n := range s.Materials {
		from = len(key)
		key = append(key, n...)
		part(from)
	}
	return binary.LittleEndian.AppendUint32(key, uint32(len(s.Names)))
}

// appendKind appends a name with 0 for each run of digits that stands between blanks: names
// that differ by running numbers alone come out the same.
func appendKind(b []byte, s string) []byte {
	for i := 0; i < len(s); {
		j := i
		for j < len(s) && s[j] != ' ' {
			j++
		}
		if k := i; k < j {
			for k < j && '0' <= s[k] && s[k] <= '9' {
				k++
			}
			if k == j {
				b = append(b, '0')
			} else {
				b = append(b, s[i:j]...)
			}
		}
		if j < len(s) {
			b = append(b, ' ')
			j++
		}
		i = j
	}
	return b
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
