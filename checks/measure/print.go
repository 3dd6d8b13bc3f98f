package measure

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// System is the unit system a reader chose.
type System string

// The unit systems.
const (
	US System = "us" // feet, inches in sixteenths, ft2, ft3
	SI System = "si" // m, mm, m2, m3
)

// FormatLength prints a length in metres, in one way in all texts: feet and inches to the
// sixteenth (3'-4 1/2", 1/2"); or metres to the centimetre (1.03 m), below a metre whole
// millimetres (521 mm), below a tenth of one tenths of them where there are any (12.7 mm, 9 mm).
// What has to be told from its limit more finely than that is the matter of FormatPair.
func FormatLength(m float64, sys System) string {
	if sys == SI {
		if math.Abs(m) >= 0.1 && math.Abs(m) < 0.9995 {
			return strconv.FormatFloat(m*1000, 'f', 0, 64) + " mm"
		}
		if math.Abs(m) < 0.1 {
			return trimZeros(strconv.FormatFloat(m*1000, 'f', 1, 64)) + " mm"
		}
		return strconv.FormatFloat(m, 'f', 2, 64) + " m"
	}
	return feetInchesSixteenths(m)
}

func feetInchesSixteenths(m float64) string {
	sign := ""
	if m < 0 {
		sign, m = "-", -m
	}
	n := int64(math.Round(m / MetresPerInch * 16))
	feet, n := n/192, n%192
	inches, n := n/16, n%16
	var b strings.Builder
	if feet == 0 && inches == 0 && n == 0 {
		return `0"`
	}
	b.WriteString(sign)
	if feet > 0 {
		fmt.Fprintf(&b, "%s'-", thousands(feet))
	}
	if inches > 0 || feet > 0 {
		b.WriteString(strconv.FormatInt(inches, 10))
		if n > 0 {
			b.WriteByte(' ')
		}
	}
	if n > 0 {
		d := int64(16)
		for n%2 == 0 {
			n, d = n/2, d/2
		}
		fmt.Fprintf(&b, "%d/%d", n, d)
	}
	b.WriteByte('"')
	return b.String()
}

// FormatArea prints an area in square metres: 1,421 ft2 or 132.0 m2.
func FormatArea(v float64, sys System) string { return area(v, sys, 0) }

// area prints with more places than usual, to tell a value from its limit.
func area(v float64, sys System, more int) string {
	unit, places := " m2", 1+more
	if sys != SI {
		v, unit, places = v/M2PerFt2, " ft2", more
		if math.Abs(v) < 99.95 {
			places++
		}
	}
	s := fixed(v, places)
	if more > 0 {
		s = trimZeros(s)
	}
	return s + unit
}

// FormatVolume prints a volume in cubic metres: 1,483 ft3 or 42.0 m3.
func FormatVolume(v float64, sys System) string {
	if sys == SI {
		return fixed(v, 1) + " m3"
	}
	return fixed(v/M3PerFt3, 0) + " ft3"
}

// Format prints a value given with its SI unit as findings carry it ("m", "m2", "m3",
// "ratio", "count").
func Format(v float64, unit string, sys System) string {
	switch unit {
	case "m":
		return FormatLength(v, sys)
	case "m2":
		return FormatArea(v, sys)
	case "m3":
		return FormatVolume(v, sys)
	case "count":
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	return trimZeros(strconv.FormatFloat(v, 'f', 2, 64))
}

// FormatPair prints a measured value beside its limit with enough places that two different
// values never read the same, and no more: lengths in millimetres (3,047 mm) or in decimals of an
// inch (9'-11.97"), areas with further decimals.
func FormatPair(v, limit float64, unit string, sys System) (value, bound string) {
	value, bound = Format(v, unit, sys), Format(limit, unit, sys)
	if value != bound || v == limit {
		return value, bound
	}
	for more := 1; more <= 5; more++ {
		both := func(print func(float64) string) { value, bound = print(v), print(limit) }
		switch {
		case unit == "m2":
			both(func(v float64) string { return area(v, sys, more) })
		case unit == "m" && sys == SI:
			both(func(v float64) string { return trimZeros(fixed(v*1000, more-1)) + " mm" })
		case unit == "m":
			both(func(v float64) string { return feetInchesDecimal(v, 1+more) })
		default:
			both(func(v float64) string { return trimZeros(fixed(v, 2+more)) })
		}
		if value != bound {
			return value, bound
		}
	}
	return value, bound
}

// feetInchesDecimal prints feet and decimal inches: 10'-0.02", 0.51".
func feetInchesDecimal(m float64, places int) string {
	sign, unit := "", math.Pow(10, float64(places))
	if m < 0 {
		sign, m = "-", -m
	}
	n := math.Round(m / MetresPerInch * unit) // of the last place, so that 12 in become a foot
	feet := math.Floor(n / (12 * unit))
	inches := trimZeros(strconv.FormatFloat((n-feet*12*unit)/unit, 'f', places, 64)) + `"`
	if feet > 0 {
		inches = thousands(int64(feet)) + "'-" + inches
	}
	return sign + inches
}

// fixed prints with a number of places and thousands commas.
func fixed(v float64, places int) string {
	s := strconv.FormatFloat(v, 'f', places, 64)
	whole, frac, dot := strings.Cut(s, ".")
	neg := strings.HasPrefix(whole, "-")
	n, err := strconv.ParseInt(strings.TrimPrefix(whole, "-"), 10, 64)
	if err != nil {
		return s
	}
	out := thousands(n)
	if neg && strings.Trim(s, "-0.") != "" {
		out = "-" + out
	}
	if dot {
		out += "." + frac
	}
	return out
}

func thousands(n int64) string {
	s := strconv.FormatInt(n, 10)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

func trimZeros(s string) string {
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}
