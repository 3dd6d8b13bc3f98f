package plan

import (
	"math"
	"slices"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/cmd/internal/output/words"
)

// roles are how a section draws what it cuts or sees.
var roles = map[string]Look{
	"board": Mass, "deck": Mass, "roof": Mass, "plate": Cut, "stud": Cut, "rim": Cut, "beam": Cut, "chord": Cut, "web": Framing,
	"block": Stop, "draftstop": Stop, "seal": Stop, "service": Service, "chimney": Service,
}

// Section draws a section of a kind ("long" or "cross"), voids tinted and named with their
// heights; nil when findings have none. It is no wider and no taller than asked.
func (s *Site) Section(kind string, width, tall float64) *Picture {
	for i := range s.d.Sections {
		if c := &s.d.Sections[i]; c.Kind == kind {
			return s.section(c, width, tall)
		}
	}
	return nil
}

func (s *Site) section(c *finding.Section, width, tall float64) *Picture {
	// The line may go on beyond the building: what it cuts counts.
	along, z := [2]float64{math.Inf(1), math.Inf(-1)}, [2]float64{math.Inf(1), math.Inf(-1)}
	each(c, func(p [2]float64) {
		along[0], along[1], z[0], z[1] = min(along[0], p[0]), max(along[1], p[0]), min(z[0], p[1]), max(z[1], p[1])
	})
	if along[0] >= along[1] || z[0] >= z[1] || c.Line[0] == c.Line[1] {
		return nil
	}
	length := along[1] - along[0]
	const side = 17 // for the names of levels
	scale := max(length*1000/(width-border-side), (z[1]-z[0])*1000/(tall-2*border), closest)
	p := &Picture{W: width, H: (z[1]-z[0])*1000/scale + 2*border, Scale: scale, Title: "Section along the building"}
	if c.Kind == "cross" {
		p.Title = "Section across the building"
	}
	left := border + (width-border-side-length*1000/scale)/2
	at := func(q [2]float64) Point {
		return Point{left + (q[0]-along[0])*1000/scale, border + (z[1]-q[1])*1000/scale}
	}
	s.levels(p, at, z, width-side+2)
	names := s.sectionVoids(p, c, at)
	for _, cut := range c.Cuts {
		look, ok := roles[cut.Role]
		if !ok {
			look = Cut
		}
		if cut.Beyond {
			look = Framing
		}
		for _, b := range cut.Boxes {
			p.area(look, []Point{at([2]float64{b[0], b[1]}), at([2]float64{b[2], b[1]}), at([2]float64{b[2], b[3]}), at([2]float64{b[0], b[3]})})
		}
		for _, r := range cut.Rings {
			var ring []Point
			for _, q := range r {
				ring = append(ring, at(q))
			}
			p.area(look, ring)
		}
	}
	for _, n := range names {
		p.label(n.at, 2.1, n.text)
	}
	return p
}

func each(c *finding.Section, do func([2]float64)) {
	for _, cut := range c.Cuts {
		for _, b := range cut.Boxes {
			do([2]float64{b[0], b[1]})
			do([2]float64{b[2], b[3]})
		}
		for _, r := range cut.Rings {
			for _, q := range r {
				do(q)
			}
		}
	}
}

// levels draws the levels as thin lines with their names.
func (s *Site) levels(p *Picture, at func([2]float64) Point, z [2]float64, x float64) {
	last := math.Inf(1)
	for i := len(s.b.R.Building.Storeys) - 1; i >= 0; i-- {
		st := &s.b.R.Building.Storeys[i]
		if st.ElevationM < z[0]-0.5 || st.ElevationM > z[1]+0.2 {
			continue
		}
		y := at([2]float64{0, st.ElevationM}).Y
		p.line(Hair, Point{border / 2, y}, Point{x, y})
		if math.Abs(last-y) > 2.4 {
			p.text(Point{x + 0.8, y}, 2.1, Start, false, fit(st.Name, 12))
			last = y
		}
	}
}

type named struct {
	at   Point
	text string
}

// sectionVoids tints the voids that a section passes and returns their names.
func (s *Site) sectionVoids(p *Picture, c *finding.Section, at func([2]float64) Point) []named {
	var out []named
	for i := range s.b.R.Spaces {
		v := &s.b.R.Spaces[i]
		h, ok := s.void[v.ID]
		if !ok || v.Kind == "wall" {
			continue
		}
		var longest [2]float64
		for _, comp := range v.Compartments {
			for _, span := range spans(c.Line, comp.Outline) {
				if span[1]-span[0] > longest[1]-longest[0] {
					longest = span
				}
				if v.Kind != "attic" { // an attic's top slopes: the roof shows it
					p.area(Compartment, []Point{at([2]float64{span[0], h[0]}), at([2]float64{span[1], h[0]}), at([2]float64{span[1], h[1]}), at([2]float64{span[0], h[1]})})
				}
			}
		}
		if longest[1]-longest[0] < 1.5 {
			continue
		}
		z := (h[0] + h[1]) / 2
		if v.Kind == "attic" {
			z = h[0] + 0.3*(h[1]-h[0])
		}
		text := words.Join(" ", v.ID, measure.FormatLength(v.HeightMaxM, s.b.Sys))
		if wide := at([2]float64{longest[1], 0}).X - at([2]float64{longest[0], 0}).X; TextWidth(text, 2.1) > wide {
			if text = v.ID; TextWidth(text, 2.1) > wide {
				continue
			}
		}
		out = append(out, named{at([2]float64{(longest[0] + longest[1]) / 2, z}), text})
	}
	return out
}

// spans are the parts of a line inside an outline, as distances from its start.
func spans(line [2][2]float64, rings [][][2]float64) [][2]float64 {
	dx, dy := line[1][0]-line[0][0], line[1][1]-line[0][1]
	length := math.Hypot(dx, dy)
	dx, dy = dx/length, dy/length
	var at []float64
	for _, r := range rings {
		for i := range r {
			a, b := r[i], r[(i+1)%len(r)]
			na := -(a[0]-line[0][0])*dy + (a[1]-line[0][1])*dx
			nb := -(b[0]-line[0][0])*dy + (b[1]-line[0][1])*dx
			if (na > 0) == (nb > 0) {
				continue
			}
			t := na / (na - nb)
			q := [2]float64{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}
			if s := (q[0]-line[0][0])*dx + (q[1]-line[0][1])*dy; s > -1e-9 && s < length+1e-9 {
				at = append(at, s)
			}
		}
	}
	slices.Sort(at)
	var out [][2]float64
	for i := 0; i+1 < len(at); i += 2 {
		out = append(out, [2]float64{at[i], at[i+1]})
	}
	return out
}
