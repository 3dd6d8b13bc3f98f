package review

import (
	"slices"
	"sync"
	"time"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/critical"
	"voidcheck/checks/drawing"
	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
	"voidcheck/checks/propose"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Steps to which findings round: what lies below differs between exports of one model.
const (
	mm    = 1e-4 // lengths and coordinates, metres
	cm2   = 1e-4 // areas, square metres
	litre = 1e-3 // volumes, cubic metres
)

// report puts the findings together.
func report(opt Options, s *surveyed, out *checks.Output) *finding.Report {
	units := opt.Units
	if units == "" {
		units = measure.US
	}
	r := &finding.Report{
		Format: finding.Format, Tool: finding.Tool{Version: Version},
		Run:       finding.Run{At: opt.Now.UTC().Format(time.RFC3339), Round: max(1, s.facts.Round), Units: string(units), Only: opt.Only},
		Cautions:  finding.Cautions,
		Models:    models(s.building),
		Adoption:  finding.Adoption{Name: s.adoption.Name, SHA256: s.adoption.SHA256, Jurisdiction: s.adoption.Jurisdiction, Edition: s.adoption.Edition},
		Submittal: submittal(opt, s.facts),
		Checks:    out.Ran, Items: out.Items, Comments: out.Comments, MissingChecks: out.Missing,
		Problems: Fold(s.log.All(), s.voids.Warnings),
	}
	if len(out.Ran) > 0 {
		r.Unjudged = unjudged(s.building.Model, s.voids)
	}
	if r.Unjudged != "" {
		r.Cautions = append([]string{r.Unjudged}, r.Cautions...)
	}
	var parts sync.WaitGroup // none reads what another makes
	parts.Go(func() { r.Drawing = drawing.Make(s.building, s.voids, out.Items) })
	parts.Go(func() {
		r.Proposals = propose.Make(propose.Input{Building: s.building, Voids: s.voids, Items: out.Items, Reports: out.Reports, Units: units})
	})
	if len(out.Ran) > 0 {
		parts.Go(func() {
			r.Spread = critical.Make(critical.Input{Building: s.building, Voids: s.voids, Items: out.Items, Reports: out.Reports, Units: units})
		})
	}
	w := writer{s.building, s.voids}
	r.Building, r.Trusses = w.building(), w.trusses()
	r.Spaces, r.Openings = w.spaces(), w.openings()
	parts.Wait()
	return r
}

func models(b *recognise.Building) []finding.Model {
	var out []finding.Model
	for _, f := range b.Model.Files {
		out = append(out, finding.Model{
			File: f.Name, SHA256: f.SHA256, Schema: f.Schema, Discipline: f.Discipline, Entities: f.Entities,
			Tool: f.Tool, LengthUnit: f.LengthUnit, LengthUnitM: f.LengthUnitM,
		})
	}
	return out
}

func submittal(opt Options, f adoption.Facts) *finding.Submittal {
	if opt.Submittal == "" {
		return nil
	}
	return &finding.Submittal{
		Project: f.Project, Permit: f.Permit, Applicant: f.Applicant, Address: f.Address, Occupancy: f.Occupancy,
		Department: f.Department, Examiner: f.Examiner, Contact: f.Contact,
		Construction: f.Construction, Sprinklers: f.Sprinklers, SprinklersInVoids: f.SprinklersInVoids, Storeys: f.Storeys,
	}
}

// writer turns what was recognised and solved into sections of the findings.
type writer struct {
	b *recognise.Building
	r *void.Result
}

func (w writer) building() finding.Building {
	out := finding.Building{Project: w.b.Model.Project}
	for i, s := range w.b.Model.Storeys {
		out.Storeys = append(out.Storeys, finding.Storey{ID: s.GlobalID, Name: w.b.Model.StoreyName(i), ElevationM: checks.Round(s.ElevationM+w.b.Model.Origin.Z, mm)})
	}
	for _, u := range w.b.Units {
		out.Units = append(out.Units, finding.Unit{ID: u.ID, Name: u.Name, AreaM2: checks.Round(u.AreaM2, cm2), Assumed: u.Assumed, Reason: reason(u.Reason)})
	}
	for _, s := range w.b.Separations {
		var elements []int
		for _, i := range s.Walls {
			if i >= 0 && i < len(w.b.Input.Walls) {
				elements = append(elements, w.b.Input.Walls[i].Elements...)
			}
		}
		kind := s.Kind
		if kind == "" {
			kind = void.WallUnknown
		}
		out.Separations = append(out.Separations, finding.Separation{
			ID: s.ID, Units: w.units(s.Units[:]), Elements: w.ids(elements), Kind: string(kind), Reason: reason(s.Reason),
		})
	}
	return out
}

func reason(r recognise.Reason) string {
	if r.Value == "" {
		return r.Signal
	}
	return r.Signal + ": " + r.Value
}

func (w writer) trusses() finding.Trusses {
	var t finding.Trusses
	for _, x := range w.b.Trusses {
		if x.Concept == recognise.RoofTruss {
			t.Roof++
		} else {
			t.Floor++
		}
	}
	return t
}

func (w writer) spaces() []finding.Space {
	var out []finding.Space
	for _, v := range w.r.Voids {
		s := finding.Space{
			ID: finding.VoidID(v.Index), Kind: string(v.Kind), Storey: w.storey(v.Storey), Units: w.units(v.Units),
			Framing: string(v.Framing), SpacingM: checks.Round(v.SpacingM, mm), AreaM2: checks.Round(v.AreaM2, cm2),
			VolumeM3: checks.Round(v.VolumeM3, litre), HeightMaxM: checks.Round(v.HeightMaxM, mm),
			Services: w.ids(v.Services), Combustible: v.Combustible, CeilingAssumed: v.CeilingAssumed, Layered: v.Layered,
		}
		if s.Framing == "" {
			s.Framing = string(void.FramingUnknown)
		}
		for _, c := range v.Compartments {
			s.Compartments = append(s.Compartments, finding.Compartment{
				ID: finding.CompartmentID(v.Index, c.Number), AreaM2: checks.Round(c.AreaM2, cm2), VolumeM3: checks.Round(c.VolumeM3, litre),
				HeightMaxM: checks.Round(c.HeightMaxM, mm), Units: w.units(c.Units), Outline: w.outline(c.Outline),
			})
		}
		out = append(out, s)
	}
	return out
}

func (w writer) outline(rings [][]geom.Vec2) [][][2]float64 {
	o := w.b.Model.Origin
	out := make([][][2]float64, len(rings))
	for i, ring := range rings {
		for _, p := range ring {
			out[i] = append(out[i], [2]float64{checks.Round(p.X+o.X, mm), checks.Round(p.Y+o.Y, mm)})
		}
	}
	return out
}

func (w writer) openings() []finding.Opening {
	var out []finding.Opening
	for _, o := range w.r.Openings {
		if o.A == nil || o.B == nil || o.A.Void == nil || o.B.Void == nil {
			continue // leads into a room or out of the building
		}
		p := o.Point.Add(w.b.Model.Origin)
		out = append(out, finding.Opening{
			ID:      finding.OpeningID(o.Index),
			Between: []string{finding.CompartmentID(o.A.Void.Index, o.A.Number), finding.CompartmentID(o.B.Void.Index, o.B.Number)},
			Kind:    string(o.Kind), WidthM: checks.Round(o.WidthM, mm), HeightM: checks.Round(o.HeightM, mm),
			Point: [3]float64{checks.Round(p.X, mm), checks.Round(p.Y, mm), checks.Round(p.Z, mm)},
		})
	}
	return out
}

func (w writer) storey(i int) string {
	return w.b.Model.StoreyName(i)
}

func (w writer) units(list []int) []string {
	var out []string
	for _, u := range list {
		if u >= 0 && u < len(w.b.Units) {
			out = append(out, w.b.Units[u].ID)
		}
	}
	return out
}

// ids are the GlobalIds of elements, each once, in order.
func (w writer) ids(elements []int) []string {
	var out []string
	for _, e := range elements {
		if e >= 0 && e < len(w.b.Model.Elements) {
			if id := w.b.Model.Elements[e].GlobalID; id != "" && !slices.Contains(out, id) {
				out = append(out, id)
			}
		}
	}
	return out
}
