// Package ifctest builds fixtures: a light wood-frame house or row, described as data, becomes
// a model of solid parts with the truth beside it (voids, areas, openings, seeded defects), and
// the model is written as a real IFC STEP file under any of many disguises (units, place,
// schema, naming, order, tolerances). It reads nothing and judges nothing.
//
// Frame of a house, metres: x runs along the row, y from front to back, z up. The floor void
// of the first unit begins at x = 0, y = 0; the top of the lowest floor is z = 0. Units and
// separations count from 0; separation i stands between units i and i+1. Level k is storey k;
// the floor void of level k lies under its deck, between storeys k-1 and k.
package ifctest
