package housetest

import (
	"go/ast"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// longest is how many lines a file may have. Generated files may be longer.
const longest = 400

// longer are the files that may be longer, each with its reason.
var longer = map[string]string{}

func TestFilesAreShort(t *testing.T) {
	for _, f := range tree(t) {
		n := strings.Count(f.text, "\n")
		if n > longest && !f.generated() && longer[f.path] == "" {
			t.Errorf("%s has %d lines; %d is the limit: split it by what its parts are", f.path, n, longest)
		}
		if n <= longest && longer[f.path] != "" {
			t.Logf("%s has %d lines and needs its exception no more", f.path, n)
		}
	}
}

func TestPackagesAreDocumentedOnce(t *testing.T) {
	docs, packages := map[string][]string{}, map[string]bool{}
	for _, f := range tree(t) {
		if f.test {
			continue
		}
		packages[f.dir] = true
		if f.ast.Doc != nil && !f.generated() {
			docs[f.dir] = append(docs[f.dir], f.path)
			want := "Package " + f.ast.Name.Name + " "
			text := f.ast.Doc.Text()
			if f.ast.Name.Name == "main" && !strings.HasPrefix(text, "Package") {
				continue // a command's comment begins with its name
			}
			if !strings.HasPrefix(text, want) {
				t.Errorf("%s: the package comment begins %q, want %q", f.path, text[:min(len(text), 30)], want)
			}
		}
	}
	for dir := range packages {
		if len(docs[dir]) != 1 {
			t.Errorf("%s: %d files hold a package comment %v, want 1", dir, len(docs[dir]), docs[dir])
		}
	}
}

func TestExportedThingsAreDocumented(t *testing.T) {
	for _, f := range tree(t) {
		if f.test || f.generated() {
			continue
		}
		for _, d := range f.ast.Decls {
			switch d := d.(type) {
			case *ast.FuncDecl:
				if d.Name.IsExported() && receiverIsExported(d) && d.Doc == nil {
					t.Errorf("%s: func %s has no doc comment", f.path, d.Name.Name)
				}
			case *ast.GenDecl:
				undocumented(d, func(name string) { t.Errorf("%s: %s %s has no doc comment", f.path, d.Tok, name) })
			}
		}
	}
}

// receiverIsExported leaves out methods of types that nobody outside can name, and Run,
// Error and String, which say by their interface what they do.
func receiverIsExported(d *ast.FuncDecl) bool {
	if d.Recv == nil {
		return true
	}
	if slices.Contains([]string{"Error", "String", "Unwrap", "Len", "Less", "Swap", "Push", "Pop", "Write"}, d.Name.Name) {
		return false
	}
	typ := d.Recv.List[0].Type
	if s, ok := typ.(*ast.StarExpr); ok {
		typ = s.X
	}
	id, ok := typ.(*ast.Ident)
	return ok && id.IsExported()
}

// undocumented calls report for each exported name that has a comment neither of its own
// nor of its group.
func undocumented(d *ast.GenDecl, report func(string)) {
	if d.Tok == token.IMPORT || d.Doc != nil {
		return
	}
	for _, s := range d.Specs {
		switch s := s.(type) {
		case *ast.TypeSpec:
			if s.Name.IsExported() && s.Doc == nil && s.Comment == nil {
				report(s.Name.Name)
			}
		case *ast.ValueSpec:
			for _, n := range s.Names {
				if n.IsExported() && s.Doc == nil && s.Comment == nil {
					report(n.Name)
				}
			}
		}
	}
}

// vague are names that say nothing of what is inside.
var vague = regexp.MustCompile(`(?i)(^|[/_])(utils?|helpers?|commons?|managers?|misc|base|stuff)([/_.]|$)`)

func TestNamesSayWhatIsInside(t *testing.T) {
	for _, f := range tree(t) {
		if m := vague.FindString(f.path); m != "" {
			t.Errorf("%s: %q says nothing of what is inside", f.path, strings.Trim(m, "/_."))
		}
	}
}

// Words that stay out of code and documentation: unfinished work belongs in the tracker, and
// the project speaks of no machine on which it was made.
var banned = []*regexp.Regexp{
	regexp.MustCompile(`\b(TO` + `DO|FIX` + `ME|XX` + `X|HA` + `CK)\b`),
	regexp.MustCompile(`(^|[\s"'(=])/(work|tmp|home|root)/`),
}

func TestBannedWords(t *testing.T) {
	err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(root, p)
		if d.IsDir() && (d.Name() == ".git" || rel == "testdata" || d.Name() == "testdata" && strings.Contains(rel, "ifcx")) {
			return filepath.SkipDir
		}
		switch filepath.Ext(p) {
		case ".go", ".md", ".json", ".txtar", ".mod", "":
		default:
			return nil
		}
		if d.IsDir() {
			return nil
		}
		text, err := os.ReadFile(p)
		if err != nil {
			return err
		}
		for n, line := range strings.Split(string(text), "\n") {
			for _, b := range banned {
				if m := b.FindString(line); m != "" {
					t.Errorf("%s:%d: %q stays out of the project", filepath.ToSlash(rel), n+1, strings.TrimSpace(m))
				}
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// top is what the top level of the tree may hold besides hidden files.
var top = []string{"CHANGELOG.md", "DEVELOPERS.md", "LICENSE", "README.md", "checks", "cmd", "go.mod", "go.sum", "ifcx", "schema", "testdata"}

func TestTopLevel(t *testing.T) {
	entries, err := os.ReadDir(root)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), ".") && !slices.Contains(top, e.Name()) {
			t.Errorf("%s: the top level holds only %s", e.Name(), strings.Join(top, ", "))
		}
	}
}
