package data

import (
	"bufio"
	"io"

	"rxsplit/cmd/internal/report"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/ground"
	"rxsplit/rx/record"
	"rxsplit/rx/write"
)

// groundSchema names the form of what lands on a field.
const groundSchema = "rxsplit.ground/1"

type groundJSON struct {
	Schema     string              `json:"schema"`
	Kind       string              `json:"kind"`
	Version    string              `json:"version"`
	Inputs     []write.Input       `json:"inputs"`
	Parameters map[string][]string `json:"parameters"`
	Units      unitsJSON           `json:"units"`
	Products   []landedJSON        `json:"products"`
	Verdict    classJSON           `json:"verdict_area"` // of the stabilizer
	Field      float64             `json:"field_area"`
	Sampled    float64             `json:"sampled_area"`
	Spacing    float64             `json:"line_spacing"`
	Error      classJSON           `json:"error_area"`
	Liquids    []landedLiquidJSON  `json:"liquids"`
	LookAhead  []lookAheadJSON     `json:"look_ahead"`
	Spots      []spotJSON          `json:"spots"`
	Small      int                 `json:"small_spots"`
	Strips     []onStripJSON       `json:"untreated_strips,omitempty"`
	Findings   []findingJSON       `json:"findings"`
	Files      []write.FileSum     `json:"files"`
	Self       string              `json:"self"`
}

type landedJSON struct {
	Product   rx.Product   `json:"product"`
	Layer     string       `json:"layer"`
	Total     float64      `json:"log_total"`
	Laid      float64      `json:"laid"`
	Standing  float64      `json:"standing"`
	Gaps      float64      `json:"gaps"`
	Dropped   float64      `json:"dropped"`
	InField   float64      `json:"in_field"`
	OutField  float64      `json:"outside"`
	InKeepOut float64      `json:"in_keep_out"`
	Covered   float64      `json:"covered_area"`
	Skip      float64      `json:"skip_area"`
	Twice     float64      `json:"twice_area"`
	Joints    float64      `json:"joint_area"` // of twice: narrower than 0.3 m
	Thrice    float64      `json:"thrice_area"`
	Outside   float64      `json:"outside_area"`
	KeepOut   float64      `json:"keep_out_area"`
	Off       float64      `json:"off_target_area"`
	Driven    float64      `json:"driven_area"` // width times way
	OnTarget  float64      `json:"on_target_share"`
	Weighed   *float64     `json:"weighed_ratio"`
	Delay     *float64     `json:"delay_s"`
	Error     extentJSON   `json:"error_area"`
	Zones     []onZoneJSON `json:"zones"`
}

type extentJSON struct {
	Covered float64 `json:"covered_area"`
	Skip    float64 `json:"skip_area"`
	Twice   float64 `json:"twice_area"`
	Thrice  float64 `json:"thrice_area"`
	Outside float64 `json:"outside_area"`
	KeepOut float64 `json:"keep_out_area"`
	Off     float64 `json:"off_target_area"`
}

// GroundSaid is what is read again of a file of what lands on a field.
type GroundSaid struct {
	Kind   string        `json:"kind"`
	Inputs []write.Input `json:"inputs"`
	Strips []onStripJSON `json:"untreated_strips"`
}

// onStripJSON is how much of what is read of an untreated strip got liquid all the same.
type onStripJSON struct {
	Rep     int     `json:"rep"`
	Sprayed float64 `json:"sprayed_share"`
}

type onZoneJSON struct {
	Zone     int     `json:"zone"`
	Target   float64 `json:"target"`
	Mean     float64 `json:"mean"`
	Covered  float64 `json:"covered_share"`
	OnTarget float64 `json:"on_target_share"`
}

type classJSON struct {
	None   float64 `json:"none"`
	Below  float64 `json:"below"`
	Within float64 `json:"within"`
	Above  float64 `json:"above"`
	Season float64 `json:"over_season"`
}

type landedLiquidJSON struct {
	Season    *float64   `json:"over_season_in_all"` // whatever the class; null without a season maximum
	Name      string     `json:"name"`
	Graded    bool       `json:"graded"`
	Missing   []string   `json:"missing_layers"`
	Verdict   classJSON  `json:"verdict_area"`
	Error     classJSON  `json:"error_area"`
	Corrected *classJSON `json:"verdict_area_as_weighed"`
}

