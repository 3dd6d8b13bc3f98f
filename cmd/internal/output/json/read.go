package json

import (
	"errors"
	"fmt"
	"os"
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"voidcheck/checks/finding"
	"voidcheck/schema"
)

// Read reads a findings file. The error names the file, the line and what is wrong there;
// a file of another kind is told as such.
func Read(name string) (*finding.Report, error) {
	data, err := os.ReadFile(name)
	switch {
	case os.IsNotExist(err):
		return nil, fmt.Errorf("%s: there is no such file; voidcheck review --format json writes one", name)
	case err != nil:
		return nil, fmt.Errorf("%s: cannot be read: %w", name, errors.Unwrap(err))
	}
	return Parse(name, data)
}

// mostProblems is how many problems of a file are told.
const mostProblems = 5

// Parse reads findings from memory; name is used in messages.
func Parse(name string, data []byte) (*finding.Report, error) {
	if problems := schema.Validate("findings", data); len(problems) > 0 {
		var lines []string
		for i, p := range problems {
			if i == mostProblems {
				lines = append(lines, fmt.Sprintf("%s: and %d more problems", name, len(problems)-i))
				break
			}
			lines = append(lines, name+":"+p.String())
		}
		lines = append(lines, name+": these are no findings of this version; make them anew with voidcheck review --format json")
		return nil, errors.New(strings.Join(lines, "\n"))
	}
	var r finding.Report
	if err := json.Unmarshal([]byte(strings.TrimPrefix(string(data), "\ufeff")), &r, jsontext.AllowInvalidUTF8(true)); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return &r, nil
}
