package ifcxml

import (
	"strings"
	"testing"

	"voidcheck/ifcx/source"
)

// A reference under a name that no entity has is told, whether it says that it is empty or not.
func TestReferenceUnderAWrongName(t *testing.T) {
	const doc = `<?xml version="1.0"?><ifcXML xmlns="http://www.buildingsmart-tech.org/ifcXML/IFC4/final" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<IfcWall id="w" GlobalId="0000000000000000000001"><Representation><RelatedObjects xsi:nil="true" ref="s"/></Representation></IfcWall><IfcProductDefinitionShape id="s"/></ifcXML>`
	var log source.Log
	if _, err := Read(&source.File{Name: "m.ifcxml", Data: []byte(doc), Kind: source.IFCXML}, &log); err != nil {
		t.Fatal(err)
	}
	for _, p := range log.All() {
		if p.Code == "unknown-element" && strings.Contains(p.Text, "RelatedObjects") {
			return
		}
	}
	t.Errorf("got %v, want the element to be named", log.All())
}
