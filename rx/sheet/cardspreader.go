package sheet

import (
	"strings"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// spreaderCards are what the machine that spreads a dry layer works from.
func (in *inputs) spreaderCards(l *rx.Layer) []rx.Sheet {
	d := in.card(rx.SpreaderSheet, "Spreader card, layer "+l.Name, l, in.putOn())
	var holds []values
	var weight unit.Mass
	heavier := false
	for _, m := range d.dryProducts() {
		if m.layer != l {
			continue
		}
		added, known := m.trim()
		weight += unit.Mass(float64(m.mass * unit.Mass(1+added)))
		heavier = heavier || m.treated
		holds = append(holds, values{
			"product of the layer": m.name, "treated product": m.treated, "weight": d.bulk(m.mass), "on ground": d.area(m.area),
			"trim known": known, "trim": percent(added), "mean rate": d.dry(m.mean()),
		})
	}
	v := values{
		"rates to spread": between(d.dry(l.Dry.Min), d.dry(l.Dry.Max)), "zones to spread": plural(l.Zones, "zone", "zones"),
		"product": holds, "treated layer": heavier, "rate column": d.rateColumns(),
		"file holds prescribed rates too": l.RxRate, "several layers": len(d.dryLayers()) > 1,
		"spreader known": false, "swath": "", "usual speed": "", "change distance": "", "truck known": false, "truck loads": "", "weight of each": "",
	}
	if s := d.job.Spreader; s != nil {
		v["spreader known"], v["swath"], v["usual speed"], v["change distance"] = true, d.length(s.Swath), d.speed(s.Speed.Usual), d.length(s.ChangeDistance())
	}
	return d.work(v, d.truckLog(v, weight))
}

// truckLog has a line a truck load; where trucks are not known, some to write on.
func (d *document) truckLog(v values, weight unit.Mass) rx.Table {
	count, cells := batchesByHand, []string{toWrite, toWrite, toWrite, toWrite, toWrite}
	if d.job.Spreader != nil {
		if n, each, known := d.job.Spreader.Loads(weight); known {
			count, cells[0] = n, d.massN(each)
			v["truck known"], v["truck loads"], v["weight of each"] = true, plural(n, "truck load", "truck loads"), d.mass(each)
		}
	}
	return rx.Table{
		Head: strings.Split("|truck|"+d.massUnit()+"|weighed|read "+d.areaUnit()+"|time|by", "|"),
		Left: make([]bool, 7),
		Rows: lines(count, cells...),
	}
}
