package void

import (
	"hash/maphash"
	"slices"
)

// scratch is the memory in which fields are laid out, handed on from one to the next: what
// comes of a field refers to none of it. The zero value is ready.
type scratch struct {
	cells, whole []cell // whole are the cells before thin slabs are split
	rows         []int32
	nodes        []node
	links        []link
	stacks       []link
	entries      []entry
	columns      []int32
	frees        pool[free]
	zones        pool[zone]
	raw, open    [][]free
	zonesOf      [][]zone
	placer       placer // of walls
}

// reset makes everything free again.
func (b *scratch) reset() {
	b.frees.reset()
	b.zones.reset()
	b.placer.reset()
}

// arena keeps many short lists in few pieces of memory.
type arena[T any] struct {
	chunks [][]T
	chunk  int // the one that is being filled
	used   int
}

const arenaChunk = 1 << 11

// keep copies a list into the arena. The copy has no room to grow.
func (a *arena[T]) keep(list []T) []T {
	n := len(list)
	if n == 0 {
		return nil
	}
	if n > arenaChunk {
		return append([]T(nil), list...)
	}
	if a.chunk < len(a.chunks) && a.used+n > arenaChunk {
		a.chunk, a.used = a.chunk+1, 0
	}
	if a.chunk == len(a.chunks) {
		a.chunks = append(a.chunks, make([]T, arenaChunk))
	}
	out := a.chunks[a.chunk][a.used : a.used+n : a.used+n]
	copy(out, list)
	a.used += n
	return out
}

// one keeps a single value.
func (a *arena[T]) one(x T) *T { return &a.keep([]T{x})[0] }

func (a *arena[T]) reset() { a.chunk, a.used = 0, 0 }

// pool is an arena in which equal lists are kept once: the cells of a bay have the same column.
// Nobody may change what is kept.
type pool[T comparable] struct {
	arena[T]
	seen map[uint64][]T // by hash
}

// poolMost is how many lists are looked through for an equal one: equal ones are neighbours.
const poolMost = 1 << 14

var poolSeed = maphash.MakeSeed()

func (p *pool[T]) keep(list []T) []T {
	if len(list) == 0 {
		return nil
	}
	var h uint64
	for i := range list {
		h = h*0x9e3779b97f4a7c15 + maphash.Comparable(poolSeed, list[i])
	}
	if kept, ok := p.seen[h]; ok && slices.Equal(kept, list) {
		return kept
	}
	if p.seen == nil || len(p.seen) >= poolMost {
		p.seen = map[uint64][]T{}
	}
	p.seen[h] = p.arena.keep(list)
	return p.seen[h]
}

func (p *pool[T]) reset() {
	p.arena.reset()
	p.seen = nil
}

// roomFor returns a list with room for one more. A full one gets as much as it should need in
// the end, when done of all parts have filled it so far: a list that grows step by step would
// lie in memory twice.
func roomFor[T any](list []T, done, all int) []T {
	if len(list) < cap(list) || done < 64 {
		return list
	}
	return slices.Grow(list, max(len(list)/16, int(1.03*float64(len(list))*float64(all)/float64(done))-len(list)))
}

// sized returns a list of n zero values in the memory of list where it is enough.
func sized[T any](list []T, n int) []T {
	if cap(list) < n {
		return make([]T, n, n+n/4)
	}
	list = list[:n]
	clear(list)
	return list
}
