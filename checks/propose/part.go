package propose

import "sort"

// parts puts cells of a region together across the touches that are not cut.
type parts struct {
	r    *region
	up   []int
	area []float64 // by root
}

func newParts(r *region) *parts {
	p := &parts{r: r, up: make([]int, len(r.cells)), area: make([]float64, len(r.cells))}
	for i := range p.up {
		p.up[i], p.area[i] = i, r.cells[i].area
	}
	return p
}

func (p *parts) find(i int) int {
	for p.up[i] != i {
		p.up[i] = p.up[p.up[i]]
		i = p.up[i]
	}
	return i
}

func (p *parts) join(i, j int) {
	i, j = p.find(i), p.find(j)
	if i == j {
		return
	}
	if j < i {
		i, j = j, i
	}
	p.up[j] = i
	p.area[i] += p.area[j]
}

// cut returns the parts that are left when stops stand along the runs.
func (r *region) cut(runs []run) *parts {
	type key struct{ line, touch int }
	gone := map[key]bool{}
	for i := range runs {
		for _, k := range runs[i].touches {
			gone[key{runs[i].line, k}] = true
		}
	}
	p := newParts(r)
	for i := range r.touches {
		for k, t := range r.touches[i] {
			if !gone[key{i, k}] {
				p.join(t.below, t.above)
			}
		}
	}
	return p
}

// areas returns the areas of the parts, the largest first.
func (p *parts) areas() []float64 {
	var out []float64
	for i := range p.up {
		if p.find(i) == i {
			out = append(out, p.area[i])
		}
	}
	sort.Sort(sort.Reverse(sort.Float64Slice(out)))
	return out
}
