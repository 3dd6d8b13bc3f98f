package csv

import (
	"bytes"
	"encoding/csv"
	"os"
	"strings"
	"testing"

	"github.com/go-json-experiment/json"

	"voidcheck/checks/finding"
)

func sample(t *testing.T) *finding.Report {
	t.Helper()
	data, err := os.ReadFile("../../../../testdata/findings/sample.json")
	if err != nil {
		t.Fatal(err)
	}
	var r finding.Report
	if err := json.Unmarshal(data, &r); err != nil {
		t.Fatal(err)
	}
	return &r
}

func TestWrite(t *testing.T) {
	r := sample(t)
	var b bytes.Buffer
	if err := Write(&b, r); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(b.Bytes())).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if want := 1 + len(r.Items) + len(r.MissingChecks) + len(r.Cautions); len(rows) != want {
		t.Errorf("%d rows, want %d", len(rows), want)
	}
	if got := strings.Count(b.String(), "\r\n"); got != len(rows) {
		t.Errorf("%d line ends for %d rows", got, len(rows))
	}
	at := map[string]int{}
	for i, h := range rows[0] {
		at[h] = i
	}
	first := rows[1]
	for col, want := range map[string]string{
		"comment": "1", "outcome": "deficient", "units": "U1 U2", "measured": `1'-8 1/2"`, "limit": `1/2"`,
		"measured_si": "0.5207", "limit_si": "0.0127", "unit_si": "m", "joins_units": "2", "joins_area_m2": "132", "key": "000000000001",
	} {
		if got := first[at[col]]; got != want {
			t.Errorf("column %s = %q, want %q", col, got, want)
		}
	}
	hostile := rows[11]
	if got := hostile[at["place"]]; !strings.HasPrefix(got, `'=HYPERLINK("http://example.invalid","[31mPipe 42")`) {
		t.Errorf("place %q", got)
	}
	if got := hostile[at["x_m"]] + " " + hostile[at["y_m"]]; got != "-1.5 1000000.25" {
		t.Errorf("point %q; a negative number must stay a number", got)
	}
}

// The characters are those that published advice on CSV injection lists: = + - @ tab CR
// (OWASP, CSV Injection; from memory), with their full-width forms.
func TestSafe(t *testing.T) {
	for in, want := range map[string]string{
		"plain": "plain", "": "", "a=b": "a=b", "=1+1": "'=1+1", "+1": "'+1", "-1": "'-1", "@SUM(A1)": "'@SUM(A1)",
		"\t=1": "' =1", "\rx": "' x", "\nx": "' x", "  =1": "'  =1", "\u00a0=1": "'\u00a0=1", "＝1": "'＝1", "\x1b=1": "'=1", "\u202e=1": "'=1",
	} {
		if got := Safe(in); got != want {
			t.Errorf("Safe(%q) = %q, want %q", in, got, want)
		}
	}
}
