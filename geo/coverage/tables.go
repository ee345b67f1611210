package coverage

import (
	"math"
	"math/bits"
	"slices"

	"rxsplit/internal/cores"
)

// band sums up the stretches of neighboring lines. Lengths stand for areas: the spacing is
// multiplied last.
type band struct {
	ground  *Ground
	options Options
	part    [4]sums   // of every fourth line
	lines   []float64 // lengths of all marks, line by line
	now     []float64 // of this line
	zones   map[int]*zone
	zone    int // that was met last
	at      *zone
	turn    int   // which part the line is of
	marks   Marks // of the stretch before
	since   [MaxMarks]float64
	until   float64
	spots   spotFinder
}

// sums are lengths, and amounts over a meter's width.
type sums struct {
	marks, narrow []float64
	products      []float64 // field, outside and keep-out of each
}

func newSums(g *Ground, o Options) sums {
	return sums{make([]float64, o.Marks), make([]float64, o.Marks), make([]float64, 3*g.Products)}
}

func newBand(g *Ground, o Options) *band {
	b := &band{ground: g, options: o, lines: make([]float64, 0, bandLines*o.Marks), zones: map[int]*zone{}, zone: -1}
	for i := range b.part {
		b.part[i] = newSums(g, o)
	}
	return b
}

func (b *band) begin(line int) {
	b.turn = line & 3
	b.marks = 0
	b.lines = b.lines[:len(b.lines)+b.options.Marks]
	b.now = b.lines[len(b.lines)-b.options.Marks:]
	b.spots.begin(line)
}

func (b *band) end() bool {
	b.change(0, b.until)
	b.spots.end()
	return true
}

func (b *band) stretch(from, to float64, s *State) {
	if from != b.until {
		b.change(0, b.until)
	}
	b.change(b.options.Judge(s), from)
	b.until = to
	length := to - from
	sums := b.part[b.turn].products
	for p, d := range s.Density {
		if s.Covers[p] == 0 {
			continue
		}
		amount := float64(d * length)
		if s.Zone >= 0 {
			sums[3*p] += amount
		} else {
			sums[3*p+1] += amount
		}
		if s.KeptOut {
			sums[3*p+2] += amount
		}
	}
	if s.Zone >= 0 && !b.options.NoZones {
		b.onZone(s, length)
	}
}

func (b *band) onZone(s *State, length float64) {
	if s.Zone != b.zone {
		b.zone, b.at = s.Zone, b.zones[s.Zone]
		if b.at == nil {
			b.at = &zone{Products: make([]onZone, b.ground.Products)}
			b.zones[s.Zone] = b.at
		}
	}
	b.at.Area += length
	for p := range b.at.Products {
		on := &b.at.Products[p]
		if s.Covers[p] > 0 {
			on.Covered += length
			on.Amount += float64(s.Density[p] * length)
		}
		if p < len(b.ground.Targets) && b.ground.Targets[p] != nil {
			target := b.ground.Targets[p][s.Zone]
			if (s.Spared || s.KeptOut) && b.ground.Spare != nil && b.ground.Spare[p] {
				target = 0
			}
			off := math.Abs(s.Density[p] - target)
			on.Off += float64(off * length)
			if off <= float64(nearTarget*target)*(1+1e-9) {
				on.OnTarget += length
			}
		}
	}
}

// change ends the runs of marks that no longer hold, and begins those of new ones.
func (b *band) change(now Marks, at float64) {
	changed := now ^ b.marks
	for changed != 0 {
		m := bits.TrailingZeros64(uint64(changed))
		changed &^= 1 << m
		if now&(1<<m) != 0 {
			b.since[m] = at
			continue
		}
		length := at - b.since[m]
		sums := &b.part[b.turn]
		sums.marks[m] += length
		b.now[m] += length
		switch {
		case length < b.options.Narrow:
			sums.narrow[m] += length
		case b.options.Spots&(1<<m) != 0:
			b.spots.run(m, b.since[m], at)
		}
	}
	b.marks = now
}

// total adds bands up in their order.
type total struct {
	band
	frame  frame
	joined spotJoiner
	last   [2][]float64 // the last two lines
	bends  []float64    // sums of the squares of second differences from line to line
}

