package hostile

import (
	"fmt"
	"strings"
)

const head = "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\nFILE_NAME('','',(''),(''),'','','');\nFILE_SCHEMA(('IFC4'));\nENDSEC;\nDATA;\n"
const tail = "ENDSEC;\nEND-ISO-10303-21;\n"

// steps are damaged or overlarge STEP texts.
func steps() []File {
	cut := func(share float64) func() []byte {
		return func() []byte { h := house(); return []byte(h[:int(float64(len(h))*share)]) }
	}
	return []File{
		{"cut-header.ifc", "cut off in the header", Refused, "no DATA section", text(head[:60])},
		{"cut.ifc", "cut off after two thirds", Named, "truncated", cut(0.66)},
		{"cut-string.ifc", "cut off inside a string", Named, "truncated", func() []byte { h := house(); return []byte(h[:strings.LastIndex(h, "'")-3]) }},
		{"no-end.ifc", "its last lines are missing", Named, "truncated", func() []byte { return []byte(strings.ReplaceAll(house(), tail, "")) }},
		{"no-header.ifc", "no header", Named, "no-header", func() []byte { _, d, _ := strings.Cut(house(), "DATA;\n"); return []byte(d) }},
		{"open-comment.ifc", "a comment that is never closed", Named, "open-comment", func() []byte { return []byte(strings.Replace(house(), "#40=", "/*#40=", 1)) }},
		{"open-string.ifc", "a string that is never closed", Named, "open-string", with("#900=IFCLABEL('x);", "#901=IFCPERSON($,'y',$,$,$,$,$,$);")},
		{"no-semicolon.ifc", "a record without its semicolon", Named, "no-semicolon", with("#900=IFCPERSON($,'x',$,$,$,$,$,$)", "#901=IFCPERSON($,'y',$,$,$,$,$,$);")},
		{"double-id.ifc", "an instance number used twice", Named, "duplicate-id", with("#900=IFCPERSON($,'x',$,$,$,$,$,$);", "#900=IFCPERSON($,'y',$,$,$,$,$,$);")},
		{"double-globalid.ifc", "two walls with one GlobalId", Named, "duplicate-globalid", wall(box, "#1100=IFCWALL('"+guid(1)+"',$,'W2',$,$,#1001,#1002,$,$);")},
		{"bad-numbers.ifc", "instance numbers 0, too large, and without digits", Named, "instance-number", with("#0=IFCPERSON($,$,$,$,$,$,$,$);", "#99999999999=IFCPERSON($,$,$,$,$,$,$,$);", "#=IFCPERSON($,$,$,$,$,$,$,$);")},
		{"sparse.ifc", "instance numbers up to 4294967295", Read, "", with("#4294967295=IFCPERSON($,'x',$,$,$,$,$,$);", "#3000000000=IFCPERSON($,'x',$,$,$,$,$,$);")},
		{"nowhere.ifc", "references to instances that are not there", Named, "dangling-reference", wall("#2000=IFCEXTRUDEDAREASOLID(#77777,#77778,#77779,3.);")},
		{"short.ifc", "fewer attributes than the schema has", Named, "too-few-attributes", wall(box, "#1100=IFCWALL('"+guid(9)+"',$,'W');")},
		{"nan.ifc", "NAN, INF and -1.#IND where numbers belong", Named, "not-a-value", wall(box, "#1200=IFCWALL('"+guid(9)+"',$,'W',$,$,#1201,$,$,$);", "#1201=IFCLOCALPLACEMENT($,#1202);", "#1202=IFCAXIS2PLACEMENT3D(#1203,$,$);", "#1203=IFCCARTESIANPOINT((NAN,-1.#IND,INF));")},
		{"overflow.ifc", "numbers of 400 digits and exponents of 999", Named, "not-a-number", wall(box, "#1200=IFCWALL('"+guid(9)+"',$,'W',$,$,#1201,$,$,$);", "#1201=IFCLOCALPLACEMENT($,#1202);", "#1202=IFCAXIS2PLACEMENT3D(#1203,$,$);", "#1203=IFCCARTESIANPOINT((1.E999,"+strings.Repeat("9", 400)+".,0.));")},
		{"deep.ifc", "a list nested a million deep", Named, "syntax", wall(box, "#1300=IFCWALL('"+guid(7)+"',$,"+strings.Repeat("(", 1e6)+strings.Repeat(")", 1e6)+",$,$,#1001,$,$,$);")},
		{"deep-typed.ifc", "a typed value nested a million deep", Named, "syntax", wall(box, "#1200=IFCPROPERTYSET('"+guid(5)+"',$,'P',$,(#1202));", "#1201=IFCRELDEFINESBYPROPERTIES('"+guid(6)+"',$,$,$,(#1000),#1200);", "#1202=IFCPROPERTYSINGLEVALUE('x',$,"+strings.Repeat("IFCLABEL(", 1e6)+strings.Repeat(")", 1e6)+",$);")},
		{"long-string.ifc", "a name of 30 million letters", Read, "", wall(box, "#1200=IFCPERSON($,'"+strings.Repeat("x", 30e6)+"',$,$,$,$,$,$);")},
		{"many-names.ifc", "a hundred thousand different entity names", Refused, "different entity names", func() []byte {
			return []byte(head + repeat(1e5, "\n", func(i int) string { return fmt.Sprintf("#%d=A%d();", i+1, i) }) + tail)
		}},
		{"many-faults.ifc", "two hundred thousand damaged records", Named, "syntax", func() []byte {
			return []byte(head + repeat(2e5, "\n", func(i int) string { return fmt.Sprintf("#%d IFCWALL;", i+1) }) + "\n#1=IFCWALL('" + guid(1) + "',$,$,$,$,$,$,$,$);" + tail)
		}},
		{"quotes.ifc", "names with markup, escape sequences, formulas and control bytes", Read, "", wall(box, `#1300=IFCWALL('`+guid(7)+`',$,'<script>alert(1)</script>\X\1B[31m=1+1''"',$,$,#1001,$,$,$);`)},
		{"latin.ifc", "bytes that are no UTF-8", Named, "not-utf8", wall(box, "#1300=IFCWALL('"+guid(7)+"',$,'Trennw\xe4nde',$,$,#1001,$,$,$);")},
		{"directives.ifc", "string directives that are none", Named, "string-directive", wall(box, `#1300=IFCWALL('`+guid(7)+`',$,'C:\walls\X2\D8\X0\ \X4\FFFFFFFF\X0\',$,$,#1001,$,$,$);`)},
		{"unknown.ifc", "entities that no schema has", Named, "unknown-entity", wall(box, "#1300=IFCFLYINGBUTTRESS('x');")},
		{"data-twice.ifc", "two DATA sections", Read, "", func() []byte { return []byte(strings.Replace(house(), "#60=", "ENDSEC;\nDATA;\n#60=", 1)) }},
	}
}
