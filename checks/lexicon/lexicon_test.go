package lexicon

import (
	"strings"
	"testing"
)

func TestFold(t *testing.T) {
	for in, want := range map[string]string{
		"FloorTruss_FT-14":      "floor truss ft 14",
		"OSBPlatte":             "osb platte",
		"Fachwerkträger":        "fachwerktrager",
		"Entretoise coupe-feu":  "entretoise coupe feu",
		"  Brandschott (Dach) ": "brandschott dach",
		"Fußschwelle":           "fussschwelle",
		"Røyksperre":            "royksperre",
		"2x10 @16\"":            "2x10 @16",
		"":                      "",
	} {
		if got := Fold(in); got != want {
			t.Errorf("Fold(%q) = %q, want %q", in, got, want)
		}
	}
}

// Words: material words from code-facts section 3, element words from memory of the trade.
func TestConceptsByName(t *testing.T) {
	l := Default()
	for name, want := range map[string]string{
		"Draftstop DS-1": "draftstop", "DraughtStop": "draftstop", "Rauchschott": "draftstop", "Cloison de recoupement": "draftstop",
		"FIREBLOCK_07": "fireblock", "Fire-Blocking": "fireblock", "Brandriegel": "fireblock", "Entretoise": "fireblock", "Strongback": "fireblock", "Spikerslag": "fireblock",
		"Truss blocking": "fireblock",
		"Floor Truss":    "floor-truss", "FT-14": "floor-truss", "Nagelplattenbinder": "roof-truss", "Fermette": "roof-truss", "Takstol": "roof-truss",
		"Top chord": "chord", "Obergurt": "chord", "Membrure inférieure": "chord", "Web 3": "web", "Diagonale": "web",
		"Bottom Plate": "plate", "Fußschwelle": "plate", "Lisse basse": "plate", "Bunnsvill": "plate", "Toppsvill": "plate",
		"Stud": "stud", "Ständer": "stud", "Montant": "stud", "Stendere": "stud",
		"Sparren": "rafter", "Chevron": "rafter", "Rim board": "rim", "Randbohle": "rim", "Kantbjelke": "rim",
		"Joist 2x10": "joist", "Deckenbalken": "joist", "Solive": "joist", "Modulbjelke": "joist", "Stikkbjelke": "joist", "Vekselbjelke": "beam",
		"Subfloor": "deck", "Ceiling GWB": "ceiling", "Plafond": "ceiling", "Himling": "ceiling", "Roof sheathing": "roof", "Dachschalung": "roof",
		"Pipe collar": "seal", "Brandschutzmanschette": "seal", "Mastic coupe-feu": "seal",
		"Gipskartonplatte": "finish", "Plaque de plâtre": "finish",
		"Party Wall": "separation", "Wohnungstrennwand": "separation", "Mur mitoyen": "separation",
		"Studio lamp": "", "*": "", "Б-14": "",
	} {
		got := ""
		if es := l.Concepts(Subject{Entity: "IfcBuildingElementProxy", Names: []string{name}}); len(es) > 0 {
			got = es[0].Concept
		}
		if got != want {
			t.Errorf("%q reads as %q, want %q", name, got, want)
		}
	}
}

func TestConceptsByType(t *testing.T) {
	l := Default()
	for _, c := range []struct {
		s      Subject
		want   string
		signal string
	}{
		{Subject{Entity: "IfcBeam", Predefined: "JOIST", Names: []string{"stud"}}, "joist", "predefined"},
		{Subject{Entity: "IfcSlab", Predefined: "ROOF"}, "roof", "predefined"},
		{Subject{Entity: "IfcPipeSegment", Parents: []string{"IfcFlowSegment", "IfcDistributionFlowElement", "IfcDistributionElement"}}, "service", "entity"},
		{Subject{Entity: "IfcWallStandardCase", Parents: []string{"IfcWall"}}, "wall", "entity"},
		{Subject{Entity: "IfcWall", Property: func(set, name string) (string, bool) {
			return "true", set == "Pset_WallCommon" && name == "Compartmentation"
		}}, "separation", "property"},
	} {
		es := l.Concepts(c.s)
		if len(es) == 0 || es[0].Concept != c.want || es[0].Signal != c.signal {
			t.Errorf("%s.%s reads as %+v, want %s by %s", c.s.Entity, c.s.Predefined, es, c.want, c.signal)
		}
	}
}

