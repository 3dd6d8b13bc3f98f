package ifctest

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Ref is the number of an instance in a STEP file; it prints as #n.
type Ref int

// Enum prints as .NAME. ; use it for booleans and logicals too.
type Enum string

// Typed prints as IFCLABEL('x').
type Typed struct {
	Type  string
	Value any
}

// Raw is printed as it is.
type Raw string

// Dir is a list of numbers that keep all their digits (direction ratios, angles).
type Dir []float64

// Star prints as * (a derived attribute).
const Star = Raw("*")

// Step collects instances of one STEP file. It is the plain writer under Model.WriteSTEP and
// serves tests that need a few hand-made instances.
type Step struct {
	Schema   string // "IFC2X3", "IFC4", "IFC4X3_ADD2"
	FileName string
	Tool     string
	View     string  // view definition of FILE_DESCRIPTION
	Unit     float64 // metres per length unit; lengths given to Len are divided by it
	insts    []stepInst
	known    map[string]Ref
	count    Ref // instances so far
	out      *stream
}

// stepInst is one instance as it was added.
type stepInst struct {
	ref    Ref
	entity string
	args   []any
}

func (i stepInst) text() string { return format(i.entity, i.args) }

// NewStep returns an empty file of the schema, in metres.
func NewStep(schema string) *Step {
	return &Step{Schema: schema, FileName: "fixture.ifc", Tool: "voidcheck fixture builder", View: "ViewDefinition [ReferenceView_V1.2]", Unit: 1, known: map[string]Ref{}}
}

// Add writes an instance and returns its number. Arguments: nil prints $, strings are encoded,
// float64, int, bool, Ref, Enum, Typed, Raw, and slices of these.
func (s *Step) Add(entity string, args ...any) Ref {
	s.count++
	i := stepInst{s.count, entity, args}
	if s.out != nil {
		s.out.write(i.ref, i.text())
	} else {
		s.insts = append(s.insts, i)
	}
	return i.ref
}

// Once is Add for instances without identity (points, directions, profiles): an equal one is
// written once and shared.
func (s *Step) Once(entity string, args ...any) Ref {
	text := format(entity, args)
	if r, ok := s.known[text]; ok {
		return r
	}
	if s.out != nil && len(s.known) >= mostShared {
		clear(s.known)
	}
	r := s.Add(entity, args...)
	s.known[text] = r
	return r
}

// Len turns metres into the length unit of the file, to about 1e-10 m.
func (s *Step) Len(m float64) float64 {
	return round(m/s.Unit, math.Pow(10, math.Round(math.Log10(1e-10/s.Unit))))
}

// Lens turns several lengths.
func (s *Step) Lens(m ...float64) []float64 {
	o := make([]float64, len(m))
	for i, v := range m {
		o[i] = s.Len(v)
	}
	return o
}

// round cuts the noise of unit conversion off, so that a length prints as a person writes it.
func round(v, step float64) float64 {
	r := math.Round(v / step)
	if math.Abs(r) > 1e15 {
		return v
	}
	return r / math.Round(1/step)
}

func format(entity string, args []any) string {
	var b strings.Builder
	b.WriteString(strings.ToUpper(entity))
	b.WriteByte('(')
	for i, a := range args {
		if i > 0 {
			b.WriteByte(',')
		}
		writeArg(&b, a)
	}
	b.WriteByte(')')
	return b.String()
}

func writeArg(b *strings.Builder, a any) {
	switch v := a.(type) {
	case nil:
		b.WriteByte('$')
	case string:
		b.WriteString(Quote(v))
	case float64:
		b.WriteString(Real(v))
	case int:
		b.WriteString(strconv.Itoa(v))
	case bool:
		if v {
			b.WriteString(".T.")
		} else {
			b.WriteString(".F.")
		}
	case Ref:
		if v == 0 {
			b.WriteByte('$')
			return
		}
		b.WriteByte('#')
		b.WriteString(strconv.Itoa(int(v)))
	case Enum:
		b.WriteString("." + string(v) + ".")
	case Raw:
		b.WriteString(string(v))
	case Typed:
		b.WriteString(strings.ToUpper(v.Type) + "(")
		writeArg(b, v.Value)
		b.WriteByte(')')
	case Dir:
		writeList(b, v, func(x float64) { b.WriteString(Real(round(x, 1e-13))) })
	case []float64:
		writeList(b, v, func(x float64) { b.WriteString(Real(x)) })
	case []int:
		writeList(b, v, func(x int) { b.WriteString(strconv.Itoa(x)) })
	case []string:
		writeList(b, v, func(x string) { b.WriteString(Quote(x)) })
	case []Ref:
		writeList(b, v, func(x Ref) { writeArg(b, x) })
	case []any:
		writeList(b, v, func(x any) { writeArg(b, x) })
	case [][]int:
		writeList(b, v, func(x []int) { writeArg(b, x) })
	case [][]float64:
		writeList(b, v, func(x []float64) { writeArg(b, x) })
	default:
		panic(fmt.Sprintf("ifctest: cannot write a %T as a STEP value", a))
	}
}

