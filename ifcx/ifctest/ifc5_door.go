package ifctest

// door writes the door of an opening below its host, with the opening as an invisible solid
// below the door, as the published IFC5 examples do with windows.
func (x *ifc5Writer) door(host, key string, o Opening, hole, leaf Prism) {
	p, void := x.path(key+"/door"), x.path(key)
	at := leaf.Frame
	x.node(p, "IfcDoor", at)
	if x.w.d.Naming != NamesNone {
		x.say(p, "Name", o.Door.Name)
	}
	x.say(p, "PredefinedType", "DOOR")
	for _, q := range o.Door.Props {
		x.say(p, q.Name, q.Value)
	}
	x.body(p, []Prism{relative(leaf, at)})
	hidden := ifc5Node{path: void}
	hidden.set("usd::usdgeom::visibility", ifc5Object{{"visibility", "invisible"}})
	x.base = append(x.base, hidden)
	x.body(void, []Prism{relative(hole, at)})
	x.under(p, void, "Void")
	x.under(host, p, o.Door.Name)
}
