package materials

import (
	"strings"
	"testing"

	"voidcheck/checks/finding"
)

// Names in nine languages; gypsum words and "Mineral wool", "Gypsum" seen in public models,
// the others from memory of the trade.
func TestClass(t *testing.T) {
	d := Default()
	for name, want := range map[string]string{
		"Gypsum Wall Board": "gypsum board", "GWB-X": "gypsum board", "Gipskartonplatte GKB": "gypsum board", "gipsplaten": "gypsum board",
		"Gipsplater": "gypsum board", "Plaque de plâtre BA13": "gypsum board", "Placa de yeso laminado": "gypsum board", "5/8 Type X": "gypsum board",
		"SPF lumber": "sawn lumber", "Konstruktionsvollholz": "sawn lumber", "Bois d'épinette": "sawn lumber", "Épicéa": "sawn lumber", "Vurenhout C24": "sawn lumber",
		"Konstruksjonsvirke C24": "sawn lumber", "Madera aserrada": "sawn lumber", "2x6": "sawn lumber",
		"OSB/3": "wood structural panel", "OSB-Platte": "wood structural panel", "Contreplaqué": "wood structural panel", "Kryssfinér": "wood structural panel",
		"Plywood, sheathing": "wood structural panel", "Spanplatte P5": "particleboard", "Steinwolle": "mineral wool", "Laine de roche": "mineral wool",
		"Mineral Wool Insulation": "mineral wool", "Fiberglass batt": "glass fiber batt", "Glassull": "glass fiber batt", "Intumescent sealant": "sealant or foam",
		"XPS": "foam plastic or loose fill", "Kraft-faced batts": "foam plastic or loose fill", "Stahlblech verzinkt": "sheet steel", "Fiber cement board": "cement board",
		"Lastra in cartongesso": "gypsum board", "Gipsskiva 13": "gypsum board", "Gipsplade": "gypsum board", "Compensato di betulla": "wood structural panel", "Krydsfinér": "wood structural panel",
		"Legno lamellare": "sawn lumber", "Konstruktionsvirke C24": "sawn lumber", "Konstruktionstræ": "sawn lumber", "Lana di roccia": "mineral wool", "Stenull": "mineral wool", "Glasuld": "glass fiber batt",
		"Polistirene espanso": "foam plastic or loose fill", "Cellplast": "foam plastic or loose fill", "Hem-Fir": "sawn lumber", "Southern Yellow Pine": "sawn lumber", "Kiefer": "sawn lumber",
		// Traps of the material sheet: too little said.
		"Gesso": "", "Isolamento": "", "Isolering": "", "Fibra di legno": "", "Träfiber": "", "Legno": "", "Trä": "",
		"Insulation": "", "Dämmung": "", "Isolatie": "", "Gips": "", "Holzwolle": "", "wood wool": "", "Laine de bois": "", "Wood": "", "Default Wall": "", "": "",
		"gypsum plaster": "", "Plumber's tape": "",
	} {
		if r, _ := d.Class(name); r.Class != want {
			t.Errorf("%q is %q, want %q", name, r.Class, want)
		}
	}
}

