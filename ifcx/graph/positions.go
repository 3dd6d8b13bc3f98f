package graph

// positions finds an instance's place in file order by its number. Numbers are mostly dense,
// so a plain table serves; sparse ones get an open-addressing hash. Entries are position+1.
type positions struct {
	dense []uint32
	keys  []ID
	vals  []uint32
}

// newPositions indexes ids; repeated ones and number 0 are returned as positions.
func newPositions(ids []ID) (p positions, doubles []int) {
	top := ID(0)
	for _, id := range ids {
		top = max(top, id)
	}
	if uint64(top) <= uint64(len(ids))*6+1024 {
		p.dense = make([]uint32, int(top)+1)
		for i, id := range ids {
			if id == 0 || p.dense[id] != 0 {
				doubles = append(doubles, i)
				continue
			}
			p.dense[id] = uint32(i + 1)
		}
		return p, doubles
	}
	size := 16
	for size < len(ids)*2 {
		size *= 2
	}
	p.keys, p.vals = make([]ID, size), make([]uint32, size)
	for i, id := range ids {
		h := p.slot(id)
		if id == 0 || p.vals[h] != 0 {
			doubles = append(doubles, i)
			continue
		}
		p.keys[h], p.vals[h] = id, uint32(i+1)
	}
	return p, doubles
}

// slot returns where id is, or the free place where it would go.
func (p *positions) slot(id ID) int {
	mask := uint32(len(p.keys) - 1)
	h := uint32((uint64(id)*0x9E3779B97F4A7C15)>>32) & mask
	for p.vals[h] != 0 && p.keys[h] != id {
		h = (h + 1) & mask
	}
	return int(h)
}

func (p *positions) find(id ID) (int, bool) {
	if p.keys == nil {
		if uint64(id) < uint64(len(p.dense)) && p.dense[id] != 0 {
			return int(p.dense[id] - 1), true
		}
		return 0, false
	}
	if v := p.vals[p.slot(id)]; v != 0 {
		return int(v - 1), true
	}
	return 0, false
}
