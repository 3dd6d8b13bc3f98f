package materials

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"sync"

	"voidcheck/checks/lexicon"
	"voidcheck/checks/measure"
)

// Entry is one accepted material: "gypsum board 1/2 in", "2 layers of sawn lumber 3/4 in",
// "glass fiber batt 16 in high", "cellulose if tested".
type Entry struct {
	Text       string // as written, blanks tidied
	Class      string
	Layers     int     // 1 or more
	ThicknessM float64 // least, of each layer; 0 for any
	HeightM    float64 // least; 0 for any
	If         string  // "", "tested" or "approved": what the reviewer has to see
}

// List is what is accepted for one use.
type List []Entry

// Text returns a list as an adoption file's parameter default.
func (l List) Text() string {
	var s []string
	for _, e := range l {
		s = append(s, e.Text)
	}
	return strings.Join(s, ", ")
}

var (
	condition = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`(?i)\s+if\s+(tested|approved)$`) })
	layers    = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`(?i)^(\d+)\s+layers\s+of\s+`) })
	length    = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(?i)\s+(\d[\d./ -]*\s*(?:in|ft|mm|cm|m)\b\.?)(\s+high)?$`)
	})
)

// ParseEntry reads an entry: [N layers of] CLASS [THICKNESS] [HEIGHT high] [if tested|if
// approved]. The error says what was found and what is known.
func (d *Data) ParseEntry(text string) (Entry, error) {
	e := Entry{Text: strings.Join(strings.Fields(text), " "), Layers: 1}
	rest := e.Text
	if m := condition().FindStringSubmatch(rest); m != nil {
		e.If = strings.ToLower(m[1])
		rest = strings.TrimSuffix(rest, m[0])
	}
	if m := layers().FindStringSubmatch(rest); m != nil {
		n, err := strconv.Atoi(m[1])
		if err != nil || n < 1 || n > 9 {
			return e, fmt.Errorf("%q: %s layers are not a number from 1 to 9", text, m[1])
		}
		e.Layers, rest = n, strings.TrimPrefix(rest, m[0])
	}
	for {
		m := length().FindStringSubmatch(rest)
		if m == nil {
			break
		}
		v, err := measure.Parse(measure.Length, m[1])
		if err != nil {
			return e, fmt.Errorf("%q: %w", text, err)
		}
		switch {
		case m[2] != "" && e.HeightM == 0:
			e.HeightM = v
		case m[2] == "" && e.ThicknessM == 0:
			e.ThicknessM = v
		default:
			return e, fmt.Errorf("%q names two thicknesses or two heights; write for example \"gypsum board 1/2 in\"", text)
		}
		rest = strings.TrimSuffix(rest, m[0])
	}
	e.Class = strings.ReplaceAll(lexicon.Fold(rest), "fibre", "fiber")
	if !d.known(e.Class) {
		return e, d.unknown(e.Class)
	}
	return e, nil
}

// unknown is the error for a class that is not known.
func (d *Data) unknown(name string) error {
	var names []string
	for _, c := range d.classes {
		if !c.Never {
			names = append(names, c.Name)
		}
	}
	return fmt.Errorf("%q is not a class of material; write for example \"gypsum board 1/2 in\"; the classes are %s", name, strings.Join(names, ", "))
}

// Parse reads the entries of a list; the error is about the first that cannot be read.
func (d *Data) Parse(entries []string) (List, error) {
	var l List
	for _, t := range entries {
		e, err := d.ParseEntry(t)
		if err != nil {
			return nil, err
		}
		l = append(l, e)
	}
	return l, nil
}
