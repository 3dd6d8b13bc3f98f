package source

import (
	"fmt"
	"slices"
	"testing"
)

// Which problems are kept does not depend on the order in which goroutines tell them.
func TestLogKeepsTheFirstInOrder(t *testing.T) {
	up, down := &Log{}, &Log{}
	const n = 3*maxOfKind + 7
	for i := range n {
		p := func(i int) Problem { return Problem{File: "f", Entity: fmt.Sprintf("#%d", i), Code: "c", Text: "t"} }
		up.Add(p(i))
		down.Add(p(n - 1 - i))
	}
	a, b := up.All(), down.All()
	if !slices.Equal(a, b) {
		t.Fatalf("%d and %d problems, or not the same", len(a), len(b))
	}
	if len(a) != maxOfKind+1 || a[1].Entity != "#0" || a[maxOfKind].Entity != fmt.Sprintf("#%d", maxOfKind-1) {
		t.Errorf("%d problems, from %s to %s", len(a), a[1].Entity, a[len(a)-1].Entity)
	}
}
