package model

import (
	"fmt"
	"math"
	"strings"

	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/shape"
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

// converts reports whether a conversion based unit says in terms of SI units what it is.
func (v *view) converts(r row) bool {
	m := v.row(r.ref("ConversionFactor"))
	f, ok := m.num("ValueComponent")
	base := m.ref("UnitComponent")
	_, _, known := shape.UnitFactor(v.g, base)
	return ok && f > 0 && !math.IsInf(f, 0) && known && base != r.id
}

// unit reads one named or derived unit.
func (v *view) unit(id graph.ID, depth int) (unit, bool) {
	r := v.row(id)
	if r.ent == nil || depth > 8 {
		return unit{}, false
	}
	switch {
	case r.ent.Is("IfcSIUnit"), r.ent.Is("IfcConversionBasedUnit"):
		f, name, ok := shape.UnitFactor(v.g, id)
		if !ok {
			v.warn(r, "bad-unit", "the unit "+quote(r.str("Name"))+" cannot be converted to SI", "export the model again with SI units")
			return unit{}, false
		}
		if r.ent.Is("IfcConversionBasedUnit") && !v.converts(r) {
			v.warn(r, "bad-unit", fmt.Sprintf("its conversion factor cannot be used; by its name the unit is read as %g", f), "export the model again with SI units")
		}
		u := unit{factor: f, name: strings.ReplaceAll(name, "_", " ")}
		if r.enum("Name") == "DEGREE_CELSIUS" { // K = C + 273.15
			u.offset = -273.15
		}
		if off, has := r.num("ConversionOffset"); has { // IfcConversionBasedUnitWithOffset
			u.offset = off
		}
		return u, true
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
