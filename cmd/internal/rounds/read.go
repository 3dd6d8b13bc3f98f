package rounds

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"voidcheck/checks/finding"
	"voidcheck/schema"
)

// formatName is the name of a findings format with its version.
var formatName = regexp.MustCompile(`^voidcheck-findings-([0-9]+)$`)

// version is the version of findings that this program writes.
var version = formatVersion(finding.Format)

func formatVersion(format string) int {
	m := formatName.FindStringSubmatch(format)
	if m == nil {
		return -1
	}
	n, err := strconv.Atoi(m[1])
	if err != nil {
		return -1
	}
	return n
}

// Read reads findings of a past round. Fields that this program does not know are passed over:
// fields are added to a format version, never renamed. Findings of another format version are
// refused. The error names the file and, where it can, the line.
func Read(file string, data []byte) (*finding.Report, error) {
	whole := data
	data = []byte(strings.TrimPrefix(string(data), "\ufeff"))
	var head struct {
		Format string         `json:"format"`
		Items  jsontext.Value `json:"items"`
	}
	if err := json.Unmarshal(data, &head); err != nil {
		// Places are looked up only now: in findings of many megabytes that takes seconds.
		if _, bad := schema.Locate(whole); bad != nil {
			return nil, fmt.Errorf("%s:%s", file, bad.String())
		}
		return nil, fmt.Errorf("%s: these are no findings of voidcheck: %s", file, plain(err))
	}
	switch v := formatVersion(head.Format); {
	case head.Format == "":
		return nil, fmt.Errorf("%s: these are no findings of voidcheck: the file has no format; give the findings.json of the last round", file)
	case v < 0:
		return nil, fmt.Errorf("%s: its format is %q, not %s; give the findings.json of the last round", file, head.Format, finding.Format)
	case v > version:
		return nil, fmt.Errorf("%s: its format %s is newer than this program, which reads %s; use the program that wrote it, or a newer one", file, head.Format, finding.Format)
	case v < version:
		return nil, fmt.Errorf("%s: its format %s is older than what this program reads, %s; review the models of that round again with this program", file, head.Format, finding.Format)
	}
	if head.Items == nil {
		return nil, fmt.Errorf("%s: these findings have no items; the file was changed by hand or cut off", file)
	}
	var r finding.Report
	if err := json.Unmarshal(data, &r); err != nil {
		return nil, fmt.Errorf("%s: these findings cannot be read: %s", file, plain(err))
	}
	keys := map[string]bool{}
	for i := range r.Items {
		it := &r.Items[i]
		switch {
		case it.Key == "" || it.Check == "" || it.Outcome.Rank() < 0:
			return nil, fmt.Errorf("%s: item %d has no key, no check or no outcome that is known (%q); the file was changed by hand or cut off", file, i+1, it.Outcome)
		case keys[it.Key]:
			return nil, fmt.Errorf("%s: key %s stands twice; the file was changed by hand", file, it.Key)
		}
		keys[it.Key] = true
	}
	return &r, nil
}

// plain takes the package name off an error of the JSON reader.
func plain(err error) string { return strings.TrimPrefix(err.Error(), "json: ") }
