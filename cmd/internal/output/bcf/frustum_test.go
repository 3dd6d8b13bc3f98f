package bcf

import (
	"bytes"
	"context"
	"math"
	"os"
	"path"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/beevik/etree"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/cmd/internal/review"
)

// What the written files show, read back from them and held against the models: each place
// lies in the picture, each element named is seen at least in part, in metres in the model's
// own coordinates, and the camera stands neither in the place nor out of sight.
func TestWrittenCamerasShowPlaceAndElements(t *testing.T) {
	models := map[string][]string{
		"framed row":                      {root + "testdata/demo/row-architecture.ifc", root + "testdata/demo/row-services.ifc"},
		"layered row":                     {root + "testdata/demo/row-layered.ifc"},
		"two dwellings, millimetres":      {root + "../shared/data/models/duplex-arch.ifc"},
		"house in feet, turned, no units": {root + "../shared/data/models/us-house-2x-layers.ifc"},
		"house with rafters":              {root + "../shared/data/models/fzk-haus-ifc4.ifc"},
	}
	for name, files := range models {
		t.Run(name, func(t *testing.T) {
			if _, err := os.Stat(files[0]); err != nil {
				t.Skip("the open sample models are not beside the repository")
			}
			res, err := review.Run(context.Background(), review.Options{Models: files, Units: measure.US, Now: time.Unix(0, 0)})
			if err != nil {
				t.Fatal(err)
			}
			boxes := elementBoxes(res)
			for _, v := range []version{v21, v30} {
				seen := writtenViews(t, parts(t, written(t, res.Report, v)), boxes)
				if v == v30 {
					checkPlaces(t, res.Report, seen)
				}
			}
		})
	}
}

// elementBoxes are the bounds of elements by GlobalId in the first model's coordinates.
func elementBoxes(res *review.Result) map[string][2]vec {
	m := res.Building.Model
	out := map[string][2]vec{}
	for _, e := range m.Elements {
		b := e.Body()
		if b == nil || b.Box.IsEmpty() {
			continue
		}
		lo, hi := b.Box.Min.Add(m.Origin), b.Box.Max.Add(m.Origin)
		out[e.GlobalID] = [2]vec{{lo.X, lo.Y, lo.Z}, {hi.X, hi.Y, hi.Z}}
	}
	return out
}

// seenView is a viewpoint as a viewer reads it.
type seenView struct {
	name          string
	at, look, up  vec
	tanUp, tanOut float64 // of half the picture's angles
	cuts          [][2]vec
}

// shows is where a point falls in the picture, -1 to 1 across and up, and how far ahead it is.
func (s *seenView) shows(p vec) (x, y, ahead float64) {
	d := p.sub(s.at)
	ahead = d.dot(s.look)
	return d.dot(s.look.cross(s.up)) / (ahead * s.tanOut), d.dot(s.up) / (ahead * s.tanUp), ahead
}

func (s *seenView) holds(p vec) bool {
	x, y, ahead := s.shows(p)
	return ahead > 0 && math.Abs(x) <= 1 && math.Abs(y) <= 1
}

