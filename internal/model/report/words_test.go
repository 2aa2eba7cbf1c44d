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
		{quantity.Show{}, &finding.Number{Value: 1240, Limit: 686, Unit: "N", Margin: 1 - 1240.0/686}, "1240 N against 686 N: 81 % past it"},
		{quantity.Show{}, &finding.Number{Value: 13.5, Limit: 11.8, Unit: "kg", Margin: 1 - 13.5/11.8}, "13.5 kg against 11.8 kg: 14 % past it"},
		{quantity.Show{}, &finding.Number{Value: 0.05, Limit: 0.03, Unit: "1", Margin: -2. / 3}, "5 % against 3 %: 67 % past it"},
		{quantity.Show{}, &finding.Number{Value: 2, Limit: 4, Unit: "lugs", Margin: 0.5}, "2 lugs against 4 lugs: 50 % left"},
		{quantity.Show{}, &finding.Number{Value: 2, Limit: 1, Unit: "1", Margin: -1}, "2 against 1: 100 % past it"},
		{quantity.Show{}, &finding.Number{Value: 0.0308, Limit: 0.03, Unit: "1", Margin: 1 - 0.0308/0.03}, "3.1 % against 3 %: 3 % past it"},
		{quantity.Show{}, &finding.Number{Value: 6e-6, Limit: 8.367e-6, Unit: "m²", Margin: 6/8.367 - 1}, "6 mm² against 8.37 mm²: 28 % past it"},
		{quantity.Show{}, &finding.Number{Value: 0.0012, Limit: 0.002, Unit: "m2", Margin: -0.4}, "12 cm² against 20 cm²: 40 % past it"},
		{quantity.Show{}, &finding.Number{Value: 12, Limit: 12.8, Unit: "V", Margin: -0.0625, Unlike: true}, "12.0 V against 12.8 V: unlike"},
		{quantity.Show{}, &finding.Number{Value: 672, Limit: 5, Unit: "s", Margin: 1 - 672/5.0}, "11 min against 5.0 s: 134 times it"},
		{quantity.Show{}, &finding.Number{Value: 11.475, Limit: 11.5, Unit: "V", Margin: 11.475/11.5 - 1}, "11.47 V against 11.50 V: just past it"},
	} {
		if got := MarginWords(row.show, row.n); got != row.want {
			t.Errorf("%+v: %q, not %q", row.n, got, row.want)
		}
	}
}
