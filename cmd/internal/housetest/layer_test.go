package housetest

import (
	"strconv"
	"strings"
	"testing"
)

// layers names the packages and what of the project each may import, lowest first. A name
// that ends in /... stands for everything below it as well. Tests may import more: they
// build fixtures and run the packages above.
var layers = []struct {
	pkg string
	may string
	why string // why not more
}{
	{pkg: "schema", why: "it is data"},
	{pkg: "ifcx/geom", why: "it knows nothing of IFC, of buildings or of fire"},
	{pkg: "ifcx/express", why: "it is tables"},
	{pkg: "ifcx/express/gen", why: "it writes those tables"},
	{pkg: "ifcx/source", why: "it holds bytes and places in them"},
	{pkg: "ifcx/graph", may: "ifcx/express ifcx/source", why: "instances whatever the syntax"},
	{pkg: "ifcx/step", may: "ifcx/express ifcx/graph ifcx/source", why: "one syntax"},
	{pkg: "ifcx/ifcxml", may: "ifcx/express ifcx/graph ifcx/source", why: "one syntax"},
	{pkg: "ifcx/shape", may: "ifcx/geom ifcx/graph ifcx/source", why: "representation items to solids"},
	{pkg: "ifcx/model", may: "ifcx/express ifcx/geom ifcx/graph ifcx/shape ifcx/source", why: "the building as the files describe it"},
	{pkg: "ifcx/ifcjson", may: "ifcx/express ifcx/geom ifcx/graph ifcx/model ifcx/shape ifcx/source schema", why: "one syntax, and its layers"},
	{pkg: "ifcx", may: "ifcx/...", why: "it opens files and judges nothing"},
	{pkg: "ifcx/ifctest/...", may: "ifcx/express ifcx/geom ifcx/ifctest ifcx/ifctest/hostile ifcx/ifctest/bare", why: "it writes files for the readers to read"},

	{pkg: "checks/measure", why: "numbers and units"},
	{pkg: "checks/finding", may: "checks/measure ifcx/geom", why: "the findings contract"},
	{pkg: "checks/void", may: "ifcx/geom", why: "the solver has never heard of IFC"},
	{pkg: "checks/spread", may: "checks/void ifcx/geom", why: "the graph of compartments and openings"},
	{pkg: "checks/lexicon", may: "schema", why: "words to concepts"},
	{pkg: "checks/adoption", may: "checks/measure schema", why: "figures of the law"},
	{pkg: "checks/recognise", may: "checks/adoption checks/lexicon checks/void ifcx/geom ifcx/model ifcx/shape", why: "it judges nothing"},
	{pkg: "checks/grade", may: "checks/finding checks/spread checks/void", why: "comparisons that checks share"},
	{pkg: "checks/place", may: "checks/finding checks/measure checks/recognise checks/void ifcx/geom ifcx/model", why: "words for places"},
	{pkg: "checks/crossing", may: "checks/recognise checks/void ifcx/geom ifcx/model", why: "where services pass"},
	{pkg: "checks/drawing", may: "checks/finding checks/recognise checks/void ifcx/geom ifcx/model", why: "it draws nothing and judges nothing"},
	{pkg: "checks", may: "checks/adoption checks/finding checks/grade checks/measure checks/recognise checks/spread checks/void ifcx/geom", why: "the contract and the driver know no check"},
	{pkg: "checks/unitline", may: "checks checks/finding checks/grade checks/place checks/void ifcx/geom", why: "what the checks of lines share"},
	{pkg: "checks/materials", may: "checks/finding checks/lexicon checks/measure schema", why: "lists of materials look at no building"},
	{pkg: "checks/access", may: "checks/lexicon checks/recognise checks/void ifcx/geom ifcx/model", why: "openings for people through stops"},
	{pkg: "checks/equipment", may: "checks/lexicon checks/recognise ifcx/model", why: "what services are"},
	{pkg: "checks/stopmaterial", may: "checks checks/finding checks/grade checks/lexicon checks/materials checks/place checks/recognise checks/unitline checks/void ifcx/geom ifcx/model",
		why: "what the checks of materials share"},
	{pkg: "checks/propose", may: "checks checks/crossing checks/finding checks/grade checks/measure checks/place checks/recognise checks/void ifcx/geom", why: "it judges nothing and reads no IFC"},
	{pkg: "checks/critical", may: "checks checks/finding checks/measure checks/place checks/recognise checks/spread checks/void ifcx/geom", why: "it judges nothing and reads no IFC"},
	{pkg: "checks/beyond", may: "checks checks/adoption checks/finding checks/measure checks/recognise checks/void", why: "a table of what no check decides"},
	{pkg: "checks/shown", may: "checks checks/adoption checks/lexicon checks/materials checks/place checks/recognise checks/spread checks/stopmaterial checks/void ifcx/geom", why: "what the model shows for conditions"},
	{pkg: "checks/checktest", may: "checks checks/adoption checks/finding checks/lexicon checks/measure checks/recognise checks/shown checks/spread checks/void ifcx/...", why: "the harness of checks"},
	{pkg: "checks/catalogue", may: "checks checks/catalogue/...", why: "a list"},
	{pkg: "checks/catalogue/...", may: "checks checks/access checks/adoption checks/beyond checks/crossing checks/equipment checks/finding checks/grade checks/materials checks/measure checks/place checks/recognise checks/spread checks/stopmaterial checks/unitline checks/void ifcx/geom ifcx/source",
		why: "no check imports another, and none reads IFC"},

	{pkg: "cmd/internal/output/table", may: "checks/finding checks/measure cmd/internal/output/words", why: "outputs are made from findings alone"},
	{pkg: "cmd/internal/output/survey", may: "checks/finding checks/measure checks/recognise cmd/internal/output/table", why: "it prints what was recognised"},
	{pkg: "cmd/internal/output/archive", may: "checks/finding", why: "it knows parts of files and no findings"},
	{pkg: "cmd/internal/output/words", may: "checks/finding checks/measure", why: "words for documents"},
	{pkg: "cmd/internal/output/bcf", may: "checks/finding cmd/internal/output/archive cmd/internal/output/plan cmd/internal/output/words", why: "outputs are made from findings alone"},
	{pkg: "cmd/internal/output/plan", may: "checks/finding checks/measure cmd/internal/output/words", why: "it draws findings on paper"},
	{pkg: "cmd/internal/output/paper", may: "checks/finding cmd/internal/output/archive cmd/internal/output/plan", why: "it sets documents and knows no findings"},
	{pkg: "cmd/internal/output/letter", may: "checks/finding checks/measure cmd/internal/output/paper cmd/internal/output/words", why: "outputs are made from findings alone"},
	{pkg: "cmd/internal/output/checklist", may: "checks/finding checks/measure cmd/internal/output/paper cmd/internal/output/plan cmd/internal/output/words", why: "outputs are made from findings alone"},
	{pkg: "cmd/internal/output/preplan", may: "checks/finding checks/measure cmd/internal/output/paper cmd/internal/output/plan cmd/internal/output/words", why: "outputs are made from findings alone"},
	{pkg: "cmd/internal/output/xlsx", may: "checks/finding checks/measure cmd/internal/output/archive cmd/internal/output/words", why: "outputs are made from findings alone"},
	{pkg: "cmd/internal/output/sarif", may: "checks/finding cmd/internal/output/archive cmd/internal/output/words", why: "outputs are made from findings alone"},
	{pkg: "cmd/internal/output/fixture", may: "checks/finding checks/measure cmd/internal/review", why: "findings for the tests of outputs"},
	{pkg: "cmd/internal/output/...", may: "checks/finding checks/measure schema", why: "outputs are made from findings alone"},
	{pkg: "cmd/internal/intake", may: "checks/measure cmd/internal/output/table ifcx/model", why: "it reads no geometry"},
	{pkg: "cmd/internal/handbook", may: "checks checks/adoption", why: "documentation made from the catalogue"},
	{pkg: "cmd/internal/review", may: "checks/... ifcx/... schema", why: "the pipeline prints nothing"},
	{pkg: "cmd/internal/kept", may: "checks/adoption checks/recognise checks/void cmd/internal/review ifcx/geom ifcx/model ifcx/shape ifcx/source", why: "it keeps what the pipeline made and judges nothing"},
	{pkg: "cmd/internal/housetest", why: "it has no code"},
	{pkg: "cmd/internal/cli", may: "checks/... cmd/internal/... ifcx/... schema", why: "the skin"},
	{pkg: "cmd/internal/...", may: "checks/... cmd/internal/... schema", why: "thin skins over findings"},
	{pkg: "cmd/voidcheck", may: "cmd/internal/cli", why: "the command is a package"},
}

