package geom

import "math"

// strips finds the edges that a ray can meet: edges by the strips of Y, and of -X for turned
// rays, that they reach into.
type strips struct {
	axis [2]struct {
		lo, width float64
		edges     [][]int32
	}
}

func (ar *arrangement) strips() *strips {
	s := &strips{}
	n := min(1+len(ar.edges)/8, 512)
	for k := range s.axis {
		coord := func(i int32) float64 {
			if k == 1 {
				return -ar.pts[i].X
			}
			return ar.pts[i].Y
		}
		a := &s.axis[k]
		lo, hi := math.Inf(1), math.Inf(-1)
		for i := range ar.pts {
			lo, hi = math.Min(lo, coord(int32(i))), math.Max(hi, coord(int32(i)))
		}
		a.lo, a.width, a.edges = lo, (hi-lo)/float64(n), make([][]int32, n)
		for l, e := range ar.edges {
			p, q := s.strip(k, coord(e.i)), s.strip(k, coord(e.j))
			for i := min(p, q); i <= max(p, q); i++ {
				a.edges[i] = append(a.edges[i], int32(l))
			}
		}
	}
	return s
}

func (s *strips) strip(axis int, t float64) int {
	a := &s.axis[axis]
	if a.width <= 0 {
		return 0
	}
	return min(max(int((t-a.lo)/a.width), 0), len(a.edges)-1)
}

func (s *strips) at(turned bool, y float64) []int32 {
	axis := 0
	if turned {
		axis = 1
	}
	return s.axis[axis].edges[s.strip(axis, y)]
}
