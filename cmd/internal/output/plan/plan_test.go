package plan

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"image/png"
	"io"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/fixture"
	"voidcheck/cmd/internal/output/words"
)

// marked draws every layer of a level with a mark at every item on it.
func marked(s *Site, storey string, o Options) (pictures []*Picture, marks int) {
	for _, l := range s.Layers(storey) {
		o.Marks = nil
		for i := range s.b.R.Items {
			it := &s.b.R.Items[i]
			if it.Storey == storey && s.LayerOf(it) == l && it.Outcome != finding.Note {
				o.Marks = append(o.Marks, Mark{it.Point, fmt.Sprint(len(o.Marks) + 1), Check})
			}
		}
		marks += len(o.Marks)
		pictures = append(pictures, s.Level(storey, l, o)...)
	}
	return pictures, marks
}

// Every mark is in its picture, none covers another, and what is drawn has a sensible size.
func TestMarks(t *testing.T) {
	s := New(words.New(fixture.Demo(t)))
	found, want := 0, 0
	for _, st := range s.b.R.Building.Storeys {
		pictures, n := marked(s, st.Name, Options{Width: 178, Coarsest: 250})
		want += n
		for _, p := range pictures {
			var at []Point
			for i, k := range p.Shapes {
				if k.Bold && i > 0 && p.Shapes[i-1].Look == Check {
					at = append(at, k.At)
				}
			}
			found += len(at)
			for i, a := range at {
				if a.X < markRound || a.Y < markRound || a.X > p.W-markRound || a.Y > p.H-markRound {
					t.Errorf("%s: mark %d at %v is cut off", p.Title, i+1, a)
				}
				for j := range i {
					if math.Abs(a.X-at[j].X) < 2*markRound && math.Abs(a.Y-at[j].Y) < 2*markRound {
						t.Errorf("%s: marks %d and %d cover each other", p.Title, j+1, i+1)
					}
				}
			}
			if p.H < 40 || p.H > 120 || p.Scale < closest || p.Scale > 250 {
				t.Errorf("%s: %g mm tall at 1:%g", p.Title, p.H, p.Scale)
			}
		}
	}
	if found != want || want < 40 {
		t.Errorf("%d marks drawn of %d", found, want)
	}
}

// A building too long for one picture is drawn in several that go on where the last ended.
func TestLongBuildings(t *testing.T) {
	s := New(words.New(fixture.Demo(t)))
	pictures := s.Level("Level 2", Floor, Options{Width: 178, Coarsest: 100})
	if len(pictures) != 3 { // 39.5 m at 1:100 on 172 mm
		t.Fatalf("%d pictures", len(pictures))
	}
	for _, p := range pictures {
		if p.Scale > 100+1e-9 {
			t.Errorf("scale 1:%g", p.Scale)
		}
		seen := 0
		for _, k := range p.Shapes {
			if k.Look == Separation {
				seen++
			}
		}
		if seen == 0 {
			t.Errorf("no unit separation on %s", p.Title)
		}
	}
}

// Lengths on paper are lengths of the building by the scale, whatever way it is turned; the
// long side lies across.
func TestTurnedBuildings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "turn")
		long, short := rapid.Float64Range(15, 60).Draw(t, "long"), rapid.Float64Range(5, 12).Draw(t, "short")
		ox, oy := rapid.Float64Range(-1e6, 1e6).Draw(t, "x"), rapid.Float64Range(-1e6, 1e6).Draw(t, "y")
		corner := func(x, y float64) [2]float64 {
			return [2]float64{ox + x*math.Cos(a) - y*math.Sin(a), oy + x*math.Sin(a) + y*math.Cos(a)}
		}
		axis := [2]float64{math.Cos(a), math.Sin(a)}
		if rapid.Bool().Draw(t, "axis across") {
			axis = [2]float64{-math.Sin(a), math.Cos(a)}
		}
		ring := [][2]float64{corner(0, 0), corner(long, 0), corner(long, short), corner(0, short)}
		r := &finding.Report{
			Building: finding.Building{Storeys: []finding.Storey{{Name: "L", ElevationM: 3}}},
			Spaces:   []finding.Space{{ID: "V1", Kind: "floor", Storey: "L", Compartments: []finding.Compartment{{ID: "V1.1", Outline: [][][2]float64{ring}}}}},
			Drawing:  &finding.Drawing{Axis: axis, Voids: []finding.DrawnVoid{{ID: "V1", Z: [2]float64{2.5, 3}}}},
		}
		p := New(words.New(r)).Level("L", Floor, Options{Width: 178})[0]
		for _, k := range p.Shapes {
			if k.Look != Compartment {
				continue
			}
			q := k.Lines[0]
			for i := range q {
				n := q[(i+1)%len(q)]
				length := math.Hypot(n.X-q[i].X, n.Y-q[i].Y) * p.Scale / 1000
				want := []float64{long, short}[i%2]
				if math.Abs(length-want) > 1e-3 {
					t.Fatalf("side %d is %g m on paper, want %g", i, length, want)
				}
				if level := math.Abs(n.Y-q[i].Y) < 1e-3; level != (i%2 == 0) {
					t.Fatalf("the long side does not lie across: %v", q)
				}
				if q[i].X < 0 || q[i].X > p.W || q[i].Y < 0 || q[i].Y > p.H {
					t.Fatalf("%v lies outside %g x %g", q[i], p.W, p.H)
				}
			}
			return
		}
		t.Fatal("the compartment is not drawn")
	})
}

