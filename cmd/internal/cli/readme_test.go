package cli

import (
	"bytes"
	"os"
	"regexp"
	"strings"
	"testing"
)

// voidID is the number of a void, which moves with every void found before it.
var voidID = regexp.MustCompile(`\bV[0-9]+(\.[0-9]+)?\b`)

// The README shows real output: each console block is run, and the lines between two "..."
// must stand in the output one after the other.
func TestReadmeShowsRealOutput(t *testing.T) {
	text, err := os.ReadFile("../../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir("../../..")
	blocks := strings.Split(string(text), "```console\n")[1:]
	if len(blocks) < 4 {
		t.Fatalf("%d console blocks in the README", len(blocks))
	}
	outputs := map[string]string{}
	for _, b := range blocks {
		block, _, _ := strings.Cut(b, "```")
		command, want, _ := strings.Cut(block, "\n")
		args, ok := strings.CutPrefix(command, "$ voidcheck ")
		if !ok {
			t.Fatalf("a console block begins %q; want a voidcheck command", command)
		}
		if _, ran := outputs[args]; !ran {
			var stdout, stderr bytes.Buffer
			if status := Main(strings.Fields(args), nil, &stdout, &stderr); status == Usage {
				t.Fatalf("%s: %s", command, stderr.String())
			}
			outputs[args] = voidID.ReplaceAllString(stdout.String(), "V#")
		}
		rest := outputs[args]
		for _, piece := range strings.Split(voidID.ReplaceAllString(want, "V#"), "...\n") {
			i := strings.Index(rest, anywhere(piece))
			if i < 0 {
				t.Errorf("%s\ndoes not print, or not in this order:\n%s\nit prints:\n%s", command, piece, outputs[args])
				break
			}
			rest = rest[i+len(anywhere(piece)):]
		}
	}
}

// anywhere takes the comment number's place off the first line, which is left out in the
// README where the number may change, and the line end off the last, which may go on.
func anywhere(piece string) string {
	return strings.TrimSuffix(strings.TrimLeft(piece, " "), "\n")
}
