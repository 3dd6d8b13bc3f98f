package model

import (
	"math"
	"strings"

	"voidcheck/ifcx/graph"
)

// unit turns numbers of a file into SI: si = (x - offset) * factor.
type unit struct {
	factor, offset float64
	name           string // "millimetre", "foot"
}

func (u unit) si(x float64) float64 { return (x - u.offset) * u.factor }

// unitTable holds the units a project assigns, by IfcUnitEnum or IfcDerivedUnitEnum name.
type unitTable struct {
	byType map[string]unit
}

// prefixes are the SI prefixes of IfcSIPrefix.
var prefixes = map[string]float64{
	"EXA": 1e18, "PETA": 1e15, "TERA": 1e12, "GIGA": 1e9, "MEGA": 1e6, "KILO": 1e3, "HECTO": 1e2, "DECA": 1e1,
	"DECI": 1e-1, "CENTI": 1e-2, "MILLI": 1e-3, "MICRO": 1e-6, "NANO": 1e-9, "PICO": 1e-12, "FEMTO": 1e-15, "ATTO": 1e-18,
}

// readUnits reads the project's IfcUnitAssignment. Without one, SI units without prefix are
// taken and the log says so.
func (v *view) readUnits() *unitTable {
	t := &unitTable{byType: map[string]unit{}}
	for _, p := range v.rows("IfcProject") {
		for _, id := range v.row(p.ref("UnitsInContext")).refs("Units") {
			r := v.row(id)
			if u, ok := v.unit(id, 0); ok {
				if k := r.enum("UnitType"); k != "" {
					if _, dup := t.byType[k]; !dup {
						t.byType[k] = u
					}
				}
			}
		}
	}
	l, ok := t.byType["LENGTHUNIT"]
	if !ok {
		l = unit{factor: 1, name: "metre"}
		t.byType["LENGTHUNIT"] = l
		v.warn(row{}, "no-length-unit", "the project assigns no length unit, metres are assumed", "export the model with a unit assignment")
	}
	for kind, power := range map[string]float64{"AREAUNIT": 2, "VOLUMEUNIT": 3} {
		if _, ok := t.byType[kind]; !ok {
			t.byType[kind] = unit{factor: math.Pow(l.factor, power)}
		}
	}
	return t
}

// length returns the length unit.
func (t *unitTable) length() unit { return t.byType["LENGTHUNIT"] }

// measure returns the unit for a measure type such as "IfcPositiveLengthMeasure"; false
// when the type has no unit (IfcLabel, IfcReal, IfcCountMeasure).
func (t *unitTable) measure(typ string) (unit, bool) {
	s, ok := strings.CutPrefix(typ, "Ifc")
	if !ok {
		return unit{}, false
	}
	if s, ok = strings.CutSuffix(s, "Measure"); !ok {
		return unit{}, false
	}
	s = strings.TrimPrefix(strings.TrimPrefix(s, "Positive"), "NonNegative")
	u, ok := t.byType[strings.ToUpper(s)+"UNIT"]
	return u, ok
}

// unit reads one named or derived unit.
func (v *view) unit(id graph.ID, depth int) (unit, bool) {
	r := v.row(id)
	if r.ent == nil || depth > 8 {
		return unit{}, false
	}
	switch {
	case r.ent.Is("IfcSIUnit"):
		return siUnit(r.enum("Prefix"), r.enum("Name"))
	case r.ent.Is("IfcConversionBasedUnit"):
		m := v.row(r.ref("ConversionFactor"))
		x, ok := m.num("ValueComponent")
		base, ok2 := v.unit(m.ref("UnitComponent"), depth+1)
		if !ok || !ok2 || x <= 0 || math.IsInf(x, 0) || math.IsNaN(x) {
			v.warn(r, "bad-unit", "the conversion factor of unit "+quote(r.str("Name"))+" cannot be read", "export the model again with SI units")
			return unit{}, false
		}
		off, _ := r.num("ConversionOffset") // IfcConversionBasedUnitWithOffset
		return unit{factor: x * base.factor, offset: off, name: strings.ToLower(r.str("Name"))}, true
	case r.ent.Is("IfcDerivedUnit"):
		f := 1.0
		for _, e := range r.refs("Elements") {
			er := v.row(e)
			u, ok := v.unit(er.ref("Unit"), depth+1)
			exp, ok2 := er.num("Exponent")
			if !ok || !ok2 {
				return unit{}, false
			}
			f *= math.Pow(u.factor, exp)
		}
		return unit{factor: f, name: strings.ToLower(r.str("UserDefinedType"))}, true
	}
	return unit{}, false // monetary and context dependent units have no SI value
}

// siUnit returns the factor of an SI unit. A prefix of a square or cubic metre applies to
// the metre: MILLI SQUARE_METRE is a square millimetre.
func siUnit(prefix, name string) (unit, bool) {
	if name == "" {
		return unit{}, false
	}
	f := 1.0
	if prefix != "" {
		p, ok := prefixes[prefix]
		if !ok {
			return unit{}, false
		}
		f = p
	}
	u := unit{name: strings.ToLower(prefix + strings.ReplaceAll(name, "_", " "))}
	switch name {
	case "SQUARE_METRE":
		f *= f
	case "CUBIC_METRE":
		f *= f * f
	case "GRAM": // the SI unit of mass is the kilogram
		f *= 1e-3
	case "DEGREE_CELSIUS": // SI is kelvin: K = C + 273.15
		u.offset = -273.15
	}
	u.factor = f
	return u, true
}
