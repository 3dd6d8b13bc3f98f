package lexicon

import (
	"regexp/syntax"
	"strings"
)

// A pattern is tried only on names that hold one of the texts without which it cannot match:
// looking for texts takes a hundredth of the time.

// mostTexts bounds the texts of one pattern.
const mostTexts = 200

// holdsAny reports whether a name holds one of the texts; where there are none it may match
// anything.
func holdsAny(name string, texts []string) bool {
	for _, t := range texts {
		if strings.Contains(name, t) {
			return true
		}
	}
	return len(texts) == 0
}

// textsOf returns texts of which everything that a pattern matches holds one; nil when there
// are none that tell.
func textsOf(pattern string) []string {
	re, err := syntax.Parse(pattern, syntax.Perl)
	if err != nil {
		return nil
	}
	return needed(re.Simplify())
}

func needed(re *syntax.Regexp) []string {
	if all, ok := language(re); ok {
		return telling(all)
	}
	switch re.Op {
	case syntax.OpCapture, syntax.OpPlus:
		return needed(re.Sub[0])
	case syntax.OpAlternate:
		var out []string
		for _, s := range re.Sub {
			n := needed(s)
			if n == nil || len(out)+len(n) > mostTexts {
				return nil
			}
			out = append(out, n...)
		}
		return out
	case syntax.OpConcat:
		var best []string
		better := func(texts []string) {
			if texts != nil && (best == nil || shortest(texts) > shortest(best)) {
				best = texts
			}
		}
		run := []string{""} // of what follows each other
		for _, s := range re.Sub {
			if all, ok := language(s); ok && len(run)*len(all) <= mostTexts {
				run = joined(run, all)
				continue
			}
			better(telling(run))
			better(needed(s))
			run = []string{""}
		}
		better(telling(run))
		return best
	}
	return nil
}

// language returns everything that a pattern matches, where that is little.
func language(re *syntax.Regexp) ([]string, bool) {
	switch re.Op {
	case syntax.OpLiteral:
		return []string{string(re.Rune)}, re.Flags&syntax.FoldCase == 0
	case syntax.OpEmptyMatch, syntax.OpBeginLine, syntax.OpEndLine, syntax.OpBeginText, syntax.OpEndText, syntax.OpWordBoundary, syntax.OpNoWordBoundary:
		return []string{""}, true
	case syntax.OpCharClass:
		var out []string
		for i := 0; i < len(re.Rune); i += 2 {
			for c := re.Rune[i]; c <= re.Rune[i+1]; c++ {
				if out = append(out, string(c)); len(out) > 12 {
					return nil, false
				}
			}
		}
		return out, len(out) > 0
	case syntax.OpCapture:
		return language(re.Sub[0])
	case syntax.OpQuest:
		all, ok := language(re.Sub[0])
		return append([]string{""}, all...), ok
	case syntax.OpAlternate, syntax.OpConcat:
		out := []string{""}
		for i, s := range re.Sub {
			all, ok := language(s)
			switch {
			case !ok || len(out)*len(all) > mostTexts || len(out)+len(all) > mostTexts:
				return nil, false
			case re.Op == syntax.OpConcat:
				out = joined(out, all)
			case i == 0:
				out = all
			default:
				out = append(out[:len(out):len(out)], all...)
			}
		}
		return out, true
	}
	return nil, false
}

func joined(heads, tails []string) []string {
	out := make([]string, 0, len(heads)*len(tails))
	for _, a := range heads {
		for _, b := range tails {
			out = append(out, a+b)
		}
	}
	return out
}

// telling returns texts when all have a letter.
func telling(texts []string) []string {
	if shortest(texts) == 0 {
		return nil
	}
	return texts
}

func shortest(texts []string) int {
	if len(texts) == 0 {
		return 0
	}
	n := len(texts[0])
	for _, t := range texts {
		n = min(n, len(t))
	}
	return n
}
