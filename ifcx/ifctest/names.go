package ifctest

import "fmt"

// Naming styles: how an authoring tool or its user would call things.
const (
	NamesEnglish = "en"    // in full
	NamesTerse   = "terse" // marks only: "FT-14", "B 3"
	NamesGerman  = "de"
	NamesFrench  = "fr"
	NamesNone    = "none" // no names at all
)

// Each role in English, terse, German and French. Words of other languages from memory.
var roleNames = map[Role][4]string{
	FloorTruss:   {"Floor truss", "FT-", "Deckenbinder", "Poutre à treillis de plancher"},
	RoofTruss:    {"Roof truss", "RT-", "Nagelbinder Dach", "Ferme de toit"},
	TopChord:     {"Top chord", "TC", "Obergurt", "Membrure supérieure"},
	BottomChord:  {"Bottom chord", "BC", "Untergurt", "Membrure inférieure"},
	Web:          {"Web", "W", "Diagonale", "Diagonale d'âme"},
	EndPost:      {"End post", "EP", "Endpfosten", "Montant d'extrémité"},
	Joist:        {"Floor joist", "J ", "Deckenbalken", "Solive"},
	IJoist:       {"I-joist", "IJ ", "Stegträger", "Solive en I"},
	Rim:          {"Rim board", "RB ", "Randbohle", "Solive de rive"},
	Header:       {"Stair header", "H ", "Wechsel", "Chevêtre"},
	Trimmer:      {"Stair trimmer", "TR ", "Wechselbalken", "Solive d'enchevêtrure"},
	Deck:         {"Subfloor", "SF ", "Deckenschalung OSB", "Plancher OSB"},
	Ceiling:      {"Gypsum ceiling", "GC ", "Unterdecke Gipskarton", "Plafond en plaques de plâtre"},
	Block:        {"Fireblock", "B ", "Brandblock Füllholz", "Entretoise coupe-feu"},
	LevelBlock:   {"Fireblocking at level", "MW ", "Brandsperre waagerecht", "Coupe-feu horizontal de cavité"},
	RunBlock:     {"Fireblocking upright", "MV ", "Brandsperre senkrecht", "Coupe-feu vertical de cavité"},
	Draftstop:    {"Draftstop", "DS-", "Abschottung Deckenhohlraum", "Écran coupe-feu de plancher"},
	AtticStop:    {"Attic draftstop", "AD-", "Abschottung Dachraum", "Écran coupe-feu de comble"},
	WallSep:      {"Unit separation wall", "SW ", "Wohnungstrennwand", "Mur séparatif entre logements"},
	WallExt:      {"Exterior wall", "EW ", "Außenwand", "Mur extérieur"},
	WallPart:     {"Bearing partition", "P ", "Tragende Innenwand", "Cloison porteuse"},
	Stud:         {"Stud", "S ", "Ständer", "Montant"},
	BottomPlate:  {"Bottom plate", "BP ", "Schwelle", "Lisse basse"},
	TopPlate:     {"Top plate", "TP ", "Rähm", "Sablière"},
	Gypsum:       {"Gypsum board", "GB ", "Gipskartonplatte", "Plaque de plâtre"},
	Sheathing:    {"Wall sheathing", "WS ", "Außenbeplankung", "Voile de contreventement"},
	Slab:         {"Slab on grade", "SOG", "Bodenplatte", "Dalle sur sol"},
	RoofWhole:    {"Roof", "R", "Dach", "Toiture"},
	RoofPanel:    {"Roof sheathing", "RS ", "Dachschalung", "Voligeage"},
	EaveBoard:    {"Eave blocking board", "EB ", "Traufbrett", "Planche d'avant-toit"},
	GableStud:    {"Gable stud", "GS ", "Giebelständer", "Montant de pignon"},
	SoffitBoard:  {"Soffit board", "SB ", "Abkofferung", "Soffite"},
	FloorWhole:   {"Floor", "F ", "Geschossdecke", "Plancher"},
	PipeSeg:      {"Pipe", "P-", "Rohr", "Tuyau"},
	DuctSeg:      {"Duct", "D-", "Luftkanal", "Gaine de ventilation"},
	CableSeg:     {"Cable", "C-", "Kabel", "Câble"},
	Seal:         {"Firestop seal", "FS ", "Brandschutzabdichtung", "Calfeutrement coupe-feu"},
	ChimneyStack: {"Chimney", "CH ", "Schornstein", "Cheminée"},
	OutletBox:    {"Outlet box", "OB-", "Steckdose", "Prise de courant"},
	StairFlight:  {"Stair flight", "ST ", "Treppenlauf", "Volée d'escalier"},
	Stringer:     {"Stair stringer", "STR ", "Treppenwange", "Limon d'escalier"},
	StairBoard:   {"Stair soffit board", "SSB ", "Treppenuntersicht", "Sous-face d'escalier"},
	BodyTruss:    {"Floor member", "FM-", "Deckenträger", "Élément de plancher"},
	Rafter:       {"Rafter", "RA ", "Sparren", "Chevron"},
	WallCore:     {"Masonry wall", "MS ", "Mauer", "Mur de maçonnerie"},
	RidgeBoard:   {"Ridge board", "RG ", "Firstbohle", "Planche faîtière"},
}

