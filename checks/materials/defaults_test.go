package materials

import "testing"

func TestDefaultTexts(t *testing.T) {
	for _, use := range []Use{Draftstop, Fireblock} {
		if got, want := DefaultText(use), Default().List(use).Text(); got != want {
			t.Errorf("%s: got  %q\nthe file has %q", use, got, want)
		}
	}
}
