package void

import (
	"math"
	"slices"

	"voidcheck/ifcx/geom"
)

// scratch is the memory in which a field is laid out. What comes of a field refers to none of
// it, so that walls hand theirs on from one to the next. The zero value is ready.
type scratch struct {
	linework linework
	edges    [][2]geom.Vec2 // of walls
	cells    []cell
	lows     []lowEnd
	order    []int32 // of solids along u
	fillers  []filler
	entries  []entry
	columns  []int32
	zones    lists[zone]
	zonesOf  []int32
	makers   []nodeMaker
	nodesOf  []int32
	nodes    []node
	links    []link
	joined   union
	stacks   []link
	placer   placer // of walls
}

// reset makes everything free again.
func (b *scratch) reset() {
	b.zones.reset()
	b.placer.reset()
}

// atLeast returns a list of n values or more, those of list among them.
func atLeast[T any](list []T, n int) []T {
	if len(list) >= n {
		return list
	}
	return append(list, make([]T, n-len(list))...)
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

// lists keeps short lists by number, equal ones mostly once: the cells of a bay are alike.
// Number 0 is the empty list. Nobody may change what is kept.
type lists[T hashed] struct {
	arena[T]
	lists  [][]T
	recent [listsRecent]int32 // by hash
}

// listsRecent is how many lists are looked at for an equal one: equal ones are neighbours.
const listsRecent = 1 << 10

// hashed is what lists compare.
type hashed interface {
	comparable
	hash() uint64
}

// keep returns the number of a list.
func (l *lists[T]) keep(list []T) int32 {
	if len(list) == 0 {
		return 0
	}
	if len(l.lists) == 0 {
		l.lists = append(l.lists, nil)
	}
	h := uint64(0)
	for i := range list {
		h = h*mixer + list[i].hash()
	}
	k := &l.recent[h>>32%listsRecent]
	if !slices.Equal(l.lists[*k], list) {
		*k = int32(len(l.lists))
		l.lists = append(l.lists, l.arena.keep(list))
	}
	return *k
}

// at returns a list.
func (l *lists[T]) at(k int32) []T {
	if k == 0 {
		return nil
	}
	return l.lists[k]
}

// join adds the lists of another and returns how much higher their numbers are now. What the
// other keeps must stay.
func (l *lists[T]) join(o *lists[T]) int32 {
	if len(o.lists) == 0 {
		return 0
	}
	if len(l.lists) == 0 {
		l.lists = append(l.lists, nil)
	}
	up := int32(len(l.lists)) - 1
	l.lists = append(l.lists, o.lists[1:]...)
	return up
}

// one keeps a single value.
func (l *lists[T]) one(x T) *T { return &l.lists[l.keep([]T{x})][0] }

func (l *lists[T]) reset() {
	l.arena.reset()
	l.lists = l.lists[:0]
	clear(l.recent[:])
}

const mixer = 0x9e3779b97f4a7c15

func (f free) hash() uint64 {
	h := math.Float64bits(f.z0) + 3*math.Float64bits(f.z1)
	h += 5*math.Float64bits(f.g0.X) + 7*math.Float64bits(f.g0.Y) + 9*math.Float64bits(f.g1.X) + 11*math.Float64bits(f.g1.Y)
	return (h ^ h>>32) * mixer
}

func (z zone) hash() uint64 { return z.free.hash() + (uint64(z.class)<<32|uint64(uint32(z.ref)))*mixer }

// roomFor returns a list with room for n more. A full one gets as much as it should need in
// the end, when done of all parts have filled it so far: a list that grows step by step would
// lie in memory twice.
func roomFor[T any](list []T, done, all, n int) []T {
	if len(list)+n <= cap(list) {
		return list
	}
	if 8*done < all { // too early to tell
		return slices.Grow(list, max(n, len(list)))
	}
	return slices.Grow(list, max(n, len(list)/16, int(1.03*float64(len(list))*float64(all)/float64(done))-len(list)))
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
