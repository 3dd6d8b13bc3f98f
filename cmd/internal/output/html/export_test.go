package html

import (
	"testing"

	"voidcheck/checks/finding"
)

// Hostile is a report in which every name tries to become markup or script.
func Hostile(t testing.TB) *finding.Report {
	r := sample(t)
	poison(r)
	return r
}
