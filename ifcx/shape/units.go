package shape

import (
	"math"
	"strings"

	"voidcheck/ifcx/graph"
)

// prefixes are the SI prefixes as powers of ten (ISO 80000-1, named as in IfcSIPrefix).
var prefixes = map[string]float64{
	"EXA": 1e18, "PETA": 1e15, "TERA": 1e12, "GIGA": 1e9, "MEGA": 1e6, "KILO": 1e3, "HECTO": 1e2, "DECA": 1e1,
	"DECI": 1e-1, "CENTI": 1e-2, "MILLI": 1e-3, "MICRO": 1e-6, "NANO": 1e-9, "PICO": 1e-12, "FEMTO": 1e-15, "ATTO": 1e-18,
}

// powers are the powers of the base unit in units of area and volume: MILLI SQUARE_METRE is
// a square millimetre.
var powers = map[string]float64{"SQUARE_METRE": 2, "CUBIC_METRE": 3}

// LengthUnit returns the metres in the project's length unit and its name in lower case
// ("millimetre", "foot"). A file without one has metres.
func LengthUnit(g *graph.Graph) (metres float64, name string) {
	return projectUnit(g, "LENGTHUNIT", "metre")
}

// AreaUnit returns the square metres in the project's area unit.
func AreaUnit(g *graph.Graph) float64 {
	f, name := projectUnit(g, "AREAUNIT", "")
	if name == "" {
		l, _ := LengthUnit(g)
		return l * l
	}
	return f
}

// VolumeUnit returns the cubic metres in the project's volume unit.
func VolumeUnit(g *graph.Graph) float64 {
	f, name := projectUnit(g, "VOLUMEUNIT", "")
	if name == "" {
		l, _ := LengthUnit(g)
		return l * l * l
	}
	return f
}

// AngleUnit returns the radians in the project's plane angle unit and its name ("radian",
// "degree"). A file without one has radians.
func AngleUnit(g *graph.Graph) (radians float64, name string) {
	return projectUnit(g, "PLANEANGLEUNIT", "radian")
}

// projectUnit looks the unit up in the project's assignment, or in any assignment of a file
// without a project that names one.
func projectUnit(g *graph.Graph, unitType, otherwise string) (float64, string) {
	var assignments []graph.ID
	for _, kind := range []string{"IfcProject", "IfcContext"} {
		for _, p := range g.ByType(kind, true) {
			if a := g.Ref(p, "UnitsInContext"); a != 0 {
				assignments = append(assignments, a)
			}
		}
	}
	if len(assignments) == 0 {
		assignments = g.ByType("IfcUnitAssignment", false)
	}
	for _, a := range assignments {
		for _, u := range g.Refs(a, "Units") {
			if g.Enum(u, "UnitType") != unitType {
				continue
			}
			if f, name, ok := UnitFactor(g, u); ok {
				return f, name
			}
		}
	}
	return 1, otherwise
}

// UnitFactor returns how many SI units (metre, square metre, cubic metre, radian ...) a named
// unit is, and its name in lower case; ok is false when that cannot be told from the file.
func UnitFactor(g *graph.Graph, unit graph.ID) (factor float64, name string, ok bool) {
	factor, name, ok = unitFactor(g, unit, 0)
	if math.IsNaN(factor) {
		name = strings.ToLower(strings.TrimSpace(g.Str(unit, "Name")))
		factor, ok = namedUnits[name]
	}
	return factor, name, ok
}

func unitFactor(g *graph.Graph, unit graph.ID, depth int) (float64, string, bool) {
	if depth > 8 { // a conversion in terms of itself
		return math.NaN(), "", false
	}
	if g.Is(unit, "IfcSIUnit") {
		base := g.Enum(unit, "Name")
		prefix := g.Enum(unit, "Prefix")
		f := 1.0
		if p, known := prefixes[prefix]; known {
			f = p
			if n, squared := powers[base]; squared {
				f = math.Pow(p, n)
			}
		}
		if base == "GRAM" { // the SI unit of mass has a prefix
			f /= 1000
		}
		return f, strings.ToLower(prefix + base), base != ""
	}
	if !g.Is(unit, "IfcConversionBasedUnit") {
		return 0, "", false
	}
	name := strings.ToLower(strings.TrimSpace(g.Str(unit, "Name")))
	if m := g.Ref(unit, "ConversionFactor"); m != 0 {
		v, ok := g.Float(m, "ValueComponent")
		base := g.Ref(m, "UnitComponent")
		f, _, known := unitFactor(g, base, depth+1)
		if math.IsNaN(f) {
			return f, name, false
		}
		if ok && known && v > 0 && !math.IsInf(v, 0) {
			return v * f, name, true
		}
	}
	f, ok := namedUnits[name]
	return f, name, ok
}

// namedUnits are conversion-based units whose factor is missing or damaged: the names that
// the documentation of IfcConversionBasedUnit lists. Exact by the international yard and
// pound agreement of 1959; from memory.
var namedUnits = map[string]float64{
	"inch": 0.0254, "foot": 0.3048, "yard": 0.9144, "mile": 1609.344,
	"square inch": 0.0254 * 0.0254, "square foot": 0.3048 * 0.3048, "square yard": 0.9144 * 0.9144,
	"cubic inch": 0.0254 * 0.0254 * 0.0254, "cubic foot": 0.3048 * 0.3048 * 0.3048,
	"degree": math.Pi / 180,
}
