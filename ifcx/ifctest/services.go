package ifctest

// Service is one run of pipe, duct or cable with the hole that it needs.
type Service struct {
	Kind string `json:"kind"` // "pipe", "duct", "cable"
	// Through: "floor" (up the bearing partition through plates and deck of Level),
	// "separation" (level through the boards of a unit line), "draftstop" (along the floor
	// void through sheet Index), "void" (inside the floor void only).
	Through    string  `json:"through"`
	Unit       int     `json:"unit"`
	Separation int     `json:"separation"`
	Level      int     `json:"level"`
	Index      int     `json:"index"`
	At         float64 `json:"at"` // along the wall or the void
	Diameter   float64 `json:"diameter"`
	Ring       float64 `json:"ring"`   // free space all round it in the hole
	Sealed     bool    `json:"sealed"` // a collar fills the ring
}
