package paper

import (
	"voidcheck/cmd/internal/output/plan"
)

// pieces sets a block.
func (s *sheet) pieces(b Block) []piece {
	switch b := b.(type) {
	case Heading:
		return s.heading(b)
	case Para:
		style, size, ink := "", s.size, uint32(0x1a1a1a)
		if b.Bold {
			style = "B"
		}
		if b.Small {
			size, ink = s.size*0.84, 0x444444
		}
		return []piece{s.words(b.Text, style, size, s.size*0.12, ink)}
	case Fields:
		return s.fields(b)
	case List:
		var ps []piece
		for _, t := range b {
			ps = append(ps, s.point(t, s.size))
		}
		return append(ps, s.gap(1))
	case Figure:
		return []piece{s.figures(Figures{b})}
	case Figures:
		return []piece{s.figures(b)}
	case *Table:
		return s.table(b)
	case Columns:
		return []piece{s.columns(b)}
	case Sign:
		return []piece{s.sign(b)}
	case Break:
		return []piece{{page: true}}
	case Group:
		var ps []piece
		for _, in := range b {
			ps = append(ps, s.pieces(in)...)
		}
		return glue(ps, s.bottom-s.top)
	}
	return nil
}

// columns sets two lists of blocks side by side.
func (s *sheet) columns(b Columns) piece {
	left, width := s.left, s.width
	defer func() { s.left, s.width = left, width }()
	const between = 6.0
	s.width = (width - between) / 2
	var sides [2][]piece
	tall := 0.0
	for i := range b {
		s.left = left + float64(i)*(s.width+between)
		h := 0.0
		for _, in := range b[i] {
			sides[i] = append(sides[i], s.pieces(in)...)
		}
		for _, p := range sides[i] {
			h += p.h
		}
		tall = max(tall, h)
	}
	return piece{h: tall, draw: func(top float64) {
		for _, side := range sides {
			y := top
			for _, p := range side {
				if p.draw != nil {
					p.draw(y)
				}
				y += p.h
			}
		}
	}}
}

func (s *sheet) gap(h float64) piece { return piece{h: h} }

func (s *sheet) line(size float64) float64 { return size * point * lead }

// words is a paragraph over the whole line with a gap after it.
func (s *sheet) words(text, style string, size, after float64, ink uint32) piece {
	return s.column(text, style, size, s.left, s.width, after, ink)
}

// column is a paragraph in a column.
func (s *sheet) column(text, style string, size, x, width, after float64, ink uint32) piece {
	lines := s.wrap(text, style, size, width)
	h := s.line(size)
	return piece{h: h*float64(len(lines)) + after, draw: func(y float64) {
		s.set(lines, style, size, x, y, ink)
	}}
}

// set draws lines from a top edge.
func (s *sheet) set(lines []string, style string, size, x, y float64, ink uint32) {
	s.ink(ink)
	s.font(style, size)
	h := s.line(size)
	for i, l := range lines {
		s.pdf.Text(x, y+h*(float64(i)+0.76), l)
	}
}

func (s *sheet) heading(b Heading) []piece {
	size, before, after, ruled := s.size*1.65, 0.0, 2.0, false
	switch b.Level {
	case 1:
		if first, ok := s.d.Blocks[0].(Heading); !ok || first != b {
			before = 5 // something stands over the title
		}
	case 2:
		size, before, after, ruled = s.size*1.2, 4.5, 2.2, true
	case 3:
		size, before, after = s.size, 2.5, 0.6
	}
	if s.d.Tight {
		before, after = before*0.4, after*0.6
	}
	p := s.words(b.Text, "B", size, after, 0x1a1a1a)
	draw, h, left, width := p.draw, p.h, s.left, s.width
	p.h += before
	p.draw = func(y float64) {
		draw(y + before)
		if ruled {
			s.stroke(0x1a1a1a, 0.3)
			s.pdf.Line(left, y+before+h-after+0.6, left+width, y+before+h-after+0.6)
		}
	}
	p.next = true
	return []piece{p}
}

