// Package hostile makes files that are damaged, odd or meant to do harm, each with what a
// reader must make of it: refuse it by an error that says why, or read the rest and name the
// problem. Nothing may take much time or memory, whatever a file asks for.
package hostile

import (
	"fmt"
	"strings"

	"voidcheck/ifcx/ifctest"
)

// Outcome is what must come of a file.
type Outcome string

// The outcomes.
const (
	Refused Outcome = "refused" // by an error; exit status 3
	Named   Outcome = "named"   // read, with a problem in the log
	Read    Outcome = "read"    // read without a word, since nothing is lost
)

// File is one hostile file.
type File struct {
	Name  string // with its ending
	What  string // what is wrong with it
	Gives Outcome
	Says  string // part of the error, or the code of the problem
	Data  func() []byte
}

// Files returns all of them, in the order of the table in the documentation.
func Files() []File {
	var all []File
	for _, f := range [][]File{wrappings(), steps(), relations(), shapes(), xmls(), layers(), zips()} {
		all = append(all, f...)
	}
	return all
}

// Table returns the files as rows of a Markdown table.
func Table() string {
	var b strings.Builder
	b.WriteString("| file | what is wrong | what it gives |\n|---|---|---|\n")
	for _, f := range Files() {
		gives := string(f.Gives)
		switch f.Gives {
		case Refused:
			gives += ": \"... " + f.Says + " ...\""
		case Named:
			gives += " as `" + f.Says + "`"
		}
		fmt.Fprintf(&b, "| %s | %s | %s |\n", f.Name, f.What, gives)
	}
	return b.String()
}

// text is the content of a file as it stands.
func text(s string) func() []byte { return func() []byte { return []byte(s) } }

// house is a sound small model in IFC4 STEP.
func house() string {
	m, err := ifctest.Row(1).Build()
	if err != nil {
		panic(err) // the row is a constant
	}
	return string(m.STEP(ifctest.Disguise{}))
}

// with is a file with a project and a storey, and lines of the caller's after them. In the
// lines @S stands for the storey, @C for the context of bodies and @U for the units.
func with(lines ...string) func() []byte {
	return func() []byte {
		f := ifctest.NewFragment(ifctest.Disguise{Unit: "m"})
		data := string(f.Bytes())
		units := data[strings.Index(data, "IFCUNITASSIGNMENT")-12:]
		units = units[strings.LastIndexByte(units[:12], '#'):]
		units = units[:strings.IndexByte(units, '=')]
		body := strings.NewReplacer("@S", fmt.Sprint("#", f.Storey), "@C", fmt.Sprint("#", f.Context), "@U", units).Replace(strings.Join(lines, "\n"))
		return []byte(strings.Replace(data, "ENDSEC;\nEND-ISO", body+"\nENDSEC;\nEND-ISO", 1))
	}
}

// guid is the n-th GlobalId.
func guid(n int) string { return ifctest.GUID(fmt.Sprint("hostile/", n)) }

// wall is a wall whose body is the item #2000, contained in the storey; its own instances
// begin at #1000.
func wall(lines ...string) func() []byte {
	return with(append([]string{
		"#1000=IFCWALL('" + guid(1) + "',$,'W',$,$,#1001,#1002,$,$);",
		"#1001=IFCLOCALPLACEMENT($,#1003);",
		"#1002=IFCPRODUCTDEFINITIONSHAPE($,$,(#1004));",
		"#1003=IFCAXIS2PLACEMENT3D(#1005,$,$);",
		"#1004=IFCSHAPEREPRESENTATION(@C,'Body','SweptSolid',(#2000));",
		"#1005=IFCCARTESIANPOINT((0.,0.,0.));",
		"#1006=IFCRELCONTAINEDINSPATIALSTRUCTURE('" + guid(2) + "',$,$,$,(#1000),@S);",
		"#1007=IFCRECTANGLEPROFILEDEF(.AREA.,$,$,1.,1.);",
		"#1008=IFCDIRECTION((0.,0.,1.));",
		"#1009=IFCAXIS2PLACEMENT2D(#1010,$);",
		"#1010=IFCCARTESIANPOINT((0.,0.));",
	}, lines...)...)
}

// box is a sound body for wall.
const box = "#2000=IFCEXTRUDEDAREASOLID(#1007,#1003,#1008,3.);"

// repeat joins n texts made from their number.
func repeat(n int, sep string, one func(i int) string) string {
	var b strings.Builder
	for i := range n {
		if i > 0 {
			b.WriteString(sep)
		}
		b.WriteString(one(i))
	}
	return b.String()
}