// A line through an outline with a hole: lengths by hand.
func TestSpans(t *testing.T) {
	rings := [][][2]float64{{{0, 0}, {10, 0}, {10, 4}, {0, 4}}, {{3, 1}, {3, 3}, {6, 3}, {6, 1}}}
	got := spans([2][2]float64{{-2, 2}, {20, 2}}, rings)
	want := [][2]float64{{2, 5}, {8, 12}}
	if len(got) != 2 || got[0] != want[0] || got[1] != want[1] {
		t.Errorf("spans %v, want %v", got, want)
	}
}

const hostile = "</svg><script>alert(1)</script>\"'&\x00\x1b[31m\u202e ]]> 屋根 🏠 averyveryveryverylongwordwithoutanyblankinit"

// Names from a model never become markup, and pictures are the same every time.
func TestHostileNames(t *testing.T) {
	r := fixture.Renamed(t, hostile)
	for i := range r.Building.Storeys {
		r.Building.Storeys[i].Name += hostile
	}
	s := New(words.New(r))
	var all []*Picture
	for _, k := range []string{"long", "cross"} {
		all = append(all, s.Section(k, 178, 60))
	}
	s = New(words.New(fixture.Renamed(t, hostile)))
	pictures, _ := marked(s, "Level 1", Options{Width: 178})
	all = append(all, pictures...)
	for _, p := range all {
		svg := p.SVG()
		if !bytes.Equal(svg, p.SVG()) {
			t.Errorf("%s: two writings differ", p.Title)
		}
		d := xml.NewDecoder(bytes.NewReader(svg))
		for {
			tok, err := d.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", p.Title, err)
			}
			if e, ok := tok.(xml.StartElement); ok && !strings.Contains(" svg title path circle text ", " "+e.Name.Local+" ") {
				t.Errorf("%s: element %s", p.Title, e.Name.Local)
			}
		}
		if bytes.ContainsAny(svg, "\x00\x1b\u202e") {
			t.Errorf("%s: a control character got in", p.Title)
		}
		img, err := p.PNG(60)
		if err != nil {
			t.Fatal(err)
		}
		cfg, err := png.DecodeConfig(bytes.NewReader(img))
		if err != nil || cfg.Width != int(math.Ceil(p.W*60/25.4)) {
			t.Errorf("%s: PNG %v %d dots wide", p.Title, err, cfg.Width)
		}
	}
	if len(all) < 3 {
		t.Fatalf("only %d pictures", len(all))
	}
}

// Findings without geometry give no picture, and no panic.
func TestNothingToDraw(t *testing.T) {
	for _, r := range []*finding.Report{{}, {Drawing: &finding.Drawing{}}, {Drawing: &finding.Drawing{Axis: [2]float64{math.NaN(), 0}}}} {
		if s := New(words.New(r)); s != nil {
			t.Errorf("a site of nothing: %v", s)
		}
	}
	s := New(words.New(fixture.Hostile(t)))
	if s == nil {
		t.Fatal("outlines without a drawing are something to draw")
	}
	if p := s.Level("no such level", Attic, Options{Width: 178}); len(p) != 1 {
		t.Errorf("%d pictures", len(p))
	}
	if s.Section("long", 178, 60) != nil {
		t.Error("a section out of nothing")
	}
}

// What is drawn in black and white stays told apart: fills are light or black, so that no
// two grounds for letters come near each other's ink.
func TestFillsAreReadable(t *testing.T) {
	for look, p := range Paints {
		if !p.Filled {
			continue
		}
		// Relative luminance and contrast as in WCAG 2.1, 1.4.3: 4.5 to 1 for letters.
		l := luminance(p.Fill)
		black, white := (l+0.05)/0.05, 1.05/(l+0.05)
		if look == Compartment || look == Other || look == Ground || look == Check || look == Unseen {
			if black < 4.5 {
				t.Errorf("look %d: black letters on it have a contrast of %.1f", look, black)
			}
		}
		if look.Light() && white < 4.5 {
			t.Errorf("look %d: white letters on it have a contrast of %.1f", look, white)
		}
	}
}

func luminance(c uint32) float64 {
	f := func(v uint32) float64 {
		x := float64(v&255) / 255
		if x <= 0.03928 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	return 0.2126*f(c>>16) + 0.7152*f(c>>8) + 0.0722*f(c)
}
