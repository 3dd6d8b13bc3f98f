package step

import (
	"fmt"
	"strings"
	"testing"
)

// plainRecords is a slow reference for the index pass: it looks at every byte in turn and
// knows nothing of damage. It returns the start of every record and the offset behind its
// semicolon, records being "#12=...;" outside strings and comments.
func plainRecords(d []byte) (ids []string, ends []int) {
	const (
		outside = iota
		inString
		inComment
	)
	state, start := outside, -1
	for i := 0; i < len(d); i++ {
		rest := string(d[i:min(len(d), i+3)])
		switch state {
		case outside:
			switch {
			case strings.HasPrefix(rest, "/*"):
				state, i = inComment, i+1
			case d[i] == '\'':
				state = inString
			case d[i] == ';':
				if start >= 0 {
					id, _, _ := strings.Cut(string(d[start:i]), "=")
					ids, ends = append(ids, strings.TrimSpace(id)), append(ends, i+1)
				}
				start = -1
			case d[i] == '#' && start < 0:
				start = i
			}
		case inString:
			switch {
			case rest == `\S\`:
				i += 3
			case strings.HasPrefix(rest, `\\`):
				i++
			case d[i] == '\'':
				state = outside
			}
		case inComment:
			if strings.HasPrefix(rest, "*/") {
				state, i = outside, i+1
			}
		}
	}
	return ids, ends
}

// The search for the end of a record must agree with the plain one on every short text of
// the signs that matter.
func TestEndOfRecordExhaustively(t *testing.T) {
	alphabet := []string{"'", ";", `\`, "S", "/", "*", ")"}
	var try func(prefix string, depth int)
	n := 0
	try = func(prefix string, depth int) {
		d := []byte("#1=A(" + prefix + ";'';;*/;'")
		_, ends := plainRecords(d)
		got, why := endOfRecord(d, 4)
		if n++; len(ends) > 0 && (why != endFound || got != ends[0]) {
			t.Fatalf("%q: ends at %d (%d), want %d", d, got, why, ends[0])
		}
		if depth == 0 {
			return
		}
		for _, a := range alphabet {
			try(prefix+a, depth-1)
		}
	}
	try("", 7)
	t.Logf("%d texts", n)
}

// A record longer than the search window, with everything at every place around its edges.
func TestEndOfRecordAcrossWindows(t *testing.T) {
	for _, piece := range []string{"'", "''", "'a;b'", `'\S\''`, "/*;*/", "/ *", `'\\'`, "'/*'", "/*'*/"} {
		for at := window - 8; at <= window+2; at++ {
			d := []byte("#1=A(" + strings.Repeat("x", at) + piece + strings.Repeat("y", 2*window) + ";'';*/;'")
			_, ends := plainRecords(d)
			got, why := endOfRecord(d, 4)
			if len(ends) > 0 && (why != endFound || got != ends[0]) {
				t.Errorf("%s at %d: ends at %d (%d), want %d", piece, at, got, why, ends[0])
			}
		}
	}
}

// sameAsPlain compares the index with the plain one, for text without damage.
func sameAsPlain(t *testing.T, s *scanner) {
	t.Helper()
	want, _ := plainRecords(s.data)
	if len(want) != len(s.ids) {
		t.Fatalf("%d instances, the plain scanner has %d", len(s.ids), len(want))
	}
	for i, id := range s.ids {
		if got := fmt.Sprintf("#%d", id); got != want[i] {
			t.Fatalf("instance %d is %s, want %s", i, got, want[i])
		}
	}
}
