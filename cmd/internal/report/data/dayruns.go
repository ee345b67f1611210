package data

import (
	"rxsplit/cmd/internal/report"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

type dayRunJSON struct {
	Loading *int         `json:"loading"` // index of those that fields share, from 0; null for one of its own
	Value   float64      `json:"value"`
	Blend   int          `json:"blend"` // index, from 0
	Flush   []string     `json:"flush,omitempty"`
	Lots    []dayLotJSON `json:"lots"`
}

// dayLotJSON is equal batches; what is of a batch is as a scale and a meter read it.
type dayLotJSON struct {
	Fields     []int         `json:"fields"`  // indices, from 0
	Batches    *int          `json:"batches"` // null where no blender is known: the batch is all of it
	Apart      int           `json:"batches_apart"`
	Dry        float64       `json:"batch_dry"`
	Materials  []float64     `json:"batch_materials,omitempty"` // as the blend lists them
	Stabilizer float64       `json:"batch_stabilizer"`
	Further    []float64     `json:"batch_further,omitempty"`
	Agent      float64       `json:"batch_drying_agent"`
	Minutes    float64       `json:"minutes,omitempty"`
	Parts      []dayPartJSON `json:"parts"`
	Left       *dayGivenJSON `json:"left_over,omitempty"` // that goes into each batch; all else of a batch is added to it
}

type dayGivenJSON struct {
	Of      int     `json:"of"`      // index of left-over blend, from 0
	Weighed float64 `json:"weighed"` // as it came back
	Dry     float64 `json:"dry"`
	Loading float64 `json:"loading"`
}

type dayPartJSON struct {
	Batch int     `json:"batch"` // of the lot, from 0
	Field int     `json:"field"` // index, from 0
	Dry   float64 `json:"dry"`
}

type dayHaulJSON struct {
	Field   int      `json:"field"` // index, from 0
	Run     *int     `json:"run"`   // index, from 0; null for untreated product
	Product string   `json:"product"`
	Weight  float64  `json:"weight"`
	Rough   bool     `json:"without_liquid,omitempty"` // what it weighs is not known
	Loads   *int     `json:"loads"`
	Each    *float64 `json:"each"`
	Last    *float64 `json:"last,omitempty"`      // where the last one carries less
	Left    bool     `json:"left_over,omitempty"` // as it came back
}

type dayAskJSON struct {
	About  rx.RunDoubt `json:"about"`
	Run    int         `json:"run"`    // index, from 0
	Fields []int       `json:"fields"` // indices, from 0
	Now    int         `json:"now"`
	Then   int         `json:"then"`
	Left   int         `json:"left_over,omitempty"` // index of left-over blend, from 0: no run is asked about, but that
}

func dayRunsOf(d report.Day) (runs []dayRunJSON, hauls []dayHaulJSON, asks []dayAskJSON) {
	runs, hauls, asks = []dayRunJSON{}, []dayHaulJSON{}, []dayAskJSON{}
	for _, r := range d.Runs {
		run := dayRunJSON{Loading: index(r.Shared), Value: r.Loading().In(d.Units), Blend: r.Blend, Flush: r.Flush}
		for _, l := range r.Lots {
			run.Lots = append(run.Lots, dayLotOf(d, l))
		}
		runs = append(runs, run)
	}
	for _, h := range d.Hauls {
		one := dayHaulJSON{Field: h.Field, Run: index(h.Run), Product: h.Product, Weight: h.Weight.In(d.Units), Rough: h.Rough, Left: h.Left != nil}
		if each := h.Each.In(d.Units); h.Loads > 0 {
			one.Loads, one.Each = &h.Loads, &each
			if last := h.LastWeight().In(d.Units); h.Last < h.Full {
				one.Last = &last
			}
		}
		hauls = append(hauls, one)
	}
	for _, a := range d.Asks {
		asks = append(asks, dayAskJSON(a))
	}
	return runs, hauls, asks
}

func dayLotOf(d report.Day, l rx.Lot) dayLotJSON {
	p := l.Portion
	one := dayLotJSON{
		Fields: l.Fields, Apart: l.Apart, Dry: p.Dry.In(d.Units), Stabilizer: p.Liquid.In(d.Units), Agent: p.AgentInAll().In(d.Units), Minutes: float64(l.Time / unit.Minute),
	}
	if l.Batched {
		one.Batches = &p.Count
	}
	if g := l.Left; g != nil {
		one.Left = &dayGivenJSON{g.Of, g.Weighed.In(d.Units), g.Dry.In(d.Units), g.Loading.In(d.Units)}
	}
	for _, m := range p.Materials {
		one.Materials = append(one.Materials, m.In(d.Units))
	}
	for _, f := range p.Further {
		one.Further = append(one.Further, f.Liquid.In(d.Units))
	}
	for _, part := range l.Parts {
		one.Parts = append(one.Parts, dayPartJSON{part.Batch, part.Field, part.Dry.In(d.Units)})
	}
	return one
}
