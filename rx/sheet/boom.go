package sheet

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"rxsplit/internal/each"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/tell"
)

// boom returns the sheet of the liquid layer, for the sprayer.
func (in *inputs) boom(l *rx.Layer) rx.Sheet {
	tank := in.a.Terms.FurtherOn(equip.OnBoom)
	d := in.begin(rx.BoomSheet, "Boom sheet", l.Name, append([]rx.JobLiquid{in.a.Terms.Stabilizer()}, tank...))
	maps.Copy(d.always, d.inTank(l, tank))
	d.liquid(l)
	if d.plan.Strips != nil {
		d.strips(l)
	}
	if b := in.job.Boom; b != nil {
		fits := b.Fits(d.mixAt(l)(b.Volume))
		d.nozzles(*b, l, fits)
		if !fits[0].Holds {
			d.noNozzle(*b, l, fits[0])
		}
		d.flows(*b)
		d.fills(*b, l)
	} else {
		d.write("Nozzles and tank, by hand", values{"rate": d.rate(l.Rate)})
	}
	d.catch()
	d.write("Wind, drift and the label's own limits", nil)
	d.write("Filling a tank", nil)
	d.write("Rinsing", values{"Clean-up": sentence(d.phrase("clean-up", nil))})
	return d.end()
}

// inTank are the words for the further liquids in the tank.
func (d *document) inTank(l *rx.Layer, tank []rx.JobLiquid) values {
	var list, asked []values
	volumes := d.sprayedFurther(l)
	for i, one := range tank {
		v := values{"liquid": one.Name, "its rate": d.rate(one.Intended), "its range": ", not graded: no label", "its volume": d.drop(volumes[i]), "its volume to order": d.can(volumes[i])}
		if r, graded := one.Range(); graded {
			v["its range"] = ", label range " + between(d.rate(r.Min), d.rate(r.Max))
		}
		list = append(list, v)
		if may, _ := d.a.Terms.TankMix(one); may == label.Unsaid {
			asked = append(asked, v)
		}
	}
	return values{"in the tank": list, "asked about": asked}
}

// liquid says what goes on the ground.
func (d *document) liquid(l *rx.Layer) {
	var volume unit.LiquidRate
	if d.job.Boom != nil {
		volume = d.job.Boom.Volume
	}
	allowed, known := d.label.SprayVolume.Get()
	var keepOuts []string
	if f := d.plan.KeepOut; f != nil {
		keepOuts = append(keepOuts, sentence(tell.Text(*f, d.s)))
	}
	d.write("What goes on", values{
		"rate": d.rate(l.Rate), "ground": d.area(l.Area), "pieces": plural(l.Zones, "piece", "pieces"),
		"stabilizer in all": d.drop(d.sprayed(l)), "stabilizer to order": d.can(d.sprayed(l)),
		"boom known": d.job.Boom != nil, "spray volume": d.spray(volume),
		"label's volumes known": known, "label's spray volumes": between(d.spray(allowed.Min), d.spray(allowed.Max)),
		"volume is off the label": d.job.Boom != nil && known && !rx.Range[unit.LiquidRate](allowed).Contains(volume),
		"keep-out":                entries("keep-out", keepOuts...),
	})
}

// mixAt gives the density that the mix has at a spray volume; that of water where the
// stabilizer's is not known.
func (in *inputs) mixAt(l *rx.Layer) func(volume unit.LiquidRate) unit.Density {
	return func(volume unit.LiquidRate) unit.Density { return in.a.Terms.MixDensity(volume, l.Rate) }
}