// fields are names in a narrow column and values beside them; two pairs a line when tight.
func (s *sheet) fields(list Fields) []piece {
	columns, name := 1, 40.0
	if s.d.Tight {
		columns, name = 2, 26
	}
	width := s.width / float64(columns)
	var ps []piece
	for i := 0; i < len(list); i += columns {
		var row []piece
		h := 0.0
		for k := 0; k < columns && i+k < len(list); k++ {
			x := s.left + float64(k)*width
			n := s.column(list[i+k][0], "", s.size, x, name-2, 0, 0x555555)
			v := s.column(list[i+k][1], "", s.size, x+name, width-name-2, 0, 0x1a1a1a)
			row = append(row, n, v)
			h = max(h, n.h, v.h)
		}
		ps = append(ps, piece{h: h, draw: func(y float64) {
			for _, p := range row {
				p.draw(y)
			}
		}})
	}
	return append(ps, s.gap(s.size*0.2))
}

// point is one point of a list.
func (s *sheet) point(text string, size float64) piece {
	p := s.column(text, "", size, s.left+4, s.width-4, 0.4, 0x1a1a1a)
	draw, left := p.draw, s.left
	p.draw = func(y float64) {
		s.paint(0x1a1a1a)
		s.pdf.Circle(left+1.6, y+s.line(size)*0.52, size*0.05, "F")
		draw(y)
	}
	return p
}

func (s *sheet) sign(names Sign) piece {
	width := (s.width - 8*float64(len(names)-1)) / float64(len(names))
	left := s.left
	return piece{h: 22, draw: func(y float64) {
		for i, n := range names {
			x := left + float64(i)*(width+8)
			s.stroke(0x1a1a1a, 0.3)
			s.pdf.Line(x, y+15, x+width, y+15)
			s.set(s.wrap(n, "", s.size*0.86, width), "", s.size*0.86, x, y+15.6, 0x444444)
		}
	}}
}

// figures are drawings side by side, feet on one line, each with its caption.
func (s *sheet) figures(list Figures) piece {
	tall, low := 0.0, 0.0
	size := s.size * 0.84
	captions := make([][]string, len(list))
	for i, f := range list {
		tall = max(tall, f.Picture.H)
		if f.Caption != "" {
			captions[i] = s.wrap(f.Caption, "", size, f.Picture.W)
		}
		low = max(low, float64(len(captions[i]))*s.line(size))
	}
	left, after := s.left, s.size*0.2
	return piece{h: tall + low + after, draw: func(y float64) {
		x := left
		for i, f := range list {
			s.picture(f.Picture, x, y+tall-f.Picture.H)
			s.set(captions[i], "", size, x, y+tall+0.5, 0x444444)
			x += f.Picture.W + 3
		}
	}}
}

// picture draws a picture with its upper left corner at a place.
func (s *sheet) picture(p *plan.Picture, x, y float64) {
	s.pdf.ClipRect(x, y, p.W, p.H, false)
	defer s.pdf.ClipEnd()
	for i := range p.Shapes {
		s.shape(&p.Shapes[i], x, y)
	}
	s.pdf.SetDashPattern(nil, 0)
}

func (s *sheet) shape(k *plan.Shape, x, y float64) {
	paint := plan.Paints[k.Look]
	if k.Text != "" {
		ink, style := paint.Stroke, ""
		if k.Look == plan.Ground {
			ink = paint.Fill
		}
		if k.Bold {
			style = "B"
		}
		s.font(style, k.Size/point)
		s.ink(ink)
		t := s.pr.text(k.Text)
		at := x + k.At.X
		switch k.Anchor {
		case plan.Middle:
			at -= s.pdf.GetStringWidth(t) / 2
		case plan.End:
			at -= s.pdf.GetStringWidth(t)
		}
		s.pdf.Text(at, y+k.At.Y+k.Size*0.36, t)
		return
	}
	style := ""
	if paint.Filled && (k.Closed || k.R > 0) {
		s.paint(paint.Fill)
		style = "F"
	}
	if paint.Width > 0 {
		s.stroke(paint.Stroke, paint.Width)
		s.pdf.SetDashPattern(paint.Dash, 0)
		style += "D"
	}
	if k.R > 0 {
		s.pdf.Circle(x+k.At.X, y+k.At.Y, k.R, style)
		return
	}
	for _, l := range k.Lines {
		for i, q := range l {
			if i == 0 {
				s.pdf.MoveTo(x+q.X, y+q.Y)
			} else {
				s.pdf.LineTo(x+q.X, y+q.Y)
			}
		}
		if k.Closed {
			s.pdf.ClosePath()
		}
	}
	if style == "F" || style == "FD" {
		style += "*" // by the even-odd rule
	}
	s.pdf.DrawPath(style)
}