func TestJudge(t *testing.T) {
	const mm = 0.001
	for _, tt := range []struct {
		use      Use
		material string
		mm       float64
		want     finding.Outcome
		reason   string
	}{
		// Sizes of lumber (HUD guide, NDS-S table 1B) and of boards (780 CMR 717.2.1, 24 CFR 3280.216).
		{Fireblock, "SPF lumber", 38.1, finding.Meets, ""},
		{Fireblock, "SPF lumber", 38, finding.Meets, ""},
		{Fireblock, "SPF lumber", 50.8, finding.Meets, ""}, // drawn at its nominal size
		{Fireblock, "SPF lumber", 37.9, finding.Meets, ""},
		{Fireblock, "SPF lumber", 37.7, finding.NotShown, ReasonNear},
		{Fireblock, "SPF lumber", 36, finding.NotShown, ReasonNear}, // Nordic dressed size
		{Fireblock, "SPF lumber", 35.5, finding.Deficient, ReasonThin},
		{Fireblock, "SPF lumber", 19.05, finding.Deficient, ReasonThin},
		{Fireblock, "Gypsum board", 12.7, finding.Meets, ""},
		{Fireblock, "Gipskartonplatte", 12.5, finding.NotShown, ReasonNear}, // 0.492 in
		{Fireblock, "Gypsum board", 12, finding.Deficient, ReasonThin},
		{Fireblock, "OSB", 18.256, finding.Meets, ""}, // 23/32 in
		{Fireblock, "OSB", 18.3, finding.Meets, ""},
		{Fireblock, "OSB", 18, finding.NotShown, ReasonNear}, // 0.709 in
		{Fireblock, "OSB", 19, finding.Meets, ""},
		{Fireblock, "OSB", 11.1125, finding.Deficient, ReasonThin}, // 7/16 in
		{Fireblock, "Spanplatte", 19, finding.Meets, ""},
		{Fireblock, "Spanplatte", 16, finding.Deficient, ReasonThin},
		{Fireblock, "Cement board", 6.35, finding.Meets, ""},
		{Fireblock, "Cement board", 5, finding.Deficient, ReasonThin},
		{Fireblock, "Steinwolle", 5, finding.Meets, ""}, // no thickness asked for
		{Fireblock, "Cellulose", 100, finding.NotShown, ReasonTest},
		{Fireblock, "Intumescent sealant", 20, finding.NotShown, ReasonTest},
		{Fireblock, "Sheet steel", 0.5, finding.NotShown, ReasonApproval},
		{Fireblock, "XPS", 100, finding.Deficient, ReasonOff},
		{Fireblock, "Insulation", 100, finding.NotShown, ReasonUnknown},
		{Fireblock, "Wood", 38.1, finding.Meets, ""}, // thick enough as lumber, panel or particleboard
		{Fireblock, "Wood", 19.05, finding.NotShown, ReasonUnknown},
		{Fireblock, "", 38.1, finding.NotShown, ReasonNone},
		{Fireblock, "Default", 38.1, finding.NotShown, ReasonUnknown},
		{Fireblock, "OSB", 0, finding.NotShown, ReasonNoSize},
		{Draftstop, "Gypsum board", 12.7, finding.Meets, ""},
		{Draftstop, "Gypsum", 12.7, finding.Meets, ""},
		{Draftstop, "Gypsum", 9.5, finding.NotShown, ReasonUnknown},
		{Draftstop, "Gypsum board", 9.5, finding.Deficient, ReasonThin},
		{Draftstop, "OSB", 9.525, finding.Meets, ""}, // 3/8 in
		{Draftstop, "OSB", 9.5, finding.Meets, ""},   // 0.374 in
		{Draftstop, "OSB", 9, finding.Deficient, ReasonThin},
		{Draftstop, "OSB", 10, finding.Meets, ""},
		{Draftstop, "SPF lumber", 19.05, finding.NotShown, ReasonApproval},
		{Draftstop, "SPF lumber", 15, finding.Deficient, ReasonThin},
		{Draftstop, "Fire foam", 50, finding.Deficient, ReasonOff},
		{Membrane, "Gypsum board", 12.7, finding.Meets, ""},
		{Membrane, "Plywood", 15.875, finding.Meets, ""}, // 5/8 in
		{Membrane, "Plywood", 15, finding.Deficient, ReasonThin},
	} {
		d := Default()
		v := d.Judge(Sample{Plies: []Ply{{tt.material, tt.mm * mm}}, HeightM: 0.5}, d.List(tt.use))
		if v.Outcome != tt.want || v.Reason != tt.reason {
			t.Errorf("%s of %q, %g mm: %s %q, want %s %q", tt.use, tt.material, tt.mm, v.Outcome, v.Reason, tt.want, tt.reason)
		}
	}
}

