package review

import (
	"context"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/catalogue"
	"voidcheck/checks/measure"
	"voidcheck/checks/recognise"
	"voidcheck/checks/shown"
	"voidcheck/checks/void"
	"voidcheck/ifcx/source"
)

// Model is a building that is read and recognised once, to be judged under several
// adoptions. Its voids are worked out once for each least gap that adoptions ask about; other
// limits change nothing in them. It is for one goroutine at a time.
type Model struct {
	Building *recognise.Building
	Facts    adoption.Facts
	Log      *source.Log
	solved   map[float64]*void.Result // by least gap, metres
}

// Load reads and recognises models; of the options it takes the files, the submittal and the
// lexicon.
func Load(ctx context.Context, opt Options) (*Model, error) {
	opt.Adoption = ""
	s, err := read(ctx, opt)
	if err != nil {
		return nil, err
	}
	return &Model{Building: s.building, Facts: s.facts, Log: s.log, solved: map[float64]*void.Result{}}, nil
}

// Judge runs the checks under an adoption.
func (m *Model) Judge(ctx context.Context, a *adoption.Adoption, units measure.System) (*checks.Output, error) {
	gap := leastGap(a)
	m.Building.Input.MaxGap = gap
	if m.solved[gap] == nil {
		r, err := void.Solve(ctx, &m.Building.Input)
		if err != nil {
			return nil, err
		}
		m.solved[gap] = r
	}
	return checks.Run(ctx, checks.Input{
		Catalogue: catalogue.Checks(), Building: m.Building, Voids: m.solved[gap], Adoption: a, Facts: m.Facts, Units: units,
		Shows: shown.In(m.Building, m.solved[gap]),
	})
}

// Solved returns the voids worked out so far, by least gap in metres.
func (m *Model) Solved() map[float64]*void.Result { return m.solved }

// Restore makes a model of what one was made of before.
func Restore(b *recognise.Building, f adoption.Facts, log *source.Log, solved map[float64]*void.Result) *Model {
	return &Model{Building: b, Facts: f, Log: log, solved: solved}
}
