// Package sarif writes findings in the Static Analysis Results Interchange Format 2.1.0
// (OASIS), so that programs which run checks on every change show and compare them: each
// check a rule, each item that is not in order a result, told apart by its key.
package sarif

import (
	"fmt"
	"io"
	"net/url"
	"path/filepath"
	"slices"
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/archive"
	"voidcheck/cmd/internal/output/words"
)

// schemaURI is where the standard keeps its schema; it is a name, and nothing is fetched.
const schemaURI = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"

// fingerprint is the name under which a result carries its item's key.
const fingerprint = "voidcheckItem/v1"

type log struct {
	Schema  string `json:"$schema"`
	Version string `json:"version"`
	Runs    []run  `json:"runs"`
}

type run struct {
	Tool        tool           `json:"tool"`
	Invocations []invocation   `json:"invocations"`
	Automation  details        `json:"automationDetails"`
	Artifacts   []artifact     `json:"artifacts,omitempty"`
	Results     []result       `json:"results"`
	Language    string         `json:"language"`
	Properties  map[string]any `json:"properties"`
}

type tool struct {
	Driver driver `json:"driver"`
}

type driver struct {
	Name    string  `json:"name"`
	Version string  `json:"version,omitempty"`
	Full    message `json:"fullDescription"`
	Rules   []rule  `json:"rules,omitempty"`
}

type rule struct {
	ID         string         `json:"id"`
	Short      message        `json:"shortDescription"`
	Full       *message       `json:"fullDescription,omitempty"`
	Help       message        `json:"help"`
	Default    configuration  `json:"defaultConfiguration"`
	Properties map[string]any `json:"properties,omitempty"`
}

type configuration struct {
	Enabled bool   `json:"enabled"`
	Level   string `json:"level"`
}

type details struct {
	ID string `json:"id"`
}

type message struct {
	Text string `json:"text"`
}

type invocation struct {
	Successful    bool           `json:"executionSuccessful"`
	End           string         `json:"endTimeUtc,omitempty"`
	Notifications []notification `json:"toolExecutionNotifications,omitempty"`
}

type notification struct {
	Level   string         `json:"level"`
	Message message        `json:"message"`
	Rule    *ruleReference `json:"associatedRule,omitempty"`
}

type ruleReference struct {
	ID    string `json:"id"`
	Index int    `json:"index"`
}

type artifact struct {
	Location location          `json:"location"`
	Roles    []string          `json:"roles"`
	Hashes   map[string]string `json:"hashes,omitempty"`
}

type location struct {
	URI   string `json:"uri"`
	Index *int   `json:"index,omitempty"`
}

type result struct {
	Rule         string            `json:"ruleId"`
	Index        *int              `json:"ruleIndex,omitempty"`
	Kind         string            `json:"kind"`
	Level        string            `json:"level"`
	Message      message           `json:"message"`
	Locations    []place           `json:"locations,omitempty"`
	Fingerprints map[string]string `json:"partialFingerprints"`
	Suppressions []suppression     `json:"suppressions,omitempty"`
	Properties   map[string]any    `json:"properties,omitempty"`
}

// suppression is an examiner's decision: the standard's word for what is known and needs no
// change (3.35).
type suppression struct {
	Kind          string `json:"kind"`
	Status        string `json:"status"`
	Justification string `json:"justification,omitempty"`
}

type place struct {
	Physical *physical `json:"physicalLocation,omitempty"`
	Logical  []logical `json:"logicalLocations,omitempty"`
}

type physical struct {
	Artifact location `json:"artifactLocation"`
}

type logical struct {
	Name string `json:"name,omitempty"`
	Full string `json:"fullyQualifiedName,omitempty"`
	Kind string `json:"kind,omitempty"`
}

// Write writes the findings.
func Write(w io.Writer, r *finding.Report) error { return write(w, r, nil) }

// With returns Write with rules that say what a check decides, in the words of doc.
func With(doc func(check string) string) func(io.Writer, *finding.Report) error {
	return func(w io.Writer, r *finding.Report) error { return write(w, r, doc) }
}

func write(w io.Writer, r *finding.Report, doc func(string) string) error {
	b := words.New(r)
	out := log{Schema: schemaURI, Version: "2.1.0", Runs: []run{runOf(b, doc)}}
	data, err := json.Marshal(out, json.Deterministic(true), jsontext.WithIndent(" "))
	if err != nil {
		return fmt.Errorf("sarif: %w", err)
	}
	_, err = w.Write(append(data, '\n'))
	return err
}

