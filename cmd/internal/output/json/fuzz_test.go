package json

import (
	"bytes"
	"os"
	"strings"
	"testing"
)

// FuzzParse: findings are read back from files that people may have changed. What is read
// can be written again.
func FuzzParse(f *testing.F) {
	if d, err := os.ReadFile("../../../../testdata/findings/sample.json"); err == nil {
		f.Add(d)
	}
	f.Fuzz(func(t *testing.T, d []byte) {
		r, err := Parse("f.json", d)
		if err != nil {
			if !strings.HasPrefix(err.Error(), "f.json") {
				t.Errorf("error without the file's name: %v", err)
			}
			return
		}
		var b bytes.Buffer
		if err := Write(&b, r); err != nil {
			t.Errorf("what was read cannot be written: %v", err)
		}
	})
}
