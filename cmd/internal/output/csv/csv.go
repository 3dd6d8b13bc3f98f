// Package csv writes findings as a table for spreadsheets: one row an item, in the order of
// the comments, then the cautions. Cells that come from a model cannot become formulas.
package csv

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
)

// Header names the columns. Quantities stand twice: SI for sorting, and as people read them.
var Header = []string{
	"comment", "outcome", "evidence", "check", "storey", "units", "place", "measured", "limit", "section", "message", "remedy",
	"exemption", "undecided", "joins_units", "joins_area_m2", "consequence_of", "measured_si", "limit_si", "unit_si",
	"x_m", "y_m", "z_m", "spaces", "elements", "key", "spot",
}

// Write writes the rows (RFC 4180, UTF-8, CR LF).
func Write(w io.Writer, r *finding.Report) error {
	c := csv.NewWriter(w)
	c.UseCRLF = true
	sys := measure.System(r.Run.Units)
	if err := c.Write(Header); err != nil {
		return err
	}
	for i := range r.Items {
		if err := c.Write(row(&r.Items[i], sys)); err != nil {
			return err
		}
	}
	for _, m := range r.MissingChecks {
		if err := c.Write(remark("missing", m.Check, "this check did not run to its end and nothing here speaks of it: "+m.Why)); err != nil {
			return err
		}
	}
	for _, s := range r.Cautions {
		if err := c.Write(remark("caution", "", s)); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

func remark(outcome, check, message string) []string {
	cells := make([]string, len(Header))
	cells[1], cells[3], cells[10] = outcome, check, Safe(message)
	return cells
}

func row(it *finding.Item, sys measure.System) []string {
	var comment, measured, limit, measuredSI, limitSI, unitSI, joinsUnits, joinsArea string
	if it.Comment > 0 {
		comment = strconv.Itoa(it.Comment)
	}
	if m := it.Measured; m != nil {
		measured, measuredSI, unitSI = measure.Format(m.Value, m.Unit, sys), number(m.Value), m.Unit
	}
	if l := it.Limit; l != nil {
		limit, limitSI, unitSI = measure.Format(l.Value, l.Unit, sys), number(l.Value), l.Unit
		if m := it.Measured; m != nil && m.Unit == l.Unit {
			measured, limit = measure.FormatPair(m.Value, l.Value, l.Unit, sys)
		}
	}
	if it.Joins != nil {
		joinsUnits, joinsArea = strconv.Itoa(it.Joins.Units), number(it.Joins.AreaM2)
	}
	return []string{
		comment, string(it.Outcome), string(it.Evidence), Safe(it.Check), Safe(it.Storey), Safe(strings.Join(it.Units, " ")), Safe(it.Place),
		Safe(measured), Safe(limit), Safe(it.Section), Safe(it.Message), Safe(it.Remedy), Safe(it.Exemption), Safe(it.Undecided),
		joinsUnits, joinsArea, Safe(strings.Join(it.ConsequenceOf, " ")), measuredSI, limitSI, unitSI,
		number(it.Point[0]), number(it.Point[1]), number(it.Point[2]),
		Safe(strings.Join(it.Spaces, " ")), Safe(strings.Join(it.Elements, " ")), Safe(it.Key), Safe(it.At),
	}
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// Safe makes a text harmless in a spreadsheet: control characters go, and what would start a
// formula gets an apostrophe before it.
func Safe(s string) string {
	// A tab or line end at the start counts as well as what stands behind it.
	risky := s != "" && (s[0] == '\t' || s[0] == '\r' || s[0] == '\n')
	s = finding.Clean(s)
	t := strings.TrimLeft(s, " \u00a0")
	for _, start := range []string{"=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20"} {
		risky = risky || strings.HasPrefix(t, start)
	}
	if risky {
		return "'" + s
	}
	return s
}
