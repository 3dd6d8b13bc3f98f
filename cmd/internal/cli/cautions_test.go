package cli

import (
	"archive/zip"
	"bytes"
	"html"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"voidcheck/checks/finding"
	"voidcheck/checks/lexicon"
	"voidcheck/cmd/internal/ids"
	"voidcheck/cmd/internal/output/checklist"
	"voidcheck/cmd/internal/output/fixture"
	"voidcheck/cmd/internal/output/letter"
	"voidcheck/cmd/internal/output/paper"
	"voidcheck/cmd/internal/output/preplan"
	"voidcheck/cmd/internal/review"
	"voidcheck/cmd/internal/rounds"
)

// Every output carries every caution, whatever its format, and where the model could not be
// judged that too.
func TestEveryOutputCarriesTheCautions(t *testing.T) {
	t.Chdir("../output/table") // fixtures name their files from a package of an output
	r := fixture.Demo(t)
	if len(r.Cautions) < len(finding.Cautions) {
		t.Fatalf("the findings carry %d cautions", len(r.Cautions))
	}
	r.Unjudged = "Most of the model could not be judged: the geometry of 9 of its 10 elements cannot be read."
	r.Cautions = append([]string{r.Unjudged}, r.Cautions...)
	out := map[string]func(io.Writer) error{
		"rounds.json": func(w io.Writer) error { return rounds.WriteJSON(w, rounds.Compare(r, r)) },
		"rounds.txt":  func(w io.Writer) error { return rounds.WriteTable(w, rounds.Compare(r, r)) },
	}
	for _, f := range formats {
		out[f.file] = func(w io.Writer) error { return f.write(w, r) }
	}
	sheet, err := preplan.Make(r)
	if err != nil {
		t.Fatal(err)
	}
	for name, d := range map[string]*paper.Document{"letter": letter.Make(r, letter.Options{}), "checklist": checklist.Make(r), "preplan": sheet} {
		for _, f := range []paper.Format{paper.HTML, paper.PDF, paper.DOCX} {
			out[name+"."+string(f)] = func(w io.Writer) error { return paper.Write(w, d, f) }
		}
	}
	for name, write := range out {
		var b bytes.Buffer
		if err := write(&b); err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		carries(t, name, b.Bytes(), r.Cautions)
	}
	var b bytes.Buffer
	defaults, err := review.ReadAdoption("defaults")
	if err != nil {
		t.Fatal(err)
	}
	if err := ids.Write(&b, defaults, lexicon.Default()); err != nil {
		t.Fatal(err)
	}
	carries(t, "adoption.ids", b.Bytes(), finding.Cautions)
}

var (
	tags   = regexp.MustCompile(`<[^>]*>`)
	blanks = regexp.MustCompile(`\s+`)
)

// plain is a text without markup, quoting and line breaks.
func plain(s string) string {
	s = strings.NewReplacer(`\"`, `"`, `""`, `"`, "“", `"`, "”", `"`).Replace(html.UnescapeString(tags.ReplaceAllString(s, " ")))
	return strings.TrimSpace(blanks.ReplaceAllString(s, " "))
}

// carries reports cautions that an output does not hold.
func carries(t *testing.T, name string, data []byte, cautions []string) {
	t.Helper()
	text := string(data)
	switch {
	case bytes.HasPrefix(data, []byte("PK")):
		z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		text = ""
		for _, m := range z.File {
			f, err := m.Open()
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			one, err := io.ReadAll(f)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			text += string(one) + "\n"
		}
	case bytes.HasPrefix(data, []byte("%PDF")):
		tool, err := exec.LookPath("pdftotext")
		if err != nil {
			t.Logf("%s: pdftotext (Debian: poppler-utils) is not here", name)
			return
		}
		file := filepath.Join(t.TempDir(), name)
		if err := os.WriteFile(file, data, 0o644); err != nil {
			t.Fatal(err)
		}
		one, err := exec.Command(tool, "-raw", file, "-").Output()
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		text = string(one)
	}
	text = plain(text)
	for _, c := range cautions {
		if !strings.Contains(text, plain(c)) {
			t.Errorf("%s does not say %q", name, c)
		}
	}
}
