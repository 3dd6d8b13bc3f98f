package step

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/source"
)

// FuzzRead feeds whole files: nothing may panic or hang, every text that comes out is
// UTF-8, every reference leads to an instance, and every problem has a text.
func FuzzRead(f *testing.F) {
	for _, s := range []string{
		head + "#1=IFCWALL('2O2Fr$t4X7Zf8NOew3FLOH',$,'W''1',$,$,#2,$,$,.SOLIDWALL.);\n#2=IFCLOCALPLACEMENT(#3,#4);\n" + tail,
		head + "#1=IFCPROPERTYSINGLEVALUE('\\X2\\00E9\\X0\\ \\S\\' \\PE\\',$,IFCLENGTHMEASURE(1.E-5),$);/* ' */\n" + tail,
		head + "#1=(IFCREPRESENTATIONITEM()IFCDIRECTION((0.,1.)));\n#1=IFCDIRECTION((,));\n#7=IFCX(\"0F\",((((1))))\n" + tail,
		"#1=IFCDIRECTION((0.,NAN,-1.#IND));", "DATA;\n#1=A('\n#2=B('';\n#3=C(/*", "\xef\xbb\xbfISO-10303-21;HEADER;FILE_SCHEMA(('IFC4'));ENDSEC;DATA;ENDSEC;",
	} {
		f.Add([]byte(s))
	}
	for _, pattern := range []string{"malformed/*.ifc", "models/gable*.ifc", "models/wood*.ifc"} {
		if names, _ := filepath.Glob("../../../shared/data/" + pattern); len(names) > 0 {
			for _, n := range names {
				if d, err := os.ReadFile(n); err == nil && len(d) < 30000 {
					f.Add(d)
				}
			}
		}
	}
	f.Fuzz(func(t *testing.T, d []byte) {
		var log source.Log
		g, err := Read(&source.File{Name: "f.ifc", Data: d}, &log)
		if err != nil {
			if !strings.HasPrefix(err.Error(), "f.ifc: ") {
				t.Errorf("error without the file's name: %v", err)
			}
			return
		}
		g.Verify()
		known := len(log.All())
		for _, id := range g.All() {
			for _, v := range g.Attrs(id) {
				sound(t, g, v)
			}
			sameReadings(t, g, id)
		}
		if all := log.All(); len(all) > known {
			t.Errorf("an instance taken for plain is not: %v", all)
		}
		for _, p := range log.All() {
			if p.Text == "" || p.Code == "" || p.File != "f.ifc" {
				t.Errorf("problem without text, code or file: %+v", p)
			}
		}
	})
}

// sameReadings compares what is read straight from the text of an instance with its values.
func sameReadings(t *testing.T, g *graph.Graph, id graph.ID) {
	t.Helper()
	vals := g.Attrs(id)
	for i, a := range g.Entity(id).Attrs {
		if i >= len(vals) || g.Entity(id).Index(a.Name) != i {
			continue
		}
		v := vals[i]
		f, isFloat := g.Float(id, a.Name)
		wantF, wantFloat := v.AsFloat()
		l, isList := g.Floats(id, a.Name)
		wantL, wantList := v.Floats()
		b, known := g.Bool(id, a.Name)
		wantB, wantKnown := v.AsBool()
		n, isInt := g.Int(id, a.Name)
		wantN, wantInt := v.AsInt()
		if g.Str(id, a.Name) != v.AsString() || g.Enum(id, a.Name) != v.AsEnum() || g.Ref(id, a.Name) != v.AsRef() ||
			isFloat != wantFloat || isFloat && f != wantF || isList != wantList || !slices.Equal(l, wantL) ||
			!slices.Equal(g.Refs(id, a.Name), v.Refs()) || b != wantB || known != wantKnown || n != wantN || isInt != wantInt {
			t.Fatalf("%s.%s of #%d reads otherwise from the text than from its value %+v: %v", g.Type(id), a.Name, id, v, g.Str(id, a.Name))
		}
	}
}

func sound(t *testing.T, g *graph.Graph, v graph.Value) {
	if utf8.ValidString(v.Text) == false {
		t.Errorf("%q is not UTF-8", v.Text)
	}
	if v.Kind == graph.Ref && !g.Has(v.Ref) {
		t.Errorf("#%d leads nowhere", v.Ref)
	}
	for _, x := range v.List {
		sound(t, g, x)
	}
}

// FuzzIndex compares the index pass with the plain scanner on files without damage.
func FuzzIndex(f *testing.F) {
	f.Add([]byte("#1=A('x;''y');/*;*/#2=B(\\);"), true)
	f.Add([]byte(`#1=A('\S\'');#2=B('\\');`), false)
	f.Fuzz(func(t *testing.T, d []byte, _ bool) {
		s := newScanner(d)
		s.pos = 0
		if err := s.run(); err != nil || len(s.faults) > 0 || len(s.headers) > 0 || len(s.sections) > 0 {
			t.Skip()
		}
		for _, n := range s.names {
			if n[0] == '(' {
				t.Skip()
			}
		}
		ids, _ := plainRecords(d)
		if len(ids) != len(s.ids) {
			t.Fatalf("%d instances, the plain scanner has %d", len(s.ids), len(ids))
		}
	})
}
