package ifctest

import (
	"os"
	"strconv"
)

// Seeds returns the seeds of a random test: count of them from first on. The environment
// variable of the given name sets how many instead, and VOIDCHECK_FIRST then the first.
func Seeds(name string, first, count int) []int64 {
	if n, err := strconv.Atoi(os.Getenv(name)); err == nil && n >= 0 {
		count = n
	}
	if n, err := strconv.Atoi(os.Getenv("VOIDCHECK_FIRST")); err == nil {
		first = n
	}
	seeds := make([]int64, count)
	for i := range seeds {
		seeds[i] = int64(first + i)
	}
	return seeds
}