func writeList[T any](b *strings.Builder, list []T, one func(T)) {
	b.WriteByte('(')
	for i, x := range list {
		if i > 0 {
			b.WriteByte(',')
		}
		one(x)
	}
	b.WriteByte(')')
}

// Real prints a STEP real: always with a point, exponent as E.
func Real(v float64) string {
	if v == 0 {
		return "0."
	}
	t := strconv.FormatFloat(v, 'f', -1, 64)
	if len(t) > 22 {
		t = strings.ToUpper(strconv.FormatFloat(v, 'g', -1, 64))
		if !strings.Contains(t, ".") {
			t = strings.Replace(t, "E", ".E", 1)
		}
		return t
	}
	if !strings.Contains(t, ".") {
		t += "."
	}
	return t
}

// Quote encodes a string: apostrophes and reverse solidus doubled, other letters than the
// basic ones as \X2\...\X0\.
func Quote(v string) string {
	var b strings.Builder
	b.WriteByte('\'')
	open := false
	for _, r := range v {
		plain := r >= 0x20 && r < 0x7f
		if open && (plain || r > 0xffff) {
			b.WriteString(`\X0\`)
			open = false
		}
		switch {
		case r == '\'':
			b.WriteString("''")
		case r == '\\':
			b.WriteString(`\\`)
		case plain:
			b.WriteRune(r)
		case r > 0xffff:
			fmt.Fprintf(&b, `\X4\%08X\X0\`, r)
		case r == utf8.RuneError:
			b.WriteByte('?')
		default:
			if !open {
				b.WriteString(`\X2\`)
				open = true
			}
			fmt.Fprintf(&b, "%04X", r)
		}
	}
	if open {
		b.WriteString(`\X0\`)
	}
	b.WriteByte('\'')
	return b.String()
}

// WriteTo writes the file. The time stamp is fixed: equal models give equal bytes.
func (s *Step) WriteTo(w io.Writer) (int64, error) {
	out := &stream{w: bufio.NewWriterSize(w, 1<<16)}
	out.put(s.head())
	for _, i := range s.insts {
		out.write(i.ref, i.text())
	}
	out.put(stepTail)
	return out.n, out.w.Flush()
}

// String returns the file as text.
func (s *Step) String() string {
	var b strings.Builder
	if _, err := s.WriteTo(&b); err != nil {
		panic(err)
	}
	return b.String()
}

const stepTail = "ENDSEC;\nEND-ISO-10303-21;\n"

func (s *Step) head() string {
	return "ISO-10303-21;\nHEADER;\n" +
		"FILE_DESCRIPTION((" + Quote(s.View) + "),'2;1');\n" +
		"FILE_NAME(" + Quote(s.FileName) + ",'" + timeStamp + "',(''),('')," + Quote(s.Tool) + "," + Quote(s.Tool) + ",'');\n" +
		"FILE_SCHEMA((" + Quote(s.Schema) + "));\nENDSEC;\nDATA;\n"
}

// timeStamp stands in the header of every file.
const timeStamp = "2026-01-31T10:00:00"

// mostShared is how many shared instances are remembered while a file is streamed.
const mostShared = 1 << 18

// stream writes instances as they come.
type stream struct {
	w *bufio.Writer
	n int64
}

func (o *stream) put(t string) {
	k, _ := o.w.WriteString(t) // the writer keeps its error for Flush
	o.n += int64(k)
}

func (o *stream) write(r Ref, text string) {
	o.put("#" + strconv.Itoa(int(r)) + "=")
	o.put(text)
	o.put(";\n")
}
