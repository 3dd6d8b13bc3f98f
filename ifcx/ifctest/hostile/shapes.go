package hostile

import (
	"fmt"
	"math"
	"strings"
)

// shapes are STEP files whose geometry leads in circles or asks for absurd things.
func shapes() []File {
	curve := func(lines ...string) func() []byte {
		return wall(append([]string{"#2000=IFCEXTRUDEDAREASOLID(#2001,#1003,#1008,3.);", "#2001=IFCARBITRARYCLOSEDPROFILEDEF(.AREA.,$,#2002);"}, lines...)...)
	}
	points := func(n int, of func(i int) string) string {
		return repeat(n, "\n", func(i int) string { return fmt.Sprintf("#%d=IFCCARTESIANPOINT((%s));", 100000+i, of(i)) })
	}
	refs := func(n int) string {
		return repeat(n, ",", func(i int) string { return fmt.Sprint("#", 100000+i) })
	}
	faces := func(coords, indices string) func() []byte {
		return wall("#2000=IFCTRIANGULATEDFACESET(#2001,$,$,("+indices+"),$);", "#2001=IFCCARTESIANPOINTLIST3D(("+coords+"),$);")
	}
	return []File{
		{"item-none.ifc", "a body that is not there", Named, "dangling-reference", wall()},
		{"item-self.ifc", "a boolean result of itself", Named, "geometry", wall("#2000=IFCBOOLEANRESULT(.UNION.,#2000,#2000);")},
		{"item-doubling.ifc", "boolean results that double forty times", Read, "", wall(repeat(40, "\n", func(i int) string {
			return fmt.Sprintf("#%d=IFCBOOLEANRESULT(.UNION.,#%d,#%d);", 2000+i, 2001+i, 2001+i)
		}), "#2040=IFCEXTRUDEDAREASOLID(#1007,#1003,#1008,3.);")},
		{"item-chain.ifc", "ten thousand clippings, each of the next", Named, "geometry", wall(repeat(1e4, "\n", func(i int) string {
			return fmt.Sprintf("#%d=IFCBOOLEANCLIPPINGRESULT(.DIFFERENCE.,#%d,#1500);", 2000+i, 2001+i)
		}), "#12000=IFCEXTRUDEDAREASOLID(#1007,#1003,#1008,3.);", "#1500=IFCHALFSPACESOLID(#1501,.F.);", "#1501=IFCPLANE(#1502);", "#1502=IFCAXIS2PLACEMENT3D(#1503,$,$);", "#1503=IFCCARTESIANPOINT((0.,0.,2.));")},
		{"mapped-self.ifc", "a mapped item whose map holds it", Named, "geometry", wall("#2000=IFCMAPPEDITEM(#2001,#2002);", "#2001=IFCREPRESENTATIONMAP(#1003,#1004);", "#2002=IFCCARTESIANTRANSFORMATIONOPERATOR3D($,$,#1005,$,$);")},
		{"mapped-doubling.ifc", "mapped items that double thirty times", Named, "geometry", wall(repeat(30, "\n", func(i int) string {
			n := 2000 + 10*i
			return fmt.Sprintf("#%d=IFCMAPPEDITEM(#%d,#1900);\n#%d=IFCREPRESENTATIONMAP(#1003,#%d);\n#%d=IFCSHAPEREPRESENTATION(@C,'Body','X',(#%d,#%d));", n, n+1, n+1, n+2, n+2, n+10, n+10)
		}), "#1900=IFCCARTESIANTRANSFORMATIONOPERATOR3D($,$,#1005,$,$);", "#2300=IFCEXTRUDEDAREASOLID(#1007,#1003,#1008,3.);")},
		{"depth-zero.ifc", "extrusions of no, negative and endless depth", Named, "geometry", wall("#2000=IFCEXTRUDEDAREASOLID(#1007,#1003,#1008,0.);")},
		{"depth-huge.ifc", "an extrusion of 1E300 metres", Named, "geometry-far", wall("#2000=IFCEXTRUDEDAREASOLID(#1007,#1003,#1008,1.E300);")},
		{"direction-zero.ifc", "an extrusion along no direction", Named, "geometry", wall("#2000=IFCEXTRUDEDAREASOLID(#1007,#1003,#2001,3.);", "#2001=IFCDIRECTION((0.,0.,0.));")},
		{"circle-huge.ifc", "a circle of 1E300 metres", Named, "geometry", wall("#2000=IFCEXTRUDEDAREASOLID(#2001,#1003,#1008,3.);", "#2001=IFCCIRCLEPROFILEDEF(.AREA.,$,#1009,1.E300);")},
		{"profile-self.ifc", "a composite profile of itself and a derived one of itself", Named, "geometry", wall("#2000=IFCEXTRUDEDAREASOLID(#2001,#1003,#1008,3.);", "#2001=IFCCOMPOSITEPROFILEDEF(.AREA.,$,(#2001,#2002),$);", "#2002=IFCDERIVEDPROFILEDEF(.AREA.,$,#2002,#2003,$);", "#2003=IFCCARTESIANTRANSFORMATIONOPERATOR2D($,$,#1010,$);")},
		{"curve-self.ifc", "a composite curve made of itself", Named, "geometry", curve("#2002=IFCCOMPOSITECURVE((#2003),.F.);", "#2003=IFCCOMPOSITECURVESEGMENT(.CONTINUOUS.,.T.,#2002);")},
		{"curve-trimmed.ifc", "a trimmed curve of itself, and parameters of 1E300", Named, "geometry", curve("#2002=IFCTRIMMEDCURVE(#2002,(IFCPARAMETERVALUE(0.)),(IFCPARAMETERVALUE(1.E300)),.T.,.PARAMETER.);")},
		{"points-million.ifc", "an outline of fifty thousand points that crosses itself everywhere", Named, "geometry", curve("#2002=IFCPOLYLINE(("+refs(5e4)+",#100000));", points(5e4, func(i int) string { return fmt.Sprintf("%d.%d,%d.%d", i%997, i%7, (i*i)%991, i%11) }))},
		{"outline-spikes.ifc", "an outline of two hundred points that crosses itself thousands of times", Read, "", curve("#2002=IFCPOLYLINE(("+refs(200)+",#100000));", points(200, func(i int) string { return fmt.Sprintf("%d.,%d.", (i*i*7919)%1009, (i*104729)%1013) }))},
		{"index-wrong.ifc", "face indices of 0, -1, too high, and 2^40", Named, "geometry", faces("(0.,0.,0.),(1.,0.,0.),(0.,1.,0.)", "(0,1,2),(-1,1,2),(1,2,4),(1,2,1099511627776)")},
		{"faces-many.ifc", "two hundred thousand faces over three points", Named, "open-surface", faces("(0.,0.,0.),(1.,0.,0.),(0.,1.,0.)", repeat(2e5, ",", func(int) string { return "(1,2,3)" }))},
		{"faces-holes.ifc", "a face with three thousand holes", Named, "open-surface", wall("#2000=IFCFACETEDBREP(#2001);", "#2001=IFCCLOSEDSHELL((#2002));", "#2002=IFCFACE((#2003,"+repeat(3e3, ",", func(i int) string { return fmt.Sprint("#", 50000+i) })+"));", "#2003=IFCFACEOUTERBOUND(#2004,.T.);", "#2004=IFCPOLYLOOP((#2005,#2006,#2007));", "#2005=IFCCARTESIANPOINT((0.,0.,0.));", "#2006=IFCCARTESIANPOINT((9.,0.,0.));", "#2007=IFCCARTESIANPOINT((0.,9.,0.));",
			repeat(3e3, "\n", func(i int) string { return fmt.Sprintf("#%d=IFCFACEBOUND(#2004,.F.);", 50000+i) }))},
		{"openings-many.ifc", "a thousand openings in one wall", Read, "", wall("#2000=IFCEXTRUDEDAREASOLID(#2001,#1003,#1008,3.);", "#2001=IFCRECTANGLEPROFILEDEF(.AREA.,$,$,600.,0.2);",
			repeat(1000, "\n", func(i int) string {
				n := 10000 + 10*i
				return fmt.Sprintf("#%d=IFCOPENINGELEMENT('%s',$,$,$,$,#%d,#%d,$,$);\n#%d=IFCLOCALPLACEMENT(#1001,#%d);\n#%d=IFCAXIS2PLACEMENT3D(#%d,$,$);\n#%d=IFCCARTESIANPOINT((%f,0.,%d.));\n#%d=IFCPRODUCTDEFINITIONSHAPE($,$,(#%d));\n#%d=IFCSHAPEREPRESENTATION(@C,'Body','SweptSolid',(#%d));\n#%d=IFCEXTRUDEDAREASOLID(#1500,#1003,#1008,0.1);\n#%d=IFCRELVOIDSELEMENT('%s',$,$,$,#1000,#%d);",
					n, guid(100+i), n+1, n+4, n+1, n+2, n+2, n+3, n+3, float64(i)*0.59-295, i%3, n+4, n+5, n+5, n+6, n+6, n+7, guid(10000+i), n)
			}), "#1500=IFCRECTANGLEPROFILEDEF(.AREA.,$,$,0.1,1.);")},
		{"opening-empty.ifc", "an opening without a solid, and a wall that is its own opening", Named, "geometry", wall(box,
			"#3000=IFCOPENINGELEMENT('"+guid(5)+"',$,'Hole',$,$,#1001,$,$,$);", "#3001=IFCRELVOIDSELEMENT('"+guid(6)+"',$,$,$,#1000,#3000);", "#3002=IFCRELVOIDSELEMENT('"+guid(7)+"',$,$,$,#1000,#1000);")},
		{"direction-none.ifc", "a placement whose axis has no length, and one whose axes run the same way", Named, "direction", wall("#2000=IFCEXTRUDEDAREASOLID(#1007,#2001,#1008,3.);",
			"#2001=IFCAXIS2PLACEMENT3D(#1005,#2002,$);", "#2002=IFCDIRECTION((0.,0.,0.));", "#1100=IFCWALL('"+guid(9)+"',$,'W',$,$,#1101,#1002,$,$);", "#1101=IFCLOCALPLACEMENT($,#1102);", "#1102=IFCAXIS2PLACEMENT3D(#1005,#1008,#1008);")},
		{"clips-many.ifc", "three hundred clippings round one solid, each through the faces of all before it", Named, "geometry", wall(repeat(300, "\n", func(i int) string {
			n, sin, cos := 10000+5*i, math.Sin(float64(i)/50), math.Cos(float64(i)/50)
			return fmt.Sprintf("#%d=IFCBOOLEANCLIPPINGRESULT(.DIFFERENCE.,#%d,#%d);\n#%d=IFCHALFSPACESOLID(#%d,.F.);\n#%d=IFCPLANE(#%d);\n#%d=IFCAXIS2PLACEMENT3D(#%d,#%d,$);\n#%d=IFCCARTESIANPOINT((%.6f,%.6f,0.));\n#%d=IFCDIRECTION((%.6f,%.6f,0.1));",
				2000+i, 2001+i, n, n, n+1, n+1, n+2, n+2, n+3, n+4, n+3, cos/2, sin/2, n+4, cos, sin)
		}), "#2300=IFCEXTRUDEDAREASOLID(#1007,#1003,#1008,3.);")},
		{"turned-many.ifc", "fifteen hundred long members in one floor, each turned another way", Named, "solver", with(turned(1500))},
		{"revolve-huge.ifc", "a revolution of 1E9 turns about an axis through the profile", Named, "geometry", wall("#2000=IFCREVOLVEDAREASOLID(#1007,#1003,#2001,1.E9);", "#2001=IFCAXIS1PLACEMENT(#1005,#1008);")},
		{"spline-huge.ifc", "a spline of degree 2^31 and knots repeated 2^31 times", Named, "geometry", curve("#2002=IFCBSPLINECURVEWITHKNOTS(2147483647,(#1010,#1010,#1010),.UNSPECIFIED.,.F.,.F.,(2147483647,2147483647),(0.,1.),.UNSPECIFIED.);")},
		{"disk-huge.ifc", "a swept disk of 1E200 metres radius", Named, "geometry-far", wall("#2000=IFCSWEPTDISKSOLID(#2001,1.E200,$,$,$);", "#2001=IFCPOLYLINE((#1005,#2002));", "#2002=IFCCARTESIANPOINT((1.,0.,1.));")},
		{"far.ifc", "a wall at 1E12 metres", Named, "geometry-far", wall(box, "#1100=IFCWALL('"+guid(9)+"',$,'W',$,$,#1101,#1002,$,$);", "#1101=IFCLOCALPLACEMENT($,#1102);", "#1102=IFCAXIS2PLACEMENT3D(#1103,$,$);", "#1103=IFCCARTESIANPOINT((1.E12,1.E300,0.));")},
		{"wrong-kinds.ifc", "texts, numbers and lists in each other's places", Named, "geometry", wall("#2000=IFCEXTRUDEDAREASOLID('x',(1.,2.),#1000,#1000);", "#1100=IFCWALL((1,2,3),'x',#1000,$,4.,'p',#1003,.T.,"+strings.Repeat("(", 50)+strings.Repeat(")", 50)+");")},
	}
}

