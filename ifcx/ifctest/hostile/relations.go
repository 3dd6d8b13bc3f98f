package hostile

import (
	"fmt"
	"strings"
)

// relations are STEP files whose instances lead in circles, or that ask for absurd things
// apart from geometry.
func relations() []File {
	g := guid
	agg := func(n int, whole, part string) string {
		return fmt.Sprintf("#%d=IFCRELAGGREGATES('%s',$,$,$,%s,(%s));", n, guid(n), whole, part)
	}
	return []File{
		{"placement-self.ifc", "a placement relative to itself", Named, "placement", wall(box, "#1100=IFCWALL('"+g(9)+"',$,'W',$,$,#1101,#1002,$,$);", "#1101=IFCLOCALPLACEMENT(#1101,#1003);")},
		{"placement-ring.ifc", "placements in a ring of a thousand", Named, "placement", wall(box, "#10000=IFCWALL('"+g(9)+"',$,'W',$,$,#10001,#1002,$,$);",
			repeat(1000, "\n", func(i int) string { return fmt.Sprintf("#%d=IFCLOCALPLACEMENT(#%d,#1003);", 10001+i, 10001+(i+1)%1000) }))},
		{"placement-chain.ifc", "a hundred thousand placements, each relative to the next, with a wall on every hundredth", Named, "placement", wall(box,
			repeat(1e5, "\n", func(i int) string { return fmt.Sprintf("#%d=IFCLOCALPLACEMENT(#%d,#1003);", 10000+i, 10001+i) }),
			"#110000=IFCLOCALPLACEMENT($,#1003);",
			repeat(1e3, "\n", func(i int) string {
				return fmt.Sprintf("#%d=IFCWALL('%s',$,'W',$,$,#%d,#1002,$,$);", 200000+i, guid(100+i), 10000+100*i)
			}))},
		{"part-of-itself.ifc", "a wall that is part of itself", Named, "part-of-itself", wall(box, agg(1200, "#1000", "#1000"))},
		{"parts-ring.ifc", "walls that are parts of each other", Named, "part-of-itself", wall(box, "#1100=IFCWALL('"+g(9)+"',$,'W',$,$,#1001,#1002,$,$);", agg(1200, "#1000", "#1100"), agg(1201, "#1100", "#1000"))},
		{"storey-in-wall.ifc", "the storey is part of a wall that it holds", Named, "two-partners", wall(box, agg(1200, "#1000", "@S"))},
		{"parts-deep.ifc", "assemblies nested five thousand deep", Named, "part-of-itself", wall(box,
			repeat(5000, "\n", func(i int) string {
				return fmt.Sprintf("#%d=IFCELEMENTASSEMBLY('%s',$,'A',$,$,#1001,$,$,$,$);\n%s", 10000+i, guid(100+i), agg(20000+i, fmt.Sprint("#", 10000+i), fmt.Sprint("#", 10001+i)))
			}), "#15000=IFCELEMENTASSEMBLY('"+g(99)+"',$,'A',$,$,#1001,$,$,$,$);")},
		{"zone-in-itself.ifc", "a zone that is a member of itself, and two of each other", Read, "", wall(box, "#1200=IFCZONE('"+g(10)+"',$,'Z',$,$,$);", "#1201=IFCRELASSIGNSTOGROUP('"+g(11)+"',$,$,$,(#1200,#1000,#1202),$,#1200);",
			"#1202=IFCZONE('"+g(12)+"',$,'Z',$,$,$);", "#1203=IFCRELASSIGNSTOGROUP('"+g(13)+"',$,$,$,(#1200),$,#1202);")},
		{"opening-of-itself.ifc", "an opening cut into itself, and one into two walls", Named, "two-partners", wall(box, "#1200=IFCOPENINGELEMENT('"+g(10)+"',$,'O',$,$,#1001,#1002,$,$);", "#1201=IFCRELVOIDSELEMENT('"+g(11)+"',$,$,$,#1200,#1200);", "#1202=IFCRELVOIDSELEMENT('"+g(12)+"',$,$,$,#1000,#1200);")},
		{"property-ring.ifc", "a complex property that holds itself, and two that hold each other twice", Read, "", wall(box, "#1200=IFCPROPERTYSET('"+g(5)+"',$,'P',$,(#1202,#1203));", "#1201=IFCRELDEFINESBYPROPERTIES('"+g(6)+"',$,$,$,(#1000),#1200);",
			"#1202=IFCCOMPLEXPROPERTY('a',$,'u',(#1202));", "#1203=IFCCOMPLEXPROPERTY('b',$,'u',(#1204,#1205));", "#1204=IFCCOMPLEXPROPERTY('c',$,'u',(#1203));", "#1205=IFCCOMPLEXPROPERTY('d',$,'u',(#1203));")},
		{"property-doubling.ifc", "complex properties that double forty times", Read, "", wall(box, "#1200=IFCPROPERTYSET('"+g(5)+"',$,'P',$,(#3000));", "#1201=IFCRELDEFINESBYPROPERTIES('"+g(6)+"',$,$,$,(#1000),#1200);",
			repeat(40, "\n", func(i int) string {
				return fmt.Sprintf("#%d=IFCCOMPLEXPROPERTY('a%d',$,'u',(#%d,#%d));\n#%d=IFCCOMPLEXPROPERTY('b%d',$,'u',(#%d,#%d));", 3000+2*i, i, 3002+2*i, 3003+2*i, 3001+2*i, i, 3002+2*i, 3003+2*i)
			}), "#3080=IFCPROPERTYSINGLEVALUE('x',$,IFCLABEL('y'),$);", "#3081=IFCPROPERTYSINGLEVALUE('z',$,IFCLABEL('y'),$);")},
		{"class-ring.ifc", "a classification reference whose source is itself", Read, "", wall(box, "#1200=IFCCLASSIFICATIONREFERENCE($,'x','y',#1200,$,$);", "#1201=IFCRELASSOCIATESCLASSIFICATION('"+g(6)+"',$,$,$,(#1000),#1200);")},
		{"material-ring.ifc", "a layer set usage of itself and a list of materials that holds itself", Read, "", wall(box, "#1200=IFCMATERIALLAYERSETUSAGE(#1200,.AXIS2.,.POSITIVE.,0.,$);", "#1201=IFCRELASSOCIATESMATERIAL('"+g(6)+"',$,$,$,(#1000),#1200);",
			"#1202=IFCMATERIALLIST((#1202));", "#1203=IFCRELASSOCIATESMATERIAL('"+g(7)+"',$,$,$,(#1000),#1202);")},
		{"layers-many.ifc", "a wall of a hundred thousand layers of no, negative and endless thickness", Named, "layer-thickness", wall(box, "#1201=IFCRELASSOCIATESMATERIAL('"+g(6)+"',$,$,$,(#1000),#1200);", "#1200=IFCMATERIALLAYERSETUSAGE(#1202,.AXIS2.,.POSITIVE.,0.,$);",
			"#1202=IFCMATERIALLAYERSET(("+repeat(1e5, ",", func(i int) string { return fmt.Sprint("#", 1210+i%4) })+"),'L',$);", "#1210=IFCMATERIALLAYER($,0.,$,$,$,$,$);", "#1211=IFCMATERIALLAYER($,-1.,$,$,$,$,$);", "#1212=IFCMATERIALLAYER($,1.E300,$,$,$,$,$);", "#1213=IFCMATERIALLAYER($,0.01,$,$,$,$,$);")},
		{"unit-zero.ifc", "a length unit of zero metres", Named, "bad-unit", unit("#901=IFCMEASUREWITHUNIT(IFCLENGTHMEASURE(0.),#902);")},
		{"unit-negative.ifc", "a length unit of minus one metre", Named, "bad-unit", unit("#901=IFCMEASUREWITHUNIT(IFCLENGTHMEASURE(-1.),#902);")},
		{"unit-huge.ifc", "a length unit of 1E300 metres", Named, "geometry-far", unit("#901=IFCMEASUREWITHUNIT(IFCLENGTHMEASURE(1.E300),#902);")},
		{"unit-ring.ifc", "a length unit that is converted from itself", Named, "bad-unit", unit("#901=IFCMEASUREWITHUNIT(IFCLENGTHMEASURE(0.3048),#900);")},
		{"no-units.ifc", "no units at all, and lengths that can only be millimetres", Refused, "length unit (metre) is wrong", func() []byte {
			before, after, _ := strings.Cut(house(), "IFCUNITASSIGNMENT(")
			_, after, _ = strings.Cut(after, ";")
			return []byte(before + "IFCUNITASSIGNMENT(());" + after)
		}},
		{"many-storeys.ifc", "twenty thousand storeys at one level", Read, "", wall(box, repeat(2e4, "\n", func(i int) string {
			return fmt.Sprintf("#%d=IFCBUILDINGSTOREY('%s',$,'S',$,$,$,$,$,.ELEMENT.,0.);", 10000+i, guid(100+i))
		}))},
		{"grid-ring.ifc", "a grid placement on axes that are placed on itself", Named, "placement", wall(box, "#1100=IFCWALL('"+g(9)+"',$,'W',$,$,#1101,#1002,$,$);", "#1101=IFCGRIDPLACEMENT(#1102,#1102);", "#1102=IFCVIRTUALGRIDINTERSECTION((#1103,#1103),(0.,0.));", "#1103=IFCGRIDAXIS('A',#1101,.T.);")},
	}
}

// unit is a house in feet whose length unit is the caller's.
func unit(measure string) func() []byte {
	return func() []byte {
		s := string(wall(box, "#900=IFCCONVERSIONBASEDUNIT(#903,.LENGTHUNIT.,'FOOT',#901);", measure, "#902=IFCSIUNIT(*,.LENGTHUNIT.,$,.METRE.);", "#903=IFCDIMENSIONALEXPONENTS(1,0,0,0,0,0,0);")())
		i := strings.Index(s, "IFCUNITASSIGNMENT((") + len("IFCUNITASSIGNMENT((")
		j := i + strings.IndexAny(s[i:], ",)")
		return []byte(s[:i] + "#900" + s[j:])
	}
}
