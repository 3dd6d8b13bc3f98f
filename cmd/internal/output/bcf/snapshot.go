package bcf

import (
	"fmt"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/plan"
)

const (
	snapshotWide = 150.0 // mm
	snapshotTall = 105.0
	snapshotDots = 110.0 // an inch
)

// snapshot draws a plan of where most of a topic's places are, with their numbers: a reader
// without the model at hand sees where it is about. Nil when there is nothing to draw.
func snapshot(s *plan.Site, items []*finding.Item) ([]byte, error) {
	if s == nil {
		return nil, nil
	}
	type sheet struct {
		storey string
		layer  plan.Layer
	}
	count := map[sheet]int{}
	var best sheet
	for _, it := range items {
		if !hasPlace(it) {
			continue
		}
		k := sheet{it.Storey, s.LayerOf(it)}
		count[k]++
		if count[k] > count[best] {
			best = k
		}
	}
	if count[best] == 0 {
		return nil, nil
	}
	o := plan.Options{Width: snapshotWide, Tall: snapshotTall, Framing: true, Proposed: true}
	var pts [][3]float64
	for i, it := range items {
		if !hasPlace(it) || it.Storey != best.storey || s.LayerOf(it) != best.layer {
			continue
		}
		look := plan.Check
		switch it.Outcome {
		case finding.Deficient:
			look = plan.Fault
		case finding.NotShown:
			look = plan.Unseen
		}
		text := fmt.Sprint(it.Comment)
		if len(items) > 1 {
			text = fmt.Sprint(i + 1)
		}
		o.Marks = append(o.Marks, plan.Mark{Point: it.Point, Text: text, Look: look})
		pts = append(pts, it.Point)
	}
	o.Window = s.Around(pts, 3, 14, 9)
	return s.Level(best.storey, best.layer, o)[0].PNG(snapshotDots)
}

func hasPlace(it *finding.Item) bool {
	return it.Storey != "" && it.Point != [3]float64{} && it.Check != "model-content"
}
