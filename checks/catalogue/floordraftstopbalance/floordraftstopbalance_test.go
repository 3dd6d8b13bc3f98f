package floordraftstopbalance

import (
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/checks/void"
)

const ft2 = 0.09290304 // 16 CFR 500.19

// 1,600 ft2 as 1,000 + 600 is a ratio of 1.667; 850 + 750 is 1.133; the three draftstopped
// floors of the first worked example are 1.083, 1.100 and 1.125 (code facts 2.8, no. 1 and 10).
func TestRatio(t *testing.T) {
	for _, tt := range []struct {
		areas []float64
		want  finding.Outcome
		ratio float64
	}{
		{[]float64{1000, 600}, finding.Note, 1.667},
		{[]float64{850, 750}, finding.Meets, 1.133},
		{[]float64{768, 832, 800}, finding.Meets, 1.083},
		{[]float64{768, 844.8, 787.2}, finding.Meets, 1.1},
		{[]float64{768, 864, 768}, finding.Meets, 1.125},
		{[]float64{500, 400}, finding.Meets, 1.25},
		{[]float64{500.1, 400}, finding.Note, 1.25025},
		{[]float64{750, 750, 5}, finding.Meets, 1}, // a leftover beside a shaft
	} {
		h := checktest.NewHand(1)
		for i := range tt.areas {
			tt.areas[i] *= ft2
		}
		v := h.Void(void.KindFloor, 1, []int{0}, tt.areas...)
		h.Line(void.LineDraftstop, v, -1, -1, 0, 0)
		r := h.Run(t, Check)
		if len(r) != 1 || r[0].Outcome != tt.want || r[0].Measured.Value < tt.ratio-0.001 || r[0].Measured.Value > tt.ratio+0.001 {
			t.Errorf("%v: got\n%swant %s %v", tt.areas, checktest.Summary(r), tt.want, tt.ratio)
		}
	}
}

// Units of different size are no unequal draftstopping.
func TestOnlyDraftstoppedParts(t *testing.T) {
	h := checktest.NewHand(2)
	v := h.Void(void.KindFloor, 1, []int{0, 1}, 80, 30)
	v.Compartments[0].Units, v.Compartments[1].Units = []int{0}, []int{1}
	checktest.Want(t, h.Run(t, Check))
	h.Line(void.LineDraftstop, v, -1, -1, 0, 0)
	checktest.Want(t, h.Run(t, Check))
}