func runOf(b *words.Book, doc func(string) string) run {
	r := b.R
	out := run{
		Language: "en", Results: []result{}, Automation: details{ID: fmt.Sprintf("voidcheck/round-%d", max(r.Run.Round, 1))},
		Tool: tool{driver{Name: "voidcheck", Version: clean(r.Tool.Version), Full: message{"Plan review of concealed combustible spaces in light wood-frame dwellings. " + clean(strings.Join(r.Cautions, " "))}}},
	}
	index := map[string]int{}
	for i := range r.Checks {
		c := &r.Checks[i]
		index[c.Name] = i
		limits := map[string]any{}
		for name, limit := range c.Limits {
			limits[clean(name)] = clean(limit)
		}
		x := rule{ID: c.Name, Short: message{words.Sentence(b.Title(c.Name))}, Default: configuration{c.On, "error"}, Properties: map[string]any{"adopted": c.On}}
		help := x.Short.Text
		if doc != nil && doc(c.Name) != "" {
			help = words.Sentence(clean(doc(c.Name)))
			x.Full = &message{help}
		}
		x.Help = message{help + limitWords(c)}
		if len(limits) > 0 {
			x.Properties["limits"] = limits
		}
		out.Tool.Driver.Rules = append(out.Tool.Driver.Rules, x)
	}
	for _, m := range r.Models {
		a := artifact{Location: location{URI: uri(m.File)}, Roles: []string{"analysisTarget"}}
		if m.SHA256 != "" {
			a.Hashes = map[string]string{"sha-256": m.SHA256}
		}
		out.Artifacts = append(out.Artifacts, a)
	}
	out.Invocations = []invocation{invoked(r, index)}
	met := 0
	for i := range r.Items {
		if r.Items[i].Outcome == finding.Meets {
			met++
			continue
		}
		out.Results = append(out.Results, resultOf(b, &r.Items[i], index))
	}
	out.Properties = map[string]any{"cautions": r.Cautions, "itemsThatMeet": met}
	if r.Cautions == nil {
		out.Properties["cautions"] = []string{}
	}
	return out
}

// limitWords are the limits in force, as the adoption file has them.
func limitWords(c *finding.Ran) string {
	var list []string
	for name, limit := range c.Limits {
		list = append(list, clean(name+" "+limit))
	}
	if len(list) == 0 {
		return ""
	}
	slices.Sort(list)
	return " Limits in force: " + strings.Join(list, "; ") + "."
}

// invoked says how the run went: checks that broke, and what was odd in the input.
func invoked(r *finding.Report, index map[string]int) invocation {
	v := invocation{Successful: len(r.MissingChecks) == 0, End: clean(r.Run.At)}
	for _, m := range r.MissingChecks {
		n := notification{Level: "error", Message: message{clean(fmt.Sprintf("check %s did not run to its end and nothing here speaks of it: %s", m.Check, m.Why))}}
		if i, ok := index[m.Check]; ok {
			n.Rule = &ruleReference{m.Check, i}
		}
		v.Notifications = append(v.Notifications, n)
	}
	for _, p := range r.Problems {
		v.Notifications = append(v.Notifications, notification{Level: "warning", Message: message{clean(p.Text)}})
	}
	return v
}

// kinds are the standard's words for outcomes; only a failure has a level (3.27.10).
var kinds = map[finding.Outcome][2]string{
	finding.Deficient: {"fail", "error"}, finding.NotShown: {"open", "none"}, finding.Exempt: {"notApplicable", "none"}, finding.Note: {"informational", "none"},
}

func resultOf(b *words.Book, it *finding.Item, index map[string]int) result {
	k, ok := kinds[it.Outcome]
	if !ok {
		k = [2]string{"review", "none"}
	}
	out := result{Rule: it.Check, Kind: k[0], Level: k[1], Fingerprints: map[string]string{fingerprint: it.Key}}
	if i, ok := index[it.Check]; ok {
		out.Index = &i
	}
	where := clean(b.Where(it))
	out.Message.Text = words.Join(" ", clean(words.Sentence(where+": "+words.Join(" ", it.Message, it.Remedy))), clean(it.Exemption))
	units := ""
	if len(it.Units) > 0 {
		units = b.Line(it.Units)
	}
	at := place{Logical: []logical{{Name: where, Full: clean(words.Join(" > ", b.Project(), it.Storey, units, it.Place, it.At))}}}
	if at.Logical[0].Full == "" {
		at.Logical[0].Full = where
	}
	for _, id := range it.Elements {
		at.Logical = append(at.Logical, logical{Name: clean(id), Kind: "element"})
	}
	if len(b.R.Models) > 0 {
		first := 0
		at.Physical = &physical{location{uri(b.R.Models[0].File), &first}}
	}
	out.Locations = []place{at}
	if it.Disposition.Settles() {
		out.Suppressions = []suppression{{"external", "accepted", clean(words.Decision(it.Disposition))}}
	}
	out.Properties = map[string]any{"outcome": it.Outcome, "evidence": it.Evidence, "section": clean(it.Section)}
	put := func(name string, v any, there bool) {
		if there {
			out.Properties[name] = v
		}
	}
	put("units", it.Units, len(it.Units) > 0)
	put("spaces", it.Spaces, len(it.Spaces) > 0)
	put("pointM", it.Point, it.Point != [3]float64{})
	put("measured", it.Measured, it.Measured != nil)
	put("limit", it.Limit, it.Limit != nil)
	put("joins", it.Joins, it.Joins != nil)
	put("comment", it.Comment, it.Comment > 0)
	put("followsFrom", it.ConsequenceOf, len(it.ConsequenceOf) > 0)
	return out
}

// clean makes a text fit for the log: archive.Text takes out what acts on a terminal.
func clean(s string) string { return archive.Text(s) }

// uri names a file as the standard wants it: relative names stay relative.
func uri(file string) string {
	p := filepath.ToSlash(clean(file))
	p = strings.ReplaceAll(p, `\`, "/")
	u := url.URL{Path: p}
	if strings.HasPrefix(p, "/") {
		u.Scheme = "file"
	} else if len(p) > 2 && p[1] == ':' && p[2] == '/' {
		u.Scheme, u.Path = "file", "/"+p
	}
	return u.String()
}
