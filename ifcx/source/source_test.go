package source

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"
)

func TestPosition(t *testing.T) {
	f := &File{Data: []byte("ab\ncd\r\n\nx")}
	for off, want := range map[int64][2]int{0: {1, 1}, 2: {1, 3}, 3: {2, 1}, 7: {3, 1}, 8: {4, 1}, 9: {4, 2}, 10: {0, 0}, -1: {0, 0}} {
		line, col := f.Position(off)
		if [2]int{line, col} != want {
			t.Errorf("offset %d: got %d:%d, want %v", off, line, col, want)
		}
	}
	if line, col := (&File{}).Position(0); line != 1 || col != 1 {
		t.Errorf("empty file: got %d:%d, want 1:1", line, col)
	}
}

// The counted positions agree with counting from the start, over many blocks.
func TestPositionInLargeFile(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	d := bytes.Repeat([]byte{'x'}, 5*markStep+77)
	for range 300 {
		d[r.IntN(len(d))] = '\n'
	}
	d[markStep-1], d[markStep], d[2*markStep-1] = '\n', '\n', '\n'
	f := &File{Data: d}
	for _, off := range append([]int{0, markStep - 1, markStep, markStep + 1, 2 * markStep, 5 * markStep, len(d)}, r.Perm(len(d))[:500]...) {
		line, col := f.Position(int64(off))
		head := d[:off]
		wantLine, wantCol := bytes.Count(head, []byte{'\n'})+1, off-bytes.LastIndexByte(head, '\n')
		if line != wantLine || col != wantCol {
			t.Fatalf("offset %d: got %d:%d, want %d:%d", off, line, col, wantLine, wantCol)
		}
	}
}

func TestProblemText(t *testing.T) {
	for _, c := range []struct {
		p    Problem
		want string
	}{
		{Problem{File: "row.ifc", Line: 812, Col: 17, Text: "string is not closed"}, "row.ifc:812:17: string is not closed"},
		{Problem{File: "row.ifc", Entity: "#3121", EntityType: "IfcWall", Name: "W-12", GlobalID: "2O2Fr$t4X7Zf8NOew3FLOH", Text: "no body", Fix: "export it"},
			`row.ifc: #3121 IfcWall "W-12" (2O2Fr$t4X7Zf8NOew3FLOH): no body; export it`},
	} {
		if got := c.p.String(); got != c.want {
			t.Errorf("got %s, want %s", got, c.want)
		}
	}
}

func TestLogSortsAndFolds(t *testing.T) {
	var log Log
	var wg sync.WaitGroup
	for i := range 8 {
		wg.Go(func() {
			for j := range 100 {
				log.Add(Problem{File: "a", Line: (i + j) % 10, Entity: fmt.Sprintf("#%d", j%12), Code: "c", Text: "x"})
			}
		})
	}
	wg.Wait()
	all := log.All()
	for i := 1; i < len(all); i++ {
		if !less(all[i-1], all[i]) {
			t.Fatalf("not sorted or doubled: %v, %v", all[i-1], all[i])
		}
	}
	var many Log
	for i := range maxOfKind + 5 {
		many.Add(Problem{File: "a", Line: i + 1, Code: "c", Text: "x"})
	}
	all = many.All()
	if len(all) != maxOfKind+1 || !strings.Contains(fmt.Sprint(all), "5 more problems of the kind c are not listed") {
		t.Errorf("got %d problems, want %d and one for the rest", len(all), maxOfKind)
	}
}
