//go:build !race

package route

// seeds is the number of random scenes in a test; see race_test.go.
func seeds(n uint64) uint64 { return n }

const raced = false
