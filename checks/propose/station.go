package propose

import (
	"math"
	"sort"
)

// span is a stretch along the framing where a member stands that carries a stop.
type span struct {
	lo, hi  float64
	element int // model element, -1 when none
}

// face is a line on which stops can be fixed: the middle of the sheet stands at t = at.
type face struct {
	at    float64
	spans []span // nil: anywhere along it
}

// run is a stretch of a line inside the region, from side to side: one stop.
type run struct {
	line    int   // index into region.ts
	touches []int // of that line
	at      float64
	lo, hi  float64
	element int
	held    bool // framing carries it
}

func (r *run) length() float64 { return r.hi - r.lo }

// station is a line with its runs: several where a hole or a notch interrupts it.
type station struct {
	at   float64
	line int
	runs []run
}

func (p *station) held() bool {
	for i := range p.runs {
		if !p.runs[i].held {
			return false
		}
	}
	return true
}

// carried is the share of a run that framing has to carry: bearing walls and gaps between two
// trusses in one line take the rest.
const carried = 0.85

// places lays the faces out over the region; those that do not divide it are left out.
func (r *region) places(faces []face) []station {
	var out []station
	for _, f := range faces {
		i := nearest(r.ts, f.at)
		if i <= 0 || i >= len(r.ts)-1 || math.Abs(r.ts[i]-f.at) > snap {
			continue
		}
		p := station{at: f.at, line: i}
		order := make([]int, len(r.touches[i]))
		for k := range order {
			order[k] = k
		}
		sort.Slice(order, func(x, y int) bool { return r.touches[i][order[x]].lo < r.touches[i][order[y]].lo })
		for _, k := range order {
			t := r.touches[i][k]
			if n := len(p.runs); n > 0 && t.lo-p.runs[n-1].hi < 0.02 {
				p.runs[n-1].hi = math.Max(p.runs[n-1].hi, t.hi)
				p.runs[n-1].touches = append(p.runs[n-1].touches, k)
				continue
			}
			p.runs = append(p.runs, run{line: i, at: f.at, touches: []int{k}, lo: t.lo, hi: t.hi, element: -1})
		}
		for k := range p.runs {
			p.runs[k].carry(f.spans)
		}
		if len(p.runs) > 0 {
			out = append(out, p)
		}
	}
	return out
}

// carry finds what the run can be fixed to.
func (r *run) carry(spans []span) {
	if spans == nil {
		r.held = true
		return
	}
	spans = append([]span(nil), spans...)
	sort.SliceStable(spans, func(i, j int) bool { return spans[i].lo < spans[j].lo })
	covered, end, most := 0.0, r.lo, 0.0
	for _, s := range spans {
		if both := math.Min(s.hi, r.hi) - math.Max(s.lo, r.lo); both > most+1e-6 {
			most, r.element = both, s.element
		}
		lo, hi := math.Max(s.lo, end), math.Min(s.hi, r.hi)
		if hi > lo {
			covered += hi - lo
			end = hi
		}
	}
	r.held = covered >= carried*r.length()
}
