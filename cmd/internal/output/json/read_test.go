package json

import (
	"bytes"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// What was written is read back, and written again the same.
func TestReadBack(t *testing.T) {
	r, _ := sample(t)
	out := write(t, r)
	for _, data := range [][]byte{out, append([]byte("\ufeff"), out...)} {
		back, err := Parse("f.json", data)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(r, back); d != "" {
			t.Errorf("written and read differ (-written +read):\n%s", d)
		}
		if again := write(t, back); !bytes.Equal(out, again) {
			t.Error("read and written again, the bytes differ")
		}
	}
}

func TestParseTellsWhatIsWrong(t *testing.T) {
	r, _ := sample(t)
	good := string(write(t, r))
	for _, tt := range []struct{ name, text, want string }{
		{"no JSON", "ISO-10303-21;", ":1:1: "},
		{"cut off", good[:len(good)/2], "f.json:"},
		{"another format", strings.Replace(good, "voidcheck-findings-1", "voidcheck-findings-9", 1), "make them anew with voidcheck review --format json"},
		{"unknown outcome", strings.Replace(good, `"outcome":"meets"`, `"outcome":"fine"`, 1), "outcome"},
		{"empty", "", "f.json:1:1"},
	} {
		_, err := Parse("f.json", []byte(tt.text))
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: error %v, want %q in it", tt.name, err, tt.want)
		}
	}
}
