package letter

import (
	"bytes"
	"strings"
	"testing"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/fixture"
	"voidcheck/cmd/internal/output/paper"
	"voidcheck/cmd/internal/output/words"
)

// text is a letter as plain text: what stands in its blocks, one a line.
func text(t *testing.T, d *paper.Document) string {
	t.Helper()
	var b bytes.Buffer
	if err := paper.Write(&b, d, paper.HTML); err != nil {
		t.Fatal(err)
	}
	s := b.String()
	s = s[strings.Index(s, "<body"):]
	for _, end := range []string{"</p>", "</h1>", "</h2>", "</h3>", "</div>", "</li>", "</tr>"} {
		s = strings.ReplaceAll(s, end, "\n")
	}
	s = strings.NewReplacer("</dt>", ": ", "</td>", " | ", "<small>", " / ").Replace(s)
	var out strings.Builder
	in := false
	for _, r := range s {
		switch {
		case r == '<':
			in = true
		case r == '>':
			in = false
		case !in:
			out.WriteRune(r)
		}
	}
	return strings.NewReplacer("&#34;", `"`, "&#39;", "'", "&lt;", "<", "&gt;", ">", "&amp;", "&").Replace(out.String())
}

// Every open comment of the demo stands in the letter with all its places, what is shown,
// its section and what to provide; the submittal's fields and the cautions too.
func TestDemo(t *testing.T) {
	r := fixture.Demo(t)
	got := text(t, Make(r, Options{Requires: func(check string) string { return "what " + check + " asks for" }}))
	b := words.New(r)
	open := 0
	for i := range r.Comments {
		c := &r.Comments[i]
		if !words.Open(c.Outcome) {
			continue
		}
		open++
		for _, it := range b.Of(c) {
			for _, want := range []string{it.Where(), it.Message, it.Remedy, it.Section} {
				if !strings.Contains(got, want) {
					t.Errorf("comment %d: %q is missing", c.Number, want)
				}
			}
		}
		if !strings.Contains(got, b.Title(c.Check)) || c.Check != "model-content" && !strings.Contains(got, "what "+c.Check+" asks for.") {
			t.Errorf("comment %d: what %s requires is missing", c.Number, c.Check)
		}
	}
	if open < 10 {
		t.Errorf("only %d open comments", open)
	}
	for _, want := range append([]string{
		"Letter of comments, round 1", "Permit: B-2026-0117", "Project: Larkspur Row", "construction VB", "Date: January 31, 2026", "To: Alder and Finch Design, 4 Mill Lane, Larkspur", "resubmittal for round 2",
		"row-architecture.ifc", r.Models[0].SHA256[:16], "M. Okafor, Larkspur County, Plan Review", "Follows from: Comment",
	}, r.Cautions...) {
		if !strings.Contains(got, want) {
			t.Errorf("%q is missing", want)
		}
	}
}

// What became of the comments of the round before goes by the keys of items.
func TestEarlierComments(t *testing.T) {
	last, now := fixture.Demo(t), fixture.Demo(t)
	now.Run.Round = 2
	want := map[int]string{}
	for i := range last.Comments {
		c := &last.Comments[i]
		if !words.Open(c.Outcome) {
			continue
		}
		switch i % 4 {
		case 0:
			want[c.Number] = "still open"
		case 1: // the model shows them met now
			for k := range now.Items {
				if now.Items[k].Comment == c.Number {
					now.Items[k].Outcome = finding.Meets
				}
			}
			want[c.Number] = "resolved"
		case 2: // they are not in the model any more
			var kept []finding.Item
			for _, it := range now.Items {
				if it.Comment != c.Number {
					kept = append(kept, it)
				}
			}
			now.Items = kept
			want[c.Number] = "not found any more"
		default: // the first place is met
			for k := range now.Items {
				if now.Items[k].Key == c.Items[0] {
					now.Items[k].Outcome = finding.Meets
				}
			}
			want[c.Number] = "resolved"
			if len(c.Items) > 1 {
				want[c.Number] = "open at "
			}
		}
	}
	l := &letter{b: words.New(now), r: now, last: last}
	for i := range last.Comments {
		c := &last.Comments[i]
		if w, ok := want[c.Number]; ok && !strings.HasPrefix(l.now(c), w) {
			t.Errorf("comment %d with %d places: %q, want %q", c.Number, len(c.Items), l.now(c), w)
		}
	}
	got := text(t, Make(now, Options{Last: last}))
	for _, w := range []string{"Letter of comments, round 2", "Comments of round 1", "not found any more", "still open, now comment 1"} {
		if !strings.Contains(got, w) {
			t.Errorf("%q is missing", w)
		}
	}
	// A comparison of the rounds knows better than the keys.
	l.became = func(string) Became { return Became{Why: "shown to be met"} }
	if got := l.now(&last.Comments[0]); got != "resolved: shown to be met" {
		t.Errorf("%q", got)
	}
}

// What the examiner accepted or waived needs no answer, and is told; what is to be verified
// in the field still needs one.
func TestDecisions(t *testing.T) {
	r := fixture.Demo(t)
	var first, second *finding.Item
	for i := range r.Items {
		switch r.Items[i].Comment {
		case 1:
			first = &r.Items[i]
		case 2:
			second = &r.Items[i]
		}
	}
	first.Disposition = &finding.Disposition{Key: first.Key, Decision: finding.Waived, By: "the building official", Section: "LCC 1.4", Round: 1}
	second.Disposition = &finding.Disposition{Key: second.Key, Decision: finding.VerifyInField, Note: "Blocks are on site."}
	d := Make(r, Options{})
	got := text(t, d)
	open := got[strings.Index(got, "To be corrected"):strings.Index(got, "Decided by the examiner")]
	if strings.Contains(open, "\n1. ") {
		t.Error("a waived comment still asks for an answer")
	}
	if !strings.Contains(open, "\n2. ") || !strings.Contains(open, second.Place) {
		t.Error("what is to be verified in the field asks for nothing")
	}
	for _, w := range []string{"waived under LCC 1.4 (the building official, round 1)", "to be verified in the field: Blocks are on site."} {
		if !strings.Contains(got, w) {
			t.Errorf("%q is missing", w)
		}
	}
}

func TestHostile(t *testing.T) {
	for name, r := range map[string]*finding.Report{"sample": fixture.Hostile(t), "renamed": fixture.Renamed(t, "<script>x</script>\x1b\u202e 屋"), "empty": {}} {
		d := Make(r, Options{})
		for _, f := range []paper.Format{paper.HTML, paper.PDF, paper.DOCX} {
			var b bytes.Buffer
			if err := paper.Write(&b, d, f); err != nil {
				t.Errorf("%s, %s: %v", name, f, err)
			}
			if f == paper.HTML && (strings.Contains(b.String(), "<script") || strings.ContainsAny(b.String(), "\x1b\u202e")) {
				t.Errorf("%s: a name became markup", name)
			}
		}
	}
	if got := text(t, Make(fixture.Hostile(t), Options{})); !strings.Contains(got, `=HYPERLINK("http://example.invalid","[31mPipe 42")`) {
		t.Error("a name that looks like a formula is lost")
	}
}

func TestLetters(t *testing.T) {
	for i, want := range map[int]string{0: "a", 25: "z", 26: "aa", 51: "az", 52: "ba", 701: "zz", 702: "aaa"} {
		if got := letters(i); got != want {
			t.Errorf("letters(%d) = %q, want %q", i, got, want)
		}
	}
}
