package report

import (
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/finding"
)

func TestMarginWords(t *testing.T) {
	inch := quantity.Show{Length: "in", Temperature: "°F"}
	for _, row := range []struct {
		show quantity.Show
		n    *finding.Number
		want string
	}{
		{quantity.Show{}, nil, ""},
		{quantity.Show{}, &finding.Number{Value: 120, Limit: 100, Unit: "A", Margin: -0.2}, "120 A against 100 A: 20 % past it"},
		{quantity.Show{}, &finding.Number{Value: 80, Limit: 100, Unit: "A", Margin: 0.2}, "80.0 A against 100 A: 20 % left"},
		{inch, &finding.Number{Value: 0.254, Limit: 0.1778, Unit: "m", Margin: -0.43}, "10 in against 7 in: 43 % past it"},
		{inch, &finding.Number{Value: 378.15, Limit: 378.15, Unit: "K"}, "221 °F against 221 °F: 0 % left"},
		{quantity.Show{}, &finding.Number{Value: 0.05, Limit: 0.03, Unit: "1", Margin: -2. / 3}, "0.05 against 0.03: 67 % past it"},
		{quantity.Show{}, &finding.Number{Value: 2, Limit: 4, Unit: "lugs", Margin: 0.5}, "2 lugs against 4 lugs: 50 % left"},
	} {
		if got := MarginWords(row.show, row.n); got != row.want {
			t.Errorf("%+v: %q, not %q", row.n, got, row.want)
		}
	}
}
