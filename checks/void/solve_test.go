package void

import (
	"context"
	"fmt"
	"runtime"
	"strings"
	"testing"
)

func mustSolve(t testing.TB, in *Input) *Result {
	t.Helper()
	r, err := Solve(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func describe(r *Result) string {
	var b strings.Builder
	for _, v := range r.Voids {
		fmt.Fprintf(&b, "V%d %s storey %d units %v framing %s @%.4f area %.3f vol %.3f h %.4f comps %d assumed %v susp %v\n", v.Index, v.Kind, v.Storey, v.Units, v.Framing, v.SpacingM, v.AreaM2, v.VolumeM3, v.HeightMaxM, len(v.Compartments), v.CeilingAssumed, v.Suspended)
		for _, c := range v.Compartments {
			if len(v.Compartments) > 1 {
				fmt.Fprintf(&b, "   C%d area %.3f joined %d rings %d units %v\n", c.Index, c.AreaM2, c.Joined, len(c.Outline), c.Units)
			}
		}
	}
	for _, v := range r.Voids {
		if v.AreaM2 < 1 {
			fmt.Fprintf(&b, "small: %v\n", v.Compartments[0].Outline)
		}
	}
	for _, o := range r.Openings {
		fmt.Fprintf(&b, "O%d %s %.4f x %.4f area %.4f between C%d(%s) C%d(%s) at %.3f %.3f %.3f members %v\n", o.Index, o.Kind, o.WidthM, o.HeightM, o.AreaM2, o.A.Index, o.A.Void.Kind, o.B.Index, o.B.Void.Kind, o.Point.X, o.Point.Y, o.Point.Z, o.Members)
	}
	for _, l := range r.Lines {
		fmt.Fprintf(&b, "L%d %s side %d void V%d bays %d openings %d stops %d\n", l.Index, l.Kind, l.Side, l.Void.Index, l.Bays, len(l.Openings), len(l.Elements))
	}
	for _, w := range r.Cavities {
		fmt.Fprintf(&b, "W%d runs %d levels %v\n", w.Wall, len(w.Runs), w.Levels)
		for _, x := range w.Runs {
			fmt.Fprintf(&b, "   run %.3f..%.3f\n", x.S0, x.S1)
		}
	}
	return b.String()
}

// What several cores share comes out as one core would make it.
func TestCores(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	var want string
	for _, n := range []int{1, 2, 5} {
		runtime.GOMAXPROCS(n)
		r, err := Solve(context.Background(), rowOf(2))
		if err != nil {
			t.Fatal(err)
		}
		var b strings.Builder
		for _, c := range r.Compartments {
			fmt.Fprintln(&b, c.Void.Kind, c.AreaM2, c.VolumeM3, c.ZLo, c.ZHi, c.Outline, c.Point, c.Joined)
		}
		for _, o := range r.Openings {
			fmt.Fprintln(&b, o.A.Index, o.B.Index, o.Kind, o.WidthM, o.HeightM, o.Point)
		}
		if got := b.String(); want == "" {
			want = got
		} else if got != want {
			t.Errorf("%d cores: got\n%s\nwith one\n%s", n, got, want)
		}
	}
	if want == "" {
		t.Error("nothing was found in the row")
	}
}
