package rounds

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"voidcheck/checks/finding"
	"voidcheck/schema"
)

// ReviewFormat is the name of the format of the examiner's review file.
const ReviewFormat = "voidcheck-review-1"

// Review is the examiner's review file: what was decided on items, by a person and not by the
// program.
type Review struct {
	Format       string                `json:"format"`
	Project      string                `json:"project,omitempty"`
	Permit       string                `json:"permit,omitempty"`
	Round        int                   `json:"round,omitzero"`
	Dispositions []finding.Disposition `json:"dispositions"`
}

// ReadReview reads a review file. The error names file, line and column.
func ReadReview(file string, data []byte) (*Review, error) {
	problems := schema.Validate("review", data)
	places, bad := schema.Locate(data)
	if bad != nil {
		return nil, fmt.Errorf("%s:%s", file, bad.String())
	}
	var r Review
	if len(problems) == 0 {
		if err := json.Unmarshal([]byte(strings.TrimPrefix(string(data), "\ufeff")), &r); err != nil {
			return nil, fmt.Errorf("%s: %s", file, plain(err))
		}
		seen := map[string]bool{}
		for i := range r.Dispositions {
			d := &r.Dispositions[i]
			say := func(text string) {
				problems = append(problems, places.Problem(text, "dispositions", fmt.Sprint(i)))
			}
			switch {
			case d.Decision == finding.Accepted && d.Reason == "":
				say("an item is accepted with a reason; give reason")
			case d.Decision == finding.Waived && (d.By == "" || d.Section == ""):
				say("an item is waived by somebody and under a section; give by and section")
			case seen[d.Key] && d.ClosedIn == 0:
				say("key " + d.Key + " stands twice; keep one of the dispositions")
			}
			seen[d.Key] = seen[d.Key] || d.ClosedIn == 0
		}
	}
	if len(problems) > 0 {
		return nil, errors.New(strings.Join(schema.Lines(file, problems), "\n"))
	}
	return &r, nil
}

// Apply puts the dispositions of the last round on the items of this one: on the changes of
// the comparison and, where they hold, on the items of this round's findings. It returns
// the review file for this round and the dispositions that name no item of the last.
func (c *Comparison) Apply(r *Review, last, this *finding.Report) (next *Review, unknown []finding.Disposition) {
	next = &Review{Format: ReviewFormat, Project: r.Project, Permit: r.Permit, Round: this.Run.Round}
	byLast := map[string]*Change{}
	for i := range c.Changes {
		if k := c.Changes[i].LastKey; k != "" {
			byLast[k] = &c.Changes[i]
		}
	}
	items := map[string]*finding.Item{}
	for i := range this.Items {
		items[this.Items[i].Key] = &this.Items[i]
	}
	known := map[string]*finding.Item{}
	for i := range last.Items {
		known[last.Items[i].Key] = &last.Items[i]
	}
	for _, d := range r.Dispositions {
		x := byLast[d.Key]
		switch {
		case d.ClosedIn > 0: // told with an item that is back, and no longer carried by it
			if back := c.back(&d); back != nil {
				back.Disposition, back.LookAgain = &d, true
			}
		case x == nil && known[d.Key] == nil:
			unknown = append(unknown, d)
		case x == nil: // it asks for nothing, in neither round
		case x.State == Resolved:
			d.ClosedIn = this.Run.Round
			d.Check, d.Storey, d.Place = x.Check, x.Storey, x.Place // by which it is known when it comes back
			x.Disposition = &d
		default:
			if d.Measured == nil {
				d.Measured = x.LastMeasured
			}
			x.Disposition = &d
			x.LookAgain = x.State == Undecidable || x.State == New || d.Decision != finding.VerifyInField && !alike(d.Measured, x.Measured)
			if x.Key != "" {
				d.Key, d.Check, d.Storey, d.Place = x.Key, x.Check, x.Storey, x.Place
				if it := items[x.Key]; it != nil && !x.LookAgain {
					it.Disposition = &d
				}
			}
		}
		next.Dispositions = append(next.Dispositions, d)
	}
	slices.SortStableFunc(next.Dispositions, func(a, b finding.Disposition) int {
		return cmp.Compare(a.ClosedIn, b.ClosedIn)
	})
	return next, unknown
}

// back is the new item of this round on which a decision was taken before it was gone.
func (c *Comparison) back(d *finding.Disposition) *Change {
	var at *Change
	for i := range c.Changes {
		switch x := &c.Changes[i]; {
		case x.State != New || x.Disposition != nil:
		case x.Key == d.Key:
			return x
		case at == nil && x.Check == d.Check && x.Storey == d.Storey && x.Place == d.Place:
			at = x
		}
	}
	return at
}

// Write lays a review file out for people who edit it.
func (r *Review) Write() ([]byte, error) {
	out, err := json.Marshal(r, jsontext.WithIndent("  "))
	return append(out, '\n'), err
}
