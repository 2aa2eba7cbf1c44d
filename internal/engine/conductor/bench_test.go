package conductor

import "testing"

// What a schedule of some hundred cables costs.
func BenchmarkSteady(b *testing.B) {
	for range b.N {
		if _, err := Steady(flexible(), Place{Ambient: c(40)}, 200); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSteadySleeve(b *testing.B) {
	for range b.N {
		if _, err := Steady(flexible(), Place{Ambient: c(40), Cables: 3, Sleeve: &Sleeve{0.05, 0.053, 5, 0.9}}, 150); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTimeTo(b *testing.B) {
	for range b.N {
		if _, err := TimeTo(flexible(), Place{Ambient: c(30)}, 495, c(30), c(105)); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTimeToSleeve(b *testing.B) {
	for range b.N {
		if _, err := TimeTo(flexible(), Place{Ambient: c(30), Sleeve: &Sleeve{0.025, 0.028, 5, 0.9}}, 495, c(30), c(105)); err != nil {
			b.Fatal(err)
		}
	}
}
