package graph

// positions finds an instance's place in file order by its number. Numbers mostly ascend
// through the file, and then the place is the rank; other dense ones get a plain table, and
// sparse ones an open-addressing hash. Entries of tables are position+1.
type positions struct {
	ranks *Ranks
	dense []uint32
	keys  []ID
	vals  []uint32
}

// newPositions indexes ids; repeated ones and number 0 are returned as positions.
func newPositions(ids []ID) (p positions, doubles []int) {
	top, ascending := ID(0), len(ids) > 0
	for _, id := range ids {
		ascending = ascending && id > top
		top = max(top, id)
	}
	if ascending && uint64(top) <= uint64(len(ids))*64+1024 {
		p.ranks = newRanks(int(top))
		for _, id := range ids {
			p.ranks.add(int(id))
		}
		p.ranks.count()
		return p, nil
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
	if p.ranks != nil {
		return p.ranks.Of(int(id))
	}
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
