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
	if got := LineAbsence(in, &void.Result{Lines: []*void.Line{open, twin}}, open); got != finding.NotShown {
		t.Errorf("all unit lines open: %s, want not-shown", got)
	}
	if got := LineAbsence(in, &void.Result{Lines: []*void.Line{open, closed}}, open); got != finding.Deficient {
		t.Errorf("another unit line closed: %s, want deficient", got)
	}
	if o, n := Untold(in, &void.Result{Lines: []*void.Line{open, twin}}, v); len(o) != 2 || n != 2 {
		t.Errorf("untold openings %d of %d separations, want 2 of 2", len(o), n)
	}
	framed := &void.Line{Kind: void.LineSeparation, Void: &void.Void{Kind: void.KindFloor}, Openings: []*void.Opening{{}}}
	if got := LineAbsence(in, &void.Result{}, framed); got != finding.Deficient {
		t.Errorf("framed member by member: %s, want deficient", got)
	}
}
