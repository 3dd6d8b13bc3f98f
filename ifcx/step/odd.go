package step

import (
	"math"
	"strings"

	"voidcheck/ifcx/graph"
)

// odds is the set of positions of instances that must be parsed with care.
type odds []uint64

func (o odds) add(p int)      { o[p>>6] |= 1 << (p & 63) }
func (o odds) has(p int) bool { return o[p>>6]&(1<<(p&63)) != 0 }

// findOdd adds to the instances that are not written plainly those of kinds whose records
// have another number of attributes than the schema says.
func (r *reader) findOdd(s *scanner) {
	r.odd = make(odds, len(s.ids)/64+1)
	for _, p := range s.odd {
		r.odd.add(int(p))
	}
	wrong, some := make([]bool, len(s.names)), false
	for k, e := range r.in.Kinds {
		fits := func(n uint16) bool { return int(n) == len(e.Attrs) || int(n) == e.Short && n > 0 }
		if a := s.arities[k]; e.Schema != nil && a.least <= a.most && !(fits(a.least) && fits(a.most)) {
			wrong[k], some = true, true
		}
	}
	if !some {
		return
	}
	for p, k := range s.kind {
		if wrong[k] {
			r.odd.add(p)
		}
	}
}

// findDangling adds the instances that refer to nothing. Most files have none, which the
// sets of numbers tell at once.
func (r *reader) findDangling(s *scanner, has func(graph.ID) bool) {
	some := s.wild
	for i, w := range s.refd[:min(s.top+1, uint64(len(s.refd)))] { // memory behind that was never touched
		some = some || w&^s.defined[i] != 0
	}
	if !some {
		return
	}
	for p, off := range s.off {
		if !r.odd.has(p) && !s.refersWell(int(off), has) {
			r.odd.add(p)
		}
	}
}

// refersWell reports whether all references of a plain record are there.
func (s *scanner) refersWell(i int, has func(graph.ID) bool) bool {
	d := s.data
	for i++; d[i] != ';'; {
		switch d[i] {
		case '\'':
			i = plainText(d, i+1)
		case '#':
			ref := uint64(0)
			for i++; d[i]-'0' <= 9; i++ {
				ref = ref*10 + uint64(d[i]-'0')
			}
			if ref > math.MaxUint32 || !has(graph.ID(ref)) {
				return false
			}
		default:
			i++
		}
	}
	return true
}

// Odd implements graph.PlainReader.
func (r *reader) Odd(pos int) bool { return r.odd.has(pos) }

// Record implements graph.PlainReader.
func (r *reader) Record(pos int) string {
	text := r.text[r.off[pos]:]
	return text[strings.IndexByte(text, '(')+1:]
}