var materialNames = map[Material][4]string{
	Lumber:      {"SPF lumber", "SPF", "Konstruktionsvollholz", "Bois d'épinette"},
	OSB:         {"OSB sheathing", "OSB", "OSB-Platte", "Panneau OSB"},
	Plywood:     {"Plywood", "PLY", "Sperrholz", "Contreplaqué"},
	GypsumBd:    {"Gypsum board", "GWB", "Gipskartonplatte GKB", "Plaque de plâtre"},
	GypsumX:     {"Gypsum board Type X", "GWB-X", "Gipskartonplatte GKF", "Plaque de plâtre type X"},
	MineralWool: {"Mineral wool", "MW", "Steinwolle", "Laine de roche"},
	Concrete:    {"Concrete", "CONC", "Beton", "Béton"},
	Steel:       {"Galvanized steel", "STL", "Stahlblech verzinkt", "Acier galvanisé"},
	PVC:         {"PVC", "PVC", "PVC", "PVC"},
	Copper:      {"Copper", "CU", "Kupfer", "Cuivre"},
	FireSealant: {"Intumescent sealant", "INT", "Brandschutzmasse", "Mastic intumescent"},
	AirGap:      {"Air", "AIR", "Luftschicht", "Lame d'air"},
	WoodTruss:   {"Wood floor truss", "TRUSS", "Fachwerkträger Holz", "Treillis en bois"},
	StudLayer:   {"Wood stud framing", "STUD", "Holzständer", "Ossature bois"},
	Cladding:    {"Fiber cement siding", "FCS", "Faserzementverkleidung", "Bardage fibrociment"},
	Shingles:    {"Asphalt shingles", "SHGL", "Bitumenschindeln", "Bardeaux d'asphalte"},
	Carpet:      {"Floor finish", "FF", "Bodenbelag", "Revêtement de sol"},
	Masonry:     {"Concrete masonry units", "CMU", "Mauerwerk", "Maçonnerie en blocs de béton"},
}

func styleIndex(style string) int {
	switch style {
	case NamesTerse:
		return 1
	case NamesGerman:
		return 2
	case NamesFrench:
		return 3
	}
	return 0
}

// partName returns the name of a part in a style, nil for none.
func partName(style string, p *Part) any {
	if style == NamesNone {
		return nil
	}
	n := roleNames[p.Role][styleIndex(style)]
	if style == NamesTerse {
		return fmt.Sprintf("%s%d", n, p.N)
	}
	if p.Mark != "" && p.Role != WallExt && p.Role != WallPart {
		n += " " + p.Mark
	}
	return fmt.Sprintf("%s %d", n, p.N)
}

// typeName names the type of parts of a role and size.
func typeName(style string, p *Part, size string) any {
	if style == NamesNone {
		return nil
	}
	if style == NamesTerse {
		return size
	}
	return roleNames[p.Role][styleIndex(style)] + " " + size
}

// materialName names a material in a style; one that the table does not hold has the same
// name in every style.
func materialName(style string, m Material) string {
	if names, ok := materialNames[m]; ok {
		return names[styleIndex(style)]
	}
	return string(m)
}

func storeyName(style string, k int) any {
	switch style {
	case NamesNone:
		return nil
	case NamesTerse:
		return fmt.Sprintf("L%d", k+1)
	case NamesGerman:
		if k == 0 {
			return "Erdgeschoss"
		}
		return fmt.Sprintf("%d. Obergeschoss", k)
	case NamesFrench:
		if k == 0 {
			return "Rez-de-chaussée"
		}
		return fmt.Sprintf("Étage %d", k)
	}
	return fmt.Sprintf("Level %d", k+1)
}

func zoneName(style string, u int) any {
	switch style {
	case NamesNone:
		return nil
	case NamesTerse:
		return fmt.Sprintf("U%d", u+1)
	case NamesGerman:
		return fmt.Sprintf("Wohnung %d", u+1)
	case NamesFrench:
		return fmt.Sprintf("Logement %d", u+1)
	}
	return fmt.Sprintf("Unit %d", u+1)
}

var useNames = map[string][3]string{
	"Living": {"LR", "Wohnen", "Séjour"}, "Kitchen": {"KIT", "Küche", "Cuisine"}, "Bedroom": {"BR", "Schlafen", "Chambre"},
	"Bath": {"BA", "Bad", "Salle de bains"}, "Study": {"ST", "Arbeiten", "Bureau"}, "Loft": {"LO", "Galerie", "Mezzanine"}, "Store": {"STO", "Abstellraum", "Rangement"},
	"Corridor": {"COR", "Flur", "Couloir"},
}

// roomName returns number and use of a room.
func roomName(style, scheme string, r *Room, running int) (number, use any) {
	switch scheme {
	case "letter":
		number = fmt.Sprintf("%c%d%02d", 'A'+r.Unit, r.Storey+1, r.N)
	case "number":
		number = fmt.Sprintf("%d%02d", r.Storey+1, r.Unit*2+r.N)
	default:
		number = fmt.Sprint(running)
	}
	if style == NamesNone {
		return number, nil
	}
	use = r.Use
	if i := styleIndex(style); i > 0 {
		use = useNames[r.Use][i-1]
	}
	return number, use
}
