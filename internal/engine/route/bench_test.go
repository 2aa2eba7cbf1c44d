package route

import (
	"math/rand/v2"
	"testing"
)

// allPairs routes both rails of a bank: all pairs of positive posts and of
// negative posts, and each post to a take-off stud beside the bank.
func allPairs(b *testing.B, l layout) {
	stud := stud(-0.2, 0.3, 0.15)
	b.ReportAllocs()
	for b.Loop() {
		r, err := New(l.scene, heavy)
		if err != nil {
			b.Fatal(err)
		}
		for rail := range 2 {
			for i := rail; i < len(l.posts); i += 2 {
				for j := rail; j < i; j += 2 {
					if _, err := r.Route(l.posts[i], l.posts[j], nil); err != nil && len(l.scene.Boxes) == 6 {
						b.Fatal(err)
					}
				}
				if _, err := r.Route(l.posts[i], stud, nil); err != nil && len(l.scene.Boxes) == 6 {
					b.Fatal(err)
				}
			}
		}
	}
}

func BenchmarkRows6(b *testing.B)  { allPairs(b, bank(3, 2)) }
func BenchmarkRows16(b *testing.B) { allPairs(b, bank(4, 4)) }

func BenchmarkRandom6(b *testing.B) {
	allPairs(b, randomLayout(rand.New(rand.NewPCG(1, 6)), 6, false))
}

func BenchmarkRandom16(b *testing.B) {
	allPairs(b, randomLayout(rand.New(rand.NewPCG(2, 6)), 16, false))
}
