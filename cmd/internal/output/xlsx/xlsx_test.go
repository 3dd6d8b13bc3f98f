package xlsx

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"io"
	"regexp"
	"strings"
	"testing"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/fixture"
)

func parts(t *testing.T, r *finding.Report) map[string][]byte {
	t.Helper()
	var b, again bytes.Buffer
	if err := Write(&b, r); err != nil {
		t.Fatal(err)
	}
	if err := Write(&again, r); err != nil || !bytes.Equal(b.Bytes(), again.Bytes()) {
		t.Errorf("two writings differ, or %v", err)
	}
	z, err := zip.NewReader(bytes.NewReader(b.Bytes()), int64(b.Len()))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][]byte{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if out[f.Name], err = io.ReadAll(r); err != nil {
			t.Fatal(err)
		}
	}
	return out
}

// worksheet is a sheet as another reader sees it.
type worksheet struct {
	Pane struct {
		YSplit string `xml:"ySplit,attr"`
		State  string `xml:"state,attr"`
	} `xml:"sheetViews>sheetView>pane"`
	Rows []struct {
		R     int `xml:"r,attr"`
		Cells []struct {
			R string `xml:"r,attr"`
			S int    `xml:"s,attr"`
			T string `xml:"t,attr"`
			V string `xml:"v"`
			F string `xml:"f"`
			I string `xml:"is>t"`
		} `xml:"c"`
	} `xml:"sheetData>row"`
	Filter struct {
		Ref string `xml:"ref,attr"`
	} `xml:"autoFilter"`
}

func read(t *testing.T, data []byte) *worksheet {
	t.Helper()
	var w worksheet
	if err := xml.Unmarshal(data, &w); err != nil {
		t.Fatalf("%v in %s", err, data[:min(len(data), 300)])
	}
	return &w
}

// column finds the texts or numbers of a column by its head.
func (w *worksheet) column(t *testing.T, head string) []string {
	t.Helper()
	letters := regexp.MustCompile(`^[A-Z]+`)
	at := ""
	for _, c := range w.Rows[0].Cells {
		if c.I == head {
			at = letters.FindString(c.R)
		}
	}
	if at == "" {
		t.Fatalf("no column %q", head)
	}
	var out []string
	for _, r := range w.Rows[1:] {
		v := ""
		for _, c := range r.Cells {
			if letters.FindString(c.R) == at {
				v = c.I + c.V
			}
		}
		out = append(out, v)
	}
	return out
}

func TestSheets(t *testing.T) {
	r := fixture.Hostile(t)
	all := parts(t, r)
	for name, data := range all {
		d := xml.NewDecoder(bytes.NewReader(data))
		for {
			tok, err := d.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if e, ok := tok.(xml.StartElement); ok && e.Name.Local == "f" {
				t.Errorf("%s holds a formula", name)
			}
		}
		if bytes.ContainsAny(data, "\x1b\u202e") {
			t.Errorf("%s: a control character got in", name)
		}
		if !bytes.Contains(all["[Content_Types].xml"], []byte(`"/`+name+`"`)) && name != "[Content_Types].xml" && !strings.HasSuffix(name, ".rels") {
			t.Errorf("%s has no type", name)
		}
	}
	want := []int{len(r.Items), len(r.Comments), len(r.Spaces), len(r.Openings)}
	for i, n := range want {
		w := read(t, all["xl/worksheets/sheet"+string(rune('1'+i))+".xml"])
		if len(w.Rows) != n+1 {
			t.Errorf("sheet %d: %d rows, want a head and %d", i+1, len(w.Rows), n)
		}
		if w.Pane.YSplit != "1" || w.Pane.State != "frozen" || !strings.HasPrefix(w.Filter.Ref, "A1:") {
			t.Errorf("sheet %d: pane %v, filter %v", i+1, w.Pane, w.Filter)
		}
		for k, row := range w.Rows {
			if row.R != k+1 {
				t.Errorf("sheet %d: row %d stands at %d", i+1, row.R, k+1)
			}
			for _, c := range row.Cells {
				if c.F != "" || c.T != "inlineStr" && c.I != "" || c.T == "inlineStr" && c.V != "" {
					t.Errorf("sheet %d: cell %s is %+v", i+1, c.R, c)
				}
			}
		}
	}
	w := read(t, all["xl/worksheets/sheet1.xml"])
	for head, want := range map[string]string{
		"comment": "1", "outcome": "deficient", "measured": `1'-8 1/2"`, "limit": `1/2"`, "measured, SI": "0.5207", "limit, SI": "0.0127", "SI unit": "m", "joins units": "2", "x, m": "1", "key": "000000000001",
	} {
		if got := w.column(t, head)[0]; got != want {
			t.Errorf("%s is %q, want %q", head, got, want)
		}
	}
	if got := w.column(t, "joins area, ft2")[0]; !strings.HasPrefix(got, "1420.8") { // 132 m2 / 0.09290304
		t.Errorf("joins area %q", got)
	}
	if got := w.column(t, "place")[10]; !strings.HasPrefix(got, `=HYPERLINK("http://example.invalid","[31mPipe 42")`) {
		t.Errorf("place %q", got)
	}
	for _, row := range w.Rows[1:] {
		for _, c := range row.Cells {
			if strings.HasPrefix(c.I, "=") && c.S != quoted {
				t.Errorf("cell %s begins with = and would become a formula when edited", c.R)
			}
		}
	}
	if got := read(t, all["xl/worksheets/sheet5.xml"]).column(t, "text"); !strings.Contains(strings.Join(got, "\n"), r.Cautions[0]) {
		t.Error("the cautions are missing")
	}
}

func TestTexts(t *testing.T) {
	for in, want := range map[string]string{"plain": "plain", "_x0041_": "_x005F_x0041_", "a_x1F_": "a_x1F_", "_xZZZZ_": "_xZZZZ_"} {
		if got := escaped(in); got != want {
			t.Errorf("escaped(%q) = %q, want %q", in, got, want)
		}
	}
	for in, want := range map[string]bool{"=1": true, " =1": true, "+1": true, "-1": true, "@a": true, "＝1": true, "a=1": false, "": false} {
		if got := risky(in); got != want {
			t.Errorf("risky(%q) = %v", in, got)
		}
	}
	long := fit(strings.Repeat("🏠", 40000))
	if n := len([]rune(long)); n > mostLetters || !strings.HasSuffix(long, "the JSON form has all)") || strings.Contains(long, "\ufffd") {
		t.Errorf("%d letters, ending %q", n, long[len(long)-40:])
	}
	for i, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 701: "ZZ", 702: "AAA"} {
		if got := name(i); got != want {
			t.Errorf("name(%d) = %q, want %q", i, got, want)
		}
	}
}

func TestTooManyRows(t *testing.T) {
	s := &sheet{name: "items", cols: []column{{"a", 1, plain}}, rows: make([][]any, mostRows)}
	if _, err := s.part(false); err == nil || !strings.Contains(err.Error(), "more than a spreadsheet holds") {
		t.Errorf("error %v", err)
	}
}

func TestUnitsSI(t *testing.T) {
	r := fixture.Demo(t)
	r.Run.Units = "si"
	w := read(t, parts(t, r)["xl/worksheets/sheet3.xml"])
	if got := w.column(t, "area, m2")[0]; got != "85.2702" {
		t.Errorf("area %q", got)
	}
}
