// Package void is the concealed-space solver: solids and membranes in; voids, compartments,
// openings and their graph out. It has never heard of IFC and knows no limits of any code.
//
// # Exact cells
//
// The building is turned to its main wall direction. A field is a plan cut by the edges of the
// solids in it (plan.go): within one cell no solid begins or ends, so one vertical line through
// it tells the whole cell (column.go), and a sloped surface over it is one plane. Orthogonal
// and oblique walls alike come out exact, and the cost grows with the number of edges.
//
//	z      deck =====================================
//	       top chord ------   free   ---------- sheet|
//	           free            web       free        |   a column is a sorted list of solid
//	       bottom chord ---   free   ---------- sheet|   intervals; what is between is free
//	       ceiling ----------------------------------
//
// There are fields of three kinds:
//
//   - one for each level of decks: the floor void between ceilings and deck (level.go, zone.go);
//   - one for the roof: the attic between the top ceilings and the sheathing;
//   - one for each wall with a cavity, along the wall and as high as the walls that stand on
//     one another (wall.go, cavity.go, planes.go, stepped.go).
//
// # From free space to compartments
//
//  1. runs.go closes every free run narrower than the gap, along u, v and z: parts that abut
//     with a clearance are closed, a gap of 1/2 in is not, whichever way it lies.
//  2. zone.go says what the heights over each cell are: floor void or attic, soffit, wall
//     cavity, or the band of a line. A line (line.go, band.go) is where a void should be
//     divided: each side of a unit separation, or a draftstop.
//  3. Free intervals within a zone are nodes; nodes whose free heights overlap across a shared
//     edge are joined. Compartments (compartment.go) are the joined nodes outside bands:
//     nominal, since a defective stop still divides. Framing that stands inside counts as area.
//  4. Openings (opening.go) are the groups of free nodes within a band that lead from one side
//     to the other, measured at the narrowest section across the line; junction.go finds where
//     cavities meet horizontal voids.
//  5. framing.go reads what frames each void and which units it touches; report.go says of
//     each line and cavity what was looked at, also when nothing is wrong.
//
// The spaces between the stringers of stairs (stair.go) are told by their stringers and the
// board below them alone; no field is laid through them and no opening leads into them. Chases
// (chase.go) are the spaces for services that the model names; at each floor it is looked whether anything closes them.
//
// A unit line without any stop does not divide its void: the void is one, and the opening
// names the line. Layered walls show no plates: what closes them is told as assumed or as not
// told, never as modelled.
//
// # Accuracy
//
// Heights are plumb, those of gaps under a sloped roof too: there the gap square to the sheathing
// is less, by the cosine of the pitch.
//
// Faces within mergeTol of each other are one line. A cell's height is that of its centroid,
// exact for planes; the greatest height is taken at its corners. Tests hold areas against
// polygon overlay and closed formulas, and every building against its turned, moved, mirrored
// and shuffled self.
package void
