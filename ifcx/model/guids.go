package model

import (
	"cmp"
	"math/bits"
	"slices"
)

// guids are the GlobalIds of a file's products as hashes: models have hundreds of thousands,
// and hardly ever one twice. The lowest bit of a hash is set for elements.
type guids struct {
	file   *File
	hashes []uint64
}

// guidHash mixes eight bytes at a time; it is always even.
func guidHash(s string) uint64 {
	const k = 0x9E3779B97F4A7C15
	h := uint64(len(s))
	for len(s) > 0 {
		w := uint64(0)
		for i := range min(len(s), 8) {
			w |= uint64(s[i]) << (8 * i)
		}
		s = s[min(len(s), 8):]
		hi, lo := bits.Mul64(h^w, k)
		h = hi ^ lo ^ w
	}
	hi, lo := bits.Mul64(h, k)
	return (hi ^ lo) &^ 1
}

func (s *guids) add(gid string, element bool) {
	h := guidHash(gid)
	if element {
		h |= 1
	}
	s.hashes = append(s.hashes, h)
}

// parts is into how many groups hashes are sorted, so that each group and its table stay
// near the processor.
const parts = 256

// twice returns the hashes that occur more than once.
func (s *guids) twice() map[uint64]bool {
	var ends [parts + 1]int
	for _, h := range s.hashes {
		ends[h>>56+1]++
	}
	for i := range parts {
		ends[i+1] += ends[i]
	}
	sorted, at := make([]uint64, len(s.hashes)), ends
	for _, h := range s.hashes {
		sorted[at[h>>56]] = h &^ 1
		at[h>>56]++
	}
	var out map[uint64]bool
	var table []uint64
	for i := range parts {
		group := sorted[ends[i]:ends[i+1]]
		size := 16
		for size < 2*len(group) {
			size *= 2
		}
		table = slices.Grow(table[:0], size)[:size]
		clear(table)
	next:
		for _, h := range group {
			for k := int(h>>32) & (size - 1); ; k = (k + 1) & (size - 1) {
				if table[k] == 0 {
					table[k] = h | 1
					continue next
				}
				if table[k] == h|1 {
					if out == nil {
						out = map[uint64]bool{}
					}
					out[h] = true
					continue next
				}
			}
		}
	}
	return out
}

// countShared counts the elements whose GlobalId an element of an earlier file has, by the
// first file that has it and their own.
func countShared(all []*guids, n map[[2]*File]int) {
	if len(all) < 2 {
		return
	}
	first := map[uint64]*File{}
	for _, s := range all {
		for _, h := range s.hashes {
			if h&1 == 0 {
				continue
			}
			if f := first[h]; f == nil {
				first[h] = s.file
			} else if f != s.file {
				n[[2]*File{f, s.file}]++
			}
		}
	}
}

// reportDoubles names the products that share a GlobalId.
func (o *outline) reportDoubles(wanted []bool) {
	twice := o.part.guids.twice()
	if len(twice) == 0 {
		return
	}
	type named struct {
		gid string
		r   row
	}
	var all []named
	g := o.v.g
	g.Walk(wanted, func(place, _ int) {
		if !g.ReadableAt(place) {
			return
		}
		if gid := g.StrAt(place, "GlobalId"); gid != "" && twice[guidHash(gid)] {
			all = append(all, named{gid, o.v.row(g.At(place))})
		}
	})
	slices.SortFunc(all, func(a, b named) int { return cmp.Or(cmp.Compare(a.gid, b.gid), cmp.Compare(a.r.id, b.r.id)) })
	for i := 1; i < len(all); i++ {
		if all[i].gid == all[i-1].gid {
			o.reportDouble(all[i].r, all[i-1].r)
		}
	}
}