type lookAheadJSON struct {
	Layer   string  `json:"layer"`
	Seconds float64 `json:"seconds"`
	Way     float64 `json:"length"`
	Off     float64 `json:"off_target_area"`
	OffNow  float64 `json:"off_target_area_without"`
	Asked   float64 `json:"asked_seconds"`
	OffAt   float64 `json:"off_target_area_asked"`
}

type spotJSON struct {
	Class string    `json:"class"`
	Of    string    `json:"of"`
	Area  float64   `json:"area"`
	Place []float64 `json:"place"`
}

// Ground prints what lands on a field as one document.
func Ground(w io.Writer, g report.Ground) error {
	return printed(w)(GroundManifest(g, nil, ""))
}

// Spots prints the spots as points of a GeoJSON layer.
func Spots(w io.Writer, g report.Ground) error {
	type point struct {
		Type        string    `json:"type"`
		Coordinates []float64 `json:"coordinates"`
	}
	type feature struct {
		Type       string   `json:"type"`
		Geometry   point    `json:"geometry"`
		Properties spotJSON `json:"properties"`
	}
	buf := bufio.NewWriter(w)
	buf.WriteString("{\"type\":\"FeatureCollection\",\"name\":\"spots\",\"features\":[")
	for i, s := range g.Spots {
		at := []float64{s.Place[0], s.Place[1]}
		text, err := marshal(feature{"Feature", point{"Point", at}, spotJSON{s.What, s.Of, s.Area.In(g.Units), at}})
		if err != nil {
			return err
		}
		if i > 0 {
			buf.WriteByte(',')
		}
		buf.WriteByte('\n')
		buf.Write(text)
	}
	buf.WriteString("\n]}\n")
	return buf.Flush()
}

// GroundManifest prints the same with the files that lie beside it, and its own digest.
func GroundManifest(g report.Ground, files []write.FileSum, self string) ([]byte, error) {
	s := g.Units
	doc := groundJSON{
		Schema: groundSchema, Kind: g.Kind, Version: g.Version, Inputs: g.Inputs, Parameters: g.Parameters, Units: UnitsOf(s),
		Field: g.Field.Prescription.Area().In(s), Sampled: g.Sampled.Area.In(s), Spacing: g.Spacing.In(s), Small: g.Small,
		LookAhead: []lookAheadJSON{}, Spots: []spotJSON{}, Findings: findingsOf(g.Findings, s), Files: files, Self: self,
	}
	if files == nil {
		doc.Files = []write.FileSum{}
	}
	for i := range g.Products {
		doc.Products = append(doc.Products, landedOf(g, &g.Products[i]))
	}
	for i := range g.Liquids {
		doc.Liquids = append(doc.Liquids, landedLiquidOf(&g.Liquids[i], s))
	}
	for _, one := range g.Strips {
		doc.Strips = append(doc.Strips, onStripJSON{one.Rep, float64(one.Sprayed)})
	}
	for _, a := range g.Ahead {
		doc.LookAhead = append(doc.LookAhead, lookAheadJSON{a.Layer.Name, float64(a.Time / unit.Second), a.Way.In(s), a.Off.In(s), a.OffNow.In(s), float64(a.Asked / unit.Second), a.OffAsked.In(s)})
	}
	if len(doc.Liquids) > 0 {
		doc.Verdict, doc.Error = doc.Liquids[0].Verdict, doc.Liquids[0].Error
	}
	for _, spot := range g.Spots {
		doc.Spots = append(doc.Spots, spotJSON{spot.What, spot.Of, spot.Area.In(s), []float64{spot.Place[0], spot.Place[1]}})
	}
	return line(doc)
}

