package finding

import (
	"slices"
	"strings"
	"testing"
)

func TestUnitWords(t *testing.T) {
	for _, tt := range []struct{ names, want string }{
		{"Unit 1|Unit 2", "U1|U2"},         // the ids spell the names
		{"1|2", "U1|U2"},                   //
		{"|", "U1|U2"},                     // no names
		{"Unit A|Unit B", "Unit A|Unit B"}, // as on the drawings
		{"A|B", "unit A|unit B"},           // a letter alone is no name
		{"101|102", "unit 101|unit 102"},   //
		{"Unit 2|Unit 1", "Unit 2|Unit 1"}, // the ids would mislead
		{"Maple|maple", "U1|U2"},           // not distinct
		{"Maple|", "U1|U2"},                // one without a name
		{"Appartement de gauche, escalier B|x", "Appartement de gauche,…|unit x"}, // long
	} {
		var units []Unit
		for i, n := range strings.Split(tt.names, "|") {
			units = append(units, Unit{ID: []string{"U1", "U2"}[i], Name: n})
		}
		if got := UnitWords(units); !slices.Equal(got, strings.Split(tt.want, "|")) {
			t.Errorf("%s: %q, want %s", tt.names, got, tt.want)
		}
	}
}

func TestUnitLine(t *testing.T) {
	for _, tt := range [][3]string{{"U1", "U2", "U1/U2"}, {"Unit A", "Unit B", "A/B"}, {"Lot 14 East", "Lot 14 West", "Lot 14 East/Lot 14 West"}, {"Unit A", "common space", "Unit A/common space"}} {
		if got := UnitLine(tt[0], tt[1]); got != tt[2] {
			t.Errorf("%s, %s: %q, want %q", tt[0], tt[1], got, tt[2])
		}
	}
}
