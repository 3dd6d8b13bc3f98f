// Package html writes findings as one page that needs nothing else: no network, no other
// file. What is read stands in the page itself; plans, sections and views are drawn by the
// page's own script from the geometry in the findings, each when it is looked at.
//
// Nothing from a model can become markup or script: texts go through html/template, the
// script only makes text nodes of them, and the page's content policy lets no other script run.
package html

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
)

//go:embed assets
var assets embed.FS

// scripts are the parts of the page's script, in the order in which they need each other.
var scripts = []string{"base.js", "stage.js", "labels.js", "plan.js", "section.js", "view.js", "sheet.js", "filter.js", "print.js", "page.js"}

// styles are the parts of the page's style.
var styles = []string{"page.css", "drawing.css", "print.css"}

// Write writes the page.
func Write(w io.Writer, r *finding.Report) error {
	t, err := template.New("page.tmpl").Funcs(functions).ParseFS(assets, "assets/*.tmpl")
	if err != nil {
		return fmt.Errorf("page: %w", err)
	}
	p, err := newPage(r)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := t.Execute(&b, p); err != nil {
		return fmt.Errorf("page: %w", err)
	}
	_, err = w.Write(b.Bytes())
	return err
}

// script joins the parts to one function, so that nothing of it is global.
func script() (string, error) {
	parts, err := join(scripts)
	return "(function () {\n\"use strict\";\n" + parts + "})();\n", err
}

func join(names []string) (string, error) {
	var b strings.Builder
	for _, n := range names {
		text, err := assets.ReadFile("assets/" + n)
		if err != nil {
			return "", fmt.Errorf("page: %w", err)
		}
		b.Write(text)
	}
	return b.String(), nil
}

// digest names an inline script or style in the content policy.
func digest(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

// foot is the style that names the report at the foot of each printed page. Every character
// of the name that is no letter, digit or blank is written as an escape of its number, so that
// it cannot leave the string (CSS Syntax Level 3, section 4.3.7).
func foot(name string) string {
	var b strings.Builder
	for _, r := range words(name) {
		if r == ' ' || r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' {
			b.WriteRune(r)
		} else {
			fmt.Fprintf(&b, `\%06x `, r) // the blank ends the escape and belongs to it
		}
	}
	return fmt.Sprintf("@page { @bottom-left { content: \"%s\"; font: 9pt \"Liberation Sans\", Arial, sans-serif; color: #555; } }\n", b.String())
}

var functions = template.FuncMap{
	"join":  strings.Join,
	"words": words,
	"head":  func(s string) string { return sentence(words(s)) },
	"area": func(m2 float64, p *page) string {
		return words(measure.FormatArea(m2, measure.System(p.Report.Run.Units)))
	},
}

// words makes a text fit to read: no characters that act or turn the reading direction, and
// squares and cubes set as such.
func words(s string) string {
	return squares.Replace(finding.Clean(s))
}

// sentence begins a text with a capital.
func sentence(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

var squares = strings.NewReplacer("ft2", "ft²", "ft3", "ft³", "in2", "in²", " m2", " m²", " m3", " m³")