// nozzles lists the sizes on hand with the pressure that each needs.
func (d *document) nozzles(b equip.Boom, l *rx.Layer, fits []equip.Fit) {
	table := rx.Table{
		Title: "Pressure in " + unit.Symbol[unit.Pressure](d.s) + " by speed, the best first",
		Head:  []string{"size"}, Left: []bool{true},
	}
	speeds := differing(b.Speed)
	for _, at := range speeds {
		table.Head, table.Left = append(table.Head, d.speed(speedsOf(b.Speed)[at])), append(table.Left, false)
	}
	table.Head, table.Left = append(table.Head, ""), append(table.Left, true)
	for _, f := range fits {
		row := []string{string(f.Nozzle)}
		for _, at := range speeds {
			row = append(row, d.pressureN(f.At[at].Pressure))
		}
		table.Rows = append(table.Rows, append(row, d.standing(b, f)))
	}
	best := fits[0]
	gravity := float64(d.mixAt(l)(b.Volume) / equip.WaterDensity)
	d.write("Nozzles", values{
		"pressures allowed": between(d.pressure(b.Pressure.Min), d.pressure(b.Pressure.Max)),
		"a size holds":      best.Holds, "best size": string(best.Nozzle), "its pressure": d.pressure(best.At[1].Pressure), "usual speed": d.speed(b.Speed.Usual),
		"gravity": num(gravity, 4), "root of gravity": num(math.Sqrt(gravity), 4),
		"its flow": d.flowN(best.Nozzle.Flow()) + " " + d.flowUnit(), "rated pressure": d.pressure(equip.RatedPressure),
	}, table)
}

// speedsOf lists the lowest, the usual and the highest speed.
func speedsOf(s equip.Speeds) [3]unit.Speed { return [3]unit.Speed{s.Low, s.Usual, s.High} }

// differing lists the places in [speedsOf] of the speeds that differ: a machine may have one.
func differing(s equip.Speeds) []int {
	list := []int{0}
	for at, v := range speedsOf(s) {
		if v > speedsOf(s)[list[len(list)-1]] {
			list = append(list, at)
		}
	}
	return list
}

// standing says how a nozzle stands to the pressure range, in the user's units.
func (d *document) standing(b equip.Boom, f equip.Fit) string {
	switch {
	case f.Holds:
		return "holds at every speed"
	case f.At[0].Pressure > b.Pressure.Max:
		return "too small"
	case f.At[2].Pressure < b.Pressure.Min:
		return "too large"
	}
	low, high := d.speedsInside(f.Speeds.Min, f.Speeds.Max)
	return "only " + between(low, high)
}

// speedsInside prints the ends of a range of speeds, rounded inward.
func (w show) speedsInside(low, high unit.Speed) (least, most string) {
	a, b := inward(low.In(w.s), high.In(w.s), 1)
	if a > b {
		return w.speed(low), w.speed(high)
	}
	symbol := " " + unit.Symbol[unit.Speed](w.s)
	return trim(a, 1) + symbol, trim(b, 1) + symbol
}

// noNozzle says what helps where no size on hand holds the volume over all speeds.
func (d *document) noNozzle(b equip.Boom, l *rx.Layer, best equip.Fit) {
	sizes := each.Of(b.Others(d.mixAt(l)(b.Volume)), func(f equip.Fit) string { return string(f.Nozzle) })
	held, others := b.Volumes(best.Nozzle, equip.VolumeStep(d.s), d.mixAt(l))
	slowest, fastest := d.speedsInside(max(best.Speeds.Min, b.Speed.Low), min(best.Speeds.Max, b.Speed.High))
	d.write("No size on hand holds the volume at every speed", values{
		"another size holds": len(sizes) > 0, "other sizes": strings.Join(sizes, ", "),
		"no size can": len(sizes) == 0 && b.SpansTooMuch(), "none would": len(sizes) == 0 && !b.SpansTooMuch(),
		"lowest speed": d.speed(b.Speed.Low), "highest speed": d.speed(b.Speed.High),
		"pressure times": num(math.Pow(float64(b.Speed.High/b.Speed.Low), 2), 2), "allowed times": num(float64(b.Pressure.Max/b.Pressure.Min), 2),
		"best size":            string(best.Nozzle),
		"another volume holds": others, "other volumes": between(d.spray(held.Min), d.spray(held.Max)),
		"another speed holds": best.Speeds.Max >= b.Speed.Low && best.Speeds.Min <= b.Speed.High,
		"speeds that hold":    strings.Replace(between(slowest, fastest), " to ", " and ", 1),
	})
}

