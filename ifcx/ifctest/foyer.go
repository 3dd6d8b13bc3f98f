package ifctest

import "fmt"

// Foyer is a well in the floor of level 1 along the left end wall of the row, whose studs run up over two storeys beside it:
// no floor and no ceiling meets the wall there. Rows of blocks between those studs close it at intervals up the wall.
type Foyer struct {
	Start  float64 `json:"start"` // from the front of the void
	Length float64 `json:"length"`
	Wide   float64 `json:"wide"` // from the wall into the unit
	Rows   int     `json:"rows"` // of blocks, at equal heights
}

// well returns the well of a foyer as a stair well of unit 0; its trimmer along the wall is left out.
func (f *Foyer) well() *StairHole {
	return &StairHole{X: TwoBy, Y: f.Start, LX: f.Wide, LY: f.Length}
}

// foyerRun is the stretch of the wall beside the foyer, between the trimmers that end it.
func (b *builder) foyerRun() Span { return Span{b.h.Foyer.Start, b.h.Foyer.Start + b.h.Foyer.Length} }

// atFoyer reports whether a storey of a wall is that beside the foyer.
func (b *builder) atFoyer(x Span, k int) bool {
	return b.h.Foyer != nil && k < 2 && x == b.endRows[0]
}

// foyerStretch builds the two storeys of the wall beside the foyer: a wall of its own.
func (b *builder) foyerStretch() {
	if b.h.Foyer == nil {
		return
	}
	w := b.wall(WallExt, 0, "foyer")
	x, f := b.endRows[0], b.foyerRun()
	z := Span{b.floorZ(0), b.plateZ(1)}
	b.stick(BottomPlate, 0, w, Box(x, f, Span{z.Lo, z.Lo + TwoBy}, Y))
	for n := range 2 {
		b.stick(TopPlate, 1, w, Box(x, f, Span{z.Hi - TwoBy*float64(n+1), z.Hi - TwoBy*float64(n)}, Y))
	}
	studs := studPositions(f, b.h.StudGap)
	clear := Span{z.Lo + TwoBy, z.Hi - 2*TwoBy}
	for _, s := range studs {
		b.stick(Stud, 0, w, Box(x, Span{s, s + TwoBy}, clear, Z))
	}
	g := b.add(Gypsum, 0, w, GypsumBd, Box(Span{x.Hi, x.Hi + HalfGypsum}, f, Span{b.plateZ(0) - b.h.Floor.Ceiling, b.floorZ(1)}, Z))
	g.Thick = HalfGypsum
	all := b.take("rise-blocks-missing", func(Seed) bool { return true })
	if all != nil {
		b.riseMissing(*all, Span{studs[0], studs[len(studs)-1] + TwoBy}, clear, clear.Len())
		return
	}
	part := (clear.Len() - float64(b.h.Foyer.Rows)*TwoBy) / float64(b.h.Foyer.Rows+1)
	for r := range b.h.Foyer.Rows {
		lo := clear.Lo + float64(r+1)*part + float64(r)*TwoBy
		for n := 1; n < len(studs); n++ {
			bay := Span{studs[n-1] + TwoBy, studs[n]}
			if miss := b.take("rise-block-missing", func(s Seed) bool { return s.Index == r && s.Bay == n-1 }); miss != nil {
				b.riseMissing(*miss, bay, Span{lo - part, lo + TwoBy + part}, 2*part+TwoBy)
				continue
			}
			p := b.stick(Block, 0, nil, Box(x, bay, Span{lo, lo + TwoBy}, Y))
			p.Mark = unitMark(0)
		}
	}
}

// riseMissing: a stud bay beside the foyer is open over a height.
func (b *builder) riseMissing(q Seed, run, z Span, open float64) {
	if run.Len() < 0.1 {
		b.err = fmt.Errorf("house %q: no bay for %+v", b.h.Name, q)
		return
	}
	b.defect(Defect{Seed: q, Level: 0, Units: []int{0}, Point: pt(b.endRows[0].Mid(), run.Mid(), z.Mid()), Checks: []string{"wall-fireblock-run"}, WidthM: run.Len(), HeightM: open})
}
