package lexicon

// Matchers returns the matchers of a concept in the order of the lexicon; none when it has
// no such concept. Callers must not change them.
func (l *Lexicon) Matchers(concept string) []Matcher {
	for i := range l.concepts {
		if l.concepts[i].Concept == concept {
			return l.concepts[i].Match
		}
	}
	return nil
}

// ZoneMatchers returns the matchers of a kind of zone ("unit", "not-unit").
func (l *Lexicon) ZoneMatchers(kind string) []Matcher { return l.zones[kind] }
