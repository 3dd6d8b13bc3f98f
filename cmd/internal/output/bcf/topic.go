package bcf

import (
	"cmp"
	"crypto/sha256"
	"fmt"
	"strings"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/archive"
	"voidcheck/cmd/internal/output/plan"
	"voidcheck/cmd/internal/output/words"
)

// author stands where the format asks who wrote a topic.
const author = "voidcheck"

// topic is one comment.
type topic struct {
	id          string
	number      int
	title       string
	kind        string // type of topic: the outcome
	status      string
	priority    string
	stage       string
	labels      []string
	description string
	notes       []note
	views       []view
	snapshot    []byte // a plan as PNG, nil for none
}

// note is a BCF comment: one place in words, with the viewpoint that shows it.
type note struct {
	id, text string
	view     string // id, "" for none
}

// mostViews is how many places of one topic get a viewpoint of their own. The first
// viewpoint shows all of them.
const mostViews = 50

func topicsOf(r *finding.Report) ([]*topic, error) {
	b := words.New(r)
	s := newScene(r)
	site := plan.New(b)
	out := make([]*topic, 0, len(r.Comments))
	used := map[string]bool{}
	for i := range r.Comments {
		c := &r.Comments[i]
		id := topicID(b, c)
		for n := 2; used[id]; n++ { // two comments of one cause: the first keeps the id
			id = guid(topicID(b, c), fmt.Sprint(n))
		}
		used[id] = true
		t := topicOf(b, s, c, id)
		var err error
		if t.snapshot, err = snapshot(site, b.Of(c)); err != nil {
			return nil, fmt.Errorf("snapshot of comment %d: %w", c.Number, err)
		}
		out = append(out, t)
	}
	return out, nil
}

// topicID is made from what a comment is about and not from its number or places, so that
// it stays while places come and go from round to round.
func topicID(b *words.Book, c *finding.Comment) string {
	var cause string
	follows := false
	if items := b.Of(c); len(items) > 0 {
		cause, follows = items[0].Cause, len(items[0].ConsequenceOf) > 0
	}
	return guid("topic", identity(b.R), c.Check, string(c.Outcome), cause, fmt.Sprint(follows))
}

func topicOf(b *words.Book, s *scene, c *finding.Comment, id string) *topic {
	items := b.Of(c)
	t := &topic{
		id: id, number: c.Number, kind: words.Outcome(c.Outcome), status: "For information", priority: "Low",
		stage: fmt.Sprintf("Round %d", max(b.R.Run.Round, 1)),
	}
	t.title = text(fmt.Sprintf("%d. %s: %s", c.Number, b.Title(c.Check), strings.ToLower(t.kind)))
	if len(items) > 1 {
		t.title += fmt.Sprintf(" (%s)", words.Count(len(items), "place"))
	}
	if words.Open(c.Outcome) && !settled(items) {
		t.status, t.priority = "Open", "Normal"
		if joinsUnits(items) {
			t.priority = "High"
		}
	}
	t.labels = labelsOf(b, c, items)
	t.description = describe(b, c, items)
	t.look(s, b, items)
	return t
}

// settled reports whether the examiner accepted or waived every place.
func settled(items []*finding.Item) bool {
	for _, it := range items {
		if !it.Disposition.Settles() {
			return false
		}
	}
	return len(items) > 0
}

func joinsUnits(items []*finding.Item) bool {
	for _, it := range items {
		if it.Joins != nil && it.Joins.Units > 1 {
			return true
		}
	}
	return false
}

// labelsOf are what a reader may sort topics by: the check, levels, units, when it is due.
func labelsOf(b *words.Book, c *finding.Comment, items []*finding.Item) []string {
	labels := []string{text(c.Check)}
	for _, it := range items {
		if it.Storey != "" {
			labels = put(labels, text(it.Storey))
		}
	}
	for _, it := range items {
		for _, u := range it.Units {
			labels = put(labels, text(u))
		}
	}
	for _, it := range items {
		if it.Evidence != finding.Modelled && it.Evidence != "" {
			labels = put(labels, text(string(it.Evidence)))
		}
	}
	if words.Open(c.Outcome) {
		labels = put(labels, fmt.Sprintf("due in round %d", max(b.R.Run.Round, 1)+1))
	}
	return labels
}

