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
		labels = append(labels, Label{Owner: owner, Choices: Beside(p, 6+8*rng.Float64(), 3, 1.5, 2.2, 30)})
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
	got := b.Settle([]Label{{Choices: []Choice{
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
		{Owner: "a", Choices: []Choice{{Box: one}, {Box: two, Cost: 1}}},
		{Owner: "b", Choices: []Choice{{Box: one}}},
	})
	if got[0] != 1 || got[1] != 0 {
		t.Errorf("choices %v, want [1 0]", got)
	}
	if got := b.Settle([]Label{{Owner: "a", Choices: []Choice{{Box: one}}}, {Owner: "b", Choices: []Choice{{Box: one}}}}); got[0] != 0 || got[1] != -1 {
		t.Errorf("two labels for one place: %v, want [0 -1]", got)
	}
}

// A shy label keeps off a stroke that another lies over for its nearness.
func TestShyLabel(t *testing.T) {
	near, far := Around(Point{15, 10}, 6, 3), Around(Point{15, 24}, 6, 3)
	for _, c := range []struct {
		shy  float64
		want int
	}{{0, 0}, {30, 1}} {
		b := NewBoard(Box{0, 0, 30, 30})
		b.Stroke(1, 1, Point{5, 10}, Point{25, 10})
		if got := b.Settle([]Label{{Shy: c.shy, Choices: []Choice{{Box: near}, {Box: far, Cost: 14}}}}); got[0] != c.want {
			t.Errorf("shy %g takes choice %d, want %d", c.shy, got[0], c.want)
		}
	}
}
