package ifctest

import "fmt"

// soffitSpans returns the inside of soffit i along y and z.
func (b *builder) soffitSpans(i int) (y, z Span) {
	s := b.h.Soffits[i]
	t := HalfGypsum
	top := b.plateZ(s.Level) - b.h.Floor.Ceiling
	f := b.roomFrames(s.Unit)[0]
	y0 := f.y.Lo + HalfGypsum + s.Start
	return Span{y0 + t, y0 + s.Length - t}, Span{top - s.Height + t, top}
}

// soffits builds the boards of the boxed-out spaces and records them.
func (b *builder) soffits() {
	for i, s := range b.h.Soffits {
		x, room := b.clearRoom(s.Unit, b.roomFrames(s.Unit)[0])
		y, z := b.soffitSpans(i)
		if y.Hi+HalfGypsum > room.Hi+1e-9 || x.Lo+s.Width > x.Hi {
			b.err = fmt.Errorf("house %q: soffit %d reaches beyond its room", b.h.Name, i)
			return
		}
		in := Span{x.Lo, x.Lo + s.Width - HalfGypsum}
		t := HalfGypsum
		for _, p := range []Prism{
			Box(Span{in.Lo, in.Hi + t}, y.grow(t), Span{z.Lo - t, z.Lo}, X),
			Box(Span{in.Hi, in.Hi + t}, y.grow(t), z, Z),
			Box(in, Span{y.Lo - t, y.Lo}, z, Z),
			Box(in, Span{y.Hi, y.Hi + t}, z, Z),
		} {
			b.add(SoffitBoard, s.Level, nil, GypsumBd, p).Thick = t
		}
		b.m.Truth.Voids = append(b.m.Truth.Voids, Void{Kind: "soffit", Level: s.Level, Units: []int{s.Unit}, AreaM2: in.Len() * y.Len(),
			HeightM: z.Len(), VolumeM3: in.Len() * y.Len() * z.Len(), Framing: "none", Compartments: []float64{in.Len() * y.Len()},
			Point: pt(in.Mid(), y.Mid(), z.Mid())})
	}
}

// soffitOpen: the wall has no board behind soffit i. Over a unit separation the soffit leads
// past the studs and blocks behind it.
func (b *builder) soffitOpen(q Seed, i int, y, z Span) {
	s := b.h.Soffits[i]
	x, _ := b.clearRoom(s.Unit, b.roomFrames(s.Unit)[0])
	d := Defect{Seed: q, Level: s.Level, Units: []int{s.Unit}, Point: pt(x.Lo-HalfGypsum/2, y.Mid(), z.Mid()),
		Checks: []string{"void-junction"}, WidthM: b.h.StudGap - TwoBy, HeightM: z.Len() - 2*TwoBy}
	if sep := s.Unit - 1; sep >= 0 {
		for _, n := range b.segments(y) {
			d.Joins = append(d.Joins, [2]string{soffitCell(i), cavityCell(sep, zoneS(s.Level), n)})
		}
		if b.h.Separation.Kind != "single" {
			b.around(sep, zoneS(s.Level), y)
		}
	}
	b.defect(d)
}
