// Package json writes findings.json: the same findings give the same bytes. Each item, space
// and comment stands on a line of its own, so that two files can be compared line by line.
package json

import (
	"bytes"
	"fmt"
	"io"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"voidcheck/checks/finding"
)

// Write writes the findings.
func Write(w io.Writer, r *finding.Report) error {
	compact, err := json.Marshal(r, json.Deterministic(true), jsontext.AllowInvalidUTF8(true))
	if err != nil {
		return fmt.Errorf("findings: %w", err)
	}
	var b bytes.Buffer
	if err := layOut(&b, compact); err != nil {
		return fmt.Errorf("findings: %w", err)
	}
	_, err = w.Write(b.Bytes())
	return err
}

// Indented writes another document of the program, such as a comparison; the same value gives
// the same bytes.
func Indented(w io.Writer, v any) error {
	out, err := json.Marshal(v, json.Deterministic(true), jsontext.AllowInvalidUTF8(true), jsontext.WithIndent(" "))
	if err != nil {
		return err
	}
	_, err = w.Write(append(out, '\n'))
	return err
}

// layOut puts each member on a line, and each entry of a list of objects.
func layOut(b *bytes.Buffer, compact []byte) error {
	d := jsontext.NewDecoder(bytes.NewReader(compact))
	if _, err := d.ReadToken(); err != nil {
		return err
	}
	b.WriteString("{")
	for n := 0; d.PeekKind() != '}'; n++ {
		name, err := d.ReadValue()
		if err != nil {
			return err
		}
		if n > 0 {
			b.WriteByte(',')
		}
		b.WriteString("\n  ")
		b.Write(name)
		b.WriteString(": ")
		if err := member(b, d); err != nil {
			return err
		}
	}
	b.WriteString("\n}\n")
	return nil
}

func member(b *bytes.Buffer, d *jsontext.Decoder) error {
	if d.PeekKind() != '[' {
		v, err := d.ReadValue()
		b.Write(v)
		return err
	}
	if _, err := d.ReadToken(); err != nil {
		return err
	}
	b.WriteByte('[')
	n := 0
	for ; d.PeekKind() != ']'; n++ {
		v, err := d.ReadValue()
		if err != nil {
			return err
		}
		if n > 0 {
			b.WriteByte(',')
		}
		b.WriteString("\n    ")
		b.Write(v)
	}
	if n > 0 {
		b.WriteString("\n  ")
	}
	b.WriteByte(']')
	_, err := d.ReadToken()
	return err
}
