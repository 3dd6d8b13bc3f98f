package model

import "strconv"

// quote prints a name from a file inside a message.
func quote(s string) string { return strconv.Quote(s) }

// metres prints a length for a message, to a tenth of a millimetre.
func metres(x float64) string { return strconv.FormatFloat(x, 'f', 4, 64) + " m" }

// count prints "1 wall" or "3 walls".
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}
