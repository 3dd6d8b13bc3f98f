package ifctest

import (
	"fmt"
	"math"

	"voidcheck/ifcx/geom"
)

// Stop is a stop that is put into a model after it was built, in the frame of the house. It
// shows what a fix does: the geometry is added, the truth is left as it is.
type Stop struct {
	Kind     string    // "draftstop", "attic" (a draftstop up to the roof), "block", "seal"
	Storey   int       // that it is filed under
	From, To geom.Vec2 // along the middle of the sheet or block; for a seal, across its hole
	Z        Span      // lowest and highest edge; what is above the roof is cut off
	Thick    float64   // of the sheet or block
	Width    float64   // of the service in a seal
	Normal   Axis      // along the service in a seal
}

// Apply adds stops to the model. Sheets and blocks must run along x or y.
func (m *Model) Apply(stops ...Stop) error {
	l := newLayout(m.House)
	for n, s := range stops {
		if err := m.apply(l, s); err != nil {
			return fmt.Errorf("model %q: stop %d: %w", m.Name, n, err)
		}
	}
	return nil
}

func (m *Model) apply(l *layout, s Stop) error {
	if s.Kind == "seal" {
		return m.applySeal(s)
	}
	d := s.To.Sub(s.From)
	x, y := Span{min(s.From.X, s.To.X), max(s.From.X, s.To.X)}, Span{min(s.From.Y, s.To.Y), max(s.From.Y, s.To.Y)}
	half := s.Thick / 2
	alongX := math.Abs(d.Y) < 1e-3
	switch {
	case alongX && x.Len() > 1e-3:
		y = Span{y.Mid() - half, y.Mid() + half}
	case math.Abs(d.X) < 1e-3 && y.Len() > 1e-3:
		x = Span{x.Mid() - half, x.Mid() + half}
	default:
		return fmt.Errorf("%s from %v to %v runs neither along x nor along y", s.Kind, s.From, s.To)
	}
	role, mat := Draftstop, GypsumBd
	solid := Box(x, y, s.Z, Z)
	switch s.Kind {
	case "draftstop":
	case "attic":
		role = AtticStop
		if y.Lo < 0 || y.Hi > m.House.Depth { // the eaves boards stand there
			y = Span{max(y.Lo, 0), min(y.Hi, m.House.Depth)}
		}
		solid = SheetX(x, l.roofOutline(y, s.Z.Lo, 0))
	case "block":
		role, mat = Block, Lumber
	default:
		return fmt.Errorf("kind is %q, expected draftstop, attic, block or seal", s.Kind)
	}
	p := m.Add(role, s.Storey, mat, solid)
	if role != Block {
		p.Thick = s.Thick
	}
	return nil
}

// applySeal fills the ring round a service, in the model of the services.
func (m *Model) applySeal(s Stop) error {
	if m.Services == nil {
		return fmt.Errorf("a seal, but the house has no services")
	}
	mid := s.From.Add(s.To).Mul(0.5)
	c := geom.Vec3{X: mid.X, Y: mid.Y, Z: s.Z.Mid()}
	dir := [3]geom.Vec3{{X: 1}, {Y: 1}, {Z: 1}}[s.Normal].Mul(0.03)
	hole := max(s.To.Sub(s.From).Len()/2, s.Width/2+0.005)
	m.Services.Add(Seal, s.Storey, FireSealant, Rod(c.Sub(dir), c.Add(dir), hole, hole-s.Width/2))
	return nil
}
