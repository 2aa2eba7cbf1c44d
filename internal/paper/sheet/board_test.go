package sheet

import (
	"math/rand/v2"
	"testing"
)

// crowd is a board of random points to be labelled, with strokes between them.
func crowd(rng *rand.Rand, n int) (*Board, []Label, []Box) {
	b := NewBoard(Box{0, 0, 120, 90})
	var labels []Label
	var posts []Box
	var last Point
	for i := range n {
		p := Point{10 + 100*rng.Float64(), 10 + 70*rng.Float64()}
		owner := string(rune('a' + i))
		post := Around(p, 3, 3)
		posts = append(posts, post)
		b.Block(post, owner)
		if i > 0 {
			b.Stroke(1, 1, last, p)
		}
		last = p
		labels = append(labels, Label{owner, Beside(p, 6+8*rng.Float64(), 3, 1.5, 2.2, 30)})
	}
	return b, labels, posts
}

func TestSettleKeepsLabelsApart(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 7))
	for round := range 40 {
		b, labels, posts := crowd(rng, 20)
		taken := b.Settle(labels)
		for i, c := range taken {
			if c < 0 {
				t.Errorf("round %d: label %d has no place on a board that is a tenth full", round, i)
				continue
			}
			mine := labels[i].Choices[c]
			for k, p := range posts {
				if mine.Box.Overlaps(p) || k != i && leaderHits(mine.Leader, p) {
					t.Errorf("round %d: label %d or its leader lies over post %d", round, i, k)
				}
			}
			for j := range i {
				other := labels[j].Choices[taken[j]]
				if mine.Box.Overlaps(other.Box) || leaderHits(mine.Leader, other.Box) || leaderHits(other.Leader, mine.Box) {
					t.Errorf("round %d: labels %d and %d overlap", round, i, j)
				}
			}
		}
	}
}

func TestSettlePrefersFreePaper(t *testing.T) {
	b := NewBoard(Box{0, 0, 50, 50})
	b.Stroke(4, 1, Point{10, 10}, Point{40, 10})
	got := b.Settle([]Label{{"", []Choice{
		{Box: Around(Point{25, 10}, 10, 3)},
		{Box: Around(Point{25, 30}, 10, 3), Cost: 2},
	}}})
	if got[0] != 1 {
		t.Errorf("choice %d, want the one off the stroke", got[0])
	}
}

func TestSettleMakesRoom(t *testing.T) {
	// The first label takes the only place of the second, and can move.
	one, two := Around(Point{10, 10}, 6, 3), Around(Point{10, 20}, 6, 3)
	b := NewBoard(Box{0, 0, 30, 30})
	got := b.Settle([]Label{
		{"a", []Choice{{Box: one}, {Box: two, Cost: 1}}},
		{"b", []Choice{{Box: one}}},
	})
	if got[0] != 1 || got[1] != 0 {
		t.Errorf("choices %v, want [1 0]", got)
	}
	if got := b.Settle([]Label{{"a", []Choice{{Box: one}}}, {"b", []Choice{{Box: one}}}}); got[0] != 0 || got[1] != -1 {
		t.Errorf("two labels for one place: %v, want [0 -1]", got)
	}
}
