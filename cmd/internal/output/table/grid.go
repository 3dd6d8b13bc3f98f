package table

import (
	"bytes"
	"io"
	"strings"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"

	"voidcheck/checks/finding"
)

// Grid is a plain table that never cuts a text.
type Grid struct {
	Header []string
	Widths []int // of the columns in characters, two blanks included
	Rows   [][]string
	Lines  bool // rules between the rows; then a cell's line ends are kept
}

// Write prints the grid.
func (g *Grid) Write(w io.Writer) error {
	if !g.Lines {
		return g.plain(w)
	}
	widths := tw.NewMapper[int, int]()
	for i, n := range g.Widths {
		widths.Set(i, n)
	}
	t := tablewriter.NewTable(&trimmer{w: w},
		tablewriter.WithRenderer(renderer.NewBlueprint(tw.Rendition{
			Borders: tw.BorderNone, Symbols: tw.NewSymbols(tw.StyleASCII),
			Settings: tw.Settings{Separators: tw.Separators{BetweenColumns: tw.Off, BetweenRows: tw.On}},
		})),
		tablewriter.WithColumnWidths(widths),
		tablewriter.WithHeaderAutoFormat(tw.Off),
		tablewriter.WithHeaderAlignment(tw.AlignLeft),
		tablewriter.WithRowAlignment(tw.AlignLeft),
		tablewriter.WithRowAutoWrap(tw.WrapNone))
	t.Header(g.Header)
	for _, row := range g.Rows {
		if err := t.Append(row); err != nil {
			return err
		}
	}
	return t.Render()
}

// plain prints a grid without rules between its rows. It does without the table package, whose
// tables cost more to make than a model of some megabytes to look over.
func (g *Grid) plain(w io.Writer) error {
	var out strings.Builder
	all := 0
	for _, n := range g.Widths {
		all += n
	}
	g.row(&out, g.Header)
	out.WriteString(strings.Repeat("-", all) + "\n")
	for _, row := range g.Rows {
		g.row(&out, row)
	}
	_, err := io.WriteString(w, out.String())
	return err
}

// row prints one row, cells wrapped to their columns.
func (g *Grid) row(out *strings.Builder, row []string) {
	cells, lines := make([][]string, len(row)), 1
	for i, s := range row {
		cells[i] = Wrap(finding.Clean(s), g.Widths[i]-2)
		lines = max(lines, len(cells[i]))
	}
	for k := range lines {
		used := 0 // columns up to the last text
		at := 0
		for i, c := range cells {
			if k < len(c) && strings.TrimRight(c[k], " ") != "" {
				text := strings.TrimRight(c[k], " ")
				out.WriteString(strings.Repeat(" ", at+1-used))
				out.WriteString(text)
				used = at + 1 + columns(text)
			}
			at += g.Widths[i]
		}
		out.WriteByte('\n')
	}
}

// trimmer takes the blanks off the ends of lines, which the renderer pads.
type trimmer struct {
	w   io.Writer
	buf []byte
}

func (t *trimmer) Write(b []byte) (int, error) {
	t.buf = append(t.buf, b...)
	for {
		i := bytes.IndexByte(t.buf, '\n')
		if i < 0 {
			return len(b), nil
		}
		line := append(bytes.TrimRight(t.buf[:i], " "), '\n')
		if _, err := t.w.Write(line); err != nil {
			return 0, err
		}
		t.buf = t.buf[i+1:]
	}
}
