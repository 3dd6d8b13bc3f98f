package void

import (
	"testing"

	"voidcheck/ifcx/geom"
)

// Two blocks across one channel, of which each leaves one half of it free: they pass each other in plan at
// opposite corners. A chink between the corners that is narrower than the gap leads from none to
// the other side, whichever way it lies; one as wide as the gap does, and so does one over which
// one of the blocks ends lower.
func TestPinch(t *testing.T) {
	const gap = 0.0127
	joined := func(du, dv, top float64) bool {
		b := func(u0, v0, u1, v1, z1 float64) *solid {
			return &solid{box: geom.Box{Min: geom.Vec3{X: u0, Y: v0}, Max: geom.Vec3{X: u1, Y: v1, Z: z1}}, isBox: true, role: RoleBlock, faces: noFaces}
		}
		f := field{gap: gap, zlo: 0, zhi: 1, cores: 1, solids: []*solid{b(0.5, 0, 0.6, 0.3, top), b(0.6+du, 0.3+dv, 0.7+du, 0.6+dv, 1)}}
		buf := &scratch{}
		buf.reset()
		outline := [][2]geom.Vec2{{{}, {X: 1.2}}, {{X: 1.2}, {X: 1.2, Y: 0.6 + dv}}, {{Y: 0.6 + dv}, {X: 1.2, Y: 0.6 + dv}}, {{}, {Y: 0.6 + dv}}}
		f.plan = newPlan(1, f.solids, outline, gap, buf)
		f.fill(1, f.solids, nil)
		f.zones = make([]int32, len(f.cells))
		for i := range f.cells {
			f.setZones(int32(i), []zone{{free{z0: 0, z1: 1}, classVoid, false, 0}})
		}
		f.build()
		a, z := f.nodeAt(geom.Vec3{X: 0.2, Y: 0.3, Z: 0.5}), f.nodeAt(geom.Vec3{X: 1.0, Y: 0.3, Z: 0.5})
		if a < 0 || z < 0 {
			t.Fatal("no space on one side")
		}
		return f.joined.find(a) == f.joined.find(z)
	}
	for _, c := range []struct {
		du, dv, top float64
		want        bool
	}{
		{0, 0, 1, false}, {0.002, 0.002, 1, false}, {0.002, 0.009, 1, false}, {0.008, 0.003, 1, false}, {0.008, 0.008, 1, false},
		{0.011, 0.011, 1, true}, {0.013, 0.002, 1, true}, {0.002, 0.013, 1, true},
		{0.002, 0.002, 0.97, true}, {0.002, 0.002, 0.99, false},
	} {
		if got := joined(c.du, c.dv, c.top); got != c.want {
			t.Errorf("chink of %.3f x %.3f m, one block %.2f m high: joined is %v", c.du, c.dv, c.top, got)
		}
	}
}
