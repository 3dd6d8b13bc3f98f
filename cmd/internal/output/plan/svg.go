package plan

import (
	"bytes"
	"fmt"
	"html"
	"strconv"
	"strings"

	"voidcheck/checks/finding"
)

// SVG writes a picture as an element that stands in an HTML page: no script, no outside
// reference, texts escaped. Its sizes are millimetres; it shrinks with a narrow page.
func (p *Picture) SVG() []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="0 0 %s %s" style="width:%smm;max-width:100%%;height:auto" font-family="Go,Helvetica,Arial,sans-serif">`,
		num(p.W), num(p.H), num(p.W))
	fmt.Fprintf(&b, "<title>%s</title>", escape(p.Title))
	for i := range p.Shapes {
		p.Shapes[i].svg(&b)
	}
	b.WriteString("</svg>")
	return b.Bytes()
}

func escape(s string) string { return html.EscapeString(finding.Clean(s)) }

// num prints hundredths of a millimetre.
func num(f float64) string {
	s := strings.TrimRight(strings.TrimRight(strconv.FormatFloat(f, 'f', 2, 64), "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

func (s *Shape) svg(b *bytes.Buffer) {
	paint := Paints[s.Look]
	if s.Text != "" {
		anchor := map[Anchor]string{Middle: "middle", Start: "start", End: "end"}[s.Anchor]
		colour, weight := paint.Stroke, ""
		if s.Look == Ground {
			colour = paint.Fill
		}
		if s.Bold {
			weight = ` font-weight="bold"`
		}
		fmt.Fprintf(b, `<text x="%s" y="%s" font-size="%s" text-anchor="%s" fill="#%06x"%s>%s</text>`,
			num(s.At.X), num(s.At.Y+s.Size*0.36), num(s.Size), anchor, colour, weight, escape(s.Text))
		return
	}
	style := fmt.Sprintf(` fill="none" stroke="#%06x" stroke-width="%s"`, paint.Stroke, num(paint.Width))
	if paint.Filled && (s.Closed || s.R > 0) {
		style = fmt.Sprintf(` fill="#%06x" fill-rule="evenodd"`, paint.Fill)
		if paint.Width > 0 {
			style += fmt.Sprintf(` stroke="#%06x" stroke-width="%s"`, paint.Stroke, num(paint.Width))
		}
	}
	if len(paint.Dash) > 0 {
		style += fmt.Sprintf(` stroke-dasharray="%s %s"`, num(paint.Dash[0]), num(paint.Dash[1]))
	}
	if s.R > 0 {
		fmt.Fprintf(b, `<circle cx="%s" cy="%s" r="%s"%s/>`, num(s.At.X), num(s.At.Y), num(s.R), style)
		return
	}
	b.WriteString(`<path d="`)
	for _, l := range s.Lines {
		for i, p := range l {
			c := "L"
			if i == 0 {
				c = "M"
			}
			b.WriteString(c + num(p.X) + " " + num(p.Y))
		}
		if s.Closed {
			b.WriteByte('Z')
		}
	}
	fmt.Fprintf(b, `"%s/>`, style)
}
