package cli

import (
	"voidcheck/cmd/internal/ids"
	"voidcheck/cmd/internal/review"
)

type adoptionIDsCmd struct {
	File    string `arg:"" optional:"" name:"file" help:"Adoption file; without it, the defaults."`
	Lexicon string `help:"Lexicon file that replaces the embedded one." placeholder:"FILE"`
}

// Run prints what a submittal must carry as an Information Delivery Specification.
func (c *adoptionIDsCmd) Run(a *app) error {
	ad, err := review.ReadAdoption(c.File)
	if err != nil {
		return err
	}
	lex, err := review.ReadLexicon(c.Lexicon)
	if err != nil {
		return err
	}
	return ids.Write(a.stdout, ad, lex)
}
