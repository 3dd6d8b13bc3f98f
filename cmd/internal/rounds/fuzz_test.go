package rounds

import (
	"os"
	"strings"
	"testing"
)

// FuzzFindings: findings of a past round are files like any other.
func FuzzFindings(f *testing.F) {
	if d, err := os.ReadFile("../../../testdata/findings/sample.json"); err == nil {
		f.Add(d)
	}
	f.Add([]byte(`{"format":"voidcheck-findings-1","items":[{"key":"a","check":"x","outcome":"deficient"}]}`))
	f.Fuzz(func(t *testing.T, d []byte) {
		if _, err := Read("f.json", d); err != nil && !strings.HasPrefix(err.Error(), "f.json") {
			t.Errorf("error without the file's name: %v", err)
		}
	})
}