// writtenViews reads every viewpoint of a file and holds its selection against the elements.
func writtenViews(t *testing.T, files map[string][]byte, boxes map[string][2]vec) map[string]*seenView {
	t.Helper()
	out := map[string]*seenView{}
	looked := 0
	for name, data := range files {
		if !strings.HasSuffix(name, ".bcfv") {
			continue
		}
		doc := etree.NewDocument()
		if _, err := doc.ReadFrom(bytes.NewReader(data)); err != nil {
			t.Fatal(err)
		}
		c := doc.FindElement("//PerspectiveCamera")
		s := &seenView{name: name, at: vecOf(t, c, "CameraViewPoint"), look: vecOf(t, c, "CameraDirection"), up: vecOf(t, c, "CameraUpVector")}
		angle, err := strconv.ParseFloat(c.SelectElement("FieldOfView").Text(), 64)
		if err != nil || angle < 45 || angle > 60 {
			t.Errorf("%s: field of view %v", name, angle)
		}
		// FieldOfView is the upright angle; without an aspect ratio (2.1) a square window is the least.
		s.tanUp = math.Tan(angle / 2 * math.Pi / 180)
		s.tanOut = s.tanUp
		if a := c.SelectElement("AspectRatio"); a != nil {
			ratio, _ := strconv.ParseFloat(a.Text(), 64)
			s.tanOut *= ratio
		}
		for _, p := range doc.FindElements("//ClippingPlane") {
			s.cuts = append(s.cuts, [2]vec{vecOf(t, p, "Location"), vecOf(t, p, "Direction")})
		}
		if e := math.Abs(s.look.len()-1) + math.Abs(s.up.len()-1) + math.Abs(s.look.dot(s.up)); e > 0.001 {
			t.Errorf("%s: the axes of the camera are not square: off by %g", name, e)
		}
		for _, e := range doc.FindElements("//Selection/Component") {
			b, known := boxes[e.SelectAttrValue("IfcGuid", "")]
			if !known {
				continue
			}
			looked++
			if !s.touches(b) {
				t.Errorf("%s: element %s (%v to %v) is selected and outside the picture", name, e.SelectAttrValue("IfcGuid", ""), b[0], b[1])
			}
		}
		out[name] = s
	}
	if looked == 0 && len(boxes) > 300 {
		t.Log("no viewpoint selects an element with geometry")
	}
	return out
}

// touches reports whether some of a box lies in the picture, by points all over it.
func (s *seenView) touches(b [2]vec) bool {
	var n [3]int
	for k := range n { // every 15 cm
		n[k] = 1 + int((b[1][k]-b[0][k])/0.15)
	}
	for i := range n[0] + 1 {
		for j := range n[1] + 1 {
			for k := range n[2] + 1 {
				f := vec{float64(i) / float64(n[0]), float64(j) / float64(n[1]), float64(k) / float64(n[2])}
				if s.holds(vec{b[0][0] + f[0]*(b[1][0]-b[0][0]), b[0][1] + f[1]*(b[1][1]-b[0][1]), b[0][2] + f[2]*(b[1][2]-b[0][2])}) {
					return true
				}
			}
		}
	}
	return false
}

func vecOf(t *testing.T, in *etree.Element, name string) vec {
	t.Helper()
	var v vec
	for i, axis := range []string{"X", "Y", "Z"} {
		x, err := strconv.ParseFloat(in.FindElement(name+"/"+axis).Text(), 64)
		if err != nil {
			t.Fatal(err)
		}
		v[i] = x
	}
	return v
}

// checkPlaces holds the places of every comment against its viewpoints.
func checkPlaces(t *testing.T, r *finding.Report, seen map[string]*seenView) {
	t.Helper()
	topics, err := topicsOf(r)
	if err != nil {
		t.Fatal(err)
	}
	s := newScene(r)
	lo, hi := s.extent(s.all)
	far := hi.sub(lo).len()
	items := map[string]*finding.Item{}
	for i := range r.Items {
		items[r.Items[i].Key] = &r.Items[i]
	}
	for n, topic := range topics {
		for k, key := range r.Comments[n].Items {
			it := items[key]
			names := []string{topic.views[0].file}
			if len(topic.views) > k+1 {
				names = append(names, topic.views[k+1].file)
			}
			for i, name := range names {
				v := seen[path.Join(topic.id, name)]
				if v == nil {
					t.Fatalf("%s is not in the file", path.Join(topic.id, name))
				}
				x, y, ahead := v.shows(it.Point)
				if !v.holds(it.Point) {
					t.Errorf("comment %d, %s: the place %v falls at %.2f, %.2f of the picture, %.1f m ahead", it.Comment, it.Where(), it.Point, x, y, ahead)
				}
				if d := vec(it.Point).sub(v.at).len(); d < 1 || d > 3*far+20 {
					t.Errorf("comment %d, %s: seen from %.1f m in a building of %.1f m", it.Comment, it.Where(), d, far)
				}
				if i == 1 && it.Storey != "" && it.Measured != nil && it.Measured.Unit == "m" && ahead > 40 {
					t.Errorf("comment %d, %s: a place seen from %.1f m", it.Comment, it.Where(), ahead)
				}
			}
		}
	}
}
