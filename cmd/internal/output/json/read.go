package json

import (
	"errors"
	"fmt"
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"voidcheck/checks/finding"
	"voidcheck/schema"
)

// Parse reads findings from memory; name is used in messages. The error names the file, the
// line and what is wrong there; a file of another kind is told as such.
func Parse(name string, data []byte) (*finding.Report, error) {
	if problems := schema.Validate("findings", data); len(problems) > 0 {
		lines := append(schema.Lines(name, problems), name+": these are no findings of this version; make them anew with voidcheck review --format json")
		return nil, errors.New(strings.Join(lines, "\n"))
	}
	var r finding.Report
	if err := json.Unmarshal([]byte(strings.TrimPrefix(string(data), "\ufeff")), &r, jsontext.AllowInvalidUTF8(true)); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return &r, nil
}
