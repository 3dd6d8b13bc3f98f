package plan

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"

	"voidcheck/checks/finding"
)

// PNG paints a picture with a number of dots for each inch.
func (p *Picture) PNG(dpi float64) ([]byte, error) {
	k := dpi / 25.4
	c := &canvas{k: k}
	c.rgba = image.NewRGBA(image.Rect(0, 0, int(math.Ceil(p.W*k)), int(math.Ceil(p.H*k))))
	draw.Draw(c.rgba, c.rgba.Bounds(), image.White, image.Point{}, draw.Src)
	for i := range p.Shapes {
		if err := c.shape(&p.Shapes[i]); err != nil {
			return nil, err
		}
	}
	var b bytes.Buffer
	e := png.Encoder{}
	err := e.Encode(&b, c.rgba)
	return b.Bytes(), err
}

type canvas struct {
	k    float64 // dots a millimetre
	rgba *image.RGBA
}

var (
	parseFonts = sync.OnceValues(func() ([2]*opentype.Font, error) {
		regular, err := opentype.Parse(goregular.TTF)
		if err != nil {
			return [2]*opentype.Font{}, err
		}
		bold, err := opentype.Parse(gobold.TTF)
		return [2]*opentype.Font{regular, bold}, err
	})
)

func rgb(v uint32) color.RGBA { return color.RGBA{uint8(v >> 16), uint8(v >> 8), uint8(v), 255} }

func (c *canvas) shape(s *Shape) error {
	paint := Paints[s.Look]
	if s.Text != "" {
		return c.text(s, paint)
	}
	lines := s.Lines
	closed := s.Closed
	if s.R > 0 {
		lines, closed = [][]Point{circle(s.At, s.R)}, true
	}
	if paint.Filled && closed {
		c.fill(lines, rgb(paint.Fill))
	}
	if paint.Width > 0 {
		var quads [][]Point
		for _, l := range lines {
			if closed && len(l) > 0 {
				l = append(append([]Point{}, l...), l[0])
			}
			quads = append(quads, stroke(l, paint)...)
		}
		c.fill(quads, rgb(paint.Stroke))
	}
	return nil
}

func circle(at Point, r float64) []Point {
	var out []Point
	for i := range 40 {
		a := float64(i) / 40 * 2 * math.Pi
		out = append(out, Point{at.X + r*math.Cos(a), at.Y + r*math.Sin(a)})
	}
	return out
}

// stroke turns a line into the rectangles of its segments or dashes, all turning one way.
func stroke(l []Point, paint Paint) [][]Point {
	var out [][]Point
	h := paint.Width / 2
	along, on := 0.0, true // within a dash
	for i := 0; i+1 < len(l); i++ {
		a, b := l[i], l[i+1]
		length := math.Hypot(b.X-a.X, b.Y-a.Y)
		if length == 0 {
			continue
		}
		dx, dy := (b.X-a.X)/length, (b.Y-a.Y)/length
		put := func(from, to float64) {
			x0, y0, x1, y1 := a.X+dx*from, a.Y+dy*from, a.X+dx*to, a.Y+dy*to
			out = append(out, []Point{{x0 - dy*h, y0 + dx*h}, {x0 + dy*h, y0 - dx*h}, {x1 + dy*h, y1 - dx*h}, {x1 - dy*h, y1 + dx*h}})
		}
		if len(paint.Dash) < 2 {
			put(-h*0.9, length+h*0.9)
			continue
		}
		for at := 0.0; at < length; {
			left := paint.Dash[0] - along
			if !on {
				left = paint.Dash[1] - along
			}
			step := min(left, length-at)
			if on {
				put(at, at+step)
			}
			at, along = at+step, along+step
			if step == left {
				along, on = 0, !on
			}
		}
	}
	return out
}

// fill paints rings; holes turn the other way.
func (c *canvas) fill(rings [][]Point, col color.RGBA) {
	lo, hi := Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	for _, r := range rings {
		for _, p := range r {
			lo.X, lo.Y, hi.X, hi.Y = min(lo.X, p.X), min(lo.Y, p.Y), max(hi.X, p.X), max(hi.Y, p.Y)
		}
	}
	if lo.X > hi.X {
		return
	}
	// The rasteriser works on a window of its own; what lies outside the picture is clipped.
	b := image.Rect(int(lo.X*c.k)-1, int(lo.Y*c.k)-1, int(hi.X*c.k)+2, int(hi.Y*c.k)+2).Intersect(c.rgba.Bounds())
	if b.Empty() {
		return
	}
	z := vector.NewRasterizer(b.Dx(), b.Dy())
	at := func(p Point) (float32, float32) {
		return float32(p.X*c.k - float64(b.Min.X)), float32(p.Y*c.k - float64(b.Min.Y))
	}
	for _, r := range rings {
		for i, p := range r {
			x, y := at(p)
			if i == 0 {
				z.MoveTo(x, y)
			} else {
				z.LineTo(x, y)
			}
		}
		z.ClosePath()
	}
	z.Draw(c.rgba, b, image.NewUniform(col), image.Point{})
}

func (c *canvas) text(s *Shape, paint Paint) error {
	fonts, err := parseFonts()
	if err != nil {
		return err
	}
	f := fonts[0]
	if s.Bold {
		f = fonts[1]
	}
	face, err := opentype.NewFace(f, &opentype.FaceOptions{Size: s.Size * c.k, DPI: 72, Hinting: font.HintingNone})
	if err != nil {
		return err
	}
	defer face.Close()
	col := paint.Stroke
	if s.Look == Ground {
		col = paint.Fill
	}
	d := font.Drawer{Dst: c.rgba, Src: image.NewUniform(rgb(col)), Face: face}
	text := finding.Clean(s.Text)
	w := d.MeasureString(text)
	x := fixed.Int26_6(s.At.X * c.k * 64)
	switch s.Anchor {
	case Middle:
		x -= w / 2
	case End:
		x -= w
	}
	d.Dot = fixed.Point26_6{X: x, Y: fixed.Int26_6((s.At.Y + s.Size*0.36) * c.k * 64)}
	d.DrawString(text)
	return nil
}
