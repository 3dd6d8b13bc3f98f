// Package source holds the bytes of an input file and the problems found in it: a byte
// offset is carried everywhere, and line and column are worked out only when printed.
package source

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"sort"
	"strings"
	"sync"
)

// File is one input file (or one member of a zip) held in memory.
type File struct {
	Name     string // as the user named it; a zip member reads "a.ifczip/model.ifc"
	Data     []byte // do not change it: it may be the file itself, mapped into memory
	Kind     Kind
	Original *Original // the file as given, when Data is a part or another form of it

	mapped bool // Data is the file itself
	once   sync.Once
	marks  []mark // line counts at every markStep bytes
}

// Stride is how far a pass over the data of a file goes before it calls Passed.
const Stride = 8 << 20

// Passed tells that a pass over the data in order is done with data[from:to], so that its
// memory can be given back; when it is read again it comes from the file again. A pass over a
// large file then needs no more memory than over a small one.
func (f *File) Passed(from, to int) {
	if f.mapped && from < to {
		drop(f.Data, from, to)
	}
}

// Original is a file as it was given; the members of a zip share one.
type Original struct {
	data []byte
	once sync.Once
	sum  string
}

// SHA256 returns the hash of the file as given, in hexadecimal; that of the whole zip for a
// member. It is worked out when it is first asked for.
func (f *File) SHA256() string {
	if f.Original == nil {
		return hash(f.Data)
	}
	f.Original.once.Do(func() { f.Original.sum = hash(f.Original.data) })
	return f.Original.sum
}

func hash(d []byte) string {
	sum := sha256.Sum256(d)
	return hex.EncodeToString(sum[:])
}

// mark is what lies before a byte offset: the number of line feeds and the place of the last.
type mark struct{ lines, last int }

const markStep = 1 << 12

// Position returns the 1-based line and column (in bytes) of a byte offset, 0 and 0 when
// there is none. Lines are counted once and the counts kept, so that many problems in a
// large file cost little.
func (f *File) Position(off int64) (line, col int) {
	if off < 0 || off > int64(len(f.Data)) {
		return 0, 0
	}
	f.once.Do(func() {
		m := mark{0, -1}
		for i := 0; ; i += markStep {
			f.marks = append(f.marks, m)
			if i+markStep > len(f.Data) {
				return
			}
			m = m.after(f.Data, i, i+markStep)
		}
	})
	block := int(off) / markStep
	m := f.marks[block].after(f.Data, block*markStep, int(off))
	return m.lines + 1, int(off) - m.last
}

func (m mark) after(d []byte, from, to int) mark {
	part := d[from:to]
	if k := bytes.LastIndexByte(part, '\n'); k >= 0 {
		return mark{m.lines + bytes.Count(part, []byte{'\n'}), from + k}
	}
	return m
}

// Severity tells how much a problem costs the reader.
type Severity int

// The severities: a Warning is odd but read; Skipped means that something was left out and is named.
const (
	Warning Severity = iota
	Skipped
)

// Problem is something unreadable or odd in a file. The run goes on.
type Problem struct {
	Severity   Severity
	File       string
	Line, Col  int    // 0 when there is no place in the text
	Entity     string // "#3121", an XML id or an IFC5 path; "" when none
	EntityType string // "IfcWall"
	Name       string // the element's name, when known
	GlobalID   string
	Code       string // short stable word for folding equal problems, for example "dangling-reference"
	Text       string // what was found and what was expected
	Fix        string // the way out, may be empty
}

// String prints "file:line:col: text; fix" or "file: #12 IfcWall "W" (guid): text; fix".
func (p Problem) String() string {
	var b strings.Builder
	b.WriteString(p.File)
	if p.Line > 0 {
		fmt.Fprintf(&b, ":%d:%d", p.Line, p.Col)
	}
	b.WriteString(":")
	if p.Entity != "" {
		b.WriteString(" " + p.Entity)
		if p.EntityType != "" {
			b.WriteString(" " + p.EntityType)
		}
		if p.Name != "" {
			fmt.Fprintf(&b, " %q", p.Name)
		}
		if p.GlobalID != "" {
			b.WriteString(" (" + p.GlobalID + ")")
		}
		b.WriteString(":")
	}
	b.WriteString(" " + p.Text)
	if p.Fix != "" {
		b.WriteString("; " + p.Fix)
	}
	return b.String()
}

// Log collects problems from several goroutines. The zero Log is ready to use.
type Log struct {
	mu    sync.Mutex
	kinds map[kindOfProblem]*ofKind
}

type kindOfProblem struct{ file, code string }

// ofKind are the problems of one code in one file.
type ofKind struct {
	n    int
	list []Problem // up to twice maxOfKind; those that come first in order are kept
}

// maxOfKind is how many problems of one code are kept for one file; a broken file of 100 MB
// may have a million. Those beyond are counted.
const maxOfKind = 20000

// Add records a problem.
func (l *Log) Add(p Problem) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.kinds == nil {
		l.kinds = map[kindOfProblem]*ofKind{}
	}
	k := l.kinds[kindOfProblem{p.File, p.Code}]
	if k == nil {
		k = &ofKind{}
		l.kinds[kindOfProblem{p.File, p.Code}] = k
	}
	k.n++
	if k.list = append(k.list, p); len(k.list) == 2*maxOfKind {
		k.cut()
	}
}

// cut leaves the first in order, which are the same whichever goroutine came first.
func (k *ofKind) cut() {
	sort.SliceStable(k.list, func(i, j int) bool { return less(k.list[i], k.list[j]) })
	k.list = k.list[:min(len(k.list), maxOfKind)]
}

// Count returns how many problems of some codes there are, those beyond the number kept too.
func (l *Log) Count(codes ...string) int {
	l.mu.Lock()
	defer l.mu.Unlock()
	n := 0
	for k, of := range l.kinds {
		if slices.Contains(codes, k.code) {
			n += of.n
		}
	}
	return n
}

// All returns the problems sorted by file, place, entity and text, each once. Problems
// beyond the number kept of one kind are told in one more problem.
func (l *Log) All() []Problem {
	l.mu.Lock()
	var r []Problem
	for k, of := range l.kinds {
		if of.n > maxOfKind {
			of.cut()
			r = append(r, Problem{Severity: Skipped, File: k.file, Code: k.code, Text: fmt.Sprintf("%d more problems of the kind %s are not listed", of.n-maxOfKind, k.code)})
		}
		r = append(r, of.list...)
	}
	l.mu.Unlock()
	sort.SliceStable(r, func(i, j int) bool { return less(r[i], r[j]) })
	out := r[:0]
	for i, p := range r {
		if i == 0 || p != r[i-1] {
			out = append(out, p)
		}
	}
	return out
}

func less(a, b Problem) bool {
	switch {
	case a.File != b.File:
		return a.File < b.File
	case a.Line != b.Line:
		return a.Line < b.Line
	case a.Col != b.Col:
		return a.Col < b.Col
	case len(a.Entity) != len(b.Entity):
		return len(a.Entity) < len(b.Entity)
	case a.Entity != b.Entity:
		return a.Entity < b.Entity
	case a.Code != b.Code:
		return a.Code < b.Code
	case a.Text != b.Text:
		return a.Text < b.Text
	case a.GlobalID != b.GlobalID:
		return a.GlobalID < b.GlobalID
	case a.Name != b.Name:
		return a.Name < b.Name
	case a.Fix != b.Fix:
		return a.Fix < b.Fix
	}
	return a.Severity < b.Severity
}