func newTotal(g *Ground, o Options, f frame) *total {
	none := make([]float64, o.Marks)
	return &total{
		band: *newBand(g, o), frame: f, joined: spotJoiner{frame: f, smallest: o.Smallest, small: make([]int, o.Marks)},
		last: [2][]float64{none, none}, bends: slices.Clone(none),
	}
}

func (t *total) add(b *band) error {
	for i := range t.part {
		plus(t.part[i].marks, b.part[i].marks)
		plus(t.part[i].narrow, b.part[i].narrow)
		plus(t.part[i].products, b.part[i].products)
	}
	for z, from := range b.zones {
		to := t.zones[z]
		if to == nil {
			t.zones[z] = from
			continue
		}
		to.Area += from.Area
		for p := range to.Products {
			a, b := &to.Products[p], from.Products[p]
			a.Covered, a.Amount, a.Off, a.OnTarget = a.Covered+b.Covered, a.Amount+b.Amount, a.Off+b.Off, a.OnTarget+b.OnTarget
		}
	}
	for n := len(t.bends); len(b.lines) > 0; b.lines = b.lines[n:] {
		t.follow(b.lines[:n])
	}
	t.joined.add(&b.spots)
	return nil
}

// follow takes the next line.
func (t *total) follow(line []float64) {
	for m, length := range line {
		bend := t.last[0][m] - float64(2*t.last[1][m]) + length
		t.bends[m] += float64(bend * bend)
	}
	t.last = [2][]float64{t.last[1], line}
}

func plus(to, from []float64) {
	for i, v := range from {
		to[i] += v
	}
}

// area turns the sums of every fourth line into an area, or an amount.
func (t *total) area(of func(sums) float64) float64 {
	p := &t.part
	return float64((of(p[0]) + of(p[2]) + (of(p[1]) + of(p[3]))) * t.frame.spacing)
}

// off estimates how far the area of a mark may be off.
//
// From line to line, lengths bend where a side of the ground turns, and leap where one lies along
// the lines. A bend of d makes an error of d/12 lines' ground at most, a leap of j, which is two
// bends, one of j/2. Half as much again as the root of the sum of the squares of all bends is more
// than any of them can make, or up to eighteen leaps that are alike; errors that are not alike add up as
// squares do. Many that are alike, as those of passes, mostly show in what every fourth line says, from
// each of the first four on; these can agree by chance, and do where a side lies along the lines. What
// is thinner than lines are apart and lies along them for all its length can escape all.
func (t *total) off(m int) float64 {
	p := &t.part
	four := [4]float64{p[0].marks[m], p[1].marks[m], p[2].marks[m], p[3].marks[m]}
	most := max(4*(slices.Max(four[:])-slices.Min(four[:])), 1.5*math.Sqrt(t.bends[m]))
	return float64(most * t.frame.spacing)
}

func (t *total) tables() *Tables {
	out := &Tables{Spacing: t.frame.spacing, Widened: t.frame.spacing > t.options.Spacing}
	for m := range t.options.Marks {
		out.Marks = append(out.Marks, Measure{
			Area:   t.area(func(s sums) float64 { return s.marks[m] }),
			Narrow: t.area(func(s sums) float64 { return s.narrow[m] }),
			Error:  t.off(m),
		})
	}
	for p := range t.ground.Products {
		laid := func(at int) float64 { return t.area(func(s sums) float64 { return s.products[3*p+at] }) }
		out.Products = append(out.Products, laidPatch{Field: laid(0), Outside: laid(1), KeepOut: laid(2)})
	}
	if t.ground.Zones != nil && !t.options.NoZones {
		out.Zones = make([]zone, t.ground.Zones.Len())
		cores.Each(len(out.Zones), func(z int) { out.Zones[z] = t.zoneOf(z) })
	}
	out.Spots, out.Small = t.joined.spots(), t.joined.small
	return out
}

func (t *total) zoneOf(z int) zone {
	from := t.zones[z]
	out := zone{Products: make([]onZone, t.ground.Products)}
	if from == nil {
		return out
	}
	h := t.frame.spacing
	out.Area = float64(from.Area * h)
	for p, o := range from.Products {
		out.Products[p] = onZone{float64(o.Covered * h), float64(o.Amount * h), float64(o.Off * h), float64(o.OnTarget * h)}
	}
	return out
}
