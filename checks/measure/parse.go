package measure

import (
	"fmt"
	"math/big"
	"regexp"
	"strings"
	"sync"
)

// Parse reads a quantity of the dimension and returns it in SI. The error says what was
// found and what to write instead.
func Parse(d Dim, s string) (float64, error) {
	r, err := parse(d, s)
	if err != nil {
		return 0, err
	}
	v, _ := r.Float64()
	return v, nil
}

func parse(d Dim, s string) (*big.Rat, error) {
	t := strings.TrimSpace(plain.Replace(s))
	switch {
	case t == "":
		return nil, fmt.Errorf("the %s is empty; write for example %q", d, example(d))
	case len(t) > 64:
		return nil, fmt.Errorf("%q... is too long for %s; write for example %q", t[:20], d.article(), example(d))
	case strings.HasPrefix(t, "-"):
		return nil, fmt.Errorf("%q is negative; %s of 0 or more is wanted", s, d.article())
	}
	switch d {
	case Ratio, Count:
		return parsePlain(d, s, t)
	case Density:
		return parseDensity(s, t)
	case Length:
		if r, ok := feetAndInches(t); ok {
			return r, nil
		}
	}
	return parseWithUnit(d, s, t)
}

// parsePlain reads a number without a unit.
func parsePlain(d Dim, s, t string) (*big.Rat, error) {
	num, unitText := split(t)
	r, err := number(num)
	if err != nil {
		return nil, fmt.Errorf("%q is not %s: %w; write for example %q", s, d.article(), err, example(d))
	}
	if unitText != "" {
		return nil, fmt.Errorf("%q has a unit, but a plain number is wanted; write %q", s, num)
	}
	if d == Count && !r.IsInt() {
		return nil, fmt.Errorf("%q is not a whole number; write for example %q", s, example(d))
	}
	return r, nil
}

// parseDensity reads "AREA per AREA".
func parseDensity(s, t string) (*big.Rat, error) {
	a, b, ok := strings.Cut(t, " per ")
	if !ok {
		a, b, ok = strings.Cut(t, " in any ")
	}
	if !ok {
		return nil, fmt.Errorf("%q is not an area per area; write for example %q", s, example(Density))
	}
	top, err := parse(Area, a)
	if err != nil {
		return nil, err
	}
	bottom, err := parse(Area, b)
	if err != nil {
		return nil, err
	}
	if bottom.Sign() == 0 {
		return nil, fmt.Errorf("%q divides by no area; write for example %q", s, example(Density))
	}
	return top.Quo(top, bottom), nil
}

func parseWithUnit(d Dim, s, t string) (*big.Rat, error) {
	num, unitText := split(t)
	r, err := number(num)
	if err != nil {
		return nil, fmt.Errorf("%q is not %s: %w; write for example %q", s, d.article(), err, example(d))
	}
	if unitText == "" {
		return nil, fmt.Errorf("%q has no unit; write %q", s, num+" "+usual(d))
	}
	u, ok := spellings[unitKey(unitText)]
	if !ok {
		return nil, fmt.Errorf("%q: %q is not a unit of %s; use %s", s, unitText, d, units(d))
	}
	if u.dim != d {
		return nil, fmt.Errorf("%q is %s, but %s is wanted; write for example %q", s, u.dim.article(), d.article(), example(d))
	}
	return r.Mul(r, u.factor()), nil
}

var feetInches = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^(.+?)\s*(?:'|ft\.?|feet|foot)\s*-?\s*(.+?)\s*(?:"|in\.?|inch|inches)$`)
})

// feetAndInches reads 10'-6 1/2", 10 ft 6 in and the like.
func feetAndInches(t string) (*big.Rat, bool) {
	m := feetInches().FindStringSubmatch(strings.ToLower(t))
	if m == nil {
		return nil, false
	}
	f, err := number(m[1])
	if err != nil {
		return nil, false
	}
	i, err := number(strings.TrimSpace(m[2]))
	if err != nil {
		return nil, false
	}
	f.Mul(f, foot.factor())
	return f.Add(f, i.Mul(i, inch.factor())), true
}

// split parts a quantity into its number and its unit words. A digit directly after a
// letter belongs to the unit (ft2).
func split(t string) (num, unitText string) {
	i := strings.IndexFunc(t, func(r rune) bool { return !strings.ContainsRune("0123456789 .,/-", r) })
	if i < 0 {
		return t, ""
	}
	return strings.TrimRight(t[:i], " -"), strings.TrimSpace(t[i:])
}

func unitKey(s string) string {
	return strings.NewReplacer(" ", "", ".", "").Replace(strings.ToLower(s))
}

var (
	decimal = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`^(\d{1,9}|\d{1,3}(,\d{3})+)(\.\d{1,9})?$|^\.\d{1,9}$`)
	})
	fraction  = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^(?:(\d{1,6})[ -]\s*)?(\d{1,4})\s*/\s*(\d{1,4})$`) })
	commaMark = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^\d+,\d+$`) })
)

// number reads a decimal, a fraction or a mixed number: 10, 0.5, 1,000, 1/2, 6 1/2, 6-1/2.
func number(s string) (*big.Rat, error) {
	s = strings.TrimSpace(s)
	if decimal().MatchString(s) {
		r, _ := new(big.Rat).SetString(strings.ReplaceAll(s, ",", ""))
		return r, nil
	}
	if m := fraction().FindStringSubmatch(s); m != nil {
		r, ok := new(big.Rat).SetString(m[2] + "/" + m[3])
		if !ok || strings.Trim(m[3], "0") == "" {
			return nil, fmt.Errorf("the fraction %s divides by zero", s)
		}
		if m[1] != "" {
			whole, _ := new(big.Rat).SetString(m[1])
			r.Add(r, whole)
		}
		return r, nil
	}
	switch {
	case s == "":
		return nil, fmt.Errorf("it does not start with a number")
	case commaMark().MatchString(s):
		return nil, fmt.Errorf("the decimal mark is a point: %s", strings.Replace(s, ",", ".", 1))
	}
	return nil, fmt.Errorf("%q is not a number", s)
}

func example(d Dim) string {
	return [...]string{"1/2 in", "1000 ft2", "100 in2 per 100 ft2", "1.25", "2"}[d]
}

func usual(d Dim) string {
	if d == Area {
		return "ft2"
	}
	return "in"
}

func units(d Dim) string {
	if d == Area {
		return "ft2, in2, m2, cm2 or mm2"
	}
	return "ft, in, m, cm or mm"
}