// Unfaced glass fiber as a fireblock fills the cavity over at least 16 in (780 CMR 717.2.1.2).
func TestGlassFiberHeight(t *testing.T) {
	d := Default()
	for _, tt := range []struct {
		in   float64
		want finding.Outcome
	}{{16, finding.Meets}, {24, finding.Meets}, {15.5, finding.Deficient}, {1.5, finding.Deficient}} {
		if v := d.Judge(Sample{Plies: []Ply{{"Glaswolle", 0.1397}}, HeightM: tt.in * 0.0254}, d.List(Fireblock)); v.Outcome != tt.want {
			t.Errorf("%g in high: %s %s, want %s", tt.in, v.Outcome, v.Reason, tt.want)
		}
	}
}

func TestLayers(t *testing.T) {
	d := Default()
	ply := func(name string, mm float64) Ply { return Ply{name, mm / 1000} }
	for _, tt := range []struct {
		name  string
		plies []Ply
		want  finding.Outcome
	}{
		{"two of 1 in nominal", []Ply{ply("SPF lumber", 19.05), ply("SPF lumber", 19.05)}, finding.Meets},
		{"one of 1 in nominal", []Ply{ply("SPF lumber", 19.05)}, finding.Deficient},
		{"two thinner ones", []Ply{ply("SPF lumber", 16), ply("SPF lumber", 16)}, finding.Deficient},
		{"board on foam", []Ply{ply("XPS", 50), ply("Gypsum board", 12.7)}, finding.Meets},
		{"thin board on foam", []Ply{ply("XPS", 50), ply("Gypsum board", 9.5)}, finding.Deficient},
	} {
		if v := d.Judge(Sample{Plies: tt.plies}, d.List(Fireblock)); v.Outcome != tt.want {
			t.Errorf("%s: %s %s, want %s", tt.name, v.Outcome, v.Reason, tt.want)
		}
	}
}

// A material that says nothing leaves it to the words; a material that is known does not.
func TestWords(t *testing.T) {
	d := Default()
	v := d.Judge(Sample{Plies: []Ply{{"", 0.0127}}, Words: []string{"Draftstop 1/2 in gypsum board"}}, d.List(Draftstop))
	if v.Outcome != finding.Meets || !v.ByWords {
		t.Errorf("by words: %+v", v)
	}
	v = d.Judge(Sample{Plies: []Ply{{"XPS", 0.0127}}, Words: []string{"Gypsum board"}}, d.List(Draftstop))
	if v.Outcome != finding.Deficient || v.ByWords {
		t.Errorf("by material: %+v", v)
	}
	v = d.Judge(Sample{Plies: []Ply{{"XPS", 0.0127}}, Test: "ASTM E84"}, d.List(Draftstop))
	if v.Outcome != finding.NotShown || v.Reason != ReasonTest {
		t.Errorf("foam with a test reference: %+v", v)
	}
}

