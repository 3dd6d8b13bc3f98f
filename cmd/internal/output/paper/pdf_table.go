package paper

// set is a cell broken into lines.
type setCell struct {
	c     Cell
	text  []string
	small []string
}

const cellPad = 1.4

// table sets a table: the head, then every row a piece, with lines below them.
func (s *sheet) table(t *Table) []piece {
	widths, total := make([]float64, len(t.Widths)), 0.0
	for _, w := range t.Widths {
		total += w
	}
	for i, w := range t.Widths {
		widths[i] = w / total * s.width
	}
	var ps []piece
	var head *piece
	if len(t.Head) > 0 {
		h := s.head(t.Head, widths)
		head = &h
		first := h
		first.next = true
		ps = append(ps, first)
	}
	for i := range t.Rows {
		r := &t.Rows[i]
		if r.Span != "" {
			p := s.span(r.Span)
			p.head = head
			ps = append(ps, p)
			continue
		}
		for _, p := range s.row(r, widths) {
			p.head = head
			ps = append(ps, p)
		}
	}
	return append(ps, s.gap(s.size*0.3))
}

func (s *sheet) pad() float64 {
	if s.d.Tight {
		return 0.5
	}
	return 1
}

func (s *sheet) head(names []string, widths []float64) piece {
	size, n := s.size*0.86, 0
	lines := make([][]string, len(widths))
	for i := range min(len(names), len(widths)) {
		lines[i] = s.wrap(names[i], "B", size, widths[i]-2*cellPad)
		n = max(n, len(lines[i]))
	}
	h := float64(n)*s.line(size) + 2*s.pad()
	left, width := s.left, s.width
	return piece{h: h, draw: func(y float64) {
		x := left
		for i, l := range lines {
			s.set(l, "B", size, x+cellPad, y+s.pad(), 0x1a1a1a)
			x += widths[i]
		}
		s.stroke(0x1a1a1a, 0.4)
		s.pdf.Line(left, y+h, left+width, y+h)
	}}
}

func (s *sheet) span(text string) piece {
	lines := s.wrap(text, "B", s.size, s.width-2*cellPad)
	h := float64(len(lines))*s.line(s.size) + 2*s.pad() + 0.6
	left, width := s.left, s.width
	return piece{h: h, next: true, draw: func(y float64) {
		s.paint(0xececec)
		s.pdf.Rect(left, y+0.3, width, h-0.3, "F")
		s.set(lines, "B", s.size, left+cellPad, y+s.pad()+0.5, 0x1a1a1a)
	}}
}

// row sets a row; one that is longer than a page is divided.
func (s *sheet) row(r *Row, widths []float64) []piece {
	cells := make([]setCell, len(widths))
	for i := range min(len(r.Cells), len(widths)) {
		c := r.Cells[i]
		k := setCell{c: c}
		style := ""
		if c.Bold {
			style = "B"
		}
		if c.Text != "" {
			k.text = s.wrap(c.Text, style, s.size, widths[i]-2*cellPad)
		}
		if c.Small != "" {
			k.small = s.wrap(c.Small, "", s.size*0.84, widths[i]-2*cellPad)
		}
		cells[i] = k
	}
	most := int((s.bottom - s.top - 30) / s.line(s.size))
	var ps []piece
	for {
		part, more := take(cells, most)
		ps = append(ps, s.rowPiece(part, widths, !more))
		if !more {
			return ps
		}
	}
}

// take cuts the first lines off every cell.
func take(cells []setCell, n int) (part []setCell, more bool) {
	part = make([]setCell, len(cells))
	for i := range cells {
		c := &cells[i]
		p := setCell{c: c.c}
		k := min(n, len(c.text))
		p.text, c.text = c.text[:k], c.text[k:]
		k = min(n-k, len(c.small))
		p.small, c.small = c.small[:k], c.small[k:]
		more = more || len(c.text)+len(c.small) > 0
		part[i] = p
		c.c.Tick, c.c.Lines = false, 0
	}
	return part, more
}

const ruled = 6.0 // height of a line to write on

func (s *sheet) rowPiece(cells []setCell, widths []float64, last bool) piece {
	h := s.line(s.size)
	for _, c := range cells {
		h = max(h, float64(len(c.text))*s.line(s.size)+float64(len(c.small))*s.line(s.size*0.84), float64(c.c.Lines)*ruled)
		if c.c.Tick {
			h = max(h, 5)
		}
	}
	h += 2 * s.pad()
	left, width := s.left, s.width
	return piece{h: h, draw: func(y float64) {
		x := left
		for i, c := range cells {
			s.cell(c, x, y+s.pad(), widths[i])
			x += widths[i]
		}
		if last {
			s.stroke(0x9a9a9a, 0.2)
			s.pdf.Line(left, y+h, left+width, y+h)
		}
	}}
}

func (s *sheet) cell(c setCell, x, y, width float64) {
	switch {
	case c.c.Tick:
		s.stroke(0x1a1a1a, 0.35)
		s.pdf.Rect(x+cellPad, y+0.2, 4.4, 4.4, "D")
		return
	case c.c.Lines > 0:
		s.stroke(0x9a9a9a, 0.2)
		for i := 1; i < c.c.Lines; i++ {
			s.pdf.Line(x+cellPad, y+float64(i)*ruled-0.6, x+width-cellPad, y+float64(i)*ruled-0.6)
		}
		return
	}
	style := ""
	if c.c.Bold {
		style = "B"
	}
	s.set(c.text, style, s.size, x+cellPad, y, 0x1a1a1a)
	s.set(c.small, "", s.size*0.84, x+cellPad, y+float64(len(c.text))*s.line(s.size), 0x444444)
}
