package adoption

import (
	"strconv"

	"github.com/go-json-experiment/json"

	"voidcheck/schema"
)

// submittal is the submittal file as JSON.
type submittal struct {
	Schema            string     `json:"$schema"`
	Format            string     `json:"format"`
	Project           string     `json:"project"`
	Permit            string     `json:"permit"`
	Applicant         string     `json:"applicant"`
	Address           string     `json:"address"`
	Department        string     `json:"department"`
	Examiner          string     `json:"examiner"`
	Contact           string     `json:"contact"`
	Occupancy         string     `json:"occupancy"`
	Construction      string     `json:"construction"`
	Sprinklers        string     `json:"sprinklers"`
	SprinklersInVoids *bool      `json:"sprinklers_in_voids"`
	Storeys           int        `json:"storeys"`
	Round             int        `json:"round"`
	Units             []unitFact `json:"units"`
}

type unitFact struct {
	Name   string   `json:"name"`
	Spaces []string `json:"spaces"`
}

// ReadSubmittal reads a submittal file. The error is a *FileError that names the line, the
// column and the JSON path.
func ReadSubmittal(file string, data []byte) (Facts, error) {
	if problems := schema.Validate("submittal", data); len(problems) > 0 {
		return Facts{}, &FileError{File: file, Problems: problems}
	}
	var s submittal
	if err := json.Unmarshal(trimMark(data), &s, json.RejectUnknownMembers(true)); err != nil {
		return Facts{}, &FileError{File: file, Problems: []schema.Problem{{Line: 1, Col: 1, Text: err.Error()}}}
	}
	f := Facts{
		Project: s.Project, Permit: s.Permit, Applicant: s.Applicant, Address: s.Address,
		Department: s.Department, Examiner: s.Examiner, Contact: s.Contact,
		Occupancy: s.Occupancy, Construction: s.Construction, Sprinklers: s.Sprinklers,
		SprinklersInVoids: s.SprinklersInVoids, Storeys: s.Storeys, Round: s.Round,
	}
	names, spaces := map[string]int{}, map[string]int{}
	places, _ := schema.Locate(data)
	if s.Sprinklers == "none" && s.SprinklersInVoids != nil && *s.SprinklersInVoids {
		return Facts{}, &FileError{File: file, Problems: []schema.Problem{
			places.Problem("sprinklers in concealed spaces, where \"sprinklers\" says that there are none; put one of the two right", "sprinklers_in_voids")}}
	}
	for i, u := range s.Units {
		if j, twice := names[u.Name]; twice {
			return Facts{}, &FileError{File: file, Problems: []schema.Problem{
				places.Problem("\""+u.Name+"\" names unit "+itoa(j+1)+" too; give each unit its own name", "units", itoa(i), "name")}}
		}
		names[u.Name] = i
		for k, sp := range u.Spaces {
			if j, twice := spaces[sp]; twice {
				return Facts{}, &FileError{File: file, Problems: []schema.Problem{
					places.Problem("space \""+sp+"\" is in unit \""+s.Units[j].Name+"\" too; a space belongs to one unit", "units", itoa(i), "spaces", itoa(k))}}
			}
			spaces[sp] = i
		}
		f.Units = append(f.Units, UnitFact(u))
	}
	return f, nil
}

func itoa(n int) string { return strconv.Itoa(n) }
