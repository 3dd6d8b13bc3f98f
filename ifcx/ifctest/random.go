package ifctest

import (
	"fmt"
	"math"
	"math/rand"
)

// Random returns a house that follows from the seed: two to four units of differing plan,
// framing, separation and roof, sound but for the number of mistakes asked for. Equal seeds
// give equal houses.
func Random(seed int64, mistakes int) House {
	r := rand.New(rand.NewSource(seed))
	pick := func(list ...string) string { return list[r.Intn(len(list))] }
	size := func(lo, hi, step float64) float64 {
		return lo + step*float64(r.Intn(int(math.Round((hi-lo)/step))+1))
	}
	h := Row(2 + r.Intn(3))
	h.Name = fmt.Sprintf("Random %d", seed)
	h.Storeys = 1 + r.Intn(3)
	h.Depth = size(5, 12, 0.1)
	h.WallHeight = size(2.3, 2.8, 0.05)
	h.Floor.Framing = pick("truss", "truss", "truss", "joist", "i-joist")
	h.Floor.Along = pick("x", "x", "y")
	h.Floor.Spacing = []float64{16, 19.2, 24}[r.Intn(3)] * Inch
	switch h.Floor.Framing {
	case "truss":
		h.Floor.Depth = float64(12+2*r.Intn(7)) * Inch
	case "joist":
		h.Floor.Depth, h.Floor.Width = 9.25*Inch, TwoBy
	default:
		h.Floor.Depth, h.Floor.Width = 11.875*Inch, 2.5*Inch
	}
	h.Separation.Kind = pick("double", "double", "two-walls", "single")
	if h.Separation.Kind == "single" {
		h.Separation.Stud = SixWide
	}
	h.Separation.Gap = size(0.02, 0.05, 0.005)
	h.Separation.Attic = pick("wall", "wall", "sheet")
	h.Roof.Kind = pick("gable", "gable", "mono")
	h.Roof.Pitch = float64(2+r.Intn(7)) / 12
	if h.Roof.Kind == "mono" {
		h.Roof.Pitch = float64(1+r.Intn(3)) / 12
	}
	h.Roof.Heel = size(0.28, 0.45, 0.01)
	h.RoomNames = pick("letter", "number", "plain")
	h.Zones = h.RoomNames != "letter" || r.Intn(2) == 0
	h.WallsAs, h.BoardsAs = pick("wall", "assembly"), pick("slab", "plate")
	h.StopsAs, h.BlocksAs = pick("plate", "covering"), pick("member", "proxy")
	for i := range h.Units {
		u := &h.Units[i]
		*u = Unit{Width: size(4, 8.5, 0.1), Bearing: r.Intn(2) == 0}
		across := h.Depth
		if h.Floor.Along == "y" {
			across = u.Width
		}
		if h.Floor.Framing == "truss" && r.Intn(2) == 0 {
			u.Draftstops = []float64{across / 2}
		}
	}
	for range mistakes {
		if s, ok := h.anyMistake(r); ok {
			h.Defects = append(h.Defects, s)
		}
	}
	return h
}

// anyMistake returns a seed that fits the house and no place already taken; ok is false
// when none was found.
func (h *House) anyMistake(r *rand.Rand) (s Seed, ok bool) {
	for range 200 {
		s := h.mistake(r)
		trial := *h
		trial.Defects = append(append([]Seed(nil), h.Defects...), s)
		if s.Kind == "" || clashes(h.Defects, s) {
			continue
		}
		if _, err := trial.Build(); err == nil {
			return s, true
		}
	}
	return Seed{}, false
}

// clashes tells whether two seeds would hide each other.
func clashes(have []Seed, s Seed) bool {
	for _, q := range have {
		sameLine := q.Separation == s.Separation
		attic := func(k string) bool { return k == "attic-open" || k == "attic-short" }
		switch {
		case q == s,
			attic(q.Kind) && attic(s.Kind) && sameLine,
			q.Kind == s.Kind && sameLine && q.Level == s.Level && q.Unit == s.Unit && q.Side == s.Side && q.Part == s.Part,
			(q.Kind == "line-open" || s.Kind == "line-open") && sameLine,
			q.Kind[:5] == "draft" && s.Kind[:5] == "draft" && q.Unit == s.Unit:
			return true
		}
	}
	return false
}

// mistake draws one seed; it may not fit.
func (h *House) mistake(r *rand.Rand) Seed {
	sep, unit, level := r.Intn(max(1, len(h.Units)-1)), r.Intn(len(h.Units)), r.Intn(h.Storeys)
	s := Seed{Separation: sep, Level: level, Side: side(r.Intn(2))}
	switch r.Intn(10) {
	case 0, 1:
		s.Kind, s.Bay = "block-missing", r.Intn(20)
	case 2:
		s.Kind, s.Side = "line-open", ""
	case 3:
		return Seed{Kind: "draftstop-missing", Unit: unit, Level: level}
	case 4:
		return Seed{Kind: "draftstop-short", Unit: unit, Level: level, Size: 0.06 + 0.01*float64(r.Intn(8))}
	case 5:
		return Seed{Kind: "draftstop-hole", Unit: unit, Level: level, Size: 0.05 + 0.01*float64(r.Intn(10))}
	case 6:
		return Seed{Kind: "attic-open", Separation: sep}
	case 7:
		if h.Separation.Attic == "sheet" {
			return Seed{Kind: "attic-short", Separation: sep, Size: 0.2}
		}
		return Seed{Kind: "attic-short", Separation: sep, Size: 0.02 * float64(1+r.Intn(8))}
	case 8:
		return Seed{Kind: "level-block-missing", Separation: sep, Level: level, Part: []string{"floor", "ceiling"}[r.Intn(2)]}
	case 9:
		s.Kind, s.Bay = "plate-missing", r.Intn(3)
	}
	return s
}
