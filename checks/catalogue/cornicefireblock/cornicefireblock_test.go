package cornicefireblock

import (
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
)

// eaves is a row of units under a level roof from z = 5.5 that stands out beyond the walls at
// y = 0 and y = 11; the unit line is at x = 9.8 to 10. With soffit, boards close the eaves
// at z = 5.2 to 5.212.
func eaves(units int, out float64, soffit bool) *checktest.Hand {
	h := checktest.NewHand(units)
	if units > 1 {
		w := &h.B.Input.Walls[h.Separation(0)]
		w.Z0, w.Z1, w.Storey = 3, 5.3, 1
	}
	h.Part(void.RoleRoof, h.Element(recognise.Roof, "IfcSlab", "RS"), 0, -out, 5.5, 20, 11+out, 5.52)
	if soffit {
		for _, y := range [][2]float64{{-out, 0}, {11, 11 + out}} {
			h.Part(void.RoleSoffitBoard, h.Element(recognise.SoffitBd, "IfcCovering", "SB"), 0, y[0], 5.2, 20, y[1], 5.212)
		}
	}
	return h
}

// block closes the front cornice over a part of its height.
func block(h *checktest.Hand, y0, y1, top float64) {
	h.Part(void.RoleBlock, h.Element(recognise.Fireblock, "IfcMember", "B"), 9.88, y0, 5.212, 9.918, y1, top)
}

func TestCornice(t *testing.T) {
	const line = "modelled | unit line U1/U2, cornice"
	h := eaves(2, 0.4, true)
	checktest.Want(t, h.Run(t, Check), "not-shown "+line+" | 0.1152 m2", "not-shown "+line+" | 0.1152 m2") // 0.4 x 0.288
	block(h, -0.4, 0, 5.5)
	checktest.Want(t, h.Run(t, Check), "meets "+line, "deficient "+line+" | 0.1152 m2")
	block(h, 11, 11.4, 5.35) // up to half of the height only
	checktest.Want(t, h.Run(t, Check), "meets "+line, "deficient "+line+" | 0.06 m2")
}

func TestNoCornice(t *testing.T) {
	checktest.Want(t, eaves(2, 0.05, true).Run(t, Check), "note modelled | cornices")
	checktest.Want(t, eaves(3, 0.4, true).Run(t, Check), "note modelled | cornices")
	checktest.Want(t, checktest.NewHand(2).Run(t, Check), "note modelled | cornices")
}

func TestNotShown(t *testing.T) {
	checktest.Want(t, eaves(2, 0.4, false).Run(t, Check), "not-shown modelled | unit line U1/U2, cornices")
	h := eaves(2, 0.4, false)
	h.Part(void.RoleSoffitBoard, -1, 0, 3, 2, 1, 4, 2.02)
	checktest.Want(t, h.Run(t, Check), "note modelled | unit line U1/U2, cornices")
	h = checktest.NewHand(2)
	h.Separation(0)
	checktest.Want(t, h.Run(t, Check), "not-shown modelled | cornices")
}
