package rounds

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/cmd/internal/output/json"
	"voidcheck/cmd/internal/output/table"
)

// WriteJSON writes a comparison; the same comparison gives the same bytes.
func WriteJSON(w io.Writer, c *Comparison) error {
	if err := json.Indented(w, c); err != nil {
		return fmt.Errorf("comparison: %w", err)
	}
	return nil
}

// titles are the headings of the table.
var titles = map[State]string{
	New: "New", Changed: "Changed", StillOpen: "Still open", Undecidable: "No longer decidable", Resolved: "Resolved",
}

// mostAlike is how many places of one heading and check are listed; JSON has all.
const mostAlike = 8

// WriteTable prints a comparison for a terminal, 100 columns wide.
func WriteTable(w io.Writer, c *Comparison) error {
	var b bytes.Buffer
	line := func(s, indent string) { table.WriteHanging(&b, s, indent) }
	for _, side := range []struct {
		name string
		s    *Side
	}{{"Last round", &c.Last}, {"This round", &c.This}} {
		var files []string
		for _, m := range side.s.Models {
			files = append(files, m.File)
		}
		line(fmt.Sprintf("%-12sround %d of %s: %s", side.name, side.s.Round, strings.TrimSuffix(strings.Replace(side.s.At, "T", " ", 1), "Z"), strings.Join(files, ", ")), "            ")
	}
	for _, n := range c.Notes {
		line("Note        "+n, "            ")
	}
	var counts []string
	for _, s := range States {
		counts = append(counts, fmt.Sprintf("%d %s", c.Counts[s], strings.ToLower(titles[s])))
	}
	line("Items       "+strings.Join(counts, ", "), "            ")
	sys := measure.System(c.Units)
	for _, s := range States {
		var list []*Change
		for i := range c.Changes {
			if c.Changes[i].State == s {
				list = append(list, &c.Changes[i])
			}
		}
		if len(list) > 0 {
			b.WriteByte('\n')
			section(&b, s, list, sys, line)
		}
	}
	b.WriteByte('\n')
	for _, s := range c.Cautions {
		line("* "+s, "  ")
	}
	_, err := w.Write(b.Bytes())
	return err
}

// section prints the items of one state by check; what follows from others comes last.
func section(b *bytes.Buffer, s State, list []*Change, sys measure.System, line func(s, indent string)) {
	own := 0
	for _, c := range list {
		if !c.Follows {
			own++
		}
	}
	head := fmt.Sprintf("%s: %d", titles[s], len(list))
	if follow := len(list) - own; follow > 0 && own > 0 {
		head += fmt.Sprintf(" (%d of them follow from others)", follow)
	}
	b.WriteString(head + "\n" + strings.Repeat("-", 98) + "\n")
	slices.SortStableFunc(list, func(x, y *Change) int {
		switch {
		case x.Follows == y.Follows:
			return 0
		case y.Follows:
			return -1
		}
		return 1
	})
	shown := map[string]int{}
	rest := map[string]int{}
	for _, c := range list {
		if shown[c.Check]++; shown[c.Check] > mostAlike {
			rest[c.Check]++
			continue
		}
		where := c.Place
		if c.Storey != "" {
			where = finding.StoreyWord(c.Storey) + ", " + where
		}
		line(" - "+where, "   ")
		line("   "+c.Check+": "+c.measures(sys), "     ")
		for _, t := range c.remarks() {
			line("   "+t, "     ")
		}
	}
	var names []string
	for n := range rest {
		names = append(names, n)
	}
	slices.Sort(names)
	for _, n := range names {
		line(fmt.Sprintf("   and %d more of %s, in the JSON output", rest[n], n), "     ")
	}
}

// measures says what was and is measured.
func (c *Change) measures(sys measure.System) string {
	one := func(o finding.Outcome, m, limit *finding.Measure) string {
		s := string(o)
		if m != nil {
			v := measure.Format(m.Value, m.Unit, sys)
			if limit != nil && limit.Unit == m.Unit {
				v, _ = measure.FormatPair(m.Value, limit.Value, m.Unit, sys)
			}
			s += " " + v
		}
		return s
	}
	var out string
	switch {
	case c.Outcome == "":
		out = "was " + one(c.LastOutcome, c.LastMeasured, c.Limit)
	case c.LastOutcome == "":
		out = one(c.Outcome, c.Measured, c.Limit)
	case c.State == StillOpen:
		out = one(c.Outcome, c.Measured, c.Limit)
	default:
		out = one(c.LastOutcome, c.LastMeasured, c.Limit) + " -> " + one(c.Outcome, c.Measured, c.Limit)
	}
	if c.Limit != nil && open(c.Outcome) {
		out += ", limit " + measure.Format(c.Limit.Value, c.Limit.Unit, sys)
	}
	return out
}

// remarks are what else is to be said of a change: what it rests on, and the decision.
func (c *Change) remarks() []string {
	var out []string
	if c.Why != "" && c.State != Resolved {
		out = append(out, strings.ToUpper(c.Why[:1])+c.Why[1:]+".")
	}
	if d := c.Disposition; d != nil {
		s := strings.ToUpper(string(d.Decision)[:1]) + strings.ReplaceAll(string(d.Decision)[1:], "-", " ")
		if d.Decision == finding.Waived {
			s += " by " + d.By + " under " + d.Section
		} else if d.By != "" {
			s += " by " + d.By
		}
		if d.Round > 0 {
			s += fmt.Sprintf(" in round %d", d.Round)
		}
		if t := d.Reason + d.Note; t != "" {
			s += ": " + t
		}
		switch {
		case c.LookAgain && d.ClosedIn > 0:
			s += fmt.Sprintf(" - LOOK AGAIN, the item was gone in round %d and is back", d.ClosedIn)
		case c.LookAgain:
			s += " - LOOK AGAIN, the item changed since"
		}
		out = append(out, s)
	}
	return out
}
