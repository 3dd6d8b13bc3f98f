package ifctest

import (
	"math/rand"
	"sort"
	"strconv"
	"strings"
)

// scramble puts the instances in another order and numbers them anew, with gaps, as a file
// that went through other programs.
func (s *Step) scramble(r *rand.Rand) {
	number := map[Ref]Ref{}
	next := Ref(1)
	for _, i := range r.Perm(len(s.lines)) {
		next += Ref(1 + r.Intn(3))
		number[s.lines[i].ref] = next
	}
	for i := range s.lines {
		s.lines[i] = stepLine{number[s.lines[i].ref], renumber(s.lines[i].text, number)}
	}
	r.Shuffle(len(s.lines), func(i, j int) { s.lines[i], s.lines[j] = s.lines[j], s.lines[i] })
}

// renumber rewrites the references of an instance, leaving strings alone.
func renumber(text string, number map[Ref]Ref) string {
	var b strings.Builder
	quoted := false
	for i := 0; i < len(text); {
		c := text[i]
		if c == '\'' {
			quoted = !quoted
		}
		if c != '#' || quoted {
			b.WriteByte(c)
			i++
			continue
		}
		j := i + 1
		for j < len(text) && text[j] >= '0' && text[j] <= '9' {
			j++
		}
		n, _ := strconv.Atoi(text[i+1 : j])
		b.WriteByte('#')
		b.WriteString(strconv.Itoa(int(number[Ref(n)])))
		i = j
	}
	return b.String()
}

// Lines returns the instances as "#n=...;" by number, for tests.
func (s *Step) Lines() []string {
	l := append([]stepLine(nil), s.lines...)
	sort.Slice(l, func(i, j int) bool { return l[i].ref < l[j].ref })
	out := make([]string, len(l))
	for i, x := range l {
		out[i] = "#" + strconv.Itoa(int(x.ref)) + "=" + x.text + ";"
	}
	return out
}