// Material words are those of code-facts section 3 and names seen in the sample models.
func TestMaterials(t *testing.T) {
	l := Default()
	for name, want := range map[string]string{
		"Gipskartonplatte": "gypsum_board", "gipsplaten": "gypsum_board", "gipsplater": "gypsum_board", "Plaque de plâtre": "gypsum_board", "Placa de yeso laminado": "gypsum_board",
		"Gypsum": "gypsum_board", "Plasterboard": "gypsum_board", "Mineral Wool Insulation": "mineral_fiber_batt", "Mineral wool": "mineral_fiber_batt", "Steinwolle": "mineral_fiber_batt",
		"Dämmung": "insulation_unknown", "Holzwolle": "insulation_unknown", "Metal Stud Layer": "metal_stud", "Masonry - Concrete Blocks": "concrete",
		"Structure - Wood Joist/Rafter Layer, Batt Insulation": "mineral_fiber_batt", "Air": "air", "Luftschicht": "air", "Lame d'air": "air",
		"OSB": "wood_structural_panel", "Sperrholz": "wood_structural_panel", "Contreplaqué": "wood_structural_panel", "Kantholz": "sawn_lumber", "Bois massif": "sawn_lumber",
		"Konstruksjonsvirke": "sawn_lumber", "Spanplatte": "particleboard", "Beton C25": "concrete", "": "",
	} {
		c, _ := l.Material(name)
		if c.Class != want {
			t.Errorf("Material(%q) = %q, want %q", name, c.Class, want)
		}
	}
}

func TestParseErrors(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"no format":   {`{"concepts":[{"concept":"stud","match":[]}],"materials":[{"class":"a","role":"board","combustible":true,"words":"x"}]}`, "format"},
		"bad concept": {`{"format":"voidcheck-lexicon-1","concepts":[{"concept":"stood","match":[]}],"materials":[{"class":"a","role":"board","combustible":true,"words":"x"}]}`, "concepts"},
		"bad pattern": {`{"format":"voidcheck-lexicon-1","concepts":[{"concept":"stud","match":[{"name":"a("}]}],"materials":[{"class":"a","role":"board","combustible":true,"words":"x"}]}`, "concepts.0.match.0.name: \"a(\" is not a pattern"},
		"not json":    {`{"format":`, ":"},
		"twice":       {`{"format":"voidcheck-lexicon-1","format":"voidcheck-lexicon-1"}`, "format"},
	} {
		_, err := Parse("lex.json", []byte(c.text))
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "lex.json") {
			t.Errorf("%s: error %v, want it to name the file and %q", name, err, c.want)
		}
	}
}

func FuzzParse(f *testing.F) {
	f.Add([]byte(defaultJSON))
	f.Add([]byte(`{"format":"voidcheck-lexicon-1","concepts":[{"concept":"stud","match":[{"name":"stud"}]}],"materials":[{"class":"a","role":"board","combustible":true,"words":"x"}]}`))
	f.Add([]byte(`{"format":"voidcheck-lexicon-1","concepts":[{"concept":"stud","match":[{"name":"stud"}]}],"materials":[{"class":"a","role":"board","combustible":true,"words":"(x"}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		l, err := Parse("lex.json", data)
		if err != nil {
			if !strings.HasPrefix(err.Error(), "lex.json") {
				t.Errorf("error without the file's name: %v", err)
			}
			return
		}
		l.Concepts(Subject{Entity: "IfcWall", Names: []string{"Unit separation wall"}})
		l.Material("Gypsum board")
	})
}