func TestParseEntry(t *testing.T) {
	d := Default()
	for text, want := range map[string]Entry{
		"gypsum board 1/2 in":              {Class: "gypsum board", Layers: 1, ThicknessM: 0.0127},
		"Gypsum_Board 12.5 mm":             {Class: "gypsum board", Layers: 1, ThicknessM: 0.0125},
		"2 layers of sawn lumber 3/4 in":   {Class: "sawn lumber", Layers: 2, ThicknessM: 0.01905},
		"sawn lumber 1 1/2 in":             {Class: "sawn lumber", Layers: 1, ThicknessM: 0.0381},
		"glass fibre batt 2 in 16 in high": {Class: "glass fiber batt", Layers: 1, ThicknessM: 0.0508, HeightM: 0.4064},
		"sheet steel 0.38 mm if approved":  {Class: "sheet steel", Layers: 1, ThicknessM: 0.00038, If: "approved"},
		"mineral wool":                     {Class: "mineral wool", Layers: 1},
	} {
		want.Text = text
		if got, err := d.ParseEntry(text); err != nil || got != want {
			t.Errorf("%q: %+v, %v; want %+v", text, got, err, want)
		}
	}
	for text, want := range map[string]string{
		"gypsun board 1/2 in":      `"gypsun board" is not a class of material`,
		"gypsum board 1/2 in 1 in": "names two thicknesses",
		"0 layers of gypsum board": "0 layers are not a number",
		"1/2 in":                   "is not a class",
		"":                         "is not a class",
	} {
		if _, err := d.ParseEntry(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
}

// A default list survives being written as a parameter and read again.
func TestListText(t *testing.T) {
	d := Default()
	for _, u := range []Use{Fireblock, Draftstop, Membrane, Chimney} {
		l, err := d.Parse(strings.Split(d.List(u).Text(), ", "))
		if err != nil || len(l) != len(d.List(u)) {
			t.Errorf("%s: %d entries of %d, %v", u, len(l), len(d.List(u)), err)
		}
	}
}

func TestReadErrors(t *testing.T) {
	good := string(defaultJSON)
	for name, tt := range map[string]struct{ from, to, want string }{
		"schema": {`"allowance_mm": 0.3`, `"allowance_mm": "0.3"`, "m.json:4:19: allowance_mm"},
		"class":  {`"entry": "cement board 1/4 in"`, `"entry": "cement bored 1/4 in"`, `"cement bored" is not a class`},
		"joist":  {`"nominal": "2x10"`, `"nominal": "2x11"`, "2x11 has no actual size"},
	} {
		_, err := Read("m.json", []byte(strings.Replace(good, tt.from, tt.to, 1)))
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %v, want %q", name, err, tt.want)
		}
	}
}

func TestActual(t *testing.T) {
	w, h, ok := Default().Actual("2x10")
	if !ok || w != 0.0381 || h != 0.23495 { // 1-1/2 x 9-1/4 in
		t.Errorf("2x10 is %v x %v, %v", w, h, ok)
	}
	if _, _, ok := Default().Actual("2x11"); ok {
		t.Error("2x11 has a size")
	}
}

func TestDeclared(t *testing.T) {
	for text, want := range map[string]float64{"Fireblock 38x508": 0.038, "2x6": 0.0381, "KVH 60x120": 0.06, "Block 38,1 x 89": 0.0381, "Draftstop": 0, "DS 3x": 0, "760 x 650mm": 0.65} {
		if got, ok := Default().Declared(text); got != want || ok != (want > 0) {
			t.Errorf("%q declares %v, %v; want %v", text, got, ok, want)
		}
	}
}

func FuzzParseEntry(f *testing.F) {
	f.Add("2 layers of sawn lumber 3/4 in if tested")
	f.Fuzz(func(t *testing.T, s string) {
		d := Default()
		e, err := d.ParseEntry(s)
		if err == nil && e.Class == "" {
			t.Errorf("%q: no class and no error", s)
		}
		d.Class(s)
	})
}

// Layers that are thick enough only together are the reviewer's; the materials of one solid are
// no layers.
func TestLayersTogether(t *testing.T) {
	d := Default()
	for _, tt := range []struct {
		use    Use
		plies  []Ply
		mixed  bool
		want   finding.Outcome
		reason string
	}{
		{Draftstop, []Ply{{"Gypsum board", 0.0095}, {"Gypsum board", 0.0095}}, false, finding.NotShown, ReasonLayers},
		{Draftstop, []Ply{{"Gypsum board", 0.006}, {"Gypsum board", 0.006}}, false, finding.Deficient, ReasonThin},
		{Draftstop, []Ply{{"Gypsum board", 0.0095}, {"Gypsum board", 0.0095}}, true, finding.Deficient, ReasonThin},
		{Fireblock, []Ply{{"OSB", 0.0095}, {"OSB", 0.0095}}, false, finding.NotShown, ReasonLayers},
		{Fireblock, []Ply{{"OSB", 0.012}, {"Gypsum board", 0.0095}}, false, finding.Deficient, ReasonThin},
		{Fireblock, []Ply{{"Lumber", 0.019}, {"Lumber", 0.019}}, false, finding.Meets, ""}, // two thicknesses of 1 in nominal
	} {
		v := d.Judge(Sample{Plies: tt.plies, Mixed: tt.mixed, HeightM: 1}, d.List(tt.use))
		if v.Outcome != tt.want || v.Reason != tt.reason {
			t.Errorf("%s of %v: %s, %q, want %s, %q", tt.use, tt.plies, v.Outcome, v.Reason, tt.want, tt.reason)
		}
	}
}