func landedOf(g report.Ground, p *ground.Product) landedJSON {
	s := g.Units
	in := func(v float64) float64 {
		if p.Layer.Product == rx.Liquid {
			return unit.Volume(v).In(s)
		}
		return unit.Mass(v).In(s)
	}
	rate := func(v float64) float64 {
		if p.Layer.Product == rx.Liquid {
			return unit.LiquidRate(v).In(s)
		}
		return unit.DryRate(v).In(s)
	}
	out := landedJSON{
		Product: p.Layer.Product, Layer: p.Layer.Name,
		Total: in(p.Total), Laid: in(p.Laid), Standing: in(p.Standing), Gaps: in(p.Gaps), Dropped: in(p.Dropped),
		InField: in(p.InField), OutField: in(p.OutField), InKeepOut: in(p.InKeepOut),
		Covered: p.Covered.Area.In(s), Skip: p.Skip.Area.In(s), Twice: p.Twice.Area.In(s), Joints: p.Joints.Area.In(s), Thrice: p.Thrice.Area.In(s),
		Outside: p.Outside.Area.In(s), KeepOut: p.KeepOut.Area.In(s), Off: p.Off.Area.In(s), Driven: p.Driven.In(s), OnTarget: float64(p.OnTarget),
		Error: extentJSON{
			p.Covered.Error.In(s), p.Skip.Error.In(s), p.Twice.Error.In(s), p.Thrice.Error.In(s), p.Outside.Error.In(s), p.KeepOut.Error.In(s), p.Off.Error.In(s),
		},
	}
	if p.Weighed > 0 {
		out.Weighed = &p.Weighed
	}
	if p.Delay != nil {
		out.Delay = &p.Delay.Seconds
	}
	for z, on := range p.Zones {
		out.Zones = append(out.Zones, onZoneJSON{g.Field.Prescription.Zones[z].Number(), rate(on.Target), rate(on.Mean), float64(on.Covered), float64(on.OnTarget)})
	}
	return out
}

func landedLiquidOf(l *ground.Liquid, s unit.System) landedLiquidJSON {
	area := func(e ground.Extent) float64 { return e.Area.In(s) }
	off := func(e ground.Extent) float64 { return e.Error.In(s) }
	of := func(c *ground.Classes, in func(ground.Extent) float64) classJSON {
		return classJSON{in(c[ground.None]), in(c[ground.Below]), in(c[ground.Within]), in(c[ground.Above]), in(c[ground.OverSeason])}
	}
	out := landedLiquidJSON{Name: l.Liquid.Name, Graded: l.Graded, Missing: l.Missing, Verdict: of(&l.Classes, area), Error: of(&l.Classes, off)}
	if l.Missing == nil {
		out.Missing = []string{}
	}
	if l.Limit > 0 {
		out.Season = new(area(l.Season))
	}
	if l.Corrected != nil {
		corrected := of(&l.Corrected.Classes, area)
		out.Corrected = &corrected
	}
	return out
}

// recordSchema names the form of a record.
const recordSchema = "rxsplit.record/1"

type recordJSON struct {
	Schema  string        `json:"schema"`
	Version string        `json:"version"`
	Plan    string        `json:"plan"`
	Field   string        `json:"field"`
	Inputs  []write.Input `json:"inputs"`
	Entries []entryJSON   `json:"entries"`
	Missing []string      `json:"missing"`
	Text    string        `json:"text"`

	Files []write.FileSum `json:"files"`
	Self  string          `json:"self"`
}

type entryJSON struct {
	What  string   `json:"what"`
	Value *string  `json:"value"`
	From  string   `json:"from"`
	Asked []string `json:"asked_by"`
	Where string   `json:"where"`
}

// Record prints a record as one document.
func Record(w io.Writer, r report.Record) error {
	return printed(w)(RecordManifest(r, []write.FileSum{}, ""))
}

// RecordManifest prints the same with the files that lie beside it, and its own digest.
func RecordManifest(r report.Record, files []write.FileSum, self string) ([]byte, error) {
	doc := recordJSON{Schema: recordSchema, Version: r.Version, Plan: r.Plan, Field: r.Field, Inputs: r.Inputs, Missing: []string{}, Text: r.Complete(), Files: files, Self: self}
	for _, row := range r.Rows {
		doc.Entries = append(doc.Entries, entryOf(row))
		if row.Value == "" {
			doc.Missing = append(doc.Missing, row.What)
		}
	}
	return line(doc)
}

func entryOf(row record.Row) entryJSON {
	e := entryJSON{What: row.What, From: row.From, Asked: row.Asked, Where: row.Where}
	if row.Value != "" {
		e.Value = &row.Value
	}
	if row.Asked == nil {
		e.Asked = []string{}
	}
	return e
}
