package wallfireblockrun

import (
	"strings"
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/checks/void"
)

const ft = 0.3048

func wall(t testing.TB, kind void.WallKind, layered bool, rise float64, runs ...float64) *checktest.Hand {
	h := checktest.NewHand(2)
	i := h.Separation(0)
	h.B.Input.Walls[i].Kind = kind
	h.B.Input.Walls[i].Length = 36 * ft
	v := h.Void(void.KindWall, 0, []int{0, 1}, 2)
	v.Wall, v.Layered = i, layered
	c := &void.WallCavity{Wall: i, Void: v, RiseMaxM: rise * ft}
	s := 0.0
	for _, l := range runs {
		c.Runs = append(c.Runs, void.WallRun{S0: s, S1: s + l*ft, LengthM: l * ft, Z1: 2.5})
		s += l * ft
	}
	h.R.Cavities = append(h.R.Cavities, c)
	return h
}

// A 36 ft double-stud wall takes 3 blocks at 9 ft, 30 ft takes 2, 30.01 ft takes 3 (code
// facts 2.8 no. 5; 10 ft horizontally: 780 CMR 717.2.1.1).
func TestRun(t *testing.T) {
	for _, tt := range []struct {
		runs   []float64
		want   finding.Outcome
		remedy string
	}{
		{[]float64{36}, finding.Deficient, `Put 3 blocks over the full height and depth of the cavity, about 9'-0" apart`},
		{[]float64{30}, finding.Deficient, `Put 2 blocks`},
		{[]float64{30.01}, finding.Deficient, `Put 3 blocks`},
		{[]float64{9, 9, 9, 9}, finding.Meets, ""},
		{[]float64{10, 10, 10, 6}, finding.Meets, ""},
		{[]float64{10.01, 9, 9}, finding.Deficient, "Put one block"},
	} {
		r := wall(t, void.WallDouble, false, 0, tt.runs...).Run(t, Check)
		if len(r) != 1 || r[0].Outcome != tt.want || !strings.Contains(r[0].Remedy, tt.remedy) {
			t.Errorf("%v: got\n%s%s\nwant %s %q", tt.runs, checktest.Summary(r), r[0].Remedy, tt.want, tt.remedy)
		}
	}
	// The metric example: 50 m wall, 20 m limit, 2 blocks (no. 15).
	r := wall(t, void.WallDouble, false, 0, 50/ft).Run(t, Check, "max-run", "20 m")
	if !strings.Contains(r[0].Remedy, "Put 2 blocks") {
		t.Errorf("remedy %q", r[0].Remedy)
	}
}

// 19 ft: no rule up the wall by default; one row at 9.5 ft with 10 ft, two with 8 ft (no. 6).
func TestRise(t *testing.T) {
	for _, tt := range []struct {
		limit, remedy string
		items         int
	}{{"off", "", 0}, {"10 ft", `one row of blocks, about half way up`, 1}, {"8 ft", `2 rows of blocks, about 6'-4" apart`, 1}, {"19 ft", "", 1}} {
		r := wall(t, void.WallDouble, false, 19).Run(t, Check, "max-rise", tt.limit)
		if len(r) != tt.items || tt.items > 0 && !strings.Contains(r[0].Remedy, tt.remedy) {
			t.Errorf("%s: %+v, want %d items with %q", tt.limit, r, tt.items, tt.remedy)
		}
	}
}

// A single row of studs, of which only the height counts: over 10 ft it wants a row of blocks (Washington WAC 296-150C-1030,
// 10 ft both ways), at 10 ft it does not; of a wall known by its layers the plates (4-1/2 in) are no part of it.
func TestSingleRow(t *testing.T) {
	for _, tt := range []struct {
		rise    float64
		layered bool
		limit   string
		want    string
	}{
		{17, false, "10 ft", "deficient modelled"}, {10.01, false, "10 ft", "deficient modelled"}, {10, false, "10 ft", "meets modelled"},
		{8.5, false, "8 ft", "deficient modelled"}, {8.3, true, "8 ft", "meets assumed"}, {8.5, true, "8 ft", "not-shown"}, {17, false, "off", ""},
	} {
		h := wall(t, void.WallSingle, tt.layered, tt.rise, 1.2)
		h.B.Input.Walls[0].Separation, h.B.Input.Walls[0].Framed = -1, !tt.layered
		got := ""
		for _, r := range h.Run(t, Check, "max-rise", tt.limit) {
			got += string(r.Outcome) + " " + string(r.Evidence)
		}
		if !strings.HasPrefix(got, tt.want) || got != "" && tt.want == "" {
			t.Errorf("%g ft, layered %t, limit %s: %q, want %q", tt.rise, tt.layered, tt.limit, got, tt.want)
		}
	}
}

func TestWhichWalls(t *testing.T) {
	for _, tt := range []struct {
		kind    void.WallKind
		layered bool
		want    string
	}{
		{void.WallSingle, false, ""}, {void.WallSolid, false, ""}, {void.WallStaggered, false, "deficient"},
		{void.WallFurred, false, "deficient"}, {void.WallLiner, false, "deficient"}, {void.WallDouble, true, "not-shown"},
	} {
		got := ""
		for _, r := range wall(t, tt.kind, tt.layered, 0, 36).Run(t, Check) {
			got = string(r.Outcome)
		}
		if got != tt.want {
			t.Errorf("%s layered %v: %q, want %q", tt.kind, tt.layered, got, tt.want)
		}
	}
}
