// Package housetest holds the rules of the house as tests: which package may import which,
// how long a file may be, what must be documented, which words stay out. The tests read the
// files themselves, so that no cached answer hides a broken rule. It has no code.
package housetest
