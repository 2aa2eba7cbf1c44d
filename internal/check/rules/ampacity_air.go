package rules

import (
	"fmt"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/rating"
	"bankwright/internal/model/report"
	"bankwright/internal/read/catalog"
)

// TableAir says what a table does not know of the air round a cable: it has
// rows for one ambient, no factors for others, and at most one for engine
// spaces. "" where it counts this air, as one with factors for bands does, or
// where nothing tells what air its rows are for.
func TableAir(t *rating.AmpacityTable, ambient quantity.Temperature, engine bool, show quantity.Show) string {
	const edge = 1e-6 // K: rounding of a temperature that is a sum
	if t.Bands != nil || !t.Base.Known() || ambient <= t.Base.V+edge {
		return ""
	}
	if engine && len(t.Engine) > 0 {
		space := t.Engine[0].Ambient
		if ambient <= space+edge {
			return ""
		}
		return fmt.Sprintf("the table's factor for engine spaces is for air of %s and it has none for %s; the heat balance counts it", show.FormatTemperature(space), show.FormatTemperature(ambient))
	}
	return fmt.Sprintf("the table is for air of %s and has no factor for %s outside engine spaces; the heat balance counts it", show.FormatTemperature(t.Base.V), show.FormatTemperature(ambient))
}

// tellAir says once for all cables in the same air what their table does not
// count of it.
func tellAir(r *report.Report, say *speaker) {
	var reasons []string
	cables := map[string][]string{}
	for i := range r.Side.Lines {
		l := &r.Side.Lines[i]
		row := l.Governing()
		if row == nil || l.Steady.Amps == 0 {
			continue
		}
		if why := tableAir(r, l, row); why != "" {
			if cables[why] == nil {
				reasons = append(reasons, why)
			}
			cables[why] = append(cables[why], l.Cable)
		}
	}
	for _, why := range reasons {
		names := cables[why]
		say.pass(names[0], why+" (AMP-02): "+fewOf(names))
	}
}

// fewOf lists names, and of many the first, the last and how many.
func fewOf(names []string) string {
	const few = 6
	if len(names) <= few {
		return listed(names)
	}
	return fmt.Sprintf("%s … %s, %d cables", names[0], names[len(names)-1], len(names))
}

// tableAir is TableAir for a cable of a job and its governing row.
func tableAir(r *report.Report, l *report.Line, row *report.TableRow) string {
	tables := catalog.Default().Ampacities()
	for i := range tables {
		if tables[i].Title == row.Title {
			return TableAir(&tables[i], quantity.Temperature(l.Ambient), cableOf(r, l).Wrap.Engine, r.Bank.Show)
		}
	}
	panic("rules: no table of the catalogue is titled " + row.Title)
}
