package ifcjson

import (
	"bytes"
	"fmt"
	"io"

	"github.com/go-json-experiment/json/jsontext"

	"voidcheck/ifcx/geom"
)

// meshData is a mesh in its node's own coordinates, metres.
type meshData struct {
	points []geom.Vec3
	tris   [][3]int32
}

// readMesh reads points and faces. Without faceVertexCounts every three indices are a face;
// with them faces of more than three corners are cut into triangles.
func readMesh(v jsontext.Value) (*meshData, error) {
	d := jsontext.NewDecoder(bytes.NewReader(v))
	m := &meshData{}
	var indices, counts []int32
	seen := map[string]bool{}
	if _, err := d.ReadToken(); err != nil {
		return nil, err
	}
	for d.PeekKind() == '"' {
		t, err := d.ReadToken()
		if err != nil {
			return nil, err
		}
		name := t.String()
		seen[name] = true
		switch name {
		case "points":
			m.points, err = readPoints(d)
		case "faceVertexIndices":
			indices, err = readIndices(d)
		case "faceVertexCounts":
			counts, err = readIndices(d)
		default:
			err = d.SkipValue()
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
	}
	if !seen["points"] || !seen["faceVertexIndices"] {
		return nil, fmt.Errorf("points or faceVertexIndices are missing")
	}
	return m, m.faces(indices, counts)
}

func (m *meshData) faces(indices, counts []int32) error {
	for _, i := range indices {
		if int(i) >= len(m.points) {
			return fmt.Errorf("faceVertexIndices: index %d, but there are %d points (indices start at 0)", i, len(m.points))
		}
	}
	if counts == nil {
		if len(indices)%3 != 0 {
			return fmt.Errorf("faceVertexIndices: %d indices are not threes", len(indices))
		}
		for i := 0; i < len(indices); i += 3 {
			m.tris = append(m.tris, [3]int32{indices[i], indices[i+1], indices[i+2]})
		}
		return nil
	}
	at := 0
	for _, n := range counts {
		if at+int(n) > len(indices) {
			return fmt.Errorf("faceVertexCounts: they ask for more than the %d indices given", len(indices))
		}
		m.polygon(indices[at : at+int(n)])
		at += int(n)
	}
	if at != len(indices) {
		return fmt.Errorf("faceVertexCounts: they add up to %d, but there are %d indices", at, len(indices))
	}
	return nil
}

// polygon cuts a face into triangles in the plane of its corners.
func (m *meshData) polygon(face []int32) {
	if len(face) < 3 {
		return
	}
	if len(face) == 3 {
		m.tris = append(m.tris, [3]int32{face[0], face[1], face[2]})
		return
	}
	var n geom.Vec3 // Newell's normal
	for i := range face {
		a, b := m.points[face[i]], m.points[face[(i+1)%len(face)]]
		n = n.Add(a.Cross(b))
	}
	frame := geom.PlaneAt(m.points[face[0]], n).Frame(m.points[face[0]])
	ring := make(geom.Ring, len(face))
	for i, f := range face {
		d := m.points[f].Sub(frame.O)
		ring[i] = geom.Vec2{X: d.Dot(frame.X), Y: d.Dot(frame.Y)}
	}
	for _, t := range geom.Triangulate(geom.Region{ring}) {
		m.tris = append(m.tris, [3]int32{face[t[0]], face[t[1]], face[t[2]]})
	}
}

// readPoints reads [[x, y, z], ...].
func readPoints(d *jsontext.Decoder) ([]geom.Vec3, error) {
	var out []geom.Vec3
	err := each(d, func() error {
		var x [3]float64
		n := 0
		err := each(d, func() error {
			v, err := readNumber(d)
			if n < 3 {
				x[n] = v
			}
			n++
			return err
		})
		if err == nil && n != 3 {
			err = fmt.Errorf("point %d has %d numbers, 3 are wanted", len(out), n)
		}
		out = append(out, geom.Vec3{X: x[0], Y: x[1], Z: x[2]})
		return err
	})
	return out, err
}

// readIndices reads a list of whole numbers from 0.
func readIndices(d *jsontext.Decoder) ([]int32, error) {
	out := []int32{}
	err := each(d, func() error {
		f, err := readNumber(d)
		if err != nil {
			return err
		}
		if f < 0 || f > 1<<31-1 || f != float64(int32(f)) {
			return fmt.Errorf("entry %d is %g, a whole number from 0 is wanted", len(out), f)
		}
		out = append(out, int32(f))
		return nil
	})
	return out, err
}

func readNumber(d *jsontext.Decoder) (float64, error) {
	if k := d.PeekKind(); k != '0' {
		return 0, fmt.Errorf("a number is wanted, %s found", kindName(k))
	}
	t, err := d.ReadToken()
	if err != nil {
		return 0, err
	}
	f, err := t.Float()
	if err != nil {
		return 0, fmt.Errorf("%s is beyond the range of numbers", clip(t.String()))
	}
	return f, nil
}

// each reads an array item by item.
func each(d *jsontext.Decoder, item func() error) error {
	if k := d.PeekKind(); k != '[' {
		return fmt.Errorf("a list is wanted, %s found", kindName(k))
	}
	if _, err := d.ReadToken(); err != nil {
		return err
	}
	for {
		switch d.PeekKind() {
		case ']':
			_, err := d.ReadToken()
			return err
		case 0:
			return io.ErrUnexpectedEOF
		}
		if err := item(); err != nil {
			return err
		}
	}
}

func kindName(k jsontext.Kind) string {
	switch k {
	case 'n':
		return "null"
	case 't', 'f':
		return "true or false"
	case '"':
		return "a text"
	case '0':
		return "a number"
	case '{':
		return "an object"
	case '[':
		return "a list"
	}
	return "the end"
}
