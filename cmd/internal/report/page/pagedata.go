package page

import (
	"encoding/json"
	"html/template"
	"math"
	"slices"
	"strconv"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/internal/cores"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// mostZones is how many zones the page lists, and lends to its script, one by one.
const mostZones = 4500

// pageData is what the page's script works with: what its tables show, with all digits.
type pageData struct {
	views []dataView
	at    []int
}

// dataView is how the zones are filled for one of the map's views, a letter a zone.
type dataView struct {
	ID    string   `json:"id"`
	Fills []string `json:"fills"`
	Class string   `json:"class"`
}

func viewsOf(list []mapTheme, drawn []svg.Map) []dataView {
	views := make([]dataView, len(list))
	for i, m := range drawn {
		class := make([]byte, 0, len(m.Class))
		for _, c := range m.Class {
			class = strconv.AppendInt(class, int64(c), 36)
		}
		views[i] = dataView{list[i].ID, m.Fills, string(class)}
	}
	return views
}

// places gives where each zone is on the map, so that keys and rows find it.
func (d *pageData) places(r report.Result, drawer *svg.Drawer) {
	if len(r.Prescription.Zones) > mostZones {
		return
	}
	d.at = make([]int, 2*len(r.Prescription.Zones))
	cores.Each(len(r.Prescription.Zones), func(i int) {
		p := drawer.Spot(i)
		d.at[2*i], d.at[2*i+1] = int(math.Round(p[0])), int(math.Round(p[1]))
	})
}

// dataLiquid is a liquid on the blend, as another loading would change it.
type dataLiquid struct {
	Name    string  `json:"name"`
	Min     float64 `json:"min"`
	Max     float64 `json:"max"`
	Season  float64 `json:"season,omitempty"`  // what the season's maximum leaves; left out if it has none
	Seasons digits  `json:"seasons,omitempty"` // the same of each rate, where a layer says what lies there
	Loading float64 `json:"loading"`
}

// tried lists what is on the blend and has a label: another loading can be tried of it.
func tried(r report.Result) (list []*rx.Graded) {
	a := r.Assessment
	if a.Loading > 0 {
		list = append(list, &a.Graded)
	}
	for i := range a.Further {
		if g := &a.Further[i]; g.Liquid.On == equip.OnBlend && g.Liquid.Label != nil {
			list = append(list, g)
		}
	}
	return list
}

// liquids tells of each what its label says; had is what lies of it on each rate's ground.
func liquids(r report.Result, had [][]unit.LiquidRate) []dataLiquid {
	s := r.Units
	list := []dataLiquid{}
	for k, g := range tried(r) {
		one := dataLiquid{g.Liquid.Name, g.Range.Min.In(s), g.Range.Max.In(s), 0, nil, g.Loading.In(s)}
		if season, ok := g.Liquid.Label.SeasonMax.Get(); ok {
			left := func(had unit.LiquidRate) float64 { return max((season - had).In(s), math.SmallestNonzeroFloat32) }
			one.Season = left(g.Liquid.AlreadyApplied)
			for _, h := range had[k] {
				one.Seasons = append(one.Seasons, left(h))
			}
		}
		list = append(list, one)
	}
	return list
}

// noRate stands for a rate that the file does not give.
const noRate = -1

// rates lists rates and areas: of each zone or, of more than the page lists, of small
// ranges of rates. Where a layer says what lies on the zones of a liquid of [tried], had lists
// it beside them, the mean of a range: of the first such liquid as many ranges, of both then,
// as a page has room for.
func rates(r report.Result) (rate, area []float64, had [][]unit.LiquidRate) {
	zones, s := r.Prescription.Zones, r.Units
	var layers [][]unit.LiquidRate
	var already []unit.LiquidRate // the first of them
	for _, g := range tried(r) {
		layers = append(layers, g.Liquid.Already)
		if already == nil {
			already = g.Liquid.Already
		}
	}
	if len(zones) <= mostZones {
		for _, z := range zones {
			v := noRate + 0.0
			if z.HasRate() {
				v = z.Carrier.In(s)
			}
			rate, area = append(rate, v), append(area, z.Area.In(s))
		}
		return rate, area, layers
	}
	low, high, _ := r.Prescription.CarrierRange()
	bins, steps, most := 2000, 1, unit.LiquidRate(0)
	if already != nil {
		bins, steps, most = 200, 20, slices.Max(already)
	}
	size := max(float64(high.In(s)-low.In(s))/float64(bins), 1e-12)
	areas, lies := make([]float64, (bins+1)*steps), make([][]float64, len(layers)) // lies is of all its area
	for k, layer := range layers {
		if layer != nil {
			lies[k] = make([]float64, len(areas))
		}
	}
	for i, z := range zones {
		if !z.Treated() {
			continue
		}
		at := steps * min(int((z.Carrier.In(s)-low.In(s))/size), bins)
		if most > 0 {
			at += min(int(float64(steps)*float64(already[i])/float64(most)), steps-1)
		}
		areas[at] += z.Area.In(s)
		for k, layer := range layers {
			if layer != nil {
				lies[k][at] += float64(float64(layer[i]) * z.Area.In(s))
			}
		}
	}
	had = make([][]unit.LiquidRate, len(layers))
	for i, a := range areas {
		if a > 0 {
			rate, area = append(rate, low.In(s)+float64((float64(i/steps)+0.5)*size)), append(area, a)
			for k, layer := range layers {
				if layer != nil {
					had[k] = append(had[k], unit.LiquidRate(lies[k][i]/a))
				}
			}
		}
	}
	return rate, area, had
}

// digits are numbers of ten digits in JSON: a label's ends are held within a billionth.
type digits []float64

// MarshalJSON makes the list.
func (d digits) MarshalJSON() ([]byte, error) {
	out := []byte{'['}
	for i, v := range d {
		if i > 0 {
			out = append(out, ',')
		}
		out = strconv.AppendFloat(out, v, 'g', 10, 64)
	}
	return append(out, ']'), nil
}

// zoneNumbers lists the numbers of zones that the page lists, or says how many there are.
func zoneNumbers(zones []rx.Zone) any {
	numbers, inOrder := []int{}, true
	if len(zones) > mostZones {
		return numbers
	}
	for i, z := range zones {
		numbers, inOrder = append(numbers, z.Number()), inOrder && z.Number() == i+1
	}
	if inOrder {
		return len(numbers)
	}
	return numbers
}

// script returns the data as it stands in the page.
func (d *pageData) script(r report.Result) template.JS {
	s := r.Units
	inks := map[string]string{"season": svg.Season.Fill()}
	for _, v := range rx.Verdicts() {
		inks[v.String()] = verdictFill(v)
	}
	rate, area, had := rates(r)
	text, err := json.Marshal(struct { // which escapes what could end the element
		Per     float64           `json:"per"` // of dry, in what a loading is counted by
		Units   []string          `json:"units"`
		Zones   any               `json:"zones"` // their numbers; how many, where they are 1 and on
		At      []int             `json:"at"`
		Rate    digits            `json:"rate"`
		Area    digits            `json:"area"`
		Views   []dataView        `json:"views"`
		Liquids []dataLiquid      `json:"liquids"`
		Inks    map[string]string `json:"inks"`
	}{
		math.Round(unit.Loading(1).In(s) * unit.DryRate(1).In(s) / unit.StabilizerRate(1, 1).In(s)),
		[]string{unit.Symbol[unit.Area](s), unit.Symbol[unit.DryRate](s), unit.Symbol[unit.LiquidRate](s), unit.Symbol[unit.Loading](s)},
		zoneNumbers(r.Prescription.Zones), d.at, rate, area, d.views, liquids(r, had), inks,
	})
	if err != nil {
		return "{}" // of numbers that no file can hold
	}
	return template.JS(text)
}
