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
	widths := tw.NewMapper[int, int]()
	for i, n := range g.Widths {
		widths.Set(i, n)
	}
	between := tw.Off
	if g.Lines {
		between = tw.On
	}
	t := tablewriter.NewTable(&trimmer{w: w},
		tablewriter.WithRenderer(renderer.NewBlueprint(tw.Rendition{
			Borders: tw.BorderNone, Symbols: tw.NewSymbols(tw.StyleASCII),
			Settings: tw.Settings{Separators: tw.Separators{BetweenColumns: tw.Off, BetweenRows: between}},
		})),
		tablewriter.WithColumnWidths(widths),
		tablewriter.WithHeaderAutoFormat(tw.Off),
		tablewriter.WithHeaderAlignment(tw.AlignLeft),
		tablewriter.WithRowAlignment(tw.AlignLeft),
		tablewriter.WithRowAutoWrap(tw.WrapNone))
	t.Header(g.Header)
	for _, row := range g.Rows {
		if !g.Lines {
			cells := make([]string, len(row))
			for i, s := range row {
				cells[i] = strings.Join(Wrap(finding.Clean(s), g.Widths[i]-2), "\n")
			}
			row = cells
		}
		if err := t.Append(row); err != nil {
			return err
		}
	}
	return t.Render()
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
