package void

import (
	"math"

	"voidcheck/ifcx/geom"
)

// spot is a place along an opening in the side of a wall, with the width that it stands for.
type spot struct {
	p      geom.Vec3
	length float64
}

// part is what of an opening in the side of a wall leads into one compartment of it: studs and blocks
// behind a missing board part what the board would close.
type part struct {
	comp  *Compartment
	spots []spot
	width float64
}

// partsAt returns the compartments that the spots of an opening lead into, nil when it is one.
func (st *stack) partsAt(spots []spot) []*part {
	var out []*part
	for _, x := range spots {
		c, w := st.compAt(x.p)
		if c == nil || !w.main(&st.s.in.Walls[w.wall], st.direct(w.wall)) {
			continue
		}
		k := 0
		for k < len(out) && out[k].comp != c {
			k++
		}
		if k == len(out) {
			out = append(out, &part{comp: c})
		}
		out[k].spots = append(out[k].spots, x)
		out[k].width += x.length
	}
	if len(out) < 2 {
		return nil
	}
	return out
}

// middle returns the spot nearest to the middle of a part.
func (x *part) middle() geom.Vec3 {
	var m geom.Vec3
	for _, s := range x.spots {
		m = m.Add(s.p.Mul(1 / float64(len(x.spots))))
	}
	best, far := m, math.Inf(1)
	for _, s := range x.spots {
		if d := s.p.Sub(m).Len(); d < far-1e-9 {
			best, far = s.p, d
		}
	}
	return best
}

// divide makes openings in the sides of walls that lead into several compartments one for each.
func (s *solver) divide() {
	var all []found
	for _, o := range s.found {
		if len(o.a.parts) == 0 {
			all = append(all, o)
			continue
		}
		clear := 0.0
		for _, x := range o.a.parts {
			clear += x.width
		}
		for _, x := range o.a.parts {
			x.width *= o.WidthM / clear // studs and blocks behind the hole do not make it smaller
			if x.width < s.gap {
				continue
			}
			y := o
			y.a.comp, y.WidthM, y.AreaM2, y.Point = x.comp, x.width, x.width*o.HeightM, x.middle()
			all = append(all, y)
		}
	}
	s.found = all
}
