package propose

import (
	"math"

	"voidcheck/ifcx/geom"
)

// gridStep is how far apart lines are tried where no framing tells their places, metres.
const gridStep = 0.15

// loose lists the lines of a region that may stand anywhere: those that make equal parts and
// an even grid between.
func loose(rings [][]geom.Vec2, a axes, limit float64) []face {
	r := newRegion(rings, a, nil)
	if len(r.ts) < 2 || limit <= 0 {
		return nil
	}
	var out []face
	n := int(math.Ceil(r.area/limit - 1e-9))
	for parts := max(n, 2); parts <= n+3; parts++ {
		for k := 1; k < parts; k++ {
			out = append(out, face{at: r.level(r.area * float64(k) / float64(parts))})
		}
	}
	lo, hi := r.ts[0], r.ts[len(r.ts)-1]
	step := math.Max(gridStep, (hi-lo)/400)
	for t := lo + step; t < hi-step/2; t += step {
		out = append(out, face{at: t})
	}
	return out
}

// ats are the places of faces, for newRegion.
func ats(faces []face) []float64 {
	var out []float64
	for _, f := range faces {
		out = append(out, f.at)
	}
	return out
}

// anywhere divides by lines along a's s direction that may stand anywhere.
func anywhere(rings [][]geom.Vec2, a axes, limit float64) *division {
	faces := loose(rings, a, limit)
	return newTask(newRegion(rings, a, ats(faces)), faces, limit).solve()
}