// flows gives what the whole boom puts out.
func (d *document) flows(b equip.Boom) {
	table := rx.Table{
		Head: []string{"speed " + unit.Symbol[unit.Speed](d.s), "one nozzle " + d.flowUnit(), "boom " + d.flowUnit()},
		Left: []bool{false, false, false},
	}
	for _, at := range differing(b.Speed) {
		v := speedsOf(b.Speed)[at]
		table.Rows = append(table.Rows, []string{d.speedN(v), d.flowN(b.NozzleFlow(v)), num(b.Flow(v).In(d.s), 2)})
	}
	d.write("Flow of the mix", values{"nozzles": fmt.Sprint(b.NozzleCount()), "width": d.length(b.Width), "spacing": d.spacing(b.Spacing)}, table)
}

// fills lists the tank fills, the last partial one with figures of its own. Totals
// are the sums of what is printed.
func (d *document) fills(b equip.Boom, l *rx.Layer) {
	all, metered, err := d.a.Terms.Fills(b, l.Area, l.Rate)
	mistake := ""
	if err != nil {
		mistake = sentence(err.Error())
	}
	sum := metered.Total()
	fill := func(which string, exact, metered equip.Fill) string {
		takes := d.phrase("what "+which+" takes", values{"ground": d.area(exact.Area), "stabilizer exactly": trim(exact.Product.In(d.s), 3)})
		return d.rounded(takes, exact.Product, metered.Product, func(v unit.Volume) string { return d.a.Terms.WhyNotRate(exact.Rate(v)) })
	}
	d.write("Tank fills", values{
		"mistaken": err != nil, "mistake": mistake,
		"tank": d.can(b.Tank), "full tank's ground": d.area(all.Full.Area), "spray volume": d.spray(b.Volume),
		"full ones":               plural(all.Count, "full one", "full ones"),
		"fills make another sum":  err == nil && num(sum.Product.In(d.s), 0) != num(l.Volume.In(d.s), 0),
		"stabilizer exactly":      num(l.Volume.In(d.s), 1),
		"stabilizer of the fills": d.drop(sum.Product),
		"full tanks":              all.Count > 0, "full tank": fill("a full tank", all.Full, metered.Full),
		"last fill": all.Last.Area > 0, "last one": fill("the last one", all.Last, metered.Last),
	}, only(err == nil, d.fillsTable(l, all, metered))...)
}

func (d *document) fillsTable(l *rx.Layer, all, metered equip.Fills) rx.Table {
	table := rx.Table{
		Head: []string{"fill", d.areaUnit(), "water " + d.canUnit(), "stabilizer " + d.dropUnit(), d.canUnit()},
		Left: make([]bool, 5),
	}
	for i, one := range d.a.Terms.FurtherOn(equip.OnBoom) {
		table.Head, table.Left = slices.Insert(table.Head, 5+i, narrowed(one.Name)+" "+d.dropUnit()), append(table.Left, false)
	}
	cells := func(name string, area unit.Area, f equip.Fill) []string {
		list := []string{name, d.areaN(area), d.canN(f.Water), d.dropN(f.Product), d.canN(f.Product)}
		for _, v := range f.Further {
			list = append(list, d.dropN(v))
		}
		return list
	}
	row := func(name string, f equip.Fill) { table.Rows = append(table.Rows, cells(name, f.Area, f)) }
	switch {
	case all.Count == 1:
		row("1", metered.Full)
	case all.Count > 1:
		row("each of 1 to "+num(float64(all.Count), 0), metered.Full)
	}
	if all.Last.Area > 0 {
		row(fmt.Sprintf("%d (last)", all.Number()), metered.Last)
	}
	table.Total = cells("in all", l.Area, metered.Total())
	return table
}

