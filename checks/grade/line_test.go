package grade

import (
	"testing"

	"voidcheck/checks/finding"
	"voidcheck/checks/void"
)

// In a model of layers an open unit line is a defect where another one is closed, and merely
// not shown where all of them are open.
func TestLineAbsence(t *testing.T) {
	v := &void.Void{Kind: void.KindFloor, Layered: true}
	open := &void.Line{Kind: void.LineSeparation, Separation: 0, Void: v, Openings: []*void.Opening{{}}}
	twin := &void.Line{Kind: void.LineSeparation, Separation: 1, Void: v, Openings: []*void.Opening{{}}}
	closed := &void.Line{Kind: void.LineSeparation, Separation: 1, Void: v, Bounds: true}
	in := &void.Input{}
	if got := DetailOf(in, &void.Result{Lines: []*void.Line{open, twin}}).LineAbsence(open); got != finding.NotShown {
		t.Errorf("all unit lines open: %s, want not-shown", got)
	}
	if got := DetailOf(in, &void.Result{Lines: []*void.Line{open, closed}}).LineAbsence(open); got != finding.Deficient {
		t.Errorf("another unit line closed: %s, want deficient", got)
	}
	if o, n := DetailOf(in, &void.Result{Lines: []*void.Line{open, twin}}).Untold(v); len(o) != 2 || n != 2 {
		t.Errorf("untold openings %d of %d separations, want 2 of 2", len(o), n)
	}
	same := &void.Line{Kind: void.LineSeparation, Separation: 0, Void: v, Bounds: true} // the other side of the wall
	d := DetailOf(in, &void.Result{Lines: []*void.Line{open, twin, same}})
	if a, b := d.LineAbsence(open), d.LineAbsence(twin); a != finding.NotShown || b != finding.Deficient {
		t.Errorf("the other side of one closed: %s there and %s elsewhere, want not-shown and deficient", a, b)
	}
	framed := &void.Line{Kind: void.LineSeparation, Void: &void.Void{Kind: void.KindFloor}, Openings: []*void.Opening{{}}}
	if got := DetailOf(in, &void.Result{}).LineAbsence(framed); got != finding.Deficient {
		t.Errorf("framed member by member: %s, want deficient", got)
	}
}
