package finding

import (
	"cmp"
	"fmt"
	"strings"
)

// VoidID is the id of a void in findings, from its index: "V1".
func VoidID(index int) string { return fmt.Sprintf("V%d", index+1) }

// CompartmentID is the id of a compartment in findings: "V1.2".
func CompartmentID(void, number int) string { return fmt.Sprintf("V%d.%d", void+1, number) }

// OpeningID is the id of an opening in findings, from its index: "O1".
func OpeningID(index int) string { return fmt.Sprintf("O%d", index+1) }

// Natural compares names so that FT-9 comes before FT-14.
func Natural(a, b string) int {
	for a != "" && b != "" {
		da, db := digits(a), digits(b)
		if da > 0 && db > 0 {
			na, nb := strings.TrimLeft(a[:da], "0"), strings.TrimLeft(b[:db], "0")
			if c := cmp.Or(cmp.Compare(len(na), len(nb)), cmp.Compare(na, nb), cmp.Compare(da, db)); c != 0 {
				return c
			}
			a, b = a[da:], b[db:]
			continue
		}
		if a[0] != b[0] {
			return cmp.Compare(a[0], b[0])
		}
		a, b = a[1:], b[1:]
	}
	return cmp.Compare(len(a), len(b))
}

// digits counts the digits at the start of a string.
func digits(s string) int {
	n := 0
	for n < len(s) && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	return n
}