const module = "voidcheck/"

func TestImportsRunDownwards(t *testing.T) {
	used := map[string]bool{}
	for _, f := range tree(t) {
		if f.test {
			continue
		}
		found := false
		for _, l := range layers {
			if !matches(l.pkg, f.dir) {
				continue
			}
			found, used[l.pkg] = true, true
			for _, i := range f.ast.Imports {
				path, err := strconv.Unquote(i.Path.Value)
				if err != nil {
					t.Fatal(err)
				}
				rel, ours := strings.CutPrefix(path, module)
				if ours && !allowed(l.may, rel) {
					t.Errorf("%s imports %s; %s may import %q: %s", f.path, rel, l.pkg, l.may, l.why)
				}
			}
			break
		}
		if !found {
			t.Errorf("%s: the package stands in no layer; give it a line in the table of this test", f.path)
		}
	}
	for _, l := range layers {
		if !used[l.pkg] && !strings.HasSuffix(l.pkg, "/...") {
			t.Logf("no file is in layer %s", l.pkg)
		}
	}
}

// matches reports whether a directory is the named package, or below it for x/....
func matches(pattern, dir string) bool {
	base, below := strings.CutSuffix(pattern, "/...")
	return dir == base || below && strings.HasPrefix(dir, base+"/")
}

func allowed(may, pkg string) bool {
	for _, m := range strings.Fields(may) {
		if matches(m, pkg) {
			return true
		}
	}
	return false
}
