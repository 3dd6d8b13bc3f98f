package model

import (
	"context"
	"fmt"
	"math"
	"slices"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/shape"
	"voidcheck/ifcx/source"
)

// Reach is how far in metres from the building's origin geometry may lie. What lies further
// is no part of a building, and its areas and volumes would have no correct digit.
const Reach = 1e8

// Near reports whether all of a body is within Reach.
func Near(b *shape.Body) bool {
	for _, v := range [...]float64{b.Box.Min.X, b.Box.Min.Y, b.Box.Min.Z, b.Box.Max.X, b.Box.Max.Y, b.Box.Max.Z} {
		if !(math.Abs(v) <= Reach) {
			return false
		}
	}
	return true
}

// Bodies computes the geometry of every element, space and spatial zone with up to
// workers goroutines (0: one per processor), so that later calls of Body return at once and
// every layer set is settled. It then warns when files turn out to lie apart. It returns the
// context's error when that ends first.
func (b *Building) Bodies(ctx context.Context, workers int) error {
	elements := byNumber(slices.Concat(b.Elements, spaceElements(b.Spaces)))
	stretches(len(elements), workers, func() func(from, to int) {
		return func(from, to int) {
			for _, e := range elements[from:to] {
				if ctx.Err() != nil {
					return
				}
				e.Body()
			}
		}
	})
	if err := ctx.Err(); err != nil {
		return err
	}
	for _, z := range b.Zones {
		if z.Body != nil {
			z.Body()
		}
	}
	b.compareBodies()
	return nil
}

// byNumber returns elements in the order of their files, where what shares geometry lies
// together.
func byNumber(list []*Element) []*Element {
	keys := make([]uint64, len(list))
	for i, e := range list {
		keys[i] = uint64(e.ID)<<32 | uint64(i)
	}
	slices.Sort(keys)
	out := make([]*Element, len(list))
	for i, k := range keys {
		out[i] = list[uint32(k)]
	}
	return out
}

// PlausibleSize is the greatest that the middle one of a file's elements may be, in metres.
// Where half of all walls, beams and boards are longer than a street, the unit is wrong.
const PlausibleSize = 150

// Implausible returns an error when the elements of a file are so large that its length unit
// must be wrong: nothing measured in it would mean anything. Bodies must have run.
func (b *Building) Implausible() error {
	sizes := map[*File][]float64{}
	for _, e := range b.Elements {
		if body := e.Body(); body != nil {
			s := body.Box.Size()
			sizes[e.File] = append(sizes[e.File], max(s.X, s.Y, s.Z))
		}
	}
	for _, f := range b.Files {
		l := sizes[f]
		slices.Sort(l)
		if len(l) < 10 || l[len(l)/2] <= PlausibleSize {
			continue
		}
		return fmt.Errorf("%s: half of its %d elements are longer than %s, so the length unit (%s) is wrong; correct it in the unit assignment, or export the model again",
			f.Name, len(l), metres(l[len(l)/2]), f.LengthUnit)
	}
	return nil
}

// compareBodies warns about files whose geometry does not overlap with the first file's,
// unless their placements said so already.
func (b *Building) compareBodies() {
	if len(b.Files) < 2 {
		return
	}
	boxes := map[*File]geom.Box{}
	for _, e := range b.Elements {
		body := e.Body()
		if body == nil || body.Box.IsEmpty() {
			continue
		}
		box, ok := boxes[e.File]
		if !ok {
			box = geom.EmptyBox()
		}
		boxes[e.File] = box.Join(body.Box)
	}
	told := map[string]bool{}
	for _, p := range b.Log.All() {
		if p.Code == "files-apart" {
			told[p.File] = true
		}
	}
	var first *File
	for _, f := range b.Files {
		box, ok := boxes[f]
		switch {
		case !ok:
		case first == nil:
			first = f
		case !told[f.Name]:
			if far, gap := apart(boxes[first], box); far {
				b.Log.Add(source.Problem{File: f.Name, Code: "files-apart",
					Text: "does not overlap with " + first.Name + " (it lies " + metres(gap) + " away)", Fix: "export all files with the same origin"})
			}
		}
	}
}
