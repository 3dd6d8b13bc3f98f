package materials

// DefaultText returns the text of a list of materials.json. It stands here as well because
// every start of the program asks for the lists' texts, and reading the file of words and
// entries for them takes longer than the rest of the start; a test compares the two.
func DefaultText(use Use) string {
	if use == Draftstop {
		return "gypsum board 1/2 in, wood structural panel 3/8 in, sawn lumber 3/4 in if approved, particleboard 3/8 in if approved, cement board if approved, " +
			"mineral wool if approved, glass fiber batt if approved, cellulose if approved, sheet steel if approved"
	}
	return "sawn lumber 1 1/2 in, 2 layers of sawn lumber 3/4 in, wood structural panel 23/32 in, particleboard 3/4 in, gypsum board 1/2 in, cement board 1/4 in, " +
		"mineral wool, glass fiber batt 16 in high, cellulose if tested, sealant or foam if tested, sheet steel if approved"
}