// turned are n members of 8 m in a floor between two boards, each turned another way.
func turned(n int) string {
	one := func(i int, entity, profile string, x, y, z, angle, depth float64) string {
		k := 10000 + 10*i
		return fmt.Sprintf("#%d=%s('%s',$,'P%d',$,$,#%d,#%d,$,$);\n#%d=IFCLOCALPLACEMENT($,#%d);\n#%d=IFCAXIS2PLACEMENT3D(#%d,#1008,#%d);\n#%d=IFCCARTESIANPOINT((%.4f,%.4f,%.3f));\n#%d=IFCDIRECTION((%.6f,%.6f,0.));\n#%d=IFCPRODUCTDEFINITIONSHAPE($,$,(#%d));\n#%d=IFCSHAPEREPRESENTATION(@C,'Body','SweptSolid',(#%d));\n#%d=IFCEXTRUDEDAREASOLID(#%s,$,#1008,%.3f);",
			k, entity, guid(20000+i), i, k+1, k+2, k+1, k+3, k+3, k+4, k+5, k+4, x, y, z, k+5, math.Cos(angle), math.Sin(angle), k+2, k+6, k+6, k+7, k+7, profile, depth)
	}
	return strings.Join([]string{
		"#1008=IFCDIRECTION((0.,0.,1.));", "#1500=IFCRECTANGLEPROFILEDEF(.AREA.,$,$,8.,0.04);", "#1501=IFCRECTANGLEPROFILEDEF(.AREA.,$,$,40.,40.);",
		repeat(n, "\n", func(i int) string {
			return one(i, "IFCMEMBER", "1500", float64(i*7919%2003)/100, float64(i*104729%2011)/100, 2.7, float64(i), 0.3)
		}),
		one(n, "IFCSLAB", "1501", 10, 10, 2.68, 0, 0.02), one(n+1, "IFCSLAB", "1501", 10, 10, 3, 0, 0.02),
		"#1006=IFCRELCONTAINEDINSPATIALSTRUCTURE('" + guid(2) + "',$,$,$,(" + repeat(n+2, ",", func(i int) string { return fmt.Sprint("#", 10000+10*i) }) + "),@S);",
	}, "\n")
}
