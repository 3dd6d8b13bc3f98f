package finding

import (
	"strings"
	"unicode"
)

// longestUnit is where the name of a unit is cut in running text, in characters.
const longestUnit = 24

// UnitWords are the dwelling units as texts call them, one for each: by the names that the
// model gives ("Unit A", "Lot 14"), since these stand on the drawings; by their ids where
// the names are the ids or only spell them out ("Unit 3" is U3), and where names are missing
// or not distinct.
func UnitWords(units []Unit) []string {
	out := make([]string, len(units))
	ids := true
	seen := map[string]bool{}
	for i, u := range units {
		out[i] = u.ID
		ids = ids && spelled(u)
		seen[strings.ToLower(unitName(u.Name))] = true
	}
	if ids || len(seen) != len(units) || seen[""] {
		return out
	}
	for i, u := range units {
		out[i] = unitName(u.Name)
	}
	return out
}

// spelled reports whether a unit's name is its id, or its number with a word before it.
func spelled(u Unit) bool {
	n := strings.TrimSpace(u.Name)
	number := strings.TrimLeft(u.ID, "U")
	if n == "" || n == u.ID || n == number {
		return true
	}
	word, last, two := strings.Cut(n, " ")
	return two && last == number && strings.TrimFunc(word, unicode.IsLetter) == ""
}

// unitName is a name on one line, cut to a readable length; a number or a letter alone gets
// the word before it.
func unitName(s string) string {
	s = Clean(strings.Join(strings.Fields(s), " "))
	if s == "" {
		return ""
	}
	if r := []rune(s); len(r) > longestUnit {
		s = strings.TrimSpace(string(r[:longestUnit-1])) + "…"
	}
	if !strings.Contains(s, " ") && (len(s) < 3 || strings.ContainsAny(s[:1], "0123456789")) {
		s = "unit " + s
	}
	return s
}

// UnitLine names the line between two units by their words: "U1/U2", "A/B" for Unit A and
// Unit B, "Maple/Lot 14".
func UnitLine(a, b string) string {
	wa, ra, okA := strings.Cut(a, " ")
	wb, rb, okB := strings.Cut(b, " ")
	if okA && okB && wa == wb && !strings.Contains(ra, " ") && !strings.Contains(rb, " ") {
		return ra + "/" + rb
	}
	return a + "/" + b
}
