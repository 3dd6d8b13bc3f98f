package measure

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The exact values are those of 16 CFR 500.19 (1 in = 25.4 mm, 1 ft = 0.3048 m,
// 1 ft2 = 0.09290304 m2), worked out by hand for the limits of the model codes.
func TestParseExact(t *testing.T) {
	tests := []struct {
		dim  Dim
		in   string
		want float64
	}{
		{Area, "1000 ft2", 92.90304},
		{Area, "1,000 ft2", 92.90304},
		{Area, "1000 ft²", 92.90304},
		{Area, "1000 sq. ft.", 92.90304},
		{Area, "1000sf", 92.90304},
		{Area, "3000 ft2", 278.70912},
		{Area, "500 square feet", 46.45152},
		{Area, "100 ft2", 9.290304},
		{Area, "80 ft2", 7.4322432},
		{Area, "30 ft2", 2.7870912},
		{Area, "16 in2", 0.01032256},
		{Area, "100 in2", 0.064516},
		{Area, "93 m2", 93},
		{Area, "92.9\u00a0m²", 92.9},
		{Length, "10 ft", 3.048},
		{Length, "4 ft", 1.2192},
		{Length, "30 in", 0.762},
		{Length, "24 in", 0.6096},
		{Length, "16 in", 0.4064},
		{Length, "1/2 in", 0.0127},
		{Length, "½ in", 0.0127},
		{Length, "1-1/2 in", 0.0381},
		{Length, "23/32 in", 0.01825625},
		{Length, "12.7 mm", 0.0127},
		{Length, "0.0127 m", 0.0127},
		{Length, `10'-6 1/2"`, 3.2131},
		{Length, `10′-6½″`, 3.2131},
		{Length, `3'-4 1/2"`, 1.0287},
		{Length, `3' 4"`, 1.016},
		{Length, "10 ft 6 in", 3.2004},
		{Length, "10'", 3.048},
		{Length, "120 In.", 3.048},
		{Density, "100 in2 per 100 ft2", 1.0 / 144},
		{Density, "100 sq in in any 100 sq ft", 1.0 / 144},
		{Ratio, "1.25", 1.25},
		{Ratio, "5/4", 1.25},
		{Count, "2", 2},
	}
	for _, tt := range tests {
		got, err := Parse(tt.dim, tt.in)
		if err != nil || got != tt.want {
			t.Errorf("Parse(%v, %q) = %v, %v; want %v", tt.dim, tt.in, got, err, tt.want)
		}
	}
}

func TestParseErrors(t *testing.T) {
	tests := []struct {
		dim      Dim
		in, want string
	}{
		{Area, "1000", `"1000" has no unit; write "1000 ft2"`},
		{Length, "10", `"10" has no unit; write "10 in"`},
		{Area, "1000 ft", `"1000 ft" is a length, but an area is wanted; write for example "1000 ft2"`},
		{Length, "10 ft2", `"10 ft2" is an area, but a length is wanted; write for example "1/2 in"`},
		{Area, "1000 fot2", `"1000 fot2": "fot2" is not a unit of area; use ft2, in2, m2, cm2 or mm2`},
		{Length, "12,7 mm", `"12,7 mm" is not a length: the decimal mark is a point: 12.7; write for example "1/2 in"`},
		{Length, "1/0 in", `"1/0 in" is not a length: the fraction 1/0 divides by zero; write for example "1/2 in"`},
		{Length, "-5 ft", `"-5 ft" is negative; a length of 0 or more is wanted`},
		{Length, "", `the length is empty; write for example "1/2 in"`},
		{Length, "a lot", `"a lot" is not a length: it does not start with a number; write for example "1/2 in"`},
		{Length, "1e400 m", `"1e400 m": "e400 m" is not a unit of length; use ft, in, m, cm or mm`},
		{Density, "100 in2", `"100 in2" is not an area per area; write for example "100 in2 per 100 ft2"`},
		{Density, "1 in2 per 0 ft2", `"1 in2 per 0 ft2" divides by no area; write for example "100 in2 per 100 ft2"`},
		{Ratio, "1.25 ft", `"1.25 ft" has a unit, but a plain number is wanted; write "1.25"`},
		{Count, "1.5", `"1.5" is not a whole number; write for example "2"`},
	}
	for _, tt := range tests {
		_, err := Parse(tt.dim, tt.in)
		if err == nil || err.Error() != tt.want {
			t.Errorf("Parse(%v, %q) error = %v\nwant %s", tt.dim, tt.in, err, tt.want)
		}
	}
}

func TestPrint(t *testing.T) {
	tests := []struct {
		v    float64
		unit string
		us   string
		si   string
	}{
		{1.0287, "m", `3'-4 1/2"`, "1.03 m"},
		{0.0127, "m", `1/2"`, "12.7 mm"},
		{0, "m", `0"`, "0 mm"},
		{0.3048, "m", `1'-0"`, "305 mm"},
		{3.2131, "m", `10'-6 1/2"`, "3.21 m"},
		{0.30479, "m", `1'-0"`, "305 mm"}, // rounds up over the foot
		{-0.0127, "m", `-1/2"`, "-12.7 mm"},
		{132, "m2", "1,421 ft2", "132.0 m2"},
		{7.4322432, "m2", "80.0 ft2", "7.4 m2"},
		{92.90304, "m2", "1,000 ft2", "92.9 m2"},
		{570.868, "m3", "20,160 ft3", "570.9 m3"},
		{1.25, "ratio", "1.25", "1.25"},
		{3, "count", "3", "3"},
	}
	for _, tt := range tests {
		if got := Format(tt.v, tt.unit, US); got != tt.us {
			t.Errorf("Format(%v %s, US) = %s, want %s", tt.v, tt.unit, got, tt.us)
		}
		if got := Format(tt.v, tt.unit, SI); got != tt.si {
			t.Errorf("Format(%v %s, SI) = %s, want %s", tt.v, tt.unit, got, tt.si)
		}
	}
}

// A finding over its limit must never read as equal to it. 92.95 m2 is 1,000.506 ft2.
func TestFormatPair(t *testing.T) {
	tests := []struct {
		v, limit float64
		unit     string
		sys      System
		a, b     string
	}{
		{92.92, 92.90304, "m2", US, "1,000.2 ft2", "1,000 ft2"},
		{92.91, 92.90304, "m2", SI, "92.91 m2", "92.9 m2"},
		{0.0130, 0.0127, "m", US, `0.51"`, `0.5"`},
		{3.0474, 3.048, "m", SI, "3,047 mm", "3,048 mm"}, // 10 ft
		{3.0482, 3.048, "m", SI, "3,048.2 mm", "3,048 mm"},
		{3.0485, 3.048, "m", US, `10'-0.02"`, `10'-0"`},
		{3.0474, 3.048, "m", US, `9'-11.98"`, `10'-0"`},
		{1.251, 1.25, "ratio", US, "1.251", "1.25"},
		{0.01272, 0.0127, "m", SI, "12.72 mm", "12.7 mm"},
		{0.57, 0.0127, "m", US, `1'-10 7/16"`, `1/2"`},
		{5, 5, "m", SI, "5.00 m", "5.00 m"},
	}
	for _, tt := range tests {
		a, b := FormatPair(tt.v, tt.limit, tt.unit, tt.sys)
		if a != tt.a || b != tt.b {
			t.Errorf("FormatPair(%v, %v, %s) = %s, %s; want %s, %s", tt.v, tt.limit, tt.sys, a, b, tt.a, tt.b)
		}
	}
}

func TestPrintedLengthReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sixteenths := rapid.IntRange(0, 200_000).Draw(t, "sixteenths")
		want := float64(sixteenths) * MetresPerInch / 16
		got, err := Parse(Length, FormatLength(want, US))
		if err != nil || math.Abs(got-want) > 1e-9 {
			t.Fatalf("%d/16 in prints %s, reads %v, %v", sixteenths, FormatLength(want, US), got, err)
		}
	})
}

