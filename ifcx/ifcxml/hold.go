package ifcxml

import (
	"hash/maphash"

	"voidcheck/ifcx/graph"
)

// blockSize is the size of the blocks that hold records; a longer record has one of its own.
const blockSize = 1 << 20

// opened returns the values of an instance, to be changed.
func (b *builder) opened(pos int) []graph.Value {
	v, ok := b.vals[pos]
	if !ok {
		v = graph.ParseRecord(b.record(pos), b.schema)
		b.vals[pos] = v
	}
	return v
}

// close puts the values of an instance away as a record, when they can be one. What an
// earlier record of it took is lost, which only relations that nest cost.
func (b *builder) close(pos int) {
	vals, ok := b.vals[pos]
	if !ok {
		return
	}
	text, plain := graph.AppendRecord(b.room[:0], vals, b.schema)
	b.room = text
	n := (len(text) + 3) &^ 3
	if !plain || int64(len(b.records)+n/blockSize+2)*blockSize/4 >= 1<<32 {
		return // stays as values
	}
	last := len(b.records) - 1
	if last < 0 || len(b.records[last])+n > cap(b.records[last]) {
		b.records = append(b.records, make([]byte, 0, max(n, blockSize)))
		last = len(b.records) - 1
		for range (n - 1) / blockSize { // the places that a long record takes
			b.records = append(b.records, nil)
		}
	}
	r := &b.records[last]
	b.start4[pos] = uint32((int64(last)*blockSize + int64(len(*r))) / 4)
	*r = append(*r, text...)
	*r = (*r)[:len(*r)+n-len(text)]
	delete(b.vals, pos)
}

// dangles reports whether an instance refers to an id that is not in the file.
func (b *builder) dangles(pos int) bool {
	if v, ok := b.vals[pos]; ok {
		return b.anyGone(v)
	}
	return b.anyGone(graph.ParseRecord(b.record(pos), b.schema))
}

func (b *builder) anyGone(vals []graph.Value) bool {
	for i := range vals {
		if vals[i].Kind == graph.Ref && b.where[vals[i].Ref] < 0 || b.anyGone(vals[i].List) {
			return true
		}
	}
	return false
}

// names numbers XML ids from 1 in the order of their first use. The table holds numbers, and
// the ids are parts of the file's text, so that an id takes some thirty bytes.
type names struct {
	ids   []string // by number; that of 0 and of instances without an id is empty
	table []uint32
	used  int
	seed  maphash.Seed
}

// number returns the number of an id, and whether it was known.
func (n *names) number(id string) (graph.ID, bool) {
	if n.table == nil {
		n.table, n.seed = make([]uint32, 1<<10), maphash.MakeSeed()
	}
	if 2*n.used >= len(n.table) {
		old := n.table
		n.table = make([]uint32, 2*len(old))
		for _, k := range old {
			if k != 0 {
				*n.slot(n.ids[k]) = k
			}
		}
	}
	at := n.slot(id)
	if *at != 0 {
		return graph.ID(*at), true
	}
	*at = uint32(len(n.ids))
	n.used++
	n.ids = append(n.ids, id)
	return graph.ID(*at), false
}

// slot returns where the number of an id is or would go.
func (n *names) slot(id string) *uint32 {
	mask := uint64(len(n.table) - 1)
	for i := maphash.String(n.seed, id) & mask; ; i = (i + 1) & mask {
		if k := &n.table[i]; *k == 0 || n.ids[*k] == id {
			return k
		}
	}
}
