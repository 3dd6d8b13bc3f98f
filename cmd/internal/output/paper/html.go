package paper

import (
	"bytes"
	_ "embed"
	"fmt"
	"html"
	"io"
	"strings"

	"voidcheck/checks/finding"
)

//go:embed paper.css
var css string

// writeHTML writes one page that needs nothing from outside and holds no script.
func writeHTML(w io.Writer, d *Document) error {
	var b bytes.Buffer
	size := "A4"
	if d.Letter {
		size = "letter"
	}
	class, margin := "", "15mm"
	if d.Tight {
		class, margin = ` class="tight"`, "9mm"
	}
	fmt.Fprintf(&b, "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\n<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n"+
		"<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>%s</title>\n<style>\n@page { size: %s; margin: %s }\n%s</style></head>\n<body%s>\n", esc(join(": ", d.Title, d.Subject)), size, margin, css, class)
	for _, k := range d.Blocks {
		htmlBlock(&b, k)
	}
	if len(d.Foot) > 0 {
		b.WriteString("<section class=\"foot\"><h2>Please note</h2>\n")
		if d.Tight {
			htmlBlock(&b, Para{Text: strings.Join(d.Foot, " ")})
		} else {
			htmlBlock(&b, List(d.Foot))
		}
		b.WriteString("</section>\n")
	}
	b.WriteString("</body></html>\n")
	_, err := w.Write(b.Bytes())
	return err
}

func esc(s string) string { return html.EscapeString(finding.Clean(s)) }

func join(sep string, parts ...string) string {
	var out []string
	for _, p := range parts {
		if p != "" {
			out = append(out, p)
		}
	}
	return strings.Join(out, sep)
}

func htmlBlock(b *bytes.Buffer, k Block) {
	switch k := k.(type) {
	case Heading:
		fmt.Fprintf(b, "<h%d>%s</h%d>\n", k.Level, esc(k.Text), k.Level)
	case Para:
		class := ""
		switch {
		case k.Bold:
			class = ` class="bold"`
		case k.Small:
			class = ` class="small"`
		}
		fmt.Fprintf(b, "<p%s>%s</p>\n", class, esc(k.Text))
	case Fields:
		b.WriteString("<dl>\n")
		for _, f := range k {
			fmt.Fprintf(b, "<div><dt>%s</dt><dd>%s</dd></div>\n", esc(f[0]), esc(f[1]))
		}
		b.WriteString("</dl>\n")
	case List:
		b.WriteString("<ul>\n")
		for _, s := range k {
			fmt.Fprintf(b, "<li>%s</li>\n", esc(s))
		}
		b.WriteString("</ul>\n")
	case Figure:
		htmlFigure(b, k)
	case Figures:
		b.WriteString("<div class=\"figures\">\n")
		for _, f := range k {
			htmlFigure(b, f)
		}
		b.WriteString("</div>\n")
	case *Table:
		htmlTable(b, k)
	case Columns:
		b.WriteString("<div class=\"columns\">\n")
		for _, side := range k {
			b.WriteString("<div>\n")
			for _, in := range side {
				htmlBlock(b, in)
			}
			b.WriteString("</div>\n")
		}
		b.WriteString("</div>\n")
	case Sign:
		b.WriteString("<div class=\"sign\">")
		for _, s := range k {
			fmt.Fprintf(b, "<span>%s</span>", esc(s))
		}
		b.WriteString("</div>\n")
	case Break:
		b.WriteString("<div class=\"break\"></div>\n")
	case Group:
		b.WriteString("<div class=\"group\">\n")
		for _, in := range k {
			htmlBlock(b, in)
		}
		b.WriteString("</div>\n")
	}
}

func htmlFigure(b *bytes.Buffer, f Figure) {
	b.WriteString("<figure>")
	b.Write(f.Picture.SVG())
	if f.Caption != "" {
		fmt.Fprintf(b, "<figcaption>%s</figcaption>", esc(f.Caption))
	}
	b.WriteString("</figure>\n")
}

func htmlTable(b *bytes.Buffer, t *Table) {
	b.WriteString("<table><colgroup>")
	total := 0.0
	for _, w := range t.Widths {
		total += w
	}
	for _, w := range t.Widths {
		fmt.Fprintf(b, `<col style="width:%.1f%%">`, w/total*100)
	}
	b.WriteString("</colgroup>\n")
	if len(t.Head) > 0 {
		b.WriteString("<thead><tr>")
		for _, h := range t.Head {
			fmt.Fprintf(b, "<th scope=\"col\">%s</th>", esc(h))
		}
		b.WriteString("</tr></thead>\n")
	}
	b.WriteString("<tbody>\n")
	for _, r := range t.Rows {
		if r.Span != "" {
			fmt.Fprintf(b, "<tr class=\"span\"><th scope=\"rowgroup\" colspan=\"%d\">%s</th></tr>\n", len(t.Widths), esc(r.Span))
			continue
		}
		b.WriteString("<tr>")
		for _, c := range r.Cells {
			htmlCell(b, c)
		}
		b.WriteString("</tr>\n")
	}
	b.WriteString("</tbody></table>\n")
}

func htmlCell(b *bytes.Buffer, c Cell) {
	switch {
	case c.Tick:
		b.WriteString(`<td class="tick"><input type="checkbox" aria-label="done"></td>`)
		return
	case c.Lines > 0:
		b.WriteString(`<td class="lines">` + strings.Repeat("<i></i>", c.Lines) + "</td>")
		return
	}
	class := ""
	if c.Bold {
		class = ` class="bold"`
	}
	fmt.Fprintf(b, "<td%s>%s", class, esc(c.Text))
	if c.Small != "" {
		fmt.Fprintf(b, "<small>%s</small>", esc(c.Small))
	}
	b.WriteString("</td>")
}
