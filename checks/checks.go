// Package checks is the contract of a check and its driver: a check reads what was
// recognised and solved, and reports items; the driver adds keys, sections, exemptions,
// consequence, comments and order. No check imports another check.
package checks

import (
	"context"

	"voidcheck/checks/adoption"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/measure"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Check is one requirement of the catalogue.
type Check struct {
	Name   string           // key in adoption files, in findings, for --check
	Title  string           // one line, no full stop
	Doc    string           // what it decides, for users
	Topic  string           // words of the section placeholder
	Params []adoption.Param // its parameters with defaults and sources
	Run    func(context.Context, *Pass) error
	// Inventory: its notes are a list for the reader (of voids, say), not comments.
	Inventory bool
}

// Pass is what a check sees; read only but for Report.
type Pass struct {
	Check    *Check
	Building *recognise.Building
	Voids    *void.Result
	Limits   adoption.Limits // typed values of this check's parameters, SI
	Facts    adoption.Facts  // what the submittal file says
	// OddOccupancy is true where the submittal file names an occupancy that neither its schema
	// nor the adoption file knows: it decides no condition.
	OddOccupancy bool
	Units        measure.System // the unit system of the texts; "" is US
	Report       func(Report)
	detail       *grade.Detail
}

// Detail says how far the model goes, for grading what is not there.
func (p *Pass) Detail() *grade.Detail {
	if p.detail == nil {
		p.detail = grade.DetailOf(&p.Building.Input, p.Voids)
	}
	return p.detail
}

// Report is what a check alone knows about an item; the driver does the rest.
type Report struct {
	Outcome  finding.Outcome
	Evidence finding.Evidence
	Storey   int // index, -1 when none
	Units    []int
	Place    string    // as a person would say it, without storey
	At       string    // where with a tape one finds it: "11'-4\" from the north end"; "" for no one spot
	Point    geom.Vec3 // building frame
	Elements []int     // model element indices
	Spaces   []*void.Compartment
	Voids    []*void.Void // for items about whole voids
	Measured *finding.Measure
	Limit    *finding.Measure
	Message  string
	Remedy   string
	// Aspect tells apart requirements of one check about the same thing at the same place: the
	// height of a cavity from its length. It is part of the key.
	Aspect string
	// Cause groups reports of this check into one comment; empty means the outcome alone.
	Cause string
	// Openings the item is about; the driver works out what they join, and area items name
	// the openings that make them a consequence.
	Openings []*void.Opening
	// Exemption names what an item with the outcome exempt rests on, where the model itself
	// and not the adoption decides it.
	Exemption string
	// Consequence marks an item that follows from Openings reported elsewhere.
	Consequence bool

	amended   *adoption.Amendment // whose limits the check went by, nil for the rule's own
	undecided string              // an amendment that unknown facts leave open
}
