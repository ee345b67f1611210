package sheet

import (
	"fmt"
	"maps"
	"slices"

	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// boomCards are what the sprayer works from.
func (in *inputs) boomCards(l *rx.Layer) []rx.Sheet {
	tank := in.a.Terms.FurtherOn(equip.OnBoom)
	d := in.card(rx.BoomSheet, "Boom card", l, append([]rx.JobLiquid{in.a.Terms.Stabilizer()}, tank...))
	maps.Copy(d.always, d.inTank(l, tank))
	v := values{
		"rate": d.rate(l.Rate), "ground": d.area(l.Area), "pieces": plural(l.Zones, "piece", "pieces"),
		"stabilizer in all": d.drop(d.sprayed(l)), "stabilizer to order": d.can(d.sprayed(l)),
		"fills known": false, "full tanks": false, "one fill": false, "dose of a tank": "", "dose to order": "", "water of a tank": "", "count of fills": "", "spray volume": "",
		"a size holds": false, "best size": "", "its pressure": "", "usual speed": "", "keep-outs": d.plan.KeepOut != nil, "strips": d.plan.Strips != nil, "strips left": plural(stripCount(d.plan), "strip", "strips"),
	}
	log := rx.Table{
		Head: []string{"", "fill", d.areaUnit(), "water " + d.canUnit(), "stabilizer " + d.dropUnit(), d.canUnit(), "read " + d.areaUnit(), "time", "by"},
		Left: make([]bool, 9),
		Rows: lines(batchesByHand, toWrite, toWrite, toWrite, toWrite, toWrite, toWrite, toWrite),
	}
	if b := in.job.Boom; b != nil {
		d.boomOfCard(*b, l, v)
		d.fillLog(*b, l, &log)
	}
	return d.work(v, log)
}

// boomOfCard says what a full tank takes, or the one fill, and how the boom is set.
func (d *document) boomOfCard(b equip.Boom, l *rx.Layer, v values) {
	fit := b.Fits(d.mixAt(l)(b.Volume))[0]
	v["a size holds"], v["best size"], v["its pressure"] = fit.Holds, string(fit.Nozzle), d.pressure(fit.At[1].Pressure)
	v["usual speed"], v["spray volume"] = d.speed(b.Speed.Usual), d.spray(b.Volume)
	all, metered, err := d.a.Terms.Fills(b, l.Area, l.Rate)
	if err != nil {
		return
	}
	one := metered.Full
	if all.Count == 0 {
		one = metered.Last
	}
	v["fills known"], v["full tanks"], v["one fill"] = true, all.Count > 0, all.Number() == 1
	v["dose of a tank"], v["dose to order"], v["water of a tank"] = d.drop(one.Product), d.can(one.Product), d.can(one.Water)
	v["count of fills"] = plural(all.Number(), "fill", "fills")
}

// fillLog has a line a fill; the last one its own figures.
func (d *document) fillLog(b equip.Boom, l *rx.Layer, log *rx.Table) {
	all, metered, err := d.a.Terms.Fills(b, l.Area, l.Rate)
	if err != nil {
		return
	}
	for i, one := range d.a.Terms.FurtherOn(equip.OnBoom) {
		log.Head, log.Left = slices.Insert(log.Head, 6+i, narrowed(one.Name)+" "+d.dropUnit()), append(log.Left, false)
	}
	cells := func(f equip.Fill) []string {
		list := []string{d.areaN(f.Area), d.canN(f.Water), d.dropN(f.Product), d.canN(f.Product)}
		for _, v := range f.Further {
			list = append(list, d.dropN(v))
		}
		return append(list, toWrite, toWrite, toWrite)
	}
	log.Rows = lines(all.Count, cells(metered.Full)...)
	if all.Last.Area > 0 && len(log.Rows) <= mostCards*mostOnCard {
		log.Rows = append(log.Rows, append([]string{box, fmt.Sprintf("%d last", all.Number())}, cells(metered.Last)...))
	}
}
