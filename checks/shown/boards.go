package shown

import (
	"math"
	"regexp"
	"sync"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/lexicon"
	"voidcheck/checks/materials"
	"voidcheck/checks/stopmaterial"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

var typeX = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`type ?x\b|\bgkfi?\b|feuerschutz|fire ?(rated|resist)|brann ?gips|\bgips f\b|coupe ?feu|ignifug|brandwerend`)
})

// boards answers for all gypsum boards of a role in a range of heights, or for those that
// are asked about when keep is given.
func (m *model) boards(role void.Role, lo, hi, least float64, special bool, keep func(*geom.Mesh) bool) adoption.Answer {
	answer := adoption.Unknown
	d := materials.Default()
	for i := range m.b.Input.Parts {
		p := &m.b.Input.Parts[i]
		if p.Role != role || p.Mesh == nil {
			continue
		}
		if b := p.Mesh.Box(); b.Max.Z < lo || b.Min.Z > hi || keep != nil && !keep(p.Mesh) {
			continue
		}
		s := stopmaterial.SampleOf(m.b, []*void.Part{p})
		total, said, gypsum := 0.0, !special, false
		for _, ply := range s.Plies {
			if r, ok := d.Class(ply.Material); ok && (r.Class == "gypsum board" || len(r.MayBe) == 1 && r.MayBe[0] == "gypsum board") {
				gypsum, total = true, math.Max(total, ply.ThicknessM)
			}
			said = said || typeX().MatchString(lexicon.Fold(ply.Material))
		}
		for _, w := range s.Words {
			said = said || typeX().MatchString(lexicon.Fold(w))
		}
		switch {
		case gypsum && total < least-d.AllowanceM:
			return adoption.No
		case !gypsum || !said:
			return adoption.Unknown
		}
		answer = adoption.Yes
	}
	return answer
}

// framingCovered: what stands between the rooms of the storey below the attic and its framing
// is gypsum board thick enough, in every room of that storey. The sheathing outside covers no
// framing from a room.
func (m *model) framingCovered(rep *checks.Report) adoption.Answer {
	list := m.attics(rep)
	if len(list) == 0 {
		return adoption.Unknown
	}
	z := list[0].Void.ZLo
	rooms := map[int]bool{} // those of the storey, and whether a board faces them
	for i := range m.b.Input.Rooms {
		r := &m.b.Input.Rooms[i]
		if r.Mesh == nil || r.Outside {
			continue
		}
		if b := r.Mesh.Box(); b.Min.Z < z-1 && b.Max.Z > z-1 {
			rooms[i] = false
		}
	}
	_, cover := materials.Default().TwoFamilyAttic()
	answer := m.boards(void.RoleFinish, z-1.5, z-0.5, cover, false, func(board *geom.Mesh) bool { return m.faces(board, rooms) })
	for _, faced := range rooms {
		if !faced && answer == adoption.Yes {
			return adoption.Unknown
		}
	}
	return answer
}

// faces reports whether a board stands at one of the rooms, which it marks; without any room
// every board does.
func (m *model) faces(board *geom.Mesh, rooms map[int]bool) bool {
	const beside = 0.05 // metres from the board into the room
	o := board.OBB()
	found := len(rooms) == 0
	for i := range rooms {
		mesh := m.b.Input.Rooms[i].Mesh
		b := mesh.Box()
		for _, along := range []float64{-0.9, -0.45, 0, 0.45, 0.9} {
			for _, across := range []float64{-o.Half[2] - beside, o.Half[2] + beside} {
				for _, long := range []int{0, 1} { // a board lies or stands
					p := o.Center.Add(o.Axes[long].Mul(along * o.Half[long])).Add(o.Axes[2].Mul(across))
					if p.Z > b.Min.Z-0.3 && p.Z < b.Max.Z+0.3 && mesh.Covers(p.Plan()) {
						rooms[i], found = true, true
					}
				}
			}
		}
	}
	return found
}
