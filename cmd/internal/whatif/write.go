package whatif

import (
	"bytes"
	"fmt"
	"io"
	"slices"

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

// mostItems is how many items of one submittal are listed; JSON has all.
const mostItems = 6

// WriteTable prints a comparison for a terminal, 100 columns wide.
func WriteTable(w io.Writer, c *Comparison) error {
	var b bytes.Buffer
	line := func(s, indent string) { table.WriteHanging(&b, s, indent) }
	line("A          "+c.A.title(), "           ")
	line("B          "+c.B.title(), "           ")
	if len(c.Differences) == 0 {
		line("The two differ in no limit, switch or exemption: no outcome can change.", "")
	}
	for i, d := range c.Differences {
		lead := "           "
		if i == 0 {
			lead = "Differ in  "
		}
		line(lead+d.Check+": "+d.Text, "             ")
	}
	b.WriteByte('\n')
	if err := c.totals(&b); err != nil {
		return err
	}
	sys := measure.System(c.Units)
	same := 0
	shared := c.sharedUntold(line)
	for i := range c.Models {
		m := c.Models[i]
		m.Untold = slices.DeleteFunc(slices.Clone(m.Untold), func(u string) bool { return shared[u] })
		if len(m.Changes) == 0 && m.Error == "" && len(m.Untold) == 0 {
			same++
			continue
		}
		m.write(line, sys)
	}
	if same > 0 {
		line(fmt.Sprintf("Nothing changes for %s.", submittals(same)), "")
	}
	b.WriteByte('\n')
	for _, s := range c.Cautions {
		line("* "+s, "  ")
	}
	_, err := w.Write(b.Bytes())
	return err
}

// sharedUntold tells once what the findings of several submittals do not hold.
func (c *Comparison) sharedUntold(line func(s, indent string)) map[string]bool {
	count := map[string]int{}
	var order []string
	for i := range c.Models {
		for _, u := range c.Models[i].Untold {
			if count[u]++; count[u] == 2 {
				order = append(order, u)
			}
		}
	}
	shared := map[string]bool{}
	for i, u := range order {
		if i == 0 {
			line("Not told by findings alone:", "")
		}
		shared[u] = true
		line(fmt.Sprintf("  - %s (%s)", u, submittals(count[u])), "    ")
	}
	if len(order) > 0 {
		line("", "")
	}
	return shared
}

func submittals(n int) string {
	if n == 1 {
		return "1 submittal"
	}
	return fmt.Sprintf("%d submittals", n)
}

func (s *Side) title() string {
	t := s.Name
	if s.Jurisdiction != "" {
		t += ", " + s.Jurisdiction
	}
	if s.File != "" {
		t += " (" + s.File + ")"
	}
	return t
}

// totals prints the table of changes over all submittals.
func (c *Comparison) totals(b *bytes.Buffer) error {
	changed, judged := 0, 0
	for i := range c.Models {
		if c.Models[i].Error == "" {
			judged++
		}
		if len(c.Models[i].Changes) > 0 {
			changed++
		}
	}
	fmt.Fprintf(b, "%s judged, outcomes change in %d of them\n", submittals(judged), changed)
	if len(c.Totals) == 0 {
		b.WriteByte('\n')
		return nil
	}
	b.WriteByte('\n')
	g := table.Grid{Header: []string{"check", "under A", "under B", "items", "in submittals"}, Widths: []int{32, 14, 14, 9, 15}}
	for _, t := range c.Totals {
		g.Rows = append(g.Rows, []string{t.Check, word(t.A), word(t.B), fmt.Sprint(t.Items), fmt.Sprint(t.Models)})
	}
	if err := g.Write(b); err != nil {
		return err
	}
	b.WriteByte('\n')
	return nil
}

func word(o finding.Outcome) string {
	if o == "" {
		return "no item"
	}
	return string(o)
}

// write prints what changes for one submittal.
func (m *Model) write(line func(s, indent string), sys measure.System) {
	if m.Error != "" {
		line(m.Name+": not judged: "+m.Error, "  ")
		return
	}
	head := fmt.Sprintf("%s: %d of %d items change", m.Name, len(m.Changes), m.Items)
	if m.Source == "findings" {
		head += " (judged by its findings)"
	}
	line(head, "  ")
	list := slices.Clone(m.Changes)
	for i := range list {
		if i == mostItems && len(list) > mostItems+1 {
			line(fmt.Sprintf("  and %d more, in the JSON output", len(list)-i), "    ")
			break
		}
		ch := &list[i]
		where := ch.Place
		if ch.Storey != "" {
			where = ch.Storey + ", " + where
		}
		s := fmt.Sprintf("  - %s: %s -> %s", where, word(ch.A), word(ch.B))
		if ch.Measured != nil {
			s += " [" + measure.Format(ch.Measured.Value, ch.Measured.Unit, sys) + "]"
		}
		line(s+", "+ch.Check+": "+ch.Why, "    ")
	}
	for _, u := range m.Untold {
		line("  not told: "+u, "    ")
	}
}
