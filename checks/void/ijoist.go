package void

import (
	"math"
	"slices"

	"voidcheck/ifcx/geom"
)

// filled returns the input with the stretches of I-joists where no hole goes through the web
// as boxes from flange to flange, as a joist without any counts: a block cut to the flanges
// closes a bay wherever else the web has a hole. The boxes stand behind the parts, so that
// every part keeps its number.
func (in *Input) filled() *Input {
	var more []Part
	for i := range in.Parts {
		p := &in.Parts[i]
		if p.Role != RoleJoist || p.Framing != FramingI || p.Mesh == nil || len(p.Mesh.Tris) <= plainIFaces {
			continue
		}
		for _, m := range unpierced(p.Mesh) {
			q := *p
			q.Mesh = m
			more = append(more, q)
		}
	}
	if len(more) == 0 {
		return in
	}
	out := *in
	out.Parts = append(slices.Clip(in.Parts), more...)
	return &out
}

// unpierced returns the stretches of an I section along which its web has no hole, as boxes.
func unpierced(m *geom.Mesh) []*geom.Mesh {
	const (
		least = 0.01 // of a stretch, metres
		web   = 0.5  // of half the width: what lies nearer to the middle belongs to the web
	)
	o := m.OBB()
	along, up, across := o.Axes[0], o.Axes[1], o.Axes[2]
	if math.Abs(m.Volume()) > 0.6*o.Volume() || o.Half[0] < 3*o.Half[1] {
		return nil
	}
	at := []float64{-o.Half[0], o.Half[0]}
	for _, v := range m.Verts {
		d := v.Sub(o.Center)
		if s := d.Dot(along); math.Abs(d.Dot(across)) < web*o.Half[2] && math.Abs(s) < o.Half[0]-least {
			at = append(at, s)
		}
	}
	slices.Sort(at)
	var out []*geom.Mesh
	begin, open := 0.0, false
	end := func(s float64) {
		if open && s-begin > least {
			lo, hi := o.Center.Add(along.Mul(begin)), o.Center.Add(along.Mul(s))
			out = append(out, stick(lo, hi, up.Mul(o.Half[1]), across.Mul(o.Half[2])))
		}
		open = false
	}
	for k := 1; k < len(at); k++ {
		a, b := at[k-1], at[k]
		if b-a < 1e-6 {
			continue
		}
		whole := true
		for n := 1; n < 16 && whole; n++ { // heights between the flanges
			p := o.Center.Add(along.Mul(a + 0.4937*(b-a))).Add(up.Mul(o.Half[1] * (float64(n)/8 - 0.9987)))
			whole = m.Crossed(p, across, -o.Half[2]-least, o.Half[2]+least)
		}
		switch {
		case whole && !open:
			begin, open = a, true
		case !whole:
			end(a)
		}
	}
	end(o.Half[0])
	return out
}

// stick is the box between two ends, given by half its height and half its width.
func stick(a, b, up, across geom.Vec3) *geom.Mesh {
	m := geom.BoxMesh(geom.Box{})
	for i, k := range [][3]float64{{0, -1, -1}, {1, -1, -1}, {1, 1, -1}, {0, 1, -1}, {0, -1, 1}, {1, -1, 1}, {1, 1, 1}, {0, 1, 1}} {
		p := a
		if k[0] == 1 {
			p = b
		}
		m.Verts[i] = p.Add(across.Mul(k[1])).Add(up.Mul(k[2]))
	}
	if m.Volume() < 0 {
		return m.Flipped()
	}
	return m
}
