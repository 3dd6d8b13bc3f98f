// Package voidservices is the void-services check.
package voidservices

import (
	"context"
	"fmt"
	"strings"

	"voidcheck/checks"
	"voidcheck/checks/equipment"
	"voidcheck/checks/finding"
	"voidcheck/checks/place"
	"voidcheck/checks/void"
)

// Check is the void-services check.
var Check = &checks.Check{
	Name:  "void-services",
	Title: "services inside combustible concealed spaces",
	Doc: "Notes, no requirement: which services are modelled inside each combustible concealed space, and which of them carry current and so may start a fire unseen: " +
		"cables, boxes, lights, appliances and machines.",
	Topic: "services in combustible concealed spaces",
	Run:   run,
}

// order is the order in which kinds are named: what may ignite first.
var order = []equipment.Kind{
	equipment.Machine, equipment.Appliance, equipment.Light, equipment.Box, equipment.Cable, equipment.Duct, equipment.Pipe, equipment.Sprinkler, equipment.Other,
}

var plural = map[equipment.Kind]string{equipment.Box: "outlets or boxes"}

func run(ctx context.Context, p *checks.Pass) error {
	w := place.New(p.Building, p.Voids, p.Units)
	n := 0
	for _, v := range p.Voids.Voids {
		if v.Combustible && len(v.Services) > 0 {
			one(p, w, v)
			n++
		}
	}
	if n == 0 && len(p.Voids.Voids) > 0 {
		r := checks.Report{Outcome: finding.Note, Evidence: finding.Modelled, Storey: -1, Place: "combustible concealed spaces", Cause: "no services inside",
			Message: "No service is modelled inside any combustible concealed space."}
		if !services(p) {
			r.Message = "No services are modelled at all; what stands in the concealed spaces cannot be told."
		}
		p.Report(r)
	}
	return ctx.Err()
}

func services(p *checks.Pass) bool {
	for i := range p.Building.Input.Parts {
		if p.Building.Input.Parts[i].Role == void.RoleService {
			return true
		}
	}
	return false
}

// one notes the services of one void.
func one(p *checks.Pass, w *place.Words, v *void.Void) {
	count := map[equipment.Kind]int{}
	live := 0
	for _, e := range v.Services {
		k := equipment.Of(p.Building, e)
		count[k]++
		if k.Electrical() {
			live++
		}
	}
	var parts []string
	for _, k := range order {
		switch n := count[k]; {
		case n == 1:
			parts = append(parts, "1 "+string(k))
		case n > 1 && plural[k] != "":
			parts = append(parts, fmt.Sprintf("%d %s", n, plural[k]))
		case n > 1:
			parts = append(parts, fmt.Sprintf("%d %ss", n, k))
		}
	}
	r := checks.Report{
		Outcome: finding.Note, Evidence: finding.Modelled, Storey: v.Storey, Units: v.Units, Place: w.Void(v) + ", services", Voids: []*void.Void{v},
		Elements: v.Services, Cause: "services inside",
	}
	if len(v.Compartments) > 0 {
		r.Point = v.Compartments[0].Point
	}
	switch live {
	case 0:
		r.Message = fmt.Sprintf("Inside this combustible concealed space: %s. None of them carries current.", place.List(parts))
	default:
		r.Cause = "electrical services inside"
		r.Message = fmt.Sprintf("Inside this combustible concealed space: %s. %d of them may start a fire unseen.", place.List(parts), live)
	}
	r.Message = strings.TrimSpace(r.Message)
	p.Report(r)
}
