// Package catalogue lists the checks in the order of the product page. A check is added by
// a folder below and a line here.
package catalogue

import (
	"voidcheck/checks"
	"voidcheck/checks/catalogue/atticdraftstoparea"
	"voidcheck/checks/catalogue/atticdraftstopline"
	"voidcheck/checks/catalogue/chimneyfireblock"
	"voidcheck/checks/catalogue/cornicefireblock"
	"voidcheck/checks/catalogue/draftstopcomplete"
	"voidcheck/checks/catalogue/draftstopdoor"
	"voidcheck/checks/catalogue/draftstopmaterial"
	"voidcheck/checks/catalogue/fireblockmaterial"
	"voidcheck/checks/catalogue/floordraftstoparea"
	"voidcheck/checks/catalogue/floordraftstopbalance"
	"voidcheck/checks/catalogue/floordraftstopline"
	"voidcheck/checks/catalogue/floormembrane"
	"voidcheck/checks/catalogue/modelcontent"
	"voidcheck/checks/catalogue/separationboxes"
	"voidcheck/checks/catalogue/separationcontinuity"
	"voidcheck/checks/catalogue/separationservice"
	"voidcheck/checks/catalogue/separationspread"
	"voidcheck/checks/catalogue/serviceopening"
	"voidcheck/checks/catalogue/stairfireblock"
	"voidcheck/checks/catalogue/voidjunction"
	"voidcheck/checks/catalogue/voidservices"
	"voidcheck/checks/catalogue/voidsummary"
	"voidcheck/checks/catalogue/wallfireblocklevel"
	"voidcheck/checks/catalogue/wallfireblockrun"
)

// Checks returns every check, in product order.
func Checks() []*checks.Check {
	return []*checks.Check{
		floordraftstoparea.Check,
		floordraftstopbalance.Check,
		floordraftstopline.Check,
		atticdraftstoparea.Check,
		atticdraftstopline.Check,
		draftstopcomplete.Check,
		draftstopmaterial.Check,
		draftstopdoor.Check,
		wallfireblocklevel.Check,
		wallfireblockrun.Check,
		voidjunction.Check,
		stairfireblock.Check,
		serviceopening.Check,
		chimneyfireblock.Check,
		cornicefireblock.Check,
		fireblockmaterial.Check,
		separationcontinuity.Check,
		separationservice.Check,
		separationboxes.Check,
		separationspread.Check,
		floormembrane.Check,
		voidservices.Check,
		voidsummary.Check,
		modelcontent.Check,
	}
}
