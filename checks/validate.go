package checks

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
)

var checkName = regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)

// Reserved names stand beside the parameters in an adoption file.
var reserved = []string{"on", "section", "evidence", "instead", "exempt"}

// Validate says what is wrong with a catalogue: every check is named, documented and
// unique, has a topic and a Run, and each parameter has a meaning, a source and a default
// that parses.
func Validate(catalogue []*Check) error {
	var errs []error
	seen := map[string]bool{}
	for i, c := range catalogue {
		if c == nil {
			errs = append(errs, fmt.Errorf("check %d is nil", i))
			continue
		}
		bad := func(format string, args ...any) {
			errs = append(errs, fmt.Errorf("check %q: "+format, append([]any{c.Name}, args...)...))
		}
		if !checkName.MatchString(c.Name) {
			bad("the name is not lower-case words with hyphens")
		}
		if seen[c.Name] {
			bad("the name is taken")
		}
		seen[c.Name] = true
		if c.Title == "" || strings.HasSuffix(c.Title, ".") || strings.Contains(c.Title, "\n") {
			bad("the title must be one line without a full stop")
		}
		if c.Doc == "" || c.Topic == "" || c.Run == nil {
			bad("Doc, Topic and Run are all wanted")
		}
		params := map[string]bool{}
		for _, p := range c.Params {
			if !checkName.MatchString(p.Name) || params[p.Name] || slices.Contains(reserved, p.Name) {
				bad("parameter %q: the name is taken or not lower-case words with hyphens", p.Name)
			}
			params[p.Name] = true
			if p.Doc == "" || p.Source == "" {
				bad("parameter %q: Doc and Source are wanted", p.Name)
			}
			if err := p.Validate(); err != nil {
				bad("parameter %q: %w", p.Name, err)
			}
		}
	}
	return errors.Join(errs...)
}