// Two figures that a pair tells apart also read back in the same order.
func TestPairReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		limit := rapid.Float64Range(0.001, 20).Draw(t, "limit")
		v := limit + rapid.Float64Range(-0.002, 0.002).Draw(t, "off")
		sys := rapid.SampledFrom([]System{US, SI}).Draw(t, "system")
		if v <= 0 {
			return
		}
		a, b := FormatPair(v, limit, "m", sys)
		if a == b {
			return // closer than any instrument measures
		}
		x, err := Parse(Length, a)
		if err != nil {
			t.Fatalf("%s: %v", a, err)
		}
		y, err := Parse(Length, b)
		if err != nil {
			t.Fatalf("%s: %v", b, err)
		}
		if (x < y) != (v < limit) {
			t.Fatalf("%v beside %v prints %s beside %s", v, limit, a, b)
		}
		if math.Abs(x-v) > 0.006 {
			t.Fatalf("%v prints %s", v, a)
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"1000 ft2", `10'-6 1/2"`, "100 in2 per 100 ft2", "1/0 in", "½", "''''", "- -"} {
		f.Add(uint8(0), s)
		f.Add(uint8(2), s)
	}
	f.Fuzz(func(t *testing.T, d uint8, s string) {
		v, err := Parse(Dim(d%5), s)
		if err == nil && (v < 0 || math.IsNaN(v) || math.IsInf(v, 0)) {
			t.Errorf("Parse(%v, %q) = %v", Dim(d%5), s, v)
		}
		if err != nil && err.Error() == "" {
			t.Error("an error without words")
		}
	})
}