// describe words a topic: the comment, its section, each place with what was measured, and
// the cautions, since topics travel one by one.
func describe(b *words.Book, c *finding.Comment, items []*finding.Item) string {
	lines := []string{text(c.Text)}
	if c.Section != "" {
		lines = append(lines, "Section: "+text(c.Section)+".")
	}
	if j := worst(items); j != "" {
		lines = append(lines, j)
	}
	for i, it := range items {
		lines = append(lines, fmt.Sprintf("%d) %s", i+1, place(b, it)))
		if it.Disposition != nil {
			lines = append(lines, text(words.Sentence(words.First(words.Decision(it.Disposition)))))
		}
		for _, s := range []string{it.Exemption, it.Undecided} {
			if s != "" {
				lines = append(lines, text(words.Sentence(words.First(s))))
			}
		}
	}
	lines = append(lines, "Please note: "+text(strings.Join(b.R.Cautions, " ")))
	return strings.Join(lines, "\n")
}

// place is one place with what was measured there.
func place(b *words.Book, it *finding.Item) string {
	s := b.Where(it)
	if m := b.Measured(it); m != "" {
		s += ": measured " + m
		if it.Measured == nil {
			s = b.Where(it) + ": " + m
		}
	}
	return text(words.Sentence(s))
}

// worst says what the gravest of the places joins.
func worst(items []*finding.Item) string {
	units := 0
	for _, it := range items {
		if it.Joins != nil {
			units = max(units, it.Joins.Units)
		}
	}
	if units < 2 {
		return ""
	}
	return fmt.Sprintf("Joins %s through concealed spaces.", words.Count(units, "dwelling unit"))
}

// look makes the viewpoints: one of all places with all elements that are named, then a close
// one of each place with those of its elements that are in the picture.
func (t *topic) look(s *scene, b *words.Book, items []*finding.Item) {
	var spots []spot
	for _, it := range items {
		spots = append(spots, s.spot(it))
	}
	all := s.together(spots, s.bounds(items...))
	all.selected = elements(items...)
	all.name(t.id, "all", "viewpoint.bcfv")
	t.views = append(t.views, all)
	for i, it := range items {
		n := note{id: guid("comment", t.id, it.Key), text: place(b, it), view: all.id}
		lone := len(items) == 1 && (s.isBuilding(it) || s.isWhole(it)) // the first viewpoint is it
		if !lone && i < mostViews {
			v := s.view(spots[i])
			v.selected = s.inPicture(v.camera, elements(it))
			v.name(t.id, it.Key, fmt.Sprintf("viewpoint-%d.bcfv", i+1))
			t.views = append(t.views, v)
			n.view = v.id
		}
		t.notes = append(t.notes, n)
	}
}

// inPicture keeps of elements those that a camera sees something of; where one lies that is
// not known it stays.
func (s *scene) inPicture(c camera, ids []string) []string {
	var out []string
	for _, id := range ids {
		if b, ok := s.boxes[id]; !ok || c.touches(b) {
			out = append(out, id)
		}
	}
	return out
}

// elements are the ids of items' elements, each once.
func elements(items ...*finding.Item) []string {
	var out []string
	seen := map[string]bool{}
	for _, it := range items {
		for _, id := range it.Elements {
			if !seen[id] {
				seen[id] = true
				out = append(out, id)
			}
		}
	}
	return out
}

// text is what a schema that wants something to stand there accepts.
func text(s string) string {
	return cmp.Or(strings.Join(strings.Fields(archive.Text(s)), " "), "-")
}

func projectName(r *finding.Report) string { return words.New(r).Project() }

// identity tells one building from another and stays the same from round to round.
func identity(r *finding.Report) string {
	var permit, file string
	if r.Submittal != nil {
		permit = r.Submittal.Permit
	}
	if len(r.Models) > 0 {
		file = r.Models[0].File
	}
	return cmp.Or(permit, projectName(r), file)
}

// guid is an id made from words: the same words give the same id. It has the form of a
// name-based UUID (version 8, RFC 9562).
func guid(parts ...string) string {
	h := sha256.New()
	for _, p := range append([]string{"voidcheck"}, parts...) {
		fmt.Fprintf(h, "%d:%s;", len(p), p)
	}
	s := h.Sum(nil)[:16]
	s[6], s[8] = s[6]&0x0f|0x80, s[8]&0x3f|0x80
	return fmt.Sprintf("%x-%x-%x-%x-%x", s[:4], s[4:6], s[6:8], s[8:10], s[10:])
}