// sprayed returns the stabilizer of the liquid layer: that of its tank fills, or what
// the layer holds where no boom is given.
func (in *inputs) sprayed(l *rx.Layer) unit.Volume {
	if fills, ok := in.metered(l); ok {
		return fills.Product
	}
	return l.Volume
}

// sprayedFurther does the same for the further liquids of the layer.
func (in *inputs) sprayedFurther(l *rx.Layer) (list []unit.Volume) {
	if fills, ok := in.metered(l); ok {
		return fills.Further
	}
	for _, f := range l.Further {
		list = append(list, f.Volume)
	}
	return list
}

// metered adds up the tank fills of the liquid layer; ok is false where they are not known.
func (in *inputs) metered(l *rx.Layer) (all equip.Fill, ok bool) {
	if in.job.Boom == nil {
		return all, false
	}
	_, metered, err := in.a.Terms.Fills(*in.job.Boom, l.Area, l.Rate)
	return metered.Total(), err == nil
}

// catch gives the course on which what one nozzle gives, in fluid ounces or
// milliliters, is the volume in gal/ac or L/ha; without a boom, the courses of common ones.
func (d *document) catch() {
	course := pick(d.show, equip.CatchCourse, equip.MetricCatchCourse)
	var b equip.Boom
	table := rx.Table{Head: []string{"nozzles apart", "course"}, Left: []bool{false, false}}
	if d.job.Boom != nil {
		b = *d.job.Boom
	} else {
		for _, n := range pick(d.show, []unit.Length{15, 20, 30, 40}, []unit.Length{0.25, 0.5, 0.75, 1}) {
			spacing := n * pick(d.show, unit.Inch, unit.Meter)
			table.Rows = append(table.Rows, []string{d.spacing(spacing), d.length(course(spacing))})
		}
	}
	time := equip.CatchTime(course(b.Spacing), b.Speed.Usual)
	d.write("Catch test", values{
		"boom known": d.job.Boom != nil, "course": d.length(course(b.Spacing)), "spacing": d.spacing(b.Spacing),
		"seconds": num(float64(time/unit.Second), 1), "usual speed": d.speed(b.Speed.Usual),
		"caught": d.drop(equip.Caught(b.Volume, course(b.Spacing), b.Spacing)), "spray volume": d.spray(b.Volume),
	}, only(d.job.Boom == nil, table)...)
}

// stripCount is how many strips a plan leaves untreated.
func stripCount(p *rx.Plan) int {
	if p.Strips == nil {
		return 0
	}
	return len(p.Strips.List)
}

// strips says where the boom is to shut off, and where it goes on again.
func (d *document) strips(l *rx.Layer) {
	s := d.plan.Strips
	table := rx.Table{
		Head: []string{"strip", "pass", "off: lat", "lon", "on: lat", "lon", d.areaUnit(), "left off, by"},
		Left: []bool{false, false, false, false, false, false, false, true},
	}
	for _, one := range s.List {
		start, end := middle(one.Ground[0][0], one.Ground[0][1]), middle(one.Ground[0][3], one.Ground[0][2])
		table.Rows = append(table.Rows, []string{
			fmt.Sprint(one.Rep), fmt.Sprint(one.Pass), degrees(start[1]), degrees(start[0]), degrees(end[1]), degrees(end[0]), d.areaN(one.Area), toWrite,
		})
	}
	d.write("Untreated strips", values{
		"strips left": plural(len(s.List), "strip", "strips"), "strip width": d.length(s.Width), "strip length": d.length(s.Length + 2*s.Ends),
		"untreated ground": d.area(s.Area), "stabilizer saved": d.drop(unit.VolumeOver(l.Rate, s.Area)), "azimuth": fmt.Sprintf("%.4g", s.Azimuth),
		"stop and go": d.length(s.Ends),
	}, table)
}

func middle(a, b orb.Point) orb.Point { return orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2} }

// degrees prints a lon or lat to a tenth of a meter.
func degrees(v float64) string { return fmt.Sprintf("%.6f", v) }
