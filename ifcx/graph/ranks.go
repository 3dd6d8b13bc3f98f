package graph

import "math/bits"

// Ranks numbers the members of a set of whole numbers in ascending order. A member takes a
// bit and half a byte, so that the set of a file's instances stays near the processor.
type Ranks struct {
	bits   []uint64
	before []uint32 // by word: how many members stand before it
	n      int
}

// newRanks makes an empty set for numbers below limit.
func newRanks(limit int) *Ranks {
	return &Ranks{bits: make([]uint64, limit/64+1)}
}

// add takes in a number; count must follow before the set is used.
func (r *Ranks) add(x int) { r.bits[x>>6] |= 1 << (x & 63) }

func (r *Ranks) count() {
	r.before = make([]uint32, len(r.bits))
	for i, w := range r.bits {
		r.before[i] = uint32(r.n)
		r.n += bits.OnesCount64(w)
	}
}

// Len returns how many members there are.
func (r *Ranks) Len() int { return r.n }

// Of returns the number of a member, from 0; false when x is none.
func (r *Ranks) Of(x int) (int, bool) {
	w := uint(x) >> 6
	if w >= uint(len(r.bits)) {
		return 0, false
	}
	word, bit := r.bits[w], uint64(1)<<(uint(x)&63)
	if word&bit == 0 {
		return 0, false
	}
	return int(r.before[w]) + bits.OnesCount64(word&(bit-1)), true
}

// Each calls f for every member with its number, in ascending order.
func (r *Ranks) Each(f func(x, rank int)) {
	k := 0
	for i, w := range r.bits {
		for ; w != 0; w &= w - 1 {
			f(i<<6+bits.TrailingZeros64(w), k)
			k++
		}
	}
}
