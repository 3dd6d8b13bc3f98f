package ifctest

import (
	"math/rand"
	"sort"
	"strconv"
)

// scramble puts the instances in another order and numbers them anew, with gaps, as a file
// that went through other programs.
func (s *Step) scramble(r *rand.Rand) {
	number := map[Ref]Ref{}
	next := Ref(1)
	for _, i := range r.Perm(len(s.insts)) {
		next += Ref(1 + r.Intn(3))
		number[s.insts[i].ref] = next
	}
	for i, x := range s.insts {
		s.insts[i] = stepInst{number[x.ref], x.entity, renumbered(x.args, number)}
	}
	r.Shuffle(len(s.insts), func(i, j int) { s.insts[i], s.insts[j] = s.insts[j], s.insts[i] })
}

// renumbered returns arguments with their references replaced.
func renumbered(args []any, number map[Ref]Ref) []any {
	out := make([]any, len(args))
	for i, a := range args {
		switch v := a.(type) {
		case Ref:
			out[i] = number[v] // 0 stays 0
		case []Ref:
			l := make([]Ref, len(v))
			for k, x := range v {
				l[k] = number[x]
			}
			out[i] = l
		case []any:
			out[i] = renumbered(v, number)
		default:
			out[i] = a
		}
	}
	return out
}

// Lines returns the instances as "#n=...;" by number, for tests.
func (s *Step) Lines() []string {
	l := append([]stepInst(nil), s.insts...)
	sort.Slice(l, func(i, j int) bool { return l[i].ref < l[j].ref })
	out := make([]string, len(l))
	for i, x := range l {
		out[i] = "#" + strconv.Itoa(int(x.ref)) + "=" + x.text() + ";"
	}
	return out
}
