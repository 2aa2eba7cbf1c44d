//go:build race

package route

// seeds cuts the number of random scenes under the race detector, which is ten
// times as slow and learns nothing more from them: TestConcurrent is for it.
func seeds(n uint64) uint64 { return (n + 9) / 10 }

const raced = true
