package review

import (
	"context"
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"

	"voidcheck/ifcx/ifctest"
)

// A model that is cut off or written over while it is reviewed is judged as it was opened:
// text of two versions of a file never comes together.
func TestCutOffDuringReview(t *testing.T) {
	for _, change := range []struct {
		name string
		to   func(string) error
	}{
		{"cut off", func(name string) error { return os.Truncate(name, 0) }},
		{"written over", func(name string) error {
			return os.WriteFile(name, []byte("ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\n"), 0o600)
		}},
		{"removed", os.Remove},
	} {
		for _, step := range []string{"recognise", "solve", "check"} {
			name := written(t, row(), ifctest.Disguise{})
			opt := Options{Models: []string{name}, Now: noon}
			whole, err := Run(context.Background(), opt)
			if err != nil {
				t.Fatal(err)
			}
			opt.Progress = func(s string, _, _ int) {
				if s == step {
					if err := change.to(name); err != nil {
						t.Error(err)
					}
				}
			}
			r, err := Run(context.Background(), opt)
			if err != nil {
				t.Errorf("%s at %s: %v", change.name, step, err)
				continue
			}
			if d := cmp.Diff(whole.Report, r.Report); d != "" {
				t.Errorf("%s at %s: the findings differ: %s", change.name, step, d)
			}
		}
	}
}
