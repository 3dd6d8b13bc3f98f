package step

import (
	"bytes"
	"runtime"

	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/source"
)

// A large file is passed over in several parts at once. Where a part begins is guessed: at a
// number sign on a new line behind a semicolon. Each part is read up to where the next one
// begins; when the reading of every part comes out exactly there, all of them began between two
// records, and together they are what one pass gives. (A name in lower case is odd where it is
// the first of its spelling in its part; odd only means that the record is read with care.) When
// one does not, since the guess fell into a text or a comment, or damage runs over it, the file
// is passed over again in one go.

// leastPart is the size from which a part of a file is worth a goroutine, bytes.
const leastPart = 8 << 20

// scan makes the index pass over a file.
func scan(f *source.File) (*scanner, error) {
	n := min(runtime.GOMAXPROCS(0), 8, len(f.Data)/leastPart)
	if s := scanParts(f, borders(f.Data, n)); s != nil {
		return s, nil
	}
	s := newScanner(f.Data)
	s.file = f
	return s, s.run()
}

// borders guesses where the second part of n and those after it begin; none when the
// records do not stand on lines of their own.
func borders(d []byte, n int) []int {
	var at []int
	for k := 1; k < n; k++ {
		from := len(d) / n * k
		near := d[from:min(from+1<<16, len(d))]
		i := bytes.Index(near, []byte(";\n#"))
		if i < 0 {
			if i = bytes.Index(near, []byte(";\r\n#")); i < 0 {
				return nil
			}
			i++
		}
		if from += i + 2; len(at) > 0 && from <= at[len(at)-1] {
			return nil
		}
		at = append(at, from)
	}
	return at
}

// scanParts passes over the parts of a file that are parted at the given places; nil when
// there are none, or these turn out to be no borders between records.
func scanParts(f *source.File, at []int) *scanner {
	if len(at) == 0 {
		return nil
	}
	d := f.Data
	parts := make([]*scanner, len(at)+1)
	parts[0] = newScanner(d)
	for k, from := range at {
		n := len(d) - from
		if k+1 < len(at) {
			n = at[k+1] - from
		}
		n = n/64 + 16
		parts[k+1] = &scanner{data: d, pos: from, past: from, stop: len(d), byRaw: map[string]uint16{},
			defined: make([]uint64, len(parts[0].defined)), refd: make([]uint64, len(parts[0].refd)),
			ids: make([]graph.ID, 0, n), off: make([]uint32, 0, n), kind: make([]uint16, 0, n)}
		parts[k].stop = from
	}
	var all source.Group
	fails := make([]error, len(parts))
	for k, s := range parts {
		s.file = f
		all.Go(func() { fails[k] = s.run() })
	}
	all.Wait()
	for k, s := range parts {
		if fails[k] != nil || k < len(at) && s.pos != at[k] {
			return nil
		}
	}
	s := parts[0]
	s.stop = len(d)
	for _, next := range parts[1:] {
		if !s.join(next) {
			return nil
		}
	}
	return s
}

// join adds what the scanner of the part behind found; false when there are too many kinds.
func (s *scanner) join(next *scanner) bool {
	kinds := make([]uint16, len(next.names))
	for k, name := range next.names {
		own, err := s.newKind([]byte(name))
		if err != nil {
			return false
		}
		kinds[k] = own
		a, b := &s.arities[own], next.arities[k]
		a.least, a.most = min(a.least, b.least), max(a.most, b.most)
	}
	for _, p := range next.odd {
		s.odd = append(s.odd, uint32(len(s.ids))+p)
	}
	s.ids, s.off = append(s.ids, next.ids...), append(s.off, next.off...)
	for _, k := range next.kind {
		s.kind = append(s.kind, kinds[k])
	}
	top := uint64(0)
	for _, id := range next.ids {
		top = max(top, uint64(id)>>6)
	}
	for w, bits := range next.defined[:min(top+1, uint64(len(next.defined)))] {
		s.defined[w] |= bits
	}
	for w, bits := range next.refd[:min(next.top+1, uint64(len(next.refd)))] {
		s.refd[w] |= bits
	}
	s.top, s.wild, s.ended = max(s.top, next.top), s.wild || next.wild, s.ended || next.ended
	s.headers, s.sections = append(s.headers, next.headers...), append(s.sections, next.sections...)
	s.faults = append(s.faults, next.faults...)
	s.pos = next.pos
	return true
}
