package housetest

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const root = "../../.."

// goFile is one Go file of the tree.
type goFile struct {
	path string // slash-separated, relative to the root
	dir  string
	test bool
	text string
	ast  *ast.File
}

// generated reports whether a tool wrote the file.
func (f *goFile) generated() bool { return ast.IsGenerated(f.ast) }

// tree reads every Go file, testdata left out.
func tree(t *testing.T) []*goFile {
	t.Helper()
	var out []*goFile
	fset := token.NewFileSet()
	err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := d.Name()
		if d.IsDir() && p != root && (name == "testdata" || strings.HasPrefix(name, ".")) {
			return filepath.SkipDir
		}
		if d.IsDir() || filepath.Ext(name) != ".go" {
			return nil
		}
		text, err := os.ReadFile(p)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, p)
		if err != nil {
			return err
		}
		f := &goFile{path: filepath.ToSlash(rel), test: strings.HasSuffix(name, "_test.go"), text: string(text)}
		f.dir = f.path[:max(0, strings.LastIndexByte(f.path, '/'))]
		f.ast, err = parser.ParseFile(fset, p, text, parser.ParseComments)
		out = append(out, f)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(out) < 50 {
		t.Fatalf("only %d Go files found: the walk starts in the wrong place", len(out))
	}
	return out
}
